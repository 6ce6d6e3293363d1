//! From the models of both planes to what there is to say.

use super::change::{changes, figures};
use super::figures::{By, Figures};
use super::framework::{Framework, Mode, Shape};
use super::model::{Drawn, Model, Plane};
use super::report::{
    DrawnLine, PlaneReport, SagReport, Share, StiffnessFinding, StiffnessMatter, StiffnessReport, StiffnessVerdict,
};
use super::things::Things;
use crate::answer::{Answer, Estimate};
use crate::constants::GRAVITY_M_S2;
use crate::finding::Severity;
use crate::float::sqrt;
use crate::layout::Layout;
use crate::package::{Package, SensorOn};
use crate::path::FieldPath;

/// From the flange back to the imager where nobody has said, m: invented and typical.
pub const FLANGE_DEPTH_M: f64 = 0.05;
/// Points along a bending beam of a drawing.
const ALONG: usize = 6;

/// One plane with its modes.
pub(crate) struct Swings {
    pub(super) model: Model,
    pub(super) figures: Figures,
    /// The lowest first; never empty.
    pub(super) modes: Vec<Mode>,
}

pub(super) fn report(package: &Package) -> Option<StiffnessReport> {
    let layout = Layout::new(package);
    let things = Things::new(package, &layout)?;
    let figures = figures(package, &things);
    let upright = Swings::new(Model::new(&things, &figures, Plane::Upright), &figures)?;
    let sideways = Swings::new(Model::new(&things, &figures, Plane::Sideways), &figures)?;
    let planes: Vec<PlaneReport> = [&upright, &sideways].into_iter().map(Swings::report).collect();
    let first = planes.iter().min_by(|a, b| a.hz.value.total_cmp(&b.hz.value))?;
    let crossover_hz = package.head.crossover_hz;
    let ratio = Estimate::new(first.hz.value / crossover_hz, first.hz.u / crossover_hz);
    let changes = changes(package, &things, first.hz.value);
    let mut report = StiffnessReport {
        plane: first.plane,
        first_hz: first.hz,
        crossover_hz,
        ratio,
        verdict: StiffnessVerdict::of(ratio),
        sag: sag(package, &upright)?,
        changes,
        findings: Vec::new(),
        assumed: super::ASSUMED,
        planes,
    };
    report.findings = findings(&report, &upright.model);
    Some(report)
}

impl Swings {
    /// The plane of a package whose first mode is the lower one.
    pub(crate) fn first_of(package: &Package) -> Option<Self> {
        let layout = Layout::new(package);
        let things = Things::new(package, &layout)?;
        let figures = figures(package, &things);
        let of = |plane| Self::new(Model::new(&things, &figures, plane), &figures);
        let (upright, sideways) = (of(Plane::Upright)?, of(Plane::Sideways)?);
        Some(if upright.modes[0].hz <= sideways.modes[0].hz { upright } else { sideways })
    }

    fn new(model: Model, figures: &Figures) -> Option<Self> {
        let modes = model.framework.modes().filter(|modes| !modes.is_empty())?;
        Some(Self { model, figures: figures.clone(), modes })
    }

    pub(crate) fn framework(&self) -> &Framework {
        &self.model.framework
    }

    fn report(&self) -> PlaneReport {
        PlaneReport {
            plane: self.model.plane,
            hz: self.first_hz(),
            second_hz: self.modes.get(1).map(|mode| mode.hz),
            bends: self.bends(),
            lines: self.lines(),
        }
    }

    /// The first mode with its ±: Rayleigh's sensitivities to every stiffness figure, mass and centre of gravity.
    pub(crate) fn first_hz(&self) -> Estimate {
        let (framework, mode) = (self.framework(), &self.modes[0]);
        let stiff = By::ALL.map(|by| 0.5 * self.strain_by(by) * self.figures.relative_u(by));
        let swing: f64 = self.swings_of(&mode.shape);
        let masses = framework.masses.iter().zip(&self.model.riders).map(|(mass, rider)| {
            if mass.kg <= 0.0 || swing <= 0.0 {
                return 0.0;
            }
            let by_mass = framework.swing(mass, &mode.shape) * rider.kg_u / mass.kg;
            // Moved ahead by δ, a mass shifts by θδ more across; moved up, by θδ less along.
            let [u, w, turn] = self.moved(&mode.shape, mass);
            let by_place = 2.0 * mass.kg * turn * rider.cg_u_m * sqrt(u * u + w * w);
            0.5 * sqrt(by_mass * by_mass + by_place * by_place) / swing
        });
        let variance: f64 = stiff.into_iter().chain(masses).map(|share| share * share).sum();
        Estimate::new(mode.hz, mode.hz * sqrt(variance))
    }

    fn moved(&self, shape: &Shape, mass: &super::Mass) -> [f64; 3] {
        self.framework().moved(shape, &super::End { node: Some(mass.node), at_m: mass.at_m })
    }

    /// φᵀMφ of everything.
    fn swings_of(&self, shape: &Shape) -> f64 {
        let framework = self.framework();
        let masses: f64 = framework.masses.iter().map(|mass| framework.swing(mass, shape)).sum();
        masses + framework.elements.iter().map(|element| framework.swing_of(element, shape)).sum::<f64>()
    }

    fn strain_by(&self, by: By) -> f64 {
        let framework = self.framework();
        let of = framework.elements.iter().zip(&self.model.pieces).filter(|(_, piece)| piece.by == by);
        of.map(|(element, _)| framework.strain(element, &self.modes[0].shape)).sum()
    }

    /// Shares of the strain energy by name, the largest first.
    fn bends(&self) -> Vec<Share> {
        let mut shares: Vec<Share> = Vec::new();
        for (element, piece) in self.framework().elements.iter().zip(&self.model.pieces) {
            let share = self.framework().strain(element, &self.modes[0].shape);
            match shares.iter_mut().find(|known| known.name == piece.name) {
                Some(known) => known.share += share,
                None => shares.push(Share { name: piece.name.clone(), share }),
            }
        }
        crate::float::sort_largest_first(&mut shares, |each| each.share);
        shares
    }

    fn lines(&self) -> Vec<DrawnLine> {
        let shape = &self.modes[0].shape;
        let mut lines: Vec<DrawnLine> = self.model.drawn.iter().map(|drawn| self.line(drawn, shape)).collect();
        let size = |[u, w]: &[f64; 2]| sqrt(u * u + w * w);
        let all = || lines.iter().flat_map(|line| line.moved.iter());
        let largest = all().fold(0.0_f64, |largest, moved| largest.max(size(moved)));
        // The lens goes up or to the left.
        let sum: f64 = all().map(|[_, w]| w).sum();
        let scale = if largest > 0.0 { 1.0_f64.copysign(sum) / largest } else { 0.0 };
        for moved in lines.iter_mut().flat_map(|line| line.moved.iter_mut()) {
            *moved = moved.map(|shift| scale * shift);
        }
        lines
    }

    fn line(&self, drawn: &Drawn, shape: &Shape) -> DrawnLine {
        let moved = |end| self.framework().moved(shape, end);
        let (rest_m, moved) = match (drawn.what, drawn.points.as_slice()) {
            (super::DrawnWhat::Rods, [from, to]) => {
                let length_m = to.at_m[0] - from.at_m[0];
                let (a, b) = (moved(from), moved(to));
                (0..=ALONG)
                    .map(|step| {
                        let s = step as f64 / ALONG as f64;
                        let w = hermite(s, length_m, [a[1], a[2], b[1], b[2]]);
                        ([from.at_m[0] + s * length_m, from.at_m[1]], [a[0] + s * (b[0] - a[0]), w])
                    })
                    .unzip()
            }
            (_, points) => points.iter().map(|end| (end.at_m, moved(end))).map(|(at, [u, w, _])| (at, [u, w])).unzip(),
        };
        DrawnLine { what: drawn.what, rest_m, moved }
    }

    /// A sum of node freedoms of the sag, and its ± by the stiffness figures: dq = −λᵀdK**u** with K**λ** = **c**.
    fn estimate(&self, weights: &[(usize, [f64; 3])], sagged: &Shape) -> Option<Estimate> {
        let value = weights.iter().map(|(node, weight)| dot(weight, &sagged[*node])).sum();
        let adjoint = self.framework().under(weights)?;
        let variance: f64 = By::ALL
            .iter()
            .map(|by| {
                let of = self.framework().elements.iter().zip(&self.model.pieces).filter(|(_, piece)| piece.by == *by);
                let change: f64 = of.map(|(element, _)| self.framework().between(element, &adjoint, sagged)).sum();
                let share = self.figures.relative_u(*by) * change;
                share * share
            })
            .sum();
        Some(Estimate::new(value, sqrt(variance)))
    }
}

fn dot(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| a * b).sum()
}

/// The cubic between two ends with shift and slope.
fn hermite(s: f64, length_m: f64, [w_a, turn_a, w_b, turn_b]: [f64; 4]) -> f64 {
    let (s2, s3) = (s * s, s * s * s);
    (1.0 - 3.0 * s2 + 2.0 * s3) * w_a
        + (s - 2.0 * s2 + s3) * length_m * turn_a
        + (3.0 * s2 - 2.0 * s3) * w_b
        + (s3 - s2) * length_m * turn_b
}

/// Level, gravity pulls across the lens; lens up, it pulls along it, towards the mount.
fn sag(package: &Package, upright: &Swings) -> Option<SagReport> {
    let model = &upright.model;
    let level = model.framework.sag([0.0, -GRAVITY_M_S2])?;
    let up = model.framework.sag([-GRAVITY_M_S2, 0.0])?;
    let change: Shape =
        up.iter().zip(&level).map(|(up, level)| core::array::from_fn(|freedom| up[freedom] - level[freedom])).collect();
    let sensor = match package.structure.sensor_on {
        SensorOn::Head => None,
        SensorOn::Plate => model.plate,
        SensorOn::Body => Some(model.body),
    };
    let lens = package.lens();
    let front = model.lens.unwrap_or(model.body);
    let ahead_m = lens.map_or(0.0, |lens| lens.length_m) - model.framework.nodes[front][0];
    let turns = |body: f64, on_mount: f64| {
        let mut weights = vec![(model.body, [0.0, 0.0, body - on_mount])];
        weights.extend(model.lens.map(|lens| (lens, [0.0, 0.0, on_mount])));
        weights.extend(sensor.map(|sensor| (sensor, [0.0, 0.0, -body])));
        weights
    };
    let picture_m = match focal_length_m(package) {
        Err(path) => Answer::Needs(vec![path]),
        Ok(focal_m) => {
            let depth_m = package.structure.flange_depth_m.unwrap_or(FLANGE_DEPTH_M);
            Answer::Known(upright.estimate(&turns(focal_m, focal_m - depth_m), &change)?)
        }
    };
    let lens_rad = match model.lens {
        Some(lens) => upright.estimate(&[(lens, [0.0, 0.0, 1.0]), (model.body, [0.0, 0.0, -1.0])], &change)?,
        None => Estimate::new(0.0, 0.0),
    };
    Some(SagReport {
        front_m: upright.estimate(&[(front, [0.0, 1.0, ahead_m])], &change)?,
        body_rad: upright.estimate(&turns(1.0, 0.0), &change)?,
        lens_rad,
        of_height: of_height(package, &picture_m),
        picture_m,
    })
}

/// The longest focal length of the lens that is on, or the field that lacks it.
fn focal_length_m(package: &Package) -> Result<f64, FieldPath> {
    let root = FieldPath::root();
    let index = package.lenses.iter().position(|lens| Some(lens.id) == package.active_lens);
    let Some(index) = index else { return Err(root.field("active_lens")) };
    match package.lenses[index].focal_length_m {
        Some([_, longest_m]) => Ok(longest_m),
        None => Err(root.field("lenses").index(index).field("focal_length_m")),
    }
}

fn of_height(package: &Package, picture_m: &Answer<Estimate>) -> Answer<Estimate> {
    match (picture_m, package.structure.picture_height_m) {
        (Answer::Known(shift), Some(height_m)) => {
            Answer::Known(Estimate::new(shift.value / height_m, shift.u / height_m))
        }
        (Answer::Needs(paths), _) => Answer::Needs(paths.clone()),
        (_, None) => Answer::Needs(vec![FieldPath::root().field("structure").field("picture_height_m")]),
    }
}

fn findings(report: &StiffnessReport, model: &Model) -> Vec<StiffnessFinding> {
    let bends = report
        .planes
        .iter()
        .find(|plane| plane.plane == report.plane)
        .and_then(|plane| plane.bends.first())
        .map_or_else(String::new, |share| share.name.clone());
    let (hz, ratio, helps) = (report.first_hz, report.ratio, report.changes.first().cloned());
    let mode = match report.verdict {
        StiffnessVerdict::Good => None,
        StiffnessVerdict::Watch => Some(StiffnessMatter::Near { hz, ratio, bends, helps }),
        StiffnessVerdict::WillRing => Some(StiffnessMatter::WillRing { hz, ratio, bends, helps }),
    };
    let idle = model.idle.iter().map(|support| StiffnessMatter::IdleSupport { support: support.clone() });
    let with = |severity| move |matter| StiffnessFinding { severity, matter };
    mode.into_iter().map(with(Severity::Watch)).chain(idle.map(with(Severity::Note))).collect()
}
