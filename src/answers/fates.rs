//! What every start of a clock ends in, at one drive: stretches of start arcs with one fate, their ends solved.

use super::clock::{Clock, Passage};
use super::cycle::refine;
use super::landscape::{Landscape, Probe};
use super::verdict::{DIED_AWAY, Reason, Verdict, reason_of, verdict};

/// Accuracy of the end of a stretch of starts, rad.
pub const START_TOLERANCE_RAD: f64 = 1e-9;

/// Starts looked at beyond the probes are spaced by this ratio.
const RATIO: f64 = 1.12;

/// Changes looked for between two neighbouring samples.
const MOST_CHANGES: usize = 8;

/// A stretch of some quantity over which the answer is one and the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stretch<A> {
    /// Where it begins.
    pub from: f64,
    /// Where it ends.
    pub to: f64,
    /// The answer.
    pub answer: A,
}

/// Stretches with one answer from the first to the last of `samples` (rising), whose ends are bisected to `tolerance`.
///
/// `ask` answers at a place, `alike` compares two answers. A stretch that lies wholly between two samples with the same
/// answer is not seen.
pub fn stretches<A: Clone>(
    samples: Vec<(f64, A)>,
    tolerance: f64,
    mut ask: impl FnMut(f64) -> A,
    alike: impl Fn(&A, &A) -> bool,
) -> Vec<Stretch<A>> {
    let mut found: Vec<Stretch<A>> = Vec::new();
    let mut before: Option<(f64, A)> = None;
    for (place, answer) in samples {
        let Some(last) = found.last_mut() else {
            found.push(Stretch { from: place, to: place, answer: answer.clone() });
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
            while high.0 - low > tolerance {
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
            found.push(Stretch { from, to: place, answer });
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
pub struct Fates<'a> {
    clock: &'a Clock<'a>,
    landscape: &'a Landscape,
    /// The landscape's probes and further ones up to the largest start asked for.
    probes: Vec<Probe>,
    /// Starts that come round and end up to here lose amplitude until no tooth escapes any more, rad.
    dies_to_rad: f64,
}

impl<'a> Fates<'a> {
    /// The fates of a clock with its landscape, for starts up to `highest_rad`.
    #[must_use]
    pub fn of(clock: &'a Clock<'a>, landscape: &'a Landscape, highest_rad: f64) -> Self {
        let mut probes = landscape.probes.clone();
        let mut last = probes.last().map_or(highest_rad, |probe| probe.start_rad);
        while last > 0.0 && last < highest_rad {
            last = (last * RATIO).min(highest_rad);
            probes.push(Probe { start_rad: last, gain_rad: clock.passage(last).gain_rad(last) });
        }
        let dies_to_rad = dies_to_rad(clock, &probes);
        Self { clock, landscape, probes, dies_to_rad }
    }

    /// What a start at `start_rad` on the right ends in: [`verdict`], without following a swing that is known to die away.
    #[must_use]
    pub fn from(&self, start_rad: f64) -> Verdict {
        match self.clock.passage(start_rad) {
            Passage::Failed(failure) => {
                let reason = reason_of(self.clock, &failure, start_rad, start_rad, false);
                Verdict::Stops(reason, Some(failure))
            }
            Passage::Returned(back) if back.right_rad < start_rad && back.right_rad <= self.dies_to_rad => {
                Verdict::Stops(Reason::LosesAmplitude, None)
            }
            Passage::Returned(_) => verdict(self.clock, self.landscape, Some(start_rad)),
        }
    }

    /// All starts between two arcs, rad, rising: what they end in, the ends of each stretch solved to
    /// [`START_TOLERANCE_RAD`].
    #[must_use]
    pub fn between(&self, low_rad: f64, high_rad: f64) -> Vec<Stretch<Verdict>> {
        let (right, left) = self.clock.escaping_arcs_rad();
        let mut starts: Vec<f64> = self.probes.iter().map(|probe| probe.start_rad).collect();
        starts.extend([low_rad, high_rad, right, left]);
        starts.retain(|start| (low_rad..=high_rad).contains(start));
        starts.sort_by(f64::total_cmp);
        starts.dedup();
        let samples = starts.into_iter().map(|start| (start, self.from(start))).collect();
        stretches(samples, START_TOLERANCE_RAD, |start| self.from(start), alike)
    }
}

/// The largest start such that it and all smaller ones that come round lose amplitude, and end where no tooth escapes, rad;
/// 0 if there are none.
fn dies_to_rad(clock: &Clock<'_>, probes: &[Probe]) -> f64 {
    let (right, left) = clock.escaping_arcs_rad();
    let Some(first) = probes.iter().position(|probe| probe.gain_rad.is_some()) else { return 0.0 };
    // Where starts a good way above the escaping arc still fail, it is for another reason.
    if first == 0 || probes[first].start_rad >= DIED_AWAY * right.max(left) {
        return 0.0;
    }
    let losing = probes[first..].iter().take_while(|probe| probe.gain_rad.is_some_and(|gain| gain < 0.0)).count();
    let Some(last) = (first + losing).checked_sub(1).filter(|&last| last >= first) else { return 0.0 };
    let edge = match (probes[last], probes.get(last + 1)) {
        (Probe { start_rad, gain_rad: Some(low) }, Some(&Probe { start_rad: next, gain_rad: Some(high) })) => {
            refine(clock, (start_rad, low), (next, high))
        }
        _ => None,
    };
    edge.filter(|edge| edge.multiplier > 1.0)
        .map_or(probes[last].start_rad, |edge| edge.right_rad - START_TOLERANCE_RAD)
}
