//! Bounds for groups of two-force tubes, by linear programs over the stretches of tubes.
//!
//! Of each tube the force is n = k e, its stretch e is within a range [a, b], of each size that which its strength and
//! the push that it carries allow, and the forces are in balance with the loads. For any displacements v, forces w and multipliers λ ≥ 0 (a set for each
//! right side) such that w and K_f v are in balance with the loads Σ λ q of the limits |q u| ≤ L,
//!
//! ```text
//! mass ≥ Σ (v·f − Σ λ L) + Σ over groups of min over sizes of [ mass + Σ over tubes of min over e in [a, b] of (w − k ε) e ]
//! ```
//! with f the loads, K_f the stiffness of what has one size, ε the stretch of the tube under v: weak duality. Since the
//! innermost is linear, it is found at a or b. A linear program finds the v, w, λ for which that is largest; the
//! bound is worked out from them anew, and what they are out of balance is charged with the largest movement that any
//! design can have. In the same way the ranges are narrowed for designs that are lighter than the best. It is the dual
//! of the relaxation of n = k e by its envelopes over ranges. Source: McCormick, Math. Programming 10 (1976) 147–175;
//! Boyd & Vandenberghe (2004), Convex Optimization, 5.1.

use nalgebra::{DVector, Vector3, Vector6};

use super::bench::Bench;
use super::cut::{Sizes, in_set};
use super::limit::MARGIN;
use super::problem::Problem;
use super::program::{Goal, Program};
use super::reading::Limited;
use crate::model::{Anchor, Model, TubeRef, entry_at};
use crate::structure::TubeName;

/// A tube of a group.
pub(super) struct Bar {
    piece: usize,
    pub(super) group: usize,
    /// Its stretch as a row on the unknowns: where it is not nothing.
    pub(super) row: Sum,
    /// Its stiffness in each size, N/mm.
    pub(super) k_n_mm: Vec<f64>,
}

/// A right side.
pub(super) struct Side {
    pub(super) load: DVector<f64>,
    /// |row · u| ≤ allowed.
    pub(super) limits: Vec<(Sum, f64)>,
    /// Where each of them is.
    places: Vec<Limited>,
    /// No design moves an unknown further.
    farthest: DVector<f64>,
    /// The least and the largest stretch of each bar in each size that its limits and the softest design allow, mm.
    stretches_mm: Vec<Vec<[f64; 2]>>,
}

/// A structure whose groups are of two-force tubes.
pub(super) struct Truss {
    pub(super) bars: Vec<Bar>,
    pub(super) sides: Vec<Side>,
    /// Stiffness of what has one size, by its entries.
    pub(super) fixed: Vec<(usize, usize, f64)>,
    /// How many unknowns there are.
    pub(super) n: usize,
}

/// The ranges of stretches over a box: of each right side (row) and bar, mm.
pub(super) type Ranges = Vec<Vec<[f64; 2]>>;

/// What shows a bound: displacements, forces and multipliers of each right side.
#[derive(Debug, Clone, PartialEq)]
pub struct Dual {
    /// Of the unknowns, for each right side.
    pub v: Vec<DVector<f64>>,
    /// Of each tube, for each right side.
    pub w: Vec<Vec<f64>>,
    /// Of each limit, for the sum and for its negative, for each right side.
    pub limits: Vec<Vec<[f64; 2]>>,
    /// Of the mass of the best; 1 where mass is what is bounded.
    pub mass: f64,
}

/// A stretch that was narrowed for designs that are lighter than the best.
#[derive(Debug, Clone, PartialEq)]
pub struct Narrowed {
    /// Under which right side.
    pub side: usize,
    /// Which tube.
    pub bar: usize,
    /// 0: its least, 1: its largest.
    pub end: usize,
    /// To how much, mm.
    pub to_mm: f64,
    /// How it is shown.
    pub by: Dual,
    /// The mass of the best then, kg.
    pub at_most_kg: f64,
}

/// A sum of the unknowns: the place of each and its part.
pub type Sum = Vec<(usize, f64)>;

/// The names of what a dual has a figure for.
#[derive(Debug, Clone, PartialEq)]
pub struct Names {
    /// The case of each right side, and where each limit is.
    pub sides: Vec<(String, Vec<Limited>)>,
    /// Each tube: the index of its member.
    pub bars: Vec<usize>,
    /// Each node, and its movement along x, y and z as sums of the unknowns: the place of each and its part.
    pub nodes: Vec<(String, [Sum; 3])>,
}

impl Names {
    /// How far a node moves under some motions of the unknowns, mm along x, y and z.
    pub fn movement(&self, node: usize, v: &DVector<f64>) -> [f64; 3] {
        self.nodes[node].1.each_ref().map(|row| row.iter().map(|(at, part)| part * v[*at]).sum())
    }
}

/// A bound of a box.
pub(super) struct Bounded {
    pub(super) least_kg: f64,
    pub(super) dual: Dual,
    /// How much of each group's range the relaxation takes: 0 its lightest size, 1 its heaviest.
    pub(super) part: Vec<f64>,
}

/// Part of a bound that rounding may take.
const ROUND_OFF: f64 = 1e-9;

impl Truss {
    /// `None`: some group is not of two-force tubes, or its own load counts.
    pub(super) fn of(bench: &Bench, problem: &Problem<'_>) -> Option<Truss> {
        let assortment = &bench.assortment;
        let (mut bars, mut pieces) = (Vec::new(), Vec::new());
        for group in 0..problem.groups.len() {
            for piece in assortment.pieces_of(group) {
                let own = assortment.two_force(*piece)?;
                bars.push(Bar { piece: *piece, group, row: entries(&own.stretch), k_n_mm: own.stiffness_n_mm.clone() });
                pieces.push((*piece, own));
            }
        }
        let n = assortment.n_unknowns();
        let rows: Vec<DVector<f64>> = bars.iter().map(|bar| dense(&bar.row, n)).collect();
        let reach: Vec<f64> = rows.iter().map(|row| assortment.size_in_softest(row)).collect();
        let unit: Vec<f64> = (0..n).map(|at| assortment.size_in_softest(&dense(&[(at, 1.0)], n))).collect();
        let first = vec![0; problem.groups.len()];
        let sides = (0..assortment.n_sides()).map(|side| {
            let load = assortment.load(&first, side);
            let size = assortment.size_in_softest(&load) * (1.0 + 1e-6);
            let stretches_mm = pieces.iter().zip(&reach).map(|((piece, own), reach)| {
                let most = reach * size;
                let within = |[low, high]: [f64; 2]| [low.max(-most), high.min(most)];
                bench.stretches_mm(side, *piece, own).into_iter().map(within).collect()
            });
            let sums = bench.sums(side).into_iter();
            // As much over its limit as still counts as within it.
            let limit = |row: &DVector<f64>, allowed: f64| (entries(row), allowed * (1.0 + MARGIN));
            let (limits, places) = sums.map(|(row, allowed, place)| (limit(&row, allowed), place)).unzip();
            Side {
                places,
                farthest: DVector::from_iterator(n, unit.iter().map(|unit| unit * size)),
                load,
                limits,
                stretches_mm: stretches_mm.collect(),
            }
        });
        let sides: Vec<Side> = sides.collect();
        let fixed = assortment.fixed_stiffness();
        let mut entries = Vec::new();
        for column in 0..n {
            for row in (0..n).filter(|row| fixed[(*row, column)] != 0.0) {
                entries.push((row, column, fixed[(row, column)]));
            }
        }
        Some(Truss { bars, sides, fixed: entries, n })
    }

    /// The range of a bar's stretch in a size, mm: what its own limits leave of that over a box; turned round where
    /// that is nothing.
    pub(super) fn range(&self, ranges: &Ranges, side: usize, bar: usize, size: usize) -> [f64; 2] {
        let ([low, high], [least, most]) = (ranges[side][bar], self.sides[side].stretches_mm[bar][size]);
        [low.max(least), high.min(most)]
    }

    /// Whether a group can have a size over some ranges.
    pub(super) fn can_have(&self, ranges: &Ranges, group: usize, size: usize) -> bool {
        let own = (0..self.bars.len()).filter(|bar| self.bars[*bar].group == group);
        let mut of_sides = own.flat_map(|bar| (0..self.sides.len()).map(move |side| (side, bar)));
        of_sides.all(|(side, bar)| {
            let [low, high] = self.range(ranges, side, bar, size);
            low <= high
        })
    }

    /// Whether each group can have one of its sizes over some ranges.
    fn leaves_some(&self, sizes: &Sizes, ranges: &Ranges) -> bool {
        (0..sizes.len()).all(|group| in_set(sizes[group]).any(|size| self.can_have(ranges, group, size)))
    }

    /// The names of what a dual has a figure for.
    pub(super) fn names(&self, model: &Model, bench: &Bench) -> Names {
        let sides = self.sides.iter().enumerate();
        let structure = &bench.assortment.drawn().structure;
        let rows = |at: usize| {
            let part = structure.part_of(Anchor::Node(at));
            let arm = model.nodes[at].at - structure.parts[part].origin;
            std::array::from_fn(|axis| {
                let along = Vector3::ith(axis, 1.0);
                let turn = arm.cross(&along);
                let six = Vector6::new(along.x, along.y, along.z, turn.x, turn.y, turn.z);
                entries(&bench.assortment.row_of_part(part, &six))
            })
        };
        let member = |bar: &Bar| match structure.tubes[structure.pieces[bar.piece].tube].name {
            TubeName::Tube(TubeRef::Member(member)) => member,
            _ => usize::MAX,
        };
        Names {
            sides: sides.map(|(at, side)| (bench.case_of(at).to_owned(), side.places.clone())).collect(),
            bars: self.bars.iter().map(member).collect(),
            nodes: (0..model.nodes.len()).map(|at| (entry_at(&model.nodes, at).0.to_owned(), rows(at))).collect(),
        }
    }

    /// The ranges to begin with.
    pub(super) fn ranges(&self) -> Ranges {
        let wider = |[low, high]: [f64; 2], of_size: &[f64; 2]| [low.min(of_size[0]), high.max(of_size[1])];
        let of_bar = |sizes: &Vec<[f64; 2]>| sizes.iter().fold([f64::INFINITY, f64::NEG_INFINITY], wider);
        self.sides.iter().map(|side| side.stretches_mm.iter().map(of_bar).collect()).collect()
    }

    /// The least mass of a box.
    pub(super) fn bound(
        &self,
        problem: &Problem<'_>,
        sizes: &Sizes,
        ranges: &Ranges,
        enough_kg: f64,
    ) -> Option<Bounded> {
        let heaviest: f64 = problem.mass_kg.iter().filter_map(|masses| masses.last()).sum();
        let cap = 1.5 * enough_kg.min(heaviest);
        let (dual, part) = if self.leaves_some(sizes, ranges) {
            Program { truss: self, problem, sizes, ranges, goal: Goal::Mass, cap }.solve()?
        } else {
            // Any dual shows that no design is left.
            (self.no_dual(), vec![0.5; sizes.len()])
        };
        let least_kg = problem.kept_kg + self.value(problem, sizes, ranges, Goal::Mass, &dual);
        Some(Bounded { least_kg, dual, part })
    }

    fn no_dual(&self) -> Dual {
        let limits = |side: &Side| vec![[0.0; 2]; side.limits.len()];
        Dual {
            v: self.sides.iter().map(|_| DVector::zeros(self.n)).collect(),
            w: self.sides.iter().map(|_| vec![0.0; self.bars.len()]).collect(),
            limits: self.sides.iter().map(limits).collect(),
            mass: 1.0,
        }
    }

    /// Narrows the ranges of a box to those of designs that weigh no more than the best; how many programs that took.
    pub(super) fn narrow(
        &self,
        problem: &Problem<'_>,
        sizes: &Sizes,
        ranges: &mut Ranges,
        best_kg: f64,
        ends: &dyn Fn() -> bool,
    ) -> (Vec<Narrowed>, u64) {
        let (mut narrowed, mut programs) = (Vec::new(), 0);
        for side in 0..self.sides.len() {
            for bar in 0..self.bars.len() {
                for (end, sign) in [(0, 1.0), (1, -1.0)] {
                    let [low, high] = ranges[side][bar];
                    if !self.leaves_some(sizes, ranges) || ends() {
                        return (narrowed, programs);
                    }
                    if high <= low {
                        // Nothing to narrow: no load stretches it.
                        continue;
                    }
                    programs += 1;
                    let goal = Goal::Stretch { side, bar, sign, at_most_kg: best_kg - problem.kept_kg };
                    let (own, other) = if end == 0 { (low, high) } else { (-high, -low) };
                    let cap = other + 0.01 * (high - low);
                    let program = Program { truss: self, problem, sizes, ranges, goal, cap };
                    let Some((dual, _)) = program.solve() else { continue };
                    let least = self.value(problem, sizes, ranges, goal, &dual);
                    if least > own + 0.02 * (high - low) {
                        ranges[side][bar][end] = sign * least;
                        narrowed.push(Narrowed { side, bar, end, to_mm: sign * least, by: dual, at_most_kg: best_kg });
                    }
                }
            }
        }
        (narrowed, programs)
    }

    /// The bound that a dual shows, whatever it is; for mass without what is kept.
    fn value(&self, problem: &Problem<'_>, sizes: &Sizes, ranges: &Ranges, goal: Goal, dual: &Dual) -> f64 {
        let (mut sum, mut scale) = (0.0, 0.0);
        let mut add = |term: f64| {
            sum += term;
            scale += term.abs();
        };
        let mass = match goal {
            Goal::Mass => 1.0,
            Goal::Stretch { at_most_kg, .. } => {
                add(-dual.mass * at_most_kg);
                dual.mass
            }
        };
        let mut of_group: Vec<Vec<f64>> =
            problem.mass_kg.iter().map(|masses| masses.iter().map(|kg| kg * mass).collect()).collect();
        for (at, side) in self.sides.iter().enumerate() {
            let (v, w) = (&dual.v[at], &dual.w[at]);
            add(v.dot(&side.load));
            let mut out: DVector<f64> = DVector::zeros(self.n);
            for (limit, times) in side.limits.iter().zip(&dual.limits[at]) {
                add(-limit.1 * (times[0] + times[1]));
                limit.0.iter().for_each(|(row, part)| out[*row] += part * (times[0] - times[1]));
            }
            self.fixed.iter().for_each(|(row, column, k)| out[*row] -= k * v[*column]);
            for (bar, tube) in self.bars.iter().enumerate() {
                tube.row.iter().for_each(|(row, part)| out[*row] -= part * w[bar]);
                let strain: f64 = tube.row.iter().map(|(row, part)| part * v[*row]).sum();
                let own = match goal {
                    Goal::Stretch { side, bar: one, sign, .. } if side == at && one == bar => sign,
                    _ => 0.0,
                };
                for size in in_set(sizes[tube.group]) {
                    let [low, high] = self.range(ranges, at, bar, size);
                    let per = w[bar] - tube.k_n_mm[size] * strain + own;
                    of_group[tube.group][size] += if low <= high { (per * low).min(per * high) } else { f64::INFINITY };
                }
            }
            add(-out.iter().zip(side.farthest.iter()).map(|(out, far)| out.abs() * far).sum::<f64>());
        }
        for (group, values) in of_group.iter().enumerate() {
            add(in_set(sizes[group]).map(|size| values[size]).fold(f64::INFINITY, f64::min));
        }
        if sum == f64::INFINITY { sum } else { sum - ROUND_OFF * scale }
    }
}

fn entries(row: &DVector<f64>) -> Sum {
    row.iter().copied().enumerate().filter(|(_, part)| *part != 0.0).collect()
}

fn dense(row: &[(usize, f64)], n: usize) -> DVector<f64> {
    let mut all = DVector::zeros(n);
    row.iter().for_each(|(at, part)| all[*at] = *part);
    all
}
