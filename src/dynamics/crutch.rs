//! Play between the pendulum's rod and the crutch of the pallets.
//!
//! The pallets have no mass of their own (the pendulum's inertia counts it) and lean against the rod on that side of the play to which the
//! tooth's torque pushes them. Where that torque changes sign they cross the play while the pendulum swings on alone: friction holds them
//! still with the wheel until the rod has come to its other side, or the wheel pushes them across and meets the rod there.

use crate::clock::crutch_curves::Lean;
use crate::clock::mechanism::ContactEscapement;
use crate::clock::side::Side;
use crate::geometry::{Angles, ContactPlace};
use crate::numerics::root::fall_of_falling;
use crate::numerics::series::{Series, value};

use super::contact::Contact;
use super::events::{Event, first_fall};
use super::motion::{Motion, Stop};
use super::observe::{Jump, JumpKind, Observer};

/// Where the crutch is in its play.
#[derive(Debug, Clone, Copy)]
pub(super) struct Crutch {
    half_rad: f64,
    pub(super) lean: Lean,
    /// Pallets that friction holds still while the rod crosses the play.
    pub(super) held: Option<HeldPallets>,
    /// Energy that the wheel brought along, J, where it pushes the pallets across the play.
    pub(super) crosses_with_j: Option<f64>,
}

/// Pallets that stand still with a tooth resting on one of them.
#[derive(Debug, Clone, Copy)]
pub(super) struct HeldPallets {
    /// Track of the pallet on which the wheel rests.
    pub(super) track: usize,
    /// Angle at which they stand.
    pallets_rad: f64,
}

/// What becomes of pallets that are pushed away from the side on which the crutch leans.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum GivesWay {
    /// Friction holds them still.
    Stands,
    /// The wheel pushes them across.
    Crosses(Lean),
}

/// Torque by the escapement, in drive torques, that counts as none.
const NO_TORQUE: f64 = 1e-11;

impl Crutch {
    pub(super) fn of(escapement: &ContactEscapement) -> Option<Self> {
        let half_rad = escapement.play.as_ref()?.half_rad;
        Some(Self { half_rad, lean: Lean::Anticlockwise, held: None, crosses_with_j: None })
    }

    /// What pallets do under a torque of which the arm is `arm_m`, `bare_arm_m` without friction; `None` where the crutch leans on the rod
    /// on the side to which it pushes them. Only a pallet that `holds` the wheel can be held by it.
    fn gives_way(&self, arm_m: f64, bare_arm_m: f64, holds: bool) -> Option<GivesWay> {
        if arm_m * self.lean.sign() >= 0.0 {
            return None;
        }
        let stands = holds && bare_arm_m.abs() <= (arm_m - bare_arm_m).abs();
        Some(if stands { GivesWay::Stands } else { GivesWay::Crosses(Lean::towards(bare_arm_m)) })
    }

    /// Pendulum angle at which the rod, moving in `direction`, has crossed the play of pallets that stand still.
    fn crossed_at_rad(&self, held: &HeldPallets, direction: f64) -> f64 {
        held.pallets_rad + direction * self.half_rad
    }
}

impl Motion<'_> {
    /// What the pallets of a contact do, where they do not lean on the rod.
    pub(super) fn contact_gives_way(&self, contact: &Contact, angles: &Angles) -> Option<GivesWay> {
        let forces = &contact.forces;
        self.crutch.as_ref()?.gives_way(
            forces.on_pallet.value(angles),
            forces.normal_on_pallet.value(angles),
            contact.holds_wheel(),
        )
    }

    /// The same of pallets that a tooth strikes, of which the arm with friction is `arm_m`.
    pub(super) fn blow_gives_way(&self, arm_m: f64, place: &ContactPlace, holds: bool) -> Option<GivesWay> {
        self.crutch.as_ref()?.gives_way(arm_m, place.normal_arms_m.0, holds)
    }

    /// The pallets of a track stand still, the wheel resting on them, or are pushed across the play.
    pub(super) fn give_way(&mut self, track: usize, how: GivesWay) {
        match how {
            GivesWay::Stands => {
                self.break_contact();
                self.state.nu_rad_s = 0.0;
                if let Some(crutch) = &mut self.crutch {
                    let pallets_rad = self.state.theta_rad + crutch.lean.sign() * crutch.half_rad;
                    crutch.held = Some(HeldPallets { track, pallets_rad });
                }
            }
            GivesWay::Crosses(lean) => {
                self.contact = None;
                self.lean(lean);
                let brought_j = self.wheel_energy_j();
                if let Some(crutch) = &mut self.crutch {
                    crutch.crosses_with_j.get_or_insert(brought_j);
                }
            }
        }
    }

    /// Leans the crutch on a side of its play.
    pub(super) fn lean(&mut self, lean: Lean) {
        let Some(crutch) = &mut self.crutch else { return };
        crutch.lean = lean;
        for track in &mut self.tracks {
            track.set_lean(lean);
        }
        self.placed = None;
        self.settle_tracks(self.direction);
    }

    /// A tooth comes down on pallets that its blow does not press against the rod: the pendulum feels nothing of it.
    pub(super) fn strike_loose_pallets(&mut self, track: usize, how: GivesWay, observer: &mut impl Observer) {
        if how == GivesWay::Stands {
            let energy_j = -self.wheel_energy_j();
            self.state.nu_rad_s = 0.0;
            let kind = JumpKind::Impact(super::contact::pallet_of(track));
            observer.jump(&Jump { kind, state: self.state, energy_j });
        }
        self.give_way(track, how);
    }

    /// Energy of the moving wheel, J.
    pub(super) fn wheel_energy_j(&self) -> f64 {
        0.5 * self.drive.inertia_kg_m2 * self.state.nu_rad_s * self.state.nu_rad_s
    }

    /// Tells of a blow of a tooth on pallets that lean on the rod, which takes `-energy_j` from pendulum and wheel. Where it ends a way across the
    /// play, what the wheel gathered on that way, of `wheel_j` that it has before the blow, is the play's; the rest is lost without play, too.
    pub(super) fn tell_blow(&mut self, pallet: Side, wheel_j: f64, energy_j: f64, observer: &mut impl Observer) {
        let brought_j = self.crutch.as_mut().and_then(|crutch| crutch.crosses_with_j.take());
        let Some(brought_j) = brought_j else {
            observer.jump(&Jump { kind: JumpKind::Impact(pallet), state: self.state, energy_j });
            return;
        };
        let of_play_j = energy_j.max(-(wheel_j - brought_j).max(0.0));
        if brought_j > 0.0 {
            observer.jump(&Jump { kind: JumpKind::Impact(pallet), state: self.state, energy_j: energy_j - of_play_j });
        }
        observer.jump(&Jump { kind: JumpKind::PlayTaken(pallet), state: self.state, energy_j: of_play_j });
    }

    /// The first event while the pallets stand still: the rod turns, or it has crossed the play.
    pub(super) fn next_event_of_held(&self, held: &HeldPallets, from_s: f64, until_s: f64) -> (f64, Event) {
        let direction = self.direction;
        let Some(crutch) = &self.crutch else { return (until_s, Event::StepEnd) };
        let crossed_rad = crutch.crossed_at_rad(held, direction);
        let (mut time, mut event) = (until_s, Event::StepEnd);
        let outward: Series = std::array::from_fn(|n| direction * self.series.omega[n]);
        if let Some(t) = first_fall(&outward, from_s, time) {
            (time, event) = (t, Event::Turned);
        }
        if direction * value(&self.series.theta, time) >= direction * crossed_rad {
            let mut left: Series = std::array::from_fn(|n| -direction * self.series.theta[n]);
            left[0] += direction * crossed_rad;
            let found = if left[0] <= 0.0 { Some(from_s) } else { fall_of_falling(&left, from_s, time) };
            if let Some(t) = found {
                (time, event) = (t, Event::PlayCrossed);
            }
        }
        (time, event)
    }

    /// The rod has come to the other side of its play and takes the pallets along.
    ///
    /// # Errors
    /// [`Stop`] as the contact that begins.
    pub(super) fn take_pallets_along(&mut self) -> Result<(), Stop> {
        let direction = self.direction;
        let Some(crutch) = &mut self.crutch else { return Ok(()) };
        let Some(held) = crutch.held.take() else { return Ok(()) };
        self.state.theta_rad = crutch.crossed_at_rad(&held, direction);
        self.lean(Lean::towards(-direction));
        let state = self.state;
        self.touch(held.track, &state)
    }

    /// When the torque of a contact changes sign, if it does before `until_s`.
    pub(super) fn torque_gone_s(&self, from_s: f64, until_s: f64) -> Option<f64> {
        let sign = self.crutch.as_ref()?.lean.sign();
        let mut torque: Series = std::array::from_fn(|n| sign * self.series.torque_on_pendulum[n]);
        torque[0] += NO_TORQUE * self.drive.backward_n_m().abs();
        first_fall(&torque, from_s, until_s)
    }

    /// The torque of the contact has changed sign: pallets that the rod drags along stay behind, others are pushed ahead.
    pub(super) fn lose_torque(&mut self, track: usize) {
        let Some(crutch) = &self.crutch else { return };
        let ahead = crutch.lean.sign() * self.direction > 0.0;
        let how = if ahead { GivesWay::Stands } else { GivesWay::Crosses(Lean::towards(self.direction)) };
        if ahead && self.state.nu_rad_s != 0.0 {
            // The moving wheel strikes them at once, and loses its energy in the blow.
            self.break_contact();
        } else {
            self.give_way(track, how);
        }
    }
}
