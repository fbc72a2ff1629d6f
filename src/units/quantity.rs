//! Reads a quantity: a number and a unit.

use super::Kind;
use super::symbol::{is_celsius, is_fahrenheit, nearest_symbol};
use super::unit_text::unit_of_text;

/// Zero of the Celsius scale, K (exact by definition).
const CELSIUS_ZERO_K: f64 = 273.15;

/// 0 degrees Celsius in degrees Fahrenheit (exact by definition).
const FAHRENHEIT_ICE_POINT: f64 = 32.0;

/// Why a text is not a quantity of the kind asked for.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum QuantityError {
    /// The text does not begin with a number.
    #[error("\"{text}\" does not begin with a number")]
    NoNumber {
        /// The text.
        text: String,
    },
    /// A decimal comma.
    #[error("\"{text}\" has a decimal comma")]
    DecimalComma {
        /// The text.
        text: String,
    },
    /// A number without unit.
    #[error("{number} is a bare number; its unit is missing")]
    NoUnit {
        /// The number as written.
        number: String,
    },
    /// A unit that is not known.
    #[error("there is no unit \"{symbol}\"")]
    UnknownUnit {
        /// The symbol as written.
        symbol: String,
    },
    /// A unit expression that cannot be read.
    #[error("\"{unit}\" is not a unit")]
    MalformedUnit {
        /// The expression as written.
        unit: String,
    },
    /// A unit of another kind.
    #[error("\"{text}\" is {}, not {}", .found.unwrap_or("something else"), .wanted.name())]
    WrongKind {
        /// The text.
        text: String,
        /// What it is.
        found: Option<&'static str>,
        /// What it should be.
        wanted: Kind,
    },
    /// Not a finite number in SI units.
    #[error("\"{text}\" is too large to compute with")]
    NotFinite {
        /// The text.
        text: String,
    },
}

impl QuantityError {
    /// What to write instead, as a sentence that begins with a verb.
    #[must_use]
    pub fn help(&self, wanted: Kind) -> String {
        let example = wanted.example();
        match self {
            Self::NoUnit { number } => {
                format!("write the unit in the text, for example \"{number} {}\"", wanted.example_unit())
            }
            Self::DecimalComma { text } => format!("write a decimal point: \"{}\"", text.replacen(',', ".", 1)),
            Self::UnknownUnit { symbol } => match nearest_symbol(symbol) {
                Some(near) => format!("write \"{near}\" for the unit; {} reads like \"{example}\"", wanted.name()),
                None => format!("write {} like \"{example}\"", wanted.name()),
            },
            Self::NoNumber { .. } | Self::MalformedUnit { .. } | Self::WrongKind { .. } | Self::NotFinite { .. } => {
                format!("write {} like \"{example}\"", wanted.name())
            }
        }
    }
}

/// The value of `text` in SI units (turns in turns, temperature in degrees Celsius), finite.
///
/// `text` is a decimal number, optional spaces, and a unit expression: "40 mm", "994mm", "9.80665 m/s^2".
///
/// # Errors
/// [`QuantityError`] for a missing number, a missing, unknown or unfit unit, and a value that is not finite.
pub fn quantity_in_si(text: &str, kind: Kind) -> Result<f64, QuantityError> {
    let trimmed = text.trim();
    let (number_text, unit_text) = split_number(trimmed);
    let Ok(number) = number_text.parse::<f64>() else {
        return Err(QuantityError::NoNumber { text: shortened(trimmed) });
    };
    let unit_text = unit_text.trim();
    if unit_text.is_empty() {
        return Err(QuantityError::NoUnit { number: shortened(number_text) });
    }
    if unit_text.starts_with(',') {
        return Err(QuantityError::DecimalComma { text: shortened(trimmed) });
    }
    let wrong_kind = |found| QuantityError::WrongKind { text: shortened(trimmed), found, wanted: kind };
    let value = if is_celsius(unit_text) || is_fahrenheit(unit_text) {
        if kind != Kind::Temperature {
            return Err(wrong_kind(Some(Kind::Temperature.name())));
        }
        if is_celsius(unit_text) { number } else { (number - FAHRENHEIT_ICE_POINT) * 5.0 / 9.0 }
    } else {
        let unit = unit_of_text(unit_text).map_err(|error| match error {
            QuantityError::UnknownUnit { symbol } => QuantityError::UnknownUnit { symbol: shortened(&symbol) },
            QuantityError::MalformedUnit { unit } => QuantityError::MalformedUnit { unit: shortened(&unit) },
            other => other,
        })?;
        if !kind.accepts(unit.dimension) {
            return Err(wrong_kind(Kind::name_of(unit.dimension)));
        }
        match kind {
            Kind::Temperature => number * unit.factor - CELSIUS_ZERO_K,
            Kind::Turns => number * unit.factor / std::f64::consts::TAU,
            _ => scaled(number, unit.factor),
        }
    };
    if value.is_finite() { Ok(value) } else { Err(QuantityError::NotFinite { text: shortened(trimmed) }) }
}

/// The number that a text begins with and the unit after it, which may be missing and is not looked up; `None` if it begins
/// with no finite number.
#[must_use]
pub fn number_and_unit(text: &str) -> Option<(f64, &str)> {
    let (number, unit) = split_number(text.trim());
    number.parse::<f64>().ok().filter(|number| number.is_finite()).map(|number| (number, unit.trim()))
}

/// `number * factor`, divided by the inverse where that is the rounder number: 40 mm is 40 / 1000 = 0.04 exactly rounded,
/// while 40 * 0.001 is one bit off.
fn scaled(number: f64, factor: f64) -> f64 {
    let inverse = (1.0 / factor).round();
    if factor < 1.0 && (inverse * factor - 1.0).abs() < 4.0 * f64::EPSILON { number / inverse } else { number * factor }
}

/// The longest leading text that reads as a decimal number, and the rest. An `e` counts only with digits after it, so
/// that a unit may follow a number directly.
fn split_number(text: &str) -> (&str, &str) {
    let bytes = text.as_bytes();
    let digits_from = |start: usize| bytes[start..].iter().take_while(|byte| byte.is_ascii_digit()).count();
    let is_sign = |at: usize| matches!(bytes.get(at), Some(b'+' | b'-'));
    let mut end = usize::from(is_sign(0));
    end += digits_from(end);
    if bytes.get(end) == Some(&b'.') {
        end += 1;
        end += digits_from(end);
    }
    if matches!(bytes.get(end), Some(b'e' | b'E')) {
        let exponent = end + 1 + usize::from(is_sign(end + 1));
        let digits = if exponent <= bytes.len() { digits_from(exponent) } else { 0 };
        if digits > 0 {
            end = exponent + digits;
        }
    }
    text.split_at(end)
}

/// Signs between a value and its spread.
const PLUS_MINUS: [&str; 2] = ["+/-", "\u{b1}"];

/// Value and spread of a text that states both, "2.8 kg +/- 0.1 kg"; `None` of one without a spread.
#[must_use]
pub fn value_and_spread(text: &str) -> Option<(&str, &str)> {
    PLUS_MINUS.iter().find_map(|sign| text.split_once(sign))
}

/// At most forty characters of a text, for a message.
fn shortened(text: &str) -> String {
    const LONGEST: usize = 40;
    if text.chars().count() <= LONGEST {
        return text.to_owned();
    }
    let mut short: String = text.chars().take(LONGEST).collect();
    short.push('…');
    short
}
