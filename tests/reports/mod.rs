//! One model through every format.

mod hand_check;
mod plots;
mod svg;
mod told;
