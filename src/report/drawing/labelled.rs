//! A drawing with words and a bar to measure: what is printed on paper and drilled from.

use crate::geometry::{Outline, Point};

/// The layer of the labels.
pub(super) const LABELS: &str = "LABELS";

/// Width of a letter over its height, on the safe side for any typeface.
const LETTER_WIDTH: f64 = 0.6;

/// Words on a drawing.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnLabel {
    /// Lower left corner, m.
    pub at: Point,
    /// Height of the letters, m.
    pub height_m: f64,
    /// The words.
    pub text: String,
}

impl DrawnLabel {
    /// Lower left and upper right corner of the words, about, m.
    pub(super) fn corners(&self) -> [Point; 2] {
        let width_m = LETTER_WIDTH * self.height_m * self.text.chars().count() as f64;
        [self.at, self.at + Point::new(width_m, self.height_m)]
    }
}

/// Outlines on layers, m, with words; [`svg_of`](super::svg_of) and [`dxf_of`](super::dxf_of) write it at full size.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct LabelledDrawing {
    /// Layers and outlines.
    pub outlines: Vec<(&'static str, Outline)>,
    /// Words.
    pub labels: Vec<DrawnLabel>,
    /// Layers that are there for reference only.
    pub faint: Vec<&'static str>,
}

impl LabelledDrawing {
    /// Layers and outlines as the writers take them.
    #[must_use]
    pub fn drawn(&self) -> Vec<(&str, &Outline)> {
        self.outlines.iter().map(|(layer, outline)| (*layer, outline)).collect()
    }

    /// Width and height of its picture, border included, m.
    #[must_use]
    pub fn size_m(&self) -> (f64, f64) {
        super::svg::size_m(self)
    }

    /// Lower left and upper right corner of what is drawn so far, m; the origin of nothing.
    pub(in crate::report) fn extent_m(&self, sagitta_m: f64) -> (Point, Point) {
        let drawn = self.outlines.iter().flat_map(|(_, outline)| outline.polyline(sagitta_m));
        let points: Vec<Point> = drawn.chain(self.labels.iter().flat_map(DrawnLabel::corners)).collect();
        let Some(&first) = points.first() else { return (Point::zeros(), Point::zeros()) };
        points.iter().fold((first, first), |(low, high), point| (low.inf(point), high.sup(point)))
    }
}
