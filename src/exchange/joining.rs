//! The lines of a drawing into a model: ends that meet become nodes, lines become members.

use std::collections::HashMap;

use nalgebra::Point3;

use super::dxf::Line;
use super::placing::new_place;
use super::{BadLine, FARTHEST_MM};
use crate::model::Drawn;
use crate::source::{Document, Edits, Named, New, Node, Value, name_list};
use crate::space::{nearest_of_segments, nearest_on_segment};
use crate::units::{brief, figures};

/// Noise of a drawing program that is rounded off, parts of a mm.
const ROUNDED_TO: f64 = 1e6;
/// Longest part of a layer's name that a member's name takes.
const LONGEST_LAYER: usize = 48;

/// Most crossings that are told.
const MOST_CROSSINGS: usize = 1000;
/// An end is told to miss a node that is no further away than this times what ends are joined over.
const NEAR_MISS: f64 = 5.0;

/// Most nodes that all lines together may run through: far above any frame.
const MOST_INNER_NODES: usize = 200_000;

/// How lines are joined.
#[derive(Debug, Clone, Copy)]
pub struct JoinBy<'o> {
    /// The members' tube size.
    pub tube: &'o str,
    /// What one of the drawing's unit is, mm.
    pub unit_mm: f64,
    /// Ends that are no further apart are one node, mm.
    pub within_mm: f64,
}

/// What became of the lines.
#[derive(Debug)]
pub struct Joined {
    /// The model's text.
    pub text: String,
    /// New nodes.
    pub nodes: Vec<(String, Point3<f64>)>,
    /// New members: the name, and the nodes that it runs through.
    pub members: Vec<(String, Vec<String>)>,
    /// What to know about them, in sentences.
    pub remarks: Vec<String>,
}

/// A line on its way to a member.
struct Tube {
    /// What it is called in a remark, then in the model.
    name: String,
    /// Places in [`Joints::points`].
    chain: Vec<usize>,
    line: u64,
}

/// Puts the lines of a drawing into a model.
///
/// # Errors
/// A line that is nowhere near a car; a model without a place for nodes or members.
pub fn join(document: &Document, lines: &[Line], by: &JoinBy<'_>) -> Result<Joined, BadLine> {
    let sections = ["nodes", "members"].map(|section| {
        let object = document.root.get(section).filter(|node| matches!(node.value, Value::Object(_)));
        object.ok_or_else(|| {
            let bad = BadLine::new(1, format!("the model has no \"{section}\" to add to"));
            bad.hint(format!("write \"{section}\": {{}} into it"))
        })
    });
    let [nodes, members] = sections;
    let (nodes, members) = (nodes?, members?);
    let drawn = Drawn::of(&document.root);
    let mut joints = Joints::new(&drawn, by.within_mm);
    let mut remarks = Vec::new();
    let mut tubes = tubes(lines, by, &drawn, &mut joints, &mut remarks)?;
    run_through(&mut tubes, &joints)?;
    leave_out_doubles(&mut tubes, &drawn, &joints, &mut remarks);
    tell_through(&tubes, &joints, &mut remarks);
    tell_crossings(&tubes, &drawn, &joints, &mut remarks);
    tell_near_misses(&tubes, &joints, &mut remarks);
    tell_loose(&tubes, &drawn, &mut remarks);
    if drawn.mirror && !tubes.is_empty() {
        remarks.push("the model is mirrored; new nodes and members are on the side where they are drawn".to_owned());
    }
    if joints.widest_gap_mm > 1e-6 {
        remarks.push(format!("ends up to {} mm apart were joined", brief(joints.widest_gap_mm)));
    }
    Ok(written(document, [nodes, members], tubes, &joints, by.tube, remarks))
}

/// Nodes, those of the model first, and what of them a line ends at.
struct Joints<'d> {
    drawn: &'d Drawn,
    within_mm: f64,
    points: Vec<Point3<f64>>,
    names: Vec<String>,
    /// Points by the cell of space that they lie in.
    cells: HashMap<[i64; 3], Vec<usize>>,
    used: Vec<bool>,
    next_number: usize,
    widest_gap_mm: f64,
}

impl<'d> Joints<'d> {
    fn new(drawn: &'d Drawn, within_mm: f64) -> Self {
        let mut joints = Joints {
            drawn,
            within_mm,
            points: Vec::new(),
            names: Vec::new(),
            cells: HashMap::new(),
            used: Vec::new(),
            next_number: 1,
            widest_gap_mm: 0.0,
        };
        for (name, at) in &drawn.anchors {
            joints.add(name.clone(), *at);
        }
        joints
    }

    fn cell(&self, at: &Point3<f64>) -> [i64; 3] {
        // Coordinates are at most 1e9 mm, the width of a cell at least 0.01 mm.
        [at.x, at.y, at.z].map(|coordinate| (coordinate / self.within_mm).floor() as i64)
    }

    fn add(&mut self, name: String, at: Point3<f64>) -> usize {
        let place = self.points.len();
        self.cells.entry(self.cell(&at)).or_default().push(place);
        self.points.push(at);
        self.names.push(name);
        self.used.push(false);
        place
    }

    /// The nearest point that an end can join; the model's before new ones, of equals the first.
    fn nearest(&self, at: &Point3<f64>) -> Option<(usize, f64)> {
        let [x, y, z] = self.cell(at);
        let around = (-1..=1).flat_map(|i| (-1..=1).flat_map(move |j| (-1..=1).map(move |k| [x + i, y + j, z + k])));
        let mut near: Vec<(usize, f64)> = around
            .filter_map(|cell| self.cells.get(&cell))
            .flatten()
            .map(|place| (*place, (self.points[*place] - at).norm()))
            .filter(|(_, distance)| *distance <= self.within_mm)
            .collect();
        let is_new = |place: usize| place >= self.drawn.anchors.len();
        near.sort_by(|one, other| {
            is_new(one.0).cmp(&is_new(other.0)).then(one.1.total_cmp(&other.1)).then(one.0.cmp(&other.0))
        });
        near.first().copied()
    }

    /// The node at an end of a line.
    fn at_end(&mut self, at: &Point3<f64>) -> usize {
        let place = match self.nearest(at) {
            Some((place, gap)) => {
                self.widest_gap_mm = self.widest_gap_mm.max(gap);
                place
            }
            None => {
                let name = loop {
                    let name = format!("P{}", self.next_number);
                    self.next_number += 1;
                    if self.drawn.bears(&name).is_none() {
                        break name;
                    }
                };
                self.add(name, *at)
            }
        };
        self.used[place] = true;
        place
    }
}

/// One tube a line, without those that are too short.
fn tubes(
    lines: &[Line],
    by: &JoinBy<'_>,
    drawn: &Drawn,
    joints: &mut Joints<'_>,
    remarks: &mut Vec<String>,
) -> Result<Vec<Tube>, BadLine> {
    let mut tubes = Vec::new();
    let mut numbers: Named<usize> = Named::new();
    for line in lines {
        let ends =
            line.ends.map(|end| end.map(|coordinate| (coordinate * by.unit_mm * ROUNDED_TO).round() / ROUNDED_TO));
        if let Some(far) = ends.iter().flat_map(Point3::iter).find(|coordinate| coordinate.abs() > FARTHEST_MM) {
            let message = format!("here a line is {} m from the origin", brief(far.abs() / 1000.0));
            return Err(BadLine::new(line.at, message).hint("is the unit right? --unit says what the drawing is in"));
        }
        if (ends[1] - ends[0]).norm() <= by.within_mm {
            remarks.push(format!(
                "the line at line {} of the file is {} mm long, no longer than ends are joined over; left out",
                line.at,
                brief((ends[1] - ends[0]).norm())
            ));
            continue;
        }
        let chain = vec![joints.at_end(&ends[0]), joints.at_end(&ends[1])];
        if chain[0] == chain[1] {
            remarks.push(format!("the line at line {} of the file has both ends at one node; left out", line.at));
            continue;
        }
        tubes.push(Tube { name: member_name(&line.layer, drawn, &mut numbers), chain, line: line.at });
    }
    Ok(tubes)
}

/// A name by the layer, not taken yet: `line 3`, `RAILS 1`.
fn member_name(layer: &str, drawn: &Drawn, numbers: &mut Named<usize>) -> String {
    let plain: String = crate::source::visible(layer)
        .chars()
        .map(|letter| if letter == '/' { '-' } else { letter })
        .take(LONGEST_LAYER)
        .collect();
    let stem = match plain.trim() {
        "" | "0" => "line",
        other => other,
    };
    let number = numbers.entry(stem.to_owned()).or_default();
    loop {
        *number += 1;
        let name = format!("{stem} {number}");
        if drawn.bears(&name).is_none() {
            return name;
        }
    }
}

/// A line with a node on it between its ends becomes one tube that runs through that node.
fn run_through(tubes: &mut [Tube], joints: &Joints<'_>) -> Result<(), BadLine> {
    let within = joints.within_mm;
    // Nodes of the model and ends of lines; brackets only where a line ends at them.
    let mut along_x: Vec<usize> =
        (0..joints.points.len()).filter(|place| *place < joints.drawn.n_nodes || joints.used[*place]).collect();
    along_x.sort_by(|one, other| joints.points[*one].x.total_cmp(&joints.points[*other].x));
    let mut inner_nodes = 0;
    for tube in tubes {
        let (first, last) = (tube.chain[0], tube.chain[1]);
        let [a, b] = [first, last].map(|place| joints.points[place]);
        let from = along_x.partition_point(|place| joints.points[*place].x < a.x.min(b.x) - within);
        let mut inner: Vec<(f64, usize)> = along_x[from..]
            .iter()
            .take_while(|place| joints.points[**place].x <= a.x.max(b.x) + within)
            .filter(|place| **place != first && **place != last)
            .map(|place| (nearest_on_segment(&joints.points[*place], &a, &b), *place))
            .filter(|(nearest, _)| nearest.distance_mm <= within && nearest.part > 0.0 && nearest.part < 1.0)
            .map(|(nearest, place)| (nearest.part, place))
            .collect();
        if inner.is_empty() {
            continue;
        }
        inner_nodes += inner.len();
        if inner_nodes > MOST_INNER_NODES {
            return Err(BadLine::new(tube.line, "too many of the lines lie on one another"));
        }
        inner.sort_by(|one, other| one.0.total_cmp(&other.0).then(one.1.cmp(&other.1)));
        tube.chain = std::iter::once(first).chain(inner.into_iter().map(|(_, place)| place)).chain([last]).collect();
    }
    Ok(())
}

/// Tells which lines became tubes that run through nodes.
fn tell_through(tubes: &[Tube], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    for tube in tubes.iter().filter(|tube| tube.chain.len() > 2) {
        let inner = &tube.chain[1..tube.chain.len() - 1];
        let names: Vec<&str> = inner.iter().map(|place| joints.names[*place].as_str()).collect();
        let lie = if names.len() == 1 { "lies" } else { "lie" };
        remarks.push(format!("\"{}\" runs through {}, which {lie} on it", tube.name, names.join(", ")));
    }
}

/// Lines that lie where another tube is already.
fn leave_out_doubles(tubes: &mut Vec<Tube>, drawn: &Drawn, joints: &Joints<'_>, remarks: &mut Vec<String>) {
    let pair = |one: usize, other: usize| (one.min(other), one.max(other));
    // Who runs from node to node: the model's members, then the longest of the new ones.
    let mut owner: HashMap<(usize, usize), String> = HashMap::new();
    for (name, chain) in &drawn.members {
        let places: Vec<Option<usize>> = chain.iter().map(|node| drawn.anchors.get_index_of(node)).collect();
        for piece in places.windows(2) {
            if let [Some(one), Some(other)] = piece {
                owner.entry(pair(*one, *other)).or_insert_with(|| name.clone());
            }
        }
    }
    let mut order: Vec<usize> = (0..tubes.len()).collect();
    order.sort_by_key(|at| std::cmp::Reverse(tubes[*at].chain.len()));
    let mut double = vec![false; tubes.len()];
    for at in order {
        let tube = &tubes[at];
        let pieces: Vec<(usize, usize)> = tube.chain.windows(2).map(|piece| pair(piece[0], piece[1])).collect();
        // A member of the model runs past nodes that only the drawing has.
        let whole = pair(tube.chain[0], tube.chain[tube.chain.len() - 1]);
        if let Some(other) = pieces.iter().chain([&whole]).find_map(|piece| owner.get(piece)) {
            remarks.push(format!(
                "the line at line {} of the file lies on \"{other}\" (from {} to {}); left out",
                tube.line,
                joints.names[tube.chain[0]],
                joints.names[tube.chain[tube.chain.len() - 1]]
            ));
            double[at] = true;
        } else {
            for piece in pieces {
                owner.insert(piece, tube.name.clone());
            }
        }
    }
    let mut keep = double.iter().map(|double| !double);
    tubes.retain(|_| keep.next().unwrap_or(true));
}

/// Lines that come close to one another, or to a tube of the model, between the ends of that.
fn tell_crossings(tubes: &[Tube], drawn: &Drawn, joints: &Joints<'_>, remarks: &mut Vec<String>) {
    struct Piece<'t> {
        name: &'t str,
        ends: [usize; 2],
        is_new: bool,
    }
    let within = joints.within_mm;
    let mut pieces: Vec<Piece<'_>> = Vec::new();
    for (name, chain) in &drawn.members {
        for piece in chain.windows(2) {
            let ends = [drawn.anchors.get_index_of(&piece[0]), drawn.anchors.get_index_of(&piece[1])];
            if let [Some(one), Some(other)] = ends {
                pieces.push(Piece { name, ends: [one, other], is_new: false });
            }
        }
    }
    for tube in tubes {
        pieces.extend(tube.chain.windows(2).map(|piece| Piece {
            name: &tube.name,
            ends: [piece[0], piece[1]],
            is_new: true,
        }));
    }
    let point = |place: usize| &joints.points[place];
    let range = |piece: &Piece<'_>, axis: usize| {
        let [a, b] = piece.ends.map(|place| point(place)[axis]);
        (a.min(b) - within / 2.0, a.max(b) + within / 2.0)
    };
    let mut told = 0;
    pieces.sort_by(|one, other| range(one, 0).0.total_cmp(&range(other, 0).0));
    for (at, one) in pieces.iter().enumerate() {
        let behind = pieces[at + 1..].iter().take_while(|other| range(other, 0).0 <= range(one, 0).1);
        for other in behind.filter(|other| one.is_new || other.is_new) {
            let apart = (1..3).any(|axis| {
                let (a, b) = (range(one, axis), range(other, axis));
                a.0 > b.1 || b.0 > a.1
            });
            if apart || one.name == other.name || one.ends.iter().any(|end| other.ends.contains(end)) {
                continue;
            }
            let (parts, distance) = nearest_of_segments(one.ends.map(point), other.ends.map(point));
            if distance > within {
                continue;
            }
            told += 1;
            if told > MOST_CROSSINGS {
                remarks.push("and more lines meet like these".to_owned());
                return;
            }
            let [a, b] = one.ends.map(point);
            let here = (a + (b - a) * parts[0]).map(|coordinate| (coordinate * 10.0).round() / 10.0 + 0.0);
            remarks.push(format!(
                "\"{}\" and \"{}\" meet at [{}, {}, {}] and are not joined there: a node in both joins them, and so \
                 does a bracket on one that the other ends at",
                one.name, other.name, here.x, here.y, here.z
            ));
        }
    }
}

/// New nodes that lie a little further from another node than ends are joined over.
fn tell_near_misses(tubes: &[Tube], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    let is_new = |place: usize| place >= joints.drawn.anchors.len();
    let mut ends: Vec<usize> = tubes.iter().flat_map(|tube| tube.chain.iter().copied()).collect();
    ends.retain(|place| is_new(*place));
    ends.sort_unstable();
    ends.dedup();
    let mut along_x: Vec<usize> = (0..joints.drawn.anchors.len()).chain(ends.iter().copied()).collect();
    along_x.sort_by(|one, other| joints.points[*one].x.total_cmp(&joints.points[*other].x));
    let reach = NEAR_MISS * joints.within_mm;
    let mut told = 0;
    for end in ends {
        let at = joints.points[end];
        let from = along_x.partition_point(|place| joints.points[*place].x < at.x - reach);
        let near = along_x[from..].iter().take_while(|place| joints.points[**place].x <= at.x + reach);
        // Of two new nodes the second misses the first.
        let missed = near
            .filter(|place| **place < end)
            .map(|place| (*place, (joints.points[*place] - at).norm()))
            .filter(|(_, gap)| *gap > joints.within_mm && *gap <= reach)
            .min_by(|one, other| one.1.total_cmp(&other.1).then(one.0.cmp(&other.0)));
        let Some((missed, gap_mm)) = missed else { continue };
        told += 1;
        if told > MOST_CROSSINGS {
            remarks.push("and more ends miss nodes like these".to_owned());
            return;
        }
        remarks.push(format!(
            "new node {} misses {} by {} mm; --join {} makes one of them",
            joints.names[end],
            joints.names[missed],
            figures(gap_mm, 2),
            brief(gap_mm.ceil())
        ));
    }
}

/// New members that touch nothing of the model, not even by way of one another.
fn tell_loose(tubes: &[Tube], drawn: &Drawn, remarks: &mut Vec<String>) {
    if drawn.members.is_empty() {
        return;
    }
    let n_old = drawn.anchors.len();
    // From the model's own nodes outwards, as far as new members lead.
    let mut members_at: HashMap<usize, Vec<usize>> = HashMap::new();
    for (at, tube) in tubes.iter().enumerate() {
        for place in &tube.chain {
            members_at.entry(*place).or_default().push(at);
        }
    }
    let mut touches = vec![false; tubes.len()];
    let mut next: Vec<usize> =
        (0..tubes.len()).filter(|at| tubes[*at].chain.iter().any(|place| *place < n_old)).collect();
    while let Some(at) = next.pop() {
        if !std::mem::replace(&mut touches[at], true) {
            next.extend(tubes[at].chain.iter().flat_map(|place| &members_at[place]).filter(|other| !touches[**other]));
        }
    }
    let loose: Vec<&str> =
        tubes.iter().zip(&touches).filter(|(_, touches)| !**touches).map(|(tube, _)| tube.name.as_str()).collect();
    if !loose.is_empty() {
        let touch = if loose.len() == 1 { "touches" } else { "touch" };
        remarks.push(format!(
            "{} {touch} no node of the model, so that nothing holds the frame and these together",
            name_list(loose)
        ));
    }
}

/// The model's text with the new nodes and members.
fn written(
    document: &Document,
    [nodes, members]: [&Node; 2],
    tubes: Vec<Tube>,
    joints: &Joints<'_>,
    tube: &str,
    remarks: Vec<String>,
) -> Joined {
    // A node that only a line left out ends at is not needed.
    let mut needed = vec![false; joints.points.len()];
    tubes.iter().flat_map(|tube| &tube.chain).for_each(|place| needed[*place] = true);
    let new_nodes: Vec<(String, Point3<f64>)> = (joints.drawn.anchors.len()..joints.points.len())
        .filter(|place| needed[*place])
        .map(|place| (joints.names[place].clone(), joints.points[place]))
        .collect();
    let new_members: Vec<(String, Vec<String>)> = tubes
        .into_iter()
        .map(|tube| (tube.name, tube.chain.into_iter().map(|place| joints.names[place].clone()).collect()))
        .collect();
    let mut edits = Edits::new(document);
    edits.append(nodes, &new_nodes.iter().map(|(name, at)| (name.clone(), new_place(at))).collect::<Vec<_>>());
    let member = |chain: &[String]| {
        let key = if chain.len() == 2 { "ends" } else { "through" };
        let nodes = New::List(chain.iter().map(|name| New::Text(name.clone())).collect());
        New::Object(vec![(key, nodes), ("tube", New::Text(tube.to_owned()))])
    };
    edits.append(members, &new_members.iter().map(|(name, chain)| (name.clone(), member(chain))).collect::<Vec<_>>());
    Joined { text: edits.text(), nodes: new_nodes, members: new_members, remarks }
}
