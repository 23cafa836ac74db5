//! What a sheet says in words: the boards, what goes with them, the openings, notes and warnings.

use std::collections::BTreeMap;

use super::goods;
use super::words::{gather, ranges, size};
use crate::dimensions::{Axis, DimensionKind, Side};
use crate::length::exact_mm;
use crate::mat::{Borders, FalloutUse, Layer, Mat, Opening, with_name};
use crate::page::{Paragraph, ParagraphText};
use crate::problem::{Problem, Severity};
use crate::tolerance::READING_MM;

/// So many warnings of one kind are printed in full.
const MOST_SHOWN: usize = 3;

/// Lists everything that is said about a mat; `uneven` asks for the place of each opening, which the drawing does not show.
pub(super) fn lines(mat: &Mat, problems: &[Problem], uneven: bool) -> Vec<Paragraph> {
    let mut lines = Vec::new();
    let mut section = |name: &'static str, paragraphs: Vec<Paragraph>| {
        if !paragraphs.is_empty() {
            lines.push(Paragraph::Ruled(name));
            lines.extend(paragraphs);
        }
    };
    section("WARNINGS", items(warnings(problems)));
    section("BOARDS, from the top", boards(mat));
    section("OPENINGS, sight size (width × height)", openings(mat, uneven));
    section("FRAME, GLASS, BACKING", goods::paragraphs(mat));
    section("NOTES", items(mat.extras.notes.clone()));
    lines
}

fn items(words: Vec<String>) -> Vec<Paragraph> {
    words.into_iter().map(|words| Paragraph::Item(words.into())).collect()
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

fn boards(mat: &Mat) -> Vec<Paragraph> {
    let mut paragraphs = Vec::new();
    let mut above: Option<&Layer> = None;
    for (layer, number) in mat.layers.iter().zip(1..) {
        let pieces = if mat.quantity > 1 { format!("{} blanks", mat.quantity) } else { "blank".to_owned() };
        let words = format!("{number}. {}: {pieces} {}", board_name(mat, layer), size(mat, mat.extent(layer)));
        let sizes = Axis::ALL.map(|axis| match layer.inset == 0.0 {
            true => DimensionKind::Outer { axis },
            false => DimensionKind::Board { axis, board: number },
        });
        paragraphs.push(Paragraph::Item(ParagraphText::telling(words, sizes)));
        let bevel = layer.bevel.describe(layer.board.thickness);
        let mut inner = vec![ParagraphText::from(format!("{}; {bevel}", thickness(layer)))];
        let reveal = above.and_then(|above| reveal(mat, above, layer));
        inner.extend(reveal.map(|words| ParagraphText::telling(words, [DimensionKind::Reveal { board: number }])));
        if layer.fallout == FalloutUse::Keep {
            inner.push("keep the fallout of its openings".to_owned().into());
        }
        inner.extend(layer.decoration.describe(mat.ruler, &layer.openings).into_iter().map(ParagraphText::from));
        paragraphs.extend(inner.into_iter().map(Paragraph::Inner));
        above = Some(layer);
    }
    paragraphs
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
fn openings(mat: &Mat, uneven: bool) -> Vec<Paragraph> {
    let mut found = Vec::new();
    let mut above: Option<&Layer> = None;
    for (layer, board) in mat.layers.iter().zip(1..) {
        let repeats = above.is_some_and(|above| reveal(mat, above, layer).is_some());
        // A board that only repeats the openings above follows from its reveal; its sizes help to check.
        let each = if above.is_none() { uneven } else { !repeats };
        let name = if mat.layers.len() > 1 { format!("{}: ", layer.name) } else { String::new() };
        let words = if each {
            layer.openings.iter().map(|one| placed(mat, (layer, board), one)).collect()
        } else {
            alike(mat, (layer, board))
        };
        found.extend(words.into_iter().map(|words| ParagraphText { text: name.clone() + &words.text, ..words }));
        above = Some(layer);
    }
    found.into_iter().map(Paragraph::Item).collect()
}

fn describe(mat: &Mat, layer: &Layer, opening: &Opening) -> String {
    let sight = size(mat, opening.sight.bounds());
    let shape = opening.shape.replace('_', " ");
    let bevel = if opening.bevel == layer.bevel { String::new() } else { format!(", {}", opening.bevel.name()) };
    let face = opening.face.bounds();
    let face = if opening.face == opening.sight { String::new() } else { format!(" (face {})", size(mat, face)) };
    format!("{shape} {sight}{face}{bevel}")
}

/// Returns the sizes that a description of openings of a board tells.
fn sights(numbers: &[usize], board: usize) -> impl Iterator<Item = DimensionKind> {
    numbers.iter().flat_map(move |&opening| Axis::ALL.map(|axis| DimensionKind::Sight { axis, opening, board }))
}

fn placed(mat: &Mat, (layer, board): (&Layer, usize), opening: &Opening) -> ParagraphText {
    let Borders { left, right, top, bottom } = opening.borders(mat.extent(layer));
    let read = |mm: f64| mat.ruler.read(mm).text;
    let words = format!(
        "{} {}; left {}, right {}, top {}, bottom {}",
        with_name(opening.number, &opening.name),
        describe(mat, layer, opening),
        read(left),
        read(right),
        read(top),
        read(bottom)
    );
    let border = |side| DimensionKind::SightBorder { side, opening: Some(opening.number), board };
    ParagraphText::telling(words, sights(&[opening.number], board).chain(Side::ALL.map(border)))
}

fn alike(mat: &Mat, (layer, board): (&Layer, usize)) -> Vec<ParagraphText> {
    let mut kinds: Vec<(String, Vec<usize>)> = Vec::new();
    for opening in &layer.openings {
        let name = if opening.name.is_empty() { String::new() } else { format!("{}: ", opening.name) };
        gather(&mut kinds, name + &describe(mat, layer, opening), opening.number);
    }
    let single = layer.openings.len() == 1;
    kinds
        .into_iter()
        .map(|(words, numbers)| {
            let words = if single { words } else { format!("{} {words}", ranges(&numbers)) };
            ParagraphText::telling(words, sights(&numbers, board))
        })
        .collect()
}
