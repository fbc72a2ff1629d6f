//! Lines and arcs of one entity.

use std::f64::consts::TAU;
use std::fmt;

use crate::geometry::Point;

use super::entities::Entity;
use super::groups::CodeGroup;
use super::polyline::{Corner, light_corners, pieces_between};
use super::problem::DrawingProblems;

/// The entity that a piece comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum PieceKind {
    Line,
    Arc,
    Circle,
    LightPolyline,
    Polyline,
}

impl fmt::Display for PieceKind {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(match self {
            Self::Line => "LINE",
            Self::Arc => "ARC",
            Self::Circle => "CIRCLE",
            Self::LightPolyline => "LWPOLYLINE",
            Self::Polyline => "POLYLINE",
        })
    }
}

/// A line or arc.
#[derive(Debug, Clone, Copy)]
pub(super) struct DrawnPiece {
    /// Number of the layer in the request.
    pub(super) layer: usize,
    pub(super) kind: PieceKind,
    /// Line of the drawing with the entity's name.
    pub(super) line: usize,
    pub(super) from: Point,
    pub(super) to: Point,
    pub(super) bulge: f64,
}

impl DrawnPiece {
    pub(super) fn scaled(&self, unit_m: f64) -> Self {
        Self { from: self.from * unit_m, to: self.to * unit_m, ..*self }
    }

    /// Distance of the farther end from the origin.
    pub(super) fn reach(&self) -> f64 {
        self.from.norm().max(self.to.norm())
    }

    fn mirrored(&self) -> Self {
        let flip = |point: Point| Point::new(-point.x, point.y);
        Self { from: flip(self.from), to: flip(self.to), bulge: -self.bulge, ..*self }
    }
}

/// The pieces of an entity other than POLYLINE; none after a problem.
pub(super) fn pieces_of(
    entity: &Entity<'_>,
    layer: usize,
    layer_name: &str,
    problems: &mut DrawingProblems,
) -> Vec<DrawnPiece> {
    let Some(kind) = entity.kind() else {
        let name = String::from_utf8_lossy(entity.name);
        let message = format!("{name} on layer \"{layer_name}\" is neither line nor arc");
        let help = match entity.name {
            b"SPLINE" | b"ELLIPSE" => {
                "have the drawing program turn curves into arcs or polylines when it exports (in Inkscape \"flatten\", in CAD \"convert splines\"), or draw lines and arcs"
            }
            b"INSERT" => "break the block up into its lines and arcs",
            _ => "delete it, or move it to a layer of its own",
        };
        problems.add(entity.line, message, help);
        return Vec::new();
    };
    let mut values = Values { entity, kind, problems, good: true };
    let mirror = kind != PieceKind::Line && values.is_mirrored();
    let piece = |from, to, bulge| DrawnPiece { layer, kind, line: entity.line, from, to, bulge };
    let pieces = match kind {
        PieceKind::Line => {
            let (from, to) = (values.point(10), values.point(11));
            let rise = values.or(31, 0.0) - values.or(30, 0.0);
            values.require(rise.abs() < 1e-9, "does not lie in the plane");
            values.require(from != to, "has no length");
            vec![piece(from, to, 0.0)]
        }
        PieceKind::Arc => {
            let (centre, radius) = (values.point(10), values.needed(40));
            let (start, end) = (values.needed(50), values.needed(51));
            values.require(radius > 0.0, "has no radius");
            values.require(start != end, "has no length");
            let sweep = (end - start).rem_euclid(360.0).to_radians();
            arc(centre, radius, start.to_radians(), sweep, piece)
        }
        PieceKind::Circle => {
            let (centre, radius) = (values.point(10), values.needed(40));
            values.require(radius > 0.0, "has no radius");
            arc(centre, radius, 0.0, TAU, piece)
        }
        PieceKind::LightPolyline | PieceKind::Polyline => {
            let corners = light_corners(&mut values);
            let closed = values.flags() & 1 == 1;
            let pieces = pieces_between(&corners, closed, piece);
            values.require(!pieces.is_empty(), "has no length");
            pieces
        }
    };
    match (values.good, mirror) {
        (false, _) => Vec::new(),
        (true, true) => pieces.iter().map(DrawnPiece::mirrored).collect(),
        (true, false) => pieces,
    }
}

/// An arc anticlockwise from an angle on, in two pieces if it is more than half a turn.
fn arc(
    centre: Point,
    radius: f64,
    start_rad: f64,
    sweep_rad: f64,
    piece: impl Fn(Point, Point, f64) -> DrawnPiece,
) -> Vec<DrawnPiece> {
    let at = |angle: f64| centre + radius * Point::new(angle.cos(), angle.sin());
    if sweep_rad <= 0.5 * TAU {
        return vec![piece(at(start_rad), at(start_rad + sweep_rad), (0.25 * sweep_rad).tan())];
    }
    let middle = at(start_rad + 0.5 * sweep_rad);
    let bulge = (0.125 * sweep_rad).tan();
    let end = if sweep_rad == TAU { at(start_rad) } else { at(start_rad + sweep_rad) };
    vec![piece(at(start_rad), middle, bulge), piece(middle, end, bulge)]
}

/// Reads the numbers of an entity and tells what is wrong with them.
#[derive(Debug)]
pub(super) struct Values<'e, 't, 'p> {
    pub(super) entity: &'e Entity<'t>,
    pub(super) kind: PieceKind,
    pub(super) problems: &'p mut DrawingProblems,
    /// Whether no problem has been found.
    pub(super) good: bool,
}

impl Values<'_, '_, '_> {
    /// The finite number of a group; 0 after a problem.
    pub(super) fn number(&mut self, group: &CodeGroup<'_>) -> f64 {
        let parsed = std::str::from_utf8(group.value).ok().and_then(|text| text.parse::<f64>().ok());
        match parsed {
            Some(value) if value.is_finite() => value,
            _ => {
                let what = if parsed.is_some() { "not a finite number" } else { "not a number" };
                let shown: String = group.text().chars().take(40).collect();
                let message = format!("{} has the coordinate \"{shown}\", which is {what}", self.kind);
                self.problems.add(group.line, message, "draw it again");
                self.good = false;
                0.0
            }
        }
    }

    fn found(&self, code: i32) -> Option<CodeGroup<'_>> {
        self.entity.groups.iter().find(|group| group.code == code).copied()
    }

    /// The first number with a code.
    fn or(&mut self, code: i32, default: f64) -> f64 {
        let entity = self.entity;
        match entity.groups.iter().find(|group| group.code == code) {
            Some(group) => self.number(group),
            None => default,
        }
    }

    fn needed(&mut self, code: i32) -> f64 {
        let there = self.found(code).is_some();
        self.require(there, &format!("has no group {code}"));
        self.or(code, 0.0)
    }

    fn point(&mut self, code: i32) -> Point {
        Point::new(self.needed(code), self.needed(code + 10))
    }

    /// The flags in group 70.
    pub(super) fn flags(&self) -> i64 {
        self.found(70).and_then(|group| group.integer()).unwrap_or(0)
    }

    /// Reports that the entity is not as it should be, once.
    pub(super) fn require(&mut self, holds: bool, otherwise: &str) {
        if self.good && !holds {
            let message = format!("{} {otherwise}", self.kind);
            self.problems.add(self.entity.line, message, "delete it, or draw it again");
            self.good = false;
        }
    }

    /// Whether the entity is seen from behind (its extrusion direction is -z): its x axis then points left.
    pub(super) fn is_mirrored(&mut self) -> bool {
        let normal = (self.or(210, 0.0), self.or(220, 0.0), self.or(230, 1.0));
        let length = normal.2.abs();
        self.require(length > 0.0 && normal.0.hypot(normal.1) < 1e-9 * length, "does not lie in the plane");
        normal.2 < 0.0
    }
}

/// Corners mirrored as [`Values::is_mirrored`] says.
pub(super) fn mirrored_corner(corner: Corner) -> Corner {
    Corner { at: Point::new(-corner.at.x, corner.at.y), bulge: -corner.bulge }
}
