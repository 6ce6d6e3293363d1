//! The package as a framework in one plane: which part is which beam, spring or mass.

use nalgebra::Vector3;
use serde::Serialize;

use super::figures::{By, Figures, fastening, lens_mount};
use super::framework::{End, Framework, Mass, Spring};
use super::things::{Thing, Things};
use crate::package::PartKind;

/// Pieces shorter than this are rigid, m.
const SHORT_M: f64 = 0.001;
/// Stations on the rods that are nearer to each other than this, and than this share of the rods, are one, m.
const NEAR_M: f64 = 0.005;
const NEAR_SHARE: f64 = 0.03;
/// So many plates of a stack bend, from the head upwards; what more there is rides on them.
const MOST_PLATES: usize = 12;
/// A support holds sideways by friction and its screw: this share of what it holds upright. Invented and typical.
const SUPPORT_SIDEWAYS: f64 = 1.0 / 3.0;

/// The plane in which a model bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Plane {
    /// Forward and up: the lens nods.
    Upright,
    /// Forward and left: the lens swings from side to side.
    Sideways,
}

impl Plane {
    /// Index of the axis across the lens.
    pub(super) fn across(self) -> usize {
        match self {
            Self::Upright => 2,
            Self::Sideways => 1,
        }
    }

    /// Index of the axis about which things turn.
    fn about(self) -> usize {
        3 - self.across()
    }

    /// Its name on a screen.
    pub fn words(self) -> &'static str {
        match self {
            Self::Upright => "up and down",
            Self::Sideways => "side to side",
        }
    }
}

/// What a beam or a spring of the model is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Piece {
    pub(super) by: By,
    /// What it is called; pieces of one name are told as one.
    pub(super) name: String,
}

/// What a mass of the model is.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Rider {
    pub(super) name: String,
    pub(super) kg_u: f64,
    pub(super) cg_u_m: f64,
    pub(super) part: Option<crate::package::PartId>,
}

/// The outline of something rigid, or a beam's line, for a drawing.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Drawn {
    pub(super) what: super::DrawnWhat,
    /// Corners, or the two ends of a beam.
    pub(super) points: Vec<End>,
}

/// One plane of the package.
#[derive(Debug, Clone)]
pub(super) struct Model {
    pub(super) plane: Plane,
    pub(super) framework: Framework,
    /// What each element of the framework is, in the same order.
    pub(super) pieces: Vec<Piece>,
    /// What each mass of the framework is, in the same order.
    pub(super) riders: Vec<Rider>,
    pub(super) drawn: Vec<Drawn>,
    /// The node of the body.
    pub(super) body: usize,
    /// The node of the lens.
    pub(super) lens: Option<usize>,
    /// The topmost plate; `None` when it is held by the head itself.
    pub(super) plate: Option<usize>,
    /// Supports that touch the lens, and those that do not.
    pub(super) holding: Vec<String>,
    pub(super) idle: Vec<String>,
}

/// The rods as far as they are a beam.
struct Rods {
    /// Where they leave what holds them.
    root: End,
    front_m: f64,
    outer_m: f64,
    kg_m: f64,
}

impl Model {
    pub(super) fn new(things: &Things<'_>, figures: &Figures, plane: Plane) -> Self {
        let mut model = Self {
            plane,
            framework: Framework::default(),
            pieces: Vec::new(),
            riders: Vec::new(),
            drawn: Vec::new(),
            body: 0,
            lens: None,
            plate: None,
            holding: Vec::new(),
            idle: Vec::new(),
        };
        let plates = model.plates(things, figures);
        model.put_body(things, figures, plates.last().copied());
        model.put_lens(things, figures);
        // What sits on the topmost plate bends nothing while the head itself holds that.
        if let Some(plate) = model.plate {
            things.on_plate.iter().for_each(|thing| model.ride(thing, plate));
        }
        things.on_body.iter().for_each(|thing| model.ride(thing, model.body));
        let on_lens = model.lens.unwrap_or(model.body);
        for thing in &things.on_lens {
            model.ride(thing, on_lens);
            model.outline_front(thing, on_lens);
        }
        if let Some(rods) = &things.rods {
            model.rods(things, rods, figures, &plates);
        }
        model
    }

    /// Plates from the head upwards; answers with where each can be held from above: its foot and its top.
    fn plates(&mut self, things: &Things<'_>, figures: &Figures) -> Vec<[End; 2]> {
        let mut held: Vec<[End; 2]> = Vec::new();
        let mut below: Option<End> = None;
        for (index, plate) in things.plates.iter().enumerate() {
            if let Some(End { node: Some(node), .. }) = below.filter(|_| index >= MOST_PLATES) {
                self.ride(plate, node);
                continue;
            }
            let above = things.plates.get(index + 1).unwrap_or(&things.body);
            let top_x_m = plate.over_m(above);
            let foot = match below {
                None => clamped(plate, top_x_m, self.second_m(plate)),
                Some(End { node, at_m: [x_m, _] }) => {
                    let face_m = self.face_m(plate);
                    let own = self.framework.node([x_m, self.second_m(plate)]);
                    self.fasten(figures.fastening_nm_rad.value, node, own, [x_m, face_m], plate.name);
                    End { node: Some(own), at_m: [x_m, self.second_m(plate)] }
                }
            };
            let top = self.reach(foot, top_x_m, plate, figures);
            let middle_m = self.at(&plate.cg_m);
            let nearest =
                if (middle_m[0] - foot.at_m[0]).abs() < (middle_m[0] - top.at_m[0]).abs() { foot } else { top };
            if let Some(node) = nearest.node {
                self.ride(plate, node);
            }
            self.outline(plate, top.node, super::DrawnWhat::Plate);
            below = Some(top);
            held.push([foot, top]);
        }
        self.plate = held.last().and_then(|[_, top]| top.node);
        held
    }

    fn put_body(&mut self, things: &Things<'_>, figures: &Figures, plate: Option<[End; 2]>) {
        let body = &things.body;
        let (below, x_m) = plate.map_or((None, body.centre_m.x), |[_, top]| (top.node, top.at_m[0]));
        let face_m = self.face_m(body);
        self.body = self.framework.node([x_m, face_m]);
        let turning = figures.body_fastening_times * figures.fastening_nm_rad.value;
        self.fasten(turning, below, self.body, [x_m, face_m], body.name);
        self.ride(body, self.body);
        self.outline(body, Some(self.body), super::DrawnWhat::Body);
    }

    fn put_lens(&mut self, things: &Things<'_>, figures: &Figures) {
        let Some(lens) = &things.lens else { return };
        let node = self.framework.node([0.0, 0.0]);
        self.framework.spring(lens_mount(figures.lens_mount_nm_rad.value), Some(self.body), node, [0.0, 0.0]);
        self.pieces.push(Piece { by: By::LensMount, name: "The lens mount".to_owned() });
        self.ride(lens, node);
        self.outline(lens, Some(node), super::DrawnWhat::Lens);
        self.lens = Some(node);
    }

    /// Rods leave the front edge of the plate that lies nearest to their height, or the body where there are no plates; what
    /// clamps on them and the supports stand where they are.
    fn rods(&mut self, things: &Things<'_>, rods: &Thing<'_>, figures: &Figures, plates: &[[End; 2]]) {
        let [tail_m, front_m] = rods.span_m();
        let height_off_m = |index: &usize| (things.plates[*index].centre_m.z - rods.centre_m.z).abs();
        let holder = (0..plates.len()).min_by(|a, b| height_off_m(a).total_cmp(&height_off_m(b)));
        let edge_m = holder.map_or(&things.body, |index| &things.plates[index]).span_m()[1];
        let root_x_m = edge_m.clamp(tail_m, front_m);
        let held = match holder {
            None => End { node: Some(self.body), at_m: [root_x_m, 0.0] },
            Some(index) => {
                let (plate, [foot, top]) = (&things.plates[index], plates[index]);
                let ground = (index == 0).then(|| clamped(plate, root_x_m, self.second_m(plate)));
                let near = |end: &End| (end.at_m[0] - root_x_m).abs();
                let from =
                    [Some(foot), Some(top), ground].into_iter().flatten().min_by(|a, b| near(a).total_cmp(&near(b)));
                self.reach(from.unwrap_or(top), root_x_m, plate, figures)
            }
        };
        let kg_m = rods.body.mass_kg / rods.size_m[0];
        let root = End { node: held.node, at_m: [root_x_m, self.second_m(rods)] };
        // What lies in the holder and behind it goes with the holder.
        if let Some(node) = root.node {
            let length_m = root_x_m - tail_m;
            let (kg, at_m) = (kg_m * length_m, [0.5 * (root_x_m + tail_m), root.at_m[1]]);
            self.put(node, at_m, kg, kg * length_m * length_m / 12.0, rods);
        }
        let beam = Rods { root, front_m, outer_m: rods.size_m[2], kg_m };
        self.stations(things, rods, figures, &beam);
    }

    /// The rods from what holds them to their front end, with a node wherever something stands on them.
    fn stations(&mut self, things: &Things<'_>, rods: &Thing<'_>, figures: &Figures, beam: &Rods) {
        let root_m = beam.root.at_m[0];
        let place_m = |thing: &Thing<'_>| thing.centre_m.x.clamp(root_m, beam.front_m);
        let standing = || things.supports.iter().chain(&things.on_rods);
        let mut stops_m: Vec<f64> = standing().map(place_m).chain([beam.front_m]).collect();
        stops_m.sort_by(f64::total_cmp);
        let near_m = NEAR_M.max(NEAR_SHARE * (beam.front_m - root_m));
        let mut stops = vec![beam.root];
        for stop_m in stops_m {
            let last = *stops.last().unwrap_or(&beam.root);
            if stop_m - last.at_m[0] > near_m {
                let at_m = [stop_m, beam.root.at_m[1]];
                let next = End { node: Some(self.framework.node(at_m)), at_m };
                self.framework.beam(figures.rods(beam.outer_m, beam.kg_m), last, next);
                self.pieces.push(Piece { by: By::Rods, name: rods.name.to_owned() });
                self.drawn.push(Drawn { what: super::DrawnWhat::Rods, points: vec![last, next] });
                stops.push(next);
            }
        }
        let nearest = |at_m: f64| {
            let off = |end: &&End| (end.at_m[0] - at_m).abs();
            stops.iter().min_by(|a, b| off(a).total_cmp(&off(b))).copied().unwrap_or(beam.root)
        };
        for thing in standing() {
            if let Some(node) = nearest(place_m(thing)).node {
                self.ride(thing, node);
                self.outline_front(thing, node);
            }
        }
        for support in &things.supports {
            self.hold(things, support, figures, nearest(place_m(support)), beam);
        }
    }

    /// A support that stands under the lens and on the rods holds one by the other.
    fn hold(&mut self, things: &Things<'_>, support: &Thing<'_>, figures: &Figures, stop: End, beam: &Rods) {
        let x_m = support.centre_m.x;
        let under = things.lens.as_ref().filter(|lens| x_m > 0.0 && x_m <= lens.size_m[0]);
        let on_rods = x_m <= beam.front_m + 0.5 * support.size_m[0];
        let (Some(lens), Some(node), true) = (under, self.lens, on_rods) else {
            self.idle.push(support.name.to_owned());
            return;
        };
        let low_m = if self.plane == Plane::Upright { -0.5 * lens.size_m[1] } else { 0.0 };
        let share = if self.plane == Plane::Upright { 1.0 } else { SUPPORT_SIDEWAYS };
        let spring = Spring { first_n_m: 0.0, second_n_m: share * figures.support_n_m.value, turning_nm_rad: 0.0 };
        self.framework.spring(spring, stop.node, node, [x_m, low_m]);
        self.pieces.push(Piece { by: By::Supports, name: support.name.to_owned() });
        let ends = [End { node: stop.node, at_m: [x_m, stop.at_m[1]] }, End { node: Some(node), at_m: [x_m, low_m] }];
        self.drawn.push(Drawn { what: super::DrawnWhat::Support, points: ends.to_vec() });
        self.holding.push(support.name.to_owned());
    }

    /// A plate from a point of itself to another, bending; the same point when that is as good as there.
    fn reach(&mut self, from: End, x_m: f64, plate: &Thing<'_>, figures: &Figures) -> End {
        let at_m = [x_m, self.second_m(plate)];
        if (x_m - from.at_m[0]).abs() <= SHORT_M {
            return End { node: from.node, at_m };
        }
        let [_, width_m, height_m] = plate.size_m;
        let beam = match self.plane {
            Plane::Upright => figures.plate(width_m, height_m),
            Plane::Sideways => figures.plate(height_m, width_m),
        };
        let to = End { node: Some(self.framework.node(at_m)), at_m };
        self.framework.beam(beam, from, to);
        self.pieces.push(Piece { by: By::Plates, name: plate.name.to_owned() });
        to
    }

    fn fasten(&mut self, turning: f64, below: Option<usize>, own: usize, at_m: [f64; 2], name: &str) {
        self.framework.spring(fastening(turning), below, own, at_m);
        self.pieces.push(Piece { by: By::Fastenings, name: format!("The fastening under {name}") });
    }

    fn ride(&mut self, thing: &Thing<'_>, node: usize) {
        let inertia_kg_m2 = thing.body.inertia_kg_m2[self.plane.about()];
        self.put(node, self.at(&thing.cg_m), thing.body.mass_kg, inertia_kg_m2, thing);
    }

    fn put(&mut self, node: usize, at_m: [f64; 2], kg: f64, inertia_kg_m2: f64, thing: &Thing<'_>) {
        self.framework.masses.push(Mass { node, at_m, kg, inertia_kg_m2 });
        self.riders.push(Rider {
            name: thing.name.to_owned(),
            kg_u: thing.body.mass_u_kg,
            cg_u_m: thing.body.cg_u_m,
            part: thing.part.map(|part| part.id),
        });
    }

    fn outline(&mut self, thing: &Thing<'_>, node: Option<usize>, what: super::DrawnWhat) {
        let [rear_m, front_m] = thing.span_m();
        let (middle_m, half_m) = (self.second_m(thing), 0.5 * thing.size_m[self.plane.across()]);
        let corner = |x_m, up| End { node, at_m: [x_m, middle_m + up * half_m] };
        let points = vec![corner(rear_m, -1.0), corner(front_m, -1.0), corner(front_m, 1.0), corner(rear_m, 1.0)];
        self.drawn.push(Drawn { what, points });
    }

    /// What stands at the front is drawn too: its mass decides most of the mode.
    fn outline_front(&mut self, thing: &Thing<'_>, node: usize) {
        if thing.part.is_some_and(|part| part.kind == PartKind::Front) {
            self.outline(thing, Some(node), super::DrawnWhat::Front);
        }
    }

    fn at(&self, point_m: &Vector3<f64>) -> [f64; 2] {
        [point_m.x, point_m[self.plane.across()]]
    }

    /// The middle of a thing across the lens, m.
    fn second_m(&self, thing: &Thing<'_>) -> f64 {
        thing.centre_m[self.plane.across()]
    }

    /// Where a thing rests on what is under it, seen in this plane, m.
    fn face_m(&self, thing: &Thing<'_>) -> f64 {
        match self.plane {
            Plane::Upright => thing.centre_m.z - 0.5 * thing.size_m[2],
            Plane::Sideways => thing.centre_m.y,
        }
    }
}

/// The head's clamp grips the middle half of the lowest plate and does not give: the point of it that is nearest.
fn clamped(plate: &Thing<'_>, x_m: f64, second_m: f64) -> End {
    let quarter_m = 0.25 * plate.size_m[0];
    End { node: None, at_m: [x_m.clamp(plate.centre_m.x - quarter_m, plate.centre_m.x + quarter_m), second_m] }
}
