//! A first model of somebody's own car, from the dozen figures that a shop has.
//!
//! Reads [`Figures`]. Gives a [`FirstFrame`]: the text of a model that a person could have
//! written, checked, with tube sizes that pass. Every figure that stands in for one that was not
//! given is named in its notes, with how to measure it. Leaves out asking, and files.

mod cases;
mod figures;
mod shape;
mod sizes;

use serde_json::{Map, Value, json};

use crate::model::{Model, load};
use crate::run::{Checked, check};
use crate::source::{Document, laid_out};

use figures::{Car, number};
use sizes::Sizes;

pub use figures::{
    BRAKE_SHARE, Bound, CG_HEIGHT, Driven, FRONT_SHARE, Figures, Front, MASS, RACK_HEIGHT, RackTube, SCALE, TRACK,
    TUBE_OD, TUBE_WALL, TYRE_DIAMETER, TYRE_GRIP, TYRE_RADIUS, UNSPRUNG, USUAL_MATERIAL, Use, WHEELBASE, Weight,
    choice,
};

/// Where the schema lies for a model that can name it.
pub const SCHEMA_FILE: &str = "model.schema.json";

/// Whether the model names the schema, so that an editor completes and explains.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Schema {
    /// It lies beside the model.
    Beside,
    /// It does not.
    Absent,
}

/// A first model.
pub struct FirstFrame {
    /// The text of its file.
    pub text: String,
    /// The model that the text gives.
    pub model: Model,
    /// What came of checking it.
    pub checked: Checked,
    /// The tube sizes in words.
    pub sizes: String,
    /// What was assumed, as sentences that say what to measure.
    pub assumed: Vec<String>,
}

/// Draws and sizes a first front frame.
///
/// # Errors
/// The figures make no car that can be checked, or a tube that they name is too small, in words, with
/// what to do on a line of its own.
pub fn first_frame(figures: &Figures, schema: Schema) -> Result<FirstFrame, String> {
    let told = |why| format!("from these figures no model can be made that can be checked:\n{why}");
    let (first, _) = sized(figures, schema).map_err(told)?;
    if first.checked.verdict.passes() {
        return Ok(first);
    }
    // Other tubes that grow without end do not help one that is too small: that is to be told.
    let passes = |tube: Option<RackTube>, brace: Option<RackTube>| {
        let tried = Figures { tube, brace, ..figures.clone() };
        sized(&tried, schema).ok().filter(|(first, _)| first.checked.verdict.passes()).map(|(_, sizes)| sizes)
    };
    let (tube, brace) = (&figures.tube, &figures.brace);
    if let Some(named) = tube
        && let Some(least) = sizes::rails().find(|size| passes(Some(size.clone()), brace.clone()).is_some())
    {
        return Err(too_small("--tube", named, "rails", &least));
    }
    if let Some(named) = brace
        && let Some(least) = sizes::braces().find(|size| passes(tube.clone(), Some(size.clone())).is_some())
    {
        return Err(too_small("--brace", named, "posts and diagonals", &least));
    }
    if let (Some(tube), Some(brace)) = (tube, brace)
        && let Some(chosen) = passes(None, None)
    {
        return Err(format!(
            "{} and {} are too small for the rails, posts and diagonals of this car: the frame fails with either, whatever \
             the other tubes are\nhint: it passes with --tube {} --brace {}; without the two they are chosen",
            tube.words(),
            brace.words(),
            chosen.words_of("main"),
            chosen.words_of("brace")
        ));
    }
    Ok(first)
}

/// What is told of a tube that is too small.
fn too_small(option: &str, named: &RackTube, what: &str, least: &RackTube) -> String {
    format!(
        "{} is too small for the {what} of this car: the frame fails with it, whatever the other tubes are, up to \
         twice as wide as the rails\n\
         hint: the least of the short list that passes is {option} {}; without {option} it is chosen",
        named.words(),
        least.words()
    )
}

/// A frame of tubes as small as do, or as large as there are, with the tubes that are named; and the
/// sizes of all.
fn sized(figures: &Figures, schema: Schema) -> Result<(FirstFrame, Sizes), String> {
    let car = Car::of(figures);
    let writer = Writer { figures, car: &car, schema, drawn: shape::draw(figures, &car) };
    let mut sizes = Sizes::smallest(figures, &car);
    let possible = cases::possible(&read(&writer.text(&sizes, &[]))?);
    loop {
        let text = writer.text(&sizes, &possible);
        let model = read(&text)?;
        let checked = check(&model, |_| true).map_err(|faults| {
            faults.iter().map(|fault| format!("{}: {}", fault.path, fault.message)).collect::<Vec<_>>().join("\n")
        })?;
        let mut try_sizes = |sizes: &Sizes| check(&read(&writer.text(sizes, &possible)).ok()?, |_| true).ok();
        let Some(next) = sizes.next(&model, &checked, &mut try_sizes) else {
            let first = FirstFrame { text, model, checked, sizes: sizes.words(), assumed: car.assumed };
            return Ok((first, sizes));
        };
        sizes = next;
    }
}

/// The model of a text that we wrote.
fn read(text: &str) -> Result<Model, String> {
    let told = |problems: Vec<crate::source::Problem>| {
        problems.iter().map(|problem| problem.message.clone()).collect::<Vec<_>>().join("\n")
    };
    let document = Document::read(text.as_bytes().to_vec()).map_err(|(_, problems)| told(problems))?;
    load(&document).map_err(told)
}

/// What stays the same while sizes are tried.
struct Writer<'f> {
    figures: &'f Figures,
    car: &'f Car,
    schema: Schema,
    drawn: shape::Drawn,
}

impl Writer<'_> {
    fn text(&self, sizes: &Sizes, possible: &[cases::Possible]) -> String {
        let (figures, car, drawn) = (self.figures, self.car, &self.drawn);
        let mut file = Map::new();
        let mut put = |key: &str, value: Value| file.insert(key.to_owned(), value);
        if self.schema == Schema::Beside {
            put("$schema", json!(SCHEMA_FILE));
        }
        put("format", json!(1));
        put("title", json!(figures.title));
        put("notes", json!(self.notes()));
        put("mirror", json!(true));
        put("tubes", Value::Object(sizes.section()));
        put("nodes", Value::Object(drawn.nodes.clone()));
        if !drawn.brackets.is_empty() {
            put("brackets", Value::Object(drawn.brackets.clone()));
        }
        put("members", Value::Object(drawn.members.clone()));
        put("mounts", Value::Object(drawn.mounts.clone()));
        if !drawn.bodies.is_empty() {
            put("bodies", Value::Object(drawn.bodies.clone()));
        }
        put("vehicle", self.vehicle());
        put("corners", json!({"front.l": drawn.corner}));
        put("cases", Value::Object(cases::cases(figures, car, drawn.nose_x_mm, possible)));
        put("limits", cases::limits(figures, car));
        laid_out(&Value::Object(file))
    }

    fn vehicle(&self) -> Value {
        let (figures, car) = (self.figures, self.car);
        let mut vehicle = json!({
            "mass": number(car.mass_kg),
            "wheelbase": number(figures.wheelbase_mm),
            "track": {"front": number(car.track_mm[0]), "rear": number(car.track_mm[1])},
            "cg": {"behind_front_axle": number(car.behind_front_axle_mm), "height": number(car.cg_height_mm)},
            "lateral_transfer_share_front": number(car.transfer_share_front),
            "brake_share_front": number(car.brake_share_front),
        });
        if car.left_mm != 0.0 {
            vehicle["cg"]["left"] = number(car.left_mm);
        }
        if let Some(share) = car.drive_share_front {
            vehicle["drive_share_front"] = number(share);
        }
        vehicle["tyre_grip"] = number(car.tyre_grip);
        vehicle["pneumatic_trail"] = number(car.pneumatic_trail_mm);
        if !car.assumed.is_empty() {
            let numbered: Vec<String> =
                car.assumed.iter().enumerate().map(|(at, what)| format!("{}. {what}.", at + 1)).collect();
            vehicle["note"] = json!(format!("Assumed: {}", numbered.join(" ")));
        }
        vehicle
    }

    fn notes(&self) -> String {
        let layout = match self.figures.front {
            Front::TrailingArm => trailing_arm_note(self.car.driven),
            _ => "",
        };
        format!(
            "A first front frame for {}, {} at the front, drawn by proportions of track, wheelbase and tyre radius (common \
             practice, no source): a place to start from, not a design. Origin on the ground under the front axle. Measure \
             first: 1. four scales, driver in; 2. height of the centre of gravity; 3. where your arms, springs and tie rods \
             really are (tape, CAD or scan) and put them into brackets and corners; 4. where the body can be bolted to; \
             5. what is in the way: engine, pedals and radiator are not drawn. The vehicle's note lists what was assumed. \
             Left out: springs at other heights, anti-roll bars, the rear.{layout}",
            match self.figures.purpose {
                Use::LooseSurfaceSprint => "sprints on loose surface",
                Use::Hillclimb => "hillclimbs",
                Use::Road => "the road",
            },
            self.figures.front.word().replace('-', " "),
        )
    }
}

/// What the user of a trailing arm at the front must know, and what `check` may warn of.
fn trailing_arm_note(driven: Driven) -> &'static str {
    if driven.at_the_front() {
        " A trailing arm as the model has it does not steer: the king pin of a steered wheel is not in it. With its pivots \
         ahead of the wheel and below its centre, braking pulls the nose down (negative anti-dive) and so does the drive \
         (anti-lift above 100 %); check warns where these are large. Lower pivots lessen the first, higher ones the \
         second, a longer arm both."
    } else {
        " A trailing arm as the model has it does not steer: the king pin of a steered wheel is not in it. With its pivots \
         ahead of the wheel, braking pulls the nose down (negative anti-dive); check warns where it is large. Lower pivots \
         and a longer arm lessen it."
    }
}
