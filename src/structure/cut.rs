//! Tubes cut finer, for what depends on their shape between their ends.

use nalgebra::Point3;

use super::{Part, PartKind, Piece, PieceEnd, Structure};
use crate::beam::{Axes, Joint};

impl Structure {
    /// The same structure with each piece cut into so many of one length, at least 1.
    ///
    /// Parts, ties and springs keep their places; the new parts come after them. The ends of tubes
    /// keep their joints, cuts are welded.
    ///
    /// # Panics
    /// Where there is not a count for each piece.
    pub fn cut(&self, counts: &[usize]) -> Structure {
        assert_eq!(counts.len(), self.pieces.len(), "each piece has its count");
        let mut fine = Structure { pieces: Vec::with_capacity(counts.iter().sum()), ..self.clone() };
        let mut begins = Vec::with_capacity(counts.len() + 1);
        for (piece, count) in self.pieces.iter().zip(counts) {
            begins.push(fine.pieces.len());
            let [first, last] = piece.ends;
            let length_mm = piece.axes.length_mm;
            let mut begin = first;
            for number in 1..=*count {
                let part_of_whole = number as f64 / *count as f64;
                let end = if number == *count {
                    last
                } else {
                    let at: Point3<f64> = first.at + (last.at - first.at) * part_of_whole;
                    fine.parts.push(Part { kind: PartKind::Frame, origin: at, anchors: Vec::new() });
                    PieceEnd { part: fine.parts.len() - 1, at, joint: Joint::WELD }
                };
                fine.pieces.push(Piece {
                    tube: piece.tube,
                    start_mm: piece.start_mm + length_mm * ((number - 1) as f64 / *count as f64),
                    axes: Axes { length_mm: (end.at - begin.at).norm(), ..piece.axes },
                    ends: [begin, end],
                });
                begin = PieceEnd { joint: Joint::WELD, ..end };
            }
        }
        begins.push(fine.pieces.len());
        for (tube, drawn) in fine.tubes.iter_mut().zip(&self.tubes) {
            tube.pieces = begins[drawn.pieces.start]..begins[drawn.pieces.end];
        }
        fine
    }
}
