//! DXF: everything that is known of writing it, for drawings and for machines, in release 12 and release 2000.

mod drawing;
mod entities;
mod figure;
mod head;
pub(super) mod machine;
mod pairs;
mod release_12;
mod release_2000;

pub(super) use drawing::{R12, R2000};
