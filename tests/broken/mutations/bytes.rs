//! Damage to the bytes of a text.

use super::chance::Chance;

/// What is written over or into a text: words of JSON, signs that hurt, and bytes that are no UTF-8.
const PIECES: [&[u8]; 30] = [
    b"\0",
    b"\x1b[2J",
    b"\x7f",
    b"\r",
    b"\t",
    b"\xff",
    b"\xc3",
    b"\xed\xa0\x80",
    b"\xf4\x90\x80\x80",
    b"\xc0\xaf",
    b"\xef\xbb\xbf",
    b"\xe2\x80\xae",
    b"\\ud800",
    b"\\u0000",
    b"\\",
    b"\"",
    b"{",
    b"}",
    b"[",
    b"]",
    b",",
    b":",
    b"-",
    b"e9",
    b"0",
    b".",
    b"null",
    b"NaN",
    b"1e999",
    b"// ",
];

/// The text with one to three places damaged.
pub(super) fn mutate(text: &str, chance: &mut Chance) -> Vec<u8> {
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=chance.below(3) {
        damage(&mut bytes, chance);
    }
    bytes
}

fn damage(bytes: &mut Vec<u8>, chance: &mut Chance) {
    let at = chance.below(bytes.len());
    let end = (at + 1 + chance.below(40)).min(bytes.len());
    match chance.below(9) {
        0 if !bytes.is_empty() => bytes[at] ^= 1 << chance.below(8),
        1 => bytes.insert(at, u8::try_from(chance.below(256)).unwrap()),
        2 => drop(bytes.drain(at..end)),
        3 => {
            let slice = bytes[at..end].to_vec();
            let to = chance.below(bytes.len());
            bytes.splice(to..to, slice);
        }
        4 => bytes.truncate(at),
        5 => drop(bytes.splice(at..at, chance.one_of(&PIECES).iter().copied())),
        6 => drop(bytes.splice(at..end, chance.one_of(&PIECES).iter().copied())),
        // A digit for a digit: most of what is still a model comes from here.
        _ => {
            let digits: Vec<usize> = (0..bytes.len()).filter(|at| bytes[*at].is_ascii_digit()).collect();
            if !digits.is_empty() {
                bytes[*chance.one_of(&digits)] = *chance.one_of(b"0123456789-.e");
            }
        }
    }
}
