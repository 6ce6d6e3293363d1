//! What the platform does to the base of the head: a person's own figures, a road or a sea; and what isolates it.

use codec::library;
use solver::Package;
use solver::bounds;
use solver::package::{Isolator, Motion, Move, MoveId, RoadClass};
use solver::platform::{SEA_STATES, grown_period_s, sea_state};

use super::field;
use crate::app::App;
use crate::dom::{El, div, p};
use crate::screens::moves::{change, move_of};
use crate::show::Kind;
use crate::ui::choice::{chips, switch};
use crate::ui::number::Number;

/// How the motion is described.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Described {
    Own,
    Road,
    Sea,
}

const DESCRIBED: &[(Described, &str)] =
    &[(Described::Own, "Own figures"), (Described::Road, "A road"), (Described::Sea, "A sea")];

/// Classes of ISO 8608, in its words.
pub(super) const ROADS: &[(RoadClass, &str)] = &[
    (RoadClass::A, "A, very good"),
    (RoadClass::B, "B, good"),
    (RoadClass::C, "C, average"),
    (RoadClass::D, "D, poor"),
    (RoadClass::E, "E, very poor"),
];

/// States of the sea by the figures of the code, in its words.
const SEAS: &[(u8, &str)] =
    &[(1, "1, rippled"), (2, "2, smooth"), (3, "3, slight"), (4, "4, moderate"), (5, "5, rough"), (6, "6, very rough")];

/// A road to start from. Common practice, no source.
const TYPICAL_ROAD: Motion = Motion::Road {
    class: RoadClass::C,
    speed_m_s: 13.889,
    wheelbase_m: 3.0,
    lateral_share: 0.4,
    fore_aft_share: 0.25,
    lean_rad: 0.10472,
    steady_m_s2: 2.0,
};

/// A sea to start from. Common practice, no source.
const TYPICAL_SEA: Motion = Motion::Sea { height_m: 0.5, period_s: 4.0, lean_rad: 0.261_799, slam_m_s2: 0.0 };

/// An isolator to start from. Common practice, no source.
const TYPICAL_ISOLATOR: Isolator = Isolator { natural_hz: 5.0, damping: 0.2, rated_kg: 40.0 };

/// A number of one way of describing the motion.
macro_rules! motion_field {
    ($id:ident, $variant:ident, $field:ident, $label:literal, $kind:ident, $bounds:ident) => {
        field(
            $id,
            $label,
            Kind::$kind,
            &bounds::$bounds,
            stringify!($field),
            |each| if let Motion::$variant { $field, .. } = &each.motion { Some(*$field) } else { None },
            |each, value| {
                if let Motion::$variant { $field, .. } = &mut each.motion {
                    *$field = value;
                }
            },
        )
    };
}

/// How the platform moves under the head.
pub(super) fn motion(app: App, id: MoveId) -> Vec<El> {
    let now = move || app.document.with(|package| move_of(package, id).map(|each| described(&each.motion)));
    let key = move || now().map(|described| format!("{described:?}")).into_iter().collect();
    let fields =
        move |_: &str| match app.document.now(|package| move_of(package, id).map(|each| described(&each.motion))) {
            Some(Described::Own) => own(app, id),
            Some(Described::Road) => road(app, id),
            Some(Described::Sea) => sea(app, id),
            None => div("fields"),
        };
    let by = chips(
        app,
        "Described by",
        &format!("move-{id}-motion"),
        DESCRIBED,
        move |package| move_of(package, id).map(|each| described(&each.motion)),
        move |package, wanted| change(package, id, |each| describe(each, wanted)),
    );
    let why = "How far it leans and how hard it shakes: the motors must hold the camera still against both.";
    vec![p("quiet", why), by, div("rows").each(key, fields)]
}

/// The speed on the road, where the motion is that of a road.
pub(super) fn road_speed(app: App, id: MoveId) -> El {
    let road = move || {
        let road = |package: &Package| matches!(move_of(package, id)?.motion, Motion::Road { .. }).then_some(());
        app.document.with(road).map(|()| "road".to_owned()).into_iter().collect()
    };
    let speed = move |_: &str| motion_field!(id, Road, speed_m_s, "Speed on the road", Speed, SPEED_M_S).view(app);
    div("fields").each(road, speed)
}

fn described(motion: &Motion) -> Described {
    match motion {
        Motion::Own { .. } => Described::Own,
        Motion::Road { .. } => Described::Road,
        Motion::Sea { .. } => Described::Sea,
    }
}

/// Describes the motion otherwise, from typical figures; the lean stays.
fn describe(each: &mut Move, wanted: Described) {
    if described(&each.motion) == wanted {
        return;
    }
    let lean = *lean_mut(&mut each.motion);
    each.motion = match wanted {
        Described::Own => own_of(each),
        Described::Road => TYPICAL_ROAD,
        Described::Sea => TYPICAL_SEA,
    };
    *lean_mut(&mut each.motion) = lean;
}

/// The typical figures of the move's platform.
fn own_of(each: &Move) -> Motion {
    let suits = |typical: &&Move| typical.platform == each.platform && described(&typical.motion) == Described::Own;
    let still = Motion::Own {
        lean_rad: 0.0,
        rms_m_s2: 0.0,
        peak_m_s2: 0.0,
        slam_m_s2: 0.0,
        band_hz: 1.0,
        turn_rms_rad_s: 0.0,
        turn_peak_rad_s: 0.0,
    };
    library::moves().iter().find(suits).map_or(still, |typical| typical.motion.clone())
}

fn lean_mut(motion: &mut Motion) -> &mut f64 {
    match motion {
        Motion::Own { lean_rad, .. } | Motion::Road { lean_rad, .. } | Motion::Sea { lean_rad, .. } => lean_rad,
    }
}

fn lean(id: MoveId) -> Number {
    field(
        id,
        "Largest lean of the base",
        Kind::Angle,
        &bounds::LEAN_RAD,
        "lean_rad",
        |each| Some(*lean_mut(&mut each.motion.clone())),
        |each, lean| *lean_mut(&mut each.motion) = lean,
    )
}

fn own(app: App, id: MoveId) -> El {
    let numbers = [
        lean(id),
        motion_field!(id, Own, rms_m_s2, "Acceleration, root mean square", Acceleration, ACCELERATION_M_S2),
        motion_field!(id, Own, peak_m_s2, "Acceleration, largest", Acceleration, ACCELERATION_M_S2),
        motion_field!(id, Own, slam_m_s2, "Slam, upwards", Acceleration, ACCELERATION_M_S2),
        motion_field!(id, Own, band_hz, "Mean frequency", Frequency, FREQUENCY_HZ),
        motion_field!(id, Own, turn_rms_rad_s, "Rate of turn, root mean square", Rate, RATE_RAD_S),
        motion_field!(id, Own, turn_peak_rad_s, "Rate of turn, largest", Rate, RATE_RAD_S),
    ];
    div("rows")
        .child(p(
            "quiet",
            "A logging phone on the arm gives them all. Turning counts about any level axis; its acceleration follows \
             from the mean frequency.",
        ))
        .child(div("fields").children(numbers.map(|number| number.view(app))))
}

fn road(app: App, id: MoveId) -> El {
    let class = chips(
        app,
        "Class of the road",
        &format!("move-{id}-class"),
        ROADS,
        move |package| match move_of(package, id)?.motion {
            Motion::Road { class, .. } => Some(class),
            _ => None,
        },
        move |package, wanted| {
            change(package, id, |each| {
                if let Motion::Road { class, .. } = &mut each.motion {
                    *class = wanted;
                }
            });
        },
    );
    let numbers = [
        motion_field!(id, Road, wheelbase_m, "Wheelbase", Distance, CABLE_M),
        motion_field!(id, Road, lateral_share, "Sideways, as a share of heave", Share, SHARE),
        motion_field!(id, Road, fore_aft_share, "Fore and aft, as a share of heave", Share, SHARE),
        lean(id),
        motion_field!(id, Road, steady_m_s2, "Driving and braking", Acceleration, ACCELERATION_M_S2),
    ];
    div("rows")
        .child(p("quiet", "Typical figures to start from: put your own in. Speed and airspeed stand above."))
        .child(class)
        .child(div("fields").children(numbers.map(|number| number.view(app))))
}

fn sea(app: App, id: MoveId) -> El {
    let state = chips(
        app,
        "State of the sea",
        &format!("move-{id}-sea"),
        SEAS,
        move |package| match move_of(package, id)?.motion {
            Motion::Sea { height_m, .. } => Some(sea_state(height_m)?.figure),
            _ => None,
        },
        move |package, wanted| change(package, id, |each| raise_to(&mut each.motion, wanted)),
    );
    let numbers = [
        motion_field!(id, Sea, height_m, "Significant wave height", Distance, WAVE_HEIGHT_M),
        motion_field!(id, Sea, period_s, "Peak period", Seconds, WAVE_PERIOD_S),
        lean(id),
        motion_field!(id, Sea, slam_m_s2, "Slam, upwards", Acceleration, ACCELERATION_M_S2),
    ];
    div("rows")
        .child(p("quiet", "The hull is taken to follow the wave. Typical figures to start from: put your own in."))
        .child(state)
        .child(p(
            "quiet",
            "A state gives its highest waves (WMO code table 3700) and the period of a fully grown sea (Pierson and \
             Moskowitz). Near a shore waves are steeper and shorter.",
        ))
        .child(div("fields").children(numbers.map(|number| number.view(app))))
}

/// Takes the highest waves of a state, at the period of a sea that is fully grown; lean and slam are the hull's.
fn raise_to(motion: &mut Motion, figure: u8) {
    if let Motion::Sea { height_m, period_s, .. } = motion
        && let Some(state) = SEA_STATES.iter().find(|state| state.figure == figure)
    {
        *height_m = state.highest_m;
        *period_s = bounds::WAVE_PERIOD_S.quantise(grown_period_s(state.highest_m));
    }
}

/// What isolates the head from the platform, if anything does.
pub(super) fn isolator(app: App, id: MoveId) -> Vec<El> {
    let has = move || app.document.with(|package| move_of(package, id).is_some_and(|each| each.isolator.is_some()));
    let take = move |on: bool| {
        app.document.edit(|package| change(package, id, |each| each.isolator = on.then_some(TYPICAL_ISOLATOR)));
    };
    macro_rules! isolator_field {
        ($field:ident, $label:literal, $kind:ident, $bounds:ident) => {
            field(
                id,
                $label,
                Kind::$kind,
                &bounds::$bounds,
                concat!("isolator-", stringify!($field)),
                |each| each.isolator.as_ref().map(|isolator| isolator.$field),
                |each, value| {
                    if let Some(isolator) = &mut each.isolator {
                        isolator.$field = value;
                    }
                },
            )
            .view(app)
        };
    }
    let what = "A sprung mount between platform and head: it takes shaking out above its own frequency, and sags under \
                the mass.";
    let fields = div("fields").hidden(move || !has()).children([
        isolator_field!(natural_hz, "Natural frequency under the head", Frequency, FREQUENCY_HZ),
        isolator_field!(damping, "Damping ratio", Plain, DAMPING),
        isolator_field!(rated_kg, "Rated mass", Mass, PAYLOAD_KG),
    ]);
    vec![p("quiet", what), switch("One is fitted", &format!("move-{id}-isolator"), has, take), fields]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn however_motion_is_described_the_lean_stays_and_the_package_is_answered() {
        let mut package = codec::library::demo();
        *lean_mut(&mut package.moves[0].motion) = 0.2;
        for (wanted, _) in DESCRIBED.iter().rev().chain(DESCRIBED) {
            describe(&mut package.moves[0], *wanted);
            assert_eq!(described(&package.moves[0].motion), *wanted);
            assert!((*lean_mut(&mut package.moves[0].motion) - 0.2).abs() < 1e-15);
            assert!(solver::check(&package).is_ok(), "{wanted:?}");
        }
    }

    #[test]
    fn every_state_of_the_sea_is_told_by_its_own_waves_and_is_answered() {
        let mut package = codec::library::demo();
        package.moves[0].motion = TYPICAL_SEA;
        assert_eq!(SEAS.iter().map(|(figure, _)| *figure).collect::<Vec<_>>(), SEA_STATES.map(|state| state.figure));
        for (figure, _) in SEAS {
            raise_to(&mut package.moves[0].motion, *figure);
            let Motion::Sea { height_m, .. } = package.moves[0].motion else { panic!("still a sea") };
            assert_eq!(sea_state(height_m).map(|state| state.figure), Some(*figure));
            assert!(solver::check(&package).is_ok(), "state {figure}");
        }
    }

    #[test]
    fn the_typical_isolator_is_within_its_bounds() {
        let mut package = codec::library::demo();
        package.moves[0].isolator = Some(TYPICAL_ISOLATOR);
        assert!(solver::check(&package).is_ok());
    }
}
