//! Reads `[printer]`: `growth = "0.05 mm +/- 0.03 mm"`, or `growth = { value = "0.05 mm", spread = "0.03 mm", per = "printer" }`.

use crate::clock::printing::bed::Bed;
use crate::clock::printing::printer::{Printer, Spread, SpreadPer};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::{Kind, value_and_spread};

use super::bed::read_beds;

const SHRINKAGE: Allowed = Allowed::Between(-0.2, 0.2, "from -20 % to 20 %");
const GROWTH: Allowed = Allowed::Between(-5e-3, 5e-3, "from -5 mm to 5 mm");
const BEAD_RADIUS: Allowed = Allowed::Between(0.0, 10e-3, "from 0 mm to 10 mm");
/// Narrower beads round corners by less than the outlines are good to.
const LEAST_BEAD_M: f64 = 1e-7;
const ELEPHANT_FOOT: Allowed = Allowed::Between(0.0, 5e-3, "from 0 mm to 5 mm");
const CENTRE_DISTANCE_ERROR: Allowed = Allowed::Between(-20e-3, 20e-3, "from -20 mm to 20 mm");
const RUN_OUT: Allowed = Allowed::Between(0.0, 10e-3, "from 0 mm to 10 mm");
const PIVOT_PLAY: Allowed = Allowed::Between(0.0, 5e-3, "from 0 mm to 5 mm");

/// The printer and its beds; one that prints exactly what was drawn where `[printer]` is absent.
pub(in crate::scenario) fn read_printer(root: &mut Section<'_, '_>) -> Option<(Printer, Vec<Bed>)> {
    if !root.has("printer") {
        root.entry("printer");
        return Some((Printer::default(), Vec::new()));
    }
    let mut printer = root.section("printer")?;
    let shrinkage = read_spread(&mut printer, "shrinkage", Kind::Fraction, SHRINKAGE);
    let growth = read_spread(&mut printer, "growth", Kind::Length, GROWTH);
    let bead_radius = read_spread(&mut printer, "bead_radius", Kind::Length, BEAD_RADIUS);
    if let Some(bead) = bead_radius
        && bead.value > 0.0
        && bead.value < LEAST_BEAD_M
    {
        let message = "no nozzle lays so narrow a bead".to_owned();
        let help = format!("write 0, or at least {} mm", 1e3 * LEAST_BEAD_M);
        printer.report_at("bead_radius", ProblemCode::ImpossibleValue, message, help);
    }
    let elephant_foot = read_spread(&mut printer, "elephant_foot", Kind::Length, ELEPHANT_FOOT);
    let centre_distance_error = read_spread(&mut printer, "centre_distance_error", Kind::Length, CENTRE_DISTANCE_ERROR);
    let run_out = read_spread(&mut printer, "run_out", Kind::Length, RUN_OUT);
    let pivot_play = read_spread(&mut printer, "pivot_play", Kind::Length, PIVOT_PLAY);
    let beds = read_beds(&mut printer);
    printer.finish();
    let printer = Printer {
        shrinkage: shrinkage?,
        growth: growth?,
        bead_radius: bead_radius?,
        elephant_foot: elephant_foot?,
        centre_distance_error: centre_distance_error?,
        run_out: run_out?,
        pivot_play: pivot_play?,
        makes_frame: false,
    };
    Some((printer, beds?))
}

/// A value with its spread; 0 where the key is absent.
pub(in crate::scenario) fn read_spread(
    printer: &mut Section<'_, '_>,
    key: &'static str,
    kind: Kind,
    allowed: Allowed,
) -> Option<Spread> {
    spread_under(printer, key, kind, allowed, true)
}

/// A value with its spread; 0 where the key is absent. Nothing is said of parts and printers.
pub(in crate::scenario) fn read_single_spread(
    section: &mut Section<'_, '_>,
    key: &'static str,
    kind: Kind,
    allowed: Allowed,
) -> Option<Spread> {
    spread_under(section, key, kind, allowed, false)
}

fn spread_under(
    printer: &mut Section<'_, '_>,
    key: &'static str,
    kind: Kind,
    allowed: Allowed,
    with_per: bool,
) -> Option<Spread> {
    match printer.entry(key).map(|entry| &entry.node.value) {
        Some(Value::Table(_)) => {
            let mut table = printer.section(key)?;
            let value = table.quantity("value", kind, allowed);
            let spread = table.quantity_or("spread", kind, Allowed::NotNegative, 0.0);
            let choices = [("part", SpreadPer::Part), ("printer", SpreadPer::Printer)];
            let per = if with_per {
                table.choice("per", &choices, Some(SpreadPer::default()))
            } else {
                Some(SpreadPer::default())
            };
            table.finish();
            Some(Spread { value: value?, spread: spread?, per: per? })
        }
        Some(Value::Text(text)) => {
            let Some((value, spread)) = value_and_spread(text) else {
                return printer.quantity(key, kind, allowed).map(Spread::of);
            };
            let unit = kind.example_unit();
            for (side, part) in [("value before", value), ("spread after", spread)] {
                if part.trim().is_empty() {
                    let message = format!("`{}` has no {side} the +/-", printer.path_of(key));
                    let help = format!("write both with their unit, like \"0.2 {unit} +/- 0.1 {unit}\"");
                    printer.report_at(key, ProblemCode::WrongUnit, message, help);
                    return None;
                }
            }
            let value = printer.quantity_of_text(key, value, kind, allowed);
            let spread = printer.quantity_of_text(key, spread, kind, Allowed::NotNegative);
            Some(Spread { value: value?, spread: spread?, per: SpreadPer::default() })
        }
        _ => printer.quantity_or(key, kind, allowed, 0.0).map(Spread::of),
    }
}
