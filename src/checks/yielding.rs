//! Yield: does a tube, or the metal beside a weld on it, give way?
//!
//! Reads: internal forces along a tube (N, N·mm), its section, where it is welded, its material.
//! Gives: utilisation = von Mises stress × margin / strength; above 1 fails.
//! Leaves out: the local peak at a tube joint, which is several times the nominal stress.
//! Source: EN 1993-1-1 6.2.1(5); strength beside a weld EN 1999-1-1 for aluminium, material
//! standards for cold-drawn steel.

use crate::beam::{Diagram, Peak, end_peaks, peak};
use crate::math::larger_than;
use crate::section::{Fibres, Material};

/// The stress of a tube: the largest along it, and the largest where it is welded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TubeStress {
    /// The largest along the tube; `at_mm` counts from the tube's first end.
    pub peak: Peak,
    /// The largest at a weld; `None`: no weld on it.
    pub at_weld: Option<Peak>,
}

/// The largest stresses of a tube.
///
/// `pieces`: where each piece begins (mm) and its internal forces, from the first end to the
/// second; `welds_mm`: where the tube is welded. At a weld both sides of a jump count.
pub fn tube_stress(fibres: &Fibres, pieces: &[(f64, Diagram)], welds_mm: &[f64]) -> TubeStress {
    let mut largest: Option<Peak> = None;
    let mut at_weld: Option<Peak> = None;
    let keep = |best: &mut Option<Peak>, next: Peak| {
        if best.is_none_or(|best| larger_than(next.von_mises_mpa, best.von_mises_mpa)) {
            *best = Some(next);
        }
    };
    let welded = |at_mm: f64| welds_mm.iter().any(|weld| (weld - at_mm).abs() < 1e-6);
    // Ends first: they usually hold the largest stress, and then spans need no search.
    let ends: Vec<[Peak; 2]> = pieces.iter().map(|(_, diagram)| end_peaks(fibres, diagram)).collect();
    let floor = ends.iter().flatten().map(|end| end.von_mises_mpa).fold(0.0, f64::max);
    for ((start_mm, diagram), ends) in pieces.iter().zip(&ends) {
        let on_tube = |peak: Peak| Peak { at_mm: start_mm + peak.at_mm, ..peak };
        for end in ends.map(on_tube) {
            if welded(end.at_mm) {
                keep(&mut at_weld, end);
            }
        }
        keep(&mut largest, on_tube(peak(fibres, diagram, *ends, floor)));
    }
    TubeStress { peak: largest.expect("a tube has at least one piece"), at_weld }
}

/// What governs yield of a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct YieldResult {
    /// Von Mises stress where it governs, MPa.
    pub stress_mpa: f64,
    /// Where, mm from the tube's first end.
    pub at_mm: f64,
    /// Strength there, MPa, without margin.
    pub strength_mpa: f64,
    /// Whether that is beside a weld.
    pub at_weld: bool,
    /// Stress × margin / strength.
    pub utilisation: f64,
}

/// Yield of a tube with a margin on the loads.
pub fn yielding(stress: &TubeStress, material: &Material, margin: f64) -> YieldResult {
    let judge = |peak: &Peak, strength_mpa: f64, at_weld: bool| YieldResult {
        stress_mpa: peak.von_mises_mpa,
        at_mm: peak.at_mm,
        strength_mpa,
        at_weld,
        utilisation: peak.von_mises_mpa * margin / strength_mpa,
    };
    let in_tube = judge(&stress.peak, material.yield_mpa, false);
    let beside = stress.at_weld.as_ref().map(|peak| judge(peak, material.yield_at_weld_mpa, true));
    match beside {
        Some(beside) if larger_than(beside.utilisation, in_tube.utilisation) => beside,
        _ => in_tube,
    }
}

#[cfg(test)]
mod tests {
    use nalgebra::Vector3;

    use super::*;
    use crate::beam::Diagram;
    use crate::section::{InternalForces, RoundTube, Section, built_in};

    #[test]
    fn a_weld_between_two_pieces_is_held_to_the_strength_beside_it() {
        // Pulled by 10 kN and 14 kN: 30×2 has 175.93 mm², so 56.84 and 79.58 MPa.
        let section = Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 });
        let piece = |n: f64| Diagram {
            first: InternalForces { n, ..InternalForces::default() },
            load_n_mm: Vector3::zeros(),
            length_mm: 300.0,
        };
        let pieces = [(0.0, piece(1e4)), (300.0, piece(1.4e4))];
        let area = std::f64::consts::PI * 28.0 * 2.0;
        let found = tube_stress(&section.fibres(), &pieces, &[300.0]);
        assert_eq!(found.peak.at_mm, 300.0);
        let at_weld = found.at_weld.unwrap();
        assert!((at_weld.von_mises_mpa - 1.4e4 / area).abs() < 1e-9 && at_weld.at_mm == 300.0, "{at_weld:?}");
        assert_eq!(tube_stress(&section.fibres(), &pieces, &[150.0]).at_weld, None);
        // E235+C: 384 MPa, beside a weld 235.
        let result = yielding(&found, &built_in("E235+C").unwrap().material, 1.5);
        assert!(result.at_weld && (result.utilisation - 1.5 * 1.4e4 / area / 235.0).abs() < 1e-12, "{result:?}");
    }

    #[test]
    fn a_weld_governs_only_where_it_is_nearer_to_its_strength() {
        let section = Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 });
        // 20 kN at the first end, less by 50 N/mm: 4 kN are left at 320 mm, nothing beyond 400.
        let piece = |n: f64| Diagram {
            first: InternalForces { n, ..InternalForces::default() },
            load_n_mm: Vector3::new(50.0, 0.0, 0.0),
            length_mm: 160.0,
        };
        let pieces = [(0.0, piece(2e4)), (160.0, piece(1.2e4))];
        let found = tube_stress(&section.fibres(), &pieces, &[320.0]);
        let area = std::f64::consts::PI * 28.0 * 2.0;
        let at_weld = found.at_weld.unwrap();
        assert!((at_weld.von_mises_mpa - 4e3 / area).abs() < 1e-9 && at_weld.at_mm == 320.0, "{at_weld:?}");
        let result = yielding(&found, &built_in("E235+C").unwrap().material, 1.5);
        assert!(!result.at_weld && result.at_mm == 0.0 && result.strength_mpa == 384.0, "{result:?}");
    }
}
