//! A shop file as written.

use std::collections::BTreeMap;

use serde::{Deserialize, Serialize};

use super::boards::{ShopBoard, ShopLayout, ShopMoulding};
#[cfg(feature = "schema")]
use crate::job::OneOrMany;
use crate::job::{Described, WrittenJob, one_or_many};
use crate::length::Unit;
#[cfg(feature = "sheets")]
use crate::sheets::{Order, Stock};

/// A shop file as written: every key is optional.
///
/// Lengths are numbers in `unit`, or text with fractions and units such as `"3 1/4 in"`. They mean the same in a job in another unit.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
#[cfg_attr(feature = "schema", schemars(rename = "Shop"))]
pub struct WrittenShop {
    /// The address of a schema, for editors; Backline does not look at it.
    #[serde(rename = "$schema", skip_serializing_if = "String::is_empty")]
    pub schema: String,
    /// Name of the shop.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub name: String,
    /// Unit of bare numbers in this file, and of jobs and orders that name none: `in`, `mm` or `cm`.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub unit: Option<Unit>,
    /// What jobs leave out: any key of a job. A table `opening` is for each opening, a table `layer` for each board.
    pub job: WrittenJob,
    /// What orders of blanks leave out: any key of an order. A table `blank` is for each blank.
    #[cfg(feature = "sheets")]
    pub order: Order,
    /// What stocks of board leave out: any key of a stock. A table `sheet` is for each sheet.
    #[cfg(feature = "sheets")]
    pub stock: Stock,
    /// Options of `backline draw`, by their long names: `format = ["svg", "pdf"]`, `machine = "vector-cutter"`.
    pub draw: BTreeMap<String, OptionValue>,
    /// Options of `backline print`.
    pub print: BTreeMap<String, OptionValue>,
    /// Options of `backline settings`, such as `cutter`, a file beside this one.
    pub settings: BTreeMap<String, OptionValue>,
    /// Options of `backline sheets`, such as `kerf` and `trim`.
    pub sheets: BTreeMap<String, OptionValue>,
    /// Options of `backline workshop`.
    pub workshop: BTreeMap<String, OptionValue>,
    /// Options of `backline picture`.
    pub picture: BTreeMap<String, OptionValue>,
    /// Boards by name.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<ShopBoard>"))]
    pub board: Vec<ShopBoard>,
    /// Mouldings by name.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<ShopMoulding>"))]
    #[serde(alias = "molding")]
    pub moulding: Vec<ShopMoulding>,
    /// Layouts by name.
    #[serde(deserialize_with = "one_or_many", skip_serializing_if = "Vec::is_empty")]
    #[cfg_attr(feature = "schema", schemars(with = "OneOrMany<ShopLayout>"))]
    pub layout: Vec<ShopLayout>,
    /// Prices for quotes.
    pub price: ShopPrices,
}

/// What the shop asks for, beside the prices of its boards and mouldings.
#[derive(Debug, Clone, PartialEq, Default, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(deny_unknown_fields, default)]
pub struct ShopPrices {
    /// What prices are in, printed beside them, for example `EUR` or `$`.
    #[serde(skip_serializing_if = "String::is_empty")]
    pub currency: String,
    /// Glass, for a square foot in a shop that measures in inches, otherwise for a square metre.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub glass: Option<f64>,
    /// The backing, for the same area.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub backing: Option<f64>,
    /// Mounting one work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub mounting: Option<f64>,
    /// An hour of work.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub hour: Option<f64>,
    /// Minutes of work for every frame, whatever is in it: joining, fitting, wrapping.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes_per_frame: Option<f64>,
    /// Minutes of work for setting the cutter to another number.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes_per_setting: Option<f64>,
    /// Minutes of work for one cut.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub minutes_per_cut: Option<f64>,
}

/// The value of an option of a command: a text, a number, `true` or `false`, or a list of texts and numbers.
#[derive(Debug, Clone, PartialEq, Serialize, Deserialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[serde(untagged, expecting = "a text, a number, `true` or `false`, or a list of texts is needed here")]
pub enum OptionValue {
    /// Whether an option without a value is given.
    Flag(bool),
    /// A whole number.
    Whole(i64),
    /// A number.
    Number(f64),
    /// A text.
    Text(String),
    /// Several values.
    Several(Vec<OptionValue>),
}

impl OptionValue {
    /// Returns the words that stand for it on a command line, parted by commas; `None` for a flag.
    #[must_use]
    pub fn words(&self) -> Option<String> {
        match self {
            Self::Flag(_) => None,
            Self::Whole(number) => Some(number.to_string()),
            Self::Number(number) => Some(number.to_string()),
            Self::Text(text) => Some(text.clone()),
            Self::Several(values) => Some(values.iter().filter_map(Self::words).collect::<Vec<_>>().join(",")),
        }
    }
}

/// A commented shop file to start from.
pub const SHOP_STARTER: &str = include_str!("starter.toml");

/// Returns the JSON Schema of shop files, made from the types that read them.
#[cfg(feature = "schema")]
#[must_use]
pub fn shop_schema() -> serde_json::Value {
    let mut schema = crate::job::schema_of::<WrittenShop>();
    // Defaults leave out what every job gives itself.
    for name in ["WrittenFrame", "WrittenStandard", "WrittenMoulding", "WrittenBlank", "WrittenSheet", "WrittenOffcut"]
    {
        if let Some(serde_json::Value::Object(table)) = schema.pointer_mut(&format!("/$defs/{name}")) {
            table.remove("required");
        }
    }
    schema
}

impl Described for WrittenShop {
    const TABLES: &'static str = include_str!("shop.tables");
}

#[cfg(test)]
mod tests {
    #[test]
    #[cfg(feature = "schema")]
    fn its_tables_are_those_of_its_schema() {
        crate::job::hold_tables::<super::WrittenShop>("shop/shop.tables");
    }

    #[test]
    fn the_starter_is_a_shop_file_with_and_without_its_comments() {
        let starter = super::SHOP_STARTER;
        crate::shop::Shop::parse("shop.toml", starter).unwrap();
        // Commented keys begin with a small letter, commented headers with a bracket.
        let is_toml = |line: &&str| line.starts_with(|letter: char| letter.is_lowercase() || letter == '[');
        let lines = starter.lines().map(|line| line.strip_prefix("# ").filter(is_toml));
        let shown: Vec<&str> = starter.lines().zip(lines).map(|(line, shown)| shown.unwrap_or(line)).collect();
        crate::shop::Shop::parse("shop.toml", shown.join("\n")).unwrap_or_else(|error| panic!("{error}"));
    }
}
