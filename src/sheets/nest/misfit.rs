//! Boards that are larger than all that can be used of any sheet.

use kurbo::Size;

use super::places::item_of;
use super::request::PreparedNest;
use crate::fault::Certain;
use crate::problem::{KeyPath, Problem};
use crate::sheets::{BoardTask, Item};

/// A way to lay a board on a sheet that it is too large for.
struct MisfitWay {
    /// What can be used of the sheet.
    room: Size,
    /// By how much it is too wide and too high, in millimetres.
    over: Size,
    turned: bool,
}

impl PreparedNest<'_> {
    /// Returns an error `nest-size` for every board that has room on no sheet of the stock, with the place of its mat.
    ///
    /// Such a board is left over whatever the plan. The error says by how much it is too large for the sheet on which least
    /// is missing, as it hangs and turned.
    #[must_use]
    pub fn misfits(&self) -> Vec<(usize, Problem)> {
        let problem = |(mat, layer, blank): &(usize, usize, crate::sheets::Blank)| {
            let task = self.sheets.boards.iter().find(|task| task.board.agrees(&blank.board))?;
            let item = self.sheets.items.get(item_of(blank, &self.sheets)?.0)?;
            let fits = |stock: &crate::sheets::cutting::StockSheet| {
                item.size.fits(stock.size) || (item.turnable && stock.turnable && item.size.turned().fits(stock.size))
            };
            if task.task.stock.iter().any(fits) {
                return None;
            }
            let board = self.mats.get(*mat)?.layers.get(*layer)?;
            let several = self.mats.get(*mat)?.layers.len() > 1;
            let what = if several { format!("its {} board", board.name) } else { "it".to_owned() };
            let [width, height] = blank.size.map(crate::length::Ratio::to_f64);
            Some((*mat, self.too_large(&what, Size::new(width, height), item, task)))
        };
        self.blanks.iter().filter_map(problem).collect()
    }

    fn too_large(&self, what: &str, size: Size, item: &Item, task: &BoardTask) -> Problem {
        let show = |size: Size| self.sheets.ruler.show_size(size.width, size.height);
        let ways = |turned: bool| self.ways(size, turned, task);
        let (size_words, board) = (show(size), task.board.describe());
        let help = "add a larger sheet to the stock, or make the mat on a larger machine";
        let error =
            |message: String| Problem::error("nest-size", KeyPath::root(), message, help).with_size("mat", size);
        let Some(upright) = nearest(ways(false)) else {
            return error(format!("{what} is {size_words}, and there is no sheet of {board} that can be used"));
        };
        let message = format!(
            "{what} is {size_words}, and a sheet of {board} has room for {}: {}",
            show(upright.room),
            self.describe(&upright)
        );
        let turned = nearest(ways(true)).filter(|_| item.turnable);
        let turned_over = turned.as_ref().map(|way| (way.room, way.over));
        let problem = match nearest(ways(true)) {
            _ if !item.turnable => error(format!("{message}; it may not be turned")),
            None => error(format!("{message}; there it may not be turned")),
            Some(turned) if turned.room == upright.room => {
                error(format!("{message}; turned by a quarter it is {}", self.describe(&turned)))
            }
            Some(turned) => error(format!(
                "{message}; turned by a quarter, where there is room for {}, it is {}",
                show(turned.room),
                self.describe(&turned)
            )),
        };
        let problem = problem
            .with_size("room", upright.room)
            .with_size("excess", upright.over)
            .with_mm("thickness", task.board.thickness.mm());
        match turned_over {
            Some((room, over)) => problem.with_size("turned_room", room).with_size("turned_excess", over),
            None => problem,
        }
    }

    /// Lists by how much a board is too large for each sheet.
    fn ways(&self, size: Size, turned: bool, task: &BoardTask) -> Vec<MisfitWay> {
        let size = if turned { Size::new(size.height, size.width) } else { size };
        let allowed = |entry: &usize| !turned || self.sheets.entry(*entry).is_some_and(|entry| entry.turnable);
        let allowed = task.entries.iter().filter(|entry| allowed(entry));
        let rooms = allowed.map(|entry| self.usable.get(*entry).certain("sheet of this entry").area.size());
        let over = |room: Size| Size::new((size.width - room.width).max(0.0), (size.height - room.height).max(0.0));
        rooms.filter(|room| room.area() > 0.0).map(|room| MisfitWay { room, over: over(room), turned }).collect()
    }

    /// Says by how much a board is too large: `3 in too wide and 1 in too high`, as the sheet lies.
    fn describe(&self, way: &MisfitWay) -> String {
        let ruler = self.sheets.ruler;
        let parts: Vec<String> = [(way.over.width, "too wide"), (way.over.height, "too high")]
            .into_iter()
            .filter(|(over, _)| *over > 0.0)
            .map(|(over, words)| format!("{} {words}", ruler.show(over)))
            .collect();
        debug_assert!(!parts.is_empty() || way.turned, "a board that fits is not a misfit");
        parts.join(" and ")
    }
}

/// Returns the way in which least is missing.
fn nearest(ways: Vec<MisfitWay>) -> Option<MisfitWay> {
    let missing = |way: &MisfitWay| way.over.width.max(way.over.height);
    ways.into_iter().min_by(|a, b| missing(a).total_cmp(&missing(b)))
}
