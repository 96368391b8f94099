//! Materials: stiffness, strength, density, and what is left of the strength beside a weld.

/// The least Young's modulus of structural steel, MPa: 210 000, and figures as they are rounded.
pub const STRUCTURAL_STEEL_MPA: f64 = 205_000.0;

/// How a tube is made: it sets corner radii and the column curve.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Finish {
    /// Hot finished.
    Hot,
    /// Cold formed or cold drawn.
    Cold,
}

impl Finish {
    /// The word of the model file.
    pub fn word(self) -> &'static str {
        match self {
            Finish::Hot => "hot",
            Finish::Cold => "cold",
        }
    }
}

/// A material, its figures as the model file gives them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Material {
    /// Young's modulus, MPa.
    pub youngs_modulus_mpa: f64,
    /// Shear modulus, MPa.
    pub shear_modulus_mpa: f64,
    /// Density, kg/m³.
    pub density_kg_m3: f64,
    /// Yield strength (0.2 % proof strength), MPa.
    pub yield_mpa: f64,
    /// Tensile strength, MPa.
    pub ultimate_mpa: f64,
    /// Yield strength beside a weld, MPa.
    pub yield_at_weld_mpa: f64,
    /// Hot finished or cold formed.
    pub finish: Finish,
}

impl Material {
    /// Poisson's ratio of an isotropic material: E/2G − 1.
    pub fn poisson(&self) -> f64 {
        self.youngs_modulus_mpa / (2.0 * self.shear_modulus_mpa) - 1.0
    }
}

/// What a material is made of, as far as a rule of design depends on it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Metal {
    /// Structural, alloyed or stainless steel.
    Steel,
    /// Aluminium and its alloys.
    Aluminium,
    /// Anything else.
    Other,
}

impl Material {
    /// The metal, by Young's modulus alone: that of steels lies between 190 and 215 GPa, that of
    /// aluminium alloys between 68 and 75, and no other metal that tubes are made of comes between
    /// (titanium 105 to 120, magnesium 45). Bounds from memory, with room for rounded figures.
    pub fn metal(&self) -> Metal {
        match self.youngs_modulus_mpa {
            60_000.0..=80_000.0 => Metal::Aluminium,
            180_000.0..=225_000.0 => Metal::Steel,
            _ => Metal::Other,
        }
    }
}

/// A material that needs no entry in the model file.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct BuiltIn {
    /// Standard designation.
    pub name: &'static str,
    /// The figures.
    pub material: Material,
    /// Where the strengths come from.
    pub source: &'static str,
    /// What to know before use.
    pub note: &'static str,
}

/// A built-in material by its standard designation.
pub fn built_in(name: &str) -> Option<&'static BuiltIn> {
    BUILT_IN.iter().find(|entry| entry.name == name)
}

/// Structural steel: E by EN 1993-1-1 3.2.6, G = E/2.6, density 7850 kg/m³ (SCI Blue Book, note 2.1).
const fn steel(yield_mpa: f64, ultimate_mpa: f64, yield_at_weld_mpa: f64, finish: Finish) -> Material {
    Material {
        youngs_modulus_mpa: 210_000.0,
        shear_modulus_mpa: 210_000.0 / 2.6,
        density_kg_m3: 7850.0,
        yield_mpa,
        ultimate_mpa,
        yield_at_weld_mpa,
        finish,
    }
}

/// Wrought aluminium: E and G by EN 1999-1-1 3.2.5, density 2700 kg/m³ (from memory).
const fn aluminium(proof_mpa: f64, ultimate_mpa: f64, proof_at_weld_mpa: f64) -> Material {
    Material {
        youngs_modulus_mpa: 70_000.0,
        shear_modulus_mpa: 27_000.0,
        density_kg_m3: 2700.0,
        yield_mpa: proof_mpa,
        ultimate_mpa,
        yield_at_weld_mpa: proof_at_weld_mpa,
        finish: Finish::Cold,
    }
}

const PRECISION_TUBE: &str = "EN 10305-1, mechanical properties (table of a tube stockist)";
const HOLLOW: &str = "EN 10210-1 and EN 10219-1, walls 3 to 16 mm (maker's table of EN 10210-1)";
const EITHER_FINISH: &str = "taken as cold formed, the safer of its two standards; for hot finished tube give your own entry with finish \"hot\"";
const ALUMINIUM: &str = "EN 1999-1-1:2007 Table 3.2b";
const NORMALISED: &str = "as delivered: welding leaves it";
const COLD_DRAWN: &str = "the standard gives no yield as drawn: 0.8 of its tensile strength (common practice, no source); beside a weld the +N value";

/// The built-in materials.
pub const BUILT_IN: &[BuiltIn] = &[
    BuiltIn {
        name: "E215+N",
        material: steel(215.0, 290.0, 215.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: NORMALISED,
    },
    BuiltIn {
        name: "E235+N",
        material: steel(235.0, 340.0, 235.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: NORMALISED,
    },
    BuiltIn {
        name: "E235+C",
        material: steel(384.0, 480.0, 235.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: COLD_DRAWN,
    },
    BuiltIn {
        name: "E255+SR",
        material: steel(375.0, 520.0, 255.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: "stress relieved; beside a weld the normalised level in its name",
    },
    BuiltIn {
        name: "E355+N",
        material: steel(355.0, 490.0, 355.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: NORMALISED,
    },
    BuiltIn {
        name: "E355+C",
        material: steel(512.0, 640.0, 355.0, Finish::Cold),
        source: PRECISION_TUBE,
        note: COLD_DRAWN,
    },
    BuiltIn {
        name: "S235JRH",
        material: steel(235.0, 360.0, 235.0, Finish::Cold),
        source: HOLLOW,
        note: EITHER_FINISH,
    },
    BuiltIn {
        name: "S275J0H",
        material: steel(275.0, 410.0, 275.0, Finish::Cold),
        source: HOLLOW,
        note: EITHER_FINISH,
    },
    BuiltIn {
        name: "S275J2H",
        material: steel(275.0, 410.0, 275.0, Finish::Cold),
        source: HOLLOW,
        note: EITHER_FINISH,
    },
    BuiltIn {
        name: "S355J0H",
        material: steel(355.0, 470.0, 355.0, Finish::Cold),
        source: HOLLOW,
        note: EITHER_FINISH,
    },
    BuiltIn {
        name: "S355J2H",
        material: steel(355.0, 470.0, 355.0, Finish::Cold),
        source: HOLLOW,
        note: EITHER_FINISH,
    },
    BuiltIn {
        name: "25CrMo4+N",
        material: steel(460.0, 620.0, 460.0, Finish::Cold),
        source: "EN 10297-1, normalised tube, walls to 8 mm (from memory, not confirmed)",
        note: "air-hardens beside a weld: strength stays, toughness does not; weld by a qualified procedure",
    },
    BuiltIn {
        name: "EN AW-6060-T6",
        material: aluminium(140.0, 170.0, 60.0),
        source: ALUMINIUM,
        note: "extruded and drawn, to 15 mm",
    },
    BuiltIn {
        name: "EN AW-6060-T66",
        material: aluminium(160.0, 215.0, 65.0),
        source: ALUMINIUM,
        note: "extruded, to 3 mm",
    },
    BuiltIn { name: "EN AW-6061-T6", material: aluminium(240.0, 260.0, 115.0), source: ALUMINIUM, note: "to 20 mm" },
    BuiltIn {
        name: "EN AW-6063-T6",
        material: aluminium(190.0, 220.0, 65.0),
        source: ALUMINIUM,
        note: "drawn tube, to 20 mm",
    },
    BuiltIn {
        name: "EN AW-6005A-T6",
        material: aluminium(215.0, 255.0, 115.0),
        source: ALUMINIUM,
        note: "hollow profile, to 5 mm",
    },
    BuiltIn {
        name: "EN AW-6082-T6",
        material: aluminium(250.0, 290.0, 125.0),
        source: "EN 1999-1-1:2007 Table 3.2b (from memory, not confirmed)",
        note: "extruded, to 5 mm",
    },
    BuiltIn {
        name: "1.4301",
        material: Material {
            youngs_modulus_mpa: 200_000.0,
            shear_modulus_mpa: 200_000.0 / 2.6,
            density_kg_m3: 7900.0,
            yield_mpa: 210.0,
            ultimate_mpa: 520.0,
            yield_at_weld_mpa: 210.0,
            finish: Finish::Cold,
        },
        source: "EN 10088-2, solution annealed, the lower of strip and sheet; EN 1993-1-4 (from memory, not confirmed)",
        note: "austenitic: welding leaves the annealed strength",
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn poissons_ratio_of_steel_is_three_tenths_and_of_aluminium_a_little_less() {
        let poisson = |name: &str| built_in(name).unwrap().material.poisson();
        assert!((poisson("S355J2H") - 0.3).abs() < 1e-12);
        assert!((poisson("1.4301") - 0.3).abs() < 1e-12); // EN 1993-1-4 2.1.3, from memory
        // EN 1999-1-1 3.2.5 gives 0.3 beside E and G, whose figures are rounded.
        assert!((poisson("EN AW-6082-T6") - 0.3).abs() < 0.005);
    }

    #[test]
    fn a_finish_has_the_word_of_the_model_file() {
        assert_eq!([Finish::Hot, Finish::Cold].map(Finish::word), ["hot", "cold"]);
    }
}
