//! A job over the defaults of a shop: what it says counts, and what it leaves out is taken from them.

use super::named;
use super::rivals::give_way;
use super::settled::settle;
use super::{Defaults, DefaultsTable};
use crate::job::long_forms;
use crate::job::node::{KeyValue, NodeValue, SourceNode};
use crate::job::spellings;
use crate::job::syntax_fault::SyntaxFault;
use crate::job::wording::Wording;

/// Keys whose value is one thing: a board that the job names has nothing of another one.
const WHOLE: &[&str] =
    &["board", "moulding", "glass", "mount", "backing", "shape", "picture", "at", "spacers", "ratio", "points"];
/// Keys that take a table or a list of them: a table of defaults is for each of them.
const EACH: &[&str] = &["opening", "layer", "blank", "sheet", "offcut"];
/// The word for borders that are equal all round.
const EQUAL: &str = "equal";

/// Returns what a job says over a table of defaults.
///
/// # Errors
///
/// Returns the place of a name that the defaults do not have.
pub(in crate::job) fn merged<'t>(
    own: SourceNode<'t>,
    defaults: &'t Defaults,
    table: DefaultsTable,
) -> Result<SourceNode<'t>, SyntaxFault> {
    if !own.is_table() {
        return Ok(own);
    }
    let mut own = own;
    let mut base = defaults.root().get(table.key()).filter(|table| table.is_table()).cloned().unwrap_or_else(nothing);
    if let Some(unit) = defaults.root().entries().iter().find(|entry| entry.key == "unit")
        && base.get("unit").is_none()
    {
        base.put(unit.clone());
    }
    let mut base: SourceNode<'t> = base;
    if table == DefaultsTable::Job
        && let Some(name) = own.get("layout").filter(|name| name.text().is_some_and(|name| !name.is_empty()))
    {
        let layout = named::layout(defaults, name)?;
        drop(own.take("layout"));
        give_way_to_each(&mut base, [&layout, &own]);
        base = over(base, layout, "")?;
    } else {
        give_way_to_each(&mut base, [&own, &own]);
    }
    let mut whole = over(base, own, "")?;
    whole.range = 0..0;
    named::replace(&mut whole, defaults)?;
    settle(&mut whole);
    Ok(whole)
}

fn nothing<'t>() -> SourceNode<'t> {
    SourceNode { range: 0..0, content: NodeValue::Table(Vec::new()) }
}

/// Takes the defaults for each opening, board or blank away where there is none.
fn give_way_to_each(base: &mut SourceNode<'_>, said: [&SourceNode<'_>; 2]) {
    for key in EACH {
        let is_for_each = base.get(key).is_some_and(SourceNode::is_table);
        if is_for_each && said.iter().all(|said| said.get(key).is_none()) {
            drop(base.take(key));
        }
    }
}

/// Lays a value over a default of the same key.
fn over<'t>(base: SourceNode<'t>, own: SourceNode<'t>, key: &str) -> Result<SourceNode<'t>, SyntaxFault> {
    if WHOLE.contains(&key) {
        return Ok(own);
    }
    let each = EACH.contains(&key);
    match (base.content, own.content) {
        (NodeValue::Table(base), NodeValue::Table(entries)) => {
            let base = SourceNode { range: own.range.clone(), content: NodeValue::Table(base) };
            table_over_table(base, SourceNode { range: own.range, content: NodeValue::Table(entries) }, key)
        }
        (NodeValue::Table(table), NodeValue::List(items)) if each => {
            let base = SourceNode { range: base.range, content: NodeValue::Table(table) };
            let items = items.into_iter().map(|item| over(base.clone(), item, key)).collect::<Result<_, _>>()?;
            Ok(SourceNode { range: own.range, content: NodeValue::List(items) })
        }
        (NodeValue::List(items), NodeValue::Table(table)) if each => {
            let one = SourceNode { range: own.range.clone(), content: NodeValue::Table(table) };
            let items = items.into_iter().map(|item| over(item, one.clone(), key)).collect::<Result<_, _>>()?;
            Ok(SourceNode { range: own.range, content: NodeValue::List(items) })
        }
        (NodeValue::List(base), NodeValue::List(items)) if each => {
            if base.len() != items.len() {
                return Err(of_other_number(own.range, base.len(), items.len(), key));
            }
            let pairs = base.into_iter().zip(items);
            let items = pairs.map(|(base, item)| over(base, item, key)).collect::<Result<_, _>>()?;
            Ok(SourceNode { range: own.range, content: NodeValue::List(items) })
        }
        (base_content, content) => {
            let base = SourceNode { range: base.range, content: base_content };
            let own = SourceNode { range: own.range, content };
            match (long(&base, key), long(&own, key)) {
                (Some(base), Some(own)) => table_over_table(base, own, key),
                _ => Ok(own),
            }
        }
    }
}

fn table_over_table<'t>(
    mut base: SourceNode<'t>,
    own: SourceNode<'t>,
    key: &str,
) -> Result<SourceNode<'t>, SyntaxFault> {
    give_way(&mut base, &own, key);
    let NodeValue::Table(entries) = own.content else { return Ok(own) };
    for entry in entries {
        let below = spellings::usual(&entry.key).to_owned();
        let value = match base.take(&below) {
            Some(default) => over(default.value, entry.value, &below)?,
            None => entry.value,
        };
        base.put(KeyValue { value, ..entry });
    }
    base.range = own.range;
    Ok(base)
}

/// Returns a value as a table: a short form as the table that it stands for. `None` if it is neither.
fn long<'t>(node: &SourceNode<'t>, key: &str) -> Option<SourceNode<'t>> {
    if node.is_table() {
        return Some(node.clone());
    }
    if key == "border" && node.text() == Some(EQUAL) {
        let value = SourceNode { range: node.range.clone(), content: NodeValue::Boolean(true) };
        return Some(SourceNode::table_of(EQUAL, value));
    }
    let short = long_forms::of_key(key)?;
    // The size of a rabbet may be a list.
    (node.is_single() || key == "frame").then(|| SourceNode::table_of(short, node.clone()))
}

fn of_other_number(range: std::ops::Range<usize>, base: usize, own: usize, key: &str) -> SyntaxFault {
    let message = format!("the layout has {base} of `{key}`, but the job gives {own}");
    let cure = format!("give {base}, or one table for all of them, or leave out `layout`");
    SyntaxFault { range, wording: Wording::new(message, cure) }
}
