//! `crossbrace new`: a first model of the user's own car.

use std::ffi::OsString;
use std::fs;
use std::io::{ErrorKind, IsTerminal};
use std::path::{Path, PathBuf};

use clap::Args;

use super::dialogue::Dialogue;
use super::input::hexadecimal;
use super::new_file::{self, folder_of};
use super::output::{Output, width};
use super::{Ending, Trouble, shown, write_hint};
use crate::report::Report;
use crate::report::text::{self, wrapped};
use crate::section::{BUILT_IN, built_in};
use crate::source::{instead, visible};
use crate::studies::first_frame::{
    BRAKE_SHARE, CG_HEIGHT, Driven, FRONT_SHARE, Figures, FirstFrame, Front, MASS, RACK_HEIGHT, RackTube, SCALE,
    SCHEMA_FILE, Schema, TRACK, TYRE_DIAMETER, TYRE_GRIP, TYRE_RADIUS, UNSPRUNG, USUAL_MATERIAL, Use, WHEELBASE,
    Weight, choice, first_frame,
};

/// Options of `new`. On a terminal what is not given is asked for; elsewhere the first six are needed.
#[derive(Debug, Clone, Default, Args)]
pub(crate) struct NewOptions {
    /// Name of the model file to write, with or without .json
    pub(crate) name: PathBuf,
    /// What the car is for: loose-surface-sprint, hillclimb or road
    #[arg(long = "use", value_name = "USE", value_parser = |text: &str| choice(&Use::ALL, text))]
    purpose: Option<Use>,
    /// How the front wheels are held: double-wishbone, strut, trailing-arm or links
    #[arg(long, value_name = "LAYOUT", value_parser = |text: &str| choice(&Front::ALL, text))]
    front: Option<Front>,
    /// Mass ready to race, driver in (kg)
    #[arg(long, value_name = "MASS", conflicts_with = "scales", value_parser = |text: &str| MASS.read(text))]
    mass: Option<f64>,
    /// What four scales read, driver in: front left, front right, rear left, rear right
    #[arg(long, value_name = "FL,FR,RL,RR", value_parser = scales)]
    scales: Option<Scales>,
    /// The front axle's share of the mass, 0 to 1, if there are no scales [default: 0.5, assumed]
    #[arg(long, value_name = "SHARE", conflicts_with = "scales", value_parser = |text: &str| FRONT_SHARE.read(text))]
    front_share: Option<f64>,
    /// Wheelbase (mm)
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| WHEELBASE.read(text))]
    wheelbase: Option<f64>,
    /// Track of the front, between the middles of the tyres on the ground (mm)
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| TRACK.read(text))]
    track_front: Option<f64>,
    /// Track of the rear (mm) [default: as the front, assumed]
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| TRACK.read(text))]
    track_rear: Option<f64>,
    /// Height of the front wheels' centres over the ground, loaded (mm)
    #[arg(long, value_name = "LENGTH", conflicts_with = "tyre_diameter", value_parser = |text: &str| TYRE_RADIUS.read(text))]
    tyre_radius: Option<f64>,
    /// Diameter of the front tyres (mm), in place of the radius
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| TYRE_DIAMETER.read(text))]
    tyre_diameter: Option<f64>,
    /// Height of the centre of gravity over the ground (mm) [default: by the tyre's diameter, assumed]
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| CG_HEIGHT.read(text))]
    cg_height: Option<f64>,
    /// Driven axle: front, rear, both or none (not modelled) [default: rear, assumed]
    #[arg(long, value_name = "AXLE", value_parser = |text: &str| choice(&Driven::ALL, text))]
    driven: Option<Driven>,
    /// The brakes' share of the front axle, 0 to 1 [default: that of its load, assumed]
    #[arg(long, value_name = "SHARE", value_parser = |text: &str| BRAKE_SHARE.read(text))]
    brake_share_front: Option<f64>,
    /// Friction of the tyres [default: by the use, assumed]
    #[arg(long, value_name = "NUMBER", value_parser = |text: &str| TYRE_GRIP.read(text))]
    tyre_grip: Option<f64>,
    /// Unsprung mass of a front corner (kg) [default: a twenty-fifth of the car, assumed]
    #[arg(long, value_name = "MASS", value_parser = |text: &str| UNSPRUNG.read(text))]
    unsprung: Option<f64>,
    /// Height of the ends of the steering rack (mm) [default: by the tyre's radius]
    #[arg(long, value_name = "LENGTH", value_parser = |text: &str| RACK_HEIGHT.read(text))]
    rack_height: Option<f64>,
    /// Tube on the rack for rails and cross tubes, outside x wall [default: chosen by checking]
    #[arg(long, value_name = "SIZE", value_parser = RackTube::read)]
    tube: Option<RackTube>,
    /// Lighter tube for posts and diagonals [default: chosen by checking]
    #[arg(long, value_name = "SIZE", value_parser = RackTube::read)]
    brace: Option<RackTube>,
    /// Material of both, as `crossbrace materials` lists it [default: E235+N, assumed]
    #[arg(long, value_name = "NAME", value_parser = material)]
    material: Option<String>,
    /// Title of the model [default: from its name]
    #[arg(long, value_name = "TEXT", value_parser = title)]
    title: Option<String>,
    /// Print the model on stdout and write no file
    #[arg(long)]
    stdout: bool,
}

/// What four scales read, kg.
type Scales = [f64; 4];

/// Four readings, separated by commas.
fn scales(text: &str) -> Result<Scales, String> {
    let parts: Vec<&str> = text.split(',').collect();
    let Ok(parts) = <[&str; 4]>::try_from(parts) else {
        return Err(format!(
            "\"{text}\" is not four readings; write front left, front right, rear left, rear right, for instance \
             128,126.5,170,168, with points in decimals"
        ));
    };
    let mut readings = [0.0; 4];
    for (reading, part) in readings.iter_mut().zip(parts) {
        *reading = SCALE.read(part)?;
    }
    let mass: f64 = readings.iter().sum();
    let front = (readings[0] + readings[1]) / mass;
    MASS.check(mass).map_err(|problem| format!("together, {problem}"))?;
    FRONT_SHARE.check(front).map_err(|problem| format!("by the scales, {problem}"))?;
    Ok(readings)
}

/// The mass of the whole car, or what four scales read.
fn weight(text: &str) -> Result<Weight, String> {
    if text.contains(',') {
        return scales(text).map(Weight::Scales);
    }
    MASS.read(text).map(|mass_kg| Weight::Whole { mass_kg, front_share: None })
}

fn material(text: &str) -> Result<String, String> {
    match built_in(text) {
        Some(material) => Ok(material.name.to_owned()),
        None => Err(format!(
            "there is no built-in material \"{text}\"; {}",
            instead(text, BUILT_IN.iter().map(|material| material.name))
        )),
    }
}

fn title(text: &str) -> Result<String, String> {
    if visible(text) == text { Ok(text.to_owned()) } else { Err("a title has no control characters".to_owned()) }
}

/// Runs the command.
pub(crate) fn run(options: &NewOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let target = target(&options.name)?;
    if !options.stdout {
        refuse_existing(&target)?;
    }
    let figures = figures(options, &target)?;
    let schema = match fs::metadata(target.with_file_name(SCHEMA_FILE)) {
        Ok(found) if found.is_file() && !options.stdout => Schema::Beside,
        _ => Schema::Absent,
    };
    let first = first_frame(&figures, schema).map_err(|why| Trouble(format!("error: {why}")))?;
    if options.stdout {
        output.print(&first.text);
    } else {
        output.file(|| {
            write_model(&target, &first.text)?;
            let written = target.clone();
            Ok(move || {
                let _ = fs::remove_file(written);
            })
        })?;
        output.print(&format!("{}\n", shown(&target)));
    }
    output.tell_last(verdict(&first, &target));
    if !options.stdout {
        output.tell_last(next_steps(&first, &target, schema));
    }
    Ok(if first.checked.verdict.passes() { Ending::Good } else { Ending::LimitExceeded })
}

/// The file to write, with its ending.
fn target(name: &Path) -> Result<PathBuf, Trouble> {
    let text = name.display().to_string();
    let refuse = |why: &str| Err(Trouble(format!("error: {why}\nhint: for instance crossbrace new my-car")));
    if text == "-" {
        return refuse("\"-\" is no name for a model; to print it, give a name and --stdout");
    }
    if visible(&text) != text {
        return refuse("the name has control characters in it");
    }
    let ends_as_folder = text.ends_with(std::path::is_separator);
    let Some(file) = name.file_name().filter(|file| !ends_as_folder && !file.to_string_lossy().trim().is_empty())
    else {
        return refuse(&format!("\"{text}\" is not the name of a file"));
    };
    let path = Path::new(file);
    if path.extension().is_some_and(|ending| ending.eq_ignore_ascii_case("json")) {
        return Ok(name.to_path_buf());
    }
    let mut with_ending = OsString::from(file);
    with_ending.push(".json");
    Ok(name.with_file_name(with_ending))
}

fn stem(target: &Path) -> String {
    target.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default()
}

/// Whether something is there already, even a link that leads nowhere.
fn is_there(path: &Path) -> bool {
    fs::symlink_metadata(path).is_ok()
}

fn refuse_existing(target: &Path) -> Result<(), Trouble> {
    let folder = folder_of(target);
    if !folder.is_dir() {
        return Err(Trouble(format!(
            "error: there is no folder {}\nhint: make it first, or name a file in one that is there",
            shown(folder)
        )));
    }
    if is_there(target) { Err(exists(target)) } else { Ok(()) }
}

fn exists(target: &Path) -> Trouble {
    let stem = stem(target);
    let free =
        (2..1000).map(|number| target.with_file_name(format!("{stem}-{number}.json"))).find(|path| !is_there(path));
    let hint = free.map(|path| format!("; {} is free", shown(&path))).unwrap_or_default();
    Trouble(format!(
        "error: {} is there already, and is not overwritten\nhint: choose another name{hint}",
        shown(target)
    ))
}

/// Writes the model to a file that was not there.
fn write_model(target: &Path, text: &str) -> Result<(), Trouble> {
    new_file::write(target, text).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => exists(target),
        _ => {
            let hint = write_hint(&error, "name a file in another folder, or print the model with --stdout");
            Trouble(format!("error: cannot write {}: {error}\nhint: {hint}", shown(target)))
        }
    })
}

/// The figures: from the options, and on a terminal from answers where an option is missing.
fn figures(options: &NewOptions, target: &Path) -> Result<Figures, Trouble> {
    let mut options = options.clone();
    if !missing(&options).is_empty() {
        if !(std::io::stdin().is_terminal() && std::io::stderr().is_terminal()) {
            return Err(not_enough(&options));
        }
        let (mut answers, mut questions) = (std::io::stdin().lock(), std::io::stderr());
        ask(&mut options, &mut Dialogue { answers: &mut answers, questions: &mut questions })?;
    }
    let title = options.title.clone().unwrap_or_else(|| format!("First front frame: {}", stem(target)));
    resolved(options, title).map_err(|options| not_enough(&options))
}

/// Every option that is needed and not given.
fn missing(options: &NewOptions) -> Vec<&'static str> {
    let needed = [
        (options.purpose.is_some(), "--use"),
        (options.front.is_some(), "--front"),
        (options.mass.is_some() || options.scales.is_some(), "--mass or --scales"),
        (options.wheelbase.is_some(), "--wheelbase"),
        (options.track_front.is_some(), "--track-front"),
        (options.tyre_radius.is_some() || options.tyre_diameter.is_some(), "--tyre-radius or --tyre-diameter"),
    ];
    needed.into_iter().filter(|(given, _)| !given).map(|(_, option)| option).collect()
}

fn not_enough(options: &NewOptions) -> Trouble {
    Trouble(format!(
        "error: without a terminal to ask on, these are needed too: {}\n\
         hint: crossbrace new my-car --use hillclimb --front double-wishbone --mass 640 --wheelbase 2350 --track-front 1400 \
         --tyre-radius 280",
        missing(options).join(", ")
    ))
}

/// The figures of options that are complete; the options themselves where they are not.
fn resolved(options: NewOptions, title: String) -> Result<Figures, Box<NewOptions>> {
    let weight = match (options.scales, options.mass) {
        (Some(readings), _) => Some(Weight::Scales(readings)),
        (None, Some(mass_kg)) => Some(Weight::Whole { mass_kg, front_share: options.front_share }),
        (None, None) => None,
    };
    let radius = options.tyre_radius.or(options.tyre_diameter.map(|diameter| diameter / 2.0));
    let (Some(purpose), Some(front), Some(weight), Some(wheelbase_mm), Some(track_front_mm), Some(tyre_radius_mm)) =
        (options.purpose, options.front, weight, options.wheelbase, options.track_front, radius)
    else {
        return Err(Box::new(options));
    };
    Ok(Figures {
        title,
        weight,
        wheelbase_mm,
        track_front_mm,
        track_rear_mm: options.track_rear,
        tyre_radius_mm,
        purpose,
        front,
        cg_height_mm: options.cg_height,
        tube: options.tube,
        brace: options.brace,
        material: options.material,
        brake_share_front: options.brake_share_front,
        driven: options.driven,
        unsprung_kg: options.unsprung,
        rack_height_mm: options.rack_height,
        tyre_grip: options.tyre_grip,
    })
}

/// Asks for everything that no option gives.
fn ask(options: &mut NewOptions, dialogue: &mut Dialogue<'_>) -> Result<(), Trouble> {
    dialogue.tell(
        "A first model of your car. Figures are in mm and kg, or carry their unit:\n94 in, 1400 lb. \
         What may be left out is assumed, and the model names it.\n\
         Ctrl-D or Ctrl-C ends without writing anything.\n",
    );
    if options.purpose.is_none() {
        let question = "What it is for (loose-surface-sprint, hillclimb, road)";
        options.purpose = Some(dialogue.ask(question, |text| choice(&Use::ALL, text))?);
    }
    if options.front.is_none() {
        let question = "How the front wheels are held (double-wishbone, strut, trailing-arm, links)";
        options.front = Some(dialogue.ask(question, |text| choice(&Front::ALL, text))?);
    }
    if options.mass.is_none() && options.scales.is_none() {
        dialogue.tell("  Four scales tell most. Their order: front left, front right, rear left, rear\n  right, with commas between.\n");
        match dialogue.ask("Mass with the driver in, or what four scales read", weight)? {
            Weight::Scales(readings) => options.scales = Some(readings),
            Weight::Whole { mass_kg, .. } => options.mass = Some(mass_kg),
        }
    }
    if options.scales.is_none() && options.front_share.is_none() {
        let question = "Front axle's share of the mass, 0 to 1";
        options.front_share = dialogue.ask_or_leave(question, "half", |text| FRONT_SHARE.read(text))?;
    }
    if options.wheelbase.is_none() {
        options.wheelbase = Some(dialogue.ask("Wheelbase", |text| WHEELBASE.read(text))?);
    }
    if options.track_front.is_none() {
        let question = "Front track, between the middles of the tyres on the ground";
        options.track_front = Some(dialogue.ask(question, |text| TRACK.read(text))?);
    }
    if options.track_rear.is_none() {
        options.track_rear = dialogue.ask_or_leave("Rear track", "as the front", |text| TRACK.read(text))?;
    }
    if options.tyre_radius.is_none() && options.tyre_diameter.is_none() {
        let question = "Height of the front wheels' centres over the ground, the car standing";
        options.tyre_radius = Some(dialogue.ask(question, |text| TYRE_RADIUS.read(text))?);
    }
    ask_the_rest(options, dialogue)
}

/// Asks for what may be assumed.
fn ask_the_rest(options: &mut NewOptions, dialogue: &mut Dialogue<'_>) -> Result<(), Trouble> {
    if options.cg_height.is_none() {
        dialogue.tell(
            "  To measure the next: weigh the front axle level, and again with the rear\n  wheels lifted by H, springs \
             blocked. Height = wheel centre + gain x\n  wheelbase / (mass x slope), slope = H / sqrt(wheelbase^2 - H^2).\n",
        );
        options.cg_height =
            dialogue.ask_or_leave("Height of the centre of gravity", "by the tyre", |text| CG_HEIGHT.read(text))?;
    }
    if options.driven.is_none() {
        let question = "Driven axle (front, rear, both, none: not modelled)";
        options.driven = dialogue.ask_or_leave(question, "rear", |text| choice(&Driven::ALL, text))?;
    }
    if options.brake_share_front.is_none() {
        let question = "Brakes' share of the front axle, 0 to 1";
        options.brake_share_front =
            dialogue.ask_or_leave(question, "that of its load", |text| BRAKE_SHARE.read(text))?;
    }
    if options.tyre_grip.is_none() {
        options.tyre_grip =
            dialogue.ask_or_leave("Friction of the tyres", "by the use", |text| TYRE_GRIP.read(text))?;
    }
    if options.unsprung.is_none() {
        let question = "Unsprung mass of a front corner";
        options.unsprung = dialogue.ask_or_leave(question, "by the mass", |text| UNSPRUNG.read(text))?;
    }
    if options.rack_height.is_none() && options.front != Some(Front::TrailingArm) {
        let question = "Height of the ends of the steering rack";
        options.rack_height = dialogue.ask_or_leave(question, "by the tyre", |text| RACK_HEIGHT.read(text))?;
    }
    if options.tube.is_none() {
        let question = "Tube on the rack for rails, such as 38x2";
        options.tube = dialogue.ask_or_leave(question, "by checking", RackTube::read)?;
    }
    if options.brace.is_none() {
        let question = "Lighter tube for posts and diagonals, such as 25x1.5";
        options.brace = dialogue.ask_or_leave(question, "by checking", RackTube::read)?;
    }
    if options.material.is_none() {
        options.material = dialogue.ask_or_leave("Material of both", USUAL_MATERIAL, material)?;
    }
    Ok(())
}

/// The verdict on what was written, in a line or two.
fn verdict(first: &FirstFrame, target: &Path) -> String {
    let file = target.display().to_string();
    let notes = first.checked.notes();
    let report = Report {
        file: &file,
        sha256: &hexadecimal(first.text.as_bytes()),
        option: None,
        model: &first.model,
        prepared: &first.checked.prepared,
        response: &first.checked.response,
        outcome: &first.checked.outcome,
        verdict: &first.checked.verdict,
        unknowns: None,
        positions: first.checked.positions.as_ref(),
        notes: &notes,
    };
    let width = width();
    let sizes = wrapped(&format!("tubes: {}", first.sizes), width, "  ");
    format!("{sizes}\n{}", wrapped(&text::verdict_line(&report), width, "  "))
}

/// What to do with it.
fn next_steps(first: &FirstFrame, target: &Path, schema: Schema) -> String {
    let file = in_a_shell(target);
    let mut text = format!(
        "\nNext:\n  crossbrace draw {file}\n    look at it: is this your car?\n  crossbrace check {file}\n    \
         verdict, sheets, a report page\n"
    );
    if schema == Schema::Absent {
        text.push_str(&format!(
            "  crossbrace schema > {}\n    with \"$schema\": \"{SCHEMA_FILE}\" at the top of the model, an editor\n    \
             completes and explains its keys\n",
            in_a_shell(&target.with_file_name(SCHEMA_FILE))
        ));
    }
    text.push_str("Assumed; measure these, the first first:\n");
    let places = "arms, springs, tie rods, mounts and brackets: drawn by proportions; put in where yours are";
    for assumed in first.assumed.iter().map(String::as_str).chain([places]) {
        text.push_str(&format!("  - {}\n", wrapped(assumed, width() - 4, "    ")));
    }
    text.push_str(
        "It is a place to start from, not a design, and not for roll cages;\n`crossbrace help` has the caution.",
    );
    text
}

/// A path as a shell takes it.
fn in_a_shell(path: &Path) -> String {
    let path = shown(path);
    if path.contains(|letter: char| !(letter.is_alphanumeric() || "-_./".contains(letter))) {
        format!("'{}'", path.replace('\'', "'\\''"))
    } else {
        path
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Options after a talk, and what was asked.
    fn talk(mut options: NewOptions, answers: &str) -> (Result<NewOptions, Trouble>, String) {
        let (mut answers, mut questions) = (answers.as_bytes(), Vec::new());
        let told = ask(&mut options, &mut Dialogue { answers: &mut answers, questions: &mut questions });
        (told.map(|()| options), String::from_utf8(questions).unwrap())
    }

    #[test]
    fn the_questions_give_every_figure() {
        let answers = "hillclimb\nstrut\n130, 128, 170, 168\n94 in\n1400\n\n280\n450\nrear\n0.62\n1.4\n24\n200\n\
            1.5 in x 14 swg\n25x1.5\nE355+N\n";
        let (options, asked) = talk(NewOptions::default(), answers);
        assert!(asked.contains("weigh the front axle level") && !asked.contains("once more"), "{asked}");
        // The answers, which end the lines of a terminal, are not in it: a question ends with a colon.
        let lines = asked.replace("[Enter: ", "[Enter; ").replace(": ", ":\n");
        let widest = lines.lines().map(|line| line.chars().count()).max();
        assert!(widest <= Some(80), "{asked}");
        let figures = resolved(options.unwrap(), "t".to_owned()).unwrap();
        assert_eq!(figures.weight, Weight::Scales([130.0, 128.0, 170.0, 168.0]));
        assert_eq!((figures.purpose, figures.front), (Use::Hillclimb, Front::Strut));
        assert_eq!((figures.wheelbase_mm, figures.track_front_mm, figures.track_rear_mm), (94.0 * 25.4, 1400.0, None));
        assert_eq!((figures.cg_height_mm, figures.driven), (Some(450.0), Some(Driven::Rear)));
        assert_eq!((figures.rack_height_mm, figures.material.as_deref()), (Some(200.0), Some("E355+N")));
        assert_eq!(figures.tube, RackTube::read("1.5 in x 14 swg").ok());
    }

    #[test]
    fn what_an_option_gives_is_not_asked_and_empty_answers_leave_the_rest_to_be_assumed() {
        let given = NewOptions { purpose: Some(Use::Road), mass: Some(900.0), ..NewOptions::default() };
        let (options, asked) = talk(given, "links\n\n2400\n1450\n\n300\n\n\n\n\n\n\n\n\n\n");
        let figures = resolved(options.unwrap(), "t".to_owned()).unwrap();
        assert!(!asked.contains("What it is for") && !asked.contains("Mass with"), "{asked}");
        assert_eq!(figures.weight, Weight::Whole { mass_kg: 900.0, front_share: None });
        assert_eq!((figures.cg_height_mm, figures.tube), (None, None));
    }

    #[test]
    fn a_bad_figure_is_asked_again_with_what_is_wrong() {
        let answers = "rally\nroad\nlinks\n9000\n900\n\n2.4\n2.4 m\n";
        let (told, asked) = talk(NewOptions::default(), answers);
        for reason in [
            "\"rally\" is none of loose-surface-sprint, hillclimb, road; once more",
            "the mass is 9000 kg, outside the 150 to 3000 kg that a car has; once more",
            "the wheelbase is 2.4 mm, outside the 1200 to 4000 mm that a car has: is \"2.4 m\" meant?; once more",
        ] {
            assert!(asked.contains(reason), "{reason}: {asked}");
        }
        let told = told.err().unwrap().to_string();
        assert!(
            told.starts_with("error: the answers ended at the question \"Front track")
                && told.ends_with("nothing was written")
        );
    }
}
