//! Levers: elasticities in closed form, levers against predictions of the changed scenarios, and what has no answer.

use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::predict;
use beatwright::answers::verdict::Reason;
use beatwright::report::prediction;
use beatwright::report::prediction::json::Results;
use beatwright::scenario::{NO_OVERRIDES, Scenario, load, read};
use beatwright::study::jobs::{Unwatched, Watch};
use beatwright::study::levers::answers::LeverAnswer;
use beatwright::study::levers::slope::{ShareValues, Slope, slope};
use beatwright::study::levers::steps::quantities;
use beatwright::study::levers::{Lever, Levers, levers};
use serde_json::Value;

use crate::support::plain;
use crate::support::program::{beatwright, written_on_any_threads};

fn of(text: &str) -> (Scenario, Levers) {
    let scenario = read("clock.toml", text, &NO_OVERRIDES).unwrap();
    let found = levers(&scenario, &Unwatched).unwrap();
    (scenario, found)
}

fn named<'l>(levers: &'l Levers, path: &str) -> &'l Lever {
    levers.levers.iter().find(|lever| lever.quantity.path == path).unwrap_or_else(|| panic!("no {path}"))
}

fn elasticity(levers: &Levers, path: &str, answer: LeverAnswer) -> f64 {
    named(levers, path).elasticity(answer, &levers.today).unwrap_or_else(|| panic!("no elasticity of {path}"))
}

/// A pendulum of one kilogram a metre down, kicked with a fixed energy as it passes its lowest place, so little that the circular
/// error, A^2/16, is 1.3e-6.
const KICKED: &str = r#"
[place]
gravity = "9.81 m/s^2"
[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
damping_linear = "0.1 N m s"
[escapement.ideal_kick]
at = "0 deg"
energy = "1e-5 J"
"#;

// The free pendulum with viscous damping c beats at w with w^2 = m g l / I - (c / 2 I)^2, whatever the kick at its centre; its speed
// is w over a constant. Derivatives of ln w follow; without damping dT/T = -dg/2g. Derived (a damped linear oscillator).
#[test]
fn exact_speed_of_a_kicked_pendulum_against_gravity_length_and_inertia() {
    let (_, found) = of(KICKED);
    let (restoring, inertia, damping) = (9.81, 1.0, 0.1);
    let (square, damped) = (restoring / inertia, (damping / (2.0 * inertia)) * (damping / (2.0 * inertia)));
    let speed_square = square - damped;
    let to_restoring = 0.5 * square / speed_square;
    let to_inertia = 0.5 * (-square + 2.0 * damped) / speed_square;
    for (path, expected) in [
        ("place.gravity", to_restoring),
        ("pendulum.lumped.mass", to_restoring),
        ("pendulum.lumped.centre_of_mass", to_restoring),
        ("pendulum.lumped.inertia", to_inertia),
        ("pendulum.lumped.damping_linear", -damped / speed_square),
        ("escapement.ideal_kick.energy", 0.0),
    ] {
        let lever = elasticity(&found, path, LeverAnswer::Rate);
        assert!((lever - expected).abs() < 5e-6, "{path}: {lever} for {expected}");
    }
    assert!((elasticity(&found, "place.gravity", LeverAnswer::Rate) - 0.5).abs() < 2e-4);
}

// v+ = h / sqrt(1 - q^2) with h^2 twice the energy over the inertia and q = exp(-gamma pi / w): the amplitude is as the root of the
// energy. With a fixed velocity kick v+ = dv / (1 - q) it is as the kick. Derived; `exact_` for the damped linear oscillator.
#[test]
fn exact_amplitude_of_a_kicked_pendulum_against_the_kick() {
    let (_, found) = of(KICKED);
    assert!((elasticity(&found, "escapement.ideal_kick.energy", LeverAnswer::Amplitude) - 0.5).abs() < 5e-6);
    let (_, found) = of(&KICKED.replace("energy = \"1e-5 J\"", "speed = \"1e-3 rad/s\""));
    assert!((elasticity(&found, "escapement.ideal_kick.speed", LeverAnswer::Amplitude) - 1.0).abs() < 1e-5);
    let lever = named(&found, "escapement.ideal_kick.speed");
    assert_eq!(lever.up.change[LeverAnswer::Margin.index()], None);
    assert_eq!(lever.up.change[LeverAnswer::RunTime.index()], None);
}

// Airy's balance for a constant torque over a fixed arc: A^2 = 2 Q delta (al + be) / pi for large Q, so the amplitude is as the root of
// the torque; the torque over the least one is as the torque. Derived, G. B. Airy (1830) in modern form, from memory.
#[test]
fn exact_margin_against_an_ideal_torque() {
    let text = KICKED.replace(
        "[escapement.ideal_kick]\nat = \"0 deg\"\nenergy = \"1e-5 J\"",
        "[escapement.ideal_torque]\ntorque = \"3 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"",
    );
    let text = text.replace("damping_linear = \"0.1 N m s\"", "damping_linear = \"0.01 N m s\"");
    let (_, found) = of(&text);
    let path = "escapement.ideal_torque.torque";
    assert!((elasticity(&found, path, LeverAnswer::Margin) - 1.0).abs() < 1e-4);
    assert!(elasticity(&found, path, LeverAnswer::Least).abs() < 1e-4);
    assert!((elasticity(&found, path, LeverAnswer::Amplitude) - 0.5).abs() < 1e-3);
}

#[test]
fn exact_run_time_and_weight_of_a_whole_clock() {
    let scenario = load(&plain::path("wren.toml"), &NO_OVERRIDES).unwrap();
    let found = levers(&scenario, &Unwatched).unwrap();
    // The run is drop times falls over the cord that a turn of the drum takes, pi (D + d).
    for (path, expected) in
        [("drive.drop", 1.0), ("drive.drum_diameter", -24.0 / 25.0), ("drive.cord_diameter", -1.0 / 25.0)]
    {
        let lever = elasticity(&found, path, LeverAnswer::RunTime);
        assert!((lever - expected).abs() < 1e-6, "{path}: {lever} for {expected}");
    }
    let falls = named(&found, "drive.falls");
    let run = found.today[LeverAnswer::RunTime.index()].unwrap();
    assert!((falls.up.change[LeverAnswer::RunTime.index()].unwrap() / run - 0.5).abs() < 1e-12);
    assert!(falls.quantity.whole && falls.slopes.iter().all(Option::is_none));
    assert!(matches!(falls.down.missing, Some(NoAnswer::Refused(_))), "{:?}", falls.down.missing);
    assert!((elasticity(&found, "drive.weight", LeverAnswer::Margin) - 1.0).abs() < 1e-4);
    assert!(elasticity(&found, "drive.weight", LeverAnswer::Least).abs() < 1e-4);
    assert!(elasticity(&found, "drive.weight", LeverAnswer::RunTime).abs() < 1e-9);
    whole_clock_ranks(&found);
    against_predictions(&scenario, &found);
}

fn whole_clock_ranks(found: &Levers) {
    let ranked = found.ranked(LeverAnswer::Rate);
    assert_eq!(ranked.len(), found.count);
    let stopping = ranked.iter().take_while(|lever| lever.stops(LeverAnswer::Rate)).count();
    // Gears larger by 1 % or arbors 0.1 mm too close make Wren jam: levers of the rate before those that stop nothing, told with their
    // reason.
    for path in ["printer.shrinkage", "printer.centre_distance_error"] {
        let place = ranked.iter().position(|lever| lever.quantity.path == path).unwrap();
        let missing = &ranked[place].down.missing;
        assert!(
            place < stopping && matches!(missing, Some(NoAnswer::Stops(Reason::Jams))),
            "{path} {place} {missing:?}"
        );
    }
    for pair in ranked[stopping..].windows(2) {
        assert!(pair[0].effect(LeverAnswer::Rate) >= pair[1].effect(LeverAnswer::Rate));
    }
    // Tooth counts that the beat fixes have no answer alone, and say so.
    let counts = named(found, "train.arbor.third.wheel_teeth");
    assert!(counts.has_no_answer() && matches!(counts.up.missing, Some(NoAnswer::Build(_))));
    // As a bead cannot be less than none, its slope is from above alone.
    let bead = named(found, "printer.bead_radius");
    assert!(!bead.quantity.stated && matches!(bead.down.missing, Some(NoAnswer::Refused(_))));
    assert!(
        bead.slopes
            .iter()
            .flatten()
            .all(|slope| matches!(slope, Slope::OneSided { above: true, .. } | Slope::Unsettled { .. }))
    );
    // Out of beat either way costs weight: a corner, not a slope of nothing.
    let beat = named(found, "escapement.recoil_anchor.beat_error");
    let least = LeverAnswer::Least.index();
    assert!(beat.up.change[least].unwrap() > 0.0 && beat.down.change[least].unwrap() > 0.0);
    assert!(matches!(beat.slopes[least], Some(Slope::Corner { below, above }) if below < 0.0 && above > 0.0));
    for lever in &found.levers {
        for (answer, slope) in LeverAnswer::ALL.into_iter().zip(lever.slopes) {
            let finite = slope.and_then(|slope| slope.error()).is_none_or(|error| error.is_finite() && error >= 0.0);
            assert!(finite, "{} {answer:?}", lever.quantity.path);
        }
    }
}

/// Steps against two predictions each, of the scenario with the value typed.
fn against_predictions(scenario: &Scenario, found: &Levers) {
    let at = |setting: &str| -> Results {
        let changed = scenario.with_overrides(&[setting.to_owned()]).unwrap();
        prediction::json::record(&changed.in_room(), &predict(&changed.in_room()).unwrap())
    };
    for (path, up, down) in [
        (
            "escapement.recoil_anchor.lift",
            "escapement.recoil_anchor.lift=5.1 deg",
            "escapement.recoil_anchor.lift=4.9 deg",
        ),
        (
            "escapement.recoil_anchor.friction",
            "escapement.recoil_anchor.friction=0.22",
            "escapement.recoil_anchor.friction=0.18",
        ),
        ("pendulum.bob.below_axis", "pendulum.bob.below_axis=250.6 mm", "pendulum.bob.below_axis=248.6 mm"),
        (
            "train.arbor.centre.pivot.diameter",
            "train.arbor.centre.pivot.diameter=3.1 mm",
            "train.arbor.centre.pivot.diameter=2.9 mm",
        ),
        (
            "escapement.recoil_anchor.lift",
            "escapement.recoil_anchor.lift=5.1 deg",
            "escapement.recoil_anchor.lift=4.9 deg",
        ),
    ] {
        let lever = named(found, path);
        let today = found.today.map(Option::unwrap);
        for (side, setting) in [(&lever.up, up), (&lever.down, down)] {
            let there = at(setting);
            let expected = [
                there.rate_s_per_day.unwrap(),
                there.semi_arc_deg.unwrap().to_radians(),
                there.least_weight_kg.unwrap(),
                there.weight_ratio.unwrap(),
                there.run_time_days.unwrap() * 86_400.0,
            ];
            for answer in LeverAnswer::ALL {
                let index = answer.index();
                let change = side.change[index].unwrap();
                let tolerance = if answer == LeverAnswer::Rate { 1e-5 } else { 1e-9 * today[index].abs() };
                let off = change - (expected[index] - today[index]);
                assert!(off.abs() < tolerance, "{setting} {answer:?}: {change}, off by {off:e}");
            }
        }
        // The derivative lies close to the chord of the two.
        let chord = |index: usize| 0.5 * (lever.up.change[index].unwrap() - lever.down.change[index].unwrap());
        let index = LeverAnswer::Rate.index();
        if let Some(per_step) = lever.slopes[index].and_then(|slope| slope.settled()) {
            assert!((per_step - chord(index)).abs() < 0.1 * chord(index).abs() + 1e-4, "{path} {per_step}");
        }
    }
}

fn values(curve: impl Fn(f64) -> Option<f64>) -> Vec<ShareValues> {
    [1.0, 0.5, 0.25, 0.125]
        .map(|share| {
            let at = |steps: f64| [curve(steps), None, None, None, None];
            ShareValues { share, above: at(share), below: at(-share) }
        })
        .to_vec()
}

fn slope_of(curve: impl Fn(f64) -> Option<f64>) -> Option<Slope> {
    let today = [curve(0.0), None, None, None, None];
    slope(&values(curve), 0, &today, 1e-12, 1e-9)
}

#[test]
fn exact_slopes_of_known_curves() {
    // Richardson's extrapolation is exact up to the fourth power.
    match slope_of(|x| Some(1.0 + 2.0 * x - 3.0 * x * x + 0.1 * x.powi(3))).unwrap() {
        Slope::Central { per_step, error } => assert!((per_step - 2.0).abs() < 1e-12 && error < 0.1, "{per_step}"),
        other => panic!("{other:?}"),
    }
    match slope_of(|x| Some((0.3 * x).exp())).unwrap() {
        Slope::Central { per_step, error } => assert!((per_step - 0.3).abs() < error && error < 0.015),
        other => panic!("{other:?}"),
    }
    assert!(matches!(slope_of(|x| Some(x.abs())), Some(Slope::Corner { below: -1.0, above: 1.0 })));
    assert!(matches!(slope_of(|x| Some(x + x.max(0.0))), Some(Slope::Corner { below: 1.0, above: 2.0 })));
    match slope_of(|x| (x >= 0.0).then_some(2.0 * x + 0.05 * x * x)).unwrap() {
        Slope::OneSided { per_step, above: true, error } => {
            assert!((per_step - 2.0).abs() < 1e-12 && error < 0.1);
        }
        other => panic!("{other:?}"),
    }
    assert!(matches!(slope_of(|x| (x <= 0.0).then_some(x)), Some(Slope::OneSided { above: false, .. })));
    assert!(matches!(slope_of(|x| Some(x.cbrt())), Some(Slope::Unsettled { .. })));
    assert_eq!(slope_of(|x| (x == 0.0).then_some(1.0)), None);
    // Half a step has an answer where a whole one has none.
    assert!(matches!(slope_of(|x| (x.abs() < 0.6).then_some(x)), Some(Slope::Central { .. })));
}

#[test]
fn exact_steps_of_a_maker() {
    let text = KICKED.replace("[pendulum.lumped]", "start_arc = \"3 deg\"\n[pendulum.lumped]");
    let scenario = read("clock.toml", &text.replace("start_arc = \"3 deg\"\n", ""), &NO_OVERRIDES).unwrap();
    let (found, left_out) = quantities(&scenario);
    let step = |path: &str| {
        let quantity = found.iter().find(|quantity| quantity.path == path).unwrap();
        (quantity.step, quantity.step_text.as_str())
    };
    assert_eq!(step("place.gravity").1, "1 %");
    assert!((step("place.gravity").0 - 0.0981).abs() < 1e-15);
    assert_eq!(step("pendulum.lumped.centre_of_mass"), (1e-3, "1 mm"));
    assert!((step("escapement.ideal_kick.at").0 - 0.1).abs() < 1e-15);
    assert_eq!(step("place.temperature"), (1.0, "1 K"));
    assert!(left_out.is_empty(), "{left_out:?}");
    let wren = load(&plain::path("wren.toml"), &["printer.growth=0.02 mm +/- 0.05 mm".to_owned()]).unwrap();
    let (found, left_out) = quantities(&wren);
    let quantity = |path: &str| found.iter().find(|quantity| quantity.path == path).unwrap();
    for (path, text) in [
        ("pendulum.suspension.thickness", "0.01 mm"),
        ("pendulum.rod.width", "0.1 mm"),
        ("pendulum.rod.length", "1 mm"),
        ("place.height", "10 m"),
        ("escapement.recoil_anchor.teeth", "1"),
        ("escapement.recoil_anchor.spaces", "1"),
        ("escapement.recoil_anchor.friction", "10 %"),
        ("escapement.recoil_anchor.tooth.undercut", "0.1 deg"),
        ("printer.growth", "0.05 mm"),
    ] {
        assert_eq!(quantity(path).step_text, text, "{path}");
    }
    assert_eq!(quantity("printer.growth").setting(1.0), "printer.growth=\"0.07 mm +/- 0.05 mm\"");
    assert_eq!(quantity("escapement.recoil_anchor.teeth").setting(-1.0), "escapement.recoil_anchor.teeth=35");
    assert_eq!(left_out.iter().map(|left| left.path.as_str()).collect::<Vec<_>>(), ["train.hands.motion_work"]);
}

#[test]
fn a_clock_that_stops_has_levers_of_its_least_weight_alone() {
    let scenario = load(&plain::path("wren.toml"), &["drive.weight=0.2 kg".to_owned()]).unwrap();
    let found = levers(&scenario, &Unwatched).unwrap();
    assert!(matches!(found.point.missing, Some(NoAnswer::Stops(_))));
    assert_eq!(found.today[LeverAnswer::Rate.index()], None);
    let friction = named(&found, "pendulum.pallets.pivot.friction");
    assert_eq!(friction.up.change[LeverAnswer::Amplitude.index()], None);
    assert!(friction.up.change[LeverAnswer::Least.index()].unwrap() > 0.0);
    assert!(elasticity(&found, "pendulum.pallets.pivot.friction", LeverAnswer::Margin) < -0.1);
}

struct AtOnce;

impl Watch for AtOnce {
    fn begins(&self, _jobs: usize, _what: &str) {}
    fn done(&self) {}
    fn stopped(&self) -> bool {
        true
    }
}

#[test]
fn a_study_that_is_stopped_keeps_what_it_has() {
    let scenario = read("clock.toml", KICKED, &NO_OVERRIDES).unwrap();
    let found = levers(&scenario, &AtOnce).unwrap();
    assert!(found.levers.is_empty() && found.count > 5);
}

#[test]
fn the_files_are_the_same_on_any_number_of_threads() {
    let written = written_on_any_threads(&["levers", "tests/support/plain/wren.toml"]);
    let table = &written.said;
    let [csv, json, svg] = ["levers.csv", "levers.json", "levers.svg"].map(|name| &written.files[name]);
    assert!(table.starts_with("Wren: levers, by their effect on the weight reserve"), "{table}");
    let json: Value = serde_json::from_str(json).unwrap();
    assert_eq!(json["interrupted"], false);
    assert_eq!(json["asked"][0], "--answer margin");
    assert_eq!(json["ranked_by"], "weight_ratio");
    let rows = csv.lines().count() - 1;
    assert_eq!(json["levers"].as_array().unwrap().len(), rows);
    assert!(csv.starts_with("quantity,value,unit,step,rate_s_per_day_one_step_up,"));
    assert!(!csv.contains("NaN") && !csv.contains("inf"));
    let drawn = roxmltree::Document::parse(svg).unwrap();
    assert!(drawn.descendants().any(|node| node.text().is_some_and(|text| text.contains("drive.falls"))));
}

#[test]
fn tells_bad_arguments() {
    let complaint = |arguments: &[&str]| {
        let output = beatwright().arg("levers").arg(plain::path("wren.toml")).args(arguments).output().unwrap();
        assert_eq!(output.status.code(), Some(2));
        assert!(output.stdout.is_empty());
        String::from_utf8(output.stderr).unwrap()
    };
    insta::assert_snapshot!(complaint(&["--answer", "margn"]));
    insta::assert_snapshot!(complaint(&["--top", "0"]));
}
