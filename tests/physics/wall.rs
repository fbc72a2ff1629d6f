//! Pendulum, hanging weight and what carries both: against a general eigen-solver, closed forms, two pendulums on one beam, and a clock that
//! its own weight stopped.

use beatwright::answers::prediction::{Prediction, predict};
use beatwright::clock::build::build;
use beatwright::clock::environment::InRoom;
use beatwright::clock::support::mode::{
    CarriedPendulum, Springy, SwingingWeight, eigenvalues_per_s2, passing_length_m, pendulum_mode,
};
use beatwright::scenario::Scenario;
use nalgebra::{Complex, Matrix3, SymmetricEigen};
use proptest::prelude::*;
use proptest::test_runner::RngSeed;

use crate::support::plain::loaded;

const GRAVITY: f64 = 9.80665;

/// A point of mass at the end of a rod without any.
fn simple(mass_kg: f64, length_m: f64) -> CarriedPendulum {
    CarriedPendulum {
        mass_kg,
        static_moment_kg_m: mass_kg * length_m,
        inertia_kg_m2: mass_kg * length_m * length_m,
        restoring_n_m_per_rad: mass_kg * GRAVITY * length_m,
    }
}

fn matrices(
    pendulum: &CarriedPendulum,
    weight: &SwingingWeight,
    springy: &Springy,
) -> (Matrix3<f64>, [Complex<f64>; 3]) {
    let (m, l) = (weight.mass_kg, weight.length_m);
    let masses = Matrix3::new(
        springy.moving_mass_kg + pendulum.mass_kg + m,
        pendulum.static_moment_kg_m,
        m * l,
        pendulum.static_moment_kg_m,
        pendulum.inertia_kg_m2,
        0.0,
        m * l,
        0.0,
        m * l * l,
    );
    let lossy = |stiffness: f64, loss: f64| Complex::new(stiffness, stiffness * loss);
    let stiffness = [
        lossy(springy.stiffness_n_per_m, springy.loss_factor),
        lossy(pendulum.restoring_n_m_per_rad, 0.0),
        lossy(m * weight.gravity_m_s2 * l, 1.0 / weight.q),
    ];
    (masses, stiffness)
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 500, failure_persistence: None, rng_seed: RngSeed::Fixed(11), ..ProptestConfig::default() })]

    /// Without loss: the real symmetric generalised problem, by Cholesky and Jacobi's rotations.
    #[test]
    fn crosscheck_frequencies_without_loss(
        (mass, depth, gyration) in (0.05f64..20.0, 0.1f64..2.0, 0.0f64..0.5),
        (kg, length) in (0.1f64..30.0, 0.05f64..3.0),
        (log_stiffness, moving) in (2.0f64..9.0, 0.1f64..50.0),
    ) {
        let inertia = mass * (depth * depth + gyration * gyration);
        let pendulum = CarriedPendulum { inertia_kg_m2: inertia, ..simple(mass, depth) };
        let weight = SwingingWeight { mass_kg: kg, length_m: length, q: f64::INFINITY, gravity_m_s2: GRAVITY };
        let springy =
            Springy { stiffness_n_per_m: 10f64.powf(log_stiffness), loss_factor: 0.0, moving_mass_kg: moving };
        let mut ours: Vec<f64> =
            eigenvalues_per_s2(&pendulum, Some(&weight), &springy).unwrap().iter().map(|value| value.re).collect();
        let (masses, stiffness) = matrices(&pendulum, &weight, &springy);
        let inverse = masses.cholesky().unwrap().l().try_inverse().unwrap();
        let whole = inverse * Matrix3::from_diagonal(&stiffness.map(|value| value.re).into()) * inverse.transpose();
        let mut theirs: Vec<f64> = SymmetricEigen::new(whole).eigenvalues.iter().copied().collect();
        ours.sort_by(f64::total_cmp);
        theirs.sort_by(f64::total_cmp);
        let largest = theirs[2];
        for (own, other) in ours.iter().zip(&theirs) {
            // The other solver is exact to rounding of its largest value.
            prop_assert!((own - other).abs() <= 1e-12 * largest + 1e-11 * other, "{own} {other}");
        }
    }

    /// With loss: each eigenvalue makes the determinant vanish, and the sums of all are those of the matrix.
    #[test]
    fn crosscheck_eigenvalues_with_loss(
        (mass, depth) in (0.05f64..20.0, 0.1f64..2.0),
        (kg, length, q) in (0.1f64..30.0, 0.05f64..3.0, 5.0f64..1000.0),
        (log_stiffness, moving, loss) in (2.0f64..7.0, 0.1f64..50.0, 0.0f64..0.3),
    ) {
        let pendulum = simple(mass, depth);
        let weight = SwingingWeight { mass_kg: kg, length_m: length, q, gravity_m_s2: GRAVITY };
        let springy =
            Springy { stiffness_n_per_m: 10f64.powf(log_stiffness), loss_factor: loss, moving_mass_kg: moving };
        let values = eigenvalues_per_s2(&pendulum, Some(&weight), &springy).unwrap();
        prop_assert_eq!(values.len(), 3);
        let (masses, stiffness) = matrices(&pendulum, &weight, &springy);
        // In units in which every entry of the diagonal is 1, the determinant of rounded numbers is some 1e-15.
        for value in &values {
            let scaled = Matrix3::from_fn(|row, column| {
                let diagonal = if row == column { stiffness[row] } else { Complex::new(0.0, 0.0) };
                (diagonal - value * masses[(row, column)]) / (stiffness[row] * stiffness[column]).sqrt()
            });
            let sizes: f64 = (0..3).map(|row| scaled.row(row).norm().max(1.0)).product();
            prop_assert!(scaled.determinant().norm() <= 1e-11 * sizes, "{value}");
        }
        let sum: Complex<f64> = values.iter().map(|value| value.inv()).sum();
        let trace: Complex<f64> = (0..3).map(|row| Complex::from(masses[(row, row)]) / stiffness[row]).sum();
        prop_assert!((sum - trace).norm() <= 1e-12 * trace.norm());
    }
}

/// A stiff support shifts the pendulum by `-omega^2 S^2 / (2 I k)` and adds `eta omega^2 S^2 / (I k)` of `1/Q`: first order, derived.
#[test]
fn exact_stiff_support_without_weight() {
    let pendulum = CarriedPendulum { inertia_kg_m2: 2.1, ..simple(2.0, 0.98) };
    let springy = Springy { stiffness_n_per_m: 1e7, loss_factor: 0.03, moving_mass_kg: 8.0 };
    let mode = pendulum_mode(&pendulum, None, &springy).unwrap();
    let omega_squared = pendulum.restoring_n_m_per_rad / pendulum.inertia_kg_m2;
    let give =
        omega_squared * pendulum.static_moment_kg_m.powi(2) / (pendulum.inertia_kg_m2 * springy.stiffness_n_per_m);
    // Of the next order: the give itself, what moves with it, the square of the loss.
    let next = 1e-3 + 20.0 * give;
    assert!((mode.relative_shift(&pendulum) / (-0.5 * give) - 1.0).abs() < next, "{mode:?}");
    assert!((mode.added_q / (0.03 * give) - 1.0).abs() < next, "{mode:?}");
}

/// A cycle of the mode loses what the linear damping takes: with the mode at `theta = 1`, `Im(k) |x|^2 + Im(m g l) |phi|^2`, its parts had by
/// a solver of linear equations.
#[test]
fn exact_damping_takes_the_losses_of_the_mode() {
    for length_m in [0.4, 0.97, 1.0, 1.02, 1.6] {
        let pendulum = simple(2.0, 1.0);
        let weight = SwingingWeight { mass_kg: 4.0, length_m, q: 150.0, gravity_m_s2: GRAVITY };
        let springy = Springy { stiffness_n_per_m: 3e4, loss_factor: 0.06, moving_mass_kg: 12.0 };
        let mode = pendulum_mode(&pendulum, Some(&weight), &springy).unwrap();
        let value = Complex::new(mode.omega_squared_per_s2, mode.added_q * mode.omega_squared_per_s2);
        let (masses, stiffness) = matrices(&pendulum, &weight, &springy);
        let entry = |row: usize, column: usize| {
            let diagonal = if row == column { stiffness[row] } else { Complex::new(0.0, 0.0) };
            diagonal - value * masses[(row, column)]
        };
        let small = nalgebra::Matrix2::new(entry(0, 0), entry(0, 2), entry(2, 0), entry(2, 2));
        let parts = small.lu().solve(&nalgebra::Vector2::new(-entry(0, 1), -entry(2, 1))).unwrap();
        let lost = stiffness[0].im * parts[0].norm_sqr() + stiffness[2].im * parts[1].norm_sqr();
        let taken = mode.damping_linear_n_m_s() * mode.omega_squared_per_s2.sqrt();
        assert!((taken / lost - 1.0).abs() < 1e-9, "{length_m}: {taken} {lost}");
    }
}

/// Two equal pendulums on one free beam: in opposition they leave it at rest, `omega^2 = g/l`; together `omega^2 = (g/l)/(1 - 2 mu)`,
/// `mu = m/(M + 2 m)`. The model of M. Bennett, M. F. Schatz, H. Rockwood and K. Wiesenfeld, "Huygens's clocks", Proc. R. Soc. A 458 (2002)
/// 563, and its `mu`, recalled; both frequencies derived from it.
#[test]
fn published_two_equal_pendulums_on_one_beam() {
    let (mass_kg, length_m, beam_kg) = (0.082, 0.14, 1.8);
    let pendulum = simple(mass_kg, length_m);
    let weight = SwingingWeight { mass_kg, length_m, q: f64::INFINITY, gravity_m_s2: GRAVITY };
    let springy = Springy { stiffness_n_per_m: 1e-7, loss_factor: 0.0, moving_mass_kg: beam_kg };
    let mut values: Vec<f64> =
        eigenvalues_per_s2(&pendulum, Some(&weight), &springy).unwrap().iter().map(|value| value.re).collect();
    values.sort_by(f64::total_cmp);
    let mu = mass_kg / (beam_kg + 2.0 * mass_kg);
    let opposed = GRAVITY / length_m;
    assert!((values[1] / opposed - 1.0).abs() < 1e-7, "{values:?}");
    assert!((values[2] * (1.0 - 2.0 * mu) / opposed - 1.0).abs() < 1e-7, "{values:?}");
}

fn predicted(overrides: &[&str]) -> (Scenario, Prediction) {
    let scenario = loaded("heron.toml", overrides);
    let prediction = predict(&scenario.in_room()).unwrap();
    (scenario, prediction)
}

/// A support that gives way to nothing leaves the clock as it is without one, but for rounding.
#[test]
fn exact_rigid_support_is_none() {
    let mechanism = |overrides: &[&str]| {
        let design = loaded("heron.toml", overrides).design;
        build(&InRoom::at_home(&design)).unwrap().mechanism
    };
    let (own, rigid) = (mechanism(&[]).pendulum, mechanism(&["support.stiffness=\"1e15 N/m\""]).pendulum);
    let alike = |one: f64, other: f64, size: f64| assert!((one - other).abs() <= 1e-13 * size, "{one} {other}");
    alike(own.inertia_kg_m2, rigid.inertia_kg_m2, own.inertia_kg_m2);
    alike(own.stiffness_n_m_per_rad, rigid.stiffness_n_m_per_rad, own.gravity_torque_n_m);
    // What 1e15 N/m still takes is below 1e-13 of `1/Q`: `I omega` of it.
    let critical = (own.inertia_kg_m2 * own.small_swing_stiffness_n_m_per_rad()).sqrt();
    alike(own.suspension_linear_n_m_s, rigid.suspension_linear_n_m_s, critical);
    assert_eq!(own.gravity_torque_n_m, rigid.gravity_torque_n_m);
    let pendulum = simple(2.0, 1.0);
    let none = Springy { stiffness_n_per_m: f64::INFINITY, loss_factor: 0.1, moving_mass_kg: 5.0 };
    let weight = SwingingWeight { mass_kg: 4.0, length_m: 1.0, q: 200.0, gravity_m_s2: GRAVITY };
    let mode = pendulum_mode(&pendulum, Some(&weight), &none).unwrap();
    assert!(mode.relative_shift(&pendulum).abs() < 1e-15 && mode.added_q.abs() < 1e-15, "{mode:?}");
    assert_eq!(mode.inertia_kg_m2, pendulum.inertia_kg_m2);
}

/// A. W. Crook, "A tale of a clock", Eur. J. Phys. 22 (2001) 549 (abstract seen): a long-case clock on a resilient floor tends to stop when its weight
/// has come down to about the level of the bob, and goes on with the weight's suspension lengthened.
#[test]
fn published_weight_level_with_the_bob_stops_the_clock_and_a_longer_suspension_cures_it() {
    let soft = ["support.stiffness=\"12 kN/m\"", "support.loss_factor=0.08", "support.moving_mass=\"20 kg\""];
    let of = |hangs: &str| {
        let hangs = format!("support.weight_hangs=\"{hangs}\"");
        let (_, prediction) = predicted(&[soft[0], soft[1], soft[2], &hangs]);
        assert!(prediction.reason().is_none(), "{:?}", prediction.verdict);
        let answer = prediction.support.unwrap();
        (answer.passing_length_m.unwrap(), answer.on_support.unwrap())
    };
    let (passing_m, short) = of("200 mm");
    let worst = short.worst.unwrap();
    assert!((worst.place.hangs_m / passing_m - 1.0).abs() < 0.02, "{worst:?} {passing_m}");
    assert!(worst.stops.is_some(), "{worst:?}");
    assert!(worst.place.added_q > 5.0 * short.at_start.added_q);
    assert!(short.passes_bob_after_days.unwrap() > 1.0);
    let (_, long) = of("1.2 m");
    let cured = long.worst.unwrap();
    assert!(cured.stops.is_none() && cured.place.added_q < 0.2 * worst.place.added_q, "{cured:?}");
    assert_eq!(long.passes_bob_after_days, None);
}

/// The worst place is found between the places looked at: the closed form of a resonance has its top where the weight swings in the
/// pendulum's time, whatever the grid.
#[test]
fn exact_worst_place_is_no_point_of_a_grid() {
    let (_, prediction) = predicted(&["support.kind=\"brick wall\""]);
    let passing_m = prediction.support.as_ref().unwrap().passing_length_m.unwrap();
    let found = prediction.support.unwrap().on_support.unwrap();
    let worst = found.worst.unwrap();
    // Off by the coupling and by the square of the weight's 1/Q at most.
    assert!((worst.place.hangs_m / passing_m - 1.0).abs() < 1e-4, "{worst:?} {passing_m}");
    assert!(found.run.iter().all(|place| place.added_q <= worst.place.added_q));
    assert!(found.run.iter().all(|place| place.added_q.is_finite() && place.rate_shift_s_per_day.is_finite()));
    let pendulum = prediction.built.carried.pendulum;
    assert!((passing_length_m(&pendulum, prediction.built.gravity_m_s2) - passing_m).abs() < 1e-15);
}

/// At the stiffness named the support matters just no longer: the shift or the loss is at its limit.
#[test]
fn exact_stiffness_from_which_it_no_longer_matters() {
    let (_, own) = predicted(&["support.stiffness=\"2e4 N/m\""]);
    let needed = own.support.unwrap().stiffness_needed_n_per_m.unwrap();
    let at = |stiffness: f64| {
        let set = format!("support.stiffness=\"{stiffness} N/m\"");
        let answer = predicted(&[&set]).1.support.unwrap();
        let found = answer.on_support.unwrap();
        let shift = found.run.iter().map(|place| place.rate_shift_s_per_day.abs()).fold(0.0, f64::max);
        (shift / 0.1).max(found.worst.unwrap().place.added_q / (0.01 * answer.own_q.unwrap()))
    };
    assert!((at(needed) - 1.0).abs() < 2e-3, "{}", at(needed));
    assert!(at(0.9 * needed) > 1.05 && at(1.1 * needed) < 0.95);
}
