//! One straight member, exact for any axial force and any frequency.
//!
//! In a plane the state (v, θ, M, V) along the member obeys y' = A y, so that exp(A L) carries it from
//! end to end and gives the stiffness of the ends:
//!
//! ```text
//! v' = (θ + V/GAs) / (1 + N/GAs)      θ' = M/EI      M' = N v' − V − ρI ω² θ      V' = −ρA ω² v
//! ```
//!
//! V is the force across the undeformed axis, N tension. Without shear this is Euler's member and its
//! stability functions; with shear N works along the whole slope v', which is Engesser's member.
//!
//! Source: `formulas.md` 9 to 11 of the reference; Timoshenko & Gere, Theory of Elastic Stability,
//! 2.17; Wittrick & Williams, Quart. J. Mech. Appl. Math. 24 (1971), for counting.

use std::f64::consts::PI;

use nalgebra::{Matrix2, Matrix4, SMatrix, Vector4};

use super::super::piece::Piece;

/// Stiffness of both ends of a member, local axes: shifts and turns of the first, then of the second.
pub(super) type EndStiffness = SMatrix<f64, 12, 12>;

/// What a member bears while it is looked at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Borne {
    /// Axial force, N, tension positive.
    pub(super) axial_n: f64,
    /// Circular frequency, rad/s.
    pub(super) omega: f64,
}

/// A member in one plane.
#[derive(Debug, Clone, Copy)]
struct Plane {
    length_mm: f64,
    ei_nmm2: f64,
    /// 1/(G As), 1/N.
    per_shear: f64,
    /// Masses in tonnes: of a length, and its rotary inertia.
    t_per_mm: f64,
    rotary_t_mm: f64,
    borne: Borne,
}

impl Plane {
    /// Carries the state from the first end to the second, with lengths in L and forces in EI/L².
    fn transfer(&self) -> Matrix4<f64> {
        let (l, ei, omega2) = (self.length_mm, self.ei_nmm2, self.borne.omega.powi(2));
        let axial = self.borne.axial_n * l * l / ei;
        let shear = self.per_shear * ei / (l * l);
        let softening = 1.0 + self.borne.axial_n * self.per_shear;
        let [of_turn, of_force] = [1.0 / softening, shear / softening];
        let rotary = self.rotary_t_mm * omega2 * l * l / ei;
        let mass = self.t_per_mm * omega2 * l.powi(4) / ei;
        #[rustfmt::skip]
        let a = Matrix4::new(
            0.0, of_turn, 0.0, of_force,
            0.0, 0.0, 1.0, 0.0,
            0.0, axial * of_turn - rotary, 0.0, axial * of_force - 1.0,
            -mass, 0.0, 0.0, 0.0,
        );
        a.exp()
    }

    /// Forces on the ends (V, M) from their motions (v, θ): first end, then second.
    ///
    /// A long member is two halves with their joint eliminated: exp(A L) would be all of what grows along it.
    fn stiffness(&self) -> Matrix4<f64> {
        const LONG: f64 = 6.0;
        let (l, ei) = (self.length_mm, self.ei_nmm2);
        let waves = (self.t_per_mm * self.borne.omega.powi(2) / ei).powf(0.25);
        if l * waves.max((self.borne.axial_n.abs() / ei).sqrt()) > LONG {
            let half = self.half().stiffness();
            let block = |row, column| -> Matrix2<f64> { half.fixed_view::<2, 2>(row, column).into_owned() };
            let joint = (block(2, 2) + block(0, 0)).try_inverse().expect("a joint is not at a root by chance");
            let mut k = Matrix4::zeros();
            k.fixed_view_mut::<2, 2>(0, 0).copy_from(&(block(0, 0) - block(0, 2) * joint * block(2, 0)));
            k.fixed_view_mut::<2, 2>(0, 2).copy_from(&(-block(0, 2) * joint * block(0, 2)));
            k.fixed_view_mut::<2, 2>(2, 0).copy_from(&(-block(2, 0) * joint * block(2, 0)));
            k.fixed_view_mut::<2, 2>(2, 2).copy_from(&(block(2, 2) - block(2, 0) * joint * block(0, 2)));
            return k;
        }
        let t = self.transfer();
        let block = |row, column| -> Matrix2<f64> { t.fixed_view::<2, 2>(row, column).into_owned() };
        // Forces in the state are (M, V): those on the first end are their opposites.
        let from_forces = block(0, 2).try_inverse().expect("a member with ends held is not at a root by chance");
        let first = [-from_forces * block(0, 0), from_forces];
        let second = [block(2, 0) + block(2, 2) * first[0], block(2, 2) * first[1]];
        let mut k = Matrix4::zeros();
        for (end, sign, forces) in [(0, -1.0, first), (2, 1.0, second)] {
            for (column, of_end) in [0, 2].into_iter().zip(forces) {
                for other in 0..2 {
                    k[(end, column + other)] = sign * of_end[(1, other)];
                    k[(end + 1, column + other)] = sign * of_end[(0, other)];
                }
            }
        }
        let in_units = Matrix4::from_diagonal(&Vector4::new(1.0 / l, 1.0, 1.0 / l, 1.0));
        in_units * k * in_units * (ei / l)
    }

    fn half(&self) -> Plane {
        Plane { length_mm: self.length_mm / 2.0, ..*self }
    }

    /// How many of its own roots, both ends held, lie below what is borne: those of its halves, and
    /// the negative pivots of their joint. A member has none that bears less than its first load,
    /// 1/P = L²/4π²EI + 1/GAs, or so little of a frequency that bending, shear and rotary inertia in
    /// series (Dunkerley) are far from their first.
    fn own_roots(&self) -> usize {
        let Plane { length_mm: l, ei_nmm2: ei, per_shear, t_per_mm: mass, rotary_t_mm: rotary, borne } = *self;
        let push = (-borne.axial_n).max(0.0);
        // Towards GAs, at which shear alone gives way, roots come without end.
        if push * per_shear > 0.99 {
            return 10_000;
        }
        let of_load = push * (l * l / (4.0 * PI * PI * ei) + per_shear);
        let bending = mass * l.powi(4) / (4.73_f64.powi(4) * ei);
        let shear = mass * l * l * per_shear / (PI * PI);
        let turning = rotary * l * l / (PI * PI * ei);
        let of_frequency = borne.omega.powi(2) * (bending + shear + turning);
        if of_load < 1.0 && of_frequency < 0.1 {
            return 0;
        }
        let k = self.half().stiffness();
        // Turned round, a half meets its like: what it does to a shift of the joint doubles, coupling cancels.
        let negative = [2, 3].into_iter().filter(|at| k[(*at, *at)] < 0.0).count();
        2 * self.half().own_roots() + negative
    }
}

/// Stiffness of a rod along or about its axis, and its own roots: stiffness and mass of a length.
fn rod(stiffness: f64, mass: f64, length_mm: f64, omega: f64) -> ([f64; 2], usize) {
    let phase = omega * length_mm * (mass / stiffness).sqrt();
    let static_k = stiffness / length_mm;
    if phase == 0.0 {
        return ([static_k, -static_k], 0);
    }
    ([static_k * phase / phase.tan(), -static_k * phase / phase.sin()], (phase / PI).floor() as usize)
}

/// The exact stiffness of a member's ends, and how many of its own roots lie below.
pub(super) fn exact_member(piece: &Piece, borne: Borne) -> (EndStiffness, usize) {
    let figures = &piece.figures;
    let t_per_mm = figures.kg_per_mm * 1e-3;
    let mut k = EndStiffness::zeros();
    let mut roots = 0;
    let rotary = figures.rotary_kg_mm.map(|kg_mm| kg_mm * 1e-3);
    let along = rod(figures.ea_n, t_per_mm, piece.length_mm, borne.omega);
    let about = rod(figures.gj_nmm2, rotary[0] + rotary[1], piece.length_mm, borne.omega);
    for (first, ([own, other], own_roots)) in [(0, along), (3, about)] {
        let second = first + 6;
        k[(first, first)] = own;
        k[(second, second)] = own;
        k[(first, second)] = other;
        k[(second, first)] = other;
        roots += own_roots;
    }
    // The plane x–y turns about z; in x–z a turn about y is the slope's opposite.
    for (shift, turn, sign, stiff, shear) in [(1, 5, 1.0, 1, 0), (2, 4, -1.0, 0, 1)] {
        let plane = Plane {
            length_mm: piece.length_mm,
            ei_nmm2: figures.ei_nmm2[stiff],
            per_shear: figures.per_shear[shear],
            t_per_mm,
            rotary_t_mm: rotary[stiff],
            borne,
        };
        let own = plane.stiffness();
        let places = [(shift, 1.0), (turn, sign), (shift + 6, 1.0), (turn + 6, sign)];
        for (row, (at, row_sign)) in places.into_iter().enumerate() {
            for (column, (other, column_sign)) in places.into_iter().enumerate() {
                k[(at, other)] = row_sign * column_sign * own[(row, column)];
            }
        }
        roots += plane.own_roots();
    }
    (k, roots)
}
