//! Numbers of an SVG file that are too large to be drawn.

/// Most figures before the point, the exponent counted with them: usvg cuts an arc into as many curves as the sixth root of
/// its radius, and a radius of fifty figures would fill any memory.
const MOST_FIGURES: usize = 8;

/// A number on its way through a text.
#[derive(Debug, Default)]
struct Scan {
    start: usize,
    figures: usize,
    in_fraction: bool,
    exponent: Option<Exponent>,
}

#[derive(Debug, Default)]
struct Exponent {
    value: usize,
    is_negative: bool,
    has_figures: bool,
}

/// Returns the start of a text up to the first number that has too many figures before its point, from that number on.
pub(super) fn too_large(text: &str) -> Option<&str> {
    let mut scan = Scan::default();
    for (at, letter) in text.bytes().enumerate() {
        scan.take(at, letter);
        if scan.magnitude() > MOST_FIGURES {
            return text.get(scan.start..=at);
        }
    }
    None
}

impl Scan {
    fn new(start: usize) -> Self {
        Self { start, ..Self::default() }
    }

    fn take(&mut self, at: usize, letter: u8) {
        match (letter, &mut self.exponent) {
            (b'0'..=b'9', Some(exponent)) => {
                exponent.value = exponent.value.saturating_mul(10).saturating_add(usize::from(letter - b'0'));
                exponent.has_figures = true;
            }
            (b'0'..=b'9', None) if !self.in_fraction => self.figures += 1,
            (b'0'..=b'9', None) => {}
            (b'e' | b'E', exponent @ None) => *exponent = Some(Exponent::default()),
            (b'+', Some(exponent)) if !exponent.has_figures => {}
            (b'-', Some(exponent)) if !exponent.has_figures => exponent.is_negative = true,
            (b'.', None) if !self.in_fraction => self.in_fraction = true,
            // Numbers may follow each other without space: a second point or a sign starts the next one.
            (b'.', _) => *self = Self { in_fraction: true, ..Self::new(at) },
            _ => *self = Self::new(at + 1),
        }
    }

    fn magnitude(&self) -> usize {
        let raised =
            self.exponent.as_ref().filter(|exponent| !exponent.is_negative).map_or(0, |exponent| exponent.value);
        self.figures.saturating_add(raised)
    }
}

#[cfg(test)]
mod tests {
    use super::too_large;

    #[test]
    fn only_large_numbers_are_too_large() {
        for text in ["12345678.123456789", "M1e3-2e4.5.55555555555", "1e-30", ".000000000000001", "a1 1 0 0010 9"] {
            assert_eq!(too_large(text), None, "{text}");
        }
        for (text, found) in
            [("1e1+1e30", "1e30"), ("M 0 0A555555555555", "555555555"), ("1e1.5e30", ".5e30"), ("1E+9", "1E+9")]
        {
            assert_eq!(too_large(text), Some(found), "{text}");
        }
    }
}
