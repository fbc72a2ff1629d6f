//! Run time against weight, and below it the drums that ask for that weight: a curve for each number of falls.

use crate::clock::SECONDS_PER_DAY;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, INK, Pen, THIN_MM, series_pen, significant};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::report::trade::TradeView;
use crate::report::words::numbers::counted;
use crate::study::trade::TradePoint;

use super::series::{Named, name_curves};
use super::{Drawn, Figure, finished};

/// Heights of the panels, mm.
const HEIGHTS_MM: (f64, f64) = (52.0, 52.0);

/// Run time against weight, and drum against weight; `None` where fewer than two points have a weight.
///
/// At one margin the clock takes the same energy a day whatever the drum, so that the curves of all falls nearly fall together in the
/// first panel; the second shows which drum and falls give a weight.
#[must_use]
pub fn draw_trade(view: &TradeView<'_>) -> Option<Figure> {
    finished("trade", draw(view))
}

/// A point that has a weight.
#[derive(Clone, Copy)]
struct PlottedPoint<'p> {
    point: &'p TradePoint,
    weight_kg: f64,
    run_days: f64,
    drum_mm: f64,
}

fn place(point: &TradePoint) -> Option<PlottedPoint<'_>> {
    let traded = point.found.as_ref().ok()?;
    Some(PlottedPoint {
        point,
        weight_kg: traded.weight_kg,
        run_days: traded.run.run_time_s / SECONDS_PER_DAY,
        drum_mm: 1e3 * point.drum_diameter_m,
    })
}

fn draw(view: &TradeView<'_>) -> Drawn {
    let trade = view.trade;
    let places: Vec<PlottedPoint<'_>> = trade.points.iter().filter_map(place).collect();
    if places.len() < 2 {
        return None;
    }
    let today = trade
        .today
        .as_ref()
        .map(|today| (today.weight_kg, today.run.run_time_s / SECONDS_PER_DAY, 1e3 * trade.own_drum_m));
    let title = format!("{}: run time against weight", view.name);
    let mut subtitle = format!("Weight for {}. Dots: today's drum and falls.", view.reserve_in_words());
    let without = trade.points.len() - places.len();
    if without > 0 {
        subtitle.push_str(&format!(" {without} drums without an answer are not shown."));
    }
    let mut sheet = Sheet::new(&title, &subtitle, HEIGHTS_MM.0 + HEIGHTS_MM.1);
    let x = PanelAxis::over(
        places.iter().map(|place| place.weight_kg).chain(today.map(|today| today.0)),
        "driving weight (kg)",
        7.0,
    );
    let run = PanelAxis::over(
        places.iter().map(|place| place.run_days).chain(today.map(|today| today.1)),
        "run time between windings (days)",
        6.0,
    );
    let drum = PanelAxis::over(
        places.iter().map(|place| place.drum_mm).chain(today.map(|today| today.2)),
        "drum diameter (mm)",
        6.0,
    );
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let (left, middle) = (left_edge_mm(&[&run, &drum]), top + HEIGHTS_MM.0);
    let upper = Panel::drawn(&mut sheet, (left, top, middle), x.clone(), run, false);
    let lower = Panel::drawn(&mut sheet, (left, middle + 1.0, bottom), x, drum, true);
    let mut falls: Vec<u32> = places.iter().map(|place| place.point.falls).collect();
    falls.dedup();
    let (mut named_upper, mut named_lower) = (Vec::new(), Vec::new());
    for (number, &falls) in falls.iter().enumerate() {
        let own: Vec<PlottedPoint<'_>> = places.iter().filter(|place| place.point.falls == falls).copied().collect();
        let pen = series_pen(number, CURVE_MM);
        let by_run: Vec<(f64, f64)> = own.iter().map(|place| (place.weight_kg, place.run_days)).collect();
        let by_drum: Vec<(f64, f64)> = own.iter().map(|place| (place.weight_kg, place.drum_mm)).collect();
        for (panel, curve) in [(&upper, &by_run), (&lower, &by_drum)] {
            panel.curve(&mut sheet, curve.iter().copied(), pen);
            for (place, &at) in own.iter().zip(curve) {
                let centre = panel.at(at);
                if trade.is_own(place.point) {
                    sheet.disc(centre, 1.0, pen.colour);
                } else {
                    sheet.ring(centre, 0.6, Pen::solid(pen.colour, THIN_MM));
                }
            }
        }
        let name = counted(falls as usize, "fall", "falls");
        named_upper.push(Named { name: name.clone(), colour: pen.colour, points: by_run });
        named_lower.push(Named { name, colour: pen.colour, points: by_drum });
    }
    if let Some((weight_kg, run_days, drum_mm)) = today {
        for (panel, y) in [(&upper, run_days), (&lower, drum_mm)] {
            sheet.cross(panel.at((weight_kg, y)), 1.2, Pen::solid(INK, CURVE_MM));
        }
        let text = format!("today\n{} kg, {} days", significant(weight_kg, 3), significant(run_days, 3));
        let (at, within) = (upper.at((weight_kg, run_days)), upper.frame);
        sheet.label(Label { at, text, colour: INK, towards: (1.0, 0.6), within, leader: true });
        let (at, within) = (lower.at((weight_kg, drum_mm)), lower.frame);
        sheet.label(Label { at, text: "today".to_owned(), colour: INK, towards: (1.0, 0.6), within, leader: true });
    }
    name_curves(&mut sheet, &upper, &named_upper);
    name_curves(&mut sheet, &lower, &named_lower);
    Some((title, sheet))
}
