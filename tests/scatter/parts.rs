//! Studies in parts, put together again, and gone on with: the same bytes as of one run, and nothing else is taken.

use serde_json::{Value, json};

use super::{cantilever, car};
use crate::support::program::{Ran, Scratch};

/// A folder with a tube that is quickly solved.
fn folder() -> Scratch {
    let folder = Scratch::new();
    folder.write("frame.json", cantilever().to_string());
    folder
}

const STUDY: [&str; 6] = ["scatter", "frame.json", "--draws=120", "--vary=mounts=0", "--vary", "nodes=1"];

fn part(folder: &Scratch, part: &str, file: &str) -> Ran {
    folder.run(STUDY.into_iter().chain(["--part", part, "--keep", file]))
}

fn in_parts(folder: &Scratch, of: usize) -> Vec<String> {
    (1..=of)
        .map(|number| {
            let file = format!("part-{number}.json");
            let ran = part(folder, &format!("{number}/{of}"), &file);
            assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
            file
        })
        .collect()
}

fn gathered<'a>(folder: &Scratch, files: impl IntoIterator<Item = &'a str>) -> Ran {
    folder.run(["gather"].into_iter().chain(files))
}

/// What a run that must be refused says.
#[track_caller]
fn refusal(ran: &Ran) -> &str {
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(2), ""), "{}", ran.stderr);
    assert!(!ran.stderr.contains("panicked"), "{}", ran.stderr);
    ran.stderr.trim_end()
}

/// Changes one key of a file of kept answers.
fn changed(folder: &Scratch, file: &str, key: &str, value: Value) {
    let mut kept: Value = serde_json::from_str(&folder.read(file)).unwrap();
    kept[key] = value;
    folder.write(file, kept.to_string());
}

#[test]
fn parts_put_together_in_any_order_print_what_one_run_prints() {
    let folder = folder();
    let whole = folder.run(STUDY);
    assert_eq!(whole.code, Some(0), "{}", whole.stderr);
    let picture = folder.read("reports/frame/scatter/01-What-moves-the-worst.svg");
    let mut files = in_parts(&folder, 3);
    files.reverse();
    let together = gathered(&folder, files.iter().map(String::as_str));
    assert_eq!((together.code, &together.stdout), (Some(0), &whole.stdout), "{}", together.stderr);
    assert_eq!(folder.read("reports/frame/scatter/01-What-moves-the-worst.svg"), picture);
    let json = folder.run(STUDY.into_iter().chain(["--json"]));
    let together = folder.run(["gather", "--json"].into_iter().chain(files.iter().map(String::as_str)));
    assert_eq!(together.stdout, json.stdout);
}

#[test]
fn every_study_that_can_be_divided_is_put_together_to_the_same_bytes() {
    let folder = Scratch::new();
    let mut braced = car();
    braced["bracing"] = json!({
        "tube": "rail",
        "between": [["LF.l", "UR.l"], ["LF.l", "LR.r"], ["UF.l", "UR.r"], ["UF.l", "ST.r"], ["LR.l", "ST.l"], ["LF.l", "ST.l"], ["LR.l", "UR.r"]],
    });
    folder.write("car.json", braced.to_string());
    for study in [
        ["worst", "car.json", "--grip=0.9", "--long=-0.9..0"],
        ["triangulate", "car.json", "--for=pickup_move", "--at-most=3"],
    ] {
        let whole = folder.run(study);
        assert!(matches!(whole.code, Some(0 | 1)), "{}", whole.stderr);
        let mut files = Vec::new();
        for number in 1..=3 {
            let file = format!("{}-{number}.json", study[0]);
            let ran = folder.run(study.into_iter().chain(["--part", &format!("{number}/3"), "--keep", &file]));
            assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
            files.push(file);
        }
        let together = gathered(&folder, files.iter().map(String::as_str));
        assert_eq!((together.code, &together.stdout), (whole.code, &whole.stdout), "{}", together.stderr);
        let kept = folder.run(study.into_iter().chain(["--keep", "kept.json", "--json"]));
        let again = folder.run(study.into_iter().chain(["--keep", "kept.json", "--json"]));
        assert_eq!(kept.stdout, again.stdout);
        assert_eq!(kept.stdout, folder.run(study.into_iter().chain(["--json"])).stdout);
        std::fs::remove_file(folder.path().join("kept.json")).unwrap();
    }
    let mut kept: Value = serde_json::from_str(&folder.read("triangulate-1.json")).unwrap();
    for answer in
        [json!([]), json!([[1e308]]), json!([[1], [2.0, 99]]), json!([[1], [2.0, 1, 0]]), json!([[1], [2.0, 0.5]])]
    {
        kept["answers"]["0"] = answer;
        folder.write("triangulate-1.json", kept.to_string());
        let ran = gathered(&folder, ["triangulate-1.json", "triangulate-2.json", "triangulate-3.json"]);
        refusal(&ran);
    }
    let mut kept: Value = serde_json::from_str(&folder.read("worst-1.json")).unwrap();
    for answer in [json!([1, 2, 3]), json!([1.0, -0.5, 7.0, 1.0, 1.0, 1]), json!([1.0, 0, 0, 1.0, 1.0, 0])] {
        kept["answers"]["0"] = answer;
        folder.write("worst-1.json", kept.to_string());
        refusal(&gathered(&folder, ["worst-1.json", "worst-2.json", "worst-3.json"]));
    }
}

/// The car with three options, two of which contradict.
fn options() -> Value {
    let mut car = car();
    car["tubes"]["thin"] = json!({ "round": { "od": 20, "wall": 1.5 }, "material": "E235+N" });
    let brace = |ends: [&str; 2]| json!({ "change": { "members": { "more.l": { "ends": ends, "tube": "thin" } } } });
    car["options"] = json!({
        "a brace": brace(["LF.l", "UR.l"]),
        "another brace": brace(["LF.l", "ST.l"]),
        "stiffer": { "change": { "materials": { "stiff": {
            "youngs_modulus": 215000, "density": 7850, "yield": 300, "ultimate": 400, "yield_at_weld": "same"
        } }, "tubes": { "rail": { "material": "stiff" } } } }
    });
    car
}

#[test]
fn parts_of_a_comparison_put_together_give_the_tables_the_pictures_and_the_page_of_one_run() {
    let folder = Scratch::new();
    folder.write("car.json", options().to_string());
    let study = ["compare", "car.json", "--combine", "--case=bend", "--case=braking"];
    let whole = folder.run(study);
    assert_eq!(whole.code, Some(0), "{}", whole.stderr);
    assert!(whole.stdout.contains("a brace + stiffer"), "{}", whole.stdout);
    let sheets = || folder.files().into_iter().filter(|(name, _)| name.starts_with("reports/")).collect::<Vec<_>>();
    let drawn = sheets();
    assert!(drawn.len() > 3, "{drawn:?}");
    std::fs::remove_dir_all(folder.path().join("reports")).unwrap();
    let part = |number: usize, file: &str| {
        folder.run(study.into_iter().chain(["--part", &format!("{number}/4"), "--keep", file]))
    };
    let files = ["1.json", "2.json", "3.json", "4.json"];
    for (at, file) in files.into_iter().enumerate() {
        let ran = part(at + 1, file);
        assert_eq!((ran.code, ran.stdout.as_str()), (Some(0), ""), "{}", ran.stderr);
    }
    assert!(sheets().is_empty(), "a part draws nothing");
    let together = gathered(&folder, files);
    assert_eq!((together.code, &together.stdout), (Some(0), &whole.stdout), "{}", together.stderr);
    assert_eq!(together.stderr, whole.stderr);
    assert_eq!(sheets(), drawn);
    let ran = folder.run(["gather", "--json"].into_iter().chain(files));
    assert!(refusal(&ran).starts_with("error: compare prints no JSON"), "{}", ran.stderr);
    let good = folder.read("1.json");
    let kept: Value = serde_json::from_str(&good).unwrap();
    let base = &kept["answers"]["0"];
    let with = |key: &str, value: Value| {
        let mut changed = base.clone();
        changed[key] = value;
        changed
    };
    let mut other_check = base.clone();
    other_check["variant"]["worst"]["check"] = json!("rust");
    let with_figure = |key: &str, figure: Value| {
        let mut changed = base.clone();
        *changed["variant"].pointer_mut(key).unwrap() = figure;
        changed
    };
    let more = |key: &str| {
        let value = base["variant"].pointer(key).unwrap();
        value.as_u64().map_or_else(|| json!(value.as_f64().unwrap() * 1.001), |count| json!(count + 1))
    };
    let passes = base["variant"]["passes"].as_bool().unwrap();
    let mut failing = base.clone();
    failing["cases"]["bend"]["failing"] = more_failing(&base["cases"]["bend"]);
    let cannot = "what it gives cannot be the answer of unit 0";
    for (answer, reason) in [
        (json!({}), cannot),
        (with("fails", json!("it does")), cannot),
        (with("cases", json!({})), cannot),
        (with_figure("/worst/utilisation", json!(-5.0)), cannot),
        (with_figure("/mass", json!(1e308)), cannot),
        (with_figure("/mass", more("/mass")), cannot),
        (with_figure("/tube", more("/tube")), cannot),
        (with_figure("/ends", more("/ends")), cannot),
        (with_figure("/pickup_move/value", json!(-0.1)), cannot),
        (with_figure("/passes", json!(!passes)), cannot),
        (failing, cannot),
        (other_check, "there is no check \"rust\""),
    ] {
        let mut changed = kept.clone();
        changed["answers"]["0"] = answer;
        folder.write("1.json", changed.to_string());
        let ran = gathered(&folder, files);
        assert!(refusal(&ran).contains(reason), "{reason}: {}", ran.stderr);
    }
    // What is kept is not worked out again.
    let mut marked = kept.clone();
    marked["answers"]["0"]["variant"]["pickup_move"]["value"] = json!(123.25);
    folder.write("1.json", marked.to_string());
    assert!(gathered(&folder, files).stdout.contains("123.25"));
}

/// How many limits a case would exceed where it says whether it exceeds one and does not.
fn more_failing(case: &Value) -> Value {
    json!(usize::from(case["failing"] == 0))
}

#[test]
fn a_study_that_was_cut_short_goes_on_from_what_it_kept() {
    let folder = folder();
    let whole = folder.run(STUDY);
    let keeping = || folder.run(STUDY.into_iter().chain(["--keep", "kept.json"]));
    assert_eq!(keeping().stdout, whole.stdout);
    // As it was at some time before the end, with one answer that no run would give: it is not asked for again.
    let mut kept: Value = serde_json::from_str(&folder.read("kept.json")).unwrap();
    let answers = kept["answers"].as_object_mut().unwrap();
    let all = answers.len();
    answers.retain(|unit, _| unit.parse::<usize>().unwrap() % 3 == 0);
    let left = answers.len();
    assert!(left > 10 && left < all);
    folder.write("kept.json", kept.to_string());
    assert_eq!(keeping().stdout, whole.stdout);
    let kept: Value = serde_json::from_str(&folder.read("kept.json")).unwrap();
    assert_eq!(kept["answers"].as_object().unwrap().len(), all);
    let mut marked = kept;
    marked["answers"]["0"]["figures"][0] = json!(0.123);
    folder.write("kept.json", marked.to_string());
    assert!(keeping().stdout.contains("the worst is 0.123 times its limit"), "what is kept is not done again");
}

#[test]
#[cfg(unix)]
fn an_interrupted_study_keeps_what_is_done_and_ends_with_130() {
    use std::process::Stdio;

    use nix::sys::signal::{Signal, kill};
    use nix::unistd::Pid;
    let folder = Scratch::new();
    folder.write("frame.json", car().to_string());
    let mut command = folder.command(["scatter", "frame.json", "--draws", "100000", "--keep", "kept.json"]);
    let child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    while !folder.path().join("kept.json").exists() {
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    std::thread::sleep(std::time::Duration::from_millis(300));
    kill(Pid::from_raw(child.id().try_into().unwrap()), Signal::SIGINT).unwrap();
    let ran = Ran::from(child.wait_with_output().unwrap());
    assert_eq!((ran.code, ran.stdout.as_str()), (Some(130), ""), "{}", ran.stderr);
    assert!(ran.stderr.contains("units are done and kept in kept.json"), "{}", ran.stderr);
    let told = gathered(&folder, ["kept.json"]);
    let told = refusal(&told);
    assert!(
        told.starts_with("error: kept.json is not done: ") && told.contains("hint: the command that made it"),
        "{told}"
    );
    assert_eq!(folder.names(), ["frame.json", "kept.json"]);
}

#[test]
fn parts_that_are_missing_or_there_twice_are_named() {
    let folder = folder();
    in_parts(&folder, 4);
    folder.write("again.json", folder.read("part-2.json"));
    let told = gathered(&folder, ["part-1.json", "part-2.json", "again.json", "part-4.json"]);
    assert_eq!(refusal(&told), "error: part 2/4 is there twice: part-2.json and again.json");
    let told = gathered(&folder, ["part-4.json", "part-2.json"]);
    assert_eq!(refusal(&told), "error: parts 1/4, 3/4 are missing");
}

#[test]
fn parts_of_another_model_other_options_or_another_version_are_named() {
    let folder = folder();
    in_parts(&folder, 2);
    let first = folder.read("part-1.json");
    let told = |key: &str, value: Value| {
        folder.write("part-1.json", &first);
        changed(&folder, "part-1.json", key, value);
        let ran = gathered(&folder, ["part-1.json", "part-2.json"]);
        refusal(&ran).to_owned()
    };
    let does_not = "error: part-2.json does not belong to part-1.json: ";
    assert!(told("sha256", json!("00")).starts_with(&format!("{does_not}it is of a model file with SHA-256 ")));
    assert!(told("version", json!("0.0.1")).starts_with(&format!("{does_not}it was made by version ")));
    // One of the same number that was built from other sources.
    let kept: Value = serde_json::from_str(&first).unwrap();
    let (number, sources) = kept["version"].as_str().unwrap().split_once('+').unwrap();
    assert!(number == env!("CARGO_PKG_VERSION") && u64::from_str_radix(sources, 16).is_ok(), "{number} {sources}");
    assert_eq!(
        told("version", json!(format!("{number}+0"))),
        format!("{does_not}it was made by version {number}+{sources}, not {number}+0")
    );
    assert_eq!(
        told("asked", json!(["--draws=121"])),
        format!("{does_not}it was asked with --vary=mounts=0 --vary=nodes=1 --draws=120, not --draws=121")
    );
    assert!(told("study", json!("worst")).starts_with(&format!("{does_not}it is of the command scatter, not worst")));
    assert!(told("part", json!([1, 3])).starts_with("error: part-1.json"));
    // Both say the same, and the model is another by now.
    folder.write("part-1.json", &first);
    let mut other = cantilever();
    other["title"] = json!("Another");
    folder.write("frame.json", other.to_string());
    let ran = gathered(&folder, ["part-1.json", "part-2.json"]);
    let told = refusal(&ran);
    assert!(told.starts_with("error: part-1.json does not belong to frame.json: it is of a model file"), "{told}");
}

#[test]
fn a_file_of_another_study_is_neither_gone_on_with_nor_written_over() {
    let folder = folder();
    in_parts(&folder, 2);
    let before = folder.files();
    let ran = part(&folder, "2/2", "part-1.json");
    let told = refusal(&ran);
    assert_eq!(
        told,
        "error: part-1.json holds the answers of something else: it is part 1/2, not 2/2\nhint: name another file, or remove this one"
    );
    let ran = part(&folder, "1/2", "frame.json");
    assert!(refusal(&ran).contains("hint: this should be a file that --keep wrote"), "{}", ran.stderr);
    let ran = folder.run(["scatter", "-", "--keep", "new.json"]);
    assert_eq!(ran.code, Some(2));
    assert_eq!(folder.files(), before);
    let ran = folder.run(["gather", "part-1.json", "part-2.json", "--certificate", "proof.json"]);
    assert!(
        refusal(&ran).starts_with("error: only size has a certificate, and part-1.json is of scatter"),
        "{}",
        ran.stderr
    );
    for part in ["0/3", "4/3", "1", "a/b", "1/0"] {
        let ran = folder.run(["scatter", "frame.json", "--keep", "x.json", "--part", part]);
        assert!(refusal(&ran).contains("write which part of how many, such as 2/8"), "{}", ran.stderr);
    }
}

#[test]
fn a_file_that_is_cut_or_tampered_with_is_refused_with_its_reason() {
    let folder = folder();
    in_parts(&folder, 1);
    let good = folder.read("part-1.json");
    let told = |text: &str| {
        folder.write("part-1.json", text);
        let ran = gathered(&folder, ["part-1.json"]);
        refusal(&ran).to_owned()
    };
    for cut in [0, 1, 40, good.len() / 2, good.len() - 3] {
        told(&good[..cut]);
    }
    let with = |key: &str, value: Value| {
        let mut kept: Value = serde_json::from_str(&good).unwrap();
        kept[key] = value;
        kept.to_string()
    };
    let answer = |answer: Value| {
        let mut kept: Value = serde_json::from_str(&good).unwrap();
        kept["answers"]["1"] = answer;
        kept.to_string()
    };
    for (text, reason) in [
        (with("format", json!(2)), "format 2 is not known"),
        (with("part", json!([2, 1])), "[2, 1] is no part"),
        (with("part", json!([1, 1e9])), "is no part"),
        (with("units", json!(-1)), "expected a whole number from 0 on"),
        (with("units", json!(1e15)), "is not done"),
        (with("units", json!(1e300)), "expected a whole number from 0 on"),
        (with("answers", json!({"00": {}})), "\"00\" is no unit of this part"),
        (with("answers", json!({"1e3": {}})), "\"1e3\" is no unit of this part"),
        (with("answers", json!({"99999999999999999999": {}})), "is no unit of this part"),
        (with("answers", json!([])), "expected an object of names, found a list"),
        (with("study", json!("points")), "was not asked as this version asks"),
        (with("study", json!("--version")), "was not asked as this version asks"),
        (with("asked", json!(["--out=../elsewhere"])), "was not asked as this version asks"),
        (with("asked", json!(["--keep=frame.json"])), "was not asked as this version asks"),
        (with("asked", json!(["--draws=1000000000"])), "was not asked as this version asks"),
        (with("model", json!("missing.json")), "cannot read missing.json"),
        (with("more", json!(1)), "\"more\" is not a key that is known here"),
        (answer(json!({"figures": "many", "used": []})), "expected a list, found a text"),
        (answer(json!({"figures": [null], "used": []})), "expected a number, found null"),
        (answer(json!({"figures": [1.0], "used": []})), "what it gives cannot be the answer of unit 1"),
        (answer(json!(null)), "expected an object with the keys figures, used"),
    ] {
        let told = told(&text);
        assert!(told.contains(reason), "{reason}: {told}");
    }
    folder.write("part-1.json", &good);
    assert_eq!(gathered(&folder, ["part-1.json"]).code, Some(0));
    assert_eq!(gathered(&folder, ["part-9.json"]).code, Some(2));
    assert_eq!(folder.run(["gather"]).code, Some(2));
}
