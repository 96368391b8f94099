//! `crossbrace points`: points and lines from other programs into a model, and points out of it.

use std::ffi::OsStr;
use std::fs::{self, OpenOptions};
use std::io::{ErrorKind, Write};
use std::path::Path;

use super::args::PointsOptions;
use super::input::{Input, hexadecimal, limited, trouble};
use super::leftovers;
use super::output::{Output, complain, width};
use super::{Ending, Trouble, shown, write_hint};
use crate::exchange::{
    BadLine, Drawing, JoinBy, Loose, Nearest, NotJoined, Placed, TwinOff, join, place, read_drawing, read_table,
    write_points,
};
use crate::model::{Drawn, drawn_points, load_all};
use crate::path;
use crate::report::table::{Cell, Table};
use crate::report::text::{table, wrapped};
use crate::source::{BYTE_ORDER_MARK, Document, Node, Problem, instead, name_list, visible};
use crate::units::{Length, LengthUnit, Quantity, brief, rounded};

/// Closest and furthest that ends of lines may be joined over, mm: below the first, nodes would be
/// one to the model's own rules; above the second, a frame loses its shape.
const JOIN_MM: std::ops::RangeInclusive<f64> = 0.01..=100.0;
/// What `--join` is where it is not given, mm.
const JOINED_WITHIN_MM: f64 = 1.0;
/// Most remarks, and most bad lines, that are shown.
const MOST_REMARKS: usize = 40;

/// Runs the command.
pub(crate) fn run(options: &PointsOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let unit = options.unit.as_deref().map(asked_unit).transpose()?;
    let input = Input::read(&options.model)?;
    match (&options.file, &options.write_csv) {
        (_, Some(to)) => export(&input, to, unit.unwrap_or(LengthUnit::MM), output)?,
        (Some(file), None) => {
            if options.model.as_os_str() == "-" {
                return Err(Trouble("error: a model from stdin cannot be written back; name its file".to_owned()));
            }
            match ending(file).as_deref() {
                Some("csv" | "txt" | "tsv") => place_points(options, &input, file, unit, output)?,
                Some("dxf") => join_lines(options, &input, file, unit, output)?,
                _ => {
                    let hint = "a table of points ends in .csv, .tsv or .txt, a drawing in .dxf";
                    return Err(Trouble(format!(
                        "error: what {} holds is told by its ending\nhint: {hint}",
                        shown(file)
                    )));
                }
            }
        }
        // The command line asks for one of the two.
        (None, None) => {}
    }
    Ok(Ending::Good)
}

/// The unit of `--unit`.
fn asked_unit(name: &str) -> Result<LengthUnit, Trouble> {
    LengthUnit::named(name).ok_or_else(|| {
        let (name, units) = (visible(name), Length::KIND.unit_list());
        Trouble(format!("error: --unit {name} is not a known unit of length\nhint: lengths are in {units}"))
    })
}

fn ending(file: &Path) -> Option<String> {
    file.extension().and_then(OsStr::to_str).map(str::to_lowercase)
}

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Trouble {
    Trouble(format!("error: cannot {what} {}: {error}", shown(path)))
}

/// What to do where a model cannot be written.
const MODEL_ELSEWHERE: &str = "copy the model to a folder that can be written, or --dry-run to look only";

fn cannot_write(path: &Path, error: &std::io::Error, elsewhere: &str) -> Trouble {
    let Trouble(told) = cannot("write", path, error);
    Trouble(format!("{told}\nhint: {}", write_hint(error, elsewhere)))
}

/// Writes all points as a table.
fn export(input: &Input, to: &Path, unit: LengthUnit, output: &mut Output) -> Result<(), Trouble> {
    let points = drawn_points(&input.document.root);
    let unread: Vec<&str> = points.iter().filter(|point| point.at.is_none()).map(|point| point.name.as_str()).collect();
    if !unread.is_empty() {
        let names = visible(&name_list(unread));
        return Err(Trouble(format!(
            "error: in {} the places of these cannot be read: {names}\nhint: check tells what is wrong with them",
            visible(&input.name)
        )));
    }
    let text = write_points(points.iter().filter_map(|point| Some((point.name.as_str(), point.at?))), unit);
    if to.as_os_str() == "-" {
        output.print(&text);
        return Ok(());
    }
    output.file(|| {
        write_table(to, &text)?;
        let written = to.to_path_buf();
        Ok(move || {
            let _ = fs::remove_file(written);
        })
    })?;
    output.print(&format!("{} points in {}\n", points.len(), shown(to)));
    if Drawn::of(&input.document.root).mirror {
        tell("note: right sides that the mirror makes are not in the table; they follow the left");
    }
    Ok(())
}

/// What to do where a table cannot be written.
const TABLE_ELSEWHERE: &str = "name a file in another folder, or - to print the table";

/// Writes a table that was not there.
fn write_table(to: &Path, text: &str) -> Result<(), Trouble> {
    let mut file = OpenOptions::new().write(true).create_new(true).open(to).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => Trouble(format!(
            "error: {} is there already and is not overwritten\nhint: move it away, or write to another file",
            shown(to)
        )),
        _ => cannot_write(to, &error, TABLE_ELSEWHERE),
    })?;
    if let Err(error) = file.write_all(text.as_bytes()).and_then(|()| file.sync_all()) {
        // Half a table is worse than none.
        let _ = fs::remove_file(to);
        return Err(cannot_write(to, &error, TABLE_ELSEWHERE));
    }
    Ok(())
}

/// Takes the points of a table into the model.
fn place_points(
    options: &PointsOptions,
    input: &Input,
    file: &Path,
    unit: Option<LengthUnit>,
    output: &mut Output,
) -> Result<(), Trouble> {
    for (given, flag) in [(options.tube.is_some(), "--tube"), (options.join.is_some(), "--join")] {
        if given {
            return Err(Trouble(format!(
                "error: {flag} is for the lines of a DXF file, and {} is a table",
                shown(file)
            )));
        }
    }
    let bytes = read(file)?;
    let read = read_table(&bytes, unit);
    // What is wrong with a name is told in one run with what is wrong with a number.
    let placed = place(&input.document, &read.rows, options.add);
    let mut bad = read.bad;
    if let Err(more) = &placed {
        bad.extend(more.iter().cloned());
    }
    let placed = match placed {
        Ok(placed) if bad.is_empty() => placed,
        _ => {
            bad.sort_by_key(|bad| bad.line);
            return Err(bad_lines(file, &bad));
        }
    };
    for remark in &read.remarks {
        tell(&format!("note: of {} {}", shown(file), visible(remark)));
    }
    let added: Vec<&str> = placed.added.iter().map(|(name, _)| name.as_str()).collect();
    let other_unit = placed.unit_meant().map(|unit| {
        let name = shown(file);
        format!("most points that move would stay about where they are if the numbers of {name} were in {unit}; --unit {unit}?")
    });
    let known = judge(input, &placed.text, &added).map_err(|Trouble(told)| match &other_unit {
        Some(other_unit) => Trouble(format!("{told}\nhint: {other_unit}")),
        None => Trouble(told),
    })?;
    tell_placed(&placed, output);
    tell_new_warnings(input, &placed.text);
    if let Some(other_unit) = other_unit {
        tell(&format!("warning: {other_unit}"));
    }
    tell_slips(&placed);
    let moved: Vec<&str> = placed.moved.iter().map(|step| step.name.as_str()).collect();
    for name in options_that_place(&input.document, &moved) {
        tell(&format!("note: option \"{}\" gives a place of its own to a point that moves", visible(name)));
    }
    if !added.is_empty() {
        tell("note: a new node is no part of the frame until a member, body or corner part is attached to it");
    }
    deliver(options, input, &placed.text, &known, output)
}

/// Asks about signs that may have slipped.
fn tell_slips(placed: &Placed) {
    for (axis, names) in placed.signs_slipped() {
        let (are, were) = if names.len() == 1 { ("is", "it was") } else { ("are", "they were") };
        let names = visible(&name_list(names));
        tell(&format!("warning: with the other sign of {axis} {names} {are} about where {were}: a sign of {axis}?"));
    }
    let signs = placed.signs_slipped();
    let is_asked = |name: &str| signs.iter().any(|(axis, names)| *axis == "z" && names.contains(&name));
    let under: Vec<(&str, f64)> = placed.under_ground().into_iter().filter(|(name, _)| !is_asked(name)).collect();
    for (name, below_mm) in under.iter().take(MOST_REMARKS) {
        let (name, below_mm) = (visible(name), rounded(*below_mm));
        tell(&format!(
            "warning: \"{name}\" lies {below_mm} mm under the ground, z = 0, where nothing was: a sign of z?"
        ));
    }
    if under.len() > MOST_REMARKS {
        complain(&format!("warning: and {} more under the ground", under.len() - MOST_REMARKS));
    }
    for TwinOff { name, original, off_mm, same_side } in &placed.twins_off {
        let side = if *same_side {
            ": it lies on the other side of the car than its name says, a sign of y? The model"
        } else {
            "; the model"
        };
        tell(&format!(
            "warning: \"{}\" is {} mm off the mirror image of \"{}\"{side} keeps the mirror image",
            visible(name),
            rounded(*off_mm),
            visible(original)
        ));
    }
}

/// Names of the options whose change sets the place of one of these points.
fn options_that_place<'d>(document: &'d Document, moved: &[&str]) -> Vec<&'d str> {
    let options = document.root.get("options").map(Node::entries).unwrap_or_default();
    let places = |option: &Node| {
        let points = option.get("change").map(drawn_points).unwrap_or_default();
        points.iter().any(|point| moved.contains(&point.name.as_str()))
    };
    options.iter().filter(|option| places(&option.node)).map(|option| option.key.as_str()).collect()
}

fn tell_placed(placed: &Placed, output: &mut Output) {
    if !placed.moved.is_empty() {
        let columns = [("point", ""), ("moved", "mm"), ("x by", "mm"), ("y by", "mm"), ("z by", "mm")];
        let mut moved = Table::new("moved", "Points that move, furthest first", &columns);
        for step in &placed.moved {
            let by = step.to - step.from;
            let numbers = [step.distance_mm(), by.x, by.y, by.z].map(|number| Cell::Number(number, 3));
            moved.row(std::iter::once(Cell::text(&step.name)).chain(numbers).collect());
        }
        output.print(&table(&moved, width()));
    }
    if !placed.added.is_empty() {
        let added: Vec<_> = placed.added.iter().map(|(name, at)| (name.as_str(), at)).collect();
        output.print(&table(&new_nodes(&added), width()));
    }
    let (moved, added) = (placed.moved.len(), placed.added.len());
    output.print(&match (moved, added) {
        (0, 0) => "nothing moved\n".to_owned(),
        _ => format!("{moved} moved, {added} new, {} where they were\n", placed.unmoved),
    });
}

fn new_nodes(nodes: &[(&str, &nalgebra::Point3<f64>)]) -> Table {
    let mut added = Table::new("new-nodes", "New nodes", &[("node", ""), ("x", "mm"), ("y", "mm"), ("z", "mm")]);
    for (name, at) in nodes {
        let numbers = at.iter().map(|coordinate| Cell::Number(*coordinate, 3));
        added.row(std::iter::once(Cell::text(*name)).chain(numbers).collect());
    }
    added
}

/// Takes the lines of a drawing into the model.
fn join_lines(
    options: &PointsOptions,
    input: &Input,
    file: &Path,
    unit: Option<LengthUnit>,
    output: &mut Output,
) -> Result<(), Trouble> {
    let name = shown(file);
    if options.add {
        return Err(Trouble(format!("error: --add is for a table of points, and {name} is a drawing")));
    }
    let within_mm = options.join.unwrap_or(JOINED_WITHIN_MM);
    if !JOIN_MM.contains(&within_mm) {
        let (least, most) = (JOIN_MM.start(), JOIN_MM.end());
        return Err(Trouble(format!("error: --join {within_mm} is outside of {least} to {most} mm")));
    }
    let tubes = Drawn::of(&input.document.root).tubes;
    let tube = match &options.tube {
        Some(tube) if tubes.contains(tube) => tube,
        Some(tube) => {
            let hint = instead(tube, tubes.iter().map(String::as_str));
            let (tube, hint, name) = (visible(tube), visible(&hint), visible(&input.name));
            return Err(Trouble(format!("error: there is no tube size \"{tube}\" in {name}\nhint: {hint}")));
        }
        None => {
            let hint = format!("--tube NAME, one of: {}", name_list(tubes.iter().map(String::as_str)));
            return Err(Trouble(format!("error: the lines of a drawing need a tube size\nhint: {}", visible(&hint))));
        }
    };
    let drawing = read_drawing(&read(file)?).map_err(|bad| bad_lines(file, &[bad]))?;
    let unit_mm = unit_of(&drawing, unit, file)?.size_mm;
    let by = JoinBy { tube, unit_mm, within_mm };
    let joined = join(&input.document, &drawing.lines, &by).map_err(|why| match why {
        NotJoined::Bad(bad) => bad_lines(file, &[bad]),
        NotJoined::Loose(loose) => touch_nothing(file, &input.name, loose),
    })?;
    let known = judge(input, &joined.text, &[])?;
    if !joined.nodes.is_empty() {
        let nodes: Vec<_> = joined.nodes.iter().map(|(name, at)| (name.as_str(), at)).collect();
        output.print(&table(&new_nodes(&nodes), width()));
    }
    if !joined.members.is_empty() {
        let mut members = Table::new("new-members", "New members", &[("member", ""), ("nodes", "")]);
        for (name, chain) in &joined.members {
            members.row(vec![Cell::text(name), Cell::text(chain.join(", "))]);
        }
        output.print(&table(&members, width()));
    }
    tell_new_warnings(input, &joined.text);
    if let Some(unit) = joined.unit_meant {
        tell(&format!("warning: no line touches the model, and with --unit {unit} some would: is that the drawing's?"));
    }
    let mut remarks = joined.remarks;
    if !drawing.left_out.is_empty() {
        let counted: Vec<String> = drawing.left_out.iter().map(|(what, count)| format!("{count} {what}")).collect();
        remarks.push(format!("left out, since only straight lines are read: {}", counted.join(", ")));
    }
    tell_remarks(&remarks);
    output.print(&format!("new nodes: {}, new members: {}\n", joined.nodes.len(), joined.members.len()));
    deliver(options, input, &joined.text, &known, output)
}

/// Furthest that lines are told to be joined over, where they would touch the model then, mm.
const FAIR_JOIN_MM: f64 = 10.0;

/// Refuses lines that would be a frame of their own beside the model's.
fn touch_nothing(file: &Path, model: &str, loose: Loose) -> Trouble {
    let Loose { members, nearest, unit_meant, remarks } = loose;
    tell_remarks(&remarks);
    let (them, touch, frame) = match members.as_slice() {
        [_] => ("it", "touches", "it would be a frame of its own"),
        _ => ("them", "touch", "they would be a frame of their own"),
    };
    let names = name_list(members.iter().map(String::as_str));
    let mut told = format!("error: {}: {names} {touch} no node of {model}: {frame}", shown(file));
    let move_it = format!("move {them} so that an end lies on a node");
    let hint = match (&nearest, unit_meant) {
        (_, Some(unit)) => format!("--unit {unit}? with it, ends would lie on nodes of the model"),
        (Some(near), None) if near.gap_mm <= FAIR_JOIN_MM => {
            format!("--join {} makes these two one; else {move_it}", brief(near.gap_mm.ceil()))
        }
        _ => format!("{move_it}, or say with --unit what the drawing is in"),
    };
    if let Some(Nearest { at, node, gap_mm }) = &nearest {
        let place: Vec<String> = at.iter().map(|coordinate| brief((coordinate * 10.0).round() / 10.0 + 0.0)).collect();
        told.push_str(&format!(
            "; the nearest of the ends is at [{}], {} mm from {node}",
            place.join(", "),
            rounded(*gap_mm)
        ));
    }
    Trouble(format!("{}\nhint: {}\nnothing was written", visible(&told), visible(&hint)))
}

fn tell_remarks(remarks: &[String]) {
    for remark in remarks.iter().take(MOST_REMARKS) {
        tell(&format!("note: {}", visible(remark)));
    }
    if remarks.len() > MOST_REMARKS {
        complain(&format!("note: and {} more like these", remarks.len() - MOST_REMARKS));
    }
}

/// What a drawing is drawn in: as asked, else as it says.
fn unit_of(drawing: &Drawing, asked: Option<LengthUnit>, file: &Path) -> Result<LengthUnit, Trouble> {
    let name = shown(file);
    match (asked, drawing.unit) {
        (Some(asked), _) => Ok(asked),
        (None, Ok(Some(unit))) => Ok(LengthUnit::named(unit).expect("a drawing's unit is one of ours")),
        (None, Ok(None)) => {
            let hint = "say it: --unit mm, or --unit in";
            Err(Trouble(format!("error: {name} does not say what unit it is drawn in\nhint: {hint}")))
        }
        (None, Err(number)) => {
            let hint = "say it: --unit mm, or --unit in";
            Err(Trouble(format!("error: {name} is in unit {number} of $INSUNITS, which is not known\nhint: {hint}")))
        }
    }
}

/// Tells something in lines that fit.
fn tell(text: &str) {
    complain(&wrapped(text, width() - 2, "  "));
}

fn read(file: &Path) -> Result<Vec<u8>, Trouble> {
    let opened = fs::File::open(file).map_err(|error| cannot("read", file, &error))?;
    limited(opened, file)
}

/// Lines of a file that are wrong, as the text to show.
fn bad_lines(file: &Path, bad: &[BadLine]) -> Trouble {
    let mut told = Vec::new();
    for BadLine { line, message, hint } in bad.iter().take(MOST_REMARKS) {
        told.push(format!("error: {}:{line}: {}", shown(file), visible(message)));
        told.extend(hint.iter().map(|hint| format!("hint: {}", visible(hint))));
    }
    if bad.len() > MOST_REMARKS {
        told.push(format!("and {} more bad lines", bad.len() - MOST_REMARKS));
    }
    told.push("nothing was written".to_owned());
    Trouble(told.join("\n"))
}

/// Makes sure that a new text is a model, or is no more wrong than the old one was; gives what is
/// still wrong. A node that was just added may be on its own.
fn judge(input: &Input, text: &str, added: &[&str]) -> Result<Vec<Problem>, Trouble> {
    let refused = |problems: &[Problem], document: &str| {
        let Trouble(shown) = trouble(problems, &input.name, document);
        Trouble(format!("{shown}\n\nthis is how {} would be; nothing was written", visible(&input.name)))
    };
    let document = Document::read(text.as_bytes().to_vec()).map_err(|(text, problems)| refused(&problems, &text))?;
    let mut problems = load_all(&document).err().unwrap_or_default();
    problems.retain(|problem| !(problem.is_idle && added.iter().any(|name| problem.path == path!["nodes", *name])));
    if problems.is_empty() {
        return Ok(problems);
    }
    let before = load_all(&input.document).err().unwrap_or_default();
    // Figures in a sentence may change with the places.
    let is_known = |problem: &Problem| before.iter().any(|known| known.is_same_but_for_figures(problem));
    let new: Vec<Problem> = problems.iter().filter(|problem| !is_known(problem)).cloned().collect();
    if new.is_empty() { Ok(problems) } else { Err(refused(&new, text)) }
}

/// Tells what is odd about the new text and was not about the old one.
fn tell_new_warnings(input: &Input, text: &str) {
    let warnings = |document: &Document| match load_all(document) {
        Ok(loaded) => loaded.base.warnings,
        Err(_) => Drawn::of(&document.root).odd_places(),
    };
    // That it can be read was seen when it was judged.
    let Ok(document) = Document::read(text.as_bytes().to_vec()) else { return };
    let before = warnings(&input.document);
    let new: Vec<String> = warnings(&document).into_iter().filter(|warning| !before.contains(warning)).collect();
    for warning in new.iter().take(MOST_REMARKS) {
        tell(&format!("warning: {}", visible(warning)));
    }
    if new.len() > MOST_REMARKS {
        complain(&format!("warning: and {} more like these", new.len() - MOST_REMARKS));
    }
}

/// Puts the new text into the model's file, unless it is the same or only to be shown.
fn deliver(
    options: &PointsOptions,
    input: &Input,
    text: &str,
    still_wrong: &[Problem],
    output: &mut Output,
) -> Result<(), Trouble> {
    if !still_wrong.is_empty() {
        tell(&format!(
            "warning: {} was no valid model before, and is none now; check tells what is wrong",
            visible(&input.name)
        ));
    }
    if text == input.document.text {
        output.print(&format!("nothing changes; {} was not written\n", visible(&input.name)));
        return Ok(());
    }
    if options.dry_run {
        output.print(&format!("dry run: {} was not written\n", visible(&input.name)));
        return Ok(());
    }
    let mark = if input.document.marked { BYTE_ORDER_MARK.to_string() } else { String::new() };
    let [before, after] = [&input.document.text, text].map(|text| format!("{mark}{text}"));
    let model = options.model.clone();
    output.file(move || {
        replace(&model, &input.sha256, after.as_bytes())?;
        Ok(move || {
            let _ = replace(&model, &hexadecimal(after.as_bytes()), before.as_bytes());
        })
    })?;
    output.print(&format!("{} was written\n", visible(&input.name)));
    Ok(())
}

/// Replaces a file whole: a new one is written beside it and renamed over it. A link stays one,
/// and the file keeps its permissions.
fn replace(path: &Path, sha256: &str, bytes: &[u8]) -> Result<(), Trouble> {
    let path = fs::canonicalize(path).map_err(|error| cannot("reach", path, &error))?;
    let permissions = fs::metadata(&path).map_err(|error| cannot("look at", &path, &error))?.permissions();
    if permissions.readonly() {
        return Err(Trouble(format!("error: {} may not be written\nhint: {MODEL_ELSEWHERE}", shown(&path))));
    }
    let name = path.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let temporary = path.with_file_name(leftovers::temporary(&name, std::process::id()));
    let written = OpenOptions::new().write(true).create_new(true).open(&temporary).and_then(|mut file| {
        file.set_permissions(permissions)?;
        file.write_all(bytes)?;
        file.sync_all()
    });
    let replaced = written.map_err(|error| cannot_write(&path, &error, MODEL_ELSEWHERE)).and_then(|()| {
        // Somebody may have saved it while this ran.
        let now = fs::read(&path).map_err(|error| cannot("read", &path, &error))?;
        if hexadecimal(&now) != sha256 {
            return Err(Trouble(format!("error: {} was changed meanwhile; nothing was written", shown(&path))));
        }
        fs::rename(&temporary, &path).map_err(|error| cannot("replace", &path, &error))
    });
    if replaced.is_err() {
        let _ = fs::remove_file(&temporary);
    }
    if let Some(folder) = path.parent() {
        leftovers::remove(folder, |of| of == name);
    }
    replaced
}
