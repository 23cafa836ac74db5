//! A printer profile as written in a file.

use serde::{Deserialize, Serialize};

use super::{Paper, Printer, Stretch};
use crate::checked::Checked;
use crate::fault::Certain;
use crate::job::{self, Measure, ReadError, Scope, Syntax};
use crate::length::{self, Ruler, Unit};
use crate::problem::{KeyPath, Problem};
use crate::tolerance::ROUNDING_STRETCH;

/// A printer profile as written: what is left out is that of a printer that prints true.
///
/// Lengths are numbers in `unit`, or text such as `"7 1/2 in"`.
///
/// ```
/// use backline::job::Syntax;
/// use backline::paper::WrittenPrinter;
///
/// let written = "bars.short = { printed = '190 mm', measured = '191.9 mm' }";
/// let printer = WrittenPrinter::read(written, Syntax::Toml)?.resolve().into_result()?;
/// assert!((printer.stretch.across - 1.01).abs() < 1e-12);
/// # Ok::<(), Box<dyn std::error::Error>>(())
/// ```
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenPrinter {
    /// What the framer calls it.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Unit of bare numbers: `in`, `mm` or `cm`; millimetres if left out.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// The paper in it: a name such as `A4`, a size such as `13 x 19 in`, or a roll such as `roll 24 in`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub paper: Option<String>,
    /// What it cannot print at the edges of the paper.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub margin: Option<Measure>,
    /// Bars that it printed uncorrected, measured with a ruler.
    pub bars: WrittenBars,
}

/// The two bars.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct WrittenBars {
    /// The bar along the short side of the paper, or across the roll.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub short: Option<WrittenBar>,
    /// The bar along the long side of the paper, or along the roll.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub long: Option<WrittenBar>,
}

/// A bar and what a ruler says of it.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields)]
pub struct WrittenBar {
    /// How long it was to be.
    pub printed: Measure,
    /// How long it is.
    pub measured: Measure,
}

/// A commented printer profile to start from.
pub const PRINTER_STARTER: &str = include_str!("printer.toml");

/// A printer that stretches by more than this share is to be looked at: common practice, no source.
const WORRYING: f64 = 0.02;
/// A print that is off by more than this share was scaled to fit, or misread: common practice, no source.
const LARGEST: f64 = 0.05;
/// On a shorter bar, half a millimetre of misreading would be more than one in a hundred.
const SHORTEST_MM: f64 = 50.0;

/// Returns the JSON Schema of printer profiles, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn printer_schema() -> serde_json::Value {
    crate::job::schema_of::<WrittenPrinter>()
}

impl crate::job::Described for WrittenPrinter {
    const TABLES: &'static str = include_str!("printer.tables");
}

impl WrittenPrinter {
    /// Reads a profile from TOML, or from JSON with the same keys.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn read(text: &str, syntax: Syntax) -> Result<Self, ReadError> {
        job::read_described(text, syntax)
    }

    /// Works out the printer.
    ///
    /// Errors are what is not a length or a paper, a bar shorter than 50 mm, or one that is off by more than 5 %. Above 2 %
    /// there is a warning.
    pub fn resolve(&self) -> Checked<Printer> {
        let unit = self.unit.unwrap_or(Unit::Millimetre);
        let root = Scope::root(Some(unit), Ruler::usual(unit));
        let mut problems: Vec<Problem> = root.key("name").bad_name(&self.name).into_iter().collect();
        let paper = self.paper.as_ref().and_then(|paper| match paper.parse::<Paper>() {
            Ok(paper) => Some(paper),
            Err(error) => {
                problems.push(root.key("paper").error("paper", error.message, error.help));
                None
            }
        });
        let margin = self.margin.as_ref().and_then(|margin| kept(root.key("margin").mm(margin), &mut problems));
        let bars = root.key("bars");
        let mut stretch = |key: &'static str, bar: &Option<WrittenBar>| {
            bar.as_ref().map_or(1.0, |bar| bar.stretch(&bars.key(key), &mut problems))
        };
        let stretch = Stretch { across: stretch("short", &self.bars.short), down: stretch("long", &self.bars.long) };
        Checked::if_sound(Printer { name: self.name.clone(), paper, margin, stretch }, problems)
    }

    /// Returns the profile as a TOML file that [`WrittenPrinter::read`] reads back.
    #[must_use]
    pub fn to_toml(&self) -> String {
        toml::to_string(self).certain("TOML of this profile")
    }
}

impl WrittenBar {
    /// Makes a bar of the length that it was to have and the length that it has.
    #[must_use]
    pub fn new(printed: impl Into<Measure>, measured: impl Into<Measure>) -> Self {
        Self { printed: printed.into(), measured: measured.into() }
    }

    /// Returns by what factor the bar is longer than it was to be; 1 where that cannot be told.
    fn stretch(&self, scope: &Scope, problems: &mut Vec<Problem>) -> f64 {
        let printed = kept(scope.key("printed").mm(&self.printed), problems);
        let measured = kept(scope.key("measured").mm(&self.measured), problems);
        let (Some(printed), Some(measured)) = (printed, measured) else {
            return 1.0;
        };
        if printed < SHORTEST_MM {
            problems.push(
                scope
                    .key("printed")
                    .error(
                        "short-bar",
                        format!("a bar of {} is too short to tell how true the printer is", length::exact_mm(printed)),
                        format!("measure one of {SHORTEST_MM} mm (2 in) or more"),
                    )
                    .with_mm("printed", printed)
                    .with_mm("least", SHORTEST_MM),
            );
            return 1.0;
        }
        problems.extend(doubt(printed, measured, scope.key("measured").path()));
        measured / printed
    }
}

/// Says that a print is too far off, or nearly so.
fn doubt(printed: f64, measured: f64, path: &KeyPath) -> Option<Problem> {
    let off = measured / printed - 1.0;
    let message = format!(
        "the bar of {} measures {}, which is {:.1} % too {}",
        length::exact_mm(printed),
        length::exact_mm(measured),
        100.0 * off.abs(),
        if off > 0.0 { "long" } else { "short" }
    );
    if off.abs() > LARGEST + ROUNDING_STRETCH {
        let cure =
            "no printer is that far off: print again at 100 %, without fitting to the page, and measure once more";
        return Some(
            Problem::error("printer-scale", path, format!("{message}; at most 5 % is accepted"), cure)
                .with_ratio("most", LARGEST)
                .with_mm("printed", printed)
                .with_mm("measured", measured)
                .with_ratio("off", off),
        );
    }
    let cure = "check that it was printed at 100 %, not fitted to the page, and measured to the ends of the bar";
    (off.abs() > WORRYING + ROUNDING_STRETCH).then(|| {
        Problem::warning("printer-scale", path, message, cure)
            .with_mm("printed", printed)
            .with_mm("measured", measured)
            .with_ratio("off", off)
    })
}

/// Takes a value and leaves its problem with the others.
fn kept<T>(value: Result<T, Problem>, problems: &mut Vec<Problem>) -> Option<T> {
    value.map_err(|problem| problems.push(problem)).ok()
}

#[cfg(test)]
mod tests {
    use super::{PRINTER_STARTER, WrittenPrinter};
    use crate::checked::Checked;
    use crate::job::Syntax;
    use crate::paper::{Printer, Stretch};
    use crate::problem::Problem;

    fn resolve(text: &str) -> Result<(Printer, Vec<Problem>), Vec<Problem>> {
        let written = WrittenPrinter::read(text, Syntax::Toml).unwrap_or_else(|error| panic!("{text}: {error}"));
        let Checked { value, problems } = written.resolve();
        value.ok_or_else(|| problems.clone()).map(|printer| (printer, problems))
    }

    fn short_bar(measured: f64) -> String {
        format!("bars.short = {{ printed = 200, measured = {measured} }}")
    }

    #[test]
    fn a_bar_warns_above_two_and_is_refused_above_five_percent() {
        for (measured, warnings) in [(200.0, 0), (204.0, 0), (196.0, 0), (204.1, 1), (195.9, 1), (210.0, 1), (190.0, 1)]
        {
            let found = resolve(&short_bar(measured));
            assert!(found.is_ok_and(|(_, problems)| problems.len() == warnings), "{measured}");
        }
        for measured in [210.1, 189.9, 0.0, 400.0] {
            let problems = resolve(&short_bar(measured)).err().unwrap_or_default();
            assert_eq!(problems.len(), 1, "{measured}");
            let line = problems[0].to_string();
            assert!(line.contains("printer-scale") && line.contains("bars.short.measured"), "{line}");
        }
    }

    #[test]
    fn both_directions_are_kept_apart() {
        let both = "unit = 'in'\nbars.short = { printed = 7, measured = '7 1/16' }\nbars.long = { printed = '250 mm', measured = '249 mm' }";
        let stretch = resolve(both).map(|(printer, _)| printer.stretch);
        assert_eq!(stretch, Ok(Stretch { across: 7.0625 / 7.0, down: 249.0 / 250.0 }));
    }

    #[test]
    fn problems_are_collected() {
        let text = "paper = 'A44'\nmargin = 'wide'\nbars.long = { printed = 10, measured = 10 }";
        let problems = resolve(text).err().unwrap_or_default();
        let codes: Vec<_> = problems.iter().map(|problem| problem.code).collect();
        assert_eq!(codes, ["paper", "length", "short-bar"]);
    }

    #[test]
    fn the_starter_is_a_printer_that_prints_true_and_is_read_back() {
        let written = WrittenPrinter::read(PRINTER_STARTER, Syntax::Toml);
        assert!(written.as_ref().is_ok_and(|written| {
            let Checked { value, problems } = written.resolve();
            value.is_some_and(|printer| printer.stretch == Stretch::NONE) && problems.is_empty()
        }));
        let again = written.as_ref().map(|written| WrittenPrinter::read(&written.to_toml(), Syntax::Toml));
        assert_eq!(again.ok().and_then(Result::ok), written.ok());
    }

    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::WrittenPrinter>("paper/printer.tables");
    }
}
