//! The escapement as designed.

use crate::clock::side::PerPallet;
use crate::geometry::Outline;

use super::Friction;

/// The escapement.
#[derive(Debug, Clone, PartialEq)]
pub enum EscapementDesign {
    /// Dead-beat with concentric locking faces.
    DeadBeat(DeadBeat),
    /// Recoil anchor with straight faces.
    RecoilAnchor(RecoilAnchor),
    /// Pins for pallets, the lift on the teeth.
    PinPallet(PinPallet),
    /// Explicit outlines.
    Outline(OutlineEscapement),
    /// Constant torque on the pendulum between two angles.
    IdealTorque(IdealTorque),
    /// Kick at an angle.
    IdealKick(IdealKick),
}

impl EscapementDesign {
    /// Constant angle of the pallets against the pendulum, rad; 0 where there are no pallets.
    #[must_use]
    pub const fn beat_error_rad(&self) -> f64 {
        match self {
            Self::DeadBeat(family) => family.plan.beat_error_rad,
            Self::RecoilAnchor(family) => family.plan.beat_error_rad,
            Self::PinPallet(family) => family.plan.beat_error_rad,
            Self::Outline(outline) => outline.beat_error_rad,
            Self::IdealTorque(_) | Self::IdealKick(_) => 0.0,
        }
    }

    /// Its form, by its key in the scenario.
    #[must_use]
    pub const fn form(&self) -> &'static str {
        match self {
            Self::DeadBeat(_) => "dead_beat",
            Self::RecoilAnchor(_) => "recoil_anchor",
            Self::PinPallet(_) => "pin_pallet",
            Self::Outline(_) => "outline",
            Self::IdealTorque(_) => "ideal_torque",
            Self::IdealKick(_) => "ideal_kick",
        }
    }

    /// Friction of teeth on pallets; `None` where there are no pallets.
    pub const fn friction_mut(&mut self) -> Option<&mut Friction> {
        match self {
            Self::DeadBeat(family) => Some(&mut family.plan.friction),
            Self::RecoilAnchor(family) => Some(&mut family.plan.friction),
            Self::PinPallet(family) => Some(&mut family.plan.friction),
            Self::Outline(outline) => Some(&mut outline.friction),
            Self::IdealTorque(_) | Self::IdealKick(_) => None,
        }
    }

    /// The escapement with its pallets turned by a further angle against the pendulum; an ideal one stays as it is.
    #[must_use]
    pub fn turned_by(&self, angle_rad: f64) -> Self {
        let mut turned = self.clone();
        match &mut turned {
            Self::DeadBeat(dead_beat) => dead_beat.plan.beat_error_rad += angle_rad,
            Self::RecoilAnchor(recoil) => recoil.plan.beat_error_rad += angle_rad,
            Self::PinPallet(pin_pallet) => pin_pallet.plan.beat_error_rad += angle_rad,
            Self::Outline(outline) => outline.beat_error_rad += angle_rad,
            Self::IdealTorque(_) | Self::IdealKick(_) => {}
        }
        turned
    }
}

/// Form of the escape wheel's teeth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum ToothForm {
    /// Faces that lean towards each other, with a narrow tip land.
    Tapered(TaperedTooth),
    /// Faces that meet in a point.
    Pointed(PointedTooth),
    /// Parallel faces with a sloped end face.
    Uniform(UniformTooth),
    /// An end face that takes a share of the lift.
    Club(ClubTooth),
    /// A round pin.
    Pin(PinTooth),
}

/// A tooth that tapers to a narrow land.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TaperedTooth {
    /// Depth of the tooth from the tip circle.
    pub depth_m: f64,
    /// Width of the tip land; 0 for a pointed tooth.
    pub tip_width_m: f64,
    /// Angle by which the front face falls back from the radius.
    pub undercut_rad: f64,
    /// Angle between the front and the back face.
    pub wedge_rad: f64,
}

/// A tooth that ends in a point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointedTooth {
    /// Depth of the tooth from the tip circle.
    pub depth_m: f64,
    /// Angle by which the front face falls back from the radius; 0 for a radial front.
    pub undercut_rad: f64,
    /// Angle between the front and the back face, which is the angle of the point.
    pub wedge_rad: f64,
}

/// A tooth of one width from root to end.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct UniformTooth {
    /// Depth of the tooth from the tip circle.
    pub depth_m: f64,
    /// Distance between the front and the back face.
    pub width_m: f64,
    /// Angle by which the end face falls backwards from the tangent at the front corner.
    pub slope_rad: f64,
    /// Angle by which both faces fall back from the radius through the front corner.
    pub undercut_rad: f64,
    /// Radius of the fillets at the root; 0 for none.
    pub root_fillet_m: f64,
}

/// A tooth whose end face drives the pallet's release corner for a share of the lift.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClubTooth {
    /// Depth of the tooth from the circle of the front corners.
    pub depth_m: f64,
    /// Length of the end face, from the front corner to the heel.
    pub tip_width_m: f64,
    /// Pallet angle of the lift that falls to the end face, the mean of both pallets.
    pub tooth_lift_rad: f64,
    /// Angle by which the front face falls back from the radius.
    pub undercut_rad: f64,
    /// Angle between the front and the back face.
    pub wedge_rad: f64,
}

/// A round pin in the wheel.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinTooth {
    /// Its diameter.
    pub diameter_m: f64,
}

/// A tooth whose end face takes all the lift, for pallets that are pins: length and rise of the end face follow from
/// lift and drop.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RisingTooth {
    /// Depth of the tooth from the circle of the front corners.
    pub depth_m: f64,
    /// Angle by which the front face falls back from the radius.
    pub undercut_rad: f64,
    /// Angle between the front and the back face.
    pub wedge_rad: f64,
}

/// What the parametric escapements share; `T` is the form of their teeth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PalletPlan<T = ToothForm> {
    /// Teeth of the escape wheel.
    pub teeth: u32,
    /// Radius of the circle of the front tip corners, or of the pins' centres.
    pub radius_m: f64,
    /// Tooth spaces that the pallets embrace: a whole number and a half.
    pub spaces_embraced: f64,
    /// Pallet angle over which a tooth drives each pallet.
    pub lift_rad: f64,
    /// Wheel angle from leaving one pallet to falling on the other.
    pub drop_rad: f64,
    /// Distance between the arbors; `None`: tangent to the wheel at the pallets' mean place.
    pub centre_distance_m: Option<f64>,
    /// Form of the teeth.
    pub tooth: T,
    /// Friction coefficient tooth on pallet.
    pub friction: Friction,
    /// Restitution of an impact.
    pub restitution: f64,
    /// Constant angle of the pallets against the pendulum.
    pub beat_error_rad: f64,
    /// Pallet swing outward that the faces allow for, from their unlocking corner.
    pub face_length_rad: f64,
}

/// A dead-beat escapement.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeadBeat {
    /// Shared quantities.
    pub plan: PalletPlan,
    /// Pallet angle from a tooth's fall to its unlocking.
    pub lock_rad: f64,
}

/// A recoil anchor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RecoilAnchor {
    /// Shared quantities.
    pub plan: PalletPlan,
}

/// Dead-beat action of teeth that carry the lift on pallets that are round pins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PinPallet {
    /// Shared quantities.
    pub plan: PalletPlan<RisingTooth>,
    /// Pallet angle from a tooth's fall to its unlocking.
    pub lock_rad: f64,
    /// Diameter of the pins.
    pub pin_diameter_m: f64,
}

/// An escapement by explicit outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineEscapement {
    /// Teeth of the wheel.
    pub teeth: u32,
    /// Distance between the arbors.
    pub centre_distance_m: f64,
    /// Friction coefficient.
    pub friction: Friction,
    /// Restitution.
    pub restitution: f64,
    /// Constant angle of the pallets against the pendulum.
    pub beat_error_rad: f64,
    /// Tooth no. 0 in the wheel's frame.
    pub tooth: Outline,
    /// Pallets, front view at pendulum angle 0.
    pub pallets: PerPallet<Outline>,
}

/// Constant torque on the pendulum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IdealTorque {
    /// Torque in the direction of motion.
    pub torque_n_m: f64,
    /// From this angle ahead of the centre.
    pub before_rad: f64,
    /// To this angle past the centre.
    pub after_rad: f64,
    /// What acts elsewhere.
    pub outside: Outside,
}

/// What an ideal torque does outside its arc.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Outside {
    /// Nothing (dead-beat).
    None,
    /// Always on, changing sign where an outward swing passes `after` (recoil).
    Reversed,
}

/// A kick to the pendulum at an angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct IdealKick {
    /// Angle in the direction of motion.
    pub at_rad: f64,
    /// Size.
    pub size: KickSize,
    /// Which swings.
    pub sides: KickSides,
}

/// Size of a kick.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum KickSize {
    /// Energy given to the pendulum, J.
    Energy(f64),
    /// Gain of angular speed, rad/s.
    Speed(f64),
}

/// Which swings are kicked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum KickSides {
    /// Every swing.
    Both,
    /// Swings with `theta' > 0` only.
    Right,
}
