//! The welded joints of a frame, and what acts on each in a case.

use std::collections::HashMap;

use super::gaps::{self, Foot, Gap, PieceAtEnd, gaps};
use super::not_judged::NotJudged;
use super::second_order::Carries;
use crate::checks::{
    Detail, Hollow, JointForces, JointKind, JointResult, JointShape, LatticeBrace, is_too_tight, joint, lattice,
    out_of_range, stands_apart,
};
use crate::math::larger_than;
use crate::model::{Anchor, BracketFoot, Model, TubeRef, entry_at};
use crate::section::{InternalForces, Section};
use crate::source::Named;
use crate::structure::{Beside, NoChord, Onto, Structure, TubeName, WeldedEnd, beside, welded_ends};

/// A brace on its chord, judged in one case.
#[derive(Debug, Clone, PartialEq)]
pub struct JointJudged {
    /// The first (0) or second (1) end of the tube.
    pub end: usize,
    /// The same, mm from the tube's first end.
    pub at_mm: f64,
    /// Name of the tube that it is welded onto.
    pub chord: String,
    /// As what kind of joint: `T`, `Y`, `X`, `K` and what they are taken as.
    pub kind: &'static str,
    /// Sections and angle.
    pub shape: JointShape,
    /// Gap to the nearest tube on the same side, mm; below zero they overlap.
    pub gap_mm: Option<f64>,
    /// What acts, without margin.
    pub forces: JointForces,
    /// Whether it fails on the deformed frame alone, whose figures these then are.
    pub deformed: bool,
    /// What resists.
    pub result: JointResult,
}

impl JointJudged {
    /// The clause that it is judged by.
    pub fn clause(&self) -> &'static str {
        match (self.shape.chord.is_round, self.kind) {
            (true, _) if self.result.governing_gap().is_some() => "EN 1993-1-8:2005 Table 7.7",
            (false, _) if self.result.governing_gap().is_some() => "EN 1993-1-8:2005 Tables 7.12 and 7.16",
            (true, _) => "EN 1993-1-8:2005 Tables 7.2, 7.5 and (7.3)",
            (false, "K") => "EN 1993-1-8:2005 Tables 7.12, 7.14 and 7.5.2.1",
            (false, _) => "EN 1993-1-8:2005 Tables 7.11, 7.14 and 7.5.2.1",
        }
    }
}

/// The joints of a frame that can be judged, and the lines of those that cannot.
pub(super) struct Joints {
    /// Of each tube of the structure.
    joints: Vec<Vec<Joint>>,
    pub(super) not_judged: Vec<NotJudged>,
}

/// A brace on its chord.
struct Joint {
    /// Its tube, an index into the tubes of the structure.
    tube: usize,
    end: usize,
    onto: Onto,
    shape: JointShape,
    chord: String,
    /// Pieces of the chord that meet at the node, and which end of them.
    chord_ends: Vec<PieceAtEnd>,
    /// The other ends on the same chord: tube, end, sine of the angle, how.
    beside: Vec<(usize, usize, f64, Beside)>,
    /// On the same side: gap and sections of those that do not stand apart.
    pairs: Vec<Pair>,
    /// The gaps to those.
    gaps: Vec<Gap>,
}

/// A brace on the same side of the chord.
#[derive(Debug, Clone, Copy)]
struct Pair {
    /// Where its foot stands along the chord, mm.
    foot_mm: f64,
    gap_mm: f64,
    other_mm: [f64; 2],
    other_wall_mm: f64,
}

/// A part of the force of a brace square to the chord that may be left over where two of a side
/// balance: EN 1993-1-8 has no figure; 20 % is that of ISO 19902, from memory.
const BALANCED_WITHIN: f64 = 0.2;

impl Joints {
    pub(super) fn new(model: &Model, structure: &Structure) -> Self {
        let ends = welded_ends(model);
        let mut at_node: HashMap<Anchor, Vec<&WeldedEnd>> = HashMap::new();
        for end in &ends {
            at_node.entry(end.node).or_default().push(end);
        }
        let mut of_member = vec![None; model.members.len()];
        for (at, tube) in structure.tubes.iter().enumerate() {
            if let TubeName::Tube(TubeRef::Member(member)) = tube.name {
                of_member[member] = Some(at);
            }
        }
        let of_model = Known { model, structure, of_member };
        let mut joints: Vec<Vec<Joint>> = structure.tubes.iter().map(|_| Vec::new()).collect();
        let mut thin: Vec<&str> = Vec::new();
        let mut told: Named<Vec<String>> = Named::new();
        let mut tell = |why: String, place: String| {
            let places = told.entry(why).or_default();
            if !places.contains(&place) {
                places.push(place);
            }
        };
        for end in &ends {
            let node = model.anchor_name(end.node).to_owned();
            let place = format!("{} at {node}", model.tube_name(TubeRef::Member(end.member)));
            let onto = match &end.onto {
                Ok(onto) => onto,
                // A tube alone is welded onto none.
                Err(NoChord::NothingRunsThrough) if at_node[&end.node].len() == 1 => continue,
                Err(NoChord::NothingRunsThrough) => {
                    tell(NOTHING_RUNS_THROUGH.to_owned(), node);
                    continue;
                }
                Err(NoChord::Skewed) if hollow(model, model.members[end.member].tube, [0.0; 2]).is_none() => {
                    tell(NOT_HOLLOW.to_owned(), place);
                    continue;
                }
                Err(why) => {
                    tell(in_words(*why), place);
                    continue;
                }
            };
            let joint = match Joint::new(&of_model, &at_node[&end.node], end, onto) {
                Ok(joint) => joint,
                Err(why) => {
                    tell(why, place);
                    continue;
                }
            };
            if joint.nearest().is_some_and(|pair| pair.is_too_tight(&joint.shape)) {
                tell(TOO_TIGHT.to_owned(), place);
            }
            let sizes = [(onto.chord.size, &joint.shape.chord), (model.members[end.member].tube, &joint.shape.brace)];
            thin.extend(
                sizes.iter().filter(|(_, hollow)| hollow.is_thin()).map(|(size, _)| entry_at(&model.tubes, *size).0),
            );
            joints[joint.tube].push(joint);
        }
        let mut not_judged: Vec<NotJudged> =
            told.into_iter().map(|(why, places)| NotJudged::new("joint", places.join(", "), why)).collect();
        let thin: Vec<&str> = model.tubes.keys().map(String::as_str).filter(|size| thin.contains(size)).collect();
        if !thin.is_empty() {
            let place = format!("joints of tube size {}", thin.join(", "));
            not_judged.push(NotJudged::new("joint", place, THIN_WALLS));
        }
        not_judged.extend(of_no_member(model));
        Self { joints, not_judged }
    }

    /// The worst joint of a tube's ends.
    pub(super) fn worst(
        &self,
        structure: &Structure,
        carries: &dyn Carries,
        tube: usize,
        margin: f64,
    ) -> Option<JointJudged> {
        self.joints[tube].iter().map(|joint| joint.judged(structure, carries, margin)).reduce(|worst, next| {
            if larger_than(next.result.utilisation(), worst.result.utilisation()) { next } else { worst }
        })
    }
}

/// Where the walls of a K or N joint may crack, as Table 8.7 of EN 1993-1-9 has it.
#[derive(Debug, Clone, Default)]
pub(super) struct LatticeWalls {
    /// For each tube of the structure, at both ends.
    pub ends: Vec<[Option<Detail>; 2]>,
    /// Of chords: pieces of the structure, which end of them, and the detail.
    pub chords: Vec<(usize, usize, Detail)>,
}

impl Joints {
    /// The K and N joints whose walls have a category. Both axes must meet on that of the chord within what the table allows
    /// out of plane, and no other tube may stand there: the table is for plane girders.
    pub(super) fn lattice_walls(&self, structure: &Structure) -> LatticeWalls {
        let mut walls = LatticeWalls { ends: vec![[None; 2]; structure.tubes.len()], chords: Vec::new() };
        for joint in self.joints.iter().flatten() {
            let Some(detail) = joint.lattice_detail(structure) else { continue };
            walls.ends[joint.tube][joint.end] = Some(detail);
            walls.chords.extend(joint.chord_ends.iter().map(|(piece, end)| (*piece, *end, detail)));
        }
        walls
    }
}

const THIN_WALLS: &str = "judged, but the formulas are used outside their range of walls, which is 2.5 mm and more";

const NOT_HOLLOW: &str = "it is no round tube or box";
const TOO_TIGHT: &str = "judged, but outside the formulas' range of gaps: beside another tube on the same side the gap must be \
     at least both walls, or the overlap a quarter; the lower resistance, beside it and alone, is taken";

const NOTHING_RUNS_THROUGH: &str = "no tube runs through there, so that it is not known onto which wall each tube is \
     welded; write a tube that does run through as one member (\"through\")";

fn in_words(why: NoChord) -> String {
    match why {
        NoChord::NothingRunsThrough => NOTHING_RUNS_THROUGH.to_owned(),
        NoChord::OnABracket => "it ends on a bracket or plate, not on the wall of a tube".to_owned(),
        NoChord::Misses(aside_mm) => {
            format!(
                "its axis passes that of the tube it stands on by {aside_mm:.1} mm; the formulas are for axes that meet"
            )
        }
        NoChord::Skewed => "a box is turned corner-wise to the other tube, which the tables do not cover".to_owned(),
    }
}

/// What is welded and is no end of a member on a tube.
fn of_no_member(model: &Model) -> Vec<NotJudged> {
    let mut list = Vec::new();
    if !model.corners.is_empty() {
        let why = "the tubes of an arm meet at a ball or on the upright: no tube runs through there";
        list.push(NotJudged::new("joint", "welds at the outer ends of the corners' tubes", why));
    }
    let stands_on_a_tube = |on: &BracketFoot| matches!(on, BracketFoot::Tubes(_));
    if model.brackets.values().any(|bracket| stands_on_a_tube(&bracket.on)) {
        let why = "the wall under the foot of a tab or bracket is not checked, only tubes welded onto tubes";
        list.push(NotJudged::new("joint", "brackets on tubes", why));
    }
    let mut run_through = vec![0; model.nodes.len()];
    let inner = model.members.values().flat_map(|member| &member.nodes[1..member.nodes.len() - 1]);
    for anchor in inner {
        if let Anchor::Node(node) = anchor {
            run_through[*node] += 1;
        }
    }
    let crossings: Vec<&str> =
        model.nodes.keys().zip(run_through).filter(|(_, count)| *count > 1).map(|(name, _)| name.as_str()).collect();
    if !crossings.is_empty() {
        let why = "two tubes run through there; which of them is cut is not known, and its joint is not judged";
        list.push(NotJudged::new("joint", crossings.join(", "), why));
    }
    list
}

impl Joint {
    fn new(known: &Known<'_>, at_node: &[&WeldedEnd], this: &WeldedEnd, onto: &Onto) -> Result<Self, String> {
        let Known { model, of_member, .. } = known;
        let own_size = model.members[this.member].tube;
        let [chord, brace] = [(onto.chord.size, onto.chord_mm), (own_size, onto.own_mm)]
            .map(|(size, outside_mm)| hollow(model, size, outside_mm));
        let chord = chord.ok_or("the tube it stands on is no round tube or box")?;
        let brace = brace.ok_or(NOT_HOLLOW)?;
        let shape = JointShape { chord, brace, angle_rad: onto.angle_rad };
        let mut others = Vec::new();
        let mut pairs = Vec::new();
        for (other, how) in beside(at_node, this) {
            let (Ok(on), Some(tube)) = (&other.onto, of_member[other.member]) else { continue };
            others.push((tube, other.end, on.angle_rad.sin(), how));
            if let Beside::SameSide(gap_mm) = how {
                let size = model.members[other.member].tube;
                let other_wall_mm = hollow(model, size, on.own_mm).map_or(0.0, |hollow| hollow.wall_mm);
                let is_apart = !chord.is_round && stands_apart(&shape, gap_mm, on.own_mm);
                if !is_apart {
                    pairs.push(Pair { foot_mm: on.foot_mm, gap_mm, other_mm: on.own_mm, other_wall_mm });
                }
            }
        }
        pairs.sort_by(|one, other| one.gap_mm.total_cmp(&other.gap_mm));
        let is_across = others.iter().any(|(_, _, _, how)| *how == Beside::Across);
        let kinds: Vec<JointKind> = pairs.iter().map(|pair| pair.kind(&shape, true)).collect();
        if let Some(why) = out_of_range(&shape, &kinds, is_across) {
            return Err(why);
        }
        let tube = of_member[this.member].expect("every member is a tube of the structure");
        let chord_ends = known.chord_ends(onto);
        let feet: Vec<Foot> = at_node.iter().filter_map(|end| known.foot_of(end)).collect();
        let beside: Vec<_> =
            pairs.iter().map(|pair| gaps::Beside { foot_mm: pair.foot_mm, gap_mm: pair.gap_mm }).collect();
        let half_foot_mm = shape.brace.depth_mm / shape.angle_rad.sin() / 2.0;
        let in_planes = others.iter().any(|(_, _, _, how)| *how == Beside::OtherPlane);
        let gaps = gaps(known.structure, (onto, half_foot_mm), &chord_ends, &feet, &beside, in_planes);
        Ok(Self {
            tube,
            end: this.end,
            onto: onto.clone(),
            shape,
            chord: model.tube_name(TubeRef::Member(onto.chord.members[0])),
            chord_ends,
            beside: others,
            pairs,
            gaps,
        })
    }

    /// The nearest tube on the same side.
    fn nearest(&self) -> Option<Pair> {
        self.pairs.first().copied()
    }

    /// The detail of its walls by Table 8.7.
    fn lattice_detail(&self, structure: &Structure) -> Option<Detail> {
        /// Out of plane, as a part of the chord's width; from memory.
        const MEETS_WITHIN: f64 = 0.02;
        let ([pair], [(_, _, sine, Beside::SameSide(_))]) = (self.pairs.as_slice(), self.beside.as_slice()) else {
            return None;
        };
        let (chord, brace) = (&self.shape.chord, &self.shape.brace);
        let piece = structure.tubes[self.tube].piece_at_end(self.end);
        let off_mm = (structure.pieces[piece].ends[self.end].at - self.onto.chord.at).norm();
        if off_mm > MEETS_WITHIN * chord.width_mm || chord.is_round != brace.is_round {
            return None;
        }
        lattice(&LatticeBrace {
            is_round: chord.is_round,
            width_mm: [brace.width_mm, chord.width_mm],
            wall_mm: [brace.wall_mm, chord.wall_mm],
            angle_rad: [self.shape.angle_rad, sine.asin()],
            gap_mm: pair.gap_mm,
            foot_mm: brace.depth_mm / self.shape.angle_rad.sin(),
        })
    }

    /// Internal forces of a tube so far from its end, and its local axes there.
    fn forces_at(
        structure: &Structure,
        carries: &dyn Carries,
        tube: usize,
        end: usize,
        from_end_mm: f64,
    ) -> (InternalForces, usize) {
        let piece = structure.tubes[tube].piece_at_end(end);
        let length_mm = structure.pieces[piece].axes.length_mm;
        let within = from_end_mm.min(length_mm);
        (carries.at(piece, if end == 0 { within } else { length_mm - within }), piece)
    }

    fn judged(&self, structure: &Structure, carries: &dyn Carries, margin: f64) -> JointJudged {
        let onto = &self.onto;
        let (at_face, piece) = Self::forces_at(structure, carries, self.tube, self.end, onto.face_mm);
        let axes = &structure.pieces[piece].axes;
        let moment = axes.y() * at_face.my + axes.z() * at_face.mz;
        let square = onto.square_to_plane();
        let forces = JointForces {
            n_n: at_face.n,
            in_plane_nmm: moment.dot(&square),
            out_of_plane_nmm: moment.dot(&square.cross(&onto.along)),
            chord_push_mpa: self.chord_push_mpa(structure, carries),
        };
        let square_to_chord_n = forces.n_n * onto.angle_rad.sin();
        let others = |wanted: fn(&Beside) -> bool| {
            let ends = self.beside.iter().filter(move |(_, _, _, how)| wanted(how));
            ends.map(|(tube, end, sine, _)| Self::forces_at(structure, carries, *tube, *end, 0.0).0.n * sine)
        };
        let of_side: f64 = others(|how| matches!(how, Beside::SameSide(_))).sum();
        let is_balanced = (of_side + square_to_chord_n).abs() <= BALANCED_WITHIN * square_to_chord_n.abs();
        let nearest = self.nearest();
        let pair = nearest.map(|pair| pair.kind(&self.shape, forces.n_n < 0.0));
        let is_across = self.beside.iter().any(|(_, _, _, how)| *how == Beside::Across);
        let mut kinds: Vec<JointKind> = pair.into_iter().collect();
        let is_too_tight = nearest.is_some_and(|pair| pair.is_too_tight(&self.shape));
        if !is_balanced || pair.is_none() || is_too_tight {
            kinds.push(JointKind::Alone);
        }
        if is_across {
            kinds.push(JointKind::Cross);
        }
        let in_other_planes: Vec<f64> = others(|how| *how == Beside::OtherPlane).collect();
        let planes = planes_factor(&self.shape, &kinds, square_to_chord_n, &in_other_planes);
        let at_mm = if self.end == 0 { 0.0 } else { structure.tubes[self.tube].length_mm };
        let in_gaps = self.gaps.iter().filter_map(|gap| gap.judged(structure, carries, onto, &self.shape, margin));
        let result = joint(&self.shape, &kinds, planes, &forces, margin).with_gaps(in_gaps);
        let upright = (onto.angle_rad - std::f64::consts::FRAC_PI_2).abs() < 1e-6;
        let kind = match (is_across, pair.is_some() && is_balanced, upright) {
            (true, _, _) => "X",
            (false, true, _) => "K",
            (false, false, true) => "T",
            (false, false, false) => "Y",
        };
        JointJudged {
            end: self.end,
            at_mm,
            chord: self.chord.clone(),
            kind,
            shape: self.shape,
            gap_mm: nearest.map(|pair| pair.gap_mm),
            forces,
            deformed: false,
            result,
        }
    }

    /// The largest push of the chord's outermost fibres on either side of the node, MPa, at least 0.
    fn chord_push_mpa(&self, structure: &Structure, carries: &dyn Carries) -> f64 {
        self.chord_ends
            .iter()
            .map(|(piece, end)| {
                let drawn = &structure.pieces[*piece];
                let forces = carries.at(*piece, if *end == 0 { 0.0 } else { drawn.axes.length_mm });
                let p = &structure.tubes[drawn.tube].properties;
                let (about_y, about_z) = (forces.my.abs() * p.cz_mm / p.iy_mm4, forces.mz.abs() * p.cy_mm / p.iz_mm4);
                let bending = if self.shape.chord.is_round { about_y.hypot(about_z) } else { about_y + about_z };
                bending - forces.n / p.area_mm2
            })
            .fold(0.0, f64::max)
    }
}

impl Pair {
    fn kind(&self, shape: &JointShape, is_pushed: bool) -> JointKind {
        let pushed_mm = if is_pushed { shape.brace.width_mm } else { self.other_mm[0] };
        JointKind::Pair { gap_mm: self.gap_mm, other_mm: self.other_mm, pushed_mm }
    }

    fn is_too_tight(&self, shape: &JointShape) -> bool {
        is_too_tight(shape, self.gap_mm, self.other_wall_mm)
    }
}

/// What braces in other planes leave of the axial resistance: EN 1993-1-8 Table 7.7 (round) and the
/// like of boxes, for planes 60° to 90° apart, from memory; taken for all angles.
///
/// ```text
/// round  TT 1.0   XX 1 + 0.33 N2/N1   KK 0.9         box  TT 0.9   XX 0.9 (1 + 0.33 N2/N1)   KK 0.9
/// ```
/// N2/N1 counts where it is below 0, and at most to −1.
fn planes_factor(shape: &JointShape, kinds: &[JointKind], own_n: f64, others_n: &[f64]) -> f64 {
    if others_n.is_empty() {
        return 1.0;
    }
    let is_pair = kinds.iter().any(|kind| matches!(kind, JointKind::Pair { .. }));
    let least_ratio = others_n.iter().map(|other| if own_n == 0.0 { 0.0 } else { other / own_n }).fold(0.0, f64::min);
    let cross = if kinds.contains(&JointKind::Cross) { 1.0 + 0.33 * least_ratio.max(-1.0) } else { 1.0 };
    let by_section = if is_pair || !shape.chord.is_round { 0.9 } else { 1.0 };
    if shape.chord.is_round { cross.min(by_section) } else { cross * by_section }
}

/// What is known of a model taken apart.
struct Known<'m> {
    model: &'m Model,
    structure: &'m Structure,
    /// The tube of the structure that each member is.
    of_member: Vec<Option<usize>>,
}

impl Known<'_> {
    /// Where a welded end's foot stands along its chord, mm, and the piece there.
    fn foot_of(&self, end: &WeldedEnd) -> Option<Foot> {
        let tube = self.of_member[end.member]?;
        let foot_mm = end.onto.as_ref().ok()?.foot_mm;
        Some(Foot { foot_mm, piece: (self.structure.tubes[tube].piece_at_end(end.end), end.end) })
    }

    /// The pieces of a chord that meet at its place, and which end of them.
    fn chord_ends(&self, onto: &Onto) -> Vec<PieceAtEnd> {
        const HERE_MM: f64 = 1e-3;
        let structure = self.structure;
        let [one, other] = onto.chord.members;
        let members = if one == other { vec![one] } else { vec![one, other] };
        let tubes = members.into_iter().filter_map(|member| self.of_member[member]);
        let mut ends: Vec<(usize, usize, f64)> = tubes
            .flat_map(|tube| structure.tubes[tube].pieces.clone())
            .flat_map(|piece| {
                let away_mm = |end: usize| (structure.pieces[piece].ends[end].at - onto.chord.at).norm();
                [(piece, 0, away_mm(0)), (piece, 1, away_mm(1))]
            })
            .collect();
        let nearest_mm = ends.iter().map(|(_, _, away_mm)| *away_mm).fold(f64::INFINITY, f64::min);
        ends.retain(|(_, _, away_mm)| *away_mm <= nearest_mm + HERE_MM);
        ends.into_iter().map(|(piece, end, _)| (piece, end)).collect()
    }
}

fn hollow(model: &Model, size: usize, outside_mm: [f64; 2]) -> Option<Hollow> {
    let material = model.material_of(size);
    let (is_round, wall_mm) = match &model.tubes[size].section {
        Section::Round(tube) => (true, tube.wall_mm),
        Section::Box(tube) => (false, tube.wall_mm),
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => return None,
    };
    Some(Hollow {
        is_round,
        width_mm: outside_mm[0],
        depth_mm: outside_mm[1],
        wall_mm,
        yield_mpa: material.yield_mpa,
        yield_at_weld_mpa: material.yield_at_weld_mpa,
        youngs_modulus_mpa: material.youngs_modulus_mpa,
    })
}
