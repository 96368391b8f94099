//! The lines of a drawing into a model: ends that meet become nodes, lines become members.
//!
//! In a mirrored model what is on the left, y > 0, is written with the ending `.l`, and what is
//! drawn as its mirror image is left out: the mirror makes it. What is on one side alone is written
//! without the ending, where it is drawn, and told.

use std::collections::{HashMap, HashSet};

use nalgebra::Point3;

use super::dxf::Line;
use super::meeting::{Joints, Nearest, Tube, is_free, pair, pieces, whole};
use super::placing::new_place;
use super::remarks::{LeftOut, tell_crossings, tell_left_out, tell_near_misses, tell_sides, tell_through};
use super::{BadLine, FARTHEST_MM};
use crate::model::{Drawn, other_side};
use crate::source::{Document, Edits, Named, New, Node, Value};
use crate::space::nearest_on_segment;
use crate::units::{Length, Quantity, brief, rounded};

/// Noise of a drawing program that is rounded off, parts of a mm.
const ROUNDED_TO: f64 = 1e6;
/// Longest part of a layer's name that a member's name takes.
const LONGEST_LAYER: usize = 48;

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
    /// The unit in which ends would lie on the model, where no line touches it in this one.
    pub unit_meant: Option<&'static str>,
}

/// Why lines were not joined.
#[derive(Debug)]
pub enum NotJoined {
    /// Something is wrong with the file.
    Bad(BadLine),
    /// New members touch nothing of the members that are there.
    Loose(Loose),
}

impl From<BadLine> for NotJoined {
    fn from(bad: BadLine) -> Self {
        NotJoined::Bad(bad)
    }
}

/// New members that touch nothing of the model, not even by way of one another and of their twins.
#[derive(Debug)]
pub struct Loose {
    /// Their names.
    pub members: Vec<String>,
    /// Of their nodes the one that is nearest to a node of the model.
    pub nearest: Option<Nearest>,
    /// The unit in which ends would lie on the model, where no line touches it in this one.
    pub unit_meant: Option<&'static str>,
    /// What to know about the lines, in sentences.
    pub remarks: Vec<String>,
}

/// Puts the lines of a drawing into a model.
///
/// # Errors
/// A line that is nowhere near a car; a model without a place for nodes or members; where the model
/// has members, lines that touch nothing of it.
pub fn join(document: &Document, lines: &[Line], by: &JoinBy<'_>) -> Result<Joined, NotJoined> {
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
    let left_out = leave_out_doubles(&mut tubes, &drawn, &joints);
    joints.name_by_side(&tubes);
    tell_left_out(&left_out, &joints, &mut remarks);
    tell_through(&tubes, &joints, &mut remarks);
    tell_crossings(&tubes, &drawn, &joints, &mut remarks);
    tell_near_misses(&tubes, &joints, &mut remarks);
    let touched =
        !left_out.is_empty() || tubes.iter().flat_map(|tube| &tube.chain).any(|place| *place < drawn.anchors.len());
    let unit_meant = if touched { None } else { unit_meant(lines, by, &drawn) };
    let loose = loose(&tubes, &drawn);
    if !loose.is_empty() {
        let members = loose.iter().map(|(name, _)| name.clone()).collect();
        let places = loose.iter().flat_map(|(_, chain)| chain.iter().copied());
        return Err(NotJoined::Loose(Loose { members, nearest: joints.nearest_old(places), unit_meant, remarks }));
    }
    if drawn.mirror {
        tell_sides(&tubes, &joints, &mut remarks);
    }
    if joints.widest_gap_mm > 1e-6 {
        remarks.push(format!("ends up to {} mm apart were joined", rounded(joints.widest_gap_mm)));
    }
    Ok(Joined { unit_meant, ..written(document, [nodes, members], tubes, &joints, by.tube, remarks) })
}

/// The unit in which most ends of lines would lie on nodes or brackets of the model, if any would.
fn unit_meant(lines: &[Line], by: &JoinBy<'_>, drawn: &Drawn) -> Option<&'static str> {
    let joints = Joints::new(drawn, by.within_mm);
    let mut best: (usize, Option<&'static str>) = (0, None);
    for (unit, size_mm) in Length::KIND.units.iter().filter(|(_, size_mm)| *size_mm != by.unit_mm) {
        let ends = lines.iter().flat_map(|line| &line.ends).map(|end| end.map(|coordinate| coordinate * size_mm));
        let lie = ends
            // The origin is the same in all units.
            .filter(|at| at.coords.amax() <= FARTHEST_MM && at.coords.amax() > by.within_mm)
            .filter(|at| joints.nearest(at).is_some())
            .count();
        if lie > best.0 {
            best = (lie, Some(unit));
        }
    }
    best.1
}

/// One tube a line, without those that are too short.
fn tubes(
    lines: &[Line],
    by: &JoinBy<'_>,
    drawn: &Drawn,
    joints: &mut Joints<'_>,
    remarks: &mut Vec<String>,
) -> Result<Vec<Tube>, BadLine> {
    let mut usable: Vec<(&Line, [Point3<f64>; 2])> = Vec::new();
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
                rounded((ends[1] - ends[0]).norm())
            ));
            continue;
        }
        usable.push((line, ends));
    }
    if drawn.mirror {
        // The left first, so that ends on the right find the twins there.
        for end in usable.iter().flat_map(|(_, ends)| ends).filter(|end| end.y > 0.0) {
            joints.at_end(end);
        }
    }
    let mut tubes = Vec::new();
    let mut numbers: Named<usize> = Named::new();
    for (line, ends) in usable {
        let chain = vec![joints.at_end(&ends[0]), joints.at_end(&ends[1])];
        if chain[0] == chain[1] {
            remarks.push(format!("the line at line {} of the file has both ends at one node; left out", line.at));
            continue;
        }
        tubes.push(Tube { name: member_name(&line.layer, drawn, &mut numbers), chain, twin: None, line: line.at });
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
        if is_free(&name, drawn) {
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

/// Who runs from node to node.
type Owners = HashMap<(usize, usize), String>;

/// Leaves out lines that lie where another tube is already, or where the mirror makes one; settles
/// which tubes get a twin.
fn leave_out_doubles(tubes: &mut Vec<Tube>, drawn: &Drawn, joints: &Joints<'_>) -> Vec<LeftOut> {
    // The model's members, then the longest of the new ones; of mirror images the one on the left.
    let mut owners: Owners = HashMap::new();
    for (name, chain) in &drawn.members {
        let places: Vec<Option<usize>> = chain.iter().map(|node| drawn.anchors.get_index_of(node)).collect();
        for piece in places.windows(2) {
            if let [Some(one), Some(other)] = piece {
                owners.entry(pair(*one, *other)).or_insert_with(|| name.clone());
            }
        }
    }
    let drawn_lines: HashSet<(usize, usize)> = tubes.iter().map(|tube| whole(&tube.chain)).collect();
    let is_right = |tube: &Tube| drawn.mirror && joints.is_on_side(&tube.chain, -1.0);
    let mut order: Vec<usize> = (0..tubes.len()).collect();
    order.sort_by_key(|at| (is_right(&tubes[*at]), std::cmp::Reverse(tubes[*at].chain.len())));
    let mut images: HashSet<(usize, usize)> = HashSet::new();
    let mut left_out: HashMap<usize, LeftOut> = HashMap::new();
    for at in order {
        let tube = &mut tubes[at];
        // A member of the model runs past nodes that only the drawing has.
        let whole_line = whole(&tube.chain);
        if let Some(other) = pieces(&tube.chain).chain([whole_line]).find_map(|piece| owners.get(&piece)) {
            let ends = [tube.chain[0], tube.chain[tube.chain.len() - 1]];
            let is_image = images.contains(&whole_line);
            left_out.insert(at, LeftOut { line: tube.line, ends, on: other.clone(), is_image });
            continue;
        }
        tube.twin = twin(&tube.chain, &owners, &drawn_lines, joints);
        let stem = tube.name.clone();
        if let Some(twin) = &tube.twin {
            tube.name = format!("{stem}.l");
            images.insert(whole(twin));
            owners.extend(pieces(twin).map(|piece| (piece, format!("{stem}.r"))));
        }
        owners.extend(pieces(&tube.chain).map(|piece| (piece, tube.name.clone())));
    }
    let mut at = 0;
    tubes.retain(|_| {
        at += 1;
        !left_out.contains_key(&(at - 1))
    });
    let mut left_out: Vec<LeftOut> = left_out.into_values().collect();
    left_out.sort_by_key(|double| double.line);
    left_out
}

/// The chain of the twin that a new tube gets: of one on the left, and of one across the middle
/// whose mirror image is drawn too. `None` in a model that is not mirrored, for its own mirror
/// image, and where something is in the way.
fn twin(
    chain: &[usize],
    owners: &Owners,
    drawn_lines: &HashSet<(usize, usize)>,
    joints: &Joints<'_>,
) -> Option<Vec<usize>> {
    let twin = joints.image(chain)?;
    let is_wanted = joints.is_on_side(chain, 1.0) || drawn_lines.contains(&whole(&twin));
    let is_free = pieces(&twin).chain([whole(&twin)]).all(|piece| !owners.contains_key(&piece));
    (whole(&twin) != whole(chain) && is_wanted && is_free).then_some(twin)
}

/// New members that touch nothing of the model, with their nodes. None where the model has no members
/// that they could touch.
fn loose<'t>(tubes: &'t [Tube], drawn: &Drawn) -> Vec<(String, &'t Vec<usize>)> {
    if drawn.members.is_empty() {
        return Vec::new();
    }
    let n_old = drawn.anchors.len();
    // Name, nodes, and of a twin the place of the member that it is made from.
    let twin = |(at, tube): (usize, &'t Tube)| Some((other_side(&tube.name), tube.twin.as_ref()?, Some(at)));
    let twins = tubes.iter().enumerate().filter_map(twin);
    let members: Vec<(String, &Vec<usize>, Option<usize>)> =
        tubes.iter().map(|tube| (tube.name.clone(), &tube.chain, None)).chain(twins).collect();
    // From the model's own nodes outwards, as far as new members lead.
    let mut members_at: HashMap<usize, Vec<usize>> = HashMap::new();
    for (at, (_, chain, _)) in members.iter().enumerate() {
        for place in *chain {
            members_at.entry(*place).or_default().push(at);
        }
    }
    let mut touches = vec![false; members.len()];
    let mut next: Vec<usize> =
        (0..members.len()).filter(|at| members[*at].1.iter().any(|place| *place < n_old)).collect();
    while let Some(at) = next.pop() {
        if !std::mem::replace(&mut touches[at], true) {
            next.extend(members[at].1.iter().flat_map(|place| &members_at[place]).filter(|other| !touches[**other]));
        }
    }
    let is_told = |at: &usize| !touches[*at] && members[*at].2.is_none_or(|original| touches[original]);
    (0..members.len()).filter(is_told).map(|at| (members[at].0.clone(), members[at].1)).collect()
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
    let new_nodes: Vec<(String, Point3<f64>)> =
        joints.written(&tubes).into_iter().map(|place| (joints.names[place].clone(), joints.points[place])).collect();
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
    Joined { text: edits.text(), nodes: new_nodes, members: new_members, remarks, unit_meant: None }
}
