//! `[printer]`: values, spreads and their tables, and every problem at its place.

use beatwright::clock::build::build;
use beatwright::clock::printing::printer::{Printer, Spread, SpreadPer};
use beatwright::scenario::{LoadError, NO_OVERRIDES, Scenario, read};

use crate::support::plain::{self, HERON};

/// Heron without its own printer.
fn as_drawn() -> &'static str {
    HERON.split_once("[printer]").unwrap().0
}

fn heron_with(printer: &str) -> Result<Scenario, LoadError> {
    read("heron.toml", &format!("{}[printer]\n{printer}", as_drawn()), &NO_OVERRIDES)
}

fn close(a: Spread, value: f64, spread: f64, per: SpreadPer) {
    assert!((a.value - value).abs() < 1e-18 && (a.spread - spread).abs() < 1e-18 && a.per == per, "{a:?}");
}

#[test]
fn exact_spreads_read_in_each_of_their_forms() {
    let text = "shrinkage = \"0.3 %\"\ngrowth = \"0.05 mm +/- 0.03 mm\"\nbead_radius = \"0.2 mm ± 10 um\"\n\
        pivot_play = { value = \"0.1 mm\", spread = \"0.02 mm\", per = \"printer\" }\nelephant_foot = { value = \"0.1 mm\" }\n\
        centre_distance_error = \"-0.1 mm +/- 0.2 mm\"";
    let printer = heron_with(text).unwrap_or_else(|error| panic!("{error}")).design.printer;
    close(printer.shrinkage, 0.003, 0.0, SpreadPer::Part);
    close(printer.growth, 0.05e-3, 0.03e-3, SpreadPer::Part);
    close(printer.bead_radius, 0.2e-3, 0.01e-3, SpreadPer::Part);
    close(printer.pivot_play, 0.1e-3, 0.02e-3, SpreadPer::Printer);
    close(printer.elephant_foot, 0.1e-3, 0.0, SpreadPer::Part);
    close(printer.centre_distance_error, -0.1e-3, 0.2e-3, SpreadPer::Part);
    close(printer.run_out, 0.0, 0.0, SpreadPer::Part);
    let plain = read("heron.toml", as_drawn(), &NO_OVERRIDES).unwrap().design;
    assert_eq!(plain.printer, Printer::default());
    let overrides = ["printer.growth=0.05 mm +/- 0.03 mm".to_owned()];
    let set = read("heron.toml", as_drawn(), &overrides).unwrap_or_else(|error| panic!("{error}"));
    close(set.design.printer.growth, 0.05e-3, 0.03e-3, SpreadPer::Part);
}

#[test]
fn tells_a_bad_printer() {
    let name = "printer.toml";
    let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/data/bad").join(name);
    insta::assert_snapshot!(plain::complaint(read(name, &std::fs::read_to_string(path).unwrap(), &NO_OVERRIDES)));
}

#[test]
fn tells_a_bead_wider_than_a_tooth_at_its_radius() {
    let scenario = heron_with("bead_radius = \"4 mm\"").unwrap();
    let error = build(&scenario.in_room()).unwrap_err();
    insta::assert_snapshot!(scenario.problems(vec![scenario.problem_of(&error)]).render(false));
}
