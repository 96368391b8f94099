//! A structure that is solved, with its tubes cut finer.

use nalgebra::{DVector, Vector6};

use super::assemble::{RightSide, System};
use crate::structure::{Direction, Numbering, Origin, PieceEnd, Structure, Tie};

impl System {
    /// The structure with its pieces cut into so many each, and its unknowns. A tube that can spin about
    /// itself is held against that where it is cut.
    pub fn cut(&self, counts: &[usize]) -> (Structure, Numbering) {
        let structure = self.structure.cut(counts);
        let mut held: Vec<Tie> = self.numbering.ties[self.structure.ties.len()..].to_vec();
        for (at, (tube, whole)) in structure.tubes.iter().zip(&self.structure.tubes).enumerate() {
            if whole.pieces.len() == 1 && tube.pieces.len() > 1 && structure.spins(at) {
                let first = &structure.pieces[tube.pieces.start];
                let PieceEnd { part, at, .. } = first.ends[1];
                let direction = Direction::Turn(first.axes.x());
                held.push(Tie { part, holder: None, at, direction, origin: Origin::HeldTurn, motion: 3 });
            }
        }
        let numbering = Numbering::new(&structure, &held).expect("cuts bring no tie but those that hold a spin");
        (structure, numbering)
    }

    /// A right side of the structure before it was cut, on this structure.
    pub fn right_side_on_cut(&self, whole: &RightSide) -> RightSide {
        let mut side = whole.clone();
        side.unknowns = DVector::zeros(self.numbering.pattern.n_unknowns());
        side.on_parts.resize(self.structure.parts.len(), Vector6::zeros());
        side.moved.resize(self.structure.parts.len(), Vector6::zeros());
        self.fill(&mut side);
        side
    }
}
