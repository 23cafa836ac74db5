//! What is known of a board as it is written in a job, an order or a stock.

use super::colour_word::find_colour;
use super::{LengthRange, Measure, Scope, WrittenBoard};
use crate::checked::Checked;
use crate::colour::{Colour, ColourTable};
use crate::mat::{BoardError, BoardWords, MOST_PLIES, Thickness, board_thickness, read_thickness};
use crate::problem::{Place, Problem};

/// What is known of a board.
#[derive(Debug, Clone, PartialEq, Default)]
#[non_exhaustive]
pub struct KnownBoard {
    /// What it is called; empty if it has no name.
    pub name: String,
    /// What is said of its thickness, in the name or beside it.
    pub thickness: Thickness,
    /// Colour of its face, if that is said.
    pub colour: Option<Colour>,
    /// Colour of its core, if that is said.
    pub core: Option<Colour>,
}

impl WrittenBoard {
    /// Tells whether nothing at all is said of the board.
    #[must_use]
    pub fn is_empty(&self) -> bool {
        let Self { name, plies, thickness, colour, core } = self;
        name.trim().is_empty() && plies.is_none() && thickness.is_none() && colour.is_empty() && core.is_empty()
    }

    /// Returns what is written of it, in one line for people.
    #[must_use]
    pub fn words(&self) -> String {
        let thickness = self.thickness.as_ref().map(|thickness| match thickness {
            Measure::Number(number) => number.to_string(),
            Measure::Text(text) => text.clone(),
        });
        let core = (!self.core.is_empty()).then(|| format!("{} core", self.core));
        let said = [Some(self.name.clone()), self.plies.map(|plies| format!("{plies}-ply")), thickness];
        let words = said.into_iter().chain([Some(self.colour.clone()), core]).flatten();
        words.filter(|words| !words.trim().is_empty()).collect::<Vec<_>>().join(", ")
    }

    /// Understands the board: every word and figure of its name, and the keys beside it; `own` are colours of the user's own.
    ///
    /// There is no board if something is not understood, or if two things contradict each other; the last problem says what.
    pub fn understand(&self, own: &ColourTable, scope: &Scope) -> Checked<KnownBoard> {
        let mut problems = Vec::new();
        let known = self.known(own, scope, &mut problems);
        let value = known.map_err(|problem| problems.push(problem)).ok();
        Checked { value, problems }
    }

    /// Adds what is doubtful about its colour to the problems.
    fn known(&self, own: &ColourTable, scope: &Scope, problems: &mut Vec<Problem>) -> Result<KnownBoard, Problem> {
        let name_scope = scope.key("name");
        problems.extend(name_scope.bad_name(&self.name));
        // With its thickness beside it, a name may have any figures in it.
        let read =
            if self.plies.is_some() || self.thickness.is_some() { BoardWords::of_name } else { BoardWords::read };
        let words = match (read(&self.name, own), self.core.is_empty()) {
            // A core that is said beside the name need not be understood in it.
            (Err(_), false) => BoardWords::of_name(&self.name, own),
            (words, _) => words,
        };
        let words = words.map_err(|error| at(&name_scope, error))?;
        // What is written under a key of its own is judged with all other lengths of the file.
        let range = LengthRange::of(scope.key("thickness").path()).zip(words.thickness.measured);
        if let Some(problem) = range.and_then(|(range, mm)| range.judge(mm, None, &name_scope)) {
            if problem.is_error() {
                return Err(problem);
            }
            problems.push(problem);
        }
        let mut thickness = words.thickness;
        if let Some(plies) = self.plies {
            let place = scope.key("plies");
            let stated = Thickness::of_plies(plies).map_err(|message| {
                let problem = place.error("board", message, "");
                problem
                    .with_count("plies", plies as usize)
                    .with_count("least", 1)
                    .with_count("most", MOST_PLIES as usize)
            })?;
            thickness = self.joined(thickness, stated, &place)?;
        }
        if let Some(measure) = &self.thickness {
            let place = scope.key("thickness");
            thickness = self.joined(thickness, place.thickness(measure)?, &place)?;
        }
        let colour = match self.colour.as_str() {
            "" => {
                problems.extend(words.doubt.map(|doubt| warned(&name_scope, doubt)));
                words.colour
            }
            colour => Some(find_colour(colour, own, &scope.key("colour"))?),
        };
        let core = match self.core.as_str() {
            "" => words.core,
            core => Some(find_colour(core, own, &scope.key("core"))?),
        };
        if let (Some(named), Some(said)) = (words.core, core)
            && named != said
        {
            let message = format!("the board is called {}, but its core is {}", self.name, self.core);
            return Err(scope.key("core").error("contradiction", message, "keep one of the two"));
        }
        Ok(KnownBoard { name: self.name.trim().to_owned(), thickness, colour, core })
    }

    fn joined(&self, known: Thickness, stated: Thickness, place: &Scope) -> Result<Thickness, Problem> {
        known.and(stated).map_err(|[known, stated]| {
            let called = if self.name.is_empty() { "here".to_owned() } else { format!("in \"{}\"", self.name) };
            let message = format!("the board is {known} thick {called}, but {stated} elsewhere in the same board");
            place.error("contradiction", message, "keep one of the two, or correct the other")
        })
    }
}

impl Scope {
    /// Reads the thickness of a board: plies, or a length as measured.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if it is not a thickness that a board has.
    pub fn thickness(&self, measure: &Measure) -> Result<Thickness, Problem> {
        match measure {
            Measure::Text(text) => read_thickness(text, self.unit()).map_err(|error| at(self, error)),
            Measure::Number(_) => {
                let help = "give its measured thickness, or plies such as \"4-ply\"";
                Thickness::of_mm(self.mm(measure)?).map_err(|message| self.error("board", message, help))
            }
        }
    }

    /// Reads how many millimetres thick a board is from a length, which may be zero where there is none, or from words for it.
    ///
    /// # Errors
    ///
    /// Returns a problem at this place if they do not say it.
    pub fn board_mm(&self, measure: &Measure) -> Result<f64, Problem> {
        match measure {
            Measure::Text(text) => board_thickness(text, self.unit()).map_err(|error| at(self, error)),
            Measure::Number(_) => self.mm(measure),
        }
    }
}

fn at(scope: &Scope, error: BoardError) -> Problem {
    let place = Place::within(scope.path().clone(), error.range);
    Problem::error("board", place, error.message, error.help)
}

fn warned(scope: &Scope, doubt: BoardError) -> Problem {
    let place = Place::within(scope.path().clone(), doubt.range);
    Problem::warning("unknown-colour", place, doubt.message, doubt.help)
}
