//! The page by which a printer is measured: a bar in both directions, as long as the paper allows.

use kurbo::{Point, Size, Vec2};

use super::TilingError;
use crate::drawing::{Anchor, Drawing, Lettering, Mark, Role, Text, letter_height};
use crate::length;
use crate::page::{ScaleBar, WIDE};
use crate::paper::Paper;

/// Room in millimetres between the margin and the bars.
const ROOM: f64 = 5.0;
/// The longest bar of a roll, in millimetres.
const LONGEST: f64 = 500.0;
/// Height of capitals, and distance between lines, in millimetres.
const CAP: f64 = letter_height::HEADING;
const LINE: f64 = WIDE * CAP;

/// The page by which a printer is measured.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct TestPage {
    /// The page.
    pub drawing: Drawing,
    /// Length in millimetres of the bar along the short side of the paper, or across the roll.
    pub short: f64,
    /// Length in millimetres of the bar along the long side of the paper, or along the roll.
    pub long: f64,
}

impl TestPage {
    /// Lays out the page for a paper; `margin` is what the printer cannot reach, in millimetres.
    ///
    /// # Errors
    ///
    /// Returns an error if the paper has no room for bars of 50 mm.
    pub fn new(paper: &Paper, margin: f64) -> Result<Self, TilingError> {
        let page = match paper {
            Paper::Sheet { short, long, .. } => Size::new(*short, *long),
            Paper::Roll { width } => Size::new(*width, width.min(LONGEST)),
        };
        let inner = page.to_rect().inset(-margin - ROOM);
        let bars = (ScaleBar::metric(inner.width()), ScaleBar::metric(inner.height()));
        let (Some(short), Some(long)) = bars else {
            return Err(TilingError::new(
                format!("{paper} has no room for a bar of 50 mm in both directions"),
                "choose larger paper or a smaller margin",
            ));
        };
        let title = format!("Printer test page, {paper}");
        let mut drawing = Drawing { title, view: "printer test page", sheet: page, layers: Vec::new() };
        let corner = Point::new(inner.x0, inner.y1);
        short.draw(corner, Vec2::new(1.0, 0.0), Vec2::new(0.0, -1.0), &mut drawing);
        long.draw(corner, Vec2::new(0.0, -1.0), Vec2::new(-1.0, 0.0), &mut drawing);
        let [short, long] = [short, long].map(ScaleBar::length);
        let mut baseline = inner.y0 + LINE;
        for sentence in sentences(paper, margin, short, long) {
            for content in Lettering::wrap(&sentence, inner.width() - 2.0 * ROOM, CAP) {
                let at = Point::new(inner.x0 + ROOM, baseline);
                drawing.add(Role::Note, Mark::Text(Text::new(content, at, CAP, Anchor::Start)));
                baseline += LINE;
            }
            baseline += 0.5 * LINE;
        }
        Ok(Self { drawing, short, long })
    }
}

fn sentences(paper: &Paper, margin: f64, short: f64, long: f64) -> Vec<String> {
    let [short, long] = [short, long].map(length::exact_mm);
    vec![
        format!("PRINTER TEST PAGE for {paper}. PRINT AT 100 %, NOT FITTED TO PAGE."),
        format!("Bar at the foot, along the short side (across a roll): {short}. Measured: ________"),
        format!("Bar on the left, along the long side (along a roll): {long}. Measured: ________"),
        "Measure both bars from end to end with a steel ruler, to a quarter of a millimetre or 1/64 in, once the paper has \
         cooled and dried."
            .to_owned(),
        format!(
            "Then save what you measured, in any unit: backline printer save --paper \"{paper}\" --margin \"{}\" --short \
             \"{short}\" --long \"{long}\" -o printer.toml",
            length::exact_mm(margin)
        ),
        "From then on print with: backline print JOB --printer printer.toml".to_owned(),
    ]
}

#[cfg(test)]
mod tests {
    use super::TestPage;

    #[test]
    fn bars_are_as_long_as_the_paper_allows() {
        for (paper, short, long) in
            [("A4", 180.0, 270.0), ("Letter", 190.0, 250.0), ("A6", 80.0, 120.0), ("roll 24 in", 580.0, 470.0)]
        {
            let page = paper.parse().map(|paper| TestPage::new(&paper, 6.0));
            let found = page.ok().and_then(Result::ok).map(|page| (page.short, page.long));
            assert_eq!(found, Some((short, long)), "{paper}");
        }
        assert!("A10".parse().is_ok_and(|paper| TestPage::new(&paper, 6.0).is_err()));
    }
}
