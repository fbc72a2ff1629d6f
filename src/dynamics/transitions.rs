//! What happens at an event: the next piece, an impact, leaving, the swing back.

use crate::clock::side::Side;
use crate::geometry::{Angles, Flank};

use super::contact::{Contact, pallet_of};
use super::events::{CLOSED_GAP_M, Event, NEAR_TOUCH_RAD};
use super::motion::{Motion, Stop, StopReason};
use super::observe::Observer;
use super::track::{SAME_SURFACE_M, TRACKS};

/// Approach speed, relative to the parts it is made of, that counts as none.
pub(super) const NO_APPROACH: f64 = 1e-9;

/// Angle between two faces below which they join smoothly, rad. Two pieces meet where their gaps agree to rounding, 1e-16 m; faces that are
/// tangent part with the square of the way, so that the place is good to some 1e-8 rad, and the normal of a bead a thousandth of its arm to
/// 1e-5 rad. No maker's corner is as blunt.
const SMOOTH_JOINT_RAD: f64 = 1e-4;

/// Rebound speed at the contact below which a bouncing tooth rests, m/s; ends infinite bouncing.
const RESTING_REBOUND_M_S: f64 = 1e-6;

impl Motion<'_> {
    pub(super) fn handle(
        &mut self,
        event: Event,
        contact: Option<&Contact>,
        observer: &mut impl Observer,
    ) -> Result<bool, Stop> {
        match event {
            Event::StepEnd => {
                if let Some(contact) = contact.filter(|contact| !contact.exactly_locked()) {
                    let state = self.state;
                    self.touch(contact.track, &state)?;
                }
                Ok(false)
            }
            Event::Turned => {
                self.state.omega_rad_s = 0.0;
                if contact.is_some() {
                    self.state.nu_rad_s = 0.0;
                }
                let from = self.direction;
                // Pallets that stand still go on doing so.
                self.turn_round(contact.map(|contact| contact.track), -from)?;
                Ok(true)
            }
            Event::WheelStopped => {
                self.state.nu_rad_s = 0.0;
                Ok(false)
            }
            Event::Jammed => Err(self.stop(StopReason::Wedged(contact.map_or(Side::Entry, |c| pallet_of(c.track))))),
            Event::ForceGone => {
                self.break_contact();
                Ok(false)
            }
            Event::End { track, at_rad } => {
                self.state.theta_rad = at_rad;
                let state = self.state;
                self.tracks[track].cross(&state, self.direction);
                self.pass_end(track, observer)
            }
            Event::Fouled { track } => Err(self.stop(StopReason::Fouled(pallet_of(track)))),
            Event::PlayCrossed => self.take_pallets_along().map(|()| false),
            Event::TorqueGone => {
                if let Some(contact) = contact {
                    self.lose_torque(contact.track);
                }
                Ok(false)
            }
            Event::Closed { track } => self.impact(track, contact.map(|contact| contact.track), observer),
        }
    }

    /// Whether a pallet whose piece has changed finds a tooth inside it: it has struck it from the side.
    pub(super) fn finds_tooth_inside(&self, track: usize) -> bool {
        let sense = if TRACKS[track].1 == Flank::Front { 1.0 } else { -1.0 };
        self.tracks[track]
            .advance_rad(self.state.theta_rad)
            .is_some_and(|advance| (self.state.phi_rad - advance) * sense > NEAR_TOUCH_RAD)
    }

    /// Contact at the end of a piece: goes on, strikes, or leaves.
    pub(super) fn pass_end(&mut self, track: usize, observer: &mut impl Observer) -> Result<bool, Stop> {
        let Some(piece) = self.tracks[track].current() else {
            self.break_contact();
            return Ok(false);
        };
        let angles = Angles::at(self.state.theta_rad, self.state.phi_rad);
        let gap = self.tracks[track].gap.value(&angles);
        if gap > SAME_SURFACE_M {
            self.break_contact();
            return Ok(false);
        }
        if gap < -SAME_SURFACE_M {
            return Err(self.stop(StopReason::Fouled(pallet_of(track))));
        }
        let (opening, scale) = self.opening_speed(track, piece);
        // On a dead face the wheel stands: the opening is all rounding, and as large as the parts it is made of.
        let none = (NO_APPROACH * scale).max(SMOOTH_JOINT_RAD * self.pallet_sliding_m_s(track, piece));
        if opening > none {
            self.break_contact();
            return Ok(false);
        }
        if opening < -none {
            return self.impact(track, None, observer);
        }
        let state = self.state;
        self.touch(track, &state)?;
        Ok(false)
    }

    /// Starts the swing back from a turning point, in contact on the track `resting` or apart; friction may hold the pendulum.
    pub(super) fn turn_round(&mut self, resting: Option<usize>, towards: f64) -> Result<(), Stop> {
        self.direction = towards;
        let state = self.state;
        self.settle_tracks_at_ends(towards);
        self.contact = None;
        if let Some(track) = resting {
            self.touch(track, &state)?;
        }
        let torque = self.free_torque_n_m()
            + self.contact.map_or(0.0, |contact| {
                let angles = Angles::at(self.state.theta_rad, self.state.phi_rad);
                self.force_at(&contact, &angles) * contact.forces.on_pallet.value(&angles)
            });
        if !(torque * towards > 0.0) {
            return Err(self.stop(StopReason::AtRest));
        }
        Ok(())
    }

    /// A tooth strikes a pallet, or a pallet the back of a tooth. `other` is the track on which the wheel rested. True if the blow turns the pendulum.
    ///
    /// `impulse = (1 + e)(phi' - F' theta') / (b/J + F' a/I)`, times `b_n / b_n`; friction opposes the sliding on arrival.
    pub(super) fn impact(
        &mut self,
        track: usize,
        other: Option<usize>,
        observer: &mut impl Observer,
    ) -> Result<bool, Stop> {
        let Some(piece) = self.tracks[track].current().copied() else { return Ok(false) };
        if let Some(advance) = self.tracks[track].advance_rad(self.state.theta_rad) {
            self.state.phi_rad = advance;
        }
        let shift = self.tracks[track].tooth as f64 * self.escapement.pitch_rad();
        let place = piece.pair.place(self.state.theta_rad, self.state.phi_rad - shift);
        let ((a_n, b_n), (a_t, b_t)) = (place.normal_arms_m, place.tangent_arms_m);
        let (omega, nu) = (self.state.omega_rad_s, self.state.nu_rad_s);
        let sliding = a_t * omega - b_t * nu;
        let factor = -self.escapement.friction * sliding.signum() * f64::from(u8::from(sliding != 0.0));
        let (a, b) = (a_n + factor * a_t, b_n + factor * b_t);
        let holds = TRACKS[track].1 == Flank::Front;
        if let Some(how) = self.blow_gives_way(a, &place, holds) {
            self.strike_loose_pallets(track, how, observer);
            return Ok(false);
        }
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        let effective = b_n * b / j + a_n * a / i;
        if !(effective > 0.0) {
            return Err(self.stop(StopReason::Wedged(pallet_of(track))));
        }
        let approach = (b_n * nu - a_n * omega).max(0.0);
        let rebound = self.escapement.restitution * approach;
        // A rebound that the drive turns back within the rounding of the gap would never die away.
        let rise_m = 0.5 * rebound * rebound * j / (b_n.abs() * self.drive.backward_n_m());
        let least_m = 4.0 * CLOSED_GAP_M.max(self.tracks[track].rounding_m());
        let bounces = rebound > RESTING_REBOUND_M_S && rise_m > least_m;
        let restitution = if bounces { self.escapement.restitution } else { 0.0 };
        let impulse = (1.0 + restitution) * approach / effective;
        let wheel_j = self.wheel_energy_j();
        self.state.omega_rad_s += impulse * a / i;
        self.state.nu_rad_s -= impulse * b / j;
        if piece.locked && !bounces && a_n == 0.0 {
            self.state.nu_rad_s = 0.0;
        }
        // The impulse's work at the mean of the speeds before and after: no difference of two kinetic energies.
        let energy_j = 0.5 * impulse * (a * (omega + self.state.omega_rad_s) - b * (nu + self.state.nu_rad_s));
        self.tell_blow(pallet_of(track), wheel_j, energy_j, observer);
        if let Some(other) = other
            && other != track
            && let Some(held) = self.tracks[other].current()
        {
            let (opening, scale) = self.opening_speed(other, held);
            if opening < -NO_APPROACH * scale || scale == 0.0 {
                return Err(self.stop(StopReason::BothPallets));
            }
        }
        let turned = self.state.omega_rad_s * self.direction <= 0.0;
        self.contact = None;
        if turned {
            let resting = (!bounces).then_some(track);
            let towards = -self.direction;
            if self.state.omega_rad_s == 0.0 {
                self.turn_round(resting, towards)?;
                return Ok(true);
            }
            self.direction = towards;
            self.settle_tracks_at_ends(towards);
            if let Some(track) = resting {
                let state = self.state;
                self.touch(track, &state)?;
            }
            return Ok(true);
        }
        if !bounces {
            let state = self.state;
            self.touch(track, &state)?;
        }
        Ok(false)
    }

    /// At a piece's very end the swing back may belong to the neighbouring piece.
    fn settle_tracks_at_ends(&mut self, towards: f64) {
        let state = self.state;
        for track in &mut self.tracks {
            if track.next_end_rad(state.theta_rad, towards) == Some(state.theta_rad) {
                track.cross(&state, towards);
            }
        }
    }
}
