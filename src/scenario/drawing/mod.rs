//! Outlines from a DXF drawing: lines, arcs, circles and polylines of chosen layers, joined to closed outlines.
//!
//! Reads the ASCII form, every version. Of the entities on a layer that was not asked for only the layer's name is looked
//! at. Work and memory grow in proportion to the file, whatever is in it.

mod entities;
mod groups;
mod join;
mod pieces;
mod polyline;
mod problem;

use crate::geometry::Outline;

use super::toml::nearest::suggestion;
use entities::{Scan, scan};
use join::outlines_of;
pub use problem::{DrawingProblem, DrawingProblems};

/// Largest drawing that is read, bytes.
pub const LARGEST_DRAWING_BYTES: u64 = 64 * 1024 * 1024;

/// Lines and arcs that the layers asked for may have together, those of polylines included.
pub const MOST_PIECES: usize = 200_000;

/// Largest distance from the drawing's origin, m: no clock reaches as far.
const FARTHEST_M: f64 = 10.0;

/// Unit that coordinates of a drawing are in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum DrawingUnit {
    /// 25.4 mm.
    Inch,
    /// Millimetre.
    Millimetre,
    /// Centimetre.
    Centimetre,
    /// Metre.
    Metre,
}

impl DrawingUnit {
    /// Metres to the unit.
    #[must_use]
    pub const fn in_m(self) -> f64 {
        match self {
            Self::Inch => crate::units::M_PER_INCH,
            Self::Millimetre => 1e-3,
            Self::Centimetre => 1e-2,
            Self::Metre => 1.0,
        }
    }

    /// The unit's short name.
    #[must_use]
    pub const fn symbol(self) -> &'static str {
        match self {
            Self::Inch => "in",
            Self::Millimetre => "mm",
            Self::Centimetre => "cm",
            Self::Metre => "m",
        }
    }

    /// The unit of a value of the header variable `$INSUNITS`.
    const fn of_header(code: i64) -> Option<Self> {
        match code {
            1 => Some(Self::Inch),
            4 => Some(Self::Millimetre),
            5 => Some(Self::Centimetre),
            6 => Some(Self::Metre),
            _ => None,
        }
    }
}

/// What is wanted of a drawing.
#[derive(Debug, Clone, Copy)]
pub struct DrawingRequest<'a> {
    /// Names of the layers, upper and lower case alike.
    pub layers: &'a [&'a str],
    /// Ends at most so far apart are one point, and shorter edges are left out, m; above zero.
    pub join_m: f64,
    /// The unit, for a drawing that does not state it.
    pub unit: Option<DrawingUnit>,
}

/// An outline and where in the drawing it begins.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnOutline {
    /// The outline, m, origin and axes as in the drawing.
    pub outline: Outline,
    /// Line of the drawing with its first entity, from 1.
    pub line: usize,
}

/// The outlines on each of the layers asked for, in the order of the request, each layer with at least one.
///
/// # Errors
/// [`DrawingProblems`], each with its line: not a DXF file in ASCII, cut off, too large, no or an unknown unit, a missing layer,
/// an entity that is no line or arc, numbers that are not finite, entities without length, open or branching chains,
/// outlines that cross themselves.
pub fn outlines_by_layer(
    bytes: &[u8],
    request: &DrawingRequest<'_>,
) -> Result<Vec<Vec<DrawnOutline>>, DrawingProblems> {
    let mut problems = DrawingProblems::default();
    let found = read_layers(bytes, request, &mut problems);
    match found {
        Some(outlines) if problems.is_empty() => Ok(outlines),
        _ => Err(problems),
    }
}

fn read_layers(
    bytes: &[u8],
    request: &DrawingRequest<'_>,
    problems: &mut DrawingProblems,
) -> Option<Vec<Vec<DrawnOutline>>> {
    if bytes.len() as u64 > LARGEST_DRAWING_BYTES {
        let message = format!("the drawing is larger than {} MB and is not read", LARGEST_DRAWING_BYTES / 1024 / 1024);
        problems.add(0, message, "keep only the layers of tooth and pallets in it");
        return None;
    }
    let scanned = scan(bytes, request.layers, problems)?;
    let unit = unit_of(&scanned, request.unit, problems);
    report_missing_layers(&scanned, request.layers, problems);
    let unit = unit?;
    if !problems.is_empty() {
        return None;
    }
    let pieces: Vec<_> = scanned.pieces.iter().map(|piece| piece.scaled(unit.in_m())).collect();
    if let Some(far) = pieces.iter().find(|piece| piece.reach() > FARTHEST_M) {
        let message = format!(
            "{} reaches {:.3e} m from the origin, in the unit {} of the drawing; no clock is that large",
            far.kind,
            far.reach(),
            unit.symbol()
        );
        problems.add(far.line, message, "correct the drawing's unit, or move the wheel's centre to the origin");
        return None;
    }
    let outlines = request
        .layers
        .iter()
        .enumerate()
        .map(|(number, layer)| {
            let own: Vec<_> = pieces.iter().filter(|piece| piece.layer == number).copied().collect();
            outlines_of(&own, layer, request.join_m, problems)
        })
        .collect();
    Some(outlines)
}

/// The unit by the header, else the one given. Both together have to agree.
fn unit_of(scanned: &Scan, given: Option<DrawingUnit>, problems: &mut DrawingProblems) -> Option<DrawingUnit> {
    match (scanned.unit_code, given) {
        (None | Some((0, _)), Some(unit)) => Some(unit),
        (None | Some((0, _)), None) => {
            let line = scanned.unit_code.map_or(0, |(_, line)| line);
            let message = "the drawing does not state its unit ($INSUNITS)".to_owned();
            problems.add(line, message, "add unit = \"mm\", or what it was drawn in, beside `file`");
            None
        }
        (Some((code, line)), given) => {
            let stated = DrawingUnit::of_header(code);
            let message = match (stated, given) {
                (None, _) => format!("the drawing's unit ($INSUNITS = {code}) is none of mm, cm, m and inch"),
                (Some(stated), Some(given)) if stated != given => {
                    format!("the drawing states its unit as {}, not {}", stated.symbol(), given.symbol())
                }
                _ => return stated,
            };
            problems.add(line, message, "correct whichever of the two is wrong; 1 is inch, 4 mm, 5 cm, 6 m");
            None
        }
    }
}

fn report_missing_layers(scanned: &Scan, layers: &[&str], problems: &mut DrawingProblems) {
    let known: Vec<&str> = scanned.layers_seen.iter().map(String::as_str).collect();
    for (number, layer) in layers.iter().enumerate() {
        if !scanned.used[number] {
            let help = suggestion(layer, &known, "layer");
            problems.add(0, format!("nothing is drawn on a layer \"{layer}\""), &help);
        }
    }
}
