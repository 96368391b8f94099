//! What a whole process costs beside one that does the least: reads the same file with a general
//! reader of JSON and prints as many bytes of it. Both run in turn; processor times are medians.
//!
//! `cargo bench --bench process` prints them; figures of different runs do not compare.

#[cfg(unix)]
mod programs {
    use std::io::Write;
    use std::path::Path;
    use std::process::{Command, Stdio};

    use nix::sys::resource::{UsageWho, getrusage};
    use nix::sys::time::TimeValLike;
    use serde_json::Value;

    const DEMO: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/models/hillclimb-front-subframe.json");

    /// The program that does the least: prints a file's JSON again and again up to a size.
    pub(crate) fn least(file: &str, bytes: usize) {
        let text = std::fs::read_to_string(file).expect("the demo can be read");
        let value: Value = serde_json::from_str(&text).expect("the demo is JSON");
        let mut printed = Vec::new();
        while printed.len() < bytes {
            serde_json::to_writer(&mut printed, &value).expect("a value is written to memory");
        }
        std::io::stdout().write_all(&printed[..bytes]).expect("stdout takes it");
    }

    /// Runs a program as the only child of this process, and prints its processor time, ms, its largest
    /// memory, KiB, and its exit code: what the system counts of children is theirs together.
    pub(crate) fn measure(program: &str, arguments: &[String]) {
        let mut command = Command::new(program);
        let status = command.args(arguments).stdout(Stdio::null()).stderr(Stdio::null()).status();
        let exit_code = status.expect("the program runs").code().expect("no signal ends it");
        let usage = getrusage(UsageWho::RUSAGE_CHILDREN).expect("the system counts");
        let spent_ms = (usage.user_time() + usage.system_time()).num_microseconds() as f64 / 1000.0;
        let line = format!("{spent_ms} {} {exit_code}", usage.max_rss());
        std::io::stdout().write_all(line.as_bytes()).expect("stdout takes it");
    }

    struct Program {
        name: &'static str,
        measured: Command,
        exit_code: f64,
        spent_ms: Vec<f64>,
        memory_kib: Vec<f64>,
    }

    impl Program {
        fn new(name: &'static str, program: &Path, arguments: &[&str], exit_code: u8) -> Self {
            let mut measured = Command::new(std::env::current_exe().expect("a running program has a file"));
            measured.arg("measure").arg(program).args(arguments);
            Self { name, measured, exit_code: exit_code.into(), spent_ms: Vec::new(), memory_kib: Vec::new() }
        }

        fn run(&mut self) {
            let output = self.measured.output().expect("the program runs");
            let line = String::from_utf8(output.stdout).expect("three numbers");
            let numbers: Vec<f64> = line.split(' ').map(|number| number.parse().expect("a number")).collect();
            assert_eq!(numbers[2], self.exit_code, "{}", self.name);
            self.spent_ms.push(numbers[0]);
            self.memory_kib.push(numbers[1]);
        }
    }

    fn median(values: &mut [f64]) -> f64 {
        values.sort_by(f64::total_cmp);
        values[values.len() / 2]
    }

    /// How many bytes of JSON a check prints.
    fn printed(crossbrace: &Path) -> usize {
        let mut child = Command::new(crossbrace)
            .args(["check", DEMO, "--json"])
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("crossbrace runs");
        let mut stdout = child.stdout.take().expect("stdout is a pipe");
        let bytes = std::io::copy(&mut stdout, &mut std::io::sink()).expect("a pipe can be read");
        assert_eq!(child.wait().expect("crossbrace ends").code(), Some(1), "the demo fails as drawn");
        usize::try_from(bytes).expect("it fits in memory")
    }

    /// Runs all programs in turn and prints what each costs.
    pub(crate) fn compare(rounds: usize) {
        let own = std::env::current_exe().expect("a running program has a file");
        let crossbrace = Path::new(env!("CARGO_BIN_EXE_crossbrace"));
        let bytes = printed(crossbrace);
        let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join("process-bench");
        let out = folder.to_str().expect("the target folder has a plain name");
        let mut programs = [
            Program::new("nothing", &own, &["nothing"], 0),
            Program::new("least", &own, &["least", DEMO, &bytes.to_string()], 0),
            Program::new("check --json", crossbrace, &["check", DEMO, "--json"], 1),
            Program::new("check, sheets and page", crossbrace, &["check", DEMO, "--out", out], 1),
        ];
        for _ in 0..rounds {
            programs.iter_mut().for_each(Program::run);
        }
        let read = std::fs::metadata(DEMO).expect("the demo is there").len();
        let medians_ms = programs.each_mut().map(|program| median(&mut program.spent_ms));
        let mut table = format!("{read} bytes of JSON in, {bytes} out, {rounds} rounds\n");
        table.push_str(&format!("{:<24}{:>14}{:>14}\n", "program", "processor ms", "memory MiB"));
        for (program, median_ms) in programs.iter_mut().zip(&medians_ms) {
            let memory_mib = median(&mut program.memory_kib) / 1024.0;
            table.push_str(&format!("{:<24}{median_ms:>14.2}{memory_mib:>14.1}\n", program.name));
        }
        let [_, least_ms, check_ms, _] = medians_ms;
        table.push_str(&format!("check --json costs {:.2} times the least\n", check_ms / least_ms));
        std::io::stdout().write_all(table.as_bytes()).expect("stdout takes it");
    }
}

#[cfg(unix)]
fn main() {
    let arguments: Vec<String> = std::env::args().collect();
    match arguments.get(1).map(String::as_str) {
        Some("nothing") => {}
        Some("least") => programs::least(&arguments[2], arguments[3].parse().expect("a number of bytes")),
        Some("measure") => programs::measure(&arguments[2], &arguments[3..]),
        _ => programs::compare(if arguments.iter().any(|argument| argument == "--test") { 1 } else { 101 }),
    }
}

/// What a child costs is counted on Unix alone.
#[cfg(not(unix))]
fn main() {}
