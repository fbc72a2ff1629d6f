//! A linear oscillator with viscous damping, kicked as it passes its middle: its swing is known in closed form.

/// The oscillator, with a kick of 20 mJ.
pub const KICKED: &str = r#"
[place]
gravity = "0 m/s^2"
[pendulum.lumped]
inertia = "2 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
stiffness = "20 N m/rad"
damping_linear = "0.1 N m s"
[escapement.ideal_kick]
at = "0 deg"
energy = "20 mJ"
"#;

/// The kick that keeps an oscillator of that inertia, stiffness and damping, in SI units, swinging `semi_arc_deg` to both sides.
///
/// Between kicks it is damped by gamma = c / 2 I at w = sqrt(k / I - gamma^2), so that half a period leaves q = exp(-gamma pi / w) of the
/// speed at the middle; 2 E / I = v^2 (1 - q^2), and it turns after t = atan(w / gamma) / w at A = v / w exp(-gamma t) sin(w t). Derived.
pub fn kick_j(inertia: f64, stiffness: f64, damping: f64, semi_arc_deg: f64) -> f64 {
    let gamma = damping / (2.0 * inertia);
    let w = (stiffness / inertia - gamma * gamma).sqrt();
    let turn = (w / gamma).atan() / w;
    let speed = semi_arc_deg.to_radians() * w / ((-gamma * turn).exp() * (w * turn).sin());
    let kept = (-gamma * std::f64::consts::PI / w).exp();
    0.5 * inertia * speed * speed * (1.0 - kept * kept)
}
