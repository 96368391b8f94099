//! How the ends of a beam are joined: releases and turning rates, as a transformation.

use nalgebra::DMatrix;

use super::{Matrix12, Vector12};
use crate::math::product;

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
}

impl Joint {
    /// All six carried.
    pub const WELD: Joint = Joint { n: Flex::Rigid, t: Flex::Rigid, my: Flex::Rigid, mz: Flex::Rigid };
    /// No moments, no torsion.
    pub const ROD_END: Joint = Joint { n: Flex::Rigid, t: Flex::Free, my: Flex::Free, mz: Flex::Free };

    /// Whether all six are carried rigidly.
    pub fn is_weld(&self) -> bool {
        *self == Joint::WELD
    }

    /// The relative motions that this joint allows: place among the end's six, and its rate (0: free).
    pub fn motions(&self) -> impl Iterator<Item = (usize, f64)> {
        [(0, self.n), (3, self.t), (4, self.my), (5, self.mz)].into_iter().filter_map(|(place, flex)| match flex {
            Flex::Rigid => None,
            Flex::Free => Some((place, 0.0)),
            Flex::Rate(rate) => Some((place, rate)),
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
        let mut motions: Vec<(usize, f64)> = first.motions().filter(|(place, _)| !(spins && *place == 3)).collect();
        motions.extend(second.motions().map(|(place, rate)| (place + 6, rate)));
        if motions.is_empty() {
            return Joined { tube, released: None };
        }
        let inner = DMatrix::from_fn(motions.len(), motions.len(), |i, j| {
            let rate = if i == j { motions[i].1 } else { 0.0 };
            tube[(motions[i].0, motions[j].0)] + rate
        });
        let size = tube.diagonal();
        let c = invert_symmetric(&inner, |at| size[motions[at].0] + motions[at].1);
        let mut flexibility = Matrix12::zeros();
        for (i, (row, _)) in motions.iter().enumerate() {
            for (j, (column, _)) in motions.iter().enumerate() {
                flexibility[(*row, *column)] = c[(i, j)];
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

/// Inverse of a symmetric positive (semi-)definite matrix; a motion without stiffness is held.
fn invert_symmetric(matrix: &DMatrix<f64>, size: impl Fn(usize) -> f64) -> DMatrix<f64> {
    let n = matrix.nrows();
    let scale: Vec<f64> = (0..n).map(|at| if size(at) > 0.0 { size(at).sqrt().recip() } else { 1.0 }).collect();
    let scaled = DMatrix::from_fn(n, n, |i, j| matrix[(i, j)] * scale[i] * scale[j]);
    let eigen = scaled.symmetric_eigen();
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
}
