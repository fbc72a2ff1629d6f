//! Pendulum speed against angle over the steady period.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, INK, Pen, energy_scale, significant};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::report::words::action::phase_name;
use crate::study::portrait::{Phase, Portrait};

use super::{Drawn, phase_pen};

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let steady = prediction.steady.as_ref().filter(|_| !portrait.phases.is_empty())?;
    let measured = &steady.measured;
    let ticks = measured.trace.as_ref().map(|trace| trace.ticks.as_slice()).unwrap_or_default();
    let energy = energy_scale(steady.energy.weight);
    let title = format!("{}: one steady period", design.name);
    let mut subtitle = format!(
        "{}\u{b0} right, {}\u{b0} left; {} s",
        significant(measured.right_rad.to_degrees(), 4),
        significant(measured.left_rad.to_degrees(), 4),
        significant(measured.period_s, 6),
    );
    if !ticks.is_empty() {
        let lost: f64 = ticks.iter().map(|tick| tick.loss_j).sum();
        subtitle.push_str(&format!("; impacts: {} {} a beat", significant(0.5 * lost * energy.per_si, 3), energy.unit));
    }
    subtitle.push('.');
    let mut sheet = Sheet::new(&title, &subtitle, 62.0);
    let value =
        |sample: &crate::dynamics::trace::Sample| (sample.theta_rad.to_degrees(), sample.omega_rad_s.to_degrees());
    let samples = || portrait.phases.iter().flat_map(|phase| &phase.samples).map(value);
    let x = PanelAxis::over(samples().map(|at| at.0), "pendulum angle, right positive (deg)", 7.0);
    let y = PanelAxis::over(samples().map(|at| at.1), "pendulum speed (deg/s)", 6.0);
    let panel = Panel::alone(&mut sheet, x, y);
    // Kicks show as breaks between phases: one thin line underneath joins all.
    panel.curve(&mut sheet, samples(), Pen::solid(INK, 0.12));
    for phase in &portrait.phases {
        panel.curve(&mut sheet, phase.samples.iter().map(value), phase_pen(phase));
    }
    for tick in ticks {
        let near = portrait.phases.iter().flat_map(|phase| &phase.samples).find(|sample| sample.time_s >= tick.time_s);
        if let Some(sample) = near {
            sheet.ring(panel.at(value(sample)), 0.75, Pen::solid(INK, 0.6 * CURVE_MM));
        }
    }
    let all: Vec<&crate::dynamics::trace::Sample> = portrait.phases.iter().flat_map(|phase| &phase.samples).collect();
    let fastest = all.iter().map(|sample| sample.omega_rad_s.abs()).fold(0.0, f64::max);
    if ticks.is_empty() {
        // Without impacts only a kick makes the speed jump.
        for pair in all.windows(2) {
            let jumped = (pair[1].omega_rad_s - pair[0].omega_rad_s).abs() > 1e-9 * fastest;
            if pair[1].time_s == pair[0].time_s && jumped {
                let at = panel.at(value(pair[1]));
                sheet.ring(at, 0.75, Pen::solid(INK, 0.6 * CURVE_MM));
                let towards = (0.3, if pair[1].omega_rad_s > 0.0 { 1.0 } else { -1.0 });
                let (text, within) = ("kick".to_owned(), panel.frame);
                sheet.label(Label { at, text, colour: INK, towards, within, leader: true });
            }
        }
    }
    let mut named: Vec<(String, usize)> = Vec::new();
    let mut phases: Vec<&Phase> = portrait.phases.iter().collect();
    phases.sort_by_key(|phase| std::cmp::Reverse(phase.samples.len()));
    for phase in phases {
        let text = match phase.pallet {
            Some(pallet) => format!("{} on {}", phase_name(phase.kind), pallet),
            None => phase_name(phase.kind).to_owned(),
        };
        // One label for each thing on either side of the loop.
        let side = usize::from(phase.to_right);
        if named.iter().any(|(other, at)| *other == text && (phase.pallet.is_some() || *at == side)) {
            continue;
        }
        let sample = &phase.samples[phase.samples.len() / 2];
        let at = panel.at(value(sample));
        let middle = (0.5 * (panel.frame.left + panel.frame.right), 0.5 * (panel.frame.top + panel.frame.bottom));
        // Inside the loop there is room.
        let towards = (middle.0 - at.0, 1.6 * (middle.1 - at.1));
        let colour = phase_pen(phase).colour;
        sheet.label(Label { at, text: text.clone(), colour, towards, within: panel.frame, leader: true });
        named.push((text, side));
    }
    Some((title, sheet))
}
