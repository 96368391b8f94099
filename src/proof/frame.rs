//! What a model answers: the same numbers that a user gets from it.

use std::cell::OnceCell;
use std::f64::consts::FRAC_PI_2;

use super::case::Ask;
use super::quantities::{AxleFigure, Quantity, Stress};
use super::thresholds::threshold;
use crate::beam::Peak;
use crate::car::{Transfer, wheel_loads};
use crate::model::{AXLES, Case, Model, Target, entry_at, load};
use crate::modes::LateralFactor;
use crate::run::{CaseBuckling, CaseOutcome, Checked, NoVibration, SecondOrder, Settlement, Wrench, check_deformed};
use crate::section::{Circle, Fibres, InternalForces};
use crate::source::{Document, Named, choice};

/// Internal forces are held to be the same along a tube, or on both sides of a place, within this part.
const SAME: f64 = 1e-9;
/// How near a place on a tube is the one that is asked about, mm.
const NEAR_MM: f64 = 1e-6;

/// A model that is asked, solved when a solution is first asked for.
pub(super) struct Frame {
    model: Model,
    /// Whether it is asked in equilibrium on the deformed frame.
    deformed: bool,
    checked: OnceCell<Result<Checked, String>>,
}

impl Frame {
    /// Reads and validates a model.
    ///
    /// # Errors
    /// The first problem.
    pub(super) fn read(document: &Document, deformed: bool) -> Result<Frame, String> {
        let model = load(document).map_err(|problems| problems[0].message.clone())?;
        Ok(Frame { model, deformed, checked: OnceCell::new() })
    }

    /// The answer, summed over all that is asked about, in the tool's unit.
    ///
    /// # Errors
    /// Why there is none.
    pub(super) fn answer(&self, ask: &Ask, quantity: Quantity) -> Result<f64, String> {
        if ask.of.is_empty() {
            return self.answer_of(ask, quantity, None);
        }
        ask.of.iter().map(|name| self.answer_of(ask, quantity, Some(name))).sum()
    }

    fn answer_of(&self, ask: &Ask, quantity: Quantity, of: Option<&str>) -> Result<f64, String> {
        let name = || of.ok_or("the name of what is asked about is missing");
        match quantity {
            Quantity::Move(axis) => Ok(named(&self.solved()?.outcome().nodes, name()?)?.move_mm[axis]),
            Quantity::Turn(axis) => Ok(named(&self.solved()?.outcome().nodes, name()?)?.turn_deg[axis]),
            Quantity::MountForce(axis) => Ok(named(&self.solved()?.outcome().mounts, name()?)?.force_n[axis]),
            Quantity::MountMoment(axis) => Ok(named(&self.solved()?.outcome().mounts, name()?)?.moment_nm[axis]),
            Quantity::PickupForce(axis) => Ok(named(&self.solved()?.outcome().pickups, name()?)?.load.force_n[axis]),
            Quantity::WheelForce(axis) => Ok(named(&self.solved()?.outcome().wheels, name()?)?.load.force_n[axis]),
            Quantity::BodyMoment(axis) => {
                let solved = self.solved()?;
                let mounts: Vec<&Wrench> = named(&solved.outcome().bodies, name()?)?.mounts.values().collect();
                match mounts.as_slice() {
                    [only] => Ok(only.moment_nm[axis]),
                    _ => Err("the body has more than one mount".to_owned()),
                }
            }
            Quantity::Internal(component) => self.solved()?.internal(name()?, ask.part, component),
            Quantity::EndForce(axis) => self.solved()?.end(name()?, ask.end, axis),
            Quantity::EndMoment(axis) => self.solved()?.end(name()?, ask.end, 3 + axis),
            Quantity::Stress(stress) => self.solved()?.stress(name()?, ask.part, stress),
            Quantity::TwistStiffness => {
                let twist =
                    self.solved()?.checked.outcome.twist.values().next().ok_or("the model has no twist test")?;
                twist.stiffness_nm_deg.ok_or_else(|| "nothing turns".to_owned())
            }
            Quantity::TorqueOverTwist => self.solved()?.torque_over_twist(self.case().1),
            Quantity::LoadFactor(at) => match &self.solved()?.checked.outcome.modes.buckling[self.case().0] {
                CaseBuckling::Found(found) => {
                    let mode = found.modes.get(at);
                    mode.map(|mode| mode.factor).ok_or_else(|| "so many factors are not worked out".to_owned())
                }
                CaseBuckling::Over(bound) => Err(format!("no factor lies below {bound}")),
                CaseBuckling::Unknown(why) => Err(why.in_words().to_owned()),
            },
            Quantity::LateralFactor => {
                let solved = self.solved()?;
                let structure = &solved.checked.prepared.system.structure;
                let name = name()?;
                let tube = (0..structure.tubes.len()).find(|tube| structure.tube_name(&self.model, *tube) == name);
                let tube = tube.ok_or_else(|| format!("there is no \"{name}\""))?;
                match solved.checked.outcome.modes.lateral.get(self.case().0) {
                    Some(Ok(found)) => match found.factor(tube) {
                        LateralFactor::At(factor) => Ok(factor),
                        LateralFactor::AtLeast(bound) => Err(format!("it does not below {bound} times")),
                    },
                    Some(Err(why)) => Err(why.in_words().to_owned()),
                    None => Err("no flat is bent on edge".to_owned()),
                }
            }
            Quantity::Frequency(at) => {
                let vibration = &self.solved()?.checked.outcome.modes.vibration;
                let found = vibration.as_ref().map_err(NoVibration::in_words)?;
                let mode = found.modes.get(at);
                mode.map(|mode| mode.frequency_hz).ok_or_else(|| "so many frequencies are not worked out".to_owned())
            }
            Quantity::Axle(figure) => {
                let transfer = self.transfer()?;
                let axle = axle(name()?)?;
                Ok(match figure {
                    AxleFigure::Load => transfer.axle_n[axle],
                    AxleFigure::Transfer => transfer.to_right_n[axle],
                })
            }
            Quantity::Threshold(asked) => {
                let (case_name, case) = self.case();
                threshold(&self.model, case_name, case, asked, of.map(axle).transpose()?)
            }
            Quantity::ShearModulus => Ok(named(&self.model.materials, name()?)?.material.shear_modulus_mpa),
        }
    }

    /// The case that is asked about: the first of the file.
    fn case(&self) -> (&str, &Case) {
        entry_at(&self.model.cases, 0)
    }

    fn solved(&self) -> Result<Solved<'_>, String> {
        let solve =
            || check_deformed(&self.model, |_| true, |_| self.deformed).map_err(|faults| faults[0].message.clone());
        let checked = self.checked.get_or_init(solve).as_ref().map_err(Clone::clone)?;
        let case = self.case().0;
        let settled = match checked.outcome.second_order.get(case).filter(|_| self.deformed) {
            Some(SecondOrder::Settled(settled)) => Some(&**settled),
            Some(SecondOrder::Collapses(_)) => return Err("the frame collapses".to_owned()),
            None => None,
        };
        Ok(Solved { model: &self.model, checked, case, settled })
    }

    fn transfer(&self) -> Result<Transfer, String> {
        let (name, case) = self.case();
        let loads = wheel_loads(&self.model, name, case).map_err(|fault| fault.message)?;
        loads.transfer.ok_or_else(|| "the case has no load transfer".to_owned())
    }
}

/// The place of an axle in [`AXLES`].
fn axle(name: &str) -> Result<usize, String> {
    AXLES.iter().position(|axle| *axle == name).ok_or_else(|| format!("an axle is {}", choice(AXLES)))
}

/// What goes by a name.
fn named<'n, T>(all: &'n Named<T>, name: &str) -> Result<&'n T, String> {
    all.get(name).ok_or_else(|| format!("the result has no \"{name}\" for this"))
}

/// A solved case.
struct Solved<'m> {
    model: &'m Model,
    checked: &'m Checked,
    case: &'m str,
    /// The case in equilibrium on the deformed frame, where it is asked about there.
    settled: Option<&'m Settlement>,
}

impl<'m> Solved<'m> {
    fn outcome(&self) -> &'m CaseOutcome {
        self.settled.map_or(&self.checked.outcome.cases[self.case], |settled| &settled.case)
    }

    /// Internal forces of a tube by place, N and N·m, from the first end to the second.
    fn along(&self, tube: &str) -> Result<Vec<(f64, [f64; 6])>, String> {
        let along = &named(&self.outcome().members, tube)?.along;
        Ok(along
            .iter()
            .map(|station| {
                let f = station.forces;
                (station.at_mm, [f.n, f.vy, f.vz, f.t / 1000.0, f.my / 1000.0, f.mz / 1000.0])
            })
            .collect())
    }

    /// An internal force at a part of a tube, the same on both sides; of the whole tube, along
    /// which it must then be the same.
    fn internal(&self, tube: &str, part: Option<f64>, component: usize) -> Result<f64, String> {
        let along = self.along(tube)?;
        let length = along.last().map_or(0.0, |(at, _)| *at);
        let here = |at: f64| part.is_none_or(|part| (at - part * length).abs() < NEAR_MM);
        let values: Vec<f64> = along.iter().filter(|(at, _)| here(*at)).map(|(_, forces)| forces[component]).collect();
        let first = *values.first().ok_or_else(|| format!("nothing is told at this place of {tube}"))?;
        if values.iter().any(|value| (value - first).abs() > SAME * first.abs()) {
            return Err(format!("{tube} has several values: {values:?}"));
        }
        Ok(first)
    }

    /// What the joint does to an end: the internal force at the second end, its opposite at the first.
    fn end(&self, tube: &str, end: Option<usize>, component: usize) -> Result<f64, String> {
        let along = self.along(tube)?;
        match end {
            Some(0) => Ok(-along[0].1[component]),
            Some(_) => Ok(along[along.len() - 1].1[component]),
            None => Err("an end is asked for, and none is named".to_owned()),
        }
    }

    fn peak(&self, tube: &str) -> Result<Peak, String> {
        match self.settled {
            Some(settled) => Ok(named(&settled.stresses, tube)?.peak),
            None => Ok(named(&self.checked.verdict.tubes[self.case], tube)?.stress.peak),
        }
    }

    /// The circle on which stress is looked for, and the internal forces at a place (N, N·mm).
    fn circle(&self, tube: &str, part: Option<f64>) -> Result<(Circle, InternalForces), String> {
        let size = named(&self.model.members, tube)?.tube;
        let Fibres::Circle(circle) = self.model.tubes[size].section.fibres() else {
            return Err(format!("{tube} is not round"));
        };
        let part = part.ok_or("stress at a place is asked for, and none is named")?;
        let [n, vy, vz, t, my, mz] = [0, 1, 2, 3, 4, 5].map(|component| self.internal(tube, Some(part), component));
        let forces = InternalForces { n: n?, vy: vy?, vz: vz?, t: t? * 1000.0, my: my? * 1000.0, mz: mz? * 1000.0 };
        Ok((circle, forces))
    }

    fn stress(&self, tube: &str, part: Option<f64>, asked: Stress) -> Result<f64, String> {
        match asked {
            Stress::VonMises => return Ok(self.peak(tube)?.von_mises_mpa),
            Stress::Normal => return self.peak(tube).map(|peak| peak.stress.axial + peak.stress.bending),
            Stress::Shear => return self.peak(tube).map(|peak| (peak.stress.torsion + peak.stress.shear).abs()),
            _ => {}
        }
        let (circle, forces) = self.circle(tube, part)?;
        // Where bending pulls most; the neutral axis is a quarter turn from there.
        let bent = forces.my.atan2(-forces.mz);
        let outermost = circle.stress(&forces, bent);
        let neutral = [bent - FRAC_PI_2, bent + FRAC_PI_2].map(|angle| circle.stress(&forces, angle));
        Ok(match asked {
            Stress::Moment => forces.my.hypot(forces.mz) / 1000.0,
            Stress::Bending => outermost.bending,
            Stress::Torsion => outermost.torsion,
            Stress::Transverse => neutral[0].shear.abs(),
            _ => neutral.map(|stress| (stress.torsion + stress.shear).abs()).into_iter().fold(0.0, f64::max),
        })
    }

    /// Torque of the loads about the global x axis, N·m, over the twist in degrees on which they do
    /// their work.
    fn torque_over_twist(&self, case: &Case) -> Result<f64, String> {
        let moved = |target: &Target| match target {
            Target::Anchor(anchor) => {
                let moved = named(&self.outcome().nodes, self.model.anchor_name(*anchor))?;
                Ok((self.model.anchor_at(*anchor), moved))
            }
            Target::Body(_) => Err("a body is not twisted".to_owned()),
        };
        let (mut torque_nmm, mut work_nmm) = (0.0, 0.0);
        for (target, force) in &case.forces {
            let (at, moved) = moved(target)?;
            torque_nmm += at.coords.cross(force).x;
            work_nmm += force.dot(&moved.move_mm);
        }
        for (target, moment) in &case.moments {
            torque_nmm += moment.x;
            work_nmm += moment.dot(&moved(target)?.1.turn_deg.map(f64::to_radians));
        }
        Ok(torque_nmm / 1000.0 / (work_nmm / torque_nmm).to_degrees())
    }
}
