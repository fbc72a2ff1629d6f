//! The events that end a smooth stretch, found as roots of its own series.

use crate::geometry::{Angles, Flank};
use crate::numerics::root::{first_fall_after, first_fall_through_zero};
use crate::numerics::series::{Series, trusted_step, value};

use super::contact::Contact;
use super::motion::Motion;
use super::track::Track;

/// Error of a gap over one stretch, m.
const GAP_TOLERANCE_M: f64 = 1e-17;

/// Gap that counts as closed, m: a few times the rounding of a gap made of lengths of a tenth of a metre.
const CLOSED_GAP_M: f64 = 5e-16;

/// Wheel angle within which a closing gap is the outlines' own: at a fold the rounding of the gap stretches to its root.
pub(super) const NEAR_TOUCH_RAD: f64 = 1e-5;

/// Share of a stretch by which the search goes on behind a crossing that is no touch.
const PAST_A_CROSSING: f64 = 1e-9;

/// What ends a smooth stretch.
pub(super) enum Event {
    StepEnd,
    Turned,
    End { side: usize, flank: Flank, at_rad: f64 },
    Closed { side: usize },
    BackClosed { side: usize },
    ForceGone,
    WheelStopped,
    Jammed,
}

impl Motion<'_> {
    pub(super) fn find_piece_ends(&self, duration: &mut f64, event: &mut Event) {
        let direction = self.direction;
        let mut reached = value(&self.flow.theta, *duration);
        for side in 0..2 {
            for (track, flank) in [(&self.fronts[side], Flank::Front), (&self.backs[side], Flank::Back)] {
                let Some(end) = track.next_end_rad(self.state.theta_rad, direction) else { continue };
                if (end - reached) * direction >= 0.0 {
                    continue;
                }
                let mut left: Series = std::array::from_fn(|n| -direction * self.flow.theta[n]);
                left[0] += direction * end;
                if let Some(t) = first_fall_through_zero(&left, *duration) {
                    (*duration, *event) = (t, Event::End { side, flank, at_rad: end });
                    reached = end;
                }
            }
        }
    }

    pub(super) fn find_closing_gaps(&mut self, contact: Option<&Contact>, duration: &mut f64, event: &mut Event) {
        let swing = (value(&self.flow.theta, *duration) - self.state.theta_rad).abs();
        let advance = if contact.is_some_and(Contact::exactly_locked) {
            0.0
        } else {
            // The wheel's way is monotone but for one turn, so its speeds at both ends bound it.
            (self.flow.nu[0].abs() + value(&self.flow.nu, *duration).abs()) * *duration
        };
        let angles = Angles::at(self.state.theta_rad, self.state.phi_rad);
        let mut filled = contact.is_some_and(|contact| !contact.exactly_locked());
        for side in 0..2 {
            let held = contact.is_some_and(|contact| contact.side == side);
            for (track, flank) in [(self.fronts[side], Flank::Front), (self.backs[side], Flank::Back)] {
                if track.piece.is_none() || (held && flank == Flank::Front) {
                    continue;
                }
                let (by_theta, by_phi) = track.gap.steepness();
                if track.gap.value(&angles) > by_theta * swing + by_phi * advance {
                    continue;
                }
                if !filled {
                    self.flow.fill_wheel_turns();
                    filled = true;
                }
                let mut gap = self.flow.along(&track.gap);
                gap[0] += CLOSED_GAP_M + track.slack_m;
                // Where the gap's own series is worth less than the step, go no further than it is worth.
                let trusted = trusted_step(&gap, GAP_TOLERANCE_M);
                if trusted < *duration {
                    (*duration, *event) = (trusted, Event::StepEnd);
                }
                if let Some(t) = self.first_touch(&track, &gap, *duration) {
                    *duration = t;
                    *event = if flank == Flank::Front { Event::Closed { side } } else { Event::BackClosed { side } };
                }
            }
        }
    }

    /// First closing of a gap that is a touch of the outlines themselves. The gap belongs to primitives prolonged for ever
    /// and closes, too, where a tooth far from the pallet crosses a prolongation.
    pub(super) fn first_touch(&self, track: &Track<'_>, gap: &Series, duration: f64) -> Option<f64> {
        let touches = |t: f64| {
            let advance = track.advance_rad(value(&self.flow.theta, t));
            advance.is_some_and(|advance| (advance - value(&self.flow.phi, t)).abs() < NEAR_TOUCH_RAD)
        };
        if gap[0] < 0.0 && touches(0.0) {
            return Some(0.0);
        }
        let mut from = 0.0;
        while let Some(t) = first_fall_after(gap, from, duration) {
            if touches(t) {
                return Some(t);
            }
            // The gap has to open again before it can close in earnest; no further than its own rounding from here.
            from = t + PAST_A_CROSSING * duration;
        }
        None
    }
}
