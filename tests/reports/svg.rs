//! Reads the SVG of a sheet back: strict about what XML asks, and only as wide as sheets need.

/// An element with its attributes and the text in it.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Element {
    pub name: String,
    pub attributes: Vec<(String, String)>,
    pub text: String,
}

/// A place or a size on the paper, 0.1 mm.
pub(super) type Place = (f64, f64);

impl Element {
    pub(super) fn attribute(&self, name: &str) -> &str {
        let found = self.attributes.iter().find(|(known, _)| known == name);
        found.map(|(_, value)| value.as_str()).unwrap_or_else(|| panic!("no {name} in {self:?}"))
    }

    pub(super) fn number(&self, name: &str) -> f64 {
        parsed(self.attribute(name))
    }

    /// The points of a line or shape, or a circle's outermost ones.
    pub(super) fn points(&self) -> Vec<Place> {
        match self.name.as_str() {
            "polyline" | "polygon" => self
                .attribute("points")
                .split_whitespace()
                .map(|pair| {
                    let (x, y) = pair.split_once(',').unwrap_or_else(|| panic!("{pair} is no place"));
                    (parsed(x), parsed(y))
                })
                .collect(),
            "circle" => {
                let (x, y, r) = (self.number("cx"), self.number("cy"), self.number("r"));
                vec![(x - r, y - r), (x + r, y + r)]
            }
            "text" => vec![(self.number("x"), self.number("y"))],
            _ => Vec::new(),
        }
    }
}

fn parsed(text: &str) -> f64 {
    text.parse().unwrap_or_else(|_| panic!("{text} is no number"))
}

/// The elements of a sheet in their order; panics where it is no well-formed XML.
pub(super) fn elements(svg: &str) -> Vec<Element> {
    for letter in svg.chars() {
        let allowed = matches!(letter, '\t' | '\n' | '\r' | ' '..='\u{d7ff}' | '\u{e000}'..='\u{fffd}' | '\u{10000}'..);
        assert!(allowed, "U+{:04X} may not stand in XML", u32::from(letter));
    }
    let mut found: Vec<Element> = Vec::new();
    let mut open: Vec<usize> = Vec::new();
    let mut rest = svg;
    while let Some(at) = rest.find('<') {
        let text = decoded(&rest[..at]);
        match open.last() {
            Some(place) => found[*place].text.push_str(text.trim()),
            None => assert_eq!(text.trim(), "", "text outside of the root"),
        }
        let end = rest.find('>').expect("a tag ends");
        let tag = &rest[at + 1..end];
        assert!(!tag.contains('<'), "a tag in a tag: {tag}");
        rest = &rest[end + 1..];
        if let Some(name) = tag.strip_prefix('/') {
            let place = open.pop().expect("an end tag has a start tag");
            assert_eq!(found[place].name, name);
            continue;
        }
        assert!(!open.is_empty() || found.is_empty(), "a second root");
        let closed = tag.ends_with('/');
        found.push(element(tag.trim_end_matches('/')));
        if !closed {
            open.push(found.len() - 1);
        }
    }
    assert_eq!(rest.trim(), "");
    assert!(open.is_empty(), "{open:?} are not closed");
    found
}

fn element(tag: &str) -> Element {
    let (name, mut rest) = tag.split_once(' ').unwrap_or((tag, ""));
    let mut attributes: Vec<(String, String)> = Vec::new();
    while !rest.trim().is_empty() {
        let (key, after) = rest.split_once("=\"").unwrap_or_else(|| panic!("{tag}"));
        let (value, after) = after.split_once('"').unwrap_or_else(|| panic!("{tag}"));
        let key = key.trim().to_owned();
        assert!(attributes.iter().all(|(known, _)| *known != key), "{key} twice in {tag}");
        attributes.push((key, decoded(value)));
        rest = after;
    }
    Element { name: name.to_owned(), attributes, text: String::new() }
}

fn decoded(text: &str) -> String {
    let mut plain = String::new();
    let mut rest = text;
    while let Some(at) = rest.find('&') {
        plain.push_str(&rest[..at]);
        let (entity, after) = rest[at + 1..].split_once(';').expect("an ampersand begins an entity");
        plain.push(match entity {
            "lt" => '<',
            "gt" => '>',
            "amp" => '&',
            "quot" => '"',
            "apos" => '\'',
            other => panic!("unknown entity {other}"),
        });
        rest = after;
    }
    plain + rest
}
