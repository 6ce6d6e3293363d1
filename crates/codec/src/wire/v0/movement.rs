//! Moves.

use solver::package::{
    AxisMove, AxisRange, Break, BreakKind, Isolator, Motion, Mounting, Move, PlatformKind, RoadClass,
};

use crate::wire::choice::choice;
use crate::wire::fixed::{put_each, take_each};
use crate::wire::structure::layout;
use crate::wire::{Fault, Reader, Wire, Writer};

layout!(Move {
    name, share @ 1e4, airspeed_m_s @ 1e3, operator, motion, air_k @ 100.0, ranges, id, platform, mounting,
    gust_factor @ 1e3, repeats_per_min @ 100.0, take_s @ 10.0, altitude_m @ 1.0, isolator,
    break_after,
});

layout!(Break { length_min @ 1.0, kind });

choice!(BreakKind { Off, HeadOn, Charging });

choice!(PlatformKind { LockedOff, Dolly, Jib, Crane, RoadVehicle, OffRoad, Boat, Cable, SideMount });

choice!(Mounting { Hung, Stood, Side });

choice!(RoadClass { A, B, C, D, E });

layout!(AxisMove { rate_rad_s @ 1e6, time_s @ 1e3, joint });

layout!(AxisRange { range_rad @ 1e6, joint });

layout!(Isolator { natural_hz @ 1e3, damping @ 1e4, rated_kg @ 1e3 });

/// Steps of lean, r.m.s., peak, slam, band, and r.m.s. and peak of the rate of turn.
const OWN: [f64; 7] = [1e6, 1e4, 1e4, 1e4, 1e3, 1e6, 1e6];
/// Steps of speed, wheelbase, both shares, lean and steady acceleration.
const ROAD: [f64; 6] = [1e3, 1e3, 1e4, 1e4, 1e6, 1e4];
/// Steps of wave height, period, lean and slam.
const SEA: [f64; 4] = [100.0, 100.0, 1e6, 1e4];

/// A number for the kind of motion, then its numbers against the base where that is of the same kind.
impl Wire for Motion {
    fn plain() -> Self {
        own([0.0; 7])
    }

    fn put(&self, base: &Self, out: &mut Writer) {
        match self {
            Self::Own { .. } => {
                out.byte(0);
                put_each(&own_numbers(self), &own_numbers(base), &OWN, out);
            }
            Self::Road { class, .. } => {
                out.byte(1);
                class.put(&RoadClass::A, out);
                put_each(&road_numbers(self), &road_numbers(base), &ROAD, out);
            }
            Self::Sea { .. } => {
                out.byte(2);
                put_each(&sea_numbers(self), &sea_numbers(base), &SEA, out);
            }
        }
    }

    fn take(base: &Self, from: &mut Reader<'_>) -> Result<Self, Fault> {
        match from.byte()? {
            0 => Ok(own(take_each(&own_numbers(base), &OWN, from)?)),
            1 => {
                let class = RoadClass::take(&RoadClass::A, from)?;
                Ok(road(class, take_each(&road_numbers(base), &ROAD, from)?))
            }
            2 => Ok(sea(take_each(&sea_numbers(base), &SEA, from)?)),
            _ => Err(Fault::Unknown),
        }
    }
}

fn own(numbers: [f64; 7]) -> Motion {
    let [lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s] = numbers;
    Motion::Own { lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s }
}

fn own_numbers(motion: &Motion) -> [f64; 7] {
    match *motion {
        Motion::Own { lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s } => {
            [lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s]
        }
        _ => [0.0; 7],
    }
}

fn road(class: RoadClass, numbers: [f64; 6]) -> Motion {
    let [speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2] = numbers;
    Motion::Road { class, speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2 }
}

fn road_numbers(motion: &Motion) -> [f64; 6] {
    match *motion {
        Motion::Road { class: _, speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2 } => {
            [speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2]
        }
        _ => [0.0; 6],
    }
}

fn sea([height_m, period_s, lean_rad, slam_m_s2]: [f64; 4]) -> Motion {
    Motion::Sea { height_m, period_s, lean_rad, slam_m_s2 }
}

fn sea_numbers(motion: &Motion) -> [f64; 4] {
    match *motion {
        Motion::Sea { height_m, period_s, lean_rad, slam_m_s2 } => [height_m, period_s, lean_rad, slam_m_s2],
        _ => [0.0; 4],
    }
}
