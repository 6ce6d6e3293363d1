//! The second step: where each axis lies, how far it turns, its motor.

use solver::bounds;
use solver::package::{DriveKind, Element, Joint, Package};

use super::field;
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::shared::section;
use crate::show::{Kind, Style};
use crate::ui::choice::chips;
use crate::ui::fold::fold;

const KINDS: &[(DriveKind, &str)] =
    &[(DriveKind::Direct, "Motor on the axis"), (DriveKind::Belt, "Belt"), (DriveKind::Geared, "Gears")];

/// One fold for each axis, platform first.
pub(super) fn view(app: App) -> El {
    let ids = move || app.document.with(|package| package.head.joints().map(|joint| joint.id.clone()).collect());
    section("own-axes", "2. Each axis, platform first")
        .child(p(
            "quiet",
            "Places with every slide in its middle. Torque from the data sheet, or by spring gauge, below.",
        ))
        .child(div("own-axes").each(ids, move |id| axis(app, id)))
}

/// The joint with this id.
pub(super) fn joint<'a>(package: &'a Package, id: &str) -> Option<&'a Joint> {
    package.head.joints().find(|joint| joint.id == id)
}

/// Changes the joint with this id.
pub(super) fn change(package: &mut Package, id: &str, change: impl FnOnce(&mut Joint)) {
    let found = package.head.chain.iter_mut().find_map(|element| match element {
        Element::Joint(joint) if joint.id == id => Some(joint),
        _ => None,
    });
    if let Some(joint) = found {
        change(joint);
    }
}

#[expect(clippy::too_many_lines, reason = "one form, read from top to bottom")]
fn axis(app: App, id: &str) -> El {
    let first = app.document.now(|package| package.head.joints().next().is_some_and(|joint| joint.id == id));
    let name = app.document.now(|package| joint(package, id).map(|joint| joint.name.clone()).unwrap_or_default());
    let number = |label: &str,
                  kind: Kind,
                  bounds: &'static bounds::Bounds,
                  test: &str,
                  get: fn(&Joint) -> Option<f64>,
                  set: fn(&mut Joint, f64)| {
        let (read, write) = (id.to_owned(), id.to_owned());
        field(
            label,
            kind,
            bounds,
            &format!("{id}-{test}"),
            move |package| joint(package, &read).and_then(get),
            move |package, value| change(package, &write, |joint| set(joint, value)),
        )
    };
    let outside = if first { "the mount" } else { "the axis outside it" };
    let places = [
        number(
            &format!("Height from {outside}"),
            Kind::Length,
            &bounds::OFFSET_M,
            "below",
            |joint| Some(0.0 - joint.position_m[2]),
            |joint, m| joint.position_m[2] = 0.0 - m,
        )
        .sided(app, "Above or below it", ["below", "above"]),
        number(
            &format!("Fore and aft of {outside}"),
            Kind::Length,
            &bounds::OFFSET_M,
            "ahead",
            |joint| Some(joint.position_m[0]),
            |joint, m| joint.position_m[0] = m,
        )
        .sided(app, "Ahead or behind", ["ahead", "behind"]),
    ];
    let words = app.document.now(|package| joint(package, id).map(|joint| joint.turns.clone()));
    let (plus, minus) = words.map(|turns| (turns.plus, turns.minus)).unwrap_or_default();
    let limits = [
        number(
            &format!("Turns at most until {plus}"),
            Kind::Angle,
            &bounds::TURN_RAD,
            "plus",
            |joint| joint.limits_rad.map(|[_, high]| high),
            |joint, rad| set_limit(joint, 1, rad),
        ),
        number(
            &format!("and until {minus}"),
            Kind::Angle,
            &bounds::TURN_RAD,
            "minus",
            |joint| joint.limits_rad.map(|[low, _]| -low),
            |joint, rad| set_limit(joint, 0, -rad),
        ),
    ];
    let motor = [
        number(
            "Peak torque",
            Kind::Torque,
            &bounds::TORQUE_NM,
            "peak",
            |joint| Some(joint.drive.peak_nm),
            |joint, nm| joint.drive.peak_nm = nm,
        ),
        number(
            "Continuous torque",
            Kind::Torque,
            &bounds::TORQUE_NM,
            "continuous",
            |joint| Some(joint.drive.continuous_nm),
            |joint, nm| joint.drive.continuous_nm = nm,
        ),
        number(
            "Fastest turn",
            Kind::Rate,
            &bounds::RATE_RAD_S,
            "rate",
            |joint| Some(joint.drive.max_rate_rad_s),
            |joint, rate| joint.drive.max_rate_rad_s = rate,
        ),
        number(
            "Friction",
            Kind::Torque,
            &bounds::TORQUE_NM,
            "friction",
            |joint| Some(joint.drive.friction_nm),
            |joint, nm| joint.drive.friction_nm = nm,
        )
        .help("By spring gauge both ways, on Weigh and measure; or from the hold zone, below."),
    ];
    let (read, write) = (id.to_owned(), id.to_owned());
    let kind = chips(
        app,
        "Driven by",
        &format!("own-{id}-drive"),
        KINDS,
        move |package| joint(package, &read).map(|joint| joint.drive.kind),
        move |package, kind| change(package, &write, |joint| joint.drive.kind = kind),
    );
    let endless = app.document.now(|package| joint(package, id).is_some_and(|joint| joint.limits_rad.is_none()));
    let inside = [
        div("fields").children(places),
        div("fields").children(limits.map(|field| field.view(app))),
        p("quiet", "Left empty, it turns without an end.").hidden(move || !endless),
        kind,
        div("fields").children(motor.map(|field| field.view(app))),
    ];
    let read = id.to_owned();
    let state = move |style: Style, package: &Package| {
        joint(package, &read).map(|joint| told(style, joint)).unwrap_or_default()
    };
    fold(app, &format!("own-axis-of-{id}"), &name, state, inside)
}

/// How an axis stands, in one line: what its motor gives, how fast, and what its bearing holds.
fn told(style: Style, joint: &Joint) -> String {
    let drive = &joint.drive;
    let [peak, continuous, friction] = [drive.peak_nm, drive.continuous_nm, drive.friction_nm]
        .map(|nm| style.figure(Kind::Torque, nm, &bounds::TORQUE_NM));
    let rate = style.figure(Kind::Rate, drive.max_rate_rad_s, &bounds::RATE_RAD_S);
    format!("{peak} peak, {continuous} continuous, {rate}, friction {friction}")
}

/// Sets one end of the travel; an axis without ends gets both.
fn set_limit(joint: &mut Joint, end: usize, rad: f64) {
    let mut limits_rad = joint.limits_rad.unwrap_or([-core::f64::consts::PI, core::f64::consts::PI]);
    limits_rad[end] = rad;
    joint.limits_rad = Some(limits_rad);
}
