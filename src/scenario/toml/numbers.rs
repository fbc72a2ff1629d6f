//! The numbers of a table while it is read: quantities with units, plain numbers, counts.

use crate::units::{Kind, number_and_unit, quantity_in_si};

use super::problem_code::ProblemCode;
use super::reader::Reader;
use super::section::Section;
use super::tree::{Node, Value};

/// Values that a number may take, within those that a clock can have ([`Kind::plausible`]) where they do not say themselves how far.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::scenario) enum Allowed {
    /// Above zero.
    Positive,
    /// Zero or above.
    NotNegative,
    /// Any finite number.
    Any,
    /// From the first to the second, both in SI units, with the range in words.
    Between(f64, f64, &'static str),
}

impl Allowed {
    pub(in crate::scenario) fn holds(self, value: f64) -> bool {
        match self {
            Self::Positive => value > 0.0 && value.is_finite(),
            Self::NotNegative => value >= 0.0 && value.is_finite(),
            Self::Any => value.is_finite(),
            Self::Between(low, high, _) => (low..=high).contains(&value),
        }
    }

    /// Whether a clock can have such a value, where the key says how far it may go: whether it is not too small to mean anything.
    fn is_of_a_clock(self, value: f64, kind: Kind) -> bool {
        let within = |end: f64| kind == Kind::Temperature || value.abs() <= end;
        match self {
            Self::Between(..) if !within(kind.plausible().1) => true,
            _ => kind.is_plausible(value),
        }
    }

    pub(in crate::scenario) const fn words(self) -> &'static str {
        match self {
            Self::Positive => "above zero",
            Self::NotNegative => "zero or above",
            Self::Any => "a finite number",
            Self::Between(_, _, words) => words,
        }
    }
}

impl Section<'_, '_> {
    /// The quantity under `key`, which has to be there, in SI units.
    pub(in crate::scenario) fn quantity(&mut self, key: &'static str, kind: Kind, allowed: Allowed) -> Option<f64> {
        match self.optional_quantity(key, kind, allowed)? {
            Some(value) => Some(value),
            None => {
                self.report_missing(key, format!("add {key}, {} like \"{}\"", kind.name(), kind.example()));
                None
            }
        }
    }

    /// The quantity under `key` in SI units, `default` where it is absent.
    pub(in crate::scenario) fn quantity_or(
        &mut self,
        key: &'static str,
        kind: Kind,
        allowed: Allowed,
        default: f64,
    ) -> Option<f64> {
        self.optional_quantity(key, kind, allowed).map(|value| value.unwrap_or(default))
    }

    /// The quantity under `key` in SI units or `Some(None)` where it is absent.
    pub(in crate::scenario) fn optional_quantity(
        &mut self,
        key: &'static str,
        kind: Kind,
        allowed: Allowed,
    ) -> Option<Option<f64>> {
        let Some(entry) = self.entry(key) else { return Some(None) };
        let path = self.path_of(key);
        match &entry.node.value {
            Value::Text(text) => self.quantity_of_text(key, text, kind, allowed).map(Some),
            Value::Integer(_) | Value::Float(_) => {
                let message = format!("`{path}` is a bare number; its unit is missing");
                let repaired = with_unit(&entry.node.value, kind);
                let help = format!("write {} in quotes with its unit, for example \"{repaired}\"", kind.name());
                self.report_at(key, ProblemCode::BareNumber, message, help);
                None
            }
            _ => {
                let help = format!("write {} like \"{}\"", kind.name(), kind.example());
                self.report_type(key, &entry.node, kind.name(), help);
                None
            }
        }
    }

    /// The quantity that `text`, written under `key`, is in SI units.
    pub(in crate::scenario) fn quantity_of_text(
        &self,
        key: &str,
        text: &str,
        kind: Kind,
        allowed: Allowed,
    ) -> Option<f64> {
        let path = self.path_of(key);
        match quantity_in_si(text, kind) {
            Ok(value) if allowed.holds(value) && allowed.is_of_a_clock(value, kind) => {
                return Some(value);
            }
            Ok(value) if allowed.holds(value) => {
                let message = format!("`{path}` cannot be \"{}\" in a clock", text.trim());
                let help = format!("write {} {}", kind.name(), plausible_in_words(kind, allowed, text));
                self.report_at(key, ProblemCode::ImpossibleValue, message, help);
            }
            Ok(_) => {
                let message = format!("`{path}` cannot be \"{}\"", text.trim());
                let help = format!("write {} {}", kind.name(), allowed.words());
                self.report_at(key, ProblemCode::ImpossibleValue, message, help);
            }
            Err(error) => {
                let message = format!("`{path}` needs {}: {error}", kind.name());
                self.report_at(key, ProblemCode::WrongUnit, message, error.help(kind));
            }
        }
        None
    }

    /// The plain number under `key`, which has to be there.
    pub(in crate::scenario) fn number(&mut self, key: &'static str, allowed: Allowed) -> Option<f64> {
        if !self.has(key) {
            self.entry(key);
            self.report_missing(key, format!("add {key}, a plain number {}", allowed.words()));
            return None;
        }
        self.number_or(key, allowed, f64::NAN)
    }

    /// The plain number under `key`, `default` where it is absent.
    pub(in crate::scenario) fn number_or(&mut self, key: &'static str, allowed: Allowed, default: f64) -> Option<f64> {
        let Some(entry) = self.entry(key) else { return Some(default) };
        match plain_number(&entry.node) {
            Some(value) if allowed.holds(value) => Some(value),
            Some(value) => {
                let shown = if value.is_finite() { format!("{value:?}") } else { "infinite or undefined".to_owned() };
                let message = format!("`{}` cannot be {shown}", self.path_of(key));
                self.report_at(
                    key,
                    ProblemCode::ImpossibleValue,
                    message,
                    format!("write a number {}", allowed.words()),
                );
                None
            }
            None => {
                let help = format!("write it without quotes and unit: {key} = 0.2");
                self.report_type(key, &entry.node, "a plain number", help);
                None
            }
        }
    }

    /// The whole number under `key` from `low` to `high`, which has to be there.
    pub(in crate::scenario) fn count(&mut self, key: &'static str, low: u32, high: u32) -> Option<u32> {
        match self.optional_count(key, low, high)? {
            Some(count) => Some(count),
            None => {
                self.report_missing(key, format!("add {key}, a whole number from {low} to {high}"));
                None
            }
        }
    }

    /// The whole number under `key` from `low` to `high` or `Some(None)` where it is absent.
    pub(in crate::scenario) fn optional_count(
        &mut self,
        key: &'static str,
        low: u32,
        high: u32,
    ) -> Option<Option<u32>> {
        let Some(entry) = self.entry(key) else { return Some(None) };
        let path = self.path_of(key);
        whole_number(self.reader, &entry.node, &path, low, high).map(Some)
    }
}

/// What a clock can have of a kind, in the unit of `text`.
fn plausible_in_words(kind: Kind, allowed: Allowed, text: &str) -> String {
    let (least, largest) = kind.plausible();
    let unit = number_and_unit(text).map_or("", |(_, unit)| unit);
    let per_unit = quantity_in_si(&format!("1 {unit}"), kind).ok().filter(|factor| *factor > 0.0);
    let (unit, per_unit) = match per_unit {
        Some(factor) if kind != Kind::Temperature => (unit, factor),
        _ if kind == Kind::Temperature => ("degC", 1.0),
        _ => (kind.example_unit(), quantity_in_si(&format!("1 {}", kind.example_unit()), kind).unwrap_or(1.0)),
    };
    let zero = if allowed.holds(0.0) && kind != Kind::Temperature { "0 or " } else { "" };
    let size = if allowed.holds(-1.0) && kind != Kind::Temperature { "of a size " } else { "" };
    format!("{size}{zero}from {} {unit} to {} {unit}", rounded(least / per_unit), rounded(largest / per_unit))
}

/// To three digits, with a power of ten where the number is far from 1.
fn rounded(value: f64) -> String {
    let rounded: f64 = format!("{value:.2e}").parse().unwrap_or(value);
    if rounded == 0.0 || (1e-3..1e6).contains(&rounded.abs()) { format!("{rounded}") } else { format!("{rounded:e}") }
}

/// A bare number as it might have been meant, with a unit; the kind's example where the number is of no use.
fn with_unit(value: &Value, kind: Kind) -> String {
    let unit = kind.example_unit();
    match *value {
        Value::Integer(Some(number)) => format!("{number} {unit}"),
        Value::Float(share) if kind == Kind::Fraction && (0.0..=1.0).contains(&share) => {
            format!("{:?} {unit}", share * 100.0)
        }
        Value::Float(number) if number.is_finite() => format!("{number:?} {unit}"),
        _ => kind.example().to_owned(),
    }
}

/// The number of a node that is one; a whole number beyond 64 bits counts as infinite.
pub(in crate::scenario) fn plain_number(node: &Node) -> Option<f64> {
    match node.value {
        #[allow(clippy::cast_precision_loss)]
        Value::Integer(Some(number)) => Some(number as f64),
        Value::Integer(None) => Some(f64::INFINITY),
        Value::Float(number) => Some(number),
        _ => None,
    }
}

/// The whole number of a node called `path`, from `low` to `high`.
pub(in crate::scenario) fn whole_number(reader: &Reader, node: &Node, path: &str, low: u32, high: u32) -> Option<u32> {
    let help = format!("write a whole number from {low} to {high}");
    match node.value {
        Value::Integer(number) => {
            let fits =
                number.and_then(|number| u32::try_from(number).ok()).filter(|count| (low..=high).contains(count));
            if fits.is_none() {
                let shown = number.map_or_else(|| "that large".to_owned(), |number| number.to_string());
                reader.report(ProblemCode::ImpossibleValue, format!("`{path}` cannot be {shown}"), help, node.span);
            }
            fits
        }
        Value::Float(_) => {
            let message = format!("`{path}` is a number with a decimal point or exponent, not a whole number");
            reader.report(ProblemCode::WrongType, message, help, node.span);
            None
        }
        _ => {
            let message = format!("`{path}` is {}, not a whole number", node.value.type_name());
            reader.report(ProblemCode::WrongType, message, format!("{help}, without quotes"), node.span);
            None
        }
    }
}
