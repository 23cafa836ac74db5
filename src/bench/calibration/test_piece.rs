//! The test pieces that a calibration asks for: which numbers to set, the job to draw, and the form to fill in.

use std::fmt::Write;

use crate::bench::{Cutter, End, Lean, RailSide};
use crate::dimensions::Side;
use crate::fault::Certain;
use crate::job::{Measure, SizeMeasure, WrittenBevel, WrittenBorder, WrittenJob, WrittenOpening};
use crate::length::{Ruler, Unit};
use crate::mat::BevelDirection;
use crate::tolerance::ROUNDING_COUNT;

/// A blank with one window, every side of which is cut at another setting; lengths in millimetres.
#[derive(Debug, Clone, PartialEq)]
pub struct TestPiece {
    /// Its number, counted from one.
    pub number: usize,
    /// What the squaring arm is set to for its width.
    pub width: f64,
    /// What the squaring arm is set to for its height.
    pub height: f64,
    /// Its sides as seen from the front: left, bottom, right, top.
    pub sides: [TestSide; 4],
    /// Whether its cuts are started and ended by eye, with the mark on the head on the pencil lines.
    pub by_eye: bool,
    ruler: Ruler,
    bevel: WrittenBevel,
}

/// What to set for one side of a test piece, in millimetres on the scales.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct TestSide {
    /// Which one, as seen from the front.
    pub side: Side,
    /// What the guide is set to.
    pub guide: f64,
    /// What the far stop is set to, or where the mark stands: the number of the side that crosses there, or what that leaves
    /// of this side where the stop counts along the rail.
    pub far: f64,
    /// The same at the near end.
    pub near: f64,
    /// The side at the far end.
    pub far_side: Side,
    /// The side at the near end.
    pub near_side: Side,
}

/// The numbers of the guide as shares of the smallest reach, for left, bottom, right and top of one piece after the
/// other: spread as far as they go, and no two alike, so that the stretch of every scale shows.
const SHARES: [[f64; 4]; 4] =
    [[0.2, 0.75, 0.35, 0.55], [0.65, 0.3, 0.5, 0.2], [0.4, 0.6, 0.25, 0.7], [0.55, 0.25, 0.75, 0.4]];
const SIDES: [Side; 4] = [Side::Left, Side::Bottom, Side::Right, Side::Top];
/// Width and height in millimetres that a window has at least: long enough that both ends of a border tell them apart.
const WINDOW: [f64; 2] = [100.0, 125.0];

impl Cutter {
    /// Plans test pieces for this cutter: some cut with the stops, some started and ended by eye; on a cutter without
    /// stops all are cut by eye.
    ///
    /// # Errors
    ///
    /// Returns the reason in words if its reach is too small for four different settings.
    pub fn test_pieces(&self, with_stops: usize, by_eye: usize) -> Result<Vec<TestPiece>, String> {
        // A stop that counts along the rail is set to what the other border leaves of the side.
        let ends = End::BOTH.into_iter().filter(|end| !self.counts_along_rail(*end));
        let reaches = ends.filter_map(|end| self.stop_at(end)).map(|scale| scale.reach);
        let reach = reaches.fold(self.guide.reach, f64::min);
        let step = step(self.ruler);
        let all = with_stops + by_eye;
        (0..all).map(|index| self.test_piece(index, reach, step, index >= with_stops || self.stops.is_none())).collect()
    }

    fn test_piece(&self, index: usize, reach: f64, step: f64, by_eye: bool) -> Result<TestPiece, String> {
        let shares = SHARES.get(index % SHARES.len()).copied().certain("share for this piece");
        let down = |length: f64| ((length / step) + ROUNDING_COUNT).floor() * step;
        let guides = shares.map(|share| down(share * reach));
        let [left, bottom, right, top] = guides;
        if guides.iter().any(|guide| *guide <= 0.0) {
            let shown = self.ruler.show(reach);
            return Err(format!("guide and stops that reach {shown} leave no room for four different settings"));
        }
        let up = |length: f64| (length / step - ROUNDING_COUNT).ceil() * step;
        // Blanks of different sizes, so that the stretch of the arm shows too.
        let [wide, high] = WINDOW.map(|least| up(least) + 2.0 * step * index as f64);
        let (width, height) = (left + right + wide, top + bottom + high);
        if width.max(height) > self.arm.reach {
            let (size, reach) = (self.ruler.show_size(width, height), self.ruler.show(self.arm.reach));
            return Err(format!("a test piece of {size} is larger than the {reach} that the arm reaches"));
        }
        let along_rail = !by_eye && self.counts_along_rail(End::Far);
        let far_reach = self.stop_at(End::Far).map_or(f64::INFINITY, |scale| scale.reach);
        if along_rail && width.max(height) > far_reach {
            let (size, reach) = (self.ruler.show_size(width, height), self.ruler.show(far_reach));
            return Err(format!("the far stop reaches {reach} along the rail, too little for a test piece of {size}"));
        }
        // Against the clock, the next side and the one before.
        let (next, before) = if self.guide_side == RailSide::Left { (1, 3) } else { (3, 1) };
        let side = |place: usize| {
            let (far, near) = ((place + next) % 4, (place + before) % 4);
            let number = |at: usize| guides.get(at).copied().certain("distance for this side");
            let along = if place.is_multiple_of(2) { height } else { width };
            let side = |at: usize| SIDES.get(at).copied().certain("side of this number");
            TestSide {
                side: side(place),
                guide: number(place),
                far: if along_rail { along - number(far) } else { number(far) },
                near: number(near),
                far_side: side(far),
                near_side: side(near),
            }
        };
        let direction = match self.lean {
            Lean::TowardGuide => BevelDirection::Standard,
            Lean::AwayFromGuide => BevelDirection::Reverse,
        };
        Ok(TestPiece {
            number: index + 1,
            width,
            height,
            sides: [side(0), side(1), side(2), side(3)],
            by_eye,
            ruler: self.ruler,
            bevel: WrittenBevel {
                angle_from_upright: Some(self.bevel_angle_deg),
                direction: Some(direction),
                ..WrittenBevel::default()
            },
        })
    }
}

/// Returns a round step in millimetres that lies on the marks of a scale: 1/4 in or 5 mm where it has them.
fn step(ruler: Ruler) -> f64 {
    match ruler.unit() {
        Unit::Inch => 25.4 / f64::from(ruler.parts().min(4)),
        Unit::Millimetre | Unit::Centimetre => 5.0,
    }
}

impl TestPiece {
    /// Returns the piece as a job that can be drawn: its borders are the numbers to set.
    #[must_use]
    pub fn job(&self) -> WrittenJob {
        let unit = self.ruler.unit();
        let text = |mm: f64| Measure::from(self.ruler.read(mm).text.as_str());
        let [left, bottom, right, top] = self.sides.map(|side| Some(text(side.guide)));
        WrittenJob {
            name: format!("Test piece {}", self.number),
            unit: Some(unit),
            ruler_parts: Some(self.ruler.parts()),
            outer: Some(SizeMeasure::from([text(self.width), text(self.height)])),
            border: Some(WrittenBorder { left, right, top, bottom, ..WrittenBorder::default() }),
            bevel: Some(self.bevel.clone()),
            opening: vec![WrittenOpening::default()],
            sizes: crate::mat::Edge::Back,
            ..WrittenJob::default()
        }
    }

    /// Returns a number of its scales, in millimetres, as it is read there.
    #[must_use]
    pub fn read(&self, number: f64) -> String {
        self.ruler.read(number).text
    }

    /// Returns what is set for a side, in words: guide, far end and near end.
    #[must_use]
    pub fn settings(&self, side: &TestSide) -> [String; 3] {
        let read = |mm: f64| self.read(mm);
        let what = if self.by_eye { "mark" } else { "stop" };
        [
            format!("guide {}", read(side.guide)),
            format!("far {what} {} ({})", read(side.far), side.far_side.name()),
            format!("near {what} {} ({})", read(side.near), side.near_side.name()),
        ]
    }
}

/// Returns the record of test pieces with what to set, and with what to measure left to be filled in, as commented TOML.
#[must_use]
pub fn record_form(cutter: &Cutter, pieces: &[TestPiece]) -> String {
    let mut text = String::new();
    // Writing to a string cannot fail.
    let _ = write_form(cutter, pieces, &mut text);
    text
}

fn write_form(cutter: &Cutter, pieces: &[TestPiece], out: &mut String) -> std::fmt::Result {
    let (hand, seen) = (
        cutter.guide_side.name(),
        match cutter.lean {
            Lean::TowardGuide => "face",
            Lean::AwayFromGuide => "back",
        },
    );
    write!(
        out,
        "\
# Measurements of test pieces: fill in the numbers after the equals signs, remove the #, and run
#   backline calibrate fit THIS-FILE -o my-cutter.toml
# Bare numbers are in `unit`; text may have its own: \"0.4 mm\", \"3 1/32 in\". Leave what you do not measure as a comment.
# Cut every blank and window at the numbers given, whatever comes out. The board lies face down, the side being cut
# against the guide on the {hand}; sides are named as seen from the FRONT.
"
    )?;
    cutter.cautions().iter().try_for_each(|caution| writeln!(out, "# {caution}"))?;
    writeln!(out, "unit = \"{}\"", cutter.ruler.unit())?;
    writeln!(
        out,
        "# reading =          # the smallest division of the ruler you measure with; inferred from the numbers if left out"
    )?;
    writeln!(out, "# thickness =        # of the board, measured over several sheets if you can")?;
    pieces.iter().try_for_each(|piece| write_piece(piece, seen, out))
}

fn write_piece(piece: &TestPiece, seen: &str, out: &mut String) -> std::fmt::Result {
    let quoted = |mm: f64| {
        let text = piece.ruler.read(mm).text;
        if text.contains([' ', '/']) { format!("\"{text}\"") } else { text }
    };
    writeln!(out, "\n[[piece]]          # test piece {}", piece.number)?;
    writeln!(out, "arm_for_width = {}\narm_for_height = {}", quoted(piece.width), quoted(piece.height))?;
    writeln!(out, "# width =            # measured; at both ends: [first, second]\n# height =")?;
    writeln!(
        out,
        "# opening_width =    # on the BACK, between the left and right cuts; with both borders it adds up to the blank"
    )?;
    writeln!(out, "# opening_height =   # on the BACK, between the top and bottom cuts")?;
    writeln!(out, "# diagonals = [ , ]  # first the one from the corner that first lay between arm and blade")?;
    let (what, how) =
        if piece.by_eye { ("mark", "  # by eye: the mark on the head stood there") } else { ("stop", "") };
    for side in &piece.sides {
        writeln!(out, "[piece.{}]{how}", side.side.name())?;
        writeln!(out, "guide = {}", quoted(side.guide))?;
        writeln!(out, "{:<20} # {}", format!("far_{what} = {}", quoted(side.far)), side.far_side.name())?;
        writeln!(out, "{:<20} # {}", format!("near_{what} = {}", quoted(side.near)), side.near_side.name())?;
        writeln!(out, "# border =           # on the BACK, from the edge to the cut; at both ends: [far, near]")?;
        writeln!(out, "# far_over =         # on the {seen}: \"1.5 past\" the corner, or \"0.5 short\" of it")?;
        writeln!(out, "# near_over =")?;
        writeln!(out, "# bevel =            # its width seen from the front")?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::record_form;
    use crate::bench::{CalibrationRecord, Cutter, RailSide, StopsFrom};
    use crate::dimensions::Side;
    use crate::job::Syntax;
    use crate::length::{Ruler, Unit};

    fn all() -> Vec<Cutter> {
        let rulers = [(Unit::Inch, 16), (Unit::Inch, 1), (Unit::Millimetre, 1), (Unit::Centimetre, 10)];
        let rulers = rulers.into_iter().map(|(unit, parts)| Ruler::new(unit, parts).unwrap());
        rulers.flat_map(|ruler| [Cutter::usual(ruler), Cutter::without_stops(ruler)]).collect()
    }

    #[test]
    fn pieces_can_be_set_cut_and_drawn() {
        for cutter in all() {
            for piece in cutter.test_pieces(3, 2).unwrap() {
                assert_eq!(piece.by_eye, piece.number > 3 || cutter.stops.is_none());
                for side in &piece.sides {
                    for number in [side.guide, side.far, side.near] {
                        assert!(cutter.ruler.read(number).rest.abs() < 1e-9 && number <= cutter.guide.reach);
                    }
                }
                let resolved = piece.job().resolve();
                let mat = resolved.sound().unwrap_or_else(|| panic!("{:?}", resolved.problems));
                let back = mat.layers[0].openings[0].back.bounds();
                assert!((back.x0 - piece.sides[0].guide).abs() < 1e-9);
                assert!((mat.outer.height - back.y1 - piece.sides[1].guide).abs() < 1e-9);
            }
        }
    }

    #[test]
    fn the_board_lies_face_down_so_that_the_bottom_is_far_from_the_left() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        let left = |cutter: &Cutter| cutter.test_pieces(1, 0).unwrap()[0].sides[0];
        assert_eq!((left(&cutter).far_side, left(&cutter).near_side), (Side::Bottom, Side::Top));
        cutter.guide_side = RailSide::Right;
        assert_eq!((left(&cutter).far_side, left(&cutter).near_side), (Side::Top, Side::Bottom));
    }

    #[test]
    fn a_stop_along_the_rail_is_set_to_the_rest_of_the_side() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Millimetre));
        cutter.stops_from = StopsFrom::Rail;
        assert!(cutter.test_pieces(1, 0).unwrap_err().contains("along the rail"));
        cutter.stops.as_mut().unwrap().far.reach = 800.0;
        let pieces = cutter.test_pieces(1, 1).unwrap();
        let [left, bottom, ..] = pieces[0].sides;
        assert!((left.far - (pieces[0].height - bottom.guide)).abs() < 1e-9 && left.near < 150.0);
        assert!((pieces[1].sides[0].far - pieces[1].sides[1].guide).abs() < 1e-9);
    }

    #[test]
    fn settings_are_spread() {
        let cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        let pieces = cutter.test_pieces(2, 0).unwrap();
        let mut guides: Vec<f64> = pieces.iter().flat_map(|piece| piece.sides.map(|side| side.guide)).collect();
        guides.sort_by(f64::total_cmp);
        guides.dedup();
        assert!(guides.len() >= 6 && guides.last().unwrap() - guides[0] > 0.5 * cutter.guide.reach, "{guides:?}");
    }

    #[test]
    fn the_form_is_a_record_with_nothing_measured() {
        for cutter in all() {
            let form = record_form(&cutter, &cutter.test_pieces(2, 1).unwrap());
            let record = CalibrationRecord::read(&form, Syntax::Toml).unwrap_or_else(|error| panic!("{error}\n{form}"));
            assert_eq!(record.piece.len(), 3);
            assert!(record.piece[0].left.as_ref().unwrap().guide.is_some());
        }
    }

    #[test]
    fn a_short_reach_is_refused() {
        let mut cutter = Cutter::usual(Ruler::usual(Unit::Millimetre));
        cutter.guide.reach = 12.0;
        assert!(cutter.test_pieces(1, 0).is_err());
        cutter.guide.reach = 150.0;
        cutter.arm.reach = 100.0;
        assert!(cutter.test_pieces(1, 0).unwrap_err().contains("larger than the 100 mm that the arm reaches"));
    }
}
