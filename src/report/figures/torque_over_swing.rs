//! Torque of the escapement on the pendulum over its angle.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    CURVE_MM, Colour, DASHED, ENTRY, EXIT, HAIR_MM, INK, Pen, SOFT, Scale, energy_scale, significant, torque_scale,
};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::{Anchor, Sheet};
use crate::report::words::action::phase_name;
use crate::study::portrait::{Phase, PhaseKind, Portrait};

use super::Drawn;

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let steady = prediction.steady.as_ref()?;
    let samples = || portrait.phases.iter().flat_map(|phase| &phase.samples);
    let largest = samples().map(|sample| sample.torque_n_m.abs()).fold(0.0, f64::max);
    if largest == 0.0 {
        return None;
    }
    let scale = torque_scale(largest);
    let energy = energy_scale(steady.energy.weight);
    let title = format!("{}: torque on the pendulum", design.name);
    let given = steady.energy.air + steady.energy.suspension;
    let impacts = steady.measured.trace.as_ref().is_some_and(|trace| !trace.ticks.is_empty());
    let subtitle = format!(
        "At most {} {}; work {} {} a beat{}.",
        significant(largest * scale.per_si, 3),
        scale.unit,
        significant(given * energy.per_si, 3),
        energy.unit,
        if impacts { ", impacts included" } else { "" }
    );
    let mut sheet = Sheet::new(&title, &subtitle, 60.0);
    let x = PanelAxis::over(
        samples().map(|sample| sample.theta_rad.to_degrees()),
        "pendulum angle, right positive (deg)",
        7.0,
    );
    let y = PanelAxis::over(
        samples().map(|sample| sample.torque_n_m * scale.per_si),
        &format!("torque, right positive ({})", scale.unit),
        6.0,
    );
    let panel = Panel::alone(&mut sheet, x, y);
    panel.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
    panel.upright(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
    for (to_right, pen) in [(false, left_pen()), (true, right_pen())] {
        let swing = portrait.phases.iter().filter(|phase| phase.to_right == to_right).flat_map(|phase| &phase.samples);
        panel.curve(&mut sheet, swing.map(|sample| value(sample, scale)), pen);
    }
    key(&mut sheet, &panel);
    let mut named: Vec<(PhaseKind, bool)> = Vec::new();
    let mut phases: Vec<&Phase> = portrait.phases.iter().filter(|phase| phase.kind != PhaseKind::Free).collect();
    phases.sort_by_key(|phase| std::cmp::Reverse(phase.samples.len()));
    for phase in phases {
        if named.contains(&(phase.kind, phase.to_right)) {
            continue;
        }
        named.push((phase.kind, phase.to_right));
        let at = value(&phase.samples[phase.samples.len() / 2], scale);
        let away = if at.1 == 0.0 { if phase.to_right { 1.0 } else { -1.0 } } else { -at.1.signum() };
        sheet.label(Label {
            at: panel.at(at),
            text: phase_name(phase.kind).to_owned(),
            colour: if phase.to_right { EXIT } else { ENTRY },
            towards: (0.0, away),
            within: panel.frame,
            leader: true,
        });
    }
    Some((title, sheet))
}

fn left_pen() -> Pen {
    Pen::solid(ENTRY, CURVE_MM)
}

fn right_pen() -> Pen {
    Pen::solid(EXIT, CURVE_MM).broken(DASHED)
}

fn value(sample: &crate::dynamics::trace::Sample, scale: Scale) -> (f64, f64) {
    (sample.theta_rad.to_degrees(), sample.torque_n_m * scale.per_si)
}

/// Names of the two swings above the plot area, at its right end.
fn key(sheet: &mut Sheet, panel: &Panel) {
    let y = panel.frame.top - 2.7;
    let mut entry = |right: f64, text: &str, pen: Pen, colour: Colour| {
        sheet.text((right, y), text, colour, Anchor::End);
        let width = crate::report::canvas::look::text_width_mm(text, crate::report::canvas::look::TEXT_MM, false);
        sheet.line([(right - width - 6.0, y), (right - width - 0.8, y)], pen);
    };
    entry(panel.frame.right - 22.5, "to the left", left_pen(), INK);
    entry(panel.frame.right, "to the right", right_pen(), INK);
}
