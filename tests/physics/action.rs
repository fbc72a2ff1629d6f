//! Lock, lift, drop read off the exact contact curves.

use beatwright::clock::build::contact_escapement;
use beatwright::clock::escapement::action::read_action;
use beatwright::clock::escapement::{dead_beat, recoil_anchor};

use crate::support::plans::{printed_dead_beat, small_anchor};

#[test]
fn exact_dead_beat_action_comes_back_as_designed() {
    let mut design = printed_dead_beat();
    design.plan.friction = 0.2.into();
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
    let mut design = small_anchor();
    design.plan.friction = 0.2.into();
    let outlines = recoil_anchor(&design).unwrap();
    let escapement = contact_escapement(&outlines, 0.2, 0.0, 0.0).unwrap();
    let action = read_action(&escapement).unwrap();
    for pallet in [action.entry, action.exit] {
        assert!(pallet.lock_rad == 0.0, "{pallet:?}");
        assert!((pallet.lift_rad - design.plan.lift_rad).abs() < 1e-10, "{pallet:?}");
        assert!((pallet.drop_rad - design.plan.drop_rad).abs() < 1e-10, "{pallet:?}");
    }
}
