//! The charger: when packs that came off are full again, and what a break on it gives.

use crate::order::sort_short;
use crate::package::Day;

/// Places of a usual charger. Common practice, no source.
pub const CHARGER_PLACES: f64 = 2.0;
/// Hours in which an empty pack is full again. Common practice, no source.
pub const CHARGE_H: f64 = 3.0;

/// Places of a charger, each with the hour of the day at which it is free. Hours count from the start of the day.
#[derive(Debug, Clone)]
pub struct Charger {
    free_h: Vec<f64>,
    charge_h: f64,
}

impl Charger {
    /// A charger of so many places that fills an empty pack in so many hours.
    pub fn new(places: usize, charge_h: f64) -> Self {
        Self { free_h: vec![f64::NEG_INFINITY; places.max(1)], charge_h }
    }

    /// The charger of a day, the usual one where nobody has said.
    pub fn of(day: &Day) -> Self {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "1 to 100 by its bounds")]
        let places = day.charger_places.unwrap_or(CHARGER_PLACES) as usize;
        Self::new(places, day.charge_h.unwrap_or(CHARGE_H))
    }

    fn first_free(&mut self) -> Option<&mut f64> {
        self.free_h.iter_mut().min_by(|one, other| one.total_cmp(other))
    }

    /// Puts a set on, pack by pack on the place that is free first; gives the time at which all of it is full. A pack
    /// counts as empty, however much is left in it.
    pub fn full_again_h(&mut self, at_h: f64, packs: usize) -> f64 {
        let (mut full_h, charge_h) = (at_h, self.charge_h);
        for _ in 0..packs {
            let Some(place) = self.first_free() else { break };
            *place = place.max(at_h) + charge_h;
            full_h = full_h.max(*place);
        }
        full_h
    }

    /// Puts the packs that are on the head on for a break of so many hours, the emptiest first, each on the place that
    /// is free first, and off again when it is full or the break is over. `charge` is the share left in each, 0 to 1;
    /// it rises evenly, an empty pack to full in the charger's hours. What came off before keeps its place.
    pub fn top_up(&mut self, at_h: f64, hours: f64, charge: &mut [f64]) {
        let (end_h, charge_h) = (at_h + hours, self.charge_h);
        let mut order: Vec<usize> = (0..charge.len()).collect();
        sort_short(&mut order, |one, other| charge[*one] < charge[*other]);
        for pack in order {
            let Some(place) = self.first_free() else { break };
            let begin_h = place.max(at_h);
            let on_h = (charge_h * (1.0 - charge[pack])).min(end_h - begin_h);
            if on_h > 0.0 {
                charge[pack] = (charge[pack] + on_h / charge_h).min(1.0);
                *place = begin_h + on_h;
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn packs_wait_for_a_free_place() {
        // Three packs on two places of an hour: two at once, the third after them; the next set waits for its place.
        let mut charger = Charger::new(2, 1.0);
        for (at_h, packs, full_h) in [(10.0, 3, 12.0), (10.5, 2, 13.0), (17.0, 2, 18.0)] {
            assert!((charger.full_again_h(at_h, packs) - full_h).abs() < 1e-9, "{at_h}");
        }
    }

    /// Hours of charge that a break puts into packs, minute by minute: at every minute the free places go to the
    /// emptiest packs that were begun, or else to the emptiest of the rest.
    fn minute_by_minute(busy_until_h: &[f64], at_h: f64, minutes: u32, charge: &[f64], charge_h: f64) -> Vec<f64> {
        let mut now = charge.to_vec();
        let mut begun = vec![false; now.len()];
        for minute in 0..minutes {
            let time_h = at_h + f64::from(minute) / 60.0;
            let free = busy_until_h.iter().filter(|until_h| **until_h <= time_h + 1e-9).count();
            let mut order: Vec<usize> = (0..now.len()).filter(|pack| now[*pack] < 1.0 - 1e-9).collect();
            order.sort_by(|one, other| begun[*other].cmp(&begun[*one]).then(charge[*one].total_cmp(&charge[*other])));
            for pack in order.into_iter().take(free) {
                begun[pack] = true;
                now[pack] = (now[pack] + 1.0 / (60.0 * charge_h)).min(1.0);
            }
        }
        now
    }

    #[test]
    fn a_break_charges_as_places_come_free() {
        for (places, busy, minutes, charge) in [
            (2, 0, 45, &[0.3, 0.3][..]),
            (1, 0, 120, &[0.5, 0.2]),
            (2, 1, 180, &[0.4, 0.8, 0.1]),
            (2, 2, 30, &[0.4, 0.4]),
            (4, 1, 90, &[0.9, 0.0, 0.95]),
        ] {
            let mut charger = Charger::new(places, 2.0);
            charger.full_again_h(11.0, busy);
            let mut topped = charge.to_vec();
            charger.top_up(12.0, f64::from(minutes) / 60.0, &mut topped);
            let mut until_h = vec![13.0; busy];
            until_h.resize(places, 0.0);
            let expected = minute_by_minute(&until_h, 12.0, minutes, charge, 2.0);
            for (got, expected) in topped.iter().zip(&expected) {
                assert!((got - expected).abs() < 0.01, "{places} places, {busy} busy: {topped:?} for {expected:?}");
            }
        }
    }
}
