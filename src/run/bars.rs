//! How hard each anti-roll bar pulls, so that it takes its share.

use nalgebra::{DMatrix, DVector, Dyn, LU};

use super::prepared::Prepared;
use crate::loads::anti_roll;
use crate::model::{AXLES, Fault, Model, STRUT, TubeRef, Wheel};
use crate::path;
use crate::solve::{RightSide, State};
use crate::structure::{Structure, TubeName};
use crate::units::figures;

/// The least change of an axle's spring forces by 1 N in a bar's link, N: below it the bar would
/// need forces far beyond those of the wheels. Common practice, no source: real bars reach 0.3 to 2.
const LEAST_LEVERAGE: f64 = 0.02;

/// The anti-roll bars of a structure, each with a tension of 1 N in its left link.
pub(super) struct Bars {
    /// What a bar does to the structure.
    units: Vec<RightSide>,
    /// The unknowns of each.
    x: DMatrix<f64>,
    /// What each bar (column) changes of the difference of the spring forces of each bar's axle.
    influence: Option<LU<f64, Dyn, Dyn>>,
}

impl Bars {
    /// Solves the bars of a model.
    ///
    /// # Errors
    /// A bar whose links hardly change the springs' forces, so that no force in them would do.
    pub(super) fn new(model: &Model, prepared: &Prepared) -> Result<Bars, Vec<Fault>> {
        let system = &prepared.system;
        let units: Vec<RightSide> = anti_roll(model, &system.structure)
            .iter()
            .map(|bar| system.right_side(std::slice::from_ref(bar)))
            .collect();
        if units.is_empty() {
            return Ok(Bars { units, x: DMatrix::zeros(system.matrix.n(), 0), influence: None });
        }
        let columns: Vec<_> = units.iter().map(|unit| unit.unknowns.clone()).collect();
        let (x, _) = prepared.solved.unknowns(system, &DMatrix::from_columns(&columns));
        let states = units.iter().zip(x.column_iter()).map(|(unit, x)| system.state(unit, &x.into_owned()));
        let differences: Vec<DVector<f64>> = states.map(|state| spring_differences(model, prepared, &state)).collect();
        let influence = DMatrix::from_columns(&differences);
        let faults: Vec<Fault> = (0..units.len())
            .filter(|bar| influence[(*bar, *bar)].abs() < LEAST_LEVERAGE)
            .map(|bar| without_leverage(model, bar, influence[(bar, bar)]))
            .collect();
        if !faults.is_empty() {
            return Err(faults);
        }
        let influence = influence.lu();
        if !influence.is_invertible() {
            let message = "the two bars act on the springs in the same way, so that their shares cannot be told apart";
            return Err(vec![Fault::new(path!["anti_roll"], message)]);
        }
        Ok(Bars { units, x, influence: Some(influence) })
    }

    /// How many times its unit size each bar acts beside a state without bars.
    ///
    /// A bar takes its share of the left–right difference of the spring forces: with D the
    /// differences without bars and d those of unit bars, D + Σ s d = (1 − share) D on every axle
    /// with a bar. Linear in the state, so that parts of a case have their parts of it.
    pub(super) fn scales(&self, model: &Model, prepared: &Prepared, without: &State) -> Vec<f64> {
        let Some(influence) = &self.influence else { return Vec::new() };
        let without = spring_differences(model, prepared, without);
        let shares = model.anti_roll.iter().zip(without.iter());
        let wanted = DVector::from_iterator(self.units.len(), shares.map(|(bar, d)| -bar.share * d));
        influence.solve(&wanted).expect("the influence of the bars can be inverted").as_slice().to_vec()
    }

    /// Adds the bars, so many times, to a right side and its unknowns.
    pub(super) fn add(&self, scales: &[f64], right: &mut RightSide, unknowns: &mut DVector<f64>) {
        for (bar, times) in scales.iter().enumerate() {
            right.add(&self.units[bar], *times);
            unknowns.axpy(*times, &self.x.column(bar), 1.0);
        }
    }
}

fn without_leverage(model: &Model, bar: usize, change_n: f64) -> Fault {
    let message = format!(
        "the bar cannot take its share: 1 N in its link changes the spring forces by {} N",
        figures(change_n.abs(), 1)
    );
    Fault::new(path!["anti_roll", AXLES[model.anti_roll[bar].axle]], message).hint(
        "its link pulls at a place that hardly moves when the wheel rises, or across that movement: put the foot farther out",
    )
}

/// Left less right tension of the springs of each bar's axle, of struts along them at their tops, N.
fn spring_differences(model: &Model, prepared: &Prepared, state: &State) -> DVector<f64> {
    let tension = |piece: usize| state.pieces[piece].diagram.first.n;
    let springs = bar_springs(model, &prepared.system.structure).into_iter();
    let differences = springs.map(|[left, right]| tension(left) - tension(right));
    DVector::from_iterator(model.anti_roll.len(), differences)
}

/// Of each bar the pieces whose tension at the first end is that of its axle's springs, left and right.
pub fn bar_springs(model: &Model, structure: &Structure) -> Vec<[usize; 2]> {
    let piece = |axle: usize, left: bool| {
        let wheel = Wheel::of_axle(axle, left);
        let corner = model.corner_index(wheel).expect("a bar's axle has both corners");
        let tube = structure.tube(carrier(model, corner)).expect("a corner's spring or strut is in the structure");
        structure.tubes[tube].pieces.start
    };
    model.anti_roll.iter().map(|bar| [piece(bar.axle, true), piece(bar.axle, false)]).collect()
}

/// What carries the standing load of a corner: its spring, or its strut.
fn carrier(model: &Model, corner: usize) -> TubeName {
    let kind = &model.corners[corner].kind;
    let strut = kind.tubes().iter().position(|tube| tube.name == STRUT);
    match strut.filter(|_| kind.spring().is_none()) {
        Some(tube) => TubeName::Tube(TubeRef::Corner { corner, tube }),
        None => TubeName::Spring(corner),
    }
}
