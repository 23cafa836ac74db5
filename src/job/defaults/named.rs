//! Boards, mouldings and layouts that a shop has given names.

use super::{Defaults, is_of_shop};
use crate::job::node::{KeyValue, NodeValue, SourceNode};
use crate::job::spellings;
use crate::job::syntax_fault::SyntaxFault;
use crate::job::wording::{Wording, quote, suggestion};

/// What a job takes of a board of the shop; its thickness is given in one of the first two ways.
const OF_BOARD: &[&str] = &["plies", "thickness", "colour", "core"];
/// Data of the writer's own, whatever its keys are called.
const OWN: &str = "own";
/// What a job takes of a moulding.
const OF_MOULDING: &[&str] = &["width", "colour", "profile"];
/// What the frame takes of its moulding.
const OF_FRAME: &[&str] = &["lip", "depth"];

/// Returns the layout of a name as a piece of a job, without its name and its notes.
pub(super) fn layout<'t>(defaults: &'t Defaults, name: &SourceNode<'_>) -> Result<SourceNode<'t>, SyntaxFault> {
    let wanted = name.text().unwrap_or_default();
    let Some(found) = find(defaults, "layout", wanted) else { return Err(unknown(defaults, "layout", name)) };
    let mut layout = found.clone();
    drop(layout.take("name"));
    Ok(layout)
}

/// Puts what is known of the boards and mouldings of a job, an order or a stock in the place of their names.
pub(super) fn replace<'t>(root: &mut SourceNode<'t>, defaults: &'t Defaults) -> Result<(), SyntaxFault> {
    replace_boards(root, defaults);
    if let Some(frame) = root.get_mut("frame") {
        replace_moulding(frame, defaults)?;
    }
    Ok(())
}

fn replace_boards<'t>(node: &mut SourceNode<'t>, defaults: &'t Defaults) {
    match &mut node.content {
        NodeValue::Table(entries) => {
            for entry in entries {
                if entry.key == "board" {
                    replace_board(&mut entry.value, defaults);
                } else if entry.key != OWN {
                    replace_boards(&mut entry.value, defaults);
                }
            }
        }
        NodeValue::List(items) => items.iter_mut().for_each(|item| replace_boards(item, defaults)),
        _ => {}
    }
}

fn replace_board<'t>(node: &mut SourceNode<'t>, defaults: &'t Defaults) {
    let Some(known) = name_of(node).and_then(|name| find(defaults, "board", name)) else { return };
    name_as_table(node);
    let thick = OF_BOARD.iter().take(2).any(|key| node.get(key).is_some());
    let keys = OF_BOARD.iter().skip(if thick { 2 } else { 0 });
    keys.for_each(|key| take_over(node, known, key));
}

fn replace_moulding<'t>(frame: &mut SourceNode<'t>, defaults: &'t Defaults) -> Result<(), SyntaxFault> {
    let Some(node) = frame.get_mut("moulding") else { return Ok(()) };
    let Some(name) = name_of(node).map(str::to_owned) else { return Ok(()) };
    let Some(known) = find(defaults, "moulding", &name) else {
        // A moulding may be its width alone, or have a name beside it.
        let is_width = node.is_table() || name.starts_with(|letter: char| letter.is_ascii_digit() || letter == '.');
        let has_any = defaults.root().get("moulding").is_some();
        return if is_width || !has_any { Ok(()) } else { Err(unknown(defaults, "moulding", node)) };
    };
    name_as_table(node);
    OF_MOULDING.iter().for_each(|key| take_over(node, known, key));
    for key in OF_FRAME {
        // What the shop usually has gives way to what it knows of this moulding.
        if known.get(key).is_some() && frame.get(key).is_some_and(|value| is_of_shop(&value.range)) {
            drop(frame.take(key));
        }
        take_over(frame, known, key);
    }
    Ok(())
}

/// Returns the name of a board or a moulding: the text alone, or its key in a table.
fn name_of<'n>(node: &'n SourceNode<'_>) -> Option<&'n str> {
    node.text().or_else(|| node.get("name")?.text())
}

/// Makes a table of a name alone.
fn name_as_table(node: &mut SourceNode<'_>) {
    if !node.is_table() {
        *node = SourceNode::table_of("name", node.clone());
    }
}

/// Puts a key of what is known into a table that does not have it.
fn take_over<'t>(table: &mut SourceNode<'t>, known: &SourceNode<'t>, key: &str) {
    let entry = known.entries().iter().find(|entry| spellings::usual(&entry.key) == key);
    if let (None, Some(entry)) = (table.get(key), entry) {
        table.put(KeyValue { key: key.to_owned().into(), ..entry.clone() });
    }
}

/// Finds the table of a name in a list of the shop; capitals and spaces do not count.
fn find<'t>(defaults: &'t Defaults, list: &str, name: &str) -> Option<&'t SourceNode<'static>> {
    let wanted = plain(name);
    let is_it = |node: &&SourceNode<'_>| name_of(node).is_some_and(|name| plain(name) == wanted);
    (!wanted.is_empty()).then(|| defaults.root().get(list)?.items().iter().find(is_it)).flatten()
}

fn plain(name: &str) -> String {
    name.split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase()
}

fn unknown(defaults: &Defaults, what: &str, node: &SourceNode<'_>) -> SyntaxFault {
    let wanted = node.text().unwrap_or_default();
    let listed = defaults.root().get(what).map(SourceNode::items).unwrap_or_default();
    let names: Vec<&str> = listed.iter().filter_map(name_of).collect();
    let cure = match names.is_empty() {
        true => format!("that file has none; add a table [[{what}]] with this name"),
        false => suggestion(wanted, &names, "it has"),
    };
    let message = format!("there is no {what} `{}` in the shop file {}", quote(wanted), defaults.name());
    SyntaxFault { range: node.range.clone(), wording: Wording::new(message, cure) }
}
