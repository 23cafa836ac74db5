//! Work at the bench with a hand cutter: the cutter as measured, and what to set for a mat.
//!
//! A hand cutter has a **guide** (a fence parallel to the rail that an edge of the board lies against), two **stops**
//! that end the travel of the blade's head, and a **squaring arm** for cutting blanks. Each has a scale. A [`Cutter`]
//! says what these scales really do, so that a distance wanted on the board becomes the number to set:
//!
//! ```
//! use backline::bench::WrittenCutter;
//! use backline::job::Syntax;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let written = WrittenCutter::read("unit = 'in'\nguide = { offset = '1/32 in' }", Syntax::Toml)?;
//! let cutter = written.resolve().into_result()?;
//!
//! // The guide stands 1/32 in farther from the blade than its scale says: 3 1/8 in is set to 3 3/32 in, which is
//! // halfway between two sixteenths.
//! let setting = cutter.set_guide(3.125 * 25.4);
//! assert_eq!(setting.reading.to_string(), "3 1/8 in (-0.79 mm)");
//! assert!((setting.error() - 25.4 / 32.0).abs() < 1e-9);
//! # Ok(())
//! # }
//! ```
//!
//! Test cuts tell what the scales do ([`CalibrationRecord::calibrate`]), with an interval that holds the truth in 95 % of cases:
//!
//! ```
//! use backline::bench::{CalibrationRecord, Cutter};
//! use backline::job::Syntax;
//! use backline::length::{Ruler, Unit};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let record = CalibrationRecord::read(
//!     "unit = 'mm'\n[piece]\nleft = { guide = 30, border = 30.9 }\nright = { guide = 60, border = 61.1 }\n\
//!      top = { guide = 100, border = 101.2 }\nbottom = { guide = 120, border = 121.3 }",
//!     Syntax::Toml,
//! )?;
//! let before = Cutter::usual(Ruler::usual(Unit::Millimetre));
//! let calibration = record.calibrate(&before).into_result()?;
//! let guide = calibration.guide.ok_or("the guide was measured")?;
//! assert!(guide.offset.holds(0.8) && guide.stretch.holds(0.004) && !guide.offset.holds(0.0));
//! assert!(calibration.cutter.to_toml(&calibration.remarks()).contains("[guide]"));
//! # Ok(())
//! # }
//! ```
//!
//! [`Settings`] says what to set for every cut of a mat, in the order with the fewest settings:
//!
//! ```
//! use backline::bench::{Assembly, Changes, Cutter, Settings};
//! use backline::job::{Syntax, WrittenJob};
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let resolved = WrittenJob::read("unit = 'in'\nborder = 3\nopening.size = [8, 10]", Syntax::Toml)?.resolve();
//! let mat = resolved.sound().ok_or("the job has errors")?;
//! let settings = Settings::new(mat, &Cutter::usual(mat.ruler()), Assembly::Taped);
//!
//! assert_eq!(settings.changes, Changes { guide: 1, stops: 2, laid: 4, blade: 1 });
//! assert!(settings.is_proven() && settings.to_text().contains("Set the guide to 3 in"));
//! # Ok(())
//! # }
//! ```

mod blade_words;
mod board_edge;
mod board_words;
mod calibration;
mod calibration_picture;
mod card;
mod card_cell;
mod card_lists;
mod card_sketch;
mod cautions;
mod changes;
mod course;
mod curve;
mod cut;
mod cutter;
mod cutter_file;
mod cutter_reader;
mod cutter_scale;
mod cutter_text;
mod downsizing;
mod end;
mod evidence;
mod knowledge;
mod opening_cuts;
mod order;
mod order_exact;
mod order_search;
mod order_task;
mod rounding;
mod settings;
mod settings_data;
mod settings_text;
mod settings_words;
mod setup;
mod squareness;
mod squareness_picture;
mod squareness_report;
mod step;
mod step_data;
mod step_words;
mod table;
mod test_piece_drawing;
mod trouble;
mod whole_order;
mod whole_order_data;
mod whole_order_words;

pub use board_edge::{BoardEdge, Facing};
#[cfg(feature = "schema")]
pub use calibration::calibration_schema;
#[cfg(feature = "schema")]
pub use calibration::record_schema;
pub use calibration::{
    CALIBRATION_SCHEMA, Calibration, CalibrationRecord, CalibrationReport, Estimate, MoreMeasurements, PartReadings,
    RecordedPiece, RecordedSide, ScaleFit, ScaleReading, TestPiece, TestSide, ValueFit, probability_within, quantile,
    record_form,
};
#[cfg(feature = "cli")]
pub(crate) use calibration::{measured_over, measured_thickness};
pub use calibration_picture::calibration_pages;
pub use card::{bench_cards, order_cards};
pub use cautions::CAUTIONS;
pub use changes::Changes;
pub use curve::{Bend, Oval};
pub use cut::{Cut, CutMethod, DistanceSetting, Ends};
pub use cutter::{Cutter, Lead, Lean, Pivot, RailSide, Stops, StopsFrom};
#[cfg(feature = "schema")]
pub use cutter_file::cutter_schema;
pub use cutter_file::{
    CUTTER_STARTER, WrittenArm, WrittenCutter, WrittenKnown, WrittenLead, WrittenScale, WrittenStops,
};
pub use cutter_scale::{Scale, Setting};
pub use downsizing::Downsizing;
pub use end::End;
pub use evidence::{Evidence, GIVEN, Number, NumberKind};
pub use knowledge::{Doubt, Knowledge, Known};
pub use opening_cuts::OpeningCuts;
pub use order::CutOrder;
pub use settings::{Assembly, BoardSettings, CutSequence, Settings};
pub use settings_data::SettingsData;
#[cfg(feature = "schema")]
pub use settings_data::settings_schema;
pub use setup::{Guide, Setup, Stop};
pub use squareness::{SquareTest, Squareness, Verdict, sine_from_diagonals};
pub use squareness_picture::square_picture;
#[cfg(feature = "schema")]
pub use squareness_report::square_schema;
pub use squareness_report::{SQUARE_SCHEMA, SquareDemand, SquareReport};
pub use step::CutStep;
pub use table::Table;
pub use test_piece_drawing::draw_test_piece;
#[cfg(feature = "schema")]
pub use trouble::trouble_schema;
pub use trouble::{Cause, Diagnosis, Likelihood, Sign, TROUBLE_SCHEMA, TROUBLES, TroubleTable, When};
pub use whole_order::{OrderPart, OrderStep, WholeOrder};
pub use whole_order_data::WholeOrderData;
#[cfg(feature = "schema")]
pub use whole_order_data::whole_order_schema;
