//! Arbors, gears and drum in their room.

use crate::clock::design::{Conditions, FrameMaterial, Grain, MadeOf, WeightDrive};
use crate::clock::environment::InRoom;

use super::strain::{ArborStrain, FlatStrain, TrainStrain, strain};

/// How much larger than made gears and frame are under `now`.
pub(in crate::clock) fn strained(in_room: &InRoom, now: &Conditions) -> TrainStrain {
    let (then, before) = (&in_room.sizes.under, &in_room.sizes.train);
    let Some(train) = &in_room.train else { return before.clone() };
    let arbors = train.arbors.iter().enumerate().map(|(index, arbor)| {
        let before = before.arbors.get(index).copied().unwrap_or_default();
        ArborStrain {
            wheel: grown_flat(before.wheel, flat_strain(arbor.wheel.as_ref(), then, now)),
            pinion: grown_flat(before.pinion, flat_strain(arbor.pinion.as_ref(), then, now)),
        }
    });
    TrainStrain {
        frame: grown(before.frame, frame_strain(in_room.frame.as_ref(), then, now)),
        arbors: arbors.collect(),
    }
}

/// Gives the drum the diameter that it has under `now`. A drum of wood is turned with the grain along its axis (common practice, no
/// source): its diameter is that of the mean across the grain. The cord keeps its thickness.
pub(in crate::clock) fn condition_drum(drive: &mut WeightDrive, made: &Conditions, now: &Conditions) {
    if let Some(material) = &drive.drum {
        let across =
            0.5 * (strain(material, Grain::Radial, made, now) + strain(material, Grain::Tangential, made, now));
        drive.drum_diameter_m *= 1.0 + across;
    }
}

/// Strain of the frame along the line of the arbors; 0 where its material is not stated.
pub(in crate::clock) fn frame_strain(frame: Option<&FrameMaterial>, made: &Conditions, now: &Conditions) -> f64 {
    frame.map_or(0.0, |frame| strain(&frame.material, frame.grain, made, now))
}

/// Strain of a flat part along its grain and across it; none where its material is not stated.
pub(in crate::clock) fn flat_strain(part: Option<&MadeOf>, made: &Conditions, now: &Conditions) -> FlatStrain {
    part.map_or_else(FlatStrain::default, |part| FlatStrain {
        along: strain(&part.material, Grain::Along, made, now),
        across: strain(&part.material, part.cut.across(), made, now),
    })
}

/// A strain on top of another.
pub(in crate::clock) fn grown(before: f64, further: f64) -> f64 {
    // Without a strain before, no rounding.
    if before == 0.0 { further } else { before + further + before * further }
}

/// The same of a flat part.
pub(in crate::clock) fn grown_flat(before: FlatStrain, further: FlatStrain) -> FlatStrain {
    FlatStrain { along: grown(before.along, further.along), across: grown(before.across, further.across) }
}
