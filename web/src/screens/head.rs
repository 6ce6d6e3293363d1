//! The head: which one, how the camera sits on it, what is kept in hand, the build last tuned.

use codec::library;
use solver::bounds;
use solver::explain::AnswerId;
use solver::package::{Head, Package, Tune, TunedAxis};
use solver::report::{AxisReport, TuneVerdict};

use super::answers::{Inside, set_to_target};
use super::shared::{link, section};
use crate::app::App;
use crate::dom::{El, div, el, p, span};
use crate::drawing;
use crate::route::Screen;
use crate::show::{Kind, Style};
use crate::ui::choice::select;
use crate::ui::help::help;
use crate::ui::number::number;
use crate::ui::reasons::{row, summary};
use crate::words::BEFORE_MOTORS;

/// The head screen.
pub(crate) fn view(app: App) -> El {
    // Where nothing is on the head yet, the choice of the head comes before its drawing.
    let heads = if app.document.now(begun) { [drawn(app), which(app)] } else { [which(app), drawn(app)] };
    div("screen")
        .child(first(app))
        .children(heads)
        .child(marks(app))
        .child(seat(app))
        .child(in_hand(app))
        .child(tune(app))
        .child(axes(app))
}

/// Whether anything has been entered that goes on the head.
fn begun(package: &Package) -> bool {
    !package.parts.is_empty() || !package.lenses.is_empty()
}

/// Where a new package begins: this is the screen that it opens on.
fn first(app: App) -> El {
    div("empty")
        .hidden(move || app.document.with(begun))
        .child(p("empty__line", "Begin with the head."))
        .child(p("", "Choose it below and read its marks off the scales. Then say what goes on it."))
        .child(link(Screen::AddPart, "head-add-parts", "Add parts"))
}

/// Every axis: its inertia against the tune, and what its drive does to a finger.
fn axes(app: App) -> El {
    let joints = move || {
        let ids = |report: &solver::Report| report.axes.iter().map(|axis| axis.joint.clone()).collect();
        app.document.report(ids).unwrap_or_default()
    };
    section("head-axes", "Every axis")
        .child(div("rows").each(joints, move |joint| one_axis(app, joint)))
        .child(p("caution", BEFORE_MOTORS))
}

fn one_axis(app: App, joint: &str) -> El {
    let read = {
        let joint = joint.to_owned();
        move |words: fn(&AxisReport, &Package, Style) -> String| {
            let joint = joint.clone();
            move || {
                let found = |report: &solver::Report| report.axes.iter().find(|axis| axis.joint == joint).cloned();
                let style = app.style();
                let axis = app.document.report(found).flatten();
                axis.map_or_else(String::new, |axis| app.document.with(|package| words(&axis, package, style)))
            }
        }
    };
    let head = summary().child(span("row__name").live_words(read(|axis, _, _| axis.name.clone()))).child(
        span("row__value")
            .child(div("").live_words(read(|axis, _, style| tuned(axis, style))))
            .child(div("").test(&format!("finger-{joint}")).live_words(read(finger))),
    );
    let answer = AnswerId::Hang(joint.to_owned());
    row(app, "row", &format!("axis-{joint}"), head, Inside::Answer(answer))
}

/// An inertia below this is told to a third decimal: it is known to some per cent, not better.
const SMALL_KG_M2: f64 = 0.1;

/// Inertia, and what that means for the tune.
fn tuned(axis: &AxisReport, style: Style) -> String {
    let decimals = if axis.inertia_kg_m2 < SMALL_KG_M2 { 3 } else { 2 };
    let inertia = format!("inertia {}", style.fine(Kind::Inertia, axis.inertia_kg_m2, decimals));
    match axis.tune {
        None => inertia,
        Some(tune) => {
            let sign = if tune.change < 0.0 { "\u{2212}" } else { "+" };
            let verdict = match tune.verdict {
                TuneVerdict::Keep => "keep the tune",
                TuneVerdict::Check => "check the tune",
                TuneVerdict::Redo => "tune again",
            };
            format!("{inertia}, {sign}{}: {verdict}", style.show(Kind::Share, tune.change.abs()))
        }
    }
}

fn finger(axis: &AxisReport, package: &Package, style: Style) -> String {
    let reserve = &package.reserve;
    let over = if axis.finger_force_n > reserve.finger_limit_n { "over" } else { "within" };
    format!(
        "{} on a finger: {over} {}",
        style.show(Kind::Force, axis.finger_force_n),
        style.show(Kind::Force, reserve.finger_limit_n)
    )
}

/// The head with everything on it, to scale.
fn drawn(app: App) -> El {
    section("head-drawn", "Elevations").child(drawing::view(app))
}

/// The built-in heads; the present one stays in the list when it is none of them.
fn which(app: App) -> El {
    let options = |package: &Package| {
        let mut heads: Vec<(String, String)> =
            library::heads().iter().map(|head| (head.name.clone(), head.name.clone())).collect();
        if !heads.iter().any(|(name, _)| *name == package.head.name) {
            heads.insert(0, (package.head.name.clone(), package.head.name.clone()));
        }
        heads
    };
    let take = |package: &mut Package, name: String| {
        if let Some(head) = library::heads().iter().find(|head| head.name == name) {
            put_on(package, head);
        }
    };
    section("head-which", "Head")
        .child(select(app, "Which head", "head", options, |package| package.head.name.clone(), take))
        .child(p("quiet", "Built-in heads are invented and typical: use your own head's figures where you have them."))
        .child(link(Screen::OwnHead, "to-own-head", "Describe a head of your own"))
        .child(
            div("fields").children([
                number(
                    "Heaviest camera",
                    Kind::Mass,
                    &bounds::PAYLOAD_KG,
                    "head-payload",
                    |package| Some(package.head.payload_kg[1]),
                    |package, kg| package.head.payload_kg[1] = kg.max(package.head.payload_kg[0]),
                )
                .view(app),
                number(
                    "Lightest camera",
                    Kind::Mass,
                    &bounds::PAYLOAD_KG,
                    "head-least",
                    |package| Some(package.head.payload_kg[0]),
                    |package, kg| package.head.payload_kg[0] = kg.min(package.head.payload_kg[1]),
                )
                .view(app),
            ]),
        )
}

/// Puts the package on another head. Parts keep their place where the new head has one of that name and go to the
/// camera's otherwise; a tap that the new head lacks is forgotten.
pub(super) fn put_on(package: &mut Package, head: &Head) {
    package.head = head.clone();
    let camera = head.places().find(|place| place.camera).map(|place| place.id.clone()).unwrap_or_default();
    for part in &mut package.parts {
        if !head.places().any(|place| place.id == part.at.place) {
            let other = head.places().find(|place| !place.camera).map(|place| place.id.clone());
            part.at.place = if part.pack.is_some() { other.unwrap_or_else(|| camera.clone()) } else { camera.clone() };
        }
        if let Some(load) = &mut part.load
            && load.tap.as_ref().is_some_and(|tap| !head.taps.iter().any(|known| known.id == *tap))
        {
            load.tap = None;
        }
    }
    package.logs.clear();
    package.tune = None;
}

fn marks(app: App) -> El {
    let slides = move || app.document.with(|package| package.head.slides().map(|slide| slide.id.clone()).collect());
    section("head-marks", "Present marks")
        .child(help(
            "present marks",
            "Read them off the scales on the head as they stand now: the answers start from there.",
        ))
        .child(p("quiet", "Where every scale stands now. The answers say where it should stand."))
        .child(div("fields").each(slides, move |id| {
            let name = app.document.now(|package| {
                package.head.slides().find(|slide| slide.id == id).map(|slide| slide.name.clone()).unwrap_or_default()
            });
            super::answers::present_mark(app, id, &name, "head-mark")
        }))
        .child(
            el("button")
                .class("button")
                .attr("type", "button")
                .test("head-set-all")
                .words("I have set all marks as the answers say")
                .press(move || set_to_target(app, None)),
        )
}

fn seat(app: App) -> El {
    section("head-seat", "Camera on the head")
        .child(help("the seat", "The seat is where the lowest plate sits on the head; the lens mount is the ring on the body that the lens locks into."))
        .child(p("quiet", "The height follows from the plates under the body and the body's own optical axis."))
        .child(
            div("fields").children([
                number(
                    "Lens mount from the seat's middle",
                    Kind::Length,
                    &bounds::OFFSET_M,
                    "mount-ahead",
                    |package| Some(package.mount.flange_ahead_m),
                    |package, m| package.mount.flange_ahead_m = m,
                )
                .help("Another plate hole changes this.")
                .sided(app, "Which way from the seat's middle", ["ahead", "behind"]),
                number(
                    "Lens mount off to one side",
                    Kind::Length,
                    &bounds::OFFSET_M,
                    "mount-left",
                    |package| Some(package.mount.flange_left_m),
                    |package, m| package.mount.flange_left_m = m,
                )
                .sided(app, "To which side", ["left", "right"]),
            ]),
        )
}

fn in_hand(app: App) -> El {
    section("head-reserve", "What you want in hand")
        .child(help(
            "what is kept in hand",
            "Whatever has less than this left, on any axis in any move, is told as a watch.",
        ))
        .child(
            div("fields").children([
                number(
                    "Torque in hand, at least",
                    Kind::Share,
                    &bounds::SHARE,
                    "reserve-torque",
                    |package| Some(package.reserve.torque_headroom),
                    |package, share| package.reserve.torque_headroom = share,
                )
                .help("Less than this on any axis is a watch.")
                .view(app),
                number(
                    "Tip angle for the pan test",
                    Kind::Angle,
                    &bounds::TIP_RAD,
                    "reserve-tip",
                    |package| Some(package.reserve.tip_rad),
                    |package, rad| package.reserve.tip_rad = rad,
                )
                .help("How far the base is tipped when pan is tested.")
                .view(app),
                number(
                    "Finger reach from an axis",
                    Kind::Length,
                    &bounds::REACH_M,
                    "reserve-reach",
                    |package| Some(package.reserve.finger_reach_m),
                    |package, m| package.reserve.finger_reach_m = m,
                )
                .view(app),
                number(
                    "Finger force limit",
                    Kind::Force,
                    &bounds::FORCE_N,
                    "reserve-force",
                    |package| Some(package.reserve.finger_limit_n),
                    |package, n| package.reserve.finger_limit_n = n,
                )
                .view(app),
            ]),
        )
}

/// The build that the head was tuned for: taken from what is on it now.
fn tune(app: App) -> El {
    let name = move || app.document.with(|package| package.tune.as_ref().map(|tune| tune.name.clone()));
    section("head-tune", "Tuned for")
        .child(help("tune", "Motors are tuned for the inertia they turn: over 15 % away asks for a check, over 30 % for a new tune (common practice)."))
        .child(p("quiet", "").test("tuned-for").live_words(move || {
            match name() {
                Some(name) => format!("{name}. The answers compare the inertia about every axis with it."),
                None => {
                    "Nobody has said yet. After tuning, tell it here: then a later change says whether to tune again."
                        .to_owned()
                }
            }
        }))
        .child(
            el("button")
                .class("button")
                .attr("type", "button")
                .test("tuned-now")
                .words("It is tuned for what is on it now")
                .press(move || tuned_now(app)),
        )
        .child(
            el("button")
                .class("button")
                .attr("type", "button")
                .test("tune-forget")
                .words("Forget it")
                .hidden(move || name().is_none())
                .press(move || app.document.edit(|package| package.tune = None)),
        )
        .child(thresholds(app).hidden(move || name().is_none()))
}

/// From which change of inertia on the tune is to be checked, and done again.
fn thresholds(app: App) -> El {
    let field = |label: &'static str, test: &'static str, get: fn(&Tune) -> f64, set: fn(&mut Tune, f64)| {
        number(
            label,
            Kind::Share,
            &bounds::SHARE,
            test,
            move |package| package.tune.as_ref().map(get),
            move |package, share| {
                if let Some(tune) = &mut package.tune {
                    set(tune, share);
                }
            },
        )
    };
    let check =
        field("Check the tune above", "tune-check", |tune| tune.check_share, |tune, share| tune.check_share = share);
    let again =
        field("Tune again above", "tune-again", |tune| tune.again_share, |tune, share| tune.again_share = share);
    div("fields")
        .child(check.help("Change of inertia about any axis. Common practice: 15 %.").view(app))
        .child(again.help("Common practice: 30 %.").view(app))
}

/// Shares of a change of inertia from which a tune is checked and done again. Common practice, no source.
const USUAL_THRESHOLDS: [f64; 2] = [0.15, 0.30];

fn tuned_now(app: App) {
    let axes: Vec<TunedAxis> = app
        .document
        .report(|report| {
            let axis = |axis: &solver::report::AxisReport| TunedAxis {
                joint: axis.joint.clone(),
                inertia_kg_m2: axis.inertia_kg_m2,
            };
            report.axes.iter().map(axis).collect()
        })
        .unwrap_or_default();
    app.document.edit(|package| {
        let name = package.lens().map_or_else(|| "No lens".to_owned(), |lens| format!("Build with {}", lens.name));
        // A person's own thresholds stay when the build changes.
        let [check_share, again_share] =
            package.tune.as_ref().map_or(USUAL_THRESHOLDS, |tune| [tune.check_share, tune.again_share]);
        package.tune = Some(Tune { name, axes, check_share, again_share });
    });
}
