//! Maps, levers and families of a design: the same to the last bit as those of the scenario from which it was read, whose values
//! are written into its text instead; and what only a design can be asked.

use beatwright::clock::design::{Design, DriveDesign};
use beatwright::clock::printing::bed::Bed;
use beatwright::clock::printing::part_sizes::PartGroup;
use beatwright::clock::transform::scale::{Factors, scaled};
use beatwright::report::prediction::by_key::{Answers, Number};
use beatwright::scenario::Scenario;
use beatwright::study::comparison::predictions;
use beatwright::study::family::{FamilyAsk, Resizable, family, family_of};
use beatwright::study::jobs::Unwatched;
use beatwright::study::levers::steps::{SteppedQuantity, quantities};
use beatwright::study::levers::{DesignQuantity, levers, levers_of};
use beatwright::study::map::axis::Axis;
use beatwright::study::map::{Map, MapAsk, Outcome, Role, Sweep, map, map_of};
use beatwright::study::setter::Setter;
use beatwright::units::{Kind, quantity_in_si};

use crate::support::plain::loaded;

fn with_weight(design: &Design, weight_kg: f64) -> Result<Design, String> {
    let mut changed = design.clone();
    match &mut changed.drive {
        Some(DriveDesign::Weight(weight)) => weight.weight_kg = weight_kg,
        _ => return Err("no weight".to_owned()),
    }
    Ok(changed)
}

fn with_start(design: &Design, start_arc_rad: f64) -> Result<Design, String> {
    Ok(Design { start_arc_rad: Some(start_arc_rad), ..design.clone() })
}

fn answers() -> Answers {
    let keys = ["semi_arc_deg", "rate_s_per_day", "weight_ratio", "start_arc_deg"];
    Answers::of_numbers(keys.into_iter().filter_map(Number::named))
}

/// The map of a scenario over axes in SI units, and that of its design over their values.
fn both_maps(scenario: &Scenario, axes: &[(&str, Role, &Setter<'_>)]) -> (Map, Map) {
    let read: Vec<Axis> = axes.iter().map(|(text, ..)| Axis::parse(text).unwrap()).collect();
    assert!(read.iter().all(|axis| axis.si_per_unit() == Some(1.0)));
    let values: Vec<Vec<f64>> = read.iter().map(Axis::values).collect();
    let sweep = |number: usize| Sweep { role: axes[number].1, values: &values[number], set: axes[number].2 };
    let answers = answers();
    let ask = MapAsk { scenario, x: &read[0], y: read.get(1), answers: &answers };
    let of_design = map_of(&scenario.design, sweep(0), (axes.len() > 1).then(|| sweep(1)), &answers, &Unwatched);
    (map(&ask, &Unwatched), of_design)
}

#[test]
fn crosscheck_a_map_over_the_drive_is_that_of_the_scenario() {
    let scenario = loaded("heron.toml", &[]);
    let (of_scenario, of_design) = both_maps(&scenario, &[("drive.weight=0.5kg..4kg:8", Role::Drive, &with_weight)]);
    assert_eq!(of_design, of_scenario);
    assert!(of_design.rows.iter().any(|row| row.outcome == Outcome::KeepsGoing));
    assert!(of_design.rows.iter().any(|row| matches!(row.outcome, Outcome::Stops(_))));
    assert_eq!((of_design.rows.len(), of_design.least.len(), of_design.lines.len()), (8, 1, 1));
}

#[test]
fn crosscheck_a_map_over_the_start_arc_is_that_of_the_scenario() {
    let scenario = loaded("wren.toml", &[]);
    let axis: (&str, Role, &Setter<'_>) = ("start_arc=0.02rad..0.1rad:9", Role::StartArc, &with_start);
    let (of_scenario, of_design) = both_maps(&scenario, &[axis]);
    assert_eq!(of_design, of_scenario);
    assert!(of_design.lines[0].stretches.len() > 1, "{:?}", of_design.lines);
    let with_drive = [("drive.weight=0.4kg..1kg:4", Role::Drive, &with_weight as &Setter<'_>), axis];
    let (of_scenario, of_design) = both_maps(&scenario, &with_drive);
    assert_eq!(of_design, of_scenario);
    assert_eq!(of_design.rows.len(), 36);
}

/// The quantity of a scenario with a path, and its value in SI as the scenario reads it.
fn quantity_of(scenario: &Scenario, path: &str) -> SteppedQuantity {
    quantities(scenario).0.into_iter().find(|quantity| quantity.path == path).unwrap()
}

#[test]
fn crosscheck_levers_are_those_of_the_scenario() {
    let scenario = loaded("wren.toml", &[]);
    let with_drum = |design: &Design, diameter_mm: f64| {
        let mut changed = design.clone();
        let Some(DriveDesign::Weight(weight)) = &mut changed.drive else { return Err("no weight".to_owned()) };
        // Down to the last bit as it is read.
        weight.drum_diameter_m = quantity_in_si(&format!("{diameter_mm} mm"), Kind::Length).unwrap();
        Ok(changed)
    };
    let asked = [("drive.weight", &with_weight as &Setter<'_>), ("drive.drum_diameter", &with_drum)];
    let asked = asked.map(|(path, set)| DesignQuantity { quantity: quantity_of(&scenario, path), set });
    let of_design = levers_of(&scenario.design, &asked, &Unwatched).unwrap();
    let of_scenario = levers(&scenario, &Unwatched).unwrap();
    assert_eq!((of_design.today, &of_design.point), (of_scenario.today, &of_scenario.point));
    assert_eq!((of_design.levers.len(), of_design.count), (2, 2));
    for lever in &of_design.levers {
        let same = of_scenario.levers.iter().find(|other| other.quantity.path == lever.quantity.path);
        assert_eq!(Some(lever), same);
    }
}

#[test]
fn crosscheck_a_family_is_that_of_the_scenarios() {
    let scenarios = [loaded("wren.toml", &[]), loaded("wren.toml", &["drive.weight=1.1 kg"])];
    let resized = |design: &Design, factor: f64| {
        // What `scale.all` stands for: the movement; neither the pendulum nor what room, shop and printer give.
        let Factors { pendulum, weight, drop, bearings, cord, clearances, bead, .. } = Factors::NONE;
        let factors = Factors { pendulum, weight, drop, bearings, cord, clearances, bead, ..Factors::all(factor) };
        scaled(design, &factors).map_err(|error| error.to_string())
    };
    let [first, second] = scenarios.each_ref().map(|scenario| move |factor: f64| resized(&scenario.design, factor));
    let all = PartGroup::goes_with_all;
    let clocks = [
        Resizable { design: &scenarios[0].design, factor: 1.0, grows: &all, resized: &first },
        Resizable { design: &scenarios[1].design, factor: 1.0, grows: &all, resized: &second },
    ];
    let bed = Bed { width_m: 0.2, depth_m: 0.2, height_m: None };
    let ask = FamilyAsk { factors: vec![0.8], beds: vec![bed] };
    let known = || predictions(&scenarios).into_iter().map(Result::unwrap).collect();
    let of_scenarios = family(&scenarios, known(), &ask, &Unwatched);
    let of_designs = family_of(&clocks, known(), &ask, &Unwatched);
    assert_eq!(of_designs.len(), 2);
    for (one, other) in of_designs.iter().zip(&of_scenarios) {
        assert!(one.sizes[0].found.is_ok(), "{:?}", one.sizes);
        assert_eq!(one.sizes, other.sizes);
        assert_eq!((one.factor, &one.parts, &one.beds), (other.factor, &other.parts, &other.beds));
        assert_eq!((&one.smallest, &one.smallest_locking), (&other.smallest, &other.smallest_locking));
        assert_eq!((&one.humidity, &one.steps), (&other.humidity, &other.steps));
    }
}

#[test]
fn a_setter_that_refuses_makes_a_row_with_its_reason() {
    let design = loaded("wren.toml", &[]).design;
    let refusing = |design: &Design, weight_kg: f64| {
        if weight_kg < 0.5 { Err("too light to buy".to_owned()) } else { with_weight(design, weight_kg) }
    };
    let sweep = Sweep { role: Role::Drive, values: &[0.4, 0.9], set: &refusing };
    let found = map_of(&design, sweep, None, &answers(), &Unwatched);
    assert_eq!(found.rows[0].outcome, Outcome::NoClock("too light to buy".to_owned()));
    assert_eq!(found.rows[1].outcome, Outcome::KeepsGoing);
    let quantity = DesignQuantity { quantity: SteppedQuantity::of("weight", 0.55, Some("kg"), 0.1), set: &refusing };
    let found = levers_of(&design, &[quantity], &Unwatched).unwrap();
    assert!(found.levers[0].up.missing.is_none() && found.levers[0].down.missing.is_some());
    assert!(found.levers[0].down.change.iter().all(Option::is_none));
}

#[test]
fn no_values_no_rows() {
    let design = loaded("wren.toml", &[]).design;
    let (weights, none) = ([0.9], []);
    let sweep = |values| Sweep { role: Role::Drive, values, set: &with_weight };
    let start = |values| Some(Sweep { role: Role::StartArc, values, set: &with_start });
    for (x, y) in [(&none[..], None), (&weights[..], start(&none[..])), (&none[..], start(&weights[..]))] {
        assert_eq!(map_of(&design, sweep(x), y, &answers(), &Unwatched), Map::default());
    }
}
