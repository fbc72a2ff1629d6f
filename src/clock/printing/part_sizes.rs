//! How large the parts of a clock are that a printer or a saw makes.

use crate::clock::design::{BobShape, DriveDesign, PendulumDesign, Train};
use crate::clock::environment::InRoom;
use crate::clock::escapement::{EscapementOutlines, drawn_outlines};
use crate::clock::train::arbor_places::{arbor_places_m, pallet_place_m};
use crate::clock::train::gear_outline::designed_tip;
use crate::geometry::Point;

use super::bed::Footprint;

/// Deviation of an arc's chords where a part's sides are measured, m.
const SAGITTA_M: f64 = 1e-6;

/// Group of parts that is scaled together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PartGroup {
    /// Wheels of the train.
    Wheels,
    /// Escape wheel and pallets.
    Escapement,
    /// Pendulum.
    Pendulum,
    /// Drum and pulley.
    Drum,
    /// What holds the arbors: goes with wheels and escapement.
    Frame,
}

impl PartGroup {
    /// Whether the `all` of `[scale]` stands for the group where it is not named: a pendulum keeps the beat.
    #[must_use]
    pub const fn goes_with_all(self) -> bool {
        !matches!(self, Self::Pendulum)
    }

    /// Keys of `[scale]` that keep the group from going with `all`.
    #[must_use]
    pub const fn keys(self) -> &'static [&'static str] {
        match self {
            Self::Wheels => &["scale.wheels"],
            Self::Escapement => &["scale.escapement"],
            Self::Pendulum => &["scale.pendulum"],
            Self::Drum => &["scale.drum"],
            Self::Frame => &["scale.wheels", "scale.escapement"],
        }
    }
}

/// A part that is made.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum MadePart {
    /// The wheel of an arbor of the train, by the arbor's name.
    Wheel(String),
    /// Escape wheel.
    EscapeWheel,
    /// Both pallets in one.
    Pallets,
    /// Drum.
    Drum,
    /// Pulley of the weight.
    Pulley,
    /// Bob.
    Bob,
    /// Frame as far as it reaches from arbor to arbor.
    Frame,
}

/// A part and the room that it takes.
#[derive(Debug, Clone, PartialEq)]
pub struct PartSize {
    /// Which part.
    pub part: MadePart,
    /// With what it is scaled.
    pub group: PartGroup,
    /// What it covers of the bed, lying flat.
    pub footprint: Footprint,
    /// Its height there, m, where it is known.
    pub height_m: Option<f64>,
    /// Whether it has to be made in one piece.
    pub in_one_piece: bool,
}

/// The parts whose size the design tells: wheels, escape wheel, pallets, drum, pulley, bob, and the frame as far as it reaches
/// from arbor to arbor (which may be made of several pieces). Sizes are those of the drawing.
///
/// A wheel reaches to its tips.
#[must_use]
pub fn part_sizes(in_room: &InRoom) -> Vec<PartSize> {
    let outlines = drawn_outlines(&in_room.escapement).ok().flatten();
    let mut parts = Vec::new();
    let mut add = |part: MadePart, group, footprint, height_m| {
        parts.push(PartSize { part, group, footprint, height_m, in_one_piece: group != PartGroup::Frame });
    };
    for arbor in in_room.train.iter().flat_map(|train| &train.arbors) {
        if let (Some(teeth), Some(module_m)) = (arbor.wheel_teeth, arbor.module_m) {
            let diameter_m = tip_diameter_m(module_m, teeth);
            add(MadePart::Wheel(arbor.name.clone()), PartGroup::Wheels, Footprint::Round(diameter_m), None);
        }
    }
    if let Some(outlines) = &outlines {
        let diameter_m = 2.0 * outlines.tooth.farthest_m(Point::zeros());
        let thickness_m = in_room.escape_wheel.as_ref().map(|body| body.thickness_m);
        add(MadePart::EscapeWheel, PartGroup::Escapement, Footprint::Round(diameter_m), thickness_m);
        let (width_m, depth_m) = pallets_m(outlines);
        add(MadePart::Pallets, PartGroup::Escapement, Footprint::Rectangle(width_m, depth_m), None);
    }
    if let Some(DriveDesign::Weight(drive)) = &in_room.drive {
        let wound_m = drive.drum_length_m.or(drive.drum_turns.map(|turns| turns * drive.cord_diameter_m));
        add(MadePart::Drum, PartGroup::Drum, Footprint::Round(drive.drum_diameter_m), wound_m);
        if let Some(pulley) = drive.pulley {
            add(MadePart::Pulley, PartGroup::Drum, Footprint::Round(pulley.diameter_m), None);
        }
    }
    if let PendulumDesign::Parts(pendulum) = &in_room.pendulum {
        let (diameter_m, height_m) = match pendulum.bob.shape {
            BobShape::Disc { diameter_m, thickness_m } | BobShape::Lens { diameter_m, thickness_m } => {
                (diameter_m, thickness_m)
            }
            BobShape::Cylinder { diameter_m, height_m } => (diameter_m, height_m),
            BobShape::Sphere { diameter_m } => (diameter_m, diameter_m),
        };
        add(MadePart::Bob, PartGroup::Pendulum, Footprint::Round(diameter_m), Some(height_m));
    }
    if let Some((width_m, depth_m)) = in_room.train.as_ref().and_then(|train| frame_m(train, outlines.as_ref())) {
        add(MadePart::Frame, PartGroup::Frame, Footprint::Rectangle(width_m, depth_m), None);
    }
    parts
}

/// Outside diameter of a gear as designed, m.
#[must_use]
pub fn tip_diameter_m(module_m: f64, teeth: u32) -> f64 {
    2.0 * module_m * designed_tip(f64::from(teeth))
}

/// Width and height of the box around some points, m.
fn around(points: impl IntoIterator<Item = Point>) -> (f64, f64) {
    let (mut low, mut high) = (Point::repeat(f64::INFINITY), Point::repeat(f64::NEG_INFINITY));
    for point in points {
        low = low.inf(&point);
        high = high.sup(&point);
    }
    ((high.x - low.x).max(0.0), (high.y - low.y).max(0.0))
}

/// Sides of the box around both pallets and the middle of their arbor, m.
fn pallets_m(outlines: &EscapementOutlines) -> (f64, f64) {
    let arbor = Point::new(0.0, outlines.centre_distance_m);
    let both = outlines.pallets.values().flat_map(|pallet| pallet.polyline(SAGITTA_M));
    around(both.chain([arbor]))
}

/// Sides of the box around the middles of all arbors, the pallets' included where there are any, m; `None` where a module is
/// missing.
fn frame_m(train: &Train, outlines: Option<&EscapementOutlines>) -> Option<(f64, f64)> {
    let mut places = arbor_places_m(train)?;
    places.extend(outlines.and_then(|outlines| pallet_place_m(train, &places, outlines.centre_distance_m)));
    Some(around(places))
}
