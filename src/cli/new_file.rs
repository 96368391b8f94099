//! A file that was not there: written whole, or not at all.

use std::fs;
use std::io::{self, ErrorKind, Write};
use std::path::Path;

use super::leftovers;

/// Writes a new file.
///
/// # Errors
/// [`ErrorKind::AlreadyExists`] where it is there, and whatever else keeps it from being written.
pub(super) fn write(target: &Path, text: &str) -> io::Result<()> {
    let file = target.file_name().unwrap_or_default().to_string_lossy();
    let temporary = folder_of(target).join(leftovers::temporary(&file, std::process::id()));
    let write = |path: &Path| {
        let mut file = fs::OpenOptions::new().write(true).create_new(true).open(path)?;
        file.write_all(text.as_bytes()).and_then(|()| file.sync_all()).inspect_err(|_| {
            let _ = fs::remove_file(path);
        })
    };
    write(&temporary).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => io::Error::other(format!("{} is in the way", super::shown(&temporary))),
        _ => error,
    })?;
    // A second name for the finished file: unlike a rename it never replaces one that is there.
    let named = match fs::hard_link(&temporary, target) {
        Err(error) if error.kind() != ErrorKind::AlreadyExists => write(target),
        named => named,
    };
    let _ = fs::remove_file(&temporary);
    leftovers::remove(folder_of(target), |name| name == file);
    named
}

/// Whether a new file can be written, before the work that fills it.
///
/// # Errors
/// As those of [`write`].
pub(super) fn try_out(target: &Path) -> io::Result<()> {
    fs::OpenOptions::new().write(true).create_new(true).open(target)?;
    fs::remove_file(target)
}

pub(super) fn folder_of(target: &Path) -> &Path {
    match target.parent() {
        Some(folder) if !folder.as_os_str().is_empty() => folder,
        _ => Path::new("."),
    }
}
