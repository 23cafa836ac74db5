//! The section: a cut through the boards at the left side of an opening, much enlarged, with bevels and strips.

use kurbo::{Point, Rect};

use super::letterhead::{CAP, LINE};
use crate::colour::Colour;
use crate::dimensions::{cut_through, edges, section_sizes};
use crate::drawing::{Anchor, Area, Chain, ChainSide, Drawing, Lettering, Mark, Role};
use crate::fault::Certain;
use crate::geometry::Outline;
use crate::length::exact_mm;
use crate::mat::{BevelDirection, Layer, Mat, Opening};
use crate::page::Page;
use crate::pairs::pairs;
use crate::tolerance::{ON_A_MARK_MM, SAME_STOP_MM};

/// Height in millimetres of the section on the page.
pub(super) const HEIGHT: f64 = 42.0;
/// Largest enlargement.
const LARGEST: f64 = 10.0;
/// Smallest enlargement; where more is needed long strips are drawn shorter.
const SMALLEST: f64 = 1.5;
/// How much board is shown left of the openings, in millimetres of the mat.
const BOARD: f64 = 3.0;
/// How much is shown right of them, in millimetres of the mat.
const AIR: f64 = 2.0;
/// A strip longer than this in millimetres is drawn this long where there is not enough room.
const LONGEST_STRIP: f64 = 8.0;
/// Least room in millimetres above the boards for the chain of distances.
const ABOVE: f64 = 9.0;
/// From the boards to the line of the chain, in millimetres.
const TO_LINE: f64 = 3.0;
/// How far a number may reach beyond the boards at the right, in millimetres.
const OVERHANG: f64 = 4.0;
/// Room in millimetres below the caption for its gap.
const CAPTION: f64 = LINE + 0.8;

/// One board of the section. Places in millimetres of the mat, from its left edge.
struct SectionBoard {
    number: usize,
    thickness: f64,
    colour: Colour,
    core: Colour,
    face: f64,
    back: f64,
    direction: BevelDirection,
    angle: f64,
}

impl SectionBoard {
    fn sight(&self) -> f64 {
        self.face.max(self.back)
    }
}

/// Draws the section into a part of the page.
pub(super) fn draw(mat: &Mat, area: Rect, sheet: &mut Page) {
    let cuts = cuts(mat);
    let Some(first) = cuts.first() else {
        return;
    };
    let mut stops: Vec<f64> = cuts.iter().flat_map(|cut| [cut.face, cut.back]).collect();
    stops.sort_by(f64::total_cmp);
    stops.dedup_by(|later, earlier| *later - *earlier < SAME_STOP_MM);
    let names = cuts.iter().map(|cut| Lettering::width(&label(cut), CAP)).fold(0.0, f64::max);
    // The figures above the boards take room, and what room there is decides how they stand.
    let mut above = ABOVE;
    let (mut room, mut ruled, mut chain);
    loop {
        room = Rect::new(area.x0 + names + 2.0, area.y0 + CAPTION + above, area.x1 - OVERHANG, area.y1 - LINE);
        ruled = SectionScale::new(&stops, room, cuts.iter().map(|cut| cut.thickness).sum());
        chain = distances(mat, &ruled);
        let needed = chain.as_ref().map_or(ABOVE, |chain| TO_LINE + chain.depth());
        if needed <= above {
            break;
        }
        above = needed;
    }
    let bevel = match first.direction {
        BevelDirection::Straight => "straight cut".to_owned(),
        direction => format!("{} bevel {}°", direction.name(), first.angle),
    };
    let caption =
        if ruled.shortened { "Section, long strips shortened".to_owned() } else { format!("Section: {bevel}") };
    sheet.text(&caption, Point::new(area.x0, area.y0 + LINE - 1.0), Anchor::Start);
    draw_boards(&cuts, &ruled, room, sheet);
    draw_names(&cuts, &ruled, Rect::new(area.x0, room.y0, room.x0 - 2.0, area.y1), sheet);
    if let Some(chain) = chain {
        draw_distances(&chain, &cuts, &ruled, room, sheet.drawing());
    }
}

/// Returns what is cut through at an opening.
fn cuts(mat: &Mat) -> Vec<SectionBoard> {
    let boards = cut_through(mat).into_iter().zip(&mat.layers).zip(1..);
    let cut = |((opening, layer), number): ((&Opening, &Layer), usize)| SectionBoard {
        number,
        thickness: layer.board.thickness,
        colour: layer.board.colour.unwrap_or(Colour::new(226, 222, 212)),
        core: layer.board.core,
        face: opening.face.bounds().x0,
        back: opening.back.bounds().x0,
        direction: opening.bevel.direction,
        angle: opening.bevel.angle_deg,
    };
    boards.map(cut).collect()
}

/// From millimetres of the mat to millimetres of the page.
struct SectionScale {
    /// Places of the mat and where they lie on the page, in rising order.
    stops: Vec<(f64, f64)>,
    scale: f64,
    top: f64,
    shortened: bool,
}

impl SectionScale {
    fn new(stops: &[f64], room: Rect, thickness: f64) -> Self {
        let gaps = |longest: f64| pairs(stops).map(move |(from, to)| (to - from).min(longest));
        let upright = room.height() / thickness;
        let scale_for =
            |longest: f64| (room.width() / (BOARD + AIR + gaps(longest).sum::<f64>())).min(upright).min(LARGEST);
        let whole = scale_for(f64::INFINITY);
        // Many long strips are drawn shorter still.
        let lengths = [LONGEST_STRIP, LONGEST_STRIP / 2.0, LONGEST_STRIP / 4.0, LONGEST_STRIP / 8.0];
        let longest = if whole >= SMALLEST.min(upright) {
            f64::INFINITY
        } else {
            lengths.into_iter().find(|longest| scale_for(*longest) >= SMALLEST.min(upright)).unwrap_or(0.5)
        };
        let scale = scale_for(longest);
        let mut at = room.x0 + BOARD * scale;
        let mut placed: Vec<(f64, f64)> = stops.first().map(|first| (*first, at)).into_iter().collect();
        for (gap, stop) in gaps(longest).zip(stops.iter().skip(1)) {
            at += gap * scale;
            placed.push((*stop, at));
        }
        let shortened = pairs(stops).any(|(from, to)| to - from > longest);
        Self { stops: placed, scale, top: room.y0, shortened }
    }

    /// Returns where a place of the mat lies across the page.
    fn x(&self, place: f64) -> f64 {
        self.stops.iter().find(|(stop, _)| (stop - place).abs() < 2.0 * SAME_STOP_MM).certain("stop at this place").1
    }
}

fn draw_boards(cuts: &[SectionBoard], ruled: &SectionScale, room: Rect, sheet: &mut Page) {
    let mut y = ruled.top;
    for cut in cuts {
        let below = y + cut.thickness * ruled.scale;
        let (face, back) = (ruled.x(cut.face), ruled.x(cut.back));
        let corners = [(room.x0, y), (face, y), (back, below), (room.x0, below)].map(Point::from);
        let skin = (0.12 * cut.thickness * ruled.scale).min(0.7);
        let lower = face + (back - face) * skin / (below - y);
        let face_skin = [(room.x0, y), (face, y), (lower, y + skin), (room.x0, y + skin)].map(Point::from);
        for (corners, colour) in [(corners, cut.core.towards(Colour::BLACK, 0.04)), (face_skin, cut.colour)] {
            let outlines: Vec<Outline> = Outline::polygon(&corners).into_iter().collect();
            sheet.drawing().add(Role::Picture, Mark::Area(Area { outlines, colour }));
        }
        // The board goes on at the left: no line there.
        let [start, a, b, end] = corners;
        sheet.drawing().add(Role::Edge, Mark::line(vec![start, a, b, end]));
        y = below;
    }
    let right = ruled.stops.last().map_or(room.x1, |(_, x)| (x + AIR * ruled.scale).min(room.x1));
    sheet.drawing().add(Role::Cut, Mark::line(vec![Point::new(room.x0, y + 0.6), Point::new(right, y + 0.6)]));
    sheet.text("art", Point::new(right, y + 0.6 + CAP + 1.0), Anchor::End);
}

/// Names the boards at their left; names that would run into each other are spread and led to their boards.
fn draw_names(cuts: &[SectionBoard], ruled: &SectionScale, column: Rect, sheet: &mut Page) {
    let mut y = ruled.top;
    let mut lowest = f64::NEG_INFINITY;
    for cut in cuts {
        let height = cut.thickness * ruled.scale;
        let middle = y + 0.5 * height;
        let at = middle.max(lowest + LINE);
        // Of more boards than there is room for the list has the rest.
        if at + CAP > column.y1 {
            return;
        }
        sheet.text(&label(cut), Point::new(column.x0, at + 0.5 * CAP), Anchor::Start);
        if at - middle > 0.3 * LINE {
            sheet.rule(Point::new(column.x1 + 0.3, at), Point::new(column.x1 + 1.9, middle));
        }
        lowest = at;
        y += height;
    }
}

/// Boards have the numbers of the list; their names may be long.
fn label(cut: &SectionBoard) -> String {
    format!("{}.  {}", cut.number, exact_mm((cut.thickness * 100.0).round() / 100.0))
}

/// Measures bevels and strips as the eye sees them; `None` if there are none, or too many to show.
fn distances(mat: &Mat, ruled: &SectionScale) -> Option<Chain> {
    let (dimensions, numbers): (Vec<_>, Vec<_>) =
        section_sizes(mat).map(|(kind, mm)| (vec![kind], distance(mat, mm))).unzip();
    let stops = edges(mat).iter().map(|edge| ruled.x(edge.x)).collect();
    if numbers.is_empty() { None } else { Some(Chain::new(ChainSide::Top, stops, numbers)?.telling(dimensions)) }
}

/// Draws the widths of bevels and strips above the boards.
fn draw_distances(chain: &Chain, cuts: &[SectionBoard], ruled: &SectionScale, room: Rect, drawing: &mut Drawing) {
    let line = room.y0 - TO_LINE;
    chain.draw(line, drawing);
    let mut y = ruled.top;
    for cut in cuts {
        chain.draw_witness(Point::new(ruled.x(cut.face), y), line, drawing);
        let foot = if cut.sight() > cut.face { y + cut.thickness * ruled.scale } else { y };
        chain.draw_witness(Point::new(ruled.x(cut.sight()), foot), line, drawing);
        y += cut.thickness * ruled.scale;
    }
}

/// Shows a distance on the ruler if it lies on a mark, and exactly in millimetres if it does not.
fn distance(mat: &Mat, mm: f64) -> String {
    let reading = mat.ruler.read(mm);
    if reading.rest.abs() < ON_A_MARK_MM {
        format!("{} {}", reading.text, reading.unit)
    } else {
        exact_mm((mm * 100.0).round() / 100.0)
    }
}
