//! The papers as CSV, a file a table, at full precision.

use crate::report::csv_table::{CsvTable, exact, written};

use super::table::{PaperBody, PaperCell, PaperColumn, PaperTable};
use super::units::{PaperUnits, diametral_pitch, inches};

/// The tables that hold anything. Lengths are in mm, and with inches in a column of their own beside them.
#[must_use]
pub fn csv_tables(tables: &[PaperTable], units: PaperUnits) -> Vec<CsvTable> {
    tables.iter().filter_map(|table| csv_table(table, units)).collect()
}

fn csv_table(table: &PaperTable, units: PaperUnits) -> Option<CsvTable> {
    match &table.body {
        PaperBody::Rows { columns, rows } => {
            let kinds: Vec<ColumnKind> = (0..columns.len()).map(|index| ColumnKind::of(rows, index)).collect();
            let heads: Vec<String> =
                columns.iter().zip(&kinds).flat_map(|(column, kind)| kind.heads(*column, units)).collect();
            let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
            let lines = rows
                .iter()
                .map(|row| row.iter().zip(&kinds).flat_map(|(cell, kind)| kind.cells(cell, units)).collect());
            written(table.name, &heads, lines)
        }
        PaperBody::List(values) => {
            let heads: &[&str] = match units {
                PaperUnits::Millimetres => &["key", "what", "value", "unit"],
                PaperUnits::Inches => &["key", "what", "value", "unit", "value_in"],
            };
            let lines = values.iter().map(|value| {
                let (number, unit) = match value.cell.value() {
                    Some((number, unit)) => (exact(number), unit),
                    None => (words(&value.cell), ""),
                };
                let mut line = vec![value.key.clone(), value.label.clone(), number, unit.to_owned()];
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

/// What a column holds.
enum ColumnKind {
    Words,
    Lengths,
    Modules,
    Numbers(&'static str),
}

impl ColumnKind {
    fn of(rows: &[Vec<PaperCell>], column: usize) -> Self {
        let mut cells = rows.iter().filter_map(|row| row.get(column));
        cells
            .find_map(|cell| match cell {
                PaperCell::Length(..) => Some(Self::Lengths),
                PaperCell::Module(_) => Some(Self::Modules),
                PaperCell::Number(_, _, unit) => Some(Self::Numbers(unit)),
                PaperCell::Count(_) => Some(Self::Numbers("")),
                PaperCell::Text(_) | PaperCell::NotStated | PaperCell::Nothing => None,
            })
            .unwrap_or(Self::Words)
    }

    fn heads(&self, column: PaperColumn, units: PaperUnits) -> Vec<String> {
        let key = column.key;
        match (self, units) {
            (Self::Words, _) => vec![key.to_owned()],
            (Self::Numbers(unit), _) => vec![super::json::with_unit(key, unit)],
            (_, PaperUnits::Millimetres) => vec![format!("{key}_mm")],
            (Self::Lengths, PaperUnits::Inches) => vec![format!("{key}_mm"), format!("{key}_in")],
            (Self::Modules, PaperUnits::Inches) => vec![format!("{key}_mm"), "diametral_pitch".to_owned()],
        }
    }

    fn cells(&self, cell: &PaperCell, units: PaperUnits) -> Vec<String> {
        let own = cell.value().map_or_else(|| words(cell), |(value, _)| exact(value));
        match (self, units) {
            (Self::Lengths, PaperUnits::Inches) => vec![own, in_inches(cell)],
            (Self::Modules, PaperUnits::Inches) => {
                let pitch = match cell {
                    PaperCell::Module(module_m) => exact(diametral_pitch(*module_m)),
                    _ => String::new(),
                };
                vec![own, pitch]
            }
            _ => vec![own],
        }
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
        PaperCell::NotStated => super::table::NOT_STATED.to_owned(),
        _ => String::new(),
    }
}
