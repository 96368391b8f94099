//! What is loose: motions that strain nothing, from geometry alone.
//!
//! The kernel of the ties and of the tubes' six strains, in lengths only, so that no stiffness and
//! no unit enters (a rate above zero counts as a tie). Parts that tubes weld together move as one.
//! A motion in which some point of a tube's axis, a bracket, a body or an upright moves is a
//! [`Mechanism`]; the rest are turns that nothing needs to resist: they are held ([`Loose::held`]).

use nalgebra::{DMatrix, Point3, RowDVector, Vector3, Vector6};

use crate::beam::Flex;
use crate::math::{column_space, null_space};
use crate::structure::{Direction, Origin, PartKind, Piece, Structure, Tie, Union};

/// A singular value under this counts as zero; all rows are in lengths, of the order of 1.
const LOOSE: f64 = 1e-9;
/// Most unknowns for which the kernel is looked for.
const MOST_UNKNOWNS: usize = 3000;

/// Parts that share one screw motion.
#[derive(Debug, Clone, PartialEq)]
pub enum Motion {
    /// They shift along this direction.
    Shift(Vector3<f64>),
    /// They turn about the line through this point in this direction, shifting so far along it for
    /// each radian.
    Turn {
        /// A point of the line, mm.
        point: Point3<f64>,
        /// Direction of the line.
        direction: Vector3<f64>,
        /// Shift along the line for each radian, mm.
        pitch_mm: f64,
    },
}

/// One motion that strains nothing.
#[derive(Debug, Clone, PartialEq)]
pub struct Mechanism {
    /// Groups of parts, and how each moves.
    pub groups: Vec<(Motion, Vec<usize>)>,
}

/// What is loose in a structure.
#[derive(Debug, Clone, PartialEq)]
pub struct Loose {
    /// Motions that move something.
    pub mechanisms: Vec<Mechanism>,
    /// Turns that nothing needs to resist, as ties that hold them.
    pub held: Vec<Tie>,
}

/// Looks for motions that strain nothing; `None` where the structure is too large to tell.
pub fn loose(structure: &Structure) -> Option<Loose> {
    let clusters = Clusters::new(structure);
    if 6 * clusters.n > MOST_UNKNOWNS {
        return None;
    }
    let length = typical_length(structure);
    let kernel = null_space(&clusters.conditions(structure, length), LOOSE);
    let moves = clusters.moves(structure, length) * &kernel;
    let still = null_space(&moves, LOOSE.sqrt());
    let held = clusters.hold(structure, &kernel * &still);
    let moving = null_space(&still.transpose(), LOOSE);
    let mechanisms = echelon((&kernel * &moving).transpose())
        .row_iter()
        .map(|row| clusters.mechanism(structure, &row.into_owned(), length))
        .collect();
    Some(Loose { mechanisms, held })
}

/// A length that turns act over: the mean piece.
fn typical_length(structure: &Structure) -> f64 {
    let n = structure.pieces.len().max(1) as f64;
    (structure.pieces.iter().map(|piece| piece.axes.length_mm).sum::<f64>() / n).max(1.0)
}

/// Parts that welded tubes make one; the motions of each are those of its first part's origin,
/// turns in units of a typical length.
struct Clusters {
    of_part: Vec<usize>,
    first_part: Vec<usize>,
    n: usize,
}

impl Clusters {
    fn new(structure: &Structure) -> Self {
        let mut union = Union::default();
        for _ in &structure.parts {
            union.add();
        }
        for piece in structure.pieces.iter().filter(|piece| carries_all(piece)) {
            union.unite(piece.ends[0].part, piece.ends[1].part);
        }
        let mut of_part = vec![usize::MAX; structure.parts.len()];
        let mut first_part = Vec::new();
        for part in 0..structure.parts.len() {
            let first = union.first(part);
            if first == part {
                of_part[part] = first_part.len();
                first_part.push(part);
            }
            of_part[part] = of_part[first];
        }
        Self { n: first_part.len(), of_part, first_part }
    }

    /// The motion of a point of a part in a direction, as a row over all clusters.
    fn row(
        &self,
        structure: &Structure,
        part: usize,
        at: &Point3<f64>,
        direction: &Direction,
        length: f64,
    ) -> RowDVector<f64> {
        let cluster = self.of_part[part];
        let origin = structure.parts[self.first_part[cluster]].origin;
        let six = direction.row(&(at - origin));
        let mut row = RowDVector::zeros(6 * self.n);
        for place in 0..6 {
            let in_lengths = match (direction, place) {
                (Direction::Shift(_), 0..=2) => 1.0,
                (Direction::Shift(_), _) => 1.0 / length,
                (Direction::Turn(_), _) => 1.0, // length × turn, in units of turn × length
            };
            row[6 * cluster + place] = six[place] * in_lengths;
        }
        row
    }

    /// Conditions that a motion which strains nothing fulfils.
    fn conditions(&self, structure: &Structure, length: f64) -> DMatrix<f64> {
        let mut rows = Vec::new();
        for piece in structure.pieces.iter().filter(|piece| !carries_all(piece)) {
            rows.extend(self.strains(structure, piece, length));
        }
        let ties = structure.ties.iter().map(|tie| (tie.part, tie.holder, tie.at, tie.direction));
        let springs = structure.springs.iter().map(|spring| (spring.part, spring.holder, spring.at, spring.direction));
        for (part, holder, at, direction) in ties.chain(springs) {
            let mut row = self.row(structure, part, &at, &direction, length);
            if let Some(holder) = holder {
                row -= self.row(structure, holder, &at, &direction, length);
            }
            rows.push(row);
        }
        if rows.is_empty() { DMatrix::zeros(0, 6 * self.n) } else { DMatrix::from_rows(&rows) }
    }

    /// The strains that a piece resists whatever its joints let go, in lengths.
    fn strains(&self, structure: &Structure, piece: &Piece, length: f64) -> Vec<RowDVector<f64>> {
        let ends: Vec<RowDVector<f64>> = (0..12)
            .map(|motion| {
                let end = &piece.ends[motion / 6];
                let axis: Vector3<f64> = piece.axes.rotation.row(motion % 3).transpose();
                let shift = motion % 6 < 3;
                let direction = if shift { Direction::Shift(axis) } else { Direction::Turn(axis) };
                let in_piece = if shift { 1.0 } else { piece.axes.length_mm / length };
                self.row(structure, end.part, &end.at, &direction, length) * in_piece
            })
            .collect();
        // Axial, torsion, and at each end the turn against the chord, in both planes; a motion of
        // an end that its joint lets go may take any value.
        let strains = six_strains();
        let free: Vec<RowDVector<f64>> = piece
            .ends
            .iter()
            .enumerate()
            .flat_map(|(end, drawn)| {
                let motions = drawn.joint.motions().filter(|(_, rate)| *rate == 0.0);
                let of_end = move |row: usize| if row / 6 == end { Some(row % 6) } else { None };
                motions.map(move |(direction, _)| {
                    RowDVector::from_fn(12, |_, row| of_end(row).map_or(0.0, |place| direction[place]))
                })
            })
            .collect();
        let released = DMatrix::from_fn(6, free.len(), |row, column| strains.row(row).dot(&free[column]));
        let kept = null_space(&released.transpose(), 1e-12).transpose();
        let resisted = kept * strains;
        resisted
            .row_iter()
            .map(|strain| {
                strain.iter().zip(&ends).fold(RowDVector::zeros(6 * self.n), |sum, (factor, row)| sum + row * *factor)
            })
            .collect()
    }

    /// The motions that would be seen: of tubes' axes, brackets, bodies and uprights.
    fn moves(&self, structure: &Structure, length: f64) -> DMatrix<f64> {
        let mut points: Vec<(usize, Point3<f64>)> =
            structure.pieces.iter().flat_map(|piece| piece.ends.map(|end| (end.part, end.at))).collect();
        points.extend(structure.anchor_points());
        let mut rows = Vec::new();
        for (part, at) in points {
            for axis in 0..3 {
                rows.push(self.row(structure, part, &at, &Direction::Shift(Vector3::ith(axis, 1.0)), length));
            }
        }
        for (part, drawn) in structure.parts.iter().enumerate().filter(|(_, part)| part.kind != PartKind::Frame) {
            for axis in 0..3 {
                rows.push(self.row(structure, part, &drawn.origin, &Direction::Shift(Vector3::ith(axis, 1.0)), length));
                rows.push(self.row(structure, part, &drawn.origin, &Direction::Turn(Vector3::ith(axis, 1.0)), length));
            }
        }
        if rows.is_empty() { DMatrix::zeros(0, 6 * self.n) } else { DMatrix::from_rows(&rows) }
    }

    /// Ties that hold turns in which nothing moves, one direction of one part after the other.
    fn hold(&self, structure: &Structure, mut turns: DMatrix<f64>) -> Vec<Tie> {
        let mut held = Vec::new();
        for cluster in 0..self.n {
            if turns.ncols() == 0 {
                break;
            }
            let block = turns.rows(6 * cluster + 3, 3).into_owned();
            let part = self.first_part[cluster];
            for direction in column_space(&block, LOOSE.sqrt()).column_iter() {
                let direction = Direction::Turn(Vector3::from_column_slice(direction.as_slice()));
                let at = structure.parts[part].origin;
                held.push(Tie { part, holder: None, at, direction, origin: Origin::HeldTurn, motion: 3 });
            }
            turns = &turns * null_space(&block, LOOSE.sqrt());
        }
        held
    }

    /// A vector of the kernel as groups of parts that share one screw motion.
    fn mechanism(&self, structure: &Structure, vector: &RowDVector<f64>, length: f64) -> Mechanism {
        let mut groups: Vec<(Vector6<f64>, Vec<usize>)> = Vec::new();
        let most = vector.amax();
        for part in 0..structure.parts.len() {
            let cluster = self.of_part[part];
            let six = vector.columns(6 * cluster, 6) / most;
            if six.amax() < 1e-6 {
                continue;
            }
            let turn = Vector3::new(six[3], six[4], six[5]) / length;
            let origin = structure.parts[self.first_part[cluster]].origin;
            // The screw as the motion of the point at the first part of the structure.
            let base = structure.parts[0].origin;
            let shift = Vector3::new(six[0], six[1], six[2]) + turn.cross(&(base - origin));
            let screw = Vector6::new(shift.x, shift.y, shift.z, turn.x * length, turn.y * length, turn.z * length);
            match groups.iter_mut().find(|(known, _)| (*known - screw).amax() < 1e-6 * (1.0 + screw.amax())) {
                Some((_, parts)) => parts.push(part),
                None => groups.push((screw, vec![part])),
            }
        }
        let base = structure.parts.first().map_or_else(Point3::origin, |part| part.origin);
        Mechanism { groups: groups.into_iter().map(|(screw, parts)| (motion(&screw, &base, length), parts)).collect() }
    }
}

/// A screw (shift of the base point, turn × length) as a shift, or as a turn about a line.
fn motion(screw: &Vector6<f64>, base: &Point3<f64>, length: f64) -> Motion {
    let shift: Vector3<f64> = screw.fixed_rows::<3>(0).into_owned();
    let turn: Vector3<f64> = screw.fixed_rows::<3>(3).into_owned() / length;
    if turn.norm() * length < 1e-6 * shift.norm() {
        return Motion::Shift(shift.normalize());
    }
    let square = turn.norm_squared();
    Motion::Turn {
        point: base + turn.cross(&shift) / square,
        direction: turn.normalize(),
        pitch_mm: turn.dot(&shift) / square,
    }
}

/// Whether a piece makes its two parts one in every motion that strains nothing.
fn carries_all(piece: &Piece) -> bool {
    piece
        .ends
        .iter()
        .all(|end| [end.joint.n, end.joint.t, end.joint.my, end.joint.mz].iter().all(|flex| *flex != Flex::Free))
}

/// The six strains of a beam of length 1 from the twelve motions of its ends, in lengths.
fn six_strains() -> DMatrix<f64> {
    let mut strains = DMatrix::zeros(6, 12);
    for (row, column, value) in [
        (0, 6, 1.0),
        (0, 0, -1.0),
        (1, 9, 1.0),
        (1, 3, -1.0),
        // x–y plane: θz − (v2 − v1)
        (2, 5, 1.0),
        (2, 7, -1.0),
        (2, 1, 1.0),
        (3, 11, 1.0),
        (3, 7, -1.0),
        (3, 1, 1.0),
        // x–z plane: θy + (w2 − w1)
        (4, 4, 1.0),
        (4, 8, 1.0),
        (4, 2, -1.0),
        (5, 10, 1.0),
        (5, 8, 1.0),
        (5, 2, -1.0),
    ] {
        strains[(row, column)] = value;
    }
    strains
}

/// Rows reduced to echelon form, so that each moves as few parts as it can.
fn echelon(mut rows: DMatrix<f64>) -> DMatrix<f64> {
    let (n, columns) = rows.shape();
    let mut done = 0;
    for column in 0..columns {
        if done == n {
            break;
        }
        let pivot = (done..n).max_by(|one, other| rows[(*one, column)].abs().total_cmp(&rows[(*other, column)].abs()));
        let Some(pivot) = pivot.filter(|row| rows[(*row, column)].abs() > 1e-7) else {
            continue;
        };
        rows.swap_rows(done, pivot);
        let scale = rows[(done, column)];
        for at in 0..columns {
            rows[(done, at)] /= scale;
        }
        for other in (0..n).filter(|other| *other != done) {
            let factor = rows[(other, column)];
            for at in 0..columns {
                let subtract = factor * rows[(done, at)];
                rows[(other, at)] -= subtract;
            }
        }
        done += 1;
    }
    rows
}

/// Tubes that can spin about themselves because no end carries torque: held, and listed.
pub fn held_spins(structure: &Structure) -> Vec<usize> {
    (0..structure.tubes.len())
        .filter(|tube| structure.tubes[*tube].pieces.len() == 1 && structure.spins(*tube))
        .collect()
}
