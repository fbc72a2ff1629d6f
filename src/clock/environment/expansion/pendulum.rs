//! The pendulum's parts in their room.
//!
//! All that swings has the rod's temperature. What hangs on the rod moves with it: the rod counts from the axis, or from the lower end of a
//! strip spring, whose own growth moves all below.

use crate::clock::design::{
    Bob, BobShape, Column, Conditions, Grain, MaterialRef, PendulumParts, Rod, RodSection, Suspension,
};
use crate::clock::pendulum::bob::bob_seat_m;

use super::strain::{mass_factor, strain};

/// Gives the parts the sizes and masses that they have under `now`.
///
/// The depth of the bob's seat is a chain: suspension spring, rod, columns in turn, each lengthened along its grain. The bob grows from its seat.
/// A round section of wood takes the mean of its radial and tangential swelling; a flat one lies radially along the swing. Wood gains the mass of
/// its water. A part whose strain is nothing keeps its size bit for bit.
pub(in crate::clock) fn condition(parts: &mut PendulumParts, made: &Conditions, now: &Conditions) {
    let (made, now) = (&of_rod(made), &of_rod(now));
    let grown = |material: &MaterialRef, grain| strain(material, grain, made, now);
    let hangs_from_m = match &parts.suspension {
        Suspension::StripSpring { length_m, .. } => *length_m,
        _ => 0.0,
    };
    let spring_growth_m = match &mut parts.suspension {
        Suspension::StripSpring { width_m, thickness_m, length_m, material, .. } => {
            let by = grown(material, Grain::Along);
            let growth_m = *length_m * by;
            *width_m += *width_m * by;
            *thickness_m += *thickness_m * by;
            *length_m += growth_m;
            let softer = material.modulus_per_k * (now.temperature_c - made.temperature_c);
            material.youngs_modulus_pa = material.youngs_modulus_pa.map(|modulus| modulus + modulus * softer);
            growth_m
        }
        _ => 0.0,
    };
    let by_rod = grown(&parts.rod.material, Grain::Along);
    let moved = |depth_m: f64| depth_m + (depth_m - hangs_from_m) * by_rod + spring_growth_m;

    let mut seat_moves_m = (parts.first_column_begins_m() - hangs_from_m) * by_rod + spring_growth_m;
    for column in &mut parts.columns {
        let by = grown(&column.material, Grain::Along);
        seat_moves_m += column.down_m() * by;
        condition_column(column, by, mass_factor(&column.material, made, now));
    }
    condition_bob(&mut parts.bob, seat_moves_m, made, now);
    parts.rod.top_m = moved(parts.rod.top_m);
    condition_rod(&mut parts.rod, made, now);
    if let Some(nut) = &mut parts.nut {
        nut.place_m = moved(nut.place_m);
    }
    for extra in &mut parts.extras {
        extra.place_m = moved(extra.place_m);
    }
}

fn of_rod(conditions: &Conditions) -> Conditions {
    Conditions { temperature_c: conditions.rod_temperature_c, ..*conditions }
}

fn condition_column(column: &mut Column, by: f64, heavier: f64) {
    column.length_m = column.length_m.map(|length_m| length_m + length_m * by);
    column.mass_kg *= heavier;
}

fn condition_bob(bob: &mut Bob, seat_moves_m: f64, made: &Conditions, now: &Conditions) {
    let seat_m = bob_seat_m(bob);
    let sized_by = bob.shell.as_ref().unwrap_or(&bob.material);
    let [along, radial] = [Grain::Along, Grain::Radial].map(|grain| strain(sized_by, grain, made, now));
    let heavier = mass_factor(&bob.material, made, now);
    // Height and width go along the grain, the thickness fore and aft radially.
    let mut larger = 1.0 + along;
    match &mut bob.shape {
        BobShape::Disc { diameter_m, thickness_m } | BobShape::Lens { diameter_m, thickness_m } => {
            *diameter_m += *diameter_m * along;
            *thickness_m += *thickness_m * radial;
            larger *= (1.0 + along) * (1.0 + radial);
        }
        BobShape::Cylinder { diameter_m, height_m } => {
            *diameter_m += *diameter_m * radial;
            *height_m += *height_m * along;
            larger *= (1.0 + radial) * (1.0 + radial);
        }
        BobShape::Sphere { diameter_m } => {
            *diameter_m += *diameter_m * along;
            larger *= (1.0 + along) * (1.0 + along);
        }
    }
    match &mut bob.mass_kg {
        Some(mass_kg) => *mass_kg *= heavier,
        None => bob.material.density_kg_m3 *= heavier / larger,
    }
    bob.centre_m += seat_moves_m - (bob_seat_m(bob) - seat_m);
}

fn condition_rod(rod: &mut Rod, made: &Conditions, now: &Conditions) {
    let [along, radial, tangential] =
        [Grain::Along, Grain::Radial, Grain::Tangential].map(|grain| strain(&rod.material, grain, made, now));
    let across = 0.5 * (radial + tangential);
    let section = match &mut rod.section {
        RodSection::Round { diameter_m } => {
            *diameter_m += *diameter_m * across;
            (1.0 + across) * (1.0 + across)
        }
        RodSection::Tube { outer_m, inner_m } => {
            *outer_m += *outer_m * across;
            *inner_m += *inner_m * across;
            (1.0 + across) * (1.0 + across)
        }
        RodSection::Flat { depth_m, width_m } => {
            *depth_m += *depth_m * tangential;
            *width_m += *width_m * radial;
            (1.0 + tangential) * (1.0 + radial)
        }
    };
    rod.length_m += rod.length_m * along;
    rod.material.density_kg_m3 *= mass_factor(&rod.material, made, now) / ((1.0 + along) * section);
}
