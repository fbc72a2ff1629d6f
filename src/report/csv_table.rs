//! Tables as CSV, at full precision; units stand in the names of the columns.

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
    writer.write_record(columns).ok()?;
    let mut any = false;
    for row in rows {
        writer.write_record(&row).ok()?;
        any = true;
    }
    let text = String::from_utf8(writer.into_inner().ok()?).ok()?;
    any.then_some(CsvTable { name, text })
}
