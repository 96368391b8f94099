//! Elimination of dependent unknowns from a few linear conditions.

use nalgebra::DMatrix;

/// Conditions A q = b solved for some of the unknowns: q = N y + P b.
///
/// `y` are the unknowns that stay, in rising order.
#[derive(Debug, Clone, PartialEq)]
pub struct Elimination {
    /// Which unknowns stay.
    pub kept: Vec<usize>,
    /// N: all unknowns from the kept ones.
    pub from_kept: DMatrix<f64>,
    /// P: all unknowns from the right sides.
    pub from_right: DMatrix<f64>,
}

/// Solves the conditions `a` (one a row) for as many unknowns, by elimination with full pivoting.
///
/// `scale` is the size of each unknown (so that lengths and angles compare). Rows are compared
/// by their largest entry.
///
/// # Errors
/// The first row in elimination order that depends on the rest, to `tolerance`.
pub fn eliminate(a: &DMatrix<f64>, scale: &[f64], tolerance: f64) -> Result<Elimination, usize> {
    let (rows, columns) = a.shape();
    // [A | I] in scaled unknowns, each row brought to size 1: reduced to row-echelon form by Gauss–Jordan.
    let mut work = DMatrix::zeros(rows, columns + rows);
    for row in 0..rows {
        let size = (0..columns).map(|column| (a[(row, column)] * scale[column]).abs()).fold(0.0, f64::max);
        let size = if size > 0.0 { size } else { 1.0 };
        for column in 0..columns {
            work[(row, column)] = a[(row, column)] * scale[column] / size;
        }
        work[(row, columns + row)] = 1.0 / size;
    }
    let mut pivots: Vec<(usize, usize)> = Vec::with_capacity(rows);
    let mut open: Vec<usize> = (0..rows).collect();
    while !open.is_empty() {
        let mut best = (0.0, open[0], 0);
        for &row in &open {
            for column in 0..columns {
                let size = work[(row, column)].abs();
                if size > best.0 && !pivots.iter().any(|pivot| pivot.1 == column) {
                    best = (size, row, column);
                }
            }
        }
        let (size, row, column) = best;
        if size <= tolerance {
            return Err(row);
        }
        let pivot = work[(row, column)];
        for at in 0..columns + rows {
            work[(row, at)] /= pivot;
        }
        for other in (0..rows).filter(|other| *other != row) {
            let factor = work[(other, column)];
            if factor != 0.0 {
                for at in 0..columns + rows {
                    let subtract = factor * work[(row, at)];
                    work[(other, at)] -= subtract;
                }
            }
        }
        pivots.push((row, column));
        open.retain(|left| *left != row);
    }
    let kept: Vec<usize> = (0..columns).filter(|column| !pivots.iter().any(|pivot| pivot.1 == *column)).collect();
    let mut from_kept = DMatrix::zeros(columns, kept.len());
    let mut from_right = DMatrix::zeros(columns, rows);
    for (place, &column) in kept.iter().enumerate() {
        from_kept[(column, place)] = 1.0;
        for &(row, pivot) in &pivots {
            from_kept[(pivot, place)] = -work[(row, column)] * scale[pivot] / scale[column];
        }
    }
    for &(row, pivot) in &pivots {
        for right in 0..rows {
            from_right[(pivot, right)] = work[(row, columns + right)] * scale[pivot];
        }
    }
    Ok(Elimination { kept, from_kept, from_right })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_is_eliminated_fulfils_its_conditions() {
        let a = DMatrix::from_row_slice(2, 4, &[1.0, 2.0, 0.0, 3.0, 0.0, 1.0, 500.0, 1.0]);
        let solved = eliminate(&a, &[1.0, 1.0, 0.01, 1.0], 1e-9).unwrap();
        assert!((&a * &solved.from_kept).amax() < 1e-13);
        assert!((&a * &solved.from_right - DMatrix::<f64>::identity(2, 2)).amax() < 1e-13);
        assert_eq!(solved.kept.len(), 2);
    }

    #[test]
    fn a_row_that_depends_on_the_rest_is_named() {
        let a = DMatrix::from_row_slice(3, 3, &[1.0, 0.0, 0.0, 0.0, 1.0, 0.0, 1.0, 1.0, 0.0]);
        assert!(eliminate(&a, &[1.0; 3], 1e-9).is_err());
    }
}
