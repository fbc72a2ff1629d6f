//! Reads `[pendulum.suspension]`.

use crate::clock::design::{Friction, Suspension};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::friction::{read_friction, read_friction_quantity, read_uncertain_number};
use super::materials::Materials;
use super::pivot::{BearingFriction, ON_AN_ARBOR, read_bearing_friction};

#[derive(Clone, Copy)]
enum SuspensionForm {
    KnifeEdge,
    BallBearing,
    StripSpring,
    Cord,
}

const SMALL: Allowed = Allowed::Between(1e-7, 1.0, "above zero and up to 1 m");
const LOSS_FACTOR: Allowed = Allowed::Between(0.0, 1.0, "from 0 to 1");

/// The suspension.
pub(in crate::scenario) fn read_suspension(
    mut suspension: Section<'_, '_>,
    materials: &Materials,
) -> Option<Suspension> {
    let forms = [
        ("knife_edge", SuspensionForm::KnifeEdge),
        ("ball_bearing", SuspensionForm::BallBearing),
        ("strip_spring", SuspensionForm::StripSpring),
        ("cord", SuspensionForm::Cord),
    ];
    let form = suspension.choice("kind", &forms, None)?;
    let read = match form {
        SuspensionForm::KnifeEdge => {
            let radius = suspension.quantity("edge_radius", Kind::Length, Allowed::NotNegative);
            let rolling = if suspension.has("rolling_friction") {
                read_friction_quantity(&mut suspension, "rolling_friction", Kind::Length, Allowed::NotNegative)
            } else {
                suspension.quantity("rolling_friction", Kind::Length, Allowed::NotNegative).map(Friction::of)
            };
            radius
                .zip(rolling)
                .map(|(edge_radius_m, rolling_friction_m)| Suspension::KnifeEdge { edge_radius_m, rolling_friction_m })
        }
        SuspensionForm::BallBearing => {
            let bore = suspension.quantity("bore", Kind::Length, SMALL);
            let bearing = read_bearing_friction(&mut suspension, bore, ON_AN_ARBOR);
            bore.zip(bearing).map(|(bore_m, BearingFriction { friction, drag_n_m, .. })| Suspension::BallBearing {
                bore_m,
                friction,
                drag_n_m,
            })
        }
        SuspensionForm::StripSpring => read_strip_spring(&mut suspension, materials),
        SuspensionForm::Cord => {
            let diameter = suspension.quantity("diameter", Kind::Length, SMALL);
            let friction = read_friction(&mut suspension, "friction");
            diameter.zip(friction).map(|(diameter_m, friction)| Suspension::Cord { diameter_m, friction })
        }
    };
    suspension.finish();
    read
}

fn read_strip_spring(suspension: &mut Section<'_, '_>, materials: &Materials) -> Option<Suspension> {
    let width = suspension.quantity("width", Kind::Length, SMALL);
    let thickness = suspension.quantity("thickness", Kind::Length, SMALL);
    let length = suspension.quantity("length", Kind::Length, SMALL);
    let loss_factor = read_uncertain_number(suspension, "loss_factor", LOSS_FACTOR);
    let material = materials.named(suspension, "material");
    if let Some(material) = &material
        && material.youngs_modulus_pa.is_none()
    {
        let message = format!("\"{}\" has no Young's modulus, which a spring needs", material.name);
        let help =
            format!("choose \"spring steel\", or add youngs_modulus = \"200 GPa\" to [material.\"{}\"]", material.name);
        suspension.report_at("material", ProblemCode::ImpossibleValue, message, help);
    }
    if let (Some(thickness), Some(length)) = (thickness, length)
        && thickness >= length
    {
        let message = "the strip is thicker than it is long".to_owned();
        let help = "write the thickness of the strip, for example \"0.1 mm\"".to_owned();
        suspension.report_at("thickness", ProblemCode::ImpossibleValue, message, help);
    }
    Some(Suspension::StripSpring {
        width_m: width?,
        thickness_m: thickness?,
        length_m: length?,
        material: material?,
        loss_factor: loss_factor?,
    })
}
