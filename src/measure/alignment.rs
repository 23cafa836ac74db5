//! The simplest way in which a file can lie so that most of it is the drawing: moved, turned, mirrored, too large, stretched.

use std::collections::BTreeSet;

use kurbo::{Affine, Rect, Vec2};

use super::deviation::Chord;
use super::fit::{Fit, fits, turned};
use super::likeness::SampledLines;
use crate::tolerance::{ALIKE_MM, LEAST_GAIN_SHARE, SAME_WAY};

/// Longest lines of a file that are tried, each as every one of the longest of the drawing.
const LONGEST_FOUND: usize = 6;
const LONGEST_ASKED: usize = 12;
/// At first one place of so many is looked at, and what is worse than the best by this share is left aside.
const COARSE: usize = 10;
const COARSE_ROOM: f64 = 0.2;
/// Other factors are those of other figures.
const STRETCHES: std::ops::RangeInclusive<f64> = 0.5..=2.0;
/// A file that fits less than this in the best of all ways is no such drawing, unless an outline has the same shape.
const LEAST_LIKENESS: f64 = 0.25;

/// Lines and the outlines that they make.
pub(super) struct AlignedLines {
    pub(super) chords: Vec<Chord>,
    /// Bounds of closed outlines.
    pub(super) figures: Vec<Rect>,
}

/// Returns the simplest way that explains a file as well as any other; `None` if none does.
pub(super) fn aligned(found: &AlignedLines, asked: &AlignedLines) -> Option<Fit> {
    let by_figures = fits(&found.figures, &asked.figures);
    let has_figures = !by_figures.is_empty();
    let mut ways = by_figures;
    ways.extend(moved(found, asked));
    ways.extend(by_lines(&found.chords, &asked.chords));
    ways.extend(stretched(found, asked));
    ways.sort_by_key(Fit::cost);
    let mut known: BTreeSet<[i64; 6]> = BTreeSet::new();
    ways.retain(|fit| known.insert(fit.way.as_coeffs().map(|number| (number / SAME_WAY).round() as i64)));
    let (file, drawing) = (SampledLines::new(found.chords.clone()), SampledLines::new(asked.chords.clone()));
    let likeness = |fit: &Fit, every: usize| file.likeness(&drawing, fit.way, every);
    let (mut rated, mut best, mut roughly_best): (Vec<(f64, Fit)>, f64, f64) = (Vec::new(), 0.0, 0.0);
    for fit in ways {
        // Nothing that costs more can explain so much more.
        let is_explained = rated.last().is_some_and(|(_, last)| last.cost() < fit.cost());
        if is_explained && best >= 1.0 - LEAST_GAIN_SHARE {
            break;
        }
        let roughly = likeness(&fit, COARSE);
        roughly_best = roughly_best.max(roughly);
        if roughly >= roughly_best - COARSE_ROOM {
            let closely = likeness(&fit, 1);
            best = best.max(closely);
            rated.push((closely, fit));
        }
    }
    if best < LEAST_LIKENESS && !has_figures {
        return None;
    }
    // What explains more only by chance is no better.
    let as_good = rated.into_iter().filter(|(likeness, _)| *likeness >= best - LEAST_GAIN_SHARE);
    as_good.min_by(|(a, one), (b, other)| one.cost().cmp(&other.cost()).then(b.total_cmp(a))).map(|(_, fit)| fit)
}

/// Brings the bounds of everything together, neither turned nor scaled: by the middle, and by each corner.
fn moved(found: &AlignedLines, asked: &AlignedLines) -> Vec<Fit> {
    let (Some(file), Some(drawing)) = (bounds(&found.chords), bounds(&asked.chords)) else { return Vec::new() };
    let by = [
        drawing.center() - file.center(),
        drawing.origin() - file.origin(),
        Vec2::new(drawing.x1 - file.x1, drawing.y0 - file.y0),
        Vec2::new(drawing.x0 - file.x0, drawing.y1 - file.y1),
        Vec2::new(drawing.x1 - file.x1, drawing.y1 - file.y1),
    ];
    by.into_iter().map(|by| Fit::placed(Affine::translate(by))).collect()
}

fn bounds(chords: &[Chord]) -> Option<Rect> {
    chords.iter().map(Chord::bounds).reduce(|all, one| all.union(one))
}

/// Returns the longest chords, the longest first.
fn longest(chords: &[Chord], count: usize) -> Vec<Chord> {
    let mut long: Vec<Chord> = Vec::new();
    for chord in chords.iter().filter(|chord| chord.length() > ALIKE_MM) {
        let place = long.partition_point(|known| known.length() >= chord.length());
        if place < count {
            long.insert(place, *chord);
            long.truncate(count);
        }
    }
    long
}

/// Brings each of the longest lines of a file to each of those of the drawing.
fn by_lines(found: &[Chord], asked: &[Chord]) -> Vec<Fit> {
    let mut ways = Vec::new();
    for asked in longest(asked, LONGEST_ASKED) {
        for found in longest(found, LONGEST_FOUND) {
            for mirrored in [false, true] {
                for to in [asked, Chord { from: asked.to, to: asked.from }] {
                    ways.extend(Fit::of_line(found, to, mirrored));
                }
            }
        }
    }
    ways
}

/// Brings figures and the whole together that have another ratio of width to height.
fn stretched(found: &AlignedLines, asked: &AlignedLines) -> Vec<Fit> {
    let largest = found.figures.iter().copied().max_by(|a, b| a.area().total_cmp(&b.area()));
    let mut pairs: Vec<(Rect, Rect)> = Vec::new();
    if let Some(largest) = largest {
        let mut figures = asked.figures.clone();
        figures.sort_by(|a, b| b.area().total_cmp(&a.area()));
        pairs.extend(figures.into_iter().take(LONGEST_ASKED).map(|figure| (largest, figure)));
    }
    pairs.extend(bounds(&found.chords).zip(bounds(&asked.chords)));
    let quarters = [0, 1, 2, 3].into_iter().flat_map(|quarter| [(quarter, false), (quarter, true)]);
    pairs
        .into_iter()
        .flat_map(|(file, drawing)| quarters.clone().filter_map(move |way| Fit::stretched(file, drawing, way)))
        .collect()
}

impl Fit {
    /// Brings a line to another, turned and scaled as they ask for.
    fn of_line(found: Chord, asked: Chord, mirrored: bool) -> Option<Self> {
        let flip = turned(0, mirrored);
        let (from, to) = (flip * found.from, flip * found.to);
        let (file, drawing) = (to - from, asked.to - asked.from);
        let scale = file.hypot() / drawing.hypot();
        let angle = file.cross(drawing).atan2(file.dot(drawing)).to_degrees();
        if !(scale.is_finite() && scale > 0.0) {
            return None;
        }
        // Lengths and directions are known to the rounding of the ends.
        let scale = if (file.hypot() - drawing.hypot()).abs() <= ALIKE_MM { 1.0 } else { Self::usual(scale) };
        let quarters = (angle / 90.0).round();
        let rest = angle - 90.0 * quarters;
        let is_quarter = rest.to_radians().abs() * drawing.hypot() <= ALIKE_MM;
        let turn_deg = if is_quarter { 0.0 } else { rest };
        let quarter_turns = quarters.rem_euclid(4.0) as u8;
        let turn = Affine::rotate(turn_deg.to_radians()) * turned(quarter_turns, mirrored);
        let way = Affine::scale(1.0 / scale) * turn;
        let by = asked.from.midpoint(asked.to) - way * found.from.midpoint(found.to);
        let way = Affine::translate(by) * way;
        Some(Self { scale, quarter_turns, mirrored, way, turn_deg, stretch: Vec2::new(1.0, 1.0) })
    }

    /// Brings a rectangle to another one of another shape.
    fn stretched(found: Rect, asked: Rect, (quarter_turns, mirrored): (u8, bool)) -> Option<Self> {
        let turn = turned(quarter_turns, mirrored);
        let seen = turn.transform_rect_bbox(found);
        let factor = |file: f64, drawing: f64| if (file - drawing).abs() <= ALIKE_MM { 1.0 } else { file / drawing };
        let stretch = Vec2::new(factor(seen.width(), asked.width()), factor(seen.height(), asked.height()));
        let is_usable = [stretch.x, stretch.y].iter().all(|factor| STRETCHES.contains(factor));
        if !is_usable
            || (seen.width() * asked.height() - seen.height() * asked.width()).abs() <= ALIKE_MM * asked.width()
        {
            return None;
        }
        let way = Affine::scale_non_uniform(1.0 / stretch.x, 1.0 / stretch.y) * turn;
        let way = Affine::translate(asked.center() - way.transform_rect_bbox(found).center()) * way;
        Some(Self { scale: 1.0, quarter_turns, mirrored, way, turn_deg: 0.0, stretch })
    }

    /// Says how much a file is out of the ordinary: of ways that explain as much, the one of least cost is meant.
    fn cost(&self) -> u32 {
        let scale = if self.scale.to_bits() == 1.0_f64.to_bits() {
            0
        } else if self.mix_up().is_some() {
            2
        } else {
            4
        };
        let parts =
            [(self.quarter_turns > 0, 1), (self.mirrored, 2), (self.turn_deg != 0.0, 4), (self.is_stretched(), 6)];
        parts.into_iter().filter(|(is, _)| *is).map(|(_, cost)| cost).sum::<u32>() + scale
    }
}

#[cfg(test)]
mod tests {
    use kurbo::{Affine, Point, Rect, Shape, Vec2};

    use super::{AlignedLines, aligned};
    use crate::measure::deviation::{Chord, push_chords};

    /// A board with two openings, one of them with a corner cut off.
    fn mat() -> Vec<Vec<Point>> {
        let outline = |rect: Rect| {
            let mut points: Vec<Point> = rect.path_elements(0.1).filter_map(|element| element.end_point()).collect();
            points.push(points[0]);
            points
        };
        let mut odd = outline(Rect::new(50.0, 60.0, 180.0, 260.0));
        odd.insert(1, Point::new(100.0, 60.0));
        vec![outline(Rect::new(0.0, 0.0, 400.0, 500.0)), odd, outline(Rect::new(250.0, 300.0, 330.0, 360.0))]
    }

    fn lines(outlines: &[Vec<Point>], way: Affine) -> AlignedLines {
        let mut chords: Vec<Chord> = Vec::new();
        let mut figures = Vec::new();
        for outline in outlines {
            let points: Vec<Point> = outline.iter().map(|point| way * *point).collect();
            push_chords(&points, &mut chords);
            if points.len() > 4 {
                figures.extend(chords.iter().rev().take(points.len() - 1).map(Chord::bounds).reduce(|a, b| a.union(b)));
            }
        }
        AlignedLines { chords, figures }
    }

    #[test]
    fn the_simplest_way_that_explains_a_file_is_found() {
        let asked = lines(&mat(), Affine::IDENTITY);
        let fit = |way: Affine| aligned(&lines(&mat(), way), &asked).unwrap();
        let by_degree = fit(Affine::rotate(1.0_f64.to_radians()));
        assert!((by_degree.turn_deg + 1.0).abs() < 1e-3 && by_degree.quarter_turns == 0 && !by_degree.mirrored);
        assert!((by_degree.scale - 1.0).abs() < 1e-9);
        let wide = fit(Affine::scale_non_uniform(1.01, 1.0));
        assert!((wide.stretch - Vec2::new(1.01, 1.0)).hypot() < 1e-9 && wide.scale.to_bits() == 1.0_f64.to_bits());
        let large = fit(Affine::scale(1.01));
        assert!((large.scale - 1.01).abs() < 1e-6 && !large.is_stretched(), "{large:?}");
        let all = fit(Affine::translate((9.0, 5.0)) * Affine::rotate(0.3) * Affine::scale(25.4) * Affine::FLIP_X);
        assert!(all.mirrored && (all.scale - 25.4).abs() < 1e-9 && all.turn_deg.abs() > 10.0, "{all:?}");
    }

    #[test]
    fn what_is_missing_is_neither_mirrored_nor_scaled() {
        let asked = lines(&mat(), Affine::IDENTITY);
        for left_out in 0..3 {
            let mut outlines = mat();
            // A side of the edge or of an opening, and a whole outline.
            outlines[left_out].pop();
            let fit = aligned(&lines(&outlines, Affine::translate((7.0, 3.0))), &asked).unwrap();
            assert!(fit.is_moved_only() && fit.moved() == Vec2::new(7.0, 3.0), "{left_out}: {fit:?}");
            outlines.remove(left_out);
            let fit = aligned(&lines(&outlines, Affine::translate((7.0, 3.0))), &asked).unwrap();
            assert!(fit.is_moved_only() && (fit.moved() - Vec2::new(7.0, 3.0)).hypot() < 1e-9, "{left_out}: {fit:?}");
        }
    }
}
