//! Data on stdout, talk on stderr, colour, width, and streams that end early.

use std::io::Read as _;
use std::process::Stdio;

use serde_json::Value;

use super::{COMMANDS, failing, stand};
use crate::support::program::Ran;
use crate::support::{read, repository_file};

/// What a terminal takes for the start of a command.
const ESCAPE: char = '\u{1b}';

/// The front of a car of 700 kg on wheels that carry 840 kg: sound, with a warning.
fn odd() -> String {
    let text = read("models/stand.json");
    let odd = text.replace(
        "\"on\": \"hoop\"}\n  }",
        "\"on\": \"hoop\"},\n    \"spare\": {\"at\": [500, 0, 540], \"on\": \"hoop\"}\n  }",
    );
    assert_ne!(odd, text);
    odd
}

#[test]
fn json_is_one_document_and_nothing_else() {
    for folder in [stand(), failing()] {
        let ran = folder.run(["check", "frame.json", "--json"]);
        let result: Value = serde_json::from_str(&ran.stdout).unwrap();
        assert_eq!(result["format"], 1);
        assert_eq!(result["verdict"]["pass"], ran.code == Some(0));
        assert_eq!(ran.stderr, "");
        assert_eq!(folder.names(), ["frame.json"], "--json alone writes no files");
    }
}

#[test]
fn json_with_csv_still_is_one_document() {
    let folder = stand();
    let ran = folder.run(["check", "frame.json", "--json", "--csv", "tables"]);
    assert!(serde_json::from_str::<Value>(&ran.stdout).is_ok(), "{}", ran.stdout);
    assert!(folder.names().contains(&"tables/cases.csv".to_owned()), "{:?}", folder.names());
}

#[test]
fn warnings_go_to_stderr_and_leave_the_data_and_the_exit_code_alone() {
    for arguments in [&["--json"][..], &["--quiet"], &[]] {
        let folder = stand();
        folder.write("frame.json", odd());
        let ran = folder.run(["check", "frame.json"].iter().chain(arguments));
        assert!(ran.stderr.starts_with("warning: "), "{arguments:?}: {}", ran.stderr);
        assert_eq!(ran.stderr.lines().count(), 1);
        assert!(!ran.stdout.contains("warning: "), "{}", ran.stdout);
        assert_eq!(ran.code, Some(0));
    }
}

#[test]
fn quiet_prints_the_verdict_line_alone() {
    for (folder, word) in [(stand(), "Passes"), (failing(), "Fails")] {
        let ran = folder.run(["check", "frame.json", "--quiet"]);
        assert!(ran.stdout.starts_with(word), "{}", ran.stdout);
        assert_eq!((ran.stdout.lines().count(), ran.stderr.as_str()), (1, ""));
        assert!(folder.names().contains(&"reports/frame/report.html".to_owned()), "{:?}", folder.names());
    }
}

#[test]
fn one_case_alone_is_told_when_it_is_asked_for() {
    let folder = stand();
    let ran = folder.run(["check", "frame.json", "--case", "weight", "--json"]);
    let result: Value = serde_json::from_str(&ran.stdout).unwrap();
    let cases: Vec<&String> = result["cases"].as_object().unwrap().keys().collect();
    assert_eq!(cases, ["weight"]);
}

#[test]
fn an_option_changes_the_frame_that_is_judged() {
    let folder = stand();
    let mass = |arguments: &[&str]| {
        let ran = folder.run(["check", "frame.json", "--json"].iter().chain(arguments));
        serde_json::from_str::<Value>(&ran.stdout).unwrap()["mass"]["frame"].as_f64().unwrap()
    };
    assert!(mass(&["--option", "thicker"]) > mass(&[]));
}

#[test]
fn a_model_is_read_from_stdin_by_every_command() {
    for command in ["check", "draw", "loads", "compare"] {
        let folder = stand();
        let ran = folder.run_with_stdin(&[command, "-"], &read("models/stand.json"));
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{command}");
        assert!(
            command == "loads" || folder.names().iter().any(|name| name.starts_with("reports/model/")),
            "{command}"
        );
    }
}

#[test]
fn colour_is_for_a_terminal_and_never_with_no_color() {
    let folder = failing();
    for arguments in [&["check", "frame.json"][..], &["check", "nothing.json"], &["tubes"]] {
        let coloured = |set: &[&str]| {
            let mut command = folder.command(arguments);
            command.env_remove("NO_COLOR").env_remove("CLICOLOR_FORCE").envs(set.iter().map(|name| (name, "1")));
            let ran = Ran::of(&mut command);
            (ran.stdout + &ran.stderr).contains(ESCAPE)
        };
        assert!(!coloured(&[]), "{arguments:?}: a pipe is no terminal");
        assert!(!coloured(&["NO_COLOR", "CLICOLOR_FORCE"]), "{arguments:?}");
    }
    let mut command = folder.command(["check", "frame.json", "--quiet"]);
    let forced = Ran::of(command.env_remove("NO_COLOR").env("CLICOLOR_FORCE", "1"));
    assert!(forced.stdout.contains(ESCAPE), "there is colour that NO_COLOR can take away: {}", forced.stdout);
}

#[test]
fn no_line_is_wider_than_80_columns() {
    let folder = stand();
    folder.write("car.json", std::fs::read_to_string(repository_file("models/hillclimb-front-subframe.json")).unwrap());
    for command in ["check", "loads", "compare"] {
        narrow(command, &folder.run([command, "frame.json"]));
        narrow(command, &folder.run([command, "car.json"]));
    }
    narrow("tubes", &folder.run(["tubes"]));
    narrow("materials", &folder.run(["materials"]));
}

#[track_caller]
fn narrow(what: &str, ran: &Ran) {
    for line in ran.stdout.lines() {
        assert!(line.chars().count() <= 80, "{what}: {} columns: {line}", line.chars().count());
    }
}

#[test]
fn help_of_every_command_has_an_example_and_fits_80_columns() {
    for command in COMMANDS.iter().map(|command| Some(command[0])).chain([None]) {
        let ran = stand().run(command.into_iter().chain(["--help"]));
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{command:?}");
        let example = format!("  crossbrace {}", command.unwrap_or("check"));
        let (_, after) = ran.stdout.split_once("Example").unwrap_or_else(|| panic!("{command:?}: {}", ran.stdout));
        assert!(after.contains(&example), "{command:?}: {after}");
        narrow(&format!("{command:?}"), &ran);
    }
}

#[test]
fn a_reader_that_has_had_enough_is_no_error() {
    let folder = failing();
    for (arguments, code) in
        [(&["check", "frame.json"][..], 1), (&["check", "frame.json", "--json"], 1), (&["schema"], 0), (&["--help"], 0)]
    {
        let mut command = folder.command(arguments);
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        let mut stderr = String::new();
        child.stderr.take().unwrap().read_to_string(&mut stderr).unwrap();
        assert_eq!((child.wait().unwrap().code(), stderr.as_str()), (Some(code), ""), "{arguments:?}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn a_stdout_that_is_full_is_an_error_and_the_folders_are_as_they_were() {
    for command in COMMANDS {
        let folder = stand();
        let full = std::fs::File::options().write(true).open("/dev/full").unwrap();
        let child = folder.command(command).stdout(full).stderr(Stdio::piped()).spawn().unwrap();
        let ran = Ran::from(child.wait_with_output().unwrap());
        assert_eq!(ran.code, Some(2), "{command:?}");
        assert_eq!(ran.stderr, "error: cannot write to stdout: No space left on device (os error 28)\n", "{command:?}");
        assert_eq!(folder.names(), ["frame.json"], "{command:?}");
        assert!(!folder.path().join("reports").exists(), "{command:?}");
    }
}

#[test]
fn of_many_warnings_the_first_twenty_are_told_and_how_many_there_are() {
    let folder = stand();
    let mut model: Value = serde_json::from_str(&read("models/stand.json")).unwrap();
    for spare in 0..70 {
        model["brackets"][format!("spare {spare}")] = serde_json::json!({"at": [500 + spare, 0, 540], "on": "hoop"});
    }
    folder.write("frame.json", model.to_string());
    for command in ["check", "draw", "loads"] {
        let ran = folder.run([command, "frame.json"]);
        let lines: Vec<&str> = ran.stderr.lines().collect();
        assert_eq!((ran.code, lines.len()), (Some(0), 21), "{command}: {}", ran.stderr);
        assert_eq!(lines[20], "warning: and 50 more", "{command}");
    }
}
