//! A swept quantity: any path of a scenario with the values that it takes.

use crate::scenario::ProblemCode;
use crate::scenario::{LoadError, Scenario};
use crate::study::prepare::with_columns;
use crate::units::{Kind, number_and_unit, quantity_in_si, value_and_spread};

/// How the values of an axis lie.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Spacing {
    /// Evenly.
    Linear,
    /// In a fixed ratio.
    Log,
    /// As listed.
    List,
}

/// A swept quantity.
#[derive(Debug, Clone, PartialEq)]
pub struct Axis {
    /// Dotted path of the scenario.
    pub path: String,
    /// Unit of the values; `None` for plain numbers.
    pub unit: Option<String>,
    /// How the values lie.
    pub spacing: Spacing,
    places: Places,
}

#[derive(Debug, Clone, PartialEq)]
enum Places {
    Range { low: f64, high: f64, count: u64, whole: bool },
    List(Vec<f64>),
}

/// What is wrong with the text of an axis.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum AxisError {
    /// Not of the form.
    #[error("\"{0}\" is not of the form path=low..high:count")]
    Form(String),
    /// No number.
    #[error("\"{0}\" is not a quantity")]
    NoQuantity(String),
    /// No such unit.
    #[error("\"{0}\" has an unknown unit")]
    NoUnit(String),
    /// Units that do not go together.
    #[error("\"{0}\" and \"{1}\" are not the same kind of quantity")]
    Units(String, String),
    /// No count, or one of 0.
    #[error("\"{0}\" is not a number of values; it must be a whole number above 0")]
    Count(String),
    /// Nothing between the ends.
    #[error("the range from {0} to {1} is empty; its end must be above its beginning")]
    Empty(String, String),
    /// A logarithmic range that does not keep above 0.
    #[error("a logarithmic range must begin above 0, not at {0}")]
    Log(String),
}

impl AxisError {
    /// What to write instead.
    #[must_use]
    pub const fn help() -> &'static str {
        "write path=low..high:count, path=low..high:count:log or path=value,value,value, \
         for example drive.weight=1kg..4kg:40"
    }
}

impl Axis {
    /// The axis that a text states: `path=low..high:count`, the same with `:log`, or `path=value,value,...`.
    ///
    /// # Errors
    /// [`AxisError`].
    pub fn parse(text: &str) -> Result<Self, AxisError> {
        let form = || AxisError::Form(text.to_owned());
        let (path, rest) = text.split_once('=').ok_or_else(form)?;
        let (path, rest) = (path.trim().to_owned(), rest.trim());
        if path.is_empty() || rest.is_empty() {
            return Err(form());
        }
        let Some((low, after)) = rest.split_once("..") else { return Self::list(path, rest) };
        let mut parts = after.split(':').map(str::trim);
        let (Some(high), Some(count)) = (parts.next(), parts.next()) else { return Err(form()) };
        let spacing = match (parts.next(), parts.next()) {
            (None, _) => Spacing::Linear,
            (Some("log"), None) => Spacing::Log,
            _ => return Err(form()),
        };
        let count: u64 = match count.parse() {
            Ok(count) if count > 0 => count,
            _ => return Err(AxisError::Count(count.to_owned())),
        };
        let (low_value, unit) = read(low)?;
        let high_value = in_unit(high, (low, unit))?;
        let one_value = count == 1 && high_value == low_value;
        if !(high_value > low_value || one_value) {
            return Err(AxisError::Empty(low.trim().to_owned(), high.to_owned()));
        }
        if spacing == Spacing::Log && !(low_value > 0.0) {
            return Err(AxisError::Log(low.trim().to_owned()));
        }
        let whole = unit.is_empty() && [low, high].iter().all(|end| !end.contains(['.', 'e', 'E']));
        let places = Places::Range { low: low_value, high: high_value, count, whole };
        Ok(Self { path, unit: owned(unit), spacing, places })
    }

    fn list(path: String, text: &str) -> Result<Self, AxisError> {
        let words: Vec<&str> = text.split(',').map(str::trim).collect();
        let (_, unit) = read(words[0])?;
        let mut values = words.iter().map(|word| in_unit(word, (words[0], unit))).collect::<Result<Vec<_>, _>>()?;
        values.sort_by(f64::total_cmp);
        values.dedup();
        Ok(Self { path, unit: owned(unit), spacing: Spacing::List, places: Places::List(values) })
    }

    /// The axis with `count` even values from `low` to `high` in `unit`.
    #[must_use]
    pub fn linear(path: &str, unit: Option<&str>, low: f64, high: f64, count: u64) -> Self {
        let places = Places::Range { low, high, count, whole: false };
        Self { path: path.to_owned(), unit: unit.map(str::to_owned), spacing: Spacing::Linear, places }
    }

    /// The axis with its first value alone.
    #[must_use]
    pub fn first_alone(&self) -> Self {
        let places = Places::List(vec![self.first()]);
        Self { places, ..self.clone() }
    }

    fn first(&self) -> f64 {
        match &self.places {
            Places::Range { low, .. } => *low,
            Places::List(values) => values[0],
        }
    }

    /// How many values there are.
    #[must_use]
    pub fn count(&self) -> u64 {
        match &self.places {
            Places::Range { count, .. } => *count,
            Places::List(values) => values.len() as u64,
        }
    }

    /// The values, rising, in the axis's unit.
    #[must_use]
    pub fn values(&self) -> Vec<f64> {
        match &self.places {
            Places::List(values) => values.clone(),
            Places::Range { low, high, count, .. } => (0..*count)
                .map(|number| {
                    if number + 1 == *count && number > 0 {
                        return *high;
                    }
                    #[allow(clippy::cast_precision_loss)]
                    let share = number as f64 / (count.max(&2) - 1) as f64;
                    match self.spacing {
                        Spacing::Log => low * (high / low).powf(share),
                        _ => low + share * (high - low),
                    }
                })
                .collect(),
        }
    }

    /// The override that gives the quantity a value in the axis's unit, in the syntax of `--set`.
    #[must_use]
    pub fn set(&self, value: f64) -> String {
        let whole = match &self.places {
            Places::Range { whole, .. } => *whole,
            Places::List(values) => values.iter().all(|value| value.fract() == 0.0),
        };
        match &self.unit {
            Some(unit) => format!("{}=\"{value} {unit}\"", self.path),
            None if whole && value.fract() == 0.0 => format!("{}={value:.0}", self.path),
            None => format!("{}={value:?}", self.path),
        }
    }

    /// SI value of one of the axis's unit; `None` for plain numbers, unknown units and temperatures.
    #[must_use]
    pub fn si_per_unit(&self) -> Option<f64> {
        let unit = self.unit.as_ref()?;
        let kind = Kind::of_unit(unit).filter(|kind| *kind != Kind::Temperature)?;
        quantity_in_si(&format!("1 {unit}"), kind).ok()
    }

    /// Name of a column that holds the values: path and unit.
    #[must_use]
    pub fn column(&self) -> String {
        match &self.unit {
            None => self.path.clone(),
            Some(unit) => {
                let unit = unit
                    .replace('%', "percent")
                    .replace('/', "_per_")
                    .replace('^', "")
                    .replace([' ', '*', '\u{b7}'], "_");
                format!("{}_{unit}", self.path)
            }
        }
    }

    /// The scenario's own value in the axis's unit; `None` where it states none.
    #[must_use]
    pub fn own(&self, scenario: &Scenario) -> Option<f64> {
        let leaves = scenario.leaves();
        let written = &leaves.iter().find(|(path, _)| *path == self.path)?.1;
        let value = value_and_spread(written).map_or(written.as_str(), |both| both.0);
        let unit = self.unit.clone().unwrap_or_default();
        in_unit(value, (&unit, &unit)).ok().or_else(|| {
            // A friction by its name.
            let known = scenario.design.frictions().into_iter().find(|known| known.path == self.path)?;
            let per_unit = if self.unit.is_some() { self.si_per_unit()? } else { 1.0 };
            Some(known.friction.value / per_unit)
        })
    }

    /// Why the scenario has no such quantity, with what may have been meant; `None` if it can take values of the axis at all.
    /// A value beyond what is physical is no objection.
    #[must_use]
    pub fn objection(&self, scenario: &Scenario) -> Option<String> {
        objection_to(scenario, &self.path, &self.set(self.first()))
    }
}

/// Why the scenario has no such quantity as an override sets at `path`, with what may have been meant; `None` if it has, be the value itself
/// beyond what is physical.
#[must_use]
pub fn objection_to(scenario: &Scenario, path: &str, setting: &str) -> Option<String> {
    let Err(LoadError::Problems(problems)) = scenario.with_overrides(&[setting]).and_then(with_columns) else {
        return None;
    };
    let problem = problems.list().iter().find(|problem| NO_SUCH_QUANTITY.contains(&problem.code))?;
    let near: Vec<String> = match problem.code {
        ProblemCode::UnknownKey | ProblemCode::UnknownName => scenario.nearest_paths(path),
        _ => Vec::new(),
    };
    let help = if near.is_empty() { problem.help.clone() } else { format!("did you mean `{}`?", near.join("`, `")) };
    Some(format!("{}; {help}", problem.message))
}

/// Codes of problems that no other value would mend.
const NO_SUCH_QUANTITY: [ProblemCode; 8] = [
    ProblemCode::UnknownKey,
    ProblemCode::UnknownName,
    ProblemCode::WrongType,
    ProblemCode::WrongUnit,
    ProblemCode::BareNumber,
    ProblemCode::MalformedOverride,
    ProblemCode::Conflict,
    ProblemCode::MissingKey,
];

fn owned(unit: &str) -> Option<String> {
    (!unit.is_empty()).then(|| unit.to_owned())
}

/// Number and unit of a text whose unit, if any, is known.
fn read(text: &str) -> Result<(f64, &str), AxisError> {
    let (number, unit) = number_and_unit(text).ok_or_else(|| AxisError::NoQuantity(text.trim().to_owned()))?;
    if !unit.is_empty() && Kind::of_unit(unit).is_none() {
        return Err(AxisError::NoUnit(text.trim().to_owned()));
    }
    Ok((number, unit))
}

/// The number of a text in a unit; `first` is the text that has that unit.
fn in_unit(text: &str, (first, unit): (&str, &str)) -> Result<f64, AxisError> {
    let (number, own) = read(text)?;
    if own == unit {
        return Ok(number);
    }
    let apart = || AxisError::Units(first.trim().to_owned(), text.trim().to_owned());
    let kind = Kind::of_unit(unit).filter(|kind| *kind != Kind::Temperature).ok_or_else(apart)?;
    let value = quantity_in_si(text, kind).map_err(|_| apart())?;
    let one = quantity_in_si(&format!("1 {unit}"), kind).map_err(|_| apart())?;
    Ok(value / one)
}
