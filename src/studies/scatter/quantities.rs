//! What may be other than the file has it, between what, and why one thinks so.

use super::knob::{CarFigure, Knob, What};
use crate::model::{Model, STANDING, entry_at};
use crate::run::{open_mounts, open_welds};
use crate::section::Section;
use crate::source::{instead, nearest};
use crate::units::{Kind, Length, Mass, Quantity as _, brief};

/// How far a quantity may be from what the file has.
#[derive(Debug, Clone, PartialEq)]
pub enum Spread {
    /// By so much to both sides, in the unit of the quantity.
    By(f64),
    /// By such a part of it to both sides.
    Part(f64),
    /// Between two things that the file cannot tell apart, in words.
    Between(&'static str),
}

/// One thing that may be other than the file has it.
#[derive(Debug, Clone, PartialEq)]
pub struct Quantity {
    /// What it is called on the command line: `cg.height`, `wall.main`, `nodes.UF.l`.
    pub name: String,
    /// How far it may be off.
    pub spread: Spread,
    /// Unit of a spread by so much; empty where it has none.
    pub unit: &'static str,
    /// Why one thinks so.
    pub source: &'static str,
    /// What is changed: three for a place, else one.
    pub knobs: Vec<Knob>,
}

impl Quantity {
    /// The spread in words: `± 40 mm`.
    pub fn spread_in_words(&self) -> String {
        match &self.spread {
            Spread::By(by) if self.unit.is_empty() => format!("± {}", brief(*by)),
            Spread::By(by) => format!("± {} {}", brief(*by), self.unit),
            Spread::Part(part) => format!("± {} %", brief(100.0 * part)),
            Spread::Between(words) => (*words).to_owned(),
        }
    }
}

/// What several quantities are alike in.
struct Family {
    /// The beginning of their names, which stands for all of them.
    name: &'static str,
    /// What a bare number is in; `None`: a plain number.
    kind: Option<&'static Kind>,
    spread: Spread,
    source: &'static str,
}

const PRACTICE: &str = "common practice, no source";
const WALL_SOURCE: &str = "tolerance of EN 10305-1 (round, at least 0.1 mm) and EN 10219-2 (square), from memory";

/// All families, in the order in which the quantities are drawn.
fn families() -> Vec<Family> {
    let (length, mass) = (Some(Length::KIND), Some(Mass::KIND));
    let car = |name, kind, spread| Family { name, kind, spread, source: PRACTICE };
    vec![
        car("mass", mass, Spread::Part(0.03)),
        car("wheelbase", length, Spread::By(5.0)),
        car("track.front", length, Spread::By(5.0)),
        car("track.rear", length, Spread::By(5.0)),
        car("cg.height", length, Spread::By(40.0)),
        car("cg.behind_front_axle", length, Spread::By(30.0)),
        car("cg.left", length, Spread::By(10.0)),
        car("lateral_transfer_share_front", None, Spread::By(0.05)),
        car("brake_share_front", None, Spread::By(0.05)),
        car("drive_share_front", None, Spread::By(0.05)),
        car("tyre_grip", None, Spread::Part(0.1)),
        car("pneumatic_trail", length, Spread::Part(0.3)),
        Family { name: "load", kind: None, spread: Spread::Part(0.1), source: PRACTICE },
        Family { name: "wall", kind: length, spread: Spread::Part(0.1), source: WALL_SOURCE },
        Family { name: "nodes", kind: length, spread: Spread::By(2.0), source: PRACTICE },
        Family {
            name: "mounts",
            kind: None,
            spread: Spread::Between("one bolt to bolted pad"),
            source: "what the file has is one of both words; each is as likely",
        },
        Family {
            name: "joints",
            kind: None,
            spread: Spread::Between("rigid to estimated"),
            source: "how far the wall below gives: Buitrago, Healy & Chang (1993), from memory; all joints alike",
        },
    ]
}

/// A spread from the command line: `cg.height=40`.
#[derive(Debug, Clone, PartialEq)]
pub struct Vary {
    name: String,
    spread: String,
}

impl std::fmt::Display for Vary {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{}={}", self.name, self.spread)
    }
}

impl Vary {
    /// Takes `NAME=SPREAD` apart.
    ///
    /// # Errors
    /// That it is not of this form.
    pub fn parse(text: &str) -> Result<Vary, String> {
        match text.rsplit_once('=') {
            Some((name, spread)) if !name.trim().is_empty() && !spread.trim().is_empty() => {
                Ok(Vary { name: name.trim().to_owned(), spread: spread.trim().to_owned() })
            }
            _ => Err("write a quantity and how far it may be off, such as cg.height=40 or wall=\"8 %\"".to_owned()),
        }
    }

    /// The spread; 0 leaves the quantity as it is.
    fn spread_of(&self, family: &Family) -> Result<Spread, String> {
        let fault = |why: String| format!("{}={}: {why}", self.name, self.spread);
        let is_between = matches!(family.spread, Spread::Between(_));
        let number = |text: &str| text.trim().parse::<f64>().ok().filter(|value| value.is_finite());
        let spread = if let Some(percent) = self.spread.strip_suffix('%') {
            let part = number(percent).ok_or_else(|| fault("expected a number before %".to_owned()))?;
            Spread::Part(part / 100.0)
        } else if let Some(by) = number(&self.spread) {
            Spread::By(by)
        } else if let Some(kind) = family.kind {
            Spread::By(kind.parse(&self.spread).map_err(fault)?)
        } else {
            return Err(fault("expected a number, or one followed by %".to_owned()));
        };
        let (Spread::By(size) | Spread::Part(size)) = spread else { return Ok(spread) };
        if size < 0.0 {
            return Err(fault("a spread goes to both sides; write it without its sign".to_owned()));
        }
        if is_between && size != 0.0 {
            return Err(fault(
                "it has two ends and no width; only 0 can be said, which leaves it as the file has it".to_owned(),
            ));
        }
        Ok(spread)
    }
}

/// What is found of a quantity before its spread is known.
struct Found {
    family: usize,
    name: String,
    whats: Vec<(What, f64)>,
}

/// All quantities of a model in the order of their families.
fn all(model: &Model, families: &[Family]) -> Vec<Found> {
    let mut found = Vec::new();
    for (family, of) in families.iter().enumerate() {
        let mut add = |name: String, whats: Vec<(What, f64)>| found.push(Found { family, name, whats });
        match of.name {
            "load" => {
                // The jig's twist is read off its gauge, and stiffness does not hang on it.
                for (at, (name, case)) in model.cases.iter().enumerate() {
                    if name != STANDING && case.twist.is_none() {
                        add(format!("load.{name}"), vec![(What::Load(at), case.factor)]);
                    }
                }
            }
            "wall" => {
                for (at, (name, size)) in model.tubes.iter().enumerate() {
                    let wall_mm = match size.section {
                        Section::Round(tube) => tube.wall_mm,
                        Section::Box(tube) => tube.wall_mm,
                        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => continue,
                    };
                    add(format!("wall.{name}"), vec![(What::Wall(at), wall_mm)]);
                }
            }
            "nodes" => {
                for anchor in model.anchors() {
                    let whats = (0..3).map(|axis| (What::Place(anchor, axis), 0.0)).collect();
                    add(format!("nodes.{}", model.anchor_name(anchor)), whats);
                }
            }
            "mounts" => {
                for (mount, name) in open_mounts(model) {
                    let given = if mount.is_pad(model) { 1.0 } else { 0.0 };
                    add(format!("mounts.{name}"), vec![(What::Mount(mount), given)]);
                }
            }
            "joints" => {
                if !open_welds(model).is_empty() {
                    add("joints".to_owned(), vec![(What::Joints, 0.0)]);
                }
            }
            name => {
                let figure = CarFigure::ALL.into_iter().find(|figure| figure.name() == name);
                let given = figure.and_then(|figure| Some((figure, figure.get(model.vehicle.as_ref()?)?)));
                // A car that drives on one axle alone does so whatever is measured.
                let is_open = |(figure, given): &(CarFigure, f64)| {
                    *figure != CarFigure::DriveShareFront || (*given > 0.0 && *given < 1.0)
                };
                if let Some((figure, given)) = given.filter(is_open) {
                    add(name.to_owned(), vec![(What::Car(figure), given)]);
                }
            }
        }
    }
    found
}

/// What is varied of a model; each by what was asked for it by name, else for its family, else as usual.
///
/// # Errors
/// A name that is not there, with the nearest that is; a spread that cannot be.
pub fn quantities(model: &Model, asked: &[Vary]) -> Result<Vec<Quantity>, String> {
    let families = families();
    let found = all(model, &families);
    for vary in asked {
        let is_family = |family: usize| found.iter().any(|found| found.family == family);
        let of_families = families.iter().enumerate().filter(|(at, _)| is_family(*at)).map(|(_, family)| family.name);
        let mut names: Vec<&str> = of_families.chain(found.iter().map(|found| found.name.as_str())).collect();
        names.dedup();
        if !names.contains(&vary.name.as_str()) {
            let elsewhere = families.iter().any(|family| family.name == vary.name);
            let why = if elsewhere { "the model has nothing of" } else { "there is no quantity" };
            // Of a name with a family before it the family's own are near.
            let short: Vec<&str> = names.iter().copied().filter(|name| !name.starts_with("nodes.")).collect();
            let near = nearest(&vary.name, names.iter().copied()).is_some();
            let hint = instead(&vary.name, if near { names.iter().copied() } else { short.iter().copied() });
            return Err(format!("{why} \"{}\"\nhint: {hint}", vary.name));
        }
    }
    let mut quantities = Vec::new();
    let mut draw = 0;
    for Found { family, name, whats } in found {
        let family = &families[family];
        let by_name = asked.iter().rev().find(|vary| vary.name == name);
        let by_family = asked.iter().rev().find(|vary| vary.name == family.name);
        let own = by_name.or(by_family);
        let spread = own.map_or_else(|| Ok(family.spread.clone()), |vary| vary.spread_of(family))?;
        let source = if own.is_some() { "asked for" } else { family.source };
        let mut knobs = Vec::new();
        for (what, given) in whats {
            // Every knob has its own place among the draws, whether it is turned or not.
            let knob = what.knob(model, given, &spread, own.is_none(), draw);
            draw += 1;
            let Some(knob) = knob.map_err(|why| format!("{name} {why}"))? else { continue };
            knobs.push(knob);
        }
        if !knobs.is_empty() {
            let unit = family.kind.map_or("", Kind::default_unit);
            quantities.push(Quantity { name, spread, unit, source, knobs });
        }
    }
    if quantities.is_empty() {
        return Err("nothing is left that varies\nhint: give a quantity a spread: --vary cg.height=40".to_owned());
    }
    Ok(quantities)
}

impl What {
    /// Whether a wall is that of a round tube.
    pub(super) fn is_round_wall(self, model: &Model) -> bool {
        let What::Wall(at) = self else { return false };
        matches!(entry_at(&model.tubes, at).1.section, Section::Round(_))
    }
}
