//! Published cases beside what the tool computes: for the terminal, as a page, as JSON.

use serde_json::{Value, json};

use super::TOOL;
use super::text::{BAD, GOOD, HEADING, wrapped};
use super::words::counted;
use crate::proof::{Figure, Proven, ProvenTopic, ProvenValue, Provenance};
use crate::units::{in_full, rounded, shortest};

/// Published, computed, difference, allowed, as they are shown.
fn shown(value: &ProvenValue<'_>) -> [String; 4] {
    let published = match &value.ask.published {
        Figure::Number(number) => in_full(*number),
        Figure::Word(word) => word.clone(),
    };
    let allowed = match &value.ask.published {
        Figure::Number(_) => rounded(value.ask.tolerance),
        Figure::Word(_) => String::new(),
    };
    // As many digits as the tolerance asks for and no more, so that nothing shown is round-off.
    let number = |number: f64| shortest(number, value.ask.tolerance / 100.0);
    let small = |difference: f64| number(difference).parse().map_or_else(|_| in_full(difference), rounded);
    let computed = match &value.computed {
        Ok(Figure::Number(computed)) => number(*computed),
        Ok(Figure::Word(word)) => word.clone(),
        Err(why) => why.clone(),
    };
    [published, computed, value.difference().map(small).unwrap_or_default(), allowed]
}

/// What was asked, with the unit of the source.
fn asked(value: &ProvenValue<'_>) -> String {
    match value.ask.unit.as_str() {
        "" => value.ask.words(),
        unit => format!("{}, {unit}", value.ask.words()),
    }
}

/// The last line: how much was held against what the tool computes, and whether all of it holds.
pub fn verdict(topics: &[ProvenTopic<'_>]) -> String {
    let cases: Vec<&Proven<'_>> = topics.iter().flat_map(|topic| &topic.cases).collect();
    let values: Vec<&ProvenValue<'_>> = cases.iter().flat_map(|case| &case.values).collect();
    let holding = values.iter().filter(|value| value.holds()).count();
    let kinds = [Provenance::Read, Provenance::ClosedForm, Provenance::Memory].map(|provenance| {
        let count = cases.iter().filter(|case| case.case.provenance == provenance).count();
        format!("{count} {}", provenance.words())
    });
    let whole = format!(
        "of {} in {} (cases {})",
        counted(values.len(), "published value", "published values"),
        counted(cases.len(), "case", "cases"),
        kinds.join(", ")
    );
    if holding == values.len() {
        format!("HOLDS: all {whole}")
    } else {
        format!("FAILS: {} {whole}", values.len() - holding)
    }
}

/// Width of the columns of published, computed, difference and allowed.
const COLUMNS: [usize; 4] = [16, 14, 11, 9];
/// Blanks before a value.
const INDENT: usize = 5;

/// Everything, for a terminal.
pub fn text(topics: &[ProvenTopic<'_>], width: u16) -> String {
    let mut text = String::new();
    for topic in topics {
        let title = wrapped(&format!("{} ({})", topic.topic.title, topic.topic.name), width, "  ");
        text.push_str(&format!("{HEADING}{title}{HEADING:#}\n"));
        text.push_str(&row("  ", "", &["published", "computed", "difference", "allowed"].map(str::to_owned), width));
        for case in &topic.cases {
            text.push_str(&of_case(case, width));
        }
        text.push('\n');
    }
    let line = verdict(topics);
    let style = if line.starts_with("HOLDS") { GOOD } else { BAD };
    let failing: String = topics
        .iter()
        .flat_map(|topic| &topic.cases)
        .filter(|case| !case.holds())
        .map(|case| format!("  {}\n", case.case.id))
        .collect();
    let word = &line[..5];
    text.push_str(&format!("{style}{word}{style:#}{}\n{failing}", &wrapped(&line, width, "  ")[5..]));
    text
}

fn of_case(proven: &Proven<'_>, width: u16) -> String {
    let case = proven.case;
    let mut text = format!("\n  {}\n", wrapped(&format!("{}: {}", case.id, case.what), width - 2, "    "));
    let source = format!("{} ({})", case.source, case.provenance.words());
    text.push_str(&format!("    {}\n", wrapped(&source, width - 4, "    ")));
    for value in &proven.values {
        let mark = if value.holds() { "  " } else { "FAIL" };
        text.push_str(&row(mark, &asked(value), &shown(value), width));
    }
    text
}

/// A line of a value; where the question has no room beside the figures it stands on a line of its own.
fn row(mark: &str, question: &str, cells: &[String; 4], width: u16) -> String {
    let figures: String = cells.iter().zip(COLUMNS).map(|(cell, column)| format!("{cell:>column$}")).collect();
    let room = usize::from(width).saturating_sub(INDENT + figures.chars().count());
    let line = if question.chars().count() <= room {
        format!("{mark:<INDENT$}{question:<room$}{figures}")
    } else {
        let question = wrapped(question, width - 8, "        ");
        format!("{mark:<INDENT$}{question}\n{figures:>width$}", width = usize::from(width))
    };
    format!("{}\n", line.trim_end())
}

/// Everything as a page in Markdown: a table for each topic.
pub fn markdown(topics: &[ProvenTopic<'_>]) -> String {
    let mut text = format!(
        "# Published cases\n\nWritten by `crossbrace prove --markdown`; not to be edited.\n\n{}.\n\n\
         The difference is computed less published, in the unit of the source. Allowed is half of the last digit that \
         the source prints, or the stated error of its method; 0 is a figure of a table that is met as it is. What is \
         below a hundredth of what is allowed is not shown.\n",
        verdict(topics)
    );
    for topic in topics {
        text.push_str(&format!(
            "\n## {}\n\n| case | quantity | published | computed | difference | allowed | source | provenance |\n\
             | --- | --- | ---: | ---: | ---: | ---: | --- | --- |\n",
            topic.topic.title
        ));
        for proven in &topic.cases {
            for (at, value) in proven.values.iter().enumerate() {
                let case = proven.case;
                let [published, computed, difference, allowed] = shown(value);
                let once = |text: &str| if at == 0 { text.replace('|', "\\|") } else { String::new() };
                let source = match &case.page {
                    Some(page) if page.starts_with("http") => format!("[{}](<{page}>)", case.source),
                    _ => case.source.clone(),
                };
                let failing = if value.holds() { "" } else { "**fails** " };
                text.push_str(&format!(
                    "| {} | {} | {published} | {failing}{computed} | {difference} | {allowed} | {} | {} |\n",
                    once(&case.id),
                    asked(value),
                    once(&source),
                    once(case.provenance.words()),
                ));
            }
        }
    }
    text
}

/// Everything as JSON, numbers in full.
pub fn json(topics: &[ProvenTopic<'_>]) -> Value {
    let figure = |figure: &Figure| match figure {
        Figure::Number(number) => json!(number),
        Figure::Word(word) => json!(word),
    };
    let value = |value: &ProvenValue<'_>| {
        let mut told = json!({
            "quantity": value.ask.words(),
            "unit": value.ask.unit,
            "published": figure(&value.ask.published),
            "computed": value.computed.as_ref().ok().map(figure),
            "difference": value.difference(),
            "tolerance": value.ask.tolerance,
            "holds": value.holds(),
        });
        if let Err(why) = &value.computed {
            told["why"] = json!(why);
        }
        told
    };
    let case = |proven: &Proven<'_>| {
        let mut told = json!({
            "id": proven.case.id,
            "what": proven.case.what,
            "source": proven.case.source,
            "provenance": proven.case.provenance.words(),
            "holds": proven.holds(),
            "values": proven.values.iter().map(value).collect::<Vec<_>>(),
        });
        if let Some(page) = &proven.case.page {
            told["page"] = json!(page);
        }
        told
    };
    let topic = |topic: &ProvenTopic<'_>| {
        json!({
            "topic": topic.topic.name,
            "title": topic.topic.title,
            "cases": topic.cases.iter().map(case).collect::<Vec<_>>(),
        })
    };
    json!({
        "tool": {"name": TOOL.0, "version": TOOL.1},
        "holds": topics.iter().flat_map(|topic| &topic.cases).all(Proven::holds),
        "topics": topics.iter().map(topic).collect::<Vec<_>>(),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::proof::read_topic;

    fn bars(published: &str) -> String {
        let file = r#"{"title": "Bars", "cases": [{
            "id": "bar", "what": "A bar", "source": "π d² / 4", "provenance": "closed form",
            "formula": "round bar", "inputs": {"od": 10},
            "expected": [{"quantity": "area", "published": 78.54, "unit": "mm²", "within": 0.005}]
        }]}"#;
        file.replace("78.54", published)
    }

    fn told<T>(published: &str, of: impl Fn(&[ProvenTopic<'_>]) -> T) -> T {
        let topic = read_topic("bars", &bars(published)).unwrap();
        of(&[ProvenTopic::of(&topic, |_| true)])
    }

    #[test]
    fn a_value_that_holds_is_told_with_what_is_allowed() {
        let text = anstream::adapter::strip_str(&told("78.54", |topics| text(topics, 80))).to_string();
        let expected = "\
Bars (bars)
                                     published      computed difference  allowed

  bar: A bar
    π d² / 4 (closed form)
     area, mm²                           78.54       78.5398    -0.0002    0.005

HOLDS: all of 1 published value in 1 case (cases 0 published and read, 1 closed
  form, 0 from memory)
";
        assert_eq!(text, expected);
    }

    #[test]
    fn a_value_that_does_not_hold_is_marked_counted_and_its_case_named() {
        let text = anstream::adapter::strip_str(&told("78.55", |topics| text(topics, 80))).to_string();
        assert!(text.contains("\nFAIL area, mm² "), "{text}");
        assert!(text.contains("\nFAILS: 1 of 1 published value in 1 case"), "{text}");
        assert!(text.ends_with("\n  bar\n"), "{text}");
        assert!(told("78.55", markdown).contains("| 78.55 | **fails** 78.5398 | -0.0102 | 0.005 |"));
        assert_eq!(told("78.55", json)["holds"], false);
        assert_eq!(told("78.54", json)["holds"], true);
    }
}
