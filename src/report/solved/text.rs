//! A value that was solved for, in words.

use std::fmt::Write as _;

use crate::report::canvas::look;
use crate::study::map::axis::Axis;
use crate::study::solve_for::Unsolved;

use super::json::SolvedRecord;

/// Digits of numbers in messages.
const DIGITS: i32 = 6;

/// Change of a number, relative, that is none: the rounding of what was computed.
const UNCHANGED: f64 = 1e-9;

/// A number to six digits without the zeros at its end.
fn short(value: f64) -> String {
    look::short(value, DIGITS)
}

fn with_unit(value: f64, unit: Option<&str>) -> String {
    unit.map_or_else(|| short(value), |unit| format!("{} {unit}", short(value)))
}

/// The solution, and the line to copy.
#[must_use]
pub fn table(solved: &SolvedRecord) -> String {
    let unit = solved.unit.as_deref();
    let mut out = format!(
        "Solved: {} = {} gives {} = {}\n",
        solved.path,
        with_unit(solved.value, unit),
        solved.key,
        short(solved.reached)
    );
    if let Some(own) = solved.own_value {
        let number = solved.own_number.map_or_else(|| "none".to_owned(), short);
        let _ = writeln!(out, "  today {} = {}: {number}", solved.path, with_unit(own, unit));
    }
    if !solved.other_values.is_empty() {
        let others: Vec<String> = solved.other_values.iter().map(|&value| with_unit(value, unit)).collect();
        let taken =
            if solved.own_value.is_some() { "the nearest to today's value is taken" } else { "the least is taken" };
        let _ = writeln!(out, "  also at {}; {taken}", others.join(", "));
    }
    let _ = writeln!(out, "  to use it: --set '{}'", solved.set);
    out
}

/// Why there is no solution, with what there is.
#[must_use]
pub fn unsolved(axis: &Axis, key: &str, asked: f64, why: &Unsolved) -> String {
    let unit = axis.unit.as_deref();
    let values = axis.values();
    let range = match (values.first(), values.last()) {
        (Some(&low), Some(&high)) => {
            format!("{} from {} to {}", axis.path, with_unit(low, unit), with_unit(high, unit))
        }
        _ => axis.path.clone(),
    };
    match why {
        Unsolved::Nowhere(reason) => format!("no {range} gives a clock with `{key}`: {reason}"),
        Unsolved::NotReached { least, most, missing } => {
            let (low, high) = (with_unit(least.0, unit), with_unit(most.0, unit));
            let mut text = format!("no {range} gives {key} = {}: ", short(asked));
            let unchanged = most.1 - least.1 <= UNCHANGED * most.1.abs();
            if unchanged {
                let _ = write!(text, "it stays at {} whatever {} is", short(least.1), axis.path);
            } else {
                let _ = write!(text, "it goes from {} at {low} to {} at {high}", short(least.1), short(most.1));
            }
            if let Some(missing) = missing {
                let _ = write!(text, ", and at some values there is none ({missing})");
            }
            text.push_str(if unchanged {
                "; solve for another quantity"
            } else {
                "; search another range with --solve PATH=low..high"
            });
            text
        }
        Unsolved::Jumps { at, sides } => format!(
            "{key} is never {}: at {} = {} it jumps from {} to {}",
            short(asked),
            axis.path,
            with_unit(*at, unit),
            short(sides.0),
            short(sides.1)
        ),
        Unsolved::Interrupted => "the search was stopped".to_owned(),
    }
}
