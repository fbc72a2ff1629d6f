//! The quantities of a scenario that can be changed, each with a step as a maker would take it.

use crate::clock::design::EscapementDesign;
use crate::clock::frictions::KnownFriction;
use crate::scenario::Scenario;
use crate::study::prepare::with_columns;
use crate::units::{Kind, number_and_unit, quantity_in_si, value_and_spread};

/// The rule of the steps, in words.
pub const STEP_RULE: &str = "lengths by 0.01 mm below 1 mm, 0.1 mm below 100 mm, 1 mm below 10 m, else 10 m; angles by 0.1 deg; \
     temperatures by 1 K; shares by 1 %; tooth counts and other whole numbers by 1; turns by 1; other plain numbers by 10 % \
     of themselves; everything else by 1 % of itself; what has a spread, stated or of a named pair or bearing, by that spread";

/// Change of a plain number, relative, that tells whole numbers from others.
const HAIR: f64 = 1e-6;

/// How the paths of other towns begin, which the clock at home does not ask.
const TOWNS: &str = "town.";

/// A quantity of a scenario with its step.
#[derive(Debug, Clone, PartialEq)]
pub struct SteppedQuantity {
    /// Dotted path.
    pub path: String,
    /// As written, or the value that holds where the scenario states none.
    pub written: String,
    /// Whether the scenario states it.
    pub stated: bool,
    /// Number, in its unit.
    pub number: f64,
    /// Unit; `None` for a plain number.
    pub unit: Option<String>,
    /// Step, in the unit of the number.
    pub step: f64,
    /// The step as a maker says it.
    pub step_text: String,
    /// Whether only whole steps make sense.
    pub whole: bool,
    /// Whether the number measures from a true zero, so that a relative change of it has a meaning.
    pub from_zero: bool,
    spread: Option<String>,
}

impl SteppedQuantity {
    /// A quantity of a design by any name, `number` and `step` in `unit`, `None` of a plain number. It takes any value and measures
    /// from a true zero, unless [`whole`](Self::whole) or [`from_zero`](Self::from_zero) are set otherwise.
    #[must_use]
    pub fn of(name: &str, number: f64, unit: Option<&str>, step: f64) -> Self {
        let shown = |number: f64| unit.map_or_else(|| number.to_string(), |unit| format!("{number} {unit}"));
        Self {
            path: name.to_owned(),
            written: shown(number),
            stated: true,
            number,
            unit: unit.map(str::to_owned),
            step,
            step_text: shown(step),
            whole: false,
            from_zero: true,
            spread: None,
        }
    }

    /// The number so many steps up (down where negative).
    #[must_use]
    pub fn number_at(&self, steps: f64) -> f64 {
        self.number + steps * self.step
    }

    /// The override that changes the quantity by so many steps.
    #[must_use]
    pub fn setting(&self, steps: f64) -> String {
        self.setting_of(self.number_at(steps))
    }

    fn setting_of(&self, number: f64) -> String {
        let spread = self.spread.as_ref().map(|spread| format!(" +/- {spread}")).unwrap_or_default();
        match &self.unit {
            Some(unit) => format!("{}=\"{number} {unit}{spread}\"", self.path),
            None if self.whole && number.fract() == 0.0 => format!("{}={number:.0}", self.path),
            None if !spread.is_empty() => format!("{}=\"{number:?}{spread}\"", self.path),
            None => format!("{}={number:?}", self.path),
        }
    }
}

/// A value that the scenario states and that is no lever.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NoLever {
    /// Dotted path.
    pub path: String,
    /// Why.
    pub reason: &'static str,
}

/// All quantities of a scenario in the order of its text, then those that it leaves to their defaults and that matter; and the
/// numbers in it that have no step. Texts that are no quantity are in neither.
#[must_use]
pub fn quantities(scenario: &Scenario) -> (Vec<SteppedQuantity>, Vec<NoLever>) {
    let leaves = scenario.leaves();
    let frictions = scenario.design.frictions();
    let (mut found, mut left_out) = (Vec::new(), Vec::new());
    for (path, text) in &leaves {
        if path.starts_with(TOWNS) {
            left_out.push(NoLever { path: path.clone(), reason: "of another town" });
            continue;
        }
        if let Some(named) = named(path, text, &frictions) {
            found.push(named);
            continue;
        }
        let Some(read) = read(path, text) else {
            if text.starts_with('[') {
                left_out.push(NoLever { path: path.clone(), reason: "a list" });
            }
            continue;
        };
        if leaves.iter().filter(|(other, _)| other == path).count() > 1 {
            left_out.push(NoLever { path: path.clone(), reason: "several parts have this name" });
        } else {
            match with_step(read, Some(scenario)) {
                Some(quantity) => found.push(quantity),
                None => left_out.push(NoLever { path: path.clone(), reason: "it is 0, so a share of it is no step" }),
            }
        }
    }
    let defaults = defaults(scenario)
        .into_iter()
        .filter(|(path, _)| !scenario.has(path))
        .filter_map(|(path, text)| with_step(SteppedQuantity { stated: false, ..read(&path, &text)? }, None))
        .filter(|quantity| scenario.with_overrides(&[quantity.setting(0.0)]).and_then(with_columns).is_ok());
    found.extend(defaults);
    (found, left_out)
}

/// A friction by the name of a pair of materials, with the spread of the table as its step; of a named bearing its drag.
fn named(path: &str, text: &str, frictions: &[KnownFriction]) -> Option<SteppedQuantity> {
    let at =
        |path: &str| frictions.iter().find(|known| known.path == path && known.friction.named == Some(text.trim()));
    let own = at(path)?;
    let drag = path.strip_suffix(".friction").and_then(|bearing| at(&format!("{bearing}.drag")));
    let (known, unit, per_si) = match drag {
        Some(drag) => (drag, Some("uN m"), 1e6),
        None => (own, None, 1.0),
    };
    let (number, step) = (per_si * known.friction.value, per_si * known.friction.spread);
    let with_unit = |text: String| unit.map_or_else(|| text.clone(), |unit| format!("{text} {unit}"));
    Some(SteppedQuantity {
        written: text.to_owned(),
        step_text: with_unit(format!("{}", (1e4 * step).round() / 1e4)),
        spread: Some(with_unit(step.to_string())),
        ..SteppedQuantity::of(&known.path, number, unit, step)
    })
}

/// A text as a quantity, its step still open; `None` if it is none.
fn read(path: &str, text: &str) -> Option<SteppedQuantity> {
    let (value, spread) =
        value_and_spread(text).map_or((text, None), |(value, spread)| (value, Some(spread.trim().to_owned())));
    let (number, unit) = number_and_unit(value)?;
    if !unit.is_empty() && Kind::of_unit(unit).is_none() {
        return None;
    }
    Some(SteppedQuantity {
        path: path.to_owned(),
        written: text.to_owned(),
        stated: true,
        number,
        unit: (!unit.is_empty()).then(|| unit.to_owned()),
        step: 0.0,
        step_text: String::new(),
        whole: false,
        from_zero: true,
        spread,
    })
}

/// The quantity with its step; `None` where it has none. Whole numbers are told by asking the scenario for others.
fn with_step(mut quantity: SteppedQuantity, scenario: Option<&Scenario>) -> Option<SteppedQuantity> {
    let Some(unit) = quantity.unit.clone() else {
        if let Some(spread) =
            quantity.spread.as_ref().and_then(|spread| spread.parse::<f64>().ok().filter(|s| *s > 0.0))
        {
            (quantity.step, quantity.step_text) = (spread, spread.to_string());
            return Some(quantity);
        }
        let hair = HAIR * quantity.number.abs().max(1.0);
        let refuses = |scenario: &Scenario, number: f64| {
            scenario.with_overrides(&[quantity.setting_of(number)]).and_then(with_columns).is_err()
        };
        // At the end of what is allowed one side alone is refused.
        let (above, below) = (quantity.number + hair, quantity.number - hair);
        quantity.whole = scenario.is_some_and(|scenario| refuses(scenario, above) && refuses(scenario, below));
        (quantity.step, quantity.step_text) = match (quantity.whole, quantity.number == 0.0) {
            (true, _) => (1.0, "1".to_owned()),
            (false, true) => (0.01, "0.01".to_owned()),
            (false, false) => (0.1 * quantity.number.abs(), "10 %".to_owned()),
        };
        return Some(quantity);
    };
    let kind = Kind::of_unit(&unit)?;
    quantity.from_zero = kind != Kind::Temperature;
    if let Some(spread) = &quantity.spread {
        let spread_si = quantity_in_si(spread, kind).ok()?;
        if spread_si > 0.0 {
            quantity.step_text = spread.clone();
            quantity.step = spread_si / per_unit(&unit, kind)?;
            return Some(quantity);
        }
    }
    let fixed = match kind {
        Kind::Temperature => Some((1.0, "1 K")),
        Kind::Angle if unit.starts_with("turn") => Some((1.0, "1 turn")),
        Kind::Angle => Some((0.1_f64.to_radians() / per_unit(&unit, kind)?, "0.1 deg")),
        Kind::Fraction => Some((0.01 / per_unit(&unit, kind)?, "1 %")),
        Kind::Length => {
            let per_unit = per_unit(&unit, kind)?;
            let (step_m, text) = length_step(quantity.number.abs() * per_unit);
            Some((step_m / per_unit, text))
        }
        _ => None,
    };
    match fixed {
        Some((step, text)) => (quantity.step, quantity.step_text) = (step, text.to_owned()),
        None if quantity.number == 0.0 => return None,
        None => (quantity.step, quantity.step_text) = (0.01 * quantity.number.abs(), "1 %".to_owned()),
    }
    Some(quantity)
}

/// Step of a length of so many metres; that of a length of 0 is that of the usual ones.
fn length_step(length_m: f64) -> (f64, &'static str) {
    match length_m {
        0.0 => (1e-4, "0.1 mm"),
        short if short < 1e-3 => (1e-5, "0.01 mm"),
        usual if usual < 0.1 => (1e-4, "0.1 mm"),
        long if long < 10.0 => (1e-3, "1 mm"),
        _ => (10.0, "10 m"),
    }
}

/// SI value of one of a unit.
fn per_unit(unit: &str, kind: Kind) -> Option<f64> {
    quantity_in_si(&format!("1 {unit}"), kind).ok().filter(|factor| *factor > 0.0)
}

/// Values that hold where the scenario does not state them, and that a maker meets: assembly, printer, room.
fn defaults(scenario: &Scenario) -> Vec<(String, String)> {
    let named = |path: &str, value: String| (path.to_owned(), value);
    let mut list = vec![named("place.temperature", format!("{} degC", scenario.design.place.temperature_c))];
    if let Some(support) = scenario.design.support {
        list.push(named("support.stiffness", format!("{} N/m", support.stiffness_n_per_m)));
        list.push(named("support.loss_factor", support.loss_factor.to_string()));
        list.push(named("support.moving_mass", format!("{} kg", support.moving_mass_kg)));
        if scenario.design.has_weight() {
            list.push(named("support.weight_hangs", format!("{} m", support.weight.hangs_m)));
        }
    }
    let family = match &scenario.design.escapement {
        EscapementDesign::DeadBeat(_) => Some("dead_beat"),
        EscapementDesign::RecoilAnchor(_) => Some("recoil_anchor"),
        EscapementDesign::PinPallet(_) => Some("pin_pallet"),
        EscapementDesign::Outline(_) => None,
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => return list,
    };
    for key in ["centre_distance_error", "growth", "bead_radius"] {
        list.push((format!("printer.{key}"), "0 mm".to_owned()));
    }
    list.push(named("printer.shrinkage", "0 %".to_owned()));
    if let Some(family) = family {
        let drawn = crate::clock::escapement::drawn_outlines(&scenario.design.escapement).ok().flatten();
        list.extend(drawn.map(|drawn| {
            (format!("escapement.{family}.centre_distance"), format!("{} mm", 1e3 * drawn.centre_distance_m))
        }));
        list.push((format!("escapement.{family}.beat_error"), "0 deg".to_owned()));
    }
    list
}
