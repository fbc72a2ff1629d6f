//! The papers as CSV, a file a table, at full precision.

use crate::report::csv_table::{CsvTable, exact, written};

use super::table::{CellKind, PaperBody, PaperCell, PaperColumn, PaperTable, column_kind};
use super::units::{PaperUnits, diametral_pitch, inches};

/// The tables that hold anything. Lengths are in mm, and with inches in a column of their own beside them.
#[must_use]
pub fn csv_tables(tables: &[PaperTable], units: PaperUnits) -> Vec<CsvTable> {
    tables.iter().filter_map(|table| csv_table(table, units)).collect()
}

fn csv_table(table: &PaperTable, units: PaperUnits) -> Option<CsvTable> {
    match &table.body {
        PaperBody::Rows { columns, rows } => {
            let kinds: Vec<CellKind> = (0..columns.len()).map(|index| column_kind(rows, index)).collect();
            let heads: Vec<String> =
                columns.iter().zip(&kinds).flat_map(|(column, kind)| heads(*kind, *column, units)).collect();
            let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
            let lines = rows
                .iter()
                .map(|row| row.iter().zip(&kinds).flat_map(|(cell, kind)| cells(*kind, cell, units)).collect());
            written(table.name, &heads, lines)
        }
        PaperBody::List(values) => {
            let heads: &[&str] = match units {
                PaperUnits::Millimetres => &["key", "what", "value", "unit"],
                PaperUnits::Inches => &["key", "what", "value", "unit", "value_in"],
            };
            let lines = values.iter().map(|value| {
                let shown = value.cell.value().map_or_else(|| words(&value.cell), exact);
                let unit = value.cell.kind().unit().to_owned();
                let mut line = vec![value.key.clone(), value.label.clone(), shown, unit];
                if units == PaperUnits::Inches {
                    line.push(in_inches(&value.cell));
                }
                line
            });
            written(table.name, heads, lines)
        }
        PaperBody::Steps(steps) => {
            let lines = steps.iter().enumerate().map(|(number, step)| vec![(number + 1).to_string(), step.clone()]);
            written(table.name, &["step", "what to do"], lines)
        }
    }
}

fn heads(kind: CellKind, column: PaperColumn, units: PaperUnits) -> Vec<String> {
    let key = column.key;
    let own = super::json::with_unit(key, kind.unit());
    match (kind, units) {
        (CellKind::Length, PaperUnits::Inches) => vec![own, format!("{key}_in")],
        (CellKind::Module, PaperUnits::Inches) => vec![own, "diametral_pitch".to_owned()],
        _ => vec![own],
    }
}

fn cells(kind: CellKind, cell: &PaperCell, units: PaperUnits) -> Vec<String> {
    let own = cell.value().map_or_else(|| words(cell), exact);
    match (kind, units) {
        (CellKind::Length, PaperUnits::Inches) => vec![own, in_inches(cell)],
        (CellKind::Module, PaperUnits::Inches) => {
            let pitch = match cell {
                PaperCell::Module(module_m) => exact(diametral_pitch(*module_m)),
                _ => String::new(),
            };
            vec![own, pitch]
        }
        _ => vec![own],
    }
}

/// A length in inches; empty of anything else.
fn in_inches(cell: &PaperCell) -> String {
    match cell {
        PaperCell::Length(length_m, _) | PaperCell::Module(length_m) => exact(inches(*length_m)),
        _ => String::new(),
    }
}

/// Words of a cell without a number; empty where it has none.
fn words(cell: &PaperCell) -> String {
    match cell {
        PaperCell::Text(text) => text.clone(),
        PaperCell::NotStated(_) => super::table::NOT_STATED.to_owned(),
        _ => String::new(),
    }
}
