//! One smooth stretch of the motion as power series in time.

use crate::clock::mechanism::PendulumModel;
use crate::geometry::Trig;
use crate::numerics::series::{Series, SineCosine, TERMS, product_term, square_term, value};

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
pub struct Flow {
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
    pub(super) turn: SineCosine,
    pub(super) wheel_turn: SineCosine,
    pub(super) joint_turn: SineCosine,
}

impl Flow {
    /// An empty workspace.
    #[must_use]
    pub fn new() -> Self {
        let zero = [0.0; TERMS];
        let turn = SineCosine { sine: zero, cosine: zero };
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

    /// Fills the flow in with the pendulum alone under a constant `torque_n_m` and the wheel under a constant
    /// `wheel_acceleration`. `direction` is the sign of the pendulum's motion.
    ///
    /// `I theta'' = -M g d sin(theta) - k_s theta - c1 theta' - c2 d theta'^2 - T_c d + torque`, `phi'' = constant`.
    pub fn fill_apart(
        &mut self,
        pendulum: &PendulumModel,
        state: &State,
        direction: f64,
        torque_n_m: f64,
        wheel_acceleration: f64,
    ) {
        let inverse = 1.0 / pendulum.inertia_kg_m2;
        let linear = pendulum.damping_linear_n_m_s();
        let quadratic = pendulum.air_quadratic_n_m_s2 * direction;
        let constant = torque_n_m - pendulum.friction_torque_n_m * direction;
        self.theta[0] = state.theta_rad;
        self.omega[0] = state.omega_rad_s;
        self.turn = SineCosine::at(state.theta_rad);
        for n in 0..TERMS - 1 {
            if n > 0 {
                self.turn.fill(&self.theta, n);
            }
            let mut torque = -pendulum.gravity_torque_n_m * self.turn.sine[n]
                - pendulum.stiffness_n_m_per_rad * self.theta[n]
                - linear * self.omega[n];
            if quadratic != 0.0 {
                torque -= quadratic * square_term(&self.omega, n);
            }
            if n == 0 {
                torque += constant;
            }
            let next = (n + 1) as f64;
            self.omega[n + 1] = torque * inverse / next;
            self.theta[n + 1] = self.omega[n] / next;
        }
        self.turn.fill(&self.theta, TERMS - 1);
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

    /// Completes the wheel's and the joint angle's sines, which the gaps need, after [`Flow::fill_apart`].
    pub fn fill_wheel_turns(&mut self) {
        let joint: Series = std::array::from_fn(|n| self.theta[n] + self.phi[n]);
        self.wheel_turn = SineCosine::at(self.phi[0]);
        self.joint_turn = SineCosine::at(joint[0]);
        for n in 1..TERMS {
            self.wheel_turn.fill(&self.phi, n);
            self.joint_turn.fill(&joint, n);
        }
    }

    /// A gap along the flow.
    #[must_use]
    pub fn along(&self, gap: &Trig) -> Series {
        let mut series: Series = std::array::from_fn(|n| self.term(gap, n));
        series[0] += gap.k[0];
        series
    }

    /// Coefficient `n` of a trigonometric polynomial along the flow, without its constant.
    #[inline]
    fn term(&self, trig: &Trig, n: usize) -> f64 {
        let k = &trig.k;
        k[1] * self.turn.cosine[n]
            + k[2] * self.turn.sine[n]
            + k[3] * self.wheel_turn.cosine[n]
            + k[4] * self.wheel_turn.sine[n]
            + k[5] * self.joint_turn.cosine[n]
            + k[6] * self.joint_turn.sine[n]
    }

    /// Fills the flow in with pendulum and wheel in contact.
    ///
    /// With `g(theta, phi) = 0` kept, `a_n = g_theta`, `b_n = -g_phi` and `Q = g_tt theta'^2 + 2 g_tp theta' phi' + g_pp phi'^2`:
    /// `N = (b_n D/J - a_n P/I - Q) / (a_n a/I + b_n b/J)`, which is the model's
    /// `(D - J F'' theta'^2 - (J F'/I) P) / (b + (J F'/I) a)` times `b_n / b_n`, regular even at a fold of the curve.
    pub fn fill_contact(&mut self, pendulum: &PendulumModel, contact: &ContactForces, state: &State, direction: f64) {
        let inertia_inverse = 1.0 / pendulum.inertia_kg_m2;
        let wheel_inverse = 1.0 / contact.wheel_inertia_kg_m2;
        let linear = pendulum.damping_linear_n_m_s();
        let quadratic = pendulum.air_quadratic_n_m_s2 * direction;
        let friction = pendulum.friction_torque_n_m * direction;
        let zero = [0.0; TERMS];
        let (mut a_n, mut b_n, mut a, mut b) = (zero, zero, zero, zero);
        let (mut by_turn, mut by_wheel, mut by_joint) = (zero, zero, zero);
        let (mut omega_sq, mut nu_sq, mut sum_sq) = (zero, zero, zero);
        let (mut free_torque, mut denominator, mut numerator) = (zero, zero, zero);
        let (mut joint, mut speed_sum) = (zero, zero);
        self.theta[0] = state.theta_rad;
        self.omega[0] = state.omega_rad_s;
        self.phi[0] = state.phi_rad;
        self.nu[0] = state.nu_rad_s;
        joint[0] = state.theta_rad + state.phi_rad;
        self.turn = SineCosine::at(state.theta_rad);
        self.wheel_turn = SineCosine::at(state.phi_rad);
        self.joint_turn = SineCosine::at(joint[0]);
        let k = &contact.gap.k;
        for n in 0..TERMS {
            if n > 0 {
                self.turn.fill(&self.theta, n);
                self.wheel_turn.fill(&self.phi, n);
                self.joint_turn.fill(&joint, n);
            }
            speed_sum[n] = self.omega[n] + self.nu[n];
            a_n[n] = self.term(&contact.normal_on_pallet, n);
            b_n[n] = self.term(&contact.normal_on_wheel, n);
            a[n] = self.term(&contact.on_pallet, n);
            b[n] = self.term(&contact.on_wheel, n);
            if n == 0 {
                a[0] += contact.on_pallet.k[0];
                b[0] += contact.on_wheel.k[0];
            }
            by_turn[n] = k[1] * self.turn.cosine[n] + k[2] * self.turn.sine[n];
            by_wheel[n] = k[3] * self.wheel_turn.cosine[n] + k[4] * self.wheel_turn.sine[n];
            by_joint[n] = k[5] * self.joint_turn.cosine[n] + k[6] * self.joint_turn.sine[n];
            omega_sq[n] = square_term(&self.omega, n);
            nu_sq[n] = square_term(&self.nu, n);
            sum_sq[n] = square_term(&speed_sum, n);
            free_torque[n] = -pendulum.gravity_torque_n_m * self.turn.sine[n]
                - pendulum.stiffness_n_m_per_rad * self.theta[n]
                - linear * self.omega[n]
                - quadratic * omega_sq[n];
            if n == 0 {
                free_torque[0] -= friction;
            }
            denominator[n] = product_term(&a_n, &a, n) * inertia_inverse + product_term(&b_n, &b, n) * wheel_inverse;
            // -Q has the gap's own terms with the squares of their angular speeds.
            numerator[n] = b_n[n] * contact.drive_n_m * wheel_inverse
                - product_term(&a_n, &free_torque, n) * inertia_inverse
                + product_term(&by_turn, &omega_sq, n)
                + product_term(&by_wheel, &nu_sq, n)
                + product_term(&by_joint, &sum_sq, n);
            self.force[n] = 0.0;
            let known = product_term(&self.force, &denominator, n);
            self.force[n] = (numerator[n] - known) / denominator[0];
            self.torque_on_pendulum[n] = product_term(&self.force, &a, n);
            self.torque_on_wheel[n] = product_term(&self.force, &b, n);
            if n + 1 < TERMS {
                let next = (n + 1) as f64;
                let drive = if n == 0 { contact.drive_n_m } else { 0.0 };
                self.omega[n + 1] = (free_torque[n] + self.torque_on_pendulum[n]) * inertia_inverse / next;
                self.theta[n + 1] = self.omega[n] / next;
                self.nu[n + 1] = (drive - self.torque_on_wheel[n]) * wheel_inverse / next;
                self.phi[n + 1] = self.nu[n] / next;
                joint[n + 1] = self.theta[n + 1] + self.phi[n + 1];
            }
        }
    }
}

impl Default for Flow {
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
