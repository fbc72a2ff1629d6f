//! The contact curves of both pallets, counted from where the wheel rests at the right.

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::escapement::action::Action as PalletActions;
use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::clock::side::Side;
use crate::geometry::ContactCurve;

use super::phases::Phase;

/// The curve along which a tooth meets a pallet.
#[derive(Debug, Clone, PartialEq)]
pub struct ActionCurve {
    /// Which pallet.
    pub pallet: Side,
    /// Pendulum angle and wheel advance, rad, by rising angle.
    pub points: Vec<(f64, f64)>,
}

/// Contact curves in the order in which the wheel meets them.
#[derive(Debug, Clone, PartialEq)]
pub struct ActionCurves {
    /// Entry pallet, exit pallet, entry pallet for the next tooth.
    pub curves: [ActionCurve; 3],
    /// Wheel advance from which the curves count, rad, in the trace's own count.
    pub from_rad: f64,
    /// Angles shown: from `-reach_rad` to `reach_rad`.
    pub reach_rad: f64,
}

/// How far the curves of a clock at rest reach beyond the widest angle of its action.
const BEYOND: f64 = 1.2;

/// Points of one curve.
const POINTS: usize = 240;

/// The curves for a slow swing to the start arc; `None` without pallets.
#[must_use]
pub fn action_at_rest(design: &InRoom, built: &Built) -> Option<ActionCurves> {
    let (EscapementModel::Contact(contact), Some(action)) = (&built.mechanism.escapement, built.action) else {
        return None;
    };
    let reach = [action.entry.landing_rad, action.entry.release_rad, action.exit.landing_rad, action.exit.release_rad]
        .into_iter()
        .chain(design.start_arc_rad)
        .fold(0.0_f64, |reach, angle| reach.max(angle.abs()));
    Some(action_curves(contact, &action, &[], BEYOND * reach))
}

pub(super) fn action_curves(
    contact: &ContactEscapement,
    action: &PalletActions,
    phases: &[Phase],
    reach_rad: f64,
) -> ActionCurves {
    let pitch = contact.pitch_rad();
    let advance = |curve: &ContactCurve, theta: f64| curve.front_at(theta).map(|place| place.phi_rad);
    let rest = phases.first().and_then(|phase| phase.samples.first());
    let at_rest = rest.map_or(action.entry.landing_rad, |sample| sample.theta_rad);
    let base = advance(&contact.curves.entry, at_rest).unwrap_or(0.0);
    let from_rad = rest.map_or(base, |sample| sample.phi_rad);
    // The exit pallet is met by the first tooth that comes after the entry pallet has let go.
    let released = advance(&contact.curves.entry, action.entry.release_rad).unwrap_or(base) - base;
    let landed = advance(&contact.curves.exit, action.exit.landing_rad).unwrap_or(base) - base;
    let exit_shift = ((released - landed) / pitch).ceil() * pitch;
    let sampled = |pallet, curve: &ContactCurve, shift: f64| ActionCurve {
        pallet,
        points: sampled(curve, reach_rad).into_iter().map(|(theta, phi)| (theta, phi - base + shift)).collect(),
    };
    ActionCurves {
        curves: [
            sampled(Side::Entry, &contact.curves.entry, 0.0),
            sampled(Side::Exit, &contact.curves.exit, exit_shift),
            sampled(Side::Entry, &contact.curves.entry, pitch),
        ],
        from_rad,
        reach_rad,
    }
}

/// Pendulum angle and wheel advance along a contact curve, rad, at even steps from `-reach_rad` to `reach_rad` and at the
/// ends of all pieces.
pub(in crate::study) fn sampled(curve: &ContactCurve, reach_rad: f64) -> Vec<(f64, f64)> {
    let mut angles: Vec<f64> = (0..=POINTS).map(|step| reach_rad * (2.0 * step as f64 / POINTS as f64 - 1.0)).collect();
    let ends = curve.front.iter().flat_map(|piece| [piece.from_rad, piece.to_rad]);
    angles.extend(ends.filter(|end| end.abs() < reach_rad));
    angles.sort_by(f64::total_cmp);
    angles.dedup();
    angles.into_iter().filter_map(|theta| Some((theta, curve.front_at(theta)?.phi_rad))).collect()
}
