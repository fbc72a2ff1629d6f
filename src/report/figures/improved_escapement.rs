//! Wheel and pallets before and after, one over the other.

use crate::geometry::{Outline, Point};
use crate::report::canvas::look::{
    CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, INK, MARGIN_MM, Pen, SOFT, THIN_MM, WIDTH_MM,
};
use crate::report::canvas::panel::within;
use crate::report::canvas::sheet::{Anchor, PlotFrame, Sheet};
use crate::study::improve::posed::PosedEscapement;

use super::Drawn;
use super::escapement::{ClockWindow, SAGITTA_M, ShownArea, scale_bar};

/// How many times larger the two views of the pallets are.
const ENLARGED: f64 = 3.0;

/// Both escapements, and their pallets enlarged below them; the first dashed.
pub(super) fn draw(name: &str, before: &PosedEscapement, after: &PosedEscapement) -> Drawn {
    let seen = [before, after].map(|posed| ShownArea::of(&posed.outlines));
    let shown = if seen[0].width_m() > seen[1].width_m() { &seen[0] } else { &seen[1] };
    let title = format!("{name}: wheel and pallets before and after");
    let subtitle = format!(
        "Dashed: before. A tooth has just fallen on the entry pallet. Below, the pallets {ENLARGED} times larger."
    );
    let width = WIDTH_MM - 2.0 * MARGIN_MM;
    let height = width * shown.height_m() / shown.width_m();
    let small = 0.5 * (width - 2.0);
    let mut sheet = Sheet::new(&title, &subtitle, height + small + 12.0);
    let mm_per_m = width / shown.width_m();
    let top = sheet.head_mm + 1.0;
    let frame = PlotFrame { left: MARGIN_MM, top, right: MARGIN_MM + width, bottom: top + height };
    let whole = ClockWindow { frame, centre_m: shown.centre_m(), mm_per_m };
    lay_over(&mut sheet, &whole, before, after);
    for (number, caption) in ["entry", "exit"].into_iter().enumerate() {
        let left = MARGIN_MM + number as f64 * (small + 2.0);
        let below = top + height + 3.6;
        let frame = PlotFrame { left, top: below, right: left + small, bottom: below + small };
        let pallet = if number == 0 { &after.outlines.pallets.entry } else { &after.outlines.pallets.exit };
        let view = ClockWindow { frame, centre_m: acting_end(after, pallet), mm_per_m: ENLARGED * mm_per_m };
        lay_over(&mut sheet, &view, before, after);
        let hair = Pen::solid(SOFT, HAIR_MM);
        let corners = [
            (frame.left, frame.top),
            (frame.right, frame.top),
            (frame.right, frame.bottom),
            (frame.left, frame.bottom),
            (frame.left, frame.top),
        ];
        sheet.line(corners, hair);
        sheet.text((left, below - 1.6), caption, INK, Anchor::Start);
    }
    scale_bar(&mut sheet, mm_per_m, "dashed: before");
    Some((title, sheet))
}

/// The part of a pallet that is nearest to the wheel's centre, where it stands.
fn acting_end(posed: &PosedEscapement, pallet: &Outline) -> Point {
    let arbor = Point::new(0.0, posed.outlines.centre_distance_m);
    let turned = pallet.turned_about(arbor, posed.pallets_rad).polyline(SAGITTA_M);
    let nearest = turned.into_iter().min_by(|a, b| a.norm().total_cmp(&b.norm()));
    nearest.unwrap_or(arbor)
}

fn lay_over(sheet: &mut Sheet, window: &ClockWindow, before: &PosedEscapement, after: &PosedEscapement) {
    for (posed, first) in [(before, true), (after, false)] {
        let pen = |colour| {
            let pen = Pen::solid(colour, if first { THIN_MM } else { 0.7 * CURVE_MM });
            if first { pen.broken(DASHED) } else { pen }
        };
        let outlines = &posed.outlines;
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        let pitch = std::f64::consts::TAU / f64::from(outlines.teeth);
        for tooth in 0..outlines.teeth {
            let turned = outlines.tooth.turned_about(Point::zeros(), f64::from(tooth) * pitch - posed.wheel_rad);
            closed(sheet, window, &turned, pen(if first { SOFT } else { INK }));
        }
        closed(sheet, window, &outlines.pallets.entry.turned_about(arbor, posed.pallets_rad), pen(ENTRY));
        closed(sheet, window, &outlines.pallets.exit.turned_about(arbor, posed.pallets_rad), pen(EXIT));
        for centre in [Point::zeros(), arbor] {
            let at = window.at(centre);
            if window.frame.holds(at) {
                sheet.cross(at, 0.8, Pen::solid(if first { SOFT } else { INK }, HAIR_MM));
            }
        }
    }
}

fn closed(sheet: &mut Sheet, window: &ClockWindow, outline: &Outline, pen: Pen) {
    let mut places: Vec<(f64, f64)> = outline.polyline(SAGITTA_M).into_iter().map(|point| window.at(point)).collect();
    places.extend(places.first().copied());
    for piece in within(&places, &window.frame) {
        sheet.line(piece, pen);
    }
}
