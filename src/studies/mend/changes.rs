//! What may be changed: the size of a tube, of all tubes of one size, the throat of its welds, or a brace more.

use serde_json::{Map, Value, json};

use crate::model::{Model, TubeRef, TubeSize, Written, entry_at, other_side};
use crate::path;
use crate::section::{STOCK, Section};
use crate::source::{Path, Step};
use crate::studies::triangulate::candidates;
use crate::units::brief;

/// What a change is made to; two changes of one target exclude each other.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub enum Target {
    /// A tube and its mirror twin.
    Tube(String),
    /// Every tube of a size.
    Size(String),
    /// The welds of a tube and its mirror twin.
    Welds(String),
    /// A brace more, by its nodes.
    Brace(String),
}

/// What it becomes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Becomes {
    /// A tube, or a brace, of this size.
    Size(Section),
    /// Welds of this throat, mm.
    Throat(f64),
}

/// One thing that may be done.
#[derive(Debug, Clone, PartialEq)]
pub struct Change {
    /// To what.
    pub target: Target,
    /// What it becomes.
    pub to: Becomes,
    /// The change as an option of a file has it.
    pub patch: Value,
}

/// So many heavier sizes are tried for one tube.
const SIZES_TRIED: usize = 8;
/// Throats are tried in steps of this, mm.
const THROAT_STEP_MM: f64 = 0.5;
/// Most tubes, a twin pair as one, whose size is changed one by one: those that are used most.
pub(super) const MOST_TUBES: usize = 100;

/// All that may be done to a frame: the tubes that are named (those of a corner too), thicker welds of those of them
/// whose `welds_fail`, every size that more than one of them shares, and what `bracing` allows.
pub(super) fn changes(
    model: &Model,
    written: &Written,
    tubes: &[TubeRef],
    welds_fail: impl Fn(&str) -> bool,
) -> Vec<Change> {
    let mut changes = Vec::new();
    for tube in tubes {
        changes.extend(of_tube(model, written, *tube));
        if let TubeRef::Member(at) = *tube
            && welds_fail(entry_at(&model.members, at).0)
        {
            changes.extend(thicker_welds(model, written, at));
        }
    }
    for (at, (name, _)) in model.tubes.iter().enumerate() {
        let users = model.members.values().filter(|member| member.tube == at).count();
        if users > 1 {
            changes.extend(of_size(model, at, name));
        }
    }
    if let Some(bracing) = &model.bracing
        && let Ok(found) = candidates(model, bracing, &|_| true)
    {
        changes.extend(found.all.iter().filter_map(|brace| {
            let (name, entry) = brace.written(model, bracing)?;
            Some(Change {
                target: Target::Brace(brace.name.clone()),
                to: Becomes::Size(model.tubes[bracing.tube].section),
                patch: json!({ "members": { name: entry } }),
            })
        }));
    }
    changes
}

/// A size that could stand in for another.
struct Size {
    /// What it is called in the file.
    name: String,
    section: Section,
    /// Its entry of `tubes`, where the file does not have it.
    entry: Option<Value>,
}

/// Heavier sizes that could stand in for one, lightest first: those of the file's stock where it gives one under
/// `sizing`; else those of its kind and material that the file and the rack have, of the rack those of its own series (in
/// millimetres where it is of none).
fn heavier(model: &Model, like: usize) -> Vec<Size> {
    let now = &model.tubes[like];
    let stock = model.sizing.as_ref().map(|sizing| &sizing.stock);
    let per_metre = |size: &TubeSize| size.properties.area_mm2 * model.materials[size.material].material.density_kg_m3;
    let is_alike = |size: &TubeSize| size.material == now.material && same_kind(&size.section, &now.section);
    let of_file = model.tubes.iter().enumerate().filter(|(at, (_, size))| match stock {
        // A plate is no tube.
        Some(stock) => stock.contains(at) && is_flat(&size.section) == is_flat(&now.section),
        None => is_alike(size),
    });
    let of_file = of_file.map(|(_, (name, size))| {
        let size_of_file = Size { name: name.clone(), section: size.section, entry: None };
        (per_metre(size), size_of_file)
    });
    let material = model.material_of(like);
    let own = STOCK.iter().find(|size| size.section == now.section);
    let of_rack = STOCK
        .iter()
        .filter(|_| stock.is_none())
        .filter(|size| own.map_or(!size.is_imperial(), |own| size.series == own.series))
        .filter(|size| same_kind(&size.section, &now.section))
        .map(|size| {
            let area_mm2 = size.section.properties(material.poisson()).area_mm2;
            (area_mm2 * material.density_kg_m3, named_size(model, like, &size.section))
        });
    let mut sizes: Vec<(f64, Size)> =
        of_file.chain(of_rack).filter(|(weight, _)| *weight > 1.01 * per_metre(now)).collect();
    sizes.sort_by(|one, other| one.0.total_cmp(&other.0));
    sizes.dedup_by(|one, other| one.1.name == other.1.name);
    sizes.truncate(SIZES_TRIED);
    sizes.into_iter().map(|(_, size)| size).collect()
}

fn same_kind(one: &Section, other: &Section) -> bool {
    let is_square = |section: &Section| matches!(section, Section::Box(tube) if tube.width_mm == tube.depth_mm);
    (one.is_round() && other.is_round()) || (is_square(one) && is_square(other)) || (is_flat(one) && is_flat(other))
}

fn is_flat(section: &Section) -> bool {
    matches!(section, Section::Flat(_))
}

/// A tube, and its twin, in heavier sizes.
fn of_tube(model: &Model, written: &Written, tube: TubeRef) -> Vec<Change> {
    let name = model.tube_name(tube);
    let Some((like, keys)) = keys(model, written, tube) else { return Vec::new() };
    let of = |to: Size| {
        let mut patch = json!({});
        for key in &keys {
            merge(&mut patch, &at(key, Value::String(to.name.clone())));
        }
        if let Some(entry) = to.entry {
            merge(&mut patch, &json!({ "tubes": { to.name: entry } }));
        }
        Change { target: Target::Tube(name.clone()), to: Becomes::Size(to.section), patch }
    };
    heavier(model, like).into_iter().map(of).collect()
}

/// The welds of a tube and its twin, thicker, up to its wall (common practice, no source).
fn thicker_welds(model: &Model, written: &Written, member: usize) -> Vec<Change> {
    let (name, tube) = entry_at(&model.members, member);
    let wall_mm = match model.tubes[tube.tube].section {
        Section::Round(tube) => tube.wall_mm,
        Section::Box(tube) => tube.wall_mm,
        Section::Flat(flat) => flat.thickness_mm,
        Section::Bar(_) | Section::Given(_) => return Vec::new(),
    };
    let from_mm = tube.weld.throat_mm.unwrap_or(wall_mm);
    let steps = ((wall_mm - from_mm) / THROAT_STEP_MM).ceil().max(0.0) as usize;
    let of = |step: usize| {
        let throat_mm = (from_mm + step as f64 * THROAT_STEP_MM).min(wall_mm);
        let mut patch = json!({});
        for own in [name.to_owned(), other_side(name)] {
            if written.has(&path!["members", own.as_str()]) {
                merge(&mut patch, &json!({ "members": { own: { "weld": { "throat": written_mm(throat_mm) } } } }));
            }
        }
        Change { target: Target::Welds(name.to_owned()), to: Becomes::Throat(throat_mm), patch }
    };
    (1..=steps).map(of).collect()
}

/// The size of a tube, and where a file says it, of its mirror twin too where that is written.
fn keys(model: &Model, written: &Written, tube: TubeRef) -> Option<(usize, Vec<Path>)> {
    let name = model.tube_name(tube);
    let (size, paths) = match tube {
        TubeRef::Member(at) => {
            let of = |name: String| path!["members", name, "tube"];
            (model.members[at].tube, [of(name.clone()), of(other_side(&name))])
        }
        TubeRef::Corner { corner, tube } => {
            let (corner, part) = (&model.corners[corner], name.split_once('/')?.1);
            let of = |wheel: String| part_key(written, &path!["corners", wheel], part);
            (corner.kind.tubes()[tube].tube, [of(corner.wheel.name().to_owned()), of(other_side(corner.wheel.name()))])
        }
    };
    let [own, twin] = paths;
    let mut keys: Vec<Path> = Vec::new();
    for path in [own, twin] {
        if written.has(&path) && !keys.contains(&path) {
            keys.push(path);
        }
    }
    (!keys.is_empty()).then_some((size, keys))
}

/// Where a corner's tube has its size; both tubes of an arm have one, unless the file gives the rear one its own.
fn part_key(written: &Written, corner: &Path, part: &str) -> Path {
    let (first, second) = part.split_once('.').unwrap_or((part, ""));
    if !matches!(first, "upper" | "lower" | "arm" | "tie_rod" | "strut") {
        return corner.then("links").then(part).then("tube");
    }
    let own = corner.then(first);
    let rear = own.then("rear_tube");
    if second == "rear" && written.has(&rear) { rear } else { own.then("tube") }
}

/// Every tube of a size, in heavier ones of the same kind and material.
fn of_size(model: &Model, like: usize, name: &str) -> Vec<Change> {
    let now = &model.tubes[like];
    let is_of_rack = |to: &Size| {
        let same_material = model.tubes.get(&to.name).is_none_or(|size| size.material == now.material);
        same_material && same_kind(&to.section, &now.section)
    };
    let of = |to: Size| {
        let patch = json!({ "tubes": { name: section_entry(&to.section) } });
        Change { target: Target::Size(name.to_owned()), to: Becomes::Size(to.section), patch }
    };
    heavier(model, like).into_iter().filter(is_of_rack).map(of).collect()
}

/// A size of the same material: one that the file has, or a new one.
fn named_size(model: &Model, like: usize, to: &Section) -> Size {
    let material = model.tubes[like].material;
    let known = model.tubes.iter().find(|(_, size)| size.section == *to && size.material == material);
    if let Some((name, _)) = known {
        return Size { name: name.clone(), section: *to, entry: None };
    }
    let material = entry_at(&model.materials, material).0;
    let mut entry = section_entry(to);
    entry["material"] = json!(material);
    Size { name: format!("{} {material}", plain_size(to)), section: *to, entry: Some(entry) }
}

/// A size in plain letters: `30x2`.
fn plain_size(section: &Section) -> String {
    match section {
        Section::Round(tube) => format!("{}x{}", brief(tube.od_mm), brief(tube.wall_mm)),
        Section::Box(tube) => format!("{0}x{0}x{1}", brief(tube.width_mm), brief(tube.wall_mm)),
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => "size".to_owned(),
    }
}

/// A section as a file has it; a square takes its standard corners.
fn section_entry(section: &Section) -> Value {
    match section {
        Section::Round(tube) => json!({ "round": { "od": written_mm(tube.od_mm), "wall": written_mm(tube.wall_mm) } }),
        Section::Box(tube) => {
            let (side, wall) = (written_mm(tube.width_mm), written_mm(tube.wall_mm));
            json!({ "square": { "side": side, "wall": wall, "outer_radius": null } })
        }
        Section::Bar(_) | Section::Flat(_) | Section::Given(_) => json!({}),
    }
}

/// A length without what binary fractions leave of an inch.
fn written_mm(length_mm: f64) -> f64 {
    (length_mm * 1e6).round() / 1e6
}

/// A value under a way of keys.
fn at(path: &Path, value: Value) -> Value {
    path.0.iter().rev().fold(value, |inside, step| match step {
        Step::Key(key) => Value::Object(Map::from_iter([(key.clone(), inside)])),
        Step::Index(_) => inside,
    })
}

/// Puts one patch into another; what both say, the second has.
pub(super) fn merge(patch: &mut Value, more: &Value) {
    match (patch, more) {
        (Value::Object(own), Value::Object(more)) => {
            for (key, value) in more {
                merge(own.entry(key.as_str()).or_insert(Value::Null), value);
            }
        }
        (own, more) => own.clone_from(more),
    }
}
