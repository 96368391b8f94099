//! From unknowns back to motions, end forces, mount forces, and whether they balance.

use nalgebra::{DVector, Matrix3, Vector3, Vector6};

use super::assemble::{RightSide, System, spring_rows};
use crate::beam::{Diagram, Vector12, uniform_load};
use crate::structure::{Direction, Origin, Structure, Tube};

/// The state of one piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PieceState {
    /// Forces on the tube's ends, local axes, N and N·mm.
    pub end_forces: Vector12,
    /// Motions of the tube's own ends, local axes, mm and rad.
    pub tube_motions: Vector12,
    /// Uniform load, local axes, N/mm.
    pub load_n_mm: Vector3<f64>,
    /// Internal forces along it.
    pub diagram: Diagram,
}

/// The answer for one right side.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// Motions of each part at its origin, mm and rad.
    pub parts: Vec<Vector6<f64>>,
    /// State of each piece.
    pub pieces: Vec<PieceState>,
    /// Force that each tie's holder exerts on its part, N or N·mm, in the tie's direction.
    pub ties: Vec<f64>,
    /// Force that each spring's holder exerts on its part, N or N·mm, in its direction.
    pub springs: Vec<f64>,
    /// The least force that is told from round-off, N.
    pub least_force_n: f64,
    /// The least moment that is told from round-off, N·mm.
    pub least_moment_nmm: f64,
    /// Out-of-balance of the whole and of each part, over the largest end force.
    pub balance: f64,
    /// Largest moment that a held turn would have to carry, over the largest, and its part.
    pub unheld: Option<(usize, f64)>,
}

impl System {
    /// The state for a right side and its unknowns.
    pub fn state(&self, side: &RightSide, unknowns: &DVector<f64>) -> State {
        let structure = &self.structure;
        let parts: Vec<Vector6<f64>> = self
            .numbering
            .parts
            .iter()
            .zip(&side.moved)
            .map(|(motion, moved)| {
                motion.terms.iter().fold(*moved, |sum, (block, term)| {
                    sum + term * unknowns.rows(self.numbering.pattern.offset(*block), term.ncols())
                })
            })
            .collect();
        let mut on_parts = side.on_parts.clone();
        let pieces: Vec<PieceState> = (0..self.pieces.len())
            .map(|at| {
                let state = self.piece_state(at, side, &parts);
                for end in 0..2 {
                    let force = state.end_forces.fixed_rows::<6>(6 * end);
                    on_parts[structure.pieces[at].ends[end].part] -= self.pieces[at].from_part[end].transpose() * force;
                }
                state
            })
            .collect();
        let springs: Vec<f64> = structure
            .springs
            .iter()
            .enumerate()
            .map(|(at, spring)| {
                let rows = spring_rows(structure, spring);
                let stretch: f64 = rows.iter().map(|(part, row)| row.dot(&parts[*part])).sum();
                let force = spring.rate * (side.springs_moved[at] - stretch);
                for (part, row) in rows {
                    on_parts[part] += row * force;
                }
                force
            })
            .collect();
        let ties = self.tie_forces(&mut on_parts);
        let least_force_n = self.least_force(&parts);
        let least_moment_nmm = least_force_n * self.centre_and_reach().1;
        let balance = self.balance(side, &on_parts, &pieces, &ties, &springs, least_force_n);
        let unheld = self.unheld(&ties, &pieces, least_force_n);
        State { parts, pieces, ties, springs, least_force_n, least_moment_nmm, balance, unheld }
    }

    fn piece_state(&self, at: usize, side: &RightSide, parts: &[Vector6<f64>]) -> PieceState {
        let (piece, drawn) = (&self.pieces[at], &self.structure.pieces[at]);
        let load_n_mm = drawn.axes.rotation * side.on_tubes[drawn.tube];
        let f = uniform_load(&load_n_mm, drawn.axes.length_mm);
        let nodes = piece.local_motions(&parts[drawn.ends[0].part], &parts[drawn.ends[1].part]);
        let end_forces = piece.joined.end_forces(&nodes, &f);
        let diagram = Diagram::from_end_forces(&end_forces, load_n_mm, drawn.axes.length_mm);
        PieceState { end_forces, tube_motions: piece.joined.tube_motions(&nodes, &f), load_n_mm, diagram }
    }

    /// Forces in ties from the equilibrium of the parts that they hold; what is left over stays in
    /// `on_parts`.
    fn tie_forces(&self, on_parts: &mut [Vector6<f64>]) -> Vec<f64> {
        let mut forces = vec![0.0; self.numbering.ties.len()];
        for group in &self.numbering.groups {
            let out = DVector::from_iterator(
                6 * group.parts.len(),
                group.parts.iter().flat_map(|part| on_parts[*part].iter().copied().collect::<Vec<_>>()),
            );
            // Rows × P = 1, so that λ = −Pᵀ · (what acts) solves rowsᵀ λ = −(what acts).
            let tension = -(group.from_right.transpose() * out);
            for (row, &tie) in group.ties.iter().enumerate() {
                forces[tie] = tension[row];
                let tie = &self.numbering.ties[tie];
                for (part, sign) in [(Some(tie.part), 1.0), (tie.holder, -1.0)] {
                    if let Some(part) = part {
                        let six = tie.direction.row(&(tie.at - self.structure.parts[part].origin));
                        on_parts[part] += six * (sign * tension[row]);
                    }
                }
            }
        }
        forces
    }

    /// The least force that is told from round-off, N: a million times what round-off makes of the
    /// products that end forces are sums of, before joints let go. A case that strains nothing (a moved mount to which
    /// all tubes are joined by rod-ends) has no larger force.
    fn least_force(&self, parts: &[Vector6<f64>]) -> f64 {
        const ROUND_OFF: f64 = 1e6 * f64::EPSILON;
        let (_, reach) = self.centre_and_reach();
        self.pieces
            .iter()
            .zip(&self.structure.pieces)
            .map(|(piece, drawn)| {
                let motions = piece.local_motions(&parts[drawn.ends[0].part], &parts[drawn.ends[1].part]);
                let products = piece.joined.tube.abs() * motions.abs();
                let forces = products.fixed_rows::<3>(0).amax().max(products.fixed_rows::<3>(6).amax());
                let moments = products.fixed_rows::<3>(3).amax().max(products.fixed_rows::<3>(9).amax());
                ROUND_OFF * forces.max(moments / reach)
            })
            .fold(0.0, f64::max)
    }

    /// A point of the structure, and how far it reaches from there, mm, at least 1.
    fn centre_and_reach(&self) -> (Vector3<f64>, f64) {
        let parts = &self.structure.parts;
        let centre = parts.first().map_or_else(Vector3::zeros, |part| part.origin.coords);
        (centre, parts.iter().map(|part| (part.origin.coords - centre).norm()).fold(1.0, f64::max))
    }

    /// Out-of-balance of each part and of the whole, over the largest end force; moments count
    /// over a length of the structure. `floor`: the least that counts as the largest, N.
    fn balance(
        &self,
        side: &RightSide,
        left_over: &[Vector6<f64>],
        pieces: &[PieceState],
        ties: &[f64],
        springs: &[f64],
        floor: f64,
    ) -> f64 {
        let structure = &self.structure;
        let (centre, reach) = self.centre_and_reach();
        let size = |six: &Vector6<f64>| six.fixed_rows::<3>(0).norm().max(six.fixed_rows::<3>(3).norm() / reach);
        let mut largest = pieces
            .iter()
            .flat_map(|piece| [0, 6].map(|row| size(&piece.end_forces.fixed_rows::<6>(row).into_owned())))
            .fold(floor, f64::max);
        largest = side.on_parts.iter().map(size).fold(largest, f64::max);
        largest = structure
            .pieces
            .iter()
            .map(|piece| side.on_tubes[piece.tube].norm() * piece.axes.length_mm)
            .fold(largest, f64::max);
        if largest == 0.0 {
            return 0.0;
        }
        let worst = left_over.iter().map(size).fold(0.0, f64::max);
        let total = self.total(side, &centre, ties, springs);
        worst.max(size(&total)) / largest
    }

    /// Everything that acts on the whole from outside, about a point: loads and the ground's forces.
    fn total(&self, side: &RightSide, about: &Vector3<f64>, ties: &[f64], springs: &[f64]) -> Vector6<f64> {
        let structure = &self.structure;
        let mut total = Vector6::zeros();
        let mut add = |at: &Vector3<f64>, six: &Vector6<f64>| {
            let force: Vector3<f64> = six.fixed_rows::<3>(0).into_owned();
            let moment: Vector3<f64> = six.fixed_rows::<3>(3).into_owned();
            let moment = moment + (at - about).cross(&force);
            total += Vector6::new(force.x, force.y, force.z, moment.x, moment.y, moment.z);
        };
        for (part, wrench) in structure.parts.iter().zip(&side.on_parts) {
            add(&part.origin.coords, wrench);
        }
        for piece in &structure.pieces {
            let middle = (piece.ends[0].at.coords + piece.ends[1].at.coords) * 0.5;
            let force = side.on_tubes[piece.tube] * piece.axes.length_mm;
            add(&middle, &Vector6::new(force.x, force.y, force.z, 0.0, 0.0, 0.0));
        }
        let at_rest = Vector3::zeros();
        for (tie, force) in self.numbering.ties.iter().zip(ties).filter(|(tie, _)| tie.holder.is_none()) {
            add(&tie.at.coords, &(tie.direction.row(&at_rest) * *force));
        }
        for (spring, force) in structure.springs.iter().zip(springs).filter(|(spring, _)| spring.holder.is_none()) {
            add(&spring.at.coords, &(spring.direction.row(&at_rest) * *force));
        }
        total
    }

    /// The held turn that would have to carry a moment, if one would.
    fn unheld(&self, ties: &[f64], pieces: &[PieceState], floor: f64) -> Option<(usize, f64)> {
        const NOTHING: f64 = 1e-6;
        let largest = pieces.iter().map(|piece| piece.end_forces.amax()).fold(floor, f64::max);
        let all = ties.iter().map(|force| force.abs()).fold(largest, f64::max);
        self.numbering
            .ties
            .iter()
            .zip(ties)
            .filter(|(tie, force)| tie.origin == Origin::HeldTurn && force.abs() > NOTHING * all)
            .map(|(tie, force)| (tie.part, force.abs()))
            .reduce(|worst, next| if next.1 > worst.1 { next } else { worst })
    }
}

impl State {
    /// Motion of a point of a part: shift (mm) and turn (rad).
    pub fn motion(&self, system: &System, part: usize, at: &nalgebra::Point3<f64>) -> (Vector3<f64>, Vector3<f64>) {
        let six = system.structure.parts[part].carry(at) * self.parts[part];
        (six.fixed_rows::<3>(0).into_owned(), six.fixed_rows::<3>(3).into_owned())
    }

    /// Where each piece of a tube begins, mm from the tube's first end, and its internal forces.
    pub fn diagrams<'s>(&'s self, structure: &'s Structure, tube: &Tube) -> impl Iterator<Item = (f64, Diagram)> + 's {
        tube.pieces.clone().map(|piece| (structure.pieces[piece].start_mm, self.pieces[piece].diagram))
    }

    /// What the holders of ties and springs of one origin do to the part that they hold: force (N)
    /// and moment (N·mm) at the place of the origin.
    pub fn held_by(&self, system: &System, origin: Origin) -> (Vector3<f64>, Vector3<f64>) {
        let (mut force, mut moment) = (Vector3::zeros(), Vector3::zeros());
        let mut add = |direction: &Direction, size: f64| match direction {
            Direction::Shift(d) => force += d * size,
            Direction::Turn(d) => moment += d * size,
        };
        for (tie, size) in system.numbering.ties.iter().zip(&self.ties).filter(|(tie, _)| tie.origin == origin) {
            add(&tie.direction, *size);
        }
        for (spring, size) in
            system.structure.springs.iter().zip(&self.springs).filter(|(spring, _)| spring.origin == origin)
        {
            add(&spring.direction, *size);
        }
        (force, moment)
    }

    /// Force and moment that an end of a piece exerts on its part, at that end, global axes.
    pub fn on_part(&self, rotation: &Matrix3<f64>, piece: usize, end: usize) -> (Vector3<f64>, Vector3<f64>) {
        let forces = &self.pieces[piece].end_forces;
        let force: Vector3<f64> = forces.fixed_rows::<3>(6 * end).into_owned();
        let moment: Vector3<f64> = forces.fixed_rows::<3>(6 * end + 3).into_owned();
        (-(rotation.transpose() * force), -(rotation.transpose() * moment))
    }
}
