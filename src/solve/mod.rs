//! Assembly, displacements, forces along tubes and in mounts, accuracy, mechanisms.
//!
//! Reads a structure, its numbering and the loads of cases. Gives a [`System`] that is factorised
//! once, and for each right side a [`State`]: motions of all parts, forces at the ends of all
//! pieces, forces in ties and springs, and how accurate they are. Leaves out allowables.

mod accuracy;
mod assemble;
mod assortment;
mod balance;
mod changed;
mod cut;
mod graded;
mod mechanism;
mod recover;
mod state;
mod statics;
mod subsets;
mod virtual_work;
mod without;

pub use accuracy::{Accuracy, TOO_INACCURATE, backward_error, condition, error_bound};
pub use assemble::{PieceStiffness, RightSide, System};
pub use assortment::{Answer, Assortment, Differences, TwoForce};
pub use changed::{Base, Change, ChangedAnswer, Route};
pub use graded::{Floor, Graded};
pub use mechanism::{Loose, Mechanism, Motion, held_spins, loose};
pub use state::{PieceState, RoundOff, State};
pub use statics::{Solved, solve};
pub use subsets::{Reading, Readouts, Subsets};
pub use virtual_work::Work;
pub use without::{Left, Losses, Without};
