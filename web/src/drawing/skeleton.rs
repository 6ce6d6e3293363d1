//! The chain and everything on it in the head's own frame: every slide at zero displacement, every joint at rest.

use solver::Package;
use solver::layout::{Body, Layout, Of};
use solver::package::{PartKind, PartMass};

use super::arms::{Bone, Build, main_axis};
use super::projection::plus;

/// A part, a lens or nothing more than a hint of cables.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Thing {
    /// What it is.
    pub(crate) of: Of,
    /// Its name.
    pub(crate) name: String,
    /// What kind of part it is; a lens counts as other.
    pub(crate) kind: PartKind,
    /// Whether it stands for something spread over the camera: drawn as a phantom.
    pub(crate) spread: bool,
    /// How many slides stand outside it.
    pub(crate) rides: usize,
    /// Whether it sits on the camera side.
    pub(crate) camera_side: bool,
    /// Centre of its outline, m.
    pub(crate) centre_m: [f64; 3],
    /// Length, width, height, m.
    pub(crate) size_m: [f64; 3],
    /// Its outline in space.
    pub(crate) shape: solver::package::Shape,
    /// Its mass, kg.
    pub(crate) mass_kg: f64,
}

/// A slide where the drawing needs it.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Way {
    /// Id of the slide.
    pub(crate) id: String,
    /// Name of the slide.
    pub(crate) name: String,
    /// Unit direction.
    pub(crate) direction: [f64; 3],
    /// Mark of zero displacement, m.
    pub(crate) zero_m: f64,
    /// Lowest and highest mark, m.
    pub(crate) range_m: [f64; 2],
    /// Distance between holes, m.
    pub(crate) hole_spacing_m: Option<f64>,
    /// A point of what it moves, m: the next joint inwards, else where the camera sits.
    pub(crate) moves_m: [f64; 3],
    /// Where its own rail is, m.
    pub(crate) rail_m: [f64; 3],
}

/// Everything that an elevation is drawn from.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Skeleton {
    /// The joints, platform first.
    pub(crate) bones: Vec<Bone>,
    /// The slides, platform first.
    pub(crate) ways: Vec<Way>,
    /// Parts and the lens that is on.
    pub(crate) things: Vec<Thing>,
    /// Centre of the lens-mount flange, m.
    pub(crate) flange_m: [f64; 3],
    /// Where the camera sits, m.
    pub(crate) sits_m: [f64; 3],
    /// How many slides stand outside the camera.
    pub(crate) camera_rides: usize,
    /// How many slides stand outside the floor that the camera slides on: those that lift the floor itself.
    pub(crate) floor_rides: usize,
    /// How large the head is drawn.
    pub(crate) build: Build,
    /// Radius round the tilt axis that stays clear, m, when the head states one.
    pub(crate) clear_m: Option<f64>,
}

impl Skeleton {
    /// Lays out a package. Marks do not matter.
    pub(crate) fn new(package: &Package) -> Self {
        let layout = Layout::new(package);
        let bones = bones(package, &layout);
        let link_m = |link: usize| link.checked_sub(1).map_or([0.0; 3], |joint| bones[joint].origin_m);
        let camera_m = link_m(layout.camera.link);
        let sits_m = plus(camera_m, layout.camera.origin_m.into());
        let things: Vec<Thing> =
            layout.bodies.iter().filter_map(|body| thing(package, body, link_m(body.link))).collect();
        let ways = ways(package, &layout, &bones, sits_m);
        let first_inside = ways.iter().enumerate().skip(bones.last().map_or(0, |bone| bone.rides));
        let lifts = first_inside.take_while(|(_, way)| main_axis(way.direction) == 2).count();
        Self {
            floor_rides: bones.last().map_or(0, |bone| bone.rides) + lifts,
            build: Build::new(package.head.opening.as_ref(), camera_size_m(&things)),
            clear_m: package.head.opening.as_ref().map(|opening| opening.clear_radius_m),
            flange_m: plus(camera_m, layout.flange_m.into()),
            camera_rides: layout.camera.slides,
            bones,
            ways,
            things,
            sits_m,
        }
    }

    /// How far what rides inboard of `rides` slides stands from where it is drawn, m.
    pub(crate) fn displacement_m(&self, rides: usize, marks_m: &[f64]) -> [f64; 3] {
        let mut sum_m = [0.0; 3];
        for (way, mark_m) in self.ways.iter().take(rides).zip(marks_m) {
            sum_m = plus(sum_m, way.direction.map(|share| share * (mark_m - way.zero_m)));
        }
        sum_m
    }
}

fn bones(package: &Package, layout: &Layout) -> Vec<Bone> {
    let mut at_m = [0.0; 3];
    package
        .head
        .joints()
        .zip(&layout.joints)
        .map(|(joint, frame)| {
            at_m = plus(at_m, frame.origin_m.into());
            Bone {
                id: joint.id.clone(),
                name: joint.name.clone(),
                axis: frame.axis.into(),
                origin_m: at_m,
                rides: frame.slides,
            }
        })
        .collect()
}

fn ways(package: &Package, layout: &Layout, bones: &[Bone], sits_m: [f64; 3]) -> Vec<Way> {
    package
        .head
        .slides()
        .zip(&layout.slides)
        .enumerate()
        .map(|(index, (slide, frame))| {
            let next = bones.iter().find(|bone| bone.rides > index);
            let carrier_m = frame.link.checked_sub(1).map_or([0.0; 3], |joint| bones[joint].origin_m);
            Way {
                id: slide.id.clone(),
                name: slide.name.clone(),
                direction: frame.direction.into(),
                zero_m: frame.zero_m,
                range_m: frame.range_m,
                hole_spacing_m: frame.hole_spacing_m,
                moves_m: next.map_or(sits_m, |bone| bone.origin_m),
                rail_m: if next.is_some() { carrier_m } else { sits_m },
            }
        })
        .collect()
}

fn thing(package: &Package, body: &Body, link_m: [f64; 3]) -> Option<Thing> {
    let (name, kind, share) = match body.of {
        Of::Part(index) => {
            let part = package.parts.get(index)?;
            (part.name.clone(), part.kind, matches!(part.mass, PartMass::Share { .. }))
        }
        Of::Lens(index) => (package.lenses.get(index)?.name.clone(), PartKind::Other, false),
        Of::Yoke(_) => return None,
    };
    // What is larger than the camera and not the camera covers it, as a rain cover does.
    let covers = matches!(body.of, Of::Part(_)) && kind == PartKind::Other && volume_m3(body.size_m) > body_m3(package);
    Some(Thing {
        of: body.of,
        name,
        kind,
        spread: share || covers,
        rides: body.slides,
        camera_side: body.camera_side,
        centre_m: plus(link_m, body.centre_m.into()),
        size_m: body.size_m,
        shape: body.shape,
        mass_kg: body.mass_kg,
    })
}

fn volume_m3([length_m, width_m, height_m]: [f64; 3]) -> f64 {
    length_m * width_m * height_m
}

/// Volume of the body that rides; without one nothing counts as larger.
fn body_m3(package: &Package) -> f64 {
    package
        .riding()
        .filter(|part| part.kind == PartKind::Body)
        .map(|part| volume_m3(part.size_m))
        .fold(f64::INFINITY, f64::min)
}

fn camera_size_m(things: &[Thing]) -> [f64; 3] {
    let mut size_m = [0.0; 3];
    for (axis, side_m) in size_m.iter_mut().enumerate() {
        let solid = || things.iter().filter(|thing| thing.camera_side && !thing.spread);
        let high = solid().map(|thing| thing.centre_m[axis] + 0.5 * thing.size_m[axis]).fold(f64::MIN, f64::max);
        let low = solid().map(|thing| thing.centre_m[axis] - 0.5 * thing.size_m[axis]).fold(f64::MAX, f64::min);
        *side_m = (high - low).max(0.0);
    }
    size_m
}

#[cfg(test)]
mod tests {
    use super::*;
    use solver::linkage::Linkage;

    #[test]
    fn the_drawing_puts_the_centre_of_gravity_where_the_solver_has_it() {
        // Mass-weighted by hand from the skeleton's own displacement, against the solver's composited chain.
        let package = codec::library::demo();
        let layout = Layout::new(&package);
        let marks_m: Vec<f64> = layout.slides.iter().map(|slide| slide.range_m[0] + 0.03).collect();
        let skeleton = Skeleton::new(&package);
        let linkage = Linkage::new(&layout, &marks_m);
        let (mut mass_kg, mut moment) = (0.0, [0.0; 3]);
        for body in &layout.bodies {
            let link_m = body.link.checked_sub(1).map_or([0.0; 3], |joint| skeleton.bones[joint].origin_m);
            let at_m = plus(plus(link_m, body.cg_m.into()), skeleton.displacement_m(body.slides, &marks_m));
            mass_kg += body.mass_kg;
            moment = plus(moment, at_m.map(|value| value * body.mass_kg));
        }
        let mut whole = linkage.base;
        if let (Some(inboard), Some(link)) = (linkage.inboard().first(), linkage.links.first()) {
            whole += inboard.shifted(&link.origin_m);
        }
        let cg_m: [f64; 3] = whole.cg_m().expect("there is mass").into();
        for axis in 0..3 {
            assert!((moment[axis] / mass_kg - cg_m[axis]).abs() < 1e-12, "axis {axis}");
        }
    }

    #[test]
    fn every_riding_part_and_the_lens_is_there_and_nothing_else() {
        let package = codec::library::demo();
        let skeleton = Skeleton::new(&package);
        assert_eq!(skeleton.things.len(), package.riding().count() + 1);
        assert!(skeleton.things.iter().any(|thing| matches!(thing.of, Of::Lens(_)) && !thing.spread));
    }

    #[test]
    fn cables_and_a_rain_cover_are_hinted_at_so_that_they_hide_nothing() {
        let mut package = codec::library::demo();
        for part in &mut package.parts {
            part.on = true;
        }
        let spread: Vec<String> =
            Skeleton::new(&package).things.into_iter().filter(|thing| thing.spread).map(|thing| thing.name).collect();
        assert_eq!(spread, ["Cables, clamps, screws", "Rain cover"]);
    }

    #[test]
    fn the_height_slide_lifts_the_floor_and_the_plate_slides_on_it() {
        let skeleton = Skeleton::new(&codec::library::demo());
        assert_eq!(skeleton.ways[skeleton.floor_rides - 1].id, "height");
        assert_eq!(skeleton.camera_rides, skeleton.ways.len());
    }
}
