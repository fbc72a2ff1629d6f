//! Dimension of a unit as powers of six base quantities.

/// Powers of metre, kilogram, second, kelvin, radian and ampere.
///
/// The radian is kept as a power of its own so that an angle is told from a plain number; each [`crate::units::Kind`]
/// says which powers of it are accepted, because a stiffness is written "N m/rad" as well as "N m".
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Dimension {
    /// Power of the metre.
    pub metre: i8,
    /// Power of the kilogram.
    pub kilogram: i8,
    /// Power of the second.
    pub second: i8,
    /// Power of the kelvin.
    pub kelvin: i8,
    /// Power of the radian.
    pub radian: i8,
    /// Power of the ampere.
    pub ampere: i8,
}

impl Dimension {
    /// The dimension with these powers of metre, kilogram, second, kelvin and radian.
    #[must_use]
    pub const fn new(metre: i8, kilogram: i8, second: i8, kelvin: i8, radian: i8) -> Self {
        Self { metre, kilogram, second, kelvin, radian, ampere: 0 }
    }

    /// The same dimension with this power of the ampere.
    #[must_use]
    pub const fn with_ampere(self, ampere: i8) -> Self {
        Self { ampere, ..self }
    }

    /// The dimension of a product with `other` raised to `exponent`; `None` where a power leaves the range of `i8`.
    #[must_use]
    pub fn times(self, other: Self, exponent: i8) -> Option<Self> {
        let sum = |one: i8, two: i8| two.checked_mul(exponent).and_then(|raised| one.checked_add(raised));
        Some(Self {
            metre: sum(self.metre, other.metre)?,
            kilogram: sum(self.kilogram, other.kilogram)?,
            second: sum(self.second, other.second)?,
            kelvin: sum(self.kelvin, other.kelvin)?,
            radian: sum(self.radian, other.radian)?,
            ampere: sum(self.ampere, other.ampere)?,
        })
    }

    /// The same dimension without its radians.
    #[must_use]
    pub const fn without_radian(self) -> Self {
        Self { radian: 0, ..self }
    }
}
