//! Reading a tree into types: all mistakes are collected, none ends the reading.
//!
//! A type implements [`Read`]; `None` means that a problem is on the list. [`record!`] makes an
//! object's type, its reader and its schema from one list of keys.

use indexmap::IndexMap;
use schemars::{Schema, SchemaGenerator, json_schema};
use unicode_properties::{GeneralCategory, UnicodeGeneralCategory};

use super::problem::{Path, Problem, Step, choice, name_list, nearest};
use super::tree::{Entry, Node, Span, Value};
use crate::units::Quantity;

/// Collects problems while a tree is read.
#[derive(Debug, Default)]
pub struct Reader {
    /// What was found so far.
    pub problems: Vec<Problem>,
    /// The way to each key that is given twice; it may have been meant for one that is missing.
    repeated: Vec<Path>,
    path: Path,
    places: Vec<Span>,
}

impl Reader {
    /// A reader of a tree in which some keys are given twice.
    pub fn of_repeated(repeated: &[Path]) -> Self {
        Reader { repeated: repeated.to_vec(), ..Reader::default() }
    }

    /// Reads the value of a key, or the element of a list, one step further down.
    fn within<T>(&mut self, step: Step, place: Span, inside: impl FnOnce(&mut Reader) -> T) -> T {
        self.path.0.push(step);
        self.places.push(place);
        let result = inside(self);
        self.path.0.pop();
        self.places.pop();
        result
    }

    /// Reads the value of one key.
    pub fn key<T: Read>(&mut self, entry: &Entry) -> Option<T> {
        self.within(Step::from(&entry.key), entry.key_span.clone(), |reader| T::read(&entry.node, reader))
    }

    /// Reads one element of a list.
    pub fn element<T: Read>(&mut self, index: usize, node: &Node) -> Option<T> {
        self.within(Step::Index(index), node.span.clone(), |reader| T::read(node, reader))
    }

    /// Notes that this value cannot be used; always `None`, so that it ends a reader.
    pub fn refuse<T>(&mut self, node: &Node, message: impl Into<String>) -> Option<T> {
        let place = self.places.last().cloned().unwrap_or(node.span.start..node.span.start + 1);
        self.problems.push(Problem::new(self.path.clone(), place, message));
        None
    }

    /// The same with what to do about it.
    pub fn refuse_with_hint<T>(
        &mut self,
        node: &Node,
        message: impl Into<String>,
        hint: impl Into<String>,
    ) -> Option<T> {
        self.refuse::<T>(node, message);
        if let Some(problem) = self.problems.last_mut() {
            problem.hint = Some(hint.into());
        }
        None
    }

    /// Notes a key that is not known here, with the nearest that is.
    pub fn unknown_key(&mut self, entry: &Entry, known: &[&str]) {
        let mut problem = Problem::new(
            self.path.then(&entry.key),
            entry.key_span.clone(),
            format!("\"{}\" is not a key that is known here", entry.key),
        );
        problem.is_unknown_key = true;
        problem.hint = Some(match nearest(&entry.key, known.iter().copied()) {
            Some(near) => format!("did you mean \"{near}\"?"),
            None => format!("known here: {}", name_list(known.iter().copied())),
        });
        self.problems.push(problem);
    }

    /// Notes a key that an object lacks, unless a mistyped form of it stands there among keys that
    /// are not known, or another key twice; `about` says what belongs there.
    pub fn missing_key(&mut self, node: &Node, key: &str, known: &[&str], about: &str) {
        let misspelt = |entry: &Entry| !known.contains(&entry.key.as_str()) && nearest(&entry.key, [key]).is_some();
        let repeats = || self.repeated.iter().any(|path| path.parent() == Some(self.path.0.as_slice()));
        if !node.entries().iter().any(misspelt) && !repeats() {
            let place = node.span.start..node.span.start + 1;
            let mut problem = Problem::new(self.path.clone(), place, format!("\"{key}\" is missing"));
            problem.lacks = Some(key.to_owned());
            let about = about.lines().map(str::trim).collect::<Vec<_>>().join(" ").replace('`', "");
            let about = about.trim_end_matches('.');
            if about.to_lowercase() != key.replace('_', " ") {
                problem.hint = Some(format!("\"{key}\": {about}"));
            }
            self.problems.push(problem);
        }
    }

    /// Notes that an object has none of several keys, unless something in it could not be read or
    /// stands there twice, which may be what is missing.
    pub fn none_of<T>(&mut self, node: &Node, message: impl Into<String>, hint: Option<&str>) -> Option<T> {
        let mut unsure = self.problems.iter().map(|problem| &problem.path).chain(&self.repeated);
        if !unsure.any(|path| path.is_within(&self.path)) {
            let place = node.span.start..node.span.start + 1;
            let mut problem = Problem::new(self.path.clone(), place, message);
            problem.hint = hint.map(str::to_owned);
            self.problems.push(problem);
        }
        None
    }

    /// Notes that two keys of an object exclude each other, at the one that was written later.
    pub fn both<T>(&mut self, node: &Node, keys: [&str; 2], message: &str) -> Option<T> {
        let place = |key: &str| node.entries().iter().position(|entry| entry.key == key);
        let [earlier, later] = if place(keys[0]) <= place(keys[1]) { keys } else { [keys[1], keys[0]] };
        if let Some(entry) = node.entry(later) {
            let problem = Problem::new(self.path.then(later), entry.key_span.clone(), message);
            self.problems.push(problem.hint(one_or_the_other(earlier)));
        }
        None
    }
}

/// What to do about a second key that excludes one written before it.
pub fn one_or_the_other(earlier: &str) -> String {
    format!("take one of the two out; the change of an option takes out the old one with \"{earlier}\": null")
}

/// A type that can be read from a tree.
pub trait Read: Sized {
    /// The value, or `None` after noting what is wrong with it.
    fn read(node: &Node, reader: &mut Reader) -> Option<Self>;
    /// What it may look like, for the JSON Schema.
    fn schema(generator: &mut SchemaGenerator) -> Schema;
}

impl Read for f64 {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Number(text) => match text.parse::<f64>() {
                Ok(value) if value.is_finite() => Some(value),
                _ => reader.refuse(node, format!("{text} is out of range")),
            },
            Value::Text(text) => reader
                .refuse(node, format!("\"{text}\" is a text; here stands a plain number, without unit and quotes")),
            _ => reader.refuse(node, format!("expected a number, found {}", node.kind())),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "number" })
    }
}

/// A whole number from 0 on.
impl Read for usize {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        /// Above it not every whole number is one that an `f64` has.
        const LARGEST: f64 = 9_007_199_254_740_992.0;
        let value = f64::read(node, reader)?;
        if value.fract() == 0.0 && (0.0..=LARGEST).contains(&value) {
            return Some(value as usize);
        }
        reader.refuse(node, format!("expected a whole number from 0 on, found {value}"))
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "integer", "minimum": 0 })
    }
}

impl Read for bool {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match node.value {
            Value::Bool(value) => Some(value),
            _ => reader.refuse(node, format!("expected true or false, found {}", node.kind())),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "boolean" })
    }
}

impl Read for String {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::Text(text) => Some(text.clone()),
            _ => reader.refuse(node, format!("expected a text, found {}", node.kind())),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        json_schema!({ "type": "string" })
    }
}

impl<T: Read> Read for Option<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        T::read(node, reader).map(Some)
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        T::schema(generator)
    }
}

/// Reads every element, even behind a wrong one.
fn read_elements<T: Read>(elements: &[Node], reader: &mut Reader) -> Option<Vec<T>> {
    let read: Vec<Option<T>> =
        elements.iter().enumerate().map(|(index, element)| reader.element(index, element)).collect();
    read.into_iter().collect()
}

impl<T: Read> Read for Vec<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        match &node.value {
            Value::List(elements) => read_elements(elements, reader),
            _ => reader.refuse(node, format!("expected a list, found {}", node.kind())),
        }
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let items = T::schema(generator);
        json_schema!({ "type": "array", "items": items })
    }
}

/// What to say of a list with a number too many, which may come from a decimal comma; names the
/// first two neighbours that look like one number because no blank parts them.
fn decimal_comma(elements: &[Node]) -> Option<String> {
    let numbers = |pair: &[Node]| match (&pair[0].value, &pair[1].value) {
        (Value::Number(whole), Value::Number(fraction)) => {
            let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
            let like_one = digits(whole.strip_prefix('-').unwrap_or(whole)) && digits(fraction);
            like_one.then(|| (pair[1].span.start == pair[0].span.end + 1, whole.clone(), fraction.clone()))
        }
        _ => None,
    };
    let pairs: Vec<(bool, String, String)> = elements.windows(2).filter_map(numbers).collect();
    let example = match pairs.iter().find(|(close, ..)| *close) {
        Some((_, whole, fraction)) => format!(": {whole}.{fraction}, not {whole},{fraction}"),
        None if pairs.is_empty() => return None,
        None => ", as 200.5".to_owned(),
    };
    Some(format!("a decimal is written with a point{example}"))
}

impl<T: Read, const N: usize> Read for [T; N] {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Value::List(elements) = &node.value else {
            return reader.refuse(node, format!("expected a list of {N}, found {}", node.kind()));
        };
        if elements.len() != N {
            let message = format!("expected {N} elements, found {}", elements.len());
            let decimal = decimal_comma(elements).filter(|_| elements.len() > N);
            return match decimal {
                Some(hint) => reader.refuse_with_hint(node, message, hint),
                None => reader.refuse(node, message),
            };
        }
        read_elements(elements, reader)?.try_into().ok()
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let items = T::schema(generator);
        json_schema!({ "type": "array", "items": items, "minItems": N, "maxItems": N })
    }
}

impl<Q: Quantity> Read for Q {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let kind = Q::KIND;
        match &node.value {
            Value::Text(text) => match kind.parse(text) {
                Ok(value) => Some(Q::from_default_unit(value)),
                Err(message) => reader.refuse(node, message),
            },
            Value::Number(text) => {
                let value = f64::read(node, reader)?;
                match kind.in_range(value, text) {
                    Ok(value) => Some(Q::from_default_unit(value)),
                    Err(message) => reader.refuse(node, message),
                }
            }
            _ => reader.refuse(
                node,
                format!(
                    "expected {} ({}, or a text with its unit), found {}",
                    kind.with_article(),
                    kind.default_unit(),
                    node.kind()
                ),
            ),
        }
    }
    fn schema(_: &mut SchemaGenerator) -> Schema {
        let kind = Q::KIND;
        json_schema!({
            "type": ["number", "string"],
            "description": format!("{}: a number in {}, or a text with its unit ({})", kind.name, kind.default_unit(), kind.unit_list()),
        })
    }
}

/// How an object of these keys is written: `write {"od": …, "wall": …}`.
pub fn object_of(keys: &[&str]) -> String {
    let keys: Vec<String> = keys.iter().filter(|key| **key != "note").map(|key| format!("\"{key}\": …")).collect();
    format!("write {{{}}}", keys.join(", "))
}

/// How an object of these keys is written that stands there as a text of its figures: `30x1.5`. One
/// without figures where the text has none.
pub fn object_of_text(keys: &[&str], text: &str) -> String {
    let parts: Vec<&str> = text.split(['x', 'X', '×', '*']).map(str::trim).collect();
    let keys_of_figures: Vec<&str> = keys.iter().copied().filter(|key| *key != "note").collect();
    let figures = || -> Option<Vec<String>> {
        if !(2..=keys_of_figures.len()).contains(&parts.len()) {
            return None;
        }
        let figure = |part: &&str| {
            let is_figure = part.starts_with(|letter: char| letter.is_ascii_digit());
            let is_bare = serde_json::from_str::<serde_json::Number>(part).is_ok();
            is_figure.then(|| if is_bare { (*part).to_owned() } else { format!("\"{part}\"") })
        };
        parts.iter().map(figure).collect()
    };
    match figures() {
        Some(figures) => {
            let keyed: Vec<String> =
                keys_of_figures.iter().zip(figures).map(|(key, figure)| format!("\"{key}\": {figure}")).collect();
            format!("write {{{}}}", keyed.join(", "))
        }
        None => object_of(keys),
    }
}

/// One of a few words; `or` says what else may stand there: `or an object of rates`.
///
/// A word that is not among them is told with all that may stand there, and the nearest.
pub fn read_word<T: Copy>(node: &Node, reader: &mut Reader, words: &[(&str, T)], or: &str) -> Option<T> {
    let known = || words.iter().map(|(word, _)| *word);
    let expected = match or {
        "" => choice(known()),
        _ => format!("{}, {or}", known().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ")),
    };
    let Value::Text(text) = &node.value else {
        return reader.refuse(node, format!("expected {expected}, found {}", node.kind()));
    };
    match words.iter().find(|(word, _)| word == text) {
        Some((_, value)) => Some(*value),
        None => {
            let message = format!("expected {expected}, found \"{text}\"");
            match nearest(text, known()) {
                Some(near) => reader.refuse_with_hint(node, message, format!("did you mean \"{near}\"?")),
                None => reader.refuse(node, message),
            }
        }
    }
}

/// Everything of one kind that has a name, in the order it is written in.
///
/// An entry that cannot be read is left out (its problem is on the list), so that what else is
/// wrong is found in the same run.
pub type Named<T> = IndexMap<String, T>;

/// Values by what they belong to: like [`Named`], but the keys are no names of their own.
#[derive(Debug, Clone, PartialEq)]
pub struct Keyed<T>(pub IndexMap<String, T>);

impl<T> Default for Keyed<T> {
    fn default() -> Self {
        Keyed(IndexMap::new())
    }
}

impl<T: Read> Read for Keyed<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Value::Object(entries) = &node.value else {
            return reader.refuse(node, format!("expected an object of names, found {}", node.kind()));
        };
        let read = entries.iter().filter_map(|entry| reader.key::<T>(entry).map(|value| (entry.key.clone(), value)));
        Some(Keyed(read.collect()))
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let values = T::schema(generator);
        json_schema!({ "type": "object", "additionalProperties": values })
    }
}

impl<T: Read> Read for Named<T> {
    fn read(node: &Node, reader: &mut Reader) -> Option<Self> {
        let Value::Object(entries) = &node.value else {
            return reader.refuse(node, format!("expected an object of names, found {}", node.kind()));
        };
        let mut named = Named::with_capacity(entries.len());
        for entry in entries {
            if let Err(message) = check_name(&entry.key) {
                reader.within(Step::from(&entry.key), entry.key_span.clone(), |reader| {
                    reader.refuse::<()>(&entry.node, message)
                });
            }
            if let Some(value) = reader.key::<T>(entry) {
                named.insert(entry.key.clone(), value);
            }
        }
        Some(named)
    }
    fn schema(generator: &mut SchemaGenerator) -> Schema {
        let values = T::schema(generator);
        json_schema!({
            "type": "object",
            "propertyNames": { "minLength": 1, "maxLength": 64, "pattern": "^[^/]+$" },
            "additionalProperties": values,
        })
    }
}

/// Whether a text may be a name: 1 to 64 characters, not only blanks, no control or format
/// characters (Unicode Cc, Cf), no `/`.
///
/// # Errors
/// What is wrong with it, as a sentence.
pub fn check_name(name: &str) -> Result<(), String> {
    if name.trim().is_empty() {
        return Err("a name may not be empty or blank".to_owned());
    }
    if name.chars().count() > 64 {
        return Err("a name may have at most 64 characters".to_owned());
    }
    for letter in name.chars() {
        if letter == '/' {
            return Err("a name may not hold \"/\"".to_owned());
        }
        if matches!(letter.general_category(), GeneralCategory::Control | GeneralCategory::Format) {
            return Err(format!("a name may not hold the invisible character U+{:04X}", u32::from(letter)));
        }
    }
    Ok(())
}

/// Makes an object of the model file: the struct, its docs, [`Read`] and its JSON Schema.
///
/// A field without `=` is required; `as "key"` gives the key where it is no Rust name. Every
/// object also takes a `note` (text). All keys are read, and a key with a default takes it where
/// its value cannot be used (which is on the list of problems), so that what else is wrong with
/// the object is found in the same run.
#[macro_export]
macro_rules! record {
    (@key $field:ident) => { stringify!($field) };
    (@key $field:ident $key:literal) => { $key };
    (@required) => { true };
    (@required $default:expr) => { false };
    (@absent $node:ident, $reader:ident, $key:expr, $about:expr,) => {{
        $reader.missing_key($node, $key, Self::KEYS, $about);
        None
    }};
    (@absent $node:ident, $reader:ident, $key:expr, $about:expr, $default:expr) => { Some($default) };
    (@unread) => { None };
    (@unread $default:expr) => { Some($default) };
    ($(
        $(#[doc = $about:literal])*
        $name:ident {
            $(
                $(#[doc = $doc:literal])*
                $field:ident $(as $key:literal)? : $type:ty $(= $default:expr)?
            ),+ $(,)?
        }
    )+) => {$(
        $(#[doc = $about])*
        #[derive(Debug, Clone, PartialEq)]
        pub struct $name {
            $( $(#[doc = $doc])* pub $field: $type, )+
        }

        impl $name {
            /// The keys of this object, in the order of the format page.
            pub const KEYS: &'static [&'static str] = &[$( $crate::record!(@key $field $($key)?), )+ "note"];
        }

        impl $crate::source::Read for $name {
            fn read(node: &$crate::source::Node, reader: &mut $crate::source::Reader) -> Option<Self> {
                let $crate::source::Value::Object(entries) = &node.value else {
                    let message = format!("expected an object with the keys {}, found {}", $crate::source::name_list(Self::KEYS.iter().copied()), node.kind());
                    return match node.value {
                        $crate::source::Value::Text(ref text) => {
                            let hint = $crate::source::object_of_text(Self::KEYS, text);
                            reader.refuse_with_hint(node, message, hint)
                        }
                        _ => reader.refuse(node, message),
                    };
                };
                for entry in entries {
                    if entry.key == "note" {
                        reader.key::<String>(entry);
                    } else if !Self::KEYS.contains(&entry.key.as_str()) {
                        reader.unknown_key(entry, Self::KEYS);
                    }
                }
                $(
                    let $field: Option<$type> = {
                        let key = $crate::record!(@key $field $($key)?);
                        match node.entry(key) {
                            Some(entry) => reader.key(entry).or_else(|| $crate::record!(@unread $($default)?)),
                            None => {
                                $crate::record!(@absent node, reader, key, concat!($($doc, "\n"),*).trim(), $($default)?)
                            }
                        }
                    };
                )+
                Some(Self { $( $field: $field?, )+ })
            }

            fn schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                generator.subschema_for::<Self>()
            }
        }

        impl schemars::JsonSchema for $name {
            fn schema_name() -> std::borrow::Cow<'static, str> {
                stringify!($name).into()
            }
            fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
                let mut properties = serde_json::Map::new();
                let mut required: Vec<&str> = Vec::new();
                $(
                    let key = $crate::record!(@key $field $($key)?);
                    let about = concat!($($doc, "\n"),*).trim();
                    properties.insert(key.to_owned(), $crate::source::described(<$type as $crate::source::Read>::schema(generator), about));
                    if $crate::record!(@required $($default)?) {
                        required.push(key);
                    }
                )+
                properties.insert("note".to_owned(), serde_json::json!({ "type": "string", "description": "Anything you want to say here." }));
                schemars::json_schema!({
                    "type": "object",
                    "description": concat!($($about, "\n"),*).trim(),
                    "properties": properties,
                    "required": required,
                    "additionalProperties": false,
                })
            }
        }
    )+};
}

/// A schema with the description of the key it stands at; beside a reference both are kept.
pub fn described(schema: Schema, about: &str) -> serde_json::Value {
    let mut value = schema.to_value();
    if let Some(object) = value.as_object_mut() {
        let about = about.lines().map(str::trim).collect::<Vec<_>>().join(" ");
        let whole = match object.get("description").and_then(|own| own.as_str()) {
            Some(own) if !own.is_empty() => format!("{about} ({own})"),
            _ => about,
        };
        object.insert("description".to_owned(), whole.into());
    }
    value
}
