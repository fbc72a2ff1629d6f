//! From the great wheel to the minute hand's arbor: hours for a turn of the drum, and the drum that gives a run.

use num_rational::Ratio;

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::train::losses::{drum_diameter_for_m, turns_of_fall};

use super::kept::Kept;
use super::rank::{Measures, RankedGears};
use super::within::each_train_within;
use super::{CountsAsk, CountsError, MeshCounts, RankedRows, WorkLeft, factored};

/// The run that a fall is to give.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FallForRun {
    /// Time from one winding to the next, s.
    pub run_s: f64,
    /// Fall of the weight, m.
    pub fall_m: f64,
    /// Parts of the cord that carry it.
    pub falls: u32,
    /// Diameter of the cord, m.
    pub cord_m: f64,
    /// Diameter of the drum that there is, without the cord, m; `None` where it follows from the counts.
    pub drum_m: Option<f64>,
}

impl FallForRun {
    /// Hours for a turn of a drum of that diameter in which the fall gives just the run.
    #[must_use]
    pub fn hours_per_turn(&self, drum_m: f64) -> f64 {
        self.run_s / SECONDS_PER_HOUR / turns_of_fall(self.fall_m, self.falls, 0.5 * (drum_m + self.cord_m))
    }

    fn with(&self, hours_per_turn: f64) -> DrumForRun {
        let run_turns = self.run_s / SECONDS_PER_HOUR / hours_per_turn;
        let drum_for_run_m = drum_diameter_for_m(self.fall_m, self.falls, self.cord_m, run_turns);
        let drum_m = self.drum_m.unwrap_or(drum_for_run_m);
        let turns = turns_of_fall(self.fall_m, self.falls, 0.5 * (drum_m + self.cord_m));
        DrumForRun { drum_m, drum_for_run_m, turns, run_s: turns * hours_per_turn * SECONDS_PER_HOUR }
    }
}

/// What is asked of the great wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct GreatAsk {
    /// Arbors between its own and the minute hand's to be tried, rising.
    pub arbors_between: Vec<u32>,
    /// Least and most hours for one of its turns.
    pub hours: (Ratio<u128>, Ratio<u128>),
    /// Module, m.
    pub module_m: f64,
    /// The run that the fall is to give; `None` where only the hours are asked for.
    pub fall: Option<FallForRun>,
}

/// A drum, and the run that it gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DrumForRun {
    /// Its diameter without the cord, m.
    pub drum_m: f64,
    /// Diameter from which the fall gives just the run asked for, m: a larger drum runs shorter.
    pub drum_for_run_m: f64,
    /// Its turns in the fall.
    pub turns: f64,
    /// The run that it gives, s.
    pub run_s: f64,
}

/// A train from the great wheel to the minute hand's arbor.
#[derive(Debug, Clone, PartialEq)]
pub struct GreatTrain {
    /// Hours for a turn of the great wheel.
    pub hours_per_turn: Ratio<u128>,
    /// Its gears, the largest ratio first.
    pub gears: RankedGears,
    /// Drum and run; `None` where no fall is given.
    pub drum: Option<DrumForRun>,
}

/// Product of wheels over pinions.
pub(super) fn ratio_of(meshes: &[MeshCounts]) -> Ratio<u128> {
    let product = |pick: fn(&MeshCounts) -> u32| meshes.iter().map(pick).map(u128::from).product::<u128>();
    Ratio::new(product(|mesh| mesh.wheel), product(|mesh| mesh.pinion))
}

pub(super) fn great_trains(
    ask: &CountsAsk,
    great: &GreatAsk,
    measures: &Measures,
) -> Result<RankedRows<GreatTrain>, CountsError> {
    let mut kept = Kept::new(ask.rank, ask.most);
    let mut work = WorkLeft::new("trains from the great wheel");
    for &between in &great.arbors_between {
        let meshes = between + 1;
        let mut offer = |meshes: &[MeshCounts]| kept.offer(&measures.of(meshes, |_| great.module_m), 0, meshes);
        let (low, high) = great.hours;
        if low == high {
            factored::each_train(low, meshes, &ask.gears, &mut work, &mut offer)?;
        } else {
            each_train_within((low, high), meshes, &ask.gears, &mut work, &mut offer)?;
        }
    }
    let found = kept.found;
    let train = |(_, meshes): (u32, Vec<MeshCounts>)| {
        let hours_per_turn = ratio_of(&meshes);
        let hours = *hours_per_turn.numer() as f64 / *hours_per_turn.denom() as f64;
        let drum = great.fall.map(|fall| fall.with(hours));
        GreatTrain { hours_per_turn, gears: measures.gears(&meshes, |_| great.module_m), drum }
    };
    Ok(RankedRows { found, best: kept.best().into_iter().map(train).collect() })
}
