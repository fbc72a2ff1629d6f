//! A plot area with its two axes.

use super::look::{GRID, HAIR_MM, INK, MARGIN_MM, Pen, SOFT, TEXT_MM, WIDTH_MM, fixed, text_width_mm};
use super::sheet::{Anchor, At, PlotFrame, Sheet};
use crate::numerics::extremes::extremes;

/// A linear axis.
#[derive(Debug, Clone, PartialEq)]
pub struct PanelAxis {
    low: f64,
    high: f64,
    step: f64,
    name: String,
    /// Ticks in words, in place of even ones.
    named: Vec<(f64, String)>,
}

impl PanelAxis {
    /// The axis over `values` with some room at both ends; `name` with its unit in brackets, `ticks` about how many.
    #[must_use]
    pub fn over(values: impl IntoIterator<Item = f64>, name: &str, ticks: f64) -> Self {
        let (low, high) = extremes(values.into_iter().filter(|value| value.is_finite()));
        let (low, high) = if low <= high { (low, high) } else { (0.0, 1.0) };
        // A span of rounding errors is none.
        let least = (1e-9 * low.abs().max(high.abs())).max(1e-12);
        let room = if high - low > least { 0.05 * (high - low) } else { 0.05 * high.abs().max(1.0) };
        Self::between(low - room, high + room, name, ticks)
    }

    /// The axis from `low` to `high` exactly.
    #[must_use]
    pub fn between(low: f64, high: f64, name: &str, ticks: f64) -> Self {
        let high = if high > low { high } else { low + 1.0 };
        let raw = (high - low) / ticks.max(1.0);
        let power = 10f64.powf(raw.log10().floor());
        let step = [1.0, 2.0, 5.0, 10.0].into_iter().map(|lead| lead * power).find(|step| *step >= raw * 0.999);
        Self { low, high, step: step.unwrap_or(raw), name: name.to_owned(), named: Vec::new() }
    }

    /// The same axis with these ticks, each at its value.
    #[must_use]
    pub fn with_ticks(self, named: Vec<(f64, String)>) -> Self {
        Self { named, ..self }
    }

    /// Lower end.
    #[must_use]
    pub fn low(&self) -> f64 {
        self.low
    }

    /// Upper end.
    #[must_use]
    pub fn high(&self) -> f64 {
        self.high
    }

    fn ticks(&self) -> Vec<(f64, String)> {
        if !self.named.is_empty() {
            return self.named.clone();
        }
        let decimals = (-(self.step.log10() + 1e-9).floor()).clamp(0.0, 9.0) as usize;
        let first = (self.low / self.step - 1e-9).ceil();
        let last = (self.high / self.step + 1e-9).floor();
        let mut ticks = Vec::new();
        let mut number = first;
        while number <= last && ticks.len() < 40 {
            let value = number * self.step;
            ticks.push((value, fixed(value, decimals)));
            number += 1.0;
        }
        ticks
    }

    fn widest_tick_mm(&self) -> f64 {
        self.ticks().iter().map(|(_, text)| text_width_mm(text, TEXT_MM, false)).fold(0.0, f64::max)
    }
}

/// A plot area.
#[derive(Debug, Clone, PartialEq)]
pub struct Panel {
    /// Its edges on the sheet.
    pub frame: PlotFrame,
    x: PanelAxis,
    y: PanelAxis,
}

/// Height of the y axis's name above a panel, mm.
const NAME_MM: f64 = 5.0;
/// Height of tick labels and the x axis's name below a panel, mm.
const FOOT_MM: f64 = 8.6;

/// Space left of the plot area for the tick labels of `axes`, mm.
#[must_use]
pub fn left_edge_mm(axes: &[&PanelAxis]) -> f64 {
    MARGIN_MM + axes.iter().map(|axis| axis.widest_tick_mm()).fold(4.0, f64::max) + 1.6
}

impl Panel {
    /// The only panel of a sheet, with axes drawn.
    #[must_use]
    pub fn alone(sheet: &mut Sheet, x: PanelAxis, y: PanelAxis) -> Self {
        let left = left_edge_mm(&[&y]);
        let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
        Self::drawn(sheet, (left, top, bottom), x, y, true)
    }

    /// A panel from `top` to `bottom` (names and ticks included), its plot area beginning at `left`.
    /// `foot`: whether it shows the x axis's ticks and name.
    #[must_use]
    pub fn drawn(
        sheet: &mut Sheet,
        (left, top, bottom): (f64, f64, f64),
        x: PanelAxis,
        y: PanelAxis,
        foot: bool,
    ) -> Self {
        let frame = PlotFrame {
            left,
            top: top + NAME_MM,
            right: WIDTH_MM - MARGIN_MM - 2.0,
            bottom: bottom - if foot { FOOT_MM } else { 0.8 },
        };
        let panel = Self { frame, x, y };
        panel.draw_axes(sheet, foot);
        panel
    }

    fn draw_axes(&self, sheet: &mut Sheet, foot: bool) {
        let frame = &self.frame;
        let (grid, axis) = (Pen::solid(GRID, HAIR_MM), Pen::solid(SOFT, HAIR_MM));
        for (value, text) in self.x.ticks() {
            let x = self.at((value, self.y.low)).0;
            sheet.faint_line((x, frame.top), (x, frame.bottom), grid);
            if foot {
                sheet.faint_line((x, frame.bottom), (x, frame.bottom + 0.9), axis);
                sheet.text((x, frame.bottom + 2.5), &text, INK, Anchor::Middle);
            }
        }
        for (value, text) in self.y.ticks() {
            let y = self.at((self.x.low, value)).1;
            sheet.faint_line((frame.left, y), (frame.right, y), grid);
            sheet.faint_line((frame.left - 0.9, y), (frame.left, y), axis);
            sheet.text((frame.left - 1.4, y), &text, INK, Anchor::End);
        }
        sheet.faint_line((frame.left, frame.top), (frame.left, frame.bottom), axis);
        sheet.faint_line((frame.left, frame.bottom), (frame.right, frame.bottom), axis);
        sheet.text((MARGIN_MM, frame.top - 2.7), &self.y.name, INK, Anchor::Start);
        if foot {
            let middle = 0.5 * (frame.left + frame.right);
            sheet.text((middle, frame.bottom + 6.0), &self.x.name, INK, Anchor::Middle);
        }
    }

    /// Place of a value pair on the sheet.
    #[must_use]
    pub fn at(&self, (x, y): (f64, f64)) -> At {
        let (frame, share) = (&self.frame, |value: f64, axis: &PanelAxis| (value - axis.low) / (axis.high - axis.low));
        (frame.left + share(x, &self.x) * frame.width(), frame.bottom - share(y, &self.y) * frame.height())
    }

    /// The value pair at a place on the sheet.
    #[must_use]
    pub fn values_at(&self, (x, y): At) -> (f64, f64) {
        let (frame, value) = (&self.frame, |share: f64, axis: &PanelAxis| axis.low + share * (axis.high - axis.low));
        (value((x - frame.left) / frame.width(), &self.x), value((frame.bottom - y) / frame.height(), &self.y))
    }

    /// The x axis.
    #[must_use]
    pub fn x(&self) -> &PanelAxis {
        &self.x
    }

    /// The y axis.
    #[must_use]
    pub fn y(&self) -> &PanelAxis {
        &self.y
    }

    /// A curve, cut off at the edges of the plot area.
    pub fn curve(&self, sheet: &mut Sheet, values: impl IntoIterator<Item = (f64, f64)>, pen: Pen) {
        let points: Vec<At> = values.into_iter().map(|value| self.at(value)).collect();
        for piece in within(&points, &self.frame.grown(1e-6)) {
            sheet.line(piece, pen);
        }
    }

    /// A horizontal line across the plot area.
    pub fn level(&self, sheet: &mut Sheet, y: f64, pen: Pen) {
        self.curve(sheet, [(self.x.low, y), (self.x.high, y)], pen);
    }

    /// A vertical line across the plot area.
    pub fn upright(&self, sheet: &mut Sheet, x: f64, pen: Pen) {
        self.curve(sheet, [(x, self.y.low), (x, self.y.high)], pen);
    }

    /// A vertical line across the plot area that no label may cross.
    pub fn mark(&self, sheet: &mut Sheet, x: f64, pen: Pen) {
        self.upright(sheet, x, pen);
        let place = self.at((x, self.y.low)).0;
        if (self.frame.left..=self.frame.right).contains(&place) {
            let half = 0.5 * pen.width_mm;
            sheet.keep_clear(PlotFrame { left: place - half, right: place + half, ..self.frame });
        }
    }
}

/// The pieces of a line that lie within a frame.
#[must_use]
pub fn within(points: &[At], frame: &PlotFrame) -> Vec<Vec<At>> {
    let mut pieces: Vec<Vec<At>> = Vec::new();
    let mut open = false;
    for pair in points.windows(2) {
        let Some((from, to, cut)) = clipped(pair[0], pair[1], frame) else {
            open = false;
            continue;
        };
        match pieces.last_mut().filter(|_| open) {
            Some(piece) => piece.push(to),
            None => pieces.push(vec![from, to]),
        }
        open = !cut;
    }
    pieces
}

/// The part of a straight line within a frame, and whether its far end was cut off (Liang and Barsky 1984).
fn clipped(from: At, to: At, frame: &PlotFrame) -> Option<(At, At, bool)> {
    if !(from.0.is_finite() && from.1.is_finite() && to.0.is_finite() && to.1.is_finite()) {
        return None;
    }
    let (dx, dy) = (to.0 - from.0, to.1 - from.1);
    let (mut first, mut last) = (0.0_f64, 1.0_f64);
    for (way, room) in
        [(-dx, from.0 - frame.left), (dx, frame.right - from.0), (-dy, from.1 - frame.top), (dy, frame.bottom - from.1)]
    {
        if way == 0.0 {
            if room < 0.0 {
                return None;
            }
        } else if way < 0.0 {
            first = first.max(room / way);
        } else {
            last = last.min(room / way);
        }
    }
    let at = |share: f64| (from.0 + share * dx, from.1 + share * dy);
    (first <= last).then(|| (at(first), at(last), last < 1.0))
}

/// An area cut off at the edges of a frame, edge after edge (Sutherland and Hodgman 1974).
#[must_use]
pub fn cut(points: &[At], frame: &PlotFrame) -> Vec<At> {
    let edges: [(f64, f64, f64); 4] =
        [(1.0, 0.0, -frame.left), (-1.0, 0.0, frame.right), (0.0, 1.0, -frame.top), (0.0, -1.0, frame.bottom)];
    let mut points = points.to_vec();
    for (x, y, constant) in edges {
        let depth = |at: At| x * at.0 + y * at.1 + constant;
        let mut kept = Vec::with_capacity(points.len() + 4);
        for (number, &here) in points.iter().enumerate() {
            let before = points[(number + points.len() - 1) % points.len()];
            let (depth_before, depth_here) = (depth(before), depth(here));
            if (depth_before >= 0.0) != (depth_here >= 0.0) {
                let share = depth_before / (depth_before - depth_here);
                kept.push((before.0 + share * (here.0 - before.0), before.1 + share * (here.1 - before.1)));
            }
            if depth_here >= 0.0 {
                kept.push(here);
            }
        }
        points = kept;
    }
    points
}
