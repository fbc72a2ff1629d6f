//! The motion where events are awkward: at the end of a step, two at once, grazing, resting, bouncing without end, stuck.

use beatwright::answers::measure::{measure, run_long};
use beatwright::answers::return_map::{PeriodFailure, PeriodOutcome};
use beatwright::clock::mechanism::PendulumModel;
use beatwright::clock::side::Side;
use beatwright::dynamics::observe::{Jump, JumpKind, Mode, Observer, TakenSegment, Unobserved};
use beatwright::dynamics::{Motion, Stop, StopReason};
use proptest::prelude::*;
use proptest::test_runner::{RngSeed, TestCaseError};

use crate::support::clocks::{Bench, dead_beat_clock, drive, recoil_clock, rounded_dead_beat_clock};
use crate::support::plans::DEG;

/// Counts stretches and impacts and keeps the tooth of every contact.
#[derive(Default)]
struct Counter {
    stretches: usize,
    impacts: usize,
    gained_j: f64,
    finite: bool,
    contacts: Vec<(Side, f64, f64)>,
}

impl Observer for Counter {
    fn segment(&mut self, taken: &TakenSegment<'_>) {
        let end = taken.series.state_at(taken.start_s, taken.duration_s);
        let all = [end.time_s, end.theta_rad, end.omega_rad_s, end.phi_rad, end.nu_rad_s];
        self.finite = (self.stretches == 0 || self.finite) && all.iter().all(|x| x.is_finite());
        self.stretches += 1;
        if let Mode::Locked(pallet) | Mode::Sliding(pallet) = taken.mode {
            self.contacts.push((pallet, end.theta_rad, end.phi_rad));
        }
    }
    fn jump(&mut self, jump: &Jump) {
        assert!(matches!(jump.kind, JumpKind::Impact(_)));
        self.impacts += 1;
        self.gained_j = self.gained_j.max(jump.energy_j);
    }
}

fn start(bench: &Bench, theta_rad: f64) -> Result<Motion<'_>, Stop> {
    Motion::start(&bench.pendulum, &bench.drive, &bench.escapement, theta_rad)
}

fn turning(bench: &Bench, theta_rad: f64, swings: usize) -> (f64, f64) {
    let mut motion = start(bench, theta_rad).unwrap();
    let turns = (0..swings).map(|_| motion.run_to_turning(&mut Unobserved).unwrap());
    let last = turns.last().unwrap().state;
    (last.theta_rad, last.time_s)
}

// The same motion cut at every landing, with the teeth counted afresh at every turning point, and not cut at all.
#[test]
fn exact_motion_does_not_depend_on_where_it_is_cut() {
    for (bench, theta) in
        [(dead_beat_clock(), 4.0 * DEG), (recoil_clock(), 6.0 * DEG), (rounded_dead_beat_clock(2e-4), 3.5 * DEG)]
    {
        let whole = turning(&bench, theta, 8);
        let mut cut = start(&bench, theta).unwrap();
        let (mut turns, mut pieces) = (0, 0);
        while turns < 8 {
            pieces += 1;
            // A landing ends the run at once where the wheel rests already: go on by a whole swing then.
            let rested = cut.resting_on().is_some();
            let reached = if rested {
                Some(cut.run_to_turning(&mut Unobserved).unwrap())
            } else {
                cut.run_to_rest_or_turning(&mut Unobserved).unwrap()
            };
            if reached.is_some() {
                turns += 1;
                cut.rebase_tooth_count(i64::from(turns % 2 == 0));
            }
        }
        let state = cut.state();
        println!("{pieces} pieces: {:e} rad, {:e} s", state.theta_rad - whole.0, state.time_s - whole.1);
        assert!((state.theta_rad - whole.0).abs() < 1e-13 && (state.time_s - whole.1).abs() < 1e-12);
    }
}

// Let go exactly at, and a few roundings off, every end of every piece: the start itself is a turning point at an event.
#[test]
fn exact_starts_at_the_ends_of_pieces_are_continuous() {
    let mut checked = 0;
    for bench in [dead_beat_clock(), recoil_clock(), rounded_dead_beat_clock(2e-4)] {
        let curve = &bench.escapement.curves.entry;
        let ends: Vec<f64> = curve.front.iter().flat_map(|piece| [piece.from_rad, piece.to_rad]).collect();
        for end in ends {
            for off in [-1e-12, -2e-16, 0.0, 2e-16, 1e-12] {
                // Either a named stop or a period; a turning point close to that of a start a little further out.
                if let PeriodOutcome::Returned(back) = bench.clock().period_from(end + off) {
                    assert!(back.right_rad.is_finite());
                    if let PeriodOutcome::Returned(beside) = bench.clock().period_from(end + 1e-9) {
                        assert!((back.right_rad - beside.right_rad).abs() < 1e-7, "{end} {off}");
                        checked += 1;
                    }
                }
            }
        }
    }
    assert!(checked > 0);
}

// Starts so small that a tooth just passes, or just not, down to neighbouring numbers.
#[test]
fn exact_grazing_passages_end_with_a_name() {
    for bench in [dead_beat_clock(), recoil_clock(), rounded_dead_beat_clock(2e-4)] {
        let clock = bench.clock();
        let passes = |theta: f64| matches!(clock.period_from(theta), PeriodOutcome::Returned(_));
        let (mut low, mut high) = (0.2 * DEG, 4.5 * DEG);
        assert!(passes(high) && !passes(low));
        while high - low > 2e-17 {
            let middle = 0.5 * (low + high);
            if middle <= low || middle >= high {
                break;
            }
            if passes(middle) { high = middle } else { low = middle }
        }
        println!("least passing start {} deg: {:?}", high / DEG, clock.period_from(low));
        // Turning right on the release corner it may be held, wedged or caught by the pallet, but it is told.
        let chatters = |passage: &PeriodOutcome| {
            matches!(passage, PeriodOutcome::Failed(PeriodFailure::Stopped(Stop { reason: StopReason::Chatter, .. })))
        };
        for k in -50..50 {
            for theta in [low + f64::from(k) * 1e-16, low + f64::from(k) * 1e-8] {
                let passage = clock.period_from(theta);
                assert!(!chatters(&passage), "{theta} {passage:?}");
            }
        }
    }
}

// While a tooth rests on a face about the pallet arbor nothing of the wheel moves.
#[test]
fn exact_resting_wheel_stands() {
    struct Rest(usize);
    impl Observer for Rest {
        fn segment(&mut self, taken: &TakenSegment<'_>) {
            if matches!(taken.mode, Mode::Locked(_)) {
                let (a, b) = (taken.series.state_at(0.0, 0.0), taken.series.state_at(0.0, taken.duration_s));
                assert_eq!((a.phi_rad, 0.0, 0.0), (b.phi_rad, a.nu_rad_s, b.nu_rad_s));
                self.0 += 1;
            }
        }
        fn jump(&mut self, _: &Jump) {}
    }
    let bench = dead_beat_clock();
    let mut rest = Rest(0);
    let mut motion = start(&bench, 4.0 * DEG).unwrap();
    for _ in 0..6 {
        motion.run_to_turning(&mut rest).unwrap();
    }
    assert!(rest.0 >= 12);
}

#[test]
fn exact_bouncing_ends_and_gains_nothing() {
    for restitution in [0.5, 0.9] {
        for bench in [dead_beat_clock(), recoil_clock()] {
            let mut bench = bench.with_contact(0.0, restitution, 0.0);
            bench.drive = drive(bench.drive.ideal_torque_n_m, 0.0, 0.0, bench.drive.inertia_kg_m2);
            let mut counter = Counter::default();
            let mut motion = start(&bench, 5.0 * DEG).unwrap();
            for _ in 0..6 {
                motion.run_to_turning(&mut counter).unwrap();
            }
            println!("e {restitution}: {} impacts, {} stretches", counter.impacts, counter.stretches);
            assert!(counter.impacts > 60 && counter.stretches < 6 * 2000 && counter.finite);
            assert!(counter.gained_j <= 1e-18, "an impact gave {} J", counter.gained_j);
        }
    }
}

// With friction as well no impact may give energy. It does where the sliding reverses within the impact: the model's
// impulse formula keeps the friction of the arrival.
#[test]
#[ignore = "the model's impulse formula lets friction drive a sliding that has reversed"]
fn exact_rough_bouncing_gains_nothing() {
    let bench = recoil_clock().with_contact(0.1, 0.9, 0.0);
    let mut counter = Counter::default();
    let mut motion = start(&bench, 5.0 * DEG).unwrap();
    for _ in 0..6 {
        motion.run_to_turning(&mut counter).unwrap();
    }
    assert!(counter.gained_j <= 1e-18, "an impact gave {} J", counter.gained_j);
}

// Tooth numbers on a pallet only ever rise: what was released is past.
#[test]
fn exact_released_tooth_is_past_for_good() {
    for (bench, theta) in [
        (dead_beat_clock(), 4.5 * DEG),
        (recoil_clock(), 6.5 * DEG),
        (dead_beat_clock().with_contact(0.1, 0.6, 0.0), 4.0 * DEG),
    ] {
        let mut counter = Counter::default();
        let mut motion = start(&bench, theta).unwrap();
        for _ in 0..10 {
            motion.run_to_turning(&mut counter).unwrap();
        }
        for pallet in [Side::Entry, Side::Exit] {
            let curve =
                if pallet == Side::Entry { &bench.escapement.curves.entry } else { &bench.escapement.curves.exit };
            let teeth: Vec<i64> = counter
                .contacts
                .iter()
                .filter(|contact| contact.0 == pallet)
                .filter_map(|&(_, theta, phi)| {
                    Some(((phi - curve.front_at(theta)?.phi_rad) / bench.escapement.pitch_rad()).round() as i64)
                })
                .collect();
            assert!(teeth.windows(2).all(|pair| pair[0] <= pair[1] && pair[1] <= pair[0] + 1), "{teeth:?}");
            assert!(teeth[teeth.len() - 1] - teeth[0] >= 4, "{teeth:?}");
        }
    }
}

// A wheel so slow that it is still in its drop when the pendulum turns.
#[test]
fn exact_wheel_in_its_drop_at_the_turning_point_is_told() {
    let mut bench = dead_beat_clock();
    let mut found = 0;
    for inertia in [1e-4, 3e-4, 1e-3, 3e-3, 1e-2] {
        bench.drive.inertia_kg_m2 = inertia;
        for start_deg in [1.7, 2.0, 2.5, 3.0, 4.0] {
            if let PeriodOutcome::Returned(back) = bench.clock().period_from(start_deg * DEG)
                && !back.rested
            {
                assert!(back.right_rad > 0.0 && back.right_rad < start_deg * DEG + 0.01);
                found += 1;
            }
        }
    }
    println!("{found} passages turn with the wheel in its drop");
    assert!(found > 0);
}

#[test]
fn exact_train_that_cannot_move_stops_with_a_name() {
    for mut bench in [dead_beat_clock(), recoil_clock(), rounded_dead_beat_clock(2e-4)] {
        bench.drive = drive(1e-3, 2e-3, 2e-3, 1e-5);
        for start_deg in [2.0, 4.0, 5.0] {
            let failed = bench.clock().period_from(start_deg * DEG);
            assert!(matches!(failed, PeriodOutcome::Failed(_)), "{start_deg}: {failed:?}");
        }
    }
    // A pendulum held by its own friction.
    let mut bench = dead_beat_clock();
    bench.pendulum.friction_torque_n_m = 1.0;
    let failed = bench.clock().period_from(4.0 * DEG);
    assert!(
        matches!(failed, PeriodOutcome::Failed(PeriodFailure::Stopped(Stop { reason: StopReason::AtRest, .. }))),
        "{failed:?}"
    );
}

fn random_bench() -> impl Strategy<Value = Bench> {
    let sizes = (0..3_usize, -9.0..-2.0_f64, -6.0..1.0_f64, 0.0..2.0_f64, 0.0..2.0_f64);
    let contact = (0.0..0.6_f64, prop_oneof![Just(0.0), 0.0..0.95_f64], -0.01..0.01_f64);
    let damping = (any::<bool>(), 0.0..0.05_f64, 0.0..0.05_f64, 0.0..1e-3_f64, -4.0..0.5_f64);
    (sizes, contact, damping).prop_map(
        |((which, inertia, torque, forward, backward), (mu, e, beat), (damped, c1, c2, dry, heavy))| {
            let mut bench = match which {
                0 => dead_beat_clock(),
                1 => recoil_clock(),
                _ => rounded_dead_beat_clock(2e-4),
            }
            .with_contact(mu, e, beat);
            let torque = 10f64.powf(torque);
            bench.drive = drive(torque, forward * torque, backward * torque, 10f64.powf(inertia));
            let on = f64::from(u8::from(damped));
            let inertia_kg_m2 = 10f64.powf(heavy);
            bench.pendulum = PendulumModel {
                inertia_kg_m2,
                gravity_torque_n_m: 19.6 * inertia_kg_m2,
                stiffness_n_m_per_rad: 0.0,
                air_linear_n_m_s: on * c1 * inertia_kg_m2,
                suspension_linear_n_m_s: 0.0,
                air_quadratic_n_m_s2: on * c2 * inertia_kg_m2,
                friction_torque_n_m: on * dry * inertia_kg_m2,
            };
            bench
        },
    )
}

fn never_lost(bench: &Bench, theta_rad: f64) -> Result<usize, TestCaseError> {
    let mut counter = Counter::default();
    let Ok(mut motion) = start(bench, theta_rad) else { return Ok(0) };
    for _ in 0..2 {
        match motion.run_to_turning(&mut counter) {
            Ok(turning) => prop_assert!(turning.state.theta_rad.is_finite() && turning.state.time_s < 2e4),
            Err(stop) => {
                prop_assert!(stop.reason != StopReason::Chatter, "{stop:?} after {} stretches", counter.stretches);
                break;
            }
        }
    }
    prop_assert!(counter.finite || counter.stretches == 0);
    Ok(counter.stretches)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 250, failure_persistence: None, rng_seed: RngSeed::Fixed(5), ..ProptestConfig::default() })]

    #[test]
    fn exact_no_clock_is_lost(bench in random_bench(), start_deg in -29.0..29.0_f64) {
        never_lost(&bench, start_deg * DEG)?;
        if let PeriodOutcome::Returned(back) = bench.clock().period_from(start_deg * DEG) {
            prop_assert!(back.right_rad.is_finite() && back.left_rad.is_finite());
        }
    }

    // Drive less every loss is what is stored, to 1e-9 of the drive's work.
    #[test]
    fn exact_ledger_closes(bench in random_bench(), start_deg in 1.0..7.0_f64) {
        let Ok(measured) = measure(&bench.clock(), start_deg * DEG, None) else { return Ok(()) };
        let (ledger, drive) = (measured.ledger, &bench.drive);
        let input = drive.torque_n_m() * (ledger.forward_rad - ledger.backward_rad);
        let train = drive.friction_forward_n_m * ledger.forward_rad + drive.friction_backward_n_m * ledger.backward_rad;
        let lost = train + ledger.air_j + ledger.suspension_j + ledger.faces_j + ledger.impact_j;
        let residual = input - lost - measured.stored_gain_j;
        // What flows back and forth counts as input, and the energy stored is rounded itself.
        let turnover = drive.torque_n_m().abs() * (ledger.forward_rad + ledger.backward_rad) + lost.abs();
        let rounding = 4e-15 * bench.pendulum.potential_j(start_deg * DEG);
        prop_assert!(residual.abs() < 1e-9 * turnover + rounding, "{residual:e} of {turnover:e}: {measured:?}");
        prop_assert!(ledger.faces_j >= -rounding && ledger.air_j >= 0.0);
    }
}

// A run of thousands of periods does not drift in the count of teeth or in time.
#[test]
fn exact_long_run_keeps_its_count() {
    let bench = dead_beat_clock();
    let mut periods = 0;
    let ended = run_long(&bench.clock(), 4.0 * DEG, 1500.0, &mut Unobserved, |record| {
        periods += 1;
        assert!((record.time_s / f64::from(periods) - 1.44).abs() < 0.01);
    });
    assert!(ended.is_none() && periods > 1000);
}
