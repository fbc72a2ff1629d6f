//! The small swing of a pendulum's parts in air.

use crate::clock::design::{BobShape, MeasuredDamping, PendulumParts};
use crate::clock::environment::air::Air;
use crate::clock::train::bearing::pivot_torque_n_m;

use super::bob::{
    AirLoad, bob_air_load, bob_gyration_squared_m2, bob_height_m, bob_volume_m3, rod_air_load_per_m,
    rod_displaced_area_m2, rod_gyration_squared_m2, rod_solid_area_m2,
};
use super::compound::{DampingCauses, PendulumError};
use super::suspension::{HungBody, HungMotion, hang};

/// A mass with its place and its inertia about itself.
#[derive(Debug, Clone, Copy)]
pub(in crate::clock) struct Lump {
    pub(in crate::clock) mass_kg: f64,
    pub(in crate::clock) centre_m: f64,
    pub(in crate::clock) central_kg_m2: f64,
}

impl Lump {
    pub(in crate::clock) const NOTHING: Self = Self { mass_kg: 0.0, centre_m: 0.0, central_kg_m2: 0.0 };

    pub(in crate::clock) fn inertia_about(&self, depth_m: f64) -> f64 {
        self.central_kg_m2 + self.mass_kg * (self.centre_m - depth_m).powi(2)
    }

    pub(in crate::clock) fn moment_about(&self, depth_m: f64) -> f64 {
        self.mass_kg * (self.centre_m - depth_m)
    }

    /// Both as one; a negative mass takes away, which buoyancy uses.
    pub(in crate::clock) fn joined(self, other: Self) -> Self {
        let mass_kg = self.mass_kg + other.mass_kg;
        if mass_kg == 0.0 {
            return Self { mass_kg, centre_m: self.centre_m, central_kg_m2: self.central_kg_m2 + other.central_kg_m2 };
        }
        let centre_m = (self.mass_kg * self.centre_m + other.mass_kg * other.centre_m) / mass_kg;
        Self { mass_kg, centre_m, central_kg_m2: self.inertia_about(centre_m) + other.inertia_about(centre_m) }
    }
}

/// The small swing of a set of parts in air.
pub(in crate::clock) struct Swing {
    pub(in crate::clock) solids: Vec<(String, Lump)>,
    pub(in crate::clock) added: Lump,
    pub(in crate::clock) motion: HungMotion,
    bob_centre_m: f64,
    bob_load: AirLoad,
    rod_pieces_m: [(f64, f64); 2],
    rod_load: AirLoad,
}

impl Swing {
    pub(in crate::clock) fn period_s(&self) -> f64 {
        std::f64::consts::TAU / self.motion.omega_rad_s()
    }

    pub(in crate::clock) fn damping(&self, parts: &PendulumParts, gravity_m_s2: f64) -> DampingCauses {
        if let Some(measured) = parts.measured_damping {
            return measured_causes(&measured);
        }
        let pivot = self.motion.pivot_depth_m;
        let bob_lever = self.bob_centre_m - pivot;
        // Integrals of lever^2 and |lever|^3 along the rod.
        let square: f64 =
            self.rod_pieces_m.iter().map(|(top, end)| ((end - pivot).powi(3) - (top - pivot).powi(3)) / 3.0).sum();
        let fourth = |u: f64| 0.25 * u * u.abs().powi(3);
        let cube: f64 = self.rod_pieces_m.iter().map(|(top, end)| fourth(end - pivot) - fourth(top - pivot)).sum();
        DampingCauses {
            rod_linear_n_m_s: self.rod_load.linear_n_s_per_m * square,
            bob_linear_n_m_s: self.bob_load.linear_n_s_per_m * bob_lever * bob_lever,
            spring_linear_n_m_s: self.motion.damping_linear_n_m_s,
            stated_linear_n_m_s: parts.extra_damping_linear_n_m_s,
            rod_quadratic_n_m_s2: self.rod_load.quadratic_n_s2_per_m2 * cube,
            bob_quadratic_n_m_s2: self.bob_load.quadratic_n_s2_per_m2 * bob_lever.abs().powi(3),
            stated_quadratic_n_m_s2: parts.extra_damping_quadratic_n_m_s2,
            suspension_friction_n_m: self.motion.friction_torque_n_m,
            pallet_friction_n_m: parts
                .pallet_pivot
                .map_or(0.0, |pivot| pivot_torque_n_m(&pivot, parts.pallet_mass_kg * gravity_m_s2)),
            stated_friction_n_m: parts.extra_friction_torque_n_m.value,
        }
    }
}

/// Losses that were measured stand for all others.
const fn measured_causes(measured: &MeasuredDamping) -> DampingCauses {
    DampingCauses {
        rod_linear_n_m_s: 0.0,
        bob_linear_n_m_s: 0.0,
        spring_linear_n_m_s: 0.0,
        stated_linear_n_m_s: measured.linear_n_m_s.value,
        rod_quadratic_n_m_s2: 0.0,
        bob_quadratic_n_m_s2: 0.0,
        stated_quadratic_n_m_s2: measured.quadratic_n_m_s2.value,
        suspension_friction_n_m: 0.0,
        pallet_friction_n_m: 0.0,
        stated_friction_n_m: measured.friction_torque_n_m.value,
    }
}

/// Motion of the parts, added mass and frequency settled together.
pub(in crate::clock) fn swing(parts: &PendulumParts, gravity_m_s2: f64, air: &Air) -> Result<Swing, PendulumError> {
    const MOST_STEPS: u32 = 30;
    if !(gravity_m_s2 > 0.0 && gravity_m_s2.is_finite()) {
        return Err(PendulumError::NoGravity { gravity_m_s2 });
    }
    if let BobShape::Lens { diameter_m, thickness_m } = parts.bob.shape
        && thickness_m > diameter_m
    {
        return Err(PendulumError::LensTooThick { diameter_m, thickness_m });
    }
    let solids = solids(parts);
    let solid: Lump = solids.iter().map(|(_, lump)| *lump).fold(Lump::NOTHING, Lump::joined);
    if !(solid.mass_kg > 0.0 && solid.mass_kg.is_finite()) {
        return Err(PendulumError::NotPositive { quantity: "mass" });
    }
    let rod_pieces_m = exposed_rod_pieces_m(parts);
    let exposed_m = rod_pieces_m.iter().map(|(top, end)| end - top).sum();
    let displaced_area = rod_displaced_area_m2(&parts.rod.section);
    let bob_volume = bob_volume_m3(&parts.bob.shape);
    let afloat = rod_pieces_m.iter().map(|piece| rod_piece(*piece, -air.density_kg_m3 * displaced_area)).fold(
        solid.joined(Lump {
            mass_kg: -air.density_kg_m3 * bob_volume,
            centre_m: parts.bob.centre_m,
            central_kg_m2: 0.0,
        }),
        Lump::joined,
    );
    if !(afloat.moment_about(0.0) > 0.0 && afloat.mass_kg > 0.0) {
        return Err(PendulumError::DoesNotHang { centre_of_mass_m: solid.centre_m });
    }
    let hung = |added: Lump| {
        let inert = solid.joined(added);
        let body = HungBody {
            inert_mass_kg: inert.mass_kg,
            inert_centre_m: inert.centre_m,
            inert_central_kg_m2: inert.central_kg_m2,
            weight_n: afloat.mass_kg * gravity_m_s2,
            weight_centre_m: afloat.centre_m,
        };
        let motion = hang(&parts.suspension, &body)?;
        let omega = motion.omega_rad_s();
        if omega.is_finite() && omega > 0.0 {
            Ok(motion)
        } else {
            Err(PendulumError::NotPositive { quantity: "frequency" })
        }
    };
    let mut added = Lump::NOTHING;
    let mut motion = hung(added)?;
    let mut bob_load = AirLoad::NONE;
    let mut rod_load = AirLoad::NONE;
    for _ in 0..MOST_STEPS {
        let omega = motion.omega_rad_s();
        bob_load = bob_air_load(&parts.bob.shape, air, omega);
        rod_load = rod_air_load_per_m(&parts.rod.section, exposed_m, air, omega);
        let bob_air = Lump { mass_kg: bob_load.added_mass_kg, centre_m: parts.bob.centre_m, central_kg_m2: 0.0 };
        added = rod_pieces_m.iter().map(|piece| rod_piece(*piece, rod_load.added_mass_kg)).fold(bob_air, Lump::joined);
        motion = hung(added)?;
        if (motion.omega_rad_s() / omega - 1.0).abs() < 1.0e-15 {
            break;
        }
    }
    Ok(Swing { solids, added, motion, bob_centre_m: parts.bob.centre_m, bob_load, rod_pieces_m, rod_load })
}

/// Parts without air; the lump of each about its own centre.
fn solids(parts: &PendulumParts) -> Vec<(String, Lump)> {
    let (rod, bob) = (&parts.rod, &parts.bob);
    let rod_mass = rod.material.density_kg_m3 * rod_solid_area_m2(&rod.section) * rod.length_m;
    let bob_mass = bob.mass_kg.unwrap_or_else(|| bob.material.density_kg_m3 * bob_volume_m3(&bob.shape));
    let mut solids = vec![
        (
            "rod".to_owned(),
            Lump {
                mass_kg: rod_mass,
                centre_m: rod.top_m + 0.5 * rod.length_m,
                central_kg_m2: rod_mass * rod_gyration_squared_m2(rod),
            },
        ),
        (
            "bob".to_owned(),
            Lump {
                mass_kg: bob_mass,
                centre_m: bob.centre_m,
                central_kg_m2: bob_mass * bob_gyration_squared_m2(&bob.shape),
            },
        ),
    ];
    let mut begins_m = parts.first_column_begins_m();
    for column in &parts.columns {
        let ends_m = begins_m + column.down_m();
        let length_m = column.length_m.unwrap_or(0.0);
        let central_kg_m2 = column.mass_kg * length_m * length_m / 12.0;
        let centre_m = 0.5 * (begins_m + ends_m);
        solids.push((column.name.clone(), Lump { mass_kg: column.mass_kg, centre_m, central_kg_m2 }));
        begins_m = ends_m;
    }
    if let Some(nut) = parts.nut {
        let lump = Lump { mass_kg: nut.mass_kg, centre_m: nut.place_m, central_kg_m2: 0.0 };
        solids.push(("rating nut".to_owned(), lump));
    }
    solids.extend(parts.extras.iter().map(|extra| {
        (
            extra.name.clone(),
            Lump { mass_kg: extra.mass_kg, centre_m: extra.place_m, central_kg_m2: extra.inertia_kg_m2 },
        )
    }));
    solids
}

/// Depths between which the rod meets the air: above the bob and below it.
fn exposed_rod_pieces_m(parts: &PendulumParts) -> [(f64, f64); 2] {
    let (top, end) = (parts.rod.top_m, parts.rod.top_m + parts.rod.length_m);
    let half = 0.5 * bob_height_m(&parts.bob.shape);
    let (bob_top, bob_end) = (parts.bob.centre_m - half, parts.bob.centre_m + half);
    [(top, end.min(bob_top).max(top)), (top.max(bob_end).min(end), end)]
}

fn rod_piece((top, end): (f64, f64), mass_per_m: f64) -> Lump {
    let length = end - top;
    let mass_kg = mass_per_m * length;
    Lump { mass_kg, centre_m: 0.5 * (top + end), central_kg_m2: mass_kg * length * length / 12.0 }
}
