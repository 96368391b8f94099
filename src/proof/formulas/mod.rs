//! The tool's formulas that can be asked by themselves, each once: inputs by name, answers by name.

mod welds;

use super::file::Figure;
use crate::beam::mass::tube_mass_kg;
use crate::checks::{
    ColumnForces, ColumnInput, Curve, MomentFactors, buckling_curve, chi, column, epsilon, euler_load_n,
    interaction_sums, moment_factors, relative_slenderness, wall,
};
use crate::section::{
    BUILT_IN, Bar, BoxTube, BuiltIn, Fibres, Finish, InternalForces, Material, RoundTube, Section, built_in,
    cowper_hollow_circle, rectangle_torsion,
};
use crate::source::{Named, choice};
use crate::units::{Length, Quantity as _, Wall, gauge_mm};

/// A formula that can be asked by itself.
pub struct Formula {
    /// Its name.
    pub name: &'static str,
    /// Works it out.
    pub(super) work_out: fn(&Inputs) -> Result<Vec<Answer>, String>,
}

/// What goes into a formula.
pub(super) type Inputs = Named<Figure>;

/// An answer: its name, its unit, and what it is.
pub(super) type Answer = (&'static str, &'static str, Figure);

/// The formulas.
pub const FORMULAS: &[Formula] = &[
    Formula { name: "round tube", work_out: round_tube },
    Formula { name: "round bar", work_out: round_bar },
    Formula { name: "box tube", work_out: box_tube },
    Formula { name: "corner radii", work_out: corner_radii },
    Formula { name: "shear factors of round sections", work_out: shear_factors },
    Formula { name: "torsion of a rectangle", work_out: torsion_of_rectangle },
    Formula { name: "torsion of a round tube", work_out: torsion_of_tube },
    Formula { name: "wire gauge", work_out: wire_gauge },
    Formula { name: "built-in material", work_out: built_in_material },
    Formula { name: "built-in hollow sections of a grade", work_out: grade_of_hollow_sections },
    Formula { name: "built-in structural steels", work_out: structural_steels },
    Formula { name: "imperfection", work_out: imperfection },
    Formula { name: "buckling curve of hollow sections", work_out: curve_of_hollow_sections },
    Formula { name: "reduction factor", work_out: reduction_factor },
    Formula { name: "Euler load", work_out: euler_load },
    Formula { name: "relative slenderness", work_out: slenderness },
    Formula { name: "column of figures", work_out: column_of_figures },
    Formula { name: "column", work_out: column_of_tube },
    Formula { name: "sums of bending and compression", work_out: sums },
    Formula { name: "moment factor", work_out: moment_factor },
    Formula { name: "wall limits", work_out: wall_limits },
    Formula { name: "wall", work_out: wall_of_tube },
    Formula { name: "weld: correlation factor", work_out: welds::correlation_factor },
    Formula { name: "weld: full strength", work_out: welds::full_strength },
    Formula { name: "weld: throats", work_out: welds::throats },
    Formula { name: "weld: resistance", work_out: welds::resistance },
    Formula { name: "weld: directional method", work_out: welds::directional },
    Formula { name: "weld: simplified method", work_out: welds::simplified },
    Formula { name: "weld: ring", work_out: welds::ring },
    Formula { name: "weld: line", work_out: welds::line },
    Formula { name: "weld: aluminium", work_out: welds::aluminium },
    Formula { name: "fatigue: line", work_out: welds::fatigue_line },
    Formula { name: "fatigue: damage", work_out: welds::damage },
    Formula { name: "fatigue: equivalent range", work_out: welds::equivalent_range },
];

/// Poisson's ratio where no shear area is asked for.
const ANY_POISSON: f64 = 0.3;

fn number(inputs: &Inputs, name: &str) -> Result<f64, String> {
    match inputs.get(name) {
        Some(Figure::Number(value)) => Ok(*value),
        Some(Figure::Word(word)) => Err(format!("the input \"{name}\" is a number, not \"{word}\"")),
        None => Err(format!("the input \"{name}\" is missing")),
    }
}

fn word<'i>(inputs: &'i Inputs, name: &str) -> Result<&'i str, String> {
    match inputs.get(name) {
        Some(Figure::Word(word)) => Ok(word),
        Some(Figure::Number(value)) => Err(format!("the input \"{name}\" is a word, not {value}")),
        None => Err(format!("the input \"{name}\" is missing")),
    }
}

/// A word of a table.
fn one_of<T: Copy>(inputs: &Inputs, name: &str, words: &[(&str, T)]) -> Result<T, String> {
    let given = word(inputs, name)?;
    let found = words.iter().find(|(known, _)| *known == given);
    found.map(|(_, value)| *value).ok_or_else(|| {
        format!("the input \"{name}\" is {}, not \"{given}\"", choice(words.iter().map(|(known, _)| *known)))
    })
}

const CURVES: &[(&str, Curve)] =
    &[("a0", Curve::A0), ("a", Curve::A), ("b", Curve::B), ("c", Curve::C), ("d", Curve::D)];

fn letter(curve: Curve) -> &'static str {
    CURVES.iter().find(|(_, known)| *known == curve).expect("every curve has a letter").0
}

const FINISHES: &[(&str, Finish)] = &[("hot", Finish::Hot), ("cold", Finish::Cold)];

/// Diameter and wall in mm, or a text with its unit, as a user writes it: `"1.5 in"`, `"16 swg"`.
fn tube(inputs: &Inputs) -> Result<RoundTube, String> {
    let od_mm = match inputs.get("od") {
        Some(Figure::Word(text)) => Length::KIND.parse(text)?,
        _ => number(inputs, "od")?,
    };
    let wall_mm = match inputs.get("wall") {
        Some(Figure::Word(text)) => Wall::KIND.parse(text)?,
        _ => number(inputs, "wall")?,
    };
    Ok(RoundTube { od_mm, wall_mm })
}

fn rectangle(inputs: &Inputs) -> Result<BoxTube, String> {
    Ok(BoxTube {
        width_mm: number(inputs, "width")?,
        depth_mm: number(inputs, "depth")?,
        wall_mm: number(inputs, "wall")?,
        outer_radius_mm: number(inputs, "outer_radius")?,
        inner_radius_mm: number(inputs, "inner_radius")?,
    })
}

/// A round tube where a diameter is given, else a box.
fn tube_of_any_shape(inputs: &Inputs) -> Result<Section, String> {
    if inputs.contains_key("od") { Ok(tube(inputs)?.into()) } else { Ok(rectangle(inputs)?.into()) }
}

/// The section as the tool has it, with the mass of a metre where a density is given.
fn figures(section: &Section, inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let poisson = if inputs.contains_key("poisson") { number(inputs, "poisson")? } else { ANY_POISSON };
    let p = section.properties(poisson);
    let mut answers: Vec<Answer> = vec![
        ("area", "mm2", p.area_mm2.into()),
        ("second moment y", "mm4", p.iy_mm4.into()),
        ("second moment z", "mm4", p.iz_mm4.into()),
        ("radius of gyration y", "mm", (p.iy_mm4 / p.area_mm2).sqrt().into()),
        ("radius of gyration z", "mm", (p.iz_mm4 / p.area_mm2).sqrt().into()),
        ("elastic modulus y", "mm3", (p.iy_mm4 / p.cz_mm).into()),
        ("elastic modulus z", "mm3", (p.iz_mm4 / p.cy_mm).into()),
        ("torsion constant", "mm4", p.j_mm4.into()),
    ];
    answers.extend(p.ct_mm3.map(|modulus| ("torsion modulus", "mm3", modulus.into())));
    answers.extend(p.ay_mm2.map(|area| ("shear factor y", "", (area / p.area_mm2).into())));
    if let Some((y, z)) = p.plastic_mm3 {
        answers.extend([("plastic modulus y", "mm3", y.into()), ("plastic modulus z", "mm3", z.into())]);
    }
    if inputs.contains_key("density") {
        let mass = tube_mass_kg(p.area_mm2, 1000.0, number(inputs, "density")?);
        answers.push(("mass of a metre", "kg", mass.into()));
    }
    Ok(answers)
}

fn round_tube(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    figures(&tube(inputs)?.into(), inputs)
}

fn round_bar(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    figures(&Bar { od_mm: number(inputs, "od")? }.into(), inputs)
}

fn box_tube(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    figures(&rectangle(inputs)?.into(), inputs)
}

/// The radii do not depend on the sides.
fn corner_radii(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let (side, finish) = (200.0, one_of(inputs, "finish", FINISHES)?);
    let tube = BoxTube::standard(side, side, number(inputs, "wall")?, finish);
    Ok(vec![("outer radius", "mm", tube.outer_radius_mm.into()), ("inner radius", "mm", tube.inner_radius_mm.into())])
}

/// Of a tube with next to no wall, and of one without a bore.
fn shear_factors(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let poisson = number(inputs, "poisson")?;
    let [thin, bar] = [1.0, 0.0].map(|bore| cowper_hollow_circle(bore, poisson));
    Ok(vec![("shear factor, thin tube", "", thin.into()), ("shear factor, solid bar", "", bar.into())])
}

/// The coefficients of J = β a b³ and of the largest shear stress, T / (α a b²).
fn torsion_of_rectangle(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let (a, b) = (number(inputs, "long_side")?, number(inputs, "short_side")?);
    let (j, modulus, _) = rectangle_torsion(a, b);
    Ok(vec![
        ("torsion constant", "mm4", j.into()),
        ("torsion constant / a b³", "", (j / (a * b.powi(3))).into()),
        ("torsion modulus / a b²", "", (modulus / (a * b * b)).into()),
    ])
}

fn torsion_of_tube(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let section = Section::from(tube(inputs)?);
    let torque = InternalForces { t: number(inputs, "torque")? * 1000.0, ..InternalForces::default() };
    let Fibres::Circle(circle) = section.fibres() else {
        return Err("a round tube is looked at all round a circle".to_owned());
    };
    // The same all round: at any angle.
    let stress = circle.stress(&torque, 1.0).torsion;
    Ok(vec![
        ("torsion constant", "mm4", section.properties(ANY_POISSON).j_mm4.into()),
        ("torsion stress", "MPa", stress.into()),
    ])
}

fn wire_gauge(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let gauge = number(inputs, "gauge")?;
    let wall = gauge_mm(gauge).ok_or_else(|| format!("there is no gauge {gauge}"))?;
    let written = Wall::KIND.parse(&format!("{gauge} swg"))?;
    if written != wall {
        return Err(format!("\"{gauge} swg\" is read as {written} mm"));
    }
    Ok(vec![("wall", "mm", wall.into())])
}

/// The strengths that the entries have in common.
fn strengths(entries: &[&BuiltIn]) -> Result<Vec<Answer>, String> {
    let first = entries.first().ok_or("no material of this name is built in")?.material;
    for entry in entries {
        let m = entry.material;
        if (m.yield_mpa, m.ultimate_mpa) != (first.yield_mpa, first.ultimate_mpa) {
            return Err(format!("{} differs from the others of its grade", entry.name));
        }
    }
    Ok(vec![
        ("yield strength", "MPa", first.yield_mpa.into()),
        ("tensile strength", "MPa", first.ultimate_mpa.into()),
        ("yield strength at a weld", "MPa", first.yield_at_weld_mpa.into()),
        ("yield strength at a weld / yield strength", "", (first.yield_at_weld_mpa / first.yield_mpa).into()),
    ])
}

fn built_in_material(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let name = word(inputs, "name")?;
    strengths(&[built_in(name).ok_or_else(|| format!("{name} is not built in"))?])
}

/// `S355` stands for all its qualities as hollow sections.
fn grade_of_hollow_sections(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let grade = word(inputs, "grade")?;
    let entries: Vec<&BuiltIn> =
        BUILT_IN.iter().filter(|entry| entry.name.starts_with(grade) && entry.name.ends_with('H')).collect();
    strengths(&entries)
}

/// What all built-in precision and structural steels have in common.
fn structural_steels(_: &Inputs) -> Result<Vec<Answer>, String> {
    let is_structural = |entry: &&BuiltIn| ["E2", "E3", "S2", "S3"].iter().any(|start| entry.name.starts_with(start));
    let steels: Vec<&BuiltIn> = BUILT_IN.iter().filter(is_structural).collect();
    let first = steels.first().ok_or("no structural steel is built in")?.material;
    let elastic = |m: &Material| (m.youngs_modulus_mpa, m.density_kg_m3);
    match steels.iter().find(|entry| elastic(&entry.material) != elastic(&first)) {
        Some(other) => Err(format!("{} differs from the others", other.name)),
        None => Ok(vec![
            ("Young's modulus", "MPa", first.youngs_modulus_mpa.into()),
            ("density", "kg/m3", first.density_kg_m3.into()),
        ]),
    }
}

fn imperfection(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    Ok(vec![("imperfection", "", one_of(inputs, "curve", CURVES)?.imperfection().into())])
}

/// The name of a structural steel that no rule asks for.
const STEEL: &str = "";

/// Structural steel of a yield strength.
fn steel(yield_mpa: f64, finish: Finish) -> Material {
    Material {
        youngs_modulus_mpa: 210_000.0,
        shear_modulus_mpa: 210_000.0 / 2.6,
        density_kg_m3: 7850.0,
        yield_mpa,
        ultimate_mpa: 1.2 * yield_mpa,
        yield_at_weld_mpa: yield_mpa,
        finish,
    }
}

/// The curve that a round and a rectangular tube share, from one yield strength to another.
fn curve_of_hollow_sections(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let finish = one_of(inputs, "finish", FINISHES)?;
    let sections: [Section; 2] =
        [RoundTube { od_mm: 40.0, wall_mm: 3.0 }.into(), BoxTube::standard(50.0, 30.0, 3.0, finish).into()];
    let mut letters = Vec::new();
    for yield_mpa in [number(inputs, "yield_from")?, number(inputs, "yield_to")?] {
        letters.extend(sections.iter().map(|section| letter(buckling_curve(section, &steel(yield_mpa, finish)))));
    }
    letters.dedup();
    match letters.as_slice() {
        [only] => Ok(vec![("curve", "", (*only).into())]),
        several => Err(format!("they have the curves {}", several.join(", "))),
    }
}

/// χ by each curve, and by the imperfection where one is given.
fn reduction_factor(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let slenderness = number(inputs, "slenderness")?;
    let by_curve = |name: &'static str, curve: Curve| (name, "", chi(slenderness, curve.imperfection()).into());
    let mut answers: Vec<Answer> = vec![
        by_curve("χ, curve a0", Curve::A0),
        by_curve("χ, curve a", Curve::A),
        by_curve("χ, curve b", Curve::B),
        by_curve("χ, curve c", Curve::C),
        by_curve("χ, curve d", Curve::D),
    ];
    if inputs.contains_key("imperfection") {
        let chi = chi(slenderness, number(inputs, "imperfection")?);
        // χ = 1 / (φ + √(φ² − λ̄²)), solved for φ.
        let phi = 0.5 * (1.0 / chi + chi * slenderness * slenderness);
        answers.extend([("χ", "", chi.into()), ("φ", "", phi.into())]);
    }
    Ok(answers)
}

fn euler_load(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let [e, i, length] = ["youngs_modulus", "second_moment", "length"].map(|name| number(inputs, name));
    Ok(vec![("N_cr", "N", euler_load_n(e?, i?, length?).into())])
}

fn slenderness(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let [area, yielding, n_cr] = ["area", "yield", "n_cr"].map(|name| number(inputs, name));
    Ok(vec![("slenderness", "", relative_slenderness(area?, yielding?, n_cr?).into())])
}

/// A column by its figures: the formulas with the curve of the case. The tool itself judges a given
/// section by curve c, since nothing says that it is hollow.
fn column_of_figures(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let (area, yielding) = (number(inputs, "area")?, number(inputs, "yield")?);
    let [e, i, length] = ["youngs_modulus", "second_moment", "length"].map(|name| number(inputs, name));
    let n_cr = euler_load_n(e?, i?, length?);
    let slenderness = relative_slenderness(area, yielding, n_cr);
    let chi = chi(slenderness, one_of(inputs, "curve", CURVES)?.imperfection());
    Ok(vec![
        ("A f_y", "N", (area * yielding).into()),
        ("N_cr", "N", n_cr.into()),
        ("slenderness", "", slenderness.into()),
        ("χ", "", chi.into()),
        ("N_b,Rd", "N", (chi * area * yielding / number(inputs, "margin")?).into()),
    ])
}

/// A tube judged as a column: buckling alone, or with bending where moments are given. The finish is
/// the one whose tubes have the curve of the case; the margin on the loads stands for γ_M1.
fn column_of_tube(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let or = |name: &str, other: f64| if inputs.contains_key(name) { number(inputs, name) } else { Ok(other) };
    let section = tube_of_any_shape(inputs)?;
    let mut material = steel(number(inputs, "yield")?, one_of(inputs, "finish", FINISHES)?);
    material.youngs_modulus_mpa = number(inputs, "youngs_modulus")?;
    let push_n = or("push", 1000.0)?;
    let forces = ColumnForces {
        push_n,
        my_nmm: or("my", 0.0)? * 1000.0,
        mz_nmm: or("mz", 0.0)? * 1000.0,
        cm: [or("cm_y", 1.0)?, or("cm_z", 1.0)?],
    };
    let properties = section.properties(ANY_POISSON);
    let (length_mm, margin) = (number(inputs, "length")?, number(inputs, "margin")?);
    let result = column(&ColumnInput {
        section: &section,
        properties: &properties,
        material: &material,
        length_mm,
        forces,
        margin,
        frame_n_cr_n: None,
    });
    let n = result.n_b_rd_n.map(|resistance| push_n * margin / resistance);
    let m = [forces.my_nmm * margin / result.m_rd_nmm[0], forces.mz_nmm * margin / result.m_rd_nmm[1]];
    let sums = interaction_sums(n, m, result.k);
    let axes = [
        ("A f_y, y", "N_cr, y", "slenderness, y", "χ, y", sums[0]),
        ("A f_y, z", "N_cr, z", "slenderness, z", "χ, z", sums[1]),
    ];
    let mut answers: Vec<Answer> = Vec::new();
    for (axis, (squash, n_cr, slenderness, chi, _)) in axes.into_iter().enumerate() {
        answers.extend([
            (squash, "N", (result.n_b_rd_n[axis] / result.chi[axis]).into()),
            (n_cr, "N", result.n_cr_n[axis].into()),
            (slenderness, "", result.slenderness[axis].into()),
            (chi, "", result.chi[axis].into()),
        ]);
    }
    let [kyy, kyz, kzy, kzz] = result.k;
    answers.extend([
        ("curve", "", letter(buckling_curve(&section, &material)).into()),
        ("k_yy", "", kyy.into()),
        ("k_yz", "", kyz.into()),
        ("k_zy", "", kzy.into()),
        ("k_zz", "", kzz.into()),
        ("sum (6.61)", "", sums[0].into()),
        ("sum (6.62)", "", sums[1].into()),
        // What is judged: the push at which the larger sum reaches 1.
        ("N_b,Rd", "N", (push_n / result.sum).into()),
    ]);
    Ok(answers)
}

/// Both sums from given factors; the moment about y is 0, so that its factors do not matter.
fn sums(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let yielding = number(inputs, "yield")?;
    let [push, area, chi_y, chi_z] = ["push", "area", "chi_y", "chi_z"].map(|name| number(inputs, name));
    let squash = area? * yielding;
    let push = push?;
    let n = [push / (chi_y? * squash), push / (chi_z? * squash)];
    let m = [0.0, number(inputs, "mz")? * 1000.0 / (number(inputs, "modulus_z")? * yielding)];
    let [about_y, about_z] = interaction_sums(n, m, [1.0, number(inputs, "k_yz")?, 1.0, number(inputs, "k_zz")?]);
    Ok(vec![("sum (6.61)", "", about_y.into()), ("sum (6.62)", "", about_z.into())])
}

/// C_m of Table B.3 from the moments at both ends and in the middle.
fn moment_factor(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let [first, second, middle] = ["first", "second", "middle"].map(|name| number(inputs, name));
    let MomentFactors { uniform, point } = moment_factors(first?, second?, middle?);
    Ok(vec![("C_m, uniform load or none", "", uniform.into()), ("C_m, point load", "", point.into())])
}

/// ε, and the limits of class 3 over ε and ε².
fn wall_limits(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let material = steel(number(inputs, "yield")?, Finish::Cold);
    let epsilon = epsilon(&material);
    let limit = |section: Section| wall(&section, &material, STEEL).map(|found| found.limit).ok_or("a tube has a wall");
    let of_box = limit(BoxTube::standard(60.0, 60.0, 2.0, Finish::Cold).into())?;
    let of_round = limit(RoundTube { od_mm: 60.0, wall_mm: 2.0 }.into())?;
    Ok(vec![
        ("ε", "", epsilon.into()),
        ("limit of c/t / ε", "", (of_box / epsilon).into()),
        ("limit of D/t / ε²", "", (of_round / epsilon.powi(2)).into()),
    ])
}

fn wall_of_tube(inputs: &Inputs) -> Result<Vec<Answer>, String> {
    let material = steel(number(inputs, "yield")?, Finish::Cold);
    let found = wall(&tube_of_any_shape(inputs)?, &material, STEEL).ok_or("a tube has a wall")?;
    let is_class_4 = found.slenderness > found.limit;
    let mut answers: Vec<Answer> = vec![
        ("slenderness", "", found.slenderness.into()),
        ("limit", "", found.limit.into()),
        ("ε", "", epsilon(&material).into()),
        ("is of class 4", "", if is_class_4 { "yes" } else { "no" }.into()),
    ];
    // Below the limit the tool does not ask which class it is.
    answers.extend(is_class_4.then(|| ("class", "", 4.0.into())));
    Ok(answers)
}
