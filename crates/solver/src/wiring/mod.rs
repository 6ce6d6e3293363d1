//! Which load goes on which tap, so that every current limit, every sum limit and every voltage window is kept.

mod conductor;
mod report;
mod search;

pub use conductor::{AMPERES_MM2, Conductor, IN_USE, gauge_mm2};
pub use report::{CableAdvice, Refusal, Rewire, TightestTap, Unfeedable, Why, WiringReport, WiringVerdict};

use crate::error::InputError;
use crate::package::{Load, Package, Part, PartId};
use crate::power::{Bank, FedAt, conductor_for_mm2, fed_at, tap_volts};
use crate::validate::validate;
use search::{Choice, Found, Outlet, Problem, search};

/// Placings that are tried at most: a tenth of a second where twenty loads meet eight taps.
const MOST_TRIED: usize = 200_000;
/// And for each load that is left off to see whether the others can then be fed.
const MOST_TRIED_WITHOUT: usize = 10_000;

/// Everything that rides and draws.
fn loads(package: &Package) -> Vec<(&Part, &Load)> {
    let loads = package.riding().filter_map(|part| part.load.as_ref().map(|load| (part, load)));
    loads.filter(|(_, load)| load.most_w() > 0.0).collect()
}

/// Looks for a wiring of everything that rides and draws, cables as entered.
///
/// # Errors
/// Every fault of the input, each with its field.
pub fn wiring(package: &Package) -> Result<WiringReport, Vec<InputError>> {
    validate(package).map(|()| Table::new(package).report())
}

/// Every load against every tap.
struct Table<'a> {
    package: &'a Package,
    loads: Vec<(&'a Part, &'a Load)>,
    bank: Bank,
}

impl<'a> Table<'a> {
    fn new(package: &'a Package) -> Self {
        Self { package, loads: loads(package), bank: Bank::of(package) }
    }

    fn volts(&self, tap: usize) -> [f64; 2] {
        tap_volts(&self.package.head.taps[tap], &self.bank)
    }

    fn group_of(&self, tap: usize) -> Option<usize> {
        let group = self.package.head.taps[tap].group.as_ref()?;
        self.package.head.tap_groups.iter().position(|known| known.id == *group)
    }

    /// What a load would be on a tap, or why it cannot be there.
    fn on(&self, load: &Load, tap: usize) -> Result<Choice, Why> {
        let volts = self.volts(tap);
        if volts[0] <= 0.0 {
            return Err(Why::NoPack);
        }
        let FedAt { peak_a, peak_w, volts: [low_v, high_v], passes_w, .. } = fed_at(load, volts);
        if load.most_w() > passes_w {
            return Err(Why::CableTooThin { peak_w: load.most_w(), passes_w });
        }
        if let Some([needs_v, accepts_v]) = load.window_v {
            if low_v < needs_v {
                return Err(Why::TooLow { arrives_v: low_v, needs_v });
            }
            if high_v > accepts_v {
                return Err(Why::TooHigh { arrives_v: high_v, accepts_v });
            }
        }
        let limit_a = self.package.head.taps[tap].limit_a;
        if peak_a > limit_a {
            return Err(Why::TooMuch { peak_a, limit_a });
        }
        let limit_w = self.group_of(tap).map(|group| self.package.head.tap_groups[group].limit_w);
        if let Some(limit_w) = limit_w.filter(|limit_w| peak_w > *limit_w) {
            return Err(Why::TooMuchForGroup { peak_w, limit_w });
        }
        Ok(Choice { tap, amps: peak_a, watts: peak_w })
    }

    fn now(&self, load: &Load) -> Option<usize> {
        let id = load.tap.as_ref()?;
        self.package.head.taps.iter().position(|tap| tap.id == *id)
    }

    fn problem(&self, without: Option<usize>) -> Problem {
        let taps = &self.package.head.taps;
        let loads = self.loads.iter().enumerate().filter(|(place, _)| Some(*place) != without);
        Problem {
            loads: loads
                .map(|(_, (_, load))| search::Load {
                    choices: (0..taps.len()).filter_map(|tap| self.on(load, tap).ok()).collect(),
                    now: self.now(load),
                })
                .collect(),
            outlets: (0..taps.len())
                .map(|tap| Outlet { limit_a: taps[tap].limit_a, group: self.group_of(tap), volts: self.volts(tap) })
                .collect(),
            groups_w: self.package.head.tap_groups.iter().map(|group| group.limit_w).collect(),
        }
    }

    fn report(&self) -> WiringReport {
        let mut report = WiringReport {
            verdict: WiringVerdict::Nothing,
            changes: Vec::new(),
            tightest: None,
            unfeedable: Vec::new(),
            without: Vec::new(),
            cables: Vec::new(),
        };
        if self.loads.is_empty() || self.package.head.taps.is_empty() {
            return report;
        }
        report.unfeedable = self.loads.iter().filter_map(|(part, load)| self.unfeedable(part, load)).collect();
        let found = if report.unfeedable.is_empty() { search(&self.problem(None), MOST_TRIED) } else { Found::None };
        let now: Vec<Option<usize>> = self.loads.iter().map(|(_, load)| self.now(load)).collect();
        let mut taps = now.clone();
        report.verdict = match found {
            Found::Best(wired) => {
                taps = wired.taps.into_iter().map(Some).collect();
                if taps == now { WiringVerdict::Keep } else { WiringVerdict::Change }
            }
            Found::Good(wired) => {
                taps = wired.taps.into_iter().map(Some).collect();
                if taps == now { WiringVerdict::Keep } else { WiringVerdict::ChangePerhapsMore }
            }
            Found::None => WiringVerdict::NoneExists,
            Found::GaveUp => WiringVerdict::NotFound,
        };
        if report.verdict == WiringVerdict::NoneExists && report.unfeedable.is_empty() {
            report.without = self.without();
        } else if report.unfeedable.is_empty() {
            report.tightest = self.tightest(&taps);
        }
        report.changes = self.changes(&now, &taps);
        report.cables =
            self.loads.iter().zip(&taps).filter_map(|((part, load), tap)| self.cable(part, load, *tap)).collect();
        report
    }

    fn unfeedable(&self, part: &Part, load: &Load) -> Option<Unfeedable> {
        let taps = &self.package.head.taps;
        let refusal = |tap: usize| self.on(load, tap).err().map(|why| Refusal { tap: taps[tap].name.clone(), why });
        let refused: Vec<Refusal> = (0..taps.len()).filter_map(refusal).collect();
        (refused.len() == taps.len()).then(|| Unfeedable { part: part.id, name: part.name.clone(), refused })
    }

    /// Every single load without which the others can be fed.
    fn without(&self) -> Vec<PartId> {
        let helps = |place: &usize| {
            matches!(search(&self.problem(Some(*place)), MOST_TRIED_WITHOUT), Found::Best(_) | Found::Good(_))
        };
        (0..self.loads.len()).filter(helps).map(|place| self.loads[place].0.id).collect()
    }

    fn tightest(&self, wired: &[Option<usize>]) -> Option<TightestTap> {
        let used = |tap: usize| {
            let on = self.loads.iter().zip(wired).filter(|(_, at)| **at == Some(tap));
            on.filter_map(|((_, load), _)| self.on(load, tap).ok()).map(|choice| choice.amps).sum::<f64>()
        };
        let taps = self.package.head.taps.iter().enumerate().map(|(place, tap)| (tap, used(place)));
        taps.filter(|(_, peak_a)| *peak_a > 0.0)
            .max_by(|(one, one_a), (other, other_a)| (one_a / one.limit_a).total_cmp(&(other_a / other.limit_a)))
            .map(|(tap, peak_a)| TightestTap { name: tap.name.clone(), peak_a, limit_a: tap.limit_a })
    }

    fn changes(&self, now: &[Option<usize>], then: &[Option<usize>]) -> Vec<Rewire> {
        let taps = &self.package.head.taps;
        let rewire = |place: usize| {
            let (part, from) = (self.loads[place].0, now[place]);
            let to = then[place].filter(|to| Some(*to) != from)?;
            Some(Rewire {
                part: part.id,
                name: part.name.clone(),
                from: from.map(|from| taps[from].name.clone()),
                to: taps[to].id.clone(),
                to_name: taps[to].name.clone(),
            })
        };
        (0..self.loads.len()).filter_map(rewire).collect()
    }

    fn cable(&self, part: &Part, load: &Load, tap: Option<usize>) -> Option<CableAdvice> {
        let (cable, tap) = (load.cable.as_ref()?, tap?);
        let needs_v = load.window_v.map_or(0.0, |[needs_v, _]| needs_v);
        let [low_v, _] = self.volts(tap);
        if low_v <= 0.0 || cable.length_m <= 0.0 {
            return None;
        }
        let fed = fed_at(load, [low_v, low_v]);
        let for_current_mm2 = self.package.head.taps[tap].limit_a / AMPERES_MM2;
        let for_voltage_mm2 = conductor_for_mm2(low_v, needs_v, load.most_w(), cable.length_m);
        let needed_mm2 = for_voltage_mm2.map(|for_voltage_mm2| (IN_USE * for_voltage_mm2).max(for_current_mm2));
        Some(CableAdvice {
            part: part.id,
            name: part.name.clone(),
            length_m: cable.length_m,
            now_mm2: cable.conductor_mm2,
            needed_mm2,
            thinnest: needed_mm2.map(Conductor::at_least),
            too_thin: fed.volts[0] < needs_v || load.most_w() > fed.passes_w,
            hot: cable.conductor_mm2 < for_current_mm2,
        })
    }
}
