//! Every subset of some tubes of random frames and cars, each from the one before it.

use std::ops::ControlFlow;

use crossbrace::math::{Keep, Seen};
use crossbrace::solve::{Readouts, Subsets};
use nalgebra::{DMatrix, DVector};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::strategy::ValueTree;
use proptest::test_runner::{Config, RngAlgorithm, TestRng, TestRunner};

use super::{Differences, model_of, names, solved};
use crate::laws::cars::car;
use crate::laws::frames::{Frame, frame};
use crate::support::values::entries;

/// A frame with its candidates: members that nothing stands on.
struct Trial {
    frame: Frame,
    /// Of each candidate the member of the text.
    members: Vec<String>,
    subsets: Subsets,
}

impl Trial {
    fn new(frame: &Frame, which: &[Index]) -> Option<Trial> {
        let whole = model_of(&frame.0)?;
        let (prepared, sides) = solved(&whole)?;
        let all = names(&whole, &prepared);
        let known: Vec<String> = entries(&frame.0["members"]).keys().cloned().collect();
        let mut members: Vec<String> = Vec::new();
        for index in which {
            let member = &known[index.index(known.len())];
            let mut text = frame.0.clone();
            super::changes::without(&mut text, member);
            if !members.contains(member) && model_of(&text).is_some() {
                members.push(member.clone());
            }
        }
        let tubes_of = |member: &String| -> Vec<usize> {
            all.iter().enumerate().filter(|(_, name)| super::changes::is_of(name, member)).map(|(at, _)| at).collect()
        };
        let candidates: Vec<Vec<usize>> = members.iter().map(tubes_of).collect();
        let readouts = Readouts::all(&prepared.system, &candidates);
        let subsets = Subsets::new(prepared.system, &candidates, &sides, readouts);
        Some(Trial { frame: frame.clone(), members, subsets })
    }

    /// How far a set is from a whole new solution; `None` where that does not stand well.
    fn differs(&self, set: &[usize], seen: Seen<'_>) -> Option<f64> {
        let mut text = self.frame.0.clone();
        for (at, member) in self.members.iter().enumerate() {
            if !set.contains(&at) {
                super::changes::without(&mut text, member);
            }
        }
        let model = model_of(&text)?;
        let (fresh, sides) = solved(&model)?;
        let Seen::Table(table) = seen else {
            // The turn of a node that only the set holds is held in a numbering of its own.
            assert!(!fresh.held.is_empty(), "{set:?} stands, and was not found to: {:?}", self.frame);
            return None;
        };
        let reading = self.subsets.reading(table);
        let structure = &self.subsets.system().structure;
        let whole = model_of(&self.frame.0)?;
        let mut worst: f64 = 0.0;
        for (case, side) in sides.iter().enumerate() {
            let right = DMatrix::from_columns(std::slice::from_ref(&side.unknowns));
            let (x, _) = fresh.solved.unknowns(&fresh.system, &right);
            let unknowns: DVector<f64> = x.column(0).into_owned();
            let state = fresh.system.state(side, &unknowns);
            let mut differences = Differences::default();
            for (part, motions) in state.parts.iter().enumerate() {
                differences.add_motions(&reading.motion(part, case), motions);
            }
            for (at, tube) in fresh.system.structure.tubes.iter().enumerate() {
                let name = fresh.system.structure.tube_name(&model, at);
                let drawn = (0..structure.tubes.len()).find(|at| structure.tube_name(&whole, *at) == name).unwrap();
                for (one, other) in structure.tubes[drawn].pieces.clone().zip(tube.pieces.clone()) {
                    differences.add_forces(&reading.diagram(one, case), &state.pieces[other].diagram);
                }
            }
            worst = worst.max(differences.worst(&state.least));
        }
        Some(worst)
    }
}

/// So many trials, always the same.
fn trials(count: usize, seed: u8) -> Vec<Trial> {
    let rng = TestRng::from_seed(RngAlgorithm::ChaCha, &[seed; 32]);
    let mut runner = TestRunner::new_with_rng(Config::default(), rng);
    let strategy = (prop_oneof![3 => frame(), 1 => car()], prop::collection::vec(any::<Index>(), 4..=5));
    let mut found = Vec::new();
    while found.len() < count {
        let (frame, which) = strategy.new_tree(&mut runner).expect("no draw is filtered out").current();
        found.extend(Trial::new(&frame, &which));
    }
    found
}

#[test]
fn every_subset_of_tubes_of_random_frames_and_cars_is_what_a_whole_new_solution_gives_to_1e_8() {
    let (mut compared, mut not_alone) = (0, 0);
    let mut worst: f64 = 0.0;
    for trial in trials(80, 3) {
        not_alone += usize::from(!trial.subsets.stands_alone());
        let mut sets = 0;
        let walked = trial.subsets.walk(Keep::All).each(&[], 0, &mut |set, seen| {
            sets += 1;
            if let Some(differs) = trial.differs(set, seen) {
                assert!(differs <= 1e-8, "{differs:e} with {set:?} of {:?}: {:?}", trial.members, trial.frame);
                worst = worst.max(differs);
                compared += 1;
            }
            ControlFlow::Continue(())
        });
        assert!(walked.is_continue() && sets == 1 << trial.members.len(), "every subset is seen once");
    }
    assert!(compared > 500, "only {compared} could be compared");
    assert!(not_alone > 5, "only {not_alone} of the frames needed some of their candidates to stand");
    println!("{worst:e} at worst of {compared}; {not_alone} did not stand alone");
}

#[test]
fn subsets_seen_from_some_that_are_there_are_the_same_to_the_last_bit_as_those_of_the_whole_walk() {
    for trial in trials(10, 5) {
        if trial.members.len() < 2 {
            continue;
        }
        let bits = |seen: Seen<'_>| match seen {
            Seen::Table(table) => {
                let rows = 0..trial.subsets.n_rows();
                rows.map(|row| table.read(row, 0).to_bits()).collect::<Vec<u64>>()
            }
            Seen::Maxima(_) | Seen::Nothing => Vec::new(),
        };
        let mut whole: Vec<(Vec<usize>, Vec<u64>)> = Vec::new();
        let walk = trial.subsets.walk(Keep::All);
        let _ = walk.each(&[], 0, &mut |set, seen| {
            whole.push((set.to_vec(), bits(seen)));
            ControlFlow::Continue(())
        });
        let mut count = 0;
        for with in [vec![], vec![0], vec![1], vec![0, 1]] {
            let _ = walk.each(&with, 2, &mut |set, seen| {
                let (_, known) = whole.iter().find(|(other, _)| other == set).unwrap();
                assert!(*known == bits(seen), "{set:?}");
                count += 1;
                ControlFlow::Continue(())
            });
        }
        assert_eq!(count, whole.len());
    }
}

#[test]
fn maxima_are_those_of_the_tables() {
    for trial in trials(10, 9) {
        let rows = trial.subsets.n_rows();
        let mut of_tables: Vec<Vec<f64>> = Vec::new();
        let sides = trial.subsets.n_sides();
        let _ = trial.subsets.walk(Keep::All).each(&[], 0, &mut |_, seen| {
            of_tables.push(match seen {
                Seen::Table(table) => (0..rows)
                    .map(|row| (0..sides).map(|side| table.read(row, side).abs()).fold(0.0, f64::max))
                    .collect(),
                Seen::Maxima(_) | Seen::Nothing => Vec::new(),
            });
            ControlFlow::Continue(())
        });
        let mut next = of_tables.iter();
        let _ = trial.subsets.walk(Keep::Maxima).each(&[], 0, &mut |set, seen| {
            let expected = next.next().unwrap();
            match seen {
                Seen::Maxima(maxima) => assert!(maxima[..rows] == expected[..], "{set:?}"),
                Seen::Table(_) => panic!("only maxima were asked for"),
                Seen::Nothing => assert!(expected.is_empty(), "{set:?}"),
            }
            ControlFlow::Continue(())
        });
        assert!(next.next().is_none(), "both walks see as many sets");
    }
}

#[test]
fn a_walk_that_is_told_to_end_ends() {
    let trial = trials(1, 1).remove(0);
    let mut seen = 0;
    let walked = trial.subsets.walk(Keep::Maxima).each(&[], 0, &mut |_, _| {
        seen += 1;
        if seen == 3 { ControlFlow::Break(()) } else { ControlFlow::Continue(()) }
    });
    assert!(walked.is_break());
    assert_eq!(seen, 3);
}
