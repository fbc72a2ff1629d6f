//! From one design to another, one group of quantities after the other: what each does, by the same predictions.

use crate::answers::no_answer::NoAnswer;
use crate::clock::design::{Arbor, DriveDesign, Friction, Train, WeightDrive};
use crate::clock::environment::InRoom;
use crate::study::levers::answers::{ClockAnswers, clock_answers};

/// One group taken over.
#[derive(Debug, Clone, PartialEq)]
pub struct FamilyStep {
    /// The group in words.
    pub what: &'static str,
    /// The clock with this group and all before it taken over, or why there is none.
    pub after: Result<ClockAnswers, NoAnswer>,
}

/// The way from one design to another.
#[derive(Debug, Clone, PartialEq)]
pub struct Steps {
    /// The design at the beginning.
    pub start: Result<ClockAnswers, NoAnswer>,
    /// The groups that differ, in the order in which they were taken over; after the last the design is the other one.
    pub steps: Vec<FamilyStep>,
}

/// Takes a group of a design over from another.
type Take = fn(&mut InRoom, &InRoom);

/// The groups. The last takes over all that is left, so that nothing is lost.
const GROUPS: [(&str, Take); 15] = [
    ("place", |design, other| design.place = other.place),
    ("pendulum", |design, other| design.pendulum = other.pendulum.clone()),
    ("printer", |design, other| design.printer = other.printer),
    ("drive of another kind", |design, other| {
        if weights(design, other).is_none() {
            design.drive = other.drive.clone();
            if design.train.is_none() {
                (design.train, design.sizes.train) = (other.train.clone(), other.sizes.train.clone());
            }
        }
    }),
    ("escapement form and size", take_escapement),
    ("friction on the pallets", |design, other| {
        if let (Some(own), Some(other)) = (design.escapement.friction_mut(), other.escapement.clone().friction_mut()) {
            *own = *other;
        }
    }),
    ("tooth counts of the train", take_counts),
    ("wheel sizes and masses", take_wheels),
    ("friction of the train's teeth", |design, other| {
        if let (Some(own), Some(other)) = (&mut design.train, &other.train) {
            own.tooth_friction = other.tooth_friction;
        }
    }),
    ("bearings of the train", take_bearings),
    ("hands", |design, other| {
        if let (Some(own), Some(other)) = (&mut design.train, &other.train) {
            own.hands = other.hands;
        }
    }),
    ("drum, cord and pulley", |design, other| {
        if let Some((own, other)) = weights(design, other) {
            own.drum_diameter_m = other.drum_diameter_m;
            own.cord_diameter_m = other.cord_diameter_m;
            own.drum_turns = other.drum_turns;
            own.drum = other.drum.clone();
            if own.falls == other.falls {
                own.pulley = other.pulley;
            }
        }
    }),
    ("fall of the weight, falls of cord", |design, other| {
        if let Some((own, other)) = weights(design, other) {
            own.drop_m = other.drop_m;
            (own.falls, own.pulley) = (other.falls, other.pulley);
        }
    }),
    ("driving weight", |design, other| {
        if let Some((own, other)) = weights(design, other) {
            own.weight_kg = other.weight_kg;
        }
    }),
    ("everything else", |design, other| {
        let name = std::mem::take(&mut design.name);
        *design = InRoom { name, ..other.clone() };
    }),
];

/// The way from `from` to `to`.
pub(super) fn steps(from: &InRoom, to: &InRoom) -> Steps {
    let answers = |design: &InRoom| clock_answers(design).map_err(NoAnswer::Build);
    let mut here = from.clone();
    let mut taken = Vec::new();
    for (what, take) in GROUPS {
        let mut next = here.clone();
        take(&mut next, to);
        if as_predicted(&next) != as_predicted(&here) {
            taken.push(FamilyStep { what, after: answers(&next) });
        }
        here = next;
    }
    Steps { start: answers(from), steps: taken }
}

/// The design without what a prediction does not ask for: how well its frictions are known.
fn as_predicted(design: &InRoom) -> InRoom {
    let mut plain = design.clone();
    plain.frictions_mut().into_iter().for_each(|at| *at.friction = Friction::of(at.friction.value));
    plain
}

/// Both weight drives, if both designs have one.
fn weights<'d>(design: &'d mut InRoom, other: &'d InRoom) -> Option<(&'d mut WeightDrive, &'d WeightDrive)> {
    match (&mut design.drive, &other.drive) {
        (Some(DriveDesign::Weight(own)), Some(DriveDesign::Weight(other))) => Some((own, other)),
        _ => None,
    }
}

/// The trains of both designs, if these have as many arbors.
fn trains<'d>(design: &'d mut InRoom, other: &'d InRoom) -> Option<(&'d mut Train, &'d Train)> {
    match (&mut design.train, &other.train) {
        (Some(own), Some(other)) if own.arbors.len() == other.arbors.len() => Some((own, other)),
        _ => None,
    }
}

/// Pallets and escape wheel with its arbor, but not the friction between them.
fn take_escapement(design: &mut InRoom, other: &InRoom) {
    let friction = design.escapement.friction_mut().copied();
    design.escapement = other.escapement.clone();
    if let (Some(own), Some(friction)) = (design.escapement.friction_mut(), friction) {
        *own = friction;
    }
    design.escape_wheel = other.escape_wheel.clone();
    design.pallets = other.pallets.clone();
    design.sizes.escapement = other.sizes.escapement;
    if let Some((own, other)) = trains(design, other)
        && let (Some(own), Some(other)) = (own.arbors.last_mut(), other.arbors.last())
    {
        (own.mass_kg, own.inertia_kg_m2) = (other.mass_kg, other.inertia_kg_m2);
    }
}

/// Teeth, hands and beat; the whole train where the number of arbors differs.
fn take_counts(design: &mut InRoom, other: &InRoom) {
    let Some((own, other)) = trains(design, other) else {
        (design.train, design.sizes.train) = (other.train.clone(), other.sizes.train.clone());
        return;
    };
    for (own, other) in own.arbors.iter_mut().zip(&other.arbors) {
        (own.pinion_teeth, own.wheel_teeth) = (other.pinion_teeth, other.wheel_teeth);
    }
    own.beat_s = other.beat_s;
    own.minute_arbor = other.minute_arbor;
    own.motion_work = other.motion_work.clone();
    own.motion_work_modules_m = other.motion_work_modules_m.clone();
}

fn each_arbor(design: &mut InRoom, other: &InRoom, take: fn(&mut Arbor, &Arbor)) {
    if let Some((own, other)) = trains(design, other) {
        own.arbors.iter_mut().zip(&other.arbors).for_each(|(own, other)| take(own, other));
    }
}

fn take_wheels(design: &mut InRoom, other: &InRoom) {
    each_arbor(design, other, |own, other| {
        own.module_m = other.module_m;
        own.backlash_m = other.backlash_m;
        (own.wheel, own.pinion) = (other.wheel.clone(), other.pinion.clone());
        (own.mass_kg, own.inertia_kg_m2) = (other.mass_kg, other.inertia_kg_m2);
    });
    if let Some((own, other)) = trains(design, other) {
        own.arbor_material = other.arbor_material.clone();
        own.pressure_angle_rad = other.pressure_angle_rad;
        own.bottom_clearance_modules = other.bottom_clearance_modules;
    }
}

fn take_bearings(design: &mut InRoom, other: &InRoom) {
    each_arbor(design, other, |own, other| own.pivot = other.pivot);
}
