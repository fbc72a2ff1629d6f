//! What a table of measured values left out, in words.

use crate::report::words::numbers::{counted, number};
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
    if let Some(longest_s) = table.gaps.iter().map(|gap| gap.to_s - gap.from_s).max_by(f64::total_cmp) {
        let gaps = counted(table.gaps.len(), "gap", "gaps");
        notes.push(format!(
            "{gaps} in {}, the longest of {} h, before line {}",
            table.name,
            number(longest_s / 3600.0, 1),
            table.gaps[0].line
        ));
    }
    if !table.unused.is_empty() {
        notes.push(format!("unused columns of {}: {}", table.name, table.unused.join(", ")));
    }
    notes
}
