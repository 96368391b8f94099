//! Corners whose forces statics alone gives, against statics in whole numbers.
//!
//! Every pick-up is bolted to the ground, so that nothing depends on stiffness. Places and forces are
//! whole millimetres and newtons; the equations of equilibrium are solved exactly.

mod exact;

use serde_json::{Value, json};

use crate::support::values::{entries, number, vector};
use crate::support::{load, result};
use exact::solve;

type Whole = [i64; 3];

const CENTRE: Whole = [0, 700, 300];
const PATCH: Whole = [0, 700, 0];
const FORCE: Whole = [-2300, 1700, 4100];

fn cross(a: Whole, b: Whole) -> Whole {
    [a[1] * b[2] - a[2] * b[1], a[2] * b[0] - a[0] * b[2], a[0] * b[1] - a[1] * b[0]]
}

fn less(a: Whole, b: Whole) -> Whole {
    [a[0] - b[0], a[1] - b[1], a[2] - b[2]]
}

fn dot(a: Whole, b: Whole) -> i64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

/// A column of the six equations of equilibrium about the origin, for a force along `along` at `at`.
fn wrench(along: Whole, at: Whole) -> [i64; 6] {
    let moment = cross(at, along);
    [along[0], along[1], along[2], moment[0], moment[1], moment[2]]
}

/// Three columns: a force at a place in each direction.
fn any_force(at: Whole) -> [[i64; 6]; 3] {
    [wrench([1, 0, 0], at), wrench([0, 1, 0], at), wrench([0, 0, 1], at)]
}

/// Forces that hold an upright against the tyre's force, one for each column; `more`: further
/// equations with nothing on their right side.
fn holding(columns: &[[i64; 6]], more: Vec<Vec<i64>>) -> Vec<f64> {
    let mut rows: Vec<Vec<i64>> = (0..6).map(|row| columns.iter().map(|column| column[row]).collect()).collect();
    rows.extend(more);
    let mut right: Vec<i64> = wrench(FORCE, PATCH).iter().map(|value| -value).collect();
    right.resize(rows.len(), 0);
    solve(&rows, &right)
}

/// The result of the corner `front.l` with all its nodes bolted to the ground.
fn solved(nodes: &[(&str, Whole)], corner: Value) -> Value {
    let mut corner = corner;
    let keys = corner.as_object_mut().unwrap();
    keys.insert("wheel_centre".to_owned(), json!(CENTRE));
    keys.insert("contact_patch".to_owned(), json!(PATCH));
    let all = |value: &dyn Fn(&Whole) -> Value| -> Value {
        nodes.iter().map(|(name, at)| ((*name).to_owned(), value(at))).collect::<serde_json::Map<_, _>>().into()
    };
    let model = json!({
        "format": 1,
        "tubes": {"arm": {"round": {"od": 30, "wall": 2}, "material": "E235+N"}},
        "nodes": all(&|at| json!(at)),
        "members": {},
        "mounts": all(&|_| json!("one bolt")),
        "corners": {"front.l": corner},
        "cases": {"kerb": {"wheels": {"front.l": {"force": FORCE, "at": "patch"}}}},
    });
    result(&load(&model.to_string()).base)["cases"]["kerb"].clone()
}

/// The force of the corner on a node.
fn on_node(case: &Value, node: &str) -> [f64; 3] {
    vector(&case["pickups"][node]["force"]).into()
}

#[track_caller]
fn assert_force(found: [f64; 3], wanted: [f64; 3], what: &str) {
    let size = wanted.iter().map(|value| value.abs()).fold(1.0, f64::max);
    for (found, wanted) in found.iter().zip(wanted) {
        assert!((found - wanted).abs() <= 1e-9 * size, "{what}: {found} and {wanted}, largest {size}");
    }
}

fn scaled(along: Whole, density: f64) -> [f64; 3] {
    along.map(|value| value as f64 * density)
}

fn sum(forces: &[[f64; 3]]) -> [f64; 3] {
    forces.iter().fold([0.0; 3], |sum, force| [sum[0] + force[0], sum[1] + force[1], sum[2] + force[2]])
}

#[test]
fn five_links_and_a_spring_carry_what_six_equations_say() {
    let links: [(&str, Whole, Whole); 6] = [
        ("a", [160, 330, 160], [10, 640, 150]),
        ("b", [-170, 320, 170], [-15, 642, 155]),
        ("c", [140, 360, 410], [12, 600, 420]),
        ("d", [-150, 350, 400], [-14, 604, 415]),
        ("e", [130, 340, 230], [120, 630, 240]),
        ("top", [-20, 300, 620], [-10, 560, 200]),
    ];
    let nodes: Vec<(&str, Whole)> = links.iter().map(|(name, inner, _)| (*name, *inner)).collect();
    let drawn: serde_json::Map<String, Value> = links[..5]
        .iter()
        .map(|(name, _, outer)| (format!("link {name}"), json!({"inner": name, "outer": outer, "tube": "arm"})))
        .collect();
    let spring = json!({"top": "top", "bottom": links[5].2, "on": "upright"});
    let case = solved(&nodes, json!({"kind": "links", "links": drawn, "spring": spring}));
    let columns: Vec<[i64; 6]> = links.iter().map(|(_, inner, outer)| wrench(less(*inner, *outer), *outer)).collect();
    let densities = holding(&columns, Vec::new());
    for ((name, inner, outer), density) in links.iter().zip(&densities) {
        assert_force(on_node(&case, name), scaled(less(*inner, *outer), -density), name);
    }
}

/// The equation that a ball's force has no moment about the line of its arm's pivots, in three
/// columns of `of` unknowns from `first` on.
fn no_moment(pivots: [Whole; 2], ball: Whole, first: usize, of: usize) -> Vec<i64> {
    // (ball − pivot) × F · line = F · (line × (ball − pivot))
    let lever = cross(less(pivots[1], pivots[0]), less(ball, pivots[0]));
    let mut row = vec![0; of];
    row[first..first + 3].copy_from_slice(&lever);
    row
}

const UPPER: [Whole; 3] = [[150, 350, 420], [-140, 345, 410], [-8, 600, 430]];
const LOWER: [Whole; 3] = [[180, 300, 150], [-190, 310, 160], [6, 640, 150]];
const TIE_ROD: [Whole; 2] = [[110, 330, 210], [120, 620, 220]];
const TOP: Whole = [-15, 280, 640];

fn wishbone(front: &str, rear: &str, outer: Whole) -> Value {
    json!({"front": front, "rear": rear, "outer": outer, "tube": "arm"})
}

fn tie_rod() -> Value {
    json!({"inner": "K", "outer": TIE_ROD[1], "tube": "arm"})
}

#[test]
fn two_wishbones_a_tie_rod_and_a_spring_carry_what_eight_equations_say() {
    let bottom = [5, 560, 190];
    let nodes = [("UF", UPPER[0]), ("UR", UPPER[1]), ("LF", LOWER[0]), ("LR", LOWER[1]), ("K", TIE_ROD[0]), ("T", TOP)];
    let case = solved(
        &nodes,
        json!({
            "kind": "double wishbone",
            "upper": wishbone("UF", "UR", UPPER[2]),
            "lower": wishbone("LF", "LR", LOWER[2]),
            "tie_rod": tie_rod(),
            "spring": {"top": "T", "bottom": bottom, "on": "upright"},
        }),
    );
    let mut columns = any_force(UPPER[2]).to_vec();
    columns.extend(any_force(LOWER[2]));
    columns.push(wrench(less(TIE_ROD[0], TIE_ROD[1]), TIE_ROD[1]));
    columns.push(wrench(less(TOP, bottom), bottom));
    let more = vec![no_moment([UPPER[0], UPPER[1]], UPPER[2], 0, 8), no_moment([LOWER[0], LOWER[1]], LOWER[2], 3, 8)];
    let found = holding(&columns, more);
    let arm = |front, rear| sum(&[on_node(&case, front), on_node(&case, rear)]);
    assert_force(arm("UF", "UR"), [-found[0], -found[1], -found[2]], "upper arm");
    assert_force(arm("LF", "LR"), [-found[3], -found[4], -found[5]], "lower arm");
    assert_force(on_node(&case, "K"), scaled(less(TIE_ROD[0], TIE_ROD[1]), -found[6]), "tie rod");
    assert_force(on_node(&case, "T"), scaled(less(TOP, bottom), -found[7]), "spring");
}

#[test]
fn a_strut_an_arm_and_a_tie_rod_carry_what_seven_equations_say() {
    let nodes = [("LF", LOWER[0]), ("LR", LOWER[1]), ("K", TIE_ROD[0]), ("T", TOP)];
    let case = solved(
        &nodes,
        json!({
            "kind": "strut",
            "lower": wishbone("LF", "LR", LOWER[2]),
            "tie_rod": tie_rod(),
            "strut": {"top": "T", "bottom": [-5, 590, 290], "tube": "arm"},
        }),
    );
    let mut columns = any_force(LOWER[2]).to_vec();
    columns.push(wrench(less(TIE_ROD[0], TIE_ROD[1]), TIE_ROD[1]));
    columns.extend(any_force(TOP));
    let found = holding(&columns, vec![no_moment([LOWER[0], LOWER[1]], LOWER[2], 0, 7)]);
    let arm = sum(&[on_node(&case, "LF"), on_node(&case, "LR")]);
    assert_force(arm, [-found[0], -found[1], -found[2]], "lower arm");
    assert_force(on_node(&case, "K"), scaled(less(TIE_ROD[0], TIE_ROD[1]), -found[3]), "tie rod");
    assert_force(on_node(&case, "T"), [-found[4], -found[5], -found[6]], "top of the strut");
}

/// Along the line of the pivots the two share by their stiffness, so that only the sum is statics'.
#[test]
fn a_trailing_arm_and_its_spring_carry_what_statics_says() {
    let pivots: [Whole; 2] = [[520, 620, 310], [500, 240, 300]];
    let (hub, bottom) = ([10, 640, 305], [60, 560, 330]);
    let case = solved(
        &[("P1", pivots[0]), ("P2", pivots[1]), ("T", TOP)],
        json!({
            "kind": "trailing arm",
            "arm": {"pivots": ["P1", "P2"], "hub": hub, "tube": "arm"},
            "spring": {"top": "T", "bottom": bottom, "on": "upright"},
        }),
    );
    // Moments about the line of the pivots: the spring alone balances the tyre.
    let line = less(pivots[1], pivots[0]);
    let about = |force: Whole, at: Whole| dot(cross(less(at, pivots[0]), force), line);
    let along = less(TOP, bottom);
    let density = -about(FORCE, PATCH) as f64 / about(along, bottom) as f64;
    assert_force(on_node(&case, "T"), scaled(along, -density), "spring");
    let rest = sum(&[scaled(FORCE, 1.0), scaled(along, density)]);
    assert_force(sum(&[on_node(&case, "P1"), on_node(&case, "P2")]), rest, "pivots");
    // Moments about the first pivot, square to the line: the second pivot's force square to it.
    let moment = |force: [f64; 3], at: Whole| {
        let arm = less(at, pivots[0]).map(|value| value as f64);
        [
            arm[1] * force[2] - arm[2] * force[1],
            arm[2] * force[0] - arm[0] * force[2],
            arm[0] * force[1] - arm[1] * force[0],
        ]
    };
    let loads = sum(&[moment(scaled(FORCE, 1.0), PATCH), moment(scaled(along, density), bottom)]);
    let held = moment(on_node(&case, "P2"), pivots[1]);
    assert_force(held, loads, "moment about the first pivot");
}

#[test]
fn every_corner_tube_of_a_corner_of_rods_only_pulls_or_pushes() {
    let nodes = [("LF", LOWER[0]), ("LR", LOWER[1]), ("K", TIE_ROD[0]), ("T", TOP)];
    let case = solved(
        &nodes,
        json!({
            "kind": "strut",
            "lower": wishbone("LF", "LR", LOWER[2]),
            "tie_rod": tie_rod(),
            "strut": {"top": "T", "bottom": [-5, 590, 290], "tube": "arm"},
        }),
    );
    let tie_rod = &case["members"]["front.l/tie_rod"]["along"];
    for station in tie_rod.as_array().unwrap() {
        for (key, value) in entries(station) {
            let bends = !["at", "n"].contains(&key.as_str());
            assert!(!bends || number(value).abs() < 1e-6, "{key} of a tie rod is {value}");
        }
    }
}

/// A mount on a bracket that is welded to a strut at its foot holds the upright itself.
#[test]
fn a_mount_on_an_upright_holds_it_as_stiff_rates_do() {
    let corner = json!({
        "kind": "strut",
        "lower": wishbone("LF", "LR", LOWER[2]),
        "tie_rod": tie_rod(),
        "strut": {"top": "T", "bottom": [-5, 590, 290], "tube": "arm"},
        "wheel_centre": CENTRE,
        "contact_patch": PATCH,
    });
    let held = |mount: Value| {
        let model = json!({
            "format": 1,
            "tubes": {"arm": {"round": {"od": 30, "wall": 2}, "material": "E235+N"}},
            "nodes": {"LF": LOWER[0], "LR": LOWER[1], "K": TIE_ROD[0], "T": TOP},
            "brackets": {"B": {"at": [20, 590, 291], "on": "front.l/strut"}},
            "members": {},
            "mounts": {"LF": "one bolt", "LR": "one bolt", "K": "one bolt", "T": "one bolt", "B": mount},
            "corners": {"front.l": corner},
            "cases": {"kerb": {"wheels": {"front.l": {"force": FORCE, "at": "patch"}}}},
        });
        result(&load(&model.to_string()).base)["cases"]["kerb"].clone()
    };
    let rigid = held(json!("one bolt"));
    let stiff = held(json!({"x": 1e9, "y": 1e9, "z": 1e9}));
    for node in ["LF", "LR", "K", "T", "B"] {
        let forces = [&rigid, &stiff].map(|case| vector(&case["mounts"][node]["force"]));
        let apart = (forces[0] - forces[1]).norm();
        // A rate of 1e9 N/mm lets go by some 1e-6 mm, a part of 1e-4 of what the tubes give.
        assert!(apart < 2e-2 * (1.0 + forces[0].norm()), "{node}: {} and {}", forces[0], forces[1]);
    }
}
