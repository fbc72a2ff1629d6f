//! The escapement in another size.

use crate::clock::design::{
    AnchorBody, ClubTooth, DeadBeat, Design, EscapementDesign, IdealKick, IdealTorque, KickSize, OutlineEscapement,
    PalletPlan, PinPallet, PinTooth, PointedTooth, RecoilAnchor, RisingTooth, Spoked, TaperedTooth, ToothForm,
    UniformTooth, WheelBody,
};
use crate::clock::escapement::{drawn_outlines, escape_wheel};
use crate::geometry::{Outline, Point};

use super::{Factors, ScaleError};

/// `k`: factor of the escapement; ideal ones act on the pendulum and go with it, see [`super::scaled`].
pub(in crate::clock) fn scaled_escapement(escapement: &EscapementDesign, factors: &Factors) -> EscapementDesign {
    let k = factors.escapement;
    match escapement {
        EscapementDesign::DeadBeat(DeadBeat { plan, lock_rad }) => EscapementDesign::DeadBeat(DeadBeat {
            plan: scaled_plan(plan, scaled_tooth(plan.tooth, k), k),
            lock_rad: *lock_rad,
        }),
        EscapementDesign::RecoilAnchor(RecoilAnchor { plan }) => {
            EscapementDesign::RecoilAnchor(RecoilAnchor { plan: scaled_plan(plan, scaled_tooth(plan.tooth, k), k) })
        }
        EscapementDesign::PinPallet(PinPallet { plan, lock_rad, pin_diameter_m }) => {
            let RisingTooth { depth_m, undercut_rad, wedge_rad } = plan.tooth;
            let tooth = RisingTooth { depth_m: depth_m * k, undercut_rad, wedge_rad };
            EscapementDesign::PinPallet(PinPallet {
                plan: scaled_plan(plan, tooth, k),
                lock_rad: *lock_rad,
                pin_diameter_m: pin_diameter_m * k,
            })
        }
        EscapementDesign::Outline(given) => EscapementDesign::Outline(OutlineEscapement {
            teeth: given.teeth,
            centre_distance_m: given.centre_distance_m * k,
            friction: given.friction,
            restitution: given.restitution,
            beat_error_rad: given.beat_error_rad,
            tooth: scaled_outline(&given.tooth, k),
            pallets: given.pallets.as_ref().map(|pallet| scaled_outline(pallet, k)),
        }),
        EscapementDesign::IdealTorque(IdealTorque { torque_n_m, before_rad, after_rad, outside }) => {
            EscapementDesign::IdealTorque(IdealTorque {
                torque_n_m: torque_n_m * factors.pendulum.powi(4),
                before_rad: *before_rad,
                after_rad: *after_rad,
                outside: *outside,
            })
        }
        EscapementDesign::IdealKick(IdealKick { at_rad, size, sides }) => EscapementDesign::IdealKick(IdealKick {
            at_rad: *at_rad,
            size: match size {
                KickSize::Energy(energy_j) => KickSize::Energy(energy_j * factors.pendulum.powi(4)),
                KickSize::Speed(speed_rad_s) => KickSize::Speed(speed_rad_s / factors.pendulum.sqrt()),
            },
            sides: *sides,
        }),
    }
}

fn scaled_plan<T>(plan: &PalletPlan<T>, tooth: T, k: f64) -> PalletPlan<T> {
    PalletPlan {
        teeth: plan.teeth,
        radius_m: plan.radius_m * k,
        spaces_embraced: plan.spaces_embraced,
        lift_rad: plan.lift_rad,
        drop_rad: plan.drop_rad,
        centre_distance_m: plan.centre_distance_m.map(|distance| distance * k),
        tooth,
        friction: plan.friction,
        restitution: plan.restitution,
        beat_error_rad: plan.beat_error_rad,
        face_length_rad: plan.face_length_rad,
    }
}

fn scaled_tooth(tooth: ToothForm, k: f64) -> ToothForm {
    match tooth {
        ToothForm::Tapered(TaperedTooth { depth_m, tip_width_m, undercut_rad, wedge_rad }) => {
            ToothForm::Tapered(TaperedTooth {
                depth_m: depth_m * k,
                tip_width_m: tip_width_m * k,
                undercut_rad,
                wedge_rad,
            })
        }
        ToothForm::Pointed(PointedTooth { depth_m, undercut_rad, wedge_rad }) => {
            ToothForm::Pointed(PointedTooth { depth_m: depth_m * k, undercut_rad, wedge_rad })
        }
        ToothForm::Uniform(UniformTooth { depth_m, width_m, slope_rad, undercut_rad, root_fillet_m }) => {
            ToothForm::Uniform(UniformTooth {
                depth_m: depth_m * k,
                width_m: width_m * k,
                slope_rad,
                undercut_rad,
                root_fillet_m: root_fillet_m * k,
            })
        }
        ToothForm::Club(ClubTooth { depth_m, tip_width_m, tooth_lift_rad, undercut_rad, wedge_rad }) => {
            ToothForm::Club(ClubTooth {
                depth_m: depth_m * k,
                tip_width_m: tip_width_m * k,
                tooth_lift_rad,
                undercut_rad,
                wedge_rad,
            })
        }
        ToothForm::Pin(PinTooth { diameter_m }) => ToothForm::Pin(PinTooth { diameter_m: diameter_m * k }),
    }
}

fn scaled_outline(outline: &Outline, k: f64) -> Outline {
    outline.scaled(k, Point::zeros())
}

/// The body of the escape wheel in its new size, and the inertia of the wheel of `escapement` with it where that is what the
/// escape arbor's inertia came from: the bore does not go with the rest, so that it is not simply the fifth power.
pub(in crate::clock) fn scaled_escape_wheel(
    design: &Design,
    escapement: &EscapementDesign,
    factors: &Factors,
) -> Result<(Option<WheelBody>, Option<f64>), ScaleError> {
    let Some(body) = &design.escape_wheel else { return Ok((None, None)) };
    let k = factors.escapement;
    let scaled = WheelBody {
        material: body.material.clone(),
        cut: body.cut,
        thickness_m: body.thickness_m * k,
        bore_diameter_m: body.bore_diameter_m * factors.bearings,
        spoked: body.spoked.map(|spoked| Spoked {
            rim_m: spoked.rim_m * k,
            spokes: spoked.spokes,
            spoke_width_m: spoked.spoke_width_m * k,
            hub_diameter_m: spoked.hub_diameter_m * k,
        }),
    };
    // Teeth that cannot be drawn are told where the clock is built.
    let (Ok(Some(before)), Ok(Some(after))) = (drawn_outlines(&design.escapement), drawn_outlines(escapement)) else {
        return Ok((Some(scaled), None));
    };
    let made = escape_wheel(&after, &scaled)?;
    let stated = design.train.as_ref().and_then(|train| train.arbors.last()).map(|arbor| arbor.inertia_kg_m2);
    let of_outlines = escape_wheel(&before, body).is_ok_and(|wheel| stated == Some(wheel.inertia_kg_m2));
    Ok((Some(scaled), of_outlines.then_some(made.inertia_kg_m2)))
}

/// Hub and arms of the pallets; the bore goes with the bearings.
pub(super) fn scaled_anchor(anchor: AnchorBody, factors: &Factors) -> AnchorBody {
    let by = |length_m: Option<f64>, factor: f64| length_m.map(|length_m| factor * length_m);
    AnchorBody {
        thickness_m: by(anchor.thickness_m, factors.escapement),
        bore_m: by(anchor.bore_m, factors.bearings),
        hub_diameter_m: by(anchor.hub_diameter_m, factors.escapement),
        arm_width_m: by(anchor.arm_width_m, factors.escapement),
    }
}
