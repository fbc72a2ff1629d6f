//! What still air does to a body that swings in it: added mass, linear and quadratic drag, as pure coefficients.
//!
//! Linear coefficients are those of a small oscillation at a given angular frequency. The boundary layer's thickness is
//! `d = sqrt(2 nu / omega)`, 3 mm for a seconds pendulum.

use complex_bessel::besselk_scaled;
use num_complex::Complex64;

/// Stokes' two coefficients of an oscillating body, referred to the mass `M'` of the air it displaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StokesCoefficients {
    /// Added mass is `added M'`.
    pub added: f64,
    /// Resisting force is `damping M' omega` times the speed.
    pub damping: f64,
}

/// Thickness `d` of the oscillating boundary layer, m.
#[must_use]
pub fn boundary_layer_m(kinematic_viscosity_m2_s: f64, omega_rad_s: f64) -> f64 {
    (2.0 * kinematic_viscosity_m2_s / omega_rad_s).sqrt()
}

/// Coefficients of a sphere: `k = 1/2 + 9/4 (d/a)`, `k' = 9/4 (d/a) (1 + d/a)`.
///
/// `radius_m` is `a` (above 0), `layer_m` is `d`. Source: G. G. Stokes, "On the effect of the internal friction of
/// fluids on the motion of pendulums", Trans. Camb. Phil. Soc. IX (1851), art. 20 eq. 52 (formula from memory; it equals
/// the drag `6 pi mu a (1 + a/d)`, Landau and Lifshitz, "Fluid Mechanics", sec. 24). Exact while the swing is small
/// against the sphere.
#[must_use]
pub fn stokes_sphere(radius_m: f64, layer_m: f64) -> StokesCoefficients {
    let ratio = layer_m / radius_m;
    StokesCoefficients { added: 0.5 + 2.25 * ratio, damping: 2.25 * ratio * (1.0 + ratio) }
}

/// Coefficients of a long circular cylinder that swings broadside: `k - i k' = 1 + 4 K1(z) / (z K0(z))`,
/// `z = 2 m exp(i pi/4)`, `m = a / (d sqrt 2)`.
///
/// `radius_m` is `a` (above 0), `layer_m` is `d`. Source: Stokes 1851 as above, whose printed table it reproduces; the
/// Bessel functions come from a library (Amos' algorithm, about 1e-14). For `m` below 1e-6 or above 1e6 the
/// argument is held there, so that the result stays finite; what is no number stays none.
#[must_use]
pub fn stokes_cylinder(radius_m: f64, layer_m: f64) -> StokesCoefficients {
    let m = (radius_m / (layer_m * std::f64::consts::SQRT_2)).clamp(1.0e-6, 1.0e6);
    if m.is_nan() {
        // The library takes no such argument.
        return StokesCoefficients { added: m, damping: m };
    }
    let z = Complex64::from_polar(2.0 * m, std::f64::consts::FRAC_PI_4);
    // Scaled by exp(z), which cancels in the ratio and keeps thick cylinders from underflow.
    let ratio = match (besselk_scaled(0.0, z), besselk_scaled(1.0, z)) {
        (Ok(k0), Ok(k1)) => k1 / k0,
        // Not reached inside the clamp; the thick-cylinder limit K1/K0 -> 1 + 1/(2 z) keeps the result finite.
        _ => Complex64::new(1.0, 0.0) + 0.5 / z,
    };
    let k = 1.0 + 4.0 * ratio / z;
    StokesCoefficients { added: k.re, damping: -k.im }
}

/// Resisting force per speed on a flat face of area `area_m2` that swings in its own plane, N s/m: `mu area / d`.
///
/// The same force per speed, divided by `omega`, is the mass of air that the face drags along.
/// Source: Stokes' oscillating plate (1851, art. 7; formula from memory): shear `mu u / d` in phase with the speed.
#[must_use]
pub fn plate_drag_n_s_per_m(viscosity_pa_s: f64, area_m2: f64, layer_m: f64) -> f64 {
    viscosity_pa_s * area_m2 / layer_m
}

/// Added-mass coefficient of a spheroid in an ideal fluid, moving at right angles to its axis of revolution.
///
/// `length_over_diameter` is its size along the axis over that across it: above 1 a cigar broadside on (towards 1 when
/// long), 1 a sphere (1/2), below 1 a lens or disc edge on (towards `pi/4` times it when thin).
/// Source: H. Lamb, "The inertia-coefficients of an ellipsoid moving in fluid", Reports and Memoranda 623 (1918);
/// oblate form from Lamb, "Hydrodynamics", art. 114 (from memory, joined to the other at the sphere).
#[must_use]
pub fn spheroid_added_mass(length_over_diameter: f64) -> f64 {
    // Beyond 1 : 10000 the long cigar's logarithm would overflow, and the limit is reached to 1e-7 anyhow.
    let ratio = length_over_diameter.clamp(0.0, 1.0e4);
    let deviation = 1.0 - ratio;
    let beta = if deviation.abs() < 1.0e-3 {
        // Both closed forms cancel here; the expansion about the sphere is good to 1e-9.
        2.0 / 3.0 - 4.0 / 15.0 * deviation - 6.0 / 35.0 * deviation * deviation
    } else if ratio < 1.0 {
        let root = ((1.0 - ratio) * (1.0 + ratio)).sqrt();
        ratio * root.asin() / root.powi(3) - ratio * ratio / (root * root)
    } else {
        let e = (1.0 - 1.0 / (ratio * ratio)).sqrt();
        1.0 / (e * e) - (1.0 - e * e) / (2.0 * e.powi(3)) * ((1.0 + e) / (1.0 - e)).ln()
    };
    beta / (2.0 - beta)
}

/// Radius of the circular cylinder whose boundary layer resists as much as that of an elliptic one moving along its
/// axis `along_m` (full size), `across_m` being the full size across the motion, m.
///
/// Derived: ideal flow slips past an ellipse of half axes `a`, `b` at `(a + b) sin(eta) / h`, with
/// `h^2 = a^2 sin^2 + b^2 cos^2`; the layer's drag per length is `mu/d` times the integral of the slip's square along
/// the outline, `4 pi a mu / d` for the circle. Trapezium rule on a periodic integrand, 1e-6 down to sides of 1 : 20.
#[must_use]
pub fn equivalent_cylinder_radius_m(along_m: f64, across_m: f64) -> f64 {
    const POINTS: u32 = 400;
    let (a, b) = (0.5 * along_m, 0.5 * across_m);
    let step = std::f64::consts::TAU / f64::from(POINTS);
    let integral: f64 = (0..POINTS)
        .map(|i| {
            let (sine, cosine) = (f64::from(i) * step).sin_cos();
            sine * sine / (a * a * sine * sine + b * b * cosine * cosine).sqrt()
        })
        .sum();
    (a + b).powi(2) * integral * step / (4.0 * std::f64::consts::PI)
}

/// Drag coefficient of a circular cylinder broadside on, referred to length times diameter.
///
/// `diameter_over_length` runs from 0 (no ends) to 1; shorter ones keep the value of 1. Linear between the table's rows.
/// Source: C. Matthews, "Aeronautical Engineer's Data Book", fig. 5.13(b): length/diameter 1 0.63, 2 0.68, 5 0.74,
/// 10 0.82, 40 0.98, infinite 1.20. Steady flow; a swinging body meets its own wake, which no table covers.
#[must_use]
pub fn cylinder_drag_coefficient(diameter_over_length: f64) -> f64 {
    const ROWS: [(f64, f64); 6] = [(0.0, 1.20), (0.025, 0.98), (0.1, 0.82), (0.2, 0.74), (0.5, 0.68), (1.0, 0.63)];
    table_value(&ROWS, diameter_over_length)
}

/// Drag coefficient of a long rectangular bar, referred to its frontal area; `along_over_across` is its size along the
/// flow over that across it.
///
/// Source: D. F. Young, B. R. Munson et al., "A Brief Introduction to Fluid Mechanics", fig. 9.19, Re = 1e5, sharp
/// corners: 0.1 1.9, 0.5 2.5, 0.65 2.9, 1 2.2, 2 1.6, 3 1.3; linear between, held beyond.
#[must_use]
pub fn bar_drag_coefficient(along_over_across: f64) -> f64 {
    const ROWS: [(f64, f64); 6] = [(0.1, 1.9), (0.5, 2.5), (0.65, 2.9), (1.0, 2.2), (2.0, 1.6), (3.0, 1.3)];
    table_value(&ROWS, along_over_across)
}

/// Drag coefficient of a sphere, referred to its frontal area, for Reynolds numbers from 1e3 to 2e5 (common value of
/// engineers' tables).
pub const SPHERE_DRAG_COEFFICIENT: f64 = 0.45;

/// Drag coefficient of a lens edge on, referred to its frontal area: `1.1 thickness/diameter`, at most the sphere's.
///
/// Source: pressure drag of an elliptic section below the critical Reynolds number, S. F. Hoerner, "Fluid-Dynamic Drag"
/// (from memory); the skin's share is in the linear coefficient.
#[must_use]
pub fn lens_drag_coefficient(thickness_over_diameter: f64) -> f64 {
    (1.1 * thickness_over_diameter).clamp(0.0, SPHERE_DRAG_COEFFICIENT)
}

/// Value of a table with rising first column, linear between its rows and held beyond them.
fn table_value(rows: &[(f64, f64)], x: f64) -> f64 {
    let mut value = rows.first().map_or(0.0, |row| row.1);
    for (low, high) in rows.iter().zip(rows.iter().skip(1)) {
        if x > low.0 {
            let share = ((x - low.0) / (high.0 - low.0)).min(1.0);
            value = low.1 + share * (high.1 - low.1);
        }
    }
    value
}
