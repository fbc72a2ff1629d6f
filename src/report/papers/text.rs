//! The papers as text.

use std::fmt::Write as _;

use super::table::{PaperBody, PaperTable};
use super::units::PaperUnits;

/// Spaces between two columns.
const GAP: &str = "  ";

/// The tables one below the other.
#[must_use]
pub fn text(tables: &[PaperTable], units: PaperUnits) -> String {
    tables.iter().map(|table| table_text(table, units)).collect::<Vec<_>>().join("\n")
}

fn table_text(table: &PaperTable, units: PaperUnits) -> String {
    let mut out = format!("{}\n", table.title);
    match &table.body {
        PaperBody::Rows { columns, rows } => {
            let heads = columns.iter().map(|column| column.head.to_owned()).collect();
            let shown = rows.iter().map(|row| row.iter().map(|cell| cell.shown(units)).collect());
            out += &aligned(&std::iter::once(heads).chain(shown).collect::<Vec<Vec<String>>>());
        }
        PaperBody::List(values) => {
            let lines = values.iter().map(|value| vec![value.label.clone(), value.cell.shown(units)]);
            out += &aligned(&lines.collect::<Vec<_>>());
        }
        PaperBody::Steps(steps) => {
            for (number, step) in steps.iter().enumerate() {
                let _ = writeln!(out, "{GAP}{}. {step}", number + 1);
            }
        }
    }
    for note in &table.notes {
        let _ = writeln!(out, "{GAP}{note}");
    }
    out
}

/// Lines whose columns begin below each other.
fn aligned(lines: &[Vec<String>]) -> String {
    let columns = lines.iter().map(Vec::len).max().unwrap_or(0);
    let widths: Vec<usize> = (0..columns)
        .map(|column| {
            lines.iter().filter_map(|line| line.get(column)).map(|cell| cell.chars().count()).max().unwrap_or(0)
        })
        .collect();
    let mut out = String::new();
    for line in lines {
        let cells = line.iter().zip(&widths).map(|(cell, &width)| format!("{cell:<width$}"));
        let _ = writeln!(out, "{GAP}{}", cells.collect::<Vec<_>>().join(GAP).trim_end());
    }
    out
}
