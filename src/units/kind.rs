//! Kinds of quantity that a scenario holds.

use super::Dimension;

/// What a quantity measures; decides which units fit and how a help line words it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Kind {
    /// Length, m.
    Length,
    /// Mass, kg.
    Mass,
    /// Plane angle, rad.
    Angle,
    /// Number of turns; the value is in turns, not radians.
    Turns,
    /// Time, s.
    Time,
    /// Torque, N m.
    Torque,
    /// Force, N.
    Force,
    /// Moment of inertia, kg m^2.
    Inertia,
    /// Torque per angle, N m/rad.
    Stiffness,
    /// Torque per angular speed, N m s.
    DampingLinear,
    /// Torque per square of the angular speed, N m s^2.
    DampingQuadratic,
    /// Energy, J.
    Energy,
    /// Power, W.
    Power,
    /// Angular speed, rad/s.
    AngularSpeed,
    /// Speed, m/s.
    Speed,
    /// Acceleration, m/s^2.
    Acceleration,
    /// Density, kg/m^3.
    Density,
    /// Pressure or Young's modulus, Pa.
    Pressure,
    /// Temperature; the value is in degrees Celsius.
    Temperature,
    /// Difference of two temperatures, K.
    TemperatureDifference,
    /// Share of a whole, 1.
    Fraction,
    /// Relative change per kelvin, 1/K.
    PerKelvin,
    /// Frequency, Hz.
    Frequency,
    /// Relative change per time, 1/s.
    RelativeDrift,
    /// Relative change per square of a temperature difference, 1/K^2.
    PerKelvinSquared,
    /// Force per length, N/m.
    ForcePerLength,
    /// Mass per length, kg/m.
    MassPerLength,
    /// Electric current, A.
    Current,
    /// Electric charge, A s.
    Charge,
    /// Voltage, V.
    Voltage,
    /// Electric resistance, ohm.
    Resistance,
}

impl Kind {
    /// Every kind. Where two share a dimension the first is the one that a message names.
    pub const ALL: [Self; 31] = [
        Self::Length,
        Self::Mass,
        Self::Angle,
        Self::Time,
        Self::Torque,
        Self::Force,
        Self::Inertia,
        Self::DampingLinear,
        Self::Energy,
        Self::Power,
        Self::AngularSpeed,
        Self::Speed,
        Self::Acceleration,
        Self::Density,
        Self::Pressure,
        Self::Temperature,
        Self::Fraction,
        Self::Turns,
        Self::Stiffness,
        Self::DampingQuadratic,
        Self::PerKelvin,
        Self::TemperatureDifference,
        Self::Frequency,
        Self::RelativeDrift,
        Self::PerKelvinSquared,
        Self::ForcePerLength,
        Self::MassPerLength,
        Self::Current,
        Self::Charge,
        Self::Voltage,
        Self::Resistance,
    ];

    /// The kind in words with its article, for "this needs ...".
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::Length => "a length",
            Self::Mass => "a mass",
            Self::Angle => "an angle",
            Self::Turns => "a number of turns",
            Self::Time => "a time",
            Self::Torque => "a torque",
            Self::Force => "a force",
            Self::Inertia => "a moment of inertia",
            Self::Stiffness => "a torque per angle",
            Self::DampingLinear => "a torque per angular speed",
            Self::DampingQuadratic => "a torque per square of the angular speed",
            Self::Energy => "an energy",
            Self::Power => "a power",
            Self::AngularSpeed => "an angular speed",
            Self::Speed => "a speed",
            Self::Acceleration => "an acceleration",
            Self::Density => "a density",
            Self::Pressure => "a pressure",
            Self::Temperature => "a temperature",
            Self::TemperatureDifference => "a temperature difference",
            Self::Fraction => "a percentage",
            Self::PerKelvin => "a change per kelvin",
            Self::Frequency => "a frequency",
            Self::RelativeDrift => "a relative change per time",
            Self::PerKelvinSquared => "a relative change per square of a temperature difference",
            Self::ForcePerLength => "a force per length",
            Self::MassPerLength => "a mass per length",
            Self::Current => "a current",
            Self::Charge => "a charge",
            Self::Voltage => "a voltage",
            Self::Resistance => "a resistance",
        }
    }

    /// A quantity of this kind as one writes it.
    #[must_use]
    pub const fn example(self) -> &'static str {
        match self {
            Self::Length => "40 mm",
            Self::Mass => "2.4 kg",
            Self::Angle => "0.8 deg",
            Self::Turns => "16 turns",
            Self::Time => "12 h",
            Self::Torque => "1 mN m",
            Self::Force => "10 N",
            Self::Inertia => "2e-6 kg m^2",
            Self::Stiffness => "0.05 N m/rad",
            Self::DampingLinear => "1e-4 N m s",
            Self::DampingQuadratic => "1e-4 N m s^2",
            Self::Energy => "1 mJ",
            Self::Power => "1 mW",
            Self::AngularSpeed => "1 mrad/s",
            Self::Speed => "0.1 m/s",
            Self::Acceleration => "9.81 m/s^2",
            Self::Density => "1240 kg/m^3",
            Self::Pressure => "1013 hPa",
            Self::Temperature => "20 degC",
            Self::TemperatureDifference => "4 K",
            Self::Fraction => "50 %",
            Self::PerKelvin => "12 ppm/K",
            Self::Frequency => "32768 Hz",
            Self::RelativeDrift => "3 ppm/year",
            Self::PerKelvinSquared => "-0.034 ppm/K^2",
            Self::ForcePerLength => "100 kN/m",
            Self::MassPerLength => "1.6 g/m",
            Self::Current => "4 mA",
            Self::Charge => "2000 mA h",
            Self::Voltage => "1.5 V",
            Self::Resistance => "200 ohm",
        }
    }

    /// The unit of [`Self::example`].
    #[must_use]
    pub fn example_unit(self) -> &'static str {
        self.example().split_once(' ').map_or("", |(_, unit)| unit)
    }

    /// Dimension of the kind's SI unit.
    #[must_use]
    pub const fn dimension(self) -> Dimension {
        match self {
            Self::Length => Dimension::new(1, 0, 0, 0, 0),
            Self::Mass => Dimension::new(0, 1, 0, 0, 0),
            Self::Angle | Self::Turns => Dimension::new(0, 0, 0, 0, 1),
            Self::Time => Dimension::new(0, 0, 1, 0, 0),
            Self::Torque | Self::Energy => Dimension::new(2, 1, -2, 0, 0),
            Self::Stiffness => Dimension::new(2, 1, -2, 0, -1),
            Self::Force => Dimension::new(1, 1, -2, 0, 0),
            Self::Inertia => Dimension::new(2, 1, 0, 0, 0),
            Self::DampingLinear => Dimension::new(2, 1, -1, 0, -1),
            Self::DampingQuadratic => Dimension::new(2, 1, 0, 0, -2),
            Self::Power => Dimension::new(2, 1, -3, 0, 0),
            Self::AngularSpeed => Dimension::new(0, 0, -1, 0, 1),
            Self::Speed => Dimension::new(1, 0, -1, 0, 0),
            Self::Acceleration => Dimension::new(1, 0, -2, 0, 0),
            Self::Density => Dimension::new(-3, 1, 0, 0, 0),
            Self::Pressure => Dimension::new(-1, 1, -2, 0, 0),
            Self::Temperature | Self::TemperatureDifference => Dimension::new(0, 0, 0, 1, 0),
            Self::Fraction => Dimension::new(0, 0, 0, 0, 0),
            Self::PerKelvin => Dimension::new(0, 0, 0, -1, 0),
            Self::Frequency | Self::RelativeDrift => Dimension::new(0, 0, -1, 0, 0),
            Self::PerKelvinSquared => Dimension::new(0, 0, 0, -2, 0),
            Self::ForcePerLength => Dimension::new(0, 1, -2, 0, 0),
            Self::MassPerLength => Dimension::new(-1, 1, 0, 0, 0),
            Self::Current => Dimension::new(0, 0, 0, 0, 0).with_ampere(1),
            Self::Charge => Dimension::new(0, 0, 1, 0, 0).with_ampere(1),
            Self::Voltage => Dimension::new(2, 1, -3, 0, 0).with_ampere(-1),
            Self::Resistance => Dimension::new(2, 1, -3, 0, 0).with_ampere(-2),
        }
    }

    /// Whether a unit of dimension `found` fits: equal to the kind's own, the radian of a torque coefficient optional.
    #[must_use]
    pub fn accepts(self, found: Dimension) -> bool {
        let own = self.dimension();
        let radian_is_optional = matches!(self, Self::Stiffness | Self::DampingLinear | Self::DampingQuadratic);
        found == own || (radian_is_optional && found == own.without_radian())
    }

    /// The first kind that a unit fits; `None` if there is no such unit or no kind has it.
    #[must_use]
    pub fn of_unit(unit: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|&kind| super::quantity_in_si(&format!("1 {unit}"), kind).is_ok())
    }

    /// Name of the first kind that fits a dimension, `None` where none does.
    #[must_use]
    pub fn name_of(dimension: Dimension) -> Option<&'static str> {
        if dimension == Self::Torque.dimension() {
            return Some("a torque or an energy");
        }
        Self::ALL.into_iter().find(|kind| kind.accepts(dimension)).map(Self::name)
    }
}
