//! The lines of the parts list for the pendulum.

use crate::clock::design::{Bob, BobShape, PendulumParts, RodSection, Suspension};
use crate::clock::materials::is_printed;

use super::PapersView;
use super::parts::{Listed, bearing};
use super::units::PaperUnits;

/// Everything that swings, and what it hangs on.
pub(super) fn pendulum_parts(view: &PapersView<'_>, pendulum: &PendulumParts, units: PaperUnits) -> Vec<Listed> {
    let report = view.prediction.built.pendulum.as_ref();
    let mass_of = |name: &str| {
        report.and_then(|report| report.parts.iter().find(|part| part.name == name)).map(|part| part.mass_kg)
    };
    let mut parts = vec![
        Listed::new("pendulum rod", 1)
            .of(Some(&pendulum.rod.material))
            .weighing(mass_of("rod"))
            .sized(format!("length {}", units.length(pendulum.rod.length_m, 2)))
            .sized(section(&pendulum.rod.section, units)),
    ];
    for column in &pendulum.columns {
        let long = column.length_m.map(|length_m| format!("length {}", units.length(length_m, 2)));
        parts.push(
            Listed::new(format!("column {}", column.name), 1)
                .of(Some(&column.material))
                .weighing(Some(column.mass_kg))
                .sized_if(long, "length"),
        );
    }
    parts.push(bob_part(&pendulum.bob, mass_of("bob"), units));
    if let Some(nut) = &pendulum.nut {
        let pitch = format!("pitch {}", units.length(nut.pitch_m, 2));
        parts.push(Listed::new("rating nut", 1).of(None).weighing(Some(nut.mass_kg)).sized(pitch).without("diameter"));
    }
    for extra in &pendulum.extras {
        let listed = Listed::new(format!("swinging part \"{}\"", extra.name), 1).weighing(Some(extra.mass_kg));
        parts.push(listed.of(None));
    }
    parts.push(suspension_part(&pendulum.suspension, units));
    if let Some(pivot) = &pendulum.pallet_pivot {
        parts.push(bearing("bearings of the pallet arbor".to_owned(), 2, pivot, units));
    }
    parts
}

/// What the rod is across.
fn section(section: &RodSection, units: PaperUnits) -> String {
    let length = |length_m: f64| units.length(length_m, 2);
    match *section {
        RodSection::Round { diameter_m } => format!("diameter {}", length(diameter_m)),
        RodSection::Tube { outer_m, inner_m } => {
            format!("tube {} outside, {} inside", length(outer_m), length(inner_m))
        }
        RodSection::Flat { depth_m, width_m } => {
            format!("{} along the swing, {} front to back", length(width_m), length(depth_m))
        }
    }
}

fn bob_part(bob: &Bob, mass_kg: Option<f64>, units: PaperUnits) -> Listed {
    let length = |length_m: f64| units.length(length_m, 2);
    let (shape, diameter_m, other) = match bob.shape {
        BobShape::Disc { diameter_m, thickness_m } => ("disc", diameter_m, Some(("thickness", thickness_m))),
        BobShape::Lens { diameter_m, thickness_m } => {
            ("lens", diameter_m, Some(("thickness in the middle", thickness_m)))
        }
        BobShape::Cylinder { diameter_m, height_m } => ("upright cylinder", diameter_m, Some(("height", height_m))),
        BobShape::Sphere { diameter_m } => ("sphere", diameter_m, None),
    };
    let mut listed = Listed::new("bob", 1)
        .of(Some(&bob.material))
        .weighing(bob.mass_kg.or(mass_kg))
        .sized(format!("{shape} of diameter {}", length(diameter_m)))
        .sized_if_known(other.map(|(name, length_m)| format!("{name} {}", length(length_m))));
    if let Some(shell) = &bob.shell {
        listed.material_words = Some(format!("{} in a shell of {}", bob.material.name, shell.name));
        listed.made_words = if is_printed(shell) { Some("shell printed, then filled") } else { None };
    }
    listed
}

fn suspension_part(suspension: &Suspension, units: PaperUnits) -> Listed {
    let length = |length_m: f64, decimals| units.length(length_m, decimals);
    match suspension {
        Suspension::KnifeEdge { edge_radius_m, .. } => Listed::new("knife edge and its bed", 1)
            .of(None)
            .sized(format!("edge radius {}", length(*edge_radius_m, 3))),
        Suspension::BallBearing { bore_m, friction, .. } => {
            let mut listed = Listed::new("bearings of the pendulum", 2).sized(format!("bore {}", length(*bore_m, 2)));
            listed.material_words = Some(friction.named.unwrap_or("ball bearing").to_owned());
            listed.made_words = Some("bought");
            listed.without("outer diameter and width")
        }
        Suspension::StripSpring { width_m, thickness_m, length_m, material, .. } => {
            Listed::new("suspension spring", 1).of(Some(material)).sized(format!(
                "{} wide (both strips), {} thick, {} long",
                length(*width_m, 2),
                length(*thickness_m, 3),
                length(*length_m, 2)
            ))
        }
        Suspension::Cord { diameter_m, .. } => {
            Listed::new("suspension cord", 1).of(None).sized(format!("diameter {}", length(*diameter_m, 2)))
        }
    }
}
