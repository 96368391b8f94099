//! Stress at a place of a section's outline, as a form of the internal forces there.
//!
//! Source of the forms: `models/FORMAT.md` and DEVELOPERS.md, "Stress in a member"; σ is beam
//! theory, shear is torsion plus V·Q/(I·b) at the same place.

/// Internal forces on the face whose outward normal is +x, along and about the local axes.
///
/// Forces N, moments N·mm, right-handed about their axes. A positive `my` pulls the fibres at +z, a
/// positive `mz` pushes those at +y.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct InternalForces {
    /// Axial force, N, tension positive.
    pub n: f64,
    /// Shear along y, N.
    pub vy: f64,
    /// Shear along z, N.
    pub vz: f64,
    /// Torque about x, N·mm.
    pub t: f64,
    /// Bending moment about y, N·mm.
    pub my: f64,
    /// Bending moment about z, N·mm.
    pub mz: f64,
}

/// Stress at one place, MPa, in parts: axial + bending = σ, torsion + shear = τ.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StressParts {
    /// From the axial force, tension positive.
    pub axial: f64,
    /// From both bending moments.
    pub bending: f64,
    /// From the torque.
    pub torsion: f64,
    /// From both shear forces.
    pub shear: f64,
}

impl StressParts {
    /// Von Mises stress, MPa: √(σ² + 3τ²).
    pub fn von_mises(&self) -> f64 {
        let sigma = self.axial + self.bending;
        let tau = self.torsion + self.shear;
        sigma.hypot(3.0_f64.sqrt() * tau)
    }
}

/// Where the stress of a section is looked for.
#[derive(Debug, Clone, PartialEq)]
pub enum Fibres {
    /// All round a circle.
    Circle(Circle),
    /// At a few places.
    Points(Vec<StressForm>),
}

/// Stress on a circle of radius R at the angle θ (y = R cos θ, z = R sin θ):
///
/// ```text
/// σ = n/A + my·z/I − mz·y/I          τ = t·R/J + (vz cos θ − vy sin θ)·Q/(I·b)
/// ```
/// σ MPa, tension positive; τ MPa, positive anticlockwise seen from +x, as a positive torque turns.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Circle {
    /// σ per axial force, 1/A, 1/mm².
    pub per_axial: f64,
    /// σ per bending moment at the outermost fibre, R/I, 1/mm³; not negative.
    pub per_moment: f64,
    /// τ per torque, R/J, 1/mm³.
    pub per_torque: f64,
    /// τ per shear force at the neutral axis, Q/(I·b), 1/mm².
    pub per_shear: f64,
}

impl Circle {
    /// The fibre at an angle.
    pub fn fibre(&self, angle_rad: f64) -> StressForm {
        let (sin, cos) = angle_rad.sin_cos();
        StressForm {
            per_axial: self.per_axial,
            per_my: self.per_moment * sin,
            per_mz: -self.per_moment * cos,
            per_torque: self.per_torque,
            per_vy: -self.per_shear * sin,
            per_vz: self.per_shear * cos,
            normal_as_magnitudes: false,
            shear_as_magnitudes: false,
        }
    }

    /// The stress at an angle.
    pub fn stress(&self, forces: &InternalForces, angle_rad: f64) -> StressParts {
        self.fibre(angle_rad).stress(forces)
    }
}

/// Stress at one place as a sum of so much for each internal force.
///
/// σ MPa, tension positive, from N and N·mm. τ MPa, positive along +y on a side at ±z and along +z on
/// a side at ±y, so that a positive torque gives a negative τ on the side at +z. Where parts add as
/// magnitudes the coefficients' signs have no meaning.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct StressForm {
    /// σ per axial force, 1/mm².
    pub per_axial: f64,
    /// σ per moment about y, z/Iy, 1/mm³.
    pub per_my: f64,
    /// σ per moment about z, −y/Iz, 1/mm³.
    pub per_mz: f64,
    /// τ per torque, 1/mm³.
    pub per_torque: f64,
    /// τ per shear along y, 1/mm².
    pub per_vy: f64,
    /// τ per shear along z, 1/mm².
    pub per_vz: f64,
    /// The parts of σ add as magnitudes.
    pub normal_as_magnitudes: bool,
    /// The parts of τ add as magnitudes.
    pub shear_as_magnitudes: bool,
}

impl StressForm {
    /// The form whose parts, where they add as magnitudes, have the signs that make them positive
    /// under these forces.
    pub fn with_signs_of(&self, forces: &InternalForces) -> StressForm {
        let normal = |per: f64, force: f64| if self.normal_as_magnitudes { per.abs().copysign(force) } else { per };
        let shear = |per: f64, force: f64| if self.shear_as_magnitudes { per.abs().copysign(force) } else { per };
        StressForm {
            per_axial: normal(self.per_axial, forces.n),
            per_my: normal(self.per_my, forces.my),
            per_mz: normal(self.per_mz, forces.mz),
            per_torque: shear(self.per_torque, forces.t),
            per_vy: shear(self.per_vy, forces.vy),
            per_vz: shear(self.per_vz, forces.vz),
            normal_as_magnitudes: false,
            shear_as_magnitudes: false,
        }
    }

    /// The stress under these forces.
    pub fn stress(&self, forces: &InternalForces) -> StressParts {
        let normal = |part: f64| if self.normal_as_magnitudes { part.abs() } else { part };
        let shear = |part: f64| if self.shear_as_magnitudes { part.abs() } else { part };
        StressParts {
            axial: normal(self.per_axial * forces.n),
            bending: normal(self.per_my * forces.my) + normal(self.per_mz * forces.mz),
            torsion: shear(self.per_torque * forces.t),
            shear: shear(self.per_vy * forces.vy) + shear(self.per_vz * forces.vz),
        }
    }
}
