//! A plane framework: nodes that shift and turn, beams and springs between points fixed to them, masses on them.
//!
//! Every node has three degrees of freedom: shift along the first axis u, shift along the second w, and turn θ from the
//! first axis towards the second. Where a beam or a spring does not meet its node, the piece between is rigid.

use nalgebra::{Cholesky, DMatrix, DVector, Dyn, Matrix3, Matrix6, SymmetricEigen, Vector3, Vector6};

use super::beam::Beam;
use crate::float::sqrt;

/// Degrees of freedom of a node.
const FREEDOMS: usize = 3;

/// A point fixed to a node, or to the ground.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The node; the ground when there is none.
    pub node: Option<usize>,
    /// Where the point is at rest, m.
    pub at_m: [f64; 2],
}

/// A spring between two points that coincide at rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spring {
    /// Stiffness along the first axis, N/m.
    pub first_n_m: f64,
    /// Stiffness along the second axis, N/m.
    pub second_n_m: f64,
    /// Stiffness against turning, N·m/rad.
    pub turning_nm_rad: f64,
}

/// What joins two points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Link {
    /// A beam with mass.
    Beam(Beam),
    /// A spring without mass.
    Spring(Spring),
}

/// A beam or a spring where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// What it is.
    pub link: Link,
    /// What it joins.
    pub ends: [End; 2],
}

/// A rigid mass on a node.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mass {
    /// What it is fixed to.
    pub node: usize,
    /// Its centre of gravity at rest, m.
    pub at_m: [f64; 2],
    /// Its mass, kg.
    pub kg: f64,
    /// Moment of inertia about its own centre of gravity, kg·m².
    pub inertia_kg_m2: f64,
}

/// Shifts and turn of every node.
pub type Shape = Vec<[f64; 3]>;

/// One way in which a framework swings.
#[derive(Debug, Clone, PartialEq)]
pub struct Mode {
    /// Frequency, Hz.
    pub hz: f64,
    /// Its shape, scaled so that twice the strain energy φᵀKφ is one.
    pub shape: Shape,
}

/// Nodes, and what joins and loads them.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Framework {
    /// Where the nodes are at rest, m.
    pub nodes: Vec<[f64; 2]>,
    /// Beams and springs.
    pub elements: Vec<Element>,
    /// Masses.
    pub masses: Vec<Mass>,
}

impl Framework {
    /// A new node at a point, m.
    pub fn node(&mut self, at_m: [f64; 2]) -> usize {
        self.nodes.push(at_m);
        self.nodes.len() - 1
    }

    /// A beam from end to end.
    pub fn beam(&mut self, beam: Beam, from: End, to: End) -> usize {
        self.elements.push(Element { link: Link::Beam(beam), ends: [from, to] });
        self.elements.len() - 1
    }

    /// A spring between a point of one node and the same point of another.
    pub fn spring(&mut self, spring: Spring, from: Option<usize>, to: usize, at_m: [f64; 2]) -> usize {
        let ends = [End { node: from, at_m }, End { node: Some(to), at_m }];
        self.elements.push(Element { link: Link::Spring(spring), ends });
        self.elements.len() - 1
    }

    /// How a shape moves a point: first and second shift and turn.
    pub fn moved(&self, shape: &Shape, end: &End) -> [f64; 3] {
        let Some(node) = end.node else { return [0.0; 3] };
        let [u, w, turn] = shape[node];
        let [x, z] = self.arm_m(node, end.at_m);
        [u - z * turn, w + x * turn, turn]
    }

    /// Every mode, the lowest first. Massless freedoms have none. `None` when something hangs on nothing.
    ///
    /// K**φ** = ω²M**φ** is solved as L⁻¹ML⁻ᵀ**y** = μ**y** with K = LLᵀ and μ = 1/ω²: factored by K, the lowest modes keep
    /// their digits, and freedoms without mass are allowed.
    pub fn modes(&self) -> Option<Vec<Mode>> {
        let factor = self.factored()?;
        let lower = factor.l();
        let eigen = SymmetricEigen::new(self.reduced(&lower)?);
        let largest = eigen.eigenvalues.iter().fold(0.0_f64, |largest, value| largest.max(*value));
        let mut modes = Vec::new();
        for (index, mu) in eigen.eigenvalues.iter().enumerate() {
            if *mu <= 1e-13 * largest {
                continue;
            }
            let mut column = eigen.eigenvectors.column(index).clone_owned();
            lower.tr_solve_lower_triangular_mut(&mut column);
            modes.push(Mode { hz: hz(*mu), shape: shape_of(&column) });
        }
        crate::float::sort_largest_first(&mut modes, |mode| -mode.hz);
        Some(modes)
    }

    /// The lowest frequency alone, Hz. `None` when something hangs on nothing or nothing has mass.
    pub fn lowest_hz(&self) -> Option<f64> {
        let reduced = self.reduced(&self.factored()?.l())?;
        let largest = reduced.symmetric_eigenvalues().iter().fold(0.0_f64, |largest, mu| largest.max(*mu));
        (largest > 0.0).then(|| hz(largest))
    }

    /// The shape under gravity along a direction, at rest, m and rad. `None` when something hangs on nothing.
    pub fn sag(&self, gravity_m_s2: [f64; 2]) -> Option<Shape> {
        // A load of uniform acceleration is the mass matrix times that acceleration at every node.
        let mut falling = DVector::zeros(FREEDOMS * self.nodes.len());
        for node in 0..self.nodes.len() {
            falling[FREEDOMS * node] = gravity_m_s2[0];
            falling[FREEDOMS * node + 1] = gravity_m_s2[1];
        }
        let mut load = self.mass_matrix() * falling;
        // A beam with one end on the ground hangs on its free end with all of it: the ground falls as well.
        for element in &self.elements {
            self.add_grounded_load(element, gravity_m_s2, &mut load);
        }
        Some(shape_of(&self.factored()?.solve(&load)))
    }

    /// The shape under forces and a moment on each given node, N and N·m. `None` when something hangs on nothing.
    pub fn under(&self, loads: &[(usize, [f64; 3])]) -> Option<Shape> {
        let mut load = DVector::zeros(FREEDOMS * self.nodes.len());
        for (node, forces) in loads {
            for (freedom, force) in forces.iter().enumerate() {
                load[FREEDOMS * node + freedom] += force;
            }
        }
        Some(shape_of(&self.factored()?.solve(&load)))
    }

    /// What an element holds of φᵀKφ, twice the strain energy; all of them sum to one for a mode's own shape.
    pub fn strain(&self, element: &Element, shape: &Shape) -> f64 {
        self.between(element, shape, shape)
    }

    /// What an element holds of **a**ᵀK**b**.
    pub fn between(&self, element: &Element, a: &Shape, b: &Shape) -> f64 {
        self.of_ends(element, a).dot(&(element.stiffness() * self.of_ends(element, b)))
    }

    /// What an element holds of φᵀMφ.
    pub fn swing_of(&self, element: &Element, shape: &Shape) -> f64 {
        let ends = self.of_ends(element, shape);
        ends.dot(&(element.mass() * ends))
    }

    /// φᵀMφ of a mass.
    pub fn swing(&self, mass: &Mass, shape: &Shape) -> f64 {
        let [u, w, turn] = self.moved(shape, &End { node: Some(mass.node), at_m: mass.at_m });
        mass.kg * (u * u + w * w) + mass.inertia_kg_m2 * turn * turn
    }

    fn arm_m(&self, node: usize, at_m: [f64; 2]) -> [f64; 2] {
        [at_m[0] - self.nodes[node][0], at_m[1] - self.nodes[node][1]]
    }

    /// From a node's freedoms to the shifts and turn of a point fixed to it.
    fn lever(&self, node: usize, at_m: [f64; 2]) -> Matrix3<f64> {
        let [x, z] = self.arm_m(node, at_m);
        Matrix3::new(1.0, 0.0, -z, 0.0, 1.0, x, 0.0, 0.0, 1.0)
    }

    fn of_ends(&self, element: &Element, shape: &Shape) -> Vector6<f64> {
        let [a, b] = element.ends.map(|end| self.moved(shape, &end));
        Vector6::new(a[0], a[1], a[2], b[0], b[1], b[2])
    }

    fn add(&self, ends: &[End; 2], matrix: &Matrix6<f64>, sum: &mut DMatrix<f64>) {
        for (row, one) in ends.iter().enumerate() {
            for (column, other) in ends.iter().enumerate() {
                let (Some(from), Some(to)) = (one.node, other.node) else { continue };
                let block = matrix.fixed_view::<3, 3>(FREEDOMS * row, FREEDOMS * column);
                let block = self.lever(from, one.at_m).transpose() * block * self.lever(to, other.at_m);
                let mut place = sum.fixed_view_mut::<3, 3>(FREEDOMS * from, FREEDOMS * to);
                place += block;
            }
        }
    }

    fn stiffness_matrix(&self) -> DMatrix<f64> {
        let count = FREEDOMS * self.nodes.len();
        let mut sum = DMatrix::zeros(count, count);
        for element in &self.elements {
            self.add(&element.ends, &element.stiffness(), &mut sum);
        }
        sum
    }

    fn mass_matrix(&self) -> DMatrix<f64> {
        let count = FREEDOMS * self.nodes.len();
        let mut sum = DMatrix::zeros(count, count);
        for element in &self.elements {
            self.add(&element.ends, &element.mass(), &mut sum);
        }
        for mass in &self.masses {
            let lever = self.lever(mass.node, mass.at_m);
            let own = Matrix3::from_diagonal(&[mass.kg, mass.kg, mass.inertia_kg_m2].into());
            let mut place = sum.fixed_view_mut::<3, 3>(FREEDOMS * mass.node, FREEDOMS * mass.node);
            place += lever.transpose() * own * lever;
        }
        sum
    }

    fn factored(&self) -> Option<Cholesky<f64, Dyn>> {
        if self.nodes.is_empty() {
            return None;
        }
        self.stiffness_matrix().cholesky()
    }

    /// L⁻¹ML⁻ᵀ.
    fn reduced(&self, lower: &DMatrix<f64>) -> Option<DMatrix<f64>> {
        let half = lower.solve_lower_triangular(&self.mass_matrix())?;
        let reduced = lower.solve_lower_triangular(&half.transpose())?;
        reduced.iter().all(|value| value.is_finite()).then_some(reduced)
    }

    fn add_grounded_load(&self, element: &Element, gravity_m_s2: [f64; 2], load: &mut DVector<f64>) {
        let [one, other] = element.ends;
        let (node, at_m, row, column) = match (one.node, other.node) {
            (None, Some(node)) => (node, other.at_m, 3, 0),
            (Some(node), None) => (node, one.at_m, 0, 3),
            _ => return,
        };
        let block = element.mass().fixed_view::<3, 3>(row, column).clone_owned();
        let force = self.lever(node, at_m).transpose() * block * Vector3::new(gravity_m_s2[0], gravity_m_s2[1], 0.0);
        for freedom in 0..FREEDOMS {
            load[FREEDOMS * node + freedom] += force[freedom];
        }
    }
}

impl Element {
    /// Distance between its ends, m: none for a spring.
    pub fn length_m(&self) -> f64 {
        let [[ax, az], [bx, bz]] = self.ends.map(|end| end.at_m);
        sqrt((bx - ax) * (bx - ax) + (bz - az) * (bz - az))
    }

    fn stiffness(&self) -> Matrix6<f64> {
        match &self.link {
            Link::Beam(beam) => beam.stiffness(&self.ends.map(|end| end.at_m)),
            Link::Spring(spring) => {
                let own = Matrix3::from_diagonal(&[spring.first_n_m, spring.second_n_m, spring.turning_nm_rad].into());
                let mut both = Matrix6::zeros();
                for (row, column, sign) in [(0, 0, 1.0), (0, 3, -1.0), (3, 0, -1.0), (3, 3, 1.0)] {
                    both.fixed_view_mut::<3, 3>(row, column).copy_from(&(own * sign));
                }
                both
            }
        }
    }

    fn mass(&self) -> Matrix6<f64> {
        match &self.link {
            Link::Beam(beam) => beam.mass(&self.ends.map(|end| end.at_m)),
            Link::Spring(_) => Matrix6::zeros(),
        }
    }
}

/// f = 1/(2π√μ).
fn hz(mu: f64) -> f64 {
    1.0 / (core::f64::consts::TAU * sqrt(mu))
}

fn shape_of(column: &DVector<f64>) -> Shape {
    (0..column.len() / FREEDOMS).map(|node| core::array::from_fn(|freedom| column[FREEDOMS * node + freedom])).collect()
}
