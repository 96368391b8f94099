//! The command: how it ends, what Ctrl-C leaves of it, and its proof in a file.

use serde_json::Value;

use crate::support::program::{Ran, Scratch};
use crate::support::read;

fn portal() -> Value {
    serde_json::from_str(&read("models/sizing/portal-with-brace.json")).unwrap()
}

fn holding(model: &Value) -> Scratch {
    let folder = Scratch::new();
    folder.write("frame.json", model.to_string());
    folder
}

/// What it said, as one line.
fn in_a_line(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

#[test]
fn what_is_found_and_proven_ends_with_0_and_its_proof_is_a_new_file() {
    let folder = holding(&portal());
    let ran = folder.run(["size", "frame.json", "--certificate", "proof.json", "--out", "sheets"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(in_a_line(&ran.stdout).contains("this is the optimum: every lighter design is settled"), "{}", ran.stdout);
    assert!(ran.stderr.contains("searched in "), "{}", ran.stderr);
    let written = folder.read("proof.json");
    let proof: Value = serde_json::from_str(&written).unwrap();
    assert!(!proof["nodes"].as_array().unwrap().is_empty());
    let names = folder.names();
    assert!(["sheets/01-brake.svg", "sheets/report.html"].iter().all(|name| names.contains(&(*name).to_owned())));
    // A proof is never written over.
    let before = folder.files();
    let ran = folder.run(["size", "frame.json", "--certificate", "proof.json", "--out", "more"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert_eq!(ran.stderr, "error: proof.json is there already\nhint: name a new file\n");
    assert_eq!(folder.files(), before);
}

#[test]
fn where_no_design_passes_it_ends_with_1_and_no_option() {
    let mut model = portal();
    model["limits"]["pickup_move"] = serde_json::json!(1e-6);
    let folder = holding(&model);
    let ran = folder.run(["size", "frame.json", "--json"]);
    assert_eq!(ran.code, Some(1), "{}", ran.stderr);
    let told: Value = serde_json::from_str(&ran.stdout).unwrap();
    assert_eq!(told["option"], Value::Null, "{told}");
    assert_eq!(folder.names(), ["frame.json"], "--json writes no files");
}

#[test]
fn a_file_without_sizing_is_told_what_to_write() {
    let mut model = portal();
    model.as_object_mut().unwrap().remove("sizing");
    let ran = holding(&model).run(["size", "frame.json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.contains("\"sizing\""), "{}", ran.stderr);
}

#[test]
fn a_proof_that_cannot_be_written_leaves_nothing_behind() {
    let folder = holding(&portal());
    let ran = folder.run(["size", "frame.json", "--certificate", "nowhere/proof.json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.starts_with("error: cannot write nowhere/proof.json: "), "{}", ran.stderr);
    assert_eq!(folder.names(), ["frame.json"]);
}

#[test]
#[cfg(target_os = "linux")]
fn a_stdout_that_is_full_takes_the_proof_and_the_sheets_back() {
    let folder = holding(&portal());
    let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
    let mut command = folder.command(["size", "frame.json", "--certificate", "proof.json"]);
    let child = command.stdout(full).stderr(std::process::Stdio::piped()).spawn().unwrap();
    let ran = Ran::from(child.wait_with_output().unwrap());
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    assert!(ran.stderr.contains("cannot write to stdout"), "{}", ran.stderr);
    assert_eq!(folder.names(), ["frame.json"]);
}

/// On a terminal, where it says how far it is. Ctrl-C comes once something is settled.
#[test]
#[cfg(target_os = "linux")]
fn ctrl_c_gives_the_best_so_far_with_130_and_a_whole_proof_of_what_is_settled() {
    use std::fs::File;
    use std::io::Read as _;
    use std::process::Stdio;

    use nix::pty::openpty;
    use nix::sys::signal::{Signal, kill};
    use nix::unistd::Pid;
    let folder = Scratch::new();
    let demo = crate::support::repository_file("models/hillclimb-sizing.json");
    folder.write("frame.json", std::fs::read(demo).unwrap());
    let terminal = openpty(None, None).unwrap();
    let mut command = folder.command(["size", "frame.json", "--certificate", "proof.json", "--out", "sheets"]);
    let child = command.stdout(Stdio::piped()).stderr(Stdio::from(terminal.slave)).spawn().unwrap();
    // The parent's end of the terminal's other side, so that it ends with the child.
    drop(command);
    let mut screen = File::from(terminal.master);
    let (mut shown, mut some) = (String::new(), [0; 4096]);
    let mut is_pressed = false;
    // A terminal whose other side is closed is an error to read.
    while let Ok(count) = screen.read(&mut some)
        && count > 0
    {
        shown.push_str(&String::from_utf8_lossy(&some[..count]));
        if !is_pressed && shown.contains(" left; Ctrl-C gives the best so far") {
            kill(Pid::from_raw(child.id().try_into().unwrap()), Signal::SIGINT).unwrap();
            is_pressed = true;
        }
    }
    let ran = child.wait_with_output().unwrap();
    let told = in_a_line(&String::from_utf8(ran.stdout).unwrap());
    assert!(is_pressed, "{shown}");
    assert_eq!(ran.status.code(), Some(130), "{shown}{told}");
    assert!(told.contains("ended by Ctrl-C; "), "{told}");
    assert!(told.contains("No design under ") || told.contains("no design under "), "{told}");
    assert!(!told.contains("this is the optimum"), "{told}");
    assert!(shown.contains(" boxes of designs, by what is settled so far, "), "{shown}");
    assert!(shown.contains(" a second, "), "{shown}");
    let proof: Value = serde_json::from_str(&folder.read("proof.json")).unwrap();
    assert!(proof["nodes"].is_array(), "{proof}");
    assert!(folder.names().contains(&"sheets/report.html".to_owned()), "{:?}", folder.names());
}
