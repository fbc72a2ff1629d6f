//! Reads a quantity without rounding: decimals and fractions of whole numbers.

use num_rational::Ratio;
use num_traits::{CheckedDiv, CheckedMul};

use super::unit_text::unit_of_text;
use super::{Kind, QuantityError, quantity_in_si};

/// Most digits of a decimal number that is read exactly.
const MOST_DIGITS: usize = 18;

/// The value of `text` in SI units as a ratio of whole numbers, positive: "0.75 s" is 3/4, "1/3 s" a third exactly, "1 in" 127/5000.
///
/// `None` where the number is not above 0, has an exponent or more than 18 digits, or a fraction is not of whole numbers.
///
/// # Errors
/// [`QuantityError`] as [`quantity_in_si`].
pub fn exact_in_si(text: &str, kind: Kind) -> Result<Option<Ratio<u128>>, QuantityError> {
    let trimmed = text.trim();
    let is_fraction = trimmed.split_once('/').is_some_and(|(above, _)| decimal(above.trim()).is_some());
    let of_number =
        |letter: char| letter.is_ascii_digit() || letter == '.' || is_fraction && matches!(letter, '/' | ' ');
    let (number, unit) = trimmed.split_at(trimmed.find(|letter| !of_number(letter)).unwrap_or(trimmed.len()));
    if is_fraction {
        quantity_in_si(&format!("1 {unit}"), kind)?;
    } else {
        quantity_in_si(trimmed, kind)?;
    }
    // An exponent begins like a unit that there is not.
    let Ok(unit) = unit_of_text(unit.trim()) else { return Ok(None) };
    Ok(exact_number(number)
        .zip(exact_number(&unit.factor.to_string()))
        .and_then(|(value, unit)| value.checked_mul(&unit)))
}

/// A decimal number or a fraction of whole numbers, "0.75" or "3/4", exactly; `None` for any other text and for 0.
#[must_use]
pub fn exact_number(text: &str) -> Option<Ratio<u128>> {
    if let Some((above, below)) = text.split_once('/') {
        let whole = |part: &str| decimal(part.trim()).filter(|ratio| *ratio.denom() == 1);
        return whole(above)?.checked_div(&whole(below)?);
    }
    decimal(text.trim())
}

fn decimal(text: &str) -> Option<Ratio<u128>> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = format!("{whole}{part}");
    if digits.is_empty() || digits.len() > MOST_DIGITS || !digits.bytes().all(|digit| digit.is_ascii_digit()) {
        return None;
    }
    let value = digits.parse::<u128>().ok().filter(|&value| value > 0)?;
    Some(Ratio::new(value, 10_u128.pow(u32::try_from(part.len()).ok()?)))
}
