//! A sheet with boards beside each other: every board at its place, its edges, and in views for people its name.

use kurbo::{Line, Point, Rect, Size, Vec2};

use super::{NestedBoard, NestedSheet, SharedEdge};
use crate::drawing::{Anchor, Drawing, Mark, Role, StrokeFont, letter_height};
use crate::geometry::Outline;
use crate::mat::Placement;
use crate::page::{MARGIN, TEMPLATE_CAUTION, add_text, in_drawing_order};
use crate::tolerance::SHARED_EDGE_MM;
use crate::view::{Caption, View, in_inks, mark_front_corner};

/// The roles of what cutters and pens do, in the order in which it is done.
const WORK: [Role; 6] = [Role::Register, Role::Wash, Role::Ruling, Role::Groove, Role::Cut, Role::Edge];
/// Distance in millimetres of words from the edges of their board.
const INSET: f64 = 1.5;
/// Height of capitals in millimetres of the names of boards where there is room enough.
const NAME_CAP: f64 = letter_height::TITLE;

impl NestedSheet<'_> {
    /// Tells whether a view shows anything of the sheet.
    #[must_use]
    pub fn is_shown_by(&self, view: &View) -> bool {
        self.boards.iter().any(|board| view.applies(board.layer))
    }

    /// Draws the sheet at full scale as a view shows its boards: every board at its place, and an edge that two of them
    /// share once.
    ///
    /// Seen from the back the sheet as a whole is its own mirror image. Views for cutters and pens hold no words, and their
    /// drawing is as large as the sheet; others name every board.
    #[must_use]
    pub fn draw(&self, view: &View) -> Drawing {
        if view.on_page { draw_page(view, self) } else { draw_path(view, self) }
    }
}

/// Draws what a cutter or a pen follows. The sheet is the sheet of board.
fn draw_path(view: &View, sheet: &NestedSheet<'_>) -> Drawing {
    let title = format!("{} - {}", sheet.title(), view.title);
    let mut drawing = Drawing { title, view: view.title, sheet: sheet.size, layers: Vec::new() };
    for board in &sheet.boards {
        (view.lay)(board.mat, board.layer, &sheet.placement(board, view.from_back), &mut drawing);
    }
    if view.edges {
        add_edges(sheet, view.from_back, Vec2::ZERO, &mut drawing);
    } else {
        drawing.title += &in_inks(&inks(sheet));
    }
    drawing.layers.sort_by_key(|layer| WORK.iter().position(|role| *role == layer.role));
    drawing
}

/// Lists the inks of all boards, each once.
fn inks<'s>(sheet: &'s NestedSheet<'_>) -> Vec<&'s str> {
    let mut inks: Vec<&str> = Vec::new();
    for ink in sheet.boards.iter().flat_map(|board| board.layer.decoration.inks()) {
        if !inks.contains(&ink) {
            inks.push(ink);
        }
    }
    inks
}

/// Draws what a person reads: every board with its name and number on a page with a caption.
fn draw_page(view: &View, sheet: &NestedSheet<'_>) -> Drawing {
    let title = format!("{} - {}", sheet.title(), view.title);
    let caption = Caption::new(&title, notes(view, sheet).iter(), sheet.size);
    let mut drawing = Drawing { title, view: view.title, sheet: caption.sheet(), layers: Vec::new() };
    let at = Vec2::new(MARGIN, MARGIN);
    for board in &sheet.boards {
        let placement = sheet.placement(board, view.from_back);
        let placement = placement.at(placement.board().origin() + at);
        (view.lay)(board.mat, board.layer, &placement, &mut drawing);
        mark_front_corner(&placement, &mut drawing);
        write_name(board, &placement, &mut drawing);
    }
    add_edges(sheet, view.from_back, at, &mut drawing);
    add_sheet(sheet, view.from_back, at, &mut drawing);
    caption.write(&mut drawing);
    in_drawing_order(&mut drawing);
    drawing
}

/// Adds the outer edges of all boards; what two of them share is one line.
fn add_edges(sheet: &NestedSheet<'_>, from_back: bool, at: Vec2, drawing: &mut Drawing) {
    let boards = sheet.rects(from_back);
    for edge in sheet.edges(from_back, 0.0) {
        let mark = match edge {
            SharedEdge::Round(place) => {
                let outline = boards.get(place).and_then(|board| Outline::rectangle(*board + at));
                outline.map(|outline| Mark::Outline { outline, opening: None })
            }
            SharedEdge::Straight(line) => Some(Mark::line(vec![line.p0 + at, line.p1 + at])),
        };
        mark.into_iter().for_each(|mark| drawing.add(Role::Edge, mark));
    }
}

/// Adds the edge of the sheet where no board has its own.
fn add_sheet(sheet: &NestedSheet<'_>, from_back: bool, at: Vec2, drawing: &mut Drawing) {
    let Size { width, height } = sheet.size;
    let boards = sheet.rects(from_back);
    for (level, y) in [(true, 0.0), (true, height), (false, 0.0), (false, width)] {
        let along = |rect: &Rect| if level { (rect.x0, rect.x1) } else { (rect.y0, rect.y1) };
        let touches = |rect: &&Rect| {
            let sides = if level { [rect.y0, rect.y1] } else { [rect.x0, rect.x1] };
            sides.iter().any(|side| (side - y).abs() <= SHARED_EDGE_MM)
        };
        let mut taken: Vec<(f64, f64)> = boards.iter().filter(touches).map(along).collect();
        taken.sort_by(|a, b| a.0.total_cmp(&b.0));
        let end = if level { width } else { height };
        let mut from = 0.0;
        for (start, stop) in taken.into_iter().chain([(end, end)]) {
            if start > from + SHARED_EDGE_MM {
                let point = |along: f64| if level { Point::new(along, y) } else { Point::new(y, along) };
                let Line { p0, p1 } = Line::new(point(from) + at, point(start) + at);
                drawing.add(Role::Guide, Mark::line(vec![p0, p1]));
            }
            from = from.max(stop);
        }
    }
}

/// Writes number and name of a board into its border, and where its top is.
fn write_name(board: &NestedBoard<'_>, placement: &Placement, drawing: &mut Drawing) {
    let on_sheet = placement.board();
    let outlines =
        board.layer.openings.iter().map(|opening| placement.outline(opening.outline(crate::mat::Edge::Back)).bounds());
    let windows =
        outlines.reduce(|all, one| all.union(one)).unwrap_or(Rect::from_points(on_sheet.center(), on_sheet.center()));
    let name = format!("{} {}", board.place + 1, board.name());
    let upper = Rect::new(on_sheet.x0, on_sheet.y0, on_sheet.x1, windows.y0);
    let lower = Rect::new(on_sheet.x0, windows.y1, on_sheet.x1, on_sheet.y1);
    if !placement.is_turned() {
        let room = if cap_in(&name, upper).is_none() { lower } else { upper };
        if room == upper {
            return write(&format!("TOP - {name}"), upper, drawing);
        }
        write("TOP", upper, drawing);
        return write(&name, lower, drawing);
    }
    write(&name, if upper.height() < lower.height() { lower } else { upper }, drawing);
    // Turned clockwise as seen from the face, the top lies on the right; from the back it lies on the left.
    let side = if placement.is_from_back() {
        Rect::new(on_sheet.x0, on_sheet.y0, windows.x0, on_sheet.y1)
    } else {
        Rect::new(windows.x1, on_sheet.y0, on_sheet.x1, on_sheet.y1)
    };
    write("TOP", side, drawing);
}

/// Returns the height of capitals with which a line fits into a room; `None` if it cannot be read.
fn cap_in(line: &str, room: Rect) -> Option<f64> {
    let room = room.inset(-INSET);
    letter_height::fitting(NAME_CAP.min(room.width() / StrokeFont::width(line, 1.0)).min(room.height() / 1.5))
}

fn write(line: &str, room: Rect, drawing: &mut Drawing) {
    let cap = cap_in(line, room).unwrap_or(letter_height::LEAST);
    add_text(drawing, line, room.center() + Vec2::new(0.0, 0.5 * cap), cap, Anchor::Middle);
}

fn notes(view: &View, sheet: &NestedSheet<'_>) -> Vec<String> {
    let seen = if view.from_back {
        "SEEN FROM THE BACK (mirrored): the sheet lies face down, print side up. Cut the openings along the solid red lines first, and separate the \
         mats last."
    } else {
        "SEEN FROM THE FRONT, not mirrored: the sheet lies face up."
    };
    let ruler = sheet.boards.first().map(|board| board.mat.ruler);
    let size = ruler.map_or_else(String::new, |ruler| ruler.show_size(sheet.size.width, sheet.size.height));
    let mut notes = vec![
        seen.to_owned(),
        format!("Sheet {size}, {}. On it: {}.", sheet.board.describe(), sheet.content_words()),
        "The number and name of each mat stand in its border; the triangle is at its top left corner as seen from the front, and TOP at its top. \
         Each opening shows its sight size as it lies here, and how far its lines are from the edges of its mat."
            .to_owned(),
    ];
    if view.from_back {
        notes.push(
            "Green ticks: each cut must start and stop there, at or just past its corner. Print at 100 % and check the bars with a ruler before cutting."
                .to_owned(),
        );
        notes.push(TEMPLATE_CAUTION.to_owned());
    }
    notes.extend(ornaments(view, sheet));
    notes
}

/// Says what belongs on the face of the boards and is not on a template for the back.
fn ornaments(view: &View, sheet: &NestedSheet<'_>) -> Option<String> {
    let mut seen: Vec<usize> = Vec::new();
    let mut words = Vec::new();
    for board in sheet.boards.iter().filter(|board| !board.layer.decoration.is_empty()) {
        if !seen.contains(&board.place) {
            seen.push(board.place);
            let what = board.layer.decoration.describe(board.mat.ruler, &board.layer.openings).join("; ");
            words.push(format!("{} {}: {what}", board.place + 1, board.name()));
        }
    }
    let heading = if view.from_back {
        "NOT ON THIS TEMPLATE, because it belongs on the face (see the face view)"
    } else {
        "On the face"
    };
    (!words.is_empty()).then(|| format!("{heading}: {}.", words.join(". ")))
}
