//! A map of the governing utilisation over `long` and `lat`, for a picture.

use super::{Searched, WorstOf};
use crate::math::Interval;

/// The governing utilisation over a plane of manoeuvres.
#[derive(Debug, Clone, PartialEq)]
pub struct Map {
    /// `vert` of the plane, g.
    pub vert_g: f64,
    /// What it reaches along and across, g.
    pub ranges: [Interval; 2],
    /// Rows from the least `lat` to the largest, in each from the least `long` to the largest: the
    /// largest utilisation at the middle of the field; `None`: the car cannot drive it.
    pub fields: Vec<Vec<Option<f64>>>,
    /// Where the car's abilities end within the ranges, `[long, lat]` in g: a stretch of the edge each.
    pub edges: Vec<Vec<[f64; 2]>>,
}

/// How many fields the map has along and across.
const FIELDS: usize = 60;
/// How many points its edge has.
const EDGE_POINTS: usize = 1080;

/// The map through the worst manoeuvre that was found; `worst`: all that were found.
pub fn map(searched: &Searched<'_>, worst: &[WorstOf]) -> Map {
    let [long, lat, vert] = searched.manoeuvres.ranges;
    let vert_g = worst.first().map_or(vert.low, |worst| worst.at_g[2]);
    let measures: Vec<_> = searched.superposed.measures.iter().filter(|measure| measure.limit.is_some()).collect();
    let field = |range: Interval, at: usize| range.low + (range.high - range.low) * (at as f64 + 0.5) / FIELDS as f64;
    let fields = (0..FIELDS).map(|row| {
        (0..FIELDS)
            .map(|column| {
                let coefficients = searched.driven([field(long, column), field(lat, row), vert_g])?;
                let utilisations =
                    measures.iter().filter_map(|measure| measure.utilisation(measure.value(&coefficients)));
                Some(utilisations.fold(0.0, f64::max))
            })
            .collect()
    });
    Map { vert_g, ranges: [long, lat], fields: fields.collect(), edges: edges(searched, [long, lat], vert_g) }
}

/// Where the car's abilities end as seen from standing, cut where that leaves the ranges; none where it cannot stand.
fn edges(searched: &Searched<'_>, ranges: [Interval; 2], vert_g: f64) -> Vec<Vec<[f64; 2]>> {
    let drives = |[long, lat]: [f64; 2]| searched.driven([long, lat, vert_g]).is_some();
    if !drives([0.0, 0.0]) {
        return Vec::new();
    }
    let far = ranges[0].magnitude().hypot(ranges[1].magnitude());
    let at = |point: usize| {
        let (sin, cos) = (std::f64::consts::TAU * point as f64 / EDGE_POINTS as f64).sin_cos();
        let (mut least, mut most) = (0.0, far);
        for _ in 0..30 {
            let half = (least + most) / 2.0;
            if drives([half * cos, half * sin]) { least = half } else { most = half }
        }
        let end = [least * cos, least * sin];
        // A sine of half a turn is not quite 0.
        let is_in = |range: &Interval, at: f64| range.low - 1e-9 <= at && at <= range.high + 1e-9;
        let is_within = ranges.iter().zip(end).all(|(range, at)| is_in(range, at));
        (most < far && is_within).then_some(end)
    };
    let round: Vec<Option<[f64; 2]>> = (0..=EDGE_POINTS).map(at).collect();
    round
        .split(Option::is_none)
        .filter(|edge| edge.len() > 1)
        .map(|edge| edge.iter().flatten().copied().collect())
        .collect()
}
