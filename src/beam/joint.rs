//! How the ends of a beam are joined: releases and turning rates, as a transformation.

use nalgebra::{DMatrix, Vector6};

use super::{Matrix12, Vector12};
use crate::math::{product, symmetric_eigen};

/// How one relative motion at an end is held.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Flex {
    /// Not at all flexible.
    Rigid,
    /// Carries nothing.
    Free,
    /// So much moment per turn, N·mm/rad (or force per shift, N/mm), above 0.
    Rate(f64),
}

/// The joint between an end of a tube and its node, in the tube's local axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Joint {
    /// Along the tube.
    pub n: Flex,
    /// Turn about the tube.
    pub t: Flex,
    /// Turn about local y.
    pub my: Flex,
    /// Turn about local z.
    pub mz: Flex,
    /// By how much the two axes of `my` and `mz` are turned about the tube, right-handed, from its local y
    /// and z, rad.
    pub turned_rad: f64,
}

impl Joint {
    /// All six carried.
    pub const WELD: Joint = Joint { n: Flex::Rigid, t: Flex::Rigid, my: Flex::Rigid, mz: Flex::Rigid, turned_rad: 0.0 };
    /// No moments, no torsion.
    pub const ROD_END: Joint = Joint { n: Flex::Rigid, t: Flex::Free, my: Flex::Free, mz: Flex::Free, turned_rad: 0.0 };

    /// Whether all six are carried rigidly.
    pub fn is_weld(&self) -> bool {
        [self.n, self.t, self.my, self.mz].iter().all(|flex| *flex == Flex::Rigid)
    }

    /// The six motions of an end along and about the axes of the joint, each as a unit vector of the end's
    /// own six, and how it is held.
    pub fn directions(&self) -> [(Vector6<f64>, Flex); 6] {
        let (sin, cos) = self.turned_rad.sin_cos();
        [
            (Vector6::ith(0, 1.0), self.n),
            (Vector6::ith(1, 1.0), Flex::Rigid),
            (Vector6::ith(2, 1.0), Flex::Rigid),
            (Vector6::ith(3, 1.0), self.t),
            (Vector6::new(0.0, 0.0, 0.0, 0.0, cos, sin), self.my),
            (Vector6::new(0.0, 0.0, 0.0, 0.0, -sin, cos), self.mz),
        ]
    }

    /// The relative motions that this joint allows: a unit vector of the end's six, and its rate (0: free).
    pub fn motions(&self) -> impl Iterator<Item = (Vector6<f64>, f64)> {
        self.directions().into_iter().filter_map(|(direction, flex)| match flex {
            Flex::Rigid => None,
            Flex::Free => Some((direction, 0.0)),
            Flex::Rate(rate) => Some((direction, rate)),
        })
    }
}

/// Stiffness of which joints leave less than this part has been let go: what is left is round-off,
/// and as a stiffness it could hold what is loose, since a tube is softer sideways than along.
const ROUND_OFF: f64 = 1e-12;

/// A beam with its joints: the motions of the tube's ends from those of its nodes.
///
/// With s the relative motions at the joints, E where they act and κ their rates, the moment (or
/// force) at each is −κ s, so that
///
/// ```text
/// d_tube = d_node + E s        s = C Eᵀ (f − k d_node)        C = (Eᵀ k E + κ)⁻¹
/// d_tube = T d_node + h        T = I − E C Eᵀ k               h = E C Eᵀ f
/// k_node = k − k E C Eᵀ k      f_node = Tᵀ f
/// ```
/// Source: static condensation, Przemieniecki (1968), ch. 9; springs in series at the ends as in
/// Monforton & Wu (1963).
#[derive(Debug, Clone, PartialEq)]
pub struct Joined {
    /// Stiffness of the tube between its own ends: N/mm, N, N·mm.
    pub tube: Matrix12,
    /// What is let go; `None` where both ends are welded. Most tubes are, and pass over it.
    released: Option<Box<Released>>,
}

/// What joints that let go make of a beam.
#[derive(Debug, Clone, PartialEq)]
struct Released {
    /// k_node: N/mm, N, N·mm.
    node: Matrix12,
    /// T.
    transformation: Matrix12,
    /// E C Eᵀ.
    flexibility: Matrix12,
}

impl Joined {
    /// A beam of local stiffness `tube` with these joints at its first and second end.
    ///
    /// Where a tube is free to turn about itself at both ends, that spin is held at the first: it
    /// carries no torque either way.
    pub fn new(tube: Matrix12, first: &Joint, second: &Joint) -> Joined {
        let spins = first.t == Flex::Free && second.t == Flex::Free;
        let first_motions = first.motions().filter(|(direction, _)| !(spins && direction[3] != 0.0));
        let mut motions: Vec<(Vector12, f64)> =
            first_motions.map(|(direction, rate)| (of_end(0, &direction), rate)).collect();
        motions.extend(second.motions().map(|(direction, rate)| (of_end(1, &direction), rate)));
        if motions.is_empty() {
            return Joined { tube, released: None };
        }
        let resisted: Vec<Vector12> = motions.iter().map(|(direction, _)| product(&tube, direction)).collect();
        let inner = DMatrix::from_fn(motions.len(), motions.len(), |i, j| {
            let rate = if i == j { motions[i].1 } else { 0.0 };
            motions[i].0.dot(&resisted[j]) + rate
        });
        let c = invert_symmetric(&inner, |at| inner[(at, at)]);
        let mut flexibility = Matrix12::zeros();
        for (i, (row, _)) in motions.iter().enumerate() {
            for (j, (column, _)) in motions.iter().enumerate() {
                flexibility += row * column.transpose() * c[(i, j)];
            }
        }
        let transformation = Matrix12::identity() - flexibility * tube;
        let node = tube - tube * flexibility * tube;
        let node = ((node + node.transpose()) * 0.5)
            .zip_map(&tube, |left, whole| if left.abs() <= ROUND_OFF * whole.abs() { 0.0 } else { left });
        Joined { tube, released: Some(Box::new(Released { node, transformation, flexibility })) }
    }

    /// Stiffness between the nodes: N/mm, N, N·mm.
    pub fn node(&self) -> &Matrix12 {
        self.released.as_ref().map_or(&self.tube, |released| &released.node)
    }

    /// A matrix on the motions of the tube's ends (mass, geometric stiffness) as one on those of its
    /// nodes: Tᵀ X T, so that what comes of it stays an upper bound.
    pub fn carried(&self, x: &Matrix12) -> Matrix12 {
        self.released.as_ref().map_or(*x, |released| released.transformation.tr_mul(x) * released.transformation)
    }

    /// What the joints give way by under the loads X d of the tube's ends, as a matrix on the motions of
    /// its nodes: Tᵀ X E C Eᵀ X T.
    pub fn given_way(&self, x: &Matrix12) -> Matrix12 {
        self.released.as_ref().map_or_else(Matrix12::zeros, |released| {
            let loads = x * released.transformation;
            loads.tr_mul(&(released.flexibility * loads))
        })
    }

    /// Loads on the nodes that do the same work as loads `f` on the tube's ends.
    pub fn node_loads(&self, f: &Vector12) -> Vector12 {
        self.released.as_ref().map_or(*f, |released| released.transformation.tr_mul(f))
    }

    /// Motions of the tube's ends, from those of its nodes and the end loads of its own span.
    pub fn tube_motions(&self, nodes: &Vector12, f: &Vector12) -> Vector12 {
        let Some(released) = &self.released else { return *nodes };
        let moved = product(&released.transformation, nodes);
        if *f == Vector12::zeros() { moved } else { moved + product(&released.flexibility, f) }
    }

    /// Forces on the tube's ends, from the motions of its nodes and the end loads of its own span.
    pub fn end_forces(&self, nodes: &Vector12, f: &Vector12) -> Vector12 {
        let held = product(self.node(), nodes);
        if *f == Vector12::zeros() { held } else { held - self.node_loads(f) }
    }
}

/// A motion of the first (0) or second (1) end among the twelve of both.
fn of_end(end: usize, direction: &Vector6<f64>) -> Vector12 {
    let mut both = Vector12::zeros();
    both.fixed_rows_mut::<6>(6 * end).copy_from(direction);
    both
}

/// Inverse of a symmetric positive (semi-)definite matrix; a motion without stiffness is held. What holds no number
/// has none for an inverse.
fn invert_symmetric(matrix: &DMatrix<f64>, size: impl Fn(usize) -> f64) -> DMatrix<f64> {
    let n = matrix.nrows();
    let scale: Vec<f64> = (0..n).map(|at| if size(at) > 0.0 { size(at).sqrt().recip() } else { 1.0 }).collect();
    let scaled = DMatrix::from_fn(n, n, |i, j| matrix[(i, j)] * scale[i] * scale[j]);
    let Some(eigen) = symmetric_eigen(scaled) else { return DMatrix::from_element(n, n, f64::NAN) };
    let mut inverse = DMatrix::zeros(n, n);
    for (value, vector) in eigen.eigenvalues.iter().zip(eigen.eigenvectors.column_iter()) {
        if *value > 1e-12 {
            inverse += vector * vector.transpose() / *value;
        }
    }
    DMatrix::from_fn(n, n, |i, j| inverse[(i, j)] * scale[i] * scale[j])
}

#[cfg(test)]
mod tests {
    use super::super::Beam;
    use super::*;
    use crate::math::assert_near;

    fn beam() -> Beam {
        Beam {
            length_mm: 1000.0,
            ea_n: 2e7,
            gj_nmm2: 1e9,
            eiy_nmm2: 3e9,
            eiz_nmm2: 2e9,
            gay_n: f64::INFINITY,
            gaz_n: f64::INFINITY,
        }
    }

    #[test]
    fn a_two_force_link_keeps_only_its_axial_stiffness() {
        let joined = Joined::new(beam().stiffness(), &Joint::ROD_END, &Joint::ROD_END);
        let mut expected = Matrix12::zeros();
        for (i, j, sign) in [(0, 0, 1.0), (6, 6, 1.0), (0, 6, -1.0), (6, 0, -1.0)] {
            expected[(i, j)] = sign * 2e4;
        }
        assert!((joined.node() - expected).amax() < 1e-6, "{}", joined.node() - expected);
    }

    #[test]
    fn a_joint_that_lets_go_leaves_no_round_off_as_stiffness() {
        let slide = Joined::new(beam().stiffness(), &Joint { n: Flex::Free, ..Joint::WELD }, &Joint::WELD);
        assert!([0, 6].iter().all(|row| slide.node().row(*row).amax() == 0.0), "{}", slide.node());
        let pinned = Joined::new(beam().stiffness(), &Joint::ROD_END, &Joint::WELD);
        assert!([3, 4, 5, 9].iter().all(|row| pinned.node().row(*row).amax() == 0.0), "{}", pinned.node());
    }

    #[test]
    fn a_joint_turned_about_a_tube_that_bends_alike_all_round_turns_its_stiffness_with_it() {
        let alike = Beam { eiz_nmm2: 3e9, ..beam() };
        let joint = Joint { my: Flex::Rate(2e6), mz: Flex::Rate(7e5), ..Joint::WELD };
        let angle = 0.7_f64;
        let plain = Joined::new(alike.stiffness(), &joint, &Joint::WELD);
        let turned = Joined::new(alike.stiffness(), &Joint { turned_rad: angle, ..joint }, &Joint::WELD);
        // Motions about the turned axes, from those about local y and z.
        let (sin, cos) = angle.sin_cos();
        let mut into = Matrix12::identity();
        for at in [1, 4, 7, 10] {
            into[(at, at)] = cos;
            into[(at, at + 1)] = sin;
            into[(at + 1, at)] = -sin;
            into[(at + 1, at + 1)] = cos;
        }
        let expected = into.transpose() * plain.node() * into;
        assert!((turned.node() - expected).amax() < 1e-9 * expected.amax(), "{}", turned.node() - expected);
        assert!((turned.node() - plain.node()).amax() > 1e-3 * expected.amax(), "the turn must matter");
    }

    #[test]
    fn equal_end_springs_match_monforton_and_wu() {
        let rate = 5e6;
        let joint = Joint { mz: Flex::Rate(rate), ..Joint::WELD };
        let joined = Joined::new(beam().stiffness(), &joint, &joint);
        let a = 2e9 / (rate * 1000.0);
        let d = (1.0 + 4.0 * a).powi(2) - 4.0 * a * a;
        assert_near(joined.node()[(5, 5)], 4.0 * 2e9 / 1000.0 * (1.0 + 3.0 * a) / d, 1e-12);
        assert_near(joined.node()[(5, 11)], 2.0 * 2e9 / 1000.0 / d, 1e-12);
        // Uniform load: end moment (qL²/12)/(1 + 2EI/κL).
        let load = super::super::uniform_load(&nalgebra::Vector3::new(0.0, 3.0, 0.0), 1000.0);
        let moment = joined.node_loads(&load)[5];
        assert_near(moment, 3.0 * 1e6 / 12.0 / (1.0 + 2.0 * 2e9 / (rate * 1000.0)), 1e-12);
    }

    #[test]
    fn a_link_between_rod_ends_swings_as_a_straight_rod() {
        // Its ends move and it stays straight: mL/3 and mL/6 across as along.
        let mass = crate::beam::mass::LineMass { shift_t_mm: 2e-6, about_y_t_mm: 0.0, about_z_t_mm: 0.0 };
        let joined = Joined::new(beam().stiffness(), &Joint::ROD_END, &Joint::ROD_END);
        let carried = joined.carried(&mass.consistent(&beam()));
        for at in 0..3 {
            assert_near(carried[(at, at)], 2e-3 / 3.0, 1e-9);
            assert_near(carried[(at, at + 6)], 2e-3 / 6.0, 1e-9);
        }
        assert!([4, 5, 10, 11].iter().all(|row| carried.row(*row).amax() < 1e-12), "{carried}");
    }

    #[test]
    fn only_a_joint_that_holds_all_six_motions_rigidly_is_a_weld() {
        assert!(Joint::WELD.is_weld() && !Joint::ROD_END.is_weld());
        assert!(!Joint { my: Flex::Rate(1e9), ..Joint::WELD }.is_weld());
    }

    #[test]
    fn a_stiffness_that_is_no_number_stays_none_behind_a_joint() {
        let joined = Joined::new(Matrix12::from_element(f64::NAN), &Joint::ROD_END, &Joint::WELD);
        assert!(joined.node().iter().any(|value| value.is_nan()));
    }

    #[test]
    fn the_pinned_end_of_a_tube_turns_as_that_of_a_propped_cantilever() {
        // Handbook: under a uniform load by q L³/48EI; where the other end is turned, by half of that the other way.
        let pinned = Joint { mz: Flex::Free, ..Joint::WELD };
        let joined = Joined::new(beam().stiffness(), &pinned, &Joint::WELD);
        let load = super::super::uniform_load(&nalgebra::Vector3::new(0.0, 3.0, 0.0), 1000.0);
        let (still, turned) = (Vector12::zeros(), Vector12::ith(11, 1e-2));
        let by_load = 3.0 * 1e9 / (48.0 * 2e9);
        assert_near(joined.tube_motions(&still, &load)[5], by_load, 1e-9);
        assert_near(joined.tube_motions(&turned, &still)[5], -0.5e-2, 1e-9);
        assert_near(joined.tube_motions(&turned, &load)[5], by_load - 0.5e-2, 1e-9);
        assert_near(joined.tube_motions(&turned, &load)[11], 1e-2, 1e-12);
    }

    #[test]
    fn what_joints_give_way_by_is_the_second_term_of_the_exact_stiffness_of_a_swinging_tube() {
        // D = D_nn − D_ne D_ee⁻¹ D_en with D = k − ω² M, eliminated at ω² and at −ω²: the even part is K − ω⁴ X.
        let beam = Beam { gay_n: 2e5, gaz_n: 3e5, ..beam() };
        let joint = Joint { my: Flex::Free, mz: Flex::Rate(5e5), ..Joint::WELD };
        let joined = Joined::new(beam.stiffness(), &joint, &joint);
        let m =
            crate::beam::mass::LineMass { shift_t_mm: 2e-6, about_y_t_mm: 3e-4, about_z_t_mm: 5e-4 }.consistent(&beam);
        let at = |square: f64| {
            // The ends' own six each, then the nodes' turns about y and z: those of the tube are inside.
            let tube = beam.stiffness() - m * square;
            let inside = [4, 5, 10, 11];
            let rate = |row: usize| if row % 6 == 5 { 5e5 } else { 0.0 };
            let inner = nalgebra::Matrix4::from_fn(|i, j| {
                tube[(inside[i], inside[j])] + if i == j { rate(inside[i]) } else { 0.0 }
            });
            let kept = |row: usize| !inside.contains(&row);
            let outer = Matrix12::from_fn(|i, j| {
                if kept(i) && kept(j) {
                    tube[(i, j)]
                } else if i == j {
                    rate(i)
                } else {
                    0.0
                }
            });
            let across = nalgebra::SMatrix::<f64, 12, 4>::from_fn(|i, j| {
                if kept(i) {
                    tube[(i, inside[j])]
                } else if i == inside[j] {
                    -rate(i)
                } else {
                    0.0
                }
            });
            outer - across * inner.try_inverse().unwrap() * across.transpose()
        };
        let square = 50.0_f64.powi(2);
        let second = (joined.node() * 2.0 - at(square) - at(-square)) / (2.0 * square * square);
        let found = joined.given_way(&m);
        assert!(found.amax() > 0.0 && (found - second).amax() < 1e-3 * found.amax(), "{}", found - second);
    }

    #[test]
    fn a_joint_that_frees_what_is_not_stiff_anyway_changes_nothing() {
        let loose = Beam { gj_nmm2: 0.0, ..beam() };
        let joined = Joined::new(loose.stiffness(), &Joint { t: Flex::Free, ..Joint::WELD }, &Joint::WELD);
        assert!((joined.node() - loose.stiffness()).amax() < 1e-9, "{}", joined.node());
    }

    #[test]
    fn a_tube_that_slides_at_both_ends_is_held_along_itself_and_goes_nowhere() {
        let slide = Joint { n: Flex::Free, ..Joint::ROD_END };
        let joined = Joined::new(beam().stiffness(), &slide, &slide);
        let load = super::super::uniform_load(&nalgebra::Vector3::new(2.0, 0.0, 0.0), 1000.0);
        let moved = joined.tube_motions(&Vector12::zeros(), &load);
        assert!(moved.amax() < 1.0, "{moved}");
    }
}
