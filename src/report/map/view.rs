//! What a report on a map needs.

use crate::answers::verdict::Reason;
use crate::report::canvas::look::short;
use crate::report::words::quantities::{paths_in_words, quantity_in_words};
use crate::report::words::reasons::reason_key;
use crate::study::map::axis::Axis;
use crate::study::map::{Map, Outcome};
use std::collections::BTreeMap;

/// What a map was made over and asked for.
#[derive(Debug, Clone, Copy)]
pub struct MapView<'a> {
    /// The clock's name.
    pub name: &'a str,
    /// First quantity.
    pub x: &'a Axis,
    /// Second quantity.
    pub y: Option<&'a Axis>,
    /// Keys of the answers.
    pub keys: &'a [String],
    /// The scenario's own values of both quantities, in their units.
    pub today: (Option<f64>, Option<f64>),
}

impl<'a> MapView<'a> {
    /// The axis along which the map's lines run.
    #[must_use]
    pub fn along(&self, map: &Map) -> &'a Axis {
        self.y.filter(|_| map.along_y).unwrap_or(self.x)
    }

    /// The other axis.
    #[must_use]
    pub fn across(&self, map: &Map) -> Option<&'a Axis> {
        if map.along_y { Some(self.x) } else { self.y }
    }
}

/// Verdict of a row: `keeps_going`, `stops` or `no_clock`.
#[must_use]
pub const fn verdict_key(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::KeepsGoing => "keeps_going",
        Outcome::Stops(_) => "stops",
        Outcome::NoClock(_) => "no_clock",
    }
}

/// Reason of a row: the key of a stop, the words of what cannot be; empty for a clock that keeps going.
#[must_use]
pub fn reason_text(outcome: &Outcome) -> String {
    match outcome {
        Outcome::KeepsGoing => String::new(),
        Outcome::Stops(reason) => reason_key(*reason).to_owned(),
        Outcome::NoClock(reason) => reason.clone(),
    }
}

/// The outcome in a few words.
#[must_use]
pub const fn outcome_words(outcome: &Outcome) -> &'static str {
    match outcome {
        Outcome::KeepsGoing => "keeps going",
        Outcome::Stops(Reason::NeverUnlocks) => "never unlocks",
        Outcome::Stops(Reason::LosesAmplitude) => "swing dies away",
        Outcome::Stops(Reason::Jams) => "jams",
        Outcome::Stops(Reason::RunsAway) => "runs away",
        Outcome::Stops(Reason::TrainSticks) => "train sticks",
        Outcome::Stops(Reason::LosesSteps) => "loses steps",
        Outcome::Stops(Reason::NotSettled) => "not settled",
        Outcome::NoClock(_) => "no such clock",
    }
}

/// Kinds of reasons that are told at most.
const MOST_REASONS: usize = 2;

/// Why there is no such clock at some points, the commonest reasons first, each as one of its points has it; empty where there is one
/// everywhere.
#[must_use]
pub fn no_clock_in_words(map: &Map) -> String {
    let mut kinds: BTreeMap<String, (usize, &str)> = BTreeMap::new();
    for row in &map.rows {
        if let Outcome::NoClock(reason) = &row.outcome {
            // Reasons that differ in their numbers only are of one kind.
            let kind =
                reason.chars().filter(|letter| !letter.is_ascii_digit() && !".-\u{2212}".contains(*letter)).collect();
            kinds.entry(kind).or_insert((0, reason.as_str())).0 += 1;
        }
    }
    let mut kinds: Vec<(usize, &str)> = kinds.into_values().collect();
    kinds.sort_by_key(|kind| std::cmp::Reverse(kind.0));
    let told: Vec<String> =
        kinds.iter().take(MOST_REASONS).map(|(_, reason)| paths_in_words(&with_short_numbers(reason))).collect();
    let more = if kinds.len() > MOST_REASONS { " Other reasons are in the table." } else { "" };
    if told.is_empty() {
        String::new()
    } else {
        format!(" No such clock, for example: {}.{more}", told.join(". Elsewhere: "))
    }
}

/// Longest number that is left as it is, digits.
const LONG_NUMBER: usize = 6;

/// A text with its long numbers cut to four digits.
fn with_short_numbers(text: &str) -> String {
    let digit = |letter: char| letter.is_ascii_digit() || letter == '.';
    let mut out = String::new();
    let mut rest = text;
    while let Some(start) = rest.find(|letter: char| letter.is_ascii_digit()) {
        let (before, from) = rest.split_at(start);
        let (number, after) = from.split_at(from.find(|letter: char| !digit(letter)).unwrap_or(from.len()));
        out.push_str(before);
        match number.parse::<f64>() {
            Ok(value) if number.len() > LONG_NUMBER => out.push_str(&short(value, 4)),
            _ => out.push_str(number),
        }
        rest = after;
    }
    out + rest
}

pub(super) fn columns(view: &MapView<'_>) -> Vec<String> {
    let mut columns = vec![view.x.column()];
    columns.extend(view.y.map(Axis::column));
    columns.extend(["verdict", "reason", "meets_margin"].map(str::to_owned));
    columns.extend(view.keys.iter().cloned());
    columns
}

/// An axis in words, with its unit.
#[must_use]
pub fn in_words(axis: &Axis) -> String {
    let words = quantity_in_words(&axis.path);
    axis.unit.as_ref().map_or_else(|| words.clone(), |unit| format!("{words} ({unit})"))
}

/// An axis in words, with its path and unit.
#[must_use]
pub fn named(axis: &Axis) -> String {
    let words = quantity_in_words(&axis.path);
    match &axis.unit {
        Some(unit) => format!("{words}, {} ({unit})", axis.path),
        None => format!("{words}, {}", axis.path),
    }
}
