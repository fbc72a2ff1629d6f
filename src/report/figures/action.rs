//! The contact curves of both pallets with the steady period on top.

use std::f64::consts::TAU;

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::side::Side;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, INK, Pen, SOFT, THIN_MM, fixed};
use crate::report::canvas::panel::{Panel, PanelAxis};
use crate::report::canvas::sheet::Sheet;
use crate::report::words::action::phase_name;
use crate::study::portrait::{ActionCurves, Phase, PhaseKind, Portrait};

use super::{Drawn, action_at_rest};

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let curves = portrait.curves.as_ref()?;
    if portrait.phases.is_empty() {
        return action_at_rest::drawn(design, &prediction.built, curves, None);
    }
    let action = prediction.action()?;
    let title = format!("{}: action of the pallets", design.name);
    let degrees = |angle: f64| fixed(angle.to_degrees(), 2);
    let (entry, exit) = (&action.entry, &action.exit);
    let subtitle = format!(
        "Entry and exit: lock {}, {}\u{b0}; lift {}, {}\u{b0}; drop {}, {}\u{b0}.",
        degrees(entry.lock_rad),
        degrees(exit.lock_rad),
        degrees(entry.lift_rad),
        degrees(exit.lift_rad),
        degrees(entry.drop_rad),
        degrees(exit.drop_rad)
    );
    let mut sheet = Sheet::new(&title, &subtitle, 70.0);
    let pitch_rad = TAU / f64::from(prediction.built.outlines.as_ref()?.teeth);
    let panel = stage(&mut sheet, curves, [0.0, 1.1 * pitch_rad]);
    let value = |sample: &crate::dynamics::trace::Sample| {
        (sample.theta_rad.to_degrees(), (sample.phi_rad - curves.from_rad).to_degrees())
    };
    let path = portrait.phases.iter().flat_map(|phase| &phase.samples).map(value);
    panel.curve(&mut sheet, path, Pen::solid(INK, THIN_MM));
    name_curves(&mut sheet, &panel, curves);
    let mut put = |at: (f64, f64), text: String, towards: (f64, f64)| {
        let at = panel.at(at);
        sheet.label(Label { at, text, colour: INK, towards, within: panel.frame, leader: true });
    };
    let mut named: Vec<(PhaseKind, Option<Side>, bool)> = Vec::new();
    let mut phases: Vec<&Phase> = portrait.phases.iter().collect();
    phases.sort_by_key(|phase| std::cmp::Reverse(phase.samples.len()));
    for phase in phases {
        let key = (phase.kind, phase.pallet, phase.pallet.is_none() && phase.to_right);
        if named.contains(&key) {
            continue;
        }
        named.push(key);
        let at = value(&phase.samples[phase.samples.len() / 2]);
        let towards = if phase.to_right { (1.0, 0.4) } else { (-1.0, 0.4) };
        put(at, phase_name(phase.kind).to_owned(), towards);
    }
    Some((title, sheet))
}

/// Axes and contact curves; `heights_rad`: advances that have to be seen beside the curves.
pub(super) fn stage(sheet: &mut Sheet, curves: &ActionCurves, heights_rad: [f64; 2]) -> Panel {
    let reach = curves.reach_rad.to_degrees();
    let lowest = curves.curves.iter().flat_map(|curve| &curve.points).map(|point| point.1).fold(0.0, f64::min);
    let x = PanelAxis::between(-reach, reach, "pendulum angle, right positive (deg)", 7.0);
    let heights = [lowest + heights_rad[0], heights_rad[1]].map(f64::to_degrees);
    let panel = Panel::alone(sheet, x, PanelAxis::over(heights, "advance of the wheel (deg)", 7.0));
    panel.upright(sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
    for curve in &curves.curves {
        let points = curve.points.iter().map(|&(theta, phi)| (theta.to_degrees(), phi.to_degrees()));
        panel.curve(sheet, points, pen(curve.pallet));
    }
    panel
}

/// Names of the curves at their outer ends.
pub(super) fn name_curves(sheet: &mut Sheet, panel: &Panel, curves: &ActionCurves) {
    for (number, curve) in curves.curves.iter().enumerate() {
        let end = match curve.pallet {
            Side::Entry => curve.points.iter().rev().nth(curve.points.len() / 12),
            Side::Exit => curve.points.get(curve.points.len() / 12),
        };
        let Some(&(theta, phi)) = end else { continue };
        let text = match number {
            2 => "entry pallet, next tooth".to_owned(),
            _ => format!("{} pallet", curve.pallet),
        };
        let (at, colour) = (panel.at((theta.to_degrees(), phi.to_degrees())), pen(curve.pallet).colour);
        sheet.label(Label { at, text, colour, towards: (0.0, -1.0), within: panel.frame, leader: true });
    }
}

fn pen(pallet: Side) -> Pen {
    match pallet {
        Side::Entry => Pen::solid(ENTRY, 1.5 * CURVE_MM),
        Side::Exit => Pen::solid(EXIT, 1.5 * CURVE_MM).broken(DASHED),
    }
}
