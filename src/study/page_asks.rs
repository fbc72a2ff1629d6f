//! What a page asks of those who build the clock: quantities that differ from workshop to workshop, each with its range.

use crate::clock::design::EscapementDesign;
use crate::numerics::digits::to_digits;
use crate::scenario::{Problem, ProblemCode, Scenario};

use super::improve::vary::{VariedQuantity, VariedRange};
use super::map::axis::Axis;
use super::quantity_written::stands_as;

/// A quantity that is asked for.
#[derive(Debug, Clone, PartialEq)]
pub struct AskedQuantity {
    /// The quantity and what it may be.
    pub varied: VariedQuantity,
    /// What the scenario has, in the unit of the range; `None` where it states no number.
    pub own: Option<f64>,
}

/// How a range that nobody named comes about.
enum Usual {
    /// From this share of the scenario's own number to that.
    Shares(f64, f64),
    /// These bounds, in this unit, whatever the scenario has.
    Bounds(&'static str, &'static str),
}

/// What builders have of their own: common practice, no source.
const USUAL: [(&str, Usual); 8] = [
    ("drive.weight", Usual::Shares(0.4, 2.0)),
    ("printer.bead_radius", Usual::Bounds("0 mm", "0.5 mm")),
    ("printer.growth", Usual::Bounds("-0.2 mm", "0.2 mm")),
    ("pendulum.bob.mass", Usual::Shares(0.4, 2.0)),
    ("pendulum.bob.below_axis", Usual::Shares(0.95, 1.05)),
    ("train.tooth_friction", Usual::Bounds("0.02", "0.5")),
    ("place.temperature", Usual::Bounds("0 degC", "40 degC")),
    ("place.latitude", Usual::Bounds("-60 deg", "70 deg")),
];

/// What the page of a scenario asks: what `[page] ask` names, else the usual of it that the scenario has.
///
/// # Errors
/// The [`Problem`] at the first entry that is no quantity with a range.
pub fn page_asks(scenario: &Scenario) -> Result<Vec<AskedQuantity>, Problem> {
    let Some(named) = &scenario.page_asks else { return Ok(usual_asks(scenario)) };
    let asked = named.iter().enumerate().map(|(number, text)| {
        asked(scenario, text).map_err(|message| {
            let help = "name a quantity of the scenario with its range: \"drive.weight=2kg..6kg\"".to_owned();
            scenario.problem_at(&format!("page.ask.{number}"), ProblemCode::ImpossibleValue, message, help)
        })
    });
    asked.collect()
}

fn asked(scenario: &Scenario, text: &str) -> Result<AskedQuantity, String> {
    let varied = VariedQuantity::parse(text, scenario)?;
    let own = match &varied.range {
        VariedRange::Numbers { unit, low, .. } => {
            Axis::linear(&varied.path, unit.as_deref(), *low, *low, 1).own(scenario)
        }
        VariedRange::Choices(_) => None,
    };
    Ok(AskedQuantity { own, varied })
}

fn usual_asks(scenario: &Scenario) -> Vec<AskedQuantity> {
    let pallets = match &scenario.design.escapement {
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => None,
        _ => scenario
            .design
            .frictions()
            .into_iter()
            .map(|known| known.path)
            .find(|path| path.starts_with("escapement.") && path.ends_with(".friction"))
            .map(|path| (path, Usual::Bounds("0.02", "0.5"))),
    };
    let all = USUAL.into_iter().map(|(path, usual)| (path.to_owned(), usual)).chain(pallets);
    all.filter_map(|(path, usual)| {
        let bounds = match usual {
            Usual::Bounds(low, high) => format!("{low}..{high}"),
            Usual::Shares(least, most) => {
                let own = stands_as(scenario, &path)?;
                let unit = own.unit.unwrap_or_default();
                format!("{} {unit}..{} {unit}", to_digits(least * own.number, 3), to_digits(most * own.number, 3))
            }
        };
        asked(scenario, &format!("{path}={bounds}")).ok()
    })
    .collect()
}
