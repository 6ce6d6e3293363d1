//! The words of every finding: one sentence what is the matter, one what to do.
//!
//! Numbers are in SI with millimetres and kilograms as a crew says them; a screen in imperial units words the same
//! [`Matter`] itself through [`Units`].

use core::fmt;

use crate::answer::Estimate;
use crate::finding::{Finding, Matter};
use crate::report::{Cause, LimitKind};

/// How a sentence writes a quantity; a screen passes its own to speak imperial.
pub trait Units {
    /// A mass in kg.
    fn mass(&self, kg: f64) -> String;
    /// A mass in kg to the digits that its standard uncertainty deserves.
    fn mass_known(&self, kg: f64, u_kg: f64) -> String;
    /// The mass of something small in kg, to what a bench scale shows.
    fn mass_fine(&self, kg: f64) -> String;
    /// A trim weight in kg: what stands on it, to the gram, without noughts that say nothing.
    fn weight(&self, kg: f64) -> String;
    /// A length in m, to the millimetre.
    fn length(&self, m: f64) -> String;
    /// An unbalance in kg·m.
    fn unbalance(&self, kg_m: f64) -> String;
    /// A plain number with so many digits after the decimal mark.
    fn plain(&self, value: f64, decimals: usize) -> String {
        format!("{value:.decimals$}")
    }
}

/// Metric, as a crew says it.
pub struct Metric;

impl Units for Metric {
    fn mass(&self, kg: f64) -> String {
        format!("{kg:.1} kg")
    }
    fn mass_known(&self, kg: f64, u_kg: f64) -> String {
        let decimals = usize::from(u_kg < 1.0);
        format!("{kg:.decimals$} kg")
    }
    fn mass_fine(&self, kg: f64) -> String {
        format!("{kg:.2} kg")
    }
    fn weight(&self, kg: f64) -> String {
        format!("{} kg", libm::round(1e3 * kg) / 1e3)
    }
    fn length(&self, m: f64) -> String {
        format!("{:.0} mm", 1e3 * m)
    }
    fn unbalance(&self, kg_m: f64) -> String {
        format!("{kg_m:.3} kg·m")
    }
}

impl fmt::Display for Cause {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Unbalance => "unbalance",
            Self::Platform => "the platform's bumps and lean",
            Self::Operator => "the operator's move",
            Self::Wind => "wind",
            Self::Friction => "friction and cables",
        })
    }
}

impl fmt::Display for LimitKind {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(match self {
            Self::Peak => "peak",
            Self::Continuous => "continuous",
            Self::Rate => "rate",
        })
    }
}

impl fmt::Display for Finding {
    fn fmt(&self, out: &mut fmt::Formatter<'_>) -> fmt::Result {
        out.write_str(&self.words(&Metric))
    }
}

impl Finding {
    /// The sentence or two that a person reads.
    pub fn words(&self, units: &dyn Units) -> String {
        match &self.matter {
            Matter::TorqueOver { .. }
            | Matter::TorqueTight { .. }
            | Matter::TooFast { .. }
            | Matter::VoltageTight { .. }
            | Matter::PlatformTooFast { .. }
            | Matter::DragCrisis { .. }
            | Matter::AirTooFast { .. }
            | Matter::SeaTooSteep { .. } => torque(&self.matter),
            Matter::TapOver { .. }
            | Matter::GroupOver { .. }
            | Matter::VoltageOutside { .. }
            | Matter::CableTooThin { .. }
            | Matter::NotWired { .. }
            | Matter::PacksCollapse { .. }
            | Matter::UnlikePacks
            | Matter::PacksJustLast { .. }
            | Matter::PackChange { .. } => power(&self.matter),
            matter => balance(matter, units),
        }
    }
}

fn balance(matter: &Matter, units: &dyn Units) -> String {
    match matter {
        Matter::TooHeavy { camera_kg, limit_kg, u_kg } => {
            let over_kg = camera_kg - limit_kg;
            // Of an excess that is smaller than its doubt no number is worth telling.
            let off = if over_kg > *u_kg {
                format!("Take {} off", units.mass_known(over_kg, *u_kg))
            } else {
                "Take something off, weigh the heaviest guessed parts".to_owned()
            };
            format!(
                "Camera side {}: the head takes {}. {off}, or use a larger head.",
                units.mass_known(*camera_kg, *u_kg),
                units.mass_known(*limit_kg, *u_kg),
            )
        }
        Matter::MaybeTooHeavy { camera_kg, limit_kg, u_kg } => format!(
            "Camera side {} ± {} may exceed the head's {}. Weigh the heaviest guessed parts.",
            units.mass_known(*camera_kg, *u_kg),
            units.mass_known(*u_kg, *u_kg),
            units.mass_known(*limit_kg, *u_kg)
        ),
        Matter::TooLight { camera_kg, least_kg } => format!(
            "Camera side {} is below the {} that the head is made for: it may ring. Lower the gains or add weight.",
            units.mass(*camera_kg),
            units.mass(*least_kg)
        ),
        Matter::OutOfTravel { slide, beyond_m, word } => format!(
            "{slide} runs out of travel at its {word}, {} short. Move a part, another hole, or a trim weight.",
            units.length(*beyond_m)
        ),
        Matter::NearEnd { slide, left_m, u_m } if u_m > left_m => format!(
            "{slide} ends {} from its stop, and its mark is known to ±\u{a0}{} only: it may run out of travel. Weigh what is guessed, or make room first.",
            units.length(*left_m),
            units.length(*u_m)
        ),
        Matter::NearEnd { slide, left_m, .. } => {
            format!("{slide} ends {} from its stop: little is left for the next change.", units.length(*left_m))
        }
        Matter::NotNeutral { axis, residual_kg_m, trim_kg, at_m, side } => format!(
            "{axis} does not hang still: {} is left that no slide removes. Move it to the axis, or hang {} {side}, {} from it.",
            units.unbalance(*residual_kg_m),
            if *trim_kg < 1.0 { units.mass_fine(*trim_kg) } else { units.mass(*trim_kg) },
            units.length(*at_m)
        ),
        Matter::MarksOff { axes } => {
            format!("At the present marks {} would swing. Hold the camera before a clamp is loosened.", list(axes))
        }
        Matter::GearedAxis { axis, may_give } => format!(
            "{axis} is geared and does not turn under a small unbalance: hold zone, swing and gauge tests do not apply.{}",
            if *may_give {
                " This one is more than friction holds, and what the gears hold nobody has said: hold the camera before motors go off or a clamp is loosened."
            } else {
                ""
            }
        ),
        Matter::LeansFurther { axis, move_name, tested_rad } => format!(
            "{move_name}: {axis} stands further from upright than the {:.0}° of its test: motors off it may swing. Test it as it is used.",
            tested_rad.to_degrees()
        ),
        Matter::NearGimbalLock { move_name } => format!(
            "{move_name}: the working range comes within 10° of gimbal lock, where the outer axis must run away. Those poses are left out."
        ),
        Matter::IsolatorOver { move_name, mass_kg, rated_kg, u_kg } => {
            isolator(move_name, *rated_kg, Estimate::new(*mass_kg, *u_kg), units)
        }
        Matter::RangeBeyondLimits { axis, move_name } => {
            format!("{move_name}: the working range of {axis} goes beyond the axis's own limits. Narrow it.")
        }
        Matter::Tune { axis, build, change, again } => format!(
            "{axis}: {:+.0} % of inertia against \"{build}\", the build last tuned. {}",
            100.0 * change,
            if *again { "Tune again." } else { "Check the tune: listen for ringing or hunting." }
        ),
        Matter::FingerForce { axis, force_n, limit_n, reach_m } => format!(
            "{axis} can press a finger with {force_n:.0} N at {}, above {limit_n:.0} N: hands, straps and cables clear, and everyone told, before motors are enabled.",
            units.length(*reach_m)
        ),
        Matter::LogsDisagree { suspects, probability } => format!(
            "The logged balances do not agree (a chance of {:.1} %). Check {}, or undo a log.",
            100.0 * probability,
            if suspects.is_empty() { "the marks that were logged".to_owned() } else { list(suspects) }
        ),
        Matter::LogsVoid { logs } => format!(
            "Logged balances that count for nothing: {logs}. Something that was on then is no longer in the package, or the head has another slide or yoke since. Bring it back, or balance and log anew."
        ),
        Matter::TypicalHead => {
            "All figures of this head are invented typical ones. Replace them by your own head's.".to_owned()
        }
        Matter::MostlyGuessed { share } => format!(
            "{:.0} % of the camera side's mass is guessed. Weigh the heaviest parts first: the ± of every mark shrinks.",
            100.0 * share
        ),
        Matter::Other { text } => text.clone(),
        _ => String::new(),
    }
}

fn isolator(
    move_name: &str,
    rated_kg: f64,
    Estimate { value: mass_kg, u: u_kg }: Estimate,
    units: &dyn Units,
) -> String {
    if mass_kg > rated_kg {
        return format!(
            "{move_name}: {} hang on the isolator, which is rated for {}. Fit a larger one, or none.",
            units.mass(mass_kg),
            units.mass(rated_kg)
        );
    }
    let [mass, u, rated] = [mass_kg, u_kg, rated_kg].map(|kg| units.mass_known(kg, u_kg));
    format!(
        "{move_name}: {mass} ± {u} hang on the isolator and may exceed the {rated} that it is rated for. Weigh the heaviest guessed parts."
    )
}

fn torque(matter: &Matter) -> String {
    match matter {
        Matter::TorqueOver { axis, move_name, limit, used, cause, windiest } => format!(
            "{move_name}: {axis} needs {} its {limit} torque, mostly for {cause}. {}",
            of_all(*used),
            remedy(*cause, windiest.as_deref())
        ),
        Matter::TorqueTight { axis, move_name, limit, headroom, cause, windiest } => format!(
            "{move_name}: {axis} has {:.0} % of its {limit} torque in hand, below your reserve, mostly for {cause}. {}",
            100.0 * headroom,
            remedy(*cause, windiest.as_deref())
        ),
        Matter::TooFast { axis, move_name, rate_use } => format!(
            "{move_name}: {axis} is asked for {} its fastest rate: the voltage limits it. Slow the move down.",
            of_all(*rate_use)
        ),
        Matter::PlatformTooFast { axis, move_name, rate_use } => format!(
            "{move_name}: with the platform turning, {axis} is asked for {} its fastest rate: it loses the picture. Slow down.",
            of_all(*rate_use)
        ),
        Matter::VoltageTight { axis, move_name, headroom } if *headroom < 0.0 => format!(
            "{move_name}: near its fastest rate the voltage leaves {axis} less torque than the move asks for. Slow it down."
        ),
        Matter::VoltageTight { axis, move_name, headroom } => format!(
            "{move_name}: near its fastest rate the voltage leaves {axis} {:.0} % in hand, below your reserve. Slow it down.",
            100.0 * headroom
        ),
        Matter::DragCrisis { move_name, part } => format!(
            "{move_name}: in such gusts air flows round {part} with less drag than is counted. Its wind is on the safe side."
        ),
        Matter::AirTooFast { move_name } => {
            format!("{move_name}: gusts beyond three tenths of the speed of sound press harder than is counted.")
        }
        Matter::SeaTooSteep { move_name, steepness } => {
            format!("{move_name}: waves 1 to {:.0} in steepness break. Check their height and period.", 1.0 / steepness)
        }
        _ => String::new(),
    }
}

/// A share of a limit: per cent, unless the limit is next to nothing and the share says no more than that.
fn of_all(share: f64) -> String {
    if share < 10.0 { format!("{:.0} % of", 100.0 * share) } else { "more than ten times".to_owned() }
}

fn remedy(cause: Cause, windiest: Option<&str>) -> String {
    match (cause, windiest) {
        (Cause::Unbalance, _) => "Balance it closer.".to_owned(),
        (Cause::Platform, _) => "Slow the platform, or put an isolator between.".to_owned(),
        (Cause::Operator, _) => "Give the move more time.".to_owned(),
        (Cause::Wind, Some(part)) => {
            format!("{part} takes most of it: make that smaller or shelter it, hang a counter-sail, or go slower.")
        }
        (Cause::Wind, None) => "Shelter what it gets hold of, hang a counter-sail, or go slower.".to_owned(),
        (Cause::Friction, _) => "Free the cables across the axis.".to_owned(),
    }
}

fn power(matter: &Matter) -> String {
    match matter {
        Matter::TapOver { tap, peak_a, limit_a, always } => {
            let always = if *always { ", and it carries more than that in ordinary use too" } else { "" };
            format!(
                "{tap} carries {peak_a:.1} A when everything peaks at once: its limit is {limit_a:.1} A{always}. Move a part to another tap."
            )
        }
        Matter::GroupOver { group, peak_w, limit_w, always } => format!(
            "Taps of group {group} together: {peak_w:.0} W at peak, limit {limit_w:.0} W{}.",
            if *always { ", and more than that in ordinary use too. Move a part to another group" } else { "" }
        ),
        Matter::VoltageOutside { part, tap, low_v, high_v, window_v: [low, high] } => format!(
            "{part} on {tap} sees {low_v:.1} to {high_v:.1} V and accepts {low:.1} to {high:.1} V. Use another tap or a heavier cable."
        ),
        Matter::CableTooThin { part, tap, peak_w, passes_w } => format!(
            "{part} draws {peak_w:.0} W at its peak: its cable passes at most {passes_w:.0} W from {tap}. Use a heavier or shorter cable."
        ),
        Matter::NotWired { parts } => format!("No tap chosen for {}: counted straight from the packs.", list(parts)),
        Matter::PacksCollapse { draw_w, most_w } => {
            format!("The packs cannot give {draw_w:.0} W: at most {most_w:.0} W when full. Add packs.")
        }
        Matter::UnlikePacks => {
            "Packs of different cell counts feed in parallel. Use like packs: unlike ones charge each other.".to_owned()
        }
        Matter::PacksJustLast { spare_min, u_min } => {
            let (spare, within) = (due_min(*spare_min, *u_min), due_within_min(*u_min));
            format!("One set lasts the day with {spare:.0} min to spare, ±{within} min: keep a second one at hand.")
        }
        Matter::PackChange { at_min, u_min, sets } => {
            let within = due_within_min(*u_min);
            format!(
                "First pack change by {} ±{within} min; the day needs {sets} sets.",
                clock(due_min(*at_min, *u_min))
            )
        }
        _ => String::new(),
    }
}

/// The clock time of a pack change as it is told, minutes after midnight: where it is known to ten minutes or worse, the
/// five minutes before it, for early is safe.
pub fn due_min(at_min: f64, u_min: f64) -> f64 {
    if u_min < 10.0 { at_min } else { 5.0 * libm::floor(at_min / 5.0 + 1e-9) }
}

/// How long a set lasts as it is told, h: to the same minutes as the clock time of its change, so that the two agree.
pub fn lasts_h(runtime_h: Estimate) -> f64 {
    due_min(60.0 * runtime_h.value, 60.0 * runtime_h.u) / 60.0
}

/// Its ± as it is told, min: whole minutes, above ten minutes whole five; never nothing.
pub fn due_within_min(u_min: f64) -> f64 {
    if u_min < 10.0 { libm::ceil(u_min).max(1.0) } else { 5.0 * libm::round(u_min / 5.0) }
}

/// Minutes after midnight as a clock time; past midnight it says so. Like a clock it shows the minute that has begun.
pub fn clock(minutes: f64) -> String {
    // The hair is for whole minutes that were computed a bit low.
    #[expect(clippy::cast_possible_truncation, reason = "days of minutes are far inside i64")]
    let minutes = libm::floor(minutes + 1e-6) as i64;
    let day = match minutes.div_euclid(1_440) {
        0 => String::new(),
        1 => " next day".to_owned(),
        days => format!(" in {days} days"),
    };
    format!("{:02}:{:02}{day}", minutes.div_euclid(60).rem_euclid(24), minutes.rem_euclid(60))
}

fn list(names: &[String]) -> String {
    match names {
        [] => String::new(),
        [one] => one.clone(),
        [first @ .., last] => format!("{} and {last}", first.join(", ")),
    }
}

#[cfg(test)]
mod tests {
    use super::clock;

    #[test]
    fn a_clock_names_the_day_that_it_shows() {
        assert_eq!(clock(1_060.0), "17:40");
        assert_eq!(clock(1_500.0), "01:00 next day");
        // From 7 on for 48 hours: the second day after.
        assert_eq!(clock(420.0 + 48.0 * 60.0), "07:00 in 2 days");
        assert_eq!(clock(59.999_999_999), "01:00");
    }
}
