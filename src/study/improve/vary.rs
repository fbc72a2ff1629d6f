//! A quantity that is varied: any path of a scenario between two values, or among some.

use crate::numerics::search::{Coordinate, CoordinateKind};
use crate::scenario::{Scenario, quoted, typed_as_toml};
use crate::study::map::axis::{Axis, AxisError, objection_to};
use crate::study::quantity_written::{stands_as, takes_fractions};
use crate::units::value_and_spread;

/// Values of a number between its bounds at least: beyond what a workshop can tell apart.
const LEAST_PLACES: f64 = 2000.0;

/// Values at most.
const MOST_PLACES: f64 = 1e9;

/// Decimals at most.
const MOST_DECIMALS: usize = 15;

/// Choices of one quantity at most.
const MOST_CHOICES: usize = 20;

/// A quantity that is varied. Its values are numbered from 0.
#[derive(Debug, Clone, PartialEq)]
pub struct VariedQuantity {
    /// Dotted path.
    pub path: String,
    /// What it may be.
    pub range: VariedRange,
}

/// What a quantity may be.
#[derive(Debug, Clone, PartialEq)]
pub enum VariedRange {
    /// A number from `low` on, so many steps of `10^-decimals` up.
    Numbers {
        /// Unit; `None` for a plain number.
        unit: Option<String>,
        /// Lower bound, in the unit.
        low: f64,
        /// Values, both bounds among them.
        places: u32,
        /// Decimals with which it is written.
        decimals: usize,
        /// Whether it is a whole number.
        whole: bool,
        /// The spread that the scenario states beside it, with its unit, which it keeps.
        spread: Option<String>,
    },
    /// One of these, as a file writes them.
    Choices(Vec<String>),
}

impl VariedQuantity {
    /// The quantity that a text states, `PATH=low..high` or `PATH=one|another`, of a scenario.
    ///
    /// # Errors
    /// What is wrong, and what to write.
    pub fn parse(text: &str, scenario: &Scenario) -> Result<Self, String> {
        let help = "write PATH=low..high in the file's units, or PATH=one|another, for example escapement.dead_beat.lock=0.8deg..2deg";
        let (path, rest) = text.split_once('=').ok_or_else(|| format!("there is no \"=\"; {help}"))?;
        let (path, rest) = (path.trim(), rest.trim());
        if path.is_empty() {
            return Err(format!("there is no path; {help}"));
        }
        let choices = choices_in(rest);
        if choices.len() > 1 {
            return Self::among(path, choices, scenario);
        }
        let bounds: Option<(&str, &str)> = rest.split_once("..").map(|(low, high)| (low.trim(), high.trim()));
        let Some((low, high)) = bounds.filter(|(_, high)| !high.contains([':', ','])) else {
            return Err(format!("\"{rest}\" is neither a range nor a choice; {help}"));
        };
        let axis = Axis::parse(&format!("{path}={low}..{high}:2")).map_err(|error| match error {
            AxisError::Empty(low, high) => format!("the bounds from {low} to {high} leave nothing between them; the upper one has to be above the lower one"),
            AxisError::Form(_) | AxisError::Count(_) | AxisError::Log(_) => format!("\"{rest}\" is no range; {help}"),
            other => format!("{other}; {help}"),
        })?;
        let leaves = scenario.leaves();
        let leaf = |path: &str| leaves.iter().find(|(known, _)| known == path).map(|(_, text)| text.as_str());
        if let Some(objection) = axis.objection(scenario) {
            let text = leaf(path).filter(|_| stands_as(scenario, path).is_none());
            return Err(text.map_or(objection, |text| {
                format!("`{path}` is no number (it is \"{text}\"); give choices, {path}=one|another")
            }));
        }
        if leaf(&format!("{path}.value")).is_some() && leaf(&format!("{path}.spread")).is_some() {
            return Err(format!("the scenario has its number and spread apart; write {path}.value={rest}"));
        }
        let spread = leaf(path).and_then(value_and_spread).map(|(_, spread)| spread.trim().to_owned());
        let values = axis.values();
        let (lowest, highest) = (values[0], values[1]);
        let whole = axis.unit.is_none() && !takes_fractions(scenario, path, lowest);
        if whole && (lowest.fract() != 0.0 || highest.fract() != 0.0) {
            return Err(format!("`{path}` is a whole number, and so have its bounds to be"));
        }
        let fine = (-((highest - lowest) / LEAST_PLACES).log10().floor()).max(0.0) as usize;
        let decimals = if whole { 0 } else { fine.max(decimals_of(low)).max(decimals_of(high)).min(MOST_DECIMALS) };
        let steps = ((highest - lowest) * 10_f64.powi(decimals as i32)).round();
        if !(1.0..MOST_PLACES).contains(&steps) {
            return Err(format!(
                "the bounds {low} and {high} are too far apart, or too close together, for their digits"
            ));
        }
        let (unit, places) = (axis.unit.clone(), steps as u32 + 1);
        let range = VariedRange::Numbers { unit, low: lowest, places, decimals, whole, spread };
        Ok(Self { path: path.to_owned(), range })
    }

    fn among(path: &str, choices: Vec<String>, scenario: &Scenario) -> Result<Self, String> {
        if choices.len() > MOST_CHOICES {
            return Err(format!("{} choices; give at most {MOST_CHOICES}", choices.len()));
        }
        for choice in &choices {
            if choice.is_empty() {
                return Err("a choice is missing beside a \"|\"".to_owned());
            }
            if choices.iter().filter(|other| *other == choice).count() > 1 {
                return Err(format!("{choice} is given twice"));
            }
            if let Some(objection) = objection_to(scenario, path, &format!("{path}={choice}")) {
                return Err(format!("with {choice}: {objection}"));
            }
        }
        Ok(Self { path: path.to_owned(), range: VariedRange::Choices(choices) })
    }

    /// The name of a pair of materials or a bearing by which the scenario gives it, and with it a spread that no number would have; `None` of
    /// what is varied among choices, and of all else.
    #[must_use]
    pub fn named_in(&self, scenario: &Scenario) -> Option<&'static str> {
        let steps = scenario.steps_of(&self.path)?;
        let is_it = |path: &str| scenario.steps_of(path).as_ref() == Some(&steps);
        let known = scenario.design.frictions().into_iter().find(|known| is_it(&known.path))?;
        known.friction.named.filter(|_| matches!(self.range, VariedRange::Numbers { .. }))
    }

    /// Whether it is, holds or is held by the value of another one, under whatever path.
    #[must_use]
    pub fn overlaps(&self, other: &Self, scenario: &Scenario) -> bool {
        let (Some(own), Some(other)) = (scenario.steps_of(&self.path), scenario.steps_of(&other.path)) else {
            return self.path == other.path;
        };
        own.starts_with(&other) || other.starts_with(&own)
    }

    /// How its values lie for a search.
    #[must_use]
    pub fn coordinate(&self) -> Coordinate {
        match &self.range {
            VariedRange::Numbers { places, whole, .. } => {
                let kind = if *whole { CoordinateKind::Whole } else { CoordinateKind::Smooth };
                Coordinate { kind, places: *places }
            }
            VariedRange::Choices(choices) => Coordinate { kind: CoordinateKind::Choice, places: choices.len() as u32 },
        }
    }

    /// A value as a number in its unit; `None` of a choice.
    #[must_use]
    pub fn number(&self, place: u32) -> Option<f64> {
        self.written_number(place)?.parse().ok()
    }

    fn written_number(&self, place: u32) -> Option<String> {
        let VariedRange::Numbers { low, decimals, .. } = &self.range else { return None };
        let value = low + f64::from(place) * 10_f64.powi(-(*decimals as i32));
        Some(trimmed(&format!("{value:.decimals$}")))
    }

    /// A value as a reader has it: with its unit, and with its spread if it has one.
    #[must_use]
    pub fn shown(&self, place: u32) -> String {
        match &self.range {
            VariedRange::Numbers { unit, spread, .. } => {
                let mut shown = self.written_number(place).unwrap_or_default();
                shown.extend(unit.iter().flat_map(|unit| [" ", unit]));
                shown.extend(spread.iter().flat_map(|spread| [" +/- ", spread]));
                shown
            }
            VariedRange::Choices(choices) => choices.get(place as usize).cloned().unwrap_or_default(),
        }
    }

    /// A value as TOML writes it: in quotes with its unit, a plain number without them.
    #[must_use]
    pub fn as_toml(&self, place: u32) -> String {
        let shown = self.shown(place);
        match &self.range {
            VariedRange::Numbers { unit: Some(_), .. } | VariedRange::Numbers { spread: Some(_), .. } => quoted(&shown),
            VariedRange::Numbers { whole: false, .. } if !shown.contains('.') => format!("{shown}.0"),
            VariedRange::Numbers { .. } => shown,
            VariedRange::Choices(_) => typed_as_toml(&shown),
        }
    }

    /// The override that sets a value.
    #[must_use]
    pub fn setting(&self, place: u32) -> String {
        format!("{}={}", self.path, self.as_toml(place))
    }

    /// The scenario's own value, or the nearest to it; `None` where it has none between the bounds or among the choices.
    #[must_use]
    pub fn own(&self, scenario: &Scenario) -> Option<u32> {
        match &self.range {
            VariedRange::Numbers { unit, low, places, decimals, .. } => {
                let own = Axis::linear(&self.path, unit.as_deref(), *low, *low, 1).own(scenario)?;
                let place = ((own - low) * 10_f64.powi(*decimals as i32)).round();
                (0.0..f64::from(*places)).contains(&place).then_some(place as u32)
            }
            VariedRange::Choices(choices) => {
                let leaves = scenario.leaves();
                let own = &leaves.iter().find(|(path, _)| *path == self.path)?.1;
                choices.iter().position(|choice| choice.trim_matches('"') == own).map(|place| place as u32)
            }
        }
    }

    /// The last value.
    #[must_use]
    pub fn last(&self) -> u32 {
        self.coordinate().places - 1
    }
}

/// The parts between the `|` that stand outside quotes and brackets.
fn choices_in(text: &str) -> Vec<String> {
    let (mut parts, mut part, mut depth, mut quote) = (Vec::new(), String::new(), 0_i32, None);
    let mut escaped = false;
    for letter in text.chars() {
        let after_escape = std::mem::take(&mut escaped);
        match (quote, letter) {
            (Some('"'), '\\') => escaped = !after_escape,
            (Some(mark), _) if letter == mark && !after_escape => quote = None,
            // Within a bare word it is an apostrophe.
            (None, '"' | '\'') if depth > 0 || part.trim().is_empty() => quote = Some(letter),
            (None, '[' | '{') => depth += 1,
            (None, ']' | '}') => depth -= 1,
            (None, '|') if depth == 0 => {
                parts.push(std::mem::take(&mut part).trim().to_owned());
                continue;
            }
            _ => {}
        }
        part.push(letter);
    }
    parts.push(part.trim().to_owned());
    parts
}

/// Decimals of a number with or without a unit.
fn decimals_of(text: &str) -> usize {
    let number: String =
        text.trim().chars().take_while(|letter| letter.is_ascii_digit() || ".-+".contains(*letter)).collect();
    number.split_once('.').map_or(0, |(_, decimals)| decimals.len())
}

/// A number without zeros at the end of its decimals.
fn trimmed(text: &str) -> String {
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text.to_owned() }
}
