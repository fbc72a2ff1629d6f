//! Ball bearings as they come, oiled, greased or washed out.

use crate::clock::design::Friction;

use super::ValueSource;
use super::known::Known;
use super::sources::{BEARING_GREASED, BEARING_MU_OILED, BEARING_OILED, BEARING_START, BEARING_WASHED};

/// A kind of ball bearing.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NamedBearing {
    /// Name in a scenario.
    pub name: &'static str,
    /// Friction coefficient, referred to the bore.
    pub rolling: Known,
    /// Drag that no load changes, in drags of an oiled bearing of the same bore ([`oiled_drag_n_m`]).
    pub drag: Known,
    /// Torque that sets it going over that which keeps it going.
    pub breakaway: Known,
}

impl NamedBearing {
    /// Its friction coefficient.
    #[must_use]
    pub const fn friction(&self) -> Friction {
        Friction { value: self.rolling.value, spread: self.rolling.spread, named: Some(self.name) }
    }

    /// Drag of so many of them on one arbor.
    #[must_use]
    pub fn drag_n_m(&self, bore_m: f64, bearings: u32) -> Friction {
        let oiled_n_m = f64::from(bearings) * oiled_drag_n_m(bore_m);
        Friction { value: self.drag.value * oiled_n_m, spread: self.drag.spread * oiled_n_m, named: Some(self.name) }
    }
}

const fn bearing(
    name: &'static str,
    rolling: (f64, f64, &'static ValueSource),
    drag: (f64, f64, &'static ValueSource),
) -> NamedBearing {
    NamedBearing {
        name,
        rolling: Known::new(rolling.0, rolling.1, rolling.2),
        drag: Known::new(drag.0, drag.1, drag.2),
        breakaway: Known::new(1.65, 0.15, &BEARING_START),
    }
}

/// All bearings known by name beside the plain `"ball bearing"` of the friction pairs, which has no drag.
pub const BEARINGS: [NamedBearing; 4] = [
    bearing("ball bearing, oiled", (0.0013, 0.0004, &BEARING_MU_OILED), (1.0, 0.5, &BEARING_OILED)),
    bearing("ball bearing, greased", (0.0015, 0.0005, &BEARING_GREASED), (2.0, 1.5, &BEARING_GREASED)),
    bearing("ball bearing, shielded and greased", (0.0015, 0.0005, &BEARING_GREASED), (2.5, 2.0, &BEARING_GREASED)),
    bearing("ball bearing, washed out", (0.0015, 0.0005, &BEARING_WASHED), (0.5, 0.3, &BEARING_WASHED)),
];

/// The bearing of a name, `None` where the table has none.
#[must_use]
pub fn bearing_named(name: &str) -> Option<&'static NamedBearing> {
    BEARINGS.iter().find(|bearing| bearing.name == name)
}

/// Bore up to which the drag of oiled bearings does not depend on the bore, m, and that drag, N m.
const SMALL: (f64, f64) = (3.175e-3, 14.2e-6);

/// Bores between which it does not either, m, and that drag, N m.
const MIDDLE: (f64, f64, f64) = (4.76e-3, 6.35e-3, 40.4e-6);

/// Drag of one oiled deep groove ball bearing of a bore, whatever its load, N m.
///
/// | bore | drag |
/// |---|---|
/// | up to 3.175 mm | 14.2 uN m |
/// | between | as a power of the bore, so that both ends are met |
/// | 4.76 to 6.35 mm | 40.4 uN m |
/// | above | with the cube of the bore |
///
/// Derived: mean running torques of open, oiled bearings of the middle play, less `mu P d/2` of the load under which they were
/// measured (75 g up to 3.175 mm, 400 g above; `mu` 0.0013). The torques are 0.15 and 0.16 g cm up to 3.175 mm, 0.54 to 0.6 g cm from 4.76
/// to 6.35 mm (Dynaroll, "Bearing torque", and the same table at ddb-tech.com, seen). Above the tables the bore stands for the pitch
/// diameter in A. Palmgren's `M0 = 160e-7 f0 d_m^3` (N mm, mm; recalled).
#[must_use]
pub fn oiled_drag_n_m(bore_m: f64) -> f64 {
    let ((small_m, small_n_m), (from_m, to_m, middle_n_m)) = (SMALL, MIDDLE);
    if bore_m <= small_m {
        small_n_m
    } else if bore_m < from_m {
        small_n_m * (middle_n_m / small_n_m).powf((bore_m / small_m).ln() / (from_m / small_m).ln())
    } else {
        middle_n_m * (bore_m / to_m).max(1.0).powi(3)
    }
}
