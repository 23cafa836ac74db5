//! Lengths of a shop file with their units: a job in another unit takes them as they are meant.

use serde::Serialize;

use crate::job::node::{NodeValue, SourceNode};
use crate::job::syntax_fault::SyntaxFault;
use crate::job::wording::Wording;
use crate::job::written_lengths::each_length;
use crate::length::{self, Unit};
use crate::problem::KeyStep;

/// Keys of areas, whose bare numbers are in the square of the unit.
const AREAS: [&str; 2] = ["mat_area", "total_area"];

/// Gives every bare length of a file a unit; `value` is what the tree says.
///
/// # Errors
///
/// Returns the place of a length without a unit in a file without one.
pub(super) fn give_units(
    root: &mut SourceNode<'static>,
    value: &impl Serialize,
    unit: Option<Unit>,
) -> Result<(), SyntaxFault> {
    let mut bare = Ok(());
    each_length(value, |steps, _| {
        if let Some(node) = node_of(root, steps)
            && let Some(figures) = bare_figures(node)
        {
            match unit {
                Some(unit) => node.content = NodeValue::Text(format!("{figures} {}", unit.name()).into()),
                None if bare.is_ok() => bare = Err(without_unit(node, &figures)),
                None => {}
            }
        }
    });
    bare?;
    give_areas(root, unit)
}

fn give_areas(node: &mut SourceNode<'static>, unit: Option<Unit>) -> Result<(), SyntaxFault> {
    match &mut node.content {
        NodeValue::Table(entries) => entries.iter_mut().try_for_each(|entry| {
            if let (true, Some(figures)) = (AREAS.contains(&entry.key.as_ref()), bare_figures(&entry.value)) {
                let unit = unit.ok_or_else(|| without_unit(&entry.value, &figures))?;
                entry.value.content = NodeValue::Text(format!("{figures} sq {}", unit.name()).into());
            }
            give_areas(&mut entry.value, unit)
        }),
        NodeValue::List(items) => items.iter_mut().try_for_each(|item| give_areas(item, unit)),
        _ => Ok(()),
    }
}

/// Returns the figures of a length without a unit.
fn bare_figures(node: &SourceNode<'_>) -> Option<String> {
    match &node.content {
        NodeValue::Integer(number) => Some(number.to_string()),
        NodeValue::Float(number) => Some(number.to_string()),
        NodeValue::Text(text) => {
            let figures = text.contains(|letter: char| letter.is_ascii_digit());
            // The sign between a width and a height is no word.
            let words = text.chars().any(|letter| letter.is_alphabetic() && !matches!(letter, 'x' | 'X'));
            let bare = figures && !words && length::unit_named(text).is_none() && !text.contains(['\'', '"', '′', '″']);
            bare.then(|| text.trim().to_owned())
        }
        _ => None,
    }
}

fn without_unit(node: &SourceNode<'_>, figures: &str) -> SyntaxFault {
    SyntaxFault {
        range: node.range.clone(),
        wording: Wording::new(
            format!("the unit of {figures} is not said"),
            "write unit = \"in\", \"mm\" or \"cm\" at the top of the shop file, or the unit beside the number",
        ),
    }
}

/// Follows a path to a value; a step into a short form stays at it.
fn node_of<'n>(root: &'n mut SourceNode<'static>, steps: &[KeyStep]) -> Option<&'n mut SourceNode<'static>> {
    let mut at = root;
    for step in steps {
        at = match (step, &at.content) {
            (KeyStep::Key(key), NodeValue::Table(_)) => at.get_mut(key)?,
            (KeyStep::Index(index), NodeValue::List(_)) => {
                let NodeValue::List(items) = &mut at.content else { return None };
                items.get_mut(*index)?
            }
            _ => at,
        };
    }
    Some(at)
}
