//! crossbrace: from a tube frame and the car around it to a verdict.
pub mod beam;
pub mod car;
pub mod checks;
pub mod cli;
pub mod loads;
pub mod math;
pub mod model;
pub mod report;
pub mod run;
pub mod section;
pub mod solve;
pub mod source;
pub mod space;
pub mod structure;
pub mod studies;
pub mod units;
