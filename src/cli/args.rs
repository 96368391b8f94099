//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

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
        crossbrace materials\n\n\
        Exit code: 0 all limits are met, 1 a limit is exceeded,\n\
        2 the input or the run is at fault.\n\
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
        crossbrace compare frame.json                    every option of the file\n  \
        crossbrace compare frame.json --option \"K brace\"  only this one\n  \
        crossbrace compare frame.json --case braking --case \"twist test\"\n\n\
        Exit code: 0 compared, 2 the input or the run is at fault.")]
    Compare(CompareOptions),
    /// Draw the model before any solving, to catch a wrong sign or a missing mount
    #[command(after_help = "Examples:\n  \
        crossbrace draw frame.json         sheets under reports/frame/drawing/\n  \
        crossbrace draw frame.json --out sheets")]
    Draw(DrawOptions),
    /// Tell what each thing that acts adds to a tube's stress, a pick-up's movement or a wheel's angles
    #[command(after_help = "Examples:\n  \
        crossbrace why frame.json --case braking --tube \"lower rail.l\"\n  \
        crossbrace why frame.json --pickup UF.l             in the case where it moves most\n  \
        crossbrace why frame.json --wheel front.l --json\n\n\
        The parts add up to the whole. Exit code: 0 told, 2 the input or the run is at fault.")]
    Why(WhyOptions),
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

/// Which model, and how much of it.
#[derive(Debug, Args)]
pub(crate) struct ModelOptions {
    /// The model file; `-` reads stdin
    pub(crate) model: PathBuf,
    /// Only this case (repeatable; movement is still judged from standing)
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// With the change of this option (repeatable: applied one after the other)
    #[arg(long = "option", value_name = "NAME")]
    pub(crate) options: Vec<String>,
}

/// Options of `check`.
#[derive(Debug, Args)]
pub(crate) struct CheckOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
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
    /// Only this case (repeatable; movement is still judged from standing)
    #[arg(long = "case", value_name = "NAME")]
    pub(crate) cases: Vec<String>,
    /// Where pictures and page go [default: reports/MODEL-NAME/compare]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}

/// Options of `why`.
#[derive(Debug, Args)]
pub(crate) struct WhyOptions {
    /// The model file; `-` reads stdin
    pub(crate) model: PathBuf,
    #[command(flatten)]
    pub(crate) asked: Asked,
    /// In this case [default: where it is largest]
    #[arg(long, value_name = "NAME")]
    pub(crate) case: Option<String>,
    /// With the change of this option (repeatable: applied one after the other)
    #[arg(long = "option", value_name = "NAME")]
    pub(crate) options: Vec<String>,
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

/// Options of `draw`.
#[derive(Debug, Args)]
pub(crate) struct DrawOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
    /// Where the sheets go [default: reports/MODEL-NAME/drawing]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}
