//! What becomes of the frame when one weld of it is lost.
//!
//! Every stretch of tube that ends in a weld is taken out, one at a time, exactly: does the frame
//! still hold, how far do the wheels turn, what is next to yield? Yield is looked for at the ends of the
//! stretches, where it is largest but for loads along a tube.

use nalgebra::Vector3;

use super::governing::CLEARLY_LESS;
use super::outcome::WheelChange;
use super::prepared::Prepared;
use super::response::{CaseResponse, Response};
use crate::beam::end_peaks;
use crate::math::{larger_than, largest, largest_first};
use crate::model::{Corner, Model, STANDING, Wheel, other_side};
use crate::section::{Fibres, InternalForces, Properties, Section};
use crate::solve::{Left, Losses};
use crate::structure::{Structure, TubeName};

/// Frames of more welds than this are not tried: the work grows with the square of their number.
const MOST_WELDS: usize = 400;

/// One weld that is lost.
#[derive(Debug, Clone, PartialEq)]
pub struct LostWeld {
    /// Name of the tube.
    pub tube: String,
    /// Where on it, mm from its first end.
    pub at_mm: f64,
    /// What becomes of the frame.
    pub then: Then,
}

impl LostWeld {
    /// Whether it is the weld on the other side of the car of one at a place of a tube. Lengths of twins may differ
    /// by round-off.
    pub fn is_twin_of(&self, tube: &str, at_mm: f64) -> bool {
        const SAME_PLACE_MM: f64 = 1e-6;
        (self.at_mm - at_mm).abs() <= SAME_PLACE_MM && self.tube == twin_of(tube)
    }
}

/// What becomes of the frame.
#[derive(Debug, Clone, PartialEq)]
pub enum Then {
    /// Nothing holds a part of it.
    Loose,
    /// It holds.
    Holds {
        /// Largest change of a toe or camber angle from standing, degrees, with its case and wheel; `None` without corners.
        turns: Option<Turned>,
        /// What is nearest to yielding, or past it.
        next: Option<NextToYield>,
    },
}

/// How far a wheel turns.
#[derive(Debug, Clone, PartialEq)]
pub struct Turned {
    /// Toe or camber, the larger, degrees.
    pub angle_deg: f64,
    /// In this case.
    pub case: String,
    /// This wheel.
    pub wheel: Wheel,
}

/// The tube that is next to yield.
#[derive(Debug, Clone, PartialEq)]
pub struct NextToYield {
    /// Stress × margin over strength.
    pub utilisation: f64,
    /// In this case.
    pub case: String,
    /// Name of the tube.
    pub tube: String,
}

/// What becomes of the frame for each weld at the end of a tube, the worst first: what holds no longer, then
/// by what is next to yield. Mirror twins that come to the same are told once. `None`: too many welds.
pub(super) fn lost_welds(model: &Model, prepared: &Prepared, response: &Response) -> Option<Vec<LostWeld>> {
    let structure = &prepared.system.structure;
    let welds: Vec<(usize, usize, f64)> =
        structure.tubes.iter().enumerate().flat_map(|(at, _)| welds_of(structure, at)).collect();
    if welds.len() > MOST_WELDS {
        return None;
    }
    let trial = Trial {
        model,
        prepared,
        response,
        losses: Losses::new(&prepared.system, &prepared.solved),
        fibres: structure
            .tubes
            .iter()
            .map(|tube| tube.size.map(|size| &model.tubes[size].section).map(Section::fibres))
            .collect(),
        bounds: structure.tubes.iter().map(|tube| StressBound::of(&tube.properties)).collect(),
    };
    let mut lost: Vec<LostWeld> = Vec::new();
    for (tube, piece, at_mm) in welds {
        let name = structure.tube_name(model, tube);
        let then = trial.without(piece);
        let is_twin = |known: &LostWeld| known.is_twin_of(&name, at_mm) && known.then.comes_to(&then);
        if !lost.iter().any(is_twin) {
            lost.push(LostWeld { tube: name, at_mm, then });
        }
    }
    Some(largest_first(lost, |lost| lost.then.weight()))
}

/// The welds at the ends of a tube: the tube, the piece that is lost with it, and where. A tube of one piece
/// is lost with either.
fn welds_of(structure: &Structure, at: usize) -> Vec<(usize, usize, f64)> {
    let tube = &structure.tubes[at];
    if matches!(tube.name, TubeName::Spring(_)) {
        return Vec::new();
    }
    let welded = |place_mm: f64| tube.welds_mm.iter().any(|weld| (weld - place_mm).abs() < 1e-6);
    let ends = [(tube.pieces.start, 0.0), (tube.pieces.end - 1, tube.length_mm)];
    let mut welds: Vec<(usize, usize, f64)> =
        ends.into_iter().filter(|(_, at_mm)| welded(*at_mm)).map(|(piece, at_mm)| (at, piece, at_mm)).collect();
    welds.dedup_by_key(|(_, piece, _)| *piece);
    welds
}

/// The name of the tube on the other side.
fn twin_of(name: &str) -> String {
    match name.split_once('/') {
        Some((corner, part)) => format!("{}/{part}", other_side(corner)),
        None => other_side(name),
    }
}

impl Then {
    /// How bad it is.
    fn weight(&self) -> f64 {
        match self {
            Then::Loose => f64::INFINITY,
            Then::Holds { next, .. } => next.as_ref().map_or(0.0, |next| next.utilisation),
        }
    }

    /// Whether it comes to the same as for the twin.
    fn comes_to(&self, other: &Then) -> bool {
        const ALIKE: f64 = 1e-6;
        match (self, other) {
            (Then::Loose, Then::Loose) => true,
            (Then::Holds { .. }, Then::Holds { .. }) => {
                (self.weight() - other.weight()).abs() <= ALIKE * self.weight().max(other.weight())
            }
            _ => false,
        }
    }
}

struct Trial<'m> {
    model: &'m Model,
    prepared: &'m Prepared,
    response: &'m Response,
    losses: Losses<'m>,
    fibres: Vec<Option<Fibres>>,
    bounds: Vec<Option<StressBound>>,
}

impl Trial<'_> {
    fn without(&self, piece: usize) -> Then {
        let Some(without) = self.losses.without(piece) else { return Then::Loose };
        let states: Vec<Left<'_>> = self.response.cases.iter().map(|case| without.of(&case.state)).collect();
        let standing = self.response.cases.iter().position(|case| case.name == STANDING).map(|at| &states[at]);
        let mut turns: Option<(f64, &CaseResponse, Wheel)> = None;
        for (case, state) in self.response.cases.iter().zip(&states) {
            let from = standing.filter(|_| self.model.cases[&case.name].g.is_some());
            for (angle_deg, wheel) in self.turned(state, from) {
                if turns.is_none_or(|(most_deg, ..)| larger_than(angle_deg, most_deg)) {
                    turns = Some((angle_deg, case, wheel));
                }
            }
        }
        let turns = turns.map(|(angle_deg, case, wheel)| Turned { angle_deg, case: case.name.clone(), wheel });
        Then::Holds { turns, next: self.next_to_yield(&states, piece) }
    }

    /// The larger of toe and camber of each modelled wheel, degrees.
    fn turned(&self, state: &Left<'_>, standing: Option<&Left<'_>>) -> impl Iterator<Item = (f64, Wheel)> {
        let of_corner = move |(corner, part): (&Corner, &usize)| {
            let turn = |state: &Left<'_>| state.part(*part).fixed_rows::<3>(3).map(f64::to_degrees);
            let turn_deg = turn(state) - standing.map_or_else(Vector3::zeros, turn);
            let WheelChange { toe_deg, camber_deg, .. } = WheelChange::of_turn(corner.wheel, &turn_deg);
            (toe_deg.abs().max(camber_deg.abs()), corner.wheel)
        };
        self.model.corners.iter().zip(&self.prepared.system.structure.uprights).map(of_corner)
    }

    /// The tube that is nearest to yielding.
    fn next_to_yield(&self, states: &[Left<'_>], lost: usize) -> Option<NextToYield> {
        let pieces = self.pieces(states, lost);
        let nearest = largest(&pieces, |piece| piece.at_most)?;
        let floor = CLEARLY_LESS * self.utilisation(states, nearest);
        let near = pieces.iter().filter(|piece| piece.at_most.total_cmp(&floor).is_ge());
        let next = largest(near.map(|piece| (self.utilisation(states, piece), piece)), |(utilisation, _)| *utilisation);
        next.map(|(utilisation, piece)| NextToYield {
            utilisation,
            case: self.response.cases[piece.case].name.clone(),
            tube: self.prepared.system.structure.tube_name(self.model, piece.tube),
        })
    }

    /// Every piece but a lost one in every case with a margin.
    fn pieces(&self, states: &[Left<'_>], lost: usize) -> Vec<Loaded> {
        let structure = &self.prepared.system.structure;
        let mut pieces = Vec::with_capacity(states.len() * structure.pieces.len());
        for (case, (solved, state)) in self.response.cases.iter().zip(states).enumerate() {
            let Some(margin) = self.model.cases[&solved.name].limits.yield_margin else { continue };
            for (at, tube) in structure.tubes.iter().enumerate().filter(|(at, _)| self.fibres[*at].is_some()) {
                let times = margin / tube.material.yield_at_weld_mpa.min(tube.material.yield_mpa);
                for piece in tube.pieces.clone().filter(|piece| *piece != lost) {
                    let diagram = state.diagram(piece);
                    let [first, last] = [diagram.first, diagram.at(diagram.length_mm)].map(|forces| {
                        self.bounds[at].as_ref().map_or(f64::INFINITY, |bound| bound.stress_mpa(&forces))
                    });
                    pieces.push(Loaded { case, tube: at, piece, at_most: first.max(last) * times });
                }
            }
        }
        pieces
    }

    /// The larger utilisation of both ends of a piece.
    fn utilisation(&self, states: &[Left<'_>], Loaded { case, tube, piece, .. }: &Loaded) -> f64 {
        let structure = &self.prepared.system.structure;
        let (of_tube, margin) =
            (&structure.tubes[*tube], self.model.cases[&self.response.cases[*case].name].limits.yield_margin);
        let (Some(fibres), Some(margin)) = (&self.fibres[*tube], margin) else { return 0.0 };
        let utilisations = end_peaks(fibres, &states[*case].diagram(*piece)).map(|peak| {
            let at_mm = structure.pieces[*piece].start_mm + peak.at_mm;
            let welded = of_tube.welds_mm.iter().any(|weld| (weld - at_mm).abs() < 1e-6);
            let strength = if welded { of_tube.material.yield_at_weld_mpa } else { of_tube.material.yield_mpa };
            peak.von_mises_mpa * margin / strength
        });
        if larger_than(utilisations[1], utilisations[0]) { utilisations[1] } else { utilisations[0] }
    }
}

/// A piece of a tube in a case, and what its utilisation does not exceed.
struct Loaded {
    /// An index into the cases of the response.
    case: usize,
    /// One into the tubes of the structure.
    tube: usize,
    /// One into its pieces.
    piece: usize,
    at_most: f64,
}

/// A stress that von Mises stress does not exceed, MPa; no bound where the section does not tell its torsion or shear.
pub fn stress_at_most(properties: &Properties, forces: &InternalForces) -> f64 {
    StressBound::of(properties).map_or(f64::INFINITY, |bound| bound.stress_mpa(forces))
}

/// All parts of the stress of a section added as magnitudes, each per unit of the force or moment that makes it.
///
/// Shear along a wall is V·Q/(I·b). Over V and the shear area of its direction that is at most 1.5 in a box (whose
/// shear area is that of the walls along the force), 1.25 in a flat, 1.3 in a round tube, 1 where figures are given: 2
/// is above all.
struct StressBound {
    normal: [f64; 3],
    shear: [f64; 3],
}

impl StressBound {
    fn of(properties: &Properties) -> Option<StressBound> {
        let (ct_mm3, ay_mm2, az_mm2) = (properties.ct_mm3?, properties.ay_mm2?, properties.az_mm2?);
        let [my, mz] = [properties.cz_mm / properties.iy_mm4, properties.cy_mm / properties.iz_mm4];
        Some(StressBound {
            normal: [1.0 / properties.area_mm2, my, mz],
            shear: [1.0 / ct_mm3, 2.0 / ay_mm2, 2.0 / az_mm2],
        })
    }

    fn stress_mpa(&self, forces: &InternalForces) -> f64 {
        let sum = |per: &[f64; 3], of: [f64; 3]| per[0] * of[0].abs() + per[1] * of[1].abs() + per[2] * of[2].abs();
        let normal = sum(&self.normal, [forces.n, forces.my, forces.mz]);
        let shear = sum(&self.shear, [forces.t, forces.vy, forces.vz]);
        (normal * normal + 3.0 * shear * shear).sqrt()
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::beam::Diagram;
    use crate::section::{BoxTube, Flat, RoundTube};

    #[test]
    fn no_stress_is_above_its_bound_in_boxes_however_flat_flats_and_round_tubes() {
        let hollow = |width_mm, depth_mm| {
            Section::from(BoxTube { width_mm, depth_mm, wall_mm: 2.0, outer_radius_mm: 4.0, inner_radius_mm: 2.0 })
        };
        let sections = [
            Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 }),
            Section::from(RoundTube { od_mm: 30.0, wall_mm: 14.9 }),
            Section::from(Flat { width_mm: 60.0, thickness_mm: 3.0 }),
            hollow(40.0, 40.0),
            hollow(120.0, 20.0),
            hollow(20.0, 120.0),
        ];
        for (at, section) in sections.iter().enumerate() {
            let (properties, fibres) = (section.properties(0.3), section.fibres());
            for part in 0..64_u32 {
                // Every part of the forces alone and with any others.
                let there = |bit: u32, value: f64| if part >> bit & 1 == 1 { value } else { 0.0 };
                let first = InternalForces {
                    n: there(0, 2e3),
                    vy: there(1, 5e3),
                    vz: there(2, -5e3),
                    t: there(3, 4e4),
                    my: there(4, 3e4),
                    mz: there(5, -3e4),
                };
                let diagram = Diagram { first, load_n_mm: Vector3::zeros(), length_mm: 0.0 };
                let [peak, _] = end_peaks(&fibres, &diagram);
                let most = stress_at_most(&properties, &first);
                assert!(peak.von_mises_mpa <= most * (1.0 + 1e-12), "section {at}: {first:?}: {peak:?} over {most}");
            }
        }
    }
}
