//! Lifting by hand, one person at a time: the revised NIOSH lifting equation beside the reference masses of ISO 11228-1.

use std::rc::Rc;

use leptos::prelude::*;
use solver::bounds::MASS_KG;
use solver::grip::{
    Coupling, Duration, LIFT_CAUTIONS, LIFT_REACH_M, LIFTS_PER_MIN, Lift, LiftReport, LiftingPerson, TWIST_RAD,
    lifting, reference_mass_kg,
};

use super::cautions;
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::screens::reading::{Reading, reading};
use crate::screens::reasons::terms;
use crate::screens::shared::{button, line, section};
use crate::show::{Kind, Style};
use crate::ui::choice::radios;
use crate::ui::fold::fold;

const DURATIONS: [(Duration, &str); 3] = [
    (Duration::UpToOneHour, "Up to an hour"),
    (Duration::UpToTwoHours, "Up to two hours"),
    (Duration::UpToEightHours, "Up to eight hours"),
];

const COUPLINGS: [(Coupling, &str); 3] =
    [(Coupling::Good, "Good handles"), (Coupling::Fair, "Fair"), (Coupling::Poor, "Nothing to hold")];

const PERSONS: [(LiftingPerson, &str); 4] = [
    (LiftingPerson::ManOf18To45, "Man of 18 to 45"),
    (LiftingPerson::WomanOf18To45, "Woman of 18 to 45"),
    (LiftingPerson::OtherMan, "Other man"),
    (LiftingPerson::OtherWoman, "Other woman"),
];

/// The list of what the equation does not cover, in one line that is always in view.
const NOT_COVERED_WORDS: &str =
    "team lifts, one hand, sitting or kneeling, narrow or slippery places, what hangs overhead";
/// What a line says where its field is empty.
const MISSING: &str = "?";
/// Less than this is no turn, rad.
const TURN_RAD: f64 = 1e-3;

/// What is known of a lift.
#[derive(Clone, Copy)]
struct Inputs {
    mass: Reading,
    ahead: Reading,
    up: Reading,
    travel: Reading,
    twist: Reading,
    often: Reading,
    duration: RwSignal<usize>,
    coupling: RwSignal<usize>,
    person: RwSignal<usize>,
}

impl Inputs {
    /// A plain lift to begin with: close to the body, from the thigh to the chest, once in five minutes.
    fn new(camera_kg: f64) -> Self {
        Self {
            mass: reading("What one person lifts", Kind::Mass, &MASS_KG, "lift-mass").usual(camera_kg),
            ahead: reading("Hands ahead of the ankles", Kind::Length, &LIFT_REACH_M, "lift-ahead").usual(0.4),
            up: reading("Hands above the floor", Kind::Length, &LIFT_REACH_M, "lift-up").usual(0.75),
            travel: reading("How far it is raised", Kind::Length, &LIFT_REACH_M, "lift-travel").usual(0.6),
            twist: reading("How far the body turns", Kind::Angle, &TWIST_RAD, "lift-twist").usual(0.0),
            often: reading("How often", Kind::Plain, &LIFTS_PER_MIN, "lift-often").usual(0.2).unit("a minute"),
            duration: RwSignal::new(0),
            coupling: RwSignal::new(1),
            person: RwSignal::new(0),
        }
    }

    /// Where the hands begin, how far they go, and what they hold it by.
    fn how_words(self, style: Style) -> String {
        let far = |reading: Reading| {
            reading.get().map_or_else(|| MISSING.to_owned(), |m| style.figure(Kind::Length, m, &LIFT_REACH_M))
        };
        let turn = match self.twist.get() {
            None => MISSING.to_owned(),
            Some(rad) if rad < TURN_RAD => "no turn".to_owned(),
            Some(rad) => format!("turned {}", style.figure(Kind::Angle, rad, &TWIST_RAD)),
        };
        let hold = COUPLINGS[self.coupling.get()].1.to_lowercase();
        let [ahead, up, travel] = [self.ahead, self.up, self.travel].map(far);
        format!("from {ahead} ahead of the ankles, {up} above the floor, raised {travel}, {turn}; hold: {hold}")
    }

    /// How often it is lifted, and how long that goes on.
    fn pace_words(self, style: Style) -> String {
        let often = self
            .often
            .get()
            .map_or_else(|| MISSING.to_owned(), |often| style.figure(Kind::Plain, often, &LIFTS_PER_MIN));
        format!("{often} a minute, {} of it", DURATIONS[self.duration.get()].1.to_lowercase())
    }

    /// The lift, once every field can be read.
    fn lift(self) -> Option<Lift> {
        Some(Lift {
            mass_kg: self.mass.get()?,
            hands_ahead_m: self.ahead.get()?,
            hands_up_m: self.up.get()?,
            travel_m: self.travel.get()?,
            twist_rad: self.twist.get()?,
            lifts_per_min: self.often.get()?,
            duration: DURATIONS[self.duration.get()].0,
            coupling: COUPLINGS[self.coupling.get()].0,
        })
    }
}

/// Lifting by hand.
pub(super) fn view(app: App) -> El {
    let camera_kg = move || app.document.report(|report| report.mass.camera_kg.value);
    let inputs = Inputs::new(to_a_tenth(untrack(camera_kg).unwrap_or_default()));
    let answer = move || {
        let found = inputs.lift().map(|lift| (lift.mass_kg, lifting(&lift)));
        match found {
            Some((mass_kg, _)) if mass_kg <= 0.0 => {
                vec![p("quiet", "Type what one person lifts.").test("lift-nothing")]
            }
            Some((mass_kg, Ok(report))) => lines(app.style(), mass_kg, &report, PERSONS[inputs.person.get()].0),
            _ => vec![p("quiet", "Fill in every field.")],
        }
    };
    let take = move |kg: Option<f64>| {
        if let Some(kg) = kg {
            inputs.mass.set(MASS_KG.quantise(to_a_tenth(kg)));
        }
    };
    let all_up_kg = move || app.document.report(|report| report.mass.all_up_kg.value);
    section("grip-lift", "Lifting by hand")
        .child(div("table").test("lift-answer").live(answer))
        .children(cautions(&LIFT_CAUTIONS))
        .child(
            div("buttons").child(button("lift-camera", "The camera", move || take(untrack(camera_kg)))).child(button(
                "lift-all",
                "The head and all on it",
                move || take(untrack(all_up_kg)),
            )),
        )
        .child(inputs.mass.view(app))
        .child(div("rows").children(folds(app, &inputs)))
}

/// What is seldom told: a plain lift stands there to begin with, and each line says all that it takes for granted.
fn folds(app: App, inputs: &Inputs) -> [El; 3] {
    let inputs = *inputs;
    let fields = |fields: &[Reading]| div("fields").children(fields.iter().map(|field| field.view(app)));
    let hold = choice("Hands hold it by", "lift-coupling", COUPLINGS.map(|(_, word)| word), inputs.coupling);
    let long = choice("It goes on for", "lift-duration", DURATIONS.map(|(_, word)| word), inputs.duration);
    let who = choice("Who lifts", "lift-person", PERSONS.map(|(_, word)| word), inputs.person);
    let how = [inputs.ahead, inputs.up, inputs.travel, inputs.twist];
    [
        fold(app, "lift-how", "How it is lifted", move |style, _| inputs.how_words(style), [fields(&how), hold]),
        fold(
            app,
            "lift-pace",
            "How often, for how long",
            move |style, _| inputs.pace_words(style),
            [fields(&[inputs.often]), long],
        ),
        fold(app, "lift-who", "Who lifts", move |_, _| PERSONS[inputs.person.get()].1.to_owned(), [who]),
    ]
}

/// Nobody lifts to the gram.
fn to_a_tenth(kg: f64) -> f64 {
    (10.0 * kg).round() / 10.0
}

fn choice<const N: usize>(label: &str, test: &str, words: [&'static str; N], chosen: RwSignal<usize>) -> El {
    radios(label, test, words.to_vec(), Rc::new(move || Some(chosen.get())), Rc::new(move |index| chosen.set(index)))
}

fn lines(style: Style, mass_kg: f64, report: &LiftReport, person: LiftingPerson) -> Vec<El> {
    let verdict = match report.index {
        None => "Out of reach of the equation: do not lift it like this.",
        Some(index) if index <= 1.0 => "Within the limit for nearly all healthy people.",
        Some(index) if index <= 3.0 => "Above the limit: bring it closer, lower the arm, or use a stand or a hoist.",
        Some(_) => "Far above the limit: not by hand.",
    };
    let reference = reference_mass_kg(person);
    let most = style.fine(Kind::Mass, reference, 0);
    let person_words =
        if mass_kg > reference { format!("{most}: it is heavier") } else { format!("{most}: it is lighter") };
    let limit = style.fine(Kind::Mass, report.limit_kg, 1);
    let index = report.index.map_or_else(|| "none".to_owned(), |index| format!("{} times that", style.plain(index, 1)));
    let not_covered = report.not_covered.iter().map(|words| el("li").words(words));
    let fold = |name: &str, told: &str, inside: El| {
        let head = el("summary").class("row__summary").child(span("row__name").words(name));
        el("details").class("row").child(head.child(span("row__value").words(told))).child(inside)
    };
    let arithmetic = terms(style, &report.term);
    let not_covered = el("ul").class("plain-list").children(not_covered);
    vec![
        p("cost__verdict", verdict).test("lift-verdict"),
        line("lift-limit", "Recommended limit for this lift", &limit)
            .attr("data-value", &format!("{}", report.limit_kg)),
        line("lift-index", "What is lifted", &index)
            .attr("data-value", &report.index.map(|index| format!("{index}")).unwrap_or_default()),
        line("lift-reference", "Most for this person in the best posture (ISO 11228-1)", &person_words)
            .attr("data-value", &format!("{reference}")),
        fold("The arithmetic", "revised NIOSH lifting equation, 1994", arithmetic),
        fold("What this does not cover", NOT_COVERED_WORDS, not_covered).test("lift-not-covered"),
    ]
}
