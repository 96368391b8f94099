//! A plane frame of its own: three motions a node, dense matrices; it shares no code with the solver or the search.
//!
//! Reads the reference file of the portal. Two-node Timoshenko members (Przemieniecki, Theory of Matrix Structural
//! Analysis, ch. 5), with the section constants that the file gives.

use nalgebra::{DMatrix, DVector, SMatrix, SVector};
use serde_json::Value;

type Six = SVector<f64, 6>;

/// A member: its places among the unknowns, its axis, its group.
struct Member {
    name: String,
    rows: [Option<usize>; 6],
    length: f64,
    cos: f64,
    sin: f64,
    is_pinned: bool,
    group: usize,
}

/// The constants of a size.
struct Section {
    name: String,
    area: f64,
    second_moment: f64,
    shear_area: f64,
    radius: f64,
}

/// The frame.
pub(super) struct PlaneFrame {
    nodes: Vec<String>,
    fixed: Vec<bool>,
    members: Vec<Member>,
    sections: Vec<Section>,
    e: f64,
    g: f64,
    density: f64,
    pub(super) groups: Vec<String>,
    cases: Vec<(String, DVector<f64>)>,
    move_limit: f64,
    move_of: Vec<(String, usize)>,
    pub(super) stress_limit: f64,
    n: usize,
}

/// A reading: a row on the unknowns, and the case.
pub(super) struct Row {
    pub(super) row: DVector<f64>,
    pub(super) case: usize,
    pub(super) allowed: f64,
}

impl PlaneFrame {
    pub(super) fn read(file: &Value) -> Self {
        let keys = |key: &str| file[key].as_object().unwrap().keys().cloned().collect::<Vec<String>>();
        let number = |value: &Value| value.as_f64().unwrap();
        let nodes = keys("nodes");
        let held: Vec<&str> =
            file["held_nodes_all_directions"].as_array().unwrap().iter().map(|name| name.as_str().unwrap()).collect();
        let fixed: Vec<bool> = nodes.iter().map(|name| held.contains(&name.as_str())).collect();
        let mut n = 0;
        let firsts: Vec<Option<usize>> = fixed
            .iter()
            .map(|fixed| {
                n += if *fixed { 0 } else { 3 };
                (!fixed).then_some(n.max(3) - 3)
            })
            .collect();
        let place = |name: &str| {
            let at = &file["nodes"][name];
            [number(&at[0]), number(&at[1])]
        };
        let groups = keys("groups");
        let group_of = |member: &str| {
            let holds = |group: &String| file["groups"][group].as_array().unwrap().iter().any(|name| name == member);
            groups.iter().position(holds).unwrap()
        };
        let members = file["members"].as_object().unwrap().iter().map(|(name, ends)| {
            let ends = [0, 1].map(|end| ends[end].as_str().unwrap());
            let [a, b] = ends.map(place);
            let (dx, dy) = (b[0] - a[0], b[1] - a[1]);
            let length = dx.hypot(dy);
            let first = ends.map(|end| firsts[nodes.iter().position(|name| name == end).unwrap()]);
            Member {
                name: name.clone(),
                rows: std::array::from_fn(|row| first[row / 3].map(|first| first + row % 3)),
                length,
                cos: dx / length,
                sin: dy / length,
                is_pinned: file["pin_ended_members"].as_array().unwrap().iter().any(|pinned| pinned == name),
                group: group_of(name),
            }
        });
        let members: Vec<Member> = members.collect();
        let sections = file["section_constants"].as_object().unwrap().iter().map(|(name, constants)| Section {
            name: name.clone(),
            area: number(&constants["area"]),
            second_moment: number(&constants["second_moment"]),
            shear_area: number(&constants["shear_area"]),
            radius: number(&file["stock_outside_diameter_and_wall_mm"][name][0]) / 2.0,
        });
        let e = number(&file["material"]["e"]);
        let cases = file["cases"].as_object().unwrap().iter().map(|(name, loads)| {
            let mut load = DVector::zeros(n);
            for (node, three) in loads.as_object().unwrap() {
                let first = firsts[nodes.iter().position(|name| name == node).unwrap()].unwrap();
                (0..3).for_each(|row| load[first + row] += number(&three[row]));
            }
            (name.clone(), load)
        });
        let move_of = file["limits"]["move_of"].as_array().unwrap().iter();
        Self {
            e,
            g: e / 2.6,
            density: number(&file["material"]["density_kg_mm3"]),
            cases: cases.collect(),
            move_limit: number(&file["limits"]["move"]),
            move_of: move_of.map(|of| (of[0].as_str().unwrap().to_owned(), usize::from(of[1] == "y"))).collect(),
            stress_limit: number(&file["limits"]["normal_stress_at_member_ends"]),
            sections: sections.collect(),
            nodes,
            fixed,
            members,
            groups,
            n,
        }
    }

    /// The place of a size in the tables.
    pub(super) fn section(&self, name: &str) -> usize {
        self.sections.iter().position(|section| section.name == name).unwrap()
    }

    pub(super) fn mass(&self, group: usize, section: usize) -> f64 {
        let own = self.members.iter().filter(|member| member.group == group);
        own.map(|member| member.length * self.sections[section].area * self.density).sum()
    }

    /// Stiffness of a member in its own axes.
    fn local(&self, member: &Member, section: usize) -> SMatrix<f64, 6, 6> {
        let (s, l) = (&self.sections[section], member.length);
        let mut k = SMatrix::zeros();
        let axial = self.e * s.area / l;
        for (i, j, sign) in [(0, 0, 1.0), (3, 3, 1.0), (0, 3, -1.0), (3, 0, -1.0)] {
            k[(i, j)] += sign * axial;
        }
        if !member.is_pinned {
            let ei = self.e * s.second_moment;
            let phi = 12.0 * ei / (self.g * s.shear_area * l * l);
            let c = ei / (l.powi(3) * (1.0 + phi));
            let four = [
                [12.0, 6.0 * l, -12.0, 6.0 * l],
                [6.0 * l, (4.0 + phi) * l * l, -6.0 * l, (2.0 - phi) * l * l],
                [-12.0, -6.0 * l, 12.0, -6.0 * l],
                [6.0 * l, (2.0 - phi) * l * l, -6.0 * l, (4.0 + phi) * l * l],
            ];
            for (i, row) in [1, 2, 4, 5].into_iter().enumerate() {
                for (j, column) in [1, 2, 4, 5].into_iter().enumerate() {
                    k[(row, column)] += c * four[i][j];
                }
            }
        }
        k
    }

    fn turn(member: &Member) -> SMatrix<f64, 6, 6> {
        let mut t = SMatrix::zeros();
        for first in [0, 3] {
            t[(first, first)] = member.cos;
            t[(first, first + 1)] = member.sin;
            t[(first + 1, first)] = -member.sin;
            t[(first + 1, first + 1)] = member.cos;
            t[(first + 2, first + 2)] = 1.0;
        }
        t
    }

    /// Motions of a member's ends in its own axes.
    fn motions(&self, member: &Member, x: &DVector<f64>) -> Six {
        let global = Six::from_fn(|row, _| member.rows[row].map_or(0.0, |at| x[at]));
        Self::turn(member) * global
    }

    pub(super) fn stiffness(&self, design: &[usize]) -> DMatrix<f64> {
        let mut k = DMatrix::zeros(self.n, self.n);
        for member in &self.members {
            let t = Self::turn(member);
            let own = t.transpose() * self.local(member, design[member.group]) * t;
            for i in 0..6 {
                for j in 0..6 {
                    if let (Some(row), Some(column)) = (member.rows[i], member.rows[j]) {
                        k[(row, column)] += own[(i, j)];
                    }
                }
            }
        }
        k
    }

    pub(super) fn load(&self, case: usize) -> &DVector<f64> {
        &self.cases[case].1
    }

    /// The largest of all that is limited, over its limit.
    pub(super) fn worst(&self, design: &[usize]) -> f64 {
        let factor = self.stiffness(design).cholesky().unwrap();
        let mut worst: f64 = 0.0;
        for case in 0..self.cases.len() {
            let x = factor.solve(self.load(case));
            for (node, axis) in &self.move_of {
                worst = worst.max(self.row_of_node(node, *axis).dot(&x).abs() / self.move_limit);
            }
            for member in &self.members {
                let section = design[member.group];
                let f = self.local(member, section) * self.motions(member, &x);
                let s = &self.sections[section];
                for end in [0, 3] {
                    let stress = f[end].abs() / s.area + f[end + 2].abs() * s.radius / s.second_moment;
                    worst = worst.max(stress / self.stress_limit);
                }
            }
        }
        worst
    }

    fn row_of_node(&self, node: &str, axis: usize) -> DVector<f64> {
        let at = self.nodes.iter().position(|name| name == node).unwrap();
        let before = self.fixed[..at].iter().filter(|fixed| !**fixed).count();
        let mut row = DVector::zeros(self.n);
        row[3 * before + axis] = 1.0;
        row
    }

    /// What a cut of a certificate reads, with the signs that it has in the design that it was read of.
    pub(super) fn row(&self, cut: &Value, design: &[usize]) -> Row {
        let case = self.cases.iter().position(|(name, _)| cut["case"] == **name).unwrap();
        let x = self.stiffness(design).cholesky().unwrap().solve(self.load(case));
        let place = cut["where"].as_str().unwrap();
        match cut["check"].as_str().unwrap() {
            "pickup_move" => {
                // "C x": the follower of one component.
                let (node, axis) = place.split_once(' ').unwrap();
                let row = self.row_of_node(node, usize::from(axis == "z"));
                let sign = row.dot(&x).signum();
                Row { row: row * sign, case, allowed: self.move_limit }
            }
            "yield" => {
                let member = self.members.iter().find(|member| member.name == place).unwrap();
                let (section, end) = (design[member.group], 3 * cut["end"].as_u64().unwrap() as usize);
                let (k, s) = (self.local(member, section), &self.sections[section]);
                let f = k * self.motions(member, &x);
                let mut per = Six::zeros();
                per[end] = f[end].signum() / s.area;
                per[end + 2] = f[end + 2].signum() * s.radius / s.second_moment;
                let own = Self::turn(member).transpose() * (k * per);
                let mut row = DVector::zeros(self.n);
                (0..6).for_each(|at| member.rows[at].into_iter().for_each(|place| row[place] += own[at]));
                Row { row, case, allowed: self.stress_limit }
            }
            other => panic!("a reading of {other}"),
        }
    }

    /// B, P and Q of a cut (module `solve::assortment`), for a group in another size.
    pub(super) fn differences(
        &self,
        p: &DVector<f64>,
        q: &DVector<f64>,
        group: usize,
        from: usize,
        to: usize,
    ) -> [f64; 3] {
        let mut found = [0.0; 3];
        for member in self.members.iter().filter(|member| member.group == group) {
            let [p, q] = [p, q].map(|x| self.motions(member, x));
            let (here, there) = (self.local(member, from), self.local(member, to));
            let more = |one: &Six, other: &Six| one.dot(&((there - here) * other));
            let give = |one: &Six, other: &Six| {
                let [f, g] = [here * one, here * other];
                self.give(member, to, &f, &g) - self.give(member, from, &f, &g)
            };
            found[0] += more(&p, &q) - give(&p, &q);
            found[1] += more(&p, &p) + give(&p, &p);
            found[2] += more(&q, &q) + give(&q, &q);
        }
        found
    }

    /// Work of one set of end forces on the give of another.
    fn give(&self, member: &Member, section: usize, f: &Six, g: &Six) -> f64 {
        let (s, l) = (&self.sections[section], member.length);
        let axial = f[0] * g[0] * l / (self.e * s.area);
        if member.is_pinned {
            return axial;
        }
        let [(a, b), (c, d)] = [f, g].map(|f| (-f[2], f[5]));
        let bending = l / (6.0 * self.e * s.second_moment) * (2.0 * a * c + 2.0 * b * d + a * d + b * c);
        axial + bending + f[1] * g[1] * l / (self.g * s.shear_area)
    }
}
