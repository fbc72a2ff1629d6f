//! What a page asks its readers, and what its engine answers, asked natively.

use beatwright::browser::{Answer, AskedPart, Engine, Opening, PageQuestion};
use beatwright::predict;
use beatwright::report::prediction::json::record;
use beatwright::scenario::{load, read_texts};
use beatwright::study::page_asks::page_asks;

use crate::support::{demo, plain};

const CLOCKS: [&str; 3] = ["heron.toml", "wren.toml", "heron-beech.toml"];

#[test]
fn exact_a_scenario_without_its_folder_is_the_same_clock() {
    for name in CLOCKS {
        let scenario = demo::loaded(name, &["drive.weight=5.25 kg", "train.arbor.third.mass=80 g"]);
        let alone = read_texts(&scenario.alone().unwrap(), &scenario.overrides).unwrap();
        assert_eq!(alone.design, scenario.design, "{name}");
    }
}

fn engine(name: &str) -> Engine {
    Engine::of(Opening { texts: plain::loaded(name, &[]).alone().unwrap(), overrides: Vec::new() }).unwrap()
}

#[test]
fn exact_the_engine_answers_as_predict_does() {
    let overrides = ["drive.weight=4 kg".to_owned(), "printer.bead_radius=0.25 mm".to_owned()];
    let engine = engine("heron.toml");
    let own = plain::loaded("heron.toml", &["drive.weight=4 kg", "printer.bead_radius=0.25 mm"]);
    let in_room = own.in_room();
    let expected = serde_json::to_value(record(&in_room, &predict(&in_room).unwrap())).unwrap();
    let Answer::Found(all) =
        engine.answer(&PageQuestion { overrides: overrides.to_vec(), asked: AskedPart::Everything })
    else {
        panic!("refused")
    };
    assert_eq!(serde_json::to_value(&all.results).unwrap(), expected);
    let Answer::Found(swing) = engine.answer(&PageQuestion { overrides: overrides.to_vec(), asked: AskedPart::Swing })
    else {
        panic!("refused")
    };
    assert_eq!(swing.results.semi_arc_deg, all.results.semi_arc_deg);
    assert_eq!(swing.results.least_weight_kg, None);
    assert_eq!(swing.motion, all.motion);
}

#[test]
fn what_is_no_clock_is_refused_in_words() {
    let engine = engine("wren.toml");
    for (asked, setting) in [(AskedPart::Swing, "drive.weight=3 kilo"), (AskedPart::Everything, "drive.wait=3 kg")] {
        let question = PageQuestion { overrides: vec![setting.to_owned()], asked };
        let Answer::Refused(why) = engine.answer(&question) else { panic!("{setting} was answered") };
        assert!(why.contains("kilo") || why.contains("wait"), "{why}");
    }
    assert!(engine.answer_in_json("{").contains("refused"));
}

#[test]
fn a_page_asks_what_workshops_differ_in_or_what_it_is_told_to() {
    let paths = |settings: &[&str]| -> Vec<String> {
        let scenario = demo::loaded("heron.toml", settings);
        page_asks(&scenario).unwrap().into_iter().map(|asked| asked.varied.path).collect()
    };
    let usual = paths(&[]);
    for path in ["drive.weight", "printer.bead_radius", "printer.growth", "pendulum.bob.mass", "place.latitude"] {
        assert!(usual.iter().any(|known| known == path), "{path} is not among {usual:?}");
    }
    assert!(usual.iter().any(|path| path.ends_with("friction")), "{usual:?}");
    let named = paths(&["page.ask=['drive.weight=3kg..6kg', 'escapement.dead_beat.teeth=30|32']"]);
    assert_eq!(named, ["drive.weight", "escapement.dead_beat.teeth"]);
    let in_grams = page_asks(&demo::loaded("heron.toml", &["page.ask=['drive.weight=3000g..6000g']"])).unwrap();
    assert_eq!(in_grams[0].own.map(f64::round), Some(4600.0));
    let own = page_asks(&demo::loaded("heron.toml", &[]))
        .unwrap()
        .into_iter()
        .find(|asked| asked.varied.path == "drive.weight");
    assert_eq!(own.unwrap().own, Some(4.6));
}

#[test]
fn what_a_page_cannot_ask_is_told_at_its_place() {
    for (setting, wrong) in [
        ("page.ask=['drive.weigth=3kg..6kg']", "weigth"),
        ("page.ask=['drive.weight=6kg..3kg']", "bounds"),
        ("page.ask=['drive.weight']", "\"=\""),
    ] {
        let scenario = demo::loaded("heron.toml", &[setting]);
        let problem = page_asks(&scenario).unwrap_err();
        assert!(problem.message.contains(wrong), "{setting}: {}", problem.message);
    }
    for setting in ["page.ask='drive.weight=3kg..6kg'", "page.ask=[3]", "page.asks=[]"] {
        let error = demo::complaint(load(&demo::path("heron.toml"), &[setting]));
        assert!(error.contains("page"), "{setting}: {error}");
    }
}
