//! A clock driven by a stepping motor: counts in whole numbers, rate by oscillator, torque of unbalanced hands, draw, what is
//! lost with a step.

use std::f64::consts::PI;

use beatwright::answers::friction_reserve::FrictionReserve;
use beatwright::answers::motor::{MotorPrediction, predict_motor};
use beatwright::answers::verdict::Reason;
use beatwright::clock::design::{Motor, MotorClock, Oscillator, PullIn, TemperatureCurve};
use beatwright::clock::motor::load::pull_in_torque_n_m;
use beatwright::clock::motor::rate::{DAYS_PER_MONTH, rate_s_per_day, rate_spread, relative_offset};
use beatwright::clock::motor::ratio::pulse_ratio;
use beatwright::clock::printing::printer::Spread;
use beatwright::clock::train::hands::hand_inertia_kg_m2;
use beatwright::study::jobs::Unwatched;
use beatwright::study::spread::motor::{causes, motor_copies, motor_statistics};

use crate::support::plain;

fn predicted(overrides: &[&str]) -> MotorPrediction {
    predict_motor(&plain::plover(overrides).design).unwrap()
}

/// Plover without any friction.
fn frictionless() -> MotorClock {
    let mut clock = plain::plover(&["train.tooth_friction=0", "hands.friction=\"0 N m\""]).design;
    clock.train.arbors.iter_mut().for_each(|arbor| arbor.pivot.friction = 0.0.into());
    clock
}

#[test]
fn exact_plover_turns_once_an_hour() {
    let ratio = pulse_ratio(&plain::plover(&[]).design).unwrap();
    // 48 steps, 10 turns of the rotor for one of the output, 60/15 and 45/12; 3600 s at 32768/16384 Hz.
    assert_eq!(ratio.pulses_per_turn.to_string(), "7200");
    assert_eq!(ratio.pulses_per_hour.to_string(), "7200");
    assert!(ratio.is_exact());
    assert_eq!(ratio.drift_s_per_day(), 0.0);
}

#[test]
fn exact_drift_of_a_gear_that_is_not_quite_64_to_1() {
    // A gearbox sold as 64 to 1 that is 32 22 26 31 over 9 11 9 10 (from memory): 25792/405. Steps counted as 2048 a turn then gain.
    let clock = plain::plover(&[
        "motor.steps=32",
        "motor.gears=[[9, 32], [11, 22], [9, 26], [10, 31]]",
        "oscillator.frequency=\"2048 Hz\"",
        "oscillator.divider=3600",
        "motor.pulse=\"1 ms\"",
        "train.arbor.centre.wheel_teeth=30",
        "train.arbor.intermediate.pinion_teeth=30",
        "train.arbor.intermediate.wheel_teeth=12",
    ])
    .design;
    let ratio = pulse_ratio(&clock).unwrap();
    assert_eq!(ratio.pulses_per_turn.to_string(), "825344/405");
    assert_eq!(ratio.pulses_per_hour.to_string(), "2048");
    let drift = 86_400.0 * (2048.0 * 405.0 - 825_344.0) / 825_344.0;
    assert!((ratio.drift_s_per_day() / drift - 1.0).abs() < 1e-14, "{}", ratio.drift_s_per_day());
    assert!((ratio.drift_s_per_day() - 428.8).abs() < 0.05);
}

#[test]
fn exact_a_ratio_off_by_one_part_in_a_billion_is_told() {
    let clock = plain::plover(&["oscillator.frequency=\"1000.000001 Hz\"", "oscillator.divider=500"]).design;
    let ratio = pulse_ratio(&clock).unwrap();
    assert!(!ratio.is_exact());
    assert!((ratio.drift_s_per_day() / 86_400e-9 - 1.0).abs() < 1e-12, "{:e}", ratio.drift_s_per_day());
}

#[test]
fn crosscheck_nearest_exact_trains_by_trying_all() {
    let clock = plain::plover(&["train.arbor.centre.wheel_teeth=62", "train.arbor.motor.pinion_teeth=13"]).design;
    let found = predict_motor(&clock).unwrap().exact_trains;
    let own = [62i64, 15, 45, 13];
    let mut least = i64::MAX;
    let mut all = Vec::new();
    for a in 54..=70i64 {
        for b in 7..=23 {
            for c in 37..=53 {
                for d in 6..=21 {
                    if a * c == 15 * b * d {
                        let by = [a, b, c, d].iter().zip(own).map(|(count, own)| (count - own).abs()).sum::<i64>();
                        all.push((by, (a, b), (c, d)));
                        least = least.min(by);
                    }
                }
            }
        }
    }
    let nearest = all.iter().filter(|train| train.0 == least).count();
    assert!((1..=8).contains(&least), "the box is too small for {least}");
    assert_eq!(found.len(), nearest.min(3));
    for train in found {
        assert_eq!(i64::from(train.changed), least);
        let product: f64 = train.pairs.iter().map(|&(wheel, pinion)| f64::from(wheel) / f64::from(pinion)).product();
        assert!((product - 15.0).abs() < 1e-12);
    }
}

#[test]
fn exact_divider_is_offered_where_a_whole_one_serves() {
    let found = predicted(&["oscillator.divider=32768"]);
    assert_eq!(found.exact_divider, Some(16_384));
    assert!((found.ratio.drift_s_per_day() + 43_200.0).abs() < 1e-9, "half the pulses lose half the day");
    assert_eq!(predicted(&["oscillator.divider=20000"]).exact_divider, Some(16_384));
    assert_eq!(predicted(&["train.arbor.motor.pinion_teeth=13"]).exact_divider, None);
}

#[test]
fn exact_a_part_in_a_million_is_2_63_seconds_a_month() {
    let mut clock = plain::plover(&["oscillator.curvature=\"0 ppm/K^2\""]).design;
    clock.oscillator.tolerance = Spread::of(1e-6);
    let ratio = pulse_ratio(&clock).unwrap();
    let month_s = 365.25 / 12.0 * 86_400.0;
    assert_eq!(month_s, 2_629_800.0);
    let rate = rate_s_per_day(&clock.oscillator, &ratio, 21.0, 0.0);
    assert!((rate * DAYS_PER_MONTH - 2.6298).abs() < 1e-9, "{rate}");
}

fn parabola(per_k2: f64, turnover_c: f64) -> Oscillator {
    Oscillator {
        tolerance: Spread::of(0.0),
        ageing_per_year: Spread::of(0.0),
        temperature: TemperatureCurve::Parabola { turnover_c: Spread::of(turnover_c), per_k2: Spread::of(per_k2) },
        room_swing_k: 0.0,
        ..plain::plover(&[]).design.oscillator
    }
}

#[test]
fn published_tuning_fork_crystal_at_45_degrees() {
    // TF20 series tuning-fork crystal, data sheet 008-0353-0 rev. C, figure 1 and its example: -0.030 ppm/degC^2, turnover
    // 25 degC, at 45 degC -12.0 ppm. Status: seen.
    let oscillator = parabola(-0.030e-6, 25.0);
    assert!((relative_offset(&oscillator, 45.0, 3.0) + 12.0e-6).abs() < 1e-18);
    let ratio = pulse_ratio(&plain::plover(&[]).design).unwrap();
    let rate = rate_s_per_day(&oscillator, &ratio, 45.0, 0.0);
    assert!((rate + 12.0e-6 * 86_400.0).abs() < 1e-12, "{rate}");
    assert_eq!(rate_s_per_day(&oscillator, &ratio, 5.0, 0.0), rate, "as slow as far below as above");
    assert_eq!(rate_s_per_day(&oscillator, &ratio, 25.0, 0.0), 0.0);
}

#[test]
fn exact_ageing_and_inexact_counts_add_up() {
    let mut clock = plain::plover(&["oscillator.divider=16000", "oscillator.curvature=\"0 ppm/K^2\""]).design;
    clock.oscillator.ageing_per_year = Spread::of(3e-6);
    let ratio = pulse_ratio(&clock).unwrap();
    let expected = 86_400.0 * (16_384.0 / 16_000.0 * (1.0 + 6e-6) - 1.0);
    let rate = rate_s_per_day(&clock.oscillator, &ratio, 21.0, 2.0);
    assert!((rate / expected - 1.0).abs() < 1e-12, "{rate} {expected}");
}

#[test]
fn crosscheck_spread_by_temperature_by_quadrature() {
    // The moments of c d^2 by the trapezoidal rule over both normal densities, against the closed form.
    let mut oscillator = parabola(-0.034e-6, 25.0);
    oscillator.temperature = TemperatureCurve::Parabola {
        turnover_c: Spread { spread: 5.0, ..Spread::of(25.0) },
        per_k2: Spread { spread: 0.006e-6, ..Spread::of(-0.034e-6) },
    };
    oscillator.room_swing_k = 4.0;
    let deviation = (2.0f64.powi(2) + 2.5f64.powi(2)).sqrt();
    let (mut mean, mut square) = (0.0, 0.0);
    let steps = 400;
    let density = |z: f64| (-0.5 * z * z).exp() / (2.0 * PI).sqrt();
    let at = |number: i32| -8.0 + 16.0 * f64::from(number) / f64::from(steps);
    for i in 0..=steps {
        for j in 0..=steps {
            let weight = density(at(i)) * density(at(j)) * (16.0 / f64::from(steps)).powi(2);
            let offset = (-0.034e-6 + 0.003e-6 * at(i)) * (-5.0 + deviation * at(j)).powi(2);
            mean += weight * offset;
            square += weight * offset * offset;
        }
    }
    let found = rate_spread(&oscillator, &pulse_ratio(&plain::plover(&[]).design).unwrap(), 20.0);
    assert!((found.mean_s_per_day / (86_400.0 * mean) - 1.0).abs() < 1e-9, "{found:?}");
    let two_deviations = 2.0 * 86_400.0 * (square - mean * mean).sqrt();
    assert!((found.temperature_s_per_day / two_deviations - 1.0).abs() < 1e-9, "{found:?} {two_deviations}");
}

#[test]
fn exact_unbalanced_hands_ask_most_on_their_way_up() {
    let mut clock = frictionless();
    let gravity = 9.812_5;
    clock.place.gravity = beatwright::clock::design::Gravity::Stated(gravity);
    let found = predict_motor(&clock).unwrap().torques;
    let at = |time_s: f64| found.positions.iter().find(|position| position.time_s == time_s).unwrap().needed_n_m;
    // Minute hand 6 g at 38 mm, hour hand 5 g at 26 mm and a twelfth of the speed, 15 turns of the output for one of the first.
    let (minute, hour) = (0.006 * gravity * 0.038, 0.005 * gravity * 0.026 / 12.0);
    let expected = |hours: f64| {
        let (minute_rad, hour_rad) = (2.0 * PI * hours, 2.0 * PI * hours / 12.0);
        -(minute * minute_rad.sin() + hour * hour_rad.sin()) / 15.0
    };
    for hours in [0.0, 0.25, 3.75, 8.75, 11.5] {
        let needed = at(3600.0 * hours);
        assert!((needed - expected(hours)).abs() < 1e-15, "{hours} {needed:e} {:e}", expected(hours));
    }
    assert_eq!(found.worst.time_s, 8.75 * 3600.0, "both hands near the left");
    assert!((found.worst.needed_n_m - expected(8.75)).abs() < 1e-15);
    let [minute_rad, hour_rad] = found.worst.hands_rad();
    assert!((minute_rad.to_degrees() - 270.0).abs() < 1e-9 && (hour_rad.to_degrees() - 262.5).abs() < 1e-9);
}

#[test]
fn exact_the_hands_give_back_what_they_take_without_friction() {
    let mut clock = frictionless();
    let mean = |clock: &MotorClock| {
        let torques = predict_motor(clock).unwrap().torques;
        torques.positions.iter().map(|position| position.needed_n_m).sum::<f64>() / torques.positions.len() as f64
    };
    assert!(mean(&clock).abs() < 1e-18, "{:e}", mean(&clock));
    clock.hands.friction_n_m.value = 1.5e-3;
    assert!((mean(&clock) - 1e-4).abs() < 1e-16, "friction is paid all round: {:e}", mean(&clock));
}

#[test]
fn exact_balanced_hands_and_the_middle_between_hands_of_one_weight() {
    let mut clock = frictionless();
    clock.hands.minute.centre_of_mass_m = 0.0;
    clock.hands.hour.as_mut().unwrap().centre_of_mass_m = 0.0;
    let found = predict_motor(&clock).unwrap();
    assert_eq!(found.torques.worst.needed_n_m, 0.0);
    assert_eq!((found.torques.reserve(), found.torques.reserve_at_rest()), (None, None));
    assert_eq!(found.reason, None);
}

#[test]
fn exact_losses_of_one_bearing_and_one_mesh() {
    // Balanced hands, friction at the first arbor alone: bearing mu d/2 of all that hangs on it, then the meshes' losses.
    let mut clock = frictionless();
    let gravity = 10.0;
    clock.place.gravity = beatwright::clock::design::Gravity::Stated(gravity);
    clock.hands.minute.centre_of_mass_m = 0.0;
    clock.hands.hour.as_mut().unwrap().centre_of_mass_m = 0.0;
    clock.train.arbors[0].pivot.friction = 0.2.into();
    let bearing = 0.2 * 0.002 * gravity * (0.014 + 0.006 + 0.005);
    let found = predict_motor(&clock).unwrap();
    assert!((found.torques.worst.needed_n_m - bearing / 15.0).abs() < 1e-17, "{:e}", found.torques.worst.needed_n_m);
    clock.train.tooth_friction = 0.25.into();
    let passed: f64 = [(15, 60), (12, 45)]
        .map(|(pinion, wheel)| {
            beatwright::clock::train::mesh::involute_mesh(pinion, wheel, clock.train.pressure_angle_rad)
                .passed_share(0.25)
        })
        .iter()
        .product();
    let found = predict_motor(&clock).unwrap();
    assert!((found.torques.worst.needed_n_m - bearing / 15.0 / passed).abs() < 1e-16);
}

#[test]
fn exact_tooth_forces_load_the_bearings() {
    // The motor's pinion straight right of the intermediate arbor: the wheel's tooth force stands upright, its separating part
    // lies level. Radius 18 mm at 45 teeth of 0.8 mm; torque by the minute hand alone, at a quarter to.
    let mut clock = frictionless();
    clock.hands.hour.as_mut().unwrap().mass_kg = 0.0;
    clock.place.gravity = beatwright::clock::design::Gravity::Stated(10.0);
    clock.train.arbors[2].mass_kg = 0.0;
    let found = predict_motor(&clock).unwrap();
    let torque = 0.006 * 10.0 * 0.038 / 4.0;
    let (force, apart) = (torque / 0.018, torque / 0.018 * clock.train.pressure_angle_rad.tan());
    assert!((found.arbors[2].bearing_load_n / force.hypot(apart) - 1.0).abs() < 1e-12);
}

#[test]
fn exact_pull_in_between_the_rates_and_with_inertia() {
    let table = |rotor_inertia_kg_m2| Motor {
        pull_in: vec![
            PullIn { rate_hz: 10.0, torque_n_m: 4e-3 },
            PullIn { rate_hz: 30.0, torque_n_m: 2e-3 },
            PullIn { rate_hz: 50.0, torque_n_m: 1e-3 },
        ],
        rotor_inertia_kg_m2,
        ..plain::plover(&[]).design.motor
    };
    let plain = table(None);
    for (rate, torque) in [(1.0, 4e-3), (10.0, 4e-3), (20.0, 3e-3), (45.0, 1.25e-3), (50.0, 1e-3), (50.1, 0.0)] {
        assert!((pull_in_torque_n_m(&plain, rate, 1.0) - torque).abs() < 1e-15, "{rate}");
    }
    // Three times the rotor's own inertia halves the rate that it follows.
    assert!((pull_in_torque_n_m(&table(Some(1e-7)), 20.0, 3e-7) - 1.5e-3).abs() < 1e-15);
}

#[test]
fn exact_inertia_at_the_rotor() {
    let mut clock = plain::plover(&[]).design;
    clock.train.arbors.iter_mut().for_each(|arbor| arbor.inertia_kg_m2 = 0.0);
    clock.train.arbors[1].inertia_kg_m2 = 3e-7;
    let hands = hand_inertia_kg_m2(&clock.hands.minute) + hand_inertia_kg_m2(&clock.hands.hour.unwrap()) / 144.0;
    // The intermediate arbor turns 4 times, the rotor 150 times an hour.
    let expected = (hands + 3e-7 * 16.0) / 22_500.0;
    let found = predict_motor(&clock).unwrap().torques.inertia_at_rotor_kg_m2;
    assert!((found / expected - 1.0).abs() < 1e-12);
    assert!((hand_inertia_kg_m2(&clock.hands.minute) - 0.006 * 0.11 * 0.11 / 3.0).abs() < 1e-18);
}

#[test]
fn exact_draw_and_life_of_the_cells() {
    let draw = predicted(&[]).draw;
    // 3 V on 300 ohm for 15 ms twice a second, and 0.05 mA throughout.
    assert!((draw.powered_share - 0.03).abs() < 1e-15);
    assert!((draw.mean_current_a - 0.35e-3).abs() < 1e-15);
    assert!((draw.mean_power_w - 1.05e-3).abs() < 1e-15);
    assert!((draw.energy_per_step_j - 0.45e-3).abs() < 1e-15);
    assert!((draw.battery_life_s.unwrap() / 3600.0 - 2600.0 / 0.35).abs() < 1e-6);
}

#[test]
fn exact_a_lost_step_costs_its_share_of_the_hour() {
    let lost = predicted(&[]).lost;
    assert_eq!((lost.step_s, lost.slip_s), (0.5, 2.0));
}

#[test]
fn it_stops_where_the_motor_is_too_weak_or_lets_go() {
    assert_eq!(predicted(&[]).reason, None);
    assert_eq!(predicted(&["motor.pull_in_torque=\"0.25 mN m\""]).reason, Some(Reason::LosesSteps));
    assert_eq!(predicted(&["motor.pull_in_torque=\"0.28 mN m\""]).reason, None);
    assert_eq!(predicted(&["motor.detent_torque=\"0.05 mN m\""]).reason, Some(Reason::LosesSteps));
    // Powered all the time, the holding torque counts, and without it nothing is said.
    let powered = ["motor.pulse=\"0.5 s\"", "motor.detent_torque=\"0.05 mN m\""];
    assert_eq!(predicted(&powered).reason, None);
    assert_eq!(predicted(&powered).torques.held_n_m, None);
    let held = [&powered[..], &["motor.holding_torque=\"0.01 mN m\""]].concat();
    assert_eq!(predicted(&held).reason, Some(Reason::LosesSteps));
}

/// Built again by hand with its frictions a little below and above the factor, the clock goes and loses steps; without friction nothing
/// grows, and a clock that loses steps has no reserve.
#[test]
fn exact_frictions_grow_to_where_the_motor_loses_steps() {
    let found = predicted(&[]);
    let factor = found.friction_reserve.unwrap().factor().unwrap();
    assert!(factor > 1.0, "{factor}");
    let needed = |factor: f64| {
        let mut rougher = plain::plover(&[]).design;
        for at in rougher.frictions_mut() {
            *at.friction = at.friction.times(factor);
        }
        predict_motor(&rougher).unwrap()
    };
    let (below, above) = (needed(factor * (1.0 - 1e-7)), needed(factor * (1.0 + 1e-7)));
    assert_eq!((below.reason, above.reason), (None, Some(Reason::LosesSteps)));
    let (available, at) = (found.torques.available_n_m, below.torques.worst.needed_n_m);
    assert!((at / available - 1.0).abs() < 1e-6, "{at} {available}");
    assert_eq!(above.friction_reserve, None);
    let none = predict_motor(&frictionless()).unwrap().friction_reserve;
    assert_eq!(none, Some(FrictionReserve::NeverStops));
}

#[test]
fn crosscheck_copies_scatter_as_the_closed_form_says() {
    let clock = plain::plover(&[]).design;
    let causes = causes(&clock);
    assert_eq!(causes.len(), 6);
    let copies = motor_copies(&clock, 1400, 1, &Unwatched).unwrap();
    let found = motor_statistics(&causes, &copies, 1).unwrap();
    let spread = rate_spread(&clock.oscillator, &pulse_ratio(&clock).unwrap(), clock.place.temperature_c);
    // Nearly normal: 5 % and 95 % lie 1.645 standard deviations out. A quantile of 800 copies has an error of some 5 %.
    let rates = found.rate_s_per_day.unwrap();
    let width = rates[2] - rates[0];
    let expected = 2.0 * 1.645 * 0.5 * spread.total_s_per_day();
    assert!((width / expected - 1.0).abs() < 0.1, "{width} {expected}");
    let share = (spread.tolerance_s_per_day / spread.total_s_per_day()).powi(2);
    let first = found.explained.unwrap()[0].first_order;
    assert!(first.low < share && share < first.high, "{first:?} {share}");
    assert_eq!(found.going.value, 1.0);
    assert!(found.reserve[0] < found.reserve[1] && found.reserve[1] < found.reserve[2]);
    assert_eq!(copies, motor_copies(&clock, 1400, 1, &Unwatched).unwrap());
}
