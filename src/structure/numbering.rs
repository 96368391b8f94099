//! What moves with what, and which unknowns are left.
//!
//! Each tie is a row in the motions of the parts that it joins. The rows of parts that hold one
//! another and are held themselves (a bracket on a rod-ended tube end, and its node) are reduced
//! together, by elimination with full pivoting, into unknowns that stay, motions of bodies and
//! uprights that nothing holds, and given movements of the ground.

use std::sync::Arc;

use nalgebra::{DMatrix, DVector, Matrix6, Point3, Vector6};

use super::union::Union;
use super::{Origin, PartKind, Structure, Tie};
use crate::math::{BlockPattern, eliminate};
use crate::model::{Fault, Model};
use crate::path;

/// A row whose largest entry is this small after elimination depends on the others.
const DEPENDENT: f64 = 1e-9;

/// The motions of one part: a sum over unknowns and over ties whose holder's side is moved.
#[derive(Debug, Clone, PartialEq)]
pub struct PartMotion {
    /// Block of unknowns, and the six motions for each of them; columns of zeros where it has fewer
    /// than six.
    pub terms: Vec<(usize, Matrix6<f64>)>,
    /// Tie to the ground, and the six motions for a unit movement of its ground side.
    pub ground: Vec<(usize, Vector6<f64>)>,
}

/// Parts whose ties are reduced together.
#[derive(Debug, Clone, PartialEq)]
pub struct Group {
    /// The parts.
    pub parts: Vec<usize>,
    /// The ties that hold them.
    pub ties: Vec<usize>,
    /// The rows of the ties in the motions of the parts: one row a tie.
    pub rows: DMatrix<f64>,
    /// Motions of the parts for a unit right side of each row, the kept motions at rest.
    pub from_right: DMatrix<f64>,
}

/// The unknowns of a structure.
#[derive(Debug, Clone)]
pub struct Numbering {
    /// The motions of each part.
    pub parts: Vec<PartMotion>,
    /// Parts that ties hold, in groups.
    pub groups: Vec<Group>,
    /// All ties: those of the structure, then held turns.
    pub ties: Vec<Tie>,
    /// Block sizes and who meets whom.
    pub pattern: Arc<BlockPattern>,
}

impl Numbering {
    /// Reduces the ties of a structure, and those that hold turns which nothing needs to resist.
    ///
    /// # Errors
    /// Every closed ring of rigid ties.
    pub fn new(structure: &Structure, held: &[Tie]) -> Result<Numbering, Vec<Ring>> {
        let ties: Vec<Tie> = structure.ties.iter().chain(held).copied().collect();
        let n = structure.parts.len();
        // A part is reduced together with what holds it if that is itself held: a part of the frame, or
        // an upright to which a bracket is welded that a mount holds. A body or an upright that nothing
        // holds keeps all six motions, so that others can be written in them.
        let mut is_held = vec![false; n];
        for tie in &ties {
            is_held[tie.part] = true;
        }
        let mut union = Union::default();
        for _ in 0..n {
            union.add();
        }
        for tie in &ties {
            if let Some(holder) = tie.holder
                && (structure.parts[holder].kind == PartKind::Frame || is_held[holder])
            {
                union.unite(tie.part, holder);
            }
        }
        let mut groups: Vec<Group> = Vec::new();
        let mut group_of = vec![usize::MAX; n];
        for (at, tie) in ties.iter().enumerate() {
            let first = union.first(tie.part);
            if group_of[first] == usize::MAX {
                group_of[first] = groups.len();
                groups.push(Group {
                    parts: Vec::new(),
                    ties: Vec::new(),
                    rows: DMatrix::zeros(0, 0),
                    from_right: DMatrix::zeros(0, 0),
                });
            }
            groups[group_of[first]].ties.push(at);
        }
        for part in 0..n {
            group_of[part] = group_of[union.first(part)];
            if group_of[part] != usize::MAX {
                groups[group_of[part]].parts.push(part);
            }
        }
        let mut sizes = vec![6; n];
        let mut parts: Vec<PartMotion> =
            (0..n).map(|part| PartMotion { terms: vec![(part, Matrix6::identity())], ground: Vec::new() }).collect();
        let mut rings = Vec::new();
        for group in &mut groups {
            group.rows = rows(structure, group, &ties);
            match reduce(structure, group, &ties, &mut parts, &mut sizes) {
                Ok(from_right) => group.from_right = from_right,
                Err(row) => {
                    let of_group = group.ties.iter().map(|tie| ties[*tie]).collect();
                    rings.push(Ring { ties: of_group, last: ties[group.ties[row]] });
                }
            }
        }
        if !rings.is_empty() {
            return Err(rings);
        }
        let pattern = Arc::new(BlockPattern::new(&sizes, meetings(structure, &parts)));
        Ok(Numbering { parts, groups, ties, pattern })
    }

    /// The unknowns of a block; zeros where it has fewer than six.
    pub fn of_block(&self, unknowns: &DVector<f64>, block: usize) -> Vector6<f64> {
        let of_block = &unknowns.as_slice()[self.pattern.offset(block)..self.pattern.offset(block + 1)];
        Vector6::from_fn(|row, _| of_block.get(row).copied().unwrap_or(0.0))
    }

    /// Adds to the unknowns of a block.
    pub fn add_to_block(&self, unknowns: &mut DVector<f64>, block: usize, more: &Vector6<f64>) {
        let of_block = self.pattern.offset(block)..self.pattern.offset(block + 1);
        for (sum, more) in unknowns.as_mut_slice()[of_block].iter_mut().zip(more) {
            *sum += more;
        }
    }
}

/// A closed ring of rigid ties: those of its group, and the one that depends on the others.
#[derive(Debug, Clone, PartialEq)]
pub struct Ring {
    ties: Vec<Tie>,
    last: Tie,
}

/// Reduces the ties of a structure, and those that hold turns which nothing needs to resist.
///
/// # Errors
/// Every closed ring of rigid ties, in words.
pub fn number(model: &Model, structure: &Structure, held: &[Tie]) -> Result<Numbering, Vec<Fault>> {
    Numbering::new(structure, held).map_err(|rings| rings.iter().map(|ring| closed_ring(model, ring)).collect())
}

/// The rows of a group's ties in the motions of its parts.
fn rows(structure: &Structure, group: &Group, ties: &[Tie]) -> DMatrix<f64> {
    let mut rows = DMatrix::zeros(group.ties.len(), 6 * group.parts.len());
    for (row, tie) in group.ties.iter().map(|tie| &ties[*tie]).enumerate() {
        for (part, sign) in [(Some(tie.part), 1.0), (tie.holder, -1.0)] {
            let place = part.and_then(|part| group.parts.iter().position(|other| *other == part));
            if let (Some(part), Some(place)) = (part, place) {
                let six = tie.direction.row(&(tie.at - structure.parts[part].origin)) * sign;
                for (at, value) in six.iter().enumerate() {
                    rows[(row, 6 * place + at)] += value;
                }
            }
        }
    }
    rows
}

/// Writes the motions of a group's parts as sums over what is left; gives [`Group::from_right`].
fn reduce(
    structure: &Structure,
    group: &Group,
    ties: &[Tie],
    parts: &mut [PartMotion],
    sizes: &mut [usize],
) -> Result<DMatrix<f64>, usize> {
    let scale: Vec<f64> = group
        .parts
        .iter()
        .flat_map(|part| {
            let turn = 1.0 / reach(structure, group, ties, &structure.parts[*part].origin);
            [1.0, 1.0, 1.0, turn, turn, turn]
        })
        .collect();
    let solved = eliminate(&group.rows, &scale, DEPENDENT)?;
    for (place, &part) in group.parts.iter().enumerate() {
        let of_part = |all: &DMatrix<f64>, columns: &[usize]| {
            Matrix6::from_fn(|row, column| columns.get(column).map_or(0.0, |from| all[(6 * place + row, *from)]))
        };
        let mut motion = PartMotion { terms: Vec::new(), ground: Vec::new() };
        for (other_place, &other) in group.parts.iter().enumerate() {
            let own = 6 * other_place..6 * other_place + 6;
            let columns: Vec<usize> =
                (0..solved.kept.len()).filter(|column| own.contains(&solved.kept[*column])).collect();
            let term = of_part(&solved.from_kept, &columns);
            if !columns.is_empty() && (other == part || term.amax() > 0.0) {
                motion.terms.push((other, term));
            }
            if other == part {
                sizes[part] = columns.len();
            }
        }
        for (row, &tie) in group.ties.iter().enumerate() {
            let from_right: Vector6<f64> = solved.from_right.fixed_view::<6, 1>(6 * place, row).into_owned();
            if from_right.amax() == 0.0 {
                continue;
            }
            match ties[tie].holder {
                None => motion.ground.push((tie, from_right)),
                Some(holder) if group.parts.contains(&holder) => {}
                Some(holder) => {
                    let six = ties[tie].direction.row(&(ties[tie].at - structure.parts[holder].origin));
                    let term = from_right * six.transpose();
                    match motion.terms.iter_mut().find(|(block, _)| *block == holder) {
                        Some((_, sum)) => *sum += term,
                        None => motion.terms.push((holder, term)),
                    }
                }
            }
        }
        parts[part] = motion;
    }
    Ok(solved.from_right)
}

/// A length that turns of a part act over: how far its ties reach from its origin, at least 10 mm.
fn reach(structure: &Structure, group: &Group, ties: &[Tie], origin: &Point3<f64>) -> f64 {
    let own = |part: usize| structure.parts[part].origin == *origin;
    group
        .ties
        .iter()
        .map(|tie| &ties[*tie])
        .filter(|tie| own(tie.part) || tie.holder.is_some_and(own))
        .map(|tie| (tie.at - origin).norm())
        .fold(10.0, f64::max)
}

/// Pairs of blocks that a piece, a spring or the motions of one part bring together.
fn meetings(structure: &Structure, parts: &[PartMotion]) -> Vec<(usize, usize)> {
    let mut pairs = Vec::new();
    let mut meet = |members: &[usize]| {
        let blocks: Vec<usize> = members.iter().flat_map(|part| parts[*part].terms.iter().map(|term| term.0)).collect();
        for (place, one) in blocks.iter().enumerate() {
            for other in &blocks[place + 1..] {
                pairs.push((*one, *other));
            }
        }
    };
    for piece in &structure.pieces {
        meet(&piece.ends.map(|end| end.part));
    }
    for spring in &structure.springs {
        match spring.holder {
            Some(holder) => meet(&[spring.part, holder]),
            None => meet(&[spring.part]),
        }
    }
    pairs
}

/// The fault of a tie that depends on the others of its group.
fn closed_ring(model: &Model, ring: &Ring) -> Fault {
    let place = |origin: Origin| match origin {
        Origin::Mount(at) => Some((path!["mounts", model.anchor_name(model.mounts[at].at)], model.mounts[at].at)),
        Origin::BodyMount(body, mount) => {
            let (name, drawn) = model.bodies.get_index(body)?;
            let at = drawn.mounts[mount].at;
            Some((path!["bodies", name, "mounts", model.anchor_name(at)], at))
        }
        Origin::Ball(_) | Origin::Joint(..) | Origin::HeldTurn | Origin::LeftOut => None,
    };
    let owner = |origin: Origin| match origin {
        Origin::BodyMount(body, _) => model.bodies.get_index(body).map(|(name, _)| format!("body \"{name}\"")),
        _ => Some("the ground".to_owned()),
    };
    let mut origins: Vec<Origin> = Vec::new();
    for origin in ring.ties.iter().chain([&ring.last]).map(|tie| tie.origin) {
        if !origins.contains(&origin) && place(origin).is_some() {
            origins.push(origin);
        }
    }
    let here = origins.iter().copied().find(|origin| *origin == ring.last.origin).or(origins.last().copied());
    let Some((path, anchor)) = here.and_then(place) else {
        return Fault::new(path!["members"], "a closed ring of rigid joints holds a part twice in one direction");
    };
    let same_place =
        origins.iter().find(|other| Some(**other) != here && place(**other).is_some_and(|(_, at)| at == anchor));
    let others: Vec<String> = origins
        .iter()
        .filter(|other| Some(**other) != here)
        .filter_map(|other| place(*other).map(|(_, at)| format!("\"{}\"", model.anchor_name(at))))
        .collect();
    match (same_place, here.and_then(owner)) {
        (Some(other), Some(holder)) => Fault::new(
            path,
            format!(
                "{} and {holder} both hold \"{}\" rigidly in the same direction",
                owner(*other).unwrap_or_default(),
                model.anchor_name(anchor)
            ),
        )
        .hint("let one of the two go in that direction, or give it a rate"),
        _ => Fault::new(
            path,
            format!(
                "a closed ring of rigid ties: \"{}\" and {} are on one rigid piece and hold it twice in one direction",
                model.anchor_name(anchor),
                others.join(", ")
            ),
        )
        .hint("make them one bracket with \"bolted pad\", or give one of them a rate"),
    }
}
