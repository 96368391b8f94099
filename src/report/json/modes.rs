//! Buckling and vibration in the machine-readable result.

use serde::{Serialize, Serializer};

use super::parts::MovedJson;
use super::{Number, Report};
use crate::modes::{BucklingMode, ModeShape, Moving, VibrationMode};
use crate::run::{CaseBuckling, Moved};
use crate::structure::Structure;

/// `frequencies` and `buckling` as the format fixes them, and `modes` with what belongs to each figure.
#[derive(Serialize)]
pub(super) struct ModesJson<'r> {
    #[serde(skip_serializing_if = "Vec::is_empty")]
    frequencies: Vec<Number>,
    buckling: Object<'r, Vec<Number>>,
    modes: Details<'r>,
}

#[derive(Serialize)]
struct Details<'r> {
    buckling: Object<'r, Sought<BucklingJson<'r>>>,
    vibration: Sought<VibrationJson<'r>>,
}

/// An object of names in order.
struct Object<'r, V>(Vec<(&'r str, V)>);

impl<V: Serialize> Serialize for Object<'_, V> {
    fn serialize<S: Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.collect_map(self.0.iter().map(|(name, value)| (name, value)))
    }
}

/// What a search for modes came to; `M`: a mode.
#[derive(Serialize)]
#[serde(untagged)]
enum Sought<M> {
    Over { over: Number },
    Found { counted: usize, modes: Vec<M> },
    Unknown { unknown: String },
}

/// A mode; `V`: its value by its key, `B`: a body in it.
#[derive(Serialize)]
struct ModeJson<'r, V, B> {
    #[serde(flatten)]
    value: V,
    error: Number,
    nodes: Object<'r, MovedJson>,
    bodies: Object<'r, B>,
    members: Vec<MemberShare>,
}

#[derive(Serialize)]
struct Factor {
    factor: Number,
}

#[derive(Serialize)]
struct Frequency {
    frequency: Number,
}

type BucklingJson<'r> = ModeJson<'r, Factor, MovedJson>;
type VibrationJson<'r> = ModeJson<'r, Frequency, BodyShare>;

#[derive(Serialize)]
struct MemberShare {
    member: String,
    share: Number,
}

#[derive(Serialize)]
struct BodyShare {
    #[serde(flatten)]
    moved: MovedJson,
    energy: [Number; 6],
}

impl<'r> ModesJson<'r> {
    pub(super) fn of(report: &'r Report<'_>) -> Self {
        let modes = &report.outcome.modes;
        let factors = |buckling: &CaseBuckling| match buckling {
            CaseBuckling::Found(found) => found.modes.iter().map(|mode| Number(mode.factor)).collect(),
            CaseBuckling::Over(_) | CaseBuckling::Unknown(_) => Vec::new(),
        };
        let of_case = |buckling: &CaseBuckling| match buckling {
            CaseBuckling::Over(bound) => Sought::Over { over: Number(*bound) },
            CaseBuckling::Found(found) => Sought::Found {
                counted: found.counted,
                modes: found.modes.iter().map(|mode| buckling_mode(report, mode)).collect(),
            },
            CaseBuckling::Unknown(why) => Sought::Unknown { unknown: why.in_words().to_owned() },
        };
        let frequencies = modes.vibration.iter().flat_map(|vibration| &vibration.modes);
        Self {
            frequencies: frequencies.map(|mode| Number(mode.frequency_hz)).collect(),
            buckling: Object(modes.buckling.iter().map(|(case, found)| (case.as_str(), factors(found))).collect()),
            modes: Details {
                buckling: Object(modes.buckling.iter().map(|(case, found)| (case.as_str(), of_case(found))).collect()),
                vibration: match &modes.vibration {
                    Ok(found) => Sought::Found {
                        counted: found.counted,
                        modes: found.modes.iter().map(|mode| vibration_mode(report, &found.structure, mode)).collect(),
                    },
                    Err(why) => Sought::Unknown { unknown: why.in_words() },
                },
            },
        }
    }
}

fn buckling_mode<'r>(report: &'r Report<'_>, mode: &BucklingMode) -> BucklingJson<'r> {
    let structure = &report.prepared.system.structure;
    ModeJson {
        value: Factor { factor: Number(mode.factor) },
        error: Number(mode.error),
        nodes: nodes(report, structure, &mode.shape),
        bodies: Object(bodies(report, structure, &mode.shape).collect()),
        members: (0..structure.tubes.len())
            .filter(|tube| mode.takes_part(*tube))
            .map(|tube| MemberShare::of(report, structure, tube, mode.driving[tube]))
            .collect(),
    }
}

fn vibration_mode<'r>(report: &'r Report<'_>, structure: &Structure, mode: &VibrationMode) -> VibrationJson<'r> {
    ModeJson {
        value: Frequency { frequency: Number(mode.frequency_hz) },
        error: Number(mode.error),
        nodes: nodes(report, structure, &mode.shape),
        bodies: Object(
            bodies(report, structure, &mode.shape)
                .zip(&mode.bodies)
                .map(|((name, moved), energy)| (name, BodyShare { moved, energy: energy.map(Number) }))
                .collect(),
        ),
        members: mode.largest_strains().map(|(tube, share)| MemberShare::of(report, structure, tube, share)).collect(),
    }
}

impl MemberShare {
    fn of(report: &Report<'_>, structure: &Structure, tube: usize, share: f64) -> Self {
        Self { member: structure.tube_name(report.model, tube), share: Number(share) }
    }
}

fn nodes<'r>(report: &'r Report<'_>, structure: &Structure, shape: &ModeShape) -> Object<'r, MovedJson> {
    let names = report.model.anchors().map(|anchor| report.model.anchor_name(anchor));
    let points = structure.anchor_points().map(|(part, at)| moved(&shape.moving(structure, part, &at)));
    Object(names.zip(points).collect())
}

fn bodies<'r>(
    report: &'r Report<'_>,
    structure: &Structure,
    shape: &ModeShape,
) -> impl Iterator<Item = (&'r str, MovedJson)> {
    let names = report.model.bodies.keys().map(String::as_str);
    names.zip(&structure.bodies).map(move |(name, part)| {
        let origin = &structure.parts[*part].origin;
        (name, moved(&shape.moving(structure, *part, origin)))
    })
}

fn moved(moving: &Moving) -> MovedJson {
    MovedJson::of(&Moved { move_mm: moving.shift, turn_deg: moving.turn.map(f64::to_degrees) })
}
