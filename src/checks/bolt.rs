//! Bolts: do the bolts of a mount hold it?
//!
//! Reads: force (N) and moment (N·mm) between frame and what it is bolted to, the bolts. Gives: the
//! worst bolt × margin / resistance in shear, in tension and in both; above 1 fails. Leaves out: the
//! plates that they go through (bearing, tearing out, bending, prying by it), tightening, slip.
//! Source: EN 1993-1-8:2005 Table 3.4 (from memory), shear through the thread, γM2 = 1.25:
//! F_v,Rd = αv fub As/γM2, F_t,Rd = 0.9 fub As/γM2, F_v/F_v,Rd + F_t/(1.4 F_t,Rd) ≤ 1.

use nalgebra::Vector3;

use crate::model::Bolts;

/// γM2.
const FACTOR: f64 = 1.25;

/// The worst bolt of a mount; forces without margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltResult {
    /// Shear of one bolt, N.
    pub shear_n: f64,
    /// Tension of one bolt, N.
    pub tension_n: f64,
    /// F_v,Rd, N.
    pub shear_resistance_n: f64,
    /// F_t,Rd, N.
    pub tension_resistance_n: f64,
    /// Whether a moment acts that nothing here turns into forces on bolts.
    pub leaves_moment: bool,
    /// The largest of shear, tension and both together × margin, over the resistance.
    pub utilisation: f64,
}

/// Judges the bolts of a mount.
///
/// Force is shared evenly. A moment is a couple over `pitch` that one bolt takes whole: about the
/// bolts' axis as shear, across it as tension. Pull and push alike count as tension. Where the
/// bolts' direction is not given, the worst is taken: that of the largest sum of both.
pub fn bolts(bolts: &Bolts, force_n: &Vector3<f64>, moment_nmm: &Vector3<f64>, margin: f64) -> BoltResult {
    let per_area = bolts.class.ultimate_mpa * bolts.thread.stress_area_mm2() / FACTOR;
    let (shear_rd, tension_rd) = (bolts.class.shear_factor * per_area, 0.9 * per_area);
    let count = f64::from(bolts.count);
    let couple = |moment: f64| bolts.pitch_mm.map_or(0.0, |pitch| moment / pitch);
    let (shear_n, tension_n, both) = match bolts.along {
        Some(along) => {
            let (pull, turn) = (force_n.dot(&along), moment_nmm.dot(&along));
            let shear = (force_n - along * pull).norm() / count + couple(turn.abs());
            let tension = pull.abs() / count + couple((moment_nmm - along * turn).norm());
            (shear, tension, shear / shear_rd + tension / (1.4 * tension_rd))
        }
        None => {
            let whole = force_n.norm() / count + couple(moment_nmm.norm());
            (whole, whole, whole * (1.0 / shear_rd).hypot(1.0 / (1.4 * tension_rd)))
        }
    };
    BoltResult {
        shear_n,
        tension_n,
        shear_resistance_n: shear_rd,
        tension_resistance_n: tension_rd,
        leaves_moment: bolts.pitch_mm.is_none() && moment_nmm.norm() > 0.0,
        utilisation: (shear_n / shear_rd).max(tension_n / tension_rd).max(both) * margin,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::{BOLT_CLASSES, Thread};

    fn two(pitch_mm: Option<f64>, along: Option<Vector3<f64>>) -> Bolts {
        let class = *BOLT_CLASSES.iter().find(|class| class.name == "8.8").unwrap();
        Bolts { thread: Thread::named("M10").unwrap(), class, count: 2, pitch_mm, along }
    }

    #[test]
    fn resistances_are_those_of_the_clause() {
        let found = bolts(&two(None, None), &Vector3::zeros(), &Vector3::zeros(), 1.5);
        // M10: As = π/4 (10 − 0.9382·1.5)² = 57.99 mm²; 0.6·800·As/1.25 and 0.9·800·As/1.25.
        assert_near(found.shear_resistance_n, 22_268.0, 1e-4);
        assert_near(found.tension_resistance_n, 33_402.0, 1e-4);
        assert_eq!((found.utilisation, found.leaves_moment), (0.0, false));
    }

    #[test]
    fn without_a_direction_all_counts_as_shear_and_as_tension_at_the_worst_slant() {
        // 6 kN on two bolts: the largest of cos a/Fv + sin a/(1.4 Ft), 3000 √(1/Fv² + 1/(1.4 Ft)²).
        let force = Vector3::new(4000.0, -2000.0, 4000.0);
        let found = bolts(&two(None, None), &force, &Vector3::zeros(), 1.5);
        let slants = (0..=9000).map(|step| (f64::from(step) * 1e-2).to_radians().sin_cos());
        let of = |(sin, cos): (f64, f64)| cos / found.shear_resistance_n + sin / (1.4 * found.tension_resistance_n);
        assert_near(found.utilisation, 1.5 * 3000.0 * slants.map(of).fold(0.0, f64::max), 1e-7);
    }

    #[test]
    fn force_and_couple_go_to_shear_and_tension_by_the_direction_of_the_bolts() {
        let found = bolts(
            &two(Some(50.0), Some(Vector3::z())),
            &Vector3::new(3000.0, 4000.0, -2000.0),
            &Vector3::new(30_000.0, 40_000.0, 20_000.0),
            1.5,
        );
        assert_near(found.shear_n, 5000.0 / 2.0 + 20_000.0 / 50.0, 1e-12);
        assert_near(found.tension_n, 2000.0 / 2.0 + 50_000.0 / 50.0, 1e-12);
        let both = 2900.0 / found.shear_resistance_n + 2000.0 / (1.4 * found.tension_resistance_n);
        assert_near(found.utilisation, 1.5 * both, 1e-12);
        assert!(!found.leaves_moment);
    }

    #[test]
    fn no_direction_of_the_bolts_is_worse_than_what_is_taken_without_one() {
        let (force, moment) = (Vector3::new(3000.0, -1000.0, 2000.0), Vector3::new(2e4, -5e4, 1e4));
        let taken = bolts(&two(Some(40.0), None), &force, &moment, 1.0).utilisation;
        let mut worst: f64 = 0.0;
        for (a, b) in (0..40).flat_map(|a| (0..40).map(move |b| (f64::from(a) * 0.157, f64::from(b) * 0.0785))) {
            let along = Vector3::new(a.cos() * b.sin(), a.sin() * b.sin(), b.cos());
            worst = worst.max(bolts(&two(Some(40.0), Some(along)), &force, &moment, 1.0).utilisation);
        }
        assert!(taken >= worst && taken < 1.5 * worst, "{taken} beside {worst}");
    }

    #[test]
    fn a_moment_without_a_pitch_is_left_out_and_told() {
        let found = bolts(&two(None, None), &Vector3::zeros(), &Vector3::new(1.0, 0.0, 0.0), 1.5);
        assert!(found.leaves_moment && found.utilisation == 0.0);
    }
}
