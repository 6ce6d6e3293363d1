//! The order of work at wrap, and the cautions of lifting and tethers. Common practice, no source.

/// In this order, and not before the arm is held: a counterweighted arm without its load throws its tail down.
pub const WRAP_ORDER: [&str; 7] = [
    "Motors off, and everyone told.",
    "Locks on, on every axis.",
    "Hold the arm, or tie it down, before anything comes off.",
    "Counterweights off before the head comes off: never the other way round.",
    "Camera held by one person while another opens its clamp.",
    "Secondary tether off last.",
    "Damaged or hot lithium packs outside, away from people, and not into a charger.",
];

/// Lifting the head or the camera.
pub const LIFT_CAUTIONS: [&str; 4] = [
    "Above the limit: lower the arm, or use a stand or a hoist.",
    "The lifting equation does not cover team lifts.",
    "Hold the camera before a clamp is loosened.",
    "Hands, straps and cables clear of the yokes.",
];

/// Hanging anything over people.
pub const TETHER_CAUTIONS: [&str; 4] = [
    "Use rated fixings and a rated steel tether with as little slack as it will go.",
    "A fall onto a tether pulls with several times the weight: rate every link of it for that.",
    "What caught a fall once is not used again.",
    "Local codes and the licensed rigger on site decide.",
];
