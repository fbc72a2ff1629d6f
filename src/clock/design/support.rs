//! What a clock hangs on or stands on, and how its weight hangs from it.

/// Wall, bracket, case or floor under the suspension of the pendulum, moving sideways in the plane of the swing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Support {
    /// Name of the kind whose typical values fill in what is not stated; `None` where the scenario names none.
    pub kind: Option<&'static str>,
    /// Force that moves the suspension's point by a unit of length, N/m.
    pub stiffness_n_per_m: f64,
    /// Factor by which the stiffness may be off either way (two standard deviations of its logarithm); 1 for a stated one.
    pub stiffness_within: f64,
    /// Loss factor: the share of `2 pi` times the stored energy that a cycle takes.
    pub loss_factor: f64,
    /// What moves with the suspension's point, pendulum and weight not counted, kg.
    pub moving_mass_kg: f64,
    /// How the weight hangs.
    pub weight: WeightOnCord,
}

impl Support {
    /// The same with the weight hung so many times as low.
    #[must_use]
    pub const fn with_weight_hung_times(self, factor: f64) -> Self {
        Self { weight: WeightOnCord { hangs_m: self.weight.hangs_m * factor, ..self.weight }, ..self }
    }

    /// The same with another stiffness, taken as known.
    #[must_use]
    pub const fn with_stiffness(self, stiffness_n_per_m: f64) -> Self {
        Self { stiffness_n_per_m, stiffness_within: 1.0, ..self }
    }
}

/// How a driving weight hangs and swings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WeightOnCord {
    /// From the drum to the weight's middle when it is wound up, m.
    pub hangs_m: f64,
    /// Whether the scenario states it.
    pub hangs_is_stated: bool,
    /// Q of the swinging weight by itself.
    pub q: f64,
}
