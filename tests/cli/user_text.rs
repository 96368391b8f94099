//! Text of the user's own is shown as text: no page, picture, table or terminal obeys it.

use super::holding;
use crate::support::read;

/// The stand with names and texts that would do something where they are not made harmless.
fn hostile() -> String {
    let text = read("models/stand.json");
    let replaced = [
        (
            "\"A stand that holds an engine over a bench\"",
            r#""</title><script>alert(1)</script> \u001b[2J\u009b\u202e""#,
        ),
        ("\"Invented data.\"", r#""<img src=x onerror=alert(2)> \u0000\u0008 =1+2 &amp; ]]>""#),
        ("\"hanging\"", r#""=HYPERLINK(1)""#),
        ("\"weight\"", r#""<script>alert(3)<script>""#),
        ("\"diagonal\"", r#""@SUM(A1)<b>""#),
        ("\"engine\"", r#""\" onload=\"alert(4)""#),
        ("\"thicker\"", r#""-2+3<script>""#),
    ];
    replaced.into_iter().fold(text, |text, (from, to)| {
        assert!(text.contains(from), "{from}");
        text.replace(from, to)
    })
}

#[test]
fn no_page_or_picture_obeys_the_users_text() {
    for command in ["check", "compare", "draw"] {
        let folder = holding(&hostile());
        let ran = folder.run([command, "frame.json"]);
        assert_eq!((ran.code, ran.stderr.as_str()), (Some(0), ""), "{command}");
        let files = folder.files();
        let shown = files.iter().filter(|(name, _)| name.ends_with(".svg") || name.ends_with(".html"));
        for (name, bytes) in shown {
            let text = std::str::from_utf8(bytes).unwrap();
            for wrong in ["<script>alert", "<img", "<b>", "onload=\"alert"] {
                assert!(!text.contains(wrong), "{name} holds {wrong}");
            }
            let steers = text.chars().find(|letter| (letter.is_control() && *letter != '\n') || *letter == '\u{202e}');
            assert_eq!(steers, None, "{name}");
        }
        assert!(files.iter().any(|(_, bytes)| String::from_utf8_lossy(bytes).contains("&lt;script&gt;alert(3)")));
    }
}

#[test]
fn no_spreadsheet_takes_the_users_text_for_a_formula() {
    let folder = holding(&hostile());
    folder.run(["check", "frame.json", "--csv", "tables"]);
    let mut guarded = 0;
    for (name, bytes) in folder.files().iter().filter(|(name, _)| name.ends_with(".csv")) {
        let mut reader = csv_fields(std::str::from_utf8(bytes).unwrap());
        for field in reader.by_ref() {
            let runs = field.starts_with(['=', '@', '+', '\t', '\r'])
                || (field.starts_with('-') && field.parse::<f64>().is_err());
            assert!(!runs, "{name}: {field}");
            guarded += usize::from(field.starts_with("'=HYPERLINK") || field.starts_with("'@SUM"));
        }
    }
    assert!(guarded > 2, "the names stand in the tables");
}

/// The fields of a CSV text, line ends and quotes taken away.
fn csv_fields(text: &str) -> impl Iterator<Item = String> {
    let mut fields = vec![String::new()];
    let mut quoted = false;
    for letter in text.chars() {
        match letter {
            '"' => quoted = !quoted,
            ',' | '\n' if !quoted => fields.push(String::new()),
            _ => fields.last_mut().unwrap().push(letter),
        }
    }
    fields.into_iter()
}

#[test]
fn no_terminal_obeys_the_users_text() {
    let text = hostile();
    let folder = holding(&text);
    let runs = [
        folder.run(["check", "frame.json"]),
        folder.run(["check", "frame.json", "--quiet"]),
        folder.run(["loads", "frame.json"]),
        folder.run(["compare", "frame.json"]),
        folder.run(["check", "frame.json", "--case", "\u{1b}[2Jno such case"]),
        folder.run(["check", "frame.json", "--option", "\u{1b}[2Jno such option"]),
        folder.run(["check", "\u{1b}[2Jno such file.json"]),
        folder.run(["check", "frame.json", "--out", "out\u{1b}[2J"]),
    ];
    for ran in runs {
        let steers = |letter: char| (letter.is_control() && letter != '\n') || letter == '\u{202e}';
        let told = ran.stdout + &ran.stderr;
        assert_ne!(told, "");
        assert!(!told.contains(steers), "{told:?}");
        // A pipe takes whole commands away, so what is left of one would show that it went through raw.
        assert!(!told.contains("[2J") || told.contains("\u{fffd}[2J"), "{told:?}");
    }
}
