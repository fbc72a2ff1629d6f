//! A map in a few lines of text.

use std::collections::BTreeMap;
use std::fmt::Write as _;

use crate::report::canvas::look::significant;
use crate::report::words::numbers::counted;
use crate::report::words::reasons::headline;
use crate::study::map::{Line, Map, MapRow, Outcome};

use super::{MapView, named, outcome_words};

/// Lines of the boundary that the text shows at most.
const MOST_LINES: usize = 9;

/// What share of the points does what, and where the clock keeps going.
#[must_use]
pub fn table(view: &MapView<'_>, map: &Map) -> String {
    let mut out = String::new();
    let over = view.y.map_or(String::new(), |y| format!(" by {}", named(y)));
    let _ = writeln!(out, "{}: {}{over}, {}\n", view.name, named(view.x), counted(map.rows.len(), "point", "points"));
    let mut shares: BTreeMap<&str, usize> = BTreeMap::new();
    for row in &map.rows {
        let words = match &row.outcome {
            Outcome::KeepsGoing => headline(None, row.meets_margin()),
            other => outcome_words(other),
        };
        *shares.entry(words).or_default() += 1;
    }
    let mut shares: Vec<(&str, usize)> = shares.into_iter().collect();
    shares.sort_by_key(|&(words, count)| {
        (!words.starts_with("keeps going"), words != "keeps going", std::cmp::Reverse(count))
    });
    for (words, count) in shares {
        let share = format!("{:.1} %", 1e2 * count as f64 / map.rows.len() as f64);
        let _ = writeln!(out, "  {words:<36} {share:>8}");
    }
    let along = view.along(map);
    let shown = |value: f64| significant(value, 4);
    if let [(_, least)] = map.least.as_slice() {
        let drive = std::iter::once(view.x).chain(view.y).find(|axis| axis.path != crate::study::map::START);
        let unit = drive.and_then(|axis| axis.unit.as_deref()).unwrap_or_default();
        let _ = writeln!(out, "  {:<36} {:>8} {unit}", "least drive", shown(*least));
    }
    let _ = writeln!(out, "\nRange of {} in which it keeps going", named(along));
    if let Some(across) = view.across(map) {
        let _ = writeln!(out, "  {:<24} from .. to", named(across));
    }
    let on_grid: Vec<&Line> = match view.across(map) {
        None => map.lines.iter().collect(),
        Some(across) => {
            let values = across.values();
            let every = values.len().div_ceil(MOST_LINES).max(1);
            let chosen: Vec<f64> = values.into_iter().step_by(every).collect();
            map.lines.iter().filter(|line| chosen.contains(&line.at)).collect()
        }
    };
    for line in on_grid {
        let going: Vec<String> = line
            .stretches
            .iter()
            .filter(|stretch| stretch.answer == Outcome::KeepsGoing)
            .map(|stretch| format!("{} .. {}", shown(stretch.from), shown(stretch.to)))
            .collect();
        let going = if going.is_empty() { "nowhere".to_owned() } else { going.join(", ") };
        let at = if view.across(map).is_some() { shown(line.at) } else { String::new() };
        let _ = writeln!(out, "  {at:<24} {going}");
    }
    out.push_str(&answers(view, map));
    out
}

/// The answers where it keeps going: over one quantity some of the points one by one, over two their least and largest.
fn answers(view: &MapView<'_>, map: &Map) -> String {
    let going: Vec<_> = map.rows.iter().filter(|row| row.outcome == Outcome::KeepsGoing).collect();
    if going.is_empty() || view.keys.is_empty() {
        return String::new();
    }
    let shown = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| significant(value, 4));
    let answer = |row: &MapRow, key: usize| row.answers.get(key).copied().flatten();
    let mut out = String::from("\nAnswers where it keeps going, least .. largest\n");
    for (number, key) in view.keys.iter().enumerate() {
        let values = || going.iter().filter_map(|row| answer(row, number));
        let (least, largest) = (values().reduce(f64::min), values().reduce(f64::max));
        let _ = writeln!(out, "  {key:<34} {} .. {}", shown(least), shown(largest));
    }
    if view.y.is_none() {
        let _ = writeln!(out, "\n  {:<24} {}", named(view.x), view.keys.join("  "));
        for row in going.iter().step_by(going.len().div_ceil(MOST_LINES)) {
            let cells: Vec<String> = (0..view.keys.len()).map(|number| shown(answer(row, number))).collect();
            let _ = writeln!(out, "  {:<24} {}", significant(row.x, 4), cells.join("  "));
        }
    }
    out
}
