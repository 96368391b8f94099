//! The command as a new user tries it, in a pipe.

use std::process::Stdio;

use crate::cli::readme::commands;
use crate::support::program::{Ran, Scratch};
use crate::support::repository_file;

/// A complete command without questions.
const CAR: [&str; 12] = [
    "--use",
    "hillclimb",
    "--front",
    "double-wishbone",
    "--mass",
    "640",
    "--wheelbase",
    "2350 mm",
    "--track-front",
    "1.4 m",
    "--tyre-radius",
    "280",
];

fn new<'a>(name: &'a str, more: &[&'a str]) -> Vec<&'a str> {
    ["new", name].into_iter().chain(CAR).chain(more.iter().copied()).collect()
}

#[test]
fn what_new_writes_passes_check_in_a_clean_folder() {
    let folder = Scratch::new();
    let ran = folder.run(new("my car", &[]));
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), "my car.json\n"), "{}", ran.stderr);
    assert!(ran.stderr.contains("Passes") && ran.stderr.contains("crossbrace check 'my car.json'"), "{}", ran.stderr);
    assert_eq!(folder.names(), ["my car.json"]);
    let checked = folder.run(["check", "my car.json"]);
    assert_eq!((checked.code, checked.stderr.as_str()), (Some(0), ""), "{}", checked.stdout);
}

#[test]
fn an_existing_file_is_never_overwritten() {
    let folder = Scratch::new();
    folder.write("a.json", "mine").write("a-2.json", "mine too");
    for name in ["a", "a.json"] {
        let ran = folder.run(new(name, &[]));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
        assert_eq!(
            ran.stderr,
            "error: a.json is there already, and is not overwritten\nhint: choose another name; a-3.json is free\n"
        );
    }
    assert_eq!((folder.read("a.json").as_str(), folder.names().len()), ("mine", 2));
}

#[cfg(unix)]
#[test]
fn a_link_that_leads_nowhere_is_in_the_way_too() {
    let folder = Scratch::new();
    std::os::unix::fs::symlink("elsewhere.json", folder.path().join("a.json")).unwrap();
    let ran = folder.run(new("a", &[]));
    assert_eq!(ran.code, Some(2));
    assert!(ran.stderr.contains("a.json is there already"), "{}", ran.stderr);
    assert!(!folder.path().join("elsewhere.json").exists());
}

#[test]
fn everything_that_is_missing_is_named_at_once() {
    let folder = Scratch::new();
    let ran = folder.run(["new", "a", "--wheelbase", "2350"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    for option in ["--use", "--front", "--mass or --scales", "--track-front", "--tyre-radius or --tyre-diameter"] {
        assert!(ran.stderr.contains(option), "{option}: {}", ran.stderr);
    }
    let told = ran.stderr.lines().next().unwrap();
    assert!(!told.contains("--wheelbase"), "{told}");
    assert!(ran.stderr.contains("hint: crossbrace new my-car --use"), "{}", ran.stderr);
    assert!(folder.names().is_empty());
}

#[test]
fn the_command_that_is_told_as_an_example_works() {
    let folder = Scratch::new();
    let told = folder.run(["new", "a"]).stderr;
    let example = told.lines().find_map(|line| line.strip_prefix("hint: crossbrace ")).unwrap();
    let ran = folder.run(example.split(' '));
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), "my-car.json\n"), "{}", ran.stderr);
}

#[test]
fn names_are_completed_or_refused() {
    let folder = Scratch::new();
    folder.write("cars/kept.txt", "");
    for (name, written) in [
        ("cars/one", "cars/one.json"),
        ("TWO.JSON", "TWO.JSON"),
        ("v1.2", "v1.2.json"),
        ("für's, \"x\"", "für's, \"x\".json"),
    ] {
        let ran = folder.run(new(name, &[]));
        assert_eq!((ran.code, ran.stdout), (Some(0), format!("{written}\n")), "{}", ran.stderr);
        assert!(folder.path().join(written).is_file());
        assert_eq!(folder.run(["check", written, "--json"]).code, Some(0), "{written}");
    }
    let before = folder.names();
    for (name, why) in [
        ("", "a value is required"),
        ("-", "--stdout"),
        ("..", "is not the name of a file"),
        ("cars/", "is not the name of a file"),
        (" ", "is not the name of a file"),
        ("a\u{1b}[31mb", "control characters"),
        ("nowhere/one", "no folder nowhere"),
    ] {
        let ran = folder.run(new(name, &[]));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{name:?}");
        assert!(ran.stderr.contains(why), "{name:?}: {}", ran.stderr);
    }
    assert_eq!(folder.names(), before);
}

#[test]
fn a_figure_that_no_car_has_is_refused_with_its_option() {
    let folder = Scratch::new();
    for (option, value, why) in [
        ("--cg-height", "4", "outside the 150 to 1000 mm"),
        ("--track-rear", "1,4 m", "decimal number with a point"),
        ("--unsprung", "20 mm", "mm is a unit of length"),
        ("--tube", "38", "outside x wall"),
        ("--material", "E235+M", "E235+N"),
        ("--driven", "left", "is none of front, rear, both, none"),
        ("--rack-height", "inf", "does not start with a number"),
        ("--cg-height", "-450", "is -450 mm, outside"),
        ("--tyre-grip", "", "is not a number"),
        ("--front-share", "45%", "is not a number"),
    ] {
        let ran = folder.run(new("a", &[option, value]));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{option}");
        assert!(ran.stderr.contains(option) && ran.stderr.contains(why), "{option}: {}", ran.stderr);
    }
    for readings in ["100,100,100", "640,5", "100,100,100,5", "20,20,20,20", "200,200,50,40"] {
        let ran = folder.run(["new", "a", "--scales", readings]);
        assert!(ran.code == Some(2) && ran.stderr.contains("--scales"), "{readings}: {}", ran.stderr);
    }
    assert!(folder.names().is_empty());
}

#[test]
fn a_tube_that_is_too_small_is_told_with_the_least_that_passes() {
    let folder = Scratch::new();
    for (named, told, hint) in [
        (&["--tube", "18x1"][..], "error: 18x1 is too small for the rails of this car: the frame fails", "--tube"),
        (&["--brace", "12x1"], "error: 12x1 is too small for the posts and diagonals of this car: the", "--brace"),
    ] {
        let ran = folder.run(new("a", named));
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
        assert!(ran.stderr.starts_with(told), "{}", ran.stderr);
        assert!(folder.names().is_empty());
        let (_, least) = ran.stderr.split_once(&format!("the least of the short list that passes is {hint} ")).unwrap();
        let (least, _) = least.split_once(';').unwrap();
        let passes = folder.run(new("a", &[hint, least, "--stdout"]));
        assert_eq!(passes.code, Some(0), "{}", passes.stderr);
    }
    let both = folder.run(new("a", &["--tube", "16x1", "--brace", "12x1"]));
    assert_eq!(both.code, Some(2), "{}", both.stderr);
    assert!(both.stderr.contains("16x1 and 12x1 are too small for the rails"), "{}", both.stderr);
}

/// The bound is common practice, no source.
#[test]
fn no_tube_is_chosen_that_is_more_than_twice_as_wide_as_the_rails() {
    let folder = Scratch::new();
    for named in ["20x1", "22x1.5", "25x1", "30x1.5"] {
        let ran = folder.run(new("a", &["--tube", named, "--stdout"]));
        if ran.code == Some(2) {
            assert!(ran.stderr.contains("the least of the short list that passes is --tube"), "{}", ran.stderr);
            continue;
        }
        let model: serde_json::Value = serde_json::from_str(&ran.stdout).unwrap();
        let tubes = model["tubes"].as_object().unwrap();
        let od = |name: &str| tubes[name]["round"]["od"].as_f64().unwrap();
        for name in tubes.keys() {
            assert!(od(name) <= 2.0 * od("main"), "{named}: {name} is {} mm", od(name));
        }
    }
}

#[test]
fn stdout_carries_the_model_alone_when_it_is_asked_for() {
    let folder = Scratch::new();
    let ran = folder.run(new("a", &["--stdout"]));
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    assert!(folder.names().is_empty());
    let checked = folder.run_with_stdin(&["check", "-", "--json"], &ran.stdout);
    assert_eq!(checked.code, Some(0), "{}", checked.stderr);
}

#[test]
fn the_schema_is_named_where_it_lies_beside_the_model() {
    let folder = Scratch::new();
    assert!(folder.run(new("a", &[])).stderr.contains("crossbrace schema >"));
    assert!(!folder.read("a.json").contains("$schema"));
    folder.write("model.schema.json", "{}");
    assert!(!folder.run(new("b", &[])).stderr.contains("crossbrace schema >"));
    assert!(folder.read("b.json").starts_with("{\n  \"$schema\": \"model.schema.json\",\n"));
}

#[test]
fn the_command_in_the_readme_writes_the_kept_first_frame() {
    let command = commands().into_iter().find(|words| words[..2] == ["new", "first-frame"]).unwrap();
    let folder = Scratch::new();
    folder.write("model.schema.json", "{}");
    let ran = folder.run(&command);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let kept = std::fs::read_to_string(repository_file("models/first-frame.json")).unwrap();
    assert!(folder.read("first-frame.json") == kept);
}

#[test]
fn what_is_told_next_fits_80_columns_and_names_the_folder() {
    let folder = Scratch::new();
    folder.write("my cars/kept.txt", "");
    let ran = folder.run(new("my cars/one", &[]));
    for line in ran.stderr.lines() {
        assert!(line.chars().count() <= 80, "{} columns: {line}", line.chars().count());
    }
    for command in
        ["crossbrace draw 'my cars/one.json'", "crossbrace check 'my cars/one.json'", "> 'my cars/model.schema.json'"]
    {
        assert!(ran.stderr.contains(command), "{command}: {}", ran.stderr);
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_stdout_that_is_full_leaves_no_model_behind() {
    let folder = Scratch::new();
    let mut command = folder.command(new("a", &[]));
    command.stdout(std::fs::File::options().write(true).open("/dev/full").unwrap());
    let ran = Ran::of(&mut command);
    let told = "error: cannot write to stdout: No space left on device (os error 28)\n";
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(2), told));
    assert!(folder.names().is_empty(), "{:?}", folder.names());
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_written_is_told() {
    use std::os::unix::fs::PermissionsExt;
    let folder = Scratch::new();
    folder.write("locked/kept.txt", "");
    let locked = folder.path().join("locked");
    let may_be_written = |mode| std::fs::set_permissions(&locked, std::fs::Permissions::from_mode(mode)).unwrap();
    may_be_written(0o555);
    // Whoever runs as root may write everywhere.
    let is_locked = std::fs::write(locked.join("probe"), "").is_err();
    let ran = folder.run(new("locked/a", &[]));
    may_be_written(0o755);
    if is_locked {
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
        assert!(ran.stderr.starts_with("error: cannot write locked/a.json: Permission denied"), "{}", ran.stderr);
        assert_eq!(folder.names(), ["locked/kept.txt"]);
    }
}

#[test]
fn a_reader_that_closes_its_end_is_no_error() {
    let folder = Scratch::new();
    let mut command = folder.command(new("a", &["--stdout"]));
    command.stdout(Stdio::piped()).stderr(Stdio::null());
    let mut child = command.spawn().unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}
