//! The verdict and the key figures in words that a layman follows.

use crate::report::canvas::look::significant;
use crate::report::prediction::json::Results;
use crate::report::support::text::stop_on_the_way;
use crate::report::words::numbers::{at_least, number};
use crate::study::friction_open::OpenFigures;

use super::parts::true_minus;

/// The verdict in one sentence.
#[must_use]
pub fn verdict_sentence(results: &Results) -> String {
    let name = &results.name;
    if results.verdict == "stops" {
        let why = results.reason_in_words().map(|reason| format!(": {reason}")).unwrap_or_default();
        let needs = match (results.weight_kg, results.least_weight_kg) {
            (Some(weight), Some(least)) if least > weight => {
                format!("; it is driven by {} kg and needs at least {} kg", number(weight, 2), at_least(least, 2))
            }
            (Some(_), None) => "; no weight that was tried keeps it going".to_owned(),
            _ => String::new(),
        };
        return format!("{name} will stop{why}{needs}.");
    }
    let mut parts = Vec::new();
    if let Some(swing) = results.semi_arc_deg {
        parts.push(format!("swings {} degrees to each side", number(swing, 2)));
    }
    if let Some(rate) = results.rate_s_per_day {
        parts.push(rate_in_words(rate));
    }
    if let Some(days) = results.run_time_days {
        parts.push(format!("runs {} days on one winding", number(days, 1)));
    }
    let then = match (results.weight_kg, results.weight_ratio) {
        (Some(weight), Some(ratio)) => {
            format!(
                "; its weight of {} kg is {} times the least that keeps it going",
                number(weight, 2),
                number(ratio, 2)
            )
        }
        _ => String::new(),
    };
    let list = match parts.split_last() {
        Some((last, [])) => format!(": it {last}"),
        Some((last, others)) => format!(": it {} and {last}", others.join(", ")),
        None => String::new(),
    };
    let below = match (results.meets_margin, results.arc_margin_deg) {
        (Some(false), Some(margin)) => format!(
            " Its swing exceeds what lets a tooth escape by only {} of the {} degrees asked for.",
            number(margin, 2),
            number(results.margin_asked_deg, 2)
        ),
        _ => String::new(),
    };
    let goes = if below.is_empty() { "keeps going" } else { "keeps going, below the margin asked" };
    let wound_up = stop_on_the_way(results).map(|stop| format!(" wound up, but {stop}"));
    format!("{name} {goes}{}{list}{then}.{below}", wound_up.unwrap_or_default())
}

fn rate_in_words(rate_s_per_day: f64) -> String {
    let size = rate_s_per_day.abs();
    if size < 0.05 {
        return "keeps time to a twentieth of a second a day before it is regulated".to_owned();
    }
    let way = if rate_s_per_day > 0.0 { "gains" } else { "loses" };
    if size < 90.0 {
        format!("{way} {} seconds a day before it is regulated", number(size, 1))
    } else {
        format!("{way} {} minutes a day before it is regulated", number(size / 60.0, 1))
    }
}

/// A figure that the page names, with what it means.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct KeyFigure {
    /// Key in `results.json`; the value is printed in another unit where `factor` says so.
    pub key: &'static str,
    /// Name.
    pub name: &'static str,
    /// Value with its unit.
    pub value: String,
    /// Meaning.
    pub meaning: &'static str,
}

/// What is open of key figures, by their keys.
#[must_use]
pub fn open_in_words(open: &OpenFigures) -> Vec<(&'static str, String)> {
    let give_or_take = |value: f64, unit: &str| format!("\u{b1} {} {unit}", significant(value, 2));
    [
        ("semi_arc_deg", open.semi_arc_rad.map(|arc| give_or_take(arc.to_degrees(), "deg"))),
        ("rate_s_per_day", open.rate_s_per_day.map(|rate| give_or_take(rate, "s/day"))),
        ("least_weight_kg", open.least_weight_kg.map(|least| give_or_take(least, "kg"))),
    ]
    .into_iter()
    .filter_map(|(key, text)| Some((key, text?)))
    .collect()
}

/// The key figures that have a value.
#[must_use]
pub fn key_figures(results: &Results) -> Vec<KeyFigure> {
    let figure = |key, name, value: Option<f64>, decimals, unit: &str, meaning| {
        value.map(|value| KeyFigure {
            key,
            name,
            value: true_minus(&format!("{} {unit}", number(value, decimals))),
            meaning,
        })
    };
    let r = results;
    [
        figure(
            "semi_arc_deg",
            "Swing to each side",
            r.semi_arc_deg,
            3,
            "deg",
            "How far the pendulum swings from the middle once it has settled.",
        ),
        figure(
            "rate_s_per_day",
            "Rate",
            r.rate_s_per_day,
            1,
            "s/day",
            "Seconds gained in a day (lost, where negative) before the rating nut is turned.",
        ),
        figure("period_s", "Period", r.period_s, 6, "s", "Time of a whole swing, there and back: two beats."),
        figure(
            "hands.semi_arc_least_deg",
            "Least swing over the dial",
            r.hands.and_then(|hands| hands.semi_arc_least_deg),
            3,
            "deg",
            "The smallest swing of the twelve hours, when the train has to lift the hands.",
        ),
        figure(
            "hands.rate_mean_s_per_day",
            "Mean rate over the dial",
            r.hands.and_then(|hands| hands.rate_mean_s_per_day),
            1,
            "s/day",
            "Seconds gained in a day with the hands going round.",
        ),
        figure("weight_kg", "Weight", r.weight_kg, 2, "kg", "The weight that is hung up."),
        figure(
            "least_weight_kg",
            "Least weight",
            r.least_weight_kg,
            3,
            "kg",
            "Below this weight the clock stops, however well it is started.",
        ),
        figure(
            "least_weight_with_margin_kg",
            "Least weight with the arc margin",
            r.least_weight_with_margin_kg,
            3,
            "kg",
            "The weight at which the swing exceeds what lets a tooth escape by the arc margin asked for.",
        ),
        figure(
            "weight_ratio",
            "Weight reserve",
            r.weight_ratio,
            2,
            "times",
            "The weight over the least weight: what is left for dirt, cold oil and a worse copy.",
        ),
        figure(
            "arc_margin_deg",
            "Arc margin",
            r.arc_margin_deg,
            3,
            "deg",
            "How far the swing goes beyond what lets a tooth escape.",
        ),
        figure(
            "friction_reserve",
            "Friction reserve",
            r.friction_reserve,
            2,
            "times",
            "All frictions together may grow by this factor before the clock stops: what is left for dirt, wear and thick oil.",
        ),
        figure(
            "life.goes_for_years",
            "Goes without cleaning",
            r.life.as_ref().and_then(|life| life.goes_for_years),
            1,
            "years",
            "Until dirt, wear and thick oil have raised the frictions so far that it stops, at usual rates that are known badly.",
        ),
        figure(
            "least_start_arc_deg",
            "Smallest starting swing",
            r.least_start_arc_deg,
            2,
            "deg",
            "Draw the pendulum aside by at least this much and let go: a smaller swing dies away.",
        ),
        figure("run_time_days", "Run time", r.run_time_days, 2, "days", "From one winding to the next."),
        figure(
            "q_factor",
            "Quality of the pendulum",
            r.q_factor,
            0,
            "(Q)",
            "A larger number means a pendulum that loses less and depends less on its drive.",
        ),
        figure(
            "escape_torque_n_m",
            "Torque at the escape wheel",
            r.escape_torque_n_m.map(|torque| 1e3 * torque),
            3,
            "mN m",
            "What the train passes on to the last wheel.",
        ),
    ]
    .into_iter()
    .flatten()
    .collect()
}
