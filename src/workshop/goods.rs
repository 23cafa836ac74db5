//! What goes with a mat, in words: frame, glass, backing and art.

use super::words::{gather, ranges, size};
use crate::dimensions::{Axis, DimensionKind, Side};
use crate::mat::{Art, Borders, Mat, PartKind};
use crate::page::{Paragraph, ParagraphText};
use crate::tolerance::READING_MM;

/// Lists what goes with the mat, with sizes.
pub(super) fn paragraphs(mat: &Mat) -> Vec<Paragraph> {
    let mut paragraphs = frame(mat);
    let sheet = size(mat, mat.outer.to_rect());
    let goods = [PartKind::Glass, PartKind::Spacers, PartKind::Mount, PartKind::Backing];
    for part in mat.package.parts.iter().filter(|part| goods.contains(&part.kind)) {
        let description = part.describe();
        let colon = if description.is_empty() { "" } else { ": " };
        let words = format!("{} {sheet}{colon}{description}", capital(part.kind.name()));
        paragraphs
            .push(Paragraph::Item(ParagraphText::telling(words, Axis::ALL.map(|axis| DimensionKind::Outer { axis }))));
    }
    paragraphs.extend(art(mat).into_iter().map(Paragraph::Item));
    paragraphs
}

fn frame(mat: &Mat) -> Vec<Paragraph> {
    let (package, ruler) = (&mat.package, mat.ruler);
    let rabbet = package.describe_rabbet(ruler).map(|words| {
        let sizes = Axis::ALL.map(|axis| [DimensionKind::Rabbet { axis }, DimensionKind::FrameSight { axis }]);
        let sizes = sizes.into_iter().flatten().chain([DimensionKind::Lip]);
        Paragraph::Item(ParagraphText::telling(format!("Frame: {words}"), sizes))
    });
    let moulding = package.describe_moulding(ruler).map(|words| {
        let outside = Axis::ALL.map(|axis| DimensionKind::FrameOutside { axis });
        ParagraphText::telling(words, outside.into_iter().chain([DimensionKind::Moulding]))
    });
    let hidden = package.describe_hidden(ruler).map(ParagraphText::from);
    let inner = hidden.into_iter().chain(moulding).chain(package.describe_depth().into_iter().map(ParagraphText::from));
    rabbet.into_iter().chain(inner.map(Paragraph::Inner)).collect()
}

/// Lists the works, alike ones together.
fn art(mat: &Mat) -> Vec<ParagraphText> {
    let mut kinds = Vec::new();
    for work in &mat.art {
        gather(&mut kinds, (size(mat, work.rect), overlap(mat, work)), work.opening);
    }
    let single = mat.art.len() == 1;
    let words = kinds.into_iter().map(|((size, overlap), numbers)| {
        let overlap = overlap.map(|words| format!("; {words}")).unwrap_or_default();
        let openings = if single { String::new() } else { format!(" in {}", ranges(&numbers)) };
        let sizes = numbers.iter().flat_map(|&opening| {
            let sides = Side::ALL.map(|side| DimensionKind::Overlap { side, opening });
            Axis::ALL.map(|axis| DimensionKind::Art { axis, opening }).into_iter().chain(sides)
        });
        ParagraphText::telling(format!("Art {size}{openings}{overlap}"), sizes)
    });
    words.collect()
}

/// Says how far a work reaches beyond its sight opening, as it lies before it is turned by an angle.
fn overlap(mat: &Mat, work: &Art) -> Option<String> {
    let sight = work.bounds_of(&mat.lowest(work.opening)?.sight);
    let Borders { left, right, top, bottom } = Borders::around(sight, work.rect);
    let sides = [("left", left), ("right", right), ("top", top), ("bottom", bottom)];
    let beyond = |mm: f64| if mm < 0.0 { "paper shows" } else { "overlap" };
    if sides.iter().all(|(_, mm)| (mm - left).abs() < READING_MM) {
        return Some(format!("{} {} all round", beyond(left), mat.ruler.read(left.abs())));
    }
    let mut words = String::new();
    let mut last = "";
    for (name, mm) in sides {
        let what = beyond(mm);
        let what = if std::mem::replace(&mut last, what) == what { String::new() } else { format!("{what} ") };
        let comma = if words.is_empty() { "" } else { ", " };
        words += &format!("{comma}{what}{name} {}", mat.ruler.read(mm.abs()).text);
    }
    Some(words)
}

/// Begins a word with a capital letter.
fn capital(word: &str) -> String {
    let mut letters = word.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}
