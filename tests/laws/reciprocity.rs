//! What one load moves at another's place is what the other moves at its own.
//!
//! Source: Betti (1872) and Maxwell (1864), as in any text on the theory of structures: of two sets
//! of loads on a linear elastic structure, each does the same work on the other's movements.

use nalgebra::Vector3;
use proptest::prelude::*;
use proptest::sample::Index;
use serde_json::{Value, json};

use super::frames::{Frame, frame};
use super::{Law, cases};
use crate::support::values::{entries, number, three, vector};

/// A load on a node, a bracket or a body.
#[derive(Debug, Clone)]
struct Unit {
    on: Index,
    along: Vector3<f64>,
    is_moment: bool,
}

fn unit() -> impl Strategy<Value = Unit> {
    (any::<Index>(), prop::array::uniform3(-1000..=1000), prop::bool::weighted(0.3)).prop_map(
        |(on, along, is_moment)| {
            let along = if along == [0; 3] { [1, 0, 0] } else { along };
            Unit { on, along: Vector3::from(along.map(f64::from)), is_moment }
        },
    )
}

impl Unit {
    fn case(&self, name: &str) -> Value {
        json!({ if self.is_moment { "moments" } else { "forces" }: { name: three(&self.along) } })
    }

    /// Its work on a movement (N·mm), and what that work is of: the load times the largest movement
    /// of the kind in the case.
    fn work(&self, case: &Value, name: &str) -> [f64; 2] {
        // N·m on degrees: 1000 N·mm on π/180 rad.
        let (key, size) = if self.is_moment { ("turn", 1000.0_f64.to_radians()) } else { ("move", 1.0) };
        let all = || entries(&case["nodes"]).iter().chain(entries(&case["bodies"]));
        let largest = all().map(|(_, moved)| vector(&moved[key]).norm()).fold(0.0, f64::max);
        let moved =
            all().find(|(other, _)| *other == name).map(|(_, moved)| vector(&moved[key])).expect("a target moves");
        [self.along.dot(&moved) * size, self.along.norm() * largest * size]
    }
}

fn each_moves_the_other_alike(frame: &Frame, units: &[Unit; 2]) -> Law {
    let sections = ["nodes", "brackets", "bodies"];
    let targets: Vec<&String> = sections.into_iter().flat_map(|section| entries(&frame.0[section]).keys()).collect();
    let names = units.each_ref().map(|unit| targets[unit.on.index(targets.len())].as_str());
    let mut model = frame.0.clone();
    model["cases"] = json!({ "one": units[0].case(names[0]), "other": units[1].case(names[1]) });
    let result = Frame(model).solved_or_passed_over()?;
    let (one, other) = (&result["cases"]["one"], &result["cases"]["other"]);
    let error = number(&one["accuracy"]["error"]) + number(&other["accuracy"]["error"]);
    let ([forth, size], [back, size_back]) = (units[0].work(other, names[0]), units[1].work(one, names[1]));
    let largest = size.max(size_back).max(1e-6);
    prop_assert!((forth - back).abs() <= (1e-9 + error) * largest, "{forth} and {back} N·mm of {largest}: {units:?}");
    Ok(())
}

proptest! {
    #![proptest_config(cases(128))]

    #[test]
    fn two_loads_do_the_same_work_on_each_other_s_movements(frame in frame(), units in [unit(), unit()]) {
        each_moves_the_other_alike(&frame, &units)?;
    }
}
