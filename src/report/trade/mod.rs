//! Run time against weight as text, CSV and JSON.

use std::fmt::Write as _;

use serde::Serialize;

use crate::clock::SECONDS_PER_DAY;
use crate::clock::train::losses::RunLimit;
use crate::study::trade::{Reserve, Trade, TradePoint, Traded};

use super::prediction::csv::{CsvTable, number as exact, optional, written};
use super::prediction::text::number;
use super::provenance::Provenance;

/// What a trade is told with.
#[derive(Debug, Clone, Copy)]
pub struct ToldTrade<'t> {
    /// The clock's name.
    pub name: &'t str,
    /// Its weights and runs.
    pub trade: &'t Trade,
    /// The scenario's margin, rad.
    pub margin_rad: f64,
}

impl ToldTrade<'_> {
    /// The reserve in words.
    #[must_use]
    pub fn reserve_in_words(&self) -> String {
        match self.trade.reserve {
            Reserve::Margin => {
                let margin_deg = (1e3 * self.margin_rad.to_degrees()).round() / 1e3;
                format!("a swing {margin_deg} deg beyond the escaping arc")
            }
            Reserve::Ratio(ratio) => format!("{} times the least weight", super::canvas::look::significant(ratio, 3)),
        }
    }
}

/// What ends a run, in words.
pub(super) const fn limit(limit: RunLimit) -> &'static str {
    match limit {
        RunLimit::Drop => "drop",
        RunLimit::DrumTurns => "drum's turns",
    }
}

/// The points by falls, today's clock above them.
#[must_use]
pub fn trade_table(told: &ToldTrade<'_>) -> String {
    let mut out = format!("{}: run time against weight, for {}\n\n", told.name, told.reserve_in_words());
    let _ = writeln!(
        out,
        "  {:>5} {:>9} {:>10} {:>10} {:>10}  {:<13} {:>8} {:>10} {:>9} {:>11}",
        "falls",
        "drum mm",
        "weight kg",
        "least kg",
        "run days",
        "ended by",
        "cord N",
        "to break N",
        "arc deg",
        "rate s/day"
    );
    let row = |falls: u32, drum_m: f64, traded: &Traded| {
        let or_dash = |value: Option<f64>, decimals| value.map_or_else(|| "stops".to_owned(), |v| number(v, decimals));
        format!(
            "  {falls:>5} {:>9} {:>10} {:>10} {:>10}  {:<13} {:>8} {:>10} {:>9} {:>11}",
            number(1e3 * drum_m, 1),
            number(traded.weight_kg, 3),
            number(traded.least_kg, 3),
            number(traded.run.run_time_s / SECONDS_PER_DAY, 2),
            limit(traded.run.limit),
            number(traded.report.cord.working_tension_n, 1),
            number(traded.report.cord.asked_breaking_strength_n, 0),
            or_dash(traded.semi_arc_rad.map(f64::to_degrees), 3),
            match (traded.semi_arc_rad, traded.rate_s_per_day) {
                (Some(_), rate) => rate.map_or_else(|| "-".to_owned(), |rate| number(rate, 1)),
                (None, _) => "stops".to_owned(),
            },
        )
    };
    let trade = told.trade;
    if let Some(today) = &trade.today {
        let _ = writeln!(out, "{}  today's clock", row(trade.own_falls, trade.own_drum_m, today));
    }
    let mut falls = None;
    for point in &trade.points {
        if falls.replace(point.falls) != Some(point.falls) {
            out.push('\n');
        }
        match &point.found {
            Ok(traded) => {
                let own = if trade.is_own(point) { "  today's drum and falls" } else { "" };
                let _ = writeln!(out, "{}{own}", row(point.falls, point.drum_diameter_m, traded));
            }
            Err(reason) => {
                let _ = writeln!(
                    out,
                    "  {:>5} {:>9}  no answer: {reason}",
                    point.falls,
                    number(1e3 * point.drum_diameter_m, 1)
                );
            }
        }
    }
    out
}

/// A row of trade.csv and trade.json.
#[derive(Debug, Clone, Serialize)]
struct TradeKeys {
    falls: u32,
    drum_diameter_mm: f64,
    weight_kg: Option<f64>,
    least_weight_kg: Option<f64>,
    run_time_days: Option<f64>,
    turns_of_drum: Option<f64>,
    run_ended_by: Option<&'static str>,
    cord_tension_n: Option<f64>,
    cord_breaking_strength_n: Option<f64>,
    wall_pull_n: Option<f64>,
    semi_arc_deg: Option<f64>,
    rate_s_per_day: Option<f64>,
    reason: Option<String>,
}

impl TradeKeys {
    fn of(falls: u32, drum_diameter_m: f64, traded: Option<&Traded>, reason: Option<String>) -> Self {
        let cord = traded.map(|traded| traded.report.cord);
        Self {
            falls,
            drum_diameter_mm: 1e3 * drum_diameter_m,
            weight_kg: traded.map(|traded| traded.weight_kg),
            least_weight_kg: traded.map(|traded| traded.least_kg),
            run_time_days: traded.map(|traded| traded.run.run_time_s / SECONDS_PER_DAY),
            turns_of_drum: traded.map(|traded| traded.run.turns),
            run_ended_by: traded.map(|traded| limit(traded.run.limit)),
            cord_tension_n: cord.map(|cord| cord.working_tension_n),
            cord_breaking_strength_n: cord.map(|cord| cord.asked_breaking_strength_n),
            wall_pull_n: cord.map(|cord| cord.wall_pull_n),
            semi_arc_deg: traded.and_then(|traded| traded.semi_arc_rad).map(f64::to_degrees),
            rate_s_per_day: traded.and_then(|traded| traded.rate_s_per_day),
            reason,
        }
    }

    fn of_point(point: &TradePoint) -> Self {
        let reason = point.found.as_ref().err().map(ToString::to_string);
        Self::of(point.falls, point.drum_diameter_m, point.found.as_ref().ok(), reason)
    }
}

/// What is in trade.json.
#[derive(Debug, Clone, Serialize)]
pub struct TradeFile {
    #[serde(flatten)]
    provenance: Provenance,
    name: String,
    margin_deg: Option<f64>,
    weight_over_least: Option<f64>,
    today: Option<TradeKeys>,
    points: Vec<TradeKeys>,
}

/// The trade for trade.json.
#[must_use]
pub fn trade_keys(told: &ToldTrade<'_>, provenance: Provenance) -> TradeFile {
    let trade = told.trade;
    let (margin_deg, weight_over_least) = match trade.reserve {
        Reserve::Margin => (Some(told.margin_rad.to_degrees()), None),
        Reserve::Ratio(ratio) => (None, Some(ratio)),
    };
    TradeFile {
        provenance,
        name: told.name.to_owned(),
        margin_deg,
        weight_over_least,
        today: trade.today.as_ref().map(|today| TradeKeys::of(trade.own_falls, trade.own_drum_m, Some(today), None)),
        points: trade.points.iter().map(TradeKeys::of_point).collect(),
    }
}

/// The points as a table.
#[must_use]
pub fn trade_csv(told: &ToldTrade<'_>) -> Option<CsvTable> {
    let columns = [
        "falls",
        "drum_diameter_mm",
        "weight_kg",
        "least_weight_kg",
        "run_time_days",
        "turns_of_drum",
        "run_ended_by",
        "cord_tension_n",
        "cord_breaking_strength_n",
        "wall_pull_n",
        "semi_arc_deg",
        "rate_s_per_day",
        "reason",
    ];
    let row = |point: &TradePoint| {
        let keys = TradeKeys::of_point(point);
        vec![
            keys.falls.to_string(),
            exact(keys.drum_diameter_mm),
            optional(keys.weight_kg),
            optional(keys.least_weight_kg),
            optional(keys.run_time_days),
            optional(keys.turns_of_drum),
            keys.run_ended_by.unwrap_or_default().to_owned(),
            optional(keys.cord_tension_n),
            optional(keys.cord_breaking_strength_n),
            optional(keys.wall_pull_n),
            optional(keys.semi_arc_deg),
            optional(keys.rate_s_per_day),
            keys.reason.unwrap_or_default(),
        ]
    };
    written("trade", &columns, told.trade.points.iter().map(row))
}
