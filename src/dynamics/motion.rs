//! The motion of pendulum and wheel in contact, from event to event.
//!
//! Modes: the two apart, or a tooth on a pallet. A stretch ends at the first of: the pendulum turns; it reaches the end of
//! a piece of a contact curve; a gap closes; the contact force falls through zero; the wheel stops after running back.
//! Events are roots of the stretch's own power series, so none is stepped over and all are located to rounding.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::crutch_curves::Lean;
use crate::clock::mechanism::{ContactEscapement, DriveModel, PendulumModel};
use crate::clock::side::Side;
use crate::geometry::{Angles, COVERED_RAD};
use crate::numerics::root::first_fall_through_zero;
use crate::numerics::series::{Series, trusted_step, value};

use super::budget::take_one;
use super::contact::{Contact, pallet_of};
use super::crutch::{Crutch, GivesWay, HeldPallets};
use super::observe::{Observer, WheelWay};
use super::segment::{State, TaylorSegment};
use super::track::{TRACKS, Track};

/// Error of the angles over one stretch, rad: rounding of an angle of a few degrees.
pub(super) const ANGLE_TOLERANCE_RAD: f64 = 2e-18;

/// Time over which an error of the speed counts as one of the angle, s.
pub(super) const SPEED_SHARE_S: f64 = 1e-3;

/// Stretches in one swing after which the motion is given up as chattering.
const MOST_STRETCHES: usize = 5_000;

/// Time that counts as none, s.
const NO_TIME_S: f64 = 1e-13;

/// Blows without any time between them after which the wheel is held from two sides at once.
const MOST_IDLE: usize = 64;

/// Small free swings that one swing may last at the most: a pendulum that has not turned by then creeps to rest.
const LONGEST_SWING: f64 = 50.0;

/// Longest time of one swing, s; without any restoring torque a day.
pub(super) fn longest_swing_s(pendulum: &PendulumModel) -> f64 {
    let swings = std::f64::consts::TAU * (pendulum.inertia_kg_m2 / pendulum.small_swing_stiffness_n_m_per_rad()).sqrt();
    let longest = LONGEST_SWING * swings;
    if longest.is_finite() { longest } else { SECONDS_PER_DAY }
}

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
    Wedged(Side),
    /// The wheel is held from two sides at once: by both pallets, or by one that has run in between two teeth.
    BothPallets,
    /// A pallet comes down on the back of a tooth or strikes a tooth from the side.
    Fouled(Side),
    /// The pendulum swung beyond the angles for which the pallets are known.
    BeyondFaces,
    /// Events without end.
    Chatter,
    /// The work that a question may take is used up ([`super::budget`]).
    OutOfWork,
}

/// A turning point of the pendulum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TurningPoint {
    /// State there.
    pub state: State,
    /// The pallet on which the wheel rests, be it one that stands still; `None` while it is in its drop.
    pub resting_on: Option<(Side, i64)>,
}

/// Pendulum and wheel on their way.
#[derive(Debug, Clone)]
pub struct Motion<'m> {
    pub(super) pendulum: &'m PendulumModel,
    pub(super) drive: DriveModel,
    pub(super) escapement: &'m ContactEscapement,
    pub(super) state: State,
    pub(super) direction: f64,
    /// In the order of [`TRACKS`].
    pub(super) tracks: [Track<'m>; TRACKS.len()],
    pub(super) contact: Option<Contact>,
    /// Play of the crutch; `None` where the pallets are fast on the pendulum.
    pub(super) crutch: Option<Crutch>,
    pub(super) series: Box<TaylorSegment>,
    /// Sines and cosines of the state where the last touch left it; taken by the series that starts there.
    pub(super) placed: Option<Angles>,
    pub(super) longest_swing_s: f64,
}

impl<'m> Motion<'m> {
    /// The clock let go at rest at `theta_rad > 0` with tooth no. 0 resting on the entry pallet.
    ///
    /// # Errors
    /// [`Stop`] if the entry pallet is out of the teeth there or the pendulum does not move.
    pub fn start(
        pendulum: &'m PendulumModel,
        drive: &DriveModel,
        escapement: &'m ContactEscapement,
        theta_rad: f64,
    ) -> Result<Self, Stop> {
        Self::start_on_tooth(pendulum, drive, escapement, 0, theta_rad)
    }

    /// The clock let go at rest at `theta_rad > 0` with tooth `first_tooth` of the wheel resting on the entry pallet.
    ///
    /// A crutch with play already leans on the side on which the swing to the left takes it along: a start is one number.
    ///
    /// # Errors
    /// [`Stop`] if the entry pallet is out of the teeth there or the pendulum does not move.
    pub fn start_on_tooth(
        pendulum: &'m PendulumModel,
        drive: &DriveModel,
        escapement: &'m ContactEscapement,
        first_tooth: i64,
        theta_rad: f64,
    ) -> Result<Self, Stop> {
        let mut motion = Self {
            pendulum,
            drive: *drive,
            escapement,
            state: State { time_s: 0.0, theta_rad, omega_rad_s: 0.0, phi_rad: 0.0, nu_rad_s: 0.0 },
            direction: 1.0,
            tracks: TRACKS.map(|(pallet, flank)| Track::new(escapement, pallet, flank, first_tooth)),
            contact: None,
            crutch: Crutch::of(escapement),
            series: Box::default(),
            placed: None,
            longest_swing_s: longest_swing_s(pendulum),
        };
        if !(theta_rad.abs() < COVERED_RAD) {
            return Err(motion.stop(StopReason::BeyondFaces));
        }
        let mut lean = motion.crutch.map_or(Lean::None, |crutch| crutch.lean);
        motion.rest_on_entry(first_tooth, lean)?;
        if let Some(GivesWay::Crosses(other)) = motion.start_gives_way() {
            lean = other;
            motion.rest_on_entry(first_tooth, lean)?;
        }
        motion.turn_round(Some(0), -1.0)?;
        Ok(motion)
    }

    /// Puts a tooth on the entry pallet.
    fn rest_on_entry(&mut self, tooth: i64, lean: Lean) -> Result<(), Stop> {
        let place = self.escapement.leaning_curve(lean, Side::Entry, tooth).front_at(self.state.theta_rad);
        self.state.phi_rad = place.ok_or_else(|| self.stop(StopReason::BeyondFaces))?.phi_rad;
        self.direction = -1.0;
        if self.crutch.is_some() {
            self.lean(lean);
        } else {
            self.settle_tracks(-1.0);
        }
        Ok(())
    }

    /// What the pallets do at a start, where they do not lean on the rod.
    fn start_gives_way(&self) -> Option<GivesWay> {
        self.crutch?;
        let contact = self.contact_on(0, self.tracks[0].current()?);
        self.contact_gives_way(&contact, &Angles::at(self.state.theta_rad, self.state.phi_rad))
    }

    /// The state now.
    #[must_use]
    pub fn state(&self) -> State {
        self.state
    }

    /// Counts the wheel's advance and its teeth from `pitches` further on, so that the numbers stay small.
    pub fn rebase_tooth_count(&mut self, pitches: i64) {
        self.placed = None;
        self.state.phi_rad -= pitches as f64 * self.escapement.pitch_rad();
        for track in &mut self.tracks {
            track.rebase_tooth_count(pitches);
        }
        if let Some(contact) = self.contact
            && let Some(piece) = self.tracks[contact.track].current().copied()
        {
            self.contact = Some(self.contact_on(contact.track, &piece));
        }
    }

    /// Goes on under another drive; to be changed at a turning point with the wheel at rest.
    pub fn set_drive(&mut self, drive: &DriveModel) {
        self.drive = *drive;
    }

    /// Sign of the pendulum's motion.
    #[must_use]
    pub fn direction(&self) -> f64 {
        self.direction
    }

    /// The pallet and tooth on which the wheel rests; `None` while it is in its drop or pushed from behind.
    #[must_use]
    pub fn resting_on(&self) -> Option<(Side, i64)> {
        let contact = self.contact.filter(Contact::holds_wheel)?;
        Some((pallet_of(contact.track), self.tracks[contact.track].tooth))
    }

    /// The same, be it on pallets that stand still while the rod crosses the play of the crutch.
    fn standing_on(&self) -> Option<(Side, i64)> {
        let held = self.held().map(|held| (pallet_of(held.track), self.tracks[held.track].tooth));
        held.or_else(|| self.resting_on())
    }

    /// Pallets that stand still while the rod crosses the play of the crutch.
    pub(super) fn held(&self) -> Option<HeldPallets> {
        self.crutch?.held
    }

    /// Pendulum angle at which the pendulum would have turned, had the wheel rested on its present pallet since: the
    /// amplitude that stands for a state with the wheel at rest on a pallet. `None` if the wheel is in its drop.
    ///
    /// The contact's own series run backwards to its turning point.
    #[must_use]
    pub fn equivalent_turning_rad(&mut self) -> Option<f64> {
        let mut probe = self.clone();
        for _ in 0..20 {
            let contact = probe.contact.filter(Contact::holds_wheel)?;
            probe.fill_series(Some(&contact));
            let mirrored: Series =
                std::array::from_fn(|n| probe.direction * probe.series.omega[n] * if n % 2 == 0 { 1.0 } else { -1.0 });
            let step = trusted_step(&probe.series.theta, ANGLE_TOLERANCE_RAD)
                .min(trusted_step(&probe.series.omega, ANGLE_TOLERANCE_RAD / SPEED_SHARE_S));
            let turned = first_fall_through_zero(&mirrored, step);
            let back = turned.unwrap_or(step);
            let piece = probe.tracks[contact.track].current()?;
            let theta = value(&probe.series.theta, -back);
            let end = if probe.direction > 0.0 { piece.from_rad } else { piece.to_rad };
            if (theta - end) * probe.direction < 0.0 {
                // Across the end of a piece: step onto the next one there.
                let beyond: Series = std::array::from_fn(|n| {
                    let term = probe.series.theta[n] * if n % 2 == 0 { 1.0 } else { -1.0 };
                    probe.direction * (if n == 0 { term - end } else { term })
                });
                let t = first_fall_through_zero(&beyond, back)?;
                probe.state = probe.series.state_at(probe.state.time_s, -t);
                probe.state.theta_rad = end;
                let state = probe.state;
                probe.tracks[contact.track].cross(&state, -probe.direction);
                probe.tracks[contact.track].current()?;
                probe.touch(contact.track, &state).ok()?;
                continue;
            }
            if turned.is_some() {
                return Some(theta);
            }
            probe.state = probe.series.state_at(probe.state.time_s, -back);
            let state = probe.state;
            probe.touch(contact.track, &state).ok()?;
        }
        None
    }

    /// Runs to the next turning point of the pendulum.
    ///
    /// # Errors
    /// [`Stop`] if the clock stops before.
    pub fn run_to_turning(&mut self, observer: &mut impl Observer) -> Result<TurningPoint, Stop> {
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
    pub fn run_to_rest_or_turning(&mut self, observer: &mut impl Observer) -> Result<Option<TurningPoint>, Stop> {
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
        let mut idle = 0;
        for _ in 0..MOST_STRETCHES {
            if !take_one() {
                return Err(self.stop(StopReason::OutOfWork));
            }
            if self.resting_on().is_some() && ends_at_landing(&self.state) {
                return Ok(Reached::Landing);
            }
            if self.state.time_s - began > self.longest_swing_s {
                return Err(self.stop(StopReason::AtRest));
            }
            let before_s = self.state.time_s;
            if self.advance(observer)? {
                return Ok(Reached::Turning(TurningPoint { state: self.state, resting_on: self.standing_on() }));
            }
            idle = if self.state.time_s - before_s < NO_TIME_S { idle + 1 } else { 0 };
            if idle > MOST_IDLE {
                return Err(self.stop(StopReason::BothPallets));
            }
        }
        Err(self.stop(StopReason::Chatter))
    }

    pub(super) fn stop(&self, reason: StopReason) -> Stop {
        Stop { reason, time_s: self.state.time_s, theta_rad: self.state.theta_rad }
    }

    pub(super) fn settle_tracks(&mut self, towards: f64) {
        let state = self.state;
        for track in &mut self.tracks {
            track.settle(&state, towards);
        }
    }

    /// Wheel acceleration and way while apart.
    pub(super) fn wheel_apart(&self) -> (f64, WheelWay) {
        let inertia = self.drive.inertia_kg_m2;
        if self.held().is_some() {
            (0.0, WheelWay::Still)
        } else if self.state.nu_rad_s < 0.0 {
            (self.drive.backward_n_m() / inertia, WheelWay::Backward)
        } else if self.drive.forward_n_m() > 0.0 || self.state.nu_rad_s > 0.0 {
            (self.drive.forward_n_m() / inertia, WheelWay::Forward)
        } else {
            (0.0, WheelWay::Still)
        }
    }
}

enum Reached {
    Turning(TurningPoint),
    Landing,
}
