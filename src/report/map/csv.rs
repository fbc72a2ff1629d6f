//! The points of a map, one a row.

use crate::report::csv_table::{exact, optional, shown_only, yes_or_no};
use crate::study::map::Map;

use super::view::columns;
use super::{MapView, reason_text, verdict_key};

/// The rows as CSV; units in the names of the columns.
#[must_use]
pub fn table(view: &MapView<'_>, map: &Map) -> Option<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(columns(view).iter().map(|cell| shown_only(cell).into_owned())).ok()?;
    for row in &map.rows {
        let mut record = vec![exact(row.x)];
        record.extend(row.y.map(exact));
        record.push(verdict_key(&row.outcome).to_owned());
        record.push(reason_text(&row.outcome));
        record.push(yes_or_no(row.meets_margin()));
        record.extend((0..view.keys.len()).map(|key| optional(row.answers.get(key).copied().flatten())));
        writer.write_record(record.iter().map(|cell| shown_only(cell).into_owned())).ok()?;
    }
    String::from_utf8(writer.into_inner().ok()?).ok()
}
