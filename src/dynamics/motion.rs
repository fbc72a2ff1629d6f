//! The motion of pendulum and wheel in contact, from event to event.
//!
//! Modes: the two apart, or a tooth on a pallet. A stretch ends at the first of: the pendulum turns; it reaches the end of
//! a piece of a contact curve; a gap closes; the contact force falls through zero; the wheel stops after running back.
//! Events are roots of the stretch's own power series, so none is stepped over and all are located to rounding.

use crate::clock::mechanism::{ContactEscapement, DriveModel, PendulumModel};
use crate::geometry::{COVERED_RAD, Flank, Piece};
use crate::numerics::root::{first_fall_after, first_fall_through_zero};
use crate::numerics::series::{Series, trusted_step, value};

use super::flow::{ContactForces, Flow, State};
use super::observe::{Jump, JumpKind, Mode, Observer, Pallet, Stretch, WheelWay};
use super::track::{SAME_SURFACE_M, Track};

/// Error of the angles over one stretch, rad: rounding of an angle of a few degrees.
pub(super) const ANGLE_TOLERANCE_RAD: f64 = 2e-18;

/// Error of a gap over one stretch, m.
const GAP_TOLERANCE_M: f64 = 1e-17;

/// Gap that counts as closed, m: a few times the rounding of a gap made of lengths of a tenth of a metre.
const CLOSED_GAP_M: f64 = 5e-16;

/// Wheel angle within which a closing gap is the outlines' own: at a fold the rounding of the gap stretches to its root.
const NEAR_TOUCH_RAD: f64 = 1e-5;

/// Approach speed, relative to the parts it is made of, that counts as none.
const NO_APPROACH: f64 = 1e-9;

/// Rebound speed at the contact below which a bouncing tooth rests, m/s; ends infinite bouncing.
const RESTING_REBOUND_M_S: f64 = 1e-6;

/// Stretches in one swing after which the motion is given up as chattering.
const MOST_STRETCHES: usize = 5_000;

/// Longest time of one swing, s; longer than any clock's.
pub(super) const LONGEST_SWING_S: f64 = 1e4;

/// A stop of the clock, an outcome and not an error.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stop {
    /// Why.
    pub reason: StopReason,
    /// When, s.
    pub time_s: f64,
    /// Where, rad.
    pub theta_rad: f64,
}

/// Why the motion ended.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum StopReason {
    /// Friction holds the pendulum.
    AtRest,
    /// `b <= 0`: tooth and pallet are wedged beyond the friction angle.
    Wedged(Pallet),
    /// Both pallets hold the wheel at once.
    BothPallets,
    /// A pallet comes down on the back of a tooth or strikes a tooth from the side.
    Fouled(Pallet),
    /// The pendulum swung beyond the angles for which the pallets are known.
    BeyondFaces,
    /// Events without end.
    Chatter,
}

/// A turning point of the pendulum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Turning {
    /// State there.
    pub state: State,
    /// The pallet on which the wheel rests; `None` while it is in its drop.
    pub resting_on: Option<(Pallet, i64)>,
}

/// Pendulum and wheel on their way.
#[derive(Debug, Clone)]
pub struct Motion<'m> {
    pendulum: &'m PendulumModel,
    drive: DriveModel,
    escapement: &'m ContactEscapement,
    state: State,
    direction: f64,
    fronts: [Track<'m>; 2],
    backs: [Track<'m>; 2],
    contact: Option<Contact>,
    flow: Box<Flow>,
}

#[derive(Debug, Clone, Copy)]
struct Contact {
    side: usize,
    wheel_way: f64,
    locked: bool,
    forces: ContactForces,
}

enum Event {
    StepEnd,
    Turned,
    End { side: usize, flank: Flank, at_rad: f64 },
    Closed { side: usize },
    BackClosed { side: usize },
    ForceGone,
    WheelStopped,
    Jammed,
}

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

fn pallet_of(side: usize) -> Pallet {
    if side == 0 { Pallet::Entry } else { Pallet::Exit }
}

impl<'m> Motion<'m> {
    /// The clock let go at rest at `theta_rad > 0` with the wheel resting on the entry pallet.
    ///
    /// # Errors
    /// [`Stop`] if the entry pallet is out of the teeth there or the pendulum does not move.
    pub fn start(
        pendulum: &'m PendulumModel,
        drive: &DriveModel,
        escapement: &'m ContactEscapement,
        theta_rad: f64,
    ) -> Result<Self, Stop> {
        let pitch = escapement.pitch_rad();
        let track = |curve, flank| Track::new(curve, flank, pitch);
        let mut motion = Self {
            pendulum,
            drive: *drive,
            escapement,
            state: State { time_s: 0.0, theta_rad, omega_rad_s: 0.0, phi_rad: 0.0, nu_rad_s: 0.0 },
            direction: 1.0,
            fronts: [track(&escapement.entry, Flank::Front), track(&escapement.exit, Flank::Front)],
            backs: [track(&escapement.entry, Flank::Back), track(&escapement.exit, Flank::Back)],
            contact: None,
            flow: Box::default(),
        };
        if !(theta_rad.abs() < COVERED_RAD) {
            return Err(motion.stop(StopReason::BeyondFaces));
        }
        let Some(place) = escapement.entry.front_at(theta_rad) else {
            return Err(motion.stop(StopReason::BeyondFaces));
        };
        motion.state.phi_rad = place.phi_rad;
        motion.settle_tracks(-1.0);
        motion.fronts[0].tooth = 0;
        motion.fronts[0].forget_teeth(0);
        motion.turn_round(Some(0), -1.0)?;
        Ok(motion)
    }

    /// The state now.
    #[must_use]
    pub fn state(&self) -> State {
        self.state
    }

    /// Counts the wheel's advance and its teeth from `pitches` further on, so that the numbers stay small.
    pub fn forget_pitches(&mut self, pitches: i64) {
        self.state.phi_rad -= pitches as f64 * self.escapement.pitch_rad();
        for side in 0..2 {
            self.fronts[side].forget_teeth(pitches);
            self.backs[side].forget_teeth(pitches);
        }
        if let Some(contact) = self.contact {
            let state = self.state;
            self.touch(contact.side, &state);
        }
    }

    /// Sign of the pendulum's motion.
    #[must_use]
    pub fn direction(&self) -> f64 {
        self.direction
    }

    /// The pallet and tooth on which the wheel rests.
    #[must_use]
    pub fn resting_on(&self) -> Option<(Pallet, i64)> {
        self.contact.map(|contact| (pallet_of(contact.side), self.fronts[contact.side].tooth))
    }

    /// Pendulum angle at which the pendulum would have turned, had the wheel rested on its present pallet since: the
    /// amplitude that stands for a state with the wheel at rest on a pallet. `None` if the wheel is in its drop.
    ///
    /// The contact's own flow run backwards to its turning point.
    #[must_use]
    pub fn equivalent_turning_rad(&mut self) -> Option<f64> {
        let mut probe = self.clone();
        for _ in 0..20 {
            let contact = probe.contact?;
            probe.fill_flow(Some(&contact));
            let mirrored: Series =
                std::array::from_fn(|n| probe.direction * probe.flow.omega[n] * if n % 2 == 0 { 1.0 } else { -1.0 });
            let step = trusted_step(&probe.flow.theta, ANGLE_TOLERANCE_RAD)
                .min(trusted_step(&probe.flow.omega, ANGLE_TOLERANCE_RAD / 1e-3));
            let turned = first_fall_through_zero(&mirrored, step);
            let back = turned.unwrap_or(step);
            let piece = probe.fronts[contact.side].current()?;
            let theta = value(&probe.flow.theta, -back);
            let end = if probe.direction > 0.0 { piece.from_rad } else { piece.to_rad };
            if (theta - end) * probe.direction < 0.0 {
                // Across the end of a piece: step onto the next one there.
                let beyond: Series = std::array::from_fn(|n| {
                    let term = probe.flow.theta[n] * if n % 2 == 0 { 1.0 } else { -1.0 };
                    probe.direction * (if n == 0 { term - end } else { term })
                });
                let t = first_fall_through_zero(&beyond, back)?;
                probe.state = probe.flow.state_at(probe.state.time_s, -t);
                probe.state.theta_rad = end;
                let state = probe.state;
                probe.fronts[contact.side].cross(&state, -probe.direction);
                probe.fronts[contact.side].current()?;
                probe.touch(contact.side, &state);
                continue;
            }
            if turned.is_some() {
                return Some(theta);
            }
            probe.state = probe.flow.state_at(probe.state.time_s, -back);
            let state = probe.state;
            probe.touch(contact.side, &state);
        }
        None
    }

    /// Runs to the next turning point of the pendulum.
    ///
    /// # Errors
    /// [`Stop`] if the clock stops before.
    pub fn run_to_turning(&mut self, observer: &mut impl Observer) -> Result<Turning, Stop> {
        let mut landed = |_: &State| false;
        match self.run(observer, &mut landed)? {
            Reached::Turning(turning) => Ok(turning),
            Reached::Landing => Err(self.stop(StopReason::Chatter)),
        }
    }

    /// Runs until the wheel rests on a pallet or the pendulum turns, whichever comes first.
    ///
    /// # Errors
    /// [`Stop`] if the clock stops before.
    pub fn run_to_rest_or_turning(&mut self, observer: &mut impl Observer) -> Result<Option<Turning>, Stop> {
        let mut landed = |_: &State| true;
        match self.run(observer, &mut landed)? {
            Reached::Turning(turning) => Ok(Some(turning)),
            Reached::Landing => Ok(None),
        }
    }

    fn run(
        &mut self,
        observer: &mut impl Observer,
        ends_at_landing: &mut impl FnMut(&State) -> bool,
    ) -> Result<Reached, Stop> {
        let began = self.state.time_s;
        for _ in 0..MOST_STRETCHES {
            if self.contact.is_some() && ends_at_landing(&self.state) {
                return Ok(Reached::Landing);
            }
            if self.state.time_s - began > LONGEST_SWING_S {
                break;
            }
            if self.stretch(observer)? {
                return Ok(Reached::Turning(Turning { state: self.state, resting_on: self.resting_on() }));
            }
        }
        Err(self.stop(StopReason::Chatter))
    }

    fn stop(&self, reason: StopReason) -> Stop {
        Stop { reason, time_s: self.state.time_s, theta_rad: self.state.theta_rad }
    }

    fn settle_tracks(&mut self, towards: f64) {
        let state = self.state;
        for side in 0..2 {
            self.fronts[side].settle(&state, towards);
            self.backs[side].settle(&state, towards);
        }
    }

    /// Wheel acceleration and way while apart.
    fn wheel_apart(&self) -> (f64, WheelWay) {
        let inertia = self.drive.inertia_kg_m2;
        if self.state.nu_rad_s < 0.0 {
            (self.drive.backward_n_m() / inertia, WheelWay::Backward)
        } else if self.drive.forward_n_m() > 0.0 || self.state.nu_rad_s > 0.0 {
            (self.drive.forward_n_m() / inertia, WheelWay::Forward)
        } else {
            (0.0, WheelWay::Still)
        }
    }

    fn fill_flow(&mut self, contact: Option<&Contact>) {
        match contact {
            None => {
                let (acceleration, _) = self.wheel_apart();
                self.flow.fill_apart(self.pendulum, &self.state, self.direction, 0.0, acceleration);
            }
            Some(contact) if contact.exactly_locked() => {
                let on_wheel = contact.forces.on_wheel;
                let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
                let (a, b) = (contact.forces.on_pallet.value(&angles), on_wheel.value(&angles));
                let force = contact.forces.drive_n_m / b;
                self.flow.fill_apart(self.pendulum, &self.state, self.direction, force * a, 0.0);
                self.flow.force[0] = force;
                self.flow.torque_on_wheel[0] = contact.forces.drive_n_m;
            }
            Some(contact) => self.flow.fill_contact(self.pendulum, &contact.forces, &self.state, self.direction),
        }
    }

    /// Takes one smooth stretch and handles the event at its end. True at a turning point.
    fn stretch(&mut self, observer: &mut impl Observer) -> Result<bool, Stop> {
        let contact = self.contact;
        self.fill_flow(contact.as_ref());
        let mut duration = trusted_step(&self.flow.theta, ANGLE_TOLERANCE_RAD)
            .min(trusted_step(&self.flow.omega, ANGLE_TOLERANCE_RAD / 1e-3));
        let slides = contact.is_some_and(|contact| !contact.exactly_locked());
        if slides {
            duration = duration.min(trusted_step(&self.flow.phi, ANGLE_TOLERANCE_RAD));
        }
        duration = duration.min(LONGEST_SWING_S);
        let mut event = Event::StepEnd;
        let direction = self.direction;
        let outward: Series = std::array::from_fn(|n| direction * self.flow.omega[n]);
        if let Some(t) = first_fall_through_zero(&outward, duration) {
            (duration, event) = (t, Event::Turned);
        }
        let (_, apart_way) = self.wheel_apart();
        if contact.is_none() && self.flow.nu[0] * self.flow.nu[1] < 0.0 {
            let t = -self.flow.nu[0] / self.flow.nu[1];
            if t < duration {
                (duration, event) = (t, Event::WheelStopped);
            }
        }
        self.find_piece_ends(&mut duration, &mut event);
        if slides && let Some(contact) = &contact {
            // A force of a hundred-billionth of the drive's own counts as none.
            let floor = 1e-11 * self.drive.backward_n_m().abs();
            let mut force = self.flow.force;
            force[0] += floor;
            if let Some(t) = first_fall_through_zero(&force, duration) {
                (duration, event) = (t, Event::ForceGone);
            }
            let arm = self.flow.along(&contact.forces.on_wheel);
            if let Some(t) = first_fall_through_zero(&arm, duration) {
                (duration, event) = (t, Event::Jammed);
            }
        }
        self.find_closing_gaps(contact.as_ref(), &mut duration, &mut event);

        let way = match &contact {
            None => apart_way,
            Some(contact) if contact.exactly_locked() => WheelWay::Still,
            Some(contact) if contact.wheel_way < 0.0 => WheelWay::Backward,
            Some(_) => WheelWay::Forward,
        };
        let mode = match &contact {
            None => Mode::Apart,
            Some(contact) if contact.locked => Mode::Locked(pallet_of(contact.side)),
            Some(contact) => Mode::Sliding(pallet_of(contact.side)),
        };
        if duration > 0.0 {
            observer.stretch(&Stretch {
                flow: &self.flow,
                start_s: self.state.time_s,
                duration_s: duration,
                mode,
                way,
                direction,
            });
        }
        self.state = self.flow.state_at(self.state.time_s, duration);
        if contact.as_ref().is_some_and(Contact::exactly_locked) {
            self.state.nu_rad_s = 0.0;
        }
        if self.state.theta_rad.abs() > COVERED_RAD {
            return Err(self.stop(StopReason::BeyondFaces));
        }
        self.handle(event, contact.as_ref(), observer)
    }

    fn find_piece_ends(&self, duration: &mut f64, event: &mut Event) {
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

    fn find_closing_gaps(&mut self, contact: Option<&Contact>, duration: &mut f64, event: &mut Event) {
        let swing = (value(&self.flow.theta, *duration) - self.state.theta_rad).abs();
        let advance = if contact.is_some_and(Contact::exactly_locked) {
            0.0
        } else {
            // The wheel's way is monotone but for one turn, so its speeds at both ends bound it.
            (self.flow.nu[0].abs() + value(&self.flow.nu, *duration).abs()) * *duration
        };
        let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
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
                let play = CLOSED_GAP_M.max(track.rounding_m()) + track.slack_m;
                gap[0] += play;
                // Where the gap's own series is worth less than the step, go no further than it is worth.
                let trusted = trusted_step(&gap, GAP_TOLERANCE_M);
                if trusted < *duration {
                    (*duration, *event) = (trusted, Event::StepEnd);
                }
                if let Some(t) = self.first_touch(&track, &gap, play, *duration) {
                    *duration = t;
                    *event = if flank == Flank::Front { Event::Closed { side } } else { Event::BackClosed { side } };
                }
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

    fn handle(&mut self, event: Event, contact: Option<&Contact>, observer: &mut impl Observer) -> Result<bool, Stop> {
        match event {
            Event::StepEnd => {
                if let Some(contact) = contact {
                    let state = self.state;
                    self.touch(contact.side, &state);
                }
                Ok(false)
            }
            Event::Turned => {
                self.state.omega_rad_s = 0.0;
                if contact.is_some() {
                    self.state.nu_rad_s = 0.0;
                }
                let from = self.direction;
                self.turn_round(contact.map(|contact| contact.side), -from)?;
                Ok(true)
            }
            Event::WheelStopped => {
                self.state.nu_rad_s = 0.0;
                Ok(false)
            }
            Event::Jammed => Err(self.stop(StopReason::Wedged(contact.map_or(Pallet::Entry, |c| pallet_of(c.side))))),
            Event::ForceGone => {
                self.leave();
                Ok(false)
            }
            Event::End { side, flank, at_rad } => {
                self.state.theta_rad = at_rad;
                let state = self.state;
                let towards = self.direction;
                match flank {
                    Flank::Back => {
                        self.backs[side].cross(&state, towards);
                        self.check_not_inside(side, Flank::Back)?;
                    }
                    Flank::Front => {
                        self.fronts[side].cross(&state, towards);
                        match contact {
                            Some(contact) if contact.side == side => return self.pass_end(side, observer),
                            _ => self.check_not_inside(side, Flank::Front)?,
                        }
                    }
                }
                if let Some(contact) = contact {
                    self.touch(contact.side, &state);
                }
                Ok(false)
            }
            Event::Closed { side } => self.land(side, contact.map(|contact| contact.side), observer),
            Event::BackClosed { side } => Err(self.stop(StopReason::Fouled(pallet_of(side)))),
        }
    }

    /// A pallet whose piece changed must not find a tooth inside it: it would have struck it from the side.
    fn check_not_inside(&self, side: usize, flank: Flank) -> Result<(), Stop> {
        let (track, sense) = if flank == Flank::Front { (&self.fronts[side], 1.0) } else { (&self.backs[side], -1.0) };
        match track.advance_rad(self.state.theta_rad) {
            Some(advance) if (self.state.phi_rad - advance) * sense > NEAR_TOUCH_RAD => {
                Err(self.stop(StopReason::Fouled(pallet_of(side))))
            }
            _ => Ok(()),
        }
    }

    /// Contact at the end of a piece: goes on, strikes, or leaves.
    fn pass_end(&mut self, side: usize, observer: &mut impl Observer) -> Result<bool, Stop> {
        let Some(piece) = self.fronts[side].current() else {
            self.leave();
            return Ok(false);
        };
        let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
        let gap = self.fronts[side].gap.value(&angles);
        if gap > SAME_SURFACE_M {
            self.leave();
            return Ok(false);
        }
        if gap < -SAME_SURFACE_M {
            return Err(self.stop(StopReason::Fouled(pallet_of(side))));
        }
        let (opening, scale) = self.opening_speed(side, piece);
        if opening > NO_APPROACH * scale {
            self.leave();
            return Ok(false);
        }
        if opening < -NO_APPROACH * scale {
            return self.land(side, None, observer);
        }
        let state = self.state;
        self.touch(side, &state);
        Ok(false)
    }

    /// Rate at which the gap of a pallet opens, and the size of the parts it is made of, m/s.
    fn opening_speed(&self, side: usize, piece: &Piece) -> (f64, f64) {
        let advance = self.fronts[side].tooth as f64 * self.escapement.pitch_rad();
        let place = piece.pair.place(self.state.theta_rad, self.state.phi_rad - advance);
        let (a_n, b_n) = place.normal_arms_m;
        let (pallet, wheel) = (a_n * self.state.omega_rad_s, b_n * self.state.nu_rad_s);
        (pallet - wheel, pallet.abs() + wheel.abs())
    }

    /// Puts the wheel onto the current piece of a pallet and moves on in contact if the force there is not negative.
    fn touch(&mut self, side: usize, state: &State) {
        self.state = *state;
        let Some(piece) = self.fronts[side].current().copied() else {
            self.leave();
            return;
        };
        if let Some(advance) = self.fronts[side].advance_rad(state.theta_rad) {
            self.state.phi_rad = advance;
        }
        let contact = self.contact_on(side, &piece);
        let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
        let (a_n, b_n) =
            (contact.forces.normal_on_pallet.value(&angles), contact.forces.normal_on_wheel.value(&angles));
        self.state.nu_rad_s = if contact.exactly_locked() { 0.0 } else { a_n / b_n * self.state.omega_rad_s };
        self.contact = Some(contact);
        // A wedged tooth stays where it is: its force has no meaning, and the next stretch ends at once, jammed.
        let wedged = !(contact.forces.on_wheel.value(&angles) > 0.0);
        if !wedged && !(self.force_now(&contact) >= 0.0) {
            self.leave();
        }
    }

    /// The tooth leaves the pallet on which it rested.
    fn leave(&mut self) {
        if let Some(contact) = self.contact.take() {
            let state = self.state;
            self.fronts[contact.side].take_up_slack(&state);
        }
    }

    /// The contact on a piece for the pendulum's present direction.
    fn contact_on(&self, side: usize, piece: &Piece) -> Contact {
        let shift = self.fronts[side].tooth as f64 * self.escapement.pitch_rad();
        let friction_sign = -piece.slip * self.direction;
        let factor = self.escapement.friction * friction_sign;
        let gap = self.fronts[side].gap;
        let normal_on_pallet = gap.by_theta();
        let by_phi = gap.by_phi();
        let normal_on_wheel = crate::geometry::Trig::default().plus(-1.0, &by_phi);
        let way = if piece.locked { 1.0 } else { piece.climb * self.direction };
        let drive_n_m = if way < 0.0 { self.drive.backward_n_m() } else { self.drive.forward_n_m() };
        Contact {
            side,
            wheel_way: way,
            locked: piece.locked,
            forces: ContactForces {
                gap,
                normal_on_pallet,
                normal_on_wheel,
                on_pallet: normal_on_pallet.plus(factor, &piece.pair.pallet_tangent.behind_by(shift)),
                on_wheel: normal_on_wheel.plus(factor, &piece.pair.wheel_tangent.behind_by(shift)),
                drive_n_m,
                wheel_inertia_kg_m2: self.drive.inertia_kg_m2,
            },
        }
    }

    /// Contact force now, N.
    fn force_now(&self, contact: &Contact) -> f64 {
        let state = &self.state;
        let angles = crate::geometry::Angles::at(state.theta_rad, state.phi_rad);
        let forces = &contact.forces;
        let (a_n, b_n) = (forces.normal_on_pallet.value(&angles), forces.normal_on_wheel.value(&angles));
        let (a, b) = (forces.on_pallet.value(&angles), forces.on_wheel.value(&angles));
        let by_theta = forces.gap.by_theta();
        let by_phi = forces.gap.by_phi();
        let (omega, nu) = (state.omega_rad_s, state.nu_rad_s);
        let quadratic = by_theta.by_theta().value(&angles) * omega * omega
            + 2.0 * by_theta.by_phi().value(&angles) * omega * nu
            + by_phi.by_phi().value(&angles) * nu * nu;
        let free = self.free_torque_n_m();
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        (b_n * forces.drive_n_m / j - a_n * free / i - quadratic) / (a_n * a / i + b_n * b / j)
    }

    /// Torque on the pendulum without the escapement, for the present direction, N m.
    fn free_torque_n_m(&self) -> f64 {
        let omega = self.state.omega_rad_s;
        self.restoring_torque_n_m()
            - self.pendulum.damping_linear_n_m_s() * omega
            - self.pendulum.air_quadratic_n_m_s2 * omega.abs() * omega
            - self.pendulum.friction_torque_n_m * self.direction
    }

    fn restoring_torque_n_m(&self) -> f64 {
        -self.pendulum.gravity_torque_n_m * self.state.theta_rad.sin()
            - self.pendulum.stiffness_n_m_per_rad * self.state.theta_rad
    }

    /// Starts the swing back from a turning point, on the pallet `side` or apart; friction may hold the pendulum.
    fn turn_round(&mut self, side: Option<usize>, towards: f64) -> Result<(), Stop> {
        self.direction = towards;
        let state = self.state;
        for index in 0..2 {
            // At a piece's very end the swing back may belong to the neighbouring piece.
            if self.fronts[index].next_end_rad(state.theta_rad, towards) == Some(state.theta_rad) {
                self.fronts[index].settle(&state, towards);
            }
            if self.backs[index].next_end_rad(state.theta_rad, towards) == Some(state.theta_rad) {
                self.backs[index].settle(&state, towards);
            }
        }
        self.contact = None;
        if let Some(side) = side {
            self.touch(side, &state);
        }
        let torque = self.free_torque_n_m()
            + self.contact.map_or(0.0, |contact| {
                let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
                self.force_now(&contact) * contact.forces.on_pallet.value(&angles)
            });
        if !(torque * towards > 0.0) {
            return Err(self.stop(StopReason::AtRest));
        }
        if let Some(contact) = self.contact
            && !contact.exactly_locked()
        {
            let angles = crate::geometry::Angles::at(self.state.theta_rad, self.state.phi_rad);
            if !(contact.forces.on_wheel.value(&angles) > 0.0) {
                return Err(self.stop(StopReason::Wedged(pallet_of(contact.side))));
            }
        }
        Ok(())
    }

    /// A tooth strikes a pallet. `other` is the pallet on which the wheel rested. True if the blow turns the pendulum.
    ///
    /// `impulse = (1 + e)(phi' - F' theta') / (b/J + F' a/I)`, times `b_n / b_n`; friction opposes the sliding on arrival.
    fn land(&mut self, side: usize, other: Option<usize>, observer: &mut impl Observer) -> Result<bool, Stop> {
        let Some(piece) = self.fronts[side].current().copied() else { return Ok(false) };
        if let Some(advance) = self.fronts[side].advance_rad(self.state.theta_rad) {
            self.state.phi_rad = advance;
        }
        let shift = self.fronts[side].tooth as f64 * self.escapement.pitch_rad();
        let place = piece.pair.place(self.state.theta_rad, self.state.phi_rad - shift);
        let ((a_n, b_n), (a_t, b_t)) = (place.normal_arms_m, place.tangent_arms_m);
        let (omega, nu) = (self.state.omega_rad_s, self.state.nu_rad_s);
        let sliding = a_t * omega - b_t * nu;
        let factor = -self.escapement.friction * sliding.signum() * f64::from(u8::from(sliding != 0.0));
        let (a, b) = (a_n + factor * a_t, b_n + factor * b_t);
        let (i, j) = (self.pendulum.inertia_kg_m2, self.drive.inertia_kg_m2);
        let effective = b_n * b / j + a_n * a / i;
        if !(effective > 0.0) {
            return Err(self.stop(StopReason::Wedged(pallet_of(side))));
        }
        let approach = (b_n * nu - a_n * omega).max(0.0);
        let rebound = self.escapement.restitution * approach;
        // A rebound that the drive turns back within the rounding of the gap would never die away.
        let rise_m = 0.5 * rebound * rebound * j / (b_n * self.drive.backward_n_m());
        let least_m = 4.0 * CLOSED_GAP_M.max(self.fronts[side].rounding_m());
        let bounces = rebound > RESTING_REBOUND_M_S && rise_m > least_m;
        let restitution = if bounces { self.escapement.restitution } else { 0.0 };
        let impulse = (1.0 + restitution) * approach / effective;
        let before = 0.5 * (i * omega * omega + j * nu * nu);
        self.state.omega_rad_s += impulse * a / i;
        self.state.nu_rad_s -= impulse * b / j;
        if piece.locked && !bounces && a_n == 0.0 {
            self.state.nu_rad_s = 0.0;
        }
        let after =
            0.5 * (i * self.state.omega_rad_s * self.state.omega_rad_s + j * self.state.nu_rad_s * self.state.nu_rad_s);
        observer.jump(&Jump { kind: JumpKind::Impact(pallet_of(side)), state: self.state, energy_j: after - before });
        if let Some(other) = other
            && other != side
            && let Some(held) = self.fronts[other].current()
        {
            let (opening, scale) = self.opening_speed(other, held);
            if opening < -NO_APPROACH * scale || scale == 0.0 {
                return Err(self.stop(StopReason::BothPallets));
            }
        }
        let turned = self.state.omega_rad_s * self.direction <= 0.0;
        self.contact = None;
        if turned {
            let resting = (!bounces).then_some(side);
            let towards = -self.direction;
            if self.state.omega_rad_s == 0.0 {
                self.turn_round(resting, towards)?;
                return Ok(true);
            }
            self.direction = towards;
            self.settle_tracks_keeping_teeth(towards);
            if let Some(side) = resting {
                let state = self.state;
                self.touch(side, &state);
            }
            return Ok(true);
        }
        if !bounces {
            let state = self.state;
            self.touch(side, &state);
        }
        Ok(false)
    }

    fn settle_tracks_keeping_teeth(&mut self, towards: f64) {
        let state = self.state;
        for side in 0..2 {
            for track in [&mut self.fronts[side], &mut self.backs[side]] {
                if track.next_end_rad(state.theta_rad, towards) == Some(state.theta_rad) {
                    let tooth = track.tooth;
                    track.settle(&state, towards);
                    track.tooth = tooth;
                    track.forget_teeth(0);
                }
            }
        }
    }
}

impl Contact {
    /// Whether the wheel stands exactly: the face is an arc about the pallet arbor.
    fn exactly_locked(&self) -> bool {
        self.locked && self.forces.normal_on_pallet.k[1..].iter().all(|&k| k == 0.0)
    }
}

enum Reached {
    Turning(Turning),
    Landing,
}
