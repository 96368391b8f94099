//! Options side by side, as tables and sentences.

use super::table::{Cell, Table};
use super::words::{check_and_place, times};
use crate::checks::Finding;
use crate::studies::{Figure, Variant, case_at, gain_per_kg};
use crate::units::figures;

/// Verdict and mass of each variant.
pub fn verdicts(variants: &[Variant]) -> Table {
    let columns =
        [("frame", ""), ("verdict", ""), ("mass", "kg"), ("added", "kg"), ("worst", "× limit"), ("governed by", "")];
    let mut table = Table::new("verdicts", "Does it hold, and what do its tubes weigh", &columns);
    for variant in variants {
        let worst = variant.worst.as_ref();
        table.row(vec![
            Cell::text(&variant.name),
            Cell::text(if variant.passes { "passes" } else { "fails" }),
            Cell::Number(variant.mass_kg, 2),
            Cell::Number(variant.mass_kg - variants[0].mass_kg, 2),
            worst.map_or(Cell::Empty, |finding| Cell::Number(finding.utilisation, 2)),
            worst.map_or(Cell::Empty, |finding| {
                let case = case_at(&finding.case, &finding.position);
                Cell::text(format!("{}, {case}", check_and_place(finding)))
            }),
        ]);
    }
    table
}

/// What moves in each variant, and how stiff it is.
pub fn stiffness(variants: &[Variant]) -> Table {
    let columns = [("frame", ""), ("twist", "N·m/deg"), ("pick-up", "mm"), ("toe", "°"), ("camber", "°")];
    let mut table = Table::new("stiffness", "How stiff it is, and what moves most from standing", &columns);
    let number = |figure: &Option<Figure>, digits: usize| {
        figure.as_ref().map_or(Cell::Empty, |figure| Cell::Number(figure.value, digits))
    };
    for variant in variants {
        table.row(vec![
            Cell::text(&variant.name),
            number(&variant.twist_nm_deg, 0),
            number(&variant.pickup_move_mm, 2),
            number(&variant.toe_deg, 3),
            number(&variant.camber_deg, 3),
        ]);
    }
    table
}

/// What holds it together and what it takes to make: joints and welds, the frame as a whole, ends and lengths.
pub fn making(variants: &[Variant]) -> Table {
    let columns = [
        ("frame", ""),
        ("joint", "× limit"),
        ("weld", "× limit"),
        ("buckling", "× load"),
        ("mode 1", "Hz"),
        ("ends", ""),
        ("tube", "m"),
    ];
    let mut table =
        Table::new("making", "Worst joint and weld, the frame as a whole, and what there is to make", &columns);
    let used = |finding: &Option<Finding>| {
        finding.as_ref().map_or(Cell::Empty, |finding| Cell::Number(finding.utilisation, 2))
    };
    for variant in variants {
        table.row(vec![
            Cell::text(&variant.name),
            used(&variant.joint),
            used(&variant.weld),
            match (&variant.buckling, variant.buckling_over) {
                (Some(figure), _) => Cell::Number(figure.value, 1),
                (None, Some(bound)) => Cell::text(format!("over {}", figures(bound, 2))),
                (None, None) => Cell::Empty,
            },
            variant.frequency_hz.map_or(Cell::Empty, |frequency| Cell::Number(frequency, 1)),
            Cell::text(variant.joints.to_string()),
            Cell::Number(variant.tube_m, 2),
        ]);
    }
    table
}

/// What each added kilogram buys; `None` where no variant adds any.
pub fn gains(variants: &[Variant]) -> Option<Table> {
    let columns = [("frame", ""), ("added", "kg"), ("twist", "N·m/deg for each kg"), ("pick-up", "mm for each kg")];
    let mut table = Table::new("gains", "What each added kilogram buys", &columns);
    let base = &variants[0];
    for variant in &variants[1..] {
        let gain = |of: fn(&Variant) -> &Option<Figure>, digits: usize| {
            let pair = of(base).as_ref().zip(of(variant).as_ref());
            pair.and_then(|(before, after)| gain_per_kg((base.mass_kg, before.value), (variant.mass_kg, after.value)))
                .map_or(Cell::Empty, |gain| Cell::Number(gain, digits))
        };
        let row = vec![
            Cell::text(&variant.name),
            Cell::Number(variant.mass_kg - base.mass_kg, 2),
            gain(|variant| &variant.twist_nm_deg, 0),
            gain(|variant| &variant.pickup_move_mm, 2),
        ];
        if row[2..] != [Cell::Empty, Cell::Empty] {
            table.row(row);
        }
    }
    (!table.rows.is_empty()).then_some(table)
}

/// What each option costs and brings, against the frame as drawn.
pub fn sentences(variants: &[Variant]) -> Vec<String> {
    let Some((base, options)) = variants.split_first() else {
        return Vec::new();
    };
    options.iter().map(|option| sentence(base, option)).collect()
}

fn sentence(base: &Variant, option: &Variant) -> String {
    let added = option.mass_kg - base.mass_kg;
    let mass = match added {
        added if added.abs() < 0.05 => "weighs the same".to_owned(),
        added if added > 0.0 => format!("adds {} kg", figures(added, 3)),
        added => format!("saves {} kg", figures(-added, 3)),
    };
    let mut parts = vec![mass];
    let mut change = |what: &str, of: fn(&Variant) -> &Option<Figure>, unit: &str| {
        let (Some(before), Some(after)) = (of(base), of(option)) else { return };
        if before.value == 0.0 {
            return;
        }
        let percent = (after.value / before.value - 1.0) * 100.0;
        if percent.abs() < 0.05 {
            parts.push(format!("leaves the {what} at {} {unit}", figures(after.value, 3)));
            return;
        }
        let word = if percent > 0.0 { "raises" } else { "lowers" };
        let each = gain_per_kg((base.mass_kg, before.value), (option.mass_kg, after.value))
            .map_or(String::new(), |gain| format!(", {} {unit} for each kg", signed(gain)));
        parts.push(format!(
            "{word} the {what} from {} to {} {unit} ({} %{each})",
            figures(before.value, 3),
            figures(after.value, 3),
            signed(percent)
        ));
    };
    change("twist stiffness", |variant| &variant.twist_nm_deg, "N·m/deg");
    change("largest pick-up movement", |variant| &variant.pickup_move_mm, "mm");
    let verdict = match (option.passes, &option.worst) {
        (true, _) => "it passes".to_owned(),
        (false, Some(worst)) => {
            let word = if base.passes { "it fails" } else { "it still fails" };
            format!(
                "{word}: {} is at {} times its limit in \"{}\"",
                check_and_place(worst),
                times(worst.utilisation),
                worst.case
            )
        }
        (false, None) => "it fails".to_owned(),
    };
    format!("\"{}\" {}; {verdict}.", option.name, parts.join(", "))
}

fn signed(value: f64) -> String {
    let text = figures(value, 3);
    if value > 0.0 { format!("+{text}") } else { text.replace('-', "−") }
}
