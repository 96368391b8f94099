//! Formulas of welds and of fatigue.

use super::{Answer, Inputs, number, one_of, word};
use crate::checks::{
    Detail, FatigueCurve, LineFigures, LineForce, Run, Spread, ThroatStress, Weld, WeldLine, WeldMetal, correlation,
};
use crate::section::InternalForces;

/// Partial factor of the tool, γM2; a case with another one cannot be answered.
const PARTIAL_FACTOR: f64 = 1.25;

fn steel(inputs: &Inputs) -> Result<WeldMetal, String> {
    match number(inputs, "partial_factor")? {
        PARTIAL_FACTOR => {
            let [ultimate, correlation] = ["ultimate", "correlation"].map(|name| number(inputs, name));
            Ok(WeldMetal::Steel { ultimate_mpa: ultimate?, correlation: correlation? })
        }
        other => Err(format!("the tool takes a partial factor of {PARTIAL_FACTOR}, not {other}")),
    }
}

fn shear_strength(inputs: &Inputs) -> Result<f64, String> {
    steel(inputs)?.shear_resistance_mpa().ok_or_else(|| "the metal has no simplified method".to_owned())
}

/// β_w of a grade, EN 1993-1-8 Table 4.1.
pub(super) fn correlation_factor(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let grade = word(inputs, "grade")?;
    let factor = correlation(grade).ok_or_else(|| format!("{grade} is not in the table"))?;
    Ok(vec![("correlation factor", "", factor.into())])
}

/// Throat over thickness of two welds that are as strong as the plate between them.
pub(super) fn full_strength(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    // √2 N / (2 a) = fu / (βw γM2) with N = fy t.
    let force = LineForce { axial: number(inputs, "yield")? / 2.0, ..LineForce::default() };
    let per_throat = ThroatStress::of(&force, 1.0).comparison_mpa();
    Ok(vec![("throat / thickness", "", (per_throat / steel(inputs)?.resistance_mpa()).into())])
}

/// The throats that stresses ask for, which are given for a throat of 1 mm.
pub(super) fn throats(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let [normal, across, along] = ["normal", "across", "along"].map(|name| number(inputs, name));
    let stress = ThroatStress { normal: normal?, across: across?, along: along? };
    let metal = steel(inputs)?;
    let most = metal.normal_resistance_mpa().ok_or("the metal has no limit of its own")?;
    Ok(vec![
        ("throat by the comparison stress", "mm", (stress.comparison_mpa() / metal.resistance_mpa()).into()),
        ("throat by the normal stress", "mm", (stress.normal.abs() / most).into()),
    ])
}

/// Design shear strength f_vw,d, and with a throat the resistances of a millimetre of weld: along it,
/// and square to it at 45 degrees to the throat.
pub(super) fn resistance(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let strength = shear_strength(inputs)?;
    let mut answers: Vec<Answer> = vec![("f_vw,d", "MPa", strength.into())];
    if inputs.contains_key("throat") {
        let throat = number(inputs, "throat")?;
        let one = LineForce { axial: 1.0, ..LineForce::default() };
        let across = steel(inputs)?.resistance_mpa() / ThroatStress::of(&one, throat).comparison_mpa();
        answers.extend([
            ("resistance along", "N/mm", (throat * strength).into()),
            ("resistance across", "N/mm", across.into()),
        ]);
    }
    Ok(answers)
}

/// A force square to the plate and one along the weld, N/mm, by the directional method.
pub(super) fn directional(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let force = LineForce { axial: number(inputs, "normal")?, outward: 0.0, along: number(inputs, "along")? };
    let (stress, metal) = (ThroatStress::of(&force, number(inputs, "throat")?), steel(inputs)?);
    let first = metal.resistance_mpa();
    let second = metal.normal_resistance_mpa().ok_or("the metal has no limit of its own")?;
    let utilisation = (stress.comparison_mpa() / first).max(stress.normal.abs() / second);
    Ok(vec![
        ("σ⊥", "MPa", stress.normal.into()),
        ("τ⊥", "MPa", stress.across.into()),
        ("τ∥", "MPa", stress.along.into()),
        ("comparison stress", "MPa", stress.comparison_mpa().into()),
        ("resistance of the comparison stress", "MPa", first.into()),
        ("resistance of σ⊥", "MPa", second.into()),
        ("utilisation", "", utilisation.into()),
    ])
}

/// Three forces, N/mm, by the simplified method.
pub(super) fn simplified(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let [normal, along, across] = ["normal", "along", "across"].map(|name| number(inputs, name));
    let force = normal?.hypot(along?).hypot(across?);
    let resistance = shear_strength(inputs)? * number(inputs, "throat")?;
    Ok(vec![
        ("F_w,Ed", "N/mm", force.into()),
        ("F_w,Rd", "N/mm", resistance.into()),
        ("utilisation", "", (force / resistance).into()),
    ])
}

const SPREADS: &[(&str, Spread)] = &[("as in the tube", Spread::Flow), ("evenly", Spread::Even)];

/// A ring of weld round a tube. At the angle 0 the moment pulls most; the shear force points there.
pub(super) fn ring(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let (od, throat_mm) = (number(inputs, "od")?, number(inputs, "throat")?);
    let radius_mm = match word(inputs, "line")? {
        "outside of the tube" => od / 2.0,
        "middle of the throat" => od / 2.0 + throat_mm / (2.0 * 2.0_f64.sqrt()),
        other => return Err(format!("there is no line of weld \"{other}\"")),
    };
    let spread = one_of(inputs, "shear_spread", SPREADS)?;
    let [n, v, t, m] = ["n", "v", "t", "m"].map(|name| number(inputs, name));
    // The angle 0 is +y here: the moment that pulls there is −mz, the force along it vy.
    let forces = InternalForces { n: n?, vy: v?, t: t? * 1000.0, mz: -m? * 1000.0, ..InternalForces::default() };
    let weld = Weld { line: WeldLine::Ring { radius_mm }, throat_mm, metal: steel(inputs)? };
    let result = weld.judge_spread(&forces, 0, 1.0, spread);
    let angle = result.angle_rad.ok_or("a ring has an angle")?.to_degrees();
    // Full turns are the same place.
    let angle = if angle > 359.97 { angle - 360.0 } else { angle };
    Ok(vec![
        ("radius", "mm", radius_mm.into()),
        ("largest comparison stress", "MPa", result.stress.comparison_mpa().into()),
        ("angle of the largest", "deg", angle.into()),
        ("largest force", "N/mm", result.line_force_n_mm.into()),
        ("utilisation, directional", "", result.directional.into()),
        ("utilisation, simplified", "", result.simplified.ok_or("steel has the simplified method")?.into()),
    ])
}

/// A weld as a line: length, modulus, polar second moment. `depth` lies along the direction of bending.
pub(super) fn line(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let depth = number(inputs, "depth")?;
    let (figures, half) = match word(inputs, "shape")? {
        "circle" => (WeldLine::Ring { radius_mm: depth / 2.0 }.figures(), depth / 2.0),
        "box" => (WeldLine::Box { width_mm: number(inputs, "width")?, depth_mm: depth }.figures(), depth / 2.0),
        "two parallel lines" => {
            // A flat on edge: the lines along y, so far apart in z.
            let flat = WeldLine::Flat { width_mm: depth, thickness_mm: number(inputs, "width")? };
            let LineFigures { length_mm, iy_mm3, iz_mm3 } = flat.figures();
            (LineFigures { length_mm, iy_mm3: iz_mm3, iz_mm3: iy_mm3 }, depth / 2.0)
        }
        "one line" => {
            let half = depth / 2.0;
            (LineFigures::of_runs(&[Run { from_mm: [0.0, -half], to_mm: [0.0, half] }]), half)
        }
        other => return Err(format!("there is no line of weld \"{other}\"")),
    };
    Ok(vec![
        ("length", "mm", figures.length_mm.into()),
        ("modulus", "mm2", (figures.iy_mm3 / half).into()),
        ("polar second moment", "mm3", figures.polar_mm3().into()),
    ])
}

/// Stresses on the throat of a fillet weld of aluminium, MPa.
pub(super) fn aluminium(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    if number(inputs, "partial_factor")? != PARTIAL_FACTOR {
        return Err(format!("the tool takes a partial factor of {PARTIAL_FACTOR}"));
    }
    let metal = WeldMetal::Aluminium { strength_mpa: number(inputs, "strength")? };
    let [normal, across, along] = ["normal", "across", "along"].map(|name| number(inputs, name));
    let found = ThroatStress { normal: normal?, across: across?, along: along? }.comparison_mpa();
    Ok(vec![("comparison stress", "MPa", found.into()), ("utilisation", "", (found / metal.resistance_mpa()).into())])
}

const FATIGUE_CURVES: &[(&str, FatigueCurve)] = &[("normal", FatigueCurve::Normal), ("shear", FatigueCurve::Shear)];

/// A category of 1 MPa where none is given.
fn detail(inputs: &Inputs) -> Result<Detail, String> {
    let category_mpa = if inputs.contains_key("category") { number(inputs, "category")? } else { 1.0 };
    Ok(Detail { category_mpa, curve: one_of(inputs, "curve", FATIGUE_CURVES)? })
}

/// The line of a detail: its limits, the cycles of a range, the range of a number of cycles.
pub(super) fn fatigue_line(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let detail = detail(inputs)?;
    let (limit, cut_off) = (detail.range_mpa(5e6), detail.range_mpa(1e8));
    let mut answers: Vec<Answer> = vec![
        ("range at 5 million cycles", "MPa", limit.into()),
        ("cut-off range", "MPa", cut_off.into()),
        ("range at 5 million cycles / category", "", (limit / detail.category_mpa).into()),
        ("cut-off range / range at 5 million cycles", "", (cut_off / limit).into()),
    ];
    if inputs.contains_key("range") {
        let cycles = detail.cycles(number(inputs, "range")? * number(inputs, "factor")?);
        answers.push(("cycles", "", cycles.map_or_else(|| "no damage".into(), Into::into)));
    }
    if inputs.contains_key("cycles") {
        answers.push(("range", "MPa", detail.range_mpa(number(inputs, "cycles")?).into()));
    }
    Ok(answers)
}

/// `range_1` and `count_1`, `range_2` and so on.
fn spectrum(inputs: &Inputs) -> Result<Vec<(f64, f64)>, String> {
    (1..)
        .map(|at| (format!("range_{at}"), format!("count_{at}")))
        .take_while(|(range, _)| inputs.contains_key(range))
        .map(|(range, count)| Ok((number(inputs, &range)?, number(inputs, &count)?)))
        .collect()
}

/// Damage of a spectrum.
pub(super) fn damage(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let (detail, factor) = (detail(inputs)?, number(inputs, "factor")?);
    let sum: f64 = spectrum(inputs)?.into_iter().map(|(range, count)| detail.damage(range, count, factor)).sum();
    Ok(vec![("damage", "", sum.into()), ("holds", "", if sum <= 1.0 { "yes" } else { "no" }.into())])
}

/// The range that does the damage of a spectrum at 2 million cycles.
pub(super) fn equivalent_range(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    Ok(vec![("equivalent range", "MPa", detail(inputs)?.equivalent_mpa(spectrum(inputs)?).into())])
}
