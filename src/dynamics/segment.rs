//! One smooth stretch of the motion as power series in time.

use crate::clock::mechanism::PendulumModel;
use crate::geometry::{Angles, Trig};
use crate::numerics::series::{INVERSE, Series, SineCosine, TERMS, square_term, value};

/// Where the clock is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct State {
    /// Time since the start, s.
    pub time_s: f64,
    /// Pendulum angle, rad.
    pub theta_rad: f64,
    /// Pendulum speed, rad/s.
    pub omega_rad_s: f64,
    /// Wheel advance, rad.
    pub phi_rad: f64,
    /// Wheel speed, rad/s.
    pub nu_rad_s: f64,
}

/// Series of a smooth stretch, times counted from its start.
#[derive(Debug, Clone)]
pub struct TaylorSegment {
    /// Pendulum angle.
    pub theta: Series,
    /// Pendulum speed.
    pub omega: Series,
    /// Wheel advance.
    pub phi: Series,
    /// Wheel speed.
    pub nu: Series,
    /// Torque on the pendulum by the escapement (contact or ideal), N m.
    pub torque_on_pendulum: Series,
    /// Torque against the wheel by the contact, N m.
    pub torque_on_wheel: Series,
    /// Normal force of the contact, N.
    pub force: Series,
    turn: SineCosine,
    wheel_turn: SineCosine,
    joint_turn: SineCosine,
    rows: Box<ProductRows>,
}

impl TaylorSegment {
    /// An empty workspace.
    #[must_use]
    pub fn new() -> Self {
        let zero = [0.0; TERMS];
        let turn = SineCosine { terms: [[0.0; 2]; TERMS] };
        Self {
            theta: zero,
            omega: zero,
            phi: zero,
            nu: zero,
            torque_on_pendulum: zero,
            torque_on_wheel: zero,
            force: zero,
            turn,
            wheel_turn: turn,
            joint_turn: turn,
            rows: Box::new(ProductRows { left: [[0.0; LANES]; TERMS], right: [[0.0; LANES]; TERMS] }),
        }
    }

    /// State after `duration_s`.
    #[must_use]
    pub fn state_at(&self, start_s: f64, duration_s: f64) -> State {
        State {
            time_s: start_s + duration_s,
            theta_rad: value(&self.theta, duration_s),
            omega_rad_s: value(&self.omega, duration_s),
            phi_rad: value(&self.phi, duration_s),
            nu_rad_s: value(&self.nu, duration_s),
        }
    }

    /// Fills the series in with the pendulum alone under a constant `torque_n_m` and the wheel under a constant
    /// `wheel_acceleration`. `direction` is the sign of the pendulum's motion; without the sines of the angles given in `placed`
    /// there will be no gaps along the series.
    ///
    /// `I theta'' = -M g d sin(theta) - k_s theta - c1 theta' - c2 d theta'^2 - T_c d + torque`, `phi'' = constant`.
    pub fn fill_apart(
        &mut self,
        pendulum: &PendulumModel,
        state: &State,
        direction: f64,
        torque_n_m: f64,
        wheel_acceleration: f64,
        placed: Option<&Angles>,
    ) {
        let inverse = 1.0 / pendulum.inertia_kg_m2;
        let linear = pendulum.damping_linear_n_m_s();
        let quadratic = pendulum.air_quadratic_n_m_s2 * direction;
        let constant = torque_n_m - pendulum.friction_torque_n_m * direction;
        self.theta[0] = state.theta_rad;
        self.omega[0] = state.omega_rad_s;
        match placed {
            Some(angles) => self.start_at(angles),
            None => self.turn.start(state.theta_rad),
        }
        for n in 0..TERMS - 1 {
            let mut torque = -pendulum.gravity_torque_n_m * self.turn.terms[n][0]
                - pendulum.stiffness_n_m_per_rad * self.theta[n]
                - linear * self.omega[n];
            if quadratic != 0.0 {
                torque -= quadratic * square_term(&self.omega, n);
            }
            if n == 0 {
                torque += constant;
            }
            self.omega[n + 1] = torque * inverse * INVERSE[n + 1];
            self.theta[n + 1] = self.omega[n] * INVERSE[n + 1];
            self.turn.fill(&self.omega, n + 1);
        }
        self.phi = [0.0; TERMS];
        self.nu = [0.0; TERMS];
        self.phi[0] = state.phi_rad;
        self.phi[1] = state.nu_rad_s;
        self.phi[2] = 0.5 * wheel_acceleration;
        self.nu[0] = state.nu_rad_s;
        self.nu[1] = wheel_acceleration;
        self.torque_on_pendulum = [0.0; TERMS];
        self.torque_on_pendulum[0] = torque_n_m;
        self.torque_on_wheel = [0.0; TERMS];
        self.force = [0.0; TERMS];
    }

    fn start_at(&mut self, angles: &Angles) {
        let [_, c, s, v, u, y, x] = angles.basis;
        self.turn.terms[0] = [s, c];
        self.wheel_turn.terms[0] = [u, v];
        self.joint_turn.terms[0] = [x, y];
    }

    /// Completes the wheel's and the joint angle's sines, which the gaps need, after [`TaylorSegment::fill_apart`].
    pub fn fill_wheel_turns(&mut self) {
        let speed: Series = std::array::from_fn(|n| self.omega[n] + self.nu[n]);
        let stands = self.nu[0] == 0.0 && self.nu[1] == 0.0;
        if stands {
            // The joint angle is the pendulum's, turned on by a constant.
            let [s, c] = self.wheel_turn.terms[0];
            self.wheel_turn.terms[1..].fill([0.0; 2]);
            for n in 1..TERMS {
                let [sine, cosine] = self.turn.terms[n];
                self.joint_turn.terms[n] = [s * cosine + c * sine, c * cosine - s * sine];
            }
            return;
        }
        for n in 1..TERMS {
            self.wheel_turn.fill_by_short_speed(&self.nu, n);
            self.joint_turn.fill(&speed, n);
        }
    }

    /// A gap along the series.
    #[must_use]
    pub fn along(&self, gap: &Trig) -> Series {
        let mut series: Series = std::array::from_fn(|n| self.term(gap, n));
        series[0] += gap.k[0];
        series
    }

    /// Coefficient `n` of a trigonometric polynomial along the series, without its constant.
    #[inline]
    fn term(&self, trig: &Trig, n: usize) -> f64 {
        let k = &trig.k;
        let (turn, wheel, joint) = (&self.turn.terms[n], &self.wheel_turn.terms[n], &self.joint_turn.terms[n]);
        k[1] * turn[1] + k[2] * turn[0] + k[3] * wheel[1] + k[4] * wheel[0] + k[5] * joint[1] + k[6] * joint[0]
    }

    /// Fills the series in with pendulum and wheel in contact.
    ///
    /// With `g(theta, phi) = 0` kept, `a_n = g_theta`, `b_n = -g_phi` and `Q = g_tt theta'^2 + 2 g_tp theta' phi' + g_pp phi'^2`:
    /// `N = (b_n D/J - a_n P/I - Q) / (a_n a/I + b_n b/J)`, which is the model's
    /// `(D - J F'' theta'^2 - (J F'/I) P) / (b + (J F'/I) a)` times `b_n / b_n`, regular even at a fold of the curve.
    ///
    /// `Q = a_n' theta' - b_n' phi'`, the primes of the arms by time. All products of an order are taken in one pass over the
    /// lower orders, side by side; what needs the order's own coefficients is added after it.
    pub fn fill_contact(
        &mut self,
        pendulum: &PendulumModel,
        contact: &ContactForces,
        state: &State,
        direction: f64,
        placed: &Angles,
    ) {
        let inertia_inverse = 1.0 / pendulum.inertia_kg_m2;
        let wheel_inverse = 1.0 / contact.wheel_inertia_kg_m2;
        let linear = pendulum.damping_linear_n_m_s();
        let quadratic = pendulum.air_quadratic_n_m_s2 * direction;
        let friction = pendulum.friction_torque_n_m * direction;
        self.theta[0] = state.theta_rad;
        self.omega[0] = state.omega_rad_s;
        self.phi[0] = state.phi_rad;
        self.nu[0] = state.nu_rad_s;
        self.start_at(placed);
        let mut a_n = self.term(&contact.normal_on_pallet, 0);
        let mut b_n = self.term(&contact.normal_on_wheel, 0);
        let arm_0 = a_n;
        let (mut a_0, mut b_0, mut denominator_inverse, mut force_0) = (0.0, 0.0, 0.0, 0.0);
        for n in 0..TERMS {
            let mut a = self.term(&contact.on_pallet, n);
            let mut b = self.term(&contact.on_wheel, n);
            if n == 0 {
                a += contact.on_pallet.k[0];
                b += contact.on_wheel.k[0];
                (a_0, b_0) = (a, b);
            }
            let (omega, nu) = (self.omega[n], self.nu[n]);
            let joint = omega + nu;
            let mut left = [omega, omega, nu, nu, joint, joint, a_n, b_n, a_n, 0.0, 0.0, omega, 0.0, 0.0, 0.0, 0.0];
            let ([s, c], [u, v], [x, y]) = (self.turn.terms[n], self.wheel_turn.terms[n], self.joint_turn.terms[n]);
            let mut right = [s, c, u, v, x, y, a, b, 0.0, omega, nu, omega, 0.0, a, b, 0.0];
            let sums = self.rows.products(n, &left, &right);
            let mut free_torque = -pendulum.gravity_torque_n_m * self.turn.terms[n][0]
                - pendulum.stiffness_n_m_per_rad * self.theta[n]
                - linear * omega
                - quadratic * sums[lane::SPEED_SQUARE];
            if n == 0 {
                free_torque -= friction;
            }
            let denominator = sums[lane::PALLET_ARMS] * inertia_inverse + sums[lane::WHEEL_ARMS] * wheel_inverse;
            // The turns and arms one order on, and with them the arms' rates at this one.
            let next = (n + 1) as f64;
            let inverse = INVERSE[n + 1];
            let turn = [sums[lane::COSINE] * inverse, -sums[lane::SINE] * inverse];
            let wheel = [sums[lane::WHEEL_COSINE] * inverse, -sums[lane::WHEEL_SINE] * inverse];
            let joint = [sums[lane::JOINT_COSINE] * inverse, -sums[lane::JOINT_SINE] * inverse];
            let arm = |trig: &Trig| {
                let k = &trig.k;
                k[1] * turn[1] + k[2] * turn[0] + k[3] * wheel[1] + k[4] * wheel[0] + k[5] * joint[1] + k[6] * joint[0]
            };
            let (a_next, b_next) = (arm(&contact.normal_on_pallet), arm(&contact.normal_on_wheel));
            let (a_rate, b_rate) = (next * a_next, next * b_next);
            let rates =
                sums[lane::PALLET_ARM_RATE] + a_rate * self.omega[0] - sums[lane::WHEEL_ARM_RATE] - b_rate * self.nu[0];
            let turned_by = sums[lane::ARM_TORQUE] + arm_0 * free_torque;
            let numerator = b_n * contact.drive_n_m * wheel_inverse - turned_by * inertia_inverse - rates;
            let force = if n == 0 {
                denominator_inverse = 1.0 / denominator;
                force_0 = numerator / denominator;
                force_0
            } else {
                (numerator - sums[lane::FORCE_DENOMINATOR] - force_0 * denominator) * denominator_inverse
            };
            left[lane::PALLET_ARM_RATE] = a_rate;
            left[lane::WHEEL_ARM_RATE] = b_rate;
            left[lane::FORCE_DENOMINATOR] = force;
            left[lane::FORCE_ON_PALLET] = force;
            left[lane::FORCE_ON_WHEEL] = force;
            right[lane::ARM_TORQUE] = free_torque;
            right[lane::FORCE_DENOMINATOR] = denominator;
            (self.rows.left[n], self.rows.right[n]) = (left, right);
            self.force[n] = force;
            self.torque_on_pendulum[n] = sums[lane::FORCE_ON_PALLET] + force * a_0;
            self.torque_on_wheel[n] = sums[lane::FORCE_ON_WHEEL] + force * b_0;
            if n + 1 < TERMS {
                let drive = if n == 0 { contact.drive_n_m } else { 0.0 };
                self.omega[n + 1] = (free_torque + self.torque_on_pendulum[n]) * inertia_inverse * inverse;
                self.theta[n + 1] = omega * inverse;
                self.nu[n + 1] = (drive - self.torque_on_wheel[n]) * wheel_inverse * inverse;
                self.phi[n + 1] = nu * inverse;
                self.turn.terms[n + 1] = turn;
                self.wheel_turn.terms[n + 1] = wheel;
                self.joint_turn.terms[n + 1] = joint;
                (a_n, b_n) = (a_next, b_next);
            }
        }
    }
}

/// Products of one order that are taken side by side.
const LANES: usize = 16;

/// Coefficients of the factors of all products of a contact, a row an order.
#[derive(Debug, Clone)]
struct ProductRows {
    left: [[f64; LANES]; TERMS],
    right: [[f64; LANES]; TERMS],
}

impl ProductRows {
    /// Coefficient `n` of every product, the rows of order `n` themselves given.
    #[inline]
    fn products(&self, n: usize, left: &[f64; LANES], right: &[f64; LANES]) -> [f64; LANES] {
        let mut sums = if n > 1 { self.inner_products(n) } else { [0.0; LANES] };
        let (first_left, first_right) = if n == 0 { (left, &[0.0; LANES]) } else { (&self.left[0], &self.right[0]) };
        for lane in 0..LANES {
            sums[lane] += first_left[lane] * right[lane] + left[lane] * first_right[lane];
        }
        sums
    }

    /// The part of them made of lower orders alone. Not inlined: the compiler would shuffle the lanes to suit their uses.
    #[inline(never)]
    fn inner_products(&self, n: usize) -> [f64; LANES] {
        let mut sums = [0.0; LANES];
        for (left, right) in self.left[1..n].iter().zip(self.right[1..n].iter().rev()) {
            for lane in 0..LANES {
                sums[lane] += left[lane] * right[lane];
            }
        }
        sums
    }
}

/// Which product stands in which lane.
mod lane {
    pub const SINE: usize = 0;
    pub const COSINE: usize = 1;
    pub const WHEEL_SINE: usize = 2;
    pub const WHEEL_COSINE: usize = 3;
    pub const JOINT_SINE: usize = 4;
    pub const JOINT_COSINE: usize = 5;
    pub const PALLET_ARMS: usize = 6;
    pub const WHEEL_ARMS: usize = 7;
    pub const ARM_TORQUE: usize = 8;
    pub const PALLET_ARM_RATE: usize = 9;
    pub const WHEEL_ARM_RATE: usize = 10;
    pub const SPEED_SQUARE: usize = 11;
    pub const FORCE_DENOMINATOR: usize = 12;
    pub const FORCE_ON_PALLET: usize = 13;
    pub const FORCE_ON_WHEEL: usize = 14;
}

impl Default for TaylorSegment {
    fn default() -> Self {
        Self::new()
    }
}

/// A contact as the motion needs it, friction's direction chosen and the touching tooth's place taken in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ContactForces {
    /// Gap.
    pub gap: Trig,
    /// `a_n`.
    pub normal_on_pallet: Trig,
    /// `b_n`.
    pub normal_on_wheel: Trig,
    /// `a = a_n + mu s a_t`.
    pub on_pallet: Trig,
    /// `b = b_n + mu s b_t`.
    pub on_wheel: Trig,
    /// Torque on the wheel (`D`).
    pub drive_n_m: f64,
    /// Inertia of the wheel (`J`).
    pub wheel_inertia_kg_m2: f64,
}
