//! Plates, pillars and what joins the pallets, as designed: asked for by whoever builds the clock, not by its motion.

/// The plates between which the arbors stand.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Plates {
    /// Thickness of a plate; `None` where the scenario does not say.
    pub thickness_m: Option<f64>,
    /// From one plate's inner face to the other's; `None` likewise.
    pub distance_m: Option<f64>,
    /// Pillars that hold the plates apart; empty where the scenario gives none.
    pub pillars: Vec<Pillar>,
}

/// A pillar between the plates.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pillar {
    /// Right of the first arbor, seen from the front.
    pub right_m: f64,
    /// Above the first arbor.
    pub up_m: f64,
    /// Diameter.
    pub diameter_m: f64,
}

/// Hub and arms that make one body of both pallets; `None` where the scenario does not say.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct AnchorBody {
    /// Thickness.
    pub thickness_m: Option<f64>,
    /// Bore for the pallet arbor.
    pub bore_m: Option<f64>,
    /// Diameter of the hub.
    pub hub_diameter_m: Option<f64>,
    /// Width of the arms.
    pub arm_width_m: Option<f64>,
}
