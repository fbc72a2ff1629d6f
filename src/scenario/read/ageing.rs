//! Reads `[ageing]`: how frictions grow over the years.

use crate::clock::SECONDS_PER_YEAR;
use crate::clock::design::Ageing;
use crate::clock::materials::USUAL_AGEING;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

const GROWTH: Allowed = Allowed::Between(0.0, 10.0 / SECONDS_PER_YEAR, "from 0 %/year to 1000 %/year");
const WITHIN: Allowed = Allowed::Between(1.0, 100.0, "from 1 to 100");

/// How frictions grow; as usual where the scenario does not say.
pub(in crate::scenario) fn read_ageing(root: &mut Section<'_, '_>) -> Option<Ageing> {
    if !root.has("ageing") {
        root.entry("ageing");
        return Some(USUAL_AGEING);
    }
    let mut ageing = root.section("ageing")?;
    let mut growth = |key: &'static str, usual: f64| {
        let per_s = ageing.quantity_or(key, Kind::RelativeDrift, GROWTH, usual / SECONDS_PER_YEAR)?;
        // What is not stated stays as it is, to the last bit.
        Some(if ageing.has(key) { per_s * SECONDS_PER_YEAR } else { usual })
    };
    let oiled = growth("oiled", USUAL_AGEING.oiled_per_year);
    let greased = growth("greased", USUAL_AGEING.greased_per_year);
    let dry = growth("dry", USUAL_AGEING.dry_per_year);
    let within = ageing.number_or("within", WITHIN, USUAL_AGEING.within);
    ageing.finish();
    Some(Ageing { oiled_per_year: oiled?, greased_per_year: greased?, dry_per_year: dry?, within: within? })
}
