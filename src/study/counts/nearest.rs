//! Where no train gives a beat: the nearest that one gives, and the simple fraction that a decimal may stand for.

use num_rational::Ratio;

use crate::numerics::whole::{prime_factors, simplest_between};

use super::factored::ProductReach;
use super::{BEATS_PER_HOUR_AND_TOOTH, CountsAsk, CountsError, WorkLeft, gives_beat};

/// Relative distance beyond which a beat is not near.
const FARTHEST: f64 = 0.01;

/// Steps of the search for a near beat, which is but a help: a fraction of a second.
const MOST_STEPS_NEAR: u64 = 30_000_000;

/// A beat that a train within the bounds gives.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NearestBeat {
    /// The beat, s.
    pub beat_s: Ratio<u128>,
    /// Its relative distance from the one asked for, positive where it is longer.
    pub longer: f64,
    /// Teeth of the escape wheel that gives it.
    pub escape_teeth: u32,
}

/// The nearest beat to the one asked for, within a hundredth of it.
///
/// For each choice of pinions the wheels' product wanted is no whole number, or has no divisors that do; the products about it are tried
/// outwards, as far as they can be nearer than the best so far.
pub(super) fn nearest_beat(ask: &CountsAsk) -> Result<Option<NearestBeat>, CountsError> {
    let mut work = WorkLeft { steps: MOST_STEPS_NEAR, ..WorkLeft::new("trains near the beat") };
    let mut best: Option<NearestBeat> = None;
    for &escape_teeth in &ask.escape_teeth {
        for &between in &ask.arbors_between {
            let mut products = vec![1_u64];
            for _ in 0..=between {
                let range = u64::from(ask.gears.leaves.most - ask.gears.leaves.least) + 1;
                work.steps(products.len() as u64 * range)?;
                let longer = products.iter().flat_map(|&product| {
                    (ask.gears.leaves.least..=ask.gears.leaves.most).map(move |leaves| product * u64::from(leaves))
                });
                let mut longer: Vec<u64> = longer.collect();
                longer.sort_unstable();
                longer.dedup();
                products = longer;
            }
            for pinions in products {
                about(ask, (escape_teeth, between as usize + 1, pinions), &mut work, &mut best)?;
            }
        }
    }
    Ok(best)
}

fn about(
    ask: &CountsAsk,
    (escape_teeth, meshes, pinions): (u32, usize, u64),
    work: &mut WorkLeft,
    best: &mut Option<NearestBeat>,
) -> Result<(), CountsError> {
    let asked_s = *ask.beat_s.numer() as f64 / *ask.beat_s.denom() as f64;
    let over = BEATS_PER_HOUR_AND_TOOTH as f64 * pinions as f64 / f64::from(escape_teeth);
    let wanted = over / asked_s;
    let reach = ProductReach::of(ask.gears.teeth, meshes);
    let middle = wanted.round();
    if !(1.0..1e18).contains(&middle) {
        return Ok(());
    }
    let middle = middle as u64;
    for step in 0_u64.. {
        let limit = best.map_or(FARTHEST, |best| best.longer.abs());
        // The nearer of the two products of this step is at least half a step less away.
        if (step as f64 - 0.5) / wanted > limit {
            break;
        }
        for product in [middle.checked_sub(step), middle.checked_add(step).filter(|_| step > 0)].into_iter().flatten() {
            work.steps(1)?;
            if product == 0 || !reach.holds(product) {
                continue;
            }
            let longer = wanted / product as f64 - 1.0;
            let limit = best.map_or(FARTHEST, |best| best.longer.abs());
            if longer.abs() >= limit {
                continue;
            }
            work.steps(u64::from(ask.gears.teeth.most))?;
            if !splits(product, meshes, ask) {
                continue;
            }
            let beat_s = Ratio::new(
                BEATS_PER_HOUR_AND_TOOTH * u128::from(pinions),
                u128::from(escape_teeth) * u128::from(product),
            );
            *best = Some(NearestBeat { beat_s, longer, escape_teeth });
        }
    }
    Ok(())
}

/// Whether so many wheels within the bounds multiply to a product.
fn splits(product: u64, wheels: usize, ask: &CountsAsk) -> bool {
    let teeth = ask.gears.teeth;
    if wheels == 1 {
        return teeth.holds(product);
    }
    if prime_factors(product, teeth.most).1 > 1 {
        return false;
    }
    let reach = ProductReach::of(teeth, wheels - 1);
    (teeth.least..=teeth.most).map(u64::from).any(|wheel| {
        product.is_multiple_of(wheel) && reach.holds(product / wheel) && splits(product / wheel, wheels - 1, ask)
    })
}

/// The simplest fraction within half a step of the last digit written, where it is another beat and a train gives it.
///
/// # Errors
/// [`CountsError`].
pub fn simplest_beat(ask: &CountsAsk, half_step_s: Ratio<u128>) -> Result<Option<Ratio<u128>>, CountsError> {
    if half_step_s >= ask.beat_s {
        return Ok(None);
    }
    let Some(simplest_s) = simplest_between(ask.beat_s - half_step_s, ask.beat_s + half_step_s) else {
        return Ok(None);
    };
    let is_other = simplest_s != ask.beat_s;
    Ok(if is_other && gives_beat(ask, simplest_s)? { Some(simplest_s) } else { None })
}
