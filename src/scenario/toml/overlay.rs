//! Lays one file's tree over another's: tables merge, lists of named tables merge by name, all else replaces.

use crate::scenario::read::drive::WEIGHT_KEYS;
use crate::scenario::read::escapement::{FORMS, IDEAL_FORMS};
use crate::scenario::read::outline::PARTS;
use crate::scenario::read::pendulum::PART_KEYS;

use super::nearest::suggestion;
use super::overrides::{element_index, path_steps};
use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::tree::{Entry, Node, Table, Value};

/// Key that names the file to start from.
pub(in crate::scenario) const FROM: &str = "from";

/// Key that lists what of that file is left out.
pub(in crate::scenario) const LEAVE_OUT: &str = "leave_out";

/// Keys that say what a table is about: where the upper file gives another one, the lower table's sizes are those of another
/// thing and the whole table gives way.
const KIND_KEYS: [&str; 3] = ["kind", "shape", "form"];

/// Keys of one table of which those of one side exclude those of the other: given above, they drive out the other side below.
struct Alternative {
    table: &'static str,
    one: &'static [&'static str],
    other: &'static [&'static str],
}

const ALTERNATIVES: [Alternative; 5] = [
    Alternative { table: "place", one: &["gravity"], other: &["latitude", "height"] },
    Alternative { table: "pendulum", one: &["lumped"], other: &PART_KEYS },
    Alternative { table: "drive", one: &["lumped"], other: &WEIGHT_KEYS },
    Alternative { table: "escapement.outline", one: &["drawing"], other: &PARTS },
    Alternative { table: "escapement.ideal_kick", one: &["energy"], other: &["speed"] },
];

/// `upper` laid over `lower`. Every value keeps the place it was written at; a merged table has that of the upper one.
#[must_use]
pub(in crate::scenario) fn laid_over(lower: Table, upper: Table) -> Table {
    merged(lower, upper, "")
}

fn merged(mut lower: Table, upper: Table, path: &str) -> Table {
    give_way(&mut lower, &upper, path);
    for entry in upper.entries {
        let below = path_of(path, &entry.key);
        match lower.entries.iter().position(|known| known.key == entry.key) {
            None => lower.entries.push(entry),
            Some(index) => {
                let known = &mut lower.entries[index];
                let value = std::mem::replace(&mut known.node.value, Value::Boolean(false));
                known.node = Node { value: merged_value(value, entry.node.value, &below), span: entry.node.span };
                known.key_span = entry.key_span;
            }
        }
    }
    lower
}

fn merged_value(lower: Value, upper: Value, path: &str) -> Value {
    match (lower, upper) {
        (Value::Table(lower), Value::Table(upper)) if !is_of_another_kind(&lower, &upper) => {
            Value::Table(merged(lower, upper, path))
        }
        (Value::Array(lower), Value::Array(upper)) if all_named(&lower) && all_named(&upper) => {
            Value::Array(merged_list(lower, upper, path))
        }
        (_, upper) => upper,
    }
}

fn is_of_another_kind(lower: &Table, upper: &Table) -> bool {
    KIND_KEYS.iter().any(|key| upper.text(key).is_some_and(|kind| lower.text(key) != Some(kind)))
}

fn name_of(item: &Node) -> Option<&str> {
    match &item.value {
        Value::Table(table) => table.text("name"),
        _ => None,
    }
}

fn all_named(items: &[Node]) -> bool {
    items.iter().all(|item| name_of(item).is_some())
}

/// Elements of the lower list in its order, changed by those of the upper one with their names; new names at the end. A name
/// that the upper list gives twice is kept twice, to be told.
fn merged_list(lower: Vec<Node>, upper: Vec<Node>, path: &str) -> Vec<Node> {
    let mut items = lower;
    let mut taken = vec![false; items.len()];
    for item in upper {
        let place = items.iter().zip(&taken).position(|(known, taken)| !taken && name_of(known) == name_of(&item));
        let Some(index) = place else {
            items.push(item);
            taken.push(true);
            continue;
        };
        taken[index] = true;
        let value = std::mem::replace(&mut items[index].value, Value::Boolean(false));
        items[index] = Node { value: merged_value(value, item.value, path), span: item.span };
    }
    items
}

/// Removes from the lower table what excludes a choice of the upper one.
fn give_way(lower: &mut Table, upper: &Table, path: &str) {
    if path == "escapement" && FORMS.iter().any(|form| upper.get(form).is_some()) {
        // An ideal escapement has no wheel whose body could stay.
        let ideal = IDEAL_FORMS.iter().any(|form| upper.get(form).is_some());
        lower.entries.retain(|entry| match entry.key.as_str() {
            "wheel" => !ideal,
            form => !FORMS.contains(&form) || upper.get(form).is_some(),
        });
    }
    for alternative in ALTERNATIVES.iter().filter(|alternative| alternative.table == path) {
        for (chosen, excluded) in [(alternative.one, alternative.other), (alternative.other, alternative.one)] {
            if chosen.iter().any(|key| upper.get(key).is_some()) {
                lower.entries.retain(|entry| !excluded.contains(&entry.key.as_str()));
            }
        }
    }
}

fn path_of(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

/// Takes `leave_out` out of `upper` and what it lists out of `lower`, and tells what is not there.
pub(in crate::scenario) fn leave_out(lower: &mut Table, upper: &mut Table) -> Vec<Problem> {
    let Some(entry) = taken(upper, LEAVE_OUT) else { return Vec::new() };
    let help = "write a list of dotted paths: leave_out = [\"pendulum.nut\", \"train.arbor.third\"]";
    let wrong = |node: &Node, what: &str| Problem {
        code: ProblemCode::WrongType,
        message: format!("`{LEAVE_OUT}` {what} {}", node.value.type_name()),
        help: help.to_owned(),
        span: node.span,
    };
    let Value::Array(items) = &entry.node.value else { return vec![wrong(&entry.node, "is")] };
    let mut problems = Vec::new();
    for item in items {
        let Value::Text(path) = &item.value else {
            problems.push(wrong(item, "lists"));
            continue;
        };
        let steps = path_steps(path).unwrap_or_default();
        let names: Vec<&str> = steps.iter().map(|step| step.name.as_str()).collect();
        if !removed(lower, &names) {
            let known = paths(lower);
            let known: Vec<&str> = known.iter().map(String::as_str).collect();
            problems.push(Problem {
                code: ProblemCode::UnknownName,
                message: format!("there is no `{path}` to leave out"),
                help: suggestion(path, &known, "path"),
                span: item.span,
            });
        }
    }
    problems
}

/// The entry of a key, taken out of the table.
pub(in crate::scenario) fn taken(table: &mut Table, key: &str) -> Option<Entry> {
    let index = table.entries.iter().position(|entry| entry.key == key)?;
    Some(table.entries.remove(index))
}

/// Removes the value at a path; whether it was there.
fn removed(table: &mut Table, names: &[&str]) -> bool {
    let Some((first, rest)) = names.split_first() else { return false };
    if rest.is_empty() {
        return taken(table, first).is_some();
    }
    let Some(entry) = table.get_mut(first) else { return false };
    match &mut entry.node.value {
        Value::Table(inner) => removed(inner, rest),
        Value::Array(items) => {
            let Some(index) = element_index(items, rest[0]) else { return false };
            if rest.len() == 1 {
                items.remove(index);
                return true;
            }
            match &mut items[index].value {
                Value::Table(inner) => removed(inner, &rest[1..]),
                _ => false,
            }
        }
        _ => false,
    }
}

/// Every path of the tree, those of tables before what they hold.
fn paths(table: &Table) -> Vec<String> {
    let mut found: Vec<String> = Vec::new();
    for (leaf, _) in table.leaves() {
        for (at, _) in leaf.match_indices('.') {
            if !found.iter().any(|known| *known == leaf[..at]) {
                found.push(leaf[..at].to_owned());
            }
        }
        found.push(leaf);
    }
    found
}
