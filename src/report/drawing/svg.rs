//! SVG at full size: one unit of the picture is a millimetre, arcs are arcs.

use std::fmt::Write as _;

use crate::geometry::Outline;

use super::labelled::{DrawnLabel, LABELS, LabelledDrawing};
use super::{MM_PER_M, names};

/// Free space around the outlines, mm.
const BORDER_MM: f64 = 2.0;

/// Width of the lines, mm.
const HAIRLINE_MM: f64 = 0.05;

/// Width of the lines of a sheet with labels, mm.
const SHEET_LINE_MM: f64 = 0.15;

/// Largest departure of the polylines that find the extent, m.
const SAGITTA_M: f64 = 1e-5;

/// Width of the lines of layers that are drawn for reference, mm.
const FAINT_MM: f64 = 0.1;

/// Their colour.
const FAINT: &str = "#808080";

/// The text of an SVG picture of outlines (m) in the layers given, as groups with the layers' names as ids. Black hairlines, y
/// up as in the outlines, sizes in mm.
#[must_use]
pub fn svg_text(drawn: &[(&str, &Outline)]) -> String {
    written(drawn, &[], &[])
}

/// The same of a drawing with labels; faint layers are grey.
#[must_use]
pub fn svg_of(drawing: &LabelledDrawing) -> String {
    written(&drawing.drawn(), &drawing.labels, &drawing.faint)
}

/// Width and height of the picture, m.
pub(super) fn size_m(drawing: &LabelledDrawing) -> (f64, f64) {
    let (low, high) = extent_mm(&drawing.drawn(), &drawing.labels);
    ((high.0 - low.0) / MM_PER_M, (high.1 - low.1) / MM_PER_M)
}

fn written(drawn: &[(&str, &Outline)], labels: &[DrawnLabel], faint: &[&str]) -> String {
    let (low, high) = extent_mm(drawn, labels);
    let (width, height) = (high.0 - low.0, high.1 - low.1);
    let mut text = format!(
        "<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{0}mm\" height=\"{1}mm\" viewBox=\"{2} {3} {0} {1}\"{4}>\n",
        number(width),
        number(height),
        number(low.0),
        number(-high.1),
        // A sheet is white also where it is shown on a dark screen; what only cuts has no colour.
        if labels.is_empty() { "" } else { " style=\"background:white\"" },
    );
    for layer in names(drawn) {
        let id: String = layer.chars().map(|c| if c.is_ascii_alphanumeric() || c == '-' { c } else { '_' }).collect();
        let (colour, line_mm) = if faint.contains(&layer) { (FAINT, FAINT_MM) } else { ("black", line_mm(labels)) };
        let _ = writeln!(text, "<g id=\"{id}\" fill=\"none\" stroke=\"{colour}\" stroke-width=\"{line_mm}\">");
        for (_, outline) in drawn.iter().filter(|(name, _)| *name == layer) {
            let _ = writeln!(text, "<path d=\"{}\"/>", path(outline));
        }
        text.push_str("</g>\n");
    }
    if !labels.is_empty() {
        let _ = writeln!(text, "<g id=\"{LABELS}\" font-family=\"sans-serif\">");
        for label in labels {
            let [x, y, height] = [label.at.x, -label.at.y, label.height_m].map(|value_m| number(value_m * MM_PER_M));
            let words = escaped(&label.text);
            let _ = writeln!(text, "<text x=\"{x}\" y=\"{y}\" font-size=\"{height}\">{words}</text>");
        }
        text.push_str("</g>\n");
    }
    text.push_str("</svg>\n");
    text
}

/// Width of the lines: a sheet with labels is drilled from, by eye.
fn line_mm(labels: &[DrawnLabel]) -> f64 {
    if labels.is_empty() { HAIRLINE_MM } else { SHEET_LINE_MM }
}

/// Text as an element may hold it.
fn escaped(text: &str) -> String {
    let character = |c: char| match c {
        '<' => "&lt;".to_owned(),
        '>' => "&gt;".to_owned(),
        '&' => "&amp;".to_owned(),
        c if c.is_control() => " ".to_owned(),
        c => c.to_string(),
    };
    text.chars().map(character).collect()
}

fn path(outline: &Outline) -> String {
    let number = |value_m: f64| number(value_m * MM_PER_M);
    let mut path = String::new();
    for (index, (from, to, bulge)) in outline.edges().enumerate() {
        if index == 0 {
            let _ = write!(path, "M{} {}", number(from.x), number(-from.y));
        }
        let (x, y) = (number(to.x), number(-to.y));
        if bulge == 0.0 {
            let _ = write!(path, " L{x} {y}");
            continue;
        }
        let radius = number((to - from).norm() * (1.0 + bulge * bulge) / (4.0 * bulge.abs()));
        let large = u8::from(bulge.abs() > 1.0);
        // The picture's y points down, so that its positive sense is clockwise to the eye.
        let sense = u8::from(bulge < 0.0);
        let _ = write!(path, " A{radius} {radius} 0 {large} {sense} {x} {y}");
    }
    path.push('Z');
    path
}

/// Lower left and upper right corner with the border, mm, outward to a tenth: more than the polylines cut off.
fn extent_mm(drawn: &[(&str, &Outline)], labels: &[DrawnLabel]) -> ((f64, f64), (f64, f64)) {
    let mut low = (f64::INFINITY, f64::INFINITY);
    let mut high = (f64::NEG_INFINITY, f64::NEG_INFINITY);
    let outlined = drawn.iter().flat_map(|(_, outline)| outline.polyline(SAGITTA_M));
    for point in outlined.chain(labels.iter().flat_map(DrawnLabel::corners)) {
        low = (low.0.min(point.x * MM_PER_M), low.1.min(point.y * MM_PER_M));
        high = (high.0.max(point.x * MM_PER_M), high.1.max(point.y * MM_PER_M));
    }
    if drawn.is_empty() {
        (low, high) = ((0.0, 0.0), (0.0, 0.0));
    }
    let down = |mm: f64| (10.0 * mm).floor() / 10.0 - BORDER_MM;
    let up = |mm: f64| (10.0 * mm).ceil() / 10.0 + BORDER_MM;
    ((down(low.0), down(low.1)), (up(high.0), up(high.1)))
}

/// Millimetres to the nanometre, without trailing zeros.
fn number(value_mm: f64) -> String {
    // Adding zero makes -0 plain.
    ((value_mm * 1e6).round() / 1e6 + 0.0).to_string()
}
