//! Reads `[pendulum.rod]` and `[pendulum.bob]`.

use std::f64::consts::PI;

use crate::clock::design::{Bob, BobShape, Rod, RodSection, Seat};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::materials::Materials;

/// Longest part of a clock. A length beyond it is a slip of the unit.
pub(in crate::scenario) const LENGTH: Allowed = Allowed::Between(1e-6, 100.0, "above zero and up to 100 m");

/// Density that no solid reaches, kg/m^3 (osmium has 22 600; from memory).
const DENSEST_KG_M3: f64 = 23_000.0;

#[derive(Clone, Copy)]
enum RodShape {
    Round,
    Tube,
    Flat,
}

/// The rod.
pub(in crate::scenario) fn read_rod(mut rod: Section<'_, '_>, materials: &Materials) -> Option<Rod> {
    let shapes = [("round", RodShape::Round), ("tube", RodShape::Tube), ("flat", RodShape::Flat)];
    let length = rod.quantity("length", Kind::Length, LENGTH);
    let top = rod.quantity_or("top", Kind::Length, Allowed::Any, 0.0);
    let material = materials.named(&mut rod, "material");
    let shape = rod.choice("shape", &shapes, None)?;
    let section = match shape {
        RodShape::Round => {
            rod.quantity("diameter", Kind::Length, LENGTH).map(|diameter_m| RodSection::Round { diameter_m })
        }
        RodShape::Tube => {
            let outer = rod.quantity("outer_diameter", Kind::Length, LENGTH);
            let inner = rod.quantity("inner_diameter", Kind::Length, LENGTH);
            if let (Some(outer), Some(inner)) = (outer, inner)
                && inner >= outer
            {
                let message = "`pendulum.rod.inner_diameter` is not less than `outer_diameter`".to_owned();
                rod.report_at(
                    "inner_diameter",
                    ProblemCode::ImpossibleValue,
                    message,
                    "swap the two, or write shape = \"round\"".to_owned(),
                );
            }
            outer.zip(inner).map(|(outer_m, inner_m)| RodSection::Tube { outer_m, inner_m })
        }
        RodShape::Flat => {
            let width = rod.quantity("width", Kind::Length, LENGTH);
            let depth = rod.quantity("depth", Kind::Length, LENGTH);
            depth.zip(width).map(|(depth_m, width_m)| RodSection::Flat { depth_m, width_m })
        }
    };
    rod.finish();
    Some(Rod { section: section?, length_m: length?, top_m: top?, material: material? })
}

#[derive(Clone, Copy)]
enum BobForm {
    Disc,
    Lens,
    Cylinder,
    Sphere,
}

/// The bob.
pub(in crate::scenario) fn read_bob(mut bob: Section<'_, '_>, materials: &Materials) -> Option<Bob> {
    let forms = [
        ("disc", BobForm::Disc),
        ("lens", BobForm::Lens),
        ("cylinder", BobForm::Cylinder),
        ("sphere", BobForm::Sphere),
    ];
    let centre = bob.quantity("below_axis", Kind::Length, LENGTH);
    let material = materials.named(&mut bob, "material");
    let mass = bob.optional_quantity("mass", Kind::Mass, Allowed::Positive);
    let seats = [("bottom", Seat::Bottom), ("middle", Seat::Middle), ("top", Seat::Top)];
    let seat = bob.choice("carried_at", &seats, Some(Seat::default()));
    let shell = materials.optional(&mut bob, "shell");
    let form = bob.choice("shape", &forms, None)?;
    let diameter = bob.quantity("diameter", Kind::Length, LENGTH);
    let shape = match form {
        BobForm::Disc => {
            let thickness = bob.quantity("thickness", Kind::Length, LENGTH);
            diameter.zip(thickness).map(|(diameter_m, thickness_m)| BobShape::Disc { diameter_m, thickness_m })
        }
        BobForm::Lens => {
            let thickness = bob.quantity("thickness", Kind::Length, LENGTH);
            if let (Some(diameter), Some(thickness)) = (diameter, thickness)
                && thickness > diameter
            {
                let message = "the lens is thicker than its diameter".to_owned();
                bob.report_at(
                    "thickness",
                    ProblemCode::ImpossibleValue,
                    message,
                    "a lens of two caps is at most a sphere".to_owned(),
                );
            }
            diameter.zip(thickness).map(|(diameter_m, thickness_m)| BobShape::Lens { diameter_m, thickness_m })
        }
        BobForm::Cylinder => {
            let height = bob.quantity("height", Kind::Length, LENGTH);
            diameter.zip(height).map(|(diameter_m, height_m)| BobShape::Cylinder { diameter_m, height_m })
        }
        BobForm::Sphere => diameter.map(|diameter_m| BobShape::Sphere { diameter_m }),
    };
    if let (Some(shape), Some(centre)) = (shape, centre)
        && centre <= bob_half_height_m(shape)
    {
        let message = "the bob reaches up into the suspension".to_owned();
        let help = format!("hang its centre lower than \"{:.1} mm\" below the axis", 1e3 * bob_half_height_m(shape));
        bob.report_at("below_axis", ProblemCode::ImpossibleValue, message, help);
    }
    if let (Some(shape), Some(Some(mass))) = (shape, mass)
        && mass > DENSEST_KG_M3 * bob_volume_m3(shape)
    {
        let message = "the bob would be denser than any material".to_owned();
        let help = format!("a bob of this size weighs at most \"{:.3} kg\"", DENSEST_KG_M3 * bob_volume_m3(shape));
        bob.report_at("mass", ProblemCode::ImpossibleValue, message, help);
    }
    bob.finish();
    Some(Bob { shape: shape?, centre_m: centre?, material: material?, mass_kg: mass?, seat: seat?, shell: shell? })
}

/// Half the height of a bob, m.
pub(in crate::scenario) const fn bob_half_height_m(shape: BobShape) -> f64 {
    match shape {
        BobShape::Disc { diameter_m, .. } | BobShape::Lens { diameter_m, .. } | BobShape::Sphere { diameter_m } => {
            0.5 * diameter_m
        }
        BobShape::Cylinder { height_m, .. } => 0.5 * height_m,
    }
}

/// Volume of the cylinder or ball around a bob, m^3: an upper bound, enough to tell a slip of the unit.
fn bob_volume_m3(shape: BobShape) -> f64 {
    match shape {
        BobShape::Disc { diameter_m, thickness_m } | BobShape::Lens { diameter_m, thickness_m } => {
            0.25 * PI * diameter_m * diameter_m * thickness_m
        }
        BobShape::Cylinder { diameter_m, height_m } => 0.25 * PI * diameter_m * diameter_m * height_m,
        BobShape::Sphere { diameter_m } => PI / 6.0 * diameter_m.powi(3),
    }
}
