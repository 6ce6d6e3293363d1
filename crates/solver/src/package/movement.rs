//! One way the head is used.

use serde::{Deserialize, Serialize};

use super::MoveId;
use crate::numbers::{Change, Numbers, See, numbers};
use crate::path::{FieldPath, Segment};

/// One way the head is used: platform, mounting, fastest operator moves, wind, and its share of the day.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Move {
    /// Identity within the package.
    pub id: MoveId,
    /// What the crew calls it.
    pub name: String,
    /// What carries the head.
    pub platform: PlatformKind,
    /// How the head is mounted on it.
    pub mounting: Mounting,
    /// How the platform moves under the head.
    pub motion: Motion,
    /// The operator's fastest moves; all of them at once.
    #[serde(default)]
    pub operator: Vec<AxisMove>,
    /// Working ranges; a joint not listed here stays at 0.
    #[serde(default)]
    pub ranges: Vec<AxisRange>,
    /// Fastest moves a minute while shooting.
    pub repeats_per_min: f64,
    /// Length of a take, s.
    pub take_s: f64,
    /// Mean airspeed over the head, vehicle's speed and wind together, m/s.
    pub airspeed_m_s: f64,
    /// Gust factor on that speed.
    pub gust_factor: f64,
    /// Height above sea level, m.
    #[serde(default)]
    pub altitude_m: f64,
    /// Air temperature, K.
    pub air_k: f64,
    /// A vibration isolator between platform and head.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub isolator: Option<Isolator>,
    /// Share of the day's running time, 0 to 1.
    pub share: f64,
    /// A break after it, before the next move.
    #[serde(default, skip_serializing_if = "Option::is_none")]
    pub break_after: Option<Break>,
}

numbers!(Move {
    own {
        repeats_per_min: REPEATS, take_s: TAKE_S, airspeed_m_s: AIRSPEED_M_S, gust_factor: GUST_FACTOR,
        altitude_m: ALTITUDE_M, air_k: TEMPERATURE_K, share: SHARE,
    }
    nested { motion, operator, ranges, isolator, break_after }
});

impl Move {
    /// Whether anything carries the head along.
    pub fn is_carried(&self) -> bool {
        self.platform != PlatformKind::LockedOff
    }

    /// Whether the platform shakes and nobody has said how fast it turns.
    pub fn turns_unknown(&self) -> bool {
        match self.motion {
            Motion::Own { rms_m_s2, peak_m_s2, turn_rms_rad_s, turn_peak_rad_s, .. } => {
                f64::max(rms_m_s2, peak_m_s2) > 0.0 && f64::max(turn_rms_rad_s, turn_peak_rad_s) <= 0.0
            }
            Motion::Road { wheelbase_m, .. } => wheelbase_m <= 0.0,
            Motion::Sea { .. } => false,
        }
    }
}

/// A break of the day. It is no running time: the day ends later by it.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Break {
    /// How long it is, min.
    pub length_min: f64,
    /// What head and packs do meanwhile.
    pub kind: BreakKind,
}

numbers!(Break { own { length_min: BREAK_MIN } nested {} });

/// What head and packs do during a break.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum BreakKind {
    /// Everything is off; the packs stay on the head and rest.
    Off,
    /// The head stays on without moving: its idle draw and all loads.
    HeadOn,
    /// Everything is off, and the packs that were on are on the charger, as far as it has free places.
    Charging,
}

impl BreakKind {
    /// Whether anything is drawn from the packs.
    pub fn draws(self) -> bool {
        self == Self::HeadOn
    }

    /// What is done, in words.
    pub fn words(self) -> &'static str {
        match self {
            Self::Off => "head off, packs rest",
            Self::HeadOn => "head stays on",
            Self::Charging => "head off, packs on the charger",
        }
    }
}

/// What carries the head.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum PlatformKind {
    /// Nothing moves.
    LockedOff,
    /// A dolly.
    Dolly,
    /// A jib arm.
    Jib,
    /// A telescopic crane.
    Crane,
    /// A vehicle on a road.
    RoadVehicle,
    /// A vehicle off road.
    OffRoad,
    /// A boat.
    Boat,
    /// A cable.
    Cable,
    /// A mount on the side of something.
    SideMount,
}

/// How the head is mounted: which way gravity points at its base.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Mounting {
    /// Upright in its own frame, whether it hangs from its base or not: marks are made for this one. Base above.
    Hung,
    /// Standing on its base: turned over about x.
    Stood,
    /// On its side: turned a quarter about x.
    Side,
}

/// How the platform moves under the head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "snake_case")]
pub enum Motion {
    /// A person's own figures, or the typical ones of a platform.
    Own {
        /// Largest lean of the base, rad.
        lean_rad: f64,
        /// Root mean square of the acceleration in any direction, m/s².
        rms_m_s2: f64,
        /// Largest acceleration in any horizontal direction, m/s².
        peak_m_s2: f64,
        /// Largest vertical acceleration where it is larger, as when a hull slams, m/s².
        slam_m_s2: f64,
        /// Mean frequency of the motion, Hz.
        band_hz: f64,
        /// Root mean square of the rate at which the base turns about any one level axis, rad/s.
        #[serde(default)]
        turn_rms_rad_s: f64,
        /// Largest such rate, rad/s.
        #[serde(default)]
        turn_peak_rad_s: f64,
    },
    /// A road through the stated quarter car.
    Road {
        /// Road class.
        class: RoadClass,
        /// Speed over the road, m/s.
        speed_m_s: f64,
        /// Wheelbase, for pitch, m.
        wheelbase_m: f64,
        /// Lateral acceleration as a share of heave.
        lateral_share: f64,
        /// Fore-and-aft acceleration as a share of heave.
        fore_aft_share: f64,
        /// Largest lean of the base on bends and slopes, rad.
        lean_rad: f64,
        /// Largest steady acceleration from driving and braking, m/s².
        steady_m_s2: f64,
    },
    /// A sea: the hull follows the wave.
    Sea {
        /// Significant wave height, m.
        height_m: f64,
        /// Peak period, s.
        period_s: f64,
        /// Largest steady lean, rad.
        lean_rad: f64,
        /// Vertical acceleration of a slam, m/s².
        slam_m_s2: f64,
    },
}

impl Motion {
    /// The numbers with their names and bounds, for both walks.
    fn fields(&mut self) -> Vec<(&'static str, &mut f64, &'static crate::bounds::Bounds)> {
        use crate::bounds as b;
        match self {
            Self::Own { lean_rad, rms_m_s2, peak_m_s2, slam_m_s2, band_hz, turn_rms_rad_s, turn_peak_rad_s } => vec![
                ("lean_rad", lean_rad, &b::LEAN_RAD),
                ("rms_m_s2", rms_m_s2, &b::ACCELERATION_M_S2),
                ("peak_m_s2", peak_m_s2, &b::ACCELERATION_M_S2),
                ("slam_m_s2", slam_m_s2, &b::ACCELERATION_M_S2),
                ("band_hz", band_hz, &b::FREQUENCY_HZ),
                ("turn_rms_rad_s", turn_rms_rad_s, &b::RATE_RAD_S),
                ("turn_peak_rad_s", turn_peak_rad_s, &b::RATE_RAD_S),
            ],
            Self::Road { speed_m_s, wheelbase_m, lateral_share, fore_aft_share, lean_rad, steady_m_s2, .. } => vec![
                ("speed_m_s", speed_m_s, &b::SPEED_M_S),
                ("wheelbase_m", wheelbase_m, &b::CABLE_M),
                ("lateral_share", lateral_share, &b::SHARE),
                ("fore_aft_share", fore_aft_share, &b::SHARE),
                ("lean_rad", lean_rad, &b::LEAN_RAD),
                ("steady_m_s2", steady_m_s2, &b::ACCELERATION_M_S2),
            ],
            Self::Sea { height_m, period_s, lean_rad, slam_m_s2 } => vec![
                ("height_m", height_m, &b::WAVE_HEIGHT_M),
                ("period_s", period_s, &b::WAVE_PERIOD_S),
                ("lean_rad", lean_rad, &b::LEAN_RAD),
                ("slam_m_s2", slam_m_s2, &b::ACCELERATION_M_S2),
            ],
        }
    }
}

impl Numbers for Motion {
    fn see_numbers(&self, at: &mut FieldPath, see: &mut See<'_>) {
        for (name, value, bounds) in self.clone().fields() {
            at.push(Segment::Field(name));
            see(at, *value, bounds);
            at.pop();
        }
    }
    fn change_numbers(&mut self, at: &mut FieldPath, change: &mut Change<'_>) {
        for (name, value, bounds) in self.fields() {
            at.push(Segment::Field(name));
            change(at, value, bounds);
            at.pop();
        }
    }
}

/// Road class of ISO 8608.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(rename_all = "UPPERCASE")]
pub enum RoadClass {
    /// Very good.
    A,
    /// Good.
    B,
    /// Average.
    C,
    /// Poor.
    D,
    /// Very poor.
    E,
}

/// The operator's fastest move on one axis: from rest to a rate as a raised cosine.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AxisMove {
    /// Id of the joint.
    pub joint: String,
    /// Rate reached, rad/s.
    pub rate_rad_s: f64,
    /// Time from rest to that rate, s.
    pub time_s: f64,
}

numbers!(AxisMove { own { rate_rad_s: RATE_RAD_S, time_s: TIME_S } nested {} });

/// The angles in which one axis works.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct AxisRange {
    /// Id of the joint.
    pub joint: String,
    /// Lowest and highest angle about the joint's own axis, rad (tilt up is negative).
    pub range_rad: [f64; 2],
}

numbers!(AxisRange { own { range_rad: ANGLE_RAD } nested {} });

/// A vibration isolator between platform and head.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct Isolator {
    /// Natural frequency under the head, Hz.
    pub natural_hz: f64,
    /// Damping ratio.
    pub damping: f64,
    /// Rated mass, kg.
    pub rated_kg: f64,
}

numbers!(Isolator { own { natural_hz: FREQUENCY_HZ, damping: DAMPING, rated_kg: PAYLOAD_KG } nested {} });
