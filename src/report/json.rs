//! The machine-readable result, as `models/FORMAT.md` fixes it.

use nalgebra::Vector3;
use serde_json::{Map, Value, json};

use super::{Report, TOOL};
use crate::checks::{Check, Finding};
use crate::model::Model;
use crate::run::{CaseOutcome, Station, TubeJudged, WheelChange, WheelOutcome, Wrench};
use crate::section::Material;

/// The whole result as one JSON value.
pub fn render(report: &Report<'_>) -> Value {
    let mut root = Map::new();
    root.insert("format".into(), 1.into());
    root.insert("tool".into(), json!({ "name": TOOL.0, "version": TOOL.1 }));
    root.insert("model".into(), json!({ "title": report.model.title, "file": report.file, "sha256": report.sha256 }));
    if let Some(option) = report.option {
        root["model"]["option"] = option.into();
    }
    root.insert("units".into(), units());
    root.insert("notes".into(), report.notes.into());
    root.insert("materials".into(), materials(report.model));
    root.insert("tubes".into(), tubes(report.model));
    root.insert("verdict".into(), verdict(report));
    root.insert("mass".into(), mass(report));
    let cases = report.outcome.cases.iter().map(|(name, case)| (name.clone(), case_value(report, name, case)));
    root.insert("cases".into(), Value::Object(cases.collect()));
    if !report.outcome.twist.is_empty() {
        root.insert("twist".into(), twist(report));
    }
    Value::Object(root)
}

/// A number as JSON has it: no −0, and no NaN can get this far.
fn number(value: f64) -> Value {
    if value == 0.0 { json!(0.0) } else { json!(value) }
}

fn list(vector: &Vector3<f64>) -> Value {
    vector.iter().map(|value| number(*value)).collect()
}

/// An object from pairs of key and value.
fn object<'k>(pairs: impl IntoIterator<Item = (&'k str, Value)>) -> Value {
    Value::Object(pairs.into_iter().map(|(key, value)| (key.to_owned(), value)).collect())
}

fn units() -> Value {
    json!({
        "length": "mm", "angle": "deg", "force": "N", "moment": "N·m", "stress": "MPa", "mass": "kg",
        "rate": "N/mm", "density": "kg/m3", "area": "mm2", "modulus": "mm3", "second_moment": "mm4",
        "twist_stiffness": "N·m/deg",
    })
}

fn materials(model: &Model) -> Value {
    let one = |material: &Material| {
        object([
            ("youngs_modulus", number(material.youngs_modulus_mpa)),
            ("shear_modulus", number(material.shear_modulus_mpa)),
            ("density", number(material.density_kg_m3)),
            ("yield", number(material.yield_mpa)),
            ("ultimate", number(material.ultimate_mpa)),
            ("yield_at_weld", number(material.yield_at_weld_mpa)),
            ("finish", material.finish.word().into()),
        ])
    };
    Value::Object(model.materials.iter().map(|(name, used)| (name.clone(), one(&used.material))).collect())
}

fn tubes(model: &Model) -> Value {
    let one = |(name, size): (&String, &crate::model::TubeSize)| {
        let p = &size.properties;
        let mut figures = Map::new();
        let mut put = |key: &str, value: Option<f64>| {
            if let Some(value) = value {
                figures.insert(key.to_owned(), number(value));
            }
        };
        put("a", Some(p.area_mm2));
        put("iy", Some(p.iy_mm4));
        put("iz", Some(p.iz_mm4));
        put("j", Some(p.j_mm4));
        put("ay", p.ay_mm2);
        put("az", p.az_mm2);
        put("cy", Some(p.cy_mm));
        put("cz", Some(p.cz_mm));
        put("ct", p.ct_mm3);
        put("wpl_y", p.plastic_mm3.map(|plastic| plastic.0));
        put("wpl_z", p.plastic_mm3.map(|plastic| plastic.1));
        let density = model.materials[size.material].material.density_kg_m3;
        put("mass_per_metre", Some(crate::beam::mass::tube_mass_kg(p.area_mm2, 1000.0, density)));
        (name.clone(), Value::Object(figures))
    };
    Value::Object(model.tubes.iter().map(one).collect())
}

fn finding(finding: &Finding) -> Value {
    object([
        ("check", finding.check.name().into()),
        ("case", finding.case.as_str().into()),
        ("where", finding.place.as_str().into()),
        ("value", number(finding.value)),
        ("limit", number(finding.limit)),
        ("utilisation", number(finding.utilisation)),
    ])
}

fn verdict(report: &Report<'_>) -> Value {
    let verdict = report.verdict;
    let not_judged: Vec<Value> = verdict
        .not_judged
        .iter()
        .map(|item| json!({ "check": item.check, "where": item.place, "why": item.why }))
        .collect();
    let mut value =
        object([("pass", verdict.passes().into()), ("failing", verdict.failing().into_iter().map(finding).collect())]);
    if let Some(worst) = verdict.worst_first().first() {
        value["worst"] = finding(worst);
    }
    value["not_judged"] = not_judged.into();
    value
}

fn mass(report: &Report<'_>) -> Value {
    let mass = &report.outcome.mass;
    object([
        ("frame", number(mass.frame_kg)),
        ("cg", list(&mass.cg_mm.coords)),
        ("arms", number(mass.arms_kg)),
        ("bodies", number(mass.bodies_kg)),
    ])
}

fn wrench(wrench: &Wrench) -> Value {
    object([("force", list(&wrench.force_n)), ("moment", list(&wrench.moment_nm))])
}

fn case_value(report: &Report<'_>, name: &str, case: &CaseOutcome) -> Value {
    let nodes = case.nodes.iter().map(|(node, moved)| {
        let value = object([("move", list(&moved.move_mm)), ("turn", list(&moved.turn_deg))]);
        (node.clone(), value)
    });
    let bodies = case.bodies.iter().map(|(body, outcome)| {
        let mounts = outcome.mounts.iter().map(|(node, load)| (node.clone(), wrench(load))).collect();
        let value = object([
            ("move", list(&outcome.moved.move_mm)),
            ("turn", list(&outcome.moved.turn_deg)),
            ("mounts", Value::Object(mounts)),
        ]);
        (body.clone(), value)
    });
    let pickups = case.pickups.iter().map(|(node, pickup)| {
        let mut value = wrench(&pickup.load);
        value["change"] = number(pickup.change_mm);
        (node.clone(), value)
    });
    let anti_roll = case
        .anti_roll
        .iter()
        .map(|(axle, tension)| (axle.clone(), object([("left", number(tension[0])), ("right", number(tension[1]))])));
    let judged = report.verdict.tubes.get(name);
    let members = case.members.iter().map(|(member, outcome)| {
        (member.clone(), member_value(&outcome.along, judged.and_then(|tubes| tubes.get(member))))
    });
    let accuracy = &case.accuracy;
    object([
        ("nodes", Value::Object(nodes.collect())),
        ("mounts", Value::Object(case.mounts.iter().map(|(node, load)| (node.clone(), wrench(load))).collect())),
        ("bodies", Value::Object(bodies.collect())),
        (
            "wheels",
            Value::Object(case.wheels.iter().map(|(wheel, outcome)| (wheel.clone(), wheel_value(outcome))).collect()),
        ),
        ("pickups", Value::Object(pickups.collect())),
        ("anti_roll", Value::Object(anti_roll.collect())),
        ("members", Value::Object(members.collect())),
        (
            "accuracy",
            object([
                ("residual", number(accuracy.residual)),
                ("balance", number(accuracy.balance)),
                ("error", number(accuracy.error)),
            ]),
        ),
    ])
}

fn angles(change: &WheelChange) -> [(&'static str, Value); 3] {
    [("toe", number(change.toe_deg)), ("camber", number(change.camber_deg)), ("caster", number(change.caster_deg))]
}

fn wheel_value(outcome: &WheelOutcome) -> Value {
    let mut value = wrench(&outcome.load);
    if let Some(moved) = &outcome.moved {
        for (key, angle) in angles(&moved.angles) {
            value[key] = angle;
        }
        value["move"] = list(&moved.patch_mm);
        value["change"] = object(angles(&moved.change));
    }
    value
}

fn member_value(along: &[Station], judged: Option<&TubeJudged>) -> Value {
    let stations = along.iter().map(|station| {
        object([
            ("at", number(station.at_mm)),
            ("n", number(station.n)),
            ("vy", number(station.vy)),
            ("vz", number(station.vz)),
            ("t", number(station.t)),
            ("my", number(station.my)),
            ("mz", number(station.mz)),
        ])
    });
    let mut value = object([("along", stations.collect())]);
    let Some(judged) = judged else { return value };
    let peak = &judged.stress.peak;
    value["peak"] = object([
        ("von_mises", number(peak.von_mises_mpa)),
        ("at", number(peak.at_mm)),
        ("axial", number(peak.stress.axial)),
        ("bending", number(peak.stress.bending)),
        ("torsion", number(peak.stress.torsion)),
        ("shear", number(peak.stress.shear)),
    ]);
    value["utilisation"] =
        object(judged.utilisations().into_iter().map(|(check, value)| (check.name(), number(value))));
    value["working"] = working(judged);
    value
}

fn working(judged: &TubeJudged) -> Value {
    let mut working = Map::new();
    if let Some(result) = &judged.yielding {
        working.insert(
            Check::Yield.name().to_owned(),
            object([
                ("von_mises", number(result.stress_mpa)),
                ("at", number(result.at_mm)),
                ("strength", number(result.strength_mpa)),
            ]),
        );
    }
    if let Some((length_mm, forces, result)) = &judged.column {
        let axis = usize::from(!result.y_governs);
        working.insert(
            Check::Column.name().to_owned(),
            object([
                ("length", number(*length_mm)),
                ("n_ed", number(forces.push_n)),
                ("m_y_ed", number(forces.my_nmm / 1000.0)),
                ("m_z_ed", number(forces.mz_nmm / 1000.0)),
                ("n_cr", number(result.n_cr_n[axis])),
                ("slenderness", number(result.slenderness[axis])),
                ("chi", number(result.chi[axis])),
                ("n_b_rd", number(result.n_b_rd_n[axis])),
                ("m_y_rd", number(result.m_rd_nmm[0] / 1000.0)),
                ("m_z_rd", number(result.m_rd_nmm[1] / 1000.0)),
                ("cm_y", number(forces.cm[0])),
                ("cm_z", number(forces.cm[1])),
                ("k_yy", number(result.k[0])),
                ("k_yz", number(result.k[1])),
                ("k_zy", number(result.k[2])),
                ("k_zz", number(result.k[3])),
            ]),
        );
    }
    if let Some(result) = &judged.wall {
        working.insert(
            Check::Wall.name().to_owned(),
            object([("slenderness", number(result.slenderness)), ("limit", number(result.limit))]),
        );
    }
    Value::Object(working)
}

fn twist(report: &Report<'_>) -> Value {
    let one = |twist: &crate::run::TwistOutcome| {
        let mut value = object([("moment", number(twist.moment_nm)), ("angle", number(twist.angle_deg))]);
        if let Some(stiffness) = twist.stiffness_nm_deg {
            value["stiffness"] = number(stiffness);
        }
        value
    };
    Value::Object(report.outcome.twist.iter().map(|(name, twist)| (name.clone(), one(twist))).collect())
}
