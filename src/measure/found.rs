//! What was found in a file, in words for people and as data for programs.

use std::fmt::Write;

use kurbo::Size;
use serde::Serialize;

use super::against::Comparison;
use super::outlines::{dots, doubled, outlines};
use super::path::Path;
use super::reading::Reading;
use super::scale::explain;

/// Name and version of the object; another version means that a key changed its meaning or went away.
pub const SCHEMA: &str = "backline-measured/1";

/// What was found in a file. All lengths are millimetres.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Found {
    schema: &'static str,
    file: String,
    format: &'static str,
    /// The unit of the numbers in the file, and where it says so.
    unit: String,
    unit_stated: bool,
    /// Width and height of all that is drawn; `None` if nothing is.
    size: Option<[f64; 2]>,
    layers: Vec<LayerFound>,
    /// Lines that lie on an equal one.
    doubled: usize,
    /// Lines without length.
    zero_length: usize,
    /// Lines of text that are no strokes.
    texts: usize,
    /// What is in the file and was not measured.
    left_out: Vec<String>,
    /// What is odd about the file.
    remarks: Vec<String>,
    /// How it differs from what a job asks.
    #[serde(skip_serializing_if = "Option::is_none")]
    against: Option<AgainstFound>,
}

/// What is drawn on one layer or with one pen.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct LayerFound {
    name: String,
    closed: usize,
    open: usize,
    /// The outlines and lines that are not the strokes of a curve, largest first.
    outlines: Vec<OutlineFound>,
}

/// An outline or an open line.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct OutlineFound {
    closed: bool,
    width: f64,
    height: f64,
    /// Strokes that it is made of.
    strokes: usize,
    /// How far apart its ends are; only of open ones.
    #[serde(skip_serializing_if = "Option::is_none")]
    gap: Option<f64>,
}

/// How a file differs from a drawing.
#[derive(Debug, Clone, PartialEq, Serialize)]
struct AgainstFound {
    job: String,
    view: String,
    board: String,
    /// The largest distance, either way; `None` if the file does not fit the drawing at all.
    deviation: Option<f64>,
    agrees: bool,
    /// Whether it has the size of the job, to two per cent.
    true_size: bool,
    scale: f64,
    /// What was probably mixed up.
    #[serde(skip_serializing_if = "Option::is_none")]
    mix_up: Option<String>,
    quarter_turns: u8,
    mirrored: bool,
    asked: Vec<AskedFound>,
    drawn: Option<DrawnFound>,
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct AskedFound {
    what: String,
    width: f64,
    height: f64,
    deviation: f64,
    /// Where, on the sheet of the drawing: x to the right, y down.
    at: [f64; 2],
}

#[derive(Debug, Clone, PartialEq, Serialize)]
struct DrawnFound {
    layer: String,
    deviation: f64,
    at: [f64; 2],
}

/// So many outlines of a layer are listed in words.
const MOST_LISTED: usize = 12;
/// Open ends nearer than this, in millimetres, were probably meant to meet.
const NEARLY_CLOSED_MM: f64 = 1.0;

impl Found {
    /// Tells what is in a file; `name` is what the user calls it.
    #[must_use]
    pub fn new(name: &str, reading: &Reading) -> Self {
        let whole = outlines(&reading.paths);
        let mut names: Vec<&str> = Vec::new();
        for path in &whole {
            if !names.contains(&path.layer.as_str()) {
                names.push(&path.layer);
            }
        }
        let mut remarks = reading.remarks.clone();
        let size = reading.bounds().map(|bounds| bounds.size());
        let explained: Vec<String> = explain(size.unwrap_or_default()).iter().map(ToString::to_string).collect();
        if let (Some(size), false) = (size, explained.is_empty()) {
            let size = words_of(size);
            remarks.push(format!("{size} is no usual size of a mat; it may be {}", explained.join(", or ")));
        }
        Self {
            schema: SCHEMA,
            file: name.to_owned(),
            format: reading.format,
            unit: reading.unit.words.clone(),
            unit_stated: reading.unit.stated,
            size: size.map(|size| [tidy(size.width), tidy(size.height)]),
            layers: names.into_iter().map(|name| LayerFound::new(name, &whole)).collect(),
            doubled: doubled(&reading.paths),
            zero_length: dots(&reading.paths),
            texts: reading.texts.len(),
            left_out: reading.left_out.iter().map(|(what, count)| format!("{count} {what}")).collect(),
            remarks,
            against: None,
        }
    }

    /// Adds how the file differs from a board of a job in a view, and whether that is within `bound` millimetres.
    #[must_use]
    pub fn with(mut self, [job, view, board]: [&str; 3], comparison: Option<&Comparison>, bound: f64) -> Self {
        let fit = comparison.map(|comparison| comparison.fit);
        self.against = Some(AgainstFound {
            job: job.to_owned(),
            view: view.to_owned(),
            board: board.to_owned(),
            deviation: comparison.map(|comparison| tidy(comparison.largest())),
            agrees: comparison.is_some_and(|comparison| comparison.agrees(bound)),
            true_size: fit.is_none_or(|fit| fit.has_true_size()),
            scale: fit.map_or(1.0, |fit| fit.scale),
            mix_up: fit.and_then(|fit| fit.mix_up()).map(|mix_up| mix_up.to_string()),
            quarter_turns: fit.map_or(0, |fit| fit.quarter_turns),
            mirrored: fit.is_some_and(|fit| fit.mirrored),
            asked: comparison.map(asked).unwrap_or_default(),
            drawn: comparison.and_then(|comparison| comparison.drawn.as_ref()).map(|(far, layer)| DrawnFound {
                layer: layer.clone(),
                deviation: tidy(far.distance),
                at: [tidy(far.at.x), tidy(far.at.y)],
            }),
        });
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
            writeln!(out, "  {}", counted(self.texts, "line of text", "lines of text"))?;
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
        self.against.iter().try_for_each(|against| against.write(out))
    }
}

impl LayerFound {
    fn new(name: &str, whole: &[Path]) -> Self {
        let mine: Vec<&Path> = whole.iter().filter(|path| path.layer == name).collect();
        let mut outlines: Vec<(f64, OutlineFound)> = mine
            .iter()
            .map(|path| {
                let size = path.size();
                let found = OutlineFound {
                    closed: path.closed,
                    width: tidy(size.width),
                    height: tidy(size.height),
                    strokes: path.pieces.len(),
                    gap: (!path.closed).then(|| tidy(path.gap())),
                };
                (size.width.max(size.height), found)
            })
            .collect();
        outlines.sort_by(|(a, _), (b, _)| b.total_cmp(a));
        let closed = mine.iter().filter(|path| path.closed).count();
        Self {
            name: name.to_owned(),
            closed,
            open: mine.len() - closed,
            outlines: outlines.into_iter().map(|(_, found)| found).collect(),
        }
    }

    fn write(&self, out: &mut String) -> std::fmt::Result {
        let name = if self.name.is_empty() { "without a layer" } else { &self.name };
        writeln!(out, "  {name}: {} closed, {} open", self.closed, self.open)?;
        for outline in self.outlines.iter().take(MOST_LISTED) {
            let size = words_of(Size::new(outline.width, outline.height));
            let strokes = counted(outline.strokes, "stroke", "strokes");
            match outline.gap {
                None => writeln!(out, "    closed {size}, {strokes}")?,
                Some(gap) if gap <= NEARLY_CLOSED_MM && outline.strokes > 1 => {
                    writeln!(out, "    OPEN BY {gap} mm {size}, {strokes}")?;
                }
                Some(_) => writeln!(out, "    open   {size}, {strokes}")?,
            }
        }
        let more = self.outlines.len().saturating_sub(MOST_LISTED);
        if more > 0 { writeln!(out, "    and {more} smaller ones") } else { Ok(()) }
    }
}

impl AgainstFound {
    fn write(&self, out: &mut String) -> std::fmt::Result {
        let board = if self.board.is_empty() { String::new() } else { format!(", {} board", self.board) };
        writeln!(out, "  against {}, view {}{board}:", self.job, self.view)?;
        let Some(deviation) = self.deviation else {
            return writeln!(
                out,
                "    NOT THE SAME: no outline of the file has the shape of one that the job asks for"
            );
        };
        if !self.true_size {
            match &self.mix_up {
                Some(mix_up) => writeln!(out, "    WRONG SIZE: {mix_up}")?,
                None => writeln!(out, "    WRONG SIZE: {} times that of the job", (self.scale * 1e4).round() / 1e4)?,
            }
        }
        if self.mirrored {
            writeln!(out, "    MIRRORED: left and right are exchanged")?;
        }
        if self.quarter_turns > 0 {
            let turns = counted(usize::from(self.quarter_turns), "quarter turn", "quarter turns");
            writeln!(out, "    lies turned: {turns} clockwise bring it to the drawing")?;
        }
        for asked in &self.asked {
            let size = words_of(Size::new(asked.width, asked.height));
            let [x, y] = asked.at;
            writeln!(out, "    {} {size}: within {}, at {x}, {y}", asked.what, millimetres(asked.deviation))?;
        }
        if let Some(drawn) = &self.drawn {
            let [x, y] = drawn.at;
            let layer = if drawn.layer.is_empty() { String::new() } else { format!(" on {}", drawn.layer) };
            writeln!(out, "    the file{layer} strays by {} at {x}, {y}", millimetres(drawn.deviation))?;
        }
        let verdict = if self.agrees { "agrees" } else { "DOES NOT AGREE" };
        writeln!(out, "    {verdict}: largest deviation {}", millimetres(deviation))
    }
}

fn asked(comparison: &Comparison) -> Vec<AskedFound> {
    let found = comparison.asked.iter().map(|asked| AskedFound {
        what: match asked.opening {
            Some(opening) => format!("{} {opening}", asked.role.name()),
            None => asked.role.name().to_owned(),
        },
        width: tidy(asked.size.width),
        height: tidy(asked.size.height),
        deviation: tidy(asked.farthest.distance),
        at: [tidy(asked.farthest.at.x), tidy(asked.farthest.at.y)],
    });
    found.collect()
}

/// Rounds to a ten thousandth of a millimetre: what is measured is not truer than that.
fn tidy(number: f64) -> f64 {
    // Adding zero turns a minus zero into zero.
    (number * 1e4).round() / 1e4 + 0.0
}

fn millimetres(length: f64) -> String {
    if length.is_finite() { format!("{length} mm") } else { "nothing".to_owned() }
}

/// Shows a size in millimetres and in inches.
fn words_of(size: Size) -> String {
    let inches = |millimetres: f64| (millimetres / 25.4 * 1e3).round() / 1e3;
    format!("{} × {} mm ({} × {} in)", tidy(size.width), tidy(size.height), inches(size.width), inches(size.height))
}

fn counted(count: usize, one: &str, several: &str) -> String {
    format!("{count} {}", if count == 1 { one } else { several })
}
