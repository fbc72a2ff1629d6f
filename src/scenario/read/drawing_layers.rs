//! Reads `escapement.outline.drawing`: tooth and pallets from layers of a DXF file beside the scenario.

use std::path::Path;

use crate::geometry::Outline;
use crate::scenario::drawing::{
    DrawingProblems, DrawingRequest, DrawingUnit, DrawnOutline, LARGEST_DRAWING_BYTES, outlines_by_layer,
};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::text_file::{Unread, bytes_of};
use crate::units::Kind;

use super::outline::PARTS;

/// Ends at most so far apart are joined where the scenario does not say, m: below what a printer can show.
const DEFAULT_JOIN_M: f64 = 1e-5;

const JOIN: Allowed = Allowed::Between(1e-9, 1e-3, "from 1e-6 mm to 1 mm");

/// Reach of a tooth over the distance of the arbors that no escapement has, below and above. A drawing in a wrong unit is
/// off by 10, 25.4 or more.
const ODD_REACH: (f64, f64) = (0.15, 2.0);

const UNITS: [(&str, DrawingUnit); 4] = [
    ("mm", DrawingUnit::Millimetre),
    ("cm", DrawingUnit::Centimetre),
    ("m", DrawingUnit::Metre),
    ("in", DrawingUnit::Inch),
];

/// Tooth, entry and exit.
pub(in crate::scenario) fn read_drawn_outlines(
    section: &mut Section<'_, '_>,
    centre_distance_m: Option<f64>,
) -> [Option<Outline>; 3] {
    read(section, centre_distance_m).map_or([None, None, None], |outlines| outlines.map(Some))
}

fn read(section: &mut Section<'_, '_>, centre_distance_m: Option<f64>) -> Option<[Outline; 3]> {
    let mut drawing = section.section("drawing")?;
    let file = drawing.text("file");
    let layers = PARTS.map(|part| drawing.text(part));
    let join_m = drawing.quantity_or("join", Kind::Length, JOIN, DEFAULT_JOIN_M);
    let unit = if drawing.has("unit") { drawing.choice("unit", &UNITS, None).map(Some) } else { Some(None) };
    let content = file.as_ref().and_then(|file| content_of(&drawing, file));
    // Known even where it is absent, for the suggestions of a mistyped key.
    drawing.entry("unit");
    let outlines = match (&file, &content, &layers, join_m, unit) {
        (Some(file), Some(content), [Some(tooth), Some(entry), Some(exit)], Some(join_m), Some(unit)) => {
            let request = DrawingRequest { layers: &[tooth, entry, exit], join_m, unit };
            outlines_of(&drawing, file, content, &request, centre_distance_m)
        }
        _ => None,
    };
    if let Some(content) = content {
        drawing.reader.keep_named_file(content);
    }
    drawing.finish();
    outlines
}

fn outlines_of(
    drawing: &Section<'_, '_>,
    file: &str,
    content: &[u8],
    request: &DrawingRequest<'_>,
    centre_distance_m: Option<f64>,
) -> Option<[Outline; 3]> {
    if let Some(second) = repeated(request.layers) {
        let message = format!("`{}` is the layer of another part", drawing.path_of(PARTS[second]));
        let help = "draw tooth, entry and exit pallet on three layers".to_owned();
        drawing.report_at(PARTS[second], ProblemCode::Conflict, message, help);
        return None;
    }
    let found = match outlines_by_layer(content, request) {
        Ok(found) => found,
        Err(problems) => {
            report(drawing, file, &problems);
            return None;
        }
    };
    let alone = [0, 1, 2].map(|part| the_only_one(drawing, file, PARTS[part], &found[part]));
    let [Some(tooth), Some(entry), Some(exit)] = alone else { return None };
    let reach_m = tooth.outline.vertices().iter().map(|vertex| vertex.at.norm()).fold(0.0, f64::max);
    if let Some(distance_m) = centre_distance_m
        && !(ODD_REACH.0 * distance_m..=ODD_REACH.1 * distance_m).contains(&reach_m)
    {
        let message = format!(
            "{file}:{}: the tooth ends {:.3} mm from the drawing's origin, but the arbors are {:.3} mm apart",
            tooth.line,
            1e3 * reach_m,
            1e3 * distance_m
        );
        let help = "check the drawing's unit ($INSUNITS), and that the wheel's centre is its origin".to_owned();
        drawing.report_at("tooth", ProblemCode::Drawing, message, help);
        return None;
    }
    Some([tooth, entry, exit].map(|drawn| drawn.outline.clone()))
}

/// The second of two layers with the same name.
fn repeated(layers: &[&str]) -> Option<usize> {
    (1..layers.len()).find(|&second| layers[..second].iter().any(|first| first.eq_ignore_ascii_case(layers[second])))
}

fn report(drawing: &Section<'_, '_>, file: &str, problems: &DrawingProblems) {
    for problem in problems.list() {
        drawing.report_at("file", ProblemCode::Drawing, problem.in_file(file), problem.help.clone());
    }
    if problems.left_out() > 0 {
        let more = problems.left_out();
        let message = format!("{file}: {more} more {}", if more == 1 { "problem" } else { "problems" });
        drawing.report_at("file", ProblemCode::Drawing, message, "fix the ones above first".to_owned());
    }
}

fn the_only_one<'o>(
    drawing: &Section<'_, '_>,
    file: &str,
    part: &str,
    found: &'o [DrawnOutline],
) -> Option<&'o DrawnOutline> {
    if let [one] = found {
        return Some(one);
    }
    let lines: Vec<String> = found.iter().take(4).map(|drawn| drawn.line.to_string()).collect();
    let more = if found.len() > lines.len() { ", ..." } else { "" };
    let second = found.get(1).map_or(0, |drawn| drawn.line);
    let message = format!(
        "{file}:{second}: the layer of the {part} holds {} closed chains, at lines {}{more}",
        found.len(),
        lines.join(", ")
    );
    let help = "keep one on the layer: a single tooth, or the pallet without bores".to_owned();
    drawing.report_at(part, ProblemCode::Drawing, message, help);
    None
}

/// The bytes of the file, or a problem at its name.
fn content_of(drawing: &Section<'_, '_>, file: &str) -> Option<Vec<u8>> {
    let refuse = |message: String, help: &str| {
        drawing.report_at("file", ProblemCode::Drawing, message, help.to_owned());
        None
    };
    let Some(folder) = drawing.reader.folder_of(drawing.span_of("file").source) else {
        return refuse(format!("{file} cannot be found: this scenario is not in a folder"), "save the scenario first");
    };
    let path = folder.join(Path::new(file));
    if let Some((message, help)) = drawing.reader.reach().objection(file, &path) {
        return refuse(message, help);
    }
    let help = "the path is relative to the folder of the file that names it";
    match bytes_of(&path, LARGEST_DRAWING_BYTES) {
        Ok(content) => Some(content),
        Err(Unread::Unreadable(error)) => refuse(format!("cannot read {file}: {error}"), help),
        Err(Unread::Directory | Unread::NotRegular) => refuse(format!("{file} is not a file"), help),
        Err(Unread::TooLarge) => {
            let message = format!("{file} is larger than {} MB and is not read", LARGEST_DRAWING_BYTES / 1024 / 1024);
            refuse(message, "keep only the layers of tooth and pallets in it")
        }
    }
}
