//! A truss of its own: dense matrices, mm, N, kg; it shares no code with the solver or the search.
//!
//! Reads a reference file of a published truss. Its model file has a follower for each component of a movement that is
//! limited: "node 1 x". A plane truss of the source lies in x and z there.

use nalgebra::{DMatrix, DVector};
use serde_json::Value;

use super::certificate::{Own, Sets, names};

struct Bar {
    row: DVector<f64>,
    length: f64,
    group: usize,
}

/// The truss.
pub(super) struct Truss {
    dims: usize,
    firsts: Vec<(String, [Option<usize>; 3])>,
    bars: Vec<Bar>,
    bar_names: Vec<String>,
    groups: Vec<String>,
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

/// Of each case and bar, the least and the largest stretch.
pub(super) type Ranges = Vec<Vec<[f64; 2]>>;

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
        // Group by group, as a certificate has them.
        let mut bars: Vec<(String, Bar)> = members.keys().map(|name| format!("bar {name}")).zip(bars).collect();
        bars.sort_by_key(|(_, bar)| bar.group);
        let (bar_names, bars): (Vec<String>, Vec<Bar>) = bars.into_iter().unzip();
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
            dims,
            bars,
            bar_names,
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

    /// Compliance of the design with the least areas: no other moves further under its own load.
    fn softest(&self) -> DMatrix<f64> {
        let least = self.areas.iter().map(|(_, area)| *area).fold(f64::INFINITY, f64::min);
        self.stiffness(&vec![least; self.groups.len()]).cholesky().unwrap().inverse()
    }

    /// The bound that a dual shows (module `studies::size::truss`), for mass or for sign times a stretch.
    fn value(
        &self,
        dual: &Value,
        sets: &[Vec<usize>],
        ranges: &Ranges,
        stretch: Option<(usize, usize, f64, f64)>,
    ) -> Result<f64, String> {
        let softest = self.softest();
        let mass = number(&dual["mass"]);
        if mass < 0.0 || (stretch.is_none() && mass != 1.0) {
            return Err("a multiplier of mass".to_owned());
        }
        let mut sum = stretch.map_or(0.0, |(_, _, _, at_most)| -mass * at_most);
        let mut of_group: Vec<Vec<f64>> = sets
            .iter()
            .enumerate()
            .map(|(group, set)| set.iter().map(|size| mass * self.mass(group, *size)).collect())
            .collect();
        for (at, (case, load)) in self.cases.iter().enumerate() {
            let told = &dual["cases"][at];
            if told["case"] != **case {
                return Err("another case".to_owned());
            }
            let mut v = DVector::zeros(self.n);
            for (name, rows) in &self.firsts {
                let moved = &told["v"][format!("node {name}")];
                for axis in 0..self.dims {
                    if let (Some(row), true) = (rows[axis], moved.is_array()) {
                        v[row] = number(&moved[self.model_axis(axis)]);
                    }
                }
            }
            sum += v.dot(load);
            let mut out = DVector::zeros(self.n);
            for limit in told["limits"].as_array().unwrap() {
                let place = limit["where"].as_str().unwrap();
                let of = |(node, axis, _): &&(usize, usize, f64)| {
                    let axis = ["x", "y", "z"][self.model_axis(*axis)];
                    format!("node {} {axis}", self.firsts[*node].0) == place
                };
                let (node, axis, allowed) = self.moves.iter().find(of).ok_or("a limit that is none")?;
                let times = [0, 1].map(|sign| number(&limit["times"][sign]));
                if times.iter().any(|times| *times < 0.0) {
                    return Err("a multiplier below 0".to_owned());
                }
                // As much over its limit as still counts as within it.
                sum -= allowed * (1.0 + 1e-6) * (times[0] + times[1]);
                out[self.firsts[*node].1[*axis].unwrap()] += times[0] - times[1];
            }
            for (place, bar) in self.bars.iter().enumerate() {
                let w = number(&told["w"][place]);
                out -= &bar.row * w;
                let own = match stretch {
                    Some((case, one, sign, _)) if case == at && one == place => sign,
                    _ => 0.0,
                };
                let strain = bar.row.dot(&v);
                for (entry, size) in of_group[bar.group].iter_mut().zip(&sets[bar.group]) {
                    let area = self.areas[*size].1;
                    let per = w - self.e * area / bar.length * strain + own;
                    let ([low, high], [least, most]) = (ranges[at][place], self.allowed(bar, area));
                    let (low, high) = (low.max(least), high.min(most));
                    *entry += if low <= high { (per * low).min(per * high) } else { f64::INFINITY };
                }
            }
            let work = load.dot(&(&softest * load)).sqrt();
            sum -= (0..self.n).map(|row| out[row].abs() * softest[(row, row)].sqrt() * work).sum::<f64>();
        }
        Ok(sum + of_group.iter().map(|row| row.iter().copied().fold(f64::INFINITY, f64::min)).sum::<f64>())
    }

    /// The stretches of a bar that its strength and Euler allow: by as much more as still counts as within a limit.
    fn allowed(&self, bar: &Bar, area: f64) -> [f64; 2] {
        let per_stress = bar.length / self.e * (1.0 + 1e-6);
        let euler = self.euler_factor * self.e * area / bar.length.powi(2);
        [-self.stress.min(euler) * per_stress, self.stress * per_stress]
    }

    fn model_axis(&self, axis: usize) -> usize {
        if self.dims == 2 && axis == 1 { 2 } else { axis }
    }

    fn sets(&self, sizes: &Sets) -> Vec<Vec<usize>> {
        sizes.iter().map(|set| set.iter().map(|name| self.section(name)).collect()).collect()
    }
}

impl Own for Truss {
    type State = Ranges;

    fn groups(&self) -> &[String] {
        &self.groups
    }

    fn section(&self, name: &str) -> usize {
        self.areas.iter().position(|(known, _)| known == name).unwrap()
    }

    fn mass(&self, group: usize, section: usize) -> f64 {
        let own = self.bars.iter().filter(|bar| bar.group == group);
        own.map(|bar| bar.length * self.areas[section].1 * self.density).sum()
    }

    fn worst(&self, design: &[usize]) -> f64 {
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

    /// By what the largest area allows, and by the softest design.
    fn begin(&self) -> Ranges {
        let softest = self.softest();
        let of_case = |(_, load): &(String, DVector<f64>)| {
            let work = load.dot(&(&softest * load)).sqrt() * (1.0 + 1e-6);
            let of_bar = |bar: &Bar| {
                let most = bar.row.dot(&(&softest * &bar.row)).sqrt() * work;
                let largest = self.areas.iter().map(|(_, area)| *area).fold(0.0, f64::max);
                let [low, high] = self.allowed(bar, largest);
                [low.max(-most), high.min(most)]
            };
            self.bars.iter().map(of_bar).collect()
        };
        self.cases.iter().map(of_case).collect()
    }

    fn narrow(&self, node: &Value, sizes: &Sets, best: f64, ranges: &mut Ranges) -> Result<(), String> {
        let sets = self.sets(sizes);
        for to in node["narrowed"].as_array().into_iter().flatten() {
            let [side, bar, end] = ["side", "bar", "end"].map(|key| to[key].as_u64().unwrap() as usize);
            let (sign, at_most, told) = ([1.0, -1.0][end], number(&to["at_most"]), number(&to["to"]));
            // Designs that are lighter than the best are lighter than any best before.
            if at_most < best * (1.0 - 1e-9) {
                return Err("a range of designs that weigh less than the best".to_owned());
            }
            let least = sign * self.value(to, &sets, ranges, Some((side, bar, sign, at_most)))?;
            // The proof goes on with the figure worked out here; the one told is looked at for what was altered alone.
            let whole = 2.0 * self.stress / self.e * self.bars[bar].length;
            if sign * (told - least) > 1e-3 * whole {
                return Err(format!("a range that ends at {least}, not at {told}"));
            }
            ranges[side][bar][end] = least;
        }
        Ok(())
    }

    fn is_empty(&self, ranges: &Ranges) -> bool {
        ranges.iter().flatten().any(|[low, high]| low > high)
    }

    fn least(&self, certificate: &Value, node: &Value, sizes: &Sets, ranges: &Ranges) -> Result<f64, String> {
        if names(&certificate["bars"]) != self.bar_names {
            return Err("other bars".to_owned());
        }
        self.value(node, &self.sets(sizes), ranges, None)
    }
}
