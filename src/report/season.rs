//! A season as text.

use std::fmt::Write as _;

use jiff::SignedDuration;
use jiff::civil::{DateTime, date};

use crate::clock::SECONDS_PER_DAY;
use crate::clock::weather::{BALANCED_OVER_S, DAYS_PER_YEAR, SECONDS_PER_HOUR, SeasonPlan};
use crate::scenario::room_log::RoomLog;
use crate::study::season::{Carrier, Cause, Method, Season, Share, StopCause, WEEK_S, Week};

use super::look::significant;
use super::tables::number;

/// What such a clock, left alone, is off in a week: one to two minutes; common practice, no source.
pub const TRADE_MINUTES_A_WEEK: (f64, f64) = (1.0, 2.0);

/// Beginning of a year that is no leap year, by which days of the year get their dates.
const COMMON_YEAR: DateTime = date(2001, 1, 1).at(0, 0, 0, 0);

/// What a season is told with.
#[derive(Debug, Clone, Copy)]
pub struct ToldSeason<'s> {
    /// The clock's name.
    pub name: &'s str,
    /// The season.
    pub season: &'s Season,
    /// What the scenario says of it.
    pub plan: &'s SeasonPlan,
    /// The log it follows, if any.
    pub log: Option<&'s RoomLog>,
}

impl ToldSeason<'_> {
    /// Days from first to last sample.
    #[must_use]
    pub fn days(&self) -> f64 {
        self.season.samples.last().map_or(0.0, |sample| sample.moment.time_s / SECONDS_PER_DAY)
    }

    /// A time since the beginning in words: the date of a log, else day and month of the year.
    #[must_use]
    pub fn when(&self, time_s: f64) -> String {
        let after = |began: DateTime, seconds: f64| {
            began.checked_add(SignedDuration::from_secs(seconds.round() as i64)).unwrap_or(began)
        };
        match self.log {
            Some(RoomLog { began: Some(began), .. }) => after(*began, time_s).strftime("%Y-%m-%d %H:%M").to_string(),
            Some(_) => format!("{} h", number(time_s / SECONDS_PER_HOUR, 2)),
            None => {
                let years = (time_s / (DAYS_PER_YEAR * SECONDS_PER_DAY)).floor();
                let at = after(COMMON_YEAR, time_s - years * DAYS_PER_YEAR * SECONDS_PER_DAY);
                let year = if years > 0.0 { format!("year {:.0}, ", years + 1.0) } else { String::new() };
                format!("{year}{}", at.strftime("%-d %b %-H h"))
            }
        }
    }

    /// Remarks on what was held, ignored or assumed.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if let Some(log) = self.log {
            for (has, name) in [(log.has_humidity, "humidity"), (log.has_pressure, "pressure")] {
                if !has {
                    notes.push(format!("the log has no column `{name}`: it is held at the place's value"));
                }
            }
            if !log.unused.is_empty() {
                notes.push(format!("columns of the log that are not used: {}", log.unused.join(", ")));
            }
        }
        if self.plan.rod_lag_s > 0.0 || self.plan.wood_lag_s > 0.0 {
            let hours = BALANCED_OVER_S / SECONDS_PER_HOUR;
            notes.push(format!("rod and wood begin in balance with the mean of the first {hours:.0} hours"));
        }
        if !self.season.by_train {
            notes.push("without a train the rate refers to the period in the mean of the rooms".to_owned());
        }
        if !(self.plan.cord_mass_kg > 0.0) {
            notes.push("the cord has no mass (`season.cord_mass`): the weight's fall changes nothing".to_owned());
        }
        if self.season.worst_week.is_none() {
            notes.push("shorter than a week: nothing can be said of minutes a week".to_owned());
        }
        if self.season.mean_state.is_none() {
            notes.push("the clock stops in the mean of the rooms: no cause can be told apart".to_owned());
        }
        notes
    }
}

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
pub fn worst_week_in_words(told: &ToldSeason<'_>) -> Option<String> {
    let worst = told.season.worst_regulated_week?;
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
pub fn stop_in_words(told: &ToldSeason<'_>) -> Option<String> {
    let stopped = told.season.stopped.as_ref()?;
    let sample = &told.season.samples[stopped.sample];
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
    let season = told.season;
    let mut out = format!("{}: {} in the room, {}\n\n", told.name, days_in_words(told.days()), weather_in_words(told));
    let mut line = |label: &str, value: String| {
        let _ = writeln!(out, "  {label:<40} {value}");
    };
    let rates = || season.going().iter().filter_map(|sample| Some(sample.state?.rate_s_per_day));
    let arcs = || season.going().iter().filter_map(|sample| Some(sample.state?.semi_arc_rad.to_degrees()));
    if let Some(mean) = season.mean_rate_s_per_day() {
        line("mean rate (positive gains)", format!("{} s/day", number(mean, 2)));
        let (low, high) = span(rates());
        line("rate from / to", format!("{} / {} s/day", number(low, 2), number(high, 2)));
        let (low, high) = span(arcs());
        line("semi-arc from / to", format!("{} / {} deg", number(low, 3), number(high, 3)));
    }
    if let Some(error_s) = season.going().last().and_then(|sample| sample.error_s) {
        line("error at the end, left as it is", format!("{} min", number(error_s / 60.0, 1)));
    }
    let week = |week: &Week| format!("{} min, from {}", number(week.change_s / 60.0, 3), told.when(week.begins_s));
    if let Some(worst) = &season.worst_week {
        line("worst week, left as it is", week(worst));
    }
    if let Some(worst) = &season.worst_regulated_week {
        line("worst week, mean rate regulated away", week(worst));
        let (low, high) = TRADE_MINUTES_A_WEEK;
        line("usual for such clocks (no source)", format!("{low:.0} to {high:.0} min a week"));
    }
    line("found by", method_in_words(season.method));
    if let Some(stopped) = &season.stopped {
        let sample = &season.samples[stopped.sample];
        let (what, after) = match stopped.cause {
            StopCause::Wanders => {
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
        budget_table(&mut out, told);
    }
    for note in told.notes() {
        let _ = writeln!(out, "\n  {note}");
    }
    out
}

fn budget_table(out: &mut String, told: &ToldSeason<'_>) {
    let budget = &told.season.budget;
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
            minutes(share.worst_week.map(|week| week.change_s)),
            minutes(share.in_worst_week_s),
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
    if let Some(worst) = told.season.worst_regulated_week {
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
