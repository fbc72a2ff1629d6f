//! Reads sizes of beds: "220x220x250 mm", the height left out or not.

use crate::clock::printing::bed::Bed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::{Kind, quantity_in_si};

/// Sides of a bed, m; a nozzle's reach at one end, a router's table at the other.
const SIDE_M: (f64, f64) = (0.01, 5.0);

/// Beds that a scenario or a command may name.
pub const MOST_BEDS: usize = 12;

/// The bed that a text states: width, depth and, if it is told, height, with a unit at the end or millimetres.
///
/// # Errors
/// What is wrong, and what to write.
pub fn bed_of(text: &str) -> Result<Bed, String> {
    let help = "write width x depth x height like \"220x220x250 mm\"";
    if text.trim().is_empty() {
        return Err(format!("there is no size; {help}"));
    }
    let split = text.rfind(|letter: char| letter.is_ascii_digit() || letter == '.').map_or(0, |last| last + 1);
    let (numbers, unit) = text.split_at(split);
    let unit = if unit.trim().is_empty() { "mm" } else { unit.trim() };
    let sides: Vec<f64> = numbers
        .split(['x', 'X', '\u{d7}'])
        .map(|side| {
            quantity_in_si(&format!("{} {unit}", side.trim()), Kind::Length).map_err(|error| format!("{error}; {help}"))
        })
        .collect::<Result<_, String>>()?;
    if sides.len() > 3 {
        return Err(format!("\"{}\" has {} sides; {help}", text.trim(), sides.len()));
    }
    if let Some(side) = sides.iter().find(|side| !(SIDE_M.0..=SIDE_M.1).contains(*side)) {
        return Err(format!("a side of {} mm is not possible; give sides from 10 mm to 5 m", 1e3 * side));
    }
    match *sides.as_slice() {
        [width_m, depth_m] => Ok(Bed { width_m, depth_m, height_m: None }),
        [width_m, depth_m, height_m] => Ok(Bed { width_m, depth_m, height_m: Some(height_m) }),
        _ => Err(format!("\"{}\" is only one side; {help}", text.trim())),
    }
}

/// `printer.beds`: a list of texts, empty where it is absent.
pub(in crate::scenario) fn read_beds(printer: &mut Section<'_, '_>) -> Option<Vec<Bed>> {
    let Some(entry) = printer.entry("beds") else { return Some(Vec::new()) };
    let help = "write a list of sizes: beds = [\"220x220x250 mm\"]";
    let Value::Array(items) = &entry.node.value else {
        let message = format!("`printer.beds` is {}, not a list", entry.node.value.type_name());
        printer.report_at("beds", ProblemCode::WrongType, message, help.to_owned());
        return None;
    };
    if items.len() > MOST_BEDS {
        let message = format!("`printer.beds` lists {} beds", items.len());
        printer.report_at("beds", ProblemCode::ImpossibleValue, message, format!("list at most {MOST_BEDS}"));
        return None;
    }
    let mut beds = Vec::new();
    for item in items {
        let Value::Text(text) = &item.value else {
            let message = format!("`printer.beds` lists {}, not a size", item.value.type_name());
            printer.reader.report(ProblemCode::WrongType, message, help.to_owned(), item.span);
            continue;
        };
        match bed_of(text) {
            Ok(bed) => beds.push(bed),
            Err(what) => {
                let message = format!("\"{text}\" is not a bed: {what}");
                printer.reader.report(ProblemCode::ImpossibleValue, message, help.to_owned(), item.span);
            }
        }
    }
    (beds.len() == items.len()).then_some(beds)
}
