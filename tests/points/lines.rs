//! Lines of a drawing.

use snapbox::str;

use super::{car, changed, done, refused};
use crate::support::program::{Ran, Scratch};

/// A frame to which the lines of a drawing are to come: valid but for what is missing.
const EMPTY: &str = r#"{
  "format": 1,
  "tubes": {"main": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
  "nodes": {},
  "members": {},
  "mounts": {},
  "cases": {"hanging": {"g": {}, "wheels": "none"}}
}
"#;

/// A drawing in a unit (a number of `$INSUNITS`) with these entities.
fn drawing(unit: u32, entities: &str) -> String {
    format!(
        "  0\r\nSECTION\r\n  2\r\nHEADER\r\n  9\r\n$INSUNITS\r\n 70\r\n{unit}\r\n  0\r\nENDSEC\r\n  0\r\nSECTION\r\n  2\r\n\
         ENTITIES\r\n{entities}  0\r\nENDSEC\r\n  0\r\nEOF\r\n"
    )
}

/// A line on a layer.
fn line(layer: &str, from: [f64; 3], to: [f64; 3]) -> String {
    let pair = |code: usize, value: f64| format!("{code:3}\r\n{value}\r\n");
    let point = |first: usize, at: [f64; 3]| (0..3).map(|axis| pair(first + 10 * axis, at[axis])).collect::<String>();
    format!("  0\r\nLINE\r\n  5\r\n1A\r\n  8\r\n{layer}\r\n{}{}", point(10, from), point(11, to))
}

/// The same for a mirrored model.
fn mirrored() -> Scratch {
    let folder = Scratch::new();
    folder.write("car.json", EMPTY.replace("\"nodes\"", "\"mirror\": true,\n  \"nodes\""));
    folder
}

/// A square frame of 500 with one corner open by 0.6, and a line to the model's node LF.l.
fn square() -> String {
    [
        line("0", [0.0, 0.0, 100.0], [500.0, 0.0, 100.0]),
        line("0", [500.0, 0.0, 100.0], [500.0, 500.0, 100.0]),
        line("rails", [500.0, 500.0, 100.0], [0.0, 500.0, 100.0]),
        line("rails", [0.0, 500.6, 100.0], [0.0, 0.0, 100.0]),
        line("tie", [500.0, 500.0, 100.0], [150.0, 250.0, 150.0]),
    ]
    .concat()
}

/// Runs `points car.json lines.dxf` with this drawing.
fn points(folder: &Scratch, drawing: &str, options: &[&str]) -> Ran {
    super::points(folder, "lines.dxf", drawing, options)
}

#[test]
fn a_square_of_lines_and_a_tie_become_four_nodes_and_five_members_in_the_style_of_the_file() {
    let folder = car();
    let ran = points(&folder, &drawing(4, &square()), &["--tube", "rail"]);
    done(
        &ran,
        str![[r#"
New nodes
  node        x        y        z
             mm       mm       mm
  P1.l  500.000  500.000  100.000
  P2.l    0.000  500.000  100.000
  P3      0.000    0.000  100.000
  P4    500.000    0.000  100.000
New members
  member     nodes
  line 1     P3, P4
  line 2.l   P4, P1.l
  rails 1.l  P1.l, P2.l
  rails 2.l  P2.l, P3
  tie 1.l    P1.l, LF.l
new nodes: 4, new members: 5
car.json was written

"#]],
        str![[r#"
note: the model is mirrored: it makes a twin .r of each new node and member .l
note: ends up to 0.6 mm apart were joined

"#]],
    );
    changed(
        &folder,
        &[
            (
                "\"TI.l\": [-110, 270, 190]\n",
                "\"TI.l\": [-110, 270, 190],\n    \"P1.l\": [500, 500, 100],\n    \"P2.l\": [0, 500, 100],\n    \"P3\": [0, 0, 100],\n    \"P4\": [500, 0, 100]\n",
            ),
            (
                "\"tower cross\": {\"ends\": [\"ST.l\", \"ST.r\"], \"tube\": \"rail\"}\n",
                "\"tower cross\": {\"ends\": [\"ST.l\", \"ST.r\"], \"tube\": \"rail\"},\n    \
                 \"line 1\": {\"ends\": [\"P3\", \"P4\"], \"tube\": \"rail\"},\n    \
                 \"line 2.l\": {\"ends\": [\"P4\", \"P1.l\"], \"tube\": \"rail\"},\n    \
                 \"rails 1.l\": {\"ends\": [\"P1.l\", \"P2.l\"], \"tube\": \"rail\"},\n    \
                 \"rails 2.l\": {\"ends\": [\"P2.l\", \"P3\"], \"tube\": \"rail\"},\n    \
                 \"tie 1.l\": {\"ends\": [\"P1.l\", \"LF.l\"], \"tube\": \"rail\"}\n",
            ),
        ],
    );
    // The same drawing again adds nothing.
    let before = folder.read("car.json");
    let ran = points(&folder, &drawing(4, &square()), &["--tube", "rail"]);
    done(
        &ran,
        str![[r#"
new nodes: 0, new members: 0
nothing changes; car.json was not written

"#]],
        str![[r#"
note: the line at line 15 of the file lies on "line 1" (from P3 to P4); left
  out
note: the line at line 33 of the file lies on "line 2.l" (from P4 to P1.l);
  left out
note: the line at line 51 of the file lies on "rails 1.l" (from P1.l to P2.l);
  left out
note: the line at line 69 of the file lies on "rails 2.l" (from P2.l to P3);
  left out
note: the line at line 87 of the file lies on "tie 1.l" (from P1.l to LF.l);
  left out
note: ends up to 0.6 mm apart were joined

"#]],
    );
    assert_eq!(folder.read("car.json"), before);
}

#[test]
fn a_smaller_join_leaves_the_corner_open() {
    let folder = car();
    let ran = points(&folder, &drawing(4, &square()), &["--tube", "rail", "--join", "0.5"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("new nodes: 5, new members: 5"), "{}", ran.stdout);
}

#[test]
fn the_first_lines_of_a_model_may_be_drawn() {
    let folder = Scratch::new();
    folder.write("car.json", EMPTY);
    let ran = points(&folder, &drawing(1, &line("0", [0.0, 0.0, 0.0], [10.0, 0.0, 20.5])), &["--tube", "main"]);
    done(
        &ran,
        str![[r#"
New nodes
  node        x      y        z
             mm     mm       mm
  P1      0.000  0.000    0.000
  P2    254.000  0.000  520.700
New members
  member  nodes
  line 1  P1, P2
new nodes: 2, new members: 1
car.json was written

"#]],
        str![],
    );
    assert_eq!(
        folder.read("car.json"),
        EMPTY
            .replace("\"nodes\": {}", "\"nodes\": {\n    \"P1\": [0, 0, 0],\n    \"P2\": [254, 0, 520.7]\n  }")
            .replace(
                "\"members\": {}",
                "\"members\": {\n    \"line 1\": {\"ends\": [\"P1\", \"P2\"], \"tube\": \"main\"}\n  }"
            ),
        "in inches, since the drawing says so"
    );
}

#[test]
fn an_end_on_another_line_makes_that_run_through_and_one_on_a_tube_of_the_model_is_told() {
    let folder = car();
    let lines = [
        line("floor", [-150.0, 250.0, 150.0], [150.0, 250.4, 150.2]), // where "lower rail.l" is
        line("floor", [0.0, 250.0, 150.0], [0.0, -250.0, 150.0]),     // from rail to rail
        line("floor", [-100.0, 0.0, 150.0], [0.3, 0.0, 150.0]),       // ends on that
        line("floor", [-150.0, 120.0, 180.0], [50.0, 93.4, 140.0]),   // from RC.l, crosses it
        line("floor", [40.0, 0.0, 900.0], [40.5, 0.0, 900.0]),        // too short
        line("tie", [-100.0, 0.0, 150.0], [-150.0, 120.0, 180.0]),    // to RC.l
        "  0\r\nARC\r\n 10\r\n0\r\n 20\r\n0\r\n 40\r\n5\r\n".to_owned(),
    ];
    let ran = points(&folder, &drawing(4, &lines.concat()), &["--tube", "rail", "--dry-run"]);
    done(
        &ran,
        str![[r#"
New nodes
  node         x        y        z
              mm       mm       mm
  P1.l     0.000  250.000  150.000
  P2.l    50.000   93.400  140.000
  P3    -100.000    0.000  150.000
  P4       0.300    0.000  150.000
New members
  member     nodes
  floor 2    P1.l, P4, P1.r
  floor 3    P3, P4
  floor 4.l  RC.l, P2.l
  tie 1.l    P3, RC.l
new nodes: 4, new members: 4
dry run: car.json was not written

"#]],
        str![[r#"
note: the line at line 87 of the file is 0.5 mm long, no longer than ends are
  joined over; left out
note: the line at line 15 of the file lies on "lower rail.l" (from LR.l to
  LF.l); left out
note: "floor 2" runs through P4, which lies on it
note: "lower rail.l" and "floor 2" meet at [0, 250, 150] and are not joined
  there: a node in both joins them, and so does a bracket on one that the
  other ends at
note: "lower rail.r" and "floor 2" meet at [0, -250, 150] and are not joined
  there: a node in both joins them, and so does a bracket on one that the
  other ends at
note: "floor 4.l" and "floor 2" meet at [0.2, 100, 150] and are not joined
  there: a node in both joins them, and so does a bracket on one that the
  other ends at
note: "floor 4.r" and "floor 2" meet at [0.2, -100, 150] and are not joined
  there: a node in both joins them, and so does a bracket on one that the
  other ends at
note: the model is mirrored: it makes a twin .r of each new node and member .l
note: ends up to 0.447 mm apart were joined
note: left out, since only straight lines are read: 1 ARC

"#]],
    );
}

#[test]
fn a_drawing_that_leaves_a_doubt_is_refused() {
    let refused = |drawing: &str, options: &[&str], message| refused(&car(), "lines.dxf", drawing, options, message);
    let sound = drawing(4, &square());
    refused(
        &sound,
        &[],
        str![[r#"
error: the lines of a drawing need a tube size
hint: --tube NAME, one of: rail, arm

"#]],
    );
    refused(
        &sound,
        &["--tube", "rial"],
        str![[r#"
error: there is no tube size "rial" in car.json
hint: did you mean "rail"?

"#]],
    );
    refused(
        &sound,
        &["--tube", "rail", "--join", "0"],
        str![[r#"
error: --join 0 is outside of 0.01 to 100 mm

"#]],
    );
    refused(
        &drawing(0, &square()),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf does not say what unit it is drawn in
hint: say it: --unit mm, or --unit in

"#]],
    );
    refused(
        &drawing(18, &square()),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf is in unit 18 of $INSUNITS, which is not known
hint: say it: --unit mm, or --unit in

"#]],
    );
    refused(
        &drawing(6, &square()),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:15: here a line is 500 m from the origin
hint: is the unit right? --unit says what the drawing is in
nothing was written

"#]],
    );
    refused(
        &sound.replace("EOF", "0"),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:107: the file ends before its EOF
hint: it may have been cut off: save it again
nothing was written

"#]],
    );
    refused(
        &sound.replace("500.6", "5oo"),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:78: "5oo" is not a number
nothing was written

"#]],
    );
    refused(
        &sound.replace(" 10\r\n", " x\r\n"),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:21: "x" is not a group code of DXF
hint: save the drawing as ASCII DXF
nothing was written

"#]],
    );
    refused(
        "AC\u{0}\u{1}",
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:1: this is not a DXF file in text form
hint: save the drawing as ASCII DXF
nothing was written

"#]],
    );
    refused(
        "",
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf:1: the file ends before its EOF
hint: it may have been cut off: save it again
nothing was written

"#]],
    );
}

#[test]
fn a_drawing_without_a_unit_is_read_in_the_unit_that_is_said() {
    let folder = car();
    let ran = points(&folder, &drawing(0, &square()), &["--tube", "rail", "--unit", "mm"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
}

#[test]
fn lines_that_all_cross_in_one_point_are_told_in_bounds() {
    let folder = mirrored();
    let spoke = |number: usize| {
        let angle = number as f64 * std::f64::consts::PI / 2000.0;
        let (x, y) = (9e4 * angle.cos(), 9e4 * angle.sin());
        line("0", [x, y, 900.0], [-x, -y, 900.0])
    };
    let star: String = (0..2000).map(spoke).collect();
    let ran = points(&folder, &drawing(4, &star), &["--tube", "main", "--dry-run"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    // All but two of the spokes are mirror images in pairs.
    assert!(ran.stdout.contains("new nodes: 2001, new members: 1001"), "{}", ran.stdout);
    assert!(ran.stderr.contains("note: and 963 more like these"), "{}", ran.stderr);
}

/// A bay of the left side, and its mirror image.
fn bay(side: f64) -> String {
    let at = |x: f64, y: f64, z: f64| [x, side * y, z];
    [
        line("bay", at(-400.0, 250.0, 500.0), at(-400.0, 250.0, 900.0)),
        line("bay", at(-400.0, 250.0, 900.0), at(-800.0, 200.0, 900.0)),
        line("bay", at(-800.0, 200.0, 900.0), at(-400.0, 250.0, 500.0)),
        // From the middle, and from side to side askew.
        line("bay", at(-800.0, 200.0, 900.0), [-800.0, 0.0, 700.0]),
        // To the model's UR.l.
        line("bay", at(-400.0, 250.0, 500.0), at(-120.0, 280.0, 400.0)),
        line("cross", at(-400.0, 250.0, 900.0), at(-800.0, -200.0, 900.0)),
    ]
    .concat()
}

#[test]
fn a_mirrored_model_takes_a_whole_drawing_as_its_left_half() {
    let across = line("cross", [-400.0, -250.0, 900.0], [-400.0, 250.0, 900.0]);
    // The right half before the left one, and after it.
    for lines in [[bay(-1.0), across.clone(), bay(1.0)].concat(), [across, bay(1.0), bay(-1.0)].concat()] {
        let folder = car();
        let ran = points(&folder, &drawing(4, &lines), &["--tube", "rail"]);
        assert_eq!(ran.code, Some(0), "{}", ran.stderr);
        assert!(ran.stdout.contains("new nodes: 4, new members: 7\n"), "{}", ran.stdout);
        assert!(
            ran.stderr
                .contains("note: 6 lines are mirror images of others; left out, since the mirror makes\n  them\n"),
            "{}",
            ran.stderr
        );
        let model = crate::support::load(&folder.read("car.json")).base;
        let mirrored = |name: &str| {
            let [left, right] = [".l", ".r"].map(|side| model.nodes[&format!("{name}{side}")].at);
            left.x == right.x && left.y == -right.y && left.y > 0.0 && left.z == right.z
        };
        assert!(["P1", "P2", "P3"].into_iter().all(mirrored), "{:?}", model.nodes.keys());
        assert!(!ran.stderr.contains("no twin"), "{}", ran.stderr);
        assert!(model.warnings.iter().all(|warning| !warning.contains("mirror image")), "{:?}", model.warnings);
        // Each line of the drawing is a tube of the model.
        let tubes = model.members.keys().filter(|name| name.starts_with("bay") || name.starts_with("cross "));
        assert_eq!(tubes.count(), 13);
    }
}

#[test]
fn what_a_mirrored_model_has_on_one_side_alone_is_told_and_keeps_its_place() {
    let lines = [
        line("left", [-400.0, 250.0, 500.0], [-400.0, 250.0, 900.0]),
        line("right", [-400.0, -250.0, 900.0], [-800.0, -200.0, 900.0]),
        line("askew", [-400.0, 250.0, 900.0], [-900.0, -100.0, 900.0]),
    ];
    let ran = points(&mirrored(), &drawing(4, &lines.concat()), &["--tube", "main", "--dry-run"]);
    done(
        &ran,
        str![[r#"
New nodes
  node         x         y        z
              mm        mm       mm
  P1.l  -400.000   250.000  500.000
  P2.l  -400.000   250.000  900.000
  P3    -800.000  -200.000  900.000
  P4    -900.000  -100.000  900.000
New members
  member    nodes
  left 1.l  P1.l, P2.l
  right 1   P2.r, P3
  askew 1   P2.l, P4
new nodes: 4, new members: 3
dry run: car.json was not written

"#]],
        str![[r#"
warning: member "right 1" is not its own mirror image and has no twin; if both
  sides have one, end its name in .l
warning: member "askew 1" is not its own mirror image and has no twin; if both
  sides have one, end its name in .l
note: the model is mirrored: it makes a twin .r of each new node and member .l
note: "right 1" gets no twin, though the model is mirrored: its mirror image
  is not drawn
note: "askew 1" gets no twin, though the model is mirrored: its mirror image
  is not drawn

"#]],
    );
}

#[test]
fn a_drawing_with_old_line_ends_is_read() {
    let old = drawing(4, &square()).replace("\r\n", "\r");
    let ran = points(&car(), &old, &["--tube", "rail"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stdout.contains("new nodes: 4, new members: 5"), "{}", ran.stdout);
}

#[test]
fn an_end_that_just_misses_a_node_is_told() {
    let folder = car();
    // UF.l is at [120, 280, 400], LF.l at [150, 250, 150].
    let missing = line("0", [120.0, 281.2, 400.0], [150.0, 250.0, 150.0]);
    let ran = points(&folder, &drawing(4, &missing), &["--tube", "rail", "--dry-run"]);
    done(
        &ran,
        str![[r#"
New nodes
  node        x        y        z
             mm       mm       mm
  P1.l  120.000  281.200  400.000
New members
  member    nodes
  line 1.l  P1.l, LF.l
new nodes: 1, new members: 1
dry run: car.json was not written

"#]],
        str![[r#"
note: new node P1.l misses UF.l by 1.2 mm; --join 2 makes one of them
note: the model is mirrored: it makes a twin .r of each new node and member .l

"#]],
    );
    let missing = line("0", [120.0, 281.2, 400.0], [300.0, 281.2, 400.0]);
    let ran = points(&folder, &drawing(4, &missing), &["--tube", "rail", "--join", "2", "--dry-run"]);
    assert!(
        ran.stdout.contains("  line 1.l  UF.l, P1.l\n") && !ran.stderr.contains("miss"),
        "{}{}",
        ran.stdout,
        ran.stderr
    );
}

/// In a mirrored model an end beside the middle misses its own mirror image, and what hangs on a twin
/// hangs on the model.
#[test]
fn near_misses_and_members_that_touch_nothing_are_told_with_the_twins_that_the_mirror_makes() {
    let folder = car();
    // UF.l is at [120, 280, 400].
    let to_the_middle = line("0", [120.0, 280.0, 400.0], [300.0, 0.8, 400.0]);
    let ran = points(&folder, &drawing(4, &to_the_middle), &["--tube", "rail", "--dry-run"]);
    let told = "note: new node P1.r misses P1.l by 1.6 mm; --join 2 makes one of them\n";
    assert!(ran.code == Some(0) && ran.stderr.contains(told), "{}", ran.stderr);
    let ran = points(&folder, &drawing(4, &to_the_middle), &["--tube", "rail", "--join", "2", "--dry-run"]);
    assert!(ran.stdout.contains("  line 1.l  UF.l, P1\n") && !ran.stderr.contains("miss"), "{}", ran.stderr);

    let left = line("0", [120.0, 280.0, 400.0], [300.0, 280.0, 400.0]);
    let right = line("0", [300.0, -280.0, 400.0], [300.0, -280.0, 700.0]);
    let ran = points(&folder, &drawing(4, &[left, right.clone()].concat()), &["--tube", "rail", "--dry-run"]);
    assert!(ran.stdout.contains("  line 2    P1.r, P2\n") && !ran.stderr.contains("touch"), "{}", ran.stderr);
    // Without the model's node on the left, neither hangs on anything.
    let left = line("0", [300.0, 280.0, 400.0], [400.0, 280.0, 400.0]);
    let ran = points(&folder, &drawing(4, &[left, right].concat()), &["--tube", "rail", "--dry-run"]);
    assert!(ran.stderr.contains("line 1.l, line 2 touch no node of car.json"), "{}", ran.stderr);
    assert_eq!(ran.code, Some(2));
}

#[test]
fn lines_that_touch_nothing_of_the_model_are_refused_with_the_nearest_node_and_what_to_do() {
    // UF.l is at [120, 280, 400].
    let missing = line("0", [120.0, 281.2, 400.0], [300.0, 281.2, 400.0]);
    let far = line("0", [500.0, 0.0, 900.0], [600.0, 0.0, 900.0]);
    refused(
        &car(),
        "lines.dxf",
        drawing(4, &[missing, far.clone()].concat()),
        &["--tube", "rail"],
        str![[r#"
note: new node P1.l misses UF.l by 1.2 mm; --join 2 makes one of them
error: lines.dxf: line 1.l, line 2 touch no node of car.json: they would be a frame of their own; the nearest of the ends is at [120, 281.2, 400], 1.2 mm from UF.l
hint: --join 2 makes these two one; else move them so that an end lies on a node
nothing was written

"#]],
    );
    refused(
        &car(),
        "lines.dxf",
        drawing(4, &far),
        &["--tube", "rail"],
        str![[r#"
error: lines.dxf: line 1 touches no node of car.json: it would be a frame of its own; the nearest of the ends is at [500, 0, 900], 675 mm from ST.l
hint: move it so that an end lies on a node, or say with --unit what the drawing is in
nothing was written

"#]],
    );
    // One that does touch does not save the other.
    let ran = points(&car(), &drawing(4, &[square(), far].concat()), &["--tube", "rail"]);
    assert!(ran.code == Some(2) && ran.stderr.contains("error: lines.dxf: line 3 touches no node"), "{}", ran.stderr);
}

#[test]
fn lines_that_would_touch_the_model_in_another_unit_raise_the_question() {
    // From LF.l at [150, 250, 150] to UF.l at [120, 280, 400].
    let in_units_of = |mm: f64| line("0", [150.0 / mm, 250.0 / mm, 150.0 / mm], [120.0 / mm, 280.0 / mm, 400.0 / mm]);
    let told = |unit: &str| format!("hint: --unit {unit}? with it, ends would lie on nodes of the model\n");
    for (unit, size) in [("in", 25.4), ("cm", 10.0)] {
        let ran = points(&car(), &drawing(4, &in_units_of(size)), &["--tube", "rail"]);
        assert!(ran.code == Some(2) && ran.stderr.contains(&told(unit)), "{unit}: {}", ran.stderr);
    }
    // In metres the line is too short to be one.
    let ran = points(&car(), &drawing(4, &in_units_of(1000.0)), &["--tube", "rail"]);
    assert!(
        ran.stdout.contains("nothing changes") && ran.stderr.contains("with --unit m some would"),
        "{}",
        ran.stderr
    );
    // In its own unit there is no question.
    let ran = points(&car(), &drawing(1, &in_units_of(25.4)), &["--tube", "rail"]);
    assert!(ran.code == Some(0) && !ran.stderr.contains("--unit"), "{}", ran.stderr);
}
