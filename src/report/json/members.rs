//! What each tube carries in a case, and how much of what it may.

use serde::Serialize;

use super::Number;
use super::number::Entries;
use crate::checks::Check;
use crate::report::working::WorkingJson;
use crate::run::{RodEndJudged, Station, TubeJudged, TubeOutcome};
use crate::section::InternalForces;

#[derive(Serialize)]
pub(super) struct StationJson {
    at: Number,
    n: Number,
    vy: Number,
    vz: Number,
    t: Number,
    my: Number,
    mz: Number,
}

impl StationJson {
    pub(super) fn of(station: &Station) -> Self {
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
pub(super) struct PeakJson {
    von_mises: Number,
    at: Number,
    axial: Number,
    bending: Number,
    torsion: Number,
    shear: Number,
}

#[derive(Serialize)]
pub(super) struct MemberJson<U> {
    along: Vec<StationJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    peak: Option<PeakJson>,
    #[serde(skip_serializing_if = "Option::is_none")]
    utilisation: Option<U>,
    #[serde(skip_serializing_if = "Option::is_none")]
    working: Option<WorkingJson>,
}

pub(super) fn member<'j>(
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
