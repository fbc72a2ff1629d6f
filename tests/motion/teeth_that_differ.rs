//! A wheel whose teeth are not all alike: one return map a tooth, composed over a turn.

use beatwright::answers::cycle::fixed_point_near;
use beatwright::answers::gain_scan::{best_gain, probe_starts};
use beatwright::answers::least_drive::least_drive;
use beatwright::answers::measure::measure;
use beatwright::answers::return_map::{Clock, PeriodOutcome};
use beatwright::clock::mechanism::ContactEscapement;
use beatwright::geometry::{ContactCurve, Point};

use crate::support::clocks::{Bench, dead_beat_clock, recoil_clock};
use crate::support::plans::DEG;

/// The escapement with tooth `k` moved along the wheel by `offset_rad(k)`.
fn with_offsets(bench: &Bench, offset_rad: impl Fn(u32) -> f64) -> ContactEscapement {
    let plain = &bench.escapement;
    let outlines = &bench.outlines;
    let curves = |tooth: u32| {
        // The wheel turns clockwise: a tooth that is late stands further round anticlockwise.
        let turned = outlines.tooth.turned_about(Point::zeros(), offset_rad(tooth));
        outlines
            .pallets
            .as_ref()
            .map(|pallet| ContactCurve::build(&turned, pallet, outlines.centre_distance_m, 0.0).unwrap())
    };
    let other_teeth = (1..plain.teeth).map(curves).collect();
    ContactEscapement { curves: curves(0), other_teeth, ..plain.clone() }
}

fn clock<'m>(bench: &'m Bench, escapement: &'m ContactEscapement, torque_n_m: f64) -> Clock<'m> {
    let drive = beatwright::clock::mechanism::DriveModel { ideal_torque_n_m: torque_n_m, ..bench.drive };
    Clock::Contact { pendulum: &bench.pendulum, escapement, drive }
}

#[test]
fn exact_teeth_that_differ_by_nothing_change_nothing() {
    for bench in [dead_beat_clock(), recoil_clock()] {
        let varied = with_offsets(&bench, |_| 0.0);
        assert!(varied.teeth_differ());
        let torque = bench.drive.ideal_torque_n_m;
        let (plain, composed) = (clock(&bench, &bench.escapement, torque), clock(&bench, &varied, torque));
        let mut amplitude = 4.0 * DEG;
        let PeriodOutcome::Returned(turn) = composed.period_from(amplitude) else { panic!("stopped") };
        for _ in 0..bench.escapement.teeth {
            let PeriodOutcome::Returned(back) = plain.period_from(amplitude) else { panic!("stopped") };
            amplitude = back.right_rad;
        }
        assert!((turn.right_rad - amplitude).abs() < 1e-14, "{}", turn.right_rad - amplitude);
        let (one, all) =
            (fixed_point_near(&plain, 3.5 * DEG).unwrap(), fixed_point_near(&composed, 3.5 * DEG).unwrap());
        assert!((one.right_rad - all.right_rad).abs() < 1e-11);
        let teeth = f64::from(bench.escapement.teeth);
        assert!((one.multiplier.powf(teeth) - all.multiplier).abs() < 1e-6);
        let (short, long) =
            (measure(&plain, one.right_rad, None).unwrap(), measure(&composed, all.right_rad, None).unwrap());
        assert!((short.period_s - long.period_s).abs() < 1e-11);
        assert!((short.ledger.faces_j - long.ledger.faces_j).abs() < 1e-10 * short.ledger.faces_j);
        let turn = long.turn.unwrap();
        assert!(turn.right_rad.1 - turn.right_rad.0 < 1e-11);
    }
}

#[test]
fn an_eccentric_wheel_swings_unevenly_and_advances_one_turn_a_turn() {
    let bench = dead_beat_clock();
    let pitch = bench.escapement.pitch_rad();
    // As from a run-out: places of the teeth go round sinusoidally by a fifth of a degree.
    let varied = with_offsets(&bench, |tooth| 0.2 * DEG * (f64::from(tooth) * pitch).sin());
    let torque = bench.drive.ideal_torque_n_m;
    let composed = clock(&bench, &varied, torque);
    let point = fixed_point_near(&composed, 3.5 * DEG).unwrap();
    assert!(point.multiplier.abs() < 1.0);
    let measured = measure(&composed, point.right_rad, None).unwrap();
    let turn = measured.turn.unwrap();
    assert!(turn.right_rad.1 - turn.right_rad.0 > 1e-6 * DEG, "{turn:?}");
    assert!((measured.ledger.forward_rad - measured.ledger.backward_rad - pitch).abs() < 1e-12);
    // The mean swing is that of the even wheel but for the square of the error.
    let plain = clock(&bench, &bench.escapement, torque);
    let even = fixed_point_near(&plain, 3.5 * DEG).unwrap();
    assert!((measured.right_rad - even.right_rad).abs() < 0.02 * even.right_rad);
    let ledger = &measured.ledger;
    let drive = composed_drive(&composed);
    let input = drive.ideal_torque_n_m * (ledger.forward_rad - ledger.backward_rad);
    let losses = ledger.air_j
        + ledger.suspension_j
        + ledger.faces_j
        + ledger.impact_j
        + drive.friction_forward_n_m * (ledger.forward_rad - ledger.backward_rad)
        + (drive.backward_n_m() - drive.forward_n_m()) * ledger.backward_rad;
    assert!((input - losses - measured.stored_gain_j).abs() < 1e-9 * input);
}

fn composed_drive(clock: &Clock<'_>) -> beatwright::clock::mechanism::DriveModel {
    match clock {
        Clock::Contact { drive, .. } => *drive,
        Clock::Ideal { .. } => panic!("no wheel"),
    }
}

#[test]
fn an_uneven_wheel_needs_more_drive() {
    let bench = dead_beat_clock();
    let pitch = bench.escapement.pitch_rad();
    let varied = with_offsets(&bench, |tooth| 0.3 * DEG * (f64::from(tooth) * pitch).sin());
    let torque = bench.drive.ideal_torque_n_m;
    let even = least_drive(&|torque| clock(&bench, &bench.escapement, torque), torque).unwrap();
    let uneven = least_drive(&|torque| clock(&bench, &varied, torque), torque).unwrap();
    assert!(uneven > even, "{uneven} {even}");
    assert!(uneven < 1.5 * even, "{uneven} {even}");
}

/// The search begins with a wheel whose teeth are alike. All starts of the uneven one are probed just above and just below what it ends
/// with: a tooth late, a run-out, an oval wheel, and one tooth that stands out among the others.
#[test]
fn crosscheck_the_least_drive_holds_some_start_of_an_uneven_wheel_and_less_holds_none() {
    for (bench, size) in [(dead_beat_clock(), 1.0), (recoil_clock(), 0.3)] {
        let pitch = bench.escapement.pitch_rad();
        let round = |times: f64| move |tooth: u32| size * 0.2 * DEG * (times * f64::from(tooth) * pitch).cos();
        let late = |tooth: u32| if tooth == 7 { size * 0.3 * DEG } else { 0.0 };
        let offsets: [&dyn Fn(u32) -> f64; 3] = [&round(1.0), &round(2.0), &late];
        for (number, offset) in offsets.into_iter().enumerate() {
            let varied = with_offsets(&bench, offset);
            let with = |torque| clock(&bench, &varied, torque);
            let least = least_drive(&with, bench.drive.ideal_torque_n_m).unwrap();
            let gain = |torque| {
                let clock = with(torque);
                best_gain(&clock, &probe_starts(&clock)).and_then(|best| best.gain_rad)
            };
            let (above, below) = (gain(least * (1.0 + 1e-4)), gain(least * (1.0 - 1e-4)));
            assert!(above.is_some_and(|gain| gain > 0.0), "wheel {number}, {least} N m: {above:?}");
            assert!(!below.is_some_and(|gain| gain > 0.0), "wheel {number}, {least} N m: {below:?}");
        }
    }
}
