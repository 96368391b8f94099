//! The dozen figures of a car, what each may be, and what stands in for one that is not known.

use serde_json::{Value, json};

use crate::source::nearest;
use crate::units::{Kind, Length, Mass, Quantity, Wall, brief, shortest};

/// What a figure may be; outside of it, it is mistyped or in another unit.
#[derive(Debug, Clone, Copy)]
pub struct Bound {
    /// What is bounded, for a message.
    pub what: &'static str,
    /// Its units; `None`: a bare number.
    pub kind: Option<&'static Kind>,
    /// The least that a car has.
    pub least: f64,
    /// The most that a car has.
    pub most: f64,
}

/// Mass of the car, kg.
pub const MASS: Bound = Bound { what: "the mass", kind: Some(Mass::KIND), least: 150.0, most: 3000.0 };
/// What one scale reads, kg.
pub const SCALE: Bound = Bound { what: "a scale's reading", kind: Some(Mass::KIND), least: 20.0, most: 1000.0 };
/// Wheelbase, mm.
pub const WHEELBASE: Bound = Bound { what: "the wheelbase", kind: Some(Length::KIND), least: 1200.0, most: 4000.0 };
/// Track, mm.
pub const TRACK: Bound = Bound { what: "the track", kind: Some(Length::KIND), least: 900.0, most: 2200.0 };
/// Height of the centre of gravity, mm.
pub const CG_HEIGHT: Bound =
    Bound { what: "the height of the centre of gravity", kind: Some(Length::KIND), least: 150.0, most: 1000.0 };
/// Rolling radius of a tyre, mm.
pub const TYRE_RADIUS: Bound = Bound { what: "the tyre radius", kind: Some(Length::KIND), least: 180.0, most: 420.0 };
/// Diameter of a tyre, mm.
pub const TYRE_DIAMETER: Bound =
    Bound { what: "the tyre diameter", kind: Some(Length::KIND), least: 360.0, most: 840.0 };
/// A share of the front axle.
pub const FRONT_SHARE: Bound = Bound { what: "the share of the front axle", kind: None, least: 0.2, most: 0.8 };
/// The brakes' share of the front axle.
pub const BRAKE_SHARE: Bound =
    Bound { what: "the brakes' share of the front axle", kind: None, least: 0.3, most: 0.95 };
/// Unsprung mass of a corner, kg.
pub const UNSPRUNG: Bound = Bound { what: "the unsprung mass", kind: Some(Mass::KIND), least: 3.0, most: 100.0 };
/// Height of the rack, mm.
pub const RACK_HEIGHT: Bound =
    Bound { what: "the height of the rack", kind: Some(Length::KIND), least: 80.0, most: 500.0 };
/// Friction of the tyres.
pub const TYRE_GRIP: Bound = Bound { what: "the grip of the tyres", kind: None, least: 0.3, most: 2.5 };
/// Outside diameter of a tube, mm.
pub const TUBE_OD: Bound = Bound { what: "the outside of the tube", kind: Some(Length::KIND), least: 10.0, most: 90.0 };
/// Wall of a tube, mm.
pub const TUBE_WALL: Bound = Bound { what: "the wall of the tube", kind: Some(Wall::KIND), least: 0.8, most: 8.0 };

impl Bound {
    /// The figure of a text: a bare number in the default unit, or a number with its unit.
    ///
    /// # Errors
    /// What is wrong with it, and what is allowed.
    pub fn read(&self, text: &str) -> Result<f64, String> {
        let text = text.trim();
        let bare = text.parse::<f64>().ok().filter(|value| value.is_finite());
        let value = match (bare, self.kind) {
            (Some(value), _) => value,
            (None, Some(kind)) => kind.parse(text)?,
            (None, None) => return Err(format!("\"{text}\" is not a number; write for instance {}", self.example())),
        };
        self.check(value)?;
        Ok(value)
    }

    /// Whether a figure, in the default unit, is one that a car has.
    ///
    /// # Errors
    /// What it is, and what is allowed.
    pub fn check(&self, value: f64) -> Result<(), String> {
        if (self.least..=self.most).contains(&value) {
            return Ok(());
        }
        let unit = self.unit();
        Err(format!(
            "{} is {}{unit}, outside the {} to {}{unit} that a car has{}",
            self.what,
            brief(value),
            brief(self.least),
            brief(self.most),
            self.other_unit(value)
        ))
    }

    /// The question after the unit in which a figure would be one that a car has.
    fn other_unit(&self, value: f64) -> String {
        let units = self.kind.map_or(&[][..], |kind| kind.units);
        let is_meant = |(_, size): &&(&str, f64)| (self.least..=self.most).contains(&(value * size));
        match units.iter().find(is_meant) {
            Some((unit, _)) => format!(": is \"{} {unit}\" meant?", brief(value)),
            None => String::new(),
        }
    }

    fn example(&self) -> String {
        brief((self.least + self.most) / 2.0)
    }

    fn unit(&self) -> String {
        self.kind.map(|kind| format!(" {}", kind.default_unit())).unwrap_or_default()
    }
}

/// How heavy the car is, and where.
#[derive(Debug, Clone, PartialEq)]
pub enum Weight {
    /// The whole, and the front axle's share of it where that is known.
    Whole {
        /// Mass, kg.
        mass_kg: f64,
        /// The front axle's share.
        front_share: Option<f64>,
    },
    /// What the four scales read, kg: front left, front right, rear left, rear right.
    Scales([f64; 4]),
}

/// What the car is built for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Use {
    /// Sprints on gravel, grass, earth.
    LooseSurfaceSprint,
    /// Hillclimbs on tarmac.
    Hillclimb,
    /// The road.
    Road,
}

/// How the front wheels are held.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Front {
    /// Two wishbones and a coil-over on the lower.
    DoubleWishbone,
    /// A lower wishbone and a strut.
    Strut,
    /// An arm that trails from a cross line ahead of the wheel.
    TrailingArm,
    /// Five links and a coil-over on the upright.
    Links,
}

/// Which axle the engine drives.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Driven {
    /// The front axle.
    Front,
    /// The rear axle.
    Rear,
    /// Both.
    Both,
    /// Not modelled.
    None,
}

impl Use {
    /// All, with the word of the command.
    pub const ALL: [(&'static str, Use); 3] =
        [("loose-surface-sprint", Use::LooseSurfaceSprint), ("hillclimb", Use::Hillclimb), ("road", Use::Road)];

    /// Its word, as the command has it.
    pub fn word(self) -> &'static str {
        word(&Self::ALL, self)
    }
}

impl Front {
    /// All, with the word of the command.
    pub const ALL: [(&'static str, Front); 4] = [
        ("double-wishbone", Front::DoubleWishbone),
        ("strut", Front::Strut),
        ("trailing-arm", Front::TrailingArm),
        ("links", Front::Links),
    ];

    /// Its word, as the command has it.
    pub fn word(self) -> &'static str {
        word(&Self::ALL, self)
    }
}

impl Driven {
    /// All, with the word of the command.
    pub const ALL: [(&'static str, Driven); 4] =
        [("front", Driven::Front), ("rear", Driven::Rear), ("both", Driven::Both), ("none", Driven::None)];

    /// Its word, as the command has it.
    pub fn word(self) -> &'static str {
        word(&Self::ALL, self)
    }

    /// Whether the front wheels are driven.
    pub fn at_the_front(self) -> bool {
        matches!(self, Driven::Front | Driven::Both)
    }
}

fn word<T: Copy + PartialEq>(all: &[(&'static str, T)], one: T) -> &'static str {
    all.iter().find(|(_, each)| *each == one).map_or("", |(word, _)| word)
}

/// What a word of the command means; capitals do not matter, and a blank is as good as a hyphen.
///
/// # Errors
/// The words that there are, and the one that may be meant.
pub fn choice<T: Copy>(all: &[(&'static str, T)], text: &str) -> Result<T, String> {
    let text = text.trim();
    let plain = text.to_lowercase().replace([' ', '_'], "-");
    all.iter().find(|(word, _)| *word == plain).map(|(_, each)| *each).ok_or_else(|| {
        let words: Vec<&str> = all.iter().map(|(word, _)| *word).collect();
        // Half of a word is often all of it that is remembered.
        let singular = plain.strip_suffix('s').unwrap_or(&plain);
        let part_of =
            |words: &[&'static str]| words.iter().find(|word| singular.len() >= 3 && word.contains(singular)).copied();
        let meant = part_of(&words).or_else(|| nearest(&plain, words.iter().copied())).map(str::to_owned);
        // Or it is a word of another question.
        let uses: Vec<&str> = Use::ALL.iter().map(|(word, _)| *word).collect();
        let fronts: Vec<&str> = Front::ALL.iter().map(|(word, _)| *word).collect();
        let elsewhere = || {
            let of = |option: &str, words: &[&'static str]| part_of(words).map(|word| format!("{option} {word}"));
            of("--use", &uses).or_else(|| of("--front", &fronts))
        };
        let asked = meant.or_else(elsewhere).map(|word| format!("; did you mean {word}?")).unwrap_or_default();
        format!("\"{text}\" is none of {}{asked}", words.join(", "))
    })
}

/// A round tube, as it was named.
#[derive(Debug, Clone, PartialEq)]
pub struct RackTube {
    od: Value,
    wall: Value,
}

impl RackTube {
    /// From its figures, mm.
    pub(super) fn of(od_mm: f64, wall_mm: f64) -> RackTube {
        RackTube { od: number(od_mm), wall: number(wall_mm) }
    }

    /// From a text such as `38x2`, `38 x 2` or `1.5 in x 16 swg`; the model keeps the units.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn read(text: &str) -> Result<RackTube, String> {
        let Some((od, wall)) = text.trim().split_once(['x', 'X', '×']) else {
            return Err(format!("\"{text}\" is not a round tube; write outside x wall, for instance 38x2"));
        };
        let (od, wall) = (od.trim(), wall.trim());
        let (od_mm, wall_mm) = (TUBE_OD.read(od)?, TUBE_WALL.read(wall)?);
        if wall_mm >= od_mm / 2.0 {
            return Err(format!("\"{text}\": the wall must be under half of the outside"));
        }
        let kept = |text: &str, value: f64| match text.parse::<f64>() {
            Ok(_) => number(value),
            Err(_) => json!(text),
        };
        Ok(RackTube { od: kept(od, od_mm), wall: kept(wall, wall_mm) })
    }

    /// Its outside, mm.
    pub(super) fn od_mm(&self) -> f64 {
        self.od.as_f64().or_else(|| Length::KIND.parse(self.od.as_str()?).ok()).unwrap_or_default()
    }

    /// As the model file has it.
    pub(super) fn section(&self) -> Value {
        json!({"od": self.od, "wall": self.wall})
    }

    /// In words: `38x2`.
    pub fn words(&self) -> String {
        let plain = |value: &Value| value.as_str().map_or_else(|| value.to_string(), str::to_owned);
        format!("{}x{}", plain(&self.od), plain(&self.wall))
    }
}

/// A number in full, as a person would write it: without what a conversion leaves in its last digits,
/// and without a point where it is whole.
pub(super) fn number(value: f64) -> Value {
    const NOISE: f64 = 1e-12;
    let plain = shortest(value, NOISE * value.abs()).parse().unwrap_or(value);
    if plain.fract() == 0.0 { json!(plain as i64) } else { json!(plain) }
}

/// The figures of a car; `None`: not known, so that a usual one stands in and the model says so.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// What the model is called.
    pub title: String,
    /// How heavy, driver in.
    pub weight: Weight,
    /// Wheelbase, mm.
    pub wheelbase_mm: f64,
    /// Track of the front, mm.
    pub track_front_mm: f64,
    /// Track of the rear, mm.
    pub track_rear_mm: Option<f64>,
    /// Rolling radius of the tyres, mm.
    pub tyre_radius_mm: f64,
    /// What it is built for.
    pub purpose: Use,
    /// How the front wheels are held.
    pub front: Front,
    /// Height of the centre of gravity, mm.
    pub cg_height_mm: Option<f64>,
    /// The tube on the rack, for rails and cross tubes.
    pub tube: Option<RackTube>,
    /// The lighter tube, for posts and diagonals.
    pub brace: Option<RackTube>,
    /// Material of both, a built-in one.
    pub material: Option<String>,
    /// The brakes' share of the front axle.
    pub brake_share_front: Option<f64>,
    /// Which axle is driven.
    pub driven: Option<Driven>,
    /// Unsprung mass of a front corner, kg.
    pub unsprung_kg: Option<f64>,
    /// Height of the rack's ends, mm.
    pub rack_height_mm: Option<f64>,
    /// Friction of the tyres.
    pub tyre_grip: Option<f64>,
}

/// Every figure, with a list of what was assumed.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Car {
    pub(super) mass_kg: f64,
    pub(super) track_mm: [f64; 2],
    pub(super) behind_front_axle_mm: f64,
    pub(super) left_mm: f64,
    pub(super) cg_height_mm: f64,
    pub(super) brake_share_front: f64,
    pub(super) drive_share_front: Option<f64>,
    pub(super) driven: Driven,
    pub(super) unsprung_kg: f64,
    pub(super) tyre_grip: f64,
    pub(super) transfer_share_front: f64,
    pub(super) pneumatic_trail_mm: f64,
    pub(super) material: String,
    /// What stands in for a figure that was not given, as sentences that say what to measure.
    pub(super) assumed: Vec<String>,
}

/// Steps in which an assumed share is given.
const SHARE_STEP: f64 = 0.01;

impl Car {
    /// Fills in what was not given; every figure that is assumed is named.
    pub(super) fn of(figures: &Figures) -> Car {
        let mut assumed = Vec::new();
        let track_rear_mm = figures.track_rear_mm.unwrap_or_else(|| {
            assumed.push("the rear track is that of the front; measure it".to_owned());
            figures.track_front_mm
        });
        let track_mm = [figures.track_front_mm, track_rear_mm];
        let (mass_kg, front_share, left_mm) = weight(&figures.weight, track_mm, &mut assumed);
        // Shares of the tyre's diameter: common practice, no source.
        let tall = match figures.purpose {
            Use::LooseSurfaceSprint => 0.8,
            Use::Hillclimb => 0.7,
            Use::Road => 0.85,
        };
        let cg_height_mm = figures.cg_height_mm.unwrap_or_else(|| {
            let height = (tall * 2.0 * figures.tyre_radius_mm / 10.0).round() * 10.0;
            assumed.push(format!(
                "height of the centre of gravity {} mm, {} of the tyre's diameter (common practice, no source); it sets how much \
                 load moves in braking and bends: measure it (weigh the front axle level and with the rear wheels lifted by \
                 300 mm or more, springs blocked: tyre radius + gain x wheelbase / (mass x slope))",
                brief(height),
                brief(tall)
            ));
            height
        });
        let tyre_grip = figures.tyre_grip.unwrap_or_else(|| {
            let grip = match figures.purpose {
                Use::LooseSurfaceSprint => 0.9,
                Use::Hillclimb => 1.4,
                Use::Road => 1.0,
            };
            assumed.push(format!(
                "tyre grip {} (common practice, no source); measure the steady g in a bend with a logger",
                brief(grip)
            ));
            grip
        });
        let brake_share_front = figures.brake_share_front.unwrap_or_else(|| {
            let ideal = front_share + 0.8 * tyre_grip * cg_height_mm / figures.wheelbase_mm;
            let share = round_to(ideal.clamp(0.5, 0.85), SHARE_STEP);
            assumed.push(format!(
                "brake share of the front axle {}, that of its load at 0.8 of the grip; work it out from pistons, discs and \
                 the balance bar",
                brief(share)
            ));
            share
        });
        let driven = figures.driven.unwrap_or_else(|| {
            assumed.push("the rear axle is driven; say otherwise with --driven".to_owned());
            Driven::Rear
        });
        let drive_share_front = match driven {
            Driven::Front => Some(1.0),
            Driven::Rear => Some(0.0),
            Driven::Both => {
                assumed.push(
                    "half of the drive goes to the front axle; ask the maker of the centre differential".to_owned(),
                );
                Some(0.5)
            }
            Driven::None => None,
        };
        let unsprung_kg = figures.unsprung_kg.unwrap_or_else(|| {
            // A twenty-fifth of the car a corner: common practice, no source.
            let mass = (mass_kg / 25.0).clamp(10.0, 50.0).round();
            assumed.push(format!(
                "unsprung mass {} kg a corner, a twenty-fifth of the car (common practice, no source); weigh wheel, tyre, \
                 brake, upright and half of the arms",
                brief(mass)
            ));
            mass
        });
        let transfer_share_front = round_to((front_share + 0.05).clamp(0.3, 0.7), SHARE_STEP);
        assumed.push(format!(
            "front share of the load transfer in bends {}, a little above the front's share of the mass (common practice, no \
             source); work it out from springs, bars and roll centres",
            brief(transfer_share_front)
        ));
        let pneumatic_trail_mm = 20.0;
        assumed.push("pneumatic trail 20 mm (common practice, no source); ask the tyre maker".to_owned());
        let material = figures.material.clone().unwrap_or_else(|| {
            assumed.push(format!(
                "tube material {USUAL_MATERIAL}, normalised; read the certificate of the tube on the rack"
            ));
            USUAL_MATERIAL.to_owned()
        });
        Car {
            mass_kg,
            track_mm,
            behind_front_axle_mm: (figures.wheelbase_mm * (1.0 - front_share)).round(),
            left_mm,
            cg_height_mm,
            brake_share_front,
            drive_share_front,
            driven,
            unsprung_kg,
            tyre_grip,
            transfer_share_front,
            pneumatic_trail_mm,
            material,
            assumed,
        }
    }
}

/// What a frame is welded of where nothing is said.
pub const USUAL_MATERIAL: &str = "E235+N";

/// A value to the nearest of even steps.
fn round_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

/// Mass (kg), the front axle's share, and how far the centre of gravity is left of the middle (mm).
fn weight(weight: &Weight, track_mm: [f64; 2], assumed: &mut Vec<String>) -> (f64, f64, f64) {
    match weight {
        Weight::Scales([fl, fr, rl, rr]) => {
            let mass = fl + fr + rl + rr;
            let [front, rear] = track_mm;
            let left = ((fl - fr) * front + (rl - rr) * rear) / 2.0 / mass;
            (mass, (fl + fr) / mass, left.round())
        }
        Weight::Whole { mass_kg, front_share } => {
            let share = front_share.unwrap_or_else(|| {
                assumed.push(
                    "half of the mass on the front axle; put the car on four scales, driver in, and give --scales"
                        .to_owned(),
                );
                0.5
            });
            (*mass_kg, share, 0.0)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_figure_is_a_bare_number_or_carries_its_unit() {
        assert_eq!(MASS.read("520"), Ok(520.0));
        assert_eq!(MASS.read(" 1000 lb "), Ok(453.592_37));
        assert_eq!(WHEELBASE.read("2.35 m"), Ok(2350.0));
        assert!(FRONT_SHARE.read("nan").is_err());
        assert!(MASS.read("1e999").is_err());
    }

    #[test]
    fn a_figure_that_no_car_has_is_named_with_its_range() {
        assert_eq!(
            WHEELBASE.read("2.35").unwrap_err(),
            "the wheelbase is 2.35 mm, outside the 1200 to 4000 mm that a car has: is \"2.35 m\" meant?"
        );
        assert!(WHEELBASE.read("94").unwrap_err().ends_with(": is \"94 in\" meant?"));
        assert!(WHEELBASE.read("5000").unwrap_err().ends_with("that a car has"), "in no unit is it one");
        let comma = "\"2,35 m\" has a decimal comma; write a decimal number with a point: \"2.35 m\"";
        assert_eq!(WHEELBASE.read("2,35 m").unwrap_err(), comma);
    }

    #[test]
    fn a_word_is_known_with_capitals_and_blanks_too() {
        for text in ["double-wishbone", " Double Wishbone", "double_wishbone "] {
            assert_eq!(choice(&Front::ALL, text), Ok(Front::DoubleWishbone), "{text}");
        }
        assert_eq!(
            choice(&Front::ALL, "wishbone"),
            Err("\"wishbone\" is none of double-wishbone, strut, trailing-arm, links; did you mean double-wishbone?"
                .to_owned())
        );
    }

    #[test]
    fn part_of_a_word_its_plural_and_a_word_of_another_question_are_known_again() {
        let asked = |text: &str| choice(&Front::ALL, text).unwrap_err();
        assert!(asked("wishbones").ends_with("; did you mean double-wishbone?"), "{}", asked("wishbones"));
        assert!(asked("loose").ends_with("; did you mean --use loose-surface-sprint?"), "{}", asked("loose"));
        assert!(asked("rally").ends_with("links"), "{}", asked("rally"));
    }

    #[test]
    fn a_tube_keeps_the_units_that_it_was_named_in() {
        assert_eq!(RackTube::read("38x2").unwrap().section(), json!({"od": 38, "wall": 2}));
        assert_eq!(RackTube::read("1.5 in × 16 swg").unwrap().section(), json!({"od": "1.5 in", "wall": "16 swg"}));
        assert!(RackTube::read("38").is_err());
        assert!(RackTube::read("12x6").unwrap_err().contains("half of the outside"));
    }

    #[test]
    fn four_scales_give_mass_and_place_of_the_centre_of_gravity() {
        let figures = Figures {
            title: "t".to_owned(),
            weight: Weight::Scales([110.0, 100.0, 150.0, 140.0]),
            wheelbase_mm: 2000.0,
            track_front_mm: 1200.0,
            track_rear_mm: Some(1200.0),
            tyre_radius_mm: 280.0,
            purpose: Use::Road,
            front: Front::Links,
            cg_height_mm: None,
            tube: None,
            brace: None,
            material: None,
            brake_share_front: None,
            driven: None,
            unsprung_kg: None,
            rack_height_mm: None,
            tyre_grip: None,
        };
        let car = Car::of(&figures);
        assert_eq!((car.mass_kg, car.behind_front_axle_mm, car.left_mm), (500.0, 1160.0, 24.0));
        let moments = (110.0 + 150.0) * 600.0 - (100.0 + 140.0) * 600.0;
        assert_eq!(car.left_mm, moments / 500.0);
    }
}
