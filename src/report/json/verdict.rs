//! What fails, what is worst, what was not judged.

use serde::Serialize;

use super::Number;
use crate::checks::Finding;
use crate::run::Verdict;

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
pub(super) struct VerdictJson<'r> {
    pass: bool,
    failing: Vec<FindingJson<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    worst: Option<FindingJson<'r>>,
    not_judged: Vec<NotJudgedJson<'r>>,
}

impl<'r> VerdictJson<'r> {
    pub(super) fn of(verdict: &'r Verdict) -> Self {
        let gaps = verdict.not_judged.iter();
        Self {
            pass: verdict.passes(),
            failing: verdict.failing().into_iter().map(FindingJson::of).collect(),
            worst: verdict.worst_first().first().map(|finding| FindingJson::of(finding)),
            not_judged: gaps.map(|gap| NotJudgedJson { check: &gap.check, place: &gap.place, why: &gap.why }).collect(),
        }
    }
}
