//! Scenarios side by side, for the terminal.

use std::fmt::Write as _;

use crate::report::prediction::json::Results;
use crate::report::words::numbers::number;
use crate::report::words::reasons::short_headline;
use crate::study::comparison::Difference;

/// Width of a column, characters.
const COLUMN: usize = 18;

/// Width of the labels, characters.
const LABEL: usize = 36;

/// A row of clocks side by side: label, decimals, where the number stands.
pub(in crate::report) type FigureRow = (&'static str, usize, fn(&Results) -> Option<f64>);

/// What stands first wherever clocks are side by side.
pub(in crate::report) const SWING_AND_WEIGHT: [FigureRow; 6] = [
    ("semi-arc (deg)", 3, |results| results.semi_arc_deg),
    ("rate (s/day)", 1, |results| results.rate_s_per_day),
    ("weight (kg)", 3, |results| results.weight_kg),
    ("least weight (kg)", 3, |results| results.least_weight_kg),
    ("least weight with arc margin (kg)", 3, |results| results.least_weight_with_margin_kg),
    ("weight reserve (weight / least)", 2, |results| results.weight_ratio),
];

/// What follows it.
const REST: [FigureRow; 30] = [
    ("arc margin (deg)", 3, |results| results.arc_margin_deg),
    ("friction reserve (times)", 2, |results| results.friction_reserve),
    ("arc margin lasts (years)", 1, |results| results.life.as_ref()?.margin_lasts_years),
    ("goes without cleaning (years)", 1, |results| results.life.as_ref()?.goes_for_years),
    ("least torque at escape wheel (mN m)", 4, |results| results.least_escape_torque_n_m.map(|torque| 1e3 * torque)),
    ("smallest starting swing (deg)", 2, |results| results.least_start_arc_deg),
    ("run time (days)", 2, |results| results.run_time_days),
    ("least semi-arc over the dial (deg)", 3, |results| results.hands?.semi_arc_least_deg),
    ("largest semi-arc over the dial (deg)", 3, |results| results.hands?.semi_arc_most_deg),
    ("mean rate over the dial (s/day)", 1, |results| results.hands?.rate_mean_s_per_day),
    ("nearest to stopping (h after twelve)", 2, |results| results.hands?.nearest_to_stopping_h),
    ("entry lock (deg)", 3, |results| Some(results.action?.entry.lock_deg)),
    ("entry lift (deg)", 3, |results| Some(results.action?.entry.lift_deg)),
    ("entry drop (deg of the wheel)", 3, |results| Some(results.action?.entry.drop_deg)),
    ("entry recoil (deg)", 3, |results| Some(results.action?.entry.recoil_deg)),
    ("exit lock (deg)", 3, |results| Some(results.action?.exit.lock_deg)),
    ("exit lift (deg)", 3, |results| Some(results.action?.exit.lift_deg)),
    ("exit drop (deg of the wheel)", 3, |results| Some(results.action?.exit.drop_deg)),
    ("exit recoil (deg)", 3, |results| Some(results.action?.exit.recoil_deg)),
    ("energy from the weight (\u{b5}J a beat)", 2, |results| {
        results.energy_per_beat_j.weight.map(|energy| 1e6 * energy)
    }),
    ("  meshes", 2, |results| results.energy_per_beat_j.meshes.map(|energy| 1e6 * energy)),
    ("  hands and motion work", 2, |results| {
        results.hands.and(results.energy_per_beat_j.hands).map(|energy| 1e6 * energy)
    }),
    ("  bearings", 2, |results| results.energy_per_beat_j.bearings.map(|energy| 1e6 * energy)),
    ("  drops and impacts", 2, |results| results.energy_per_beat_j.drop_and_impact.map(|energy| 1e6 * energy)),
    ("  play of the crutch", 2, |results| {
        results.energy_per_beat_j.crutch_play.filter(|&lost| lost != 0.0).map(|energy| 1e6 * energy)
    }),
    ("  sliding on the pallets", 2, |results| results.energy_per_beat_j.faces.map(|energy| 1e6 * energy)),
    ("  recoil", 2, |results| results.energy_per_beat_j.recoil.map(|energy| 1e6 * energy)),
    ("  air", 2, |results| results.energy_per_beat_j.air.map(|energy| 1e6 * energy)),
    ("  suspension and pivots", 2, |results| results.energy_per_beat_j.suspension.map(|energy| 1e6 * energy)),
    ("  support and swinging weight", 2, |results| {
        results.energy_per_beat_j.support.filter(|&lost| lost != 0.0).map(|energy| 1e6 * energy)
    }),
];

/// All figures of a clock beside others, in their order.
pub(in crate::report) fn figure_rows() -> impl Iterator<Item = FigureRow> {
    SWING_AND_WEIGHT.into_iter().chain(REST)
}

/// A figure with its decimals, or a dash.
pub(in crate::report) fn shown(value: Option<f64>, decimals: usize) -> String {
    value.map_or_else(|| "-".to_owned(), |value| number(value, decimals))
}

/// A row of cells under one another's columns.
pub(in crate::report) fn row(out: &mut String, label: &str, cells: impl Iterator<Item = String>) {
    let _ = write!(out, "  {label:<LABEL$}");
    for cell in cells {
        let _ = write!(out, " {cell:>COLUMN$}");
    }
    out.push('\n');
}

/// Shortened to a column, the end marked.
fn fitted(text: &str) -> String {
    if text.chars().count() <= COLUMN {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(COLUMN - 2).collect();
    short.push_str("..");
    short
}

/// What differs between the files, and the same figures of all scenarios.
#[must_use]
pub fn table(differences: &[Difference], printed: &[Results], drawn: &[Option<Results>]) -> String {
    let names: Vec<String> = printed.iter().map(|results| results.name.clone()).collect();
    let files = difference_table("What differs between the files", &names, differences);
    format!("{files}\n{}", figures_table(printed, drawn))
}

/// Values that differ, under a title.
pub(in crate::report) fn difference_table(title: &str, names: &[String], differences: &[Difference]) -> String {
    let mut out = format!("{title}\n");
    if differences.is_empty() {
        out.push_str("  nothing\n");
        return out;
    }
    row(&mut out, "", names.iter().map(|name| fitted(name)));
    for difference in differences {
        let cells = difference.values.iter().map(|value| value.as_deref().map_or_else(|| "-".to_owned(), fitted));
        row(&mut out, &difference.path, cells);
    }
    out
}

/// The same figures of all scenarios; where a printed clock differs from the drawn one, the drawn one's in brackets.
fn figures_table(printed: &[Results], drawn: &[Option<Results>]) -> String {
    let mut out = String::from("As printed");
    if drawn.iter().any(Option::is_some) {
        out.push_str(" (as drawn in brackets)");
    }
    out.push('\n');
    row(&mut out, "", printed.iter().map(|results| fitted(&results.name)));
    let verdict = |results: &Results| short_headline(results.reason, results.meets_margin).to_owned();
    row(
        &mut out,
        "verdict",
        printed.iter().zip(drawn).map(|(results, drawn)| {
            bracketed(verdict(results), drawn.as_ref().map(verdict).filter(|drawn| *drawn != verdict(results)))
        }),
    );
    for (label, decimals, pick) in figure_rows() {
        let cells: Vec<String> = printed
            .iter()
            .zip(drawn)
            .map(|(results, drawn)| {
                let here = shown(pick(results), decimals);
                let there = drawn.as_ref().map(|drawn| shown(pick(drawn), decimals)).filter(|there| *there != here);
                bracketed(here, there)
            })
            .collect();
        if cells.iter().any(|cell| cell != "-") {
            row(&mut out, label, cells.into_iter());
        }
    }
    out.push_str(&warnings(printed));
    out
}

/// What keeps clocks from being compared as equals: a stop, a lock missed, a margin not met.
fn warnings(printed: &[Results]) -> String {
    let mut out = String::new();
    for results in printed {
        if let Some(reason) = results.reason_in_words() {
            let _ = writeln!(out, "  {} stops: {reason}", results.name);
        }
        if !results.misses_lock.is_empty() {
            let pallets = results.misses_lock.join(" and ");
            let _ = writeln!(
                out,
                "  {} misses its lock: a tooth lands on the impulse face of the {pallets} pallet",
                results.name
            );
        }
        if let (Some(false), Some(margin)) = (results.meets_margin, results.arc_margin_deg) {
            let _ = writeln!(
                out,
                "  {} keeps going, below the margin asked: {} of {} deg",
                results.name,
                number(margin, 3),
                number(results.margin_asked_deg, 3)
            );
        }
    }
    if out.is_empty() { out } else { format!("\n{out}") }
}

fn bracketed(here: String, there: Option<String>) -> String {
    match there {
        Some(there) => format!("{here} ({there})"),
        None => here,
    }
}
