//! About the best point: quadratic models of aim and limits in a region that shrinks.

use super::ledger::{Ended, PointLedger};
use super::model::{Model, Quadratic};
use super::{Coordinate, CoordinateKind, GridPoint, PointValues, better_first};

/// First half-width of the region, as a share of each coordinate's range.
const FIRST_WIDTH: f64 = 0.04;

/// Half-width below which no better point is looked for. The aim of a clock jitters by 1e-4 of itself, which a narrower region would take
/// for its shape.
const NARROWEST: f64 = 1e-3;

/// Largest half-width.
const WIDEST: f64 = 0.25;

/// Coordinates up to which the models have mixed second derivatives.
const MOST_MIXED: usize = 8;

/// Shares of the model's step that are asked: on a limit the whole step may be just over it.
const SHARES: [f64; 5] = [1.0, 0.97, 0.9, 0.75, 0.5];

/// The point with other values of the smooth coordinates.
struct Region<'c> {
    coordinates: &'c [Coordinate],
    smooth: &'c [usize],
    centre: GridPoint,
    half: f64,
}

impl Region<'_> {
    /// The point that lies the steps (shares of the half-width) from the centre.
    fn point(&self, steps: &[f64]) -> GridPoint {
        let mut point = self.centre.clone();
        for (&number, &step) in self.smooth.iter().zip(steps) {
            let coordinate = &self.coordinates[number];
            let share = coordinate.share_of(self.centre[number]) + step * self.half;
            point[number] = coordinate.place_at(share);
        }
        point
    }

    /// How far a point that was asked lies from the centre, in shares of the half-width.
    fn step(&self, point: &[u32], of: usize) -> f64 {
        let number = self.smooth[of];
        let share = |place: u32| self.coordinates[number].share_of(place);
        (share(point[number]) - share(self.centre[number])) / self.half
    }

    /// How far the box lets a coordinate go from the centre, in shares of the half-width, at most 1.
    fn ends(&self, of: usize) -> (f64, f64) {
        let number = self.smooth[of];
        let share = self.coordinates[number].share_of(self.centre[number]);
        ((-share / self.half).max(-1.0), ((1.0 - share) / self.half).min(1.0))
    }
}

/// Betters the best point found so far among the smooth coordinates and by one place of each whole one, until the region is narrow or so
/// many points have been asked.
///
/// Two points along each coordinate, and one for each pair of them, give a quadratic of the aim and of each limit through all of them; the
/// best point of these models in the region is asked, with some on the way to it. The region moves to the best point of all, grows where
/// the model's step was the better one, and shrinks where it was not. Points of one region are asked together.
///
/// # Errors
/// [`Ended`] where no more points may be asked.
pub fn search_about_best(
    ledger: &mut PointLedger<'_>,
    coordinates: &[Coordinate],
    plan: (usize, u32),
) -> Result<(), Ended> {
    search_about_best_within(ledger, coordinates, plan, FIRST_WIDTH)
}

/// The same with another first half-width of the region, a share of each coordinate's range: wide where the best point is not yet near.
///
/// # Errors
/// [`Ended`] where no more points may be asked.
pub fn search_about_best_within(
    ledger: &mut PointLedger<'_>,
    coordinates: &[Coordinate],
    (budget, seed): (usize, u32),
    first_width: f64,
) -> Result<(), Ended> {
    let until = ledger.count() + budget;
    let smooth: Vec<usize> =
        (0..coordinates.len()).filter(|&number| coordinates[number].kind == CoordinateKind::Smooth).collect();
    let mut half = first_width;
    while ledger.count() < until {
        let Some(best) = ledger.best() else { return Ok(()) };
        if half < NARROWEST || smooth.is_empty() {
            // The whole coordinates are tried last, where the smooth ones have settled.
            neighbours(ledger, coordinates, best)?;
            if ledger.best() == Some(best) || smooth.is_empty() {
                return Ok(());
            }
            half = FIRST_WIDTH;
            continue;
        }
        let region = Region { coordinates, smooth: &smooth, centre: ledger.point(best).to_vec(), half };
        let improved = step(ledger, &region, best, seed)?;
        half = match improved {
            Improved::ByModel => (1.6 * half).min(WIDEST),
            Improved::BySample => half,
            Improved::Not => 0.4 * half,
        };
    }
    Ok(())
}

/// What bettered the best point.
enum Improved {
    ByModel,
    BySample,
    Not,
}

/// One place more and one less of each whole coordinate.
fn neighbours(ledger: &mut PointLedger<'_>, coordinates: &[Coordinate], best: usize) -> Result<(), Ended> {
    let centre = ledger.point(best).to_vec();
    let mut points = Vec::new();
    for (number, coordinate) in coordinates.iter().enumerate().filter(|(_, of)| of.kind == CoordinateKind::Whole) {
        for place in [centre[number].checked_sub(1), Some(centre[number] + 1)].into_iter().flatten() {
            if place < coordinate.places {
                let mut point = centre.clone();
                point[number] = place;
                points.push(point);
            }
        }
    }
    ledger.ask(&points).map(|_| ())
}

/// Samples the region, asks the models' best point, and says what bettered the best.
fn step(ledger: &mut PointLedger<'_>, region: &Region<'_>, best: usize, seed: u32) -> Result<Improved, Ended> {
    let count = region.smooth.len();
    let along: Vec<[GridPoint; 2]> = (0..count)
        .map(|of| {
            // At the end of the box both points lie on one side.
            let (low, high) = region.ends(of);
            let places = match (low < -0.5, high > 0.5) {
                (true, true) => [low, high],
                (false, _) => [0.5 * high, high],
                (true, false) => [0.5 * low, low],
            };
            places.map(|step| {
                let mut steps = vec![0.0; count];
                steps[of] = step;
                region.point(&steps)
            })
        })
        .collect();
    let asked: Vec<GridPoint> = along.iter().flatten().cloned().collect();
    let trials = ledger.ask(&asked)?;
    // The corners between the better sides.
    let better: Vec<usize> = (0..count)
        .map(|of| {
            let side = |side: usize| ledger.values(trials[2 * of + side]);
            usize::from(better_first(side(1).as_ref(), side(0).as_ref()).is_lt())
        })
        .collect();
    let pairs: Vec<(usize, usize)> = match count {
        0..=MOST_MIXED => (0..count).flat_map(|i| (0..i).map(move |j| (j, i))).collect(),
        _ => Vec::new(),
    };
    let corner = |&(i, j): &(usize, usize)| {
        let mut point = along[i][better[i]].clone();
        point[region.smooth[j]] = along[j][better[j]][region.smooth[j]];
        point
    };
    let corners: Vec<GridPoint> = pairs.iter().map(corner).collect();
    let mixed = ledger.ask(&corners)?;
    let by_model = match modelled(ledger, region, best, (&trials, &better), (&pairs, &mixed)) {
        Some(model) => {
            let ends: Vec<(f64, f64)> = (0..count).map(|of| region.ends(of)).collect();
            match model.best_step(&ends, seed.wrapping_add(ledger.count() as u32)) {
                Some(step) => {
                    let points =
                        SHARES.map(|share| region.point(&step.iter().map(|s| share * s).collect::<Vec<f64>>()));
                    ledger.ask(&points)?
                }
                None => Vec::new(),
            }
        }
        None => Vec::new(),
    };
    Ok(match ledger.best() {
        Some(now) if now != best && by_model.contains(&now) => Improved::ByModel,
        Some(now) if now != best => Improved::BySample,
        _ => Improved::Not,
    })
}

/// The models through the sampled points; `None` where there is nothing at the centre.
fn modelled(
    ledger: &PointLedger<'_>,
    region: &Region<'_>,
    best: usize,
    (along, better): (&[usize], &[usize]),
    (pairs, mixed): (&[(usize, usize)], &[usize]),
) -> Option<Model> {
    let centre = &ledger.values(best)?;
    let through = |pick: &dyn Fn(&PointValues) -> f64| {
        let count = better.len();
        let value = pick(centre);
        let at = |trial: usize| ledger.values(trial).as_ref().map(pick);
        let (mut slope, mut second) = (vec![0.0; count], vec![0.0; count * count]);
        for of in 0..count {
            let place = |side: usize| region.step(ledger.point(along[2 * of + side]), of);
            let known =
                [0, 1].map(|side| Some((place(side), at(along[2 * of + side])? - value)).filter(|at| at.0 != 0.0));
            (slope[of], second[of * count + of]) = match known {
                [Some((a, fa)), Some((b, fb))] if a != b => {
                    // The parabola through the centre and both points.
                    let curved = 2.0 * (fb / b - fa / a) / (b - a);
                    (fa / a - 0.5 * curved * a, curved)
                }
                [Some((a, fa)), _] | [_, Some((a, fa))] => (fa / a, 0.0),
                [None, None] => (0.0, 0.0),
            };
        }
        for (&(i, j), &trial) in pairs.iter().zip(mixed) {
            let Some(corner) = at(trial) else { continue };
            let (a, b) = (region.step(ledger.point(trial), i), region.step(ledger.point(trial), j));
            let alone = |of: usize, step: f64| slope[of] * step + 0.5 * second[of * count + of] * step * step;
            let rest = corner - value - alone(i, a) - alone(j, b);
            let sides = at(along[2 * i + better[i]]).is_some() && at(along[2 * j + better[j]]).is_some();
            if sides && a * b != 0.0 {
                second[i * count + j] = rest / (a * b);
                second[j * count + i] = rest / (a * b);
            }
        }
        Quadratic { value, slope, second }
    };
    let limits = centre.excess.len();
    let excess = (0..limits).map(|limit| through(&|values: &PointValues| values.excess[limit])).collect();
    Some(Model { aim: through(&|values: &PointValues| values.aims.first().copied().unwrap_or(0.0)), excess })
}
