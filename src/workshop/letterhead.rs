//! The paper of workshop sheets, and the letters on it.

use kurbo::Size;

use crate::drawing::letter_height::TEXT;
use crate::page::{Form, LEADING};

/// What the pages call themselves.
const VIEW: &str = "workshop sheet";

/// The paper of workshop sheets.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Letterhead {
    /// Width and height in millimetres; at least those of A5.
    pub paper: Size,
    /// What stays blank on every side, in millimetres.
    pub margin: f64,
}

impl Letterhead {
    /// Makes a letterhead on paper of a size in millimetres, with the usual margin.
    #[must_use]
    pub const fn new(paper: Size) -> Self {
        Self { paper, margin: crate::page::MARGIN }
    }
}

/// Height in millimetres of the capitals of ordinary text, and the distance between its lines.
pub(super) const CAP: f64 = TEXT;

pub(super) const LINE: f64 = LEADING * CAP;

/// Returns the form of the pages about something.
pub(super) fn form(name: &str, letterhead: &Letterhead) -> Form {
    Form { margin: letterhead.margin, ..Form::new(name, VIEW, letterhead.paper) }
}
