//! From a record of test pieces to what each part of the cutter was set to, and what it gave.

use super::record::{Record, RecordedPiece, RecordedSide};
use crate::bench::{Cutter, End, Lean, Side};
use crate::job::{Measure, Scope};
use crate::problem::{KeyPath, Problem};

/// A setting and what came out, in millimetres or as a share, with its place in the record.
#[derive(Debug, Clone)]
pub(super) struct Pair {
    pub(super) set: f64,
    pub(super) given: f64,
    /// By how much `given` is off where every length behind it is off by one unit, independently.
    pub(super) doubt: f64,
    pub(super) path: KeyPath,
}

/// What was measured of each part of a cutter.
#[derive(Debug, Default)]
pub(super) struct Readings {
    /// The number on the guide, and the border on the back.
    pub(super) guide: Vec<Pair>,
    /// The number on each stop, far and near, and the distance of the end of the cut from the edge.
    pub(super) stops: [Vec<Pair>; 2],
    /// How far the cut ran beyond the mark on the head, where the blade went in and where it came out.
    pub(super) leads: [Vec<Pair>; 2],
    /// The number on the arm, and the size of the blank.
    pub(super) arm: Vec<Pair>,
    /// The bevel's width as a share of the thickness of the board.
    pub(super) bevel: Vec<Pair>,
    /// The sine of the angle by which the corner is too wide.
    pub(super) square: Vec<Pair>,
    /// How much wider the border is at the far end than at the near end, as a share of the length between.
    pub(super) drift: Vec<Pair>,
    /// The smallest mark in millimetres of the ruler that was measured with; zero if nobody said.
    pub(super) mark: f64,
    /// The largest thickness of the boards in millimetres; zero if no bevel was measured.
    pub(super) thickest: f64,
}

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
        self.readings.mark = self.length(record.reading.as_ref(), &scope.key("reading")).unwrap_or_default();
        let common = self.above_zero(record.thickness.as_ref(), &scope.key("thickness"));
        for (index, piece) in record.piece.iter().enumerate() {
            let scope = scope.key("piece").index(index);
            let own = self.above_zero(piece.thickness.as_ref(), &scope.key("thickness"));
            self.piece(piece, own.or(common), &scope);
        }
    }

    fn piece(&mut self, piece: &RecordedPiece, thickness: Option<f64>, scope: &Scope) {
        let size = [
            self.blank(&piece.width, piece.arm_for_width.as_ref(), scope, ["width", "arm_for_width"]),
            self.blank(&piece.height, piece.arm_for_height.as_ref(), scope, ["height", "arm_for_height"]),
        ];
        self.diagonals(piece, size, scope);
        let cuts = piece.sides().map(|(name, side)| side.map(|side| self.cut(side, &scope.key(name))));
        for cut in cuts.iter().flatten() {
            self.guide(cut);
            self.bevel(cut, thickness);
        }
        for (place, cut) in cuts.iter().enumerate() {
            let Some(cut) = cut else { continue };
            for end in End::BOTH {
                self.end_of_cut(cut, end, self.corner(&cuts, place, end));
            }
            // Left and right are as long as the blank is high.
            let [width, height] = size;
            self.drift(cut, if place % 2 == 0 { height } else { width }, &cuts, place);
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
        let [one, other] = self.one_or_two(measured, &scope.key(key))?;
        let size = 0.5 * (one + other);
        if let Some(set) = self.length(arm, &scope.key(arm_key)) {
            self.readings.arm.push(Pair { set, given: size, doubt: 1.0, path: scope.key(key).path().clone() });
        }
        Some(size)
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
        let doubt = first.hypot(second) / (2.0 * width * height);
        self.readings.square.push(Pair { set: 0.0, given: sine, doubt, path: place.path().clone() });
    }

    fn cut<'r>(&mut self, written: &'r RecordedSide, scope: &Scope) -> Cut<'r> {
        let border = self.one_or_two(&written.border, &scope.key("border"));
        let bevel = self.length(written.bevel.as_ref(), &scope.key("bevel"));
        Cut { written, scope: scope.clone(), border, bevel }
    }

    fn guide(&mut self, cut: &Cut<'_>) {
        let set = self.length(cut.written.guide.as_ref(), &cut.scope.key("guide"));
        // A form names what to set for sides that nobody has measured yet.
        if let (Some(set), Some([far, near])) = (set, cut.border) {
            let path = cut.scope.key("border").path().clone();
            self.readings.guide.push(Pair { set, given: 0.5 * (far + near), doubt: 1.0, path });
        }
    }

    fn bevel(&mut self, cut: &Cut<'_>, thickness: Option<f64>) {
        let Some(bevel) = cut.bevel else { return };
        let place = cut.scope.key("bevel");
        match thickness {
            Some(thickness) => {
                self.readings.thickest = self.readings.thickest.max(thickness);
                self.readings.bevel.push(Pair {
                    set: 0.0,
                    given: bevel / thickness,
                    doubt: 1.0 / thickness,
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
            Lean::TowardGuide => Some(back - other.bevel.or_else(|| mean_bevel(cuts))?),
        }
    }

    /// Reads where a cut ended, and what ended it.
    fn end_of_cut(&mut self, cut: &Cut<'_>, end: End, corner: Option<f64>) {
        let EndOfCut { over, stop, mark } = EndOfCut::of(cut.written, end);
        let place = cut.scope.key(over.0);
        let set = self.length(stop.1, &cut.scope.key(stop.0));
        let stood = self.length(mark.1, &cut.scope.key(mark.0));
        let Some(over) = self.signed(over.1, &place) else { return };
        let Some(corner) = corner else {
            let message =
                format!("this says nothing without border and bevel of the cut that crosses at the {} end", end.name());
            self.problems.push(place.error("missing", message, "add `border` and `bevel` of that side"));
            return;
        };
        let given = corner - over;
        // Over-cut and border, and the bevel where the corner lies on the face.
        let doubt = if self.cutter.lean == Lean::TowardGuide { 3.0_f64.sqrt() } else { std::f64::consts::SQRT_2 };
        let path = place.path().clone();
        match (set, stood) {
            (Some(set), None) => self.ended_by_stop(cut, end, Pair { set, given, doubt, path }),
            (None, Some(stood)) => self.ended_by_eye(end, Pair { set: 0.0, given: stood - given, doubt, path }),
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

    fn ended_by_stop(&mut self, cut: &Cut<'_>, end: End, pair: Pair) {
        let [far, near] = &mut self.readings.stops;
        let EndOfCut { stop, mark, .. } = EndOfCut::of(cut.written, end);
        if self.cutter.stops.is_none() {
            let help = format!("write `{}` for a cut by eye, or change the profile", mark.0);
            let message = "the profile says that the cutter has no stops";
            self.problems.push(cut.scope.key(stop.0).error("contradiction", message, help));
            return;
        }
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
                doubt: std::f64::consts::SQRT_2 / length,
                path,
            });
        }
    }

    /// Reads one length, which counts twice, or two.
    fn one_or_two(&mut self, measured: &[Measure], place: &Scope) -> Option<[f64; 2]> {
        match measured {
            [] => None,
            [one] => self.length(Some(one), place).map(|one| [one, one]),
            [first, second] => {
                let first = self.length(Some(first), &place.index(0));
                let second = self.length(Some(second), &place.index(1));
                Some([first?, second?])
            }
            more => {
                let message = format!("these are {} lengths", more.len());
                self.problems.push(place.error("length", message, "give one, or two: one for each end"));
                None
            }
        }
    }

    fn above_zero(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        let length = self.length(length, place)?;
        if length > 0.0 {
            return Some(length);
        }
        self.problems.push(place.error(
            "length",
            "a board of no thickness cannot be cut",
            "give its measured thickness",
        ));
        None
    }

    fn length(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        self.keep(place.mm(length?))
    }

    fn signed(&mut self, length: Option<&Measure>, place: &Scope) -> Option<f64> {
        self.keep(place.signed_mm(length?))
    }

    fn keep(&mut self, length: Result<f64, Problem>) -> Option<f64> {
        length.map_err(|problem| self.problems.push(problem)).ok()
    }
}

impl Readings {
    /// Returns the number of readings of all parts.
    pub(super) fn count(&self) -> usize {
        let Self { guide, stops: [far, near], leads: [entry, exit], arm, bevel, square, drift, .. } = self;
        [guide, far, near, entry, exit, arm, bevel, square, drift].into_iter().map(Vec::len).sum()
    }
}
