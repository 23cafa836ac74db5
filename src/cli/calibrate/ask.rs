//! `backline calibrate ask`: asks at the terminal for what was measured, and writes the record.

use std::io::{BufRead, Write};
use std::path::PathBuf;

use clap::Args as ClapArgs;

use crate::bench::{
    CalibrationRecord, RecordedPiece, RecordedSide, TestPiece, TestSide, measured_over, measured_thickness,
};
use crate::job::{Measure, Scope};
use crate::length::{self, Ruler, Unit};
use crate::problem::Problem;

use super::super::exit::Exit;
use super::super::paths::is_stdio;
use super::plan::{CommandFailure, PlanArgs, write_files, write_text};

/// Ask for the measurements of the test pieces one by one, and write them down
///
/// Questions go to standard error, and answers come from standard input. An empty answer skips a number; the end of the input
/// ends the questions. Give the same --cutter, --pieces and --by-eye as when the pieces were drawn.
#[derive(Debug, ClapArgs)]
#[command(after_help = "\
Examples:
  backline calibrate ask -o measured.toml
  backline calibrate ask --by-eye 2 -o measured.toml
  backline calibrate ask | backline calibrate fit -")]
pub(super) struct AskArgs {
    #[command(flatten)]
    plan: PlanArgs,
    /// File for the record; `-` is standard output
    #[arg(short, long, value_name = "FILE", default_value = "-")]
    output: PathBuf,
    /// Replace an existing file
    #[arg(long)]
    force: bool,
}

pub(super) fn run(args: &AskArgs) -> Result<Exit, CommandFailure> {
    let (cutter, pieces) = args.plan.plan()?;
    // Better told before an hour of answers than after it.
    if !is_stdio(&args.output) && !args.force && args.output.exists() {
        write_files(&[(args.output.clone(), Vec::new())], false)?;
    }
    let mut asker = Asker {
        answers: std::io::stdin().lock(),
        questions: std::io::stderr().lock(),
        ruler: cutter.ruler,
        ended: false,
    };
    let record = asker.record(&pieces);
    drop(asker);
    let text = toml::to_string(&record).map_err(|error| CommandFailure::wrong(format!("error: {error}")))?;
    write_text(&args.output, &text, args.force)
}

const fn unit_name(unit: Unit) -> &'static str {
    match unit {
        Unit::Inch => "inches",
        Unit::Millimetre => "millimetres",
        Unit::Centimetre => "centimetres",
    }
}

/// Asks questions and reads answers.
struct Asker<A, Q> {
    answers: A,
    questions: Q,
    ruler: Ruler,
    /// Whether the answers have come to an end.
    ended: bool,
}

impl<A: BufRead, Q: Write> Asker<A, Q> {
    fn record(&mut self, pieces: &[TestPiece]) -> CalibrationRecord {
        let unit = self.ruler.unit();
        self.say(&format!(
            "Lengths without a unit are in {}; you may also write \"0.4 mm\" or \"1/32 in\". Press Enter to skip one.\n",
            unit_name(unit)
        ));
        let reading = self.length("smallest division of the ruler you measured with");
        let thickness = self.ask("thickness of the board", measured_thickness);
        let pieces = pieces.iter().map(|piece| self.piece(piece));
        let piece = pieces.filter(|piece| *piece != RecordedPiece::default()).collect();
        CalibrationRecord { unit: Some(unit), ruler_parts: Some(self.ruler.parts()), reading, thickness, piece }
    }

    fn piece(&mut self, piece: &TestPiece) -> RecordedPiece {
        self.say(&format!("\nTest piece {}, {}\n", piece.number, self.ruler.show_size(piece.width, piece.height)));
        let width = self.both("width of the blank", ["one end", "other end"]);
        let height = self.both("height of the blank", ["one end", "other end"]);
        let first = self.length("diagonal from the corner that first lay between arm and blade");
        let second = first.as_ref().and_then(|_| self.length("the other diagonal"));
        let opening_width = self.both("width of the opening on the back", ["one end", "other end"]);
        let opening_height = self.both("height of the opening on the back", ["one end", "other end"]);
        let [left, bottom, right, top] = piece.sides.each_ref().map(|side| self.side(side, piece));
        RecordedPiece {
            thickness: None,
            arm_for_width: (!width.is_empty()).then(|| self.text(piece.width)),
            arm_for_height: (!height.is_empty()).then(|| self.text(piece.height)),
            width,
            height,
            opening_width,
            opening_height,
            diagonals: first.zip(second).map(<[Measure; 2]>::from),
            left,
            right,
            top,
            bottom,
        }
    }

    fn side(&mut self, side: &TestSide, piece: &TestPiece) -> Option<RecordedSide> {
        let [guide, far, near] = piece.settings(side);
        self.say(&format!(" {} side: {guide}, {far}, {near}\n", side.side.name()));
        let border = self.both("border on the back", ["far end", "near end"]);
        let far_over = self.ask("far end, from the corner (\"1.5 past\" it or \"0.5 short\" of it)", measured_over);
        let near_over = self.ask("near end, from the corner", measured_over);
        let bevel = self.length("width of the bevel");
        let stop = |over: &Option<Measure>, set| (over.is_some() && !piece.by_eye).then(|| self.text(set));
        let mark = |over: &Option<Measure>, set| (over.is_some() && piece.by_eye).then(|| self.text(set));
        let side = RecordedSide {
            guide: (!border.is_empty()).then(|| self.text(side.guide)),
            far_stop: stop(&far_over, side.far),
            near_stop: stop(&near_over, side.near),
            far_mark: mark(&far_over, side.far),
            near_mark: mark(&near_over, side.near),
            border,
            far_over,
            near_over,
            bevel,
        };
        (side != RecordedSide::default()).then_some(side)
    }

    /// Asks for a length at both ends; the second may be left out.
    fn both(&mut self, what: &str, ends: [&str; 2]) -> Vec<Measure> {
        let [first, second] = ends;
        let Some(first) = self.length(&format!("{what}, {first}")) else {
            return Vec::new();
        };
        let second = self.length(&format!("{what}, {second}"));
        std::iter::once(first).chain(second).collect()
    }

    fn length(&mut self, question: &str) -> Option<Measure> {
        self.ask(question, |length, place| place.mm(length))
    }

    /// Asks until the answer is a length, nothing, or there are no more answers.
    fn ask(&mut self, question: &str, read: fn(&Measure, &Scope) -> Result<f64, Problem>) -> Option<Measure> {
        let place = Scope::root(Some(self.ruler.unit()), self.ruler);
        while !self.ended {
            self.say(&format!("  {question}: "));
            let mut answer = String::new();
            self.ended = !self.answers.read_line(&mut answer).is_ok_and(|bytes| bytes > 0);
            let answer = answer.trim();
            if answer.is_empty() {
                return None;
            }
            let measure = Measure::from(answer);
            match read(&measure, &place) {
                Ok(_) => {
                    if let Some(doubt) = length::doubt(answer) {
                        self.say(&format!("    {}; {}\n", doubt.message, doubt.help));
                    }
                    return Some(measure);
                }
                Err(problem) => self.say(&format!("    {}; {}\n", problem.message, problem.help)),
            }
        }
        None
    }

    /// A terminal that has gone away is not an error: the answers count.
    fn say(&mut self, words: &str) {
        let _ = self.questions.write_all(words.as_bytes()).and_then(|()| self.questions.flush());
    }

    fn text(&self, mm: f64) -> Measure {
        Measure::from(self.ruler.read(mm).text.as_str())
    }
}
