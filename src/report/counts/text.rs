//! Tooth counts as tables.

use std::fmt::Write as _;

use num_rational::Ratio;

use crate::clock::SECONDS_PER_DAY;
use crate::numerics::digits::to_six_decimals;
use crate::report::words::numbers::{counted, number};
use crate::study::counts::{GreatTrain, MotionPair, RankedGears, RankedRows};

use super::CountsView;
use super::csv::counts_of;
use super::snippet::snippet;
use super::view::{exactly, value};

/// Width of the column of counts.
const COUNTS: usize = 26;

/// All tables, and the first row of each as a scenario has it.
#[must_use]
pub fn table(view: &CountsView<'_>) -> String {
    let beat = view.ask.beat_s;
    let mut out = format!(
        "Tooth counts for a beat of {} s, {} beats an hour, the minute hand once an hour\n",
        exactly(beat),
        exactly(Ratio::from_integer(3600) / beat),
    );
    trains(view, &mut out);
    if let Some(great) = &view.counts.great {
        great_trains(view, great, &mut out);
    }
    motion_works(view, &view.counts.motion, &mut out);
    let _ = writeln!(out, "\n{}", remarks(view));
    let row = if view.row == 0 { "The first row".to_owned() } else { format!("Row {}", view.row + 1) };
    let _ = write!(out, "\n{row} in a scenario; pivots and masses of the arbors are yours:\n\n{}", snippet(view));
    out
}

/// "214 trains, the smallest first", and how many of them are shown.
fn how_many(view: &CountsView<'_>, found: u64, shown: usize, one: &str, many: &str) -> String {
    let all = counted(usize::try_from(found).unwrap_or(usize::MAX), one, many);
    if found > shown as u64 {
        return format!("{all}, {}; {shown} shown (--most)", view.rank_in_words());
    }
    if shown > 1 { format!("{all}, {}", view.rank_in_words()) } else { all }
}

fn sizes(gears: &RankedGears) -> String {
    let undercut = gears.meshes.iter().any(|action| action.mesh.undercut);
    format!(
        "{:>10} {:>8} {:>6} {:>7} {:>7} {}",
        number(1e3 * gears.largest_m, 1),
        number(1e3 * gears.sum_m, 1),
        gears.to_draw,
        number(gears.ratio_spread, 2),
        number(1e2 * (1.0 - gears.passed_share), 1),
        if undercut { "undercut" } else { "" },
    )
}

const SIZES: [&str; 5] = ["largest mm", "sum mm", "gears", "ratios", "loss %"];

fn heading(before: &str) -> String {
    let [largest, sum, gears, ratios, loss] = SIZES;
    format!("  {:>3}  {before} {largest:>10} {sum:>8} {gears:>6} {ratios:>7} {loss:>7}\n", "row")
}

fn line(row: usize, before: &str, gears: &RankedGears) -> String {
    format!("  {:>3}  {before} {}", row + 1, sizes(gears)).trim_end().to_owned() + "\n"
}

fn trains(view: &CountsView<'_>, out: &mut String) {
    let found = &view.counts.trains;
    let _ = writeln!(
        out,
        "\nFrom the minute hand's arbor to the escape wheel: {}\n",
        how_many(view, found.found, found.best.len(), "train", "trains")
    );
    out.push_str(&heading(&format!("{:>6} {:>9}  {:<COUNTS$}", "escape", "turns/h", "wheel/pinion")));
    for (row, train) in found.best.iter().enumerate() {
        let before = format!(
            "{:>6} {:>9}  {:<COUNTS$}",
            train.escape_teeth,
            exactly(train.turns_per_hour),
            counts_of(&train.gears)
        );
        out.push_str(&line(row, &before, &train.gears));
    }
}

fn great_trains(view: &CountsView<'_>, found: &RankedRows<GreatTrain>, out: &mut String) {
    let _ = writeln!(
        out,
        "\nFrom the great wheel to the minute hand's arbor: {}\n",
        how_many(view, found.found, found.best.len(), "train", "trains")
    );
    let drums = found.best.iter().any(|train| train.drum.is_some());
    let drum_heading = if drums { format!(" {:>8} {:>8}", "drum mm", "run days") } else { String::new() };
    out.push_str(&heading(&format!("{:>8}{drum_heading}  {:<COUNTS$}", "h/turn", "wheel/pinion")));
    for (row, train) in found.best.iter().enumerate() {
        let drum = train.drum.map_or_else(String::new, |drum| {
            format!(" {:>8} {:>8}", number(1e3 * drum.drum_m, 1), number(drum.run_s / SECONDS_PER_DAY, 2))
        });
        let before =
            format!("{:>8}{drum}  {:<COUNTS$}", number(value(train.hours_per_turn), 3), counts_of(&train.gears));
        out.push_str(&line(row, &before, &train.gears));
    }
}

fn motion_works(view: &CountsView<'_>, found: &RankedRows<MotionPair>, out: &mut String) {
    let [one_m, other_m] = view.ask.motion_modules_m;
    let modules = if one_m == other_m {
        format!("both pairs at a module of {} mm", to_six_decimals(1e3 * one_m))
    } else {
        format!("pairs at modules of {} mm and {} mm", to_six_decimals(1e3 * one_m), to_six_decimals(1e3 * other_m))
    };
    let _ = writeln!(
        out,
        "\nMotion work, 12 to 1 on one distance of arbors, {modules}: {}\n",
        how_many(view, found.found, found.best.len(), "set", "sets")
    );
    if found.best.is_empty() {
        return;
    }
    out.push_str(&heading(&format!("{:>11}  {:<COUNTS$}", "distance mm", "driver/driven")));
    for (row, work) in found.best.iter().enumerate() {
        let pairs: Vec<String> = work
            .gears
            .meshes
            .iter()
            .map(|action| format!("{}/{}", action.counts.pinion, action.counts.wheel))
            .collect();
        let distance_m = work.gears.meshes.first().map_or(0.0, |action| action.centre_distance_m);
        let before = format!("{:>11}  {:<COUNTS$}", number(1e3 * distance_m, 2), pairs.join(" "));
        out.push_str(&line(row, &before, &work.gears));
    }
}

/// What the columns mean, and what holds for all rows.
fn remarks(view: &CountsView<'_>) -> String {
    let ask = view.ask;
    let friction = to_six_decimals(ask.gears.tooth_friction);
    let friction = view.friction_name.map_or_else(|| friction.to_string(), |name| format!("{friction} ({name})"));
    let mut modules = format!("a module of {} mm", to_six_decimals(1e3 * ask.module_m));
    if let Some(great) = ask.great.as_ref().filter(|great| great.module_m != ask.module_m) {
        let _ = write!(modules, " ({} mm for the great wheel)", to_six_decimals(1e3 * great.module_m));
    }
    let mut out = format!(
        "Outside diameters at {modules}; gears: different counts to draw; ratios: the largest over the smallest; loss: in the \
         teeth, at\n{} deg and a friction of {friction}. The meshes of a row may stand in any order, and a train of one table \
         goes with any of the others.",
        to_six_decimals(ask.gears.pressure_angle_rad.to_degrees()),
    );
    let rows = [
        view.counts.trains.best.iter().any(|train| train.gears.meshes.iter().any(|action| action.mesh.undercut)),
        view.counts
            .great
            .iter()
            .flat_map(|found| &found.best)
            .any(|train| train.gears.meshes.iter().any(|a| a.mesh.undercut)),
    ];
    if rows.contains(&true) {
        out.push_str(
            "\nUndercut: at this pressure angle a tip reaches below the other's base circle; more leaves (--least-leaves) or a \
             larger angle\n(--pressure-angle) cures it.",
        );
    }
    if view.counts.trains.best.iter().any(crate::study::counts::GoingTrain::is_backwards) {
        out.push_str(
            "\nWith an odd number of meshes the minute hand turns the other way than the escape wheel does: draw the escapement \
             mirrored.",
        );
    }
    if view.counts.great.is_none() {
        out.push_str("\nWith --run and --fall, or --great-hours, the great wheel too.");
    }
    out
}
