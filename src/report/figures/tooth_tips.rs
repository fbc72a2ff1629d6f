//! The tip of every scenario's tooth, as drawn and as printed, at one scale.

use crate::geometry::Point;
use crate::report::canvas::look::{
    DASHED, DOTTED, ENTRY, HAIR_MM, INK, LINE_MM, MARGIN_MM, Pen, SOFT, THIN_MM, WHEEL, WIDTH_MM, fixed, wrapped,
};
use crate::report::canvas::panel::{cut, within};
use crate::report::canvas::sheet::{Anchor, At, PlotFrame, Sheet};
use crate::study::comparison::portrait::{Compared, ToothTip, WIDTH_DEPTH_M};

use super::Drawn;
use super::escapement::scale_bar;
use super::series::left_out;

/// Least depth of a tooth that is shown, m.
const LEAST_DEPTH_M: f64 = 2e-3;

/// Room above the tip, as a share of the depth shown.
const HEADROOM: f64 = 0.12;

/// Tallest view, mm.
const TALLEST_MM: f64 = 46.0;

/// Distance of two views, mm.
const GAP_MM: f64 = 2.5;

pub(super) fn draw(compared: &[Compared<'_>], tips: &[Option<ToothTip>]) -> Drawn {
    let shown: Vec<(&str, &ToothTip)> =
        compared.iter().zip(tips).filter_map(|(scenario, tip)| Some((scenario.name, tip.as_ref()?))).collect();
    if shown.is_empty() {
        return None;
    }
    let without: Vec<(&str, String)> = compared
        .iter()
        .zip(tips)
        .filter(|(_, tip)| tip.is_none())
        .map(|(scenario, _)| (scenario.name, "no outlines".to_owned()))
        .collect();
    let key = if shown.iter().all(|(_, tip)| tip.printed.is_none()) {
        "No tooth is changed by a [printer]: drawn and printed are one."
    } else {
        "Blue as printed, dashed as drawn. Width at the dots"
    };
    let depth = format!("{} mm below the drawn tip.", 1e3 * WIDTH_DEPTH_M);
    let key = if key.ends_with('.') { format!("{key} Width {depth}") } else { format!("{key}, {depth}") };
    let title = "Tips of the teeth, as drawn and as printed";

    let columns = if shown.len() == 4 { 2 } else { shown.len().min(3) };
    let width = (WIDTH_MM - 2.0 * MARGIN_MM - GAP_MM * (columns - 1) as f64) / columns as f64;
    let seen = ShownSize::of(&shown);
    let mm_per_m = (width / seen.width_m).min(TALLEST_MM / seen.height_m());
    let height = mm_per_m * seen.height_m();
    let captions: Vec<Vec<(String, bool)>> = shown.iter().map(|(name, tip)| caption(name, tip, width)).collect();
    let caption_mm = LINE_MM * captions.iter().map(Vec::len).max().unwrap_or(0) as f64 + 1.4;
    let rows = shown.len().div_ceil(columns);
    let subtitle = format!("{key}{}", left_out(&without));
    let mut sheet = Sheet::new(title, &subtitle, rows as f64 * (caption_mm + height + 2.0) + 7.5);
    for (number, ((_, tip), caption)) in shown.iter().zip(&captions).enumerate() {
        let left = MARGIN_MM + (number % columns) as f64 * (width + GAP_MM);
        let top = sheet.head_mm + 1.6 + (number / columns) as f64 * (caption_mm + height + 2.0);
        for (line, (text, own)) in caption.iter().enumerate() {
            let at = (left, top + LINE_MM * (line as f64 + 0.5));
            sheet.text(at, text, if *own { INK } else { SOFT }, Anchor::Start);
        }
        let top = top + caption_mm;
        let view = ToothWindow {
            frame: PlotFrame { left, top, right: left + width, bottom: top + height },
            seen: &seen,
            mm_per_m,
        };
        view.draw(&mut sheet, tip);
    }
    scale_bar(&mut sheet, mm_per_m, "all at one scale; wheel turns to the right");
    Some((title.to_owned(), sheet))
}

/// Name and figures of a tip; whether a line is part of the name.
fn caption(name: &str, tip: &ToothTip, width_mm: f64) -> Vec<(String, bool)> {
    let mm = |length_m: f64| fixed(1e3 * length_m, 2);
    let figures = if tip.printed.is_none() {
        vec!["printed as drawn".to_owned(), format!("width {} mm", mm(tip.drawn_width_m))]
    } else {
        let verb = if tip.recedes_m < 0.0 { "stands out" } else { "recedes" };
        let change = tip.printed_width_m - tip.drawn_width_m;
        let width = format!("width {} \u{2192} {} mm", mm(tip.drawn_width_m), mm(tip.printed_width_m));
        let word = if change < 0.0 { "narrower" } else { "wider" };
        let changed = match () {
            () if tip.printed_width_m == 0.0 => "nothing left there".to_owned(),
            () if mm(change) == mm(0.0) => "as wide as drawn".to_owned(),
            () => format!("{} mm {word}", mm(change.abs())),
        };
        vec![format!("{verb} {} mm", mm(tip.recedes_m.abs())), width, changed]
    };
    let lines = |text: &str, own: bool| wrapped(text, width_mm).into_iter().map(move |line| (line, own));
    lines(name, true).chain(figures.iter().flat_map(|text| lines(text, false))).collect()
}

/// The part of the teeth that is shown, the same size for all, m.
struct ShownSize {
    width_m: f64,
    depth_m: f64,
}

impl ShownSize {
    fn of(shown: &[(&str, &ToothTip)]) -> Self {
        let deepest = shown.iter().map(|(_, tip)| tip.recedes_m).fold(0.0, f64::max);
        let depth_m = (1.4 * deepest + 0.8e-3).max(LEAST_DEPTH_M);
        let width_m = shown.iter().map(|(_, tip)| span(tip, depth_m)).map(|(low, high)| high - low).fold(0.0, f64::max);
        Self { width_m: 1.2 * width_m.max(0.2 * depth_m), depth_m }
    }

    fn height_m(&self) -> f64 {
        (1.0 + HEADROOM) * self.depth_m
    }
}

/// Leftmost and rightmost place of a tip, as drawn and as printed, down to a depth, m.
fn span(tip: &ToothTip, depth_m: f64) -> (f64, f64) {
    let mut span = (f64::INFINITY, f64::NEG_INFINITY);
    for points in std::iter::once(&tip.drawn).chain(&tip.printed) {
        for index in 0..points.len() {
            let (from, to) = (points[index], points[(index + 1) % points.len()]);
            let mut reach = |x: f64| span = (span.0.min(x), span.1.max(x));
            if from.y >= -depth_m {
                reach(from.x);
            }
            if (from.y > -depth_m) != (to.y > -depth_m) {
                reach(from.x + (to.x - from.x) * (-depth_m - from.y) / (to.y - from.y));
            }
        }
    }
    span
}

struct ToothWindow<'s> {
    frame: PlotFrame,
    seen: &'s ShownSize,
    mm_per_m: f64,
}

impl ToothWindow<'_> {
    fn draw(&self, sheet: &mut Sheet, tip: &ToothTip) {
        let (low, high) = span(tip, self.seen.depth_m);
        let (middle, frame) = (0.5 * (low + high), &self.frame);
        let top_m = HEADROOM * self.seen.depth_m;
        let at = |point: &Point| -> At {
            (
                0.5 * (frame.left + frame.right) + (point.x - middle) * self.mm_per_m,
                frame.top + (top_m - point.y) * self.mm_per_m,
            )
        };
        let closed = |points: &[Point]| points.iter().chain(points.first()).map(at).collect::<Vec<At>>();
        let printed = tip.printed.as_ref().unwrap_or(&tip.drawn);
        let edge = closed(printed);
        sheet.area(cut(&edge, frame), WHEEL);
        let level = at(&Point::new(0.0, -WIDTH_DEPTH_M)).1;
        sheet.line([(frame.left, level), (frame.right, level)], Pen::solid(SOFT, HAIR_MM).broken(DOTTED));
        for piece in within(&edge, frame) {
            sheet.line(piece, Pen::solid(ENTRY, 2.0 * THIN_MM));
        }
        if tip.printed.is_some() {
            for piece in within(&closed(&tip.drawn), frame) {
                sheet.line(piece, Pen::solid(INK, THIN_MM).broken(DASHED));
            }
        }
    }
}
