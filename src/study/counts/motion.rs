//! Motion work: two pairs on two arbors that turn the hour hand once in twelve turns of the minute hand.

use crate::clock::train::counts::HOUR_HAND_RATIO;
use crate::clock::train::motion_work::is_same_distance;

use super::kept::Kept;
use super::rank::{Measures, RankedGears};
use super::{CountsAsk, CountsError, MeshCounts, RankedRows, WorkLeft};

/// Turns of the minute hand for one of the hour hand.
const HOUR_HAND_TURNS: u64 = HOUR_HAND_RATIO as u64;

/// Relative distance within which a count is tried against the program's own allowance, which is less.
const FAR: f64 = 0.01;

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
pub(super) fn motion_works(ask: &CountsAsk, measures: &Measures) -> Result<RankedRows<MotionPair>, CountsError> {
    let modules_m = ask.motion_modules_m;
    let module_at = |place: usize| modules_m[place.min(1)];
    let one_module = modules_m[0] == modules_m[1];
    let (least, teeth) = (ask.gears.leaves.least, ask.gears.teeth);
    let mut kept = Kept::new(ask.rank, ask.most);
    let mut work = WorkLeft::new("motion works");
    for cannon in least..=teeth.most {
        for minute_wheel in teeth.least.max(least)..=teeth.most {
            work.steps(1)?;
            // d = 12 a c/b, so that m2 (c + d) = m1 (a + b) gives c but for the distance by which they may differ.
            let over = HOUR_HAND_TURNS * u64::from(cannon);
            let driven = f64::from(minute_wheel);
            let near = modules_m[0] / modules_m[1] * f64::from(cannon + minute_wheel) / (1.0 + over as f64 / driven);
            let first = (near * (1.0 - FAR)).floor() as u32;
            let last = ((near * (1.0 + FAR)).ceil() as u32).min(teeth.most);
            for pinion in first.max(least)..=last {
                let product = over * u64::from(pinion);
                let hour_wheel = product / u64::from(minute_wheel);
                if !product.is_multiple_of(u64::from(minute_wheel)) || !teeth.holds(hour_wheel) {
                    continue;
                }
                let hour_wheel = hour_wheel as u32;
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
    Ok(RankedRows { found, best: kept.best().into_iter().map(pair).collect() })
}
