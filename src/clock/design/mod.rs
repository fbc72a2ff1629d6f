//! `Design`: the clock as its maker wrote it down, checked, in SI units and radians.
//!
//! Nothing here is computed: `scenario` fills it, `clock::environment` makes an `InRoom` of it, and the other files of `clock` turn that into a
//! `Mechanism`.

mod ageing;
mod crutch;
mod drive;
mod escapement;
mod friction;
mod hands;
mod material;
mod motor;
mod pendulum;
mod plates;
mod support;
mod wheel;

use super::printing::printer::Printer;

pub use ageing::*;
pub use crutch::*;
pub use drive::*;
pub use escapement::*;
pub use friction::*;
pub use hands::*;
pub use material::*;
pub use motor::*;
pub use pendulum::*;
pub use plates::*;
pub use support::*;
pub use wheel::*;

/// A clock as its maker wrote it down.
pub type Design = PendulumClock<AsMade>;

/// Sizes as the maker wrote them down.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AsMade {
    /// Temperature and humidity at which they hold.
    pub under: Conditions,
}

/// A whole clock with a pendulum. `S` says under which conditions its sizes hold, and keeps apart what is of two kinds: a [`Design`], as its
/// maker wrote it down, and an [`InRoom`](super::environment::InRoom), as the air has made it since.
#[derive(Debug, Clone, PartialEq)]
pub struct PendulumClock<S> {
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
    /// Play between the crutch and the rod; `None` where the pallets are fast on the pendulum.
    pub crutch_play: Option<CrutchPlay>,
    /// Wheels from the drum to the escape wheel; `None` where the scenario gives no train.
    pub train: Option<Train>,
    /// What drives the escape wheel. `None` with an ideal escapement that needs no drive.
    pub drive: Option<DriveDesign>,
    /// The escapement.
    pub escapement: EscapementDesign,
    /// Body of the escape wheel below its teeth; `None` where the scenario does not say.
    pub escape_wheel: Option<WheelBody>,
    /// The printer that makes wheel and pallets, and their assembly.
    pub printer: Printer,
    /// Frame between the arbors; `None` where the scenario does not say: it then keeps its size.
    pub frame: Option<FrameMaterial>,
    /// Material of the pallets; `None` likewise.
    pub pallets: Option<MadeOf>,
    /// What the clock hangs on or stands on; `None` where the scenario does not say: it then gives way to nothing.
    pub support: Option<Support>,
    /// How its frictions grow over the years.
    pub ageing: Ageing,
    /// Plates and pillars, as far as the scenario says.
    pub plates: Plates,
    /// What joins the pallets to their arbor, likewise.
    pub anchor: AnchorBody,
    /// Under which conditions the sizes of the parts hold.
    pub sizes: S,
}

impl<S> PendulumClock<S> {
    /// Whether a weight drives the clock; else a torque does, or nothing.
    #[must_use]
    pub const fn has_weight(&self) -> bool {
        self.weight_drive().is_some()
    }

    /// The weight that drives the clock, with cord and drum; `None` where a torque does, or nothing.
    #[must_use]
    pub const fn weight_drive(&self) -> Option<&WeightDrive> {
        match &self.drive {
            Some(DriveDesign::Weight(weight)) => Some(weight),
            Some(DriveDesign::Lumped(_)) | None => None,
        }
    }
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

/// Another place where the clock is to hang.
#[derive(Debug, Clone, PartialEq)]
pub struct Town {
    /// Its name.
    pub name: String,
    /// The place.
    pub place: Place,
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
