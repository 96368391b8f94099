//! What is odd about lines that were joined: crossings that join nothing, ends that just miss a node, doubles, and tubes
//! without a twin.

use super::meeting::{Joints, Tube, whole};
use crate::model::{Drawn, other_side};
use crate::space::nearest_of_segments;
use crate::units::{brief, figures};

/// Most crossings that are told.
const MOST_CROSSINGS: usize = 1000;
/// An end is told to miss a node that is no further away than this times what ends are joined over.
const NEAR_MISS: f64 = 5.0;

/// A line that is left out, since another tube lies there.
pub(super) struct LeftOut {
    pub(super) line: u64,
    pub(super) ends: [usize; 2],
    /// The other tube.
    pub(super) on: String,
    /// Whether that is the twin of a new one, drawn from end to end.
    pub(super) is_image: bool,
}

/// Tells which lines became tubes that run through nodes.
pub(super) fn tell_through(tubes: &[Tube], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    for tube in tubes.iter().filter(|tube| tube.chain.len() > 2) {
        let inner = &tube.chain[1..tube.chain.len() - 1];
        let names: Vec<&str> = inner.iter().map(|place| joints.names[*place].as_str()).collect();
        let lie = if names.len() == 1 { "lies" } else { "lie" };
        remarks.push(format!("\"{}\" runs through {}, which {lie} on it", tube.name, names.join(", ")));
    }
}

pub(super) fn tell_left_out(left_out: &[LeftOut], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    for LeftOut { line, ends, on, .. } in left_out.iter().filter(|double| !double.is_image) {
        let [from, to] = ends.map(|place| &joints.names[place]);
        remarks.push(format!("the line at line {line} of the file lies on \"{on}\" (from {from} to {to}); left out"));
    }
    match left_out.iter().filter(|double| double.is_image).count() {
        0 => {}
        1 => remarks.push("one line is the mirror image of another; left out, since the mirror makes it".to_owned()),
        count => {
            remarks.push(format!("{count} lines are mirror images of others; left out, since the mirror makes them"));
        }
    }
}

/// Tells what is on both sides of a mirrored model, and what is on one alone.
pub(super) fn tell_sides(tubes: &[Tube], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    if tubes.iter().any(|tube| tube.twin.is_some()) {
        remarks.push("the model is mirrored: it makes a twin .r of each new node and member .l".to_owned());
    }
    let is_own_image = |tube: &Tube| joints.image(&tube.chain).is_some_and(|image| whole(&image) == whole(&tube.chain));
    for tube in tubes.iter().filter(|tube| tube.twin.is_none() && !is_own_image(tube)) {
        let lonely = tube.chain.iter().find(|place| joints.images[**place].is_none());
        let why = match lonely.filter(|_| joints.is_on_side(&tube.chain, 1.0)) {
            Some(place) => format!("{} has no mirror image", joints.names[*place]),
            None if joints.is_on_side(&tube.chain, 1.0) => "another tube lies where its twin would be".to_owned(),
            None => "its mirror image is not drawn".to_owned(),
        };
        remarks.push(format!("\"{}\" gets no twin, though the model is mirrored: {why}", tube.name));
    }
}

/// Lines that come close to one another, or to a tube of the model, between the ends of that.
pub(super) fn tell_crossings(tubes: &[Tube], drawn: &Drawn, joints: &Joints<'_>, remarks: &mut Vec<String>) {
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
    let twin_names: Vec<String> = tubes.iter().map(|tube| other_side(&tube.name)).collect();
    for (tube, twin_name) in tubes.iter().zip(&twin_names) {
        let mut add = |name, chain: &[usize], is_new| {
            pieces.extend(chain.windows(2).map(|piece| Piece { name, ends: [piece[0], piece[1]], is_new }));
        };
        add(tube.name.as_str(), &tube.chain, true);
        // Twins that meet are the mirror images of new ones that do.
        add(twin_name.as_str(), tube.twin.as_deref().unwrap_or_default(), false);
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
pub(super) fn tell_near_misses(tubes: &[Tube], joints: &Joints<'_>, remarks: &mut Vec<String>) {
    let n_old = joints.drawn.anchors.len();
    let needed = joints.needed(tubes);
    let ends: Vec<usize> = (n_old..joints.points.len()).filter(|place| needed[*place]).collect();
    let mut along_x: Vec<usize> = (0..n_old).chain(ends.iter().copied()).collect();
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
        // What the twin of a node misses, the node misses on its own side, but for the node itself.
        if joints.images[end].is_some_and(|image| image < end && image != missed && needed[image]) {
            continue;
        }
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
