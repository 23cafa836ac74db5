//! What of a job a machine does otherwise, or not at all: collected, with openings of the same fate in one sentence.

use super::profile::Machine;
use crate::mat::Mat;
use crate::problem::{KeyPath, Problem, Severity};

/// What was found out, in the order in which it was.
#[derive(Debug, Default)]
pub(super) struct Findings {
    found: Vec<Finding>,
    /// What is worth a line in the file, and no warning.
    pub(super) remarks: Vec<String>,
}

#[derive(Debug)]
struct Finding {
    severity: Severity,
    code: &'static str,
    openings: Vec<usize>,
    /// What it is about, if not openings.
    subject: String,
    message: String,
    help: String,
}

impl Findings {
    /// Adds what is the matter with an opening.
    pub(super) fn opening(
        &mut self,
        severity: Severity,
        code: &'static str,
        number: usize,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let (message, help) = (message.into(), help.into());
        let is_same = |known: &&mut Finding| {
            !known.openings.is_empty() && known.code == code && known.message == message && known.help == help
        };
        match self.found.iter_mut().find(is_same) {
            Some(known) if known.openings.contains(&number) => {}
            Some(known) => known.openings.push(number),
            None => {
                let subject = String::new();
                self.found.push(Finding { severity, code, openings: vec![number], subject, message, help });
            }
        }
    }

    /// Adds what is the matter with something else; the same is added once.
    pub(super) fn other(
        &mut self,
        severity: Severity,
        code: &'static str,
        subject: impl Into<String>,
        message: impl Into<String>,
        help: impl Into<String>,
    ) {
        let (subject, message, help) = (subject.into(), message.into(), help.into());
        let is_same = |known: &Finding| known.code == code && known.subject == subject && known.message == message;
        if !self.found.iter().any(is_same) {
            self.found.push(Finding { severity, code, openings: Vec::new(), subject, message, help });
        }
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
            match finding.severity {
                Severity::Error => Problem::error(finding.code, KeyPath::root(), message, help),
                Severity::Warning => Problem::warning(finding.code, KeyPath::root(), message, help),
            }
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
