//! A ticking clock from the times of its ticks: period and rate, beat error, what returns with the escape wheel's turn and with every arbor
//! above it, and what is left.

mod beat_search;
mod diagnosis;
mod numbering;
#[cfg(feature = "sound")]
pub mod onsets;
mod pace;
mod responses;
mod wheel_faults;

use crate::clock::build::Built;
use crate::clock::design::Design;
use crate::clock::rate_s_per_day;
use crate::units::Kind;

use super::{Estimate, FittedValue};
use beat_search::{BEATS_S, LEAST_TICKS};
use diagnosis::Pattern;
use pace::{Pace, pace};

pub use diagnosis::{Diagnosis, Explanation, WheelFault};
pub use numbering::{NumberedTick, OtherTicking, TickingKind};
pub use pace::{ArborPattern, TickDeviation, TurningArbor};
pub use wheel_faults::{NoGeometry, TickingClock, TurnOfTicks, WheelFaults};

/// Turns of the escape wheel that a record must hold for its beats to be told from chance.
const LEAST_WHEEL_TURNS: f64 = 3.0;

/// Scatter, as a share of the beat, beyond which sounds within the windows are no ticks: those at random scatter by 0.035.
const MOST_SCATTER: f64 = 0.022;

/// A sound that may be a tick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HeardTick {
    /// Time, s.
    pub time_s: f64,
    /// Loudness above the noise, any unit; 1 for times without any.
    pub strength: f64,
}

/// Why the ticks give no answer.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum NoTicks {
    /// Hardly any sounds.
    #[error(
        "{heard} ticks are too few: at least {LEAST_TICKS} of one clock are needed, a few minutes of them for a rate"
    )]
    TooFew {
        /// Sounds heard.
        heard: usize,
    },
    /// No even pace among them.
    #[error(
        "no even ticking was found among {heard} sounds in {:.0} s: most beats of one clock (between {:.2} s and {:.0} s) must stand out \
         above speech and noise",
        span_s, BEATS_S.0, BEATS_S.1
    )]
    NoEvenPace {
        /// Sounds heard.
        heard: usize,
        /// Length of the record, s.
        span_s: f64,
    },
    /// A pace that is not the scenario's.
    #[error(
        "the ticks come every {found_s:.4} s, and the scenario's clock beats every {expected_s:.4} s: is it another clock?"
    )]
    AnotherBeat {
        /// Beat found, s.
        found_s: f64,
        /// The scenario's, s.
        expected_s: f64,
    },
}

/// What a scenario says of the clock that was heard.
#[derive(Debug, Clone)]
pub struct ExpectedClock {
    /// Teeth of the escape wheel; `None` for an ideal escapement.
    pub teeth: Option<u32>,
    /// Full period that train or steady swing ask for, s.
    pub period_s: Option<f64>,
    /// Full period that keeps time, s; `None` without a train that carries a minute hand.
    pub required_period_s: Option<f64>,
    /// Arbors above the escape arbor, from the drum on.
    pub arbors: Vec<TurningArbor>,
    /// The clock made ready for its wheel to be changed.
    pub ticking: Result<TickingClock, NoGeometry>,
}

impl ExpectedClock {
    /// The built clock of a scenario, whose pallets are turned on the pendulum by `beat_error_rad`.
    #[must_use]
    pub fn of(built: &Built, beat_error_rad: f64) -> Self {
        let teeth = built.outlines.as_ref().map(|outlines| outlines.teeth);
        let ticking = TickingClock::of(built, beat_error_rad);
        let required_period_s = built.train_period_s();
        let swung = || ticking.as_ref().ok()?.turn_with(&WheelFaults::default()).map(|turn| turn.period_s);
        let arbors = teeth.zip(built.train.as_ref()).map_or_else(Vec::new, |(teeth, train)| {
            let above = train.arbors.split_last().map_or(&[][..], |(_, above)| above);
            let turning = |arbor: &crate::clock::train::counts::ArborTurns| TurningArbor {
                name: arbor.name.clone(),
                turn_beats: 2.0 * f64::from(teeth) * arbor.escape_turns_per_turn,
            };
            above.iter().map(turning).collect()
        });
        Self { teeth, period_s: required_period_s.or_else(swung), required_period_s, arbors, ticking }
    }
}

/// Why the beats of a turn are not told apart.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum NoWheelPattern {
    /// The number of teeth is not known.
    TeethUnknown,
    /// The record holds too few turns.
    TooShort {
        /// Turns that it holds.
        turns: f64,
        /// One turn, s.
        turn_s: f64,
    },
}

/// What the ticks of a clock say.
#[derive(Debug, Clone, PartialEq)]
pub struct TicksFit {
    /// From the first tick used to the last, s.
    pub span_s: f64,
    /// Full period, s.
    pub period_s: Estimate,
    /// Rate, s/day, gaining is positive; `None` where no scenario says what is right.
    pub rate_s_per_day: Option<Estimate>,
    /// Half the difference of the beats, s: the beat that begins with the first tick less the other one.
    pub beat_error_s: Estimate,
    /// Standard deviation of single ticks about the pattern, s.
    pub scatter_s: f64,
    /// Whether the pace wanders beyond the scatter of single ticks; the period's deviation then follows from parts of the record.
    pub wanders: bool,
    /// Deviation of every beat of a turn of the escape wheel, s, or why there is none. The first is that of the first tick.
    pub by_beat_s: Result<Vec<Estimate>, NoWheelPattern>,
    /// What returns with the turns of the arbors above.
    pub arbors: Vec<ArborPattern>,
    /// Every tick used.
    pub deviations: Vec<TickDeviation>,
    /// Times at which ticks were expected and not heard, s.
    pub missed_s: Vec<f64>,
    /// Times of second sounds within a beat, s.
    pub double_s: Vec<f64>,
    /// Times of ticks too far from the pattern to be used, s.
    pub left_out_s: Vec<f64>,
    /// Sounds that belong to no tick.
    pub strays: usize,
    /// Typical strength of the ticks used; `None` where all are alike, as in a table of times.
    pub loudness: Option<f64>,
    /// Even ticking beside it in the same record.
    pub others: Vec<OtherTicking>,
    /// What the pattern says of the wheel; `None` without a pattern or a geometry.
    pub diagnosis: Option<Diagnosis>,
}

impl TicksFit {
    /// Share of the beats between the first tick and the last that were heard.
    #[must_use]
    pub fn heard_share(&self) -> f64 {
        let heard = (self.deviations.len() + self.left_out_s.len()) as f64;
        heard / (heard + self.missed_s.len() as f64).max(1.0)
    }

    /// Deviation of each tooth, s: of its falls on both pallets the mean. Empty without a pattern.
    ///
    /// The pallets embrace teeth that differ by less than a whole space, so a tooth falls on the second pallet an odd number of beats after the
    /// first; without the number of spaces the two falls are taken for neighbours.
    #[must_use]
    pub fn by_tooth_s(&self) -> Vec<Estimate> {
        let Ok(by_beat_s) = &self.by_beat_s else { return Vec::new() };
        let mean = |pair: &[Estimate]| {
            let count = pair.len() as f64;
            let value = pair.iter().map(|beat| beat.value).sum::<f64>() / count;
            let variance: f64 = pair.iter().map(|beat| beat.sigma * beat.sigma).sum();
            Estimate { value, sigma: variance.sqrt() / count }
        };
        by_beat_s.chunks(2).map(mean).collect()
    }
}

impl TicksFit {
    /// Values of the scenario that the ticks have settled: the run-out, and the pallets' angle on the pendulum where it is known which pallet
    /// ticked first. A wheel without run-out and a short tooth have no value there.
    #[must_use]
    pub fn fitted(&self, design: &Design) -> Vec<FittedValue> {
        let Some(found) = &self.diagnosis else { return Vec::new() };
        let run_out = found.best.faults.iter().find_map(|fault| match fault {
            WheelFault::RunOut { eccentricity_m, .. } => Some(*eccentricity_m),
            _ => None,
        });
        let run_out = run_out.map(|estimate| FittedValue {
            path: "printer.run_out".to_owned(),
            kind: Some(Kind::Length),
            estimate,
        });
        // The scenario has no spread for this angle.
        let off = |angle: &Estimate| found.first_on.is_some() && angle.value.abs() > 3.0 * angle.sigma;
        let pallets = found.from_scenario_rad.filter(off).map(|further| FittedValue {
            path: format!("escapement.{}.beat_error", design.escapement.form()),
            kind: Some(Kind::Angle),
            estimate: Estimate { value: design.escapement.beat_error_rad() + further.value, sigma: 0.0 },
        });
        run_out.into_iter().chain(pallets).collect()
    }
}

/// What the ticks of a clock say; times ascending.
///
/// # Errors
/// [`NoTicks`].
pub fn fit_ticks(heard: &[HeardTick], expected: Option<&ExpectedClock>) -> Result<TicksFit, NoTicks> {
    if heard.len() < LEAST_TICKS {
        return Err(NoTicks::TooFew { heard: heard.len() });
    }
    let span_s = heard.last().zip(heard.first()).map_or(0.0, |(last, first)| last.time_s - first.time_s);
    let no_pace = NoTicks::NoEvenPace { heard: heard.len(), span_s };
    let expected_beat_s = expected.and_then(|clock| clock.period_s).map(|period_s| 0.5 * period_s);
    let Some(numbered) = numbering::numbered(heard, expected_beat_s) else {
        let Some(expected_s) = expected_beat_s else { return Err(no_pace) };
        let found = numbering::numbered(heard, None).and_then(|other| pace(&other.ticks, 2, &[])).ok_or(no_pace)?;
        return Err(NoTicks::AnotherBeat { found_s: 0.5 * found.period_s.value, expected_s });
    };
    let beats = numbered.ticks.last().map_or(0.0, |tick| tick.beat as f64 + 1.0);
    let (arbors, teeth) = expected.map_or((&[][..], None), |clock| (&clock.arbors, clock.teeth));
    let sides_alone = pace(&numbered.ticks, 2, arbors).ok_or(no_pace)?;
    if sides_alone.scatter_s > MOST_SCATTER * 0.5 * sides_alone.period_s.value {
        return Err(no_pace);
    }
    let turn_beats = teeth.map(|teeth| 2 * teeth as usize);
    let (pace, pattern) = match turn_beats {
        None => (sides_alone, Err(NoWheelPattern::TeethUnknown)),
        Some(turn_beats) => {
            let turns = beats / turn_beats as f64;
            let turn_s = 0.5 * sides_alone.period_s.value * turn_beats as f64;
            let by_turn = (turns >= LEAST_WHEEL_TURNS).then(|| pace(&numbered.ticks, turn_beats, arbors)).flatten();
            match by_turn {
                Some(found) => (found, Ok(())),
                None => (sides_alone, Err(NoWheelPattern::TooShort { turns, turn_s })),
            }
        }
    };
    let Pace { period_s, beat_error_s, by_beat_s, arbors, scatter_s, wanders, deviations, left_out } = pace;
    let by_beat_s = pattern.map(|()| by_beat_s);
    let ticking = expected.and_then(|clock| clock.ticking.as_ref().ok());
    let diagnosis = ticking
        .zip(by_beat_s.as_ref().ok())
        .and_then(|(ticking, by_beat_s)| diagnosis::diagnosis(ticking, &Pattern { by_beat_s, beat_error_s }));
    let rate = expected.and_then(|clock| clock.required_period_s).map(|required_s| Estimate {
        value: rate_s_per_day(required_s, period_s.value),
        sigma: crate::clock::SECONDS_PER_DAY * period_s.sigma / period_s.value,
    });
    let strengths: Vec<f64> = numbered.ticks.iter().map(|tick| tick.strength).collect();
    let alike = strengths.iter().all(|strength| *strength == strengths[0]);
    Ok(TicksFit {
        loudness: (!alike).then(|| beat_search::median(strengths)),
        span_s: deviations.last().zip(deviations.first()).map_or(0.0, |(last, first)| last.time_s - first.time_s),
        period_s,
        rate_s_per_day: rate,
        beat_error_s,
        scatter_s,
        wanders,
        by_beat_s,
        arbors,
        deviations,
        missed_s: numbered.missed_s,
        double_s: numbered.double_s,
        left_out_s: left_out,
        strays: numbered.strays,
        others: numbered.others,
        diagnosis,
    })
}
