//! A structure some of whose tubes may each be of several sizes: what a design moves by, and what no other can
//! get below.
//!
//! Groups of tubes get one size each; a design is a size for each group. What a size adds to the stiffness and to the
//! right sides is worked out once, so that a design costs a sum, a factor and a solution.
//!
//! Bounds. With y = K₀⁻¹ p of one design and N₀ its forces, for any other design with stiffness K
//!
//! ```text
//! pᵀ K⁻¹ p ≥ 2 pᵀ y − yᵀ K y               theorem of least potential energy, y any displacement
//! pᵀ K⁻¹ p ≤ Σ of N₀² over the stiffness   theorem of least complementary energy, N₀ any forces in balance with p
//! ```
//! and 4 qᵀ K⁻¹ p = (tp + q/t)ᵀ K⁻¹ (tp + q/t) − (tp − q/t)ᵀ K⁻¹ (tp − q/t) for any t, so that
//!
//! ```text
//! qᵀ K⁻¹ p ≥ q ᵀK₀⁻¹ p − Σ over groups [ B/2 + (t² P + Q/t²)/4 ]
//! ```
//! with B, P and Q of the size that each group has ([`Differences`]): B is of first order in the change, P and Q are
//! of second order and not negative. Source: Washizu (1968), Variational Methods in Elasticity and Plasticity, ch. 2
//! (from memory).

use nalgebra::{DMatrix, DVector, Vector6};

use super::assemble::{PieceStiffness, RightSide, System};
use super::statics::solve_matrix;
use crate::beam::{Beam, Vector12};
use crate::math::{ChosenEngine, Engine, Factor, NotPositive, Plan, SymmetricMatrix};
use crate::structure::Tube;

/// A structure with several sizes for some of its tubes.
pub struct Assortment {
    /// The structure as drawn.
    drawn: System,
    /// The same with every group of one size, for each size.
    of_size: Vec<System>,
    plan: Box<dyn Plan>,
    /// The group of each piece.
    group_of: Vec<Option<usize>>,
    /// The pieces of each group.
    pieces: Vec<Vec<usize>>,
    /// The stiffness of what has one size alone.
    fixed: SymmetricMatrix,
    /// What each size of each group adds to it.
    stiffness: Vec<Vec<SymmetricMatrix>>,
    /// The loads on the unknowns but for those of the groups' own tubes, a column a right side.
    fixed_loads: DMatrix<f64>,
    /// What each size of each group adds to them.
    loads: Vec<Vec<DMatrix<f64>>>,
    /// The right sides with every group of one size, for each size.
    sides: Vec<Vec<RightSide>>,
    softest: Softest,
}

/// The structure with every group as soft as its softest size in each way: no design is softer.
struct Softest {
    factor: Box<dyn Factor>,
    /// For each right side and group, how far the loads of one size are from those of another: √(Δpᵀ K⁻¹ Δp).
    apart: Vec<Vec<DMatrix<f64>>>,
}

/// A piece that carries nothing but its axial force.
pub struct TwoForce {
    /// Its group.
    pub group: usize,
    /// Its stretch as a row on the unknowns.
    pub stretch: DVector<f64>,
    /// Its stiffness in each size, N/mm.
    pub stiffness_n_mm: Vec<f64>,
    /// The push at which it gives way sideways in each size, N.
    pub buckles_at_n: Vec<f64>,
}

/// The answer of a design.
pub struct Answer {
    /// The size of each group.
    pub sizes: Vec<usize>,
    factor: Box<dyn Factor>,
    /// The unknowns, a column a right side.
    x: DMatrix<f64>,
}

/// What a reading of a design can change by when groups get other sizes: a row a group, a column a size.
#[derive(Debug, Clone, PartialEq)]
pub struct Differences {
    /// B: of first order.
    pub first: Vec<Vec<f64>>,
    /// P: of second order, of the loads.
    pub of_load: Vec<Vec<f64>>,
    /// Q: of second order, of what is read.
    pub of_reading: Vec<Vec<f64>>,
    /// By how much the loads of the groups' own tubes change it at most.
    pub of_own_load: Vec<Vec<f64>>,
}

impl Assortment {
    /// Prepares the sizes.
    ///
    /// `of_size`: the structure with every tube of every group of one size, for each size; `groups`: tubes of each
    /// group; `sides`: the right sides of each of these. Nothing may move the ground.
    ///
    /// # Errors
    /// [`NotPositive`] where the softest does not stand.
    pub fn new(
        drawn: System,
        of_size: Vec<System>,
        groups: &[Vec<usize>],
        sides: Vec<Vec<RightSide>>,
    ) -> Result<Self, NotPositive> {
        let stays = |side: &RightSide| side.moved.iter().all(|moved| moved.amax() == 0.0);
        debug_assert!(sides.iter().flatten().all(stays), "a right side moves the ground");
        let plan = ChosenEngine.plan(&drawn.numbering.pattern);
        let mut group_of = vec![None; drawn.pieces.len()];
        let mut pieces: Vec<Vec<usize>> = vec![Vec::new(); groups.len()];
        for (group, tubes) in groups.iter().enumerate() {
            for piece in tubes.iter().flat_map(|tube| drawn.structure.tubes[*tube].pieces.clone()) {
                group_of[piece] = Some(group);
                pieces[group].push(piece);
            }
        }
        let none = nalgebra::SMatrix::zeros;
        let fixed = drawn.assembled(|piece| match group_of[piece] {
            Some(_) => none(),
            None => *drawn.pieces[piece].joined.node(),
        });
        let of_group = |group: usize, system: &System| {
            system.sum_of_pieces(|piece| match group_of[piece] {
                Some(own) if own == group => *system.pieces[piece].joined.node(),
                _ => none(),
            })
        };
        let stiffness = (0..groups.len()).map(|group| of_size.iter().map(|system| of_group(group, system)).collect());
        let stiffness: Vec<Vec<SymmetricMatrix>> = stiffness.collect();
        let fixed_loads = columns(&drawn, &sides[0], |side| {
            let mut side = side.clone();
            side.unknowns.fill(0.0);
            drawn.fill_but(&mut side, |piece| group_of[piece].is_some());
            side.unknowns
        });
        let loads = pieces.iter().map(|own| {
            of_size
                .iter()
                .zip(&sides)
                .map(|(system, sides)| columns(system, sides, |side| own_loads(system, own, side)))
        });
        let loads: Vec<Vec<DMatrix<f64>>> = loads.map(Iterator::collect).collect();
        let softest = Softest::new(&drawn, &of_size, &pieces, &fixed, &loads, plan.as_ref())?;
        Ok(Self { drawn, of_size, plan, group_of, pieces, fixed, stiffness, fixed_loads, loads, sides, softest })
    }

    /// How many groups there are.
    pub fn n_groups(&self) -> usize {
        self.pieces.len()
    }

    /// How many sizes there are.
    pub fn n_sizes(&self) -> usize {
        self.of_size.len()
    }

    /// The structure as drawn.
    pub fn drawn(&self) -> &System {
        &self.drawn
    }

    /// The group that a piece is in.
    pub fn group_of(&self, piece: usize) -> Option<usize> {
        self.group_of[piece]
    }

    /// A tube of the structure as a design has it.
    pub fn tube(&self, tube: usize, sizes: &[usize]) -> &Tube {
        let piece = self.drawn.structure.tubes[tube].pieces.start;
        &self.system_of(piece, sizes).structure.tubes[tube]
    }

    fn system_of(&self, piece: usize, sizes: &[usize]) -> &System {
        self.group_of[piece].map_or(&self.drawn, |group| &self.of_size[sizes[group]])
    }

    fn piece(&self, piece: usize, sizes: &[usize]) -> &PieceStiffness {
        &self.system_of(piece, sizes).pieces[piece]
    }

    /// The pieces of a group.
    pub fn pieces_of(&self, group: usize) -> &[usize] {
        &self.pieces[group]
    }

    /// How many right sides there are.
    pub fn n_sides(&self) -> usize {
        self.fixed_loads.ncols()
    }

    /// How many unknowns there are.
    pub fn n_unknowns(&self) -> usize {
        self.fixed.n()
    }

    /// Stiffness of what has one size alone.
    pub fn fixed_stiffness(&self) -> DMatrix<f64> {
        self.fixed.to_dense()
    }

    /// A piece of a group where it carries nothing but its axial force, unloaded itself; else `None`.
    pub fn two_force(&self, piece: usize) -> Option<TwoForce> {
        let group = self.group_of[piece]?;
        if self.loads[group].iter().any(|loads| loads.amax() > 0.0) {
            return None;
        }
        let stiffness = self.of_size.iter().map(|system| {
            let joined = &system.pieces[piece].joined;
            let node = joined.node();
            let axial = node[(0, 0)];
            let mut rest = *node;
            for (row, column, sign) in [(0, 0, 1.0), (6, 6, 1.0), (0, 6, -1.0), (6, 0, -1.0)] {
                rest[(row, column)] -= sign * axial;
            }
            // Bending that joints let go is taken out of the tube's own stiffness: what is left is the round-off of that.
            let round_off = 64.0 * f64::EPSILON * joined.tube.amax();
            (axial > 0.0 && rest.amax() <= round_off).then_some(axial)
        });
        let stiffness: Option<Vec<f64>> = stiffness.collect();
        let mut stretch = Vector12::zeros();
        (stretch[0], stretch[6]) = (-1.0, 1.0);
        Some(TwoForce {
            group,
            stretch: self.drawn.on_unknowns(piece, &stretch),
            stiffness_n_mm: stiffness?,
            buckles_at_n: self.of_size.iter().map(|system| system.pieces[piece].beam.pinned_buckling_n()).collect(),
        })
    }

    /// Solves a design under all right sides.
    ///
    /// # Errors
    /// [`NotPositive`] where it does not stand.
    ///
    /// # Panics
    /// Where there is not a size for each group.
    pub fn solve(&self, sizes: &[usize]) -> Result<Answer, NotPositive> {
        let mut matrix = self.fixed.clone();
        let mut x = self.fixed_loads.clone();
        for (group, size) in sizes.iter().enumerate() {
            matrix.add_times(&self.stiffness[group][*size], 1.0);
            x += &self.loads[group][*size];
        }
        let factor = self.plan.factor(&matrix)?;
        factor.solve(&mut x);
        Ok(Answer { sizes: sizes.to_vec(), factor, x })
    }

    /// Motion of a part at its origin under a right side, mm and rad.
    pub fn motion(&self, answer: &Answer, part: usize, side: usize) -> Vector6<f64> {
        let terms = self.drawn.numbering.parts[part].terms.iter();
        let column = answer.x.column(side).into_owned();
        terms.fold(Vector6::zeros(), |sum, (block, term)| sum + term * self.drawn.numbering.of_block(&column, *block))
    }

    /// Forces on both ends of a piece that has these sizes under the motions of a design and a right side, local axes, N
    /// and N·mm.
    pub fn end_forces(&self, answer: &Answer, sizes: &[usize], piece: usize, side: usize) -> Vector12 {
        let motions = self.drawn.linear_motions_of_piece(piece, &answer.x.column(side).into_owned());
        self.piece(piece, sizes).joined.node() * motions - self.node_loads(piece, sizes, side)
    }

    /// What the load on a piece of a design puts on its nodes, local axes.
    fn node_loads(&self, piece: usize, sizes: &[usize], side: usize) -> Vector12 {
        let system = self.system_of(piece, sizes);
        // Tubes of one size have the same load whatever the size of others.
        let size = self.group_of[piece].map_or(0, |group| sizes[group]);
        let side = &self.sides[size][side];
        let load_n_mm = side.on_tubes[system.structure.pieces[piece].tube];
        system.load_of_piece(piece, &system.pieces[piece], &load_n_mm, &side.moved).unwrap_or_else(Vector12::zeros)
    }

    /// A sum of the motions of a part at its origin as a row on the unknowns.
    pub fn row_of_part(&self, part: usize, six: &Vector6<f64>) -> DVector<f64> {
        let mut row = DVector::zeros(self.fixed.n());
        self.drawn.add_on_part(part, six, &mut row);
        row
    }

    /// A sum of the forces on both ends of a piece of a design as a row on the unknowns, and what the load on the
    /// piece adds under a right side.
    pub fn row_of_ends(&self, piece: usize, sizes: &[usize], side: usize, of_ends: &Vector12) -> (DVector<f64>, f64) {
        let stiffness = self.piece(piece, sizes);
        let row = self.drawn.on_unknowns(piece, &(stiffness.joined.node() * of_ends));
        (row, -of_ends.dot(&self.node_loads(piece, sizes, side)))
    }

    /// A reading of a design under a right side.
    pub fn read(&self, answer: &Answer, row: &DVector<f64>, side: usize) -> f64 {
        row.dot(&answer.x.column(side))
    }

    /// What a reading under a right side gains in each size (column) of each group (row) if the forces in all tubes stay:
    /// the work of those forces and of the reading's on what the tubes give more. No bound: exact where the structure
    /// is statically determinate, of first order elsewhere, loads of the tubes themselves left out.
    ///
    /// Source: principle of virtual work, for instance Washizu (1968), ch. 1 (from memory).
    pub fn gains(&self, answer: &Answer, row: &DVector<f64>, side: usize) -> Vec<Vec<f64>> {
        let (p, q) = (answer.x.column(side).into_owned(), of_row(answer.factor.as_ref(), row));
        let mut gains = vec![vec![0.0; self.n_sizes()]; self.pieces.len()];
        for (group, pieces) in self.pieces.iter().enumerate() {
            let own = answer.sizes[group];
            for piece in pieces {
                let here = &self.of_size[own].pieces[*piece];
                let [kp, kq] = [&p, &q].map(|x| here.joined.node() * self.drawn.linear_motions_of_piece(*piece, x));
                let gives = give(&here.beam, &kp, &kq);
                for (size, system) in self.of_size.iter().enumerate().filter(|(size, _)| *size != own) {
                    gains[group][size] += give(&system.pieces[*piece].beam, &kp, &kq) - gives;
                }
            }
        }
        gains
    }

    /// What a reading under a right side can change by, from this design on.
    pub fn differences(&self, answer: &Answer, row: &DVector<f64>, side: usize) -> Differences {
        let (p, q) = (answer.x.column(side).into_owned(), of_row(answer.factor.as_ref(), row));
        let none = vec![vec![0.0; self.n_sizes()]; self.pieces.len()];
        let mut found =
            Differences { first: none.clone(), of_load: none.clone(), of_reading: none.clone(), of_own_load: none };
        for (group, pieces) in self.pieces.iter().enumerate() {
            let own = answer.sizes[group];
            for piece in pieces {
                let [p, q] = [&p, &q].map(|x| self.drawn.linear_motions_of_piece(*piece, x));
                if p == Vector12::zeros() && q == Vector12::zeros() {
                    continue;
                }
                let here = &self.of_size[own].pieces[*piece];
                let [kp, kq] = [&p, &q].map(|motions| here.joined.node() * motions);
                for size in (0..self.n_sizes()).filter(|size| *size != own) {
                    let there = &self.of_size[size].pieces[*piece];
                    let [more_p, more_q] = [(&p, &kp), (&q, &kq)].map(|(x, kx)| there.joined.node() * x - kx);
                    let give =
                        |one: &Vector12, other: &Vector12| give(&there.beam, one, other) - give(&here.beam, one, other);
                    found.first[group][size] += p.dot(&more_q) - give(&kp, &kq);
                    found.of_load[group][size] += (p.dot(&more_p) + give(&kp, &kp)).max(0.0);
                    found.of_reading[group][size] += (q.dot(&more_q) + give(&kq, &kq)).max(0.0);
                }
            }
            let reach = self.softest.size_of(row);
            for size in 0..self.n_sizes() {
                found.of_own_load[group][size] = reach * self.softest.apart[side][group][(own, size)];
            }
        }
        found
    }

    /// No design has a reading above √(rowᵀ K⁻¹ row) of this times that of the loads.
    pub fn size_in_softest(&self, row: &DVector<f64>) -> f64 {
        self.softest.size_of(row)
    }

    /// The loads of a design on the unknowns under a right side.
    pub fn load(&self, sizes: &[usize], side: usize) -> DVector<f64> {
        let own = sizes.iter().enumerate().map(|(group, size)| self.loads[group][*size].column(side));
        own.fold(self.fixed_loads.column(side).into_owned(), |sum, more| sum + more)
    }
}

impl Softest {
    fn new(
        drawn: &System,
        of_size: &[System],
        pieces: &[Vec<usize>],
        fixed: &SymmetricMatrix,
        loads: &[Vec<DMatrix<f64>>],
        plan: &dyn Plan,
    ) -> Result<Self, NotPositive> {
        let sized: Vec<usize> = pieces.iter().flatten().copied().collect();
        let mut of_piece = vec![None; drawn.pieces.len()];
        for piece in &sized {
            let tubes: Vec<&Tube> =
                of_size.iter().map(|system| &system.structure.tubes[system.structure.pieces[*piece].tube]).collect();
            of_piece[*piece] = Some(drawn.piece_of(*piece, &softest(&tubes)));
        }
        let mut matrix = fixed.clone();
        let sum = drawn.sum_of_pieces(|piece| match &of_piece[piece] {
            Some(stiffness) => *stiffness.joined.node(),
            None => nalgebra::SMatrix::zeros(),
        });
        matrix.add_times(&sum, 1.0);
        let factor = solve_matrix(&matrix, plan)?.factor;
        let n_sides = loads.first().and_then(|sizes| sizes.first()).map_or(0, DMatrix::ncols);
        let apart = (0..n_sides).map(|side| loads.iter().map(|sizes| apart(factor.as_ref(), sizes, side)).collect());
        let apart = apart.collect();
        Ok(Self { factor, apart })
    }

    fn size_of(&self, row: &DVector<f64>) -> f64 {
        row.dot(&of_row(self.factor.as_ref(), row)).max(0.0).sqrt()
    }
}

/// The motions of the unknowns under a row as their load.
fn of_row(factor: &dyn Factor, row: &DVector<f64>) -> DVector<f64> {
    let mut x = DMatrix::from_columns(std::slice::from_ref(row));
    factor.solve(&mut x);
    x.column(0).into_owned()
}

/// How far the loads of each size are from those of each other: √(Δpᵀ K⁻¹ Δp), rounded up.
fn apart(factor: &dyn Factor, sizes: &[DMatrix<f64>], side: usize) -> DMatrix<f64> {
    let n = sizes.len();
    let loads: Vec<DVector<f64>> = sizes.iter().map(|size| size.column(side).into_owned()).collect();
    if loads.iter().all(|load| load.amax() == 0.0) {
        return DMatrix::zeros(n, n);
    }
    // From the first, so that what all have in common is no round-off.
    let more: Vec<DVector<f64>> = loads.iter().map(|load| load - &loads[0]).collect();
    let p = DMatrix::from_columns(&more);
    let mut x = p.clone();
    factor.solve(&mut x);
    let work = p.tr_mul(&x);
    const ROUND_OFF: f64 = 1e-12;
    DMatrix::from_fn(n, n, |one, other| {
        let (a, b) = (work[(one, one)], work[(other, other)]);
        if one == other { 0.0 } else { (a + b - 2.0 * work[(one, other)] + ROUND_OFF * (a + b)).max(0.0).sqrt() }
    })
}

/// A tube that is no stiffer in any way than any of these.
fn softest(tubes: &[&Tube]) -> Tube {
    let mut soft = tubes[0].clone();
    let least = |figure: &dyn Fn(&Tube) -> f64| tubes.iter().map(|tube| figure(tube)).fold(f64::INFINITY, f64::min);
    let shear = |area: &dyn Fn(&Tube) -> Option<f64>| {
        let least = least(&|tube| area(tube).map_or(f64::INFINITY, |area| tube.material.shear_modulus_mpa * area));
        least.is_finite().then_some(least)
    };
    // Rigidities as areas of a material of modulus 1, since each may be of another material.
    soft.properties.ay_mm2 = shear(&|tube| tube.properties.ay_mm2);
    soft.properties.az_mm2 = shear(&|tube| tube.properties.az_mm2);
    soft.properties.area_mm2 = least(&|tube| tube.material.youngs_modulus_mpa * tube.properties.area_mm2);
    soft.properties.iy_mm4 = least(&|tube| tube.material.youngs_modulus_mpa * tube.properties.iy_mm4);
    soft.properties.iz_mm4 = least(&|tube| tube.material.youngs_modulus_mpa * tube.properties.iz_mm4);
    soft.properties.j_mm4 = least(&|tube| tube.material.shear_modulus_mpa * tube.properties.j_mm4);
    soft.material.youngs_modulus_mpa = 1.0;
    soft.material.shear_modulus_mpa = 1.0;
    soft
}

fn columns(system: &System, sides: &[RightSide], of: impl Fn(&RightSide) -> DVector<f64>) -> DMatrix<f64> {
    let mut all = DMatrix::zeros(system.matrix.n(), sides.len());
    for (at, side) in sides.iter().enumerate() {
        all.set_column(at, &of(side));
    }
    all
}

/// What the loads on some pieces alone put on the unknowns.
fn own_loads(system: &System, pieces: &[usize], side: &RightSide) -> DVector<f64> {
    let mut own = DVector::zeros(system.matrix.n());
    for piece in pieces {
        let load_n_mm = side.on_tubes[system.structure.pieces[*piece].tube];
        if let Some(f) = system.load_of_piece(*piece, &system.pieces[*piece], &load_n_mm, &side.moved) {
            system.add_on_unknowns(&system.pieces[*piece], &f, &mut own);
        }
    }
    own
}

/// Work of one set of end forces of a beam on the give of another: of axial force, torque, bending and shear, N·mm.
fn give(beam: &Beam, one: &Vector12, other: &Vector12) -> f64 {
    let l = beam.length_mm;
    let bending = |first: usize, second: usize, ei: f64| {
        // Moments at both faces: −f at the first end, +f at the second.
        let [(a, b), (c, d)] = [one, other].map(|f| (-f[first], f[second]));
        l / (6.0 * ei) * (2.0 * a * c + 2.0 * b * d + a * d + b * c)
    };
    l * (one[0] * other[0] / beam.ea_n
        + one[3] * other[3] / beam.gj_nmm2
        + one[1] * other[1] / beam.gay_n
        + one[2] * other[2] / beam.gaz_n)
        + bending(5, 11, beam.eiz_nmm2)
        + bending(4, 10, beam.eiy_nmm2)
}
