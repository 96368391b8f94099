//! Every command of the README runs as it is written there, in its order, as a new user would run it.

use crate::support::program::Scratch;
use crate::support::repository_file;

/// The commands of the program in the blocks of shell text, as words.
pub(crate) fn commands() -> Vec<Vec<String>> {
    let readme = std::fs::read_to_string(repository_file("README.md")).unwrap();
    let mut in_block = false;
    let mut commands = Vec::new();
    for line in readme.lines().map(str::trim) {
        if line.starts_with("```") {
            in_block = line == "```sh";
        } else if in_block {
            let command = ["crossbrace ", "cargo run --release -- "].iter().find_map(|start| line.strip_prefix(start));
            commands.extend(command.map(words));
        }
    }
    commands
}

/// The words of a line of shell text: quotes hold blanks together, a lone hash begins a remark.
fn words(line: &str) -> Vec<String> {
    let mut words = Vec::new();
    for (at, part) in line.split('"').enumerate() {
        if at % 2 == 1 {
            words.push(part.to_owned());
        } else {
            words.extend(part.split_whitespace().map(str::to_owned));
        }
    }
    let end = words.iter().position(|word| word == "#").unwrap_or(words.len());
    words.truncate(end);
    words
}

#[test]
fn every_command_of_the_readme_runs_as_written() {
    let folder = Scratch::new();
    for entry in std::fs::read_dir(repository_file("models")).unwrap() {
        let path = entry.unwrap().path();
        let name = path.file_name().unwrap().to_string_lossy().into_owned();
        folder.write(&format!("models/{name}"), std::fs::read(&path).unwrap());
    }
    let commands = commands();
    for command in &commands {
        if command[..] == ["compare", "my-car.json"] {
            write_options(&folder);
        }
        // The demo fails as drawn, and so does its best option at the end of its tyres' grip; the README
        // says both.
        let fails = command[..] == ["check", "models/hillclimb-front-subframe.json"] || command[0] == "worst";
        let expected = i32::from(fails);
        let ran = folder.run(command);
        assert_eq!(ran.code, Some(expected), "{command:?}: {}", ran.stderr);
    }
    for name in ["new", "draw", "check", "points", "why", "loads", "compare", "worst", "scatter", "gather"] {
        assert!(commands.iter().any(|command| command[0] == name), "the README shows no {name}");
    }
}

/// Puts the options of the README into the first model, where it says that they go.
fn write_options(folder: &Scratch) {
    let readme = std::fs::read_to_string(repository_file("README.md")).unwrap();
    let (_, block) = readme.split_once("```json\n").unwrap();
    let (options, _) = block.split_once("```").unwrap();
    let model = folder.read("my-car.json");
    let whole = model.trim_end().strip_suffix('}').unwrap().trim_end();
    folder.write("my-car.json", format!("{whole},\n{}\n}}\n", options.trim_end()));
    let compared = folder.run(["compare", "my-car.json"]);
    for name in ["wider rails", "thicker braces"] {
        assert!(compared.stdout.contains(name), "{}{}", compared.stdout, compared.stderr);
    }
}

/// The command of the README that takes its drawing in, and what it leaves to be checked.
#[test]
fn the_drawing_of_the_readme_braces_the_frame_that_it_names() {
    let folder = Scratch::new();
    for name in ["models/sketch.dxf", "models/first-frame.json"] {
        folder.write(name, std::fs::read(repository_file(name)).unwrap());
    }
    folder.write("first-frame.json", folder.read("models/first-frame.json"));
    let commands = commands();
    let takes_the_drawing = |command: &&Vec<String>| command.iter().any(|word| word == "models/sketch.dxf");
    let [take] = commands.iter().filter(takes_the_drawing).collect::<Vec<_>>()[..] else {
        panic!("one command takes the drawing: {commands:?}");
    };
    let ran = folder.run(take);
    assert_eq!(ran.code, Some(0), "{}", ran.stderr);
    let told = "New members\n  member   nodes\n  spine 1  J, K\n  spine 2  K, M\nnew nodes: 0, new members: 2\n";
    assert!(ran.stdout.starts_with(told), "{}", ran.stdout);
    let check = folder.run(["check", "first-frame.json", "--quiet"]);
    assert_eq!((check.code, check.stderr.as_str()), (Some(0), ""), "{}", check.stdout);
}

#[test]
fn every_link_of_the_readme_leads_somewhere() {
    let readme = std::fs::read_to_string(repository_file("README.md")).unwrap();
    let links = readme.split("](").skip(1).filter_map(|rest| rest.split_once(')')).map(|(link, _)| link);
    let mut count = 0;
    for link in links.filter(|link| !link.starts_with("http")) {
        assert!(repository_file(link).is_file(), "{link}");
        count += 1;
    }
    assert!(count > 5);
}
