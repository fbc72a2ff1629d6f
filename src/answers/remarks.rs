//! What a prediction leaves open, and why; the words are the report's.

use crate::clock::build::Built;
use crate::clock::drive_level::DriveLevel;
use crate::clock::notes::Note;

use super::cycle::{FixedPoint, least_start_rad};
use super::drivable::Drivable;
use super::gain_scan::{Probe, best_gain, first_gaining, probe_starts};
use super::no_answer::NoAnswer;
use super::return_map::Clock;
use super::solve::Solution;
use super::verdict::{Reason, Verdict};

/// A remark on a prediction.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// The swing does not settle on one amplitude.
    Wanders {
        /// Least amplitude, rad.
        least_rad: f64,
        /// Largest amplitude, rad.
        largest_rad: f64,
    },
    /// A kick has no torque of which there could be a least one.
    KickWithoutTorque,
    /// The train jams under any weight.
    NoWeightFreesTheTrain,
    /// It stops although its drive exceeds the least one.
    StopsAboveLeast {
        /// Its drive over the least one.
        ratio: f64,
        /// The start of the scenario, rad; `None` where it leaves it open.
        start_rad: Option<f64>,
        /// The starts that are drawn to a steady swing, rad; `None` where no swing lasts under so much drive.
        going_rad: Option<(f64, f64)>,
    },
    /// Under some drives above the least one no start gains: its map jumps from drive to drive.
    GoesInBands {
        /// The drive over the least one from which on all that were tried keep it going; `None` where the highest does not.
        sure_ratio: Option<f64>,
    },
    /// No drive that was tried keeps the clock going.
    NoLeastDrive,
    /// The least drive was not found within the work that a question may take.
    LeastDriveNotSettled,
    /// No drive that was tried gives the margin asked for.
    NoDriveWithMargin,
    /// No weight drives the clock.
    WithoutWeight,
    /// No train requires a period.
    WithoutMinuteHand,
    /// An ideal escapement has no action.
    WithoutPallets,
    /// It goes with all frictions as large as was tried.
    FrictionNeverStopsIt,
    /// It goes on beyond the years that were asked for.
    OutlastsTheYears,
    /// It goes as it is wound up, and stops as the weight sinks.
    StopsAsTheWeightSinks {
        /// Days after winding at which the weight takes most; `None` without a time base.
        days: Option<f64>,
        /// From the drum to the weight's middle there, m.
        hangs_m: f64,
    },
    /// The swing has less than the margin asked for.
    BelowMargin {
        /// By how much the swing exceeds the escaping arc, rad.
        arc_margin_rad: f64,
        /// What is asked, rad.
        asked_rad: f64,
    },
    /// What stands for the steady swing are means over one that wanders.
    MeansOfWandering,
    /// There is no steady swing.
    WithoutSteadySwing,
    /// Something to look at in the clock itself.
    Clock(Note),
}

impl From<Note> for Remark {
    fn from(note: Note) -> Self {
        Self::Clock(note)
    }
}

/// What there is to remark on the solution of a built clock of which everything was wanted.
pub(super) fn remarks(built: &Built, solution: &Solution) -> Vec<Remark> {
    let mut notes = Vec::new();
    if let Verdict::Wanders(least_rad, largest_rad) = solution.verdict {
        notes.push(Remark::Wanders { least_rad, largest_rad });
    }
    match &solution.least {
        Ok(least) if least.with_margin.is_some() => {}
        Ok(_) => notes.push(Remark::NoDriveWithMargin),
        Err(NoAnswer::NoDriveTorque) => notes.push(Remark::KickWithoutTorque),
        Err(NoAnswer::Stops(Reason::NotSettled)) => notes.push(Remark::LeastDriveNotSettled),
        Err(NoAnswer::Stops(_)) => notes.push(Remark::NoWeightFreesTheTrain),
        Err(_) => notes.push(Remark::NoLeastDrive),
    }
    notes.extend(above_the_least(built, solution));
    notes.extend(bands_above_the_least(built, solution));
    if built.weight_drive.is_none() {
        notes.push(Remark::WithoutWeight);
    }
    if built.train_period_s().is_none() {
        notes.push(Remark::WithoutMinuteHand);
    }
    if built.action.is_none() {
        notes.push(Remark::WithoutPallets);
    }
    if let Some(arc_margin_rad) = solution.arc_margin_rad.filter(|&margin| margin < built.margin_rad) {
        notes.push(Remark::BelowMargin { arc_margin_rad, asked_rad: built.margin_rad });
    }
    if solution.wandering.is_some() {
        notes.push(Remark::MeansOfWandering);
    } else if solution.steady.is_err() {
        notes.push(Remark::WithoutSteadySwing);
    }
    notes.extend(built.notes().into_iter().map(Remark::from));
    notes
}

/// Share by which the drive exceeds the least one where they count as different: ten times what the latter is good to.
const ABOVE: f64 = 1e-4;

/// Accuracy of the largest start that is drawn to a swing, rad.
const LARGEST_START_RAD: f64 = 1e-6;

/// What tells a clock that stops from its least drive, which is less than its own: the start, or too much of the drive.
fn above_the_least(built: &Built, solution: &Solution) -> Option<Remark> {
    let Verdict::Stops(..) = solution.verdict else { return None };
    let least = solution.least.as_ref().ok()?.bare.value();
    let ratio = built.own_drive().map(DriveLevel::value)? / least;
    if !(ratio > 1.0 + ABOVE) {
        return None;
    }
    let clock = Clock::of(&built.mechanism)?;
    let point = solution.scan.stable.first();
    let going_rad = point.map(|point| {
        let probes = &solution.scan.probes;
        (least_start_rad(&clock, point, probes), largest_start_rad(&clock, point, probes))
    });
    Some(Remark::StopsAboveLeast { ratio, start_rad: built.start_arc_rad, going_rad })
}

/// The largest start such that all from the steady swing up to it come round and lose, rad; the largest that was tried where all do.
fn largest_start_rad(clock: &Clock<'_>, point: &FixedPoint, probes: &[Probe]) -> f64 {
    let (mut good, mut bad) = (point.right_rad, None);
    for probe in probes.iter().filter(|probe| probe.start_rad > point.right_rad) {
        if probe.gain_rad.is_some_and(|gain| gain < 0.0) {
            good = probe.start_rad;
        } else {
            bad = Some(probe.start_rad);
            break;
        }
    }
    let Some(mut bad) = bad else { return good };
    while bad - good > LARGEST_START_RAD {
        let middle = 0.5 * (good + bad);
        let loses = clock.period_from(middle).gain_rad(middle).is_some_and(|gain| gain < 0.0);
        if loses { good = middle } else { bad = middle }
    }
    good
}

/// Drives over the least one at which it is asked whether the clock goes there, too: a thousandth above it, then further and further.
const ABOVE_LEAST: [f64; 8] = [1.001, 1.003, 1.01, 1.03, 1.06, 1.1, 1.2, 1.4];

/// Whether drives a little above the least one keep the clock going. The higher ones are asked only if the nearest does not.
fn bands_above_the_least(built: &Built, solution: &Solution) -> Option<Remark> {
    if solution.dial.is_some() {
        return None;
    }
    let least = solution.least.as_ref().ok()?.bare.value();
    let drivable = Drivable::of(built)?;
    let goes = |ratio: f64| {
        let clock = drivable.clock_at(ratio * least);
        let best = || best_gain(&clock, &probe_starts(&clock)).and_then(|best| best.gain_rad);
        first_gaining(&clock).is_some() || best().is_some_and(|gain| gain > 0.0)
    };
    if goes(ABOVE_LEAST[0]) {
        return None;
    }
    let fails = ABOVE_LEAST.iter().rposition(|&ratio| !goes(ratio))?;
    Some(Remark::GoesInBands { sure_ratio: ABOVE_LEAST.get(fails + 1).copied() })
}
