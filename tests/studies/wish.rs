//! Clocks for a wish: what `new` writes is what `predict` says goes, on the bed and for the run that were asked for.

use std::path::Path;

use beatwright::answers::prediction::predict;
use beatwright::clock::printing::bed::largest_factor;
use beatwright::clock::printing::part_sizes::part_sizes;
use beatwright::report::prediction;
use beatwright::scenario::{NO_OVERRIDES, bed_of, read, starter};
use beatwright::study::prepare::prepared;
use beatwright::study::wish::{Granted, WEIGHT_RESERVE, Wish, WishedEscapement, grant};
use num_rational::Ratio;

use crate::support::program::run;

fn wish(beat_s: (u128, u128), days: f64, fall_m: f64, escapement: WishedEscapement, bed: &str) -> Wish {
    Wish {
        name: "Reed warbler".to_owned(),
        beat_s: Ratio::new(beat_s.0, beat_s.1),
        run_s: 86_400.0 * days,
        fall_m,
        escapement,
        bed: bed_of(bed).unwrap(),
        bead_radius_m: 0.2e-3,
        most_weight_kg: 10.0,
    }
}

/// The text that is written, read again and predicted, against all that was wished for.
fn holds(wish: &Wish) {
    let Granted { text, prediction: told, .. } = grant(wish).unwrap_or_else(|error| panic!("{wish:?}: {error}"));
    let scenario =
        read("new.toml", &text, &NO_OVERRIDES).and_then(prepared).unwrap_or_else(|error| panic!("{error}\n{text}"));
    assert_eq!(scenario.design.name, wish.name);
    let in_room = scenario.in_room();
    let predicted = predict(&in_room).unwrap();
    assert_eq!(predicted.run_time, told.run_time, "what is told is what is written");
    let found = prediction::json::record(&in_room, &predicted);
    let told = format!("{wish:?}");
    assert_eq!((found.verdict, found.meets_margin), ("keeps_going", Some(true)), "{told}");
    let (weight, least) = (found.weight_kg.unwrap(), found.least_weight_with_margin_kg.unwrap());
    assert!(
        weight >= 0.999 * WEIGHT_RESERVE * least && weight <= WEIGHT_RESERVE * least + 0.06,
        "{told}: {weight} {least}"
    );
    assert!(weight <= wish.most_weight_kg);
    assert!(found.rate_s_per_day.unwrap().abs() <= 1.0, "{told}: {:?}", found.rate_s_per_day);
    let days = found.run_time_days.unwrap() * 86_400.0 / wish.run_s;
    assert!((1.0..1.02).contains(&days), "{told}: {days}");
    // The train requires the beat that was wished for.
    assert!((predicted.built.train_period_s().unwrap() / 2.0 / wish.beat() - 1.0).abs() < 1e-12);
    for part in part_sizes(&in_room).iter().filter(|part| part.in_one_piece) {
        let factor = largest_factor(part.footprint, part.height_m, &wish.bed);
        assert!(factor >= 1.0, "{told}: {:?} {factor}", part.part);
    }
    for pallet in predicted.built.action.unwrap().values() {
        if wish.escapement == WishedEscapement::DeadBeat {
            assert!((0.67..1.2).contains(&pallet.lock_rad.to_degrees()), "{told}: {}", pallet.lock_rad.to_degrees());
        }
        assert!(pallet.drop_rad.to_degrees() > 1.0 && pallet.lift_rad.to_degrees() > 1.0, "{told}");
    }
    // Nothing of what the starter warns of, and every key is one that the reader knows.
    assert!(text.contains("# Lines that begin with") || text.contains("Lines that begin with # are comments."));
}

#[test]
fn seconds_clocks_of_each_escapement_go_as_wished() {
    holds(&wish((1, 1), 8.0, 1.2, WishedEscapement::DeadBeat, "220x220x250"));
    holds(&wish((1, 1), 8.0, 1.2, WishedEscapement::Recoil, "220x220x250"));
    holds(&wish((1, 1), 4.0, 1.0, WishedEscapement::PinPallet, "220x220"));
}

#[test]
fn three_quarter_seconds_clocks_go_as_wished() {
    holds(&wish((3, 4), 8.0, 1.2, WishedEscapement::DeadBeat, "180x180x180"));
    holds(&wish((3, 4), 8.0, 1.2, WishedEscapement::Recoil, "220x220x250"));
    holds(&wish((3, 4), 2.0, 1.5, WishedEscapement::PinPallet, "220x220x250"));
}

#[test]
fn half_seconds_clocks_go_as_wished() {
    holds(&wish((1, 2), 8.0, 1.2, WishedEscapement::DeadBeat, "220x220x250"));
    holds(&wish((1, 2), 4.0, 0.9, WishedEscapement::Recoil, "220x220x250"));
    holds(&wish((1, 2), 8.0, 1.2, WishedEscapement::PinPallet, "220x220x250"));
}

/// In inches: beds of 8.7 in, falls of 4 ft; and a beat that no decimal writes.
#[test]
fn other_beats_and_inches_go_as_wished() {
    holds(&wish((3, 5), 8.0, 4.0 * 0.3048, WishedEscapement::Recoil, "8.7x8.7x10 in"));
    holds(&wish((4, 5), 8.0, 4.0 * 0.3048, WishedEscapement::DeadBeat, "8.7x8.7x10 in"));
    holds(&wish((2, 3), 8.0, 1.2, WishedEscapement::Recoil, "220x220x250"));
    holds(&wish((3, 4), 2.0, 1.5, WishedEscapement::DeadBeat, "220x220x250"));
}

/// A long run needs another arbor below the minute hand's.
#[test]
fn a_clock_of_two_months_goes_as_wished() {
    let month = Wish { most_weight_kg: 20.0, ..wish((1, 1), 62.0, 1.4, WishedEscapement::DeadBeat, "220x220x250") };
    holds(&month);
    assert!(grant(&month).unwrap().text.contains("name = \"second\""));
}

/// Exit code, file and complaint of `new` with a wish, in a folder of its own.
fn new(arguments: &[&str]) -> (i32, Option<String>, String) {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.toml");
    let (code, _, complaint) = run(&[&["new", file.to_str().unwrap()], arguments].concat());
    (code, std::fs::read_to_string(file).ok(), complaint)
}

#[test]
fn without_a_wish_the_starter_is_written() {
    let (code, text, _) = new(&[]);
    assert_eq!((code, text.as_deref()), (0, Some(starter())));
}

#[test]
fn new_writes_a_wish_that_predicts_and_spares_what_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("mine.toml");
    let name = file.to_str().unwrap();
    let asked = [
        "--beat",
        "0.75s",
        "--run",
        "8d",
        "--fall",
        "1.2m",
        "--escapement",
        "recoil",
        "--bed",
        "220x220x250",
        "--name",
        "Dunnock \"D\"",
    ];
    let (code, said, complaint) = run(&[&["new", name], &asked[..]].concat());
    assert_eq!((code, complaint.as_str()), (0, ""));
    assert!(
        said.starts_with("Dunnock \"D\": keeps going with its margin") && said.contains("next: beatwright predict"),
        "{said}"
    );
    let (code, said, _) = run(&["predict", name, "--json"]);
    assert_eq!(code, 0);
    let results: serde_json::Value = serde_json::from_str(&said).unwrap();
    assert_eq!((&results["verdict"], &results["meets_margin"]), (&"keeps_going".into(), &true.into()));
    let before = std::fs::read_to_string(&file).unwrap();
    let (code, _, complaint) = run(&[&["new", name], &asked[..]].concat());
    assert_eq!(code, 2);
    assert!(complaint.contains("already exists"), "{complaint}");
    assert_eq!(std::fs::read_to_string(Path::new(name)).unwrap(), before);
}

#[test]
fn bad_wishes_are_refused_and_nothing_is_written() {
    for (arguments, told) in [
        (&["--beat", "0s"][..], "no beat"),
        (&["--beat", "3s"], "from 0.2 s to 2 s"),
        (&["--beat", "1kg"], "a mass"),
        (&["--run", "8"], "unit"),
        (&["--fall", "0m"], "a length above 0"),
        (&["--fall", "-1m"], ""),
        (&["--bed", "220"], "only one side"),
        (&["--escapement", "detent"], "dead-beat"),
        (&["--most-weight", "2mm"], "a length"),
        (&["--name", ""], "--name"),
        (&["--beat", "0.333s"], "beatwright counts --beat 0.333s"),
    ] {
        let (code, text, complaint) = new(arguments);
        assert_eq!((code, text), (2, None), "{arguments:?} {complaint}");
        assert!(complaint.contains(told), "{arguments:?}: {complaint}");
    }
}

/// What a refusal names in place of an option, granted when it is asked for.
fn granted_instead(arguments: &[&str], option: &str) {
    let (code, text, complaint) = new(arguments);
    assert_eq!((code, text), (2, None), "{arguments:?} {complaint}");
    let named = complaint.split(&format!("{option} ")).nth(1).unwrap_or_else(|| panic!("{complaint}"));
    let value: String =
        named.chars().take_while(|letter| letter.is_ascii_alphanumeric() || matches!(letter, '.' | '/')).collect();
    let value = value.trim_end_matches('.');
    let option = option.trim_start_matches("is ");
    let mut instead: Vec<&str> = arguments.to_vec();
    match instead.iter().position(|argument| *argument == option) {
        Some(at) => instead[at + 1] = value,
        None => instead.extend([option, value]),
    }
    let (code, text, complaint) = new(&instead);
    assert_eq!(code, 0, "{instead:?}: {complaint}");
    assert!(text.is_some());
}

#[test]
fn a_run_that_is_too_long_is_refused_with_the_longest() {
    granted_instead(&["--run", "400d", "--fall", "0.8m"], "--run");
}

/// Days of the run that a refusal names.
fn run_named(arguments: &[&str]) -> f64 {
    let (code, text, complaint) = new(arguments);
    assert_eq!((code, text), (2, None), "{arguments:?} {complaint}");
    let named = complaint
        .split("(--run ")
        .nth(1)
        .and_then(|rest| rest.split_once("d)"))
        .unwrap_or_else(|| panic!("{complaint}"));
    named.0.parse().unwrap()
}

/// The longest run that is told is granted, a little shorter one, too, and one a few hundredths longer is not; of the shortest the same.
#[test]
fn the_run_that_is_told_is_the_longest() {
    let days = |days: f64| format!("{days:.1}d");
    let longest: [&[&str]; 2] = [&["--fall", "0.8m"], &["--most-weight", "1.5kg"]];
    for asked in longest {
        let told = run_named(&[asked, &["--run", "400d"]].concat());
        let granted = |run: f64| new(&[asked, &["--run", &days(run)]].concat()).0 == 0;
        assert!(granted(told) && granted(0.97 * told), "{asked:?} {told}");
        assert!(!granted(1.03 * told + 0.1), "{asked:?} {told}");
    }
    let asked = ["--fall", "50m"];
    let told = run_named(&[&asked[..], &["--run", "1h"]].concat());
    let granted = |run: f64| new(&[&asked[..], &["--run", &days(run)]].concat()).0 == 0;
    assert!(granted(told) && !granted(0.97 * told - 0.1), "{told}");
}

#[test]
fn a_clock_that_is_too_heavy_is_refused_with_a_lighter_one() {
    granted_instead(&["--run", "8d", "--most-weight", "1.5kg"], "--run");
    granted_instead(&["--run", "8d", "--most-weight", "1.5kg"], "--most-weight");
}

#[test]
fn a_beat_without_counts_is_refused_with_one_that_has_them() {
    for beat in ["0.333s", "0.2s", "0.617s"] {
        granted_instead(&["--beat", beat], "is --beat");
    }
    let (_, _, complaint) = new(&["--beat", "0.617s"]);
    assert!(complaint.contains("one near it for which a clock was found is --beat 5/8s"), "{complaint}");
}

#[test]
fn a_run_that_is_too_short_is_refused_with_a_longer_one() {
    granted_instead(&["--fall", "50m", "--run", "1h"], "--run");
}

/// The bead is named where teeth have to be coarse for it, and nowhere else; the height of a printer is another matter than its bed.
#[test]
fn a_bed_that_is_too_small_is_refused_with_one_that_does() {
    for (bed, bead, causes, not) in [
        ("60x60", "0.2mm", "with teeth coarse enough for a bead of 0.20 mm", "mm high"),
        ("60x60x250", "0.2mm", "with teeth coarse enough for a bead of 0.20 mm", "mm high"),
        ("50x50", "0.05mm", "the escape wheel needs a bed of 64 mm and does not fit one of 50x50 mm; a bed", "bead"),
        ("220x220x12", "0.2mm", "mm high, more than a printer of 220x220x12 mm takes; a bed", "bead"),
    ] {
        let asked = ["--bed", bed, "--bead-radius", bead];
        let (_, _, complaint) = new(&asked);
        assert!(complaint.contains(causes) && !complaint.contains(not), "{bed}: {complaint}");
        granted_instead(&asked, "is --bed");
    }
}

#[test]
fn a_folder_that_is_not_there_is_told_first() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("none").join("mine.toml");
    for wish in [&[][..], &["--beat", "0.333s"]] {
        let (code, said, complaint) = run(&[&["new", file.to_str().unwrap()], wish].concat());
        assert_eq!((code, said.as_str()), (2, ""));
        assert!(complaint.contains("there is no folder"), "{complaint}");
    }
}
