//! What is measured, and in which system a person thinks.

/// The system that a person has chosen.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, Default)]
pub enum System {
    /// Kilograms, millimetres, newton metres.
    #[default]
    Metric,
    /// Pounds, inches, pound-force feet.
    Imperial,
}

/// What a number measures; in the solver it is held in the unit named here.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum Kind {
    /// A mass, kg.
    Mass,
    /// A size or position on the rig, m; shown in millimetres or inches.
    Length,
    /// A mark on a slide's scale, m: always to the millimetre, for that is what is engraved.
    Mark,
    /// A longer distance such as a cable or a height above the sea, m; shown in metres or feet.
    Distance,
    /// Torque, N·m.
    Torque,
    /// First moment of mass about an axis, kg·m.
    Unbalance,
    /// Moment of inertia, kg·m².
    Inertia,
    /// A force, N.
    Force,
    /// An angle, rad; shown in degrees.
    Angle,
    /// A rate of turn, rad/s; shown in degrees a second.
    Rate,
    /// Speed of a vehicle or of the air, m/s.
    Speed,
    /// Acceleration, m/s²; shown in g.
    Acceleration,
    /// Temperature, K; shown in degrees Celsius or Fahrenheit.
    Temperature,
    /// Power, W.
    Power,
    /// Energy of packs, Wh.
    Energy,
    /// Voltage, V.
    Voltage,
    /// Current, A.
    Current,
    /// Capacity of a pack, Ah.
    Capacity,
    /// Resistance, Ω; shown in milliohms.
    Resistance,
    /// Frequency, Hz.
    Frequency,
    /// A duration of seconds.
    Seconds,
    /// A duration of hours.
    Hours,
    /// A share, 0 to 1; shown in per cent.
    Share,
    /// A plain number.
    Plain,
}

impl Kind {
    /// What a person calls it, for messages.
    pub fn name(self) -> &'static str {
        match self {
            Self::Mass => "mass",
            Self::Length | Self::Mark | Self::Distance => "length",
            Self::Torque => "torque",
            Self::Unbalance => "unbalance",
            Self::Inertia => "inertia",
            Self::Force => "force",
            Self::Angle => "angle",
            Self::Rate => "rate",
            Self::Speed => "speed",
            Self::Acceleration => "acceleration",
            Self::Temperature => "temperature",
            Self::Power => "power",
            Self::Energy => "energy",
            Self::Voltage => "voltage",
            Self::Current => "current",
            Self::Capacity => "capacity",
            Self::Resistance => "resistance",
            Self::Frequency => "frequency",
            Self::Seconds | Self::Hours => "time",
            Self::Share => "share",
            Self::Plain => "number",
        }
    }

    /// Symbol of the unit in which it is shown, and in which a number without a unit is read.
    pub fn usual_unit(self, system: System) -> &'static str {
        match (self, system) {
            (Self::Mass, System::Metric) => "kg",
            (Self::Mass, System::Imperial) => "lb",
            (Self::Length | Self::Mark, System::Metric) => "mm",
            (Self::Length | Self::Mark, System::Imperial) => "in",
            (Self::Distance, System::Metric) => "m",
            (Self::Distance, System::Imperial) => "ft",
            (Self::Torque, System::Metric) => "N·m",
            (Self::Torque, System::Imperial) => "lbf·ft",
            (Self::Unbalance, System::Metric) => "kg·m",
            (Self::Unbalance, System::Imperial) => "lb·in",
            (Self::Inertia, System::Metric) => "kg·m²",
            (Self::Inertia, System::Imperial) => "lb·ft²",
            (Self::Force, System::Metric) => "N",
            (Self::Force, System::Imperial) => "lbf",
            (Self::Speed, System::Metric) => "km/h",
            (Self::Speed, System::Imperial) => "mph",
            (Self::Temperature, System::Metric) => "°C",
            (Self::Temperature, System::Imperial) => "°F",
            (Self::Angle, _) => "°",
            (Self::Rate, _) => "°/s",
            (Self::Acceleration, _) => "g",
            (Self::Power, _) => "W",
            (Self::Energy, _) => "Wh",
            (Self::Voltage, _) => "V",
            (Self::Current, _) => "A",
            (Self::Capacity, _) => "Ah",
            (Self::Resistance, _) => "mΩ",
            (Self::Frequency, _) => "Hz",
            (Self::Seconds, _) => "s",
            (Self::Hours, _) => "h",
            (Self::Share, _) => "%",
            (Self::Plain, _) => "",
        }
    }

    /// Digits after the decimal mark when nothing better is known about the number.
    pub fn usual_decimals(self, system: System) -> usize {
        match self {
            Self::Mass | Self::Length | Self::Mark => match (self, system) {
                (Self::Mass, System::Imperial) => 1,
                (Self::Length | Self::Mark, System::Metric) => 0,
                _ => 2,
            },
            Self::Acceleration | Self::Plain => 2,
            Self::Torque
            | Self::Voltage
            | Self::Current
            | Self::Frequency
            | Self::Distance
            | Self::Capacity
            | Self::Hours
            | Self::Seconds => 1,
            Self::Unbalance | Self::Inertia => 3,
            _ => 0,
        }
    }

    /// Whether both measure the same thing, so that a unit of one serves the other.
    pub(crate) fn same_as(self, other: Self) -> bool {
        fn family(kind: Kind) -> Kind {
            match kind {
                Kind::Mark | Kind::Distance => Kind::Length,
                other => other,
            }
        }
        family(self) == family(other)
    }
}
