//! Parts on the bed of a printer: whether they fit, and by how much they could grow.

/// Room in which a printer works.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bed {
    /// One side of the bed, m.
    pub width_m: f64,
    /// The other side, m.
    pub depth_m: f64,
    /// Height above it, m; `None` where it is not stated and counts as enough.
    pub height_m: Option<f64>,
}

/// What a part covers of the bed.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Footprint {
    /// A circle of this diameter, m.
    Round(f64),
    /// A rectangle of these sides, m, which may lie askew.
    Rectangle(f64, f64),
}

impl Footprint {
    /// The longest straight line that says how large the part is: diameter or longer side, m.
    #[must_use]
    pub fn longest_m(self) -> f64 {
        match self {
            Self::Round(diameter_m) => diameter_m,
            Self::Rectangle(one_m, other_m) => one_m.max(other_m),
        }
    }
}

/// Halvings of the factor for a rectangle; its first bracket spans less than two octaves.
const HALVINGS: u32 = 60;

/// Largest factor by which a part may grow and still fit the bed, above 0; below 1 it does not fit as it is.
#[must_use]
pub fn largest_factor(footprint: Footprint, height_m: Option<f64>, bed: &Bed) -> f64 {
    let flat = match footprint {
        Footprint::Round(diameter_m) => bed.width_m.min(bed.depth_m) / diameter_m,
        Footprint::Rectangle(one_m, other_m) => largest_rectangle_factor((one_m, other_m), (bed.width_m, bed.depth_m)),
    };
    match (height_m, bed.height_m) {
        (Some(part_m), Some(bed_m)) => flat.min(bed_m / part_m),
        _ => flat,
    }
}

fn largest_rectangle_factor(part: (f64, f64), bed: (f64, f64)) -> f64 {
    let fits = |factor: f64| rectangle_fits((factor * part.0, factor * part.1), bed);
    let diagonal = |(one, other): (f64, f64)| one.hypot(other);
    // No part fits whose diagonal is longer than the bed's, and any fits whose diagonal is within the bed's shorter side.
    let mut high = diagonal(bed) / diagonal(part);
    let mut low = bed.0.min(bed.1) / diagonal(part);
    if fits(high) {
        return high;
    }
    for _ in 0..HALVINGS {
        let middle = 0.5 * (low + high);
        if fits(middle) { low = middle } else { high = middle }
    }
    low
}

/// Whether a rectangle lies within another one, straight or askew.
///
/// Source: L. Carver, "The box problem" (1957), as given in J. E. Wetzel, "Rectangles in rectangles", Mathematics Magazine 73
/// (2000): `p x q` (`p >= q`) goes into `a x b` (`a >= b`) if `p <= a, q <= b`, or if `p > a, q <= b` and
/// `b >= (2 p q a + (p^2 - q^2) sqrt(p^2 + q^2 - a^2)) / (p^2 + q^2)` (from memory; checked by turning in the tests).
#[must_use]
pub fn rectangle_fits(part: (f64, f64), bed: (f64, f64)) -> bool {
    let (p, q) = (part.0.max(part.1), part.0.min(part.1));
    let (a, b) = (bed.0.max(bed.1), bed.0.min(bed.1));
    if q > b {
        return false;
    }
    let square = p * p + q * q;
    p <= a || b * square >= 2.0 * p * q * a + (p * p - q * q) * (square - a * a).max(0.0).sqrt()
}
