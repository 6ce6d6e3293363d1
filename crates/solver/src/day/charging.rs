//! Chargers: whether sets of packs come round in time.

use serde::Serialize;

use super::PackChange;
use crate::package::Day;
use crate::power::{CHARGE_H, CHARGER_PLACES, SURE};

/// Whether the sets come round in time.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChargingReport {
    /// How many packs charge at once.
    pub places: f64,
    /// In how many hours an empty pack is full again.
    pub hours: f64,
    /// Whether one of these two is typical: nobody has said.
    pub typical: bool,
    /// How many sets the day takes; with changes in breaks where these take more.
    pub sets: u32,
    /// How many sets must be full before the day begins, the first included: the fewest with which every change finds a
    /// full one, whether packs are changed in breaks or as they run out, with twice the ± to spare.
    pub charged_before: u32,
    /// Whether that is fewer than these sets: at least one comes round in time.
    pub comes_round: bool,
    /// The shortest time for which a set that has come round stands full before it goes on, min; absent when none does.
    pub spare_min: Option<f64>,
}

fn places(day: &Day) -> f64 {
    day.charger_places.unwrap_or(CHARGER_PLACES)
}

fn hours(day: &Day) -> f64 {
    day.charge_h.unwrap_or(CHARGE_H)
}

impl ChargingReport {
    /// How many sets to charge before the day, in words.
    pub fn words(&self) -> String {
        let sets = self.sets;
        match (self.comes_round, sets) {
            (true, _) => {
                format!("Charge {} of {sets} sets before the day: the rest comes round in time", self.charged_before)
            }
            (false, 2) => "Charge both sets before the day".to_owned(),
            (false, _) => format!("Charge all {sets} sets before the day: none comes round in time"),
        }
    }
}

/// Whether the sets come round in time, with these changes as packs run out and these with changes in breaks, none where no
/// break takes one; `None` without a pack change.
pub(super) fn report(day: &Day, as_they_run: &[PackChange], then: &[PackChange]) -> Option<ChargingReport> {
    // A crew may go either way: what is charged must be enough for both.
    let (charged_before, spare_min) = match (fewest(as_they_run)?, fewest(then)) {
        (run, Some(then)) if then.0 > run.0 => then,
        (run, Some(then)) if then.0 == run.0 => (run.0, run.1.into_iter().chain(then.1).reduce(f64::min)),
        (run, _) => run,
    };
    let sets = u32::try_from(as_they_run.len().max(then.len())).unwrap_or(u32::MAX).saturating_add(1);
    Some(ChargingReport {
        sets,
        places: places(day),
        hours: hours(day),
        typical: day.charger_places.is_none() || day.charge_h.is_none(),
        charged_before,
        comes_round: charged_before < sets,
        spare_min,
    })
}

/// The fewest sets with which every change finds a full one, and the shortest time for which one of them stands full.
/// Sets go round in order: with n of them change k takes the set that came off at change k − n + 1. Loads and capacity are
/// off in one way all day, so the time between two changes is as uncertain as their ± differ: less spare than twice that is
/// none to count on.
fn fewest(changes: &[PackChange]) -> Option<(u32, Option<f64>)> {
    if changes.is_empty() {
        return None;
    }
    let pairs = |of: usize| changes.iter().zip(&changes[of - 1..]);
    let spare_min = |(off, on): (&PackChange, &PackChange)| on.at_min.value - off.full_again_min;
    let sure =
        |(off, on): (&PackChange, &PackChange)| spare_min((off, on)) >= SURE * (on.at_min.u - off.at_min.u).abs();
    // As many as the day takes are always enough.
    let round = (2..=changes.len()).find(|of| pairs(*of).all(sure));
    let count = round.unwrap_or(changes.len() + 1);
    let least_min = |of: usize| pairs(of).map(spare_min).fold(f64::INFINITY, f64::min);
    Some((u32::try_from(count).unwrap_or(u32::MAX), round.map(least_min)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::Estimate;
    use crate::power::Charger;

    fn changes(at: &[f64], hours: f64, places: usize) -> Vec<PackChange> {
        let mut charger = Charger::new(places, hours);
        let change = |at: &f64| PackChange {
            at_min: Estimate::new(*at, 10.0),
            block: 0,
            name: String::new(),
            left: 0.0,
            full_again_min: 60.0 * charger.full_again_h(*at / 60.0, 2),
        };
        at.iter().map(change).collect()
    }

    /// Plays the day through with so many full sets: whether one is at hand at every change.
    fn plays_through(changes: &[PackChange], sets: usize) -> bool {
        let mut full_min = vec![f64::NEG_INFINITY; sets - 1];
        changes.iter().all(|change| {
            full_min.sort_by(f64::total_cmp);
            if full_min.first().is_none_or(|full| *full > change.at_min.value) {
                return false;
            }
            full_min.remove(0);
            full_min.push(change.full_again_min);
            true
        })
    }

    #[test]
    fn what_is_charged_is_enough_for_either_way_through_the_day() {
        let day = Day::default();
        let run = changes(&[540.0, 720.0], 1.0, 2);
        let then = changes(&[390.0, 564.0, 744.0], 1.0, 2);
        let told = report(&day, &run, &then).expect("changes");
        assert_eq!((told.sets, told.charged_before), (4, 2));
        // Fuller charged sets are asked for as soon as either way does.
        let slow = changes(&[390.0, 564.0, 744.0], 8.0, 2);
        let told = report(&day, &run, &slow).expect("changes");
        assert_eq!((told.charged_before, told.comes_round), (4, false));
        assert_eq!(told.words(), "Charge all 4 sets before the day: none comes round in time");
        assert_eq!(report(&day, &run, &[]).map(|told| told.sets), Some(3));
    }

    /// An hour of charging between changes two hours apart leaves an hour; known to ±0.1 of the time between them it is
    /// counted on, to ±0.3 it is not: 2 · 36 min are more than the hour. Three sets leave 180 min of 2 · 72.
    #[test]
    fn a_spare_hour_that_may_not_be_there_charges_no_set() {
        for (share, expected) in [(0.1, 2), (0.3, 3)] {
            let mut changes = changes(&[120.0, 240.0, 360.0], 1.0, 2);
            for change in &mut changes {
                change.at_min.u = share * change.at_min.value;
            }
            assert_eq!(fewest(&changes).map(|(count, _)| count), Some(expected), "{share}");
        }
    }

    #[test]
    fn the_fewest_sets_are_those_with_which_the_day_plays_through() {
        for (places, hours) in [(1, 1.0), (2, 1.0), (2, 2.5), (4, 0.5), (1, 6.0)] {
            for at in [&[500.0][..], &[500.0, 620.0, 700.0], &[480.0, 560.0, 640.0, 720.0, 800.0, 880.0]] {
                let changes = changes(at, hours, places);
                let found = fewest(&changes).map(|(count, _)| count as usize);
                let expected = (2..=changes.len() + 1).find(|sets| plays_through(&changes, *sets));
                assert_eq!(found, expected, "{places} places, {hours} h, {at:?}");
            }
        }
    }
}
