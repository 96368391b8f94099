//! A number for the sources of this build: files of answers are put together only where the same sources made them.

use std::fs;
use std::path::{Path, PathBuf};

/// FNV-1a with 64 bits (Fowler, Noll & Vo, from memory): it tells builds apart and guards against nothing.
const FNV_BASIS: u64 = 0xcbf2_9ce4_8422_2325;
const FNV_PRIME: u64 = 0x0000_0100_0000_01b3;

fn main() -> std::io::Result<()> {
    let mut files = vec![PathBuf::from("Cargo.toml"), PathBuf::from("Cargo.lock"), PathBuf::from("build.rs")];
    files_below(Path::new("src"), &mut files)?;
    files.sort();
    let mut number = FNV_BASIS;
    for file in &files {
        // The lock file may be missing where the crate is built by another one.
        let Ok(bytes) = fs::read(file) else { continue };
        let name = file.to_string_lossy().replace('\\', "/");
        // A copy may have other line ends.
        let told = [name.as_bytes(), &[0], &bytes, &[0]].concat().into_iter().filter(|byte| *byte != b'\r');
        number = told.fold(number, |number, byte| (number ^ u64::from(byte)).wrapping_mul(FNV_PRIME));
    }
    for watched in ["src", "Cargo.toml", "Cargo.lock", "build.rs"] {
        println!("cargo::rerun-if-changed={watched}");
    }
    println!("cargo::rustc-env=CROSSBRACE_SOURCES={number:016x}");
    Ok(())
}

fn files_below(folder: &Path, files: &mut Vec<PathBuf>) -> std::io::Result<()> {
    for entry in fs::read_dir(folder)? {
        let path = entry?.path();
        if path.is_dir() { files_below(&path, files)? } else { files.push(path) }
    }
    Ok(())
}
