//! The lists of a bench card: what is marked before the first cut, what is checked, and what is measured on the first mat.

use super::card_cell::rest;
use super::{BoardSettings, Cut, CutMethod, DistanceSetting, Ends, Facing, Setting, Settings};
use crate::page::{ColumnWidth, Flow, PageTable, TableRow};

/// Lines to write blade changes on.
const BLADE_CHANGES: usize = 2;

/// Lists every pencil line and mark of a board, each with words before it; nothing where there is none to make.
pub(super) fn marking_out(before: &str, board: &BoardSettings, flow: &mut Flow) {
    let mut rows: Vec<TableRow> = board.cuts().flat_map(rows_of_cut).collect();
    for opening in &board.openings {
        let Some(oval) = &opening.oval else { continue };
        let title = opening.title();
        let [left, top] = &oval.centre;
        rows.push(point(format!("{title}, centre, from the left / top edge"), [left, top]));
        if !oval.is_circle() {
            let angle = format!("{:.1}°", oval.angle_deg);
            let what = format!("{title}, line of the long axis, anticlockwise from level");
            rows.push(TableRow::new(true, [what, angle, String::new()]));
        }
    }
    if rows.is_empty() {
        return;
    }
    name_rows(before, &mut rows);
    let columns = vec![ColumnWidth::Share(1.0), ColumnWidth::Number, ColumnWidth::BesideNumber];
    flow.named_table(
        "MARK OUT BEFORE STEP 1, with a pencil, on the back unless stated otherwise",
        &PageTable { columns, rows },
    );
}

/// Puts words before what each row is about.
fn name_rows(before: &str, rows: &mut [TableRow]) {
    for line in rows.iter_mut().filter_map(|row| row.cells.first_mut()?.first_mut()) {
        line.insert_str(0, before);
    }
}

fn row(what: String, setting: &Setting) -> TableRow {
    TableRow::new(true, [what, format!("{} {}", setting.reading.text, setting.reading.unit), rest(setting)])
}

/// A row for a point of the board.
fn point(what: String, [left, top]: [&Setting; 2]) -> TableRow {
    let rests = [left, top].map(rest);
    let rest = if rests.iter().all(String::is_empty) { String::new() } else { rests.join(" / ") };
    TableRow::new(true, [what, format!("{} / {} {}", left.reading.text, top.reading.text, top.reading.unit), rest])
}

/// Lists the line and the end marks of a cut that the scales do not reach.
fn rows_of_cut(cut: &Cut) -> Vec<TableRow> {
    let inside = if cut.facing == Facing::Up { " (on the face, inside the opening only)" } else { "" };
    let title = format!("opening {}, {}{inside}", cut.opening_words(), cut.name);
    let edge = cut.edge.name();
    match &cut.course {
        CutMethod::Square { guide, ends } => {
            let mut rows = Vec::new();
            if let DistanceSetting::Pencil(line) = guide {
                rows.push(row(format!("{title}: line, from the {edge} edge"), line));
            }
            let ends = match ends {
                Ends::Stops { near, far, far_from_near } => {
                    let end = if *far_from_near { "near" } else { "far" };
                    vec![("near", "near", near), ("far", end, far)]
                }
                Ends::Rail { .. } => Vec::new(),
            };
            rows.extend(ends.into_iter().filter_map(|(name, from, place)| match place {
                DistanceSetting::Pencil(mark) => Some(row(
                    format!("{title}: where the head stops at the {name} end, from the edge at the {from} end"),
                    mark,
                )),
                DistanceSetting::Scale(_) => None,
            }));
            rows
        }
        CutMethod::Oblique { marks, .. } => {
            let both = marks.iter().zip(["first", "second"]);
            let points = both.map(|([left, top], which)| {
                point(format!("{title}: {which} end of the line, from the left / top edge"), [left, top])
            });
            points.collect()
        }
    }
}

/// Lists what is done before the first cut, and keeps the count of the blade.
pub(super) fn before_the_first_cut(settings: &Settings, board: &BoardSettings, flow: &mut Flow) {
    let slip = settings.ruler.show(settings.cutter.slip_sheet);
    let up =
        if board.openings.iter().any(|opening| opening.faces_up()) { "; a clean one if the face lies up" } else { "" };
    let cuts = board.cuts().count() * board.passes.len().max(1);
    let all = cuts as u64 * u64::from(settings.mats);
    let rows = [
        format!("slip sheet of {slip} under the whole board, without ridges{up}"),
        "test cut on a piece of this board: cut through everywhere, with a line in the slip sheet that a fingernail just feels"
            .to_owned(),
        format!("cuts on this blade before: ________ and on this board: {cuts} a mat, {all} in all"),
    ];
    let mut rows: Vec<TableRow> = rows.into_iter().map(|words| TableRow::new(true, [words])).collect();
    rows.extend(
        (0..BLADE_CHANGES)
            .map(|_| TableRow::new(true, ["blade changed, before mat ______ step ______ on ____________".to_owned()])),
    );
    flow.named_table("BEFORE THE FIRST CUT", &PageTable { columns: vec![ColumnWidth::Share(1.0)], rows });
}

/// Lists the sizes to be measured on the first mat, with room to write them down.
pub(super) fn first_mat(before: &str, settings: &Settings, board: &BoardSettings, flow: &mut Flow) {
    let ruler = settings.ruler;
    let mut rows = Vec::new();
    for opening in &board.openings {
        for (name, length) in ["width", "height"].into_iter().zip(opening.comes_out()) {
            let Some(length) = length else { continue };
            let reading = ruler.read(length);
            let rest = if reading.rest.abs() < crate::tolerance::READING_MM {
                String::new()
            } else {
                format!("{:+.2}", reading.rest)
            };
            let number = format!("{} {}", reading.text, reading.unit);
            rows.push(TableRow::new(
                true,
                [format!("{}, {name}", opening.title()), number, rest, "measured: ____________".to_owned()],
            ));
        }
    }
    if rows.is_empty() {
        return;
    }
    name_rows(before, &mut rows);
    let columns = vec![ColumnWidth::Share(1.0), ColumnWidth::Number, ColumnWidth::BesideNumber, ColumnWidth::Fitting];
    flow.named_table("MEASURE ON THE FIRST MAT, before the next one is cut", &PageTable { columns, rows });
}
