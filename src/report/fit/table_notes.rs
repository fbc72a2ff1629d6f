//! What a table of measured values left out, in words.

use crate::report::words::gaps::gaps_in_words;
use crate::report::words::numbers::counted;
use crate::scenario::measured::MeasuredTable;

/// Remarks on rows refused, readings missing, gaps and columns not used.
#[must_use]
pub fn table_notes(table: &MeasuredTable) -> Vec<String> {
    let mut notes = Vec::new();
    if table.refused_count > 0 {
        notes.push(format!("{} of {} refused:", counted(table.refused_count, "row", "rows"), table.name));
        notes.extend(
            table.refused.iter().map(|row| format!("  {}:{}:{}: {}", table.name, row.line, row.column, row.why)),
        );
        let unlisted = table.refused_count - table.refused.len();
        if unlisted > 0 {
            notes.push(format!("  and {unlisted} more"));
        }
    }
    if table.missing_count > 0 {
        let lines: Vec<String> =
            table.missing.iter().take(5).map(|cell| format!("{} in line {}", cell.column, cell.line)).collect();
        let more = if table.missing_count > lines.len() { ", ..." } else { "" };
        let cells = counted(table.missing_count, "cell", "cells");
        notes.push(format!("{cells} of {} without a reading: {}{more}", table.name, lines.join(", ")));
    }
    notes.extend(gaps_in_words(&table.gaps, &table.name));
    if !table.unused.is_empty() {
        notes.push(format!("unused columns of {}: {}", table.name, table.unused.join(", ")));
    }
    notes
}
