//! Train, meshes, bearings and drive against published figures, closed forms and the laws they must keep.

use std::f64::consts::PI;

use beatwright::clock::design::{
    Arbor, ArborSizes, CordMade, LumpedDrive, Maintaining, Pivot, PivotKind, Pulley, Train, WeightDrive,
};
use beatwright::clock::train::bearing::{bearing_torque_n_m, capstan_ratio, pulley_tension_ratio};
use beatwright::clock::train::counts::{TrainError, drum_turns_per_hour, train_report};
use beatwright::clock::train::drive::{DriveError, Flow, PreparedDrive, lumped_drive};
use beatwright::clock::train::hands::HandsTorque;
use beatwright::clock::train::losses::{
    DriveReport, RunLimit, asked_breaking_strength_n, drive_report, run_time, weight_power_w, winding_drive,
};
use beatwright::clock::train::mesh::involute_mesh;
use beatwright::clock::train::train_made::TrainMade;
use beatwright::clock::train::train_notes::period_mismatch;
use beatwright::report::words::notes::{note_words, notes_in_words};
use proptest::prelude::*;

use crate::support::close::assert_close;

const STANDARD_GRAVITY: f64 = 9.80665;

/// Textbook formula (Shigley; Niemann; from memory); contact ratios, tip shares and interference computed apart.
#[test]
fn crosscheck_contact_ratio_table() {
    for (z1, z2, alpha_deg, eps, e1, e2, undercut) in [
        (17, 17, 20.0, 1.514_800, 0.757_400, 0.757_400, false),
        (18, 72, 20.0, 1.670_683, 0.764_883, 0.905_801, false),
        (20, 40, 20.0, 1.635_186, 0.778_419, 0.856_767, false),
        (20, 80, 20.0, 1.691_292, 0.778_419, 0.912_873, false),
        (30, 60, 20.0, 1.719_114, 0.826_757, 0.892_357, false),
        (12, 60, 25.0, 1.434_645, 0.657_553, 0.777_092, false),
        (12, 96, 20.0, 1.634_134, 0.710_171, 0.923_963, true),
        (10, 60, 20.0, 1.577_099, 0.684_741, 0.892_357, true),
        (8, 64, 20.0, 1.550_766, 0.653_473, 0.897_294, true),
    ] {
        let mesh = involute_mesh(z1, z2, f64::to_radians(alpha_deg));
        let name = format!("{z1}/{z2}");
        assert_close(mesh.contact_ratio, eps, 1.0e-6, &name);
        assert_close(mesh.pinion_tip_share, e1, 1.0e-6, &name);
        assert_close(mesh.wheel_tip_share, e2, 1.0e-6, &name);
        assert_eq!(mesh.undercut, undercut, "{name}");
    }
}

/// Shigley's least pinion against a wheel, 20 deg (from memory; computed apart).
#[test]
fn crosscheck_least_pinion_teeth() {
    let alpha = f64::to_radians(20.0);
    for (ratio, least) in [(1, 12.3231), (2, 14.1608), (4, 15.4436), (5, 15.7405), (8, 16.2156), (10, 16.3825)] {
        let enough = (1..40).find(|&teeth| f64::from(teeth) >= least).unwrap();
        assert!(!involute_mesh(enough, enough * ratio, alpha).undercut, "{enough} at 1:{ratio}");
        assert!(involute_mesh(enough - 1, (enough - 1) * ratio, alpha).undercut, "{} at 1:{ratio}", enough - 1);
    }
}

/// Niemann; ISO TR 14179-2 (from memory), values computed apart and by integrating the sliding.
#[test]
fn crosscheck_loss_factor_table() {
    for (z1, z2, alpha_deg, loss, eta) in [
        (17, 17, 20.0, 0.233_775, 0.976_62),
        (18, 72, 20.0, 0.160_317, 0.983_97),
        (20, 40, 20.0, 0.166_065, 0.983_39),
        (20, 80, 20.0, 0.146_866, 0.985_31),
        (30, 60, 20.0, 0.119_493, 0.988_05),
        (12, 60, 25.0, 0.188_999, 0.981_10),
    ] {
        let mesh = involute_mesh(z1, z2, f64::to_radians(alpha_deg));
        assert_close(mesh.loss_factor, loss, 6.0e-7, &format!("{z1}/{z2}"));
        assert_close(mesh.passed_share(0.1), eta, 6.0e-6, &format!("{z1}/{z2}"));
        let turned = involute_mesh(z2, z1, f64::to_radians(alpha_deg));
        assert_close(turned.loss_factor, mesh.loss_factor, 1.0e-15, "the driver does not matter");
    }
}

/// The loss by another route: friction times sliding speed, summed along the path of contact with the load shared
/// equally by the pairs in contact.
#[test]
fn crosscheck_loss_factor_by_integration() {
    const STEPS: u32 = 200_000;
    let alpha = f64::to_radians(20.0);
    let mesh = involute_mesh(18, 72, alpha);
    let base_pitch = PI * alpha.cos();
    let (recess, approach) = (mesh.pinion_tip_share * base_pitch, mesh.wheel_tip_share * base_pitch);
    // Sliding per travel along the line of action: distance from the pitch point times (1/r_b1 + 1/r_b2), module 1.
    let sliding_per_distance = (2.0 / 18.0 + 2.0 / 72.0) / alpha.cos();
    let mean_distance: f64 = (0..STEPS)
        .map(|i| {
            let first = -approach + base_pitch * (f64::from(i) + 0.5) / f64::from(STEPS);
            let second = first + base_pitch;
            if second <= recess { 0.5 * (first.abs() + second.abs()) } else { first.abs() }
        })
        .sum::<f64>()
        / f64::from(STEPS);
    assert_close(mesh.loss_factor, mean_distance * sliding_per_distance, 2.0e-6, "H_v");
}

/// Closed forms computed apart; 6.586 for mu = 0.3 and a full turn is printed elsewhere as "6.6" (seen).
#[test]
fn exact_capstan_pulley_and_journal() {
    for (mu, degrees, expected) in [
        (0.1, 90.0, 1.170_088_8),
        (0.1, 180.0, 1.369_107_8),
        (0.1, 360.0, 1.874_456_1),
        (0.2, 360.0, 3.513_585_6),
        (0.3, 90.0, 1.601_977_7),
        (0.3, 360.0, 6.586_062_0),
    ] {
        assert_close(capstan_ratio(mu, f64::to_radians(degrees)), expected, 6.0e-8, "capstan");
    }
    assert_close(pulley_tension_ratio(0.15, 0.1, 1.0, 0.0).unwrap(), 1.030_456_853, 1.0e-9, "pulley");
    assert_eq!(pulley_tension_ratio(0.5, 2.0, 1.0, 0.0), None);
    assert_close(bearing_torque_n_m(0.15, 50.0, 3.0e-3), 11.25e-3, 1.0e-15, "journal");
}

/// SKF, "Rolling bearings", "Estimating the frictional moment", table 1: deep groove 0.0015 (seen); worked by
/// arithmetic: 50 N on an 8 mm bore, 0.3 N mm.
#[test]
fn published_ball_bearing_torque() {
    assert_close(bearing_torque_n_m(0.0015, 50.0, 8.0e-3), 0.3e-3, 1.0e-15, "ball bearing");
}

fn plain(friction: f64, diameter_m: f64) -> Pivot {
    Pivot::new(PivotKind::Plain, diameter_m, friction)
}

fn arbor(name: &str, pinion_teeth: Option<u32>, wheel_teeth: Option<u32>) -> Arbor {
    Arbor {
        name: name.to_owned(),
        pinion_teeth,
        wheel_teeth,
        module_m: wheel_teeth.map(|_| 1.0e-3),
        pivot: plain(0.15, 3.0e-3),
        mass_kg: 0.03,
        inertia_kg_m2: 2.0e-5,
        next_direction_rad: 1.1,
        wheel: None,
        pinion: None,
        backlash_m: None,
        sizes: ArborSizes::default(),
    }
}

fn reported(drive: &WeightDrive, train: &Train) -> DriveReport {
    drive_report(&PreparedDrive::new(drive, train, &TrainMade::default(), STANDARD_GRAVITY).unwrap(), drive, train)
}

/// Drum 96 -> 12 minute 90 -> 12 third 96 -> 12 escape: 60 turns of the escape wheel an hour.
fn seconds_train() -> Train {
    Train {
        beat_s: None,
        arbors: vec![
            arbor("drum", None, Some(96)),
            arbor("minute", Some(12), Some(90)),
            arbor("third", Some(12), Some(96)),
            arbor("escape", Some(12), None),
        ],
        minute_arbor: Some(1),
        motion_work: vec![(12, 36), (10, 40)],
        motion_work_modules_m: Vec::new(),
        hands: None,
        arbor_material: None,
        pressure_angle_rad: f64::to_radians(20.0),
        tooth_friction: 0.2.into(),
        bottom_clearance_modules: None,
    }
}

fn weight_drive() -> WeightDrive {
    WeightDrive {
        cord_breaking_strength_n: None,
        weight_kg: 3.0,
        drum_diameter_m: 0.048,
        drum_length_m: None,
        cord: CordMade::default(),
        cord_diameter_m: 0.002,
        falls: 2,
        drop_m: 1.2,
        drum_turns: Some(16.0),
        pulley: Some(Pulley { diameter_m: 0.038, pivot: plain(0.15, 4.0e-3) }),
        maintaining: Maintaining::None,
        drum: None,
    }
}

/// Train 96/12 * 90/12 = 60 (arithmetic), escape wheel of 30: seconds beat.
#[test]
fn exact_seconds_train() {
    let report = train_report(&seconds_train(), &TrainMade::default(), Some(30)).unwrap();
    assert_eq!(report.train_period_s, Some(2.0));
    assert_eq!(report.drum_to_escape, 480.0);
    assert_eq!(report.hour_hand_ratio, Some(12));
    let turns: Vec<f64> = report.arbors.iter().map(|arbor| arbor.turns_per_hour.unwrap()).collect();
    assert_eq!(turns, [0.125, 1.0, 7.5, 60.0]);
    assert_eq!(drum_turns_per_hour(2.0, 30, 480.0), 0.125);
    assert_eq!(notes_in_words(&report.notes).iter().filter(|warning| warning.contains("undercut")).count(), 3);
}

#[test]
fn exact_train_without_minute_hand_or_escape_wheel() {
    let train = Train { minute_arbor: None, motion_work: Vec::new(), ..seconds_train() };
    let report = train_report(&train, &TrainMade::default(), Some(30)).unwrap();
    assert_eq!((report.train_period_s, report.hour_hand_ratio), (None, None));
    assert!(report.arbors.iter().all(|arbor| arbor.turns_per_hour.is_none()));
    assert_eq!(train_report(&seconds_train(), &TrainMade::default(), None).unwrap().train_period_s, None);
}

#[test]
fn exact_hands_are_checked() {
    let hour = |motion_work: Vec<(u32, u32)>| {
        train_report(&Train { motion_work, ..seconds_train() }, &TrainMade::default(), Some(30))
    };
    assert_eq!(hour(vec![(12, 36), (10, 41)]), Err(TrainError::HourHand { driver: 10, driven: 123 }));
    assert_eq!(hour(vec![(0, 36)]), Err(TrainError::MotionWorkTeeth));
    assert_eq!(hour(vec![(u32::MAX, u32::MAX); 6]), Err(TrainError::MotionWorkTeeth));
    assert!(
        notes_in_words(&hour(vec![(8, 96)]).unwrap().notes)
            .iter()
            .any(|warning| warning.contains("hour hand backwards"))
    );
    let minute =
        |minute_arbor| train_report(&Train { minute_arbor, ..seconds_train() }, &TrainMade::default(), Some(30));
    assert_eq!(minute(Some(9)), Err(TrainError::NoSuchMinuteArbor { index: 9, arbors: 4 }));
    assert_eq!(minute(Some(3)), Err(TrainError::MinuteHandOnLastArbor { arbor: "escape".to_owned() }));
    assert_eq!(minute(None), Err(TrainError::MotionWorkWithoutMinuteArbor));
    assert!(notes_in_words(&minute(Some(2)).unwrap().notes).iter().any(|warning| warning.contains("turn backwards")));
    assert_eq!(train_report(&seconds_train(), &TrainMade::default(), Some(0)), Err(TrainError::NoEscapeTeeth));
}

#[test]
fn exact_trains_that_are_none() {
    let changed = |change: fn(&mut Train)| {
        let mut train = seconds_train();
        change(&mut train);
        train_report(&train, &TrainMade::default(), Some(30)).unwrap_err()
    };
    assert_eq!(changed(|train| train.arbors.truncate(1)), TrainError::TooFewArbors { arbors: 1 });
    assert_eq!(changed(|train| train.arbors.clear()), TrainError::TooFewArbors { arbors: 0 });
    let missing = |arbor: &str, gear| TrainError::MissingGear { arbor: arbor.to_owned(), gear };
    assert_eq!(changed(|train| train.arbors[1].wheel_teeth = None), missing("minute", "wheel"));
    assert_eq!(changed(|train| train.arbors[2].pinion_teeth = Some(0)), missing("third", "pinion"));
    assert_eq!(
        changed(|train| train.arbors[0].pinion_teeth = Some(8)),
        TrainError::SurplusGear { arbor: "drum".to_owned(), gear: "pinion" }
    );
    assert!(matches!(changed(|train| train.pressure_angle_rad = f64::NAN), TrainError::PressureAngle { .. }));
}

#[test]
fn exact_period_mismatch_speaks_above_three_per_cent() {
    assert_eq!(period_mismatch(2.0, 2.05), None);
    assert!(note_words(&period_mismatch(2.0, 2.07).unwrap()).contains("lose"));
    assert!(note_words(&period_mismatch(2.0, 1.9).unwrap()).contains("gain"));
}

/// Without friction anywhere only the ratio is left.
#[test]
fn exact_ideal_drive() {
    let mut train = Train { tooth_friction: 0.0.into(), ..seconds_train() };
    for arbor in &mut train.arbors {
        arbor.pivot.friction = 0.0.into();
    }
    let pulley = Some(Pulley { diameter_m: 0.038, pivot: plain(0.0, 4.0e-3) });
    let drive = WeightDrive { pulley, ..weight_drive() };
    let model = PreparedDrive::new(&drive, &train, &TrainMade::default(), STANDARD_GRAVITY).unwrap().model(3.0);
    let ideal = 3.0 * STANDARD_GRAVITY / 2.0 * 0.025 / 480.0;
    assert_close(model.ideal_torque_n_m, ideal, 1.0e-17, "ideal");
    assert_close(model.forward_n_m(), ideal, 1.0e-16, "forward");
    assert_close(model.backward_n_m(), ideal, 1.0e-16, "backward");
    let reflected: f64 = [1.0_f64, 8.0, 60.0, 480.0].iter().map(|ratio| 2.0e-5 / (ratio * ratio)).sum();
    let weight = 3.0 * (0.025_f64 / (2.0 * 480.0)).powi(2);
    assert_close(model.inertia_kg_m2, reflected + weight, 1.0e-18, "inertia");
}

/// Free bearings: going, the torque is the product of the meshes' shares; backwards, one over it.
#[test]
fn exact_mesh_chain() {
    let mut train = seconds_train();
    for arbor in &mut train.arbors {
        arbor.pivot.friction = 0.0.into();
    }
    let drive = WeightDrive { falls: 1, pulley: None, ..weight_drive() };
    let model = PreparedDrive::new(&drive, &train, &TrainMade::default(), STANDARD_GRAVITY).unwrap().model(2.0);
    let alpha = train.pressure_angle_rad;
    let share: f64 = [96, 90, 96].iter().map(|&wheel| involute_mesh(12, wheel, alpha).passed_share(0.2)).product();
    assert_close(model.forward_n_m() / model.ideal_torque_n_m, share, 1.0e-14, "forward");
    assert_close(model.backward_n_m() / model.ideal_torque_n_m, 1.0 / share, 1.0e-14, "backward");
    assert_eq!(model.cord_loss_n_m, 0.0);
}

/// One pulley: the drum's part of the cord carries W/(1 + q) going and W q/(1 + q) raised (derived, moments about the
/// journal); three falls over two pulleys W/(1 + q + q^2).
#[test]
fn exact_cord_over_pulleys() {
    let q = pulley_tension_ratio(0.15, 2.0e-3, 0.020, 0.0).unwrap();
    let weight = 3.0 * STANDARD_GRAVITY;
    let tension = |falls, flow| {
        let drive = WeightDrive { falls, ..weight_drive() };
        PreparedDrive::new(&drive, &seconds_train(), &TrainMade::default(), STANDARD_GRAVITY)
            .unwrap()
            .drum_tension_n(3.0, flow)
    };
    assert_close(tension(1, Flow::Forward), weight, 1.0e-12, "straight");
    assert_close(tension(2, Flow::Forward), weight / (1.0 + q), 1.0e-12, "going");
    assert_close(tension(2, Flow::Backward), weight * q / (1.0 + q), 1.0e-12, "raising");
    assert_close(tension(3, Flow::Forward), weight / (1.0 + q + q * q), 1.0e-12, "three falls");
}

/// Bearing loads by hand, next arbor straight above: the drum's wheel is pushed back sideways and down, the escape
/// pinion sideways and up.
#[test]
fn exact_bearing_loads_of_one_mesh() {
    let mut train =
        Train { arbors: vec![arbor("drum", None, Some(100)), arbor("escape", Some(20), None)], ..seconds_train() };
    train.arbors[0].next_direction_rad = PI / 2.0;
    let drive = WeightDrive { falls: 1, pulley: None, ..weight_drive() };
    let report = reported(&drive, &train);
    let (tension, own) = (3.0 * STANDARD_GRAVITY, 0.03 * STANDARD_GRAVITY);
    let apart = train.pressure_angle_rad.tan();
    let on_wheel = tension * 0.025 / 0.050;
    let drum = on_wheel.hypot(tension + own + on_wheel * apart);
    assert_close(report.arbors[0].bearing_load_n, drum, 1.0e-12, "drum");
    assert_close(report.arbors[0].bearing_loss_n_m, 0.15 * drum * 1.5e-3, 1.0e-15, "its friction");
    let arrives = report.arbors[0].torque_n_m * 0.2 - report.arbors[0].mesh_loss_n_m.unwrap();
    let on_pinion = arrives / 0.010;
    assert_close(report.arbors[1].bearing_load_n, on_pinion.hypot(on_pinion * apart - own), 1.0e-12, "escape");
}

/// An arbor between two in line: a wheel driven from the left and driving to the right is pushed the same way at both
/// meshes, across the line; the separating forces pull opposite ways.
#[test]
fn exact_bearing_load_between_two_meshes() {
    let mut train = Train {
        arbors: vec![
            arbor("drum", None, Some(100)),
            arbor("middle", Some(20), Some(100)),
            arbor("escape", Some(20), None),
        ],
        ..seconds_train()
    };
    train.arbors[0].next_direction_rad = 0.0;
    train.arbors[1].next_direction_rad = 0.0;
    train.arbors[1].mass_kg = 0.0;
    let drive = WeightDrive { falls: 1, pulley: None, ..weight_drive() };
    let prepared = PreparedDrive::new(&drive, &train, &TrainMade::default(), STANDARD_GRAVITY).unwrap();
    let mut middle = None;
    prepared.run(3.0, HandsTorque::default(), Flow::Forward, |index, flow| {
        if index == 1 {
            middle = Some(flow);
        }
    });
    let middle = middle.unwrap();
    let (on_pinion, on_wheel) = (middle.torque_in_n_m / 0.010, middle.torque_in_n_m / 0.050);
    let apart = train.pressure_angle_rad.tan();
    // The drum turns clockwise, its wheel pushes the pinion down; the middle wheel pushes the next up and is itself
    // pushed down.
    let load = (on_pinion + on_wheel).hypot((on_pinion - on_wheel) * apart);
    assert_close(middle.bearing_load_n, load, 1.0e-12, "middle");
}

#[test]
fn exact_report_adds_up() {
    let report = reported(&weight_drive(), &seconds_train());
    let bearings: f64 = report.arbors.iter().map(|arbor| arbor.bearing_loss_share).sum();
    let meshes: f64 = report.arbors.iter().filter_map(|arbor| arbor.mesh_loss_share).sum();
    assert_close(report.passed_share + report.cord_loss_share + bearings + meshes, 1.0, 1.0e-14, "shares");
    assert_close(report.arbors[3].torque_n_m, report.model.forward_n_m(), 1.0e-16, "last arbor");
    assert!(report.passed_share > 0.3 && report.passed_share < 0.95, "{}", report.passed_share);
    assert_close(report.cord.wall_pull_n, 3.0 * STANDARD_GRAVITY, 1.0e-12, "wall");
    assert!(report.cord.working_tension_n > report.cord.going_tension_n);
}

/// 5 kg on one fall, design factor 12 and a knot at half strength: 1176.8 N (Cordage Institute CI 1401, seen in copies;
/// arithmetic).
#[test]
fn published_cord_strength() {
    assert_close(asked_breaking_strength_n(5.0 * STANDARD_GRAVITY), 1176.8, 0.05, "breaking strength");
}

/// 3 kg, 1.2 m, 8 days: 0.0510763 mW (arithmetic).
#[test]
fn exact_run_time_and_power() {
    let drive = weight_drive();
    let run = run_time(&drive, 0.125);
    assert_close(run.turns_by_drop, 2.4 / (PI * 0.05), 1.0e-12, "turns by drop");
    assert_eq!(run.limit, RunLimit::Drop);
    assert_close(run.run_time_s, run.turns * 8.0 * 3600.0, 1.0e-6, "time");
    let short = run_time(&WeightDrive { drum_turns: Some(10.0), ..drive.clone() }, 0.125);
    assert_eq!((short.limit, short.run_time_s), (RunLimit::DrumTurns, 288_000.0));
    let eight_days = run.turns / (8.0 * 24.0);
    assert_close(weight_power_w(&drive, STANDARD_GRAVITY, eight_days), 5.107_63e-5, 5.0e-11, "power");
}

#[test]
fn exact_winding() {
    assert!(winding_drive(&Maintaining::None).note.is_some());
    assert!(winding_drive(&Maintaining::EndlessCord).note.is_none());
    assert!(winding_drive(&Maintaining::Spring { share: 0.7, lasts_s: 300.0 }).note.is_none());
    assert!(winding_drive(&Maintaining::Spring { share: 0.7, lasts_s: 5.0 }).note.is_some());
}

#[test]
fn exact_lumped_drive() {
    let lumped = LumpedDrive { escape_torque_n_m: 1.0e-3, friction_torque_n_m: 1.0e-4.into(), inertia_kg_m2: 2.0e-6 };
    let model = lumped_drive(&lumped);
    assert_eq!(model.torque_n_m(), 1.0e-3);
    assert_eq!(model.forward_n_m(), 1.0e-3 - 1.0e-4);
    assert_eq!(model.backward_n_m(), 1.0e-3 + 1.0e-4);
}

#[test]
fn exact_drives_that_are_none() {
    let train = seconds_train();
    let refuse = |drive: WeightDrive, train: &Train| {
        PreparedDrive::new(&drive, train, &TrainMade::default(), STANDARD_GRAVITY).unwrap_err()
    };
    assert_eq!(refuse(WeightDrive { pulley: None, ..weight_drive() }, &train), DriveError::NoPulley { falls: 2 });
    assert_eq!(
        refuse(WeightDrive { falls: 0, ..weight_drive() }, &train),
        DriveError::NotPositive { quantity: "number of falls" }
    );
    let stuck = Some(Pulley { diameter_m: 0.004, pivot: plain(0.9, 0.01) });
    assert_eq!(refuse(WeightDrive { pulley: stuck, ..weight_drive() }, &train), DriveError::PulleyHolds);
    let mut no_module = train.clone();
    no_module.arbors[1].module_m = None;
    assert_eq!(
        refuse(weight_drive(), &no_module),
        DriveError::Train(TrainError::MissingModule { arbor: "minute".to_owned() })
    );
    let rough = Train { tooth_friction: 10.0.into(), ..train };
    assert!(matches!(refuse(weight_drive(), &rough), DriveError::Train(TrainError::MeshHolds { .. })));
}

/// Too little weight: the bearings hold, the net torque is below 0, nothing else breaks.
#[test]
fn exact_weight_too_small_to_turn() {
    let prepared =
        PreparedDrive::new(&weight_drive(), &seconds_train(), &TrainMade::default(), STANDARD_GRAVITY).unwrap();
    assert!(prepared.model(1.0e-3).forward_n_m() < 0.0);
    let none = prepared.model(0.0);
    assert_eq!(none.ideal_torque_n_m, 0.0);
    assert!(none.forward_n_m() < 0.0 && none.backward_n_m() > 0.0);
    let weightless = WeightDrive { weight_kg: 0.0, ..weight_drive() };
    assert!(reported(&weightless, &seconds_train()).passed_share.is_finite());
}

proptest! {
    #[test]
    fn exact_forward_below_ideal_below_backward(
        weight in 0.2..20.0_f64,
        tooth_friction in 0.01..0.4_f64,
        bearing_friction in 0.001..0.3_f64,
        directions in proptest::array::uniform4(0.0..std::f64::consts::TAU),
        falls in 1_u32..4,
    ) {
        let mut train = Train { tooth_friction: tooth_friction.into(), ..seconds_train() };
        for (arbor, direction) in train.arbors.iter_mut().zip(directions) {
            arbor.pivot.friction = bearing_friction.into();
            arbor.next_direction_rad = direction;
        }
        let prepared = PreparedDrive::new(&WeightDrive { falls, ..weight_drive() }, &train, &TrainMade::default(), STANDARD_GRAVITY).unwrap();
        let model = prepared.model(weight);
        prop_assert!(model.forward_n_m() < model.torque_n_m());
        prop_assert!(model.torque_n_m() < model.ideal_torque_n_m);
        prop_assert!(model.ideal_torque_n_m < model.backward_n_m());
        prop_assert!(model.cord_loss_n_m >= 0.0 && model.mesh_loss_n_m >= 0.0);
        // What the flow carries to the last arbor is what the losses leave over.
        let mut arrives = f64::NAN;
        prepared.run(weight, HandsTorque::default(), Flow::Forward, |_, arbor| arrives = arbor.torque_out_n_m);
        if arrives > 0.0 {
            prop_assert!((arrives - model.forward_n_m()).abs() <= 1.0e-12 * model.ideal_torque_n_m);
        }
        // More weight, more torque, either way.
        let heavier = prepared.model(1.1 * weight);
        prop_assert!(heavier.forward_n_m() > model.forward_n_m());
        prop_assert!(heavier.backward_n_m() > model.backward_n_m());
    }
}
