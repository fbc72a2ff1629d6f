//! Least weight of every scenario over the printer's bead radius.

use crate::answers::no_answer::NoAnswer;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, Pen, SOLID, THIN_MM, series_pen, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::report::words::no_answer::missing_in_short;
use crate::study::bead::BeadPoint;
use crate::study::comparison::portrait::Compared;

use super::Drawn;
use super::series::{Named, left_out, name_curves, remark};

/// The axis ends at so many times the largest weight that a scenario asks for as drawn or with its own bead radius.
const HIGHEST: f64 = 2.0;

pub(super) fn draw(compared: &[Compared<'_>]) -> Drawn {
    let shown: Vec<(usize, &Compared<'_>, &[BeadPoint])> = compared
        .iter()
        .enumerate()
        .filter_map(|(number, scenario)| Some((number, scenario, scenario.beads.as_ref().ok()?.as_slice())))
        .collect();
    let without: Vec<(&str, String)> = compared
        .iter()
        .filter_map(|scenario| Some((scenario.name, scenario.beads.as_ref().err()?.to_string())))
        .collect();
    let weights = || shown.iter().flat_map(|(_, _, points)| points.iter().filter_map(answered));
    weights().next()?;
    let title = "Least weight against the printer's bead radius";
    let mut subtitle = "Dot: the bead radius of the scenario.".to_owned();
    if shown.iter().any(|(_, _, points)| points.iter().any(|point| point.least_kg.is_err())) {
        subtitle.push_str(" Cross: no answer beyond this.");
    }
    if shown.iter().any(|(_, _, points)| points.iter().any(lock_lost)) {
        subtitle.push_str(" Thin: teeth no longer land on the lock.");
    }
    subtitle.push_str(&left_out(&without));
    let mut sheet = Sheet::new(title, &subtitle, 62.0 + 7.0 * shown.len() as f64);
    let largest =
        shown.iter().flat_map(|(_, _, points)| points.iter()).map(|point| point.bead_radius_m).fold(0.0, f64::max);
    let at_stake = shown
        .iter()
        .flat_map(|(_, scenario, points)| {
            points.iter().filter(|point| point.bead_radius_m == 0.0 || point.bead_radius_m == own_m(scenario))
        })
        .filter_map(answered);
    let highest = HIGHEST * at_stake.map(|point| point.1).fold(0.0, f64::max);
    let highest = if highest > 0.0 { highest } else { f64::INFINITY };
    let x = PanelAxis::between(0.0, 1.03 * 1e3 * largest, "bead radius (mm)", 7.0);
    let top = weights().map(|weight| weight.1.min(highest)).fold(0.0, f64::max);
    let y = PanelAxis::between(0.0, 1.05 * top, "least weight (kg)", 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let mut named = Vec::new();
    for &(number, scenario, points) in &shown {
        let pen = series_pen(number, 1.3 * CURVE_MM);
        for pair in runs(points) {
            let width_mm = if pair.1 { THIN_MM } else { pen.width_mm };
            panel.curve(&mut sheet, pair.0, Pen { width_mm, ..pen });
        }
        let curve: Vec<(f64, f64)> = points.iter().filter_map(answered).collect();
        let own = points.iter().filter(|point| point.bead_radius_m == own_m(scenario)).find_map(answered);
        let mut name = scenario.name.to_owned();
        if let Some((radius, weight)) = own {
            sheet.disc(panel.at((radius, weight)), 1.1, pen.colour);
            name.push_str(&format!("\n{} kg at {} mm", significant(weight, 3), (1e4 * radius).round() / 1e4));
        }
        named.push(Named { name, colour: pen.colour, points: curve });
        for (at, reason) in ends(points, panel.y().low()) {
            let at = panel.at((at.0, at.1.min(panel.y().high())));
            sheet.cross(at, 1.1, series_pen(number, CURVE_MM).broken(SOLID));
            let (text, within) = (missing_in_short(reason), panel.frame);
            sheet.label(Label { at, text, colour: pen.colour, towards: (0.3, 1.0), within, leader: true });
        }
    }
    name_curves(&mut sheet, &panel, &named);
    if weights().any(|weight| weight.1 > panel.y().high()) {
        let text = format!("above {} kg not shown", significant(panel.y().high(), 2));
        remark(&mut sheet, &panel, (panel.x().low(), panel.y().high()), &text);
    }
    Some((title.to_owned(), sheet))
}

fn own_m(scenario: &Compared<'_>) -> f64 {
    scenario.design.printer.bead_radius.value
}

fn lock_lost(point: &BeadPoint) -> bool {
    point.least_kg.is_ok() && !point.keeps_lock
}

/// Pieces of the curve between neighbours with an answer, and whether teeth no longer fall on the lock there.
fn runs(points: &[BeadPoint]) -> Vec<(Vec<(f64, f64)>, bool)> {
    let mut runs: Vec<(Vec<(f64, f64)>, bool)> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let (Some(from), Some(to)) = (answered(&pair[0]), answered(&pair[1])) else {
            open = false;
            continue;
        };
        let lost = lock_lost(&pair[0]) || lock_lost(&pair[1]);
        match runs.last_mut().filter(|run| open && run.1 == lost) {
            Some(run) => run.0.push(to),
            None => runs.push((vec![from, to], lost)),
        }
        open = true;
    }
    runs
}

/// Bead radius, mm, and least weight, kg, of a point that has one.
fn answered(point: &BeadPoint) -> Option<(f64, f64)> {
    Some((1e3 * point.bead_radius_m, *point.least_kg.as_ref().ok()?))
}

/// Where the points without an answer begin, at the height of the last answer before them, and why.
fn ends(points: &[BeadPoint], floor: f64) -> Vec<((f64, f64), &NoAnswer)> {
    let mut found = Vec::new();
    let (mut height, mut failing) = (floor, false);
    for point in points {
        match &point.least_kg {
            Ok(weight) => (height, failing) = (*weight, false),
            Err(reason) if !failing => {
                found.push(((1e3 * point.bead_radius_m, height), reason));
                failing = true;
            }
            Err(_) => {}
        }
    }
    found
}
