//! Quantities: text with a unit to a number, and a number to text.
//!
//! Reads a bare number (in the default unit of its quantity) or a text that carries its unit.
//! Gives a number in that default unit, and accessors into the one consistent set that the
//! mechanics uses: mm, N, N·mm, MPa, rad. `shown` turns numbers into text, with the only rounding in the
//! crate ([`figures`]). Leaves out what a number means.

mod shown;

pub use shown::{brief, decimals, decimals_for, figures, in_full, rounded, shortest, spoken, told_apart};

use std::f64::consts::PI;

/// Standard gravity, m/s² (ISO 80000-3), also used for weight.
pub const GRAVITY_M_S2: f64 = 9.806_65;

/// One pound-force, N: 0.45359237 kg × 9.80665 m/s² (international avoirdupois pound, 1959).
const LBF: f64 = 4.448_221_615_260_5;
/// One international pound, kg (1959).
const LB: f64 = 0.453_592_37;
/// One inch, mm (international, 1959).
const IN: f64 = 25.4;
/// One foot, mm.
const FT: f64 = 304.8;
/// One pound per square inch, MPa.
const PSI: f64 = LBF / (IN * IN);

/// A kind of quantity: its name, and its units with what one of each is in the default unit.
#[derive(Debug)]
pub struct Kind {
    /// What it is called in a message, for instance `length`.
    pub name: &'static str,
    /// Unit and its size in the default unit; the first is the default and has size 1.
    pub units: &'static [(&'static str, f64)],
    /// Whether whole imperial wire gauges (`16 swg`) are understood.
    pub gauges: bool,
    /// The largest that can be reckoned with, in the default unit.
    pub largest: f64,
}

/// A unit of length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LengthUnit {
    /// Its name, in its exact letters.
    pub name: &'static str,
    /// What one of it is, mm.
    pub size_mm: f64,
}

impl LengthUnit {
    /// The millimetre.
    pub const MM: LengthUnit = LengthUnit { name: "mm", size_mm: 1.0 };

    /// The unit of a name in its exact letters; `None` where no unit of length has that name.
    ///
    /// ```
    /// use crossbrace::units::LengthUnit;
    /// assert_eq!(LengthUnit::named("in").map(|unit| unit.size_mm), Some(25.4));
    /// assert_eq!(LengthUnit::named("inch"), None);
    /// ```
    pub fn named(name: &str) -> Option<LengthUnit> {
        let known = Length::KIND.units.iter().find(|(known, _)| *known == name);
        known.map(|&(name, size_mm)| LengthUnit { name, size_mm })
    }
}

impl Kind {
    /// The unit of a bare number.
    pub fn default_unit(&self) -> &'static str {
        self.units[0].0
    }

    /// The value in the default unit of a text such as `1.5 in` or `16 swg`.
    ///
    /// The text is a JSON number, at most one blank, and the unit in its exact letters; `·`, `*`
    /// and a blank between units are the same, N m may be written Nm, `²` is `2`.
    ///
    /// # Errors
    /// What is wrong with the text, as a sentence that quotes it.
    pub fn parse(&self, text: &str) -> Result<f64, String> {
        let (number, rest) = split_number(text);
        if number.is_empty() {
            return Err(format!(
                "\"{text}\" does not start with a number; write for instance \"12.5 {}\"",
                self.default_unit()
            ));
        }
        let value: f64 = number
            .parse()
            .ok()
            .filter(|value: &f64| value.is_finite())
            .ok_or_else(|| format!("\"{text}\" is out of range"))?;
        let unit = rest.strip_prefix(' ').unwrap_or(rest);
        if unit.is_empty() {
            return Err(format!(
                "\"{text}\" has no unit; write \"{number} {}\", or {number} without quotes",
                self.default_unit()
            ));
        }
        if self.gauges && unit == "swg" {
            return gauge_mm(value)
                .ok_or_else(|| format!("\"{text}\" is not in the wire gauge table: whole gauges from 1 to 50"));
        }
        let plain = plain_unit(unit);
        let size = self
            .units
            .iter()
            .find(|(name, _)| *name == plain)
            .map(|&(_, size)| size)
            .ok_or_else(|| self.wrong_unit(text, unit, &plain))?;
        self.in_range(value * size, &format!("\"{text}\""))
    }

    /// What one of a unit is in the default unit; the unit in its exact letters.
    pub fn size(&self, unit: &str) -> Option<f64> {
        self.units.iter().find(|(name, _)| *name == unit).map(|&(_, size)| size)
    }

    /// Another value (in the default unit) in the unit that a text such as `1.5 in` has: the
    /// shortest decimal number that is within `tolerance` of it. `None` where the text is no value.
    ///
    /// ```
    /// use crossbrace::units::{Length, Quantity};
    /// assert_eq!(Length::KIND.rewritten("1.5 in", 12.7, 1e-9).as_deref(), Some("0.5 in"));
    /// ```
    pub fn rewritten(&self, text: &str, value: f64, tolerance: f64) -> Option<String> {
        let (_, rest) = split_number(text);
        let size = self.size(&plain_unit(rest.strip_prefix(' ').unwrap_or(rest)))?;
        Some(format!("{}{rest}", shortest(value / size, tolerance / size)))
    }

    /// A value in the default unit, unless it is larger than can be reckoned with.
    ///
    /// # Errors
    /// A sentence that quotes `text`, as the value was written.
    pub fn in_range(&self, value: f64, text: &str) -> Result<f64, String> {
        if value.abs() <= self.largest {
            return Ok(value);
        }
        Err(match self.largest {
            f64::MAX => format!("{text} is out of range"),
            most => {
                format!("{text} is out of range: {} is at most {most:e} {}", self.with_article(), self.default_unit())
            }
        })
    }

    fn wrong_unit(&self, text: &str, unit: &str, plain: &str) -> String {
        let (what, known) = (self.with_article(), self.unit_list());
        if let Some(decimal) = without_fraction(text) {
            return format!("\"{text}\" has a fraction in it; write a decimal number with a point: \"{decimal}\"");
        }
        let with_point = text.replacen(',', ".", 1);
        if unit.starts_with(',') && self.parse(&with_point).is_ok() {
            return format!("\"{text}\" has a decimal comma; write a decimal number with a point: \"{with_point}\"");
        }
        if unit.starts_with(['/', ',', ' ']) || unit.starts_with(|letter: char| letter.is_ascii_digit()) {
            return format!(
                "\"{text}\" is not a number and a unit; write a decimal number with a point, at most one blank, and one of {known}"
            );
        }
        let lower = unit.to_lowercase();
        if self.gauges && (lower == "g" || GAUGES.contains(&lower.as_str())) {
            let number = split_number(text).0;
            return format!(
                "\"{text}\": of the wire gauges only the standard one is known, as \"{number} swg\"; else give the wall in mm or in"
            );
        }
        if GAUGES.contains(&lower.as_str()) {
            return format!("\"{text}\": wire gauges are for \"wall\" only; {what} is in {known}");
        }
        if let Some(other) = ALL.iter().find(|kind| kind.units.iter().any(|(name, _)| *name == plain)) {
            return format!("\"{text}\": {unit} is a unit of {}; {what} is in {known}", other.name);
        }
        match self.meant(plain) {
            Some(name) => format!("\"{text}\": a unit is written in its exact letters, here \"{name}\""),
            None => format!("\"{text}\": \"{unit}\" is not a known unit; {what} is in {known}"),
        }
    }

    /// The unit that somebody means who writes it in capitals, in full, in the plural or the other way
    /// round.
    fn meant(&self, plain: &str) -> Option<&'static str> {
        let word = plain.trim().to_lowercase().replace('^', "").replace('-', " ");
        let of_words = |words: &str| {
            let spellings = spellings(words);
            self.units.iter().map(|(name, _)| *name).find(|name| spellings.contains(&name.to_lowercase()))
        };
        let turned = || {
            let (product, per) = word.split_once('/').map_or((word.as_str(), None), |(of, per)| (of, Some(per)));
            let (one, other) = product.split_once(' ')?;
            of_words(&per.map_or_else(|| format!("{other} {one}"), |per| format!("{other} {one}/{per}")))
        };
        of_words(&word).or_else(turned)
    }

    /// Its name with the article before it: `a length`, `an angle`.
    pub fn with_article(&self) -> String {
        let article = if self.name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
        format!("{article} {}", self.name)
    }

    /// The units, for a message: `mm, cm, m, in`.
    pub fn unit_list(&self) -> String {
        let mut names: Vec<&str> = self.units.iter().map(|(name, _)| *name).collect();
        if self.gauges {
            names.push("swg");
        }
        names.join(", ")
    }
}

/// What people call wire gauges, in small letters; there are several tables of them.
const GAUGES: [&str; 7] = ["swg", "s.w.g.", "awg", "bwg", "ga", "gauge", "gage"];

/// Other ways to write a unit, in small letters, and which one may be meant.
const ALSO: [(&str, &[&str]); 36] = [
    ("inch", &["in"]),
    ("inches", &["in"]),
    ("\"", &["in"]),
    ("''", &["in"]),
    ("″", &["in"]),
    ("foot", &["ft"]),
    ("feet", &["ft"]),
    ("millimetre", &["mm"]),
    ("millimetres", &["mm"]),
    ("millimeter", &["mm"]),
    ("millimeters", &["mm"]),
    ("metre", &["m"]),
    ("metres", &["m"]),
    ("meter", &["m"]),
    ("meters", &["m"]),
    ("lb", &["lb", "lbf"]),
    ("lbs", &["lb", "lbf"]),
    ("lbm", &["lb"]),
    ("pound", &["lb", "lbf"]),
    ("pounds", &["lb", "lbf"]),
    ("kgs", &["kg"]),
    ("kilogram", &["kg"]),
    ("kilograms", &["kg"]),
    ("tonne", &["t"]),
    ("tonnes", &["t"]),
    ("newton", &["n"]),
    ("newtons", &["n"]),
    ("kilonewton", &["kn"]),
    ("degree", &["deg"]),
    ("degrees", &["deg"]),
    ("°", &["deg"]),
    ("radian", &["rad"]),
    ("radians", &["rad"]),
    ("lbft", &["lbf ft"]),
    ("ftlb", &["lbf ft"]),
    ("ftlbs", &["lbf ft"]),
];

/// Every spelling, in small letters, that a unit may be meant to have.
fn spellings(words: &str) -> Vec<String> {
    let mut all = vec![String::new()];
    for word in words.split_inclusive([' ', '/']) {
        let (word, joint) = match word.strip_suffix([' ', '/']) {
            Some(bare) => (bare, &word[bare.len()..]),
            None => (word, ""),
        };
        let as_it_is = [word];
        let meant = ALSO.iter().find(|(other, _)| *other == word).map_or(as_it_is.as_slice(), |(_, meant)| *meant);
        all = all.iter().flat_map(|before| meant.iter().map(move |meant| format!("{before}{meant}{joint}"))).collect();
        all.truncate(16);
    }
    all
}

/// The leading JSON number of a text (empty where there is none), and what follows it.
fn split_number(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digits_from = |mut at: usize| {
        while at < bytes.len() && bytes[at].is_ascii_digit() {
            at += 1;
        }
        at
    };
    let start = usize::from(bytes.first() == Some(&b'-'));
    let mut end = match bytes.get(start) {
        Some(b'0') => start + 1,
        Some(b'1'..=b'9') => digits_from(start),
        _ => return ("", text),
    };
    if bytes.get(end) == Some(&b'.') {
        let fraction = digits_from(end + 1);
        if fraction > end + 1 {
            end = fraction;
        }
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let sign = usize::from(matches!(bytes.get(end + 1), Some(b'+' | b'-')));
        let exponent = digits_from(end + 1 + sign);
        if exponent > end + 1 + sign {
            end = exponent;
        }
    }
    text.split_at(end)
}

/// A text with a fraction, such as `6 5/8 in` or `5/8 in`, with a decimal number for it: `6.625 in`.
///
/// ```
/// use crossbrace::units::without_fraction;
/// assert_eq!(without_fraction("6 5/8 in").as_deref(), Some("6.625 in"));
/// assert_eq!(without_fraction("-1-1/2").as_deref(), Some("-1.5"));
/// assert_eq!(without_fraction("6.5 in"), None);
/// ```
pub fn without_fraction(text: &str) -> Option<String> {
    let is_figure = |letter: char| letter.is_ascii_digit() || " -/".contains(letter);
    let (figure, unit) = text.split_at(text.find(|letter| !is_figure(letter)).unwrap_or(text.len()));
    let (sign, figure) = figure.trim().strip_prefix('-').map_or(("", figure.trim()), |rest| ("-", rest.trim()));
    let (before, below) = figure.split_once('/')?;
    let (whole, above) = match before.trim().rsplit_once([' ', '-']) {
        Some((whole, above)) => (whole.trim().parse::<u32>().ok()?, above),
        None => (0, before),
    };
    let (above, below) = (above.trim().parse::<u32>().ok()?, below.trim().parse::<u32>().ok()?);
    if below == 0 {
        return None;
    }
    const CLOSE: f64 = 1e-9;
    let number = shortest(f64::from(whole) + f64::from(above) / f64::from(below), CLOSE);
    Some(format!("{sign}{number} {unit}").trim().to_owned())
}

/// A unit in the spelling of the tables: blanks between units, plain digits, `N m` for `Nm`.
fn plain_unit(unit: &str) -> String {
    let mut plain: String = unit
        .chars()
        .map(|letter| match letter {
            '·' | '*' => ' ',
            '²' => '2',
            '³' => '3',
            '⁴' => '4',
            other => other,
        })
        .collect();
    if let Some(at) = plain.find("Nm") {
        plain.insert(at + 1, ' ');
    }
    plain
}

/// Thickness of a whole imperial standard wire gauge, mm; `None` outside 1 to 50.
///
/// The legal table in inches (1884) times 25.4 exactly. Gauges 10 to 24 agree with the page named
/// at their test in `tests/reference/checks/sections.json`; the others are from memory.
pub fn gauge_mm(gauge: f64) -> Option<f64> {
    /// Tenths of a thousandth of an inch, gauge 1 first.
    const TABLE: [u16; 50] = [
        3000, 2760, 2520, 2320, 2120, 1920, 1760, 1600, 1440, 1280, 1160, 1040, 920, 800, 720, 640, 560, 480, 400, 360,
        320, 280, 240, 220, 200, 180, 164, 148, 136, 124, 116, 108, 100, 92, 84, 76, 68, 60, 52, 48, 44, 40, 36, 32,
        28, 24, 20, 16, 12, 10,
    ];
    if gauge.fract() != 0.0 || !(1.0..=50.0).contains(&gauge) {
        return None;
    }
    TABLE.get(gauge as usize - 1).map(|&tenths| f64::from(tenths) * IN / 10_000.0)
}

/// Declares one newtype a quantity: it holds the value in the default unit of the model file.
macro_rules! quantities {
    ($( $(#[$doc:meta])* $name:ident = $title:literal $(largest $largest:literal)? $(gauges $gauges:literal)? { $($unit:literal: $size:expr),+ $(,)? } )+) => {
        $(
            $(#[$doc])*
            #[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
            pub struct $name(pub f64);

            impl Quantity for $name {
                const KIND: &'static Kind = &Kind {
                    name: $title,
                    units: &[$(($unit, $size)),+],
                    gauges: false $(|| $gauges)?,
                    largest: f64::MAX $(.min($largest))?,
                };
                fn from_default_unit(value: f64) -> Self {
                    Self(value)
                }
                fn in_default_unit(self) -> f64 {
                    self.0
                }
            }
        )+

        /// Every kind of quantity, in the order of `models/FORMAT.md`.
        pub const ALL: &[&Kind] = &[$(<$name as Quantity>::KIND),+];
    };
}

/// A number with a unit, as the model file gives it.
pub trait Quantity: Copy {
    /// Name and units.
    const KIND: &'static Kind;
    /// From a bare number.
    fn from_default_unit(value: f64) -> Self;
    /// As a bare number.
    fn in_default_unit(self) -> f64;
}

quantities! {
    /// A length, mm.
    Length = "length" largest 1e9 { "mm": 1.0, "cm": 10.0, "m": 1000.0, "in": IN, "ft": FT, "thou": IN / 1000.0 }
    /// A wall thickness, mm: a length that may also be a wire gauge.
    Wall = "wall thickness" largest 1e9 gauges true { "mm": 1.0, "cm": 10.0, "m": 1000.0, "in": IN, "ft": FT, "thou": IN / 1000.0 }
    /// A force, N.
    Force = "force" { "N": 1.0, "kN": 1000.0, "lbf": LBF, "kgf": GRAVITY_M_S2 }
    /// A moment, N·m.
    Moment = "moment" { "N m": 1.0, "N mm": 0.001, "kN m": 1000.0, "lbf ft": LBF * FT / 1000.0, "lbf in": LBF * IN / 1000.0 }
    /// A rate (force per movement), N/mm.
    Rate = "rate" { "N/mm": 1.0, "N/m": 0.001, "kN/m": 1.0, "kN/mm": 1000.0, "lbf/in": LBF / IN, "lbf/ft": LBF / FT }
    /// A load per length of tube, N/mm.
    LineLoad = "line load" { "N/mm": 1.0, "N/m": 0.001, "kN/m": 1.0, "kN/mm": 1000.0, "lbf/in": LBF / IN, "lbf/ft": LBF / FT }
    /// A turning rate, N·m/rad.
    TurningRate = "turning rate" {
        "N m/rad": 1.0, "N m/deg": 180.0 / PI,
        "lbf ft/rad": LBF * FT / 1000.0, "lbf ft/deg": LBF * FT / 1000.0 * 180.0 / PI,
    }
    /// An acceleration, g.
    Acceleration = "acceleration" { "g": 1.0, "m/s2": 1.0 / GRAVITY_M_S2 }
    /// A frequency, Hz.
    Frequency = "frequency" { "Hz": 1.0 }
    /// A mass, kg.
    Mass = "mass" { "kg": 1.0, "g": 0.001, "t": 1000.0, "lb": LB }
    /// A mass moment of inertia, kg·m².
    Inertia = "inertia" { "kg m2": 1.0, "lb ft2": LB * FT * FT / 1e6 }
    /// A density, kg/m³.
    Density = "density" { "kg/m3": 1.0, "g/cm3": 1000.0, "lb/in3": LB / (IN * IN * IN) * 1e9 }
    /// A stress, MPa.
    Stress = "stress" { "MPa": 1.0, "N/mm2": 1.0, "GPa": 1000.0, "kPa": 0.001, "Pa": 1e-6, "psi": PSI, "ksi": PSI * 1000.0 }
    /// An angle, degrees.
    Angle = "angle" { "deg": 1.0, "rad": 180.0 / PI }
    /// An area, mm².
    Area = "area" { "mm2": 1.0, "cm2": 100.0, "m2": 1e6, "in2": IN * IN }
    /// A section modulus, mm³.
    Modulus = "section modulus" { "mm3": 1.0, "cm3": 1000.0, "m3": 1e9, "in3": IN * IN * IN }
    /// A second moment of area, mm⁴.
    SecondMoment = "second moment of area" { "mm4": 1.0, "cm4": 1e4, "m4": 1e12, "in4": IN * IN * IN * IN }
    /// A twist stiffness, N·m/deg.
    TwistStiffness = "twist stiffness" { "N m/deg": 1.0, "lbf ft/deg": LBF * FT / 1000.0 }
}

impl Moment {
    /// The moment in N·mm.
    pub fn nmm(self) -> f64 {
        self.0 * 1000.0
    }
}

impl TurningRate {
    /// The rate in N·mm/rad.
    pub fn nmm_per_rad(self) -> f64 {
        self.0 * 1000.0
    }
}

impl Angle {
    /// The angle in radians.
    pub fn rad(self) -> f64 {
        self.0.to_radians()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn length(text: &str) -> Result<f64, String> {
        Length::KIND.parse(text)
    }

    #[test]
    fn an_inch_is_25_4_mm_and_a_gauge_is_its_legal_inch_value() {
        assert_eq!(length("1.5 in"), Ok(1.5 * 25.4));
        assert_eq!(length("2in"), Ok(50.8));
        assert_eq!(Wall::KIND.parse("16 swg"), Ok(0.064 * 25.4));
        assert_eq!(Wall::KIND.parse("50 swg"), Ok(0.001 * 25.4));
        assert!(Wall::KIND.parse("16.5 swg").is_err());
        assert!(length("16 swg").unwrap_err().contains("\"wall\" only"));
    }

    #[test]
    fn a_blank_a_dot_and_a_star_between_units_are_the_same() {
        for text in ["3 N m", "3 N·m", "3 N*m", "3 Nm", "3Nm", "3000 Nmm", "0.003 kNm", "0.3e1 Nm"] {
            assert!((Moment::KIND.parse(text).unwrap() - 3.0).abs() < 1e-15, "{text}");
        }
        assert_eq!(TurningRate::KIND.parse("2 Nm/deg"), Ok(2.0 * (180.0 / PI)));
        assert_eq!(Inertia::KIND.parse("2 kg·m²"), Ok(2.0));
    }

    #[test]
    fn what_is_not_a_number_and_a_unit_is_refused_with_its_text() {
        for text in [
            "", "in", "1/2 in", "1,5 in", "1.5", "1.5  in", " 1.5 in", "1.5 IN", "1.5 in ", "+1 in", ".5 in",
            "1e999 in", "01 in", "NaN mm", "1. in",
        ] {
            let message = length(text).unwrap_err();
            assert!(message.contains(text), "{text}: {message}");
        }
        assert!(length("3 kg").unwrap_err().contains("kg is a unit of mass"));
        assert!(length("1e308 m").unwrap_err().contains("out of range"));
        assert!(length("1e7 m").unwrap_err().contains("at most 1e9 mm"));
        assert!(Force::KIND.parse("1e300 kN").is_ok());
    }

    #[test]
    fn a_fraction_and_a_decimal_comma_are_told_as_a_decimal_number() {
        for (text, decimal) in [("1/2 in", "0.5 in"), ("6 5/8 in", "6.625 in"), ("2,35 m", "2.35 m")] {
            let message = length(text).unwrap_err();
            assert!(message.ends_with(&format!("write a decimal number with a point: \"{decimal}\"")), "{message}");
        }
        assert!(length("1,234,5 m").unwrap_err().contains("is not a number and a unit"));
        assert_eq!(without_fraction("1/0 in"), None);
    }

    #[test]
    fn every_default_unit_has_size_one_and_every_unit_reads_itself_back() {
        for kind in ALL {
            assert_eq!(kind.units[0].1, 1.0, "{}", kind.name);
            for (unit, size) in kind.units {
                assert_eq!(kind.parse(&format!("1 {unit}")), Ok(*size), "{unit}");
            }
        }
    }
}
