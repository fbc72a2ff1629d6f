//! Run time against weight: a curve for each number of falls, its drums marked.

use crate::clock::SECONDS_PER_DAY;
use crate::report::labels::Label;
use crate::report::look::{CURVE_MM, INK, Pen, THIN_MM, fixed, series_pen, significant};
use crate::report::panel::{Axis, Panel};
use crate::report::sheet::Sheet;
use crate::report::trade::ToldTrade;
use crate::study::trade::TradePoint;

use super::series::{Named, name_curves};
use super::{Drawn, Figure, finished};

/// Run time against weight; `None` where fewer than two points have a weight.
#[must_use]
pub fn draw_trade(told: &ToldTrade<'_>) -> Option<Figure> {
    finished("trade", draw(told))
}

/// Weight, kg, and run, days.
fn place(point: &TradePoint) -> Option<(f64, f64)> {
    let traded = point.found.as_ref().ok()?;
    Some((traded.weight_kg, traded.run.run_time_s / SECONDS_PER_DAY))
}

fn draw(told: &ToldTrade<'_>) -> Drawn {
    let points: Vec<(&TradePoint, (f64, f64))> =
        told.points.iter().filter_map(|point| Some((point, place(point)?))).collect();
    if points.len() < 2 {
        return None;
    }
    let today = told.trader.today.as_ref().map(|today| (today.weight_kg, today.run.run_time_s / SECONDS_PER_DAY));
    let title = format!("{}: run time against weight", told.name);
    let mut subtitle = format!("Weight for {}; drum diameters in mm at the curves.", told.reserve_in_words());
    let without = told.points.len() - points.len();
    if without > 0 {
        subtitle.push_str(&format!(" {without} without an answer are not shown."));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 70.0);
    let all = || points.iter().map(|point| point.1).chain(today);
    let x = Axis::over(all().map(|at| at.0), "driving weight (kg)", 7.0);
    let y = Axis::over(all().map(|at| at.1), "run time from one winding to the next (days)", 7.0);
    let panel = Panel::alone(&mut sheet, x, y);
    let mut falls: Vec<u32> = points.iter().map(|point| point.0.falls).collect();
    falls.dedup();
    let mut named = Vec::new();
    for (number, &falls) in falls.iter().enumerate() {
        let curve: Vec<(&TradePoint, (f64, f64))> =
            points.iter().filter(|point| point.0.falls == falls).copied().collect();
        let pen = series_pen(number, CURVE_MM);
        panel.curve(&mut sheet, curve.iter().map(|point| point.1), pen);
        for &(point, at) in &curve {
            let (drum_mm, centre) = (1e3 * point.drum_diameter_m, panel.at(at));
            if told.is_own(point) {
                sheet.disc(centre, 1.0, pen.colour);
            } else {
                sheet.ring(centre, 0.7, Pen::solid(pen.colour, THIN_MM));
            }
            let text = fixed(drum_mm, usize::from((drum_mm - drum_mm.round()).abs() > 0.05));
            let within = panel.frame;
            sheet.label(Label { at: centre, text, colour: pen.colour, towards: (0.6, 1.0), within, leader: true });
        }
        let name = format!("{falls} {}", if falls == 1 { "fall" } else { "falls" });
        named.push(Named { name, colour: pen.colour, points: curve.iter().map(|point| point.1).collect() });
    }
    if let Some(at) = today {
        let centre = panel.at(at);
        sheet.cross(centre, 1.2, Pen::solid(INK, CURVE_MM));
        let text = format!("today\n{} kg, {} days", significant(at.0, 3), significant(at.1, 3));
        let within = panel.frame;
        sheet.label(Label { at: centre, text, colour: INK, towards: (1.0, 0.6), within, leader: true });
    }
    name_curves(&mut sheet, &panel, &named);
    Some((title, sheet))
}
