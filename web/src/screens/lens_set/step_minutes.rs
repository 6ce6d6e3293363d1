//! How long each step of a lens change takes this crew: its own numbers, typical until it has told them.

use solver::bounds;
use solver::lens_set::typical;
use solver::package::ChangeMinutes;

use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::shared::button;
use crate::show::Kind;
use crate::ui::number::number;

/// One step: its label, the name of its field, its typical minutes, and where it stands in the package.
struct Step {
    label: &'static str,
    test: &'static str,
    typical_min: f64,
    of: fn(&mut ChangeMinutes) -> &mut Option<f64>,
    get: fn(&ChangeMinutes) -> Option<f64>,
}

const STEPS: [Step; 7] = [
    Step {
        label: "The lens: off, the other on",
        test: "step-lens",
        typical_min: typical::LENS_MIN,
        of: |own| &mut own.lens_min,
        get: |own| own.lens_min,
    },
    Step {
        label: "A slide: hold, loosen, set, tighten",
        test: "step-slide",
        typical_min: typical::SLIDE_MIN,
        of: |own| &mut own.slide_min,
        get: |own| own.slide_min,
    },
    Step {
        label: "Trying the balance",
        test: "step-try",
        typical_min: typical::TRY_MIN,
        of: |own| &mut own.try_min,
        get: |own| own.try_min,
    },
    Step {
        label: "A part on or off",
        test: "step-part",
        typical_min: typical::ON_OR_OFF_MIN,
        of: |own| &mut own.on_or_off_min,
        get: |own| own.on_or_off_min,
    },
    Step {
        label: "What follows the lens: one clamp",
        test: "step-moved",
        typical_min: typical::MOVED_MIN,
        of: |own| &mut own.moved_min,
        get: |own| own.moved_min,
    },
    Step {
        label: "Checking the tune",
        test: "step-check",
        typical_min: typical::CHECK_TUNE_MIN,
        of: |own| &mut own.check_tune_min,
        get: |own| own.check_tune_min,
    },
    Step {
        label: "Tuning again",
        test: "step-tune",
        typical_min: typical::TUNE_MIN,
        of: |own| &mut own.tune_min,
        get: |own| own.tune_min,
    },
];

/// The steps, folded.
pub(super) fn view(app: App) -> El {
    let typical = move || app.document.with(|package| package.change_minutes.is_empty());
    let value = move || if typical() { "typical" } else { "your own" }.to_owned();
    let fields = STEPS.iter().map(|step| {
        number(
            step.label,
            Kind::Plain,
            &bounds::STEP_MIN,
            step.test,
            |package| Some((step.get)(&package.change_minutes).unwrap_or(step.typical_min)),
            |package, min| *(step.of)(&mut package.change_minutes) = Some(min),
        )
        .unit("min")
        .view(app)
    });
    let back = button("steps-typical", "Back to typical minutes", move || {
        app.document.edit(|package| package.change_minutes = ChangeMinutes::default());
    });
    let head = el("summary")
        .class("row__summary")
        .child(span("row__name").words("Minutes of each step"))
        .child(span("row__value").test("steps").live_words(value));
    let inside = div("row__inside")
        .child(p("quiet", "Typical of a practised crew of two until you enter yours. Common practice, no source."))
        .child(div("fields").children(fields))
        .child(div("buttons").child(back.live_flag("disabled", typical)));
    el("details").class("row").test("steps-more").child(head).child(inside)
}
