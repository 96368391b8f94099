//! Which files a run writes, and that it touches no others.

use std::process::Command;

use snapbox::{assert_data_eq, str};

use super::{holding, stand};
use crate::support::program::{Ran, Scratch};
use crate::support::{read, repository_file};

/// Names of the sheets in the folder of a frame's report.
fn sheets(folder: &Scratch) -> Vec<String> {
    let names = folder.names().into_iter();
    names.filter_map(|name| name.strip_prefix("reports/frame/")?.strip_suffix(".svg").map(str::to_owned)).collect()
}

/// The run was refused, and every file is as it was before.
#[track_caller]
fn refused_and_untouched(folder: &Scratch, before: &[(String, Vec<u8>)], ran: &Ran) {
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
    let names = |files: &[(String, Vec<u8>)]| files.iter().map(|(name, _)| name.clone()).collect::<Vec<String>>();
    let after = folder.files();
    assert_eq!(names(&after), names(before));
    assert!(after == before, "a file was changed");
}

#[test]
fn two_runs_leave_the_same_bytes_and_print_the_same() {
    for command in ["check", "compare", "draw"] {
        let (first, second) = (stand(), stand());
        let (one, other) = (first.run([command, "frame.json"]), second.run([command, "frame.json"]));
        assert_eq!(one.stdout, other.stdout);
        assert!(first.files().len() > 2);
        assert!(first.files() == second.files(), "{command}");
        first.run([command, "frame.json"]);
        assert!(first.files() == second.files(), "{command} in a folder that it wrote before");
    }
}

#[test]
fn a_file_of_the_users_own_in_the_way_is_left_alone_and_named() {
    let folder = stand();
    folder.write("out/report.html", "mine").write("out/notes.txt", "mine too");
    let before = folder.files();
    let ran = folder.run(["check", "frame.json", "--out", "out"]);
    refused_and_untouched(&folder, &before, &ran);
    assert_data_eq!(
        ran.stderr,
        str![[r#"
error: [..]/out/report.html is in the way and is not one that crossbrace wrote
hint: move it away, or choose another folder with --out

"#]]
    );
}

#[test]
fn a_file_that_the_user_changed_is_neither_overwritten_nor_removed() {
    let folder = stand();
    folder.run(["check", "frame.json"]);
    folder.write("reports/frame/01-hanging.svg", "with my pencil marks");
    let before = folder.files();
    let without = ["check", "frame.json", "--case", "weight", "--out", "reports/frame"];
    for arguments in [&["check", "frame.json"][..], &without] {
        let ran = folder.run(arguments);
        refused_and_untouched(&folder, &before, &ran);
        assert!(ran.stderr.contains("01-hanging.svg was changed since crossbrace wrote it"), "{}", ran.stderr);
    }
}

#[test]
fn sheets_of_cases_that_are_gone_are_removed_and_the_users_files_stay() {
    let folder = stand();
    folder.run(["check", "frame.json"]);
    folder.write("reports/frame/mine.svg", "mine");
    assert_eq!(
        sheets(&folder),
        ["01-hanging", "02-weight", "03-pulled", "04-Utilisation-of-every-tube", "05-Natural-frequencies", "mine"]
    );
    let text = read("models/stand.json");
    let fewer = text.replace("    \"weight\": {\"g\": {\"vert\": 3}, \"wheels\": \"none\"},\n", "");
    assert_ne!(fewer, text);
    folder.write("frame.json", fewer);
    assert_eq!(folder.run(["check", "frame.json"]).code, Some(0));
    assert_eq!(
        sheets(&folder),
        ["01-hanging", "02-pulled", "03-Utilisation-of-every-tube", "04-Natural-frequencies", "mine"]
    );
    assert_eq!(folder.read("reports/frame/mine.svg"), "mine");
}

#[test]
fn two_models_of_one_name_do_not_share_a_folder_unasked() {
    let folder = Scratch::new();
    let text = read("models/stand.json");
    for name in ["s1/a b.json", "s2/a-b.json"] {
        folder.write(name, &text);
    }
    assert_eq!(folder.run(["check", "s1/a b.json"]).code, Some(0));
    // Another spelling of the same file.
    let again = folder.run(["check", folder.path().join("s1/../s1/a b.json").to_str().unwrap()]);
    assert_eq!((again.code, again.stderr.as_str()), (Some(0), ""));
    let before = folder.files();
    let ran = folder.run(["check", "s2/a-b.json"]);
    refused_and_untouched(&folder, &before, &ran);
    assert_data_eq!(
        ran.stderr,
        str![[r#"
error: reports/a-b holds what was made from another model, [..]/s1/a b.json
hint: use --out DIR for another folder, or remove this one

"#]]
    );
    assert_eq!(folder.run(["check", "s2/a-b.json", "--out", "reports/a-b"]).code, Some(0), "it was asked for");
    assert!(folder.read("reports/a-b/files.json").starts_with("{\n  \"model\": \"../../s2/a-b.json\",\n"));
    // A model that was renamed or moved is no other.
    std::fs::rename(folder.path().join("s2/a-b.json"), folder.path().join("a-b.json")).unwrap();
    let moved = folder.run(["check", "a-b.json"]);
    assert_eq!((moved.code, moved.stderr.as_str()), (Some(0), ""));
}

#[test]
fn a_file_that_the_user_removed_is_written_again() {
    let folder = stand();
    folder.run(["check", "frame.json"]);
    let before = folder.files();
    std::fs::remove_file(folder.path().join("reports/frame/report.html")).unwrap();
    assert_eq!(folder.run(["check", "frame.json"]).code, Some(0));
    assert!(folder.files() == before);
}

#[test]
fn a_list_that_names_files_outside_of_its_folder_is_not_believed() {
    let folder = stand();
    folder.write("out/files.json", "{\"files\": {\"../frame.json\": \"sha256 0\"}}");
    let before = folder.files();
    let ran = folder.run(["check", "frame.json", "--out", "out"]);
    refused_and_untouched(&folder, &before, &ran);
}

#[test]
fn sheets_and_tables_may_share_a_folder() {
    let folder = stand();
    for _ in 0..2 {
        let ran = folder.run(["check", "frame.json", "--out", "out", "--csv", "out/."]);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
        let names = folder.names();
        for name in ["out/01-hanging.svg", "out/report.html", "out/cases.csv"] {
            assert!(names.iter().any(|known| known == name), "{name} is not among {names:?}");
        }
    }
}

#[test]
fn where_the_tables_cannot_be_written_no_sheet_is_either() {
    let folder = stand();
    folder.run(["check", "frame.json"]);
    folder.write("tables/cases.csv", "mine").write("frame.json", read("models/stand.json").replace("-1000", "-900"));
    let before = folder.files();
    let ran = folder.run(["check", "frame.json", "--csv", "tables"]);
    refused_and_untouched(&folder, &before, &ran);
}

#[test]
fn a_folder_that_is_a_file_is_refused() {
    let folder = stand();
    folder.write("out", "mine");
    let before = folder.files();
    for out in ["out", "out/deeper"] {
        let ran = folder.run(["check", "frame.json", "--out", out]);
        refused_and_untouched(&folder, &before, &ran);
        assert_data_eq!(
            ran.stderr,
            str![[r#"
error: out is a file, not a folder
hint: use --out DIR for another folder; check --json prints the result and writes no sheets

"#]]
        );
    }
}

#[test]
fn a_folder_that_cannot_be_made_leaves_none_of_those_above_it() {
    let folder = stand();
    let out = format!("a/b/{}", "long".repeat(80));
    let ran = folder.run(["check", "frame.json", "--out", &out]);
    assert_eq!(ran.code, Some(2));
    assert!(!folder.path().join("a").exists());
}

#[test]
#[cfg(target_os = "linux")]
fn a_folder_that_takes_no_files_is_told() {
    // The kernel's own folder takes none from any user.
    let ran = stand().run(["check", "frame.json", "--out", "/proc/crossbrace"]);
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""));
    assert!(ran.stderr.starts_with("error: cannot create /proc/crossbrace: "), "{}", ran.stderr);
    assert!(ran.stderr.contains("\nhint: use --out DIR for another folder"), "{}", ran.stderr);
}

/// The program in a shell that lets no file grow beyond 512 bytes times this; `kept` has the write
/// fail, otherwise the program is killed at it.
#[cfg(target_os = "linux")]
fn with_small_files(folder: &Scratch, arguments: &[&str], blocks: usize, kept: bool) -> Ran {
    let trap = if kept { "trap '' XFSZ;" } else { "" };
    let program = folder.command(arguments);
    let mut shell = Command::new("sh");
    shell.args(["-c", &format!("{trap} ulimit -c 0; ulimit -f {blocks}; exec \"$0\" \"$@\"")]);
    shell.arg(program.get_program()).args(program.get_args()).current_dir(folder.path());
    Ran::of(&mut shell)
}

#[test]
#[cfg(target_os = "linux")]
fn a_disk_that_is_full_leaves_the_folders_as_they_were() {
    let folder = stand();
    let ran = with_small_files(&folder, &["check", "frame.json"], 4, true);
    assert_eq!(ran.code, Some(2), "{}", ran.stderr);
    // It names the sheet, not the name that the sheet has on the way.
    assert_data_eq!(
        ran.stderr,
        str![[r#"
error: cannot write [..]/reports/frame/01-hanging.svg: File too large (os error 27)
hint: use --out DIR for another folder; check --json prints the result and writes no sheets

"#]]
    );
    assert_eq!(folder.names(), ["frame.json"]);
    assert!(!folder.path().join("reports").exists());

    folder.run(["check", "frame.json"]);
    folder.write("frame.json", read("models/stand.json").replace("-1000", "-900"));
    let before = folder.files();
    let ran = with_small_files(&folder, &["check", "frame.json"], 4, true);
    refused_and_untouched(&folder, &before, &ran);
}

#[test]
#[cfg(target_os = "linux")]
fn every_command_that_writes_says_on_a_full_disk_which_file_it_could_not_and_leaves_no_part_of_one() {
    let new = "new car --use hillclimb --front strut --mass 640 --wheelbase 2350 --track-front 1400 --tyre-radius 280";
    // The command, what is in the way of its success, and the file that it cannot write.
    let cases = [
        ("check frame.json --out sheets", 0, "sheets/"),
        ("check frame.json --csv tables --quiet", 0, ""),
        ("draw frame.json --out sheets", 4, "sheets/"),
        ("compare frame.json --out sheets", 4, "sheets/"),
        ("points frame.json --write-csv out.csv", 0, "out.csv"),
        ("points frame.json moved.csv", 0, "frame.json"),
        ("points frame.json lines.dxf --tube main", 0, "frame.json"),
        (new, 4, "car.json"),
    ];
    for (command, blocks, file) in cases {
        let folder = stand();
        folder.write("moved.csv", "A,1,2,3\n");
        let line = "0 SECTION 2 ENTITIES 0 LINE 8 0 10 0 20 0 30 500 11 0 21 300 31 900 0 ENDSEC 0 EOF";
        let header = "0 SECTION 2 HEADER 9 $INSUNITS 70 4 0 ENDSEC";
        folder.write("lines.dxf", format!("{header} {line}").replace(' ', "\n"));
        let before = folder.files();
        let arguments: Vec<&str> = command.split(' ').collect();
        let ran = with_small_files(&folder, &arguments, blocks, true);
        refused_and_untouched(&folder, &before, &ran);
        let told = ran.stderr.lines().find(|line| line.starts_with("error: ")).unwrap_or_default();
        let says = told.starts_with("error: cannot write ") && told.contains(file) && told.contains("File too large");
        assert!(says, "{command}: {}", ran.stderr);
        // With room it writes.
        let ran = folder.run(&arguments);
        assert_eq!(ran.code, Some(0), "{command}: {}", ran.stderr);
        assert!(folder.files() != before, "{command}");
    }
}

#[test]
#[cfg(target_os = "linux")]
fn where_the_report_page_finds_no_room_no_sheet_stays_either() {
    let sound = stand();
    sound.run(["check", "frame.json"]);
    let size = |wanted: fn(&str) -> bool| {
        let files = sound.files().into_iter().filter(|(name, _)| wanted(name));
        files.map(|(_, bytes)| bytes.len()).max().unwrap()
    };
    let (page, sheet) = (size(|name| name.ends_with(".html")), size(|name| name.ends_with(".svg")));
    let blocks = sheet.div_ceil(512);
    assert!(blocks * 512 < page, "the page is larger than any sheet: {page} {sheet}");
    let folder = stand();
    let before = folder.files();
    let ran = with_small_files(&folder, &["check", "frame.json"], blocks, true);
    refused_and_untouched(&folder, &before, &ran);
    assert!(ran.stderr.contains("report.html"), "{}", ran.stderr);
}

#[test]
#[cfg(target_os = "linux")]
fn a_run_that_is_killed_locks_nobody_out_and_leaves_no_sheet_half_written() {
    let folder = stand();
    folder.run(["check", "frame.json"]);
    let before = folder.files();
    folder.write("frame.json", read("models/stand.json").replace("-1000", "-900"));
    assert_eq!(with_small_files(&folder, &["check", "frame.json"], 4, false).code, None, "it was killed");
    let after = folder.files();
    for (name, bytes) in before.iter().filter(|(name, _)| name != "frame.json") {
        assert!(after.iter().any(|(known, now)| known == name && now == bytes), "{name} is not as it was");
    }
    assert_eq!(folder.run(["check", "frame.json"]).code, Some(0));
}

#[test]
fn case_names_that_clean_to_the_same_file_name_do_not_collide() {
    let text = read("models/stand.json");
    let long = "Ü".repeat(64);
    let text = text.replace("\"hanging\"", "\"left bend!\"").replace("\"weight\"", "\"left: bend\"");
    let folder = holding(&text.replace("\"pulled\"", &format!("\"{long}\"")));
    let ran = folder.run(["check", "frame.json"]);
    assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""));
    let made = sheets(&folder);
    assert_eq!(made[..2], ["01-left-bend", "02-left-bend"]);
    assert_eq!(made[2], format!("03-{}", "Ü".repeat(32)));
}

#[test]
fn a_case_name_is_cleaned_to_letters_and_digits_in_a_file_name() {
    let text = read("models/stand.json");
    let text = text.replace("\"hanging\"", "\"..\"").replace("\"weight\"", "\"$(rm -rf) & <b>\"");
    let folder = holding(&text.replace("\"pulled\"", "\"Kurve links; -1 g\""));
    assert_eq!(folder.run(["check", "frame.json"]).code, Some(0));
    assert_eq!(
        sheets(&folder),
        ["01-unnamed", "02-rm-rf-b", "03-Kurve-links-1-g", "04-Utilisation-of-every-tube", "05-Natural-frequencies"]
    );
}

/// What killed and interrupted runs leave: names of half-written files.
fn half_written(folder: &Scratch) -> Vec<String> {
    folder.names().into_iter().filter(|name| name.ends_with(".new") || name.ends_with(".old")).collect()
}

/// A check whose tables are in place, and whose JSON, longer than a pipe holds, nobody reads yet.
#[cfg(unix)]
fn waiting_with_its_tables_written(folder: &Scratch) -> std::process::Child {
    use std::process::Stdio;
    folder.write("car.json", std::fs::read(repository_file("models/hillclimb-front-subframe.json")).unwrap());
    let mut command = folder.command(["check", "car.json", "--json", "--csv", "tables"]);
    let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    let list = folder.path().join("tables/files.json");
    while !std::fs::read_to_string(&list).is_ok_and(|list| list.contains(".new\"")) {
        assert_eq!(child.try_wait().unwrap(), None, "it waits for a reader");
        std::thread::sleep(std::time::Duration::from_millis(2));
    }
    child
}

#[test]
#[cfg(unix)]
fn an_interrupted_run_ends_with_130_and_leaves_the_folders_as_they_were() {
    use nix::sys::signal::{Signal, kill};
    use nix::unistd::Pid;
    let folder = Scratch::new();
    for round in 0..2 {
        if round == 1 {
            folder.run(["check", "car.json", "--case", "kerb at the front left", "--csv", "tables"]);
            folder.write("tables/mine.txt", "mine");
        }
        folder.write("car.json", std::fs::read(repository_file("models/hillclimb-front-subframe.json")).unwrap());
        let before = folder.files();
        let mut child = waiting_with_its_tables_written(&folder);
        kill(Pid::from_raw(child.id().try_into().unwrap()), Signal::SIGINT).unwrap();
        // Nobody reads its JSON before it has ended, so that it cannot end well first.
        child.wait().unwrap();
        let ran = Ran::from(child.wait_with_output().unwrap());
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(130), "interrupted\n"));
        let after = folder.files();
        assert_eq!(folder.names(), before.iter().map(|(name, _)| name.clone()).collect::<Vec<_>>());
        assert!(after == before, "a file was changed");
        assert!(round == 1 || !folder.path().join("tables").exists());
    }
}

#[test]
#[cfg(unix)]
fn what_a_killed_run_left_is_removed_by_the_next_and_what_a_living_one_writes_is_not() {
    let folder = stand();
    let mut killed = waiting_with_its_tables_written(&folder);
    let gone = killed.id();
    killed.kill().unwrap();
    killed.wait().unwrap();
    let living = std::process::id();
    for process in [gone, living] {
        for name in ["01-hanging.svg", "report.html", "files.json", "my-notes.txt"] {
            folder.write(&format!("reports/frame/.{name}.{process}.new"), "half");
        }
    }
    // It was killed somewhere between its first table and its last.
    assert_eq!(folder.run(["check", "frame.json", "--csv", "tables"]).code, Some(0));
    let mut left: Vec<String> = ["01-hanging.svg", "files.json", "my-notes.txt", "report.html"]
        .map(|name| format!("reports/frame/.{name}.{living}.new"))
        .into();
    // Not a name of ours.
    left.push(format!("reports/frame/.my-notes.txt.{gone}.new"));
    left.sort();
    assert_eq!(half_written(&folder), left);
}

#[test]
#[cfg(target_os = "linux")]
fn every_command_that_cannot_write_says_how_that_command_writes_elsewhere() {
    // The kernel's own folder takes none from any user.
    let folder = stand();
    let told = |arguments: &[&str]| {
        let ran = folder.run(arguments);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
        ran.stderr.lines().find_map(|line| line.strip_prefix("hint: ").map(str::to_owned)).unwrap_or_default()
    };
    let other = "use --out DIR for another folder";
    assert_eq!(told(&["draw", "frame.json", "--out", "/proc/crossbrace"]), other);
    let json = "; check --json prints the result and writes no sheets";
    assert_eq!(told(&["check", "frame.json", "--out", "/proc/crossbrace"]), format!("{other}{json}"));
    let csv = "use --csv DIR for another folder";
    assert_eq!(told(&["check", "frame.json", "--json", "--csv", "/proc/crossbrace"]), csv);
    let table = "name a file in another folder, or - to print the table";
    assert_eq!(told(&["points", "frame.json", "--write-csv", "/proc/crossbrace.csv"]), table);
    let car =
        ["--use", "hillclimb", "--front", "links", "--mass", "640", "--wheelbase", "2350", "--track-front", "1400"];
    let new = ["new", "/proc/crossbrace", "--tyre-radius", "280"];
    let model = "name a file in another folder, or print the model with --stdout";
    assert_eq!(told(&[&new[..], &car[..]].concat()), model);
}
