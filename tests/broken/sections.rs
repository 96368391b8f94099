//! Materials and tube sizes.

use snapbox::str;

use super::{Model, stand};

/// The stand with another section for its brace.
fn brace(section: &str) -> Model {
    stand().with("{\"square\": {\"side\": 25, \"wall\": 2}, \"material\"", &format!("{{{section}, \"material\"")).with(
        ",\n  \"options\": {\n    \"thicker\": {\"change\": {\n      \"tubes\": {\"brace\": {\"square\": {\"wall\": 3}}}\n    }}\n  }",
        "",
    )
}

#[test]
fn youngs_modulus_is_above_0() {
    stand().with("\"youngs_modulus\": 210000", "\"youngs_modulus\": 0").refused(str![[]]);
}

#[test]
fn the_shear_modulus_is_above_0() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": -81000").refused(str![[]]);
}

#[test]
fn poissons_ratio_is_not_above_a_half() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": 60000").refused(str![[]]);
}

#[test]
fn poissons_ratio_is_not_below_0() {
    stand().with("\"shear_modulus\": 81000", "\"shear_modulus\": \"106 GPa\"").refused(str![[]]);
}

#[test]
fn a_density_is_not_below_0() {
    stand().with("\"density\": 7850", "\"density\": -7850").refused(str![[]]);
}

#[test]
fn a_density_of_0_is_allowed() {
    stand().with("\"density\": 7850", "\"density\": 0").accepted();
}

#[test]
fn strengths_are_above_0() {
    stand().with("\"yield\": 235, \"ultimate\": 360", "\"yield\": 0, \"ultimate\": -1").refused(str![[]]);
}

#[test]
fn the_strength_beside_a_weld_is_above_0() {
    stand().with("\"yield_at_weld\": \"same\"", "\"yield_at_weld\": 0").refused(str![[]]);
}

#[test]
fn the_strength_beside_a_weld_has_no_default() {
    stand().with(", \"yield_at_weld\": \"same\"", "").refused(str![[]]);
}

#[test]
fn the_strength_beside_a_weld_is_a_stress_or_the_word_same() {
    stand().with("\"yield_at_weld\": \"same\"", "\"yield_at_weld\": \"as yield\"").refused(str![[]]);
}

#[test]
fn a_finish_is_hot_or_cold() {
    stand().with("\"finish\": \"cold\"", "\"finish\": \"cold drawn\"").refused(str![[]]);
}

#[test]
fn a_material_lacks_several_keys_at_once() {
    stand().with("\"youngs_modulus\": 210000, \"shear_modulus\": 81000, \"density\": 7850,", "").refused(str![[]]);
}

#[test]
fn a_tube_has_a_section() {
    brace("\"note\": \"to be measured\"").refused(str![[]]);
}

#[test]
fn a_tube_has_one_section_only() {
    brace("\"square\": {\"side\": 25, \"wall\": 2}, \"round\": {\"od\": 25, \"wall\": 2}").refused(str![[]]);
}

#[test]
fn an_unknown_section_names_the_nearest() {
    brace("\"sqare\": {\"side\": 25, \"wall\": 2}").refused(str![[]]);
}

#[test]
fn a_tube_has_a_material() {
    stand().with(", \"material\": \"E235+N\"", "").refused(str![[]]);
}

#[test]
fn a_diameter_is_above_0() {
    brace("\"round\": {\"od\": 0, \"wall\": 2}").refused(str![[]]);
}

#[test]
fn a_wall_is_above_0() {
    brace("\"round\": {\"od\": 25, \"wall\": -2}").refused(str![[]]);
}

#[test]
fn the_wall_of_a_round_tube_is_under_half_of_the_outside() {
    brace("\"round\": {\"od\": 25, \"wall\": 12.5}").refused(str![[]]);
}

#[test]
fn the_wall_of_a_square_tube_is_under_half_of_the_outside() {
    brace("\"square\": {\"side\": 25, \"wall\": 13}").refused(str![[]]);
}

#[test]
fn the_wall_of_a_rectangular_tube_is_under_half_of_the_smaller_side() {
    brace("\"rect\": {\"width\": 50, \"depth\": 20, \"wall\": 10}").refused(str![[]]);
}

#[test]
fn an_outer_radius_is_not_below_0() {
    brace("\"square\": {\"side\": 25, \"wall\": 2, \"outer_radius\": -1}").refused(str![[]]);
}

#[test]
fn an_outer_radius_is_at_most_half_the_smaller_side() {
    brace("\"rect\": {\"width\": 50, \"depth\": 20, \"wall\": 2, \"outer_radius\": 10.5}").refused(str![[]]);
}

#[test]
fn a_radius_of_the_standard_that_does_not_fit_is_told_where_it_could_be_given() {
    brace("\"square\": {\"side\": 25, \"wall\": 10}").refused(str![[]]);
}

#[test]
fn a_bar_and_a_flat_have_sizes_above_0() {
    brace("\"bar\": {\"od\": 0}").refused(str![[]]);
    brace("\"flat\": {\"width\": 40, \"thickness\": 0}").refused(str![[]]);
}

#[test]
fn a_flat_has_a_thickness_and_no_wall() {
    brace("\"flat\": {\"width\": 40, \"wall\": 5}").refused(str![[]]);
}

#[test]
fn a_given_section_has_all_its_figures() {
    brace("\"given\": {\"a\": 180, \"iy\": 16000, \"cy\": 12.5}").refused(str![[]]);
}

#[test]
fn the_figures_of_a_given_section_are_above_0() {
    brace(
        "\"given\": {\"a\": 0, \"iy\": -1, \"iz\": 0, \"j\": 0, \"ay\": 0, \"az\": -5, \"cy\": 0, \"cz\": 0, \"ct\": 0}",
    )
    .refused(str![[]]);
}
