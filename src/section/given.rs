//! Any other section, by its figures.

use super::fibre::StressForm;
use super::{Properties, Section};

/// A section that the user worked out or looked up: its [`Properties`], without plastic moduli.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Given(pub Properties);

impl From<Given> for Section {
    fn from(given: Given) -> Self {
        Section::Given(given)
    }
}

impl Given {
    /// Whether both axes are alike in every figure.
    pub(super) fn is_round(&self) -> bool {
        self.0.iy_mm4 == self.0.iz_mm4 && self.0.ay_mm2 == self.0.az_mm2 && self.0.cy_mm == self.0.cz_mm
    }

    /// |n|/a + |my|·cz/iy + |mz|·cy/iz with |t|/ct + |vy|/ay + |vz|/az.
    ///
    /// Adding magnitudes, as if all were largest at one place, is on the safe side; V over the shear
    /// area is not: it is a mean, below the peak (of a solid rectangle 1.2 V/A against 1.5 V/A). A
    /// part whose figure is not given is left out, and the verdict says so.
    pub(super) fn stress_form(&self) -> StressForm {
        StressForm {
            per_axial: 1.0 / self.0.area_mm2,
            per_my: self.0.cz_mm / self.0.iy_mm4,
            per_mz: self.0.cy_mm / self.0.iz_mm4,
            per_torque: self.0.ct_mm3.map_or(0.0, f64::recip),
            per_vy: self.0.ay_mm2.map_or(0.0, f64::recip),
            per_vz: self.0.az_mm2.map_or(0.0, f64::recip),
            normal_as_magnitudes: true,
            shear_as_magnitudes: true,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::section::InternalForces;

    fn alike() -> Properties {
        Properties {
            area_mm2: 300.0,
            iy_mm4: 4e4,
            iz_mm4: 4e4,
            j_mm4: 8e4,
            ay_mm2: Some(150.0),
            az_mm2: Some(150.0),
            cy_mm: 20.0,
            cz_mm: 20.0,
            ct_mm3: None,
            plastic_mm3: None,
        }
    }

    #[test]
    fn figures_are_those_of_a_round_section_where_all_are_alike_about_both_axes() {
        let alike = alike();
        assert!(Given(alike).is_round());
        for other in [
            Properties { iy_mm4: 5e4, ..alike },
            Properties { az_mm2: None, ..alike },
            Properties { cz_mm: 18.0, ..alike },
        ] {
            assert!(!Given(other).is_round(), "{other:?}");
        }
    }

    #[test]
    fn parts_of_the_stress_of_given_figures_add_up_whatever_their_signs() {
        let given = Given(Properties { iz_mm4: 2e4, cz_mm: 10.0, ct_mm3: Some(5e3), az_mm2: None, ..alike() });
        let forces = InternalForces { n: -3000.0, vy: -600.0, vz: 900.0, t: 4e4, my: 8e4, mz: -5e4 };
        let found = given.stress_form().stress(&forces);
        // 3000/300; 80 000 · 10/40 000 + 50 000 · 20/20 000; 40 000/5000; 600/150, and vz without a shear area.
        for (part, expected) in
            [(found.axial, 10.0), (found.bending, 20.0 + 50.0), (found.torsion, 8.0), (found.shear, 4.0)]
        {
            assert!((part - expected).abs() < 1e-12, "{found:?}");
        }
    }
}
