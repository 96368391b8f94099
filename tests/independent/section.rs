//! Figures of a section and its material, from the text of the model and the formulas' sources.

use std::f64::consts::PI;

use serde_json::Value;

use crate::support::values::{number, word};

/// What a length of tube resists and weighs.
#[derive(Debug, Clone, Copy)]
pub(super) struct Figures {
    /// E A, N.
    pub(super) ea_n: f64,
    /// 1/(G As) along y and z, 1/N; 0 without shear flexibility.
    pub(super) per_shear: [f64; 2],
    /// G J, N·mm².
    pub(super) gj_nmm2: f64,
    /// E I about y and z, N·mm².
    pub(super) ei_nmm2: [f64; 2],
    /// Mass of a length, kg/mm.
    pub(super) kg_per_mm: f64,
    /// Rotary inertia of a length about y and z, kg·mm.
    pub(super) rotary_kg_mm: [f64; 2],
}

/// Places and weights of Gauss's rule with three places: exact to the fifth power.
pub(super) fn gauss(from: f64, to: f64) -> [(f64, f64); 3] {
    let (middle, half) = (0.5 * (from + to), 0.5 * (to - from));
    let out = half * 0.6_f64.sqrt();
    [(middle - out, half * 5.0 / 9.0), (middle, half * 8.0 / 9.0), (middle + out, half * 5.0 / 9.0)]
}

/// Areas and second moments: area, about y, about z, torsion; shear areas along y and z.
struct Shape {
    area: f64,
    iy: f64,
    iz: f64,
    j: f64,
    shear: [Option<f64>; 2],
}

/// A circle of this outside and inside, mm.
///
/// Shear factor: Cowper, J. Appl. Mech. 33 (1966), hollow circle.
fn annulus(outer: f64, inner: f64, poisson: f64) -> Shape {
    let area = PI * (outer.powi(2) - inner.powi(2)) / 4.0;
    let i = PI * (outer.powi(4) - inner.powi(4)) / 64.0;
    let m2 = (inner / outer).powi(2);
    let sum = (1.0 + m2).powi(2);
    let factor = 6.0 * (1.0 + poisson) * sum / ((7.0 + 6.0 * poisson) * sum + (20.0 + 12.0 * poisson) * m2);
    Shape { area, iy: i, iz: i, j: 2.0 * i, shear: [Some(factor * area); 2] }
}

/// Area and second moment, about the axis across `height`, of a rectangle with rounded corners,
/// integrated strip by strip.
fn rounded(width: f64, height: f64, radius: f64) -> [f64; 2] {
    let straight = height - 2.0 * radius;
    let mut sums = [width * straight, width * straight.powi(3) / 12.0];
    const PANELS: usize = 40;
    let at = |panel: usize| panel as f64 / PANELS as f64 * PI / 2.0;
    for (angle, weight) in (0..PANELS).flat_map(|panel| gauss(at(panel), at(panel + 1))) {
        let strip = (width - 2.0 * radius * (1.0 - angle.cos())) * radius * angle.cos() * weight;
        let arm = straight / 2.0 + radius * angle.sin();
        sums[0] += 2.0 * strip;
        sums[1] += 2.0 * strip * arm * arm;
    }
    sums
}

/// A tube with flat walls and round corners.
///
/// Torsion: EN 10219-2 Annex B, It = t³h/3 + 2 K Ah. Shear area: the two walls along the force.
fn boxed(width: f64, depth: f64, wall: f64, [outer, inner]: [f64; 2]) -> Shape {
    let hollow = |across: f64, along: f64| {
        let [area, i] = rounded(across, along, outer);
        let [no_area, no_i] = rounded(across - 2.0 * wall, along - 2.0 * wall, inner);
        [area - no_area, i - no_i]
    };
    let [area, iy] = hollow(width, depth);
    let [_, iz] = hollow(depth, width);
    let radius = 0.5 * (outer + inner);
    let round = 2.0 * ((width - wall) + (depth - wall)) - 2.0 * radius * (4.0 - PI);
    let enclosed = (width - wall) * (depth - wall) - radius * radius * (4.0 - PI);
    let k = 2.0 * enclosed * wall / round;
    Shape {
        area,
        iy,
        iz,
        j: wall.powi(3) * round / 3.0 + 2.0 * k * enclosed,
        shear: [width, depth].map(|outer| Some(2.0 * wall * (outer - wall))),
    }
}

/// A solid rectangle. Torsion: Saint-Venant's series (Timoshenko & Goodier, Theory of Elasticity).
fn flat(width: f64, thickness: f64) -> Shape {
    let (long, short) = (width.max(thickness), width.min(thickness));
    let terms = (0..200).map(|at| f64::from(2 * at + 1));
    let sum: f64 = terms.map(|n| (n * PI * long / (2.0 * short)).tanh() / n.powi(5)).sum();
    let area = width * thickness;
    Shape {
        area,
        iy: area * thickness.powi(2) / 12.0,
        iz: area * width.powi(2) / 12.0,
        j: long * short.powi(3) / 3.0 * (1.0 - 192.0 / PI.powi(5) * short / long * sum),
        shear: [Some(area * 5.0 / 6.0); 2],
    }
}

/// Outer and inner corner radius: EN 10219-2 Annex B, or EN 10210-2 Annex A where hot finished; an
/// outer radius that is given takes the inner along.
fn radii(keys: &Value, wall: f64, is_hot: bool) -> [f64; 2] {
    match keys.get("outer_radius").map(number) {
        Some(outer) => [outer, (outer - wall).max(0.0)],
        None if is_hot => [1.5 * wall, wall],
        None => {
            assert!(wall <= 6.0, "radii of thicker walls are not here");
            [2.0 * wall, wall]
        }
    }
}

impl Figures {
    /// The figures of a tube size. A material that the file does not have is built in: its figures
    /// are those that the result names.
    pub(super) fn of(model: &Value, result: &Value, tube: &str) -> Figures {
        let drawn = &model["tubes"][tube];
        let name = word(&drawn["material"]);
        let material = model["materials"].get(name).unwrap_or(&result["materials"][name]);
        let e = number(&material["youngs_modulus"]);
        let g = material.get("shear_modulus").map_or(e / 2.6, number);
        let poisson = e / (2.0 * g) - 1.0;
        let is_hot = material.get("finish").is_some_and(|finish| finish == "hot");
        let (kind, keys) =
            drawn.as_object().into_iter().flatten().find(|(key, _)| *key != "material").expect("a section");
        let of = |key: &str| number(&keys[key]);
        let shape = match kind.as_str() {
            "round" => annulus(of("od"), of("od") - 2.0 * of("wall"), poisson),
            "bar" => annulus(of("od"), 0.0, poisson),
            "square" => boxed(of("side"), of("side"), of("wall"), radii(keys, of("wall"), is_hot)),
            "rect" => boxed(of("width"), of("depth"), of("wall"), radii(keys, of("wall"), is_hot)),
            "flat" => flat(of("width"), of("thickness")),
            "given" => Shape {
                area: of("a"),
                iy: of("iy"),
                iz: of("iz"),
                j: of("j"),
                shear: ["ay", "az"].map(|key| keys.get(key).map(number)),
            },
            other => panic!("section {other}"),
        };
        let density_kg_mm3 = number(&material["density"]) * 1e-9;
        Figures {
            ea_n: e * shape.area,
            per_shear: shape.shear.map(|area| area.map_or(0.0, |area| 1.0 / (g * area))),
            gj_nmm2: g * shape.j,
            ei_nmm2: [e * shape.iy, e * shape.iz],
            kg_per_mm: density_kg_mm3 * shape.area,
            rotary_kg_mm: [density_kg_mm3 * shape.iy, density_kg_mm3 * shape.iz],
        }
    }
}
