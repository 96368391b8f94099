//! What is odd but no error.

use nalgebra::Point3;

use super::doubled::doubled;
use super::odd::odd;
use super::use_of_names::idle_brackets;
use crate::beam::mass::tube_mass_kg;
use crate::beam::{VERTICAL_WITHIN_DEG, is_near_vertical};
use crate::math::larger_than;
use crate::model::{AXLES, Anchor, Member, Model, Wheel, other_side};
use crate::units::{brief, figures, told_apart};

/// Warnings that the model alone gives.
pub(super) fn warnings(model: &Model) -> Vec<String> {
    let mut warnings = Vec::new();
    track(model, &mut warnings);
    mass(model, &mut warnings);
    for (name, member) in &model.members {
        if model.mirror && other_side(name) == *name && !is_own_mirror_image(model, member) {
            warnings.push(format!(
                "member \"{name}\" is not its own mirror image and has no twin; if both sides have one, end its name in .l"
            ));
        }
        shape(model, name, member, &mut warnings);
        bends(model, name, member, &mut warnings);
    }
    corner_tubes(model, &mut warnings);
    warnings.extend(doubled(model));
    warnings.extend(idle_brackets(model));
    warnings.extend(odd(model));
    once(&warnings)
}

/// What is told of a mirror twin as of its original is told of the original alone.
fn once(warnings: &[String]) -> Vec<String> {
    let of_original = |warning: &str| warning.replace(".r\"", ".l\"").replace(".r/", ".l/");
    warnings
        .iter()
        .filter(|warning| of_original(warning) == **warning || !warnings.contains(&of_original(warning)))
        .cloned()
        .collect()
}

/// Contact patches and `track` that differ by more than 2 %.
fn track(model: &Model, warnings: &mut Vec<String>) {
    let Some(vehicle) = &model.vehicle else { return };
    for (axle, name) in AXLES.into_iter().enumerate() {
        let patch = |left: bool| model.corner(Wheel::of_axle(axle, left)).map(|corner| corner.contact_patch.y);
        let drawn = match (patch(true), patch(false)) {
            (Some(left), Some(right)) => left - right,
            (Some(left), None) => 2.0 * left,
            (None, Some(right)) => -2.0 * right,
            (None, None) => continue,
        };
        let given = vehicle.track_mm[axle];
        if (drawn - given).abs() > 0.02 * given {
            warnings.push(format!(
                "the {} contact patches are {} mm apart as drawn, but vehicle.track.{} is {} mm",
                name,
                brief(drawn),
                name,
                brief(given)
            ));
        }
    }
}

/// Mass of all tubes of the frame and of the corners, kg.
fn tube_masses(model: &Model) -> f64 {
    let mass = |tube: usize, axis: &[Point3<f64>]| {
        let length: f64 = axis.windows(2).map(|piece| (piece[1] - piece[0]).norm()).sum();
        tube_mass_kg(model.tubes[tube].properties.area_mm2, length, model.material_of(tube).density_kg_m3)
    };
    let frame: f64 = model.members.values().map(|member| mass(member.tube, &model.member_axis(member))).sum();
    let corners: f64 = model
        .corners
        .iter()
        .flat_map(|corner| corner.kind.tubes())
        .map(|tube| mass(tube.tube, &[model.anchor_at(tube.inner), tube.outer]))
        .sum();
    frame + corners
}

/// Parts that are heavier together than the whole car.
fn mass(model: &Model, warnings: &mut Vec<String>) {
    let Some(vehicle) = &model.vehicle else { return };
    let bodies: f64 = model.bodies.values().map(|body| body.mass_kg).sum();
    let unsprung: f64 = model.corners.iter().map(|corner| corner.unsprung_kg).sum();
    let parts = bodies + unsprung + tube_masses(model);
    // A car whose parts are all in the model may weigh what they do, to the digits of the file.
    if let Some([parts, given]) = told_apart(parts, vehicle.mass_kg).filter(|_| parts > vehicle.mass_kg) {
        warnings.push(format!(
            "bodies, unsprung masses and tubes come to {parts} kg, more than vehicle.mass of {given} kg"
        ));
    }
}

/// Whether a member is its own image in the plane y = 0, run through either way.
fn is_own_mirror_image(model: &Model, member: &Member) -> bool {
    let axis = model.member_axis(member);
    let same = |one: &Point3<f64>, other: &Point3<f64>| (one - Point3::new(other.x, -other.y, other.z)).norm() < 0.01;
    let forwards = axis.iter().zip(&axis).all(|(one, other)| same(one, other));
    let backwards = axis.iter().zip(axis.iter().rev()).all(|(one, other)| same(one, other));
    forwards || (backwards && member.joints[0] == member.joints[1] && member.tube_on_tube[0] == member.tube_on_tube[1])
}

/// Tubes shorter than their diameter, and near-vertical ones whose axes were not chosen.
fn shape(model: &Model, name: &str, member: &Member, warnings: &mut Vec<String>) {
    let axis = model.member_axis(member);
    let length: f64 = axis.windows(2).map(|piece| (piece[1] - piece[0]).norm()).sum();
    let section = &model.tubes[member.tube].section;
    if length < section.largest_mm() {
        warnings.push(too_short(name, length, section.largest_mm()));
    }
    let plain_joints = member.joints.iter().all(|joint| joint.my == joint.mz);
    let vertical = axis.windows(2).any(|piece| is_near_vertical(&(piece[1] - piece[0])));
    if vertical && member.orientation.up.is_none() && !(section.is_round() && plain_joints) {
        warnings.push(format!(
            "tube \"{name}\" is within {VERTICAL_WITHIN_DEG} degrees of vertical and its section or joint is not the same all round: its local z was taken towards global X; give \"up\" to choose"
        ));
    }
}

fn too_short(name: &str, length_mm: f64, outside_mm: f64) -> String {
    // A tenth of its outside is no stub, but a length in metres or inches.
    let unit =
        if length_mm < 0.1 * outside_mm { "; is one of its ends in another unit? a bare number is in mm" } else { "" };
    format!(
        "tube \"{name}\" is {} mm long, less than its outside of {} mm: so short a tube does not bend as this model has it{unit}",
        figures(length_mm, 3),
        brief(outside_mm)
    )
}

fn corner_tubes(model: &Model, warnings: &mut Vec<String>) {
    for corner in &model.corners {
        for tube in corner.kind.tubes() {
            let name = format!("{}/{}", corner.wheel.name(), tube.name);
            let along = tube.outer - model.anchor_at(tube.inner);
            let section = &model.tubes[tube.tube].section;
            if along.norm() < section.largest_mm() {
                warnings.push(too_short(&name, along.norm(), section.largest_mm()));
            }
            if is_near_vertical(&along) && tube.orientation.up.is_none() && !section.is_round() {
                warnings.push(format!(
                    "tube \"{name}\" is within {VERTICAL_WITHIN_DEG} degrees of vertical and its section is not the same all round: its local z was taken towards global X; give \"up\" to choose"
                ));
            }
        }
    }
}

/// A tube that turns by more than this at a node comes back on itself, degrees.
const TURNS_BACK_DEG: f64 = 170.0;

/// Bends that cannot be made, and nodes that other parts use and that a real bend would miss by more
/// than half the diameter.
fn bends(model: &Model, name: &str, member: &Member, warnings: &mut Vec<String>) {
    let Some(radius) = member.bend_radius_mm else { return };
    let axis = model.member_axis(member);
    let half = model.tubes[member.tube].section.largest_mm() / 2.0;
    let turns: Vec<f64> =
        axis.windows(3).map(|corner| (corner[1] - corner[0]).angle(&(corner[2] - corner[1]))).collect();
    if let Some(place) = turns.iter().position(|turn| turn.to_degrees() > TURNS_BACK_DEG) {
        warnings.push(format!(
            "tube \"{name}\" turns back on itself at node \"{}\", by {}°, which no bend does: are its nodes in order?",
            model.anchor_name(member.nodes[place + 1]),
            figures(turns[place].to_degrees(), 3)
        ));
        return;
    }
    // A bend begins and ends this far from its node.
    let tangent_mm = |bend: usize| radius * (turns[bend] / 2.0).tan();
    for (place, piece) in axis.windows(2).enumerate() {
        let length_mm = (piece[1] - piece[0]).norm();
        let bends = [place.checked_sub(1), (place < turns.len()).then_some(place)];
        let needed_mm: f64 = bends.into_iter().flatten().map(tangent_mm).sum();
        if larger_than(needed_mm, length_mm) {
            warnings.push(format!(
                "the bends of \"{name}\" need {} mm of the {} mm between nodes \"{}\" and \"{}\": a smaller \"bend_radius\" would fit",
                figures(needed_mm, 3),
                figures(length_mm, 3),
                model.anchor_name(member.nodes[place]),
                model.anchor_name(member.nodes[place + 1])
            ));
        }
    }
    for (place, turn) in turns.into_iter().enumerate() {
        let miss = radius * (1.0 / (turn / 2.0).cos() - 1.0);
        let node = member.nodes[place + 1];
        if miss > half && is_used_by_others(model, name, node) {
            warnings.push(format!(
                "the bend of \"{name}\" misses node \"{}\", where other parts meet it, by {} mm, more than half the tube",
                model.anchor_name(node),
                figures(miss, 3)
            ));
        }
    }
}

/// Whether anything but this member is attached to a node.
fn is_used_by_others(model: &Model, member: &str, node: Anchor) -> bool {
    model.members.iter().any(|(name, other)| name != member && other.nodes.contains(&node))
        || model.mounts.iter().any(|mount| mount.at == node)
        || model.bodies.values().any(|body| body.mounts.iter().any(|mount| mount.at == node))
        || model.corners.iter().any(|corner| corner.kind.anchors().contains(&node))
        || model.anti_roll.iter().any(|bar| bar.sides.iter().any(|side| side.bearing == node))
}
