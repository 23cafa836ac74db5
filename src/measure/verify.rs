//! Files of this crate read back and held against the drawing or the program that they were made from.

use kurbo::Affine;

use super::deviation::{Chord, Chords, Farthest, farthest_beyond, push_chords};
use super::run::{self, RunBounds, RunDifference};
use super::wanted::{Wanted, bring_to_bed, push_stroke};
use crate::drawing::Drawing;
use crate::formats::reading::Unreadable;
use crate::formats::{CoordinateUnit, KeptCurves, Options, YAxis, read, readers};
use crate::program::{Curves, Program, Stroke};
use crate::tolerance::{CHORDS_MM, SAME_DEPTH_MM};

/// How far a file is from what it was made from.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Verified {
    /// The place that is farthest off, on the sheet of the drawing or in the frame of the machine; `None` where nothing is
    /// drawn and nothing is asked for.
    pub farthest: Option<Farthest>,
    /// How far in millimetres it may be off: the grid of the format and the tolerance of curves.
    pub bound: f64,
    /// What a machine would do otherwise than its program says; empty of drawings.
    pub differences: Vec<RunDifference>,
}

impl Verified {
    /// Tells whether the file is what it was made from.
    #[must_use]
    pub fn agrees(&self) -> bool {
        self.differences.is_empty() && self.farthest.is_none_or(|farthest| farthest.distance <= self.bound)
    }
}

/// Tells whether files with an ending can be read back.
#[must_use]
pub fn is_read_back(ending: &str) -> bool {
    readers().any(|reader| reader.endings().contains(&ending))
}

/// Reads the file of a drawing back and measures it, with nothing moved or scaled to fit.
///
/// # Errors
///
/// Returns the reason and its place if the file cannot be read.
pub fn verify_drawing(
    bytes: &[u8],
    ending: &str,
    drawing: &Drawing,
    options: &Options,
) -> Result<Verified, Unreadable> {
    let reading = read(bytes, ending, None)?;
    let way = match reading.format.y {
        YAxis::Down => Affine::IDENTITY,
        YAxis::Up => Affine::translate((0.0, drawing.sheet.height)),
    };
    let wanted = Wanted::new(drawing);
    let tolerance = if reading.format.curves == KeptCurves::All { 0.0 } else { options.tolerance };
    let bound = reading.format.slack + tolerance + 2.0 * CHORDS_MM;
    let comparison = wanted.compare_beyond(bound, &reading, way);
    let surplus = wanted.surplus_beyond(bound, &reading, way);
    let drawn = comparison.drawn.map(|(farthest, _)| farthest);
    let asked = comparison.asked.into_iter().map(|asked| asked.farthest);
    Ok(Verified { farthest: largest(asked.chain(drawn).chain(surplus)), bound, differences: Vec::new() })
}

/// Reads the file of a machine back and holds it against its program: the place of every stroke, its tool, depth, speed, force and
/// direction, and the order.
///
/// # Errors
///
/// Returns the reason and its place if the file cannot be read.
pub fn verify_program(bytes: &[u8], ending: &str, program: &Program) -> Result<Verified, Unreadable> {
    let controller = &program.controller;
    let as_read = read(bytes, ending, None)?;
    let mut reading = as_read.clone();
    bring_to_bed(&mut reading, program);
    let strokes = || program.passes.iter().flat_map(|pass| &pass.strokes);
    let mut asked = Vec::new();
    strokes().for_each(|stroke| push_stroke(stroke, &mut asked));
    let mut drawn: Vec<Chord> = Vec::new();
    reading.paths.iter().for_each(|path| push_chords(&path.flatten(CHORDS_MM), &mut drawn));
    let curves = |stroke: &Stroke| {
        stroke.as_points(controller.tolerance, controller.flattening, controller.smallest_segment).error
    };
    let tolerance = match controller.curves {
        Curves::Lines => strokes().map(curves).fold(controller.tolerance, f64::max),
        Curves::Arcs | Curves::Native => controller.tolerance,
    };
    let slack = match reading.format.unit {
        CoordinateUnit::PlotterUnit => plotter_slack(program),
        _ => reading.format.slack,
    };
    let bound = slack + tolerance + 2.0 * CHORDS_MM;
    let missing = farthest_beyond(bound, &asked, &Chords::new(drawn.clone()));
    let surplus = farthest_beyond(bound, &drawn, &Chords::new(asked));
    let bounds = RunBounds { place: bound, depth: SAME_DEPTH_MM };
    let differences = run::check(&as_read, program, Affine::IDENTITY, bounds).differences;
    Ok(Verified { farthest: largest(missing.into_iter().chain(surplus)), bound, differences })
}

/// Returns how far rounding to steps carries a point: half a step in both directions at once.
fn plotter_slack(program: &Program) -> f64 {
    let controller = &program.controller;
    let extent = program.extent;
    let reach = [extent.x0, extent.x1, extent.y0, extent.y1].into_iter().map(f64::abs).fold(0.0, f64::max);
    let units = reach / controller.unit.millimetres + 1.0;
    // Steps are coarser where the device could not read the numbers.
    let steps = (units / f64::from(controller.plotter.largest_number)).ceil().max(1.0);
    // Of an arc the centre is rounded as well as the start, which carries its end twice as far again.
    let roundings = if controller.curves == Curves::Lines { 1.0 } else { 3.0 };
    roundings * 0.5 * steps * controller.unit.millimetres * std::f64::consts::SQRT_2
}

fn largest(places: impl Iterator<Item = Farthest>) -> Option<Farthest> {
    places.max_by(|a, b| a.distance.total_cmp(&b.distance))
}
