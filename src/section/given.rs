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
