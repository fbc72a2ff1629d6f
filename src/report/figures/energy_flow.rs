//! The energy of a beat as a flow, from the weight down to the pendulum, as wide as it is strong.

use std::f64::consts::FRAC_PI_2;

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::canvas::look::{
    Colour, ENTRY_PALE, EXIT_PALE, HAIR_MM, INK, MARGIN_MM, Pen, SOFT, WHEEL, WIDTH_MM, energy_scale, fixed,
    significant,
};
use crate::report::canvas::sheet::{Anchor, At, PlotFrame, Sheet};

use super::Drawn;
use super::energy_ledger::{decimals, energy_rows_by_part};

/// Width of the whole energy, mm.
const WHOLE_MM: f64 = 30.0;

/// Inner radius of a bend, mm.
const BEND_MM: f64 = 1.5;

/// Where the branches end and their names begin, mm.
const BRANCH_END_MM: f64 = 41.0;

/// Free room below a branch, and the least height of one, mm.
const ROW_MM: f64 = 4.4;

/// Height of a line that says what passes on, mm.
const PASSED_MM: f64 = 5.4;

/// A part of the clock: its losses by name, and its colour.
struct FlowPart {
    name: &'static str,
    passes_to: Option<&'static str>,
    losses: Vec<(&'static str, f64)>,
    colour: Colour,
}

/// `None` without a steady period or without a wheel in contact.
pub(super) fn draw(design: &InRoom, prediction: &Prediction) -> Drawn {
    prediction.built.action?;
    let energy = prediction.steady.as_ref()?.energy;
    let input = energy.weight;
    if !(input > 0.0) {
        return None;
    }
    let [train, escapement, pendulum] = energy_rows_by_part(&energy);
    let part = |name, passes_to, losses, colour| FlowPart { name, passes_to, losses, colour };
    let parts = [
        part("train", Some("reaches the escape wheel"), train, WHEEL),
        part("escapement", Some("reaches the pendulum"), escapement, EXIT_PALE),
        part("pendulum", None, pendulum, ENTRY_PALE),
    ];
    let scale = energy_scale(input);
    let text = |value: f64| {
        let shown = fixed(value * scale.per_si, decimals(input * scale.per_si));
        format!("{shown} {}, {} %", scale.unit, fixed(100.0 * value / input, 1))
    };
    let width_mm = |value: f64| WHOLE_MM * (value / input).max(0.0);
    let height = |part: &FlowPart| {
        let branches: f64 = part.losses.iter().map(|&(_, loss)| row_mm(width_mm(loss))).sum();
        branches + part.passes_to.map_or(0.0, |_| PASSED_MM)
    };
    let title = format!("{}: flow of energy in a beat", design.name);
    let subtitle = format!("{} {} a beat; width shows energy.", significant(input * scale.per_si, 3), scale.unit);
    let body = parts.iter().map(height).sum::<f64>() + PASSED_MM + 4.0;
    let mut sheet = Sheet::new(&title, &subtitle, body);
    let left = MARGIN_MM + 2.0;
    let mut right = left + WHOLE_MM;
    let mut y = sheet.head_mm + 1.0;
    sheet.text((left, y + 2.0), &format!("given: {}", text(input)), INK, Anchor::Start);
    y += PASSED_MM - 1.0;
    let mut passed = input;
    for part in &parts {
        let top = y;
        for &(name, loss) in &part.losses {
            let width = width_mm(loss);
            let row = row_mm(width);
            let trunk = PlotFrame { left, top: y - 0.05, right: right - width, bottom: y + row + 0.05 };
            sheet.block(&trunk, part.colour);
            branch(&mut sheet, (right, y), width, part.colour);
            sheet.text(
                (BRANCH_END_MM + 1.2, y + BEND_MM + 0.5 * width),
                &format!("{name} {}", text(loss)),
                INK,
                Anchor::Start,
            );
            right -= width;
            passed -= loss;
            y += row;
        }
        sheet.text((WIDTH_MM - MARGIN_MM, top + 1.0), part.name, SOFT, Anchor::End);
        if let Some(words) = part.passes_to {
            sheet.block(&PlotFrame { left, top: y, right, bottom: y + PASSED_MM }, part.colour);
            sheet.text((right + 1.2, y + 0.5 * PASSED_MM), &format!("{words} {}", text(passed)), SOFT, Anchor::Start);
            y += PASSED_MM;
        }
    }
    Some((title, sheet))
}

fn row_mm(width_mm: f64) -> f64 {
    width_mm.max(ROW_MM - 1.0) + 1.0
}

/// A strip that leaves the right edge of the flow at `at`, bends to the right and runs to the names.
fn branch(sheet: &mut Sheet, (right, top): At, width: f64, colour: Colour) {
    let centre = (right + BEND_MM, top);
    let arc = |radius: f64, share: f64| {
        let (sine, cosine) = (share * FRAC_PI_2).sin_cos();
        (centre.0 - radius * cosine, centre.1 + radius * sine)
    };
    let steps = 16;
    let outer = (0..=steps).map(|step| arc(BEND_MM + width, f64::from(step) / f64::from(steps)));
    let ends = [(BRANCH_END_MM, top + BEND_MM + width), (BRANCH_END_MM, top + BEND_MM)];
    let inner = (0..=steps).rev().map(|step| arc(BEND_MM, f64::from(step) / f64::from(steps)));
    if width > 0.05 {
        sheet.area(outer.chain(ends).chain(inner).collect::<Vec<At>>(), colour);
    } else {
        // A loss of next to nothing still shows where it leaves.
        let line = (0..=steps).map(|step| arc(BEND_MM, f64::from(step) / f64::from(steps)));
        sheet.line(line.chain([ends[1]]).collect::<Vec<At>>(), Pen::solid(colour, HAIR_MM));
    }
}
