//! A picture of a file over what it should be: what differs is numbered where it differs, and the run of a machine has its order.

use kurbo::{Affine, Point, Rect, Size, Vec2};

use super::against::Comparison;
use super::chains::back_at_start;
use super::crossing::LONGEST_OVER_RUN_MM;
use super::deviation::Chord;
use super::wanted::Wanted;
use crate::drawing::{Anchor, Drawing, Lettering, Mark, Role, StrokeFont, Text, letter_height};
use crate::formats::reading::{ReadDrawing, ReadPath, ReadSegment};
use crate::geometry::Outline;
use crate::pairs::pairs;
use crate::tolerance::{ALIKE_CHORDS_MM, LEAST_OVER_RUN_MM, PARALLEL};

/// Length in millimetres of the longer side of what is shown, and the room round it.
const LONGER_SIDE_MM: f64 = 260.0;
const MARGIN_MM: f64 = 12.0;

/// Strokes whose order and over-runs are numbered: more numbers would lie on each other.
const MOST_NUMBERS: usize = 80;
/// Differences that are listed below.
const MOST_LISTED: usize = 30;
/// Numbers that are the same and nearer than this stand once.
const SAME_NUMBER_MM: f64 = 5.0;
/// Radius of the rings round what differs.
const RING_MM: f64 = 2.5;

/// A file and what it should be, in one frame.
struct Overlay<'a> {
    asked: &'a [Vec<Chord>],
    paths: &'a [ReadPath],
    /// Where the file differs, and how.
    differences: Vec<(Option<Point>, String)>,
    /// Whether the order of the strokes means something.
    is_run: bool,
}

impl Wanted {
    /// Draws what was read of a file over what it should be, with numbers where it differs by more than `within` millimetres and a list of
    /// these below; of a machine with the order of the strokes, travel and over-runs.
    ///
    /// `words` stand below the picture. It has the size of a page, whatever the size of the mat.
    #[must_use]
    pub fn picture(&self, reading: &ReadDrawing, comparison: &Comparison, within: f64, words: &[String]) -> Drawing {
        let mut reading = reading.clone();
        if let Some(bed) = &self.bed {
            bed.bring(&mut reading);
        }
        reading.transform(comparison.fit.way);
        let seen = self.program.as_ref().map_or(Affine::IDENTITY, |program| {
            let (x, y) = (program.controller.origin.x.vector(), program.controller.origin.y.vector());
            Affine::new([x.x, x.y, y.x, y.y, 0.0, 0.0])
        });
        reading.transform(seen);
        let turned = |chord: &Chord| Chord { from: seen * chord.from, to: seen * chord.to };
        let asked: Vec<Vec<Chord>> =
            self.targets.iter().map(|target| target.chords.iter().map(turned).collect()).collect();
        let mut differences = differences(comparison, within);
        for (at, _) in &mut differences {
            *at = at.map(|at| seen * at);
        }
        let is_run = self.program.is_some();
        Overlay { asked: &asked, paths: &reading.paths, differences, is_run }.draw(words)
    }
}

/// Lists where a file differs, and how.
fn differences(comparison: &Comparison, within: f64) -> Vec<(Option<Point>, String)> {
    let run = comparison.run.iter().flat_map(|run| &run.differences);
    let mut all: Vec<(Option<Point>, String)> = run.map(|difference| (difference.at, difference.to_string())).collect();
    // A stroke that differs is named with its line already.
    if all.is_empty() {
        let far = |distance: f64| if distance.is_finite() { format!("{distance:.3} mm") } else { "all".to_owned() };
        for asked in comparison.asked.iter().filter(|asked| asked.farthest.distance > within) {
            let what = asked.opening.map_or(String::new(), |opening| format!(" {opening}"));
            let message =
                format!("{}{what}: the file is off by up to {}", asked.role.name(), far(asked.farthest.distance));
            all.push((Some(asked.farthest.at), message));
        }
        if let Some((drawn, layer)) = comparison.drawn.as_ref().filter(|(drawn, _)| drawn.distance > within) {
            all.push((
                Some(drawn.at),
                format!("the file, {layer}: up to {} away from anything in the job", far(drawn.distance)),
            ));
        }
    }
    all
}

impl Overlay<'_> {
    fn draw(&self, words: &[String]) -> Drawing {
        let around = self.bounds();
        let scale = LONGER_SIDE_MM / around.width().max(around.height()).max(1.0);
        let width = (scale * around.width()).max(0.6 * LONGER_SIDE_MM);
        let rows = self.rows(words, width);
        let row = 1.7 * letter_height::TEXT;
        let bottom = 2.0 * MARGIN_MM + scale * around.height();
        let sheet = Size::new(width + 2.0 * MARGIN_MM, bottom + row * rows.len() as f64 + MARGIN_MM);
        let place = Affine::translate((MARGIN_MM, MARGIN_MM))
            * Affine::scale(scale)
            * Affine::translate(-around.origin().to_vec2());
        let mut picture =
            Overlaid { drawing: Drawing::new("A file over what it should be", "comparison", sheet), place };
        for chords in self.asked {
            picture.chords(Role::Edge, chords);
        }
        for path in self.paths {
            picture.line(Role::Face, path.flatten(ALIKE_CHORDS_MM / scale));
        }
        if self.is_run {
            self.run(&mut picture);
        }
        for (number, (at, _)) in self.differences.iter().enumerate() {
            if let Some(at) = at.filter(|at| at.is_finite()) {
                picture.ring(at, number);
            }
        }
        for (number, words) in rows.into_iter().enumerate() {
            let at = Point::new(MARGIN_MM, bottom + row * number as f64);
            picture.drawing.add(Role::Label, Mark::Text(Text::new(words, at, letter_height::TEXT, Anchor::Start)));
        }
        picture.drawing
    }

    fn bounds(&self) -> Rect {
        let asked = self.asked.iter().flatten().map(Chord::bounds);
        // Travel starts at zero.
        let zero = self.is_run.then_some(Rect::ZERO);
        let all = asked.chain(self.paths.iter().map(ReadPath::bounds)).chain(zero).filter(|bounds| bounds.is_finite());
        all.reduce(|all, one| all.union(one)).unwrap_or_default()
    }

    /// Returns the lines below the picture.
    fn rows(&self, words: &[String], width: f64) -> Vec<String> {
        let mut all = vec!["Black: the job. Blue: the file. Red rings: where they differ.".to_owned()];
        if self.is_run {
            all.push(
                "Numbers: the order of the strokes. Dashed: travel. Green: how far a stroke runs on beyond a corner or over its start, in mm.".to_owned(),
            );
        }
        all.extend_from_slice(words);
        all.extend(
            self.differences
                .iter()
                .take(MOST_LISTED)
                .enumerate()
                .map(|(number, (_, words))| format!("({}) {words}", number + 1)),
        );
        if let more @ 1.. = self.differences.len().saturating_sub(MOST_LISTED) {
            all.push(format!("and {more} more"));
        }
        all.iter().flat_map(|words| Lettering::wrap(words, width, letter_height::TEXT)).collect()
    }

    /// Draws the order of the strokes, the travel between them and how far they run on.
    fn run(&self, picture: &mut Overlaid) {
        let mut at = Point::ORIGIN;
        for (number, path) in self.paths.iter().enumerate() {
            let (Some(first), Some(last)) = (path.pieces.first(), path.pieces.last()) else { continue };
            picture.line(Role::Guide, vec![at, first.start()]);
            at = last.end();
            if number < MOST_NUMBERS {
                picture.text(Role::Label, (number + 1).to_string(), first.start(), Vec2::new(-0.8, -0.8));
            }
        }
        if self.paths.len() > MOST_NUMBERS {
            return;
        }
        let mut labels: Vec<OverRunLabel> = Vec::new();
        for over_run in self.over_runs() {
            let (at, words) = (picture.place * over_run.end(), format!("{:+.1}", over_run.length));
            let is_same = |known: &OverRunLabel| known.words == words && (known.on_page - at).hypot() < SAME_NUMBER_MM;
            match labels.iter_mut().find(|known| is_same(known)) {
                // Two strokes that cross run on alike, and one label is enough.
                Some(known) => {
                    known.goes_up |= over_run.goes_up();
                    if !known.strokes.contains(&over_run.stroke) {
                        known.strokes.push(over_run.stroke);
                    }
                }
                None => {
                    labels.push(OverRunLabel {
                        at: over_run.end(),
                        on_page: at,
                        words,
                        strokes: vec![over_run.stroke],
                        goes_up: over_run.goes_up(),
                    });
                }
            }
            picture.line(Role::Tick, over_run.points);
        }
        for label in labels {
            let strokes: Vec<String> = label.strokes.iter().map(|stroke| (stroke + 1).to_string()).collect();
            let by = Vec2::new(0.8, if label.goes_up { -1.2 } else { 3.0 });
            picture.text(Role::Tick, format!("{}: {}", strokes.join(", "), label.words), label.at, by);
        }
    }

    /// Lists where strokes run on: beyond others at corners, and over their own start.
    fn over_runs(&self) -> Vec<OverRunShown> {
        let mut all = Vec::new();
        for (stroke, path) in self.paths.iter().enumerate().filter(|(_, path)| !path.closed) {
            // A lead-in comes before the start that the cut runs over.
            let without_lead_in =
                ReadPath { pieces: path.pieces.get(1..).unwrap_or_default().to_vec(), ..path.clone() };
            let over_start = |path: &ReadPath| path.pieces.get(back_at_start(path)?..).map(<[ReadSegment]>::to_vec);
            let over_start = over_start(path).or_else(|| over_start(&without_lead_in));
            if let Some(pieces) = over_start.filter(|pieces| !pieces.is_empty()) {
                let points = ReadPath { pieces, ..path.clone() }.flatten(ALIKE_CHORDS_MM);
                let length = pairs(&points).map(|(from, to)| from.distance(*to)).sum();
                all.push(OverRunShown { stroke, points, length });
                continue;
            }
            let ends = [path.pieces.first().map(ReadSegment::reversed), path.pieces.last().cloned()];
            for end in ends.into_iter().flatten() {
                if let Some(length) = self.runs_on(stroke, &end) {
                    let from = end.end() - unit(end.end() - end.start()) * length;
                    all.push(OverRunShown { stroke, points: vec![from, end.end()], length });
                }
            }
        }
        all
    }

    /// Returns how far a straight end runs on beyond another stroke.
    fn runs_on(&self, place: usize, end: &ReadSegment) -> Option<f64> {
        let ReadSegment::Line(line) = end else { return None };
        let outward = unit(line.p1 - line.p0);
        let others =
            self.paths.iter().enumerate().filter(|(other, path)| *other != place && *path.layer == *self.layer(place));
        let pieces = others.flat_map(|(_, path)| [path.pieces.first(), path.pieces.last()]).flatten();
        let lengths = pieces.filter_map(|piece| {
            let ReadSegment::Line(other) = piece else { return None };
            let along = other.p1 - other.p0;
            let slant = outward.cross(unit(along));
            if slant.abs() < PARALLEL {
                return None;
            }
            let between = line.p1 - other.p0;
            let length = between.cross(along) / outward.cross(along);
            let share = between.cross(outward) / along.cross(outward);
            let is_end = (LEAST_OVER_RUN_MM..=LONGEST_OVER_RUN_MM.min(line.p0.distance(line.p1))).contains(&length);
            (is_end && (0.0..=1.0).contains(&share)).then_some(length)
        });
        lengths.min_by(f64::total_cmp)
    }

    fn layer(&self, place: usize) -> &str {
        self.paths.get(place).map_or("", |path| &path.layer)
    }
}

/// Where a stroke runs on.
struct OverRunShown {
    stroke: usize,
    points: Vec<Point>,
    length: f64,
}

impl OverRunShown {
    fn end(&self) -> Point {
        self.points.last().copied().unwrap_or_default()
    }

    /// Tells whether it ends above a corner, so that its label has more room there.
    fn goes_up(&self) -> bool {
        self.points.first().is_some_and(|first| self.end().y - first.y < -0.5 * self.length)
    }
}

/// What stands beside over-runs of one length in one place.
struct OverRunLabel {
    at: Point,
    on_page: Point,
    words: String,
    strokes: Vec<usize>,
    goes_up: bool,
}

fn unit(along: Vec2) -> Vec2 {
    let length = along.hypot();
    if length > 0.0 { along / length } else { Vec2::ZERO }
}

/// The picture as it is drawn.
struct Overlaid {
    drawing: Drawing,
    /// From what is shown to the page.
    place: Affine,
}

impl Overlaid {
    fn line(&mut self, role: Role, points: Vec<Point>) {
        let points: Vec<Point> = points.into_iter().map(|point| self.place * point).collect();
        if pairs(&points).any(|(a, b)| a != b) {
            self.drawing.add(role, Mark::line(points));
        }
    }

    /// Draws chords, those that go on from each other as one line.
    fn chords(&mut self, role: Role, chords: &[Chord]) {
        let mut points: Vec<Point> = Vec::new();
        for chord in chords {
            if points.last().is_some_and(|last| *last != chord.from) {
                self.line(role, std::mem::take(&mut points));
            }
            if points.is_empty() {
                points.push(chord.from);
            }
            points.push(chord.to);
        }
        self.line(role, points);
    }

    fn text(&mut self, role: Role, words: String, at: Point, by: Vec2) {
        let at = self.place * at;
        // What would run over the edge of the page stands on the other side, below the numbers of strokes.
        let is_wide = at.x + by.x + StrokeFont::width(&words, letter_height::TEXT) > self.drawing.sheet.width - 1.0;
        let by = if is_wide && by.x > 0.0 { Vec2::new(-by.x, by.y.max(3.0)) } else { by };
        let anchor = if by.x < 0.0 { Anchor::End } else { Anchor::Start };
        let text = Text::new(words, at + by, letter_height::TEXT, anchor);
        let is_known = |mark: &Mark| matches!(mark, Mark::Text(known) if known.content == text.content && (known.at - text.at).hypot() < SAME_NUMBER_MM);
        if !self.drawing.layers.iter().flat_map(|layer| &layer.marks).any(is_known) {
            self.drawing.add(role, Mark::Text(text));
        }
    }

    /// Draws a ring round a place, with its number.
    fn ring(&mut self, at: Point, number: usize) {
        let center = self.place * at;
        if let Some(outline) = Outline::ellipse(center, RING_MM, RING_MM, 0.0) {
            self.drawing.add(Role::Cut, Mark::Outline { outline, opening: None });
        }
        // The numbers of several in one place stand below each other.
        let taken = |by: f64| {
            let here = center + Vec2::new(RING_MM + 0.5, by);
            self.drawing.layers.iter().flat_map(|layer| &layer.marks).any(|mark| match mark {
                Mark::Text(text) => (text.at - here).hypot() < letter_height::TEXT,
                _ => false,
            })
        };
        let by = (0..8).map(|row| 1.5 * letter_height::TEXT * f64::from(row)).find(|by| !taken(*by)).unwrap_or(0.0);
        let at = center + Vec2::new(RING_MM + 0.5, by);
        let text = Text::new(format!("({})", number + 1), at, letter_height::TEXT, Anchor::Start);
        self.drawing.add(Role::Cut, Mark::Text(text));
    }
}
