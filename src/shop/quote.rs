//! What a job costs at the prices of a shop, with everything that went into it. There are no taxes in it.

use kurbo::Size;
use serde::Serialize;

use super::{Shop, ShopBoard, ShopMoulding};
use crate::bench::{Assembly, Cutter, Settings};
use crate::job::{Measure, Scope};
use crate::length::Unit;
use crate::mat::{Frame, Mat, PartKind};
use crate::tolerance::SAME_LENGTH_MM;

/// Name and version of the object; another version means that a key changed its meaning or went away.
const SCHEMA: &str = "backline-quote/1";

/// What a number of equal mats with their frames costs.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct Quote {
    #[cfg_attr(feature = "schema", schemars(extend("const" = SCHEMA)))]
    schema: &'static str,
    /// Name of the job.
    pub job: String,
    /// How many are made.
    pub quantity: u32,
    /// What prices are in; may be empty.
    pub currency: String,
    /// What is charged for, all of them together.
    pub lines: Vec<QuoteLine>,
    /// What the job has that no price of the shop is for, a sentence each.
    pub not_priced: Vec<String>,
    /// The sum of all amounts.
    pub total: Money,
    /// The total shared among all of them, rounded.
    pub each: Money,
}

/// Something that is charged for.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[cfg_attr(feature = "schema", derive(schemars::JsonSchema))]
#[non_exhaustive]
pub struct QuoteLine {
    /// What it is: `board`, `moulding`, `glass`, `backing`, `mounting` or `work`.
    pub what: &'static str,
    /// What the framer calls it; may be empty.
    pub name: String,
    /// How the number comes about.
    pub from: String,
    /// How much of it, in `unit`.
    pub number: f64,
    /// What is counted: `sheet`, `ft`, `m`, `sq ft`, `sq m`, `work` or `h`.
    pub unit: String,
    /// The price of one.
    pub price: f64,
    /// The number times the price, rounded to a hundredth.
    pub amount: Money,
}

/// A sum of money in hundredths; in JSON a number of whole units.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct Money(pub i64);

impl Money {
    /// Rounds a sum to the nearest hundredth.
    fn rounded(sum: f64) -> Self {
        Self((sum * 100.0).round() as i64)
    }

    /// Writes it with two decimals, and the currency if there is one.
    #[must_use]
    pub fn show(self, currency: &str) -> String {
        let space = if currency.is_empty() { "" } else { " " };
        format!("{}.{:02}{space}{currency}", self.0 / 100, self.0 % 100)
    }
}

impl Serialize for Money {
    fn serialize<S: serde::Serializer>(&self, serializer: S) -> Result<S::Ok, S::Error> {
        serializer.serialize_f64(self.0 as f64 / 100.0)
    }
}

#[cfg(feature = "schema")]
impl schemars::JsonSchema for Money {
    fn inline_schema() -> bool {
        true
    }

    fn schema_name() -> std::borrow::Cow<'static, str> {
        "Money".into()
    }

    fn json_schema(generator: &mut schemars::SchemaGenerator) -> schemars::Schema {
        f64::json_schema(generator)
    }
}

/// Returns the JSON Schema of a quote.
#[cfg(feature = "schema")]
#[must_use]
pub fn quote_schema() -> serde_json::Value {
    crate::job::output_schema_of::<Quote>()
}

const FOOT_MM: f64 = 304.8;
const METRE_MM: f64 = 1000.0;
const MINUTES_IN_HOUR: f64 = 60.0;

/// A quote while it is made.
struct QuoteMaker<'q> {
    shop: &'q Shop,
    mat: &'q Mat,
    quote: Quote,
}

impl Shop {
    /// Works out what a mat with its frame costs, as many as its quantity says; `cutter` is the one by which minutes are counted.
    #[must_use]
    pub fn quote(&self, mat: &Mat, cutter: &Cutter) -> Quote {
        let quote = Quote {
            schema: SCHEMA,
            job: mat.name.clone(),
            quantity: mat.quantity,
            currency: self.written.price.currency.clone(),
            lines: Vec::new(),
            not_priced: Vec::new(),
            total: Money::default(),
            each: Money::default(),
        };
        let mut maker = QuoteMaker { shop: self, mat, quote };
        maker.boards();
        if let Some(frame) = &mat.package.frame {
            maker.moulding(frame);
        }
        maker.parts();
        maker.mounting();
        maker.work(cutter);
        let mut quote = maker.quote;
        quote.total = Money(quote.lines.iter().map(|line| line.amount.0).sum());
        quote.each = Money::rounded(quote.total.0 as f64 / 100.0 / f64::from(mat.quantity.max(1)));
        quote
    }
}

impl QuoteMaker<'_> {
    fn charge(&mut self, what: &'static str, name: &str, from: String, (number, unit): (f64, &str), price: f64) {
        let amount = Money::rounded(number * price);
        let line = QuoteLine { what, name: name.to_owned(), from, number, unit: unit.to_owned(), price, amount };
        self.quote.lines.push(line);
    }

    fn not_priced(&mut self, what: impl Into<String>) {
        self.quote.not_priced.push(what.into());
    }

    fn quantity(&self) -> f64 {
        f64::from(self.mat.quantity)
    }

    /// Says how many times something is counted, if it is more than once.
    fn times(&self) -> String {
        if self.mat.quantity == 1 { String::new() } else { format!("{} × ", self.mat.quantity) }
    }

    fn is_metric(&self) -> bool {
        self.shop.written.unit.unwrap_or(self.mat.ruler.unit()) != Unit::Inch
    }

    /// Each board is a share of the sheet that costs least for its area, by area.
    fn boards(&mut self) {
        let mat = self.mat;
        for layer in &mat.layers {
            let size = mat.extent(layer).size();
            let name = layer.board.name.as_str();
            let shown = mat.ruler.show_size(size.width, size.height);
            let known = self.shop.written.board.iter().find(|board| is_called(&board.name, name));
            let Some((sheet, price)) = known.and_then(|board| self.sheet_for(board, size)) else {
                let called = if name.is_empty() { layer.name.as_str() } else { name };
                self.not_priced(format!(
                    "board {called}, {shown}: the shop file has no sheet of it with a price that is large enough"
                ));
                continue;
            };
            let share = size.area() / sheet.area();
            let of = mat.ruler.show_size(sheet.width, sheet.height);
            let from = format!("{}{shown} of {of}: {:.1} %", self.times(), share * 100.0);
            self.charge("board", name, from, (share * self.quantity(), "sheet"), price);
        }
    }

    fn sheet_for(&self, board: &ShopBoard, size: Size) -> Option<(Size, f64)> {
        let scope = self.scope();
        let fits = |sheet: &Size| {
            let upright = sheet.width >= size.width && sheet.height >= size.height;
            upright || (sheet.width >= size.height && sheet.height >= size.width)
        };
        let sheets = board.sheet.iter().filter_map(|sheet| Some((scope.size(&sheet.size).ok()?, usable(sheet.price)?)));
        sheets
            .filter(|(sheet, _)| fits(sheet))
            .min_by(|(a, a_price), (b, b_price)| (a_price / a.area()).total_cmp(&(b_price / b.area())))
    }

    fn scope(&self) -> Scope {
        Scope::root(self.shop.written.unit, self.mat.ruler)
    }

    /// The lengths of the outside of the frame, which mitred rails are cut from.
    fn moulding(&mut self, frame: &Frame) {
        let name = frame.moulding.as_ref().map_or("", |moulding| moulding.name.as_str());
        let known = self.shop.written.moulding.iter().find(|moulding| is_called(&moulding.name, name));
        let outside = frame.outside();
        let (Some(outside), Some(known)) = (outside, known) else {
            self.not_priced("moulding: the job names none of the shop file");
            return;
        };
        let Some((price, mm, unit)) = self.price_of_moulding(known) else {
            self.not_priced(format!("moulding {name}: it has no price"));
            return;
        };
        let length = 2.0 * (outside.width + outside.height);
        let shown = self.mat.ruler.show_size(outside.width, outside.height);
        let from = format!("{}twice width and height of the outside, {shown}", self.times());
        self.charge("moulding", name, from, (length / mm * self.quantity(), unit.as_str()), price);
    }

    /// Returns the price of a length of a moulding, that length in millimetres, and its name.
    fn price_of_moulding(&self, moulding: &ShopMoulding) -> Option<(f64, f64, String)> {
        let price = usable(moulding.price)?;
        match &moulding.price_per {
            Some(per) => {
                let words = match per {
                    Measure::Number(number) => {
                        let unit = self.shop.written.unit.unwrap_or(self.mat.ruler.unit());
                        format!("{number} {}", unit.name())
                    }
                    Measure::Text(text) => text.clone(),
                };
                let mm = self.scope().mm(per).ok().filter(|mm| *mm > 0.0)?;
                let (one_metre, one_foot) =
                    ((mm - METRE_MM).abs() < SAME_LENGTH_MM, (mm - FOOT_MM).abs() < SAME_LENGTH_MM);
                let unit = if one_metre {
                    "m".to_owned()
                } else if one_foot {
                    "ft".to_owned()
                } else {
                    format!("× {words}")
                };
                Some((price, mm, unit))
            }
            None if self.is_metric() => Some((price, METRE_MM, "m".to_owned())),
            None => Some((price, FOOT_MM, "ft".to_owned())),
        }
    }

    /// Glass and backing have the size of the mat.
    fn parts(&mut self) {
        let mat = self.mat;
        let size = mat.package.mat;
        let (side, unit) = if self.is_metric() { (METRE_MM, "sq m") } else { (FOOT_MM, "sq ft") };
        let area = size.area() / (side * side);
        let prices = &self.shop.written.price;
        for (kind, what, price) in
            [(PartKind::Glass, "glass", prices.glass), (PartKind::Backing, "backing", prices.backing)]
        {
            // A job that says nothing of glass and backing has them all the same, if it has a frame.
            let part = mat.package.parts.iter().find(|part| part.kind == kind);
            if mat.package.frame.is_none() || part.is_some_and(|part| part.thickness == Some(0.0)) {
                continue;
            }
            let name = part.map_or("", |part| part.name.as_str());
            match usable(price) {
                Some(price) => {
                    let from = format!("{}{}", self.times(), mat.ruler.show_size(size.width, size.height));
                    self.charge(what, name, from, (area * self.quantity(), unit), price);
                }
                None => self.not_priced(format!("{what}: `price.{what}` is not given")),
            }
        }
    }

    fn mounting(&mut self) {
        let works = self.mat.art().len();
        if works == 0 {
            return;
        }
        match usable(self.shop.written.price.mounting) {
            Some(price) => {
                let from = format!("{}{works} {}", self.times(), if works == 1 { "work" } else { "works" });
                self.charge("mounting", "", from, (works as f64 * self.quantity(), "work"), price);
            }
            None => self.not_priced("mounting: `price.mounting` is not given"),
        }
    }

    /// Minutes for the frame, for what is set at the cutter, and for each cut.
    fn work(&mut self, cutter: &Cutter) {
        let prices = &self.shop.written.price;
        let (frame, setting, cut) = (prices.minutes_per_frame, prices.minutes_per_setting, prices.minutes_per_cut);
        let Some(hour) = usable(prices.hour) else {
            self.not_priced("work: `price.hour` is not given");
            return;
        };
        let quantity = self.quantity();
        let settings = Settings::new(self.mat, cutter, Assembly::default());
        let run = settings.run();
        let set = f64::from(run.guide + run.stops + run.blade);
        let cuts = settings.steps.len() as f64 * quantity;
        let mut minutes = Vec::new();
        if let (Some(_), Some(each)) = (&self.mat.package.frame, usable(frame)) {
            minutes.push((each * quantity, format!("{quantity} × {each} for the frame")));
        }
        minutes.extend(usable(setting).map(|each| (set * each, format!("{set} settings × {each}"))));
        minutes.extend(usable(cut).map(|each| (cuts * each, format!("{cuts} cuts × {each}"))));
        let all: f64 = minutes.iter().map(|(minutes, _)| minutes).sum();
        let words: Vec<String> = minutes.into_iter().map(|(_, words)| words).collect();
        if words.is_empty() {
            self.not_priced("work: no `minutes_per_frame`, `minutes_per_setting` or `minutes_per_cut` is given");
            return;
        }
        let from = format!("{all} minutes: {}", words.join(" + "));
        self.charge("work", "", from, (all / MINUTES_IN_HOUR, "h"), hour);
    }
}

/// A price, or a number of minutes, of zero or more.
fn usable(number: Option<f64>) -> Option<f64> {
    number.filter(|number| number.is_finite() && (0.0..1e9).contains(number))
}

fn is_called(known: &str, name: &str) -> bool {
    let plain = |name: &str| name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase();
    !name.trim().is_empty() && plain(known) == plain(name)
}
