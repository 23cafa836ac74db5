//! Words that framers use for keys that are called otherwise here, with what to write.

use super::key_tables::KeyTables;

/// Other words, the place of the key that they stand for, and what to write.
///
/// An empty place means that the file is of another kind.
const OTHER_WORDS: &[(&[&str], &str, &str)] = &[
    (
        &["customer", "client", "order", "job", "reference", "ref"],
        "name",
        "put a name in `name`, and what the bench should know in `notes`, a list of texts",
    ),
    (&["title"], "name", "the title of a job is its `name`"),
    (
        &["date", "due", "due_date", "price", "deposit", "phone", "email", "address", "artist", "framer"],
        "notes",
        "put what the bench should know in `notes`, a text or a list of texts",
    ),
    (
        &["quantity", "qty", "count", "copies", "number", "stock", "in_stock"],
        "sheet.on_hand",
        "give the number of sheets as `on_hand`, a whole number",
    ),
    (
        &["grain", "grained", "directional", "rotate"],
        "sheet.turnable",
        "write turnable = false where a grain, a texture or a pattern runs one way",
    ),
    (&["cut_width", "blade_width", "saw"], "kerf", "the width that a cut destroys is `kerf`"),
    (&["remnant", "remnants", "scrap", "leftover"], "offcut", "a piece on hand is a table [[offcut]] with `size`"),
    (&["piece", "pieces", "item", "items"], "blank", "a piece that is wanted is a table [[blank]] with `size`"),
    (
        &["piece", "pieces", "item", "items"],
        "",
        "an order of blanks has tables [[blank]], and `backline sheets` reads it",
    ),
    (
        &["color", "colour"],
        "board",
        "the colour is that of the board: board = \"white\", or board = { name = \"rag\", colour = \"white\" }",
    ),
    (&["ply"], "board.plies", "write `plies`, a whole number such as 8"),
    (
        &["angle", "blade_angle", "bevel"],
        "bevel_angle",
        "give the lean of the blade from upright as `bevel_angle`, in degrees",
    ),
    (&["length", "rail_length"], "rail", "the length of the rail is `rail`"),
    (&["board", "ply", "plies"], "thickness", "give the measured `thickness` of the board"),
    (&["comment", "comments", "remarks"], "notes", "write `notes`, a text or a list of texts"),
    (
        &["matboard", "mount_board", "mountboard", "material", "stock", "ply", "plies", "thickness"],
        "board",
        "the board is `board`: a name such as \"4-ply\", or a table such as { name = \"warm white\", thickness = \"1.4 mm\" }",
    ),
    (
        &["width", "height"],
        "outer",
        "a width and a height go in one list: `outer = [16, 20]` for the mat, `art` or `size` in the opening",
    ),
    (&["width", "height"], "frame.rabbet", "a width and a height go in one list: frame = [16, 20]"),
    (
        &["width", "height", "diameter"],
        "opening.size",
        "a width and a height go in one list: size = [8, 10]; a circle has size = 8",
    ),
    (&["width", "height"], "blank.size", "a width and a height go in one list: size = [8, 10]"),
    (&["width", "height"], "sheet.size", "a width and a height go in one list: size = [32, 40]"),
    (
        &["mat", "mat_size", "outside", "outer_size", "overall", "blank_size"],
        "outer",
        "the size of the mat is `outer`, such as outer = [16, 20]",
    ),
    (&["window", "windows", "aperture", "cutout"], "opening", "a window is an `opening`, with `art` or `size` in it"),
    (
        &["image", "print", "artwork", "photo", "picture_size", "art_size", "image_size"],
        "opening.art",
        "the size of the work is `art` in the opening, such as opening.art = [8, 10]; its picture file is `picture` there",
    ),
    (&["rebate", "rabbet_size", "frame_size"], "frame", "the size of the rabbet is `frame`, such as frame = [16, 20]"),
    (&["glazing", "acrylic"], "glass", "write `glass`, a text for the workshop sheet"),
    (&["qty", "count", "copies", "number", "how_many"], "quantity", "the number of mats is `quantity`, a whole number"),
    (
        &["margins"],
        "border",
        "the widths round the openings are `border`, such as border = 3 or border = { top = 3, bottom = 4 }",
    ),
    (
        &["bottom_weight", "weighting", "weighted", "weight"],
        "border.bottom_extra",
        "a heavier bottom is border = { bottom_extra = \"1/2 in\" }, or bottom_ratio",
    ),
    (
        &[
            "double",
            "double_mat",
            "mats",
            "under_mat",
            "undermat",
            "bottom_mat",
            "inner_mat",
            "top_mat",
            "second_mat",
            "second_board",
            "top_board",
            "bottom_board",
            "inner",
            "liner",
        ],
        "layer",
        "each board is a table [[layer]], the top one first; `reveal` goes in the lower one",
    ),
    (
        &["corner_radius", "radius"],
        "opening.shape.rectangle.corner_radius",
        "rounded corners are shape.rectangle.corner_radius = \"1/4 in\" in the opening",
    ),
    (&["grid"], "arrangement.rows", "a grid has `rows` and `columns`: arrangement = { rows = 2, columns = 3 }"),
    (&["spacing", "space"], "arrangement.gap", "the distance between openings is `gap`: arrangement.gap = 1"),
    (&["vgroove", "v_groove", "v-groove"], "groove", "a V-groove is a table [[groove]] with `distance`"),
    (
        &["french_lines", "french_mat", "wash", "lines"],
        "ruled",
        "ruled lines and washes are a table [ruled] with `pattern`, or `lines` and `bands`",
    ),
    (
        &["rotation", "rotate", "angle"],
        "opening.turn",
        "an opening is turned by `turn` in it, in degrees; the slope of a cut is `bevel`",
    ),
    (
        &["position", "place", "location", "x", "y", "offset"],
        "opening.at",
        "an opening is placed by `at` in it, such as at = { left = 2, top = 3 }",
    ),
    (&["blank"], "", "this file is an order of blanks: `backline sheets` reads it"),
    (&["sheet", "offcut"], "", "this file is a stock of board: give it to `backline sheets` with --stock"),
    (
        &["guide", "stops", "lean"],
        "",
        "this file is the profile of a hand cutter: give it to `backline settings` with --cutter",
    ),
    (
        &["bed", "origin", "tool"],
        "",
        "this file is the profile of a machine: give it to `backline draw` with --machine",
    ),
];

/// Returns what to write for a key that framers use for another one, at the path of its table.
pub(super) fn cure(key: &str, path: &[&str], tables: &KeyTables) -> Option<String> {
    let key = key.to_lowercase();
    let meant = |place: &str| {
        let (table, last) = split(place);
        match (place.is_empty(), path.is_empty()) {
            (true, at_root) => at_root && tables.has(&[], "opening"),
            (false, true) => tables.has(&table, last),
            // A shape has no size, but the opening that it belongs to has.
            (false, false) => {
                (1..=path.len()).any(|length| path.get(..length).is_some_and(|path| tables.has(path, last)))
            }
        }
    };
    let mut entries = OTHER_WORDS.iter().filter(|(words, ..)| words.contains(&key.as_str()));
    entries.find(|(_, place, _)| meant(place)).map(|(.., cure)| (*cure).to_owned())
}

/// Takes the place of a key apart into the keys that lead to its table and the key.
fn split(place: &str) -> (Vec<&str>, &str) {
    match place.rsplit_once('.') {
        Some((table, last)) => (table.split('.').collect(), last),
        None => (Vec::new(), place),
    }
}

#[cfg(test)]
mod tests {
    use super::{KeyTables, OTHER_WORDS, split};

    /// Places that are not in jobs: schemas of other files belong to later modules.
    const OF_OTHER_FILES: [&str; 11] = [
        "sheet.on_hand",
        "sheet.turnable",
        "sheet.size",
        "blank.size",
        "blank",
        "kerf",
        "offcut",
        "bevel_angle",
        "rail",
        "thickness",
        "piece",
    ];

    #[test]
    fn other_words_stand_for_keys_that_jobs_have() {
        let tables = KeyTables::of::<crate::job::WrittenJob>();
        let of_jobs = |place: &str| !place.is_empty() && !OF_OTHER_FILES.contains(&place);
        for (words, place, _) in OTHER_WORDS.iter().filter(|(_, place, _)| of_jobs(place)) {
            let (table, last) = split(place);
            assert!(tables.has(&table, last), "{place}");
            assert!(words.iter().all(|word| !tables.has(&[], word)), "{words:?}");
        }
    }
}
