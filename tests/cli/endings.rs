//! Exit codes, and the words that go with an end that is not a good one.

use snapbox::{assert_data_eq, str};

use super::{COMMANDS, failing, stand};
use crate::support::program::{Ran, Scratch};

/// It ended with 2 and this on stderr, and left stdout empty.
#[track_caller]
fn refused(ran: &Ran, stderr: impl snapbox::IntoData) {
    assert_data_eq!(ran.stderr.as_str(), stderr.into_data().raw());
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
}

#[test]
fn every_command_ends_with_0_where_nothing_is_wrong() {
    let folder = stand();
    for command in COMMANDS {
        let ran = folder.run(command);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{command:?}");
        assert_ne!(ran.stdout, "", "{command:?} says nothing");
    }
}

#[test]
fn only_check_judges_and_so_only_check_ends_with_1() {
    let folder = failing();
    for (arguments, code) in [
        (&["check", "frame.json"][..], 1),
        (&["check", "frame.json", "--quiet"], 1),
        (&["check", "frame.json", "--json"], 1),
        (&["loads", "frame.json"], 0),
        (&["draw", "frame.json"], 0),
    ] {
        assert_eq!(folder.run(arguments).code, Some(code), "{arguments:?}");
    }
}

#[test]
fn a_broken_model_ends_every_command_that_reads_one_with_2_and_leaves_no_file() {
    for command in ["check", "draw", "loads", "compare"] {
        let folder = Scratch::new();
        folder.write("frame.json", "{\"format\": 1}");
        let ran = folder.run([command, "frame.json"]);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{command}");
        assert!(ran.stderr.starts_with("error: frame.json:1:1: "), "{command}: {}", ran.stderr);
        assert_eq!(folder.names(), ["frame.json"], "{command}");
    }
}

#[test]
fn a_frame_without_mounts_is_drawn_with_a_warning() {
    let folder = Scratch::new();
    let frame = r#"{"format": 1, "nodes": {"A": [0, 0, 0], "B": [500, 0, 0]}, "mounts": {},
        "tubes": {"t": {"round": {"od": 30, "wall": 2}, "material": "E235+N"}},
        "members": {"m": {"ends": ["A", "B"], "tube": "t"}}, "cases": {"push": {"forces": {"B": [0, 0, 100]}}}}"#;
    folder.write("frame.json", frame);
    let ran = folder.run(["draw", "frame.json"]);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(ran.stderr.contains("warning: \"mounts\" is empty: nothing holds the frame\n"), "{}", ran.stderr);
}

#[test]
fn a_file_that_is_not_there_names_the_nearest() {
    refused(
        &stand().run(["check", "fame.json"]),
        str![[r#"
error: cannot read fame.json: No such file or directory (os error 2)
hint: did you mean "frame.json"?

"#]],
    );
}

#[test]
fn a_file_unlike_any_other_is_answered_with_the_models_there_are() {
    let folder = stand();
    folder.write("models/one.json", "{}").write("models/two.json", "{}").write("models/notes.txt", "");
    refused(
        &folder.run(["check", "models/subframe.json"]),
        str![[r#"
error: cannot read models/subframe.json: No such file or directory (os error 2)
hint: there are: one.json, two.json

"#]],
    );
}

#[test]
fn a_file_in_a_folder_that_is_not_there_is_not_found() {
    refused(
        &stand().run(["check", "nowhere/frame.json"]),
        str![[r#"
error: cannot read nowhere/frame.json: No such file or directory (os error 2)

"#]],
    );
}

#[test]
fn a_folder_is_no_model_and_its_models_are_named() {
    let folder = stand();
    folder.write("models/one.json", "{}");
    refused(
        &folder.run(["check", "models"]),
        str![[r#"
error: models is a folder; name a model file in it
hint: there are: one.json

"#]],
    );
}

#[test]
#[cfg(target_os = "linux")]
fn a_file_that_cannot_be_read_is_told() {
    // Nothing is at address 0 of a process, so reading its memory from the start fails for every user.
    refused(
        &stand().run(["check", "/proc/self/mem"]),
        str![[r#"
error: cannot read /proc/self/mem: Input/output error (os error 5)

"#]],
    );
}

#[test]
fn a_case_that_is_not_there_names_the_nearest() {
    for command in ["check", "loads", "draw", "compare"] {
        let ran = stand().run([command, "frame.json", "--case", "hangin"]);
        refused(
            &ran,
            str![[r#"
error: there is no case "hangin"
hint: did you mean "hanging"?

"#]],
        );
    }
}

#[test]
fn an_option_that_is_not_there_names_the_nearest() {
    for command in ["check", "loads", "draw", "compare"] {
        let ran = stand().run([command, "frame.json", "--option", "thick"]);
        refused(
            &ran,
            str![[r#"
error: there is no option "thick"
hint: did you mean "thicker"?

"#]],
        );
    }
}

#[test]
fn a_frame_without_options_has_nothing_to_compare() {
    refused(
        &failing().run(["compare", "frame.json"]),
        str![[r#"
error: frame.json has no "options" to compare
hint: such as "options": {"thinner rails": {"change": {"tubes": {…}}}}; crossbrace schema has every key, and
  models/FORMAT.md of the project explains them

"#]],
    );
}

#[test]
fn a_command_that_is_not_there_ends_with_2_and_names_the_nearest() {
    let ran = stand().run(["chek", "frame.json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.contains("'check'"), "{}", ran.stderr);
}

#[test]
fn quiet_and_json_do_not_go_together() {
    let ran = stand().run(["check", "frame.json", "--quiet", "--json"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
}

#[test]
fn a_negative_number_where_none_may_be_is_told_in_words() {
    for (arguments, told) in [
        (&["triangulate", "frame.json", "--for", "twist", "--at-most", "-1"][..], "it is a whole number from 1 on"),
        (&["size", "frame.json", "--boxes", "-1"], "it is a whole number from 0 on"),
        (&["scatter", "frame.json", "--draws", "-1"], "it is a whole number from 100 to 100000"),
        (&["scatter", "frame.json", "--seed", "-1"], "it is a whole number from 0 on"),
        (&["compare", "frame.json", "--keep", "kept.json", "--part", "-1/2"], "write which part of how many"),
    ] {
        let ran = stand().run(arguments);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{arguments:?}");
        assert!(ran.stderr.contains(told), "{arguments:?}: {}", ran.stderr);
    }
}

#[test]
fn a_model_named_without_its_ending_is_asked_about() {
    let ran = stand().run(["check", "frame"]);
    assert_eq!(ran.code, Some(2));
    assert!(ran.stderr.ends_with("hint: did you mean \"frame.json\"?\n"), "{}", ran.stderr);
}

#[test]
fn half_a_word_of_an_option_is_asked_about() {
    for (option, word, meant) in
        [("--front", "wishbone", "double-wishbone"), ("--use", "loose", "loose-surface-sprint")]
    {
        let ran = stand().run(["new", "car", option, word]);
        assert_eq!(ran.code, Some(2));
        assert!(ran.stderr.contains(&format!("did you mean {meant}?")), "{}", ran.stderr);
    }
}

#[test]
#[cfg(target_os = "linux")]
fn help_that_cannot_be_written_is_told() {
    let folder = stand();
    let mut command = folder.command(["--help"]);
    command.stdout(std::fs::File::options().write(true).open("/dev/full").unwrap());
    let ran = Ran::of(&mut command);
    let told = "error: cannot write to stdout: No space left on device (os error 28)\n";
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(2), told));
}

#[test]
fn a_limit_of_nothing_is_passed_many_times_and_no_number_is_made_of_it() {
    let folder = failing();
    let text = folder.read("frame.json").replace("\"limits\": {", "\"limits\": {\"pickup_move\": 0, ");
    folder.write(
        "frame.json",
        text.replace("\"tip\": [800, 0, 500]", "\"tip\": {\"at\": [800, 0, 500], \"pickup\": true}"),
    );
    let ran = folder.run(["check", "frame.json"]);
    assert_eq!(ran.code, Some(1), "{}", ran.stderr);
    let sheet = folder.read("reports/frame/01-hanging.svg");
    assert!(!sheet.contains("1000000000") && sheet.contains("more than 1000 times the limit"), "{sheet}");
}
