//! What nobody knows, bracketed: how stiff each mount is between one bolt and a bolted pad, and how far
//! each weld lets its tube turn between not at all and what the wall below it may give.
//!
//! Reads a model that was checked; solves and judges it again with all of these at their softest, and
//! with all at their stiffest. Gives the range of twist stiffness, movement, toe, camber and utilisation.
//!
//! For a load on itself the range is a bound: by the theorem of least potential energy a structure to
//! which stiffness is added gives less way to a load, at the load and in its direction, whatever lies
//! between. That is so for a twist test and for nothing else here: a pick-up may move more on a stiffer
//! mount. The other figures are those of the two extremes and of the file, no more.

use std::collections::HashMap;

use super::checked::Checked;
use super::governing::governing;
use super::outcome::outcome_of_cases;
use super::second_order::{SecondOrder, second_order};
use super::sound::{beyond, unsound};
use super::{Outcome, Verdict, prepare, respond};
use crate::beam::{Flex, Joint};
use crate::checks::{Check, Finding, counting};
use crate::math::largest;
use crate::model::{BOLTED_PAD, Body, BodyHold, Fault, Model, ONE_BOLT, STANDING, TubeRef};
use crate::path;
use crate::source::Named;
use crate::structure::{Purpose, TurningRates, WeldedEnd, tube_on_tube, welded_ends};
use crate::units::figures;

/// A weld whose turning rates a formula estimates.
#[derive(Debug, Clone, PartialEq)]
pub struct EstimatedRate {
    /// The member.
    pub member: String,
    /// What it ends at.
    pub node: String,
    /// Its first (0) or second (1) end.
    pub end: usize,
    /// The rates.
    pub rates: TurningRates,
}

/// A figure at both extremes and as the file has it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Range {
    /// The least of the three.
    pub low: f64,
    /// As the file has it.
    pub as_given: f64,
    /// The largest of the three.
    pub high: f64,
}

/// The ranges of a case.
#[derive(Debug, Clone, PartialEq)]
pub struct CaseRanges {
    /// Largest movement of a pick-up from standing, mm.
    pub pickup_move_mm: Option<Range>,
    /// Largest change of toe from standing, degrees, without its sign.
    pub toe_deg: Option<Range>,
    /// Largest change of camber from standing, degrees, without its sign.
    pub camber_deg: Option<Range>,
    /// Largest utilisation.
    pub utilisation: Option<Range>,
    /// Check and place of the largest of these.
    pub worst: Option<(Check, String)>,
    /// Whether it comes to no rest on the deformed frame with all at their softest, and at their stiffest, though it does
    /// as given: its figures there are those of the drawn frame.
    pub collapses: [Option<Collapse>; 2],
}

/// A case that comes to no rest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Collapse {
    /// At about how many times the load, where that is known.
    pub at: Option<f64>,
}

/// What nobody knows of a model, and what it makes of the answer.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknowns {
    /// Where the file has a mount as `one bolt` or `bolted pad`.
    pub mounts: Vec<String>,
    /// Bodies whose mounts are left as given, since on bolts alone nothing would keep them from turning.
    pub left_as_given: Vec<String>,
    /// The welds that may turn.
    pub joints: Vec<EstimatedRate>,
    /// Why the softest extreme cannot be solved, where it cannot.
    pub softest_fails: Option<String>,
    /// The same of the stiffest.
    pub stiffest_fails: Option<String>,
    /// Twist stiffness by case, N·m/deg: bounds where both extremes were solved.
    pub twist_nm_deg: Named<Range>,
    /// The others by case.
    pub cases: Named<CaseRanges>,
}

impl Unknowns {
    /// Whether both extremes were solved.
    pub fn is_whole(&self) -> bool {
        self.softest_fails.is_none() && self.stiffest_fails.is_none()
    }
}

/// Solves both extremes of a checked model; `None` where the file leaves nothing open.
///
/// `wanted`: the cases that were asked for when it was checked.
pub fn unknowns(model: &Model, checked: &Checked, wanted: impl Fn(&str) -> bool) -> Option<Unknowns> {
    let joints = estimated(model);
    let mounts: Vec<String> = open_mounts(model).into_iter().map(|(_, name)| name).collect();
    if joints.is_empty() && mounts.is_empty() {
        return None;
    }
    let given = Figures::of(&checked.outcome, &checked.verdict.findings);
    // What was solved on the deformed frame as given is so at the extremes, beside what buckles there.
    let deformed = |name: &str| checked.outcome.second_order.contains_key(name);
    let solved = |extreme: Extreme| {
        let changed = extreme.of(model, &joints);
        if changed == *model { Ok(given.clone()) } else { Figures::solved(&changed, &wanted, &deformed) }
    };
    let ends = [solved(Extreme::Softest), solved(Extreme::Stiffest)];
    let [softest_fails, stiffest_fails] =
        [&ends[0], &ends[1]].map(|end| end.as_ref().err().map(|faults| in_words(faults)));
    let ends = ends.map(Result::ok);
    let twist_nm_deg = given.twist_nm_deg.iter().map(|(case, as_given)| {
        let others = ends.iter().flatten().filter_map(|end| end.twist_nm_deg.get(case).copied());
        (case.clone(), Range::of(*as_given, others))
    });
    let cases = given.cases.iter().map(|(name, of_case)| {
        let at_ends = ends.each_ref().map(|end| end.as_ref().and_then(|end| end.cases.get(name)));
        let others: Vec<&CaseFigures> = at_ends.into_iter().flatten().collect();
        let range = |figure: fn(&CaseFigures) -> Option<f64>| {
            figure(of_case).map(|as_given| Range::of(as_given, others.iter().filter_map(|other| figure(other))))
        };
        let all = std::iter::once(of_case).chain(others.iter().copied());
        let worst = largest(all.filter_map(|figures| figures.worst.as_ref()), |worst| worst.0);
        let ranges = CaseRanges {
            pickup_move_mm: range(|figures| figures.pickup_move_mm),
            toe_deg: range(|figures| figures.toe_deg),
            camber_deg: range(|figures| figures.camber_deg),
            utilisation: range(|figures| figures.worst.as_ref().map(|worst| worst.0)),
            worst: worst.map(|(_, check, place)| (*check, place.clone())),
            collapses: at_ends.map(|end| end?.collapses.filter(|_| of_case.collapses.is_none())),
        };
        (name.clone(), ranges)
    });
    Some(Unknowns {
        mounts,
        left_as_given: left_as_given(model),
        softest_fails,
        stiffest_fails,
        twist_nm_deg: twist_nm_deg.collect(),
        cases: cases.collect(),
        joints: joints.into_iter().map(|(_, estimated)| estimated).collect(),
    })
}

/// What the notes say of the joints that are asked to turn as tube on tube does.
pub(super) fn tube_on_tube_told(model: &Model) -> Vec<String> {
    if !model.members.values().any(|member| member.tube_on_tube.contains(&true)) {
        return Vec::new();
    }
    let mut turning: Vec<String> = Vec::new();
    let mut rigid: Named<Vec<String>> = Named::new();
    for end in welded_ends(model).iter().filter(|end| model.members[end.member].tube_on_tube[end.end]) {
        let place = place(model, end);
        match tube_on_tube(model, end) {
            Ok((rates, _)) => {
                let [in_plane, out_of_plane] =
                    [rates.in_plane_nmm, rates.out_of_plane_nmm].map(|rate| figures(rate / 1e6, 3));
                turning.push(format!("{place} {in_plane} and {out_of_plane}"));
            }
            Err(why) => rigid.entry(why).or_default().push(place),
        }
    }
    let mut told = Vec::new();
    if !turning.is_empty() {
        told.push(format!(
            "tube-on-tube joints turn by the formula of Buitrago and others (1993), from memory, in and out of the plane of both tubes (kN·m/rad): {}",
            turning.join(", ")
        ));
    }
    told.extend(rigid.into_iter().map(|(why, places)| {
        format!("tube-on-tube joint taken as rigid, outside the formula's range: {}: {why}", places.join(", "))
    }));
    told
}

fn place(model: &Model, end: &WeldedEnd) -> String {
    format!("{} at {}", model.tube_name(TubeRef::Member(end.member)), model.anchor_name(end.node))
}

/// The welds that the formula reaches; those whose rates the file gives are known.
fn estimated(model: &Model) -> Vec<((usize, usize), EstimatedRate)> {
    let is_open = |end: &WeldedEnd| model.members[end.member].joints[end.end].is_weld();
    let ends = welded_ends(model).into_iter().filter(is_open);
    ends.filter_map(|end| {
        let (rates, _) = tube_on_tube(model, &end).ok()?;
        let (member, node) = (model.tube_name(TubeRef::Member(end.member)), model.anchor_name(end.node).to_owned());
        Some(((end.member, end.end), EstimatedRate { member, node, end: end.end, rates }))
    })
    .collect()
}

/// A mount that the file has as one of both words, so that it may be anything between them.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenMount {
    /// Of the ground: an index into [`Model::mounts`].
    Ground(usize),
    /// Of a body: an index into [`Model::bodies`], and one into its mounts.
    Body(usize, usize),
}

impl OpenMount {
    /// Whether it is held as a bolted pad.
    pub fn is_pad(self, model: &Model) -> bool {
        match self {
            OpenMount::Ground(at) => model.mounts[at].hold == BOLTED_PAD,
            OpenMount::Body(body, at) => model.bodies[body].mounts[at].hold == BodyHold::Directions(BOLTED_PAD),
        }
    }

    /// Holds it as a bolted pad, or by one bolt.
    pub fn set(self, model: &mut Model, is_pad: bool) {
        let hold = if is_pad { BOLTED_PAD } else { ONE_BOLT };
        match self {
            OpenMount::Ground(at) => model.mounts[at].hold = hold,
            OpenMount::Body(body, at) => model.bodies[body].mounts[at].hold = BodyHold::Directions(hold),
        }
    }
}

/// The mounts that the file leaves open, each with its name.
pub fn open_mounts(model: &Model) -> Vec<(OpenMount, String)> {
    let of_ground = model.mounts.iter().enumerate().filter(|(_, mount)| mount.in_a_word);
    let of_ground = of_ground.map(|(at, mount)| (OpenMount::Ground(at), model.anchor_name(mount.at).to_owned()));
    let bodies = model.bodies.iter().enumerate().filter(|(_, (_, body))| !hangs_on_a_line(model, body));
    let of_bodies = bodies.flat_map(|(at, (name, body))| {
        let mounts = body.mounts.iter().enumerate().filter(|(_, mount)| mount.in_a_word);
        mounts.map(move |(place, mount)| {
            (OpenMount::Body(at, place), format!("{name} at {}", model.anchor_name(mount.at)))
        })
    });
    of_ground.chain(of_bodies).collect()
}

/// The welds that the formula for tube on tube reaches: member and end.
pub fn open_welds(model: &Model) -> Vec<(usize, usize)> {
    estimated(model).into_iter().map(|(end, _)| end).collect()
}

/// Lets welds turn by a part of what the formula estimates, from 0 (rigid) to 1.
pub fn joint_between(model: &mut Model, part: f64) {
    let is_asked = |model: &Model, end: &WeldedEnd| model.members[end.member].joints[end.end].is_weld();
    let ends: Vec<WeldedEnd> = welded_ends(model).into_iter().filter(|end| is_asked(model, end)).collect();
    let soft = |flex: Flex| match flex {
        Flex::Rate(rate) => Flex::Rate(rate / part),
        other => other,
    };
    let joints: Vec<_> = ends
        .iter()
        .filter_map(|end| {
            let (_, joint) = tube_on_tube(model, end).ok()?;
            Some((end.member, end.end, Joint { my: soft(joint.my), mz: soft(joint.mz), ..joint }))
        })
        .collect();
    for (member, end, joint) in joints {
        let member = &mut model.members[member];
        member.tube_on_tube[end] = false;
        member.joints[end] = if part > 0.0 { joint } else { Joint::WELD };
    }
}

/// The bodies with mounts in words that are not varied.
fn left_as_given(model: &Model) -> Vec<String> {
    let in_words = model.bodies.iter().filter(|(_, body)| body.mounts.iter().any(|mount| mount.in_a_word));
    in_words.filter(|(_, body)| hangs_on_a_line(model, body)).map(|(name, _)| name.clone()).collect()
}

/// Whether all mounts of a body lie on one line, within a millimetre.
fn hangs_on_a_line(model: &Model, body: &Body) -> bool {
    const ON_THE_LINE_MM: f64 = 1.0;
    let places: Vec<_> = body.mounts.iter().map(|mount| model.anchor_at(mount.at)).collect();
    let Some(first) = places.first() else { return true };
    let furthest =
        places.iter().map(|place| place - first).reduce(|far, next| if next.norm() > far.norm() { next } else { far });
    let Some(line) = furthest.and_then(|line| line.try_normalize(ON_THE_LINE_MM)) else { return true };
    places.iter().all(|place| (place - first).cross(&line).norm() <= ON_THE_LINE_MM)
}

/// One end of what nobody knows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Extreme {
    Softest,
    Stiffest,
}

impl Extreme {
    fn of(self, model: &Model, joints: &[((usize, usize), EstimatedRate)]) -> Model {
        let mut changed = model.clone();
        for (mount, _) in open_mounts(model) {
            mount.set(&mut changed, self == Extreme::Stiffest);
        }
        for ((member, end), _) in joints {
            changed.members[*member].tube_on_tube[*end] = self == Extreme::Softest;
        }
        changed
    }
}

/// What is compared.
#[derive(Debug, Clone)]
struct Figures {
    twist_nm_deg: Named<f64>,
    cases: Named<CaseFigures>,
}

#[derive(Debug, Clone)]
struct CaseFigures {
    pickup_move_mm: Option<f64>,
    toe_deg: Option<f64>,
    camber_deg: Option<f64>,
    /// Utilisation, check, place.
    worst: Option<(f64, Check, String)>,
    collapses: Option<Collapse>,
}

impl Figures {
    fn solved(
        model: &Model,
        wanted: &impl Fn(&str) -> bool,
        deformed: &impl Fn(&str) -> bool,
    ) -> Result<Figures, Vec<Fault>> {
        let prepared = prepare(model, Purpose::Statics)?;
        let response = respond(model, &prepared, |name| wanted(name) || name == STANDING)?;
        let mut outcome = outcome_of_cases(model, &prepared, &response);
        outcome.second_order = second_order(model, &prepared, &response, &outcome.modes, deformed);
        // Of each case the worst alone is told, which takes no whole verdict.
        let findings = governing(model, &prepared, &response, &outcome);
        let mut faults = unsound(&outcome, &Verdict::default());
        let beyond_numbers = findings.iter().filter(|finding| !finding.utilisation.is_finite());
        faults
            .extend(beyond_numbers.map(|finding| beyond(path!["cases", &finding.case], "what comes out of this case")));
        if faults.is_empty() { Ok(Figures::of(&outcome, &findings)) } else { Err(faults) }
    }

    fn of(outcome: &Outcome, findings: &[Finding]) -> Figures {
        let twist = outcome.twist.iter().filter_map(|(case, twist)| Some((case.clone(), twist.stiffness_nm_deg?)));
        let mut by_case: HashMap<&str, Vec<&Finding>> = HashMap::new();
        for finding in findings {
            by_case.entry(&finding.case).or_default().push(finding);
        }
        let cases = outcome.cases.iter().map(|(name, case)| {
            let moved = || case.wheels.values().filter_map(|wheel| wheel.moved.as_ref());
            let findings = counting(by_case.remove(name.as_str()).unwrap_or_default());
            let worst = largest(findings, |finding| finding.utilisation);
            let figures = CaseFigures {
                pickup_move_mm: case.pickups.values().map(|pickup| pickup.change_mm).reduce(f64::max),
                toe_deg: moved().map(|moved| moved.change.toe_deg.abs()).reduce(f64::max),
                camber_deg: moved().map(|moved| moved.change.camber_deg.abs()).reduce(f64::max),
                worst: worst.map(|finding| (finding.utilisation, finding.check, finding.place.clone())),
                collapses: match outcome.second_order.get(name) {
                    Some(SecondOrder::Collapses(at)) => Some(Collapse { at: *at }),
                    Some(SecondOrder::Settled(_)) | None => None,
                },
            };
            (name.clone(), figures)
        });
        Figures { twist_nm_deg: twist.collect(), cases: cases.collect() }
    }
}

impl Range {
    fn of(as_given: f64, others: impl Iterator<Item = f64>) -> Range {
        let start = Range { low: as_given, as_given, high: as_given };
        others.fold(start, |range, other| Range { low: range.low.min(other), high: range.high.max(other), ..range })
    }
}

fn in_words(faults: &[Fault]) -> String {
    faults.iter().map(|fault| fault.message.as_str()).collect::<Vec<_>>().join("; ")
}
