//! Unit symbols and prefixes with their factors.
//!
//! Factors: SI Brochure, 9th edition (2019), tables 2, 4, 7 and 8; inch, foot, pound and ounce by the international yard
//! and pound agreement of 1959, the pound-force by standard gravity, columns of mercury by its conventional density at 0 degrees Celsius (from memory). A year is the Julian one of 365.25 days, a month a twelfth of it.

use std::f64::consts::{PI, TAU};

use super::Dimension;

/// A unit: SI value of one of it, and its dimension.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Unit {
    pub(super) factor: f64,
    pub(super) dimension: Dimension,
}

const PLAIN: Dimension = Dimension::new(0, 0, 0, 0, 0);
const LENGTH: Dimension = Dimension::new(1, 0, 0, 0, 0);
const MASS: Dimension = Dimension::new(0, 1, 0, 0, 0);
const TIME: Dimension = Dimension::new(0, 0, 1, 0, 0);
const KELVIN: Dimension = Dimension::new(0, 0, 0, 1, 0);
const ANGLE: Dimension = Dimension::new(0, 0, 0, 0, 1);
const ANGULAR_SPEED: Dimension = Dimension::new(0, 0, -1, 0, 1);
const FREQUENCY: Dimension = Dimension::new(0, 0, -1, 0, 0);
const FORCE: Dimension = Dimension::new(1, 1, -2, 0, 0);
const ENERGY: Dimension = Dimension::new(2, 1, -2, 0, 0);
const POWER: Dimension = Dimension::new(2, 1, -3, 0, 0);
const PRESSURE: Dimension = Dimension::new(-1, 1, -2, 0, 0);
const CURRENT: Dimension = Dimension::new(0, 0, 0, 0, 0).with_ampere(1);
const VOLTAGE: Dimension = POWER.with_ampere(-1);
const RESISTANCE: Dimension = POWER.with_ampere(-2);

/// An inch, m: exactly 25.4 mm (international inch of 1959, as ISO 31-1 has it; recalled).
pub const M_PER_INCH: f64 = 0.0254;

/// Symbol, SI value, dimension, whether prefixes go with it.
const SYMBOLS: [(&str, f64, Dimension, bool); 52] = [
    ("m", 1.0, LENGTH, true),
    ("in", M_PER_INCH, LENGTH, false),
    ("ft", 0.3048, LENGTH, false),
    ("g", 1e-3, MASS, true),
    ("t", 1e3, MASS, false),
    ("lb", 0.453_592_37, MASS, false),
    ("oz", 0.453_592_37 / 16.0, MASS, false),
    ("s", 1.0, TIME, true),
    ("min", 60.0, TIME, false),
    ("h", 3600.0, TIME, false),
    ("hour", 3600.0, TIME, false),
    ("hours", 3600.0, TIME, false),
    ("d", 86_400.0, TIME, false),
    ("day", 86_400.0, TIME, false),
    ("days", 86_400.0, TIME, false),
    ("week", 604_800.0, TIME, false),
    ("weeks", 604_800.0, TIME, false),
    ("month", 31_557_600.0 / 12.0, TIME, false),
    ("months", 31_557_600.0 / 12.0, TIME, false),
    ("y", 31_557_600.0, TIME, false),
    ("year", 31_557_600.0, TIME, false),
    ("years", 31_557_600.0, TIME, false),
    ("K", 1.0, KELVIN, true),
    ("rad", 1.0, ANGLE, true),
    ("deg", PI / 180.0, ANGLE, false),
    ("°", PI / 180.0, ANGLE, false),
    ("arcmin", PI / 10_800.0, ANGLE, false),
    ("arcsec", PI / 648_000.0, ANGLE, false),
    ("turn", TAU, ANGLE, false),
    ("turns", TAU, ANGLE, false),
    ("rev", TAU, ANGLE, false),
    ("rpm", TAU / 60.0, ANGULAR_SPEED, false),
    ("Hz", 1.0, FREQUENCY, true),
    ("N", 1.0, FORCE, true),
    ("lbf", 0.453_592_37 * 9.806_65, FORCE, false),
    ("J", 1.0, ENERGY, true),
    ("W", 1.0, POWER, true),
    ("A", 1.0, CURRENT, true),
    ("V", 1.0, VOLTAGE, true),
    ("ohm", 1.0, RESISTANCE, true),
    ("\u{3a9}", 1.0, RESISTANCE, true),
    ("\u{2126}", 1.0, RESISTANCE, true),
    ("Pa", 1.0, PRESSURE, true),
    ("bar", 1e5, PRESSURE, true),
    ("atm", 101_325.0, PRESSURE, false),
    ("inHg", 3_386.389, PRESSURE, false),
    ("mmHg", 133.322_4, PRESSURE, false),
    ("%", 1e-2, PLAIN, false),
    ("percent", 1e-2, PLAIN, false),
    ("ppm", 1e-6, PLAIN, false),
    ("L", 1e-3, Dimension::new(3, 0, 0, 0, 0), true),
    ("l", 1e-3, Dimension::new(3, 0, 0, 0, 0), true),
];

/// Both micro signs (U+00B5 and U+03BC) and the letter u stand for a millionth.
const PREFIXES: [(&str, f64); 15] = [
    ("T", 1e12),
    ("G", 1e9),
    ("M", 1e6),
    ("k", 1e3),
    ("h", 1e2),
    ("da", 1e1),
    ("d", 1e-1),
    ("c", 1e-2),
    ("m", 1e-3),
    ("\u{b5}", 1e-6),
    ("\u{3bc}", 1e-6),
    ("u", 1e-6),
    ("n", 1e-9),
    ("p", 1e-12),
    ("f", 1e-15),
];

/// The unit of a symbol, with or without prefix; `None` if there is no such unit.
pub(super) fn unit_of(symbol: &str) -> Option<Unit> {
    let exact = SYMBOLS.iter().find(|entry| entry.0 == symbol);
    if let Some(&(_, factor, dimension, _)) = exact {
        return Some(Unit { factor, dimension });
    }
    PREFIXES.iter().find_map(|&(prefix, scale)| {
        let rest = symbol.strip_prefix(prefix)?;
        let &(_, factor, dimension, _) = SYMBOLS.iter().find(|entry| entry.3 && entry.0 == rest)?;
        Some(Unit { factor: scale_factor(scale, rest, factor), dimension })
    })
}

/// Factor of a prefixed unit; the kilogram is the SI unit itself, so that "kg" carries no rounding of 1000 * 0.001.
fn scale_factor(scale: f64, symbol: &str, factor: f64) -> f64 {
    if symbol == "g" { scale / 1000.0 } else { scale * factor }
}

/// Whether the whole unit text is a temperature in degrees Celsius, which has an offset and so goes with nothing else.
pub(super) fn is_celsius(unit_text: &str) -> bool {
    matches!(unit_text, "degC" | "°C" | "\u{2103}")
}

/// Whether the whole unit text is a temperature in degrees Fahrenheit, likewise.
pub(super) fn is_fahrenheit(unit_text: &str) -> bool {
    matches!(unit_text, "degF" | "°F" | "\u{2109}")
}

/// The known symbol nearest to a mistyped one: the same in another case, or one letter off.
pub(super) fn nearest_symbol(symbol: &str) -> Option<String> {
    let spelled_out = match symbol.to_lowercase().as_str() {
        "degree" | "degrees" => Some("deg"),
        "celsius" | "c" => Some("degC"),
        "fahrenheit" | "f" => Some("degF"),
        "gram" | "grams" | "gr" => Some("g"),
        "kilogram" | "kilograms" | "kilo" | "kgs" => Some("kg"),
        "metre" | "metres" | "meter" | "meters" => Some("m"),
        "millimetre" | "millimetres" | "millimeter" | "millimeters" | "mms" => Some("mm"),
        "second" | "seconds" | "sec" => Some("s"),
        "minute" | "minutes" | "mins" => Some("min"),
        "hr" | "hrs" => Some("h"),
        "inch" | "inches" => Some("in"),
        "pound" | "pounds" | "lbs" => Some("lb"),
        "nm" => Some("N m"),
        "mnm" => Some("mN m"),
        "kgm2" => Some("kg m^2"),
        _ => None,
    };
    if let Some(found) = spelled_out {
        return Some(found.to_owned());
    }
    if let Some(letters) = symbol.strip_suffix(['2', '3', '4'])
        && unit_of(letters).is_some()
    {
        return Some(format!("{letters}^{}", &symbol[letters.len()..]));
    }
    let common =
        ["mm", "cm", "m", "kg", "g", "s", "min", "h", "deg", "mrad", "rad", "N", "mN", "J", "mJ", "Pa", "hPa", "GPa"];
    let same_letters = common.into_iter().find(|known| known.eq_ignore_ascii_case(symbol));
    let long_enough = symbol.chars().count() > 2;
    same_letters
        .or_else(|| common.into_iter().find(|known| long_enough && strsim::osa_distance(known, symbol) == 1))
        .map(str::to_owned)
}
