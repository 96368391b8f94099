//! What moves and what is carried in a case: nodes, mounts, bodies, wheels, pick-ups.

use serde::Serialize;

use super::Number;
use super::number::{Entries, list};
use crate::report::working::BoltsJson;
use crate::run::{
    BodyOutcome, BoltsJudged, Giver, Moved, PickupOutcome, Sources, WheelChange, WheelOutcome, Wrench, body_mount_name,
};

#[derive(Serialize)]
pub(super) struct WrenchJson {
    force: [Number; 3],
    moment: [Number; 3],
}

impl WrenchJson {
    pub(super) fn of(wrench: &Wrench) -> Self {
        Self { force: list(&wrench.force_n), moment: list(&wrench.moment_nm) }
    }
}

/// What a mount does, and what its bolts bear.
#[derive(Serialize)]
pub(super) struct MountJson {
    #[serde(flatten)]
    load: WrenchJson,
    #[serde(skip_serializing_if = "Option::is_none")]
    bolts: Option<BoltsJson>,
}

impl MountJson {
    pub(super) fn of(load: &Wrench, bolts: Option<&BoltsJudged>) -> Self {
        Self { load: WrenchJson::of(load), bolts: bolts.map(BoltsJson::of) }
    }
}

#[derive(Serialize)]
pub(super) struct MovedJson {
    #[serde(rename = "move")]
    shift: [Number; 3],
    turn: [Number; 3],
}

impl MovedJson {
    pub(super) fn of(moved: &Moved) -> Self {
        Self { shift: list(&moved.move_mm), turn: list(&moved.turn_deg) }
    }
}

#[derive(Serialize)]
pub(super) struct BodyJson<M> {
    #[serde(flatten)]
    moved: MovedJson,
    mounts: M,
}

#[derive(Serialize)]
pub(super) struct AnglesJson {
    toe: Number,
    camber: Number,
    caster: Number,
}

impl AnglesJson {
    pub(super) fn of(change: &WheelChange) -> Self {
        Self { toe: Number(change.toe_deg), camber: Number(change.camber_deg), caster: Number(change.caster_deg) }
    }
}

#[derive(Serialize)]
pub(super) struct WheelJson {
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
pub(super) struct WheelSourcesJson {
    toe: SourcesJson,
    camber: SourcesJson,
}

#[derive(Serialize)]
pub(super) struct SourcesJson {
    frame: Number,
    arms: Number,
    steering: Number,
    mounts: Number,
    bodies: Number,
}

impl SourcesJson {
    pub(super) fn of(sources: &Sources) -> Self {
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
    pub(super) fn of(wheel: &WheelOutcome) -> Self {
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
pub(super) struct PickupJson {
    force: [Number; 3],
    moment: [Number; 3],
    change: Number,
}

impl PickupJson {
    pub(super) fn of(pickup: &PickupOutcome) -> Self {
        let WrenchJson { force, moment } = WrenchJson::of(&pickup.load);
        Self { force, moment, change: Number(pickup.change_mm) }
    }
}

#[derive(Serialize)]
pub(super) struct BarJson {
    left: Number,
    right: Number,
}

impl BarJson {
    pub(super) fn of([left, right]: &[f64; 2]) -> Self {
        Self { left: Number(*left), right: Number(*right) }
    }
}

pub(super) fn body<'j, F: Fn(&str) -> Option<&'j BoltsJudged>>(
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
