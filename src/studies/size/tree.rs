//! The tree of boxes: how all designs were cut up, and why each part is closed.

use super::cut::Used;
use super::trial::Fails;
use super::truss::{Dual, Narrowed};

/// Why a box is closed.
#[derive(Debug, Clone, PartialEq)]
pub enum Closed {
    /// Its lightest design is not lighter than the best.
    Heavier,
    /// Cuts say that no lighter design of it is within its limits.
    Cuts(Vec<Used>),
    /// The dual of a linear program says so.
    Program(Box<Dual>),
    /// The stretch of some tube has no range left.
    Empty,
    /// It is one design, which does not do.
    Fails(Box<Fails>),
    /// It is one design, which passes: the best, when it was found.
    Passes,
}

/// A box.
#[derive(Debug, Clone, PartialEq)]
pub enum Node {
    /// Not looked at to the end.
    Open,
    /// Closed.
    Closed(Closed),
    /// Cut in two: the group, the sizes that each part leaves it, and the places of both.
    Split(usize, [u128; 2], [usize; 2]),
}

/// All boxes; the first holds all designs.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Tree {
    /// The boxes.
    pub(super) nodes: Vec<Node>,
    /// In which box which stretches were narrowed, in that order.
    pub(super) narrowed: Vec<(usize, Vec<Narrowed>)>,
}

impl Tree {
    /// One open box.
    pub(super) fn new() -> Self {
        Self { nodes: vec![Node::Open], narrowed: Vec::new() }
    }

    /// Keeps what was narrowed in a box.
    pub(super) fn narrow(&mut self, node: usize, narrowed: Vec<Narrowed>) {
        if !narrowed.is_empty() {
            self.narrowed.push((node, narrowed));
        }
    }

    /// Closes a box.
    pub(super) fn close(&mut self, node: usize, closed: Closed) {
        self.nodes[node] = Node::Closed(closed);
    }

    /// Cuts a box in two by the sizes of a group; gives the places of both.
    pub(super) fn split(&mut self, node: usize, group: usize, sets: [u128; 2]) -> [usize; 2] {
        let places = [self.nodes.len(), self.nodes.len() + 1];
        self.nodes.extend([Node::Open, Node::Open]);
        self.nodes[node] = Node::Split(group, sets, places);
        places
    }
}
