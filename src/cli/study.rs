//! How a study is told: sentences and tables on stdout, pictures and a page in a folder.

use std::path::Path;

use super::folder::{Files, WayOut, file_name};
use super::input::Loaded;
use super::output::{Output, width};
use super::{Trouble, caution_and_files};
use crate::report::page::{Picture, StudyPage};
use crate::report::table::Table;
use crate::report::{About, text};
use crate::source::visible;

/// What a study has come to, but for what it prints in ways of its own.
#[derive(Default)]
pub(crate) struct Told<'t> {
    /// What it is about, behind the model's title: `braces that pay`.
    pub(crate) of: &'t str,
    /// What stands over the answer on the page.
    pub(crate) heading: &'t str,
    /// The answer in sentences.
    pub(crate) sentences: Vec<String>,
    /// And in tables.
    pub(crate) results: Vec<Table>,
    /// A picture of all of it, numbered 0.
    pub(crate) overview: Option<Picture>,
    /// More pictures, numbered from 1.
    pub(crate) pictures: Vec<Picture>,
}

/// Pictures with their names.
pub(crate) fn pictures_of(drawn: impl IntoIterator<Item = (String, String)>) -> Vec<Picture> {
    drawn.into_iter().map(|(title, svg)| Picture { title, svg }).collect()
}

/// What a model is called over pictures.
pub(crate) fn title_of(loaded: &Loaded) -> &str {
    loaded.model.title.as_deref().unwrap_or(&loaded.input.name)
}

impl Told<'_> {
    /// Prints sentences and tables.
    pub(crate) fn print(&self, output: &mut Output) {
        for sentence in &self.sentences {
            output.print(&format!("{}\n", text::wrapped(&visible(sentence), width(), "  ")));
        }
        for result in &self.results {
            output.print(&format!("\n{}", text::table(result, width())));
        }
    }

    /// Puts pictures and page into the folder that was asked for, or into `below` in the model's own, and says so.
    ///
    /// # Errors
    /// A folder that takes no files.
    pub(crate) fn put(
        self,
        loaded: &Loaded,
        about: About<'_>,
        folder: (Option<&Path>, &str),
        output: &mut Output,
    ) -> Result<(), Trouble> {
        let date = loaded.model.date.as_deref().unwrap_or_default();
        let first = usize::from(self.overview.is_none());
        let pictures: Vec<Picture> = self.overview.into_iter().chain(self.pictures).collect();
        let page = StudyPage {
            title: &format!("{}: {}", title_of(loaded), self.of),
            heading: self.heading,
            about,
            sentences: &self.sentences,
            results: &self.results,
            pictures: &pictures,
            date,
        };
        let numbered = pictures.iter().enumerate();
        let mut files: Files = numbered
            .map(|(at, picture)| (file_name(first + at, &picture.title, "svg"), picture.svg.clone().into_bytes()))
            .collect();
        files.insert("report.html".to_owned(), page.html().into_bytes());
        let (asked, below) = folder;
        let out = loaded.out(asked, Some(below))?;
        output.print(&caution_and_files(&out, files.len()));
        output.files(vec![(out, files, WayOut::OUT)], loaded.input.file())
    }
}
