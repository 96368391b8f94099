//! Topics and their cases, read from the built-in files as strictly as a model is.

use annotate_snippets::Renderer;

use super::file::{CaseEntry, Entry, Figure, Provenance, TopicFile, Unread};
use super::formulas::FORMULAS;
use super::quantities::{QUANTITIES, Quantity};
use crate::source::{Document, Named, Path, Problem, Read, Reader, choice, instead, render};

/// The files, by topic. A new file is one more line here; a new case needs none.
const FILES: &[(&str, &str)] = &[
    ("beams", include_str!("cases/beams.json")),
    ("frames", include_str!("cases/frames.json")),
    ("joints-and-supports", include_str!("cases/joints-and-supports.json")),
    ("twist", include_str!("cases/twist.json")),
    ("buckling", include_str!("cases/buckling.json")),
    ("second-order", include_str!("cases/second-order.json")),
    ("vibration", include_str!("cases/vibration.json")),
    ("sections", include_str!("cases/sections.json")),
    ("materials", include_str!("cases/materials.json")),
    ("columns-and-walls", include_str!("cases/columns-and-walls.json")),
    ("welds", include_str!("cases/welds.json")),
    ("fatigue", include_str!("cases/fatigue.json")),
    ("car", include_str!("cases/car.json")),
    ("corners", include_str!("cases/corners.json")),
];

/// Every topic, in the order in which it is shown.
pub fn topics() -> Vec<Topic> {
    let read = |(name, text): &(&str, &str)| {
        read_topic(name, text).unwrap_or_else(|problems| panic!("src/proof/cases/{name}.json: {problems}"))
    };
    FILES.iter().map(read).collect()
}

/// The cases of one file.
#[derive(Debug)]
pub struct Topic {
    /// Name of the file, by which the topic is asked for: `joints-and-supports`.
    pub name: String,
    /// What it is about, in words.
    pub title: String,
    /// Its cases.
    pub cases: Vec<Case>,
}

/// One published case.
#[derive(Debug)]
pub struct Case {
    /// Its name, the same as in `tests/reference/`.
    pub id: String,
    /// What it shows, in a sentence.
    pub what: String,
    /// Author, title, table, clause.
    pub source: String,
    /// How far the source was seen.
    pub provenance: Provenance,
    /// Where it was read: the address of a page.
    pub page: Option<String>,
    /// What the tool is asked about.
    pub subject: Subject,
    /// The values.
    pub asks: Vec<Ask>,
}

/// What the tool is asked about.
#[derive(Debug)]
pub enum Subject {
    /// A frame or a car: a model file, and whether it is asked in equilibrium on the deformed frame.
    Model(Document, bool),
    /// One formula, by its place in [`FORMULAS`], and its inputs.
    Formula(usize, Named<Figure>),
}

/// A published value and where the tool has it.
#[derive(Debug, Clone)]
pub struct Ask {
    /// Of a model: which quantity. `None`: the formula's answer of the name [`Ask::name`].
    pub quantity: Option<Quantity>,
    /// Name of the quantity.
    pub name: String,
    /// Of which node, tube, wheel, axle; several are summed.
    pub of: Vec<String>,
    /// At this part of the tube's length from its first end.
    pub part: Option<f64>,
    /// At this end of the tube: 0 the first, 1 the second.
    pub end: Option<usize>,
    /// The value, in the unit of the source.
    pub published: Figure,
    /// That unit, as the source has it; empty where there is none.
    pub unit: String,
    /// One of that unit in the tool's unit of the quantity; negative where the source counts the other way round.
    pub unit_is: f64,
    /// How far the computed value may be off, in the unit of the source.
    pub tolerance: f64,
}

/// Reads a file of cases.
///
/// # Errors
/// All that is wrong with it, as text with the places.
pub fn read_topic(name: &str, text: &str) -> Result<Topic, String> {
    let file = format!("{name}.json");
    let told = |text: &str, problems: &[Problem]| -> String {
        let plain = Renderer::plain();
        problems.iter().map(|problem| format!("{}\n", render(problem, &file, text, &plain))).collect()
    };
    let document = Document::read(text.as_bytes().to_vec()).map_err(|(text, problems)| told(&text, &problems))?;
    if !document.repeated.is_empty() {
        return Err(told(text, &document.repeated));
    }
    let mut reader = Reader::default();
    let read = TopicFile::read(&document.root, &mut reader);
    let Some(read) = read.filter(|_| reader.problems.is_empty()) else {
        return Err(told(text, &reader.problems));
    };
    let mut topic = Topic { name: name.to_owned(), title: read.title, cases: Vec::new() };
    let mut problems = Vec::new();
    for (at, entry) in read.cases.into_iter().enumerate() {
        let path = crate::path!["cases", at];
        let place = document.root.locate(&path);
        match case(entry, &document) {
            Ok(case) if topic.cases.iter().any(|other| other.id == case.id) => {
                problems.push(Problem::new(path, place, format!("a second case \"{}\"", case.id)));
            }
            Ok(case) => topic.cases.push(case),
            Err(wrong) => problems.extend(wrong.into_iter().map(|(way, message)| {
                let path = Path([path.0.clone(), way.0].concat());
                let place = document.root.locate(&path);
                Problem::new(path, place, message)
            })),
        }
    }
    if problems.is_empty() { Ok(topic) } else { Err(told(text, &problems)) }
}

/// A case from its entry, or what is wrong with it and where.
fn case(entry: CaseEntry, document: &Document) -> Result<Case, Vec<(Path, String)>> {
    let subject = subject(&entry, document).map_err(|wrong| vec![wrong])?;
    let mut wrong = Vec::new();
    let mut asks = Vec::new();
    if entry.expected.is_empty() {
        wrong.push((crate::path!["expected"], "a case has at least one published value".to_owned()));
    }
    for (at, value) in entry.expected.into_iter().enumerate() {
        match ask(value, &subject) {
            Ok(ask) => asks.push(ask),
            Err((key, message)) => wrong.push((crate::path!["expected", at, key], message)),
        }
    }
    if !wrong.is_empty() {
        return Err(wrong);
    }
    let CaseEntry { id, what, source, provenance, page, .. } = entry;
    Ok(Case { id, what, source, provenance, page, subject, asks })
}

fn subject(entry: &CaseEntry, document: &Document) -> Result<Subject, (Path, String)> {
    match (&entry.model, &entry.formula) {
        (Some(Unread(node)), None) => {
            // A text of its own, as a user's file is.
            let text = document.text[node.span.clone()].to_owned();
            let model = Document::read(text.into_bytes()).expect("a part of a text that was read can be read");
            Ok(Subject::Model(model, entry.deformed))
        }
        (None, Some(name)) => match FORMULAS.iter().position(|formula| formula.name == name) {
            Some(at) => Ok(Subject::Formula(at, entry.inputs.clone())),
            None => {
                let known = FORMULAS.iter().map(|formula| formula.name);
                Err((crate::path!["formula"], format!("there is no formula \"{name}\"; {}", instead(name, known))))
            }
        },
        _ => Err((crate::path!["id"], "a case has either a model or a formula".to_owned())),
    }
}

fn ask(entry: Entry, subject: &Subject) -> Result<Ask, (&'static str, String)> {
    let quantity = match subject {
        Subject::Formula(..) => None,
        Subject::Model(..) => {
            let known = QUANTITIES.iter().find(|(name, ..)| *name == entry.quantity);
            Some(known.map(|(.., quantity)| *quantity).ok_or_else(|| {
                let names = QUANTITIES.iter().map(|(name, ..)| *name);
                (
                    "quantity",
                    format!("there is no quantity \"{}\"; {}", entry.quantity, instead(&entry.quantity, names)),
                )
            })?)
        }
    };
    let end = match entry.end.as_deref() {
        None => None,
        Some("first") => Some(0),
        Some("second") => Some(1),
        Some(other) => return Err(("end", format!("an end is {}, not \"{other}\"", choice(["first", "second"])))),
    };
    let size = match entry.published {
        Figure::Number(value) => value.abs(),
        Figure::Word(_) => 0.0,
    };
    let tolerance = match (entry.within, entry.within_part, &entry.published) {
        (None, None, Figure::Word(_)) => 0.0,
        (Some(within), None, Figure::Number(_)) if within >= 0.0 => within,
        (None, Some(part), Figure::Number(_)) if part >= 0.0 => part * size,
        (.., Figure::Word(_)) => return Err(("published", "a word has no tolerance".to_owned())),
        _ => return Err(("published", "a number has \"within\" or \"within_part\", not below 0".to_owned())),
    };
    if entry.unit_is == 0.0 {
        return Err(("unit_is", "a unit is not 0 of another".to_owned()));
    }
    Ok(Ask {
        quantity,
        name: entry.quantity,
        of: entry.of.0,
        part: entry.part,
        end,
        published: entry.published,
        unit: entry.unit,
        unit_is: entry.unit_is,
        tolerance,
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A file with one case of a formula, with a part of its text replaced.
    fn file(part: &str, other: &str) -> Result<Topic, String> {
        let text = r#"{
            "title": "Bars",
            "cases": [{
                "id": "bar", "what": "A bar", "source": "none", "provenance": "closed form",
                "formula": "round bar", "inputs": {"od": 10},
                "expected": [{"quantity": "area", "published": 78.54, "unit": "mm²", "within": 0.005}]
            }]
        }"#;
        assert!(text.contains(part), "{part}");
        read_topic("bars", &text.replace(part, other))
    }

    #[track_caller]
    fn refused(part: &str, other: &str, expected: &str) {
        let told = file(part, other).expect_err("the file has a mistake");
        assert!(told.contains(expected), "{told}");
    }

    #[test]
    fn every_built_in_file_can_be_read_and_has_a_hundred_and_fifty_cases_or_more() {
        let cases: usize = topics().iter().map(|topic| topic.cases.len()).sum();
        assert!(cases >= 150, "{cases}");
    }

    #[test]
    fn a_file_without_mistakes_is_read() {
        assert_eq!(file("Bars", "Bars").map(|topic| topic.cases.len()), Ok(1));
    }

    #[test]
    fn a_mistake_is_told_with_its_place_and_what_there_is() {
        refused(
            "round bar",
            "round baar",
            "bars.json:5:17: cases[0].formula: there is no formula \"round baar\"; did you mean \"round bar\"?",
        );
        refused("closed form", "hearsay", "expected \"read\", \"closed form\" or \"memory\", found \"hearsay\"");
        refused("\"within\"", "\"withni\"", "\"withni\" is not a key that is known here");
        refused(", \"within\": 0.005", "", "a number has \"within\" or \"within_part\", not below 0");
        refused("0.005", "-1", "a number has \"within\" or \"within_part\", not below 0");
        refused("78.54", "\"round\"", "a word has no tolerance");
        refused("\"formula\"", "\"model\": {}, \"formula\"", "a case has either a model or a formula");
        refused("\"unit\": \"mm²\"", "\"unit_is\": 0", "a unit is not 0 of another");
        refused(
            "[{\"quantity\": \"area\", \"published\": 78.54, \"unit\": \"mm²\", \"within\": 0.005}]",
            "[]",
            "at least one published value",
        );
    }

    #[test]
    fn a_quantity_that_no_model_has_is_told_with_the_nearest() {
        refused(
            "\"formula\": \"round bar\", \"inputs\": {\"od\": 10},\n                \"expected\": [{\"quantity\": \"area\"",
            "\"model\": {}, \"expected\": [{\"quantity\": \"mvoe x\"",
            "there is no quantity \"mvoe x\"; did you mean \"move x\"?",
        );
    }
}
