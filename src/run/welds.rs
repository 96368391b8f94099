//! Which tube ends are welded, with what, and how their welds are judged.

use super::not_judged::NotJudged;
use super::second_order::Carries;
use crate::checks::{
    LARGEST_CORRELATION, LEAST_THROAT_MM, Weld, WeldLine, WeldMetal, WeldResult, correlation, default_throat_mm,
};
use crate::math::larger_than;
use crate::model::{BracketFoot, CornerKind, LinkFoot, Model, TubeRef, WeldKeys, entry_at};
use crate::section::{InternalForces, Metal, Section};
use crate::source::Named;
use crate::structure::{Structure, Tube, TubeName};
use crate::units::figures;

/// The weld at one end of a tube, judged in one case.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldJudged {
    /// Which end: 0 or 1.
    pub end: usize,
    /// Where, mm from the tube's first end.
    pub at_mm: f64,
    /// Whether it fails on the deformed frame alone, whose figures these then are.
    pub deformed: bool,
    /// The figures.
    pub result: WeldResult,
}

/// The welds at both ends of every tube, and what is to be said of them.
#[derive(Debug, Clone, Default)]
pub(super) struct Welds {
    /// For each tube of the structure.
    pub ends: Vec<[Option<Weld>; 2]>,
    /// The tubes that are welded together in each part.
    pub joined: Vec<Vec<usize>>,
    /// The parts at which something else than tubes is held: a mount, a body, a part of a corner.
    pub tabbed: Vec<usize>,
    /// Welds that nothing judges.
    pub not_judged: Vec<NotJudged>,
}

/// Why a weld cannot be judged, and where.
struct Unknown {
    place: String,
    why: &'static str,
}

/// The welds of a model.
pub(super) fn welds(model: &Model, structure: &Structure) -> Welds {
    let joined = joined(structure);
    let mut welds = Welds::default();
    let mut unknown: Named<&'static str> = Named::new();
    for tube in &structure.tubes {
        welds.ends.push([0, 1].map(|end: usize| {
            let size = tube.size.filter(|_| tube.welded[end])?;
            let piece = tube.piece_at_end(end);
            let others = &joined[structure.pieces[piece].ends[end].part];
            weld(model, structure, keys(model, tube), size, others)
                .map_err(|Unknown { place, why }| unknown.entry(place).or_insert(why))
                .ok()
        }));
    }
    welds.joined = joined;
    let mounts = model.mounts.iter().map(|mount| mount.at);
    let bodies = model.bodies.values().flat_map(|body| body.mounts.iter().map(|mount| mount.at));
    let held = mounts.chain(bodies).chain(model.pickups());
    welds.tabbed = held.map(|anchor| structure.part_of(anchor)).collect();
    welds.not_judged = unknown.into_iter().map(|(place, why)| NotJudged::new("weld", place, why)).collect();
    if stands_on_tubes(model) {
        let why = "the file gives the size of no bracket, so that nothing is known of its weld to the tube";
        welds.not_judged.push(NotJudged::new("weld", "brackets and feet on tubes", why));
    }
    welds
}

/// The tubes that are welded together in each part.
fn joined(structure: &Structure) -> Vec<Vec<usize>> {
    let mut joined = vec![Vec::new(); structure.parts.len()];
    for piece in &structure.pieces {
        let tube = &structure.tubes[piece.tube];
        let at = [piece.start_mm, piece.start_mm + piece.axes.length_mm];
        for end in 0..2 {
            let is_own_end = [at[0] <= 0.0, at[1] >= tube.length_mm * (1.0 - 1e-12)][end];
            let list: &mut Vec<usize> = &mut joined[piece.ends[end].part];
            if (!is_own_end || tube.welded[end]) && list.last() != Some(&piece.tube) {
                list.push(piece.tube);
            }
        }
    }
    joined
}

/// What the file says of the welds of a tube; those of a corner's tubes are the file's own.
fn keys(model: &Model, tube: &Tube) -> WeldKeys {
    match tube.name {
        TubeName::Tube(TubeRef::Member(member)) => model.members[member].weld,
        TubeName::Tube(TubeRef::Corner { .. }) | TubeName::Spring(_) => model.weld,
    }
}

/// The weld of a tube of a size to the tubes that are joined there, itself among them.
fn weld(model: &Model, structure: &Structure, keys: WeldKeys, size: usize, joined: &[usize]) -> Result<Weld, Unknown> {
    let (size_name, own) = entry_at(&model.tubes, size);
    let (Some(line), Some(default_mm)) = (WeldLine::of(&own.section), default_throat_mm(&own.section)) else {
        let why = "its section is given by figures that do not tell the outline that is welded round";
        return Err(Unknown { place: format!("tube size {size_name}"), why });
    };
    let sizes = joined.iter().filter_map(|tube| structure.tubes[*tube].size).chain([size]);
    let materials: Vec<usize> = sizes.map(|size| model.tubes[size].material).collect();
    let metal = metal(model, keys, &materials)?;
    Ok(Weld { line, throat_mm: keys.throat_mm.unwrap_or(default_mm), metal })
}

/// The weakest that the materials which are joined, and the filler, make of a weld.
fn metal(model: &Model, keys: WeldKeys, materials: &[usize]) -> Result<WeldMetal, Unknown> {
    let mut weakest: Option<WeldMetal> = None;
    for &material in materials {
        let (name, used) = entry_at(&model.materials, material);
        let unknown = |why| Unknown { place: format!("welds of {name}"), why };
        let next = match used.material.metal() {
            Metal::Steel => {
                let ultimate_mpa = used.material.ultimate_mpa.min(keys.filler_ultimate_mpa.unwrap_or(f64::INFINITY));
                WeldMetal::Steel { ultimate_mpa, correlation: correlation(name).unwrap_or(LARGEST_CORRELATION) }
            }
            Metal::Aluminium => match keys.filler_ultimate_mpa {
                Some(strength_mpa) => WeldMetal::Aluminium { strength_mpa },
                None => {
                    return Err(unknown(
                        "a weld of aluminium is as strong as its filler: give \"filler_ultimate\" in \"weld\", fw of EN 1999-1-1 Table 8.8 for filler and alloy",
                    ));
                }
            },
            Metal::Other => {
                return Err(unknown(
                    "it is neither steel nor aluminium by its modulus, and there is no rule here for others",
                ));
            }
        };
        weakest = match weakest {
            Some(known) if std::mem::discriminant(&known) != std::mem::discriminant(&next) => {
                return Err(unknown("steel and aluminium are joined there, which no weld here does"));
            }
            Some(known) if known.resistance_mpa() <= next.resistance_mpa() => Some(known),
            _ => Some(next),
        };
    }
    weakest.ok_or_else(|| Unknown { place: "welds".to_owned(), why: "nothing is joined there" })
}

/// Whether a bracket, a spring's or a bar link's foot is welded on any tube.
pub(super) fn stands_on_tubes(model: &Model) -> bool {
    let on_tubes = |foot: &LinkFoot| matches!(foot, LinkFoot::Tubes(_));
    let bracket = model.brackets.values().any(|bracket| matches!(bracket.on, BracketFoot::Tubes(_)));
    let spring = |kind: &CornerKind| kind.spring().is_some_and(|spring| on_tubes(&spring.on));
    bracket
        || model.corners.iter().any(|corner| spring(&corner.kind))
        || model.anti_roll.iter().any(|bar| bar.sides.iter().any(|side| on_tubes(&side.on)))
}

/// The weld of a tube that is nearest to its limit, by the internal forces at each end; `None` where none can be
/// judged.
pub(super) fn worst_weld(
    tube: &Tube,
    ends: &[Option<Weld>; 2],
    margin: f64,
    forces_at: impl Fn(usize) -> InternalForces,
) -> Option<WeldJudged> {
    let judged = [0, 1].into_iter().filter_map(|end: usize| {
        let weld = ends[end].as_ref()?;
        let at_mm = if end == 0 { 0.0 } else { tube.length_mm };
        Some(WeldJudged { end, at_mm, deformed: false, result: weld.judge(&forces_at(end), end, margin) })
    });
    judged.reduce(|one, two| if larger_than(two.result.directional, one.result.directional) { two } else { one })
}

/// The internal forces at an end of a tube.
pub(super) fn end_forces(structure: &Structure, carries: &dyn Carries, tube: &Tube, end: usize) -> InternalForces {
    let piece = tube.piece_at_end(end);
    carries.at(piece, if end == 0 { 0.0 } else { structure.pieces[piece].axes.length_mm })
}

/// The thinnest walls that the rules are for, 4.1(1), mm: in general, and of hollow sections with
/// section 7. From memory.
const RANGE_OF_WALLS_MM: [f64; 2] = [4.0, 2.5];

/// What was assumed of the welds.
pub(super) fn notes(model: &Model, structure: &Structure) -> Vec<String> {
    let welded: Vec<&Tube> = structure.tubes.iter().filter(|tube| tube.welded.contains(&true)).collect();
    let mut notes = Vec::new();
    if welded.iter().any(|tube| keys(model, tube).throat_mm.is_none()) {
        notes.push(format!(
            "welds: where no throat is given it is taken as the wall of the tube, {LEAST_THROAT_MM} mm on a bar or flat, half of the thickness where that is less"
        ));
    }
    let mut sizes: Vec<usize> = welded.iter().filter_map(|tube| tube.size).collect();
    sizes.sort_unstable();
    sizes.dedup();
    let of_steel = |size: &&usize| model.material_of(**size).metal() == Metal::Steel;
    let walls = sizes.iter().filter(of_steel).filter_map(|size| match model.tubes[*size].section {
        Section::Round(tube) => Some(tube.wall_mm),
        Section::Box(tube) => Some(tube.wall_mm),
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => None,
    });
    let thinnest = walls.fold(f64::INFINITY, f64::min);
    let [in_general, hollow] = RANGE_OF_WALLS_MM;
    if thinnest < in_general {
        notes.push(format!(
            "welds: walls down to {} mm are outside the range of walls of the clause: EN 1993-1-8 4.1(1) is for {in_general} mm and more, {hollow} mm with its section 7",
            figures(thinnest, 3)
        ));
    }
    let mut untold: Vec<&str> = Vec::new();
    for size in sizes.iter().filter(of_steel) {
        let name = entry_at(&model.materials, model.tubes[*size].material).0;
        if correlation(name).is_none() && !untold.contains(&name) {
            untold.push(name);
        }
    }
    if !untold.is_empty() {
        notes.push(format!(
            "welds of {}: the grade is not in EN 1993-1-8 Table 4.1, so the factor on the safe side is taken, βw = {LARGEST_CORRELATION:.1}",
            untold.join(", ")
        ));
    }
    notes
}
