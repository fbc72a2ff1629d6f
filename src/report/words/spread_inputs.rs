//! What the inputs of a spread are called, and the units they are shown in.

use crate::study::spread::frictions::FrictionInput;
use crate::study::spread::inputs::{Input, PrinterQuantity, Varied, VaryingPart};
use crate::study::spread::statistics::SpreadAnswer;
use crate::units::Kind;

use super::quantities::quantity_in_words;

/// Path of the stiffness of what carries the clock.
const SUPPORT_STIFFNESS: &str = "support.stiffness";

/// How an input is shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct InputUnit {
    /// Unit as printed.
    pub unit: &'static str,
    /// Unit as it stands in a column's name.
    pub suffix: &'static str,
    per_si: f64,
}

impl InputUnit {
    const MILLIMETRES: Self = Self { unit: "mm", suffix: "mm", per_si: 1e3 };

    /// Of an input: percent for a shrinkage, micronewton metres for a friction torque, nothing for a plain number and for
    /// the draw of a train, else millimetres.
    #[must_use]
    pub const fn of(input: &Input) -> Self {
        match &input.varied {
            Varied::Print(quantity, _) => Self::of_printer(*quantity),
            Varied::Train(_) => Self { unit: "", suffix: "draw", per_si: 1.0 },
            Varied::Friction(friction) => Self::of_friction(friction),
            Varied::Support(_) => Self { unit: "kN/m", suffix: "kn_per_m", per_si: 1e-3 },
        }
    }

    /// Of a quantity of the printer or the assembly.
    #[must_use]
    pub const fn of_printer(quantity: PrinterQuantity) -> Self {
        match quantity {
            PrinterQuantity::Shrinkage => Self { unit: "%", suffix: "percent", per_si: 1e2 },
            _ => Self::MILLIMETRES,
        }
    }

    /// Of a friction.
    #[must_use]
    pub const fn of_friction(friction: &FrictionInput) -> Self {
        match friction.kind {
            Some(Kind::Torque) => Self { unit: "uN m", suffix: "un_m", per_si: 1e6 },
            Some(Kind::DampingLinear) => Self { unit: "uN m s", suffix: "un_m_s", per_si: 1e6 },
            Some(Kind::DampingQuadratic) => Self { unit: "uN m s^2", suffix: "un_m_s2", per_si: 1e6 },
            Some(Kind::Angle) => Self { unit: "deg", suffix: "deg", per_si: 180.0 / std::f64::consts::PI },
            Some(_) => Self::MILLIMETRES,
            None => Self { unit: "", suffix: "", per_si: 1.0 },
        }
    }

    /// So many of it are one in SI.
    #[must_use]
    pub const fn per_si(self) -> f64 {
        self.per_si
    }

    /// An SI value in this unit.
    #[must_use]
    pub fn shown(self, si: f64) -> f64 {
        si * self.per_si
    }
}

/// The input in a maker's words.
#[must_use]
pub fn input_name(input: &Input) -> String {
    let (quantity, part) = match &input.varied {
        Varied::Print(quantity, part) => (*quantity, *part),
        Varied::Train(PrinterQuantity::CentreDistanceError) => return "centre distances of the train".to_owned(),
        Varied::Train(PrinterQuantity::RunOut) => return "run-out of the train's gears".to_owned(),
        Varied::Train(quantity) => return format!("{}, train's gears", quantity_name(*quantity)),
        Varied::Friction(friction) => return friction_name(friction),
        Varied::Support(_) => return quantity_in_words(SUPPORT_STIFFNESS),
    };
    let quantity_name = quantity_name(quantity);
    match (part, quantity) {
        (VaryingPart::Both, _) => quantity_name.to_owned(),
        (VaryingPart::Wheel, PrinterQuantity::PivotPlay) => "play of the wheel's arbor".to_owned(),
        (VaryingPart::Pallets, PrinterQuantity::PivotPlay) => "play of the pallet arbor".to_owned(),
        (VaryingPart::Wheel, _) => format!("{quantity_name}, wheel"),
        (VaryingPart::Pallets, _) => format!("{quantity_name}, pallets"),
    }
}

const fn quantity_name(quantity: PrinterQuantity) -> &'static str {
    match quantity {
        PrinterQuantity::Shrinkage => "shrinkage",
        PrinterQuantity::Growth => "growth",
        PrinterQuantity::BeadRadius => "bead radius",
        PrinterQuantity::ElephantFoot => "elephant's foot",
        PrinterQuantity::CentreDistanceError => "centre distance",
        PrinterQuantity::RunOut => "run-out of the wheel",
        PrinterQuantity::PivotPlay => "play of the arbors",
    }
}

/// The input as a key, with its unit.
#[must_use]
pub fn input_key(input: &Input) -> String {
    let (quantity, part) = match &input.varied {
        Varied::Print(quantity, part) => (quantity, part),
        Varied::Train(quantity) => return format!("train_{}_{}", quantity.key(), InputUnit::of(input).suffix),
        Varied::Friction(friction) => return friction_key(friction),
        Varied::Support(_) => return format!("support_stiffness_{}", InputUnit::of(input).suffix),
    };
    let part = match part {
        VaryingPart::Both => "",
        VaryingPart::Wheel => "wheel_",
        VaryingPart::Pallets => "pallets_",
    };
    format!("{part}{}_{}", quantity.key(), InputUnit::of(input).suffix)
}

/// Paths in the scenario of what the input sets.
#[must_use]
pub fn input_paths(input: &Input) -> Vec<String> {
    match &input.varied {
        Varied::Print(quantity, _) | Varied::Train(quantity) => vec![format!("printer.{}", quantity.key())],
        Varied::Friction(friction) => friction.paths.clone(),
        Varied::Support(_) => vec![SUPPORT_STIFFNESS.to_owned()],
    }
}

/// Frictions in a maker's words: the pair's or bearing's name, or the quantity's own.
fn friction_name(friction: &FrictionInput) -> String {
    match (friction.named, friction.in_oiled_drags) {
        (Some(name), true) => format!("drag, {name}"),
        (Some(name), false) => format!("friction, {name}"),
        (None, _) => friction.paths.first().map_or_else(String::new, |path| quantity_in_words(path)),
    }
}

/// Frictions as a key, with their unit; the drag of named bearings in drags of oiled ones.
#[must_use]
pub fn friction_key(friction: &FrictionInput) -> String {
    let text = match (friction.named, friction.in_oiled_drags) {
        (Some(name), true) => format!("drag {name}, over oiled"),
        (Some(name), false) => format!("friction {name}"),
        (None, _) => {
            let path = friction.paths.first().map_or("", String::as_str);
            format!("{path} {}", InputUnit::of_friction(friction).suffix)
        }
    };
    let words: Vec<String> = text
        .split(|letter: char| !letter.is_alphanumeric())
        .filter(|word| !word.is_empty())
        .map(str::to_lowercase)
        .collect();
    words.join("_")
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
