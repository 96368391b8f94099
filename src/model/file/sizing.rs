//! The shape of `sizing`.

use crate::record;
use crate::source::Named;

record! {
    /// Which tube sizes a search may choose from, for which tubes of the frame.
    Sizing {
        /// Name to the members that get one size together. A member that no group names is a group of its own, with
        /// its mirror twin.
        groups: Named<Vec<String>> = Named::new(),
        /// Names of the tube sizes to choose from.
        stock: Vec<String>,
        /// Members that stay as they are drawn. Tubes of corners always do.
        keep: Vec<String> = Vec::new(),
    }
}
