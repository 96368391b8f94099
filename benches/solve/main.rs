//! What the solver costs beside general libraries, on frames of a workshop's size and on lattices.
//!
//! `cargo bench --bench solve` prints the table that `reports/speed.md` keeps; `-- frames` leaves out
//! the lattices and the counts. Every side has the
//! same matrices and right sides, and runs in turn with the others on one core; times are medians.
//! Each answer is asserted. Where valgrind is installed, instructions are counted too.

mod problems;
mod sides;

use std::io::Write as _;
use std::process::{Command, Stdio};
use std::sync::Arc;
use std::time::Instant;

use crossbrace::math::{BlockPattern, ChosenEngine, Engine, SymmetricMatrix, inverse_norm_1};
use crossbrace::solve::{RightSide, Solved, System, backward_error};
use nalgebra::DMatrix;

use problems::{Frame, columns, lattice};
use sides::all_sides;

/// Edges of the lattices: about 3,000, 6,000, 30,000 and 100,000 unknowns.
const EDGES: [usize; 4] = [8, 10, 17, 26];

fn frames() -> [Frame; 2] {
    [
        Frame::new("bench-frame", include_bytes!("../../models/bench-frame.json")),
        Frame::new("front demo", include_bytes!("../../models/hillclimb-front-subframe.json")),
    ]
}

/// Times of one step, µs.
#[derive(Default, Clone)]
struct Times(Vec<f64>);

impl Times {
    fn add<T>(&mut self, step: impl FnOnce() -> T) -> T {
        let start = Instant::now();
        let result = step();
        self.0.push(start.elapsed().as_secs_f64() * 1e6);
        result
    }

    /// The value that such a part of the rounds stays under; the median at a half.
    fn quantile(&self, part: f64) -> f64 {
        let mut sorted = self.0.clone();
        sorted.sort_by(f64::total_cmp);
        sorted[((sorted.len() - 1) as f64 * part).round() as usize]
    }
}

/// The largest componentwise backward error of an answer, before any refinement.
fn error_of(matrix: &SymmetricMatrix, x: &DMatrix<f64>, b: &DMatrix<f64>) -> f64 {
    let error = backward_error(matrix, x, b).0.into_iter().fold(0.0, f64::max);
    // The lattices are far worse conditioned than frames.
    assert!(error < 1e-11, "{error:e}");
    error
}

/// Runs all sides in turn; the rows of the table.
fn compare(
    name: &str,
    pattern: &Arc<BlockPattern>,
    matrix: &SymmetricMatrix,
    b: &DMatrix<f64>,
    rounds: usize,
) -> String {
    let mut sides = all_sides(pattern.n_unknowns());
    for side in &mut sides {
        side.take(pattern, matrix);
    }
    let mut times: Vec<[Times; 4]> = sides.iter().map(|_| Default::default()).collect();
    let mut errors = vec![0.0; sides.len()];
    for round in 0..rounds {
        for place in 0..sides.len() {
            // Who comes first finds the machine otherwise than who comes last: each is first in turn.
            let at = (round + place) % sides.len();
            let (side, [plan, factor, solve, sum]) = (&mut sides[at], &mut times[at]);
            plan.add(|| side.plan());
            factor.add(|| side.factor());
            let mut x = b.clone();
            solve.add(|| side.solve(&mut x));
            sum.0.push([plan, factor, solve].iter().map(|times| times.0[round]).sum());
            errors[at] = f64::max(errors[at], error_of(matrix, &x, b));
        }
    }
    let own = times[0][3].quantile(0.5);
    let mut rows = String::new();
    for ((side, [plan, factor, solve, sum]), error) in sides.iter().zip(&times).zip(&errors) {
        let [plan, factor, solve] = [plan, factor, solve].map(|times| times.quantile(0.5));
        rows.push_str(&format!(
            "| {name} | {} | {} | {plan:.1} | {factor:.1} | {solve:.1} | {:.1} | {:.1} – {:.1} | {:.2} | {error:.1e} |\n",
            pattern.n_unknowns(),
            side.name(),
            sum.quantile(0.5),
            sum.quantile(0.25),
            sum.quantile(0.75),
            sum.quantile(0.5) / own,
        ));
    }
    rows
}

/// One whole solution of a frame with the crate's engine: assembly to end forces, then what `check`
/// pays beside these for knowing how accurate it is. The frame is taken apart and numbered before.
fn whole(frame: &Frame, rounds: usize) -> String {
    let mut times: [Times; 8] = Default::default();
    for _ in 0..rounds {
        let (structure, numbering) = (frame.structure.clone(), frame.numbering.clone());
        let [assembly, plan, factor, right, solve, forces, condition, refinement] = &mut times;
        let system = assembly.add(|| System::new(structure, numbering));
        let planned = plan.add(|| ChosenEngine.plan(&system.numbering.pattern));
        let factored = factor.add(|| planned.factor(&system.matrix).expect("the frame is held"));
        let sides: Vec<RightSide> = right.add(|| frame.right_sides(&system));
        let right = columns(&sides);
        let mut x = right.clone();
        solve.add(|| factored.solve(&mut x));
        let states: Vec<_> = forces.add(|| {
            let state = |(at, side): (usize, &RightSide)| system.state(side, &x.column(at).into_owned());
            sides.iter().enumerate().map(state).collect()
        });
        assert!(states.iter().all(|state| state.balance < 1e-6), "{} is out of balance", frame.name);
        let scale: Vec<f64> = system.matrix.diagonal().iter().map(|value| value.sqrt().recip()).collect();
        let inverse = condition.add(|| inverse_norm_1(factored.as_ref(), &scale));
        let solved = Solved { factor: factored, condition: inverse };
        let (_, errors) = refinement.add(|| solved.refined(&system, x, &right));
        assert!(errors.iter().all(|error| *error <= 1e-14), "{} is not accurate", frame.name);
    }
    let medians = times.each_ref().map(|times| times.quantile(0.5));
    let [assembly, plan, factor, right, solve, forces, condition, refinement] = medians;
    let sum = assembly + plan + factor + right + solve + forces;
    format!(
        "| {} | {assembly:.1} | {plan:.1} | {factor:.1} | {right:.1} | {solve:.1} | {forces:.1} | {sum:.1} | {:.1} | {condition:.1} | {refinement:.1} |\n",
        frame.name,
        sum - plan,
    )
}

/// Plans, factorises and solves a frame so many times by one side, for valgrind to count.
fn repeat(frame: usize, side: usize, times: usize) {
    let frame = &frames()[frame];
    let system = System::new(frame.structure.clone(), frame.numbering.clone());
    let b = columns(&frame.right_sides(&system));
    let mut sides = all_sides(system.matrix.n());
    let side = &mut sides[side];
    side.take(&system.numbering.pattern, &system.matrix);
    let mut x = b.clone();
    for _ in 0..times {
        side.plan();
        side.factor();
        x.copy_from(&b);
        side.solve(&mut x);
    }
    error_of(&system.matrix, &x, &b);
}

/// Instructions that valgrind counts for plan, factor and ten cases; `None` where it is not there.
fn instructions(frame: usize, side: usize) -> Option<u64> {
    let count = |times: usize| {
        let output = Command::new("valgrind")
            .args(["--tool=callgrind", "--callgrind-out-file=/dev/null"])
            .arg(std::env::current_exe().ok()?)
            .args(["repeat", &frame.to_string(), &side.to_string(), &times.to_string()])
            .stdin(Stdio::null())
            .output()
            .ok()?;
        let said = String::from_utf8_lossy(&output.stderr).into_owned();
        let line = said.lines().find(|line| line.contains("Collected"))?;
        line.rsplit(' ').next()?.parse::<u64>().ok()
    };
    // What a process costs before and after is in both.
    Some((count(11)? - count(1)?) / 10)
}

fn print(text: &str) {
    std::io::stdout().write_all(text.as_bytes()).expect("stdout takes it");
}

fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    if arguments.get(1).is_some_and(|argument| argument == "repeat") {
        let number = |at: usize| arguments[at].parse().expect("a number");
        return repeat(number(2), number(3), number(4));
    }
    let has = |asked: &str| arguments.iter().any(|argument| argument == asked);
    let once = has("--test");
    let frames_alone = once || has("frames");
    print("One case: order and plan, factor, ten right sides, in µs; ratio to crossbrace.\n\n");
    print(
        "| problem | unknowns | side | plan | factor | ten cases | sum | middle half of the rounds | ratio | backward error |\n",
    );
    print("| --- | ---: | --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n");
    let frames = frames();
    for frame in &frames {
        let system = System::new(frame.structure.clone(), frame.numbering.clone());
        let b = columns(&frame.right_sides(&system));
        print(&compare(frame.name, &system.numbering.pattern, &system.matrix, &b, if once { 1 } else { 1001 }));
    }
    for edge in if frames_alone { &EDGES[..0] } else { &EDGES[..] } {
        let (pattern, matrix) = lattice(*edge);
        let b = DMatrix::from_fn(matrix.n(), 10, |row, column| ((row * 7 + column * 13) % 11) as f64 - 5.0);
        print(&compare(&format!("lattice of {edge}³"), &pattern, &matrix, &b, if *edge < 20 { 15 } else { 5 }));
    }
    print("\nA frame from assembly to end forces by crossbrace, in µs.\n\n");
    print(
        "| frame | assembly | plan | factor | right sides | ten cases | end forces | sum | plan reused | condition | residual and refinement |\n",
    );
    print("| --- | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: | ---: |\n");
    for frame in &frames {
        print(&whole(frame, if once { 1 } else { 1001 }));
    }
    if !frames_alone {
        print("\nInstructions for plan, factor and ten cases (valgrind's count).\n\n");
        print("| frame | side | instructions |\n| --- | --- | ---: |\n");
        for (at, frame) in frames.iter().enumerate() {
            for (place, side) in all_sides(frame.numbering.pattern.n_unknowns()).iter().enumerate() {
                if let Some(count) = instructions(at, place) {
                    print(&format!("| {} | {} | {count} |\n", frame.name, side.name()));
                }
            }
        }
    }
}
