//! `family`: part sizes and beds in closed form, steps that add up, the smallest size, and the command with good and bad input.

use std::fs;

use beatwright::answers::no_answer::NoAnswer;
use beatwright::answers::prediction::predict;
use beatwright::answers::verdict::Verdict;
use beatwright::clock::printing::bed::{Bed, Footprint, largest_factor, rectangle_fits};
use beatwright::clock::printing::part_sizes::{PartSize, part_sizes};
use beatwright::report::words::parts::part_name;
use beatwright::scenario::{Scenario, bed_of, load};
use beatwright::study::comparison::predictions;
use beatwright::study::family::{FamilyAsk, Member, Smallest, family};
use beatwright::study::jobs::Unwatched;
use beatwright::study::levers::answers::ClockAnswers;
use serde_json::Value;

use crate::support::close::assert_close;
use crate::support::plain::{self, loaded};
use crate::support::program::output;
use crate::support::svg;

fn members(scenarios: &[Scenario], factors: &[f64], beds: &[Bed]) -> Vec<Member> {
    let found = predictions(scenarios).into_iter().map(Result::unwrap).collect();
    family(scenarios, found, &FamilyAsk { factors: factors.to_vec(), beds: beds.to_vec() }, &Unwatched)
}

fn part<'p>(parts: &'p [PartSize], name: &str) -> &'p PartSize {
    parts.iter().find(|size| part_name(&size.part) == name).unwrap()
}

// Outside diameter of a gear: module times (teeth + 2), ISO 53 rack with an addendum of one module (from memory).
#[test]
fn exact_sizes_of_heron_s_parts() {
    let parts = part_sizes(&loaded("heron.toml", &[]).in_room());
    let round = |name: &str| match part(&parts, name).footprint {
        Footprint::Round(diameter_m) => diameter_m,
        Footprint::Rectangle(..) => panic!("{name} is not round"),
    };
    assert_close(round("great wheel"), 2e-3 * 80.0, 1e-15, "great wheel");
    assert_close(round("centre wheel"), 1.25e-3 * 98.0, 1e-15, "centre wheel");
    assert_close(round("escape wheel"), 0.12, 1e-12, "escape wheel");
    assert_eq!((round("drum"), part(&parts, "drum").height_m), (0.04, Some(18.0 * 1.5e-3)));
    assert_eq!(part(&parts, "bob").height_m, Some(0.025));
    // The arbors' middles: 90 mm at 70 deg, 67.5 mm at 120 deg, 63.75 mm at 60 deg, then the pallets straight above.
    let Footprint::Rectangle(width_m, height_m) = part(&parts, "frame, arbor to arbor").footprint else { panic!() };
    let tangent = 0.06 / (7.5 * std::f64::consts::PI / 30.0).cos();
    let (a, b, c) = (70f64.to_radians(), 120f64.to_radians(), 60f64.to_radians());
    let height = 0.09 * a.sin() + 0.0675 * b.sin() + 0.06375 * c.sin() + tangent;
    assert_close(height_m, height, 1e-4, "frame");
    assert_close(width_m, 0.0675 * 0.5, 1e-12, "the third arbor lies furthest to the left of the second");
    let pallets = part(&parts, "pallets");
    let Footprint::Rectangle(width_m, depth_m) = pallets.footprint else { panic!() };
    assert!(width_m > 2.0 * 0.06 * 0.7 && width_m < 0.12 && depth_m > 0.02 && depth_m < 0.07, "{pallets:?}");
}

/// Whether a rectangle fits at one of many angles.
fn fits_turned(part: (f64, f64), bed: (f64, f64)) -> bool {
    const ANGLES: u32 = 20_000;
    (0..=ANGLES).any(|step| {
        let (sine, cosine) = (f64::from(step) * std::f64::consts::FRAC_PI_2 / f64::from(ANGLES)).sin_cos();
        let (wide, high) = (part.0 * cosine + part.1 * sine, part.0 * sine + part.1 * cosine);
        wide <= bed.0 * (1.0 + 1e-9) && high <= bed.1 * (1.0 + 1e-9)
    })
}

#[test]
fn crosscheck_rectangles_fit_as_turning_them_shows() {
    let mut askew = 0;
    for long in [0.15, 0.21, 0.23, 0.26, 0.29, 0.305] {
        for short in [0.005, 0.02, 0.05, 0.09, 0.15, 0.2] {
            for bed in [(0.22, 0.22), (0.22, 0.16), (0.18, 0.25)] {
                let exact = rectangle_fits((long, short), bed);
                assert_eq!(exact, fits_turned((long, short), bed), "{long} x {short} on {bed:?}");
                assert_eq!(exact, rectangle_fits((short, long), bed));
                askew += usize::from(exact && f64::max(long, short) > f64::max(bed.0, bed.1));
            }
        }
    }
    assert!(askew > 3, "no rectangle of the test lies askew");
}

#[test]
fn exact_largest_factors() {
    let bed = Bed { width_m: 0.22, depth_m: 0.2, height_m: Some(0.1) };
    assert_close(largest_factor(Footprint::Round(0.1), None, &bed), 2.0, 1e-15, "round");
    assert_close(largest_factor(Footprint::Round(0.1), Some(0.08), &bed), 1.25, 1e-15, "as high as the printer");
    assert_close(largest_factor(Footprint::Rectangle(0.1, 0.1), None, &bed), 2.0, 1e-12, "square");
    let thread = largest_factor(Footprint::Rectangle(0.1, 1e-9), None, &bed);
    assert_close(thread, 0.22f64.hypot(0.2) / 0.1, 1e-6, "a line along the diagonal");
    assert_close(largest_factor(Footprint::Rectangle(0.22, 0.2), None, &bed), 1.0, 1e-12, "the bed itself");
}

#[test]
fn exact_the_largest_scale_fills_the_bed() {
    let bed = bed_of("220x200 mm").unwrap();
    let scenarios = [loaded("heron.toml", &["scale.all=0.9"]), loaded("heron-three-quarter.toml", &[])];
    for (scenario, member) in scenarios.iter().zip(members(&scenarios, &[1.0], &[bed])) {
        let fit = &member.beds[0];
        let largest = fit.largest.unwrap();
        assert_close(largest, 0.2 / 0.16, 1e-12, "the great wheel fills the shorter side");
        assert_eq!(part_name(&member.parts[fit.limiting.unwrap()].part), "great wheel");
        let grown = scenario.with_overrides(&[format!("scale.all={largest}")]).unwrap();
        assert_close(part(&part_sizes(&grown.in_room()), "great wheel").footprint.longest_m(), 0.2, 1e-12, "grown");
    }
    let fixed = [loaded("heron.toml", &["scale={ wheels = 2, all = 0.5 }"])];
    let member = &members(&fixed, &[0.5], &[bed])[0];
    assert_eq!(member.beds[0].largest, None);
    let names: Vec<String> = member.beds[0].never.iter().map(|&index| part_name(&member.parts[index].part)).collect();
    assert_eq!(names, ["great wheel", "centre wheel", "third wheel"]);
}

#[test]
fn exact_the_steps_end_at_the_member() {
    let sticky = ["train.tooth_friction=0.25", "escapement.dead_beat.friction=0.25"];
    let scenarios = [loaded("heron.toml", &[]), loaded("heron-beech.toml", &sticky), loaded("wren.toml", &[])];
    let members = members(&scenarios, &[1.0], &[]);
    assert!(members[0].steps.is_none());
    for (scenario, member) in scenarios.iter().zip(&members).skip(1) {
        let steps = member.steps.as_ref().unwrap();
        let own = predict(&scenario.in_room()).unwrap();
        let last: &ClockAnswers = steps.steps.last().unwrap().after.as_ref().unwrap();
        assert_eq!(last.least, own.least.map(|least| least.bare), "{}", scenario.file_name);
        assert_eq!(last.run_time_s, own.run_time.map(|run| run.run_time_s), "{}", scenario.file_name);
        assert_eq!(last.period_s, own.steady.map(|steady| steady.measured.period_s), "{}", scenario.file_name);
    }
    // Heron in wood winds sooner for its larger drum, and for nothing else.
    let steps = members[1].steps.as_ref().unwrap();
    let mut before = steps.start.as_ref().unwrap().run_time_s.unwrap();
    for step in &steps.steps {
        let here = step.after.as_ref().unwrap().run_time_s.unwrap();
        assert_eq!(here != before, step.what == "drum, cord and pulley", "{}", step.what);
        before = here;
    }
    assert!(before < 0.85 * steps.start.as_ref().unwrap().run_time_s.unwrap());
    let named: Vec<&str> = steps.steps.iter().map(|step| step.what).collect();
    assert!(
        named.contains(&"friction on the pallets") && named.contains(&"friction of the train's teeth"),
        "{named:?}"
    );
}

#[test]
fn the_smallest_size_goes_and_the_next_does_not() {
    let scenarios = [loaded("heron-three-quarter.toml", &[])];
    let member = &members(&scenarios, &[1.0], &[])[0];
    let at = |factor: f64| scenarios[0].with_overrides(&[format!("scale.all={factor}")]).unwrap().in_room();
    let Some(Smallest::At { factor, below, .. }) = member.smallest.clone() else { panic!("{:?}", member.smallest) };
    assert!(factor < 0.75 && below < factor && factor - below < 2e-3 * factor);
    assert!(matches!(predict(&at(factor)).unwrap().verdict, Verdict::KeepsGoing(_)));
    assert!(predict(&at(below)).map_or(true, |prediction| !matches!(prediction.verdict, Verdict::KeepsGoing(_))));
    let Some(Smallest::At { factor, below, reason }) = member.smallest_locking.clone() else { panic!() };
    assert!(matches!(&reason, NoAnswer::Refused(what) if what.contains("exit")), "{reason:?}");
    let lock = |factor| predict(&at(factor)).unwrap().action().unwrap().exit.lock_rad;
    assert!(lock(factor) >= 0.0 && lock(below) < 0.0);
}

#[test]
fn sizes_that_cannot_be_are_rows_with_their_reason() {
    let scenarios = [loaded("heron.toml", &[])];
    let member = &members(&scenarios, &[0.1, 0.33, 1.0], &[])[0];
    assert!(
        matches!(&member.sizes[0].found, Err(NoAnswer::Refused(what)) if what.contains("bore")),
        "{:?}",
        member.sizes[0]
    );
    assert!(matches!(member.sizes[1].found, Err(NoAnswer::Build(_))), "{:?}", member.sizes[1]);
    assert!(member.sizes[2].found.as_ref().unwrap().point.missing.is_none());
}

#[test]
fn beds_read_with_and_without_unit_and_height() {
    let bed = Bed { width_m: 0.22, depth_m: 0.21, height_m: Some(0.25) };
    let close = |text: &str| {
        let read = bed_of(text).unwrap_or_else(|error| panic!("{error}"));
        assert_close(read.width_m, bed.width_m, 1e-15, text);
        assert_close(read.depth_m, bed.depth_m, 1e-15, text);
        assert_close(read.height_m.unwrap(), 0.25, 1e-15, text);
    };
    for text in ["220x210x250", "220 x 210 x 250 mm", "22x21x25cm", "220X210\u{d7}250"] {
        close(text);
    }
    assert_eq!(bed_of("220x210").unwrap().height_m, None);
    let told: Vec<String> =
        ["", "0x0x0", "-1x2x3", "220", "1x2x3x4", "220x220x250 kg", "axb", "nanxnan", "220x220x1e9", "xx"]
            .iter()
            .map(|text| format!("{text:?}: {}", bed_of(text).unwrap_err()))
            .collect();
    insta::assert_snapshot!(told.join("\n"));
}

#[test]
fn tells_bad_beds_of_a_scenario() {
    let told: Vec<String> = ["\"220x220\"", "[220]", "[\"220x220\", \"small\"]", "[]"]
        .iter()
        .map(|beds| match load(&plain::path("heron.toml"), &[format!("printer.beds={beds}")]) {
            Ok(scenario) => format!("{beds}: {} beds", scenario.beds.len()),
            Err(error) => error.to_string(),
        })
        .collect();
    insta::assert_snapshot!(told.join("\n"));
}

const HERONS: [&str; 3] = [
    "tests/support/plain/heron.toml",
    "tests/support/plain/heron-three-quarter.toml",
    "tests/support/plain/heron-beech.toml",
];

#[test]
fn regress_the_family_of_heron_as_printed() {
    let folder = tempfile::tempdir().unwrap();
    let out = folder.path().to_str().unwrap();
    let arguments =
        [&["family"], &HERONS[..], &["--scale", "0.3,0.75,1", "--bed", "220x220x250", "--out", out]].concat();
    let output = output(&arguments);
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    insta::assert_snapshot!(String::from_utf8(output.stdout).unwrap());
    let mut names: Vec<String> =
        fs::read_dir(out).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    names.retain(|name| !name.starts_with('.'));
    names.sort();
    assert_eq!(names, ["family-parts.csv", "family-sizes.csv", "family-steps.csv", "family.json", "family.svg"]);
    // Heron and its three quarters are one family of sizes: one curve, that of the first wider under the second.
    let picture = fs::read_to_string(folder.path().join("family.svg")).unwrap();
    let texts = svg::check_well_formed("family", &picture).join(" ");
    assert!(texts.contains("wider line"), "{texts}");
    let widest = |stroke: &str| {
        let of_member = svg::lines(&picture).into_iter().filter(|line| line.stroke == stroke);
        of_member.map(|line| line.width).fold(0.0, f64::max)
    };
    assert!(widest("#0B4F8F") > 1.5 * widest("#C46200") && widest("#C46200") >= 45.0);
}

#[test]
fn the_same_in_json_and_csv_whatever_the_threads() {
    let run = |threads: &str| {
        let output =
            output(&[&["family"], &HERONS[..], &["--json", "--scale", "0.3,1", "--threads", threads]].concat());
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        output.stdout
    };
    let one = run("1");
    assert!(one == run("3"));
    let json: Value = serde_json::from_slice(&one).unwrap();
    let members = json["members"].as_array().unwrap();
    assert_eq!(members.len(), 3);
    let beech = &members[2];
    assert_eq!(beech["provenance"]["starts_from"][0], "tests/support/plain/heron.toml");
    assert_eq!(beech["results"]["verdict"], "keeps_going");
    assert_eq!(beech["sizes"][0]["keeps_going"], false);
    assert!(beech["sizes"][0]["reason"].is_string() && beech["sizes"][0]["least_drive"].is_null());
    assert_eq!(members[0]["humidity_limits"].as_array().unwrap().len(), 0);
    let damp = &beech["humidity_limits"][0];
    assert!(damp["gives_way"] == "mesh_jams" && damp["side"] == "damper" && damp["stops"] == true, "{damp}");
    assert!(members[0]["steps_from_first"].is_null() && beech["steps_from_first"].as_array().unwrap().len() > 3);
}

#[test]
fn tells_bad_arguments() {
    let mut told = Vec::new();
    for arguments in [
        &["--scale", "0..1:3"][..],
        &["--scale", "-1..1:3"],
        &["--scale", "1e6"],
        &["--scale", "1..1e6:4"],
        &["--scale", "2..1:3"],
        &["--scale", "0.5mm..1mm:3"],
        &["--scale", "0.5..1:100000"],
        &["--scale", ""],
        &["--scale", "nan"],
        &["--bed", ""],
        &["--bed", "0x0x0"],
        &["--set", "scale.wings=2"],
    ] {
        let output = output(&[&["family", "tests/support/plain/heron.toml"], arguments].concat());
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(output.stdout.is_empty());
        told.push(format!("{}\n{}", arguments.join(" "), String::from_utf8_lossy(&output.stderr)));
    }
    insta::assert_snapshot!(told.join("\n"));
    assert_eq!(output(&["family"]).status.code(), Some(2));
    assert_eq!(output(&["family", "scenarios/absent.toml"]).status.code(), Some(2));
}
