//! The text of a file, its values with their places, and what is wrong with them.
//!
//! Reads bytes; gives a tree ([`Document`]), types read from it ([`Read`]), and problems with
//! place, path and hint; writes JSON as a person would ([`laid_out`]). Names no mechanics and opens no file.

mod edit;
mod excerpt;
mod laid_out;
mod merge;
mod problem;
mod read;
mod tree;

pub use edit::{Edits, New};
pub use excerpt::{render, visible};
pub use laid_out::laid_out;
pub use merge::{contradiction, merge_patch};
pub use problem::{NearNames, Path, Problem, Step, choice, instead, line_and_column, name_list, nearest, sort};
pub use read::{
    Keyed, Named, Read, Reader, check_name, described, object_of, object_of_text, one_or_the_other, read_word,
};
pub use tree::{BYTE_ORDER_MARK, DEEPEST, Document, Entry, LARGEST_BYTES, MOST_VALUES, Node, Span, Value};
