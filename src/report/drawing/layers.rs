//! What a drawing of an escapement shows, layer by layer.

use std::f64::consts::TAU;

use crate::clock::escapement::EscapementOutlines;
use crate::geometry::{Outline, Point, Vertex};

/// Radius of the circles that mark the arbors, m.
const ARBOR_MARK_M: f64 = 1e-3;

/// Layers and outlines of an escapement, m: `TOOTH` tooth no. 0, `WHEEL` all teeth, `ENTRY` and `EXIT` the pallets, `ARBORS` a
/// circle of 1 mm radius about each arbor. The wheel's centre is the origin, the pallet arbor at (0, centre distance).
#[must_use]
pub fn escapement_layers(outlines: &EscapementOutlines) -> Vec<(String, Outline)> {
    let pitch = TAU / f64::from(outlines.teeth);
    let teeth = (0..outlines.teeth)
        .map(|tooth| ("WHEEL".to_owned(), outlines.tooth.turned_about(Point::zeros(), -f64::from(tooth) * pitch)));
    let arbors = [Point::zeros(), Point::new(0.0, outlines.centre_distance_m)];
    let mut layers = vec![("TOOTH".to_owned(), outlines.tooth.clone())];
    layers.extend(teeth);
    layers.push(("ENTRY".to_owned(), outlines.entry.clone()));
    layers.push(("EXIT".to_owned(), outlines.exit.clone()));
    layers.extend(arbors.into_iter().filter_map(|arbor| Some(("ARBORS".to_owned(), circle(arbor)?))));
    layers
}

fn circle(centre: Point) -> Option<Outline> {
    let side = Point::new(ARBOR_MARK_M, 0.0);
    Outline::new([centre + side, centre - side].map(|at| Vertex { at, bulge: 1.0 }).to_vec()).ok()
}
