//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use super::new::NewOptions;
use super::work::WorkOptions;
use crate::studies::scatter::Vary;

/// Judges the tube frame of a competition car before metal is cut.
#[derive(Debug, Parser)]
#[command(
    name = "crossbrace",
    version,
    max_term_width = 80,
    about = "Judges the tube frame that holds a competition car's wheels on, before metal is cut.",
    long_about = "Judges the tube frame that holds a competition car's wheels on, before metal is cut.\n\n\
        A model is one JSON file: points, tubes, mounts, the suspension corners, the car's figures, and what the car \
        does. From it come the forces at the tyres and at every pick-up, stresses, movements, and a verdict.",
    after_help = "Examples:\n  \
        crossbrace check models/hillclimb-front-subframe.json\n  \
        crossbrace check frame.json --json | jq .verdict\n  \
        crossbrace loads frame.json --case braking\n  \
        crossbrace points frame.json scan.csv\n  \
        crossbrace materials\n\n\
        Exit code: 0 all limits are met, 1 a limit is exceeded,\n\
        2 the input or the run is at fault, 130 it was interrupted.\n\
        Data goes to stdout, everything else to stderr. NO_COLOR turns colour off.\n\n\
        A linear beam model supports and does not replace a qualified engineer, the\n\
        championship's technical regulations, local road law, proof tests and\n\
        inspection of the welds. Not for roll cages."
)]
pub(crate) struct Arguments {
    #[command(subcommand)]
    pub(crate) command: Command,
}

/// What to do.
#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Solve every case, judge it, print a verdict, and write drawing sheets and a report page
    #[command(after_help = "Examples:\n  \
        crossbrace check frame.json                     all, under reports/frame/\n  \
        crossbrace check frame.json --quiet             the verdict line alone\n  \
        crossbrace check frame.json --case braking      one case alone\n  \
        crossbrace check frame.json --option \"K brace\"  with that option's change\n  \
        crossbrace check frame.json --json              the result as JSON, no files\n\n\
        Exit code: 0 all limits are met, 1 a limit is exceeded,\n\
        2 the input or the run is at fault.")]
    Check(CheckOptions),
    /// Work out what every tyre and pick-up carries, with the arithmetic of load transfer
    #[command(after_help = "Examples:\n  \
        crossbrace loads frame.json\n  \
        crossbrace loads frame.json --case \"left bend\"")]
    Loads(LoadsOptions),
    /// Put the frame as drawn and its options side by side: mass, strength, movement, twist
    #[command(after_help = "Examples:\n  \
        crossbrace compare frame.json                     every option of the file\n  \
        crossbrace compare frame.json --option \"K brace\"  only this one\n  \
        crossbrace compare frame.json --case braking --case \"twist test\"\n  \
        crossbrace compare frame.json --combine         and all combinations of them\n\n\
        Every frame is checked whole. Ctrl-C compares those that are done; for --part\n\
        and --keep see crossbrace help scatter.\n\n\
        Exit code: 0 compared, 2 the input or the run is at fault, 130 ended by Ctrl-C.")]
    Compare(CompareOptions),
    /// Find the braces that pay: the best set of each number of them, and the tubes that do nothing
    #[command(
        allow_negative_numbers = true,
        after_help = "Examples:\n  \
        crossbrace triangulate frame.json --for twist\n  \
        crossbrace triangulate frame.json --for pickup_move --at-most 3\n  \
        crossbrace triangulate frame.json --for yield --json | jq .option\n\n\
        The file's \"bracing\" says from what to choose, such as\n\
        \"bracing\": {\"tube\": \"brace\", \"between\": [[\"A.l\", \"C.l\"], [\"B.l\", \"D.r\"]]} or\n\
        \"bracing\": {\"tube\": \"brace\", \"auto\": {\"longest\": 900, \"clear_of\": 10}}.\n\
        A brace and its mirror twin are one choice. Every set is tried while they are\n\
        no more than twenty million, the smaller ones first (of 24 choices all of\n\
        them); larger ones are found by exchange, for twist settled by bounds where\n\
        that can be, and the text says which. Every design shown is solved again from\n\
        scratch. Ctrl-C ends the search with the best so far; a second one ends the\n\
        program. For --part and --keep see crossbrace help scatter.\n\n\
        Exit code: 0 searched, 2 the input or the run is at fault, 130 ended by Ctrl-C."
    )]
    Triangulate(TriangulateOptions),
    /// Find the lightest tubes from a stock that are within every limit, and prove it where that can be
    #[command(
        allow_negative_numbers = true,
        after_help = "Examples:\n  \
        crossbrace size frame.json\n  \
        crossbrace size frame.json --option \"K brace\"   the frame with that change\n  \
        crossbrace size frame.json --json | jq .option\n  \
        crossbrace size frame.json --certificate proof.json\n  \
        crossbrace size frame.json --against twist     least mass for each stiffness\n\n\
        The file's \"sizing\" says from what to choose, such as\n\
        \"sizing\": {\"groups\": {\"rails\": [\"rail.l\"]}, \"stock\": [\"30x2\", \"38x2\"],\n           \
        \"keep\": [\"tray\"]}.\n\
        The members of a group get one size together. A member that no group names is a\n\
        group of its own, with its mirror twin; those in \"keep\", and the tubes of\n\
        corners, stay as drawn.\n\n\
        What is found has passed the whole check, in every case and at every position\n\
        of the adjusters. It is called the optimum only where every lighter design is\n\
        settled; else a mass is told that no design that passes is under. Ctrl-C ends\n\
        the search with the best so far; a second one ends the program.\n\n\
        Once some dozens of boxes of designs are open, each is searched by itself, and\n\
        these can be parts. What --boxes leaves is shared evenly among them; what they\n\
        leave is spent at the end on those that are open still, in parts by gather:\n  \
        crossbrace size frame.json --boxes 5000000 --part $I/40 --keep part-$I.json\n  \
        crossbrace gather part-*.json --certificate proof.json\n\
        The way to that point is gone by each part and by gather. Of --against a part is\n\
        points of the curve, each asked for a stiffness of its own.\n\n\
        Exit code: 0 a design that passes was found, 1 none was,\n\
        2 the input or the run is at fault, 130 Ctrl-C ended the search."
    )]
    Size(SizeOptions),
    /// Draw the model before any solving, to catch a wrong sign or a missing mount
    #[command(after_help = "Examples:\n  \
        crossbrace draw frame.json         sheets under reports/frame/drawing/\n  \
        crossbrace draw frame.json --out sheets")]
    Draw(DrawOptions),
    /// Tell what each thing that acts adds to a tube's stress, a pick-up's movement or a wheel's angles
    #[command(
        override_usage = "crossbrace why <MODEL> <--tube <TUBE>|--pickup <NODE>|--wheel <CORNER>>\n       [OPTIONS]",
        after_help = "Examples:\n  \
        crossbrace why frame.json --case braking --tube \"lower rail.l\"\n  \
        crossbrace why frame.json --pickup UF.l    in the case where it moves most\n  \
        crossbrace why frame.json --wheel front.l --json\n\n\
        The parts add up to the whole. Of a tube its checks in that case follow,\n\
        figure by figure, for a calculator.\n\
        Exit code: 0 told, 2 the input or the run is at fault."
    )]
    Why(WhyOptions),
    /// Find the cheapest changes that mend what fails, each as an option to paste
    #[command(after_help = "Examples:\n  \
        crossbrace mend frame.json\n  \
        crossbrace mend frame.json --option \"braces by eye\"\n  \
        crossbrace mend frame.json --json | jq '.together.option'\n\n\
        For every check that fails: each tube (mirror twins as one) in the next heavier\n\
        sizes of the file and the rack, every size that several tubes share, welds up to\n\
        the wall, the braces that \"bracing\" allows, and pairs of what helps most, ranked by the mass they add. Each is put into\n\
        the file and checked whole, and counts only where nothing that held fails by it.\n\
        At the end one set of changes with which all holds.\n\n\
        --part divides the changes that are tried one by one. Pairs of them and all\n\
        together hang on what came of these, and are tried by crossbrace gather; --keep\n\
        alone keeps them too:\n  \
        crossbrace mend frame.json --part $I/40 --keep part-$I.json\n  \
        crossbrace gather part-*.json\n\n\
        Exit code: 0 nothing fails, or all that fails can be mended, 1 something cannot by\n\
        what was tried, 2 the input or the run is at fault, 130 ended by Ctrl-C, with the\n\
        best so far.")]
    Mend(MendOptions),
    /// Find the worst that the tyres can do to every tube, pick-up and wheel, and prove that nothing is worse
    #[command(
        allow_negative_numbers = true,
        after_help = "Examples:\n  \
        crossbrace worst frame.json                        within the tyre_grip of the file\n  \
        crossbrace worst frame.json --grip 1.3             with 1.3 g of grip\n  \
        crossbrace worst frame.json --vert 0.8..1.4        over crests and through dips\n  \
        crossbrace worst frame.json --long=-1.2..0.5 --lat=-1.5..1.5\n  \
        crossbrace worst frame.json --json | jq '.worst[0]'\n\n\
        Cases are manoeuvres that somebody thought of. This searches all of them: every\n\
        long, lat and vert in the bounds that the car can drive, no wheel pulling, the\n\
        car neither rolling nor pitching over, no tyre giving more than its grip. For\n\
        every tube (yield, welds, rod-ends), pick-up and wheel it tells the worst\n\
        manoeuvre found and a bound that none passes, at most 1 % above. The manoeuvres\n\
        found are solved again from scratch, with all checks; paste one into \"cases\"\n\
        to keep it: {\"g\": {\"long\": -0.72, \"lat\": 0.95}}. For --part and --keep see\n\
        crossbrace help scatter.\n\n\
        Exit code: 0 no bound is above its limit, and nothing else fails in the\n\
        manoeuvres found, 1 a limit is passed or may be,\n\
        2 the input or the run is at fault."
    )]
    Worst(WorstOptions),
    /// Tell what the answer becomes when the car is not quite as the file has it, and what to measure next
    #[command(
        allow_negative_numbers = true,
        after_help = "Examples:\n  \
        crossbrace scatter frame.json\n  \
        crossbrace scatter frame.json --vary cg.height=60 --vary \"load=15 %\"\n  \
        crossbrace scatter frame.json --vary nodes=1 --vary nodes.UF.l=5\n  \
        crossbrace scatter frame.json --vary joints=0 --vary mounts=0   these two as drawn\n  \
        crossbrace scatter frame.json --draws 10000 --seed 7\n  \
        crossbrace scatter frame.json --json | jq '.quantities[0]'\n\n\
        Each quantity is turned to both ends alone, and the worst utilisation is told\n\
        exactly; then all are drawn at random together: the chance of passing each limit,\n\
        how the figures spread, and which quantity makes the most of it. Quantities are\n\
        mass, wheelbase, track.front, track.rear, cg.height, cg.behind_front_axle, cg.left,\n\
        lateral_transfer_share_front, brake_share_front, drive_share_front, tyre_grip,\n\
        pneumatic_trail, and by family or one by one load (of a case), wall (of a tube\n\
        size), nodes (and brackets), mounts, and joints. A spread goes to both sides, in\n\
        mm, kg or a text with its unit, or as \"10 %\"; 0 leaves a quantity as it is. The\n\
        answer says what is taken where you say nothing. The same seed gives the same\n\
        answer on any number of threads. Ctrl-C tells what was drawn so far.\n\n\
        Over several machines, by a batch scheduler that runs one command for each value\n\
        of an index I from 1 to 40, and then one more where all is done:\n  \
        crossbrace scatter frame.json --draws 100000 --part $I/40 --keep part-$I.json\n  \
        crossbrace gather part-*.json\n\n\
        Exit code: 0 told, 2 the input or the run is at fault, 130 ended by Ctrl-C."
    )]
    Scatter(ScatterOptions),
    /// Put the parts of a study together that ran apart, as if it had run as one
    #[command(after_help = "Examples:\n  \
        crossbrace scatter frame.json --part 1/2 --keep one.json\n  \
        crossbrace scatter frame.json --part 2/2 --keep two.json     elsewhere\n  \
        crossbrace gather one.json two.json\n\n\
        The model file must be where the parts name it, and be the same. Parts of another\n\
        model, of other options or of a program built from other sources are refused, so\n\
        is one that is missing, there twice or not done. Any study with --part and --keep can be gathered.\n\n\
        Exit code: as of the study, 2 the files do not fit together.")]
    Gather(GatherOptions),
    /// Take points or lines from other programs into a model, or its points out of it
    #[command(
        group = clap::ArgGroup::new("direction").required(true).args(["file", "write_csv"]),
        override_usage = "crossbrace points <MODEL> <FILE> [OPTIONS]\n       crossbrace points <MODEL> --write-csv <FILE>",
        after_help = "Examples:\n  \
        crossbrace points frame.json --write-csv points.csv   every point, as a table\n  \
        crossbrace points frame.json points.csv --dry-run     what would move, how far\n  \
        crossbrace points frame.json scan.csv --unit in       a table in inches\n  \
        crossbrace points frame.json sketch.dxf --tube main   lines become members\n\n\
        A table has lines of name,x,y,z, with or without a header; comma, semicolon or tab separate. A name is a \
        node, a bracket, or a place of the car as the file has it: front.l/upper.outer, front.l/tie_rod.outer, \
        front.l/wheel_centre, front.l/contact_patch, front.l/spring.bottom, front.l/strut.bottom, rear.l/arm.hub, \
        rear.l/links.NAME.outer, front/left.end, front/left.foot. A name that is not there yet becomes a new node. \
        Of a mirrored model only the left side is written; a right side that differs is told.\n\n\
        Of a drawing (DXF in text form) straight lines and polylines are read, each straight piece one member. \
        Ends that meet become one node; a line that a node lies on runs through it. In a mirrored model what is \
        drawn on the left, y above 0, is named .l, and its mirror image is left out; what is on one side alone is \
        told.\n\n\
        Only numbers that change and entries that are new change the file; it is replaced whole, and only if \
        that brings in no fault (a new node may still lack its member).\n\n\
        Exit code: 0 done, 2 the input or the run is at fault, and nothing was written."
    )]
    Points(PointsOptions),
    /// Write a first model of your own car from the dozen figures that a shop has
    #[command(
        allow_negative_numbers = true,
        after_help = "Examples:\n  \
        crossbrace new my-car        asks for the figures, writes my-car.json\n  \
        crossbrace new my-car --use hillclimb --front double-wishbone \\\n      \
            --mass 640 --wheelbase 2350 --track-front 1400 --tyre-radius 280\n                               \
            no questions: the rest is assumed, and named\n  \
        crossbrace new my-car --use road --front strut --tube \"1.5 in x 14 swg\" \\\n      \
            --scales \"510 lb, 505 lb, 420 lb, 415 lb\" --wheelbase \"94 in\" \\\n      \
            --track-front \"57 in\" --tyre-diameter \"24 in\"\n\n\
        A figure is a number in mm or kg, or a text with its unit. An existing file is\n\
        never overwritten.\n\
        Exit code: 0 written and within all limits, 1 written and a limit is exceeded\n\
        whatever the tubes are,\n\
        2 nothing written."
    )]
    New(Box<NewOptions>),
    /// Run every published case that the tool is checked against, each value beside its source's
    #[command(after_help = "Examples:\n  \
        crossbrace prove                       every case, and how many values hold\n  \
        crossbrace prove sections twist        these topics\n  \
        crossbrace prove cantilever-end-force  this case\n  \
        crossbrace prove --quiet               the last line alone\n  \
        crossbrace prove --markdown > proof.md\n  \
        crossbrace prove --json | jq '.topics[].cases[] | select(.holds | not)'\n\n\
        Topics: beams, frames, joints-and-supports, twist, buckling, second-order, vibration,\n\
        sections, materials, columns-and-walls, welds, fatigue, car, corners.\n\n\
        A case gives its source: published and read (on a page that is public), a closed\n\
        form (evaluated from the formula of the source), or from memory (kept where an\n\
        independent computation gives every digit). A frame is solved from a model file,\n\
        as yours is. What may differ is half of the last printed digit, or the stated\n\
        error of the source's method.\n\n\
        Exit code: 0 every value holds, 1 one does not, 2 the run is at fault.")]
    Prove(ProveOptions),
    /// List tube sizes that are commonly on the rack, with their figures and sources
    #[command(after_help = "Example:\n  crossbrace tubes")]
    Tubes,
    /// List the built-in materials with their strengths and sources
    #[command(after_help = "Example:\n  crossbrace materials")]
    Materials,
    /// Print the JSON Schema of the model file, for editors
    #[command(after_help = "Example:\n  crossbrace schema > model.schema.json")]
    Schema,
}

/// Which model, and with which changes.
#[derive(Debug, Args)]
pub(crate) struct ChangedModel {
    /// The model file; `-` reads stdin
    pub(crate) model: PathBuf,
    /// With the change of this option (repeatable: applied one after the other)
    #[arg(long = "option", value_name = "NAME")]
    pub(crate) options: Vec<String>,
}

impl ChangedModel {
    /// Its options, as they may be given again.
    pub(crate) fn asked(&self) -> Vec<String> {
        self.options.iter().map(|name| format!("--option={name}")).collect()
    }
}

/// Which model, and how much of it.
#[derive(Debug, Args)]
pub(crate) struct ModelOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    /// Only this case (repeatable; movement is still judged from standing)
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
}

/// Options of `check`.
#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
    /// Solve every case on the deformed frame too (second order), not only those that buckle the
    /// frame below ten times their load
    #[arg(long)]
    pub(crate) second_order: bool,
    /// Print the machine-readable result instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Print the verdict line alone
    #[arg(long, conflicts_with = "json")]
    pub(crate) quiet: bool,
    /// Also write every table as a CSV file into this folder
    #[arg(long, value_name = "DIR")]
    pub(crate) csv: Option<PathBuf>,
    /// Where sheets and page go [default: reports/MODEL-NAME]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `loads`.
#[derive(Debug, Args)]
pub(crate) struct LoadsOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
}

/// Options of `compare`.
#[derive(Debug, Args)]
pub(crate) struct CompareOptions {
    /// The model file; `-` reads stdin
    pub(crate) model: PathBuf,
    /// Only this option (repeatable) [default: every option of the file]
    #[arg(long = "option", value_name = "NAME")]
    pub(crate) options: Vec<String>,
    /// Every combination of the options that do not contradict, not only each alone
    #[arg(long)]
    pub(crate) combine: bool,
    /// Only this case (repeatable; movement is still judged from standing)
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Where pictures and page go [default: reports/MODEL-NAME/compare]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `triangulate`.
#[derive(Debug, Args)]
pub(crate) struct TriangulateOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    /// The figure that counts
    #[arg(long = "for", value_name = "FIGURE", value_parser = ["twist", "pickup_move", "toe", "camber", "yield"])]
    pub(crate) aim: String,
    /// At most so many braces, in place of the file's `at_most`
    #[arg(long, value_name = "N", value_parser = at_least_one)]
    pub(crate) at_most: Option<usize>,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Print the machine-readable result instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where pictures and page go [default: reports/MODEL-NAME/triangulate-FIGURE]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `size`.
#[derive(Debug, Args)]
pub(crate) struct SizeOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    /// The whole curve: the lightest design for each twist stiffness that is reached, in steps of 5 %
    #[arg(long, value_name = "FIGURE", value_parser = ["twist"])]
    pub(crate) against: Option<String>,
    /// Write why no lighter design passes into this new file, as JSON; of parts gather writes it
    #[arg(long, value_name = "FILE", conflicts_with_all = ["against", "part"])]
    pub(crate) certificate: Option<PathBuf>,
    /// End the proof after so many boxes of designs and linear programs, with the best so far
    #[arg(long, value_name = "N", default_value_t = 100_000, value_parser = whole)]
    pub(crate) boxes: u64,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Print the machine-readable result instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where pictures and page go [default: reports/MODEL-NAME/size]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `mend`.
#[derive(Debug, Args)]
pub(crate) struct MendOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Print the machine-readable result instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where pictures and page go [default: reports/MODEL-NAME/mend]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// A whole number from 0 on.
fn whole(text: &str) -> Result<u64, String> {
    text.parse().map_err(|_| "it is a whole number from 0 on".to_owned())
}

/// A whole number from 1 on.
fn at_least_one(text: &str) -> Result<usize, String> {
    match text.parse() {
        Ok(number) if number >= 1 => Ok(number),
        _ => Err("it is a whole number from 1 on".to_owned()),
    }
}

/// Options of `why`.
#[derive(Debug, Args)]
pub(crate) struct WhyOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    #[command(flatten)]
    pub(crate) asked: Asked,
    /// In this case [default: where it is largest]
    #[arg(long, value_name = "NAME")]
    pub(crate) case: Option<String>,
    /// Print the answer as JSON instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where the pictures go [default: reports/MODEL-NAME/why]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// What `why` is asked about.
#[derive(Debug, Args)]
#[group(required = true, multiple = false)]
pub(crate) struct Asked {
    /// The largest stress of this tube, of the frame or of a corner
    #[arg(long, value_name = "TUBE")]
    pub(crate) tube: Option<String>,
    /// The movement of this pick-up, from where it stands
    #[arg(long, value_name = "NODE")]
    pub(crate) pickup: Option<String>,
    /// Toe and camber of this wheel, from where they stand
    #[arg(long, value_name = "CORNER")]
    pub(crate) wheel: Option<String>,
}

/// Options of `worst`.
#[derive(Debug, Args)]
pub(crate) struct WorstOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    /// Horizontal over vertical force that each tyre can give [default: tyre_grip of the file]
    #[arg(long, value_name = "G", allow_hyphen_values = true)]
    pub(crate) grip: Option<String>,
    /// From where to where long goes; braking is negative [default: minus grip to grip]
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub(crate) long: Option<String>,
    /// From where to where lat goes; left-hand bends are positive [default: minus grip to grip]
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub(crate) lat: Option<String>,
    /// From where to where vert goes, the factor on weight [default: 1]
    #[arg(long, value_name = "FROM..TO", allow_hyphen_values = true)]
    pub(crate) vert: Option<String>,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Print the answer as JSON instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where picture and page go [default: reports/MODEL-NAME/worst]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `scatter`.
#[derive(Debug, Args)]
pub(crate) struct ScatterOptions {
    #[command(flatten)]
    pub(crate) of: ChangedModel,
    /// How far a quantity may be off, to both sides (repeatable)
    #[arg(long, value_name = "QUANTITY=SPREAD", value_parser = Vary::parse)]
    pub(crate) vary: Vec<Vary>,
    /// How many draws [default: 1000]
    #[arg(long, value_name = "N", value_parser = draws)]
    pub(crate) draws: Option<usize>,
    /// Seed of the random numbers [default: 1]
    #[arg(long, value_name = "N", value_parser = whole)]
    pub(crate) seed: Option<u64>,
    #[command(flatten)]
    pub(crate) work: WorkOptions,
    /// Print the answer as JSON instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where picture and page go [default: reports/MODEL-NAME/scatter]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Fewest and most draws: below that nothing can be said of chances, and above it a file of them is too long.
const DRAWS: std::ops::RangeInclusive<usize> = 100..=100_000;

fn draws(text: &str) -> Result<usize, String> {
    let number = text.parse().ok().filter(|number| DRAWS.contains(number));
    number.ok_or_else(|| format!("it is a whole number from {} to {}", DRAWS.start(), DRAWS.end()))
}

/// Options of `gather`.
#[derive(Debug, Args)]
pub(crate) struct GatherOptions {
    /// The files that --keep wrote, one for each part
    #[arg(required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Of size: write why no lighter design passes into this new file, as JSON
    #[arg(long, value_name = "FILE")]
    pub(crate) certificate: Option<PathBuf>,
    /// Print the answer as JSON instead, and write no files
    #[arg(long)]
    pub(crate) json: bool,
    /// Where pictures and page go [default: as of the study]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `prove`.
#[derive(Debug, Args)]
pub(crate) struct ProveOptions {
    /// Only these topics or cases [default: all]
    #[arg(value_name = "TOPIC|CASE")]
    pub(crate) only: Vec<String>,
    /// Print the tables as Markdown instead
    #[arg(long, conflicts_with_all = ["json", "quiet"])]
    pub(crate) markdown: bool,
    /// Print everything as JSON instead, numbers in full
    #[arg(long, conflicts_with = "quiet")]
    pub(crate) json: bool,
    /// Print the last line alone
    #[arg(long)]
    pub(crate) quiet: bool,
}

/// Options of `draw`.
#[derive(Debug, Args)]
pub(crate) struct DrawOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
    /// Where the sheets go [default: reports/MODEL-NAME/drawing]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `points`.
#[derive(Debug, Args)]
pub(crate) struct PointsOptions {
    /// The model file
    pub(crate) model: PathBuf,
    /// A table of points (.csv, .tsv, .txt) or a drawing (.dxf) to take into the model
    pub(crate) file: Option<PathBuf>,
    /// Write every point of the model as a table to this new file; `-` is stdout
    #[arg(long, value_name = "FILE", conflicts_with_all = ["file", "tube", "join", "add", "dry_run"])]
    pub(crate) write_csv: Option<PathBuf>,
    /// Unit of the numbers in the table or drawing [default: mm, or what the file says]
    #[arg(long, value_name = "UNIT")]
    pub(crate) unit: Option<String>,
    /// Tube size of the members that lines become
    #[arg(long, value_name = "NAME")]
    pub(crate) tube: Option<String>,
    /// Join ends of lines that are no further apart, mm [default: 1]
    #[arg(long, value_name = "MM", allow_negative_numbers = true)]
    pub(crate) join: Option<f64>,
    /// Take every name that is not there as a new node, even one close to a name that is
    #[arg(long)]
    pub(crate) add: bool,
    /// Show what would change, and write nothing
    #[arg(long)]
    pub(crate) dry_run: bool,
}
