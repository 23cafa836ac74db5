//! Pages as files: in which format, under which names.

use std::fmt;
use std::path::Path;

use clap::builder::{PossibleValue, PossibleValuesParser, TypedValueParser};

use crate::drawing::Drawing;
use crate::formats::{
    CoordinateUnit, ExportError, Exported, Facts, Options, PageFormat, TileFormat, page_format, page_formats,
    tile_format, tile_formats,
};

use super::bounds::within;
use super::exit::Exit;
use super::output::Target;
use super::paths::is_stdio;
use super::say;

/// A format for pages, as chosen on the command line.
#[derive(Clone, Copy)]
pub(super) struct PageForm(pub(super) &'static dyn PageFormat);

/// A format for drawings divided into pages, as chosen on the command line.
#[derive(Clone, Copy)]
pub(super) struct TileForm(pub(super) &'static dyn TileFormat);

impl PageForm {
    /// Tells whether its files are made of pixels.
    pub(super) fn has_pixels(self) -> bool {
        self.0.facts().unit == CoordinateUnit::Pixel
    }

    /// Lists the choices, with the words of the help.
    pub(super) fn choices() -> impl Iterator<Item = PossibleValue> {
        page_formats().map(|format| choice(format.facts()))
    }

    /// Reads a choice.
    pub(super) fn parser() -> impl TypedValueParser<Value = Self> {
        PossibleValuesParser::new(Self::choices())
            .try_map(|name| page_format(&name).map(Self).ok_or_else(|| format!("there is no format {name}")))
    }
}

impl TileForm {
    /// Reads a choice.
    pub(super) fn parser() -> impl TypedValueParser<Value = Self> {
        PossibleValuesParser::new(tile_formats().map(|format| choice(format.facts())))
            .try_map(|name| tile_format(&name).map(Self).ok_or_else(|| format!("there is no format {name}")))
    }
}

impl fmt::Debug for PageForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.facts().name)
    }
}

impl fmt::Debug for TileForm {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.facts().name)
    }
}

fn choice(facts: &Facts) -> PossibleValue {
    let title = facts.title;
    let help = if facts.has_pages {
        format!("{title}, one file with all pages")
    } else {
        format!("{title}, a file for each page")
    };
    PossibleValue::new(facts.name).help(help)
}

/// Writes pages in a format and names the files after a stem; see [`numbered`].
pub(super) fn files(
    stem: &str,
    title: &str,
    pages: &[Drawing],
    form: PageForm,
    options: &Options,
) -> Result<Vec<(String, Exported)>, ExportError> {
    let pages: Vec<&Drawing> = pages.iter().collect();
    let written = form.0.write_pages(title, &pages, options)?;
    Ok(numbered(stem, form.0.facts().name, written))
}

/// Names files after a stem: `bench.svg` if there is one, `bench-01.svg` and so on if there are several.
pub(super) fn numbered(stem: &str, ending: &str, files: Vec<Exported>) -> Vec<(String, Exported)> {
    let count = files.len();
    let digits = count.to_string().len();
    let name = |number: usize| match count {
        1 => format!("{stem}.{ending}"),
        _ => format!("{stem}-{number:0digits$}.{ending}"),
    };
    (1..).zip(files).map(|(number, file)| (name(number), file)).collect()
}

/// Writes pages into the file named, in the format of its ending.
pub(super) fn write(path: &Path, pages: &[Drawing], force: bool) -> Exit {
    let ending = path.extension().and_then(|ending| ending.to_str());
    let Some(format) = ending.and_then(page_format) else {
        let endings: Vec<String> = page_formats().map(|format| format!(".{}", format.facts().name)).collect();
        say::error!(
            "{}: the ending is not that of a format for pages; use one of {}",
            path.display(),
            endings.join(", ")
        );
        return Exit::Usage;
    };
    let title = pages.first().map(|page| page.title.clone()).unwrap_or_default();
    write_as(path, &title, pages, PageForm(format), &Options::default(), force)
}

/// Writes pages into the file named, `-` being standard output; if they take several files, the names of these have numbers.
pub(super) fn write_as(
    path: &Path,
    title: &str,
    pages: &[Drawing],
    form: PageForm,
    options: &Options,
    force: bool,
) -> Exit {
    let part = |part: Option<&std::ffi::OsStr>| part.map(|part| part.to_string_lossy().into_owned());
    let stem = part(path.file_stem()).unwrap_or_default();
    let made = within(|| files(&stem, title, pages, form, options));
    let mut files = match made.and_then(|files| files.map_err(|error| error.to_string())) {
        Ok(files) => files,
        Err(message) => {
            say::error!("{}: {message}", path.display());
            return Exit::JobWrong;
        }
    };
    if is_stdio(path) {
        let output = Target { output: path, force, verbose: false };
        return output.write_or_say(&files);
    }
    // A file that is named keeps its name.
    if let ([(name, _)], Some(given)) = (files.as_mut_slice(), part(path.file_name())) {
        *name = given;
    }
    let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
    Target { output: folder, force, verbose: false }.write_or_say(&files)
}
