//! Rate against temperature, and below it against humidity.

use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{CURVE_MM, INK, Pen, SOFT, THIN_MM, fixed, series_pen};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::Sheet;
use crate::report::room::RoomView;
use crate::study::room::RoomQuantity;

use super::{Drawn, Figure, finished};

/// Heights of the panels, mm.
const HEIGHTS_MM: (f64, f64) = (50.0, 50.0);

/// Rate against temperature and humidity of the room; `None` where fewer than two points of either have a rate.
#[must_use]
pub fn draw_room(view: &RoomView<'_>) -> Option<Figure> {
    finished("room", draw(view))
}

/// Values of a quantity in their printed unit with the rates there.
fn rates(view: &RoomView<'_>, quantity: RoomQuantity, factor: f64) -> Vec<(f64, f64)> {
    let points = view.rooms.points.iter().filter(|point| point.quantity == quantity);
    points.filter_map(|point| Some((factor * point.value, point.found.as_ref().ok()?.rate_s_per_day?))).collect()
}

fn draw(view: &RoomView<'_>) -> Drawn {
    let heat = rates(view, RoomQuantity::Temperature, 1.0);
    let damp = rates(view, RoomQuantity::Humidity, 100.0);
    if heat.len() < 2 || damp.len() < 2 {
        return None;
    }
    let title = format!("{}: rate and the air of its room", view.name);
    let mut subtitle = "All parts in equilibrium with the air. Crosses: the air of its place.".to_owned();
    let unrated = |quantity: RoomQuantity| view.rooms.points.iter().filter(|point| point.quantity == quantity).count();
    let without = unrated(RoomQuantity::Temperature) + unrated(RoomQuantity::Humidity) - heat.len() - damp.len();
    if without > 0 {
        subtitle.push_str(&format!(" {without} rooms in which it stops are left out."));
    }
    let mut sheet = Sheet::new(&title, &subtitle, HEIGHTS_MM.0 + HEIGHTS_MM.1);
    let all = |points: &[(f64, f64)]| points.iter().map(|point| point.1).collect::<Vec<_>>();
    let axis = |points: &[(f64, f64)]| PanelAxis::over(all(points), "rate, gaining is positive (s/day)", 6.0);
    let (rate_heat, rate_damp) = (axis(&heat), axis(&damp));
    let x_heat = PanelAxis::over(heat.iter().map(|point| point.0), "temperature (\u{b0}C)", 7.0);
    let x_damp = PanelAxis::between(0.0, 100.0, "relative humidity (%)", 5.0);
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let (left, middle) = (left_edge_mm(&[&rate_heat, &rate_damp]), top + HEIGHTS_MM.0);
    let upper = Panel::drawn(&mut sheet, (left, top, middle), x_heat, rate_heat, true);
    let lower = Panel::drawn(&mut sheet, (left, middle + 1.0, bottom), x_damp, rate_damp, true);
    let pen = series_pen(0, CURVE_MM);
    let own = [view.place.temperature_c, 100.0 * view.place.relative_humidity];
    let slopes = [(RoomQuantity::Temperature, 1.0, "kelvin"), (RoomQuantity::Humidity, 0.1, "10 % humidity")];
    for (number, (panel, points)) in [(&upper, &heat), (&lower, &damp)].into_iter().enumerate() {
        panel.curve(&mut sheet, points.iter().copied(), pen);
        for &point in points {
            sheet.ring(panel.at(point), 0.6, Pen::solid(pen.colour, THIN_MM));
        }
        let Some(here) = between(points, own[number]) else { continue };
        sheet.cross(panel.at(here), 1.2, Pen::solid(INK, CURVE_MM));
        let (quantity, size, unit) = slopes[number];
        let found = view.rooms.coefficients.iter().find(|coefficient| coefficient.quantity == quantity);
        if let Some(whole) = found.and_then(|coefficient| coefficient.whole) {
            let value = size * whole;
            let sign = if value < 0.0 { "\u{2212}" } else { "+" };
            let text = format!("{sign}{} s/day per {unit}", fixed(value.abs(), 3));
            let (at, within) = (panel.at(here), panel.frame);
            sheet.label(Label { at, text, colour: SOFT, towards: (1.0, -0.8), within, leader: true });
        }
    }
    Some((title, sheet))
}

/// The point at `x` on a line through points in rising order.
fn between(points: &[(f64, f64)], x: f64) -> Option<(f64, f64)> {
    let pair = points.windows(2).find(|pair| pair[0].0 <= x && x <= pair[1].0)?;
    let share = (x - pair[0].0) / (pair[1].0 - pair[0].0);
    Some((x, pair[0].1 + share * (pair[1].1 - pair[0].1)))
}
