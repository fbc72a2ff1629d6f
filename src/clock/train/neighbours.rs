//! What stands close to what between the plates: wheels beside arbors, pillars and one another, as designed and seen from the front.

use crate::clock::design::{PendulumClock, PendulumDesign, PendulumParts, PivotKind, Suspension};
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::geometry::Point;

use super::arbor_places::{arbor_places_m, pallet_place_m};
use super::gear_outline::designed_tip;

/// Something round that stands between the plates.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum StandingPart {
    /// The wheel of an arbor, by the arbor's name.
    Wheel(String),
    /// The pinion of an arbor.
    Pinion(String),
    /// The escape wheel.
    EscapeWheel,
    /// An arbor.
    Arbor(String),
    /// The pallets' arbor.
    PalletArbor,
    /// A pillar, by its number from 1.
    Pillar(usize),
}

/// How two parts stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Meeting {
    /// They take each other's place.
    Hit,
    /// They overlap seen from the front, and whether they stand in one plane is not known.
    LevelsNotStated,
    /// They are clear of each other.
    Clear,
}

/// Two parts and the gap between them.
#[derive(Debug, Clone, PartialEq)]
pub struct Neighbours {
    /// One.
    pub one: StandingPart,
    /// The other.
    pub other: StandingPart,
    /// Distance from edge to edge seen from the front, m; below 0 where they overlap.
    pub gap_m: f64,
    /// What it means.
    pub meeting: Meeting,
}

/// Where everything stands that a drill finds: m right and up of the first arbor.
#[derive(Debug, Clone, PartialEq)]
pub struct MovementLayout {
    /// The arbors of the train.
    pub arbors_m: Vec<Point>,
    /// The pallets' arbor, about which the pendulum swings too; `None` without pallets.
    pub pallets_m: Option<Point>,
    /// Its diameter, m; `None` where the scenario does not say.
    pub pallet_arbor_m: Option<f64>,
    /// Whether any direction of a next arbor is stated; else all stand in a line upwards.
    pub directions_stated: bool,
    /// Pairs that meet or may meet, and those that are clear, the closest first.
    pub neighbours: Vec<Neighbours>,
}

/// The layout of a clock; `None` without a train, or where a mesh has no module.
#[must_use]
pub fn movement_layout(in_room: &InRoom, drawn: Option<&EscapementOutlines>) -> Option<MovementLayout> {
    let train = in_room.train.as_ref()?;
    let arbors_m = arbor_places_m(train)?;
    let pallets_m = drawn.and_then(|drawn| pallet_place_m(train, &arbors_m, drawn.centre_distance_m));
    let mut layout = MovementLayout {
        pallet_arbor_m: pallet_arbor_m(in_room),
        directions_stated: train.arbors.iter().any(|arbor| arbor.sizes.next_is_stated),
        neighbours: Vec::new(),
        pallets_m,
        arbors_m,
    };
    layout.neighbours = neighbours(&discs(in_room, drawn, &layout));
    Some(layout)
}

/// Diameter of the pallets' arbor: the anchor's bore, else that of the bearing in which the pallets turn, m.
#[must_use]
pub fn pallet_arbor_m<S>(clock: &PendulumClock<S>) -> Option<f64> {
    clock.anchor.bore_m.or(pallet_bearing(clock).map(|(_, diameter_m)| diameter_m))
}

/// The bearing in which the pallets turn, and its diameter, m; `None` where the scenario gives none.
#[must_use]
pub fn pallet_bearing<S>(clock: &PendulumClock<S>) -> Option<(PivotKind, f64)> {
    match &clock.pendulum {
        PendulumDesign::Parts(PendulumParts { pallet_pivot: Some(pivot), .. }) => Some((pivot.kind, pivot.diameter_m)),
        PendulumDesign::Parts(PendulumParts { suspension: Suspension::BallBearing { bore_m, .. }, .. }) => {
            Some((PivotKind::Ball, *bore_m))
        }
        PendulumDesign::Parts(_) | PendulumDesign::Lumped(_) => None,
    }
}

/// A part as a disc.
struct Disc {
    part: StandingPart,
    at: Point,
    radius_m: f64,
    /// Number of the arbor on which it stands; `None` of what is none of the train's.
    on: Option<usize>,
    depth: Depth,
}

/// Which planes a part takes.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Depth {
    /// All, from plate to plate.
    Through,
    /// One, the scenario's number for it if it has one; `mesh` is that of the two gears.
    Plane { level: Option<u32>, mesh: Option<usize> },
}

fn discs(in_room: &InRoom, drawn: Option<&EscapementOutlines>, layout: &MovementLayout) -> Vec<Disc> {
    let arbors = in_room.train.as_ref().map_or(&[][..], |train| &train.arbors);
    let mut discs = Vec::new();
    for (number, (arbor, &at)) in arbors.iter().zip(&layout.arbors_m).enumerate() {
        let mut gear = |part, teeth: Option<u32>, driver: usize| {
            let Some(driven_by) = arbors.get(driver) else { return };
            let (Some(teeth), Some(module_m)) = (teeth, driven_by.module_m) else { return };
            let depth = Depth::Plane { level: driven_by.sizes.level, mesh: Some(driver) };
            let radius_m = designed_tip(f64::from(teeth)) * module_m;
            discs.push(Disc { part, at, radius_m, on: Some(number), depth });
        };
        gear(StandingPart::Wheel(arbor.name.clone()), arbor.wheel_teeth, number);
        if let Some(driver) = number.checked_sub(1) {
            gear(StandingPart::Pinion(arbor.name.clone()), arbor.pinion_teeth, driver);
        }
        discs.push(Disc {
            part: StandingPart::Arbor(arbor.name.clone()),
            at,
            radius_m: 0.5 * arbor.across_m(),
            on: Some(number),
            depth: Depth::Through,
        });
    }
    if let (Some(drawn), Some(last), Some(&at)) = (drawn, arbors.last(), layout.arbors_m.last()) {
        discs.push(Disc {
            part: StandingPart::EscapeWheel,
            at,
            radius_m: drawn.tooth.farthest_m(Point::zeros()),
            on: Some(arbors.len() - 1),
            depth: Depth::Plane { level: last.sizes.level, mesh: None },
        });
    }
    let through =
        |part, at, diameter_m: f64| Disc { part, at, radius_m: 0.5 * diameter_m, on: None, depth: Depth::Through };
    discs.extend(
        layout.pallets_m.map(|at| through(StandingPart::PalletArbor, at, layout.pallet_arbor_m.unwrap_or(0.0))),
    );
    discs.extend(in_room.plates.pillars.iter().enumerate().map(|(index, pillar)| {
        through(StandingPart::Pillar(index + 1), Point::new(pillar.right_m, pillar.up_m), pillar.diameter_m)
    }));
    discs
}

/// All pairs that could meet, those that overlap first, the closest of each kind first.
fn neighbours(discs: &[Disc]) -> Vec<Neighbours> {
    let mut found = Vec::new();
    for (index, one) in discs.iter().enumerate() {
        for other in &discs[index + 1..] {
            let gap_m = (one.at - other.at).norm() - one.radius_m - other.radius_m;
            let Some(meeting) = meeting(one, other, gap_m) else { continue };
            found.push(Neighbours { one: one.part.clone(), other: other.part.clone(), gap_m, meeting });
        }
    }
    found.sort_by(|a, b| (a.meeting as u8).cmp(&(b.meeting as u8)).then(a.gap_m.total_cmp(&b.gap_m)));
    found
}

/// How two parts stand to each other; `None` of those that belong together or pass in other planes.
fn meeting(one: &Disc, other: &Disc, gap_m: f64) -> Option<Meeting> {
    if one.on.is_some() && one.on == other.on {
        return None;
    }
    let by_gap = if gap_m < 0.0 { Meeting::Hit } else { Meeting::Clear };
    match (one.depth, other.depth) {
        (Depth::Through, Depth::Through) => Some(by_gap),
        (Depth::Plane { mesh, .. }, Depth::Through) => meets_arbor(mesh, one.on, other.on).then_some(by_gap),
        (Depth::Through, Depth::Plane { mesh, .. }) => meets_arbor(mesh, other.on, one.on).then_some(by_gap),
        (Depth::Plane { level, mesh }, Depth::Plane { level: other_level, mesh: other_mesh }) => {
            if mesh.is_some() && mesh == other_mesh {
                return None;
            }
            match (level, other_level) {
                (Some(level), Some(other_level)) if level != other_level => None,
                (Some(_), Some(_)) => Some(by_gap),
                _ if gap_m < 0.0 => Some(Meeting::LevelsNotStated),
                _ => Some(Meeting::Clear),
            }
        }
    }
}

/// Whether a gear could meet an arbor: not that of the gear with which it meshes.
fn meets_arbor(mesh: Option<usize>, on: Option<usize>, arbor: Option<usize>) -> bool {
    let (Some(driver), Some(on), Some(arbor)) = (mesh, on, arbor) else { return true };
    let partner = if on == driver { driver + 1 } else { driver };
    arbor != partner
}
