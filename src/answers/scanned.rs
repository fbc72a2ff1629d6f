//! A clock whose starts have been probed: its verdict, and all that follows from it.

use std::cell::OnceCell;

use crate::clock::drive_level::DriveLevel;

use super::bounded::of_probes;
use super::cycle::least_start_rad;
use super::dial::DialStop;
use super::gain_scan::GainScan;
use super::lasting_swing::LastingSwing;
use super::no_answer::NoAnswer;
use super::return_map::Clock;
use super::solution::{Going, LeastDrive, Solution};
use super::solve::{SURE_TO_GO, Solver};
use super::start_basins::{AnswerRange, StartBasins};
use super::steady::Steady;
use super::verdict::{JAMMED, Reason, Verdict, verdict};
use super::wandering::WanderingSwing;

/// A clock whose starts have been probed under its own drive.
#[derive(Debug, Clone)]
pub struct Scanned<'b> {
    solver: Solver<'b>,
    clock: Clock<'b>,
    scan: GainScan,
    comes_round: OnceCell<bool>,
    /// Whether the probing took all the work that it may.
    cut_short: bool,
}

impl<'b> Scanned<'b> {
    pub(super) const fn of(solver: Solver<'b>, clock: Clock<'b>, scan: GainScan, cut_short: bool) -> Self {
        Self { solver, clock, scan, comes_round: OnceCell::new(), cut_short }
    }

    /// Whether the clock comes round the dial; where the twelve hours themselves are wanted they tell.
    fn comes_round(&self) -> bool {
        let near = self.scan.stable.first().filter(|_| !self.solver.wanted.dial);
        *self.comes_round.get_or_init(|| near.is_none_or(|point| self.solver.comes_round(point.right_rad)))
    }

    /// The verdict with the hands taken into account: a swing that is steady under their mean torque may still not come round the dial.
    fn over_the_dial(&self, verdict: Verdict) -> Verdict {
        match verdict {
            Verdict::KeepsGoing(_) if !self.comes_round() => Verdict::Stops(Reason::LosesAmplitude, None),
            _ => verdict,
        }
    }

    /// What the clock ends in from its start arc.
    #[must_use]
    pub fn verdict(&self) -> Verdict {
        if self.solver.jams {
            return JAMMED;
        }
        let (found, _) = self.solver.bounded(|| verdict(&self.clock, &self.scan, self.solver.built.start_arc_rad));
        self.over_the_dial(of_probes(found, self.cut_short))
    }

    /// The same as one start of all: a swing that is known to die away is not followed.
    #[must_use]
    pub fn verdict_by_basins(&self) -> Verdict {
        let (by_basins, used_up) = self.solver.bounded(|| match self.solver.built.start_arc_rad {
            _ if self.solver.jams => JAMMED,
            Some(start_rad) => StartBasins::of(&self.clock, &self.scan, start_rad).from(start_rad),
            None => StartBasins::of(&self.clock, &self.scan, 0.0).of_any_push(),
        });
        self.over_the_dial(of_probes(by_basins, self.cut_short || used_up))
    }

    /// What every start between two arcs ends in, rad, rising.
    #[must_use]
    pub fn basins(&self, low_rad: f64, high_rad: f64) -> Vec<AnswerRange<Verdict>> {
        if self.solver.jams {
            return vec![AnswerRange { from: low_rad, to: high_rad, answer: JAMMED }];
        }
        let (mut ranges, used_up) =
            self.solver.bounded(|| StartBasins::of(&self.clock, &self.scan, high_rad).between(low_rad, high_rad));
        let cut_short = self.cut_short || used_up;
        ranges.iter_mut().for_each(|range| range.answer = self.over_the_dial(of_probes(range.answer, cut_short)));
        ranges
    }

    /// A drive under which the clock goes: its own, else one a fifth above the bare least one.
    #[must_use]
    pub fn going(&self, bare: DriveLevel) -> Option<Going> {
        let drivable = self.solver.drivable?;
        match self.scan.stable.first() {
            Some(point) => Some(Going { drive: drivable.level(self.solver.search_from()), right_rad: point.right_rad }),
            None => self.solver.going_at(drivable.level(SURE_TO_GO * bare.value())),
        }
    }

    /// The least drive as far as it is wanted; the search for that with the margin begins at the clock's own swing.
    ///
    /// # Errors
    /// As [`Solver::least`].
    pub fn least(&self) -> Result<LeastDrive, NoAnswer> {
        let least = self.solver.least_beginning(|drivable, bare| self.going(drivable.level(bare)));
        if let (Ok(found), Some(_), false) = (&least, self.solver.dial_clock, self.solver.wanted.dial) {
            // Under the torque that stands for the twelve hours it comes round from that drive on.
            self.comes_round.get_or_init(|| found.bare.value() <= self.solver.search_from());
        }
        least
    }

    /// The solution for a verdict and a least drive that are known.
    #[must_use]
    pub fn solution(&self, verdict: Verdict, least: Result<LeastDrive, NoAnswer>) -> Solution {
        let Solver { built, wanted, .. } = self.solver;
        let (dial, _) = self.solver.bounded(|| self.solver.twelve_hours(verdict));
        let verdict = match dial {
            Some(Err(DialStop { reason, failure, .. })) => Verdict::Stops(reason, Some(failure)),
            _ => verdict,
        };
        let steady = verdict.point().and_then(|point| {
            let swing = self.solver.measured(&self.clock, point)?;
            let least_start = wanted.least_start.then(|| least_start_rad(&self.clock, &point, &self.scan.probes));
            Ok(Steady::of(built, swing, least_start))
        });
        let wandering = match verdict {
            Verdict::Wanders(least_rad, largest_rad) => {
                self.solver.bounded(|| WanderingSwing::of(built, &self.clock, 0.5 * (least_rad + largest_rad))).0
            }
            _ => None,
        };
        let lasting = match (&steady, &wandering) {
            (Ok(steady), _) => Some(LastingSwing::steady(&steady.point)),
            (Err(_), Some(swing)) => Some(swing.lasting()),
            (Err(_), None) => None,
        };
        let arc_margin_rad = match &dial {
            Some(Ok(course)) => Some(course.least_margin_rad),
            _ => lasting.map(|swing| self.solver.beyond_escaping_rad(&self.clock, &swing)),
        };
        let measured = steady.as_ref().ok().map(|steady| &steady.measured);
        let period_s = measured.or(wandering.as_ref().map(|swing| &swing.measured)).map(|measured| measured.period_s);
        Solution {
            scan: self.scan.clone(),
            verdict,
            steady,
            wandering,
            arc_margin_rad,
            least,
            dial,
            run_time: built.run_time(period_s),
        }
    }
}
