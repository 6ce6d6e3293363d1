//! Trim weights in words: on the screen, on the sheet and on a terminal.

use super::{LensTrim, Nearest, Trim, TrimReport};
use crate::finding_words::Units;
use crate::remedies::Change;

/// What to hang where, as one sentence without its end; empty without weights.
pub(super) fn hang_words(weights: &[Change], units: &dyn Units) -> String {
    let mut each = weights.iter().filter_map(|weight| match weight {
        Change::Weight { kg, at } => Some(format!("{} {}", units.weight(*kg), at.words(units))),
        _ => None,
    });
    let Some(first) = each.next() else { return String::new() };
    each.fold(format!("Hang {first}"), |before, next| format!("{before}, and {next}"))
}

impl Trim {
    /// What to hang where, as one sentence without its end; empty without weights.
    pub fn words(&self, units: &dyn Units) -> String {
        hang_words(&self.weights, units)
    }

    /// What would no longer fit or be carried, each in a sentence.
    pub fn unfit_words(&self, units: &dyn Units) -> Vec<String> {
        self.unfit.iter().map(|unfit| format!("But then: {}", unfit.words(units))).collect()
    }
}

impl Nearest {
    /// The nearest that can be had and what it leaves, as one sentence.
    pub fn words(&self, tune_share: f64, units: &dyn Units) -> String {
        let turning = self.turning.iter().map(|axis| {
            let [is, held] = [axis.unbalance_kg_m, axis.held_kg_m].map(|kg_m| units.unbalance(kg_m));
            format!("{} is still out of balance ({is}, friction holds {held})", axis.axis)
        });
        let off = self.off.iter().map(|axis| {
            let may = percent(tune_share, units);
            format!(
                "the inertia about {} is still off by {} (±{may} keeps the tune)",
                axis.axis,
                signed(axis.inertia_change, units)
            )
        });
        let left: Vec<String> = turning.chain(off).collect();
        if self.weights.is_empty() {
            return format!("No weight brings it nearer: {}.", left.join("; "));
        }
        format!("Nearest: {}. Then {}.", lower(&hang_words(&self.weights, units)), left.join("; "))
    }
}

impl LensTrim {
    /// Why nothing at hand makes it match, as one sentence; `None` where something does.
    pub fn why_not(&self, units: &dyn Units) -> Option<String> {
        let nearest = self.nearest.as_ref()?;
        let lighter = units.mass(self.lighter_kg);
        let most = units.mass(nearest.most_kg);
        Some(if nearest.most_kg < self.lighter_kg {
            format!("It is {lighter} lighter, and the weights at hand come to {most} at most, on two places.")
        } else {
            format!(
                "It is {lighter} lighter; no weights at hand, on one place or two, make up for mass and place at once."
            )
        })
    }
}

impl TrimReport {
    /// The set in a line a lens; lenses that nothing makes match share one line, which says why. For a terminal.
    pub fn lines(&self, units: &dyn Units) -> Vec<String> {
        let without = self.without();
        self.told(units).chain(self.none_line(&without, units)).collect()
    }

    /// The same without the reasons, for paper.
    pub fn short_lines(&self, units: &dyn Units) -> Vec<String> {
        let names: Vec<&str> = self.without().iter().map(|lens| lens.name.as_str()).collect();
        let none = (!names.is_empty()).then(|| {
            let whom = if names.len() == self.lenses.len() { "a lighter lens".to_owned() } else { listed(&names) };
            format!("No trim weights at hand make {whom} match {}.", self.name)
        });
        self.told(units).chain(none).collect()
    }

    fn without(&self) -> Vec<&LensTrim> {
        self.lenses.iter().filter(|lens| lens.trims.is_empty()).collect()
    }

    fn told<'a>(&'a self, units: &'a dyn Units) -> impl Iterator<Item = String> + 'a {
        self.lenses.iter().filter_map(|lens| {
            let trim = lens.trims.first()?;
            if lens.matches() {
                return Some(format!("{} matches {} as it is.", lens.name, self.name));
            }
            let unfit: Vec<String> = trim.unfit_words(units).into_iter().map(|words| format!(" {words}")).collect();
            let left = signed(trim.inertia_change, units);
            Some(format!("{}: {}; inertia then off by {left}.{}", lens.name, lower(&trim.words(units)), unfit.concat()))
        })
    }

    fn none_line(&self, without: &[&LensTrim], units: &dyn Units) -> Option<String> {
        let names: Vec<&str> = without.iter().map(|lens| lens.name.as_str()).collect();
        let nearest = || without.iter().filter_map(|lens| Some((lens.lens, lens.nearest.as_ref()?)));
        let lens = nearest().min_by(|a, b| a.1.use_of_allowed.total_cmp(&b.1.use_of_allowed))?;
        let name = without.iter().find(|each| each.lens == lens.0)?;
        let whose = if without.len() > 1 { format!(" The nearest is {}.", name.name) } else { String::new() };
        Some(format!(
            "Nothing at hand makes {} match {}.{whose} {} {}",
            listed(&names),
            self.name,
            name.why_not(units)?,
            lens.1.words(self.tune_share, units)
        ))
    }
}

/// A share with its sign, to the per cent.
pub fn signed(share: f64, units: &dyn Units) -> String {
    let sign = if share < 0.0 { "−" } else { "+" };
    format!("{sign}{}", percent(share.abs(), units))
}

fn percent(share: f64, units: &dyn Units) -> String {
    format!("{}\u{a0}%", units.plain(1e2 * share, 0))
}

/// Every sentence here begins with a plain word of our own: one letter of it is small inside another.
fn lower(sentence: &str) -> String {
    let (letter, rest) = sentence.split_at(sentence.chars().next().map_or(0, char::len_utf8));
    format!("{}{rest}", letter.to_lowercase())
}

fn listed(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [before @ .., last] => format!("{} or {last}", before.join(", ")),
    }
}
