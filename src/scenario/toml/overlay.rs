//! Lays one file's tree over another's: tables merge, lists of named tables merge by name, all else replaces.

use super::nearest::suggestion;
use super::overrides::{element_index, path_steps};
use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::tree::{Entry, Node, Table, Value};

/// Key that names the file to start from.
pub(in crate::scenario) const FROM: &str = "from";

/// Key that lists what of that file is left out.
pub(in crate::scenario) const LEAVE_OUT: &str = "leave_out";

/// Which tables and keys of a lower file give way to those of an upper one.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) struct Overlaying {
    /// Keys that say what a table is about: where the upper file gives another one, the lower table's sizes are those of another
    /// thing and the whole table gives way.
    pub(in crate::scenario) kind_keys: &'static [&'static str],
    /// Tables of which one only stands.
    pub(in crate::scenario) one_of: &'static [OneOf],
    /// Keys that exclude others.
    pub(in crate::scenario) exclusions: &'static [Exclusion],
    /// Keys of which a file has at least one if it is a scenario.
    pub(in crate::scenario) tables: &'static [&'static str],
}

/// Keys of the table `table` of which one stands: where the upper file gives any of them, the others go from the lower one.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) struct OneOf {
    pub(in crate::scenario) table: &'static str,
    pub(in crate::scenario) keys: &'static [&'static str],
}

/// Keys of the table `table`: any of `given` in the upper file drives `excluded` out of the lower one.
#[derive(Debug, Clone, Copy)]
pub(in crate::scenario) struct Exclusion {
    pub(in crate::scenario) table: &'static str,
    pub(in crate::scenario) given: &'static [&'static str],
    pub(in crate::scenario) excluded: &'static [&'static str],
}

impl Overlaying {
    /// `upper` laid over `lower`. Every value keeps the place it was written at; a merged table has that of the upper one.
    #[must_use]
    pub(in crate::scenario) fn laid_over(&self, lower: Table, upper: Table) -> Table {
        self.merged(lower, upper, "")
    }

    fn merged(&self, mut lower: Table, upper: Table, path: &str) -> Table {
        self.give_way(&mut lower, &upper, path);
        for entry in upper.entries {
            let below = path_of(path, &entry.key);
            match lower.entries.iter().position(|known| known.key == entry.key) {
                None => lower.entries.push(entry),
                Some(index) => {
                    let known = &mut lower.entries[index];
                    let value = std::mem::replace(&mut known.node.value, Value::Boolean(false));
                    known.node =
                        Node { value: self.merged_value(value, entry.node.value, &below), span: entry.node.span };
                    known.key_span = entry.key_span;
                }
            }
        }
        lower
    }

    fn merged_value(&self, lower: Value, upper: Value, path: &str) -> Value {
        match (lower, upper) {
            (Value::Table(lower), Value::Table(upper)) if !self.is_of_another_kind(&lower, &upper) => {
                Value::Table(self.merged(lower, upper, path))
            }
            (Value::Array(lower), Value::Array(upper)) if all_named(&lower) && all_named(&upper) => {
                Value::Array(self.merged_list(lower, upper, path))
            }
            (_, upper) => upper,
        }
    }

    fn is_of_another_kind(&self, lower: &Table, upper: &Table) -> bool {
        self.kind_keys.iter().any(|key| upper.text(key).is_some_and(|kind| lower.text(key) != Some(kind)))
    }

    /// Elements of the lower list in its order, changed by those of the upper one with their names; new names at the end. A name
    /// that the upper list gives twice is kept twice, to be told.
    fn merged_list(&self, lower: Vec<Node>, upper: Vec<Node>, path: &str) -> Vec<Node> {
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
            items[index] = Node { value: self.merged_value(value, item.value, path), span: item.span };
        }
        items
    }

    /// Removes from the lower table what excludes a choice of the upper one.
    fn give_way(&self, lower: &mut Table, upper: &Table, path: &str) {
        let gives = |key: &str| upper.get(key).is_some();
        for OneOf { keys, .. } in self.one_of.iter().filter(|one_of| one_of.table == path) {
            if keys.iter().any(|key| gives(key)) {
                lower.entries.retain(|entry| !keys.contains(&entry.key.as_str()) || gives(&entry.key));
            }
        }
        for Exclusion { given, excluded, .. } in self.exclusions.iter().filter(|exclusion| exclusion.table == path) {
            if given.iter().any(|key| gives(key)) {
                lower.entries.retain(|entry| !excluded.contains(&entry.key.as_str()));
            }
        }
    }
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
