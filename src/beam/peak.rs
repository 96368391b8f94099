//! The largest von Mises stress round the outline and along a beam.
//!
//! Along a beam the stress of a fibre is σ(x), at most quadratic, and τ(x), at most linear, so that
//! σ² + 3τ² has its largest value at an end or where its derivative, a cubic, is zero. On a round
//! section the angle is found as well: for each x the largest value round the circle, and along x
//! the zero of its derivative (which is that of the fibre with the largest value).

use super::Diagram;
use super::worst_angle::Round;
use crate::math::{larger_than, real_roots};
use crate::section::{Circle, Fibres, InternalForces, StressForm, StressParts};

/// The largest stress of a stretch, and where it is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Peak {
    /// Distance from the first end of the stretch, mm.
    pub at_mm: f64,
    /// Its parts, signed at that fibre.
    pub stress: StressParts,
    /// Von Mises stress, MPa.
    pub von_mises_mpa: f64,
}

impl Peak {
    fn new(at_mm: f64, stress: StressParts) -> Self {
        Self { at_mm, stress, von_mises_mpa: stress.von_mises() }
    }

    /// The larger of two; the earlier where they are equal.
    fn or_later(self, later: Peak) -> Peak {
        if larger_than(later.von_mises_mpa, self.von_mises_mpa) { later } else { self }
    }
}

/// The largest stress round the outline at one place.
fn stress_at(fibres: &Fibres, forces: &InternalForces) -> StressParts {
    worst_fibre(fibres, forces).stress(forces)
}

/// The place of the outline with the largest stress under some forces, its parts with the signs
/// that they have under these: a linear form, so that the stresses of parts of the forces add up.
pub fn worst_fibre(fibres: &Fibres, forces: &InternalForces) -> StressForm {
    match fibres {
        Fibres::Circle(circle) => circle.fibre(Round::new(circle, forces).worst_angle()),
        Fibres::Points(forms) => forms
            .iter()
            .map(|form| (form, form.stress(forces).von_mises()))
            .reduce(|best, next| if larger_than(next.1, best.1) { next } else { best })
            .map_or_else(StressForm::default, |(form, _)| form.with_signs_of(forces)),
    }
}

/// The largest stress at each end of a beam.
pub fn end_peaks(fibres: &Fibres, diagram: &Diagram) -> [Peak; 2] {
    [0.0, diagram.length_mm].map(|x| Peak::new(x, stress_at(fibres, &diagram.at(x))))
}

/// The largest stress of a beam from those at its ends; the search inside the span is left out where
/// it cannot give more than the ends or than `floor_mpa`.
///
/// The bound: at ξL a fibre's σ departs from the straight line between its end values by at most
/// 4ξ(1 − ξ) S, S the stress of qL²/8. A straight line's √(σ² + 3τ²) is convex, so that stress is at
/// most (1 − ξ) s₁ + ξ s₂ + 4ξ(1 − ξ) S, which passes the larger of s₁ and s₂ only if 4S > |s₂ − s₁|.
pub fn peak(fibres: &Fibres, diagram: &Diagram, [first, last]: [Peak; 2], floor_mpa: f64) -> Peak {
    let length = diagram.length_mm;
    let ends = first.or_later(last);
    let moments = InternalForces {
        my: diagram.load_n_mm.z.abs() * length * length / 8.0,
        mz: diagram.load_n_mm.y.abs() * length * length / 8.0,
        ..InternalForces::default()
    };
    let sag_mpa = largest_bending(fibres, &moments);
    let rises_mpa = (last.von_mises_mpa - first.von_mises_mpa).abs();
    if 4.0 * sag_mpa <= rises_mpa || ends.von_mises_mpa + sag_mpa < floor_mpa {
        return ends;
    }
    let inside = match fibres {
        Fibres::Circle(circle) => inside_circle(circle, diagram),
        Fibres::Points(forms) => forms.iter().flat_map(|form| inside_form(form, diagram)).collect(),
    };
    inside.into_iter().map(|x| Peak::new(x, stress_at(fibres, &diagram.at(x)))).chain([last]).fold(
        first,
        |best, next| match (
            larger_than(next.von_mises_mpa, best.von_mises_mpa),
            larger_than(best.von_mises_mpa, next.von_mises_mpa),
        ) {
            (true, _) => next,
            (false, false) if next.at_mm < best.at_mm => next,
            _ => best,
        },
    )
}

/// A bound on |σ| from bending moments of these magnitudes, whatever their signs.
fn largest_bending(fibres: &Fibres, moments: &InternalForces) -> f64 {
    match fibres {
        Fibres::Circle(circle) => circle.per_moment * moments.my.hypot(moments.mz),
        Fibres::Points(forms) => forms
            .iter()
            .map(|form| (form.per_my * moments.my).abs() + (form.per_mz * moments.mz).abs())
            .fold(0.0, f64::max),
    }
}

/// Places inside the span where the largest value round the circle is stationary.
fn inside_circle(circle: &Circle, diagram: &Diagram) -> Vec<f64> {
    const STRETCHES: u32 = 12;
    let rising_at = |forces: &InternalForces, angle: f64| {
        let q = &diagram.load_n_mm;
        let change = InternalForces { n: -q.x, vy: -q.y, vz: -q.z, t: 0.0, my: forces.vz, mz: -forces.vy };
        let (now, next) = (circle.stress(forces, angle), circle.stress(&change, angle));
        let (sigma, tau) = (now.axial + now.bending, now.torsion + now.shear);
        sigma * (next.axial + next.bending) + 3.0 * tau * next.shear
    };
    let rising = |x: f64| {
        let forces = diagram.at(x);
        rising_at(&forces, Round::new(circle, &forces).worst_angle())
    };
    // Of two sides of the tube that are equally stressed, one may rise towards `x` and one fall.
    let rises_beyond = |x: f64| {
        let forces = diagram.at(x);
        Round::new(circle, &forces).worst_angles().into_iter().any(|angle| rising_at(&forces, angle) > 0.0)
    };
    let falls_before = |x: f64| {
        let forces = diagram.at(x);
        Round::new(circle, &forces).worst_angles().into_iter().any(|angle| rising_at(&forces, angle) <= 0.0)
    };
    // Where the axial force changes its sign the other side of the tube takes over, and where the
    // moment is smallest another maximum begins: there may be one on either hand, however near.
    let (f, q, length) = (&diagram.first, &diagram.load_n_mm, diagram.length_mm);
    let moments = [[f.my, f.vz, -q.z / 2.0], [f.mz, -f.vy, q.y / 2.0]];
    let mut places = real_roots([f.n, -q.x, 0.0, 0.0], 0.0, length);
    places.extend(real_roots(slope_of_squares([(&moments[0], 1.0), (&moments[1], 1.0)]), 0.0, length));
    let mut stops: Vec<f64> =
        (0..=STRETCHES).map(|stretch| length * f64::from(stretch) / f64::from(STRETCHES)).collect();
    stops.extend(&places);
    stops.sort_by(f64::total_cmp);
    places.extend(stops.windows(2).filter_map(|stretch| {
        // Just inside: at a stop itself either side of the tube may be found.
        let inset = 1e-7 * (stretch[1] - stretch[0]);
        let (mut low, mut high) = (stretch[0] + inset, stretch[1] - inset);
        if !(rises_beyond(low) && falls_before(high)) {
            return None;
        }
        loop {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                return Some(middle);
            }
            if rising(middle) > 0.0 {
                low = middle;
            } else {
                high = middle;
            }
        }
    }));
    places.retain(|x| *x > 0.0 && *x < length);
    places
}

/// Coefficients of a polynomial of degree two or less, by rising power.
type Quadratic = [f64; 3];

/// Places inside the span where σ² + 3τ² of one fibre is stationary.
fn inside_form(form: &StressForm, diagram: &Diagram) -> Vec<f64> {
    let (f, q, length) = (&diagram.first, &diagram.load_n_mm, diagram.length_mm);
    let normal: [Quadratic; 3] = [
        [form.per_axial * f.n, -form.per_axial * q.x, 0.0],
        [form.per_my * f.my, form.per_my * f.vz, -form.per_my * q.z / 2.0],
        [form.per_mz * f.mz, -form.per_mz * f.vy, form.per_mz * q.y / 2.0],
    ];
    let shear: [Quadratic; 3] = [
        [form.per_torque * f.t, 0.0, 0.0],
        [form.per_vy * f.vy, -form.per_vy * q.y, 0.0],
        [form.per_vz * f.vz, -form.per_vz * q.z, 0.0],
    ];
    // Where parts add as magnitudes, the polynomial changes at the zeros of each part.
    let mut stops = vec![0.0, length];
    for (parts, as_magnitudes) in [(&normal, form.normal_as_magnitudes), (&shear, form.shear_as_magnitudes)] {
        if as_magnitudes {
            stops.extend(parts.iter().flat_map(|part| real_roots([part[0], part[1], part[2], 0.0], 0.0, length)));
        }
    }
    stops.sort_by(f64::total_cmp);
    let mut places = Vec::new();
    for stretch in stops.windows(2) {
        let middle = 0.5 * (stretch[0] + stretch[1]);
        let sigma = sum(&normal, form.normal_as_magnitudes, middle);
        let tau = sum(&shear, form.shear_as_magnitudes, middle);
        places.extend(real_roots(slope_of_squares([(&sigma, 1.0), (&tau, 3.0)]), stretch[0], stretch[1]));
        places.push(stretch[1]);
    }
    places.retain(|x| *x > 0.0 && *x < length);
    places
}

/// The sum of three parts, each with the sign that makes it positive at `x` where magnitudes add.
fn sum(parts: &[Quadratic; 3], as_magnitudes: bool, x: f64) -> Quadratic {
    let mut total = [0.0; 3];
    for part in parts {
        let value = (part[2] * x + part[1]) * x + part[0];
        let sign = if as_magnitudes && value < 0.0 { -1.0 } else { 1.0 };
        for (sum, coefficient) in total.iter_mut().zip(part) {
            *sum += sign * coefficient;
        }
    }
    total
}

/// Half of the derivative of a sum of squares, each so many times: a cubic.
fn slope_of_squares(squares: [(&Quadratic, f64); 2]) -> [f64; 4] {
    let half = |p: &Quadratic| [p[0] * p[1], p[1] * p[1] + 2.0 * p[0] * p[2], 3.0 * p[1] * p[2], 2.0 * p[2] * p[2]];
    std::array::from_fn(|power| squares.iter().map(|(p, times)| times * half(p)[power]).sum())
}

#[cfg(test)]
mod tests {
    use std::f64::consts::TAU;

    use nalgebra::Vector3;

    use super::*;
    use crate::math::assert_near;
    use crate::section::{Bar, BoxTube, Finish, Flat, Given, Properties, RoundTube, Section};

    fn sections() -> Vec<Section> {
        vec![
            RoundTube { od_mm: 30.0, wall_mm: 2.0 }.into(),
            Bar { od_mm: 18.0 }.into(),
            BoxTube::standard(50.0, 30.0, 3.0, Finish::Cold).into(),
            Flat { width_mm: 40.0, thickness_mm: 8.0 }.into(),
            Given(Properties {
                area_mm2: 300.0,
                iy_mm4: 4e4,
                iz_mm4: 3e4,
                j_mm4: 5e4,
                ay_mm2: Some(150.0),
                az_mm2: None,
                cy_mm: 20.0,
                cz_mm: 18.0,
                ct_mm3: Some(3e3),
                plastic_mm3: None,
            })
            .into(),
        ]
    }

    /// The other route: many places, many angles.
    fn by_sampling(fibres: &Fibres, diagram: &Diagram) -> f64 {
        by_so_many_samples(fibres, diagram, 2000, 720)
    }

    fn by_so_many_samples(fibres: &Fibres, diagram: &Diagram, along: u32, round: u32) -> f64 {
        let mut most: f64 = 0.0;
        for step in 0..=along {
            let forces = diagram.at(diagram.length_mm * f64::from(step) / f64::from(along));
            let here = match fibres {
                Fibres::Circle(circle) => (0..round)
                    .map(|angle| circle.stress(&forces, f64::from(angle) * TAU / f64::from(round)).von_mises())
                    .fold(0.0, f64::max),
                Fibres::Points(forms) => forms.iter().map(|form| form.stress(&forces).von_mises()).fold(0.0, f64::max),
            };
            most = most.max(here);
        }
        most
    }

    #[test]
    fn the_peak_is_that_of_a_fine_search_along_and_round() {
        for (number, section) in sections().into_iter().enumerate() {
            for seed in 0..12_u32 {
                let draw = |place: u32| (f64::from(seed * 37 + place * 101 + number as u32 * 7) * 0.731).sin();
                let diagram = Diagram {
                    first: InternalForces {
                        n: 4000.0 * draw(1),
                        vy: 900.0 * draw(2),
                        vz: 900.0 * draw(3),
                        t: 1.5e5 * draw(4),
                        my: 2e5 * draw(5),
                        mz: 2e5 * draw(6),
                    },
                    load_n_mm: Vector3::new(2.0 * draw(7), 4.0 * draw(8), 4.0 * draw(9)),
                    length_mm: 500.0,
                };
                let fibres = section.fibres();
                let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0).von_mises_mpa;
                let sampled = by_sampling(&fibres, &diagram);
                assert!(found >= sampled * (1.0 - 1e-12), "{section:?} seed {seed}: {found} < {sampled}");
                assert_near(found, sampled, 1e-4);
            }
        }
    }

    #[test]
    fn a_simple_beam_under_uniform_load_peaks_at_midspan() {
        let section = Section::from(BoxTube::standard(40.0, 40.0, 2.0, Finish::Cold));
        let (q, l) = (1.2, 700.0);
        let diagram = Diagram {
            first: InternalForces { vz: q * l / 2.0, ..InternalForces::default() },
            load_n_mm: Vector3::new(0.0, 0.0, q),
            length_mm: l,
        };
        let fibres = section.fibres();
        let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0);
        assert_near(found.at_mm, 350.0, 1e-12);
        let p = section.properties(0.3);
        assert_near(found.von_mises_mpa, q * l * l / 8.0 / (p.iy_mm4 / 20.0), 1e-12);
    }

    #[test]
    fn the_peak_just_inside_an_end_without_forces_is_found() {
        let fibres = Section::from(RoundTube { od_mm: 39.0, wall_mm: 1.6256 }).fibres();
        // At the far end there is neither axial nor shear force, as where a tube slides: bending
        // rises to there, ever more slowly, while the push that adds to it falls.
        let first = InternalForces { n: -20.0715, vy: -5.548, vz: 2.263, t: -34_037.5, my: 25_604.0, mz: 43_824.5 };
        let length_mm = 811.5;
        let load_n_mm = Vector3::new(first.n, first.vy, first.vz) / length_mm;
        let diagram = Diagram { first, load_n_mm, length_mm };
        // The same from the other end: what is nothing there is nothing at the first.
        let turned = Diagram {
            first: InternalForces { n: 0.0, vy: 0.0, vz: 0.0, ..diagram.at(length_mm) },
            load_n_mm: Vector3::new(-load_n_mm.x, load_n_mm.y, load_n_mm.z),
            length_mm,
        };
        for diagram in [diagram, turned] {
            let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0);
            let sampled = by_sampling(&fibres, &diagram);
            assert!(found.von_mises_mpa >= sampled * (1.0 - 1e-12), "{found:?} < {sampled}");
            assert!(found.at_mm > 1.0 && found.at_mm < length_mm - 1.0, "{found:?}");
        }
    }

    #[test]
    fn of_two_maxima_on_either_hand_of_no_axial_force_the_larger_is_found() {
        let bar = Bar { od_mm: 20.0 };
        let fibres = Section::from(bar).fibres();
        // Bending is largest at 364 mm, the axial force is nothing at 366 mm: the push before and
        // the pull behind make a maximum each, about 344 and 384 mm, in one step of the search.
        let diagram = Diagram {
            first: InternalForces { n: -8.0 * 366.0, vz: 364.0, my: 1e4, ..InternalForces::default() },
            load_n_mm: Vector3::new(-8.0, 0.0, 1.0),
            length_mm: 800.0,
        };
        let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0).von_mises_mpa;
        let sampled = by_sampling(&fibres, &diagram);
        assert!(found >= sampled * (1.0 - 1e-12), "{found} < {sampled}");
    }

    #[test]
    fn a_search_that_cannot_reach_the_floor_returns_the_ends() {
        let section = Section::from(Bar { od_mm: 20.0 });
        let diagram = Diagram {
            first: InternalForces { vz: 350.0, ..InternalForces::default() },
            load_n_mm: Vector3::new(0.0, 0.0, 1.0),
            length_mm: 700.0,
        };
        let fibres = section.fibres();
        let above = |floor_mpa| peak(&fibres, &diagram, end_peaks(&fibres, &diagram), floor_mpa).von_mises_mpa;
        assert!(above(1e6) < above(0.0));
    }

    /// All parts of the forces large enough that the worst place lies inside the span, at many angles of the load.
    #[test]
    fn inside_a_span_the_peak_of_a_section_with_corners_is_that_of_a_fine_search() {
        for section in sections().into_iter().skip(2) {
            for seed in 0..16_u32 {
                let draw = |place: u32| (f64::from(seed * 41 + place * 89) * 0.617).sin();
                let load = Vector3::new(6.0 * draw(1), 5.0 * draw(2) + 2.0, 5.0 * draw(3) - 2.0);
                let length_mm = 600.0;
                let first = InternalForces {
                    n: 2000.0 * draw(4) + load.x * 300.0,
                    vy: load.y * length_mm * (0.5 + 0.1 * draw(5)),
                    vz: load.z * length_mm * (0.5 + 0.1 * draw(6)),
                    t: 8e4 * draw(7),
                    my: -0.02 * load.z * length_mm * length_mm,
                    mz: 0.03 * load.y * length_mm * length_mm,
                };
                let diagram = Diagram { first, load_n_mm: load, length_mm };
                let fibres = section.fibres();
                let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0);
                let sampled = by_sampling(&fibres, &diagram);
                assert!(found.von_mises_mpa >= sampled * (1.0 - 1e-12), "{section:?} seed {seed}: {found:?} {sampled}");
                assert!(found.von_mises_mpa <= sampled * (1.0 + 1e-5), "{section:?} seed {seed}: {found:?} {sampled}");
            }
        }
    }

    #[test]
    fn of_ends_that_are_stressed_alike_the_first_is_named() {
        // Built in at both ends: qL²/12 there, qL²/24 in the middle.
        let (q, l) = (1.2, 600.0);
        let first = InternalForces { vz: q * l / 2.0, my: -q * l * l / 12.0, ..InternalForces::default() };
        let diagram = Diagram { first, load_n_mm: Vector3::new(0.0, 0.0, q), length_mm: l };
        for section in sections() {
            let fibres = section.fibres();
            assert_eq!(peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0).at_mm, 0.0, "{section:?}");
        }
    }

    #[test]
    fn of_two_places_inside_a_span_that_are_stressed_alike_the_first_is_named() {
        // The pull grows from −2 to 2 kN and the moment is the same from both ends: at ±z the stress is largest as
        // far before the middle as behind it.
        let (q, l) = (1.2, 700.0);
        let first = InternalForces { n: -2000.0, vz: q * l / 2.0, ..InternalForces::default() };
        let diagram = Diagram { first, load_n_mm: Vector3::new(-4000.0 / l, 0.0, q), length_mm: l };
        for section in sections() {
            let fibres = section.fibres();
            let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0);
            assert!(found.at_mm < l / 2.0, "{section:?} {found:?}");
        }
    }

    /// Forces of a span whose moments about y and z are (M ξ + 4 ξ (1 − ξ) S) times `about`.
    fn bent(about: [f64; 2], m: f64, s: f64, length_mm: f64) -> Diagram {
        let (q, v) = (8.0 * s / length_mm.powi(2), (m + 4.0 * s) / length_mm);
        let first = InternalForces { vy: -v * about[1], vz: v * about[0], ..InternalForces::default() };
        Diagram { first, load_n_mm: Vector3::new(0.0, -q * about[1], q * about[0]), length_mm }
    }

    #[test]
    fn a_peak_that_hardly_passes_the_larger_end_or_the_floor_is_found() {
        // 4S = 1.25 M: largest at ξ = 0.9, 1.0125 M. Without M: S in the middle.
        let form = |per_my: f64, per_mz: f64| StressForm { per_my, per_mz, ..StressForm::default() };
        let circle = Circle { per_axial: 1e-2, per_moment: 1e-3, per_torque: 1e-3, per_shear: 0.0 };
        for (fibres, about) in [
            (Fibres::Points(vec![form(1e-3, 0.0)]), [1.0, 0.0]),
            (Fibres::Points(vec![form(0.0, 1e-3)]), [0.0, 1.0]),
            (Fibres::Circle(circle), [1.0, 0.0]),
            (Fibres::Circle(circle), [0.0, 1.0]),
        ] {
            let of = |diagram: Diagram, floor_mpa| peak(&fibres, &diagram, end_peaks(&fibres, &diagram), floor_mpa);
            let found = of(bent(about, 2e5, 6.25e4, 600.0), 0.0);
            assert_near(found.von_mises_mpa, 202.5, 1e-9);
            assert_near(found.at_mm, 540.0, 1e-6);
            assert_near(of(bent(about, 0.0, 3e4, 600.0), 29.9).von_mises_mpa, 30.0, 1e-9);
        }
    }

    #[test]
    fn without_shear_the_peak_of_a_round_tube_or_of_figures_is_that_of_a_fine_search_along_it() {
        // Round: |n|/A and the moment of both axes together. Figures: all three parts as magnitudes.
        let circle =
            Circle { per_axial: 1.0 / 176.0, per_moment: 1.0 / 1155.0, per_torque: 1.0 / 2310.0, per_shear: 0.0 };
        let (per_my, per_mz) = (1.0 / 1155.0, 1.0 / 900.0);
        let form =
            StressForm { per_axial: 1.0 / 176.0, per_my, per_mz, normal_as_magnitudes: true, ..StressForm::default() };
        for seed in 0..150_u32 {
            let draw = |place: u32| (f64::from(seed * 43 + place * 71) * 0.619).sin();
            let load = Vector3::new(8.0 * draw(1), 5.0 * draw(2), 5.0 * draw(3));
            let first = InternalForces {
                n: load.x * 250.0 + 1000.0 * draw(4),
                vy: load.y * 250.0 + 400.0 * draw(5),
                vz: load.z * 250.0 + 400.0 * draw(6),
                t: 5e4 * draw(7),
                my: 1e5 * draw(8),
                mz: 1e5 * draw(9),
            };
            let diagram = Diagram { first, load_n_mm: load, length_mm: 500.0 };
            let along = (0..=2000).map(|step| diagram.at(f64::from(step) / 4.0));
            let round = |f: InternalForces| {
                (f.n.abs() / 176.0 + f.my.hypot(f.mz) / 1155.0).hypot(3.0_f64.sqrt() * f.t / 2310.0)
            };
            let given = |f: InternalForces| f.n.abs() / 176.0 + f.my.abs() / 1155.0 + f.mz.abs() / 900.0;
            for (fibres, sampled) in [
                (Fibres::Circle(circle), along.clone().map(round).fold(0.0, f64::max)),
                (Fibres::Points(vec![form]), along.map(given).fold(0.0, f64::max)),
            ] {
                let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0).von_mises_mpa;
                assert!(found >= sampled * (1.0 - 1e-12), "{fibres:?} seed {seed}: {found} < {sampled}");
                assert_near(found, sampled, 1e-5);
            }
        }
    }

    #[test]
    fn on_a_stub_that_is_sheared_and_twisted_the_peak_is_that_of_a_search_along_and_round() {
        let fibres = Section::from(RoundTube { od_mm: 30.0, wall_mm: 2.0 }).fibres();
        let mut inside = 0;
        for seed in 0..24_u32 {
            let draw = |place: u32| (f64::from(seed * 59 + place * 83) * 0.557).sin();
            // Bent about y most of all, in the middle, and sheared along y.
            let load = Vector3::new(5.0 * draw(1), 60.0 * draw(2), 120.0 + 30.0 * draw(3));
            let vy = 3000.0 * draw(5);
            let first = InternalForces {
                n: 3000.0 * draw(4),
                vy,
                vz: load.z * 75.0 + 500.0 * draw(6),
                t: 1e5 * draw(7),
                my: 1e4 * draw(8),
                mz: vy * 75.0,
            };
            let diagram = Diagram { first, load_n_mm: load, length_mm: 150.0 };
            let found = peak(&fibres, &diagram, end_peaks(&fibres, &diagram), 0.0);
            inside += u32::from(found.at_mm > 1.0 && found.at_mm < 149.0);
            let sampled = by_so_many_samples(&fibres, &diagram, 200, 360);
            assert!(found.von_mises_mpa >= sampled * (1.0 - 1e-12), "seed {seed}: {found:?} < {sampled}");
            assert_near(found.von_mises_mpa, sampled, 1e-3);
        }
        assert!(inside > 8, "only {inside} peaks lie inside");
    }
}
