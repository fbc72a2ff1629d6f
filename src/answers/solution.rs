//! What a clock comes to when it is solved.

use crate::clock::drive_level::DriveLevel;
use crate::clock::train::losses::RunTime;

use super::dial::TwelveHours;
use super::gain_scan::GainScan;
use super::no_answer::NoAnswer;
use super::steady::Steady;
use super::verdict::Verdict;
use super::wandering::WanderingSwing;

/// The least drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LeastDrive {
    /// Bare.
    pub bare: DriveLevel,
    /// With the asked margin; `None` where no drive has it or nobody asked.
    pub with_margin: Option<DriveLevel>,
    /// Torque at the escape wheel for the bare one, N m.
    pub torque_n_m: f64,
}

/// A drive under which a clock goes, and its swing there: where the search for the drive with a margin begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Going {
    /// Drive.
    pub drive: DriveLevel,
    /// Amplitude on the right, rad.
    pub right_rad: f64,
}

/// What a clock comes to.
#[derive(Debug, Clone)]
pub struct Solution {
    /// Probed starts and stable points.
    pub scan: GainScan,
    /// The verdict.
    pub verdict: Verdict,
    /// The steady state, or why there is none.
    pub steady: Result<Steady, NoAnswer>,
    /// The mean of a swing that does not settle; `None` where it does, or stops.
    pub wandering: Option<WanderingSwing>,
    /// By how much the least swing exceeds the escaping arcs, rad, the lesser of both sides; `None` where it stops.
    pub arc_margin_rad: Option<f64>,
    /// The least drive, or why there is none.
    pub least: Result<LeastDrive, NoAnswer>,
    /// The twelve hours of the dial; `None` where nobody asked, without hands, and where the clock stops under the mean of their torque.
    pub dial: Option<TwelveHours>,
    /// How long a winding lasts; `None` without a weight drive or a time base.
    pub run_time: Option<RunTime>,
}
