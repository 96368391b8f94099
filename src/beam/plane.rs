//! One plane of bending within the twelve motions of both ends.

use super::{Matrix12, Vector12};

/// A matrix on `[v1, θ1, v2, θ2]`: the shift across the beam and the turn of each end.
pub(super) type Plane = [[f64; 4]; 4];

/// The plane in which a beam bends.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Bending {
    /// In the local x–y plane, about z.
    AboutZ,
    /// In the local x–z plane, about y, where dw/dx = −θy: terms that couple a shift with a turn change
    /// sign.
    AboutY,
}

impl Bending {
    /// Adds the matrix of this plane, written as for bending about z.
    pub(super) fn add(self, to: &mut Matrix12, plane: &Plane) {
        let (at, turn) = self.places();
        for (i, row) in plane.iter().enumerate() {
            for (j, value) in row.iter().enumerate() {
                let sign = if (i + j) % 2 == 1 { turn } else { 1.0 };
                to[(at[i], at[j])] += sign * value;
            }
        }
    }

    /// Adds the end loads of this plane, written as for bending about z.
    pub(super) fn add_loads(self, to: &mut Vector12, loads: &[f64; 4]) {
        let (at, turn) = self.places();
        for (i, load) in loads.iter().enumerate() {
            to[at[i]] += if i % 2 == 1 { turn * load } else { *load };
        }
    }

    /// The rows of `[v1, θ1, v2, θ2]`, and the sign of a turn among them.
    fn places(self) -> ([usize; 4], f64) {
        match self {
            Bending::AboutZ => ([1, 5, 7, 11], 1.0),
            Bending::AboutY => ([2, 4, 8, 10], -1.0),
        }
    }
}
