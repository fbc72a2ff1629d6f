//! The pendulum: from its parts to the few numbers of its motion.

use super::air::Air;
use super::bearing::bearing_torque_n_m;
use super::bob::{
    AirLoad, bob_air_load, bob_gyration_squared_m2, bob_height_m, bob_volume_m3, rod_air_load_per_m,
    rod_displaced_area_m2, rod_gyration_squared_m2, rod_solid_area_m2,
};
use super::design::{BobShape, LumpedPendulum, PendulumParts, RatingNut, Suspension};
use super::mechanism::PendulumModel;
use super::suspension::{HungBody, HungMotion, hang};
use crate::clock::SECONDS_PER_DAY;

/// Why parts make no pendulum.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum PendulumError {
    /// Parts need gravity to hang.
    #[error("a pendulum from parts needs gravity, got {gravity_m_s2} m/s^2")]
    NoGravity {
        /// Gravity given.
        gravity_m_s2: f64,
    },
    /// A strip spring's material has no Young's modulus.
    #[error("the suspension spring's material `{material}` has no Young's modulus: state one")]
    NoModulus {
        /// Name of the material.
        material: String,
    },
    /// The strip spring's virtual pivot cannot be found.
    #[error("the suspension spring carries no swing: the centre of mass must lie below the spring")]
    SpringDidNotSettle,
    /// Nothing turns the pendulum back.
    #[error("the pendulum does not hang: its centre of mass lies {centre_of_mass_m} m below the axis")]
    DoesNotHang {
        /// Depth of the centre of mass.
        centre_of_mass_m: f64,
    },
    /// A lens thicker than its diameter is no lens.
    #[error("a lens of diameter {diameter_m} m cannot be {thickness_m} m thick")]
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
    pub warnings: Vec<String>,
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
    let swing = swing(parts, gravity_m_s2, air)?;
    let nut_rate = match parts.nut {
        Some(nut) => {
            let mut raised = parts.clone();
            raised.bob.centre_m -= nut.pitch_m;
            raised.nut = Some(RatingNut { place_m: nut.place_m - nut.pitch_m, ..nut });
            Some(SECONDS_PER_DAY * (swing.period_s() / self::swing(&raised, gravity_m_s2, air)?.period_s() - 1.0))
        }
        None => None,
    };
    let motion = swing.motion;
    let damping = swing.damping(parts, gravity_m_s2);
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
    let solid: Lump = swing.solids.iter().map(|(_, lump)| *lump).fold(Lump::NOTHING, Lump::joined);
    let report = PendulumReport {
        mass_kg: solid.mass_kg,
        centre_of_mass_m: solid.centre_m,
        inertia_kg_m2: motion.inertia_kg_m2,
        parts: swing
            .solids
            .iter()
            .map(|(name, lump)| PartInertia {
                name: name.clone(),
                mass_kg: lump.mass_kg,
                centre_m: lump.centre_m,
                inertia_kg_m2: lump.inertia_about(motion.pivot_depth_m),
            })
            .collect(),
        added_inertia_kg_m2: swing.added.inertia_about(motion.pivot_depth_m),
        buoyancy_torque_n_m: gravity_m_s2 * solid.moment_about(motion.pivot_depth_m - swing.edge_radius_m(parts))
            - motion.gravity_torque_n_m,
        air_density_kg_m3: air.density_kg_m3,
        pivot_depth_m: motion.pivot_depth_m,
        damping,
        small_swing_period_s: swing.period_s(),
        nut_s_per_day_per_turn: nut_rate,
        warnings: warnings(parts),
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
        suspension_linear_n_m_s: lumped.damping_linear_n_m_s,
        air_quadratic_n_m_s2: lumped.damping_quadratic_n_m_s2,
        friction_torque_n_m: lumped.friction_torque_n_m,
    }
}

/// Full period of a small undamped swing, s; `None` where nothing restores.
#[must_use]
pub fn small_swing_period_s(model: &PendulumModel) -> Option<f64> {
    let period = std::f64::consts::TAU * (model.inertia_kg_m2 / model.small_swing_stiffness_n_m_per_rad()).sqrt();
    (period.is_finite() && period > 0.0).then_some(period)
}

/// A mass with its place and its inertia about itself.
#[derive(Debug, Clone, Copy)]
struct Lump {
    mass_kg: f64,
    centre_m: f64,
    central_kg_m2: f64,
}

impl Lump {
    const NOTHING: Self = Self { mass_kg: 0.0, centre_m: 0.0, central_kg_m2: 0.0 };

    fn inertia_about(&self, depth_m: f64) -> f64 {
        self.central_kg_m2 + self.mass_kg * (self.centre_m - depth_m).powi(2)
    }

    fn moment_about(&self, depth_m: f64) -> f64 {
        self.mass_kg * (self.centre_m - depth_m)
    }

    /// Both as one; a negative mass takes away, which buoyancy uses.
    fn joined(self, other: Self) -> Self {
        let mass_kg = self.mass_kg + other.mass_kg;
        if mass_kg == 0.0 {
            return Self { mass_kg, centre_m: self.centre_m, central_kg_m2: self.central_kg_m2 + other.central_kg_m2 };
        }
        let centre_m = (self.mass_kg * self.centre_m + other.mass_kg * other.centre_m) / mass_kg;
        Self { mass_kg, centre_m, central_kg_m2: self.inertia_about(centre_m) + other.inertia_about(centre_m) }
    }
}

/// The small swing of a set of parts in air.
struct Swing {
    solids: Vec<(String, Lump)>,
    added: Lump,
    motion: HungMotion,
    bob_centre_m: f64,
    bob_load: AirLoad,
    rod_pieces_m: [(f64, f64); 2],
    rod_load: AirLoad,
}

impl Swing {
    fn period_s(&self) -> f64 {
        std::f64::consts::TAU / self.motion.omega_rad_s()
    }

    /// Height of the centre of curvature above the axis, which is where a rolling knife edge turns gravity's lever.
    fn edge_radius_m(&self, parts: &PendulumParts) -> f64 {
        match parts.suspension {
            Suspension::KnifeEdge { edge_radius_m, .. } => edge_radius_m,
            _ => 0.0,
        }
    }

    fn damping(&self, parts: &PendulumParts, gravity_m_s2: f64) -> DampingCauses {
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
            pallet_friction_n_m: parts.pallet_pivot.map_or(0.0, |pivot| {
                bearing_torque_n_m(pivot.friction, parts.pallet_mass_kg * gravity_m_s2, pivot.diameter_m)
            }),
            stated_friction_n_m: parts.extra_friction_torque_n_m,
        }
    }
}

fn swing(parts: &PendulumParts, gravity_m_s2: f64, air: &Air) -> Result<Swing, PendulumError> {
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
        let bob_air =
            Lump { mass_kg: bob_load.added_mass_kg, centre_m: parts.bob.centre_m, central_kg_m2: 0.0 };
        added =
            rod_pieces_m.iter().map(|piece| rod_piece(*piece, rod_load.added_mass_kg)).fold(bob_air, Lump::joined);
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

fn warnings(parts: &PendulumParts) -> Vec<String> {
    let mut warnings = Vec::new();
    if let Some(mass_kg) = parts.bob.mass_kg {
        let needed = mass_kg / parts.bob.material.density_kg_m3;
        let given = bob_volume_m3(&parts.bob.shape);
        if needed > 1.02 * given {
            warnings.push(format!(
                "the bob's mass does not fit its shape: {mass_kg} kg of {} fills {:.0} cm3, the shape holds {:.0} cm3",
                parts.bob.material.name,
                needed * 1.0e6,
                given * 1.0e6
            ));
        }
    }
    let bob_top = parts.bob.centre_m - 0.5 * bob_height_m(&parts.bob.shape);
    let gap = bob_top - (parts.rod.top_m + parts.rod.length_m);
    if gap > 0.0 {
        warnings.push(format!("the rod ends {:.1} mm above the bob", gap * 1000.0));
    }
    if matches!(parts.suspension, Suspension::BallBearing { .. }) {
        warnings.push(
            "the ball bearing's friction is that of a well loaded bearing; at a pendulum's load grease and seals \
             usually cost more"
                .to_owned(),
        );
    }
    warnings
}
