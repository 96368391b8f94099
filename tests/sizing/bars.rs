//! A truss of its own: dense matrices, mm, N, kg; it shares no code with the solver or the search.
//!
//! Reads a reference file of a published truss. Its model file has a follower for each component of a movement that is
//! limited: "node 1 x". A plane truss of the source lies in x and z there.

use nalgebra::{DMatrix, DVector};
use serde_json::Value;

struct Bar {
    row: DVector<f64>,
    length: f64,
    group: usize,
}

/// The truss.
pub(super) struct Truss {
    firsts: Vec<(String, [Option<usize>; 3])>,
    bars: Vec<Bar>,
    pub(super) groups: Vec<String>,
    areas: Vec<(String, f64)>,
    e: f64,
    density: f64,
    stress: f64,
    /// A bar may be pushed with k E A / L² of stress.
    euler_factor: f64,
    cases: Vec<(String, DVector<f64>)>,
    /// Node, axis of the source, limit.
    moves: Vec<(usize, usize, f64)>,
    n: usize,
}

fn number(value: &Value) -> f64 {
    value.as_f64().unwrap()
}

fn texts(value: &Value) -> Vec<String> {
    value.as_array().unwrap().iter().map(|text| text.as_str().unwrap().to_owned()).collect()
}

impl Truss {
    pub(super) fn read(file: &Value) -> Self {
        let units = &file["units"];
        let factor = |unit: &str| match unit {
            "mm" | "mm^2" | "MPa" | "N" | "kg/mm^3" => 1.0,
            "in" => 25.4,
            "in^2" => 25.4 * 25.4,
            "ksi" => 6.894_757_293_168,
            "kip" => 4_448.221_615_260_5,
            "lbf/in^3" => 0.453_592_37 / 25.4_f64.powi(3),
            other => panic!("a unit {other}"),
        };
        let of = |what: &str| factor(units[what].as_str().unwrap());
        let (length, force, stress) = (of("length"), of("force"), of("stress"));
        let places = file["nodes"].as_object().unwrap();
        let dims = places.values().next().unwrap().as_array().unwrap().len();
        let mut n = 0;
        let firsts: Vec<(String, [Option<usize>; 3])> = places
            .keys()
            .map(|name| {
                let held = file["supports"].get(name).map(texts).unwrap_or_default();
                let of_axis = |axis: usize| {
                    let is_free = axis < dims && !held.iter().any(|held| held == ["x", "y", "z"][axis]);
                    n += usize::from(is_free);
                    is_free.then(|| n - 1)
                };
                (name.clone(), [0, 1, 2].map(of_axis))
            })
            .collect();
        let groups: Vec<String> = file["groups"].as_object().unwrap().keys().cloned().collect();
        let node = |name: &str| firsts.iter().position(|(known, _)| known == name).unwrap();
        let members = file["members"].as_object().unwrap();
        let bars = members.iter().map(|(name, ends)| {
            let ends = texts(ends);
            let at = |end: usize, axis: usize| number(&places[&ends[end]][axis]) * length;
            let along: Vec<f64> = (0..dims).map(|axis| at(1, axis) - at(0, axis)).collect();
            let long = along.iter().map(|part| part * part).sum::<f64>().sqrt();
            let mut row = DVector::zeros(n);
            for (end, sign) in [(0, -1.0), (1, 1.0)] {
                for (axis, part) in along.iter().enumerate() {
                    if let Some(at) = firsts[node(&ends[end])].1[axis] {
                        row[at] += sign * part / long;
                    }
                }
            }
            let holds = |group: &String| texts(&file["groups"][group]).contains(name);
            Bar { row, length: long, group: groups.iter().position(holds).unwrap() }
        });
        let bars: Vec<Bar> = bars.collect();
        let cases = file["cases"].as_object().unwrap().iter().map(|(name, loads)| {
            let mut load = DVector::zeros(n);
            for (at, parts) in loads.as_object().unwrap() {
                for axis in 0..dims {
                    firsts[node(at)].1[axis].into_iter().for_each(|row| load[row] += number(&parts[axis]) * force);
                }
            }
            (format!("case {name}"), load)
        });
        let cases = cases.collect();
        let mut moves = Vec::new();
        for limit in file["limits"]["displacement"].as_array().into_iter().flatten() {
            let nodes = if limit["nodes"] == "all" { places.keys().cloned().collect() } else { texts(&limit["nodes"]) };
            for name in nodes {
                for axis in texts(&limit["directions"]) {
                    let axis = ["x", "y", "z"].iter().position(|known| *known == axis).unwrap();
                    if firsts[node(&name)].1[axis].is_some() {
                        moves.push((node(&name), axis, number(&limit["limit"]) * length));
                    }
                }
            }
        }
        let list = file["sizes"]["list"].as_array().unwrap().iter();
        Self {
            bars,
            groups: groups.iter().map(|name| format!("group {name}")).collect(),
            areas: list.map(|area| (format!("{}", number(area)), number(area) * of("area"))).collect(),
            e: number(&file["material"]["e"]) * stress,
            density: number(&file["material"]["density"]) * of("density"),
            stress: number(&file["limits"]["stress_tension"]) * stress,
            euler_factor: file["limits"]["euler_factor"].as_f64().unwrap_or(f64::INFINITY),
            cases,
            moves,
            firsts,
            n,
        }
    }

    fn stiffness(&self, areas: &[f64]) -> DMatrix<f64> {
        let mut k = DMatrix::zeros(self.n, self.n);
        for bar in &self.bars {
            k.ger(self.e * areas[bar.group] / bar.length, &bar.row, &bar.row, 1.0);
        }
        k
    }

    /// The place of a size in the list.
    pub(super) fn section(&self, name: &str) -> usize {
        self.areas.iter().position(|(known, _)| known == name).unwrap()
    }

    /// Mass of a group in a size, kg.
    pub(super) fn mass(&self, group: usize, section: usize) -> f64 {
        let own = self.bars.iter().filter(|bar| bar.group == group);
        own.map(|bar| bar.length * self.areas[section].1 * self.density).sum()
    }

    /// The largest of all that is limited, over its limit.
    pub(super) fn worst(&self, design: &[usize]) -> f64 {
        let areas: Vec<f64> = design.iter().map(|size| self.areas[*size].1).collect();
        let factor = self.stiffness(&areas).cholesky().unwrap();
        let mut worst: f64 = 0.0;
        for (_, load) in &self.cases {
            let u = factor.solve(load);
            for (node, axis, limit) in &self.moves {
                worst = worst.max(u[self.firsts[*node].1[*axis].unwrap()].abs() / limit);
            }
            for bar in &self.bars {
                let stress = self.e * bar.row.dot(&u) / bar.length;
                let euler = self.euler_factor * self.e * areas[bar.group] / bar.length.powi(2);
                worst = worst.max(stress.abs() / self.stress).max(-stress / euler);
            }
        }
        worst
    }
}
