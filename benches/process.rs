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

    /// Processor time of all ended children so far, ms, and the largest memory of one, KiB.
    fn of_children() -> (f64, i64) {
        let usage = getrusage(UsageWho::RUSAGE_CHILDREN).expect("the system counts");
        let spent = usage.user_time() + usage.system_time();
        (spent.num_microseconds() as f64 / 1000.0, usage.max_rss())
    }

    struct Program {
        name: &'static str,
        command: Command,
        exit_code: i32,
        spent_ms: Vec<f64>,
        largest_kib: i64,
    }

    impl Program {
        fn new(name: &'static str, program: &Path, arguments: &[&str], exit_code: i32) -> Self {
            let mut command = Command::new(program);
            command.args(arguments).stdout(Stdio::null()).stderr(Stdio::null());
            Self { name, command, exit_code, spent_ms: Vec::new(), largest_kib: 0 }
        }

        fn run(&mut self) {
            let (before_ms, _) = of_children();
            let status = self.command.status().expect("the program runs");
            assert_eq!(status.code(), Some(self.exit_code), "{}", self.name);
            let (after_ms, largest_kib) = of_children();
            self.spent_ms.push(after_ms - before_ms);
            // The system keeps the largest of all children: true for each as long as they grow.
            if self.largest_kib == 0 {
                self.largest_kib = largest_kib;
            }
        }

        fn median_ms(&mut self) -> f64 {
            self.spent_ms.sort_by(f64::total_cmp);
            self.spent_ms[self.spent_ms.len() / 2]
        }
    }

    /// How many bytes of JSON a check prints. They are not kept: a child counts the memory of the
    /// program that starts it as its own, up to its start.
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
        let medians_ms = programs.each_mut().map(Program::median_ms);
        let mut table = format!("{read} bytes of JSON in, {bytes} out, {rounds} rounds\n");
        table.push_str(&format!("{:<24}{:>14}{:>14}\n", "program", "processor ms", "memory MiB"));
        for (program, median_ms) in programs.iter().zip(&medians_ms) {
            let memory_mib = program.largest_kib as f64 / 1024.0;
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
        _ => programs::compare(if arguments.iter().any(|argument| argument == "--test") { 1 } else { 101 }),
    }
}

/// What a child costs is counted on Unix alone.
#[cfg(not(unix))]
fn main() {}
