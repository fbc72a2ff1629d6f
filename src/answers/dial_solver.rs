//! What the twelve hours of the dial add to a solver.

use crate::clock::design::DialShares;

use super::dial::{Dial, TwelveHours};
use super::drivable::Drivable;
use super::lasting_swing::{LastingSwing, stable_point};
use super::return_map::Clock;
use super::solve::Solver;
use super::verdict::Verdict;

impl<'b> Solver<'b> {
    /// With the constant torque of the hands that stands for the twelve hours.
    pub(super) fn with_shares(self, shares: Option<DialShares>) -> Self {
        let with = Self { shares, ..self };
        let over = with.over_the_dial(|shares| shares.bare).zip(with.built.own_drive());
        Self { dial_clock: over.and_then(|(drivable, level)| drivable.clock(level)), ..with }
    }

    /// The drive with hands that take the constant torque that stands for the twelve hours; `None` without hands, or where that is not
    /// solved.
    pub(super) fn over_the_dial(&self, share: fn(&DialShares) -> f64) -> Option<Drivable<'b>> {
        let drivable = self.drivable?;
        let hands = drivable.prepared()?.hands()?;
        Some(drivable.with_hands(hands.at_share(share(self.shares.as_ref()?))))
    }

    /// The same solver with the twelve hours solved for where the clock has hands and nobody did so before.
    #[must_use]
    pub fn dial_solved(self) -> Self {
        if self.shares.is_some() || self.jams {
            return self;
        }
        let dial = self.drivable.and_then(|drivable| Dial::driven_by(drivable, self.built));
        let solved = dial.and_then(|dial| dial.shares(self.search_from(), self.built.margin_rad));
        if solved.is_some() { self.with_shares(solved) } else { self }
    }

    /// The drive by which the least one is looked for: of a clock with hands that over the twelve hours.
    pub(super) fn least_drivable(&self) -> Option<Drivable<'b>> {
        self.over_the_dial(|shares| shares.bare).or(self.drivable)
    }

    /// By how much a swing under the clock's own drive exceeds the escaping arcs, rad; with hands that under the constant torque that
    /// stands for the least swing of the twelve hours.
    pub(super) fn beyond_escaping_rad(&self, clock: &Clock<'_>, swing: &LastingSwing) -> f64 {
        let least = self.carrying_clock().and_then(|over| {
            let foreseen = self.warm.and_then(|warm| warm.carrying_point(&over, swing.right_rad));
            foreseen.as_ref().map(LastingSwing::steady).or_else(|| LastingSwing::near(&over, swing.right_rad))
        });
        least.unwrap_or(*swing).beyond_escaping_rad(clock)
    }

    /// The same for the clock as it was built; `None` without a drive.
    pub(super) fn arc_margin_rad(&self, swing: &LastingSwing) -> Option<f64> {
        Some(self.beyond_escaping_rad(self.clock.as_ref()?, swing))
    }

    /// The clock with hands that take the constant torque that stands for the least swing of the twelve hours.
    pub(super) fn carrying_clock(&self) -> Option<Clock<'b>> {
        let over = self.over_the_dial(|shares| shares.with_margin).zip(self.built.own_drive());
        over.and_then(|(drivable, level)| drivable.clock(level))
    }

    /// The clock whose gains tell whether it keeps going: with hands that over the twelve hours.
    pub(super) fn gaining_clock(&self) -> Option<Clock<'b>> {
        self.dial_clock.or(self.clock)
    }

    /// Whether a clock with hands comes round the dial, by the constant torque that stands for the twelve hours; one without hands does.
    pub(super) fn comes_round(&self, near_rad: f64) -> bool {
        self.dial_clock.is_none_or(|clock| stable_point(&clock, near_rad).is_some())
    }

    /// The twelve hours under the clock's own weight, where they are wanted and it goes under the mean torque of its hands.
    pub(super) fn twelve_hours(&self, verdict: Verdict) -> Option<TwelveHours> {
        let Solver { built, wanted, drivable, .. } = *self;
        let (Verdict::KeepsGoing(point), true) = (verdict, wanted.dial) else { return None };
        let weight_kg = built.own_drive()?.kg()?;
        Some(Dial::driven_by(drivable?, built)?.twelve_hours(weight_kg, point.right_rad, built.start_arc_rad))
    }
}
