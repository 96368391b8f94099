//! How a frame with its bodies vibrates: K φ = ω² M φ.
//!
//! Consistent mass with rotary inertia (`beam::mass`), bodies rigid with their mass and inertia, no damping.
//! Source: Przemieniecki (1968), Theory of Matrix Structural Analysis, ch. 11 and 12.

use std::f64::consts::PI;

use nalgebra::{Matrix6, Vector6};

use super::fine::{Fine, Found, Lowest, NotFound, Question, SecondMatrix, counts, lowest};
use super::shape::{ModeShape, bodies};
use crate::beam::Matrix12;
use crate::beam::mass::{LineMass, inertia_t_mm2, mass_t};
use crate::math::{SymmetricMatrix, largest_first};
use crate::model::{Body, Model};
use crate::solve::System;
use crate::structure::Structure;

/// How each tube is cut at first.
const AT_FIRST: usize = 2;

/// The vibration of a frame.
#[derive(Debug, Clone, PartialEq)]
pub struct Vibration {
    /// The structure that vibrates.
    pub structure: Structure,
    /// The lowest modes, rising.
    pub modes: Vec<VibrationMode>,
    /// How many the negative pivots of K − ω²M count up to the last of them, or a little above it.
    pub counted: usize,
}

/// One natural frequency with its shape.
#[derive(Debug, Clone, PartialEq)]
pub struct VibrationMode {
    /// Hz.
    pub frequency_hz: f64,
    /// Estimated error, as a part of it.
    pub error: f64,
    /// The shape.
    pub shape: ModeShape,
    /// For each body, the part that its shifts along and turns about x, y, z through its centre of
    /// gravity have in the kinetic energy.
    pub bodies: Vec<[f64; 6]>,
}

/// A tube with this part of the strain energy of the first one takes part in a mode.
const TAKES_PART: f64 = 0.25;

impl VibrationMode {
    /// The tubes of the structure that bend most, each with its part of the strain energy of all tubes, largest
    /// first.
    pub fn largest_strains(&self) -> impl Iterator<Item = (usize, f64)> + use<'_> {
        let strain = &self.shape.strain;
        let most = strain.iter().copied().fold(0.0, f64::max);
        let taking: Vec<usize> = (0..strain.len()).filter(|tube| strain[*tube] > TAKES_PART * most).collect();
        largest_first(taking, |tube| strain[*tube]).into_iter().map(|tube| (tube, strain[tube]))
    }

    /// The body that most of the mode is, and which of its motions (shifts along, turns about x, y, z).
    pub fn mostly(&self) -> Option<(usize, usize)> {
        const MOSTLY: f64 = 0.5;
        let (body, energy) = self.bodies.iter().enumerate().find(|(_, energy)| energy.iter().sum::<f64>() > MOSTLY)?;
        let motion = (0..6).max_by(|one, other| energy[*one].total_cmp(&energy[*other]))?;
        Some((body, motion))
    }
}

/// M: B of B φ = μ K φ with μ = 1/ω².
struct Swinging<'m> {
    model: &'m Model,
}

impl Swinging<'_> {
    fn line_mass(fine: &Fine, piece: usize) -> LineMass {
        let tube = &fine.system.structure.tubes[fine.system.structure.pieces[piece].tube];
        LineMass::new(&tube.properties, &tube.material)
    }
}

impl SecondMatrix for Swinging<'_> {
    fn of_piece(&self, fine: &Fine, piece: usize) -> Matrix12 {
        Self::line_mass(fine, piece).consistent(&fine.system.pieces[piece].beam)
    }

    fn add_parts(&self, fine: &Fine, b: &mut SymmetricMatrix) {
        for (part, body) in bodies(fine) {
            fine.system.add_on_part_to(b, part, &Matrix6::from_diagonal(&body_mass(&self.model.bodies[body])));
        }
    }
}

impl Question for Swinging<'_> {
    fn interior(&self, fine: &Fine, piece: usize) -> Matrix12 {
        fine.system.pieces[piece].beam.interior_of_inertia(&Self::line_mass(fine, piece))
    }

    // Bending and shear in series; along and about the axis.
    fn own(&self, fine: &Fine, piece: usize) -> f64 {
        let (beam, mass) = (&fine.system.pieces[piece].beam, Self::line_mass(fine, piece));
        let welded = fine.system.structure.pieces[piece].ends.iter().all(|end| end.joint.is_weld());
        let (bending, along) = if welded { (4.73_f64.powi(4), PI.powi(2)) } else { (PI.powi(4), PI.powi(2) / 4.0) };
        let l2 = beam.length_mm.powi(2);
        let across = mass.shift_t_mm * l2 * l2 / (bending * beam.eiy_nmm2.min(beam.eiz_nmm2))
            + mass.shift_t_mm * l2 / (PI.powi(2) * beam.gay_n.min(beam.gaz_n));
        let stretching = mass.shift_t_mm * l2 / (along * beam.ea_n);
        across.max(stretching).max(mass.about_x_t_mm() * l2 / (along * beam.gj_nmm2))
    }
}

/// Mass (t) and moments of inertia (t·mm²) of a body; none where the model gives none.
fn body_mass(body: &Body) -> Vector6<f64> {
    let mass = mass_t(body.mass_kg);
    let [x, y, z] = body.inertia_kg_m2.unwrap_or([0.0; 3]).map(inertia_t_mm2);
    Vector6::new(mass, mass, mass, x, y, z)
}

/// The lowest natural frequencies, as many as are wanted or as there are, of a structure built for
/// [`crate::structure::Purpose::Vibration`].
///
/// # Errors
/// Where the structure is not stiff, or modes did not all come out.
pub fn vibration(model: &Model, whole: &System, wanted: usize) -> Result<Vibration, NotFound> {
    let question = Swinging { model };
    let fine = Fine::new(whole, counts(whole, |_| AT_FIRST))?;
    let Lowest { fine, found, counted } = lowest(whole, fine, &question, wanted, f64::INFINITY)?;
    let modes = found
        .iter()
        .map(|found| VibrationMode {
            frequency_hz: found.value.sqrt() / (2.0 * PI),
            error: found.error / 2.0,
            shape: ModeShape::new(&fine, &found.unknowns),
            bodies: shares(model, &fine, found),
        })
        .collect();
    Ok(Vibration { structure: whole.structure.clone(), modes, counted })
}

/// The part of each motion of each body in the kinetic energy: with φᵀ K φ = 1 that is 1/ω² for all.
fn shares(model: &Model, fine: &Fine, found: &Found) -> Vec<[f64; 6]> {
    let parts = fine.system.motions_of_parts(&found.unknowns);
    let mut shares = vec![[0.0; 6]; model.bodies.len()];
    for (part, body) in bodies(fine) {
        let energy = body_mass(&model.bodies[body]).component_mul(&parts[part].component_mul(&parts[part]));
        shares[body] = (energy * found.value).into();
    }
    shares
}
