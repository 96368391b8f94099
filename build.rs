//! A number for the sources of this build: files of answers are put together only where the same sources made them.

use std::fs;
use std::path::{Path, PathBuf};

use sha2::{Digest, Sha256};

fn main() -> std::io::Result<()> {
    let mut files = vec![PathBuf::from("Cargo.toml"), PathBuf::from("Cargo.lock"), PathBuf::from("build.rs")];
    files_below(Path::new("src"), &mut files)?;
    files.sort();
    let mut sources = Sha256::new();
    for file in &files {
        // The lock file may be missing where the crate is built by another one.
        let Ok(bytes) = fs::read(file) else { continue };
        let name = file.to_string_lossy().replace('\\', "/");
        // A copy may have other line ends.
        let text: Vec<u8> = bytes.into_iter().filter(|byte| *byte != b'\r').collect();
        sources.update([name.as_bytes(), &[0], &text, &[0]].concat());
    }
    for watched in ["src", "Cargo.toml", "Cargo.lock", "build.rs"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    // The first of it is enough to tell builds apart.
    let number: String = sources.finalize()[..8].iter().map(|byte| format!("{byte:02x}")).collect();
    println!("cargo::rustc-env=CROSSBRACE_SOURCES={number}");
    Ok(())
}

fn files_below(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() { files_below(&path, files)? } else { files.push(path) }
    }
    Ok(())
}
