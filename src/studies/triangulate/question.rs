//! What a design is asked for, and how its answer is read.

use nalgebra::{DMatrix, DVector, Dyn, LU, Point3, Vector3, Vector6};

use super::bounded::Twist;
use crate::beam::Diagram;
use crate::car::wheel_loads;
use crate::checks::{Check, tube_stress, yielding};
use crate::loads::{Cause, anti_roll, case_loads};
use crate::math::larger_than;
use crate::model::{Model, STANDING, TubeRef};
use crate::run::{Checked, WheelChange, bar_springs, stress_at_most};
use crate::section::{Fibres, Section};
use crate::solve::{ChangedAnswer, Reading, RightSide, System};
use crate::structure::{Structure, TubeName};

/// A figure that braces are chosen for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Aim {
    /// The lowest twist stiffness, N·m/deg.
    Twist,
    /// The largest movement of a pick-up from standing, mm.
    PickupMove,
    /// The largest change of toe, degrees.
    Toe,
    /// The largest change of camber, degrees.
    Camber,
    /// The largest utilisation of yield.
    Yield,
}

impl Aim {
    /// All of them.
    pub const ALL: [Aim; 5] = [Aim::Twist, Aim::PickupMove, Aim::Toe, Aim::Camber, Aim::Yield];

    /// Its name, that of the check.
    pub fn name(self) -> &'static str {
        self.check().name()
    }

    /// The check that judges it.
    pub fn check(self) -> Check {
        match self {
            Aim::Twist => Check::Twist,
            Aim::PickupMove => Check::PickupMove,
            Aim::Toe => Check::Toe,
            Aim::Camber => Check::Camber,
            Aim::Yield => Check::Yield,
        }
    }

    /// Whether a larger figure is better.
    pub fn more_is_better(self) -> bool {
        self == Aim::Twist
    }

    /// Whether one figure is better than another; what is equal but for rounding is not.
    pub fn is_better(self, one: f64, other: f64) -> bool {
        if self.more_is_better() { larger_than(one, other) } else { larger_than(other, one) }
    }

    /// The figure of a frame that was checked whole, its adjusters as drawn.
    pub fn of_checked(self, checked: &Checked) -> Option<f64> {
        let cases = || checked.outcome.cases.values();
        let wheels = |angle: fn(&WheelChange) -> f64| {
            let moved = cases().flat_map(|case| case.wheels.values()).filter_map(|wheel| wheel.moved);
            moved.map(|moved| angle(&moved.change).abs()).reduce(f64::max)
        };
        match self {
            Aim::Twist => checked.outcome.twist.values().filter_map(|twist| twist.stiffness_nm_deg).reduce(f64::min),
            Aim::PickupMove => {
                cases().flat_map(|case| case.pickups.values()).map(|pickup| pickup.change_mm).reduce(f64::max)
            }
            Aim::Toe => wheels(|change| change.toe_deg),
            Aim::Camber => wheels(|change| change.camber_deg),
            Aim::Yield => {
                let tubes = checked.verdict.tubes.values().flat_map(|tubes| tubes.values());
                tubes.filter_map(|tube| tube.yielding).map(|result| result.utilisation).reduce(f64::max)
            }
        }
    }
}

/// What is known of a design: motions of parts and forces of pieces under right sides.
pub(super) trait Answers {
    /// Motions of a part at its origin.
    fn motion(&self, part: usize, side: usize) -> Vector6<f64>;
    /// Internal forces of a piece; `None`: it is not there.
    fn diagram(&self, piece: usize, side: usize) -> Option<Diagram>;
}

impl Answers for Reading<'_> {
    fn motion(&self, part: usize, side: usize) -> Vector6<f64> {
        Reading::motion(self, part, side)
    }
    fn diagram(&self, piece: usize, side: usize) -> Option<Diagram> {
        Some(Reading::diagram(self, piece, side))
    }
}

impl Answers for ChangedAnswer {
    fn motion(&self, part: usize, side: usize) -> Vector6<f64> {
        self.parts[side][part]
    }
    fn diagram(&self, piece: usize, side: usize) -> Option<Diagram> {
        self.diagrams[side][piece]
    }
}

/// A point of a part.
#[derive(Debug, Clone, Copy)]
struct Spot {
    part: usize,
    arm: Vector3<f64>,
}

impl Spot {
    fn new(structure: &Structure, part: usize, at: Point3<f64>) -> Spot {
        Spot { part, arm: at - structure.parts[part].origin }
    }

    fn shift(&self, motion: &Vector6<f64>) -> Vector3<f64> {
        let (shift, turn): (Vector3<f64>, Vector3<f64>) =
            (motion.fixed_rows::<3>(0).into(), motion.fixed_rows::<3>(3).into());
        shift + turn.cross(&self.arm)
    }
}

/// A tube that may yield.
struct Tube {
    pieces: Vec<usize>,
    fibres: Fibres,
    size: usize,
    /// Where it is welded whatever is chosen.
    welds_mm: Vec<f64>,
    /// Where a choice welds something onto it.
    more_welds_mm: Vec<(usize, f64)>,
    /// The choice that it belongs to.
    choice: Option<usize>,
}

/// One case.
struct Case {
    side: usize,
    from_standing: bool,
    yield_margin: Option<f64>,
}

/// A twist test.
struct TwistTest {
    side: usize,
    moment_nm: f64,
    lever_mm: f64,
    spots: [Spot; 2],
}

/// A question, ready to be put to many designs of one structure.
pub(super) struct Question<'m> {
    model: &'m Model,
    aim: Aim,
    /// The right sides that it needs.
    pub(super) sides: Vec<RightSide>,
    cases: Vec<Case>,
    standing: Option<usize>,
    twists: Vec<TwistTest>,
    pickups: Vec<Spot>,
    uprights: Vec<usize>,
    /// Of each anti-roll bar its right side, and the pieces that carry the springs' forces.
    bars: Vec<(usize, [usize; 2], f64)>,
    tubes: Vec<Tube>,
}

impl<'m> Question<'m> {
    /// Prepares a question to a structure with all choices in it.
    ///
    /// `choice_of`: the choice that a tube belongs to; `welds_of`: where a tube is welded without any choice, and
    /// with each that welds something onto it.
    pub(super) fn new(
        model: &'m Model,
        system: &System,
        aim: Aim,
        choice_of: impl Fn(usize) -> Option<usize>,
        welds_of: impl Fn(usize) -> (Vec<f64>, Vec<(usize, f64)>),
    ) -> Result<Self, crate::model::Fault> {
        let structure = &system.structure;
        let mut question = Self {
            model,
            aim,
            sides: Vec::new(),
            cases: Vec::new(),
            standing: None,
            twists: Vec::new(),
            pickups: Vec::new(),
            uprights: structure.uprights.clone(),
            bars: Vec::new(),
            tubes: Vec::new(),
        };
        for (name, case) in &model.cases {
            let wheels = wheel_loads(model, name, case)?;
            let loads = case_loads(model, structure, case, &wheels);
            if aim == Aim::Twist {
                if let (Some(test), Some(twist)) =
                    (&case.twist, loads.iter().find(|contribution| contribution.cause == Cause::Twist))
                {
                    let spot = |at: usize| {
                        let anchor = test.axle[at];
                        Spot::new(structure, structure.part_of(anchor), model.anchor_at(anchor))
                    };
                    question.twists.push(TwistTest {
                        side: question.sides.len(),
                        moment_nm: test.moment_nmm * case.factor / 1000.0,
                        lever_mm: test.lever_mm(model),
                        spots: [spot(0), spot(1)],
                    });
                    question.sides.push(system.right_side(std::slice::from_ref(twist)));
                }
                continue;
            }
            if name == STANDING {
                question.standing = Some(question.sides.len());
            }
            question.cases.push(Case {
                side: question.sides.len(),
                from_standing: case.g.is_some(),
                yield_margin: case.limits.yield_margin,
            });
            question.sides.push(system.right_side(&loads));
        }
        if aim != Aim::Twist {
            for (bar, (loads, springs)) in
                model.anti_roll.iter().zip(anti_roll(model, structure).iter().zip(bar_springs(model, structure)))
            {
                question.bars.push((question.sides.len(), springs, bar.share));
                question.sides.push(system.right_side(std::slice::from_ref(loads)));
            }
        }
        if aim == Aim::PickupMove {
            let marked = model.anchors().filter(|anchor| match anchor {
                crate::model::Anchor::Node(at) => model.nodes[*at].pickup,
                crate::model::Anchor::Bracket(_) => false,
            });
            let mut anchors: Vec<crate::model::Anchor> = marked.chain(model.pickups()).collect();
            anchors.sort_unstable();
            anchors.dedup();
            let spot = |anchor| Spot::new(structure, structure.part_of(anchor), model.anchor_at(anchor));
            question.pickups = anchors.into_iter().map(spot).collect();
        }
        if aim == Aim::Yield {
            for (at, tube) in structure.tubes.iter().enumerate() {
                let Some(size) = tube.size else { continue };
                let (welds_mm, more_welds_mm) = welds_of(at);
                question.tubes.push(Tube {
                    pieces: tube.pieces.clone().collect(),
                    fibres: Section::fibres(&model.tubes[size].section),
                    size,
                    welds_mm,
                    more_welds_mm,
                    choice: choice_of(at),
                });
            }
        }
        Ok(question)
    }

    /// The parts and the pieces that are read.
    pub(super) fn reads(&self, structure: &Structure) -> (Vec<usize>, Vec<usize>) {
        let twists = self.twists.iter().flat_map(|test| test.spots.iter().map(|spot| spot.part));
        let pickups = self.pickups.iter().map(|spot| spot.part);
        let uprights = self.uprights.iter().copied().filter(|_| matches!(self.aim, Aim::Toe | Aim::Camber));
        let mut parts: Vec<usize> = twists.chain(pickups).chain(uprights).collect();
        parts.sort_unstable();
        parts.dedup();
        let of_bars = self.bars.iter().flat_map(|(_, springs, _)| springs.iter().copied());
        let of_tubes =
            self.tubes.iter().filter(|tube| tube.choice.is_none()).flat_map(|tube| tube.pieces.iter().copied());
        let mut pieces: Vec<usize> = of_bars.chain(of_tubes).collect();
        pieces.sort_unstable();
        pieces.dedup();
        debug_assert!(pieces.iter().all(|piece| *piece < structure.pieces.len()), "pieces are of this structure");
        (parts, pieces)
    }

    /// The twist tests as loads that do work on themselves.
    pub(super) fn twists(&self) -> Vec<Twist> {
        let of_test = |test: &TwistTest| Twist {
            load: self.sides[test.side].unknowns.clone(),
            // The work is the moment in N·mm times the angle in rad.
            stiffness_times_work: (test.moment_nm.powi(2) * 1000.0).to_radians(),
        };
        self.twists.iter().map(of_test).collect()
    }

    /// The figure of a design; `None`: it has none (nothing turns, nothing is asked for).
    pub(super) fn figure(&self, answers: &impl Answers, set: &[usize]) -> Option<f64> {
        if self.aim == Aim::Twist {
            let stiffness = |test: &TwistTest| {
                let [first, second] = test.spots.map(|spot| spot.shift(&answers.motion(spot.part, test.side)).z);
                let angle_deg = ((first - second) / test.lever_mm).to_degrees();
                (angle_deg != 0.0).then(|| (test.moment_nm / angle_deg).abs())
            };
            return self.twists.iter().filter_map(stiffness).reduce(f64::min);
        }
        let state = State { question: self, answers, scales: self.scales(answers)? };
        match self.aim {
            Aim::PickupMove => state.pickup_move_mm(),
            Aim::Toe => state.wheel(|change| change.toe_deg),
            Aim::Camber => state.wheel(|change| change.camber_deg),
            Aim::Yield => state.yield_utilisation(set),
            Aim::Twist => None,
        }
    }

    /// How many times each bar acts in each case; `None`: the bars cannot take their shares.
    fn scales(&self, answers: &impl Answers) -> Option<Vec<Vec<f64>>> {
        if self.bars.is_empty() {
            return Some(vec![Vec::new(); self.cases.len()]);
        }
        let difference = |springs: &[usize; 2], side: usize| {
            let n = |piece: usize| answers.diagram(piece, side).map_or(0.0, |diagram| diagram.first.n);
            n(springs[0]) - n(springs[1])
        };
        let influence: LU<f64, Dyn, Dyn> = DMatrix::from_fn(self.bars.len(), self.bars.len(), |row, column| {
            difference(&self.bars[row].1, self.bars[column].0)
        })
        .lu();
        let of_case = |case: &Case| {
            let wanted = self.bars.iter().map(|(_, springs, share)| -share * difference(springs, case.side));
            let wanted = DVector::from_iterator(self.bars.len(), wanted);
            influence.solve(&wanted).map(|scales| scales.as_slice().to_vec())
        };
        self.cases.iter().map(of_case).collect()
    }
}

/// A design whose bars are known.
struct State<'s, A> {
    question: &'s Question<'s>,
    answers: &'s A,
    scales: Vec<Vec<f64>>,
}

impl<A: Answers> State<'_, A> {
    fn motion(&self, part: usize, case: usize) -> Vector6<f64> {
        let own = self.answers.motion(part, self.question.cases[case].side);
        let bars = self.question.bars.iter().zip(&self.scales[case]);
        bars.fold(own, |sum, ((side, _, _), times)| sum + self.answers.motion(part, *side) * *times)
    }

    fn diagram(&self, piece: usize, case: usize) -> Option<Diagram> {
        let mut own = self.answers.diagram(piece, self.question.cases[case].side)?;
        for ((side, _, _), times) in self.question.bars.iter().zip(&self.scales[case]) {
            let more = self.answers.diagram(piece, *side)?.first;
            let first = &mut own.first;
            for (sum, more) in [
                (&mut first.n, more.n),
                (&mut first.vy, more.vy),
                (&mut first.vz, more.vz),
                (&mut first.t, more.t),
                (&mut first.my, more.my),
                (&mut first.mz, more.mz),
            ] {
                *sum += times * more;
            }
        }
        Some(own)
    }

    /// The case that a case's movement is from.
    fn standing(&self, case: usize) -> Option<usize> {
        let side = self.question.standing.filter(|_| self.question.cases[case].from_standing)?;
        self.question.cases.iter().position(|other| other.side == side)
    }

    fn pickup_move_mm(&self) -> Option<f64> {
        let of_case = |case: usize| {
            let standing = self.standing(case);
            self.question.pickups.iter().map(move |spot| {
                let here = spot.shift(&self.motion(spot.part, case));
                let from = standing.map_or_else(Vector3::zeros, |from| spot.shift(&self.motion(spot.part, from)));
                (here - from).norm()
            })
        };
        (0..self.question.cases.len()).flat_map(of_case).reduce(f64::max)
    }

    fn wheel(&self, angle: impl Fn(&WheelChange) -> f64) -> Option<f64> {
        let mut most: Option<f64> = None;
        for case in 0..self.question.cases.len() {
            let standing = self.standing(case);
            for (corner, part) in self.question.model.corners.iter().zip(&self.question.uprights) {
                let turn =
                    |case: usize| -> Vector3<f64> { self.motion(*part, case).fixed_rows::<3>(3).map(f64::to_degrees) };
                let turn_deg = turn(case) - standing.map_or_else(Vector3::zeros, turn);
                let angle = angle(&WheelChange::of_turn(corner.wheel, &turn_deg)).abs();
                most = Some(most.map_or(angle, |most| most.max(angle)));
            }
        }
        most
    }

    fn yield_utilisation(&self, set: &[usize]) -> Option<f64> {
        let model = self.question.model;
        let mut most: Option<f64> = None;
        for (at, case) in self.question.cases.iter().enumerate() {
            let Some(margin) = case.yield_margin else { continue };
            for tube in self.question.tubes.iter().filter(|tube| tube.choice.is_none_or(|own| set.contains(&own))) {
                let material = model.material_of(tube.size);
                let properties = &model.tubes[tube.size].properties;
                let diagrams: Option<Vec<Diagram>> = tube.pieces.iter().map(|piece| self.diagram(*piece, at)).collect();
                let Some(diagrams) = diagrams else { continue };
                let weakest = material.yield_at_weld_mpa.min(material.yield_mpa);
                let bound = diagrams.iter().map(|diagram| stress_at_most(properties, &diagram.at_most()));
                if bound.fold(0.0, f64::max) * margin < most.unwrap_or(0.0) * weakest {
                    continue;
                }
                let mut start_mm = 0.0;
                let mut pieces = Vec::with_capacity(diagrams.len());
                for diagram in diagrams {
                    pieces.push((start_mm, diagram));
                    start_mm += diagram.length_mm;
                }
                let more =
                    tube.more_welds_mm.iter().filter(|(choice, _)| set.contains(choice)).map(|(_, at_mm)| *at_mm);
                let welds_mm: Vec<f64> = tube.welds_mm.iter().copied().chain(more).collect();
                let utilisation =
                    yielding(&tube_stress(&tube.fibres, &pieces, &welds_mm), material, margin).utilisation;
                if most.is_none_or(|most| utilisation > most) {
                    most = Some(utilisation);
                }
            }
        }
        most
    }
}

/// Whether a tube of a structure is a member of this name.
pub(super) fn is_member(model: &Model, structure: &Structure, tube: usize, name: &str) -> bool {
    match structure.tubes[tube].name {
        TubeName::Tube(TubeRef::Member(at)) => model.members.get_index(at).is_some_and(|(own, _)| own == name),
        _ => false,
    }
}
