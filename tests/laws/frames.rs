//! Random frames: connected, mixed and valid; most of them stand.
//!
//! A frame is drawn from plain numbers ([`Draft`]), so that proptest takes members, brackets,
//! bodies and loads away, and rounds coordinates to a lattice, when it looks for the smallest frame
//! that breaks a law. All numbers of the text are in the default units of the format.

use std::fmt;

use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Map, Value, json};

/// A model, shown as its text where it breaks a law.
#[derive(Clone, PartialEq)]
pub(crate) struct Frame(pub(crate) Value);

impl fmt::Debug for Frame {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(formatter, "{}", self.0)
    }
}

/// Distance of the lattice that nodes lie near, mm.
const PITCH_MM: f64 = 240.0;
/// Cells of the lattice along x, y and z.
const CELLS: [usize; 3] = [5, 4, 3];

/// Random frames.
pub(crate) fn frame() -> impl Strategy<Value = Frame> {
    draft().prop_map(|draft| Frame(draw(&draft)))
}

type Three = [i32; 3];

#[derive(Debug, Clone)]
struct Draft {
    materials: Vec<Value>,
    sizes: Vec<(Value, Index)>,
    cells: Vec<usize>,
    jitter: Vec<Three>,
    tree: Vec<(Index, MemberDraft)>,
    braces: Vec<(Index, Index, MemberDraft)>,
    bent: Vec<(Vec<usize>, MemberDraft)>,
    brackets: Vec<BracketDraft>,
    hangers: Vec<(Index, Index, MemberDraft)>,
    mounts: Vec<(Index, Value)>,
    bodies: Vec<BodyDraft>,
    rack: Option<(Index, Index, Three)>,
    cases: CasesDraft,
}

#[derive(Debug, Clone)]
struct MemberDraft {
    size: Index,
    joints: [Value; 2],
    end_at: [Option<Three>; 2],
    up: Option<Three>,
    roll: Option<i32>,
    column_length: Option<i32>,
    turned_round: bool,
}

#[derive(Debug, Clone)]
enum BracketDraft {
    /// On a tube, at a part of its length, off its axis by so much.
    Between { member: Index, part: i32, off: Three },
    /// On a tube within 2 mm of one of its ends.
    AtEnd { member: Index, end: usize, short: i32, off: Three },
    /// On two tubes.
    Plate { members: [Index; 2], off: Three },
    /// On a node.
    OnNode { node: Index, off: Three },
}

#[derive(Debug, Clone)]
struct BodyDraft {
    mass: i32,
    off: Three,
    with_inertia: bool,
    /// Where it is mounted; the mounts say how often.
    at: Vec<Index>,
    mounts: Vec<Value>,
}

#[derive(Debug, Clone)]
struct CasesDraft {
    push: Vec<(Index, Three)>,
    turn: Vec<(Index, Three)>,
    wind: Vec<(Index, Three)>,
    g: Three,
    moved: Vec<(Index, i32)>,
    factor: i32,
    twist: (Index, Index),
}

fn three(most: i32) -> impl Strategy<Value = Three> {
    prop::array::uniform3(-most..=most)
}

fn draft() -> impl Strategy<Value = Draft> {
    let lattice = CELLS.iter().product::<usize>();
    let places = (
        prop::sample::subsequence((0..lattice).collect::<Vec<_>>(), 4..=14).prop_shuffle(),
        prop::collection::vec(prop_oneof![3 => three(600), 1 => Just([0; 3])], 14),
    );
    let tubes = (prop::collection::vec(material(), 2..=4), prop::collection::vec((size(), any::<Index>()), 3..=8));
    let members = (
        prop::collection::vec((any::<Index>(), member(24)), 13),
        prop::collection::vec((any::<Index>(), any::<Index>(), member(4)), 2..=14),
        prop::collection::vec(
            (prop::sample::subsequence((0..14).collect::<Vec<_>>(), 3..=5).prop_shuffle(), member(6)),
            0..=2,
        ),
        prop::collection::vec(bracket(), 0..=5),
        prop::collection::vec((any::<Index>(), any::<Index>(), member(8)), 0..=2),
    );
    let held = (
        prop::collection::vec((any::<Index>(), ground_mount()), 2..=4),
        prop::collection::vec(body(), 0..=2),
        prop::option::weighted(0.3, (any::<Index>(), any::<Index>(), three(80))),
    );
    (places, tubes, members, held, cases()).prop_map(
        |(
            (cells, jitter),
            (materials, sizes),
            (tree, braces, bent, brackets, hangers),
            (mounts, bodies, rack),
            cases,
        )| {
            Draft {
                materials,
                sizes,
                cells,
                jitter,
                tree,
                braces,
                bent,
                brackets,
                hangers,
                mounts,
                bodies,
                rack,
                cases,
            }
        },
    )
}

/// Whole hundredths, tenths, … of something, as a number with few digits.
fn part(number: i32, of: f64) -> f64 {
    f64::from(number) / of
}

fn material() -> impl Strategy<Value = Value> {
    let own = (65..=215, prop::option::of(20..=45), 25..=80, 20..=70, prop::option::of(4..=10), 0..=2usize).prop_map(
        |(youngs, poisson, density, strength, at_weld, finish)| {
            let mut material = json!({
                "youngs_modulus": youngs * 1000,
                "density": density * 100,
                "yield": strength * 10,
                "ultimate": strength * 12,
                "yield_at_weld": match at_weld {
                    Some(tenths) => json!(strength * tenths),
                    None => json!("same"),
                },
            });
            if let Some(poisson) = poisson {
                let shear = f64::from(youngs * 1000) / (2.0 * (1.0 + part(poisson, 100.0)));
                material["shear_modulus"] = json!(shear.round());
            }
            if finish > 0 {
                material["finish"] = json!(["cold", "hot"][finish - 1]);
            }
            material
        },
    );
    let built_in = prop::sample::select(vec!["E235+N", "E355+C", "S355J2H", "25CrMo4+N", "EN AW-6082-T6", "1.4301"]);
    prop_oneof![3 => own, 1 => built_in.prop_map(|name| json!(name))]
}

/// A section of any kind.
fn size() -> impl Strategy<Value = Value> {
    let gauges = prop::sample::select(vec![3.2512, 2.6416, 2.032, 1.6256, 1.2192]); // 10 to 18 swg
    let wall = || (8..=40).prop_map(|tenths| part(tenths, 10.0));
    let radius = || prop::option::of((0..=90).prop_map(|tenths| part(tenths, 10.0)));
    let boxed = |mut keys: Value, kind: &str, radius: Option<f64>| {
        if let Some(radius) = radius {
            keys["outer_radius"] = json!(radius);
        }
        json!({ kind: keys })
    };
    prop_oneof![
        3 => (150..=600, prop_oneof![wall(), gauges])
            .prop_map(|(od, wall)| json!({ "round": { "od": part(od, 10.0), "wall": wall } })),
        2 => (200..=600, wall(), radius())
            .prop_map(move |(side, wall, radius)| boxed(json!({ "side": part(side, 10.0), "wall": wall }), "square", radius)),
        2 => (200..=600, 200..=800, wall(), radius()).prop_map(move |(width, depth, wall, radius)| {
            boxed(json!({ "width": part(width, 10.0), "depth": part(depth, 10.0), "wall": wall }), "rect", radius)
        }),
        1 => (80..=300).prop_map(|od| json!({ "bar": { "od": part(od, 10.0) } })),
        1 => (40..=600, 40..=300)
            .prop_map(|(width, thick)| json!({ "flat": { "width": part(width, 10.0), "thickness": part(thick, 10.0) } })),
        1 => given(),
    ]
}

fn given() -> impl Strategy<Value = Value> {
    let second_moment = || (5..=200).prop_map(|thousands| thousands * 1000);
    let optional = || prop::option::of(50..=300);
    (
        100..=600,
        second_moment(),
        second_moment(),
        second_moment(),
        optional(),
        optional(),
        (8..=40, 8..=40),
        prop::option::of(1..=9),
    )
        .prop_map(|(a, iy, iz, j, ay, az, (cy, cz), ct)| {
            let mut given = json!({ "a": a, "iy": iy, "iz": iz, "j": j, "cy": cy, "cz": cz });
            for (key, area) in [("ay", ay), ("az", az)] {
                if let Some(area) = area {
                    given[key] = json!(area);
                }
            }
            if let Some(ct) = ct {
                given["ct"] = json!(ct * 1000);
            }
            json!({ "given": given })
        })
}

/// How an end is joined; `welds`: how often it is a weld, for each other kind once or twice.
fn joint(welds: u32) -> impl Strategy<Value = Value> {
    let rate =
        || prop_oneof![6 => (1..=300).prop_map(|hundreds| Some(hundreds * 100)), 4 => Just(None), 1 => Just(Some(0))];
    let rates = (rate(), rate(), rate()).prop_map(|(t, my, mz)| {
        let named = [("t", t), ("my", my), ("mz", mz)];
        let keys: Map<String, Value> =
            named.into_iter().filter_map(|(key, rate)| Some((key.to_owned(), json!(rate?)))).collect();
        json!({ "rate": keys })
    });
    prop_oneof![
        welds => Just(json!("weld")),
        2 => Just(json!("rod-end")),
        1 => Just(json!("slide")),
        1 => prop::sample::select(vec!["y", "z"]).prop_map(|axis| json!({ "hinge": axis })),
        2 => rates,
    ]
}

fn member(welds: u32) -> impl Strategy<Value = MemberDraft> {
    let end_at = || prop::option::weighted(0.12, three(250));
    (
        any::<Index>(),
        [joint(welds), joint(welds)],
        [end_at(), end_at()],
        prop::option::weighted(0.2, three(20)),
        prop::option::weighted(0.3, -1800..=1800),
        prop::option::weighted(0.1, 100..=900),
        any::<bool>(),
    )
        .prop_map(|(size, mut joints, end_at, up, roll, column_length, turned_round)| {
            if joints[0] == "slide" && joints[1] == "slide" {
                joints[1] = json!("weld");
            }
            MemberDraft { size, joints, end_at, up, roll, column_length, turned_round }
        })
}

fn bracket() -> impl Strategy<Value = BracketDraft> {
    let off = || three(700);
    prop_oneof![
        4 => (any::<Index>(), 150..=850, off()).prop_map(|(member, part, off)| BracketDraft::Between { member, part, off }),
        2 => (any::<Index>(), 0..=1usize, 0..=15, off())
            .prop_map(|(member, end, short, off)| BracketDraft::AtEnd { member, end, short, off }),
        1 => ([any::<Index>(), any::<Index>()], off()).prop_map(|(members, off)| BracketDraft::Plate { members, off }),
        1 => (any::<Index>(), off()).prop_map(|(node, off)| BracketDraft::OnNode { node, off }),
    ]
}

/// A rate or `"fixed"` for some of the six directions; every shift is held somehow.
fn directions(rigid: u32, softest: i32, stiffest: i32) -> impl Strategy<Value = Value> {
    let shift =
        move || prop_oneof![rigid => Just(json!("fixed")), 3 => (softest..=stiffest).prop_map(|rate| json!(rate))];
    let turn = || prop_oneof![4 => Just(None), 1 => Just(Some(json!("fixed"))), 2 => (10..=6000).prop_map(|rate| Some(json!(rate)))];
    ([shift(), shift(), shift()], [turn(), turn(), turn()]).prop_map(|(shifts, turns)| {
        let mut keys = Map::new();
        for (key, shift) in ["x", "y", "z"].into_iter().zip(shifts) {
            keys.insert(key.to_owned(), shift);
        }
        for (key, turn) in ["rx", "ry", "rz"].into_iter().zip(turns) {
            if let Some(turn) = turn {
                keys.insert(key.to_owned(), turn);
            }
        }
        Value::Object(keys)
    })
}

fn ground_mount() -> impl Strategy<Value = Value> {
    prop_oneof![3 => Just(json!("bolted pad")), 3 => Just(json!("one bolt")), 3 => directions(2, 2000, 40_000)]
}

fn body() -> impl Strategy<Value = BodyDraft> {
    let springs = || prop::collection::vec(directions(0, 100, 2000), 3..=4);
    let mounts = prop_oneof![
        1 => Just(vec![json!("bolted pad")]),
        1 => Just(vec![json!("one bolt"); 3]),
        2 => springs(),
        1 => springs().prop_map(|mut mounts| {
            mounts[0] = json!("one bolt");
            mounts
        }),
        1 => springs().prop_map(|mut mounts| {
            mounts[1] = json!("bolted pad");
            mounts
        }),
    ];
    (20..=1500, three(1500), any::<bool>(), prop::collection::vec(any::<Index>(), 4), mounts)
        .prop_map(|(mass, off, with_inertia, at, mounts)| BodyDraft { mass, off, with_inertia, at, mounts })
}

fn cases() -> impl Strategy<Value = CasesDraft> {
    (
        prop::collection::vec((any::<Index>(), three(2000)), 1..=4),
        prop::collection::vec((any::<Index>(), three(1000)), 1..=3),
        prop::collection::vec((any::<Index>(), three(300)), 1..=3),
        three(200),
        prop::collection::vec((any::<Index>(), -300..=300), 1..=2),
        -30..=30,
        (any::<Index>(), any::<Index>()),
    )
        .prop_map(|(push, turn, wind, g, moved, factor, twist)| CasesDraft {
            push,
            turn,
            wind,
            g,
            moved,
            factor,
            twist,
        })
}

/// A vector of tenths.
fn tenths(three: &Three) -> Vector3<f64> {
    Vector3::from(three.map(|number| part(number, 10.0)))
}

/// A place as JSON, in micrometres: a text that a person can read.
fn place(at: &Vector3<f64>) -> Value {
    json!([0, 1, 2].map(|axis: usize| (at[axis] * 1000.0).round() / 1000.0))
}

/// A member on its way: its name and the points of its axis.
struct Drawn {
    name: String,
    points: Vec<Vector3<f64>>,
}

fn draw(draft: &Draft) -> Value {
    let (materials, tubes) = draw_sizes(draft);
    let places: Vec<Vector3<f64>> = draft
        .cells
        .iter()
        .zip(&draft.jitter)
        .map(|(cell, jitter)| {
            let steps = [cell % CELLS[0], cell / CELLS[0] % CELLS[1], cell / (CELLS[0] * CELLS[1])];
            let corner = Vector3::from(steps.map(|step| step as f64)) * PITCH_MM;
            corner + tenths(jitter) - Vector3::new(480.0, 360.0, -80.0)
        })
        .collect();
    let node = |at: usize| format!("n{}", at + 1);
    let mut nodes: Map<String, Value> = places.iter().enumerate().map(|(at, point)| (node(at), place(point))).collect();
    nodes[&node(0)] = json!({ "at": nodes[&node(0)], "pickup": true });
    let mut members = Map::new();
    let mut axes: Vec<Drawn> = Vec::new();
    let mut add = |key: &str, names: &[String], points: Vec<Vector3<f64>>, how: &MemberDraft, axes: &mut Vec<Drawn>| {
        let name = format!("{}{}", if key == "ends" { "m" } else { "bent" }, members.len() + 1);
        let (member, points) = draw_member(draft, key, names, points, how);
        members.insert(name.clone(), member);
        axes.push(Drawn { name, points });
    };
    let n = places.len();
    let tree = draft.tree.iter().take(n - 1).enumerate().map(|(at, (other, how))| (at + 1, other.index(at + 1), how));
    let braces = draft.braces.iter().map(|(one, other, how)| (one.index(n), other.index(n), how));
    let mut pairs: Vec<(usize, usize)> = Vec::new();
    for (one, other, how) in tree.chain(braces) {
        let pair = (one.min(other), one.max(other));
        if one != other && !pairs.contains(&pair) {
            pairs.push(pair);
            add("ends", &[node(one), node(other)], vec![places[one], places[other]], how, &mut axes);
        }
    }
    for (along, how) in &draft.bent {
        let through: Vec<usize> = along.iter().copied().filter(|at| *at < n).collect();
        if through.len() >= 3 {
            let names: Vec<String> = through.iter().map(|at| node(*at)).collect();
            add("through", &names, through.iter().map(|at| places[*at]).collect(), how, &mut axes);
        }
    }
    let mut brackets = Map::new();
    let mut on_tubes: Vec<(String, Vector3<f64>)> = Vec::new();
    for how in &draft.brackets {
        let name = format!("b{}", brackets.len() + 1);
        if let Some((at, bracket)) = draw_bracket(how, &places, &axes) {
            if !matches!(how, BracketDraft::OnNode { .. }) {
                on_tubes.push((name.clone(), at));
            }
            brackets.insert(name, bracket);
        }
    }
    for (bracket, other, how) in draft.hangers.iter().filter(|_| !on_tubes.is_empty()) {
        let (name, at) = &on_tubes[bracket.index(on_tubes.len())];
        let other = other.index(n);
        if (at - places[other]).norm() > 60.0 {
            add("ends", &[name.clone(), node(other)], vec![*at, places[other]], how, &mut axes);
        }
    }
    // Who is held by the ground, then who is free for bodies.
    let mut free: Vec<(String, Vector3<f64>)> =
        places.iter().enumerate().map(|(at, point)| (node(at), *point)).collect();
    let mut mounts = Map::new();
    for (at, how) in &draft.mounts {
        if free.len() > 2 {
            mounts.insert(free.remove(at.index(free.len())).0, how.clone());
        }
    }
    let loose: Vec<String> = free.iter().map(|(name, _)| name.clone()).collect();
    free.extend(on_tubes);
    let mut bodies = Map::new();
    for how in &draft.bodies {
        if let Some(body) = draw_body(how, &mut free) {
            bodies.insert(format!("body{}", bodies.len() + 1), body);
        }
    }
    if let Some((one, other, off)) = &draft.rack
        && free.len() >= 2
    {
        let first = free.remove(one.index(free.len()));
        let second = free.remove(other.index(free.len()));
        let along = second.1 - first.1;
        nodes.insert("q1".to_owned(), place(&(first.1 - along * 0.3 + tenths(off))));
        nodes.insert("q2".to_owned(), place(&(second.1 + along * 0.4 + tenths(off))));
        bodies.insert(
            "rack".to_owned(),
            json!({
                "mass": 4.5,
                "cg": place(&(first.1 + along * 0.5)),
                "mounts": { &first.0: "clamp", "q1": "rides", &second.0: "clamp", "q2": "rides" },
            }),
        );
    }
    let mut frame = json!({
        "format": 1,
        "title": "Random frame",
        "materials": materials,
        "tubes": tubes,
        "nodes": nodes,
        "brackets": brackets,
        "members": members,
        "mounts": mounts,
        "bodies": bodies,
        "limits": { "pickup_move": 2.5 },
    });
    frame["cases"] = draw_cases(&draft.cases, &frame, &loose, &places);
    frame
}

/// The materials and the tube sizes; a material that is a text is built in.
fn draw_sizes(draft: &Draft) -> (Map<String, Value>, Map<String, Value>) {
    let mut materials = Map::new();
    let names: Vec<String> = draft
        .materials
        .iter()
        .enumerate()
        .map(|(at, material)| match material {
            Value::String(name) => name.clone(),
            own => {
                let name = format!("metal{}", at + 1);
                materials.insert(name.clone(), own.clone());
                name
            }
        })
        .collect();
    let tubes = draft
        .sizes
        .iter()
        .enumerate()
        .map(|(at, (section, material))| {
            let mut tube = section.clone();
            tube["material"] = json!(names[material.index(names.len())]);
            (format!("t{}", at + 1), tube)
        })
        .collect();
    (materials, tubes)
}

/// A member, and the points of its axis.
fn draw_member(
    draft: &Draft,
    key: &str,
    names: &[String],
    mut points: Vec<Vector3<f64>>,
    how: &MemberDraft,
) -> (Value, Vec<Vector3<f64>>) {
    let mut names = names.to_vec();
    if how.turned_round {
        names.reverse();
        points.reverse();
    }
    let mut member = json!({ key: names, "tube": format!("t{}", how.size.index(draft.sizes.len()) + 1) });
    if how.end_at.iter().any(Option::is_some) {
        let last = points.len() - 1;
        let own = [0, 1].map(|end: usize| {
            how.end_at[end].map(|off| {
                points[end * last] += tenths(&off);
                place(&points[end * last])
            })
        });
        member["end_at"] = json!(own);
    }
    if let Some(up) = how.up.filter(|up| is_aside(&points, &tenths(up))) {
        member["up"] = json!(up.map(|number| part(number, 10.0)));
    }
    if let Some(roll) = how.roll {
        member["roll"] = json!(part(roll, 10.0));
    }
    if let Some(length) = how.column_length {
        member["column_length"] = json!(length);
    }
    if how.joints[0] == how.joints[1] {
        if how.joints[0] != "weld" {
            member["joint"] = how.joints[0].clone();
        }
    } else {
        member["joint"] = json!(how.joints);
    }
    (member, points)
}

/// Whether a direction lies well off every stretch of an axis.
fn is_aside(points: &[Vector3<f64>], up: &Vector3<f64>) -> bool {
    points.windows(2).all(|stretch| {
        let along = stretch[1] - stretch[0];
        along.cross(up).norm() > 0.1 * along.norm() * up.norm()
    })
}

/// The bracket's place, and what the file says of it.
fn draw_bracket(how: &BracketDraft, places: &[Vector3<f64>], axes: &[Drawn]) -> Option<(Vector3<f64>, Value)> {
    let middle = |drawn: &Drawn| (drawn.points[0] + drawn.points[1]) * 0.5;
    let (at, on) = match how {
        BracketDraft::Between { member, part, off } => {
            let drawn = &axes[member.index(axes.len())];
            let stretch = drawn.points.len() / 2 - 1;
            let (first, second) = (drawn.points[stretch], drawn.points[stretch + 1]);
            (first + (second - first) * (f64::from(*part) / 1000.0) + tenths(off), json!(drawn.name))
        }
        BracketDraft::AtEnd { member, end, short, off } => {
            let drawn = &axes[member.index(axes.len())];
            let (last, off) = (drawn.points.len() - 1, tenths(off));
            let (own, inner) = if *end == 0 { (0, 1) } else { (last, last - 1) };
            let along = (drawn.points[inner] - drawn.points[own]).normalize();
            let square = off - along * off.dot(&along);
            (drawn.points[own] + along * part(*short, 10.0) + square, json!(drawn.name))
        }
        BracketDraft::Plate { members, off } => {
            let [one, other] = members.map(|member| &axes[member.index(axes.len())]);
            if one.name == other.name {
                return None;
            }
            ((middle(one) + middle(other)) * 0.5 + tenths(off), json!([one.name, other.name]))
        }
        BracketDraft::OnNode { node, off } => {
            let node = node.index(places.len());
            (places[node] + tenths(off), json!(format!("n{}", node + 1)))
        }
    };
    Some((at, json!({ "at": place(&at), "on": on })))
}

fn draw_body(how: &BodyDraft, free: &mut Vec<(String, Vector3<f64>)>) -> Option<Value> {
    if free.len() < how.mounts.len() {
        return None;
    }
    let taken: Vec<(String, Vector3<f64>)> =
        how.mounts.iter().zip(&how.at).map(|(_, at)| free.remove(at.index(free.len()))).collect();
    let middle = taken.iter().map(|(_, at)| at).sum::<Vector3<f64>>() / taken.len() as f64;
    let mounts: Map<String, Value> = taken.into_iter().map(|(name, _)| name).zip(how.mounts.iter().cloned()).collect();
    let mut body = json!({ "mass": part(how.mass, 10.0), "cg": place(&(middle + tenths(&how.off))), "mounts": mounts });
    if how.with_inertia {
        body["inertia"] = json!([0.4, 0.7, 0.6]);
    }
    Some(body)
}

/// Whether a moment on a node finds a tube that takes it: one that is welded there and at its other end.
fn takes_moments(members: &Map<String, Value>, node: &str) -> bool {
    members.values().any(|member| {
        let plain = member.get("joint").is_none();
        let names = member.get("ends").or(member.get("through")).and_then(Value::as_array);
        plain && names.is_some_and(|names| names.iter().any(|name| name == node))
    })
}

fn draw_cases(draft: &CasesDraft, frame: &Value, loose: &[String], places: &[Vector3<f64>]) -> Value {
    let keys = |section: &str| frame[section].as_object().into_iter().flat_map(|entries| entries.keys().cloned());
    let targets: Vec<String> = keys("nodes").chain(keys("brackets")).chain(keys("bodies")).collect();
    let members: Vec<String> = keys("members").collect();
    let no_members = Map::new();
    let drawn = frame["members"].as_object().unwrap_or(&no_members);
    let stiff: Vec<String> =
        loose.iter().filter(|node| takes_moments(drawn, node)).cloned().chain(keys("bodies")).collect();
    // The first force of a case is on a node that no mount of the ground holds, so that something bends.
    let forces = |list: &[(Index, Three)]| -> Map<String, Value> {
        let pool = |at: usize| if at == 0 { loose } else { &targets[..] };
        list.iter()
            .enumerate()
            .map(|(at, (who, force))| {
                let force = if at == 0 && *force == [0; 3] { [100, 200, 300] } else { *force };
                (pool(at)[who.index(pool(at).len())].clone(), json!(force))
            })
            .collect()
    };
    let moments: Map<String, Value> = draft
        .turn
        .iter()
        .filter(|_| !stiff.is_empty())
        .map(|(who, moment)| (stiff[who.index(stiff.len())].clone(), json!(moment.map(|number| part(number, 10.0)))))
        .collect();
    let lines: Map<String, Value> = draft
        .wind
        .iter()
        .map(|(who, load)| (members[who.index(members.len())].clone(), json!(load.map(|number| part(number, 100.0)))))
        .collect();
    let [long, lat, vert] = draft.g.map(|hundredths| part(hundredths, 100.0));
    let factor = if draft.factor == 0 { 1.0 } else { part(draft.factor, 10.0) };
    let mut cases = json!({
        "push": { "forces": forces(&draft.push) },
        "turn": { "moments": moments.clone(), "forces": forces(&draft.push[draft.push.len() - 1..]) },
        "wind": { "line_loads": lines.clone() },
        "weight": { "g": {}, "wheels": "none" },
        "bend": { "g": { "long": long, "lat": lat, "vert": vert }, "wheels": "none", "factor": factor },
        "all": {
            "g": { "long": lat, "vert": 0.6 }, "wheels": "none", "line_loads": lines, "moments": moments,
            "forces": forces(&draft.push), "factor": factor, "limits": { "yield": 1.2 },
        },
    });
    let moved = draw_moved(draft, &frame["mounts"]);
    if !moved.is_empty() {
        cases["settled"] = json!({ "moved": moved.clone() });
        cases["settled and pushed"] = json!({ "moved": moved, "forces": forces(&draft.push), "factor": factor });
    }
    let [one, other] = [draft.twist.0, draft.twist.1].map(|index| index.index(places.len()));
    if (places[one].y - places[other].y).abs() > 50.0 {
        cases["twisted"] =
            json!({ "twist": { "axle": [format!("n{}", one + 1), format!("n{}", other + 1)], "moment": 400 } });
    }
    cases
}

/// Movements of mounts in directions that they hold or spring.
fn draw_moved(draft: &CasesDraft, mounts: &Value) -> Map<String, Value> {
    let all = ["x", "y", "z", "rx", "ry", "rz"];
    let held: Vec<(&String, &str)> = mounts
        .as_object()
        .into_iter()
        .flatten()
        .flat_map(|(name, how)| {
            let directions: Vec<&str> = match how.as_str() {
                Some("one bolt") => all[..3].to_vec(),
                Some(_) => all.to_vec(),
                None => all.into_iter().filter(|direction| how.get(direction).is_some()).collect(),
            };
            directions.into_iter().map(move |direction| (name, direction))
        })
        .collect();
    let mut moved: Map<String, Value> = Map::new();
    for (who, amount) in draft.moved.iter().filter(|(_, amount)| *amount != 0) {
        let (name, direction) = held[who.index(held.len())];
        let entry = moved.entry(name.clone()).or_insert_with(|| json!({}));
        entry[direction] = json!(part(*amount, if direction.starts_with('r') { 1000.0 } else { 100.0 }));
    }
    moved
}
