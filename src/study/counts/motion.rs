//! Motion work: two pairs on two arbors that turn the hour hand once in twelve turns of the minute hand.

use crate::clock::train::counts::HOUR_HAND_RATIO;
use crate::clock::train::motion_work::is_same_distance;
use crate::numerics::whole::{divisors_within, prime_factors};

use super::kept::Kept;
use super::rank::{Measures, RankedGears};
use super::{Counted, CountsAsk, CountsError, MeshCounts, WorkLeft};

/// Turns of the minute hand for one of the hour hand.
const HOUR_HAND_TURNS: u64 = HOUR_HAND_RATIO as u64;

/// Two pairs of a motion work.
#[derive(Debug, Clone, PartialEq)]
pub struct MotionPair {
    /// Cannon pinion with minute wheel, and minute pinion with hour wheel; the pinions are the drivers.
    pub gears: RankedGears,
}

/// All motion works within the bounds: cannon pinion `a`, minute wheel `b`, minute pinion `c`, hour wheel `d` with `b d = 12 a c` and both
/// pairs on the same two arbors, `m1 (a + b) = m2 (c + d)` as far as the program lets them differ.
///
/// With one module the pairs may change places, which is the same gears; that with the smaller ratio first is counted.
pub(super) fn motion_works(ask: &CountsAsk, measures: &Measures) -> Result<Counted<MotionPair>, CountsError> {
    let modules_m = ask.motion_modules_m;
    let module_at = |place: usize| modules_m[place.min(1)];
    let one_module = modules_m[0] == modules_m[1];
    let (least, teeth) = (ask.gears.leaves.least, ask.gears.teeth);
    let mut kept = Kept::new(ask.rank, ask.most);
    let mut work = WorkLeft::new("motion works");
    for cannon in least..=teeth.most {
        for pinion in least..=teeth.most {
            let product = HOUR_HAND_TURNS * u64::from(cannon) * u64::from(pinion);
            work.steps(u64::from(teeth.most) / 8)?;
            let (factors, left) = prime_factors(product, teeth.most);
            if left > 1 {
                continue;
            }
            for minute_wheel in divisors_within(&factors, teeth.least.max(least), teeth.most) {
                work.steps(1)?;
                let hour_wheel = product / u64::from(minute_wheel);
                let Some(hour_wheel) = u32::try_from(hour_wheel).ok().filter(|&wheel| teeth.holds(u64::from(wheel)))
                else {
                    continue;
                };
                let sums = [f64::from(cannon + minute_wheel), f64::from(pinion + hour_wheel)];
                if !is_same_distance([modules_m[0] * sums[0], modules_m[1] * sums[1]]) {
                    continue;
                }
                let pairs =
                    [MeshCounts { wheel: minute_wheel, pinion: cannon }, MeshCounts { wheel: hour_wheel, pinion }];
                let rises = pairs[0].wheel * pairs[1].pinion <= pairs[1].wheel * pairs[0].pinion;
                if one_module && !rises {
                    continue;
                }
                work.train()?;
                kept.offer(&measures.of(&pairs, module_at), 0, &pairs);
            }
        }
    }
    let found = kept.found;
    let pair = |(_, meshes): (u32, Vec<MeshCounts>)| MotionPair { gears: measures.gears(&meshes, module_at) };
    Ok(Counted { found, best: kept.best().into_iter().map(pair).collect() })
}
