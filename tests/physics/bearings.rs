//! Ball bearings whose friction no load changes: makers' torques, the train that has to break away, the pulley, the pendulum.

use beatwright::answers::prediction::{Prediction, predict};
use beatwright::answers::verdict::Reason;
use beatwright::clock::build::{Built, build};
use beatwright::clock::design::{DriveDesign, Pivot, PivotKind};
use beatwright::clock::materials::{BEARINGS, bearing_named, oiled_drag_n_m};
use beatwright::clock::notes::Note;
use beatwright::clock::train::bearing::{pivot_breakaway_n_m, pivot_torque_n_m};
use beatwright::clock::train::drive::Flow;
use beatwright::scenario::load;

use super::support::plain::{complaint, loaded, path, plover};

const G: f64 = 9.806_65;

fn heron(overrides: &[&str]) -> Built {
    build(&loaded("heron.toml", overrides).in_room()).unwrap()
}

/// An oiled bearing under the thrust at which makers measure, by itself. Sizes by their inch names: 1-4, 2 (1/8 in), 3 (3/16 in), 4 and 188
/// (1/4 in); torques in g cm at the largest and the least play.
/// Source: Dynaroll, "Bearing torque", resource.dynaroll.com/torque.asp, table of mean torques with oil; the same at
/// ddb-tech.com/torque.htm (both seen).
#[test]
fn published_running_torques_of_oiled_bearings() {
    let bearing = bearing_named("ball bearing, oiled").unwrap();
    for (bore_m, thrust_g, least, largest) in [
        (1.984e-3, 75.0, 0.14, 0.18),
        (3.175e-3, 75.0, 0.15, 0.2),
        (4.762e-3, 400.0, 0.5, 0.65),
        (6.35e-3, 400.0, 0.55, 0.7),
        (6.35e-3, 400.0, 0.49, 0.63),
    ] {
        let pivot = Pivot {
            friction: bearing.friction(),
            drag_n_m: bearing.drag_n_m(bore_m, 1),
            breakaway: bearing.breakaway.value,
            ..Pivot::new(PivotKind::Ball, bore_m, 0.0)
        };
        let load_n = 1e-3 * thrust_g * G;
        let gram_cm = 1e-5 * G;
        let torque = pivot_torque_n_m(&pivot, load_n) / gram_cm;
        assert!((least..=largest).contains(&torque), "{bore_m}: {torque} g cm, not {least} to {largest}");
        // Machinery's Handbook, 31st ed. (2020), p. 2478 (abstract seen): starting 1.5 to 1.8 times running.
        let start = pivot_breakaway_n_m(&pivot, load_n) / pivot_torque_n_m(&pivot, load_n);
        assert!((1.5..=1.8).contains(&start), "{start}");
    }
}

#[test]
fn exact_drag_is_steady_in_the_bore_and_as_many_as_there_are() {
    for (from_m, to_m) in [(3.175e-3, 4.76e-3), (4.76e-3, 6.35e-3), (1e-3, 3e-3)] {
        for edge in [from_m, to_m] {
            let (below, above) = (oiled_drag_n_m(edge * (1.0 - 1e-9)), oiled_drag_n_m(edge * (1.0 + 1e-9)));
            assert!((above / below - 1.0).abs() < 1e-7, "{edge}: {below:e} {above:e}");
        }
        assert!(oiled_drag_n_m(from_m) <= oiled_drag_n_m(to_m));
    }
    assert!((oiled_drag_n_m(12.7e-3) / oiled_drag_n_m(6.35e-3) - 8.0).abs() < 1e-12, "the cube beyond the tables");
    for bearing in &BEARINGS {
        let (one, three) = (bearing.drag_n_m(4e-3, 1), bearing.drag_n_m(4e-3, 3));
        assert!((three.value / one.value - 3.0).abs() < 1e-12 && (three.spread / one.spread - 3.0).abs() < 1e-12);
        assert!(one.spread < one.value, "{}: no draw of two deviations is below nothing", bearing.name);
    }
}

#[test]
fn exact_a_name_gives_friction_drag_and_start() {
    let set = "train.arbor.third.pivot.friction=\"ball bearing, greased\"";
    let third = |overrides: &[&str]| loaded("heron.toml", overrides).design.train.unwrap().arbors[2].pivot;
    let bearing = bearing_named("ball bearing, greased").unwrap();
    let named = third(&[set]);
    assert_eq!((named.friction, named.drag_n_m), (bearing.friction(), bearing.drag_n_m(4e-3, 2)));
    assert_eq!(named.breakaway, bearing.breakaway.value);
    assert_eq!(third(&[set, "train.arbor.third.pivot.bearings=1"]).drag_n_m, bearing.drag_n_m(4e-3, 1));
    let own =
        third(&[set, "train.arbor.third.pivot.drag=\"9 uN m +/- 4 uN m\"", "train.arbor.third.pivot.breakaway=2"]);
    assert!((own.drag_n_m.value - 9e-6).abs() < 1e-18 && own.drag_n_m.named.is_none());
    assert_eq!((own.friction, own.breakaway), (bearing.friction(), 2.0));
    // What the scenario called a ball bearing before has no drag and starts as it runs.
    let plain = third(&["train.arbor.third.pivot.friction=\"ball bearing\""]);
    assert_eq!((plain.friction.value, plain.drag_n_m.value, plain.breakaway), (0.0015, 0.0, 1.0));
    for (written, told) in [
        (
            "train.arbor.third.pivot={kind=\"plain\",diameter=\"2 mm\",friction=\"ball bearing, oiled\"}",
            "a plain hole is no",
        ),
        ("train.arbor.third.pivot.bearings=2", "`train.arbor.third.pivot.bearings` has no meaning here"),
        ("train.tooth_friction=\"ball bearing, oiled\"", "is not a known pair of materials"),
        ("train.arbor.third.pivot.friction=\"ball bearing, oild\"", "ball bearing, oiled"),
        ("train.arbor.third.pivot.breakaway=0.9", "from 1 to 100"),
    ] {
        let complaint = complaint(load(&path("heron.toml"), &[written]));
        assert!(complaint.contains(told), "{written}: {complaint}");
    }
}

/// Without other friction the drags of the arbors add up at the escape arbor, each less by its gearing, whatever the weight; at a start
/// each counts as often as it breaks away.
#[test]
fn exact_drags_add_up_at_the_escape_arbor() {
    let drags = [80e-6, 30e-6, 9e-6, 4e-6];
    let names = ["great", "centre", "third", "escape"];
    let mut settings = vec!["train.tooth_friction=0".to_owned(), "drive.pulley.pivot.friction=0".to_owned()];
    for (name, drag) in names.iter().zip(drags) {
        settings.push(format!("train.arbor.{name}.pivot.friction=0"));
        settings.push(format!("train.arbor.{name}.pivot.drag=\"{} uN m\"", 1e6 * drag));
        settings.push(format!("train.arbor.{name}.pivot.breakaway=1.7"));
    }
    let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
    let built = heron(&settings);
    let model = built.mechanism.drive.unwrap();
    let gearing = [78.0 / 12.0 * 96.0 / 12.0 * 90.0 / 12.0, 96.0 / 12.0 * 90.0 / 12.0, 90.0 / 12.0, 1.0];
    let sum: f64 = drags.iter().zip(gearing).map(|(drag, gearing)| drag / gearing).sum();
    assert!((model.friction_forward_n_m / sum - 1.0).abs() < 1e-12, "{:e} {sum:e}", model.friction_forward_n_m);
    assert!((model.friction_starting_n_m / (1.7 * sum) - 1.0).abs() < 1e-12, "{:e}", model.friction_starting_n_m);
    assert!((model.friction_backward_n_m / sum - 1.0).abs() < 1e-9, "{:e}", model.friction_backward_n_m);
    assert!(!model.sticks());
    let heavier = built.prepared_drive.unwrap().model(10.0);
    assert!((heavier.friction_forward_n_m / sum - 1.0).abs() < 1e-12, "no load changes it");
}

/// A pulley with a drag: moments about its own axis give the tensions of the two falls, going and while the weight is raised.
#[test]
fn exact_a_pulley_with_a_drag() {
    let setting = "drive.pulley.pivot.drag=\"3 mN m\"";
    let scenario = loaded("heron.toml", &[setting, "drive.pulley.pivot.friction=0.1"]);
    let Some(DriveDesign::Weight(weight)) = &scenario.design.drive else { panic!("no weight") };
    let built = build(&scenario.in_room()).unwrap();
    let prepared = built.prepared_drive.unwrap();
    let pull_n = weight.weight_kg * built.gravity_m_s2;
    // T2 R = T1 R + M0 + mu r (T1 + T2), T1 + T2 = W: the weight rests on both falls.
    let (lever, held) = (0.5 * 41.5e-3, 3e-3 + 0.1 * 2.5e-3 * pull_n);
    let less = 0.5 * (pull_n - held / lever);
    let going = prepared.drum_tension_n(weight.weight_kg, Flow::Forward);
    assert!((going / less - 1.0).abs() < 1e-12, "{going} {less}");
    let raising = prepared.drum_tension_n(weight.weight_kg, Flow::Backward);
    assert!((raising / (pull_n - less) - 1.0).abs() < 1e-12, "{raising}");
    assert_eq!(prepared.drum_tension_n(0.01, Flow::Forward), 0.0, "a weight that the drag holds pulls nothing");
}

/// Drag at pendulum and pallets is a constant friction torque on top of what goes with the load.
#[test]
fn exact_drag_holds_the_pendulum() {
    let without = heron(&[]);
    let with = heron(&["pendulum.suspension.drag=\"70 uN m +/- 20 uN m\""]);
    let more = with.mechanism.pendulum.friction_torque_n_m - without.mechanism.pendulum.friction_torque_n_m;
    assert!((more - 70e-6).abs() < 1e-15, "{more:e}");
    let wren = |drag: &str| {
        let set = format!("pendulum.pallets.pivot.drag=\"{drag}\"");
        build(&loaded("wren.toml", &[set.as_str()]).in_room()).unwrap().mechanism.pendulum.friction_torque_n_m
    };
    assert!((wren("5 uN m") - wren("0 uN m") - 5e-6).abs() < 1e-15);
}

fn predicted(overrides: &[String]) -> Prediction {
    let scenario = load(&path("heron.toml"), overrides).unwrap();
    predict(&scenario.in_room()).unwrap()
}

/// A train that runs when it runs, but whose bearings do not break away, stops with a reason of its own; the least weight is the one at
/// which they do, and either side of it goes as it should.
#[test]
fn exact_a_train_that_sticks_stops() {
    let torque = heron(&[]).mechanism.drive.unwrap().forward_n_m();
    let set = |share: f64, breakaway: f64| {
        let drag = format!("train.arbor.escape.pivot.drag=\"{} uN m\"", 1e6 * share * torque);
        vec![drag, format!("train.arbor.escape.pivot.breakaway={breakaway}")]
    };
    // A tenth of the torque: the clock goes. The same, eleven times as much at a start: it sticks.
    assert_eq!(predicted(&set(0.1, 1.0)).reason(), None);
    let stuck = predicted(&set(0.1, 11.0));
    assert_eq!(stuck.reason(), Some(Reason::TrainSticks));
    assert!(stuck.built.notes().iter().any(|note| matches!(note, Note::TrainSticks { .. })));
    let least = stuck.least.unwrap().bare.value();
    let breaks_away = |weight_kg: f64| !stuck.built.prepared_drive.as_ref().unwrap().model(weight_kg).sticks();
    assert!(breaks_away(least * 1.002) && !breaks_away(least * 0.998), "{least}");
    for (factor, reason) in [(1.003, None), (0.997, Some(Reason::TrainSticks))] {
        let weight = format!("drive.weight=\"{} kg\"", factor * least);
        assert_eq!(predicted(&[set(0.1, 11.0), vec![weight]].concat()).reason(), reason, "{factor}");
    }
}

/// A motor sets its train going at every step: its bearings have to break away each time.
#[test]
fn exact_a_motor_breaks_its_bearings_away() {
    let needed = |overrides: &[&str]| {
        let mut clock = plover(&[&["train.tooth_friction=0"], overrides].concat()).design;
        clock.train.arbors.iter_mut().for_each(|arbor| arbor.pivot.friction = 0.0.into());
        beatwright::answers::motor::predict_motor(&clock).unwrap().torques.worst.needed_n_m
    };
    let drag = "train.arbor.0.pivot.drag=\"60 uN m\"";
    // Less by the meshes up to the motor, 15 to 1.
    let drags = needed(&[drag]) - needed(&[]);
    assert!((drags - 60e-6 / 15.0).abs() < 1e-15, "{drags:e}");
    let starts = needed(&[drag, "train.arbor.0.pivot.breakaway=1.5"]) - needed(&[]);
    assert!((starts - 1.5 * drags).abs() < 1e-15, "{starts:e}");
}
