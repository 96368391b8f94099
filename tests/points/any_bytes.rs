//! Whatever a file holds, reading it ends in an answer.

use crossbrace::exchange::{JoinBy, join, place, read_drawing, read_table};
use crossbrace::source::Document;
use crossbrace::units::LengthUnit;
use proptest::prelude::*;

use crate::support::read;

/// A text of these pieces in any order and number.
fn pieces(of: &'static [&'static str]) -> impl Strategy<Value = String> {
    prop::collection::vec(prop::sample::select(of), 0..60).prop_map(|chosen| chosen.concat())
}

const TABLE: &[&str] = &[
    "UF.l",
    "UF.r",
    "front.l/upper.outer",
    "new",
    "\u{feff}",
    "ü",
    "'=",
    "\"",
    "1",
    "2.5",
    "-3",
    "1,5",
    "1e999",
    "x (in)",
    "y",
    "z",
    ",",
    ",",
    ",",
    ";",
    "\t",
    "\n",
    "\n",
    "\r\n",
    "\r",
    " ",
    ".",
    "",
];
const DRAWING: &[&str] = &[
    "0\nSECTION\n2\nENTITIES\n",
    "0\nSECTION\n2\nHEADER\n9\n$INSUNITS\n70\n4\n",
    "0\nENDSEC\n",
    "0\nEOF\n",
    "0\nLINE\n",
    "0\nLWPOLYLINE\n",
    "0\nPOLYLINE\n",
    "0\nVERTEX\n",
    "0\nSEQEND\n",
    "0\nARC\n",
    "8\nü/x\n",
    "10\n0\n20\n0\n30\n0\n",
    "10\n500\n20\n1\n",
    "11\n-1e3\n21\n2\n31\n7\n",
    "11\n1e308\n21\n2\n",
    "70\n1\n",
    "70\n8\n",
    "42\n1\n",
    "210\n0\n",
    "230\n0\n",
    "230\n-1\n",
    "67\n1\n",
    "\n",
    "x",
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 2000, ..ProptestConfig::default() })]

    #[test]
    fn a_table_of_anything_is_read_or_refused(text in pieces(TABLE)) {
        let document = Document::read(read("models/car.json").into()).unwrap();
        let read = read_table(text.as_bytes(), None);
        if read.bad.is_empty() {
            let rows = read.rows;
            prop_assert!(rows.iter().all(|row| row.at.iter().all(|coordinate| coordinate.is_finite())));
            if let Ok(placed) = place(&document, &rows, true) {
                prop_assert!(Document::read(placed.text.into()).is_ok(), "what comes out is JSON");
            }
        }
    }

    #[test]
    fn a_drawing_of_anything_is_read_or_refused(entities in pieces(DRAWING), whole in any::<bool>()) {
        let document = Document::read(read("models/car.json").into()).unwrap();
        let text = if whole { format!("0\nSECTION\n2\nENTITIES\n{entities}0\nENDSEC\n0\nEOF\n") } else { entities };
        if let Ok(drawing) = read_drawing(text.as_bytes()) {
            let by = JoinBy { tube: "rail", unit_mm: 1.0, within_mm: 1.0 };
            // Where there is nothing to touch, lines are joined that touch nothing.
            let empty = Document::read(br#"{"mirror": true, "nodes": {}, "members": {}}"#.to_vec()).unwrap();
            for model in [&document, &empty] {
                if let Ok(joined) = join(model, &drawing.lines, &by) {
                    prop_assert!(Document::read(joined.text.into()).is_ok(), "what comes out is JSON");
                }
            }
        }
    }

    #[test]
    fn bytes_of_any_kind_are_read_or_refused(bytes in prop::collection::vec(any::<u8>(), 0..200)) {
        let _ = read_table(&bytes, LengthUnit::named("in"));
        let _ = read_drawing(&bytes);
    }
}
