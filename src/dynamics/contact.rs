//! A tooth resting on a pallet: lever arms with friction, force, coming on and leaving.

use crate::clock::side::Side;
use crate::geometry::{Angles, ContactPlace, Flank, Piece, Trig};

use super::crutch::GivesWay;
use super::motion::{Motion, Stop, StopReason};
use super::segment::{ContactForces, State};
use super::track::TRACKS;

/// A tooth on a pallet.
#[derive(Debug, Clone, Copy)]
pub(super) struct Contact {
    /// Index of the track in [`TRACKS`].
    pub track: usize,
    pub wheel_way: f64,
    pub locked: bool,
    pub forces: ContactForces,
}

/// Pallet of a track.
pub(super) fn pallet_of(track: usize) -> Side {
    TRACKS[track].0
}

impl Contact {
    /// Whether a pallet holds the wheel; else it pushes a tooth from behind.
    pub fn holds_wheel(&self) -> bool {
        TRACKS[self.track].1 == Flank::Front
    }

    /// Whether the wheel stands exactly: the face is an arc about the pallet arbor.
    pub fn exactly_locked(&self) -> bool {
        self.locked && self.forces.normal_on_pallet.k[1..].iter().all(|&k| k == 0.0)
    }
}

/// Lever arm about the wheel, relative to the one about the pallets, that counts as none: at a fold of the contact curve the
/// normal points at the wheel's arbor, and the wheel's speed in contact would be without bound.
const FOLD: f64 = 1e-9;

impl Motion<'_> {
    /// Rate at which the gap of a pallet opens, and the size of the parts it is made of, m/s.
    pub(super) fn opening_speed(&self, track: usize, piece: &Piece) -> (f64, f64) {
        let (a_n, b_n) = self.place_on(track, piece).normal_arms_m;
        let (pallet, wheel) = (a_n * self.state.omega_rad_s, b_n * self.state.nu_rad_s);
        (pallet - wheel, pallet.abs() + wheel.abs())
    }

    /// Speed at which pallet and tooth slide along each other, as far as it is the pallet's, m/s.
    pub(super) fn pallet_sliding_m_s(&self, track: usize, piece: &Piece) -> f64 {
        (self.place_on(track, piece).tangent_arms_m.0 * self.state.omega_rad_s).abs()
    }

    fn place_on(&self, track: usize, piece: &Piece) -> ContactPlace {
        let advance = self.tracks[track].tooth as f64 * self.escapement.pitch_rad();
        piece.pair.place(self.state.theta_rad, self.state.phi_rad - advance)
    }

    /// Puts the wheel onto the current piece of a pallet and moves on in contact if the force there is not negative.
    ///
    /// # Errors
    /// [`Stop`] where `b <= 0`: wedged beyond the friction angle.
    pub(super) fn touch(&mut self, track: usize, state: &State) -> Result<(), Stop> {
        self.state = *state;
        let Some(piece) = self.tracks[track].current().copied() else {
            self.break_contact();
            return Ok(());
        };
        if let Some(advance) = self.tracks[track].advance_rad(state.theta_rad) {
            self.state.phi_rad = advance;
        }
        let contact = self.contact_on(track, &piece);
        let angles = Angles::at(self.state.theta_rad, self.state.phi_rad);
        self.placed = Some(angles);
        let (a_n, b_n) =
            (contact.forces.normal_on_pallet.value(&angles), contact.forces.normal_on_wheel.value(&angles));
        if b_n.abs() <= FOLD * a_n.abs() {
            // Nothing turns the wheel here: it keeps its own speed.
            self.contact = Some(contact);
            self.break_contact();
            return Ok(());
        }
        if let Some(how) = self.contact_gives_way(&contact, &angles) {
            self.contact = Some(contact);
            if how == GivesWay::Stands && self.state.nu_rad_s != 0.0 {
                // The moving wheel strikes the pallets at once, and loses its energy in the blow.
                self.break_contact();
            } else {
                self.give_way(track, how);
            }
            return Ok(());
        }
        self.state.nu_rad_s = if contact.exactly_locked() { 0.0 } else { a_n / b_n * self.state.omega_rad_s };
        self.contact = Some(contact);
        // A wedged tooth stays where it is: its force has no meaning.
        if contact.holds_wheel() && !(contact.forces.on_wheel.value(&angles) > 0.0) {
            return Err(self.stop(StopReason::Wedged(pallet_of(track))));
        }
        if !(self.force_at(&contact, &angles) >= 0.0) {
            self.break_contact();
        }
        Ok(())
    }

    /// The tooth leaves the pallet on which it rested.
    pub(super) fn break_contact(&mut self) {
        if let Some(contact) = self.contact.take() {
            let state = self.state;
            self.tracks[contact.track].take_up_slack(&state);
        }
    }

    /// The contact on a piece for the pendulum's present direction.
    pub(super) fn contact_on(&self, track: usize, piece: &Piece) -> Contact {
        let turned = self.tracks[track].turned();
        let friction_sign = -piece.slip * self.direction;
        let factor = self.escapement.friction * friction_sign;
        let gap = self.tracks[track].gap;
        let normal_on_pallet = gap.by_theta();
        let by_phi = gap.by_phi();
        let normal_on_wheel = Trig::default().plus(-1.0, &by_phi);
        let way = if piece.locked { 1.0 } else { piece.climb * self.direction };
        let drive_n_m = if way < 0.0 { self.drive.backward_n_m() } else { self.drive.forward_n_m() };
        Contact {
            track,
            wheel_way: way,
            locked: piece.locked,
            forces: ContactForces {
                gap,
                normal_on_pallet,
                normal_on_wheel,
                on_pallet: normal_on_pallet.plus(factor, &piece.pair.pallet_tangent.behind(turned)),
                on_wheel: normal_on_wheel.plus(factor, &piece.pair.wheel_tangent.behind(turned)),
                drive_n_m,
                wheel_inertia_kg_m2: self.drive.inertia_kg_m2,
            },
        }
    }

    /// Contact force now, N, at the state's `angles`.
    pub(super) fn force_at(&self, contact: &Contact, angles: &Angles) -> f64 {
        let state = &self.state;
        let forces = &contact.forces;
        let (a_n, b_n) = (forces.normal_on_pallet.value(angles), forces.normal_on_wheel.value(angles));
        let (a, b) = (forces.on_pallet.value(angles), forces.on_wheel.value(angles));
        let by_theta = forces.gap.by_theta();
        let by_phi = forces.gap.by_phi();
        let (omega, nu) = (state.omega_rad_s, state.nu_rad_s);
        let quadratic = by_theta.by_theta().value(angles) * omega * omega
            + 2.0 * by_theta.by_phi().value(angles) * omega * nu
            + by_phi.by_phi().value(angles) * nu * nu;
        let free = self.free_torque_n_m();
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        (b_n * forces.drive_n_m / j - a_n * free / i - quadratic) / (a_n * a / i + b_n * b / j)
    }

    /// Torque on the pendulum without the escapement, for the present direction, N m.
    pub(super) fn free_torque_n_m(&self) -> f64 {
        let omega = self.state.omega_rad_s;
        self.restoring_torque_n_m()
            - self.pendulum.damping_linear_n_m_s() * omega
            - self.pendulum.air_quadratic_n_m_s2 * omega.abs() * omega
            - self.pendulum.friction_torque_n_m * self.direction
    }

    pub(super) fn restoring_torque_n_m(&self) -> f64 {
        -self.pendulum.restoring_torque_n_m(self.state.theta_rad)
    }
}
