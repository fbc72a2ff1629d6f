//! What a maker sees at once on the bench and a formula does not: sizes that do not go together, though each is possible.

use super::design::{Arbor, MadeOf, PendulumDesign, Pivot, PivotKind, Train, WeightDrive};
use super::environment::InRoom;
use super::materials::{cord_named, is_printed};
use super::notes::Note;
use super::train::arbor_places::arbor_places_m;
use super::train::cord::{TURNS_LEFT_ON_DRUM, cord_on_drum};
use super::train::gear_outline::designed_tip;

/// Least diameter of a drum or pulley over that of a cord of which nothing is said. Source: that of fibre ropes
/// ([`crate::clock::materials::CORDS`]).
pub const LEAST_DRUM_TO_CORD: f64 = 8.0;

/// Width of the line that a printer lays where the scenario describes none but its gears are of a printed material, m: a nozzle of
/// 0.4 mm, the usual one (common practice, no source).
pub const COMMON_LINE_M: f64 = 0.4e-3;

/// Lines across a printed tooth below which it is weak: one for each flank (common practice, no source).
const LINES_ACROSS_TOOTH: f64 = 2.0;

/// Share of the driving weight from which the hanging cord is remarked upon: it then changes the drive by more than a weight is weighed to.
const HEAVY_CORD_SHARE: f64 = 0.01;

/// How far below the end of the rod a nut may be by rounding and by what the air does to the rod, m.
const NUT_ALLOWANCE_M: f64 = 0.1e-3;

/// Sizes of a clock that do not go together; `escape_radius_m` over the tips of the escape wheel, where there is one.
#[must_use]
pub fn workshop_notes(in_room: &InRoom, escape_radius_m: Option<f64>) -> Vec<Note> {
    let mut notes = Vec::new();
    if let (Some(drive), Some(train)) = (in_room.weight_drive(), &in_room.train) {
        notes.extend(drum_notes(drive, train));
    }
    if let Some(train) = &in_room.train {
        let bead_radius_m = in_room.printer.bead_radius.value;
        notes.extend(tooth_notes(train, (bead_radius_m > 0.0).then_some(2.0 * bead_radius_m)));
        notes.extend(arbor_notes(train, escape_radius_m));
    }
    if let PendulumDesign::Parts(parts) = &in_room.pendulum
        && let Some(nut) = parts.nut
    {
        let below_m = nut.place_m - (parts.rod.top_m + parts.rod.length_m);
        if below_m > NUT_ALLOWANCE_M {
            notes.push(Note::NutBelowRod { below_m });
        }
    }
    notes
}

fn drum_notes(drive: &WeightDrive, train: &Train) -> Vec<Note> {
    let mut notes = Vec::new();
    let drum_m = drive.drum_diameter_m;
    if let Some(Pivot { kind, diameter_m, .. }) = train.arbors.first().map(|arbor| arbor.pivot)
        && drum_m <= diameter_m
    {
        notes.push(Note::DrumWithinBearing { drum_m, bearing_m: diameter_m, is_ball: kind == PivotKind::Ball });
    }
    let pulley_m = drive.pulley.map(|pulley| pulley.diameter_m);
    let smallest_m = pulley_m.map_or(drum_m, |pulley_m| pulley_m.min(drum_m));
    let cord_m = drive.cord_diameter_m;
    let named = drive.cord.name.and_then(cord_named);
    let least_ratio = named.map_or(LEAST_DRUM_TO_CORD, |cord| cord.least_bend.value);
    if smallest_m < least_ratio * cord_m {
        notes.push(Note::CordBentSharply { round_m: smallest_m, is_drum: smallest_m == drum_m, cord_m, least_ratio });
    }
    notes.extend(cord_notes(drive));
    notes
}

/// How the cord lies on its drum and what it weighs.
fn cord_notes(drive: &WeightDrive) -> Vec<Note> {
    let mut notes = Vec::new();
    let cord = cord_on_drum(drive);
    if let (Some(layers @ 2..), Some(holds)) = (cord.layers, cord.turns_per_layer) {
        notes.push(Note::CordInLayers {
            layers,
            holds,
            needs: cord.turns + TURNS_LEFT_ON_DRUM,
            drum_length_m: cord.length_for_one_layer_m,
            more_torque: cord.outermost_over_first - 1.0,
        });
    }
    if let Some(hanging_kg) = cord.hanging_kg.filter(|mass_kg| *mass_kg >= HEAVY_CORD_SHARE * drive.weight_kg) {
        notes.push(Note::CordIsHeavy { hanging_kg, share: hanging_kg / drive.weight_kg });
    }
    notes
}

/// Teeth that a printer's line is too wide for; gears that name a material are printed where that is one for printers, others where
/// the scenario describes a printer.
fn tooth_notes(train: &Train, line_m: Option<f64>) -> Vec<Note> {
    let printed = |part: &Option<MadeOf>| part.as_ref().map_or(line_m.is_some(), |part| is_printed(&part.material));
    let line_m = line_m.unwrap_or(COMMON_LINE_M);
    let fine = |pair: &[Arbor]| {
        let [driver, driven] = pair else { return None };
        let module_m = driver.module_m?;
        let tooth_m = std::f64::consts::FRAC_PI_2 * module_m;
        let any_printed = printed(&driver.wheel) || printed(&driven.pinion);
        (any_printed && tooth_m < LINES_ACROSS_TOOTH * line_m).then(|| Note::TeethTooFine {
            driver: driver.name.clone(),
            driven: driven.name.clone(),
            module_m,
            tooth_m,
            line_m,
        })
    };
    train.arbors.windows(2).filter_map(fine).collect()
}

/// Wheels that reach over the arbor of another than the pinion they drive: the arbors stand too close where the train folds back on itself.
fn arbor_notes(train: &Train, escape_radius_m: Option<f64>) -> Vec<Note> {
    let Some(places) = arbor_places_m(train) else { return Vec::new() };
    let last = train.arbors.len().saturating_sub(1);
    let mut notes = Vec::new();
    for (wheel, arbor) in train.arbors.iter().enumerate() {
        let tip_m = match (arbor.wheel_teeth, arbor.module_m) {
            (Some(teeth), Some(module_m)) => designed_tip(f64::from(teeth)) * module_m,
            _ if wheel == last => escape_radius_m.unwrap_or(0.0),
            _ => continue,
        };
        for (other, pierced) in train.arbors.iter().enumerate() {
            if other == wheel || other == wheel + 1 {
                continue;
            }
            let distance_m = (places[wheel] - places[other]).norm();
            if distance_m < tip_m + 0.5 * pierced.across_m() {
                notes.push(Note::WheelOverArbor {
                    wheel: arbor.name.clone(),
                    arbor: pierced.name.clone(),
                    distance_m,
                    tip_m,
                });
            }
        }
    }
    notes
}
