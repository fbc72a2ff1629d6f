//! Many printed copies: the points, intervals and indices behind them, the copies themselves, and what cannot be asked.

use std::f64::consts::PI;

use beatwright::answers::prediction::predict;
use beatwright::answers::solve::Solver;
use beatwright::clock::environment::InRoom;
use beatwright::clock::mechanism::EscapementModel;
use beatwright::clock::printing::printer::{Printer, Spread, SpreadPer};
use beatwright::clock::printing::train_print::TrainPrint;
use beatwright::numerics::indices::{Block, sobol_indices};
use beatwright::numerics::intervals::{quantile, quantile_bounds, samples_for_upper_end, wilson};
use beatwright::numerics::points::{drawn_below, plain, scrambled};
use beatwright::study::spread::copy::built_copy;
use beatwright::study::spread::inputs::{Making, PrinterQuantity, Varied, VaryingPart, inputs};
use beatwright::study::spread::plan::{Draw, drawn_values, place};
use beatwright::study::spread::{NoSpread, Run};
use serde_json::Value;

use crate::support::plain;
use crate::support::program::run;

const SEED: u32 = 7;

fn heron(overrides: &[&str]) -> InRoom {
    plain::loaded("heron.toml", overrides).in_room()
}

fn spread(arguments: &[&str]) -> (i32, String, String) {
    run(&[&["spread"], arguments].concat())
}

#[test]
fn crosscheck_points_are_those_of_scipy() {
    let table = include_str!("../data/spread/sobol_points.csv");
    let mut points = 0;
    for (row, line) in table.lines().filter(|line| !line.starts_with('#')).enumerate() {
        points += 1;
        let gray = row as u32 ^ (row as u32 >> 1);
        for (dimension, cell) in line.split(',').enumerate() {
            let expected: f64 = cell.parse().unwrap();
            assert!((plain(gray, dimension as u32) - expected).abs() < 1e-9, "point {row}, dimension {dimension}");
        }
    }
    assert_eq!(points, 64);
}

/// Owen's scrambling keeps the net: of the first 256 points each of 256 intervals of a coordinate holds one, and so does each
/// of 16 times 16 squares of the first two.
#[test]
fn exact_scrambled_points_stay_stratified() {
    for seed in [0, 1, SEED, u32::MAX] {
        for dimension in 0..24 {
            let mut hit = [false; 256];
            (0..256).for_each(|index| hit[(256.0 * scrambled(index, dimension, seed)) as usize] = true);
            assert!(hit.iter().all(|&hit| hit), "seed {seed}, dimension {dimension}");
        }
        let mut squares = [false; 256];
        for index in 0..256 {
            let coordinate = |dimension| (16.0 * scrambled(index, dimension, seed)) as usize;
            squares[16 * coordinate(0) + coordinate(1)] = true;
        }
        assert!(squares.iter().all(|&hit| hit), "seed {seed}");
    }
    assert_ne!(scrambled(3, 0, 1).to_bits(), scrambled(3, 0, 2).to_bits());
    // Beyond the end of the sequence comes another scrambling, not the same points again.
    assert_ne!(scrambled(5, 0, SEED).to_bits(), scrambled((1 << 16) + 5, 0, SEED).to_bits());
}

/// `f = sin x1 + a sin^2 x2 + b x3^4 sin x1`, all uniform from -pi to pi: T. Ishigami and T. Homma, "An importance quantification
/// technique in uncertainty analysis for computer models" (1990), not seen; the variances below derived here by integration:
/// `V1 = (1 + b pi^4 / 5)^2 / 2`, `V2 = a^2 / 8`, `V13 = 8 b^2 pi^8 / 225`, no others.
#[test]
fn published_indices_of_the_ishigami_function() {
    let (a, b) = (7.0, 0.1);
    let f = |x: [f64; 3]| x[0].sin() + a * x[1].sin().powi(2) + b * x[2].powi(4) * x[0].sin();
    let blocks: Vec<Block> = (0..8192)
        .map(|index| {
            let at = |dimension| PI * (2.0 * scrambled(index, dimension, SEED) - 1.0);
            let (first, second) = ([at(0), at(1), at(2)], [at(3), at(4), at(5)]);
            let swapped = (0..3).map(|input| {
                let mut x = first;
                x[input] = second[input];
                f(x)
            });
            Block { first: f(first), second: f(second), swapped: swapped.collect() }
        })
        .collect();
    let (v1, v2, v13) = (0.5 * (1.0 + b * PI.powi(4) / 5.0).powi(2), a * a / 8.0, 8.0 * b * b * PI.powi(8) / 225.0);
    let whole = v1 + v2 + v13;
    let found = sobol_indices(&blocks, SEED).unwrap();
    let expected = [(v1, v1 + v13), (v2, v2), (0.0, v13)];
    for (index, (first, total)) in found.iter().zip(expected) {
        assert!((index.first_order.value - first / whole).abs() < 0.01, "{index:?} {}", first / whole);
        assert!((index.total.value - total / whole).abs() < 0.01, "{index:?} {}", total / whole);
        for (estimate, exact) in [(index.first_order, first / whole), (index.total, total / whole)] {
            assert!(estimate.low <= exact && exact <= estimate.high, "{estimate:?} {exact}");
            assert!(estimate.high - estimate.low < 0.1);
        }
    }
    assert_eq!(found, sobol_indices(&blocks, SEED).unwrap());
    assert!(sobol_indices(&blocks[..15], SEED).is_none());
    let level = Block { first: 2.0, second: 2.0, swapped: vec![2.0; 3] };
    assert!(sobol_indices(&vec![level; 20], SEED).is_none());
}

/// Two thousand populations of known share and quantile: how often the 95 % intervals hold them.
#[test]
fn exact_intervals_cover_what_they_should() {
    const RUNS: u32 = 2000;
    let uniform = |draw: u32, run: u32| (drawn_below(1 << 30, draw, 1000 + run) as f64 + 0.5) / f64::from(1 << 30);
    for (share, count) in [(0.9, 400), (0.97, 300), (0.5, 60)] {
        let (mut held, mut bounded) = (0, 0);
        for run in 0..RUNS {
            let mut sample: Vec<f64> = (0..count).map(|draw| uniform(draw, run)).collect();
            let hits = sample.iter().filter(|&&value| value < share).count();
            let interval = wilson(hits, sample.len()).unwrap();
            held += u32::from(interval.low <= share && share <= interval.high);
            sample.sort_by(f64::total_cmp);
            let bounds = quantile_bounds(&sample, share).unwrap();
            bounded += u32::from(bounds.low.unwrap() <= share && share <= bounds.high.unwrap());
        }
        let (held, bounded) = (f64::from(held) / f64::from(RUNS), f64::from(bounded) / f64::from(RUNS));
        // Wilson's is about 95 % on average over shares; order statistics give at least that. Three standard errors: 1.5 %.
        assert!((0.92..0.98).contains(&held), "{share} {count}: {held}");
        assert!((0.935..0.985).contains(&bounded), "{share} {count}: {bounded}");
    }
}

/// By counting: five values; and 368 = ceil(ln 0.025 / ln 0.99) samples, the first that bound a 99 % quantile from above.
#[test]
fn exact_quantiles_and_their_ends() {
    let five = [1.0, 2.0, 3.0, 4.0, f64::INFINITY];
    assert_eq!(
        [0.2, 0.21, 0.5, 0.8, 0.99].map(|share| quantile(&five, share).unwrap()),
        [1.0, 2.0, 3.0, 4.0, f64::INFINITY]
    );
    assert!(quantile(&[], 0.5).is_none() && wilson(0, 0).is_none());
    let needed = samples_for_upper_end(0.99);
    assert_eq!(needed, 368.0);
    let rising: Vec<f64> = (1..=368).map(f64::from).collect();
    assert_eq!(quantile_bounds(&rising, 0.99).unwrap().high, Some(368.0));
    assert_eq!(quantile_bounds(&rising[..367], 0.99).unwrap().high, None);
    let all = wilson(100, 100).unwrap();
    assert!(all.high == 1.0 && (all.low - 100.0 / (100.0 + 1.959_963_984_540_054_f64.powi(2))).abs() < 1e-12);
}

/// Of a normal distribution cut at three standard deviations, two of which are the spread. Phi(2) and Phi(3) from memory.
#[test]
fn exact_spreads_are_two_standard_deviations_of_a_cut_normal() {
    let spread = |value, spread, per| Spread { value, spread, per };
    let printer = Printer {
        growth: spread(1e-5, 3e-5, SpreadPer::Part),
        bead_radius: spread(1e-5, 1e-4, SpreadPer::Printer),
        centre_distance_error: spread(0.0, 1e-4, SpreadPer::Part),
        ..Printer::default()
    };
    let inputs = inputs(&printer);
    let names: Vec<_> = inputs
        .iter()
        .map(|input| match &input.varied {
            Varied::Print(quantity, part) => (*quantity, *part),
            other => panic!("{other:?}"),
        })
        .collect();
    assert_eq!(
        names,
        [
            (PrinterQuantity::Growth, VaryingPart::Wheel),
            (PrinterQuantity::Growth, VaryingPart::Pallets),
            (PrinterQuantity::BeadRadius, VaryingPart::Both),
            (PrinterQuantity::CentreDistanceError, VaryingPart::Both)
        ]
    );
    let (phi2, phi3) = (0.977_249_868_051_821, 0.998_650_101_968_370);
    let at_two = (phi2 - (1.0 - phi3)) / (2.0 * phi3 - 1.0);
    assert!((inputs[0].value_at(at_two) - 4e-5).abs() < 1e-13);
    assert!((inputs[0].value_at(0.5) - 1e-5).abs() < 1e-15);
    assert!((inputs[0].value_at(1.0 - 1e-12) - 5.5e-5).abs() < 1e-9);
    // No bead is narrower than nothing: the distribution is cut there.
    assert!((0..1000).all(|step| inputs[2].value_at((f64::from(step) + 0.5) / 1000.0) >= 0.0));
    let making = Making::of(&printer, &TrainPrint::default(), &inputs, &[1e-5, 2e-5, 3e-5, 4e-5]);
    assert_eq!((making.wheel.growth_m, making.pallets.growth_m), (1e-5, 2e-5));
    assert_eq!((making.wheel.bead_radius_m, making.pallets.bead_radius_m), (3e-5, 3e-5));
    assert_eq!(making.assembly.further_apart_m, 4e-5);
}

#[test]
fn exact_swapped_copies_differ_in_one_input() {
    let inputs = inputs(&heron(&[]).printer);
    let count = inputs.len();
    assert_eq!(count, 7);
    let of = |number: usize| drawn_values(&inputs, number as u32, SEED);
    let round = 2 * count + 2;
    let (first, second) = (of(3 * round + count + 1), of(3 * round + count + 2));
    assert_eq!(place((3 * round + count + 1) as u32, count), (3, Draw::First));
    for input in 0..count {
        let number = 3 * round + count + 3 + input;
        assert_eq!(place(number as u32, count), (3, Draw::Swapped(input)));
        let mut expected = first.clone();
        expected[input] = second[input];
        assert_eq!(of(number), expected);
    }
    assert_eq!(place((4 * round + 1) as u32, count), (4, Draw::Single));
}

/// A copy that draws all means is the predicted clock, and a copy's own figures are those that a prediction of it has.
#[test]
fn exact_a_copy_is_a_prediction() {
    let design = heron(&[]);
    let run = Run::of(&design, SEED).unwrap();
    // Gears that draw nothing are those of the mean printer.
    let mut inputs = run.inputs.clone();
    inputs.retain(|input| !matches!(input.varied, Varied::Train(_)));
    let means: Vec<f64> = inputs.iter().map(|input| input.mean).collect();
    let built = built_copy(&design, run.mean(), &inputs, &means).unwrap();
    let predicted = predict(&design).unwrap();
    assert_eq!(built.mechanism, predicted.built.mechanism);
    assert_eq!(Solver::new(&built).bare_least().ok(), predicted.least.map(|least| least.bare));

    let narrow = heron(&[
        "printer.bead_radius=0.2 mm",
        "printer.growth=0 mm",
        "printer.shrinkage=0 %",
        "printer.centre_distance_error=0 mm",
        "train.tooth_friction=0.2 +/- 1e-10",
    ]);
    let run = Run::of(&narrow, SEED).unwrap();
    let result = run.copy(1).outcome.unwrap();
    let steady = predicted.steady.as_ref().unwrap();
    let (swing, least) = (result.swing.unwrap(), predicted.least.unwrap().bare.value());
    let off = result.least_drive.unwrap().value() / least - 1.0;
    assert!(off.abs() < 2e-5, "{off:e}");
    assert!((swing.period_s / steady.measured.period_s - 1.0).abs() < 1e-9);
    assert!((swing.semi_arc_rad / (0.5 * (steady.measured.right_rad + steady.measured.left_rad)) - 1.0).abs() < 1e-8);
    assert_eq!(result.run_time_s, predicted.run_time.map(|run| run.run_time_s));
}

/// The stiffness of a typical wall and the play of a crutch are drawn as stated, and a copy is the clock that states what it drew.
#[test]
fn exact_a_copy_on_a_drawn_wall_with_a_drawn_play_is_that_clock() {
    let as_printed = ["printer.bead_radius=0.2 mm", "printer.growth=0 mm", "printer.shrinkage=0 %"];
    let with = |own: &[&str]| {
        let frictions = ["printer.centre_distance_error=0 mm", "train.tooth_friction=0.2"];
        heron(&[&as_printed[..], &frictions, own].concat())
    };
    let design = with(&["support.kind=\"drywall between studs\"", "pendulum.crutch_play=\"0.2 deg +/- 0.1 deg\""]);
    let run = Run::of(&design, SEED).unwrap();
    let stiffness = run.inputs.iter().position(|input| matches!(input.varied, Varied::Support(_))).unwrap();
    let support = &run.inputs[stiffness];
    assert!((support.value_at(0.5) / 1e5 - 1.0).abs() < 1e-12);
    // Within a factor of 4 lie two standard deviations of a normal distribution cut at three.
    let (phi2, phi3) = (0.977_249_868_051_821, 0.998_650_101_968_370);
    let at_two = (phi2 - (1.0 - phi3)) / (2.0 * phi3 - 1.0);
    assert!(
        (support.value_at(at_two) / 4e5 - 1.0).abs() < 1e-9
            && (support.value_at(1.0 - at_two) / 2.5e4 - 1.0).abs() < 1e-9
    );
    let play = run.inputs.iter().position(|input| match &input.varied {
        Varied::Friction(friction) => friction.paths == ["pendulum.crutch_play"],
        _ => false,
    });
    let mut drawn: Vec<f64> = run.inputs.iter().map(|input| input.mean).collect();
    (drawn[stiffness], drawn[play.unwrap()]) = (5e4, 0.3_f64.to_radians());
    let copy = built_copy(&design, run.mean(), &run.inputs, &drawn).unwrap();
    let stated = with(&[
        "support.kind=\"drywall between studs\"",
        "support.stiffness=\"50 kN/m\"",
        "pendulum.crutch_play=\"0.3 deg\"",
    ]);
    assert_eq!(copy.mechanism.pendulum, predict(&stated).unwrap().built.mechanism.pendulum);
    let EscapementModel::Contact(contact) = &copy.mechanism.escapement else { panic!("no contact") };
    assert!((contact.crutch_play_rad() - 0.3_f64.to_radians()).abs() < 1e-15);
}

/// A tooth grown by less than a micrometre, printed with a bead, is a tooth.
#[test]
fn a_bead_prints_a_tooth_that_falls_short_by_next_to_nothing() {
    for growth in ["-0.0001 mm", "-0.0005 mm", "-0.0014 mm"] {
        let text = format!("printer.growth={growth}");
        assert!(beatwright::clock::build::build(&heron(&[&text])).is_ok(), "{growth}");
    }
}

#[test]
fn exact_the_same_bytes_on_any_number_of_threads_and_alone() {
    let heron = plain::path("heron.toml");
    // With play enough for every copy, so that all percentiles have a weight.
    let heron = [heron.to_str().unwrap(), "--set", "train.backlash=0.5 mm"];
    let folder = tempfile::tempdir().unwrap();
    let run = |threads: &str, name: &str| {
        let out = folder.path().join(name);
        let arguments =
            ["--copies", "18", "--seed", "7", "--json", "--threads", threads, "--out", out.to_str().unwrap()];
        let (code, json, error) = spread(&[&heron[..], &arguments].concat());
        assert_eq!((code, error.as_str()), (0, ""));
        (json, std::fs::read_to_string(out.join("spread.csv")).unwrap())
    };
    let (json, csv) = run("1", "one");
    assert_eq!((json.clone(), csv.clone()), run("3", "three"));
    let all: Value = serde_json::from_str(&json).unwrap();
    assert_eq!((&all["copies"], &all["copies_counted"], &all["seed"]), (&18.into(), &13.into(), &7.into()));
    assert_eq!(all["interrupted"], false);
    let share = all["drive_for_share"]["value"].as_f64().unwrap();
    assert_eq!(all["least_weight_kg"]["p99"].as_f64(), Some(share));

    let (code, alone, _) = spread(&[&heron[..], &["--copies", "18", "--seed", "7", "--json", "--copy", "16"]].concat());
    assert_eq!(code, 0);
    // The text itself: the JSON reader rounds the last digit of some numbers.
    let told = |part: &str, key: &str| -> f64 {
        let text = alone.split_once(&format!("\"{part}\": {{")).unwrap().1;
        let value = text.split_once(&format!("\"{key}\": ")).unwrap().1;
        value.split([',', '\n']).next().unwrap().parse().unwrap()
    };
    let mut reader = csv::Reader::from_reader(csv.as_bytes());
    let columns = reader.headers().unwrap().clone();
    let row = reader.records().nth(15).unwrap().unwrap();
    let cell = |column: &str| row.get(columns.iter().position(|name| name == column).unwrap()).unwrap().to_owned();
    assert_eq!((cell("copy").as_str(), cell("counts").as_str()), ("16", "no"));
    assert_eq!(cell("swapped_input"), "wheel_growth_mm");
    let number = |column: &str| cell(column).parse::<f64>().unwrap();
    for column in columns.iter().skip(3).take(11) {
        assert_eq!(number(column), told("drawn", column), "{column}");
    }
    for key in ["least_weight_kg", "semi_arc_deg", "period_s", "rate_s_per_day", "run_time_days"] {
        assert_eq!(number(key), told("results", key), "{key}");
    }
    assert_eq!(number("entry_lock_deg"), told("entry", "lock_deg"));
    assert_eq!(number("exit_drop_deg"), told("exit", "drop_deg"));
    let single = Run::of(&self::heron(&["train.backlash=0.5 mm"]), SEED).unwrap().copy(16).least_drive();
    assert_eq!(number("least_weight_kg"), single);
}

#[test]
fn tells_what_cannot_be_asked() {
    let heron = "tests/support/plain/heron.toml";
    let still = ["bead_radius=0.2 mm", "growth=0 mm", "shrinkage=0 %", "centre_distance_error=0 mm"]
        .map(|text| format!("printer.{text}"));
    let still: Vec<&str> = std::iter::once(heron).chain(still.iter().flat_map(|text| ["--set", text])).collect();
    let mut told = String::new();
    for arguments in [
        still,
        vec![heron, "--copies", "0"],
        vec![heron, "--copies", "1000000000"],
        vec![heron, "--copies", "20", "--copy", "21"],
        vec![heron, "--copy", "0"],
        vec![heron, "--share", "100%"],
        vec![heron, "--share", "2 mm"],
        vec![heron, "--copies", "-3"],
    ] {
        let (code, out, error) = spread(&arguments);
        assert_eq!((code, out.as_str()), (2, ""), "{arguments:?}");
        // The time that a billion copies take is measured.
        let words = error.split(' ').collect::<Vec<_>>();
        let hours = words.iter().position(|word| *word == "hours").map(|place| place - 1);
        let masked: Vec<&str> =
            words.iter().enumerate().map(|(place, word)| if Some(place) == hours { "N" } else { *word }).collect();
        if let Some(place) = hours {
            assert!(words[place].parse::<f64>().unwrap() > 100.0);
        }
        told.push_str(&masked.join(" "));
        told.push('\n');
    }
    insta::assert_snapshot!(told);
}

#[test]
fn tells_an_escapement_without_outlines() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("ideal.toml");
    let text = "[place]\ngravity = \"0 m/s^2\"\n[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\n\
        centre_of_mass = \"1 m\"\nstiffness = \"1 N m/rad\"\ndamping_quadratic = \"1 N m s^2\"\n\
        [escapement.ideal_torque]\ntorque = \"1 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"\noutside = \"none\"\n";
    std::fs::write(&file, text).unwrap();
    let (code, _, error) = spread(&[file.to_str().unwrap()]);
    assert_eq!(code, 2, "{error}");
    assert!(error.contains("no_outlines") && error.contains("no outlines to print"), "{error}");
    let plain = InRoom { printer: Printer::default(), ..heron(&[]) };
    assert_eq!(Run::of(&plain, 1).unwrap_err(), NoSpread::NothingVaries);
}

// Ctrl-C: what is finished is written, and the shells' exit code for it told.
#[cfg(unix)]
#[test]
fn an_interrupted_spread_writes_the_copies_that_were_finished() {
    let folder = tempfile::tempdir().unwrap();
    let heron = plain::path("heron.toml");
    let mut child = std::process::Command::new(env!("CARGO_BIN_EXE_beatwright"))
        .arg("spread")
        .arg(heron)
        .args(["--copies", "100000", "--out"])
        .arg(folder.path())
        .stdout(std::process::Stdio::null())
        .stderr(std::process::Stdio::piped())
        .spawn()
        .unwrap();
    std::thread::sleep(std::time::Duration::from_secs(3));
    let sent = std::process::Command::new("kill").args(["-INT", &child.id().to_string()]).status().unwrap();
    assert!(sent.success());
    let output = {
        let mut text = String::new();
        std::io::Read::read_to_string(child.stderr.as_mut().unwrap(), &mut text).unwrap();
        text
    };
    assert_eq!(child.wait().unwrap().code(), Some(130), "{output}");
    assert!(output.contains("interrupted"), "{output}");
    let rows = std::fs::read_to_string(folder.path().join("spread.csv")).unwrap().lines().count() - 1;
    assert!(rows < 100_000);
    let json = std::fs::read_to_string(folder.path().join("spread.json")).unwrap();
    let json: Value = serde_json::from_str(&json).unwrap();
    let interrupted = json.pointer("/provenance/interrupted").or_else(|| json.get("interrupted"));
    assert_eq!(interrupted, Some(&Value::Bool(true)));
}
