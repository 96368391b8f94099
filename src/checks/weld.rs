//! Weld: does the weld round a tube's end carry what the tube does to it?
//!
//! Reads: internal forces at the end (N, N·mm), the line of the weld, its throat, the strength of
//! what it joins. Gives: stress in the throat × margin / resistance by the directional method, which
//! the verdict takes, and by the simplified one; above 1 fails. Leaves out: how good the weld is, the
//! wall beside it (yield), the wall that it stands on (joint), the saddle's greater length.
//! Source: EN 1993-1-8:2005 4.5.3.2 and 4.5.3.3, Table 4.1 (S355 and S420 of it from memory), γM2 = 1.25;
//! EN 1999-1-1 8.6 (from memory), γMw = 1.25. How shear and torque spread over the line neither says:
//! both ways of [`Spread`] are looked at, and the worse counts.

use super::weld_line::{LineForce, Spread, WeldLine, on_weld};
use crate::math::{Harmonic, larger_than, largest_round};
use crate::section::{InternalForces, Section};

/// γM2 and γMw.
pub const WELD_FACTOR: f64 = 1.25;

/// The largest correlation factor of Table 4.1, which makes a weld weakest: taken for what is not in it.
pub const LARGEST_CORRELATION: f64 = 1.0;

/// The correlation factor βw of Table 4.1 for a steel of this designation: `S235JRH`, `S355J2H`. `None`:
/// the grade is not in the table.
pub fn correlation(designation: &str) -> Option<f64> {
    let grade = designation.get(..4)?;
    let goes_on = designation[4..].starts_with(|letter: char| letter.is_ascii_digit());
    let table = [("S235", 0.8), ("S275", 0.85), ("S355", 0.9), ("S420", 1.0), ("S460", 1.0)];
    table.into_iter().find(|(known, _)| *known == grade && !goes_on).map(|(_, factor)| factor)
}

/// The least throat of a fillet weld, 4.5.2(2), mm.
pub const LEAST_THROAT_MM: f64 = 3.0;

/// The throat of a weld that nothing is said of, mm: the wall of a tube; of a bar or flat the least
/// throat of 4.5.2(2), and of a thin one half of its thickness. `None`: given figures do not tell.
pub fn default_throat_mm(section: &Section) -> Option<f64> {
    match section {
        Section::Round(tube) => Some(tube.wall_mm),
        Section::Box(tube) => Some(tube.wall_mm),
        Section::Bar(bar) => Some(LEAST_THROAT_MM.min(bar.od_mm / 2.0)),
        Section::Flat(flat) => Some(LEAST_THROAT_MM.min(flat.thickness_mm.min(flat.width_mm) / 2.0)),
        Section::Given(_) => None,
    }
}

/// What a weld is made of, by the rules that it is judged by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum WeldMetal {
    /// EN 1993-1-8.
    Steel {
        /// fu: tensile strength of the weaker of what is joined and the filler, MPa.
        ultimate_mpa: f64,
        /// βw.
        correlation: f64,
    },
    /// EN 1999-1-1.
    Aluminium {
        /// fw: strength of the weld metal, MPa.
        strength_mpa: f64,
    },
}

impl WeldMetal {
    /// What √(σ⊥² + 3 (τ⊥² + τ∥²)) may reach, MPa: fu/(βw γM2), fw/γMw.
    pub fn resistance_mpa(&self) -> f64 {
        match self {
            WeldMetal::Steel { ultimate_mpa, correlation } => ultimate_mpa / (correlation * WELD_FACTOR),
            WeldMetal::Aluminium { strength_mpa } => strength_mpa / WELD_FACTOR,
        }
    }

    /// What σ⊥ alone may reach, MPa: 0.9 fu/γM2; no limit of its own for aluminium.
    pub fn normal_resistance_mpa(&self) -> Option<f64> {
        match self {
            WeldMetal::Steel { ultimate_mpa, .. } => Some(0.9 * ultimate_mpa / WELD_FACTOR),
            WeldMetal::Aluminium { .. } => None,
        }
    }

    /// The shear strength of the simplified method (4.4), MPa: fu/(√3 βw γM2); none for aluminium.
    pub fn shear_resistance_mpa(&self) -> Option<f64> {
        match self {
            WeldMetal::Steel { .. } => Some(self.resistance_mpa() / 3.0_f64.sqrt()),
            WeldMetal::Aluminium { .. } => None,
        }
    }
}

/// Stress in the throat, MPa; that along the weld from the pull along it is left out.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub struct ThroatStress {
    /// σ⊥, square to the throat.
    pub normal: f64,
    /// τ⊥, in it and across the weld.
    pub across: f64,
    /// τ∥, in it and along the weld.
    pub along: f64,
}

impl ThroatStress {
    /// Of a fillet weld of equal legs on a corner of 90 degrees.
    ///
    /// ```text
    /// σ⊥ = (axial − outward)/(√2 a)     τ⊥ = (axial + outward)/(√2 a)     τ∥ = along/a
    /// ```
    pub fn of(force: &LineForce, throat_mm: f64) -> ThroatStress {
        let leg = 2.0_f64.sqrt() * throat_mm;
        ThroatStress {
            normal: (force.axial - force.outward) / leg,
            across: (force.axial + force.outward) / leg,
            along: force.along / throat_mm,
        }
    }

    /// √(σ⊥² + 3 (τ⊥² + τ∥²)), MPa.
    pub fn comparison_mpa(&self) -> f64 {
        (self.normal.powi(2) + 3.0 * (self.across.powi(2) + self.along.powi(2))).sqrt()
    }

    /// Over what the metal may bear, by the directional method.
    fn utilisation(&self, metal: &WeldMetal) -> f64 {
        let alone = metal.normal_resistance_mpa().map_or(0.0, |most| self.normal.abs() / most);
        (self.comparison_mpa() / metal.resistance_mpa()).max(alone)
    }
}

/// The weld at one end of a tube.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Weld {
    /// The line that it follows.
    pub line: WeldLine,
    /// Its throat, mm.
    pub throat_mm: f64,
    /// What it is made of.
    pub metal: WeldMetal,
}

/// A weld judged, with the figures on the way; stresses and forces without margin.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeldResult {
    /// What the internal forces at the end are.
    pub forces: InternalForces,
    /// The weld.
    pub weld: Weld,
    /// How shear and torque are spread where it is stressed most.
    pub spread: Spread,
    /// The stress there.
    pub stress: ThroatStress,
    /// Where on a ring that is: angle from local y towards z, rad.
    pub angle_rad: Option<f64>,
    /// The larger of both conditions of the directional method, × margin.
    pub directional: f64,
    /// The largest resultant per mm of run, N/mm.
    pub line_force_n_mm: f64,
    /// That by the simplified method, × margin; none for aluminium.
    pub simplified: Option<f64>,
}

impl Weld {
    /// Judges what a tube does to the weld at its first (0) or second (1) end, from the internal
    /// forces there, with a margin on them.
    pub fn judge(&self, forces: &InternalForces, end: usize, margin: f64) -> WeldResult {
        let [flow, even] = Spread::BOTH.map(|spread| self.judge_spread(forces, end, margin, spread));
        let line_force_n_mm = flow.line_force_n_mm.max(even.line_force_n_mm);
        let simplified = self.metal.shear_resistance_mpa().map(|f| line_force_n_mm * margin / (f * self.throat_mm));
        let worse = if larger_than(even.directional, flow.directional) { even } else { flow };
        WeldResult { line_force_n_mm, simplified, ..worse }
    }

    /// The same with one way of spreading shear and torque.
    pub fn judge_spread(&self, forces: &InternalForces, end: usize, margin: f64, spread: Spread) -> WeldResult {
        let on_weld = on_weld(forces, end);
        let (stress, angle_rad, line_force_n_mm) = match self.line {
            WeldLine::Ring { radius_mm } => {
                let force = WeldLine::round(radius_mm, &on_weld, spread);
                let (stress, angle) = self.worst_of_ring(&force);
                let parts = [(1.0, force.axial), (1.0, force.outward), (1.0, force.along)];
                (stress, Some(angle), largest_round(&parts).1.sqrt())
            }
            WeldLine::Box { .. } | WeldLine::Flat { .. } => {
                let places = self.line.straight(&on_weld, spread);
                let (stress, _) = places
                    .iter()
                    .map(|force| ThroatStress::of(force, self.throat_mm))
                    .map(|stress| (stress, stress.utilisation(&self.metal)))
                    .reduce(|best, next| if larger_than(next.1, best.1) { next } else { best })
                    .unwrap_or_default();
                let resultant =
                    |force: &LineForce| (force.axial.powi(2) + force.outward.powi(2) + force.along.powi(2)).sqrt();
                (stress, None, places.iter().map(resultant).fold(0.0, f64::max))
            }
        };
        let shear = self.metal.shear_resistance_mpa();
        WeldResult {
            forces: *forces,
            weld: *self,
            spread,
            stress,
            angle_rad,
            directional: stress.utilisation(&self.metal) * margin,
            line_force_n_mm,
            simplified: shear.map(|shear| line_force_n_mm * margin / (shear * self.throat_mm)),
        }
    }

    /// What the directional method gives at most, with little work: each part of the force on a ring at its largest,
    /// wherever that is.
    pub fn at_most(&self, forces: &InternalForces, end: usize, margin: f64) -> f64 {
        let of_spread = |spread: Spread| match self.line {
            WeldLine::Ring { radius_mm } => {
                let force = WeldLine::round(radius_mm, &on_weld(forces, end), spread);
                let [axial, outward, along] = [force.axial, force.outward, force.along].map(|part| part.size());
                let most = LineForce { axial: axial + outward, outward: 0.0, along };
                ThroatStress::of(&most, self.throat_mm).utilisation(&self.metal) * margin
            }
            WeldLine::Box { .. } | WeldLine::Flat { .. } => self.judge_spread(forces, end, margin, spread).directional,
        };
        Spread::BOTH.map(of_spread).into_iter().fold(0.0, f64::max)
    }

    /// The stress and the angle where either condition of the directional method is nearest to its limit.
    fn worst_of_ring(&self, force: &LineForce<Harmonic>) -> (ThroatStress, f64) {
        let normal = force.axial.mixed(1.0, &force.outward, -1.0);
        let across = force.axial.mixed(1.0, &force.outward, 1.0);
        let at = |angle: f64| (ThroatStress::of(&force.at(angle), self.throat_mm), angle);
        // (σ⊥² + 3 τ⊥² + 3 τ∥²) a²
        let both = at(largest_round(&[(0.5, normal), (1.5, across), (3.0, force.along)]).0);
        let alone = at(normal.furthest());
        let utilisation = |place: &(ThroatStress, f64)| place.0.utilisation(&self.metal);
        if larger_than(utilisation(&alone), utilisation(&both)) { alone } else { both }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;
    use crate::section::{Bar, BoxTube, Finish, Flat, RoundTube};

    #[test]
    fn a_grade_is_known_by_its_first_letters_and_no_other_number() {
        assert_eq!(correlation("S355J2H"), Some(0.9));
        assert_eq!(correlation("S235"), Some(0.8));
        for other in ["E355+N", "S3550", "S70", "25CrMo4+N", "ÄÖÜ", ""] {
            assert_eq!(correlation(other), None, "{other}");
        }
    }

    #[test]
    fn a_pull_square_to_the_throat_is_held_to_its_own_limit() {
        // Along the tube and inwards alike: nothing but σ⊥, where 0.9 fu is less than fu/βw.
        let force = LineForce { axial: 300.0, outward: -300.0, along: 0.0 };
        let stress = ThroatStress::of(&force, 2.0);
        assert_near(stress.normal, 300.0 * 2.0_f64.sqrt() / 2.0, 1e-15);
        assert_eq!(stress.across, 0.0);
        let metal = WeldMetal::Steel { ultimate_mpa: 360.0, correlation: 0.8 };
        assert_near(stress.utilisation(&metal), stress.normal / (0.9 * 360.0 / 1.25), 1e-15);
    }

    #[test]
    fn a_default_throat_is_no_more_than_the_wall_or_half_of_a_flat() {
        assert_eq!(default_throat_mm(&RoundTube { od_mm: 30.0, wall_mm: 1.5 }.into()), Some(1.5));
        assert_eq!(default_throat_mm(&BoxTube::standard(30.0, 30.0, 2.0, Finish::Cold).into()), Some(2.0));
        assert_eq!(default_throat_mm(&Bar { od_mm: 16.0 }.into()), Some(3.0));
        assert_eq!(default_throat_mm(&Flat { width_mm: 40.0, thickness_mm: 5.0 }.into()), Some(2.5));
        assert_eq!(default_throat_mm(&Flat { width_mm: 40.0, thickness_mm: 10.0 }.into()), Some(3.0));
    }

    #[test]
    fn no_weld_is_used_more_than_the_most_that_is_told_with_little_work() {
        let lines = [
            WeldLine::Ring { radius_mm: 15.0 },
            WeldLine::Box { width_mm: 58.0, depth_mm: 28.0 },
            WeldLine::Flat { width_mm: 40.0, thickness_mm: 10.0 },
        ];
        let steel = WeldMetal::Steel { ultimate_mpa: 470.0, correlation: 0.9 };
        let mut near = 0;
        for (line, metal) in
            lines.iter().flat_map(|line| [(line, steel), (line, WeldMetal::Aluminium { strength_mpa: 190.0 })])
        {
            let weld = Weld { line: *line, throat_mm: 2.0, metal };
            for seed in 0..200_u32 {
                let draw = |place: u32| (f64::from(seed * 37 + place * 71) * 0.59).sin().powi(3);
                let (n, vy, vz) = (3000.0 * draw(1), 2000.0 * draw(2), 2000.0 * draw(3));
                let forces = InternalForces { n, vy, vz, t: 6e4 * draw(4), my: 3e4 * draw(5), mz: 3e4 * draw(6) };
                let (most, found) = (weld.at_most(&forces, 1, 1.5), weld.judge(&forces, 1, 1.5).directional);
                assert!(most >= found * (1.0 - 1e-12), "{weld:?} {forces:?}: {found} over {most}");
                near += u32::from(most < 1.5 * found);
            }
        }
        assert!(near > 400, "only {near} bounds are near what they bound");
    }

    #[test]
    fn a_thin_box_bears_as_a_ring_does_when_it_is_pulled() {
        let metal = WeldMetal::Steel { ultimate_mpa: 360.0, correlation: 0.8 };
        let pull = InternalForces { n: 10_000.0, ..InternalForces::default() };
        let box_line = WeldLine::of(&BoxTube::standard(40.0, 40.0, 2.0, Finish::Cold).into()).unwrap();
        let found = Weld { line: box_line, throat_mm: 2.0, metal }.judge(&pull, 0, 1.5);
        // By hand: √2 N/(L a) with L = 4 · 38 mm, against 360/(0.8 · 1.25).
        assert_near(found.directional, 1.5 * 2.0_f64.sqrt() * 10_000.0 / (152.0 * 2.0) / 360.0, 1e-12);
        let same = 152.0 / std::f64::consts::TAU;
        let ring = Weld { line: WeldLine::Ring { radius_mm: same }, throat_mm: 2.0, metal }.judge(&pull, 1, 1.5);
        assert_near(ring.directional, found.directional, 1e-12);
    }

    #[test]
    fn a_weld_bears_the_same_at_either_end_of_a_mirrored_tube() {
        let weld = Weld {
            line: WeldLine::Ring { radius_mm: 15.0 },
            throat_mm: 2.0,
            metal: WeldMetal::Steel { ultimate_mpa: 490.0, correlation: 1.0 },
        };
        let f = InternalForces { n: 3000.0, vy: 800.0, vz: -400.0, t: 3e4, my: 6e4, mz: 2e4 };
        // The tube turned end for end about z: what acts on the cut face turns round, and so do x and y.
        let turned = InternalForces { vz: -f.vz, mz: -f.mz, ..f };
        let (one, other) = (weld.judge(&f, 0, 1.0), weld.judge(&turned, 1, 1.0));
        assert_near(other.directional, one.directional, 1e-12);
    }

    /// The strengths that design tables print for 4.5.3.3, from memory: 223 MPa in S275, 241 in S355.
    #[test]
    fn the_shear_strength_of_a_fillet_weld_is_the_printed_one() {
        for (ultimate_mpa, correlation, printed) in [(410.0, 0.85, 223.0), (470.0, 0.9, 241.0)] {
            let metal = WeldMetal::Steel { ultimate_mpa, correlation };
            let found = metal.shear_resistance_mpa().unwrap();
            assert!((found - printed).abs() < 0.5, "{found}");
            assert_near(metal.resistance_mpa(), found * 3.0_f64.sqrt(), 1e-14);
        }
        let aluminium = WeldMetal::Aluminium { strength_mpa: 190.0 };
        assert_eq!((aluminium.resistance_mpa(), aluminium.shear_resistance_mpa()), (152.0, None));
    }

    #[test]
    fn a_pulled_ring_uses_by_the_simplified_method_its_pull_over_length_throat_and_shear_strength() {
        let metal = WeldMetal::Steel { ultimate_mpa: 470.0, correlation: 0.9 };
        let weld = Weld { line: WeldLine::Ring { radius_mm: 15.0 }, throat_mm: 2.0, metal };
        let pull = InternalForces { n: 9000.0, ..InternalForces::default() };
        let by_hand = 1.5 * 9000.0 / (30.0 * std::f64::consts::PI * 2.0) / (470.0 / (3.0_f64.sqrt() * 0.9 * 1.25));
        assert_near(weld.judge(&pull, 0, 1.5).simplified.unwrap(), by_hand, 1e-12);
        assert_near(weld.judge_spread(&pull, 0, 1.5, Spread::Even).simplified.unwrap(), by_hand, 1e-12);
    }

    #[test]
    fn the_line_force_is_that_of_the_worse_spread_even_where_the_other_governs_the_directional_method() {
        let metal = WeldMetal::Steel { ultimate_mpa: 470.0, correlation: 0.9 };
        let mut differ = 0;
        for line in
            [WeldLine::Box { width_mm: 58.0, depth_mm: 28.0 }, WeldLine::Flat { width_mm: 40.0, thickness_mm: 10.0 }]
        {
            let weld = Weld { line, throat_mm: 2.0, metal };
            for seed in 0..60_u32 {
                let draw = |place: u32| (f64::from(seed * 37 + place * 71) * 0.59).sin();
                let (n, vy, vz) = (3000.0 * draw(1), 2000.0 * draw(2), 2000.0 * draw(3));
                let forces = InternalForces { n, vy, vz, t: 6e4 * draw(4), my: 3e4 * draw(5), mz: 3e4 * draw(6) };
                let [flow, even] = Spread::BOTH.map(|spread| weld.judge_spread(&forces, 0, 1.5, spread));
                let found = weld.judge(&forces, 0, 1.5);
                let largest = |of: fn(&WeldResult) -> f64| of(&flow).max(of(&even));
                assert_near(found.line_force_n_mm, largest(|result| result.line_force_n_mm), 1e-12);
                assert_near(found.simplified.unwrap(), largest(|result| result.simplified.unwrap()), 1e-12);
                assert_near(found.directional, largest(|result| result.directional), 1e-9);
                let (by_line, by_metal) =
                    (flow.line_force_n_mm > even.line_force_n_mm, flow.directional > even.directional);
                differ += u32::from(by_line != by_metal);
            }
        }
        assert!(differ > 0, "no case where both methods differ");
    }

    /// Steel with a ring of 15 mm radius and a throat of 2 mm.
    fn ring() -> Weld {
        let metal = WeldMetal::Steel { ultimate_mpa: 470.0, correlation: 0.9 };
        Weld { line: WeldLine::Ring { radius_mm: 15.0 }, throat_mm: 2.0, metal }
    }

    #[test]
    fn the_stress_of_a_ring_is_that_of_a_fine_search_round_it() {
        let weld = ring();
        for seed in 0..40_u32 {
            let draw = |place: u32| (f64::from(seed * 37 + place * 71) * 0.59).sin();
            let (n, vy, vz) = (3000.0 * draw(1), 4000.0 * draw(2), 4000.0 * draw(3));
            let forces = InternalForces { n, vy, vz, t: 2e4 * draw(4), my: 3e4 * draw(5), mz: 3e4 * draw(6) };
            for spread in Spread::BOTH {
                let force = WeldLine::round(15.0, &on_weld(&forces, 1), spread);
                let at = |angle: f64| ThroatStress::of(&force.at(angle), 2.0).utilisation(&weld.metal);
                let sampled =
                    (0..720).map(|step| at(f64::from(step) * std::f64::consts::TAU / 720.0)).fold(0.0, f64::max);
                let found = weld.judge_spread(&forces, 1, 1.0, spread).directional;
                assert!(found >= sampled * (1.0 - 1e-12), "{forces:?} {spread:?}: {found} < {sampled}");
                assert_near(found, sampled, 1e-4);
            }
        }
    }

    #[test]
    fn what_is_told_with_little_work_is_reached_by_a_pull_and_not_passed_by_pull_and_shear_alike() {
        let weld = ring();
        let pull = InternalForces { n: 9000.0, ..InternalForces::default() };
        assert_near(weld.at_most(&pull, 0, 1.5), weld.judge(&pull, 0, 1.5).directional, 1e-12);
        // Spread evenly, a tenth outward on one side of what goes along the tube: the shear that flows is less there.
        let both = InternalForces { vy: 900.0, ..pull };
        assert!(weld.at_most(&both, 0, 1.5) >= weld.judge(&both, 0, 1.5).directional);
    }

    #[test]
    fn the_force_per_mm_of_a_straight_weld_is_that_of_all_three_directions_together() {
        // Evenly spread on two runs of 40 mm: √(3² + 4² + 12²) = 13 kN over 80 mm.
        let weld = Weld { line: WeldLine::Flat { width_mm: 40.0, thickness_mm: 10.0 }, ..ring() };
        let forces = InternalForces { n: 3000.0, vy: 4000.0, vz: 12_000.0, ..InternalForces::default() };
        assert_near(weld.judge_spread(&forces, 0, 1.0, Spread::Even).line_force_n_mm, 13_000.0 / 80.0, 1e-12);
        // Along the weld alone: τ over the throat, √3 of it.
        let along = ThroatStress::of(&LineForce { axial: 0.0, outward: 0.0, along: 300.0 }, 2.5);
        assert_near(along.comparison_mpa(), 3.0_f64.sqrt() * 120.0, 1e-14);
        assert_eq!(default_throat_mm(&Bar { od_mm: 5.0 }.into()), Some(2.5));
    }
}
