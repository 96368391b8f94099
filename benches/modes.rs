//! What ten load factors and ten natural frequencies of the front demo cost, each tube cut in four, beside one factor and
//! as many solves of the same matrix.
//!
//! `cargo bench --bench modes`. All run in turn in one process on one core; times are medians.

use std::hint::black_box;
use std::io::Write as _;
use std::time::Instant;

use crossbrace::beam::mass::LineMass;
use crossbrace::math::{ChosenEngine, Engine, Factor, Pairs, Search, SymmetricMatrix, largest_pairs};
use crossbrace::model::{Model, load_all};
use crossbrace::run::{prepare, respond};
use crossbrace::solve::System;
use crossbrace::source::Document;
use crossbrace::structure::Purpose;
use nalgebra::DMatrix;

/// How many pairs are looked for.
const PAIRS: usize = 10;
/// Most columns that they may take.
const MOST: usize = 240;

struct Problem {
    system: System,
    mass: SymmetricMatrix,
    /// −Kσ of the first case.
    push: SymmetricMatrix,
}

fn demo() -> Model {
    let text = include_bytes!("../models/hillclimb-front-subframe.json");
    let document = Document::read(text.to_vec()).expect("the demo is JSON");
    load_all(&document).expect("the demo is a model").base
}

fn problem() -> Problem {
    let model = demo();
    let prepared = prepare(&model, Purpose::Statics).expect("the demo is held");
    let response = respond(&model, &prepared, |_| true).expect("the demo is sound");
    let (structure, numbering) = prepared.system.cut(&vec![4; prepared.system.pieces.len()]);
    let system = System::new(structure, numbering);
    let mass = system.sum_of_pieces(|piece| {
        let tube = &system.structure.tubes[system.structure.pieces[piece].tube];
        let stiffness = &system.pieces[piece];
        stiffness.joined.carried(&LineMass::new(&tube.properties, &tube.material).consistent(&stiffness.beam))
    });
    let state = &response.cases[0].state;
    let push = system.sum_of_pieces(|piece| {
        let stiffness = &system.pieces[piece];
        stiffness.joined.carried(&stiffness.beam.geometric(-state.pieces[piece / 4].diagram.first.n))
    });
    Problem { system, mass, push }
}

/// Median time of a step, ms.
fn median(times: &mut [f64]) -> f64 {
    times.sort_by(f64::total_cmp);
    times[times.len() / 2]
}

fn timed<T>(times: &mut Vec<f64>, step: impl FnOnce() -> T) -> T {
    let start = Instant::now();
    let result = black_box(step());
    times.push(start.elapsed().as_secs_f64() * 1e3);
    result
}

fn assert_pairs(factor_of: &SymmetricMatrix, b: &SymmetricMatrix, pairs: &Pairs) {
    assert_eq!(pairs.values.len(), PAIRS);
    for (at, mu) in pairs.values.iter().enumerate() {
        let x = pairs.vectors.columns(at, 1).into_owned();
        let (bx, kx) = (b.times(&x), factor_of.times(&x));
        let left = (&bx - &kx * *mu).amax();
        assert!(left <= 1e-4 * kx.amax() * mu, "{left:e}");
    }
}

fn main() {
    // What `cargo bench -- --test` and `cargo test --benches` ask for is one round.
    let rounds = if std::env::args().any(|argument| argument == "--test") { 1 } else { 51 };
    let Problem { system, mass, push } = problem();
    let plan = ChosenEngine.plan(&system.numbering.pattern);
    let factor: Box<dyn Factor> = plan.factor(&system.matrix).expect("the demo is stiff");
    let (mut vibration, mut buckling, mut screen) = (Vec::new(), Vec::new(), Vec::new());
    let (mut beside_vibration, mut beside_buckling) = (Vec::new(), Vec::new());
    let (mut solves_of_vibration, mut solves_of_buckling) = (0, 0);
    let search = Search { wanted: PAIRS, most: MOST, together: 1, start: 0 };
    for _ in 0..rounds {
        let pairs = timed(&mut vibration, || largest_pairs(&system.matrix, factor.as_ref(), &mass, search));
        assert_pairs(&system.matrix, &mass, &pairs);
        solves_of_vibration = pairs.solves;
        let pairs = timed(&mut buckling, || largest_pairs(&system.matrix, factor.as_ref(), &push, search));
        assert_pairs(&system.matrix, &push, &pairs);
        solves_of_buckling = pairs.solves;
        timed(&mut screen, || {
            let mut shifted = system.matrix.clone();
            shifted.add_times(&push, -10.0);
            plan.factor_and_count(&shifted).map(|(_, count)| count)
        })
        .expect("ten times the load is no load factor");
        for (times, solves) in
            [(&mut beside_vibration, solves_of_vibration), (&mut beside_buckling, solves_of_buckling)]
        {
            timed(times, || {
                let factor = plan.factor(&system.matrix).expect("the demo is stiff");
                let mut x = DMatrix::from_element(system.matrix.n(), 1, 1.0);
                for _ in 0..solves {
                    factor.solve(&mut x);
                    let size = x.amax();
                    x /= size;
                }
                x
            });
        }
    }
    let mut out = std::io::stdout().lock();
    let told = writeln!(
        out,
        "{} unknowns\n\
         ten frequencies   {:.2} ms, {solves_of_vibration} columns solved; factor and as many solves {:.2} ms\n\
         ten load factors  {:.2} ms, {solves_of_buckling} columns solved; factor and as many solves {:.2} ms\n\
         screen of a case  {:.3} ms",
        system.matrix.n(),
        median(&mut vibration),
        median(&mut beside_vibration),
        median(&mut buckling),
        median(&mut beside_buckling),
        median(&mut screen)
    );
    told.expect("stdout takes a table");
}
