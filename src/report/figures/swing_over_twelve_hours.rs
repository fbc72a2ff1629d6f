//! Swing and rate over the twelve hours of the dial.

use crate::answers::dial::{DialCourse, DialPoint};
use crate::answers::prediction::Prediction;
use crate::clock::SECONDS_PER_HOUR;
use crate::clock::environment::InRoom;
use crate::clock::train::hands::DIAL_TURN_S;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, Pen, SOFT, significant};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::report::words::dial_time::dial_time;

use super::Drawn;

/// Difference of both sides, relative, below which one curve stands for both.
const ALIKE: f64 = 0.004;

/// `None` where the clock has no hands, or does not come round the dial.
pub(super) fn draw(design: &InRoom, prediction: &Prediction) -> Drawn {
    let Some(Ok(course)) = &prediction.dial else { return None };
    let (right_rad, left_rad) = prediction.escaping_arcs_rad()?;
    let escaping_deg = right_rad.max(left_rad).to_degrees();
    let title = format!("{}: swing and rate over twelve hours", design.name);
    let nearest = dial_time(course.nearest_to_stopping_s);
    let subtitle = format!(
        "Nearest to stopping at {nearest}, {}\u{b0} beyond the escaping arc; mean rate {} s/day.",
        significant(course.least_margin_rad.to_degrees(), 2),
        significant(course.mean_rate_s_per_day, 2)
    );
    let mut sheet = Sheet::new(&title, &subtitle, 84.0);
    let x =
        || PanelAxis::between(0.0, DIAL_TURN_S / SECONDS_PER_HOUR, "time shown by the hands, after twelve (h)", 12.0);
    let sides = course.points.iter().flat_map(|point| [point.right_rad, point.left_rad]).map(f64::to_degrees);
    let upper = PanelAxis::over(sides.chain([escaping_deg]), "amplitude (deg)", 5.0);
    let rates = course.points.iter().map(|point| point.rate_s_per_day);
    let lower = PanelAxis::over(rates, "rate, gaining is positive (s/day)", 4.0);
    let left = left_edge_mm(&[&upper, &lower]);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let split = top + 0.52 * (bottom - top);
    let swing = Panel::drawn(&mut sheet, (left, top, split), x(), upper, false);
    swing.level(&mut sheet, escaping_deg, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    let alike = course.points.iter().all(|point| (point.right_rad / point.left_rad - 1.0).abs() < ALIKE);
    swing.curve(&mut sheet, along(course, |point| point.right_rad.to_degrees()), Pen::solid(ENTRY, CURVE_MM));
    if !alike {
        let pen = Pen::solid(EXIT, CURVE_MM).broken(DASHED);
        swing.curve(&mut sheet, along(course, |point| point.left_rad.to_degrees()), pen);
    }
    let within = swing.frame;
    let name = if alike { "right and left equal" } else { "right" };
    let mut say = |at: (f64, f64), text: &str, colour, up: f64| {
        let at = swing.at(at);
        sheet.label(Label { at, text: text.to_owned(), colour, towards: (0.3, up), within, leader: colour != SOFT });
    };
    let shown = |share: f64| course.points.get((share * course.points.len() as f64) as usize);
    if let Some(point) = shown(0.3) {
        say((point.time_s / SECONDS_PER_HOUR, point.right_rad.to_degrees()), name, ENTRY, -1.0);
    }
    if let Some(point) = shown(0.55).filter(|_| !alike) {
        say((point.time_s / SECONDS_PER_HOUR, point.left_rad.to_degrees()), "left", EXIT, -1.0);
    }
    say((6.0, escaping_deg), &format!("escaping arc, {}\u{b0}", significant(escaping_deg, 3)), SOFT, -1.0);
    let lowest = course.points.iter().min_by(|a, b| {
        let away = |point: &DialPoint| (point.time_s - course.nearest_to_stopping_s).abs();
        away(a).total_cmp(&away(b))
    });
    if let Some(point) = lowest {
        let at = (point.time_s / SECONDS_PER_HOUR, point.right_rad.min(point.left_rad).to_degrees());
        sheet.disc(swing.at(at), 0.8, ENTRY);
        let (at, towards) = (swing.at(at), (0.3, 1.0));
        sheet.label(Label { at, text: nearest, colour: ENTRY, towards, within, leader: true });
    }
    let rate = Panel::drawn(&mut sheet, (left, split, bottom), x(), lower, true);
    rate.level(&mut sheet, course.mean_rate_s_per_day, Pen::solid(SOFT, HAIR_MM).broken(DASHED));
    rate.curve(&mut sheet, along(course, |point| point.rate_s_per_day), Pen::solid(ENTRY, CURVE_MM));
    Some((title, sheet))
}

/// A value over the hours, closed at twelve by the first.
fn along<'c>(course: &'c DialCourse, of: impl Fn(&DialPoint) -> f64 + 'c) -> Vec<(f64, f64)> {
    let again = course.points.first().map(|point| (DIAL_TURN_S / SECONDS_PER_HOUR, of(point)));
    course.points.iter().map(|point| (point.time_s / SECONDS_PER_HOUR, of(point))).chain(again).collect()
}
