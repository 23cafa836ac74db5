//! Rounding both sides of an opening together: each line alone may miss its mark by half of one, and two such errors add up.

use super::DistanceSetting;
use super::cut::measured;
use crate::bench::Cutter;
use crate::fault::Certain;
use crate::length::Ruler;
use crate::tolerance::SAME_ERROR_MM;

/// The marks at which a line may be set, the nearest one first, and which way a number that is too large moves the line.
#[derive(Debug, Clone)]
pub(super) struct Choices {
    places: Vec<DistanceSetting>,
    /// 1 where a larger distance lies farther out from the middle of the opening, -1 where it lies farther in.
    outward: f64,
}

impl Choices {
    /// Finds the marks for a line at a distance in millimetres from the edge at the guide: of its scale or, beyond its
    /// reach, of the ruler.
    pub(super) fn new(cutter: &Cutter, ruler: Ruler, distance: f64, border_at_guide: bool) -> Self {
        let on_scale = cutter.guide.between(distance, cutter.ruler);
        let reached: Vec<DistanceSetting> = on_scale
            .into_iter()
            .take_while(|setting| setting.within_reach)
            .map(|setting| DistanceSetting::Scale(setting.known_by(cutter.known.guide)))
            .collect();
        let outward = if border_at_guide { -1.0 } else { 1.0 };
        if !reached.is_empty() {
            return Self { places: reached, outward };
        }
        let on_ruler = super::Scale::true_up_to(f64::INFINITY).between(distance, ruler);
        Self { places: on_ruler.into_iter().map(DistanceSetting::Pencil).collect(), outward }
    }

    /// Tells whether the scale does not reach.
    pub(super) fn is_pencil(&self) -> bool {
        self.places.first().is_none_or(DistanceSetting::is_pencil)
    }

    /// Returns how far outward in millimetres the line comes to lie by its rounding.
    pub(super) fn moved(&self, place: &DistanceSetting) -> f64 {
        self.outward * place.setting().error()
    }

    /// Rounds one line for itself.
    pub(super) fn nearest(&self, ruler: Ruler, distance: f64) -> DistanceSetting {
        self.places.first().cloned().unwrap_or_else(|| DistanceSetting::Pencil(measured(distance, ruler)))
    }

    /// Returns how far apart in millimetres its two marks put the line; zero where it lies on a mark.
    fn step(&self) -> f64 {
        match self.places.as_slice() {
            [one, other, ..] => (self.moved(one) - self.moved(other)).abs(),
            _ => 0.0,
        }
    }
}

/// Sides of an opening in one line: all face the same way.
#[derive(Debug, Clone)]
pub(super) struct RoundedLine {
    /// Whether they face the nearer of two opposite edges.
    pub(super) is_near: bool,
    /// How far towards the nearer edge the line lies, in millimetres.
    pub(super) reach: f64,
    /// From where to where they run along it, in millimetres.
    pub(super) spans: Vec<[f64; 2]>,
    pub(super) choices: Choices,
}

/// So many lines are rounded together; more than these only with the outermost ones.
const MOST_LINES: usize = 12;

impl RoundedLine {
    /// Tells whether the opening lies between this line and another.
    fn faces(&self, other: &Self) -> bool {
        let overlap = |[a, b]: &[f64; 2], [c, d]: &[f64; 2]| a.max(*c) < b.min(*d) - SAME_ERROR_MM;
        let (near, far) = if self.is_near { (self, other) } else { (other, self) };
        self.is_near != other.is_near
            && near.reach > far.reach
            && self.spans.iter().any(|span| other.spans.iter().any(|facing| overlap(span, facing)))
    }
}

/// Rounds lines so that the opening grows or shrinks as little as can be between any two that face each other; between the outermost
/// ones by half a mark at most, that of the coarser scale if there are two. Among equals the lines keep nearest to their places.
///
/// Returns a place for each line; `None` where the opening has a line on one side only, or more lines than can be tried.
pub(super) fn together(lines: &[RoundedLine]) -> Option<Vec<DistanceSetting>> {
    let outermost = |is_near: bool| {
        let side = lines.iter().enumerate().filter(|(_, line)| line.is_near == is_near);
        let out = |line: &RoundedLine| if is_near { line.reach } else { -line.reach };
        side.max_by(|(_, a), (_, b)| out(a).total_cmp(&out(b))).map(|(index, _)| index)
    };
    let (near, far) = (outermost(true)?, outermost(false)?);
    if lines.len() > MOST_LINES {
        let pair: Vec<RoundedLine> = [near, far].map(|index| lines.get(index).certain("outermost line").clone()).into();
        let places = together(&pair)?;
        let alone = |(index, line): (usize, &RoundedLine)| match [near, far].iter().position(|outer| *outer == index) {
            Some(outer) => places.get(outer).cloned(),
            None => line.choices.places.first().cloned(),
        };
        return lines.iter().enumerate().map(alone).collect();
    }
    let facing: Vec<(usize, usize)> = (0..lines.len())
        .flat_map(|one| (0..one).map(move |two| (two, one)))
        .filter(|&(two, one)| {
            let (line, other) = lines.get(one).zip(lines.get(two)).certain("line for each side");
            line.faces(other) || (one.min(two), one.max(two)) == (near.min(far), near.max(far))
        })
        .collect();
    let half = 0.5
        * [near, far]
            .map(|index| lines.get(index).certain("outermost line").choices.step())
            .into_iter()
            .fold(0.0, f64::max);
    let rank = |length: f64| (length / SAME_ERROR_MM).round() as i64;
    let key = |combination: usize| {
        let moved = moved_in(lines, combination);
        let grown = |(one, two): (usize, usize)| {
            let (a, b) = moved.get(one).zip(moved.get(two)).certain("line for each side");
            (a + b).abs()
        };
        let outer = grown((near, far));
        let worst = facing.iter().map(|pair| grown(*pair)).fold(0.0, f64::max);
        let farthest = moved.iter().map(|moved| moved.abs()).fold(0.0, f64::max);
        let total: f64 = facing.iter().map(|pair| grown(*pair)).sum();
        ((rank(outer) - rank(half)).max(0), rank(worst), rank(outer), rank(total), rank(farthest))
    };
    let best =
        (0..1_usize << lines.len()).filter(|combination| is_choice(lines, *combination)).min_by_key(|at| key(*at))?;
    lines.iter().enumerate().map(|(index, line)| line.choices.places.get(bit(lines, best, index)).cloned()).collect()
}

/// Returns which of its marks a combination, a bit for each line from the last to the first, chooses for a line.
const fn bit(lines: &[RoundedLine], combination: usize, index: usize) -> usize {
    combination >> (lines.len() - 1 - index) & 1
}

/// Tells whether every line has the mark that a combination chooses for it.
fn is_choice(lines: &[RoundedLine], combination: usize) -> bool {
    lines.iter().enumerate().all(|(index, line)| bit(lines, combination, index) < line.choices.places.len())
}

/// Returns how far outward each line comes to lie by a combination.
fn moved_in(lines: &[RoundedLine], combination: usize) -> Vec<f64> {
    let place = |(index, line): (usize, &RoundedLine)| {
        line.choices.moved(line.choices.places.get(bit(lines, combination, index)).certain("mark for this choice"))
    };
    lines.iter().enumerate().map(place).collect()
}

#[cfg(test)]
mod tests {
    use super::{Choices, RoundedLine, together};
    use crate::bench::Cutter;
    use crate::length::{Ruler, Unit};

    /// Rounds two lines across an opening.
    fn pair(one: &Choices, two: &Choices) -> [crate::bench::DistanceSetting; 2] {
        let line = |is_near: bool, choices: &Choices| RoundedLine {
            is_near,
            reach: if is_near { 1.0 } else { 0.0 },
            spans: vec![[0.0, 1.0]],
            choices: choices.clone(),
        };
        together(&[line(true, one), line(false, two)]).unwrap().try_into().unwrap()
    }

    #[test]
    fn borders_halfway_between_two_marks_leave_the_opening_as_it_is() {
        let ruler = Ruler::usual(Unit::Inch);
        let cutter = Cutter::usual(ruler);
        let border = Choices::new(&cutter, ruler, (3.0 + 1.0 / 32.0) * 25.4, true);
        let [left, right] = pair(&border, &border);
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
            let [one, two] = pair(&choices[0], &choices[1]);
            let grown = choices[0].moved(&one) + choices[1].moved(&two);
            assert!(grown.abs() <= 0.5 + 1e-6, "{a} {b}: {grown}");
        }
    }

    #[test]
    fn a_step_in_an_opening_is_rounded_with_the_side_across_it() {
        // A left side that faces two right ones, both a little more than half a mark beside one.
        let ruler = Ruler::new(Unit::Millimetre, 1).unwrap();
        let cutter = Cutter::usual(ruler);
        let line = |is_near: bool, reach: f64, span: [f64; 2], border: f64| RoundedLine {
            is_near,
            reach,
            spans: vec![span],
            choices: Choices::new(&cutter, ruler, border, true),
        };
        let lines = [
            line(true, 100.0, [0.0, 80.0], 40.3),
            line(false, 0.0, [0.0, 40.0], 60.7),
            line(false, 30.0, [40.0, 80.0], 90.7),
        ];
        let places = together(&lines).unwrap();
        let moved: Vec<f64> = lines.iter().zip(&places).map(|(line, place)| line.choices.moved(place)).collect();
        for far in [1, 2] {
            assert!((moved[0] + moved[far]).abs() < 1e-6, "{moved:?}");
        }
    }
}
