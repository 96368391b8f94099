//! What of a sheet is taken: a grid of half millimetres.
//!
//! Everything drawn is entered generously, so that a label that finds its place free here lies
//! clear of it on the paper.

use super::paper::{Area, Dot};

/// Side of a square of the grid, 0.1 mm.
const CELL: i32 = 5;
/// Squares in a word.
const WORD: usize = 64;

/// Which squares of a sheet are taken.
#[derive(Debug, Clone)]
pub(super) struct Room {
    rows: usize,
    words: usize,
    taken: Vec<u64>,
}

impl Room {
    /// All of a sheet (0.1 mm) is free.
    pub(super) fn new(across: i32, down: i32) -> Room {
        let count = |length: i32| usize::try_from(length / CELL + 1).unwrap_or(0);
        let (rows, words) = (count(down), count(across).div_ceil(WORD));
        Room { rows, words, taken: vec![0; rows * words] }
    }

    /// The squares from `first` to `last` (0.1 mm) along one side, kept to the sheet.
    fn squares(first: i32, last: i32, count: usize) -> Option<(usize, usize)> {
        let (from, to) = (first.div_euclid(CELL).max(0), last.div_euclid(CELL));
        let to = to.min(i32::try_from(count).unwrap_or(i32::MAX) - 1);
        (from <= to).then(|| (from.unsigned_abs() as usize, to.unsigned_abs() as usize))
    }

    /// The bits of a word that lie in a run of squares.
    fn bits(word: usize, from: usize, to: usize) -> u64 {
        let low = from.saturating_sub(word * WORD);
        let high = (to - word * WORD).min(WORD - 1);
        (u64::MAX << low) & (u64::MAX >> (WORD - 1 - high))
    }

    fn take_row(&mut self, row: usize, left: i32, right: i32) {
        let Some((from, to)) = Room::squares(left, right, self.words * WORD) else { return };
        for word in from / WORD..=to / WORD {
            self.taken[row * self.words + word] |= Room::bits(word, from, to);
        }
    }

    /// Takes an area.
    pub(super) fn take(&mut self, area: &Area) {
        let Some((first, last)) = Room::squares(area.top, area.bottom - 1, self.rows) else { return };
        for row in first..=last {
            self.take_row(row, area.left, area.right - 1);
        }
    }

    /// Takes what a line through points of a width (0.1 mm) covers.
    pub(super) fn take_line(&mut self, points: &[Dot], width: u32) {
        let half = i32::try_from(width.div_ceil(2)).unwrap_or(i32::MAX);
        for pair in points.windows(2) {
            self.take_stroke(pair[0], pair[1], half);
        }
    }

    fn take_stroke(&mut self, from: Dot, to: Dot, half: i32) {
        let (top, bottom) = if from.1 <= to.1 { (from, to) } else { (to, from) };
        let Some((first, last)) = Room::squares(top.1 - half, bottom.1 + half, self.rows) else { return };
        let rise = f64::from(bottom.1 - top.1);
        let x_at = |y: f64| {
            if rise == 0.0 {
                return f64::from(top.0);
            }
            f64::from(top.0) + f64::from(bottom.0 - top.0) * ((y - f64::from(top.1)) / rise).clamp(0.0, 1.0)
        };
        for row in first..=last {
            let row_top = i32::try_from(row).unwrap_or(0) * CELL;
            let (mut one, mut other) = (x_at(f64::from(row_top - half)), x_at(f64::from(row_top + CELL + half)));
            if rise == 0.0 {
                other = f64::from(bottom.0);
            }
            if one > other {
                std::mem::swap(&mut one, &mut other);
            }
            // Cut to whole tenths and one more: generous, and quicker than rounding.
            self.take_row(row, one as i32 - 1 - half, other as i32 + 1 + half);
        }
    }

    /// Whether all of an area is free, and on the sheet.
    pub(super) fn is_free(&self, area: &Area) -> bool {
        let (Some((first, last)), Some((from, to))) = (
            Room::squares(area.top, area.bottom - 1, self.rows),
            Room::squares(area.left, area.right - 1, self.words * WORD),
        ) else {
            return false;
        };
        (first..=last).all(|row| {
            (from / WORD..=to / WORD).all(|word| self.taken[row * self.words + word] & Room::bits(word, from, to) == 0)
        })
    }

    /// How many of some places along a straight line are taken, one each half millimetre.
    pub(super) fn taken_along(&self, from: Dot, to: Dot) -> usize {
        let steps = (super::pen::distance(from, to) / f64::from(CELL)).ceil() as usize;
        (0..=steps)
            .filter(|step| {
                let (x, y) = super::pen::between(from, to, *step as f64 / steps.max(1) as f64);
                !self.is_free(&Area::new(x, y, x + 1, y + 1))
            })
            .count()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_area_next_to_a_taken_one_is_free_and_one_that_reaches_in_is_not() {
        let mut room = Room::new(2970, 2100);
        room.take(&Area::new(300, 300, 400, 400));
        assert!(!room.is_free(&Area::new(399, 399, 420, 420)));
        assert!(room.is_free(&Area::new(400, 300, 700, 400)));
        assert!(!room.is_free(&Area::new(0, 310, 2000, 311)));
        assert!(room.is_free(&Area::new(0, 405, 2000, 500)));
    }

    #[test]
    fn every_place_of_a_line_is_taken_whatever_its_slope() {
        for to in [(1500, 320), (310, 1800), (1490, 1710), (300, 300), (1200, 301)] {
            let mut room = Room::new(2970, 2100);
            room.take_line(&[(300, 300), to], 9);
            for step in 0..=1000 {
                let (x, y) = super::super::pen::between((300, 300), to, f64::from(step) / 1000.0);
                assert!(!room.is_free(&Area::new(x, y, x + 1, y + 1)), "{to:?} {x} {y}");
            }
        }
    }
}
