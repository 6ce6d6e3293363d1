//! The rig is the scale: what logged balances teach about masses, centres of gravity and scale zeros.
//!
//! Unknowns are, for every body, the error δm of its mass and the moment error **w** about its nominal centre of
//! gravity, and for every slide the error z of its scale's zero. All are independent beforehand:
//! var(**w**) = σ_r²(m² + σ_m²). An axis that stays put at given marks says that the first moment across it is nil, to
//! within what friction hides: two linear equations each, solved for all logs at once with one Cholesky factor of
//! their own size. A camera weighed as a whole is one more equation, of the masses alone.

use nalgebra::{DMatrix, DVector, Vector3};

use super::chi_squared::tail;
use super::marks::{Marks, plane};
use super::moments::{Moments, across, arm_m};
use super::snapshot::{logged_of, snapshot};
use super::{held_unbalance_kg_m, tested_lean_rad, tested_share};
use crate::constants::SCALE_ZERO_U_M;
use crate::layout::{Body, Layout};
use crate::package::{DriveKind, LoggedBalance, LoggedFace, LoggedOf, Mass, Package};

/// Unknowns of one body: δm, then **w**.
pub(super) const PER_BODY: usize = 4;

/// What the logs taught. Without logs it is the prior itself.
#[derive(Debug, Clone)]
pub struct Learned {
    /// Everything that has unknowns: every part, lens and yoke that rides now or rode in a log.
    pub(super) of: Vec<LoggedOf>,
    /// Prior standard deviation of every unknown: bodies first, then one per slide.
    pub(super) sigma: Vec<f64>,
    /// Posterior mean of every unknown.
    pub(super) mean: Vec<f64>,
    /// P₀Hᵀ L⁻ᵀ: its row norms squared are what the logs took off the variances.
    gain: DMatrix<f64>,
    /// How many logs speak of something that is no longer in the package and teach nothing.
    pub void: usize,
    /// How well the logs agree with each other and with what was entered.
    pub agreement: Option<Agreement>,
}

/// The χ² test of all logs.
#[derive(Debug, Clone, PartialEq, serde::Serialize)]
pub struct Agreement {
    /// yᵀS⁻¹y.
    pub chi_squared: f64,
    /// Number of equations.
    pub degrees: usize,
    /// Probability of a value at least as large when all is well.
    pub probability: f64,
    /// The bodies that may be at fault when the probability is below 1 %: one when it stands out and is told apart from every
    /// other (correlation below 0.9), else the whole group.
    pub suspects: Vec<LoggedOf>,
}

impl Learned {
    /// Learns from all logs of a package, given its layout as entered.
    pub fn new(package: &Package, layout: &Layout) -> Self {
        Self::of_layouts(package, &[layout])
    }

    /// The same for everything that rides in any of several layouts of one package, as before and after a lens change;
    /// what rides in more than one is as uncertain as in the first. Snapshots are completed from that one too.
    pub(crate) fn of_layouts(package: &Package, layouts: &[&Layout]) -> Self {
        let (of, sigma) = unknowns(package, layouts);
        let mut learned = Self {
            mean: vec![0.0; sigma.len()],
            gain: DMatrix::zeros(sigma.len(), 0),
            of,
            sigma,
            void: 0,
            agreement: None,
        };
        let mut equations: Vec<Equation> = Vec::new();
        let logged = layouts.first().into_iter().flat_map(|layout| package.logs.iter().map(move |log| (*layout, log)));
        for (layout, log) in logged {
            match snapshot(package, layout, log) {
                Some(then) => equations.extend(learned.equations(package, &then, log)),
                None => learned.void += 1,
            }
        }
        learned.update(&equations);
        learned
    }

    fn update(&mut self, equations: &[Equation]) {
        let (count, unknowns) = (equations.len(), self.sigma.len());
        if count == 0 {
            return;
        }
        // H scaled by the prior standard deviations: the prior becomes the identity.
        let scaled = DMatrix::from_fn(count, unknowns, |row, column| equations[row].row[column] * self.sigma[column]);
        let noise = DVector::from_fn(count, |row, _| equations[row].noise_variance);
        let spread = &scaled * scaled.transpose() + DMatrix::from_diagonal(&noise);
        let Some(factor) = spread.cholesky() else { return };
        let observed = DVector::from_fn(count, |row, _| equations[row].observed);
        let solved = factor.solve(&observed);
        let mean = scaled.tr_mul(&solved);
        self.mean = mean.iter().zip(&self.sigma).map(|(mean, sigma)| mean * sigma).collect();
        // L⁻¹ H P₀^½, then unscaled: columns of unknowns.
        if let Some(whitened) = factor.l().solve_lower_triangular(&scaled) {
            self.gain = DMatrix::from_fn(unknowns, count, |row, column| whitened[(column, row)] * self.sigma[row]);
            self.agreement = Some(self.agree(&observed, &solved, &whitened, count));
        }
    }

    fn agree(
        &self,
        observed: &DVector<f64>,
        solved: &DVector<f64>,
        whitened: &DMatrix<f64>,
        count: usize,
    ) -> Agreement {
        let chi_squared = observed.dot(solved);
        let probability = tail(chi_squared, count);
        let suspects = if probability < 0.01 { self.suspects(whitened) } else { Vec::new() };
        Agreement { chi_squared, degrees: count, probability, suspects }
    }

    /// Standardised residual of every unknown of the bodies; the body of the largest is named alone only when no
    /// other body's unknown is correlated with it above 0.9.
    fn suspects(&self, whitened: &DMatrix<f64>) -> Vec<LoggedOf> {
        let bodies = self.of.len() * PER_BODY;
        let score = |unknown: usize| {
            let column = whitened.column(unknown);
            let norm = column.norm();
            if norm > 1e-9 { (self.mean[unknown] / self.sigma[unknown]).abs() / norm } else { 0.0 }
        };
        let Some(worst) = (0..bodies).max_by(|a, b| score(*a).total_cmp(&score(*b))) else { return Vec::new() };
        let column = whitened.column(worst);
        let mut suspects = vec![self.of[worst / PER_BODY].clone()];
        for other in 0..bodies {
            let candidate = whitened.column(other);
            let norms = column.norm() * candidate.norm();
            let confounded = norms > 1e-12 && column.dot(&candidate).abs() / norms >= 0.9;
            let body = &self.of[other / PER_BODY];
            if confounded && !suspects.contains(body) {
                suspects.push(body.clone());
            }
        }
        suspects
    }

    /// The layout as now believed: masses, centres of gravity and scale zeros moved to their posterior means.
    #[must_use]
    pub fn believed(&self, package: &Package, layout: &Layout) -> Layout {
        let mut believed = layout.clone();
        for body in &mut believed.bodies {
            let Some(at) = self.index(package, body) else { continue };
            let w = Vector3::new(self.mean[at + 1], self.mean[at + 2], self.mean[at + 3]);
            let mass_kg = (body.mass_kg + self.mean[at]).max(0.0);
            if mass_kg > 0.0 {
                body.inertia_kg_m2 *= if body.mass_kg > 0.0 { mass_kg / body.mass_kg } else { 1.0 };
                // The moment about the nominal centre belongs to the new mass.
                body.cg_m += w / mass_kg;
                body.mass_kg = mass_kg;
            }
        }
        let zeros = self.of.len() * PER_BODY;
        for (index, slide) in believed.slides.iter_mut().enumerate() {
            slide.zero_m += self.mean.get(zeros + index).copied().unwrap_or(0.0);
        }
        believed
    }

    /// Standard deviation of a linear function of the unknowns, given by its gradient for every body and slide zero.
    pub(crate) fn deviation(&self, gradient: &[f64]) -> f64 {
        libm::sqrt(self.covariance(gradient, gradient).max(0.0))
    }

    /// Covariance of two linear functions of the unknowns, each given by its gradient.
    pub(crate) fn covariance(&self, one: &[f64], other: &[f64]) -> f64 {
        let prior: f64 = one.iter().zip(other).zip(&self.sigma).map(|((a, b), sigma)| a * b * sigma * sigma).sum();
        let along = |gradient: &[f64], column: usize| -> f64 {
            gradient.iter().zip(self.gain.column(column).iter()).map(|(g, gain)| g * gain).sum()
        };
        let taken: f64 = (0..self.gain.ncols()).map(|column| along(one, column) * along(other, column)).sum();
        prior - taken
    }

    /// Standard deviation of a linear function of some of the unknowns before any log.
    pub(crate) fn prior_of(&self, gradient: &[f64], unknowns: core::ops::Range<usize>) -> f64 {
        let square = unknowns.map(|at| gradient[at] * self.sigma[at]).map(|share| share * share).sum();
        libm::sqrt(square)
    }

    /// Replaces the ± of every mark of the layout as believed by what is left of it after the logs.
    #[inline(never)]
    pub fn narrow(&self, package: &Package, layout: &Layout, marks: &mut Marks) {
        let targets_m = marks.targets_m.clone();
        for slide in &mut marks.slides {
            let mut gradient = self.no_gradient();
            for (zero, sensitivity) in slide.per_zero.iter().enumerate() {
                gradient[self.zero_index(zero)] = *sensitivity;
            }
            for body in &layout.bodies {
                let Some(at) = self.index(package, body) else { continue };
                let (per_mass, per_moment) = slide.per_body(layout, &targets_m, body);
                gradient[at] = per_mass;
                gradient[at + 1..at + PER_BODY].copy_from_slice(per_moment.as_slice());
            }
            slide.u_m = self.deviation(&gradient);
        }
    }

    /// Standard uncertainty of the mass on the camera side, or of everything, kg.
    #[inline(never)]
    pub(crate) fn mass_u_kg(&self, package: &Package, layout: &Layout, camera_only: bool) -> f64 {
        let mut gradient = self.no_gradient();
        for body in layout.bodies.iter().filter(|body| body.camera_side || !camera_only) {
            if let Some(at) = self.index(package, body) {
                gradient[at] = 1.0;
            }
        }
        self.deviation(&gradient)
    }

    /// Standard uncertainty of the camera side's centre of gravity `cg_m` along each axis, m; the mass is that of the
    /// camera side.
    #[inline(never)]
    pub(crate) fn camera_cg_u_m(&self, package: &Package, layout: &Layout, cg_m: &Vector3<f64>, kg: f64) -> [f64; 3] {
        [0, 1, 2].map(|axis| {
            let mut gradient = self.no_gradient();
            for body in layout.bodies.iter().filter(|body| body.camera_side) {
                let Some(at) = self.index(package, body) else { continue };
                gradient[at] = (body.cg_m[axis] - cg_m[axis]) / kg;
                gradient[at + 1 + axis] = 1.0 / kg;
            }
            self.deviation(&gradient)
        })
    }

    /// An all-zero gradient to fill in.
    pub(crate) fn no_gradient(&self) -> Vec<f64> {
        vec![0.0; self.sigma.len()]
    }

    /// First unknown of a body, if it has any.
    pub(crate) fn index(&self, package: &Package, body: &Body) -> Option<usize> {
        let of = logged_of(package, body);
        self.of.iter().position(|each| *each == of).map(|place| place * PER_BODY)
    }

    /// Unknown of a slide's zero.
    pub(crate) fn zero_index(&self, slide: usize) -> usize {
        self.of.len() * PER_BODY + slide
    }

    /// Gradient of the first moment of a joint along a direction.
    pub(super) fn row(
        &self,
        package: &Package,
        layout: &Layout,
        marks_m: &[f64],
        joint: usize,
        per_slide_kg: &[Vector3<f64>],
        direction: &Vector3<f64>,
    ) -> Vec<f64> {
        let mut row = self.no_gradient();
        for body in layout.bodies.iter().filter(|body| body.link > joint) {
            let Some(at) = self.index(package, body) else { continue };
            row[at] = direction.dot(&arm_m(layout, joint, body, marks_m));
            row[at + 1..at + PER_BODY].copy_from_slice(direction.as_slice());
        }
        for (slide, per_slide_kg) in per_slide_kg.iter().enumerate() {
            row[self.zero_index(slide)] = -direction.dot(per_slide_kg);
        }
        row
    }
}

/// A direction across an axis in which a log says that it stays put.
pub(super) struct Tested {
    /// The direction.
    pub(super) direction: Vector3<f64>,
    /// How well the unbalance along it is known to be nil, kg·m; `None` where friction may have held anything in its zone.
    pub(super) u_kg_m: Option<f64>,
}

/// Directions across an axis in which a log says that it stays put.
pub(super) fn tested_directions(log: &LoggedBalance, joint: &str, axis: &Vector3<f64>) -> Vec<Tested> {
    let of_face = |face: &LoggedFace| {
        let across = across(axis, &Vector3::from(face.direction));
        (across.norm() > 0.5).then(|| Tested { direction: across.normalize(), u_kg_m: face.u_kg_m })
    };
    let mut faces: Vec<Tested> = log.faces.iter().filter(|face| face.joint == joint).filter_map(of_face).collect();
    if !log.axes.iter().any(|id| id == joint) {
        return faces;
    }
    // All of it stayed put: what no middle was found of was held by friction.
    faces.retain(|face| face.u_kg_m.is_some());
    let held = |direction: Vector3<f64>| Tested { direction, u_kg_m: None };
    match faces.as_slice() {
        [] => {
            let plane = plane(axis);
            faces.extend([0, 1].map(|row| held(plane.row(row).transpose())));
        }
        [one] => faces.push(held(axis.cross(&one.direction))),
        _ => {}
    }
    faces
}

struct Equation {
    row: Vec<f64>,
    observed: f64,
    noise_variance: f64,
}

impl Learned {
    /// Two equations per axis of a log and one per face, from its snapshot. A geared axis says nothing and is left out.
    fn equations(&self, package: &Package, then: &Layout, log: &LoggedBalance) -> Vec<Equation> {
        let marks_m: Vec<f64> = then.present_marks_m();
        let moments = Moments::all(then);
        let joints: Vec<_> = package.head.joints().collect();
        let mut equations = Vec::new();
        for (index, joint) in joints.iter().enumerate() {
            if joint.drive.kind == DriveKind::Geared {
                continue;
            }
            let held = held_unbalance_kg_m(joint.drive.friction_nm, tested_lean_rad(&moments[index].axis, log.tip_rad));
            let believed = moments[index].at_kg_m(then, &marks_m);
            for Tested { direction, u_kg_m } in tested_directions(log, &joint.id, &moments[index].axis) {
                let row = self.row(package, then, &marks_m, index, &moments[index].per_slide_kg, &direction);
                // Anywhere in the hold zone is equally likely: variance of a uniform distribution of that half width.
                let held = held / tested_share(joint, &moments[index].axis, &direction);
                let noise_variance = u_kg_m.map_or(held * held / 3.0, |u_kg_m| u_kg_m * u_kg_m);
                equations.push(Equation {
                    row,
                    observed: -direction.dot(&believed),
                    noise_variance: noise_variance.max(1e-12),
                });
            }
        }
        equations.extend(log.weighed.as_ref().map(|weighed| self.of_weight(package, then, weighed)));
        equations
    }

    /// The camera on a scale: the masses of its parts add up to what that shows.
    fn of_weight(&self, package: &Package, then: &Layout, weighed: &Mass) -> Equation {
        let mut row = self.no_gradient();
        let mut believed_kg = 0.0;
        for body in then.bodies.iter().filter(|body| body.camera_side) {
            believed_kg += body.mass_kg;
            if let Some(at) = self.index(package, body) {
                row[at] = 1.0;
            }
        }
        let u_kg = weighed.standard_uncertainty_kg();
        Equation { row, observed: weighed.kg - believed_kg, noise_variance: (u_kg * u_kg).max(1e-12) }
    }
}

/// Every body that rides now or rode in a log, with the prior standard deviations of its unknowns, then the slides.
fn unknowns(package: &Package, layouts: &[&Layout]) -> (Vec<LoggedOf>, Vec<f64>) {
    let mut of = Vec::new();
    let mut sigma = Vec::new();
    let mut add = |body: &Body| {
        let key = logged_of(package, body);
        if !of.contains(&key) {
            let moment_u = body.cg_u_m * libm::hypot(body.mass_kg, body.mass_u_kg);
            of.push(key);
            sigma.extend([body.mass_u_kg, moment_u, moment_u, moment_u]);
        }
    };
    layouts.iter().flat_map(|layout| &layout.bodies).for_each(&mut add);
    if !package.logs.is_empty() {
        let logged = |body: &Body| {
            let key = logged_of(package, body);
            package.logs.iter().any(|log| log.bodies.iter().any(|each| each.of == key))
        };
        Layout::of_everything(package).iter().filter(|body| logged(body)).for_each(&mut add);
    }
    sigma.extend(core::iter::repeat_n(SCALE_ZERO_U_M, package.head.slides().count()));
    (of, sigma)
}
