//! What a drawing of an escapement shows, layer by layer.

use std::f64::consts::TAU;

use crate::clock::escapement::{EscapementOutlines, WheelHoles, wheel_rim};
use crate::geometry::{Outline, Point};

/// Radius of the circles that mark the arbors, m.
const ARBOR_MARK_M: f64 = 1e-3;

/// Layers and outlines of an escapement, m: `TOOTH` tooth no. 0, `WHEEL` the wheel's contour, `WINDOWS` and `BORE` its holes
/// where it has a body, `ENTRY` and `EXIT` the pallets, `ARBORS` a circle of 1 mm radius about each arbor. The wheel's centre
/// is the origin, the pallet arbor at (0, centre distance).
///
/// Pins are on the layer `PINS` with the disc that carries them as `WHEEL`; without a body they are `WHEEL`, one by one. So are
/// teeth that do not join to one contour.
#[must_use]
pub fn escapement_layers(outlines: &EscapementOutlines, holes: Option<&WheelHoles>) -> Vec<(String, Outline)> {
    let on = |layer: &str, outline: &Outline| (layer.to_owned(), outline.clone());
    let mut layers = vec![on("TOOTH", &outlines.tooth)];
    match wheel_rim(outlines) {
        Ok(rim) if !rim.carries_pins => layers.push(on("WHEEL", &rim.contour)),
        Ok(rim) if holes.is_some() => {
            layers.push(on("WHEEL", &rim.contour));
            layers.extend(teeth(outlines, "PINS"));
        }
        _ => layers.extend(teeth(outlines, "WHEEL")),
    }
    if let Some(holes) = holes {
        layers.extend(holes.windows.iter().map(|window| on("WINDOWS", window)));
        layers.extend(holes.bore.iter().map(|bore| on("BORE", bore)));
    }
    layers.push(on("ENTRY", &outlines.pallets.entry));
    layers.push(on("EXIT", &outlines.pallets.exit));
    let arbors = [Point::zeros(), Point::new(0.0, outlines.centre_distance_m)];
    let marks = arbors.into_iter().filter_map(|arbor| Outline::circle(arbor, ARBOR_MARK_M).ok());
    layers.extend(marks.map(|mark| ("ARBORS".to_owned(), mark)));
    layers
}

/// All teeth, each by itself.
fn teeth<'o>(outlines: &'o EscapementOutlines, layer: &'o str) -> impl Iterator<Item = (String, Outline)> + 'o {
    let pitch = TAU / f64::from(outlines.teeth);
    (0..outlines.teeth)
        .map(move |tooth| (layer.to_owned(), outlines.tooth.turned_about(Point::zeros(), -f64::from(tooth) * pitch)))
}
