//! Tables as CSV, at full precision; units stand in the names of the columns.

use std::borrow::Cow;

/// A table.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct CsvTable {
    /// File stem: that of the figure that draws it.
    pub name: &'static str,
    /// Its text, column names first.
    pub text: String,
}

/// A number that reads back as it was; empty where it is none.
pub(in crate::report) fn exact(value: f64) -> String {
    if value.is_finite() { value.to_string() } else { String::new() }
}

/// A text that a spreadsheet shows and does not run: one that begins like a formula, and is no number, gets an apostrophe before it.
///
/// OWASP, "CSV Injection" (recalled): cells that begin with =, +, -, @, a tab or a carriage return may be run; an apostrophe before them
/// makes them text.
#[must_use]
pub fn shown_only(cell: &str) -> Cow<'_, str> {
    let begins_like_a_formula = cell.starts_with(['=', '+', '-', '@', '\t', '\r']);
    if begins_like_a_formula && cell.parse::<f64>().is_err() { format!("'{cell}").into() } else { cell.into() }
}

pub(in crate::report) fn optional(value: Option<f64>) -> String {
    value.map(exact).unwrap_or_default()
}

/// An answer to a question; empty where it has no meaning.
pub(in crate::report) fn yes_or_no(answer: Option<bool>) -> String {
    answer.map_or("", |yes| if yes { "yes" } else { "no" }).to_owned()
}

/// A table, or `None` if it has no rows.
pub(in crate::report) fn written(
    name: &'static str,
    columns: &[&str],
    rows: impl Iterator<Item = Vec<String>>,
) -> Option<CsvTable> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    let mut write = |cells: &mut dyn Iterator<Item = &str>| -> Option<()> {
        writer.write_record(cells.map(|cell| shown_only(cell).into_owned())).ok()
    };
    write(&mut columns.iter().copied())?;
    let mut any = false;
    for row in rows {
        write(&mut row.iter().map(String::as_str))?;
        any = true;
    }
    let text = String::from_utf8(writer.into_inner().ok()?).ok()?;
    any.then_some(CsvTable { name, text })
}
