//! Four positions of wheel and pallets: held at the right, impulse on entry, landed on exit, impulse on exit.

use crate::clock::escapement::action::Action as PalletActions;
use crate::clock::mechanism::ContactEscapement;
use crate::clock::side::Side;
use crate::geometry::Point;

use super::phases::{Phase, PhaseKind};

/// What a position shows.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum View {
    /// The right turning point, the wheel locked.
    Locked,
    /// The right turning point, the wheel held without a lock.
    Held,
    /// A slow swing to the right, a tooth on the pallet.
    AtRest,
    /// The middle of an impulse.
    Impulse,
    /// A tooth that has just fallen on the pallet.
    Landed,
}

/// A position of wheel and pallets with a tooth on a pallet.
#[derive(Debug, Clone, PartialEq)]
pub struct Moment {
    /// What is seen.
    pub view: View,
    /// Pendulum angle, rad.
    pub theta_rad: f64,
    /// Wheel advance, rad.
    pub phi_rad: f64,
    /// Touched pallet.
    pub pallet: Side,
    /// Touching point, clock's frame, m.
    pub contact: Point,
}

/// The four positions, of the steady period where there is one, else with the wheel resting on the pallets.
pub(super) fn moments(
    contact: &ContactEscapement,
    action: &PalletActions,
    phases: &[Phase],
    start_rad: Option<f64>,
) -> Vec<Moment> {
    let places = if phases.is_empty() { resting(contact, action, start_rad) } else { going(phases) };
    places
        .into_iter()
        .filter_map(|(view, theta_rad, phi_rad, pallet)| {
            let point = touching_point(contact, pallet, theta_rad, phi_rad)?;
            Some(Moment { view, theta_rad, phi_rad, pallet, contact: point })
        })
        .collect()
}

type PosedView = (View, f64, f64, Side);

fn going(phases: &[Phase]) -> Vec<PosedView> {
    let impulse = |pallet| {
        let samples = phases
            .iter()
            .filter(|phase| phase.kind == PhaseKind::Impulse && phase.pallet == Some(pallet))
            .max_by_key(|phase| phase.samples.len())
            .map(|phase| &phase.samples)?;
        let sample = samples[samples.len() / 2];
        Some((View::Impulse, sample.theta_rad, sample.phi_rad, pallet))
    };
    let held = phases.first().and_then(|phase| {
        let sample = phase.samples.first()?;
        let pallet = phase.pallet?;
        let view = if phase.kind == PhaseKind::Lock { View::Locked } else { View::Held };
        Some((view, sample.theta_rad, sample.phi_rad, pallet))
    });
    let landed = phases.windows(2).find_map(|pair| {
        let falls = pair[0].kind == PhaseKind::Drop && pair[1].pallet == Some(Side::Exit);
        let sample = pair[1].samples.first().filter(|_| falls)?;
        Some((View::Landed, sample.theta_rad, sample.phi_rad, Side::Exit))
    });
    [held, impulse(Side::Entry), landed, impulse(Side::Exit)].into_iter().flatten().collect()
}

fn resting(contact: &ContactEscapement, action: &PalletActions, start_rad: Option<f64>) -> Vec<PosedView> {
    let pitch = contact.pitch_rad();
    let advance = |pallet, theta: f64| Some(contact.curves[pallet].front_at(theta)?.phi_rad);
    let entry_middle = action.entry.release_rad + 0.5 * action.entry.lift_rad;
    let exit_middle = action.exit.release_rad - 0.5 * action.exit.lift_rad;
    let right = start_rad.map_or(action.entry.landing_rad, |start| start.max(action.entry.landing_rad));
    // The tooth that falls on the exit pallet is the next one that meets it after the entry pallet has let go.
    let released = advance(Side::Entry, action.entry.release_rad);
    let shift = match (released, advance(Side::Exit, action.exit.landing_rad)) {
        (Some(from), Some(to)) => ((from - to) / pitch).ceil() * pitch,
        _ => 0.0,
    };
    [
        (View::AtRest, Side::Entry, right, 0.0),
        (View::Impulse, Side::Entry, entry_middle, 0.0),
        (View::Landed, Side::Exit, action.exit.landing_rad, shift),
        (View::Impulse, Side::Exit, exit_middle, shift),
    ]
    .into_iter()
    .filter_map(|(view, pallet, theta, shift)| Some((view, theta, advance(pallet, theta)? + shift, pallet)))
    .collect()
}

fn touching_point(contact: &ContactEscapement, pallet: Side, theta_rad: f64, phi_rad: f64) -> Option<Point> {
    touch(contact, pallet, theta_rad, phi_rad).map(|(point, _)| point)
}

/// Touching point of a tooth and a pallet (clock's frame, m) and the direction in which the tooth pushes the pallet.
#[must_use]
pub fn touch(contact: &ContactEscapement, pallet: Side, theta_rad: f64, phi_rad: f64) -> Option<(Point, Point)> {
    let curve = &contact.curves[pallet];
    let piece = &curve.front[curve.front_piece_at(theta_rad, 1.0)?];
    let pitch = contact.pitch_rad();
    let advance = curve.front_at(theta_rad)?.phi_rad;
    let tooth = ((phi_rad - advance) / pitch).round();
    let phi_rad = phi_rad - tooth * pitch;
    Some((piece.pair.touching_point(theta_rad, phi_rad), piece.pair.normal(theta_rad, phi_rad)))
}
