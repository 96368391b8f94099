//! Rod-ends of corner parts and bolts of mounts.

use super::symbols::Symbols;
use super::{HandCheck, Report};
use crate::checks::{ALONG_BOLT, Check};
use crate::run::{SecondOrder, Wrench, body_mount_name};
use crate::section::Thread;

/// d − 0.9382 P, by which the stress area goes.
fn stress_diameter(lines: &mut Symbols, thread: &Thread) -> f64 {
    lines.given("d", thread.diameter_mm, &format!("mm, {}", thread.name()));
    lines.given("P", thread.pitch_mm, "mm, pitch");
    lines.work("d_s", "d − 0.9382 × P", thread.diameter_mm - 0.9382 * thread.pitch_mm, "mm");
    lines.work("A_s", "π × d_s^2 / 4", thread.stress_area_mm2(), "mm², ISO 898-1")
}

/// The worst rod-end of a part in a case.
pub(super) fn rod_end(report: &Report<'_>, case: &str, part: &str) -> Option<HandCheck> {
    let judged = report.verdict.rod_ends.get(case)?.get(part)?;
    let margin = report.model.cases[case].limits.yield_margin?;
    let (told, result) = (&judged.part, &judged.result);
    let mut lines = Symbols::default();
    lines.given("N", result.along_n, "N, along the thread");
    lines.given("V", result.across_n, "N, across it");
    lines.given("margin", margin, "");
    lines.given("F_r", told.rated_n, "N, the maker's static figure");
    let whole = result.along_n.hypot(result.across_n);
    lines.work("F", "√(N^2 + V^2)", whole, "N");
    let mut largest = ("u_F", lines.work("u_F", "F × margin / F_r", result.rating, ""));
    let formula = format!("V × margin / ({ALONG_BOLT} × F_r)");
    let across = lines.work("u_V", &formula, result.along_bolt, "if the bolt points that way");
    if across > largest.1 {
        largest = ("u_V", across);
    }
    if let (Some(strength), Some(used)) = (told.yield_mpa, result.shank) {
        stress_diameter(&mut lines, &told.thread);
        lines.work("W", "π × d_s^3 / 32", told.thread.modulus_mm3(), "mm³");
        lines.given("s", told.stick_out_mm, "mm, from the ball to where the shank is held");
        lines.work("M", "V × s", result.bending_nmm, "N·mm");
        lines.given("N_abs", result.along_n.abs(), "N, pulled or pushed");
        lines.work("σ", "N_abs / A_s + M / W", result.shank_mpa, "MPa");
        lines.given("f_y", strength, "MPa, strength of the shank");
        if lines.work("u_σ", "σ × margin / f_y", used, "") > largest.1 {
            largest = ("u_σ", used);
        }
    }
    lines.work("utilisation", &format!("1 × {}", largest.0), result.utilisation, "the largest");
    let at = super::words::place_on_tube(report, part, judged.at_mm);
    let there = super::words::on_the_deformed_frame(judged.deformed);
    let title = format!(
        "Rod-end of {part} {at} in \"{case}\"{there}: the maker's figure, {ALONG_BOLT} of it along the bolt (common practice, \
         no source), the shank by beam theory"
    );
    Some(HandCheck { check: Check::RodEnd, case: case.into(), place: part.into(), title, lines: lines.lines().0 })
}

/// What acts on a mount of the ground or of a body, by the name under which its bolts are judged.
fn wrench<'r>(report: &'r Report<'_>, case: &str, mount: &str, deformed: bool) -> Option<&'r Wrench> {
    let outcome = match report.outcome.second_order.get(case).filter(|_| deformed) {
        Some(SecondOrder::Settled(settled)) => &settled.case,
        _ => report.outcome.cases.get(case)?,
    };
    let of_bodies = || {
        outcome.bodies.iter().find_map(|(body, moved)| {
            let mut mounts = moved.mounts.iter();
            mounts.find(|(node, _)| body_mount_name(body, node) == mount).map(|(_, load)| load)
        })
    };
    outcome.mounts.get(mount).or_else(of_bodies)
}

/// The bolts of a mount in a case.
pub(super) fn bolts(report: &Report<'_>, case: &str, mount: &str) -> Option<HandCheck> {
    let judged = report.verdict.bolts.get(case)?.get(mount)?;
    let margin = report.model.cases[case].limits.yield_margin?;
    let load = wrench(report, case, mount, judged.deformed)?;
    let (told, result) = (&judged.bolts, &judged.result);
    let mut lines = Symbols::default();
    stress_diameter(&mut lines, &told.thread);
    lines.given("f_ub", told.class.ultimate_mpa, &format!("MPa, class {}", told.class.name));
    lines.given("α_v", told.class.shear_factor, "");
    lines.work("F_v,Rd", "α_v × f_ub × A_s / 1.25", result.shear_resistance_n, "N, of one bolt");
    lines.work("F_t,Rd", "0.9 × f_ub × A_s / 1.25", result.tension_resistance_n, "N");
    lines.given("z", f64::from(told.count), "bolts");
    lines.given("margin", margin, "");
    let (force_n, moment_nmm) = (load.force_n, load.moment_nm * 1000.0);
    if let Some(pitch) = told.pitch_mm {
        lines.given("p", pitch, "mm, pitch of the bolts");
    }
    let with_couple = |force: &str, moment: &str| match told.pitch_mm {
        Some(_) => format!("{force} / z + {moment} / p"),
        None => format!("{force} / z"),
    };
    let both = match told.along {
        Some(along) => {
            let (pull, turn) = (force_n.dot(&along), moment_nmm.dot(&along));
            lines.given("F_a", pull.abs(), "N, along the bolts");
            lines.given("F_q", (force_n - along * pull).norm(), "N, across them");
            if told.pitch_mm.is_some() {
                lines.given("M_a", turn.abs(), "N·mm, about the bolts");
                lines.given("M_q", (moment_nmm - along * turn).norm(), "N·mm, across them");
            }
            lines.work("F_v", &with_couple("F_q", "M_a"), result.shear_n, "N, shear of one bolt");
            lines.work("F_t", &with_couple("F_a", "M_q"), result.tension_n, "N, pull of one bolt");
            let both =
                result.shear_n / result.shear_resistance_n + result.tension_n / (1.4 * result.tension_resistance_n);
            lines.work("u", "F_v / F_v,Rd + F_t / (1.4 × F_t,Rd)", both, "")
        }
        None => {
            lines.given("F", force_n.norm(), "N, whichever way the bolts point");
            if told.pitch_mm.is_some() {
                lines.given("M", moment_nmm.norm(), "N·mm");
            }
            lines.work("F_v", &with_couple("F", "M"), result.shear_n, "N, of one bolt, as shear or as pull");
            lines.work("F_t", "1 × F_v", result.tension_n, "N");
            let both =
                result.shear_n * (1.0 / result.shear_resistance_n).hypot(1.0 / (1.4 * result.tension_resistance_n));
            lines.work("u", "F_v × √((1 / F_v,Rd)^2 + (1 / (1.4 × F_t,Rd))^2)", both, "in the worst direction")
        }
    };
    let tension = result.tension_n / result.tension_resistance_n;
    if tension > both {
        lines.work("utilisation", "F_t × margin / F_t,Rd", result.utilisation, "pull alone");
    } else {
        lines.work("utilisation", "u × margin", result.utilisation, "");
    }
    let there = super::words::on_the_deformed_frame(judged.deformed);
    let title = format!(
        "Bolts of {mount} in \"{case}\"{there}: EN 1993-1-8:2005 Table 3.4, shear through the thread, γM2 1.25"
    );
    Some(HandCheck { check: Check::Bolts, case: case.into(), place: mount.into(), title, lines: lines.lines().0 })
}
