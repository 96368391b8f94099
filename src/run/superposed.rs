//! Measures of a state as the sum of unit states: what a handful of solved columns say of any case.
//!
//! Reads a model and its factorised structure; solves the car's accelerations one by one and each
//! force of each modelled wheel. The model is linear, anti-roll bars with it, so that every case with
//! `g` is a sum of these, times [`Superposed::coefficients`]. A measure is convex in them, and of each
//! unit state it has a size: by so much, times the change, it changes at most.

use nalgebra::{DVector, Vector3};

use super::bars::Bars;
use super::outcome::WheelChange;
use super::prepared::Prepared;
use super::response::respond;
use super::rod_ends::rod_ends;
use super::welds::welds;
use crate::beam::Diagram;
use crate::car::{Acts, WheelLoad, WheelLoads, acts, trail_moment};
use crate::checks::{Check, Weld, rod_end, tube_stress, yielding};
use crate::loads::case_loads;
use crate::math::Interval;
use crate::model::{Anchor, Case, Effort, Fault, Model, RodEnd, STANDING};
use crate::section::{Fibres, InternalForces, Material};
use crate::solve::{RightSide, State};

/// What a wheel is asked for in a unit state: the force along by its brakes, along by the engine,
/// across, down.
const OF_WHEEL: [(usize, Option<Effort>); 4] =
    [(0, Some(Effort::Braked)), (0, Some(Effort::Driven)), (1, None), (2, None)];

/// The unit states of a model, and what is measured of their sums.
pub struct Superposed {
    /// What is measured, in the order of tubes, then pick-ups, then wheels.
    pub measures: Vec<Measure>,
    /// The modelled wheels, by [`crate::model::Wheel::place`], in the order of the coefficients.
    wheels: Vec<usize>,
}

/// Something that is measured: linear parts of the state, and a norm of them.
#[derive(Debug, Clone)]
pub struct Measure {
    /// The check whose value it is.
    pub check: Check,
    /// Where.
    pub place: String,
    /// What is allowed; `None`: nothing is said of it. Strength checks are measured as utilisation.
    pub limit: Option<f64>,
    norm: Norm,
    /// The parts of each unit state.
    units: Vec<DVector<f64>>,
    /// What is taken off: the parts of the standing car.
    standing: DVector<f64>,
    /// The norm of each unit state.
    sizes: Vec<f64>,
}

#[derive(Debug, Clone)]
enum Norm {
    /// Length of the parts.
    Length,
    /// Yield of a tube: nine parts for each piece, at its first end.
    Yield { fibres: Box<Fibres>, material: Box<Material>, welds_mm: Vec<f64>, pieces_mm: Vec<[f64; 2]>, margin: f64 },
    /// Welds at a tube's ends: six parts for each.
    Welds { welds: Vec<(Weld, usize)>, margin: f64 },
    /// Rod-ends at a tube's ends: six parts for each.
    RodEnds { parts: Vec<RodEnd>, margin: f64 },
}

impl Superposed {
    /// Solves the unit states.
    ///
    /// # Errors
    /// An anti-roll bar that cannot take its share; a car that cannot stand.
    pub fn new(model: &Model, prepared: &Prepared) -> Result<Superposed, Vec<Fault>> {
        let wheels: Vec<usize> = model.corners.iter().map(|corner| corner.wheel.place()).collect();
        let mut superposed = Superposed { measures: Vec::new(), wheels };
        let mut states = superposed.solved(model, prepared)?;
        superposed.add_tubes(model, prepared, &states);
        let standing = respond(model, prepared, |name| name == STANDING)?;
        states.extend(standing.cases.into_iter().map(|case| case.state));
        superposed.add_movements(model, prepared, &states);
        Ok(superposed)
    }

    /// How many unit states there are.
    pub fn n_units(&self) -> usize {
        3 + OF_WHEEL.len() * self.wheels.len()
    }

    /// How many times each unit state is in a case of these accelerations (g) and wheel forces (N).
    pub fn coefficients(&self, g: [f64; 3], wheels_n: &[Vector3<f64>; 4]) -> Vec<f64> {
        let mut coefficients = g.to_vec();
        for wheel in &self.wheels {
            let force_n = wheels_n[*wheel];
            coefficients.extend(OF_WHEEL.map(|(axis, effort)| match effort {
                Some(effort) if (effort == Effort::Braked) != (g[0] < 0.0) => 0.0,
                _ => force_n[axis],
            }));
        }
        coefficients
    }

    /// Where in the coefficients the force of a wheel ([`crate::model::Wheel::place`]) along an axis
    /// stands, if that wheel is modelled.
    pub fn place_of(&self, wheel: usize, axis: usize, backwards: bool) -> Option<usize> {
        let at = self.wheels.iter().position(|known| *known == wheel)?;
        let part = match (axis, backwards) {
            (0, true) => 0,
            (0, false) => 1,
            (axis, _) => axis + 1,
        };
        Some(3 + OF_WHEEL.len() * at + part)
    }

    fn solved(&self, model: &Model, prepared: &Prepared) -> Result<Vec<State>, Vec<Fault>> {
        let system = &prepared.system;
        let none = WheelLoads { wheels: [None; 4], transfer: None, notes: Vec::new() };
        let alone = |g: Option<[f64; 3]>| Case::of(g, model.limits);
        let accelerations = (0..3).map(|at| {
            let g = std::array::from_fn(|axis| if axis == at { 1.0 } else { 0.0 });
            case_loads(model, &system.structure, &alone(Some(g)), &none)
        });
        let forces = self.wheels.iter().zip(&model.corners).flat_map(|(place, corner)| {
            OF_WHEEL.map(|(axis, effort)| {
                let force_n = Vector3::ith(axis, 1.0);
                let acts = effort.map_or(Acts::Patch, |effort| acts(model, corner.wheel, Some(effort)));
                let vehicle = model.vehicle.as_ref();
                let moment_nmm = vehicle.map_or_else(Vector3::zeros, |vehicle| trail_moment(vehicle, force_n.y));
                let mut loads = none.clone();
                loads.wheels[*place] = Some(WheelLoad { force_n, moment_nmm, acts, given: false });
                case_loads(model, &system.structure, &alone(None), &loads)
            })
        });
        let mut rights: Vec<RightSide> = accelerations.chain(forces).map(|loads| system.right_side(&loads)).collect();
        let bars = Bars::new(model, prepared)?;
        let columns: Vec<DVector<f64>> = rights.iter().map(|right| right.unknowns.clone()).collect();
        let (x, _) = prepared.solved.unknowns(system, &nalgebra::DMatrix::from_columns(&columns));
        let states = rights.iter_mut().zip(x.column_iter()).map(|(right, x)| {
            let mut unknowns = x.into_owned();
            let scales = bars.scales(model, prepared, &system.state(right, &unknowns));
            bars.add(&scales, right, &mut unknowns);
            system.state(right, &unknowns)
        });
        Ok(states.collect())
    }

    fn add_tubes(&mut self, model: &Model, prepared: &Prepared, states: &[State]) {
        let structure = &prepared.system.structure;
        let welds = welds(model, structure);
        for (at, tube) in structure.tubes.iter().enumerate() {
            let Some(margin) = model.limits.yield_margin else { continue };
            let place = structure.tube_name(model, at);
            let ends = |state: &State, ends: &[usize]| {
                let six = ends.iter().flat_map(|end| six(&super::welds::end_forces(structure, state, tube, *end)));
                DVector::from_vec(six.collect())
            };
            let mut add = |check: Check, norm: Norm, units: Vec<DVector<f64>>| {
                let standing = DVector::zeros(units[0].len());
                self.measures.push(Measure::new((check, place.clone()), Some(1.0), norm, (units, standing)));
            };
            if let Some(size) = tube.size {
                let pieces_mm: Vec<[f64; 2]> = tube
                    .pieces
                    .clone()
                    .map(|piece| [structure.pieces[piece].start_mm, structure.pieces[piece].axes.length_mm])
                    .collect();
                let nine = |state: &State| {
                    let pieces = state.diagrams(structure, tube);
                    let nine = pieces.flat_map(|(_, diagram)| {
                        let load = diagram.load_n_mm;
                        six(&diagram.first).into_iter().chain([load.x, load.y, load.z])
                    });
                    DVector::from_vec(nine.collect())
                };
                let norm = Norm::Yield {
                    fibres: Box::new(model.tubes[size].section.fibres()),
                    material: Box::new(tube.material),
                    welds_mm: tube.welds_mm.clone(),
                    pieces_mm,
                    margin,
                };
                add(Check::Yield, norm, states.iter().map(nine).collect());
                let judged: Vec<(Weld, usize)> =
                    [0, 1].into_iter().filter_map(|end: usize| welds.ends[at][end].map(|weld| (weld, end))).collect();
                if !judged.is_empty() {
                    let at_ends: Vec<usize> = judged.iter().map(|(_, end)| *end).collect();
                    let units = states.iter().map(|state| ends(state, &at_ends)).collect();
                    add(Check::Weld, Norm::Welds { welds: judged, margin }, units);
                }
            }
            let told: Vec<(RodEnd, usize)> = [0, 1]
                .into_iter()
                .filter_map(|end: usize| rod_ends(model, tube.name)[end].map(|part| (part, end)))
                .collect();
            if !told.is_empty() {
                let at_ends: Vec<usize> = told.iter().map(|(_, end)| *end).collect();
                let units = states.iter().map(|state| ends(state, &at_ends)).collect();
                add(
                    Check::RodEnd,
                    Norm::RodEnds { parts: told.into_iter().map(|(part, _)| part).collect(), margin },
                    units,
                );
            }
        }
    }

    /// `states`: the unit states, and behind them that of the standing car.
    fn add_movements(&mut self, model: &Model, prepared: &Prepared, states: &[State]) {
        let structure = &prepared.system.structure;
        let from_standing = |mut parts: Vec<DVector<f64>>| {
            let standing = parts.pop().expect("the standing car is behind the unit states");
            (parts, standing)
        };
        let shifts = |anchor: Anchor| {
            let (part, at) = (structure.part_of(anchor), model.anchor_at(anchor));
            let shift = |state: &State| state.motion(&prepared.system, part, &at).0;
            states.iter().map(|state| DVector::from_column_slice(shift(state).as_slice())).collect()
        };
        let mut pickups: Vec<Anchor> = Vec::new();
        let marked = (0..model.nodes.len()).filter(|at| model.nodes[*at].pickup).map(Anchor::Node);
        for anchor in marked.chain(model.pickups()) {
            if !pickups.contains(&anchor) {
                pickups.push(anchor);
            }
        }
        for anchor in pickups {
            let (place, limit) = (model.anchor_name(anchor).to_owned(), model.limits.pickup_move_mm);
            let parts = from_standing(shifts(anchor));
            self.measures.push(Measure::new((Check::PickupMove, place), limit, Norm::Length, parts));
        }
        for (check, limit, angle) in [
            (Check::Toe, model.limits.toe_deg, (|change| change.toe_deg) as fn(&WheelChange) -> f64),
            (Check::Camber, model.limits.camber_deg, |change| change.camber_deg),
        ] {
            for (corner, &part) in model.corners.iter().zip(&structure.uprights) {
                let turned = |state: &State| {
                    let turn_deg = state.parts[part].fixed_rows::<3>(3).map(f64::to_degrees);
                    DVector::from_vec(vec![angle(&WheelChange::of_turn(corner.wheel, &turn_deg))])
                };
                let parts = from_standing(states.iter().map(turned).collect());
                let place = corner.wheel.name().to_owned();
                self.measures.push(Measure::new((check, place), limit, Norm::Length, parts));
            }
        }
    }
}

fn six(forces: &InternalForces) -> [f64; 6] {
    [forces.n, forces.vy, forces.vz, forces.t, forces.my, forces.mz]
}

fn of_six(parts: &[f64]) -> InternalForces {
    InternalForces { n: parts[0], vy: parts[1], vz: parts[2], t: parts[3], my: parts[4], mz: parts[5] }
}

impl Measure {
    fn new(
        (check, place): (Check, String),
        limit: Option<f64>,
        norm: Norm,
        (units, standing): (Vec<DVector<f64>>, DVector<f64>),
    ) -> Measure {
        let sizes = units.iter().map(|parts| norm.of(parts)).collect();
        Measure { check, place, limit, norm, units, standing, sizes }
    }

    fn parts(&self, coefficients: &[f64]) -> DVector<f64> {
        let mut parts = -&self.standing;
        for (unit, times) in self.units.iter().zip(coefficients) {
            parts.axpy(*times, unit, 1.0);
        }
        parts
    }

    /// Its value for so many times each unit state: utilisation of a strength check, mm of a pick-up from
    /// where it stands, degrees of a wheel without sign. Convex in the coefficients.
    pub fn value(&self, coefficients: &[f64]) -> f64 {
        self.norm.of(&self.parts(coefficients))
    }

    /// By how much it changes at most when each coefficient changes by so much at most.
    pub fn changes_at_most(&self, by: &[f64]) -> f64 {
        let changes = self.sizes.iter().zip(by).map(|(size, by)| Interval::point(*size) * Interval::point(*by));
        changes.fold(Interval::point(0.0), |sum, change| sum + change).high
    }

    /// Its value over what is allowed.
    pub fn utilisation(&self, value: f64) -> Option<f64> {
        self.limit.map(|limit| value / limit)
    }
}

impl Norm {
    fn of(&self, parts: &DVector<f64>) -> f64 {
        let parts = parts.as_slice();
        match self {
            Norm::Length => parts.iter().map(|part| part * part).sum::<f64>().sqrt(),
            Norm::Yield { fibres, material, welds_mm, pieces_mm, margin } => {
                let pieces = pieces_mm.iter().zip(parts.chunks_exact(9)).map(|([start_mm, length_mm], nine)| {
                    let load_n_mm = Vector3::new(nine[6], nine[7], nine[8]);
                    (*start_mm, Diagram { first: of_six(nine), load_n_mm, length_mm: *length_mm })
                });
                let pieces: Vec<(f64, Diagram)> = pieces.collect();
                yielding(&tube_stress(fibres, &pieces, welds_mm), material, *margin).utilisation
            }
            Norm::Welds { welds, margin } => {
                let ends = welds.iter().zip(parts.chunks_exact(6));
                ends.map(|((weld, end), six)| weld.judge(&of_six(six), *end, *margin).directional).fold(0.0, f64::max)
            }
            Norm::RodEnds { parts: told, margin } => {
                let ends = told.iter().zip(parts.chunks_exact(6));
                ends.map(|(part, six)| rod_end(part, &of_six(six), *margin).utilisation).fold(0.0, f64::max)
            }
        }
    }
}
