//! Where the arbors stand on the plates, from the distances of the meshes and the directions that the maker gives.

use crate::clock::design::Train;
use crate::geometry::Point;

/// Where the arbors stand as designed, m right and up of the first, seen from the front; `None` where a mesh has no module.
#[must_use]
pub fn arbor_places_m(train: &Train) -> Option<Vec<Point>> {
    let mut at = Point::zeros();
    let mut places = vec![at];
    for pair in train.arbors.windows(2) {
        let [driver, driven] = pair else { return None };
        let teeth = f64::from(driver.wheel_teeth?) + f64::from(driven.pinion_teeth?);
        at += towards(driver.next_direction_rad, 0.5 * driver.module_m? * teeth);
        places.push(at);
    }
    Some(places)
}

/// Where the pallet arbor stands, so far from the last of `places_m` in the direction that its arbor gives.
#[must_use]
pub fn pallet_place_m(train: &Train, places_m: &[Point], centre_distance_m: f64) -> Option<Point> {
    let (last, at) = (train.arbors.last()?, places_m.last()?);
    Some(at + towards(last.next_direction_rad, centre_distance_m))
}

fn towards(direction_rad: f64, distance_m: f64) -> Point {
    let (up, right) = direction_rad.sin_cos();
    distance_m * Point::new(right, up)
}
