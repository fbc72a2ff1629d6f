//! The escape wheel as a body: its holes, its weight and its inertia.

use std::f64::consts::{FRAC_PI_2, TAU};

use crate::clock::design::{Spoked, WheelBody};
use crate::geometry::{Outline, OutlineError, Point, Vertex};

use super::EscapementOutlines;
use super::wheel_rim::{RimError, WheelRim, wheel_rim};

/// A whole escape wheel.
#[derive(Debug, Clone, PartialEq)]
pub struct EscapeWheel {
    /// Its outside.
    pub rim: WheelRim,
    /// Its holes.
    pub holes: WheelHoles,
    /// Its mass, kg.
    pub mass_kg: f64,
    /// Its moment of inertia about its arbor, kg m^2.
    pub inertia_kg_m2: f64,
}

/// The holes of an escape wheel, in the wheel's frame, as outlines of what is missing, anticlockwise.
#[derive(Debug, Clone, PartialEq)]
pub struct WheelHoles {
    /// Between the spokes; none in a solid disc.
    pub windows: Vec<Outline>,
    /// For the arbor; `None` where a printer has filled it.
    pub bore: Option<Outline>,
}

/// Why a wheel cannot be made as stated.
#[derive(Debug, Clone, Copy, PartialEq, thiserror::Error)]
pub enum WheelError {
    /// A size that is not above zero.
    #[error("the wheel's {quantity} must be a finite number above 0")]
    NotPositive {
        /// Which.
        quantity: &'static str,
        /// Its value in SI units.
        value: f64,
    },
    /// Fewer than two spokes.
    #[error("a spoked wheel has two spokes or more, not {0}")]
    TooFewSpokes(u32),
    /// The rim leaves nothing within.
    #[error("a rim {:.3} mm wide fills the wheel: its teeth have their roots at a radius of {:.3} mm", 1e3 * .rim_m, 1e3 * .root_m)]
    RimFillsWheel {
        /// Rim.
        rim_m: f64,
        /// Radius of the roots.
        root_m: f64,
    },
    /// The hub reaches the rim.
    #[error("a hub {:.3} mm across reaches the rim, which leaves {:.3} mm", 1e3 * .hub_diameter_m, 1e3 * .inside_m)]
    HubReachesRim {
        /// Hub.
        hub_diameter_m: f64,
        /// Diameter of the rim's inner circle.
        inside_m: f64,
    },
    /// The spokes merge at the hub.
    #[error("{spokes} spokes {:.3} mm wide leave no windows at the hub", 1e3 * .width_m)]
    SpokesMerge {
        /// Number.
        spokes: u32,
        /// Width.
        width_m: f64,
        /// The width at which they touch.
        widest_m: f64,
    },
    /// The bore takes the hub.
    #[error("a bore of {:.3} mm leaves nothing of the {}", 1e3 * .bore_m, if *.has_hub { "hub" } else { "wheel" })]
    BoreTooLarge {
        /// Bore.
        bore_m: f64,
        /// Diameter of what it goes through.
        through_m: f64,
        /// Whether that is a hub.
        has_hub: bool,
    },
    /// The teeth make no wheel.
    #[error(transparent)]
    Rim(#[from] RimError),
    /// A hole is no outline.
    #[error("the wheel cannot be drawn: {0}")]
    Outline(#[from] OutlineError),
}

/// The wheel of an escapement's teeth and a body, its mass and its inertia about its arbor from the outlines as they are given.
///
/// | symbol | meaning | unit |
/// |---|---|---|
/// | `J` | polar moment of an outline about the arbor ([`Outline::polar_moment_m4`]) | m^4 |
/// | `rho`, `b` | density, thickness | kg/m^3, m |
///
/// Mass `rho b (A - holes)`, inertia `rho b (J - holes)`. Teeth, rim, spokes and hub are of one thickness. Pins count for
/// nothing: their length is not known. Spoke no. 0 points at tooth no. 0.
///
/// # Errors
/// [`WheelError`].
pub fn escape_wheel(outlines: &EscapementOutlines, body: &WheelBody) -> Result<EscapeWheel, WheelError> {
    let density_kg_m3 = positive("density", body.material.density_kg_m3)?;
    let thickness_m = positive("thickness", body.thickness_m)?;
    let bore_m = positive("bore", body.bore_diameter_m)?;
    let rim = wheel_rim(outlines)?;
    let through_m = body.spoked.map_or(2.0 * rim.root_m, |spoked| spoked.hub_diameter_m);
    let windows = body.spoked.map_or_else(|| Ok(Vec::new()), |spoked| windows(&spoked, rim.root_m))?;
    if bore_m >= through_m {
        return Err(WheelError::BoreTooLarge { bore_m, through_m, has_hub: body.spoked.is_some() });
    }
    let holes = WheelHoles { windows, bore: Some(Outline::circle(Point::zeros(), 0.5 * bore_m)?) };
    let missing = |of: fn(&Outline) -> f64| holes.windows.iter().chain(&holes.bore).map(of).sum::<f64>();
    let area_m2 = rim.contour.signed_area_m2() - missing(Outline::signed_area_m2);
    let about_arbor: fn(&Outline) -> f64 = |outline| outline.polar_moment_m4(Point::zeros());
    let moment_m4 = about_arbor(&rim.contour) - missing(about_arbor);
    let per_area = density_kg_m3 * thickness_m;
    Ok(EscapeWheel { rim, holes, mass_kg: per_area * area_m2, inertia_kg_m2: per_area * moment_m4 })
}

/// The windows between the spokes, each of the hub's arc, two sides of spokes and the rim's arc.
fn windows(spoked: &Spoked, root_m: f64) -> Result<Vec<Outline>, WheelError> {
    let Spoked { spokes, .. } = *spoked;
    let rim_m = positive("rim", spoked.rim_m)?;
    let width_m = positive("spoke width", spoked.spoke_width_m)?;
    let hub_diameter_m = positive("hub diameter", spoked.hub_diameter_m)?;
    if spokes < 2 {
        return Err(WheelError::TooFewSpokes(spokes));
    }
    let (hub_m, inside_m) = (0.5 * hub_diameter_m, root_m - rim_m);
    if inside_m <= 0.0 {
        return Err(WheelError::RimFillsWheel { rim_m, root_m });
    }
    if hub_m >= inside_m {
        return Err(WheelError::HubReachesRim { hub_diameter_m, inside_m: 2.0 * inside_m });
    }
    let apart_rad = TAU / f64::from(spokes);
    let widest_m = 2.0 * hub_m * (0.5 * apart_rad).sin();
    if width_m >= widest_m {
        return Err(WheelError::SpokesMerge { spokes, width_m, widest_m });
    }
    // Angle from a spoke's middle to its side, at the hub and at the rim.
    let [at_hub_rad, at_rim_rad] = [hub_m, inside_m].map(|radius_m| (0.5 * width_m / radius_m).asin());
    let on = |radius_m: f64, angle_rad: f64| radius_m * Point::new(angle_rad.cos(), angle_rad.sin());
    let straight = |at| Vertex { at, bulge: 0.0 };
    let window = |number: u32| {
        let spoke_rad = FRAC_PI_2 + f64::from(number) * apart_rad;
        let next_rad = spoke_rad + apart_rad;
        Outline::new(vec![
            straight(on(hub_m, spoke_rad + at_hub_rad)),
            Vertex { at: on(inside_m, spoke_rad + at_rim_rad), bulge: (0.25 * (apart_rad - 2.0 * at_rim_rad)).tan() },
            straight(on(inside_m, next_rad - at_rim_rad)),
            Vertex { at: on(hub_m, next_rad - at_hub_rad), bulge: -(0.25 * (apart_rad - 2.0 * at_hub_rad)).tan() },
        ])
    };
    Ok((0..spokes).map(window).collect::<Result<_, _>>()?)
}

fn positive(quantity: &'static str, value: f64) -> Result<f64, WheelError> {
    if value.is_finite() && value > 0.0 { Ok(value) } else { Err(WheelError::NotPositive { quantity, value }) }
}
