//! The pendulum: from its parts to the few numbers of its motion.

use crate::clock::design::{LumpedPendulum, PendulumParts, Suspension};
use crate::clock::environment::air::Air;
use crate::clock::mechanism::PendulumModel;
use crate::clock::notes::Note;
use crate::clock::rate_s_per_day;

use super::bob::{bob_height_m, bob_volume_m3};
use super::small_oscillation::{Lump, swing};

/// Why parts make no pendulum.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PendulumError {
    /// Parts need gravity to hang.
    #[error("a pendulum made of parts needs gravity; it is {gravity_m_s2:.5} m/s^2 here")]
    NoGravity {
        /// Gravity given.
        gravity_m_s2: f64,
    },
    /// A strip spring's material has no Young's modulus.
    #[error("the material of the suspension spring, `{material}`, has no Young's modulus: state one")]
    NoModulus {
        /// Name of the material.
        material: String,
    },
    /// The strip spring's virtual pivot cannot be found.
    #[error("the pendulum cannot swing on its suspension spring: the centre of mass must lie below the spring")]
    SpringDidNotSettle,
    /// Nothing turns the pendulum back.
    #[error("the pendulum does not hang: its centre of mass lies {:.1} mm below the axis", 1e3 * .centre_of_mass_m)]
    DoesNotHang {
        /// Depth of the centre of mass.
        centre_of_mass_m: f64,
    },
    /// A column that compensates has no length yet.
    #[error("the length of the column \"{column}\" has not been solved yet")]
    OpenColumn {
        /// Name of the column.
        column: String,
    },
    /// A lens thicker than its diameter is no lens.
    #[error("a lens of diameter {:.1} mm cannot be {:.1} mm thick", 1e3 * .diameter_m, 1e3 * .thickness_m)]
    LensTooThick {
        /// Diameter.
        diameter_m: f64,
        /// Thickness.
        thickness_m: f64,
    },
    /// A size or mass leads to no finite number.
    #[error("the pendulum's {quantity} is not a positive number: check the sizes and masses of its parts")]
    NotPositive {
        /// What came out wrong.
        quantity: &'static str,
    },
}

/// One part's share of the pendulum.
#[derive(Debug, Clone, PartialEq)]
pub struct PartInertia {
    /// Name of the part.
    pub name: String,
    /// Mass, kg.
    pub mass_kg: f64,
    /// Depth of its centre below the axis, m.
    pub centre_m: f64,
    /// Inertia about the pendulum's axis (for a strip spring: the virtual pivot), kg m^2.
    pub inertia_kg_m2: f64,
}

/// Damping of the pendulum by cause, about its axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DampingCauses {
    /// Air on the rod, linear, N m s.
    pub rod_linear_n_m_s: f64,
    /// Air on the bob, linear, N m s.
    pub bob_linear_n_m_s: f64,
    /// Internal friction of the suspension spring, N m s.
    pub spring_linear_n_m_s: f64,
    /// Stated by the maker, N m s.
    pub stated_linear_n_m_s: f64,
    /// Air on the rod, quadratic, N m s^2.
    pub rod_quadratic_n_m_s2: f64,
    /// Air on the bob, quadratic, N m s^2.
    pub bob_quadratic_n_m_s2: f64,
    /// Stated by the maker, N m s^2.
    pub stated_quadratic_n_m_s2: f64,
    /// Constant friction of the suspension, N m.
    pub suspension_friction_n_m: f64,
    /// Constant friction of the pallet arbor's pivots, N m.
    pub pallet_friction_n_m: f64,
    /// Stated by the maker, N m.
    pub stated_friction_n_m: f64,
}

/// What the parts of a pendulum come to.
#[derive(Debug, Clone, PartialEq)]
pub struct PendulumReport {
    /// Whole mass, without air, kg.
    pub mass_kg: f64,
    /// Depth of the centre of mass below the axis of the design, m.
    pub centre_of_mass_m: f64,
    /// Inertia with the air that swings along, kg m^2.
    pub inertia_kg_m2: f64,
    /// Part by part, without air.
    pub parts: Vec<PartInertia>,
    /// Inertia of the air that swings along, kg m^2.
    pub added_inertia_kg_m2: f64,
    /// Gravity torque that buoyancy takes off, N m.
    pub buoyancy_torque_n_m: f64,
    /// Air density, kg/m^3.
    pub air_density_kg_m3: f64,
    /// Depth of the point about which the pendulum turns below the axis of the design, m (above 0: strip spring).
    pub pivot_depth_m: f64,
    /// Damping by cause.
    pub damping: DampingCauses,
    /// Full period of a small swing without damping, s.
    pub small_swing_period_s: f64,
    /// Rate per turn of the rating nut that raises the bob, s/day, positive gains; `None` without a nut.
    pub nut_s_per_day_per_turn: Option<f64>,
    /// What the maker should look at.
    pub notes: Vec<Note>,
}

/// Motion and breakdown of a pendulum made of parts.
///
/// Depths are measured down from the axis: the knife's line, the bearing's middle, the cord's upper end, or for a strip
/// spring the lower edge of the upper clamp. Extras and nut displace no air. Where the rod passes the bob only the bob
/// meets the air. The suspension is taken to carry everything, pallets included. Stokes' coefficients use the small
/// swing's own angular frequency (fixed point).
/// Sources: with the functions of `bob`, `stokes`, `suspension`, `bearing`.
///
/// # Errors
/// See `PendulumError`.
pub fn pendulum_from_parts(
    parts: &PendulumParts,
    gravity_m_s2: f64,
    air: &Air,
) -> Result<(PendulumModel, PendulumReport), PendulumError> {
    let hanging = swing(parts, gravity_m_s2, air)?;
    let nut_rate = match parts.nut {
        Some(nut) => {
            let raised = parts.with_nut_raised(nut.pitch_m);
            Some(rate_s_per_day(hanging.period_s(), swing(&raised, gravity_m_s2, air)?.period_s()))
        }
        None => None,
    };
    let motion = hanging.motion;
    let damping = hanging.damping(parts, gravity_m_s2);
    let model = PendulumModel {
        inertia_kg_m2: motion.inertia_kg_m2,
        gravity_torque_n_m: motion.gravity_torque_n_m,
        stiffness_n_m_per_rad: motion.stiffness_n_m_per_rad,
        air_linear_n_m_s: damping.rod_linear_n_m_s + damping.bob_linear_n_m_s,
        suspension_linear_n_m_s: damping.spring_linear_n_m_s + damping.stated_linear_n_m_s,
        air_quadratic_n_m_s2: damping.rod_quadratic_n_m_s2
            + damping.bob_quadratic_n_m_s2
            + damping.stated_quadratic_n_m_s2,
        friction_torque_n_m: damping.suspension_friction_n_m
            + damping.pallet_friction_n_m
            + damping.stated_friction_n_m,
    };
    if ![model.damping_linear_n_m_s(), model.air_quadratic_n_m_s2, model.friction_torque_n_m]
        .iter()
        .all(|c| c.is_finite())
    {
        return Err(PendulumError::NotPositive { quantity: "damping" });
    }
    let solid: Lump = hanging.solids.iter().map(|(_, lump)| *lump).fold(Lump::NOTHING, Lump::joined);
    let report = PendulumReport {
        mass_kg: solid.mass_kg,
        centre_of_mass_m: solid.centre_m,
        inertia_kg_m2: motion.inertia_kg_m2,
        parts: hanging
            .solids
            .iter()
            .map(|(name, lump)| PartInertia {
                name: name.clone(),
                mass_kg: lump.mass_kg,
                centre_m: lump.centre_m,
                inertia_kg_m2: lump.inertia_about(motion.pivot_depth_m),
            })
            .collect(),
        added_inertia_kg_m2: hanging.added.inertia_about(motion.pivot_depth_m),
        buoyancy_torque_n_m: gravity_m_s2 * solid.moment_about(motion.lever_from_m) - motion.gravity_torque_n_m,
        air_density_kg_m3: air.density_kg_m3,
        pivot_depth_m: motion.pivot_depth_m,
        damping,
        small_swing_period_s: hanging.period_s(),
        nut_s_per_day_per_turn: nut_rate,
        notes: notes(parts),
    };
    Ok((model, report))
}

/// Motion of a pendulum given by its bare numbers; all of its damping counts as stated (linear as the suspension's,
/// quadratic as the air's).
#[must_use]
pub fn lumped_pendulum(lumped: &LumpedPendulum, gravity_m_s2: f64) -> PendulumModel {
    PendulumModel {
        inertia_kg_m2: lumped.inertia_kg_m2,
        gravity_torque_n_m: lumped.mass_kg * gravity_m_s2 * lumped.centre_of_mass_m,
        stiffness_n_m_per_rad: lumped.stiffness_n_m_per_rad,
        air_linear_n_m_s: 0.0,
        suspension_linear_n_m_s: lumped.damping_linear_n_m_s.value,
        air_quadratic_n_m_s2: lumped.damping_quadratic_n_m_s2.value,
        friction_torque_n_m: lumped.friction_torque_n_m.value,
    }
}

/// Full period of a small undamped swing, s; `None` where nothing restores.
#[must_use]
pub fn small_swing_period_s(model: &PendulumModel) -> Option<f64> {
    let period = std::f64::consts::TAU * (model.inertia_kg_m2 / model.small_swing_stiffness_n_m_per_rad()).sqrt();
    (period.is_finite() && period > 0.0).then_some(period)
}

fn notes(parts: &PendulumParts) -> Vec<Note> {
    let mut notes = Vec::new();
    if let Some(mass_kg) = parts.bob.mass_kg {
        let needed_m3 = mass_kg / parts.bob.material.density_kg_m3;
        let shape_m3 = bob_volume_m3(&parts.bob.shape);
        if needed_m3 > 1.02 * shape_m3 {
            let material = parts.bob.material.name.clone();
            notes.push(Note::BobOverfilled { mass_kg, material, needed_m3, shape_m3 });
        }
    }
    let bob_top = parts.bob.centre_m - 0.5 * bob_height_m(&parts.bob.shape);
    let gap_m = bob_top - (parts.rod.top_m + parts.rod.length_m);
    if gap_m > 0.0 {
        notes.push(Note::RodShortOfBob { gap_m });
    }
    let begins_m = parts.first_column_begins_m();
    let gap_m = begins_m - (parts.rod.top_m + parts.rod.length_m);
    if let Some(column) = parts.columns.first().filter(|_| gap_m > 0.0) {
        notes.push(Note::RodShortOfColumn { gap_m, column: column.name.clone(), begins_m });
    }
    // Without a drag of its own a ball bearing is that of the catalogues.
    if matches!(parts.suspension, Suspension::BallBearing { drag_n_m, .. } if drag_n_m.value == 0.0) {
        notes.push(Note::BallBearingLightlyLoaded);
    }
    notes
}
