//! A season as text.

use std::fmt::Write as _;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::report::canvas::look::significant;
use crate::report::prediction::text::number;
use crate::study::season::{Carrier, Cause, ErrorWindow, Method, Season, Share, WEEK_S};

use super::motor::motor_season_rest;
use super::rows::{Found, ToldSeason};

/// What such a clock, left alone, is off in a week: one to two minutes; common practice, no source.
pub const TRADE_MINUTES_A_WEEK: (f64, f64) = (1.0, 2.0);

/// A cause by its name in keys.
#[must_use]
pub const fn cause_key(cause: Cause) -> &'static str {
    match cause {
        Cause::Temperature => "temperature",
        Cause::Humidity => "humidity",
        Cause::Pressure => "pressure",
        Cause::Fall => "fall_of_weight",
    }
}

const fn cause_words(cause: Cause) -> &'static str {
    match cause {
        Cause::Temperature => "temperature",
        Cause::Humidity => "humidity",
        Cause::Pressure => "pressure",
        Cause::Fall => "fall of the weight",
    }
}

/// A carrier by its name in keys.
#[must_use]
pub const fn carrier_key(carrier: Carrier) -> &'static str {
    match carrier {
        Carrier::Pendulum => "pendulum_alone",
        Carrier::Circular => "amplitude",
        Carrier::Escapement => "escapement",
    }
}

const fn carrier_words(carrier: Carrier) -> &'static str {
    match carrier {
        Carrier::Pendulum => "pendulum alone (length, air)",
        Carrier::Circular => "amplitude (circular error)",
        Carrier::Escapement => "escapement error",
    }
}

/// The worst week of a regulated clock beside what is usual; `None` for less than a week.
#[must_use]
pub fn worst_week_in_words(told: &ToldSeason<'_>, season: &Season) -> Option<String> {
    let worst = season.worst_regulated_week?;
    let (low, high) = TRADE_MINUTES_A_WEEK;
    Some(format!(
        "Once regulated, its worst week is {} min off, from {}; {low:.0} to {high:.0} minutes a week are usual for such clocks \
         (common practice, no source).",
        number(worst.change_s.abs() / 60.0, 2),
        told.when(worst.begins_s)
    ))
}

/// Where and why the clock stops in the season; `None` where it goes on.
#[must_use]
pub fn stop_in_words(told: &ToldSeason<'_>, season: &Season) -> Option<String> {
    let stopped = season.stopped.as_ref()?;
    let sample = &season.samples[stopped.sample];
    Some(format!(
        "It stops on {} at {} degC and {} % of humidity: {}.",
        told.when(sample.moment.time_s),
        number(sample.moment.temperature_c, 1),
        number(1e2 * sample.moment.relative_humidity, 0),
        stopped.cause
    ))
}

/// The season in a page.
#[must_use]
pub fn season_table(told: &ToldSeason<'_>) -> String {
    let mut out = format!("{}: {} in the room, {}\n\n", told.name, days_in_words(told.days()), weather_in_words(told));
    course(&mut out, told);
    match told.found {
        Found::Pendulum(season) => pendulum_rest(&mut out, told, season),
        Found::Motor(season) => motor_season_rest(&mut out, told, season),
    }
    for note in told.notes() {
        let _ = writeln!(out, "\n  {note}");
    }
    out
}

/// A line of a season's page.
pub(in crate::report) fn season_line(out: &mut String, label: &str, value: &str) {
    let _ = writeln!(out, "  {label:<40} {value}");
}

/// A worst week or month in words.
pub(in crate::report) fn stretch_in_words(told: &ToldSeason<'_>, stretch: &ErrorWindow) -> String {
    format!("{} min, from {}", number(stretch.change_s / 60.0, 3), told.when(stretch.begins_s))
}

/// Rate and error of any clock.
fn course(out: &mut String, told: &ToldSeason<'_>) {
    if let Some(mean) = told.mean_rate_s_per_day() {
        let decimals = if matches!(told.found, Found::Motor(_)) { 4 } else { 2 };
        season_line(out, "mean rate (positive gains)", &format!("{} s/day", number(mean, decimals)));
        let (low, high) = span(told.going().iter().filter_map(|row| row.rate_s_per_day));
        let range = format!("{} / {} s/day", number(low, decimals), number(high, decimals));
        season_line(out, "rate from / to", &range);
    }
    let (low, high) = span(told.going().iter().filter_map(|row| Some(row.semi_arc_rad?.to_degrees())));
    if low <= high {
        season_line(out, "semi-arc from / to", &format!("{} / {} deg", number(low, 3), number(high, 3)));
    }
    if let Some(error_s) = told.going().last().and_then(|row| row.error_s) {
        season_line(out, "error at the end, left as it is", &format!("{} min", number(error_s / 60.0, 1)));
    }
    let [left, regulated] = told.worst_weeks();
    if let Some(worst) = left {
        season_line(out, "worst week, left as it is", &stretch_in_words(told, &worst));
    }
    if let Some(worst) = regulated {
        season_line(out, "worst week, mean rate regulated away", &stretch_in_words(told, &worst));
    }
}

fn pendulum_rest(out: &mut String, told: &ToldSeason<'_>, season: &Season) {
    if season.worst_regulated_week.is_some() {
        let (low, high) = TRADE_MINUTES_A_WEEK;
        season_line(out, "usual for such clocks (no source)", &format!("{low:.0} to {high:.0} min a week"));
    }
    season_line(out, "found by", &method_in_words(season.method));
    if let Some(stopped) = &season.stopped {
        let sample = &season.samples[stopped.sample];
        let (what, after) = match stopped.cause {
            NoAnswer::Wanders => {
                ("NO STEADY SWING", "It ticks on at no rate that could be told: the error ends there.")
            }
            _ => ("STOPS", "The error ends there: a clock that has stopped is not started again."),
        };
        let _ = writeln!(
            out,
            "\n  {what}, {}, at {} deg C and {} % humidity ({} % in the parts): {}\n  {after}",
            told.when(sample.moment.time_s),
            number(sample.moment.temperature_c, 1),
            number(1e2 * sample.moment.relative_humidity, 0),
            number(1e2 * sample.room.wood_humidity, 0),
            stopped.cause
        );
    }
    if !season.budget.carriers.is_empty() {
        budget_table(out, season);
    }
}

fn budget_table(out: &mut String, season: &Season) {
    let budget = &season.budget;
    let _ = writeln!(
        out,
        "\nWhere the error comes from (a mean is constant and can be regulated away; the rest varies)\n  {:<37} {:>10} {:>13} {:>14} {:>14}",
        "", "mean s/day", "varies s/day", "own worst week", "in worst week"
    );
    let mut row = |words: &str, share: &Share| {
        let minutes =
            |seconds: Option<f64>| seconds.map_or_else(|| "-".to_owned(), |s| format!("{} min", number(s / 60.0, 3)));
        let _ = writeln!(
            out,
            "  {words:<37} {:>10} {:>13} {:>14} {:>14}",
            number(share.mean_s_per_day, 3),
            number(share.range_s_per_day, 3),
            minutes(share.worst.map(|week| week.change_s)),
            minutes(share.in_worst_s),
        );
    };
    for (cause, found) in &budget.causes {
        if let Some(found) = found {
            row(&format!("{} alone", cause_words(*cause)), found);
        }
    }
    if let Some(together) = &budget.together {
        row("remainder, causes together", together);
    }
    for (carrier, found) in &budget.carriers {
        row(&format!("through {}", carrier_words(*carrier)), found);
    }
    for (cause, found) in &budget.causes {
        if found.is_none() {
            let _ = writeln!(out, "  by {} alone the clock stops", cause_words(*cause));
        }
    }
    if let Some(worst) = season.worst_regulated_week {
        let _ = writeln!(
            out,
            "  causes and remainder add up to {} min in the worst week; so do pendulum, amplitude and escapement",
            number(worst.change_s / 60.0, 3)
        );
    }
    if let Some(print) = &budget.print {
        let deviation = print.deviation_s_per_day.map_or_else(
            || "fewer than two of them go".to_owned(),
            |deviation| {
                let minutes = deviation * WEEK_S / SECONDS_PER_DAY / 60.0;
                format!(
                    "rates differ by {} s/day (standard deviation), {} min a week, constant and regulated away",
                    number(deviation, 2),
                    number(minutes, 2)
                )
            },
        );
        let _ = writeln!(out, "  print: {} of {} copies go; {deviation}", print.going, print.copies);
    }
}

fn span(values: impl Iterator<Item = f64>) -> (f64, f64) {
    values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)))
}

fn days_in_words(days: f64) -> String {
    format!("{} days", significant(days, if days < 1000.0 { 4 } else { 5 }))
}

fn weather_in_words(told: &ToldSeason<'_>) -> String {
    match told.log {
        Some(log) => format!("by the log {}", log.name),
        None => "a year of sinusoids".to_owned(),
    }
}

/// How the rates were found, in words.
#[must_use]
pub fn method_in_words(method: Method) -> String {
    match method {
        Method::EveryRoom => "the limit cycle of every row".to_owned(),
        Method::Interpolated { solved, checked, largest_error_s_per_day } => format!(
            "{solved} limit cycles, interpolated; {checked} rows at random agree within {} s/day",
            if largest_error_s_per_day < 1e-6 { "0.000001".to_owned() } else { number(largest_error_s_per_day, 6) }
        ),
    }
}
