//! What the inputs of a spread are called, and the units they are shown in.

use crate::study::spread::inputs::{Input, PrinterQuantity, VaryingPart};
use crate::study::spread::statistics::SpreadAnswer;

/// How an input is shown.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct InputUnit {
    /// Unit as printed.
    pub unit: &'static str,
    /// Unit as it stands in a column's name.
    pub suffix: &'static str,
    per_si: i32,
}

impl InputUnit {
    /// Of an input: percent for a shrinkage, else millimetres.
    #[must_use]
    pub const fn of(input: &Input) -> Self {
        match input.quantity {
            PrinterQuantity::Shrinkage => Self { unit: "%", suffix: "percent", per_si: 100 },
            _ => Self { unit: "mm", suffix: "mm", per_si: 1000 },
        }
    }

    /// An SI value in this unit.
    #[must_use]
    pub fn shown(self, si: f64) -> f64 {
        si * f64::from(self.per_si)
    }
}

/// The input in a maker's words.
#[must_use]
pub fn input_name(input: &Input) -> String {
    let quantity = match input.quantity {
        PrinterQuantity::Shrinkage => "shrinkage",
        PrinterQuantity::Growth => "growth",
        PrinterQuantity::BeadRadius => "bead radius",
        PrinterQuantity::ElephantFoot => "elephant's foot",
        PrinterQuantity::CentreDistanceError => "centre distance",
        PrinterQuantity::RunOut => "run-out of the wheel",
        PrinterQuantity::PivotPlay => "play of the arbors",
    };
    match (input.part, input.quantity) {
        (VaryingPart::Both, _) => quantity.to_owned(),
        (VaryingPart::Wheel, PrinterQuantity::PivotPlay) => "play of the wheel's arbor".to_owned(),
        (VaryingPart::Pallets, PrinterQuantity::PivotPlay) => "play of the pallet arbor".to_owned(),
        (VaryingPart::Wheel, _) => format!("{quantity}, wheel"),
        (VaryingPart::Pallets, _) => format!("{quantity}, pallets"),
    }
}

/// The input as a key, with its unit.
#[must_use]
pub fn input_key(input: &Input) -> String {
    let part = match input.part {
        VaryingPart::Both => "",
        VaryingPart::Wheel => "wheel_",
        VaryingPart::Pallets => "pallets_",
    };
    format!("{part}{}_{}", input.quantity.key(), InputUnit::of(input).suffix)
}

/// The answer in a maker's words.
#[must_use]
pub const fn answer_name(answer: SpreadAnswer, by_weight: bool) -> &'static str {
    match (answer, by_weight) {
        (SpreadAnswer::LeastDrive, true) => "least weight",
        (SpreadAnswer::LeastDrive, false) => "least torque",
        (SpreadAnswer::Rate, _) => "rate",
        (SpreadAnswer::SemiArc, _) => "semi-arc",
    }
}

/// The answer as a key.
#[must_use]
pub const fn answer_key(answer: SpreadAnswer, by_weight: bool) -> &'static str {
    match (answer, by_weight) {
        (SpreadAnswer::LeastDrive, true) => "least_weight_kg",
        (SpreadAnswer::LeastDrive, false) => "least_escape_torque_n_m",
        (SpreadAnswer::Rate, _) => "rate_s_per_day",
        (SpreadAnswer::SemiArc, _) => "semi_arc_deg",
    }
}
