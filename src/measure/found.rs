//! What was found in a file, in words for people and as data for programs.

use std::cmp::Ordering;
use std::collections::BTreeMap;
use std::fmt::Write;

use kurbo::{Rect, Size};
use serde::Serialize;

use super::against::Comparison;
use super::chains::{PathChain, PathChains};
use super::crossing::{CrossingSides, loops};
use super::found_against::{ComparisonFound, ExpectedFile};
use super::outlines::{dots, doubled};
use super::scale::explain;
use super::words::{counted, tidy, words_of};
use crate::formats::reading::{ReadDrawing, ReadPath};

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const MEASURED_SCHEMA: &str = "backline-measured/1";

/// What was found in a file. All lengths are millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
pub struct Found {
    #[cfg_attr(feature = "schema", schemars(extend("const" = MEASURED_SCHEMA)))]
    schema: &'static str,
    file: String,
    format: &'static str,
    /// The unit of the numbers in the file, and where it says so.
    unit: String,
    unit_stated: bool,
    /// Width and height of all strokes; `None` if there are none. Lines of text are not in it.
    size: Option<[f64; 2]>,
    /// About the width and height with the lines of text, which programs that draw them count; only where there are some.
    #[serde(skip_serializing_if = "Option::is_none")]
    size_with_texts: Option<[f64; 2]>,
    layers: Vec<LayerFound>,
    /// Lines that lie on an equal one.
    doubled: usize,
    /// Lines without length.
    zero_length: usize,
    /// Lines of text that are not strokes.
    texts: usize,
    /// What is in the file and was not measured.
    left_out: Vec<String>,
    /// Whether all of it was read, and something is drawn in it.
    whole: bool,
    /// What is odd about the file.
    remarks: Vec<String>,
    /// How it differs from what a job asks.
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<ComparisonFound>,
}

/// What is drawn on one layer or with one pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct LayerFound {
    name: String,
    closed: usize,
    open: usize,
    /// The outlines and lines that are not the strokes of a curve, largest first.
    outlines: Vec<OutlineFound>,
}

/// An outline or an open line.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
struct OutlineFound {
    closed: bool,
    width: f64,
    height: f64,
    /// Strokes that it is made of.
    strokes: usize,
    /// How far apart its ends are; only of open ones.
    #[serde(skip_serializing_if = "Option::is_none")]
    gap: Option<f64>,
    /// How far its sides run on beyond its corners at most; only of outlines whose sides cross there.
    #[serde(skip_serializing_if = "Option::is_none")]
    over_run: Option<f64>,
}

/// So many outlines of a layer are listed in words.
const MOST_LISTED: usize = 12;
/// Open ends nearer than this, in millimetres, were probably meant to meet.
const NEARLY_CLOSED_MM: f64 = 1.0;

/// Returns the JSON Schema of [`Found`].
#[cfg(feature = "schema")]
#[must_use]
pub fn found_schema() -> serde_json::Value {
    crate::job::output_schema_of::<Found>()
}

impl Found {
    /// Tells what is in a file; `name` is what the user calls it.
    #[must_use]
    pub fn new(name: &str, reading: &ReadDrawing) -> Self {
        let mut remarks = reading.remarks.clone();
        let size = reading.bounds().map(|bounds| bounds.size());
        let has_texts = reading.texts.iter().any(|text| text.bounds().is_some());
        let with_texts = reading.bounds_with_texts().filter(|_| has_texts).map(|bounds| bounds.size());
        let explained: Vec<String> = explain(size.unwrap_or_default()).iter().map(ToString::to_string).collect();
        if let (Some(size), false) = (size, explained.is_empty()) {
            let size = words_of(size);
            remarks.push(format!("{size} is not a usual size for a mat; it may be {}", explained.join(", or ")));
        }
        Self {
            schema: MEASURED_SCHEMA,
            file: name.to_owned(),
            format: reading.format.name,
            unit: reading.unit.words.clone(),
            unit_stated: reading.unit.stated,
            size: size.map(sides),
            size_with_texts: with_texts.map(sides),
            layers: layers(&reading.paths),
            doubled: doubled(&reading.paths),
            zero_length: dots(&reading.paths),
            texts: reading.texts.len(),
            left_out: reading.left_out.iter().map(|(what, count)| format!("{count} {what}")).collect(),
            whole: reading.is_whole(),
            remarks,
            against: None,
        }
    }

    /// Adds how the file differs from a board of a job, and whether that is within `bound` millimetres.
    #[must_use]
    pub fn with(mut self, against: ExpectedFile<'_>, comparison: Option<&Comparison>, bound: f64) -> Self {
        self.against = Some(ComparisonFound::new(against, comparison, bound));
        self
    }

    /// Says it in words.
    #[must_use]
    pub fn describe(&self) -> String {
        let mut text = String::new();
        // Writing to a string cannot fail.
        let _ = self.write(&mut text);
        text
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        writeln!(out, "{}: {}, {}", self.file, self.format, self.unit)?;
        match self.size {
            Some([width, height]) => writeln!(out, "  overall {}", words_of(Size::new(width, height)))?,
            None => writeln!(out, "  nothing is drawn")?,
        }
        self.layers.iter().try_for_each(|layer| layer.write(out))?;
        if self.texts > 0 {
            write!(out, "  {}", counted(self.texts, "line of text", "lines of text"))?;
            match self.size_with_texts {
                Some([width, height]) => writeln!(out, "; with them about {}", words_of(Size::new(width, height)))?,
                None => writeln!(out)?,
            }
        }
        if self.doubled > 0 {
            writeln!(out, "  {} drawn twice", counted(self.doubled, "line is", "lines are"))?;
        }
        if self.zero_length > 0 {
            writeln!(out, "  {} without length", counted(self.zero_length, "line", "lines"))?;
        }
        if !self.left_out.is_empty() {
            writeln!(out, "  not measured: {}", self.left_out.join(", "))?;
        }
        self.remarks.iter().try_for_each(|remark| writeln!(out, "  note: {remark}"))?;
        if !self.whole {
            writeln!(out, "  NOT READ WHOLE")?;
        }
        self.against.iter().try_for_each(|against| against.write(out))
    }
}

/// Sorts outlines by their layers, which come in the order in which they are first drawn on.
fn layers(paths: &[ReadPath]) -> Vec<LayerFound> {
    let mut places: BTreeMap<&str, usize> = BTreeMap::new();
    let mut layers: Vec<LayerFound> = Vec::new();
    for path in paths {
        places.entry(&path.layer).or_insert_with(|| {
            layers.push(LayerFound::new(&path.layer));
            layers.len() - 1
        });
    }
    let mut add = |layer: &str, outline: OutlineFound| {
        if let Some(layer) = places.get(layer).and_then(|place| layers.get_mut(*place)) {
            layer.add(outline);
        }
    };
    let chains = PathChains::of(paths);
    let found = |chain: PathChain| {
        let gap = (!chain.is_closed).then(|| chains.gap(chain));
        OutlineFound::new(chains.bounds(chain), chains.count(chain), gap, None)
    };
    chains.closed.iter().for_each(|chain| add(chains.layer(*chain), found(*chain)));
    let (loops, used) = loops(&chains);
    for around in &loops {
        let layer = around.sides.first().map_or("", |first| chains.layer_of(first.side));
        add(
            layer,
            OutlineFound::new(chains.bounds_around(around), chains.strokes(around), None, Some(around.over_run)),
        );
    }
    for (chain, _) in chains.open.iter().zip(&used).filter(|(_, used)| !**used) {
        add(chains.layer(*chain), found(*chain));
    }
    for layer in &mut layers {
        // A stable sort would need half as much room again.
        layer.outlines.sort_unstable_by(|a, b| b.order().partial_cmp(&a.order()).unwrap_or(Ordering::Equal));
    }
    layers
}

impl OutlineFound {
    /// The larger comes first, and closed ones before open ones.
    fn order(&self) -> (f64, bool, bool, f64, f64, usize) {
        let Self { width, height, .. } = *self;
        (width.max(height), self.closed, self.over_run.is_none(), width, height, self.strokes)
    }

    fn new(bounds: Rect, strokes: usize, gap: Option<f64>, over_run: Option<f64>) -> Self {
        Self {
            closed: gap.is_none(),
            width: tidy(bounds.width()),
            height: tidy(bounds.height()),
            strokes,
            gap: gap.map(tidy),
            over_run: over_run.map(tidy),
        }
    }
}

impl LayerFound {
    fn new(name: &str) -> Self {
        Self { name: name.to_owned(), closed: 0, open: 0, outlines: Vec::new() }
    }

    fn add(&mut self, outline: OutlineFound) {
        *(if outline.closed { &mut self.closed } else { &mut self.open }) += 1;
        // Many layers have one line.
        if self.outlines.is_empty() {
            self.outlines.reserve_exact(1);
        }
        self.outlines.push(outline);
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        let name = if self.name.is_empty() { "without a layer" } else { &self.name };
        writeln!(out, "  {name}: {} closed, {} open", self.closed, self.open)?;
        for outline in self.outlines.iter().take(MOST_LISTED) {
            let size = words_of(Size::new(outline.width, outline.height));
            let strokes = counted(outline.strokes, "stroke", "strokes");
            match (outline.gap, outline.over_run) {
                (None, Some(over_run)) => {
                    writeln!(
                        out,
                        "    closed {size}, {strokes} that cross, by up to {over_run} mm beyond its corners"
                    )?;
                }
                (None, None) => writeln!(out, "    closed {size}, {strokes}")?,
                (Some(gap), _) if gap <= NEARLY_CLOSED_MM && outline.strokes > 1 => {
                    writeln!(out, "    OPEN BY {gap} mm {size}, {strokes}")?;
                }
                (Some(_), _) => writeln!(out, "    open   {size}, {strokes}")?,
            }
        }
        let more = self.outlines.len().saturating_sub(MOST_LISTED);
        if more > 0 { writeln!(out, "    and {more} smaller ones") } else { Ok(()) }
    }
}

fn sides(size: Size) -> [f64; 2] {
    [tidy(size.width), tidy(size.height)]
}
