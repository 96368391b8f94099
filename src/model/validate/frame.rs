//! Nodes, brackets, members, mounts and bodies.

use nalgebra::{Point3, Vector3};

use super::{Checker, entry};
use crate::beam::{Axes, Flex, Joint};
use crate::model::file::{self, File, Hinge, JointWord, MountHold, MountKeys, MountWord, Shift, Turn};
use crate::model::other_side;
use crate::model::{
    Anchor, BOLTED_PAD, Body, BodyHold, BodyMount, Bolts, Bracket, BracketFoot, Held, Hold, Member, Model, Mount, Node,
    ONE_BOLT, Orientation, TubeRef, WeldKeys, entry_at,
};
use crate::path;
use crate::source::{Path, one_or_the_other};
use crate::units::{Length, brief};

/// Two nodes nearer than this, and a tube shorter than this, are errors, mm.
pub(super) const TOO_CLOSE_MM: f64 = 0.01;

pub(super) fn point(place: &[Length; 3]) -> Point3<f64> {
    Point3::new(place[0].0, place[1].0, place[2].0)
}

/// The nodes; two nearer than [`TOO_CLOSE_MM`] are a fault.
pub(super) fn nodes(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, node) in &file.nodes {
        model.nodes.insert(name.clone(), Node { at: point(&node.at), pickup: node.pickup });
    }
    let mut by_x: Vec<usize> = (0..model.nodes.len()).collect();
    by_x.sort_by(|one, other| model.nodes[*one].at.x.total_cmp(&model.nodes[*other].at.x));
    for (place, &one) in by_x.iter().enumerate() {
        for &other in &by_x[place + 1..] {
            let gap = model.nodes[other].at - model.nodes[one].at;
            if gap.x >= TOO_CLOSE_MM {
                break;
            }
            if gap.norm() < TOO_CLOSE_MM {
                let (first, second) = (one.min(other), one.max(other));
                let (first, second) = (entry_at(&model.nodes, first).0, entry_at(&model.nodes, second).0);
                if checker.mirror && other_side(first) == second {
                    checker.fault_with_hint(
                        entry("nodes", first),
                        format!("\"{first}\" lies in the middle of the car, where its twin \"{second}\" would lie too"),
                        "give a node in the middle a name that does not end in .l",
                    );
                } else {
                    checker.fault_with_hint(
                        entry("nodes", second),
                        format!("\"{second}\" and \"{first}\" are closer than {TOO_CLOSE_MM} mm"),
                        "use one node for both",
                    );
                }
            }
        }
    }
}

/// The brackets' places; what they stand on is resolved by [`bracket_feet`], when tubes are known.
pub(super) fn bracket_places(file: &File, model: &mut Model) {
    for (name, bracket) in &file.brackets {
        let on = BracketFoot::Tubes(Vec::new());
        model.brackets.insert(name.clone(), Bracket { at: point(&bracket.at), on });
    }
}

/// What the brackets stand on.
pub(super) fn bracket_feet(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, bracket) in &file.brackets {
        let at = path!["brackets", name, "on"];
        let names = bracket.on.names();
        checker.no_repetition(&at, names);
        let one = matches!(bracket.on, file::OneOrMany::One(_));
        let foot = if one && model.nodes.contains_key(&names[0]) {
            model.nodes.get_index_of(&names[0]).map(BracketFoot::Node)
        } else if one && model.brackets.contains_key(&names[0]) {
            checker.fault_with_hint(
                at,
                format!("\"{}\" is a bracket, and a bracket may not stand on a bracket", names[0]),
                "name the tube or the node that carries it",
            );
            None
        } else {
            let tubes: Vec<Option<TubeRef>> = names
                .iter()
                .enumerate()
                .map(|(index, tube)| {
                    let place = if one { at.clone() } else { at.then(index) };
                    tube_ref(model, checker, place, tube)
                })
                .collect();
            tubes.into_iter().collect::<Option<Vec<_>>>().map(BracketFoot::Tubes)
        };
        if let (Some(foot), Some(bracket)) = (foot, model.brackets.get_mut(name)) {
            bracket.on = foot;
        }
    }
}

/// A tube of the frame or of a corner by its name.
pub(super) fn tube_ref(model: &Model, checker: &mut Checker<'_>, path: Path, name: &str) -> Option<TubeRef> {
    if let Some(at) = model.members.get_index_of(name) {
        return Some(TubeRef::Member(at));
    }
    let corner_tubes: Vec<(String, TubeRef)> =
        model
            .corners
            .iter()
            .enumerate()
            .flat_map(|(corner, drawn)| {
                drawn.tube_names().into_iter().enumerate().map(move |(tube, part)| {
                    (format!("{}/{part}", drawn.wheel.name()), TubeRef::Corner { corner, tube })
                })
            })
            .collect();
    if let Some((_, found)) = corner_tubes.iter().find(|(known, _)| known == name) {
        return Some(*found);
    }
    let unreadable = checker.is_written("members", name)
        || name.split_once('/').is_some_and(|(corner, _)| {
            checker.is_written("corners", corner) && !model.corners.iter().any(|drawn| drawn.wheel.name() == corner)
        });
    if !unreadable {
        if checker.is_named("nodes", name) || checker.is_named("brackets", name) {
            let what = if checker.is_named("nodes", name) { "node" } else { "bracket" };
            let hint = format!("\"{name}\" is a {what}: here stands a tube");
            checker.not_there(path, "member or corner tube", name, hint);
        } else {
            let known =
                model.members.keys().map(String::as_str).chain(corner_tubes.iter().map(|(known, _)| known.as_str()));
            checker.unknown(path, "member or corner tube", name, known);
        }
    }
    None
}

/// Which way local y and z point; a zero `up` is a fault.
pub(super) fn orientation(up: Option<[f64; 3]>, roll_rad: f64, at: &Path, checker: &mut Checker<'_>) -> Orientation {
    let up = up.map(Vector3::from);
    if up.is_some_and(|up| up.norm() == 0.0) {
        checker.fault(at.then("up"), "a direction may not be [0, 0, 0]");
    }
    Orientation { up, roll_rad }
}

/// Tells a piece of tube that is too short, and an `up` that lies along it.
pub(super) fn piece(
    first: &Point3<f64>,
    second: &Point3<f64>,
    orientation: &Orientation,
    at: &Path,
    checker: &mut Checker<'_>,
) {
    let length = (second - first).norm();
    if length < TOO_CLOSE_MM {
        let apart = brief(length);
        checker.fault(at.clone(), format!("its two ends are {apart} mm apart; less than {TOO_CLOSE_MM} mm is no tube"));
    } else if orientation.up.is_some_and(|up| up.norm() > 0.0)
        && Axes::between(first, second, orientation.up, orientation.roll_rad).is_none()
    {
        checker.fault(at.then("up"), "\"up\" lies along the tube; it must point to one side of it");
    }
}

/// The members.
pub(super) fn members(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, given) in &file.members {
        let at = entry("members", name);
        let Some((key, names)) = member_nodes(given, &at, checker) else {
            continue;
        };
        let path = at.then(key);
        let closed = key == "through" && names.len() > 3 && names.first() == names.last();
        let distinct = checker.no_repetition(&path, if closed { &names[1..] } else { names });
        let nodes: Vec<Option<Anchor>> =
            names.iter().enumerate().map(|(index, node)| checker.anchor(model, path.then(index), node)).collect();
        let tube = checker.tube_size(model, at.then("tube"), &given.tube);
        if let Some(radius) = given.bend_radius {
            checker.above_zero(at.then("bend_radius"), radius);
        }
        if let Some(length) = given.column_length {
            checker.above_zero(at.then("column_length"), length);
        }
        let joints = [
            joint(given.joint.end(0), &given.joint, 0, &at, checker),
            joint(given.joint.end(1), &given.joint, 1, &at, checker),
        ];
        if joints[0].n == Flex::Free && joints[1].n == Flex::Free {
            checker.fault_with_hint(
                at.then("joint"),
                "the tube can slide along itself, \"slide\" at both ends holds it nowhere",
                "give one end another joint",
            );
        }
        let orientation = orientation(given.up, given.roll.rad(), &at, checker);
        let (Some(nodes), Some(tube)) = (nodes.into_iter().collect::<Option<Vec<_>>>(), tube) else {
            continue;
        };
        let end_at = given.end_at.map_or([None; 2], |ends| ends.map(|end| end.0.map(|place| point(&place))));
        let member = Member {
            nodes,
            tube,
            bend_radius_mm: given.bend_radius.map(|radius| radius.0),
            end_at,
            column_length_mm: given.column_length.map(|length| length.0),
            orientation,
            joints,
            weld: weld(given.weld.as_ref(), model.weld, &at.then("weld"), checker),
            welded: [0, 1].map(|end| {
                matches!(given.joint.end(end), JointWord::Weld | JointWord::TubeOnTube | JointWord::Rate(_))
            }),
            tube_on_tube: [0, 1].map(|end| *given.joint.end(end) == JointWord::TubeOnTube),
        };
        if distinct {
            for stretch in model.member_axis(&member).windows(2) {
                piece(&stretch[0], &stretch[1], &orientation, &at, checker);
            }
        }
        model.members.insert(name.clone(), member);
    }
}

/// What is said of welds, key by key in place of what is said `above`.
pub(super) fn weld(given: Option<&file::Weld>, above: WeldKeys, at: &Path, checker: &mut Checker<'_>) -> WeldKeys {
    let Some(given) = given else { return above };
    if let Some(throat) = given.throat {
        checker.above_zero(at.then("throat"), throat);
    }
    if let Some(strength) = given.filler_ultimate {
        checker.above_zero(at.then("filler_ultimate"), strength);
    }
    WeldKeys {
        throat_mm: given.throat.map(|throat| throat.0).or(above.throat_mm),
        filler_ultimate_mpa: given.filler_ultimate.map(|strength| strength.0).or(above.filler_ultimate_mpa),
    }
}

/// The one list of nodes that a member gives, and its key.
fn member_nodes<'f>(
    given: &'f file::Member,
    at: &Path,
    checker: &mut Checker<'_>,
) -> Option<(&'static str, &'f [String])> {
    match (&given.ends, &given.through) {
        (Some(ends), None) => Some(("ends", ends)),
        (None, Some(nodes)) if nodes.len() >= 2 => Some(("through", nodes)),
        (None, Some(_)) => {
            checker.fault(at.then("through"), "a tube runs through at least two nodes");
            None
        }
        (None, None) => {
            if checker.is_whole(at) {
                checker.lacking(at.clone(), "a member needs \"ends\" or \"through\"");
            }
            None
        }
        (Some(_), Some(_)) => {
            let [earlier, later] = checker.as_written(at, ["ends", "through"]);
            let hint = one_or_the_other(earlier);
            checker.fault_with_hint(at.then(later), "a member has \"ends\" or \"through\", not both", hint);
            None
        }
    }
}

pub(super) fn joint(
    word: &JointWord,
    joints: &file::Joints,
    end: usize,
    at: &Path,
    checker: &mut Checker<'_>,
) -> Joint {
    match word {
        JointWord::Weld | JointWord::TubeOnTube => Joint::WELD,
        JointWord::RodEnd => Joint::ROD_END,
        JointWord::Slide => Joint { n: Flex::Free, ..Joint::WELD },
        JointWord::Hinge(Hinge::Y) => Joint { my: Flex::Free, ..Joint::WELD },
        JointWord::Hinge(Hinge::Z) => Joint { mz: Flex::Free, ..Joint::WELD },
        JointWord::Rate(rates) => {
            let at = match joints {
                file::Joints::Both(_) => at.then("joint").then("rate"),
                file::Joints::Each(_) => at.then("joint").then(end).then("rate"),
            };
            let mut flex = |key: &str, rate: Option<crate::units::TurningRate>| match rate {
                None => Flex::Rigid,
                Some(rate) => {
                    checker.not_below_zero(at.then(key), rate);
                    if rate.0 == 0.0 { Flex::Free } else { Flex::Rate(rate.nmm_per_rad()) }
                }
            };
            Joint {
                n: Flex::Rigid,
                t: flex("t", rates.t),
                my: flex("my", rates.my),
                mz: flex("mz", rates.mz),
                turned_rad: 0.0,
            }
        }
    }
}

/// Whether a mount is given as a word, and not by direction.
fn is_a_word(mount: &file::Mount) -> bool {
    matches!(mount.hold, MountHold::Word(_))
}

fn hold(mount: &file::Mount, at: &Path, checker: &mut Checker<'_>) -> Hold {
    match &mount.hold {
        MountHold::Word(MountWord::OneBolt) => ONE_BOLT,
        MountHold::Word(MountWord::BoltedPad) => BOLTED_PAD,
        MountHold::Directions(directions) => directed(directions, at, checker),
    }
}

/// The bolts of a mount.
fn bolts(mount: &file::Mount, at: &Path, checker: &mut Checker<'_>) -> Option<Bolts> {
    let (given, at) = (mount.bolts.as_ref()?, at.then("bolts"));
    if let Some(pitch) = given.pitch {
        checker.above_zero(at.then("pitch"), pitch);
    }
    let along = given.along.map(Vector3::from).and_then(|along| {
        let unit = along.try_normalize(0.0);
        if unit.is_none() {
            checker.fault(at.then("along"), "a direction may not be [0, 0, 0]");
        }
        unit
    });
    Some(Bolts {
        thread: given.size.0,
        class: given.grade.0,
        count: given.count.0,
        pitch_mm: given.pitch.map(|pitch| pitch.0),
        along,
    })
}

fn directed(given: &MountKeys, at: &Path, checker: &mut Checker<'_>) -> Hold {
    let mut shift = |key: &str, shift: Option<Shift>| match shift {
        None => Held::Free,
        Some(Shift::Fixed) => Held::Fixed,
        Some(Shift::Rate(rate)) => {
            checker.not_below_zero(at.then(key), rate);
            if rate.0 == 0.0 { Held::Free } else { Held::Rate(rate.0) }
        }
    };
    let shifts = [shift("x", given.x), shift("y", given.y), shift("z", given.z)];
    let mut turn = |key: &str, turn: Option<Turn>| match turn {
        None => Held::Free,
        Some(Turn::Fixed) => Held::Fixed,
        Some(Turn::Rate(rate)) => {
            checker.not_below_zero(at.then(key), rate);
            if rate.0 == 0.0 { Held::Free } else { Held::Rate(rate.nmm_per_rad()) }
        }
    };
    let turns = [turn("rx", given.rx), turn("ry", given.ry), turn("rz", given.rz)];
    [shifts[0], shifts[1], shifts[2], turns[0], turns[1], turns[2]]
}

/// The mounts of the ground.
pub(super) fn mounts(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, given) in &file.mounts {
        let at = entry("mounts", name);
        let (hold, bolts) = (hold(given, &at, checker), bolts(given, &at, checker));
        if let Some(anchor) = checker.anchor(model, at, name) {
            model.mounts.push(Mount { at: anchor, hold, in_a_word: is_a_word(given), bolts });
        }
    }
}

/// The bodies.
pub(super) fn bodies(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    let mut takes_torque: Option<&str> = None;
    for (name, given) in &file.bodies {
        let at = entry("bodies", name);
        checker.not_below_zero(at.then("mass"), given.mass);
        for (place, inertia) in given.inertia.iter().flatten().enumerate() {
            checker.not_below_zero(at.then("inertia").then(place), *inertia);
        }
        if given.takes_drive_torque {
            if let Some(other) = takes_torque {
                let message =
                    format!("\"{name}\" and \"{other}\" both take the drive torque; it can go into one body only");
                checker.fault(at.then("takes_drive_torque"), message);
            }
            takes_torque.get_or_insert(name);
        }
        let body = Body {
            mass_kg: given.mass.0,
            cg: point(&given.cg),
            inertia_kg_m2: given.inertia.map(|inertia| inertia.map(|about| about.0)),
            mounts: body_mounts(model, given, &at.then("mounts"), checker),
            takes_drive_torque: given.takes_drive_torque,
        };
        model.bodies.insert(name.clone(), body);
    }
}

fn body_mounts(model: &Model, given: &file::Body, at: &Path, checker: &mut Checker<'_>) -> Vec<BodyMount> {
    let clamps: Vec<&String> =
        given.mounts.iter().filter(|(_, m)| **m == file::BodyMount::Clamp).map(|(name, _)| name).collect();
    if !matches!(clamps.len(), 0 | 2) {
        if checker.is_whole(at) {
            let (place, count) = match clamps.len() {
                1 => (clamps[0], "one".to_owned()),
                count => (clamps[2], count.to_string()),
            };
            let message =
                format!("\"clamp\" is for two nodes of a body, between which a line runs; here it stands at {count}");
            checker.fault(at.then(place), message);
        }
        return Vec::new();
    }
    let clamp_places: Vec<Point3<f64>> = clamps
        .iter()
        .filter_map(|name| {
            model.nodes.get(*name).map(|node| node.at).or_else(|| model.brackets.get(*name).map(|bracket| bracket.at))
        })
        .collect();
    let line = match clamp_places.as_slice() {
        [one, other] => (other - one).try_normalize(TOO_CLOSE_MM),
        _ => None,
    };
    if clamp_places.len() == 2 && line.is_none() {
        checker.fault(at.then(clamps[1]), "the two clamps are at one place; the line between them has no direction");
    }
    given
        .mounts
        .iter()
        .filter_map(|(name, mount)| {
            let path = at.then(name);
            let (hold, bolts) = match mount {
                file::BodyMount::Mount(mount) => {
                    (BodyHold::Directions(hold(mount, &path, checker)), bolts(mount, &path, checker))
                }
                file::BodyMount::Rides => (BodyHold::Rides, None),
                file::BodyMount::Clamp => (BodyHold::Clamp(line?), None),
            };
            let anchor = match hold {
                BodyHold::Rides => checker.carried_anchor(model, path.clone(), name),
                _ => checker.anchor(model, path.clone(), name),
            }?;
            let carries =
                hold == BodyHold::Rides && model.members.values().any(|member| member.nodes.contains(&anchor));
            if carries {
                checker.fault_with_hint(
                    path,
                    format!("\"{name}\" rides on the body, so it may carry no tube of the frame"),
                    "\"bolted pad\" or \"one bolt\" holds a node of the frame",
                );
            }
            let in_a_word = matches!(mount, file::BodyMount::Mount(mount) if is_a_word(mount));
            Some(BodyMount { at: anchor, hold, in_a_word, bolts })
        })
        .collect()
}
