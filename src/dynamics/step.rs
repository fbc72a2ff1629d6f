//! One smooth stretch of the motion: its series, the events along it, the state at its end.

use crate::geometry::{Angles, COVERED_RAD};
use crate::numerics::series::{Series, trusted_step};

use super::contact::{Contact, pallet_of};
use super::events::Event;
use super::motion::{ANGLE_TOLERANCE_RAD, Motion, SPEED_SHARE_S, Stop, StopReason};
use super::observe::{Mode, Observer, TakenSegment, WheelWay};

/// Error of the angles over one stretch of a tooth sliding on a pallet, rad. An amplitude is good to 1e-14 rad and a period to 1e-15
/// of itself with it; a narrower one costs stretches where the wheel gathers speed and gains nothing.
const SLIDING_TOLERANCE_RAD: f64 = 1e-16;

/// Ends of pieces that leave the series as it is, after which a stretch ends all the same.
const MOST_CROSSINGS: usize = 16;

impl Motion<'_> {
    /// Fills the series in from the present state; gives the sines and cosines of its angles.
    pub(super) fn fill_series(&mut self, contact: Option<&Contact>) -> Angles {
        let angles = self.placed.take().unwrap_or_else(|| Angles::at(self.state.theta_rad, self.state.phi_rad));
        let (pendulum, state, direction) = (self.pendulum, &self.state, self.direction);
        match contact {
            None => {
                let (acceleration, _) = self.wheel_apart();
                self.series.fill_apart(pendulum, state, direction, 0.0, acceleration, Some(&angles));
            }
            Some(contact) if contact.exactly_locked() => {
                let (a, b) = (contact.forces.on_pallet.value(&angles), contact.forces.on_wheel.value(&angles));
                let force = contact.forces.drive_n_m / b;
                self.series.fill_apart(pendulum, state, direction, force * a, 0.0, Some(&angles));
                self.series.force[0] = force;
                self.series.torque_on_wheel[0] = contact.forces.drive_n_m;
            }
            Some(contact) => self.series.fill_contact(pendulum, &contact.forces, state, direction, &angles),
        }
        angles
    }

    /// Takes one smooth stretch and handles the event at its end. True at a turning point.
    ///
    /// The series holds on where a pallet that does not touch comes to another piece of its contact curve.
    pub(super) fn advance(&mut self, observer: &mut impl Observer) -> Result<bool, Stop> {
        let contact = self.contact;
        let contact = contact.as_ref();
        let still = contact.is_some_and(Contact::exactly_locked);
        self.recount_teeth();
        let (mode, way) = self.mode_and_way(contact);
        let direction = self.direction;
        let start_s = self.state.time_s;
        let mut angles = self.fill_series(contact);
        let trusted_s = self.trusted_s(contact);
        let mut from_s = 0.0;
        let mut crossings = 0;
        let (duration_s, event) = loop {
            let (t, event) = self.next_event(contact, &angles, from_s, trusted_s);
            let Event::End { track, at_rad } = event else { break (t, event) };
            if contact.is_some_and(|contact| contact.track == track) {
                break (t, event);
            }
            self.state = self.series.state_at(start_s, t);
            self.state.theta_rad = at_rad;
            if still {
                self.state.nu_rad_s = 0.0;
            }
            let state = self.state;
            self.tracks[track].cross(&state, direction);
            if self.finds_tooth_inside(track) {
                break (t, Event::Fouled { track });
            }
            crossings += 1;
            if t >= trusted_s || crossings == MOST_CROSSINGS {
                break (t, Event::StepEnd);
            }
            self.recount_teeth();
            from_s = t;
            angles = Angles::at(self.state.theta_rad, self.state.phi_rad);
        };
        if duration_s > 0.0 {
            observer.segment(&TakenSegment { series: &self.series, start_s, duration_s, mode, way, direction });
        }
        self.state = self.series.state_at(start_s, duration_s);
        if still {
            self.state.nu_rad_s = 0.0;
        }
        let state = &self.state;
        if !(state.theta_rad + state.omega_rad_s + state.phi_rad + state.nu_rad_s).is_finite() {
            return Err(self.stop(StopReason::Chatter));
        }
        if self.state.theta_rad.abs() > COVERED_RAD {
            return Err(self.stop(StopReason::BeyondFaces));
        }
        self.handle(event, contact, observer)
    }

    /// Length for which the series is good.
    fn trusted_s(&self, contact: Option<&Contact>) -> f64 {
        let series = &self.series;
        let slides = contact.is_some_and(|contact| !contact.exactly_locked());
        // The larger of the errors, in their tolerances.
        let errors: Series = std::array::from_fn(|n| {
            let pendulum = series.theta[n].abs().max(SPEED_SHARE_S * series.omega[n].abs());
            if slides { pendulum.max(series.phi[n].abs()) } else { pendulum }
        });
        let tolerance_rad = if slides { SLIDING_TOLERANCE_RAD } else { ANGLE_TOLERANCE_RAD };
        trusted_step(&errors, tolerance_rad).min(self.longest_swing_s)
    }

    fn mode_and_way(&self, contact: Option<&Contact>) -> (Mode, WheelWay) {
        let Some(contact) = contact else {
            let mode = self.held().map_or(Mode::Apart, |held| Mode::Locked(pallet_of(held.track)));
            return (mode, self.wheel_apart().1);
        };
        let pallet = pallet_of(contact.track);
        let mode = if contact.locked { Mode::Locked(pallet) } else { Mode::Sliding(pallet) };
        let way = if contact.exactly_locked() {
            WheelWay::Still
        } else if contact.wheel_way < 0.0 {
            WheelWay::Backward
        } else {
            WheelWay::Forward
        };
        (mode, way)
    }

    fn recount_teeth(&mut self) {
        if self.escapement.teeth_differ() {
            let (state, towards) = (self.state, self.direction);
            for track in &mut self.tracks {
                track.recount(&state, towards);
            }
        }
    }
}
