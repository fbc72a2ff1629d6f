//! How the pendulum hangs: about which point it turns, how stiffly, and what that costs.

use crate::clock::design::Suspension;
use crate::clock::train::bearing::bearing_torque_n_m;

use super::compound::PendulumError;

/// What hangs on the suspension, as two lumps: the masses that resist acceleration and the weight that pulls down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HungBody {
    /// Mass that is accelerated, the air that swings along included, kg.
    pub inert_mass_kg: f64,
    /// Depth of its centre below the axis, m.
    pub inert_centre_m: f64,
    /// Its inertia about that centre, kg m^2.
    pub inert_central_kg_m2: f64,
    /// Weight less buoyancy, N.
    pub weight_n: f64,
    /// Depth below the axis where the weight acts, m.
    pub weight_centre_m: f64,
}

/// The hung body with its suspension, small swings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HungMotion {
    /// Depth below the axis of the point about which the pendulum turns, m; negative above the axis.
    pub pivot_depth_m: f64,
    /// Depth from which the weight's lever counts, m: the same, but a rolling edge's centre of curvature above it.
    pub lever_from_m: f64,
    /// Inertia about the pivot, kg m^2.
    pub inertia_kg_m2: f64,
    /// Gravity torque at 1 rad as if sin were linear (`M g d`), N m.
    pub gravity_torque_n_m: f64,
    /// Stiffness besides gravity, N m/rad.
    pub stiffness_n_m_per_rad: f64,
    /// Constant friction torque, N m.
    pub friction_torque_n_m: f64,
    /// Linear damping by internal friction of a spring, N m s.
    pub damping_linear_n_m_s: f64,
}

impl HungMotion {
    /// Angular frequency of the small swing, rad/s; 0 where nothing restores.
    #[must_use]
    pub fn omega_rad_s(&self) -> f64 {
        ((self.gravity_torque_n_m + self.stiffness_n_m_per_rad) / self.inertia_kg_m2).max(0.0).sqrt()
    }
}

/// A strip spring's answer to a body that hangs on it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StripMotion {
    /// `lambda = sqrt(E I / W)`, the length over which the strip bends, m.
    pub bending_length_m: f64,
    /// Depth of the virtual pivot below the upper clamp, m.
    pub pivot_depth_m: f64,
    /// Equivalent simple length `W x / F`, m: displacement of the weight's centre over horizontal force times weight.
    pub equivalent_length_m: f64,
    /// Stiffness that a rigid body about the virtual pivot needs besides gravity, N m/rad (near 0 for long strips).
    pub stiffness_n_m_per_rad: f64,
    /// True elastic stiffness: twice the strip's bending energy over the square of the swing's angle, N m/rad.
    pub elastic_n_m_per_rad: f64,
}

/// Axis, stiffness and friction of the suspension under the body that hangs on it.
///
/// - Knife edge: rolls on a plane; the axis of the design is the line of contact at rest. Its centre of curvature stays
///   level, so gravity acts on the lever `h + R` while the inertia is that about the contact (checked against
///   `T = 2 pi sqrt(I/(m g (h + R)))`, derived). Friction: lever of rolling resistance times load.
/// - Ball bearing: its drag and `bearing_torque_n_m`.
/// - Strip spring: `strip_motion`; the axis of the design is the lower edge of the upper clamp.
///   Damping: loss factor times elastic stiffness over the angular frequency.
/// - Cord: coefficient times load times radius (common practice, no source).
///
/// # Errors
/// `PendulumError::NoModulus` for a strip of a material without one; `SpringDidNotSettle` where the virtual pivot
/// cannot be found.
pub fn hang(suspension: &Suspension, body: &HungBody) -> Result<HungMotion, PendulumError> {
    let rigid = HungMotion {
        pivot_depth_m: 0.0,
        lever_from_m: 0.0,
        inertia_kg_m2: body.inert_central_kg_m2 + body.inert_mass_kg * body.inert_centre_m.powi(2),
        gravity_torque_n_m: body.weight_n * body.weight_centre_m,
        stiffness_n_m_per_rad: 0.0,
        friction_torque_n_m: 0.0,
        damping_linear_n_m_s: 0.0,
    };
    match suspension {
        Suspension::KnifeEdge { edge_radius_m, rolling_friction_m } => Ok(HungMotion {
            lever_from_m: -edge_radius_m,
            gravity_torque_n_m: body.weight_n * (body.weight_centre_m + edge_radius_m),
            friction_torque_n_m: rolling_friction_m.value * body.weight_n,
            ..rigid
        }),
        Suspension::BallBearing { bore_m, friction, drag_n_m } => Ok(HungMotion {
            friction_torque_n_m: drag_n_m.value + bearing_torque_n_m(friction.value, body.weight_n, *bore_m),
            ..rigid
        }),
        Suspension::Cord { diameter_m, friction } => {
            Ok(HungMotion { friction_torque_n_m: 0.5 * friction.value * body.weight_n * diameter_m, ..rigid })
        }
        Suspension::StripSpring { width_m, thickness_m, length_m, material, loss_factor } => {
            let modulus = material
                .youngs_modulus_pa
                .ok_or_else(|| PendulumError::NoModulus { material: material.name.clone() })?;
            let bending = modulus * width_m * thickness_m.powi(3) / 12.0;
            let strip = strip_motion(bending, *length_m, body)?;
            let lever = body.inert_centre_m - strip.pivot_depth_m;
            let motion = HungMotion {
                pivot_depth_m: strip.pivot_depth_m,
                lever_from_m: strip.pivot_depth_m,
                inertia_kg_m2: body.inert_central_kg_m2 + body.inert_mass_kg * lever * lever,
                gravity_torque_n_m: body.weight_n * (body.weight_centre_m - strip.pivot_depth_m),
                stiffness_n_m_per_rad: strip.stiffness_n_m_per_rad,
                friction_torque_n_m: 0.0,
                damping_linear_n_m_s: 0.0,
            };
            let damping = loss_factor.value * strip.elastic_n_m_per_rad / motion.omega_rad_s();
            Ok(HungMotion { damping_linear_n_m_s: damping, ..motion })
        }
    }
}

/// Slow swing of a rigid body on a strip spring clamped at both ends, reduced to a virtual pivot and a stiffness.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `bending_n_m2` | `E I` of the strip | N m^2 |
/// | `length_m` | free length `l` | m |
/// | `body` | depths from the upper clamp, weight `W` | |
///
/// Euler-Bernoulli beam under tension (derived): with the inertia force `F` acting at the centre of percussion, a depth
/// `d_f` below the lower clamp, and the weight at depth `d`, `lambda = sqrt(EI/W)`, `t = tanh(l/lambda)`:
/// `L_eff = W x/F = l + d_f - a`, `a = lambda (lambda t + d + (d_f - d)/cosh(l/lambda)) / (lambda + d t)`.
/// For a point mass this is `l + d - lambda (lambda t + d)/(lambda + d t)`. The rigid body turns about the point at
/// which its displacement over its angle vanishes; the stiffness is what makes `omega^2 = F/(m x)` come out exactly.
/// The strip has no mass; the body's fast rocking on the strip is left out.
///
/// # Errors
/// `PendulumError::SpringDidNotSettle` where the weight's centre is not below the strip or the search does not close.
pub fn strip_motion(bending_n_m2: f64, length_m: f64, body: &HungBody) -> Result<StripMotion, PendulumError> {
    const MOST_STEPS: u32 = 100;
    let below_m = body.weight_centre_m - length_m;
    let inert_below_m = body.inert_centre_m - length_m;
    let lambda = (bending_n_m2 / body.weight_n).sqrt();
    if !(below_m > 0.0 && inert_below_m > 0.0 && lambda.is_finite() && lambda > 0.0) {
        return Err(PendulumError::SpringDidNotSettle);
    }
    // Hyperbolic functions as decaying exponentials only: a strip many times longer than lambda must not overflow.
    let decay = (-length_m / lambda).exp();
    let decay_squared = decay * decay;
    let tanh = (1.0 - decay_squared) / (1.0 + decay_squared);
    let sech = 2.0 * decay / (1.0 + decay_squared);
    let denominator = lambda + below_m * tanh;

    let mut lever = body.weight_centre_m - lambda.min(length_m);
    for _ in 0..MOST_STEPS {
        let inert_lever = lever + inert_below_m - below_m;
        if inert_lever.is_nan() || inert_lever <= 0.0 {
            return Err(PendulumError::SpringDidNotSettle);
        }
        let excess = inert_below_m + body.inert_central_kg_m2 / (body.inert_mass_kg * inert_lever) - below_m;
        let a = lambda * (lambda * tanh + below_m + excess * sech) / denominator;
        let equivalent = length_m + below_m + excess - a;
        // y'' lambda^2 F/W = far exp((s - l)/lambda) + near exp(-s/lambda) along the strip.
        let far = 0.5 * lambda * ((below_m - lambda) * sech + excess * 2.0 / (1.0 + decay_squared)) / denominator;
        let near = 0.5 * (a + lambda);
        let angle = 1.0 + (far - near * decay) / lambda;
        let next = equivalent / angle;
        if !(next.is_finite() && next > 0.0) {
            return Err(PendulumError::SpringDidNotSettle);
        }
        let settled = (next - lever).abs() <= 16.0 * f64::EPSILON * next;
        lever = next;
        if settled {
            let square =
                0.5 * (far * far + near * near) * (1.0 - decay_squared) + 2.0 * far * near * decay * length_m / lambda;
            // K = omega^2 I about the pivot, of which gravity gives W times the lever.
            let inert = lever + inert_below_m - below_m;
            let inertia = body.inert_central_kg_m2 + body.inert_mass_kg * inert * inert;
            let omega_squared = body.weight_n * inert_force_ratio(body, lever, inert, equivalent);
            return Ok(StripMotion {
                bending_length_m: lambda,
                pivot_depth_m: length_m + below_m - lever,
                equivalent_length_m: equivalent,
                stiffness_n_m_per_rad: omega_squared * inertia - body.weight_n * lever,
                elastic_n_m_per_rad: body.weight_n * square / (lambda * angle * angle),
            });
        }
    }
    Err(PendulumError::SpringDidNotSettle)
}

/// `omega^2 / W`: the force `F = W x / L_eff` over the displacement of the inert mass, per weight.
fn inert_force_ratio(body: &HungBody, lever: f64, inert_lever: f64, equivalent: f64) -> f64 {
    lever / (equivalent * inert_lever * body.inert_mass_kg)
}
