//! A structure with every subset of some candidate tubes, each from the one before it.
//!
//! Reads a structure with all candidates in it, which of its tubes make up each candidate, and right sides. Gives
//! the numbers of [`Growing`]: motions of parts and forces of pieces of all subsets, without a factor of their own.
//! The base is the structure without any candidate; where that does not stand, or a candidate stiffens it by so much
//! that digits would go, the set is factorised afresh and its supersets go on from there.
//!
//! Of a piece only those of its six internal forces at the first end are rows that do not follow from the others: one
//! of a rod-ended tube, six of a welded one. All at both ends follow from them and the load between.

use nalgebra::{DMatrix, DVector, SMatrix, Vector3, Vector6};

use super::assemble::{RightSide, System};
use super::changed::factors;
use super::statics::solve_matrix;
use crate::beam::{Diagram, Matrix12, Vector12, uniform_load};
use crate::math::{ChosenEngine, Engine, Growing, GrowingPart, Keep, Plan, SymmetricMatrix, Table, Walk};
use crate::section::InternalForces;

/// What is to be read of every subset.
#[derive(Debug, Clone, PartialEq)]
pub struct Readouts {
    /// Parts, of which all six motions are.
    pub parts: Vec<usize>,
    /// Pieces of tubes that are no candidates, of which the internal forces are.
    pub pieces: Vec<usize>,
}

impl Readouts {
    /// Every part that can move and every piece of the tubes that are no candidates.
    pub fn all(system: &System, candidates: &[Vec<usize>]) -> Self {
        let is_candidate = |piece: &usize| {
            let tube = system.structure.pieces[*piece].tube;
            candidates.iter().any(|tubes| tubes.contains(&tube))
        };
        let moves = |part: &usize| !system.numbering.parts[*part].terms.is_empty();
        Self {
            parts: (0..system.structure.parts.len()).filter(moves).collect(),
            pieces: (0..system.structure.pieces.len()).filter(|piece| !is_candidate(piece)).collect(),
        }
    }
}

/// The stiffness of a piece as B C Bᵀ on the motions of its nodes, so that C Bᵀ d are some of its internal forces at
/// the first end.
#[derive(Debug, Clone)]
struct Forces {
    /// Which of n, vy, vz, t, my, mz.
    which: Vec<usize>,
    /// B: 12 × r.
    b: DMatrix<f64>,
    /// C.
    c: DMatrix<f64>,
    /// C⁻¹.
    inverse: DMatrix<f64>,
    /// All six internal forces from those.
    all: DMatrix<f64>,
}

impl Forces {
    fn of(stiffness: &Matrix12, length_mm: f64) -> Forces {
        // What is no number carries nothing here; the whole check of a design with it refuses it.
        let found = factors(stiffness, length_mm).unwrap_or_default();
        let rank = found.len();
        let v = DMatrix::from_fn(12, rank, |row, column| found[column].0[row]);
        // Internal forces at the first end for each v are those that the end feels, turned round.
        let at_first = -v.rows(0, 6).into_owned();
        let which = independent_rows(&at_first, length_mm);
        let own = DMatrix::from_fn(rank, rank, |row, column| at_first[(which[row], column)]);
        let inverse = own.clone().try_inverse().expect("the rows were chosen so that they depend on no others");
        Forces {
            b: &v * &inverse,
            c: &own * own.transpose(),
            inverse: inverse.transpose() * &inverse,
            all: at_first * inverse,
            which,
        }
    }
}

/// As many rows as there are columns, so that none depends on the others: each time the one that is left with most;
/// moments count over a length.
fn independent_rows(matrix: &DMatrix<f64>, length_mm: f64) -> Vec<usize> {
    let mut left = matrix.clone();
    left.rows_mut(3, 3).scale_mut(1.0 / length_mm);
    let mut which: Vec<usize> = Vec::new();
    for _ in 0..matrix.ncols() {
        let free = (0..6).filter(|row| !which.contains(row));
        let most = free.max_by(|one, other| left.row(*one).norm().total_cmp(&left.row(*other).norm()));
        let row = most.expect("a piece has at most six independent forces");
        which.push(row);
        let direction = left.row(row).normalize();
        for other in (0..6).filter(|other| *other != row) {
            let along = left.row(other).dot(&direction);
            let less = &direction * along;
            left.row_mut(other).zip_apply(&less, |value, less| *value -= less);
        }
    }
    which.sort_unstable();
    which
}

/// A piece that is read.
#[derive(Debug, Clone)]
struct ReadPiece {
    forces: Forces,
    first_row: usize,
    /// Internal forces at the first end that its load alone brings, under each right side.
    of_load: Vec<Vector6<f64>>,
    load_n_mm: Vec<Vector3<f64>>,
}

/// A candidate: tubes that come and go together.
#[derive(Debug, Clone)]
struct Candidate {
    tubes: Vec<usize>,
    pieces: Vec<usize>,
    /// Unit loads by which its tubes are loaded: tubes, and along which axis.
    loads: Vec<(Vec<usize>, usize)>,
}

/// A structure with any subset of its candidates.
pub struct Subsets {
    system: System,
    plan: Box<dyn Plan>,
    candidates: Vec<Candidate>,
    /// Without what acts on candidates.
    sides: Vec<RightSide>,
    readouts: Readouts,
    row_of_part: Vec<Option<usize>>,
    read_pieces: Vec<Option<ReadPiece>>,
    growing: Growing,
    root: Option<Table>,
}

/// What is read of one subset.
#[derive(Clone, Copy)]
pub struct Reading<'s> {
    subsets: &'s Subsets,
    table: &'s Table,
}

impl Subsets {
    /// Factorises the structure without its candidates. `sides` are those of the structure with all of them.
    pub fn new(system: System, candidates: &[Vec<usize>], sides: &[RightSide], readouts: Readouts) -> Self {
        let candidates: Vec<Candidate> =
            candidates.iter().map(|tubes| Candidate::new(&system, tubes.clone(), sides)).collect();
        let absent: Vec<usize> = candidates.iter().flat_map(|candidate| candidate.tubes.iter().copied()).collect();
        let mut read_pieces: Vec<Option<ReadPiece>> = vec![None; system.structure.pieces.len()];
        let mut row_of_part = vec![None; system.structure.parts.len()];
        let mut rows = 0;
        for part in &readouts.parts {
            row_of_part[*part] = Some(rows);
            rows += 6;
        }
        let read = |piece: usize, rows: &mut usize| {
            let read = ReadPiece::new(&system, piece, *rows, sides);
            *rows += read.forces.which.len();
            read
        };
        for piece in &readouts.pieces {
            read_pieces[*piece] = Some(read(*piece, &mut rows));
        }
        let n_readouts = rows;
        let mut parts = Vec::with_capacity(candidates.len());
        for candidate in &candidates {
            for piece in &candidate.pieces {
                read_pieces[*piece] = Some(read(*piece, &mut rows));
            }
            parts.push(candidate.growing_part(&read_pieces, sides));
        }
        let base_sides: Vec<RightSide> = sides.iter().map(|side| system.side_without(side, &absent)).collect();
        let mut subsets = Self {
            plan: ChosenEngine.plan(&system.numbering.pattern),
            growing: Growing::new(n_readouts, sides.len(), parts),
            system,
            candidates,
            sides: base_sides,
            readouts,
            row_of_part,
            read_pieces,
            root: None,
        };
        subsets.root = subsets.afresh(&[], 0);
        subsets
    }

    /// The structure with all candidates.
    pub fn system(&self) -> &System {
        &self.system
    }

    /// Whether the structure stands without any candidate.
    pub fn stands_alone(&self) -> bool {
        self.root.is_some()
    }

    /// How many rows a table has.
    pub fn n_rows(&self) -> usize {
        match self.growing.n_parts() {
            0 => self
                .read_pieces
                .iter()
                .flatten()
                .map(|read| read.first_row + read.forces.which.len())
                .max()
                .unwrap_or(0),
            n => self.growing.rows_of(n - 1).end,
        }
    }

    /// How many right sides there are.
    pub fn n_sides(&self) -> usize {
        self.sides.len()
    }

    /// A walk through all subsets.
    #[expect(clippy::type_complexity, reason = "two closures, which have no names")]
    pub fn walk(
        &self,
        keep: Keep,
    ) -> Walk<'_, impl Fn(&[usize], usize) -> Option<Table> + '_, impl Fn(&[usize]) -> bool> {
        self.walk_allowed(keep, self.candidates.len(), |_| true)
    }

    /// A walk through the subsets of at most so many candidates that may be; where one may not, its supersets may not.
    pub fn walk_allowed<A: Fn(&[usize]) -> bool>(
        &self,
        keep: Keep,
        most: usize,
        allows: A,
    ) -> Walk<'_, impl Fn(&[usize], usize) -> Option<Table> + '_, A> {
        let afresh = |set: &[usize], open: usize| self.afresh(set, open);
        Walk { growing: &self.growing, root: self.root.as_ref(), afresh, allows, most, keep }
    }

    /// What a table says.
    pub fn reading<'s>(&'s self, table: &'s Table) -> Reading<'s> {
        Reading { subsets: self, table }
    }

    /// The stiffness matrix with a set of candidates.
    pub fn matrix(&self, set: &[usize]) -> SymmetricMatrix {
        let mut is_absent = vec![false; self.system.structure.tubes.len()];
        for (at, candidate) in self.candidates.iter().enumerate() {
            for tube in &candidate.tubes {
                is_absent[*tube] = !set.contains(&at);
            }
        }
        self.system.assembled(|piece| {
            let is_absent = is_absent[self.system.structure.pieces[piece].tube];
            if is_absent { Matrix12::zeros() } else { *self.system.pieces[piece].joined.node() }
        })
    }

    /// The table of a set by a factor of its own, open for the candidates from `open` on; `None` where it does not
    /// stand, or hardly.
    pub fn afresh(&self, set: &[usize], open: usize) -> Option<Table> {
        let solved = solve_matrix(&self.matrix(set), self.plan.as_ref()).ok()?;
        if solved.is_suspicious() {
            return None;
        }
        let n = self.system.matrix.n();
        let mut columns: Vec<DVector<f64>> =
            self.right_sides(set).column_iter().map(nalgebra::Matrix::into_owned).collect();
        for candidate in &self.candidates[open..] {
            for (tubes, axis) in &candidate.loads {
                let mut column = DVector::zeros(n);
                let load = Vector3::ith(*axis, 1.0);
                for piece in tubes.iter().flat_map(|tube| self.system.structure.tubes[*tube].pieces.clone()) {
                    self.add_load(piece, &load, &[], &mut column);
                }
                columns.push(column);
            }
            for piece in &candidate.pieces {
                let forces = &self.read(*piece).forces;
                for column in forces.b.column_iter() {
                    let of_piece: Vector12 = column.fixed_rows::<12>(0).into_owned();
                    columns.push(self.system.on_unknowns(*piece, &of_piece));
                }
            }
        }
        let right = DMatrix::from_columns(&columns);
        let mut x = right.clone();
        solved.factor.solve(&mut x);
        let rows = self.n_rows();
        let mut values = DMatrix::zeros(rows, x.ncols());
        for (at, column) in x.column_iter().enumerate() {
            let unknowns = column.into_owned();
            let side = self.sides.get(at);
            let parts = match side {
                Some(side) => self.system.motions(side, &unknowns),
                None => self.system.motions_of_parts(&unknowns),
            };
            let mut value = values.column_mut(at);
            for part in &self.readouts.parts {
                let row = self.row_of_part[*part].expect("a part that is read has rows");
                value.fixed_rows_mut::<6>(row).copy_from(&parts[*part]);
            }
            let mut put = |piece: usize, is_there: bool| {
                let read = self.read(piece);
                let motions = self.system.motions_of_piece(piece, &parts);
                let mut own = read.forces.b.tr_mul(&motions);
                if is_there {
                    own = &read.forces.c * own;
                    if side.is_some() {
                        own.iter_mut()
                            .zip(&read.forces.which)
                            .for_each(|(own, which)| *own += read.of_load[at][*which]);
                    }
                }
                value.rows_mut(read.first_row, own.len()).copy_from(&own);
            };
            self.readouts.pieces.iter().for_each(|piece| put(*piece, true));
            for (candidate, drawn) in self.candidates.iter().enumerate() {
                drawn.pieces.iter().for_each(|piece| put(*piece, set.contains(&candidate)));
            }
        }
        Some(self.growing.table(&values, open))
    }

    /// The loads on the unknowns with a set of candidates, a column a right side.
    pub fn right_sides(&self, set: &[usize]) -> DMatrix<f64> {
        let mut right = DMatrix::zeros(self.system.matrix.n(), self.sides.len());
        for (at, side) in self.sides.iter().enumerate() {
            right.set_column(at, &side.unknowns);
        }
        for &at in set {
            for (column, load) in self.loads_of(&self.candidates[at]).enumerate() {
                let mut sum = right.column_mut(column);
                sum += load;
            }
        }
        right
    }

    /// The largest difference of two tables of a set, over the largest of its kind (shift, turn, force, moment) under
    /// the same right side.
    pub fn difference(&self, set: &[usize], one: &Table, other: &Table) -> f64 {
        let shown = |piece: usize| {
            self.candidates.iter().enumerate().all(|(at, drawn)| set.contains(&at) || !drawn.pieces.contains(&piece))
        };
        // Of each row its kind.
        let mut kinds: Vec<(usize, usize)> = Vec::new();
        for row in self.row_of_part.iter().flatten() {
            kinds.extend((0..6).map(|at| (row + at, at / 3)));
        }
        for (piece, read) in self.read_pieces.iter().enumerate().filter(|(piece, _)| shown(*piece)) {
            let Some(read) = read else { continue };
            debug_assert!(piece < self.system.pieces.len(), "a piece that is read is drawn");
            kinds.extend(read.forces.which.iter().enumerate().map(|(at, which)| (read.first_row + at, 2 + which / 3)));
        }
        let mut worst: f64 = 0.0;
        for side in 0..self.sides.len() {
            for kind in 0..4 {
                let rows = || kinds.iter().filter(|(_, of)| *of == kind).map(|(row, _)| *row);
                let most = rows().map(|row| other.read(row, side).abs()).fold(0.0, f64::max);
                let differs = rows().map(|row| (one.read(row, side) - other.read(row, side)).abs()).fold(0.0, f64::max);
                if differs > 0.0 {
                    worst = worst.max(differs / most);
                }
            }
        }
        worst
    }

    /// What a candidate's loads, its ends moved with the ground too, put on the unknowns under each right side.
    fn loads_of<'s>(&'s self, candidate: &'s Candidate) -> impl Iterator<Item = DVector<f64>> + 's {
        self.sides.iter().enumerate().map(move |(at, side)| {
            let mut load = DVector::zeros(self.system.matrix.n());
            for piece in &candidate.pieces {
                let load_n_mm = self.read(*piece).load_n_mm[at];
                self.add_load(*piece, &load_n_mm, &side.moved, &mut load);
            }
            load
        })
    }

    /// Adds what a piece puts on the unknowns under a uniform load, global axes, and with moved ground; no `moved`:
    /// none is.
    fn add_load(&self, piece: usize, load_n_mm: &Vector3<f64>, moved: &[Vector6<f64>], unknowns: &mut DVector<f64>) {
        let own = &self.system.pieces[piece];
        let still;
        let moved = if moved.is_empty() {
            still = vec![Vector6::zeros(); self.system.structure.parts.len()];
            &still
        } else {
            moved
        };
        if let Some(f) = self.system.load_of_piece(piece, own, load_n_mm, moved) {
            self.system.add_on_unknowns(own, &f, unknowns);
        }
    }

    fn read(&self, piece: usize) -> &ReadPiece {
        self.read_pieces[piece].as_ref().expect("a piece that is read has rows")
    }
}

impl ReadPiece {
    fn new(system: &System, piece: usize, first_row: usize, sides: &[RightSide]) -> Self {
        let (own, drawn) = (&system.pieces[piece], &system.structure.pieces[piece]);
        let load_n_mm: Vec<Vector3<f64>> = sides.iter().map(|side| side.on_tubes[drawn.tube]).collect();
        let of_load = load_n_mm
            .iter()
            .map(|load| {
                let local = drawn.axes.rotation * load;
                own.joined.node_loads(&uniform_load(&local, drawn.axes.length_mm)).fixed_rows::<6>(0).into_owned()
            })
            .collect();
        Self { forces: Forces::of(own.joined.node(), own.beam.length_mm), first_row, of_load, load_n_mm }
    }
}

impl Candidate {
    fn new(system: &System, tubes: Vec<usize>, sides: &[RightSide]) -> Self {
        let pieces = tubes.iter().flat_map(|tube| system.structure.tubes[*tube].pieces.clone()).collect();
        // Tubes that are loaded alike, as mirror twins are, share their columns.
        let mut alike: Vec<Vec<usize>> = Vec::new();
        let same = |one: usize, other: usize| sides.iter().all(|side| side.on_tubes[one] == side.on_tubes[other]);
        for &tube in &tubes {
            match alike.iter_mut().find(|known| same(known[0], tube)) {
                Some(known) => known.push(tube),
                None => alike.push(vec![tube]),
            }
        }
        let is_loaded = |tube: usize, axis: usize| sides.iter().any(|side| side.on_tubes[tube][axis] != 0.0);
        let loads = alike
            .into_iter()
            .flat_map(|tubes| {
                let axes: Vec<usize> = (0..3).filter(|axis| is_loaded(tubes[0], *axis)).collect();
                axes.into_iter().map(move |axis| (tubes.clone(), axis))
            })
            .collect();
        Self { tubes, pieces, loads }
    }

    /// What it adds, in the terms of the rows and columns of a table.
    fn growing_part(&self, read: &[Option<ReadPiece>], sides: &[RightSide]) -> GrowingPart {
        let own: Vec<&ReadPiece> =
            self.pieces.iter().map(|piece| read[*piece].as_ref().expect("a candidate's piece is read")).collect();
        let rank: usize = own.iter().map(|own| own.forces.which.len()).sum();
        let mut part = GrowingPart {
            stiffness: DMatrix::zeros(rank, rank),
            flexibility: DMatrix::zeros(rank, rank),
            loads: DMatrix::from_fn(self.loads.len(), sides.len(), |load, side| {
                let (tubes, axis) = &self.loads[load];
                sides[side].on_tubes[tubes[0]][*axis]
            }),
            offset: DMatrix::zeros(rank, sides.len()),
        };
        let mut at = 0;
        for own in own {
            let r = own.forces.which.len();
            part.stiffness.view_mut((at, at), (r, r)).copy_from(&own.forces.c);
            part.flexibility.view_mut((at, at), (r, r)).copy_from(&own.forces.inverse);
            for (row, which) in own.forces.which.iter().enumerate() {
                for (side, of_load) in own.of_load.iter().enumerate() {
                    part.offset[(at + row, side)] = of_load[*which];
                }
            }
            at += r;
        }
        part
    }
}

impl Reading<'_> {
    /// Motions of a part at its origin, mm and rad.
    ///
    /// # Panics
    /// Where the part is not among the read-outs and can move.
    pub fn motion(&self, part: usize, side: usize) -> Vector6<f64> {
        match self.subsets.row_of_part[part] {
            Some(row) => Vector6::from_fn(|at, _| self.table.read(row + at, side)),
            None if self.subsets.system.numbering.parts[part].terms.is_empty() => self.subsets.sides[side].moved[part],
            None => panic!("part {part} is not read"),
        }
    }

    /// Internal forces of a piece; of a candidate's, that it is in the set is up to the caller.
    ///
    /// # Panics
    /// Where the piece is not among the read-outs.
    pub fn diagram(&self, piece: usize, side: usize) -> Diagram {
        let read = self.subsets.read(piece);
        let drawn = &self.subsets.system.structure.pieces[piece];
        let of_load = &read.of_load[side];
        let own = DVector::from_fn(read.forces.which.len(), |at, _| {
            self.table.read(read.first_row + at, side) - of_load[read.forces.which[at]]
        });
        let all: SMatrix<f64, 6, 1> = (&read.forces.all * own).fixed_rows::<6>(0) + of_load;
        let first = InternalForces { n: all[0], vy: all[1], vz: all[2], t: all[3], my: all[4], mz: all[5] };
        Diagram { first, load_n_mm: drawn.axes.rotation * read.load_n_mm[side], length_mm: drawn.axes.length_mm }
    }
}
