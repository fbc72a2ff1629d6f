//! The contact curves of both pallets with the steady period on top.

use crate::answers::prediction::Prediction;
use crate::clock::design::Design;
use crate::dynamics::observe::Pallet;
use crate::report::labels::Label;
use crate::report::look::{CURVE_MM, Colour, DASHED, ENTRY, EXIT, HAIR_MM, INK, Pen, SOFT, THIN_MM, fixed};
use crate::report::panel::{Axis, Panel};
use crate::report::sheet::Sheet;

use super::{Action, Drawn, FigureData, Phase, pallet_name};

pub(super) fn draw(design: &Design, prediction: &Prediction, data: &FigureData) -> Drawn {
    let curves = data.curves.as_ref()?;
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
    let reach = curves.reach_rad.to_degrees();
    let pitch = std::f64::consts::TAU / f64::from(prediction.built.outlines.as_ref()?.teeth);
    let lowest = curves.curves.iter().flat_map(|curve| &curve.points).map(|point| point.1).fold(0.0, f64::min);
    let x = Axis::between(-reach, reach, "pendulum angle, right positive (deg)", 7.0);
    let y = Axis::over([lowest.to_degrees(), 1.1 * pitch.to_degrees()], "advance of the wheel (deg)", 7.0);
    let panel = Panel::alone(&mut sheet, x, y);
    panel.upright(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
    for curve in &curves.curves {
        let points = curve.points.iter().map(|&(theta, phi)| (theta.to_degrees(), phi.to_degrees()));
        panel.curve(&mut sheet, points, pen(curve.pallet));
    }
    let value = |sample: &crate::dynamics::trace::Sample| {
        (sample.theta_rad.to_degrees(), (sample.phi_rad - curves.from_rad).to_degrees())
    };
    let path = data.phases.iter().flat_map(|phase| &phase.samples).map(value);
    panel.curve(&mut sheet, path, Pen::solid(INK, THIN_MM));
    let mut put = |at: (f64, f64), text: String, colour: Colour, towards: (f64, f64)| {
        let at = panel.at(at);
        sheet.label(Label { at, text, colour, towards, within: panel.frame, leader: true });
    };
    // Names of the curves at their outer ends.
    for (number, curve) in curves.curves.iter().enumerate() {
        let end = match curve.pallet {
            Pallet::Entry => curve.points.iter().rev().nth(curve.points.len() / 12),
            Pallet::Exit => curve.points.get(curve.points.len() / 12),
        };
        let Some(&(theta, phi)) = end else { continue };
        let text = match number {
            2 => "entry pallet, next tooth".to_owned(),
            _ => format!("{} pallet", pallet_name(curve.pallet)),
        };
        put((theta.to_degrees(), phi.to_degrees()), text, pen(curve.pallet).colour, (0.0, -1.0));
    }
    let mut named: Vec<(Action, Option<Pallet>, bool)> = Vec::new();
    let mut phases: Vec<&Phase> = data.phases.iter().collect();
    phases.sort_by_key(|phase| std::cmp::Reverse(phase.samples.len()));
    for phase in phases {
        let key = (phase.action, phase.pallet, phase.pallet.is_none() && phase.to_right);
        if named.contains(&key) {
            continue;
        }
        named.push(key);
        let at = value(&phase.samples[phase.samples.len() / 2]);
        let towards = if phase.to_right { (1.0, 0.4) } else { (-1.0, 0.4) };
        put(at, phase.action.name().to_owned(), INK, towards);
    }
    if data.phases.is_empty() {
        let middles = [(entry, &curves.curves[0], 1.0), (exit, &curves.curves[1], -1.0)];
        for (side, curve, outward) in middles {
            let middle = side.release_rad + outward * 0.5 * side.lift_rad;
            let near = curve.points.iter().min_by(|a, b| (a.0 - middle).abs().total_cmp(&(b.0 - middle).abs()));
            if let Some(&(theta, phi)) = near {
                put((theta.to_degrees(), phi.to_degrees()), "impulse".to_owned(), INK, (-outward, 0.4));
            }
        }
    }
    Some((title, sheet))
}

fn pen(pallet: Pallet) -> Pen {
    match pallet {
        Pallet::Entry => Pen::solid(ENTRY, 1.5 * CURVE_MM),
        Pallet::Exit => Pen::solid(EXIT, 1.5 * CURVE_MM).broken(DASHED),
    }
}
