//! Times of day and lengths of hours.

/// Minutes of a day.
const DAY_MIN: i64 = 1_440;

/// Minutes after midnight as a time of day: `1060` is `17:40`. Goes round at midnight. Like a clock it shows the minute
/// that has begun.
pub fn clock(minutes: f64) -> String {
    let whole = begun_minutes(minutes).rem_euclid(DAY_MIN);
    format!("{:02}:{:02}", whole / 60, whole % 60)
}

/// As [`clock`], with the day named when it is not the first: `1500` is `01:00 next day`.
pub fn day_clock(minutes: f64) -> String {
    match begun_minutes(minutes).div_euclid(DAY_MIN) {
        0 => clock(minutes),
        1 => format!("{} next day", clock(minutes)),
        days => format!("{} in {days} days", clock(minutes)),
    }
}

/// Hours in hours and minutes: `3.66` is `3 h 40`.
pub fn hours(hours: f64) -> String {
    let whole = whole_minutes(60.0 * hours);
    if whole < 60 { format!("{whole} min") } else { format!("{} h {:02}", whole / 60, whole % 60) }
}

/// A time of day in minutes after midnight: `17:40`, `17.40`, `1740`, `7`. `None` when it is none.
pub fn parse_clock(text: &str) -> Option<f64> {
    let text = text.trim();
    let (hours, minutes) = match text.split_once([':', '.', 'h']) {
        Some((hours, minutes)) => (hours, if minutes.is_empty() { "0" } else { minutes }),
        None if text.len() > 2 => text.split_at_checked(text.len() - 2)?,
        None => (text, "0"),
    };
    let (hours, minutes): (u32, u32) = (hours.trim().parse().ok()?, minutes.trim().parse().ok()?);
    (hours < 24 && minutes < 60).then(|| f64::from(60 * hours + minutes))
}

/// The hair is for whole minutes that were computed a bit low.
#[expect(clippy::cast_possible_truncation, reason = "saturates; days are short")]
fn begun_minutes(minutes: f64) -> i64 {
    (minutes + 1e-6).floor() as i64
}

#[expect(clippy::cast_possible_truncation, reason = "saturates; days are short")]
fn whole_minutes(minutes: f64) -> i64 {
    minutes.round() as i64
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn times_of_day() {
        assert_eq!(clock(1_060.0), "17:40");
        assert_eq!(clock(0.9), "00:00");
        assert_eq!(clock(59.999_999_999), "01:00");
        assert_eq!(day_clock(1_500.0), "01:00 next day");
        assert_eq!(hours(3.66), "3 h 40");
        assert_eq!(hours(0.75), "45 min");
        assert_eq!(hours(1.999), "2 h 00");
    }

    #[test]
    fn times_are_read_as_they_are_typed() {
        for text in ["17:40", "17.40", "1740", "17h40", " 17:40 "] {
            assert_eq!(parse_clock(text), Some(1_060.0), "{text}");
        }
        assert_eq!(parse_clock("7"), Some(420.0));
        assert_eq!(parse_clock("07"), Some(420.0));
        assert_eq!(parse_clock("730"), Some(450.0));
        for text in ["", "25:00", "12:60", "noon", "-1:00", "17:4x"] {
            assert_eq!(parse_clock(text), None, "{text}");
        }
    }
}
