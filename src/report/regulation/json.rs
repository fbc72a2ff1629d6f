//! Bringing to time, beat and swing, under its keys.

use serde::Serialize;

use crate::answers::regulation::Regulation;
use crate::clock::SECONDS_PER_DAY;

/// How a clock is brought to time and into beat; `null` where a key has no meaning for the scenario or the clock stops.
#[derive(Debug, Clone, Copy, Default, PartialEq, Serialize)]
pub struct RegulationRecord {
    /// Turns of the rating nut that bring the clock to time, positive raises the bob.
    pub nut_turns_to_time: Option<f64>,
    /// The same as a way, positive up.
    pub nut_way_to_time_mm: Option<f64>,
    /// Half of the time from the entry tick to the exit tick less the time back.
    pub beat_error_ms: Option<f64>,
    /// Angle of the pallets against the pendulum that sets the beat right, positive to the right below the axis.
    pub beat_crutch_deg: Option<f64>,
    /// The same at the end of the crutch.
    pub beat_crutch_mm: Option<f64>,
    /// Periods until the swing is within 1 % of its limit.
    pub settling_periods: Option<f64>,
    /// The same in days.
    pub settling_days: Option<f64>,
}

impl RegulationRecord {
    /// The keys of a regulation.
    #[must_use]
    pub fn of(regulation: &Regulation) -> Self {
        let Regulation { nut, beat, settling } = *regulation;
        Self {
            nut_turns_to_time: nut.map(|nut| nut.turns),
            nut_way_to_time_mm: nut.map(|nut| 1e3 * nut.up_m),
            beat_error_ms: beat.map(|beat| 1e3 * beat.error_s),
            beat_crutch_deg: beat.and_then(|beat| beat.crutch_rad).map(f64::to_degrees),
            beat_crutch_mm: beat.and_then(|beat| beat.crutch_m).map(|way| 1e3 * way),
            settling_periods: settling.map(|settling| settling.periods),
            settling_days: settling.map(|settling| settling.time_s / SECONDS_PER_DAY),
        }
    }
}
