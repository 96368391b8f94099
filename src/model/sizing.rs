//! Which sizes a search may choose from, and for which tubes.

use crate::source::Named;

/// Groups of members that get one size each, and the sizes.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sizing {
    /// Name of each group to its members, indices into [`Model::members`](super::Model::members).
    pub groups: Named<Vec<usize>>,
    /// The sizes to choose from, indices into [`Model::tubes`](super::Model::tubes), as the file lists them.
    pub stock: Vec<usize>,
}
