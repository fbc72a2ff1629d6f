//! Reads `[escapement]`: one of six forms, and the wheel's body.

use std::f64::consts::{FRAC_PI_2, PI};

use crate::clock::design::{
    AnchorBody, DeadBeat, EscapementDesign, IdealKick, IdealTorque, KickSides, KickSize, MadeOf, Outside, PalletPlan,
    PinPallet, RecoilAnchor,
};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

use super::friction::read_friction;
use super::materials::Materials;
use super::outline::{read_outline_escapement, tooth_reach_m};
use super::tooth::{RISING_TOOTH_HELP, TOOTH_HELP, TOOTH_SIZE, read_rising_tooth, read_tooth};
use super::train::MOST_TEETH;
use super::wheel::{ReadWheel, read_wheel};

/// The forms an escapement may have.
pub(in crate::scenario) const FORMS: [&str; 6] =
    ["dead_beat", "recoil_anchor", "pin_pallet", "outline", "ideal_torque", "ideal_kick"];

/// Those of them that have no wheel.
pub(in crate::scenario) const IDEAL_FORMS: [&str; 2] = ["ideal_torque", "ideal_kick"];

/// Fewest teeth that two pallets can embrace one and a half spaces of.
const FEWEST_ESCAPE_TEETH: u32 = 4;

/// Swing that the faces allow for where the scenario does not say, 6 degrees: common practice, no source.
const DEFAULT_FACE_LENGTH_RAD: f64 = PI / 30.0;

pub(in crate::scenario) const RESTITUTION: Allowed = Allowed::Between(0.0, 1.0, "from 0 to 1");
pub(in crate::scenario) const BEAT_ERROR: Allowed = Allowed::Between(-PI / 6.0, PI / 6.0, "from -30 deg to 30 deg");
pub(in crate::scenario) const ARBOR_DISTANCE: Allowed = Allowed::Between(1e-4, 10.0, "from 0.1 mm to 10 m");
const RADIUS: Allowed = TOOTH_SIZE;
const PALLET_ANGLE: Allowed = Allowed::Between(1e-6, PI / 4.0, "above 0 deg and up to 45 deg");
/// Tooth spaces between the pallets; half the wheel at the most is met later.
const SPACES: Allowed = Allowed::Between(1e-3, 1e4, "above 0 and up to 10000");
const LOCK: Allowed = Allowed::Between(0.0, PI / 4.0, "from 0 deg to 45 deg");
const SWING_ANGLE: Allowed = Allowed::Between(-FRAC_PI_2, FRAC_PI_2, "from -90 deg to 90 deg");

/// An escapement as read; `None` after problems only.
#[derive(Debug, Default)]
pub(in crate::scenario) struct EscapementRead {
    /// The one form that it has.
    pub(in crate::scenario) design: Option<EscapementDesign>,
    /// The body of its wheel, `Some(None)` where there is none.
    pub(in crate::scenario) wheel: Option<Option<ReadWheel>>,
    /// What the pallets are made of, likewise.
    pub(in crate::scenario) pallets: Option<Option<MadeOf>>,
    /// What joins the pallets to their arbor.
    pub(in crate::scenario) anchor: Option<AnchorBody>,
}

/// The escapement, which has to be there.
pub(in crate::scenario) fn read_escapement(root: &mut Section<'_, '_>, materials: &Materials) -> EscapementRead {
    let help = "add [escapement.dead_beat] or [escapement.recoil_anchor]";
    let Some(mut escapement) = root.required_section("escapement", help) else { return EscapementRead::default() };
    let mut given = Vec::new();
    for form in FORMS {
        if escapement.entry(form).is_some() {
            given.push(form);
        }
    }
    for &form in given.iter().skip(1) {
        let message = format!("`escapement.{form}` and `escapement.{}` are both given", given[0]);
        escapement.report_key(
            form,
            ProblemCode::Conflict,
            message,
            "a clock has one escapement; delete one of them".to_owned(),
        );
    }
    if given.is_empty() {
        let message = "`escapement` has no form".to_owned();
        let help = format!("{help}; the forms are {}", FORMS.map(|form| format!("`{form}`")).join(", "));
        escapement.reader.report(ProblemCode::MissingKey, message, help, escapement.span());
    }
    let mut read = Vec::new();
    for form in given {
        let Some(section) = escapement.section(form) else { continue };
        read.push(match form {
            "dead_beat" => read_dead_beat(section).map(EscapementDesign::DeadBeat),
            "recoil_anchor" => read_recoil_anchor(section).map(EscapementDesign::RecoilAnchor),
            "pin_pallet" => read_pin_pallet(section).map(EscapementDesign::PinPallet),
            "outline" => read_outline_escapement(section).map(EscapementDesign::Outline),
            "ideal_torque" => read_ideal_torque(section).map(EscapementDesign::IdealTorque),
            _ => read_ideal_kick(section).map(EscapementDesign::IdealKick),
        });
    }
    let design = if read.len() == 1 { read.pop().flatten() } else { None };
    let wheel = if escapement.has("wheel") {
        escapement.section("wheel").and_then(|wheel| read_wheel(wheel, materials, design.as_ref())).map(Some)
    } else {
        escapement.entry("wheel");
        Some(None)
    };
    let mut anchor = Some(AnchorBody::default());
    let pallets = if escapement.has("pallets") {
        escapement.section("pallets").and_then(|mut pallets| {
            let made_of = materials.made_of(&mut pallets, None);
            anchor = read_anchor(&mut pallets);
            pallets.finish();
            made_of
        })
    } else {
        escapement.entry("pallets");
        Some(None)
    };
    escapement.finish();
    EscapementRead { design, wheel, pallets, anchor }
}

/// Hub and arms of the pallets.
fn read_anchor(pallets: &mut Section<'_, '_>) -> Option<AnchorBody> {
    let [thickness, bore, hub_diameter, arm_width] = ["thickness", "bore", "hub_diameter", "arm_width"]
        .map(|key| pallets.optional_quantity(key, Kind::Length, TOOTH_SIZE));
    if let (Some(Some(bore)), Some(Some(hub))) = (bore, hub_diameter)
        && bore >= hub
    {
        let help = format!("write a bore below \"{:.3} mm\"", 1e3 * hub);
        pallets.report_at("bore", ProblemCode::ImpossibleValue, "the bore leaves nothing of the hub".to_owned(), help);
    }
    if let (Some(Some(width)), Some(Some(hub))) = (arm_width, hub_diameter)
        && width >= 0.5 * hub
    {
        let help = format!("write an arm_width below \"{:.3} mm\", half the hub", 0.5e3 * hub);
        let message = "the arms are too wide for the hub".to_owned();
        pallets.report_at("arm_width", ProblemCode::ImpossibleValue, message, help);
    }
    Some(AnchorBody { thickness_m: thickness?, bore_m: bore?, hub_diameter_m: hub_diameter?, arm_width_m: arm_width? })
}

/// Radius of the escape wheel over its tips, m; `None` for an ideal escapement.
pub(in crate::scenario) fn escape_wheel_radius_m(escapement: &EscapementDesign) -> Option<f64> {
    match escapement {
        EscapementDesign::DeadBeat(dead_beat) => Some(dead_beat.plan.radius_m),
        EscapementDesign::RecoilAnchor(anchor) => Some(anchor.plan.radius_m),
        EscapementDesign::PinPallet(pins) => Some(pins.plan.radius_m),
        EscapementDesign::Outline(outline) => Some(tooth_reach_m(outline)),
        EscapementDesign::IdealTorque(_) | EscapementDesign::IdealKick(_) => None,
    }
}

fn read_dead_beat(mut section: Section<'_, '_>) -> Option<DeadBeat> {
    let lock = section.quantity("lock", Kind::Angle, LOCK);
    let plan = read_plan(&mut section, read_tooth, TOOTH_HELP);
    section.finish();
    Some(DeadBeat { plan: plan?, lock_rad: lock? })
}

fn read_recoil_anchor(mut section: Section<'_, '_>) -> Option<RecoilAnchor> {
    let plan = read_plan(&mut section, read_tooth, TOOTH_HELP);
    section.finish();
    Some(RecoilAnchor { plan: plan? })
}

fn read_pin_pallet(mut section: Section<'_, '_>) -> Option<PinPallet> {
    let lock = section.quantity("lock", Kind::Angle, LOCK);
    let pin_diameter = section.quantity("pin_diameter", Kind::Length, TOOTH_SIZE);
    let plan = read_plan(&mut section, read_rising_tooth, RISING_TOOTH_HELP);
    section.finish();
    Some(PinPallet { plan: plan?, lock_rad: lock?, pin_diameter_m: pin_diameter? })
}

/// What parametric escapements share, their teeth read by `read_tooth`.
fn read_plan<T>(
    section: &mut Section<'_, '_>,
    read_tooth: fn(Section<'_, '_>, Option<f64>) -> Option<T>,
    tooth_help: &str,
) -> Option<PalletPlan<T>> {
    let teeth = section.count("teeth", FEWEST_ESCAPE_TEETH, MOST_TEETH);
    let radius = section.quantity("radius", Kind::Length, RADIUS);
    let spaces = section.number("spaces", SPACES);
    let lift = section.quantity("lift", Kind::Angle, PALLET_ANGLE);
    let drop = section.quantity("drop", Kind::Angle, PALLET_ANGLE);
    let centre_distance = section.optional_quantity("centre_distance", Kind::Length, ARBOR_DISTANCE);
    let friction = read_friction(section, "friction");
    let restitution = section.number_or("restitution", RESTITUTION, 0.0);
    let beat_error = section.quantity_or("beat_error", Kind::Angle, BEAT_ERROR, 0.0);
    let face_length = section.quantity_or("face_length", Kind::Angle, PALLET_ANGLE, DEFAULT_FACE_LENGTH_RAD);
    let tooth = section.required_section("tooth", tooth_help).and_then(|tooth| read_tooth(tooth, radius));
    if let (Some(teeth), Some(spaces)) = (teeth, spaces) {
        check_spaces(section, teeth, spaces);
    }
    if let (Some(teeth), Some(drop)) = (teeth, drop) {
        let half_pitch_rad = PI / f64::from(teeth);
        if drop >= half_pitch_rad {
            let message = "the drop takes up the whole half pitch; no wheel travel is left for the lift".to_owned();
            let help = format!("with {teeth} teeth write a drop below \"{:.3} deg\"", half_pitch_rad.to_degrees());
            section.report_at("drop", ProblemCode::ImpossibleValue, message, help);
        }
    }
    if let (Some(radius), Some(Some(distance))) = (radius, centre_distance)
        && distance <= radius
    {
        let message = "the pallet arbor lies inside the escape wheel".to_owned();
        let help = format!("write a centre_distance above \"{:.3} mm\", or leave it out", 1e3 * radius);
        section.report_at("centre_distance", ProblemCode::ImpossibleValue, message, help);
    }
    Some(PalletPlan {
        teeth: teeth?,
        radius_m: radius?,
        spaces_embraced: spaces?,
        lift_rad: lift?,
        drop_rad: drop?,
        centre_distance_m: centre_distance?,
        tooth: tooth?,
        friction: friction?,
        restitution: restitution?,
        beat_error_rad: beat_error?,
        face_length_rad: face_length?,
    })
}

/// The pallets embrace a whole number of spaces and a half, and less than half the wheel.
fn check_spaces(section: &Section<'_, '_>, teeth: u32, spaces: f64) {
    let halves = f64::from(teeth) / 2.0;
    let is_half = (spaces - spaces.floor() - 0.5).abs() < 1e-9;
    if is_half && spaces < halves {
        return;
    }
    let message = format!("the pallets cannot embrace {spaces} tooth spaces of {teeth}");
    let whole = spaces.floor().clamp(0.0, (halves - 1.5).ceil().max(0.0));
    let help = format!("write a whole number and a half below {halves}, for example {:.1}", whole + 0.5);
    section.report_at("spaces", ProblemCode::ImpossibleValue, message, help);
}

fn read_ideal_torque(mut section: Section<'_, '_>) -> Option<IdealTorque> {
    let torque = section.quantity("torque", Kind::Torque, Allowed::NotNegative);
    let before = section.quantity("before", Kind::Angle, SWING_ANGLE);
    let after = section.quantity("after", Kind::Angle, SWING_ANGLE);
    let choices = [("none", Outside::None), ("reversed", Outside::Reversed)];
    let outside = section.choice("outside", &choices, Some(Outside::None));
    if let (Some(before), Some(after), Some(Outside::None)) = (before, after, outside)
        && before + after <= 0.0
    {
        let message = "the torque acts over no angle".to_owned();
        let help = "it acts from `before` ahead of the centre to `after` past it; make their sum positive".to_owned();
        section.report_at("after", ProblemCode::ImpossibleValue, message, help);
    }
    section.finish();
    Some(IdealTorque { torque_n_m: torque?, before_rad: before?, after_rad: after?, outside: outside? })
}

fn read_ideal_kick(mut section: Section<'_, '_>) -> Option<IdealKick> {
    let at = section.quantity("at", Kind::Angle, SWING_ANGLE);
    let energy = section.optional_quantity("energy", Kind::Energy, Allowed::NotNegative);
    let speed = section.optional_quantity("speed", Kind::AngularSpeed, Allowed::NotNegative);
    let sides =
        section.choice("sides", &[("both", KickSides::Both), ("right", KickSides::Right)], Some(KickSides::Both));
    match (section.has("energy"), section.has("speed")) {
        (true, true) => {
            let message = "`energy` and `speed` are both given".to_owned();
            let help = "a kick gives a fixed energy or a fixed speed; delete the other".to_owned();
            section.report_key("speed", ProblemCode::Conflict, message, help);
        }
        (false, false) => {
            let message = "the kick has no size".to_owned();
            let help = "add energy = \"1 mJ\" or speed = \"1 mrad/s\"".to_owned();
            section.reader.report(ProblemCode::MissingKey, message, help, section.span());
        }
        _ => {}
    }
    section.finish();
    let size = match (energy?, speed?) {
        (Some(energy_j), None) => KickSize::Energy(energy_j),
        (None, Some(speed_rad_s)) => KickSize::Speed(speed_rad_s),
        _ => return None,
    };
    Some(IdealKick { at_rad: at?, size, sides: sides? })
}
