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
    // Standard parsing needs a point; "1." and ".5" are both fine for it.
    Ok(run.replace(',', ".").parse().ok().map(|number| (number, after)))
}

fn digits(text: &str) -> Option<(f64, &str)> {
    let end = text.find(|letter: char| !letter.is_ascii_digit()).unwrap_or(text.len());
    let (digits, after) = text.split_at_checked(end)?;
    digits.parse().ok().map(|number: f64| (number, after))
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
