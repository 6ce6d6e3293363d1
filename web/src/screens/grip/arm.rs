//! The counterweighted arm: its lengths and plates, and what they must hold.

use solver::bounds::{self, MAX_PLATES};
use solver::grip::{self, ArmReport};
use solver::package::{Arm, Package, Plate, WeightedFor};

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::reasons::terms;
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};
use crate::ui::number::{Number, number};

/// Less than this at the weights is as good as level, kg.
const LEVEL_KG: f64 = 0.005;

/// An arm to begin with: invented and typical, to be overwritten.
fn typical() -> Arm {
    Arm {
        head_length_m: 3.0,
        weight_length_m: 1.2,
        empty_kg: 0.0,
        plates: vec![Plate { kg: 10.0, count: 8.0 }, Plate { kg: 5.0, count: 4.0 }, Plate { kg: 1.0, count: 5.0 }],
        weighted: None,
    }
}

/// The arm, its plates and its answer.
pub(super) fn view(app: App) -> El {
    let stated = move || app.document.with(|package| package.arm.is_some());
    let state =
        button("arm-state", "Enter the arm", move || app.document.edit(|package| package.arm = Some(typical())));
    let forget = button("arm-forget", "No such arm today", move || app.document.edit(|package| package.arm = None));
    let inside = div("arm").hidden(move || !stated()).child(answer(app)).child(lengths(app)).child(plates(app));
    section("grip-arm", "Counterweight")
        .child(
            div("buttons")
                .hidden(stated)
                .child(p(
                    "quiet",
                    "For a counterweighted arm: its two lengths and the plates on the cart give weights and moment.",
                ))
                .child(state.class("button--main")),
        )
        .child(inside)
        .child(div("buttons").hidden(move || !stated()).child(forget))
}

fn change(package: &mut Package, change: impl FnOnce(&mut Arm)) {
    if let Some(arm) = &mut package.arm {
        change(arm);
    }
}

fn answer(app: App) -> El {
    let found = move || app.document.with(|package| grip::arm(package).ok().flatten());
    let lines = move || {
        let (style, kinds) = (app.style(), app.document.with(|package| package.arm.clone().map(|arm| arm.plates)));
        found().map_or_else(
            || vec![p("quiet", "Not worked out while the package or the arm has a fault.")],
            |report| report_lines(app, style, &report, &kinds.unwrap_or_default()),
        )
    };
    div("arm__answer")
        .child(div("table").test("arm-answer").live(lines))
        .child(button("arm-weighted", "The weights are on for this build", move || remember(app)).class("button--main"))
}

/// Remembers what is on the arm now, so that the next change of the package says how much to add.
fn remember(app: App) {
    let all_up_kg = app.document.report(|report| report.mass.all_up_kg.value).unwrap_or_default();
    app.document.edit(|package| {
        let name = package.lens().map_or_else(|| "no lens".to_owned(), |lens| lens.name.clone());
        change(package, |arm| arm.weighted = Some(WeightedFor { name, all_up_kg }));
    });
}

fn report_lines(app: App, style: Style, report: &ArmReport, plates: &[Plate]) -> Vec<El> {
    let exact = format!(
        "{} {}",
        style.uncertain(Kind::Mass, report.exact_kg.value, report.exact_kg.u),
        style.plus_minus(Kind::Mass, report.exact_kg.u)
    );
    let moment = style.show(Kind::Torque, report.moment_nm.value);
    let mut lines = vec![
        line("arm-exact", "Counterweight", &exact).attr("data-value", &format!("{}", report.exact_kg.value)),
        line("arm-plates", "From the cart", &plate_words(style, report, plates))
            .attr("data-value", &format!("{}", report.weights.kg)),
        line("arm-left", "Then", &left_words(style, report.weights.short_kg)),
        line("arm-moment", "Moment about the pivot, arm level", &moment)
            .attr("data-value", &format!("{}", report.moment_nm.value)),
    ];
    let was = app.document.with(|package| Some(package.arm.as_ref()?.weighted.as_ref()?.name.clone()));
    if let (Some(change_kg), Some(was)) = (report.change_kg, was) {
        let name = format!("Against the build with {was}");
        lines.push(
            line("arm-change", &name, &change_words(style, change_kg)).attr("data-value", &format!("{change_kg}")),
        );
    }
    let arithmetic = el("summary").class("row__summary").child(span("row__name").words("The arithmetic"));
    lines.push(el("details").class("row").child(arithmetic).child(terms(style, &report.term)));
    lines
}

fn plate_words(style: Style, report: &ArmReport, plates: &[Plate]) -> String {
    let each =
        |(plate, count): (&Plate, &u32)| format!("{count} × {}", style.figure(Kind::Mass, plate.kg, &bounds::PLATE_KG));
    let chosen: Vec<String> =
        plates.iter().zip(&report.weights.counts).filter(|(_, count)| **count > 0).map(each).collect();
    if chosen.is_empty() { "no plate".to_owned() } else { chosen.join(" + ") }
}

fn left_words(style: Style, short_kg: f64) -> String {
    let kg = style.fine(Kind::Mass, short_kg.abs(), 2);
    match short_kg {
        short if short.abs() < LEVEL_KG => "it balances".to_owned(),
        short if short > 0.0 => format!("the head's end is heavy by {kg} at the weights"),
        _ => format!("the weights' end is heavy by {kg}"),
    }
}

fn change_words(style: Style, change_kg: f64) -> String {
    let kg = style.fine(Kind::Mass, change_kg.abs(), 2);
    match change_kg {
        change if change.abs() < LEVEL_KG => "as it was".to_owned(),
        change if change > 0.0 => format!("add {kg}"),
        _ => format!("take {kg} off"),
    }
}

fn lengths(app: App) -> El {
    let field = |label: &str,
                 kind: Kind,
                 bounds: &'static bounds::Bounds,
                 test: &str,
                 get: fn(&Arm) -> f64,
                 set: fn(&mut Arm, f64)|
     -> Number {
        number(
            label,
            kind,
            bounds,
            test,
            move |package| package.arm.as_ref().map(get),
            move |package, value| change(package, |arm| set(arm, value)),
        )
    };
    div("fields").children([
        field(
            "Pivot to the head's mount",
            Kind::Distance,
            &bounds::ARM_M,
            "arm-head",
            |arm| arm.head_length_m,
            |arm, m| arm.head_length_m = m,
        )
        .view(app),
        field(
            "Pivot to the weights",
            Kind::Distance,
            &bounds::ARM_M,
            "arm-weights",
            |arm| arm.weight_length_m,
            |arm, m| arm.weight_length_m = m,
        )
        .view(app),
        field(
            "Weights that balance the empty arm",
            Kind::Mass,
            &bounds::COUNTERWEIGHT_KG,
            "arm-empty",
            |arm| arm.empty_kg,
            |arm, kg| arm.empty_kg = kg,
        )
        .help("With head and everything else taken off.")
        .view(app),
    ])
}

fn plates(app: App) -> El {
    let keys = move || {
        let count = app.document.with(|package| package.arm.as_ref().map_or(0, |arm| arm.plates.len()));
        (0..count).map(|index| index.to_string()).collect::<Vec<String>>()
    };
    let full =
        move || app.document.with(|package| package.arm.as_ref().is_none_or(|arm| arm.plates.len() >= MAX_PLATES));
    div("arm__plates")
        .child(el("h3").words("Plates on the cart"))
        .child(div("plates").each(keys, move |key| plate(app, key.parse().unwrap_or_default())))
        .child(
            button("plate-add", "Another kind of plate", move || {
                app.document.edit(|package| change(package, |arm| arm.plates.push(Plate { kg: 2.5, count: 4.0 })));
            })
            .live_flag("disabled", full),
        )
}

fn plate(app: App, index: usize) -> El {
    let of = move |package: &Package, read: fn(&Plate) -> f64| package.arm.as_ref()?.plates.get(index).map(read);
    let put = move |package: &mut Package, write: &dyn Fn(&mut Plate)| {
        change(package, |arm| {
            if let Some(plate) = arm.plates.get_mut(index) {
                write(plate);
            }
        });
    };
    let mass = number(
        "One weighs",
        Kind::Mass,
        &bounds::PLATE_KG,
        format!("plate-{index}-kg"),
        move |package| of(package, |plate| plate.kg),
        move |package, kg| put(package, &move |plate| plate.kg = kg),
    );
    let count = number(
        "How many",
        Kind::Plain,
        &bounds::PLATE_COUNT,
        format!("plate-{index}-count"),
        move |package| of(package, |plate| plate.count),
        move |package, count| put(package, &move |plate| plate.count = count),
    );
    let remove = button(&format!("plate-{index}-remove"), "Remove this kind", move || {
        app.document.edit(|package| {
            change(package, |arm| {
                if index < arm.plates.len() {
                    arm.plates.remove(index);
                }
            });
        });
    });
    div("fields plates__kind").child(mass.view(app)).child(count.unit("plates").view(app)).child(remove)
}
