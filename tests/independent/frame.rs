//! The frame of a model's text as things that move, rows that tie them and pieces of tube.

use std::collections::BTreeMap;

use nalgebra::{Matrix3, Vector3, Vector6};
use serde_json::Value;

use super::piece::Piece;
use super::section::Figures;
use crate::laws::geometry::{foot_on_segment, nodes_of_member, place_of, places_of_member, stretches};
use crate::support::values::{entries, list, number, vector, word};

/// A turn of 1 as a variable moves what is so far away by 1 mm: all variables are of one size.
pub(super) const ARM_MM: f64 = 100.0;
/// A foot within so much of a tube's end or of an inner node stands on that, mm.
const AT_AN_END_MM: f64 = 2.0;
/// Feet nearer than this are at one place, mm.
const SAME_PLACE_MM: f64 = 0.01;
/// The directions of mounts.
pub(super) const DIRECTIONS: [&str; 6] = ["x", "y", "z", "rx", "ry", "rz"];

/// Shift (mm) and turn (rad) of a place, global axes, for a unit of each variable that moves it.
pub(super) type Motion = Vec<(usize, Vector6<f64>)>;

/// Something rigid with six variables of its own.
#[derive(Debug, Clone, Copy)]
pub(super) struct Thing {
    pub(super) first: usize,
    origin: Vector3<f64>,
}

impl Thing {
    /// How a point of it moves.
    pub(super) fn at(&self, place: &Vector3<f64>) -> Motion {
        let arm = place - self.origin;
        (0..6)
            .map(|of| {
                let mut six = Vector6::zeros();
                if of < 3 {
                    six[of] = 1.0;
                } else {
                    let mut turn = Vector3::zeros();
                    turn[of - 3] = 1.0 / ARM_MM;
                    six.fixed_rows_mut::<3>(0).copy_from(&turn.cross(&arm));
                    six.fixed_rows_mut::<3>(3).copy_from(&turn);
                }
                (self.first + of, six)
            })
            .collect()
    }
}

/// The motion of what is rigid with a place, so far from there.
pub(super) fn carried(motion: &Motion, arm: &Vector3<f64>) -> Motion {
    let carry = |six: &Vector6<f64>| {
        let turn: Vector3<f64> = six.fixed_rows::<3>(3).into_owned();
        let mut six = *six;
        let shift = six.fixed_rows::<3>(0) + turn.cross(arm);
        six.fixed_rows_mut::<3>(0).copy_from(&shift);
        six
    };
    motion.iter().map(|(variable, six)| (*variable, carry(six))).collect()
}

/// One motion less another.
pub(super) fn apart(one: &Motion, other: &Motion) -> Motion {
    let mut sum = one.clone();
    for (variable, six) in other {
        match sum.iter_mut().find(|(known, _)| known == variable) {
            Some((_, known)) => *known -= six,
            None => sum.push((*variable, -six)),
        }
    }
    sum
}

/// Who holds a node.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Holder {
    Ground,
    Body(String),
    /// Parts of one rigid thing.
    Weld,
}

/// How much two things part in one direction: held at what the ground is moved by, or sprung.
#[derive(Debug, Clone)]
pub(super) struct Row {
    pub(super) terms: Vec<(usize, f64)>,
    pub(super) holder: Holder,
    pub(super) node: String,
    /// What a unit force of the holder in this row is on the node: force and moment.
    pub(super) wrench: Vector6<f64>,
    /// The direction of a ground mount, whose ground side may be moved.
    pub(super) direction: Option<usize>,
}

/// A piece of tube in its place.
#[derive(Debug, Clone)]
pub(super) struct Placed {
    pub(super) piece: Piece,
    pub(super) start_mm: f64,
    pub(super) first_end: Motion,
    pub(super) second_end: Motion,
    /// Deformations for a unit of each variable.
    pub(super) deformation: Motion,
}

/// A tube cut at its nodes and feet.
#[derive(Debug, Clone)]
pub(super) struct Tube {
    pub(super) pieces: Vec<Placed>,
    pub(super) kg_per_mm: f64,
}

/// A tube before it is cut.
struct Draft {
    points: Vec<Vector3<f64>>,
    drawn: Value,
    figures: Figures,
    /// Motions of the tube's own ends and of its inner nodes.
    motions: Vec<Motion>,
    /// Feet between: distance, stretch, thing.
    feet: Vec<(f64, usize, Thing)>,
}

/// The whole frame.
#[derive(Debug, Default)]
pub(super) struct Frame {
    pub(super) n_variables: usize,
    /// Nodes and brackets.
    pub(super) nodes: BTreeMap<String, (Thing, Vector3<f64>)>,
    pub(super) bodies: BTreeMap<String, (Thing, Vector3<f64>)>,
    pub(super) uprights: BTreeMap<String, Thing>,
    /// Direction of each spring from its top down.
    pub(super) spring_axes: BTreeMap<String, Vector3<f64>>,
    pub(super) tubes: BTreeMap<String, Tube>,
    pub(super) held: Vec<Row>,
    /// With their rates, N/mm and N·mm/rad.
    pub(super) sprung: Vec<(Row, f64)>,
}

/// The entries of an object; none where its key is not there.
pub(super) fn optional_entries(value: &Value) -> impl Iterator<Item = (&String, &Value)> {
    value.as_object().into_iter().flatten()
}

/// A unit force in a direction 0 to 5.
fn unit(direction: usize) -> Vector6<f64> {
    let mut six = Vector6::zeros();
    six[direction] = 1.0;
    six
}

/// A unit turn about an axis.
fn turn_about(axis: &Vector3<f64>) -> Vector6<f64> {
    Vector6::new(0.0, 0.0, 0.0, axis.x, axis.y, axis.z)
}

impl Frame {
    /// The frame of a model's text, mirrored twins written out, all numbers in default units.
    pub(super) fn of(model: &Value, result: &Value) -> Frame {
        let mut frame = Frame::default();
        for section in ["nodes", "brackets"] {
            for (name, _) in optional_entries(&model[section]) {
                let at = place_of(model, name);
                let thing = frame.thing(at);
                frame.nodes.insert(name.clone(), (thing, at));
            }
        }
        let mut drafts: BTreeMap<String, Draft> = BTreeMap::new();
        for (name, member) in entries(&model["members"]) {
            drafts.insert(name.clone(), frame.draft_member(model, result, member));
        }
        for (name, corner) in optional_entries(&model["corners"]) {
            frame.draft_corner(model, result, name, corner, &mut drafts);
        }
        for (name, bracket) in optional_entries(&model["brackets"]) {
            frame.stand_bracket(model, name, bracket, &mut drafts);
        }
        for (name, corner) in optional_entries(&model["corners"]) {
            frame.spring_link(name, corner, &mut drafts);
        }
        for (node, how) in entries(&model["mounts"]) {
            let (_, at) = frame.nodes[node];
            frame.mount(node, how, &Holder::Ground, &|_| Motion::new(), at, None);
        }
        for (name, body) in optional_entries(&model["bodies"]) {
            frame.mount_body(name, body);
        }
        frame.tubes = drafts.into_iter().map(|(name, draft)| (name, draft.cut())).collect();
        frame
    }

    fn variables(&mut self, count: usize) -> usize {
        self.n_variables += count;
        self.n_variables - count
    }

    fn thing(&mut self, origin: Vector3<f64>) -> Thing {
        Thing { first: self.variables(6), origin }
    }

    fn motion_of(&self, node: &str, at: &Vector3<f64>) -> Motion {
        self.nodes[node].0.at(at)
    }

    /// A row of how two motions part, along a direction of force and moment.
    fn row(parted: &Motion, wrench: Vector6<f64>, holder: &Holder, node: &str, direction: Option<usize>) -> Row {
        let terms = parted.iter().map(|(variable, six)| (*variable, six.dot(&wrench))).collect();
        Row { terms, holder: holder.clone(), node: node.to_owned(), wrench, direction }
    }

    /// Two motions of one place are one.
    fn weld(&mut self, one: &Motion, other: &Motion) {
        let parted = apart(one, other);
        for direction in 0..6 {
            self.held.push(Frame::row(&parted, unit(direction), &Holder::Weld, "", None));
        }
    }

    fn draft_member(&mut self, model: &Value, result: &Value, member: &Value) -> Draft {
        let points = places_of_member(model, member);
        let nodes = nodes_of_member(member);
        let drawn_stretches = stretches(&points, member);
        let last = points.len() - 1;
        let mut motions = Vec::new();
        for (place, (node, point)) in nodes.iter().zip(&points).enumerate() {
            let of_node = self.motion_of(node, point);
            if place != 0 && place != last {
                motions.push(of_node);
                continue;
            }
            let mut motion = of_node.clone();
            if *point != self.nodes[node].1 {
                motion = self.thing(*point).at(point);
                self.weld(&motion, &of_node);
            }
            let joint = match &member["joint"] {
                Value::Null => Value::from("weld"),
                Value::Array(both) => both[usize::from(place == last)].clone(),
                one => one.clone(),
            };
            let axes = drawn_stretches[if place == 0 { 0 } else { last - 1 }].axes;
            self.add_joint(&mut motion, &joint, &axes);
            motions.push(motion);
        }
        let figures = Figures::of(model, result, word(&member["tube"]));
        Draft { points, drawn: member.clone(), figures, motions, feet: Vec::new() }
    }

    /// What a joint lets go becomes variables, a rate a spring on its variable.
    fn add_joint(&mut self, motion: &mut Motion, joint: &Value, axes: &Matrix3<f64>) {
        let axis = |row: usize| axes.row(row).transpose();
        let mut free: Vec<(Vector6<f64>, f64)> = Vec::new();
        match joint {
            Value::String(kind) => match kind.as_str() {
                "weld" => {}
                "rod-end" => free.extend((0..3).map(|row| (turn_about(&axis(row)), 0.0))),
                "slide" => {
                    let x = axis(0) * ARM_MM;
                    free.push((Vector6::new(x.x, x.y, x.z, 0.0, 0.0, 0.0), 0.0));
                }
                other => panic!("joint {other}"),
            },
            _ => {
                if let Some(about) = joint.get("hinge") {
                    free.push((turn_about(&axis(if about == "y" { 1 } else { 2 })), 0.0));
                }
                for (row, key) in ["t", "my", "mz"].into_iter().enumerate() {
                    if let Some(rate) = joint["rate"].get(key) {
                        free.push((turn_about(&axis(row)), number(rate) * 1000.0));
                    }
                }
            }
        }
        for (direction, rate) in free {
            let variable = self.variables(1);
            motion.push((variable, direction / ARM_MM));
            if rate > 0.0 {
                let terms = vec![(variable, 1.0 / ARM_MM)];
                let row =
                    Row { terms, holder: Holder::Weld, node: String::new(), wrench: Vector6::zeros(), direction: None };
                self.sprung.push((row, rate));
            }
        }
    }

    /// The upright and the tubes of a corner. What is tied to the upright by a ball or a rod-end has
    /// motions of its own and shares its shifts.
    fn draft_corner(
        &mut self,
        model: &Value,
        result: &Value,
        corner: &str,
        drawn: &Value,
        drafts: &mut BTreeMap<String, Draft>,
    ) {
        let upright = self.thing(vector(&drawn["wheel_centre"]));
        self.uprights.insert(corner.to_owned(), upright);
        let mut add = |frame: &mut Frame, part: String, keys: &Value, inner: &str, outer: &Value, motion: Motion| {
            let (outer, size) = (vector(outer), if part.ends_with(".rear") { "rear_tube" } else { "tube" });
            let points = vec![frame.nodes[inner].1, outer];
            let mut first = frame.motion_of(inner, &points[0]);
            frame.add_joint(&mut first, &Value::from("rod-end"), &stretches(&points, keys)[0].axes);
            let figures = Figures::of(model, result, word(keys.get(size).unwrap_or(&keys["tube"])));
            let draft = Draft { points, drawn: keys.clone(), figures, motions: vec![first, motion], feet: Vec::new() };
            drafts.insert(format!("{corner}/{part}"), draft);
        };
        let ball = |frame: &mut Frame, at: &Vector3<f64>| {
            let motion = frame.thing(*at).at(at);
            let parted = apart(&motion, &upright.at(at));
            for direction in 0..3 {
                frame.held.push(Frame::row(&parted, unit(direction), &Holder::Weld, "", None));
            }
            motion
        };
        for arm in ["upper", "lower"] {
            if let Some(keys) = drawn.get(arm) {
                let motion = ball(self, &vector(&keys["outer"]));
                for side in ["front", "rear"] {
                    add(self, format!("{arm}.{side}"), keys, word(&keys[side]), &keys["outer"], motion.clone());
                }
            }
        }
        let links = optional_entries(&drawn["links"]).map(|(name, keys)| (name.clone(), keys));
        for (name, keys) in drawn.get("tie_rod").map(|keys| ("tie_rod".to_owned(), keys)).into_iter().chain(links) {
            let motion = ball(self, &vector(&keys["outer"]));
            add(self, name, keys, word(&keys["inner"]), &keys["outer"], motion);
        }
        if let Some(keys) = drawn.get("strut") {
            let motion = upright.at(&vector(&keys["bottom"]));
            add(self, "strut".to_owned(), keys, word(&keys["top"]), &keys["bottom"], motion);
        }
        if let Some(keys) = drawn.get("arm") {
            for (at, pivot) in list(&keys["pivots"]).iter().enumerate() {
                let motion = upright.at(&vector(&keys["hub"]));
                add(self, format!("arm.{}", at + 1), keys, word(pivot), &keys["hub"], motion);
            }
        }
    }

    /// The motion of the place of a tube that a point stands over.
    fn foot(&mut self, point: &Vector3<f64>, draft: &mut Draft) -> Motion {
        let mut nearest = (f64::INFINITY, 0, Vector3::zeros());
        for (stretch, pair) in draft.points.windows(2).enumerate() {
            let place = pair[0].lerp(&pair[1], foot_on_segment(point, &pair[0], &pair[1]));
            let distance = (place - point).norm();
            if distance < nearest.0 - 1e-9 {
                nearest = (distance, stretch, place);
            }
        }
        let (_, stretch, place) = nearest;
        let last = draft.points.len() - 1;
        for end in [0, last].into_iter().chain(1..last) {
            if (draft.points[end] - place).norm() <= AT_AN_END_MM {
                return carried(&draft.motions[end], &(point - draft.points[end]));
            }
        }
        let before: f64 = draft.points.windows(2).take(stretch).map(|pair| (pair[1] - pair[0]).norm()).sum();
        let at_mm = before + (place - draft.points[stretch]).norm();
        let known = draft.feet.iter().find(|(other, ..)| (other - at_mm).abs() < SAME_PLACE_MM);
        let thing = known.map(|(.., thing)| *thing).unwrap_or_else(|| {
            let thing = self.thing(place);
            draft.feet.push((at_mm, stretch, thing));
            thing
        });
        thing.at(point)
    }

    fn stand_bracket(&mut self, model: &Value, name: &str, bracket: &Value, drafts: &mut BTreeMap<String, Draft>) {
        let at = vector(&bracket["at"]);
        let own = self.motion_of(name, &at);
        let feet = match &bracket["on"] {
            Value::Array(feet) => feet.iter().map(word).collect(),
            foot => vec![word(foot)],
        };
        for foot in feet {
            let motion = if model["nodes"].get(foot).is_some() {
                self.motion_of(foot, &at)
            } else {
                self.foot(&at, drafts.get_mut(foot).unwrap_or_else(|| panic!("no tube {foot}")))
            };
            self.weld(&own, &motion);
        }
    }

    /// The spring of a corner: a link without weight, as stiff as a bar of steel (E 210000 MPa).
    fn spring_link(&mut self, corner: &str, drawn: &Value, drafts: &mut BTreeMap<String, Draft>) {
        let Some(spring) = drawn.get("spring") else { return };
        let (top, bottom) = (self.nodes[word(&spring["top"])].1, vector(&spring["bottom"]));
        let motion = match &spring["on"] {
            Value::String(on) if on == "upright" => self.uprights[corner].at(&bottom),
            on => {
                let names = if on.is_array() { list(on) } else { std::slice::from_ref(on) };
                let feet: Vec<Motion> = names
                    .iter()
                    .map(|name| {
                        let draft = drafts.get_mut(&format!("{corner}/{}", word(name)));
                        self.foot(&bottom, draft.expect("a tube of the corner"))
                    })
                    .collect();
                for other in &feet[1..] {
                    self.weld(&feet[0], other);
                }
                feet[0].clone()
            }
        };
        let rod = spring.get("rod").map_or(12.0, number);
        let along = (bottom - top).normalize();
        let parted = apart(&motion, &self.motion_of(word(&spring["top"]), &top));
        let wrench = Vector6::new(along.x, along.y, along.z, 0.0, 0.0, 0.0);
        let name = format!("{corner}/spring");
        let row = Frame::row(&parted, wrench, &Holder::Weld, &name, None);
        self.spring_axes.insert(name, along);
        let area = std::f64::consts::PI * rod * rod / 4.0;
        self.sprung.push((row, 210_000.0 * area / (bottom - top).norm()));
    }

    /// Ties a node to its holder; `of_holder` is how a point of that moves.
    fn mount(
        &mut self,
        node: &str,
        how: &Value,
        holder: &Holder,
        of_holder: &dyn Fn(&Vector3<f64>) -> Motion,
        at: Vector3<f64>,
        clamped_about: Option<Vector3<f64>>,
    ) {
        let parted = apart(&self.motion_of(node, &at), &of_holder(&at));
        let on_ground = *holder == Holder::Ground;
        let hold = |frame: &mut Frame, direction: usize| {
            let moved = on_ground.then_some(direction);
            frame.held.push(Frame::row(&parted, unit(direction), holder, node, moved));
        };
        match how {
            Value::String(word) => {
                let count = match word.as_str() {
                    "one bolt" | "clamp" => 3,
                    "bolted pad" | "rides" => 6,
                    other => panic!("mount {other}"),
                };
                (0..count).for_each(|direction| hold(self, direction));
                if let Some(axis) = clamped_about {
                    self.held.push(Frame::row(&parted, turn_about(&axis), holder, node, None));
                }
            }
            _ => {
                for (direction, key) in DIRECTIONS.into_iter().enumerate() {
                    match how.get(key) {
                        None => {}
                        Some(Value::String(word)) if word == "fixed" => hold(self, direction),
                        Some(rate) => {
                            let rate = number(rate) * if direction < 3 { 1.0 } else { 1000.0 };
                            let moved = on_ground.then_some(direction);
                            self.sprung.push((Frame::row(&parted, unit(direction), holder, node, moved), rate));
                        }
                    }
                }
            }
        }
    }

    fn mount_body(&mut self, name: &str, body: &Value) {
        let centre = vector(&body["cg"]);
        let thing = self.thing(centre);
        self.bodies.insert(name.to_owned(), (thing, centre));
        let holder = Holder::Body(name.to_owned());
        let clamps: Vec<Vector3<f64>> = entries(&body["mounts"])
            .iter()
            .filter(|(_, how)| *how == "clamp")
            .map(|(node, _)| self.nodes[node].1)
            .collect();
        for (node, how) in entries(&body["mounts"]) {
            let (_, at) = self.nodes[node];
            let axis = (how == "clamp").then(|| (clamps[1] - clamps[0]).normalize());
            self.mount(node, how, &holder, &|place| thing.at(place), at, axis);
        }
    }
}

impl Draft {
    /// Its pieces, from place to place.
    fn cut(mut self) -> Tube {
        let drawn_stretches = stretches(&self.points, &self.drawn);
        let mut pieces = Vec::new();
        self.feet.sort_by(|one, other| one.0.total_cmp(&other.0));
        for (at, stretch) in drawn_stretches.iter().enumerate() {
            let end_mm = stretch.start_mm + stretch.length_mm;
            let mut stops = vec![(stretch.start_mm, self.motions[at].clone())];
            for (foot_mm, _, thing) in self.feet.iter().filter(|(_, on, _)| *on == at) {
                stops.push((*foot_mm, thing.at(&thing.origin)));
            }
            stops.push((end_mm, self.motions[at + 1].clone()));
            for pair in stops.windows(2) {
                let [(start_mm, first), (end_mm, second)] = pair else { unreachable!("windows of two") };
                let piece = Piece::new(end_mm - start_mm, stretch.axes, self.figures);
                let along = stretch.axes.row(0).transpose() * piece.length_mm;
                let turned = |six: &Vector6<f64>| {
                    let mut local = Vector6::zeros();
                    for row in [0, 3] {
                        local.fixed_rows_mut::<3>(row).copy_from(&(stretch.axes * six.fixed_rows::<3>(row)));
                    }
                    local
                };
                let parted = apart(second, &carried(first, &along));
                pieces.push(Placed {
                    piece,
                    start_mm: *start_mm,
                    first_end: first.clone(),
                    second_end: second.clone(),
                    deformation: parted.iter().map(|(variable, six)| (*variable, turned(six))).collect(),
                });
            }
        }
        Tube { pieces, kg_per_mm: self.figures.kg_per_mm }
    }
}
