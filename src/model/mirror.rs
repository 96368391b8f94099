//! The right half of a symmetric car: every entry `.l` gets a mirror twin `.r`.
//!
//! Works on the file as read, before anything is resolved. y of places and directions changes its
//! sign, so does `roll`; names ending in `.l` become `.r` and the other way round; the order of a
//! tube's ends stays.

use super::file::{
    AntiRoll, BarSide, Body, BodyMount, Bracket, Corner, File, Member, Mount, NodeAt, Nullable, OneOrMany, Spring,
    Strut, TieRod, TrailingArm, Wishbone,
};
use crate::source::Named;
use crate::units::{Angle, Length};

/// What has a mirror image in the plane y = 0.
trait Mirrored {
    fn mirrored(&self) -> Self;
}

/// The name of the same thing on the other side; a middle one keeps its name.
pub fn other_side(name: &str) -> String {
    match (name.strip_suffix(".l"), name.strip_suffix(".r")) {
        (Some(stem), _) => format!("{stem}.r"),
        (_, Some(stem)) => format!("{stem}.l"),
        _ => name.to_owned(),
    }
}

/// The other side of a name that may be a corner's tube: `front.l/lower.rear`.
fn other_side_of_tube(name: &str) -> String {
    match name.split_once('/') {
        Some((corner, part)) => format!("{}/{part}", other_side(corner)),
        None => other_side(name),
    }
}

impl File {
    /// The file with its right half written out; as it is where `mirror` is not set.
    #[must_use]
    pub fn with_twins(mut self) -> File {
        if !self.mirror {
            return self;
        }
        for (name, body) in &mut self.bodies {
            // A body of one side gets a twin that holds the other side's nodes; one in the middle
            // of the car holds both sides itself.
            if other_side(name) == *name {
                body.mounts = with_twins(&body.mounts);
            }
        }
        self.nodes = with_twins(&self.nodes);
        self.brackets = with_twins(&self.brackets);
        self.members = with_twins(&self.members);
        self.mounts = with_twins(&self.mounts);
        self.bodies = with_twins(&self.bodies);
        self.corners = with_twins(&self.corners);
        for bar in self.anti_roll.values_mut() {
            complete(bar);
        }
        self
    }
}

/// Each pair stands where the first of the two is written, `.l` before `.r`; a written twin wins.
fn with_twins<T: Mirrored + Clone>(entries: &Named<T>) -> Named<T> {
    let mut all = Named::with_capacity(2 * entries.len());
    for (name, entry) in entries {
        if all.contains_key(name) {
            continue;
        }
        let left = if name.ends_with(".r") { other_side(name) } else { name.clone() };
        match (left.ends_with(".l"), entries.get(&left)) {
            (true, Some(left_entry)) => {
                let right = other_side(&left);
                let right_entry = entries.get(&right).cloned().unwrap_or_else(|| left_entry.mirrored());
                all.insert(left, left_entry.clone());
                all.insert(right, right_entry);
            }
            _ => {
                all.insert(name.clone(), entry.clone());
            }
        }
    }
    all
}

fn complete(bar: &mut AntiRoll) {
    if bar.right.is_none() {
        bar.right = Some(bar.left.mirrored());
    }
}

fn mirrored_place(place: &[Length; 3]) -> [Length; 3] {
    [place[0], Length(-place[1].0), place[2]]
}

fn mirrored_direction(direction: &[f64; 3]) -> [f64; 3] {
    [direction[0], -direction[1], direction[2]]
}

fn mirrored_on(on: &OneOrMany) -> OneOrMany {
    match on {
        OneOrMany::One(name) => OneOrMany::One(other_side_of_tube(name)),
        OneOrMany::Many(names) => OneOrMany::Many(names.iter().map(|name| other_side_of_tube(name)).collect()),
    }
}

impl Mirrored for NodeAt {
    fn mirrored(&self) -> Self {
        NodeAt { at: mirrored_place(&self.at), pickup: self.pickup }
    }
}

impl Mirrored for Bracket {
    fn mirrored(&self) -> Self {
        Bracket { at: mirrored_place(&self.at), on: mirrored_on(&self.on) }
    }
}

impl Mirrored for Member {
    fn mirrored(&self) -> Self {
        Member {
            ends: self.ends.as_ref().map(|ends| ends.each_ref().map(|name| other_side(name))),
            through: self.through.as_ref().map(|nodes| nodes.iter().map(|name| other_side(name)).collect()),
            end_at: self.end_at.map(|ends| ends.map(|end| Nullable(end.0.map(|place| mirrored_place(&place))))),
            up: self.up.as_ref().map(mirrored_direction),
            roll: Angle(-self.roll.0),
            ..self.clone()
        }
    }
}

impl Mirrored for Mount {
    fn mirrored(&self) -> Self {
        let mut twin = self.clone();
        if let Some(bolts) = &mut twin.bolts {
            bolts.along = bolts.along.as_ref().map(mirrored_direction);
        }
        twin
    }
}

impl Mirrored for BodyMount {
    fn mirrored(&self) -> Self {
        match self {
            BodyMount::Mount(mount) => BodyMount::Mount(mount.mirrored()),
            BodyMount::Rides | BodyMount::Clamp => self.clone(),
        }
    }
}

impl Mirrored for Body {
    fn mirrored(&self) -> Self {
        let mounts = self.mounts.iter().map(|(node, mount)| (other_side(node), mount.mirrored())).collect();
        Body { cg: mirrored_place(&self.cg), mounts, ..self.clone() }
    }
}

impl Mirrored for Corner {
    fn mirrored(&self) -> Self {
        let mut twin = self.clone();
        for place in twin.places_mut() {
            *place = mirrored_place(place);
        }
        match &mut twin {
            Corner::DoubleWishboneCorner(corner) => {
                corner.upper = corner.upper.mirrored();
                corner.lower = corner.lower.mirrored();
                corner.tie_rod = corner.tie_rod.mirrored();
                corner.spring = corner.spring.mirrored();
            }
            Corner::StrutCorner(corner) => {
                corner.lower = corner.lower.mirrored();
                corner.tie_rod = corner.tie_rod.mirrored();
                corner.strut = corner.strut.mirrored();
            }
            Corner::TrailingArmCorner(corner) => {
                corner.arm = corner.arm.mirrored();
                corner.spring = corner.spring.mirrored();
            }
            Corner::LinksCorner(corner) => {
                for link in corner.links.values_mut() {
                    *link = link.mirrored();
                }
                corner.spring = corner.spring.mirrored();
            }
        }
        twin
    }
}

impl Mirrored for Strut {
    fn mirrored(&self) -> Self {
        Strut {
            top: other_side(&self.top),
            bottom: mirrored_place(&self.bottom),
            up: self.up.as_ref().map(mirrored_direction),
            roll: Angle(-self.roll.0),
            ..self.clone()
        }
    }
}

impl Mirrored for TrailingArm {
    fn mirrored(&self) -> Self {
        TrailingArm {
            pivots: self.pivots.each_ref().map(|name| other_side(name)),
            hub: mirrored_place(&self.hub),
            up: self.up.as_ref().map(mirrored_direction),
            roll: Angle(-self.roll.0),
            ..self.clone()
        }
    }
}

impl Mirrored for Wishbone {
    fn mirrored(&self) -> Self {
        Wishbone {
            front: other_side(&self.front),
            rear: other_side(&self.rear),
            outer: mirrored_place(&self.outer),
            up: self.up.as_ref().map(mirrored_direction),
            roll: Angle(-self.roll.0),
            ..self.clone()
        }
    }
}

impl Mirrored for TieRod {
    fn mirrored(&self) -> Self {
        TieRod {
            inner: other_side(&self.inner),
            outer: mirrored_place(&self.outer),
            up: self.up.as_ref().map(mirrored_direction),
            roll: Angle(-self.roll.0),
            ..self.clone()
        }
    }
}

impl Mirrored for Spring {
    fn mirrored(&self) -> Self {
        Spring { top: other_side(&self.top), bottom: mirrored_place(&self.bottom), ..self.clone() }
    }
}

impl Mirrored for BarSide {
    fn mirrored(&self) -> Self {
        BarSide {
            bearing: other_side(&self.bearing),
            end: mirrored_place(&self.end),
            foot: mirrored_place(&self.foot),
            on: self.on.clone(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn nodes(names: &[&str]) -> Named<NodeAt> {
        names
            .iter()
            .enumerate()
            .map(|(x, name)| {
                ((*name).to_owned(), NodeAt { at: [Length(x as f64), Length(10.0), Length(0.0)], pickup: false })
            })
            .collect()
    }

    fn order(names: &[&str]) -> Vec<String> {
        with_twins(&nodes(names)).keys().cloned().collect()
    }

    #[test]
    fn a_twin_stands_right_after_its_original() {
        assert_eq!(order(&["A.l", "B", "C.l"]), ["A.l", "A.r", "B", "C.l", "C.r"]);
    }

    #[test]
    fn a_written_twin_stands_where_the_first_of_the_two_is_written() {
        assert_eq!(order(&["A.r", "B", "A.l"]), ["A.l", "A.r", "B"]);
        assert_eq!(order(&["A.l", "B", "A.r"]), ["A.l", "A.r", "B"]);
        assert_eq!(order(&["A.r", "B"]), ["A.r", "B"]);
    }

    #[test]
    fn a_written_twin_replaces_the_mirror_image_whole() {
        let twins = with_twins(&nodes(&["A.l", "A.r"]));
        assert_eq!(twins["A.r"].at[0], Length(1.0));
        assert_eq!(twins["A.r"].at[1], Length(10.0));
    }
}
