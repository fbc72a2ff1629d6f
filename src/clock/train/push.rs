//! Forces between gears, in the plane of the wheels.

/// A vector in the plane of the wheels, seen from the front.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(in crate::clock) struct Vector {
    pub(in crate::clock) right: f64,
    pub(in crate::clock) up: f64,
}

impl Vector {
    pub(in crate::clock) const ZERO: Self = Self { right: 0.0, up: 0.0 };

    pub(in crate::clock) fn scaled(self, factor: f64) -> Self {
        Self { right: self.right * factor, up: self.up * factor }
    }

    pub(in crate::clock) fn plus(self, other: Self) -> Self {
        Self { right: self.right + other.right, up: self.up + other.up }
    }
}

/// Force on a driven gear per tangential force: along the driver's motion at the pitch point, and away from the driver.
///
/// `direction_rad` leads from the driver to it, anticlockwise from the right; `sense` is the driver's, positive anticlockwise.
pub(in crate::clock) fn push_on_driven(direction_rad: f64, sense: f64, pressure_angle_rad: f64) -> Vector {
    let (sine, cosine) = direction_rad.sin_cos();
    let apart = pressure_angle_rad.tan();
    Vector { right: -sense * sine + apart * cosine, up: sense * cosine + apart * sine }
}

/// Radius of the pitch circle, m.
pub(in crate::clock) fn pitch_radius_m(teeth: u32, module_m: f64) -> f64 {
    0.5 * module_m * f64::from(teeth)
}
