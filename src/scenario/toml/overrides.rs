//! `--set path=value`: puts one value into the tree.

use std::ops::Range;

use toml::de::DeValue;

use super::nearest::suggestion;
use super::overlay::{FROM, LEAVE_OUT};
use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::source::{SourceId, Sources, Span};
use super::tree::{Entry, Node, Planting, Table, Value};

/// One step of a dotted path and where it stands in its text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PathStep {
    /// Key, name or index.
    pub name: String,
    /// Bytes of the path text.
    pub range: Range<usize>,
}

/// The steps of a dotted path; parts may be quoted as in TOML. `None` for an empty part or an open quote.
#[must_use]
pub fn path_steps(path: &str) -> Option<Vec<PathStep>> {
    let mut steps = Vec::new();
    let mut rest = path;
    loop {
        let lead = rest.len() - rest.trim_start().len();
        let start = path.len() - rest.len() + lead;
        rest = &rest[lead..];
        let quote = rest.chars().next().filter(|&letter| matches!(letter, '"' | '\''));
        let (name, after) = match quote {
            Some(mark) => rest[1..].split_once(mark)?,
            None => {
                let end = rest.find('.').unwrap_or(rest.len());
                (rest[..end].trim_end(), &rest[end..])
            }
        };
        if name.is_empty() {
            return None;
        }
        let quotes = usize::from(quote.is_some());
        steps.push(PathStep { name: name.to_owned(), range: start..start + name.len() + 2 * quotes });
        let after = after.trim_start();
        if after.is_empty() {
            return Some(steps);
        }
        rest = after.strip_prefix('.')?;
    }
}

/// Index of an element of a list of tables: its number, or the one whose `name` is `step`.
#[must_use]
pub fn element_index(items: &[Node], step: &str) -> Option<usize> {
    let by_name = items.iter().position(|item| match &item.value {
        Value::Table(table) => table.text("name") == Some(step),
        _ => false,
    });
    by_name.or_else(|| step.parse().ok().filter(|&index: &usize| index < items.len()))
}

/// Puts the override `text` into the tree, or says what is wrong with it.
pub fn apply(root: &mut Table, text: &str, id: SourceId, sources: &Sources) -> Result<(), Box<Problem>> {
    let planting = Planting { id, source: sources.get(id), offset: 0 };
    let whole = planting.span(0..text.len());
    let malformed = || {
        Box::new(Problem {
            code: ProblemCode::MalformedOverride,
            message: format!("{} is not of the form path=value", quoted(text)),
            help: "write, for example, --set drive.weight=\"3 kg\"".to_owned(),
            span: whole,
        })
    };
    let equals = equals_sign(text).ok_or_else(malformed)?;
    let steps = path_steps(&text[..equals]).ok_or_else(malformed)?;
    if let Some(first) = steps.first().filter(|step| [FROM, LEAVE_OUT].contains(&step.name.as_str())) {
        return Err(Box::new(Problem {
            code: ProblemCode::MalformedOverride,
            message: format!("{} can only be set in a file", quoted(&first.name)),
            help: "write a file with from = \"heron.toml\" and what it changes".to_owned(),
            span: whole,
        }));
    }
    let value = override_value(text, equals + 1, planting)?;
    put(root, &steps, value, planting)
}

/// Place of the first `=` outside quotes.
fn equals_sign(text: &str) -> Option<usize> {
    let mut open: Option<char> = None;
    for (at, letter) in text.char_indices() {
        match (open, letter) {
            (None, '=') => return Some(at),
            (None, '"' | '\'') => open = Some(letter),
            (Some(mark), _) if mark == letter => open = None,
            _ => {}
        }
    }
    None
}

/// The value after the `=`: TOML, or bare text where it is no TOML and does not begin like a text, list or table.
fn override_value(text: &str, start: usize, planting: Planting<'_>) -> Result<Node, Box<Problem>> {
    let rest = &text[start..];
    let lead = start + rest.len() - rest.trim_start().len();
    let written = rest.trim();
    let planting = Planting { offset: lead, ..planting };
    let span = planting.span(0..written.len());
    if written.is_empty() {
        let message = "the value is missing".to_owned();
        let help = "write the value after the \"=\", for example --set drive.weight=\"3 kg\"".to_owned();
        let whole = Planting { offset: 0, ..planting }.span(0..text.len());
        return Err(Box::new(Problem { code: ProblemCode::MalformedOverride, message, help, span: whole }));
    }
    match DeValue::parse(written) {
        Ok(value) => Ok(planting.node(value.get_ref(), 0..written.len())),
        Err(error) if written.starts_with(['"', '\'', '[', '{']) => Err(Box::new(Problem {
            code: ProblemCode::Syntax,
            message: format!("the value cannot be read: {}", error.message()),
            help: "write the value as in the file; plain text needs no quotes here".to_owned(),
            span: error.span().filter(|range| range.start < written.len()).map_or(span, |range| planting.span(range)),
        })),
        Err(_) => Ok(Node { value: Value::Text(written.to_owned()), span }),
    }
}

/// Walks down `steps`, making tables that are not there, and sets the value. What the reader does not know it reports
/// later, at the key's place in the override.
fn put(root: &mut Table, steps: &[PathStep], value: Node, planting: Planting<'_>) -> Result<(), Box<Problem>> {
    let Some((last, parents)) = steps.split_last() else { return Ok(()) };
    let mut table = root;
    let mut parents = parents.iter();
    while let Some(step) = parents.next() {
        let step_span = planting.span(step.range.clone());
        let node = entry_of(table, step, step_span);
        table = match &mut node.value {
            Value::Table(inner) => inner,
            Value::Array(items) => {
                let Some(choice) = parents.next() else {
                    return replace_element(items, last, value, planting);
                };
                element_table(items, choice, planting)?
            }
            other => return Err(not_a_table(step, other.type_name(), step_span)),
        };
    }
    let last_span = planting.span(last.range.clone());
    match table.get_mut(&last.name) {
        Some(entry) => {
            entry.key_span = last_span;
            entry.node = value;
        }
        None => table.entries.push(Entry { key: last.name.clone(), key_span: last_span, node: value }),
    }
    Ok(())
}

/// The node of a step, an empty table where there was none.
fn entry_of<'t>(table: &'t mut Table, step: &PathStep, span: Span) -> &'t mut Node {
    let index = match table.entries.iter().position(|entry| entry.key == step.name) {
        Some(index) => index,
        None => {
            let node = Node { value: Value::Table(Table::default()), span };
            table.entries.push(Entry { key: step.name.clone(), key_span: span, node });
            table.entries.len() - 1
        }
    };
    &mut table.entries[index].node
}

fn element_table<'t>(
    items: &'t mut [Node],
    choice: &PathStep,
    planting: Planting<'_>,
) -> Result<&'t mut Table, Box<Problem>> {
    let span = planting.span(choice.range.clone());
    let Some(index) = element_index(items, &choice.name) else { return Err(no_such_element(items, choice, span)) };
    match &mut items[index].value {
        Value::Table(inner) => Ok(inner),
        other => Err(not_a_table(choice, other.type_name(), span)),
    }
}

fn replace_element(
    items: &mut [Node],
    choice: &PathStep,
    value: Node,
    planting: Planting<'_>,
) -> Result<(), Box<Problem>> {
    match element_index(items, &choice.name) {
        Some(index) => {
            items[index] = value;
            Ok(())
        }
        None => Err(no_such_element(items, choice, planting.span(choice.range.clone()))),
    }
}

fn no_such_element(items: &[Node], choice: &PathStep, span: Span) -> Box<Problem> {
    let names: Vec<&str> = items
        .iter()
        .filter_map(|item| match &item.value {
            Value::Table(table) => table.text("name"),
            _ => None,
        })
        .collect();
    let help = match items.len().checked_sub(1) {
        Some(highest) if names.is_empty() => format!("write a number from 0 to {highest}"),
        Some(_) => suggestion(&choice.name, &names, "name"),
        None => "the list is empty".to_owned(),
    };
    let message = format!("the list has no element {}", quoted(&choice.name));
    Box::new(Problem { code: ProblemCode::UnknownName, message, help, span })
}

fn not_a_table(step: &PathStep, found: &str, span: Span) -> Box<Problem> {
    let message = format!("{} is {found}; nothing can be set inside it", quoted(&step.name));
    let help = "set the value itself, or leave out the rest of the path".to_owned();
    Box::new(Problem { code: ProblemCode::WrongType, message, help, span })
}

fn quoted(text: &str) -> String {
    format!("`{text}`")
}
