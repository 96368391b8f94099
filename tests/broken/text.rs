//! The text itself: encoding, syntax, depth, keys given twice, wrong types.

use snapbox::str;

use super::{Model, car, stand};
use crate::support::read;

/// The stand in a text that begins with these bytes.
fn stand_after(bytes: &[u8]) -> Model {
    Model::of([bytes, read("models/stand.json").as_bytes()].concat())
}

/// The stand with this at the top, lists and objects nested so deep (the top object is 1).
fn nested(depth: usize) -> Model {
    let value = format!("{}{}", "[".repeat(depth - 1), "]".repeat(depth - 1));
    stand().with("\"format\": 1,", &format!("\"format\": 1, \"deep\": {value},"))
}

#[test]
fn bytes_that_are_not_utf_8_are_told_at_the_first_of_them() {
    let text = read("models/stand.json").replace("over a bench", "for ?50");
    let at = text.find('?').unwrap();
    let mut bytes = text.into_bytes();
    bytes[at] = 0xa3; // a pound sign in Latin-1
    Model::of(bytes).refused(str![[]]);
}

#[test]
fn utf_16_is_not_utf_8() {
    let wide: Vec<u8> = read("models/stand.json").encode_utf16().flat_map(u16::to_le_bytes).collect();
    Model::of([&[0xff, 0xfe], wide.as_slice()].concat()).refused(str![[]]);
}

#[test]
fn a_byte_order_mark_is_ignored() {
    stand_after("\u{feff}".as_bytes()).accepted();
}

#[test]
fn a_byte_order_mark_counts_as_no_column() {
    Model::of("\u{feff}{\"format\": 2}").refused(str![[]]);
}

#[test]
fn a_second_byte_order_mark_is_no_json() {
    stand_after("\u{feff}\u{feff}".as_bytes()).refused(str![[]]);
}

#[test]
fn an_empty_file_is_no_model() {
    Model::of("").refused(str![[]]);
}

#[test]
fn a_file_of_blanks_is_empty_too() {
    Model::of(" \n\t\r\n").refused(str![[]]);
}

#[test]
fn an_empty_object_is_told_every_key_that_a_model_must_have() {
    Model::of("{}").refused(str![[]]);
}

#[test]
fn a_list_at_the_top_is_no_model() {
    Model::of("[1, 2, 3]").refused(str![[]]);
}

#[test]
fn a_comma_after_the_last_entry_is_no_json() {
    stand().with("\"hoop\"},\n    \"lug\"", "\"hoop\",},\n    \"lug\"").refused(str![[]]);
}

#[test]
fn a_missing_comma_is_no_json() {
    stand().with("\"A\": [0, 0, 0],", "\"A\": [0, 0, 0]").refused(str![[]]);
}

#[test]
fn a_comment_is_no_json() {
    stand().with("\"format\": 1,", "\"format\": 1, // the version").refused(str![[]]);
}

#[test]
fn single_quotes_are_no_json() {
    stand().with("\"format\": 1,", "'format': 1,").refused(str![[]]);
}

#[test]
fn a_key_without_quotes_is_no_json() {
    stand().with("\"format\": 1,", "format: 1,").refused(str![[]]);
}

#[test]
fn nan_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": NaN").refused(str![[]]);
}

#[test]
fn infinity_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": -Infinity").refused(str![[]]);
}

#[test]
fn a_number_with_a_leading_zero_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": 01.5").refused(str![[]]);
}

#[test]
fn a_number_with_a_plus_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": +1.5").refused(str![[]]);
}

#[test]
fn a_number_that_begins_with_its_point_is_no_json() {
    stand().with("\"factor\": 1.5", "\"factor\": .5").refused(str![[]]);
}

#[test]
fn a_number_beyond_all_numbers_is_out_of_range() {
    stand().with("[600, 0, 500]", "[1e999, 0, -1e999]").refused(str![[]]);
}

#[test]
fn a_line_break_in_a_text_is_no_json() {
    stand().with("Invented data.", "Invented\ndata.").refused(str![[]]);
}

#[test]
fn an_unknown_escape_is_no_json() {
    stand().with("Invented data.", "Invented \\d.").refused(str![[]]);
}

#[test]
fn half_of_a_pair_of_surrogates_is_no_text() {
    stand().with("Invented data.", "Invented \\ud83d data.").refused(str![[]]);
}

#[test]
fn half_of_a_pair_of_surrogates_is_no_key() {
    stand().with("\"hanging\": {\"forces\"", "\"hang\\udc00ing\": {\"forces\"").refused(str![[]]);
}

#[test]
fn a_file_that_was_cut_off_ends_too_early() {
    let text = read("models/stand.json");
    Model::of(text[..text.find("\"lug\": {\"x\"").unwrap()].to_owned()).refused(str![[]]);
}

#[test]
fn a_second_value_behind_the_first_is_no_json() {
    Model::of(format!("{}{{}}\n", read("models/stand.json"))).refused(str![[]]);
}

#[test]
fn nesting_of_128_is_still_read() {
    nested(128).refused(str![[]]);
}

#[test]
fn nesting_of_129_is_refused() {
    nested(129).refused(str![[]]);
}

#[test]
fn a_key_given_twice_at_the_top_is_refused_wherever_it_stands() {
    stand().with("\"limits\": {\"yield\": 1.5, \"column\": 1.5},", "\"limits\": {}, \"mounts\": {},").refused(str![[]]);
}

#[test]
fn a_node_given_twice_is_refused() {
    stand().with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"A\": [0, 0, 10]").refused(str![[]]);
}

#[test]
fn a_key_given_twice_in_a_case_is_refused() {
    stand().with("\"factor\": 1.5", "\"factor\": 1.5, \"factor\": 2").refused(str![[]]);
}

#[test]
fn a_key_that_is_the_same_only_when_unescaped_is_given_twice_all_the_same() {
    stand().with("\"factor\": 1.5", "\"factor\": 1.5, \"f\\u0061ctor\": 2").refused(str![[]]);
}

#[test]
fn a_key_given_twice_hides_no_other_mistake() {
    stand()
        .with("\"E\": [300, 400, 500]", "\"E\": [300, 400, 500],\n    \"A\": [0, 0]")
        .with("\"od\": 38", "\"od\": -38")
        .refused(str![[]]);
}

#[test]
fn mistakes_are_told_in_the_order_of_their_places_all_in_one_run() {
    stand()
        .with("\"title\": \"A stand that holds an engine over a bench\"", "\"title\": 5")
        .with("\"od\": 38, \"wall\": 2", "\"od\": 38, \"wall\": 20")
        .with("[300, 400, 500]", "[300, 400]")
        .with("\"through\": [\"A\", \"B\"", "\"through\": [\"A\", \"Bee\"")
        .with("\"E\": {\"x\": 4000", "\"E\": {\"x\": -4000")
        .with("\"mass\": 80", "\"mass\": \"80 N\"")
        .with("\"g\": {\"vert\": 3}", "\"g\": {\"vertical\": 3}")
        .with("\"limits\": {\"yield\": 1.2}", "\"limits\": {\"yield\": 0}")
        .refused(str![[]]);
}

#[test]
fn columns_count_characters_and_lines_end_with_their_line_feed() {
    let text = read("models/stand.json").replace('\n', "\r\n");
    Model::of(text)
        .with("\"title\": \"A stand that", "\"title\": \"Größe 5 µm – a stand that")
        .with("over a bench\",", "over a bench\", \"mirrored\": true,")
        .refused(str![[]]);
}

#[test]
fn of_a_file_in_one_line_only_the_part_round_the_mistake_is_shown() {
    let text = read("models/stand.json").replace('\n', " ");
    Model::of(text).with("\"mass\": 80", "\"mass\": -80").refused(str![[]]);
}

#[test]
fn what_could_steer_a_terminal_is_shown_as_a_replacement_character() {
    stand().with("\"material\": \"steel\"", "\"material\": \"st\\u001b[31meel\\u202e\"").refused(str![[]]);
}

#[test]
fn null_stands_only_where_the_format_page_says_so() {
    stand()
        .with("\"notes\": \"Invented data.\"", "\"notes\": null")
        .with("\"inertia\": [2, 2, 3]", "\"inertia\": null")
        .with("\"ear\": \"one bolt\"", "\"ear\": null")
        .with("\"limits\": {\"yield\": 1.5, \"column\": 1.5}", "\"limits\": null")
        .refused(str![[]]);
}

#[test]
fn an_object_where_a_list_belongs_and_the_reverse_are_refused() {
    stand()
        .with("[600, 0, 500]", "{\"x\": 600}")
        .with("\"at\": [200, 0, 540]", "\"at\": {}")
        .with("[\"B\", \"E\"]", "{\"B\": \"E\"}")
        .with("\"cg\": [300, 0, 700]", "\"cg\": 300")
        .with("{\"C\": [0, 0, -1000]}", "[0, 0, -1000]")
        .refused(str![[]]);
}

#[test]
fn a_section_of_the_file_that_is_no_object_is_refused() {
    Model::of(
        r#"{
  "format": 1,
  "materials": [], "tubes": "main", "nodes": 4, "brackets": true, "members": [["A", "B"]],
  "mounts": null, "bodies": [], "vehicle": [], "corners": "none", "anti_roll": 0.5,
  "cases": [{"g": {}}], "limits": 1.5, "options": ["K brace"]
}
"#,
    )
    .refused(str![[]]);
}

#[test]
fn a_text_where_true_or_false_belongs_is_refused() {
    car().with("\"mirror\": true", "\"mirror\": \"yes\"").refused(str![[]]);
}

#[test]
fn another_format_is_not_read() {
    stand().with("\"format\": 1", "\"format\": 2").refused(str![[]]);
}

#[test]
fn the_format_is_a_number_and_no_text() {
    stand().with("\"format\": 1", "\"format\": \"1\"").refused(str![[]]);
}

#[test]
fn the_schema_of_an_editor_is_a_text() {
    stand().with("\"format\": 1", "\"$schema\": {}, \"format\": 1").refused(str![[]]);
}

#[test]
fn a_date_is_written_year_month_day() {
    stand().with("\"format\": 1", "\"format\": 1, \"date\": \"12.11.2026\"").refused(str![[]]);
}
