//! The tree of subsets: each set from the one without its last part.

use std::ops::ControlFlow;

use pulp::Arch;

use super::step::{Scratch, Step};
use super::{Growing, Table, ZERO};

/// What a walk shows of a set of parts.
#[derive(Debug, Clone, Copy)]
pub enum Seen<'t> {
    /// All read-outs under all right sides.
    Table(&'t Table),
    /// The largest magnitude of each read-out under any right side.
    Maxima(&'t [f64]),
    /// The system does not stand with these parts alone, or hardly, and has no answer here.
    Nothing,
}

/// What a walk keeps of each set.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Keep {
    /// Everything.
    All,
    /// The largest magnitude of each row; quicker, since most sets are never written down.
    Maxima,
}

/// Where a walk goes, and what makes a table where none can be had from that of a smaller set.
pub struct Walk<'w, F, A> {
    /// The shape.
    pub growing: &'w Growing,
    /// The table without any part; `None` where the system does not stand so.
    pub root: Option<&'w Table>,
    /// The table of a set of parts, open from a part on; `None` where it does not stand.
    pub afresh: F,
    /// Whether a set may be; where it may not, its supersets may not either.
    pub allows: A,
    /// Most parts of a set.
    pub most: usize,
    /// What is kept.
    pub keep: Keep,
}

impl<F: Fn(&[usize], usize) -> Option<Table>, A: Fn(&[usize]) -> bool> Walk<'_, F, A> {
    /// Shows every set that may be, of all of `with` and any parts from `from` on, once, in the order of words in a
    /// dictionary. Ends early where it is told to.
    ///
    /// # Panics
    /// Where `with` is not rising, or reaches beyond `from`.
    pub fn each(
        &self,
        with: &[usize],
        from: usize,
        see: &mut impl FnMut(&[usize], Seen<'_>) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        assert!(with.windows(2).all(|two| two[0] < two[1]), "parts are named in their order");
        assert!(with.iter().all(|part| *part < from), "parts that are there come before those that may");
        let mut levels = Levels { tables: Vec::new(), scratch: Scratch::default() };
        levels.tables.resize_with(self.growing.n_parts() + 1, || None);
        let mut set: Vec<usize> = Vec::with_capacity(self.growing.n_parts());
        if with.len() > self.most || !(self.allows)(with) {
            return ControlFlow::Continue(());
        }
        let table = self.table_of(with);
        set.extend_from_slice(with);
        let maxima = table.as_ref().map(|table| maxima(self.growing, table));
        match (&table, &maxima, self.keep) {
            (Some(table), _, Keep::All) => see(&set, Seen::Table(table))?,
            (_, Some(maxima), Keep::Maxima) => see(&set, Seen::Maxima(maxima))?,
            _ => see(&set, Seen::Nothing)?,
        }
        levels.tables[0] = table;
        self.below(0, &mut set, from, &mut levels, see)
    }

    /// All sets that add to the one of a level parts from `from` on.
    fn below(
        &self,
        level: usize,
        set: &mut Vec<usize>,
        from: usize,
        levels: &mut Levels,
        see: &mut impl FnMut(&[usize], Seen<'_>) -> ControlFlow<()>,
    ) -> ControlFlow<()> {
        let n = self.growing.n_parts();
        for part in from..n {
            if set.len() == self.most {
                break;
            }
            set.push(part);
            if !(self.allows)(set) {
                set.pop();
                continue;
            }
            // What is not added to keeps no columns open.
            let open = if set.len() == self.most { n } else { part + 1 };
            let is_last = open == n;
            let (parents, children) = levels.tables.split_at_mut(level + 1);
            let (parent, child) = (parents[level].as_ref(), &mut children[0]);
            let wants_maxima = self.keep == Keep::Maxima;
            let only_maxima = is_last && wants_maxima;
            let done = parent.is_some_and(|from| {
                let to = (!only_maxima).then(|| reused(child, self.growing, open));
                let scratch = &mut levels.scratch;
                Arch::new().dispatch(Step { growing: self.growing, part, from, to, wants_maxima, scratch })
            });
            if !done {
                *child = (self.afresh)(set, open);
                if let (Some(table), true) = (&child, wants_maxima) {
                    levels.scratch.maxima = maxima(self.growing, table);
                }
            }
            let seen = match child {
                _ if wants_maxima && (done || child.is_some()) => Seen::Maxima(&levels.scratch.maxima),
                Some(table) => Seen::Table(table),
                None => Seen::Nothing,
            };
            see(set, seen)?;
            if !is_last {
                self.below(level + 1, set, part + 1, levels, see)?;
            }
            set.pop();
        }
        ControlFlow::Continue(())
    }

    /// The table of one set, its parts added one by one.
    pub fn table_of(&self, set: &[usize]) -> Option<Table> {
        let mut scratch = Scratch::default();
        (1..=set.len()).fold(self.root.cloned(), |table, count| self.grown(table.as_ref(), &set[..count], &mut scratch))
    }

    /// The table of a set from that without its last part, or afresh.
    fn grown(&self, from: Option<&Table>, set: &[usize], scratch: &mut Scratch) -> Option<Table> {
        let part = *set.last()?;
        if let Some(from) = from {
            let mut to = self.growing.empty(part + 1);
            let step = Step { growing: self.growing, part, from, to: Some(&mut to), wants_maxima: false, scratch };
            if Arch::new().dispatch(step) {
                return Some(to);
            }
        }
        (self.afresh)(set, part + 1)
    }
}

/// One table for each size of set, kept from set to set.
struct Levels {
    tables: Vec<Option<Table>>,
    scratch: Scratch,
}

/// A table to be overwritten, open from a part on.
fn reused<'t>(table: &'t mut Option<Table>, growing: &Growing, open: usize) -> &'t mut Table {
    let columns = growing.columns(open);
    let table = table.get_or_insert_with(|| Table { columns, open, strips: Vec::new() });
    (table.columns, table.open) = (columns, open);
    // Only ever longer: what is beyond its columns is not looked at.
    if table.strips.len() < growing.panels() * columns {
        table.strips.resize(growing.panels() * columns, ZERO);
    }
    table
}

/// The largest magnitude of each row under any right side.
fn maxima(growing: &Growing, table: &Table) -> Vec<f64> {
    let of_row = |row: usize| (0..growing.sides).map(|side| table.at(row, side).abs()).fold(0.0, f64::max);
    (0..growing.rows[growing.parts.len()]).map(of_row).collect()
}
