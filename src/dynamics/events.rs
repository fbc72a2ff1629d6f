//! The events that end a smooth stretch, found as roots of its own series.

use crate::geometry::{Angles, Reach};
use crate::numerics::root::{fall_of_falling, first_fall_after, first_fall_through_zero};
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

/// First fall of a series through zero in `(from, to]`; at the start of the series also one that starts below.
pub(super) fn first_fall(series: &Series, from: f64, to: f64) -> Option<f64> {
    if from == 0.0 { first_fall_through_zero(series, to) } else { first_fall_after(series, from, to) }
}

/// All falls of a series through zero in `(from, to]`, in order.
fn falls(series: &Series, mut from: f64, to: f64) -> impl Iterator<Item = f64> {
    // A root is good to rounding, so the search goes on a little behind it, further every time lest it find it again.
    let mut stride_s = 1e-14;
    std::iter::from_fn(move || {
        let t = first_fall_after(series, from, to)?;
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
    /// The pendulum reaches the end of a track's piece, or the start of one: only one that ends the contact outlasts the search.
    End { track: usize, at_rad: f64 },
    /// A pallet whose piece has changed finds a tooth inside it.
    Fouled { track: usize },
    /// A gap closes.
    Closed { track: usize },
    /// The contact force falls through zero.
    ForceGone,
    /// The wheel, alone, comes to a stand.
    WheelStopped,
    /// The contact wedges.
    Jammed,
    /// The rod has crossed the play of a crutch that stands still.
    PlayCrossed,
    /// The torque of the contact changes sign, and the crutch has play.
    TorqueGone,
}

impl Motion<'_> {
    /// The first event after `from_s` along the series, where the state is `self.state` with its `angles`, and its time: at the
    /// latest `until_s`.
    pub(super) fn next_event(
        &mut self,
        contact: Option<&Contact>,
        angles: &Angles,
        from_s: f64,
        until_s: f64,
    ) -> (f64, Event) {
        if let Some(held) = self.held() {
            return self.next_event_of_held(&held, from_s, until_s);
        }
        let (mut time, mut event) = (until_s, Event::StepEnd);
        let sliding = contact.filter(|contact| !contact.exactly_locked());
        let direction = self.direction;
        let outward: Series = std::array::from_fn(|n| direction * self.series.omega[n]);
        if let Some(t) = first_fall(&outward, from_s, time) {
            (time, event) = (t, Event::Turned);
        }
        if contact.is_none() && self.series.nu[0] * self.series.nu[1] < 0.0 {
            let t = -self.series.nu[0] / self.series.nu[1];
            if t > from_s && t < time {
                (time, event) = (t, Event::WheelStopped);
            }
        }
        self.find_piece_end(from_s, &mut time, &mut event);
        if sliding.is_some() {
            // A force of a hundred-billionth of the drive's own counts as none.
            let floor = 1e-11 * self.drive.backward_n_m().abs();
            let mut force = self.series.force;
            force[0] += floor;
            if let Some(t) = first_fall(&force, from_s, time) {
                (time, event) = (t, Event::ForceGone);
            }
            if let Some(t) = self.torque_gone_s(from_s, time) {
                (time, event) = (t, Event::TorqueGone);
            }
        }
        let reach = self.reach(sliding.is_none() && contact.is_some(), from_s, time);
        if let Some(contact) = sliding
            && contact.holds_wheel()
            && contact.forces.on_wheel.lowest(angles, &reach) <= 0.0
        {
            let arm = self.series.along(&contact.forces.on_wheel);
            if let Some(t) = first_fall(&arm, from_s, time) {
                (time, event) = (t, Event::Jammed);
            }
        }
        self.find_closing_gaps(contact, (angles, &reach), from_s, &mut time, &mut event);
        (time, event)
    }

    /// Way of pendulum and wheel along the segment from `from_s` on, where the state is `self.state`, to `to_s`.
    fn reach(&self, wheel_stands: bool, from_s: f64, to_s: f64) -> Reach {
        let swing = value(&self.series.theta, to_s) - self.state.theta_rad;
        if wheel_stands {
            return Reach { theta_rad: swing, phi_rad: (0.0, 0.0) };
        }
        // The wheel's way is monotone but for one turn, so its speeds at both ends bound it.
        let (first, last) = (self.state.nu_rad_s, value(&self.series.nu, to_s));
        let most = (first.abs() + last.abs()) * (to_s - from_s);
        let back = if first >= 0.0 && last >= 0.0 { 0.0 } else { most };
        let forth = if first <= 0.0 && last <= 0.0 { 0.0 } else { most };
        Reach { theta_rad: swing, phi_rad: (-back, forth) }
    }

    /// The first end of a piece reached after `from_s`.
    fn find_piece_end(&self, from_s: f64, time: &mut f64, event: &mut Event) {
        let direction = self.direction;
        let reached = value(&self.series.theta, *time);
        // The pendulum goes one way up to its turning point, so the nearest end is the first.
        let mut nearest = (direction * reached, None);
        for (track, place) in self.tracks.iter().enumerate() {
            let Some(end) = place.next_end_rad(self.state.theta_rad, direction) else { continue };
            if direction * end < nearest.0 {
                nearest = (direction * end, Some((track, end)));
            }
        }
        let Some((track, end)) = nearest.1 else { return };
        let found = if (end - self.state.theta_rad) * direction <= 0.0 {
            Some(from_s)
        } else {
            let mut left: Series = std::array::from_fn(|n| -direction * self.series.theta[n]);
            left[0] += direction * end;
            fall_of_falling(&left, from_s, *time)
        };
        if let Some(t) = found {
            (*time, *event) = (t, Event::End { track, at_rad: end });
        }
    }

    /// Gaps that close after `from_s`.
    fn find_closing_gaps(
        &mut self,
        contact: Option<&Contact>,
        (angles, reach): (&Angles, &Reach),
        from_s: f64,
        time: &mut f64,
        event: &mut Event,
    ) {
        let mut filled = contact.is_some_and(|contact| !contact.exactly_locked());
        for index in 0..self.tracks.len() {
            let track = &self.tracks[index];
            if track.piece.is_none()
                || contact.is_some_and(|contact| contact.track == index)
                || track.gap.lowest(angles, reach) > 0.0
            {
                continue;
            }
            if !filled {
                self.series.fill_wheel_turns();
                filled = true;
            }
            let track = &self.tracks[index];
            let mut gap = self.series.along(&track.gap);
            let play = CLOSED_GAP_M.max(track.rounding_m()) + track.slack_m;
            gap[0] += play;
            // Where the gap's own series is worth less than the step, go no further than it is worth; where it is worth less
            // than the way already gone, begin a new step here.
            let trusted = trusted_step(&gap, GAP_TOLERANCE_M).max(from_s);
            if trusted < *time {
                (*time, *event) = (trusted, Event::StepEnd);
            }
            if trusted == from_s {
                return;
            }
            if let Some(t) = self.first_touch(track, &gap, play, from_s, *time) {
                (*time, *event) = (t, Event::Closed { track: index });
            }
        }
    }

    /// First closing of a gap that is a touch of the outlines themselves. The gap belongs to primitives prolonged for ever
    /// and closes, too, where a tooth far from the pallet crosses a prolongation. `gap` counts as open by `play` more than it
    /// is, so that a tooth can leave; one that has opened closes where it is zero.
    fn first_touch(&self, track: &Track<'_>, gap: &Series, play: f64, from_s: f64, to_s: f64) -> Option<f64> {
        let touches = |t: f64| {
            let advance = track.advance_rad(value(&self.series.theta, t));
            advance.is_some_and(|advance| (advance - value(&self.series.phi, t)).abs() < NEAR_TOUCH_RAD)
        };
        if value(gap, from_s) < 0.0 && touches(from_s) {
            return Some(from_s);
        }
        let t = falls(gap, from_s, to_s).find(|&t| touches(t))?;
        let mut bare = *gap;
        bare[0] -= play;
        Some(falls(&bare, from_s, t).filter(|&earlier| touches(earlier)).last().unwrap_or(t))
    }
}
