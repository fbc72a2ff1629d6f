//! The pendulum's mode of three linear coupled motions: support, pendulum, hanging weight.
//!
//! With `x` the support's displacement, `theta` and `phi` the angles of pendulum and weight, all small, kinetic and potential energy are
//! `2 T = (ms + M + m) x'^2 + 2 S x' theta' + I theta'^2 + 2 m l x' phi' + m l^2 phi'^2` and
//! `2 V = k x^2 + G theta^2 + m g l phi^2`. A compound pendulum enters by its mass `M`, its static moment `S` and its inertia `I` about the
//! suspension (each of its points moves by `x' + r theta'`); a point of mass `M` at `L` is `S = M L`, `I = M L^2`, `G = M g L`. Losses
//! are hysteretic: `k (1 + i eta)`, `m g l (1 + i / Qw)`.
//!
//! The eigenvalues are taken of `sqrt(C) M sqrt(C)`, `C` the inverse of the stiffness matrix: they are `1 / omega^2`. In this form a support
//! that gives way to nothing is a zero, not an infinity, and nothing is lost to its large numbers.

use nalgebra::{Complex, Matrix3, Schur};

/// Steps after which the search for eigenvalues is given up; a handful is usual.
const MOST_STEPS: usize = 1000;

/// The pendulum as what carries it feels it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CarriedPendulum {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Mass times depth of the centre of mass below the suspension's point, kg m.
    pub static_moment_kg_m: f64,
    /// Inertia about that point, kg m^2.
    pub inertia_kg_m2: f64,
    /// What brings it back, N m/rad.
    pub restoring_n_m_per_rad: f64,
}

/// A weight on its cord, as a simple pendulum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SwingingWeight {
    /// Mass, kg.
    pub mass_kg: f64,
    /// Length, m.
    pub length_m: f64,
    /// Its own Q.
    pub q: f64,
    /// Gravity, m/s^2.
    pub gravity_m_s2: f64,
}

/// What carries both.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Springy {
    /// Stiffness, N/m; infinite for one that gives way to nothing.
    pub stiffness_n_per_m: f64,
    /// Loss factor.
    pub loss_factor: f64,
    /// Mass that moves with it, kg.
    pub moving_mass_kg: f64,
}

/// The pendulum's mode, as one swing about the pendulum's angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PendulumMode {
    /// Square of the angular frequency: the real part of the eigenvalue, 1/s^2.
    pub omega_squared_per_s2: f64,
    /// Its `1/Q`, the pendulum's own losses left out: imaginary over real part.
    pub added_q: f64,
    /// Share of the mode's potential energy that is in the pendulum.
    pub share: f64,
    /// Inertia of the whole mode per square of the pendulum's angular speed, kg m^2.
    pub inertia_kg_m2: f64,
}

impl PendulumMode {
    /// Stiffness of the whole mode about the pendulum's angle, N m/rad.
    #[must_use]
    pub fn stiffness_n_m_per_rad(&self) -> f64 {
        self.inertia_kg_m2 * self.omega_squared_per_s2
    }

    /// Linear damping about the pendulum's angle that takes the mode's losses, N m s.
    ///
    /// With `v` the mode at `theta = 1`, `v^H K v = lambda v^H M v`, and `M` is real and symmetric: a cycle loses
    /// `pi v^H Im(K) v = pi Im(lambda) v^H M v`, which `c = Im(lambda) v^H M v / omega` takes as well.
    #[must_use]
    pub fn damping_linear_n_m_s(&self) -> f64 {
        self.inertia_kg_m2 * self.added_q * self.omega_squared_per_s2.sqrt()
    }

    /// How much slower or faster the pendulum swings than on a support that gives way to nothing, relative; below 0 slower.
    #[must_use]
    pub fn relative_shift(&self, pendulum: &CarriedPendulum) -> f64 {
        let ratio = self.omega_squared_per_s2 * pendulum.inertia_kg_m2 / pendulum.restoring_n_m_per_rad;
        ratio.sqrt() - 1.0
    }
}

/// Length of a simple pendulum that swings in the pendulum's time, m: there the weight passes it.
#[must_use]
pub fn passing_length_m(pendulum: &CarriedPendulum, gravity_m_s2: f64) -> f64 {
    gravity_m_s2 * pendulum.inertia_kg_m2 / pendulum.restoring_n_m_per_rad
}

/// The eigenvalues `lambda = omega^2` of the three motions, 1/s^2, their imaginary parts over the real ones their `1/Q`; two without a
/// weight. `None` where a number is not finite, or the search does not end.
#[must_use]
pub fn eigenvalues_per_s2(
    pendulum: &CarriedPendulum,
    weight: Option<&SwingingWeight>,
    springy: &Springy,
) -> Option<Vec<Complex<f64>>> {
    let (m, l) = weight.map_or((0.0, 0.0), |weight| (weight.mass_kg, weight.length_m));
    let give = compliance_m_per_n(springy);
    let (root_give, root_pendulum) = (give.sqrt(), pendulum.restoring_n_m_per_rad.recip().sqrt());
    let gravity = weight.map_or(Complex::new(1.0, 0.0), complex_gravity);
    let zero = Complex::new(0.0, 0.0);
    let both = root_give * root_pendulum * pendulum.static_moment_kg_m;
    // m l over the root of m g l.
    let hung = root_give * (m * l).sqrt() / gravity.sqrt();
    let matrix = Matrix3::new(
        give * (springy.moving_mass_kg + pendulum.mass_kg + m),
        both,
        hung,
        both,
        Complex::new(pendulum.inertia_kg_m2 / pendulum.restoring_n_m_per_rad, 0.0),
        zero,
        hung,
        zero,
        Complex::new(l, 0.0) / gravity,
    );
    if !matrix.iter().all(|number| number.re.is_finite() && number.im.is_finite()) {
        return None;
    }
    let (_, triangle) = Schur::try_new(matrix, f64::EPSILON, MOST_STEPS)?.unpack();
    let found: Vec<_> = triangle.diagonal().iter().map(|value| value.inv()).collect();
    Some(found.into_iter().filter(|value| value.re.is_finite() && value.im.is_finite()).collect())
}

/// The mode that is the pendulum's: that with the largest share of its energy in the pendulum. Where weight and pendulum swing in one time and
/// the support couples them by more than their losses part them, two modes share it half and half; on either side of that place the other
/// one is the pendulum's.
///
/// The pendulum's own losses are left out. `None` where nothing brings the pendulum back, and where no mode was found.
#[must_use]
pub fn pendulum_mode(
    pendulum: &CarriedPendulum,
    weight: Option<&SwingingWeight>,
    springy: &Springy,
) -> Option<PendulumMode> {
    if !(pendulum.restoring_n_m_per_rad > 0.0 && pendulum.inertia_kg_m2 > 0.0) {
        return None;
    }
    let modes = eigenvalues_per_s2(pendulum, weight, springy)?;
    let modes = modes.into_iter().filter_map(|value| mode_of(value, pendulum, weight, springy));
    modes.max_by(|one, other| one.share.total_cmp(&other.share))
}

/// Part of the restoring torque that rounding may leave of the pendulum's equation of motion in a mode of its own.
const BALANCED: f64 = 1e-6;

/// The mode of an eigenvalue with the pendulum's angle 1: of the equations of motion, those of weight and support give their part.
fn mode_of(
    value: Complex<f64>,
    pendulum: &CarriedPendulum,
    weight: Option<&SwingingWeight>,
    springy: &Springy,
) -> Option<PendulumMode> {
    let give = compliance_m_per_n(springy);
    let one = Complex::new(1.0, 0.0);
    let (m, l) = weight.map_or((0.0, 0.0), |weight| (weight.mass_kg, weight.length_m));
    let follows = weight.map_or(Complex::new(0.0, 0.0), |weight| value / (complex_gravity(weight) - value * l));
    let moving_kg = springy.moving_mass_kg + pendulum.mass_kg + m;
    let x = give * value * pendulum.static_moment_kg_m / (one - give * value * (moving_kg + follows * (m * l)));
    // On a support that gives way to nothing or next to it, the other motions have eigenvalues to which no swing of the pendulum belongs.
    let unbalanced =
        value * (x * pendulum.static_moment_kg_m + pendulum.inertia_kg_m2) - pendulum.restoring_n_m_per_rad;
    if unbalanced.norm() > BALANCED * pendulum.restoring_n_m_per_rad {
        return None;
    }
    let phi = follows * x;
    let inertia_kg_m2 = moving_kg * x.norm_sqr()
        + pendulum.inertia_kg_m2
        + m * l * l * phi.norm_sqr()
        + 2.0 * pendulum.static_moment_kg_m * x.re
        + 2.0 * m * l * (x.conj() * phi).re;
    let of_support = if give.norm() > 0.0 { x.norm_sqr() / give.norm() } else { 0.0 };
    let of_weight = weight.map_or(0.0, |weight| m * weight.gravity_m_s2 * l * phi.norm_sqr());
    let whole = of_support + pendulum.restoring_n_m_per_rad + of_weight;
    let mode = PendulumMode {
        omega_squared_per_s2: value.re,
        added_q: value.im / value.re,
        share: pendulum.restoring_n_m_per_rad / whole,
        inertia_kg_m2,
    };
    let is_one = mode.omega_squared_per_s2 > 0.0 && mode.share.is_finite() && mode.inertia_kg_m2 > 0.0;
    (is_one && mode.inertia_kg_m2.is_finite() && mode.added_q.is_finite()).then_some(mode)
}

/// Displacement of the support per force, with its loss.
fn compliance_m_per_n(springy: &Springy) -> Complex<f64> {
    Complex::new(springy.stiffness_n_per_m.recip(), 0.0) / Complex::new(1.0, springy.loss_factor)
}

/// Gravity with the weight's own loss.
fn complex_gravity(weight: &SwingingWeight) -> Complex<f64> {
    Complex::new(weight.gravity_m_s2, weight.gravity_m_s2 / weight.q)
}
