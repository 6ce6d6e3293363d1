//! Where a measured value goes: a lens or part, an axis, a slide; and putting it there.

use leptos::prelude::*;
use solver::answer::Estimate;
use solver::measure::{Target, Value, write};
use solver::package::{DriveKind, Package, Part, PartMass};

use crate::app::App;
use crate::dom::{El, p};
use crate::ui::choice::select;

/// A choice among the things of the package, by an id of ours.
#[derive(Clone, Copy)]
pub(super) struct Chosen(RwSignal<String>);

impl Chosen {
    /// Nothing is chosen yet: the first of the list counts.
    pub(super) fn new() -> Self {
        Self(RwSignal::new(String::new()))
    }

    /// The id that counts, followed.
    pub(super) fn id(self, app: App, options: fn(&Package) -> Vec<(String, String)>) -> Option<String> {
        let chosen = self.0.get();
        let options = app.document.with(options);
        let known = options.iter().any(|(id, _)| *id == chosen);
        if known { Some(chosen) } else { options.into_iter().next().map(|(id, _)| id) }
    }

    /// The choice on the page.
    pub(super) fn view(self, app: App, label: &str, test: &str, options: fn(&Package) -> Vec<(String, String)>) -> El {
        select(
            app,
            label,
            test,
            options,
            move |package| {
                let chosen = self.0.get();
                let options = options(package);
                let known = options.iter().any(|(id, _)| *id == chosen);
                if known { chosen } else { options.into_iter().next().map(|(id, _)| id).unwrap_or_default() }
            },
            move |_, chosen| self.0.set(chosen),
        )
    }
}

/// Everything that can lie on a scale: the lens that is on first, then the other lenses, then the parts.
pub(super) fn things(package: &Package) -> Vec<(String, String)> {
    let mut lenses: Vec<&solver::package::Lens> = package.lenses.iter().collect();
    lenses.sort_by_key(|lens| Some(lens.id) != package.active_lens);
    let lenses = lenses.into_iter().map(|lens| (format!("lens-{}", lens.id), lens.name.clone()));
    lenses.chain(parts(package)).collect()
}

/// The parts.
pub(super) fn parts(package: &Package) -> Vec<(String, String)> {
    package.parts.iter().map(|part| (format!("part-{}", part.id), part.name.clone())).collect()
}

/// The parts that ride and whose mass is their own, heaviest first.
pub(super) fn weighed_parts(package: &Package) -> Vec<(String, String)> {
    let kg = |part: &Part| if let PartMass::Own(mass) = &part.mass { Some(mass.kg) } else { None };
    let mut own: Vec<&Part> = package.riding().filter(|part| kg(part).is_some()).collect();
    own.sort_by(|a, b| kg(b).unwrap_or_default().total_cmp(&kg(a).unwrap_or_default()));
    own.into_iter().map(|part| (format!("part-{}", part.id), part.name.clone())).collect()
}

/// The axes that turn under a small unbalance, innermost first.
pub(super) fn axes(package: &Package) -> Vec<(String, String)> {
    let free = package.head.joints().rev().filter(|joint| joint.drive.kind != DriveKind::Geared);
    free.map(|joint| (joint.id.clone(), joint.name.clone())).collect()
}

/// The slides, innermost first.
pub(super) fn slides(package: &Package) -> Vec<(String, String)> {
    package.head.slides().rev().map(|slide| (slide.id.clone(), slide.name.clone())).collect()
}

/// The lens or part of an id of [`things`].
pub(super) fn thing(id: &str) -> Option<Target> {
    let (kind, number) = id.split_once('-')?;
    let number = number.parse().ok()?;
    match kind {
        "lens" => Some(Target::Lens(number)),
        "part" => Some(Target::Part(number)),
        _ => None,
    }
}

/// Its name.
pub(super) fn name(package: &Package, target: &Target) -> String {
    let found = match target {
        Target::Lens(id) => package.lenses.iter().find(|lens| lens.id == *id).map(|lens| &lens.name),
        Target::Part(id) => package.parts.iter().find(|part| part.id == *id).map(|part| &part.name),
        Target::Joint(id) => package.head.joints().find(|joint| joint.id == *id).map(|joint| &joint.name),
    };
    found.cloned().unwrap_or_default()
}

/// From where the places of a thing are measured, in words.
pub(super) fn measured_from(target: &Target) -> &'static str {
    match target {
        Target::Lens(_) => "All places count from its mount, forward.",
        Target::Part(_) | Target::Joint(_) => "All places count from its rear end, forward.",
    }
}

/// A centre of gravity ahead of where it was measured from, as the package holds it: from the mount for a lens, from the
/// middle of its outline for a part.
pub(super) fn cg_value(package: &Package, target: &Target, ahead_m: Estimate) -> Value {
    let half_m = match target {
        Target::Part(id) => package.parts.iter().find(|part| part.id == *id).map_or(0.0, |part| 0.5 * part.size_m[0]),
        Target::Lens(_) | Target::Joint(_) => 0.0,
    };
    Value::CgAhead(Estimate::new(ahead_m.value - half_m, ahead_m.u))
}

/// Writes a value into the package as one step of undo, and says so, or why not.
pub(super) fn put(app: App, target: &Target, value: Value, said: RwSignal<Option<String>>) {
    let (written, name) = app.document.now(|package| (write(package, target, value), name(package, target)));
    let what = match value {
        Value::Mass { .. } => "mass",
        Value::CgAhead(_) | Value::CgUp(_) => "centre of gravity",
        Value::Friction(_) => "friction",
    };
    said.set(Some(match written {
        Ok(package) => {
            app.document.edit(|now| *now = package);
            format!("{name}: {what} written, marked as measured. Undo, at the top, takes it back.")
        }
        Err(faults) => {
            let why = faults.first().map(|fault| fault.problem.to_string()).unwrap_or_default();
            format!("{name}: not written, for the {what} {why}.")
        }
    }));
}

/// What was said last about writing a value.
pub(super) fn said(said: RwSignal<Option<String>>) -> El {
    p("added", "")
        .attr("role", "status")
        .test("written")
        .hidden(move || said.with(Option::is_none))
        .live_words(move || said.get().unwrap_or_default())
}
