//! How the demand on each axis grows with speed: the same package asked at several speeds.

use solver::Package;
use solver::bounds::AIRSPEED_M_S;
use solver::package::{Motion, Move, MoveId};

/// Speeds at which the package is asked.
pub(crate) const SAMPLES: usize = 12;
/// No chart ends below this, m/s.
const LEAST_M_S: f64 = 10.0;

/// One axis: the tighter use of its limits at every speed.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Curve {
    /// Name of the joint.
    pub(crate) name: String,
    /// Use at each of the speeds.
    pub(crate) uses: Vec<f64>,
}

/// Demand against speed in one move.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Curves {
    /// The speeds, m/s: of the vehicle on a road, of the air elsewhere.
    pub(crate) speeds_m_s: Vec<f64>,
    /// One curve for each axis, in balancing order.
    pub(crate) axes: Vec<Curve>,
    /// The move's own speed, m/s.
    pub(crate) own_m_s: f64,
    /// Highest speed at which every axis keeps the reserve, m/s.
    pub(crate) fastest_m_s: Option<f64>,
    /// Whether it is the speed over a road, the wind rising with it.
    pub(crate) road: bool,
}

/// The speed that a chart of a move varies, m/s, and whether it is that of a vehicle.
fn own_speed_m_s(each: &Move) -> (f64, bool) {
    match each.motion {
        Motion::Road { speed_m_s, .. } => (speed_m_s, true),
        _ => (each.airspeed_m_s, false),
    }
}

/// The move at another speed; on a road the airspeed rises with the vehicle.
fn at_speed(each: &Move, speed_m_s: f64) -> Move {
    let mut faster = each.clone();
    if let Motion::Road { speed_m_s: own_m_s, .. } = &mut faster.motion {
        faster.airspeed_m_s = (each.airspeed_m_s + speed_m_s - *own_m_s).clamp(0.0, AIRSPEED_M_S.max);
        *own_m_s = speed_m_s;
    } else {
        faster.airspeed_m_s = speed_m_s;
    }
    faster
}

/// Asks the solver at [`SAMPLES`] speeds; `None` without such a move or without answers.
pub(crate) fn curves(package: &Package, id: MoveId) -> Option<Curves> {
    let each = package.moves.iter().find(|each| each.id == id)?;
    let (own_m_s, road) = own_speed_m_s(each);
    let mut asked = package.clone();
    asked.moves = vec![each.clone()];
    let fastest_m_s = {
        let report = solver::check(&asked).ok()?;
        let found = report.torque.known()?.moves.first()?;
        if road { found.fastest_road_m_s } else { found.fastest_air_m_s }
    };
    let end_m_s = (1.25 * own_m_s.max(fastest_m_s.unwrap_or(0.0))).clamp(LEAST_M_S, AIRSPEED_M_S.max);
    let speeds_m_s: Vec<f64> = (0..SAMPLES).map(|index| end_m_s * index as f64 / (SAMPLES - 1) as f64).collect();
    asked.moves = speeds_m_s.iter().zip(1..).map(|(speed_m_s, id)| Move { id, ..at_speed(each, *speed_m_s) }).collect();
    let report = solver::check(&asked).ok()?;
    let moves = &report.torque.known()?.moves;
    let axes = moves.first()?.axes.iter().enumerate().map(|(index, axis)| Curve {
        name: axis.name.clone(),
        uses: moves.iter().filter_map(|each| each.axes.get(index)).map(|axis| 1.0 - axis.tightest().1.value).collect(),
    });
    let axes = axes.collect();
    Some(Curves { speeds_m_s, axes, own_m_s, fastest_m_s, road })
}

/// A round step of a scale that ends at `end`, so that it has about as many numbers as wanted.
pub(crate) fn round_step(end: f64, wanted: f64) -> f64 {
    let rough = (end / wanted).max(1e-6);
    let mut decade = 1e-6;
    while decade * 10.0 <= rough {
        decade *= 10.0;
    }
    [1.0, 2.0, 5.0].map(|digit| digit * decade).into_iter().find(|step| *step >= rough).unwrap_or(10.0 * decade)
}

/// Heights of words that want to stand at the given heights, at least `apart` from each other, in the same order.
pub(crate) fn spread(wanted: &[f64], apart: f64, [top, bottom]: [f64; 2]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    order.sort_by(|a, b| wanted[*a].total_cmp(&wanted[*b]));
    let mut placed = wanted.to_vec();
    let mut least = top;
    for index in &order {
        placed[*index] = placed[*index].max(least);
        least = placed[*index] + apart;
    }
    let mut most = bottom;
    for index in order.iter().rev() {
        placed[*index] = placed[*index].min(most);
        most = placed[*index] - apart;
    }
    placed
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_curve_goes_through_the_moves_own_answer() {
        let package = codec::library::demo();
        let report = solver::check(&package).expect("the demonstration is valid");
        let own = &report.torque.known().expect("it has moves").moves[0];
        // Asked at exactly its own speed, the varied move is the move itself.
        let each = &package.moves[0];
        assert_eq!(at_speed(each, own_speed_m_s(each).0), *each);
        let curves = curves(&package, each.id).expect("curves");
        assert_eq!(curves.axes.len(), own.axes.len());
        for (curve, axis) in curves.axes.iter().zip(&own.axes) {
            let use_now = 1.0 - axis.tightest().1.value;
            let after = curves.speeds_m_s.iter().position(|speed| *speed >= curves.own_m_s).expect("within the chart");
            assert!(curve.uses[after - 1] <= use_now + 1e-9 && use_now <= curve.uses[after] + 1e-9, "{}", curve.name);
        }
    }

    #[test]
    fn demand_never_falls_with_speed_and_meets_the_reserve_at_the_highest() {
        let package = codec::library::demo();
        let curves = curves(&package, package.moves[0].id).expect("curves");
        for curve in &curves.axes {
            assert!(curve.uses.windows(2).all(|pair| pair[0] <= pair[1] + 1e-9), "{}", curve.name);
        }
        let fastest_m_s = curves.fastest_m_s.expect("the demonstration has a highest speed");
        let allowed = 1.0 - package.reserve.torque_headroom;
        let worst = |index: usize| curves.axes.iter().map(|curve| curve.uses[index]).fold(0.0, f64::max);
        let after = curves.speeds_m_s.iter().position(|speed| *speed >= fastest_m_s).expect("within the chart");
        assert!(worst(after - 1) <= allowed + 1e-9 && allowed <= worst(after) + 1e-9);
    }

    #[test]
    fn on_a_road_the_wind_rises_with_the_vehicle() {
        let mut on_road = codec::library::demo().moves[0].clone();
        on_road.motion = Motion::Road {
            class: solver::package::RoadClass::B,
            speed_m_s: 12.0,
            wheelbase_m: 2.8,
            lateral_share: 0.5,
            fore_aft_share: 0.5,
            lean_rad: 0.1,
            steady_m_s2: 2.0,
        };
        let faster = at_speed(&on_road, 17.0);
        assert_eq!(own_speed_m_s(&faster), (17.0, true));
        assert!((faster.airspeed_m_s - on_road.airspeed_m_s - 5.0).abs() < 1e-12);
    }

    #[test]
    fn words_are_spread_within_their_room_and_keep_their_order() {
        let placed = spread(&[50.0, 52.0, 51.0, 99.0], 14.0, [10.0, 100.0]);
        assert!(placed[0] < placed[2] && placed[2] < placed[1] && placed[1] < placed[3]);
        let mut sorted = placed.clone();
        sorted.sort_by(f64::total_cmp);
        assert!(sorted.windows(2).all(|pair| pair[1] - pair[0] >= 14.0 - 1e-9));
        assert!(sorted[3] <= 100.0);
    }

    #[test]
    fn steps_are_round() {
        assert_eq!(round_step(87.0, 5.0), 20.0);
        assert!((round_step(0.9, 4.0) - 0.5).abs() < 1e-9);
        assert_eq!(round_step(250.0, 5.0), 50.0);
    }
}
