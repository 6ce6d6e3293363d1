//! What the folded lines of a lens tell.

use solver::Package;
use solver::bounds;
use solver::package::{Lens, PartId};

use crate::show::{Kind, Style};

/// Where its gear rings are.
pub(super) fn rings(style: Style, _: &Package, lens: &Lens) -> String {
    let rings = [("focus", lens.rings.focus_m), ("iris", lens.rings.iris_m), ("zoom", lens.rings.zoom_m)];
    let place = |(name, m): (&str, Option<f64>)| Some(format!("{name} {}", length(style, m?)));
    listed(rings.into_iter().filter_map(place), "none")
}

/// What it covers.
pub(super) fn focal(style: Style, _: &Package, lens: &Lens) -> String {
    let Some([shortest, longest]) = lens.focal_length_m else { return "not known".to_owned() };
    let m = |m: f64| style.figure(Kind::Length, m, &bounds::FOCAL_LENGTH_M);
    let range = if shortest == longest { m(longest) } else { format!("{} to {}", m(shortest), m(longest)) };
    let squeeze = lens.squeeze.map(|times| format!("squeeze {}", style.figure(Kind::Plain, times, &bounds::SQUEEZE)));
    listed(std::iter::once(range).chain(squeeze), "")
}

/// Parts by name.
pub(super) fn parts(package: &Package, ids: &[PartId]) -> String {
    listed(ids.iter().map(|id| part_name(package, *id)), "nothing")
}

/// The name of a part; nothing where the package has none of this id.
pub(super) fn part_name(package: &Package, id: PartId) -> String {
    package.parts.iter().find(|part| part.id == id).map(|part| part.name.clone()).unwrap_or_default()
}

fn length(style: Style, m: f64) -> String {
    style.figure(Kind::Length, m, &bounds::SIZE_M)
}

fn listed(each: impl Iterator<Item = String>, none: &str) -> String {
    let each: Vec<String> = each.collect();
    if each.is_empty() { none.to_owned() } else { each.join(", ") }
}

#[cfg(test)]
mod tests {
    use super::*;

    const METRIC: Style =
        Style(quantity::Style { system: quantity::System::Metric, mark: quantity::DecimalMark::Point });

    #[test]
    fn rings_and_focal_length_are_told_with_their_units() {
        let package = codec::library::demo();
        let mut lens = package.lenses[0].clone();
        (lens.rings.focus_m, lens.rings.iris_m, lens.rings.zoom_m) = (Some(0.12), Some(0.0455), None);
        (lens.focal_length_m, lens.squeeze) = (Some([0.032, 0.032]), Some(2.0));
        assert_eq!(rings(METRIC, &package, &lens), "focus 120\u{a0}mm, iris 45.5\u{a0}mm");
        assert_eq!(focal(METRIC, &package, &lens), "32\u{a0}mm, squeeze 2");
        (lens.focal_length_m, lens.squeeze) = (Some([0.05, 0.5]), None);
        assert_eq!(focal(METRIC, &package, &lens), "50\u{a0}mm to 500\u{a0}mm");
        lens.rings = solver::package::Rings::default();
        lens.focal_length_m = None;
        assert_eq!([rings(METRIC, &package, &lens), focal(METRIC, &package, &lens)], ["none", "not known"]);
    }

    #[test]
    fn parts_are_told_by_name() {
        let package = codec::library::demo();
        let two = [package.parts[0].id, package.parts[1].id];
        assert_eq!(parts(&package, &two), format!("{}, {}", package.parts[0].name, package.parts[1].name));
        assert_eq!(parts(&package, &[]), "nothing");
    }
}
