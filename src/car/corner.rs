//! What a corner is made of: its tubes and how each is joined.

use crate::model::{Corner, CornerKind, CornerTube};

/// How the outer end of a corner's tube is joined.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OuterEnd {
    /// Welded to the other tubes of its arm, which a ball holds to the upright.
    ArmOnBall(&'static str),
    /// A rod-end on the upright.
    RodEnd,
}

/// A tube of a corner with its joints; the inner end is always a rod-end at its node.
#[derive(Debug, Clone, PartialEq)]
pub struct CornerPart {
    /// The tube.
    pub tube: CornerTube,
    /// How its outer end is joined.
    pub outer: OuterEnd,
}

/// The tubes of a corner, in the order of [`Corner::tube_names`].
pub fn corner_parts(corner: &Corner) -> Vec<CornerPart> {
    match &corner.kind {
        CornerKind::DoubleWishbone(_) => corner
            .kind
            .tubes()
            .into_iter()
            .map(|tube| CornerPart { outer: tube.arm.map_or(OuterEnd::RodEnd, OuterEnd::ArmOnBall), tube })
            .collect(),
    }
}
