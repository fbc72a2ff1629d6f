//! What a report on a map needs.

use crate::answers::verdict::Reason;
use crate::report::words::quantities::quantity_in_words;
use crate::report::words::reasons::reason_key;
use crate::study::map::axis::Axis;
use crate::study::map::{Map, Outcome};

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
