//! What a lens change costs: which slides move, what is handled, whether the marks may stay, and how long it takes.

use serde::Serialize;

use super::stays_put::{Left, StaysPut, left};
use super::step_minutes::{StepMinutes, each_min};
use super::tune;
use crate::check::Solved;
use crate::error::InputError;
use crate::explain::Term;
use crate::layout::{Body, Of};
use crate::order::sort_short;
use crate::package::{Anchor, LensId, Package, PartId, PartMass};
use crate::report::{Tightest, TuneVerdict};
use crate::torque::tightest_of_all;
use crate::validate::validate;

/// Below this a mark need not be moved, and a part has stayed where it was, m: scales are read to a millimetre.
pub const SET_WITHIN_M: f64 = 0.000_5;

/// One lens change of the set.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LensChange {
    /// The lens that comes off; absent when none was on.
    pub from: Option<LensId>,
    /// The lens that goes on.
    pub to: LensId,
    /// Its name.
    pub name: String,
    /// Every slide, in balancing order, from the marks that balance `from` to those that balance `to`.
    pub slides: Vec<SlideChange>,
    /// What is handled besides the lens and the slides.
    pub handled: Vec<Handled>,
    /// Clamps that are opened when the marks are set anew: one a slide that moves, one a thing handled.
    pub clamps: usize,
    /// What everything on the head weighs afterwards, less before, kg: for the grip.
    pub mass_kg: f64,
    /// Whether the marks of `from` may be left where they are: best estimates say that every axis still holds, and it stays
    /// put more often than not, or no better marks are known.
    pub may_stay: bool,
    /// Where best estimates say so: the chance that every axis then stays put.
    pub stays_put: Option<StaysPut>,
    /// Where torque is tightest when they are left; absent without moves.
    pub tightest_left: Option<Tightest>,
    /// Where torque is tightest with the marks set anew; absent without moves.
    pub tightest_set: Option<Tightest>,
    /// The gravest verdict on the tune; absent when nobody has said what was tuned.
    pub tune: Option<TuneVerdict>,
    /// How long it takes, min: the marks left where they may stay, else set anew.
    pub minutes: f64,
    /// How long it takes with the marks set anew, min.
    pub minutes_set: f64,
    /// How long it takes with the marks left, min.
    pub minutes_left: f64,
    /// The arithmetic of `minutes`.
    pub arithmetic: Term,
}

/// One slide in a lens change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct SlideChange {
    /// Id of the slide.
    pub slide: String,
    /// Its name.
    pub name: String,
    /// The mark that balances the lens that comes off, m.
    pub from_m: f64,
    /// The mark that balances the lens that goes on, m.
    pub to_m: f64,
    /// `to_m` less `from_m`, m.
    pub change_m: f64,
    /// The word for the sense of that change.
    pub word: String,
    /// Whether it is further than can be read off the scale.
    pub moves: bool,
}

/// One thing that is handled in a lens change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Handled {
    /// The part; the heaviest of those that follow the lens together.
    pub part: PartId,
    /// Its name.
    pub name: String,
    /// What is done with it.
    pub what: Handling,
}

/// What is done with a part in a lens change.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "is")]
pub enum Handling {
    /// It goes on with the new lens.
    On,
    /// It comes off.
    Off,
    /// It stays on and follows the lens.
    Moved {
        /// How far ahead, m; negative is back.
        ahead_m: f64,
    },
}

/// Minutes of every change of the set: a row for each lens that comes off, a column for each that goes on.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ChangeTable {
    /// The lenses, in the order of the set.
    pub lenses: Vec<LensId>,
    /// Their names.
    pub names: Vec<String>,
    /// `minutes[from][to]`; absent on the diagonal.
    pub minutes: Vec<Vec<Option<f64>>>,
}

/// Every change from one lens, or from none, to each other lens of the set: the quickest first.
///
/// Minutes are those of the package, and [typical](super::typical) ones of common practice where it has none.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn lens_changes(package: &Package, from: Option<LensId>) -> Result<Vec<LensChange>, Vec<InputError>> {
    validate(package)?;
    let from = Fitted::new(package, from);
    let others = package.lenses.iter().filter(|lens| Some(lens.id) != from.lens);
    let mut changes: Vec<LensChange> = others
        .map(|lens| {
            let to = Fitted::new(package, Some(lens.id));
            LensChange::new(&from, &to, lens.id, &lens.name)
        })
        .collect();
    sort_short(&mut changes, |a, b| a.minutes < b.minutes);
    Ok(changes)
}

/// The minutes of every change of the set.
///
/// # Errors
/// Every fault of the input, as for [`crate::check`].
pub fn change_table(package: &Package) -> Result<ChangeTable, Vec<InputError>> {
    validate(package)?;
    let all: Vec<Fitted> = package.lenses.iter().map(|lens| Fitted::new(package, Some(lens.id))).collect();
    let minutes = |from: &Fitted, to: &Fitted| {
        (from.lens != to.lens).then(|| {
            let left = left((&from.package, &from.solved), (&to.package, &to.solved));
            Work::new(from, to).minutes(left.may_stay)
        })
    };
    Ok(ChangeTable {
        lenses: package.lenses.iter().map(|lens| lens.id).collect(),
        names: package.lenses.iter().map(|lens| lens.name.clone()).collect(),
        minutes: all.iter().map(|from| all.iter().map(|to| minutes(from, to)).collect()).collect(),
    })
}

/// The package with one lens on, solved.
pub(super) struct Fitted {
    pub(super) lens: Option<LensId>,
    pub(super) package: Package,
    pub(super) solved: Solved,
}

impl Fitted {
    pub(super) fn new(package: &Package, lens: Option<LensId>) -> Self {
        let mut package = package.clone();
        package.active_lens = lens;
        let solved = Solved::new(&package);
        Self { lens, package, solved }
    }

    /// Where torque is tightest at the given marks.
    pub(super) fn tightest_at(&self, marks_m: &[f64]) -> Option<Tightest> {
        tightest_of_all(&self.package, &self.solved.layout, marks_m)
    }
}

impl LensChange {
    pub(super) fn new(from: &Fitted, to: &Fitted, lens: LensId, name: &str) -> Self {
        let Left { stays_put, may_stay } = left((&from.package, &from.solved), (&to.package, &to.solved));
        let work = Work::new(from, to);
        let (minutes_left, minutes_set) = (work.minutes(true), work.minutes(false));
        Self {
            from: from.lens,
            to: lens,
            name: name.to_owned(),
            clamps: work.slides() + work.handled.len(),
            mass_kg: all_up_kg(to) - all_up_kg(from),
            may_stay,
            stays_put,
            tightest_left: to.tightest_at(&from.solved.marks.targets_m),
            tightest_set: to.tightest_at(&to.solved.marks.targets_m),
            tune: work.tune,
            minutes: if may_stay { minutes_left } else { minutes_set },
            minutes_set,
            minutes_left,
            arithmetic: work.term(may_stay),
            slides: work.moved,
            handled: work.handled,
        }
    }
}

fn all_up_kg(fitted: &Fitted) -> f64 {
    fitted.solved.layout.bodies.iter().map(|body| body.mass_kg).sum()
}

/// What there is to do.
struct Work {
    moved: Vec<SlideChange>,
    handled: Vec<Handled>,
    tune: Option<TuneVerdict>,
    each: StepMinutes,
}

impl Work {
    fn new(from: &Fitted, to: &Fitted) -> Self {
        Self {
            moved: slides(from, to),
            handled: handled(from, to),
            tune: tune(&to.package, &to.solved),
            each: each_min(&to.package.change_minutes),
        }
    }

    fn slides(&self) -> usize {
        self.moved.iter().filter(|slide| slide.moves).count()
    }

    fn minutes(&self, left: bool) -> f64 {
        self.items(left).iter().map(|item| item.count * item.each_min).sum()
    }

    fn items(&self, left: bool) -> Vec<Item> {
        let slides = if left { 0.0 } else { self.slides() as f64 };
        let moved = self.handled.iter().filter(|each| matches!(each.what, Handling::Moved { .. })).count() as f64;
        let on_or_off = self.handled.len() as f64 - moved;
        let item = |words, count, (each_min, own)| Item { words, count, each_min, own };
        let each = &self.each;
        let mut items = vec![
            item("The lens: off, the other on, pins and locks", 1.0, each.lens),
            item("Slides: hold, loosen, set, tighten", slides, each.slide),
            item("Trying the balance", f64::from(slides > 0.0), each.trying),
            item("Parts on or off", on_or_off, each.on_or_off),
            item("Parts that follow the lens", moved, each.moved),
        ];
        match self.tune {
            Some(TuneVerdict::Check) => items.push(item("Checking the tune", 1.0, each.check_tune)),
            Some(TuneVerdict::Redo) => items.push(item("Tuning again", 1.0, each.tune)),
            Some(TuneVerdict::Keep) | None => {}
        }
        items.retain(|item| item.count > 0.0);
        items
    }

    fn term(&self, left: bool) -> Term {
        let rows = self.items(left).into_iter().map(|item| {
            Term::value(item.words, item.count * item.each_min, "min")
                .formula("how many × minutes each")
                .of(vec![Term::value("How many", item.count, ""), item.each_term()])
        });
        Term::value("Minutes of this lens change", self.minutes(left), "min").formula("sum").of(rows.collect())
    }
}

/// One kind of work.
struct Item {
    words: &'static str,
    count: f64,
    each_min: f64,
    /// Whether the crew has told it.
    own: bool,
}

impl Item {
    fn each_term(&self) -> Term {
        let term = Term::value("Minutes each", self.each_min, "min");
        if self.own {
            term.source("this crew's own")
        } else {
            term.source("typical of a practised crew of two: common practice, no source")
        }
    }
}

fn slides(from: &Fitted, to: &Fitted) -> Vec<SlideChange> {
    let slides: Vec<_> = to.package.head.slides().collect();
    let order = &to.solved.marks.order;
    order
        .iter()
        .map(|index| {
            let slide = slides[*index];
            let (from_m, to_m) = (from.solved.marks.targets_m[*index], to.solved.marks.targets_m[*index]);
            let change_m = to_m - from_m;
            SlideChange {
                slide: slide.id.clone(),
                name: slide.name.clone(),
                from_m,
                to_m,
                change_m,
                word: if change_m < 0.0 { slide.minus.clone() } else { slide.plus.clone() },
                moves: change_m.abs() >= SET_WITHIN_M,
            }
        })
        .collect()
}

/// Parts that go on, come off or follow the lens. What follows the same ring, or the front, moves as one.
fn handled(from: &Fitted, to: &Fitted) -> Vec<Handled> {
    const FOLLOWS: [Anchor; 4] = [Anchor::FocusRing, Anchor::IrisRing, Anchor::ZoomRing, Anchor::LensFront];
    let parts = &to.package.parts;
    let own = |index: &usize| matches!(parts[*index].mass, PartMass::Own(_));
    let rides = |fitted: &Fitted, index: usize| fitted.package.rides(&parts[index]);
    let named = |index: usize, what| Handled { part: parts[index].id, name: parts[index].name.clone(), what };
    let mut found: Vec<Handled> = (0..parts.len())
        .filter(own)
        .filter_map(|index| match (rides(from, index), rides(to, index)) {
            (false, true) => Some(named(index, Handling::On)),
            (true, false) => Some(named(index, Handling::Off)),
            _ => None,
        })
        .collect();
    for anchor in FOLLOWS {
        let moved = (0..parts.len())
            .filter(|index| parts[*index].at.from == anchor)
            .filter_map(|index| {
                let (before, after) = (body(from, index)?, body(to, index)?);
                let ahead_m = after.centre_m.x - before.centre_m.x;
                ((after.centre_m - before.centre_m).norm() >= SET_WITHIN_M).then_some((index, after.mass_kg, ahead_m))
            })
            .max_by(|a, b| a.1.total_cmp(&b.1));
        found.extend(moved.map(|(index, _, ahead_m)| named(index, Handling::Moved { ahead_m })));
    }
    found
}

fn body(fitted: &Fitted, part: usize) -> Option<&Body> {
    fitted.solved.layout.bodies.iter().find(|body| body.of == Of::Part(part))
}
