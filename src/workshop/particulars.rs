//! What a sheet says in words: the boards, what goes with them, the openings, notes and warnings.

use std::collections::BTreeMap;

use kurbo::Rect;

use super::words::ranges;
use crate::length::exact_mm;
use crate::mat::{Borders, FalloutUse, Layer, Mat, Opening, PartKind, with_name};
use crate::page::Paragraph;
use crate::problem::{Problem, Severity};
use crate::tolerance::READING_MM;

/// Begins words that say more about those before them.
const INNER: &str = "\t";

/// So many warnings of one kind are printed in full.
const MOST_SHOWN: usize = 3;

/// Lists everything that is said about a mat; `uneven` asks for the place of each opening, which the drawing does not show.
pub(super) fn lines(mat: &Mat, problems: &[Problem], uneven: bool) -> Vec<Paragraph> {
    let mut lines = Vec::new();
    let mut section = |name: &'static str, words: Vec<String>| {
        if !words.is_empty() {
            lines.push(Paragraph::Ruled(name));
            lines.extend(words.into_iter().map(|words| match words.strip_prefix(INNER) {
                Some(inner) => Paragraph::Inner(inner.to_owned()),
                None => Paragraph::Item(words),
            }));
        }
    };
    section("WARNINGS", warnings(problems));
    section("BOARDS, from the top", boards(mat));
    section("OPENINGS, sight size (width × height)", openings(mat, uneven));
    section("FRAME, GLASS, BACKING", goods(mat));
    section("NOTES", mat.extras.notes.clone());
    lines
}

/// Lists the warnings; many of the same kind are counted rather than shown.
fn warnings(problems: &[Problem]) -> Vec<String> {
    let mut kinds: BTreeMap<&str, usize> = BTreeMap::new();
    let mut words = Vec::new();
    for problem in problems.iter().filter(|problem| problem.severity == Severity::Warning) {
        let count = kinds.entry(problem.code).or_default();
        *count += 1;
        if *count <= MOST_SHOWN {
            words.push(sentence(&problem.message, &problem.help));
        }
    }
    let more = kinds.into_iter().filter(|(_, count)| *count > MOST_SHOWN);
    words.extend(more.map(|(code, count)| format!("{} more of the kind “{code}”", count - MOST_SHOWN)));
    words
}

/// Joins what is wrong and its cure.
fn sentence(message: &str, help: &str) -> String {
    if help.is_empty() { message.to_owned() } else { format!("{message}; {help}") }
}

/// Shows a size as read off the ruler.
fn size(mat: &Mat, rect: Rect) -> String {
    mat.ruler.show_size(rect.width(), rect.height())
}

fn boards(mat: &Mat) -> Vec<String> {
    let mut words = Vec::new();
    for (index, layer) in mat.layers.iter().enumerate() {
        let pieces = if mat.quantity > 1 { format!("{} blanks", mat.quantity) } else { "blank".to_owned() };
        words.push(format!("{}. {}: {pieces} {}", index + 1, board_name(mat, layer), size(mat, mat.extent(layer))));
        let bevel = layer.bevel.describe(layer.board.thickness);
        words.push(format!("{INNER}{}; {bevel}", thickness(layer)));
        words.extend(
            index
                .checked_sub(1)
                .and_then(|above| reveal(mat, mat.layers.get(above)?, layer))
                .map(|line| format!("{INNER}{line}")),
        );
        if layer.fallout == FalloutUse::Keep {
            words.push(format!("{INNER}keep the fallout of its openings"));
        }
        words.extend(
            layer
                .decoration
                .describe(mat.ruler, &layer.openings)
                .into_iter()
                .map(|sentence| format!("{INNER}{sentence}")),
        );
    }
    words
}

/// Names a board by its layer and by what it is called, each once.
fn board_name(mat: &Mat, layer: &Layer) -> String {
    let board = &layer.board;
    let colour = board.colour.map(|colour| format!(" ({colour})")).unwrap_or_default();
    if mat.layers.len() == 1 || layer.name == board.name {
        return format!("{}{colour}", board.name);
    }
    format!("{} – {}{colour}", layer.name, board.name)
}

fn thickness(layer: &Layer) -> String {
    let thickness = exact_mm(layer.board.thickness);
    match layer.board.plies {
        Some(plies) if layer.board.name != format!("{plies}-ply") => format!("{plies}-ply, {thickness} thick"),
        _ => format!("{thickness} thick"),
    }
}

/// Says how far a board shows inside the one above, if it does so evenly round every opening.
fn reveal(mat: &Mat, above: &Layer, layer: &Layer) -> Option<String> {
    let mut cuts = Vec::new();
    let mut strips = Vec::new();
    for opening in &layer.openings {
        let upper = above.opening(opening.number)?;
        cuts.extend(inside(&opening.back, &upper.back));
        strips.extend(inside(&opening.face, &upper.sight));
    }
    let even = |distances: &[f64]| {
        let first = *distances.first()?;
        distances.iter().all(|distance| (distance - first).abs() < READING_MM).then_some(first)
    };
    let (cut, strip) = (even(&cuts)?, even(&strips)?);
    let read = |mm| mat.ruler.read(mm).to_string();
    Some(format!("cut {} inside the cut of the board above; a strip of {} shows", read(cut), read(strip)))
}

/// Returns how far the bounds of an outline lie inside those of another, on all four sides.
fn inside(inner: &crate::geometry::Outline, outer: &crate::geometry::Outline) -> [f64; 4] {
    let Borders { left, right, top, bottom } = Borders::around(inner.bounds(), outer.bounds());
    [left, right, top, bottom]
}

/// Lists the openings of every board that has its own: alike ones together, or each with its place.
fn openings(mat: &Mat, uneven: bool) -> Vec<String> {
    let mut words = Vec::new();
    let mut above: Option<&Layer> = None;
    for layer in &mat.layers {
        let repeats = above.is_some_and(|above| reveal(mat, above, layer).is_some());
        // A board that only repeats the openings above follows from its reveal; its sizes help to check.
        let each = if above.is_none() { uneven } else { !repeats };
        let name = if mat.layers.len() > 1 { format!("{}: ", layer.name) } else { String::new() };
        if each {
            words.extend(layer.openings.iter().map(|opening| name.clone() + &placed(mat, layer, opening)));
        } else {
            words.extend(alike(mat, layer).into_iter().map(|line| name.clone() + &line));
        }
        above = Some(layer);
    }
    words
}

fn describe(mat: &Mat, layer: &Layer, opening: &Opening) -> String {
    let sight = size(mat, opening.sight.bounds());
    let shape = opening.shape.replace('_', " ");
    let bevel = if opening.bevel == layer.bevel { String::new() } else { format!(", {}", opening.bevel.name()) };
    let face = opening.face.bounds();
    let face = if opening.face == opening.sight { String::new() } else { format!(" (face {})", size(mat, face)) };
    format!("{shape} {sight}{face}{bevel}")
}

fn placed(mat: &Mat, layer: &Layer, opening: &Opening) -> String {
    let Borders { left, right, top, bottom } = opening.borders(mat.extent(layer));
    let read = |mm: f64| mat.ruler.read(mm).text;
    format!(
        "{} {}; left {}, right {}, top {}, bottom {}",
        with_name(opening.number, &opening.name),
        describe(mat, layer, opening),
        read(left),
        read(right),
        read(top),
        read(bottom)
    )
}

fn alike(mat: &Mat, layer: &Layer) -> Vec<String> {
    let mut kinds: Vec<(String, Vec<usize>)> = Vec::new();
    for opening in &layer.openings {
        let name = if opening.name.is_empty() { String::new() } else { format!("{}: ", opening.name) };
        let words = name + &describe(mat, layer, opening);
        match kinds.iter_mut().find(|(known, _)| *known == words) {
            Some((_, numbers)) => numbers.push(opening.number),
            None => kinds.push((words, vec![opening.number])),
        }
    }
    let single = layer.openings.len() == 1;
    kinds
        .into_iter()
        .map(|(words, numbers)| if single { words } else { format!("{} {words}", ranges(&numbers)) })
        .collect()
}

/// Lists what goes with the mat, with sizes.
fn goods(mat: &Mat) -> Vec<String> {
    let mut words = mat.package.describe(mat.ruler);
    if let Some(frame) = words.first_mut() {
        frame.insert_str(0, "Frame: ");
    }
    words.iter_mut().skip(1).for_each(|sentence| sentence.insert_str(0, INNER));
    let sheet = size(mat, mat.outer.to_rect());
    let goods = [PartKind::Glass, PartKind::Spacers, PartKind::Mount, PartKind::Backing];
    for part in mat.package.parts.iter().filter(|part| goods.contains(&part.kind)) {
        let description = part.describe();
        let colon = if description.is_empty() { "" } else { ": " };
        words.push(format!("{} {sheet}{colon}{description}", capital(part.kind.name())));
    }
    let mut art: Vec<(String, Vec<usize>)> = Vec::new();
    for work in &mat.art {
        let shown = size(mat, work.rect);
        match art.iter_mut().find(|(known, _)| *known == shown) {
            Some((_, numbers)) => numbers.push(work.opening),
            None => art.push((shown, vec![work.opening])),
        }
    }
    let single = mat.art.len() == 1;
    words.extend(art.into_iter().map(|(shown, numbers)| match single {
        true => format!("Art {shown}"),
        false => format!("Art {shown} in {}", ranges(&numbers)),
    }));
    words
}

/// Begins a word with a capital letter.
fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
