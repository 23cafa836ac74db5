//! The kinds of files that users write.

use clap::ValueEnum;

use crate::fault::Certain;

use super::json;

/// A kind of file that users write.
#[derive(Debug, Clone, Copy, Default, ValueEnum)]
pub(super) enum FileKind {
    /// A job: one mat
    #[default]
    Job,
    /// The profile of a hand cutter
    Cutter,
    /// An order for blanks, for `backline sheets`
    Order,
    /// A stock of sheets and offcuts for `backline sheets`
    Stock,
    /// The profile of an automated cutter or a plotter
    Machine,
    /// The profile of an office printer or plotter
    Printer,
    /// A shop file: defaults, boards, mouldings, layouts and prices
    Shop,
}

impl FileKind {
    /// Returns a commented file of the kind in TOML, or the same in JSON, which has no comments.
    pub(super) fn starter(self, as_json: bool) -> String {
        let schema = format!("{}.schema.json", self.name());
        let text = match self {
            Self::Job => crate::job::STARTER,
            Self::Cutter => crate::bench::CUTTER_STARTER,
            Self::Order => crate::sheets::ORDER_STARTER,
            Self::Stock => crate::sheets::STOCK_STARTER,
            Self::Machine => crate::machine::MACHINE_STARTER,
            Self::Printer => crate::paper::PRINTER_STARTER,
            Self::Shop => crate::shop::SHOP_STARTER,
        };
        if as_json {
            let mut value: serde_json::Value = toml::from_str(text).certain("starter in TOML");
            if let (Self::Job | Self::Shop, serde_json::Value::Object(keys)) = (self, &mut value) {
                keys.insert("$schema".to_owned(), schema.into());
            }
            return json::pretty(&value);
        }
        format!(
            "#:schema {schema}\n# Editors read that line once there is such a file: backline schema {} > {schema}\n{text}",
            self.name()
        )
    }

    /// Returns the word for it on the command line.
    fn name(self) -> String {
        self.to_possible_value().map(|value| value.get_name().to_owned()).unwrap_or_default()
    }

    /// Returns the JSON Schema of the kind.
    pub(super) fn schema(self) -> serde_json::Value {
        match self {
            Self::Job => crate::job::schema(),
            Self::Cutter => crate::bench::cutter_schema(),
            Self::Order => crate::sheets::order_schema(),
            Self::Stock => crate::sheets::stock_schema(),
            Self::Machine => crate::machine::machine_schema(),
            Self::Printer => crate::paper::printer_schema(),
            Self::Shop => crate::shop::shop_schema(),
        }
    }
}
