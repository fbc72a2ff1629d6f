//! The rooms of a clock: what each point says, what moves, where damp air ends it; and the commands.

use beatwright::answers::bench::BenchChecks;
use beatwright::answers::prediction::{predict, predict_only};
use beatwright::answers::solve::Wanted;
use beatwright::answers::verdict::Reason;
use beatwright::clock::design::{Design, Place};
use beatwright::clock::train::mesh_name::MeshName;
use beatwright::report::words::reasons::reason_with_meshes;
use beatwright::report::words::room_limits::room_limit_words;
use beatwright::report::{comparison, prediction};
use beatwright::scenario::{NO_OVERRIDES, Scenario, read, starter};
use beatwright::study::jobs::Unwatched;
use beatwright::study::room::limits::{Failing, limits_of_humidity_going};
use beatwright::study::room::{Mover, RoomQuantity, Rooms, at_place, rate_slopes, rooms};

use crate::support::plain;
use crate::support::program::run;
use crate::support::still::still_works;

fn heron(overrides: &[&str]) -> Scenario {
    plain::loaded("heron.toml", overrides)
}

fn whole(found: &Rooms, quantity: RoomQuantity) -> f64 {
    found.coefficients.iter().find(|coefficient| coefficient.quantity == quantity).unwrap().whole.unwrap()
}

/// The point at the place's own temperature and humidity is the prediction; the movers' shares add up to the whole; the slope is that of the
/// points around.
#[test]
fn exact_points_and_shares() {
    let scenario = heron(&["pendulum.rod.material=steel"]);
    let found = rooms(&scenario.design, &Unwatched).unwrap();
    let home = predict(&scenario.in_room()).unwrap();
    let rate = home.steady.unwrap().rate_s_per_day.unwrap();
    for (quantity, own) in [(RoomQuantity::Temperature, 20.0), (RoomQuantity::Humidity, 0.5)] {
        let point = found.points.iter().find(|point| point.quantity == quantity && point.value == own).unwrap();
        let answer = point.found.as_ref().unwrap();
        assert!((answer.rate_s_per_day.unwrap() - rate).abs() < 1e-6, "{quantity:?}");
        assert_eq!(answer.reason, None);
        assert!((answer.least.unwrap().value() / home.least.unwrap().bare.value() - 1.0).abs() < 1e-4);
    }
    // The slopes without anything else are the same.
    let slopes: Vec<Option<f64>> = found.coefficients.iter().map(|coefficient| coefficient.whole).collect();
    assert_eq!(rate_slopes(&scenario.design, &Unwatched).unwrap().unwrap().to_vec(), slopes);
    for coefficient in &found.coefficients {
        let sum: f64 = coefficient.by_mover.iter().map(|(_, share)| share.unwrap()).sum();
        let whole = coefficient.whole.unwrap();
        // The shares meet one another in the second order only.
        assert!((sum - whole).abs() <= 2e-3 * whole.abs() + 1e-6, "{coefficient:?}");
    }
    let at = |kelvin: f64| {
        let point = found
            .points
            .iter()
            .find(|point| point.quantity == RoomQuantity::Temperature && (point.value - 20.0 - kelvin).abs() < 1e-9);
        point.unwrap().found.as_ref().unwrap().rate_s_per_day.unwrap()
    };
    let slope = (at(2.5) - at(-2.5)) / 5.0;
    assert!((slope / whole(&found, RoomQuantity::Temperature) - 1.0).abs() < 1e-3);
    // A steel rod of 11.5 ppm/K alone: 0.4968 s/day/K of a simple pendulum (43200 alpha); the bob on its shell of PLA takes some of it back.
    let rod = found.coefficients[0].by_mover[0].1.unwrap();
    assert!((-0.56..-0.48).contains(&rod), "{rod}");
    assert!(found.coefficients[0].by_mover[1].1.unwrap() > 0.1);
}

/// Materials that nothing moves leave the air as the only mover, and pressure moves nothing but the air.
#[test]
fn exact_only_the_air_moves() {
    let mut made = heron(&[]).design;
    still_works(&mut made);
    let still = |material: &mut beatwright::clock::design::MaterialRef| *material = material.unmoved();
    if let beatwright::clock::design::PendulumDesign::Parts(parts) = &mut made.pendulum {
        still(&mut parts.rod.material);
        parts.bob.shell = None;
    }
    let found = rooms(&made, &Unwatched).unwrap();
    for coefficient in &found.coefficients {
        for (mover, share) in &coefficient.by_mover {
            let share = share.unwrap();
            match mover {
                Mover::Air => {
                    assert!((share - coefficient.whole.unwrap()).abs() < 2e-2 * share.abs(), "{coefficient:?}")
                }
                Mover::Parts(beatwright::clock::environment::expansion::RoomGroup::Works) => {}
                Mover::Parts(_) => assert!(share.abs() < 1e-9, "{coefficient:?}"),
            }
        }
    }
    // Denser air loses: a bob of 4700 kg/m3 on a disc, between the buoyancy alone (43200 drho/rho_b per hPa) and three times that.
    let buoyancy = 43_200.0 * 0.001_189 / 4_700.0;
    let pressure = 100.0 * whole(&found, RoomQuantity::Pressure);
    assert!(pressure < -0.5 * buoyancy && pressure > -4.0 * buoyancy, "{pressure} against {buoyancy}");
}

/// A column that damp air drives up until the pendulum is none: on the near side of the limit it goes, beyond it does not.
#[test]
fn exact_damp_ends_it() {
    let more = r#"
[[pendulum.column]]
material = "sponge"
length = "15 m"
direction = "up"

[material.sponge]
density = "100 kg/m^3"
humid = "20 %"
"#;
    let scenario = read("mine.toml", &format!("{}\n{more}", starter()), &NO_OVERRIDES).unwrap();
    let found = rooms(&scenario.design, &Unwatched).unwrap();
    let limit = found.limits.iter().find(|limit| limit.stops && limit.rising).unwrap();
    assert!(matches!(limit.failing, Failing::Clock(_)), "{limit:?}");
    assert!((0.5..0.98).contains(&limit.at), "{limit:?}");
    let goes = |humidity: f64| {
        let place = Place { relative_humidity: humidity, ..scenario.design.place };
        predict(&at_place(&scenario.design, place)).is_ok_and(|found| found.steady.is_some())
    };
    assert!(goes(limit.at - 2e-5) && !goes(limit.at), "{limit:?}");
    let dead = found.points.iter().filter(|point| point.quantity == RoomQuantity::Humidity);
    assert!(
        dead.filter(|point| point.value >= limit.at)
            .all(|point| { point.found.as_ref().map_or(true, |answer| answer.reason.is_some()) })
    );
}

fn heron_beech(overrides: &[&str]) -> Design {
    plain::loaded("heron-beech.toml", overrides).design
}

/// The overrides of notebooks-out/README.md: all of flat-sawn solid beech, with the play that meshes usually have.
const FLAT_SAWN: [&str; 6] = [
    "train.cut=\"flat_sawn\"",
    "port.escape_wheel=\"beech\"",
    "port.pallets=\"beech\"",
    "train.backlash=\"0.15625 mm\"",
    "train.arbor.great.backlash=\"0.25 mm\"",
    "train.bottom_clearance=\"25 %\"",
];

/// Heron in wood keeps going with both locks wherever people live; of flat-sawn beech it would not.
#[test]
fn heron_in_wood_stands_the_air_of_a_house() {
    let made = heron_beech(&[]);
    for percent in [5, 35, 50, 65, 68] {
        let place = Place { relative_humidity: 0.01 * f64::from(percent), ..made.place };
        let found = predict(&at_place(&made, place)).unwrap();
        assert!(found.steady.is_some(), "{percent} %");
        let action = found.action().unwrap();
        assert!(action.entry.lock_rad.min(action.exit.lock_rad).to_degrees() > 0.7, "{percent} %");
    }
    let limits = limits_of_humidity_going(&made, 20.0);
    assert!(limits.iter().all(|limit| limit.failing == Failing::MeshJams && limit.at > 0.68), "{limits:?}");
    assert!(
        limits[0].stops && !limits[1].stops && room_limit_words(&limits[0]).starts_with("mesh centre"),
        "{limits:?}"
    );
    let flat = limits_of_humidity_going(&heron_beech(&FLAT_SAWN), 20.0);
    let jam = &flat[0];
    assert!(jam.failing == Failing::MeshJams && jam.stops && (0.5..0.55).contains(&jam.at), "{flat:?}");
    let past = flat.iter().find(|limit| matches!(limit.failing, Failing::Hold(_))).unwrap();
    assert!(!past.rising && (0.35..0.45).contains(&past.at), "{flat:?}");
    // Told once: the stop in damp air is the jam's, the one in dry air is the clock's own.
    let stops: Vec<_> = flat.iter().filter(|limit| limit.stops).collect();
    assert!(stops.len() == 2 && !stops[1].rising, "{flat:?}");
    assert_eq!(stops[1].failing, Failing::Clock(Some(Reason::LosesAmplitude)));
}

/// A train that jams is told as that, whatever the pendulum still does.
#[test]
fn a_jam_in_a_room_is_told_as_one() {
    let made = heron_beech(&FLAT_SAWN);
    let damp = at_place(&made, Place { relative_humidity: 0.6, ..made.place });
    assert_eq!(predict_only(&damp, Wanted::NOTHING).unwrap().reason(), Some(Reason::Jams));
    let found = predict(&damp).unwrap();
    assert_eq!(found.reason(), Some(Reason::Jams));
    let results = prediction::json::record(&damp, &found);
    let table = prediction::text::table(&results, &BenchChecks::of(&found.built));
    let headline = table.lines().next().unwrap();
    let beside = comparison::text::table(&[], &[results], &[None]);
    let stops = beside.lines().find(|line| line.contains(" stops: ")).unwrap();
    let row = rooms(&made, &Unwatched)
        .unwrap()
        .points
        .into_iter()
        .find(|point| point.quantity == RoomQuantity::Humidity && (point.value - 0.6).abs() < 1e-12);
    let in_room = row.unwrap().found.unwrap();
    let meshes = &found.built.train.as_ref().unwrap().depthings;
    let arbors = &made.train.as_ref().unwrap().arbors;
    let mut tight = 0;
    for (mesh, pair) in meshes.iter().zip(arbors.windows(2)) {
        let name = MeshName::of(&pair[0], &pair[1], mesh);
        let is_tight = mesh.tightness().is_some();
        tight += usize::from(is_tight);
        for said in [headline, stops] {
            assert_eq!(said.contains(&name.to_string()), is_tight, "{said}");
            assert!(!said.contains("pallet"), "{said}");
        }
        assert_eq!(in_room.jammed.contains(&name), is_tight, "{in_room:?}");
    }
    assert!(tight > 0 && headline.contains("STOPS: mesh "), "{headline}");
    assert_eq!(reason_with_meshes(Reason::Jams, &[]), "tooth and pallet jam");
}

/// Faces of solid wood leave their circle by 2e-4 in a few kelvin; the swing does not jump for it.
#[test]
fn concentric_faces_of_wood_hold_through_a_few_kelvin() {
    let made = heron_beech(&FLAT_SAWN);
    let arc = |kelvin: f64| {
        let place = Place { temperature_c: 20.0 + kelvin, ..made.place };
        predict(&at_place(&made, place)).unwrap().steady.unwrap().measured.right_rad.to_degrees()
    };
    let [cold, own, warm] = [-2.5, 0.0, 2.5].map(arc);
    assert!((cold - own).abs() < 3e-3 && (warm - own).abs() < 3e-3, "{cold} {own} {warm}");
}

#[test]
fn room_writes_its_files() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let (code, told, _) = run(&["room", "tests/support/plain/wren.toml", "--out", out, "--quiet"]);
    assert_eq!(code, 0);
    for wanted in ["temperature degC", "humidity %", "pressure hPa", "What a small change does", "suspension"] {
        assert!(told.contains(wanted), "{wanted}: {told}");
    }
    for file in ["room.json", "room.csv", "room.svg"] {
        assert!(folder.path().join(file).metadata().unwrap().len() > 500, "{file}");
    }
    let read = |file: &str| std::fs::read_to_string(folder.path().join(file)).unwrap();
    let points: serde_json::Value = serde_json::from_str(&read("room.json")).unwrap();
    let table = read("room.csv");
    let mut rows = table.lines().map(|line| line.split(',').collect::<Vec<_>>());
    let column = rows.next().unwrap().iter().position(|&name| name == "meets_margin").unwrap();
    for (row, point) in rows.zip(points["points"].as_array().unwrap()) {
        let answer = match point["meets_margin"].as_bool() {
            Some(true) => "yes",
            Some(false) => "no",
            None => "",
        };
        assert_eq!(row[column], answer, "{point}");
        assert_eq!(answer.is_empty(), point["verdict"] != "keeps_going", "{point}");
    }
    let (code, json, _) = run(&["room", "tests/support/plain/heron.toml", "--json", "--quiet"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(code, 0);
    assert_eq!(json["points"].as_array().unwrap().len(), 26);
    assert_eq!(json["towns"].as_array().unwrap().len(), 2);
    assert!(json["scenario_hash"].is_string() && json["coefficients"][0]["rate_s_per_day"].is_number());
}

#[test]
fn materials_tells_sources() {
    let (code, table, _) = run(&["materials"]);
    assert_eq!(code, 0);
    assert!(table.contains("PLA on PLA") && table.contains("American beech"), "{table}");
    let (_, ash, _) = run(&["materials", "ash"]);
    assert!(
        ash.contains("Table 13-5") && ash.contains("source:") && ash.contains("typical value, unsourced:"),
        "{ash}"
    );
    let (code, _, told) = run(&["materials", "asch"]);
    assert_eq!(code, 2);
    assert!(told.contains("there is no material or pair of materials \"asch\"") && told.contains("ash"), "{told}");
    let (_, json, _) = run(&["materials", "--json"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert!(json["materials"].as_array().unwrap().len() > 35 && json["friction_pairs"].as_array().unwrap().len() > 10);
}

/// The keys of setting up and of the towns are always there.
#[test]
fn predict_tells_how_to_set_it_up() {
    let (code, json, _) = run(&["predict", "tests/support/plain/heron.toml", "--json", "--quiet"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert_eq!(code, 0);
    for key in [
        "nut_turns_to_time",
        "nut_way_to_time_mm",
        "beat_error_ms",
        "beat_crutch_deg",
        "settling_periods",
        "settling_days",
    ] {
        assert!(json[key].is_number(), "{key}");
    }
    assert!(json["beat_crutch_mm"].is_null() && json.get("beat_crutch_mm").is_some());
    let mountains = &json["towns"][1];
    assert!(mountains["rate_s_per_day"].as_f64().unwrap() < -10.0, "{mountains}");
    assert!(mountains["nut_turns_to_time"].as_f64().unwrap() > 0.1, "{mountains}");
    let (_, json, _) =
        run(&["predict", "tests/support/plain/heron.toml", "--json", "--quiet", "--set", "drive.weight=1 kg"]);
    let json: serde_json::Value = serde_json::from_str(&json).unwrap();
    assert!(json["nut_turns_to_time"].is_null() && json["towns"][0]["verdict"] == "stops");
}
