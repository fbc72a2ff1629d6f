//! The body of the escape wheel as designed.

use super::{Cut, MaterialRef};

/// What carries the teeth: rim, spokes and hub, all of one thickness.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelBody {
    /// Material.
    pub material: MaterialRef,
    /// How it was cut from the tree; without meaning where there is no grain.
    pub cut: Cut,
    /// Thickness.
    pub thickness_m: f64,
    /// Bore for the arbor.
    pub bore_diameter_m: f64,
    /// Rim, spokes and hub; `None` for a solid disc.
    pub spoked: Option<Spoked>,
}

/// Rim, spokes and hub of a wheel that is no solid disc.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spoked {
    /// Width of the rim below the roots of the teeth, or below the innermost points of pins.
    pub rim_m: f64,
    /// Number of spokes, from 2.
    pub spokes: u32,
    /// Width of a spoke, the same all along.
    pub spoke_width_m: f64,
    /// Diameter of the hub.
    pub hub_diameter_m: f64,
}
