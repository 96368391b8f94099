//! Lost welds in the machine-readable result.

use serde::Serialize;

use super::Number;
use crate::run::{LostWeld, NextToYield, Then, Turned};

/// One weld that is lost, and what becomes of the frame.
#[derive(Serialize)]
pub(super) struct LostWeldJson<'r> {
    member: &'r str,
    at: Number,
    holds: bool,
    #[serde(skip_serializing_if = "Option::is_none")]
    next_to_yield: Option<NextJson<'r>>,
    #[serde(skip_serializing_if = "Option::is_none")]
    wheel_turns: Option<TurnedJson<'r>>,
}

#[derive(Serialize)]
struct NextJson<'r> {
    member: &'r str,
    case: &'r str,
    utilisation: Number,
}

#[derive(Serialize)]
struct TurnedJson<'r> {
    wheel: &'static str,
    case: &'r str,
    angle: Number,
}

impl<'r> LostWeldJson<'r> {
    pub(super) fn of(lost: &'r LostWeld) -> Self {
        let (holds, next, turns) = match &lost.then {
            Then::Loose => (false, None, None),
            Then::Holds { turns, next } => (true, next.as_ref(), turns.as_ref()),
        };
        let next_json = |next: &'r NextToYield| NextJson {
            member: &next.tube,
            case: &next.case,
            utilisation: Number(next.utilisation),
        };
        let turned_json = |turned: &'r Turned| TurnedJson {
            wheel: turned.wheel.name(),
            case: &turned.case,
            angle: Number(turned.angle_deg),
        };
        Self {
            member: &lost.tube,
            at: Number(lost.at_mm),
            holds,
            next_to_yield: next.map(next_json),
            wheel_turns: turns.map(turned_json),
        }
    }
}
