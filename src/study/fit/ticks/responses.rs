//! What unit faults of the wheel do to the beats of a turn, by differences of the motion itself.

use crate::clock::side::Side;

use super::wheel_faults::{TickingClock, WheelFaults};

/// Sizes of the fault with which the responses are probed, m, the next where the motion has no steady turn with the one before, and of the
/// turn of the pallets, rad.
const PROBES_M: [f64; 3] = [2e-5, 4.7e-5, 0.9e-5];
const PROBE_RAD: f64 = 1e-3;

/// A column of the fit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) enum FaultColumn {
    RunOut(usize),
    Short(u32),
    Behind(u32),
}

/// Responses of the ticks to unit faults, by beats of the model's turn.
#[derive(Debug, Clone)]
pub(super) struct Responses {
    pub teeth: usize,
    exit_tooth: i64,
    short: Vec<f64>,
    /// `None` where the model's clock does not run with such a tooth.
    behind: Option<Vec<f64>>,
    run_out: [Vec<f64>; 2],
    /// Beat error by the pallets' angle, s/rad, and at the scenario's own angle, s.
    pub beat_error: Option<(f64, f64)>,
}

impl Responses {
    pub fn of(clock: &TickingClock) -> Option<Self> {
        let even = clock.turn_with(&WheelFaults::default())?;
        // Differences about the even wheel, so that what is of second order drops out.
        let response = |faults: &dyn Fn(f64) -> WheelFaults| {
            PROBES_M.into_iter().find_map(|probe_m| {
                let (more, less) = (clock.turn_with(&faults(probe_m))?, clock.turn_with(&faults(-probe_m))?);
                let by_beat = more.by_beat_s.iter().zip(&less.by_beat_s);
                Some(by_beat.map(|(more, less)| (more - less) / (2.0 * probe_m)).collect::<Vec<_>>())
            })
        };
        let turned = |further_rad| clock.turn_with_pallets_at(further_rad).map(|turn| turn.beat_error_s);
        let beat_error = turned(PROBE_RAD)
            .zip(turned(-PROBE_RAD))
            .map(|(more_s, less_s)| ((more_s - less_s) / (2.0 * PROBE_RAD), even.beat_error_s))
            .filter(|(by_angle, _)| by_angle.abs() > 0.0);
        let run_out = |along: f64, across: f64| {
            response(&|size| WheelFaults { run_out_m: [along * size, across * size], ..WheelFaults::default() })
        };
        Some(Self {
            teeth: clock.teeth() as usize,
            exit_tooth: clock.exit_tooth(),
            short: response(&|size| WheelFaults { short_m: vec![(0, size)], ..WheelFaults::default() })?,
            behind: response(&|size| WheelFaults { behind_m: vec![(0, size)], ..WheelFaults::default() }),
            run_out: [run_out(1.0, 0.0)?, run_out(0.0, 1.0)?],
            beat_error,
        })
    }

    /// Beat of the model's turn that was heard as the first, if tooth no. 0 was heard first, on that pallet.
    pub fn shift(&self, first_on: Side) -> i64 {
        match first_on {
            Side::Entry => 0,
            // Tooth `exit_tooth` falls on the exit pallet in beat 1, tooth no. 0 so many periods later.
            Side::Exit => 1 - 2 * self.exit_tooth,
        }
    }

    /// What is heard of a unit of the fault; `None` where the model has no answer to it.
    pub fn heard(&self, column: FaultColumn, first_on: Side) -> Option<Vec<f64>> {
        let (response, tooth) = match column {
            FaultColumn::RunOut(part) => (&self.run_out[part], 0),
            FaultColumn::Short(tooth) => (&self.short, tooth),
            FaultColumn::Behind(tooth) => (self.behind.as_ref()?, tooth),
        };
        let offset = self.shift(first_on) - 2 * i64::from(tooth);
        Some(turned_by(response, offset))
    }
}

/// Values of a turn, begun `offset` beats later.
pub(super) fn turned_by(values: &[f64], offset: i64) -> Vec<f64> {
    let count = values.len() as i64;
    (0..count).map(|beat| values[(beat + offset).rem_euclid(count) as usize]).collect()
}
