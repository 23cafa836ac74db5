//! What a DXF file says before its entities, whichever release it is written in.

use kurbo::{Point, Rect};

use super::pairs::PairWriter;
use crate::formats::coordinate::CoordinateGrid;
use crate::tolerance::SAME_SHARE;

/// What stands at the top of a file.
pub(super) struct DxfHeader<'a> {
    /// Comments, a sentence each.
    pub(super) comments: Vec<String>,
    /// The unit of the numbers.
    pub(super) grid: CoordinateGrid,
    /// Whether the header has the variables of the unit.
    pub(super) states_unit: bool,
    /// The smallest upright rectangle round everything, in millimetres, y up; `None` if there is nothing.
    pub(super) extent: Option<Rect>,
    /// The layers, each once.
    pub(super) layers: Vec<LayerRecord<'a>>,
    /// About how many bytes the file will have.
    pub(super) likely_size: usize,
}

/// A layer of a file.
pub(super) struct LayerRecord<'a> {
    pub(super) name: std::borrow::Cow<'a, str>,
    /// Number in the colour table of DXF.
    pub(super) color: u8,
    /// Lengths in millimetres of a dash and the gap after it; `None` for a solid line.
    pub(super) dash: Option<[f64; 2]>,
}

/// A variable of the header that holds a whole number.
type Variable = (&'static str, u8);

impl DxfHeader<'_> {
    /// Returns the variables that say the unit: `$INSUNITS`, and `$MEASUREMENT`, which is 0 for inches and their kin.
    ///
    /// Release 12 knows neither of them, but programs that read it look at one or the other, and skip what they do not know.
    pub(super) fn unit_variables(&self) -> impl Iterator<Item = Variable> {
        let number = insert_units(self.grid.millimetres);
        let is_imperial = matches!(number, INCH | FOOT | MIL | YARD);
        let variables = [("$INSUNITS", number), ("$MEASUREMENT", u8::from(!is_imperial))];
        variables.into_iter().filter(|_| self.states_unit)
    }

    /// Writes the variables that both releases share.
    pub(super) fn variables(&self, pairs: &mut PairWriter) {
        for (name, value) in self.unit_variables() {
            pairs.variable(name);
            pairs.integer("70", value);
        }
        let corners = self.extent.map(|extent| [extent.origin(), Point::new(extent.x1, extent.y1)]);
        // What the format prescribes for a drawing with nothing in it.
        for (index, (name, empty)) in [("$EXTMIN", "1.0E+20"), ("$EXTMAX", "-1.0E+20")].into_iter().enumerate() {
            pairs.variable(name);
            match corners.and_then(|corners| corners.get(index).copied()) {
                Some(corner) => pairs.location(corner),
                None => pairs.texts(&[("10", empty), ("20", empty), ("30", empty)]),
            }
        }
    }

    /// Returns the lengths of the one dashed line type, if a layer has it.
    pub(super) fn dash(&self) -> Option<[f64; 2]> {
        self.layers.iter().find_map(|layer| layer.dash)
    }
}

/// The number of inches in the variable `$INSUNITS`.
const INCH: u8 = 1;
const FOOT: u8 = 2;
/// The number of thousandths of an inch.
const MIL: u8 = 9;
const YARD: u8 = 10;

/// Returns the number of a unit in the variable `$INSUNITS` (DXF reference of release 2000, header section; from memory); 0 is not a unit.
fn insert_units(millimetres: f64) -> u8 {
    let known = [
        (25.4, INCH),
        (304.8, FOOT),
        (1.0, 4),
        (10.0, 5),
        (1000.0, 6),
        (0.0254, MIL),
        (914.4, YARD),
        (0.001, 13),
        (100.0, 14),
    ];
    let same = |mm: f64| (millimetres / mm - 1.0).abs() < SAME_SHARE;
    known.iter().find(|(mm, _)| same(*mm)).map_or(0, |(_, number)| *number)
}
