//! How a finished clock is started, set in beat and brought to time, step by step with its own numbers.

use crate::clock::SECONDS_PER_DAY;
use crate::report::prediction::json::Results;
use crate::report::regulation::json::RegulationRecord;
use crate::report::words::numbers::{counted, number};

/// Turns of the rating nut with the way they go.
pub(in crate::report) fn turns_in_words(turns: f64) -> String {
    format!("{} turns {}", number(turns.abs(), 2), if turns < 0.0 { "down" } else { "up" })
}

/// A wait, at least a minute, in a unit in which the number is not large.
fn wait_in_words(seconds: f64) -> String {
    match seconds {
        seconds if seconds < 180.0 * 60.0 => counted((seconds / 60.0).ceil() as usize, "minute", "minutes"),
        seconds => format!("{} hours", number(seconds / 3600.0, 0)),
    }
}

/// The steps, in their order; without those that have no number.
pub(in crate::report) fn regulating_steps(results: &Results, regulation: &RegulationRecord) -> Vec<String> {
    let mut steps = Vec::new();
    if let Some(push) = results.least_start_arc_deg {
        let own =
            results.start_arc_deg.map_or_else(String::new, |arc| format!("; {} degrees are planned", number(arc, 1)));
        steps.push(format!(
            "Start: draw the pendulum aside by more than {} degrees and let it go without a push{own}.",
            number(push, 2)
        ));
    }
    if let Some(days) = regulation.settling_days {
        steps.push(format!(
            "Wait: after about {} the swing has settled to within 1 %; judge nothing before.",
            wait_in_words(days * SECONDS_PER_DAY)
        ));
    }
    if let Some(error_ms) = regulation.beat_error_ms {
        let mend = match (regulation.beat_crutch_deg, regulation.beat_crutch_mm) {
            (Some(angle), way) if angle.abs() >= 0.0005 => {
                let side = if angle < 0.0 { "left" } else { "right" };
                let way = way.map_or_else(String::new, |mm| format!(" ({} mm at the crutch)", number(mm.abs(), 2)));
                format!("; to correct it, turn the pallets by {} degrees to the {side}{way}", number(angle.abs(), 3))
            }
            _ => String::new(),
        };
        steps.push(format!(
            "Set it in beat: listen until tick and tock are even. As designed they are {} ms out of beat{mend}.",
            number(error_ms.abs(), 1)
        ));
    }
    if let (Some(turn), Some(turns)) = (results.nut_s_per_day_per_turn, regulation.nut_turns_to_time) {
        steps.push(format!(
            "Bring it to time: one turn of the rating nut up gains {} s/day; as designed {} bring it to time.",
            number(turn, 1),
            turns_in_words(turns)
        ));
    }
    steps
}
