//! Pictures of a map.

use crate::report::map::Frame;
use crate::study::map::Map;

/// A picture of a map.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MapFigure {
    /// File stem.
    pub name: String,
    /// The picture: a whole SVG document, 90 mm wide.
    pub svg: String,
}

/// The pictures.
#[must_use]
pub fn draw_map(_frame: &Frame<'_>, _map: &Map) -> Vec<MapFigure> {
    Vec::new()
}
