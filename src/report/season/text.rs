//! A season as text.

use std::fmt::Write as _;

use crate::answers::no_answer::NoAnswer;
use crate::clock::SECONDS_PER_DAY;
use crate::numerics::extremes::extremes;
use crate::report::motor::json::USUAL_S_PER_MONTH;
use crate::report::words::numbers::number;
use crate::report::words::spans::span_in_words;
use crate::study::season::{Carrier, ErrorWindow, Method, MotorSeason, Season, SeasonCause, Share, WEEK_S};

use super::motor::{cause_key, minutes_a_month};
use super::{AnySeason, SeasonView};

/// What such a clock, left alone, is off in a week: one to two minutes; common practice, no source.
pub const TRADE_MINUTES_A_WEEK: (f64, f64) = (1.0, 2.0);

const fn cause_words(cause: SeasonCause) -> &'static str {
    match cause {
        SeasonCause::Temperature => "temperature",
        SeasonCause::Humidity => "humidity",
        SeasonCause::Pressure => "pressure",
        SeasonCause::Fall => "fall of the weight",
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
pub fn worst_week_in_words(view: &SeasonView<'_>, season: &Season) -> Option<String> {
    let worst = season.worst_regulated_week?;
    let (low, high) = TRADE_MINUTES_A_WEEK;
    Some(format!(
        "Once regulated, its worst week is {} min off, from {}; {low:.0} to {high:.0} minutes a week are usual for such clocks \
         (common practice, no source).",
        number(worst.change_s.abs() / 60.0, 2),
        view.when(worst.begins_s)
    ))
}

/// Where and why the clock stops in the season; `None` where it goes on.
#[must_use]
pub fn stop_in_words(view: &SeasonView<'_>, season: &Season) -> Option<String> {
    let stopped = season.stopped.as_ref()?;
    let sample = &season.samples[stopped.sample];
    Some(format!(
        "It stops on {} at {} degC and {} % humidity: {}.",
        view.when(sample.moment.time_s),
        number(sample.moment.temperature_c, 1),
        number(1e2 * sample.moment.relative_humidity, 0),
        stopped.cause
    ))
}

/// The season in a page.
#[must_use]
pub fn table(view: &SeasonView<'_>) -> String {
    let mut out = format!("{}: {} in the room, {}\n\n", view.name, span_in_words(view.days()), weather_in_words(view));
    course(&mut out, view);
    match view.found {
        AnySeason::Pendulum(season) => pendulum_rest(&mut out, view, season),
        AnySeason::Motor(season) => motor_season_rest(&mut out, view, season),
    }
    for note in view.notes() {
        let _ = writeln!(out, "\n  {note}");
    }
    out
}

/// A line of a season's page.
pub(super) fn season_line(out: &mut String, label: &str, value: &str) {
    let _ = writeln!(out, "  {label:<40} {value}");
}

/// A worst week or month in words.
pub(super) fn stretch_in_words(view: &SeasonView<'_>, stretch: &ErrorWindow) -> String {
    format!("{} min, from {}", number(stretch.change_s / 60.0, 3), view.when(stretch.begins_s))
}

/// Rate and error of any clock.
fn course(out: &mut String, view: &SeasonView<'_>) {
    if let Some(mean) = view.mean_rate_s_per_day() {
        let decimals = if matches!(view.found, AnySeason::Motor(_)) { 4 } else { 2 };
        season_line(out, "mean rate (positive: gains)", &format!("{} s/day", number(mean, decimals)));
        let (low, high) = extremes(view.going().iter().filter_map(|row| row.rate_s_per_day));
        let range = format!("{} / {} s/day", number(low, decimals), number(high, decimals));
        season_line(out, "lowest / highest rate", &range);
    }
    let (low, high) = extremes(view.going().iter().filter_map(|row| Some(row.semi_arc_rad?.to_degrees())));
    if low <= high {
        season_line(out, "smallest / largest semi-arc", &format!("{} / {} deg", number(low, 3), number(high, 3)));
    }
    if let Some(error_s) = view.going().last().and_then(|row| row.error_s) {
        season_line(out, "error at the end, not regulated", &format!("{} min", number(error_s / 60.0, 1)));
    }
    let [left, regulated] = view.worst_weeks();
    if let Some(worst) = left {
        season_line(out, "worst week, not regulated", &stretch_in_words(view, &worst));
    }
    if let Some(worst) = regulated {
        season_line(out, "worst week, mean rate regulated out", &stretch_in_words(view, &worst));
    }
}

fn pendulum_rest(out: &mut String, view: &SeasonView<'_>, season: &Season) {
    if let Some(least_rad) = season.least_arc_margin_rad() {
        let (least_deg, asked_deg) = (least_rad.to_degrees(), season.margin_asked_rad.to_degrees());
        let below = if season.meets_margin() == Some(false) { ": below the margin asked" } else { "" };
        let margin = format!("{} of {} deg asked{below}", number(least_deg, 3), number(asked_deg, 3));
        season_line(out, "smallest arc margin", &margin);
    }
    if season.worst_regulated_week.is_some() {
        let (low, high) = TRADE_MINUTES_A_WEEK;
        season_line(out, "usual for such clocks (no source)", &format!("{low:.0} to {high:.0} min a week"));
    }
    season_line(out, "method", &method_in_words(season.method));
    if let Some(stopped) = &season.stopped {
        let sample = &season.samples[stopped.sample];
        let (what, after) = match stopped.cause {
            NoAnswer::Wanders => {
                ("NO STEADY SWING", "It keeps ticking, but at no steady rate: the error is followed no further.")
            }
            _ => ("STOPS", "The error is followed no further: a clock that has stopped is not restarted."),
        };
        let _ = writeln!(
            out,
            "\n  {what}, {}, at {} degC and {} % humidity ({} % in the parts): {}\n  {after}",
            view.when(sample.moment.time_s),
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
        "\nWhere the error comes from (a mean is constant and can be regulated out; the rest varies)\n  {:<37} {:>10} \
            {:>13} {:>14} {:>14}",
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
        row("remainder, causes acting together", together);
    }
    for (carrier, found) in &budget.carriers {
        row(&format!("through {}", carrier_words(*carrier)), found);
    }
    for (cause, found) in &budget.causes {
        if found.is_none() {
            let _ = writeln!(out, "  with {} alone the clock stops", cause_words(*cause));
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
                    "rates differ by {} s/day (standard deviation), {} min a week, constant, so it can be regulated \
                        out",
                    number(deviation, 2),
                    number(minutes, 2)
                )
            },
        );
        let _ = writeln!(out, "  print: {} of {} copies go; {deviation}", print.going, print.copies);
    }
}

fn weather_in_words(view: &SeasonView<'_>) -> String {
    match view.log {
        Some(log) => format!("from the log {}", log.name),
        None => "temperature and humidity as sinusoids".to_owned(),
    }
}

/// How the rates were found, in words.
#[must_use]
pub fn method_in_words(method: Method) -> String {
    match method {
        Method::EveryRoom => "the steady swing of every row".to_owned(),
        Method::Interpolated { solved, checked, largest_error_s_per_day } => format!(
            "{solved} steady swings solved, the rest interpolated; {checked} random rows agree within {} s/day",
            if largest_error_s_per_day < 1e-6 { "0.000001".to_owned() } else { number(largest_error_s_per_day, 6) }
        ),
    }
}

/// The page from the worst week on.
pub(super) fn motor_season_rest(out: &mut String, view: &SeasonView<'_>, season: &MotorSeason) {
    let month = |month: &ErrorWindow| stretch_in_words(view, month);
    if let Some(worst) = &season.worst_month {
        season_line(out, "worst month, not regulated", &month(worst));
    }
    if let Some(worst) = &season.worst_regulated_month {
        season_line(out, "worst month, mean rate regulated out", &month(worst));
    }
    if let Some(mean) = season.mean_rate_s_per_day {
        let many = format!(
            "{} min +/- {} (95 % of such clocks)",
            number(minutes_a_month(mean), 3),
            number(minutes_a_month(season.spread_s_per_day()), 3)
        );
        season_line(out, "mean in a month, +/- from clock to clock", &many);
    }
    let usual = format!("+/- {} min a month", number(USUAL_S_PER_MONTH / 60.0, 1));
    season_line(out, "usual for such clocks (no source)", &usual);
    season_line(out, "method", "the oscillator's curve and ageing, every row");
    if let Some(reason) = season.reason {
        let _ = writeln!(out, "\n  STOPS, in any weather: {}", NoAnswer::Stops(reason));
        return;
    }
    let _ = writeln!(
        out,
        "\nWhere the error comes from, min a month (+/- from clock to clock, 95 % of them; a mean can be trimmed \
            out)\n  {:<24} {:>10} {:>10} {:>14} {:>16} {:>16}",
        "", "mean", "+/-", "varies s/day", "own worst month", "in worst month"
    );
    let minutes = |seconds: Option<f64>| seconds.map_or_else(|| "-".to_owned(), |s| number(s / 60.0, 4));
    for found in &season.causes {
        let _ = writeln!(
            out,
            "  {:<24} {:>10} {:>10} {:>14} {:>16} {:>16}",
            cause_key(found.cause),
            number(minutes_a_month(found.share.mean_s_per_day), 4),
            number(minutes_a_month(found.spread_s_per_day), 4),
            number(found.share.range_s_per_day, 4),
            minutes(found.share.worst.map(|month| month.change_s)),
            minutes(found.share.in_worst_s),
        );
    }
}
