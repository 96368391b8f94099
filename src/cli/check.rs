//! `crossbrace check`: solve, judge, tell, draw.

use super::args::CheckOptions;
use super::folder::{Files, WayOut, file_name};
use super::input::Loaded;
use super::output::{Output, tell_warnings, width};
use super::progress::Progress;
use super::{Ending, Trouble};
use crate::report::page::{Picture, page};
use crate::report::plot::{case_sheet, mode_sheets, utilisation_bars};
use crate::report::{Report, csv, geometry, json, lost_welds, modes, positions, tables, text, unknowns};

/// Runs the command.
pub(crate) fn run(options: &CheckOptions, output: &mut Output) -> Result<Ending, Trouble> {
    let mut progress = Progress::new();
    let loaded = Loaded::read(&options.model)?;
    progress.at("solving");
    let checked = if options.second_order { loaded.check_deformed()? } else { loaded.check()? };
    let notes = checked.notes();
    let unknowns = loaded.unknowns(&checked);
    let report = Report { unknowns: unknowns.as_ref(), ..loaded.report(&checked, &notes) };
    let mut folders = Vec::new();
    if !options.json {
        let files = pictures_and_page(&report, &mut progress);
        let out = loaded.out(options.out.as_deref(), None)?;
        let count = files.len();
        folders.push((out.clone(), files, WayOut::CHECK));
        if options.quiet {
            output.print(&format!("{}\n", text::verdict_line(&report)));
        } else {
            output.print(&text::check(&report, width()));
            output.print(&format!("{}\n", super::files_written(&out, count)));
        }
    }
    if let Some(folder) = &options.csv {
        let files = tables_as_csv(&report);
        if !options.quiet && !options.json {
            output.print(&format!("{}\n", super::files_written(folder, files.len())));
        }
        folders.push((folder.clone(), files, WayOut::CSV));
    }
    progress.at("writing files");
    output.files(folders, loaded.input.file())?;
    drop(progress);
    if options.json {
        output.stream(|stdout| json::write(&report, stdout))?;
    }
    tell_warnings(&checked.warnings);
    Ok(if checked.verdict.passes() { Ending::Good } else { Ending::LimitExceeded })
}

/// A sheet a case, the bars, and the page that holds them all.
fn pictures_and_page(report: &Report<'_>, progress: &mut Progress) -> Files {
    let date = report.model.date.as_deref().unwrap_or_default();
    let sheets = report.response.cases.len();
    let mut pictures: Vec<Picture> = (0..sheets)
        .map(|case| {
            progress.at(&format!("drawing sheet {} of {sheets}", case + 1));
            let (title, svg) = case_sheet(report, case, date);
            Picture { title, svg }
        })
        .collect();
    progress.at("drawing bars and the page");
    let bars = utilisation_bars(report, date);
    let several = bars.len() > 1;
    pictures.extend(bars.into_iter().enumerate().map(|(at, svg)| {
        let title = "Utilisation of every tube".to_owned();
        Picture { title: if several { format!("{title}, part {}", at + 1) } else { title }, svg }
    }));
    pictures.extend(mode_sheets(report, date).into_iter().map(|(title, svg)| Picture { title, svg }));
    let mut files: Files = pictures
        .iter()
        .enumerate()
        .map(|(at, picture)| (file_name(at + 1, &picture.title, "svg"), picture.svg.clone().into_bytes()))
        .collect();
    files.insert("report.html".to_owned(), page(report, &pictures, date).into_bytes());
    files
}

/// Every table of the report, and every force and movement in full.
fn tables_as_csv(report: &Report<'_>) -> Files {
    let all = [
        tables::over_the_limit(report),
        Some(tables::cases(report)),
        tables::wheel_angles(report),
        tables::sources(report, true),
        tables::twist(report),
        Some(modes::buckling(report)),
        modes::second_order(report),
        modes::vibration(report),
        lost_welds::lost_welds(report),
        positions::summary(report),
        positions::tubes(report, positions::Which::All),
        unknowns::table(report),
        tables::wheel_loads(report, true),
        geometry::corners(report),
        Some(tables::tubes(report)),
        Some(tables::tube_list(report)),
        Some(tables::materials(report)),
        Some(tables::every_force(report)),
        Some(tables::every_movement(report)),
        Some(tables::not_judged(report)),
    ];
    all.into_iter().flatten().map(|table| (format!("{}.csv", table.key), csv::render(&table).into_bytes())).collect()
}
