//! Frictions as they are written: numbers with and without their spread, names, and what is none of these.

use beatwright::clock::build::build;
use beatwright::clock::design::Friction;
use beatwright::clock::environment::InRoom;
use beatwright::clock::mechanism::EscapementModel;
use beatwright::clock::other_frictions::with_frictions_of;
use beatwright::scenario::load;

use super::support::plain::{complaint, loaded, path, plover};

fn tooth_friction(setting: &str) -> Friction {
    loaded("heron.toml", &[setting]).design.train.unwrap().tooth_friction
}

#[test]
fn exact_frictions_with_their_spread() {
    let own = Friction { value: 0.25, spread: 0.1, named: None };
    assert_eq!(tooth_friction("train.tooth_friction=0.25"), Friction::of(0.25));
    for written in ["0.25 +/- 0.1", "\"0.25 +/- 0.1\"", "\"0.25 \u{b1} 0.1\"", "{ value = 0.25, spread = 0.1 }"] {
        assert_eq!(tooth_friction(&format!("train.tooth_friction={written}")), own, "{written}");
    }
    let named = tooth_friction("train.tooth_friction=PLA on PLA");
    assert_eq!((named.named, named.spread > 0.0), (Some("PLA on PLA"), true));
    let extra = loaded("heron.toml", &["pendulum.extra_damping.friction_torque=\"3 uN m +/- 1 uN m\""]);
    let extra = extra.design.frictions().into_iter().find(|known| known.path.contains("extra_damping")).unwrap();
    assert!((extra.friction.value - 3e-6).abs() < 1e-20 && (extra.friction.spread - 1e-6).abs() < 1e-20);
}

#[test]
fn tells_frictions_that_are_none() {
    for (written, told) in [
        ("0.25 +/- wide", "write two plain numbers, value and spread, like \"0.25 +/- 0.1\""),
        ("0.25 +/- -0.1", "write two plain numbers"),
        ("3 +/- 0.1", "write a number from 0 to 2"),
        ("{ value = 0.25, spread = 0.1, per = \"printer\" }", "there is no key `train.tooth_friction.per`"),
        ("{ spread = 0.1 }", "`train.tooth_friction.value` is missing"),
    ] {
        let complaint = complaint(load(&path("heron.toml"), &[format!("train.tooth_friction={written}")]));
        assert!(complaint.contains(told), "{written}: {complaint}");
    }
}

/// Every path is one under which the scenario takes another value, and the value then is where the list has it.
#[test]
fn exact_frictions_are_called_as_the_scenario_calls_them() {
    for name in ["heron.toml", "wren.toml"] {
        let own = loaded(name, &[]).design;
        let mut seen = 0;
        for known in own.frictions().iter().filter(|known| known.friction.value > 0.0 && known.kind.is_none()) {
            let set = format!("{}=\"0.0123 +/- 0.004\"", known.path);
            let changed = loaded(name, &[&set]).design;
            let other = changed.frictions().into_iter().find(|other| other.path == known.path).unwrap();
            assert_eq!(other.friction, Friction { value: 0.0123, spread: 0.004, named: None }, "{}", known.path);
            let changes = own.frictions().iter().zip(changed.frictions()).filter(|(a, b)| **a != *b).count();
            assert_eq!(changes, 1, "{}", known.path);
            seen += 1;
        }
        assert!(seen >= 8, "{name}: {seen}");
    }
    let paths: Vec<String> = plover(&[]).design.frictions().into_iter().map(|known| known.path).collect();
    assert!(paths.contains(&"hands.friction".to_owned()) && paths.contains(&"train.tooth_friction".to_owned()));
}

/// What is built anew after a change of frictions is what is built from the start, to the last bit.
#[test]
fn exact_other_frictions_are_built_as_from_the_start() {
    for name in ["heron.toml", "wren.toml"] {
        let own = InRoom::at_home(&loaded(name, &[]).design);
        let built = build(&own).unwrap();
        assert_eq!(own.with_frictions_times(1.0), own, "{name}");
        let rougher = own.with_frictions_times(1.3);
        let (again, anew) = (with_frictions_of(&rougher, built.clone()).unwrap(), build(&rougher).unwrap());
        assert_eq!(again.mechanism, anew.mechanism, "{name}");
        assert_eq!(again.drive, anew.drive, "{name}");
        assert_eq!(again.prepared_drive, anew.prepared_drive, "{name}");
        assert_eq!(again.pendulum, anew.pendulum, "{name}");
        assert!(again.mechanism.drive.unwrap().forward_n_m() < built.mechanism.drive.unwrap().forward_n_m());
        assert!(again.mechanism.pendulum.friction_torque_n_m > built.mechanism.pendulum.friction_torque_n_m);
        let EscapementModel::Contact(contact) = &again.mechanism.escapement else { panic!("no contact") };
        assert!((contact.friction - 1.3 * 0.2).abs() < 1e-15, "{name}");
        assert_eq!(with_frictions_of(&own, again).unwrap().mechanism, built.mechanism, "{name}");
    }
}
