//! All cases of a model, solved on one factorised structure.

use nalgebra::{DMatrix, DVector};

use super::bars::Bars;
use super::prepared::Prepared;
use super::sound::beyond;
use crate::car::{WheelLoads, bar_balance, wheel_loads};
use crate::loads::{Cause, Contribution, case_loads};
use crate::model::{Case, Fault, Model, Target};
use crate::path;
use crate::solve::{Accuracy, RightSide, State, TOO_INACCURATE, error_bound};
use crate::source::Path;
use crate::structure::Direction;
use crate::units::brief;

/// The answer to one case.
#[derive(Debug)]
pub struct CaseResponse {
    /// Its name.
    pub name: String,
    /// What the wheels carry and how that came about, before the case's factor.
    pub wheels: WheelLoads,
    /// What acts.
    pub loads: Vec<Contribution>,
    /// What acts, summed, anti-roll bars included.
    pub right: RightSide,
    /// Motions and forces.
    pub state: State,
    /// Tension of the left and right link of each anti-roll bar, N.
    pub bars_n: Vec<[f64; 2]>,
    /// How accurate it is.
    pub accuracy: Accuracy,
    /// The twist test of the case.
    pub twist: Option<TwistResponse>,
}

/// What a twist test gives, from its own loads alone.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TwistResponse {
    /// Moment, N·mm.
    pub moment_nmm: f64,
    /// Angle between the two nodes, rad: (uz of the first − uz of the second) over their distance in
    /// y; positive where the first, which a positive moment pushes up, rises against the second.
    pub angle_rad: f64,
}

/// The answers to all cases, in the order of the model.
#[derive(Debug)]
pub struct Response {
    /// One a case.
    pub cases: Vec<CaseResponse>,
}

/// Solves every case of a model, or those that are asked for. Changes are from `standing`: ask for
/// it too.
///
/// # Errors
/// A case whose wheel loads cannot be, a moment that nothing takes, an answer that is not accurate.
pub fn respond(model: &Model, prepared: &Prepared, wanted: impl Fn(&str) -> bool) -> Result<Response, Vec<Fault>> {
    let system = &prepared.system;
    let (mut faults, mut inaccurate) = (Vec::new(), Vec::new());
    let drafts = all_wheel_loads(model, wanted)?;
    let mut drafts: Vec<Draft<'_>> = drafts
        .into_iter()
        .map(|(name, case, wheels)| {
            let loads = case_loads(model, &system.structure, case, &wheels);
            let right = system.right_side(&loads);
            Draft { name, case, wheels, loads, right }
        })
        .collect();
    let bars = Bars::new(model, prepared)?;
    let twists: Vec<Option<RightSide>> = drafts.iter().map(|draft| draft.twist_alone(prepared)).collect();
    let columns: Vec<&DVector<f64>> = drafts
        .iter()
        .map(|draft| &draft.right.unknowns)
        .chain(twists.iter().flatten().map(|twist| &twist.unknowns))
        .collect();
    let right = matrix(system.matrix.n(), &columns);
    let (mut x, first_errors) = prepared.solved.unknowns(system, &right);
    let n = drafts.len();
    let mut scales: Vec<Vec<f64>> = Vec::with_capacity(n);
    for (case, draft) in drafts.iter_mut().enumerate() {
        let mut unknowns = x.column(case).into_owned();
        let scale = match model.anti_roll.as_slice() {
            [] => Vec::new(),
            _ => bars.scales(model, prepared, &system.state(&draft.right, &unknowns)),
        };
        bars.add(&scale, &mut draft.right, &mut unknowns);
        x.set_column(case, &unknowns);
        scales.push(scale);
    }
    let unknowns = x.columns(0, n).into_owned();
    let (unknowns, errors) = if model.anti_roll.is_empty() {
        (unknowns, first_errors[..n].to_vec())
    } else {
        let right: Vec<&DVector<f64>> = drafts.iter().map(|draft| &draft.right.unknowns).collect();
        prepared.solved.refined(system, unknowns, &matrix(system.matrix.n(), &right))
    };
    let mut twist_column = n;
    let mut cases = Vec::with_capacity(n);
    for (at, draft) in drafts.into_iter().enumerate() {
        let state = system.state(&draft.right, &unknowns.column(at).into_owned());
        let accuracy = accuracy_of(prepared, errors[at], &state);
        let twist = twists[at].as_ref().map(|right| {
            let alone = system.state(right, &x.column(twist_column).into_owned());
            let of_twist = accuracy_of(prepared, first_errors[twist_column], &alone);
            twist_column += 1;
            (draft.twist_response(model, prepared, &alone), of_twist)
        });
        let balances: Vec<[f64; 2]> = model.anti_roll.iter().map(|bar| bar_balance(model, bar).tension_n).collect();
        let bars_n =
            scales[at].iter().zip(&balances).map(|(scale, tension)| tension.map(|unit| unit * scale)).collect();
        let response = CaseResponse {
            name: draft.name.to_owned(),
            wheels: draft.wheels,
            loads: draft.loads,
            right: draft.right,
            state,
            bars_n,
            accuracy,
            twist: twist.map(|(twist, _)| twist),
        };
        let of_twist = || {
            let (_, accuracy) = twist.as_ref()?;
            too_inaccurate(path!["cases", &response.name, "twist"], "the answer to the twist test alone", accuracy)
        };
        match response.unheld(model, draft.case, prepared) {
            Some(fault) => faults.push(fault),
            None => inaccurate.extend(response.too_inaccurate().or_else(of_twist)),
        }
        cases.push(response);
    }
    faults.extend(told_once(inaccurate));
    if faults.is_empty() { Ok(Response { cases }) } else { Err(faults) }
}

/// The wheel loads of every case that is wanted.
///
/// # Errors
/// Every case that the car cannot drive. What the car's figures alone forbid is told for the first.
pub(super) fn all_wheel_loads(
    model: &Model,
    wanted: impl Fn(&str) -> bool,
) -> Result<Vec<(&str, &Case, WheelLoads)>, Vec<Fault>> {
    let mut faults: Vec<Fault> = Vec::new();
    let mut all = Vec::new();
    for (name, case) in model.cases.iter().filter(|(name, _)| wanted(name)) {
        match wheel_loads(model, name, case) {
            Ok(wheels) => all.push((name.as_str(), case, wheels)),
            Err(fault) if faults.iter().any(|known| known.path == fault.path) => {}
            Err(fault) => faults.push(fault),
        }
    }
    if faults.is_empty() { Ok(all) } else { Err(faults) }
}

fn matrix(rows: usize, columns: &[&DVector<f64>]) -> DMatrix<f64> {
    let mut matrix = DMatrix::zeros(rows, columns.len());
    for (at, column) in columns.iter().enumerate() {
        matrix.set_column(at, column);
    }
    matrix
}

/// The power of ten below a part of the whole, in percent and at most 10 %. Nothing finer can be
/// said of what is left by rounding, and every change of the arithmetic changes it.
fn more_than(part: f64) -> String {
    let power = part.log10().floor().clamp(-16.0, -1.0);
    format!("{} %", brief(10_f64.powf(power + 2.0)))
}

/// A case on its way.
struct Draft<'m> {
    name: &'m str,
    case: &'m Case,
    wheels: WheelLoads,
    loads: Vec<Contribution>,
    right: RightSide,
}

impl Draft<'_> {
    /// The twist loads of the case without all others.
    fn twist_alone(&self, prepared: &Prepared) -> Option<RightSide> {
        let twist = self.loads.iter().find(|contribution| contribution.cause == Cause::Twist)?;
        Some(prepared.system.right_side(std::slice::from_ref(twist)))
    }

    fn twist_response(&self, model: &Model, prepared: &Prepared, alone: &State) -> TwistResponse {
        let twist = self.case.twist.as_ref().expect("only a case with a twist test has its loads");
        let height = |anchor| {
            let part = prepared.system.structure.part_of(anchor);
            alone.motion(&prepared.system, part, &model.anchor_at(anchor)).0.z
        };
        let distance = twist.lever_mm(model);
        let moment_nmm = twist.moment_nmm * self.case.factor;
        let strained = carried_n(prepared, alone, distance) > NOTHING_CARRIED * (moment_nmm / distance).abs();
        let rise = if strained { height(twist.axle[0]) - height(twist.axle[1]) } else { 0.0 };
        TwistResponse { moment_nmm, angle_rad: rise / distance }
    }
}

/// Where tubes and rates carry no more than this part of the twist loads, rigid mounts take them
/// all: what turns is round-off.
const NOTHING_CARRIED: f64 = 1e-9;

/// The largest force in tubes, mounts with rates and sprung joints, N; moments count over `length_mm`.
fn carried_n(prepared: &Prepared, state: &State, length_mm: f64) -> f64 {
    let pieces = state.pieces.iter().flat_map(|piece| {
        let [first, second] = [0, 6].map(|row| piece.end_forces.fixed_rows::<6>(row).into_owned());
        [first, second].map(|six| six.fixed_rows::<3>(0).amax().max(six.fixed_rows::<3>(3).amax() / length_mm))
    });
    let springs =
        prepared.system.structure.springs.iter().zip(&state.springs).map(|(spring, size)| match spring.direction {
            Direction::Shift(_) => size.abs(),
            Direction::Turn(_) => size.abs() / length_mm,
        });
    pieces.chain(springs).fold(0.0, f64::max)
}

/// How accurate a state is, from the backward error of its unknowns.
fn accuracy_of(prepared: &Prepared, residual: f64, state: &State) -> Accuracy {
    Accuracy { residual, balance: state.balance, error: error_bound(residual, prepared.solved.condition) }
}

/// What is wrong with an answer that may not be shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Wrong {
    /// It is no number.
    Beyond,
    /// Forces are out of balance.
    Balance,
    /// It is uncertain.
    Error,
}

/// Faults of several cases that have one reason, as one at the first of them.
fn told_once(inaccurate: Vec<(Wrong, Fault)>) -> Vec<Fault> {
    let mut told: Vec<(Wrong, Fault, usize)> = Vec::new();
    for (wrong, fault) in inaccurate {
        match told.iter_mut().find(|(known, _, _)| *known == wrong) {
            Some((_, _, more)) => *more += 1,
            None => told.push((wrong, fault, 0)),
        }
    }
    let with_count = |(_, mut fault, more): (Wrong, Fault, usize)| {
        match more {
            0 => {}
            1 => fault.message.push_str("; so it is with another case"),
            _ => fault.message.push_str(&format!("; so it is with {more} other cases")),
        }
        fault
    };
    told.into_iter().map(with_count).collect()
}

/// The fault of an answer that may not be shown.
fn too_inaccurate(path: Path, what: &str, accuracy: &Accuracy) -> Option<(Wrong, Fault)> {
    let Accuracy { balance, error, .. } = *accuracy;
    let limit = more_than(TOO_INACCURATE);
    if !error.is_finite() || !balance.is_finite() {
        return Some((Wrong::Beyond, beyond(path, "what comes out of this case")));
    }
    let (wrong, told) = if balance > TOO_INACCURATE {
        (Wrong::Balance, format!("forces are out of balance by more than {} of the largest", more_than(balance)))
    } else if error > TOO_INACCURATE {
        (Wrong::Error, format!("it is uncertain by more than {} of itself", more_than(error)))
    } else {
        return None;
    };
    let message = format!("{what} is not accurate: {told}; at most {limit} is let through");
    Some((wrong, Fault::new(path, message).hint("look for a tube, a rate or a section figure with a wrong unit")))
}

impl CaseResponse {
    fn too_inaccurate(&self) -> Option<(Wrong, Fault)> {
        too_inaccurate(path!["cases", &self.name], "the answer", &self.accuracy)
    }

    /// The fault of a moment that nothing takes.
    fn unheld(&self, model: &Model, case: &Case, prepared: &Prepared) -> Option<Fault> {
        let part = self.state.unheld?;
        let anchors = &prepared.system.structure.parts[part].anchors;
        let given = case.moments.iter().find_map(|(target, _)| match target {
            Target::Anchor(anchor) if anchors.contains(anchor) => Some(model.anchor_name(*anchor)),
            _ => None,
        });
        let name = given.or_else(|| anchors.first().map(|anchor| model.anchor_name(*anchor))).unwrap_or("a joint");
        let path = match given {
            Some(node) => path!["cases", &self.name, "moments", node],
            None => path!["cases", &self.name],
        };
        let fault = Fault::new(path, format!("nothing takes a moment at \"{name}\": only rod-ends meet there"));
        Some(fault.hint("weld a tube to it, or load another node"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_answer_is_let_through_only_where_its_error_and_its_balance_are_small() {
        let told = |error: f64, balance: f64| {
            let accuracy = Accuracy { residual: 0.0, balance, error };
            too_inaccurate(path!["cases", "jig", "twist"], "the answer to the twist test alone", &accuracy)
                .map(|(_, fault)| fault.message)
        };
        assert_eq!(told(1e-4, 1e-4), None);
        let message = "the answer to the twist test alone is not accurate: it is uncertain by more than 0.01 % of \
                       itself; at most 0.01 % is let through";
        assert_eq!(told(2e-4, 1e-9).as_deref(), Some(message));
        assert!(told(1e-9, 2e-4).is_some());
        assert!(told(f64::NAN, 0.0).is_some());
    }

    #[test]
    fn cases_that_are_inaccurate_for_one_reason_are_told_as_one() {
        let of = |case: &str, error: f64, balance: f64| {
            let accuracy = Accuracy { residual: 0.0, balance, error };
            too_inaccurate(path!["cases", case], "the answer", &accuracy).unwrap()
        };
        let told = |found| told_once(found).into_iter().map(|fault| fault.message).collect::<Vec<_>>();
        let uncertain =
            "the answer is not accurate: it is uncertain by more than 0.01 % of itself; at most 0.01 % is let through";
        assert_eq!(told(vec![of("a", 2e-4, 0.0)]), [uncertain]);
        let both = told(vec![of("a", 2e-4, 0.0), of("b", 3e-2, 0.0), of("c", 0.0, 1.0), of("d", 1e-3, 0.0)]);
        assert_eq!(both.len(), 2, "{both:?}");
        assert_eq!(both[0], format!("{uncertain}; so it is with 2 other cases"));
        assert!(both[1].contains("out of balance") && both[1].ends_with("is let through"), "{both:?}");
    }
}
