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

/// Where a clock much like the known one is asked first: above the known edge, in escaping arcs, and, where that does not come round,
/// under so much more drive.
const FIRST_ABOVE: f64 = 3e-3;
const FIRST_MORE: f64 = 1.2;

/// Most steps, and share of a step by which its end is kept off the edge.
const ROUNDS: usize = 7;
const KEPT_OFF: f64 = 0.01;

/// Accuracy of start and of drive above the edge, relative.
const NEAR_ENOUGH: Vector2<f64> = Vector2::new(5e-5, 2e-4);

/// Width to which the edge is closed in on, in escaping arcs, and most probes for it.
const EDGE_NEAR_ENOUGH: f64 = 2e-6;
const EDGE_ROUNDS: usize = 9;

/// Distances above the edge, in escaping arcs, at which another start may gain, where the map jumps.
const BEYOND_EDGE: [f64; 3] = [3e-4, 1e-3, 3e-3];

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
    /// By how much the gain at the edge exceeds that at [`EDGE_NEAR_ENOUGH`] above it; towards the edge it rises about as the root.
    rise_to_edge: f64,
}

/// Clearance and gain of a start under a drive, all in escaping arcs; `None` where it does not come round.
fn asked(clock: &Clock<'_>, start: f64) -> Option<Vector2<f64>> {
    let (right_rad, left_rad) = clock.escaping_arcs_rad();
    let escape = right_rad.max(left_rad);
    match clock.period_from(start * escape) {
        PeriodOutcome::Returned(back) => {
            let clearance = (back.least_rad.0 - right_rad).min(back.least_rad.1 - left_rad);
            Some(Vector2::new(clearance / escape, back.right_rad / escape - start))
        }
        PeriodOutcome::Failed(_) => None,
    }
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
        Some(Self { start, clearance: at_edge[0], slopes, rise_to_edge })
    }

    /// The least drive of a clock much like the known one, from its own; `None` where it is not found so.
    pub fn near<'m>(&self, with: &impl Fn(f64) -> Clock<'m>, drive: f64) -> Option<f64> {
        let at = |place: Vector2<f64>| asked(&with(drive * place[1].exp()), place[0]);
        let first = Vector2::new(self.start + FIRST_ABOVE, 0.0);
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
                let told = self.told(&at, place + whole, slopes)?;
                // Beyond a jump of the map another start may gain.
                let gains = |above: &f64| at(told + Vector2::new(*above, 0.0)).is_some_and(|found| found[1] > 0.0);
                return (!BEYOND_EDGE.iter().any(gains)).then(|| drive * told[1].exp());
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

    /// Start and logarithm of the least drive: that at which the smallest start seen to come round just keeps its swing.
    fn told(
        &self,
        at: &impl Fn(Vector2<f64>) -> Option<Vector2<f64>>,
        above: Vector2<f64>,
        slopes: Matrix2<f64>,
    ) -> Option<Vector2<f64>> {
        // Of a gain that falls with the start: else the best start is no edge.
        let by_drive = slopes[(1, 1)];
        if !(slopes[(1, 0)] < 0.0 && by_drive > 0.0) {
            return None;
        }
        // Towards the edge the gain rises; where it is less the map has jumped.
        let probe = |off: f64| {
            let place = above - Vector2::new(ABOVE_EDGE - off, 0.0);
            at(place).filter(|found| found[1] > -LEAST_RISE).map(|found| (off, place, found[1]))
        };
        let (mut works, mut fails, mut smooth) = (None::<(f64, Vector2<f64>, f64)>, f64::NEG_INFINITY, false);
        let (mut off, mut stride) = (EDGE_NEAR_ENOUGH, 2.0 * EDGE_NEAR_ENOUGH);
        for _ in 0..EDGE_ROUNDS {
            match probe(off) {
                Some(found) if works.is_none_or(|works| found.2 >= works.2) => works = Some(found),
                found => (fails, smooth) = (off, smooth || found.is_some()),
            }
            let bound = works.map_or(f64::INFINITY, |(off, ..)| off);
            if bound - fails < EDGE_NEAR_ENOUGH {
                break;
            }
            stride *= 2.0;
            off = match (bound.is_finite(), fails.is_finite()) {
                (true, true) => 0.5 * (bound + fails),
                (true, false) => bound - stride,
                _ => (fails + stride).min(ABOVE_EDGE),
            };
        }
        let (off, place, gain) = works?;
        let distance = Some(0.5 * (off - fails)).filter(|distance| distance.is_finite())?;
        let more = if smooth { 0.0 } else { self.rise_to_edge * (distance / EDGE_NEAR_ENOUGH).sqrt() };
        let gain = gain + more;
        // The edge moves up where the drive is less.
        let less = gain / by_drive;
        let next = place + Vector2::new((less * slopes[(0, 1)] / slopes[(0, 0)]).max(0.0), -less);
        let Some(there) = at(next).filter(|found| found[1] > -LEAST_RISE) else { return Some(next) };
        let there = there[1] + more;
        let slope = (there - gain) / -less;
        let slope = if (0.5..2.0).contains(&(slope / by_drive)) { slope } else { by_drive };
        Some(next - Vector2::new(0.0, there / slope))
    }
}
