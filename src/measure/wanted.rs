//! What a file is held against: the outlines and lines of a drawing, or the strokes of a machine's program.

use std::borrow::Cow;
use std::sync::Arc;

use kurbo::{Affine, Line, Point, Rect, Vec2};

use super::chains::PathChains;
use super::crossing::loops;
use super::deviation::{Chord, Chords, push_chords};
use super::over_run::OutlineCorners;
use crate::drawing::{Drawing, Mark, Role, StrokeFont};
use crate::formats::YAxis;
use crate::formats::reading::{ReadDrawing, ReadPath, ReadSegment, union};
use crate::geometry::{Flattening, Segment};
use crate::mat::Mat;
use crate::program::{Program, Stroke, Tool};
use crate::tolerance::CHORDS_MM;

/// A line whose ends are no farther than this many millimetres from other lines is one of them, if not in its place.
const BEGUN_MM: f64 = 1.0;

/// What a drawing or a program asks for, made ready to be compared with files.
#[derive(Debug)]
pub struct Wanted {
    pub(super) targets: Vec<WantedLines>,
    /// The strokes of its letters, which a file may have or not.
    pub(super) letters: Vec<Chord>,
    /// Where cuts may run on.
    pub(super) corners: OutlineCorners,
    /// The bed on which the file lies, if it is one for a machine.
    pub(super) bed: Option<MachineBed>,
    /// The program, if it is one.
    pub(super) program: Option<Program>,
}

/// Lines that belong together.
#[derive(Debug)]
pub(super) struct WantedLines {
    pub(super) role: Role,
    pub(super) opening: Option<usize>,
    /// What the framer calls the opening; may be empty.
    pub(super) name: String,
    /// Name of its layer, and number of its pen.
    pub(super) layer: Cow<'static, str>,
    pub(super) pen: u16,
    /// Bounds of its closed outlines, by which it is recognised.
    pub(super) figures: Vec<Rect>,
    pub(super) bounds: Rect,
    pub(super) chords: Vec<Chord>,
}

/// What of a controller decides where its files lie.
#[derive(Debug, Clone)]
pub(super) struct MachineBed {
    /// Millimetres in a unit of its files.
    unit: f64,
    /// Coordinates of the corner at which pages start, in formats that have some.
    page: Vec2,
    /// Whether its axes run as on a sheet of paper that is seen from behind.
    pub(super) is_flipped: bool,
}

impl Wanted {
    /// Makes a drawing ready; its areas and images are left aside.
    #[must_use]
    pub fn new(drawing: &Drawing) -> Self {
        Self::of_drawings(std::slice::from_ref(drawing))
    }

    /// Makes drawings of one sheet ready that a file holds together, such as the pen work and the cuts of a board.
    ///
    /// What is the same in several of them is asked for once.
    #[must_use]
    pub fn of_drawings(drawings: &[Drawing]) -> Self {
        let mut wanted = Self {
            targets: Vec::new(),
            letters: Vec::new(),
            corners: OutlineCorners::default(),
            bed: None,
            program: None,
        };
        for drawing in drawings {
            for target in targets(drawing, &mut wanted.corners) {
                let is_known = |known: &WantedLines| known.role == target.role && known.chords == target.chords;
                if !wanted.targets.iter().any(is_known) {
                    wanted.targets.push(target);
                }
            }
            wanted.letters.extend(letters(drawing));
        }
        wanted
    }

    /// Gives the openings the names that a mat has for them.
    #[must_use]
    pub fn named(mut self, mat: &Mat) -> Self {
        for target in &mut self.targets {
            let opening = target.opening.and_then(|number| mat.lowest(number));
            target.name = opening.map(|opening| opening.name.clone()).unwrap_or_default();
        }
        self
    }

    /// Makes the program of a machine ready: every stroke, where it lies on the bed, runs on beyond corners and leads in.
    #[must_use]
    pub fn of_program(program: &Program) -> Self {
        let mut targets: Vec<WantedLines> = Vec::new();
        for pass in &program.passes {
            let first = targets.len();
            for stroke in &pass.strokes {
                let mine = targets.iter().skip(first).position(|target| target.opening == stroke.opening);
                let at = mine.map_or(targets.len(), |at| first + at);
                if mine.is_none() {
                    targets.push(WantedLines::of_tool(&pass.tool, stroke.opening));
                }
                if let Some(target) = targets.get_mut(at) {
                    push_stroke(stroke, &mut target.chords);
                }
            }
            let strokes = |opening| pass.strokes.iter().filter(move |stroke| stroke.opening == opening);
            for target in targets.iter_mut().skip(first) {
                let paths: Vec<ReadPath> = strokes(target.opening).map(path_of).collect();
                target.figures = figures(&paths);
                let bounds = target.chords.iter().map(|chord| Rect::from_points(chord.from, chord.to));
                target.bounds = union(bounds).unwrap_or_default();
            }
        }
        let bed = Some(MachineBed::new(program));
        Self { targets, letters: Vec::new(), corners: OutlineCorners::default(), bed, program: Some(program.clone()) }
    }
}

impl WantedLines {
    fn of_role(role: Role, opening: Option<usize>, bounds: Rect, chords: Vec<Chord>) -> Self {
        let style = role.style();
        let (layer, pen) = (Cow::Borrowed(style.name), u16::from(style.pen));
        Self { role, opening, name: String::new(), layer, pen, figures: Vec::new(), bounds, chords }
    }

    /// Tells whether any line of it has a counterpart among others.
    pub(super) fn is_begun_in(&self, lines: &Chords) -> bool {
        let is_near = |point| lines.distance(point) <= BEGUN_MM;
        self.chords.iter().any(|chord| is_near(chord.from) && is_near(chord.to))
    }

    fn of_tool(tool: &Tool, opening: Option<usize>) -> Self {
        let layer = Cow::Owned(tool.layer.clone());
        let target = Self::of_role(tool.work.role(), opening, Rect::ZERO, Vec::new());
        Self { layer, pen: tool.number, ..target }
    }
}

impl MachineBed {
    fn new(program: &Program) -> Self {
        let (controller, extent) = (&program.controller, program.extent);
        let page = Vec2::new(extent.x0.min(0.0), extent.y0.min(0.0));
        let is_flipped = controller.origin.x.vector().cross(controller.origin.y.vector()) < 0.0;
        Self { unit: controller.unit.millimetres, page, is_flipped }
    }

    /// Brings what was read to the bed, as the machine reads it.
    pub(super) fn bring(&self, reading: &mut ReadDrawing) {
        // What bare numbers mean is known from the profile only.
        if !reading.format.unit_is_obeyed || !reading.unit.stated {
            let by = self.unit / reading.unit.millimetres;
            reading.transform(Affine::scale(by));
            reading.scale_runs(by);
        }
        if reading.format.y == YAxis::Up {
            reading.transform(Affine::FLIP_Y);
        } else {
            // Readers count from the corner of the page, and what lies on the low side of zero moves that.
            reading.transform(Affine::translate(self.page));
        }
    }
}

/// Makes what was read of the file of a machine ready to be compared with its program, in the frame of its bed.
pub(super) fn bring_to_bed(reading: &mut ReadDrawing, program: &Program) {
    MachineBed::new(program).bring(reading);
}

/// Returns the bounds of the outlines that paths enclose, crossing at corners or not.
pub(super) fn figures(paths: &[ReadPath]) -> Vec<Rect> {
    let chains = PathChains::of(paths);
    let (loops, _) = loops(&chains);
    let crossing = loops.iter().map(|around| chains.bounds_around(around));
    chains.closed.iter().map(|chain| chains.bounds(*chain)).chain(crossing).collect()
}

/// Returns the outlines and lines of a drawing, and adds the corners of its outlines.
fn targets(drawing: &Drawing, corners: &mut OutlineCorners) -> Vec<WantedLines> {
    let mut targets: Vec<WantedLines> = Vec::new();
    for layer in &drawing.layers {
        let mut lines: Vec<Chord> = Vec::new();
        for mark in &layer.marks {
            match mark {
                Mark::Outline { outline, opening } => {
                    let mut points = outline.flatten(CHORDS_MM);
                    points.extend(points.first().copied());
                    let mut chords = Vec::with_capacity(points.len());
                    push_chords(&points, &mut chords);
                    corners.add(outline);
                    let bounds = outline.bounds();
                    let target = WantedLines::of_role(layer.role, *opening, bounds, chords);
                    targets.push(WantedLines { figures: vec![bounds], ..target });
                }
                Mark::Line { points, .. } => push_chords(points, &mut lines),
                Mark::Text(_) | Mark::Area(_) | Mark::Image(_) => {}
            }
        }
        if let Some(bounds) = union(lines.iter().map(|chord| Rect::from_points(chord.from, chord.to))) {
            targets.push(WantedLines::of_role(layer.role, None, bounds, lines));
        }
    }
    targets
}

/// Returns the strokes of the letters of a drawing.
fn letters(drawing: &Drawing) -> Vec<Chord> {
    let mut chords = Vec::new();
    for mark in drawing.layers.iter().flat_map(|layer| &layer.marks) {
        if let Mark::Text(text) = mark {
            for polyline in StrokeFont::strokes(text, &mut String::new()) {
                push_chords(&polyline.points, &mut chords);
                if let (true, Some(first), Some(last)) =
                    (polyline.closed, polyline.points.first(), polyline.points.last())
                {
                    chords.push(Chord { from: *last, to: *first });
                }
            }
        }
    }
    chords
}

/// Adds the chords of a stroke.
pub(super) fn push_stroke(stroke: &Stroke, chords: &mut Vec<Chord>) {
    for segment in &stroke.segments {
        let mut points: Vec<Point> = Vec::new();
        match segment {
            Segment::Line(line) => points.extend([line.p0, line.p1]),
            Segment::Arc(arc) => {
                arc.append_points(CHORDS_MM, Flattening::Inside, &mut points);
                points.push(segment.end());
            }
        }
        push_chords(&points, chords);
    }
}

/// Returns a stroke as a chain of chords.
fn path_of(stroke: &Stroke) -> ReadPath {
    let mut chords = Vec::new();
    push_stroke(stroke, &mut chords);
    let pieces = chords.iter().map(|chord| ReadSegment::Line(Line::new(chord.from, chord.to))).collect();
    ReadPath { layer: "".into(), closed: stroke.closed, pieces, line: 0, run: Arc::default() }
}
