//! Which defaults give way to what a job says: those that would say the same thing in another way, or contradict it.

use crate::job::node::SourceNode;

/// Keys that settle all four borders.
const SETTLERS: &[&str] = &["equal", "mat_area", "total_area", "mat_share"];
/// Keys that are the widths of borders.
const WIDTHS: &[&str] = &["all", "sides", "left", "right", "top", "bottom"];
/// Keys that share the height between the top and the bottom border.
const WEIGHTS: &[&str] = &["bottom_extra", "bottom_ratio", "optical_centre", "top_as_sides"];
/// Keys for how an opening differs from the art.
pub(super) const REACH: &[&str] = &["overlap", "overlap_total", "margin", "margin_total"];
/// Keys from which the size of an opening follows.
const OPENING_SIZE: &[&str] = &["size", "ratio", "art"];
/// Shapes that say how large they are.
const WITH_SIZE: &[&str] = &["regular_polygon", "polygon", "path", "svg"];
/// Keys for the angle of a bevel.
const ANGLES: &[&str] = &["angle", "angle_from_face", "angle_from_upright"];
/// Keys of the job from which the size of the mat follows.
const OUTER: &[&str] = &["outer", "standard"];

/// In a table, if the job gives one of the first keys, the defaults of the second give way, unless the job gives them too.
const RIVALS: &[(&str, &[&str], &[&str])] = &[
    ("border", SETTLERS, SETTLERS),
    ("border", SETTLERS, WIDTHS),
    ("border", SETTLERS, WEIGHTS),
    ("border", WIDTHS, SETTLERS),
    ("border", &["all"], WIDTHS),
    ("border", &["all", "top"], &["optical_centre", "top_as_sides"]),
    ("border", &["sides"], &["left", "right"]),
    ("border", &["bottom"], WEIGHTS),
    ("border", WEIGHTS, SETTLERS),
    ("border", WEIGHTS, WEIGHTS),
    ("border", WEIGHTS, &["bottom"]),
    ("border", &["optical_centre", "top_as_sides"], &["top"]),
    ("opening", REACH, REACH),
    ("opening", OPENING_SIZE, OPENING_SIZE),
    ("bevel", ANGLES, ANGLES),
    ("arrangement", &["gap"], &["column_gap", "row_gap"]),
    ("arrangement", &["rows", "columns"], &["ring"]),
    ("arrangement", &["ring"], &["rows", "columns"]),
    ("arrangement", &["sight_line"], &["align"]),
    ("arrangement", &["align"], &["sight_line"]),
    ("layer", &["opening"], &["reveal", "reveal_measured"]),
];

/// Takes the defaults out of a table that give way to what the job has in it; `key` is that of the table, empty for the job.
pub(super) fn give_way(base: &mut SourceNode<'_>, own: &SourceNode<'_>, key: &str) {
    for (_, given, dropped) in RIVALS.iter().filter(|(table, ..)| *table == key) {
        if given.iter().any(|given| own.get(given).is_some()) {
            dropped.iter().filter(|dropped| own.get(dropped).is_none()).for_each(|key| drop(base.take(key)));
        }
    }
    let shape = own.get("shape").filter(|_| key == "opening");
    if shape.is_some_and(|shape| WITH_SIZE.iter().any(|key| shape.get(key).is_some())) {
        ["size", "ratio"].iter().for_each(|key| drop(base.take(key)));
    }
    if key.is_empty() {
        give_way_in_job(base, own);
    }
}

/// The size of the mat, its borders and its openings: two of them settle the third.
fn give_way_in_job(base: &mut SourceNode<'_>, own: &SourceNode<'_>) {
    let frame = own.get("frame");
    let rabbet = frame.is_some_and(|frame| !frame.is_table() || frame.get("rabbet").is_some());
    let mat_sized = rabbet || OUTER.iter().any(|key| own.get(key).is_some());
    let opening_sized = own.get("opening").is_some_and(|openings| {
        openings.items().iter().any(|opening| ["size", "art"].iter().any(|key| opening.get(key).is_some()))
    });
    let border_sized = own
        .get("border")
        .is_some_and(|border| !border.is_table() || SETTLERS.iter().chain(WIDTHS).any(|key| border.get(key).is_some()));
    if mat_sized || (border_sized && opening_sized) {
        OUTER.iter().filter(|key| own.get(key).is_none()).for_each(|key| drop(base.take(key)));
        drop_in(base, "frame", &["rabbet"]);
    }
    if own.get("outer").is_some() {
        // The mat has the size that the job says, whatever room that leaves in the frame.
        drop_in(base, "frame", &["clearance"]);
    }
    if mat_sized && opening_sized {
        if base.get("border").is_some_and(|border| !border.is_table()) {
            drop(base.take("border"));
        }
        drop_in(base, "border", WIDTHS);
        drop_in(base, "border", SETTLERS);
    }
    if let (Some(own), Some(shop)) = (own.get("unit"), base.get("unit"))
        && own.text() != shop.text()
    {
        // Sixteenths are not parts of a millimetre.
        drop(base.take("ruler_parts"));
    }
}

fn drop_in(base: &mut SourceNode<'_>, table: &str, keys: &[&str]) {
    if let Some(table) = base.get_mut(table) {
        keys.iter().for_each(|key| drop(table.take(key)));
    }
}
