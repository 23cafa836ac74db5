//! The bench card: the settings of a hand cutter on one page a board, in large numbers, with a sketch for each step.

use kurbo::{Point, Rect, Size};

use super::card_sketch;
use super::{BoardSettings, Course, Cut, Ends, Facing, OpeningCuts, Oval, Place, Setting, Settings, Step};
use crate::colour::Colour;
use crate::drawing::{Anchor, Area, Drawing, Lettering, Mark, Role, Text};
use crate::geometry::Outline;

/// What the cards call themselves.
const VIEW: &str = "bench card";
/// Space at the edges of the page in millimetres, for printers that do not reach them.
const MARGIN: f64 = 10.0;
/// Height of capitals in millimetres: title, sentences, cautions.
const TITLE_CAP: f64 = 4.0;
const LINE_CAP: f64 = 2.1;
const CAUTION_CAP: f64 = 1.9;
/// Distance between lines as a multiple of the height of capitals.
const LEADING: f64 = 1.75;
/// Least and largest height of a cell as a share of its width.
const CELL_HEIGHT: [f64; 2] = [0.46, 0.7];
/// Shares of a cell that the sketch takes, and of its words that what the numbers are takes.
const SKETCH_SHARE: f64 = 0.42;
const TAG_SHARE: f64 = 0.36;
/// Numbers of columns that are tried, the fewest first: few columns have large numbers.
const COLUMNS: [usize; 2] = [2, 3];
/// So many columns are taken if nothing fits on one page; more would be too small to read.
const MOST_COLUMNS: usize = 4;
/// Behind a number that is set anew.
const ANEW: Colour = Colour::new(255, 226, 120);

/// What a cell shows.
enum Cell<'s> {
    Cut { number: usize, step: &'s Step, cut: &'s Cut },
    Oval { oval: &'s Oval, opening: &'s OpeningCuts },
}

/// Draws the cards of a mat, board after board, on pages of a size in millimetres.
///
/// A board takes one page; one with more steps than a page can show takes several. What is set anew has a coloured ground
/// and a `>` before it.
#[must_use]
pub fn bench_cards(settings: &Settings, page: Size) -> Vec<Drawing> {
    let mut pages = Vec::new();
    for (index, board) in settings.boards.iter().enumerate() {
        let mut card = Card::new(settings, board, page);
        card.lines(&settings.preamble());
        card.lines(&settings.about_board(board));
        let mut below = settings.beside_table(board);
        if index + 1 == settings.boards.len() {
            below.extend(settings.about_order());
        }
        card.cells(&cells(settings, index, board), card.height(&below));
        card.lines(&below);
        pages.extend(card.pages);
    }
    for page in &mut pages {
        page.layers.sort_by_key(|layer| Role::ALL.iter().position(|&role| role == layer.role));
    }
    pages
}

fn cells<'s>(settings: &'s Settings, index: usize, board: &'s BoardSettings) -> Vec<Cell<'s>> {
    let steps = settings.steps.iter().enumerate().filter(|(_, step)| step.board == index);
    let cuts = steps.filter_map(|(at, step)| Some(Cell::Cut { number: at + 1, step, cut: settings.cut(step)? }));
    let ovals = board.openings.iter().filter_map(|opening| Some(Cell::Oval { oval: opening.oval.as_ref()?, opening }));
    cuts.chain(ovals).collect()
}

/// The pages of one board in the making, filled from top to bottom.
struct Card<'s> {
    settings: &'s Settings,
    board: &'s BoardSettings,
    page: Size,
    pages: Vec<Drawing>,
    /// How far down the last page is full, in millimetres.
    y: f64,
}

impl<'s> Card<'s> {
    fn new(settings: &'s Settings, board: &'s BoardSettings, page: Size) -> Self {
        let mut card = Self { settings, board, page, pages: Vec::new(), y: 0.0 };
        card.begin_page();
        card
    }

    /// Where the cautions begin.
    fn bottom(&self) -> f64 {
        self.page.height - MARGIN - LEADING * CAUTION_CAP * self.cautions().len() as f64 - 1.0
    }

    fn width(&self) -> f64 {
        self.page.width - 2.0 * MARGIN
    }

    fn cautions(&self) -> Vec<String> {
        Lettering::wrap(&self.settings.cutter.cautions().join(" "), self.width(), CAUTION_CAP)
    }

    /// Adds a mark to the last page.
    fn add(&mut self, role: Role, mark: Mark) {
        if let Some(page) = self.pages.last_mut() {
            page.add(role, mark);
        }
    }

    fn text(&mut self, role: Role, content: impl Into<String>, at: Point, cap_height: f64) {
        let text = Text { content: content.into(), at, cap_height, anchor: Anchor::Start };
        self.add(role, Mark::Text(text));
    }

    /// Begins a page with its title and the cautions.
    fn begin_page(&mut self) {
        let again = if self.pages.is_empty() { "" } else { " (continued)" };
        let title = format!("{}: {VIEW}{again}", self.settings.name);
        let drawing = Drawing { title: title.clone(), view: VIEW, sheet: self.page, layers: Vec::new() };
        self.pages.push(drawing);
        self.y = MARGIN;
        for line in Lettering::wrap(&title, self.width(), TITLE_CAP) {
            self.line(Role::Label, line, TITLE_CAP);
        }
        self.line(Role::Label, self.settings.board_title(self.board), 0.75 * TITLE_CAP);
        let mut baseline = self.bottom() + 1.0;
        for caution in self.cautions() {
            baseline += LEADING * CAUTION_CAP;
            self.text(Role::Note, caution, Point::new(MARGIN, baseline), CAUTION_CAP);
        }
    }

    /// Writes one line, on a new page if this one is full.
    fn line(&mut self, role: Role, content: String, cap: f64) {
        if self.y + LEADING * cap > self.bottom() {
            self.begin_page();
        }
        self.y += LEADING * cap;
        self.text(role, content, Point::new(MARGIN, self.y), cap);
    }

    /// Returns how much of a page sentences take, in millimetres.
    fn height(&self, sentences: &[String]) -> f64 {
        let lines = |sentence: &String| Lettering::wrap(sentence, self.width(), LINE_CAP).len();
        LEADING * LINE_CAP * sentences.iter().map(lines).sum::<usize>() as f64 + 2.0 * LINE_CAP
    }

    fn lines(&mut self, sentences: &[String]) {
        for sentence in sentences {
            for line in Lettering::wrap(sentence, self.width(), LINE_CAP) {
                self.line(Role::Note, line, LINE_CAP);
            }
        }
        self.y += LINE_CAP;
    }

    /// Draws cells in rows, as large as lets them fit on the page and leaves so many millimetres below them.
    fn cells(&mut self, cells: &[Cell<'_>], below: f64) {
        let room = self.bottom() - self.y - below;
        let [low, high] = CELL_HEIGHT;
        let share = |columns: usize| {
            let rows = cells.len().div_ceil(columns).max(1) as f64;
            room / rows / (self.width() / columns as f64)
        };
        let columns = COLUMNS.into_iter().find(|columns| share(*columns) >= low).unwrap_or(MOST_COLUMNS);
        let width = self.width() / columns as f64;
        let size = Size::new(width, width * share(columns).clamp(low, high));
        for row in cells.chunks(columns) {
            if self.y + size.height > self.bottom() {
                self.begin_page();
            }
            for (column, cell) in row.iter().enumerate() {
                let origin = Point::new(MARGIN + size.width * column as f64, self.y);
                self.cell(cell, Rect::from_origin_size(origin, size).inset(-0.8));
            }
            self.y += size.height;
        }
        self.y += LINE_CAP;
    }

    fn cell(&mut self, cell: &Cell<'_>, frame: Rect) {
        if let Some(outline) = Outline::rectangle(frame) {
            self.add(Role::Form, Mark::Outline { outline, opening: None });
        }
        let sketch = Rect::new(frame.x1 - SKETCH_SHARE * frame.width(), frame.y0, frame.x1, frame.y1).inset(-1.5);
        let words = Rect::new(frame.x0, frame.y0, frame.x1 - SKETCH_SHARE * frame.width(), frame.y1).inset(-1.5);
        let (board, cutter) = (self.board, &self.settings.cutter);
        let lines = match cell {
            Cell::Cut { number, step, cut } => {
                if let Some(page) = self.pages.last_mut() {
                    card_sketch::draw_cut(page, sketch, board, cut, cutter);
                }
                cut_words(*number, step, cut)
            }
            Cell::Oval { oval, opening } => {
                if let Some(page) = self.pages.last_mut() {
                    card_sketch::draw_oval(page, sketch, board, &opening.back, oval);
                }
                oval_words(oval, &opening.title())
            }
        };
        self.words(&lines, words);
    }

    /// Writes the lines of a cell as large as fits, all numbers at the same size and below each other.
    fn words(&mut self, lines: &[CellLine], room: Rect) {
        let pitch = room.height() / lines.iter().map(|line| line.size).sum::<f64>();
        let widest = |texts: &mut dyn Iterator<Item = String>| {
            texts.map(|text| Lettering::width(&text, 1.0)).fold(1.0, f64::max)
        };
        let numbers = || lines.iter().filter(|line| !line.tag.is_empty());
        let tags = TAG_SHARE * room.width();
        let tag_cap = (0.3 * pitch).min(0.92 * tags / widest(&mut numbers().map(CellLine::tag)));
        let cap = (0.56 * pitch).min((room.width() - tags) / widest(&mut numbers().map(|line| line.content.clone())));
        let mut y = room.y0;
        for line in lines {
            let height = pitch * line.size;
            y += height;
            let baseline = y - 0.25 * height;
            if line.anew {
                let ground = Rect::new(room.x0 - 0.5, y - height + 0.3, room.x1 + 0.5, y - 0.3);
                let outlines: Vec<Outline> = Outline::rectangle(ground).into_iter().collect();
                self.add(Role::Picture, Mark::Area(Area { outlines, colour: ANEW }));
            }
            if line.tag.is_empty() {
                let cap = (0.56 * height).min(room.width() / Lettering::width(&line.content, 1.0).max(1.0));
                self.text(Role::Label, line.content.clone(), Point::new(room.x0, baseline), cap);
            } else {
                self.text(Role::Label, line.tag(), Point::new(room.x0, baseline), tag_cap);
                self.text(Role::Label, line.content.clone(), Point::new(room.x0 + tags, baseline), cap);
            }
        }
    }
}

/// A line in a cell.
struct CellLine {
    /// What the number is, in small letters.
    tag: &'static str,
    content: String,
    anew: bool,
    /// Height as a multiple of that of a plain number.
    size: f64,
}

impl CellLine {
    /// Returns what the number is, with a mark if it is set anew.
    fn tag(&self) -> String {
        if self.anew { format!("> {}", self.tag) } else { self.tag.to_owned() }
    }

    fn number(tag: &'static str, content: String, anew: bool) -> Self {
        Self { tag, content, anew, size: 1.0 }
    }

    /// A number of a scale, or one that is marked with a pencil.
    fn place([scale, pencil]: [&'static str; 2], place: &Place, anew: bool) -> Self {
        let tag = if place.is_pencil() { pencil } else { scale };
        Self::number(tag, number(place.setting()), anew)
    }

    fn words(content: String) -> Self {
        Self { tag: "", content, anew: false, size: 0.62 }
    }
}

fn number(setting: &Setting) -> String {
    format!("{} {}", setting.reading.text, setting.reading.unit)
}

fn cut_words(step_number: usize, step: &Step, cut: &Cut) -> Vec<CellLine> {
    let mut lines = vec![CellLine::words(format!("{step_number}   opening {}, {}", cut.opening_words(), cut.name))];
    let up = if cut.facing == Facing::Up { ", face UP" } else { "" };
    let edge = format!("{}{up}", cut.edge.name());
    let [sets_near, sets_far] = step.sets_stops();
    match &cut.course {
        Course::Square { guide, ends } => {
            lines.push(CellLine::number("edge", edge, step.lays()));
            if guide.is_pencil() {
                lines.push(CellLine::number("guide", "off".to_owned(), step.sets_guide()));
                lines.push(CellLine::number("pencil line", number(guide.setting()), false));
            } else {
                lines.push(CellLine::number("guide", number(guide.setting()), step.sets_guide()));
            }
            match ends {
                Ends::Stops { near, far, .. } => {
                    lines.push(CellLine::place(["far stop", "far: no stop"], far, sets_far));
                    lines.push(CellLine::place(["near stop", "near: no stop"], near, sets_near));
                }
                Ends::Rail { near, far } => {
                    lines.push(CellLine::number("far end at", number(far), false));
                    lines.push(CellLine::number("near end at", number(near), false));
                }
            }
        }
        Course::Oblique { angle_deg, marks: [first, last], .. } => {
            let mark = |[left, top]: &[Setting; 2]| format!("{} / {}", left.reading.text, top.reading.text);
            lines.push(CellLine::number("guide, stops", "off".to_owned(), step.sets_guide()));
            lines.push(CellLine::number("pencil line", format!("{angle_deg:.1}°"), step.lays()));
            lines.push(CellLine::number("from", mark(first), false));
            lines.push(CellLine::number("to", mark(last), false));
            lines.push(CellLine::words("from the left / top edge".to_owned()));
        }
    }
    lines
}

fn oval_words(oval: &Oval, title: &str) -> Vec<CellLine> {
    let [left, top] = &oval.centre;
    let mut lines = vec![
        CellLine::words(format!("{title}, oval cutter")),
        CellLine::number("centre, left", number(left), false),
        CellLine::number("centre, top", number(top), false),
    ];
    if oval.is_circle() {
        lines.push(CellLine::number("diameter", number(&oval.long), false));
    } else {
        lines.push(CellLine::number("long axis", number(&oval.long), false));
        lines.push(CellLine::number("short axis", number(&oval.short), false));
        lines.push(CellLine::number("difference", number(&oval.difference), false));
    }
    lines
}
