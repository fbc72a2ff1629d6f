//! One period on the limit cycle, measured: times, amplitudes, ledger.

use crate::clock::side::PerPallet;
use crate::dynamics::ledger::{Ledger, LedgerKeeper};
use crate::dynamics::observe::{Observer, Unobserved};
use crate::dynamics::trace::Trace;
use crate::numerics::extremes::extremes;

use super::return_map::{Clock, PeriodFailure, RunningClock};

/// Least and largest over one turn of a wheel whose teeth differ, or over the periods of a swing that does not settle.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct TurnExtremes {
    /// Right amplitude, rad.
    pub right_rad: (f64, f64),
    /// Left amplitude, rad.
    pub left_rad: (f64, f64),
    /// Left beat, s.
    pub left_beat_s: (f64, f64),
    /// Right beat, s.
    pub right_beat_s: (f64, f64),
    /// Full period, s.
    pub period_s: (f64, f64),
}

/// A measured period; for a wheel whose teeth differ the mean one of a whole turn.
#[derive(Debug, Clone)]
pub struct Measured {
    /// Full period, s.
    pub period_s: f64,
    /// Left beat (right to left turning point) and right beat, s.
    pub beat_s: [f64; 2],
    /// Amplitude on the right, rad.
    pub right_rad: f64,
    /// Amplitude on the left, rad.
    pub left_rad: f64,
    /// Extremes over a turn of the wheel or a wandering; `None` where all teeth are alike and the swing is steady.
    pub turn: Option<TurnExtremes>,
    /// Ledger of the period (the mean one of a turn).
    pub ledger: Ledger,
    /// Pendulum's and wheel's energy gained over the period, J: zero on the cycle but for rounding.
    pub stored_gain_j: f64,
    /// Samples and ticks, if asked for.
    pub trace: Option<Trace>,
}

impl Measured {
    /// Semi-arc, mean of both sides, rad.
    #[must_use]
    pub fn semi_arc_rad(&self) -> f64 {
        0.5 * (self.right_rad + self.left_rad)
    }

    /// Times from the fall on the entry pallet to that on the exit pallet and on to the next on the entry pallet, s; `None`
    /// without a trace or where a pallet is not struck in the locking part. The heaviest blow on each pallet is the tick.
    #[must_use]
    pub fn tick_intervals_s(&self) -> Option<[f64; 2]> {
        let ticks = &self.trace.as_ref()?.ticks;
        let heaviest = |pallet| {
            ticks
                .iter()
                .filter(|tick| tick.pallet == pallet)
                .max_by(|a, b| a.loss_j.total_cmp(&b.loss_j))
                .map(|tick| tick.time_s)
        };
        let PerPallet { entry, exit } = PerPallet::from_fn(heaviest).both()?;
        let to_exit = (exit - entry).rem_euclid(self.period_s);
        Some([to_exit, self.period_s - to_exit])
    }
}

/// Measures the period (the turn of a wheel whose teeth differ) after a first one from `start_rad`, which brings the motion
/// onto the cycle itself.
///
/// # Errors
/// [`PeriodFailure`] if the clock does not come round.
pub fn measure(
    clock: &Clock<'_>,
    start_rad: f64,
    samples_per_period: Option<usize>,
) -> Result<Measured, PeriodFailure> {
    measure_returns(clock, start_rad, 1, samples_per_period)
}

/// The same over several `returns` instead of one, after as many before: what a swing that does not settle comes to on the mean.
///
/// # Errors
/// As [`measure`].
pub(super) fn measure_returns(
    clock: &Clock<'_>,
    start_rad: f64,
    returns: usize,
    samples_per_period: Option<usize>,
) -> Result<Measured, PeriodFailure> {
    let count = returns.max(1) * clock.periods_per_return();
    let mut run = clock.let_go(0, start_rad).map_err(PeriodFailure::Stopped)?;
    let mut warm = run.period(&mut Unobserved)?;
    for _ in 1..count {
        warm = run.period(&mut Unobserved)?;
    }
    let energy_before = energy_j(clock, &run);
    let mut keeper = LedgerKeeper::new(*clock.pendulum());
    let spacing_s = warm.right_time_s / (count * samples_per_period.unwrap_or(1).max(1)) as f64;
    let mut trace = samples_per_period.map(|_| Trace::new(spacing_s));
    let mut began_s = warm.right_time_s;
    let mut periods = Vec::with_capacity(count);
    for number in 0..count {
        let period = match &mut trace {
            Some(trace) if number == 0 => run.period(&mut (&mut keeper, trace))?,
            _ => run.period(&mut keeper)?,
        };
        periods.push(OneSwing {
            right_rad: period.right_rad,
            left_rad: period.left_rad,
            left_beat_s: period.left_time_s - began_s,
            right_beat_s: period.right_time_s - period.left_time_s,
        });
        began_s = period.right_time_s;
    }
    let share = 1.0 / count as f64;
    let mean = |of: fn(&OneSwing) -> f64| share * periods.iter().map(of).sum::<f64>();
    let extremes = |of: fn(&OneSwing) -> f64| extremes(periods.iter().map(of));
    Ok(Measured {
        period_s: share * (began_s - warm.right_time_s),
        beat_s: [mean(|swing| swing.left_beat_s), mean(|swing| swing.right_beat_s)],
        right_rad: mean(|swing| swing.right_rad),
        left_rad: mean(|swing| swing.left_rad),
        turn: (count > 1).then(|| TurnExtremes {
            right_rad: extremes(|swing| swing.right_rad),
            left_rad: extremes(|swing| swing.left_rad),
            left_beat_s: extremes(|swing| swing.left_beat_s),
            right_beat_s: extremes(|swing| swing.right_beat_s),
            period_s: extremes(|swing| swing.left_beat_s + swing.right_beat_s),
        }),
        ledger: keeper.ledger.scaled(share),
        stored_gain_j: share * (energy_j(clock, &run) - energy_before),
        trace,
    })
}

/// One swing out and back.
struct OneSwing {
    right_rad: f64,
    left_rad: f64,
    left_beat_s: f64,
    right_beat_s: f64,
}

/// Energy of pendulum and wheel, J.
fn energy_j(clock: &Clock<'_>, run: &RunningClock<'_>) -> f64 {
    let (state, wheel_inertia) = match (run, clock) {
        (RunningClock::Contact(motion), Clock::Contact { drive, .. }) => (motion.state(), drive.inertia_kg_m2),
        (RunningClock::Contact(motion), Clock::Ideal { .. }) => (motion.state(), 0.0),
        (RunningClock::Ideal(motion), _) => (motion.state(), 0.0),
    };
    let pendulum = clock.pendulum();
    pendulum.potential_j(state.theta_rad)
        + 0.5 * pendulum.inertia_kg_m2 * state.omega_rad_s * state.omega_rad_s
        + 0.5 * wheel_inertia * state.nu_rad_s * state.nu_rad_s
}

/// One line of a long run: a completed period.
#[derive(Debug, Clone, Copy, PartialEq, serde::Serialize)]
pub struct PeriodRecord {
    /// Time at its end, s.
    pub time_s: f64,
    /// Right amplitude at its end, rad.
    pub right_rad: f64,
    /// Left amplitude within it, rad.
    pub left_rad: f64,
}

/// Runs on from `start_rad` period by period for `duration_s`; gives every period to `record` and the failure that ended
/// it early, if any. `observer` sees the whole motion.
pub fn run_long(
    clock: &Clock<'_>,
    start_rad: f64,
    duration_s: f64,
    observer: &mut impl Observer,
    mut record: impl FnMut(PeriodRecord),
) -> Option<PeriodFailure> {
    if clock.sticks() {
        return Some(PeriodFailure::TrainSticks);
    }
    let mut run = match clock.let_go(0, start_rad) {
        Ok(run) => run,
        Err(stop) => return Some(PeriodFailure::Stopped(stop)),
    };
    loop {
        match run.period(observer) {
            Ok(period) => {
                record(PeriodRecord {
                    time_s: period.right_time_s,
                    right_rad: period.right_rad,
                    left_rad: period.left_rad,
                });
                if period.right_time_s >= duration_s {
                    return None;
                }
            }
            Err(failure) => return Some(failure),
        }
    }
}
