//! The papers as pieces of a page, and as a page of their own.

use maud::{DOCTYPE, Markup, html};

use crate::report::page::parts::{head, headed_table};

use super::table::{PaperBody, PaperTable};
use super::units::PaperUnits;

/// A table under a heading of the third level.
#[must_use]
pub fn table_markup(table: &PaperTable, units: PaperUnits) -> Markup {
    html! {
        h3 { (table.title) }
        @match &table.body {
            PaperBody::Rows { columns, rows } => {
                (headed_table(
                    table.title,
                    &columns.iter().map(|column| column.head).collect::<Vec<_>>(),
                    &rows.iter().map(|row| row.iter().map(|cell| cell.shown(units)).collect()).collect::<Vec<_>>(),
                ))
            }
            PaperBody::List(values) => {
                (headed_table(
                    table.title,
                    &["What", "Value"],
                    &values.iter().map(|value| vec![value.label.clone(), value.cell.shown(units)]).collect::<Vec<_>>(),
                ))
            }
            PaperBody::Steps(steps) => { ol { @for step in steps { li { (step) } } } }
        }
        @if !table.notes.is_empty() { ul.small { @for note in &table.notes { li { (note) } } } }
    }
}

/// A whole document of the tables with the cautions at its end; `sheets` are the files of the drawings beside it.
#[must_use]
pub fn document(name: &str, tables: &[PaperTable], cautions: &[String], sheets: &[&str], units: PaperUnits) -> String {
    let title = format!("{name}: papers to build from");
    html! {
        (DOCTYPE)
        html lang="en" {
            (head(&title, "default-src 'none'; style-src 'unsafe-inline'"))
            body {
                header { h1 { (title) } }
                main {
                    @if !sheets.is_empty() {
                        p { "To print at full size: " @for (number, sheet) in sheets.iter().enumerate() { @if number > 0 { ", " } a href=(sheet) { (sheet) } } "." }
                    }
                    @for table in tables { section { (table_markup(table, units)) } }
                    @if !cautions.is_empty() {
                        section {
                            h3 { "Cautions" }
                            ul.cautions { @for caution in cautions { li { (caution) } } }
                        }
                    }
                }
                footer {
                    p.small { "Computed from the scenario by Beatwright " (env!("CARGO_PKG_VERSION")) "; estimates, not promises." }
                }
            }
        }
    }
    .into_string()
}
