//! Times that a table leaves out.

use crate::clock::SECONDS_PER_HOUR;
use crate::scenario::measured::TimeGap;

use super::numbers::{counted, number};

/// "2 gaps in FILE, the longest of 3.0 h, before line 17"; `None` of none.
pub(in crate::report) fn gaps_in_words(gaps: &[TimeGap], file: &str) -> Option<String> {
    let length_s = |gap: &TimeGap| gap.to_s - gap.from_s;
    let longest = gaps.iter().max_by(|one, other| length_s(one).total_cmp(&length_s(other)))?;
    let hours = number(length_s(longest) / SECONDS_PER_HOUR, 1);
    let counted = counted(gaps.len(), "gap", "gaps");
    Some(format!("{counted} in {file}, the longest of {hours} h, before line {}", longest.line))
}
