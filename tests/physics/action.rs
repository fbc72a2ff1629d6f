//! Lock, lift, drop read off the exact contact curves.

use beatwright::clock::build::contact_escapement;
use beatwright::clock::design::{DeadBeat, PalletPlan, RecoilAnchor, TaperedTooth, ToothForm};
use beatwright::clock::escapement::action::read_action;
use beatwright::clock::escapement::{dead_beat, recoil_anchor};

fn plan() -> PalletPlan {
    PalletPlan {
        teeth: 30,
        radius_m: 0.06,
        spaces_embraced: 7.5,
        lift_rad: 2f64.to_radians(),
        drop_rad: 2f64.to_radians(),
        centre_distance_m: None,
        tooth: ToothForm::Tapered(TaperedTooth {
            depth_m: 0.012,
            tip_width_m: 0.0008,
            undercut_rad: 10f64.to_radians(),
            wedge_rad: 8f64.to_radians(),
        }),
        friction: 0.2,
        restitution: 0.0,
        beat_error_rad: 0.0,
        face_length_rad: 6f64.to_radians(),
    }
}

#[test]
fn exact_dead_beat_action_comes_back_as_designed() {
    let design = DeadBeat { plan: plan(), lock_rad: 1f64.to_radians() };
    let outlines = dead_beat(&design).unwrap();
    let escapement = contact_escapement(&outlines, 0.2, 0.0, 0.0).unwrap();
    let action = read_action(&escapement).unwrap();
    for pallet in [action.entry, action.exit] {
        assert!((pallet.lock_rad - design.lock_rad).abs() < 1e-10, "{pallet:?}");
        assert!((pallet.lift_rad - design.plan.lift_rad).abs() < 1e-10, "{pallet:?}");
        assert!((pallet.drop_rad - design.plan.drop_rad).abs() < 1e-10, "{pallet:?}");
    }
}

#[test]
fn exact_recoil_action_comes_back_as_designed() {
    let mut plan = plan();
    plan.radius_m = 0.025;
    plan.lift_rad = 6f64.to_radians();
    plan.drop_rad = 2.5f64.to_radians();
    plan.tooth = ToothForm::Tapered(TaperedTooth {
        depth_m: 0.006,
        tip_width_m: 0.0003,
        undercut_rad: 0.0,
        wedge_rad: 8f64.to_radians(),
    });
    plan.face_length_rad = 4f64.to_radians();
    let design = RecoilAnchor { plan };
    let outlines = recoil_anchor(&design).unwrap();
    let escapement = contact_escapement(&outlines, 0.2, 0.0, 0.0).unwrap();
    let action = read_action(&escapement).unwrap();
    for pallet in [action.entry, action.exit] {
        assert!(pallet.lock_rad == 0.0, "{pallet:?}");
        assert!((pallet.lift_rad - design.plan.lift_rad).abs() < 1e-10, "{pallet:?}");
        assert!((pallet.drop_rad - design.plan.drop_rad).abs() < 1e-10, "{pallet:?}");
    }
}
