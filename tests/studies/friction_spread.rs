//! Copies whose frictions differ: what is drawn together, what a copy is built from, what is told.

use beatwright::clock::build::build;
use beatwright::clock::environment::InRoom;
use beatwright::clock::mechanism::EscapementModel;
use beatwright::scenario::read;
use beatwright::study::jobs::Unwatched;
use beatwright::study::levers::steps::quantities;
use beatwright::study::spread::inputs::{Input, Varied, inputs_of};
use beatwright::study::spread::motor::{causes, motor_copies, motor_statistics};
use beatwright::study::spread::{NoSpread, Run};
use serde_json::Value;

use crate::support::plain;
use crate::support::program::run;

/// A printer that prints what was drawn, and frictions of every kind.
const NAMED: [&str; 9] = [
    "printer.bead_radius=0 mm",
    "printer.growth=0 mm",
    "printer.shrinkage=0 %",
    "printer.centre_distance_error=0 mm",
    "train.tooth_friction=PLA on PLA",
    "escapement.dead_beat.friction=PLA on PLA",
    "train.arbor.centre.pivot.friction=ball bearing, greased",
    "train.arbor.third.pivot.friction=ball bearing, greased",
    "pendulum.suspension.friction=0.003 +/- 0.001",
];

fn heron(overrides: &[&str]) -> InRoom {
    plain::loaded("heron.toml", overrides).in_room()
}

fn paths(input: &Input) -> Vec<&str> {
    match &input.varied {
        Varied::Friction(friction) => friction.paths.iter().map(String::as_str).collect(),
        Varied::Print(..) | Varied::Train(_) | Varied::Support(_) => panic!("{input:?}"),
    }
}

#[test]
fn exact_what_bears_one_name_is_drawn_together() {
    let inputs = inputs_of(&heron(&NAMED));
    let drawn: Vec<Vec<&str>> = inputs.iter().map(paths).collect();
    assert_eq!(
        drawn,
        [
            vec!["train.tooth_friction", "escapement.dead_beat.friction"],
            vec![
                "train.arbor.centre.pivot.friction",
                "train.arbor.centre.pivot.drag",
                "train.arbor.third.pivot.friction",
                "train.arbor.third.pivot.drag"
            ],
            vec!["pendulum.suspension.friction"],
        ]
    );
    assert!((inputs[0].mean, inputs[2].deviation) == (0.35, 0.0005), "{inputs:?}");
    assert!((0..200).all(|step| inputs[1].value_at((f64::from(step) + 0.5) / 200.0) >= 0.0));
}

/// A copy is the clock that its drawn values make when they are written into the scenario as plain numbers.
#[test]
fn exact_a_copy_is_built_from_what_it_drew() {
    let design = heron(&NAMED);
    let run = Run::of(&design, 3).unwrap();
    for number in [1, 2, 5] {
        let values = beatwright::study::spread::plan::drawn_values(&run.inputs, number, 3);
        let built = run.built(number).unwrap();
        let EscapementModel::Contact(contact) = &built.mechanism.escapement else { panic!("no contact") };
        assert_eq!(contact.friction, values[0]);
        let mut settings: Vec<String> = NAMED.iter().map(|&text| text.to_owned()).collect();
        settings.push(format!("train.tooth_friction={:?}", values[0]));
        settings.push(format!("escapement.dead_beat.friction={:?}", values[0]));
        settings.push(format!("pendulum.suspension.friction={:?}", values[2]));
        let off = (values[1] - run.inputs[1].mean) / run.inputs[1].deviation;
        for known in design.frictions().iter().filter(|known| known.friction.named == Some("ball bearing, greased")) {
            let value = (known.friction.value + 0.5 * off * known.friction.spread).max(0.0);
            match known.kind {
                Some(_) => settings.push(format!("{}=\"{value:?} N m\"", known.path)),
                // By its own number a bearing has no drag and starts as it runs, unless these are written too.
                None => {
                    settings.push(format!("{}={value:?}", known.path));
                    settings.push(format!("{}=1.65", known.path.replace("friction", "breakaway")));
                }
            }
        }
        let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
        let by_hand = build(&heron(&settings)).unwrap();
        assert_eq!(built.mechanism.pendulum, by_hand.mechanism.pendulum, "{number}");
        let (drive, expected) = (built.mechanism.drive.unwrap(), by_hand.mechanism.drive.unwrap());
        for (a, b) in [
            (drive.forward_n_m(), expected.forward_n_m()),
            (drive.backward_n_m(), expected.backward_n_m()),
            (drive.friction_starting_n_m, expected.friction_starting_n_m),
        ] {
            assert!((a / b - 1.0).abs() < 1e-12, "{number}: {a:e} {b:e}");
        }
        let at_less = |built: &beatwright::clock::build::Built| built.prepared_drive.as_ref().unwrap().model(1.0);
        assert!((at_less(&built).forward_n_m() / at_less(&by_hand).forward_n_m() - 1.0).abs() < 1e-12);
    }
}

#[test]
fn a_spread_tells_what_it_varied() {
    let settings: Vec<String> = NAMED.iter().flat_map(|&text| ["--set".to_owned(), text.to_owned()]).collect();
    let settings: Vec<&str> = settings.iter().map(String::as_str).collect();
    let (code, out, told) = run(&[
        &["spread", &plain::path("heron.toml").display().to_string()],
        &settings[..],
        &["--copies", "160", "--json"],
    ]
    .concat());
    assert_eq!(code, 0, "{told}");
    let found: Value = serde_json::from_str(&out).unwrap();
    let inputs = found["inputs"].as_array().unwrap();
    let keys: Vec<&str> = inputs.iter().map(|input| input["key"].as_str().unwrap()).collect();
    assert_eq!(keys, ["friction_pla_on_pla", "drag_ball_bearing_greased_over_oiled", "pendulum_suspension_friction"]);
    assert_eq!(inputs[0]["sets"], serde_json::json!(["train.tooth_friction", "escapement.dead_beat.friction"]));
    assert_eq!(inputs[0]["name"], "friction, PLA on PLA");
    let least = &found["explained"][0];
    assert_eq!(least["answer"], "least_weight_kg");
    let first = &least["inputs"][0];
    assert!(first["input"] == "friction_pla_on_pla" && first["total"]["value"].as_f64().unwrap() > 0.5, "{least}");
}

/// Nothing of a printer, but a friction that is uncertain: a clock with an ideal escapement has a spread as well.
#[test]
fn an_ideal_escapement_spreads_by_its_frictions() {
    let text = |friction: &str| {
        format!(
            "start_arc = \"4 deg\"\n[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\ncentre_of_mass = \"1 m\"\n\
             friction_torque = \"{friction}\"\n[escapement.ideal_torque]\ntorque = \"1 mN m\"\nbefore = \"1 deg\"\n\
             after = \"1 deg\"\noutside = \"none\"\n"
        )
    };
    let none: [&str; 0] = [];
    let known = read("a.toml", &text("100 uN m"), &none).unwrap().in_room();
    assert!(matches!(Run::of(&known, 1), Err(NoSpread::NoOutlines)));
    let unsure = read("a.toml", &text("100 uN m +/- 50 uN m"), &none).unwrap().in_room();
    let run = Run::of(&unsure, 1).unwrap();
    let copies = run.copies(12, &Unwatched);
    for copy in &copies {
        // Both sides lose T_c over each swing's 4 A; the torque gives 2 (before + after) of itself a period: A = tau (b + a) / (2 T_c).
        let amplitude = 1e-3 * 2.0_f64.to_radians() / (2.0 * copy.drawn[0]);
        let swing = copy.swing().unwrap();
        assert!((swing.semi_arc_rad / amplitude - 1.0).abs() < 1e-6, "{} {amplitude}", swing.semi_arc_rad);
    }
}

#[test]
fn a_motor_clock_draws_the_frictions_of_its_train() {
    let clock =
        plain::plover(&["train.tooth_friction=PLA on PLA", "train.arbor.0.pivot.drag=9 uN m +/- 4 uN m"]).design;
    let causes = causes(&clock);
    let names: Vec<&str> = causes.iter().map(|cause| cause.path()).collect();
    assert!(names.contains(&"PLA on PLA") && names.contains(&"hands.friction"), "{names:?}");
    assert!(names.iter().any(|name| name.ends_with(".pivot.drag")), "{names:?}");
    let copies = motor_copies(&clock, 40, 1, &Unwatched).unwrap();
    assert!(motor_statistics(&causes, &copies, 1).is_some());
    let place = names.iter().position(|name| *name == "PLA on PLA").unwrap();
    let by_friction = |large: bool| {
        let reserves = copies.iter().filter(|copy| (copy.drawn[place] > 0.35) == large).map(|copy| copy.reserve);
        reserves.clone().sum::<f64>() / reserves.count() as f64
    };
    assert!(by_friction(true) < by_friction(false), "rougher teeth ask for more torque");
}

/// What is named steps by its spread; a named bearing by that of its drag. Other values of a map's axis replace the name.
#[test]
fn named_frictions_are_levers_and_axes() {
    let scenario = plain::loaded("heron.toml", &NAMED);
    let (found, _) = quantities(&scenario);
    let at = |path: &str| found.iter().find(|quantity| quantity.path == path);
    let teeth = at("train.tooth_friction").unwrap();
    assert_eq!((teeth.number, teeth.written.as_str(), teeth.whole), (0.35, "PLA on PLA", false));
    let spread = beatwright::clock::materials::friction_pair_named("PLA on PLA").unwrap().sliding.spread;
    assert_eq!(teeth.step, spread);
    assert!(at("train.arbor.third.pivot.friction").is_none());
    let drag = at("train.arbor.third.pivot.drag").unwrap();
    assert_eq!(drag.unit.as_deref(), Some("uN m"));
    for quantity in [teeth, drag, at("pendulum.suspension.friction").unwrap()] {
        let same = scenario.with_overrides(&[quantity.setting(0.0)]).unwrap();
        let value = |scenario: &beatwright::scenario::Scenario| {
            scenario.design.frictions().into_iter().find(|known| known.path == quantity.path).unwrap().friction
        };
        let (own, set) = (value(&scenario), value(&same));
        assert!((own.value / set.value - 1.0).abs() < 1e-12 && (own.spread / set.spread - 1.0).abs() < 1e-12);
        let more = scenario.with_overrides(&[quantity.setting(1.0)]).unwrap();
        assert!((value(&more).value / (own.value + own.spread) - 1.0).abs() < 1e-12, "{}", quantity.path);
    }
    assert_eq!(teeth.step_text, format!("{spread}"));
    let axis = beatwright::study::map::axis::Axis::parse("train.tooth_friction=0.1..0.4:3").unwrap();
    assert_eq!((axis.own(&scenario), axis.objection(&scenario)), (Some(0.35), None));
}
