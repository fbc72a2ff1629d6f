//! What is to be improved: what may vary, the aims, and what has to hold.

use crate::clock::printing::bed::Bed;
use crate::numerics::search::PointValues;
use crate::scenario::Scenario;
use crate::study::keyed::KeyedNumbers;

use super::design_number::DesignNumber;
use super::figures::ClockFigures;
use super::vary::VariedQuantity;

/// Excess of a limit on a number that is missing, in measures of the limit.
const MISSING: f64 = 10.0;

/// Excess of a clock that stops and of which nothing else is known.
const STOPS: f64 = 1.0;

/// What is wanted of a number.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Direction {
    /// As small as can be.
    Least,
    /// As large as can be.
    Most,
    /// As near to this as can be.
    Nearest(f64),
}

/// Where a number comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NumberSource {
    /// The results of a prediction, by its place among those asked of them.
    Results(usize),
    /// The design.
    Design(DesignNumber),
    /// The share of the copies that keep going.
    CopiesGoing,
    /// The share of the copies that keep going with the margin asked for.
    CopiesWithMargin,
}

/// A number that is asked of every candidate.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedNumber {
    /// Its key.
    pub key: String,
    /// Where it comes from.
    pub source: NumberSource,
}

/// An aim.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Which number.
    pub number: usize,
    /// What is wanted of it.
    pub direction: Direction,
}

/// A limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hold {
    /// Which number.
    pub number: usize,
    /// Whether it has to be the level at least; else at most.
    pub at_least: bool,
    /// The level.
    pub level: f64,
}

/// Printed copies that are made of every candidate.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CopiesAsked {
    /// How many, each drawn by itself.
    pub count: u32,
    /// Share of the copies that are to be as good as the aim says.
    pub share: f64,
    /// Seed of what they draw: copy by copy the same for every candidate.
    pub seed: u32,
}

/// The question.
#[derive(Clone)]
pub struct Question<'a> {
    /// The clock as it is.
    pub scenario: &'a Scenario,
    /// What may vary.
    pub varied: Vec<VariedQuantity>,
    /// The numbers asked.
    pub numbers: Vec<AskedNumber>,
    /// Those of them that are in the results of a prediction.
    pub results: &'a dyn KeyedNumbers,
    /// One aim or two.
    pub aims: Vec<Aim>,
    /// Limits.
    pub holds: Vec<Hold>,
    /// The aims are of copies.
    pub copies: Option<CopiesAsked>,
    /// Beds of printers.
    pub beds: Vec<Bed>,
}

impl Hold {
    /// By how much a number is over the limit; 0 or below where it holds.
    #[must_use]
    pub fn excess(&self, number: f64) -> f64 {
        if self.at_least { self.level - number } else { number - self.level }
    }
}

impl Aim {
    /// What is to be least, for a number.
    #[must_use]
    pub fn cost(&self, number: f64) -> f64 {
        match self.direction {
            Direction::Least => number,
            Direction::Most => -number,
            Direction::Nearest(wanted) => (number - wanted).abs(),
        }
    }
}

impl NumberSource {
    /// Whether it is a share of the copies.
    #[must_use]
    pub const fn is_share_of_copies(self) -> bool {
        matches!(self, Self::CopiesGoing | Self::CopiesWithMargin)
    }
}

impl Question<'_> {
    /// Whether an aim is of copies.
    #[must_use]
    pub fn aim_is_of_copies(&self, aim: &Aim) -> bool {
        self.copies.is_some() && !matches!(self.numbers[aim.number].source, NumberSource::Design(_))
    }

    /// Whether any aim or limit is of copies.
    #[must_use]
    pub fn is_of_copies(&self) -> bool {
        let shares = || self.numbers.iter().any(|number| number.source.is_share_of_copies());
        self.aims.iter().any(|aim| self.aim_is_of_copies(aim)) || shares()
    }

    /// The override of every quantity at a point.
    #[must_use]
    pub fn settings(&self, point: &[u32]) -> Vec<String> {
        self.varied.iter().zip(point).map(|(varied, &place)| varied.setting(place)).collect()
    }

    /// The point at which the scenario stands as it is; `None` where one of its values is not among those that may be.
    #[must_use]
    pub fn own_point(&self) -> Option<Vec<u32>> {
        self.varied.iter().map(|varied| varied.own(self.scenario)).collect()
    }

    /// What a search compares of a candidate; `None` where an aim has no number. `today`: the numbers of the clock as it is, by which limits
    /// at 0 are measured.
    #[must_use]
    pub fn values(&self, found: &ClockFigures, today: &[Option<f64>]) -> Option<PointValues> {
        let aims =
            self.aims.iter().map(|aim| Some(aim.cost(found.of_aims[aim.number]?))).collect::<Option<Vec<f64>>>()?;
        let excess = |hold: &Hold| {
            let own = today.get(hold.number).copied().flatten().map_or(0.0, f64::abs);
            let measure = if hold.level != 0.0 { hold.level.abs() } else { own };
            let measure = if measure > 0.0 { measure } else { 1.0 };
            found.numbers[hold.number].map_or(MISSING, |number| hold.excess(number) / measure)
        };
        let mut excesses: Vec<f64> = self.holds.iter().map(excess).collect();
        excesses.push(match (&found.stops, found.drive_lacking) {
            (None, _) => 0.0,
            (Some(_), Some(lacking)) => lacking.max(f64::MIN_POSITIVE),
            (Some(_), None) => STOPS,
        });
        Some(PointValues { aims, excess: excesses })
    }
}
