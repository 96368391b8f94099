//! How far a tube that is welded onto another turns there, because the wall below it gives.
//!
//! Reads: the chord and the end on it ([`super::Onto`]), both round. Gives turning rates in the plane of both
//! axes and square to it, as a [`Joint`]; torsion and the force along the tube are taken as rigid.
//! Leaves out how one brace turns another on the same chord.
//! Source: Buitrago, Healy & Chang (1993), Local joint flexibility of tubular joints (OMAE), the
//! formulas for a single brace. **From memory**: the paper was not at hand, and no published value
//! was found to test against; other published formulas give rates from two thirds to one and a half
//! of these.

use super::chords::WeldedEnd;
use crate::beam::{Axes, Flex, Joint};
use crate::model::Model;
use crate::section::{RoundTube, Section};

/// Turning rates of a brace on a chord, N·mm/rad.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurningRates {
    /// In the plane of both axes.
    pub in_plane_nmm: f64,
    /// Square to it.
    pub out_of_plane_nmm: f64,
}

/// Turning rates of a round brace on a round chord, E D³ over the formula's flexibility:
///
/// ```text
/// in plane      1.39 τ^−0.238 β^−2.245 γ^1.898 sin^1.240 θ
/// out of plane  55 τ^−0.220 exp(−4.076 β) γ^2.417 sin^1.883 θ
/// β = d/D    γ = D/2T    τ = t/T    for 0.3 ≤ β ≤ 0.9, 10 ≤ γ ≤ 30, 30° ≤ θ ≤ 90°
/// ```
///
/// # Errors
/// What lies outside the range, in words.
pub fn turning_rates(
    chord: &RoundTube,
    brace: &RoundTube,
    angle_rad: f64,
    youngs_mpa: f64,
) -> Result<TurningRates, String> {
    const EQUAL: f64 = 1e-9;
    let (beta, gamma) = (brace.od_mm / chord.od_mm, chord.od_mm / (2.0 * chord.wall_mm));
    let (tau, sin) = (brace.wall_mm / chord.wall_mm, angle_rad.sin());
    let is_within = |value: f64, least: f64, most: f64| value >= least - EQUAL && value <= most + EQUAL;
    if !is_within(beta, 0.3, 0.9) {
        return Err(format!(
            "its diameter is {beta:.3} times that of the tube it stands on; the formula is for 0.3 to 0.9"
        ));
    }
    if !is_within(gamma, 10.0, 30.0) {
        return Err(format!(
            "the diameter of the tube it stands on is {:.1} times its wall; the formula is for 20 to 60",
            2.0 * gamma
        ));
    }
    let degrees = angle_rad.to_degrees();
    if degrees < 30.0 - 1e-6 {
        return Err(format!("it leans at {degrees:.1}°; the formula is for 30° and more"));
    }
    let in_plane = 1.39 * tau.powf(-0.238) * beta.powf(-2.245) * gamma.powf(1.898) * sin.powf(1.240);
    let out_of_plane = 55.0 * tau.powf(-0.220) * (-4.076 * beta).exp() * gamma.powf(2.417) * sin.powf(1.883);
    let unit = youngs_mpa * chord.od_mm.powi(3);
    Ok(TurningRates { in_plane_nmm: unit / in_plane, out_of_plane_nmm: unit / out_of_plane })
}

/// The rates of an end of a member, and its joint.
///
/// The joint turns about the two axes of the plane that both tubes lie in, wherever the tube's local y
/// and z are: nothing is shared out between these.
///
/// # Errors
/// Why it is outside the formula's range, in words.
pub fn tube_on_tube(model: &Model, end: &WeldedEnd) -> Result<(TurningRates, Joint), String> {
    let onto = end.onto.as_ref().map_err(|_| "no tube runs through where it ends".to_owned())?;
    let member = &model.members[end.member];
    let sections = [onto.chord.size, member.tube].map(|size| &model.tubes[size].section);
    let [Section::Round(chord), Section::Round(brace)] = sections else {
        return Err("one of both tubes is not round, and the formula is for round tubes".to_owned());
    };
    let youngs_mpa = model.material_of(onto.chord.size).youngs_modulus_mpa;
    let rates = turning_rates(chord, brace, onto.angle_rad, youngs_mpa)?;
    let axes = own_axes(model, end).ok_or("its own axes are not known")?;
    let square = onto.square_to_plane();
    let joint = Joint {
        my: Flex::Rate(rates.in_plane_nmm),
        mz: Flex::Rate(rates.out_of_plane_nmm),
        turned_rad: square.dot(&axes.z()).atan2(square.dot(&axes.y())),
        ..Joint::WELD
    };
    Ok((rates, joint))
}

/// Local axes of the straight piece that an end of a member belongs to.
fn own_axes(model: &Model, end: &WeldedEnd) -> Option<Axes> {
    let member = &model.members[end.member];
    let axis = model.member_axis(member);
    let first = if end.end == 0 { 0 } else { axis.len() - 2 };
    Axes::between(&axis[first], &axis[first + 1], member.orientation.up, member.orientation.roll_rad)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::math::assert_near;

    fn tube(od_mm: f64, wall_mm: f64) -> RoundTube {
        RoundTube { od_mm, wall_mm }
    }

    /// The formula is from memory; its figures by pocket calculator.
    #[test]
    fn a_brace_turns_as_a_calculator_finds_by_the_same_formula() {
        // D = 48, T = 2: γ = 12; d = 25.44: β = 0.53; t = 2: τ = 1; square on.
        let rates = turning_rates(&tube(48.0, 2.0), &tube(25.44, 2.0), 90_f64.to_radians(), 210_000.0).unwrap();
        let unit = 210_000.0 * 48.0_f64.powi(3);
        // β^−2.245 = 4.159113, γ^1.898 = 111.7599: 1.39 · 464.822 = 646.103.
        assert_near(unit / rates.in_plane_nmm, 646.103, 1e-5);
        // exp(−2.16028) = 0.1152928, γ^2.417 = 405.8645: 55 · 46.7933 = 2573.63.
        assert_near(unit / rates.out_of_plane_nmm, 2573.63, 1e-5);
    }

    #[test]
    fn a_brace_is_stiffer_in_its_plane_and_on_a_thicker_chord() {
        let of = |wall: f64, od: f64| {
            turning_rates(&tube(50.0, wall), &tube(od, 1.5), 60_f64.to_radians(), 210_000.0).unwrap()
        };
        let thin = of(1.5, 25.0);
        assert!(thin.in_plane_nmm > thin.out_of_plane_nmm);
        let (thick, wide) = (of(2.0, 25.0), of(1.5, 30.0));
        assert!(thick.in_plane_nmm > thin.in_plane_nmm && thick.out_of_plane_nmm > thin.out_of_plane_nmm);
        assert!(wide.in_plane_nmm > thin.in_plane_nmm && wide.out_of_plane_nmm > thin.out_of_plane_nmm);
    }

    #[test]
    fn outside_its_range_the_formula_gives_nothing() {
        let told = |chord: RoundTube, brace: RoundTube, degrees: f64| {
            turning_rates(&chord, &brace, degrees.to_radians(), 210_000.0).err().unwrap_or_default()
        };
        assert_eq!(told(tube(40.0, 2.0), tube(36.0, 2.0), 30.0), "");
        assert!(told(tube(40.0, 2.0), tube(36.2, 2.0), 30.0).contains("0.905 times"));
        assert!(told(tube(40.0, 2.0), tube(11.9, 2.0), 30.0).contains("0.297 times"));
        assert!(told(tube(40.0, 2.01), tube(20.0, 2.0), 30.0).contains("19.9 times its wall"));
        assert!(told(tube(40.0, 0.66), tube(20.0, 2.0), 30.0).contains("60.6 times its wall"));
        assert!(told(tube(40.0, 2.0), tube(20.0, 2.0), 29.0).contains("29.0°"));
    }
}
