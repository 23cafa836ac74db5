//! What is taken where a job, an order or a stock does not say: one table for each system of units.

use crate::length::Unit;

/// The lengths that are taken where nothing is said, in millimetres; round on the rulers of their unit.
///
/// All of them are common practice, no source, unless a line says otherwise.
#[derive(Debug, Clone, Copy, PartialEq)]
#[non_exhaustive]
pub struct UsualLengths {
    /// How much smaller than the art the sight opening is, per side.
    pub overlap: f64,
    /// How much smaller than the rabbet a mat is cut, overall.
    pub clearance: f64,
    /// How much of every border the lip of a frame hides.
    pub lip: f64,
    /// How far a lower board shows inside the one above it.
    pub reveal: f64,
    /// Width of the bars between openings.
    pub gap: f64,
    /// Width of the bar above a title; its face stays above the least bar.
    pub title_gap: f64,
    /// Borders and bars that are narrower are warned of.
    pub least_border: f64,
    /// The least border of a mat of a standard size: "at least 2 in" (E. Stapel, *Matting and Presentation*).
    pub standard_border: f64,
    /// From an opening to a groove: "about 1 in" (<https://heirlooms.ca/matting-tips.html>).
    pub groove_distance: f64,
    /// What borders are rounded to where rounder ones are suggested.
    pub border_step: f64,
    /// The smallest remainder of a sheet that is worth keeping, its shorter side first.
    pub smallest_offcut: [f64; 2],
}

const INCH: f64 = 25.4;

/// For those who work in inches.
const INCHES: UsualLengths = UsualLengths {
    overlap: INCH / 8.0,
    clearance: INCH / 8.0,
    lip: INCH / 4.0,
    reveal: INCH / 4.0,
    gap: INCH,
    title_gap: 19.05,
    least_border: INCH / 2.0,
    standard_border: INCH * 2.0,
    groove_distance: INCH,
    border_step: INCH / 8.0,
    smallest_offcut: [INCH * 8.0, INCH * 10.0],
};

/// For those who work in millimetres or centimetres.
const METRIC: UsualLengths = UsualLengths {
    overlap: 3.0,
    clearance: 3.0,
    lip: 6.0,
    reveal: 6.0,
    gap: 25.0,
    title_gap: 20.0,
    least_border: 12.0,
    standard_border: 50.0,
    groove_distance: 25.0,
    border_step: 5.0,
    smallest_offcut: [200.0, 250.0],
};

impl UsualLengths {
    /// Returns the table for those who work in a unit.
    #[must_use]
    pub const fn of(unit: Unit) -> &'static Self {
        match unit {
            Unit::Inch => &INCHES,
            Unit::Millimetre | Unit::Centimetre => &METRIC,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{Unit, UsualLengths};
    use crate::length::Ruler;

    #[test]
    fn every_length_lies_on_a_mark_of_the_usual_ruler() {
        for unit in Unit::ALL {
            let UsualLengths { overlap, clearance, lip, reveal, gap, title_gap, .. } = *UsualLengths::of(unit);
            let UsualLengths { least_border, standard_border, groove_distance, border_step, smallest_offcut, .. } =
                *UsualLengths::of(unit);
            let all = [overlap, clearance, lip, reveal, gap, title_gap, least_border, standard_border, groove_distance];
            // Halves too, since a clearance is shared by two sides.
            for length in all.into_iter().chain([border_step]).chain(smallest_offcut).flat_map(|all| [all, all / 2.0]) {
                assert!(Ruler::usual(unit).read(length).rest.abs() < 1e-9, "{length} in {unit}");
            }
        }
    }
}
