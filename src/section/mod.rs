//! Sections and materials: dimensions to areas, moduli and stress coefficients.
//!
//! Reads dimensions (mm) and a material (MPa, kg/m³). Gives [`Properties`] for the stiffness of a
//! tube and [`Fibres`] for the stress at a place of its outline. Leaves out lengths and loads.
//!
//! Axes: local x along the tube, y and z across it. `iy` resists bending in the x–z plane (moment
//! `my`), `iz` bending in the x–y plane (moment `mz`).

mod box_tube;
mod fibre;
mod given;
mod material;
mod round;
mod solid;
mod stock;
mod thread;

pub use box_tube::{BoxTube, standard_radii_mm};
pub use fibre::{Circle, Fibres, InternalForces, StressForm, StressParts};
pub use given::Given;
pub use material::{BUILT_IN, BuiltIn, Finish, Material, Metal, STRUCTURAL_STEEL_MPA, built_in};
pub use round::{RoundTube, cowper_hollow_circle};
pub use solid::{Bar, Flat, rectangle_torsion, shear_on_long_side, shear_on_short_side};
pub use stock::{STOCK, StockSize};
pub use thread::{BOLT_CLASSES, BoltClass, Thread};

/// What the stiffness, the checks and the report need of a section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Properties {
    /// Area, mm².
    pub area_mm2: f64,
    /// Second moment for bending in the local x–z plane, mm⁴.
    pub iy_mm4: f64,
    /// Second moment for bending in the local x–y plane, mm⁴.
    pub iz_mm4: f64,
    /// Torsion constant, mm⁴.
    pub j_mm4: f64,
    /// Shear area for a force along y, mm²; `None`: no shear flexibility.
    pub ay_mm2: Option<f64>,
    /// Shear area for a force along z, mm²; `None`: no shear flexibility.
    pub az_mm2: Option<f64>,
    /// Largest distance of a fibre along y, mm.
    pub cy_mm: f64,
    /// Largest distance of a fibre along z, mm.
    pub cz_mm: f64,
    /// Torsion modulus (torque over the largest shear stress), mm³; `None`: torsion stress is not judged.
    pub ct_mm3: Option<f64>,
    /// Plastic moduli about y and z, mm³; `None` where the section is given by its figures.
    pub plastic_mm3: Option<(f64, f64)>,
}

impl Properties {
    /// The axis about which the section is stronger, 0 for y and 1 for z; `None` where it is alike about both.
    pub fn strong_axis(&self) -> Option<usize> {
        (self.iy_mm4 != self.iz_mm4).then(|| usize::from(self.iz_mm4 > self.iy_mm4))
    }
}

/// A cross-section.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Section {
    /// Round tube.
    Round(RoundTube),
    /// Square or rectangular tube.
    Box(BoxTube),
    /// Solid round bar.
    Bar(Bar),
    /// Flat bar.
    Flat(Flat),
    /// Anything else, by its figures.
    Given(Given),
}

impl Section {
    /// Properties, with the Poisson's ratio that the shear factor of a round section needs.
    pub fn properties(&self, poisson: f64) -> Properties {
        match self {
            Section::Round(tube) => tube.properties(poisson),
            Section::Box(tube) => tube.properties(),
            Section::Bar(bar) => bar.properties(poisson),
            Section::Flat(flat) => flat.properties(),
            Section::Given(given) => given.0,
        }
    }

    /// Where on the outline the stress is looked for.
    pub fn fibres(&self) -> Fibres {
        match self {
            Section::Round(tube) => Fibres::Circle(tube.circle()),
            Section::Box(tube) => Fibres::Points(tube.stress_forms()),
            Section::Bar(bar) => Fibres::Circle(bar.circle()),
            Section::Flat(flat) => Fibres::Points(flat.stress_forms()),
            Section::Given(given) => Fibres::Points(vec![given.stress_form()]),
        }
    }

    /// Places between those of [`Section::fibres`] at which the stress may be larger; `None` where there
    /// are none.
    pub fn fibres_between(&self) -> Option<Fibres> {
        match self {
            Section::Flat(flat) => Some(Fibres::Points(flat.stress_forms_between())),
            Section::Round(_) | Section::Box(_) | Section::Bar(_) | Section::Given(_) => None,
        }
    }

    /// Whether the section bends and looks the same whichever way it is turned about its axis.
    pub fn is_round(&self) -> bool {
        match self {
            Section::Round(_) | Section::Bar(_) => true,
            Section::Given(given) => given.is_round(),
            Section::Box(_) | Section::Flat(_) => false,
        }
    }

    /// Largest outside dimension, mm: the diameter, or the longer side.
    pub fn largest_mm(&self) -> f64 {
        match self {
            Section::Round(tube) => tube.od_mm,
            Section::Box(tube) => tube.width_mm.max(tube.depth_mm),
            Section::Bar(bar) => bar.od_mm,
            Section::Flat(flat) => flat.width_mm.max(flat.thickness_mm),
            Section::Given(given) => 2.0 * given.0.cy_mm.max(given.0.cz_mm),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn given(cy_mm: f64, cz_mm: f64) -> Section {
        Section::from(Given(Properties {
            area_mm2: 300.0,
            iy_mm4: 4e4,
            iz_mm4: 3e4,
            j_mm4: 5e4,
            ay_mm2: None,
            az_mm2: None,
            cy_mm,
            cz_mm,
            ct_mm3: None,
            plastic_mm3: None,
        }))
    }

    #[test]
    fn the_largest_dimension_is_the_diameter_or_the_longer_side() {
        let round = Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 });
        let boxed = Section::from(BoxTube::standard(30.0, 50.0, 2.0, Finish::Cold));
        let flat = Section::from(Flat { width_mm: 40.0, thickness_mm: 8.0 });
        let all = [round, boxed, Bar { od_mm: 18.0 }.into(), flat, given(20.0, 18.0)];
        assert_eq!(all.map(|section| section.largest_mm()), [30.0, 50.0, 18.0, 40.0, 40.0]);
        assert_eq!(all.map(|section| section.is_round()), [true, false, true, false, false]);
        assert_eq!(all.map(|section| section.fibres_between().is_some()), [false, false, false, true, false]);
    }
}
