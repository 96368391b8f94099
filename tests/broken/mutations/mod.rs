//! Sound models with something in them damaged at random: nothing may make the program panic.
//!
//! What each number of a run damages is the same on every machine. `CROSSBRACE_MUTATIONS=25000` runs
//! so many of each kind. The fuzz targets in `tests/fuzz` damage and follow texts with the same code.

mod bytes;
mod chance;
mod follow;
mod structure;

use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::LazyLock;

use crate::support::{read, repository_file};
use chance::Chance;
use follow::{Came, follow};

/// Texts of sound models, the smallest first.
static MODELS: LazyLock<Vec<String>> = LazyLock::new(|| {
    let demo = |name| std::fs::read_to_string(repository_file(name)).unwrap();
    vec![
        demo("models/cantilever.json"),
        demo("models/portal.json"),
        read("models/stand.json"),
        read("models/car.json"),
        demo("models/hillclimb-front-subframe.json"),
    ]
});

/// How many mutations are run: so many, or as the environment says.
fn count(usual: u64) -> u64 {
    std::env::var("CROSSBRACE_MUTATIONS").map_or(usual, |text| text.parse().expect("CROSSBRACE_MUTATIONS is a number"))
}

/// Runs mutations, keeps the text of each that goes wrong, and counts how far they came.
fn run(kind: &str, usual: u64, mutate: impl Fn(&str, &mut Chance) -> Vec<u8>) -> [u64; 3] {
    let mut came = [0; 3];
    let mut wrong = Vec::new();
    for number in 0..count(usual) {
        let chance = &mut Chance::new(number);
        let model = &MODELS[chance.below(MODELS.len())];
        let text = mutate(model, chance);
        match catch_unwind(AssertUnwindSafe(|| follow(text.clone()))) {
            Ok(how_far) => came[how_far as usize] += 1,
            Err(_) => {
                let file = format!("{}/mutated-{kind}-{number}.json", env!("CARGO_TARGET_TMPDIR"));
                std::fs::write(&file, text).unwrap();
                wrong.push(file);
            }
        }
    }
    assert!(wrong.is_empty(), "{} mutations went wrong, each told above: {wrong:#?}", wrong.len());
    came
}

#[test]
fn the_models_that_are_damaged_here_are_sound() {
    for model in MODELS.iter() {
        assert_eq!(follow(model.clone().into_bytes()), Came::Solved);
    }
}

#[test]
fn bytes_damaged_at_random_are_told_or_judged_and_never_panic() {
    let came = run("bytes", 2000, bytes::mutate);
    println!("bytes: {came:?} refused, not solved, solved");
    assert!(came.iter().all(|count| *count > 0), "{came:?}: the damage is all of one sort");
}

#[test]
fn structure_damaged_at_random_is_told_or_judged_and_never_panics() {
    let came = run("structure", 600, structure::mutate);
    println!("structure: {came:?} refused, not solved, solved");
    assert!(came.iter().all(|count| *count > 0), "{came:?}: the damage is all of one sort");
}
