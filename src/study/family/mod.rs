//! Sizes and ports of a clock beside each other: what becomes of each, which size fits which bed, how small it goes, and what
//! makes one differ from the first.

mod beds;
mod sizes;
mod steps;

use crate::answers::prediction::Prediction;
use crate::clock::design::Design;
use crate::clock::environment::InRoom;
use crate::clock::notes::Note;
use crate::clock::printing::bed::Bed;
use crate::clock::printing::part_sizes::{PartGroup, PartSize, part_sizes};
use crate::scenario::Scenario;

use super::jobs::{Watch, each};
use super::prepare::under;
use super::room::limits::{RoomLimit, limits_of_humidity_going};

pub use beds::{BedFit, PartFit};
use sizes::Asked;

pub use sizes::{ActionLengths, SizePoint, Sized, Smallest};
pub use steps::{FamilyStep, Steps};

/// Path of the factor that a family sweeps.
pub const SWEPT: &str = "scale.all";

/// What a family is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct FamilyAsk {
    /// Sizes that every member is also tried in: values of [`SWEPT`], which take the place of its own.
    pub factors: Vec<f64>,
    /// Beds on which its parts are to fit.
    pub beds: Vec<Bed>,
}

/// A member of the family.
#[derive(Debug, Clone)]
pub struct Member {
    /// What becomes of it, as `predict` tells.
    pub prediction: Prediction,
    /// What its angles of lock and drop are as lengths; `None` for an ideal escapement.
    pub lengths: Option<ActionLengths>,
    /// Its own value of [`SWEPT`].
    pub factor: f64,
    /// Its parts in its own size.
    pub parts: Vec<PartSize>,
    /// Its parts on each bed, in the order of the beds.
    pub beds: Vec<BedFit>,
    /// It in other sizes, in the order asked for; those not reached when the study was stopped are missing.
    pub sizes: Vec<SizePoint>,
    /// How small it goes; `None` where the study was stopped before.
    pub smallest: Option<Smallest>,
    /// How small it goes with its teeth falling on the locks.
    pub smallest_locking: Option<Smallest>,
    /// At which humidities something gives way, at its place's temperature; `None` where the study was stopped before.
    pub humidity: Option<Vec<RoomLimit>>,
    /// What makes it differ from the first member, group by group; `None` for the first itself and where the study was stopped.
    pub steps: Option<Steps>,
}

impl Member {
    /// The largest of the parts that are made in one piece.
    #[must_use]
    pub fn largest_part(&self) -> Option<&PartSize> {
        largest(&self.parts)
    }

    /// Full periods of its train and of its pendulum's small swings, s, where they are further apart than a rating nut makes good.
    #[must_use]
    pub fn periods_apart_s(&self) -> Option<(f64, f64)> {
        self.prediction.built.notes().into_iter().find_map(|note| match note {
            Note::PeriodMismatch { train_period_s, small_swing_period_s } => {
                Some((train_period_s, small_swing_period_s))
            }
            _ => None,
        })
    }

    /// What gives way first in damper (else drier) air than that in which it was made.
    #[must_use]
    pub fn first_limit(&self, damper: bool) -> Option<&RoomLimit> {
        self.humidity.iter().flatten().find(|limit| limit.rising == damper)
    }
}

/// The largest of the parts that are made in one piece.
pub(super) fn largest(parts: &[PartSize]) -> Option<&PartSize> {
    let in_one_piece = parts.iter().filter(|part| part.in_one_piece);
    in_one_piece.max_by(|a, b| a.footprint.longest_m().total_cmp(&b.footprint.longest_m()))
}

/// A clock that becomes a member of a family, and how it is had in other sizes.
#[derive(Clone, Copy)]
pub struct Resizable<'a> {
    /// The clock as made, in its own size.
    pub design: &'a Design,
    /// Its own factor of size, 1 as drawn.
    pub factor: f64,
    /// Whether the parts of a group grow with that factor.
    pub grows: &'a (dyn Fn(PartGroup) -> bool + Sync + 'a),
    /// The clock at another factor, or in words why there is none.
    pub resized: &'a (dyn Fn(f64) -> Result<Design, String> + Sync + 'a),
}

/// The members in the order of the scenarios, whose predictions are known; their factor of size is [`SWEPT`].
#[must_use]
pub fn family(scenarios: &[Scenario], predictions: Vec<Prediction>, ask: &FamilyAsk, watch: &dyn Watch) -> Vec<Member> {
    let ways: Vec<_> = scenarios
        .iter()
        .map(|scenario| {
            let grows = |group: PartGroup| group.goes_with_all() && !group.keys().iter().any(|key| scenario.has(key));
            let resized =
                |factor: f64| under(scenario, &[format!("{SWEPT}={factor:?}")]).map(|scenario| scenario.design);
            (grows, resized)
        })
        .collect();
    let clocks: Vec<Resizable<'_>> = scenarios
        .iter()
        .zip(&ways)
        .map(|(scenario, (grows, resized))| Resizable {
            design: &scenario.design,
            factor: own_factor(scenario),
            grows,
            resized,
        })
        .collect();
    family_of(&clocks, predictions, ask, watch)
}

/// The scenario's own value of [`SWEPT`].
fn own_factor(scenario: &Scenario) -> f64 {
    scenario.leaves().iter().find(|(path, _)| path == SWEPT).and_then(|(_, value)| value.parse().ok()).unwrap_or(1.0)
}

/// The members in the order of the clocks; the first is the one from which the steps begin.
///
/// | argument | meaning |
/// |---|---|
/// | `clocks` | the designs, each with its way to other sizes |
/// | `predictions` | what `predict` tells of each in the air of its place, in the same order |
/// | `ask` | other sizes, and beds |
/// | `watch` | is told of the jobs, and may stop them |
///
/// The same numbers as [`family`] gives for the same sizes, on any number of threads. A size that is refused is a point with its
/// reason; the smallest size is looked for downwards from a clock's own, to 1e-3 of itself.
#[must_use]
pub fn family_of(
    clocks: &[Resizable<'_>],
    predictions: Vec<Prediction>,
    ask: &FamilyAsk,
    watch: &dyn Watch,
) -> Vec<Member> {
    let numbers: Vec<usize> = (0..clocks.len()).collect();
    let in_rooms: Vec<InRoom> = clocks.iter().map(|clock| InRoom::at_home(clock.design)).collect();
    let points: Vec<(usize, f64)> =
        numbers.iter().flat_map(|&number| ask.factors.iter().map(move |&factor| (number, factor))).collect();
    let mut sizes =
        each(&points, "sizes", watch, |&(number, factor)| sizes::in_size(&clocks[number], factor)).into_iter();
    let smallest_that = |asked| {
        each(&numbers, "smallest sizes", watch, move |&number| sizes::smallest(&clocks[number], asked)).into_iter()
    };
    let mut smallest = smallest_that(Asked::Goes);
    let mut locking = smallest_that(Asked::GoesAndLocks);
    let steps = each(&numbers, "comparisons", watch, |&number| {
        (number > 0).then(|| steps::steps(&in_rooms[0], &in_rooms[number]))
    });
    let mut humidity = each(&numbers, "limits of humidity", watch, |&number| {
        let design = clocks[number].design;
        limits_of_humidity_going(design, design.place.temperature_c)
    })
    .into_iter();
    let members = predictions.into_iter().zip(clocks.iter().zip(&in_rooms)).zip(steps);
    members
        .map(|((prediction, (clock, in_room)), steps)| {
            let parts = part_sizes(in_room);
            Member {
                lengths: prediction.built.outlines.as_ref().map(ActionLengths::of),
                beds: ask.beds.iter().map(|bed| beds::fit(clock.grows, clock.factor, &parts, *bed)).collect(),
                prediction,
                factor: clock.factor,
                parts,
                sizes: sizes.by_ref().take(ask.factors.len()).flatten().collect(),
                smallest: smallest.next().flatten(),
                smallest_locking: locking.next().flatten(),
                humidity: humidity.next().flatten(),
                steps: steps.flatten(),
            }
        })
        .collect()
}
