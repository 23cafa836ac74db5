//! What of a job a machine does otherwise, or not at all: collected, with openings of the same fate in one sentence.

use super::profile::Machine;
use crate::fault::Certain;
use crate::mat::{Bevel, Mat};
use crate::problem::{KeyPath, NumberUnit, Problem, Severity};

/// What was found out, in the order in which it was.
#[derive(Debug, Default)]
pub(super) struct Findings {
    found: Vec<Finding>,
    /// What is worth a line in the file, and no warning.
    pub(super) remarks: Vec<String>,
}

/// One thing that was found out.
#[derive(Debug)]
pub(super) struct Finding {
    severity: Severity,
    code: &'static str,
    openings: Vec<usize>,
    /// What it is about, if not openings.
    subject: String,
    /// The opening that the subject names.
    subject_opening: Option<usize>,
    message: String,
    help: String,
    /// The numbers of the message.
    numbers: Vec<(&'static str, f64, NumberUnit)>,
}

impl Finding {
    const fn new(severity: Severity, code: &'static str, subject: String, message: String, help: String) -> Self {
        Self {
            severity,
            code,
            openings: Vec::new(),
            subject,
            subject_opening: None,
            message,
            help,
            numbers: Vec::new(),
        }
    }

    /// Adds a length in millimetres to its numbers.
    pub(super) fn mm(&mut self, name: &'static str, mm: f64) -> &mut Self {
        self.number(name, mm, NumberUnit::Millimetre)
    }

    /// Says which opening its subject names.
    pub(super) const fn about(&mut self, opening: Option<usize>) -> &mut Self {
        self.subject_opening = opening;
        self
    }

    /// Adds an angle in degrees to its numbers.
    pub(super) fn degrees(&mut self, name: &'static str, degrees: f64) -> &mut Self {
        self.number(name, degrees, NumberUnit::Degree)
    }

    /// Adds the angles in degrees that a tool has.
    pub(super) fn angles(&mut self, angles: &[f64]) -> &mut Self {
        angles.iter().fold(self, |finding, angle| finding.degrees("angle", *angle))
    }

    /// Adds the numbers of the bevel that a job asks for, in a board of some thickness.
    pub(super) fn bevel(&mut self, asked: Bevel, thickness: f64) -> &mut Self {
        self.degrees("asked", asked.angle_deg).mm("bevel", asked.width(thickness))
    }

    fn number(&mut self, name: &'static str, value: f64, unit: NumberUnit) -> &mut Self {
        // The same may be found several times.
        if !self.numbers.iter().any(|(known, number, _)| *known == name && number.to_bits() == value.to_bits()) {
            self.numbers.push((name, value, unit));
        }
        self
    }
}

impl Findings {
    /// Adds what is the matter with an opening; the numbers of the message are to be added to what is returned.
    pub(super) fn opening(
        &mut self,
        severity: Severity,
        code: &'static str,
        number: usize,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> &mut Finding {
        let finding = Finding::new(severity, code, String::new(), message.into(), help.into());
        let finding = self.once(finding, |known, new| {
            !known.openings.is_empty()
                && known.code == new.code
                && known.message == new.message
                && known.help == new.help
        });
        if !finding.openings.contains(&number) {
            finding.openings.push(number);
        }
        finding
    }

    /// Adds what is the matter with something else; the same is added once. The numbers of the message are to be added to what is
    /// returned.
    pub(super) fn other(
        &mut self,
        severity: Severity,
        code: &'static str,
        subject: impl Into<String>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) -> &mut Finding {
        let finding = Finding::new(severity, code, subject.into(), message.into(), help.into());
        self.once(finding, |known, new| {
            known.code == new.code && known.subject == new.subject && known.message == new.message
        })
    }

    /// Returns what is the same among what was found before, or adds it.
    fn once(&mut self, finding: Finding, is_same: impl Fn(&Finding, &Finding) -> bool) -> &mut Finding {
        let place = self.found.iter().position(|known| is_same(known, &finding)).unwrap_or_else(|| {
            self.found.push(finding);
            self.found.len() - 1
        });
        self.found.get_mut(place).certain("finding at this place")
    }

    /// Adds a line for the file; the same is added once.
    pub(super) fn remark(&mut self, remark: impl Into<String>) {
        let remark = remark.into();
        if !self.remarks.contains(&remark) {
            self.remarks.push(remark);
        }
    }

    /// Words everything that was found.
    pub(super) fn problems(&self, mat: &Mat) -> Vec<Problem> {
        let problem = |finding: &Finding| {
            let subject = match finding.openings.as_slice() {
                [] => finding.subject.clone(),
                [one] => mat.opening_title(*one),
                several => {
                    let numbers: Vec<String> = several.iter().map(usize::to_string).collect();
                    format!("openings {}", numbers.join(", "))
                }
            };
            let message = format!("{subject}: {}", finding.message);
            let help = finding.help.clone();
            let problem = match finding.severity {
                Severity::Error => Problem::error(finding.code, KeyPath::root(), message, help),
                Severity::Warning => Problem::warning(finding.code, KeyPath::root(), message, help),
            };
            let problem = problem.of_openings(finding.openings.iter().copied().chain(finding.subject_opening));
            finding.numbers.iter().fold(problem, |problem, (name, value, unit)| problem.with(*name, *value, *unit))
        };
        self.found.iter().map(problem).collect()
    }
}

/// Refuses two angles of the blade in one file.
pub(super) fn two_angles(machine: &Machine, what: String) -> Problem {
    let help =
        "cut them in two jobs, on a machine that turns its blade, or set turns_between if lines of before_cut do that";
    let message = format!("{what}, and the knife of {} is set to one angle for a file", machine.name);
    Problem::error("machine-bevel", KeyPath::root(), message, help)
}
