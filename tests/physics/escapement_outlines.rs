//! Places and circles of the families' outlines in closed form, and one impossible plan for every error.

use beatwright::clock::design::{DeadBeat, PalletPlan, RecoilAnchor, TaperedTooth, ToothForm};
use beatwright::clock::escapement::{FamilyError, dead_beat, recoil_anchor};
use beatwright::clock::side::Side;
use beatwright::geometry::{Outline, Point, arc_centre};
use proptest::prelude::*;

use crate::support::plans::{DEG, printed_dead_beat, small_anchor};

const RADIUS_M: f64 = 60e-3;
const WIDE_RAD: f64 = 47.0 * DEG;
const NARROW_RAD: f64 = 43.0 * DEG;

fn tip(phi_rad: f64) -> Point {
    RADIUS_M * Point::new(phi_rad.sin(), phi_rad.cos())
}

/// Corner `index` of a pallet swung to `theta`.
fn corner(outline: &Outline, centre_distance_m: f64, theta_rad: f64, index: usize) -> Point {
    outline.turned_about(Point::new(0.0, centre_distance_m), theta_rad).vertices()[index].at
}

#[test]
fn exact_corners_stand_at_the_places_of_unlocking_and_release() {
    let made = dead_beat(&printed_dead_beat()).unwrap();
    let c = made.centre_distance_m;
    assert!((c - RADIUS_M * 2.0_f64.sqrt()).abs() < 1e-16, "tangent at 45 degrees");
    // Lift 2, lock 1: unlocked half a degree short of the centre, released one and a half past it.
    for (outline, theta_deg, index, phi_rad) in [
        (&made.pallets.entry, 0.5, 0, -WIDE_RAD),
        (&made.pallets.entry, -1.5, 1, -NARROW_RAD),
        (&made.pallets.exit, -0.5, 0, NARROW_RAD),
        (&made.pallets.exit, 1.5, 1, WIDE_RAD),
    ] {
        let off_m = (corner(outline, c, theta_deg * DEG, index) - tip(phi_rad)).norm();
        assert!(off_m < 1e-16, "corner {index} is {off_m} m off");
    }
}

#[test]
fn exact_anchor_faces_pass_through_landing_and_release() {
    let made = recoil_anchor(&small_anchor()).unwrap();
    let c = made.centre_distance_m;
    let scale = 25e-3 / RADIUS_M;
    let (wide, narrow) = (WIDE_RAD - 0.25 * DEG, NARROW_RAD + 0.25 * DEG);
    for (outline, away, land, leave) in
        [(&made.pallets.entry, -1.0, -wide, -narrow), (&made.pallets.exit, 1.0, narrow, wide)]
    {
        let release = corner(outline, c, away * 3.0 * DEG, 1);
        assert!((release - scale * tip(leave)).norm() < 1e-16);
        let (end, release) = (corner(outline, c, -away * 3.0 * DEG, 0), corner(outline, c, -away * 3.0 * DEG, 1));
        let along = (release - end).normalize();
        let off_m = along.perp(&(scale * tip(land) - end));
        assert!(off_m.abs() < 1e-16, "landing place is {off_m} m off the face");
        // The face ends on the tip circle at the largest swing.
        assert!((corner(outline, c, -away * 7.0 * DEG, 0).norm() - 25e-3).abs() < 1e-16);
    }
}

#[test]
fn exact_arcs_are_concentric_with_the_arbor() {
    for (plan, lock_rad) in [
        (printed_dead_beat().plan, 1.0 * DEG),
        (PalletPlan { face_length_rad: 2.0 * DEG, ..printed_dead_beat().plan }, 0.2 * DEG),
    ] {
        let made = dead_beat(&DeadBeat { plan, lock_rad }).unwrap();
        let arbor = Point::new(0.0, made.centre_distance_m);
        let (r1_m, r2_m) = ((tip(WIDE_RAD) - arbor).norm(), (tip(NARROW_RAD) - arbor).norm());
        for (outline, lock_m, back_m) in [(&made.pallets.entry, r1_m, r2_m), (&made.pallets.exit, r2_m, r1_m)] {
            let arcs: Vec<_> = outline.edges().filter(|edge| edge.2 != 0.0).collect();
            assert_eq!(arcs.len(), 2);
            for (&(from, to, bulge), radius_m) in arcs.iter().zip([back_m, lock_m]) {
                let centre = arc_centre(from, to, bulge);
                assert!((centre - arbor).norm() < 1e-15, "centre {} m off", (centre - arbor).norm());
                assert!(((from - centre).norm() - radius_m).abs() < 1e-15);
            }
            let lock = arcs[1];
            assert!((4.0 * lock.2.atan().abs() - plan.face_length_rad).abs() < 1e-15);
        }
    }
}

#[test]
fn exact_tooth_has_its_planned_sizes() {
    let tooth = dead_beat(&printed_dead_beat()).unwrap().tooth;
    let [front, back, back_root, front_root]: [Point; 4] =
        tooth.vertices().iter().map(|vertex| vertex.at).collect::<Vec<_>>().try_into().unwrap();
    assert_eq!(front, Point::new(0.0, RADIUS_M));
    assert!(((front - back).norm() - 0.8e-3).abs() < 1e-16);
    assert!(back.norm() < RADIUS_M && back.x < 0.0, "the land falls and lies behind");
    let lean = |from: Point, to: Point| (from.x - to.x).atan2(from.y - to.y);
    assert!((lean(front, front_root) - 10.0 * DEG).abs() < 1e-14);
    assert!((lean(back, back_root) - 18.0 * DEG).abs() < 1e-14);
    for (from, to, bulge) in tooth.edges().filter(|edge| edge.2 != 0.0) {
        assert!((from.norm() - 48e-3).abs() < 1e-16 && (to.norm() - 48e-3).abs() < 1e-16);
        assert!(arc_centre(from, to, bulge).norm() < 1e-14, "root arc about the wheel centre");
    }
}

#[test]
fn exact_pointed_tooth_has_three_corners() {
    let made = dead_beat(&tooth_with(|tooth| tooth.tip_width_m = 0.0)).unwrap();
    assert_eq!(made.tooth.vertices().len(), 3);
}

#[test]
fn exact_outlines_scale_with_the_wheel() {
    let small = dead_beat(&printed_dead_beat()).unwrap();
    let mut large = printed_dead_beat();
    large.plan.radius_m *= 4.0;
    tapered(&mut large.plan.tooth).depth_m *= 4.0;
    tapered(&mut large.plan.tooth).tip_width_m *= 4.0;
    let large = dead_beat(&large).unwrap();
    for (a, b) in [
        (&small.tooth, &large.tooth),
        (&small.pallets.entry, &large.pallets.entry),
        (&small.pallets.exit, &large.pallets.exit),
    ] {
        for (p, q) in a.vertices().iter().zip(b.vertices()) {
            assert!((4.0 * p.at - q.at).norm() < 1e-15 && (p.bulge - q.bulge).abs() < 1e-13);
        }
    }
}

#[test]
fn exact_pallets_share_their_circles_crosswise_in_the_mirror() {
    let made = dead_beat(&printed_dead_beat()).unwrap();
    let arbor = Point::new(0.0, made.centre_distance_m);
    let radii = |outline: &Outline| outline.vertices().iter().map(|v| (v.at - arbor).norm()).collect::<Vec<_>>();
    let (entry, mirrored) = (radii(&made.pallets.entry), radii(&made.pallets.exit.mirrored()));
    // Entry: lock, release, back, lock. The mirrored exit runs the other way round: lock, back, release, lock.
    for (mine, other) in [(0, 1), (1, 0), (2, 3), (3, 2)] {
        assert!((entry[mine] - mirrored[other]).abs() < 1e-16, "{entry:?} {mirrored:?}");
    }
}

fn with(change: impl Fn(&mut PalletPlan)) -> DeadBeat {
    let mut design = printed_dead_beat();
    change(&mut design.plan);
    design
}

fn tapered(tooth: &mut ToothForm) -> &mut TaperedTooth {
    let ToothForm::Tapered(tapered) = tooth else { panic!("the tests' tooth tapers") };
    tapered
}

fn tooth_with(change: impl Fn(&mut TaperedTooth)) -> DeadBeat {
    with(|plan| change(tapered(&mut plan.tooth)))
}

fn refusal(design: &DeadBeat) -> FamilyError {
    dead_beat(design).unwrap_err()
}

macro_rules! refuses {
    ($name:ident, $made:expr, $pattern:pat, $text:expr) => {
        #[test]
        fn $name() {
            let error: FamilyError = $made;
            assert!(matches!(error, $pattern), "{error:?}");
            assert!(error.to_string().contains($text), "{error}");
        }
    };
}

refuses!(
    exact_no_lift,
    refusal(&with(|p| p.lift_rad = 0.0)),
    FamilyError::NotPositive { quantity: "lift", .. },
    "above 0"
);
refuses!(
    exact_nan_radius,
    refusal(&with(|p| p.radius_m = f64::NAN)),
    FamilyError::NotPositive { .. },
    "wheel radius is NaN"
);
refuses!(
    exact_no_lock,
    refusal(&DeadBeat { lock_rad: 0.0, ..printed_dead_beat() }),
    FamilyError::NotPositive { quantity: "lock", .. },
    "lock is 0"
);
refuses!(
    exact_negative_undercut,
    refusal(&tooth_with(|t| t.undercut_rad = -0.1)),
    FamilyError::Negative { .. },
    "undercut is \u{2212}5.730 deg"
);
refuses!(
    exact_whole_spaces,
    refusal(&with(|p| p.spaces_embraced = 8.0)),
    FamilyError::SpacesNotHalf { .. },
    "a whole number and a half"
);
refuses!(
    exact_half_the_wheel,
    refusal(&with(|p| p.spaces_embraced = 15.5)),
    FamilyError::EmbracesHalf { teeth: 30, .. },
    "less than half"
);
refuses!(
    exact_drop_of_half_a_pitch,
    refusal(&with(|p| p.drop_rad = 6.5 * DEG)),
    FamilyError::DropTooLarge { .. },
    "less than half the pitch, 6.000 deg"
);
refuses!(
    exact_arbor_in_the_wheel,
    refusal(&with(|p| p.centre_distance_m = Some(55e-3))),
    FamilyError::ArborInsideWheel { .. },
    "84.853 mm is tangent"
);
refuses!(
    exact_tooth_to_the_centre,
    refusal(&tooth_with(|t| t.depth_m = 60e-3)),
    FamilyError::ToothDeeperThanWheel { .. },
    "less than the wheel's radius"
);
refuses!(
    exact_lean_past_the_root,
    refusal(&tooth_with(|t| t.undercut_rad = 50.0 * DEG)),
    FamilyError::FaceMissesRoot { .. },
    "must be less than 52"
);
refuses!(
    exact_no_body,
    refusal(&tooth_with(|t| (t.tip_width_m, t.wedge_rad) = (0.0, 0.0))),
    FamilyError::ToothHasNoBody,
    "no body"
);
refuses!(
    exact_teeth_merge,
    refusal(&tooth_with(|t| t.wedge_rad = 35.0 * DEG)),
    FamilyError::TeethMerge { .. },
    "less than the pitch, 12.000 deg"
);
refuses!(
    exact_tip_wider_than_drop,
    refusal(&tooth_with(|t| t.tip_width_m = 2.2e-3)),
    FamilyError::TipWiderThanDrop { .. },
    "only 2.094 mm past"
);
refuses!(
    exact_face_that_misses_the_wheel,
    recoil_anchor(&RecoilAnchor { plan: PalletPlan { face_length_rad: 60.0 * DEG, ..small_anchor().plan } })
        .unwrap_err(),
    FamilyError::WheelCannotDrive { .. },
    "a shorter face"
);
refuses!(
    exact_face_around_the_arbor,
    refusal(&with(|p| p.face_length_rad = 95.0 * DEG)),
    FamilyError::FaceTooLong { .. },
    "below 90 deg"
);
refuses!(
    exact_shallow_tooth,
    refusal(&tooth_with(|t| t.depth_m = 6e-3)),
    FamilyError::ToothTooShallow { pallet: Side::Entry, .. },
    "must be deeper"
);
refuses!(
    exact_upright_front,
    refusal(&tooth_with(|t| t.undercut_rad = 1.0 * DEG)),
    FamilyError::UndercutTooSmall { .. },
    "undercut of 1.000 deg must be more"
);
refuses!(
    exact_thick_tooth,
    refusal(&tooth_with(|t| t.tip_width_m = 1.9e-3)),
    FamilyError::HitsToothAhead { pallet: Side::Exit, .. },
    "back of the tooth ahead"
);
refuses!(
    exact_close_teeth,
    recoil_anchor(&RecoilAnchor { plan: crowded() }).unwrap_err(),
    FamilyError::HitsToothBehind { .. },
    "comes behind it"
);

/// An anchor hung so far above the wheel that its entry face lies along the tip circle and meets the next tooth too.
fn crowded() -> PalletPlan {
    let tooth = ToothForm::Tapered(TaperedTooth {
        depth_m: 27e-3,
        tip_width_m: 0.45e-3,
        undercut_rad: 10.3 * DEG,
        wedge_rad: 4.2 * DEG,
    });
    PalletPlan {
        teeth: 42,
        radius_m: 51e-3,
        spaces_embraced: 8.5,
        lift_rad: 0.95 * DEG,
        drop_rad: 1.88 * DEG,
        centre_distance_m: Some(133e-3),
        tooth,
        face_length_rad: 7.5 * DEG,
        ..printed_dead_beat().plan
    }
}

#[test]
fn exact_undercut_named_in_the_refusal_is_enough() {
    let FamilyError::UndercutTooSmall { least_rad, .. } = refusal(&tooth_with(|t| t.undercut_rad = 0.0)) else {
        panic!("an upright front must be refused");
    };
    // The entry pallet is reported before the exit pallet, which may ask for more.
    let second = dead_beat(&tooth_with(|t| t.undercut_rad = least_rad + 1e-6));
    let enough_rad = match second {
        Ok(_) => least_rad,
        Err(FamilyError::UndercutTooSmall { pallet: Side::Exit, least_rad, .. }) => least_rad,
        Err(other) => panic!("{other}"),
    };
    assert!(dead_beat(&tooth_with(|t| t.undercut_rad = enough_rad + 1e-6)).is_ok());
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn exact_any_numbers_give_outlines_or_a_refusal(
        teeth in any::<u32>(), numbers in prop::array::uniform10(prop_oneof![any::<f64>(), 1e-4..0.3_f64]), spaces in 0_u32..20,
    ) {
        let [radius_m, lift_rad, drop_rad, c, depth_m, tip_width_m, undercut_rad, wedge_rad, face_length_rad, lock_rad] = numbers;
        for teeth in [teeth, teeth % 60] {
            let plan = PalletPlan {
                teeth, radius_m, lift_rad, drop_rad, spaces_embraced: f64::from(spaces) + 0.5, face_length_rad,
                centre_distance_m: (c > 0.1).then_some(c),
                tooth: ToothForm::Tapered(TaperedTooth { depth_m, tip_width_m, undercut_rad, wedge_rad }),
                ..printed_dead_beat().plan
            };
            for made in [dead_beat(&DeadBeat { plan, lock_rad }), recoil_anchor(&RecoilAnchor { plan })] {
                match made {
                    Ok(made) => prop_assert!(made.centre_distance_m.is_finite()),
                    Err(error) => prop_assert!(!error.to_string().contains("NaN") || numbers.iter().any(|n| n.is_nan())),
                }
            }
        }
    }
}
