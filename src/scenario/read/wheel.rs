//! Reads `[escapement.wheel]`: what carries the teeth.

use crate::clock::design::{Cut, EscapementDesign, Spoked, WheelBody};
use crate::clock::escapement::{EscapeWheel, RimError, WheelError, drawn_outlines, escape_wheel};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::materials::{Materials, read_cut};
use super::tooth::TOOTH_SIZE;

/// Most spokes; more is a slip.
const MOST_SPOKES: u32 = 100;

/// A wheel as read.
#[derive(Debug)]
pub(in crate::scenario) struct ReadWheel {
    pub(in crate::scenario) body: WheelBody,
    /// The wheel that it makes with the escapement's teeth as drawn; `None` where these cannot be drawn.
    pub(in crate::scenario) made: Option<EscapeWheel>,
}

/// The body of the wheel of `escapement`, which is `None` where it could not be read.
pub(in crate::scenario) fn read_wheel(
    mut wheel: Section<'_, '_>,
    materials: &Materials,
    escapement: Option<&EscapementDesign>,
) -> Option<ReadWheel> {
    let material = materials.named(&mut wheel, "material");
    let cut = read_cut(&mut wheel, Cut::default());
    let thickness = wheel.quantity("thickness", Kind::Length, TOOTH_SIZE);
    let bore = wheel.quantity("bore", Kind::Length, TOOTH_SIZE);
    let spokes = wheel.count("spokes", 0, MOST_SPOKES);
    let sizes = ["rim", "spoke_width", "hub_diameter"].map(|key| {
        if spokes.is_some_and(|spokes| spokes > 0) {
            wheel.quantity(key, Kind::Length, TOOTH_SIZE).map(Some)
        } else {
            wheel.optional_quantity(key, Kind::Length, TOOTH_SIZE)
        }
    });
    let spoked = match (spokes, sizes) {
        (Some(0), [Some(_), Some(_), Some(_)]) => Some(None),
        (Some(spokes), [Some(Some(rim_m)), Some(Some(spoke_width_m)), Some(Some(hub_diameter_m))]) => {
            Some(Some(Spoked { rim_m, spokes, spoke_width_m, hub_diameter_m }))
        }
        _ => None,
    };
    let read = match (material.zip(cut), thickness, bore, spoked) {
        (Some((material, cut)), Some(thickness_m), Some(bore_diameter_m), Some(spoked)) => {
            made(&wheel, WheelBody { material, cut, thickness_m, bore_diameter_m, spoked }, escapement)
        }
        _ => None,
    };
    wheel.finish();
    read
}

fn made(wheel: &Section<'_, '_>, body: WheelBody, escapement: Option<&EscapementDesign>) -> Option<ReadWheel> {
    // Teeth that cannot be drawn are told where the clock is built.
    let outlines = match escapement.map(drawn_outlines) {
        None | Some(Err(_)) => return Some(ReadWheel { body, made: None }),
        Some(Ok(Some(outlines))) => outlines,
        Some(Ok(None)) => {
            let message = "`escapement.wheel` carries the teeth of an escapement that has none".to_owned();
            wheel.report_at(
                "",
                ProblemCode::Conflict,
                message,
                "delete the table: an ideal escapement has no wheel".to_owned(),
            );
            return None;
        }
    };
    match escape_wheel(&outlines, &body) {
        Ok(made) => Some(ReadWheel { body, made: Some(made) }),
        Err(error) => {
            let (key, help) = remedy(&error);
            wheel.report_at(key, ProblemCode::ImpossibleValue, error.to_string(), help);
            None
        }
    }
}

/// The key that can mend a wheel, and how; no key for the whole table.
fn remedy(error: &WheelError) -> (&'static str, String) {
    let mm = |length_m: f64| format!("\"{:.3} mm\"", 1e3 * length_m);
    match *error {
        WheelError::RimFillsWheel { root_m, .. } => {
            ("rim", format!("write a rim below {}, or spokes = 0 for a solid disc", mm(root_m)))
        }
        WheelError::HubReachesRim { inside_m, .. } => {
            ("hub_diameter", format!("write a hub_diameter below {}, or a narrower rim", mm(inside_m)))
        }
        WheelError::SpokesMerge { spokes, widest_m, .. } => {
            ("spoke_width", format!("{spokes} spokes on this hub are narrower than {}", mm(widest_m)))
        }
        WheelError::BoreTooLarge { through_m, .. } => ("bore", format!("write a bore below {}", mm(through_m))),
        WheelError::TooFewSpokes(_) => ("spokes", "write two or more, or 0 for a solid disc".to_owned()),
        WheelError::NotPositive { .. } => ("", "give sizes above zero".to_owned()),
        WheelError::Rim(RimError::NoRoot) => {
            ("", "close the tooth's outline at its root, by a line or an arc with a corner at both ends".to_owned())
        }
        WheelError::Rim(_) => ("", "narrower teeth, or leave the table out".to_owned()),
        WheelError::Outline(_) => ("", "give the wheel sizes further from their limits".to_owned()),
    }
}
