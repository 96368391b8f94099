//! Materials and tubes as the file gives them.

use schemars::{Schema, SchemaGenerator, json_schema};

use crate::record;
use crate::section::Finish;
use crate::source::{Node, Read, Reader, Value, choice, read_word};
use crate::units::{Area, Density, Length, Modulus, Quantity, SecondMoment, Stress, Wall};

record! {
    /// A material.
    Material {
        /// Young's modulus.
        youngs_modulus: Stress,
        /// Shear modulus; left out: Young's modulus / 2.6.
        shear_modulus: Option<Stress> = None,
        /// Density.
        density: Density,
        /// Yield strength, or 0.2 % proof strength.
        yield_strength as "yield": Stress,
        /// Tensile strength.
        ultimate: Stress,
        /// Strength left beside a weld; `"same"` for normalised and hot finished tube.
        yield_at_weld: YieldAtWeld,
        /// `"hot"` or `"cold"` (the default): sets corner radii and the column curve.
        finish: Finish = Finish::Cold,
    }

    /// A round tube.
    Round {
        /// Outside diameter.
        od: Length,
        /// Thickness of the wall, as 2 or `"16 swg"`.
        wall: Wall,
    }

    /// A square tube.
    Square {
        /// Outside dimension.
        side: Length,
        /// Thickness of the wall, as 2 or `"16 swg"`.
        wall: Wall,
        /// Outer corner radius; left out: as the standard has it.
        outer_radius: Option<Length> = None,
    }

    /// A rectangular tube.
    Rect {
        /// Outside dimension along the member's local y.
        width: Length,
        /// Outside dimension along the member's local z.
        depth: Length,
        /// Thickness of the wall, as 2 or `"16 swg"`.
        wall: Wall,
        /// Outer corner radius; left out: as the standard has it.
        outer_radius: Option<Length> = None,
    }

    /// A solid round bar.
    BarShape {
        /// Diameter.
        od: Length,
    }

    /// A flat bar.
    FlatShape {
        /// Dimension along the member's local y.
        width: Length,
        /// Dimension along the member's local z.
        thickness: Length,
    }

    /// Any other section, by its figures.
    GivenShape {
        /// Area.
        a: Area,
        /// Second moment for bending in the local x–z plane.
        iy: SecondMoment,
        /// Second moment for bending in the local x–y plane.
        iz: SecondMoment,
        /// Torsion constant.
        j: SecondMoment,
        /// Shear area along y; left out: no shear flexibility.
        ay: Option<Area> = None,
        /// Shear area along z; left out: no shear flexibility.
        az: Option<Area> = None,
        /// Largest distance of a fibre along y.
        cy: Length,
        /// Largest distance of a fibre along z.
        cz: Length,
        /// Torsion modulus; left out: torsion stress is not judged.
        ct: Option<Modulus> = None,
    }

    /// A tube size: one section and its material.
    TubeKeys {
        /// Round tube.
        round: Option<Round> = None,
        /// Square tube.
        square: Option<Square> = None,
        /// Rectangular tube.
        rect: Option<Rect> = None,
        /// Solid round bar.
        bar: Option<BarShape> = None,
        /// Flat bar.
        flat: Option<FlatShape> = None,
        /// Any other section, by its figures.
        given: Option<GivenShape> = None,
        /// Name of a material.
        material: String,
    }
}

/// The one section of a tube size.
#[derive(Debug, Clone, PartialEq)]
pub enum Shape {
    /// Round tube.
    Round(Round),
    /// Square tube.
    Square(Square),
    /// Rectangular tube.
    Rect(Rect),
    /// Solid round bar.
    Bar(BarShape),
    /// Flat bar.
    Flat(FlatShape),
    /// By its figures.
    Given(GivenShape),
}

/// A tube size.
#[derive(Debug, Clone, PartialEq)]
pub struct Tube {
    /// Its section.
    pub shape: Shape,
    /// Name of its material.
    pub material: String,
}

impl Read for Tube {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        const SHAPES: [&str; 6] = ["round", "square", "rect", "bar", "flat", "given"];
        let keys = TubeKeys::read(node, reader);
        let given: Vec<&str> = SHAPES.into_iter().filter(|shape| node.get(shape).is_some()).collect();
        match given.as_slice() {
            [_] => {}
            [] if matches!(node.value, Value::Object(_)) => {
                return reader.none_of(node, format!("a tube needs a section: {}", choice(SHAPES)), None);
            }
            [] => return None,
            [first, second, ..] => {
                let message = format!("a tube has one section, here are \"{first}\" and \"{second}\"");
                return reader.both(node, [first, second], &message);
            }
        }
        let keys = keys?;
        let shape = [
            keys.round.map(Shape::Round),
            keys.square.map(Shape::Square),
            keys.rect.map(Shape::Rect),
            keys.bar.map(Shape::Bar),
            keys.flat.map(Shape::Flat),
            keys.given.map(Shape::Given),
        ];
        Some(Tube { shape: shape.into_iter().flatten().next()?, material: keys.material })
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        TubeKeys::schema(generator)
    }
}

/// The strength beside a weld: a stress, or the word `same`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum YieldAtWeld {
    /// As the yield strength.
    Same,
    /// Its own figure.
    Stress(Stress),
}

impl Read for YieldAtWeld {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(word) if word == "same" => Some(Self::Same),
            Value::Text(word)
                if Stress::KIND.parse(word).is_err() && !word.starts_with(|c: char| c.is_ascii_digit()) =>
            {
                reader.refuse(node, format!("\"{word}\" is neither a stress nor the word \"same\""))
            }
            _ => Stress::read(node, reader).map(Self::Stress),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let stress = Stress::schema(generator);
        json_schema!({ "anyOf": [{ "const": "same" }, stress] })
    }
}

impl Read for Finish {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        read_word(node, reader, &[("hot", Finish::Hot), ("cold", Finish::Cold)], "")
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "enum": ["hot", "cold"] })
    }
}
