//! A person's own kit: whatever they have weighed, in any package that is kept on this device.

use leptos::prelude::*;
use leptos::task::spawn_local;
use solver::Package;
use solver::entering::OwnKit;

use crate::app::App;
use crate::storage::record::Record;

/// The kit. What the package on the screen adds to it is there at once, the rest as soon as it has been read.
pub(super) fn load(app: App) -> RwSignal<OwnKit> {
    let invented = codec::library::demo();
    let here = app.document.package();
    let kit = RwSignal::new(OwnKit::gather([&*here].into_iter(), &invented));
    spawn_local(async move {
        let (objects, _) = app.keeper.all().await;
        // What cannot be read stays as it is: the rescue page takes it out, and nothing of it is in the kit.
        let mut kept: Vec<Record> = objects.iter().filter_map(|object| Record::from_object(object).ok()).collect();
        kept.sort_by(|a, b| b.updated_at.total_cmp(&a.updated_at));
        let packages = kept.iter().map(|record| &record.document.package);
        let found = OwnKit::gather(std::iter::once(&*here).chain(packages), &invented);
        // The screen may have gone meanwhile.
        let _: Option<OwnKit> = kit.try_set(found);
    });
    kit
}

/// How many of this name are in the package: the name itself, or with a number after it.
pub(super) fn count_of<'a>(name: &str, names: impl Iterator<Item = &'a str>) -> usize {
    let like = |known: &str| {
        known.strip_prefix(name).is_some_and(|rest| rest.is_empty() || rest.trim_start().parse::<u32>().is_ok())
    };
    names.filter(|known| like(known)).count()
}

/// Names of the parts of a package.
pub(super) fn part_names(package: &Package) -> impl Iterator<Item = &str> {
    package.parts.iter().map(|part| part.name.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbered_names_count_as_the_same() {
        let names = ["Filter, 4 mm", "Filter, 4 mm 2", "Filter, 4 mm old", "Large filter"];
        assert_eq!(count_of("Filter, 4 mm", names.into_iter()), 2);
        assert_eq!(count_of("Rods", names.into_iter()), 0);
    }
}
