//! Reads a friction coefficient: a number, or the name of two materials.

use crate::clock::materials::{FRICTION_PAIRS, friction_pair_named};
use crate::scenario::toml::nearest::suggestion;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;

const FRICTION: Allowed = Allowed::Between(0.0, 2.0, "from 0 to 2");

/// The friction coefficient under `key`, which has to be there: a plain number, or the name of a pair of materials.
pub(in crate::scenario) fn read_friction(section: &mut Section<'_, '_>, key: &'static str) -> Option<f64> {
    let is_number = |text: &String| text.trim().parse::<f64>().is_ok();
    let Some(written) = section.written_text(key).filter(|text| !is_number(text)) else {
        return section.number(key, FRICTION);
    };
    section.entry(key);
    let found = friction_pair_named(&written).map(|pair| pair.sliding.value);
    if found.is_none() {
        let names: Vec<&str> = FRICTION_PAIRS.iter().map(|pair| pair.name).collect();
        let message = format!("\"{written}\" is not a known pair of materials");
        let help = format!("{}; or write the coefficient as a plain number", suggestion(&written, &names, "pair"))
            .replace("?; ", "? ");
        section.report_at(key, ProblemCode::UnknownName, message, help);
    }
    found
}
