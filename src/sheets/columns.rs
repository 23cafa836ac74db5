//! What the columns of a spreadsheet are: by their headings in common words and languages, as the user says, or by what is in them.

use crate::length;

/// The columns that an order may have, each with the words that spreadsheets use for it, in lower case.
const COLUMNS: [(&str, &[&str]); 10] = [
    ("name", &["name", "title", "item", "description", "bezeichnung", "titel", "nom", "nombre", "nome", "naam"]),
    ("customer", &["customer", "client", "kunde", "kundin", "cliente", "klant"]),
    ("width", &["width", "w", "breite", "largeur", "ancho", "larghezza", "breedte"]),
    ("height", &["height", "h", "höhe", "hoehe", "hauteur", "alto", "altura", "altezza", "hoogte"]),
    (
        "size",
        &[
            "size",
            "sizes",
            "dimensions",
            "größe",
            "groesse",
            "maß",
            "maße",
            "mass",
            "masse",
            "grösse",
            "format",
            "formato",
            "formaat",
            "dimensiones",
            "dimensioni",
            "tamaño",
            "abmessung",
            "taille",
            "medidas",
            "misure",
            "maat",
        ],
    ),
    (
        "quantity",
        &[
            "quantity",
            "qty",
            "count",
            "pcs",
            "anzahl",
            "menge",
            "stück",
            "stueck",
            "stk",
            "pieces",
            "pezzi",
            "piezas",
            "stuks",
            "quantité",
            "qté",
            "cantidad",
            "quantità",
            "aantal",
        ],
    ),
    (
        "board",
        &[
            "board", "colour", "color", "karton", "farbe", "carton", "couleur", "cartón", "color", "cartone", "colore",
            "kleur",
        ],
    ),
    ("thickness", &["thickness", "dicke", "stärke", "épaisseur", "grosor", "spessore", "dikte"]),
    ("turnable", &["turnable", "drehbar"]),
    ("unit", &["unit", "units", "einheit", "unité", "unidad", "unità", "eenheid"]),
];

/// What stands for a column that is not a part of the order.
pub(super) const IGNORED: &str = "ignore";

/// What a user says of the columns of a spreadsheet: `size=Cut,ignore=Notes`.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Columns(Vec<(&'static str, String)>);

impl Columns {
    /// Reads pairs of a column of an order, or `ignore`, and the heading that it has, separated by commas.
    ///
    /// # Errors
    ///
    /// Returns what is wrong: a pair without `=`, or a column that no order has.
    pub fn parse(text: &str) -> Result<Self, String> {
        let pair = |pair: &str| {
            let (column, heading) =
                pair.split_once('=').ok_or_else(|| format!("`{pair}` has no `=`; write size=Cut"))?;
            let column = column.trim().to_lowercase();
            let known = names().chain([IGNORED]).find(|name| *name == column).ok_or_else(|| {
                let names: Vec<&str> = names().chain([IGNORED]).collect();
                format!("an order has no column `{column}`; it may have {}", names.join(", "))
            })?;
            Ok((known, heading.trim().to_lowercase()))
        };
        text.split(',').map(pair).collect::<Result<_, String>>().map(Self)
    }

    /// Returns the column of a heading; `None` if it is none that is known.
    pub(super) fn of_heading(&self, heading: &str) -> Option<&'static str> {
        let heading = heading.trim().to_lowercase();
        let said = self.0.iter().find(|(_, said)| *said == heading).map(|(column, _)| *column);
        said.or_else(|| COLUMNS.iter().find(|(_, words)| words.contains(&heading.as_str())).map(|(column, _)| *column))
    }
}

/// Lists the columns of an order.
pub(super) fn names() -> impl Iterator<Item = &'static str> {
    COLUMNS.iter().map(|(name, _)| *name)
}

/// Guesses the columns of a table without headings from its first line: sizes, or numbers for width and height, then a number for
/// the quantity, and words for the name. `None` if it is not so plain.
pub(super) fn guessed(cells: &[&str]) -> Option<Vec<&'static str>> {
    let mut columns = Vec::with_capacity(cells.len());
    let has = |columns: &[&str], name: &str| columns.contains(&name);
    for cell in cells {
        let is_number = length::parse(cell, Some(length::Unit::Millimetre)).is_ok();
        let is_size = !is_number && length::parse_size(cell, Some(length::Unit::Millimetre)).is_ok();
        let wanted: &[&'static str] = if is_size {
            &["size"]
        } else if !is_number {
            &["name"]
        } else if has(&columns, "size") {
            &["quantity"]
        } else {
            &["width", "height", "quantity"]
        };
        columns.push(wanted.iter().find(|name| !has(&columns, name)).copied()?);
    }
    (has(&columns, "size") && !has(&columns, "width") || has(&columns, "height")).then_some(columns)
}
