//! A number as people type it.

/// A number at the beginning of a text, and the text after it. `Err` says that the number has two decimal marks.
///
/// Understands `12`, `-3.5`, `1,25`, `.5`, `1/2`, `14 1/2`, `14½`. A comma and a point are both a decimal mark.
pub(crate) fn leading(text: &str) -> Result<Option<(f64, &str)>, TwoMarks> {
    let (sign, rest) = match text.strip_prefix(['-', '+']) {
        Some(rest) => (if text.starts_with('-') { -1.0 } else { 1.0 }, rest.trim_start()),
        None => (1.0, text),
    };
    let Some((whole, after)) = plain(rest)? else {
        return Ok(vulgar(rest).map(|(part, after)| (sign * part, after)));
    };
    // `1/2`
    if let Some((below, after)) = over(after) {
        return Ok(Some((sign * whole / below, after)));
    }
    // `14½` and `14 1/2`
    if whole.fract() == 0.0 {
        let gap = after.trim_start();
        let part = vulgar(gap).or_else(|| {
            let (above, after) = digits(gap)?;
            over(after).map(|(below, after)| (above / below, after))
        });
        if let Some((part, after)) = part {
            return Ok(Some((sign * (whole + part), after)));
        }
    }
    Ok(Some((sign * whole, after)))
}

/// Two decimal marks in one number: perhaps meant as thousands, which are never separated here.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct TwoMarks;

/// Digits with at most one decimal mark.
fn plain(text: &str) -> Result<Option<(f64, &str)>, TwoMarks> {
    let end =
        text.find(|letter: char| !letter.is_ascii_digit() && letter != '.' && letter != ',').unwrap_or(text.len());
    // A mark at the very end belongs to the sentence.
    let run = text.get(..end).unwrap_or_default();
    if !run.contains(|letter: char| letter.is_ascii_digit()) {
        return Ok(None);
    }
    if run.matches(['.', ',']).count() > 1 {
        return Err(TwoMarks);
    }
    let after = text.get(end..).unwrap_or_default();
    Ok(Some((value(run), after)))
}

/// The nearest number to digits with at most one decimal mark.
///
/// Whole digits over a power of ten are the nearest number as long as both are exact, which fifteen digits are: more
/// than any scale or tape shows; those after the fifteenth are left out. The standard library's reader is right for
/// hundreds of digits and brings 12 kB of tables to a phone for it.
///
/// # Source
/// Clinger, *How to read floating point numbers accurately*, 1990: the fast path (from memory).
fn value(run: &str) -> f64 {
    let (mut digits, mut places, mut taken, mut after_mark) = (0_u64, 0_i32, 0, false);
    for byte in run.bytes() {
        if !byte.is_ascii_digit() {
            after_mark = true;
            continue;
        }
        if taken < 15 {
            digits = digits * 10 + u64::from(byte - b'0');
            taken += i32::from(digits > 0);
            places -= i32::from(after_mark);
        } else if !after_mark {
            places += 1;
        }
    }
    // Fifteen digits are below 2⁵³, and powers of ten up to 10²² are exact.
    let power = (0..places.unsigned_abs().min(300)).fold(1.0, |power, _| power * 10.0);
    if places < 0 { digits as f64 / power } else { digits as f64 * power }
}

fn digits(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    let (digits, after) = text.split_at_checked(end)?;
    (!digits.is_empty()).then(|| (value(digits), after))
}

/// The number below a fraction bar.
fn over(text: &str) -> Option<(f64, &str)> {
    let rest = text.strip_prefix(['/', '⁄'])?;
    digits(rest).filter(|(below, _)| *below > 0.0)
}

/// A ready-made fraction such as ½.
fn vulgar(text: &str) -> Option<(f64, &str)> {
    const FRACTIONS: [(char, f64); 7] =
        [('½', 0.5), ('¼', 0.25), ('¾', 0.75), ('⅛', 0.125), ('⅜', 0.375), ('⅝', 0.625), ('⅞', 0.875)];
    FRACTIONS.iter().find_map(|(sign, value)| text.strip_prefix(*sign).map(|after| (*value, after)))
}

#[cfg(test)]
mod tests {
    use super::value;

    #[test]
    fn reads_what_the_standard_reader_reads() {
        for run in [
            "0",
            "1",
            "1.",
            ".5",
            "0.1",
            "2.3",
            "15.6249",
            "142.5",
            "0.000001",
            "123456789012345",
            "9.80665",
            "000.0700",
        ] {
            assert_eq!(value(run).to_bits(), run.parse::<f64>().expect("a number").to_bits(), "{run}");
        }
        for step in (0_u32..1_000_000).step_by(7) {
            let run = format!("{}.{:04}", step / 10_000, step % 10_000);
            assert_eq!(value(&run).to_bits(), run.parse::<f64>().expect("a number").to_bits(), "{run}");
        }
    }

    #[test]
    fn digits_beyond_the_fifteenth_change_nothing_that_is_measured() {
        let close = |run: &str, expected: f64| assert!((value(run) / expected - 1.0).abs() < 1e-14, "{run}");
        close("0.3333333333333333333333", 1.0 / 3.0);
        close("12345678901234567890", 12_345_678_901_234_567_890.0);
        close("1234567890123456.25", 1_234_567_890_123_456.2);
    }
}
