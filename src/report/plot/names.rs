//! Where the names of nodes and brackets may stand.

use super::depth::Strand;
use super::label::{LabelSpot, Wish};
use super::letters::{SMALL, clean, width};
use super::paper::{Area, Dot};
use super::pen::{between, distance, off_segment};
use super::scene::{Point, Scene};
use super::view::{Look, View};

/// Points nearer than this on the paper are told apart no longer, 0.1 mm.
const TOGETHER: f64 = 15.0;

/// Where the labels of a view may stand.
pub(super) fn inner(view: &View) -> Area {
    view.cell.grown(-12)
}

/// A text that belongs to a point, in whichever of some views it reads best: the pictorial one
/// rather than others, and least of all where another point lies over it.
pub(super) fn point_wish(views: &[View], scene: &Scene, point: &Point, times: f64, text: &str) -> Wish {
    let spots = views.iter().map(|view| {
        let spot = point.spot.moved(times);
        let (at, towards) = (view.dot(&spot), view.towards(&spot));
        let mut worse = if view.look == Look::Pictorial { 0.0 } else { 20.0 };
        for other in scene.points.iter().filter(|other| other.name != point.name) {
            let place = other.spot.moved(times);
            if distance(view.dot(&place), at) < TOGETHER {
                worse += if view.towards(&place) > towards { 200.0 } else { 40.0 };
            }
        }
        LabelSpot { at, view: view.look, within: inner(view), worse }
    });
    Wish { text: text.to_owned(), spots: spots.collect() }
}

/// The points of a scene, those that lie on one another in a view together: their names, nearest
/// to the viewer first.
pub(super) fn together<'s>(view: &View, scene: &'s Scene) -> Vec<Vec<&'s Point>> {
    let mut groups: Vec<Vec<&Point>> = Vec::new();
    for point in &scene.points {
        let at = view.dot(&point.spot.at);
        match groups.iter_mut().find(|group| distance(view.dot(&group[0].spot.at), at) < TOGETHER / 2.0) {
            Some(group) => group.push(point),
            None => groups.push(vec![point]),
        }
    }
    for group in &mut groups {
        // Those equally near keep the order of the file.
        group.sort_by_key(|point| std::cmp::Reverse((view.towards(&point.spot.at) * 100.0).round() as i64));
    }
    groups
}

/// Names parted into as many lists as labels of this width (0.1 mm) need.
pub(super) fn in_labels(names: Vec<String>, widest: i32) -> Vec<Vec<String>> {
    let mut labels: Vec<Vec<String>> = Vec::new();
    for name in names {
        match labels.last_mut() {
            Some(label) if width(&clean(&format!("{}, {name}", label.join(", "))), SMALL) <= widest => label.push(name),
            _ => labels.push(vec![name]),
        }
    }
    labels
}

/// A text that belongs to a tube, at one of several places along it, in whichever of some views
/// shows it best: the pictorial one rather than others.
pub(super) fn tube_wish(views: &[View], strands: &[Vec<Strand>], tube: usize, text: String) -> Wish {
    let spots = views.iter().zip(strands).flat_map(|(view, strands)| {
        let other_view = if view.look == Look::Pictorial { 0.0 } else { 60.0 };
        [0.5, 0.35, 0.65, 0.2, 0.8].map(|part: f64| {
            let (at, towards) = along(&strands[tube], part);
            let worse = other_view + 60.0 * (part - 0.5).abs() + hidden(strands, tube, at, towards);
            LabelSpot { at, view: view.look, within: inner(view), worse }
        })
    });
    Wish { text, spots: spots.collect() }
}

/// How much worse a place on a tube is for other tubes that lie there, most so over it.
fn hidden(strands: &[Strand], tube: usize, at: Dot, towards: f64) -> f64 {
    let others = strands.iter().filter(|strand| strand.of != tube);
    let worst = others.flat_map(|strand| strand.points.windows(2)).map(|pair| {
        if off_segment(at, pair[0].0, pair[1].0) > TOGETHER {
            0.0
        } else if pair[0].1.max(pair[1].1) > towards {
            150.0
        } else {
            60.0
        }
    });
    worst.fold(0.0, f64::max)
}

/// The place a part of the way along a strand, and how near it is to the viewer.
fn along(strand: &Strand, part: f64) -> (Dot, f64) {
    let lengths: Vec<f64> = strand.points.windows(2).map(|pair| distance(pair[0].0, pair[1].0)).collect();
    let mut left = lengths.iter().sum::<f64>() * part;
    for (pair, length) in strand.points.windows(2).zip(lengths) {
        if left <= length && length > 0.0 {
            let ((from, near), (to, far)) = (pair[0], pair[1]);
            return (between(from, to, left / length), near + (far - near) * left / length);
        }
        left -= length;
    }
    strand.points[0]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn names_that_one_label_cannot_hold_stand_in_several() {
        let names: Vec<String> = (0..12).map(|number| format!("bulkhead {number}.l")).collect();
        let labels = in_labels(names.clone(), 460);
        assert!(labels.len() > 3, "{labels:?}");
        assert!(labels.iter().all(|label| width(&label.join(", "), SMALL) <= 460), "{labels:?}");
        assert_eq!(labels.concat(), names);
        let wide = vec!["W".repeat(64), "A".to_owned()];
        assert_eq!(in_labels(wide.clone(), 460), [[wide[0].clone()], [wide[1].clone()]]);
    }
}
