//! Millimetres, or inches with millimetres beside them.

use crate::report::words::numbers::number;
use crate::units::M_PER_INCH;

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
    /// A length with its unit, the millimetres with so many decimals, the inches with one more: they are 25 times as long.
    #[must_use]
    pub fn length(self, length_m: f64, decimals: usize) -> String {
        let mm = format!("{} mm", number(1e3 * length_m, decimals));
        match self {
            Self::Millimetres => mm,
            Self::Inches => format!("{} in ({mm})", number(inches(length_m), decimals + 1)),
        }
    }

    /// A module with its unit; in inches as the diametral pitch, teeth per inch of the pitch diameter. With all its digits: the teeth
    /// multiply what is left out.
    #[must_use]
    pub fn module(self, module_m: f64) -> String {
        let mm = format!("{} mm", plain(1e3 * module_m));
        match self {
            Self::Millimetres => mm,
            Self::Inches => format!("DP {} ({mm})", plain(diametral_pitch(module_m))),
        }
    }
}

/// A number without zeros at its end, to a ten-thousandth.
pub(super) fn plain(value: f64) -> String {
    ((value * 1e4).round() / 1e4).to_string()
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
