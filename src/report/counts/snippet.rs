//! The counts of a row as a scenario has them.

use std::fmt::Write as _;

use crate::numerics::digits::to_six_decimals;
use crate::study::counts::{MeshCounts, ToothAction};

use super::CountsView;
use super::view::value;

/// Names of the arbors from the minute hand's to the one before the escape wheel.
const AFTER: [&str; 6] = ["centre", "third", "fourth", "fifth", "sixth", "seventh"];

/// Names of the arbors between the great wheel's and the minute hand's.
const BEFORE: [&str; 5] = ["second", "second b", "second c", "second d", "second e"];

/// The counts of one row, with the first great wheel and motion work, as tables of a scenario; other keys of the arbors are the maker's.
#[must_use]
pub fn snippet(view: &CountsView<'_>) -> String {
    let Some(train) = view.counts.trains.best.get(view.row) else { return String::new() };
    let great = view.counts.great.as_ref().and_then(|found| found.best.first());
    let meshes: Vec<(&str, ToothAction)> = {
        let before = great.map_or(&[][..], |great| &great.gears.meshes);
        let names = std::iter::once("great").chain(BEFORE);
        let before = names.zip(before.iter().copied());
        before.chain(AFTER.into_iter().zip(train.gears.meshes.iter().copied())).collect()
    };
    let mut out = format!("[train]\nbeat = \"{} s\"\n", value(view.ask.beat_s));
    let angle_deg = view.ask.gears.pressure_angle_rad.to_degrees();
    let _ = writeln!(out, "pressure_angle = \"{} deg\"", to_six_decimals(angle_deg));
    let mut driven: Option<MeshCounts> = None;
    for (name, action) in &meshes {
        let pinion = driven.map_or_else(String::new, |before| format!("pinion_teeth = {}\n", before.pinion));
        let _ = write!(
            out,
            "\n[[train.arbor]]\nname = \"{name}\"\n{pinion}wheel_teeth = {}\nmodule = \"{} mm\"\n",
            action.counts.wheel,
            to_six_decimals(1e3 * action.module_m),
        );
        driven = Some(action.counts);
    }
    if let Some(last) = driven {
        let _ = write!(out, "\n[[train.arbor]]\nname = \"escape\"\npinion_teeth = {}\n", last.pinion);
    }
    out.push_str("\n[train.hands]\nminute = \"centre\"\n");
    if let Some(work) = view.counts.motion.best.first() {
        let pair = |action: &ToothAction| format!("[{}, {}]", action.counts.pinion, action.counts.wheel);
        let pairs: Vec<String> = work.gears.meshes.iter().map(pair).collect();
        let _ = writeln!(out, "motion_work = [{}]", pairs.join(", "));
        let mut modules: Vec<String> = work
            .gears
            .meshes
            .iter()
            .map(|action| format!("\"{} mm\"", to_six_decimals(1e3 * action.module_m)))
            .collect();
        modules.dedup();
        let _ = match modules.as_slice() {
            [both] => writeln!(out, "motion_work_module = {both}"),
            _ => writeln!(out, "motion_work_module = [{}]", modules.join(", ")),
        };
    }
    let _ = writeln!(out, "\n# teeth = {}, in the table of the escapement", train.escape_teeth);
    out
}
