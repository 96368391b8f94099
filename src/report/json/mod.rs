//! The machine-readable result, as `models/FORMAT.md` fixes it.
//!
//! Each struct here is one object of that page, with its keys in that order.

mod case;
mod geometry;
mod head;
mod lost_welds;
mod members;
mod modes;
mod number;
mod parts;
mod sizes;
mod verdict;

use std::io;

use serde::Serialize;

pub(super) use self::head::{Head, result};
pub(super) use self::number::Number;

use self::case::{CaseJson, PositionJson, SecondOrderJson};
use self::geometry::GeometryJson;
use self::lost_welds::LostWeldJson;
use self::modes::ModesJson;
use self::number::{Entries, list};
use self::sizes::{MaterialJson, TubeJson};
use self::verdict::VerdictJson;
use super::Report;
use super::positions::EnvelopeJson;
use super::unknowns::UnknownsJson;
use super::working::{EventJson, FatigueJson};
use crate::run::TwistOutcome;

/// The whole result as one JSON text.
pub fn text(report: &Report<'_>) -> String {
    let mut text = Vec::new();
    write(report, &mut text).expect("memory takes what is written");
    String::from_utf8(text).expect("JSON is text")
}

/// Writes the whole result as one JSON text.
///
/// # Errors
/// What cannot be written.
pub fn write(report: &Report<'_>, to: impl io::Write) -> io::Result<()> {
    let verdict = report.verdict;
    let document = Document {
        head: Head::of(&report.about()),
        units: UNITS,
        notes: report.notes,
        materials: Entries(|| {
            report.model.materials.iter().map(|(name, used)| (name, MaterialJson::of(&used.material)))
        }),
        tubes: Entries(|| {
            report.model.tubes.iter().map(|(name, size)| {
                let density = report.model.materials[size.material].material.density_kg_m3;
                (name, TubeJson::of(size, density))
            })
        }),
        verdict: VerdictJson::of(verdict),
        mass: MassJson {
            frame: Number(report.outcome.mass.frame_kg),
            cg: list(&report.outcome.mass.cg_mm.coords),
            arms: Number(report.outcome.mass.arms_kg),
            bodies: Number(report.outcome.mass.bodies_kg),
        },
        cases: Entries(|| report.outcome.cases.iter().map(|(name, case)| (name, CaseJson { report, name, case }))),
        geometry: (!report.outcome.geometry.is_empty()).then_some(Entries(|| {
            report.outcome.geometry.iter().map(|(corner, read)| (corner, GeometryJson::of(read)))
        })),
        fatigue: verdict.fatigue.as_ref().map(|fatigue| {
            Entries(move || {
                fatigue.tubes.iter().map(move |(name, judged)| {
                    let events = move || fatigue.events.iter().zip(judged.events.iter().map(EventJson::of));
                    (name, FatigueJson::of(judged, Entries(events)))
                })
            })
        }),
        twist: (!report.outcome.twist.is_empty())
            .then_some(Entries(|| report.outcome.twist.iter().map(|(name, twist)| (name, TwistJson::of(twist))))),
        modes: ModesJson::of(report),
        second_order: (!report.outcome.second_order.is_empty()).then_some(Entries(|| {
            report.outcome.second_order.iter().map(|(name, found)| (name, SecondOrderJson::of(report, name, found)))
        })),
        lost_welds: report.outcome.lost_welds.as_ref().map(|all| all.iter().map(LostWeldJson::of).collect()),
        unknowns: report.unknowns.map(UnknownsJson::of),
        positions: report.positions.map(|_| Entries(|| report.at_positions().map(PositionJson::of))),
        envelope: report.positions.map(|positions| EnvelopeJson::of(&positions.envelope)),
    };
    // The result has text keys and finite numbers, so that only the writer can fail.
    Ok(serde_json::to_writer(to, &document)?)
}

#[derive(Serialize)]
struct Document<'r, M, T, C, G, F, W, S, P> {
    #[serde(flatten)]
    head: Head<'r>,
    units: Units,
    notes: &'r [String],
    materials: M,
    tubes: T,
    verdict: VerdictJson<'r>,
    mass: MassJson,
    cases: C,
    #[serde(skip_serializing_if = "Option::is_none")]
    geometry: Option<G>,
    #[serde(skip_serializing_if = "Option::is_none")]
    fatigue: Option<F>,
    #[serde(skip_serializing_if = "Option::is_none")]
    twist: Option<W>,
    #[serde(flatten)]
    modes: ModesJson<'r>,
    #[serde(skip_serializing_if = "Option::is_none")]
    second_order: Option<S>,
    #[serde(skip_serializing_if = "Option::is_none")]
    lost_welds: Option<Vec<LostWeldJson<'r>>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    unknowns: Option<UnknownsJson<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    positions: Option<P>,
    #[serde(skip_serializing_if = "Option::is_none")]
    envelope: Option<EnvelopeJson<'r>>,
}

#[derive(Serialize)]
struct Units {
    length: &'static str,
    angle: &'static str,
    force: &'static str,
    moment: &'static str,
    stress: &'static str,
    mass: &'static str,
    rate: &'static str,
    density: &'static str,
    area: &'static str,
    modulus: &'static str,
    second_moment: &'static str,
    twist_stiffness: &'static str,
}

const UNITS: Units = Units {
    length: "mm",
    angle: "deg",
    force: "N",
    moment: "N·m",
    stress: "MPa",
    mass: "kg",
    rate: "N/mm",
    density: "kg/m3",
    area: "mm2",
    modulus: "mm3",
    second_moment: "mm4",
    twist_stiffness: "N·m/deg",
};

#[derive(Serialize)]
struct MassJson {
    frame: Number,
    cg: [Number; 3],
    arms: Number,
    bodies: Number,
}

#[derive(Serialize)]
struct TwistJson {
    moment: Number,
    angle: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    stiffness: Option<Number>,
}

impl TwistJson {
    fn of(twist: &TwistOutcome) -> Self {
        Self {
            moment: Number(twist.moment_nm),
            angle: Number(twist.angle_deg),
            stiffness: twist.stiffness_nm_deg.map(Number),
        }
    }
}
