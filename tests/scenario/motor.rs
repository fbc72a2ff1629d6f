//! A clock driven by a stepping motor from outside: what is no such clock and where it is told, keys, files.

use beatwright::answers::motor::predict_motor;
use beatwright::clock::motor::ratio::value;
use beatwright::scenario::{AnyScenario, LoadError, NO_OVERRIDES, read, read_any};
use proptest::prelude::*;
use serde_json::Value;

use crate::support::demo::{self, PLOVER};
use crate::support::program::beatwright;

fn problems(text: &str, overrides: &[&str]) -> String {
    demo::complaint(read_any("plover.toml", text, overrides))
}

#[test]
fn bad_values_are_told_where_they_stand() {
    for (setting, message) in [
        ("motor.steps=0", "`motor.steps` cannot be 0"),
        ("motor.step_angle=\"7.5 deg\"", "`motor.step_angle` is given together with `steps`"),
        ("motor.gears=[[9, 0]]", "`motor.gears.0.1` cannot be 0"),
        ("motor.gears=7", "`motor.gears` is a bare number, not a list of pairs"),
        ("motor.pull_in_torque=\"3 N\"", "`motor.pull_in_torque` needs a torque"),
        ("motor.pull_in_torque=[]", "`motor.pull_in_torque` is a list of 0"),
        ("motor.pull_in_torque.1.rate=\"9 Hz\"", "the pulse rates of the torques are not in rising order"),
        ("motor.pulse=\"0.6 s\"", "a step is powered for 0.6 s, but the next comes after 0.5"),
        ("supply.coil_current=\"1 A\"", "the coil cannot draw that"),
        ("supply.voltage=\"3 A\"", "`supply.voltage` needs a voltage: \"3 A\" is a current, not a voltage"),
        ("supply.capacity=\"2600 mA\"", "`supply.capacity` needs a charge"),
        ("oscillator.divider=0", "`oscillator.divider` cannot be 0"),
        ("oscillator.frequency=\"0 Hz\"", "`oscillator.frequency` cannot be \"0 Hz\""),
        ("oscillator.turnover=\"25 degC +/- 5 degC\"", "needs a temperature difference after the +/-"),
        ("oscillator.turnover=\"1e6 degC\"", "`oscillator.turnover` cannot be \"1e6 degC\""),
        ("oscillator.temperature_tolerance=\"1 %\"", "`oscillator.temperature_tolerance` is given together with"),
        ("oscillator.age=\"-1 years\"", "`oscillator.age` cannot be \"-1 years\""),
        ("place.temperature=\"1000 degC\"", "`place.temperature` cannot be \"1000 degC\""),
        ("place.temperature=\"-300 degC\"", "`place.temperature` cannot be \"-300 degC\""),
        ("train.beat=\"1 s\"", "`train.beat` has no meaning with a motor"),
        ("train.arbor.motor.wheel_teeth=20", "the last arbor is the motor's"),
        ("train.hands.minute=\"hour\"", "there is no arbor \"hour\" for the minute hand"),
        ("hands.minute.mass=\"-2 g\"", "`hands.minute.mass` cannot be \"-2 g\""),
        ("hands.minute.centre_of_mass=\"200 mm\"", "the centre of mass lies beyond the hand's length"),
        ("train.hands.motion_work=[]", "`hands.hour` is given, but no motion work turns it"),
        ("drive.weight=\"3 kg\"", "`motor` is given together with `drive`"),
        ("motor.detent=\"1 mN m\"", "there is no key `motor.detent`"),
    ] {
        let report = problems(PLOVER, &[setting]);
        assert!(report.contains(message), "{setting}:\n{report}");
        assert!(
            report.contains("--set 1:1:") || report.contains("plover.toml:"),
            "{setting} without its place:\n{report}"
        );
        assert!(report.contains("help:"), "{setting}:\n{report}");
    }
}

#[test]
fn what_is_beyond_all_numbers_is_told_and_not_answered() {
    let mut heavy = demo::plover(&[]).design;
    heavy.train.arbors[1].mass_kg = 1e308;
    heavy.train.arbors[0].mass_kg = 1e308;
    heavy.place.gravity = beatwright::clock::design::Gravity::Stated(30.0);
    assert_eq!(predict_motor(&heavy).err(), Some(beatwright::clock::motor::error::MotorError::NotFinite));
    let many = [
        "motor.gears=[[2, 9999], [2, 9998], [2, 9997], [2, 9995], [2, 9993], [2, 9991], [2, 9989], [2, 9987], [2, 9985], [2, 9983]]",
    ];
    let error = predict_motor(&demo::plover(&many).design).err().unwrap();
    assert!(error.to_string().contains("is 0 or too large"), "{error}");
}

#[test]
fn missing_parts_are_told() {
    for (line, message) in [
        ("detent", ""),
        ("pulse = ", "`motor.pulse` is missing"),
        ("divider", "`oscillator.divider` is missing"),
        ("voltage", "`supply.voltage` is missing"),
        ("coil_resistance", "neither `supply.coil_resistance` nor `supply.coil_current` is given"),
        ("steps = 48", "`motor.steps` is missing"),
        ("hour = {", "`hands.hour` is missing"),
        ("minute = { mass", "`hands.minute` is missing"),
        ("curvature", "`oscillator.turnover` is given without `oscillator.curvature`"),
        ("minute = \"centre\"", "`train.hands.minute` is missing"),
    ] {
        let text: String =
            PLOVER.lines().filter(|there| !there.starts_with(line)).map(|there| format!("{there}\n")).collect();
        match message {
            "" => assert!(read_any("plover.toml", &text, &NO_OVERRIDES).is_ok()),
            message => assert!(problems(&text, &[]).contains(message), "{line}:\n{}", problems(&text, &[])),
        }
    }
    let from = PLOVER.find("pull_in_torque").unwrap();
    let to = from + PLOVER[from..].find("]\n").unwrap() + 2;
    let without_torque = format!("{}{}", &PLOVER[..from], &PLOVER[to..]);
    assert!(problems(&without_torque, &[]).contains("`motor.pull_in_torque` is missing"));
    for table in ["[oscillator]", "[supply]", "[hands]"] {
        let from = PLOVER.find(table).unwrap();
        let to = from + 1 + PLOVER[from + 1..].find("\n[").unwrap_or(PLOVER.len() - from - 1);
        let text = format!("{}{}", &PLOVER[..from], &PLOVER[to..]);
        let name = table.trim_matches(['[', ']']);
        assert!(problems(&text, &[]).contains(&format!("`{name}` is missing")), "{table}");
    }
}

#[test]
fn a_clock_with_a_motor_is_no_pendulum_clock() {
    let Err(LoadError::Problems(problems)) = read("plover.toml", PLOVER, &NO_OVERRIDES) else {
        panic!("read as a pendulum clock")
    };
    assert_eq!(problems.list().iter().map(|problem| problem.code.as_str()).collect::<Vec<_>>(), ["no_pendulum"]);
    for arguments in [
        &["map", "plover"][..],
        &["levers", "plover"],
        &["trade", "plover"],
        &["compare", "plover", "heron"],
        &["predict", "plover", "--days", "1"],
    ] {
        let mut command = beatwright();
        command.arg(arguments[0]);
        for &argument in &arguments[1..] {
            let is_scenario = argument == "plover" || argument == "heron";
            command.arg(if is_scenario {
                demo::path(&format!("{argument}.toml")).into_os_string()
            } else {
                argument.into()
            });
        }
        let output = command.output().unwrap();
        let told = String::from_utf8_lossy(&output.stderr).into_owned();
        assert_eq!(output.status.code(), Some(2), "{arguments:?} {told}");
        assert!(told.contains("no_pendulum") && told.contains("plover.toml:"), "{arguments:?} {told}");
    }
}

fn json(arguments: &[&str], scenario: &str) -> Value {
    let mut command = beatwright();
    let output =
        command.arg(arguments[0]).arg(demo::path(scenario)).args(&arguments[1..]).arg("--json").output().unwrap();
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    serde_json::from_slice(&output.stdout).unwrap()
}

#[test]
fn all_keys_of_a_pendulum_clock_are_there() {
    let (plover, heron) = (json(&["predict"], "plover.toml"), json(&["predict"], "heron.toml"));
    for key in heron.as_object().unwrap().keys() {
        assert!(plover.get(key).is_some(), "{key}");
    }
    assert!(
        plover["semi_arc_deg"].is_null()
            && plover["weight_kg"].is_null()
            && plover["energy_per_beat_j"]["air"].is_null()
    );
    assert!(plover["notes"].to_string().contains("null"));
    let motor = &plover["motor"];
    assert_eq!(motor["exact"], true);
    assert_eq!(motor["worst_position"]["time"], "8:45");
    assert!(motor["torque_reserve"].as_f64().unwrap() > 4.0);
    let weak = json(&["predict", "--set", "motor.pull_in_torque=\"0.1 mN m\""], "plover.toml");
    assert_eq!((&weak["verdict"], &weak["reason"]), (&"stops".into(), &"loses_steps".into()));
    assert!(weak["rate_s_per_day"].is_null());
    let inexact = json(&["predict", "--set", "train.arbor.motor.pinion_teeth=13"], "plover.toml");
    assert_eq!(inexact["verdict"], "keeps_going", "a ratio that is not exact is an answer");
    assert_eq!(inexact["motor"]["nearest_exact_trains"][0]["teeth_changed"], 1);
    let inspection = json(&["inspect"], "plover.toml");
    let turns: Vec<f64> = inspection["arbors"]
        .as_array()
        .unwrap()
        .iter()
        .map(|arbor| arbor["turns_per_hour"].as_f64().unwrap())
        .collect();
    assert_eq!(turns, [1.0, 4.0, 15.0]);
    let spread = json(&["spread", "--copies", "60"], "plover.toml");
    assert_eq!(spread["copies"], 60);
    assert_eq!(spread["keeps_going"][0], 1.0);
}

#[test]
fn the_picture_names_the_worst_time_and_is_the_same_again() {
    let folder = tempfile::tempdir().unwrap();
    let draw = |name: &str| {
        let out = folder.path().join(name);
        let mut command = beatwright();
        command.args(["predict", "--quiet", "--out"]).arg(&out).arg(demo::path("plover.toml")).assert().success();
        std::fs::read_to_string(out.join("torque-over-twelve-hours.svg")).unwrap()
    };
    let svg = draw("one");
    roxmltree::Document::parse(&svg).unwrap();
    assert!(svg.contains("8:45") && svg.contains("torque (mN m)"));
    assert_eq!(svg, draw("two"));
    let table = std::fs::read_to_string(folder.path().join("one/torque-over-twelve-hours.csv")).unwrap();
    assert_eq!(table.lines().count(), 4321);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    #[test]
    fn no_text_of_a_motor_clock_breaks_the_reading(at in 0..PLOVER.len(), cut in 0usize..40, put in "[-a-z0-9\"\\[\\]{}=. ]{0,12}") {
        let end = (at + cut).min(PLOVER.len());
        if PLOVER.is_char_boundary(at) && PLOVER.is_char_boundary(end) {
            let text = format!("{}{put}{}", &PLOVER[..at], &PLOVER[end..]);
            if let Ok(AnyScenario::Motor(scenario)) = read_any("some.toml", &text, &NO_OVERRIDES)
                && let Ok(found) = predict_motor(&scenario.design)
            {
                prop_assert!(found.rate_s_per_day.is_finite());
                prop_assert!(found.torques.worst.needed_n_m.is_finite());
                prop_assert!(value(found.ratio.pulses_per_turn) > 0.0);
                prop_assert!(found.draw.mean_current_a.is_finite());
            }
        }
    }
}
