//! The machine-readable result, as `models/FORMAT.md` fixes it.
//!
//! Each struct here is one object of that page, with its keys in that order.

mod geometry;
mod lost_welds;
mod modes;

use std::io;

use nalgebra::Vector3;
use serde::{Serialize, Serializer};

use self::geometry::GeometryJson;
use self::lost_welds::LostWeldJson;
use self::modes::ModesJson;
use super::positions::EnvelopeJson;
use super::unknowns::UnknownsJson;
use super::working::{BoltsJson, EventJson, FatigueJson, WorkingJson};
use super::{Report, TOOL};
use crate::checks::{Check, Finding};
use crate::model::TubeSize;
use crate::run::{
    BodyOutcome, BoltsJudged, CaseOutcome, Giver, Moved, PickupOutcome, RodEndJudged, SecondOrder, Sources, Station,
    TubeJudged, TubeOutcome, TwistOutcome, WheelChange, WheelOutcome, Wrench, body_mount_name,
};
use crate::section::{InternalForces, Material};

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
    let worst = verdict.worst_first().first().map(|finding| FindingJson::of(finding));
    let document = Document {
        format: 1,
        tool: Tool { name: TOOL.0, version: TOOL.1 },
        model: ModelJson {
            title: report.model.title.as_deref(),
            file: report.file,
            sha256: report.sha256,
            option: report.option,
        },
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
        verdict: VerdictJson {
            pass: verdict.passes(),
            failing: verdict.failing().into_iter().map(FindingJson::of).collect(),
            worst,
            not_judged: verdict
                .not_judged
                .iter()
                .map(|item| NotJudgedJson { check: &item.check, place: &item.place, why: &item.why })
                .collect(),
        },
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

/// A number as JSON has it: no −0, and no NaN can get this far.
#[derive(Debug, Clone, Copy)]
pub(super) struct Number(pub(super) f64);

impl Serialize for Number {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(if self.0 == 0.0 { 0.0 } else { self.0 })
    }
}

fn list(vector: &Vector3<f64>) -> [Number; 3] {
    [Number(vector.x), Number(vector.y), Number(vector.z)]
}

/// An object of names, from something that gives its entries.
struct Entries<F>(F);

impl<K: Serialize, V: Serialize, I: Iterator<Item = (K, V)>, F: Fn() -> I> Serialize for Entries<F> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map((self.0)())
    }
}

#[derive(Serialize)]
struct Document<'r, M, T, C, G, F, W, S, P> {
    format: u8,
    tool: Tool,
    model: ModelJson<'r>,
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
struct Tool {
    name: &'static str,
    version: &'static str,
}

#[derive(Serialize)]
struct ModelJson<'r> {
    title: Option<&'r str>,
    file: &'r str,
    sha256: &'r str,
    #[serde(skip_serializing_if = "Option::is_none")]
    option: Option<&'r str>,
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
struct MaterialJson {
    youngs_modulus: Number,
    shear_modulus: Number,
    density: Number,
    #[serde(rename = "yield")]
    yield_strength: Number,
    ultimate: Number,
    yield_at_weld: Number,
    finish: &'static str,
}

impl MaterialJson {
    fn of(material: &Material) -> Self {
        Self {
            youngs_modulus: Number(material.youngs_modulus_mpa),
            shear_modulus: Number(material.shear_modulus_mpa),
            density: Number(material.density_kg_m3),
            yield_strength: Number(material.yield_mpa),
            ultimate: Number(material.ultimate_mpa),
            yield_at_weld: Number(material.yield_at_weld_mpa),
            finish: material.finish.word(),
        }
    }
}

#[derive(Serialize)]
struct TubeJson {
    a: Number,
    iy: Number,
    iz: Number,
    j: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    ay: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    az: Option<Number>,
    cy: Number,
    cz: Number,
    #[serde(skip_serializing_if = "Option::is_none")]
    ct: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wpl_y: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wpl_z: Option<Number>,
    mass_per_metre: Number,
}

impl TubeJson {
    fn of(size: &TubeSize, density_kg_m3: f64) -> Self {
        let p = &size.properties;
        Self {
            a: Number(p.area_mm2),
            iy: Number(p.iy_mm4),
            iz: Number(p.iz_mm4),
            j: Number(p.j_mm4),
            ay: p.ay_mm2.map(Number),
            az: p.az_mm2.map(Number),
            cy: Number(p.cy_mm),
            cz: Number(p.cz_mm),
            ct: p.ct_mm3.map(Number),
            wpl_y: p.plastic_mm3.map(|plastic| Number(plastic.0)),
            wpl_z: p.plastic_mm3.map(|plastic| Number(plastic.1)),
            mass_per_metre: Number(crate::beam::mass::tube_mass_kg(p.area_mm2, 1000.0, density_kg_m3)),
        }
    }
}

#[derive(Serialize)]
struct FindingJson<'r> {
    check: &'static str,
    #[serde(skip_serializing_if = "str::is_empty")]
    case: &'r str,
    #[serde(skip_serializing_if = "str::is_empty")]
    position: &'r str,
    #[serde(rename = "where")]
    place: &'r str,
    value: Number,
    limit: Number,
    utilisation: Number,
}

impl<'r> FindingJson<'r> {
    fn of(finding: &'r Finding) -> Self {
        Self {
            check: finding.check.name(),
            case: &finding.case,
            position: &finding.position,
            place: &finding.place,
            value: Number(finding.value),
            limit: Number(finding.limit),
            utilisation: Number(finding.utilisation),
        }
    }
}

#[derive(Serialize)]
struct NotJudgedJson<'r> {
    check: &'r str,
    #[serde(rename = "where")]
    place: &'r str,
    why: &'r str,
}

#[derive(Serialize)]
struct VerdictJson<'r> {
    pass: bool,
    failing: Vec<FindingJson<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<FindingJson<'r>>,
    not_judged: Vec<NotJudgedJson<'r>>,
}

#[derive(Serialize)]
struct MassJson {
    frame: Number,
    cg: [Number; 3],
    arms: Number,
    bodies: Number,
}

#[derive(Serialize)]
struct WrenchJson {
    force: [Number; 3],
    moment: [Number; 3],
}

impl WrenchJson {
    fn of(wrench: &Wrench) -> Self {
        Self { force: list(&wrench.force_n), moment: list(&wrench.moment_nm) }
    }
}

/// What a mount does, and what its bolts bear.
#[derive(Serialize)]
struct MountJson {
    #[serde(flatten)]
    load: WrenchJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    bolts: Option<BoltsJson>,
}

impl MountJson {
    fn of(load: &Wrench, bolts: Option<&BoltsJudged>) -> Self {
        Self { load: WrenchJson::of(load), bolts: bolts.map(BoltsJson::of) }
    }
}

#[derive(Serialize)]
struct MovedJson {
    #[serde(rename = "move")]
    shift: [Number; 3],
    turn: [Number; 3],
}

impl MovedJson {
    fn of(moved: &Moved) -> Self {
        Self { shift: list(&moved.move_mm), turn: list(&moved.turn_deg) }
    }
}

#[derive(Serialize)]
struct BodyJson<M> {
    #[serde(flatten)]
    moved: MovedJson,
    mounts: M,
}

#[derive(Serialize)]
struct AnglesJson {
    toe: Number,
    camber: Number,
    caster: Number,
}

impl AnglesJson {
    fn of(change: &WheelChange) -> Self {
        Self { toe: Number(change.toe_deg), camber: Number(change.camber_deg), caster: Number(change.caster_deg) }
    }
}

#[derive(Serialize)]
struct WheelJson {
    force: [Number; 3],
    moment: [Number; 3],
    #[serde(skip_serializing_if = "Option::is_none")]
    toe: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    camber: Option<Number>,
    #[serde(skip_serializing_if = "Option::is_none")]
    caster: Option<Number>,
    #[serde(rename = "move", skip_serializing_if = "Option::is_none")]
    shift: Option<[Number; 3]>,
    #[serde(skip_serializing_if = "Option::is_none")]
    change: Option<AnglesJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    sources: Option<WheelSourcesJson>,
}

#[derive(Serialize)]
struct WheelSourcesJson {
    toe: SourcesJson,
    camber: SourcesJson,
}

#[derive(Serialize)]
struct SourcesJson {
    frame: Number,
    arms: Number,
    steering: Number,
    mounts: Number,
    bodies: Number,
}

impl SourcesJson {
    fn of(sources: &Sources) -> Self {
        let of = |giver| Number(sources.of(giver));
        Self {
            frame: of(Giver::Frame),
            arms: of(Giver::Arms),
            steering: of(Giver::Steering),
            mounts: of(Giver::Mounts),
            bodies: of(Giver::Bodies),
        }
    }
}

impl WheelJson {
    fn of(wheel: &WheelOutcome) -> Self {
        let moved = wheel.moved.as_ref();
        Self {
            force: list(&wheel.load.force_n),
            moment: list(&wheel.load.moment_nm),
            toe: moved.map(|moved| Number(moved.angles.toe_deg)),
            camber: moved.map(|moved| Number(moved.angles.camber_deg)),
            caster: moved.map(|moved| Number(moved.angles.caster_deg)),
            shift: moved.map(|moved| list(&moved.patch_mm)),
            change: moved.map(|moved| AnglesJson::of(&moved.change)),
            sources: moved.map(|moved| WheelSourcesJson {
                toe: SourcesJson::of(&moved.sources.toe_deg),
                camber: SourcesJson::of(&moved.sources.camber_deg),
            }),
        }
    }
}

#[derive(Serialize)]
struct PickupJson {
    force: [Number; 3],
    moment: [Number; 3],
    change: Number,
}

impl PickupJson {
    fn of(pickup: &PickupOutcome) -> Self {
        let WrenchJson { force, moment } = WrenchJson::of(&pickup.load);
        Self { force, moment, change: Number(pickup.change_mm) }
    }
}

#[derive(Serialize)]
struct BarJson {
    left: Number,
    right: Number,
}

#[derive(Serialize)]
struct StationJson {
    at: Number,
    n: Number,
    vy: Number,
    vz: Number,
    t: Number,
    my: Number,
    mz: Number,
}

impl StationJson {
    fn of(station: &Station) -> Self {
        let InternalForces { n, vy, vz, t, my, mz } = station.forces;
        Self {
            at: Number(station.at_mm),
            n: Number(n),
            vy: Number(vy),
            vz: Number(vz),
            t: Number(t / 1000.0),
            my: Number(my / 1000.0),
            mz: Number(mz / 1000.0),
        }
    }
}

#[derive(Serialize)]
struct PeakJson {
    von_mises: Number,
    at: Number,
    axial: Number,
    bending: Number,
    torsion: Number,
    shear: Number,
}

#[derive(Serialize)]
struct MemberJson<U> {
    along: Vec<StationJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak: Option<PeakJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    utilisation: Option<U>,
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<WorkingJson>,
}

fn member<'j>(
    outcome: &TubeOutcome,
    judged: Option<&'j TubeJudged>,
    rod_end: Option<&'j RodEndJudged>,
) -> MemberJson<Entries<impl Fn() -> std::vec::IntoIter<(&'static str, Number)> + use<'j>>> {
    MemberJson {
        along: outcome.along.iter().map(StationJson::of).collect(),
        peak: judged.map(|judged| {
            let peak = &judged.stress.peak;
            PeakJson {
                von_mises: Number(peak.von_mises_mpa),
                at: Number(peak.at_mm),
                axial: Number(peak.stress.axial),
                bending: Number(peak.stress.bending),
                torsion: Number(peak.stress.torsion),
                shear: Number(peak.stress.shear),
            }
        }),
        utilisation: (judged.is_some() || rod_end.is_some()).then_some(Entries(move || {
            let of_tube = judged.map(TubeJudged::utilisations).unwrap_or_default();
            let of_end = rod_end.map(|rod_end| (Check::RodEnd, rod_end.result.utilisation));
            let all = of_tube.into_iter().chain(of_end).map(|(check, value)| (check.name(), Number(value)));
            all.collect::<Vec<_>>().into_iter()
        })),
        working: (judged.is_some() || rod_end.is_some()).then(|| WorkingJson::of(judged, rod_end)),
    }
}

/// A case: written straight from the outcome, which is the largest part of the document.
struct CaseJson<'r> {
    report: &'r Report<'r>,
    name: &'r str,
    case: &'r CaseOutcome,
}

/// All cases at another position of the adjusters.
struct PositionJson<'r>(Report<'r>);

impl<'r> PositionJson<'r> {
    fn of((name, report): (&'r str, Report<'r>)) -> (&'r str, Self) {
        (name, Self(report))
    }
}

impl Serialize for PositionJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let report = &self.0;
        let cases = report.outcome.cases.iter();
        serializer.collect_map(cases.map(|(name, case)| (name, CaseJson { report, name, case })))
    }
}

/// A case on the deformed frame: the shape of a case with how it settled, or that it does not.
#[derive(Serialize)]
#[serde(untagged)]
enum SecondOrderJson<'r> {
    Settled {
        rounds: usize,
        change: Number,
        #[serde(flatten)]
        case: CaseJson<'r>,
    },
    Collapses {
        collapses: bool,
        #[serde(skip_serializing_if = "Option::is_none")]
        at: Option<Number>,
    },
}

impl<'r> SecondOrderJson<'r> {
    fn of(report: &'r Report<'r>, name: &'r str, found: &'r SecondOrder) -> Self {
        match found {
            SecondOrder::Settled(settled) => SecondOrderJson::Settled {
                rounds: settled.rounds,
                change: Number(settled.change),
                case: CaseJson { report, name, case: &settled.case },
            },
            SecondOrder::Collapses(at) => SecondOrderJson::Collapses { collapses: true, at: at.map(Number) },
        }
    }
}

impl CaseJson<'_> {
    fn is_first_order(&self) -> bool {
        self.report.outcome.cases.get(self.name).is_some_and(|case| std::ptr::eq(case, self.case))
    }
}

impl Serialize for CaseJson<'_> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        let case = self.case;
        let verdict = self.report.verdict;
        // What was judged belongs to the first-order case.
        let judged = verdict.tubes.get(self.name).filter(|_| self.is_first_order());
        let rod_ends = verdict.rod_ends.get(self.name).filter(|_| self.is_first_order());
        let bolts = verdict.bolts.get(self.name).filter(|_| self.is_first_order());
        let bolts_of = |mount: &str| bolts.and_then(|bolts| bolts.get(mount));
        Parts {
            nodes: Entries(|| case.nodes.iter().map(|(name, moved)| (name, MovedJson::of(moved)))),
            mounts: Entries(|| case.mounts.iter().map(|(name, load)| (name, MountJson::of(load, bolts_of(name))))),
            bodies: Entries(|| case.bodies.iter().map(|(name, outcome)| (name, body(name, outcome, &bolts_of)))),
            wheels: Entries(|| case.wheels.iter().map(|(name, wheel)| (name, WheelJson::of(wheel)))),
            pickups: Entries(|| case.pickups.iter().map(|(name, pickup)| (name, PickupJson::of(pickup)))),
            anti_roll: Entries(|| {
                case.anti_roll
                    .iter()
                    .map(|(axle, [left, right])| (axle, BarJson { left: Number(*left), right: Number(*right) }))
            }),
            members: Entries(|| {
                case.members.iter().map(|(name, outcome)| {
                    let rod_end = rod_ends.and_then(|parts| parts.get(name));
                    (name, member(outcome, judged.and_then(|tubes| tubes.get(name)), rod_end))
                })
            }),
            accuracy: AccuracyJson {
                residual: Number(case.accuracy.residual),
                balance: Number(case.accuracy.balance),
                error: Number(case.accuracy.error),
            },
        }
        .serialize(serializer)
    }
}

fn body<'j, F: Fn(&str) -> Option<&'j BoltsJudged>>(
    name: &'j str,
    outcome: &'j BodyOutcome,
    bolts_of: &'j F,
) -> BodyJson<impl Serialize> {
    let mounts = Entries(move || {
        let mounts = outcome.mounts.iter();
        mounts.map(move |(node, load)| (node, MountJson::of(load, bolts_of(&body_mount_name(name, node)))))
    });
    BodyJson { moved: MovedJson::of(&outcome.moved), mounts }
}

#[derive(Serialize)]
struct Parts<N, M, B, W, P, A, T> {
    nodes: N,
    mounts: M,
    bodies: B,
    wheels: W,
    pickups: P,
    anti_roll: A,
    members: T,
    accuracy: AccuracyJson,
}

#[derive(Serialize)]
struct AccuracyJson {
    residual: Number,
    balance: Number,
    error: Number,
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
