//! Both families against brute force: polygons of the whole wheel and both pallets, swung quasi-statically.

use beatwright::clock::design::{DeadBeat, PalletPlan, RecoilAnchor, TaperedTooth, ToothForm};
use beatwright::clock::escapement::{EscapementOutlines, FamilyError, dead_beat, recoil_anchor};
use beatwright::clock::side::Side;
use proptest::prelude::*;
use proptest::test_runner::TestCaseError;

use crate::support::brute_force::{Brute, Rest, bisect};
use crate::support::plans::{DEG, printed_dead_beat, small_anchor};

/// Readings must come back within this. Leaving a locking face shows once the wheel has moved by 1e-6 rad, chords of 1e-8 m
/// at 20 mm are off by 5e-7 rad at either end, and the flattest faces turn 0.4 rad of wheel into 1 rad of pallet: 5e-6 rad.
const READ_RAD: f64 = 3e-4 * DEG;
/// Theta step of the swing.
const STEP_RAD: f64 = 0.1 * DEG;
/// Swing beyond the release.
const OVERSWING_RAD: f64 = 3.0 * DEG;

/// What one pallet does, read off the polygons.
#[derive(Debug)]
struct Reading {
    /// Theta at which the tooth leaves this pallet.
    release_rad: f64,
    /// Wheel places just before that and after the fall on the other pallet.
    leaves_rad: f64,
    falls_rad: f64,
    /// Theta at which the tooth leaves the locking face; NaN if the wheel never stands still.
    unlock_rad: f64,
    /// Largest wheel movement backwards.
    recoil_rad: f64,
}

/// Swings from `+semi_arc` to `-semi_arc` (entry) or back (exit), every step checked: tip contact only, and, if `dead`, a wheel at rest.
fn swing(
    brute: &Brute,
    entry: bool,
    semi_arc_rad: f64,
    from_rad: f64,
    dead: bool,
) -> Result<(Reading, Rest), TestCaseError> {
    let side = if entry { Side::Entry } else { Side::Exit };
    let inward = if entry { -1.0 } else { 1.0 };
    let steps = (2.0 * semi_arc_rad / STEP_RAD).ceil();
    let theta = |step: f64| inward * (2.0 * step / steps - 1.0) * semi_arc_rad;
    let settle = |theta_rad: f64, phi_rad: f64| brute.settle(theta_rad, phi_rad);
    let mut last = settle(theta(0.0), from_rad).ok_or_else(|| TestCaseError::fail("no rest at the start"))?;
    let (mut unlock_rad, mut release, mut recoil_rad) = (f64::NAN, None, 0.0_f64);
    let first = last;
    for step in 1..=(steps as u32) {
        let (before, now) = (theta(f64::from(step) - 1.0), theta(f64::from(step)));
        let rest = brute.follow(before, last, now).ok_or_else(|| TestCaseError::fail(format!("no rest at {now}")))?;
        // Some 1e-8 m, as much as the polygons' chords are off.
        let on_tip = brute.stands_on_tip(now, rest.phi_rad, 2e-7);
        prop_assert!(on_tip, "theta {} deg: stopped by something else than a tip", now / DEG);
        if rest.pallet == side {
            prop_assert!(release.is_none(), "falls back on {side} at {now}");
            if unlock_rad.is_nan() && dead {
                if rest.phi_rad - first.phi_rad > 1e-6 {
                    unlock_rad = bisect(before, now, |at| {
                        brute.follow(before, last, at).unwrap().phi_rad - first.phi_rad > 1e-6
                    });
                } else {
                    prop_assert!((rest.phi_rad - first.phi_rad).abs() < 1e-6, "recoil on a dead face at {now}");
                }
            }
        } else if release.is_none() {
            let at = bisect(before, now, |at| brute.follow(before, last, at).unwrap().pallet != side);
            let leaves_rad = brute.follow(before, last, at - inward * 1e-9).unwrap().phi_rad;
            let falls_rad = brute.follow(before, last, at + inward * 1e-9).unwrap().phi_rad;
            release = Some((at, leaves_rad, falls_rad));
        } else {
            recoil_rad = recoil_rad.max(release.unwrap().2 - rest.phi_rad);
        }
        last = rest;
    }
    let (release_rad, leaves_rad, falls_rad) = release.ok_or_else(|| TestCaseError::fail("never released"))?;
    Ok((Reading { release_rad, leaves_rad, falls_rad, unlock_rad, recoil_rad }, last))
}

/// A full period: the swing that the entry pallet starts, then the one that the exit pallet starts.
fn period(
    outlines: &EscapementOutlines,
    semi_arc_rad: f64,
    wide_rad: f64,
    dead: bool,
) -> Result<[Reading; 2], TestCaseError> {
    let brute = Brute::new(outlines);
    let start = brute.free_place(semi_arc_rad, -wide_rad - 1e-4).ok_or_else(|| TestCaseError::fail("no free place"))?;
    let (entry, turned) = swing(&brute, true, semi_arc_rad, start, dead)?;
    let (exit, end) = swing(&brute, false, semi_arc_rad, turned.phi_rad, dead)?;
    let begin = brute.settle(semi_arc_rad, start).unwrap();
    prop_assert!((end.phi_rad - begin.phi_rad - brute.pitch_rad()).abs() < 1e-5, "a period advances one pitch");
    Ok([entry, exit])
}

fn check(what: &str, read_rad: f64, planned_rad: f64) -> Result<(), TestCaseError> {
    prop_assert!(
        (read_rad - planned_rad).abs() < READ_RAD,
        "{what}: read {} deg, planned {} deg",
        read_rad / DEG,
        planned_rad / DEG
    );
    Ok(())
}

fn wide_rad(plan: &PalletPlan) -> f64 {
    0.5 * ((plan.spaces_embraced + 0.5) * std::f64::consts::TAU / f64::from(plan.teeth) - plan.drop_rad)
}

fn dead_beat_reads_back(design: &DeadBeat, semi_arc_rad: f64) -> Result<(), TestCaseError> {
    let outlines = dead_beat(design).map_err(|error| TestCaseError::reject(error.to_string()))?;
    let plan = &design.plan;
    let [entry, exit] = period(&outlines, semi_arc_rad, wide_rad(plan), true)?;
    check("entry lift", entry.unlock_rad - entry.release_rad, plan.lift_rad)?;
    check("exit lift", exit.release_rad - exit.unlock_rad, plan.lift_rad)?;
    check("exit lock", exit.unlock_rad - entry.release_rad, design.lock_rad)?;
    check("entry lock", exit.release_rad - entry.unlock_rad, design.lock_rad)?;
    check("drop from entry", entry.falls_rad - entry.leaves_rad, plan.drop_rad)?;
    check("drop from exit", exit.falls_rad - exit.leaves_rad, plan.drop_rad)?;
    check("centred", exit.release_rad + entry.release_rad, 0.0)
}

fn recoil_anchor_reads_back(design: &RecoilAnchor, semi_arc_rad: f64) -> Result<[Reading; 2], TestCaseError> {
    let outlines = recoil_anchor(design).map_err(|error| TestCaseError::reject(error.to_string()))?;
    let plan = &design.plan;
    let readings = period(&outlines, semi_arc_rad, wide_rad(plan), false)?;
    let [entry, exit] = &readings;
    check("lift", exit.release_rad - entry.release_rad, plan.lift_rad)?;
    check("centred", exit.release_rad + entry.release_rad, 0.0)?;
    check("drop from entry", entry.falls_rad - entry.leaves_rad, plan.drop_rad)?;
    check("drop from exit", exit.falls_rad - exit.leaves_rad, plan.drop_rad)?;
    prop_assert!(entry.recoil_rad > 0.0 && exit.recoil_rad > 0.0, "no recoil");
    Ok(readings)
}

#[test]
fn exact_printed_dead_beat_acts_cleanly_to_four_degrees_past_the_release() {
    let design = printed_dead_beat();
    dead_beat_reads_back(&design, 1.5 * DEG + 4.0 * DEG).unwrap();
}

/// Steps longer than the clearance of the exit pallet behind a tooth lead to the same places as short ones.
#[test]
fn exact_long_steps_lead_where_short_ones_do() {
    let tooth = TaperedTooth {
        depth_m: 0.016_992_446_331_400_575,
        tip_width_m: 0.000_714_936_535_386_506_1,
        undercut_rad: 0.145_411_134_485_104_4,
        wedge_rad: 0.101_713_284_356_311_22,
    };
    let plan = PalletPlan {
        teeth: 30,
        radius_m: 0.058_706_578_216_210_66,
        spaces_embraced: 5.5,
        lift_rad: 0.059_946_504_476_261_354,
        drop_rad: 0.023_128_199_621_270_99,
        face_length_rad: OVERSWING_RAD + 0.1 * DEG,
        tooth: ToothForm::Tapered(tooth),
        ..small_anchor().plan
    };
    let outlines = recoil_anchor(&RecoilAnchor { plan }).unwrap();
    let brute = Brute::new(&outlines);
    let (from, to) = (0.5 * plan.lift_rad + OVERSWING_RAD, 1e-3 - 0.5 * plan.lift_rad);
    let start = brute.free_place(from, -wide_rad(&plan) - 1e-4).unwrap();
    let walk = |steps: u32| {
        let place = |step: u32| from + (to - from) * f64::from(step) / f64::from(steps);
        (1..=steps).try_fold(brute.settle(from, start)?, |rest, step| brute.follow(place(step - 1), rest, place(step)))
    };
    let (short, long) = (walk(160).unwrap(), walk(8).unwrap());
    assert_eq!((short.pallet, long.pallet), (Side::Entry, Side::Entry));
    assert!((short.phi_rad - long.phi_rad).abs() < 1e-9, "{short:?} {long:?}");
}

#[test]
fn exact_small_anchor_acts_cleanly_up_to_the_end_of_its_faces() {
    let [entry, exit] = recoil_anchor_reads_back(&small_anchor(), 3.0 * DEG + 3.9 * DEG).unwrap();
    assert!(entry.recoil_rad > 1.0 * DEG && exit.recoil_rad > 1.0 * DEG, "{entry:?} {exit:?}");
}

/// A dead beat whose arbor lies so close to the wheel that the entry pallet's round locking face leans back by 4.112 deg.
fn leaning_dead_beat(undercut_rad: f64) -> DeadBeat {
    let tooth = TaperedTooth { depth_m: 16e-3, tip_width_m: 0.0, undercut_rad, wedge_rad: 4.0 * DEG };
    let plan = PalletPlan {
        teeth: 24,
        radius_m: 0.079_873_531_854_190_27,
        spaces_embraced: 4.5,
        lift_rad: 1.5 * DEG,
        drop_rad: 0.052_021_046_091_044,
        centre_distance_m: Some(0.093_838_152_646_266_9),
        face_length_rad: OVERSWING_RAD + 0.4 * DEG,
        tooth: ToothForm::Tapered(tooth),
        ..printed_dead_beat().plan
    };
    DeadBeat { plan, lock_rad: 0.3 * DEG }
}

/// Angle at the tip between the ways to the wheel's centre and to the pallet arbor, by the law of cosines.
fn angle_at_tip_rad(plan: &PalletPlan, phi_rad: f64) -> f64 {
    let middle_rad = 0.5 * plan.spaces_embraced * std::f64::consts::TAU / f64::from(plan.teeth);
    let (r, c) = (plan.radius_m, plan.centre_distance_m.unwrap_or(plan.radius_m / middle_rad.cos()));
    let arm_m = (r * r + c * c - 2.0 * r * c * phi_rad.cos()).sqrt();
    ((r * r + arm_m * arm_m - c * c) / (2.0 * r * arm_m)).acos()
}

/// The refusal's pallet and least undercut.
fn undercut_refused(design: &DeadBeat) -> (Side, f64) {
    match dead_beat(design) {
        Err(FamilyError::UndercutTooSmall { pallet, least_rad, .. }) => (pallet, least_rad),
        other => panic!("{other:?}"),
    }
}

#[test]
fn exact_front_along_a_chord_of_a_round_locking_face_is_refused() {
    // The tip would be kept off by 1e-7 m, and the front would rest on the face 0.1 mm below it.
    let design = leaning_dead_beat(4.0 * DEG);
    let (pallet, least_rad) = undercut_refused(&design);
    assert_eq!(pallet, Side::Entry);
    let lean_rad = 90.0 * DEG - angle_at_tip_rad(&design.plan, wide_rad(&design.plan));
    assert!((least_rad - lean_rad).abs() < 1e-12 && (lean_rad / DEG - 4.112).abs() < 1e-5, "{}", least_rad / DEG);
    // The tip alone touches as soon as the front leans as much as the face.
    undercut_refused(&leaning_dead_beat(least_rad - 1e-9));
    for more_rad in [1e-9, 1e-4, 2e-3] {
        let design = leaning_dead_beat(least_rad + more_rad);
        dead_beat_reads_back(&design, 0.5 * (design.plan.lift_rad + design.lock_rad) + OVERSWING_RAD).unwrap();
    }
}

#[test]
fn exact_front_that_the_corner_of_a_hollow_locking_face_meets_is_refused() {
    let undercut = |undercut_rad: f64| {
        let tooth = TaperedTooth { depth_m: 12e-3, tip_width_m: 0.8e-3, undercut_rad, wedge_rad: 8.0 * DEG };
        let printed = printed_dead_beat();
        DeadBeat { plan: PalletPlan { tooth: ToothForm::Tapered(tooth), ..printed.plan }, ..printed }
    };
    let plan = undercut(0.0).plan;
    // From a tip at the end of the face its corner is seen along a chord: half the face's angle behind the tangent.
    let narrow_rad = plan.spaces_embraced * std::f64::consts::TAU / f64::from(plan.teeth) - wide_rad(&plan);
    let lean_rad = angle_at_tip_rad(&plan, narrow_rad) - 90.0 * DEG + 0.5 * plan.face_length_rad;
    let (pallet, least_rad) = undercut_refused(&undercut(lean_rad - 1e-9));
    assert_eq!(pallet, Side::Exit);
    assert!((least_rad - lean_rad).abs() < 1e-9, "{} {}", least_rad / DEG, lean_rad / DEG);
    dead_beat(&undercut(lean_rad + 1e-9)).unwrap();
}

prop_compose! {
    fn plans()(
        teeth in 24_u32..=45, radius_m in 20e-3..80e-3, embraced in 0.18..0.3_f64, lift_deg in 1.5..5.0, drop_share in 0.1..0.25,
        centre in prop::option::of(0.97..1.04), depth_share in 0.2..0.3, tip_share in prop_oneof![Just(0.0), 0.05..0.6],
        undercut_deg in 4.0..14.0, wedge_deg in 4.0..9.0,
    ) -> PalletPlan {
        let pitch_rad = std::f64::consts::TAU / f64::from(teeth);
        let spaces_embraced = (f64::from(teeth) * embraced).floor() + 0.5;
        let drop_rad = drop_share * pitch_rad;
        PalletPlan {
            teeth, radius_m, spaces_embraced, lift_rad: lift_deg * DEG, drop_rad,
            centre_distance_m: centre.map(|factor| factor * radius_m / (0.5 * spaces_embraced * pitch_rad).cos()),
            tooth: ToothForm::Tapered(TaperedTooth {
                depth_m: depth_share * radius_m, tip_width_m: tip_share * drop_rad * radius_m,
                undercut_rad: undercut_deg * DEG, wedge_rad: wedge_deg * DEG,
            }),
            friction: 0.1.into(), restitution: 0.0, beat_error_rad: 0.0, face_length_rad: OVERSWING_RAD + 0.1 * DEG,
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, max_global_rejects: 240, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn exact_dead_beat_reads_back_as_planned(plan in plans(), lock_deg in 0.3..1.5) {
        let lock_rad = lock_deg * DEG;
        let plan = PalletPlan { face_length_rad: plan.face_length_rad + lock_rad, ..plan };
        let design = DeadBeat { plan, lock_rad };
        dead_beat_reads_back(&design, 0.5 * (plan.lift_rad + lock_rad) + OVERSWING_RAD)?;
    }

    #[test]
    fn exact_recoil_anchor_reads_back_as_planned(plan in plans()) {
        recoil_anchor_reads_back(&RecoilAnchor { plan }, 0.5 * plan.lift_rad + OVERSWING_RAD)?;
    }
}
