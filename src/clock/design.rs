//! `Design`: the clock as its maker wrote it down, checked, in SI units and radians.
//!
//! Nothing here is computed; `scenario` fills it and the other files of `clock` turn it into a `Mechanism`.

use crate::geometry::Outline;

use super::printer::Printer;

/// A whole clock as designed.
#[derive(Debug, Clone, PartialEq)]
pub struct Design {
    /// The clock's name.
    pub name: String,
    /// Pendulum angle from which the maker lets go (right side, at rest); `None` where the scenario gives none.
    pub start_arc_rad: Option<f64>,
    /// Supplementary arc asked of a steady swing beyond the arc that lets a tooth escape.
    pub margin_rad: f64,
    /// Where the clock hangs.
    pub place: Place,
    /// The pendulum.
    pub pendulum: PendulumDesign,
    /// Wheels from the drum to the escape wheel; `None` where the scenario gives no train.
    pub train: Option<Train>,
    /// What drives the escape wheel. `None` with an ideal escapement that needs no drive.
    pub drive: Option<DriveDesign>,
    /// The escapement.
    pub escapement: EscapementDesign,
    /// The printer that makes wheel and pallets, and their assembly.
    pub printer: Printer,
}

/// Gravity and air at the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Gravity given directly, or to be had from latitude and height.
    pub gravity: Gravity,
    /// Air temperature, degrees Celsius.
    pub temperature_c: f64,
    /// Air pressure; `None`: from the height.
    pub pressure_pa: Option<f64>,
    /// Relative humidity, 0 to 1.
    pub relative_humidity: f64,
}

/// How gravity is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Gravity {
    /// As a number, m/s^2 (height then 0 m for the air).
    Stated(f64),
    /// By place.
    ByPlace {
        /// Geographic latitude, north positive.
        latitude_rad: f64,
        /// Height above sea level.
        height_m: f64,
    },
}

/// The pendulum by parts or by its bare numbers.
#[derive(Debug, Clone, PartialEq)]
pub enum PendulumDesign {
    /// By parts.
    Parts(PendulumParts),
    /// By bare numbers.
    Lumped(LumpedPendulum),
}

/// The pendulum's bare numbers; see `PendulumModel` for their meaning. Gravity is the place's.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LumpedPendulum {
    /// Inertia about the axis.
    pub inertia_kg_m2: f64,
    /// Mass.
    pub mass_kg: f64,
    /// Centre of mass below the axis.
    pub centre_of_mass_m: f64,
    /// Stiffness of the suspension.
    pub stiffness_n_m_per_rad: f64,
    /// Torque per angular speed.
    pub damping_linear_n_m_s: f64,
    /// Torque per square of the angular speed.
    pub damping_quadratic_n_m_s2: f64,
    /// Constant friction torque.
    pub friction_torque_n_m: f64,
}

/// A pendulum made of parts.
#[derive(Debug, Clone, PartialEq)]
pub struct PendulumParts {
    /// The rod.
    pub rod: Rod,
    /// The bob.
    pub bob: Bob,
    /// The rating nut, which carries the bob.
    pub nut: Option<RatingNut>,
    /// Anything else that swings: crutch, pallet arbor with pallets, hook.
    pub extras: Vec<ExtraMass>,
    /// How the pendulum hangs.
    pub suspension: Suspension,
    /// Bearing of the pallet arbor, which the pendulum turns; `None` if the pallets sit on the pendulum's own axis.
    pub pallet_pivot: Option<Pivot>,
    /// Mass that the pallet pivots carry.
    pub pallet_mass_kg: f64,
    /// Linear damping stated by the maker on top of what the parts give (crutch, guide, air at the case).
    pub extra_damping_linear_n_m_s: f64,
    /// Quadratic damping stated by the maker.
    pub extra_damping_quadratic_n_m_s2: f64,
    /// Constant friction torque stated by the maker.
    pub extra_friction_torque_n_m: f64,
}

/// Cross-section of a rod.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum RodSection {
    /// Solid round.
    Round {
        /// Diameter.
        diameter_m: f64,
    },
    /// Round tube.
    Tube {
        /// Outer diameter.
        outer_m: f64,
        /// Inner diameter.
        inner_m: f64,
    },
    /// Rectangular strip.
    Flat {
        /// Width across the air stream (fore and aft).
        depth_m: f64,
        /// Thickness along the motion.
        width_m: f64,
    },
}

/// The pendulum rod.
#[derive(Debug, Clone, PartialEq)]
pub struct Rod {
    /// Cross-section.
    pub section: RodSection,
    /// Length.
    pub length_m: f64,
    /// Depth of its upper end below the axis (negative: above it).
    pub top_m: f64,
    /// Material.
    pub material: MaterialRef,
}

/// Shape of a bob.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum BobShape {
    /// Flat disc whose axis points fore and aft.
    Disc {
        /// Diameter.
        diameter_m: f64,
        /// Thickness fore and aft.
        thickness_m: f64,
    },
    /// Lens of two spherical caps, axis fore and aft.
    Lens {
        /// Diameter.
        diameter_m: f64,
        /// Thickness at the middle.
        thickness_m: f64,
    },
    /// Upright cylinder.
    Cylinder {
        /// Diameter.
        diameter_m: f64,
        /// Height.
        height_m: f64,
    },
    /// Sphere.
    Sphere {
        /// Diameter.
        diameter_m: f64,
    },
}

/// The bob.
#[derive(Debug, Clone, PartialEq)]
pub struct Bob {
    /// Shape.
    pub shape: BobShape,
    /// Depth of its centre below the axis.
    pub centre_m: f64,
    /// Material (density for buoyancy and for the mass if none is given).
    pub material: MaterialRef,
    /// Mass; `None`: from shape and density.
    pub mass_kg: Option<f64>,
}

/// The rating nut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RatingNut {
    /// Mass.
    pub mass_kg: f64,
    /// Depth below the axis.
    pub place_m: f64,
    /// Thread pitch.
    pub pitch_m: f64,
}

/// A further swinging mass.
#[derive(Debug, Clone, PartialEq)]
pub struct ExtraMass {
    /// Name.
    pub name: String,
    /// Mass.
    pub mass_kg: f64,
    /// Depth of its centre of mass below the axis (negative: above it).
    pub place_m: f64,
    /// Inertia about its own centre of mass.
    pub inertia_kg_m2: f64,
}

/// How the pendulum hangs.
#[derive(Debug, Clone, PartialEq)]
pub enum Suspension {
    /// Knife edge rolling in a groove or on a plane.
    KnifeEdge {
        /// Radius of the edge.
        edge_radius_m: f64,
        /// Coefficient of rolling friction as a length (lever arm of the resistance).
        rolling_friction_m: f64,
    },
    /// Ball bearing.
    BallBearing {
        /// Bore diameter.
        bore_m: f64,
        /// Friction coefficient referred to the bore.
        friction: f64,
    },
    /// Strip spring, clamped at the top.
    StripSpring {
        /// Width (of both strips together).
        width_m: f64,
        /// Thickness.
        thickness_m: f64,
        /// Free length.
        length_m: f64,
        /// Material.
        material: MaterialRef,
        /// Loss factor of the bending (2 pi times it: lost share of the elastic energy per cycle, as 1/Q of the spring).
        loss_factor: f64,
    },
    /// Cord or thread loop: no stiffness, loses by internal friction.
    Cord {
        /// Diameter.
        diameter_m: f64,
        /// Coefficient of internal friction, referred to the cord's radius.
        friction: f64,
    },
}

/// A material by name, or by the scenario's own density and modulus.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRef {
    /// Name as written.
    pub name: String,
    /// Density.
    pub density_kg_m3: f64,
    /// Young's modulus; `None` where the table has none.
    pub youngs_modulus_pa: Option<f64>,
}

/// A bearing of an arbor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pivot {
    /// Kind of bearing.
    pub kind: PivotKind,
    /// Diameter of the pivot, or bore of the ball bearing.
    pub diameter_m: f64,
    /// Friction coefficient.
    pub friction: f64,
}

/// Kind of bearing.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum PivotKind {
    /// Plain hole.
    Plain,
    /// Ball bearing.
    Ball,
}

/// The going train: arbors in order of the drive, first the drum's, last the escape wheel's.
#[derive(Debug, Clone, PartialEq)]
pub struct Train {
    /// Arbors, at least two.
    pub arbors: Vec<Arbor>,
    /// Index of the arbor that carries the minute hand.
    pub minute_arbor: Option<usize>,
    /// Beat that the maker means the train for; `None` where the scenario states none.
    pub beat_s: Option<f64>,
    /// Motion work from the minute hand's arbor to the hour hand: pairs (driver teeth, driven teeth).
    pub motion_work: Vec<(u32, u32)>,
    /// Pressure angle of the involute teeth.
    pub pressure_angle_rad: f64,
    /// Friction coefficient between teeth.
    pub tooth_friction: f64,
}

/// One arbor of the train.
#[derive(Debug, Clone, PartialEq)]
pub struct Arbor {
    /// Name.
    pub name: String,
    /// Teeth of the pinion driven by the arbor before; `None` on the first.
    pub pinion_teeth: Option<u32>,
    /// Teeth of the wheel that drives the next arbor; `None` on the last (the escape wheel is the escapement's).
    pub wheel_teeth: Option<u32>,
    /// Module of the wheel's mesh with the next pinion.
    pub module_m: Option<f64>,
    /// Bearing.
    pub pivot: Pivot,
    /// Mass of all that turns with the arbor.
    pub mass_kg: f64,
    /// Inertia of all that turns with the arbor.
    pub inertia_kg_m2: f64,
    /// Direction in which the next arbor lies, seen from the front, anticlockwise from the right. Bearing loads use it.
    pub next_direction_rad: f64,
}

/// What drives the escape wheel.
#[derive(Debug, Clone, PartialEq)]
pub enum DriveDesign {
    /// A weight on a cord, through the train.
    Weight(WeightDrive),
    /// Bare numbers at the escape arbor.
    Lumped(LumpedDrive),
}

/// Drive by its bare numbers at the escape arbor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LumpedDrive {
    /// Drive torque (`tau_drive`).
    pub escape_torque_n_m: f64,
    /// Friction torque of the train (`tau_fric`).
    pub friction_torque_n_m: f64,
    /// Inertia of train, wheel and weight (`J`).
    pub inertia_kg_m2: f64,
}

/// A weight on a cord.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightDrive {
    /// Driving weight, its pulley included.
    pub weight_kg: f64,
    /// Drum diameter, without the cord.
    pub drum_diameter_m: f64,
    /// Cord diameter.
    pub cord_diameter_m: f64,
    /// Parts of the cord that carry the weight: 1 straight, 2 over one moving pulley, and so on.
    pub falls: u32,
    /// Height through which the weight may fall.
    pub drop_m: f64,
    /// Turns of the drum that its width or the stopwork allows; `None`: the drop alone limits the run.
    pub drum_turns: Option<f64>,
    /// Moving pulley; needed where `falls` is above 1.
    pub pulley: Option<Pulley>,
    /// How the clock is driven while it is wound.
    pub maintaining: Maintaining,
}

/// A cord pulley on a plain or ball bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pulley {
    /// Diameter at the bottom of the groove.
    pub diameter_m: f64,
    /// Its bearing.
    pub pivot: Pivot,
}

/// How the clock is driven while it is wound.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Maintaining {
    /// Nothing: the clock loses its drive during winding.
    None,
    /// A spring that keeps a share of the torque for some time.
    Spring {
        /// Share of the drive torque that it keeps up.
        share: f64,
        /// Time for which it lasts.
        lasts_s: f64,
    },
    /// An endless cord: the weight pulls on during winding.
    EndlessCord,
}

/// The escapement.
#[derive(Debug, Clone, PartialEq)]
pub enum EscapementDesign {
    /// Dead-beat with concentric locking faces.
    DeadBeat(DeadBeat),
    /// Recoil anchor with straight faces.
    RecoilAnchor(RecoilAnchor),
    /// Explicit outlines.
    Outline(OutlineEscapement),
    /// Constant torque on the pendulum between two angles.
    IdealTorque(IdealTorque),
    /// Kick at an angle.
    IdealKick(IdealKick),
}

/// Form of the escape wheel's teeth.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ToothForm {
    /// Depth of the tooth from the tip circle.
    pub depth_m: f64,
    /// Width of the tip land; 0 for a pointed tooth.
    pub tip_width_m: f64,
    /// Angle by which the front face falls back from the radius.
    pub undercut_rad: f64,
    /// Angle between the front and the back face.
    pub wedge_rad: f64,
}

/// What both parametric escapements share.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PalletPlan {
    /// Teeth of the escape wheel.
    pub teeth: u32,
    /// Radius of the wheel over the tips.
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
    pub tooth: ToothForm,
    /// Friction coefficient tooth on pallet.
    pub friction: f64,
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

/// An escapement by explicit outlines.
#[derive(Debug, Clone, PartialEq)]
pub struct OutlineEscapement {
    /// Teeth of the wheel.
    pub teeth: u32,
    /// Distance between the arbors.
    pub centre_distance_m: f64,
    /// Friction coefficient.
    pub friction: f64,
    /// Restitution.
    pub restitution: f64,
    /// Constant angle of the pallets against the pendulum.
    pub beat_error_rad: f64,
    /// Tooth no. 0 in the wheel's frame.
    pub tooth: Outline,
    /// Entry pallet, front view at pendulum angle 0.
    pub entry: Outline,
    /// Exit pallet, likewise.
    pub exit: Outline,
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
