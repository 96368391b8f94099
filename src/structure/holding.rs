//! What holds the parts of a structure: joints, mounts and the balls of arms, as ties and springs.

use nalgebra::{Matrix3, Point3, Vector3};

use super::{Direction, Origin, Spring, Structure, Tie};
use crate::beam::{Flex, Joint};
use crate::model::{Anchor, BodyHold, Held, Hold, Model};

/// A joint as ties and springs between two parts, in the tube's local axes.
pub(super) fn join(
    structure: &mut Structure,
    part: usize,
    holder: usize,
    at: Point3<f64>,
    rotation: &Matrix3<f64>,
    joint: &Joint,
    origin: Origin,
) {
    if part == holder {
        return;
    }
    for (motion, (own, flex)) in joint.directions().into_iter().enumerate() {
        let local: Vector3<f64> =
            if motion < 3 { own.fixed_rows::<3>(0).into() } else { own.fixed_rows::<3>(3).into() };
        let axis = rotation.tr_mul(&local);
        let direction = if motion < 3 { Direction::Shift(axis) } else { Direction::Turn(axis) };
        match flex {
            Flex::Rigid => structure.ties.push(Tie { part, holder: Some(holder), at, direction, origin, motion }),
            Flex::Rate(rate) => {
                structure.springs.push(Spring { part, holder: Some(holder), at, direction, rate, origin, motion });
            }
            Flex::Free => {}
        }
    }
}

/// The three shifts of an arm's ball on its upright.
pub(super) fn tie_ball(corner: usize, part: usize, at: Point3<f64>, structure: &mut Structure) {
    let holder = Some(structure.uprights[corner]);
    for motion in 0..3 {
        let direction = Direction::Shift(axis(motion));
        structure.ties.push(Tie { part, holder, at, direction, origin: Origin::Ball(corner), motion });
    }
}

fn axis(motion: usize) -> Vector3<f64> {
    Vector3::ith(motion % 3, 1.0)
}

/// Holds the parts that only tubes of the corners carried: brackets on them.
pub(super) fn hold_what_is_left_out(structure: &mut Structure) {
    let mut is_carried = vec![false; structure.parts.len()];
    let of_pieces = structure.pieces.iter().flat_map(|piece| piece.ends.map(|end| end.part));
    let of_ties = structure.ties.iter().flat_map(|tie| [Some(tie.part), tie.holder]).flatten();
    let of_springs = structure.springs.iter().flat_map(|spring| [Some(spring.part), spring.holder]).flatten();
    for part in of_pieces.chain(of_ties).chain(of_springs) {
        is_carried[part] = true;
    }
    for (part, _) in is_carried.iter().enumerate().filter(|(_, carried)| !**carried) {
        let at = structure.parts[part].origin;
        for motion in 0..6 {
            let direction = if motion < 3 { Direction::Shift(axis(motion)) } else { Direction::Turn(axis(motion)) };
            structure.ties.push(Tie { part, holder: None, at, direction, origin: Origin::LeftOut, motion });
        }
    }
}

/// The mounts of the ground and of the bodies.
pub(super) fn hold_mounts(model: &Model, structure: &mut Structure) {
    for (at, mount) in model.mounts.iter().enumerate() {
        hold(model, mount.at, &mount.hold, None, Origin::Mount(at), structure);
    }
    for (at, body) in model.bodies.values().enumerate() {
        let holder = Some(structure.bodies[at]);
        for (place, mount) in body.mounts.iter().enumerate() {
            let origin = Origin::BodyMount(at, place);
            match &mount.hold {
                BodyHold::Directions(directions) => hold(model, mount.at, directions, holder, origin, structure),
                BodyHold::Rides => hold(model, mount.at, &[Held::Fixed; 6], holder, origin, structure),
                BodyHold::Clamp(line) => {
                    let shifts = [Held::Fixed, Held::Fixed, Held::Fixed, Held::Free, Held::Free, Held::Free];
                    hold(model, mount.at, &shifts, holder, origin, structure);
                    let part = structure.part_of(mount.at);
                    let direction = Direction::Turn(*line);
                    let tie = Tie { part, holder, at: model.anchor_at(mount.at), direction, origin, motion: 3 };
                    structure.ties.push(tie);
                }
            }
        }
    }
}

fn hold(model: &Model, anchor: Anchor, hold: &Hold, holder: Option<usize>, origin: Origin, structure: &mut Structure) {
    let (part, at) = (structure.part_of(anchor), model.anchor_at(anchor));
    if holder == Some(part) {
        return;
    }
    for (motion, held) in hold.iter().enumerate() {
        let direction = if motion < 3 { Direction::Shift(axis(motion)) } else { Direction::Turn(axis(motion)) };
        match *held {
            Held::Free => {}
            Held::Fixed => structure.ties.push(Tie { part, holder, at, direction, origin, motion }),
            Held::Rate(rate) => structure.springs.push(Spring { part, holder, at, direction, rate, origin, motion }),
        }
    }
}
