//! How flat an optimum is: how far each quantity may move by itself until the aim is worse by a share, or a limit is broken.

use crate::numerics::search::{PointValues, better_first};
use crate::scenario::Scenario;
use crate::study::jobs::{Watch, each};
use crate::study::prepare::under;

use super::figures::clock_figures;
use super::question::Question;
use super::vary::VariedRange;

/// Share by which the aim may become worse.
pub const WORSE_BY: f64 = 0.01;

/// First way tried, as a share of the quantity's range; each further one is twice as long.
const FIRST_WAY: f64 = 1.0 / 64.0;

/// Share of the way found to which its end is closed in on.
const ACCURACY: f64 = 0.02;

/// What ends a way.
#[derive(Debug, Clone, PartialEq)]
pub enum WayEnd {
    /// The aim is worse by the share.
    Worse,
    /// This limit, by its number among the holds.
    Hold(usize),
    /// The clock stops, or too few copies have the number.
    Stops,
    /// There is no such clock, and why.
    NoClock(String),
    /// The bound of the quantity.
    Bound,
}

/// How far a quantity may go one way.
#[derive(Debug, Clone, PartialEq)]
pub struct Way {
    /// The last value found that is still as good.
    pub place: u32,
    /// What ends the way there.
    pub end: WayEnd,
}

/// How far a quantity may move by itself.
#[derive(Debug, Clone, PartialEq)]
pub struct Flatness {
    /// Number of the quantity.
    pub quantity: usize,
    /// Towards its lower bound.
    pub down: Way,
    /// Towards its upper bound.
    pub up: Way,
}

/// How far each number that is varied may move from a point; `None` where the study was stopped. Choices are left out.
///
/// Every clock on the way is judged as much like `base`, the design at the point made ready: with the twelve hours of its hands.
///
/// Ways are doubled until something ends them, and the end is then halved for, to 2 % of the way or one step of the quantity.
#[must_use]
pub fn flatness(
    question: &Question<'_>,
    (point, base): (&[u32], &Scenario),
    today: &[Option<f64>],
    watch: &dyn Watch,
) -> Option<Vec<Flatness>> {
    let question = &Question { scenario: base, ..question.clone() };
    let numbers: Vec<(usize, bool)> = (0..question.varied.len())
        .filter(|&number| matches!(question.varied[number].range, VariedRange::Numbers { .. }))
        .flat_map(|number| [(number, false), (number, true)])
        .collect();
    let here = values_at(question, point, today).ok().flatten()?;
    let ways = each(&numbers, "ways", watch, |&(quantity, up)| way(question, (point, &here), today, (quantity, up)));
    let ways: Vec<Way> = ways.into_iter().collect::<Option<_>>()?;
    let pairs = numbers.chunks(2).zip(ways.chunks(2));
    Some(
        pairs
            .map(|(number, ways)| Flatness { quantity: number[0].0, down: ways[0].clone(), up: ways[1].clone() })
            .collect(),
    )
}

fn values_at(question: &Question<'_>, point: &[u32], today: &[Option<f64>]) -> Result<Option<PointValues>, String> {
    let scenario = under(question.scenario, &question.settings(point))?;
    let found = clock_figures(question, &scenario).map_err(|error| error.to_string())?;
    Ok(question.values(&found, today))
}

fn way(
    question: &Question<'_>,
    (point, here): (&[u32], &PointValues),
    today: &[Option<f64>],
    (quantity, up): (usize, bool),
) -> Way {
    let (own, last) = (point[quantity], question.varied[quantity].last());
    let longest = if up { last - own } else { own };
    let place = |way: u32| if up { own + way } else { own - way };
    let ends_at = |way: u32| {
        let mut moved = point.to_vec();
        moved[quantity] = place(way);
        ended(question, here, values_at(question, &moved, today))
    };
    if longest == 0 {
        return Way { place: own, end: WayEnd::Bound };
    }
    let first = ((FIRST_WAY * f64::from(last)).ceil() as u32).clamp(1, longest);
    let (mut good, mut next) = (0, first);
    let mut end = loop {
        match ends_at(next) {
            Some(end) => break end,
            None if next == longest => return Way { place: place(longest), end: WayEnd::Bound },
            None => (good, next) = (next, (2 * next).min(longest)),
        }
    };
    let mut bad = next;
    while bad - good > 1 && f64::from(bad - good) > ACCURACY * f64::from(good) {
        let middle = good + (bad - good) / 2;
        match ends_at(middle) {
            Some(there) => (bad, end) = (middle, there),
            None => good = middle,
        }
    }
    Way { place: place(good), end }
}

/// What is worse than at the optimum; `None` where nothing is.
fn ended(question: &Question<'_>, here: &PointValues, found: Result<Option<PointValues>, String>) -> Option<WayEnd> {
    let there = match found {
        Ok(Some(there)) => there,
        Ok(None) => return Some(WayEnd::Stops),
        Err(reason) => return Some(WayEnd::NoClock(reason)),
    };
    if !there.keeps_limits() {
        let hold = (0..question.holds.len()).find(|&hold| there.excess[hold] > 0.0);
        return Some(hold.map_or(WayEnd::Stops, WayEnd::Hold));
    }
    let worse = |aim: usize| there.aims[aim] > here.aims[aim] + WORSE_BY * here.aims[aim].abs();
    (better_first(Some(here), Some(&there)).is_lt() && (0..here.aims.len()).any(worse)).then_some(WayEnd::Worse)
}
