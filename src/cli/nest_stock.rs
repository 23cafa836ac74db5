//! The sheets on which `draw --nest` lays mats: those of a stock, of a size, or as large as the bed of the machine.

use kurbo::{Rect, Size};

use crate::job::{Measure, SizeMeasure};
use crate::length::{Ratio, Ruler, Unit, exact_mm};
use crate::sheets::{Shelf, Stock, WrittenSheet};

use super::args::DrawArgs;
use super::exit::Exit;
use super::machine_profiles::ChosenMachine;
use super::sheets_input::{read_stock, report_stock, trim_of};
use super::text_file::TextFile;

/// The sheets that can be used.
pub(super) struct NestStock {
    /// The stock as its file has it, or a single size of sheet.
    stock: Stock,
    /// The file of the stock, for reports.
    pub(super) file: Option<TextFile>,
    /// What the user must know of where the sheets come from.
    pub(super) note: Option<String>,
}

/// The stock worked out.
pub(super) struct ResolvedStock {
    pub(super) shelf: Shelf,
    /// What is trimmed off sheets that the stock does not list.
    pub(super) trim: Ratio,
    pub(super) ruler: Ruler,
}

impl NestStock {
    /// Reads the stock, or takes the size that is given, or that of the beds of the machines.
    pub(super) fn read(args: &DrawArgs, machines: &[ChosenMachine]) -> Result<Self, (String, Exit)> {
        if let Some(path) = &args.nest.stock {
            // What is wrong has been printed.
            let (stock, file) = read_stock(path).map_err(|()| (String::new(), Exit::JobWrong))?;
            return Ok(Self { stock, file: Some(file), note: None });
        }
        if let Some(size) = args.nest.sheet {
            return Ok(Self { stock: of_size(size), file: None, note: None });
        }
        let with_bed: Vec<&ChosenMachine> = machines.iter().filter(|chosen| chosen.machine.bed.is_some()).collect();
        let names = || with_bed.iter().map(|chosen| chosen.machine.name.as_str()).collect::<Vec<_>>().join(" and ");
        let mut largest: Option<Size> = None;
        for chosen in &with_bed {
            let Some(own) = chosen.machine.largest_sheet() else {
                let name = &chosen.machine.name;
                let message = format!(
                    "the bed of {name} has no room for a sheet beside its offset and what its strokes need; check bed and origin of the profile"
                );
                return Err((message, Exit::JobWrong));
            };
            largest = Some(largest.map_or(own, |all| Size::new(all.width.min(own.width), all.height.min(own.height))));
        }
        let Some(size) = largest else {
            let message = "--nest needs the size of the sheets: add --sheet with a size such as \"32 x 40 in\", --stock with a file, \
                           or --machine with a profile that has a bed";
            return Err((message.to_owned(), Exit::Usage));
        };
        let note = format!(
            "the sheets are as large as the bed of {} allows: {} × {}; use --sheet or --stock for others",
            names(),
            exact_mm(size.width),
            exact_mm(size.height)
        );
        Ok(Self { stock: of_size(size), file: None, note: Some(note) })
    }

    /// Works the stock out with the rules of the command line; reports what is wrong with it.
    pub(super) fn resolve(&self, args: &DrawArgs, ruler: Ruler) -> Result<ResolvedStock, (String, Exit)> {
        let stock = args.nest.rules.applied_to(&self.stock, ruler.unit());
        let shelf = stock.resolve(ruler);
        match (report_stock(self.file.as_ref(), &shelf.problems), shelf.value) {
            (Exit::Good, Some(shelf)) => Ok(ResolvedStock { shelf, trim: trim_of(&stock), ruler }),
            (exit, _) => Err((String::new(), exit)),
        }
    }
}

fn of_size(size: Size) -> Stock {
    let sheet = WrittenSheet {
        board: None,
        size: SizeMeasure::Pair([Measure::Number(size.width), Measure::Number(size.height)]),
        price: None,
        on_hand: None,
        trim: None,
        turnable: true,
    };
    Stock { unit: Some(Unit::Millimetre), sheet: vec![sheet], ..Stock::default() }
}

/// Returns the part of a sheet that every machine reaches, seen from the face.
pub(super) fn reached(machines: &[ChosenMachine], sheet: Size) -> Option<Rect> {
    machines.iter().try_fold(sheet.to_rect(), |all, chosen| Some(all.intersect(chosen.machine.usable_area(sheet)?)))
}
