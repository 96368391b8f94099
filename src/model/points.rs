//! Which place in the file a point's name means, and what is drawn there already.
//!
//! Works on the tree, so that it serves a model that is not valid yet. Names are those of nodes
//! and brackets; a place of a corner is `front.l/upper.outer`, one of an anti-roll bar
//! `front/left.foot`: the keys as the file has them.

use nalgebra::Point3;

use super::file::{File, Member};
use super::mirror::other_side;
use super::validate::odd::places;
use crate::path;
use crate::source::{Named, Node, Path, Read, Reader, Value};
use crate::units::Length;

/// A point of the file.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPoint {
    /// Its name.
    pub name: String,
    /// The way to its list of three.
    pub path: Path,
    /// Where it is, mm; `None` where that cannot be read.
    pub at: Option<Point3<f64>>,
}

/// Every point that is written in the file, in its order; mirror twins are not written.
pub fn drawn_points(root: &Node) -> Vec<DrawnPoint> {
    let mut points = Vec::new();
    let mut add = |(name, path): (String, Path)| {
        if let Some(node) = root.follow(&path) {
            points.push(DrawnPoint { name, path, at: place(node) });
        }
    };
    for section in ["nodes", "brackets"] {
        for entry in entries(root, section) {
            let path = path![section, &entry.key];
            let path = if matches!(entry.node.value, Value::Object(_)) { path.then("at") } else { path };
            add((entry.key.clone(), path));
        }
    }
    for corner in entries(root, "corners") {
        let own = path!["corners", &corner.key];
        for entry in corner.node.entries() {
            let key = entry.key.as_str();
            let within = |inner: &str| (format!("{}/{key}.{inner}", corner.key), own.then(key).then(inner));
            match key {
                "wheel_centre" | "contact_patch" => add((format!("{}/{key}", corner.key), own.then(key))),
                "upper" | "lower" | "tie_rod" => add(within("outer")),
                "strut" | "spring" => add(within("bottom")),
                "arm" => add(within("hub")),
                "links" => {
                    for link in entry.node.entries() {
                        let name = format!("{}/links.{}.outer", corner.key, link.key);
                        add((name, own.then(key).then(&link.key).then("outer")));
                    }
                }
                _ => {}
            }
        }
    }
    for bar in entries(root, "anti_roll") {
        for side in ["left", "right"] {
            for end in ["end", "foot"] {
                add((format!("{}/{side}.{end}", bar.key), path!["anti_roll", &bar.key, side, end]));
            }
        }
    }
    points
}

fn entries<'n>(root: &'n Node, section: &str) -> &'n [crate::source::Entry] {
    root.get(section).map(Node::entries).unwrap_or_default()
}

fn place(node: &Node) -> Option<Point3<f64>> {
    let [x, y, z] = <[Length; 3]>::read(node, &mut Reader::default())?;
    Some(Point3::new(x.0, y.0, z.0))
}

/// The mirror image of a place in the plane y = 0.
pub fn mirror_image(at: &Point3<f64>) -> Point3<f64> {
    Point3::new(at.x, -at.y, at.z)
}

/// The name of the point whose mirror twin has this name: `A.l` for `A.r`.
pub fn original_of(twin: &str) -> Option<String> {
    match twin.split_once('/') {
        Some((axle, end)) if end.starts_with("right.") => Some(format!("{axle}/left.{}", &end["right.".len()..])),
        Some((corner, end)) => corner.ends_with(".r").then(|| format!("{}/{end}", other_side(corner))),
        None => twin.ends_with(".r").then(|| other_side(twin)),
    }
}

/// What is drawn in the file, mirror twins with it; of what cannot be read as much as can.
#[derive(Debug, Default)]
pub struct Drawn {
    /// Whether the right half is made by mirroring the left.
    pub mirror: bool,
    /// Nodes, then brackets, mm.
    pub anchors: Named<Point3<f64>>,
    /// How many of [`Drawn::anchors`] are nodes.
    pub n_nodes: usize,
    /// The nodes that each member runs through.
    pub members: Named<Vec<String>>,
    /// Names of the bodies.
    pub bodies: Vec<String>,
    /// Names of the tube sizes.
    pub tubes: Vec<String>,
}

impl Drawn {
    /// What is drawn in a file.
    pub fn of(root: &Node) -> Drawn {
        let Some(file) = File::read(root, &mut Reader::default()).map(File::with_twins) else {
            return Drawn::default();
        };
        let point = |[x, y, z]: [Length; 3]| Point3::new(x.0, y.0, z.0);
        let nodes = file.nodes.iter().map(|(name, node)| (name.clone(), point(node.at)));
        let brackets = file.brackets.iter().map(|(name, bracket)| (name.clone(), point(bracket.at)));
        let chain = |member: &Member| match (&member.ends, &member.through) {
            (Some(ends), _) => ends.to_vec(),
            (None, Some(through)) => through.clone(),
            (None, None) => Vec::new(),
        };
        Drawn {
            mirror: file.mirror,
            n_nodes: file.nodes.len(),
            anchors: nodes.chain(brackets).collect(),
            members: file.members.iter().map(|(name, member)| (name.clone(), chain(member))).collect(),
            bodies: file.bodies.keys().cloned().collect(),
            tubes: file.tubes.keys().cloned().collect(),
        }
    }

    /// Warnings for nodes and brackets that lie where they are hardly meant to: far from all others,
    /// in another unit, on the other side of the car than their name says.
    pub fn odd_places(&self) -> Vec<String> {
        let anchors: Vec<_> = self.anchors.iter().map(|(name, at)| (name.as_str(), *at)).collect();
        places(&anchors, self.n_nodes)
    }

    /// What a name stands for already: `node or bracket`, `member`, `body`.
    pub fn bears(&self, name: &str) -> Option<&'static str> {
        if self.anchors.contains_key(name) {
            Some("node or bracket")
        } else if self.members.contains_key(name) {
            Some("member")
        } else {
            self.bodies.iter().any(|body| body == name).then_some("body")
        }
    }
}
