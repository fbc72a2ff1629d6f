//! A whole turn of a wheel whose teeth differ, by as many periods of one whose teeth are alike and what is left.

use std::collections::BTreeSet;

use crate::numerics::sparse::{SparseGrid, SparseInterpolant};

use super::map::{DialMap, LEFT_TOLERANCE, MappedReturn, SWING_TOLERANCE, TIME_TOLERANCE, alike};

/// Levels of the grid over swing and torque at which what is left is known, each tried where the one before does not do.
const LEVELS: std::ops::RangeInclusive<u32> = 1..=3;

/// Places, as shares of the two ranges, at which the motion is asked whether it agrees: between the grid's own.
const ASKED_AT: [(f64, f64); 4] = [(0.27, 0.31), (0.36, 0.81), (0.71, 0.22), (0.83, 0.64)];

/// Share of the largest swing by which the range of swings is widened on both sides.
const WIDENED: f64 = 1e-3;

/// Amplitudes on the right and on the left in a period, rad.
type BothSides = [f64; 2];

/// A turn from a swing under a torque.
struct Turn {
    square: f64,
    gain: f64,
    duration_s: f64,
    swings_rad: Vec<BothSides>,
}

/// The turns for every swing and every torque of the hands in a range.
///
/// The teeth's differences are small and go round with the wheel. What they add to the periods of the even wheel is therefore small and smooth,
/// and is interpolated on a sparse grid, each point a whole turn by the motion: to the gain of the square of the amplitude, to the time, and to the
/// amplitudes in those periods that may be the least ones.
pub(super) struct TurnMap<'c> {
    even: DialMap<'c>,
    periods: usize,
    ranges: [(f64, f64); 2],
    /// Of gain and duration.
    left_over: SparseInterpolant<2>,
    /// Of amplitudes, for each side and period: those that may be least, and the last on the left.
    swings_left_over: Vec<(usize, usize, SparseInterpolant<1>)>,
}

impl<'c> TurnMap<'c> {
    /// The turns of `uneven` by the periods of `even`; `None` where they do not agree with the motion.
    ///
    /// A turn's swing may differ as much as that of so many periods, each rough by itself: by [`SWING_TOLERANCE`] times the root of their number.
    pub(super) fn of(
        uneven: &DialMap<'c>,
        mut even: DialMap<'c>,
        (low_rad, high_rad): (f64, f64),
        torques_n_m: (f64, f64),
    ) -> Option<Self> {
        let ranges = [(low_rad - WIDENED * high_rad, high_rad * (1.0 + WIDENED)), torques_n_m];
        if !ranges.iter().all(|range| range.0 < range.1) {
            return None;
        }
        let periods = uneven.clock(torques_n_m.0).periods_per_return();
        let asked = ASKED_AT.map(|shares| {
            let at = |range: (f64, f64), share: f64| range.0 + share * (range.1 - range.0);
            [at(ranges[0], shares.0), at(ranges[1], shares.1)]
        });
        let by_motion = asked.iter().map(|place| turn_of(uneven, place)).collect::<Option<Vec<_>>>()?;
        let (mut known, mut least) = (Vec::new(), BTreeSet::new());
        least.extend(by_motion.iter().flat_map(|(_, turn)| least_swings(turn)));
        for level in LEVELS {
            let grid = SparseGrid::new(ranges.to_vec(), level);
            for place in grid.points().iter().skip(known.len()) {
                let (_, turn) = turn_of(uneven, place)?;
                least.extend(least_swings(&turn));
                known.push((turn, periods_of(&mut even, periods, place)?));
            }
            let rest =
                |of: &dyn Fn(&Turn) -> f64| known.iter().map(|(turn, even)| of(turn) - of(even)).collect::<Vec<_>>();
            let (gains, durations) = (rest(&|turn| turn.gain), rest(&|turn| turn.duration_s));
            let left_over: Vec<[f64; 2]> =
                gains.into_iter().zip(durations).map(|(gain, more_s)| [gain, more_s]).collect();
            let swings_left_over = least.iter().map(|&(side, period)| {
                let rests: Vec<[f64; 1]> =
                    rest(&|turn| turn.swings_rad[period][side]).into_iter().map(|rest| [rest]).collect();
                (side, period, grid.clone().through(&rests))
            });
            let swings_left_over = swings_left_over.collect();
            let left_over = grid.through(&left_over);
            let mut turns = Self { even, periods, ranges, left_over, swings_left_over };
            if asked.iter().zip(&by_motion).all(|(place, (by_motion, _))| turns.agree(place, by_motion)) {
                return Some(turns);
            }
            even = turns.even;
        }
        None
    }

    fn agree(&mut self, &[right_rad, hands_n_m]: &[f64; 2], by_motion: &MappedReturn) -> bool {
        let swing_tolerance = SWING_TOLERANCE * (self.periods as f64).sqrt();
        self.turn(right_rad, hands_n_m).is_some_and(|found| {
            alike(found.right_rad, by_motion.right_rad, swing_tolerance)
                && alike(found.left_rad, by_motion.left_rad, LEFT_TOLERANCE)
                && alike(found.least_rad.0, by_motion.least_rad.0, LEFT_TOLERANCE)
                && alike(found.least_rad.1, by_motion.least_rad.1, LEFT_TOLERANCE)
                && alike(found.duration_s, by_motion.duration_s, TIME_TOLERANCE)
        })
    }

    /// The turn from a swing to `right_rad` under a torque of the hands; `None` out of the range.
    pub(super) fn turn(&mut self, right_rad: f64, hands_n_m: f64) -> Option<MappedReturn> {
        let place = [right_rad, hands_n_m];
        if !place.iter().zip(self.ranges).all(|(&at, (low, high))| low <= at && at <= high) {
            return None;
        }
        let even = periods_of(&mut self.even, self.periods, &place)?;
        let [gain, duration_s] = self.left_over.at(&place);
        let (mut left_rad, mut least_rad) = (f64::NAN, [f64::INFINITY; 2]);
        for (side, period, left_over) in &self.swings_left_over {
            let swing_rad = even.swings_rad[*period][*side] + left_over.at(&place)[0];
            least_rad[*side] = least_rad[*side].min(swing_rad);
            if (*side, *period) == (1, self.periods - 1) {
                left_rad = swing_rad;
            }
        }
        Some(MappedReturn {
            right_rad: (even.square + even.gain + gain).max(0.0).sqrt(),
            left_rad,
            least_rad: (least_rad[0], least_rad[1]),
            duration_s: even.duration_s + duration_s,
        })
    }
}

/// Sides and periods of the least amplitudes, with the neighbours of these, and of the last one on the left.
fn least_swings(turn: &Turn) -> Vec<(usize, usize)> {
    let count = turn.swings_rad.len();
    let mut found = vec![(1, count - 1)];
    for side in [0, 1] {
        let swing = |period: &usize| turn.swings_rad[*period][side];
        let least = (0..count).min_by(|a, b| swing(a).total_cmp(&swing(b))).unwrap_or(0);
        found.extend((least.saturating_sub(1)..=(least + 1).min(count - 1)).map(|period| (side, period)));
    }
    found
}

/// A turn of the uneven wheel by the motion.
fn turn_of(uneven: &DialMap<'_>, place: &[f64]) -> Option<(MappedReturn, Turn)> {
    let &[right_rad, hands_n_m] = place else { return None };
    let mut swings_rad = Vec::new();
    let back = uneven
        .motion_by_periods(right_rad, hands_n_m, &mut |back| swings_rad.push([back.right_rad, back.left_rad]))
        .ok()?;
    let square = right_rad * right_rad;
    let gain = back.right_rad * back.right_rad - square;
    Some((back, Turn { square, gain, duration_s: back.duration_s, swings_rad }))
}

/// So many periods of the even wheel.
fn periods_of(even: &mut DialMap<'_>, periods: usize, place: &[f64]) -> Option<Turn> {
    let &[right_rad, hands_n_m] = place else { return None };
    let (mut here_rad, mut duration_s, mut swings_rad) = (right_rad, 0.0, Vec::with_capacity(periods));
    for _ in 0..periods {
        let back = even.period(here_rad, hands_n_m).ok()?;
        here_rad = back.right_rad;
        duration_s += back.duration_s;
        swings_rad.push([back.right_rad, back.left_rad]);
    }
    let square = right_rad * right_rad;
    Some(Turn { square, gain: here_rad * here_rad - square, duration_s, swings_rad })
}
