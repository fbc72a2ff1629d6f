//! Reads `[oscillator]`: frequency, divider, and what makes its frequency differ.

use crate::clock::SECONDS_PER_YEAR;
use crate::clock::design::{Oscillator, TemperatureCurve};
use crate::clock::printing::printer::Spread;
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::{Kind, quantity_in_si, value_and_spread};

use super::printer::read_spread;

/// Age for which the rate is told where the scenario gives none, years.
const DEFAULT_AGE_YEARS: f64 = 1.0;

/// Largest divider; more oscillations than this lie between pulses of days.
const LARGEST_DIVIDER: u32 = 2_000_000_000;

const FREQUENCY: Allowed = Allowed::Between(1e-3, 1e9, "from 0.001 Hz to 1 GHz");
const TOLERANCE: Allowed = Allowed::Between(-0.1, 0.1, "from -10 % to 10 %");
const AGEING: Allowed =
    Allowed::Between(-0.1 / SECONDS_PER_YEAR, 0.1 / SECONDS_PER_YEAR, "from -10 %/year to 10 %/year");
const AGE: Allowed = Allowed::Between(0.0, 100.0 * SECONDS_PER_YEAR, "from 0 years to 100 years");
const CURVATURE: Allowed = Allowed::Between(-1e-3, 1e-3, "from -1000 ppm/K^2 to 1000 ppm/K^2");
const TURNOVER: Allowed = Allowed::Between(-60.0, 200.0, "from -60 degC to 200 degC");
const DIFFERENCE: Allowed = Allowed::Between(0.0, 60.0, "from 0 K to 60 K");
const BAND: Allowed = Allowed::Between(0.0, 0.1, "from 0 % to 10 %");

/// The oscillator, which has to be there.
pub(in crate::scenario) fn read_oscillator(root: &mut Section<'_, '_>) -> Option<Oscillator> {
    let help = "add [oscillator] with frequency = \"32768 Hz\" and divider = 32768";
    let mut oscillator = root.required_section("oscillator", help)?;
    let frequency = oscillator.quantity("frequency", Kind::Frequency, FREQUENCY);
    let divider = oscillator.count("divider", 1, LARGEST_DIVIDER);
    let tolerance = read_spread(&mut oscillator, "tolerance", Kind::Fraction, TOLERANCE);
    let ageing = read_spread(&mut oscillator, "ageing", Kind::RelativeDrift, AGEING);
    let age = oscillator.quantity_or("age", Kind::Time, AGE, DEFAULT_AGE_YEARS * SECONDS_PER_YEAR);
    let swing = oscillator.quantity_or("room_swing", Kind::TemperatureDifference, DIFFERENCE, 0.0);
    let temperature = read_curve(&mut oscillator);
    oscillator.finish();
    let ageing = ageing?;
    Some(Oscillator {
        frequency_hz: frequency?,
        divider: divider?,
        tolerance: tolerance?,
        ageing_per_year: Spread {
            value: ageing.value * SECONDS_PER_YEAR,
            spread: ageing.spread * SECONDS_PER_YEAR,
            per: ageing.per,
        },
        age_years: age? / SECONDS_PER_YEAR,
        temperature: temperature?,
        room_swing_k: swing?,
    })
}

/// `turnover` with `curvature`, or `temperature_tolerance`, or neither.
fn read_curve(oscillator: &mut Section<'_, '_>) -> Option<TemperatureCurve> {
    if oscillator.has("temperature_tolerance") {
        oscillator.refuse_beside("temperature_tolerance", &["turnover", "curvature"], "give a band or a parabola");
        return oscillator.quantity("temperature_tolerance", Kind::Fraction, BAND).map(TemperatureCurve::Band);
    }
    oscillator.entry("temperature_tolerance");
    for (key, other) in [("turnover", "curvature"), ("curvature", "turnover")] {
        if oscillator.has(key) && !oscillator.has(other) {
            let message = format!("`oscillator.{key}` is given without `oscillator.{other}`");
            let help = "a parabola needs both: turnover = \"25 degC\", curvature = \"-0.034 ppm/K^2\"".to_owned();
            oscillator.report_key(key, ProblemCode::MissingKey, message, help);
        }
    }
    let turnover = read_turnover(oscillator);
    let curvature = read_spread(oscillator, "curvature", Kind::PerKelvinSquared, CURVATURE);
    match (turnover?, curvature?) {
        (Some(turnover_c), per_k2) => Some(TemperatureCurve::Parabola { turnover_c, per_k2 }),
        (None, _) => Some(TemperatureCurve::Flat),
    }
}

/// `"25 degC"` or `"25 degC +/- 5 K"`: the spread of a temperature is a difference, unlike that of all other quantities.
fn read_turnover(oscillator: &mut Section<'_, '_>) -> Option<Option<Spread>> {
    let written = oscillator.written_text("turnover");
    let Some((value, spread)) = written.as_deref().and_then(value_and_spread) else {
        return Some(oscillator.optional_quantity("turnover", Kind::Temperature, TURNOVER)?.map(Spread::of));
    };
    oscillator.entry("turnover");
    let value = oscillator.quantity_of_text("turnover", value, Kind::Temperature, TURNOVER);
    if quantity_in_si(spread, Kind::TemperatureDifference).is_err() {
        let message =
            format!("`oscillator.turnover` needs a temperature difference after the +/-, not \"{}\"", spread.trim());
        oscillator.report_at(
            "turnover",
            ProblemCode::WrongUnit,
            message,
            "write it like \"25 degC +/- 5 K\"".to_owned(),
        );
        return None;
    }
    let spread = oscillator.quantity_of_text("turnover", spread, Kind::TemperatureDifference, DIFFERENCE);
    Some(Some(Spread { spread: spread?, ..Spread::of(value?) }))
}
