//! The papers as JSON: lengths in mm, whatever the papers are in.

use serde::Serialize;
use serde_json::{Map, Value};

use crate::report::provenance::Provenance;

use super::table::{PaperBody, PaperCell, PaperTable, column_kind};

/// What `papers --json` prints.
#[derive(Debug, Clone, Serialize)]
pub struct PapersRecord {
    /// Where the numbers come from.
    pub provenance: Provenance,
    /// The clock's name.
    pub name: String,
    /// The tables by their names; `null` where a value is not stated or has no meaning.
    #[serde(flatten)]
    pub tables: Map<String, Value>,
    /// What can hurt.
    pub cautions: Vec<String>,
}

impl PapersRecord {
    /// The keys of tables in millimetres.
    #[must_use]
    pub fn of(provenance: Provenance, name: String, tables: &[PaperTable], cautions: Vec<String>) -> Self {
        let keyed = tables.iter().map(|table| (table.name.replace('-', "_"), table_value(table)));
        Self { provenance, name, tables: keyed.collect(), cautions }
    }
}

fn table_value(table: &PaperTable) -> Value {
    let (key, body) = match &table.body {
        PaperBody::Rows { columns, rows } => {
            // A key has one unit in all rows, also in those without a value.
            let units: Vec<&str> = (0..columns.len()).map(|index| column_kind(rows, index).unit()).collect();
            let object = |row: &Vec<PaperCell>| -> Value {
                let cells = columns.iter().zip(&units).zip(row);
                cells.map(|((column, unit), cell)| (with_unit(column.key, unit), cell_value(cell))).collect()
            };
            ("rows", Value::Array(rows.iter().map(object).collect()))
        }
        PaperBody::List(values) => {
            let keyed =
                values.iter().map(|value| (with_unit(&value.key, value.cell.kind().unit()), cell_value(&value.cell)));
            ("values", keyed.collect())
        }
        PaperBody::Steps(steps) => ("steps", steps.iter().cloned().map(Value::String).collect()),
    };
    let notes = table.notes.iter().cloned().map(Value::String).collect();
    Value::Object([(key.to_owned(), body), ("notes".to_owned(), notes)].into_iter().collect())
}

fn cell_value(cell: &PaperCell) -> Value {
    match cell {
        PaperCell::Text(text) => Value::String(text.clone()),
        PaperCell::Count(count) => Value::from(*count),
        other => other.value().map_or(Value::Null, Value::from),
    }
}

/// A key with its unit as the keys of results have it.
pub(super) fn with_unit(key: &str, unit: &str) -> String {
    let suffix = match unit {
        "" => return key.to_owned(),
        "%" => "percent".to_owned(),
        "s/day" => "s_per_day".to_owned(),
        other => other.replace(' ', "_"),
    };
    format!("{key}_{suffix}")
}
