//! From a record of test pieces to what each part of the cutter was set to, and what it gave.

use super::closure::Closure;
use super::ends::CutEnd;
use super::mark::mark_of;
use super::pair::CalibrationPoint;
use super::piece::{BlankReading, PieceReading, SideReading, crossing, mean_bevel};
use super::readings::{BevelReading, BlankSizeReading, BorderReading, DiagonalReading, OpeningReading, Readings};
use super::record::{CalibrationRecord, RecordedPiece, RecordedSide};
use super::set_length::{KindOfLength, PlaceOfLength, SetLength};
use crate::bench::{Cutter, End, Lean, Scale};
use crate::job::{Measure, Scope};
use crate::problem::{KeyPath, Problem};

/// No scale is off by more than this many millimetres from what the profile says, and no cut runs on by more: half an inch
/// (common practice, no source).
pub(super) const LARGEST_MISS_MM: f64 = 12.7;
/// Code of the warning that the angle of the blade stays unknown.
const NO_THICKNESS: &str = "no-thickness";

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

/// Reads one record for one cutter and collects what is wrong.
pub(super) struct RecordReader<'c> {
    pub(super) cutter: &'c Cutter,
    pub(super) readings: Readings,
    pub(super) problems: Vec<Problem>,
}

impl RecordReader<'_> {
    pub(super) fn record(&mut self, record: &CalibrationRecord, scope: &Scope) {
        let reading = record.reading.as_ref().map(|mark| scope.key("reading").mm(mark));
        self.readings.mark = reading.and_then(|mark| self.keep(mark)).unwrap_or_default();
        let common = self.thickness(record.thickness.as_ref(), &scope.key("thickness"));
        for (index, piece) in record.piece.iter().enumerate() {
            let scope = scope.key("piece").index(index);
            let own = self.thickness(piece.thickness.as_ref(), &scope.key("thickness"));
            self.piece(index, piece, own.or(common), &scope);
        }
        if record.reading.is_none() {
            self.readings.mark = mark_of(&self.readings.lengths);
        }
    }

    fn piece(&mut self, index: usize, piece: &RecordedPiece, thickness: Option<f64>, scope: &Scope) {
        let place = |kind: KindOfLength| PlaceOfLength { piece: index, kind };
        let [wide, high] = [0, 1].map(|direction| place(KindOfLength::Blank(direction)));
        let sizes = [
            self.blank(&piece.width, piece.arm_for_width.as_ref(), scope, ["width", "arm_for_width"], wide),
            self.blank(&piece.height, piece.arm_for_height.as_ref(), scope, ["height", "arm_for_height"], high),
        ];
        let diagonals = self.diagonals(piece, sizes.map(BlankReading::mean), scope);
        let openings = [
            self.one_or_two(&piece.opening_width, &scope.key("opening_width")),
            self.one_or_two(&piece.opening_height, &scope.key("opening_height")),
        ];
        let mut number = 0..;
        let cuts = piece.sides().map(|(name, side)| {
            let place = place(KindOfLength::Border(number.next().unwrap_or_default()));
            side.map(|side| self.cut(side, &scope.key(name), place))
        });
        for cut in cuts.iter().flatten() {
            self.guide(cut);
            self.bevel(index, cut, thickness);
        }
        let read = PieceReading { index, scope, thickness, sizes, cuts, openings, diagonals };
        self.openings(&read, piece);
        self.single_diagonals(&read);
        for (place, cut) in read.cuts.iter().enumerate() {
            let Some(cut) = cut else { continue };
            for end in End::BOTH {
                self.end_of_cut(&read, place, cut, end);
            }
            self.borders(&read, place, cut);
            self.drift(&read, place, cut);
        }
        self.closures(&read);
    }

    /// Takes note of every opening that was read.
    fn openings(&mut self, piece: &PieceReading<'_>, written: &RecordedPiece) {
        let [left, bottom, right, top] = &piece.cuts;
        let [width, height] = piece.sizes;
        let [across, up] = piece.openings;
        for (key, measured, read, sides, size) in [
            ("opening_width", &written.opening_width, across, [left, right], width),
            ("opening_height", &written.opening_height, up, [top, bottom], height),
        ] {
            let (Some([one, other]), [Some(first), Some(second)]) = (read, sides) else { continue };
            let (Some(first), Some(second), Some(blank)) = (first.length(), second.length(), size.length()) else {
                continue;
            };
            let place = piece.scope.key(key);
            let reading = |read: f64, place: &Scope| {
                let path = place.path().clone();
                OpeningReading { read, borders: [first, second], blank, path }
            };
            match measured.as_slice() {
                [_, _] => {
                    self.readings.openings.extend([reading(one, &place.index(0)), reading(other, &place.index(1))])
                }
                _ => self.readings.openings.push(reading(one, &place)),
            }
        }
    }

    /// Takes note of both diagonals of a piece.
    fn single_diagonals(&mut self, piece: &PieceReading<'_>) {
        let Some(diagonals) = piece.diagonals else { return };
        let [Some(width), Some(height)] = piece.sizes.map(BlankReading::length) else { return };
        let place = piece.scope.key("diagonals");
        let [first, second] = diagonals;
        let sine = crate::bench::squareness::sine_from_diagonals(width.read, height.read, first, second);
        for (index, (read, sign)) in diagonals.into_iter().zip([-1.0, 1.0]).enumerate() {
            let path = place.index(index).path().clone();
            self.readings.single_diagonals.push(DiagonalReading { read, sides: [width, height], sign, sine, path });
        }
    }

    /// Takes note of the lengths that have to add up.
    fn closures(&mut self, piece: &PieceReading<'_>) {
        let [left, bottom, right, top] = &piece.cuts;
        let [width, height] = piece.sizes.map(BlankReading::mean);
        let bevel = mean_bevel(&piece.cuts);
        let mean = |[one, other]: [f64; 2]| 0.5 * (one + other);
        let [opening_width, opening_height] = piece.openings;
        for (key, opening_key, opening, sides, size) in [
            ("width", "opening_width", opening_width, [left, right], width),
            ("height", "opening_height", opening_height, [top, bottom], height),
        ] {
            let (Some(opening), [Some(one), Some(other)], Some(size)) = (opening, sides, size) else { continue };
            let (Some(first), Some(second)) = (one.border, other.border) else { continue };
            self.readings.closures.push(Closure {
                borders: [mean(first), mean(second)],
                opening: mean(opening),
                blank: size,
                bevel,
                border_paths: [one, other].map(|cut| cut.scope.key("border").path().clone()),
                opening_path: piece.scope.key(opening_key).path().clone(),
                blank_path: piece.scope.key(key).path().clone(),
            });
        }
    }

    /// Takes note of a length that was measured once or at both ends, for the number that was set.
    fn pairs(measured: &[Measure], ends: [f64; 2], set: f64, place: &Scope) -> Vec<CalibrationPoint> {
        let pair = |(given, path)| CalibrationPoint { set, given, path };
        Self::each(measured, ends, place).into_iter().map(pair).collect()
    }

    /// Reads a size of the blank.
    fn blank(
        &mut self,
        measured: &[Measure],
        arm: Option<&Measure>,
        scope: &Scope,
        keys: [&'static str; 2],
        of: PlaceOfLength,
    ) -> BlankReading {
        let [key, arm_key] = keys;
        let place = scope.key(key);
        let read = self.one_or_two(measured, &place);
        let arm = read.and_then(|_| self.set(arm, &scope.key(arm_key), &self.cutter.arm, "the arm"));
        if let (Some(ends), Some(set)) = (read, arm) {
            let pairs = Self::pairs(measured, ends, set, &scope.key(key));
            pairs.iter().for_each(|pair| self.check_given(pair, &self.cutter.arm, "the blank"));
            self.readings.arm.extend(pairs);
        }
        let blank = BlankReading { place: of, arm, read };
        if let Some((ends, length)) = read.zip(blank.length()) {
            let each = Self::each(measured, ends, &place);
            let reading = |(read, path)| BlankSizeReading { length: SetLength { read, ..length }, path };
            self.readings.blanks.extend(each.into_iter().map(reading));
        }
        blank
    }

    /// Returns what was read with its place, once or at both ends.
    fn each(measured: &[Measure], ends: [f64; 2], place: &Scope) -> Vec<(f64, KeyPath)> {
        let [one, other] = ends;
        match measured {
            [_, _] => {
                vec![(one, place.index(0).path().clone()), (other, place.index(1).path().clone())]
            }
            _ => vec![(one, place.path().clone())],
        }
    }

    /// Takes note of every border that was read.
    fn borders(&mut self, piece: &PieceReading<'_>, place: usize, cut: &SideReading<'_>) {
        let (Some(length), Some(ends)) = (cut.length(), cut.border) else { return };
        let each = Self::each(&cut.written.border, ends, &cut.scope.key("border"));
        // Of a border that was read once nobody knows where.
        let half = piece.length_of(place).filter(|_| each.len() > 1).map(|length| 0.5 * length);
        let signs = [1.0, -1.0];
        let reading = |((read, path), sign): ((f64, KeyPath), f64)| BorderReading {
            length: SetLength { read, ..length },
            half_length: half.map(|half| sign * half),
            path,
        };
        self.readings.borders.extend(each.into_iter().zip(signs).map(reading));
    }

    fn diagonals(&mut self, piece: &RecordedPiece, size: [Option<f64>; 2], scope: &Scope) -> Option<[f64; 2]> {
        let [first, second] = piece.diagonals.as_ref()?;
        let place = scope.key("diagonals");
        let both = (self.length(Some(first), &place.index(0)), self.length(Some(second), &place.index(1)));
        let (Some(first), Some(second)) = both else { return None };
        let [Some(width), Some(height)] = size else {
            let message = "the diagonals mean nothing without the sides";
            self.problems.push(place.error("missing", message, "measure `width` and `height` of this piece too"));
            return None;
        };
        let sine = crate::bench::squareness::sine_from_diagonals(width, height, first, second);
        self.readings.square.push(CalibrationPoint { set: 0.0, given: sine, path: place.path().clone() });
        let excess = first.hypot(second) / std::f64::consts::SQRT_2 - width.hypot(height);
        self.readings.diagonals.push((excess, place.path().clone()));
        Some([first, second])
    }

    fn cut<'r>(&mut self, written: &'r RecordedSide, scope: &Scope, place: PlaceOfLength) -> SideReading<'r> {
        let border = self.one_or_two(&written.border, &scope.key("border"));
        let bevel = self.length(written.bevel.as_ref(), &scope.key("bevel"));
        let guide = self.set(written.guide.as_ref(), &scope.key("guide"), &self.cutter.guide, "the guide");
        SideReading { written, scope: scope.clone(), place, guide, border, bevel }
    }

    fn guide(&mut self, cut: &SideReading<'_>) {
        // A form names what to set for sides that nobody has measured yet.
        if let (Some(set), Some(ends)) = (cut.guide, cut.border) {
            let pairs = Self::pairs(&cut.written.border, ends, set, &cut.scope.key("border"));
            pairs.iter().for_each(|pair| self.check_given(pair, &self.cutter.guide, "the border"));
            self.readings.guide.extend(pairs);
        }
    }

    fn bevel(&mut self, piece: usize, cut: &SideReading<'_>, thickness: Option<f64>) {
        let Some(bevel) = cut.bevel else { return };
        let place = cut.scope.key("bevel");
        let path = place.path().clone();
        self.readings.bevel_widths.push(BevelReading { read: bevel, piece, thickness, path: path.clone() });
        match thickness {
            Some(thickness) => {
                self.readings.thickest = self.readings.thickest.max(thickness);
                self.readings.bevel.push(CalibrationPoint { set: 0.0, given: bevel / thickness, path });
            }
            // Once is enough: the bevel still tells where corners lie.
            None if self.problems.iter().any(|problem| problem.code == NO_THICKNESS) => {}
            None => {
                let message = "the bevels do not give the angle of the blade without the thickness of the board";
                let help = "measure it, and add `thickness` at the top of the file";
                self.problems.push(place.warning(NO_THICKNESS, message, help));
            }
        }
    }

    /// Reads where a cut ended, and what ended it.
    fn end_of_cut(&mut self, piece: &PieceReading<'_>, at: usize, cut: &SideReading<'_>, end: End) {
        let EndOfCut { over, stop, mark } = EndOfCut::of(cut.written, end);
        let place = cut.scope.key(over.0);
        let scale = self.cutter.stop_at(end).copied().unwrap_or(Scale::true_up_to(f64::INFINITY));
        let set = self.set(stop.1, &cut.scope.key(stop.0), &scale, "the stop");
        let stood = self.length(mark.1, &cut.scope.key(mark.0));
        let Some(over) = self.over(over.1, &place) else { return };
        let bevel = mean_bevel(&piece.cuts);
        let known = self.cutter.lean == Lean::AwayFromGuide || bevel.is_some();
        let corner = crossing(&piece.cuts, at, end, self.cutter.guide_side).filter(|_| known);
        let Some((other, its_end, ends)) = corner.and_then(|(other, end)| Some((other, end, other.border?))) else {
            let message = format!(
                "this means nothing without the border and bevel of the cut that crosses at the {} end",
                end.name()
            );
            self.problems.push(place.error("missing", message, "add `border` and `bevel` of that side"));
            return;
        };
        if over.abs() > LARGEST_MISS_MM {
            let message = format!("no cut over-runs or falls short by {}", place.ruler().show(over.abs()));
            self.problems.push(
                place.error("impossible", message, "look for the wrong unit, and measure again").with_mm("over", over),
            );
            return;
        }
        let (set, by_eye) = match (set, stood) {
            (Some(set), None) => (set, false),
            (None, Some(stood)) => (stood, true),
            (Some(_), Some(_)) => {
                let message = format!("`{}` and `{}` are both given", stop.0, mark.0);
                self.problems.push(place.error("contradiction", message, "keep what ended the cut"));
                return;
            }
            (None, None) => {
                let help = format!("add `{}`, or `{}` if it was started or ended by eye", stop.0, mark.0);
                self.problems.push(place.error("missing", "nothing says what ended the cut here", help));
                return;
            }
        };
        let size = piece.along(at);
        if !by_eye && !self.has_stop(cut, end, size.mean()) {
            return;
        }
        let [far, near] = ends;
        let length = piece.length_of((at + 1) % 4);
        let found = CutEnd {
            end,
            set,
            by_eye,
            over,
            corner: SetLength {
                read: if its_end == End::Far { far } else { near },
                set: other.guide,
                place: other.place,
            },
            half_length: length.map(|length| if its_end == End::Far { 0.5 * length } else { -0.5 * length }),
            bevel,
            thickness: piece.thickness,
            along: size.length(),
            piece: piece.index,
            path: place.path().clone(),
        };
        self.readings.ends.push(found);
    }

    /// Tells whether there is a stop that can have ended a cut, and complains if not.
    fn has_stop(&mut self, cut: &SideReading<'_>, end: End, side: Option<f64>) -> bool {
        let EndOfCut { stop, mark, .. } = EndOfCut::of(cut.written, end);
        if self.cutter.stops.is_none() {
            let help = format!("write `{}` for a cut by eye, or change the profile", mark.0);
            let message = "the profile says that the cutter has no stops";
            self.problems.push(cut.scope.key(stop.0).error("contradiction", message, help));
            return false;
        }
        // A number along the rail counts from the other edge of the board.
        if self.cutter.counts_along_rail(end) && side.is_none() {
            let message = "a stop that is set along the rail means nothing without the size of the blank";
            let help = "measure `width` and `height` of this piece too";
            self.problems.push(cut.scope.key(stop.0).error("missing", message, help));
            return false;
        }
        true
    }

    /// Compares the borders at both ends of a cut, where the length between them is known.
    fn drift(&mut self, piece: &PieceReading<'_>, place: usize, cut: &SideReading<'_>) {
        let (Some([far, near]), [_, _]) = (cut.border, cut.written.border.as_slice()) else { return };
        let Some(length) = piece.length_of(place) else { return };
        self.readings.drift.push(CalibrationPoint {
            set: 0.0,
            given: (far - near) / length,
            path: cut.scope.key("border").path().clone(),
        });
    }
}
