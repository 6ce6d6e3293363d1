//! Two scales: mass and centre of gravity from two reactions.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::bounds;
use solver::measure::{Support, TwoScales, TwoScalesResult, Value, two_scales};
use solver::package::{Mass, MassSource};

use super::target::{Chosen, cg_value, measured_from, put, said, thing, things};
use super::{arithmetic, not_yet, rule_u, sketch, value_line, way};
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::reading::reading;
use crate::screens::shared::button;
use crate::show::Kind;
use crate::ui::choice::radios;

const SCALES: [(MassSource, &str); 2] =
    [(MassSource::BenchScale, "Bench scales"), (MassSource::LuggageScale, "Luggage scales")];

const STEPS: [&str; 4] = [
    "Two level supports at the same height, a scale under each; take off what the supports weigh.",
    "Lay it on them as it rides: zoom and focus in the middle, caps off.",
    "Read both scales, and measure where each support stands.",
    "Turn scales and supports round and do it again: the two answers should agree.",
];

/// Two scales.
pub(super) fn view(app: App) -> El {
    let chosen = Chosen::new();
    let told = RwSignal::new(None);
    let scale = RwSignal::new(0_usize);
    let first = reading("R₁, first scale", Kind::Mass, &bounds::MASS_KG, "scales-r1");
    let first_at = reading("x₁, first support", Kind::Length, &bounds::OFFSET_M, "scales-x1");
    let second = reading("R₂, second scale", Kind::Mass, &bounds::MASS_KG, "scales-r2");
    let second_at = reading("x₂, second support", Kind::Length, &bounds::OFFSET_M, "scales-x2");
    let rule = rule_u();
    let target = move || chosen.id(app, things).and_then(|id| thing(&id));
    let input = move || {
        let (from, _) = SCALES[scale.get()];
        let place_u = rule.get()?;
        let support = |kg: f64, ahead_m: f64| Support {
            reading_kg: Estimate::new(kg, Mass { kg, from, u_kg: None }.standard_uncertainty_kg()),
            ahead_m: Estimate::new(ahead_m, place_u),
        };
        Some(TwoScales {
            first: support(first.get()?, first_at.get()?),
            second: support(second.get()?, second_at.get()?),
        })
    };
    let found = move || input().map(|input| two_scales(&input));
    let use_it = move |value: fn(&TwoScalesResult, MassSource, &dyn Fn(Estimate) -> Value) -> Value| {
        let (Some(Ok(result)), Some(target)) = (untrack(found), untrack(target)) else { return };
        let (from, _) = SCALES[scale.get_untracked()];
        let cg = |ahead_m| app.document.now(|package| cg_value(package, &target, ahead_m));
        put(app, &target, value(&result, from, &cg), told);
    };
    let answer = div("table").test("scales-answer").live(move || {
        let style = app.style();
        match found() {
            Some(Ok(result)) => vec![
                value_line(style, "scales-mass", "Mass", Kind::Mass, result.mass_kg, 3),
                value_line(style, "scales-cg", "Centre of gravity", Kind::Length, result.ahead_m, 1),
                arithmetic(style, &result.term),
            ],
            other => not_yet(other.is_some(), "Two supports at different places, and some weight on them."),
        }
    });
    let idle = move || !matches!(found(), Some(Ok(_)));
    let buttons = div("buttons")
        .child(
            button("scales-use-mass", "Use this mass", move || {
                use_it(|result, from, _| Value::Mass { kg: result.mass_kg, from });
            })
            .live_flag("disabled", idle),
        )
        .child(
            button("scales-use-cg", "Use this centre of gravity", move || use_it(|result, _, cg| cg(result.ahead_m)))
                .live_flag("disabled", idle),
        );
    let from = p("quiet", "").live_words(move || target().as_ref().map(measured_from).unwrap_or_default().to_owned());
    let fields = vec![
        chosen.view(app, "What lies on them", "scales-of", things),
        from,
        radios(
            "The scales are",
            "scales-kind",
            SCALES.map(|(_, word)| word).to_vec(),
            std::rc::Rc::new(move || Some(scale.get())),
            std::rc::Rc::new(move |index| scale.set(index)),
        ),
        div("fields").children([first, first_at, second, second_at, rule].map(|field| field.view(app))),
    ];
    way(
        "measure-scales",
        "Two scales",
        sketch::two_scales(),
        &STEPS,
        fields,
        div("answering").child(answer).child(buttons).child(said(told)),
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::measure::Target;

    #[test]
    fn everything_on_the_list_can_lie_on_a_scale() {
        let package = codec::library::demo();
        let targets: Vec<Target> = things(&package).iter().filter_map(|(id, _)| thing(id)).collect();
        assert_eq!(targets.len(), package.parts.len() + package.lenses.len());
        assert_eq!(targets.first(), package.active_lens.map(Target::Lens).as_ref());
        assert!(targets.iter().all(|target| !matches!(target, Target::Joint(_))));
    }

    #[test]
    fn a_part_counts_from_the_middle_of_its_outline() {
        let package = codec::library::demo();
        let part = &package.parts[0];
        let value = cg_value(&package, &Target::Part(part.id), Estimate::new(0.5 * part.size_m[0] + 0.01, 0.001));
        let Value::CgAhead(ahead_m) = value else { panic!("{value:?}") };
        assert!((ahead_m.value - 0.01).abs() < 1e-12);
    }
}
