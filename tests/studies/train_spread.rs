//! Gears and arbors of the train that differ from copy to copy.

use beatwright::answers::verdict::Reason;
use beatwright::clock::environment::InRoom;
use beatwright::clock::printing::printer::{Printer, Spread, SpreadPer};
use beatwright::clock::train::mesh_name::MeshName;
use beatwright::clock::train::train_made::TrainMade;
use beatwright::report::spread::failing_reason;
use beatwright::report::spread::text::drawn_table;
use beatwright::report::words::spread_inputs::{input_key, input_name};
use beatwright::study::jobs::Unwatched;
use beatwright::study::spread::Run;
use beatwright::study::spread::inputs::{Making, PrinterQuantity, Varied, inputs_of};

use crate::support::plain;

const MM: f64 = 1e-3;

fn heron(overrides: &[&str]) -> InRoom {
    plain::loaded("heron.toml", overrides).in_room()
}

fn with(in_room: &InRoom, printer: Printer) -> InRoom {
    InRoom { printer, ..in_room.clone() }
}

fn made(in_room: &InRoom, share: f64) -> Making {
    let inputs = inputs_of(in_room);
    let values: Vec<f64> = inputs.iter().map(|input| input.value_at(share)).collect();
    Making::of(&in_room.printer, &TrainMade::mean_of(in_room).print, &inputs, &values)
}

#[test]
fn every_gear_and_every_distance_draws_its_own_unless_the_printer_has_one() {
    let spread = |per| Spread { value: 0.01 * MM, spread: 0.03 * MM, per };
    let of = |per| Printer {
        growth: spread(per),
        run_out: spread(per),
        centre_distance_error: spread(per),
        ..Printer::default()
    };
    let plain = heron(&[]);
    let by_part = with(&plain, of(SpreadPer::Part));
    let names: Vec<String> = inputs_of(&by_part).iter().map(input_name).collect();
    for name in ["growth, train's gears", "run-out of the train's gears", "centre distances of the train"] {
        assert!(names.iter().any(|own| own == name), "{name} {names:?}");
    }
    assert!(inputs_of(&by_part).iter().any(|input| input_key(input) == "train_growth_draw"));
    let train = made(&by_part, 0.37).train;
    let gears: Vec<_> = train.meshes.iter().flat_map(|mesh| [mesh.wheel.unwrap(), mesh.pinion.unwrap()]).collect();
    let mut drawn: Vec<f64> = gears.iter().map(|gear| gear.part.growth_m).collect();
    drawn.extend(gears.iter().map(|gear| gear.run_out_m));
    drawn.extend(train.meshes.iter().map(|mesh| mesh.distance_error_m));
    assert_eq!(drawn.len(), 15);
    for (index, value) in drawn.iter().enumerate() {
        assert!((value - 0.01 * MM).abs() <= 0.045_001 * MM);
        // Where the distribution is cut at nothing two may be alike.
        assert!(!drawn[..index].contains(value), "{drawn:?}");
    }
    let by_printer = with(&plain, of(SpreadPer::Printer));
    assert!(!inputs_of(&by_printer).iter().any(|input| matches!(input.varied, Varied::Train(_))));
    let making = made(&by_printer, 0.37);
    for mesh in &making.train.meshes {
        assert_eq!(mesh.wheel.unwrap().part.growth_m, making.wheel.growth_m);
        assert_eq!(mesh.pinion.unwrap().part.growth_m, making.pallets.growth_m);
        assert_eq!(mesh.distance_error_m, making.assembly.further_apart_m);
    }
}

/// The growths that gears draw, over many copies, have the mean and the spread that the printer states: a normal distribution cut at
/// three standard deviations keeps 0.9733 of its variance (derived: `1 - 6 phi(3)/(2 Phi(3) - 1)`).
#[test]
fn exact_gears_draw_from_the_stated_distribution() {
    let growth = Spread { value: 0.01 * MM, spread: 0.04 * MM, per: SpreadPer::Part };
    let in_room = with(&heron(&[]), Printer { growth, ..Printer::default() });
    let count = 3000;
    let shares = (0..count).map(|k| (f64::from(k) + 0.5) / f64::from(count));
    let all: Vec<f64> = shares
        .flat_map(|share| made(&in_room, share).train.meshes)
        .flat_map(|mesh| [mesh.wheel.unwrap().part.growth_m, mesh.pinion.unwrap().part.growth_m])
        .collect();
    let mean = all.iter().sum::<f64>() / all.len() as f64;
    let variance = all.iter().map(|value| (value - mean).powi(2)).sum::<f64>() / all.len() as f64;
    assert!((mean - 0.01 * MM).abs() < 4.0 * 0.02 * MM / (all.len() as f64).sqrt(), "{mean}");
    assert!((variance.sqrt() / (0.02 * MM) - 0.9733_f64.sqrt()).abs() < 0.02, "{}", variance.sqrt());
    // Neighbours are drawn by themselves: no correlation beyond four standard errors.
    let products: f64 = all.chunks(2).map(|pair| (pair[0] - mean) * (pair[1] - mean)).sum();
    assert!((products / (0.5 * all.len() as f64) / variance).abs() < 4.0 / (0.5 * all.len() as f64).sqrt());
}

/// The table of one copy tells the least and the most of its gears, in the quantity's unit, to the four digits shown.
#[test]
fn exact_a_copy_tells_between_what_its_gears_are() {
    let spread = |value, spread| Spread { value, spread, per: SpreadPer::Part };
    let printer = Printer {
        shrinkage: spread(3e-3, 1e-3),
        run_out: spread(0.03 * MM, 0.02 * MM),
        centre_distance_error: spread(0.0, 0.05 * MM),
        ..Printer::default()
    };
    let in_room = with(&heron(&["train.backlash=\"0.3 mm\""]), printer);
    let (run, mean) = (Run::of(&in_room, 3).unwrap(), TrainMade::mean_of(&in_room).print);
    let copy = run.copy(2);
    let table = drawn_table(&run.inputs, &mean, &copy);
    let meshes = Making::of(&in_room.printer, &mean, &run.inputs, &copy.drawn).train.meshes;
    let gears: Vec<_> = meshes.iter().flat_map(|mesh| [mesh.wheel.unwrap(), mesh.pinion.unwrap()]).collect();
    let shrinkages: Vec<f64> = gears.iter().map(|gear| 1e2 * gear.part.shrinkage).collect();
    let run_outs: Vec<f64> = gears.iter().map(|gear| 1e3 * gear.run_out_m).collect();
    let distances: Vec<f64> = meshes.iter().map(|mesh| 1e3 * mesh.distance_error_m).collect();
    for (name, all, unit) in [
        ("shrinkage, train's gears", shrinkages, "%"),
        ("run-out of the train's gears", run_outs, "mm"),
        ("centre distances of the train", distances, "mm"),
    ] {
        let line = table.lines().find(|line| line.contains(name)).unwrap_or_else(|| panic!("{name}: {table}"));
        let told: Vec<&str> = line.trim().strip_prefix(name).unwrap().split_whitespace().collect();
        let [least, "to", most, own] = told[..] else { panic!("{line}") };
        assert_eq!(own, unit);
        let number = |text: &str| text.replace('\u{2212}', "-").parse::<f64>().unwrap();
        let ends =
            [all.iter().copied().fold(f64::INFINITY, f64::min), all.iter().copied().fold(-f64::INFINITY, f64::max)];
        for (told, end) in [number(least), number(most)].into_iter().zip(ends) {
            assert!((told - end).abs() <= 6e-4 * end.abs(), "{line} {end}");
        }
    }
}

#[test]
fn copies_whose_mesh_binds_stop_by_it_and_those_with_play_go() {
    let growth = "printer.growth=\"0.02 mm +/- 0.03 mm\"";
    let in_room = heron(&["train.backlash=\"0.15 mm\"", growth]);
    let run = Run::of(&in_room, 3).unwrap();
    assert!(run.inputs.iter().any(|input| input.varied == Varied::Train(PrinterQuantity::Growth)));
    let copies = run.copies(60, &Unwatched);
    let mut jammed = 0;
    for copy in &copies {
        let built = run.built(copy.number).unwrap();
        let jams = built.train.as_ref().unwrap().jams();
        let stops = copy.outcome.as_ref().unwrap().stops;
        assert_eq!(jams, built.mechanism.jams);
        assert_eq!(jams, stops == Some(Reason::Jams), "{}", copy.number);
        assert!(!jams || copy.least_drive().is_infinite());
        let named = failing_reason(copy).unwrap_or_default();
        let arbors = &in_room.train.as_ref().unwrap().arbors;
        for (mesh, pair) in built.train.as_ref().unwrap().depthings.iter().zip(arbors.windows(2)) {
            let name = MeshName::of(&pair[0], &pair[1], mesh).to_string();
            assert_eq!(named.contains(&name), mesh.tightness().is_some(), "{}: {named}", copy.number);
        }
        jammed += u32::from(jams);
    }
    assert!((1..60).contains(&jammed), "{jammed}");
}
