//! Nodes of a model and of lines: which end of a line joins which node, what is whose mirror image.

use std::collections::HashMap;

use nalgebra::Point3;

use crate::model::{Drawn, mirror_image, other_side};

/// A new node and the nearest node of the model.
#[derive(Debug)]
pub struct Nearest {
    /// Where the new one is, mm.
    pub at: Point3<f64>,
    /// The name of the model's.
    pub node: String,
    /// How far they are apart, mm.
    pub gap_mm: f64,
}

/// A line on its way to a member.
pub(super) struct Tube {
    /// What it is called in a remark, then in the model.
    pub(super) name: String,
    /// Places in [`Joints::points`].
    pub(super) chain: Vec<usize>,
    /// Those of the twin that the mirror makes of it.
    pub(super) twin: Option<Vec<usize>>,
    pub(super) line: u64,
}

/// Nodes, those of the model first, and what of them a line ends at.
pub(super) struct Joints<'d> {
    pub(super) drawn: &'d Drawn,
    pub(super) within_mm: f64,
    pub(super) points: Vec<Point3<f64>>,
    pub(super) names: Vec<String>,
    /// In a mirrored model the mirror image of each point, where that is a point: of one in the
    /// middle the point itself.
    pub(super) images: Vec<Option<usize>>,
    /// Points by the cell of space that they lie in.
    cells: HashMap<[i64; 3], Vec<usize>>,
    pub(super) used: Vec<bool>,
    next_number: usize,
    pub(super) widest_gap_mm: f64,
}

impl<'d> Joints<'d> {
    pub(super) fn new(drawn: &'d Drawn, within_mm: f64) -> Self {
        let mut joints = Joints {
            drawn,
            within_mm,
            points: Vec::new(),
            names: Vec::new(),
            images: Vec::new(),
            cells: HashMap::new(),
            used: Vec::new(),
            next_number: 1,
            widest_gap_mm: 0.0,
        };
        for (name, at) in &drawn.anchors {
            joints.add(name.clone(), *at);
        }
        for (place, (name, at)) in drawn.anchors.iter().enumerate().filter(|_| drawn.mirror) {
            let image = drawn.anchors.get_full(&other_side(name));
            let near = image.filter(|(_, _, other)| (mirror_image(at) - *other).norm() <= within_mm);
            joints.images[place] = near.map(|(image, _, _)| image);
        }
        joints
    }

    fn cell(&self, at: &Point3<f64>) -> [i64; 3] {
        // Coordinates are at most 1e9 mm, the width of a cell at least 0.01 mm.
        [at.x, at.y, at.z].map(|coordinate| (coordinate / self.within_mm).floor() as i64)
    }

    fn add(&mut self, name: String, at: Point3<f64>) -> usize {
        let place = self.points.len();
        self.cells.entry(self.cell(&at)).or_default().push(place);
        self.points.push(at);
        self.names.push(name);
        self.images.push(None);
        self.used.push(false);
        place
    }

    /// The nearest point that an end can join; the model's before new ones, of equals the first.
    pub(super) fn nearest(&self, at: &Point3<f64>) -> Option<(usize, f64)> {
        let [x, y, z] = self.cell(at);
        let around = (-1..=1).flat_map(|i| (-1..=1).flat_map(move |j| (-1..=1).map(move |k| [x + i, y + j, z + k])));
        let mut near: Vec<(usize, f64)> = around
            .filter_map(|cell| self.cells.get(&cell))
            .flatten()
            .map(|place| (*place, (self.points[*place] - at).norm()))
            .filter(|(_, distance)| *distance <= self.within_mm)
            .collect();
        let is_new = |place: usize| place >= self.drawn.anchors.len();
        near.sort_by(|one, other| {
            is_new(one.0).cmp(&is_new(other.0)).then(one.1.total_cmp(&other.1)).then(one.0.cmp(&other.0))
        });
        near.first().copied()
    }

    /// Of some points the one that is nearest to one of the model's.
    pub(super) fn nearest_old(&self, places: impl Iterator<Item = usize>) -> Option<Nearest> {
        let n_old = self.drawn.anchors.len();
        let gaps = places.flat_map(|place| (0..n_old).map(move |old| (place, old)));
        let gaps = gaps.map(|(place, old)| (place, old, (self.points[place] - self.points[old]).norm()));
        let (place, old, gap_mm) = gaps.min_by(|one, other| one.2.total_cmp(&other.2))?;
        Some(Nearest { at: self.points[place], node: self.names[old].clone(), gap_mm })
    }

    /// The node at an end of a line.
    pub(super) fn at_end(&mut self, at: &Point3<f64>) -> usize {
        let place = match self.nearest(at) {
            Some((place, gap)) => {
                self.widest_gap_mm = self.widest_gap_mm.max(gap);
                place
            }
            None => self.add_new(at),
        };
        self.used[place] = true;
        if let Some(image) = self.images[place] {
            self.used[image] = true;
        }
        place
    }

    /// A new node; in a mirrored model one on the left comes with its twin, and one that is within
    /// reach of its own mirror image is put into the middle.
    fn add_new(&mut self, at: &Point3<f64>) -> usize {
        let name = self.new_name();
        if !self.drawn.mirror {
            return self.add(name, *at);
        }
        if self.is_in_the_middle(at) {
            self.widest_gap_mm = self.widest_gap_mm.max(at.y.abs());
            let place = self.add(name, Point3::new(at.x, 0.0, at.z));
            self.images[place] = Some(place);
            return place;
        }
        let place = self.add(name.clone(), *at);
        if at.y > 0.0 {
            let image = self.add(name, mirror_image(at));
            (self.images[place], self.images[image]) = (Some(image), Some(place));
        }
        place
    }

    fn new_name(&mut self) -> String {
        loop {
            let name = format!("P{}", self.next_number);
            self.next_number += 1;
            if is_free(&name, self.drawn) {
                return name;
            }
        }
    }

    /// Whether a place can be joined with its own mirror image.
    fn is_in_the_middle(&self, at: &Point3<f64>) -> bool {
        2.0 * at.y.abs() <= self.within_mm
    }

    /// Whether all of a chain is in the middle or on this side: 1 for the left, -1 for the right.
    pub(super) fn is_on_side(&self, chain: &[usize], side: f64) -> bool {
        let points = || chain.iter().map(|place| &self.points[*place]);
        points().all(|at| self.is_in_the_middle(at) || at.y * side > 0.0)
    }

    /// The mirror image of a chain.
    pub(super) fn image(&self, chain: &[usize]) -> Option<Vec<usize>> {
        chain.iter().map(|place| self.images[*place]).collect()
    }

    /// The new nodes that tubes or their twins need.
    pub(super) fn needed(&self, tubes: &[Tube]) -> Vec<bool> {
        let mut needed = vec![false; self.points.len()];
        let chains = tubes.iter().flat_map(|tube| std::iter::once(&tube.chain).chain(&tube.twin));
        chains.flatten().for_each(|place| needed[*place] = true);
        needed
    }

    /// Gives new nodes that are needed on both sides the endings that the mirror asks for.
    pub(super) fn name_by_side(&mut self, tubes: &[Tube]) {
        let needed = self.needed(tubes);
        for place in self.drawn.anchors.len()..self.points.len() {
            if let Some(image) = self.images[place].filter(|image| *image != place && needed[place] && needed[*image]) {
                let ending = if place < image { ".l" } else { ".r" };
                self.names[place].push_str(ending);
            }
        }
    }

    /// The new nodes that are to be written: what is needed, without the twins that the mirror makes.
    pub(super) fn written(&self, tubes: &[Tube]) -> Vec<usize> {
        let needed = self.needed(tubes);
        let is_made = |place: usize| self.images[place].is_some_and(|image| image < place && needed[image]);
        (self.drawn.anchors.len()..self.points.len()).filter(|place| needed[*place] && !is_made(*place)).collect()
    }
}

/// Whether neither a name nor that name with an ending of a side is taken.
pub(super) fn is_free(name: &str, drawn: &Drawn) -> bool {
    ["", ".l", ".r"].iter().all(|ending| drawn.bears(&format!("{name}{ending}")).is_none())
}

pub(super) fn pair(one: usize, other: usize) -> (usize, usize) {
    (one.min(other), one.max(other))
}

/// From where to where a chain runs.
pub(super) fn whole(chain: &[usize]) -> (usize, usize) {
    pair(chain[0], chain[chain.len() - 1])
}

/// The straight pieces of a chain.
pub(super) fn pieces(chain: &[usize]) -> impl Iterator<Item = (usize, usize)> {
    chain.windows(2).map(|piece| pair(piece[0], piece[1]))
}
