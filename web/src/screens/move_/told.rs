//! What the folded lines of a move tell: every figure in it, in the digits of its field, with its unit.

use solver::Package;
use solver::bounds;
use solver::package::{Motion, Move};

use super::axes::shown_range;
use super::base::ROADS;
use crate::show::{Kind, Style};
use crate::words::word;

/// Height above the sea that is no height, m.
const SEA_LEVEL_M: f64 = 0.5;

/// How the platform moves.
pub(super) fn motion(style: Style, each: &Move) -> String {
    let acceleration = |m_s2: f64| style.figure(Kind::Acceleration, m_s2, &bounds::ACCELERATION_M_S2);
    let rate = |rad_s: f64| style.figure(Kind::Rate, rad_s, &bounds::RATE_RAD_S);
    let distance = |m: f64, bounds| style.figure(Kind::Distance, m, bounds);
    let share = |share: f64| style.figure(Kind::Share, share, &bounds::SHARE);
    let lean = |rad: f64| format!("leans {}", style.figure(Kind::Angle, rad, &bounds::LEAN_RAD));
    let slam = |m_s2: f64| (m_s2 > 0.0).then(|| format!("slam {}", acceleration(m_s2)));
    let told = match &each.motion {
        Motion::Own { lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s } => {
            let hz = style.figure(Kind::Frequency, *band_hz, &bounds::FREQUENCY_HZ);
            vec![
                Some(lean(*lean_rad)),
                Some(format!("shakes {} rms at {hz}", acceleration(*rms_m_s2))),
                (*peak_m_s2 > 0.0).then(|| format!("{} at most", acceleration(*peak_m_s2))),
                slam(*slam_m_s2),
                (*turn_rms_rad_s > 0.0).then(|| format!("turns {} rms", rate(*turn_rms_rad_s))),
                (*turn_peak_rad_s > 0.0).then(|| format!("{} at most", rate(*turn_peak_rad_s))),
            ]
        }
        Motion::Road { class, speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2 } => vec![
            Some(format!("road {}", word(ROADS, class))),
            Some(style.figure(Kind::Speed, *speed_m_s, &bounds::SPEED_M_S)),
            Some(format!("wheelbase {}", distance(*wheelbase_m, &bounds::CABLE_M))),
            Some(format!("sideways {} of heave", share(*lateral_share))),
            Some(format!("fore and aft {}", share(*fore_aft_share))),
            Some(lean(*lean_rad)),
            Some(format!("driving {}", acceleration(*steady_m_s2))),
        ],
        Motion::Sea { height_m, period_s, lean_rad, slam_m_s2 } => vec![
            Some(format!("waves {}", distance(*height_m, &bounds::WAVE_HEIGHT_M))),
            Some(format!("every {}", style.figure(Kind::Seconds, *period_s, &bounds::WAVE_PERIOD_S))),
            Some(lean(*lean_rad)),
            slam(*slam_m_s2),
        ],
    };
    told.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// What isolates the head.
pub(super) fn isolator(style: Style, each: &Move) -> String {
    let Some(isolator) = &each.isolator else { return "none".to_owned() };
    format!(
        "{}, damping {}, rated {}",
        style.figure(Kind::Frequency, isolator.natural_hz, &bounds::FREQUENCY_HZ),
        style.figure(Kind::Plain, isolator.damping, &bounds::DAMPING),
        style.figure(Kind::Mass, isolator.rated_kg, &bounds::PAYLOAD_KG),
    )
}

/// The air, but for its speed.
pub(super) fn air(style: Style, each: &Move) -> String {
    let height = if each.altitude_m.abs() < SEA_LEVEL_M {
        "sea level".to_owned()
    } else {
        format!("{} above the sea", style.figure(Kind::Distance, each.altitude_m, &bounds::ALTITUDE_M))
    };
    let gust = style.figure(Kind::Plain, each.gust_factor, &bounds::GUST_FACTOR);
    format!("{}, {height}, gusts × {gust}", style.figure(Kind::Temperature, each.air_k, &bounds::TEMPERATURE_K))
}

/// How long a take is, and how often the fastest moves come.
pub(super) fn takes(style: Style, each: &Move) -> String {
    let take = style.figure(Kind::Seconds, each.take_s, &bounds::TAKE_S);
    let repeats = style.figure(Kind::Plain, each.repeats_per_min, &bounds::REPEATS);
    format!("{take}, fastest moves {repeats} a minute")
}

/// How far every axis turns, in the sense that the screen shows as positive.
pub(super) fn ranges(style: Style, package: &Package, each: &Move) -> String {
    let angle = |rad: f64| style.figure(Kind::Angle, rad, &bounds::ANGLE_RAD);
    let one = |joint: &solver::package::Joint| {
        let [from, to] = shown_range(each, joint);
        let words = if from == 0.0 && to == 0.0 {
            format!("at {}", angle(0.0))
        } else if from == -to {
            format!("±{}", angle(to))
        } else {
            format!("{} to {}", angle(from), angle(to))
        };
        format!("{} {words}", joint.name.to_lowercase())
    };
    package.head.joints().map(one).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::*;

    const METRIC: Style =
        Style(quantity::Style { system: quantity::System::Metric, mark: quantity::DecimalMark::Point });

    fn every_figure() -> Move {
        let mut each = codec::library::moves()[0].clone();
        each.motion = Motion::Own {
            lean_rad: 0.139_626,
            rms_m_s2: 0.980_665,
            peak_m_s2: 2.941_995,
            slam_m_s2: 4.903_325,
            band_hz: 1.5,
            turn_rms_rad_s: 0.034_907,
            turn_peak_rad_s: 0.104_72,
        };
        each
    }

    #[test]
    fn a_motion_is_told_whole_and_what_is_nothing_is_left_out() {
        let mut each = every_figure();
        let told = motion(METRIC, &each).replace('\u{a0}', " ");
        assert_eq!(
            told,
            "leans 8°, shakes 0.1 g rms at 1.5 Hz, 0.3 g at most, slam 0.5 g, turns 2°/s rms, 6°/s at most"
        );
        if let Motion::Own { slam_m_s2, turn_rms_rad_s, turn_peak_rad_s, .. } = &mut each.motion {
            [*slam_m_s2, *turn_rms_rad_s, *turn_peak_rad_s] = [0.0; 3];
        }
        assert_eq!(motion(METRIC, &each).replace('\u{a0}', " "), "leans 8°, shakes 0.1 g rms at 1.5 Hz, 0.3 g at most");
    }

    #[test]
    fn the_air_at_the_sea_and_on_a_mountain() {
        let mut each = every_figure();
        (each.air_k, each.altitude_m, each.gust_factor) = (293.15, 0.0, 1.4);
        assert_eq!(air(METRIC, &each).replace('\u{a0}', " "), "20 °C, sea level, gusts × 1.4");
        each.altitude_m = 2000.0;
        assert_eq!(air(METRIC, &each).replace('\u{a0}', " "), "20 °C, 2000 m above the sea, gusts × 1.4");
    }

    #[test]
    fn ranges_are_told_as_the_fields_show_them() {
        let package = codec::library::demo();
        let told = ranges(METRIC, &package, &package.moves[0]);
        for joint in package.head.joints() {
            assert!(told.contains(&joint.name.to_lowercase()), "{told}");
        }
        assert!(told.contains("±") && !told.contains("\u{2212}0"), "{told}");
    }
}
