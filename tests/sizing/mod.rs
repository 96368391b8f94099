//! The lightest tubes from a stock: against every design tried, against published problems, and by a proof that is
//! checked by a program of its own.

mod bars;
mod certificate;
mod command;
mod curve;
mod frames;
mod parts;
mod plane_frame;
mod published;

use std::sync::atomic::AtomicU64;

use crossbrace::model::Model;
use crossbrace::report::About;
use crossbrace::report::certificate::certificate;
use crossbrace::studies::Watch;
use crossbrace::studies::divided::Here;
use crossbrace::studies::size::{Sizing, size};
use serde_json::Value;

use crate::support::load;

/// A search that goes on to the end.
fn sized(model: &Model) -> Sizing {
    sized_within(model, u64::MAX)
}

/// A search that ends after so many boxes.
fn sized_within(model: &Model, boxes: u64) -> Sizing {
    let (tried, total) = (AtomicU64::new(0), AtomicU64::new(0));
    let watch = Watch { tried: &tried, total: &total, ends: &|| false };
    let told = size(model, boxes, &watch, &Here).unwrap_or_else(|faults| panic!("{faults:?}"));
    told.expect("all of it is done here")
}

/// A model file of the tests.
fn problem(name: &str) -> Model {
    load(&crate::support::read(&format!("models/sizing/{name}.json"))).base
}

/// A file of check values.
fn reference(name: &str) -> Value {
    serde_json::from_str(&crate::support::read(&format!("reference/sizing/{name}.json"))).unwrap()
}

/// The certificate of a search, as it is written.
fn certificate_of(told: &Sizing, model: &Model) -> Value {
    let about = About { file: "test.json", sha256: "", option: None, model, notes: &[] };
    serde_json::from_str(&certificate(told, &about).to_string()).unwrap()
}

/// The size of a group in what was found.
fn size_of<'s>(told: &'s Sizing, group: &str) -> &'s str {
    let at = told.groups.iter().position(|name| name == group).unwrap();
    &told.sizes[told.best.as_ref().unwrap().sizes[at]]
}
