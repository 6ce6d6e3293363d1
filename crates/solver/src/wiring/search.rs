//! The search itself: loads on taps, as a problem of numbers alone.
//!
//! Branch and bound, load by load, the one with the fewest taps first. With no change allowed, then one, then two: the
//! first that has any answer has the fewest, and of those the one whose tightest tap has most to spare is kept.

/// One load on one tap that can carry it alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Choice {
    /// Place of the tap.
    pub(super) tap: usize,
    /// Peak current, A.
    pub(super) amps: f64,
    /// Peak power at the tap, W.
    pub(super) watts: f64,
}

/// A load: where it may go and where it is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Load {
    /// Taps that can carry it alone.
    pub(super) choices: Vec<Choice>,
    /// The tap that it is on; one that cannot carry it counts as well.
    pub(super) now: Option<usize>,
}

/// A tap.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Outlet {
    /// Current limit, A.
    pub(super) limit_a: f64,
    /// Place of the group whose sum limit it shares.
    pub(super) group: Option<usize>,
    /// Lowest and highest voltage: taps alike in all are exchanged for nothing.
    pub(super) volts: [f64; 2],
}

/// All of it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Problem {
    pub(super) loads: Vec<Load>,
    pub(super) outlets: Vec<Outlet>,
    /// Sum limit of every group, W.
    pub(super) groups_w: Vec<f64>,
}

/// A way to wire all loads.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Wired {
    /// The tap of every load.
    pub(super) taps: Vec<usize>,
    /// How many loads change their tap; one that had none does not.
    pub(super) changes: usize,
    /// Use of the tightest tap: peak current ÷ limit.
    pub(super) tightest: f64,
}

/// What the search came to.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Found {
    /// The best there is.
    Best(Wired),
    /// One that keeps everything, perhaps not the best: there were too many to try.
    Good(Wired),
    /// There is none.
    None,
    /// Too many to try, and none found.
    GaveUp,
}

/// A limit may be met to the digit; sums of the same currents in another order differ in the last.
const SLACK: f64 = 1.0 + 1e-12;
/// Less is no better.
const BETTER: f64 = 1e-12;

/// Looks for the best wiring, trying so many placings at most.
pub(super) fn search(problem: &Problem, most: usize) -> Found {
    let mut search = Search::new(problem, most);
    let movable = problem.loads.iter().filter(|load| load.now.is_some()).count();
    for allowed in 0..=movable {
        search.place(0, allowed);
        let exhausted = search.tried >= most;
        match (search.best.take(), exhausted) {
            (Some(best), false) => return Found::Best(best),
            (Some(best), true) => return Found::Good(best),
            (None, true) => return search.any(movable),
            (None, false) => {}
        }
    }
    Found::None
}

struct Search<'a> {
    problem: &'a Problem,
    /// Loads in the order in which they are placed.
    order: Vec<usize>,
    /// Least current and power that everything from a place in the order on needs.
    needs: Vec<[f64; 2]>,
    amps: Vec<f64>,
    watts: Vec<f64>,
    taps: Vec<usize>,
    changes: usize,
    best: Option<Wired>,
    tried: usize,
    most: usize,
    /// The first answer is enough.
    first: bool,
}

impl<'a> Search<'a> {
    fn new(problem: &'a Problem, most: usize) -> Self {
        let loads = &problem.loads;
        let most_a = |load: &Load| load.choices.iter().map(|choice| choice.amps).fold(0.0, f64::max);
        let mut order: Vec<usize> = (0..loads.len()).collect();
        order.sort_by(|one, other| {
            let (one, other) = (&loads[*one], &loads[*other]);
            one.choices.len().cmp(&other.choices.len()).then(most_a(other).total_cmp(&most_a(one)))
        });
        let mut needs = vec![[0.0, 0.0]; loads.len() + 1];
        for place in (0..loads.len()).rev() {
            let choices = &loads[order[place]].choices;
            let least = |of: fn(&Choice) -> f64| choices.iter().map(of).fold(f64::INFINITY, f64::min);
            let [amps, watts] = needs[place + 1];
            needs[place] = [amps + least(|choice| choice.amps), watts + least(|choice| choice.watts)];
        }
        Self {
            problem,
            order,
            needs,
            amps: vec![0.0; problem.outlets.len()],
            watts: vec![0.0; problem.groups_w.len()],
            taps: vec![usize::MAX; loads.len()],
            changes: 0,
            best: None,
            tried: 0,
            most,
            first: false,
        }
    }

    /// Any wiring at all, with as many tries again.
    fn any(mut self, movable: usize) -> Found {
        (self.tried, self.first) = (0, true);
        self.place(0, movable);
        match (self.best, self.tried >= self.most) {
            (Some(best), _) => Found::Good(best),
            (None, true) => Found::GaveUp,
            (None, false) => Found::None,
        }
    }

    fn tightest(&self) -> f64 {
        let uses = self.problem.outlets.iter().zip(&self.amps);
        uses.map(|(outlet, amps)| if *amps > 0.0 { amps / outlet.limit_a } else { 0.0 }).fold(0.0, f64::max)
    }

    /// What is left of all limits together is less than what is still to be placed.
    fn is_short(&self, place: usize) -> bool {
        let Problem { outlets, groups_w, .. } = self.problem;
        let left_a: f64 = outlets.iter().zip(&self.amps).map(|(outlet, amps)| outlet.limit_a - amps).sum();
        let left_w: f64 = groups_w.iter().zip(&self.watts).map(|(limit_w, watts)| limit_w - watts).sum();
        let [amps, watts] = self.needs[place];
        let all_grouped = outlets.iter().all(|outlet| outlet.group.is_some());
        amps > left_a * SLACK + 1e-9 || (all_grouped && watts > left_w * SLACK + 1e-9)
    }

    fn done(&self) -> bool {
        self.tried >= self.most || (self.first && self.best.is_some())
    }

    fn place(&mut self, place: usize, allowed: usize) {
        if self.done() {
            return;
        }
        self.tried += 1;
        let tightest = self.tightest();
        if self.best.as_ref().is_some_and(|best| tightest >= best.tightest - BETTER) || self.is_short(place) {
            return;
        }
        let Some(load) = self.order.get(place).copied() else {
            self.best = Some(Wired { taps: self.taps.clone(), changes: self.changes, tightest });
            return;
        };
        let problem = self.problem;
        let now = problem.loads[load].now;
        let mut choices = problem.loads[load].choices.clone();
        // Where it is already first, then where most is left.
        choices.sort_by(|one, other| {
            let key = |choice: &Choice| {
                let outlet = &problem.outlets[choice.tap];
                (Some(choice.tap) != now, (self.amps[choice.tap] + choice.amps) / outlet.limit_a)
            };
            let ((one_moves, one_use), (other_moves, other_use)) = (key(one), key(other));
            one_moves.cmp(&other_moves).then(one_use.total_cmp(&other_use))
        });
        for choice in choices {
            let moved = usize::from(now.is_some_and(|now| now != choice.tap));
            if self.changes + moved <= allowed && self.fits(&choice) && !self.has_twin(&choice) {
                self.put(load, &choice, moved);
                self.place(place + 1, allowed);
                self.take(load, &choice, moved);
            }
        }
    }

    fn fits(&self, choice: &Choice) -> bool {
        let outlet = &self.problem.outlets[choice.tap];
        let group =
            outlet.group.is_none_or(|group| self.watts[group] + choice.watts <= self.problem.groups_w[group] * SLACK);
        group && self.amps[choice.tap] + choice.amps <= outlet.limit_a * SLACK
    }

    /// An earlier tap that is alike (and so takes the same loads), and neither has had a load nor has one on it: the same again.
    fn has_twin(&self, choice: &Choice) -> bool {
        let unused =
            |tap: usize| !self.taps.contains(&tap) && self.problem.loads.iter().all(|load| load.now != Some(tap));
        let outlets = &self.problem.outlets;
        unused(choice.tap) && (0..choice.tap).any(|tap| outlets[tap] == outlets[choice.tap] && unused(tap))
    }

    fn put(&mut self, load: usize, choice: &Choice, moved: usize) {
        self.add(choice, 1.0);
        self.taps[load] = choice.tap;
        self.changes += moved;
    }

    fn take(&mut self, load: usize, choice: &Choice, moved: usize) {
        self.taps[load] = usize::MAX;
        self.changes -= moved;
        self.add(choice, -1.0);
        // What was added and taken away again leaves no dust.
        if !self.taps.contains(&choice.tap) {
            self.amps[choice.tap] = 0.0;
        }
    }

    fn add(&mut self, choice: &Choice, sense: f64) {
        self.amps[choice.tap] += sense * choice.amps;
        if let Some(group) = self.problem.outlets[choice.tap].group {
            self.watts[group] += sense * choice.watts;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A seeded generator: the tests are the same everywhere. Source: `SplitMix64` (constants from memory).
    struct Random(u64);

    impl Random {
        fn next(&mut self) -> u64 {
            self.0 = self.0.wrapping_add(0x9E37_79B9_7F4A_7C15);
            let mut mixed = self.0;
            mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xBF58_476D_1CE4_E5B9);
            mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94D0_49BB_1331_11EB);
            mixed ^ (mixed >> 31)
        }
        fn below(&mut self, end: u64) -> usize {
            usize::try_from(self.next() % end).unwrap_or_default()
        }
        fn between(&mut self, low: f64, high: f64) -> f64 {
            low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
        }
    }

    fn problem(random: &mut Random) -> Problem {
        let groups = random.below(3);
        let volts = [[15.0, 15.0], [18.0, 25.2]];
        let outlets: Vec<Outlet> = (0..=random.below(4))
            .map(|_| Outlet {
                limit_a: [2.0, 3.0, 3.0, 5.0][random.below(4)],
                group: if groups > 0 && random.below(3) > 0 { Some(random.below(groups as u64)) } else { None },
                volts: volts[random.below(2)],
            })
            .collect();
        let load = |random: &mut Random| {
            let power_w = random.between(4.0, 40.0);
            let mut choices = Vec::new();
            // What a load accepts depends on the voltage alone, as for real.
            let accepts = volts.map(|_| random.below(5) > 0);
            for (tap, outlet) in outlets.iter().enumerate() {
                let amps = power_w / outlet.volts[0];
                let accepted = accepts[usize::from(outlet.volts[0] > 16.0)];
                if accepted && amps <= outlet.limit_a {
                    choices.push(Choice { tap, amps, watts: power_w });
                }
            }
            let now = (random.below(3) > 0).then(|| random.below(outlets.len() as u64));
            Load { choices, now }
        };
        let loads = (0..=random.below(5)).map(|_| load(random)).collect();
        let groups_w = (0..groups).map(|_| random.between(30.0, 90.0)).collect();
        Problem { loads, outlets, groups_w }
    }

    /// Every wiring there is, one after the other: changes and tightest use of the best.
    fn brute_force(problem: &Problem) -> Option<(usize, f64)> {
        let mut best: Option<(usize, f64)> = None;
        let counts: Vec<usize> = problem.loads.iter().map(|load| load.choices.len()).collect();
        for number in 0..counts.iter().product() {
            let mut rest = number;
            let (mut amps, mut watts) = (vec![0.0; problem.outlets.len()], vec![0.0; problem.groups_w.len()]);
            let mut changes = 0;
            for (load, count) in problem.loads.iter().zip(&counts) {
                let choice = load.choices[rest % count];
                rest /= count;
                amps[choice.tap] += choice.amps;
                if let Some(group) = problem.outlets[choice.tap].group {
                    watts[group] += choice.watts;
                }
                changes += usize::from(load.now.is_some_and(|now| now != choice.tap));
            }
            let uses = problem.outlets.iter().zip(&amps);
            let keeps = uses.clone().all(|(outlet, amps)| *amps <= outlet.limit_a * SLACK)
                && problem.groups_w.iter().zip(&watts).all(|(limit_w, watts)| *watts <= limit_w * SLACK);
            let tightest = uses.map(|(outlet, amps)| amps / outlet.limit_a).fold(0.0, f64::max);
            let found = (changes, tightest);
            if keeps && best.is_none_or(|best| found.0 < best.0 || (found.0 == best.0 && found.1 < best.1)) {
                best = Some(found);
            }
        }
        best
    }

    #[test]
    fn the_search_finds_what_trying_every_wiring_finds() {
        let random = &mut Random(26);
        let [mut solved, mut unsolved, mut moved] = [0; 3];
        for case in 0..3_000 {
            let problem = problem(random);
            match (search(&problem, usize::MAX), brute_force(&problem)) {
                (Found::Best(found), Some((changes, tightest))) => {
                    assert_eq!(found.changes, changes, "case {case}: {problem:?}");
                    assert!((found.tightest - tightest).abs() < 1e-9, "case {case}: {found:?} against {tightest}");
                    solved += 1;
                    moved += usize::from(changes > 0);
                }
                (Found::None, None) => unsolved += 1,
                (found, expected) => panic!("case {case}: {found:?} against {expected:?}"),
            }
        }
        assert!(solved > 500 && unsolved > 500 && moved > 200, "{solved} {unsolved} {moved}");
    }

    #[test]
    fn too_many_to_try_is_said() {
        let outlets = vec![Outlet { limit_a: 5.0, group: None, volts: [15.0; 2] }; 8];
        let choices = |amps: f64| (0..8).map(|tap| Choice { tap, amps, watts: 15.0 * amps }).collect();
        let load = |place: u32| Load { choices: choices(1.0 + 0.01 * f64::from(place)), now: Some(0) };
        let problem = Problem { loads: (0..16).map(load).collect(), outlets, groups_w: Vec::new() };
        assert!(matches!(search(&problem, 2_000), Found::Good(_)));
    }
}
