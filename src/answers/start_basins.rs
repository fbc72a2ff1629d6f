//! What every start of a clock ends in, at one drive: ranges of start arcs with one end, the borders between them solved.

use crate::numerics::root::solve_bracketed;

use super::cycle::{FixedPoint, refine};
use super::gain_scan::{GainScan, Probe};
use super::return_map::{Clock, PeriodOutcome};
use super::verdict::{DIED_AWAY, Reason, Verdict, drawn_to, reason_of, verdict};

/// Accuracy of the end of a stretch of starts that keep going, rad.
pub const START_TOLERANCE_RAD: f64 = 1e-9;

/// Accuracy of a start at which one reason to stop takes over from another, rad.
pub const REASON_TOLERANCE_RAD: f64 = 1e-5;

/// Accuracy of the amplitude of a stable point at the edge of the starts that come round, rad.
const EDGE_TOLERANCE_RAD: f64 = 1e-14;

/// Gain of amplitude in one period that counts as none there, rad.
const NO_GAIN_RAD: f64 = 1e-11;

/// Span over which the slope there is taken, relative to the amplitude.
const EDGE_SPAN: f64 = 1e-5;

/// Starts looked at beyond the probes are spaced by this ratio.
const RATIO: f64 = 1.12;

/// Changes looked for between two neighbouring samples.
const MOST_CHANGES: usize = 8;

/// A stretch of some quantity over which the answer is one and the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AnswerRange<A> {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// The answer.
    pub answer: A,
}

/// Stretches with one answer from the first to the last of `samples` (rising), whose ends are bisected to the tolerance for the
/// two answers that meet there.
///
/// `ask` answers at a place, `alike` compares two answers. A stretch that lies wholly between two samples with the same
/// answer is not seen.
pub fn answer_ranges<A: Clone>(
    samples: Vec<(f64, A)>,
    tolerance: impl Fn(&A, &A) -> f64,
    mut ask: impl FnMut(f64) -> A,
    alike: impl Fn(&A, &A) -> bool,
) -> Vec<AnswerRange<A>> {
    let mut found: Vec<AnswerRange<A>> = Vec::new();
    let mut before: Option<(f64, A)> = None;
    for (place, answer) in samples {
        let Some(last) = found.last_mut() else {
            found.push(AnswerRange { from: place, to: place, answer: answer.clone() });
            before = Some((place, answer));
            continue;
        };
        last.to = place;
        let mut low = before.take().map_or(place, |before| before.0);
        let mut changes = 0;
        while let Some(last) = found.last_mut()
            && !alike(&last.answer, &answer)
            && changes < MOST_CHANGES
        {
            let mut high = (place, answer.clone());
            while high.0 - low > tolerance(&last.answer, &high.1) {
                let middle = 0.5 * (low + high.0);
                if !(middle > low && middle < high.0) {
                    break;
                }
                let there = ask(middle);
                if alike(&last.answer, &there) { low = middle } else { high = (middle, there) }
            }
            last.to = 0.5 * (low + high.0);
            let from = last.to;
            low = high.0;
            changes += 1;
            let answer = if changes == MOST_CHANGES { answer.clone() } else { high.1 };
            found.push(AnswerRange { from, to: place, answer });
        }
        before = Some((place, answer));
    }
    found
}

/// Whether two verdicts are the same: the same reason, or the same limit cycle.
#[must_use]
pub fn alike(one: &Verdict, other: &Verdict) -> bool {
    match (one, other) {
        (Verdict::KeepsGoing(a), Verdict::KeepsGoing(b)) => (a.right_rad - b.right_rad).abs() < 1e-9,
        (Verdict::Wanders(..), Verdict::Wanders(..)) => true,
        (Verdict::Stops(a, _), Verdict::Stops(b, _)) => a == b,
        _ => false,
    }
}

/// All starts of one clock.
#[derive(Debug, Clone)]
pub struct StartBasins<'a> {
    clock: &'a Clock<'a>,
    /// The gain scan with further probes up to the largest start asked for, and the stable point at the edge of the starts
    /// that come round.
    scan: GainScan,
    /// Starts that come round and end up to here lose amplitude until no tooth escapes any more, rad.
    dies_to_rad: f64,
}

impl<'a> StartBasins<'a> {
    /// The basins of a clock with its gain scan, for starts up to `highest_rad`.
    #[must_use]
    pub fn of(clock: &'a Clock<'a>, scan: &GainScan, highest_rad: f64) -> Self {
        let GainScan { mut probes, mut stable } = scan.clone();
        let mut last = probes.last().map_or(highest_rad, |probe| probe.start_rad);
        while last > 0.0 && last < highest_rad {
            last = (last * RATIO).min(highest_rad);
            probes.push(Probe { start_rad: last, gain_rad: clock.period_from(last).gain_rad(last) });
        }
        if stable.is_empty() {
            stable.extend(point_at_edge(clock, &probes));
        }
        let dies_to_rad = dies_to_rad(clock, &probes);
        Self { clock, scan: GainScan { probes, stable }, dies_to_rad }
    }

    /// What a push as large as need be ends in.
    #[must_use]
    pub fn of_any_push(&self) -> Verdict {
        verdict(self.clock, &self.scan, None)
    }

    /// What a start at `start_rad` on the right ends in: [`verdict`], without following a swing that is known to die away.
    #[must_use]
    pub fn from(&self, start_rad: f64) -> Verdict {
        match self.clock.period_from(start_rad) {
            PeriodOutcome::Failed(failure) => {
                let reason = reason_of(self.clock, &failure, start_rad, start_rad, false);
                Verdict::Stops(reason, Some(failure))
            }
            PeriodOutcome::Returned(back) => self.after(start_rad, back.right_rad),
        }
    }

    /// The same for a start that comes round to `next_rad`.
    fn after(&self, start_rad: f64, next_rad: f64) -> Verdict {
        if let Some(point) = drawn_to(&self.scan, start_rad, next_rad) {
            return Verdict::KeepsGoing(point);
        }
        if next_rad < start_rad && next_rad <= self.dies_to_rad {
            return Verdict::Stops(Reason::LosesAmplitude, None);
        }
        verdict(self.clock, &self.scan, Some(start_rad))
    }

    /// All starts between two arcs, rad, rising: what they end in, the ends of each stretch solved to
    /// [`START_TOLERANCE_RAD`].
    #[must_use]
    pub fn between(&self, low_rad: f64, high_rad: f64) -> Vec<AnswerRange<Verdict>> {
        let (right, left) = self.clock.escaping_arcs_rad();
        let inside = |start: &f64| (low_rad..=high_rad).contains(start);
        let mut samples: Vec<(f64, Verdict)> = self
            .scan
            .probes
            .iter()
            .filter(|probe| inside(&probe.start_rad))
            .map(|probe| {
                let verdict = match probe.gain_rad {
                    Some(gain) => self.after(probe.start_rad, probe.start_rad + gain),
                    None => self.from(probe.start_rad),
                };
                (probe.start_rad, verdict)
            })
            .collect();
        samples.extend(
            [low_rad, high_rad, right, left]
                .iter()
                .filter(|start| inside(start))
                .map(|&start| (start, self.from(start))),
        );
        samples.sort_by(|a, b| a.0.total_cmp(&b.0));
        samples.dedup_by(|a, b| a.0 == b.0);
        let tolerance = |one: &Verdict, other: &Verdict| match (one, other) {
            (Verdict::Stops(..), Verdict::Stops(..)) => REASON_TOLERANCE_RAD,
            _ => START_TOLERANCE_RAD,
        };
        answer_ranges(samples, tolerance, |start| self.from(start), alike)
    }
}

/// The stable point just above the smallest start that comes round, where no slope can be taken on its lower side; its slope is
/// that of the upper side. `None` if there is none.
fn point_at_edge(clock: &Clock<'_>, probes: &[Probe]) -> Option<FixedPoint> {
    let (low, high) = probes.windows(2).find_map(|pair| {
        let (low, high) = (pair[0].gain_rad?, pair[1].gain_rad?);
        (low >= 0.0 && high < 0.0).then_some(((pair[0].start_rad, low), (pair[1].start_rad, high)))
    })?;
    let gain = |start: f64| clock.period_from(start).gain_rad(start);
    let at = solve_bracketed(|start| gain(start).unwrap_or(low.1), low, high, EDGE_TOLERANCE_RAD).ok()?;
    let PeriodOutcome::Returned(back) = clock.period_from(at) else { return None };
    let above = at * (1.0 + EDGE_SPAN);
    let multiplier = 1.0 + (gain(above)? - (back.right_rad - at)) / (above - at);
    let settled = (back.right_rad - at).abs() < NO_GAIN_RAD && multiplier.abs() < 1.0;
    settled.then_some(FixedPoint { right_rad: at, left_rad: back.left_rad, least_rad: back.least_rad, multiplier })
}

/// The largest start such that it and all smaller ones lose amplitude or, not far above the escaping arc, do not come round,
/// rad; 0 if there is none. Whatever ends up here has died away.
fn dies_to_rad(clock: &Clock<'_>, probes: &[Probe]) -> f64 {
    let (right, left) = clock.escaping_arcs_rad();
    let low = DIED_AWAY * right.max(left);
    let dying = |probe: &&Probe| probe.gain_rad.map_or(probe.start_rad < low, |gain| gain < 0.0);
    let count = probes.iter().take_while(dying).count();
    let Some(last) = probes[..count].iter().rposition(|probe| probe.gain_rad.is_some()) else { return 0.0 };
    // The smallest probe may already be too large to say what happens below it.
    if probes[0].gain_rad.is_some() {
        return 0.0;
    }
    let edge = match (probes[last], probes.get(last + 1)) {
        (Probe { start_rad, gain_rad: Some(gain) }, Some(&Probe { start_rad: next, gain_rad: Some(next_gain) })) => {
            refine(clock, (start_rad, gain), (next, next_gain))
        }
        _ => None,
    };
    edge.filter(|edge| edge.multiplier > 1.0)
        .map_or(probes[last].start_rad, |edge| edge.right_rad - START_TOLERANCE_RAD)
}
