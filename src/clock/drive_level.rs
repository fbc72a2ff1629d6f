//! How strongly a clock is driven: by so much weight, or by so much torque.

/// What drives a clock, as one number with its unit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DriveLevel {
    /// Driving weight, kg.
    Weight(f64),
    /// Torque at the escape wheel, or of an ideal escapement, N m.
    Torque(f64),
}

impl DriveLevel {
    /// The number, kg or N m.
    #[must_use]
    pub const fn value(self) -> f64 {
        match self {
            Self::Weight(value) | Self::Torque(value) => value,
        }
    }

    /// The weight, kg; `None` of a torque.
    #[must_use]
    pub const fn kg(self) -> Option<f64> {
        match self {
            Self::Weight(kg) => Some(kg),
            Self::Torque(_) => None,
        }
    }

    /// The torque, N m; `None` of a weight.
    #[must_use]
    pub const fn torque_n_m(self) -> Option<f64> {
        match self {
            Self::Weight(_) => None,
            Self::Torque(torque_n_m) => Some(torque_n_m),
        }
    }

    /// Whether it is a weight.
    #[must_use]
    pub const fn is_weight(self) -> bool {
        matches!(self, Self::Weight(_))
    }
}
