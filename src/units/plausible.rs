//! How large a quantity of a clock can be.
//!
//! From a wrist-watch's parts to a tower clock's with room on both sides (common practice, no source): a 4 s pendulum is 16 m long and
//! its bob of 500 kg gives an inertia of 1.3e5 kg m^2. What is beyond is a slip of the pen, and a motion that no answer comes out of.

use super::Kind;

impl Kind {
    /// Least and largest amount of a quantity of a clock that is not zero, sign left out, in SI units (turns in turns); a temperature as it
    /// stands, in degrees Celsius.
    #[must_use]
    pub const fn plausible(self) -> (f64, f64) {
        match self {
            Self::Length => (1e-12, 100.0),
            Self::Mass => (1e-9, 5e3),
            Self::Angle => (1e-9, 100.0),
            Self::Turns => (1e-3, 1e5),
            Self::Time => (1e-6, 1e10),
            Self::Torque => (1e-12, 1e5),
            Self::Force => (1e-6, 1e7),
            Self::Inertia => (1e-15, 1e6),
            Self::Stiffness => (1e-12, 1e6),
            Self::DampingLinear => (1e-15, 1e3),
            Self::DampingQuadratic => (1e-15, 1e4),
            Self::Energy => (1e-15, 1e4),
            Self::Power => (1e-15, 1e4),
            Self::AngularSpeed => (1e-9, 1e2),
            Self::Speed => (1e-9, 1e3),
            Self::Acceleration => (1e-3, 30.0),
            Self::Density => (1.0, 3e4),
            Self::Pressure => (1.0, 1e13),
            Self::Temperature => (-100.0, 300.0),
            Self::TemperatureDifference => (1e-6, 300.0),
            Self::Fraction => (1e-12, 10.0),
            Self::PerKelvin => (1e-12, 0.1),
            Self::Frequency => (1e-6, 1e10),
            Self::RelativeDrift => (1e-18, 1e-3),
            Self::PerKelvinSquared => (1e-15, 0.1),
            Self::ForcePerLength => (1.0, 1e15),
            Self::MassPerLength => (1e-7, 100.0),
            Self::Current => (1e-12, 1e3),
            Self::Charge => (1e-3, 1e8),
            Self::Voltage => (1e-6, 1e4),
            Self::Resistance => (1e-6, 1e12),
        }
    }

    /// Whether a clock can have so much of it: none, or an amount within [`Self::plausible`].
    #[must_use]
    pub fn is_plausible(self, value: f64) -> bool {
        let (least, largest) = self.plausible();
        let amount = if self == Self::Temperature { value } else { value.abs() };
        value == 0.0 || (least..=largest).contains(&amount)
    }
}
