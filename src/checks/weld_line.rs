//! The weld round a tube's end as a line: its figures, and the force per mm of run.
//!
//! Reads: the outline of a section (mm), what the tube does to the weld (N, N·mm). Gives: the force
//! per mm of run along the tube, outward and along the weld. Leaves out the throat.
//! Source: O. W. Blodgett, Design of Welded Structures (1966), 7.4: the properties of a weld treated
//! as a line; the ring derived likewise.

use std::f64::consts::PI;

use crate::math::Harmonic;
use crate::section::{InternalForces, Section};

/// Round which line a tube's end is welded.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeldLine {
    /// A round tube or bar.
    Ring {
        /// Radius of the line, mm.
        radius_mm: f64,
    },
    /// A square or rectangular tube, along the middle of its wall: about as long as the outline with
    /// its round corners.
    Box {
        /// Along y, mm.
        width_mm: f64,
        /// Along z, mm.
        depth_mm: f64,
    },
    /// A flat, along both of its broad faces.
    Flat {
        /// Along y, mm.
        width_mm: f64,
        /// Along z, mm.
        thickness_mm: f64,
    },
}

/// A straight run of weld between two places (y, z), mm.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Run {
    /// One end.
    pub from_mm: [f64; 2],
    /// The other.
    pub to_mm: [f64; 2],
}

/// The figures of a line of weld of throat 1 whose centre is at y = z = 0.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LineFigures {
    /// Length of run, mm.
    pub length_mm: f64,
    /// Second moment that resists the moment about y, mm³.
    pub iy_mm3: f64,
    /// Second moment that resists the moment about z, mm³.
    pub iz_mm3: f64,
}

impl LineFigures {
    /// The figures of straight runs: ∫ds, ∫z² ds, ∫y² ds.
    pub fn of_runs(runs: &[Run]) -> LineFigures {
        let mut figures = LineFigures { length_mm: 0.0, iy_mm3: 0.0, iz_mm3: 0.0 };
        for Run { from_mm: [y1, z1], to_mm: [y2, z2] } in runs {
            let length = (y2 - y1).hypot(z2 - z1);
            figures.length_mm += length;
            figures.iy_mm3 += length * (z1 * z1 + z1 * z2 + z2 * z2) / 3.0;
            figures.iz_mm3 += length * (y1 * y1 + y1 * y2 + y2 * y2) / 3.0;
        }
        figures
    }

    /// Polar second moment, which resists the torque, mm³.
    pub fn polar_mm3(&self) -> f64 {
        self.iy_mm3 + self.iz_mm3
    }
}

/// How the weld shares shear and torque: EN 1993-1-8 does not say.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Spread {
    /// As they flow in the tube's own wall, along the weld.
    Flow,
    /// As a rigid plate would give them to the line: shear evenly, torque by the distance from the middle.
    Even,
}

impl Spread {
    /// Both.
    pub const BOTH: [Spread; 2] = [Spread::Flow, Spread::Even];
}

/// What a tube does to a mm of the weld at its end, N/mm.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct LineForce<T = f64> {
    /// Along the tube, away from what it stands on.
    pub axial: T,
    /// Away from the tube's axis, square to the weld.
    pub outward: T,
    /// Along the weld.
    pub along: T,
}

impl LineForce<Harmonic> {
    /// The force at an angle.
    pub fn at(&self, angle_rad: f64) -> LineForce {
        LineForce {
            axial: self.axial.at(angle_rad),
            outward: self.outward.at(angle_rad),
            along: self.along.at(angle_rad),
        }
    }
}

/// What a tube does to the weld at its first or second end, from the internal forces there: `n`
/// pulls away from what the tube stands on, `my` and `mz` as internal forces are.
pub fn on_weld(forces: &InternalForces, end: usize) -> InternalForces {
    let side = if end == 0 { 1.0 } else { -1.0 };
    InternalForces { vy: side * forces.vy, vz: side * forces.vz, t: side * forces.t, ..*forces }
}

/// Into how many steps a straight side is cut to look for its worst place.
const STEPS: u32 = 16;

impl WeldLine {
    /// The line round a section's end; `None` where the section is given by its figures.
    pub fn of(section: &Section) -> Option<WeldLine> {
        match section {
            Section::Round(tube) => Some(WeldLine::Ring { radius_mm: tube.od_mm / 2.0 }),
            Section::Bar(bar) => Some(WeldLine::Ring { radius_mm: bar.od_mm / 2.0 }),
            Section::Box(tube) => {
                let (width_mm, depth_mm) = (tube.width_mm - tube.wall_mm, tube.depth_mm - tube.wall_mm);
                Some(WeldLine::Box { width_mm, depth_mm })
            }
            Section::Flat(flat) => Some(WeldLine::Flat { width_mm: flat.width_mm, thickness_mm: flat.thickness_mm }),
            Section::Given(_) => None,
        }
    }

    /// Its straight runs; none of a ring.
    fn runs(&self) -> Vec<Run> {
        let run = |from_mm, to_mm| Run { from_mm, to_mm };
        match *self {
            WeldLine::Ring { .. } => Vec::new(),
            WeldLine::Box { width_mm, depth_mm } => {
                let (y, z) = (width_mm / 2.0, depth_mm / 2.0);
                vec![run([-y, z], [y, z]), run([-y, -z], [y, -z]), run([y, -z], [y, z]), run([-y, -z], [-y, z])]
            }
            WeldLine::Flat { width_mm, thickness_mm } => {
                let (y, z) = (width_mm / 2.0, thickness_mm / 2.0);
                vec![run([-y, z], [y, z]), run([-y, -z], [y, -z])]
            }
        }
    }

    /// Length, and second moments of the line.
    pub fn figures(&self) -> LineFigures {
        match *self {
            WeldLine::Ring { radius_mm } => {
                let second = PI * radius_mm.powi(3);
                LineFigures { length_mm: 2.0 * PI * radius_mm, iy_mm3: second, iz_mm3: second }
            }
            WeldLine::Box { .. } | WeldLine::Flat { .. } => LineFigures::of_runs(&self.runs()),
        }
    }

    /// The force per mm round a ring, over the angle θ from y towards z.
    ///
    /// ```text
    /// axial = N/(2πr) + (My sin θ − Mz cos θ)/(πr²)         along = T/(2πr²) + (Vz cos θ − Vy sin θ)/(πr)
    /// evenly spread shear: along = T/(2πr²) + (Vz cos θ − Vy sin θ)/(2πr)   outward = (Vy cos θ + Vz sin θ)/(2πr)
    /// ```
    pub fn round(radius_mm: f64, f: &InternalForces, spread: Spread) -> LineForce<Harmonic> {
        let (length, moment) = (2.0 * PI * radius_mm, PI * radius_mm * radius_mm);
        let axial = Harmonic { mean: f.n / length, cos: -f.mz / moment, sin: f.my / moment };
        let (shear, outward) = match spread {
            Spread::Flow => (2.0 / length, 0.0),
            Spread::Even => (1.0 / length, 1.0 / length),
        };
        LineForce {
            axial,
            outward: Harmonic { mean: 0.0, cos: outward * f.vy, sin: outward * f.vz },
            along: Harmonic { mean: f.t / (2.0 * moment), cos: shear * f.vz, sin: -shear * f.vy },
        }
    }

    /// The force per mm at places along the straight runs.
    pub fn straight(&self, f: &InternalForces, spread: Spread) -> Vec<LineForce> {
        let figures = self.figures();
        let flow = match (spread, *self) {
            (Spread::Flow, WeldLine::Box { width_mm, depth_mm }) => Some((width_mm, depth_mm, true)),
            (Spread::Flow, WeldLine::Flat { width_mm, thickness_mm }) => Some((width_mm, thickness_mm, false)),
            _ => None,
        };
        let mut all = Vec::new();
        for Run { from_mm, to_mm } in self.runs() {
            let lies_along_y = from_mm[1] == to_mm[1];
            for step in 0..=STEPS {
                let part = f64::from(step) / f64::from(STEPS);
                let [y, z] = [0, 1].map(|axis| from_mm[axis] + (to_mm[axis] - from_mm[axis]) * part);
                let axial = f.n / figures.length_mm + f.my * z / figures.iy_mm3 - f.mz * y / figures.iz_mm3;
                let [fy, fz] = match flow {
                    Some((width, depth, true)) => box_flow(f, &figures, [width, depth], [y, z], lies_along_y),
                    Some((width, _, false)) => flat_flow(f, &figures, width, [y, z]),
                    None => [
                        f.vy / figures.length_mm - f.t * z / figures.polar_mm3(),
                        f.vz / figures.length_mm + f.t * y / figures.polar_mm3(),
                    ],
                };
                let (outward, along) = if lies_along_y { (fz * z.signum(), fy) } else { (fy * y.signum(), fz) };
                all.push(LineForce { axial, outward, along });
            }
        }
        all
    }
}

/// Shear flow in a thin box, along y on the sides at ±z and along z on those at ±y: V ∫z ds / Iy from the
/// middle of the side across the force, and Bredt's T/(2 A).
fn box_flow(
    f: &InternalForces,
    figures: &LineFigures,
    [width, depth]: [f64; 2],
    [y, z]: [f64; 2],
    lies_along_y: bool,
) -> [f64; 2] {
    let bredt = f.t / (2.0 * width * depth);
    if lies_along_y {
        let own = f.vy / figures.iz_mm3 * (width * depth / 4.0 + (width * width / 4.0 - y * y) / 2.0);
        [own - f.vz / figures.iy_mm3 * z * y - z.signum() * bredt, 0.0]
    } else {
        let own = f.vz / figures.iy_mm3 * (width * depth / 4.0 + (depth * depth / 4.0 - z * z) / 2.0);
        [0.0, own - f.vy / figures.iz_mm3 * y * z + y.signum() * bredt]
    }
}

/// Shear along a flat as a parabola, across it evenly; torque as of a line.
fn flat_flow(f: &InternalForces, figures: &LineFigures, width: f64, [y, z]: [f64; 2]) -> [f64; 2] {
    [
        f.vy / figures.iz_mm3 * (width * width / 4.0 - y * y) / 2.0 - f.t * z / figures.polar_mm3(),
        f.vz / figures.length_mm + f.t * y / figures.polar_mm3(),
    ]
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::{Bar, BoxTube, Finish, Flat, RoundTube};

    /// Sum of a force per mm over the runs by Simpson's rule, exact for what is at most cubic.
    fn sums(line: &WeldLine, forces: &InternalForces, spread: Spread) -> InternalForces {
        let all = line.straight(forces, spread);
        let mut sum = InternalForces::default();
        for (Run { from_mm, to_mm }, places) in line.runs().iter().zip(all.chunks(STEPS as usize + 1)) {
            let length = (to_mm[0] - from_mm[0]).hypot(to_mm[1] - from_mm[1]);
            for (step, place) in places.iter().enumerate() {
                let weight = match step {
                    0 | 16 => 1.0,
                    odd if odd % 2 == 1 => 4.0,
                    _ => 2.0,
                } * length
                    / (3.0 * f64::from(STEPS));
                let part = step as f64 / f64::from(STEPS);
                let [y, z] = [0, 1].map(|axis| from_mm[axis] + (to_mm[axis] - from_mm[axis]) * part);
                let (fy, fz) = if from_mm[1] == to_mm[1] {
                    (place.along, place.outward * z.signum())
                } else {
                    (place.outward * y.signum(), place.along)
                };
                sum.n += weight * place.axial;
                sum.vy += weight * fy;
                sum.vz += weight * fz;
                sum.t += weight * (y * fz - z * fy);
                sum.my += weight * z * place.axial;
                sum.mz -= weight * y * place.axial;
            }
        }
        sum
    }

    #[test]
    fn the_forces_along_a_line_add_up_to_what_the_tube_does() {
        let forces = InternalForces { n: 900.0, vy: -300.0, vz: 450.0, t: 2e4, my: 5e4, mz: -3e4 };
        let lines = [
            WeldLine::Box { width_mm: 48.0, depth_mm: 28.0 },
            WeldLine::Box { width_mm: 38.0, depth_mm: 38.0 },
            WeldLine::Flat { width_mm: 40.0, thickness_mm: 5.0 },
        ];
        for (line, spread) in lines.iter().flat_map(|line| Spread::BOTH.map(|spread| (line, spread))) {
            let sum = sums(line, &forces, spread);
            for (found, given) in [
                (sum.n, forces.n),
                (sum.vy, forces.vy),
                (sum.vz, forces.vz),
                (sum.t, forces.t),
                (sum.my, forces.my),
                (sum.mz, forces.mz),
            ] {
                assert_near(found, given, 1e-12);
            }
        }
    }

    #[test]
    fn the_forces_round_a_ring_add_up_to_what_the_tube_does() {
        let f = InternalForces { n: 900.0, vy: -300.0, vz: 450.0, t: 2e4, my: 5e4, mz: -3e4 };
        let (r, count) = (17.0, 720);
        for spread in Spread::BOTH {
            let force = WeldLine::round(r, &f, spread);
            let mut sum = InternalForces::default();
            for step in 0..count {
                let angle = f64::from(step) * 2.0 * PI / f64::from(count);
                let (sin, cos) = angle.sin_cos();
                let ds = 2.0 * PI * r / f64::from(count);
                let (axial, outward, along) = (force.axial.at(angle), force.outward.at(angle), force.along.at(angle));
                sum.n += ds * axial;
                sum.my += ds * axial * r * sin;
                sum.mz -= ds * axial * r * cos;
                sum.vy += ds * (outward * cos - along * sin);
                sum.vz += ds * (outward * sin + along * cos);
                sum.t += ds * along * r;
            }
            for (found, given) in
                [(sum.n, f.n), (sum.vy, f.vy), (sum.vz, f.vz), (sum.t, f.t), (sum.my, f.my), (sum.mz, f.mz)]
            {
                assert_near(found, given, 1e-12);
            }
        }
    }

    /// Blodgett's figures: two lines b long and d apart have I = b d²/2 and b³/6, a box d²(3b + d)/6, a ring π r³.
    #[test]
    fn the_figures_of_a_line_are_those_of_the_book() {
        let of = |section: Section| WeldLine::of(&section).unwrap().figures();
        let flat = of(Flat { width_mm: 40.0, thickness_mm: 5.0 }.into());
        assert_near(flat.length_mm, 80.0, 1e-14);
        assert_near(flat.iy_mm3, 40.0 * 25.0 / 2.0, 1e-14);
        assert_near(flat.iz_mm3, 64_000.0 / 6.0, 1e-14);
        let square = of(BoxTube::standard(50.0, 30.0, 2.0, Finish::Cold).into());
        assert_near(square.iy_mm3, 28.0 * 28.0 * (3.0 * 48.0 + 28.0) / 6.0, 1e-14);
        assert_near(square.iz_mm3, 48.0 * 48.0 * (3.0 * 28.0 + 48.0) / 6.0, 1e-14);
        for section in [RoundTube { od_mm: 30.0, wall_mm: 2.0 }.into(), Bar { od_mm: 30.0 }.into()] {
            let ring = of(section);
            assert_near(ring.length_mm, 94.247_779_6, 1e-9);
            assert_near(ring.iy_mm3, PI * 3375.0, 1e-14);
            assert_near(ring.polar_mm3(), 2.0 * PI * 3375.0, 1e-14);
        }
    }

    #[test]
    fn what_flows_along_one_side_of_a_box_into_a_corner_flows_out_along_the_other() {
        let forces = InternalForces { vy: -300.0, vz: 450.0, t: 2e4, ..InternalForces::default() };
        let all = WeldLine::Box { width_mm: 48.0, depth_mm: 28.0 }.straight(&forces, Spread::Flow);
        let [top, bottom, left, right] = [0, 1, 2, 3].map(|run| [all[17 * run].along, all[17 * run + 16].along]);
        // From y to z: up at +y, to −y at +z, down at −y, to +y at −z.
        for (into, out_of) in [(left[1], -top[1]), (-top[0], -right[1]), (-right[0], bottom[0]), (bottom[1], left[0])] {
            assert_near(into, out_of, 1e-12);
        }
        // In the middle of a side Bredt's T/2A and half of the shear force across, by its own second moment.
        let iy = 28.0 * 28.0 * (3.0 * 48.0 + 28.0) / 6.0;
        let by_hand = 450.0 / iy * (48.0 * 28.0 / 4.0 + 28.0 * 28.0 / 8.0) + 2e4 / (2.0 * 48.0 * 28.0);
        assert_near(all[17 * 2 + 8].along, by_hand, 1e-12);
    }

    #[test]
    fn the_weld_at_the_first_end_feels_what_the_tube_feels_there_and_at_the_second_the_opposite() {
        let forces = InternalForces { n: 1.0, vy: 2.0, vz: 3.0, t: 4.0, my: 5.0, mz: 6.0 };
        assert_eq!(on_weld(&forces, 0), forces);
        assert_eq!(on_weld(&forces, 1), InternalForces { vy: -2.0, vz: -3.0, t: -4.0, ..forces });
    }
}
