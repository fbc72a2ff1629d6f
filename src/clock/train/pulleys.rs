//! The pulleys between weight and drum: how the cord's parts share the weight.

use crate::clock::design::WeightDrive;

use super::bearing::pulley_tension_ratio;
use super::cord::bending_share;
use super::drive::{DriveError, Flow, check_positive};

/// A cord over its pulleys.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Pulleys {
    falls: u32,
    /// Ratio of the tensions beside a pulley.
    ratio: f64,
    /// What a pulley's drag adds to the tension on the side that pulls, N.
    drag_n: f64,
}

impl Pulleys {
    /// The pulleys of a drive, under a cord of a stiffness (0: a limp one).
    pub(super) fn of(drive: &WeightDrive, stiffness: f64) -> Result<Self, DriveError> {
        let (ratio, drag_n) = match (drive.falls, drive.pulley) {
            (1, _) => (1.0, 0.0),
            (falls, None) => return Err(DriveError::NoPulley { falls }),
            (_, Some(pulley)) => {
                check_positive(pulley.diameter_m, "pulley diameter")?;
                let cord_radius_m = 0.5 * (pulley.diameter_m + drive.cord_diameter_m);
                let (friction, radius_m) = (pulley.pivot.friction.value, 0.5 * pulley.pivot.diameter_m);
                let bending = bending_share(stiffness, drive.cord_diameter_m, cord_radius_m);
                let ratio = pulley_tension_ratio(friction, radius_m, cord_radius_m, bending);
                let lever_m = cord_radius_m - friction * radius_m - 0.5 * bending * cord_radius_m;
                (ratio.ok_or(DriveError::PulleyHolds)?, pulley.pivot.drag_n_m.value / lever_m)
            }
        };
        Ok(Self { falls: drive.falls, ratio, drag_n })
    }

    /// Parts of the cord that carry the weight.
    pub(super) fn falls(&self) -> f64 {
        f64::from(self.falls)
    }

    /// Tension of the cord at the drum under a load, N.
    ///
    /// Going, cord moves from the drum towards its fixed end, so that each further part carries `q` times the one
    /// before it and what the pulley's drag takes, `m`: `W g = T (1 + q + ... + q^(falls-1)) + m (1 + (1 + q) + ...)`; raising the
    /// weight, each carries `1/q` of the one before it less `m`.
    pub(super) fn drum_tension_n(&self, load_n: f64, flow: Flow) -> f64 {
        let ratio = match flow {
            Flow::Forward | Flow::Starting => self.ratio,
            Flow::Backward => 1.0 / self.ratio,
        };
        let added_n = match flow {
            Flow::Forward | Flow::Starting => self.drag_n,
            Flow::Backward => -self.drag_n * ratio,
        };
        // Each part's tension is `T powers + added_n sums`.
        let (mut power, mut sum, mut all_sums) = (1.0, 0.0, 0.0);
        for _ in 1..self.falls {
            sum += power;
            power *= ratio;
            all_sums += sum;
        }
        let parts: f64 = if ratio == 1.0 { self.falls() } else { (ratio.powf(self.falls()) - 1.0) / (ratio - 1.0) };
        (load_n - added_n * all_sums).max(0.0) / parts
    }
}
