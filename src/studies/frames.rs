//! Frames to be put side by side, each checked whole: what their tables and pictures tell of each.
//!
//! A frame is a unit of work that can be done anywhere. What moves in it is not kept: a picture solves it anew
//! ([`moving`]), which costs little beside the check.

use schemars::{Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

use super::divided::{Answer, Units};
use super::scatter::CHECKS;
use super::{Figure, Variant, Watch};
use crate::checks::{Check, Finding, counting, exceeds_limit};
use crate::model::{Fault, Model, STANDING};
use crate::record;
use crate::run::{Checked, Prepared, Response, Verdict, check, prepare, respond};
use crate::source::{Keyed, Named, Node, Read, Reader, visible};
use crate::structure::Purpose;

record! {
    /// What a case comes to as drawn, in short.
    CaseSeen {
        /// The largest utilisation of each tube; that of its wall counts only where it fails.
        tubes: Keyed<f64>,
        /// How many limits are exceeded.
        failing: usize,
        /// The largest utilisation.
        worst: Option<Finding> = None,
    }

    /// What is kept of a frame, or why it cannot be solved.
    Compared {
        /// The figures of the tables; absent where it cannot be solved.
        variant: Option<Variant> = None,
        /// The cases, by name.
        cases: Keyed<CaseSeen> = Keyed::default(),
        /// What is odd but no error.
        warnings: Vec<String> = Vec::new(),
        /// Warnings, and what was assumed.
        notes: Vec<String> = Vec::new(),
        /// Why it cannot be solved; empty where it can.
        fails: String = String::new(),
    }

    /// A finding, as it is kept.
    KeptFinding {
        /// Which check.
        check: String,
        /// In which case.
        case: String,
        /// At which position of the adjusters.
        position: String = String::new(),
        /// Where.
        place as "where": String,
        /// What was found.
        value: f64,
        /// What is allowed.
        limit: f64,
        /// Demand over capacity.
        utilisation: f64,
    }
}

/// The largest utilisation of each tube in a case. That of its wall counts only where it fails: it is the same whatever
/// the load, and would give all tubes of a size one tone.
pub fn utilisations(verdict: &Verdict, case: &str) -> Named<f64> {
    let counts = |(check, value): &(Check, f64)| *check != Check::Wall || exceeds_limit(*value);
    let tubes = verdict.tubes.get(case).into_iter().flatten().map(|(name, judged)| {
        let all = judged.utilisations().into_iter().filter(counts);
        (name.clone(), all.map(|(_, value)| value).fold(0.0, f64::max))
    });
    tubes.collect()
}

impl CaseSeen {
    /// What a verdict says of one case.
    pub fn of(verdict: &Verdict, case: &str) -> CaseSeen {
        let mut of_case: Vec<&Finding> = verdict.worst_first();
        of_case.retain(|finding| finding.case == case && finding.is_as_drawn());
        let of_case = counting(of_case);
        CaseSeen {
            tubes: Keyed(utilisations(verdict, case)),
            failing: of_case.iter().filter(|finding| finding.fails()).count(),
            worst: of_case.first().map(|worst| (*worst).clone()),
        }
    }
}

impl Read for Finding {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let KeptFinding { check, case, position, place, value, limit, utilisation } = KeptFinding::read(node, reader)?;
        let Some(check) = CHECKS.into_iter().find(|known| known.name() == check) else {
            return reader.refuse(node, format!("there is no check \"{}\"", visible(&check)));
        };
        Some(Finding { check, case, position, place, value, limit, utilisation })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        KeptFinding::schema(generator)
    }
}

/// An object of some keys, without those that have no value.
fn object<const N: usize>(keys: [(&str, Option<Value>); N]) -> Value {
    let there = keys.into_iter().filter_map(|(key, value)| Some((key.to_owned(), value?)));
    Value::Object(there.collect::<Map<String, Value>>())
}

fn finding(of: &Finding) -> Value {
    object([
        ("check", Some(json!(of.check.name()))),
        ("case", Some(json!(of.case))),
        ("position", (!of.position.is_empty()).then(|| json!(of.position))),
        ("where", Some(json!(of.place))),
        ("value", Some(json!(of.value))),
        ("limit", Some(json!(of.limit))),
        ("utilisation", Some(json!(of.utilisation))),
    ])
}

fn variant(of: &Variant) -> Value {
    let figure = |figure: &Option<Figure>| {
        figure.as_ref().map(|Figure { value, case, place }| json!({ "value": value, "case": case, "where": place }))
    };
    object([
        ("name", Some(json!(of.name))),
        ("mass", Some(json!(of.mass_kg))),
        ("passes", Some(json!(of.passes))),
        ("worst", of.worst.as_ref().map(finding)),
        ("pickup_move", figure(&of.pickup_move_mm)),
        ("toe", figure(&of.toe_deg)),
        ("camber", figure(&of.camber_deg)),
        ("twist", figure(&of.twist_nm_deg)),
        ("buckling", figure(&of.buckling)),
        ("buckling_over", of.buckling_over.map(|over| json!(over))),
        ("frequency", of.frequency_hz.map(|frequency| json!(frequency))),
        ("joint", of.joint.as_ref().map(finding)),
        ("weld", of.weld.as_ref().map(finding)),
        ("ends", Some(json!(of.joints))),
        ("tube", Some(json!(of.tube_m))),
    ])
}

fn case_seen(of: &CaseSeen) -> Value {
    object([
        ("tubes", Some(of.tubes.0.iter().map(|(name, value)| (name.clone(), json!(value))).collect())),
        ("failing", Some(json!(of.failing))),
        ("worst", of.worst.as_ref().map(finding)),
    ])
}

impl Answer for Compared {
    fn written(&self) -> Value {
        if !self.fails.is_empty() {
            return json!({ "fails": self.fails });
        }
        object([
            ("variant", self.variant.as_ref().map(variant)),
            ("cases", Some(self.cases.0.iter().map(|(name, seen)| (name.clone(), case_seen(seen))).collect())),
            ("warnings", Some(json!(self.warnings))),
            ("notes", Some(json!(self.notes))),
        ])
    }
}

impl Compared {
    fn of(name: &str, checked: &Checked) -> Compared {
        let cases = checked.response.cases.iter().map(|case| &case.name);
        Compared {
            variant: Some(Variant::of(name, checked)),
            cases: Keyed(cases.map(|case| (case.clone(), CaseSeen::of(&checked.verdict, case))).collect()),
            warnings: checked.warnings.clone(),
            notes: checked.notes(),
            fails: String::new(),
        }
    }

    fn failed(faults: &[Fault]) -> Compared {
        let fails = faults.first().map_or("it cannot be solved", |fault| fault.message.as_str()).to_owned();
        Compared { variant: None, cases: Keyed::default(), warnings: Vec::new(), notes: Vec::new(), fails }
    }
}

/// The frames, each with its name.
pub struct Frames<'m> {
    /// What each is called, and what it is.
    pub frames: Vec<(&'m str, &'m Model)>,
    /// The cases that alone are asked for; none: all.
    pub cases: &'m [String],
    /// How far it is.
    pub watch: &'m Watch<'m>,
}

/// Whether a case is asked for; `asked`: those that alone are, none for all.
fn is_asked(asked: &[String], case: &str) -> bool {
    asked.is_empty() || asked.iter().any(|asked| asked == case)
}

impl Units for Frames<'_> {
    type Answer = Compared;

    fn count(&self) -> usize {
        self.frames.len()
    }

    fn begins(&self, to_do: usize) {
        self.watch.more_to_try(to_do);
    }

    fn may_be(&self, unit: usize, answer: &Compared) -> bool {
        let (name, model) = self.frames[unit];
        match &answer.variant {
            Some(variant) => {
                let asked = model.cases.keys().filter(|case| is_asked(self.cases, case));
                let is_used = |finding: &Finding| finding.utilisation >= 0.0;
                let is_told = |(case, seen): (&String, &CaseSeen)| {
                    seen.tubes.0.values().all(|used| *used >= 0.0)
                        && seen.worst.as_ref().is_none_or(|worst| worst.case == *case && is_used(worst))
                        && (seen.failing > 0) == seen.worst.as_ref().is_some_and(Finding::fails)
                        && (seen.failing == 0 || !variant.passes)
                };
                variant.name == name
                    && variant.may_be_of(model)
                    && answer.fails.is_empty()
                    && asked.eq(answer.cases.0.keys())
                    && answer.cases.0.iter().all(is_told)
            }
            None => !answer.fails.is_empty(),
        }
    }

    fn answer(&self, unit: usize) -> Option<Compared> {
        if (self.watch.ends)() {
            return None;
        }
        let (name, model) = self.frames[unit];
        let compared = match check(model, |case| is_asked(self.cases, case)) {
            Ok(checked) => Compared::of(name, &checked),
            Err(faults) => Compared::failed(&faults),
        };
        self.watch.tried_one();
        Some(compared)
    }
}

/// What moves in the cases that are asked for.
///
/// # Errors
/// All faults.
pub fn moving(model: &Model, asked: &[String]) -> Result<(Prepared, Response), Vec<Fault>> {
    let prepared = prepare(model, Purpose::Statics)?;
    // As the check solves them, so that the last digits are the same.
    let mut response = respond(model, &prepared, |case| is_asked(asked, case) || case == STANDING)?;
    response.cases.retain(|case| is_asked(asked, &case.name));
    Ok((prepared, response))
}
