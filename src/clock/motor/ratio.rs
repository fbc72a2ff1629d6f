//! Whether pulses and tooth counts turn the minute hand exactly once an hour, in whole numbers.

use num_rational::Ratio;
use num_traits::CheckedMul;

use crate::clock::design::{MotorClock, Oscillator, Train};
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};

/// Parts of a hertz to which a frequency counts.
const PARTS_OF_A_HERTZ: f64 = 1e6;

/// Fewest teeth that a count is changed to: fewer are seldom cut or printed.
const FEWEST_TEETH: u32 = 6;

/// Largest sum of changes of tooth counts that is looked through.
const LARGEST_CHANGE: u32 = 16;

/// Most tooth counts that are tried for the sake of an answer in a moment.
const MOST_TRIED: u32 = 2_000_000;

/// Most exact trains that are told.
const MOST_TOLD: usize = 3;

/// Why counts come to no ratio.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum RatioError {
    /// A factor of 0, or a product of more than 38 digits.
    #[error("the product of the tooth counts and steps is 0 or too large")]
    OutOfRange,
}

/// A train that would be exact.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct ExactTrain {
    /// Pairs (wheel, pinion) from the minute hand's arbor to the motor's.
    pub pairs: Vec<(u32, u32)>,
    /// Sum of the changes of all counts.
    pub changed: u32,
}

/// How pulses turn the minute hand.
#[derive(Debug, Clone, PartialEq)]
pub struct PulseRatio {
    /// Pulses given in an hour, at the nominal frequency.
    pub pulses_per_hour: Ratio<u128>,
    /// Pulses for a turn of the minute hand.
    pub pulses_per_turn: Ratio<u128>,
    /// Turns of the motor's output for one of the minute hand.
    pub output_turns_per_turn: Ratio<u128>,
    /// Turns of the rotor for one of its output.
    pub inner_ratio: Ratio<u128>,
}

impl PulseRatio {
    /// Whether the minute hand turns once an hour exactly.
    #[must_use]
    pub fn is_exact(&self) -> bool {
        self.pulses_per_hour == self.pulses_per_turn
    }

    /// Rate by the counts alone, s/day, positive gains: `86400 (pulses given/pulses needed - 1)`, the difference taken in whole
    /// numbers.
    #[must_use]
    pub fn drift_s_per_day(&self) -> f64 {
        let (given, needed) = (self.pulses_per_hour, self.pulses_per_turn);
        let difference = if given >= needed { value(given - needed) } else { -value(needed - given) };
        SECONDS_PER_DAY * difference / value(needed)
    }

    /// Pulses a second.
    #[must_use]
    pub fn pulse_rate_hz(&self) -> f64 {
        value(self.pulses_per_hour) / SECONDS_PER_HOUR
    }

    /// Time by which one step moves the minute hand, s on the dial.
    #[must_use]
    pub fn step_on_dial_s(&self) -> f64 {
        SECONDS_PER_HOUR / value(self.pulses_per_turn)
    }
}

/// The ratio as a number.
#[must_use]
pub fn value(ratio: Ratio<u128>) -> f64 {
    *ratio.numer() as f64 / *ratio.denom() as f64
}

/// The pulse ratio of a clock.
///
/// Pulses needed = steps of a rotor's turn times the driven over the driving teeth inside the motor times the wheels over the
/// pinions of the train; pulses given = 3600 s times frequency over divider.
///
/// # Errors
/// [`RatioError`].
pub fn pulse_ratio(clock: &MotorClock) -> Result<PulseRatio, RatioError> {
    let inner = clock.motor.gears.iter().map(|&(driver, driven)| (driven, driver));
    let inner_ratio = product(Ratio::from_integer(1), inner)?;
    let output_turns_per_turn = product(Ratio::from_integer(1), pairs_behind_minute_hand(&clock.train).into_iter())?;
    let steps = Ratio::from_integer(u128::from(clock.motor.steps_per_turn));
    let pulses_per_turn = times(times(steps, inner_ratio)?, output_turns_per_turn)?;
    if *pulses_per_turn.numer() == 0 {
        return Err(RatioError::OutOfRange);
    }
    Ok(PulseRatio {
        pulses_per_hour: pulses_per_hour(&clock.oscillator)?,
        pulses_per_turn,
        output_turns_per_turn,
        inner_ratio,
    })
}

/// Pairs (wheel, pinion) from the minute hand's arbor to the motor's.
#[must_use]
pub fn pairs_behind_minute_hand(train: &Train) -> Vec<(u32, u32)> {
    let first = train.minute_arbor.unwrap_or(0);
    let arbors = train.arbors.iter().skip(first);
    arbors
        .clone()
        .zip(arbors.skip(1))
        .filter_map(|(slow, fast)| Some((slow.wheel_teeth?, fast.pinion_teeth?)))
        .collect()
}

fn pulses_per_hour(oscillator: &Oscillator) -> Result<Ratio<u128>, RatioError> {
    let parts = (oscillator.frequency_hz * PARTS_OF_A_HERTZ).round();
    // Whole numbers up to 2^53 are exact in a double; beyond them a frequency is none.
    if !(1.0..=9e15).contains(&parts) || oscillator.divider == 0 {
        return Err(RatioError::OutOfRange);
    }
    let frequency = Ratio::new(parts as u128, PARTS_OF_A_HERTZ as u128);
    times(frequency, Ratio::new(SECONDS_PER_HOUR as u128, u128::from(oscillator.divider)))
}

fn times(a: Ratio<u128>, b: Ratio<u128>) -> Result<Ratio<u128>, RatioError> {
    a.checked_mul(&b).ok_or(RatioError::OutOfRange)
}

fn product(start: Ratio<u128>, pairs: impl Iterator<Item = (u32, u32)>) -> Result<Ratio<u128>, RatioError> {
    let mut ratio = start;
    for (above, below) in pairs {
        if below == 0 {
            return Err(RatioError::OutOfRange);
        }
        ratio = times(ratio, Ratio::new(u128::from(above), u128::from(below)))?;
    }
    Ok(ratio)
}

/// The trains nearest to the clock's own by which the minute hand would turn exactly once an hour, at most three, all with the
/// same least sum of changes; empty where there is none within a change of 16 teeth, or within two million trials.
#[must_use]
pub fn nearest_exact_trains(clock: &MotorClock, ratio: &PulseRatio) -> Vec<ExactTrain> {
    let pairs = pairs_behind_minute_hand(&clock.train);
    let steps = Ratio::from_integer(u128::from(clock.motor.steps_per_turn));
    let Ok(steps_per_output_turn) = times(steps, ratio.inner_ratio) else { return Vec::new() };
    if *steps_per_output_turn.numer() == 0 || pairs.is_empty() {
        return Vec::new();
    }
    let Ok(wanted) = times(ratio.pulses_per_hour, steps_per_output_turn.recip()) else { return Vec::new() };
    let counts: Vec<u32> = pairs.iter().flat_map(|&(wheel, pinion)| [wheel, pinion]).collect();
    let mut search = RatioSearch { own: &counts, wanted, tried: 0, found: Vec::new(), counts: counts.clone() };
    for changed in 1..=LARGEST_CHANGE {
        search.vary(0, changed);
        if !search.found.is_empty() || search.tried >= MOST_TRIED {
            break;
        }
    }
    search.found.truncate(MOST_TOLD);
    search.found
}

/// The divider by which the clock's own train would be exact; `None` where it is no whole number.
#[must_use]
pub fn exact_divider(clock: &MotorClock, ratio: &PulseRatio) -> Option<u128> {
    let undivided = times(ratio.pulses_per_hour, Ratio::from_integer(u128::from(clock.oscillator.divider))).ok()?;
    let divider = times(undivided, ratio.pulses_per_turn.recip()).ok()?;
    (*divider.denom() == 1 && *divider.numer() > 0).then(|| *divider.numer())
}

/// Looks through tooth counts in the order of their distance from the clock's own.
struct RatioSearch<'c> {
    own: &'c [u32],
    /// Product of wheels over pinions.
    wanted: Ratio<u128>,
    tried: u32,
    found: Vec<ExactTrain>,
    counts: Vec<u32>,
}

impl RatioSearch<'_> {
    /// Varies the counts from `index` on by `left` in all.
    fn vary(&mut self, index: usize, left: u32) {
        if self.tried >= MOST_TRIED || self.found.len() >= MOST_TOLD {
            return;
        }
        let Some(&own) = self.own.get(index) else { return };
        let is_last = index + 1 == self.own.len();
        for change in if is_last { left..=left } else { 0..=left } {
            let more = own.checked_add(change);
            let fewer = own.checked_sub(change).filter(|&count| change > 0 && count >= FEWEST_TEETH.min(own));
            for count in [more, fewer].into_iter().flatten().filter(|&count| count > 0) {
                if let Some(place) = self.counts.get_mut(index) {
                    *place = count;
                }
                if is_last { self.try_counts() } else { self.vary(index + 1, left - change) }
            }
        }
        if let Some(place) = self.counts.get_mut(index) {
            *place = own;
        }
    }

    fn try_counts(&mut self) {
        self.tried += 1;
        let product = |first: usize, start: u128| {
            let counts = self.counts.iter().skip(first).step_by(2);
            counts.copied().map(u128::from).try_fold(start, u128::checked_mul)
        };
        let (wheels, pinions) = (product(0, *self.wanted.denom()), product(1, *self.wanted.numer()));
        if wheels.is_some() && wheels == pinions && self.found.len() < MOST_TOLD {
            let changed = self.own.iter().zip(&self.counts).map(|(own, count)| own.abs_diff(*count)).sum();
            let pairs = self.counts.chunks_exact(2).map(|pair| (pair[0], pair[1])).collect();
            self.found.push(ExactTrain { pairs, changed });
        }
    }
}
