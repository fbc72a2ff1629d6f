//! Quantities as typed for a design that is not written yet: lengths, modules and pitches, ranges.

use crate::units::{Kind, exact_number, quantity_in_si};

use super::failure::Failure;

/// Metres in an inch.
fn inch_m() -> f64 {
    quantity_in_si("1 in", Kind::Length).unwrap_or(f64::NAN)
}

/// A quantity above 0 in SI units, within what a clock can have.
pub(super) fn positive(flag: &str, text: &str, kind: Kind) -> Result<f64, Failure> {
    match quantity_in_si(text, kind) {
        Ok(value) if value > 0.0 && kind.is_plausible(value) => Ok(value),
        Ok(_) => Err(Failure::arguments(format!(
            "{flag} {text}: give {} above 0 that a clock can have, like {}",
            kind.name(),
            kind.example()
        ))),
        Err(error) => Err(Failure::arguments(format!("{flag} {text}: {error}; {}", error.help(kind)))),
    }
}

/// One quantity or the two ends of a range, rising.
pub(super) fn range(flag: &str, text: &str, kind: Kind) -> Result<(f64, f64), Failure> {
    let Some((low, high)) = text.split_once("..") else {
        return positive(flag, text, kind).map(|value| (value, value));
    };
    let (low_value, high_value) = (positive(flag, low, kind)?, positive(flag, high, kind)?);
    if low_value > high_value {
        let (low, high) = (low.trim(), high.trim());
        return Err(Failure::arguments(format!(
            "{flag} {text}: the range runs from {low} down to {high}; write {high}..{low}"
        )));
    }
    Ok((low_value, high_value))
}

/// A module: a length, or a diametral pitch in teeth per inch like 24/in.
pub(super) fn module_m(flag: &str, text: &str) -> Result<f64, Failure> {
    let trimmed = text.trim();
    match trimmed.strip_suffix("/in").or_else(|| trimmed.strip_suffix("/inch")) {
        Some(teeth) => pitch_m(flag, text, teeth),
        None => positive(flag, trimmed, Kind::Length).and_then(|module_m| within(flag, text, module_m)),
    }
}

/// The module of a diametral pitch, `1 in/pitch`: teeth per inch of the pitch diameter, a plain number or with "/in".
pub(super) fn pitch(flag: &str, text: &str) -> Result<f64, Failure> {
    let trimmed = text.trim();
    pitch_m(flag, text, trimmed.strip_suffix("/in").unwrap_or(trimmed))
}

fn pitch_m(flag: &str, text: &str, teeth: &str) -> Result<f64, Failure> {
    match exact_number(teeth.trim()) {
        Some(pitch) => within(flag, text, inch_m() * *pitch.denom() as f64 / *pitch.numer() as f64),
        None => {
            Err(Failure::arguments(format!("{flag} {text}: give the teeth per inch of the pitch diameter, like 24")))
        }
    }
}

/// Modules that a scenario may have.
fn within(flag: &str, text: &str, module_m: f64) -> Result<f64, Failure> {
    if (1e-5..=0.1).contains(&module_m) {
        return Ok(module_m);
    }
    Err(Failure::arguments(format!("{flag} {text}: give a module from 0.01 mm to 100 mm, or a pitch like 24/in")))
}
