//! What a job says beside the boards: quantity, notes, the pictures behind the openings.

use std::collections::BTreeMap;
use std::sync::Arc;

use kurbo::{Rect, Size};

use super::placed_opening::PlacedOpening;
use crate::fault::Certain;
use crate::job::{Scope, WrittenJob, WrittenPicture};
use crate::mat::{Art, Extras, Layer, PlacedPhoto};
use crate::photo::Photo;
use crate::problem::Problem;
use crate::tolerance::SAME_PROPORTIONS_SHARE;

/// Longest note in letters: two thirds of a page.
const LONGEST_NOTE: usize = 3000;
/// Most mats of one kind: more are a slip of the pen.
const MOST_MATS: u32 = 100_000;
/// How far a picture of unknown size reaches beyond the sight opening, in millimetres.
const BEYOND_MM: f64 = 25.4 / 8.0;

/// Reads how many mats are wanted.
pub(super) fn read_quantity(job: &WrittenJob, scope: &Scope) -> Result<u32, Problem> {
    let quantity = job.quantity.unwrap_or(1);
    if (1..=MOST_MATS).contains(&quantity) {
        return Ok(quantity);
    }
    let message = format!("{quantity} mats cannot be made");
    Err(scope
        .key("quantity")
        .error("quantity", message, format!("give a number from 1 to {MOST_MATS}"))
        .with_count("quantity", quantity as usize)
        .with_count("most", MOST_MATS as usize))
}

/// Reads notes; a note of several lines is several notes.
pub(super) fn read_extras(job: &WrittenJob, scope: &Scope, problems: &mut Vec<Problem>) -> Extras {
    let mut notes = Vec::new();
    for (index, note) in job.notes.iter().enumerate() {
        if note.chars().count() > LONGEST_NOTE {
            let message = format!("a note of {} letters is too long", note.chars().count());
            let help = format!("use at most {LONGEST_NOTE} letters, or several notes");
            problems.push(
                scope
                    .key("notes")
                    .index(index)
                    .error("name", message, help)
                    .with_count("letters", note.chars().count())
                    .with_count("most", LONGEST_NOTE),
            );
        }
        // Tabs and other control characters would be boxes in print.
        let lines = note.lines().map(|line| line.replace(char::is_control, " ").trim().to_owned());
        notes.extend(lines.filter(|line| !line.is_empty()));
    }
    Extras { notes, own: job.own.clone(), schema: job.schema.clone() }
}

/// Places the pictures of a group of openings behind those of the board that its sizes are given for; a picture that cannot be used is a warning.
pub(super) fn pictures_of(
    placed: &[PlacedOpening<'_>],
    layer: &Layer,
    art: &[Art],
    problems: &mut Vec<Problem>,
) -> Vec<PlacedPhoto> {
    let by_opening: BTreeMap<usize, &Art> = art.iter().map(|art| (art.opening, art)).collect();
    let mut pictures = Vec::new();
    for placed in placed {
        let number = placed.item.number;
        let Some(written) = placed.item.picture else { continue };
        let opening = layer.opening(number).certain("opening of this picture");
        // A picture stands upright: behind a turned opening it fills the opening.
        let art = by_opening.get(&number).filter(|art| art.turn == 0.0).map(|art| art.rect);
        let scope = placed.item.scope.key("picture");
        match place(written, opening.sight.bounds(), art, &scope, problems) {
            Ok(Some((rect, photo))) => pictures.push(PlacedPhoto { opening: number, rect, photo }),
            Ok(None) => {}
            Err(problem) => problems.push(problem),
        }
    }
    pictures
}

fn place(
    written: &WrittenPicture,
    sight: Rect,
    art: Option<Rect>,
    scope: &Scope,
    problems: &mut Vec<Problem>,
) -> Result<Option<(Rect, Arc<Photo>)>, Problem> {
    let photo = match &written.loaded {
        None => return Ok(None),
        Some(Ok(photo)) => Arc::clone(photo),
        Some(Err(error)) => {
            let message = format!("cannot use the picture {}: {}", written.file, error.message);
            problems.push(scope.key("file").warning("picture", message, error.help));
            return Ok(None);
        }
    };
    let (width, height) = photo.size();
    let pixels = Size::new(f64::from(width), f64::from(height));
    let scale = match (&written.width, &written.height) {
        (Some(_), Some(_)) => {
            let message = "`width` and `height` both give the size";
            return Err(scope.key("height").error(
                "contradiction",
                message,
                "keep one of the two; the other follows from it",
            ));
        }
        (Some(width), None) => scope.key("width").mm(width)? / pixels.width,
        (None, Some(height)) => scope.key("height").mm(height)? / pixels.height,
        (None, None) => match art {
            Some(art) => {
                problems.extend(other_shape(written, pixels, art.size(), scope));
                (art.width() / pixels.width).min(art.height() / pixels.height)
            }
            // Nothing is said of its size: it fills the opening.
            None => {
                let room = sight.inflate(BEYOND_MM, BEYOND_MM);
                (room.width() / pixels.width).max(room.height() / pixels.height)
            }
        },
    };
    if scale <= 0.0 {
        return Err(scope.error(
            "length",
            "a picture without a size cannot be drawn",
            "give a width or height above zero",
        ));
    }
    let center = art.unwrap_or(sight).center();
    Ok(Some((Rect::from_center_size(center, pixels * scale), photo)))
}

fn other_shape(written: &WrittenPicture, pixels: Size, art: Size, scope: &Scope) -> Option<Problem> {
    let ratio = pixels.aspect_ratio_width() / art.aspect_ratio_width();
    if (ratio - 1.0).abs() <= SAME_PROPORTIONS_SHARE {
        return None;
    }
    let message = format!(
        "the picture {} is {} × {} pixels, which are not the proportions of the art, {}",
        written.file,
        pixels.width,
        pixels.height,
        scope.ruler().show_size(art.width, art.height)
    );
    let help = "turn or crop the picture, or give its true `width` or `height` in a table; it is drawn as large as the art allows";
    Some(
        scope
            .warning("picture", message, help)
            .with_count("pixels_across", pixels.width as usize)
            .with_count("pixels_down", pixels.height as usize)
            .with_size("art", art),
    )
}
