//! Materials and tube sizes.

use serde::Serialize;

use super::Number;
use crate::model::TubeSize;
use crate::section::Material;

#[derive(Serialize)]
pub(super) struct MaterialJson {
    youngs_modulus: Number,
    shear_modulus: Number,
    density: Number,
    #[serde(rename = "yield")]
    yield_strength: Number,
    ultimate: Number,
    yield_at_weld: Number,
    finish: &'static str,
}

impl MaterialJson {
    pub(super) fn of(material: &Material) -> Self {
        Self {
            youngs_modulus: Number(material.youngs_modulus_mpa),
            shear_modulus: Number(material.shear_modulus_mpa),
            density: Number(material.density_kg_m3),
            yield_strength: Number(material.yield_mpa),
            ultimate: Number(material.ultimate_mpa),
            yield_at_weld: Number(material.yield_at_weld_mpa),
            finish: material.finish.word(),
        }
    }
}

#[derive(Serialize)]
pub(super) struct TubeJson {
    a: Number,
    iy: Number,
    iz: Number,
    j: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    ay: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    az: Option<Number>,
    cy: Number,
    cz: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    ct: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wpl_y: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wpl_z: Option<Number>,
    mass_per_metre: Number,
}

impl TubeJson {
    pub(super) fn of(size: &TubeSize, density_kg_m3: f64) -> Self {
        let p = &size.properties;
        Self {
            a: Number(p.area_mm2),
            iy: Number(p.iy_mm4),
            iz: Number(p.iz_mm4),
            j: Number(p.j_mm4),
            ay: p.ay_mm2.map(Number),
            az: p.az_mm2.map(Number),
            cy: Number(p.cy_mm),
            cz: Number(p.cz_mm),
            ct: p.ct_mm3.map(Number),
            wpl_y: p.plastic_mm3.map(|plastic| Number(plastic.0)),
            wpl_z: p.plastic_mm3.map(|plastic| Number(plastic.1)),
            mass_per_metre: Number(crate::beam::mass::tube_mass_kg(p.area_mm2, 1000.0, density_kg_m3)),
        }
    }
}
