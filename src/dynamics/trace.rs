//! A sampled record of the motion, for pictures and tables.

use serde::Serialize;

use crate::clock::side::Side;

use super::observe::{Jump, JumpKind, Mode, Observer, TakenSegment};

/// One moment.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Sample {
    /// Time, s.
    pub time_s: f64,
    /// Pendulum angle, rad.
    pub theta_rad: f64,
    /// Pendulum speed, rad/s.
    pub omega_rad_s: f64,
    /// Wheel advance, rad.
    pub phi_rad: f64,
    /// Wheel speed, rad/s.
    pub nu_rad_s: f64,
    /// Torque of the escapement on the pendulum, N m.
    pub torque_n_m: f64,
    /// Normal force between tooth and pallet, N.
    pub force_n: f64,
    /// Mode.
    pub mode: Mode,
}

/// A tooth's fall onto a pallet.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Tick {
    /// Time, s.
    pub time_s: f64,
    /// Pendulum angle, rad.
    pub theta_rad: f64,
    /// Pallet.
    pub pallet: Side,
    /// Energy lost, J.
    pub loss_j: f64,
}

/// Records samples at most `spacing_s` apart, both ends of every stretch included, and all impacts.
#[derive(Debug, Clone)]
pub struct Trace {
    spacing_s: f64,
    /// Samples in order of time.
    pub samples: Vec<Sample>,
    /// Impacts in order of time.
    pub ticks: Vec<Tick>,
}

/// Samples kept at the most; bounds the memory of a long run.
const MOST_SAMPLES: usize = 2_000_000;

impl Trace {
    /// An empty record.
    #[must_use]
    pub fn new(spacing_s: f64) -> Self {
        Self { spacing_s, samples: Vec::new(), ticks: Vec::new() }
    }
}

impl Observer for Trace {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        let pieces = (taken.duration_s / self.spacing_s).ceil().clamp(1.0, 10_000.0) as usize;
        if self.samples.len() + pieces > MOST_SAMPLES {
            return;
        }
        let series = taken.series;
        for piece in 0..=pieces {
            let t = taken.duration_s * piece as f64 / pieces as f64;
            let state = series.state_at(taken.start_s, t);
            self.samples.push(Sample {
                time_s: state.time_s,
                theta_rad: state.theta_rad,
                omega_rad_s: state.omega_rad_s,
                phi_rad: state.phi_rad,
                nu_rad_s: state.nu_rad_s,
                torque_n_m: crate::numerics::series::value(&series.torque_on_pendulum, t),
                force_n: crate::numerics::series::value(&series.force, t),
                mode: taken.mode,
            });
        }
    }

    fn jump(&mut self, jump: &Jump) {
        if let JumpKind::Impact(pallet) = jump.kind {
            self.ticks.push(Tick {
                time_s: jump.state.time_s,
                theta_rad: jump.state.theta_rad,
                pallet,
                loss_j: -jump.energy_j,
            });
        }
    }
}
