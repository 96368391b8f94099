//! Metric threads and the property classes of bolts.
//!
//! Source: pitches ISO 262, stress area ISO 898-1 (π/4 (d − 0.9382 P)²), both from memory and checked
//! against the areas that every bolt table prints; classes EN 1993-1-8 Tables 3.1 and 3.4.

use std::f64::consts::PI;

/// A metric screw thread.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Thread {
    /// Nominal diameter, mm.
    pub diameter_mm: f64,
    /// Pitch, mm.
    pub pitch_mm: f64,
}

/// Diameters and coarse pitches of ISO 262, mm.
const COARSE: &[(f64, f64)] = &[
    (3.0, 0.5),
    (4.0, 0.7),
    (5.0, 0.8),
    (6.0, 1.0),
    (8.0, 1.25),
    (10.0, 1.5),
    (12.0, 1.75),
    (14.0, 2.0),
    (16.0, 2.0),
    (18.0, 2.5),
    (20.0, 2.5),
    (22.0, 2.5),
    (24.0, 3.0),
    (27.0, 3.0),
    (30.0, 3.5),
];

/// The finest pitch that is taken, mm.
const FINEST_MM: f64 = 0.35;

impl Thread {
    /// From its designation: `M12` with the coarse pitch, `M12x1.25` with its own.
    ///
    /// # Errors
    /// What is wrong with it, with the sizes that are known.
    pub fn named(text: &str) -> Result<Thread, String> {
        let known = || {
            let sizes: Vec<String> = COARSE.iter().map(|(diameter, _)| format!("M{diameter}")).collect();
            format!(
                "write M and the diameter in mm, and the pitch of a fine thread: \"M12\", \"M12x1.25\"; known are {}",
                sizes.join(", ")
            )
        };
        let (size, pitch) = match text.split_once(['x', '×']) {
            Some((size, pitch)) => (size, Some(pitch)),
            None => (text, None),
        };
        let number = |text: &str| text.parse::<f64>().ok().filter(|_| text.starts_with(|c: char| c.is_ascii_digit()));
        let diameter = size.strip_prefix('M').and_then(number);
        let Some(&(diameter_mm, coarse)) = COARSE.iter().find(|(known, _)| Some(*known) == diameter) else {
            return Err(format!("\"{text}\" is no thread that is known; {}", known()));
        };
        match pitch.map(number) {
            None => Ok(Thread { diameter_mm, pitch_mm: coarse }),
            Some(Some(pitch_mm)) if (FINEST_MM..=coarse).contains(&pitch_mm) => Ok(Thread { diameter_mm, pitch_mm }),
            Some(_) => Err(format!("\"{text}\": the pitch of M{diameter_mm} is from {FINEST_MM} to {coarse} mm")),
        }
    }

    /// The designation.
    pub fn name(&self) -> String {
        let coarse = COARSE.contains(&(self.diameter_mm, self.pitch_mm));
        if coarse { format!("M{}", self.diameter_mm) } else { format!("M{}x{}", self.diameter_mm, self.pitch_mm) }
    }

    /// Stress area, mm²: of the circle midway between pitch and minor diameter.
    pub fn stress_area_mm2(&self) -> f64 {
        PI / 4.0 * (self.diameter_mm - 0.9382 * self.pitch_mm).powi(2)
    }

    /// Section modulus of the circle of that area, mm³: π d³/32.
    pub fn modulus_mm3(&self) -> f64 {
        PI / 32.0 * (self.diameter_mm - 0.9382 * self.pitch_mm).powi(3)
    }
}

/// A property class of bolts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BoltClass {
    /// Its name: `8.8`.
    pub name: &'static str,
    /// Tensile strength fub, MPa.
    pub ultimate_mpa: f64,
    /// Factor αv of shear through the thread.
    pub shear_factor: f64,
}

/// The classes of EN 1993-1-8 Table 3.1, with αv of Table 3.4.
pub const BOLT_CLASSES: &[BoltClass] = &[
    BoltClass { name: "4.6", ultimate_mpa: 400.0, shear_factor: 0.6 },
    BoltClass { name: "4.8", ultimate_mpa: 400.0, shear_factor: 0.5 },
    BoltClass { name: "5.6", ultimate_mpa: 500.0, shear_factor: 0.6 },
    BoltClass { name: "5.8", ultimate_mpa: 500.0, shear_factor: 0.5 },
    BoltClass { name: "6.8", ultimate_mpa: 600.0, shear_factor: 0.5 },
    BoltClass { name: "8.8", ultimate_mpa: 800.0, shear_factor: 0.6 },
    BoltClass { name: "10.9", ultimate_mpa: 1000.0, shear_factor: 0.5 },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn stress_areas_are_those_that_bolt_tables_print() {
        // ISO 898-1, nominal stress areas, three figures (from memory).
        let printed = [
            ("M6", 20.1),
            ("M8", 36.6),
            ("M10", 58.0),
            ("M12", 84.3),
            ("M16", 157.0),
            ("M20", 245.0),
            ("M24", 353.0),
            ("M8x1", 39.2),
            ("M10x1.25", 61.2),
            ("M12x1.25", 92.1),
            ("M12x1.5", 88.1),
            ("M16x1.5", 167.0),
        ];
        for (name, area) in printed {
            let found = Thread::named(name).unwrap().stress_area_mm2();
            let digit = if area < 100.0 { 0.05 } else { 0.5 };
            assert!((found - area).abs() <= digit, "{name}: {found} instead of {area}");
        }
    }

    #[test]
    fn a_thread_is_named_as_it_was_written() {
        for name in ["M12", "M12x1.25", "M3", "M30x2"] {
            assert_eq!(Thread::named(name).unwrap().name(), name);
        }
        assert_eq!(Thread::named("M10×1.5").unwrap().name(), "M10");
        for wrong in ["12", "M11", "m12", "M12x", "M12x2", "M12x-1", "M12xNaN", "Minf", "M 12", "1/2-20"] {
            assert!(Thread::named(wrong).is_err(), "{wrong}");
        }
    }
}
