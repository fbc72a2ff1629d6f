//! The whole box: every choice has a search by CMA-ES of its own, and those that lag behind are given up.

use crate::numerics::points::drawn_share;

use super::cma::{Cloud, usual_population};
use super::ledger::{Ended, PointLedger};
use super::{Coordinate, CoordinateKind, GridPoint, PointValues, better_first};

/// Points of one generation at least.
const LEAST_POPULATION: usize = 8;

/// First standard deviation, as a share of each coordinate's range.
const FIRST_SPREAD: f64 = 0.3;

/// Generations of one combination in a row without a point not asked before, after which it is given up.
const IDLE: u32 = 40;

/// Generations of one cloud in a row without a point not asked before, after which it has settled.
const SETTLED_AFTER: u32 = 3;

/// Largest population, in those of the first cloud.
const LARGEST_GROWTH: usize = 16;

/// Points that are asked together where every one is: what answers is heard from between them.
const TOGETHER: usize = 64;

/// A search among the smooth and whole coordinates, the choices held.
struct Arm {
    choices: Vec<u32>,
    cloud: Cloud,
    seed: u32,
    restarts: u32,
    best: Option<usize>,
    idle: u32,
}

impl Arm {
    /// A new cloud about a point drawn at random, of twice the points.
    fn restart(&mut self, dimensions: usize) {
        self.restarts += 1;
        let seed = self.seed.wrapping_add(self.restarts.wrapping_mul(0x9e37_79b9));
        let mean: Vec<f64> = (0..dimensions).map(|number| drawn_share(number as u32, !seed)).collect();
        let largest = LARGEST_GROWTH * population(dimensions);
        self.cloud = Cloud::new(&mean, FIRST_SPREAD, (2 * self.cloud.population()).min(largest), seed);
    }
}

fn population(dimensions: usize) -> usize {
    usual_population(dimensions).max(LEAST_POPULATION)
}

/// Searches the whole box until so many points have been asked, beginning at `start`.
///
/// Smooth and whole coordinates are searched by CMA-ES ([`Cloud`]), from which a new cloud of twice the points starts elsewhere once it has
/// settled (A. Auger and N. Hansen, "A restart CMA evolution strategy with increasing population size", CEC 2005, recalled). Points of one
/// generation are asked together. Where all points are no more than allowed, every one is asked. Of several choices, each combination gets
/// its share, then the better half of them, and so on.
///
/// # Errors
/// [`Ended`] where no more points may be asked.
pub fn search_all(
    ledger: &mut PointLedger<'_>,
    coordinates: &[Coordinate],
    start: Option<&[u32]>,
    (budget, seed): (usize, u32),
) -> Result<(), Ended> {
    let all = coordinates.iter().try_fold(1_usize, |all, coordinate| all.checked_mul(coordinate.places as usize));
    if all.is_some_and(|all| all <= budget) {
        return every_point(ledger, coordinates);
    }
    let free: Vec<usize> = numbers(coordinates, |kind| kind != CoordinateKind::Choice);
    let chosen: Vec<usize> = numbers(coordinates, |kind| kind == CoordinateKind::Choice);
    let mut arms: Vec<Arm> = combinations(coordinates, &chosen)
        .into_iter()
        .zip(0_u32..)
        .map(|(choices, number)| {
            let mean = free.iter().map(|&at| start.map_or(0.5, |start| coordinates[at].share_of(start[at])));
            let seed = seed.wrapping_add(number.wrapping_mul(0x85eb_ca6b));
            let cloud = Cloud::new(&mean.collect::<Vec<f64>>(), FIRST_SPREAD, population(free.len()), seed);
            Arm { choices, cloud, seed, restarts: 0, best: None, idle: 0 }
        })
        .collect();
    let first = ledger.count();
    let rounds = arms.len().max(1).ilog2() as usize + 1;
    for round in 1..=rounds {
        let until = first + budget * round / rounds;
        while ledger.count() < until && arms.iter().any(|arm| arm.idle < IDLE) {
            generation(ledger, coordinates, (&free, &chosen), &mut arms)?;
        }
        arms.sort_by(|one, other| {
            let seen = |arm: &Arm| arm.best.and_then(|best| ledger.values(best));
            better_first(seen(one).as_ref(), seen(other).as_ref())
        });
        if round < rounds {
            arms.truncate(arms.len().div_ceil(2));
        }
    }
    Ok(())
}

fn numbers(coordinates: &[Coordinate], is: impl Fn(CoordinateKind) -> bool) -> Vec<usize> {
    (0..coordinates.len()).filter(|&number| is(coordinates[number].kind)).collect()
}

fn every_point(ledger: &mut PointLedger<'_>, coordinates: &[Coordinate]) -> Result<(), Ended> {
    let numbers: Vec<usize> = (0..coordinates.len()).collect();
    let points = combinations(coordinates, &numbers);
    points.chunks(TOGETHER).try_for_each(|some| ledger.ask(some).map(|_| ()))
}

/// All combinations of the places of some coordinates, in their order.
fn combinations(coordinates: &[Coordinate], numbers: &[usize]) -> Vec<GridPoint> {
    let mut found: Vec<GridPoint> = vec![Vec::new()];
    for &number in numbers {
        let places = 0..coordinates[number].places;
        found = found
            .iter()
            .flat_map(|known| places.clone().map(move |place| known.iter().copied().chain([place]).collect()))
            .collect();
    }
    found
}

/// One generation of every arm that is not given up, all asked together.
fn generation(
    ledger: &mut PointLedger<'_>,
    coordinates: &[Coordinate],
    (free, chosen): (&[usize], &[usize]),
    arms: &mut [Arm],
) -> Result<(), Ended> {
    let mut points: Vec<GridPoint> = Vec::new();
    let mut ends = Vec::new();
    for arm in arms.iter_mut().filter(|arm| arm.idle < IDLE) {
        for shares in arm.cloud.ask() {
            let mut point = vec![0; coordinates.len()];
            for (&number, &place) in chosen.iter().zip(&arm.choices) {
                point[number] = place;
            }
            for (&number, &share) in free.iter().zip(&shares) {
                point[number] = coordinates[number].place_at(share);
            }
            points.push(point);
        }
        ends.push(points.len());
    }
    let before = ledger.count();
    let trials = ledger.ask(&points)?;
    let mut begin = 0;
    for (arm, end) in arms.iter_mut().filter(|arm| arm.idle < IDLE).zip(ends) {
        let own = &trials[begin..end];
        begin = end;
        let seen: Vec<Option<PointValues>> = own.iter().map(|&trial| ledger.values(trial)).collect();
        let mut order: Vec<usize> = (0..own.len()).collect();
        order.sort_by(|&one, &other| better_first(seen[one].as_ref(), seen[other].as_ref()));
        arm.cloud.tell(&order);
        arm.idle = if own.iter().any(|&trial| trial >= before) { 0 } else { arm.idle + 1 };
        if let Some(&first) = order.first() {
            let better = |best: usize| better_first(seen[first].as_ref(), ledger.values(best).as_ref()).is_lt();
            if arm.best.is_none_or(better) {
                arm.best = Some(own[first]);
            }
        }
        if arm.cloud.has_settled() || (arm.idle > 0 && arm.idle % SETTLED_AFTER == 0) {
            arm.restart(free.len());
        }
    }
    Ok(())
}
