//! How an upright moves when its wheel rises a little: the first-order motion.
//!
//! Reads a drawn corner; gives the one motion that its arms and links leave it with the spring
//! taken out and the frame, the rack in it too, held still. Leaves out large travel and bushes.

use nalgebra::{DMatrix, Point3, Vector3};

use crate::math::null_space;
use crate::model::{Anchor, BracketFoot, Corner, CornerKind, Link, LinkFoot, Model, TubeRef, UPPER, Wishbone};

/// A singular value of the unit rows up to this is none, and the direction is free.
const FREE: f64 = 1e-9;
/// A wheel centre that rises by less than this part of the whole motion does not rise.
const LEVEL: f64 = 1e-6;

/// A small motion of a rigid part: the shift of one of its points, and its turn; mm and rad, or both for
/// each mm of something else.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Motion {
    /// The point, mm.
    pub at: Point3<f64>,
    /// Its shift, mm.
    pub shift: Vector3<f64>,
    /// Turn of the part, rad, by the right hand.
    pub turn: Vector3<f64>,
}

impl Motion {
    /// The shift of another point of the part.
    pub fn of(&self, point: &Point3<f64>) -> Vector3<f64> {
        self.shift + self.turn.cross(&(point - self.at))
    }

    /// The same motion, larger or smaller.
    #[must_use]
    fn times(self, factor: f64) -> Self {
        Self { shift: self.shift * factor, turn: self.turn * factor, ..self }
    }
}

/// A point of the upright that may not move in a direction (unit vector), to first order.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Holding {
    /// The point, mm.
    pub(super) at: Point3<f64>,
    /// The direction.
    pub(super) along: Vector3<f64>,
}

/// The motion of the upright for 1 mm of rise of the wheel centre: mm per mm and rad per mm.
///
/// A wishbone holds its ball in two directions of its plane, a link or tie rod its outer end along
/// itself, a strut the point of the upright at its top in two directions square to it, a trailing
/// arm all but the turn about the line of its pivots. The motion is the null space of the five rows.
/// Source: a rigid body held in five independent directions has one instantaneous screw motion, as
/// in any text on kinematics, for instance Hunt, Kinematic Geometry of Mechanisms (from memory).
///
/// # Errors
/// A sentence: the upright has not exactly one motion, the wheel does not rise, or a part of the
/// corner stands on another.
pub fn rise(model: &Model, corner: &Corner) -> Result<Motion, String> {
    if corner.kind.anchors().into_iter().any(|anchor| stands_on_a_corner(model, anchor)) {
        return Err("a part of it stands on a tube of a corner, which moves with the wheel".to_owned());
    }
    let motions = motions(&corner.wheel_centre, &holdings(model, corner));
    let [motion] = motions.as_slice() else {
        return Err(format!(
            "with its spring out the upright can move in {} ways at once, and should in one",
            motions.len()
        ));
    };
    let size = motion.shift.norm() + motion.turn.norm() * (corner.wheel_centre - corner.contact_patch).norm();
    if motion.shift.z.abs() < LEVEL * size {
        return Err("with its spring out the wheel does not rise".to_owned());
    }
    Ok(motion.times(1.0 / motion.shift.z))
}

/// How much shorter the spring or strut gets for a motion of the upright, mm.
pub fn spring_shortens(model: &Model, corner: &Corner, motion: &Motion) -> f64 {
    let Some(spring) = corner.kind.spring() else {
        let CornerKind::Strut(strut) = &corner.kind else { return 0.0 };
        let top = model.anchor_at(strut.top);
        return motion.of(&top).dot(&(top - strut.bottom).normalize());
    };
    let up = (model.anchor_at(spring.top) - spring.bottom).normalize();
    let foot = match &spring.on {
        LinkFoot::Upright => motion.of(&spring.bottom),
        LinkFoot::Tubes(tubes) => match (&corner.kind, tubes.first()) {
            (CornerKind::DoubleWishbone(drawn), Some(tube)) => {
                let on_upper = corner.kind.tubes()[*tube].arm == Some(UPPER);
                of_wishbone(model, if on_upper { &drawn.upper } else { &drawn.lower }, motion, &spring.bottom)
            }
            // A trailing arm is one with its upright.
            _ => motion.of(&spring.bottom),
        },
    };
    foot.dot(&up)
}

/// The shift of a point of a wishbone, which turns about its pivots' line as its ball has it.
fn of_wishbone(model: &Model, arm: &Wishbone, motion: &Motion, point: &Point3<f64>) -> Vector3<f64> {
    let (pivot, line) = pivot_line(model, arm.inner);
    let path = line.cross(&(arm.outer - pivot));
    let turn = motion.of(&arm.outer).dot(&path) / path.norm_squared();
    line.cross(&(point - pivot)) * turn
}

/// A point of the line through two pivots, and its direction (unit vector).
fn pivot_line(model: &Model, pivots: [Anchor; 2]) -> (Point3<f64>, Vector3<f64>) {
    let [first, second] = pivots.map(|pivot| model.anchor_at(pivot));
    (first, (second - first).normalize())
}

/// What holds the upright, the spring apart.
fn holdings(model: &Model, corner: &Corner) -> Vec<Holding> {
    match &corner.kind {
        CornerKind::DoubleWishbone(drawn) => {
            let arms = [&drawn.upper, &drawn.lower].into_iter().flat_map(|arm| of_arm(model, arm));
            arms.chain([of_link(model, &drawn.tie_rod)]).collect()
        }
        CornerKind::Strut(drawn) => {
            let at = model.anchor_at(drawn.top);
            let square = square_to(&(at - drawn.bottom));
            let strut = square.map(|along| Holding { at, along });
            of_arm(model, &drawn.lower).into_iter().chain([of_link(model, &drawn.tie_rod)]).chain(strut).collect()
        }
        CornerKind::TrailingArm(drawn) => {
            let (at, line) = pivot_line(model, drawn.pivots);
            let [one, other] = square_to(&line);
            let first = [line, one, other].map(|along| Holding { at, along });
            let at = model.anchor_at(drawn.pivots[1]);
            first.into_iter().chain([one, other].map(|along| Holding { at, along })).collect()
        }
        CornerKind::Links(drawn) => drawn.links.iter().map(|(_, link)| of_link(model, link)).collect(),
    }
}

/// A wishbone: along the line of its pivots, and square to that in its plane.
fn of_arm(model: &Model, arm: &Wishbone) -> [Holding; 2] {
    let (pivot, line) = pivot_line(model, arm.inner);
    let reach = arm.outer - pivot;
    let across = (reach - line * reach.dot(&line)).normalize();
    [line, across].map(|along| Holding { at: arm.outer, along })
}

/// A link: along itself.
pub(super) fn of_link(model: &Model, link: &Link) -> Holding {
    Holding { at: link.outer, along: (link.outer - model.anchor_at(link.inner)).normalize() }
}

/// Two unit vectors square to a vector and to each other.
fn square_to(vector: &Vector3<f64>) -> [Vector3<f64>; 2] {
    let axis = Vector3::ith(vector.iamin(), 1.0);
    let one = vector.cross(&axis).normalize();
    [one, vector.cross(&one).normalize()]
}

/// The independent motions that the holdings leave, told by the shift of a point.
pub(super) fn motions(at: &Point3<f64>, holdings: &[Holding]) -> Vec<Motion> {
    // Turns times the size of the upright, so that shifts and turns weigh alike.
    let size = holdings.iter().map(|holding| (holding.at - at).norm()).fold(1.0, f64::max);
    let mut rows = DMatrix::zeros(holdings.len(), 6);
    for (row, holding) in holdings.iter().enumerate() {
        let lever = (holding.at - at).cross(&holding.along) / size;
        for axis in 0..3 {
            rows[(row, axis)] = holding.along[axis];
            rows[(row, axis + 3)] = lever[axis];
        }
    }
    let free = null_space(&rows, FREE);
    free.column_iter()
        .map(|column| Motion {
            at: *at,
            shift: column.fixed_rows::<3>(0).into_owned(),
            turn: column.fixed_rows::<3>(3) / size,
        })
        .collect()
}

/// Whether an anchor is a bracket on a tube of a corner, which is not still when the wheel rises.
fn stands_on_a_corner(model: &Model, anchor: Anchor) -> bool {
    let Anchor::Bracket(bracket) = anchor else { return false };
    match &model.brackets[bracket].on {
        BracketFoot::Node(_) => false,
        BracketFoot::Tubes(tubes) => tubes.iter().any(|tube| matches!(tube, TubeRef::Corner { .. })),
    }
}
