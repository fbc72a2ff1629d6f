//! One mesh of involute teeth: how many teeth share the load, and what their sliding costs.

use std::f64::consts::PI;

/// Action of a pair of full-depth involute gears at the nominal centre distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mesh {
    /// Teeth of the pinion.
    pub pinion_teeth: u32,
    /// Teeth of the wheel.
    pub wheel_teeth: u32,
    /// Contact ratio `eps`: pairs in contact on average.
    pub contact_ratio: f64,
    /// Share of it run by the pinion's tip, `e1`.
    pub pinion_tip_share: f64,
    /// Share of it run by the wheel's tip, `e2`.
    pub wheel_tip_share: f64,
    /// Loss factor `H_v`: lost share of the power per unit of tooth friction.
    pub loss_factor: f64,
    /// Whether a tip reaches past the other gear's base circle: undercut when cut, fouling when moulded or printed.
    pub undercut: bool,
}

impl Mesh {
    /// Share of the power that passes, whichever gear drives, at most 1; at or below 0 the teeth hold each other fast.
    ///
    /// Going: torque behind the mesh = torque before it times `pinion/wheel` times this. Driven backwards the power
    /// enters at the pinion, and the same share of it is lost there: the torque that the pinion must be given
    /// = torque to be raised at the wheel times `pinion/wheel` over this.
    #[must_use]
    pub fn passed_share(&self, tooth_friction: f64) -> f64 {
        1.0 - tooth_friction * self.loss_factor
    }
}

/// Action of a full-depth involute pair (addendum one module, no profile shift).
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `pinion_teeth`, `wheel_teeth` | `z1`, `z2`, at least 1; their order does not change the loss | |
/// | `pressure_angle_rad` | `alpha`, between 0 and pi/2 | rad |
///
/// `eps = e1 + e2`, `e = (sqrt(ra^2 - rb^2) - r sin alpha)/(pi m cos alpha)` for each gear (Shigley; Niemann);
/// `H_v = pi (1/z1 + 1/z2) (1 - eps + e1^2 + e2^2)` (Niemann; ISO TR 14179-2; from memory, checked by integrating the
/// sliding along the path with the load shared equally), exact for `1 <= eps <= 2` and constant friction. Cycloidal
/// teeth lose less. Where `undercut` is set the figures are nominal: part of that action does not exist.
#[must_use]
pub fn involute_mesh(pinion_teeth: u32, wheel_teeth: u32, pressure_angle_rad: f64) -> Mesh {
    let (z1, z2) = (f64::from(pinion_teeth), f64::from(wheel_teeth));
    let (sine, cosine) = pressure_angle_rad.sin_cos();
    // Lengths in modules.
    let tip_run = |z: f64| {
        let (base, tip) = (0.5 * z * cosine, 0.5 * z + 1.0);
        (tip * tip - base * base).sqrt()
    };
    let pinion_tip_share = (tip_run(z1) - 0.5 * z1 * sine) / (PI * cosine);
    let wheel_tip_share = (tip_run(z2) - 0.5 * z2 * sine) / (PI * cosine);
    let contact_ratio = pinion_tip_share + wheel_tip_share;
    let common_tangent = 0.5 * (z1 + z2) * sine;
    Mesh {
        pinion_teeth,
        wheel_teeth,
        contact_ratio,
        pinion_tip_share,
        wheel_tip_share,
        loss_factor: PI
            * (1.0 / z1 + 1.0 / z2)
            * (1.0 - contact_ratio + pinion_tip_share.powi(2) + wheel_tip_share.powi(2)),
        undercut: tip_run(z1) > common_tangent || tip_run(z2) > common_tangent,
    }
}
