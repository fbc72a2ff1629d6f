//! Play between crutch and rod.
//!
//! That it costs energy is what clockmakers say of a worn one ("if through wear the gap between them has become greater than intended, energy
//! will be lost", a maker's page on checking crutch and yoke, read 2026). How much is checked against the slow clock, which has the rules of the play
//! but no code in common, and against the energy that a wheel gathers alone.

use beatwright::answers::gain_scan::gain_scan;
use beatwright::answers::measure::measure;
use beatwright::clock::escapement::action::read_action;
use beatwright::clock::mechanism::ContactEscapement;
use beatwright::dynamics::Motion;
use beatwright::dynamics::observe::{Jump, JumpKind, Observer, TakenSegment, Unobserved};

use crate::support::clocks::{Bench, dead_beat_clock, recoil_clock};
use crate::support::plans::DEG;
use crate::support::slow_clock::SlowClock;

fn with_play(bench: &Bench, play_rad: f64) -> ContactEscapement {
    bench.escapement.clone().with_crutch_play(play_rad)
}

/// Largest difference from the slow clock over three periods of the turning points, rad, and of their times, s. At the start the crutch leans
/// on the `side` of the play.
fn differences(bench: &Bench, start_rad: f64, play_rad: f64, side: f64) -> (f64, f64) {
    let escapement = with_play(bench, play_rad);
    let mut motion = Motion::start(&bench.pendulum, &bench.drive, &escapement, start_rad).unwrap();
    let slow = SlowClock::new(bench.pendulum, bench.drive, &bench.outlines, bench.escapement.friction);
    let mut slow = slow.with_play(play_rad, side);
    slow.let_go(start_rad);
    let mut worst: (f64, f64) = (0.0, 0.0);
    for _ in 0..6 {
        let turning = motion.run_to_turning(&mut Unobserved).unwrap();
        slow.run_to_turning();
        let (angle, time) = (turning.state.theta_rad - slow.y[0], turning.state.time_s - slow.time);
        println!("{:.12} rad, {:.12} s: off {angle:.1e} rad {time:.1e} s", slow.y[0], slow.time);
        worst = (worst.0.max(angle.abs()), worst.1.max(time.abs()));
        assert_eq!(turning.resting_on.is_some(), slow.on.is_some() || slow.standing.is_some());
    }
    worst
}

#[test]
fn crosscheck_dead_beat_with_play_against_a_slow_clock() {
    let (angle, time) = differences(&dead_beat_clock(), 4.0 * DEG, 0.3 * DEG, 1.0);
    assert!(angle < 1e-11 && time < 1e-11, "{angle} {time}");
}

#[test]
fn crosscheck_recoil_with_play_against_a_slow_clock() {
    let (angle, time) = differences(&recoil_clock(), 6.0 * DEG, 0.3 * DEG, -1.0);
    assert!(angle < 1e-11 && time < 1e-11, "{angle} {time}");
}

/// Angles at which the wheel is let go, and the loss where it meets the rod again.
#[derive(Default)]
struct Unlocking {
    unlocked_rad: Option<f64>,
    gathered_rad: f64,
    lost_j: f64,
    before_rad: f64,
}

impl Observer for Unlocking {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        let end = taken.series.state_at(taken.start_s, taken.duration_s);
        let moves = end.phi_rad != taken.series.phi[0];
        if moves && self.unlocked_rad.is_none() {
            (self.unlocked_rad, self.before_rad) = (Some(taken.series.theta[0]), taken.series.phi[0]);
        }
    }

    fn jump(&mut self, jump: &Jump) {
        if let JumpKind::PlayTaken(_) = jump.kind
            && self.lost_j == 0.0
        {
            (self.lost_j, self.gathered_rad) = (-jump.energy_j, jump.state.phi_rad - self.before_rad);
        }
    }
}

/// A pendulum that hardly moves lets the wheel fall through the play: all that the drive does on the way is lost in the blow (energy is
/// conserved until then), and unlocking comes half the play later.
#[test]
fn a_wheel_that_crosses_the_play_alone_loses_all_that_it_gathers() {
    let mut bench = dead_beat_clock();
    bench.pendulum.inertia_kg_m2 *= 1e8;
    let action = read_action(&bench.escapement).unwrap().entry;
    let play_rad = 0.3 * DEG;
    let escapement = with_play(&bench, play_rad);
    let mut motion = Motion::start(&bench.pendulum, &bench.drive, &escapement, 3.0 * DEG).unwrap();
    let mut seen = Unlocking::default();
    motion.run_to_turning(&mut seen).unwrap();
    let unlocks_rad = action.release_rad + action.lift_rad;
    assert!((seen.unlocked_rad.unwrap() - (unlocks_rad - 0.5 * play_rad)).abs() < 1e-9, "{:?}", seen.unlocked_rad);
    let curve = &bench.escapement.curves.entry;
    let advance = |pallets_rad: f64| curve.front_at(pallets_rad).unwrap().phi_rad;
    let fallen_rad = advance(unlocks_rad - play_rad) - advance(unlocks_rad);
    assert!((seen.gathered_rad / fallen_rad - 1.0).abs() < 1e-3, "{} {fallen_rad}", seen.gathered_rad);
    let done_j = bench.drive.forward_n_m() * seen.gathered_rad;
    assert!((seen.lost_j / done_j - 1.0).abs() < 1e-3, "{} {done_j}", seen.lost_j);
}

/// Without friction nothing holds pallets still, and the least play is none.
#[test]
fn the_least_play_is_none_and_the_ledger_closes_with_any() {
    for bench in [dead_beat_clock(), recoil_clock()] {
        let bench = bench.with_contact(0.0, 0.0, 0.0);
        let period = |play_rad: f64| {
            let mut bench = bench.clone();
            bench.escapement = with_play(&bench, play_rad);
            let clock = bench.clock();
            let point = gain_scan(&clock).stable[0];
            let measured = measure(&clock, point.right_rad, None).unwrap();
            (measured, clock.escaping_arcs_rad().0)
        };
        let (none, escapes_rad) = period(0.0);
        let (least, _) = period(1e-9);
        assert!((least.right_rad - none.right_rad).abs() < 1e-8, "{} {}", least.right_rad, none.right_rad);
        assert!((least.period_s / none.period_s - 1.0).abs() < 1e-8);
        let (wide, escapes_wide_rad) = period(0.4 * DEG);
        assert!((escapes_rad - escapes_wide_rad - 0.2 * DEG).abs() < 1e-9, "{escapes_rad} {escapes_wide_rad}");
        let ledger = wide.ledger;
        let given_j = bench.drive.forward_n_m() * ledger.forward_rad - bench.drive.backward_n_m() * ledger.backward_rad;
        let spent_j = ledger.impact_j + ledger.play_j + ledger.faces_j + ledger.air_j + ledger.suspension_j;
        assert!(ledger.play_j > 0.01 * given_j, "{ledger:?}");
        assert!((given_j - spent_j - wide.stored_gain_j).abs() < 1e-9 * given_j, "{given_j} {spent_j}");
    }
}
