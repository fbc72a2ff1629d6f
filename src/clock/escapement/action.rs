//! The action of both pallets, read off the contact curves: lock, lift, drop, recoil.

use crate::clock::mechanism::ContactEscapement;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{ContactCurve, Flank, Piece};

use super::error::degrees;

/// The action of one pallet. Pallet angles are counted outward from where the pallet lets its tooth escape.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct PalletAction {
    /// Pendulum angle at which the pallet lets its tooth escape, rad, signed.
    pub release_rad: f64,
    /// Pendulum angle at which a tooth falls on the pallet, the other pallet's release, rad, signed.
    pub landing_rad: f64,
    /// Arc from a tooth's fall to its unlocking, rad; negative where it falls so far short of the locking face, 0 where
    /// nothing locks.
    pub lock_rad: f64,
    /// Arc over which a tooth drives the pallet, from unlocking (or its fall) to its escape, rad.
    pub lift_rad: f64,
    /// Wheel angle from leaving this pallet to falling on the other, rad; negative if the other stands in the way.
    pub drop_rad: f64,
    /// Free way of the wheel behind the tooth that has just left, where it is least while the other pallet holds, rad.
    pub clearance_rad: f64,
}

/// The action of an escapement.
pub type Action = PerPallet<PalletAction>;

/// Why there is no action to read.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum ActionError {
    /// A pallet that never lets a tooth pass, within the angles covered.
    #[error("the {0} pallet never lets a tooth escape")]
    NeverReleases(Side),
    /// The pallets never hold a tooth at the angle at which it should fall on them.
    #[error("the {pallet} pallet is out of the teeth at {}, where a tooth should land on it", degrees(angle_deg.to_radians()))]
    NoLanding {
        /// Which pallet.
        pallet: Side,
        /// Angle, degrees.
        angle_deg: f64,
    },
}

/// Lock, lift and drop of both pallets, quasi-static: the wheel rests on every obstacle that it meets.
///
/// # Errors
/// [`ActionError`] where the outlines have no such action.
pub fn read_action(escapement: &ContactEscapement) -> Result<Action, ActionError> {
    let covered = crate::geometry::COVERED_RAD * (1.0 - 1e-9);
    let release_rad = PerPallet::try_from_fn(|side| {
        escapement
            .release_rad(side, 0)
            .filter(|&angle| side.away() * angle < covered)
            .ok_or(ActionError::NeverReleases(side))
    })?;
    let pitch = escapement.pitch_rad();
    PerPallet::try_from_fn(|side| {
        let (curve, other) = (&escapement.curves[side], &escapement.curves[side.other()]);
        let pallet = OnPallet { side, curve, other, outward: -side.away(), locks: escapement.locks };
        pallet_action(pallet, release_rad[side], release_rad[side.other()], pitch)
    })
}

/// A pallet with its contact curve and the other pallet's.
struct OnPallet<'a> {
    side: Side,
    curve: &'a ContactCurve,
    other: &'a ContactCurve,
    /// Sign of the pendulum's way from the pallet's release to where a tooth falls on it.
    outward: f64,
    /// Whether it has a face that is to hold the wheel still.
    locks: bool,
}

fn pallet_action(
    pallet: OnPallet<'_>,
    release_rad: f64,
    landing_rad: f64,
    pitch_rad: f64,
) -> Result<PalletAction, ActionError> {
    let no_landing = |pallet: Side, angle: f64| ActionError::NoLanding { pallet, angle_deg: angle.to_degrees() };
    let mut index = pallet
        .curve
        .piece_at(Flank::Front, landing_rad, -pallet.outward)
        .ok_or(no_landing(pallet.side, landing_rad))?;
    let pieces = &pallet.curve.front;
    let mut unlocking = landing_rad;
    while holds_still(&pieces[index], pallet.curve) {
        unlocking = if pallet.outward > 0.0 { pieces[index].from_rad } else { pieces[index].to_rad };
        let next = if pallet.outward > 0.0 { index.checked_sub(1) } else { Some(index + 1) };
        match next.filter(|&next| {
            pieces.get(next).is_some_and(|piece| piece.from_rad == unlocking || piece.to_rad == unlocking)
        }) {
            Some(next) => index = next,
            None => break,
        }
    }
    let lift_rad = (unlocking - release_rad) * pallet.outward;
    // An anchor made to recoil has no lock to miss: a nearly still stretch of its faces is none.
    let missed_rad =
        if unlocking == landing_rad && pallet.locks { missed_lock_rad(&pallet, index, landing_rad) } else { 0.0 };
    let leaving = pallet.curve.front_at(release_rad).ok_or(no_landing(pallet.side, release_rad))?.phi_rad;
    let falling = pallet.other.front_at(release_rad).ok_or(no_landing(pallet.side.other(), release_rad))?.phi_rad;
    let drop = (falling - leaving).rem_euclid(pitch_rad);
    // A drop of nearly a pitch is a tooth that has already run into the other pallet.
    let drop_rad = if drop > 0.75 * pitch_rad { drop - pitch_rad } else { drop };
    Ok(PalletAction {
        release_rad,
        landing_rad,
        lock_rad: (landing_rad - unlocking) * pallet.outward - missed_rad,
        lift_rad,
        drop_rad,
        clearance_rad: clearance_rad(&pallet, release_rad, pitch_rad),
    })
}

/// Arc from where a tooth falls, on piece `index`, outward to the locking face that it has missed, rad; 0 if there is none.
fn missed_lock_rad(pallet: &OnPallet<'_>, index: usize, landing_rad: f64) -> f64 {
    let pieces = &pallet.curve.front;
    let (mut index, mut reached) = (index, landing_rad);
    loop {
        let piece = &pieces[index];
        if holds_still(piece, pallet.curve) {
            return (reached - landing_rad) * pallet.outward;
        }
        reached = if pallet.outward > 0.0 { piece.to_rad } else { piece.from_rad };
        let next = if pallet.outward > 0.0 { Some(index + 1) } else { index.checked_sub(1) };
        let joins = |piece: &Piece| piece.from_rad == reached || piece.to_rad == reached;
        match next.filter(|&next| pieces.get(next).is_some_and(joins)) {
            Some(next) => index = next,
            None => return 0.0,
        }
    }
}

/// Slope of a face, wheel way over pallet way, below which a maker calls it a lock: the wheel moves by less than a thirtieth of
/// the swing. Concentric faces of wood leave their circle by that much from wet to dry; the faces of an anchor have ten
/// times as much.
const LOCK_SLOPE: f64 = 0.03;

/// Slope below which the wheel is not seen to recoil: it moves by less than a three-hundredth of the swing.
const RECOIL_SLOPE: f64 = 3e-3;

fn holds_still(piece: &Piece, curve: &ContactCurve) -> bool {
    piece.locked
        || [0.1, 0.5, 0.9].iter().all(|share| {
            let theta = piece.from_rad + share * (piece.to_rad - piece.from_rad);
            curve.front_at(theta).is_some_and(|place| place.slope.abs() < LOCK_SLOPE)
        })
}

/// Least free way behind a released tooth while the wheel rests on the other pallet, from this pallet's release inwards
/// again up to where the other pallet releases in turn.
fn clearance_rad(pallet: &OnPallet<'_>, release_rad: f64, pitch_rad: f64) -> f64 {
    const STEPS: usize = 60;
    let other_release = if pallet.outward > 0.0 {
        pallet.other.front.last().map_or(release_rad, |piece| piece.to_rad)
    } else {
        pallet.other.front.first().map_or(release_rad, |piece| piece.from_rad)
    };
    let mut least = pitch_rad;
    for step in 0..=STEPS {
        let theta = release_rad + (other_release - release_rad) * step as f64 / STEPS as f64;
        let (Some(back), Some(rest)) = (pallet.curve.back_advance_at(theta), pallet.other.front_at(theta)) else {
            continue;
        };
        let free = (rest.phi_rad - back).rem_euclid(pitch_rad);
        let signed = if free > 0.75 * pitch_rad { free - pitch_rad } else { free };
        least = least.min(signed);
    }
    least
}

/// Pallet arc and wheel arc of the recoil in a swing out to `semi_arc_rad` (positive) on the pallet's side, rad: the wheel
/// is pushed back after a tooth has fallen.
#[must_use]
pub fn recoil_rad(curve: &ContactCurve, action: &PalletAction, semi_arc_rad: f64) -> (f64, f64) {
    let outward = if action.landing_rad >= action.release_rad { 1.0 } else { -1.0 };
    let extreme = outward * semi_arc_rad;
    if (extreme - action.landing_rad) * outward <= 0.0 {
        return (0.0, 0.0);
    }
    let no_recoil_rad = RECOIL_SLOPE * (extreme - action.landing_rad).abs();
    match (curve.front_at(action.landing_rad), curve.front_at(extreme)) {
        (Some(landing), Some(end)) if landing.phi_rad - end.phi_rad > no_recoil_rad => {
            ((extreme - action.landing_rad) * outward, landing.phi_rad - end.phi_rad)
        }
        _ => (0.0, 0.0),
    }
}
