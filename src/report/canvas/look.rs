//! The one look of all figures: sizes, line weights, colours that also work in grey, numbers as they are printed.

use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};

/// A colour, red, green, blue.
pub type Colour = (u8, u8, u8);

/// The ground of every figure.
pub const PAPER: Colour = (255, 255, 255);
/// Text and main lines.
pub const INK: Colour = (0x1a, 0x1a, 0x1a);
/// Subtitles, leaders, remarks.
pub const SOFT: Colour = (0x55, 0x55, 0x55);
/// Grid.
pub const GRID: Colour = (0xe6, 0xe6, 0xe6);
/// Regions to keep out of.
pub const SHADE: Colour = (0xee, 0xee, 0xee);
/// Wheel.
pub const WHEEL: Colour = (0xdc, 0xdc, 0xdc);
/// Entry pallet and swings to the left: dark in grey print.
pub const ENTRY: Colour = (0x0b, 0x4f, 0x8f);
/// Exit pallet and swings to the right: half dark in grey print, and dashed wherever it meets `ENTRY`.
pub const EXIT: Colour = (0xc4, 0x62, 0x00);
/// Entry pallet's body.
pub const ENTRY_PALE: Colour = (0xb9, 0xd2, 0xea);
/// Exit pallet's body.
pub const EXIT_PALE: Colour = (0xf5, 0xd9, 0xb5);
/// Losses and what is neither entry nor exit.
pub const NEUTRAL: Colour = (0x7d, 0x7d, 0x7d);

/// Full width of a figure: half the text width of an A4 page with room for a gutter.
pub const WIDTH_MM: f64 = 90.0;
/// White margin all round.
pub const MARGIN_MM: f64 = 1.5;

/// Type size of the title (8.5 pt).
pub const TITLE_MM: f64 = 3.0;
/// Type size of everything else (7.1 pt): the smallest that is easy to read on paper.
pub const TEXT_MM: f64 = 2.5;
/// Distance of two lines of text.
pub const LINE_MM: f64 = 3.2;

/// Main curves.
pub const CURVE_MM: f64 = 0.45;
/// Secondary curves, outlines.
pub const THIN_MM: f64 = 0.25;
/// Axes, ticks, leaders.
pub const HAIR_MM: f64 = 0.18;

/// Unbroken.
pub const SOLID: &[f64] = &[];
/// Dashes, mm on and off.
pub const DASHED: &[f64] = &[1.8, 0.9];
/// Dots.
pub const DOTTED: &[f64] = &[0.45, 0.7];
/// Dash and dot.
pub const DASH_DOT: &[f64] = &[2.4, 0.7, 0.45, 0.7];

/// Long dashes.
pub const LONG_DASHES: &[f64] = &[4.0, 0.9];
/// Dash and two dots.
pub const DASH_DOT_DOT: &[f64] = &[2.4, 0.6, 0.45, 0.6, 0.45, 0.6];

/// How a line is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pen {
    /// Colour.
    pub colour: Colour,
    /// Width, mm.
    pub width_mm: f64,
    /// Lengths on and off, mm; empty for an unbroken line.
    pub dash: &'static [f64],
}

impl Pen {
    /// An unbroken line.
    #[must_use]
    pub const fn solid(colour: Colour, width_mm: f64) -> Self {
        Self { colour, width_mm, dash: SOLID }
    }

    /// The same line broken.
    #[must_use]
    pub const fn broken(self, dash: &'static [f64]) -> Self {
        Self { dash, ..self }
    }
}

/// Colour and dash of the scenarios of a comparison, in their order: no two alike in either, so that they differ in grey print too.
const SERIES: [(Colour, &[f64]); 6] = [
    (ENTRY, SOLID),
    (EXIT, DASHED),
    ((0x1a, 0x1a, 0x1a), DASH_DOT),
    ((0x00, 0x7a, 0x5e), LONG_DASHES),
    ((0xa0, 0x47, 0x8a), DOTTED),
    (NEUTRAL, DASH_DOT_DOT),
];

/// The pen of scenario no. `number` of a comparison, from 0; the seventh is as the first.
#[must_use]
pub fn series_pen(number: usize, width_mm: f64) -> Pen {
    let (colour, dash) = SERIES[number % SERIES.len()];
    Pen { colour, width_mm, dash }
}

/// `value` with so many decimals, a true minus sign and no negative zero.
#[must_use]
pub fn fixed(value: f64, decimals: usize) -> String {
    let text = format!("{value:.decimals$}");
    match text.strip_prefix('-') {
        Some(rest) if rest.bytes().all(|byte| byte == b'0' || byte == b'.') => rest.to_owned(),
        Some(rest) => format!("\u{2212}{rest}"),
        None => text,
    }
}

/// `value` to about `digits` significant digits, never with an exponent.
#[must_use]
pub fn significant(value: f64, digits: i32) -> String {
    if value == 0.0 || !value.is_finite() {
        return "0".to_owned();
    }
    let decimals = digits - 1 - value.abs().log10().floor() as i32;
    fixed(value, decimals.clamp(0, 9) as usize)
}

/// The same without the zeros at the end of its decimals.
#[must_use]
pub fn short(value: f64, digits: i32) -> String {
    let text = significant(value, digits);
    if text.contains('.') { text.trim_end_matches('0').trim_end_matches('.').to_owned() } else { text }
}

/// A unit of the decimal family in which the largest of some values has one to three digits before the point.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Scale {
    /// Unit as printed.
    pub unit: &'static str,
    /// Printed value of one SI unit.
    pub per_si: f64,
}

/// Unit for energies up to `largest_j`.
#[must_use]
pub fn energy_scale(largest_j: f64) -> Scale {
    pick(
        largest_j,
        [("nJ", 1e9), ("\u{b5}J", 1e6), ("mJ", 1e3), ("J", 1.0)].map(|(unit, per_si)| Scale { unit, per_si }),
    )
}

/// Unit for torques up to `largest_n_m`.
#[must_use]
pub fn torque_scale(largest_n_m: f64) -> Scale {
    pick(largest_n_m, [("\u{b5}N m", 1e6), ("mN m", 1e3), ("N m", 1.0)].map(|(unit, per_si)| Scale { unit, per_si }))
}

/// Unit for times up to `longest_s`.
#[must_use]
pub fn time_scale(longest_s: f64) -> Scale {
    let (unit, seconds) = match longest_s {
        long if long > 4.0 * SECONDS_PER_DAY => ("days", SECONDS_PER_DAY),
        long if long > 3.0 * SECONDS_PER_HOUR => ("h", SECONDS_PER_HOUR),
        long if long > 180.0 => ("min", 60.0),
        _ => ("s", 1.0),
    };
    Scale { unit, per_si: 1.0 / seconds }
}

fn pick<const N: usize>(largest: f64, scales: [Scale; N]) -> Scale {
    scales.into_iter().find(|scale| largest.abs() * scale.per_si < 1000.0).unwrap_or(scales[N - 1])
}

/// Width of a text in a plain sans-serif at type size `size_mm`, mm; on the wide side for the usual faces.
#[must_use]
pub fn text_width_mm(text: &str, size_mm: f64, bold: bool) -> f64 {
    let ems: f64 =
        text.chars()
            .map(|letter| match letter {
                ' ' | '!' | '\'' | '(' | ')' | ',' | '.' | '/' | ':' | ';' | 'I' | 'f' | 'i' | 'j' | 'l' | 't'
                | '|' => 0.29,
                'r' | '-' | '\u{b0}' => 0.38,
                'c' | 'k' | 's' | 'v' | 'x' | 'y' | 'z' => 0.51,
                'M' | 'W' | 'm' | '%' | '@' => 0.87,
                'A'..='Z' | 'w' => 0.71,
                _ => 0.565,
            })
            .sum();
    ems * size_mm * if bold { 1.16 } else { 1.1 }
}

/// Breaks a text at its line breaks and at blanks into lines of at most `width_mm` at the common type size.
#[must_use]
pub fn wrapped(text: &str, width_mm: f64) -> Vec<String> {
    text.lines().flat_map(|line| wrapped_line(line, width_mm)).collect()
}

fn wrapped_line(text: &str, width_mm: f64) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split(' ') {
        match lines.last_mut() {
            Some(line) if text_width_mm(&format!("{line} {word}"), TEXT_MM, false) <= width_mm => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}
