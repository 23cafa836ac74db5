//! Faults of the program itself: a look-up that cannot fail has failed.

use std::fmt::Display;

/// A look-up that finds something unless the program is at fault.
pub(crate) trait Certain<T> {
    /// Returns what was found.
    ///
    /// # Panics
    ///
    /// Panics if nothing was found, with the words for what is missing: a number that looks right would spoil a board.
    #[track_caller]
    fn certain(self, what: &str) -> T;
}

impl<T> Certain<T> for Option<T> {
    #[allow(clippy::panic, reason = "a fault of the program must stop it")]
    fn certain(self, what: &str) -> T {
        match self {
            Some(found) => found,
            None => {
                panic!("this is a fault of Backline, not of the job: there is no {what}; please report it with the job")
            }
        }
    }
}

impl<T, E: Display> Certain<T> for Result<T, E> {
    #[allow(clippy::panic, reason = "a fault of the program must stop it")]
    fn certain(self, what: &str) -> T {
        match self {
            Ok(found) => found,
            Err(reason) => panic!(
                "this is a fault of Backline, not of the job: there is no {what} ({reason}); please report it with the job"
            ),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::Certain;

    #[test]
    #[should_panic(expected = "a fault of Backline, not of the job: there is no bevel of board 3")]
    fn what_is_missing_is_named() {
        let bevels: [f64; 2] = [45.0, 45.0];
        bevels.get(3).certain("bevel of board 3");
    }

    #[test]
    #[should_panic(expected = "there is no text of the plan (too deep); please report it")]
    fn the_reason_is_told() {
        Err::<String, _>("too deep").certain("text of the plan");
    }
}
