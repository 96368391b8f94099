//! What the duty uses up of the life of the welds at the ends of tubes.
//!
//! Between the two cases of an event the forces at an end change; what changes in the throat, and in the
//! wall where its kind of joint has a category, is a range at each of fixed places round the end. Damages of
//! all events, of normal stress and of shear, add up there; the worst place counts.

use std::f64::consts::TAU;

use super::bench::{Bench, fails_there_alone};
use super::joints::LatticeWalls;
use super::not_judged::NotJudged;
use super::outcome::Outcome;
use super::response::Response;
use super::second_order::Carries;
use super::welds::{Welds, end_forces, stands_on_tubes};
use crate::checks::{
    BUTT_BOX, BUTT_ROUND, Detail, FATIGUE_FACTOR, FatigueCurve, LineForce, ROOT, ROOT_SHEAR, Spread, ThroatStress,
    Weld, WeldLine, WeldMetal, ceiling_mpa, on_weld,
};
use crate::math::larger_than;
use crate::model::{Event, Model};
use crate::section::{Fibres, InternalForces, Section};
use crate::source::Named;
use crate::structure::{STRAIGHT_WITHIN_DEG, Structure, Tube};

/// Where in a weld it cracks first.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Crack {
    /// From the root, through the throat.
    Root,
    /// From the toe, through the wall of a tube welded end to end to another.
    Wall,
    /// From the toe, through the wall of a tube at a K or N joint.
    Lattice,
}

/// One event at the worst place of a tube.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct EventDamage {
    /// Range of normal stress, MPa.
    pub normal_mpa: f64,
    /// Range of shear stress, MPa.
    pub shear_mpa: f64,
    /// How many times in one life.
    pub count: f64,
    /// What it uses up in one life.
    pub damage: f64,
}

/// The worst place of a tube.
#[derive(Debug, Clone, PartialEq)]
pub struct FatigueJudged {
    /// Where, mm from the tube's first end.
    pub at_mm: f64,
    /// Where in the weld.
    pub crack: Crack,
    /// What it is for normal stress.
    pub detail: Detail,
    /// What one life uses up there.
    pub damage: f64,
    /// By event, in the order of the duty.
    pub events: Vec<EventDamage>,
    /// The largest nominal range at the tube's welded ends over what a range may reach at all.
    pub ceiling: f64,
    /// Whether it fails on the deformed frame alone, whose figures these then are.
    pub deformed: bool,
}

/// The duty, judged.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Fatigue {
    /// Names of the events.
    pub events: Vec<String>,
    /// By tube.
    pub tubes: Named<FatigueJudged>,
}

impl FatigueJudged {
    /// How many lives until the damage is 1; `None`: no event does any.
    pub fn lives(&self) -> Option<f64> {
        (self.damage > 0.0).then(|| 1.0 / self.damage)
    }

    /// What so many lives use up; where a range is above the ceiling of the clause, at least that part.
    pub fn used(&self, lives: f64) -> f64 {
        let used = self.damage * lives;
        if larger_than(self.ceiling, 1.0) { used.max(self.ceiling) } else { used }
    }

    /// The event that does most damage, as an index into [`Fatigue::events`].
    pub fn worst_event(&self) -> Option<usize> {
        let events = self.events.iter().enumerate().filter(|(_, event)| event.damage > 0.0);
        events
            .reduce(|best, next| if larger_than(next.1.damage, best.1.damage) { next } else { best })
            .map(|(at, _)| at)
    }
}

/// How many places round a ring are looked at: 5 degrees apart, so that a range is missed by at most
/// 0.1 %, and its damage by 0.5 %.
const PLACES: u32 = 72;

/// Judges the duty; `None` where there is none, or a case of it was not asked for. Where it fails on the deformed frame
/// alone, it is judged by that: by the forces there of the cases that were solved there.
pub(super) fn fatigue(
    model: &Model,
    bench: &Bench<'_>,
    lattice: &LatticeWalls,
    response: &Response,
    outcome: &Outcome,
) -> Option<Fatigue> {
    if model.duty.is_empty() {
        return None;
    }
    let drawn = |case: &str| {
        let solved = response.cases.iter().find(|solved| solved.name == case)?;
        Some(&solved.state as &dyn Carries)
    };
    let deformed = |case: &str| outcome.settled(case).map(|settled| settled as &dyn Carries).or_else(|| drawn(case));
    let mut fatigue = under(model, bench, lattice, drawn)?;
    let mut cases = model.duty.values().flat_map(|event| event.from.iter().chain([&event.to]));
    if let Some(lives) = model.limits.fatigue
        && cases.any(|case| outcome.settled(case).is_some())
    {
        for (name, there) in under(model, bench, lattice, deformed)?.tubes {
            let known = fatigue.tubes.get(&name).map(|drawn| drawn.used(lives));
            if fails_there_alone(known, there.used(lives)) {
                fatigue.tubes.insert(name, FatigueJudged { deformed: true, ..there });
            }
        }
    }
    Some(fatigue)
}

/// The duty by what each of its cases carries.
fn under<'c>(
    model: &Model,
    bench: &Bench<'_>,
    lattice: &LatticeWalls,
    carried: impl Fn(&str) -> Option<&'c dyn Carries>,
) -> Option<Fatigue> {
    let (structure, welds) = (&bench.prepared.system.structure, &bench.welds);
    let mut spans = Vec::new();
    for event in model.duty.values() {
        let from = match &event.from {
            Some(case) => Some(carried(case)?),
            None => None,
        };
        spans.push((event, from, carried(&event.to)?));
    }
    let mut fatigue = Fatigue { events: model.duty.keys().cloned().collect(), tubes: Named::new() };
    for (at, tube, fibres) in bench.judged() {
        let mut worst = Worst::default();
        let mut ceiling: f64 = 0.0;
        let ranges_of = |forces: &dyn Fn(&dyn Carries) -> InternalForces| -> Vec<(&Event, InternalForces)> {
            let range = |from: Option<&dyn Carries>, to: &dyn Carries| {
                difference(&forces(to), &from.map_or_else(InternalForces::default, forces))
            };
            spans.iter().map(|(event, from, to)| (*event, range(*from, *to))).collect()
        };
        for end in 0..2 {
            let Some(weld) = welds.ends[at][end].filter(|weld| matches!(weld.metal, WeldMetal::Steel { .. })) else {
                continue;
            };
            let ranges = ranges_of(&|carries| end_forces(structure, carries, tube, end));
            ceiling = ranges.iter().map(|(_, range)| over_ceiling(fibres, range, tube)).fold(ceiling, f64::max);
            let at_mm = if end == 0 { 0.0 } else { tube.length_mm };
            worst.take(at_mm, Crack::Root, ROOT, &ranges, root_places(&weld, &ranges, end));
            let butt = is_butt(structure, welds, at, end).then(|| wall_detail(model, tube)).flatten();
            let walls = [(Crack::Wall, butt), (Crack::Lattice, lattice.ends[at][end])];
            for (crack, detail) in walls.into_iter().filter_map(|(crack, detail)| Some((crack, detail?))) {
                worst.take(at_mm, crack, detail, &ranges, wall_places(fibres, &ranges));
            }
        }
        for (piece, end, detail) in lattice.chords.iter().filter(|(piece, ..)| tube.pieces.contains(piece)) {
            let drawn = &structure.pieces[*piece];
            let within_mm = if *end == 0 { 0.0 } else { drawn.axes.length_mm };
            let ranges = ranges_of(&|carries| carries.at(*piece, within_mm));
            ceiling = ranges.iter().map(|(_, range)| over_ceiling(fibres, range, tube)).fold(ceiling, f64::max);
            worst.take(drawn.start_mm + within_mm, Crack::Lattice, *detail, &ranges, wall_places(fibres, &ranges));
        }
        if let Some(worst) = worst.0 {
            fatigue.tubes.insert(structure.tube_name(model, at), FatigueJudged { ceiling, ..worst });
        }
    }
    Some(fatigue)
}

/// The worst place of a tube so far.
#[derive(Default)]
struct Worst(Option<FatigueJudged>);

impl Worst {
    /// Takes the worst of some places round a weld, at each of which every event has its two ranges.
    fn take(
        &mut self,
        at_mm: f64,
        crack: Crack,
        detail: Detail,
        ranges: &[(&Event, InternalForces)],
        places: Vec<Vec<[f64; 2]>>,
    ) {
        for stresses in places {
            let events: Vec<EventDamage> =
                ranges.iter().zip(stresses).map(|((event, _), range)| damage(event, &detail, range)).collect();
            let damage: f64 = events.iter().map(|event| event.damage).sum();
            if self.0.as_ref().is_none_or(|worst| larger_than(damage, worst.damage)) {
                self.0 = Some(FatigueJudged { at_mm, crack, detail, damage, events, ceiling: 0.0, deformed: false });
            }
        }
    }
}

fn difference(to: &InternalForces, from: &InternalForces) -> InternalForces {
    InternalForces {
        n: to.n - from.n,
        vy: to.vy - from.vy,
        vz: to.vz - from.vz,
        t: to.t - from.t,
        my: to.my - from.my,
        mz: to.mz - from.mz,
    }
}

/// What an event uses up at a place: normal stress by the detail, shear along a weld by its own.
fn damage(event: &Event, detail: &Detail, [normal_mpa, shear_mpa]: [f64; 2]) -> EventDamage {
    let damage = detail.damage(normal_mpa, event.count, FATIGUE_FACTOR)
        + ROOT_SHEAR.damage(shear_mpa, event.count, FATIGUE_FACTOR);
    EventDamage { normal_mpa, shear_mpa, count: event.count, damage }
}

/// At places round a weld, by event: range of √(σ⊥² + τ⊥²) and of τ∥ in the throat, 5(6), for both ways
/// that shear and torque may spread.
fn root_places(weld: &Weld, ranges: &[(&Event, InternalForces)], end: usize) -> Vec<Vec<[f64; 2]>> {
    let in_throat = |force: &LineForce| {
        let stress = ThroatStress::of(force, weld.throat_mm);
        [stress.normal.hypot(stress.across), stress.along.abs()]
    };
    let mut places: Vec<Vec<[f64; 2]>> = Vec::new();
    for spread in Spread::BOTH {
        let by_event: Vec<Vec<[f64; 2]>> = ranges
            .iter()
            .map(|(_, range)| {
                let range = on_weld(range, end);
                match weld.line {
                    WeldLine::Ring { radius_mm } => {
                        let force = WeldLine::round(radius_mm, &range, spread);
                        angles().map(|angle| in_throat(&force.at(angle))).collect()
                    }
                    WeldLine::Box { .. } | WeldLine::Flat { .. } => {
                        weld.line.straight(&range, spread).iter().map(in_throat).collect()
                    }
                }
            })
            .collect();
        let count = by_event.first().map_or(0, Vec::len);
        places.extend((0..count).map(|place| by_event.iter().map(|event| event[place]).collect()));
    }
    places
}

fn angles() -> impl Iterator<Item = f64> {
    (0..PLACES).map(|place| f64::from(place) * TAU / f64::from(PLACES))
}

/// At places round the wall, by event: range of normal stress; shear of the wall has no category here.
fn wall_places(fibres: &Fibres, ranges: &[(&Event, InternalForces)]) -> Vec<Vec<[f64; 2]>> {
    let normal = |stress: crate::section::StressParts| [(stress.axial + stress.bending).abs(), 0.0];
    match fibres {
        Fibres::Circle(circle) => angles()
            .map(|angle| ranges.iter().map(|(_, range)| normal(circle.stress(range, angle))).collect())
            .collect(),
        Fibres::Points(forms) => {
            forms.iter().map(|form| ranges.iter().map(|(_, range)| normal(form.stress(range))).collect()).collect()
        }
    }
}

/// The largest nominal range of the tube over what a range may reach at all.
fn over_ceiling(fibres: &Fibres, range: &InternalForces, tube: &Tube) -> f64 {
    let parts = match fibres {
        Fibres::Circle(circle) => angles().map(|angle| circle.stress(range, angle)).collect::<Vec<_>>(),
        Fibres::Points(forms) => forms.iter().map(|form| form.stress(range)).collect(),
    };
    let strength = tube.material.yield_at_weld_mpa.min(tube.material.yield_mpa);
    let [normal, shear] = [FatigueCurve::Normal, FatigueCurve::Shear].map(|curve| ceiling_mpa(strength, curve));
    parts
        .into_iter()
        .map(|part| ((part.axial + part.bending).abs() / normal).max((part.torsion + part.shear).abs() / shear))
        .fold(0.0, f64::max)
}

/// The category of the wall beside a weld from end to end; a bar or flat has none in Table 8.6.
fn wall_detail(model: &Model, tube: &Tube) -> Option<Detail> {
    /// Walls to here have the categories of [`BUTT_ROUND`] and [`BUTT_BOX`], mm.
    const THICKEST_MM: f64 = 8.0;
    match model.tubes[tube.size?].section {
        Section::Round(tube) if tube.wall_mm <= THICKEST_MM => Some(BUTT_ROUND),
        Section::Box(tube) if tube.wall_mm <= THICKEST_MM => Some(BUTT_BOX),
        _ => None,
    }
}

/// Whether a tube is welded there end to end to one other of its size that goes straight on, and to
/// nothing else: no bracket, mount or part of a corner is there either.
fn is_butt(structure: &Structure, welds: &Welds, at: usize, end: usize) -> bool {
    let tube = &structure.tubes[at];
    let piece = tube.piece_at_end(end);
    let part = structure.pieces[piece].ends[end].part;
    let [one, two] = welds.joined[part].as_slice() else { return false };
    let other = &structure.tubes[if *one == at { *two } else { *one }];
    let ends = [other.pieces.start, other.pieces.end - 1];
    let Some(other_end) = (0..2).find(|place| structure.pieces[ends[*place]].ends[*place].part == part) else {
        return false;
    };
    let out = |piece: usize, end: usize| {
        let x = structure.pieces[piece].axes.x();
        if end == 0 { x } else { -x }
    };
    let turn = out(piece, end).angle(&-out(ends[other_end], other_end));
    tube.size == other.size
        && other.welded[other_end]
        && turn <= STRAIGHT_WITHIN_DEG.to_radians()
        && structure.parts[part].anchors.len() == 1
        && !welds.tabbed.contains(&part)
}

/// What the duty leaves unjudged, and why where it is not judged at all.
pub(super) fn not_judged_fatigue(
    model: &Model,
    structure: &Structure,
    welds: &Welds,
    lattice: &LatticeWalls,
    judged: Option<&Fatigue>,
) -> Vec<NotJudged> {
    let line = |place: &str, why: &str| NotJudged::new("fatigue", place, why);
    if judged.is_none() {
        let why = if model.duty.is_empty() {
            "no \"duty\" says how often what happens; repeated loads crack welds far below the strength used here"
        } else {
            "not all cases of the duty's events were asked for"
        };
        return vec![line("the frame", why)];
    }
    let mut list = Vec::new();
    if stands_on_tubes(model) {
        let why = "their welds are not in the file; the tube cracks beside such a weld too";
        list.push(line("brackets and feet on tubes", why));
    }
    let ends = || {
        (0..structure.tubes.len())
            .flat_map(|at| [(at, 0), (at, 1)])
            .filter(|(at, end)| structure.tubes[*at].welded[*end])
    };
    if ends().any(|(at, end)| lattice.ends[at][end].is_none() && !is_butt(structure, welds, at, end)) {
        let why = "the wall beside the weld of a tube that ends on another, and the wall that it ends on: of such joints EN 1993-1-9 has a category for K and N joints of plane girders alone, within the ranges of its Table 8.7; the stress that cracks any other is the local one at the toe, which a beam does not have; the root of the weld is judged";
        list.push(line("tubes that end on others", why));
    }
    let of_steel = |weld: &Option<Weld>| matches!(weld, Some(Weld { metal: WeldMetal::Steel { .. }, .. }));
    if ends().any(|(at, end)| !of_steel(&welds.ends[at][end])) {
        let why = "welds of aluminium, whose life hangs on alloy, kind of weld and its inspection (EN 1999-1-3), which are not in the file, of other metals and of sections given by figures";
        list.push(line("other welds", why));
    }
    list
}

/// What was assumed of the duty.
pub(super) fn notes(model: &Model) -> Vec<String> {
    if model.duty.is_empty() {
        return Vec::new();
    }
    vec![
        format!(
            "fatigue: EN 1993-1-9 with γMf {FATIGUE_FACTOR} (safe life, high consequence) and γFf 1.0; categories and γMf are from memory: root of a weld 36, shear along it 80, a wall welded end to end 71 (round) or 56 (box), K and N joints by Table 8.7"
        ),
        "fatigue: each event is one range between its two cases, there and back; what is shaken beyond them is not counted".to_owned(),
    ]
}
