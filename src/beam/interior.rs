//! How a beam gives way between its ends under its own inertia, or under its axial force on its bow.
//!
//! Stiffness, mass and geometric stiffness take the shape of a beam from its ends. Between them it
//! gives way further: as a beam built in at both ends, under the inertia of that shape, or under its
//! axial force times its curvature. With that the exact stiffness of a swinging or pushed beam is known
//! to one more term,
//!
//! ```text
//! D(ω²) = K − ω² M − ω⁴ X          D(λ) = K + λ Kσ − λ² X
//! ```
//!
//! from which an answer is corrected, and its error told. X is symmetric and at least zero.
//! Source: expansion of the exact member stiffness (Przemieniecki (1968), ch. 10 and 12, frequency
//! dependent mass and stiffness matrices); here by integration of the beam equations.

use nalgebra::Vector3;

use super::mass::LineMass;
use super::plane::{Bending, Plane};
use super::stiffness::Beam;
use super::{Matrix12, Vector12};

impl Beam {
    /// X of an axial force (N), local axes.
    pub fn interior_of_force(&self, n_n: f64) -> Matrix12 {
        let mut x = Matrix12::zeros();
        for (bending, ei, ga) in self.planes() {
            let span = Span { length_mm: self.length_mm, ei, ga };
            bending.add(&mut x, &span.interior(&span.loads_of_force(n_n)));
        }
        x
    }

    /// What an axial force (N) on the bow that a uniform load (N/mm) makes of the beam built in at both
    /// ends adds to the end loads of [`uniform_load`](super::uniform_load), to first order; local axes, N and N·mm.
    ///
    /// ```text
    /// moments at built-in ends under a push P: w L²/12 · (1 + P L²/(60 E I))
    /// ```
    pub fn uniform_load_on_bow(&self, n_n: f64, load_n_mm: &Vector3<f64>) -> Vector12 {
        let mut f = Vector12::zeros();
        for ((bending, ei, ga), across) in self.planes().into_iter().zip([load_n_mm.y, load_n_mm.z]) {
            let span = Span { length_mm: self.length_mm, ei, ga };
            let across = Polynomial::of([across, 0.0, 0.0, 0.0]);
            let (v, _) = span.built_in(&Load { across, turning: Polynomial::default() });
            let work = span.loads_of_force(n_n).map(|load| self.length_mm * load.across.with(v));
            bending.add_loads(&mut f, &work);
        }
        f
    }

    /// X of the inertia of a beam, local axes.
    pub fn interior_of_inertia(&self, mass: &LineMass) -> Matrix12 {
        let mut x = Matrix12::zeros();
        // γ cot γ and γ / sin γ to the fourth power.
        for (at, per_length, stiffness) in [(0, mass.shift_t_mm, self.ea_n), (3, mass.about_x_t_mm(), self.gj_nmm2)] {
            let c = per_length.powi(2) * self.length_mm.powi(3) / stiffness;
            for (row, column, part) in [
                (at, at, 1.0 / 45.0),
                (at + 6, at + 6, 1.0 / 45.0),
                (at, at + 6, 7.0 / 360.0),
                (at + 6, at, 7.0 / 360.0),
            ] {
                x[(row, column)] = c * part;
            }
        }
        let rotary = [mass.about_z_t_mm, mass.about_y_t_mm];
        for ((bending, ei, ga), rotary) in self.planes().into_iter().zip(rotary) {
            let span = Span { length_mm: self.length_mm, ei, ga };
            let loads =
                span.shapes().map(|(v, turn)| Load { across: v.times(mass.shift_t_mm), turning: turn.times(rotary) });
            bending.add(&mut x, &span.interior(&loads));
        }
        x
    }

    fn planes(&self) -> [(Bending, f64, f64); 2] {
        [(Bending::AboutZ, self.eiz_nmm2, self.gay_n), (Bending::AboutY, self.eiy_nmm2, self.gaz_n)]
    }
}

/// Coefficients of 1, ξ, ξ² … with ξ = x/L.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
struct Polynomial([f64; 8]);

impl Polynomial {
    fn of(lowest: [f64; 4]) -> Self {
        Self(std::array::from_fn(|power| lowest.get(power).copied().unwrap_or(0.0)))
    }

    fn times(self, factor: f64) -> Self {
        Self(self.0.map(|c| c * factor))
    }

    fn plus(self, other: Self) -> Self {
        Self(std::array::from_fn(|power| self.0[power] + other.0[power]))
    }

    /// By ξ.
    fn derivative(self) -> Self {
        Self(std::array::from_fn(|power| self.0.get(power + 1).map_or(0.0, |c| c * (power + 1) as f64)))
    }

    /// From 0 to ξ.
    fn integral(self) -> Self {
        Self(std::array::from_fn(|power| if power == 0 { 0.0 } else { self.0[power - 1] / power as f64 }))
    }

    fn at_one(self) -> f64 {
        self.0.iter().sum()
    }

    /// ∫ of the product from 0 to 1.
    fn with(self, other: Self) -> f64 {
        self.0.iter().zip(other.moments()).map(|(c, moment)| c * moment).sum()
    }

    /// ∫ of the product with each of 1, ξ, ξ² … from 0 to 1.
    fn moments(self) -> [f64; 8] {
        const OVER: [[f64; 8]; 8] = {
            let mut over = [[0.0; 8]; 8];
            let mut at = 0;
            while at < 64 {
                over[at / 8][at % 8] = 1.0 / (at / 8 + at % 8 + 1) as f64;
                at += 1;
            }
            over
        };
        let mut moments = [0.0; 8];
        for (c, over) in self.0.iter().zip(&OVER) {
            for (moment, over) in moments.iter_mut().zip(over) {
                *moment += c * over;
            }
        }
        moments
    }
}

/// What acts along a span: force across (N/mm) and moment (N·mm/mm).
#[derive(Debug, Clone, Copy)]
struct Load {
    across: Polynomial,
    turning: Polynomial,
}

/// A span in one plane of bending.
struct Span {
    length_mm: f64,
    ei: f64,
    ga: f64,
}

impl Span {
    /// The shift across and the turn along the span for a unit motion of each of `[v1, θ1, v2, θ2]`.
    ///
    /// Source: Przemieniecki (1968), ch. 5: the static shape of a Timoshenko beam.
    fn shapes(&self) -> [(Polynomial, Polynomial); 4] {
        let l = self.length_mm;
        let phi = 12.0 * self.ei / (self.ga * l * l);
        let f = 1.0 / (1.0 + phi);
        let shape = |v: [f64; 4], turn: [f64; 4]| (Polynomial::of(v).times(f), Polynomial::of(turn).times(f));
        [
            shape([1.0 + phi, -phi, -3.0, 2.0], [0.0, -6.0 / l, 6.0 / l, 0.0]),
            shape([0.0, l * (1.0 + phi / 2.0), -l * (2.0 + phi / 2.0), l], [1.0 + phi, -4.0 - phi, 3.0, 0.0]),
            shape([0.0, phi, 3.0, -2.0], [0.0, 6.0 / l, -6.0 / l, 0.0]),
            shape([0.0, -l * phi / 2.0, -l * (1.0 - phi / 2.0), l], [0.0, -2.0 + phi, 3.0, 0.0]),
        ]
    }

    /// What an axial force (N) on the curvature of each shape acts with: (N v')' = N v''.
    fn loads_of_force(&self, n_n: f64) -> [Load; 4] {
        self.shapes().map(|(v, _)| Load {
            across: v.derivative().derivative().times(n_n / self.length_mm.powi(2)),
            turning: Polynomial::default(),
        })
    }

    /// The work of each load on what each other one makes of the span built in at both ends.
    fn interior(&self, loads: &[Load; 4]) -> Plane {
        let unit_ends = self.unit_ends();
        let given_way = loads.map(|load| {
            let (v, turn) = self.held(&load, unit_ends);
            (v.moments(), turn.moments())
        });
        let work = |load: &Polynomial, moments: &[f64; 8]| -> f64 {
            load.0.iter().zip(moments).map(|(c, moment)| c * moment).sum()
        };
        let l = self.length_mm;
        std::array::from_fn(|i| {
            std::array::from_fn(|j| {
                let (v, turn) = &given_way[j];
                l * (work(&loads[i].across, v) + work(&loads[i].turning, turn))
            })
        })
    }

    /// Shift across and turn along the span, built in at both ends, under a load.
    fn built_in(&self, load: &Load) -> (Polynomial, Polynomial) {
        self.held(load, self.unit_ends())
    }

    /// The same, where it is known what the second end does under a unit force and a unit moment at the first: the
    /// force and the moment there are those that leave the second at rest.
    fn held(&self, load: &Load, [(v_v, v_t), (m_v, m_t)]: [(f64, f64); 2]) -> (Polynomial, Polynomial) {
        let (v, turn) = ends(self.shape_from_first(0.0, 0.0, load));
        let det = v_v * m_t - m_v * v_t;
        self.shape_from_first((m_v * turn - v * m_t) / det, (v * v_t - v_v * turn) / det, load)
    }

    /// Shift and turn of the second end under a unit force at the first, and under a unit moment there.
    fn unit_ends(&self) -> [(f64, f64); 2] {
        let none = Load { across: Polynomial::default(), turning: Polynomial::default() };
        [ends(self.shape_from_first(1.0, 0.0, &none)), ends(self.shape_from_first(0.0, 1.0, &none))]
    }

    /// Shift and turn along the span from a first end that rests, under a force and a moment there and a load.
    ///
    /// V' = −q, M' = −V − μ, θ' = M/EI, v' = θ + V/GA.
    fn shape_from_first(&self, v0: f64, m0: f64, load: &Load) -> (Polynomial, Polynomial) {
        let l = self.length_mm;
        let v = Polynomial::of([v0, 0.0, 0.0, 0.0]).plus(load.across.integral().times(-l));
        let m = Polynomial::of([m0, 0.0, 0.0, 0.0]).plus(v.plus(load.turning).integral().times(-l));
        let turn = m.integral().times(l / self.ei);
        let shift = turn.integral().times(l).plus(v.integral().times(l / self.ga));
        (shift, turn)
    }
}

fn ends((shift, turn): (Polynomial, Polynomial)) -> (f64, f64) {
    (shift.at_one(), turn.at_one())
}

#[cfg(test)]
mod tests {
    use nalgebra::DMatrix;

    use super::*;
    use crate::math::assert_near;

    fn beam(shear: f64) -> Beam {
        Beam { length_mm: 500.0, ea_n: 3e7, gj_nmm2: 2e9, eiy_nmm2: 4e9, eiz_nmm2: 4e9, gay_n: shear, gaz_n: shear }
    }

    #[test]
    fn it_is_the_second_term_of_the_stability_functions() {
        // s = 4 − (2/15) PL²/EI − (11/6300) (PL²/EI)² …, sc = 2 + (1/30) PL²/EI + (13/12600) (PL²/EI)²:
        // Timoshenko & Gere's functions, expanded by hand.
        let b = beam(f64::INFINITY);
        let x = b.interior_of_force(1000.0);
        let unit = 4e9 / 500.0 * (1000.0 * 500.0_f64.powi(2) / 4e9).powi(2);
        assert_near(x[(5, 5)] / unit, 11.0 / 6300.0, 1e-9);
        assert_near(x[(5, 11)] / unit, -13.0 / 12600.0, 1e-9);
        assert_near(x[(4, 4)] / unit, 11.0 / 6300.0, 1e-9);
    }

    #[test]
    fn a_push_adds_to_the_end_moments_of_a_uniform_load_what_the_first_term_of_the_exact_ones_says() {
        // Timoshenko & Gere, ch. 1, ends built in: M = wL²/12 · 3(tan j − j)/(j² tan j), j² = PL²/4EI,
        // which by its series is wL²/12 · (1 + j²/15 …).
        let b = beam(f64::INFINITY);
        let f = b.uniform_load_on_bow(-1000.0, &Vector3::new(0.0, 2.0, -3.0));
        let part = 1000.0 * 500.0_f64.powi(2) / (4.0 * 4e9) / 15.0;
        let moment = |w: f64| w * 500.0_f64.powi(2) / 12.0 * part;
        assert_near(f[5], moment(2.0), 1e-9);
        assert_near(f[11], -moment(2.0), 1e-9);
        assert_near(f[4], moment(3.0), 1e-9);
        assert!(f[1].abs() < 1e-9 && f[7].abs() < 1e-9);
    }

    #[test]
    fn it_is_the_second_term_of_the_dynamic_stiffness() {
        // λL sS/(1 − cC)-like terms to λ⁸, by the series of λ (sin λ cosh λ − cos λ sinh λ)/(1 − cos λ cosh λ):
        // 4 − λ⁴/105 − 71 λ⁸/4365900 …
        let b = beam(f64::INFINITY);
        let mass = LineMass { shift_t_mm: 2e-6, about_y_t_mm: 0.0, about_z_t_mm: 0.0 };
        let x = b.interior_of_inertia(&mass);
        let unit = 4e9 / 500.0 * (2e-6 * 500.0_f64.powi(4) / 4e9).powi(2);
        let exact = |lambda: f64| {
            let (s, c, sh, ch) = (lambda.sin(), lambda.cos(), lambda.sinh(), lambda.cosh());
            lambda * (s * ch - c * sh) / (1.0 - c * ch)
        };
        let l4 = 0.25;
        let second = (4.0 - l4 / 105.0 - exact(f64::powf(l4, 0.25))) / (l4 * l4);
        assert_near(x[(5, 5)] / unit, second, 1e-3);
    }

    #[test]
    fn a_span_built_in_at_both_ends_sinks_by_bending_and_shear() {
        // Uniform q: v = q x²(L−x)²/24EI + q x(L−x)/2GA.
        let span = Span { length_mm: 500.0, ei: 4e9, ga: 1e6 };
        let load = Load { across: Polynomial::of([3.0, 0.0, 0.0, 0.0]), turning: Polynomial::default() };
        let (v, _) = span.built_in(&load);
        let middle: f64 = v.0.iter().enumerate().map(|(power, c)| c * 0.5_f64.powi(power as i32)).sum();
        assert_near(middle, 3.0 * 500.0_f64.powi(4) / (384.0 * 4e9) + 3.0 * 500.0_f64.powi(2) / (8.0 * 1e6), 1e-12);
    }

    #[test]
    fn the_shapes_are_those_of_a_beam_that_nothing_acts_on_between_its_ends() {
        // With v and the turn θ over ξ = x/L: EI θ'/L = M, GA (v'/L − θ) = V, V' = 0, M' = −V L.
        let span = Span { length_mm: 500.0, ei: 4e9, ga: 1e6 };
        let l = span.length_mm;
        for (motion, (v, turn)) in span.shapes().into_iter().enumerate() {
            let at_ends = [v.0[0], turn.0[0], v.at_one(), turn.at_one()];
            for (other, found) in at_ends.into_iter().enumerate() {
                let expected = if other == motion { 1.0 } else { 0.0 };
                assert!((found - expected).abs() < 1e-12, "{motion}: {at_ends:?}");
            }
            let moment = turn.derivative().times(span.ei / l);
            let shear = v.derivative().times(1.0 / l).plus(turn.times(-1.0)).times(span.ga);
            let scale = moment.0.iter().fold(0.0_f64, |most, c| most.max(c.abs()));
            for residual in [shear.derivative().times(l), moment.derivative().plus(shear.times(l))] {
                assert!(residual.0.iter().all(|c| c.abs() < 1e-9 * scale), "{motion}: {residual:?}");
            }
        }
    }

    #[test]
    fn the_consistent_mass_is_the_integral_over_the_shapes() {
        let b = beam(2e5);
        let mass = LineMass { shift_t_mm: 2e-6, about_y_t_mm: 3e-4, about_z_t_mm: 5e-4 };
        let m = mass.consistent(&b);
        for ((_, ei, ga), (rows, turns, rotary)) in b
            .planes()
            .into_iter()
            .zip([([1, 5, 7, 11], 1.0, mass.about_z_t_mm), ([2, 4, 8, 10], -1.0, mass.about_y_t_mm)])
        {
            let shapes = Span { length_mm: 500.0, ei, ga }.shapes();
            for (i, j) in (0..16).map(|at| (at / 4, at % 4)) {
                let ((vi, ti), (vj, tj)) = (shapes[i], shapes[j]);
                let integral = 500.0 * (mass.shift_t_mm * vi.with(vj) + rotary * ti.with(tj));
                let sign = if (i + j) % 2 == 1 { turns } else { 1.0 };
                assert_near(m[(rows[i], rows[j])], sign * integral, 1e-10);
            }
        }
    }

    #[test]
    fn along_and_about_itself_it_is_the_second_term_of_the_exact_rod() {
        // D = (EA/L) γ cot γ at an end and −(EA/L) γ/sin γ between them, γ² = ω² m L²/EA: less what a static rod
        // and a third and a sixth of its mass make of them, ω⁴ X is left.
        let b = beam(f64::INFINITY);
        let mass = LineMass { shift_t_mm: 2e-6, about_y_t_mm: 3e-4, about_z_t_mm: 5e-4 };
        let x = b.interior_of_inertia(&mass);
        for (at, per_length, stiffness) in [(0, 2e-6, 3e7), (3, 8e-4, 2e9)] {
            let gamma = 0.05_f64;
            let square = gamma * gamma * stiffness / (per_length * 500.0_f64.powi(2));
            let own = stiffness / 500.0 * (1.0 - gamma.powi(2) / 3.0 - gamma / gamma.tan());
            let other = stiffness / 500.0 * (gamma / gamma.sin() - 1.0 - gamma.powi(2) / 6.0);
            for (row, column, expected) in
                [(at, at, own), (at + 6, at + 6, own), (at, at + 6, other), (at + 6, at, other)]
            {
                assert_near(x[(row, column)] * square * square, expected, 1e-3);
            }
        }
    }

    #[test]
    fn it_is_what_a_beam_cut_into_pieces_says_with_shear_and_rotary_inertia() {
        // The inner nodes of a chain of pieces eliminated at ω² and at −ω²: the even part is K − ω⁴ X. What is left
        // goes down with the square of the number of pieces: 2 % with eight of them.
        let whole = Beam { gay_n: 1e6, gaz_n: 2e6, eiz_nmm2: 5e9, ..beam(1e6) };
        let mass = LineMass { shift_t_mm: 2e-6, about_y_t_mm: 0.02, about_z_t_mm: 0.05 };
        let pieces = 24;
        let piece = Beam { length_mm: whole.length_mm / pieces as f64, ..whole };
        let (k, m) = (piece.stiffness(), mass.consistent(&piece));
        let at = |square: f64| {
            let (d, n) = (k - m * square, 6 * (pieces + 1));
            let mut chain = DMatrix::<f64>::zeros(n, n);
            for first in (0..pieces).map(|piece| 6 * piece) {
                let mut part = chain.fixed_view_mut::<12, 12>(first, first);
                part += d;
            }
            let inner = chain.view((6, 6), (n - 12, n - 12)).into_owned().try_inverse().unwrap();
            let end = |row: usize| if row < 6 { row } else { n - 12 + row };
            let across = DMatrix::from_fn(12, n - 12, |i, j| chain[(end(i), 6 + j)]);
            let outer = DMatrix::from_fn(12, 12, |i, j| chain[(end(i), end(j))]);
            outer - &across * inner * across.transpose()
        };
        let square = 150.0_f64.powi(2);
        let twice = at(square) + at(-square);
        let x = whole.interior_of_inertia(&mass);
        for row in 0..12 {
            for column in 0..12 {
                let second = (2.0 * whole.stiffness()[(row, column)] - twice[(row, column)]) / (2.0 * square * square);
                let size = (x[(row, row)] * x[(column, column)]).sqrt();
                assert!(
                    (x[(row, column)] - second).abs() < 3e-3 * size,
                    "{row} {column}: {second} {}",
                    x[(row, column)]
                );
            }
        }
    }
}
