//! Balance of an anti-roll bar.

use nalgebra::Vector3;

use crate::model::{AntiRoll, Model};

/// Forces of an anti-roll bar for a tension of 1 N in its left link.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BarBalance {
    /// Tension of the left and of the right link, N.
    pub tension_n: [f64; 2],
    /// Force of each link on its foot, N.
    pub on_foot_n: [Vector3<f64>; 2],
    /// Force of the bar on each bearing, N.
    pub on_bearing_n: [Vector3<f64>; 2],
}

/// The forces of a bar with a tension of 1 N in its left link.
///
/// The moments of both link forces about the line of the bearings are in balance; the bearings
/// carry the rest square to that line, and half each along it.
pub fn bar_balance(model: &Model, bar: &AntiRoll) -> BarBalance {
    let bearing = [0, 1].map(|side: usize| model.anchor_at(bar.sides[side].bearing));
    let between = bearing[1] - bearing[0];
    let line = between.normalize();
    let along = [0, 1].map(|side: usize| (bar.sides[side].foot - bar.sides[side].end).normalize());
    let arm = [0, 1].map(|side: usize| bar.sides[side].end - bearing[0]);
    let lever = [0, 1].map(|side: usize| arm[side].cross(&along[side]).dot(&line));
    let tension_n = [1.0, -lever[0] / lever[1]];
    // On the bar: each link in tension pulls its end towards its foot.
    let on_bar = [0, 1].map(|side: usize| along[side] * tension_n[side]);
    let total = on_bar[0] + on_bar[1];
    // Moment about the left bearing, carried by a force at the right one square to the line.
    let moment = arm[0].cross(&on_bar[0]) + arm[1].cross(&on_bar[1]);
    let right = moment.cross(&between) / between.norm_squared();
    let axial = line * total.dot(&line);
    let left = (total - axial) - right;
    BarBalance {
        tension_n,
        on_foot_n: [0, 1].map(|side: usize| -along[side] * tension_n[side]),
        on_bearing_n: [left + axial * 0.5, right + axial * 0.5],
    }
}
