//! A lesson of the logs written into the package, and how the logs go on from what was entered before.

use std::borrow::Cow;

use super::Learned;
use crate::answer::Estimate;
use crate::layout::Layout;
use crate::package::{
    Cg, CgSource, Element, LoggedBody, LoggedOf, Mass, MassSource, Package, PartMass, TakenOver, Yoke,
};

/// The package as it had been entered before any lesson was taken over: what the logs start from. A value that has been
/// entered anew since stands; the other of mass and centre of gravity goes on from what was entered before, or the logs
/// would count twice in it.
pub fn as_entered(package: &Package) -> Cow<'_, Package> {
    let mut entered = Cow::Borrowed(package);
    for body in package.logs.iter().flat_map(|log| &log.bodies) {
        let Some((mass, cg)) = values(package, &body.of) else { continue };
        let (before_mass, before_cg) = in_force(&mass, &cg, body);
        if before_mass.is_some() || before_cg.is_some() {
            let (mass, cg) = (before_mass.cloned().unwrap_or(mass), before_cg.cloned().unwrap_or(cg));
            put(entered.to_mut(), &body.of, mass, cg);
        }
    }
    entered
}

/// Whether the package has what the logs teach about a body.
pub fn is_taken_over(package: &Package, of: &LoggedOf) -> bool {
    let Some((mass, cg)) = values(package, of) else { return false };
    package.logs.iter().flat_map(|log| &log.bodies).any(|body| {
        let (before_mass, before_cg) = in_force(&mass, &cg, body);
        body.of == *of && before_mass.is_some() && before_cg.is_some()
    })
}

/// The package with mass and centre of gravity of one body as the logs teach them, rounded to their storage steps. `None`
/// when the logs say nothing about it. The answers stay the same: the logs go on from what was entered before.
///
/// A part has one uncertainty of its centre of gravity for all three axes: it becomes the largest of them. A lens has a
/// place for its centre of gravity along x only.
pub fn take_over(package: &Package, of: &LoggedOf) -> Option<Package> {
    let entered = as_entered(package);
    let learned = Learned::new(&entered, &Layout::new(&entered));
    let lesson = learned.lessons(&entered).into_iter().find(|lesson| lesson.of == *of)?;
    let (mass, cg) = values(&entered, of)?;
    let body = Layout::of_everything(&entered).into_iter().find(|body| super::logged_of(&entered, body) == *of)?;
    let then_kg = (body.mass_kg + lesson.mass_error_kg.value).max(0.0);
    if then_kg <= 0.0 {
        return None;
    }
    // The moment about the entered centre belongs to the new mass.
    let scale = body.mass_kg / then_kg;
    let shift = |axis: usize| Estimate::new(lesson.cg_error_m[axis].value * scale, lesson.cg_error_m[axis].u * scale);
    let ahead_only = matches!(of, LoggedOf::Lens(_));
    let axes: &[usize] = if ahead_only { &[0] } else { &[0, 1, 2] };
    let mut then_cg = Cg { from: CgSource::Balance, ..cg.clone() };
    for axis in axes {
        then_cg.offset_m[*axis] += shift(*axis).value;
    }
    then_cg.u_m = axes.iter().map(|axis| shift(*axis).u).max_by(f64::total_cmp);
    let then_mass = Mass { kg: then_kg, from: MassSource::Balance, u_kg: Some(lesson.mass_error_kg.u) };

    let mut changed = package.clone();
    put(&mut changed, of, PartMass::Own(then_mass), then_cg);
    let mut changed = changed.quantised();
    let (PartMass::Own(then), then_cg) = values(&changed, of)? else { return None };
    let taken = TakenOver { mass, cg, then_kg: then.kg, then_cg_m: then_cg.offset_m };
    for body in changed.logs.iter_mut().flat_map(|log| &mut log.bodies).filter(|body| body.of == *of) {
        body.taken_over = Some(taken.clone());
    }
    Some(changed)
}

/// Mass and centre of gravity that were entered before, each while the package still has what replaced it.
fn in_force<'a>(mass: &PartMass, cg: &Cg, body: &'a LoggedBody) -> (Option<&'a PartMass>, Option<&'a Cg>) {
    let Some(taken) = &body.taken_over else { return (None, None) };
    let same = |one: f64, other: f64| (one - other).abs() < 1e-9;
    let has_mass = matches!(mass, PartMass::Own(own) if own.from == MassSource::Balance && same(own.kg, taken.then_kg));
    let has_cg =
        cg.from == CgSource::Balance && cg.offset_m.iter().zip(&taken.then_cg_m).all(|(one, other)| same(*one, *other));
    (has_mass.then_some(&taken.mass), has_cg.then_some(&taken.cg))
}

/// Mass and centre of gravity of a body as the package holds them.
pub(super) fn values(package: &Package, of: &LoggedOf) -> Option<(PartMass, Cg)> {
    match of {
        LoggedOf::Part(id) => {
            let part = package.parts.iter().find(|part| part.id == *id)?;
            Some((part.mass.clone(), part.cg.clone()))
        }
        LoggedOf::Lens(id) => {
            let lens = package.lenses.iter().find(|lens| lens.id == *id)?;
            let cg = Cg { offset_m: [lens.cg_ahead_m, 0.0, 0.0], from: lens.cg_from, u_m: lens.cg_u_m };
            Some((PartMass::Own(lens.mass.clone()), cg))
        }
        LoggedOf::Yoke(index) => match package.head.chain.get(*index) {
            Some(Element::Yoke(yoke)) => Some((PartMass::Own(yoke.mass.clone()), yoke.cg.clone())),
            _ => None,
        },
    }
}

/// Writes mass and centre of gravity of a body. What is no longer in the package is left alone.
fn put(package: &mut Package, of: &LoggedOf, mass: PartMass, cg: Cg) {
    match (of, mass) {
        (LoggedOf::Part(id), mass) => {
            if let Some(part) = package.parts.iter_mut().find(|part| part.id == *id) {
                (part.mass, part.cg) = (mass, cg);
            }
        }
        (LoggedOf::Lens(id), PartMass::Own(mass)) => {
            if let Some(lens) = package.lenses.iter_mut().find(|lens| lens.id == *id) {
                (lens.mass, lens.cg_ahead_m, lens.cg_from, lens.cg_u_m) = (mass, cg.offset_m[0], cg.from, cg.u_m);
            }
        }
        (LoggedOf::Yoke(index), PartMass::Own(own)) => {
            if let Some(Element::Yoke(yoke)) = package.head.chain.get_mut(*index) {
                *yoke = Yoke { mass: own, cg, ..yoke.clone() };
            }
        }
        _ => {}
    }
}
