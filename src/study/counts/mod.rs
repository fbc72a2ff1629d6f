//! Tooth counts for a wish: every train that gives a beat and turns the minute hand once an hour, exact in whole numbers.
//!
//! The train from the minute hand's arbor to the escape wheel, the train from the great wheel to the minute hand's arbor, and the motion
//! work know nothing of each other: any of one goes with any of the others, so that each is counted and ranked on its own.

mod factored;
mod great;
mod kept;
mod motion;
mod nearest;
mod rank;
mod within;

use num_rational::Ratio;
use num_traits::{CheckedDiv, CheckedMul};

use crate::clock::SECONDS_PER_HOUR;

pub use great::{DrumForRun, FallForRun, GreatAsk, GreatTrain};
pub use motion::MotionPair;
pub use nearest::{NearestBeat, simplest_beat};
pub use rank::{CountsRank, RankedGears, ToothAction};

use kept::Kept;
use rank::Measures;

/// Seconds in an hour over two beats a period.
const BEATS_PER_HOUR_AND_TOOTH: u128 = SECONDS_PER_HOUR as u128 / 2;

/// Most teeth of a wheel that are looked through: products of six such counts are whole numbers of 64 bits.
pub const MOST_COUNTED_TEETH: u32 = 1000;

/// Most meshes of one part of the train.
pub const MOST_MESHES: u32 = 6;

/// Trains of one kind that are counted before it is too many; some seconds at most.
const MOST_TRAINS: u64 = 5_000_000;

/// Steps of a search before it is too long; some seconds at most.
const MOST_STEPS: u64 = 100_000_000;

/// A range of tooth counts, both ends in it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct TeethBounds {
    /// Fewest.
    pub least: u32,
    /// Most.
    pub most: u32,
}

impl TeethBounds {
    /// Whether a count is within.
    #[must_use]
    pub const fn holds(self, teeth: u64) -> bool {
        teeth >= self.least as u64 && teeth <= self.most as u64
    }
}

/// The counts of a wheel and of the pinion that it drives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MeshCounts {
    /// Teeth of the wheel.
    pub wheel: u32,
    /// Leaves of the pinion.
    pub pinion: u32,
}

impl MeshCounts {
    /// Turns of the pinion for one of the wheel.
    #[must_use]
    pub fn ratio(self) -> f64 {
        f64::from(self.wheel) / f64::from(self.pinion)
    }
}

/// What gears may be used.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct GearLimits {
    /// Leaves of pinions.
    pub leaves: TeethBounds,
    /// Teeth of wheels.
    pub teeth: TeethBounds,
    /// Pressure angle, rad.
    pub pressure_angle_rad: f64,
    /// Friction coefficient between teeth.
    pub tooth_friction: f64,
}

/// What is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct CountsAsk {
    /// The beat, s, exactly.
    pub beat_s: Ratio<u128>,
    /// Teeth of the escape wheel to be tried, rising.
    pub escape_teeth: Vec<u32>,
    /// Arbors between the minute hand's and the escape wheel's to be tried, rising.
    pub arbors_between: Vec<u32>,
    /// Gears that may be used.
    pub gears: GearLimits,
    /// Module of the train from the minute hand's arbor on, m.
    pub module_m: f64,
    /// Modules of the two pairs of the motion work, m.
    pub motion_modules_m: [f64; 2],
    /// What is asked of the great wheel; `None` where nothing is.
    pub great: Option<GreatAsk>,
    /// What comes first.
    pub rank: CountsRank,
    /// How many of each kind are kept.
    pub most: usize,
}

/// All of a kind counted, and the best of them.
#[derive(Debug, Clone, PartialEq)]
pub struct RankedRows<T> {
    /// How many there are.
    pub found: u64,
    /// The best, as ranked.
    pub best: Vec<T>,
}

/// A train from the minute hand's arbor to the escape wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct GoingTrain {
    /// Teeth of the escape wheel.
    pub escape_teeth: u32,
    /// Turns of the escape wheel an hour.
    pub turns_per_hour: Ratio<u128>,
    /// Its gears, the largest ratio first.
    pub gears: RankedGears,
}

impl GoingTrain {
    /// Whether the minute hand turns the other way than the escape wheel does: an odd number of meshes between them.
    #[must_use]
    pub fn is_backwards(&self) -> bool {
        self.gears.meshes.len() % 2 == 1
    }
}

/// What there is for a wish.
#[derive(Debug, Clone, PartialEq)]
pub struct Counts {
    /// From the minute hand's arbor to the escape wheel.
    pub trains: RankedRows<GoingTrain>,
    /// From the great wheel to the minute hand's arbor; `None` where it was not asked for.
    pub great: Option<RankedRows<GreatTrain>>,
    /// From the minute hand to the hour hand.
    pub motion: RankedRows<MotionPair>,
    /// Where no train gives the beat, the nearest that one gives; `None` where one does, and where none comes near.
    pub nearest: Option<NearestBeat>,
}

/// Why counts are not looked through to the end.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum CountsError {
    /// Too many of them.
    #[error("there are more than {MOST_TRAINS} {what} within these bounds")]
    TooMany {
        /// Of what.
        what: &'static str,
    },
    /// Too long a search.
    #[error("the {what} within these bounds are too many to look through")]
    TooLong {
        /// Of what.
        what: &'static str,
    },
    /// Numbers beyond all measure.
    #[error("the beat is no ratio of whole numbers of ordinary size")]
    OutOfRange,
}

/// How much a search may still do.
#[derive(Debug)]
struct WorkLeft {
    what: &'static str,
    steps: u64,
    trains: u64,
}

impl WorkLeft {
    const fn new(what: &'static str) -> Self {
        Self { what, steps: MOST_STEPS, trains: MOST_TRAINS }
    }

    const fn steps(&mut self, steps: u64) -> Result<(), CountsError> {
        match self.steps.checked_sub(steps) {
            Some(left) => self.steps = left,
            None => return Err(CountsError::TooLong { what: self.what }),
        }
        Ok(())
    }

    const fn train(&mut self) -> Result<(), CountsError> {
        match self.trains.checked_sub(1) {
            Some(left) => self.trains = left,
            None => return Err(CountsError::TooMany { what: self.what }),
        }
        Ok(())
    }
}

/// Turns of the escape wheel an hour at a beat: `3600 s/(2 beat * teeth)`, for in a full period it advances by one tooth.
///
/// # Errors
/// [`CountsError::OutOfRange`].
pub fn escape_turns_per_hour(beat_s: Ratio<u128>, escape_teeth: u32) -> Result<Ratio<u128>, CountsError> {
    beat_s
        .checked_mul(&Ratio::from_integer(u128::from(escape_teeth)))
        .and_then(|turn| Ratio::from_integer(BEATS_PER_HOUR_AND_TOOTH).checked_div(&turn))
        .ok_or(CountsError::OutOfRange)
}

/// Every train within the bounds, counted, and the best of them.
///
/// # Errors
/// [`CountsError`].
pub fn counts(ask: &CountsAsk) -> Result<Counts, CountsError> {
    let measures = Measures::new(ask.gears);
    let mut kept = Kept::new(ask.rank, ask.most);
    let mut work = WorkLeft::new("trains");
    for &escape_teeth in &ask.escape_teeth {
        let ratio = escape_turns_per_hour(ask.beat_s, escape_teeth)?;
        for &between in &ask.arbors_between {
            factored::each_train(ratio, between + 1, &ask.gears, &mut work, &mut |meshes| {
                kept.offer(&measures.of(meshes, |_| ask.module_m), escape_teeth, meshes);
            })?;
        }
    }
    let trains = RankedRows {
        found: kept.found,
        best: kept
            .best()
            .into_iter()
            .map(|(escape_teeth, meshes)| {
                Ok(GoingTrain {
                    escape_teeth,
                    turns_per_hour: escape_turns_per_hour(ask.beat_s, escape_teeth)?,
                    gears: measures.gears(&meshes, |_| ask.module_m),
                })
            })
            .collect::<Result<_, _>>()?,
    };
    // A near beat is but a help: where it takes too long there is none.
    let nearest = if trains.found == 0 { nearest::nearest_beat(ask).unwrap_or(None) } else { None };
    let great = ask.great.as_ref().map(|great| great::great_trains(ask, great, &measures)).transpose()?;
    Ok(Counts { trains, great, motion: motion::motion_works(ask, &measures)?, nearest })
}

/// Whether any train within the bounds gives a beat.
///
/// # Errors
/// [`CountsError`].
pub fn gives_beat(ask: &CountsAsk, beat_s: Ratio<u128>) -> Result<bool, CountsError> {
    let mut work = WorkLeft::new("trains");
    let mut any = false;
    for &escape_teeth in &ask.escape_teeth {
        let ratio = escape_turns_per_hour(beat_s, escape_teeth)?;
        for &between in &ask.arbors_between {
            factored::each_train(ratio, between + 1, &ask.gears, &mut work, &mut |_| any = true)?;
        }
    }
    Ok(any)
}
