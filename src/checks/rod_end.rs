//! Rod-ends: do the ball and the shank of a rod-end hold?
//!
//! Reads: the internal forces at a rod-ended end of a tube whose axis is that of the thread (N).
//! Gives: the force against the maker's static figure ÷ margin, and the stress of the shank where it
//! enters the tube against its yield strength ÷ margin; above 1 fails. Leaves out: play, wear, how far the
//! ball may tilt, the thread in the tube, its lock nut, fatigue of the shank.
//!
//! The maker's figure is for force in the plane of the ring. Which way the bolt through the ball
//! points is not known, so that a force across the thread counts wholly as one along that bolt, of which a
//! rod-end bears a part of its figure: common practice, no source.

use crate::model::RodEnd;
use crate::section::InternalForces;

/// What a rod-end bears along the bolt through its ball, as a part of the maker's figure: common
/// practice, no source.
pub const ALONG_BOLT: f64 = 0.2;

/// A rod-end judged; forces and stress without margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RodEndResult {
    /// Along the thread, N, tension positive.
    pub along_n: f64,
    /// Across the thread, N.
    pub across_n: f64,
    /// Bending of the shank where it enters the tube, N·mm.
    pub bending_nmm: f64,
    /// Stress of the shank there, MPa.
    pub shank_mpa: f64,
    /// Whole force × margin over the maker's figure.
    pub rating: f64,
    /// Force across the thread × margin over the part of that figure.
    pub along_bolt: f64,
    /// Stress × margin over the yield strength; `None`: that is not given.
    pub shank: Option<f64>,
    /// The largest of the three.
    pub utilisation: f64,
}

/// Judges a rod-end.
///
/// ```text
/// √(N² + V²) ≤ rated/margin      V ≤ 0.2 rated/margin      |N|/As + V s/W ≤ yield/margin
/// ```
/// s: stick-out from the ball's centre to where the shank is held; W of the circle of area As.
pub fn rod_end(rod_end: &RodEnd, forces: &InternalForces, margin: f64) -> RodEndResult {
    let across_n = forces.vy.hypot(forces.vz);
    let bending_nmm = across_n * rod_end.stick_out_mm;
    let shank_mpa = forces.n.abs() / rod_end.thread.stress_area_mm2() + bending_nmm / rod_end.thread.modulus_mm3();
    let rating = forces.n.hypot(across_n) * margin / rod_end.rated_n;
    let along_bolt = across_n * margin / (ALONG_BOLT * rod_end.rated_n);
    let shank = rod_end.yield_mpa.map(|strength| shank_mpa * margin / strength);
    let utilisation = rating.max(along_bolt).max(shank.unwrap_or(0.0));
    RodEndResult { along_n: forces.n, across_n, bending_nmm, shank_mpa, rating, along_bolt, shank, utilisation }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::Thread;

    #[test]
    fn a_pushed_and_bent_shank_is_what_a_calculator_gives() {
        let part = RodEnd {
            thread: Thread::named("M12").unwrap(),
            stick_out_mm: 30.0,
            rated_n: 28_000.0,
            yield_mpa: Some(640.0),
        };
        let forces = InternalForces { n: -9000.0, vy: 300.0, vz: -400.0, ..InternalForces::default() };
        let found = rod_end(&part, &forces, 1.5);
        assert_near(found.across_n, 500.0, 1e-15);
        // M12: d = 12 − 0.9382·1.75 = 10.358 mm, As = 84.27 mm², W = 109.1 mm³.
        assert_near(found.shank_mpa, 9000.0 / 84.27 + 500.0 * 30.0 / 109.1, 1e-4);
        assert_near(found.rating, 1.5 * 9013.88 / 28_000.0, 1e-6);
        assert_near(found.along_bolt, 1.5 * 500.0 / 5600.0, 1e-12);
        assert_near(found.shank.unwrap(), 1.5 * found.shank_mpa / 640.0, 1e-12);
        assert_eq!(found.utilisation, found.shank.unwrap());
    }

    #[test]
    fn a_shank_without_a_strength_is_not_judged() {
        let part = RodEnd { thread: Thread::named("M8").unwrap(), stick_out_mm: 100.0, rated_n: 1e6, yield_mpa: None };
        let found = rod_end(&part, &InternalForces { vz: 1000.0, ..InternalForces::default() }, 1.5);
        assert_eq!(found.shank, None);
        assert!(found.shank_mpa > 1000.0);
        assert_eq!(found.utilisation, found.along_bolt);
    }
}
