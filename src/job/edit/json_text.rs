//! Keys set and taken out in the text of a JSON job.

use jsonc_parser::ParseOptions;
use jsonc_parser::cst::{CstInputValue, CstNode, CstObject, CstRootNode};
use serde_json::Value;

use super::edit_error::{EditError, no_place};
use super::sides::both_sides;
use crate::job::long_forms;
use crate::problem::{KeyPath, KeyStep};

/// Sets a value that the text does not have yet, or that is a table.
pub(super) fn set(text: &str, path: &KeyPath, value: &Value) -> Result<String, EditError> {
    let root = parse(text, path)?;
    let mut at: CstNode = root.object_value_or_set().into();
    let steps = path.steps();
    for (number, step) in steps.iter().enumerate() {
        let (before, after) = (steps.get(..number).unwrap_or_default(), steps.get(number + 1));
        // What a step leads to that is not there yet: the value itself, or something with room for the next step.
        let new = || match after {
            None => input(value),
            Some(KeyStep::Key(_)) => CstInputValue::Object(Vec::new()),
            Some(KeyStep::Index(_)) => CstInputValue::Array(Vec::new()),
        };
        at = match step {
            KeyStep::Key(key) => {
                let object = object_of(at, before).ok_or_else(|| no_place(path, "a value there is not a table"))?;
                let property = match object.get(key) {
                    Some(property) if after.is_some() => property,
                    Some(property) => {
                        property.set_value(new());
                        property
                    }
                    None => object.append(key, new()),
                };
                property.value().ok_or_else(|| no_place(path, "a key there has no value"))?
            }
            KeyStep::Index(index) => {
                let array = match at.as_array() {
                    Some(array) => array,
                    // One table stands for a list of one.
                    None if at.as_object().is_some() && *index == 0 => continue,
                    None => widen_to_list(at).ok_or_else(|| no_place(path, "a value there is not a list"))?,
                };
                let items = array.elements();
                match items.get(*index) {
                    Some(item) if after.is_some() => item.clone(),
                    Some(item) => {
                        replace(item.clone(), new()).ok_or_else(|| no_place(path, "an item cannot be set"))?
                    }
                    None if *index == items.len() => array.append(new()),
                    None => return Err(no_place(path, &format!("the list there has {} items", items.len()))),
                }
            }
        };
    }
    Ok(root.to_string())
}

/// Takes a value out that the text has.
pub(super) fn remove(text: &str, path: &KeyPath) -> Result<String, EditError> {
    let root = parse(text, path)?;
    let mut at = root.value();
    let mut property = None;
    for step in path.steps() {
        let node = at.ok_or_else(|| no_place(path, "a key there has no value"))?;
        (at, property) = match step {
            KeyStep::Key(key) => {
                let object = match node.as_array() {
                    Some(list) => list.elements().first().and_then(CstNode::as_object),
                    None => node.as_object(),
                };
                let Some(object) = object else {
                    // A short form goes as a whole.
                    at = Some(node);
                    break;
                };
                let found = object.get(key);
                (found.as_ref().and_then(jsonc_parser::cst::CstObjectProp::value), found)
            }
            KeyStep::Index(0) if node.as_object().is_some() => (Some(node), property),
            KeyStep::Index(index) => (node.as_array().and_then(|list| list.elements().get(*index).cloned()), None),
        };
    }
    match (property, at) {
        (Some(property), _) => property.remove(),
        (None, Some(item)) => item.remove(),
        (None, None) => return Err(no_place(path, "there is nothing there")),
    }
    Ok(root.to_string())
}

fn parse(text: &str, path: &KeyPath) -> Result<CstRootNode, EditError> {
    CstRootNode::parse(text, &ParseOptions::default()).map_err(|error| no_place(path, &error.to_string()))
}

/// Returns the table that a value is; a short form becomes the table that it stands for, a list of one its item.
fn object_of(node: CstNode, steps: &[&KeyStep]) -> Option<CstObject> {
    if let Some(object) = node.as_object() {
        return Some(object);
    }
    if let Some(list) = node.as_array().filter(|list| list.elements().len() == 1)
        && let Some(object) = list.elements().first().and_then(CstNode::as_object)
    {
        return Some(object);
    }
    let short = value_of(&node)?;
    let long = long_forms::of(steps, &short)?;
    replace(node, CstInputValue::Object(vec![(long.to_owned(), input(&short))]))?.as_object()
}

/// Makes a list of a value that stands for one: a table for a list of tables, one text for both sides of a size.
fn widen_to_list(node: CstNode) -> Option<jsonc_parser::cst::CstArray> {
    let value = value_of(&node)?;
    let items = match &value {
        Value::Object(_) => vec![input(&value)],
        size => both_sides(size)?.iter().map(input).collect(),
    };
    replace(node, CstInputValue::Array(items))?.as_array()
}

fn value_of(node: &CstNode) -> Option<Value> {
    serde_json::from_str(&node.to_string()).ok()
}

fn replace(node: CstNode, by: CstInputValue) -> Option<CstNode> {
    if let Some(property) = node.parent().and_then(|parent| parent.as_object_prop()) {
        property.set_value(by);
        return property.value();
    }
    match node {
        node if node.as_object().is_some() => node.as_object()?.replace_with(by),
        node if node.as_array().is_some() => node.as_array()?.replace_with(by),
        node if node.as_string_lit().is_some() => node.as_string_lit()?.replace_with(by),
        node if node.as_number_lit().is_some() => node.as_number_lit()?.replace_with(by),
        node => node.as_boolean_lit()?.replace_with(by),
    }
}

fn input(value: &Value) -> CstInputValue {
    match value {
        Value::Null => CstInputValue::Null,
        Value::Bool(flag) => CstInputValue::Bool(*flag),
        Value::Number(number) => CstInputValue::Number(number.to_string()),
        Value::String(text) => CstInputValue::String(text.clone()),
        Value::Array(items) => CstInputValue::Array(items.iter().map(input).collect()),
        Value::Object(table) => {
            CstInputValue::Object(table.iter().map(|(key, value)| (key.clone(), input(value))).collect())
        }
    }
}
