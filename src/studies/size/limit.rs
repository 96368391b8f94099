//! What a design is held against at once: the limits of a model, and the right sides under which each is read.
//!
//! Leaves out cases that move the ground, and all but twist where anti-roll bars hang on the design. Where standing moves
//! the ground, what is counted from there is left out too.

use nalgebra::{DVector, Vector3, Vector6};

use crate::car::wheel_loads;
use crate::checks::{Check, ColumnForces, ColumnInput, column};
use crate::loads::{Cause, case_loads};
use crate::model::{Anchor, Fault, Model, STANDING};
use crate::run::WheelChange;
use crate::solve::{Assortment, RightSide, System, TwoForce};

/// A limit of one case.
pub(super) struct Limit {
    /// The check.
    pub(super) check: Check,
    /// The case.
    pub(super) case: String,
    /// Where.
    pub(super) place: String,
    /// The right side under which it is read.
    pub(super) side: usize,
    /// What is read.
    pub(super) of: Of,
}

/// What is read.
pub(super) enum Of {
    /// How far a point of a part moves, mm.
    Shift { part: usize, arm: Vector3<f64>, allowed_mm: f64 },
    /// A sum of motions, by its magnitude.
    Sum { row: DVector<f64>, allowed: f64 },
    /// Normal stress at an end (0 or 1) of a piece of a tube.
    Stress { tube: usize, piece: usize, end: usize, is_weld: bool, margin: f64 },
    /// The push in a piece that carries nothing else, against what it carries in each size.
    Push { piece: usize, two_force: TwoForce, allowed_n: Vec<f64> },
}

/// A limit counts as passed only by more than this part of it: above what rounding can do.
pub const MARGIN: f64 = 1e-6;

pub(super) fn over_limit(value: f64, allowed: f64) -> f64 {
    if allowed > 0.0 {
        value / allowed
    } else if value > 0.0 {
        f64::INFINITY
    } else {
        0.0
    }
}

/// A limit before its rows are known.
pub(super) struct Draft {
    check: Check,
    case: String,
    place: String,
    side: usize,
    of: Drafted,
}

/// What is to be read.
enum Drafted {
    /// How far a point of a part moves, or a stress.
    Known(Of),
    /// A sum of motions of parts, by its magnitude.
    Sum(Vec<(usize, Vector6<f64>)>, f64),
    /// The push in a piece, with the margin of its check.
    Push(usize, f64),
}

impl Draft {
    /// The limit on what a structure has as its unknowns, its sizes (indices into the tubes of a model) those of the
    /// stock; `None`: what is pushed is not pushed alone.
    pub(super) fn on(self, assortment: &Assortment, model: &Model, stock: &[usize]) -> Option<Limit> {
        let of = match self.of {
            Drafted::Known(of) => of,
            Drafted::Sum(motions, allowed) => {
                let none = assortment.row_of_part(0, &Vector6::zeros());
                let row = motions.iter().fold(none, |row, (part, six)| row + assortment.row_of_part(*part, six));
                Of::Sum { row, allowed }
            }
            Drafted::Push(piece, margin) => {
                let two_force = assortment.two_force(piece)?;
                let length_mm = assortment.drawn().structure.pieces[piece].axes.length_mm;
                let allowed = stock.iter().zip(&two_force.buckles_at_n).map(|(size, buckles_at_n)| {
                    let limit_n = if self.check == Check::Column {
                        column_resistance_n(model, *size, length_mm)
                    } else {
                        *buckles_at_n
                    };
                    limit_n / margin
                });
                Of::Push { allowed_n: allowed.collect(), piece, two_force }
            }
        };
        Some(Limit { check: self.check, case: self.case, place: self.place, side: self.side, of })
    }
}

/// The push that a pin-ended column of a size carries, N, both axes looked at.
fn column_resistance_n(model: &Model, size: usize, length_mm: f64) -> f64 {
    let (tube, material) = (&model.tubes[size], model.material_of(size));
    let input = ColumnInput {
        section: &tube.section,
        properties: &tube.properties,
        material,
        length_mm,
        forces: ColumnForces { push_n: 0.0, my_nmm: 0.0, mz_nmm: 0.0, cm: [1.0; 2] },
        margin: 1.0,
        frame_n_cr_n: None,
    };
    let [about_y, about_z] = column(&input).n_b_rd_n;
    about_y.min(about_z)
}

/// The right sides of a model, and what is read under each.
pub(super) fn right_sides(model: &Model, system: &System) -> Result<(Vec<RightSide>, Vec<Draft>), Fault> {
    let structure = &system.structure;
    let (mut sides, mut drafts) = (Vec::new(), Vec::new());
    let standing_case = model.cases.get(STANDING);
    let standing_moves = standing_case.is_some_and(|case| !case.moved.is_empty());
    let standing = match standing_case.filter(|_| !standing_moves) {
        Some(case) => {
            let wheels = wheel_loads(model, STANDING, case)?;
            Some(system.right_side(&case_loads(model, structure, case, &wheels)))
        }
        None => None,
    };
    let pickups = pickups(model);
    for (name, case) in model.cases.iter().filter(|(_, case)| case.moved.is_empty()) {
        let wheels = wheel_loads(model, name, case)?;
        let loads = case_loads(model, structure, case, &wheels);
        let limits = &case.limits;
        let draft = |check: Check, place: &str, side: usize, of: Drafted| Draft {
            check,
            case: name.clone(),
            place: place.to_owned(),
            side,
            of,
        };
        let shift = |anchor: Anchor| {
            let part = structure.part_of(anchor);
            (part, model.anchor_at(anchor) - structure.parts[part].origin)
        };
        let twist_loads = loads.iter().find(|contribution| contribution.cause == Cause::Twist);
        if let (Some(test), Some(least), Some(loads)) = (&case.twist, limits.twist_nm_deg, twist_loads) {
            let lever_mm = test.lever_mm(model);
            let sum = test.axle.iter().zip([1.0, -1.0]).map(|(anchor, sign)| {
                let (part, arm) = shift(*anchor);
                let up = Vector3::z() * (sign / lever_mm);
                let turn = arm.cross(&up);
                (part, Vector6::new(up.x, up.y, up.z, turn.x, turn.y, turn.z))
            });
            let allowed = (test.moment_nmm * case.factor / 1000.0 / least).abs().to_radians();
            drafts.push(draft(Check::Twist, name, sides.len(), Drafted::Sum(sum.collect(), allowed)));
            sides.push(system.right_side(std::slice::from_ref(loads)));
        }
        if !model.anti_roll.is_empty() {
            continue;
        }
        let whole = system.right_side(&loads);
        let from = standing.as_ref().filter(|_| case.g.is_some());
        let mut change = whole.clone();
        if let Some(standing) = from {
            change.add(standing, -1.0);
        }
        let tells_movement = name != STANDING && !(standing_moves && case.g.is_some());
        if let Some(allowed_mm) = limits.pickup_move_mm.filter(|_| tells_movement) {
            for anchor in &pickups {
                let (part, arm) = shift(*anchor);
                let of = Drafted::Known(Of::Shift { part, arm, allowed_mm });
                drafts.push(draft(Check::PickupMove, model.anchor_name(*anchor), sides.len(), of));
            }
        }
        for (check, allowed_deg) in [(Check::Toe, limits.toe_deg), (Check::Camber, limits.camber_deg)] {
            let Some(allowed_deg) = allowed_deg.filter(|_| tells_movement) else { continue };
            for (corner, part) in model.corners.iter().zip(&structure.uprights) {
                let per = |axis: usize| {
                    let change = WheelChange::of_turn(corner.wheel, &Vector3::ith(axis, 1.0));
                    if check == Check::Toe { change.toe_deg } else { change.camber_deg }
                };
                let six = Vector6::new(0.0, 0.0, 0.0, per(0), per(1), per(2));
                let of = Drafted::Sum(vec![(*part, six)], allowed_deg.to_radians());
                drafts.push(draft(check, corner.wheel.name(), sides.len(), of));
            }
        }
        if from.is_some() {
            sides.push(change);
        }
        if let Some(margin) = limits.yield_margin {
            for (at, tube) in structure.tubes.iter().enumerate().filter(|(_, tube)| tube.size.is_some()) {
                for piece in tube.pieces.clone() {
                    let drawn = &structure.pieces[piece];
                    for (end, at_mm) in [(0, drawn.start_mm), (1, drawn.start_mm + drawn.axes.length_mm)] {
                        let is_weld = tube.welds_mm.iter().any(|weld| (weld - at_mm).abs() < 1e-6);
                        let of = Drafted::Known(Of::Stress { tube: at, piece, end, is_weld, margin });
                        drafts.push(draft(Check::Yield, &structure.tube_name(model, at), sides.len(), of));
                    }
                }
            }
        }
        for (check, margin) in [(Check::Buckling, limits.buckling_margin), (Check::Column, limits.column_margin)] {
            let Some(margin) = margin else { continue };
            // A tube of several pieces is held where they meet.
            for (at, tube) in structure.tubes.iter().enumerate().filter(|(_, tube)| tube.pieces.len() == 1) {
                let of = Drafted::Push(tube.pieces.start, margin);
                drafts.push(draft(check, &structure.tube_name(model, at), sides.len(), of));
            }
        }
        sides.push(whole);
    }
    Ok((sides, drafts))
}

/// Nodes and brackets whose movement is judged.
fn pickups(model: &Model) -> Vec<Anchor> {
    let marked = (0..model.nodes.len()).filter(|at| model.nodes[*at].pickup).map(Anchor::Node);
    let mut pickups: Vec<Anchor> = Vec::new();
    for anchor in marked.chain(model.pickups()) {
        if !pickups.contains(&anchor) {
            pickups.push(anchor);
        }
    }
    pickups
}
