//! The bench card: what a framer has beside the cutter, in numbers that are read at arm's length, with a sketch for each step.

use kurbo::{Point, Rect, Size};

use super::card_cell::CardCell;
use super::whole_order_words::{blank_name, blank_words};
use super::{BoardSettings, Settings, WholeOrder, card_lists};
use crate::drawing::Drawing;
use crate::drawing::letter_height::TEXT;
use crate::fault::Certain;
use crate::page::{Flow, Form, LEADING, Page, Paragraph, RunningHead};

/// What the cards call themselves.
const VIEW: &str = "bench card";
/// Numbers of columns that are tried, the most first.
const COLUMNS: [usize; 3] = [3, 2, 1];
/// Space between cells in millimetres.
const GAP: f64 = 1.6;
/// More mats than this are tallied in a line of strokes, and not box by box.
const MOST_BOXES: u32 = 60;

/// Draws the cards of a mat, board after board, on pages of a size in millimetres.
///
/// Each board begins a page and takes as many as it needs: no number that is set or measured is smaller than 14 points, and no
/// word smaller than 9. What is set anew has a `>` before it and a ground, the opening that is cut is filled in its sketch, and
/// nothing depends on colour.
#[must_use]
pub fn bench_cards(settings: &Settings, page: Size) -> Vec<Drawing> {
    let mut pages = Vec::new();
    for (index, board) in settings.boards.iter().enumerate() {
        let mut flow = begin(settings, board, page);
        flow.write_all(&words(settings.preamble("The small number behind a large one")));
        flow.write(&Paragraph::Ruled("THE BOARD"));
        flow.write_all(&words(settings.about_board(board)));
        flow.gap(GAP);
        draw_cells(&[CardCell::of_blank(board)], &mut flow);
        card_lists::marking_out("", board, &mut flow);
        card_lists::before_the_first_cut(settings, board, &mut flow);
        flow.write(&Paragraph::Ruled("STEPS"));
        flow.gap(GAP);
        draw_cells(&cells(settings, index, board), &mut flow);
        card_lists::first_mat("", settings, board, &mut flow);
        let mut below = settings.beside_sizes(board);
        if index + 1 == settings.boards.len() {
            below.extend(settings.about_order());
        }
        write_notes(below, &mut flow);
        pages.extend(flow.into_pages());
    }
    let count = pages.len();
    pages.into_iter().enumerate().map(|(index, page)| page.finish(index + 1, count)).collect()
}

/// Writes what else is to be known; nothing where there is nothing.
fn write_notes(lines: Vec<String>, flow: &mut Flow) {
    if !lines.is_empty() {
        flow.write_all(&[vec![Paragraph::Ruled("NOTES")], words(lines)].concat());
    }
}

fn words(lines: Vec<String>) -> Vec<Paragraph> {
    lines.into_iter().map(|line| Paragraph::Item(line.into())).collect()
}

/// Begins the pages of a board: its name, how many are made, a box for each of them, and the cautions.
fn begin(settings: &Settings, board: &BoardSettings, page: Size) -> Flow {
    let form = Form { title: format!("{}: {VIEW}", settings.name), small_print: TEXT, ..Form::new("", VIEW, page) };
    let make = format!("MAKE {}", settings.mats);
    let [first, ..] = settings.cutter.cautions();
    let head = RunningHead { name: settings.name.clone(), beside: make.clone(), small_print: first.to_owned() };
    let mut first_page = Page::new(&form);
    first_page.heading(&settings.name, &make);
    first_page.closing(&[], &settings.cutter.cautions().join(" "));
    let column = first_page.room();
    let mut flow = Flow::beside(form, head, first_page, column);
    flow.write(&Paragraph::Heading(settings.board_title(board)));
    tally(settings.mats, &mut flow);
    flow
}

/// Draws the cards of a whole order: each part begins a page with its blanks, and every step names the blank that is next.
#[must_use]
pub fn order_cards(order: &WholeOrder, page: Size) -> Vec<Drawing> {
    let Some(first) = order.mats.first() else { return Vec::new() };
    let form = Form { title: format!("{}: {VIEW}", order.title()), small_print: TEXT, ..Form::new("", VIEW, page) };
    let small_print = first.cutter.cautions().join(" ");
    let head = RunningHead { name: order.title(), beside: "together".to_owned(), small_print };
    let mut flow = Flow::new(form, head);
    flow.write_all(&words(first.preamble("The small number behind a large one")));
    let mut number = 0;
    for (index, part) in order.parts.iter().enumerate() {
        if index > 0 {
            flow.new_page();
        }
        let introduction = order.introduction(part);
        let (title, rest) = introduction.split_first().map_or((String::new(), &[][..]), |(t, rest)| (t.clone(), rest));
        flow.write(&Paragraph::Heading(title));
        flow.write_all(&words(rest.to_vec()));
        let boards: Vec<(&Settings, &BoardSettings)> = part
            .blanks
            .iter()
            .map(|(mat, board)| {
                let settings = order.mats.get(*mat).certain("mat of this number");
                (settings, settings.boards.get(*board).certain("board of this number"))
            })
            .collect();
        for (settings, board) in &boards {
            card_lists::marking_out(&format!("{}: ", blank_name(settings, board)), board, &mut flow);
        }
        flow.write(&Paragraph::Ruled("STEPS"));
        flow.gap(GAP);
        let cells: Vec<CardCell<'_>> = part
            .steps
            .iter()
            .map(|step| {
                number += 1;
                let settings = order.settings(step).certain("mat of this step");
                let board = settings.boards.get(step.step.board).certain("board of this step");
                let cut = order.cut(step).certain("cut of this step");
                let cell = CardCell::of_cut(number, &step.step, cut, board, &settings.cutter);
                cell.of_blank_named(&blank_words(settings, board))
            })
            .collect();
        draw_cells(&cells, &mut flow);
        let ovals: Vec<CardCell<'_>> = boards
            .iter()
            .flat_map(|(settings, board)| {
                let name = blank_words(settings, board);
                board
                    .openings
                    .iter()
                    .filter_map(move |opening| Some(CardCell::of_oval(opening, board)?.of_blank_named(&name)))
            })
            .collect();
        draw_cells(&ovals, &mut flow);
        for (settings, board) in &boards {
            card_lists::first_mat(&format!("{}: ", blank_name(settings, board)), settings, board, &mut flow);
        }
        let below = order.closing_words(part);
        write_notes(below, &mut flow);
    }
    flow.write_all(&words(order.about()));
    flow.finish()
}

/// Draws a box to tick for each mat, in fives.
fn tally(mats: u32, flow: &mut Flow) {
    if mats > MOST_BOXES {
        return flow.write(&Paragraph::Words(format!("done, in strokes of five (of {mats}): {}", "_".repeat(60))));
    }
    let width = flow.room_width();
    let mut x = f64::INFINITY;
    let mut row = Rect::ZERO;
    for mat in 0..mats {
        if x + Page::BOX > width {
            row = flow.take(LEADING * TEXT + 1.0);
            x = 0.0;
        }
        flow.page().tick_box(Point::new(row.x0 + x, row.y1 - 0.8));
        x += Page::BOX + if mat % 5 == 4 { 2.0 } else { 0.0 };
    }
}

fn cells<'s>(settings: &'s Settings, index: usize, board: &'s BoardSettings) -> Vec<CardCell<'s>> {
    let steps = settings.steps.iter().enumerate().filter(|(_, step)| step.board == index);
    let cuts = steps
        .map(|(at, step)| (at, step, settings.cut(step).certain("cut of this step")))
        .map(|(at, step, cut)| CardCell::of_cut(at + 1, step, cut, board, &settings.cutter));
    let ovals = board.openings.iter().filter_map(|opening| CardCell::of_oval(opening, board));
    cuts.chain(ovals).collect()
}

/// Draws cells in rows of as many as have room beside each other; all are equally wide, and those of a row equally high.
fn draw_cells(cells: &[CardCell<'_>], flow: &mut Flow) {
    let needed = cells.iter().map(CardCell::least_width).fold(0.0, f64::max);
    let width_of = |columns: usize| (flow.room_width() - GAP * (columns as f64 - 1.0)) / columns as f64;
    let columns = COLUMNS.into_iter().find(|columns| width_of(*columns) >= needed).unwrap_or(1).min(cells.len().max(1));
    let width = width_of(columns);
    for row in cells.chunks(columns) {
        let height = row.iter().map(|cell| cell.height(width)).fold(0.0, f64::max);
        let area = flow.take(height + GAP);
        for (column, cell) in row.iter().enumerate() {
            let corner = Point::new(area.x0 + (width + GAP) * column as f64, area.y0);
            cell.draw(Rect::from_origin_size(corner, Size::new(width, height)), flow.page());
        }
    }
}
