//! Wheel and pallets at four moments.

use crate::answers::prediction::Prediction;
use crate::clock::environment::InRoom;
use crate::clock::escapement::EscapementOutlines;
use crate::clock::side::{PerPallet, Side};
use crate::geometry::{Outline, Point};
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    Colour, ENTRY, ENTRY_PALE, EXIT, EXIT_PALE, HAIR_MM, INK, MARGIN_MM, PAPER, Pen, SHADE, SOFT, THIN_MM, WHEEL,
    WIDTH_MM, fixed,
};
use crate::report::canvas::panel::{cut, within};
use crate::report::canvas::sheet::{Anchor, At, PlotFrame, Sheet};
use crate::report::words::action::moment_caption;
use crate::study::portrait::{Moment, Portrait};

use super::Drawn;

/// Height of a caption of two lines above a view, mm.
const CAPTION_MM: f64 = 7.4;

/// How much an enlarged view is larger.
const ENLARGED: f64 = 4.0;

pub(super) fn draw(design: &InRoom, prediction: &Prediction, portrait: &Portrait) -> Drawn {
    let outlines = prediction.built.outlines.as_ref()?;
    if portrait.moments.is_empty() {
        return None;
    }
    let seen = ShownArea::of(outlines);
    let title = format!("{}: wheel and pallets", design.name);
    let whose = if prediction.steady.is_some() {
        "Four moments of the steady period"
    } else {
        "No steady swing, wheel at rest"
    };
    let mm = |metres: f64| fixed(1e3 * metres, 1);
    let subtitle = format!(
        "{whose}; insets {ENLARGED} times larger. Wheel of {} teeth, diameter {} mm as made; arbors {} mm apart.",
        outlines.teeth,
        mm(2.0 * outlines.tooth.farthest_m(Point::zeros())),
        mm(outlines.centre_distance_m)
    );
    let gap = 2.0;
    let width = 0.5 * (WIDTH_MM - 2.0 * MARGIN_MM - gap);
    let height = width * seen.height_m() / seen.width_m();
    let rows = portrait.moments.len().div_ceil(2);
    let mut sheet = Sheet::new(&title, &subtitle, rows as f64 * (height + CAPTION_MM) + 7.0);
    let beat_error = design.escapement.beat_error_rad();
    let first = portrait.moments[0].phi_rad;
    for (number, moment) in portrait.moments.iter().enumerate() {
        let left = MARGIN_MM + (number % 2) as f64 * (width + gap);
        let top = sheet.head_mm + 1.0 + (number / 2) as f64 * (height + CAPTION_MM);
        sheet.text((left, top + 1.6), &moment_caption(moment), INK, Anchor::Start);
        let angles = format!(
            "pendulum {}\u{b0}, wheel {}\u{b0}",
            fixed(moment.theta_rad.to_degrees(), 2),
            fixed((moment.phi_rad - first).to_degrees(), 2)
        );
        sheet.text((left, top + 4.8), &angles, SOFT, Anchor::Start);
        let frame = PlotFrame {
            left,
            top: top + CAPTION_MM - 0.8,
            right: left + width,
            bottom: top + CAPTION_MM - 0.8 + height,
        };
        let parts = Parts::at(outlines, &portrait.wheel_holes, moment, beat_error);
        let view = ClockWindow { frame, centre_m: seen.centre_m(), mm_per_m: width / seen.width_m() };
        view.draw(&mut sheet, &parts, outlines, THIN_MM * 0.7);
        let enlarged = inset(&mut sheet, &view, &parts, outlines, moment);
        sheet.keep_clear(enlarged);
        if number == 0 {
            name_parts(&mut sheet, &view, &parts, outlines);
        }
    }
    scale_bar(&mut sheet, width / seen.width_m(), "the wheel turns clockwise");
    Some((title, sheet))
}

/// Names each part once, in one of the views.
fn name_parts(sheet: &mut Sheet, view: &ClockWindow, parts: &Parts, outlines: &EscapementOutlines) {
    let middle = |points: &[Point]| view.at(points.iter().sum::<Point>() / points.len().max(1) as f64);
    let arbor = view.at(Point::new(0.0, outlines.centre_distance_m));
    let named = [
        // The leaders of the pallets, which have more room, keep clear of the names of the axes.
        (arbor, "pallet arbor", SOFT, (1.0, -0.2)),
        (view.at(Point::zeros()), "escape wheel", SOFT, (1.0, 0.2)),
        (middle(&parts.pallets.entry), "entry pallet", ENTRY, (0.3, -1.0)),
        (middle(&parts.pallets.exit), "exit pallet", EXIT, (-0.3, -1.0)),
    ];
    for (at, text, colour, towards) in named {
        let (text, within) = (text.to_owned(), view.frame);
        sheet.label(Label { at, text, colour, towards, within, leader: true });
    }
}

/// The part of the clock's frame that is shown, m.
pub(super) struct ShownArea {
    low: Point,
    high: Point,
}

impl ShownArea {
    pub fn of(outlines: &EscapementOutlines) -> Self {
        let tip = outlines.tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(0.0, f64::max);
        let pallets = outlines.pallets.values().flat_map(|pallet| pallet.vertices());
        let side = pallets.map(|vertex| vertex.at.x.abs()).fold(0.0, f64::max);
        let half = side.max(0.8 * tip) + 0.08 * tip;
        let top = outlines.centre_distance_m.max(tip) + 0.08 * tip;
        Self { low: Point::new(-half, -0.08 * tip), high: Point::new(half, top) }
    }

    pub fn width_m(&self) -> f64 {
        self.high.x - self.low.x
    }

    pub fn height_m(&self) -> f64 {
        self.high.y - self.low.y
    }

    pub fn centre_m(&self) -> Point {
        0.5 * (self.low + self.high)
    }
}

/// Outlines as they stand at a moment, m.
struct Parts {
    teeth: Vec<Vec<Point>>,
    holes: Vec<Vec<Point>>,
    pallets: PerPallet<Vec<Point>>,
}

/// Largest departure of a drawn arc from its chord, m.
pub(super) const SAGITTA_M: f64 = 5e-6;

impl Parts {
    fn at(outlines: &EscapementOutlines, holes: &[Outline], moment: &Moment, beat_error_rad: f64) -> Self {
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        let turned = |outline: &Outline, pivot, angle| outline.turned_about(pivot, angle).polyline(SAGITTA_M);
        let pitch = std::f64::consts::TAU / f64::from(outlines.teeth);
        let pallets = moment.theta_rad + beat_error_rad;
        Self {
            teeth: (0..outlines.teeth)
                .map(|tooth| turned(&outlines.tooth, Point::zeros(), f64::from(tooth) * pitch - moment.phi_rad))
                .collect(),
            holes: holes.iter().map(|hole| turned(hole, Point::zeros(), -moment.phi_rad)).collect(),
            pallets: outlines.pallets.as_ref().map(|pallet| turned(pallet, arbor, pallets)),
        }
    }
}

/// A window onto the clock's frame.
pub(super) struct ClockWindow {
    pub frame: PlotFrame,
    pub centre_m: Point,
    pub mm_per_m: f64,
}

impl ClockWindow {
    pub fn at(&self, point: Point) -> At {
        let middle = (0.5 * (self.frame.left + self.frame.right), 0.5 * (self.frame.top + self.frame.bottom));
        (middle.0 + (point.x - self.centre_m.x) * self.mm_per_m, middle.1 - (point.y - self.centre_m.y) * self.mm_per_m)
    }

    fn draw(&self, sheet: &mut Sheet, parts: &Parts, outlines: &EscapementOutlines, line_mm: f64) {
        let root = outlines.tooth.vertices().iter().map(|vertex| vertex.at.norm()).fold(f64::INFINITY, f64::min);
        let circle = |radius: f64| {
            (0..=180).map(move |step| {
                let turn = std::f64::consts::TAU * f64::from(step) / 180.0;
                radius * Point::new(turn.sin(), turn.cos())
            })
        };
        let rim: Vec<Point> = circle(root).collect();
        self.outline(sheet, &rim, (SHADE, SOFT), line_mm);
        for hole in &parts.holes {
            self.outline(sheet, hole, (PAPER, SOFT), line_mm);
        }
        let arbor = Point::new(0.0, outlines.centre_distance_m);
        for pallet in parts.pallets.values() {
            let middle = pallet.iter().sum::<Point>() / pallet.len().max(1) as f64;
            for piece in within(&[self.at(arbor), self.at(middle)], &self.frame) {
                sheet.line(piece, Pen::solid(WHEEL, 0.8));
            }
        }
        for tooth in &parts.teeth {
            self.outline(sheet, tooth, (WHEEL, SOFT), line_mm);
        }
        self.outline(sheet, &parts.pallets.entry, (ENTRY_PALE, ENTRY), line_mm);
        self.outline(sheet, &parts.pallets.exit, (EXIT_PALE, EXIT), line_mm);
        for centre in [Point::zeros(), arbor] {
            let at = self.at(centre);
            if self.frame.holds(at) {
                let pen = Pen::solid(INK, HAIR_MM);
                sheet.line([(at.0 - 1.3, at.1), (at.0 + 1.3, at.1)], pen);
                sheet.line([(at.0, at.1 - 1.3), (at.0, at.1 + 1.3)], pen);
            }
        }
    }

    fn outline(&self, sheet: &mut Sheet, points: &[Point], (fill, edge): (Colour, Colour), line_mm: f64) {
        let mut places: Vec<At> = points.iter().map(|&point| self.at(point)).collect();
        sheet.area(cut(&places, &self.frame), fill);
        if let Some(&first) = places.first() {
            places.push(first);
        }
        for piece in within(&places, &self.frame) {
            sheet.line(piece, Pen::solid(edge, line_mm));
        }
    }
}

/// The neighbourhood of the contact, enlarged, in the empty middle of the wheel; returns its frame.
fn inset(
    sheet: &mut Sheet,
    view: &ClockWindow,
    parts: &Parts,
    outlines: &EscapementOutlines,
    moment: &Moment,
) -> PlotFrame {
    let half = (0.22 * view.frame.width(), 0.17 * view.frame.width());
    let at = view.at(moment.contact);
    let hub = view.at(Point::zeros());
    let middle = (0.5 * (view.frame.left + view.frame.right), hub.1 - half.1 - 2.4);
    let frame = PlotFrame {
        left: middle.0 - half.0,
        top: middle.1 - half.1,
        right: middle.0 + half.0,
        bottom: middle.1 + half.1,
    };
    let hair = Pen::solid(SOFT, HAIR_MM);
    let small = PlotFrame {
        left: at.0 - half.0 / ENLARGED,
        top: at.1 - half.1 / ENLARGED,
        right: at.0 + half.0 / ENLARGED,
        bottom: at.1 + half.1 / ENLARGED,
    };
    let corner = if at.0 < middle.0 { (frame.left, frame.top) } else { (frame.right, frame.top) };
    let from = if at.0 < middle.0 { (small.right, small.bottom) } else { (small.left, small.bottom) };
    sheet.line([from, corner], hair);
    sheet.block(&frame, PAPER);
    let enlarged = ClockWindow { frame, centre_m: moment.contact, mm_per_m: ENLARGED * view.mm_per_m };
    enlarged.draw(sheet, parts, outlines, THIN_MM);
    for border in [&frame, &small] {
        sheet.line(
            [
                (border.left, border.top),
                (border.right, border.top),
                (border.right, border.bottom),
                (border.left, border.bottom),
                (border.left, border.top),
            ],
            hair,
        );
    }
    let colour = if moment.pallet == Side::Entry { ENTRY } else { EXIT };
    let at = enlarged.at(moment.contact);
    sheet.line(
        (0..=24).map(|step| {
            let turn = std::f64::consts::TAU * f64::from(step) / 24.0;
            (at.0 + 1.1 * turn.cos(), at.1 + 1.1 * turn.sin())
        }),
        Pen::solid(INK, THIN_MM),
    );
    sheet.disc(at, 0.35, colour);
    frame
}

/// A bar of a round length in the lower left corner, and a key in the lower right one.
pub(super) fn scale_bar(sheet: &mut Sheet, mm_per_m: f64, key: &str) {
    let length_mm = [0.1, 0.2, 0.5, 1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0]
        .into_iter()
        .take_while(|length| length * 1e-3 * mm_per_m < 0.16 * WIDTH_MM)
        .last()
        .unwrap_or(1.0);
    let drawn = length_mm * 1e-3 * mm_per_m;
    let y = sheet.page().bottom - 2.4;
    let left = MARGIN_MM;
    let pen = Pen::solid(INK, 0.3);
    sheet.line([(left, y), (left + drawn, y)], pen);
    for x in [left, left + drawn] {
        sheet.line([(x, y - 0.8), (x, y + 0.8)], pen);
    }
    sheet.text((left + drawn + 1.5, y), &format!("{length_mm} mm"), INK, Anchor::Start);
    sheet.text((WIDTH_MM - MARGIN_MM, y), key, SOFT, Anchor::End);
}
