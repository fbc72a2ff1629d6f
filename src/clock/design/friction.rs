//! How well a friction is known.

use crate::clock::printing::printer::Spread;

/// A friction coefficient, a friction torque, a lever of rolling friction or a loss factor, with what it may differ by. SI unit of
/// the quantity.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Friction {
    /// Mean.
    pub value: f64,
    /// Two standard deviations, as [`Spread`] states them; 0 for a value that is taken as known.
    pub spread: f64,
    /// Name of the pair of materials or of the bearing in the table that value and spread are those of; all that bears one name
    /// is alike in a clock. `None` for a number of the scenario's own.
    pub named: Option<&'static str>,
}

impl Friction {
    /// A friction that is taken as known.
    #[must_use]
    pub const fn of(value: f64) -> Self {
        Self { value, spread: 0.0, named: None }
    }

    /// So many times the friction, its spread likewise.
    #[must_use]
    pub const fn times(self, factor: f64) -> Self {
        Self { value: self.value * factor, spread: self.spread * factor, named: self.named }
    }
}

impl From<f64> for Friction {
    fn from(value: f64) -> Self {
        Self::of(value)
    }
}

impl From<Spread> for Friction {
    fn from(spread: Spread) -> Self {
        Self { value: spread.value, spread: spread.spread, named: None }
    }
}

impl From<Friction> for Spread {
    fn from(friction: Friction) -> Self {
        Self { value: friction.value, spread: friction.spread, ..Self::default() }
    }
}
