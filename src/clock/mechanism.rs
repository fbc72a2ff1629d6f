//! `Mechanism`: the narrow waist. All that is physical above only builds one; all that is below only asks it.

use crate::geometry::ContactCurve;

use super::crutch_curves::{Lean, PlayCurves, impulse_rad};
use super::side::{PerPallet, Side};

/// The pendulum as the motion sees it:
/// `inertia theta'' = -gravity_torque sin(theta) - stiffness theta - c1 theta' - c2 |theta'| theta' - T_c sign(theta')`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PendulumModel {
    /// Inertia about the axis, added mass of the air included (`I`).
    pub inertia_kg_m2: f64,
    /// `M g d`, buoyancy taken off.
    pub gravity_torque_n_m: f64,
    /// Stiffness of the suspension (`k_s`).
    pub stiffness_n_m_per_rad: f64,
    /// Linear damping by the air.
    pub air_linear_n_m_s: f64,
    /// Linear damping by suspension and stated extras.
    pub suspension_linear_n_m_s: f64,
    /// Quadratic damping (`c2`), air and stated extras.
    pub air_quadratic_n_m_s2: f64,
    /// Constant friction torque (`T_c`) of suspension and pallet pivots.
    pub friction_torque_n_m: f64,
}

impl PendulumModel {
    /// Whole linear damping `c1`, N m s.
    #[must_use]
    pub fn damping_linear_n_m_s(&self) -> f64 {
        self.air_linear_n_m_s + self.suspension_linear_n_m_s
    }

    /// Whether the linear damping alone keeps the free pendulum from swinging: it creeps back to the middle (`c1^2 >= 4 I k`).
    #[must_use]
    pub fn is_overdamped(&self) -> bool {
        let damping = self.damping_linear_n_m_s();
        damping * damping >= 4.0 * self.inertia_kg_m2 * self.small_swing_stiffness_n_m_per_rad()
    }

    /// The same pendulum without any loss.
    #[must_use]
    pub const fn without_losses(&self) -> Self {
        Self {
            air_linear_n_m_s: 0.0,
            suspension_linear_n_m_s: 0.0,
            air_quadratic_n_m_s2: 0.0,
            friction_torque_n_m: 0.0,
            ..*self
        }
    }

    /// Stored energy at rest at angle `theta`, J, zero when hanging.
    #[must_use]
    pub fn potential_j(&self, theta_rad: f64) -> f64 {
        let half_sine = (0.5 * theta_rad).sin();
        2.0 * self.gravity_torque_n_m * half_sine * half_sine + 0.5 * self.stiffness_n_m_per_rad * theta_rad * theta_rad
    }

    /// Torque of gravity and suspension towards the rest position at angle `theta`, N m, of the sign of `theta`: the slope of
    /// [`potential_j`](Self::potential_j).
    #[must_use]
    pub fn restoring_torque_n_m(&self, theta_rad: f64) -> f64 {
        self.gravity_torque_n_m * theta_rad.sin() + self.stiffness_n_m_per_rad * theta_rad
    }

    /// Stiffness about the rest position, N m/rad.
    #[must_use]
    pub fn small_swing_stiffness_n_m_per_rad(&self) -> f64 {
        self.gravity_torque_n_m + self.stiffness_n_m_per_rad
    }
}

/// Drive and train as the escape arbor sees them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DriveModel {
    /// Torque of the weight without any loss.
    pub ideal_torque_n_m: f64,
    /// Loss in cord and pulleys, as torque at the escape arbor.
    pub cord_loss_n_m: f64,
    /// Loss in the meshes, as torque at the escape arbor.
    pub mesh_loss_n_m: f64,
    /// What hands and motion work take on the way, as torque at the escape arbor; below 0 where falling hands help.
    pub hands_n_m: f64,
    /// Friction torque of the bearings reflected to the escape arbor, wheel advancing (`tau_fric`).
    pub friction_forward_n_m: f64,
    /// What pushing the wheel backwards costs above `torque_n_m()`: bearings, and the meshes and cord run backwards.
    pub friction_backward_n_m: f64,
    /// Friction torque that has to be overcome at the escape arbor whenever the resting wheel is let go: that of the bearings as they
    /// break away, and what meshes lose the less for it.
    pub friction_starting_n_m: f64,
    /// Inertia of wheel, train and weight reflected to the escape arbor (`J`).
    pub inertia_kg_m2: f64,
}

impl DriveModel {
    /// Torque at the escape wheel, the losses of cord and meshes and the hands' share taken off (`tau_drive`), N m.
    #[must_use]
    pub fn torque_n_m(&self) -> f64 {
        self.ideal_torque_n_m - self.cord_loss_n_m - self.mesh_loss_n_m - self.hands_n_m
    }

    /// Net torque on the advancing wheel, N m.
    #[must_use]
    pub fn forward_n_m(&self) -> f64 {
        self.torque_n_m() - self.friction_forward_n_m
    }

    /// Whether the train sticks: what cord and meshes leave of the drive does not set the resting wheel going once it is let go.
    #[must_use]
    pub fn sticks(&self) -> bool {
        self.friction_starting_n_m > 0.0 && self.torque_n_m() <= self.friction_starting_n_m
    }

    /// Torque that has to be overcome to push the wheel back, N m.
    #[must_use]
    pub fn backward_n_m(&self) -> f64 {
        self.torque_n_m() + self.friction_backward_n_m
    }
}

/// What couples pendulum and wheel.
#[derive(Debug, Clone, PartialEq)]
pub enum EscapementModel {
    /// Contact of outlines.
    Contact(ContactEscapement),
    /// Constant torque between two angles.
    IdealTorque(super::design::IdealTorque),
    /// Kick at an angle.
    IdealKick(super::design::IdealKick),
}

/// Wheel and pallets in contact.
#[derive(Debug, Clone, PartialEq)]
pub struct ContactEscapement {
    /// Teeth of the wheel.
    pub teeth: u32,
    /// Friction coefficient tooth on pallet.
    pub friction: f64,
    /// Restitution of an impact.
    pub restitution: f64,
    /// Whether its pallets have faces that are to hold the wheel still: those of a recoil anchor have none.
    pub locks: bool,
    /// Contact curves of the pallets with tooth no. 0 over the pendulum angle (beat error included).
    pub curves: PerPallet<ContactCurve>,
    /// Those of teeth 1, 2, ... where they differ from tooth 0's; empty where all teeth are alike.
    pub other_teeth: Vec<PerPallet<ContactCurve>>,
    /// Play between crutch and rod; `None` where the pallets are fast on the pendulum. Set by
    /// [`with_crutch_play`](Self::with_crutch_play) once all the rest is.
    pub play: Option<Box<PlayCurves>>,
}

impl ContactEscapement {
    /// Contact curve of a pallet for a tooth, counted round and round, as if it were tooth no. 0.
    #[inline]
    #[must_use]
    pub fn curve(&self, pallet: Side, tooth: i64) -> &ContactCurve {
        let number = self.number_of(tooth);
        let curves = number.checked_sub(1).and_then(|index| self.other_teeth.get(index)).unwrap_or(&self.curves);
        &curves[pallet]
    }

    /// The same over the pendulum's angle, the crutch resting on a side of its play.
    #[inline]
    #[must_use]
    pub fn leaning_curve(&self, lean: Lean, pallet: Side, tooth: i64) -> &ContactCurve {
        let leaning = || self.play.as_ref()?.curve(lean, pallet, self.number_of(tooth));
        leaning().unwrap_or_else(|| self.curve(pallet, tooth))
    }

    #[inline]
    fn number_of(&self, tooth: i64) -> usize {
        if self.other_teeth.is_empty() { 0 } else { tooth.rem_euclid(i64::from(self.teeth)) as usize }
    }

    /// The same with so much play between crutch and rod, rad in all; its curves are made anew from those without.
    #[must_use]
    pub fn with_crutch_play(self, play_rad: f64) -> Self {
        let play = PlayCurves::of(&self, play_rad).map(Box::new);
        Self { play, ..self }
    }

    /// Whole play between crutch and rod, rad.
    #[must_use]
    pub fn crutch_play_rad(&self) -> f64 {
        self.play.as_ref().map_or(0.0, |play| 2.0 * play.half_rad)
    }

    /// Pendulum angle, outwards positive, from which a tooth escapes from a pallet; `None` where the pallet never holds one.
    ///
    /// With play the pallets lag behind the pendulum by half of it until the tooth comes onto the impulse face, and are pushed ahead by
    /// half of it from there on.
    #[must_use]
    pub fn escaping_rad(&self, pallet: Side, tooth: i64) -> Option<f64> {
        let Some(play) = &self.play else { return Some(pallet.away() * self.release_rad(pallet, tooth)?) };
        let (released_rad, unlocked_rad) = impulse_rad(self, pallet, tooth)?;
        Some((released_rad - play.half_rad).max(unlocked_rad + play.half_rad))
    }

    /// Pallet angle at which a pallet lets a tooth escape, rad, right positive; `None` where the pallet never holds one.
    #[must_use]
    pub fn release_rad(&self, pallet: Side, tooth: i64) -> Option<f64> {
        let front = &self.curve(pallet, tooth).front;
        match pallet {
            Side::Entry => front.first().map(|piece| piece.from_rad),
            Side::Exit => front.last().map(|piece| piece.to_rad),
        }
    }

    /// Whether the teeth are not all alike.
    #[inline]
    #[must_use]
    pub fn teeth_differ(&self) -> bool {
        !self.other_teeth.is_empty()
    }

    /// The same with all teeth like the one in the middle between those that escape first and last.
    #[must_use]
    pub fn with_teeth_alike(&self) -> Self {
        let arcs_rad = |tooth: i64| -> f64 {
            let sides = [(Side::Exit, 1.0), (Side::Entry, -1.0)];
            sides.iter().filter_map(|&(pallet, sign)| Some(sign * self.release_rad(pallet, tooth)?)).sum()
        };
        let mut teeth: Vec<i64> = (0..i64::from(self.teeth)).collect();
        teeth.sort_by(|&a, &b| arcs_rad(a).total_cmp(&arcs_rad(b)));
        let middle = teeth.get(teeth.len() / 2).copied().unwrap_or(0);
        let curves = PerPallet::from_fn(|pallet| self.curve(pallet, middle).clone());
        let alike = Self { curves, other_teeth: Vec::new(), play: None, ..*self };
        alike.with_crutch_play(self.crutch_play_rad())
    }

    /// Wheel angle of one tooth, rad.
    #[must_use]
    pub fn pitch_rad(&self) -> f64 {
        std::f64::consts::TAU / f64::from(self.teeth)
    }
}

/// A dozen numbers, two contact curves, and whether the train binds: all that motion, answers and studies know of the clock.
#[derive(Debug, Clone, PartialEq)]
pub struct Mechanism {
    /// The pendulum.
    pub pendulum: PendulumModel,
    /// The drive at the escape arbor; `None` for an ideal escapement.
    pub drive: Option<DriveModel>,
    /// The escapement.
    pub escapement: EscapementModel,
    /// Whether the train binds: teeth stand too deep in a mesh to turn, whatever the drive.
    pub jams: bool,
}
