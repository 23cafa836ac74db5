//! A shop's own habits: one file of defaults, boards, mouldings, layouts and prices, which jobs and orders take what they leave out from.
//!
//! ```
//! use backline::Job;
//! use backline::shop::Shop;
//!
//! let shop = Shop::parse("shop.toml", "unit = 'in'\n[job]\nframe.clearance = '1/16 in'\nopening.overlap = '3/16 in'")?;
//! let job = Job::parse_with("harbour.toml", "frame = [16, 20]\nopening.art = [8, 10]", &shop)?;
//! let mat = job.mat()?;
//! assert_eq!(mat.outer().width, 15.9375 * 25.4);
//! assert_eq!(job.used_defaults()[0].key.to_string(), "unit");
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! Nothing is read unless it is given: the library looks for no file.

mod boards;
#[cfg(feature = "bench")]
mod quote;
mod written;

pub use boards::{ShopBoard, ShopLayout, ShopMoulding, ShopSheet};
#[cfg(all(feature = "bench", feature = "schema"))]
pub use quote::quote_schema;
#[cfg(feature = "bench")]
pub use quote::{Money, Quote, QuoteLine};
#[cfg(feature = "schema")]
pub use written::shop_schema;
pub use written::{OptionValue, SHOP_STARTER, ShopPrices, WrittenShop};

use crate::job::{Defaults, Document, ReadError, Syntax};

/// A shop file that has been read.
#[derive(Debug, Clone, PartialEq)]
pub struct Shop {
    written: WrittenShop,
    defaults: Defaults,
}

impl Shop {
    /// Reads a shop file; `name` is that of the file in reports.
    ///
    /// # Errors
    ///
    /// Returns a [`ReadError`] with its place in the text.
    pub fn parse(name: impl Into<String>, text: impl Into<String>) -> Result<Self, ReadError> {
        let text = text.into();
        let syntax = Syntax::guess(&text);
        let (written, defaults) = Defaults::read(name, text, syntax, |shop: &WrittenShop| shop.unit)?;
        Ok(Self { written, defaults })
    }

    /// Returns what the file says, key by key. In tables of defaults, sizes that every job must give are made up where they are left
    /// out.
    #[must_use]
    pub const fn written(&self) -> &WrittenShop {
        &self.written
    }

    /// Returns the defaults for a [`Document`].
    #[must_use]
    pub const fn defaults(&self) -> &Defaults {
        &self.defaults
    }

    /// Returns the rules of the bench as a stock, with the sheets in which its boards are sold.
    #[cfg(feature = "sheets")]
    #[must_use]
    pub fn stock(&self) -> crate::sheets::Stock {
        let mut stock = self.written.stock.clone();
        stock.unit = stock.unit.or(self.written.unit);
        if stock.currency.is_empty() {
            stock.currency.clone_from(&self.written.price.currency);
        }
        stock.sheet = self.written.board.iter().flat_map(ShopBoard::stock_sheets).collect();
        stock.offcut.clear();
        stock
    }

    /// Returns the text of the file as a document, for reports.
    #[must_use]
    pub fn document(&self) -> Document {
        Document::new(self.defaults.name(), self.defaults.text())
    }
}
