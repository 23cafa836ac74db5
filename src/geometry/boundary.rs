//! What a closed line of pieces that cross each other goes round: its border, piece by piece.

use std::ops::Range;

use kurbo::{Line, Point, Rect, Vec2};

use super::box_tree::BoxTree;
use super::monotone::chords_cross;
use super::move_path::{MovePath, PathPart};
use super::outline::crossing;
use super::{Arc, Segment};
use crate::pairs::pairs;
use crate::tolerance::{BESIDE_LINE_MM, CROSSING_CHORDS_MM, MET_SHARE, SAME_CROSSING_MM, SAME_DIRECTION_RAD};

/// More chords than this are not compared.
const MOST_CHORDS: usize = 200_000;

impl MovePath {
    /// Returns the closed lines that part what the line goes round from what it does not, pieces in order; `None` where that cannot be
    /// told with certainty.
    pub(super) fn boundary(&self) -> Option<Vec<Vec<PathPart>>> {
        let chords = self.chords()?;
        let tree = BoxTree::new(chords.iter().map(BoundaryChord::bounds));
        let mut kept = Vec::new();
        for (index, cuts) in self.cuts(&chords, &tree)?.into_iter().enumerate() {
            let part = self.parts.get(index)?;
            for (&from, &to) in pairs(&cuts) {
                let (at, along) = beside(&chords, index, 0.5 * (from.share + to.share))?;
                let normal = Vec2::new(along.y, -along.x).normalize() * BESIDE_LINE_MM;
                let [inside, outside] = [at - normal, at + normal].map(|point| winding(point, &chords, &tree));
                if inside <= 0 || outside > 0 {
                    continue;
                }
                if !part.is_sound || !from.is_exact || !to.is_exact {
                    return None;
                }
                kept.push(PathPart { piece: part_between(&part.piece, from, to), ..*part });
            }
        }
        chained(kept)
    }

    fn chords(&self) -> Option<Vec<BoundaryChord>> {
        let mut chords = Vec::new();
        for (part, PathPart { piece, .. }) in self.parts.iter().enumerate() {
            let count = match piece {
                Segment::Line(_) => 1,
                Segment::Arc(arc) => chord_count(arc),
            };
            if chords.len() + count > MOST_CHORDS {
                return None;
            }
            let share = |k: usize| k as f64 / count as f64;
            chords.extend((0..count).map(|k| {
                let shares = share(k)..share(k + 1);
                BoundaryChord { part, from: point_at(piece, shares.start), to: point_at(piece, shares.end), shares }
            }));
        }
        // Pieces that meet share the point.
        for index in 0..chords.len() {
            let start = chords.get((index + 1) % chords.len())?.from;
            chords.get_mut(index)?.to = start;
        }
        Some(chords)
    }

    /// Lists for each part where it starts, is crossed and ends, in order.
    fn cuts(&self, chords: &[BoundaryChord], tree: &BoxTree) -> Option<Vec<Vec<SplitPoint>>> {
        let ends = |part: &PathPart| {
            [0.0, 1.0].map(|share| SplitPoint { share, at: point_at(&part.piece, share), is_exact: true }).to_vec()
        };
        let mut cuts: Vec<Vec<SplitPoint>> = self.parts.iter().map(ends).collect();
        let count = chords.len();
        for (index, chord) in chords.iter().enumerate() {
            for other in tree.all_near(chord.bounds(), SAME_CROSSING_MM) {
                if other <= index || other == (index + 1) % count || index == (other + 1) % count {
                    continue;
                }
                let opposite = chords.get(other)?;
                let (a, b) = (self.parts.get(chord.part)?, self.parts.get(opposite.part)?);
                for (share, opposite_share) in meetings(chord, opposite) {
                    let Some((at_a, at_b)) = met([&a.piece, &b.piece], [share, opposite_share]) else { continue };
                    cuts.get_mut(chord.part)?.push(at_a);
                    cuts.get_mut(opposite.part)?.push(at_b);
                }
            }
        }
        for own in &mut cuts {
            own.sort_by(|a, b| a.share.total_cmp(&b.share));
            let last = own.last().copied()?;
            own.dedup_by(|next, before| {
                let same = next.at.distance(before.at) < SAME_CROSSING_MM;
                before.is_exact |= same && next.is_exact;
                same
            });
            // A whole curve ends where it starts.
            if own.len() == 1 && last.share > 0.5 {
                own.push(last);
            }
        }
        Some(cuts)
    }
}

/// A straight stretch of the line, between two shares of its part.
struct BoundaryChord {
    part: usize,
    shares: Range<f64>,
    from: Point,
    to: Point,
}

impl BoundaryChord {
    fn bounds(&self) -> Rect {
        Rect::from_points(self.from, self.to)
    }

    fn share(&self, along: f64) -> f64 {
        self.shares.start + along * (self.shares.end - self.shares.start)
    }
}

/// A place of a part, by its share of the way along it.
#[derive(Debug, Clone, Copy)]
struct SplitPoint {
    share: f64,
    at: Point,
    is_exact: bool,
}

/// Returns how many chords stay within the tolerance of an arc, whose tangents turn evenly from chord to chord.
fn chord_count(arc: &Arc) -> usize {
    let ends = arc.split_at_axes().flat_map(|part| [part.start, part.end()]);
    let radius = ends.map(|angle| arc.radius_at(angle).abs()).fold(CROSSING_CHORDS_MM, f64::max);
    // A chord over the angle θ is off by R θ² / 8.
    (arc.sweep.abs() * (radius / (8.0 * CROSSING_CHORDS_MM)).sqrt()).ceil().max(2.0) as usize
}

fn point_at(piece: &Segment, share: f64) -> Point {
    match piece {
        Segment::Line(line) => line.p0.lerp(line.p1, share),
        Segment::Arc(arc) => arc.point(arc.start + share * arc.sweep),
    }
}

/// Returns how a piece moves on at a share of its way, per share.
fn speed_at(piece: &Segment, share: f64) -> Vec2 {
    match piece {
        Segment::Line(line) => line.p1 - line.p0,
        Segment::Arc(arc) => {
            let angle = arc.start + share * arc.sweep;
            let normal = arc.normal(angle);
            Vec2::new(-normal.y, normal.x) * arc.radius_at(angle) * arc.sweep
        }
    }
}

fn part_between(piece: &Segment, from: SplitPoint, to: SplitPoint) -> Segment {
    match piece {
        Segment::Line(_) => Segment::Line(Line::new(from.at, to.at)),
        Segment::Arc(arc) => {
            let angle = |share: f64| if share >= 1.0 { arc.end() } else { arc.start + share * arc.sweep };
            Segment::Arc(arc.between(angle(from.share), angle(to.share)))
        }
    }
}

/// Returns where two chords meet, in shares of their parts: once where they cross, at their ends where they lie on each other.
fn meetings(a: &BoundaryChord, b: &BoundaryChord) -> Vec<(f64, f64)> {
    let (along_a, along_b) = (a.to - a.from, b.to - b.from);
    let (length_a, length_b) = (along_a.hypot(), along_b.hypot());
    if length_a == 0.0 || length_b == 0.0 {
        return Vec::new();
    }
    let is_parallel = along_a.cross(along_b).abs() <= SAME_DIRECTION_RAD * length_a * length_b;
    let share_on = |from: Point, along: Vec2, point: Point| (point - from).dot(along) / along.hypot2();
    if is_parallel && (b.from - a.from).cross(along_a).abs() > SAME_CROSSING_MM * length_a {
        return Vec::new();
    }
    if !is_parallel && let Some(at) = chords_cross(a.from, a.to, b.from, b.to) {
        return vec![(a.share(share_on(a.from, along_a, at)), b.share(share_on(b.from, along_b, at)))];
    }
    // An end of one on the other.
    let mut found = Vec::new();
    for point in [a.from, a.to, b.from, b.to] {
        let shares = [share_on(a.from, along_a, point), share_on(b.from, along_b, point)].map(|s| s.clamp(0.0, 1.0));
        let [on_a, on_b] = [a.from + along_a * shares[0], b.from + along_b * shares[1]];
        if on_a.distance(on_b) < SAME_CROSSING_MM {
            found.push((a.share(shares[0]), b.share(shares[1])));
        }
    }
    found
}

/// Returns where two pieces meet, by Newton's method from shares near by; `None` if it lies beyond their ends.
fn met(pieces: [&Segment; 2], guess: [f64; 2]) -> Option<(SplitPoint, SplitPoint)> {
    let [mut a, mut b] = guess;
    let mut is_exact = false;
    for _ in 0..30 {
        let gap = point_at(pieces[0], a) - point_at(pieces[1], b);
        if gap.hypot() < MET_SHARE * (1.0 + point_at(pieces[0], a).to_vec2().hypot()) {
            is_exact = true;
            break;
        }
        let (va, vb) = (speed_at(pieces[0], a), speed_at(pieces[1], b));
        let determinant = va.cross(vb);
        if determinant.abs() <= SAME_DIRECTION_RAD * va.hypot() * vb.hypot() {
            is_exact = gap.hypot() < SAME_CROSSING_MM;
            break;
        }
        let (step_a, step_b) = (-gap.cross(vb) / determinant, -gap.cross(va) / determinant);
        (a, b) = (a + step_a, b + step_b);
        is_exact = (step_a * va.hypot()).abs().max((step_b * vb.hypot()).abs()) < SAME_CROSSING_MM;
    }
    let slack = |piece: &Segment| SAME_CROSSING_MM / piece.length().max(SAME_CROSSING_MM);
    let beyond = |share: f64, piece: &Segment| share < -slack(piece) || share > 1.0 + slack(piece);
    if is_exact && (beyond(a, pieces[0]) || beyond(b, pieces[1])) {
        return None;
    }
    if !is_exact {
        [a, b] = guess;
    }
    let (a, b) = (a.clamp(0.0, 1.0), b.clamp(0.0, 1.0));
    let at = point_at(pieces[0], a);
    Some((SplitPoint { share: a, at, is_exact }, SplitPoint { share: b, at, is_exact }))
}

/// Returns a place on the chords of a part at a share of its way, and the direction there.
fn beside(chords: &[BoundaryChord], part: usize, share: f64) -> Option<(Point, Vec2)> {
    let first = chords.partition_point(|chord| chord.part < part);
    let own = chords.get(first..)?.iter().take_while(|chord| chord.part == part);
    let chord = own.filter(|chord| chord.shares.start <= share).last()?;
    let along = (share - chord.shares.start) / (chord.shares.end - chord.shares.start);
    Some((chord.from.lerp(chord.to, along), chord.to - chord.from))
}

/// Returns how often the chords go round a point.
fn winding(point: Point, chords: &[BoundaryChord], tree: &BoxTree) -> i32 {
    let mut winding = 0;
    let ray = Rect::new(point.x, point.y, f64::MAX, point.y);
    tree.near(ray, 0.0, |index| {
        winding += chords.get(index).map_or(0, |chord| crossing(point, chord.from, chord.to));
        0.0
    });
    winding
}

/// Joins pieces end to end to closed lines; `None` if they leave a choice, or an end.
fn chained(mut kept: Vec<PathPart>) -> Option<Vec<Vec<PathPart>>> {
    let same = |a: &PathPart, b: &PathPart| {
        let apart = [(a.piece.start(), b.piece.start()), (a.piece.end(), b.piece.end())];
        let middle = |part: &PathPart| point_at(&part.piece, 0.5);
        apart.iter().all(|(a, b)| a.distance(*b) < 2.0 * SAME_CROSSING_MM)
            && middle(a).distance(middle(b)) < 2.0 * SAME_CROSSING_MM
    };
    let spot = |point: Point| Rect::from_points(point, point);
    let tree = BoxTree::new(kept.iter().map(|part| spot(part.piece.start())));
    let mut taken: Vec<bool> = vec![false; kept.len()];
    // Sides on one line that a notch has parted may overlap when it has closed.
    for index in 0..kept.len() {
        for other in tree.all_near(spot(kept.get(index)?.piece.start()), 2.0 * SAME_CROSSING_MM) {
            if other > index && same(kept.get(index)?, kept.get(other)?) {
                *taken.get_mut(other)? = true;
                kept.get_mut(index)?.own = kept.get(index)?.own.or(kept.get(other)?.own);
            }
        }
    }
    let mut loops = Vec::new();
    for first in 0..kept.len() {
        let mut chain = Vec::new();
        let mut next = first;
        while !std::mem::replace(taken.get_mut(next)?, true) {
            let part = *kept.get(next)?;
            chain.push(part);
            let on: Vec<usize> = tree
                .all_near(spot(part.piece.end()), 2.0 * SAME_CROSSING_MM)
                .into_iter()
                .filter(|&other| other == first || taken.get(other) == Some(&false))
                .collect();
            let &[only] = on.as_slice() else { return None };
            next = only;
        }
        if !chain.is_empty() {
            if next != first {
                return None;
            }
            loops.push(chain);
        }
    }
    Some(loops)
}
