//! The least drive where the start that it just holds is the smallest that comes round.
//!
//! Start and drive are then the zero of two smooth quantities, a little above that edge: what the swing clears the escaping arcs by, and its
//! gain. A quasi-Newton method with the slopes of a clock much like it (C. G. Broyden, "A class of methods for solving nonlinear
//! simultaneous equations", 1965, his first update, recalled) takes a few periods where a search for the best start at one drive after
//! another takes dozens.

use nalgebra::{Matrix2, Vector2};

use super::return_map::{Clock, PeriodOutcome};

/// Distance above the edge at which start and drive are solved for, in escaping arcs: the gain's slope has a singularity at the edge itself.
const ABOVE_EDGE: f64 = 1e-4;

/// Steps of the differences, relative.
const STEP: f64 = 1e-3;

/// Where a clock much like the known one is asked first: above the known edge, in escaping arcs, above one that is foreseen for it, and, where
/// that does not come round, under so much more drive.
const FIRST_ABOVE: f64 = 3e-3;
const FIRST_ABOVE_FORESEEN: f64 = 3e-4;
const FIRST_MORE: f64 = 1.2;

/// Most steps, and share of a step by which its end is kept off the edge.
const ROUNDS: usize = 7;
const KEPT_OFF: f64 = 0.01;

/// Accuracy of start and of drive above the edge, relative.
const NEAR_ENOUGH: Vector2<f64> = Vector2::new(5e-5, 2e-4);

/// Change of the drive, relative, by which it counts as found over a turn, and how much more than the drive told it is told again from.
const STAYS: f64 = 2e-5;
const MORE_DRIVE: f64 = 5e-4;

/// Width to which the edge is closed in on, in escaping arcs, that of a second time under the drive then known, and most probes for it.
const EDGE_NEAR_ENOUGH: f64 = 2e-6;
const EDGE_IN_THE_END: f64 = 2e-7;
const EDGE_ROUNDS: usize = 10;

/// How far above the guessed edge it is looked for, in escaping arcs, and where teeth differ: there the tooth that just gets past need not be the one
/// whose arc is used up first.
const EDGE_REACH: f64 = ABOVE_EDGE;
const EDGE_REACH_OVER_A_TURN: f64 = 30.0 * ABOVE_EDGE;

/// Distances above the edge, in escaping arcs, at which another start may gain, where the map jumps.
const BEYOND_EDGE: [f64; 5] = [2.5e-4, 6e-4, 1.3e-3, 3e-3, 6e-3];

/// Width to which such a jump is closed in on, in escaping arcs, most steps of the drive beyond it, and gain, in escaping arcs, from which the
/// last of them may be a straight one.
const JUMP_NEAR_ENOUGH: f64 = 4e-6;
const JUMP_ROUNDS: usize = 4;
const JUMP_GAIN: f64 = 2e-7;

/// Gain, in escaping arcs, by which a start nearer the edge may seem to gain less.
const LEAST_RISE: f64 = 1e-6;

/// What a clock whose least drive just holds the smallest start that comes round has taught.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct EdgeStart {
    /// The start, in escaping arcs.
    start: f64,
    /// What its swing clears the escaping arcs by, in them.
    clearance: f64,
    /// Slopes of clearance and gain, in escaping arcs, by start, in them, and logarithm of the drive.
    slopes: Matrix2<f64>,
    /// How far above the start another clock is asked first, in escaping arcs.
    first_above: f64,
    /// By how much the gain at the edge exceeds that at [`EDGE_NEAR_ENOUGH`] above it; towards the edge it rises about as the root.
    rise_to_edge: f64,
    /// How far above the guessed edge it is looked for.
    reach: f64,
}

/// A least drive that just holds the smallest start that comes round, and that start, in escaping arcs, with what its swing clears them by.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct EdgePlace {
    pub drive: f64,
    pub start: f64,
    pub clearance: f64,
}

/// Clearance and gain of a start under a drive, all in escaping arcs; `None` where it does not come round.
fn asked(clock: &Clock<'_>, start: f64) -> Option<Vector2<f64>> {
    let escape = clock.widest_escaping_arc_rad();
    match clock.period_from(start * escape) {
        PeriodOutcome::Returned(back) => Some(Vector2::new(back.beyond_rad / escape, back.right_rad / escape - start)),
        PeriodOutcome::Failed(_) => None,
    }
}

/// A start a little beyond one, at the same drive, that gains, with its gain; `None` where none is seen.
fn beyond(at: &impl Fn(Vector2<f64>) -> Option<Vector2<f64>>, place: Vector2<f64>) -> Option<(f64, f64)> {
    BEYOND_EDGE.iter().find_map(|above| {
        let gain = at(place + Vector2::new(*above, 0.0))?[1];
        (gain > 0.0).then_some((*above, gain))
    })
}

/// Logarithm of the least drive where, at that of a `place` whose start it just holds, another start beyond a jump of the map gains: by the
/// start just beyond that jump. `None` where it is not found so.
fn past_jump(
    at: &impl Fn(Vector2<f64>) -> Option<Vector2<f64>>,
    place: Vector2<f64>,
    (above, gain): (f64, f64),
    by_drive: f64,
) -> Option<f64> {
    let gain_at = |above: f64, drive: f64| at(Vector2::new(place[0] + above, drive)).map(|found| found[1]);
    let (mut below, mut works) = ((0.0, 0.0), (above, gain));
    while works.0 - below.0 > JUMP_NEAR_ENOUGH {
        let middle = 0.5 * (below.0 + works.0);
        // On the near side of the jump a smaller start gains more.
        match gain_at(middle, place[1]) {
            Some(gain) if gain > works.1 => works = (middle, gain),
            gain => below = (middle, gain.unwrap_or(below.1)),
        }
    }
    let height = works.1 - below.1;
    let (mut here, mut drive) = (works, place[1]);
    for _ in 0..JUMP_ROUNDS {
        drive -= here.1 / by_drive;
        here = jump_above(&|above| gain_at(above, drive), here.0, -0.5 * height)?;
        if here.1.abs() <= JUMP_GAIN {
            let told = drive - here.1 / by_drive;
            let beyond_that = beyond(at, Vector2::new(place[0] + here.0, told));
            return beyond_that.is_none().then_some(told);
        }
    }
    None
}

/// The smallest start from one upwards that gains more than so much, which those on the near side of a jump do not, and its gain.
fn jump_above(gain_at: &impl Fn(f64) -> Option<f64>, from: f64, more_than: f64) -> Option<(f64, f64)> {
    let beyond = |above: f64| gain_at(above).filter(|&gain| gain > more_than).map(|gain| (above, gain));
    let (mut below, mut stride) = (from, JUMP_NEAR_ENOUGH);
    let mut works = beyond(from);
    while works.is_none() && stride < BEYOND_EDGE[2] {
        works = beyond(from + stride);
        if works.is_none() {
            below = from + stride;
        }
        stride *= 2.0;
    }
    let mut works = works?;
    while works.0 - below > JUMP_NEAR_ENOUGH {
        let middle = 0.5 * (below + works.0);
        match beyond(middle) {
            Some(found) => works = found,
            None => below = middle,
        }
    }
    Some(works)
}

impl EdgeStart {
    /// From a least `drive` and the start, in escaping arcs, that it just holds; `None` where smaller ones come round, too.
    pub fn of<'m>(with: &impl Fn(f64) -> Clock<'m>, drive: f64, start: f64) -> Option<Self> {
        let clock = with(drive);
        if asked(&clock, start - ABOVE_EDGE).is_some() {
            return None;
        }
        let at_edge = asked(&clock, start)?;
        let rise_to_edge = at_edge[1] - asked(&clock, start + EDGE_NEAR_ENOUGH)?[1];
        let here = asked(&clock, start + ABOVE_EDGE)?;
        let by_start = (asked(&clock, start + ABOVE_EDGE + STEP)? - here) / STEP;
        let by_drive = (asked(&with(drive * (1.0 + STEP)), start + ABOVE_EDGE)? - here) / STEP.ln_1p();
        let slopes = Matrix2::from_columns(&[by_start, by_drive]);
        Some(Self { start, clearance: at_edge[0], slopes, first_above: FIRST_ABOVE, rise_to_edge, reach: EDGE_REACH })
    }

    /// Its place under the least drive that it was made from.
    pub const fn place(&self, drive: f64) -> EdgePlace {
        EdgePlace { drive, start: self.start, clearance: self.clearance }
    }

    /// The same with the start and clearance that are foreseen for another clock.
    pub const fn foreseen(self, start: f64, clearance: f64) -> Self {
        Self { start, clearance, first_above: FIRST_ABOVE_FORESEEN, ..self }
    }

    /// The same for a wheel of so many teeth that differ, of which the one that escapes last comes after `hardest` periods, learnt from a
    /// clock whose teeth are alike: what a period leaves of a difference of the swing is left by each of them in turn.
    pub fn over_a_turn(self, periods: usize, hardest: usize) -> Self {
        let [by_start, by_drive] = [self.slopes.column(0), self.slopes.column(1)];
        let kept = 1.0 + by_start[1];
        let sum_of = |periods: usize| (0..periods).map(|period| kept.powi(period as i32)).sum::<f64>();
        let (whole, before) = (sum_of(periods), sum_of(hardest));
        let slopes = Matrix2::new(
            by_start[0] * kept.powi(hardest as i32),
            by_drive[0] + by_start[0] * by_drive[1] * before,
            by_start[1] * whole,
            by_drive[1] * whole,
        );
        Self { slopes, reach: EDGE_REACH_OVER_A_TURN, ..self }
    }

    /// The least drive of a clock much like the known one, from its own; `None` where it is not found so.
    pub fn near<'m>(&self, with: &impl Fn(f64) -> Clock<'m>, drive: f64) -> Option<EdgePlace> {
        let at = |place: Vector2<f64>| asked(&with(drive * place[1].exp()), place[0]);
        let first = Vector2::new(self.start + self.first_above, 0.0);
        let more = first + Vector2::new(0.0, FIRST_MORE.ln());
        let (mut place, mut found) = match at(first) {
            Some(found) => (first, found),
            None => (more, at(more)?),
        };
        let mut slopes = self.slopes;
        let wanted = Vector2::new(self.clearance + ABOVE_EDGE, 0.0);
        for _ in 0..ROUNDS {
            let inverse = slopes.try_inverse()?;
            let whole = inverse * (wanted - found);
            if whole.abs() < NEAR_ENOUGH {
                let (told, clearance) = if self.reach == EDGE_REACH {
                    // Again from there: the edge moves with the drive by another slope than what the swing clears the arcs by.
                    let (told, _) = self.told(&at, place + whole, slopes, EDGE_NEAR_ENOUGH)?;
                    self.told(&at, told + Vector2::new(ABOVE_EDGE, 0.0), slopes, EDGE_IN_THE_END)?
                } else {
                    self.told_over_a_turn(&at, place + whole, slopes)?
                };
                let best = match beyond(&at, told) {
                    None => told[1],
                    Some(jump) if self.reach == EDGE_REACH => past_jump(&at, told, jump, slopes[(1, 1)])?,
                    Some(_) => return None,
                };
                return Some(EdgePlace { drive: drive * best.exp(), start: told[0], clearance });
            }
            let kept_off = (KEPT_OFF * whole.amax()).max(ABOVE_EDGE) - ABOVE_EDGE;
            let step = inverse * (wanted + Vector2::new(kept_off, 0.0) - found);
            let (step, next) = at(place + step).map(|next| (step, next)).or_else(|| {
                let half = 0.5 * step;
                at(place + half).map(|next| (half, next))
            })?;
            let missed = next - found - slopes * step;
            slopes += missed * step.transpose() / step.norm_squared();
            (place, found) = (place + step, next);
        }
        None
    }

    /// The least drive over a turn from a place a little above the edge, again from where that leads until it stays.
    fn told_over_a_turn(
        &self,
        at: &impl Fn(Vector2<f64>) -> Option<Vector2<f64>>,
        above: Vector2<f64>,
        slopes: Matrix2<f64>,
    ) -> Option<(Vector2<f64>, f64)> {
        let mut told = self.told(at, above, slopes, EDGE_NEAR_ENOUGH)?;
        // Under a little more the smallest start surely gains.
        let from = Vector2::new(ABOVE_EDGE, MORE_DRIVE);
        for _ in 0..ROUNDS {
            let Some(again) = self.told(at, told.0 + from, slopes, EDGE_NEAR_ENOUGH) else { break };
            let change = (again.0 - told.0)[1].abs();
            told = again;
            if change <= STAYS {
                break;
            }
        }
        Some(told)
    }

    /// Start and logarithm of the least drive, that at which the smallest start seen to come round just keeps its swing, and its clearance.
    fn told(
        &self,
        at: &impl Fn(Vector2<f64>) -> Option<Vector2<f64>>,
        above: Vector2<f64>,
        slopes: Matrix2<f64>,
        near_enough: f64,
    ) -> Option<(Vector2<f64>, f64)> {
        // Of a gain that falls with the start: else the best start is no edge.
        let by_drive = slopes[(1, 1)];
        if !(slopes[(1, 0)] < 0.0 && by_drive > 0.0) {
            return None;
        }
        // Towards the edge the gain rises; where it is less the map has jumped.
        let probe = |off: f64| {
            let place = above - Vector2::new(ABOVE_EDGE - off, 0.0);
            at(place).filter(|found| found[1] > -LEAST_RISE).map(|found| (off, place, found))
        };
        let (mut works, mut fails, mut smooth) = (None::<(f64, Vector2<f64>, Vector2<f64>)>, f64::NEG_INFINITY, false);
        let (mut off, mut stride) = (near_enough, 2.0 * near_enough);
        // As many more as doubled strides to the end of the reach.
        let further = (self.reach / EDGE_REACH).log2().ceil() as usize;
        for _ in 0..EDGE_ROUNDS + further {
            match probe(off) {
                Some(found) if works.is_none_or(|works| found.2[1] >= works.2[1]) => works = Some(found),
                found => (fails, smooth) = (off, smooth || found.is_some()),
            }
            let bound = works.map_or(f64::INFINITY, |(off, ..)| off);
            if bound - fails < near_enough {
                break;
            }
            stride *= 2.0;
            off = match (bound.is_finite(), fails.is_finite()) {
                (true, true) => 0.5 * (bound + fails),
                (true, false) => bound - stride,
                _ => (fails + stride).min(self.reach),
            };
        }
        let (off, place, at_edge) = works?;
        let distance = Some(0.5 * (off - fails)).filter(|distance| distance.is_finite())?;
        let more = if smooth { 0.0 } else { self.rise_to_edge * (distance / EDGE_NEAR_ENOUGH).sqrt() };
        let gain = at_edge[1] + more;
        // The edge moves up where the drive is less, about as far as where the swing clears the arcs as much.
        let less = gain / by_drive;
        let up = (less * slopes[(0, 1)] / slopes[(0, 0)]).max(if less > 0.0 { near_enough } else { 0.0 });
        let moved = |times: &f64| {
            let next = place + Vector2::new(times * up, -less);
            at(next).filter(|found| found[1] > -LEAST_RISE).map(|found| (next, found))
        };
        let Some((next, there)) = [1.0, 2.0, 4.0, 8.0].iter().find_map(moved) else {
            return Some((place - Vector2::new(0.0, less), at_edge[0]));
        };
        let there = there[1] + more;
        let slope = (there - gain) / -less;
        let slope = if (0.5..2.0).contains(&(slope / by_drive)) { slope } else { by_drive };
        Some((next - Vector2::new(0.0, there / slope), at_edge[0]))
    }
}
