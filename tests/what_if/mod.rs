//! What if a tube were other than drawn: the answer from one factorised frame against a whole new solution.

mod braces;
mod changes;
mod mending;
mod mending_in_parts;
mod subsets;

use crossbrace::car::wheel_loads;
use crossbrace::loads::case_loads;
use crossbrace::math::assert_near;
use crossbrace::model::{Model, load as load_model};
use crossbrace::run::{Prepared, prepare};
use crossbrace::solve::{RightSide, RoundOff};
use crossbrace::source::Document;
use crossbrace::structure::Purpose;
use nalgebra::Vector6;
use serde_json::Value;

/// Frames more nearly loose than this lose the digits that are compared, whatever solves them.
const WELL_HELD: f64 = 1e6;

/// A text as a model; `None` where it is none.
fn model_of(text: &Value) -> Option<Model> {
    load_model(&Document::read(text.to_string().into_bytes()).ok()?).ok()
}

/// A model factorised, and the loads of its cases without anti-roll bars; `None` where it does not stand well.
fn solved(model: &Model) -> Option<(Prepared, Vec<RightSide>)> {
    let prepared = prepare(model, Purpose::Statics).ok()?;
    let sides = model
        .cases
        .iter()
        .map(|(name, case)| {
            let wheels = wheel_loads(model, name, case).ok()?;
            Some(prepared.system.right_side(&case_loads(model, &prepared.system.structure, case, &wheels)))
        })
        .collect::<Option<Vec<RightSide>>>()?;
    (prepared.solved.condition < WELL_HELD).then_some((prepared, sides))
}

/// The names of the tubes of a structure.
fn names(model: &Model, prepared: &Prepared) -> Vec<String> {
    (0..prepared.system.structure.tubes.len()).map(|tube| prepared.system.structure.tube_name(model, tube)).collect()
}

/// The largest difference of shifts, turns, forces and moments, each over the largest of its kind.
#[derive(Default)]
struct Differences {
    most: [f64; 4],
    differs: [f64; 4],
}

impl Differences {
    fn add(&mut self, kind: usize, one: f64, other: f64) {
        self.most[kind] = self.most[kind].max(other.abs());
        let differs = (one - other).abs();
        self.differs[kind] = if differs.is_nan() { f64::INFINITY } else { self.differs[kind].max(differs) };
    }

    fn add_motions(&mut self, one: &Vector6<f64>, other: &Vector6<f64>) {
        for at in 0..6 {
            self.add(at / 3, one[at], other[at]);
        }
    }

    fn add_forces(&mut self, one: &crossbrace::beam::Diagram, other: &crossbrace::beam::Diagram) {
        for x_mm in [0.0, other.length_mm] {
            let (one, other) = (one.at(x_mm), other.at(x_mm));
            for (kind, one, other) in [
                (2, one.n, other.n),
                (2, one.vy, other.vy),
                (2, one.vz, other.vz),
                (3, one.t, other.t),
                (3, one.my, other.my),
                (3, one.mz, other.mz),
            ] {
                self.add(kind, one, other);
            }
        }
    }

    /// The worst of all kinds. Forces that are nothing but round-off to the solver itself, and differ by no more, are
    /// left out: cases that strain nothing. A turn, or a moment, is no smaller than what the largest shift, or force,
    /// makes of a millimetre.
    fn worst(&self, least: &RoundOff) -> f64 {
        let [shift, turn, force, moment] = self.most;
        let most = [shift.max(turn), turn.max(shift * 1e-3), force.max(moment * 1e-3), moment.max(force)];
        let nothing = [0.0, 0.0, least.force_n, least.moment_nmm];
        let mut worst: f64 = 0.0;
        for (at, differs) in self.differs.iter().enumerate() {
            if *differs > 0.0 && (self.most[at] > nothing[at] || *differs > nothing[at]) {
                worst = worst.max(differs / most[at]);
            }
        }
        worst
    }
}

#[test]
fn a_difference_of_one_part_in_a_thousand_is_told() {
    let nothing = RoundOff { force_n: 0.0, moment_nmm: 0.0 };
    let mut differences = Differences::default();
    differences.add_motions(&Vector6::new(1.0, 0.0, 0.0, 0.0, 0.0, 0.0), &Vector6::new(1.001, 0.0, 0.0, 0.0, 0.0, 0.0));
    assert_near(differences.worst(&nothing), 0.001 / 1.001, 1e-9);
    differences.add_motions(&Vector6::repeat(f64::NAN), &Vector6::zeros());
    assert!(differences.worst(&nothing).is_infinite());
}
