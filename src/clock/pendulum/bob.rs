//! Shapes of bobs and rods: volume, inertia, and what the air does to them.

use std::f64::consts::PI;

use crate::clock::design::{Bob, BobShape, Column, PendulumParts, Rod, RodSection, Seat};
use crate::clock::environment::air::Air;

use super::fluid_drag::{
    SPHERE_DRAG_COEFFICIENT, bar_drag_coefficient, boundary_layer_m, cylinder_drag_coefficient,
    equivalent_cylinder_radius_m, lens_drag_coefficient, plate_drag_n_s_per_m, spheroid_added_mass, stokes_cylinder,
    stokes_sphere,
};

/// What the air does to a body (or, for a rod, to one metre of it) that swings sideways.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AirLoad {
    /// Mass of air that swings along, kg (kg/m).
    pub added_mass_kg: f64,
    /// Resisting force per speed, N s/m (per metre).
    pub linear_n_s_per_m: f64,
    /// Resisting force per square of the speed, N s^2/m^2 (per metre).
    pub quadratic_n_s2_per_m2: f64,
}

impl AirLoad {
    /// Load without air.
    pub const NONE: Self = Self { added_mass_kg: 0.0, linear_n_s_per_m: 0.0, quadratic_n_s2_per_m2: 0.0 };
}

/// Volume of a bob, m^3, solid (the hole for the rod not taken out).
#[must_use]
pub fn bob_volume_m3(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, thickness_m } => 0.25 * PI * diameter_m * diameter_m * thickness_m,
        BobShape::Lens { diameter_m, thickness_m } => {
            let cap_height = 0.5 * thickness_m;
            let sphere_radius = lens_sphere_radius_m(diameter_m, thickness_m);
            2.0 * PI * cap_height * cap_height * (sphere_radius - cap_height / 3.0)
        }
        BobShape::Cylinder { diameter_m, height_m } => 0.25 * PI * diameter_m * diameter_m * height_m,
        BobShape::Sphere { diameter_m } => PI * diameter_m.powi(3) / 6.0,
    }
}

/// Square of a bob's radius of gyration about the fore-and-aft axis through its centre, m^2.
///
/// Disc and lens turn about their own axis, the upright cylinder about a diameter. The lens is two spherical caps,
/// integrated in closed form (derived; two half spheres give 2/5 r^2).
#[must_use]
pub fn bob_gyration_squared_m2(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, .. } => 0.125 * diameter_m * diameter_m,
        BobShape::Lens { diameter_m, thickness_m } => {
            let h = 0.5 * thickness_m;
            let radius = lens_sphere_radius_m(diameter_m, thickness_m);
            // Integral of the fourth power of the section's radius over a cap, and the cap's volume over pi.
            let fourth = h.powi(3) * (4.0 / 3.0 * radius * radius - radius * h + 0.2 * h * h);
            let volume = h * h * (radius - h / 3.0);
            0.5 * fourth / volume
        }
        BobShape::Cylinder { diameter_m, height_m } => diameter_m * diameter_m / 16.0 + height_m * height_m / 12.0,
        BobShape::Sphere { diameter_m } => 0.1 * diameter_m * diameter_m,
    }
}

/// Depth below the axis of the point by which a bob is carried, m.
#[must_use]
pub fn bob_seat_m(bob: &Bob) -> f64 {
    let half = 0.5 * bob_height_m(&bob.shape);
    match bob.seat {
        Seat::Bottom => bob.centre_m + half,
        Seat::Middle => bob.centre_m,
        Seat::Top => bob.centre_m - half,
    }
}

impl PendulumParts {
    /// Depth below the axis where the rod's share of the way to the bob ends and the first column begins, m.
    #[must_use]
    pub fn first_column_begins_m(&self) -> f64 {
        bob_seat_m(&self.bob) - self.columns.iter().map(Column::down_m).sum::<f64>()
    }
}

/// Size of a bob along the pendulum, m.
#[must_use]
pub fn bob_height_m(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, .. } | BobShape::Lens { diameter_m, .. } | BobShape::Sphere { diameter_m } => {
            diameter_m
        }
        BobShape::Cylinder { height_m, .. } => height_m,
    }
}

/// Area that a bob turns towards its motion, m^2.
#[must_use]
pub fn bob_frontal_area_m2(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, thickness_m } => diameter_m * thickness_m,
        BobShape::Lens { diameter_m, thickness_m } => {
            let h = 0.5 * thickness_m;
            let radius = lens_sphere_radius_m(diameter_m, thickness_m);
            let half_chord = 0.5 * diameter_m;
            2.0 * (radius * radius * half_chord.atan2(radius - h) - (radius - h) * half_chord)
        }
        BobShape::Cylinder { diameter_m, height_m } => diameter_m * height_m,
        BobShape::Sphere { diameter_m } => 0.25 * PI * diameter_m * diameter_m,
    }
}

/// Drag coefficient of a bob that moves sideways, referred to its frontal area; sources with each shape's function.
///
/// The disc's rim is taken as a cylinder as long as the disc is thick; the book's table ends at length = diameter,
/// so for a disc its last row is stretched (weak, but a bob's quadratic drag is small beside its rod's).
#[must_use]
pub fn bob_drag_coefficient(shape: &BobShape) -> f64 {
    match *shape {
        BobShape::Disc { diameter_m, thickness_m } => cylinder_drag_coefficient(diameter_m / thickness_m),
        BobShape::Lens { diameter_m, thickness_m } => lens_drag_coefficient(thickness_m / diameter_m),
        BobShape::Cylinder { diameter_m, height_m } => cylinder_drag_coefficient(diameter_m / height_m),
        BobShape::Sphere { .. } => SPHERE_DRAG_COEFFICIENT,
    }
}

/// What the air does to a bob that swings sideways at `omega_rad_s` (above 0).
///
/// The sphere is Stokes' own. For the others the ideal added mass is that of the spheroid with the same proportions
/// (Lamb), the boundary layer's share that of Stokes' cylinder for the round wall and of Stokes' plate for flat faces,
/// both along the motion. Estimates: some 20 % on the drag, a few per cent on the added mass of a compact bob.
/// Linear and quadratic drag are simply added, which overstates small swings a little.
#[must_use]
pub fn bob_air_load(shape: &BobShape, air: &Air, omega_rad_s: f64) -> AirLoad {
    if air.density_kg_m3 <= 0.0 {
        return AirLoad::NONE;
    }
    let layer = boundary_layer_m(air.kinematic_viscosity_m2_s(), omega_rad_s);
    let displaced = air.density_kg_m3 * bob_volume_m3(shape);
    let quadratic = 0.5 * air.density_kg_m3 * bob_drag_coefficient(shape) * bob_frontal_area_m2(shape);
    let plate = |area: f64| plate_drag_n_s_per_m(air.viscosity_pa_s, area, layer);
    let (added_mass, linear) = match *shape {
        BobShape::Sphere { diameter_m } => {
            let sphere = stokes_sphere(0.5 * diameter_m, layer);
            (sphere.added * displaced, sphere.damping * displaced * omega_rad_s)
        }
        BobShape::Disc { diameter_m, thickness_m: length_m }
        | BobShape::Cylinder { diameter_m, height_m: length_m } => {
            let wall = stokes_cylinder(0.5 * diameter_m, layer);
            let ends = plate(0.5 * PI * diameter_m * diameter_m);
            let ideal = spheroid_added_mass(length_m / diameter_m);
            ((ideal + wall.added - 1.0) * displaced + ends / omega_rad_s, wall.damping * displaced * omega_rad_s + ends)
        }
        BobShape::Lens { diameter_m, thickness_m } => {
            let caps = plate(2.0 * PI * lens_sphere_radius_m(diameter_m, thickness_m) * thickness_m);
            (spheroid_added_mass(thickness_m / diameter_m) * displaced + caps / omega_rad_s, caps)
        }
    };
    AirLoad { added_mass_kg: added_mass, linear_n_s_per_m: linear, quadratic_n_s2_per_m2: quadratic }
}

/// Area of a rod's section that is filled with material, m^2.
#[must_use]
pub fn rod_solid_area_m2(section: &RodSection) -> f64 {
    match *section {
        RodSection::Round { diameter_m } => 0.25 * PI * diameter_m * diameter_m,
        RodSection::Tube { outer_m, inner_m } => 0.25 * PI * (outer_m - inner_m) * (outer_m + inner_m),
        RodSection::Flat { depth_m, width_m } => depth_m * width_m,
    }
}

/// Area of air that a rod's section displaces, m^2; a tube is taken as closed at its ends.
#[must_use]
pub fn rod_displaced_area_m2(section: &RodSection) -> f64 {
    match *section {
        RodSection::Tube { outer_m, .. } => 0.25 * PI * outer_m * outer_m,
        _ => rod_solid_area_m2(section),
    }
}

/// Square of the radius of gyration of a rod about the fore-and-aft axis through its own middle, m^2.
#[must_use]
pub fn rod_gyration_squared_m2(rod: &Rod) -> f64 {
    let across = match rod.section {
        RodSection::Round { diameter_m } => diameter_m * diameter_m / 16.0,
        RodSection::Tube { outer_m, inner_m } => (outer_m * outer_m + inner_m * inner_m) / 16.0,
        RodSection::Flat { width_m, .. } => width_m * width_m / 12.0,
    };
    rod.length_m * rod.length_m / 12.0 + across
}

/// What the air does to each metre of a rod that swings sideways at `omega_rad_s` (above 0).
///
/// Round rods: Stokes' cylinder. A flat rod: ideal added mass of the elliptic cylinder (that of the circle over its
/// depth), boundary layer of the circle that resists as much (`equivalent_cylinder_radius_m`): an estimate.
/// `exposed_m` is the length that stands in free air and sets the drag coefficient by its slenderness.
#[must_use]
pub fn rod_air_load_per_m(section: &RodSection, exposed_m: f64, air: &Air, omega_rad_s: f64) -> AirLoad {
    if air.density_kg_m3 <= 0.0 || exposed_m <= 0.0 {
        return AirLoad::NONE;
    }
    let layer = boundary_layer_m(air.kinematic_viscosity_m2_s(), omega_rad_s);
    let (across_m, layer_radius_m, drag_coefficient) = match *section {
        RodSection::Round { diameter_m: outer_m } | RodSection::Tube { outer_m, .. } => {
            (outer_m, 0.5 * outer_m, cylinder_drag_coefficient(outer_m / exposed_m))
        }
        RodSection::Flat { depth_m, width_m } => {
            (depth_m, equivalent_cylinder_radius_m(width_m, depth_m), bar_drag_coefficient(width_m / depth_m))
        }
    };
    let stokes = stokes_cylinder(layer_radius_m, layer);
    let circle = air.density_kg_m3 * PI * layer_radius_m * layer_radius_m;
    AirLoad {
        added_mass_kg: air.density_kg_m3 * 0.25 * PI * across_m * across_m + (stokes.added - 1.0) * circle,
        linear_n_s_per_m: stokes.damping * circle * omega_rad_s,
        quadratic_n_s2_per_m2: 0.5 * air.density_kg_m3 * drag_coefficient * across_m,
    }
}

/// Radius of the spheres whose two caps make the lens, m.
fn lens_sphere_radius_m(diameter_m: f64, thickness_m: f64) -> f64 {
    let h = 0.5 * thickness_m;
    (0.25 * diameter_m * diameter_m + h * h) / (2.0 * h)
}
