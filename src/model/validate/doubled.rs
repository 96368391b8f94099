//! Tubes that lie on one another: one drawn twice carries half of what it should, on paper alone.

use nalgebra::Point3;

use crate::model::{Model, entry_at, other_side};
use crate::space::shared_length_mm;
use crate::units::figures;

/// Axes that are nowhere further apart lie on one another, mm: what rounding of measured points
/// leaves. No two tubes can be welded side by side so close.
const WITHIN_MM: f64 = 1.0;

/// A straight piece of a member.
struct Piece {
    member: usize,
    ends: [Point3<f64>; 2],
}

impl Piece {
    fn length_mm(&self) -> f64 {
        (self.ends[1] - self.ends[0]).norm()
    }

    /// From where to where it reaches along an axis, and a little more.
    fn range(&self, axis: usize) -> (f64, f64) {
        let [a, b] = [self.ends[0][axis], self.ends[1][axis]];
        (a.min(b) - WITHIN_MM, a.max(b) + WITHIN_MM)
    }
}

/// A warning for each pair of members that share a length of more than a tube's outside.
pub(super) fn doubled(model: &Model) -> Vec<String> {
    let axes: Vec<Vec<Point3<f64>>> = model.members.values().map(|member| model.member_axis(member)).collect();
    let mut pieces: Vec<Piece> = Vec::new();
    for (member, axis) in axes.iter().enumerate() {
        pieces.extend(axis.windows(2).map(|ends| Piece { member, ends: [ends[0], ends[1]] }));
    }
    pieces.sort_by(|one, other| one.range(0).0.total_cmp(&other.range(0).0));
    let whole_mm: Vec<f64> =
        axes.iter().map(|axis| axis.windows(2).map(|ends| (ends[1] - ends[0]).norm()).sum()).collect();
    // The members of each pair, the one that lies on the other first, with the length that they share.
    let mut found: Vec<([usize; 2], f64)> = Vec::new();
    for (at, one) in pieces.iter().enumerate() {
        for other in pieces[at + 1..].iter().take_while(|other| other.range(0).0 <= one.range(0).1) {
            let beside = (1..3).any(|axis| {
                let (a, b) = (one.range(axis), other.range(axis));
                a.0 > b.1 || b.0 > a.1
            });
            if beside || one.member == other.member {
                continue;
            }
            let [ends, others] = [one, other].map(|piece| [&piece.ends[0], &piece.ends[1]]);
            let Some(shared_mm) = shared_length_mm(ends, others, WITHIN_MM) else { continue };
            let outside = |piece: &Piece| model.tubes[model.members[piece.member].tube].section.largest_mm();
            let whole = shared_mm >= one.length_mm().min(other.length_mm()) - WITHIN_MM;
            if !whole && shared_mm <= outside(one).max(outside(other)) {
                continue;
            }
            // The shorter lies on the longer; of equals the one that is written later.
            let mut pair = [one.member.max(other.member), one.member.min(other.member)];
            if whole_mm[pair[0]] > whole_mm[pair[1]] + WITHIN_MM {
                pair.reverse();
            }
            match found.iter_mut().find(|(known, _)| *known == pair) {
                Some((_, sum_mm)) => *sum_mm += shared_mm,
                None => found.push((pair, shared_mm)),
            }
        }
    }
    found.sort_by_key(|(pair, _)| *pair);
    let name = |member: usize| entry_at(&model.members, member).0;
    // On a tube that turns back on itself another lies twice over the same length.
    let warning =
        |([upper, lower], shared_mm): ([usize; 2], f64)| told(name(upper), name(lower), shared_mm.min(whole_mm[upper]));
    found.into_iter().map(warning).collect()
}

fn told(upper: &str, lower: &str, shared_mm: f64) -> String {
    let length = figures(shared_mm, 3);
    if other_side(upper) == lower && upper != lower {
        return format!(
            "member \"{upper}\" lies on its twin \"{lower}\" over {length} mm: a tube in the middle of the car takes a name that does not end in .l"
        );
    }
    format!("member \"{upper}\" lies on \"{lower}\" over {length} mm: if it is drawn twice, take one out")
}
