//! What a save has changed, for a screen beside the editor.

use crate::study::comparison::Difference;

use super::comparison::text::{difference_table, figure_rows, row, shown};
use super::page::verdict_sentence;
use super::prediction::json::Results;
use super::words::reasons::short_headline;

/// A clock in a few lines: the verdict and its figures; after a save what was changed, and the figures that are others now.
#[must_use]
pub fn text(differences: &[Difference], before: Option<&Results>, now: &Results) -> String {
    let mut out = format!("{}\n\n", verdict_sentence(now));
    let Some(before) = before else {
        for (label, decimals, pick) in figure_rows() {
            let cell = shown(pick(now), decimals);
            if cell != "-" {
                row(&mut out, label, std::iter::once(cell));
            }
        }
        return out;
    };
    let names = ["before".to_owned(), "now".to_owned()];
    out.push_str(&difference_table("What you changed", &names, differences));
    out.push_str("\nWhat that changed\n");
    let start = out.len();
    let headline = |results: &Results| short_headline(results.reason, results.meets_margin).to_owned();
    let figures =
        figure_rows().map(|(label, decimals, pick)| (label, shown(pick(before), decimals), shown(pick(now), decimals)));
    for (label, before, now) in std::iter::once(("verdict", headline(before), headline(now))).chain(figures) {
        if before != now {
            row(&mut out, label, [before, now].into_iter());
        }
    }
    if out.len() == start {
        out.push_str("  nothing: every figure is what it was, to the digits shown\n");
    }
    out
}
