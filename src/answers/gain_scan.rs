//! All starts at one drive: which gain amplitude, which lose it, and the stable points between them.

use crate::numerics::peak::GoldenSection;

use super::cycle::{FixedPoint, fixed_point_near, refine};
use super::return_map::{Clock, PeriodOutcome};

/// A start and its gain.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Probe {
    /// Start on the right, rad.
    pub start_rad: f64,
    /// Gain of amplitude in one period; `None` if it does not come round.
    pub gain_rad: Option<f64>,
}

/// All starts at one drive.
#[derive(Debug, Clone)]
pub struct GainScan {
    /// Probed starts, rising.
    pub probes: Vec<Probe>,
    /// Stable fixed points, by rising amplitude.
    pub stable: Vec<FixedPoint>,
}

/// Probes all starts and finds the stable points.
///
/// Close to the least drive only a narrow range of starts gains, narrower than the probes' spacing: where the probes find
/// no stable point the best start is looked for among them and probed too.
#[must_use]
pub fn gain_scan(clock: &Clock<'_>) -> GainScan {
    let mut probes = probe_starts(clock);
    let mut stable = stable_points(clock, &probes);
    if stable.is_empty()
        && let Some(best) = best_gain(clock, &probes)
    {
        let place = probes.partition_point(|probe| probe.start_rad < best.start_rad);
        probes.insert(place, best);
        stable = stable_points(clock, &probes);
    }
    GainScan { probes, stable }
}

/// Starts from the smallest that could go to the largest, close together near the smallest, where the cycle and its
/// unstable twin meet, and their gains.
#[must_use]
pub fn probe_starts(clock: &Clock<'_>) -> Vec<Probe> {
    let escape = clock.widest_escaping_arc_rad();
    let mut probes = Vec::new();
    let mut losses = 0;
    let mut gained = false;
    for start_rad in starts_of(clock) {
        let gain_rad = clock.period_from(start_rad).gain_rad(start_rad);
        probes.push(Probe { start_rad, gain_rad });
        gained |= gain_rad.is_some_and(|gain| gain >= 0.0);
        // Losses grow with the arc faster than the drive's work: past the cycle nothing gains again.
        losses = if gain_rad.is_some_and(|gain| gain < 0.0) { losses + 1 } else { 0 };
        if losses >= 8 && (gained || start_rad > 2.5 * escape.max(0.02)) {
            break;
        }
    }
    probes
}

/// The starts to probe, rising.
fn starts_of(clock: &Clock<'_>) -> Vec<f64> {
    let (right, left) = clock.escaping_arcs_rad();
    let floor = (0.5 * right.max(left)).max(1e-6 * clock.largest_arc_rad());
    let ceiling = clock.largest_arc_rad();
    let mut starts = Vec::new();
    let escape = right.max(left);
    let mut start = floor;
    while start < ceiling {
        starts.push(start);
        // Fine from a little below the escaping arc to a fifth above it.
        // A whole turn of a wheel takes as long as so many periods; the best start is looked for in between all the same.
        let (fine, coarse) = if clock.periods_per_return() > 1 { (1.03, 1.2) } else { (1.01, 1.12) };
        let ratio = if escape > 0.0 && (0.9 * escape..1.2 * escape).contains(&start) { fine } else { coarse };
        start *= ratio;
    }
    starts
}

/// A start that gains, found quickly: on the way up from the smallest that comes round, which mostly is the one that gains most. `None` says
/// nothing; [`best_gain`] does.
pub(super) fn first_gaining(clock: &Clock<'_>) -> Option<Probe> {
    let mut below = Probe { start_rad: 0.0, gain_rad: None };
    for start_rad in starts_of(clock) {
        let here = Probe { start_rad, gain_rad: clock.period_from(start_rad).gain_rad(start_rad) };
        if here.gain_rad.is_some() {
            let best = climb_to(clock, below, here, start_rad, 0.0);
            return Some(best).filter(|best| best.gain_rad.is_some_and(|gain| gain > 0.0));
        }
        below = here;
    }
    None
}

/// The stable fixed points between neighbouring probes, by rising amplitude.
#[must_use]
pub fn stable_points(clock: &Clock<'_>, probes: &[Probe]) -> Vec<FixedPoint> {
    probes
        .windows(2)
        .filter_map(|pair| {
            let (low, high) = (pair[0], pair[1]);
            let (gain_low, gain_high) = (low.gain_rad?, high.gain_rad?);
            if !(gain_low >= 0.0 && gain_high < 0.0) {
                return None;
            }
            refine(clock, (low.start_rad, gain_low), (high.start_rad, gain_high))
        })
        .filter(|point| point.multiplier.abs() < 1.0)
        .collect()
}

/// The best start: the largest gain of amplitude in one period, and where. `None` if no start comes round.
///
/// A clock keeps going if and only if some start gains: above it the losses win in the end, so a stable fixed point lies
/// between.
#[must_use]
pub fn best_gain(clock: &Clock<'_>, probes: &[Probe]) -> Option<Probe> {
    let climbed = |index: usize| {
        let low = probes[index.saturating_sub(1)];
        let high = probes[(index + 1).min(probes.len() - 1)];
        climb(clock, low, probes[index], high.start_rad)
    };
    let gain = |index: usize| probes[index].gain_rad.unwrap_or(f64::NEG_INFINITY);
    let index = (0..probes.len())
        .filter(|&index| probes[index].gain_rad.is_some())
        .max_by(|&a, &b| gain(a).total_cmp(&gain(b)))?;
    let mut best = climbed(index);
    if best.gain_rad.is_some_and(|gain| gain > 0.0) {
        return Some(best);
    }
    // Where the map jumps between two probes, the start just above the jump may gain more than this one.
    let mut tops = tops(probes);
    tops.retain(|&top| top != index);
    tops.sort_by(|&a, &b| gain(b).total_cmp(&gain(a)));
    tops.truncate(FURTHER_TOPS);
    for &top in &tops {
        let there = climbed(top);
        if there.gain_rad > best.gain_rad {
            best = there;
        }
    }
    // A branch may reach only a little further down than its fixed point: the starts that gain lie between.
    if !tops.is_empty() && !best.gain_rad.is_some_and(|gain| gain > 0.0) {
        for top in tops.into_iter().chain([index]) {
            let point = fixed_point_near(clock, probes[top].start_rad).filter(|point| point.multiplier.abs() < 1.0);
            let Some(point) = point else { continue };
            let start_rad = point.right_rad * (1.0 - BELOW_POINT);
            let there = Probe { start_rad, gain_rad: clock.period_from(start_rad).gain_rad(start_rad) };
            if there.gain_rad > best.gain_rad {
                best = there;
            }
        }
    }
    Some(best)
}

/// The probes that gain no less than both neighbours: one of a smooth map, more where it jumps.
pub(super) fn tops(probes: &[Probe]) -> Vec<usize> {
    let gain = |index: Option<usize>| index.and_then(|index| probes.get(index)?.gain_rad).unwrap_or(f64::NEG_INFINITY);
    let is_top = |&index: &usize| {
        let here = gain(Some(index));
        here.is_finite() && here >= gain(index.checked_sub(1)) && here >= gain(Some(index + 1))
    };
    (0..probes.len()).filter(is_top).collect()
}

/// Tops of the probes, besides the highest, from which the best start is looked for where no start near the highest gains.
const FURTHER_TOPS: usize = 3;

/// Distance, relative, below a fixed point at which a start shows that it gains: well above the rounding of the map.
const BELOW_POINT: f64 = 1e-6;

/// Accuracy of the best start, relative. Where the best start is the smallest that comes round, the gain falls off from
/// it linearly, and this is its own relative accuracy.
const START_TOLERANCE: f64 = 1e-5;

/// Accuracy of the smallest start that comes round, where it is the best, relative.
const EDGE_TOLERANCE: f64 = 1e-7;

/// Places above the edge, relative, that are compared with it.
const BEYOND_EDGE: [f64; 4] = [1e-5, 3e-4, 1e-3, 3e-3];

/// The largest gain between `low` and `high`, given `best` between them that gains more than either.
///
/// Where starts below the best do not come round, the edge in between is looked for; else the top is smooth.
pub(super) fn climb(clock: &Clock<'_>, low: Probe, best: Probe, high_rad: f64) -> Probe {
    climb_to(clock, low, best, high_rad, f64::INFINITY)
}

/// The same, given up as soon as a gain exceeds `enough`, rad.
fn climb_to(clock: &Clock<'_>, low: Probe, mut best: Probe, high_rad: f64, enough: f64) -> Probe {
    let mut worse_rad = low.start_rad;
    // Across a jump of the map the golden section may end below what is known.
    let smooth = |best: Probe, low_rad: f64, high_rad: f64| {
        let top = golden(clock, low_rad, high_rad);
        if top.gain_rad >= best.gain_rad { top } else { best }
    };
    if low.gain_rad.is_some() || worse_rad >= best.start_rad {
        return smooth(best, worse_rad, high_rad);
    }
    let probe = |start_rad: f64| Probe { start_rad, gain_rad: clock.period_from(start_rad).gain_rad(start_rad) };
    let mut beyond_rad = high_rad;
    'edge: loop {
        let mut edge = EdgeGuess::of(clearance(&clock.period_from(best.start_rad), best.start_rad));
        let mut tolerance = EDGE_TOLERANCE;
        while best.start_rad - worse_rad > tolerance * best.start_rad {
            if best.gain_rad.is_some_and(|gain| gain > enough) {
                return best;
            }
            let trial_rad = edge.trial_rad((worse_rad, best.start_rad)).unwrap_or(0.5 * (worse_rad + best.start_rad));
            let outcome = clock.period_from(trial_rad);
            let trial = Probe { start_rad: trial_rad, gain_rad: outcome.gain_rad(trial_rad) };
            if trial.gain_rad >= best.gain_rad {
                beyond_rad = best.start_rad;
                best = trial;
                // Above a start that failed the line leads nowhere.
                edge = if edge.failed { EdgeGuess::of(None) } else { edge.learnt(clearance(&outcome, trial_rad)) };
            } else {
                worse_rad = trial.start_rad;
                if trial.gain_rad.is_some() {
                    // A start that comes round and gains less shows a smooth top above the edge.
                    edge = EdgeGuess::of(None);
                    tolerance = START_TOLERANCE;
                } else {
                    edge.failed = true;
                }
            }
        }
        // Just above the edge there may be a smooth top, or the map may jump up to a swing of another kind.
        for (number, above) in BEYOND_EDGE.into_iter().enumerate() {
            let there = probe(best.start_rad * (1.0 + above));
            if there.gain_rad > best.gain_rad {
                if number == 0 {
                    return smooth(there, best.start_rad, beyond_rad.max(there.start_rad));
                }
                worse_rad = best.start_rad;
                beyond_rad = there.start_rad * (1.0 + above);
                best = there;
                continue 'edge;
            }
        }
        return best;
    }
}

/// A start and by how much its swing exceeds the escaping arcs, both rad; `None` where it does not come round.
fn clearance(outcome: &PeriodOutcome, start_rad: f64) -> Option<(f64, f64)> {
    match outcome {
        PeriodOutcome::Returned(back) => Some((start_rad, back.beyond_rad)),
        PeriodOutcome::Failed(_) => None,
    }
}

/// Where the smallest start that comes round should be: the one whose swing just reaches the escaping arcs, by the straight line
/// through the last two that came round. It may be a little more, where the wheel must get on its way before the pallet is back.
struct EdgeGuess {
    /// The smallest start that came round yet.
    clearance: Option<(f64, f64)>,
    slope: f64,
    tries: usize,
    /// Whether the last start tried failed, and how far above it the next one is, in tolerances of the edge.
    failed: bool,
    stride: f64,
}

impl EdgeGuess {
    /// Guesses made before the interval is only halved: where the edge is of another kind they are of no use.
    const MOST_TRIES: usize = 6;

    /// Factor by which the stride up from a start that failed grows.
    const STRIDE: f64 = 8.0;

    fn of(clearance: Option<(f64, f64)>) -> Self {
        Self { clearance, slope: 1.0, tries: 0, failed: false, stride: Self::STRIDE }
    }

    /// A start to try between one that does not come round and the smallest that does: just above the guessed edge; above a start
    /// that has failed; or just below the smallest where it is that near the edge already. `None` where the middle serves better.
    fn trial_rad(&mut self, (fails_rad, works_rad): (f64, f64)) -> Option<f64> {
        let (_, clearance_rad) = self.clearance?;
        self.tries += 1;
        let near_rad = EDGE_TOLERANCE * works_rad;
        let edge_rad = works_rad - clearance_rad / self.slope;
        let middle_rad = 0.5 * (fails_rad + works_rad);
        let trial_rad = if self.failed {
            let above_rad = fails_rad + self.stride * near_rad;
            self.stride *= Self::STRIDE;
            above_rad.min(middle_rad)
        } else if works_rad - edge_rad > 0.6 * near_rad {
            edge_rad + 0.3 * near_rad
        } else {
            works_rad - 0.9 * near_rad
        };
        (self.tries <= Self::MOST_TRIES && trial_rad > fails_rad && trial_rad < works_rad).then_some(trial_rad)
    }

    /// With one more start that came round.
    fn learnt(self, found: Option<(f64, f64)>) -> Self {
        let slope = match (self.clearance, found) {
            (Some(before), Some(here)) => (before.1 - here.1) / (before.0 - here.0),
            _ => 1.0,
        };
        Self { clearance: found, slope: if slope > 0.1 && slope < 10.0 { slope } else { 1.0 }, ..self }
    }
}

/// Golden-section search for the largest gain between two starts; a start that does not come round is worse than any. Starts fail to come round
/// on the small side: where both do, it looks further out.
fn golden(clock: &Clock<'_>, low: f64, high: f64) -> Probe {
    let gain = |at: f64| clock.period_from(at).gain_rad(at).unwrap_or(f64::NEG_INFINITY);
    let mut section = GoldenSection::between(low, high, gain);
    while {
        let (low, high) = section.bracket();
        high - low > START_TOLERANCE * high
    } {
        section.step();
    }
    let (start_rad, best) = section.best();
    Probe { start_rad, gain_rad: best.is_finite().then_some(best) }
}
