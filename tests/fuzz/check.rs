//! Fuzz target: any model is checked, told and drawn, or told what is wrong with it.
//!
//! Half of the mutations are the fuzzer's own, of bytes; half are those of the tests, of structure.
#![no_main]

#[path = "../broken/mutations/chance.rs"]
mod chance;
#[path = "../broken/mutations/follow.rs"]
mod follow;
#[path = "../broken/mutations/structure.rs"]
mod structure;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};

fuzz_target!(|bytes: &[u8]| {
    follow::follow(bytes.to_vec());
});

fuzz_mutator!(|data: &mut [u8], size: usize, most: usize, seed: u32| {
    let is_entries = |text: &&str| {
        let value = serde_json::from_str::<serde_json::Value>(text).ok();
        value.and_then(|value| Some(!value.as_object()?.is_empty())).unwrap_or(false)
    };
    let text = std::str::from_utf8(&data[..size]).ok().filter(|text| seed % 2 == 0 && is_entries(text));
    if let Some(text) = text {
        let mutated = structure::mutate(text, &mut chance::Chance::new(u64::from(seed)));
        if mutated.len() <= most {
            data[..mutated.len()].copy_from_slice(&mutated);
            return mutated.len();
        }
    }
    fuzzer_mutate(data, size, most)
});
