//! What the parts are made of and how it lies in them.

/// A quantity along the grain and across it, radially and tangentially to the tree's rings; materials without grain have the
/// same value in all three.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ByGrain {
    /// Along the grain.
    pub along: f64,
    /// Across the grain, from the pith outward.
    pub radial: f64,
    /// Across the grain, along the rings.
    pub tangential: f64,
}

impl ByGrain {
    /// The same in every direction.
    #[must_use]
    pub const fn all(value: f64) -> Self {
        Self { along: value, radial: value, tangential: value }
    }

    /// The value in a direction.
    #[must_use]
    pub const fn towards(&self, grain: Grain) -> f64 {
        match grain {
            Grain::Along => self.along,
            Grain::Radial => self.radial,
            Grain::Tangential => self.tangential,
        }
    }
}

/// A direction in a piece of wood.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Grain {
    /// Along the grain.
    #[default]
    Along,
    /// Across the grain, from the pith outward.
    Radial,
    /// Across the grain, along the rings.
    Tangential,
}

/// How a flat part was cut from the tree: what lies in its plane beside the grain.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Cut {
    /// The rings lie flat: across the grain the part is tangential.
    #[default]
    FlatSawn,
    /// The rings stand upright: across the grain the part is radial.
    QuarterSawn,
}

impl Cut {
    /// The direction across the grain in the plane of the part.
    #[must_use]
    pub const fn across(self) -> Grain {
        match self {
            Self::FlatSawn => Grain::Tangential,
            Self::QuarterSawn => Grain::Radial,
        }
    }
}

/// How a material takes up water from the air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Moisture {
    /// Not at all.
    None,
    /// As wood: strain per unit of moisture content (mass of water over mass of dry wood).
    Wood(ByGrain),
    /// In proportion to the relative humidity: strain from 0 to 1.
    Humid(f64),
}

/// A material by name, or by the scenario's own numbers.
#[derive(Debug, Clone, PartialEq)]
pub struct MaterialRef {
    /// Name as written.
    pub name: String,
    /// The material of the table that it is, or whose numbers it starts from; `None` where all of them are its own.
    pub like: Option<&'static str>,
    /// Density, kg/m^3.
    pub density_kg_m3: f64,
    /// Young's modulus, Pa; `None` where the table has none.
    pub youngs_modulus_pa: Option<f64>,
    /// Stress at which it gives way, where the scenario states its own, Pa.
    pub strength_pa: Option<f64>,
    /// Relative change of Young's modulus per kelvin.
    pub modulus_per_k: f64,
    /// Strain per kelvin; `None` where it is not known: the part then keeps its size.
    pub expansion_per_k: Option<ByGrain>,
    /// How it takes up water.
    pub moisture: Moisture,
}

impl MaterialRef {
    /// A material of which only the density is known: it keeps its size.
    #[must_use]
    pub const fn of_density(name: String, density_kg_m3: f64) -> Self {
        Self {
            name,
            like: None,
            density_kg_m3,
            youngs_modulus_pa: None,
            strength_pa: None,
            modulus_per_k: 0.0,
            expansion_per_k: None,
            moisture: Moisture::None,
        }
    }

    /// The material that neither heat nor damp would move.
    #[must_use]
    pub fn unmoved(&self) -> Self {
        Self { modulus_per_k: 0.0, expansion_per_k: None, moisture: Moisture::None, ..self.clone() }
    }
}

/// What a flat part is made of.
#[derive(Debug, Clone, PartialEq)]
pub struct MadeOf {
    /// Material.
    pub material: MaterialRef,
    /// How it was cut; without meaning where there is no grain.
    pub cut: Cut,
}

/// The frame that holds the arbors apart.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameMaterial {
    /// Material.
    pub material: MaterialRef,
    /// Direction of the arbors' line in it.
    pub grain: Grain,
}

/// What the parts of a clock have come to terms with: their temperature, and the humidity of the air in balance with them.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Conditions {
    /// Temperature of everything but the pendulum's rod, degrees Celsius.
    pub temperature_c: f64,
    /// Temperature of the pendulum's rod and of what swings with it, degrees Celsius.
    pub rod_temperature_c: f64,
    /// Relative humidity with which the parts are in balance, 0 to 1.
    pub relative_humidity: f64,
}
