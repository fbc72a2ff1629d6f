//! The sheets to print at full size: the drill plan of the plates, and the anchor in one piece.

use crate::clock::design::PivotKind;
use crate::clock::escapement::anchor::PalletAnchor;
use crate::clock::train::gear_outline::designed_tip;
use crate::clock::train::neighbours::pallet_bearing;
use crate::geometry::{Outline, Point};
use crate::report::drawing::{DrawnLabel, LabelledDrawing};
use crate::units::M_PER_INCH;

use super::PapersView;
use super::units::PaperUnits;

/// Height of the letters, m.
const LETTERS_M: f64 = 3e-3;

/// Height of a capital over that of the letters' size.
const CAPITALS: f64 = 0.7;

/// Half the length of a centre's cross, m.
const CROSS_M: f64 = 4e-3;

/// Half the width of its lines, m.
const CROSS_LINE_M: f64 = 0.02e-3;

/// Radius of the ring about the pendulum's axis, m.
const RING_M: f64 = 6e-3;

/// Height of the bar, m.
const BAR_HEIGHT_M: f64 = 3e-3;

/// Space above the bar, m.
const BAR_GAP_M: f64 = 8e-3;

/// Largest departure of the chords that find the extent of a sheet, m.
const SAGITTA_M: f64 = 1e-5;

/// Name of the drill plan's files.
pub const DRILL_PLAN: &str = "drill-plan";

/// Name of the anchor's files.
pub const ANCHOR: &str = "anchor";

/// The layer of the bar.
pub const SCALE_BAR: &str = "SCALE_BAR";

/// All sheets that a clock has, each with the name of its files.
#[must_use]
pub fn sheets(view: &PapersView<'_>, units: PaperUnits) -> Vec<(&'static str, LabelledDrawing)> {
    let anchor = view.papers.anchor.as_ref().and_then(|anchor| anchor.as_ref().ok());
    let plan = drill_plan(view, units).map(|sheet| (DRILL_PLAN, sheet));
    plan.into_iter().chain(anchor.map(|anchor| (ANCHOR, anchor_sheet(view, anchor, units)))).collect()
}

/// The drill plan: centres and holes of all arbors, the pendulum's axis, pillars; the tips of the wheels for reference. The middle of
/// the first arbor is the origin. `None` without a layout.
#[must_use]
pub fn drill_plan(view: &PapersView<'_>, units: PaperUnits) -> Option<LabelledDrawing> {
    let layout = view.papers.layout.as_ref()?;
    let train = view.design.train.as_ref()?;
    let mut sheet = LabelledDrawing { faint: vec!["TIPS"], ..LabelledDrawing::default() };
    for (index, (arbor, &at)) in train.arbors.iter().zip(&layout.arbors_m).enumerate() {
        let diameter_m = arbor.pivot.diameter_m;
        circle(&mut sheet, "ARBORS", at, 0.5 * diameter_m);
        cross(&mut sheet, at);
        let hole = hole_name(arbor.pivot.kind, diameter_m, units);
        label(&mut sheet, at, 0.5 * diameter_m, &format!("{}: {hole}", arbor.name));
        if let (Some(teeth), Some(module_m)) = (arbor.wheel_teeth, arbor.module_m) {
            circle(&mut sheet, "TIPS", at, designed_tip(f64::from(teeth)) * module_m);
        } else if let Some(drawn) = view.prediction.built.drawn.as_ref().filter(|_| index + 1 == train.arbors.len()) {
            circle(&mut sheet, "TIPS", at, drawn.tooth.farthest_m(Point::zeros()));
        }
    }
    if let Some(at) = layout.pallets_m {
        let bearing = pallet_bearing(view.design);
        let radius_m = bearing.map_or(0.0, |(_, diameter_m)| 0.5 * diameter_m);
        if radius_m > 0.0 {
            circle(&mut sheet, "PALLET_ARBOR", at, radius_m);
        }
        cross(&mut sheet, at);
        let hole =
            bearing.map_or_else(String::new, |(kind, across_m)| format!(": {}", hole_name(kind, across_m, units)));
        label(&mut sheet, at, RING_M.max(radius_m), &format!("pallets and pendulum's axis{hole}"));
        let pivot_m = view.prediction.built.pendulum.as_ref().map_or(0.0, |pendulum| pendulum.pivot_depth_m);
        let hung = at + Point::new(0.0, pivot_m);
        circle(&mut sheet, "SUSPENSION", hung, RING_M.max(1.2 * radius_m));
        if pivot_m > 0.0 {
            cross(&mut sheet, hung);
            label(&mut sheet, hung + Point::new(0.0, RING_M), RING_M, "lower edge of the upper clamp");
        }
    }
    for (index, pillar) in view.design.plates.pillars.iter().enumerate() {
        let at = Point::new(pillar.right_m, pillar.up_m);
        circle(&mut sheet, "PILLARS", at, 0.5 * pillar.diameter_m);
        cross(&mut sheet, at);
        let size = units.length(pillar.diameter_m, 2);
        label(&mut sheet, at, 0.5 * pillar.diameter_m, &format!("pillar {}: {size}", index + 1));
    }
    let name = &view.design.name;
    bar(&mut sheet, units, &format!("{name}: drill plan, both plates, seen from the front; grey: tips of the wheels"));
    Some(sheet)
}

/// What is to be drilled for a bearing.
fn hole_name(kind: PivotKind, diameter_m: f64, units: PaperUnits) -> String {
    let size = units.length(diameter_m, 2);
    match kind {
        PivotKind::Ball => format!("ball bearing of bore {size} (seat: by its outer diameter)"),
        PivotKind::Plain => format!("pivot {size}"),
    }
}

/// The anchor, its hole, and the centre of its arbor; the wheel's centre is the origin.
#[must_use]
pub fn anchor_sheet(view: &PapersView<'_>, anchor: &PalletAnchor, units: PaperUnits) -> LabelledDrawing {
    let mut sheet = LabelledDrawing {
        outlines: vec![("ANCHOR", anchor.contour.clone()), ("BORE", anchor.bore.clone())],
        ..LabelledDrawing::default()
    };
    sheet.outlines.extend(anchor.pins.iter().map(|pin| ("PINS", pin.clone())));
    // No longer than the bore: it would hide a small hub.
    cross_of(&mut sheet, anchor.arbor(), CROSS_M.min(0.5 * anchor.bore_m));
    let name = &view.design.name;
    let sizes = format!("bore {}, hub {}", units.length(anchor.bore_m, 2), units.length(anchor.hub_m, 2));
    let what = if anchor.pins.is_empty() {
        "anchor with both pallets as drawn"
    } else {
        "plate with a hole for each pallet pin"
    };
    bar(&mut sheet, units, &format!("{name}: {what}, seen from the front; {sizes}"));
    sheet
}

fn circle(sheet: &mut LabelledDrawing, layer: &'static str, at: Point, radius_m: f64) {
    sheet.outlines.extend(Outline::circle(at, radius_m).ok().map(|circle| (layer, circle)));
}

/// Two fine lines that cross in a centre, as one outline.
fn cross(sheet: &mut LabelledDrawing, at: Point) {
    cross_of(sheet, at, CROSS_M);
}

/// The same, each line so long to both sides.
fn cross_of(sheet: &mut LabelledDrawing, at: Point, long: f64) {
    let thin = CROSS_LINE_M;
    let quarter = [(long, -thin), (long, thin), (thin, thin)];
    let corners = (0..4).flat_map(|turn| {
        quarter.map(|(x, y)| match turn {
            0 => (x, y),
            1 => (-y, x),
            2 => (-x, -y),
            _ => (y, -x),
        })
    });
    polygon(sheet, "CENTRES", corners.map(|(x, y)| at + Point::new(x, y)).collect());
}

fn polygon(sheet: &mut LabelledDrawing, layer: &'static str, corners: Vec<Point>) {
    let vertices = corners.into_iter().map(|at| crate::geometry::Vertex { at, bulge: 0.0 }).collect();
    sheet.outlines.extend(Outline::new(vertices).ok().map(|outline| (layer, outline)));
}

/// Words to the right of a hole.
fn label(sheet: &mut LabelledDrawing, at: Point, radius_m: f64, text: &str) {
    let beside = Point::new(radius_m.max(CROSS_M) + 0.5 * LETTERS_M, -0.5 * CAPITALS * LETTERS_M);
    sheet.labels.push(DrawnLabel { at: at + beside, height_m: LETTERS_M, text: text.to_owned() });
}

/// The bar to measure, below everything, with what it is for and the title.
fn bar(sheet: &mut LabelledDrawing, units: PaperUnits, title: &str) {
    let (cell_m, cells, whole) = match units {
        PaperUnits::Millimetres => (1e-2, 10_u8, "100 mm"),
        PaperUnits::Inches => (M_PER_INCH, 4, "4 in"),
    };
    let (low, _) = sheet.extent_m(SAGITTA_M);
    let left = low.x;
    let top = low.y - BAR_GAP_M;
    for cell in 0..cells {
        let (from, to) = (left + f64::from(cell) * cell_m, left + f64::from(cell + 1) * cell_m);
        let bottom = top - BAR_HEIGHT_M;
        let corners = [(from, bottom), (to, bottom), (to, top), (from, top)];
        polygon(sheet, SCALE_BAR, corners.map(|(x, y)| Point::new(x, y)).to_vec());
    }
    let words = [format!("Print at 100 %, and measure the bar: it must be {whole} long."), title.to_owned()];
    for (line, text) in words.into_iter().enumerate() {
        let down = BAR_HEIGHT_M + (line as f64 + 1.0) * 1.6 * LETTERS_M;
        sheet.labels.push(DrawnLabel { at: Point::new(left, top - down), height_m: LETTERS_M, text });
    }
}
