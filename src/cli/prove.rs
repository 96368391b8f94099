//! `crossbrace prove`: every published case that the tool is held against, run in front of the user.

use super::args::ProveOptions;
use super::output::{Output, width};
use super::{Ending, Trouble};
use crate::proof::{Proven, ProvenTopic, Topic, topics};
use crate::report::proof;
use crate::source::{nearest, visible};

/// Runs the command: it ends well where every value holds.
pub(crate) fn run(options: &ProveOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let topics = topics();
    for name in &options.only {
        is_there(name, &topics)?;
    }
    let wanted = |name: &str| options.only.iter().any(|only| only == name);
    let proven: Vec<ProvenTopic<'_>> = topics
        .iter()
        .map(|topic| {
            let whole = options.only.is_empty() || wanted(&topic.name);
            ProvenTopic::of(topic, |case| whole || wanted(&case.id))
        })
        .filter(|topic| !topic.cases.is_empty())
        .collect();
    if options.json {
        output.print(&format!("{:#}\n", proof::json(&proven)));
    } else if options.markdown {
        output.print(&proof::markdown(&proven));
    } else if options.quiet {
        output.print(&format!("{}\n", proof::verdict(&proven)));
    } else {
        output.print(&proof::text(&proven, width()));
    }
    Ok(ending(&proven))
}

fn ending(proven: &[ProvenTopic<'_>]) -> Ending {
    let holds = proven.iter().flat_map(|topic| &topic.cases).all(Proven::holds);
    if holds { Ending::Good } else { Ending::ValueDiffers }
}

/// Whether a topic or a case has this name.
fn is_there(name: &str, topics: &[Topic]) -> Result<(), Trouble> {
    let names = || topics.iter().map(|topic| topic.name.as_str());
    let cases = || topics.iter().flat_map(|topic| &topic.cases).map(|case| case.id.as_str());
    if names().chain(cases()).any(|known| known == name) {
        return Ok(());
    }
    let hint = match nearest(name, names().chain(cases())) {
        Some(near) => format!("did you mean \"{near}\"?"),
        None => format!("the topics are {}", names().collect::<Vec<_>>().join(", ")),
    };
    Err(Trouble(format!(
        "error: no topic and no case is named \"{}\"\nhint: {hint}; crossbrace prove lists the cases of all topics",
        visible(name)
    )))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn one_value_that_is_not_met_is_an_ending_of_its_own() {
        let mut topics = topics();
        let of = |topics: &[Topic]| {
            let proven: Vec<ProvenTopic<'_>> =
                topics.iter().map(|topic| ProvenTopic::of(topic, |case| case.id == "cantilever-end-force")).collect();
            ending(&proven)
        };
        assert_eq!(of(&topics), Ending::Good);
        let cantilever =
            topics.iter_mut().flat_map(|topic| &mut topic.cases).find(|case| case.id == "cantilever-end-force");
        cantilever.unwrap().asks[0].tolerance = 0.0;
        assert_eq!(of(&topics), Ending::ValueDiffers);
    }
}
