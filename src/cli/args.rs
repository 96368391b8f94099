//! The command line.

use std::path::PathBuf;

use clap::{Args, Parser, Subcommand};

use super::new::NewOptions;

/// Judges the tube frame of a competition car before metal is cut.
#[derive(Debug, Parser)]
#[command(
    name = "crossbrace",
    version,
    about = "Judges the tube frame that holds a competition car's wheels on, before metal is cut.",
    long_about = "Judges the tube frame that holds a competition car's wheels on, before metal is cut.\n\n\
        A model is one JSON file: points, tubes, mounts, the suspension corners, the car's figures, and what the car \
        does. From it come the forces at the tyres and at every pick-up, stresses, movements, and a verdict.",
    after_help = "Examples:\n  \
        crossbrace check models/hillclimb-front-subframe.json\n  \
        crossbrace check frame.json --json | jq .verdict\n  \
        crossbrace loads frame.json --case braking\n  \
        crossbrace materials\n\n\
        Exit code: 0 all limits are met, 1 a limit is exceeded, 2 the input or the run is at fault.\n\
        Data goes to stdout, everything else to stderr. NO_COLOR turns colour off.\n\n\
        A linear beam model supports and does not replace a qualified engineer, the championship's technical\n\
        regulations, local road law, proof tests and inspection of the welds. Not for roll cages."
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
        crossbrace check frame.json                      verdict, tables, sheets and page under reports/frame/\n  \
        crossbrace check frame.json --quiet              the verdict line alone\n  \
        crossbrace check frame.json --case braking       one case alone\n  \
        crossbrace check frame.json --option \"K brace\"   the frame with that option's change\n  \
        crossbrace check frame.json --json > result.json the machine-readable result, no files\n\n\
        Exit code: 0 all limits are met, 1 a limit is exceeded, 2 the input or the run is at fault.")]
    Check(CheckOptions),
    /// Work out what every tyre and pick-up carries, with the arithmetic of load transfer
    #[command(after_help = "Examples:\n  \
        crossbrace loads frame.json\n  \
        crossbrace loads frame.json --case \"left bend\"")]
    Loads(LoadsOptions),
    /// Put the frame as drawn and its options side by side: mass, strength, movement, twist
    #[command(after_help = "Examples:\n  \
        crossbrace compare frame.json                        every option of the file\n  \
        crossbrace compare frame.json --option \"K brace\"      only this one\n  \
        crossbrace compare frame.json --case braking --case \"twist test\"\n\n\
        Exit code: 0 compared, 2 the input or the run is at fault.")]
    Compare(CompareOptions),
    /// Draw the model before any solving, to catch a wrong sign or a missing mount
    #[command(after_help = "Examples:\n  \
        crossbrace draw frame.json                       sheets under reports/frame/drawing/\n  \
        crossbrace draw frame.json --out /tmp/sheets")]
    Draw(DrawOptions),
    /// Write a first model of your own car from the dozen figures that a shop has
    #[command(after_help = "Examples:\n  \
        crossbrace new my-car                            asks for the figures, writes my-car.json\n  \
        crossbrace new my-car --use hillclimb --front double-wishbone --mass 640 --wheelbase 2350 \\\n      \
            --track-front 1400 --tyre-radius 280         no questions: the rest is assumed, and the model says so\n  \
        crossbrace new my-car --use road --front strut --scales \"510 lb, 505 lb, 420 lb, 415 lb\" \\\n      \
            --wheelbase \"94 in\" --track-front \"57 in\" --tyre-diameter \"24 in\" --tube \"1.5 in x 14 swg\"\n\n\
        A figure is a number in mm or kg, or a text with its unit. An existing file is never overwritten.\n\
        Exit code: 0 written and within all limits, 1 written and a limit is exceeded, 2 nothing written.")]
    New(Box<NewOptions>),
    /// List tube sizes that are commonly on the rack, with their figures and sources
    Tubes,
    /// List the built-in materials with their strengths and sources
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
    /// The model file
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

/// Options of `draw`.
#[derive(Debug, Args)]
pub(crate) struct DrawOptions {
    #[command(flatten)]
    pub(crate) model: ModelOptions,
    /// Where the sheets go [default: reports/MODEL-NAME/drawing]
    #[arg(long, value_name = "DIR")]
    pub(crate) out: Option<PathBuf>,
}
