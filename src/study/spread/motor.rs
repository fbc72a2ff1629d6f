//! Many copies of a clock driven by a motor: how many keep time, how far their rates lie apart, and which cause does it.

use crate::answers::motor::{predict_motor, torques};
use crate::clock::design::{MotorClock, TemperatureCurve};
use crate::clock::motor::error::MotorError;
use crate::clock::motor::rate::rate_s_per_day;
use crate::clock::motor::ratio::pulse_ratio;
use crate::clock::printing::printer::Spread;
use crate::numerics::indices::{Block, IntervalEstimate, SobolIndex, sobol_indices};
use crate::numerics::intervals::{quantile, wilson};
use crate::study::jobs::{Watch, each};

use super::frictions::{FrictionInput, friction_inputs};
use super::inputs::{STATED_AS, cut_normal};
use super::plan::{Draw, drawn_shares, place};

/// Shares of the copies at which rate and reserve are told.
pub const PERCENTILES: [f64; 3] = [0.05, 0.5, 0.95];

/// What differs from copy to copy.
#[derive(Debug, Clone, PartialEq)]
pub enum MotorVariation {
    /// Offset of the oscillator as bought.
    Tolerance,
    /// Its ageing.
    Ageing,
    /// Temperature of the turning point of its curve.
    Turnover,
    /// Coefficient of its curve.
    Curvature,
    /// Offset within the band that its temperature leaves.
    Band,
    /// The room's temperature.
    Room,
    /// Frictions of hands and train.
    Friction(FrictionInput),
}

impl MotorVariation {
    const OF_THE_OSCILLATOR: [Self; 6] =
        [Self::Tolerance, Self::Ageing, Self::Turnover, Self::Curvature, Self::Band, Self::Room];

    /// Its path in the scenario, or the name by which several frictions go.
    #[must_use]
    pub fn path(&self) -> &str {
        match self {
            Self::Tolerance => "oscillator.tolerance",
            Self::Ageing => "oscillator.ageing",
            Self::Turnover => "oscillator.turnover",
            Self::Curvature => "oscillator.curvature",
            Self::Band => "oscillator.temperature_tolerance",
            Self::Room => "oscillator.room_swing",
            Self::Friction(friction) => {
                friction.named.or(friction.paths.first().map(String::as_str)).unwrap_or_default()
            }
        }
    }

    fn spread(&self, clock: &MotorClock) -> Spread {
        let oscillator = &clock.oscillator;
        let parabola = match oscillator.temperature {
            TemperatureCurve::Parabola { turnover_c, per_k2 } => Some((turnover_c, per_k2)),
            _ => None,
        };
        match self {
            Self::Tolerance => oscillator.tolerance,
            Self::Ageing => oscillator.ageing_per_year,
            Self::Turnover => parabola.map_or(Spread::of(0.0), |(turnover_c, _)| turnover_c),
            Self::Curvature => parabola.map_or(Spread::of(0.0), |(_, per_k2)| per_k2),
            Self::Band => match oscillator.temperature {
                TemperatureCurve::Band(spread) => Spread { spread, ..Spread::of(0.0) },
                _ => Spread::of(0.0),
            },
            // A room moves nothing where the temperature has no effect.
            Self::Room if parabola.is_none() => Spread::of(clock.place.temperature_c),
            Self::Room => Spread { spread: oscillator.room_swing_k, ..Spread::of(clock.place.temperature_c) },
            Self::Friction(friction) => {
                Spread { value: friction.mean, spread: STATED_AS * friction.deviation, ..Spread::of(0.0) }
            }
        }
    }

    const fn least(&self) -> f64 {
        match self {
            Self::Friction(_) => 0.0,
            _ => f64::NEG_INFINITY,
        }
    }

    /// Gives a copy its own value.
    fn set(&self, clock: &mut MotorClock, value: f64) {
        if let Self::Friction(friction) = self {
            friction.set(&mut clock.frictions_mut(), value);
            return;
        }
        let oscillator = &mut clock.oscillator;
        match (self, &mut oscillator.temperature) {
            (Self::Tolerance, _) => oscillator.tolerance.value = value,
            (Self::Ageing, _) => oscillator.ageing_per_year.value = value,
            (Self::Turnover, TemperatureCurve::Parabola { turnover_c, .. }) => turnover_c.value = value,
            (Self::Curvature, TemperatureCurve::Parabola { per_k2, .. }) => per_k2.value = value,
            // An offset by the temperature is one more offset of the copy; tolerance comes before it.
            (Self::Band, _) => oscillator.tolerance.value += value,
            (Self::Room, _) => clock.place.temperature_c = value,
            (Self::Turnover | Self::Curvature | Self::Friction(_), _) => {}
        }
    }
}

/// The causes that have a spread in a scenario, in a fixed order.
#[must_use]
pub fn causes(clock: &MotorClock) -> Vec<MotorVariation> {
    let of_the_oscillator =
        MotorVariation::OF_THE_OSCILLATOR.into_iter().filter(|cause| cause.spread(clock).spread > 0.0);
    of_the_oscillator.chain(friction_inputs(&clock.frictions()).into_iter().map(MotorVariation::Friction)).collect()
}

/// One copy.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorCopy {
    /// Its number, from 1.
    pub number: u32,
    /// Values drawn, SI, years and degrees Celsius, in the order of the causes.
    pub drawn: Vec<f64>,
    /// Rate in its room, s/day.
    pub rate_s_per_day: f64,
    /// Torque available over the largest asked; infinite where none is.
    pub reserve: f64,
    /// Whether it keeps going.
    pub keeps_going: bool,
}

/// Copies no. 1 to `count` in their order; those not begun when `watch` stops are missing.
///
/// # Errors
/// [`MotorError`] of the scenario's own clock; its copies differ in nothing that could make another.
pub fn motor_copies(
    clock: &MotorClock,
    count: u32,
    seed: u32,
    watch: &dyn Watch,
) -> Result<Vec<MotorCopy>, MotorError> {
    predict_motor(clock)?;
    let causes = causes(clock);
    let numbers: Vec<u32> = (1..=count).collect();
    let copies = each(&numbers, "copies", watch, |&number| motor_copy(clock, &causes, number, seed));
    copies.into_iter().flatten().collect()
}

fn motor_copy(clock: &MotorClock, causes: &[MotorVariation], number: u32, seed: u32) -> Result<MotorCopy, MotorError> {
    let mut copy = clock.clone();
    let mut drawn = Vec::new();
    for (cause, share) in causes.iter().zip(drawn_shares(causes.len(), number, seed)) {
        let spread = cause.spread(clock);
        let value = cut_normal(share, spread.value, spread.spread / STATED_AS, cause.least());
        cause.set(&mut copy, value);
        drawn.push(value);
    }
    let (temperature_c, age_years) = (copy.place.temperature_c, copy.oscillator.age_years);
    let ratio = pulse_ratio(&copy)?;
    let rate = rate_s_per_day(&copy.oscillator, &ratio, temperature_c, age_years);
    let torques = torques(&copy, &ratio)?;
    Ok(MotorCopy {
        number,
        drawn,
        rate_s_per_day: rate,
        reserve: torques.reserve().unwrap_or(f64::INFINITY),
        keeps_going: torques.reason().is_none(),
    })
}

/// What the copies come to. Shares and percentiles are those of the copies drawn by themselves.
#[derive(Debug, Clone, PartialEq)]
pub struct MotorStatistics {
    /// Copies that count in shares and percentiles.
    pub counted: usize,
    /// Share that keeps going.
    pub going: IntervalEstimate,
    /// Rate of those that keep going at [`PERCENTILES`], s/day; `None` where none does.
    pub rate_s_per_day: Option<[f64; 3]>,
    /// Reserve of torque at [`PERCENTILES`]; infinite where nothing is asked.
    pub reserve: [f64; 3],
    /// What explains the rate, in the order of the causes; `None` with too few copies.
    pub explained: Option<Vec<SobolIndex>>,
}

/// The statistics of some copies; `None` of no copy that counts.
#[must_use]
pub fn motor_statistics(causes: &[MotorVariation], copies: &[MotorCopy], seed: u32) -> Option<MotorStatistics> {
    let counted: Vec<&MotorCopy> = copies.iter().filter(|copy| place(copy.number, causes.len()).1.counts()).collect();
    let percentiles = |mut values: Vec<f64>| {
        values.sort_by(f64::total_cmp);
        let mut found = [0.0; 3];
        for (place, share) in found.iter_mut().zip(PERCENTILES) {
            *place = quantile(&values, share)?;
        }
        Some(found)
    };
    Some(MotorStatistics {
        counted: counted.len(),
        going: wilson(counted.iter().filter(|copy| copy.keeps_going).count(), counted.len())?,
        rate_s_per_day: percentiles(
            counted.iter().filter(|copy| copy.keeps_going).map(|copy| copy.rate_s_per_day).collect(),
        ),
        reserve: percentiles(counted.iter().map(|copy| copy.reserve).collect())?,
        explained: sobol_indices(&blocks(causes.len(), copies), seed),
    })
}

/// The complete blocks among the copies.
fn blocks(causes: usize, copies: &[MotorCopy]) -> Vec<Block> {
    let starts = copies.iter().enumerate().filter(|(_, copy)| place(copy.number, causes).1 == Draw::First);
    starts
        .filter_map(|(index, first)| {
            let members = copies.get(index..index + causes + 2)?;
            let whole = members.last().is_some_and(|last| last.number == first.number + causes as u32 + 1);
            let rates: Vec<f64> = members.iter().map(|copy| copy.rate_s_per_day).collect();
            whole.then(|| Block { first: rates[0], second: rates[1], swapped: rates[2..].to_vec() })
        })
        .collect()
}
