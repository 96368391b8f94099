//! Damage to the structure of a model: keys, values and lists that stand where they should not.

use std::sync::LazyLock;

use serde_json::Value;

use super::chance::Chance;

/// A value that can be damaged beyond what JSON allows.
#[derive(Clone)]
enum Tree {
    Object(Vec<(String, Tree)>),
    List(Vec<Tree>),
    /// A text of JSON as it is, or of what is none.
    Raw(String),
}

/// Values that something or other does not expect.
static NASTY: LazyLock<Vec<String>> = LazyLock::new(|| {
    let short = [
        "null",
        "true",
        "false",
        "\"\"",
        "\" \"",
        "[]",
        "{}",
        "[[]]",
        "[null]",
        "{\"\": 0}",
        "0",
        "-0",
        "-1",
        "1",
        "2",
        "1e308",
        "-1e308",
        "-1e-308",
        "5e-324",
        "1e400",
        "1e9",
        "1e-9",
        "0.1e-3",
        "123456789012345678901234567890",
        "NaN",
        "Infinity",
        "\"NaN\"",
        "\"inf\"",
        "\"1e400\"",
        "\"-1e308 mm\"",
        "\"1e308 in\"",
        "\"5 kg\"",
        "\"5 mm\"",
        "\"3 furlong\"",
        "\"0 deg\"",
        "\"16 swg\"",
        "\"99 swg\"",
        "\"1,5 mm\"",
        "\"5 N m/deg\"",
        "\"\\u0000\"",
        "\"\\u001b[2J\"",
        "\"\\u202e\"",
        "\"\\ud800\"",
        "\"<b>&amp;\"",
        "\"=1+2\"",
        "\"fixed\"",
        "\"one bolt\"",
        "\"bolted pad\"",
        "\"rides\"",
        "\"clamp\"",
        "\"weld\"",
        "\"rod-end\"",
        "\"slide\"",
        "{\"hinge\": \"y\"}",
        "{\"rate\": {}}",
        "{\"rate\": {\"my\": 0}}",
        "\"none\"",
        "\"same\"",
        "\"upright\"",
        "\"strut\"",
        "\"inboard\"",
        "[0, 0, 0]",
        "[0, 0, -1e308]",
        "[1e9, -1e9, 1e9]",
        "[1, 2]",
        "[1, 2, 3, 4]",
        "[null, [0, 0, 0]]",
        "{\"at\": [0, 0, 0]}",
        "{\"x\": \"fixed\"}",
        "{\"x\": 0}",
        "{\"rx\": 1e-300}",
        "{\"g\": {}}",
    ];
    let mut all: Vec<String> = short.map(str::to_owned).to_vec();
    all.push(format!("{}{}", "[".repeat(100), "]".repeat(100)));
    all.push(format!("{}0{}", "{\"a\":".repeat(200), "}".repeat(200)));
    all.push(format!("\"{}\"", "long".repeat(5000)));
    all.push(format!("\"{}\"", "\u{fc}".repeat(64)));
    all.push(format!("[{}0]", "0,".repeat(2000)));
    all
});

/// The model with one to three places damaged, mostly one.
pub(super) fn mutate(text: &str, chance: &mut Chance) -> Vec<u8> {
    let mut tree = Tree::of(&serde_json::from_str(text).unwrap());
    let names = tree.names();
    for _ in 0..[1, 1, 1, 2, 3][chance.below(5)] {
        tree.damage(&names, chance);
    }
    let mut text = String::new();
    tree.write(&mut text);
    text.into_bytes()
}

impl Tree {
    fn of(value: &Value) -> Tree {
        match value {
            Value::Object(entries) => {
                Tree::Object(entries.iter().map(|(key, value)| (key.clone(), Tree::of(value))).collect())
            }
            Value::Array(list) => Tree::List(list.iter().map(Tree::of).collect()),
            other => Tree::Raw(other.to_string()),
        }
    }

    /// Every key and text, to be put where another one stands.
    fn names(&self) -> Vec<String> {
        match self {
            Tree::Object(entries) => {
                entries.iter().flat_map(|(key, inner)| [vec![key.clone()], inner.names()].concat()).collect()
            }
            Tree::List(list) => list.iter().flat_map(Tree::names).collect(),
            Tree::Raw(text) => serde_json::from_str::<String>(text).into_iter().collect(),
        }
    }

    fn count(&self) -> usize {
        1 + match self {
            Tree::Object(entries) => entries.iter().map(|(_, inner)| inner.count()).sum(),
            Tree::List(list) => list.iter().map(Tree::count).sum(),
            Tree::Raw(_) => 0,
        }
    }

    /// The value of a number, counted from this one through all within it, and the key it stands at.
    fn at(&mut self, number: usize) -> (Option<String>, &mut Tree) {
        if number == 0 {
            return (None, self);
        }
        let mut left = number - 1;
        match self {
            Tree::Object(entries) => {
                for (key, inner) in entries {
                    let count = inner.count();
                    if left < count {
                        let (deeper, tree) = inner.at(left);
                        return (deeper.or_else(|| Some(key.clone())), tree);
                    }
                    left -= count;
                }
            }
            Tree::List(list) => {
                for inner in list {
                    let count = inner.count();
                    if left < count {
                        return inner.at(left);
                    }
                    left -= count;
                }
            }
            Tree::Raw(_) => {}
        }
        unreachable!("a number is below the count")
    }

    fn damage(&mut self, names: &[String], chance: &mut Chance) {
        let count = self.count();
        let other = self.at(chance.below(count)).1.clone();
        // The file as a whole is damaged as any value is, but seldom.
        let (key, tree) = self.at(chance.below(count));
        let name = chance.one_of(names).clone();
        match (chance.below(10), &mut *tree) {
            (0 | 1, Tree::Object(entries)) if !entries.is_empty() => {
                let at = chance.below(entries.len());
                let taken = entries[at].clone();
                match chance.below(6) {
                    0 => drop(entries.remove(at)),
                    1 => entries[at].0 = name,
                    2 => entries[at].0.push('x'),
                    3 => entries.insert(chance.below(entries.len()), taken),
                    4 => entries.push((name, other)),
                    _ => {
                        let to = chance.below(entries.len());
                        entries[at].1 = std::mem::replace(&mut entries[to].1, taken.1);
                    }
                }
            }
            (0 | 1, Tree::List(list)) if !list.is_empty() => {
                let at = chance.below(list.len());
                match chance.below(4) {
                    0 => drop(list.remove(at)),
                    1 => list.insert(at, list[at].clone()),
                    2 => list.clear(),
                    _ => {
                        let to = chance.below(list.len());
                        list.swap(at, to);
                    }
                }
            }
            (2, _) => *tree = other,
            // What names itself, and what names something else.
            (3, _) => *tree = Tree::Raw(Value::String(key.unwrap_or_default()).to_string()),
            (4, _) => *tree = Tree::Raw(Value::String(name).to_string()),
            // A number stays one: most of what can still be solved comes from here.
            (5..=8, Tree::Raw(text)) if text.parse::<f64>().is_ok() => {
                let value: f64 = text.parse().unwrap();
                let factor =
                    *chance.one_of(&[0.0, -1.0, 0.5, 1.5, 2.0, 10.0, -10.0, 1e3, 1e-3, 1e6, 1e-9, 1e20, 1e-20]);
                *text = Value::from(value * factor).to_string();
            }
            _ => *tree = Tree::Raw(chance.one_of(&NASTY).clone()),
        }
    }

    fn write(&self, text: &mut String) {
        match self {
            Tree::Object(entries) => {
                text.push('{');
                for (place, (key, inner)) in entries.iter().enumerate() {
                    text.push_str(if place == 0 { "" } else { ",\n" });
                    text.push_str(&Value::String(key.clone()).to_string());
                    text.push(':');
                    inner.write(text);
                }
                text.push('}');
            }
            Tree::List(list) => {
                text.push('[');
                for (place, inner) in list.iter().enumerate() {
                    text.push_str(if place == 0 { "" } else { ", " });
                    inner.write(text);
                }
                text.push(']');
            }
            Tree::Raw(raw) => text.push_str(raw),
        }
    }
}
