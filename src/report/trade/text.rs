//! Run time against weight as a table.

use std::fmt::Write as _;

use crate::clock::SECONDS_PER_DAY;
use crate::report::words::numbers::{at_least, number};
use crate::report::words::reasons::run_limit_in_words;
use crate::study::trade::Traded;

use super::TradeView;

/// The points by falls, today's clock above them.
#[must_use]
pub fn table(view: &TradeView<'_>) -> String {
    let mut out = format!("{}: run time against weight, for {}\n\n", view.name, view.reserve_in_words());
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
        "strength N",
        "arc deg",
        "rate s/day"
    );
    let row = |falls: u32, drum_m: f64, traded: &Traded| {
        let or_dash = |value: Option<f64>, decimals| value.map_or_else(|| "stops".to_owned(), |v| number(v, decimals));
        format!(
            "  {falls:>5} {:>9} {:>10} {:>10} {:>10}  {:<13} {:>8} {:>10} {:>9} {:>11}",
            number(1e3 * drum_m, 1),
            at_least(traded.weight_kg, 3),
            at_least(traded.least_kg, 3),
            number(traded.run.run_time_s / SECONDS_PER_DAY, 2),
            run_limit_in_words(traded.run.limit),
            number(traded.report.cord.working_tension_n, 1),
            number(traded.report.cord.asked_breaking_strength_n, 0),
            or_dash(traded.semi_arc_rad.map(f64::to_degrees), 3),
            match (traded.semi_arc_rad, traded.rate_s_per_day) {
                (Some(_), rate) => rate.map_or_else(|| "-".to_owned(), |rate| number(rate, 1)),
                (None, _) => "stops".to_owned(),
            },
        )
    };
    let trade = view.trade;
    if let Some(today) = &trade.today {
        let _ = writeln!(out, "{}  today's clock", row(trade.own_falls, trade.own_drum_m, today));
    }
    if let Some(pulley) = &trade.assumed_pulley {
        let _ = writeln!(
            out,
            "\n  The scenario has no pulley: one of {} mm, on a bearing like that of the drum's arbor, is assumed from two falls on.",
            number(1e3 * pulley.diameter_m, 1)
        );
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
