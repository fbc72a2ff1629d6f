//! Train, bearings and drive as designed.

use super::{Friction, Hands, MadeOf, MaterialRef};

/// A bearing of an arbor.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pivot {
    /// Kind of bearing.
    pub kind: PivotKind,
    /// Diameter of the pivot, or bore of the ball bearing.
    pub diameter_m: f64,
    /// Friction coefficient.
    pub friction: Friction,
    /// Friction torque that no load changes, N m: that of oil, grease and seals.
    pub drag_n_m: Friction,
    /// Torque that sets the bearing going over that which keeps it going, at least 1.
    pub breakaway: f64,
}

impl Pivot {
    /// A bearing without drag that starts as easily as it runs.
    #[must_use]
    pub const fn new(kind: PivotKind, diameter_m: f64, friction: f64) -> Self {
        Self { kind, diameter_m, friction: Friction::of(friction), drag_n_m: Friction::of(0.0), breakaway: 1.0 }
    }
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
    /// Modules of the motion work's pairs, as many as there are pairs; empty where the scenario gives none.
    pub motion_work_modules_m: Vec<f64>,
    /// What the minute arbor and the motion work carry in a pendulum clock; `None` where the scenario gives no hands, and in a clock
    /// with a motor, which has its own.
    pub hands: Option<Hands>,
    /// Material of the arbors themselves; `None` where the scenario does not say.
    pub arbor_material: Option<MaterialRef>,
    /// Pressure angle of the involute teeth.
    pub pressure_angle_rad: f64,
    /// Friction coefficient between teeth.
    pub tooth_friction: Friction,
    /// Room between a tip and the other gear's root, in modules; `None` where the scenario does not say.
    pub bottom_clearance_modules: Option<f64>,
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
    /// Material of the wheel; `None` where the scenario does not say: it then keeps its size.
    pub wheel: Option<MadeOf>,
    /// Material of the pinion; `None` likewise.
    pub pinion: Option<MadeOf>,
    /// Play of the wheel's teeth in the next pinion along the pitch circle, at the designed distance; `None` where the
    /// scenario does not say.
    pub backlash_m: Option<f64>,
    /// What only its builder asks for.
    pub sizes: ArborSizes,
}

/// Sizes of an arbor's gears and where they stand, which nothing of the motion asks for; `None` where the scenario does not say.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ArborSizes {
    /// Thickness of the wheel.
    pub wheel_thickness_m: Option<f64>,
    /// Bore of wheel and pinion: the arbor's diameter between the plates.
    pub bore_m: Option<f64>,
    /// Plane in which the wheel stands, counted from the back plate: what bears one number lies in one plane.
    pub level: Option<u32>,
    /// Whether the scenario states the direction of the next arbor.
    pub next_is_stated: bool,
}

impl Arbor {
    /// Diameter that the arbor takes where a wheel could meet it: its bore's, else its pivot's, m.
    #[must_use]
    pub fn across_m(&self) -> f64 {
        self.sizes.bore_m.unwrap_or(self.pivot.diameter_m)
    }
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
    pub friction_torque_n_m: Friction,
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
    /// Length of the drum between its flanges; `None` where the scenario does not say: one layer then holds any cord.
    pub drum_length_m: Option<f64>,
    /// Cord diameter.
    pub cord_diameter_m: f64,
    /// What the cord takes to bend, and what it weighs.
    pub cord: CordMade,
    /// Parts of the cord that carry the weight: 1 straight, 2 over one moving pulley, and so on.
    pub falls: u32,
    /// Breaking strength of the cord as its maker states it, without a knot; `None` where the scenario does not say.
    pub cord_breaking_strength_n: Option<f64>,
    /// Height through which the weight may fall.
    pub drop_m: f64,
    /// Turns of the drum that its width or the stopwork allows; `None`: the drop alone limits the run.
    pub drum_turns: Option<f64>,
    /// Moving pulley; needed where `falls` is above 1.
    pub pulley: Option<Pulley>,
    /// How the clock is driven while it is wound.
    pub maintaining: Maintaining,
    /// Material of the drum; `None` where the scenario does not say: it then keeps its size.
    pub drum: Option<MaterialRef>,
}

impl WeightDrive {
    /// A pulley where the design has none: as wide as the drum, so that the cord bends no more on it, on a pivot like that of the drum's
    /// arbor (common practice, no source).
    #[must_use]
    pub const fn assumed_pulley(&self, like: Pivot) -> Pulley {
        Pulley { diameter_m: self.drum_diameter_m, pivot: like }
    }
}

/// What a cord is made of; nothing where the scenario does not say: it then bends freely and has no mass.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct CordMade {
    /// Name in the table of cords.
    pub name: Option<&'static str>,
    /// Share of its tension that it takes to bend it and to straighten it again, over its diameter by the radius.
    pub stiffness: Option<Friction>,
    /// Mass of a length.
    pub mass_kg_per_m: Option<f64>,
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
