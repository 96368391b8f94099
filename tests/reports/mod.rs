//! One model through every format.

mod plots;
mod svg;
mod told;
