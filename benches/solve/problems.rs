//! What is solved: frames of the crate's models, and cubic lattices of beams.

use std::sync::Arc;

use crossbrace::beam::Beam;
use crossbrace::car::wheel_loads;
use crossbrace::loads::case_loads;
use crossbrace::math::{BlockPattern, SymmetricMatrix};
use crossbrace::model::{Model, load};
use crossbrace::solve::{RightSide, System};
use crossbrace::source::Document;
use crossbrace::structure::{Numbering, Purpose, Structure, build, number};
use nalgebra::{DMatrix, Matrix3, Matrix6};

/// A frame taken apart, with the loads of its first ten cases.
pub(crate) struct Frame {
    pub(crate) name: &'static str,
    pub(crate) model: Model,
    pub(crate) structure: Structure,
    pub(crate) numbering: Numbering,
}

impl Frame {
    pub(crate) fn new(name: &'static str, text: &[u8]) -> Self {
        let document = Document::read(text.to_vec()).expect("the model is JSON");
        let model = load(&document).expect("the model is valid");
        let structure = build(&model, Purpose::Statics).expect("the model has no plate between bodies");
        let numbering = number(&model, &structure, &[]).expect("the model has no closed ring");
        Self { name, model, structure, numbering }
    }

    /// The right sides of ten cases.
    pub(crate) fn right_sides(&self, system: &System) -> Vec<RightSide> {
        let sides: Vec<RightSide> = self
            .model
            .cases
            .iter()
            .take(10)
            .map(|(name, case)| {
                let wheels = wheel_loads(&self.model, name, case).expect("the car can drive the case");
                system.right_side(&case_loads(&self.model, &system.structure, case, &wheels))
            })
            .collect();
        assert_eq!(sides.len(), 10, "a frame of the bench has ten cases");
        sides
    }
}

/// The unknowns of right sides, side by side.
pub(crate) fn columns(sides: &[RightSide]) -> DMatrix<f64> {
    DMatrix::from_columns(&sides.iter().map(|side| side.unknowns.clone()).collect::<Vec<_>>())
}

/// A cube of so many nodes along each edge, joined by tubes of 200 mm, held at one corner.
pub(crate) fn lattice(edge: usize) -> (Arc<BlockPattern>, SymmetricMatrix) {
    let node = |x: usize, y: usize, z: usize| (x * edge + y) * edge + z;
    let mut tubes = Vec::new();
    for x in 0..edge {
        for y in 0..edge {
            for z in 0..edge {
                for (axis, (at, step)) in [x, y, z].into_iter().zip([edge * edge, edge, 1]).enumerate() {
                    if at + 1 < edge {
                        tubes.push((node(x, y, z), node(x, y, z) + step, axis));
                    }
                }
            }
        }
    }
    let n = edge.pow(3);
    let pattern = Arc::new(BlockPattern::new(&vec![6; n], tubes.iter().map(|(one, other, _)| (*one, *other))));
    let mut matrix = SymmetricMatrix::zero(&pattern);
    let beam = Beam {
        length_mm: 200.0,
        ea_n: 3.7e7,
        gj_nmm2: 2.9e9,
        eiy_nmm2: 3.8e9,
        eiz_nmm2: 3.8e9,
        gay_n: f64::INFINITY,
        gaz_n: f64::INFINITY,
    };
    let stiffness = beam.stiffness();
    for (one, other, axis) in tubes {
        let turn = turned(axis);
        let global = |row: usize, column: usize| -> Matrix6<f64> {
            turn.transpose() * stiffness.fixed_view::<6, 6>(row, column) * turn
        };
        matrix.add(one, one, &global(0, 0));
        matrix.add(other, other, &global(6, 6));
        matrix.add(one, other, &global(0, 6));
    }
    matrix.add(0, 0, &(Matrix6::identity() * 1e6));
    (pattern, matrix)
}

/// Local axes of a tube along an axis, for shifts and turns.
fn turned(axis: usize) -> Matrix6<f64> {
    let rotation = match axis {
        0 => Matrix3::identity(),
        1 => Matrix3::new(0.0, 1.0, 0.0, -1.0, 0.0, 0.0, 0.0, 0.0, 1.0),
        _ => Matrix3::new(0.0, 0.0, 1.0, 0.0, 1.0, 0.0, -1.0, 0.0, 0.0),
    };
    let mut both = Matrix6::zeros();
    both.fixed_view_mut::<3, 3>(0, 0).copy_from(&rotation);
    both.fixed_view_mut::<3, 3>(3, 3).copy_from(&rotation);
    both
}
