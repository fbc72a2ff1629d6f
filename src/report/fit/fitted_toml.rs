//! The scenario that a fit writes: it starts from the maker's own and holds what was fitted, each value with its spread.

use std::fmt::Write as _;

use toml::{Table, Value};

use crate::numerics::digits::to_digits;
use crate::scenario::quoted;
use crate::study::fit::FittedValue;
use crate::study::spread::inputs::STATED_AS;
use crate::units::Kind;

/// What the first line of such a file says; one that does not begin so was not written here, and is never overwritten.
pub const HEAD: &str =
    "# Written by beatwright fit: values measured on the clock, each with two standard deviations after its +/-.";

/// A value as the scenario writes it, with its spread.
#[must_use]
pub fn value_text(value: &FittedValue) -> String {
    let unit = value.kind.map_or(String::new(), |kind| format!(" {}", si_unit(kind)));
    let spread = STATED_AS * value.estimate.sigma;
    let (number, spread) = (digits(value.estimate.value, 6), digits(spread, 3));
    if value.estimate.sigma > 0.0 { format!("{number}{unit} +/- {spread}{unit}") } else { format!("{number}{unit}") }
}

/// Unit of a quantity in SI, as the scenario reads it.
const fn si_unit(kind: Kind) -> &'static str {
    match kind {
        Kind::Torque => "N m",
        Kind::DampingLinear => "N m s",
        Kind::DampingQuadratic => "N m s^2",
        Kind::Length => "m",
        Kind::Angle => "rad",
        Kind::PerKelvin => "1/K",
        _ => "",
    }
}

/// To so many significant digits, with a power of ten where it is far from 1.
fn digits(value: f64, digits: usize) -> String {
    let rounded = to_digits(value, digits);
    if rounded == 0.0 || (1e-3..1e6).contains(&rounded.abs()) { format!("{rounded}") } else { format!("{rounded:e}") }
}

/// Lists of named tables whose elements a fit may change.
const LISTS: [&str; 1] = ["train.arbor"];

/// What is in a file that was written here.
#[derive(Debug, Clone, PartialEq)]
pub struct WrittenValues {
    /// What it starts from.
    pub from: String,
    /// Dotted path and value of everything else: text or a number.
    pub values: Vec<(String, Value)>,
}

/// Why a file that was written here, and changed by hand, cannot be written anew.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotRewritten {
    /// It is no TOML.
    #[error("not TOML: {0}")]
    NotToml(#[from] toml::de::Error),
    /// It starts from no other file.
    #[error("a file that fit has written starts from another; `from` is missing")]
    NoFrom,
    /// A value of another kind.
    #[error(
        "`{path}` was added by hand and is no text or number under a plain name: fit would lose it. Move it into the file that this one starts from"
    )]
    Neither {
        /// Its dotted path.
        path: String,
    },
}

/// What is in the text of a file that was written here; `None` of any other file.
///
/// # Errors
/// [`NotRewritten`].
pub fn values_in(text: &str) -> Option<Result<WrittenValues, NotRewritten>> {
    text.strip_prefix(HEAD)?;
    Some(toml::from_str::<Table>(text).map_err(NotRewritten::from).and_then(|mut table| {
        let Some(Value::String(from)) = table.remove("from") else { return Err(NotRewritten::NoFrom) };
        let mut values = Vec::new();
        flatten(&table, "", &mut values)?;
        Ok(WrittenValues { from, values })
    }))
}

/// Adds the leaves of a table below `path` (empty, or with a point at its end).
fn flatten(table: &Table, path: &str, leaves: &mut Vec<(String, Value)>) -> Result<(), NotRewritten> {
    for (key, value) in table {
        let path = format!("{path}{key}");
        let neither = || NotRewritten::Neither { path: path.clone() };
        if !is_plain(key) {
            return Err(neither());
        }
        match value {
            Value::String(_) | Value::Integer(_) | Value::Float(_) => leaves.push((path, value.clone())),
            Value::Table(table) => flatten(table, &format!("{path}."), leaves)?,
            Value::Array(elements) if LISTS.contains(&path.as_str()) => {
                for element in elements {
                    let Value::Table(element) = element else { return Err(neither()) };
                    let mut element = element.clone();
                    let name = element.remove("name").and_then(|name| name.as_str().map(str::to_owned));
                    let name = name.filter(|name| !name.contains('.')).ok_or_else(neither)?;
                    flatten(&element, &format!("{path}.{name}."), leaves)?;
                }
            }
            Value::Array(_) | Value::Boolean(_) | Value::Datetime(_) => return Err(neither()),
        }
    }
    Ok(())
}

/// Whether a key stands without quotes.
fn is_plain(key: &str) -> bool {
    !key.is_empty() && key.chars().all(|letter| letter.is_ascii_alphanumeric() || letter == '_' || letter == '-')
}

/// The text of a scenario that starts from another and keeps the values of earlier fits but where the new ones set them anew; `source`:
/// what the new ones were fitted to.
#[must_use]
pub fn text(earlier: &WrittenValues, values: &[FittedValue], source: &str) -> String {
    let mut out = format!("{HEAD}\nfrom = {}\n", quoted(&earlier.from));
    let is_new = |path: &str| values.iter().any(|value| value.path == path);
    let kept = earlier.values.iter().filter(|(path, _)| !is_new(path));
    let mut all: Vec<(&str, String)> = kept.map(|(path, value)| (path.as_str(), value.to_string())).collect();
    all.extend(values.iter().map(|value| (value.path.as_str(), written(&value_text(value)))));
    let _ = writeln!(out, "# Newest: {}", source.replace(['\n', '\r'], " "));
    // Elements of lists come last: what follows a table of a list belongs to it.
    for (path, value) in all.iter().filter(|(path, _)| element_of(path).is_none()) {
        let _ = writeln!(out, "{path} = {value}");
    }
    let mut open = None;
    for (path, value) in &all {
        let Some((list, name, rest)) = element_of(path) else { continue };
        if open != Some((list, name)) {
            let _ = writeln!(out, "\n[[{list}]]\nname = {}", quoted(name));
            open = Some((list, name));
        }
        let _ = writeln!(out, "{rest} = {value}");
    }
    out
}

/// List, name and the rest of a path into a list of named tables.
fn element_of(path: &str) -> Option<(&'static str, &str, &str)> {
    LISTS.iter().find_map(|list| {
        let (name, rest) = path.strip_prefix(list)?.strip_prefix('.')?.split_once('.')?;
        Some((*list, name, rest))
    })
}

/// A value as the file has it: a plain number stands without quotes.
#[must_use]
pub fn written(value: &str) -> String {
    if value.parse::<f64>().is_ok() { value.to_owned() } else { quoted(value) }
}
