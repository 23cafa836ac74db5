//! A file measured against the drawing that it should be.

use kurbo::{Affine, Rect, Size};

use super::deviation::{CHORDS_MM, Chord, Chords, Farthest, farthest_beyond, push_chords};
use super::fit::{Fit, fits};
use super::outlines::outlines;
use super::path::{Path, union};
use super::reading::Reading;
use crate::drawing::{Drawing, Mark, Role, StrokeFont};

/// How far a file is from a drawing. All places are on the sheet of the drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct Comparison {
    /// How the file had to be moved, turned, mirrored or scaled to lie on the drawing.
    pub fit: Fit,
    /// What the drawing asks for, each with its distance from the lines of the file.
    pub asked: Vec<Asked>,
    /// The place of the file that is farthest from everything that is asked for, and its layer; `None` of an empty file.
    pub drawn: Option<(Farthest, String)>,
}

/// An outline or a group of lines that a drawing asks for.
#[derive(Debug, Clone, PartialEq)]
pub struct Asked {
    /// What it is for.
    pub role: Role,
    /// Number of the opening, if it is an outline of one.
    pub opening: Option<usize>,
    /// Width and height in millimetres.
    pub size: Size,
    /// Its place that is farthest from the lines of the file.
    pub farthest: Farthest,
}

impl Comparison {
    /// Returns the largest distance in millimetres, either way.
    #[must_use]
    pub fn largest(&self) -> f64 {
        let asked = self.asked.iter().map(|asked| asked.farthest.distance).fold(0.0, f64::max);
        self.drawn.as_ref().map_or(f64::INFINITY, |(farthest, _)| farthest.distance.max(asked))
    }

    /// Tells whether the file is the drawing, at true size and not mirrored, to within `bound` millimetres.
    #[must_use]
    pub fn agrees(&self, bound: f64) -> bool {
        self.largest() <= bound && self.fit.has_true_size() && !self.fit.mirrored
    }
}

/// What a drawing asks for, made ready to be compared with files.
#[derive(Debug)]
pub struct Wanted {
    targets: Vec<Target>,
    /// The strokes of its letters, which a file may have or not.
    letters: Vec<Chord>,
}

/// Lines of a drawing that belong together.
#[derive(Debug)]
struct Target {
    role: Role,
    opening: Option<usize>,
    is_outline: bool,
    bounds: Rect,
    chords: Vec<Chord>,
}

impl Wanted {
    /// Makes a drawing ready; its areas and images are left aside.
    #[must_use]
    pub fn new(drawing: &Drawing) -> Self {
        Self { targets: targets(drawing), letters: letters(drawing) }
    }

    /// Measures a file whose frame of reference is known: `way` leads to the sheet of the drawing.
    #[must_use]
    pub fn compare_placed(&self, reading: &Reading, way: Affine) -> Comparison {
        self.compare_beyond(0.0, reading, way)
    }

    /// Measures a file in whatever place, position and scale it fits best; `None` if it does not at all.
    ///
    /// Turned by quarters, mirrored, or scaled by a factor, it is compared as if it were not, and [`Fit`] says what was
    /// done.
    #[must_use]
    pub fn compare_fitted(&self, reading: &Reading) -> Option<Comparison> {
        let found: Vec<Rect> = outlines(&reading.paths).iter().filter(|path| path.closed).map(Path::bounds).collect();
        let outlines = self.targets.iter().filter(|target| target.is_outline);
        let asked: Vec<Rect> = outlines.map(|target| target.bounds).collect();
        let mut best: Option<Comparison> = None;
        for fit in fits(&found, &asked) {
            let comparison = self.compare(&reading.paths, fit, 0.0);
            // A mat that is its own mirror image fits either way: then it is not mirrored.
            if best.as_ref().is_none_or(|best| comparison.largest() < best.largest() - 2.0 * CHORDS_MM) {
                best = Some(comparison);
            }
        }
        best
    }
}

/// Returns the outlines and lines of a drawing.
fn targets(drawing: &Drawing) -> Vec<Target> {
    let mut targets: Vec<Target> = Vec::new();
    for layer in &drawing.layers {
        let mut lines: Vec<Chord> = Vec::new();
        for mark in &layer.marks {
            match mark {
                Mark::Outline { outline, opening } => {
                    let mut points = outline.flatten(CHORDS_MM);
                    points.extend(points.first().copied());
                    let mut chords = Vec::with_capacity(points.len());
                    push_chords(&points, &mut chords);
                    targets.push(Target {
                        role: layer.role,
                        opening: *opening,
                        is_outline: true,
                        bounds: outline.bounds(),
                        chords,
                    });
                }
                Mark::Line(points) => push_chords(points, &mut lines),
                Mark::Text(_) | Mark::Area(_) | Mark::Image(_) => {}
            }
        }
        if let Some(bounds) = union(lines.iter().map(|chord| Rect::from_points(chord.from, chord.to))) {
            targets.push(Target { role: layer.role, opening: None, is_outline: false, bounds, chords: lines });
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

/// By what the layers of a file go: names of roles, numbers of pens, or nothing that is known.
#[derive(Clone, Copy, PartialEq)]
enum Naming {
    Roles,
    Pens,
    None,
}

impl Naming {
    /// Finds out by what the layers go: all that is asked for must have a layer.
    fn of(paths: &[Path], targets: &[Target]) -> Self {
        [Self::Roles, Self::Pens]
            .into_iter()
            .find(|naming| {
                let has_layer = |target: &Target| paths.iter().any(|path| naming.belongs(path, target.role));
                !targets.is_empty() && targets.iter().all(has_layer)
            })
            .unwrap_or(Self::None)
    }

    fn belongs(self, path: &Path, role: Role) -> bool {
        match self {
            Self::Roles => path.layer.eq_ignore_ascii_case(role.name()),
            Self::Pens => path.layer.strip_prefix("pen ").is_some_and(|pen| pen.parse() == Ok(role.style().pen)),
            Self::None => true,
        }
    }
}

impl Wanted {
    /// Measures a file in a known frame, with the farthest place for certain only beyond `enough` millimetres.
    pub(super) fn compare_beyond(&self, enough: f64, reading: &Reading, way: Affine) -> Comparison {
        self.compare(&reading.paths, Fit { scale: 1.0, quarter_turns: 0, mirrored: false, way }, enough)
    }

    /// Returns the place of a file that is farthest from all lines and letters, whatever its layer.
    pub(super) fn surplus_beyond(&self, enough: f64, reading: &Reading, way: Affine) -> Option<Farthest> {
        let drawn: Vec<Chord> = reading.paths.iter().flat_map(|path| chords_of(path, way)).collect();
        let wanted = self.targets.iter().flat_map(|target| &target.chords).chain(&self.letters);
        farthest_beyond(enough, &drawn, &Chords::new(wanted.copied().collect()))
    }

    fn compare(&self, paths: &[Path], fit: Fit, enough: f64) -> Comparison {
        let naming = Naming::of(paths, &self.targets);
        let flat: Vec<Vec<Chord>> = paths.iter().map(|path| chords_of(path, fit.way)).collect();
        let mut asked = Vec::new();
        let mut drawn: Option<(Farthest, String)> = None;
        for group in groups(&self.targets, naming) {
            let (mine, found): (Vec<&Path>, Vec<&Vec<Chord>>) = paths
                .iter()
                .zip(&flat)
                .filter(|(path, _)| group.iter().any(|target| naming.belongs(path, target.role)))
                .unzip();
            let lines = Chords::new(found.iter().flat_map(|chords| chords.iter().copied()).collect());
            for target in &group {
                let farthest = farthest_beyond(enough, &target.chords, &lines);
                asked.extend(farthest.map(|farthest| Asked {
                    role: target.role,
                    opening: target.opening,
                    size: target.bounds.size(),
                    farthest,
                }));
            }
            let wanted = group.iter().flat_map(|target| &target.chords).chain(&self.letters);
            let wanted = Chords::new(wanted.copied().collect());
            for (path, chords) in mine.into_iter().zip(found) {
                if let Some(far) = farthest_beyond(enough, chords, &wanted)
                    && drawn.as_ref().is_none_or(|(known, _)| far.distance > known.distance)
                {
                    drawn = Some((far, path.layer.clone()));
                }
            }
        }
        Comparison { fit, asked, drawn }
    }
}

/// Puts together what goes by one name.
fn groups(targets: &[Target], naming: Naming) -> Vec<Vec<&Target>> {
    let key = |role: Role| match naming {
        Naming::Roles => role.name().to_owned(),
        Naming::Pens => role.style().pen.to_string(),
        Naming::None => String::new(),
    };
    let mut groups: Vec<(String, Vec<&Target>)> = Vec::new();
    for target in targets {
        let key = key(target.role);
        match groups.iter_mut().find(|(name, _)| *name == key) {
            Some((_, group)) => group.push(target),
            None => groups.push((key, vec![target])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

fn chords_of(path: &Path, way: Affine) -> Vec<Chord> {
    let mut path = path.clone();
    path.transform(way);
    let mut chords = Vec::new();
    push_chords(&path.flatten(CHORDS_MM), &mut chords);
    chords
}
