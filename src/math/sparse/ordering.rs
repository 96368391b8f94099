//! In which order blocks are eliminated.

use faer::dyn_stack::{MemBuffer, MemStack};
use faer::sparse::SymbolicSparseColMatRef;
use faer::sparse::linalg::amd;

use super::pattern::BlockPattern;

/// Order of elimination of the blocks: approximate minimum degree on their graph.
///
/// Source: Amestoy, Davis and Duff, SIAM J. Matrix Anal. Appl. 17 (1996), as the faer library has it.
pub(super) fn minimum_degree(pattern: &BlockPattern) -> Vec<usize> {
    let n = pattern.n_blocks();
    let graph = SymbolicSparseColMatRef::new_checked(n, n, pattern.starts(), None, pattern.indices());
    let (mut forward, mut inverse) = (vec![0; n], vec![0; n]);
    let scratch = amd::order_maybe_unsorted_scratch::<usize>(n, pattern.indices().len());
    let mut memory = MemBuffer::new(scratch);
    amd::order_maybe_unsorted(&mut forward, &mut inverse, graph, amd::Control::default(), MemStack::new(&mut memory))
        .expect("the order of a valid graph fails only when memory is exhausted");
    forward
}
