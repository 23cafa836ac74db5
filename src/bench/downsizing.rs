//! Cutting a sheet down to equal blanks with the squaring arm: strips right across, then blanks off the strips.

use kurbo::Size;

use super::step_words::capitalised;
use super::{BoardSettings, Cutter, DistanceSetting};
use crate::length::Ruler;
use crate::tolerance::SAME_LENGTH_MM;

/// How equal blanks are cut out of sheets: the simple case, without searching for what else fits.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Downsizing {
    /// Size of a sheet in millimetres, as it lies in front of the framer.
    pub sheet: Size,
    /// Whether the width of the blank lies along the height of the sheet: not for board with a grain or a pattern.
    pub turned: bool,
    /// What the arm is set to for the strips, or what is measured with a ruler beyond its reach.
    pub strip: DistanceSetting,
    /// Whether a strip runs along the width of the sheet.
    pub strips_across: bool,
    /// The same for the blanks.
    pub piece: DistanceSetting,
    /// Strips out of a sheet, and blanks out of a strip.
    pub counts: [u32; 2],
    /// What is left of the sheet beside the strips, and of a strip beside the blanks, in millimetres.
    pub left: [f64; 2],
}

impl Downsizing {
    /// Finds the way to get the most blanks of a board out of a sheet, not turned if that is as good; `None` if it does
    /// not fit.
    #[must_use]
    pub fn new(board: &BoardSettings, cutter: &Cutter, ruler: Ruler, sheet: Size) -> Option<Self> {
        let size = board.extent.size();
        let ways = [(false, true), (false, false), (true, true), (true, false)];
        let ways =
            ways.into_iter().filter_map(|(turned, across)| Self::way(cutter, ruler, sheet, size, turned, across));
        // The first of equals is kept: not turned, and with the fewest cuts.
        ways.min_by_key(|way| (std::cmp::Reverse(way.blanks()), way.turned, way.cuts()))
    }

    fn way(cutter: &Cutter, ruler: Ruler, sheet: Size, blank: Size, turned: bool, strips_across: bool) -> Option<Self> {
        let blank = if turned { Size::new(blank.height, blank.width) } else { blank };
        let (strip, piece) = if strips_across { (blank.height, blank.width) } else { (blank.width, blank.height) };
        let (whole, along) = if strips_across { (sheet.height, sheet.width) } else { (sheet.width, sheet.height) };
        let fits = |part: f64, whole: f64| ((whole + SAME_LENGTH_MM) / part).floor() as u32;
        let counts = [fits(strip, whole), fits(piece, along)];
        let [strips, pieces] = counts;
        if strips == 0 || pieces == 0 {
            return None;
        }
        let left = [whole - f64::from(strips) * strip, along - f64::from(pieces) * piece].map(|left| left.max(0.0));
        let [strip, piece] = [strip, piece].map(|size| DistanceSetting::of_blank(cutter, size, ruler));
        Some(Self { sheet, turned, strip, strips_across, piece, counts, left })
    }

    /// Returns how many blanks a sheet gives.
    #[must_use]
    pub const fn blanks(&self) -> u32 {
        let [strips, pieces] = self.counts;
        strips.saturating_mul(pieces)
    }

    /// Returns how many cuts a whole sheet takes; none is made where nothing is left over.
    #[must_use]
    pub fn cuts(&self) -> u32 {
        let [strips, pieces] = self.counts;
        let saved = |left: f64| u32::from(left <= SAME_LENGTH_MM);
        let [beside, end] = self.left;
        strips - saved(beside) + strips.saturating_mul(pieces - saved(end))
    }

    /// Says what to set and cut, for so many blanks.
    #[must_use]
    pub fn words(&self, blanks: u32, ruler: Ruler) -> String {
        let [strips, pieces] = self.counts;
        let [beside, end] = self.left;
        let sheets = blanks.div_ceil(self.blanks().max(1));
        let side = if self.strips_across { "top" } else { "left" };
        let turned = if self.turned { ", turned (not for board with a grain)" } else { "" };
        let sheet = ruler.show_size(self.sheet.width, self.sheet.height);
        let set = |place: &DistanceSetting| match place {
            DistanceSetting::Scale(setting) => format!("arm to {setting}"),
            DistanceSetting::Pencil(setting) => format!("beyond the arm, by ruler: {setting}"),
        };
        let strip = capitalised(&set(&self.strip));
        format!(
            "a sheet of {sheet} gives {} of these blanks{turned}; for {blanks}, sheets needed: {sheets}. {strip}, {strips} × off the {side}; \
             turn; {}, {pieces} × off each strip; left over {} and {}",
            self.blanks(),
            set(&self.piece),
            ruler.show(beside),
            ruler.show(end)
        )
    }
}

#[cfg(test)]
mod tests {
    use kurbo::Size;

    use super::Downsizing;
    use crate::bench::Cutter;
    use crate::length::{Ruler, Unit};

    const INCH: f64 = 25.4;

    fn ways(sheet: [f64; 2], blank: [f64; 2]) -> Vec<Option<(u32, u32)>> {
        let size = |[width, height]: [f64; 2]| Size::new(width, height) * INCH;
        let cutter = Cutter::usual(Ruler::usual(Unit::Inch));
        let way = |(turned, across)| Downsizing::way(&cutter, cutter.ruler, size(sheet), size(blank), turned, across);
        let ways = [(false, true), (false, false), (true, true)].map(way);
        ways.map(|way| way.map(|way| (way.blanks(), way.cuts()))).to_vec()
    }

    #[test]
    fn four_mats_of_16_by_20_in_come_out_of_a_sheet_of_32_by_40_in() {
        // One cut for two strips, and one for each of them; turned, 8 and 12 in are left over.
        assert_eq!(ways([32.0, 40.0], [16.0, 20.0]), [Some((4, 3)), Some((4, 3)), Some((2, 4))]);
    }

    #[test]
    fn what_does_not_fit_gives_nothing() {
        assert_eq!(ways([32.0, 40.0], [33.0, 20.0]), [None, None, Some((1, 2))]);
        assert_eq!(ways([10.0, 10.0], [16.0, 20.0]), [None, None, None]);
    }
}
