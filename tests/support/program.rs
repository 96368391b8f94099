//! The program itself, run in a folder of its own.

use std::ffi::OsStr;
use std::io::Write as _;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicUsize, Ordering};

/// A folder that is removed when the test ends.
pub(crate) struct Scratch(PathBuf);

impl Scratch {
    pub(crate) fn new() -> Self {
        static COUNT: AtomicUsize = AtomicUsize::new(0);
        let number = COUNT.fetch_add(1, Ordering::Relaxed);
        let path = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("run-{}-{number}", std::process::id()));
        std::fs::create_dir_all(&path).unwrap();
        Scratch(path)
    }

    pub(crate) fn path(&self) -> &Path {
        &self.0
    }

    pub(crate) fn write(&self, name: &str, bytes: impl AsRef<[u8]>) -> &Self {
        let path = self.0.join(name);
        std::fs::create_dir_all(path.parent().unwrap()).unwrap();
        std::fs::write(path, bytes).unwrap();
        self
    }

    pub(crate) fn read(&self, name: &str) -> String {
        std::fs::read_to_string(self.0.join(name)).unwrap()
    }

    /// Every file below the folder, by its path in it, with what it holds.
    pub(crate) fn files(&self) -> Vec<(String, Vec<u8>)> {
        let mut found = Vec::new();
        let mut folders = vec![self.0.clone()];
        while let Some(folder) = folders.pop() {
            for entry in std::fs::read_dir(folder).unwrap() {
                let path = entry.unwrap().path();
                if path.is_dir() {
                    folders.push(path);
                } else {
                    let name = path.strip_prefix(&self.0).unwrap().to_str().unwrap().to_owned();
                    found.push((name, std::fs::read(path).unwrap()));
                }
            }
        }
        found.sort();
        found
    }

    /// The names of [`Scratch::files`].
    pub(crate) fn names(&self) -> Vec<String> {
        self.files().into_iter().map(|(name, _)| name).collect()
    }

    /// The program, to be run in this folder.
    pub(crate) fn command<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Command {
        let mut command = Command::new(snapbox::cmd::cargo_bin!("crossbrace"));
        command.args(arguments).current_dir(&self.0).stdin(Stdio::null());
        command
    }

    /// Runs the program in this folder.
    pub(crate) fn run<A: AsRef<OsStr>>(&self, arguments: impl IntoIterator<Item = A>) -> Ran {
        Ran::of(&mut self.command(arguments))
    }

    /// The same with a text on stdin.
    pub(crate) fn run_with_stdin(&self, arguments: &[&str], text: &str) -> Ran {
        let mut command = self.command(arguments);
        command.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped());
        let mut child = command.spawn().unwrap();
        child.stdin.take().unwrap().write_all(text.as_bytes()).unwrap();
        Ran::from(child.wait_with_output().unwrap())
    }
}

impl Drop for Scratch {
    fn drop(&mut self) {
        let _ = std::fs::remove_dir_all(&self.0);
    }
}

/// How a run ended.
#[derive(Debug)]
pub(crate) struct Ran {
    /// Its exit code; a signal has none.
    pub(crate) code: Option<i32>,
    /// What it said.
    pub(crate) stdout: String,
    /// What it complained of.
    pub(crate) stderr: String,
}

impl Ran {
    /// Runs a command to its end.
    pub(crate) fn of(command: &mut Command) -> Self {
        Ran::from(command.output().unwrap())
    }
}

impl From<std::process::Output> for Ran {
    fn from(output: std::process::Output) -> Self {
        Ran {
            code: output.status.code(),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }
}
