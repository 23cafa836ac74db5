//! `backline new`: files to start from, with comments or as data.

use crate::fault::Certain;

use super::args::FileKind;
use super::json;

impl FileKind {
    /// Returns a commented file of the kind in TOML, or the same in JSON, which has no comments.
    pub(super) fn starter(self, as_json: bool) -> String {
        let text = match self {
            Self::Job => crate::job::STARTER,
            Self::Cutter => crate::bench::CUTTER_STARTER,
            Self::Order => crate::sheets::ORDER_STARTER,
            Self::Stock => crate::sheets::STOCK_STARTER,
            Self::Machine => crate::machine::MACHINE_STARTER,
            Self::Printer => crate::paper::PRINTER_STARTER,
        };
        if as_json {
            let value: serde_json::Value = toml::from_str(text).certain("starter in TOML");
            return json::pretty(&value);
        }
        text.to_owned()
    }
}
