//! The least weight over the twelve hours, and the constant torque of the hands that asks for the same.

use crate::answers::bounded::within_periods;
use crate::answers::cycle::fixed_point_near;
use crate::answers::lasting_swing::stable_point;
use crate::answers::least_drive::least_drive;
use crate::answers::least_drive_with_margin::{least_drive_with_margin, zero_of};
use crate::answers::return_map::Clock;
use crate::clock::design::DialShares;

use super::Dial;

/// Accuracy of the least weight over the dial, relative.
const WEIGHT_TOLERANCE: f64 = 1e-4;

/// Rise of the least weight between mean and largest torque, relative, that counts as none.
const NO_RISE: f64 = 1e-6;

/// Factor by which the weight is raised, and how often, where that of the largest torque does not carry the clock round the dial.
const RAISED_BY: f64 = 1.02;
const MOST_RAISED: usize = 8;

/// Share of a weight at which the swing is compared, to learn how fast it falls.
const LESS: f64 = 0.99;

/// Swing near which a steady one is looked for first, in escaping arcs.
const FIRST_GUESS: f64 = 1.3;

impl<'b> Dial<'b> {
    /// The constant torques of the hands that ask for the same least weights as the twelve hours, as shares of the way from the mean torque
    /// to the largest. The search begins `around_kg`. `None` where no weight keeps the clock going.
    ///
    /// The least weight with which the clock comes round the dial is bisected to 1e-4; that with the margin is solved for the least excess of the swing
    /// over the twelve hours. `None`, too, where that takes more work than a question may.
    ///
    /// How the torque of the hands is shared hardly hangs on teeth that differ: it is that of the same clock with teeth alike.
    #[must_use]
    pub fn shares(&self, around_kg: f64, margin_rad: f64) -> Option<DialShares> {
        if let Some(alike) = self.with_teeth_alike() {
            return alike.shares(around_kg, margin_rad);
        }
        let (shares, used_up) = within_periods(1, || self.shares_found(around_kg, margin_rad));
        shares.filter(|_| !used_up)
    }

    fn shares_found(&self, around_kg: f64, margin_rad: f64) -> Option<DialShares> {
        let [at_mean, at_most] = [0.0, 1.0].map(|share| least_drive(&self.with_share(share), around_kg));
        let (at_mean, at_most) = (at_mean?, at_most?);
        let rise = at_most - at_mean;
        if rise <= NO_RISE * at_mean {
            return Some(DialShares { bare: 0.0, with_margin: 0.0 });
        }
        let least_kg = self.least_round_the_dial((at_mean, at_most))?;
        let bare = share_of(least_kg, (at_mean, at_most), |share| least_drive(&self.with_share(share), least_kg));
        let with_margin = self.margin_share((at_mean, at_most), least_kg, margin_rad).unwrap_or(bare);
        Some(DialShares { bare, with_margin })
    }

    /// The clock over the weight, its hands taking a constant share.
    fn with_share(&self, share: f64) -> impl Fn(f64) -> Clock<'b> {
        let drivable = self.drivable.with_hands(self.hands.at_share(share));
        move |weight_kg| drivable.clock_at(weight_kg)
    }

    /// A steady swing under the mean torque, rad, looked for near another.
    fn mean_swing_rad(&self, weight_kg: f64, near_rad: &mut Option<f64>) -> Option<f64> {
        let clock = self.with_share(0.0)(weight_kg);
        let guess_rad = near_rad.unwrap_or_else(|| FIRST_GUESS * clock.widest_escaping_arc_rad());
        *near_rad = Some(stable_point(&clock, guess_rad)?.right_rad);
        *near_rad
    }

    /// By how much the steady swing under the mean torque falls from a weight to [`LESS`] of it, rad.
    fn falling_swing_rad(&self, weight_kg: f64) -> Option<f64> {
        let mut near_rad = None;
        let here_rad = self.mean_swing_rad(weight_kg, &mut near_rad)?;
        Some(here_rad - self.mean_swing_rad(LESS * weight_kg, &mut near_rad)?)
    }

    /// The least weight that carries the clock round the dial, kg, between those of mean and largest torque.
    ///
    /// What the swing keeps above the escaping arc falls nearly in proportion to the weight, and is all but used up at the least one: the secant of it
    /// says which to try, and what fails is no guess but the clock.
    fn least_round_the_dial(&self, (mut low, high): (f64, f64)) -> Option<f64> {
        let mut near_rad = None;
        let mut margin = |weight_kg: f64| {
            let near_rad = self.mean_swing_rad(weight_kg, &mut near_rad)?;
            Some((weight_kg, self.least_margin_rad(weight_kg, near_rad)?))
        };
        let mut high = (high, margin(high).map(|found| found.1));
        let mut raised = 0;
        while high.1.is_none() {
            if raised == MOST_RAISED {
                return None;
            }
            low = high.0;
            high = (RAISED_BY * low, margin(RAISED_BY * low).map(|found| found.1));
            raised += 1;
        }
        let mut least = (high.0, high.1?);
        // The steady swing under the mean torque falls with the weight about as fast as the least one of the twelve hours does.
        let mut before = self.falling_swing_rad(least.0).map(|fall| (LESS * least.0, least.1 - fall));
        let mut halve = false;
        while least.0 - low > WEIGHT_TOLERANCE * least.0 {
            let guess = before.filter(|_| !halve).and_then(|before| next_weight(before, least, low));
            let next = guess.unwrap_or(low + 0.5 * (least.0 - low));
            match margin(next) {
                Some(found) => (before, least, halve) = (Some(least), found, false),
                // Where the line leads nowhere the interval is halved every other time.
                None => (low, halve) = (next, guess.is_some()),
            }
        }
        Some(least.0)
    }

    /// The share for the least weight with the margin.
    fn margin_share(&self, (at_mean, at_most): (f64, f64), least_kg: f64, margin_rad: f64) -> Option<f64> {
        let with_margin = |share: f64, bare: f64, going_kg: f64| {
            let with = self.with_share(share);
            let clock = with(going_kg);
            let going = fixed_point_near(&clock, FIRST_GUESS * clock.widest_escaping_arc_rad())
                .filter(|point| point.multiplier.abs() < 1.0)
                .or_else(|| stable_point(&clock, FIRST_GUESS * clock.widest_escaping_arc_rad()))?;
            least_drive_with_margin(&with, bare, (going_kg, going.right_rad), margin_rad)
        };
        let low = with_margin(0.0, at_mean, 1.2 * at_mean)?;
        let high = with_margin(1.0, at_most, 1.2 * at_most)?;
        if high - low <= NO_RISE * low {
            return Some(0.0);
        }
        let mut near_rad = None;
        let mut excess = |weight_kg: f64| {
            let near_rad = self.mean_swing_rad(weight_kg, &mut near_rad);
            let margin = near_rad.and_then(|near_rad| self.least_margin_rad(weight_kg, near_rad));
            margin.map_or(f64::NEG_INFINITY, |margin| margin - margin_rad)
        };
        let begin = low.max(least_kg);
        let (at_begin, at_end) = (excess(begin), excess(high));
        let found = match (at_begin >= 0.0, at_end > 0.0) {
            (true, _) => begin,
            (false, false) => high,
            (false, true) => zero_of(excess, (begin, at_begin), (high, at_end), WEIGHT_TOLERANCE)?,
        };
        Some(share_of(found, (low, high), |share| with_margin(share, at_mean + share * (at_most - at_mean), found)))
    }
}

/// The weight to try next by the line through two that carry the clock round the dial: that at which it keeps nothing, or just below the
/// lesser one where that is as near; `None` where the line leads below what is known to fail.
fn next_weight(before: (f64, f64), least: (f64, f64), low: f64) -> Option<f64> {
    let tolerance = WEIGHT_TOLERANCE * least.0;
    let zero = least.0 - least.1 * (before.0 - least.0) / (before.1 - least.1);
    let next = if zero > least.0 - 0.5 * tolerance { least.0 - 0.9 * tolerance } else { zero + 0.25 * tolerance };
    (next > low && next < least.0).then_some(next)
}

/// The share at which `weight_at` is `weight_kg`, nearly a straight line between those of mean and largest torque.
fn share_of(weight_kg: f64, (at_mean, at_most): (f64, f64), weight_at: impl Fn(f64) -> Option<f64>) -> f64 {
    let rise = at_most - at_mean;
    let share = (weight_kg - at_mean) / rise;
    let found = weight_at(share).unwrap_or(weight_kg);
    share + (weight_kg - found) / rise
}
