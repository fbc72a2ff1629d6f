//! Reads `[escapement.outline]`: tooth and pallets as chains of lines and arcs, or from a drawing.
//!
//! Coordinates are the only bare numbers that stand for lengths: millimetres.

use crate::clock::design::OutlineEscapement;
use crate::clock::side::PerPallet;
use crate::geometry::{Outline, OutlineError, Point, Vertex};
use crate::scenario::toml::numbers::{Allowed, plain_number};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::reader::Reader;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::source::Span;
use crate::scenario::toml::tree::{Node, Value};
use crate::units::Kind;

use super::drawing_layers::read_drawn_outlines;
use super::escapement::{ARBOR_DISTANCE, BEAT_ERROR, RESTITUTION};
use super::friction::read_friction;
use super::train::{FEWEST_TEETH, MOST_TEETH};

/// Edges that an outline may have; every pair of them is tested for crossing.
pub(in crate::scenario) const MOST_EDGES: usize = 400;

/// Largest coordinate, mm.
const FARTHEST_MM: f64 = 10_000.0;

/// Distance at which the last point counts as the first one, m.
const SAME_POINT_M: f64 = 1e-9;

const M_PER_MM: f64 = 1e-3;

/// The outlines of an escapement.
pub(in crate::scenario) const PARTS: [&str; 3] = ["tooth", "entry", "exit"];

/// The escapement by outlines.
pub(in crate::scenario) fn read_outline_escapement(mut section: Section<'_, '_>) -> Option<OutlineEscapement> {
    let teeth = section.count("teeth", FEWEST_TEETH, MOST_TEETH);
    let centre_distance = section.quantity("centre_distance", Kind::Length, ARBOR_DISTANCE);
    let friction = read_friction(&mut section, "friction");
    let restitution = section.number_or("restitution", RESTITUTION, 0.0);
    let beat_error = section.quantity_or("beat_error", Kind::Angle, BEAT_ERROR, 0.0);
    let [tooth, entry, exit] = if section.has("drawing") {
        section.refuse_beside("drawing", &PARTS, "outlines come from a drawing or from chains of points");
        read_drawn_outlines(&mut section, centre_distance)
    } else {
        PARTS.map(|part| read_outline(&mut section, part))
    };
    section.finish();
    Some(OutlineEscapement {
        teeth: teeth?,
        centre_distance_m: centre_distance?,
        friction: friction?,
        restitution: restitution?,
        beat_error_rad: beat_error?,
        tooth: tooth?,
        pallets: PerPallet { entry: entry?, exit: exit? },
    })
}

/// Distance of the farthest corner of the tooth from the wheel's arbor, m.
pub(in crate::scenario) fn tooth_reach_m(escapement: &OutlineEscapement) -> f64 {
    escapement.tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(0.0, f64::max)
}

fn read_outline(section: &mut Section<'_, '_>, key: &'static str) -> Option<Outline> {
    let help = "add it as { start = [x, y], path = [{ to = [x, y] }, { to = [x, y], bulge = 0.1 }] } in mm";
    let mut outline = section.required_section(key, help)?;
    let span = outline.span();
    let start = match outline.entry("start") {
        Some(entry) => read_point(outline.reader, &entry.node, &outline.path_of("start")),
        None => {
            outline.report_at(
                "start",
                ProblemCode::MissingKey,
                format!("`{}` is missing", outline.path_of("start")),
                help.to_owned(),
            );
            None
        }
    };
    let sections = outline.list("path");
    let edges = sections.len();
    if edges == 0 && !outline.has("path") {
        outline.report_at(
            "path",
            ProblemCode::MissingKey,
            format!("`{}` is missing", outline.path_of("path")),
            help.to_owned(),
        );
    }
    if edges > MOST_EDGES {
        let message = format!("`{}` has {edges} edges", outline.path_of("path"));
        outline.report_at(
            "path",
            ProblemCode::ImpossibleValue,
            message,
            format!("draw it with at most {MOST_EDGES} lines and arcs"),
        );
    }
    let mut targets = Vec::new();
    for mut edge in sections.into_iter().take(MOST_EDGES) {
        let edge_span = edge.span();
        let to = match edge.entry("to") {
            Some(entry) => read_point(edge.reader, &entry.node, &edge.path_of("to")),
            None => {
                let message = format!("`{}` is missing", edge.path_of("to"));
                edge.report_at("to", ProblemCode::MissingKey, message, "add to = [x, y] in mm".to_owned());
                None
            }
        };
        let bulge = edge.number_or("bulge", Allowed::Any, 0.0);
        edge.finish();
        targets.extend(to.zip(bulge).map(|(to, bulge)| Target { to, bulge, span: edge_span }));
    }
    let reader = outline.reader;
    let called = outline.path_of("path");
    outline.finish();
    if edges == 0 || targets.len() != edges {
        return None;
    }
    Outline::new(closed_chain(start?, &targets))
        .map_err(|error| report_outline(reader, error, &called, span, &targets))
        .ok()
}

struct Target {
    to: Point,
    bulge: f64,
    span: Span,
}

/// The vertices of a chain. A target's bulge is that of the edge leading to it, a vertex's that of the edge leaving it.
/// A last point on the start is merged with it; otherwise a line closes the chain.
fn closed_chain(start: Point, targets: &[Target]) -> Vec<Vertex> {
    let corners = std::iter::once(start).chain(targets.iter().map(|target| target.to));
    let bulges = targets.iter().map(|target| target.bulge).chain(std::iter::once(0.0));
    let mut vertices: Vec<Vertex> = corners.zip(bulges).map(|(at, bulge)| Vertex { at, bulge }).collect();
    if targets.last().is_some_and(|last| (last.to - start).norm() < SAME_POINT_M) {
        vertices.pop();
    }
    vertices
}

fn report_outline(reader: &Reader, error: OutlineError, called: &str, whole: Span, targets: &[Target]) {
    let edge_span = |edge: usize| targets.get(edge).map_or(whole, |target| target.span);
    let why = match error {
        OutlineError::Crossing(..) => "two of its edges cross".to_owned(),
        OutlineError::EmptyEdge(_) => "this edge has no length".to_owned(),
        OutlineError::FullTurn(_) => "this arc bends by nearly a full turn".to_owned(),
        OutlineError::NotFinite(_) => "this is not a finite point".to_owned(),
        OutlineError::TooFewEdges(_) | OutlineError::NoArea => error.to_string(),
    };
    let (span, help) = match error {
        OutlineError::EmptyEdge(edge) => (edge_span(edge), "leave the point out: it is the same as the one before"),
        OutlineError::FullTurn(edge) => (edge_span(edge), "split the arc; a half circle has bulge = 1"),
        OutlineError::NotFinite(edge) => (edge_span(edge), "write finite numbers"),
        OutlineError::TooFewEdges(_) => (whole, "give at least three edges, or two with an arc"),
        OutlineError::NoArea => (whole, "trace the outside of the shape once"),
        OutlineError::Crossing(..) => (whole, "trace the outside of the shape once, without crossing the line"),
    };
    reader.report(ProblemCode::ImpossibleValue, format!("`{called}` is not an outline: {why}"), help.to_owned(), span);
}

/// A point `[x, y]` in millimetres, as metres.
fn read_point(reader: &Reader, node: &Node, path: &str) -> Option<Point> {
    let help = || "write two plain numbers in mm, for example [12.5, -3]".to_owned();
    let Value::Array(items) = &node.value else {
        let message = format!("`{path}` is {}, not a point", node.value.type_name());
        reader.report(ProblemCode::WrongType, message, help(), node.span);
        return None;
    };
    let [x, y] = items.as_slice() else {
        reader.report(
            ProblemCode::WrongType,
            format!("`{path}` has {} numbers, not two", items.len()),
            help(),
            node.span,
        );
        return None;
    };
    let coordinate = |item: &Node| match plain_number(item) {
        Some(value) if value.abs() <= FARTHEST_MM => Some(value * M_PER_MM),
        Some(_) => {
            let message = format!("`{path}` is too far out for a clock");
            reader.report(ProblemCode::ImpossibleValue, message, format!("stay within {FARTHEST_MM} mm"), item.span);
            None
        }
        None => {
            let message = format!("`{path}` contains {}, not a plain number", item.value.type_name());
            reader.report(ProblemCode::WrongType, message, help(), item.span);
            None
        }
    };
    let (x, y) = (coordinate(x), coordinate(y));
    Some(Point::new(x?, y?))
}
