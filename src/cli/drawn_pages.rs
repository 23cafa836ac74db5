//! Pages that a command draws beside its words: one PDF file, or SVG files.

use std::path::{Path, PathBuf};

use crate::drawing::Drawing;
use crate::formats::{Options, pdf_pages, svg_page};

use super::exit::Exit;
use super::output::write_whole;

/// Writes pages into the file named: all of them where it ends with `.pdf`, and an SVG file for each where it ends with `.svg`, the
/// second one with `-2` before its ending.
pub(super) fn write(path: &Path, pages: &[Drawing], force: bool) -> Exit {
    let files: Vec<(PathBuf, Vec<u8>)> = match path.extension().and_then(|ending| ending.to_str()) {
        Some(ending) if ending.eq_ignore_ascii_case("pdf") => {
            let title = pages.first().map(|page| page.title.clone()).unwrap_or_default();
            match pdf_pages(&title, pages, &Options::default()) {
                Ok(exported) => vec![(path.to_owned(), exported.bytes)],
                Err(error) => return failed(&format!("{}: {error}", path.display())),
            }
        }
        Some(ending) if ending.eq_ignore_ascii_case("svg") => {
            let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
            let name = |index: usize| match index {
                0 => path.to_owned(),
                _ => path.with_file_name(format!("{stem}-{}.{ending}", index + 1)),
            };
            let written = |(index, page)| svg_page(page).map(|exported| (name(index), exported.bytes));
            match pages.iter().enumerate().map(written).collect() {
                Ok(files) => files,
                Err(error) => return failed(&format!("{}: {error}", path.display())),
            }
        }
        _ => {
            anstream::eprintln!("error: {}: a picture is an .svg or a .pdf file", path.display());
            return Exit::Usage;
        }
    };
    if let Some((taken, _)) = files.iter().find(|(path, _)| !force && path.exists()) {
        return failed(&format!("{} exists; use --force to replace it", taken.display()));
    }
    for (path, bytes) in &files {
        if let Err(error) = write_whole(path, bytes, force) {
            return failed(&format!("cannot write {}: {error}", path.display()));
        }
    }
    Exit::Good
}

fn failed(message: &str) -> Exit {
    anstream::eprintln!("error: {message}");
    Exit::JobWrong
}
