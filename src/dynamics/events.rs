//! The events that end a smooth stretch, found as roots of its own series.

use crate::geometry::Angles;
use crate::numerics::root::{first_fall_after, first_fall_through_zero};
use crate::numerics::series::{Series, trusted_step, value};

use super::contact::Contact;
use super::motion::Motion;
use super::track::Track;

/// Error of a gap over one stretch, m.
const GAP_TOLERANCE_M: f64 = 1e-17;

/// Gap that counts as closed, m: a few times the rounding of a gap made of lengths of a tenth of a metre.
pub(super) const CLOSED_GAP_M: f64 = 5e-16;

/// Wheel angle within which a closing gap is the outlines' own: at a fold the rounding of the gap stretches to its root.
pub(super) const NEAR_TOUCH_RAD: f64 = 1e-5;

/// All falls of a series through zero in `(from, to]`, in order.
fn falls(series: Series, mut from: f64, to: f64) -> impl Iterator<Item = f64> {
    // A root is good to rounding, so the search goes on a little behind it, further every time lest it find it again.
    let mut stride_s = 1e-14;
    std::iter::from_fn(move || {
        let t = first_fall_after(&series, from, to)?;
        from = t + stride_s;
        stride_s *= 2.0;
        Some(t)
    })
}

/// What ends a smooth stretch.
pub(super) enum Event {
    /// None: the series is trusted no further.
    StepEnd,
    /// The pendulum turns.
    Turned,
    /// The pendulum reaches the end of a track's piece, or the start of one.
    End { track: usize, at_rad: f64 },
    /// A gap closes.
    Closed { track: usize },
    /// The contact force falls through zero.
    ForceGone,
    /// The wheel, alone, comes to a stand.
    WheelStopped,
    /// The contact wedges.
    Jammed,
}

impl Motion<'_> {
    /// Ends of pieces reached within the stretch.
    pub(super) fn find_piece_ends(&self, duration: &mut f64, event: &mut Event) {
        let direction = self.direction;
        let mut reached = value(&self.flow.theta, *duration);
        for (track, place) in self.tracks.iter().enumerate() {
            let Some(end) = place.next_end_rad(self.state.theta_rad, direction) else { continue };
            if (end - reached) * direction >= 0.0 {
                continue;
            }
            let mut left: Series = std::array::from_fn(|n| -direction * self.flow.theta[n]);
            left[0] += direction * end;
            if let Some(t) = first_fall_through_zero(&left, *duration) {
                (*duration, *event) = (t, Event::End { track, at_rad: end });
                reached = end;
            }
        }
    }

    /// Gaps that close within the stretch.
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
        for index in 0..self.tracks.len() {
            let track = self.tracks[index];
            if track.piece.is_none() || contact.is_some_and(|contact| contact.track == index) {
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
            let play = CLOSED_GAP_M.max(track.rounding_m()) + track.slack_m;
            gap[0] += play;
            // Where the gap's own series is worth less than the step, go no further than it is worth.
            let trusted = trusted_step(&gap, GAP_TOLERANCE_M);
            if trusted < *duration {
                (*duration, *event) = (trusted, Event::StepEnd);
            }
            if let Some(t) = self.first_touch(&track, &gap, play, *duration) {
                (*duration, *event) = (t, Event::Closed { track: index });
            }
        }
    }

    /// First closing of a gap that is a touch of the outlines themselves. The gap belongs to primitives prolonged for ever
    /// and closes, too, where a tooth far from the pallet crosses a prolongation. `gap` counts as open by `play` more than it
    /// is, so that a tooth can leave; one that has opened closes where it is zero.
    fn first_touch(&self, track: &Track<'_>, gap: &Series, play: f64, duration: f64) -> Option<f64> {
        let touches = |t: f64| {
            let advance = track.advance_rad(value(&self.flow.theta, t));
            advance.is_some_and(|advance| (advance - value(&self.flow.phi, t)).abs() < NEAR_TOUCH_RAD)
        };
        if gap[0] < 0.0 && touches(0.0) {
            return Some(0.0);
        }
        let t = falls(*gap, 0.0, duration).find(|&t| touches(t))?;
        let mut bare = *gap;
        bare[0] -= play;
        Some(falls(bare, 0.0, t).filter(|&earlier| touches(earlier)).last().unwrap_or(t))
    }
}
