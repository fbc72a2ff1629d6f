//! Millimetres, or inches with millimetres beside them.

use crate::report::words::numbers::number;
use crate::units::M_PER_INCH;

/// Decimals of a length in inches: to a thousandth.
const INCH_DECIMALS: usize = 3;

/// In what the lengths of the papers are.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum PaperUnits {
    /// Millimetres.
    #[default]
    Millimetres,
    /// Inches, millimetres in brackets.
    Inches,
}

impl PaperUnits {
    /// A length with its unit, the millimetres with so many decimals.
    #[must_use]
    pub fn length(self, length_m: f64, decimals: usize) -> String {
        let mm = format!("{} mm", number(1e3 * length_m, decimals));
        match self {
            Self::Millimetres => mm,
            Self::Inches => format!("{} in ({mm})", number(inches(length_m), INCH_DECIMALS)),
        }
    }

    /// A module with its unit; in inches with the diametral pitch, teeth per inch of the pitch diameter.
    #[must_use]
    pub fn module(self, module_m: f64) -> String {
        match self {
            Self::Millimetres => self.length(module_m, 3),
            Self::Inches => format!(
                "{} in (DP {}; {} mm)",
                number(inches(module_m), INCH_DECIMALS),
                number(diametral_pitch(module_m), 3),
                number(1e3 * module_m, 3)
            ),
        }
    }
}

/// A length in inches.
#[must_use]
pub fn inches(length_m: f64) -> f64 {
    length_m / M_PER_INCH
}

/// Teeth per inch of the pitch diameter of a gear: an inch over its module.
#[must_use]
pub fn diametral_pitch(module_m: f64) -> f64 {
    M_PER_INCH / module_m
}
