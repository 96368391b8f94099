//! crossbrace: from a tube frame and the car around it to a verdict.
pub mod beam;
pub mod math;
pub mod model;
pub mod section;
pub mod source;
pub mod units;
