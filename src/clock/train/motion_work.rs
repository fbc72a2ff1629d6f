//! Whether the motion work's two pairs, which share their arbors, fit between them.

use crate::clock::design::Train;
use crate::clock::notes::Note;

/// Relative difference of the two arbor distances that is only the rounding of what was written.
const SAME_DISTANCE: f64 = 1e-3;

/// Fewest teeth of a driver that is proposed.
const FEWEST_TEETH: u32 = 6;

/// How far, in teeth of a pair's sum, proposals are looked for.
const REACH: u32 = 24;

/// Two pairs, driver and driven teeth.
pub type TwoPairs = [(u32, u32); 2];

/// The motion work that does not sit on its two arbors: cannon pinion and hour wheel turn about one axis, minute wheel and pinion about
/// the other, so that both pairs have the same distance of arbors, `m1 (a + b)/2 = m2 (c + d)/2`. `None` where it does, and for any other
/// number of pairs, which need not come back to the same axis.
#[must_use]
pub fn not_coaxial(train: &Train) -> Option<Note> {
    let [first, second] = train.motion_work[..] else { return None };
    let sums = [first.0 + first.1, second.0 + second.1];
    let modules_m = match train.motion_work_modules_m[..] {
        [first_m, second_m] => Some([first_m, second_m]),
        _ => None,
    };
    let [one, other] = modules_m.unwrap_or([1.0, 1.0]);
    let distances = [one * f64::from(sums[0]), other * f64::from(sums[1])];
    if is_same_distance(distances) {
        return None;
    }
    Some(Note::MotionWorkNotCoaxial { pairs: [first, second], modules_m, counts: nearest_coaxial([first, second]) })
}

/// Whether two pairs at these distances of their arbors go between the same two arbors.
#[must_use]
pub fn is_same_distance(distances: [f64; 2]) -> bool {
    (distances[0] / distances[1] - 1.0).abs() <= SAME_DISTANCE
}

/// Counts that turn the hour hand once in twelve turns and have equal sums, nearest to those given: first by the teeth that change, then
/// the smaller.
fn nearest_coaxial(given: TwoPairs) -> Option<TwoPairs> {
    let sums = given.map(|(driver, driven)| driver + driven);
    let (low, high) = (sums[0].min(sums[1]).saturating_sub(REACH), sums[0].max(sums[1]) + REACH);
    let away = |pairs: &TwoPairs| -> u32 {
        let of = |a: (u32, u32), b: (u32, u32)| a.0.abs_diff(b.0) + a.1.abs_diff(b.1);
        of(pairs[0], given[0]) + of(pairs[1], given[1])
    };
    let mut best: Option<TwoPairs> = None;
    for sum in low..=high {
        for driver in FEWEST_TEETH..sum.saturating_sub(FEWEST_TEETH) {
            // (s - a)(s - c) = 12 a c, solved for c.
            let (over, under) = (u64::from(sum) * u64::from(sum - driver), u64::from(11 * driver + sum));
            let Some(second) = over.is_multiple_of(under).then(|| (over / under) as u32) else { continue };
            if second < FEWEST_TEETH || second + FEWEST_TEETH > sum {
                continue;
            }
            let pairs = [(driver, sum - driver), (second, sum - second)];
            if best.as_ref().is_none_or(|best| away(&pairs) < away(best)) {
                best = Some(pairs);
            }
        }
    }
    best
}
