//! Amplitude and rate over the driving weight, or over the torque where there is no weight.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    CURVE_MM, DASH_DOT, DASHED, DOTTED, ENTRY, EXIT, HAIR_MM, INK, Pen, SHADE, SOFT, Scale, TEXT_MM, fixed,
    significant, text_width_mm, torque_scale,
};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::{At, PlotFrame, Sheet};
use crate::report::words::action::escape_name;
use crate::study::portrait::{DrivePoint, Portrait};

use super::Drawn;

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let least = prediction.least?;
    let going: Vec<&DrivePoint> = portrait.sweep.iter().filter(|point| point.amplitude_rad.is_some()).collect();
    if going.len() < 2 {
        return None;
    }
    let highest = going.iter().map(|point| point.drive.value()).fold(0.0, f64::max);
    let by_weight = least.bare.is_weight();
    let scale = if by_weight { Scale { unit: "kg", per_si: 1.0 } } else { torque_scale(highest) };
    let drive_name = if by_weight { "driving weight" } else { "torque" };
    let what = if by_weight { "weight" } else { "torque" };
    let title = format!("{}: swing and rate against the {what}", design.name);
    let number = |drive: f64| format!("{} {}", significant(drive * scale.per_si, 3), scale.unit);
    let mut subtitle = format!("Least {what} {}", number(least.bare.value()));
    let asked = significant(design.margin_rad.to_degrees(), 2);
    if let Some(margin) = least.with_margin {
        subtitle.push_str(&format!("; for an arc margin of {asked}\u{b0}, {}", number(margin.value())));
    }
    if let Some(own) = portrait.own_drive {
        subtitle.push_str(&format!("; as designed, {}", number(own.value())));
    }
    subtitle.push('.');
    if least.with_margin.is_none() {
        subtitle.push_str(&format!(" No line for the arc margin: no {what} was found that gives {asked}\u{b0}."));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 84.0);

    let marks: Vec<(f64, &str)> = [
        Some((least.bare.value(), "least")),
        least.with_margin.map(|drive| (drive.value(), "with arc margin")),
        portrait.own_drive.map(|drive| (drive.value(), "as designed")),
    ]
    .into_iter()
    .flatten()
    .collect();
    let low = marks.iter().map(|mark| mark.0).fold(f64::INFINITY, f64::min);
    let low = (low - 0.12 * (highest - low)).min(0.8 * low).max(0.0);
    let x_name = format!("{drive_name} ({})", scale.unit);
    let x = || PanelAxis::between(low * scale.per_si, highest * scale.per_si, &x_name, 7.0);

    let amplitudes = going
        .iter()
        .filter_map(|point| point.amplitude_rad)
        .flat_map(|(right, left)| [right, left])
        .chain([portrait.histories.escaping_rad])
        .map(f64::to_degrees);
    let upper = PanelAxis::over(amplitudes, "amplitude (deg)", 5.0);
    let (rate_name, rates) = rates(&going);
    let lower = (!rates.is_empty()).then(|| PanelAxis::over(rates.iter().map(|rate| rate.1), &rate_name, 4.0));
    let axes: Vec<&PanelAxis> = std::iter::once(&upper).chain(&lower).collect();
    let left = left_edge_mm(&axes);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = top + 0.52 * (bottom - top);

    let swing = Panel::drawn(&mut sheet, (left, top, split), x(), upper, false);
    shade_stall(&mut sheet, &swing, least.bare.value() * scale.per_si);
    let escaping = portrait.histories.escaping_rad.to_degrees();
    swing.level(&mut sheet, escaping, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    let side = |pick: fn((f64, f64)) -> f64| {
        going
            .iter()
            .filter_map(|point| Some((point.drive.value() * scale.per_si, pick(point.amplitude_rad?).to_degrees())))
            .collect::<Vec<_>>()
    };
    let (rights, lefts) = (side(|both| both.0), side(|both| both.1));
    mark_drives(&mut sheet, &swing, &marks, scale);
    let alike = rights.iter().zip(&lefts).all(|(right, left)| (right.1 - left.1).abs() < 0.004 * right.1.abs());
    swing.curve(&mut sheet, rights.iter().copied(), Pen::solid(ENTRY, CURVE_MM));
    let mut name = |at: (f64, f64), text: &str, colour, up: f64| {
        let (at, text) = (swing.at(at), text.to_owned());
        let leader = colour != SOFT;
        sheet.label(Label { at, text, colour, towards: (0.4, up), within: swing.frame, leader });
    };
    let (upper_label, lower_label) = (rights.len() * 2 / 3, rights.len() * 5 / 6);
    if alike {
        name(rights[upper_label], "right and left equal", ENTRY, -1.0);
    } else {
        name(rights[upper_label], "right", ENTRY, if rights[0].1 >= lefts[0].1 { -1.0 } else { 1.0 });
        name(lefts[lower_label], "left", EXIT, if rights[0].1 >= lefts[0].1 { 1.0 } else { -1.0 });
    }
    let escape_text = format!("{}, {}\u{b0}", escape_name(portrait.histories.escape), significant(escaping, 3));
    name((swing.x().high() * 0.8 + swing.x().low() * 0.2, escaping), &escape_text, SOFT, -1.0);
    if !alike {
        swing.curve(&mut sheet, lefts, Pen::solid(EXIT, CURVE_MM).broken(DASHED));
    }

    if let Some(lower) = lower {
        let rate = Panel::drawn(&mut sheet, (left, split, bottom), x(), lower, true);
        shade_stall(&mut sheet, &rate, least.bare.value() * scale.per_si);
        let curve: Vec<(f64, f64)> = rates.iter().map(|&(drive, rate)| (drive * scale.per_si, rate)).collect();
        mark_drives(&mut sheet, &rate, &marks, scale);
        rate.curve(&mut sheet, curve, Pen::solid(ENTRY, CURVE_MM));
    }
    Some((title, sheet))
}

/// Rate, s/day; where there is no train the period, from a round value if it varies little.
fn rates(going: &[&DrivePoint]) -> (String, Vec<(f64, f64)>) {
    let rates: Vec<(f64, f64)> =
        going.iter().filter_map(|point| Some((point.drive.value(), point.rate_s_per_day?))).collect();
    if rates.len() > 1 {
        return ("rate, gaining is positive (s/day)".to_owned(), rates);
    }
    let periods: Vec<(f64, f64)> =
        going.iter().filter_map(|point| Some((point.drive.value(), point.period_s?))).collect();
    let least = periods.iter().map(|period| period.1).fold(f64::INFINITY, f64::min);
    let most = periods.iter().map(|period| period.1).fold(0.0, f64::max);
    if !least.is_finite() {
        return (String::new(), Vec::new());
    }
    if most - least > 0.02 * most {
        return ("period (s)".to_owned(), periods);
    }
    let round = (least * 100.0).round() / 100.0;
    let furthest = (most - round).abs().max((least - round).abs());
    let (unit, per_second) = if furthest > 1e-3 { ("ms", 1e3) } else { ("\u{b5}s", 1e6) };
    let name = format!("period less {} s ({unit})", fixed(round, 2));
    (name, periods.into_iter().map(|(drive, period)| (drive, (period - round) * per_second)).collect())
}

fn mark_pen(text: &str) -> Pen {
    match text {
        "as designed" => Pen::solid(INK, 0.3),
        "with arc margin" => Pen::solid(INK, 0.3).broken(DASH_DOT),
        _ => Pen::solid(INK, 0.3).broken(DOTTED),
    }
}

/// Heights at which a drive's line is named, shares of the panel.
const NAMED_AT: [f64; 5] = [0.24, 0.88, 0.66, 0.46, 0.12];

/// Lines at the drives, each named where it is clear of the curves and of the names of its neighbours.
fn mark_drives(sheet: &mut Sheet, panel: &Panel, marks: &[(f64, &str)], scale: Scale) {
    let (low, high) = (panel.y().low(), panel.y().high());
    for &(drive, text) in marks {
        let x = drive * scale.per_si;
        panel.mark(sheet, x, mark_pen(text));
        let places: Vec<At> = NAMED_AT.iter().map(|share| panel.at((x, low + share * (high - low)))).collect();
        let (at, within) = (places[0], panel.frame);
        let text = format!("{text}\n{} {}", significant(x, 3), scale.unit);
        sheet.label_at_one_of(Label { at, text, colour: INK, towards: (1.0, 0.0), within, leader: true }, places);
    }
}

/// Name of the region without a steady swing.
const STOPS: &str = "stops";

/// Greys out where the clock stops and says so.
fn shade_stall(sheet: &mut Sheet, panel: &Panel, least: f64) {
    let frame = panel.frame;
    let right = panel.at((least, panel.y().low())).0;
    if right <= frame.left {
        return;
    }
    let shade = PlotFrame { right: right.min(frame.right), ..frame };
    sheet.block(&shade, SHADE);
    if shade.width() < text_width_mm(STOPS, TEXT_MM, false) + 1.4 {
        return;
    }
    let at = (0.5 * (frame.left + right), 0.5 * (frame.top + frame.bottom));
    let (text, within) = (STOPS.to_owned(), shade.grown(-0.6));
    sheet.label(Label { at, text, colour: SOFT, towards: (0.0, -1.0), within, leader: false });
}
