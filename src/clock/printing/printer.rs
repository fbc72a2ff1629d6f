//! What is known of a printer and of the hand that assembles its parts: each quantity a value, or a value and a spread.

/// Whether a quantity is the same for all parts of one printer, or another one for every part.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum SpreadPer {
    /// All parts of a printer alike.
    Printer,
    /// Every part its own.
    #[default]
    Part,
}

/// A quantity that differs from copy to copy: normally distributed, 95 % of the copies within `value` plus or minus `spread`,
/// that is two standard deviations. SI unit of the quantity.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Spread {
    /// Mean.
    pub value: f64,
    /// Two standard deviations; 0 for a quantity that is known.
    pub spread: f64,
    /// What has a value of its own.
    pub per: SpreadPer,
}

impl Spread {
    /// A quantity without spread.
    #[must_use]
    pub const fn of(value: f64) -> Self {
        Self { value, spread: 0.0, per: SpreadPer::Part }
    }
}

/// A printer and the assembly of its parts. The default prints and assembles exactly what was drawn.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Printer {
    /// Linear shrinkage, a fraction of every length (negative: parts come out too large).
    pub shrinkage: Spread,
    /// Distance by which every outer edge stands out beyond the drawing, m (negative: it falls short).
    pub growth: Spread,
    /// Radius of the tightest curve of the bead, m: tips are rounded to it from inside, inner corners from outside.
    pub bead_radius: Spread,
    /// Further growth of the first layers where a part lies on the bed, m. The widest layer is the one that touches.
    pub elephant_foot: Spread,
    /// Distance of the arbors beyond the drawn one, m.
    pub centre_distance_error: Spread,
    /// Eccentricity of a wheel or pinion on its arbor, m.
    pub run_out: Spread,
    /// Diametral play of each of the two arbors in its bearings, m.
    pub pivot_play: Spread,
    /// Whether it makes the frame with the holes of the arbors too; else these are drilled where designed.
    pub makes_frame: bool,
}

impl Printer {
    /// Shrinkage of the distances between the arbors where parts shrink by `shrinkage`.
    #[must_use]
    pub const fn frame_shrinkage(&self, shrinkage: f64) -> f64 {
        if self.makes_frame { shrinkage } else { 0.0 }
    }
}
