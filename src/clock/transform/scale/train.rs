//! Train and drive in another size.

use crate::clock::design::{
    Arbor, ArborSizes, CordMade, DriveDesign, Hand, Hands, LumpedDrive, Pillar, Plates, Pulley, Train, WeightDrive,
};

use super::Factors;
use super::pendulum::scaled_pivot;

/// `escape_inertia`: that of the escape wheel in its new size where its outlines tell it, kg m^2.
pub(in crate::clock) fn scaled_train(train: &Train, factors: &Factors, escape_inertia: Option<f64>) -> Train {
    let last = train.arbors.len().saturating_sub(1);
    let arbors = train.arbors.iter().enumerate().map(|(index, arbor)| {
        if index == last {
            let whole = scaled_arbor(arbor, factors.escapement, factors);
            Arbor { inertia_kg_m2: escape_inertia.unwrap_or(whole.inertia_kg_m2), ..whole }
        } else {
            scaled_arbor(arbor, factors.wheels, factors)
        }
    });
    Train {
        arbors: arbors.collect(),
        minute_arbor: train.minute_arbor,
        beat_s: train.beat_s,
        motion_work: train.motion_work.clone(),
        motion_work_modules_m: train.motion_work_modules_m.iter().map(|module_m| module_m * factors.wheels).collect(),
        hands: train.hands.as_ref().map(|hands| scaled_hands(hands, factors)),
        arbor_material: train.arbor_material.clone(),
        pressure_angle_rad: train.pressure_angle_rad,
        tooth_friction: train.tooth_friction,
        bottom_clearance_modules: train.bottom_clearance_modules,
    }
}

/// Hands go with the wheels; the friction of their fit as weight times the radius of a bearing does.
fn scaled_hands(hands: &Hands, factors: &Factors) -> Hands {
    let k = factors.wheels;
    let scaled = |hand: &Hand| Hand {
        mass_kg: hand.mass_kg * k.powi(3),
        length_m: hand.length_m * k,
        centre_of_mass_m: hand.centre_of_mass_m * k,
    };
    Hands {
        minute: scaled(&hands.minute),
        hour: hands.hour.as_ref().map(scaled),
        friction_n_m: hands.friction_n_m.times(k.powi(3) * factors.bearings),
        dial_shares: hands.dial_shares,
    }
}

fn scaled_arbor(arbor: &Arbor, k: f64, factors: &Factors) -> Arbor {
    Arbor {
        name: arbor.name.clone(),
        pinion_teeth: arbor.pinion_teeth,
        wheel_teeth: arbor.wheel_teeth,
        module_m: arbor.module_m.map(|module| module * k),
        pivot: scaled_pivot(arbor.pivot, factors),
        mass_kg: arbor.mass_kg * k.powi(3),
        inertia_kg_m2: arbor.inertia_kg_m2 * k.powi(5),
        next_direction_rad: arbor.next_direction_rad,
        wheel: arbor.wheel.clone(),
        pinion: arbor.pinion.clone(),
        backlash_m: arbor.backlash_m.map(|backlash| backlash * factors.clearances),
        sizes: ArborSizes {
            wheel_thickness_m: arbor.sizes.wheel_thickness_m.map(|thickness| thickness * k),
            bore_m: arbor.sizes.bore_m.map(|bore| bore * factors.bearings),
            ..arbor.sizes
        },
    }
}

/// Plates and pillars, which go with the wheels between them.
pub(super) fn scaled_plates(plates: &Plates, factors: &Factors) -> Plates {
    let k = factors.wheels;
    let scaled = |pillar: &Pillar| Pillar {
        right_m: k * pillar.right_m,
        up_m: k * pillar.up_m,
        diameter_m: k * pillar.diameter_m,
    };
    Plates {
        thickness_m: plates.thickness_m.map(|thickness| k * thickness),
        distance_m: plates.distance_m.map(|distance| k * distance),
        pillars: plates.pillars.iter().map(scaled).collect(),
    }
}

pub(in crate::clock) fn scaled_drive(drive: &DriveDesign, factors: &Factors) -> DriveDesign {
    match drive {
        DriveDesign::Weight(weight) => DriveDesign::Weight(WeightDrive {
            weight_kg: weight.weight_kg * factors.weight.powi(3),
            drum_diameter_m: weight.drum_diameter_m * factors.drum,
            drum_length_m: weight.drum_length_m.map(|length| length * factors.drum),
            cord_diameter_m: weight.cord_diameter_m * factors.cord,
            // A cord is as heavy as its section is large.
            cord: CordMade {
                mass_kg_per_m: weight.cord.mass_kg_per_m.map(|mass| mass * factors.cord.powi(2)),
                ..weight.cord
            },
            falls: weight.falls,
            drop_m: weight.drop_m * factors.drop,
            drum_turns: weight.drum_turns.map(|turns| turns * (factors.drum / factors.cord)),
            pulley: weight.pulley.map(|pulley| Pulley {
                diameter_m: pulley.diameter_m * factors.drum,
                pivot: scaled_pivot(pulley.pivot, factors),
            }),
            maintaining: weight.maintaining,
            drum: weight.drum.clone(),
            // A cord is as strong as its section is large.
            cord_breaking_strength_n: weight.cord_breaking_strength_n.map(|strength| strength * factors.cord.powi(2)),
        }),
        DriveDesign::Lumped(lumped) => DriveDesign::Lumped(LumpedDrive {
            escape_torque_n_m: lumped.escape_torque_n_m * factors.weight.powi(3) * factors.drum,
            friction_torque_n_m: lumped.friction_torque_n_m.times(factors.wheels.powi(3)).times(factors.bearings),
            inertia_kg_m2: lumped.inertia_kg_m2 * factors.escapement.powi(5),
        }),
    }
}
