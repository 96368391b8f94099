//! Materials and tube sizes.

use super::odd::OUTSIDE_MM;
use super::{Checker, and_more, entry};
use crate::model::file::{self, File, Shape, YieldAtWeld};
use crate::model::{MaterialUse, Model, TubeSize};
use crate::section::{BUILT_IN, Bar, BoxTube, Finish, Flat, Given, Material, Properties, RoundTube, Section, built_in};
use crate::source::{Named, Path};
use crate::units::{Length, brief};

/// The materials of the file, then the built-in ones that its tubes name.
pub(super) fn materials(file: &File, checker: &mut Checker<'_>) -> Named<MaterialUse> {
    let mut materials: Named<MaterialUse> = file
        .materials
        .iter()
        .map(|(name, given)| {
            let material = material(name, given, checker);
            let replaces_built_in = built_in(name).is_some();
            (name.clone(), MaterialUse { material, source: None, replaces_built_in })
        })
        .collect();
    for tube in file.tubes.values() {
        if let Some(known) = built_in(&tube.material) {
            materials.entry(known.name.to_owned()).or_insert(MaterialUse {
                material: known.material,
                source: Some(known.source),
                replaces_built_in: false,
            });
        }
    }
    materials
}

fn material(name: &str, given: &file::Material, checker: &mut Checker<'_>) -> Material {
    let at = entry("materials", name);
    let shear_given = given.shear_modulus.is_some();
    let shear = given.shear_modulus.map_or(given.youngs_modulus.0 / 2.6, |modulus| modulus.0);
    let at_weld = match given.yield_at_weld {
        YieldAtWeld::Same => given.yield_strength,
        YieldAtWeld::Stress(stress) => stress,
    };
    let mut sound = checker.above_zero(at.then("youngs_modulus"), given.youngs_modulus);
    if let Some(modulus) = given.shear_modulus {
        sound &= checker.above_zero(at.then("shear_modulus"), modulus);
    }
    checker.not_below_zero(at.then("density"), given.density);
    checker.above_zero(at.then("yield"), given.yield_strength);
    checker.above_zero(at.then("ultimate"), given.ultimate);
    if given.yield_at_weld != YieldAtWeld::Same {
        checker.above_zero(at.then("yield_at_weld"), at_weld);
    }
    let material = Material {
        youngs_modulus_mpa: given.youngs_modulus.0,
        shear_modulus_mpa: shear,
        density_kg_m3: given.density.0,
        yield_mpa: given.yield_strength.0,
        ultimate_mpa: given.ultimate.0,
        yield_at_weld_mpa: at_weld.0,
        finish: given.finish,
    };
    let poisson = material.poisson();
    if sound && shear_given && !(0.0..=0.5).contains(&poisson) {
        checker.fault_with_hint(
            at.then("shear_modulus"),
            format!(
                "Poisson's ratio, youngs_modulus/(2 shear_modulus) − 1, comes to {}; it must be from 0 to 0.5",
                brief(poisson)
            ),
            "without \"shear_modulus\", youngs_modulus/2.6 is taken",
        );
    }
    material
}

/// The tube sizes.
pub(super) fn tubes(file: &File, model: &mut Model, checker: &mut Checker<'_>) {
    for (name, given) in &file.tubes {
        let at = entry("tubes", name);
        let material = model.materials.get_index_of(&given.material);
        if material.is_none() && !checker.is_written("materials", &given.material) {
            let own = file.materials.keys().map(String::as_str);
            let built_in = BUILT_IN.iter().map(|entry| entry.name).filter(|name| !file.materials.contains_key(*name));
            let known: Vec<&str> = own.chain(built_in).collect();
            let hint = and_more(
                &checker.near.instead(&given.material, known.into_iter()),
                "`crossbrace materials` lists the built-in ones with their strengths",
            );
            checker.not_there(at.then("material"), "material", &given.material, hint);
        }
        let finish = material.map_or(Finish::Cold, |at| model.materials[at].material.finish);
        let section = section(&given.shape, finish, &at, checker);
        if let (Some(material), Some(section)) = (material, section) {
            let poisson = model.materials[material].material.poisson();
            let properties = section.properties(poisson.clamp(0.0, 0.5));
            model.tubes.insert(name.clone(), TubeSize { section, properties, material });
        }
    }
}

fn section(shape: &Shape, finish: Finish, at: &Path, checker: &mut Checker<'_>) -> Option<Section> {
    match shape {
        Shape::Round(round) => {
            let at = at.then("round");
            let sizes = checker.above_zero(at.then("od"), round.od) & checker.above_zero(at.then("wall"), round.wall);
            let fits = sizes && wall_fits(&at, round.wall.0, ("od", round.od.0), checker);
            fits.then(|| RoundTube { od_mm: round.od.0, wall_mm: round.wall.0 }.into())
        }
        Shape::Square(square) => {
            let at = at.then("square");
            let sizes =
                checker.above_zero(at.then("side"), square.side) & checker.above_zero(at.then("wall"), square.wall);
            (sizes && wall_fits(&at, square.wall.0, ("side", square.side.0), checker)).then(|| {
                box_tube(&at, square.side.0, square.side.0, square.wall.0, square.outer_radius, finish, checker)
            })?
        }
        Shape::Rect(rect) => {
            let at = at.then("rect");
            let sizes = checker.above_zero(at.then("width"), rect.width)
                & checker.above_zero(at.then("depth"), rect.depth)
                & checker.above_zero(at.then("wall"), rect.wall);
            let (width, depth) = (rect.width.0, rect.depth.0);
            let smaller = if width <= depth { ("width", width) } else { ("depth", depth) };
            (sizes && wall_fits(&at, rect.wall.0, smaller, checker))
                .then(|| box_tube(&at, width, depth, rect.wall.0, rect.outer_radius, finish, checker))?
        }
        Shape::Bar(bar) => {
            checker.above_zero(at.then("bar").then("od"), bar.od).then(|| Bar { od_mm: bar.od.0 }.into())
        }
        Shape::Flat(flat) => {
            let at = at.then("flat");
            let sizes = checker.above_zero(at.then("width"), flat.width)
                & checker.above_zero(at.then("thickness"), flat.thickness);
            sizes.then(|| Flat { width_mm: flat.width.0, thickness_mm: flat.thickness.0 }.into())
        }
        Shape::Given(given) => given_section(given, &at.then("given"), checker),
    }
}

/// Whether a wall leaves a bore in what is so wide outside, which has this key.
fn wall_fits(at: &Path, wall_mm: f64, (key, outside_mm): (&str, f64), checker: &mut Checker<'_>) -> bool {
    let fits = 2.0 * wall_mm < outside_mm;
    if !fits && outside_mm < *OUTSIDE_MM.start() {
        let outside = brief(outside_mm);
        checker.fault_with_hint(
            at.then(key),
            format!("{key} is {outside} mm, which leaves no bore in a wall of {} mm", brief(wall_mm)),
            format!("is it in another unit? a bare number is in mm; write \"{outside} m\" or \"{outside} in\" if that is meant"),
        );
    } else if !fits {
        checker.fault_with_hint(
            at.then("wall"),
            format!("wall {} mm is not under half of the outside, {} mm", brief(wall_mm), brief(outside_mm)),
            "a solid section is a \"bar\" or a \"flat\"",
        );
    }
    fits
}

fn box_tube(
    at: &Path,
    width_mm: f64,
    depth_mm: f64,
    wall_mm: f64,
    outer_radius: Option<Length>,
    finish: Finish,
    checker: &mut Checker<'_>,
) -> Option<Section> {
    let tube = match outer_radius {
        Some(radius) => {
            if !checker.not_below_zero(at.then("outer_radius"), radius) {
                return None;
            }
            BoxTube::with_radius(width_mm, depth_mm, wall_mm, radius.0)
        }
        None => BoxTube::standard(width_mm, depth_mm, wall_mm, finish),
    };
    let half = width_mm.min(depth_mm) / 2.0;
    if tube.outer_radius_mm > half {
        let too_large =
            format!("{} mm, is more than half of the smaller side, {} mm", brief(tube.outer_radius_mm), brief(half));
        if outer_radius.is_some() {
            let hint = "left out, it is taken from the standard";
            checker.fault_with_hint(at.then("outer_radius"), format!("the outer radius, {too_large}"), hint);
        } else if checker.is_whole(at) {
            let hint = "give \"outer_radius\" as measured on the tube";
            checker.fault_with_hint(at.clone(), format!("the outer radius of the standard, {too_large}"), hint);
        }
        return None;
    }
    // Up to round-off: a wall of exactly a quarter of the side leaves a round bore.
    let half_bore = half - wall_mm;
    if tube.inner_radius_mm > half_bore * (1.0 + 1e-9) {
        if checker.is_whole(at) {
            checker.fault_with_hint(
                at.clone(),
                format!(
                    "the inner radius of the standard, {} mm, is more than half of the bore, {} mm",
                    brief(tube.inner_radius_mm),
                    brief(2.0 * half_bore)
                ),
                "give \"outer_radius\" as measured on the tube: the inner radius is then one wall smaller",
            );
        }
        return None;
    }
    Some(tube.into())
}

fn given_section(given: &file::GivenShape, at: &Path, checker: &mut Checker<'_>) -> Option<Section> {
    let mut sound = checker.above_zero(at.then("a"), given.a)
        & checker.above_zero(at.then("iy"), given.iy)
        & checker.above_zero(at.then("iz"), given.iz)
        & checker.above_zero(at.then("j"), given.j)
        & checker.above_zero(at.then("cy"), given.cy)
        & checker.above_zero(at.then("cz"), given.cz);
    for (key, area) in [("ay", given.ay), ("az", given.az)] {
        if let Some(area) = area {
            sound &= checker.above_zero(at.then(key), area);
        }
    }
    if let Some(modulus) = given.ct {
        sound &= checker.above_zero(at.then("ct"), modulus);
    }
    sound.then(|| {
        Given(Properties {
            area_mm2: given.a.0,
            iy_mm4: given.iy.0,
            iz_mm4: given.iz.0,
            j_mm4: given.j.0,
            ay_mm2: given.ay.map(|area| area.0),
            az_mm2: given.az.map(|area| area.0),
            cy_mm: given.cy.0,
            cz_mm: given.cz.0,
            ct_mm3: given.ct.map(|modulus| modulus.0),
            plastic_mm3: None,
        })
        .into()
    })
}
