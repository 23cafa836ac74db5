//! Places on the shelf of a stock: what is wrong with them, and which one a new offcut goes to.

use super::order::exact_size;
use super::{Stock, WrittenOffcut, WrittenShelf};
use crate::job::{Scope, SizeMeasure};
use crate::length::{Ratio, Unit};
use crate::problem::{KeyPath, Problem};
use crate::tolerance::SAME_LENGTH_MM;

impl Stock {
    /// Returns the name of the place for a new offcut: of those that take its size and have room, the smallest, and of equal ones
    /// the first; `None` if there is none.
    #[must_use]
    pub fn place_for(&self, offcut: &WrittenOffcut) -> Option<&str> {
        let size = sorted(&offcut.size, self.unit)?;
        let area = |shelf: &&WrittenShelf| match shelf.size.as_ref().map(|size| sorted(size, self.unit)) {
            // A place without a size takes what no other does.
            None => f64::INFINITY,
            Some(size) => size.map_or(f64::INFINITY, |[short, long]| short * long),
        };
        let takes = |shelf: &&WrittenShelf| match &shelf.size {
            None => true,
            Some(largest) => sorted(largest, self.unit).is_some_and(|largest| fits(size, largest)),
        };
        let has_room =
            |shelf: &&WrittenShelf| shelf.holds.is_none_or(|holds| self.lying_at(&shelf.name) < u64::from(holds));
        let fitting = self.shelf.iter().filter(takes).filter(has_room);
        fitting.min_by(|a, b| area(a).total_cmp(&area(b))).map(|shelf| shelf.name.as_str())
    }

    /// Returns how many offcuts lie at a place.
    #[must_use]
    pub fn lying_at(&self, place: &str) -> u64 {
        self.offcut.iter().filter(|offcut| offcut.place == place).map(|offcut| u64::from(offcut.quantity)).sum()
    }

    /// Returns what is wrong with the places on the shelf.
    pub(super) fn check_shelves(&self, scope: &Scope) -> Vec<Problem> {
        let mut problems = Vec::new();
        for (index, shelf) in self.shelf.iter().enumerate() {
            let place = scope.key("shelf").index(index);
            let name = place.key("name");
            problems.extend(name.bad_name(&shelf.name));
            if shelf.name.trim().is_empty() {
                problems.push(name.error(
                    "missing",
                    "a place on the shelf has no name",
                    "give it one, such as `rack B`",
                ));
            } else if self.shelf.iter().take(index).any(|other| other.name == shelf.name) {
                let message = format!("there is another place called `{}`", shelf.name);
                problems.push(name.error("contradiction", message, "give every place a name of its own"));
            }
            problems.extend(shelf.size.as_ref().and_then(|size| exact_size(size, self.unit, &place.key("size")).err()));
            if shelf.holds == Some(0) {
                let message = "a place that holds nothing takes nothing";
                problems.push(place.key("holds").error(
                    "quantity",
                    message,
                    "leave `holds` out if it takes any number",
                ));
            }
        }
        problems
    }
}

/// Returns the shorter and the longer side of a size in millimetres; `None` of what is no size.
fn sorted(size: &SizeMeasure, unit: Option<Unit>) -> Option<[f64; 2]> {
    let [width, height] = size.resolve_exact(unit, &KeyPath::root()).ok()?.map(Ratio::to_f64);
    Some([width.min(height), width.max(height)])
}

/// Tells whether a piece lies within a place, both with their shorter side first.
fn fits([short, long]: [f64; 2], [shorter, longer]: [f64; 2]) -> bool {
    short <= shorter + SAME_LENGTH_MM && long <= longer + SAME_LENGTH_MM
}

#[cfg(test)]
mod tests {
    #![allow(clippy::unwrap_used, reason = "a test may fail by panic")]

    use crate::job::Syntax;
    use crate::sheets::Stock;

    #[test]
    fn an_offcut_goes_to_the_smallest_place_that_has_room() {
        let stock = |lying: &str| {
            let text = format!(
                "unit = 'in'\n[[shelf]]\nname = 'floor'\n[[shelf]]\nname = 'rack'\nsize = [20, 32]\n\
                 [[shelf]]\nname = 'drawer'\nsize = '16 x 20 in'\nholds = 2\n{lying}[[offcut]]\nsize = [20, 16]\n"
            );
            Stock::read(&text, Syntax::Toml).unwrap()
        };
        let place = |stock: &Stock, size: &str| {
            let offcut = Stock::read(&format!("unit = 'in'\n[[offcut]]\nsize = {size}"), Syntax::Toml).unwrap();
            stock.place_for(&offcut.offcut[0]).map(str::to_owned)
        };
        let empty = stock("");
        for (size, name) in [
            ("[20, 16]", "drawer"),
            ("[8, 10]", "drawer"),
            ("[21, 16]", "rack"),
            ("[32, 20]", "rack"),
            ("[33, 5]", "floor"),
        ] {
            assert_eq!(place(&empty, size).as_deref(), Some(name), "{size}");
        }
        let full = stock("[[offcut]]\nsize = [8, 10]\nplace = 'drawer'\nquantity = 2\n");
        assert_eq!(place(&full, "[8, 10]").as_deref(), Some("rack"));
        assert_eq!(place(&Stock::default(), "[8, 10]"), None);
    }
}
