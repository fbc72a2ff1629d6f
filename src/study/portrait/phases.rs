//! A traced period cut into what tooth and pallet do.

use crate::clock::side::Side;
use crate::dynamics::observe::Mode;
use crate::dynamics::trace::Sample;

/// What tooth and pallet do.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PhaseKind {
    /// A tooth rests on a pallet and the wheel stands.
    Lock,
    /// The swing pushes the wheel back.
    Recoil,
    /// The wheel drives the pallet.
    Impulse,
    /// The wheel runs free from one pallet to the other.
    Drop,
    /// The tooth has left the pallet and will land on the same one.
    Flight,
    /// An ideal torque drives the pendulum.
    Push,
    /// An ideal torque holds the pendulum back.
    Brake,
    /// Nothing acts on the pendulum of an ideal clock.
    Free,
}

/// A stretch of the period in which the same happens.
#[derive(Debug, Clone, PartialEq)]
pub struct Phase {
    /// What happens.
    pub kind: PhaseKind,
    /// At which pallet; `None` where none is touched.
    pub pallet: Option<Side>,
    /// Whether the pendulum moves to the right (angle rising).
    pub to_right: bool,
    /// Its samples, both ends included.
    pub samples: Vec<Sample>,
}

/// The phases of a period in order.
pub(super) fn phases(samples: &[Sample]) -> Vec<Phase> {
    let mut phases: Vec<Phase> = Vec::new();
    let mut modes: Vec<Mode> = Vec::new();
    for (number, sample) in samples.iter().enumerate() {
        let to_right = moves_right(samples, number);
        match phases.last_mut() {
            Some(phase)
                if phase.to_right == to_right
                    && modes.last() == Some(&sample.mode)
                    && !turns_over(sample, phase.samples.last()) =>
            {
                phase.samples.push(*sample);
            }
            _ => {
                let pallet = match sample.mode {
                    Mode::Locked(pallet) | Mode::Sliding(pallet) => Some(pallet),
                    Mode::Apart | Mode::Driven => None,
                };
                modes.push(sample.mode);
                phases.push(Phase { kind: PhaseKind::Free, pallet, to_right, samples: vec![*sample] });
            }
        }
    }
    let touches = modes.iter().any(|mode| matches!(mode, Mode::Locked(_) | Mode::Sliding(_)));
    let count = phases.len();
    for number in 0..count {
        // The period closes on itself.
        let before = (1..count).find_map(|back| phases[(number + count - back) % count].pallet);
        let after = (1..count).find_map(|on| phases[(number + on) % count].pallet);
        let phase = &mut phases[number];
        phase.kind = match modes[number] {
            Mode::Locked(_) => PhaseKind::Lock,
            Mode::Sliding(_) if rise(phase, |sample| sample.phi_rad) < 0.0 => PhaseKind::Recoil,
            Mode::Sliding(_) => PhaseKind::Impulse,
            Mode::Apart if !touches => PhaseKind::Free,
            Mode::Apart if before == after => PhaseKind::Flight,
            Mode::Apart => PhaseKind::Drop,
            Mode::Driven if (phase.samples[0].torque_n_m > 0.0) == phase.to_right => PhaseKind::Push,
            Mode::Driven => PhaseKind::Brake,
        };
    }
    phases
}

fn rise(phase: &Phase, of: impl Fn(&Sample) -> f64) -> f64 {
    match (phase.samples.first(), phase.samples.last()) {
        (Some(first), Some(last)) => of(last) - of(first),
        _ => 0.0,
    }
}

/// Whether an ideal torque has changed its sign since the sample before.
fn turns_over(sample: &Sample, before: Option<&Sample>) -> bool {
    sample.mode == Mode::Driven && before.is_some_and(|before| before.torque_n_m * sample.torque_n_m < 0.0)
}

/// Whether the pendulum moves to the right in the stretch to which a sample belongs. Two samples at one time part two
/// stretches.
fn moves_right(samples: &[Sample], number: usize) -> bool {
    let here = samples[number];
    match samples.get(number + 1) {
        Some(next) if next.time_s > here.time_s => next.theta_rad > here.theta_rad,
        _ => number > 0 && here.theta_rad > samples[number - 1].theta_rad,
    }
}
