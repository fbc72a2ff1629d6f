//! Reads a unit expression such as "kg m^2", "N m/(rad/s)" or "m/s²".

use super::symbol::{Unit, unit_of};
use super::{Dimension, QuantityError};

/// Highest power of a unit; no quantity of a clock needs more.
const HIGHEST_POWER: i8 = 9;

/// Parentheses may nest this deep.
const DEEPEST_NESTING: u32 = 8;

/// The SI factor and dimension of a unit expression. Space, `*` and `·` multiply, `/` divides by the one unit or
/// parenthesis after it, `^` raises.
pub(super) fn unit_of_text(text: &str) -> Result<Unit, QuantityError> {
    let mut reading = Reading { text, rest: text, depth: 0 };
    let unit = reading.product()?;
    if reading.rest.is_empty() { Ok(unit) } else { Err(reading.malformed()) }
}

struct Reading<'t> {
    text: &'t str,
    rest: &'t str,
    depth: u32,
}

impl<'t> Reading<'t> {
    fn malformed(&self) -> QuantityError {
        QuantityError::MalformedUnit { unit: self.text.to_owned() }
    }

    fn take(&mut self, wanted: char) -> bool {
        match self.rest.strip_prefix(wanted) {
            Some(rest) => {
                self.rest = rest;
                true
            }
            None => false,
        }
    }

    fn take_while(&mut self, fits: impl Fn(char) -> bool) -> &'t str {
        let end = self.rest.find(|letter| !fits(letter)).unwrap_or(self.rest.len());
        let (taken, rest) = self.rest.split_at(end);
        self.rest = rest;
        taken
    }

    fn product(&mut self) -> Result<Unit, QuantityError> {
        self.take_while(char::is_whitespace);
        // "1/s" is a unit expression that begins with a plain one.
        let mut whole = if self.rest.starts_with("1/") {
            self.rest = &self.rest[1..];
            Unit { factor: 1.0, dimension: Dimension::default() }
        } else {
            self.factor()?
        };
        loop {
            self.take_while(char::is_whitespace);
            if self.rest.is_empty() || self.rest.starts_with(')') {
                return Ok(whole);
            }
            let divides = self.take('/');
            if !divides && !self.take('*') {
                self.take('·');
            }
            self.take_while(char::is_whitespace);
            let next = self.factor()?;
            let exponent = if divides { -1 } else { 1 };
            let dimension = whole.dimension.times(next.dimension, exponent).ok_or_else(|| self.malformed())?;
            let factor = if divides { whole.factor / next.factor } else { whole.factor * next.factor };
            whole = Unit { factor, dimension };
        }
    }

    fn factor(&mut self) -> Result<Unit, QuantityError> {
        let unit = if self.take('(') {
            self.depth += 1;
            if self.depth > DEEPEST_NESTING {
                return Err(self.malformed());
            }
            let inner = self.product()?;
            self.depth -= 1;
            if !self.take(')') {
                return Err(self.malformed());
            }
            inner
        } else {
            let symbol = self.take_while(|letter| letter.is_alphabetic() || matches!(letter, '%' | '°' | '\u{b5}'));
            if symbol.is_empty() {
                return Err(self.malformed());
            }
            // Digits that stick to a symbol are a forgotten "^": reported with the symbol.
            let digits = self.take_while(|letter| letter.is_ascii_digit());
            let written = format!("{symbol}{digits}");
            unit_of(&written).ok_or(QuantityError::UnknownUnit { symbol: written })?
        };
        let power = self.power()?;
        let dimension = Dimension::default().times(unit.dimension, power).ok_or_else(|| self.malformed())?;
        Ok(Unit { factor: unit.factor.powi(i32::from(power)), dimension })
    }

    fn power(&mut self) -> Result<i8, QuantityError> {
        for (sign, value) in [('²', 2), ('³', 3)] {
            if self.take(sign) {
                return Ok(value);
            }
        }
        if !self.take('^') {
            return Ok(1);
        }
        let sign = if self.take('-') { -1 } else { 1 };
        let digits = self.take_while(|letter| letter.is_ascii_digit());
        match digits.parse::<i8>() {
            Ok(power) if power <= HIGHEST_POWER => Ok(sign * power),
            _ => Err(self.malformed()),
        }
    }
}
