//! What is left of the defaults when the job is known: those that a single board or opening has no use for go.

use super::is_of_shop;
use super::rivals::REACH;
use crate::job::node::SourceNode;

/// Keys of lower boards, which the top one cannot have.
const OF_LOWER: &[&str] = &["reveal", "reveal_measured", "smaller"];
/// Tables that say nothing without one of their keys.
const POINTLESS_WITHOUT: &[(&str, &str)] = &[("frame", "rabbet"), ("standard", "list")];

/// Takes defaults out of a merged job that say nothing there.
pub(super) fn settle(job: &mut SourceNode<'_>) {
    for (table, key) in POINTLESS_WITHOUT {
        if job.get(table).is_some_and(|table| is_of_shop(&table.range) && table.is_table() && table.get(key).is_none())
        {
            drop(job.take(table));
        }
    }
    settle_openings(job);
    if let Some(layers) = job.get_mut("layer") {
        layers.each_item(|index, layer| {
            if index == 0 {
                take_defaults(layer, OF_LOWER);
            }
            settle_openings(layer);
        });
    }
}

/// An overlap or a margin is one of art.
fn settle_openings(table: &mut SourceNode<'_>) {
    if let Some(openings) = table.get_mut("opening") {
        openings.each_item(|_, opening| {
            if opening.get("art").is_none() {
                take_defaults(opening, REACH);
            } else if opening.get("size").is_some_and(|size| !is_of_shop(&size.range)) {
                // Both are given, so that the overlap follows.
                take_defaults(opening, REACH);
            }
        });
    }
}

fn take_defaults(table: &mut SourceNode<'_>, keys: &[&str]) {
    for key in keys {
        if table.get(key).is_some_and(|value| is_of_shop(&value.range)) {
            drop(table.take(key));
        }
    }
}
