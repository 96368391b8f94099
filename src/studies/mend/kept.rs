//! What is kept of some changes that were tried.

use schemars::{Schema, SchemaGenerator};
use serde_json::{Value, json};

use super::tried::{Outcome, Tried};
use crate::record;
use crate::source::{Keyed, Node, Read, Reader, visible};
use crate::studies::divided::Answer;
use crate::studies::scatter::CHECKS;

record! {
    /// What came of some changes; no mass where they make no valid or no sound model.
    KeptOutcome {
        /// The changes as an option, as a text.
        option: String,
        /// Mass of frame and suspension, kg.
        mass: Option<f64> = None,
        /// The largest utilisation by check and place, twins as one.
        used: Keyed<Keyed<f64>> = Keyed::default(),
    }
}

impl Answer for Outcome {
    fn written(&self) -> Value {
        let Some(tried) = &self.tried else { return json!({ "option": self.option }) };
        let mut used = json!({});
        for ((check, place), utilisation) in &tried.used {
            used[check][place] = json!(utilisation);
        }
        json!({ "option": self.option, "mass": tried.mass_kg, "used": used })
    }
}

impl Read for Outcome {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let KeptOutcome { option, mass, used } = KeptOutcome::read(node, reader)?;
        let mut all = std::collections::BTreeMap::new();
        for (check, places) in used.0 {
            let Some(known) = CHECKS.into_iter().find(|known| known.name() == check) else {
                return reader.refuse(node, format!("there is no check \"{}\"", visible(&check)));
            };
            all.extend(places.0.into_iter().map(|(place, utilisation)| ((known.name(), place), utilisation)));
        }
        Some(Outcome { option, tried: mass.map(|mass_kg| Tried::with(mass_kg, all)) })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        KeptOutcome::schema(generator)
    }
}
