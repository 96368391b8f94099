//! Mass and weight: the one place where kilograms turn into tonnes (N = t · mm/s²).

use crate::units::GRAVITY_M_S2;

/// Kilograms in a tonne.
const KG_PER_TONNE: f64 = 1000.0;
/// Standard gravity, mm/s².
const GRAVITY_MM_S2: f64 = GRAVITY_M_S2 * 1000.0;

/// Mass of a length of tube, kg, from area (mm²), length (mm) and density (kg/m³).
pub fn tube_mass_kg(area_mm2: f64, length_mm: f64, density_kg_m3: f64) -> f64 {
    area_mm2 * length_mm * density_kg_m3 * 1e-9
}

/// Force of a mass under an acceleration in g, N.
pub fn force_n(mass_kg: f64, accel_g: f64) -> f64 {
    mass_kg / KG_PER_TONNE * (accel_g * GRAVITY_MM_S2)
}

/// Force per length of a tube under an acceleration in g, N/mm.
pub fn line_load_n_mm(area_mm2: f64, density_kg_m3: f64, accel_g: f64) -> f64 {
    force_n(tube_mass_kg(area_mm2, 1.0, density_kg_m3), accel_g)
}
