//! The stiffness of a structure, and the right side of its loads.

use nalgebra::{Cholesky, DVector, Matrix6, Vector3, Vector6};

use crate::beam::{Beam, Diagram, Joined, Matrix12, Vector12, uniform_load};
use crate::loads::{Contribution, Load};
use crate::math::{SymmetricMatrix, congruence, product};
use crate::section::Properties;
use crate::structure::{Numbering, Origin, PartMotion, Piece, Spring, Structure, Tube, into_axes};

/// A piece with its stiffness, ready to be solved.
#[derive(Debug, Clone)]
pub struct PieceStiffness {
    /// The beam in its own axes.
    pub beam: Beam,
    /// The axial force under which it is in equilibrium on its deformed shape, N; 0 on the drawn one.
    axial_n: f64,
    /// The beam with its joints.
    pub joined: Joined,
    /// Motions of each end in local axes from those of its part.
    pub from_part: [Matrix6<f64>; 2],
    /// Blocks of unknowns, the end that each moves, and the motions of that end in local axes.
    pub(super) from_blocks: Vec<(usize, usize, Matrix6<f64>)>,
}

/// A structure ready to be solved: pieces with their stiffness, and the assembled matrix.
#[derive(Debug)]
pub struct System {
    /// The structure.
    pub structure: Structure,
    /// Its unknowns.
    pub numbering: Numbering,
    /// The pieces.
    pub pieces: Vec<PieceStiffness>,
    /// The stiffness matrix.
    pub matrix: SymmetricMatrix,
    /// Whether a motion of one part has no stiffness but round-off, or none at all.
    pub has_slack: bool,
}

/// The stiffness of a straight beam of a tube.
fn beam(tube: &Tube, length_mm: f64) -> Beam {
    let (p, material): (&Properties, _) = (&tube.properties, &tube.material);
    let (e, g) = (material.youngs_modulus_mpa, material.shear_modulus_mpa);
    let shear = |area: Option<f64>| area.map_or(f64::INFINITY, |area| g * area);
    Beam {
        length_mm,
        ea_n: e * p.area_mm2,
        gj_nmm2: g * p.j_mm4,
        eiy_nmm2: e * p.iy_mm4,
        eiz_nmm2: e * p.iz_mm4,
        gay_n: shear(p.ay_mm2),
        gaz_n: shear(p.az_mm2),
    }
}

impl PieceStiffness {
    fn new(structure: &Structure, numbering: &Numbering, piece: &Piece, tube: &Tube, axial_n: f64) -> Self {
        let beam = beam(tube, piece.axes.length_mm);
        let mut stiffness = beam.stiffness();
        if axial_n != 0.0 {
            stiffness += beam.geometric(axial_n) - beam.interior_of_force(axial_n);
        }
        let joined = Joined::new(stiffness, &piece.ends[0].joint, &piece.ends[1].joint);
        let local = into_axes(&piece.axes.rotation);
        let from_part = piece.ends.map(|end| local * structure.parts[end.part].carry(&end.at));
        let mut from_blocks = Vec::with_capacity(2);
        for (end, drawn) in piece.ends.iter().enumerate() {
            for (block, term) in &numbering.parts[drawn.part].terms {
                let own = if *term == Matrix6::identity() { from_part[end] } else { from_part[end] * term };
                from_blocks.push((*block, end, own));
            }
        }
        Self { beam, axial_n, joined, from_part, from_blocks }
    }

    /// End loads of a uniform load (N/mm, local axes), N and N·mm.
    pub(super) fn end_loads(&self, load_n_mm: &Vector3<f64>) -> Vector12 {
        let drawn = uniform_load(load_n_mm, self.beam.length_mm);
        if self.axial_n == 0.0 { drawn } else { drawn + self.beam.uniform_load_on_bow(self.axial_n, load_n_mm) }
    }

    /// Motions of the tube's own ends, the forces on them, and the internal forces between, from the motions
    /// of its nodes and its uniform load (N/mm); all in local axes.
    pub(super) fn recover(&self, nodes: &Vector12, load_n_mm: Vector3<f64>) -> (Vector12, Vector12, Diagram) {
        let loads = self.end_loads(&load_n_mm);
        let (motions, forces) = (self.joined.tube_motions(nodes, &loads), self.joined.end_forces(nodes, &loads));
        let diagram = if self.axial_n == 0.0 {
            Diagram::from_end_forces(&forces, load_n_mm, self.beam.length_mm)
        } else {
            Diagram::on_deformed(&self.beam, self.axial_n, &forces, &motions, load_n_mm)
        };
        (motions, forces, diagram)
    }

    /// Motions of both ends in local axes from those of their parts.
    pub fn local_motions(&self, first: &Vector6<f64>, second: &Vector6<f64>) -> Vector12 {
        let mut both = Vector12::zeros();
        both.fixed_rows_mut::<6>(0).copy_from(&product(&self.from_part[0], first));
        both.fixed_rows_mut::<6>(6).copy_from(&product(&self.from_part[1], second));
        both
    }
}

/// The row of a spring in the motions of its part and of its holder.
pub(super) fn spring_rows(structure: &Structure, spring: &Spring) -> Vec<(usize, Vector6<f64>)> {
    let row = |part: usize| spring.direction.row(&(spring.at - structure.parts[part].origin));
    let mut rows = vec![(spring.part, row(spring.part))];
    if let Some(holder) = spring.holder {
        rows.push((holder, -row(holder)));
    }
    rows
}

/// Whether some motion of a part alone meets less than [`ROUND_OFF`] of what the stiffest tube
/// would put against it.
///
/// Brought to unit diagonal, as for the condition number, such a motion may look as sound as any:
/// the round-off of stiff directions is all that holds it.
fn has_slack(numbering: &Numbering, pieces: &[PieceStiffness], matrix: &SymmetricMatrix) -> bool {
    const ROUND_OFF: f64 = 1e-12;
    let stiffest = |first: usize| {
        let of_piece =
            |piece: &PieceStiffness| (first..first + 3).map(|at| piece.joined.tube[(at, at)]).fold(0.0, f64::max);
        pieces.iter().map(of_piece).fold(0.0, f64::max)
    };
    let (shift, turn) = (stiffest(0), stiffest(3));
    numbering.parts.iter().enumerate().any(|(part, motion)| {
        motion.terms.iter().filter(|(block, _)| *block == part).any(|(_, own)| {
            let mut least = matrix.diagonal_block(part);
            for (at, six) in own.column_iter().enumerate().take(numbering.pattern.size(part)) {
                let (shifts, turns) = (six.fixed_rows::<3>(0).norm_squared(), six.fixed_rows::<3>(3).norm_squared());
                least[(at, at)] -= ROUND_OFF * (shifts * shift + turns * turn);
            }
            Cholesky::new(least).is_none()
        })
    })
}

impl System {
    /// Assembles the stiffness of a structure.
    pub fn new(structure: Structure, numbering: Numbering) -> Self {
        Self::with(structure, numbering, |_| 0.0)
    }

    /// Assembles the stiffness of a structure whose pieces carry these axial forces (N, tension
    /// positive): equilibrium is that of the shape that comes out, with the geometric stiffness of
    /// [`Beam::geometric`] and the next term of the exact one, [`Beam::interior_of_force`].
    ///
    /// # Panics
    /// Where there is not a force for each piece.
    pub fn under_axial_forces(structure: Structure, numbering: Numbering, n_n: &[f64]) -> Self {
        Self::with(structure, numbering, |piece| n_n[piece])
    }

    fn with(structure: Structure, numbering: Numbering, axial_n: impl Fn(usize) -> f64) -> Self {
        let pieces: Vec<PieceStiffness> = structure
            .pieces
            .iter()
            .enumerate()
            .map(|(at, piece)| {
                PieceStiffness::new(&structure, &numbering, piece, &structure.tubes[piece.tube], axial_n(at))
            })
            .collect();
        let matrix = SymmetricMatrix::zero(&numbering.pattern);
        let mut system = Self { structure, numbering, pieces, matrix, has_slack: false };
        let matrix = system.assembled(|piece| *system.pieces[piece].joined.node());
        system.has_slack = has_slack(&system.numbering, &system.pieces, &matrix);
        system.matrix = matrix;
        system
    }

    /// A piece as if its tube were another, joined as it is.
    pub(super) fn piece_of(&self, piece: usize, tube: &Tube) -> PieceStiffness {
        PieceStiffness::new(&self.structure, &self.numbering, &self.structure.pieces[piece], tube, 0.0)
    }

    /// The stiffness matrix with pieces of these stiffnesses (on the motions of their nodes, local axes).
    pub(super) fn assembled(&self, of_piece: impl Fn(usize) -> Matrix12) -> SymmetricMatrix {
        let mut matrix = self.sum_of_pieces(of_piece);
        for spring in &self.structure.springs {
            let blocks = spring_blocks(&self.structure, &self.numbering, spring);
            for (at, (row, one)) in blocks.iter().enumerate() {
                for (column, other) in &blocks[at..] {
                    matrix.add(*row, *column, &(one * other.transpose() * spring.rate));
                }
            }
        }
        matrix
    }

    /// The sum over all pieces of a matrix on the motions of each piece's nodes, local axes, as one on
    /// the unknowns.
    pub fn sum_of_pieces(&self, of_piece: impl Fn(usize) -> Matrix12) -> SymmetricMatrix {
        let mut matrix = SymmetricMatrix::zero(&self.numbering.pattern);
        for piece in 0..self.pieces.len() {
            self.each_block(piece, &of_piece(piece), |row, column, block| matrix.add(row, column, &block));
        }
        matrix
    }

    /// Takes a matrix on the motions of a piece's nodes apart into blocks on the unknowns: block row, block column,
    /// block.
    pub fn each_block(&self, piece: usize, own: &Matrix12, mut take: impl FnMut(usize, usize, Matrix6<f64>)) {
        let from_blocks = &self.pieces[piece].from_blocks;
        for (at, (row, end, one)) in from_blocks.iter().enumerate() {
            for (column, other_end, other) in &from_blocks[at..] {
                let block = congruence(one, &between(own, *end, *other_end), other);
                // Where both ends hang on one block, what is between them stands on its diagonal twice, turned over.
                let is_twice = row == column && end != other_end;
                take(*row, *column, if is_twice { block + block.transpose() } else { block });
            }
        }
    }

    /// Adds to a matrix on the unknowns one on the motions of a part at its origin.
    pub fn add_on_part_to(&self, matrix: &mut SymmetricMatrix, part: usize, own: &Matrix6<f64>) {
        let terms = &self.numbering.parts[part].terms;
        for (at, (row, one)) in terms.iter().enumerate() {
            for (column, other) in &terms[at..] {
                matrix.add(*row, *column, &congruence(one, own, other));
            }
        }
    }

    /// Forces on both ends of a piece (local axes, as the tube's nodes have them) as loads on the unknowns.
    pub(super) fn on_unknowns(&self, piece: usize, forces: &Vector12) -> DVector<f64> {
        let mut load = DVector::zeros(self.numbering.pattern.n_unknowns());
        self.add_on_unknowns(&self.pieces[piece], forces, &mut load);
        load
    }

    /// Motions of both ends of a piece in local axes, as the tube's nodes have them, from those of all
    /// parts.
    pub fn motions_of_piece(&self, piece: usize, parts: &[Vector6<f64>]) -> Vector12 {
        let [first, second] = self.structure.pieces[piece].ends.map(|end| end.part);
        self.pieces[piece].local_motions(&parts[first], &parts[second])
    }

    /// Motions of each part at its origin, from the unknowns, nothing else being moved.
    pub fn motions_of_parts(&self, unknowns: &DVector<f64>) -> Vec<Vector6<f64>> {
        let of_part = |motion: &PartMotion| {
            motion
                .terms
                .iter()
                .fold(Vector6::zeros(), |sum, (block, term)| sum + term * self.numbering.of_block(unknowns, *block))
        };
        self.numbering.parts.iter().map(of_part).collect()
    }

    /// The right side of some contributions, and the part motions that moved ties alone bring.
    pub fn right_side(&self, contributions: &[Contribution]) -> RightSide {
        let n = self.numbering.pattern.n_unknowns();
        let mut side = RightSide {
            unknowns: DVector::zeros(n),
            on_parts: vec![Vector6::zeros(); self.structure.parts.len()],
            on_tubes: vec![Vector3::zeros(); self.structure.tubes.len()],
            moved: vec![Vector6::zeros(); self.structure.parts.len()],
            springs_moved: vec![0.0; self.structure.springs.len()],
        };
        for load in contributions.iter().flat_map(|contribution| &contribution.loads) {
            match load {
                Load::OnPart { part, at, force_n, moment_nmm } => {
                    let arm = at - self.structure.parts[*part].origin;
                    let moment = moment_nmm + arm.cross(force_n);
                    side.on_parts[*part] += Vector6::new(force_n.x, force_n.y, force_n.z, moment.x, moment.y, moment.z);
                }
                Load::OnTube { tube, load_n_mm } => side.on_tubes[*tube] += load_n_mm,
                Load::Moved { mount, motion, amount } => {
                    self.move_ground(Origin::Mount(*mount), *motion, *amount, &mut side);
                }
            }
        }
        self.fill(&mut side);
        side
    }

    fn move_ground(&self, origin: Origin, motion: usize, amount: f64, side: &mut RightSide) {
        for (part, motions) in self.numbering.parts.iter().enumerate() {
            for (tie, six) in &motions.ground {
                let tie = &self.numbering.ties[*tie];
                if tie.origin == origin && tie.motion == motion {
                    side.moved[part] += six * amount;
                }
            }
        }
        for (at, spring) in self.structure.springs.iter().enumerate() {
            if spring.origin == origin && spring.motion == motion {
                side.springs_moved[at] += amount;
            }
        }
    }

    /// Sums everything onto the unknowns.
    pub(super) fn fill(&self, side: &mut RightSide) {
        self.fill_but(side, |_| false);
    }

    /// The same, some pieces left out.
    pub(super) fn fill_but(&self, side: &mut RightSide, is_absent: impl Fn(usize) -> bool) {
        for (part, wrench) in side.on_parts.iter().enumerate() {
            if *wrench != Vector6::zeros() {
                self.add_on_part(part, wrench, &mut side.unknowns);
            }
        }
        for (at, piece) in self.pieces.iter().enumerate().filter(|(at, _)| !is_absent(*at)) {
            let load_n_mm = side.on_tubes[self.structure.pieces[at].tube];
            let of_piece = self.load_of_piece(at, piece, &load_n_mm, &side.moved);
            if let Some(f) = of_piece {
                self.add_on_unknowns(piece, &f, &mut side.unknowns);
            }
        }
        for (at, spring) in self.structure.springs.iter().enumerate() {
            let rows = spring_rows(&self.structure, spring);
            let stretch: f64 = rows.iter().map(|(part, row)| row.dot(&side.moved[*part])).sum();
            let pull = spring.rate * (side.springs_moved[at] - stretch);
            if pull != 0.0 {
                for (part, row) in rows {
                    self.add_on_part(part, &(row * pull), &mut side.unknowns);
                }
            }
        }
    }

    /// What a piece of this stiffness puts on its nodes, local axes, under a uniform load on its tube (global axes)
    /// and where the ground moves its ends; `None`: nothing.
    pub(super) fn load_of_piece(
        &self,
        at: usize,
        piece: &PieceStiffness,
        load_n_mm: &Vector3<f64>,
        moved: &[Vector6<f64>],
    ) -> Option<Vector12> {
        let drawn = &self.structure.pieces[at];
        let [first, second] = drawn.ends.map(|end| moved[end.part]);
        let still = first == Vector6::zeros() && second == Vector6::zeros();
        if still && *load_n_mm == Vector3::zeros() {
            return None;
        }
        let load = drawn.axes.rotation * load_n_mm;
        let mut f = piece.joined.node_loads(&piece.end_loads(&load));
        if !still {
            f -= piece.joined.node() * piece.local_motions(&first, &second);
        }
        Some(f)
    }

    /// Adds forces on both ends of a piece (local axes, as the tube's nodes have them) to loads on the unknowns.
    pub(super) fn add_on_unknowns(&self, piece: &PieceStiffness, forces: &Vector12, unknowns: &mut DVector<f64>) {
        for (block, end, six) in &piece.from_blocks {
            let own = six.tr_mul(&forces.fixed_rows::<6>(6 * end));
            self.numbering.add_to_block(unknowns, *block, &own);
        }
    }

    pub(super) fn add_on_part(&self, part: usize, wrench: &Vector6<f64>, unknowns: &mut DVector<f64>) {
        for (block, term) in &self.numbering.parts[part].terms {
            self.numbering.add_to_block(unknowns, *block, &term.tr_mul(wrench));
        }
    }
}

/// What a matrix on the motions of both ends has between two of these.
fn between(own: &Matrix12, end: usize, other_end: usize) -> Matrix6<f64> {
    let columns = &own.data.0[6 * other_end..6 * other_end + 6];
    let mut block = Matrix6::zeros();
    for (to, from) in block.data.0.iter_mut().zip(columns) {
        to.copy_from_slice(&from[6 * end..6 * end + 6]);
    }
    block
}

/// A spring's row in each block of unknowns.
fn spring_blocks(structure: &Structure, numbering: &Numbering, spring: &Spring) -> Vec<(usize, Vector6<f64>)> {
    let mut blocks: Vec<(usize, Vector6<f64>)> = Vec::new();
    for (part, row) in spring_rows(structure, spring) {
        for (block, term) in &numbering.parts[part].terms {
            let own = term.tr_mul(&row);
            match blocks.iter_mut().find(|(known, _)| known == block) {
                Some((_, sum)) => *sum += own,
                None => blocks.push((*block, own)),
            }
        }
    }
    blocks
}

/// The loads of a case, summed.
#[derive(Debug, Clone)]
pub struct RightSide {
    /// On each unknown.
    pub unknowns: DVector<f64>,
    /// On each part, at its origin: N, N·mm.
    pub on_parts: Vec<Vector6<f64>>,
    /// On each tube, N/mm, global axes.
    pub on_tubes: Vec<Vector3<f64>>,
    /// Motions that moved ties alone bring to each part, mm, rad.
    pub moved: Vec<Vector6<f64>>,
    /// Movement of the ground side of each spring, mm or rad.
    pub springs_moved: Vec<f64>,
}

impl RightSide {
    /// Whether anything acts or moves.
    pub fn acts(&self) -> bool {
        let acts = |values: &[f64]| values.iter().any(|value| *value != 0.0);
        self.on_parts.iter().chain(&self.moved).any(|six| acts(six.as_slice()))
            || self.on_tubes.iter().any(|load| acts(load.as_slice()))
            || acts(&self.springs_moved)
            || acts(self.unknowns.as_slice())
    }

    /// Adds another right side, so many times.
    pub fn add(&mut self, other: &RightSide, times: f64) {
        self.unknowns.axpy(times, &other.unknowns, 1.0);
        for (sum, more) in self.on_parts.iter_mut().zip(&other.on_parts) {
            *sum += more * times;
        }
        for (sum, more) in self.on_tubes.iter_mut().zip(&other.on_tubes) {
            *sum += more * times;
        }
        for (sum, more) in self.moved.iter_mut().zip(&other.moved) {
            *sum += more * times;
        }
        for (sum, more) in self.springs_moved.iter_mut().zip(&other.springs_moved) {
            *sum += more * times;
        }
    }
}
