//! Fits: real measurements beside what is said of them, synthetic ones from which known losses come back, and data that give no answer.

use std::fs;
use std::path::{Path, PathBuf};

use beatwright::answers::prediction::predict_only;
use beatwright::answers::solve::Wanted;
use beatwright::clock::environment::InRoom;
use beatwright::clock::mechanism::PendulumModel;
use beatwright::dynamics::ideal::{Ideal, IdealMotion};
use beatwright::dynamics::observe::Unobserved;
use beatwright::numerics::intervals::NORMAL_95;
use beatwright::scenario::measured::{MeasuredTable, WantedTable, read_table};
use beatwright::study::fit::free_swing::{PeriodSource, PredictedSwing, fit_free_swing};
use beatwright::study::fit::loss_shapes::LossShapes;
use beatwright::study::fit::rate_log::{RATE_LOG, RateMover, fit_rate_log};
use beatwright::study::fit::readings::{AmplitudeReadings, RECOVERY, RING_DOWN};
use beatwright::study::fit::recovery::fit_recovery;
use beatwright::study::fit::ring_down::{LossKind, fit_ring_down};
use beatwright::study::fit::weights::{WEIGHTS, fit_weights};
use beatwright::study::fit::{Estimate, NoFit};
use beatwright::study::jobs::Unwatched;
use serde_json::Value;

use crate::support::plain;
use crate::support::program::run;

/// Files of tests/data/measured; each has its source in its head.
fn path_of(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/measured").join(name)
}

fn text_of(name: &str) -> String {
    fs::read_to_string(path_of(name)).unwrap()
}

fn table(text: &str, wanted: &WantedTable) -> MeasuredTable {
    read_table("measured.csv", text, wanted, false, &|_| Ok(())).unwrap_or_else(|error| panic!("{error}"))
}

fn close(found: f64, wanted: f64, relative: f64) {
    assert!((found / wanted - 1.0).abs() < relative, "{found} instead of {wanted}");
}

/// Noise that is the same in every run: SplitMix64 (Steele, Lea, Flood 2014, recalled), twelve uniform numbers less six.
struct Noise(u64);

impl Noise {
    fn uniform(&mut self) -> f64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        ((z ^ (z >> 31)) >> 11) as f64 / (1u64 << 53) as f64
    }

    fn normal(&mut self) -> f64 {
        (0..12).map(|_| self.uniform()).sum::<f64>() - 6.0
    }
}

// Carter's laboratory pendulum (source in the file): differences of the peaks, a row being four periods, give 0.2406 deg + 0.000186 A^2 and
// nothing linear (computed apart from this program, without weights). The fit is of the amplitudes, so that the terms differ by some percent,
// their sum at the middle hardly.
#[test]
fn published_ball_bearings_have_friction_and_square_drag_and_nothing_linear() {
    let found = fit_free_swing(&table(&text_of("ring-down-ball-bearings.csv"), &RING_DOWN), None, None).unwrap();
    assert_eq!(found.period, Some((0.99, PeriodSource::Remark(3))));
    let [constant, linear, quadratic] = found.losses.coefficients.unwrap();
    close(constant.value.to_degrees(), 0.2406, 0.04);
    close(quadratic.value.to_radians(), 0.000_186, 0.05);
    assert_eq!((found.losses.held, linear.value), ([false, true, false], 0.0));
    assert_eq!(found.losses.apart, [LossKind::Constant, LossKind::Quadratic]);
    let middle_deg = found.losses.middle_rad.to_degrees();
    close(found.losses.middle_loss_rad.value.to_degrees(), 0.2406 + 0.000_186 * middle_deg * middle_deg, 0.01);
}

// The eddy-current wheel: exponential, logarithmic decrement 0.0931 a period (computed from the file apart from this program).
#[test]
fn published_eddy_currents_damp_linearly() {
    let found = fit_free_swing(&table(&text_of("ring-down-eddy-current.csv"), &RING_DOWN), None, None).unwrap();
    let [_, linear, _] = found.losses.coefficients.unwrap();
    assert!((linear.value - 0.0931).abs() < 2.0 * linear.sigma && linear.sigma < 0.003, "{linear:?}");
    assert_eq!(found.losses.apart, [LossKind::Linear]);
    let middle = found.losses.middle_loss_rad.value / found.losses.middle_rad;
    close(middle, 0.0931, 0.01);
}

// The wooden ball on a thread: 0.334 m from axis to centre, so a period of 2 pi sqrt(L / g) = 1.159 s and a little more for the ball's own
// inertia, less what the thread's end takes; the zero off by about 0.5 deg (head of the file).
#[test]
fn published_wooden_ball_gives_its_period_and_its_zero() {
    let found = fit_free_swing(&table(&text_of("ring-down-wooden-ball.csv"), &RING_DOWN), None, None).unwrap();
    let Some((period_s, PeriodSource::Extremes)) = found.period else { panic!("{:?}", found.period) };
    close(period_s, std::f64::consts::TAU * (0.334_f64 / 9.81).sqrt(), 0.01);
    let zero = found.losses.zero_rad.unwrap();
    assert!((zero.value.to_degrees().abs() - 0.5).abs() < 3.0 * zero.sigma.to_degrees(), "{zero:?}");
}

// The tower clock of Trinity College (source in the files): free decay 1.55e-4 a second; its recovery from 600 to 5000 s alone fits losses
// with the powers 0, 1 and 2 of the amplitude alike, and implies free decays of 4.97e-4, 2.51e-4 and 1.69e-4 (computed apart from this
// program): together only the square agrees.
#[test]
fn published_tower_clock_needs_ring_down_and_recovery_together() {
    let free = fit_free_swing(&table(&text_of("tower-clock-free.csv"), &RING_DOWN), None, None).unwrap();
    assert!(free.losses.coefficients.is_none(), "a fall by 3 % tells nothing apart");
    let decay = free.losses.middle_loss_rad.times(1.0 / free.losses.middle_rad / 3.0);
    assert!((decay.value - 1.55e-4).abs() < 2.0 * decay.sigma && decay.sigma < 1.5e-5, "{decay:?}");
    let text = text_of("tower-clock-recovery.csv");
    let early: Vec<&str> = text
        .lines()
        .filter(|line| {
            line.split(',').next().and_then(|time| time.parse::<f64>().ok()).is_none_or(|time| time <= 5000.0)
        })
        .collect();
    let recovery = table(&early.join("\n"), &RECOVERY);
    let alone = fit_recovery(&recovery, None, None, None).unwrap();
    for (one, decay) in alone.by_power.iter().zip([4.97e-4, 2.51e-4, 1.69e-4]) {
        // One row more or less moves it by 3 %.
        close(one.free_decay, decay, 0.04);
        assert!(one.rms_rad < 1.5e-5 && one.agrees.is_none(), "{}", one.rms_rad);
    }
    let both = fit_recovery(&recovery, None, None, Some(&free)).unwrap();
    let agree: Vec<LossKind> =
        both.by_power.iter().filter(|one| one.agrees == Some(true)).map(|one| one.kind).collect();
    assert_eq!(agree, [LossKind::Quadratic]);
    let left = both.best_power().unwrap().sum_of_squares / (both.readings.at.len() + free.readings.at.len()) as f64;
    assert!((0.9..2.0).contains(&left), "{left}");
}

// Hong Kong Observatory, 1892 (source in the file): -0.092 s/day/K on temperature alone (computed apart from this program), and -0.135 in
// the observatory's own formula, which has a drift beside it; garbled rows are missing, so two standard deviations.
#[test]
fn published_observatory_clock_needs_its_drift() {
    let found = fit_rate_log(&table(&text_of("observatory-clock-1892.csv"), &RATE_LOG)).unwrap();
    close(found.per_kelvin_without_drift.unwrap().value, -0.092, 0.01);
    let of = |mover: RateMover| found.slopes.iter().find(|slope| slope.mover == mover).unwrap().slope;
    let slope = of(RateMover::Temperature);
    assert!((slope.value + 0.135).abs() < 2.0 * slope.sigma && slope.sigma < 0.02, "{slope:?}");
    assert!(of(RateMover::Drift).value > 0.0);
}

fn readings(at: Vec<f64>, angles_rad: Vec<f64>) -> AmplitudeReadings {
    let lines = (1..=at.len()).collect();
    AmplitudeReadings { at, in_periods: true, angles_rad, either_side: false, lines }
}

/// The 95 % interval covers the truth in 93 to 97 of 100 refits, for every loss: within four standard deviations of a thousand draws.
#[test]
fn exact_the_interval_of_a_fit_covers_what_it_should() {
    let (constant, linear, quadratic) = (2e-5_f64, 1.5e-3_f64, 0.02_f64);
    // da/dn = -(c + l a + q a^2), by steps of a hundredth of a period's loss.
    let mut amplitude = 0.1;
    let mut course = Vec::new();
    for row in 0..100 {
        course.push(amplitude);
        for _ in 0..300 {
            let slope = |a: f64| -(constant + linear * a + quadratic * a * a);
            let half = amplitude + 0.5 * 0.02 * slope(amplitude);
            amplitude += 0.02 * slope(half);
        }
        assert!(amplitude > 0.0, "{row}");
    }
    let at: Vec<f64> = (0..100).map(|row| 6.0 * f64::from(row)).collect();
    let shapes = LossShapes::powers(None);
    let mut noise = Noise(7);
    let mut covered = [0; 3];
    for _ in 0..1000 {
        let noisy = course.iter().map(|amplitude| amplitude + 1e-5 * noise.normal()).collect();
        let found = fit_ring_down(&readings(at.clone(), noisy), &shapes, None).unwrap();
        let fitted = found.coefficients.unwrap();
        for (number, truth) in [constant, linear, quadratic].into_iter().enumerate() {
            let Estimate { value, sigma } = fitted[number];
            covered[number] += usize::from((value - truth).abs() < NORMAL_95 * sigma);
        }
    }
    assert!(covered.iter().all(|count| (930..=970).contains(count)), "{covered:?}");
}

/// A pendulum of our own engine, with losses of every kind and noise on its amplitudes.
#[test]
fn crosscheck_losses_come_back_from_the_motion() {
    let damped = PendulumModel {
        inertia_kg_m2: 2.0,
        gravity_torque_n_m: 20.0,
        stiffness_n_m_per_rad: 1.0,
        air_linear_n_m_s: 4e-3,
        suspension_linear_n_m_s: 0.0,
        air_quadratic_n_m_s2: 0.05,
        friction_torque_n_m: 8e-4,
    };
    let mut motion = IdealMotion::start(&damped, Ideal::Free, 0.3).unwrap();
    let mut noise = Noise(11);
    let mut text = "time_s,angle_mrad\n".to_owned();
    for turning in 0..500 {
        let state = motion.run_to_turning(&mut Unobserved).unwrap();
        if turning % 5 == 0 {
            // The zero is 3 mrad off.
            text.push_str(&format!("{},{}\n", state.time_s, 1e3 * (state.theta_rad + 2e-5 * noise.normal()) + 3.0));
        }
    }
    let predicted = PredictedSwing { pendulum: damped, losses: [0.0; 3], causes: None };
    let found = fit_free_swing(&table(&text, &RING_DOWN), None, Some(predicted)).unwrap();
    let torques = found.torques.unwrap().losses;
    for (fitted, truth) in torques.coefficients.unwrap().into_iter().zip([8e-4, 4e-3, 0.05]) {
        assert!((fitted.value - truth).abs() < 4.0 * fitted.sigma, "{fitted:?} {truth}");
        assert!(fitted.sigma < 0.02 * truth, "{fitted:?}");
    }
    close(torques.zero_rad.unwrap().value, 3e-3, 0.01);
}

/// Readings that are plainly wrong count for nothing, and are named.
#[test]
fn exact_a_reading_that_stands_out_changes_nothing() {
    let amplitudes = |row: usize| 6.0 * (-0.01 * row as f64).exp();
    let mut noise = Noise(3);
    let mut text = "periods,amplitude_deg\n".to_owned();
    for row in 0..80 {
        let wrong = if row == 30 || row == 61 { 0.8 } else { 0.0 };
        text.push_str(&format!("{row},{}\n", amplitudes(row) + wrong + 1e-3 * noise.normal()));
    }
    let found = fit_free_swing(&table(&text, &RING_DOWN), None, None).unwrap().losses;
    let linear = found.coefficients.unwrap()[1];
    assert!((linear.value - 0.01).abs() < 3.0 * linear.sigma && linear.sigma < 1e-3, "{linear:?}");
    assert!([30, 61].iter().all(|row| found.standing_out.contains(row)), "{:?}", found.standing_out);
}

#[test]
fn data_that_give_no_answer_get_none() {
    let free = |text: &str| fit_free_swing(&table(text, &RING_DOWN), Some(2.0), None).unwrap_err();
    let rows = |of: &dyn Fn(usize) -> f64, count: usize| {
        let rows: Vec<String> = (0..count).map(|row| format!("{},{}", 20 * row, of(row))).collect();
        format!("time_s,amplitude_deg\n{}\n", rows.join("\n"))
    };
    assert!(matches!(free(&rows(&|row| 5.0 - 0.1 * row as f64, 5)), NoFit::TooFewRows { rows: 5, needed: 6, .. }));
    assert!(matches!(free(&rows(&|_| 4.0, 50)), NoFit::Flat { .. }));
    let mut noise = Noise(5);
    let noisy: Vec<f64> = (0..50).map(|_| 4.0 + 0.01 * noise.normal()).collect();
    assert!(matches!(free(&rows(&|row| noisy[row], 50)), NoFit::Flat { .. }));
    assert!(matches!(free(&rows(&|row| 4.0 + 0.1 * row as f64, 20)), NoFit::NotSuch(_)));
    let log = |text: &str| fit_rate_log(&table(text, &RATE_LOG)).unwrap_err();
    assert!(matches!(log("time_d,error_s\n0,0\n1,1\n2,2\n"), NoFit::TooFewRows { .. }));
    let alike: Vec<String> =
        (0..30).map(|day| format!("{day},{},{},{}", 0.1 * f64::from(day), 10 + day, 30 + 2 * day)).collect();
    let told = log(&format!("time_d,rate_s_per_day,temperature_degC,humidity_%\n{}\n", alike.join("\n")));
    assert!(matches!(told, NoFit::RunTogether { .. }), "{told}");
}

/// A clock whose frictions of pallets and train are 1.25 times those of its scenario.
#[test]
fn crosscheck_weights_give_the_friction_back() {
    let scenario = plain::loaded("heron.toml", &[]);
    let mut rough = scenario.design.clone();
    rough
        .frictions_mut()
        .into_iter()
        .filter(|at| !at.path.starts_with("pendulum."))
        .for_each(|at| *at.friction = at.friction.times(1.25));
    let mut text = "weight [kg];amplitude [deg]\n".to_owned();
    for weight_kg in [2.6, 3.2, 4.0, 5.0] {
        let mut other = rough.clone();
        let Some(beatwright::clock::design::DriveDesign::Weight(weight)) = &mut other.drive else { panic!() };
        weight.weight_kg = weight_kg;
        let steady = predict_only(&InRoom::at_home(&other), Wanted::NOTHING).unwrap().steady.unwrap();
        let deg = steady.measured.semi_arc_rad().to_degrees();
        text.push_str(&format!("{weight_kg};{deg:.3}\n").replace('.', ","));
    }
    text.push_str("0,05;0\n");
    let found = fit_weights(&table(&text, &WEIGHTS), &scenario.design, &Unwatched).unwrap().unwrap();
    close(found.factor.value, 1.25, 0.02);
    assert!((found.factor.value - 1.25).abs() < 4.0 * found.factor.sigma.max(1e-3), "{:?}", found.factor);
    assert_eq!(found.measured_least_kg, (Some(0.05), Some(2.6)));
    assert!(found.fitted_least_kg.unwrap().value > found.predicted_least_kg.unwrap());
    assert!(found.fitted.iter().any(|value| value.path == "escapement.dead_beat.friction"));
}

/// One fit after the other, each in the scenario that the one before has written, and what predicts with it.
#[test]
fn a_fitted_scenario_predicts_spreads_and_is_fitted_again() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::copy(plain::path("heron.toml"), at("mine.toml")).unwrap();
    let mut noise = Noise(9);
    let rows: Vec<String> = (0..200)
        .map(|row| {
            let time = 30.0 * f64::from(row);
            format!("{time};{:.5}", 6.0 * (-time / 3000.0).exp() + 2e-3 * noise.normal()).replace('.', ",")
        })
        .collect();
    let csv = format!("\u{feff}Time [s];Amplitude [deg]\r\n{}\r\nlater;5\r\n", rows.join("\r\n"));
    fs::write(at("free.csv"), csv).unwrap();
    let mine = at("mine.toml");
    let (code, said, told) = run(&["fit", &mine, "--ring-down", &at("free.csv"), "--out", &at("")]);
    assert!(code == 2 && said.is_empty() && told.contains("free.csv:202:1"), "{told}");
    let (code, said, _) =
        run(&["fit", &mine, "--ring-down", &at("free.csv"), "--skip-bad", "--json", "--out", &at("")]);
    assert_eq!(code, 0);
    let json: Value = serde_json::from_str(&said).unwrap();
    assert_eq!((&json["source"], &json["rows"], &json["rows_refused"]), (&"ring_down".into(), &200.into(), &1.into()));
    assert_eq!(json["ring_down"]["apart"], serde_json::json!(["linear"]));
    // A swing that falls by e in tau has the damping 2 I / tau.
    let linear = json["damping_linear_n_m_s"]["value"].as_f64().unwrap();
    let fitted = at("fitted.toml");
    let text = fs::read_to_string(&fitted).unwrap();
    assert!(text.contains("from = \"mine.toml\"") && text.contains("pendulum.measured_damping.linear = "), "{text}");
    let (code, said, told) = run(&["predict", &fitted, "--json"]);
    assert_eq!(code, 0, "{told}");
    let predicted: Value = serde_json::from_str(&said).unwrap();
    let inertia = 0.5 * linear * 3000.0;
    assert!(inertia > 1.5 && inertia < 2.5, "2 kg on a metre: {inertia}");
    // Q = omega tau / 2 for a linear loss.
    close(predicted["q_factor"].as_f64().unwrap(), std::f64::consts::PI / 2.0 * 3000.0, 0.02);
    let (code, said, told) = run(&["spread", &fitted, "--copies", "4", "--json"]);
    assert_eq!(code, 0, "{told}");
    assert!(said.contains("pendulum.measured_damping.linear"), "{said:.300}");
    // The next fit keeps what the first has settled.
    let mut weights = "weight_kg,amplitude_deg\n".to_owned();
    for (weight, off_deg) in [("2.6", 0.004), ("3.1", -0.005), ("3.6", 0.003)] {
        let (_, said, _) = run(&["predict", &fitted, "--json", "--set", &format!("drive.weight={weight} kg")]);
        let predicted: Value = serde_json::from_str(&said).unwrap();
        weights.push_str(&format!("{weight},{:.3}\n", predicted["semi_arc_deg"].as_f64().unwrap() + off_deg));
    }
    fs::write(at("weights.csv"), weights).unwrap();
    let (code, _, told) = run(&["fit", &fitted, "--weights", &at("weights.csv"), "--json", "--out", &at("")]);
    assert_eq!(code, 0, "{told}");
    let again = fs::read_to_string(&fitted).unwrap();
    assert!(again.contains("from = \"mine.toml\"") && again.contains("pendulum.measured_damping.linear = "), "{again}");
    assert!(again.contains("[[train.arbor]]") && again.contains("escapement.dead_beat.friction = "), "{again}");
    let (code, said, told) = run(&["compare", &mine, &fitted, "--json"]);
    assert!(code == 0 && said.contains("measured_damping"), "{told}");
    let svg = fs::read_to_string(at("fit.svg")).unwrap();
    assert!(roxmltree::Document::parse(&svg).is_ok());
    assert!(fs::read_to_string(at("fit.csv")).unwrap().starts_with("line,weight_kg,"));
}

#[test]
fn a_fit_says_what_is_wrong_with_what_was_typed() {
    let free = path_of("tower-clock-free.csv");
    let free = free.to_str().unwrap();
    for (arguments, told) in [
        (vec!["fit"], "--ring-down"),
        (vec!["fit", "--ring-down", "none.csv"], "cannot read the ring-down none.csv"),
        (vec!["fit", "--ring-down", free, "--period", "3 kg"], "not a time"),
        (vec!["fit", "--ring-down", free, "--set", "drive.weight=3 kg"], "give the scenario too"),
        (vec!["fit", "--weights", free], "<SCENARIO>"),
        (vec!["fit", "--rate-log", free], "there is no column `error` or `rate`"),
    ] {
        let (code, said, complaint) = run(&arguments);
        assert!(code == 2 && said.is_empty() && complaint.contains(told), "{arguments:?}: {complaint}");
    }
}

// The columns of a Cholesky factor L, one for each deviation drawn alone, give the correlations back: L L' = R.
#[test]
fn exact_losses_are_drawn_together_as_they_were_fitted() {
    use beatwright::clock::design::{Friction, LossCorrelations, MeasuredDamping};

    let of = |value: f64, spread: f64| Friction { value, spread, named: None };
    let correlations =
        LossCorrelations { friction_linear: -0.9862, friction_quadratic: 0.9543, linear_quadratic: -0.9896 };
    let mean = MeasuredDamping {
        friction_torque_n_m: of(1.9e-4, 2.8e-5),
        linear_n_m_s: of(2.1e-3, 4.9e-4),
        quadratic_n_m_s2: of(1.06e-2, 1.7e-3),
        correlations,
    };
    let losses = |of: &MeasuredDamping| [of.friction_torque_n_m, of.linear_n_m_s, of.quadratic_n_m_s2];
    let columns: Vec<Vec<f64>> = (0..3)
        .map(|one| {
            let mut alone = mean;
            let place = [&mut alone.friction_torque_n_m, &mut alone.linear_n_m_s, &mut alone.quadratic_n_m_s2];
            for (number, loss) in place.into_iter().enumerate() {
                loss.value += if number == one { loss.spread } else { 0.0 };
            }
            let together = mean.together(&alone);
            losses(&together)
                .iter()
                .zip(losses(&mean))
                .map(|(to, from)| (to.value - from.value) / from.spread)
                .collect()
        })
        .collect();
    let product = |row: usize, other: usize| columns.iter().map(|column| column[row] * column[other]).sum::<f64>();
    for (row, other, expected) in
        [(0, 1, -0.9862), (0, 2, 0.9543), (1, 2, -0.9896), (0, 0, 1.0), (1, 1, 1.0), (2, 2, 1.0)]
    {
        assert!((product(row, other) - expected).abs() < 1e-9, "{row} {other}: {}", product(row, other));
    }
    assert!(mean.correlations.determinant() > 0.0);
    assert_eq!(mean.together(&mean), mean);
}
