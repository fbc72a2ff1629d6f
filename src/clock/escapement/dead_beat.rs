//! The dead-beat escapement: locking faces concentric with the pallet arbor, straight impulse faces.

use crate::clock::design::{DeadBeat, PalletPlan};
use crate::clock::side::{PerPallet, Side};

use super::face::{Face, PosedPallet, pallet_outline, rest};
use super::layout::{Layout, positive};
use super::teeth::{Tip, tooth};
use super::{EscapementOutlines, FamilyError, overlap as clearance};

/// Outlines of a dead-beat escapement, m, at `theta = 0` and `phi = 0`.
///
/// | symbol | meaning | value |
/// |---|---|---|
/// | `theta_r` | pallet angle, past the centre, at which a tooth leaves a pallet | (lift + lock) / 2 |
/// | `theta_u` | pallet angle, short of the centre, at which a tooth is unlocked | (lift - lock) / 2 |
///
/// A tooth's tip corner is unlocked at the landing place of the layout, and what leaves the pallet last, the corner too or the
/// heel of a club tooth, at the leaving place; turning these places back by the pallet angle of the moment gives the
/// pallet's two corners, and the impulse face is the straight line between them. The corner lands on the tip circle: lift, lock and
/// drop therefore come out as planned without error. A pin's centre takes the corner's part; the corners of its pallets
/// stand off by its radius, the unlocking one along its ray from the arbor, because on a concentric face a pin touches there. A
/// lock larger than the lift is possible: the tooth is then unlocked past the centre.
///
/// The locking face runs `face_length_rad` from the unlocking corner, so the swing may go to `theta_u + face_length_rad`.
/// Its first vertex is the unlocking corner, the second the release corner. The beat error is not applied.
///
/// # Errors
/// [`FamilyError`]; the action up to the end of the locking faces is checked against teeth ahead, behind and held.
///
/// Source: own construction from the conditions on the places of landing and leaving.
pub fn dead_beat(design: &DeadBeat) -> Result<EscapementOutlines, FamilyError> {
    let plan = &design.plan;
    let layout = Layout::of(plan)?;
    let lock_rad = positive("lock", design.lock_rad)?;
    let release_rad = 0.5 * (plan.lift_rad + lock_rad);
    let tooth = tooth(&layout, plan, release_rad)?;
    let actions = PerPallet::try_from_fn(|pallet| action(&layout, plan, lock_rad, pallet, &tooth.tip))?;
    clearance::outlines_of(&layout, tooth, actions)
}

/// One pallet, with poses from the deepest lock to the release.
fn action(
    layout: &Layout,
    plan: &PalletPlan,
    lock_rad: f64,
    pallet: Side,
    tip: &Tip,
) -> Result<PosedPallet, FamilyError> {
    let away = pallet.away();
    let release_rad = 0.5 * (plan.lift_rad + lock_rad);
    let unlock_rad = 0.5 * (plan.lift_rad - lock_rad);
    let (land_phi_rad, leave_phi_rad) = layout.places(pallet);
    let landing = layout.turned(layout.on_tip_circle(land_phi_rad), away * unlock_rad);
    let lead = layout.towards_arbor(landing, -away * tip.round_m);
    let release = layout.release_corner(pallet, tip, release_rad);
    let mut poses = rest(pallet, -away * unlock_rad, plan.face_length_rad, land_phi_rad);
    poses.extend(Face { pallet, lead, release }.slide(layout, tip, land_phi_rad, leave_phi_rad)?);
    let outline = pallet_outline(layout, pallet, lead, release, plan.face_length_rad)?;
    Ok(PosedPallet { pallet, outline, poses, locking_lean_rad: Some(layout.locking_lean_rad(pallet)) })
}
