//! One move on one table of poses: its loads, the limits of the drives in it, and the worst pose of a joint.

use super::demand::Load;
use super::limits::{continuous_limit_nm, peak_limit_nm};
use super::operator::Operator;
use super::reach::Allowed;
use super::scan::Asked;
use super::spread::Spread;
use super::state::{Weights, demand_u_nm};
use super::study::{Desk, Study};
use super::table::{Narrowed, Reach, Table};
use crate::layout::Layout;
use crate::package::{Move, Package};
use crate::platform::PlatformMotion;

/// One move of a package.
pub(super) struct OneMove<'a> {
    pub(super) study: &'a Study<'a>,
    pub(super) spreads: &'a [Spread],
    pub(super) table: &'a Table,
    pub(super) each: &'a Move,
}

/// Looks at every move of a package, at the given marks (m, platform first); moves of one reach share a table of poses.
pub(super) fn each_move<T>(
    package: &Package,
    layout: &Layout,
    marks_m: &[f64],
    mut look: impl FnMut(&OneMove<'_>, &mut Desk) -> T,
) -> Vec<T> {
    let study = Study::new(package, layout, marks_m);
    let spreads = Spread::all(layout, marks_m);
    let mut desk = Desk::new(&study);
    let mut tables: Vec<Table> = Vec::new();
    let each = package.moves.iter().map(|each| {
        let place = Table::among(&mut tables, &study, Reach::of(&study, each), &mut desk);
        look(&OneMove { study: &study, spreads: &spreads, table: &tables[place], each }, &mut desk)
    });
    each.collect()
}

impl OneMove<'_> {
    /// What the move asks of every joint, platform first.
    pub(super) fn loads<'b>(&self, motion: &'b PlatformMotion, operator: &'b Operator) -> Vec<Load<'b>> {
        let of = |joint| Load::new(self.study, self.each, motion, operator, self.each.airspeed_m_s, joint);
        (0..self.study.joints.len()).map(of).collect()
    }

    /// What every drive can give in it.
    pub(super) fn limits(&self, operator: &Operator) -> Vec<Allowed> {
        let of = |drive| Allowed {
            peak_nm: peak_limit_nm(drive, operator.longest_s),
            continuous_nm: continuous_limit_nm(drive, self.each.air_k),
        };
        self.study.joints.iter().map(|joint| of(&joint.drive)).collect()
    }

    /// The pose where a joint is asked for most, at its peak or continuously; the chain is left in it.
    pub(super) fn worst(&self, desk: &mut Desk, load: &Load<'_>, asked: &Asked, peak: bool) -> Narrowed {
        let found = &asked.found;
        if peak {
            let known = |place| asked.peak_nm(place);
            self.table.narrowed(self.study, desk, found.peak_at, load, known, |demand| demand.peak_nm)
        } else {
            let known = |place| asked.continuous_nm(place);
            self.table.narrowed(self.study, desk, found.continuous_at, load, known, |demand| demand.continuous_nm)
        }
    }

    /// Standard uncertainty of a demand in the pose that it was narrowed down to, N·m. Turns the chain there.
    pub(super) fn u_nm(&self, desk: &mut Desk, load: &Load<'_>, at: &Narrowed, peak: bool) -> f64 {
        desk.pose.set(&at.q_rad);
        let up = self.study.up(&at.q_rad, &self.table.reach.up_in_base);
        let weights = if peak { Weights::of_peak(&at.demand.whip) } else { Weights::of_continuous(load, &at.demand) };
        demand_u_nm(self.study, self.spreads, &desk.pose, &up, load, at, &weights, peak)
    }
}
