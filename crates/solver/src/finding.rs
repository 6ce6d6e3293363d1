//! What a person must know: no-go, watch, note, each with what to do.

use core::fmt;

use serde::Serialize;

/// How grave a finding is; the gravest sorts first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Severity {
    /// The job cannot go on like this.
    NoGo,
    /// It can go on, with an eye on this.
    Watch,
    /// Worth knowing.
    Note,
}

impl fmt::Display for Severity {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::NoGo => "No-go",
            Self::Watch => "Watch",
            Self::Note => "Note",
        })
    }
}

/// One finding.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Finding {
    /// How grave it is.
    pub severity: Severity,
    /// What is the matter, as data.
    pub matter: Matter,
}

impl Finding {
    /// Whether it has been said by whoever says that every figure of a demo is invented.
    pub fn goes_without_saying_in_demo(&self) -> bool {
        self.matter == Matter::TypicalHead
    }
}

/// What is the matter.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Matter {
    /// The camera side is heavier than the head takes.
    TooHeavy {
        /// Mass on the camera side, kg.
        camera_kg: f64,
        /// Largest allowed, kg.
        limit_kg: f64,
        /// Standard uncertainty of the mass, kg.
        u_kg: f64,
    },
    /// Within the uncertainty of the masses, the camera side may be heavier than the head takes.
    MaybeTooHeavy {
        /// Mass on the camera side, kg.
        camera_kg: f64,
        /// Largest allowed, kg.
        limit_kg: f64,
        /// Standard uncertainty, kg.
        u_kg: f64,
    },
    /// The camera side is lighter than the head is made for.
    TooLight {
        /// Mass on the camera side, kg.
        camera_kg: f64,
        /// Smallest recommended, kg.
        least_kg: f64,
    },
    /// A slide runs out of travel.
    OutOfTravel {
        /// Name of the slide.
        slide: String,
        /// By how much, m.
        beyond_m: f64,
        /// The word for the sense in which it runs out.
        word: String,
    },
    /// A mark lies close to the end of its travel.
    NearEnd {
        /// Name of the slide.
        slide: String,
        /// Travel left, m.
        left_m: f64,
        /// Standard uncertainty of the mark, m: where it is larger than what is left, the mark may lie beyond the end.
        u_m: f64,
    },
    /// The axis does not stay put at the target marks and no slide removes it.
    NotNeutral {
        /// Name of the axis.
        axis: String,
        /// Unbalance left, kg·m.
        residual_kg_m: f64,
        /// Weight that cures it when hung opposite at `at_m` from the axis, kg.
        trim_kg: f64,
        /// Distance from the axis assumed for that weight, m.
        at_m: f64,
        /// Where it goes, in words.
        side: String,
    },
    /// Marks have to be moved before the head hangs still.
    MarksOff {
        /// Names of the axes that turn at the present marks.
        axes: Vec<String>,
    },
    /// A geared axis: hold zone, swing and gauge tests do not apply.
    GearedAxis {
        /// Name of the axis.
        axis: String,
        /// Whether its unbalance is more than friction alone holds: nobody has said what its gears hold.
        may_give: bool,
    },
    /// In a move an axis leans further from upright than it does in its test: staying put in the test says too little.
    LeansFurther {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// Angle from upright in the test, rad.
        tested_rad: f64,
    },
    /// The platform turns, and with the operator's move the axis is asked for more than its fastest rate.
    PlatformTooFast {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// Both rates as a share of the fastest.
        rate_use: f64,
    },
    /// Demand above the peak or continuous limit.
    TorqueOver {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// Which limit.
        limit: crate::report::LimitKind,
        /// Demand as a share of the limit.
        used: f64,
        /// The largest term.
        cause: crate::report::Cause,
        /// The part that takes most of the wind, where wind is the largest term.
        windiest: Option<String>,
    },
    /// Less torque in hand than the reserve.
    TorqueTight {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// Which limit.
        limit: crate::report::LimitKind,
        /// Torque headroom, 0 to 1.
        headroom: f64,
        /// The largest term.
        cause: crate::report::Cause,
        /// The part that takes most of the wind, where wind is the largest term.
        windiest: Option<String>,
    },
    /// The operator's move is faster than the motor can turn.
    TooFast {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// Share of the fastest rate that is asked for.
        rate_use: f64,
    },
    /// In the operator's move the voltage leaves less torque than is asked for, or less than the reserve.
    VoltageTight {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
        /// 1 − demand / what the voltage leaves, at its tightest.
        headroom: f64,
    },
    /// The vibration isolator carries more than it is rated for, or may within the uncertainty of the masses.
    IsolatorOver {
        /// Name of the move.
        move_name: String,
        /// Mass on it, kg.
        mass_kg: f64,
        /// Its rating, kg.
        rated_kg: f64,
        /// Standard uncertainty of the mass, kg.
        u_kg: f64,
    },
    /// Gusts so fast that the drag of round parts falls: their wind counts too high.
    DragCrisis {
        /// Name of the move.
        move_name: String,
        /// Name of the thickest round part in the wind.
        part: String,
    },
    /// Gusts so fast that the air is compressed: the pressure counts too low.
    AirTooFast {
        /// Name of the move.
        move_name: String,
    },
    /// Waves steeper than water can stand.
    SeaTooSteep {
        /// Name of the move.
        move_name: String,
        /// Height over length.
        steepness: f64,
    },
    /// Working range near gimbal lock: two axes fall in line and the outer one must run away.
    NearGimbalLock {
        /// Name of the move.
        move_name: String,
    },
    /// A working range reaches beyond an axis's own limits.
    RangeBeyondLimits {
        /// Name of the axis.
        axis: String,
        /// Name of the move.
        move_name: String,
    },
    /// The inertia about an axis has strayed from the build last tuned.
    Tune {
        /// Name of the axis.
        axis: String,
        /// Name of that build.
        build: String,
        /// Inertia now ÷ inertia then − 1.
        change: f64,
        /// Whether to tune again, or only to check.
        again: bool,
    },
    /// With motors enabled a finger can be hurt.
    FingerForce {
        /// Name of the axis.
        axis: String,
        /// Force at the reach, N.
        force_n: f64,
        /// Limit, N.
        limit_n: f64,
        /// Distance from the axis, m.
        reach_m: f64,
    },
    /// The logged balances contradict each other, or what was entered.
    LogsDisagree {
        /// Names of what may be wrong.
        suspects: Vec<String>,
        /// Probability of such a contradiction when all is well.
        probability: f64,
    },
    /// Logged balances speak of something that is no longer in the package, and teach nothing.
    LogsVoid {
        /// How many.
        logs: usize,
    },
    /// A tap carries more than its limit.
    TapOver {
        /// Name of the tap.
        tap: String,
        /// Current at peak, A.
        peak_a: f64,
        /// Limit, A.
        limit_a: f64,
        /// Whether ordinary use alone is over.
        always: bool,
    },
    /// Taps that share a regulator carry more than its limit.
    GroupOver {
        /// What the group is called.
        group: String,
        /// Power at peak, W.
        peak_w: f64,
        /// Limit, W.
        limit_w: f64,
        /// Whether it does so in ordinary use, not only at peak.
        always: bool,
    },
    /// A part gets a voltage that it does not accept.
    VoltageOutside {
        /// Name of the part.
        part: String,
        /// Name of the tap.
        tap: String,
        /// Lowest voltage at the part, V.
        low_v: f64,
        /// Highest voltage at the part, V.
        high_v: f64,
        /// Accepted voltages, V.
        window_v: [f64; 2],
    },
    /// The cable of a part cannot pass what the part draws, at any voltage.
    CableTooThin {
        /// Name of the part.
        part: String,
        /// Name of the tap.
        tap: String,
        /// Power at its peak, W.
        peak_w: f64,
        /// The most that the cable passes from the lowest voltage of the tap, W.
        passes_w: f64,
    },
    /// Parts that draw power but have no tap.
    NotWired {
        /// Their names.
        parts: Vec<String>,
    },
    /// The packs cannot deliver the power at all.
    PacksCollapse {
        /// Power asked for, W.
        draw_w: f64,
        /// Most they can give, W.
        most_w: f64,
    },
    /// Packs of different cell counts ride in parallel.
    UnlikePacks,
    /// One set of packs lasts the day, but with less to spare than twice its ±.
    PacksJustLast {
        /// How long it would feed on after the day, min.
        spare_min: f64,
        /// Standard uncertainty of that, min.
        u_min: f64,
    },
    /// The packs run out before the day does.
    PackChange {
        /// Clock time, minutes after midnight.
        at_min: f64,
        /// Its standard uncertainty, min.
        u_min: f64,
        /// Sets of packs needed.
        sets: u32,
    },
    /// All numbers of the head are invented typical ones.
    TypicalHead,
    /// Most of the mass is typical or estimated.
    MostlyGuessed {
        /// Share of the camera-side mass that is not weighed.
        share: f64,
    },
    /// Something that another part of the solver found and words for itself.
    Other {
        /// The sentence.
        text: String,
    },
}
