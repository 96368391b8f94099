//! Numbers without mechanics: sparse symmetric systems, roots, small linear algebra.
//!
//! Reads patterns and matrices; gives factorisations behind one small trait ([`Engine`], [`Plan`],
//! [`Factor`]), eigenpairs, low-rank corrections, condition estimates, real roots, largest values round a circle, null spaces, the largest of values. Names nothing
//! of frames.

mod arithmetic;
mod chance;
mod eigen;
mod eigenpairs;
mod elimination;
mod equal;
mod growing;
mod harmonics;
mod interval;
mod low_rank;
mod near;
mod null_space;
mod products;
mod roots;
mod sparse;
mod turning;

pub use chance::{Chance, chance, explained, quantile};
pub use eigen::{symmetric_eigen, symmetric_eigenvalues};
pub use eigenpairs::{Pairs, Search, largest_pairs};
pub use elimination::{Elimination, eliminate};
pub use equal::{larger_than, largest, largest_first};
pub use growing::{Growing, GrowingPart, Keep, Seen, Table, Walk};
pub use harmonics::{Harmonic, largest_round};
pub use interval::{Interval, Sloped};
pub use low_rank::lessened;
pub use near::assert_near;
pub use null_space::{column_space, null_space};
pub use products::{congruence, matrix_product, product, product_of_sizes};
pub use roots::real_roots;
pub use sparse::{
    BLOCK, Block, BlockEngine, BlockPattern, ChosenEngine, Engine, Factor, FaerEngine, NoPivot, NotPositive, Plan,
    SymmetricMatrix, inverse_norm_1,
};
pub use turning::{MOST_TURN, SAMPLES, STEP, Turning, samples};
