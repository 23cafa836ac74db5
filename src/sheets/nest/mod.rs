//! Mats laid side by side on sheets, as the sheet plan says, to be cut or drawn in one go.
//!
//! A [`NestRequest`] names the mats and the stock. [`NestRequest::prepare`] asks how much of each sheet can be used, which
//! a machine with a bed decides; planned, it is a [`Nest`] of [`NestedSheet`]s, each with every board at its place. Views
//! draw such a sheet and machines plan their work on it.
//!
//! ```
//! use std::ops::ControlFlow;
//!
//! use backline::formats::{Options, Source, format};
//! use backline::job::{Syntax, WrittenJob};
//! use backline::sheets::cutting::Effort;
//! use backline::sheets::{NestRequest, Stock};
//! use backline::view::View;
//!
//! # fn main() -> Result<(), Box<dyn std::error::Error>> {
//! let read = |text| WrittenJob::read(text, Syntax::Toml).map(|job| job.resolve());
//! let harbour = read("name = 'Harbour'\nunit = 'in'\nouter = [16, 20]\nquantity = 3\nopening.size = [8, 10]")?;
//! let gulls = read("name = 'Gulls'\nunit = 'in'\nouter = [16, 20]\nopening.size = [11, 14]")?;
//! let mats = [harbour, gulls].map(|resolved| resolved.value.ok_or("the job has errors"));
//! let mats = mats.into_iter().collect::<Result<Vec<_>, _>>()?;
//!
//! let stock = Stock::read("unit = 'in'\n[[sheet]]\nsize = [32, 40]", Syntax::Toml)?;
//! let ruler = mats[0].ruler();
//! let request = NestRequest::new("Spring show", &mats, stock.resolve(ruler).into_result()?);
//! let prepared = request.prepare(&|sheet| Some(sheet.to_rect())).into_result()?;
//! let nest = prepared.plan(&Effort::default(), &mut |_, _| ControlFlow::Continue(()));
//!
//! // Four mats of a quarter of a sheet each fill one sheet.
//! let [sheet] = nest.sheets.as_slice() else { return Err("more than one sheet".into()) };
//! assert_eq!((sheet.copies(), sheet.boards.len()), (1, 4));
//! assert!(nest.left_over.is_empty());
//!
//! let drawing = sheet.draw(&View::CUT);
//! let dxf = format("dxf").ok_or("no such format")?.export(&Source::new(&drawing, &Options::default()))?;
//! assert!(dxf.bytes.starts_with(b"999"));
//! # Ok(())
//! # }
//! ```

mod drawn;
mod edges;
mod misfit;
mod places;
mod request;
mod sheet;

pub use edges::{SharedEdge, shared_edges};
pub use places::Unplaced;
pub use request::{Nest, NestRequest, PreparedNest, UsableArea};
pub use sheet::{NestedBoard, NestedSheet};
