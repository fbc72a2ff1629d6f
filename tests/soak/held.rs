//! What the answers about one clock have to agree in.

use beatwright::answers::drivable::Drivable;
use beatwright::answers::gain_scan::{best_gain, gain_scan};
use beatwright::answers::prediction::Prediction;
use beatwright::answers::remarks::Remark;
use beatwright::answers::verdict::{Verdict, verdict};
use beatwright::clock::drive_level::DriveLevel;
use beatwright::report::prediction::json::Results;

/// Share of the energy given by which a ledger may be off.
const LEDGER: f64 = 1e-9;

/// Widths, relative, of the two sides of a least drive at which a clock is asked again.
const ASIDE: f64 = 1e-3;

/// Contradictions among the answers about a clock.
pub fn contradictions(prediction: &Prediction, results: &Results) -> Vec<String> {
    let mut found = not_numbers(&format!("{results:?}"));
    found.extend(among_the_answers(prediction, results));
    // The least drive of a clock with hands is that over the twelve hours, not under their mean torque.
    if Drivable::of(&prediction.built).and_then(|drivable| drivable.prepared()?.hands()).is_none() {
        found.extend(beside_the_least_drive(prediction));
    }
    found
}

/// The words of a debug text that are no numbers.
pub fn not_numbers(text: &str) -> Vec<String> {
    let is_word = |c: char| c.is_alphanumeric() || c == '_';
    let mut words = text.split(|c: char| !is_word(c));
    let bad = words.find(|word| matches!(*word, "NaN" | "nan" | "inf"));
    let place = bad.and_then(|bad| text.find(bad)).unwrap_or(0);
    bad.map(|bad| format!("{bad} in the answers: ...{}...", around(text, place))).into_iter().collect()
}

fn around(text: &str, place: usize) -> String {
    let from = (0..=place.saturating_sub(80)).rev().find(|&at| text.is_char_boundary(at)).unwrap_or(0);
    text[from..].chars().take(160).collect()
}

fn among_the_answers(prediction: &Prediction, results: &Results) -> Vec<String> {
    let mut found = Vec::new();
    let mut say = |wrong: bool, what: String| {
        if wrong {
            found.push(what);
        }
    };
    let built = &prediction.built;
    let own = built.own_drive().map(DriveLevel::value);
    let least = prediction.least.map(|least| least.bare.value());
    let goes = prediction.reason().is_none();
    let has_drive = Drivable::of(built).is_some();
    if let Some(steady) = &prediction.steady {
        let energy = steady.energy;
        let size = energy.weight.abs().max(energy.air + energy.suspension + energy.faces + energy.drop_and_impact);
        say(energy.residual.abs() > LEDGER * size, format!("the ledger is off by {:e} of {size:e} J", energy.residual));
        let ends = [
            energy.cord,
            energy.bearings,
            energy.meshes,
            energy.drop_and_impact,
            energy.faces,
            energy.recoil,
            energy.air,
            energy.suspension,
            energy.support,
        ];
        let least = ends.iter().copied().fold(f64::INFINITY, f64::min);
        say(least < -1e-9 * size, format!("a loss of {least:e} of {size:e} J"));
        if let Some(start) = steady.least_start_rad {
            say(
                start > steady.point.right_rad * (1.0 + 1e-9),
                format!("the least start {start} is beyond the swing {}", steady.point.right_rad),
            );
        }
    }
    if let Verdict::Wanders(low, high) = prediction.verdict {
        say(prediction.wandering.is_none(), format!("wanders between {low} and {high}, and nothing is told of it"));
        say(!(high > low * (1.0 + 1e-6)), format!("wanders between {low} and {high}"));
    }
    if goes {
        let not_found = prediction.notes.contains(&Remark::LeastDriveNotSettled);
        say(has_drive && least.is_none() && !not_found, "keeps going, with no least drive".to_owned());
        if let (Some(own), Some(least)) = (own, least) {
            say(own < least * (1.0 - 1e-5), format!("keeps going at {} of the least drive", own / least));
        }
        say(
            prediction.arc_margin_rad.is_none_or(|margin| margin < -1e-9),
            format!("keeps going with the margin {:?}", prediction.arc_margin_rad),
        );
        say(results.semi_arc_deg.is_none(), "keeps going without a swing".to_owned());
    } else if let (Some(own), Some(least)) = (own, least)
        && own > least * (1.0 + 1e-4)
    {
        let said = results.notes.iter().any(|note| note.contains("although") || note.contains("from a start"));
        say(
            !said,
            format!("stops ({:?}) at {} of the least drive, and no note says why", prediction.reason(), own / least),
        );
    }
    if let Some(life) = &results.life {
        let (margin, going) = (life.margin_lasts_years, life.goes_for_years);
        say(
            margin.zip(going).is_some_and(|(margin, going)| margin > going * (1.0 + 1e-6)),
            format!("has its margin for {margin:?} years, and goes for {going:?}"),
        );
        say(!goes, "stops, and its years are told".to_owned());
        let beyond = life.course.iter().any(|aged| going.is_some_and(|going| aged.years > going));
        say(beyond, format!("swings after it has stopped: {:?}", life.course));
    }
    let wanders = matches!(prediction.verdict, Verdict::Wanders(..));
    if let (Some(own), Some(with_margin), Some(meets), false) =
        (own, prediction.least.and_then(|least| least.with_margin), prediction.meets_margin(), wanders)
    {
        let ratio = own / with_margin.value();
        say(!meets && ratio > 1.0 + 1e-4, format!("misses its margin at {ratio} of the least drive that has it"));
        say(meets && ratio < 1.0 - 1e-4, format!("has its margin at {ratio} of the least drive that has it"));
    }
    found
}

/// A little below the least drive the clock stops however it is started, a little above it some start gains.
fn beside_the_least_drive(prediction: &Prediction) -> Vec<String> {
    let built = &prediction.built;
    let (Some(least), Some(drivable)) = (prediction.least, Drivable::of(built)) else { return Vec::new() };
    let mut found = Vec::new();
    let in_bands = prediction.notes.iter().any(|note| matches!(note, Remark::GoesInBands { .. }));
    for (ratio, expected) in [(1.0 - ASIDE, false), (1.0 + ASIDE, true)] {
        if expected && in_bands {
            continue;
        }
        let Some(clock) = drivable.clock(drivable.level(ratio * least.bare.value())) else { continue };
        // Where the map jumps a start may gain once and the clock stop all the same: below, its end counts.
        let scan = gain_scan(&clock);
        let end = verdict(&clock, &scan, None);
        let gains = || best_gain(&clock, &scan.probes).and_then(|best| best.gain_rad).is_some_and(|gain| gain > 0.0);
        let goes = matches!(end, Verdict::KeepsGoing(_) | Verdict::Wanders(..)) || expected && gains();
        if goes != expected {
            found.push(format!("at {ratio} of the least drive it ends so: {end:?}"));
        }
    }
    found
}
