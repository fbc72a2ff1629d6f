//! Torque of hands and motion work at the minute arbor, what it does on the way to the escape wheel, and pairs that share arbors.

use std::f64::consts::PI;

use beatwright::clock::build::build;
use beatwright::clock::design::{MotorClock, WeightDrive};
use beatwright::clock::environment::InRoom;
use beatwright::clock::motor::load::HandLoad;
use beatwright::clock::notes::Note;
use beatwright::clock::train::drive::{Flow, PreparedDrive};
use beatwright::clock::train::hands::{CarriedHands, HandsTorque, POSITIONS, Turning, position_time_s};
use beatwright::clock::train::mesh::involute_mesh;
use beatwright::clock::train::motion_work::not_coaxial;
use beatwright::clock::train::train_made::TrainMade;
use beatwright::scenario::{Scenario, read};

use crate::support::close::assert_close;
use crate::support::plain;

const GRAVITY: f64 = 9.80665;

/// The hands of Plover.
const HANDS: &str = r#"
[hands]
minute = { mass = "6 g", length = "110 mm", centre_of_mass = "38 mm" }
hour = { mass = "5 g", length = "75 mm", centre_of_mass = "26 mm" }
friction = "1 mN m +/- 0.4 mN m"
"#;

fn wren_with_hands(overrides: &[&str]) -> Scenario {
    read("wren.toml", &format!("{}{HANDS}", plain::WREN), overrides).unwrap_or_else(|error| panic!("{error}"))
}

fn plover() -> MotorClock {
    let mut clock = plain::plover(&[]).design;
    for arbor in &mut clock.train.arbors {
        arbor.pivot.friction = 0.0.into();
        arbor.pivot.drag_n_m = 0.0.into();
    }
    clock
}

#[test]
fn crosscheck_hands_ask_as_much_of_a_pendulums_train_as_of_a_motor() {
    let clock = plover();
    let carried = CarriedHands::new(&clock.hands, &clock.train, GRAVITY).unwrap();
    let load = HandLoad::new(&clock, GRAVITY).unwrap();
    for number in (0..POSITIONS).step_by(67) {
        let time_s = position_time_s(number);
        for turning in [Turning::Forward, Turning::Backward] {
            // Plover's minute hand sits on the first arbor: without bearing friction that carries the hands alone.
            let mut of_motor = f64::NAN;
            load.torque_n_m(time_s, turning, |index, arbor| {
                if index == 0 {
                    of_motor = arbor.torque_n_m;
                }
            });
            assert_close(carried.torque_n_m(time_s, turning), of_motor, 1e-18, "torque");
        }
    }
}

/// By hand: the minute hand straight left asks for `m g r`; the hour hand then stands at a quarter to nine.
#[test]
fn exact_torque_with_the_minute_hand_on_the_left() {
    let clock = plover();
    let carried = CarriedHands::new(&clock.hands, &clock.train, GRAVITY).unwrap();
    let passed: f64 = [(15, 45), (12, 48)]
        .iter()
        .map(|&(a, b)| involute_mesh(a, b, clock.train.pressure_angle_rad).passed_share(0.25))
        .product();
    let minute = 0.006 * GRAVITY * 0.038;
    let hour = 0.005 * GRAVITY * 0.026 * (PI * (8.75 / 6.0 - 1.0)).sin();
    let at = carried.at(8.75 * 3600.0);
    assert_close(at.forward_n_m, minute + hour / 12.0 / passed + 1e-3, 1e-15, "lifted");
    assert_close(at.backward_n_m, -minute - hour / 12.0 * passed + 1e-3, 1e-15, "falling back");
}

#[test]
fn exact_mean_torque_over_the_dial_is_friction_and_what_the_motion_work_loses() {
    let clock = plover();
    let carried = CarriedHands::new(&clock.hands, &clock.train, GRAVITY).unwrap();
    let mean = |turning| {
        let sum: f64 = (0..POSITIONS).map(|number| carried.torque_n_m(position_time_s(number), turning)).sum();
        sum / f64::from(POSITIONS)
    };
    // The kink where the hour hand passes top and bottom costs the sum a part in 1e7 of its small loss.
    assert_close(mean(Turning::Forward), carried.mean().forward_n_m, 1e-11, "forward");
    assert_close(mean(Turning::Backward), carried.mean().backward_n_m, 1e-11, "backward");
    assert!(carried.mean().forward_n_m > 1e-3);
}

/// Without any other friction the train passes the hands' torque on by the teeth alone, and both senses add up (derived).
#[test]
fn exact_torque_that_the_hands_leave_at_the_escape_wheel() {
    let mut in_room = wren_with_hands(&["train.tooth_friction=0"]).in_room();
    let train = in_room.train.as_mut().unwrap();
    for arbor in &mut train.arbors {
        arbor.pivot.friction = 0.0.into();
        arbor.pivot.drag_n_m = 0.0.into();
    }
    let minute_arbor = train.minute_arbor.unwrap();
    let ratio: f64 = train.arbors[minute_arbor..]
        .windows(2)
        .map(|pair| f64::from(pair[1].pinion_teeth.unwrap()) / f64::from(pair[0].wheel_teeth.unwrap()))
        .product();
    let train = in_room.train.clone().unwrap();
    let drive = WeightDrive { falls: 1, pulley: None, ..in_room.weight_drive().unwrap().clone() };
    let prepared = PreparedDrive::new(&drive, &train, &TrainMade::default(), GRAVITY).unwrap();
    let hands = HandsTorque { forward_n_m: 2e-3, backward_n_m: 0.5e-3 };
    let model = prepared.model_with_hands(0.9, hands);
    assert_close(model.hands_n_m, 2e-3 * ratio, 1e-15, "taken");
    assert_close(model.forward_n_m(), model.ideal_torque_n_m - 2e-3 * ratio, 1e-15, "forward");
    assert_close(model.backward_n_m(), model.ideal_torque_n_m + 0.5e-3 * ratio, 1e-15, "backward");
    let falling = prepared.model_with_hands(0.9, HandsTorque { forward_n_m: -1e-3, backward_n_m: 3e-3 });
    assert!(falling.forward_n_m() > falling.ideal_torque_n_m, "falling hands help");
    // Inertia: rods of their length, the hour hand a twelfth as fast.
    let without = PreparedDrive::new(
        &drive,
        &beatwright::clock::design::Train { hands: None, ..train },
        &TrainMade::default(),
        GRAVITY,
    )
    .unwrap();
    let rods = (0.006 * 0.11 * 0.11 + 0.005 * 0.075 * 0.075 / 144.0) / 3.0;
    let added = model.inertia_kg_m2 - without.model(0.9).inertia_kg_m2;
    assert_close(added, rods * ratio * ratio, 1e-18, "inertia");
    assert!(without.hands().is_none());
}

/// With friction in every place: what the weight gives is what hands, meshes, bearings and cord take and the wheel gets.
#[test]
fn exact_losses_with_hands_add_up() {
    let in_room = wren_with_hands(&[]).in_room();
    let built = build(&in_room).unwrap();
    let prepared = built.prepared_drive.unwrap();
    let hands = HandsTorque { forward_n_m: 1.7e-3, backward_n_m: 0.3e-3 };
    let model = prepared.model_with_hands(0.9, hands);
    let mut arrives = 0.0;
    prepared.run(0.9, hands, Flow::Forward, |_, arbor| arrives = arbor.torque_out_n_m);
    assert_close(model.forward_n_m(), arrives, 1e-17, "forward");
    // Less passes the meshes behind the hands, so these lose less than without them.
    let light = prepared.model_with_hands(0.9, HandsTorque::default());
    assert!(model.mesh_loss_n_m < light.mesh_loss_n_m);
}

#[test]
fn exact_pairs_of_a_motion_work_share_their_arbors() {
    let note = |overrides: &[&str]| {
        let scenario = plain::loaded("wren.toml", overrides);
        not_coaxial(InRoom::at_home(&scenario.design).train.as_ref().unwrap())
    };
    assert_eq!(note(&[]), None, "10/30 and 8/32");
    assert_eq!(note(&["train.hands.motion_work=[[15, 45], [12, 48]]"]), None);
    let wrong = "train.hands.motion_work=[[12, 36], [10, 40]]";
    let Some(Note::MotionWorkNotCoaxial { counts: Some(counts), modules_m: None, .. }) = note(&[wrong]) else {
        panic!("48 and 50 teeth at one module")
    };
    let [(a, b), (c, d)] = counts;
    assert_eq!((a + b, 12 * a * c), (c + d, b * d), "{counts:?}");
    // 1 mm * 48 = 0.96 mm * 50.
    assert_eq!(note(&[wrong, "train.hands.motion_work_module=[\"1 mm\", \"0.96 mm\"]"]), None);
    assert!(note(&[wrong, "train.hands.motion_work_module=\"1 mm\""]).is_some());
}
