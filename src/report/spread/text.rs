//! A spread as text.

use std::fmt::Write as _;

use crate::clock::printing::train_print::TrainPrint;
use crate::numerics::indices::SobolIndex;
use crate::report::canvas::look::significant;
use crate::report::words::numbers::{counted, number};
use crate::report::words::spread_inputs::{InputUnit, input_name};
use crate::study::spread::copy::PrintedCopy;
use crate::study::spread::inputs::{Input, Varied};

use super::failing_reason;
use super::json::{ExplainedRecord, IndexRecord, PercentilesRecord, SpreadRecord};

/// Width of the labels, characters.
const LABEL: usize = 34;

/// Most failing copies listed.
const MOST_LISTED: usize = 10;

/// The results of a spread.
#[must_use]
pub fn table(record: &SpreadRecord) -> String {
    let mut out = String::new();
    let going = record.keeps_going;
    let percent = |share: f64| number(1e2 * share, 1);
    let _ = writeln!(
        out,
        "{}: {} % OF COPIES KEEP GOING (95 % interval {} to {} %)\n",
        record.name,
        percent(going.value),
        percent(going.low),
        percent(going.high)
    );
    let meeting = record.share_that_meets_margin;
    let _ = writeln!(
        out,
        "  {} % with the margin asked (95 % interval {} to {} %)",
        percent(meeting.value),
        percent(meeting.low),
        percent(meeting.high)
    );
    let compared = record.copies - record.copies_counted;
    let _ = writeln!(
        out,
        "  {} copies: {} independent, which are counted here, and {compared} to separate the inputs\n",
        record.copies, record.copies_counted
    );
    let _ = writeln!(
        out,
        "  {:<LABEL$} {:>10} {:>10} {:>10} {:>10}",
        "percentile of the copies", "5 %", "50 %", "95 %", "99 %"
    );
    let torque = record.least_escape_torque_n_m;
    let reserves = record.friction_reserve_of_copies;
    let rows: [(&str, Option<PercentilesRecord>, f64, usize); 6] = [
        ("least weight (kg)", record.least_weight_kg, 1.0, 3),
        ("least torque at the escape (mN m)", torque, 1e3, 4),
        ("rate of those that go (s/day)", record.rate_s_per_day, 1.0, 1),
        ("semi-arc of those that go (deg)", record.semi_arc_deg, 1.0, 3),
        ("run time of those that go (days)", record.run_time_days, 1.0, 2),
        ("friction reserve (times)", reserves, 1.0, 2),
    ];
    for (label, percentiles, scale, decimals) in rows {
        let Some(percentiles) = percentiles else { continue };
        let _ = write!(out, "  {label:<LABEL$}");
        for value in percentiles.all() {
            let cell = value.map_or_else(|| "none".to_owned(), |value| number(scale * value, decimals));
            let _ = write!(out, " {cell:>10}");
        }
        out.push('\n');
    }
    out.push('\n');
    if reserves.is_some() {
        let mean = record.friction_reserve.map_or_else(|| "-".to_owned(), |factor| number(factor, 2));
        let copies = counted(record.friction_reserve_copies, "copy", "copies");
        let _ = writeln!(
            out,
            "  {:<LABEL$} {mean} times all frictions; percentiles of {copies}",
            "friction reserve of the mean"
        );
    }
    out.push_str(&drive_lines(record));
    out.push_str(&explained_table(record));
    out.push_str(&failing_list(record));
    out
}

fn drive_lines(record: &SpreadRecord) -> String {
    let mut out = String::new();
    let weighed = record.least_weight_kg.is_some();
    let (what, unit, scale, decimals) = if weighed { ("weight", "kg", 1.0, 3) } else { ("torque", "mN m", 1e3, 4) };
    if let Some(own) = record.weight_kg.or(record.escape_torque_n_m) {
        let _ = writeln!(out, "  {what:<LABEL$} {} {unit}", number(scale * own, decimals));
    }
    let share = record.drive_for_share;
    let label = format!("{what} that keeps {} % going", (1e6 * share.share).round() / 1e4);
    let shown = |value: Option<f64>| value.map_or_else(|| "-".to_owned(), |value| number(scale * value, decimals));
    let value = match (share.value, share.high) {
        (Some(_), Some(_)) => {
            format!("{} {unit} (95 % interval {} to {})", shown(share.value), shown(share.low), shown(share.high))
        }
        (Some(_), None) => {
            format!("{} {unit} (95 % interval: at least {}, no upper limit)", shown(share.value), shown(share.low))
        }
        (None, _) => format!("none: too many copies stop at any {what}"),
    };
    let _ = writeln!(out, "  {label:<LABEL$} {value}");
    out
}

/// The input's share of the variance alone and with others, percent, and the interval of the latter.
fn index_cell(index: &IndexRecord) -> String {
    let percent = |share: f64| number(1e2 * share, 0);
    let estimated = SobolIndex { first_order: index.first_order.into(), total: index.total.into() };
    let SobolIndex { first_order, total } = estimated.within_bounds();
    format!(
        "{:>3} {:>3} ({} to {})",
        percent(first_order.value),
        percent(total.value),
        percent(total.low),
        percent(total.high)
    )
}

fn explained_table(record: &SpreadRecord) -> String {
    let mut out = String::new();
    let shown: Vec<(&ExplainedRecord, &Vec<IndexRecord>)> =
        record.explained.iter().filter_map(|explained| Some((explained, explained.inputs.as_ref()?))).collect();
    if shown.is_empty() {
        return out;
    }
    out.push_str(
        "\nWhat makes the copies differ: % of the variance, alone and with others (95 % interval); estimates beyond 0 or 100 % \
         are shown at that bound\n",
    );
    let width = record.inputs.iter().map(|input| input.name.chars().count()).max().unwrap_or(0).max(26);
    let _ = write!(out, "  {:<width$}", "");
    for (explained, _) in &shown {
        let name = explained.name;
        let _ = write!(out, " {name:>20}");
    }
    out.push('\n');
    for (number, input) in record.inputs.iter().enumerate() {
        let _ = write!(out, "  {:<width$}", input.name);
        for (_, indices) in &shown {
            let cell = indices.get(number).map(index_cell).unwrap_or_default();
            let _ = write!(out, " {cell:>20}");
        }
        out.push('\n');
    }
    out
}

fn failing_list(record: &SpreadRecord) -> String {
    let mut out = String::new();
    if record.failing_copies == 0 {
        return out;
    }
    let plural = if record.failing_copies == 1 { "copy fails" } else { "copies fail" };
    let _ = writeln!(out, "\n{} {plural}; show one with --copy NUMBER", record.failing_copies);
    for failing in record.failing.iter().take(MOST_LISTED) {
        let _ = writeln!(out, "  {:>8}  {}", failing.copy, failing.reason);
    }
    if let Some(more) = record.failing_copies.checked_sub(MOST_LISTED).filter(|&more| more > 0) {
        let _ = writeln!(out, "  and {more} more");
    }
    out
}

/// The drawn inputs of one copy; of those of its train, least and most among the gears of `train` that the printer makes, or among
/// the distances of its arbors.
#[must_use]
pub fn drawn_table(inputs: &[Input], train: &TrainPrint, copy: &PrintedCopy) -> String {
    let mut out = format!("Copy {}\n", copy.number);
    for (input, &value) in inputs.iter().zip(&copy.drawn) {
        let unit = if let Varied::Train(quantity) = input.varied {
            InputUnit::of_printer(quantity)
        } else {
            InputUnit::of(input)
        };
        let text = |si: f64| significant(unit.shown(si), 4);
        let drawn = match input.range_over_train(train, value) {
            Some((least, most)) if least < most => format!("{} to {}", text(least), text(most)),
            Some((only, _)) => text(only),
            None => text(value),
        };
        let _ = writeln!(out, "  {:<LABEL$} {drawn} {}", input_name(input), unit.unit);
    }
    if let (Err(error), Some(reason)) = (&copy.outcome, failing_reason(copy)) {
        let _ = writeln!(out, "\nNO CLOCK: {reason}\n  {error}");
    }
    out
}
