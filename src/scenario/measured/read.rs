//! From a file, or a text, to a table.

use std::path::Path;

use crate::scenario::toml::fingerprint::fingerprint_of;
use crate::scenario::toml::text_file::{Unread, bytes_of, text_in_utf8, without_mark};

use super::cells::remarks;
use super::rows::{TableProblems, rows};
use super::{LARGEST_TABLE_BYTES, MeasuredTable, RowCheck, TableError, WantedTable};

/// The table in the file `path`; `skip_bad`: whether bad rows are refused and listed instead of being problems. `check` has the last word
/// on a row.
///
/// # Errors
/// [`TableError`]: unreadable, a directory, larger than [`LARGEST_TABLE_BYTES`], not UTF-8, empty, or with problems, all of which are
/// shown at once.
pub fn load_table(
    path: &Path,
    wanted: &WantedTable,
    skip_bad: bool,
    check: &RowCheck<'_>,
) -> Result<MeasuredTable, TableError> {
    let what = wanted.what;
    let bytes = bytes_of(path, LARGEST_TABLE_BYTES).map_err(|why| match why {
        Unread::Unreadable(reason) => TableError::Unreadable { what, path: path.to_owned(), reason },
        Unread::Directory => TableError::Directory { what, path: path.to_owned() },
        Unread::NotRegular => TableError::NotRegular { what, path: path.to_owned() },
        Unread::TooLarge => TableError::TooLarge { what, path: path.to_owned() },
    })?;
    let text = text_in_utf8(bytes).map_err(|(line, at)| TableError::NotText { path: path.to_owned(), line, at })?;
    read_table(&path.display().to_string(), &text, wanted, skip_bad, check)
}

/// The table in `text`, called `name` in messages.
///
/// # Errors
/// [`TableError::Empty`] and [`TableError::Problems`].
pub fn read_table(
    name: &str,
    text: &str,
    wanted: &WantedTable,
    skip_bad: bool,
    check: &RowCheck<'_>,
) -> Result<MeasuredTable, TableError> {
    let text = without_mark(text);
    if text.trim().is_empty() {
        return Err(TableError::Empty { what: wanted.what, example: wanted.example, name: name.to_owned() });
    }
    let mut found = TableProblems::of(name);
    let read = match rows(wanted, text, skip_bad, check, &mut found) {
        Some(read) if found.none() => read,
        _ => return Err(found.problems(wanted, text).into()),
    };
    let (refused, refused_count) = found.into_refused();
    let columns = (read.columns.numbers.iter().enumerate())
        .map(|(index, column)| column.as_ref().map(|_| read.values.iter().map(|row| row[index]).collect()))
        .collect();
    Ok(MeasuredTable {
        name: name.to_owned(),
        hash: fingerprint_of(std::iter::once(text.as_bytes())),
        times_s: read.times_s,
        began: read.began,
        columns,
        lines: read.lines,
        step_s: read.step_s,
        refused,
        refused_count,
        gaps: read.gaps,
        missing: read.missing,
        missing_count: read.missing_count,
        unused: read.columns.unused,
        remarks: remarks(text),
    })
}
