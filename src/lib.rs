//! crossbrace judges the tube frame that holds a competition car's wheels on, before metal is cut.
//!
//! The way through the house, each room using those before it:
//!
//! 1. [`source`] reads text into a tree whose every value knows its place.
//! 2. [`model`] makes of it nodes, tubes, mounts, the car and its cases, or tells all that is wrong.
//! 3. [`car`] works out what every tyre carries and what a corner is made of.
//! 4. [`structure`] takes the model apart: rigid parts, pieces of tube, ties, springs, unknowns.
//! 5. [`loads`] turns a case into named contributions.
//! 6. [`solve`] assembles, solves, recovers forces, and says how accurate they are or what is loose.
//! 7. [`modes`] tells at how many times its load the frame buckles, and how it vibrates.
//! 8. [`checks`] holds demand against capacity, with [`beam`] and [`section`] below it.
//! 9. [`run`] is the one way from a model to findings; [`studies`] runs many.
//! 10. [`report`] tells them: terminal, JSON, CSV, drawing sheets, a page. [`cli`] opens the files.
//!
//! Beside that way, [`exchange`] takes points and lines from other programs into a model's text.
//!
//! ```
//! use crossbrace::{model, run, source::Document};
//!
//! let text = r#"{
//!     "format": 1,
//!     "tubes": {"tube": {"round": {"od": 38, "wall": 2}, "material": "E235+N"}},
//!     "nodes": {"wall": [0, 0, 500], "tip": [800, 0, 500]},
//!     "members": {"arm": {"ends": ["wall", "tip"], "tube": "tube"}},
//!     "mounts": {"wall": "bolted pad"},
//!     "cases": {"hanging": {"forces": {"tip": [0, 0, -300]}}}
//! }"#;
//! let document = Document::read(text.into()).expect("this is JSON");
//! let model = model::load(&document).expect("this is a model");
//! let checked = run::check(&model, |_| true).expect("nothing is loose");
//!
//! assert!(checked.verdict.passes());
//! let tip = &checked.outcome.cases["hanging"].nodes["tip"];
//! assert!((tip.move_mm.z + 6.66).abs() < 0.01); // F L³/3EI + F L/kAG
//! ```

pub mod beam;
pub mod car;
pub mod checks;
pub mod cli;
pub mod exchange;
pub mod loads;
pub mod math;
pub mod model;
pub mod modes;
pub mod proof;
pub mod report;
pub mod run;
pub mod section;
pub mod solve;
pub mod source;
pub mod space;
pub mod structure;
pub mod studies;
pub mod units;
