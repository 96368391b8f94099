//! Quantities: a number in the default unit, or a text with its unit.

use snapbox::str;

use super::{car, stand};

#[test]
fn a_text_without_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38\"").refused(str![[]]);
}

#[test]
fn a_fraction_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1 1/2 in\"").with("\"side\": 25", "\"side\": \"1/2 in\"").refused(str![[]]);
}

#[test]
fn a_decimal_comma_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38,1 mm\"").refused(str![[]]);
}

#[test]
fn two_blanks_before_a_unit_are_one_too_many() {
    stand().with("\"od\": 38", "\"od\": \"38  mm\"").refused(str![[]]);
}

#[test]
fn a_blank_behind_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"38 mm \"").refused(str![[]]);
}

#[test]
fn a_unit_has_its_exact_letters() {
    stand().with("\"od\": 38", "\"od\": \"38 MM\"").refused(str![[]]);
}

#[test]
fn an_infinite_number_with_a_unit_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1e999 mm\"").refused(str![[]]);
}

#[test]
fn a_number_that_its_unit_makes_infinite_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"1e308 m\"").refused(str![[]]);
}

#[test]
fn a_text_that_does_not_begin_with_a_number_is_refused() {
    stand().with("\"od\": 38", "\"od\": \"about 38 mm\"").refused(str![[]]);
}

#[test]
fn a_word_is_no_length() {
    stand().with("\"od\": 38", "\"od\": \"\"").refused(str![[]]);
}

#[test]
fn a_mass_in_newtons_is_refused_with_what_a_newton_is() {
    stand().with("\"mass\": 80", "\"mass\": \"785 N\"").refused(str![[]]);
}

#[test]
fn a_moment_in_newtons_is_refused() {
    stand().with("[0, 150, 0]", "[0, \"150 N\", 0]").refused(str![[]]);
}

#[test]
fn a_turning_rate_per_millimetre_is_refused() {
    stand().with("\"rx\": 50", "\"rx\": \"50 N/mm\"").refused(str![[]]);
}

#[test]
fn a_rate_per_radian_is_refused() {
    stand().with("{\"x\": 4000", "{\"x\": \"4 N m/rad\"").refused(str![[]]);
}

#[test]
fn a_stress_in_kilonewtons_is_refused() {
    stand().with("\"yield\": 235", "\"yield\": \"235 kN/mm2\"").refused(str![[]]);
}

#[test]
fn a_density_in_pounds_per_foot_is_refused() {
    stand().with("\"density\": 7850", "\"density\": \"490 lb/ft3\"").refused(str![[]]);
}

#[test]
fn a_wire_gauge_is_for_walls_only() {
    stand().with("\"od\": 38", "\"od\": \"16 swg\"").refused(str![[]]);
}

#[test]
fn a_wire_gauge_is_whole() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"16.5 swg\"").refused(str![[]]);
}

#[test]
fn a_wire_gauge_beyond_the_table_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"0 swg\"").refused(str![[]]);
}

#[test]
fn a_wall_in_kilograms_is_refused() {
    stand().with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": \"2 kg\"").refused(str![[]]);
}

#[test]
fn a_number_without_a_unit_takes_no_text() {
    stand().with("\"factor\": 1.5", "\"factor\": \"1.5 x\"").refused(str![[]]);
}

#[test]
fn a_length_that_is_true_is_refused() {
    stand().with("\"od\": 38", "\"od\": true").refused(str![[]]);
}

#[test]
fn an_acceleration_in_newtons_is_refused() {
    car().with("\"long\": -1.1", "\"long\": \"-1.1 N\"").refused(str![[]]);
}

#[test]
fn an_angle_in_millimetres_is_refused() {
    car().with("\"toe\": 0.5", "\"toe\": \"0.5 mm\"").refused(str![[]]);
}

#[test]
fn a_twist_stiffness_per_radian_is_refused() {
    car().with("\"twist\": 200}", "\"twist\": \"200 N m/rad\"}").refused(str![[]]);
}

#[test]
fn a_frequency_in_revolutions_is_refused() {
    car().with("\"twist\": 200}", "\"frequency\": \"3000 1/min\"}").refused(str![[]]);
}

#[test]
fn an_inertia_in_kilograms_is_refused() {
    stand().with("\"inertia\": [2, 2, 3]", "\"inertia\": [2, \"2 kg\", 3]").refused(str![[]]);
}

#[test]
fn a_line_load_in_newtons_is_refused() {
    stand().with("[0, 0.2, 0]", "[0, \"0.2 N\", 0]").refused(str![[]]);
}

#[test]
fn figures_of_a_given_section_keep_their_power_of_a_length() {
    stand()
        .with(
            "{\"square\": {\"side\": 25, \"wall\": 2}",
            "{\"given\": {\"a\": \"180 mm\", \"iy\": \"1.6 cm2\", \"iz\": \"16000 mm4\", \"j\": 26000, \"ay\": \"80 mm3\", \"cy\": 12.5, \"cz\": 12.5, \"ct\": \"2 cm4\"}",
        )
        .refused(str![[]]);
}

#[test]
fn units_in_every_allowed_spelling_are_read() {
    stand()
        .with("\"od\": 38", "\"od\": \"1.5 in\"")
        .with("[0, 150, 0]", "[\"0 N·m\", \"150Nm\", \"0 N*m\"]")
        .with("\"side\": 25, \"wall\": 2", "\"side\": \"2.5 cm\", \"wall\": \"14 swg\"")
        .with("\"inertia\": [2, 2, 3]", "\"inertia\": [\"2 kg·m²\", \"2 kg m2\", \"3 kg*m²\"]")
        .accepted();
}
