//! Reads the `tooth` of an escapement: one of the forms.

use std::f64::consts::FRAC_PI_2;

use crate::clock::design::{ClubTooth, PinTooth, PointedTooth, RisingTooth, TaperedTooth, ToothForm, UniformTooth};
use crate::scenario::toml::numbers::Allowed;
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::units::Kind;

/// What to write where the tooth is missing.
pub(in crate::scenario) const TOOTH_HELP: &str =
    "add tooth = { depth = \"9 mm\", tip_width = \"0.6 mm\", undercut = \"10 deg\", wedge = \"16 deg\" }";

/// The same for pallets that are pins.
pub(in crate::scenario) const RISING_TOOTH_HELP: &str =
    "add tooth = { depth = \"9 mm\", undercut = \"0 deg\", wedge = \"10 deg\" }; lift and drop give its end face";

/// A size of a wheel or its teeth.
pub(in crate::scenario) const TOOTH_SIZE: Allowed = Allowed::Between(1e-4, 5.0, "from 0.1 mm to 5 m");

const FACE_ANGLE: Allowed = Allowed::Between(-FRAC_PI_2 / 2.0, FRAC_PI_2, "from -45 deg to 90 deg");

/// The forms by name.
#[derive(Clone, Copy)]
enum ToothKind {
    Tapered,
    Pointed,
    Uniform,
    Club,
    Pin,
}

const FORMS: [(&str, ToothKind); 5] = [
    ("tapered", ToothKind::Tapered),
    ("pointed", ToothKind::Pointed),
    ("uniform", ToothKind::Uniform),
    ("club", ToothKind::Club),
    ("pin", ToothKind::Pin),
];

/// A tooth of any form on a wheel of `radius_m`; tapered where the form is not said.
pub(in crate::scenario) fn read_tooth(mut tooth: Section<'_, '_>, radius_m: Option<f64>) -> Option<ToothForm> {
    let form = tooth.choice("form", &FORMS, Some(ToothKind::Tapered));
    let read = match form {
        Some(ToothKind::Tapered) => read_tapered(&mut tooth, radius_m).map(ToothForm::Tapered),
        Some(ToothKind::Pointed) => read_pointed(&mut tooth, radius_m).map(ToothForm::Pointed),
        Some(ToothKind::Uniform) => read_uniform(&mut tooth, radius_m).map(ToothForm::Uniform),
        Some(ToothKind::Club) => read_club(&mut tooth, radius_m).map(ToothForm::Club),
        Some(ToothKind::Pin) => read_pin(&mut tooth).map(ToothForm::Pin),
        // Of an unknown form no other key can be judged.
        None => return None,
    };
    tooth.finish();
    read
}

/// The tooth for pallets that are pins.
pub(in crate::scenario) fn read_rising_tooth(mut tooth: Section<'_, '_>, radius_m: Option<f64>) -> Option<RisingTooth> {
    let (depth, undercut, wedge) = read_shank(&mut tooth, radius_m);
    tooth.finish();
    Some(RisingTooth { depth_m: depth?, undercut_rad: undercut?, wedge_rad: wedge? })
}

fn read_tapered(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> Option<TaperedTooth> {
    let tip_width = tooth.quantity_or("tip_width", Kind::Length, Allowed::NotNegative, 0.0);
    let (depth, undercut, wedge) = read_shank(tooth, radius_m);
    Some(TaperedTooth { depth_m: depth?, tip_width_m: tip_width?, undercut_rad: undercut?, wedge_rad: wedge? })
}

fn read_pointed(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> Option<PointedTooth> {
    let (depth, undercut, wedge) = read_shank(tooth, radius_m);
    Some(PointedTooth { depth_m: depth?, undercut_rad: undercut?, wedge_rad: wedge? })
}

fn read_uniform(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> Option<UniformTooth> {
    let depth = read_depth(tooth, radius_m);
    let width = tooth.quantity("width", Kind::Length, TOOTH_SIZE);
    let slope = tooth.quantity("slope", Kind::Angle, FACE_ANGLE);
    let undercut = tooth.quantity("undercut", Kind::Angle, FACE_ANGLE);
    let fillet = tooth.quantity_or("root_fillet", Kind::Length, Allowed::NotNegative, 0.0);
    Some(UniformTooth {
        depth_m: depth?,
        width_m: width?,
        slope_rad: slope?,
        undercut_rad: undercut?,
        root_fillet_m: fillet?,
    })
}

fn read_club(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> Option<ClubTooth> {
    let tip_width = tooth.quantity("tip_width", Kind::Length, TOOTH_SIZE);
    let tooth_lift = tooth.quantity("tooth_lift", Kind::Angle, FACE_ANGLE);
    let (depth, undercut, wedge) = read_shank(tooth, radius_m);
    Some(ClubTooth {
        depth_m: depth?,
        tip_width_m: tip_width?,
        tooth_lift_rad: tooth_lift?,
        undercut_rad: undercut?,
        wedge_rad: wedge?,
    })
}

fn read_pin(tooth: &mut Section<'_, '_>) -> Option<PinTooth> {
    Some(PinTooth { diameter_m: tooth.quantity("diameter", Kind::Length, TOOTH_SIZE)? })
}

/// Depth, undercut and wedge.
fn read_shank(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> (Option<f64>, Option<f64>, Option<f64>) {
    let depth = read_depth(tooth, radius_m);
    let undercut = tooth.quantity("undercut", Kind::Angle, FACE_ANGLE);
    let wedge = tooth.quantity("wedge", Kind::Angle, FACE_ANGLE);
    (depth, undercut, wedge)
}

fn read_depth(tooth: &mut Section<'_, '_>, radius_m: Option<f64>) -> Option<f64> {
    let depth = tooth.quantity("depth", Kind::Length, TOOTH_SIZE);
    if let (Some(depth), Some(radius)) = (depth, radius_m)
        && depth >= radius
    {
        let message = "the teeth are as deep as the wheel's radius".to_owned();
        let help = format!("write a depth below \"{:.3} mm\"", 1e3 * radius);
        tooth.report_at("depth", ProblemCode::ImpossibleValue, message, help);
    }
    depth
}
