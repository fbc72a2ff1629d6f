//! The amplitude from period to period, from several starts.

use crate::answers::cycle::least_start_rad;
use crate::answers::prediction::Prediction;
use crate::answers::return_map::{Clock, PeriodFailure, PeriodOutcome};
use crate::answers::verdict::{Reason, reason_of};
use crate::clock::environment::InRoom;
use crate::clock::mechanism::EscapementModel;
use crate::clock::pendulum::compound::small_swing_period_s;

use super::gains;

/// What a start stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StartKind {
    /// Just below the smallest that is drawn to the cycle.
    BelowLeast,
    /// Just above it.
    AboveLeast,
    /// The maker's.
    Maker,
    /// A large one.
    Large,
}

/// What ends a swing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ending {
    /// It has died away.
    DiesAway,
    /// The clock stops, by the verdict's own reason.
    Stops(Reason),
}

/// What happens at the escaping arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Escape {
    /// A tooth leaves its pallet.
    #[default]
    Tooth,
    /// An ideal torque's impulse ends.
    EndOfImpulse,
    /// An ideal kick is given.
    Kick,
}

/// The amplitude after each return (a period, or a turn of a wheel whose teeth differ) from one start.
#[derive(Debug, Clone, PartialEq)]
pub struct History {
    /// What the start stands for.
    pub kind: StartKind,
    /// Time, s, and amplitude on the right, rad; the start first. Thinned out to a few hundred.
    pub swings: Vec<(f64, f64)>,
    /// What ended it; `None` where it goes on.
    pub ended: Option<Ending>,
}

/// Amplitudes from several starts.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Histories {
    /// One for each start.
    pub histories: Vec<History>,
    /// Amplitude of the limit cycle on the right, rad; `None` where there is none.
    pub cycle_rad: Option<f64>,
    /// Smallest start drawn to it, rad.
    pub least_start_rad: Option<f64>,
    /// Amplitude on the right at which a tooth escapes, rad.
    pub escaping_rad: f64,
    /// What happens there.
    pub escape: Escape,
    /// Time shown, s.
    pub duration_s: f64,
}

/// Most periods followed from one start.
const MOST_PERIODS: usize = 20_000;

/// Share of the escaping arc, or of the start where there is none, below which a swing has died away.
const DEAD: f64 = 0.1;

/// Most amplitudes kept of one start.
const MOST_KEPT: usize = 300;

/// Periods computed between the smallest and the largest start; between them the gain is taken as a straight line.
const NODES: usize = 64;

/// Amplitudes from starts just below and above the smallest that will do, the maker's and a large one.
///
/// Stepped through the return map, which is computed at `NODES` amplitudes besides the prediction's own and taken as a
/// straight line between; where a neighbour does not come round the period itself is run. Time counts steady periods (or
/// periods of small swings), so that it neglects the circular error: under one part in a thousand below 7 degrees.
pub(super) fn histories(design: &InRoom, prediction: &Prediction) -> Histories {
    let Some(clock) = Clock::of(&prediction.built.mechanism) else { return Histories::default() };
    let (right, left) = clock.escaping_arcs_rad();
    let escaping_rad = right.max(left);
    let point = prediction.steady.as_ref().map(|steady| steady.point).or(prediction.scan.stable.first().copied());
    let least_start = match (&prediction.steady, &point) {
        (Some(steady), _) => steady.least_start_rad,
        (None, Some(point)) => Some(least_start_rad(&clock, point, &prediction.scan.probes)),
        (None, None) => None,
    };
    let period_s = prediction
        .steady
        .as_ref()
        .map(|steady| steady.measured.period_s)
        .or_else(|| small_swing_period_s(&prediction.built.mechanism.pendulum))
        .unwrap_or(1.0);
    // A step of the return map: a period, or a whole turn of a wheel whose teeth differ.
    let step_s = period_s * clock.periods_per_return() as f64;
    let starts = starts(design, point.map(|point| point.right_rad), least_start, escaping_rad, &clock);
    let map = GainMap::over(&clock, prediction, &starts, point.map(|point| point.right_rad));
    let mut runs: Vec<(StartKind, Vec<f64>, Option<Ending>)> = starts
        .iter()
        .map(|&(kind, start)| {
            let (swings, ended) = map.run(start, escaping_rad, point.map(|point| point.right_rad));
            (kind, swings, ended)
        })
        .collect();
    let longest = runs.iter().map(|(_, swings, _)| swings.len()).max().unwrap_or(1);
    let shown = (longest + longest / 8 + 1).min(MOST_PERIODS);
    for (_, swings, ended) in &mut runs {
        if let (None, Some(last)) = (*ended, swings.last().copied()) {
            let more = map.run_on(last, shown.saturating_sub(swings.len()));
            swings.extend(more);
        }
    }
    let thin = shown.div_ceil(MOST_KEPT).max(1);
    let histories = runs
        .into_iter()
        .map(|(kind, swings, ended)| {
            let last = swings.len() - 1;
            let swings = swings
                .into_iter()
                .enumerate()
                .filter(|(number, _)| number % thin == 0 || *number == last)
                .map(|(number, right_rad)| (number as f64 * step_s, right_rad))
                .collect();
            History { kind, swings, ended }
        })
        .collect();
    Histories {
        histories,
        cycle_rad: point.map(|point| point.right_rad),
        least_start_rad: least_start,
        escaping_rad,
        escape: match &prediction.built.mechanism.escapement {
            EscapementModel::Contact(_) => Escape::Tooth,
            EscapementModel::IdealTorque(_) => Escape::EndOfImpulse,
            EscapementModel::IdealKick(_) => Escape::Kick,
        },
        duration_s: shown as f64 * step_s,
    }
}

fn starts(
    design: &InRoom,
    cycle: Option<f64>,
    least: Option<f64>,
    escaping_rad: f64,
    clock: &Clock<'_>,
) -> Vec<(StartKind, f64)> {
    let maker = design.start_arc_rad;
    let mut starts = Vec::new();
    if let Some(maker) = maker {
        starts.push((StartKind::Maker, maker));
    }
    let reference = cycle.into_iter().chain(maker).fold(1.5 * escaping_rad, f64::max);
    let largest = clock.largest_arc_rad();
    let large = (1.35 * reference).min(0.95 * largest);
    if clock.period_from(large).gain_rad(large).is_some() {
        starts.push((StartKind::Large, large));
    }
    if let (Some(least), Some(cycle)) = (least, cycle)
        && least > 0.02 * cycle
    {
        starts.push((StartKind::AboveLeast, least + 0.03 * (cycle - least)));
        starts.push((StartKind::BelowLeast, 0.96 * least));
    }
    if starts.is_empty() {
        starts.push((StartKind::Large, large));
    }
    starts.retain(|&(_, start)| start > 0.0 && start < largest);
    starts
}

/// The gain of amplitude in one period over the amplitude.
struct GainMap<'c, 'm> {
    clock: &'c Clock<'m>,
    nodes: Vec<(f64, Option<f64>)>,
}

impl<'c, 'm> GainMap<'c, 'm> {
    fn over(clock: &'c Clock<'m>, prediction: &Prediction, starts: &[(StartKind, f64)], cycle: Option<f64>) -> Self {
        let ends = starts.iter().map(|&(_, start)| start).chain(cycle);
        let (low, high) = ends.fold((f64::INFINITY, 0.0_f64), |(low, high), end| (low.min(end), high.max(end)));
        let wanted: Vec<f64> = (0..=NODES)
            .map(|node| low + (high - low) * node as f64 / NODES as f64)
            .filter(|at| at.is_finite())
            .collect();
        let mut nodes = gains(clock, &wanted);
        nodes.extend(prediction.scan.probes.iter().map(|probe| (probe.start_rad, probe.gain_rad)));
        nodes.extend(cycle.map(|cycle| (cycle, Some(0.0))));
        nodes.sort_by(|a, b| a.0.total_cmp(&b.0));
        Self { clock, nodes }
    }

    fn gain(&self, at: f64) -> Result<f64, PeriodFailure> {
        let above = self.nodes.partition_point(|node| node.0 <= at);
        if above > 0
            && let Some(&(high, Some(gain_high))) = self.nodes.get(above)
            && let (low, Some(gain_low)) = self.nodes[above - 1]
        {
            return Ok(gain_low + (gain_high - gain_low) * (at - low) / (high - low));
        }
        match self.clock.period_from(at) {
            PeriodOutcome::Returned(back) => Ok(back.right_rad - at),
            PeriodOutcome::Failed(failure) => Err(failure),
        }
    }

    /// Amplitudes from a start until it has come close to the cycle or stopped.
    fn run(&self, start: f64, escaping_rad: f64, cycle: Option<f64>) -> (Vec<f64>, Option<Ending>) {
        let mut swings = vec![start];
        let mut here = start;
        while swings.len() < MOST_PERIODS {
            match self.gain(here) {
                Ok(gain) => here += gain,
                Err(failure) => {
                    let reason = reason_of(self.clock, &failure, start, here, swings.len() > 1);
                    return (swings, Some(Ending::Stops(reason)));
                }
            }
            swings.push(here);
            if here < DEAD * escaping_rad.min(start) {
                return (swings, Some(Ending::DiesAway));
            }
            if cycle.is_some_and(|cycle| (here - cycle).abs() < 0.04 * (start - cycle).abs().max(0.02 * cycle)) {
                break;
            }
        }
        (swings, None)
    }

    fn run_on(&self, last: f64, periods: usize) -> Vec<f64> {
        let mut here = last;
        let mut swings = Vec::with_capacity(periods);
        for _ in 0..periods {
            let Ok(gain) = self.gain(here) else { break };
            here += gain;
            swings.push(here);
        }
        swings
    }
}
