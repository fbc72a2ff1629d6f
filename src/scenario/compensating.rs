//! The length of a column that is to make heat harmless.

use crate::answers::compensation::{NotCompensated, compensated};

use super::read::design::DesignRead;
use super::read::pendulum::COMPENSATING;
use super::toml::reader::Reader;
use super::toml::source::{Sources, Span};
use super::toml::tree::{Table, Value};

/// The scenario as read, its compensating column given its length; `None` after a problem.
pub(super) fn with_compensation(reader: &Reader, tree: &Table, read: DesignRead) -> Option<DesignRead> {
    if !reader.is_clean() {
        return Some(read);
    }
    match compensated(&read.made) {
        Ok(made) => Some(DesignRead { made, ..read }),
        // What cannot be built is told, at the key that can mend it, by whoever builds it.
        Err(NotCompensated::Build(_)) => Some(read),
        Err(error) => {
            let span = compensating_span(tree).unwrap_or(Span { source: Sources::FILE, start: 0, end: 0 });
            let help = "give the column a length, another material or the other direction".to_owned();
            reader.report("not_compensated", error.to_string(), help, span);
            None
        }
    }
}

/// Where the length that is to be solved stands.
fn compensating_span(tree: &Table) -> Option<Span> {
    let Value::Table(pendulum) = &tree.get("pendulum")?.node.value else { return None };
    let Value::Array(columns) = &pendulum.get("column")?.node.value else { return None };
    columns.iter().find_map(|column| match &column.value {
        Value::Table(column) if column.text("length").is_some_and(|text| text.trim() == COMPENSATING) => {
            column.get("length").map(|entry| entry.node.span)
        }
        _ => None,
    })
}
