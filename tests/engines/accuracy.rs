//! How nearly the answers of models fulfil their equations.

use crossbrace::run::{prepare, respond};
use crossbrace::solve::backward_error;
use crossbrace::structure::Purpose;
use nalgebra::DMatrix;
use serde_json::Value;

use crate::support::values::{entries, number};
use crate::support::{load, read, repository_file, result};

/// The largest componentwise backward error of all cases of a result.
pub(crate) fn largest_backward_error(result: &Value) -> f64 {
    entries(&result["cases"]).values().map(|case| number(&case["accuracy"]["residual"])).fold(0.0, f64::max)
}

/// The models in a folder, with their texts.
fn models(folder: std::path::PathBuf) -> Vec<(String, String)> {
    let files = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    let models = files.filter(|file| file.extension().is_some_and(|extension| extension == "json"));
    let mut read: Vec<(String, String)> =
        models.map(|file| (file.display().to_string(), std::fs::read_to_string(&file).unwrap())).collect();
    read.retain(|(file, _)| !file.ends_with("schema.json"));
    read.sort();
    read
}

#[test]
fn the_backward_error_of_every_demo_and_worked_model_is_at_most_1e_14() {
    let demos = models(repository_file("models"));
    let worked = models(crate::support::test_file("reference/models"));
    assert!(demos.len() >= 6 && worked.len() >= 15, "{} demos, {} worked models", demos.len(), worked.len());
    for (file, text) in demos.into_iter().chain(worked) {
        let loaded = load(&text);
        for model in std::iter::once(&loaded.base).chain(loaded.options.iter().map(|(_, model, _)| model)) {
            let error = largest_backward_error(&result(model));
            assert!(error <= 1e-14, "{file}: {error:e}");
        }
    }
}

#[test]
fn refinement_brings_a_spoilt_answer_back() {
    let model = load(&read("reference/models/front-links-005.json")).base;
    let prepared = prepare(&model, Purpose::Statics).unwrap();
    let response = respond(&model, &prepared, |_| true).unwrap();
    let system = &prepared.system;
    for case in &response.cases {
        let right = DMatrix::from_column_slice(system.matrix.n(), 1, case.right.unknowns.as_slice());
        let mut x = right.clone();
        prepared.solved.factor.solve(&mut x);
        x *= 1.0 + 1e-7;
        let spoilt = backward_error(&system.matrix, &x, &right).0[0];
        let refined = prepared.solved.refined(system, x, &right).1[0];
        assert!(spoilt > 1e-9 && refined <= 1e-14, "{}: {spoilt:e} before, {refined:e} after", case.name);
    }
}
