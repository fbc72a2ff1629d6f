//! One period on the limit cycle, measured: times, amplitudes, ledger.

use crate::dynamics::ledger::{Ledger, LedgerKeeper};
use crate::dynamics::observe::{Observer, Pallet, Unwatched};
use crate::dynamics::trace::Trace;

use super::clock::{Clock, Failure};

/// A measured period.
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
    /// Ledger of the period.
    pub ledger: Ledger,
    /// Pendulum's and wheel's energy gained over the period, J: zero on the cycle but for rounding.
    pub stored_gain_j: f64,
    /// Samples and ticks, if asked for.
    pub trace: Option<Trace>,
}

impl Measured {
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
        let (entry, exit) = (heaviest(Pallet::Entry)?, heaviest(Pallet::Exit)?);
        let to_exit = (exit - entry).rem_euclid(self.period_s);
        Some([to_exit, self.period_s - to_exit])
    }
}

/// Measures the period after a first one from `start_rad`, which brings the motion onto the cycle itself.
///
/// # Errors
/// [`Failure`] if the clock does not come round.
pub fn measure(clock: &Clock<'_>, start_rad: f64, samples_per_period: Option<usize>) -> Result<Measured, Failure> {
    let mut run = clock.let_go(start_rad).map_err(Failure::Stopped)?;
    let warm = run.period(&mut Unwatched)?;
    let began = run.clone();
    let mut keeper = LedgerKeeper::new(*clock.pendulum());
    let mut trace = samples_per_period.map(|count| Trace::new(warm.right_time_s / count.max(1) as f64));
    let period = match &mut trace {
        Some(trace) => run.period(&mut (&mut keeper, trace))?,
        None => run.period(&mut keeper)?,
    };
    let energy = |run: &super::clock::Run<'_>| {
        let (state, wheel_inertia) = match (run, clock) {
            (super::clock::Run::Contact(motion), Clock::Contact { drive, .. }) => (motion.state(), drive.inertia_kg_m2),
            (super::clock::Run::Contact(motion), Clock::Ideal { .. }) => (motion.state(), 0.0),
            (super::clock::Run::Ideal(motion), _) => (motion.state(), 0.0),
        };
        let pendulum = clock.pendulum();
        pendulum.potential_j(state.theta_rad)
            + 0.5 * pendulum.inertia_kg_m2 * state.omega_rad_s * state.omega_rad_s
            + 0.5 * wheel_inertia * state.nu_rad_s * state.nu_rad_s
    };
    let stored_gain_j = energy(&run) - energy(&began);
    Ok(Measured {
        period_s: period.right_time_s - warm.right_time_s,
        beat_s: [period.left_time_s - warm.right_time_s, period.right_time_s - period.left_time_s],
        right_rad: period.right_rad,
        left_rad: period.left_rad,
        ledger: keeper.ledger,
        stored_gain_j,
        trace,
    })
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
) -> Option<Failure> {
    let mut run = match clock.let_go(start_rad) {
        Ok(run) => run,
        Err(stop) => return Some(Failure::Stopped(stop)),
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
