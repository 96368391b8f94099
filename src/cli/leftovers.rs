//! The names of half-written files, and how those of a killed run are removed.

use std::fs;
use std::path::Path;

/// The name that a file has while a process writes it.
pub(crate) fn temporary(name: &str, process: u32) -> String {
    format!(".{name}.{process}.new")
}

/// The file and the process that a temporary name is made of.
fn taken_apart(temporary: &str) -> Option<(&str, u32)> {
    let (name, process) = temporary.strip_prefix('.')?.strip_suffix(".new")?.rsplit_once('.')?;
    let is_number = process.bytes().all(|byte| byte.is_ascii_digit());
    Some((name, process.parse().ok().filter(|_| is_number)?))
}

/// Removes from a folder what processes that are gone left of files of ours. What cannot be removed
/// stays: it harms nobody.
pub(crate) fn remove(folder: &Path, is_ours: impl Fn(&str) -> bool) {
    for entry in fs::read_dir(folder).into_iter().flatten().flatten() {
        let name = entry.file_name();
        let Some((of, process)) = name.to_str().and_then(taken_apart) else { continue };
        let is_file = entry.file_type().is_ok_and(|kind| kind.is_file());
        if is_file && is_ours(of) && is_gone(process, &entry) {
            let _ = fs::remove_file(entry.path());
        }
    }
}

/// Whether the process that wrote a file is no more. This one writes nothing any more when it asks:
/// a file with its number is that of an earlier one.
#[cfg(unix)]
fn is_gone(process: u32, _: &fs::DirEntry) -> bool {
    use nix::errno::Errno;
    use nix::sys::signal::kill;
    use nix::unistd::Pid;
    process == std::process::id()
        || i32::try_from(process).map_or(true, |number| kill(Pid::from_raw(number), None) == Err(Errno::ESRCH))
}

/// Whether the process that wrote a file is no more: writing takes seconds, never an hour.
#[cfg(not(unix))]
fn is_gone(process: u32, file: &fs::DirEntry) -> bool {
    const LONG_AGO: std::time::Duration = std::time::Duration::from_secs(3600);
    let modified = file.metadata().and_then(|metadata| metadata.modified());
    process == std::process::id()
        || modified.is_ok_and(|modified| modified.elapsed().is_ok_and(|elapsed| elapsed > LONG_AGO))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_temporary_name_comes_apart_into_file_and_process() {
        assert_eq!(taken_apart(&temporary("01-left.bend.svg", 42)), Some(("01-left.bend.svg", 42)));
        for other in [".hidden.new", ".a.svg.+1.new", ".a.svg..new", "a.svg.1.new", ".a.svg.1.old", ".1.new"] {
            assert_eq!(taken_apart(other), None, "{other}");
        }
    }
}
