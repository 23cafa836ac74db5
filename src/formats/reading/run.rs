//! How a machine runs a chain of strokes, as far as its file says so.

use std::collections::VecDeque;
use std::sync::Arc;

/// How a machine runs a chain of strokes. What a format cannot say, and what a file does not say, is `None`.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
#[non_exhaustive]
pub struct RunSettings {
    /// Number of the pen or tool that was chosen last.
    pub tool: Option<u32>,
    /// How often the file has asked for another tool, or has stopped, before it.
    pub changes: u32,
    /// The colour in which it is drawn.
    pub color: Option<LineColor>,
    /// How far in millimetres the tool goes below the surface, where it is least deep and where it is deepest.
    pub depth: Option<[f64; 2]>,
    /// Where it is slowest and where it is fastest: millimetres a minute in G-code, centimetres a second in HP-GL.
    pub speed: Option<[f64; 2]>,
    /// Speed in millimetres a minute at which the tool went down; endless for a rapid move.
    pub plunge: Option<f64>,
    /// Force, in the steps of the machine.
    pub force: Option<f64>,
    /// Whether it is a rapid move with the tool in the board.
    pub is_rapid: bool,
    /// Whether the file leaves open which way it is travelled, as it does with circles.
    pub is_undirected: bool,
}

/// The colour of a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
#[non_exhaustive]
pub enum LineColor {
    /// Red, green and blue, each from 0 to 255.
    Rgb([u8; 3]),
    /// A number in the colour table of DXF.
    Dxf(u8),
}

/// So many different settings are remembered; files change between a few tools.
const MOST_REMEMBERED: usize = 16;

/// Settings that many chains have alike, kept once: they take more room than a short stroke.
#[derive(Debug, Default)]
pub(in crate::formats) struct SharedRuns {
    known: VecDeque<Arc<RunSettings>>,
}

impl SharedRuns {
    /// Returns settings that are kept already, or keeps them.
    pub(in crate::formats) fn share(&mut self, run: RunSettings) -> Arc<RunSettings> {
        if let Some(known) = self.known.iter().find(|known| ***known == run) {
            return Arc::clone(known);
        }
        let run = Arc::new(run);
        self.known.push_front(Arc::clone(&run));
        self.known.truncate(MOST_REMEMBERED);
        run
    }
}

impl RunSettings {
    /// Takes in what holds for a further stroke of the same chain.
    pub(in crate::formats) fn widen(&mut self, next: &Self) {
        let wider = |known: Option<[f64; 2]>, more: Option<[f64; 2]>| match (known, more) {
            (Some([low, high]), Some([from, to])) => Some([low.min(from), high.max(to)]),
            (known, more) => known.or(more),
        };
        self.depth = wider(self.depth, next.depth);
        self.speed = wider(self.speed, next.speed);
    }

    /// Enlarges its lengths, where a unit turns out to be another one.
    pub(super) fn scale(&mut self, by: f64) {
        self.depth = self.depth.map(|depth| depth.map(|depth| depth * by));
        self.plunge = self.plunge.map(|speed| speed * by);
    }
}
