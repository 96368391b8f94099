//! Multiplication and addition in one, where the processor has it.

use pulp::Simd;

/// How a b + c is reckoned.
pub(super) trait Arithmetic: Copy {
    /// a b + c.
    fn add_product(self, a: f64, b: f64, c: f64) -> f64;
}

/// In one operation, rounded once.
#[derive(Clone, Copy)]
pub(super) struct Fused;

impl Arithmetic for Fused {
    #[inline(always)]
    fn add_product(self, a: f64, b: f64, c: f64) -> f64 {
        a.mul_add(b, c)
    }
}

/// In two operations: without the instruction, one would be a call of a library.
#[derive(Clone, Copy)]
pub(super) struct Plain;

impl Arithmetic for Plain {
    #[inline(always)]
    fn add_product(self, a: f64, b: f64, c: f64) -> f64 {
        a * b + c
    }
}

/// Whether the processor that was detected multiplies and adds in one.
pub(super) const fn fuses<S: Simd>() -> bool {
    S::F64_LANES > 1
}
