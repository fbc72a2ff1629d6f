//! The scenario that a fit writes: it starts from the maker's own and holds what was fitted, each value with its spread.

use std::fmt::Write as _;

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
    let rounded: f64 = format!("{value:.*e}", digits.saturating_sub(1)).parse().unwrap_or(value);
    if rounded == 0.0 || (1e-3..1e6).contains(&rounded.abs()) { format!("{rounded}") } else { format!("{rounded:e}") }
}

/// Lists of named tables whose elements a fit may change.
const LISTS: [&str; 1] = ["train.arbor"];

/// Values of a file that was written here: path and text of each, and what it starts from; `None` of any other file.
#[must_use]
pub fn values_in(text: &str) -> Option<(String, Vec<(String, String)>)> {
    text.strip_prefix(HEAD)?;
    let (mut from, mut list, mut element) = (None, None, String::new());
    let mut values = Vec::new();
    for line in text.lines().filter(|line| !line.starts_with('#')) {
        if let Some(name) = line.strip_prefix("[[").and_then(|line| line.strip_suffix("]]")) {
            list = Some(name.to_owned());
            continue;
        }
        let Some((path, value)) = line.split_once(" = ") else { continue };
        let value = value.trim().trim_matches('"').to_owned();
        match (path, &list) {
            ("from", None) => from = Some(value),
            ("name", Some(list)) => element = format!("{list}.{value}."),
            _ => values.push((format!("{element}{path}"), value)),
        }
    }
    Some((from?, values))
}

/// The text of a scenario that starts from the file `from`. `kept`: values of earlier fits, which stay but where the new ones set them
/// anew; `source`: what the new ones were fitted to.
#[must_use]
pub fn text(from: &str, kept: &[(String, String)], values: &[FittedValue], source: &str) -> String {
    let mut out = format!("{HEAD}\nfrom = {}\n", quoted(from));
    let is_new = |path: &str| values.iter().any(|value| value.path == path);
    let mut all: Vec<(String, String)> = kept.iter().filter(|(path, _)| !is_new(path)).cloned().collect();
    all.extend(values.iter().map(|value| (value.path.clone(), value_text(value))));
    let _ = writeln!(out, "# Newest: {}", source.replace(['\n', '\r'], " "));
    // Elements of lists come last: what follows a table of a list belongs to it.
    for (path, value) in all.iter().filter(|(path, _)| element_of(path).is_none()) {
        let _ = writeln!(out, "{path} = {}", written(value));
    }
    let mut open = None;
    for (path, value) in &all {
        let Some((list, name, rest)) = element_of(path) else { continue };
        if open != Some((list, name)) {
            let _ = writeln!(out, "\n[[{list}]]\nname = {}", quoted(name));
            open = Some((list, name));
        }
        let _ = writeln!(out, "{rest} = {}", written(value));
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

fn quoted(text: &str) -> String {
    format!("\"{}\"", text.replace('\\', "\\\\").replace('"', "\\\""))
}
