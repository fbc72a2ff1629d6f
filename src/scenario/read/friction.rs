//! Reads frictions: `0.25`, `"0.25 +/- 0.1"`, `{ value = 0.25, spread = 0.1 }`, the name of two materials, or a quantity with its unit
//! and spread.

use crate::clock::design::Friction;
use crate::clock::materials::{BEARINGS, FRICTION_PAIRS, FrictionPair, NamedBearing};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;
use crate::units::{Kind, value_and_spread};

use super::printer::read_single_spread;

const FRICTION: Allowed = Allowed::Between(0.0, 2.0, "from 0 to 2");
const SPREAD: Allowed = Allowed::Between(0.0, 10.0, "from 0 to 10");

/// The friction coefficient under `key`, which has to be there: a number with or without its spread, or the name of a pair of
/// materials.
pub(in crate::scenario) fn read_friction(section: &mut Section<'_, '_>, key: &'static str) -> Option<Friction> {
    let pairs: Vec<Friction> = FRICTION_PAIRS.iter().map(FrictionPair::friction).collect();
    read_of(section, key, &pairs, "pair of materials")
}

/// The same of a bearing, which may be called by its own name too.
pub(in crate::scenario) fn read_rolling_friction(section: &mut Section<'_, '_>, key: &'static str) -> Option<Friction> {
    let pairs = FRICTION_PAIRS.iter().map(FrictionPair::friction);
    let known: Vec<Friction> = pairs.chain(BEARINGS.iter().map(NamedBearing::friction)).collect();
    read_of(section, key, &known, "pair of materials or bearing")
}

fn read_of(section: &mut Section<'_, '_>, key: &'static str, known: &[Friction], what: &str) -> Option<Friction> {
    let Some(written) = name_under(section, key) else {
        return read_uncertain_number(section, key, FRICTION);
    };
    section.entry(key);
    let found = known.iter().find(|friction| friction.named == Some(&written));
    if found.is_none() {
        let names: Vec<&str> = known.iter().filter_map(|friction| friction.named).collect();
        let message = format!("\"{written}\" is not a known {what}");
        let help = format!("{}; or write the coefficient as a plain number", suggestion(&written, &names, "name"))
            .replace("?; ", "? ");
        section.report_at(key, ProblemCode::UnknownName, message, help);
    }
    found.copied()
}

/// The text under `key` if it is one that begins with no number.
pub(in crate::scenario) fn name_under(section: &Section<'_, '_>, key: &str) -> Option<String> {
    let written = section.written_text(key)?;
    let (value, _) = value_and_spread(&written).unwrap_or((&written, ""));
    value.trim().parse::<f64>().is_err().then_some(written)
}

/// The plain number under `key`, which has to be there, with its spread if it has one.
pub(in crate::scenario) fn read_uncertain_number(
    section: &mut Section<'_, '_>,
    key: &'static str,
    allowed: Allowed,
) -> Option<Friction> {
    if let Some(Value::Table(_)) = section.entry(key).map(|entry| &entry.node.value) {
        let mut table = section.section(key)?;
        let value = table.number("value", allowed);
        let spread = table.number_or("spread", SPREAD, 0.0);
        table.finish();
        return Some(Friction { value: value?, spread: spread?, named: None });
    }
    let written = section.written_text(key);
    let Some((value, spread)) = written.as_deref().and_then(value_and_spread) else {
        return section.number(key, allowed).map(Friction::of);
    };
    let number = |text: &str| text.trim().parse::<f64>().ok().filter(|number| number.is_finite());
    let (Some(value), Some(spread)) = (number(value), number(spread).filter(|spread| SPREAD.holds(*spread))) else {
        let message = format!("`{}` cannot be \"{}\"", section.path_of(key), written.as_deref().unwrap_or_default());
        let help =
            format!("write two plain numbers, value and spread, like \"0.25 +/- 0.1\", the spread {}", SPREAD.words());
        section.report_at(key, ProblemCode::WrongType, message, help);
        return None;
    };
    if !allowed.holds(value) {
        let message = format!("`{}` cannot be {value:?}", section.path_of(key));
        section.report_at(key, ProblemCode::ImpossibleValue, message, format!("write a number {}", allowed.words()));
        return None;
    }
    Some(Friction { value, spread, named: None })
}

/// The friction under `key` as a quantity with its unit, with its spread if it has one; 0 where the key is absent.
pub(in crate::scenario) fn read_friction_quantity(
    section: &mut Section<'_, '_>,
    key: &'static str,
    kind: Kind,
    allowed: Allowed,
) -> Option<Friction> {
    read_single_spread(section, key, kind, allowed).map(Friction::from)
}
