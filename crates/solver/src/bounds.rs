//! Ranges and storage steps of every number that a person can enter: the one place.
//!
//! Validation, error messages, the JSON Schema, the link's fixed point, the screen's steppers and the generators of
//! the property tests all read this table. An entered number is rounded to its step at the moment it is committed, so
//! that a file and a link hold exactly what the screen shows.

/// Allowed range, storage step and unit of one kind of number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bounds {
    /// Smallest allowed value.
    pub min: f64,
    /// Largest allowed value.
    pub max: f64,
    /// Storage steps in one unit (10 000 for 0.1 g in kg): a power of ten, so that decimals survive unchanged.
    pub steps_per_unit: f64,
    /// SI unit, as printed after a number; empty for a plain ratio.
    pub unit: &'static str,
}

impl Bounds {
    const fn new(min: f64, max: f64, steps_per_unit: f64, unit: &'static str) -> Self {
        Self { min, max, steps_per_unit, unit }
    }

    /// Whether `value` is finite and within the range, ends included.
    pub fn contains(&self, value: f64) -> bool {
        value.is_finite() && value >= self.min && value <= self.max
    }

    /// `value` rounded to the nearest storage step. Not-a-number and infinities pass through, for validation to name.
    pub fn quantise(&self, value: f64) -> f64 {
        if !value.is_finite() {
            return value;
        }
        let steps = libm::round(value * self.steps_per_unit);
        // Adding zero turns −0 into 0: the two must not differ between a file and a link.
        steps / self.steps_per_unit + 0.0
    }

    /// Number of storage steps in `value`, for the link. `None` when the value is not finite or out of range.
    pub fn to_steps(&self, value: f64) -> Option<i64> {
        #[expect(clippy::cast_possible_truncation, reason = "the range check keeps every value far inside i64")]
        self.contains(value).then(|| libm::round(value * self.steps_per_unit) as i64)
    }

    /// The value of a number of storage steps, the inverse of [`Bounds::to_steps`].
    pub fn from_steps(&self, steps: i64) -> f64 {
        steps as f64 / self.steps_per_unit
    }
}

/// Mass of one part, lens or yoke.
pub const MASS_KG: Bounds = Bounds::new(0.0, 200.0, 1e4, "kg");
/// Standard uncertainty of a mass, when overwritten.
pub const MASS_U_KG: Bounds = Bounds::new(0.0, 50.0, 1e4, "kg");
/// A payload limit of a head.
pub const PAYLOAD_KG: Bounds = Bounds::new(0.0, 200.0, 1e3, "kg");
/// Share of the package's mass carried by an allowance such as cables.
pub const SHARE: Bounds = Bounds::new(0.0, 1.0, 1e4, "");
/// A coordinate or signed distance.
pub const OFFSET_M: Bounds = Bounds::new(-3.0, 3.0, 1e4, "m");
/// A size of a part: length, width, height or diameter.
pub const SIZE_M: Bounds = Bounds::new(0.0, 3.0, 1e4, "m");
/// Standard uncertainty of a position, when overwritten.
pub const OFFSET_U_M: Bounds = Bounds::new(0.0, 1.0, 1e4, "m");
/// A reading of a slide's scale.
pub const MARK_M: Bounds = Bounds::new(-2.0, 2.0, 1e4, "m");
/// Distance between two neighbouring holes.
pub const HOLE_SPACING_M: Bounds = Bounds::new(0.0005, 0.5, 1e5, "m");
/// How well an unbalance is known to be nil.
pub const UNBALANCE_U_KG_M: Bounds = Bounds::new(0.000_01, 10.0, 1e5, "kg·m");
/// A component of a unit vector.
pub const DIRECTION: Bounds = Bounds::new(-1.0, 1.0, 1e6, "");
/// Moment of inertia on the diagonal of a tensor.
pub const INERTIA_KG_M2: Bounds = Bounds::new(0.0, 100.0, 1e6, "kg·m²");
/// A joint angle.
pub const ANGLE_RAD: Bounds = Bounds::new(-12.6, 12.6, 1e6, "rad");
/// How far an axis turns from rest one way.
pub const TURN_RAD: Bounds = Bounds::new(0.0, 12.6, 1e6, "rad");
/// An angle of lean.
pub const LEAN_RAD: Bounds = Bounds::new(0.0, 1.570_797, 1e6, "rad");
/// Angle by which the base is tipped to test an upright axis: some tip there must be.
pub const TIP_RAD: Bounds = Bounds::new(0.01, 1.570_797, 1e6, "rad");
/// Torque of a drive.
pub const TORQUE_NM: Bounds = Bounds::new(0.0, 2_000.0, 1e4, "N·m");
/// Motor constant at the output.
pub const MOTOR_CONSTANT: Bounds = Bounds::new(0.001, 100.0, 1e4, "N·m/√W");
/// Gear ratio, motor turns per turn of the axis.
pub const GEAR_RATIO: Bounds = Bounds::new(1.0, 1_000.0, 1e3, "");
/// An efficiency.
pub const EFFICIENCY: Bounds = Bounds::new(0.05, 1.0, 1e4, "");
/// Thermal resistance from winding to air.
pub const THERMAL_K_W: Bounds = Bounds::new(0.01, 100.0, 1e3, "K/W");
/// Fastest rate, or rate of a move, of an axis.
pub const RATE_RAD_S: Bounds = Bounds::new(0.0, 20.0, 1e6, "rad/s");
/// Torsional spring of the cables across a joint.
pub const CABLE_SPRING: Bounds = Bounds::new(0.0, 50.0, 1e4, "N·m/rad");
/// A duration of seconds: time to a rate, or a peak torque's time.
pub const TIME_S: Bounds = Bounds::new(0.01, 600.0, 1e3, "s");
/// Length of a take.
pub const TAKE_S: Bounds = Bounds::new(1.0, 36_000.0, 10.0, "s");
/// Moves a minute.
pub const REPEATS: Bounds = Bounds::new(0.0, 240.0, 100.0, "1/min");
/// Electrical power of a load.
pub const POWER_W: Bounds = Bounds::new(0.0, 5_000.0, 100.0, "W");
/// A voltage.
pub const VOLTS: Bounds = Bounds::new(0.0, 100.0, 1e3, "V");
/// A current limit.
pub const CURRENT_A: Bounds = Bounds::new(0.0, 200.0, 1e3, "A");
/// Number of taps that share a sum limit; as many as a head may have.
pub const TAPS_IN_GROUP: Bounds = Bounds::new(1.0, 40.0, 1.0, "");
/// Number of cells in series.
pub const CELLS: Bounds = Bounds::new(1.0, 30.0, 1.0, "");
/// Capacity of a pack.
pub const CAPACITY_AH: Bounds = Bounds::new(0.1, 200.0, 1e3, "Ah");
/// Internal resistance of a pack, or of a cable.
pub const RESISTANCE_OHM: Bounds = Bounds::new(0.0, 10.0, 1e5, "Ω");
/// Length of a cable.
pub const CABLE_M: Bounds = Bounds::new(0.0, 50.0, 1e3, "m");
/// Cross-section of one conductor.
pub const CONDUCTOR_MM2: Bounds = Bounds::new(0.01, 50.0, 1e4, "mm²");
/// Airspeed over the head.
pub const AIRSPEED_M_S: Bounds = Bounds::new(0.0, 90.0, 1e3, "m/s");
/// Speed of a vehicle.
pub const SPEED_M_S: Bounds = Bounds::new(0.0, 90.0, 1e3, "m/s");
/// Gust factor on speed.
pub const GUST_FACTOR: Bounds = Bounds::new(1.0, 3.0, 1e3, "");
/// Acceleration of the platform.
pub const ACCELERATION_M_S2: Bounds = Bounds::new(0.0, 100.0, 1e4, "m/s²");
/// A frequency.
pub const FREQUENCY_HZ: Bounds = Bounds::new(0.01, 500.0, 1e3, "Hz");
/// Damping ratio.
pub const DAMPING: Bounds = Bounds::new(0.0, 2.0, 1e4, "");
/// Height above sea level.
pub const ALTITUDE_M: Bounds = Bounds::new(-500.0, 9_000.0, 1.0, "m");
/// Air temperature.
pub const TEMPERATURE_K: Bounds = Bounds::new(223.15, 333.15, 100.0, "K");
/// Drag coefficient.
pub const DRAG_COEFFICIENT: Bounds = Bounds::new(0.0, 3.0, 1e3, "");
/// A distance from an axis at which a finger may be caught.
pub const REACH_M: Bounds = Bounds::new(0.01, 2.0, 1e3, "m");
/// A force on a finger.
pub const FORCE_N: Bounds = Bounds::new(1.0, 5_000.0, 1.0, "N");
/// A length of hours.
pub const HOURS: Bounds = Bounds::new(0.0, 48.0, 1e3, "h");
/// Length of a break between moves.
pub const BREAK_MIN: Bounds = Bounds::new(1.0, 720.0, 1.0, "min");
/// Minutes that one step of a lens change takes.
pub const STEP_MIN: Bounds = Bounds::new(0.0, 60.0, 100.0, "min");
/// How many packs charge at once.
pub const CHARGER_PLACES: Bounds = Bounds::new(1.0, 100.0, 1.0, "");
/// Hours in which an empty pack is full again.
pub const CHARGE_H: Bounds = Bounds::new(0.1, 48.0, 1e3, "h");
/// Rated energy of a pack, as printed on it.
pub const RATED_WH: Bounds = Bounds::new(1.0, 5_000.0, 10.0, "Wh");
/// Minutes after midnight.
pub const CLOCK_MIN: Bounds = Bounds::new(0.0, 1_439.0, 1.0, "min");
/// Significant wave height.
pub const WAVE_HEIGHT_M: Bounds = Bounds::new(0.0, 15.0, 100.0, "m");
/// Peak period of a sea.
pub const WAVE_PERIOD_S: Bounds = Bounds::new(1.0, 30.0, 100.0, "s");
/// Focal length.
pub const FOCAL_LENGTH_M: Bounds = Bounds::new(0.001, 3.0, 1e4, "m");
/// A length of a counterweighted arm.
pub const ARM_M: Bounds = Bounds::new(0.05, 40.0, 1e3, "m");
/// Counterweight, or what hangs on a counterweighted arm.
pub const COUNTERWEIGHT_KG: Bounds = Bounds::new(0.0, 2_000.0, 1e3, "kg");
/// One counterweight plate.
pub const PLATE_KG: Bounds = Bounds::new(0.1, 100.0, 1e3, "kg");
/// How many plates of one mass there are.
pub const PLATE_COUNT: Bounds = Bounds::new(0.0, 100.0, 1.0, "");
/// How many plate holes can be reached either way.
pub const HOLES: Bounds = Bounds::new(0.0, 40.0, 1.0, "");
/// Height of a riser.
pub const RISER_M: Bounds = Bounds::new(0.001, 0.2, 1e4, "m");
/// Length of rods at hand.
pub const ROD_M: Bounds = Bounds::new(0.05, 1.5, 1e4, "m");
/// One trim weight.
pub const TRIM_KG: Bounds = Bounds::new(0.01, 5.0, 1e4, "kg");
/// How many trim weights go on one place.
pub const TRIM_PIECES: Bounds = Bounds::new(0.0, 4.0, 1.0, "");
/// Wall of a rod.
pub const ROD_WALL_M: Bounds = Bounds::new(0.0002, 0.05, 1e5, "m");
/// Stiffness of a fastening or a lens mount against turning.
pub const TURNING_NM_RAD: Bounds = Bounds::new(100.0, 1e7, 1.0, "N·m/rad");
/// Stiffness of a lens support.
pub const SUPPORT_N_M: Bounds = Bounds::new(1e3, 1e8, 1.0, "N/m");
/// From the lens-mount flange back to the imager.
pub const FLANGE_DEPTH_M: Bounds = Bounds::new(0.001, 0.2, 1e5, "m");
/// Height of the picture on the imager.
pub const PICTURE_HEIGHT_M: Bounds = Bounds::new(0.001, 0.2, 1e5, "m");
/// Width of the picture on the imager.
pub const PICTURE_WIDTH_M: Bounds = Bounds::new(0.001, 0.2, 1e5, "m");
/// How many times as wide an anamorphic lens takes the picture in.
pub const SQUEEZE: Bounds = Bounds::new(1.0, 3.0, 1e3, "");

/// Most kinds of risers, rods or trim weights at hand, each.
pub const MAX_AT_HAND: usize = 8;
/// Most kinds of counterweight plates on a cart.
pub const MAX_PLATES: usize = 12;
/// Most parts in a package.
pub const MAX_PARTS: usize = 400;
/// Most lenses in a package.
pub const MAX_LENSES: usize = 60;
/// Most moves in a package.
pub const MAX_MOVES: usize = 40;
/// Most elements in a head's chain.
pub const MAX_ELEMENTS: usize = 60;
/// Most motorised joints in a chain.
pub const MAX_JOINTS: usize = 6;
/// Most slides in a chain.
pub const MAX_SLIDES: usize = 8;
/// Most taps on a head.
pub const MAX_TAPS: usize = 40;
/// Most logged balances in a package.
pub const MAX_LOGS: usize = 40;
/// Most settings in a balance that is being found.
pub const MAX_TRIED: usize = 400;
/// Longest name, in bytes of UTF-8.
pub const MAX_NAME_BYTES: usize = 120;
/// Longest note, in bytes of UTF-8.
pub const MAX_NOTE_BYTES: usize = 4_000;
