//! Polylines: the light one in a single entity, the older one with an entity for each vertex.

use crate::geometry::Point;

use super::entities::{Entity, Scan};
use super::pieces::{DrawnPiece, PieceKind, Values, mirrored_corner};
use super::problem::DrawingProblems;

/// A vertex of a polyline with the bulge of the edge that leaves it.
#[derive(Debug, Clone, Copy)]
pub(super) struct Corner {
    pub(super) at: Point,
    pub(super) bulge: f64,
}

/// Flags of a POLYLINE that make it something else: fitted by a spline, spatial, a mesh.
const NOT_FLAT: i64 = 4 | 8 | 16 | 64;

/// The corners of an LWPOLYLINE.
pub(super) fn light_corners(values: &mut Values<'_, '_, '_>) -> Vec<Corner> {
    let mut corners: Vec<Corner> = Vec::new();
    let entity = values.entity;
    for group in &entity.groups {
        if !matches!(group.code, 10 | 20 | 42) {
            continue;
        }
        let number = values.number(group);
        match (group.code, corners.last_mut()) {
            (10, _) => corners.push(Corner { at: Point::new(number, 0.0), bulge: 0.0 }),
            (20, Some(last)) => last.at.y = number,
            (_, Some(last)) => last.bulge = number,
            _ => {}
        }
        if !values.good {
            break;
        }
    }
    corners
}

/// The edges between corners, those without length left out.
pub(super) fn pieces_between(
    corners: &[Corner],
    closed: bool,
    piece: impl Fn(Point, Point, f64) -> DrawnPiece,
) -> Vec<DrawnPiece> {
    let closing = if closed { corners.first() } else { None };
    let ends = corners.iter().skip(1).chain(closing);
    corners
        .iter()
        .zip(ends)
        .filter(|(here, next)| here.at != next.at)
        .map(|(here, next)| piece(here.at, next.at, here.bulge))
        .collect()
}

/// A POLYLINE while its vertices are read.
#[derive(Debug)]
pub(super) struct Heavy {
    /// Number of the layer in the request; `None` for a polyline that is passed over.
    layer: Option<usize>,
    line: usize,
    closed: bool,
    mirrored: bool,
    corners: Vec<Corner>,
}

impl Heavy {
    /// One that nobody asked for.
    pub(super) const fn ignored() -> Self {
        Self { layer: None, line: 0, closed: false, mirrored: false, corners: Vec::new() }
    }

    pub(super) fn of(entity: &Entity<'_>, layer: usize, problems: &mut DrawingProblems) -> Self {
        let mut values = Values { entity, kind: PieceKind::Polyline, problems, good: true };
        let flags = values.flags();
        values.require(
            flags & NOT_FLAT == 0,
            "is a spline, a mesh or three-dimensional, not lines and arcs in the plane",
        );
        let mirrored = values.is_mirrored();
        let layer = values.good.then_some(layer);
        Self { layer, line: entity.line, closed: flags & 1 == 1, mirrored, corners: Vec::new() }
    }

    /// Vertices so far.
    pub(super) const fn len(&self) -> usize {
        self.corners.len()
    }

    pub(super) fn add_vertex(&mut self, entity: &Entity<'_>, problems: &mut DrawingProblems) {
        if self.layer.is_none() {
            return;
        }
        let mut values = Values { entity, kind: PieceKind::Polyline, problems, good: true };
        let corners = light_corners(&mut values);
        values.require(corners.len() == 1, "has a VERTEX without a position");
        if values.good {
            let place = |corner| if self.mirrored { mirrored_corner(corner) } else { corner };
            self.corners.extend(corners.into_iter().map(place));
        } else {
            self.layer = None;
        }
    }

    /// Adds the edges to the scan.
    pub(super) fn finish(self, scan: &mut Scan, problems: &mut DrawingProblems) {
        let Some(layer) = self.layer else { return };
        let piece = |from, to, bulge| DrawnPiece { layer, kind: PieceKind::Polyline, line: self.line, from, to, bulge };
        let pieces = pieces_between(&self.corners, self.closed, piece);
        if pieces.is_empty() {
            problems.add(self.line, "POLYLINE has no length".to_owned(), "delete it, or draw it again");
        }
        scan.pieces.extend(pieces);
    }
}
