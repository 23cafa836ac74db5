//! A file measured against the drawing that it should be.

use std::collections::{BTreeMap, BTreeSet};

use kurbo::{Affine, Size};

use super::alignment::{AlignedLines, aligned};
use super::deviation::{Chord, Chords, Farthest, farthest_beyond, push_chords};
use super::fit::Fit;
use super::over_run::OverRunningCut;
use super::run::{self, RunBounds, RunCheck};
use super::wanted::{Wanted, WantedLines, figures};
use crate::drawing::Role;
use crate::formats::reading::{ReadDrawing, ReadPath};
use crate::tolerance::{ALIKE_CHORDS_MM, CHORDS_MM};

/// How far a file is from a drawing. All places are on the sheet of the drawing.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Comparison {
    /// How the file had to be moved, turned, mirrored or scaled to lie on the drawing.
    pub fit: Fit,
    /// What the drawing asks for, each with its distance from the lines of the file.
    pub asked: Vec<ExpectedLines>,
    /// The place of the file that is farthest from everything that is asked for, and its layer; `None` of an empty file.
    pub drawn: Option<(Farthest, String)>,
    /// The cut that runs on farthest beyond a corner: how far in millimetres, and where it ends; `None` if none does, and of
    /// programs, whose strokes run on as they are asked to.
    pub over_run: Option<Farthest>,
    /// What the file has none of, though the drawing shows it, and which no cut depends on: register marks.
    pub absent: Vec<Role>,
    /// Whether the file of a machine lies elsewhere on the bed than the program says, or turned; [`Fit`] says how it had to be
    /// moved. The files of drawings may lie anywhere.
    pub is_elsewhere: bool,
    /// How tools, depths, speeds, directions and order differ from those of a program; `None` where the file is compared with a
    /// drawing, or was not compared so closely (see [`Wanted::compare_run`]).
    pub run: Option<RunCheck>,
}

/// An outline or a group of lines that a drawing asks for.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct ExpectedLines {
    /// What it is for.
    pub role: Role,
    /// Number of the opening, if it is an outline of one.
    pub opening: Option<usize>,
    /// What the framer calls the opening; may be empty.
    pub name: String,
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

    /// Tells whether the file is the drawing, at true size and not mirrored, to within `bound` millimetres; and of a machine,
    /// whether it is in its place and does what the program does.
    #[must_use]
    pub fn agrees(&self, bound: f64) -> bool {
        self.largest() <= bound
            && self.fit.is_moved_only()
            && !self.is_elsewhere
            && self.run.as_ref().is_none_or(RunCheck::agrees)
    }
}

/// A file must fit so much better elsewhere than in its place on the bed, by this factor, before it is said to lie elsewhere.
const BETTER_ELSEWHERE: f64 = 0.25;
/// And it must lie at least this many millimetres away: less is no other place but a deviation.
const ELSEWHERE_MM: f64 = 0.1;

impl Wanted {
    /// Measures a file whose frame of reference is known: `way` leads to the sheet of the drawing.
    ///
    /// Cuts that run on beyond corners are off by as much.
    #[must_use]
    pub fn compare_placed(&self, reading: &ReadDrawing, way: Affine) -> Comparison {
        self.compare_beyond(0.0, reading, way)
    }

    /// Measures a file in whatever place, position and scale it fits best; `None` if it does not at all.
    ///
    /// Turned by quarters, mirrored, or scaled by a factor, it is compared as if it were not, and [`Fit`] says what was
    /// done. Cuts may run on straight beyond the corners of a drawing; [`Comparison::over_run`] says how far. The file of a
    /// machine must have every stroke of the program, each in its place on the bed.
    #[must_use]
    pub fn compare_fitted(&self, reading: &ReadDrawing) -> Option<Comparison> {
        let Some(bed) = &self.bed else {
            return self.best_fit(&reading.paths);
        };
        let mut reading = reading.clone();
        bed.bring(&mut reading);
        let placed = self.compare(&reading.paths, Fit::placed(Affine::IDENTITY), 0.0, false);
        let elsewhere = self.best_fit(&reading.paths).filter(|fitted| {
            let moved = fitted.fit.moved();
            let is_elsewhere = fitted.fit.is_turned() || moved.hypot() > ELSEWHERE_MM;
            is_elsewhere && fitted.largest() < BETTER_ELSEWHERE * placed.largest()
        });
        let Some(mut elsewhere) = elsewhere else {
            return Some(placed);
        };
        elsewhere.is_elsewhere = true;
        if bed.is_flipped {
            elsewhere.fit.quarter_turns = (4 - elsewhere.fit.quarter_turns) % 4;
        }
        Some(elsewhere)
    }

    /// Compares what a machine would do with a file, stroke by stroke, with the program; `None` of a drawing, and of a file that is
    /// mirrored or has another size.
    ///
    /// Places and depths may differ by `within` millimetres.
    #[must_use]
    pub fn compare_run(&self, reading: &ReadDrawing, comparison: &Comparison, within: f64) -> Option<RunCheck> {
        let fit = comparison.fit;
        let program = self.program.as_ref().filter(|_| fit.is_moved_only())?;
        let way = if comparison.is_elsewhere { fit.way } else { Affine::IDENTITY };
        Some(run::check(reading, program, way, RunBounds { place: within, depth: within }))
    }

    /// Fits by lines, and by outlines: those that are closed, and those whose sides cross at the corners.
    fn best_fit(&self, paths: &[ReadPath]) -> Option<Comparison> {
        let asked = AlignedLines {
            chords: self.targets.iter().flat_map(|target| target.chords.iter().copied()).collect(),
            figures: self.targets.iter().flat_map(|target| target.figures.iter().copied()).collect(),
        };
        let mut found = AlignedLines { chords: Vec::new(), figures: figures(paths) };
        for path in paths {
            push_chords(&path.flatten(ALIKE_CHORDS_MM), &mut found.chords);
        }
        aligned(&found, &asked).map(|fit| self.compare(paths, fit, 0.0, true))
    }
}

/// By what the layers of a file go: names of layers, numbers of pens, or nothing that is known.
#[derive(Clone, Copy, PartialEq)]
enum Naming {
    Layers,
    Pens,
    None,
}

impl Naming {
    /// Finds out by what the layers go: all that a file must have must have a layer.
    fn of(paths: &[ReadPath], targets: &[&WantedLines]) -> Self {
        [Self::Layers, Self::Pens]
            .into_iter()
            .find(|naming| {
                let names: BTreeSet<String> = paths.iter().map(|path| naming.of_path(path)).collect();
                !targets.is_empty() && targets.iter().all(|target| names.contains(&naming.of_target(target)))
            })
            .unwrap_or(Self::None)
    }

    /// Returns the name by which a path goes.
    fn of_path(self, path: &ReadPath) -> String {
        match self {
            Self::Layers => path.layer.to_ascii_lowercase(),
            Self::Pens => path.layer.strip_prefix("pen ").unwrap_or_default().to_owned(),
            Self::None => String::new(),
        }
    }

    fn of_target(self, target: &WantedLines) -> String {
        match self {
            Self::Layers => target.layer.to_ascii_lowercase(),
            Self::Pens => target.pen.to_string(),
            Self::None => String::new(),
        }
    }
}

impl Wanted {
    /// Measures a file in a known frame, with the farthest place for certain only beyond `enough` millimetres.
    pub(super) fn compare_beyond(&self, enough: f64, reading: &ReadDrawing, way: Affine) -> Comparison {
        self.compare(&reading.paths, Fit::placed(way), enough, false)
    }

    /// Returns the place of a file that is farthest from all lines and letters, whatever its layer.
    pub(super) fn surplus_beyond(&self, enough: f64, reading: &ReadDrawing, way: Affine) -> Option<Farthest> {
        let drawn: Vec<Chord> = reading.paths.iter().flat_map(|path| chords_of(path, way)).collect();
        let wanted = self.targets.iter().flat_map(|target| &target.chords).chain(&self.letters);
        farthest_beyond(enough, &drawn, &Chords::new(wanted.copied().collect()))
    }

    fn compare(&self, paths: &[ReadPath], fit: Fit, enough: f64, may_run_on: bool) -> Comparison {
        let needed: Vec<&WantedLines> = self.targets.iter().filter(|target| !self.may_lack(target)).collect();
        let naming = Naming::of(paths, &needed);
        let flat: Vec<Vec<Chord>> = paths.iter().map(|path| chords_of(path, fit.way)).collect();
        let mut comparison = Comparison {
            fit,
            asked: Vec::new(),
            drawn: None,
            over_run: None,
            absent: Vec::new(),
            is_elsewhere: false,
            run: None,
        };
        let mut by_name: BTreeMap<String, Vec<usize>> = BTreeMap::new();
        for (place, path) in paths.iter().enumerate() {
            by_name.entry(naming.of_path(path)).or_default().push(place);
        }
        for (name, group) in groups(&self.targets, naming) {
            let places = by_name.get(&name).into_iter().flatten();
            let (mine, found): (Vec<&ReadPath>, Vec<&Vec<Chord>>) =
                places.filter_map(|place| Some((paths.get(*place)?, flat.get(*place)?))).unzip();
            let lines = Chords::new(found.iter().flat_map(|chords| chords.iter().copied()).collect());
            for target in &group {
                if self.may_lack(target) && !target.is_begun_in(&lines) {
                    comparison.absent.push(target.role);
                    continue;
                }
                let farthest = farthest_beyond(enough, &target.chords, &lines);
                comparison.asked.extend(farthest.map(|farthest| ExpectedLines {
                    role: target.role,
                    opening: target.opening,
                    name: target.name.clone(),
                    size: target.bounds.size(),
                    farthest,
                }));
            }
            let open = mine.iter().zip(&found).filter(|(path, _)| may_run_on && !path.closed);
            let runs_on: Vec<OverRunningCut> = open.flat_map(|(_, chords)| self.runs_on(chords)).collect();
            let wanted = group.iter().flat_map(|target| &target.chords).chain(&self.letters).copied();
            let wanted = Chords::new(wanted.chain(runs_on.iter().map(|runs_on| runs_on.line)).collect());
            for (path, chords) in mine.into_iter().zip(found) {
                if let Some(far) = farthest_beyond(enough, chords, &wanted)
                    && comparison.drawn.as_ref().is_none_or(|(known, _)| far.distance > known.distance)
                {
                    comparison.drawn = Some((far, path.layer.as_ref().to_owned()));
                }
            }
            let ends = runs_on.into_iter().map(|runs_on| runs_on.end).chain(comparison.over_run);
            comparison.over_run = ends.max_by(|a, b| a.distance.total_cmp(&b.distance));
        }
        comparison
    }

    /// Tells whether a file may be without a target: cutters leave register marks out, by which sheets are laid on each other.
    fn may_lack(&self, target: &WantedLines) -> bool {
        self.bed.is_none() && target.role == Role::Register
    }

    /// Tells how an open chain runs on beyond corners at its ends.
    fn runs_on(&self, chords: &[Chord]) -> impl Iterator<Item = OverRunningCut> + use<> {
        let first = chords.first().and_then(|first| self.corners.runs_on(first.to, first.from));
        let last = chords.last().and_then(|last| self.corners.runs_on(last.from, last.to));
        first.into_iter().chain(last)
    }
}

/// Puts together what goes by one name, in the order in which it is asked for.
fn groups(targets: &[WantedLines], naming: Naming) -> Vec<(String, Vec<&WantedLines>)> {
    let mut places: BTreeMap<String, usize> = BTreeMap::new();
    let mut groups: Vec<(String, Vec<&WantedLines>)> = Vec::new();
    for target in targets {
        let name = naming.of_target(target);
        match places.get(&name).and_then(|place| groups.get_mut(*place)) {
            Some((_, group)) => group.push(target),
            None => {
                places.insert(name.clone(), groups.len());
                groups.push((name, vec![target]));
            }
        }
    }
    groups
}

fn chords_of(path: &ReadPath, way: Affine) -> Vec<Chord> {
    let mut path = path.clone();
    path.transform(way);
    let mut chords = Vec::new();
    push_chords(&path.flatten(CHORDS_MM), &mut chords);
    chords
}
