//! Tables of points.

use proptest::prelude::*;
use serde_json::json;
use snapbox::str;

use super::{car, changed, done, points, refused};
use crate::laws::frames::frame;
use crate::support::program::{Ran, Scratch};
use crate::support::{read, repository_file};
use crossbrace::exchange::{place, read_table, write_points};
use crossbrace::model::drawn_points;
use crossbrace::source::Document;
use crossbrace::units::LengthUnit;

#[test]
fn all_points_of_a_model_go_out_under_the_names_that_they_come_in_with() {
    let ran = car().run(["points", "car.json", "--write-csv", "-"]);
    done(
        &ran,
        str![[r#"
name,x (mm),y (mm),z (mm)
LF.l,150,250,150
LR.l,-150,250,150
UF.l,120,280,400
UR.l,-120,280,400
ST.l,0,300,560
TI.l,-110,270,190
RC.l,-150,120,180
BB.l,150,200,120
front.l/wheel_centre,0,700,280
front.l/contact_patch,0,700,0
front.l/upper.outer,-10,610,410
front.l/lower.outer,10,640,160
front.l/tie_rod.outer,-110,625,200
front.l/spring.bottom,10,520,180
front/left.end,-20,540,110
front/left.foot,-20,545,190

"#]],
        str![],
    );
}

#[test]
fn points_that_went_out_and_come_back_move_nothing() {
    let folder = car();
    let ran = folder.run(["points", "car.json", "--write-csv", "out.csv"]);
    done(
        &ran,
        str![[r#"
16 points in out.csv

"#]],
        str![[r#"
note: right sides that the mirror makes are not in the table; they follow the
  left

"#]],
    );
    let ran = folder.run(["points", "car.json", "out.csv"]);
    done(
        &ran,
        str![[r#"
nothing moved
nothing changes; car.json was not written

"#]],
        str![],
    );
    changed(&folder, &[]);
}

#[test]
fn every_model_of_the_repository_survives_its_own_points_in_any_unit() {
    for name in ["cantilever", "portal", "hillclimb-front-subframe"] {
        let text = std::fs::read_to_string(repository_file(&format!("models/{name}.json"))).unwrap();
        for unit in ["mm", "in", "m", "thou"] {
            assert_eq!(there_and_back(&text, unit), text, "{name} in {unit}");
        }
    }
}

/// The text of a model after its points went out in a unit and came back.
fn there_and_back(text: &str, unit: &str) -> String {
    let document = Document::read(text.into()).unwrap();
    let points = drawn_points(&document.root);
    let table = write_points(
        points.iter().map(|point| (point.name.as_str(), point.at.unwrap())),
        LengthUnit::named(unit).unwrap(),
    );
    let rows = read_table(table.as_bytes(), None).rows;
    assert_eq!(rows.len(), points.len());
    if unit == "mm" {
        for (row, point) in rows.iter().zip(&points) {
            assert_eq!((row.name.as_str(), Some(row.at)), (point.name.as_str(), point.at), "to the last digit");
        }
    }
    let placed = place(&document, &rows, false).unwrap();
    assert_eq!((placed.moved.len(), placed.added.len(), placed.unmoved), (0, 0, points.len()));
    placed.text
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 64, ..ProptestConfig::default() })]

    #[test]
    fn the_points_of_a_random_frame_come_back_as_they_went(frame in frame(), unit in prop::sample::select(vec!["mm", "in", "ft"])) {
        let text = format!("{:#}\n", frame.0);
        prop_assert_eq!(there_and_back(&text, unit), text);
    }

    #[test]
    fn a_random_frame_moved_by_its_table_is_where_the_table_says(frame in frame(), by in prop::array::uniform3(-5000.0..5000.0_f64)) {
        let text = frame.0.to_string();
        let document = Document::read(text.into()).unwrap();
        let mut points = drawn_points(&document.root);
        points.iter_mut().for_each(|point| point.at = point.at.map(|at| at + nalgebra::Vector3::from(by)));
        let table = write_points(points.iter().map(|point| (point.name.as_str(), point.at.unwrap())), LengthUnit::MM);
        let rows = read_table(table.as_bytes(), None).rows;
        let moved = Document::read(place(&document, &rows, false).unwrap().text.into()).unwrap();
        prop_assert_eq!(drawn_points(&moved.root).len(), points.len());
        for (is, asked) in drawn_points(&moved.root).iter().zip(&points) {
            prop_assert!((is.at.unwrap() - asked.at.unwrap()).amax() <= 1e-9, "{}", is.name);
        }
    }
}

#[test]
fn only_the_numbers_that_change_are_written() {
    let folder = car();
    let table = "\u{feff}name;x;y;z\r\nUF.l;120;280,5;400\r\n\"front.l/upper.outer\";-12;612;410\r\n\
                 RC.l;-150;120;180\r\nfront/left.foot;-20;545;191\r\n";
    let ran = points(&folder, "scan.csv", table, &[]);
    done(
        &ran,
        str![[r#"
Points that move, furthest first
  point                moved    x by   y by   z by
                          mm      mm     mm     mm
  front.l/upper.outer  2.828  -2.000  2.000  0.000
  front/left.foot      1.000   0.000  0.000  1.000
  UF.l                 0.500   0.000  0.500  0.000
3 moved, 0 new, 1 where they were
car.json was written

"#]],
        str![],
    );
    changed(
        &folder,
        &[
            ("\"UF.l\": [120, 280, 400]", "\"UF.l\": [120, 280.5, 400]"),
            ("\"outer\": [-10, 610, 410]", "\"outer\": [-12, 612, 410]"),
            ("\"foot\": [-20, 545, 190]", "\"foot\": [-20, 545, 191]"),
        ],
    );
}

#[test]
fn line_ends_blanks_and_the_byte_order_mark_of_a_model_stay() {
    let folder = Scratch::new();
    let text = format!(
        "\u{feff}{}",
        read("models/car.json").replace('\n', "\r\n").replace("[150, 250, 150]", "[ 1.50e2,\t250.0 ,150 ]")
    );
    folder.write("car.json", &text);
    let ran = points(&folder, "scan.csv", "LF.l,150,250,151\n", &[]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert_eq!(folder.read("car.json"), text.replace("[ 1.50e2,\t250.0 ,150 ]", "[ 1.50e2,\t250.0 ,151 ]"));
}

#[test]
fn a_coordinate_with_a_unit_stays_in_its_unit() {
    let folder = Scratch::new();
    let text = read("models/car.json").replace("[120, 280, 400]", "[\"120 mm\", \"11 in\", \"0.4 m\"]");
    folder.write("car.json", &text);
    let ran = points(&folder, "scan.csv", "name,x (in),y (in),z (in)\nUF.l,4.75,11.1,15.8\n", &[]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let expected = text.replace("[\"120 mm\", \"11 in\", \"0.4 m\"]", "[\"120.65 mm\", \"11.1 in\", \"0.40132 m\"]");
    assert_eq!(folder.read("car.json"), expected);
}

#[test]
fn the_right_side_of_a_mirrored_model_is_compared_and_not_written() {
    let folder = car();
    let table = "UF.l,121,280,400\nUF.r,121,-280.009,400\nLF.r,150,-252,150\nfront.r/tie_rod.outer,-110,-625,203\nfront/right.end,-20,-540,110\n";
    let ran = points(&folder, "scan.csv", table, &[]);
    done(
        &ran,
        str![[r#"
Points that move, furthest first
  point  moved   x by   y by   z by
            mm     mm     mm     mm
  UF.l   1.000  1.000  0.000  0.000
1 moved, 0 new, 2 where they were
car.json was written

"#]],
        str![[r#"
warning: "LF.r" is 2 mm off the mirror image of "LF.l"; the model keeps the
  mirror image
warning: "front.r/tie_rod.outer" is 3 mm off the mirror image of
  "front.l/tie_rod.outer"; the model keeps the mirror image

"#]],
    );
    changed(&folder, &[("\"UF.l\": [120, 280, 400]", "\"UF.l\": [121, 280, 400]")]);
}

#[test]
fn an_unknown_name_becomes_a_node_at_the_end_of_the_list() {
    let folder = car();
    let ran = points(&folder, "scan.csv", "seat,-400,10.5,300\nZ.l,0,100,20\nZ.r,0,-100,20\n", &[]);
    done(
        &ran,
        str![[r#"
New nodes
  node         x        y        z
              mm       mm       mm
  seat  -400.000   10.500  300.000
  Z.l      0.000  100.000   20.000
0 moved, 2 new, 1 where they were
car.json was written

"#]],
        str![[r#"
note: a new node is no part of the frame until a member, body or corner part
  is attached to it

"#]],
    );
    changed(
        &folder,
        &[(
            "\"TI.l\": [-110, 270, 190]\n",
            "\"TI.l\": [-110, 270, 190],\n    \"seat\": [-400, 10.5, 300],\n    \"Z.l\": [0, 100, 20]\n",
        )],
    );
    let ran = points(&folder, "scan.csv", "seat,-400,10.5,301\n", &[]);
    assert_eq!(ran.code, Some(0), "a node on its own was known before: {}", ran.stderr);
}

#[test]
fn a_name_close_to_one_that_is_there_is_asked_about() {
    let folder = car();
    let ran = points(&folder, "scan.csv", "uf.l,1,2,3\n", &[]);
    let told = "error: scan.csv:1: there is no point \"uf.l\" in the model, but there is \"UF.l\"\n";
    assert!(ran.code == Some(2) && ran.stderr.starts_with(told), "{}", ran.stderr);
    let table = "UV.l,1,2,3\nfront.l/uper.outer,1,2,3\nseat,1,2,3\n";
    refused(
        &folder,
        "scan.csv",
        table,
        &[],
        str![[r#"
error: scan.csv:1: there is no point "UV.l" in the model, but there is "UF.l"
hint: write "UF.l" if that is meant; --add takes it as a new node
error: scan.csv:2: there is no point "front.l/uper.outer" in the model
hint: did you mean "front.l/upper.outer"?
nothing was written

"#]],
    );
    let ran = points(&folder, "scan.csv", "UV.l,1,2,3\n", &["--add", "--dry-run"]);
    done(
        &ran,
        str![[r#"
New nodes
  node      x      y      z
           mm     mm     mm
  UV.l  1.000  2.000  3.000
0 moved, 1 new, 0 where they were
dry run: car.json was not written

"#]],
        str![[r#"
note: a new node is no part of the frame until a member, body or corner part
  is attached to it

"#]],
    );
    changed(&folder, &[]);
}

#[test]
fn every_bad_line_is_told_and_nothing_is_written() {
    let table = "name,x,y,z\nUF.l,1,2\n\nUR.l,1,NaN,3\nLF.l,inf,2,3\nLR.l,1,2,x\nST.l,1,2,3\nST.l,1,2,4\n,1,2,3\n\
                 TI.l,1,2,3,4\nfront cross,1,2,3\nseat,1,2,2e6\na/b,1,2,3\nrack,1,2,3\n";
    refused(
        &car(),
        "scan.csv",
        table,
        &[],
        str![[r#"
error: scan.csv:2: "UF.l" has no z
error: scan.csv:4: "UR.l": y is "NaN", which is not a number
error: scan.csv:5: "LF.l": x is "inf", which is not a number
error: scan.csv:6: "LR.l": z is "x", which is not a number
error: scan.csv:8: "ST.l" stands in line 7 already
hint: take one of the two out
error: scan.csv:9: here a point has no name
hint: write the line as name,x,y,z
error: scan.csv:10: 5 values, where a point has four: name, x, y, z
hint: take out what is no coordinate
error: scan.csv:11: "front cross" is a member, which has no place of its own
hint: nodes, brackets, members and bodies do not share names: rename the point
error: scan.csv:12: "seat" is 2000 m from the origin
hint: is the unit right? --unit says what the numbers are in
error: scan.csv:13: there is no point "a/b" in the model
hint: there are: front.l/wheel_centre, front.l/contact_patch, front.l/upper.outer, front.l/lower.outer, front.l/tie_rod.outer, front.l/spring.bottom, front/left.end, front/left.foot
error: scan.csv:14: "rack" is a body, which has no place of its own
hint: nodes, brackets, members and bodies do not share names: rename the point
nothing was written

"#]],
    );
    let table = "UF.l,121,280,400\nUR.l,-120,280,4e9\nfront.r/wheel,0,0,0\n";
    refused(
        &car(),
        "scan.csv",
        table,
        &[],
        str![[r#"
error: scan.csv:2: "UR.l" is 4000000 m from the origin
hint: is the unit right? --unit says what the numbers are in
error: scan.csv:3: there is no point "front.r/wheel" in the model
hint: there are: front.l/wheel_centre, front.l/contact_patch, front.l/upper.outer, front.l/lower.outer, front.l/tie_rod.outer, front.l/spring.bottom, front/left.end, front/left.foot
nothing was written

"#]],
    );
}

#[test]
fn a_table_that_leaves_a_doubt_is_refused() {
    refused(
        &car(),
        "scan.csv",
        "UF.l;1,234;2;3\n",
        &[],
        str![[r#"
error: scan.csv:1: "1,234" may have a decimal comma, or one between its thousands
hint: write every number with a decimal point and nothing between its thousands
nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "UF.l,120,5,280,0,400,0\n",
        &[],
        str![[r#"
error: scan.csv:1: 7 values, where a point has four: name, x, y, z
hint: are these decimal commas? then separate the values with semicolons
nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "name,x (in),y (in),z (in)\nUF.l,1,2,3\n",
        &["--unit", "mm"],
        str![[r#"
error: scan.csv:1: the header says in, and --unit says mm
hint: take one of the two out
nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "UF.l,1,2,3\n",
        &["--unit", "inch"],
        str![[r#"
error: --unit inch is not a known unit of length
hint: lengths are in mm, cm, m, in, ft, thou

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        b"UF.l,1,2,3\nM\xfcller,1,2,3\n",
        &[],
        str![[r#"
error: scan.csv:2: this is not UTF-8 text
hint: save the table as UTF-8
nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "\n\n",
        &[],
        str![[r#"
error: scan.csv:1: there is no point in this table
hint: write lines of name,x,y,z
nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.xyz",
        "UF.l,1,2,3\n",
        &[],
        str![[r#"
error: what scan.xyz holds is told by its ending
hint: a table of points ends in .csv, .tsv or .txt, a drawing in .dxf

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "UF.l,1,2,3\n",
        &["--tube", "rail"],
        str![[r#"
error: --tube is for the lines of a DXF file, and scan.csv is a table

"#]],
    );
}

#[test]
fn points_that_would_break_the_model_are_refused_with_the_fault() {
    let table = "name,x,y,z\nfront.l/contact_patch,0,-700,0\n";
    refused(
        &car(),
        "scan.csv",
        table,
        &[],
        str![[r#"
error: car.json:50:38: corners.front.l.contact_patch: "front.l" is on the left, where y is above 0; here y is -700 mm
   |
50 |       "wheel_centre": [0, 700, 280], "contact_patch": [0, -700, 0], "unsprung": 20,
   |                                      ^^^^^^^^^^^^^^^

this is how car.json would be; nothing was written

"#]],
    );
    refused(
        &car(),
        "scan.csv",
        "UF.l,-120,280,400\n",
        &[],
        str![[r#"
error: car.json:14:5: nodes.UR.l: "UR.l" and "UF.l" are closer than 0.01 mm
   |
14 |     "UR.l": [-120, 280, 400],
   |     ^^^^^^
   |
   = hint: use one node for both

error: car.json:24:5: members.upper rail.l: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
24 |     "upper rail.l": {"ends": ["UF.l", "UR.l"], "tube": "rail"},
   |     ^^^^^^^^^^^^^^

error: car.json:51:50: corners.front.l.upper.outer: the wishbone's three points lie within 1 mm of a line
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |                                                  ^^^^^^^

3 problems in car.json

this is how car.json would be; nothing was written

"#]],
    );
}

#[test]
fn a_model_that_was_broken_before_may_stay_so_but_gets_no_worse() {
    let folder = Scratch::new();
    folder.write("car.json", read("models/car.json").replace("\"brake_share_front\": 0.6", "\"brake_share_front\": 6"));
    let ran = points(&folder, "scan.csv", "UF.l,121,280,400\n", &[]);
    done(
        &ran,
        str![[r#"
Points that move, furthest first
  point  moved   x by   y by   z by
            mm     mm     mm     mm
  UF.l   1.000  1.000  0.000  0.000
1 moved, 0 new, 0 where they were
car.json was written

"#]],
        str![[r#"
warning: car.json was no valid model before, and is none now; check tells what
  is wrong

"#]],
    );
    assert!(folder.read("car.json").contains("\"UF.l\": [121, 280, 400]"));
    refused(
        &folder,
        "scan.csv",
        "UF.l,-120,280,400\n",
        &[],
        str![[r#"
error: car.json:14:5: nodes.UR.l: "UR.l" and "UF.l" are closer than 0.01 mm
   |
14 |     "UR.l": [-120, 280, 400],
   |     ^^^^^^
   |
   = hint: use one node for both

error: car.json:24:5: members.upper rail.l: its two ends are 0 mm apart; less than 0.01 mm is no tube
   |
24 |     "upper rail.l": {"ends": ["UF.l", "UR.l"], "tube": "rail"},
   |     ^^^^^^^^^^^^^^

error: car.json:51:50: corners.front.l.upper.outer: the wishbone's three points lie within 1 mm of a line
   |
51 |       "upper": {"front": "UF.l", "rear": "UR.l", "outer": [-10, 610, 410], "tube": "arm"},
   |                                                  ^^^^^^^

3 problems in car.json

this is how car.json would be; nothing was written

"#]],
    );
}

#[test]
fn an_option_with_its_own_place_for_a_moved_point_is_told() {
    let folder = Scratch::new();
    let of_option = "\"members\": {\"diagonal.l\": null}, \"nodes\": {\"UF.l\": [119, 280, 400]}";
    folder.write("car.json", read("models/car.json").replace("\"members\": {\"diagonal.l\": null}", of_option));
    let ran = points(&folder, "scan.csv", "UF.l,121,280,400\n", &["--dry-run"]);
    assert_eq!(ran.stderr, "note: option \"no diagonal\" gives a place of its own to a point that moves\n");
    assert_eq!(ran.code, Some(0));
}

#[test]
fn a_dry_run_writes_nothing() {
    let folder = car();
    let ran = points(&folder, "scan.csv", "UF.l,123,284,400\nUR.l,-120,281,400\n", &["--dry-run"]);
    done(
        &ran,
        str![[r#"
Points that move, furthest first
  point  moved   x by   y by   z by
            mm     mm     mm     mm
  UF.l   5.000  3.000  4.000  0.000
  UR.l   1.000  0.000  1.000  0.000
2 moved, 0 new, 0 where they were
dry run: car.json was not written

"#]],
        str![],
    );
    changed(&folder, &[]);
}

#[test]
fn a_table_that_is_there_already_is_not_overwritten() {
    let folder = car();
    folder.write("scan.csv", "mine");
    let ran = folder.run(["points", "car.json", "--write-csv", "scan.csv"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert_eq!(
        ran.stderr,
        "error: scan.csv is there already and is not overwritten\nhint: move it away, or write to another file\n"
    );
    assert_eq!(folder.read("scan.csv"), "mine");
}

#[test]
fn a_model_from_stdin_gives_its_points_and_takes_none() {
    let folder = Scratch::new();
    let text = read("models/stand.json");
    let ran = folder.run_with_stdin(&["points", "-", "--write-csv", "-"], &text);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.starts_with("name,x (mm),y (mm),z (mm)\nA,0,0,0\n"), "{}", ran.stdout);
    folder.write("scan.csv", &ran.stdout);
    let ran = folder.run_with_stdin(&["points", "-", "scan.csv"], &text);
    assert_eq!(ran.stderr, "error: a model from stdin cannot be written back; name its file\n");
    assert_eq!(ran.code, Some(2));
}

#[cfg(target_os = "linux")]
#[test]
fn a_stdout_that_is_full_leaves_the_model_and_the_folder_as_they_were() {
    for arguments in [&["scan.csv"][..], &["--write-csv", "new.csv"]] {
        let folder = Scratch::new();
        // A byte-order mark and its line ends are put back too.
        folder.write("car.json", format!("\u{feff}{}", read("models/car.json").replace('\n', "\r\n")));
        folder.write("scan.csv", "UF.l,121,280,400\n");
        let before = folder.files();
        let mut command = folder.command(["points", "car.json"].iter().chain(arguments));
        command.stdout(std::fs::File::options().write(true).open("/dev/full").unwrap());
        let ran = Ran::of(&mut command);
        assert_eq!(ran.code, Some(2));
        assert!(ran.stderr.contains("error: cannot write to stdout"), "{}", ran.stderr);
        assert_eq!(folder.files(), before, "{arguments:?}");
    }
}

#[cfg(unix)]
#[test]
fn a_replaced_model_keeps_its_permissions_and_a_link_to_it_stays_a_link() {
    use std::os::unix::fs::{PermissionsExt, symlink};
    let folder = Scratch::new();
    folder.write("real/car.json", read("models/car.json"));
    let real = folder.path().join("real/car.json");
    std::fs::set_permissions(&real, std::fs::Permissions::from_mode(0o640)).unwrap();
    symlink("real/car.json", folder.path().join("car.json")).unwrap();
    let ran = points(&folder, "scan.csv", "UF.l,121,280,400\n", &[]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(folder.path().join("car.json").is_symlink());
    assert_eq!(std::fs::metadata(&real).unwrap().permissions().mode() & 0o777, 0o640);
    changed(&folder, &[("\"UF.l\": [120, 280, 400]", "\"UF.l\": [121, 280, 400]")]);
    let left: Vec<_> =
        std::fs::read_dir(folder.path().join("real")).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["car.json"], "no temporary file is left");
}

#[test]
fn corners_of_every_kind_have_their_points() {
    let text = r#"{"corners": {
        "rear.l": {"kind": "strut", "strut": {"bottom": [1, 2, 3]}, "lower": {"outer": ["1 in", 0, 0]}},
        "rear.r": {"kind": "trailing arm", "arm": {"hub": [4, 5, 6]}, "spring": {"bottom": [7, 8, 9]}},
        "front.l": {"kind": "links", "links": {"toe.x": {"outer": [1, 1, 1]}}, "wheel_centre": [0, 0, "x"]}
    }}"#;
    let document = Document::read(text.into()).unwrap();
    let points: Vec<(String, Option<[f64; 3]>)> =
        drawn_points(&document.root).into_iter().map(|point| (point.name, point.at.map(Into::into))).collect();
    assert_eq!(
        points,
        [
            ("rear.l/strut.bottom".to_owned(), Some([1.0, 2.0, 3.0])),
            ("rear.l/lower.outer".to_owned(), Some([25.4, 0.0, 0.0])),
            ("rear.r/arm.hub".to_owned(), Some([4.0, 5.0, 6.0])),
            ("rear.r/spring.bottom".to_owned(), Some([7.0, 8.0, 9.0])),
            ("front.l/links.toe.x.outer".to_owned(), Some([1.0, 1.0, 1.0])),
            ("front.l/wheel_centre".to_owned(), None),
        ]
    );
}

#[test]
fn a_point_that_moves_to_the_other_side_of_the_car_is_told_before_it_is_checked() {
    let ran = points(&car(), "scan.csv", "TI.l,-110,-270,190\n", &["--dry-run"]);
    assert_eq!(ran.code, Some(0));
    let told = "warning: \"TI.l\" lies on the other side of the car than its name says: a sign of y?\n";
    assert!(ran.stderr.replace("\n  ", " ").contains(told), "{}", ran.stderr);
    // Also where a new node still lacks its member, so that the model is not valid yet.
    let ran = points(&car(), "scan.csv", "Z.l,0,-100,20\nTI.l,-110,270,190\n", &["--dry-run"]);
    assert!(ran.stderr.starts_with("warning: \"Z.l\" lies on the other side of the car"), "{}", ran.stderr);
}

#[test]
fn points_in_metres_are_asked_about() {
    let table = "UF.l,0.121,0.281,0.402\nUR.l,-0.122,0.279,0.401\nTI.l,-0.11,0.27,0.19\n";
    let told =
        "most points that move would stay about where they are if the numbers of scan.csv were in m; --unit m?\n";
    // Of these no wishbone can be made.
    let ran = points(&car(), "scan.csv", table, &["--dry-run"]);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.ends_with(&format!("\nhint: {told}")), "{}", ran.stderr);
    let ran = points(&car(), "scan.csv", "TI.l,-0.111,0.27,0.19\n", &["--dry-run"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stderr.replace("\n  ", " ").contains(&format!("warning: {told}")), "{}", ran.stderr);
    let ran = points(&car(), "scan.csv", table, &["--dry-run", "--unit", "m"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
}

#[test]
fn what_stands_beside_the_points_of_a_table_is_left_out_and_told() {
    let table = "Messung 3. Mai\nPunkt;x;y;z;Bemerkung\nUF.l;120,5;280,0;400;tape\nUR.l;\u{2212}120 mm;280;400;\n";
    let ran = points(&car(), "scan.csv", table, &["--dry-run"]);
    done(
        &ran,
        str![[r#"
Points that move, furthest first
  point  moved   x by   y by   z by
            mm     mm     mm     mm
  UF.l   0.500  0.500  0.000  0.000
1 moved, 0 new, 1 where they were
dry run: car.json was not written

"#]],
        str![[r#"
note: of scan.csv one line was left out above the header
note: of scan.csv what stands behind z (Bemerkung) was left out

"#]],
    );
}

/// N3 stands on N2 already; moved onto N1 it is as wrong, and in another way.
#[test]
fn a_point_that_moves_from_one_mistake_into_another_is_refused() {
    let model = json!({
        "format": 1,
        "tubes": {"size": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
        "nodes": {"N1": [0, 0, 500], "N2": [800, 0, 500], "N3": [800.001, 0, 500], "N4": [1500, 0, 500]},
        "members": {
            "a": {"ends": ["N1", "N2"], "tube": "size"},
            "b": {"ends": ["N2", "N4"], "tube": "size"},
            "c": {"ends": ["N3", "N4"], "tube": "size"}
        },
        "mounts": {"N1": "bolted pad"},
        "cases": {"load": {"forces": {"N4": [0, 0, -300]}}}
    })
    .to_string();
    let folder = Scratch::new();
    folder.write("car.json", &model);
    let ran = points(&folder, "points.csv", "N3,0.001,0,500\n", &[]);
    assert_eq!(ran.code, Some(2), "{}", ran.stdout);
    assert!(ran.stderr.contains("\"N3\" and \"N1\" are closer than 0.01 mm"), "{}", ran.stderr);
    assert_eq!(folder.read("car.json"), model);
    let ran = points(&folder, "points.csv", "N3,800.002,0,500\n", &[]);
    assert_eq!(ran.code, Some(0), "the mistake is the one that was there: {}", ran.stderr);
}

/// A terminal obeys no name of a file.
#[cfg(unix)]
#[test]
fn a_file_name_with_control_characters_is_shown_without_them() {
    let folder = car();
    for (file, text) in [("a\u{1b}[31mred.csv", "LF.l,1\n"), ("a\u{1b}[31mred.xyz", ""), ("a\u{1b}[31mred.dxf", "0\n")]
    {
        let options: &[&str] = if file.ends_with("dxf") { &["--tube", "rail"] } else { &[] };
        let ran = points(&folder, file, text, options);
        assert_eq!(ran.code, Some(2));
        assert!(ran.stderr.contains("[31mred") && !ran.stderr.contains('\u{1b}'), "{:?}", ran.stderr);
    }
    let ran = folder.run(["points", "car.json", "--write-csv", "b\u{1b}[31mred.csv"]);
    assert!(ran.code == Some(0) && !ran.stdout.contains('\u{1b}'), "{:?}", ran.stdout);
}

#[test]
fn a_point_that_goes_under_the_ground_or_to_its_mirror_image_raises_the_question_after_a_sign() {
    let told = |table: &str| points(&car(), "scan.csv", table, &["--dry-run"]).stderr;
    // LF.l is at [150, 250, 150], UF.l at [120, 280, 400].
    let slipped = told("LF.l,150,250,-152\nUF.l,-121,281,402\n");
    for (axis, name) in [("z", "LF.l"), ("x", "UF.l")] {
        let question = format!("with the other sign of {axis} {name} is about where it was: a sign of {axis}?");
        assert!(slipped.replace("\n  ", " ").contains(&question), "{slipped}");
    }
    assert!(!slipped.contains("under the ground"), "asked once: {slipped}");
    let under = told("LF.l,150,250,-40\n").replace("\n  ", " ");
    assert!(under.contains("\"LF.l\" lies 40 mm under the ground, z = 0, where nothing was: a sign of z?"), "{under}");
    let sound = told("LF.l,150,250,60\nUF.l,-20,281,402\n");
    assert!(!sound.contains("sign"), "{sound}");
}

#[test]
fn a_right_point_on_the_left_raises_the_question_after_the_sign_of_y() {
    let ran = points(&car(), "scan.csv", "LF.r,150,250,151\nUF.r,120,-270,400\n", &["--dry-run"]);
    done(
        &ran,
        str![[r#"
nothing moved
nothing changes; car.json was not written

"#]],
        str![[r#"
warning: "LF.r" is 500 mm off the mirror image of "LF.l": it lies on the other
  side of the car than its name says, a sign of y? The model keeps the mirror
  image
warning: "UF.r" is 10 mm off the mirror image of "UF.l"; the model keeps the
  mirror image

"#]],
    );
}

#[test]
fn a_fraction_in_a_table_is_told_as_a_decimal_number() {
    let ran = points(&car(), "scan.csv", "LF.l,5 7/8 in,10,6 5/8 in\n", &[]);
    let hint = "hint: write the fraction as a decimal number: 5.875 in\n";
    assert!(ran.code == Some(2) && ran.stderr.contains(hint), "{}", ran.stderr);
}
