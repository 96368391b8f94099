//! `crossbrace tubes`, `materials` and `schema`: what is built in.

use super::output::{Output, width};
use super::{Ending, Trouble};
use crate::beam::mass::tube_mass_kg;
use crate::report::table::{Cell, Table};
use crate::report::text;
use crate::report::words::section_name;
use crate::section::{BUILT_IN, STOCK};

/// Steel, for the mass of a size, kg/m³.
const STEEL_KG_M3: f64 = 7850.0;
/// Poisson's ratio of steel, for the shear factor.
const STEEL_POISSON: f64 = 0.3;

/// Lists the tube sizes.
pub(crate) fn tubes(output: &mut Output) -> Result<Ending, Trouble> {
    let columns =
        [("size", "mm"), ("mass", "kg/m"), ("A", "mm²"), ("I", "cm⁴"), ("W", "cm³"), ("It", "cm⁴"), ("series", "")];
    let mut table = Table::new("stock", "Tube sizes that are commonly on the rack (mass of steel)", &columns);
    for size in STOCK {
        let p = size.section.properties(STEEL_POISSON);
        table.row(vec![
            Cell::text(section_name(&size.section)),
            Cell::Number(tube_mass_kg(p.area_mm2, 1000.0, STEEL_KG_M3), 3),
            Cell::Number(p.area_mm2, 0),
            Cell::Number(p.iy_mm4 / 1e4, 3),
            Cell::Number(p.iy_mm4 / p.cz_mm / 1e3, 3),
            Cell::Number(p.j_mm4 / 1e4, 3),
            Cell::text(size.series),
        ]);
    }
    output.print(&text::table(&table, width()));
    say(
        output,
        "A model names its own sizes under \"tubes\"; these are there to choose from. Figures: exact annulus; boxes by \
         EN 10219-2 Annex B with its corner radii. Ask your stockist what is on the rack.",
    );
    Ok(Ending::Good)
}

/// Lists the built-in materials.
pub(crate) fn materials(output: &mut Output) -> Result<Ending, Trouble> {
    let columns =
        [("material", ""), ("E", "GPa"), ("yield", "MPa"), ("at weld", "MPa"), ("ultimate", "MPa"), ("kg/m³", "")];
    let mut table = Table::new("materials", "Built-in materials", &columns);
    for entry in BUILT_IN {
        let material = &entry.material;
        table.row(vec![
            Cell::text(entry.name),
            Cell::Number(material.youngs_modulus_mpa / 1000.0, 0),
            Cell::Number(material.yield_mpa, 0),
            Cell::Number(material.yield_at_weld_mpa, 0),
            Cell::Number(material.ultimate_mpa, 0),
            Cell::Number(material.density_kg_m3, 0),
        ]);
    }
    output.print(&text::table(&table, width()));
    output.print("\nSources and notes\n");
    for alike in BUILT_IN.chunk_by(|one, next| (one.source, one.note) == (next.source, next.note)) {
        let names: Vec<&str> = alike.iter().map(|entry| entry.name).collect();
        let told = format!("{}: {}; {}.", names.join(", "), alike[0].source, alike[0].note);
        output.print(&format!("  {}\n", text::wrapped(&told, width().saturating_sub(2), "    ")));
    }
    say(
        output,
        "Minimum values of the standards. A certificate of the tube in your rack is better: give it as a material of \
         its own.",
    );
    Ok(Ending::Good)
}

/// Adds sentences below a table.
fn say(output: &mut Output, sentences: &str) {
    output.print(&format!("\n{}\n", text::wrapped(sentences, width(), "")));
}

/// Prints the JSON Schema of the model file.
pub(crate) fn schema(output: &mut Output) -> Result<Ending, Trouble> {
    output.print(&schema_text());
    Ok(Ending::Good)
}

/// The JSON Schema of the model file as text.
pub(crate) fn schema_text() -> String {
    format!("{:#}\n", crate::model::json_schema())
}
