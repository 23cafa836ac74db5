//! `backline new shop` on a terminal: asks for what is the same in every job, and writes the shop file.

use std::io::{self, BufRead, Write};

use crate::length::{self, Unit};
use crate::mat::read_thickness;
use crate::paper::Paper;

/// Asks on one side, and reads on the other.
struct ShopAsker<A, Q> {
    answers: A,
    questions: Q,
}

/// Asks for a shop's habits and returns the text of its file; an empty answer takes what is proposed.
///
/// # Errors
///
/// Fails if nothing can be asked or read. The end of the answers takes all that is proposed.
pub(super) fn ask(answers: impl BufRead, questions: impl Write) -> io::Result<String> {
    let mut asker = ShopAsker { answers, questions };
    writeln!(asker.questions, "What is the same in every job? Press Enter to take what stands in brackets.")?;
    let unit = asker.ask("Unit of your ruler: in, mm or cm", "in", |text| {
        Unit::parse(text).map(|unit| unit.name().to_owned()).ok_or_else(|| "write in, mm or cm".to_owned())
    })?;
    let of_text = Unit::parse(&unit);
    let metric = of_text.is_some_and(Unit::is_metric);
    let length = |text: &str| match length::parse(text, of_text) {
        Ok(_) => Ok(text.to_owned()),
        Err(error) => Err(error.to_string()),
    };
    let board = asker.ask("Your usual board, as you call it", "", |text| Ok(text.to_owned()))?;
    let thickness = if board.is_empty() {
        String::new()
    } else {
        asker.ask("Its thickness as measured, or its plies", "4-ply", |text| {
            read_thickness(text, of_text).map(|_| text.to_owned()).map_err(|error| error.message)
        })?
    };
    let [small, paper] = if metric { ["3 mm", "a4"] } else { ["1/8 in", "letter"] };
    let clearance = asker.ask("How much smaller than the rabbet is a mat, overall", small, length)?;
    let overlap = asker.ask("How far does a mat overlap the art, on each side", small, length)?;
    let paper = asker.ask("Paper of your printer", paper, |text| {
        text.parse::<Paper>().map(|_| text.to_owned()).map_err(|error| error.to_string())
    })?;
    let quoted = |text: &str| toml::Value::from(text).to_string();
    let mut text = "# A shop's own habits: `backline new shop < /dev/null` and `backline help shop` show what else may stand here.\n".to_owned();
    text += &format!("unit = {}\n\n[job]\n", quoted(&unit));
    if !board.is_empty() {
        text += &format!("board = {}\n", quoted(&board));
    }
    text += &format!("frame.clearance = {}\nopening.overlap = {}\n", quoted(&clearance), quoted(&overlap));
    text += &format!("\n[print]\npaper = {}\n", quoted(&paper));
    if !board.is_empty() {
        text += &format!("\n[[board]]\nname = {}\nthickness = {}\n", quoted(&board), quoted(&thickness));
    }
    writeln!(
        asker.questions,
        "Save this as shop.toml beside your jobs, or as backline/shop.toml in your settings folder."
    )?;
    Ok(text)
}

impl<A: BufRead, Q: Write> ShopAsker<A, Q> {
    /// Asks until the answer is understood; `usual` is taken where there is none.
    fn ask(
        &mut self,
        question: &str,
        usual: &str,
        understand: impl Fn(&str) -> Result<String, String>,
    ) -> io::Result<String> {
        loop {
            let proposed = if usual.is_empty() { "none" } else { usual };
            write!(self.questions, "{question} [{proposed}]: ")?;
            self.questions.flush()?;
            let mut line = String::new();
            let ended = self.answers.read_line(&mut line)? == 0;
            let answer = line.trim();
            if answer.is_empty() {
                if ended {
                    writeln!(self.questions)?;
                }
                return Ok(usual.to_owned());
            }
            match understand(answer) {
                Ok(understood) => return Ok(understood),
                Err(message) => writeln!(self.questions, "  {message}")?,
            }
        }
    }
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, clippy::panic, reason = "a test may fail by panic")]

    use super::ask;
    use crate::shop::Shop;

    fn asked(answers: &str) -> (String, String) {
        let mut questions = Vec::new();
        let text = ask(answers.as_bytes(), &mut questions).unwrap();
        let shop = Shop::parse("shop.toml", &*text);
        assert!(shop.is_ok(), "{text}: {}", shop.unwrap_err());
        (text, String::from_utf8(questions).unwrap())
    }

    #[test]
    fn whoever_presses_enter_has_a_shop_file() {
        let (text, _) = asked("\n\n\n\n\n");
        assert!(text.contains("unit = \"in\"") && text.contains("paper = \"letter\"") && !text.contains("[[board]]"));
        assert_eq!(asked("").0, text);
        let (metric, _) = asked("millimetres\n");
        assert!(
            metric.contains("unit = \"mm\"") && metric.contains("clearance = \"3 mm\"") && metric.contains("\"a4\"")
        );
    }

    #[test]
    fn answers_are_taken_and_asked_for_again_if_they_are_not_understood() {
        let (text, questions) = asked("furlong\ncm\nour \"rag\"\nthick\n1.5 mm\n0.2\nx\n0.3 cm\nA99\na3\n");
        assert!(
            questions.contains("write in, mm or cm") && questions.matches("on each side").count() == 2,
            "{questions}"
        );
        for line in [
            "unit = \"cm\"",
            "thickness = \"1.5 mm\"",
            "frame.clearance = \"0.2\"",
            "opening.overlap = \"0.3 cm\"",
            "paper = \"a3\"",
        ] {
            assert!(text.contains(line), "{line}: {text}");
        }
    }
}
