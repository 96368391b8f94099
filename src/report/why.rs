//! Why something is as it is, in sentences, bars and JSON.

use serde_json::{Value, json};

use super::json::Number;
use super::words;
use crate::loads::{Cause, Heavy};
use crate::model::{Model, Target, entry_at};
use crate::source::visible;
use crate::structure::Structure;
use crate::studies::{Question, Why};
use crate::units::{decimals, decimals_for, figures};

/// What was asked and what came out, ready to be told.
#[derive(Debug, Clone, PartialEq)]
pub struct Explained {
    /// The option whose change is in the model, if any.
    pub option: Option<String>,
    /// The case.
    pub case: String,
    /// What it is about: a tube, a node, a corner.
    pub place: String,
    /// The figure: `stress`, `movement`, `toe`, `camber`.
    pub figure: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// The whole.
    pub total: f64,
    /// Where along a tube, mm from its first end.
    pub at_mm: Option<f64>,
    /// Whether it is a change from the standing car.
    pub from_standing: bool,
    /// What each thing that acts adds, the largest first; by name.
    pub parts: Vec<(String, f64)>,
    /// The whole in one sentence, without a full stop.
    pub sentence: String,
}

impl Explained {
    /// An answer with its names and words; `option`: whose change is in the model, if any.
    pub fn new(
        (model, structure): (&Model, &Structure),
        option: Option<&str>,
        case: &str,
        question: Question,
        why: &Why,
    ) -> Explained {
        let (place, figure, unit) = match question {
            Question::Stress(tube) => (structure.tube_name(model, tube), "stress", "MPa"),
            Question::Movement(anchor) => (model.anchor_name(anchor).to_owned(), "movement", "mm"),
            Question::Toe(corner) => (model.corners[corner].wheel.name().to_owned(), "toe", "°"),
            Question::Camber(corner) => (model.corners[corner].wheel.name().to_owned(), "camber", "°"),
        };
        let from = if why.from_standing { "from where it stands" } else { "from unloaded" };
        let number = number(why.total);
        let whole = match question {
            Question::Stress(tube) => {
                let at = words::place_of(model, structure, &structure.tubes[tube], why.at_mm.unwrap_or_default());
                format!("{place} is stressed by {number} MPa {at}")
            }
            Question::Movement(_) => format!("{place} moves {number} mm {from}"),
            Question::Toe(_) => format!("wheel {place} toes {} by {number}° {from}", in_or_out(why.total)),
            Question::Camber(_) => format!("the camber of wheel {place} changes by {number}° {from}"),
        };
        let mut parts: Vec<(String, f64)> =
            why.parts.iter().map(|(cause, value)| (cause_name(model, *cause), *value)).collect();
        parts.sort_by(|one, other| other.1.abs().total_cmp(&one.1.abs()));
        Explained {
            option: option.map(str::to_owned),
            case: case.to_owned(),
            place,
            figure,
            unit,
            total: why.total,
            at_mm: why.at_mm,
            from_standing: why.from_standing,
            parts,
            sentence: words::with_option(&format!("{whole}, in \"{case}\""), option),
        }
    }

    /// What makes most of it, and what takes most off, as sentences.
    pub fn remarks(&self) -> Vec<String> {
        let with = |part: &&(String, f64)| part.1 * self.total > 0.0;
        let against = |part: &&(String, f64)| part.1 * self.total < 0.0;
        let told = |(name, value): &(String, f64)| {
            let share = figures(100.0 * (value / self.total).abs(), 2);
            format!("{name} ({} {}, {share} %)", number(*value), self.unit)
        };
        let list = |parts: Vec<&(String, f64)>| parts.into_iter().map(told).collect::<Vec<_>>().join(", ");
        let most: Vec<&(String, f64)> =
            self.parts.iter().filter(with).filter(|part| self.matters(part.1)).take(3).collect();
        let off: Vec<&(String, f64)> =
            self.parts.iter().filter(against).filter(|part| self.matters(part.1)).take(2).collect();
        let mut remarks = Vec::new();
        if !most.is_empty() {
            remarks.push(format!("Mostly by: {}.", list(most)));
        }
        if !off.is_empty() {
            remarks.push(format!("Against it: {}.", list(off)));
        }
        remarks
    }

    /// Whether a part is at least a hundredth of the whole.
    fn matters(&self, value: f64) -> bool {
        value.abs() >= 0.01 * self.total.abs()
    }

    /// The largest magnitude among the parts and the whole.
    pub fn largest(&self) -> f64 {
        self.parts.iter().map(|(_, value)| value.abs()).fold(self.total.abs(), f64::max)
    }

    /// As one JSON value.
    pub fn json(&self) -> Value {
        let parts: Vec<Value> =
            self.parts.iter().map(|(cause, value)| json!({ "cause": cause, "value": Number(*value) })).collect();
        let mut value = json!({
            "case": self.case,
            "place": self.place,
            "figure": self.figure,
            "unit": self.unit,
            "from_standing": self.from_standing,
            "total": Number(self.total),
            "parts": parts,
        });
        if let (Some(at_mm), Some(keys)) = (self.at_mm, value.as_object_mut()) {
            keys.insert("at".to_owned(), at_mm.into());
        }
        value
    }

    /// As text: the sentence, remarks, and a bar for each part, from a common zero.
    pub fn text(&self, width: u16) -> String {
        let mut text = super::text::wrapped(&visible(&format!("{}.", self.sentence)), width, "  ");
        for remark in self.remarks() {
            text.push_str(&format!("\n  {}", super::text::wrapped(&visible(&remark), width - 2, "  ")));
        }
        text.push_str("\n\n");
        let digits = decimals_for(self.largest(), 4);
        // What rounds to nothing is counted, not shown.
        let least = 0.5 * 0.1_f64.powi(digits as i32);
        let shown: Vec<(String, f64)> = self
            .parts
            .iter()
            .filter(|(_, value)| value.abs() >= least)
            .map(|(name, value)| (visible(name), *value))
            .collect();
        let across = shown.iter().map(|(name, _)| name.chars().count()).max().unwrap_or(0).clamp(10, 40);
        let both_ways = shown.iter().map(|(_, value)| *value).chain([self.total]).any(|value| value <= -least);
        let bars = TextBars { largest: self.largest(), least, both_ways };
        let row = |name: &str, value: f64| {
            let name: String = name.chars().take(across).collect();
            format!("  {name:<across$}{:>11}  {}\n", decimals(value, digits), bars.bar(value))
        };
        for (name, value) in &shown {
            text.push_str(&row(name, *value));
        }
        text.push_str(&format!("  {}\n", "─".repeat(across + 11)));
        text.push_str(&row("together", self.total));
        text.push_str(&format!("  {:<across$}{:>11}\n", "", self.unit));
        let hidden = self.parts.len() - shown.len();
        if hidden > 0 {
            text.push_str(&format!("  {hidden} more add less than {} {}\n", decimals(2.0 * least, digits), self.unit));
        }
        text
    }
}

/// Bars of letters from a common zero.
struct TextBars {
    /// The value of the longest bar.
    largest: f64,
    /// What is less than this has none.
    least: f64,
    /// Whether some go to the left of the zero.
    both_ways: bool,
}

impl TextBars {
    /// The bar of a value, with its zero.
    fn bar(&self, value: f64) -> String {
        const LETTERS: usize = 24;
        let longest = if self.both_ways { LETTERS / 2 } else { LETTERS };
        let left = LETTERS - longest;
        let part = if value.abs() >= self.least { value.abs() / self.largest } else { 0.0 };
        let letters = (longest as f64 * part).round() as usize;
        if value < 0.0 {
            format!("{}{}│", " ".repeat(left - letters), "░".repeat(letters))
        } else {
            format!("{}│{}", " ".repeat(left), "█".repeat(letters))
        }
    }
}

fn in_or_out(toe_deg: f64) -> &'static str {
    if toe_deg < 0.0 { "out" } else { "in" }
}

fn number(value: f64) -> String {
    figures(value.abs(), 3)
}

/// What acts, in words.
pub fn cause_name(model: &Model, cause: Cause) -> String {
    let body_name = |body: usize| entry_at(&model.bodies, body).0.to_owned();
    let heavy = |heavy: Heavy| match heavy {
        Heavy::Tubes => "the tubes".to_owned(),
        Heavy::Body(body) => body_name(body),
        Heavy::Unsprung(wheel) => format!("{} unsprung", wheel.name()),
    };
    let target = |target: Target| match target {
        Target::Anchor(anchor) => model.anchor_name(anchor).to_owned(),
        Target::Body(body) => body_name(body),
    };
    match cause {
        Cause::Tyre(wheel, axis) => format!("tyre {} {}", wheel.name(), ["fx", "fy", "fz"][axis]),
        Cause::Shaft(wheel, body) => format!("shaft of {} on {}", wheel.name(), body_name(body)),
        Cause::TyreMoment(wheel) => format!("tyre {} moment", wheel.name()),
        Cause::Weight(of) => format!("weight of {}", heavy(of)),
        Cause::Inertia(of) => format!("inertia of {}", heavy(of)),
        Cause::Force(on) => format!("force on {}", target(on)),
        Cause::Moment(on) => format!("moment on {}", target(on)),
        Cause::LineLoad(tube) => format!("load along {}", model.tube_name(tube)),
        Cause::Moved(mount) => format!("movement of mount {}", model.anchor_name(model.mounts[mount].at)),
        Cause::Twist => "twist test".to_owned(),
        Cause::AntiRoll(axle) => format!("{} anti-roll bar", crate::model::AXLES[axle]),
    }
}
