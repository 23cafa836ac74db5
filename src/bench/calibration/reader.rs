//! From a record of test pieces to what each part of the cutter was set to, and what it gave.

use super::closure::Closure;
use super::mark::mark_of;
use super::pair::Pair;
use super::readings::Readings;
use super::record::{Record, RecordedPiece, RecordedSide};
use crate::bench::{Cutter, End, Lean, Scale, Side};
use crate::job::{Measure, Scope};
use crate::problem::Problem;

/// No scale is off by more than this many millimetres from what the profile says, and no cut runs on by more: half an inch
/// (common practice, no source).
pub(super) const LARGEST_MISS_MM: f64 = 12.7;
/// Code of the warning that the angle of the blade stays unknown.
const NO_THICKNESS: &str = "no-thickness";

/// A side in millimetres.
struct Cut<'r> {
    written: &'r RecordedSide,
    scope: Scope,
    /// On the back, at the far and at the near end.
    border: Option<[f64; 2]>,
    bevel: Option<f64>,
}

/// What is said of one end of a cut: keys and values.
struct EndOfCut<'r> {
    over: (&'static str, Option<&'r Measure>),
    stop: (&'static str, Option<&'r Measure>),
    mark: (&'static str, Option<&'r Measure>),
}

impl<'r> EndOfCut<'r> {
    const fn of(side: &'r RecordedSide, end: End) -> Self {
        match end {
            End::Far => Self {
                over: ("far_over", side.far_over.as_ref()),
                stop: ("far_stop", side.far_stop.as_ref()),
                mark: ("far_mark", side.far_mark.as_ref()),
            },
            End::Near => Self {
                over: ("near_over", side.near_over.as_ref()),
                stop: ("near_stop", side.near_stop.as_ref()),
                mark: ("near_mark", side.near_mark.as_ref()),
            },
        }
    }
}

/// Returns the cut that crosses another one at an end, and the end of its own at which it does.
///
/// The sides go round against the clock as seen from the front. The board lies face down: with the guide on the left,
/// the next side is at the far end of a cut.
fn crossing<'c, 'r>(cuts: &'c [Option<Cut<'r>>; 4], place: usize, end: End, guide: Side) -> Option<(&'c Cut<'r>, End)> {
    let next = (end == End::Far) == (guide == Side::Left);
    let other = cuts.get((place + if next { 1 } else { 3 }) % 4)?.as_ref()?;
    Some((other, if end == End::Far { End::Near } else { End::Far }))
}

fn mean_bevel(cuts: &[Option<Cut<'_>>; 4]) -> Option<f64> {
    let bevels: Vec<f64> = cuts.iter().flatten().filter_map(|cut| cut.bevel).collect();
    (!bevels.is_empty()).then(|| bevels.iter().sum::<f64>() / bevels.len() as f64)
}

/// Reads one record for one cutter and collects what is wrong.
pub(super) struct Reader<'c> {
    pub(super) cutter: &'c Cutter,
    pub(super) readings: Readings,
    pub(super) problems: Vec<Problem>,
}

impl Reader<'_> {
    pub(super) fn record(&mut self, record: &Record, scope: &Scope) {
        let reading = record.reading.as_ref().map(|mark| scope.key("reading").mm(mark));
        self.readings.mark = reading.and_then(|mark| self.keep(mark)).unwrap_or_default();
        let common = self.thickness(record.thickness.as_ref(), &scope.key("thickness"));
        for (index, piece) in record.piece.iter().enumerate() {
            let scope = scope.key("piece").index(index);
            let own = self.thickness(piece.thickness.as_ref(), &scope.key("thickness"));
            self.piece(piece, own.or(common), &scope);
        }
        if record.reading.is_none() {
            self.readings.mark = mark_of(&self.readings.lengths);
        }
    }

    fn piece(&mut self, piece: &RecordedPiece, thickness: Option<f64>, scope: &Scope) {
        let size = [
            self.blank(&piece.width, piece.arm_for_width.as_ref(), scope, ["width", "arm_for_width"]),
            self.blank(&piece.height, piece.arm_for_height.as_ref(), scope, ["height", "arm_for_height"]),
        ];
        self.diagonals(piece, size, scope);
        let opening_width = self.measured(&piece.opening_width, &scope.key("opening_width"));
        let opening_height = self.measured(&piece.opening_height, &scope.key("opening_height"));
        let cuts = piece.sides().map(|(name, side)| side.map(|side| self.cut(side, &scope.key(name))));
        for cut in cuts.iter().flatten() {
            self.guide(cut);
            self.bevel(cut, thickness);
        }
        for (place, cut) in cuts.iter().enumerate() {
            let Some(cut) = cut else { continue };
            // Left and right are as long as the blank is high.
            let [width, height] = size;
            let side = if place % 2 == 0 { height } else { width };
            for end in End::BOTH {
                self.end_of_cut(cut, end, self.corner(&cuts, place, end), side);
            }
            self.drift(cut, side, &cuts, place);
        }
        let ([left, bottom, right, top], [width, height]) = (&cuts, size);
        let bevel = mean_bevel(&cuts);
        for (key, opening, sides, size) in
            [("width", opening_width, [left, right], width), ("height", opening_height, [top, bottom], height)]
        {
            let (Some(opening), [Some(one), Some(other)], Some(size)) = (opening, sides, size) else { continue };
            let (Some(first), Some(second)) = (one.border, other.border) else { continue };
            let mean = |[far, near]: [f64; 2]| 0.5 * (far + near);
            let opening_key = if key == "width" { "opening_width" } else { "opening_height" };
            self.readings.closures.push(Closure {
                borders: [mean(first), mean(second)],
                opening,
                blank: size,
                bevel,
                border_paths: [one, other].map(|cut| cut.scope.key("border").path().clone()),
                opening_path: scope.key(opening_key).path().clone(),
                blank_path: scope.key(key).path().clone(),
            });
        }
    }

    /// Reads a length that was measured once, or at both ends.
    fn measured(&mut self, measured: &[Measure], place: &Scope) -> Option<f64> {
        self.one_or_two(measured, place).map(|[one, other]| 0.5 * (one + other))
    }

    /// Takes note of a length that was measured once or at both ends, for the number that was set.
    fn pairs(measured: &[Measure], ends: [f64; 2], set: f64, place: &Scope) -> Vec<Pair> {
        let pair =
            |given: f64, place: &Scope| Pair { set, given, scale: 1.0, roundings: 1, path: place.path().clone() };
        let [one, other] = ends;
        match measured {
            [_, _] => vec![pair(one, &place.index(0)), pair(other, &place.index(1))],
            _ => vec![pair(one, place)],
        }
    }

    /// Reads a size of the blank; at both ends it counts with the mean.
    fn blank(
        &mut self,
        measured: &[Measure],
        arm: Option<&Measure>,
        scope: &Scope,
        keys: [&'static str; 2],
    ) -> Option<f64> {
        let [key, arm_key] = keys;
        let ends = self.one_or_two(measured, &scope.key(key))?;
        if let Some(set) = self.set(arm, &scope.key(arm_key), &self.cutter.arm, "the arm") {
            let pairs = Self::pairs(measured, ends, set, &scope.key(key));
            pairs.iter().for_each(|pair| self.check_given(pair, &self.cutter.arm, "the blank"));
            self.readings.arm.extend(pairs);
        }
        let [one, other] = ends;
        Some(0.5 * (one + other))
    }

    fn diagonals(&mut self, piece: &RecordedPiece, size: [Option<f64>; 2], scope: &Scope) {
        let Some([first, second]) = &piece.diagonals else { return };
        let place = scope.key("diagonals");
        let both = (self.length(Some(first), &place.index(0)), self.length(Some(second), &place.index(1)));
        let (Some(first), Some(second)) = both else { return };
        let [Some(width), Some(height)] = size else {
            let message = "the diagonals say nothing without the sides between them";
            self.problems.push(place.error("missing", message, "measure `width` and `height` of this piece too"));
            return;
        };
        let sine = crate::bench::squareness::sine_from_diagonals(width, height, first, second);
        let scale = first.hypot(second) / std::f64::consts::SQRT_2 / (2.0 * width * height);
        self.readings.square.push(Pair { set: 0.0, given: sine, scale, roundings: 2, path: place.path().clone() });
        let excess = first.hypot(second) / std::f64::consts::SQRT_2 - width.hypot(height);
        self.readings.diagonals.push((excess, place.path().clone()));
    }

    fn cut<'r>(&mut self, written: &'r RecordedSide, scope: &Scope) -> Cut<'r> {
        let border = self.one_or_two(&written.border, &scope.key("border"));
        let bevel = self.length(written.bevel.as_ref(), &scope.key("bevel"));
        Cut { written, scope: scope.clone(), border, bevel }
    }

    fn guide(&mut self, cut: &Cut<'_>) {
        let set = self.set(cut.written.guide.as_ref(), &cut.scope.key("guide"), &self.cutter.guide, "the guide");
        // A form names what to set for sides that nobody has measured yet.
        if let (Some(set), Some(ends)) = (set, cut.border) {
            let pairs = Self::pairs(&cut.written.border, ends, set, &cut.scope.key("border"));
            pairs.iter().for_each(|pair| self.check_given(pair, &self.cutter.guide, "the border"));
            self.readings.guide.extend(pairs);
        }
    }

    fn bevel(&mut self, cut: &Cut<'_>, thickness: Option<f64>) {
        let Some(bevel) = cut.bevel else { return };
        let place = cut.scope.key("bevel");
        let path = place.path().clone();
        self.readings.bevel_widths.push(Pair { set: 0.0, given: bevel, scale: 1.0, roundings: 1, path });
        match thickness {
            Some(thickness) => {
                self.readings.thickest = self.readings.thickest.max(thickness);
                self.readings.bevel.push(Pair {
                    set: 0.0,
                    given: bevel / thickness,
                    scale: 1.0 / thickness,
                    roundings: 1,
                    path: place.path().clone(),
                });
            }
            // Once is enough: the bevel still tells where corners lie.
            None if self.problems.iter().any(|problem| problem.code == NO_THICKNESS) => {}
            None => {
                let message = "the bevels say nothing of the angle of the blade without the thickness of the board";
                let help = "measure it, and add `thickness` at the top of the file";
                self.problems.push(place.warning(NO_THICKNESS, message, help));
            }
        }
    }

    /// Returns how far from the edge at an end of a cut the corner lies, on the side of the board where the opening is
    /// larger; `None` if the cut that crosses it there was not measured.
    fn corner(&self, cuts: &[Option<Cut<'_>>; 4], place: usize, end: End) -> Option<f64> {
        let (other, its_end) = crossing(cuts, place, end, self.cutter.guide_side)?;
        let [far, near] = other.border?;
        let back = if its_end == End::Far { far } else { near };
        match self.cutter.lean {
            Lean::AwayFromGuide => Some(back),
            Lean::TowardGuide => Some(back - mean_bevel(cuts)?),
        }
    }

    /// Reads where a cut ended, and what ended it.
    fn end_of_cut(&mut self, cut: &Cut<'_>, end: End, corner: Option<f64>, side: Option<f64>) {
        let EndOfCut { over, stop, mark } = EndOfCut::of(cut.written, end);
        let place = cut.scope.key(over.0);
        let scale = self.cutter.stop_at(end).copied().unwrap_or(Scale::true_up_to(f64::INFINITY));
        let set = self.set(stop.1, &cut.scope.key(stop.0), &scale, "the stop");
        let stood = self.length(mark.1, &cut.scope.key(mark.0));
        let Some(over) = self.signed(over.1, &place) else { return };
        let Some(corner) = corner else {
            let message =
                format!("this says nothing without border and bevel of the cut that crosses at the {} end", end.name());
            self.problems.push(place.error("missing", message, "add `border` and `bevel` of that side"));
            return;
        };
        if over.abs() > LARGEST_MISS_MM {
            let message = format!("no cut runs on or falls short by {}", place.ruler().show(over.abs()));
            self.problems.push(
                place.error("impossible", message, "look for the wrong unit, and measure again").with_mm("over", over),
            );
            return;
        }
        let given = corner - over;
        // The border and the over-cut; the bevel is the same for all.
        let pair = |set: f64, given: f64| Pair { set, given, scale: 1.0, roundings: 2, path: place.path().clone() };
        match (set, stood) {
            (Some(set), None) => self.ended_by_stop(cut, end, side, pair(set, given)),
            (None, Some(stood)) => self.ended_by_eye(end, pair(0.0, stood - given)),
            (Some(_), Some(_)) => {
                let message = format!("`{}` and `{}` are both given", stop.0, mark.0);
                self.problems.push(place.error("contradiction", message, "keep what ended the cut"));
            }
            (None, None) => {
                let help = format!("add `{}`, or `{}` if it was started or ended by eye", stop.0, mark.0);
                self.problems.push(place.error("missing", "nothing says what ended the cut here", help));
            }
        }
    }

    fn ended_by_stop(&mut self, cut: &Cut<'_>, end: End, side: Option<f64>, pair: Pair) {
        let [far, near] = &mut self.readings.stops;
        let EndOfCut { stop, mark, .. } = EndOfCut::of(cut.written, end);
        if self.cutter.stops.is_none() {
            let help = format!("write `{}` for a cut by eye, or change the profile", mark.0);
            let message = "the profile says that the cutter has no stops";
            self.problems.push(cut.scope.key(stop.0).error("contradiction", message, help));
            return;
        }
        // A number along the rail counts from the other edge of the board.
        let pair = match side {
            _ if !self.cutter.counts_along_rail(end) => pair,
            Some(side) => Pair { given: side - pair.given, ..pair },
            None => {
                let message = "a stop that counts along the rail says nothing without the size of the blank";
                let help = "measure `width` and `height` of this piece too";
                self.problems.push(cut.scope.key(stop.0).error("missing", message, help));
                return;
            }
        };
        if end == End::Far { far.push(pair) } else { near.push(pair) }
    }

    fn ended_by_eye(&mut self, end: End, pair: Pair) {
        let [entry, exit] = &mut self.readings.leads;
        if end == self.cutter.starts { entry.push(pair) } else { exit.push(pair) }
    }

    /// Compares the borders at both ends of a cut, where the length between them is known.
    fn drift(&mut self, cut: &Cut<'_>, side: Option<f64>, cuts: &[Option<Cut<'_>>; 4], place: usize) {
        let (Some([far, near]), [_, _], Some(side)) = (cut.border, cut.written.border.as_slice(), side) else { return };
        let hand = self.cutter.guide_side;
        let border = |end| {
            let [far, near] = crossing(cuts, place, end, hand)?.0.border?;
            Some(0.5 * (far + near))
        };
        let (Some(before), Some(behind)) = (border(End::Far), border(End::Near)) else { return };
        let length = side - before - behind;
        if length > 0.0 {
            let path = cut.scope.key("border").path().clone();
            self.readings.drift.push(Pair {
                set: 0.0,
                given: (far - near) / length,
                scale: 1.0 / length,
                roundings: 2,
                path,
            });
        }
    }
}
