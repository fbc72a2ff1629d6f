//! The diagnosis in a maker's words.

use crate::clock::side::Side;
use crate::report::words::numbers::number;
use crate::study::fit::Estimate;
use crate::study::fit::ticks::{Diagnosis, Explanation, WheelFault};

/// Deviation of the pattern from chance, in standard deviations, below which nothing is to be explained.
const CHANCE: f64 = 4.0;

/// Share of the pattern below which an explanation alone is not worth a line.
const WORTH_A_LINE: f64 = 0.05;

/// A length with what it is uncertain by, mm.
fn millimetres(length_m: Estimate) -> String {
    let decimals = if length_m.sigma < 5e-7 {
        4
    } else if length_m.sigma < 5e-6 {
        3
    } else {
        2
    };
    format!("{} mm +/- {} mm", number(1e3 * length_m.value.abs(), decimals), number(1e3 * length_m.sigma, decimals))
}

/// "tooth 7 is 0.12 mm +/- 0.01 mm short".
pub(super) fn fault_in_words(fault: &WheelFault) -> String {
    match fault {
        WheelFault::RunOut { eccentricity_m, high_tooth } => {
            format!(
                "the wheel is out of true by {}, tooth {high_tooth} standing out furthest",
                millimetres(*eccentricity_m)
            )
        }
        WheelFault::Short { tooth, by_m } if by_m.value < 0.0 => {
            format!("tooth {tooth} is {} long", millimetres(*by_m))
        }
        WheelFault::Short { tooth, by_m } => format!("tooth {tooth} is {} short", millimetres(*by_m)),
        WheelFault::Behind { tooth, by_m } => {
            let side = if by_m.value < 0.0 { "ahead of" } else { "behind" };
            format!("tooth {tooth} stands {} {side} its place", millimetres(*by_m))
        }
    }
}

fn percent(share: f64) -> String {
    format!("{} %", number(1e2 * share.clamp(0.0, 1.0), 0))
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// What the pattern of a turn says, a sentence a line.
pub(super) fn diagnosis_in_words(diagnosis: &Diagnosis) -> Vec<String> {
    let mut lines = Vec::new();
    let Explanation { faults, explained, .. } = &diagnosis.best;
    if faults.is_empty() {
        lines.push(if diagnosis.above_noise > CHANCE {
            "The beats of a turn differ by more than chance, but no run-out and no few teeth explain it: many teeth differ a little."
                .to_owned()
        } else {
            "The beats of a turn differ by no more than chance: no tooth and no run-out shows.".to_owned()
        });
    } else {
        let words: Vec<String> = faults.iter().map(fault_in_words).collect();
        let joined = match words.split_last() {
            Some((last, [])) => last.clone(),
            Some((last, others)) => format!("{} and {last}", others.join(", ")),
            None => String::new(),
        };
        lines.push(format!(
            "{}. This explains {} of what returns with the wheel's turn.",
            capital(&joined),
            percent(*explained)
        ));
        if !diagnosis.run_with_faults {
            lines.push(
                "The scenario's clock does not run with such a wheel, so these sizes hold for small faults only."
                    .to_owned(),
            );
        }
    }
    for other in &diagnosis.alone {
        let ([fault], true) = (other.faults.as_slice(), other.explained > WORTH_A_LINE) else { continue };
        let same = faults.len() == 1 && faults.first().is_some_and(|best| same_kind_and_tooth(best, fault));
        if !same {
            lines.push(format!("Alone: {} would explain {}.", fault_in_words(fault), percent(other.explained)));
        }
    }
    if !diagnosis.alone.iter().any(|other| matches!(other.faults.first(), Some(WheelFault::Behind { .. }))) {
        lines.push(
            "Teeth out of their places along the rim were not tried: the scenario's motion has no steady turn with them."
                .to_owned(),
        );
    }
    match diagnosis.first_on {
        Some(side) => lines.push(format!(
            "Teeth are counted from the first one heard to fall, on the {} pallet, in the order in which they come.",
            if side == Side::Entry { "entry" } else { "exit" }
        )),
        None if !faults.is_empty() => lines.push(
            "Which pallet the first tick is on cannot be told, so that a tooth's number may be that of its place on the other pallet."
                .to_owned(),
        ),
        None => {}
    }
    lines
}

fn same_kind_and_tooth(one: &WheelFault, other: &WheelFault) -> bool {
    match (one, other) {
        (WheelFault::RunOut { .. }, WheelFault::RunOut { .. }) => true,
        (WheelFault::Short { tooth: a, .. }, WheelFault::Short { tooth: b, .. })
        | (WheelFault::Behind { tooth: a, .. }, WheelFault::Behind { tooth: b, .. }) => a == b,
        _ => false,
    }
}
