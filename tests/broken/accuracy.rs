//! Numbers so far apart that the arithmetic fails.

use snapbox::str;

use super::stand;

#[test]
fn a_rate_far_beyond_any_tube_is_not_solved_silently() {
    stand().with("{\"x\": 4000", "{\"x\": 1e25").refused(str![[]]);
}

#[test]
fn a_modulus_far_beyond_any_metal_is_not_solved_silently() {
    stand().with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000", "\"youngs_modulus\": 1e300").refused(str![[]]);
}

#[test]
fn a_modulus_far_below_any_metal_is_not_solved_silently() {
    stand()
        .with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000", "\"youngs_modulus\": 1e-300")
        .refused(str![[]]);
}

#[test]
fn a_place_beyond_arithmetic_is_refused() {
    stand().with("[300, 400, 500]", "[1e308, 400, -1e308]").refused(str![[]]);
}

#[test]
fn a_section_beyond_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e200, \"wall\": 1e199").refused(str![[]]);
}

#[test]
fn a_section_too_small_for_arithmetic_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 1e-200, \"wall\": 1e-201").refused(str![[]]);
}

#[test]
fn a_force_beyond_arithmetic_is_refused() {
    stand().with("[0, 0, -1000]", "[0, 0, -1e308]").refused(str![[]]);
}

#[test]
fn a_mass_beyond_arithmetic_is_refused() {
    stand().with("\"mass\": 80", "\"mass\": 1e308").refused(str![[]]);
}

#[test]
fn a_density_beyond_arithmetic_is_refused() {
    stand().with("\"density\": 7850", "\"density\": 1e308").refused(str![[]]);
}

#[test]
fn a_strength_beyond_arithmetic_is_refused() {
    stand().with("\"yield\": 235", "\"yield\": 1e-320").refused(str![[]]);
}
