//! From mats and stock to sheets on which the boards of the mats lie.

use kurbo::{Point, Rect, Size, Vec2};

use super::places::{Queues, Spot, Unplaced};
use super::sheet::NestedSheet;
use crate::checked::Checked;
use crate::fault::Certain;
use crate::length::{Ratio, Ruler};
use crate::mat::Mat;
use crate::sheets::cutting::{Effort, PlanPart};
use crate::sheets::{Blank, Pattern, PreparedRequest, Request, SheetPlan, Shelf, ShelfEntry, Watch};
use crate::tolerance::SAME_LENGTH_MM;

/// Says which part of a sheet of a size can be used, seen from the face, in millimetres; `None` for nothing of it.
pub type UsableArea<'a> = dyn Fn(Size) -> Option<Rect> + 'a;

/// Mats that are to be laid on sheets beside each other, as many of each as its quantity says.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct NestRequest<'m> {
    /// Name of the order.
    pub name: String,
    /// The mats.
    pub mats: &'m [Mat],
    /// How lengths are shown.
    pub ruler: Ruler,
    /// The stock.
    pub shelf: Shelf,
    /// What is trimmed off the edges of sheets as they are commonly sold, which stand in where the stock has none of a board.
    pub trim: Ratio,
    /// Whether boards may be turned at all.
    pub turnable: bool,
}

/// A request that is ready to be planned.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct PreparedNest<'m> {
    pub(super) mats: &'m [Mat],
    /// The blank of each board of each mat.
    pub(super) blanks: Vec<(usize, usize, Blank)>,
    /// The planning of the sheets.
    pub sheets: PreparedRequest,
    /// What can be used of each entry of the stock.
    pub(super) usable: Vec<Usable>,
}

/// What can be used of a sheet.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Usable {
    /// The whole sheet.
    sheet: Size,
    /// What is planned on, and whether it is less than the sheet without its trimmed edges.
    pub(super) area: Rect,
    is_less: bool,
}

/// Mats laid on sheets.
#[derive(Debug, Clone, PartialEq)]
#[non_exhaustive]
pub struct Nest<'m> {
    /// The sheets, those that are alike together, in the order of their numbers.
    pub sheets: Vec<NestedSheet<'m>>,
    /// The boards that found no place.
    pub left_over: Vec<Unplaced>,
    /// The plan that the places come from.
    pub plan: SheetPlan,
}

impl<'m> NestRequest<'m> {
    /// Asks for mats to be laid on the sheets of a stock, turned where that helps, with the ruler of the first mat.
    #[must_use]
    pub fn new(name: &str, mats: &'m [Mat], shelf: Shelf) -> Self {
        let ruler = mats.first().map_or(Ruler::usual(crate::length::Unit::Millimetre), |mat| mat.ruler);
        Self { name: name.to_owned(), mats, ruler, shelf, trim: Ratio::ZERO, turnable: true }
    }

    /// Brings all lengths to one grid and sorts boards and stock by what they are made of.
    ///
    /// Problems have their place in the stock file. See also [`PreparedNest::misfits`].
    pub fn prepare(self, area: &UsableArea<'_>) -> Checked<PreparedNest<'m>> {
        let mut blanks = Vec::new();
        for (place, mat) in self.mats.iter().enumerate() {
            let of_mat = Blank::of_mat(mat, mat.quantity).into_iter().enumerate();
            blanks.extend(of_mat.map(|(layer, blank)| (place, layer, blank)));
        }
        let mut request = Request {
            name: self.name,
            ruler: self.ruler,
            blanks: blanks.iter().map(|(_, _, blank)| blank.clone()).collect(),
            shelf: self.shelf,
            fallout: Vec::new(),
            trim: self.trim,
            turnable: self.turnable,
        };
        let mut problems = Vec::new();
        request.add_built_in(&mut problems);
        let usable = request.shelf.entries.iter_mut().map(|entry| Usable::of(entry, area)).collect();
        let prepared = request.prepare();
        problems.extend(prepared.problems);
        let nest = |sheets| PreparedNest { mats: self.mats, blanks, sheets, usable };
        Checked { value: prepared.value.map(nest), problems }
    }
}

impl Usable {
    /// Finds out what can be used of a sheet; one of which it is less is planned as a smaller one without trim.
    fn of(entry: &mut ShelfEntry, area: &UsableArea<'_>) -> Self {
        let [width, height] = entry.size.map(Ratio::to_f64);
        let sheet = Size::new(width, height);
        let trimmed = sheet.to_rect().inset(-entry.trim.to_f64());
        let within = area(sheet).map(|area| area.intersect(trimmed)).unwrap_or(Rect::ZERO);
        let lost = [within.x0 - trimmed.x0, within.y0 - trimmed.y0, trimmed.x1 - within.x1, trimmed.y1 - within.y1];
        let is_less = lost.iter().any(|lost| *lost > SAME_LENGTH_MM);
        let area = if is_less { within } else { trimmed };
        if is_less {
            // Where nothing can be used, a millimetre of it holds no mat.
            let side = |length: f64| Ratio::near(length).filter(|side| !side.is_zero()).unwrap_or(Ratio::ONE);
            entry.size = [side(area.width()), side(area.height())];
            entry.trim = Ratio::ZERO;
        }
        Self { sheet, area, is_less }
    }
}

impl<'m> PreparedNest<'m> {
    /// Plans the sheets and lays the boards on them; `watch` may end the search, see [`PreparedRequest::plan`].
    #[must_use]
    pub fn plan(self, effort: &Effort, watch: &mut Watch<'_>) -> Nest<'m> {
        let Self { mats, blanks, sheets, usable } = self;
        let mut queues = Queues::new(mats, &blanks, &sheets);
        let plan = sheets.plan(effort, watch);
        let of = plan.boards.iter().flat_map(|board| &board.patterns).map(Pattern::copies).sum();
        let mut nested: Vec<NestedSheet<'m>> = Vec::new();
        let mut number = 1;
        for (board, pattern) in plan.patterns() {
            let usable = usable.get(pattern.entry).certain("area of this sheet");
            let copies = queues.fill(&places(&plan, pattern, usable), pattern.copies());
            for alike in copies.chunk_by(|a, b| a == b) {
                let boards = alike.first().certain("boards of this sheet");
                let numbers = number..=number + alike.len() - 1;
                number += alike.len();
                let order = plan.prepared.name.clone();
                let (board, boards) = (board.board.clone(), boards.clone());
                nested.push(NestedSheet { order, numbers, of, board, size: usable.sheet, boards });
            }
        }
        let left = plan.boards.iter().flat_map(|board| &board.left_over);
        let left_over = queues.rest(&left.map(|left| (left.item, left.reason)).collect::<Vec<_>>());
        Nest { sheets: nested, left_over, plan }
    }
}

/// Lists the places of a pattern in the order in which they are cut.
fn places(plan: &SheetPlan, pattern: &Pattern, usable: &Usable) -> Vec<Spot> {
    let grid = plan.prepared.grid;
    let origin =
        if usable.is_less { usable.area.origin() } else { Point::new(grid.mm(pattern.trim), grid.mm(pattern.trim)) };
    let mut places = Vec::new();
    pattern.root.walk(&mut |node| {
        if let PlanPart::Piece { piece, turned } = node.part {
            places.push((piece, origin + Vec2::new(grid.mm(node.origin.0), grid.mm(node.origin.1)), turned));
        }
    });
    places
}
