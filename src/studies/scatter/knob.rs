//! One number of a model that is turned: between what, and what it changes.

use super::quantities::Spread;
use crate::model::{Anchor, BracketFoot, Model, Vehicle};
use crate::run::{OpenMount, joint_between};
use crate::section::{BoxTube, Finish, RoundTube, Section, standard_radii_mm};
use crate::units::brief;

/// A figure of the car.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CarFigure {
    /// Mass, kg.
    Mass,
    /// Distance between the axles, mm.
    Wheelbase,
    /// Distance between the front wheels, mm.
    TrackFront,
    /// Distance between the rear wheels, mm.
    TrackRear,
    /// Height of the centre of gravity, mm.
    CgHeight,
    /// How far it is behind the front axle, mm.
    CgBehindFrontAxle,
    /// How far it is left of the middle, mm.
    CgLeft,
    /// The front's part of the lateral load transfer.
    LateralTransferShareFront,
    /// The front's part of the braking force.
    BrakeShareFront,
    /// The front's part of the driving force.
    DriveShareFront,
    /// Horizontal over vertical force that a tyre can give.
    TyreGrip,
    /// How far behind the middle of the patch a side force acts, mm.
    PneumaticTrail,
}

impl CarFigure {
    /// All of them.
    pub const ALL: [CarFigure; 12] = [
        CarFigure::Mass,
        CarFigure::Wheelbase,
        CarFigure::TrackFront,
        CarFigure::TrackRear,
        CarFigure::CgHeight,
        CarFigure::CgBehindFrontAxle,
        CarFigure::CgLeft,
        CarFigure::LateralTransferShareFront,
        CarFigure::BrakeShareFront,
        CarFigure::DriveShareFront,
        CarFigure::TyreGrip,
        CarFigure::PneumaticTrail,
    ];

    /// Its keys in `vehicle`.
    pub fn name(self) -> &'static str {
        match self {
            CarFigure::Mass => "mass",
            CarFigure::Wheelbase => "wheelbase",
            CarFigure::TrackFront => "track.front",
            CarFigure::TrackRear => "track.rear",
            CarFigure::CgHeight => "cg.height",
            CarFigure::CgBehindFrontAxle => "cg.behind_front_axle",
            CarFigure::CgLeft => "cg.left",
            CarFigure::LateralTransferShareFront => "lateral_transfer_share_front",
            CarFigure::BrakeShareFront => "brake_share_front",
            CarFigure::DriveShareFront => "drive_share_front",
            CarFigure::TyreGrip => "tyre_grip",
            CarFigure::PneumaticTrail => "pneumatic_trail",
        }
    }

    /// What the file has; `None`: nothing.
    pub(super) fn get(self, car: &Vehicle) -> Option<f64> {
        match self {
            CarFigure::Mass => Some(car.mass_kg),
            CarFigure::Wheelbase => Some(car.wheelbase_mm),
            CarFigure::TrackFront => Some(car.track_mm[0]),
            CarFigure::TrackRear => Some(car.track_mm[1]),
            CarFigure::CgHeight => Some(car.cg_height_mm),
            CarFigure::CgBehindFrontAxle => Some(car.cg_behind_front_axle_mm),
            CarFigure::CgLeft => Some(car.cg_left_mm),
            CarFigure::LateralTransferShareFront => Some(car.lateral_transfer_share_front),
            CarFigure::BrakeShareFront => car.brake_share_front,
            CarFigure::DriveShareFront => car.drive_share_front,
            CarFigure::TyreGrip => car.tyre_grip,
            CarFigure::PneumaticTrail => car.pneumatic_trail_mm,
        }
    }

    fn set(self, car: &mut Vehicle, value: f64) {
        match self {
            CarFigure::Mass => car.mass_kg = value,
            CarFigure::Wheelbase => car.wheelbase_mm = value,
            CarFigure::TrackFront => car.track_mm[0] = value,
            CarFigure::TrackRear => car.track_mm[1] = value,
            CarFigure::CgHeight => car.cg_height_mm = value,
            CarFigure::CgBehindFrontAxle => car.cg_behind_front_axle_mm = value,
            CarFigure::CgLeft => car.cg_left_mm = value,
            CarFigure::LateralTransferShareFront => car.lateral_transfer_share_front = value,
            CarFigure::BrakeShareFront => car.brake_share_front = Some(value),
            CarFigure::DriveShareFront => car.drive_share_front = Some(value),
            CarFigure::TyreGrip => car.tyre_grip = Some(value),
            CarFigure::PneumaticTrail => car.pneumatic_trail_mm = Some(value),
        }
    }

    fn is_share(self) -> bool {
        matches!(self, CarFigure::LateralTransferShareFront | CarFigure::BrakeShareFront | CarFigure::DriveShareFront)
    }
}

/// What is turned.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// A figure of the car.
    Car(CarFigure),
    /// The factor on the finished loads of a case, an index into [`Model::cases`].
    Load(usize),
    /// The wall of a tube size, an index into [`Model::tubes`], mm.
    Wall(usize),
    /// How far a node or bracket is off along one of the three axes, mm.
    Place(Anchor, usize),
    /// A mount: 0 by one bolt, 1 as a bolted pad.
    Mount(OpenMount),
    /// By which part of what a formula estimates the welds turn.
    Joints,
}

/// One number of a model and between what it lies.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Knob {
    /// What is turned.
    pub what: What,
    /// The least.
    pub low: f64,
    /// The most.
    pub high: f64,
    /// Its place among the random numbers of a draw.
    pub draw: u32,
}

/// Least change of a wall to both sides by EN 10305-1, mm (from memory).
const LEAST_OF_A_WALL_MM: f64 = 0.1;

impl What {
    /// The knob; `None`: it is not turned.
    ///
    /// # Errors
    /// That an end cannot be, as the rest of a sentence.
    pub(super) fn knob(
        self,
        model: &Model,
        given: f64,
        spread: &Spread,
        as_usual: bool,
        draw: u32,
    ) -> Result<Option<Knob>, String> {
        let by = match spread {
            Spread::By(by) => *by,
            Spread::Part(_) if matches!(self, What::Place(..)) => {
                return Err("is a place: how far it may be off is a length, such as 2 (mm)".to_owned());
            }
            Spread::Part(part) if as_usual && self.is_round_wall(model) => (part * given).max(LEAST_OF_A_WALL_MM),
            Spread::Part(part) => (part * given).abs(),
            Spread::Between(_) => return Ok(Some(Knob { what: self, low: 0.0, high: 1.0, draw })),
        };
        if by == 0.0 {
            return Ok(None);
        }
        let (mut low, mut high) = (given - by, given + by);
        let bounds = self.bounds(model);
        if matches!(self, What::Car(figure) if figure.is_share()) {
            (low, high) = (low.max(0.0), high.min(1.0));
        } else if low <= bounds[0] || high >= bounds[1] {
            let (end, bound, word) =
                if low <= bounds[0] { (low, bounds[0], "above") } else { (high, bounds[1], "below") };
            return Err(format!(
                "is {} ± {}, which reaches {}; it must stay {word} {}",
                brief(given),
                brief(by),
                brief(end),
                brief(bound)
            ));
        }
        Ok(Some(Knob { what: self, low, high, draw }))
    }

    /// Between what it must stay, both excluded.
    fn bounds(self, model: &Model) -> [f64; 2] {
        match self {
            What::Car(CarFigure::CgLeft) => [f64::NEG_INFINITY, f64::INFINITY],
            What::Car(CarFigure::CgBehindFrontAxle) => {
                [0.0, model.vehicle.as_ref().map_or(f64::INFINITY, |car| car.wheelbase_mm)]
            }
            What::Car(_) | What::Load(_) => [0.0, f64::INFINITY],
            What::Wall(at) => match model.tubes[at].section {
                Section::Round(tube) => [0.0, tube.od_mm / 2.0],
                Section::Box(tube) => [0.0, tube.width_mm.min(tube.depth_mm) / 2.0],
                Section::Bar(_) | Section::Flat(_) | Section::Given(_) => [0.0, f64::INFINITY],
            },
            What::Place(..) | What::Mount(_) | What::Joints => [f64::NEG_INFINITY, f64::INFINITY],
        }
    }

    /// Turns it to a value, in a model that has it as the file does.
    pub(super) fn set(self, model: &mut Model, value: f64) {
        match self {
            What::Car(figure) => {
                if let Some(car) = &mut model.vehicle {
                    figure.set(car, value);
                }
            }
            What::Load(at) => model.cases[at].factor = value,
            What::Wall(at) => set_wall(model, at, value),
            What::Place(anchor, axis) => shift(model, anchor, axis, value),
            What::Mount(mount) => mount.set(model, value >= 0.5),
            What::Joints => joint_between(model, value),
        }
    }
}

impl Knob {
    /// The value of a number from 0 to 1; of a mount one of both.
    pub fn value(&self, part: f64) -> f64 {
        match self.what {
            What::Mount(_) => part.round(),
            _ => self.low + (self.high - self.low) * part,
        }
    }
}

/// Another wall with the same outside; corners of a box that are the standard's go with it.
fn set_wall(model: &mut Model, at: usize, wall_mm: f64) {
    let material = model.materials[model.tubes[at].material].material;
    let size = &mut model.tubes[at];
    size.section = match size.section {
        Section::Round(tube) => Section::Round(RoundTube { wall_mm, ..tube }),
        Section::Box(tube) => Section::Box(with_wall(tube, wall_mm, material.finish)),
        other => other,
    };
    size.properties = size.section.properties(material.poisson().clamp(0.0, 0.5));
}

fn with_wall(tube: BoxTube, wall_mm: f64, finish: Finish) -> BoxTube {
    let is_standard = standard_radii_mm(tube.wall_mm, finish) == (tube.outer_radius_mm, tube.inner_radius_mm);
    let (outer_radius_mm, inner_radius_mm) = if is_standard {
        standard_radii_mm(wall_mm, finish)
    } else {
        (tube.outer_radius_mm, (tube.outer_radius_mm - wall_mm).max(0.0))
    };
    BoxTube { wall_mm, outer_radius_mm, inner_radius_mm, ..tube }
}

/// A node or bracket elsewhere; what has a place of its own beside it (the ends of tubes there, brackets that stand
/// on it) goes with it.
fn shift(model: &mut Model, anchor: Anchor, axis: usize, by_mm: f64) {
    match anchor {
        Anchor::Node(at) => {
            model.nodes[at].at[axis] += by_mm;
            for bracket in model.brackets.values_mut().filter(|bracket| bracket.on == BracketFoot::Node(at)) {
                bracket.at[axis] += by_mm;
            }
        }
        Anchor::Bracket(at) => model.brackets[at].at[axis] += by_mm,
    }
    for member in model.members.values_mut() {
        let ends = [member.nodes.first().copied(), member.nodes.last().copied()];
        for (end_at, node) in member.end_at.iter_mut().zip(ends) {
            if let Some(end_at) = end_at.as_mut().filter(|_| node == Some(anchor)) {
                end_at[axis] += by_mm;
            }
        }
    }
}
