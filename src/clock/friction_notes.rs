//! Frictions written as numbers beside materials whose pair the table knows.

use super::design::{EscapementDesign, Friction, MaterialRef, Train};
use super::environment::InRoom;
use super::materials::FrictionPair;
use super::notes::Note;
use super::transform::port::pairs_of;

/// What to look at in the frictions of teeth and pallets.
#[must_use]
pub(in crate::clock) fn friction_notes(in_room: &InRoom) -> Vec<Note> {
    let mut notes: Vec<Note> = in_room.train.as_ref().and_then(tooth_friction_note).into_iter().collect();
    let of_arbor =
        in_room.train.as_ref().and_then(|train| train.arbors.last()?.wheel.as_ref()).map(|made| &made.material);
    let wheel = in_room.escape_wheel.as_ref().map(|body| &body.material).or(of_arbor);
    let friction = match &in_room.escapement {
        EscapementDesign::DeadBeat(family) => Some(family.plan.friction),
        EscapementDesign::RecoilAnchor(family) => Some(family.plan.friction),
        EscapementDesign::PinPallet(family) => Some(family.plan.friction),
        EscapementDesign::Outline(given) => Some(given.friction),
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => None,
    };
    if let (Some(wheel), Some(pallets), Some(friction)) = (wheel, &in_room.pallets, friction) {
        let path = format!("escapement.{}.friction", in_room.escapement.form());
        notes.extend(off_its_pair(&path, friction, [(wheel, &pallets.material)]));
    }
    notes
}

/// What to look at in the friction of a train's teeth.
#[must_use]
pub fn tooth_friction_note(train: &Train) -> Option<Note> {
    let meshes = train.arbors.windows(2).filter_map(|pair| {
        let (wheel, pinion) = (pair.first()?.wheel.as_ref()?, pair.last()?.pinion.as_ref()?);
        Some((&wheel.material, &pinion.material))
    });
    off_its_pair("train.tooth_friction", train.tooth_friction, meshes)
}

/// The note where a bare number lies outside every pair of the table that the materials make, dry or with something on them; the nearest
/// pair is told.
fn off_its_pair<'m>(
    path: &str,
    friction: Friction,
    materials: impl IntoIterator<Item = (&'m MaterialRef, &'m MaterialRef)>,
) -> Option<Note> {
    if friction.named.is_some() {
        return None;
    }
    let pairs: Vec<&'static FrictionPair> =
        materials.into_iter().flat_map(|(one, other)| pairs_of(one, other)).collect();
    let off = |pair: &FrictionPair| (friction.value - pair.sliding.value).abs() - pair.sliding.spread;
    let nearest = pairs.into_iter().min_by(|a, b| off(a).total_cmp(&off(b)))?;
    // A number at the very edge is within.
    (off(nearest) > 1e-12).then(|| Note::FrictionOffItsPair {
        path: path.to_owned(),
        value: friction.value,
        pair: nearest.name,
        pair_value: nearest.sliding.value,
        pair_spread: nearest.sliding.spread,
    })
}
