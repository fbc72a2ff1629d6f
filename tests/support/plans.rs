//! Escapements of the sizes of a printed clock.

use beatwright::clock::design::{DeadBeat, PalletPlan, RecoilAnchor, TaperedTooth, ToothForm};

pub const DEG: f64 = std::f64::consts::PI / 180.0;

/// A wheel of 120 mm across with thirty teeth, and pallets that embrace seven spaces and a half.
pub fn plan_of<T>(tooth: T) -> PalletPlan<T> {
    PalletPlan {
        teeth: 30,
        radius_m: 60e-3,
        spaces_embraced: 7.5,
        lift_rad: 2.0 * DEG,
        drop_rad: 2.0 * DEG,
        centre_distance_m: None,
        tooth,
        friction: 0.15.into(),
        restitution: 0.0,
        beat_error_rad: 0.0,
        face_length_rad: 6.0 * DEG,
    }
}

pub fn printed_dead_beat() -> DeadBeat {
    let tooth = TaperedTooth { depth_m: 12e-3, tip_width_m: 0.8e-3, undercut_rad: 10.0 * DEG, wedge_rad: 8.0 * DEG };
    DeadBeat { plan: plan_of(ToothForm::Tapered(tooth)), lock_rad: 1.0 * DEG }
}

pub fn small_anchor() -> RecoilAnchor {
    let tooth = TaperedTooth { depth_m: 6e-3, tip_width_m: 0.3e-3, undercut_rad: 0.0, wedge_rad: 8.0 * DEG };
    RecoilAnchor {
        plan: PalletPlan {
            radius_m: 25e-3,
            lift_rad: 6.0 * DEG,
            drop_rad: 2.5 * DEG,
            face_length_rad: 4.0 * DEG,
            ..plan_of(ToothForm::Tapered(tooth))
        },
    }
}
