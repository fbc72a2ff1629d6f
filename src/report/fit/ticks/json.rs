//! What the ticks of a clock say, as JSON.

use serde::Serialize;

use crate::clock::side::Side;
use crate::study::fit::Estimate;
use crate::study::fit::ticks::{Diagnosis, Explanation, NoWheelPattern, TickingKind, TicksFit, WheelFault};

use crate::report::fit::json::EstimateRecord;

use super::{TickSource, TicksView};

/// The findings.
#[derive(Debug, Clone, Serialize)]
pub struct TicksRecord {
    /// Ticks used.
    pub beats: usize,
    /// From the first to the last, s.
    pub span_s: f64,
    /// Full period.
    pub period_s: EstimateRecord,
    /// Rate, gaining is positive; null without a scenario whose train says what is right.
    pub rate_s_per_day: Option<f64>,
    /// Its standard deviation.
    pub rate_sigma_s_per_day: Option<f64>,
    /// Half the difference of the beats: that which begins with the first tick less the other.
    pub beat_error_ms: EstimateRecord,
    /// Turn of the pallets that sets the clock in beat; its sign has a meaning where `first_on` is known.
    pub pallets_deg: Option<EstimateRecord>,
    /// Deviation of each tooth, the mean of its two falls; empty where teeth are not told apart.
    pub per_tooth_ms: Vec<f64>,
    /// Deviation of every beat of a turn.
    pub per_beat_ms: Vec<EstimateRecord>,
    /// Why teeth are not told apart; null where they are.
    pub no_teeth: Option<&'static str>,
    /// What returns with the arbors above.
    pub by_arbor: Vec<ArborTicksRecord>,
    /// Standard deviation of single ticks.
    pub scatter_ms: f64,
    /// Whether the pace wanders beyond it.
    pub wanders: bool,
    /// Share of the beats that were heard.
    pub heard_share: f64,
    /// Typical loudness of the ticks over the noise; null for times from a table.
    pub loudness_db: Option<f64>,
    /// Times of ticks expected and not heard, s.
    pub missed_s: Vec<f64>,
    /// Times of second sounds in a beat, s.
    pub double_s: Vec<f64>,
    /// Times of ticks too far off to be used, s.
    pub left_out_s: Vec<f64>,
    /// Sounds that belong to no tick.
    pub other_sounds: usize,
    /// Even ticking beside the clock's.
    pub others: Vec<OtherTickingRecord>,
    /// The recording; null for a table.
    pub recording: Option<RecordingRecord>,
    /// What explains the beats of a turn; null without pattern or geometry.
    pub diagnosis: Option<WheelRecord>,
}

/// What returns with an arbor's turns.
#[derive(Debug, Clone, Serialize)]
pub struct ArborTicksRecord {
    /// Name.
    pub name: String,
    /// Time of a turn, s.
    pub turn_s: f64,
    /// How far the ticks come early and late; null where the record does not say.
    pub amplitude_ms: Option<f64>,
    /// Its standard deviation.
    pub sigma: Option<f64>,
}

/// Even ticking beside the clock's.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct OtherTickingRecord {
    /// Its beat, s.
    pub beat_s: f64,
    /// Ticks of its that were left out.
    pub ticks: usize,
    /// Ticks that fell together and were left out.
    pub together: usize,
    /// Whether it is surely another clock.
    pub another_clock: bool,
    /// Place after the tick of a sound in step with it; null for another clock.
    pub after_ms: Option<f64>,
}

/// A recording.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct RecordingRecord {
    /// Samples a second.
    pub samples_per_s: u32,
    /// Length, s.
    pub duration_s: f64,
    /// Damaged pieces, taken for silence.
    pub damaged: usize,
    /// Lower limit of the band in which the ticks were heard, Hz.
    pub heard_from_hz: f64,
    /// Upper limit, Hz; null: that of the recording.
    pub heard_to_hz: Option<f64>,
}

/// What the beats of a turn say of the wheel.
#[derive(Debug, Clone, Serialize)]
pub struct WheelRecord {
    /// Pallet of the first tick, "entry" or "exit"; null where it cannot be told.
    pub first_on: Option<&'static str>,
    /// The best explanation.
    pub best: ExplanationRecord,
    /// The best single fault of each kind.
    pub alone: Vec<ExplanationRecord>,
    /// Whether the motion was run with the faults, so that the sizes hold for large ones.
    pub run_with_faults: bool,
    /// Length of each tooth against the mean, if nothing but lengths were amiss.
    pub tooth_length_mm: Vec<EstimateRecord>,
}

/// Faults that explain the beats of a turn.
#[derive(Debug, Clone, Serialize)]
pub struct ExplanationRecord {
    /// The faults.
    pub faults: Vec<FaultRecord>,
    /// Share of the sum of squares that they explain.
    pub explained: f64,
}

/// A fault.
#[derive(Debug, Clone, Copy, Serialize)]
pub struct FaultRecord {
    /// "run_out", "short_tooth" (negative: long) or "tooth_behind" (negative: ahead).
    pub fault: &'static str,
    /// The tooth; for run-out the one that stands out furthest.
    pub tooth: u32,
    /// Its size; of run-out the eccentricity.
    pub mm: EstimateRecord,
}

impl FaultRecord {
    fn of(fault: &WheelFault) -> Self {
        let (fault, tooth, length_m) = match *fault {
            WheelFault::RunOut { eccentricity_m, high_tooth } => ("run_out", high_tooth, eccentricity_m),
            WheelFault::Short { tooth, by_m } => ("short_tooth", tooth, by_m),
            WheelFault::Behind { tooth, by_m } => ("tooth_behind", tooth, by_m),
        };
        Self { fault, tooth, mm: EstimateRecord::of(length_m, 1e3) }
    }
}

impl ExplanationRecord {
    fn of(explanation: &Explanation) -> Self {
        Self { faults: explanation.faults.iter().map(FaultRecord::of).collect(), explained: explanation.explained }
    }
}

impl WheelRecord {
    fn of(diagnosis: &Diagnosis) -> Self {
        Self {
            first_on: diagnosis.first_on.map(|side| if side == Side::Entry { "entry" } else { "exit" }),
            best: ExplanationRecord::of(&diagnosis.best),
            alone: diagnosis.alone.iter().map(ExplanationRecord::of).collect(),
            run_with_faults: diagnosis.run_with_faults,
            tooth_length_mm: diagnosis.lengths_m.iter().map(|&length_m| EstimateRecord::of(length_m, 1e3)).collect(),
        }
    }
}

impl TicksRecord {
    /// The record of a view.
    #[must_use]
    pub fn of(view: &TicksView<'_>) -> Self {
        let fit: &TicksFit = view.fit;
        let in_ms = |values: &[Estimate]| values.iter().map(|&value| EstimateRecord::of(value, 1e3)).collect();
        let pallets_rad = fit.diagnosis.as_ref().and_then(|diagnosis| diagnosis.pallets_rad);
        Self {
            beats: fit.deviations.len(),
            span_s: fit.span_s,
            period_s: EstimateRecord::of(fit.period_s, 1.0),
            rate_s_per_day: fit.rate_s_per_day.map(|rate| rate.value),
            rate_sigma_s_per_day: fit.rate_s_per_day.map(|rate| rate.sigma),
            beat_error_ms: EstimateRecord::of(fit.beat_error_s, 1e3),
            pallets_deg: pallets_rad.map(|angle| EstimateRecord::of(angle, 1_f64.to_degrees())),
            per_tooth_ms: fit.by_tooth_s().iter().map(|tooth| 1e3 * tooth.value).collect(),
            per_beat_ms: fit.by_beat_s.as_ref().map_or_else(|_| Vec::new(), |by_beat_s| in_ms(by_beat_s)),
            no_teeth: fit.by_beat_s.as_ref().err().map(|reason| match reason {
                NoWheelPattern::TeethUnknown => "teeth_unknown",
                NoWheelPattern::TooShort { .. } => "record_too_short",
            }),
            by_arbor: fit
                .arbors
                .iter()
                .map(|arbor| ArborTicksRecord {
                    name: arbor.name.clone(),
                    turn_s: arbor.turn_s,
                    amplitude_ms: arbor.amplitude_s.map(|amplitude| 1e3 * amplitude.value),
                    sigma: arbor.amplitude_s.map(|amplitude| 1e3 * amplitude.sigma),
                })
                .collect(),
            scatter_ms: 1e3 * fit.scatter_s,
            wanders: fit.wanders,
            heard_share: fit.heard_share(),
            loudness_db: fit.loudness.map(|loudness| 20.0 * loudness.max(1e-9).log10()),
            missed_s: fit.missed_s.clone(),
            double_s: fit.double_s.clone(),
            left_out_s: fit.left_out_s.clone(),
            other_sounds: fit.strays,
            others: fit
                .others
                .iter()
                .map(|other| {
                    let after_ms = match other.kind {
                        TickingKind::AnotherClock => None,
                        TickingKind::InStep { after_s } => Some(1e3 * after_s),
                    };
                    OtherTickingRecord {
                        beat_s: other.beat_s,
                        ticks: other.ticks,
                        together: other.together,
                        another_clock: after_ms.is_none(),
                        after_ms,
                    }
                })
                .collect(),
            recording: match view.source {
                TickSource::Table => None,
                TickSource::Sound { rate_hz, duration_s, damaged, band_hz: (from_hz, to_hz) } => {
                    Some(RecordingRecord {
                        samples_per_s: rate_hz,
                        duration_s,
                        damaged,
                        heard_from_hz: from_hz,
                        heard_to_hz: to_hz,
                    })
                }
            },
            diagnosis: fit.diagnosis.as_ref().map(WheelRecord::of),
        }
    }
}
