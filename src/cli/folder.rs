//! A folder of results in which this program owns only the files that it wrote.
//!
//! The folder's `files.json` lists them with their hashes. A file that is not on the list, or has
//! been changed since, is never overwritten or removed. New files are written under temporary
//! names, the list then holds old and new hashes and the temporary names, the files are renamed
//! into place, those no longer made are removed, and the list is brought up to date: a run killed
//! at any point loses nothing, and the next run knows every file it left.

use std::collections::BTreeMap;
use std::fs;
use std::io::{ErrorKind, Write};
use std::path::{Path, PathBuf};

use serde_json::{Value, json};

use super::input::hexadecimal;
use super::leftovers;
use super::pending::is_interrupted;
use super::{Trouble, shown};

/// What the user may do where a folder takes no files.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct WayOut {
    /// The option that names another folder.
    option: &'static str,
    /// What else there is.
    or: &'static str,
}

impl WayOut {
    /// For sheets of `check`.
    pub(crate) const CHECK: WayOut =
        WayOut { option: "--out", or: "; check --json prints the result and writes no sheets" };
    /// For sheets of other commands.
    pub(crate) const OUT: WayOut = WayOut { option: "--out", or: "" };
    /// For tables.
    pub(crate) const CSV: WayOut = WayOut { option: "--csv", or: "" };
}

/// What keeps files from being put into a folder.
#[derive(Debug)]
struct Stuck {
    text: String,
    hint: Hint,
}

/// What to do about it.
#[derive(Debug)]
enum Hint {
    AnotherFolder,
    MoveAway,
    Nothing,
}

impl Stuck {
    fn in_the_way(text: String) -> Self {
        Stuck { text, hint: Hint::MoveAway }
    }

    /// What is told, with the way out that there is.
    fn trouble(self, WayOut { option, or }: WayOut) -> Trouble {
        let text = self.text;
        Trouble(match self.hint {
            Hint::AnotherFolder => format!("{text}\nhint: use {option} DIR for another folder{or}"),
            Hint::MoveAway => format!("{text}\nhint: move it away, or choose another folder with {option}"),
            Hint::Nothing => text,
        })
    }
}

/// Name of the list.
pub(crate) const LIST: &str = "files.json";

/// Files to write, by name.
pub(crate) type Files = BTreeMap<String, Vec<u8>>;

/// What a folder's list says.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
struct List {
    /// The way from the folder to the model that its files were made from, where that is a file.
    model: Option<String>,
    /// The hashes that each file may have.
    files: BTreeMap<String, Vec<String>>,
}

/// Makes each folder hold exactly these files of ours, beside whatever is not ours; a folder that is
/// named twice holds both. With each goes what the user may do where it takes none. All is looked at and written before anything is moved into place. The
/// lists name the model file, if there is one.
///
/// # Errors
/// A file in the way that is not ours, or was changed since; anything that cannot be written. Every
/// folder then is as it was.
pub(crate) fn deliver(folders: Vec<(PathBuf, Files, WayOut)>, model: Option<&Path>) -> Result<Delivered, Trouble> {
    let mut delivered = Delivered::default();
    match delivered.run(folders, model) {
        Ok(()) => Ok(delivered),
        Err(trouble) => {
            delivered.take_back();
            Err(trouble)
        }
    }
}

/// The other model file that a folder's files were made from, if it is still there.
pub(crate) fn other_model(folder: &Path, model: Option<&Path>) -> Option<PathBuf> {
    let folder = fs::canonicalize(folder).ok()?;
    let known = read_list(&folder.join(LIST)).ok()??.model?;
    let other = fs::canonicalize(folder.join(&known)).ok()?;
    (model.and_then(|model| way(&folder, model)) != Some(known)).then_some(other)
}

/// The way from a folder, as it really is, to a file: it stays the same where both are moved
/// together, and however the file is named on the command line.
fn way(folder: &Path, file: &Path) -> Option<String> {
    let file = fs::canonicalize(file).ok()?;
    let shared = folder.components().zip(file.components()).take_while(|(one, other)| one == other).count();
    if shared == 0 {
        return Some(file.to_string_lossy().into_owned());
    }
    let up = folder.components().skip(shared).map(|_| "..".into());
    let down = file.components().skip(shared).map(|step| step.as_os_str().to_string_lossy());
    Some(up.chain(down).collect::<Vec<_>>().join("/"))
}

/// Files that are in place, with all that is needed to take them back.
#[derive(Debug, Default)]
pub(crate) struct Delivered {
    /// Folders that were not there, outermost first.
    created: Vec<PathBuf>,
    deliveries: Vec<Delivery>,
    /// Renames that were done, from and to.
    renames: Vec<(PathBuf, PathBuf)>,
}

impl Delivered {
    fn run(&mut self, folders: Vec<(PathBuf, Files, WayOut)>, model: Option<&Path>) -> Result<(), Trouble> {
        let mut whole: Vec<(PathBuf, Files, WayOut)> = Vec::new();
        for (folder, files, way_out) in folders {
            let told = |stuck: Stuck| stuck.trouble(way_out);
            self.create(&folder).map_err(told)?;
            let folder = fs::canonicalize(&folder).map_err(|error| told(cannot("reach", &folder, &error)))?;
            match whole.iter_mut().find(|(known, _, _)| *known == folder) {
                Some((_, known, _)) => known.extend(files),
                None => whole.push((folder, files, way_out)),
            }
        }
        let mut ways_out = Vec::new();
        for (folder, files, way_out) in whole {
            let model = model.and_then(|model| way(&folder, model));
            self.deliveries.push(Delivery::new(folder, files, model).map_err(|stuck| stuck.trouble(way_out))?);
            ways_out.push(way_out);
        }
        for (delivery, way_out) in self.deliveries.iter_mut().zip(&ways_out) {
            delivery.write_temporaries().map_err(|stuck| stuck.trouble(*way_out))?;
        }
        for (delivery, way_out) in self.deliveries.iter_mut().zip(&ways_out) {
            delivery.touched = true;
            let written = delivery.write_list(&delivery.list_on_the_way());
            let moved = written.and_then(|()| delivery.move_into_place(&mut self.renames));
            moved.map_err(|stuck| stuck.trouble(*way_out))?;
        }
        Ok(())
    }

    /// Creates a folder and those above it.
    fn create(&mut self, folder: &Path) -> Result<(), Stuck> {
        if let Some(file) = folder.ancestors().find(|above| above.exists()).filter(|there| !there.is_dir()) {
            let text = format!("error: {} is a file, not a folder", shown(file));
            return Err(Stuck { text, hint: Hint::AnotherFolder });
        }
        let missing = folder.ancestors().take_while(|above| !above.as_os_str().is_empty() && !above.exists());
        let mut missing: Vec<PathBuf> = missing.map(Path::to_path_buf).collect();
        missing.reverse();
        self.created.extend(missing);
        fs::create_dir_all(folder).map_err(|error| cannot("create", folder, &error))
    }

    /// Makes everything as it was before.
    pub(crate) fn take_back(self) {
        for (from, to) in self.renames.iter().rev() {
            let _ = fs::rename(to, from);
        }
        for delivery in &self.deliveries {
            delivery.take_back();
        }
        for folder in self.created.iter().rev() {
            // Only what this run made, and only while it is empty.
            let _ = fs::remove_dir(folder);
        }
    }

    /// Removes what is no longer made, and brings the lists up to date.
    pub(crate) fn finish(self) {
        for delivery in &self.deliveries {
            delivery.finish();
        }
    }
}

/// Stops a run that was interrupted.
fn go_on() -> Result<(), Stuck> {
    if is_interrupted() { Err(Stuck { text: "interrupted".to_owned(), hint: Hint::Nothing }) } else { Ok(()) }
}

/// Whether a file could be one that this program writes into folders, by its name.
fn is_ours(name: &str) -> bool {
    let is_sheet = || {
        let numbered = name.strip_suffix(".svg").and_then(|name| name.split_once('-'));
        numbered.is_some_and(|(number, _)| number.len() >= 2 && number.bytes().all(|byte| byte.is_ascii_digit()))
    };
    name == LIST || name == "report.html" || name.ends_with(".csv") || is_sheet()
}

fn cannot(what: &str, path: &Path, error: &std::io::Error) -> Stuck {
    Stuck { text: format!("error: cannot {what} {}: {error}", shown(path)), hint: Hint::AnotherFolder }
}

/// One folder, its list as it was, and what is to be written into it.
#[derive(Debug)]
struct Delivery {
    folder: PathBuf,
    files: Files,
    /// The way to the model that they are made from.
    model: Option<String>,
    /// `None` where there is no list.
    known: Option<List>,
    /// How many temporary files are written, in the order of `files`.
    written: usize,
    /// Whether the list may have been written.
    touched: bool,
    /// Tells the temporary names of this run from those of any other.
    mark: u32,
}

impl Delivery {
    /// Reads the list, and makes sure that nothing in the way is somebody else's.
    fn new(folder: PathBuf, files: Files, model: Option<String>) -> Result<Self, Stuck> {
        let known = read_list(&folder.join(LIST))?;
        let delivery = Self { folder, files, model, known, written: 0, touched: false, mark: std::process::id() };
        for name in delivery.files.keys().chain(delivery.list().files.keys()) {
            delivery.is_ours_or_absent(name)?;
        }
        Ok(delivery)
    }

    fn is_ours_or_absent(&self, name: &str) -> Result<(), Stuck> {
        let path = self.folder.join(name);
        let metadata = match fs::symlink_metadata(&path) {
            Ok(metadata) => metadata,
            Err(error) if error.kind() == ErrorKind::NotFound => return Ok(()),
            Err(error) => return Err(cannot("look at", &path, &error)),
        };
        let Some(hashes) = self.list().files.get(name).filter(|_| metadata.is_file()) else {
            let text = format!("error: {} is in the way and is not one that crossbrace wrote", shown(&path));
            return Err(Stuck::in_the_way(text));
        };
        let bytes = fs::read(&path).map_err(|error| cannot("read", &path, &error))?;
        if hashes.contains(&hash(&bytes)) {
            Ok(())
        } else {
            Err(Stuck::in_the_way(format!("error: {} was changed since crossbrace wrote it", shown(&path))))
        }
    }

    fn list(&self) -> &List {
        static NONE: List = List { model: None, files: BTreeMap::new() };
        self.known.as_ref().unwrap_or(&NONE)
    }

    /// Removes what was written, once all renames are undone.
    fn take_back(&self) {
        for name in self.files.keys().take(self.written) {
            let _ = fs::remove_file(self.folder.join(self.temporary(name)));
        }
        if self.touched {
            let _ = match &self.known {
                Some(list) => self.write_list(list),
                None => fs::remove_file(self.folder.join(LIST)).map_err(|error| cannot("remove", &self.folder, &error)),
            };
        }
    }

    fn finish(&self) {
        for name in self.list().files.keys().filter(|name| !self.files.contains_key(*name)) {
            let _ = fs::remove_file(self.folder.join(name));
        }
        for name in self.files.keys() {
            let _ = fs::remove_file(self.folder.join(self.set_aside(name)));
        }
        // Where this fails the list on the way stays, and that one knows every file too.
        let files = self.files.iter().map(|(name, bytes)| (name.clone(), vec![hash(bytes)])).collect();
        let _ = self.write_list(&List { model: self.model.clone(), files });
        leftovers::remove(&self.folder, is_ours);
    }

    fn write_temporaries(&mut self) -> Result<(), Stuck> {
        for (name, bytes) in &self.files {
            go_on()?;
            let path = self.folder.join(self.temporary(name));
            if path.symlink_metadata().is_ok_and(|there| there.is_file()) {
                // An earlier process of the same number was killed over it.
                let _ = fs::remove_file(&path);
            }
            let new = fs::OpenOptions::new().write(true).create_new(true).open(&path);
            // The file is named as the user will know it.
            let told = |error: std::io::Error| cannot("write", &self.folder.join(name), &error);
            let mut file = new.map_err(told)?;
            self.written += 1;
            file.write_all(bytes).map_err(told)?;
        }
        Ok(())
    }

    /// The name that a new file has until it is whole.
    fn temporary(&self, name: &str) -> String {
        leftovers::temporary(name, self.mark)
    }

    /// The name that an old file has until its successor is in place.
    fn set_aside(&self, name: &str) -> String {
        format!(".{name}.{}.old", self.mark)
    }

    /// Old and new hashes of every file, and every name that a killed run may leave.
    fn list_on_the_way(&self) -> List {
        let mut files = self.list().files.clone();
        for (name, bytes) in &self.files {
            let known = files.get(name).cloned().unwrap_or_default();
            files.insert(self.temporary(name), vec![hash(bytes)]);
            if !known.is_empty() {
                files.insert(self.set_aside(name), known);
            }
            files.entry(name.clone()).or_default().push(hash(bytes));
        }
        List { model: self.model.clone(), files }
    }

    /// Renames every temporary into place, an old file aside before it.
    fn move_into_place(&self, done: &mut Vec<(PathBuf, PathBuf)>) -> Result<(), Stuck> {
        for name in self.files.keys() {
            let target = self.folder.join(name);
            let mut steps = vec![(self.folder.join(self.temporary(name)), target.clone())];
            if target.exists() {
                steps.insert(0, (target.clone(), self.folder.join(self.set_aside(name))));
            }
            for (from, to) in steps {
                go_on()?;
                fs::rename(&from, &to).map_err(|error| cannot("write", &target, &error))?;
                done.push((from, to));
            }
        }
        Ok(())
    }

    fn write_list(&self, list: &List) -> Result<(), Stuck> {
        let files: serde_json::Map<String, Value> = list
            .files
            .iter()
            .map(|(name, hashes)| {
                let value = match hashes.as_slice() {
                    [one] => json!(one),
                    many => json!(many),
                };
                (name.clone(), value)
            })
            .collect();
        let mut listed = serde_json::Map::new();
        listed.extend(list.model.iter().map(|model| ("model".to_owned(), json!(model))));
        listed.insert("files".to_owned(), json!(files));
        let path = self.folder.join(LIST);
        let new = self.folder.join(self.temporary(LIST));
        fs::write(&new, format!("{:#}\n", Value::from(listed))).and_then(|()| fs::rename(&new, &path)).map_err(
            |error| {
                let _ = fs::remove_file(&new);
                cannot("write", &path, &error)
            },
        )
    }
}

fn hash(bytes: &[u8]) -> String {
    format!("sha256 {}", hexadecimal(bytes))
}

/// The list of a folder, if it has one.
fn read_list(path: &Path) -> Result<Option<List>, Stuck> {
    let text = match fs::read_to_string(path) {
        Ok(text) => text,
        Err(error) if error.kind() == ErrorKind::NotFound => return Ok(None),
        Err(error) => return Err(cannot("read", path, &error)),
    };
    parse_list(&text).map(Some).ok_or_else(|| {
        Stuck::in_the_way(format!("error: {} is in the way and is not a list that crossbrace wrote", shown(path)))
    })
}

fn parse_list(text: &str) -> Option<List> {
    let value: Value = serde_json::from_str(text).ok()?;
    let object = value.as_object().filter(|object| object.keys().all(|key| key == "model" || key == "files"))?;
    let model = match object.get("model") {
        Some(model) => Some(model.as_str()?.to_owned()),
        None => None,
    };
    let files = object.get("files")?.as_object()?;
    let files = files
        .iter()
        .map(|(name, hashes)| {
            let plain = !name.is_empty() && !name.contains(['/', '\\']) && name != "." && name != "..";
            let hashes: Option<Vec<String>> = match hashes {
                Value::String(one) => Some(vec![one.clone()]),
                Value::Array(many) => many.iter().map(|one| one.as_str().map(str::to_owned)).collect(),
                _ => None,
            };
            plain.then_some(())?;
            Some((name.clone(), hashes?))
        })
        .collect::<Option<_>>()?;
    Some(List { model, files })
}

/// A name for a file or folder: letters and digits stay, other signs become `-`; at most 64 bytes.
pub(crate) fn plain_name(name: &str) -> String {
    let mut text = String::new();
    for letter in name.chars() {
        let letter = if letter.is_alphanumeric() { letter } else { '-' };
        if letter != '-' || !(text.is_empty() || text.ends_with('-')) {
            text.push(letter);
        }
    }
    while text.len() > 64 || text.ends_with('-') {
        text.pop();
    }
    if text.is_empty() { "unnamed".to_owned() } else { text }
}

/// The name of a numbered file: `03-left-bend.svg`, at most 100 bytes.
pub(crate) fn file_name(number: usize, name: &str, ending: &str) -> String {
    format!("{number:02}-{}.{ending}", plain_name(name))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A folder of its own for each test, removed when the test ends.
    struct Scratch(PathBuf);

    impl Scratch {
        fn new(name: &str) -> Self {
            let path = std::env::temp_dir().join(format!("crossbrace-{}-{name}", std::process::id()));
            let _ = fs::remove_dir_all(&path);
            fs::create_dir_all(&path).unwrap();
            Scratch(path)
        }

        fn names(&self) -> Vec<String> {
            let mut names: Vec<String> =
                fs::read_dir(&self.0).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
            names.sort();
            names
        }

        fn text(&self, name: &str) -> String {
            fs::read_to_string(self.0.join(name)).unwrap()
        }
    }

    impl Drop for Scratch {
        fn drop(&mut self) {
            let _ = fs::remove_dir_all(&self.0);
        }
    }

    /// A whole run that ends well.
    fn run(folder: &Path, files: &Files) -> Result<(), Trouble> {
        deliver(vec![(folder.to_path_buf(), files.clone(), WayOut::OUT)], None).map(Delivered::finish)
    }

    fn files(pairs: &[(&str, &str)]) -> Files {
        pairs.iter().map(|(name, text)| ((*name).to_owned(), text.as_bytes().to_vec())).collect()
    }

    #[test]
    fn a_second_run_replaces_its_own_files_and_removes_those_no_longer_made() {
        let scratch = Scratch::new("second");
        run(&scratch.0, &files(&[("a.svg", "1"), ("b.svg", "1")])).unwrap();
        fs::write(scratch.0.join("mine.txt"), "keep").unwrap();
        run(&scratch.0, &files(&[("a.svg", "2")])).unwrap();
        assert_eq!(scratch.names(), ["a.svg", "files.json", "mine.txt"]);
        assert_eq!(scratch.text("a.svg"), "2");
    }

    #[test]
    fn a_file_of_somebody_else_is_never_overwritten() {
        let scratch = Scratch::new("other");
        fs::write(scratch.0.join("b.svg"), "mine").unwrap();
        let trouble = run(&scratch.0, &files(&[("a.svg", "1"), ("b.svg", "1")])).unwrap_err();
        assert!(trouble.0.contains("b.svg is in the way"), "{trouble}");
        assert_eq!(scratch.names(), ["b.svg"]);
        assert_eq!(scratch.text("b.svg"), "mine");
    }

    #[test]
    fn a_file_that_was_changed_since_is_neither_overwritten_nor_removed() {
        let scratch = Scratch::new("changed");
        run(&scratch.0, &files(&[("a.svg", "1"), ("b.svg", "1")])).unwrap();
        fs::write(scratch.0.join("b.svg"), "my notes").unwrap();
        for again in [files(&[("a.svg", "2"), ("b.svg", "2")]), files(&[("a.svg", "2")])] {
            let trouble = run(&scratch.0, &again).unwrap_err();
            assert!(trouble.0.contains("b.svg was changed since"), "{trouble}");
            assert_eq!((scratch.text("a.svg"), scratch.text("b.svg")), ("1".to_owned(), "my notes".to_owned()));
        }
    }

    #[test]
    fn a_run_killed_after_any_step_locks_nobody_out() {
        let scratch = Scratch::new("killed");
        let (first, second) = (files(&[("a.svg", "1"), ("b.svg", "1")]), files(&[("a.svg", "2"), ("c.svg", "2")]));
        for step in 1..4 {
            let _ = fs::remove_dir_all(&scratch.0);
            run(&scratch.0, &first).unwrap();
            let mut delivery = Delivery::new(scratch.0.clone(), second.clone(), None).unwrap();
            delivery.mark = 1; // another process
            delivery.write_temporaries().unwrap();
            delivery.write_list(&delivery.list_on_the_way()).unwrap();
            if step == 2 {
                fs::rename(scratch.0.join("a.svg"), scratch.0.join(delivery.set_aside("a.svg"))).unwrap();
            }
            if step == 3 {
                delivery.move_into_place(&mut Vec::new()).unwrap();
            }
            run(&scratch.0, &second).unwrap();
            assert_eq!(scratch.names(), ["a.svg", "c.svg", "files.json"], "killed after step {step}");
        }
    }

    #[test]
    fn what_is_taken_back_leaves_every_folder_as_it_was() {
        let scratch = Scratch::new("back");
        run(&scratch.0, &files(&[("a.svg", "1"), ("b.svg", "1")])).unwrap();
        let before = scratch.text(LIST);
        let new = scratch.0.join("new").join("deep");
        let sheets = (scratch.0.clone(), files(&[("a.svg", "2"), ("c.svg", "2")]), WayOut::OUT);
        let both = vec![sheets, (new, files(&[("d.csv", "2")]), WayOut::CSV)];
        deliver(both, None).unwrap().take_back();
        assert_eq!(scratch.names(), ["a.svg", "b.svg", "files.json"]);
        assert_eq!((scratch.text("a.svg"), scratch.text(LIST)), ("1".to_owned(), before));
    }

    #[test]
    fn a_folder_named_twice_holds_the_files_of_both() {
        let scratch = Scratch::new("twice");
        let sheets = (scratch.0.clone(), files(&[("a.svg", "1")]), WayOut::OUT);
        let both = vec![sheets, (scratch.0.join("."), files(&[("b.csv", "1")]), WayOut::CSV)];
        deliver(both, None).unwrap().finish();
        assert_eq!(scratch.names(), ["a.svg", "b.csv", "files.json"]);
    }

    #[test]
    fn a_list_that_is_not_ours_stops_the_run() {
        let scratch = Scratch::new("list");
        fs::write(scratch.0.join(LIST), "{\"version\": 3}").unwrap();
        assert!(run(&scratch.0, &files(&[("a.svg", "1")])).is_err());
        assert_eq!(scratch.names(), [LIST]);
    }

    #[test]
    fn a_case_name_becomes_a_harmless_file_name() {
        assert_eq!(file_name(3, "left bend / on the brakes!", "svg"), "03-left-bend-on-the-brakes.svg");
        assert_eq!(file_name(1, "../..", "svg"), "01-unnamed.svg");
        assert_eq!(file_name(12, &"ü".repeat(64), "svg").len(), 3 + 64 + 4);
    }
}
