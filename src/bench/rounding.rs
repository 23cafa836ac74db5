//! Rounding both sides of an opening together: each line alone may miss its mark by half of one, and two such errors add up.

use super::Place;
use super::cut::measured;
use crate::bench::Cutter;
use crate::length::Ruler;

/// The marks at which a line may be set, the nearest one first, and which way a number that is too large moves the line.
#[derive(Debug, Clone)]
pub(super) struct Choices {
    places: Vec<Place>,
    /// 1 where a larger distance lies farther out from the middle of the opening, -1 where it lies farther in.
    outward: f64,
}

/// Sums of errors that differ by less than this many millimetres are equally good.
const SAME_ERROR_MM: f64 = 1e-6;

impl Choices {
    /// Finds the marks for a line at a distance in millimetres from the edge at the guide: of its scale or, beyond its
    /// reach, of the ruler.
    pub(super) fn new(cutter: &Cutter, ruler: Ruler, distance: f64, border_at_guide: bool) -> Self {
        let on_scale = cutter.guide.between(distance, cutter.ruler);
        let reached: Vec<Place> = on_scale
            .into_iter()
            .take_while(|setting| setting.within_reach)
            .map(|setting| Place::Scale(setting.known_by(cutter.known.guide)))
            .collect();
        let outward = if border_at_guide { -1.0 } else { 1.0 };
        if !reached.is_empty() {
            return Self { places: reached, outward };
        }
        let on_ruler = super::Scale::true_up_to(f64::INFINITY).between(distance, ruler);
        Self { places: on_ruler.into_iter().map(Place::Pencil).collect(), outward }
    }

    /// Tells whether the scale does not reach.
    pub(super) fn is_pencil(&self) -> bool {
        self.places.first().is_none_or(Place::is_pencil)
    }

    /// Returns how far outward in millimetres the line comes to lie by its rounding.
    pub(super) fn moved(&self, place: &Place) -> f64 {
        self.outward * place.setting().error()
    }

    /// Rounds one line for itself.
    pub(super) fn nearest(&self, ruler: Ruler, distance: f64) -> Place {
        self.places.first().cloned().unwrap_or_else(|| Place::Pencil(measured(distance, ruler)))
    }

    /// Rounds this line and the one across the opening so that the opening grows or shrinks as little as can be: by half
    /// a mark at most, that of the coarser scale if there are two. Among equals the lines keep nearest to their places.
    pub(super) fn together(&self, other: &Self) -> Option<[Place; 2]> {
        let pairs = self.places.iter().flat_map(|one| other.places.iter().map(move |two| (one, two)));
        let rank = |length: f64| (length / SAME_ERROR_MM).round() as i64;
        let key = |(one, two): &(&Place, &Place)| {
            let (a, b) = (self.moved(one), other.moved(two));
            (rank((a + b).abs()), rank(a.abs().max(b.abs())))
        };
        pairs.min_by_key(key).map(|(one, two)| [one.clone(), two.clone()])
    }
}

#[cfg(test)]
mod tests {
    use super::Choices;
    use crate::bench::Cutter;
    use crate::length::{Ruler, Unit};

    #[test]
    fn borders_halfway_between_two_marks_leave_the_opening_as_it_is() {
        let ruler = Ruler::usual(Unit::Inch);
        let cutter = Cutter::usual(ruler);
        let border = Choices::new(&cutter, ruler, (3.0 + 1.0 / 32.0) * 25.4, true);
        let [left, right] = border.together(&border).unwrap();
        assert_eq!([left.setting(), right.setting()].map(|setting| setting.reading.text.as_str()), ["3 1/16", "3"]);
        assert!((border.moved(&left) + border.moved(&right)).abs() < 1e-9);
    }

    #[test]
    fn two_lines_miss_the_opening_by_half_a_mark_at_most() {
        let ruler = Ruler::new(Unit::Millimetre, 1).unwrap();
        let cutter = Cutter::usual(ruler);
        for step in 0..400 {
            let (a, b) = (30.0 + 0.037 * f64::from(step), 40.0 + 0.091 * f64::from(step));
            // The second one lies beyond the reach every now and then, and is measured with a finer ruler.
            let choices = [a, b + if step % 5 == 0 { 120.0 } else { 0.0 }]
                .map(|distance| Choices::new(&cutter, Ruler::usual(Unit::Millimetre), distance, step % 2 == 0));
            let [one, two] = choices[0].together(&choices[1]).unwrap();
            let grown = choices[0].moved(&one) + choices[1].moved(&two);
            assert!(grown.abs() <= 0.5 + 1e-6, "{a} {b}: {grown}");
        }
    }
}
