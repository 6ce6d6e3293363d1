//! Where everything is: the chain at given marks, with every part in the frame of the joint that carries it.

use nalgebra::{Matrix3, Vector3};

use crate::mass::{MassProperties, outline_inertia_per_kg_m2};
use crate::package::{Anchor, Element, Lens, Package, Part, PartKind, PartMass, Place, Position, Shape};

/// What a body in the layout is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Of {
    /// `parts[index]` of the package.
    Part(usize),
    /// `lenses[index]` of the package.
    Lens(usize),
    /// The yoke at `chain[index]` of the head.
    Yoke(usize),
}

/// One body with mass, in the frame of the link that carries it.
#[derive(Debug, Clone)]
pub struct Body {
    /// What it is.
    pub of: Of,
    /// Link that carries it: 0 is the base, link *j* + 1 is turned by joint *j*.
    pub link: usize,
    /// How many slides of the whole chain stand outside it: it moves with slides `0..slides`.
    pub slides: usize,
    /// Whether it sits on the camera side, on the place that carries the camera.
    pub camera_side: bool,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Standard uncertainty of the mass, kg.
    pub mass_u_kg: f64,
    /// Centre of gravity in the link's frame with every slide at zero displacement, m.
    pub cg_m: Vector3<f64>,
    /// Standard uncertainty of the centre of gravity along each axis, m.
    pub cg_u_m: f64,
    /// Inertia about its own centre of gravity, kg·m², along the link's axes.
    pub inertia_kg_m2: Vector3<f64>,
    /// Centre of its outline in the link's frame with every slide at zero displacement, m.
    pub centre_m: Vector3<f64>,
    /// Length, width, height of its outline, m.
    pub size_m: [f64; 3],
    /// Its outline.
    pub shape: Shape,
    /// Drag coefficient; 0 when sheltered or without outline.
    pub drag_coefficient: f64,
}

/// One joint as the layout sees it.
#[derive(Debug, Clone)]
pub struct JointFrame {
    /// Unit axis in the frame outside.
    pub axis: Vector3<f64>,
    /// Origin in the frame of the link outside, every slide at zero displacement, m.
    pub origin_m: Vector3<f64>,
    /// It moves with slides `0..slides`.
    pub slides: usize,
}

/// One slide as the layout sees it.
#[derive(Debug, Clone)]
pub struct SlideFrame {
    /// Unit direction in the frame of its link.
    pub direction: Vector3<f64>,
    /// Link that carries the slide itself.
    pub link: usize,
    /// Mark of zero displacement, m.
    pub zero_m: f64,
    /// Lowest and highest mark, m.
    pub range_m: [f64; 2],
    /// Distance between holes, m.
    pub hole_spacing_m: Option<f64>,
    /// Present mark, m.
    pub mark_m: f64,
}

/// The package laid out: bodies, joints and slides, independent of the marks.
#[derive(Debug, Clone)]
pub struct Layout {
    /// Joints, platform first.
    pub joints: Vec<JointFrame>,
    /// Slides, platform first.
    pub slides: Vec<SlideFrame>,
    /// Everything with mass.
    pub bodies: Vec<Body>,
    /// Camera datum in the frame of the link that carries the camera, every slide at zero displacement, m.
    pub flange_m: Vector3<f64>,
    /// Link and number of slides outside the camera.
    pub camera: Seat,
}

/// Where a place stands in the chain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Seat {
    /// Link that carries it.
    pub link: usize,
    /// Number of slides outside it.
    pub slides: usize,
    /// Origin in the link's frame, every slide at zero displacement, m.
    pub origin_m: Vector3<f64>,
}

impl Layout {
    /// Lays out a package that has passed validation. Parts on an unknown place ride on the base.
    pub fn new(package: &Package) -> Self {
        let mut layout = Self {
            joints: Vec::new(),
            slides: Vec::new(),
            bodies: Vec::new(),
            flange_m: Vector3::zeros(),
            camera: Seat { link: 0, slides: 0, origin_m: Vector3::zeros() },
        };
        let mut seats: Vec<(&Place, Seat)> = Vec::new();
        for (index, element) in package.head.chain.iter().enumerate() {
            let (link, slides) = (layout.joints.len(), layout.slides.len());
            match element {
                Element::Joint(joint) => layout.joints.push(JointFrame {
                    axis: Vector3::from(joint.axis).normalize(),
                    origin_m: Vector3::from(joint.position_m),
                    slides,
                }),
                Element::Slide(slide) => layout.slides.push(SlideFrame {
                    direction: Vector3::from(slide.direction).normalize(),
                    link,
                    zero_m: slide.zero_m,
                    range_m: slide.range_m,
                    hole_spacing_m: slide.hole_spacing_m,
                    mark_m: slide.mark_m,
                }),
                Element::Yoke(yoke) => {
                    let cg_m = Vector3::from(yoke.cg.offset_m);
                    // A typical yoke is as well known as one off a data sheet; learned balances improve it.
                    let typical = matches!(yoke.mass.from, crate::package::MassSource::Typical);
                    layout.bodies.push(Body {
                        of: Of::Yoke(index),
                        link,
                        slides,
                        camera_side: false,
                        mass_kg: yoke.mass.kg,
                        mass_u_kg: match yoke.mass.u_kg {
                            None if typical => 0.03 * yoke.mass.kg,
                            _ => yoke.mass.standard_uncertainty_kg(),
                        },
                        cg_m,
                        cg_u_m: yoke.cg.u_m.unwrap_or(match yoke.cg.from {
                            crate::package::CgSource::Measured => 0.003,
                            _ => 0.008,
                        }),
                        inertia_kg_m2: Vector3::from(yoke.inertia_kg_m2),
                        centre_m: cg_m,
                        size_m: [0.0; 3],
                        shape: Shape::Box,
                        drag_coefficient: 0.0,
                    });
                }
                Element::Place(place) => {
                    let seat = Seat { link, slides, origin_m: Vector3::from(place.origin_m) };
                    seats.push((place, seat));
                    if place.camera {
                        layout.camera = seat;
                    }
                }
            }
        }
        layout.place_parts(package, &seats);
        layout
    }

    /// Every part, lens and yoke of the package as a body, whether it rides now or not. Where those that do not ride
    /// would be is only nominal; a share keeps the mass that it has now.
    pub fn of_everything(package: &Package) -> Vec<Body> {
        let now = Self::new(package);
        let mut all_on = package.clone();
        for part in &mut all_on.parts {
            part.on = true;
        }
        for lens in &mut all_on.lenses {
            lens.leaves_off.clear();
        }
        let everything = Self::new(&all_on);
        let mut bodies = everything.bodies;
        for (index, lens) in package.lenses.iter().enumerate() {
            if Some(lens.id) != package.active_lens {
                bodies.push(lens_body(index, lens, &now.camera, &now.flange_m));
            }
        }
        for body in &mut bodies {
            if let Some(riding) = now.bodies.iter().find(|riding| riding.of == body.of) {
                *body = riding.clone();
            }
        }
        bodies
    }

    fn place_parts(&mut self, package: &Package, seats: &[(&Place, Seat)]) {
        let stack = Stack::of(package);
        let lens = package.lens();
        self.flange_m = self.camera.origin_m
            + Vector3::new(package.mount.flange_ahead_m, package.mount.flange_left_m, stack.axis_up_m);
        let body = package.riding().find(|part| part.kind == PartKind::Body);
        let sites = Sites { package, flange_m: self.flange_m, camera: self.camera, lens, body, stack: &stack };

        for (index, part) in package.parts.iter().enumerate() {
            if !package.rides(part) {
                continue;
            }
            let (seat, camera_side) = seats
                .iter()
                .find(|(place, _)| place.id == part.at.place)
                .map_or((Seat { link: 0, slides: 0, origin_m: Vector3::zeros() }, false), |(place, seat)| {
                    (*seat, place.camera)
                });
            let centre_m = sites.centre_m(index, &part.at, &seat);
            self.bodies.push(part_body(index, part, &seat, camera_side, centre_m));
        }
        if let (Some(lens), Some(index)) =
            (lens, package.lenses.iter().position(|lens| Some(lens.id) == package.active_lens))
        {
            let body = lens_body(index, lens, &self.camera, &self.flange_m);
            self.bodies.push(body);
        }
        self.fill_shares(package);
    }

    /// A share stands for cables and clamps: a fraction of everything else on the camera side, known to half of itself.
    fn fill_shares(&mut self, package: &Package) {
        let sum_kg: f64 = self.bodies.iter().filter(|body| body.camera_side).map(|body| body.mass_kg).sum();
        for body in &mut self.bodies {
            let Of::Part(index) = body.of else { continue };
            let part = &package.parts[index];
            if let PartMass::Share { fraction } = part.mass {
                body.mass_kg = fraction * sum_kg;
                body.mass_u_kg = 0.5 * body.mass_kg;
                body.inertia_kg_m2 = outline_inertia_per_kg_m2(part.shape, part.size_m) * body.mass_kg;
            }
        }
    }

    /// Present marks, m, platform first.
    pub fn present_marks_m(&self) -> Vec<f64> {
        self.slides.iter().map(|slide| slide.mark_m).collect()
    }

    /// Displacement at the given marks of what rides on `link` inboard of `slides` slides, in that link's frame, m.
    pub fn displacement_m(&self, link: usize, slides: usize, marks_m: &[f64]) -> Vector3<f64> {
        self.slides[..slides]
            .iter()
            .zip(marks_m)
            .filter(|(slide, _)| slide.link == link)
            .map(|(slide, mark_m)| slide.direction * (mark_m - slide.zero_m))
            .sum()
    }
}

/// The stack of plates between the camera place and the body.
struct Stack {
    /// Height of the centre of each stacked part above the place, by index in the package's parts.
    centres: Vec<(usize, f64)>,
    /// Optical axis above the place, m.
    axis_up_m: f64,
}

impl Stack {
    /// Plates one on the other in the order of the list, the body on top of them all.
    fn of(package: &Package) -> Self {
        let stacked = |body: bool| {
            package.parts.iter().enumerate().filter(move |(_, part)| {
                part.at.from == Anchor::Stack && (part.kind == PartKind::Body) == body && package.rides(part)
            })
        };
        let mut height_m = 0.0;
        let mut centres = Vec::new();
        for (index, plate) in stacked(false) {
            centres.push((index, height_m + 0.5 * plate.size_m[2]));
            height_m += plate.size_m[2];
        }
        centres.extend(stacked(true).map(|(index, body)| (index, height_m + 0.5 * body.size_m[2])));
        let axis_up_m = package
            .riding()
            .find(|part| part.kind == PartKind::Body)
            .and_then(|body| body.optical_axis_up_m)
            .unwrap_or(0.0);
        Self { centres, axis_up_m: height_m + axis_up_m }
    }
}

/// The points that positions are measured from.
struct Sites<'a> {
    package: &'a Package,
    flange_m: Vector3<f64>,
    camera: Seat,
    lens: Option<&'a Lens>,
    body: Option<&'a Part>,
    stack: &'a Stack,
}

impl Sites<'_> {
    fn centre_m(&self, index: usize, at: &Position, seat: &Seat) -> Vector3<f64> {
        let offset_m = Vector3::from(at.offset_m);
        let ahead = |distance_m: Option<f64>| self.flange_m + Vector3::x() * distance_m.unwrap_or(0.0);
        let from = match at.from {
            Anchor::Place => seat.origin_m,
            Anchor::Flange => self.flange_m,
            Anchor::Stack => {
                let up_m = self.stack.centres.iter().find(|(part, _)| *part == index).map_or(0.0, |(_, up_m)| *up_m);
                Vector3::new(self.flange_m.x, self.flange_m.y, seat.origin_m.z + up_m)
            }
            Anchor::LensFront => ahead(self.lens.map(|lens| lens.length_m)),
            Anchor::FocusRing => ahead(self.lens.and_then(|lens| lens.rings.focus_m)),
            Anchor::IrisRing => ahead(self.lens.and_then(|lens| lens.rings.iris_m)),
            Anchor::ZoomRing => ahead(self.lens.and_then(|lens| lens.rings.zoom_m)),
            Anchor::RodsFront => self.rods_front_m(),
            Anchor::PlateFront => self.plate_front_m(),
            Anchor::BodyTop => {
                self.flange_m + self.on_body(|[length, _, height], axis_up| [-0.5 * length, height - axis_up])
            }
            Anchor::BodyRear => {
                self.flange_m + self.on_body(|[length, _, height], axis_up| [-length, 0.5 * height - axis_up])
            }
        };
        from + offset_m
    }

    /// Rods that are themselves measured from the front of rods lead nowhere and are passed over.
    fn rods_front_m(&self) -> Vector3<f64> {
        let rods = self.package.parts.iter().enumerate().find(|(_, part)| {
            part.kind == PartKind::Rods && part.at.from != Anchor::RodsFront && self.package.rides(part)
        });
        rods.map_or(self.flange_m, |(index, rods)| {
            self.centre_m(index, &rods.at, &self.camera) + Vector3::x() * (0.5 * rods.size_m[0])
        })
    }

    fn plate_front_m(&self) -> Vector3<f64> {
        let mut plates = self.package.parts.iter().enumerate().filter(|(_, part)| {
            part.at.from == Anchor::Stack && part.kind != PartKind::Body && self.package.rides(part)
        });
        plates.next_back().map_or(self.camera.origin_m, |(index, plate)| {
            let [length_m, _, height_m] = plate.size_m;
            self.centre_m(index, &plate.at, &self.camera) + Vector3::new(0.5 * length_m, 0.0, 0.5 * height_m)
        })
    }

    /// A point in the body's middle plane from its size and optical axis height; the flange without a body.
    fn on_body(&self, point: impl Fn([f64; 3], f64) -> [f64; 2]) -> Vector3<f64> {
        self.body.map_or_else(Vector3::zeros, |body| {
            let [x, z] = point(body.size_m, body.optical_axis_up_m.unwrap_or(0.5 * body.size_m[2]));
            Vector3::new(x, 0.0, z)
        })
    }
}

fn part_body(index: usize, part: &Part, seat: &Seat, camera_side: bool, centre_m: Vector3<f64>) -> Body {
    // A share is filled in once everything else is known.
    let (mass_kg, mass_u_kg) = match &part.mass {
        PartMass::Own(mass) => (mass.kg, mass.standard_uncertainty_kg()),
        PartMass::Share { .. } => (0.0, 0.0),
    };
    Body {
        of: Of::Part(index),
        link: seat.link,
        slides: seat.slides,
        camera_side,
        mass_kg,
        mass_u_kg,
        cg_m: centre_m + Vector3::from(part.cg.offset_m),
        cg_u_m: part.cg.standard_uncertainty_m(part.size_m[0]),
        inertia_kg_m2: outline_inertia_per_kg_m2(part.shape, part.size_m) * mass_kg,
        centre_m,
        size_m: part.size_m,
        shape: part.shape,
        drag_coefficient: if part.drag.sheltered { 0.0 } else { part.drag.coefficient },
    }
}

fn lens_body(index: usize, lens: &Lens, seat: &Seat, flange_m: &Vector3<f64>) -> Body {
    let size_m = [lens.length_m, lens.diameter_m, lens.diameter_m];
    let cg = crate::package::Cg { offset_m: [0.0; 3], from: lens.cg_from, u_m: lens.cg_u_m };
    Body {
        of: Of::Lens(index),
        link: seat.link,
        slides: seat.slides,
        camera_side: true,
        mass_kg: lens.mass.kg,
        mass_u_kg: lens.mass.standard_uncertainty_kg(),
        cg_m: flange_m + Vector3::x() * lens.cg_ahead_m,
        cg_u_m: cg.standard_uncertainty_m(lens.length_m),
        inertia_kg_m2: outline_inertia_per_kg_m2(Shape::Cylinder, size_m) * lens.mass.kg,
        centre_m: flange_m + Vector3::x() * (0.5 * lens.length_m),
        size_m,
        shape: Shape::Cylinder,
        // Cross-flow on a stubby cylinder; see `wind` for the source.
        drag_coefficient: 1.1,
    }
}

impl Body {
    /// Mass properties about the link's origin, moved by `displacement_m`.
    pub fn properties(&self, displacement_m: &Vector3<f64>) -> MassProperties {
        MassProperties::new(self.mass_kg, self.cg_m + displacement_m, Matrix3::from_diagonal(&self.inertia_kg_m2))
    }
}
