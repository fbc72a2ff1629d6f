//! The verdict: does the clock, let go as its maker says, end in a limit cycle, and if not why.

use crate::clock::side::Side;
use crate::dynamics::observe::{Jump, JumpKind, Observer, TakenSegment};
use crate::dynamics::{Stop, StopReason};

use super::cycle::{FixedPoint, fixed_point_near, slope_at};
use super::gain_scan::GainScan;
use super::no_answer::NoAnswer;
use super::return_map::{Clock, PeriodFailure, PeriodOutcome, Return};

/// Why a clock stops.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Reason {
    /// The push is too small, or the swing too short, for a single tooth to get past.
    NeverUnlocks,
    /// It ticks for a while, its swing dying away.
    LosesAmplitude,
    /// Tooth and pallet wedge or foul, or a mesh of the train does.
    Jams,
    /// Teeth slip past without being held, or the swing grows without limit.
    RunsAway,
    /// The drive does not overcome the friction of the resting train when a tooth is let go.
    TrainSticks,
    /// A motor cannot follow its pulses, or cannot hold the hands between them.
    LosesSteps,
    /// Nothing is known of its end: it has neither settled nor stopped within the work that a question may take.
    NotSettled,
}

/// What a start ends in.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Verdict {
    /// In a limit cycle.
    KeepsGoing(FixedPoint),
    /// It keeps ticking, but its swing does not settle on one amplitude: least and largest right amplitude, rad.
    Wanders(f64, f64),
    /// It stops.
    Stops(Reason, Option<PeriodFailure>),
}

impl Verdict {
    /// The limit cycle.
    ///
    /// # Errors
    /// Why there is none: [`NoAnswer::Wanders`], [`NoAnswer::Stops`].
    pub const fn point(self) -> Result<FixedPoint, NoAnswer> {
        match self {
            Self::KeepsGoing(point) => Ok(point),
            Self::Wanders(..) => Err(NoAnswer::Wanders),
            Self::Stops(reason, _) => Err(NoAnswer::Stops(reason)),
        }
    }
}

/// Swing, in escaping arcs, below which a clock that stops has lost its amplitude.
pub(super) const DIED_AWAY: f64 = 1.1;

/// Share of a swing by which it may still change, over the last periods followed, where it has settled.
const SETTLED: f64 = 1e-9;

/// Periods after which a swing that has neither settled nor stopped is said to wander.
const MOST_PERIODS: usize = 4_000;

/// The verdict for a start from `start_rad`; `None`: for a push as large as need be.
///
/// With a start the return map is followed until the swing lies between its start and a stable point to which it is
/// monotonically drawn, or fails.
#[must_use]
pub fn verdict(clock: &Clock<'_>, scan: &GainScan, start_rad: Option<f64>) -> Verdict {
    let (right, left) = clock.escaping_arcs_rad();
    let Some(start) = start_rad else {
        return match scan.stable.first() {
            Some(point) => Verdict::KeepsGoing(*point),
            None => follow(clock, scan, 1.5 * right.max(left).max(0.01)),
        };
    };
    follow(clock, scan, start)
}

/// What every start of a clock ends in whose train jams.
pub(super) const JAMMED: Verdict = Verdict::Stops(Reason::Jams, None);

fn follow(clock: &Clock<'_>, scan: &GainScan, start_rad: f64) -> Verdict {
    let mut here = start_rad;
    let mut recent = (f64::INFINITY, f64::NEG_INFINITY);
    let (mut grows, mut shrinks) = (true, true);
    let mut ticked = false;
    let mut last = None;
    for period in 0..MOST_PERIODS {
        match clock.period_from(here) {
            PeriodOutcome::Failed(failure) => {
                let reason = reason_of(clock, &failure, start_rad, here, ticked);
                return Verdict::Stops(reason, Some(failure));
            }
            PeriodOutcome::Returned(back) => {
                ticked = true;
                let next = back.right_rad;
                if let Some(point) = drawn_to(scan, here, next) {
                    return Verdict::KeepsGoing(point);
                }
                if period + 200 > MOST_PERIODS {
                    recent = (recent.0.min(next), recent.1.max(next));
                    grows &= next > here;
                    shrinks &= next < here;
                }
                last = Some((here, back));
                here = next;
            }
        }
    }
    // A cycle too close to its neighbourhood's end for the probes to have seen it.
    if let Some(point) = fixed_point_near(clock, here).filter(|point| point.multiplier.abs() < 1.0)
        && (point.right_rad - here).abs() < 0.01 * here
    {
        return Verdict::KeepsGoing(point);
    }
    if recent.1 - recent.0 < SETTLED * here
        && let Some(point) = last.and_then(|(before, back)| settled(clock, before, back))
    {
        return Verdict::KeepsGoing(point);
    }
    // Nothing to settle on: a swing that still only grows, or only shrinks, has no cycle at all.
    match (grows, shrinks) {
        (true, _) => Verdict::Stops(Reason::RunsAway, None),
        (_, true) => Verdict::Stops(Reason::LosesAmplitude, None),
        _ => Verdict::Wanders(recent.0, recent.1),
    }
}

/// The point on which a swing has settled after so many periods, where no slope can be taken beside it; its multiplier is then what is left of
/// the last change after one more period. `None` where neither shows that it is drawn there.
fn settled(clock: &Clock<'_>, before_rad: f64, back: Return) -> Option<FixedPoint> {
    let here = back.right_rad;
    let change = here - before_rad;
    let kept = || clock.period_from(here).gain_rad(here).map(|gain| gain / change);
    let multiplier = slope_at(clock, here).or_else(kept).filter(|multiplier| multiplier.abs() < 1.0)?;
    Some(FixedPoint { right_rad: here, left_rad: back.left_rad, least_rad: back.least_rad, multiplier })
}

/// The stable point to which a swing is drawn: within a hundredth of it and closing in.
pub(super) fn drawn_to(scan: &GainScan, here: f64, next: f64) -> Option<FixedPoint> {
    let point = scan.stable.iter().min_by(|a, b| (a.right_rad - next).abs().total_cmp(&(b.right_rad - next).abs()))?;
    let closing = (next - point.right_rad).abs() < (here - point.right_rad).abs() || next == point.right_rad;
    let near = (next - point.right_rad).abs() < 0.01 * point.right_rad;
    // From above every start in between is drawn in: all of them lose. From below all gain.
    let between = closing && monotone_between(scan, next, point.right_rad);
    let at_rest_there = here == next && (here - point.right_rad).abs() < 1e-10;
    ((near && closing) || between || at_rest_there).then_some(*point)
}

/// Whether every probe between two amplitudes moves from the first towards the second.
fn monotone_between(scan: &GainScan, from: f64, to: f64) -> bool {
    let towards = (to - from).signum();
    scan.probes
        .iter()
        .filter(|probe| (probe.start_rad - from) * towards > 0.0 && (probe.start_rad - to) * towards < 0.0)
        .all(|probe| probe.gain_rad.is_some_and(|gain| gain * towards > 0.0))
}

/// The reason behind a failure at amplitude `here_rad` of a clock let go at `start_rad`; `ticked`: at least one period went
/// well before.
///
/// Whatever holds the last tooth, a swing that has come down to the escaping arc has died away. And whatever a pallet runs into in a
/// first swing hardly wider than that arc, it is the swing that wants: the tooth had not got out of its way.
#[must_use]
pub fn reason_of(clock: &Clock<'_>, failure: &PeriodFailure, start_rad: f64, here_rad: f64, ticked: bool) -> Reason {
    match failure {
        PeriodFailure::TrainSticks => return Reason::TrainSticks,
        PeriodFailure::Stopped(Stop { reason: StopReason::OutOfWork, .. }) => return Reason::NotSettled,
        _ => {}
    }
    // A pendulum that only creeps back holds its pallet anywhere: whatever it then runs into, it is the swing that wants.
    if clock.pendulum().is_overdamped() {
        return Reason::LosesAmplitude;
    }
    let (right, left) = clock.escaping_arcs_rad();
    if ticked && here_rad < start_rad && here_rad < DIED_AWAY * right.max(left) {
        return Reason::LosesAmplitude;
    }
    if let PeriodFailure::Stopped(Stop { reason, .. }) = failure
        && !matches!(reason, StopReason::AtRest | StopReason::BeyondFaces)
        && !ticked
        && here_rad < DIED_AWAY * right.max(left)
    {
        return if falls_once(clock, here_rad) { Reason::LosesAmplitude } else { Reason::NeverUnlocks };
    }
    match failure {
        PeriodFailure::NotUnlocked if !ticked => Reason::NeverUnlocks,
        PeriodFailure::NotUnlocked | PeriodFailure::HalfBeat => Reason::LosesAmplitude,
        PeriodFailure::Skipped => Reason::RunsAway,
        PeriodFailure::TrainSticks => Reason::TrainSticks,
        PeriodFailure::Stopped(stop) => match stop.reason {
            StopReason::OutOfWork => Reason::NotSettled,
            StopReason::AtRest if !ticked => Reason::NeverUnlocks,
            StopReason::AtRest => Reason::LosesAmplitude,
            StopReason::BeyondFaces if here_rad > start_rad => Reason::RunsAway,
            StopReason::Wedged(_)
            | StopReason::BothPallets
            | StopReason::Fouled(_)
            | StopReason::BeyondFaces
            | StopReason::Chatter => Reason::Jams,
        },
    }
}

/// Whether a tooth that the entry pallet lets go falls on the exit pallet before a start's first period ends.
fn falls_once(clock: &Clock<'_>, start_rad: f64) -> bool {
    let mut falls = ExitFalls(0);
    if let Ok(mut run) = clock.let_go(0, start_rad) {
        // How it fails is known.
        let _ = run.period(&mut falls);
    }
    falls.0 > 0
}

/// Counts the blows on the exit pallet.
struct ExitFalls(usize);

impl Observer for ExitFalls {
    fn segment(&mut self, _: &TakenSegment<'_>) {}
    fn jump(&mut self, jump: &Jump) {
        self.0 += usize::from(jump.kind == JumpKind::Impact(Side::Exit));
    }
}
