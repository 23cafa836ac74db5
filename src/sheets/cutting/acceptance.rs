//! Late acceptance: a change is taken if it is no worse than now, or than some rounds ago.

/// How many rounds back a score may be as bad as.
const MEMORY: usize = 200;

/// The scores of the last rounds; lower is better.
#[derive(Debug)]
pub(super) struct Acceptance {
    history: Vec<i64>,
    score: i64,
    at: usize,
}

impl Acceptance {
    /// Starts from a score.
    pub(super) fn new(score: i64) -> Self {
        Self { history: vec![score; MEMORY], score, at: 0 }
    }

    /// Whether a change to this score is taken; it is remembered.
    pub(super) fn takes(&mut self, new: i64) -> bool {
        self.at = (self.at + 1) % MEMORY;
        let Some(past) = self.history.get_mut(self.at) else { return false };
        let takes = new <= self.score || new <= *past;
        if takes {
            self.score = new;
        }
        *past = self.score.min(*past);
        takes
    }
}

#[cfg(test)]
mod tests {
    use super::Acceptance;

    #[test]
    fn takes_what_is_not_worse_than_long_ago() {
        let mut acceptance = Acceptance::new(10);
        assert!(acceptance.takes(4));
        assert!(acceptance.takes(9));
        assert!(!acceptance.takes(11));
    }
}
