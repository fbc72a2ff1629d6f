//! The years of a clock as lines of a table.

use crate::report::canvas::look::{short, significant};
use crate::report::prediction::json::Results;
use crate::report::support::text::stop_on_the_way;
use crate::report::words::numbers::{line, number, or_dash, signed};

use super::json::{AgedSwingRecord, LifeRecord};

/// Heading of the table.
const HEADING: &str = "The years\n";

/// Most parts that are told.
const MOST_PARTS: usize = 3;

/// How the clock does over the years; empty where that is not known.
#[must_use]
pub fn table(results: &Results) -> String {
    let Some(life) = &results.life else { return String::new() };
    let mut out = HEADING.to_owned();
    for (label, value) in rows(life, results) {
        line(&mut out, &label, &value);
    }
    for sentence in remarks(life, results) {
        out.push_str(&format!("  {sentence}\n"));
    }
    out
}

/// The lines, label and value.
#[must_use]
pub fn rows(life: &LifeRecord, results: &Results) -> Vec<(String, String)> {
    let margin = match (life.margin_lasts_years, results.meets_margin) {
        (Some(years), _) => years_in_words(years, life.margin_lasts_within_years),
        // A margin that was not found lasts no longer for that than the clock goes.
        (None, Some(true)) if life.goes_for_years.is_some() => "-".to_owned(),
        (None, Some(true)) => more_than(life.longest_years),
        (None, _) => "it has not got it when new".to_owned(),
    };
    let goes = life
        .goes_for_years
        .map_or_else(|| more_than(life.longest_years), |years| years_in_words(years, life.goes_for_within_years));
    let mut rows = vec![
        ("keeps the arc margin asked for".to_owned(), margin),
        ("goes, neither cleaned nor oiled".to_owned(), goes),
    ];
    let new_rate = life.course.first().and_then(|new| new.rate_s_per_day);
    rows.extend(life.course.iter().map(|aged| (age_in_words(aged.years), swing_in_words(aged, new_rate))));
    let taking = life.parts.iter().filter(|part| part.first_year_takes_deg.is_none_or(|deg| deg > 0.0));
    rows.extend(taking.take(MOST_PARTS).enumerate().map(|(place, part)| {
        let label = if place == 0 { "a year takes most through" } else { "  then through" };
        let takes = or_dash(part.first_year_takes_deg.map(|deg| -deg), 4, "deg");
        let value = format!("{}, {}: {takes}", part.part, part.lubrication);
        (label.to_owned(), value)
    }));
    rows
}

/// How frictions are taken to grow, and what is left out.
#[must_use]
pub fn remarks(life: &LifeRecord, results: &Results) -> Vec<String> {
    let percent = |share: f64| short(1e2 * share, 3);
    let growth = &life.growth;
    let within = if growth.within_factor > 1.0 {
        format!(", all within a factor of {}", short(growth.within_factor, 3))
    } else {
        String::new()
    };
    let wound_up = results.support.as_ref().and_then(|support| support.weight_hangs_m).map(|_| {
        let sinks = stop_on_the_way(results).map(|stop| format!("; new or old it {stop}"));
        format!("All of it with the weight wound up{}.", sinks.unwrap_or_default())
    });
    let said = [
        format!(
            "A year is taken to add {} % to a friction that is oiled, {} % to a greased and {} % to a dry one{within}: common practice, no source, \
             unless [ageing] says otherwise.",
            percent(growth.oiled_per_year),
            percent(growth.greased_per_year),
            percent(growth.dry_per_year)
        ),
        "Frictions begin at their means; worn holes and teeth, and plastic that creeps, are not followed. Cleaning and oil take back what dirt and old oil have done, not wear."
            .to_owned(),
    ];
    wound_up.into_iter().chain(said).collect()
}

/// Years with what they may be off, "5.0 years (2.5 to 9.9)".
#[must_use]
pub fn years_in_words(years: f64, within: Option<[f64; 2]>) -> String {
    let either_way = within.map(|[low, high]| format!(" ({} to {})", significant(low, 2), significant(high, 2)));
    format!("{} years{}", significant(years, 2), either_way.unwrap_or_default())
}

fn more_than(years: f64) -> String {
    format!("more than {} years", number(years, 0))
}

fn age_in_words(years: f64) -> String {
    match years {
        0.0 => "swing when new".to_owned(),
        1.0 => "  after 1 year".to_owned(),
        _ => format!("  after {} years", number(years, 0)),
    }
}

fn swing_in_words(aged: &AgedSwingRecord, new_rate_s_per_day: Option<f64>) -> String {
    let shift = aged.rate_s_per_day.zip(new_rate_s_per_day).filter(|_| aged.years > 0.0);
    let shift = shift.map(|(rate, new)| format!(", {} s/day", signed(rate - new, 1)));
    let (arc, margin) = (number(aged.semi_arc_deg, 3), number(aged.arc_margin_deg, 3));
    format!("{arc} deg, margin {margin} deg{}", shift.unwrap_or_default())
}
