//! No text makes the reading panic, hang or flood: mutations of a good file, arbitrary bytes, sizes and depths.

use std::time::{Duration, Instant};

use beatwright::scenario::{LoadError, MOST_PROBLEMS, NO_OVERRIDES, read};
use proptest::prelude::*;

use crate::support::plain::HERON;

/// Reads, renders if there are problems, and holds the report to its promises.
fn read_and_render(text: &str, overrides: &[String]) -> String {
    match read("some.toml", text, overrides) {
        Ok(scenario) => scenario.hash,
        Err(LoadError::Problems(problems)) => {
            assert!(problems.list().len() <= MOST_PROBLEMS);
            assert!(problems.count() > 0);
            let report = problems.render(false);
            let places = report.matches("some.toml:").count() + report.matches("--set ").count();
            assert!(places >= problems.list().len(), "a problem without its place:\n{report}");
            // A report quotes the text, which may say so itself.
            assert!(!report.contains("NaN") || text.contains("NaN"), "{report}");
            report
        }
        Err(other) => other.to_string(),
    }
}

fn quickly(text: &str) -> String {
    let start = Instant::now();
    let report = read_and_render(text, &[]);
    assert!(start.elapsed() < Duration::from_secs(20), "took {:?}", start.elapsed());
    assert!(report.len() < 300_000, "a report of {} bytes", report.len());
    report
}

#[test]
fn many_unknown_keys_are_counted() {
    let mut text = HERON.to_owned();
    for index in 0..500_000 {
        text.push_str(&format!("k{index:x}=1\n"));
    }
    assert!(quickly(&text).ends_with("and 499950 more problems\n"));
}

#[test]
fn many_syntax_errors_are_counted() {
    assert!(quickly(&"= = =\n".repeat(100_000)).contains("more problems"));
}

#[test]
fn deep_nesting_is_refused() {
    for deep in [
        format!("a = {}1{}", "[".repeat(200_000), "]".repeat(200_000)),
        format!("a = {}1{}", "{ a = ".repeat(200_000), " }".repeat(200_000)),
        format!("a = {}", "[".repeat(500_000)),
        format!("{} = 1", vec!["a"; 200_000].join(".")),
        format!("[{}]\nb = 1", vec!["a"; 200_000].join(".")),
        format!("[{}]\n", vec!["pendulum"; 79].join(".")).repeat(1) + &nested_dotted(79, 70),
    ] {
        quickly(&deep);
    }
}

/// Inline tables nested in dotted keys: the deepest tree that passes a limit on each of them alone.
fn nested_dotted(width: usize, depth: usize) -> String {
    let key = vec!["a"; width].join(".");
    format!("{}1{}", format!("{key} = {{ ").repeat(depth).trim_end_matches("{ "), " }".repeat(depth - 1))
}

#[test]
fn endless_lines_and_numbers_are_not_quoted_in_full() {
    quickly(&format!("name = \"{}\"", "x".repeat(1_000_000)));
    quickly(&format!("drive = {}", "9".repeat(1_000_000)));
    quickly(&format!("[drive]\nweight = \"{}\"", "kg ".repeat(300_000)));
    quickly(&format!("[drive]\nweight = \"1 {}m\"", "(".repeat(300_000)));
    quickly(&format!("[drive]\nweight = \"{}\"", "é".repeat(300_000)));
    quickly(&format!("[drive]\nwe{} = 1", "ight".repeat(100_000)));
}

#[test]
fn a_long_outline_is_refused_at_once() {
    let path: Vec<String> =
        (0..50_000).map(|index| format!("{{ to = [{index}, {}], bulge = 0.1 }}", index % 7)).collect();
    let chain = format!("{{ start = [0, -5], path = [{}] }}", path.join(", "));
    let outline = format!("[escapement.outline]\ntooth = {chain}\n");
    assert!(quickly(&outline).contains("at most"));
}

#[test]
fn other_line_ends_and_a_byte_order_mark_change_nothing() {
    let plain = read("some.toml", HERON, &NO_OVERRIDES).unwrap().design;
    let dos = format!("\u{feff}{}", HERON.replace('\n', "\r\n"));
    assert_eq!(read("some.toml", &dos, &NO_OVERRIDES).unwrap().design, plain);
    let bad = dos.replace("weight = \"3.6 kg\"", "weight = 3.6");
    assert!(read_and_render(&bad, &[]).contains("some.toml:93:10"));
    let first_line = "\u{feff}name = 7\n";
    assert!(read_and_render(first_line, &[]).contains("some.toml:1:8"));
}

#[test]
fn columns_count_characters() {
    let report = read_and_render("\"größe\" = 1 # ü\n[drive]\n\"ü\" = { \"日本\" = 1, weight = 3 }", &[]);
    assert!(report.contains("some.toml:3:1"), "{report}");
}

fn piece() -> impl Strategy<Value = String> {
    prop_oneof![
        Just("\"".to_owned()),
        Just("[".to_owned()),
        Just("]]".to_owned()),
        Just("{".to_owned()),
        Just("=".to_owned()),
        Just("\n".to_owned()),
        Just("nan".to_owned()),
        Just("-inf".to_owned()),
        Just("1e999".to_owned()),
        Just("99999999999999999999999".to_owned()),
        Just("\"1e308 Gm\"".to_owned()),
        Just("0".to_owned()),
        Just("-1".to_owned()),
        Just("\u{0}".to_owned()),
        Just("ß𝄞".to_owned()),
        ".{0,6}",
    ]
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn a_damaged_file_never_panics(
        cuts in prop::collection::vec((0usize..HERON.len(), 0usize..40, piece()), 1..6),
    ) {
        let mut text = HERON.to_owned();
        for (at, length, piece) in cuts {
            let mut start = at.min(text.len());
            while !text.is_char_boundary(start) {
                start -= 1;
            }
            let mut end = (start + length).min(text.len());
            while !text.is_char_boundary(end) {
                end += 1;
            }
            text.replace_range(start..end, &piece);
        }
        read_and_render(&text, &[]);
    }

    #[test]
    fn arbitrary_text_never_panics(bytes in prop::collection::vec(any::<u8>(), 0..300)) {
        read_and_render(&String::from_utf8_lossy(&bytes), &[]);
    }

    #[test]
    fn arbitrary_values_never_panic(line in 0usize..110, value in piece()) {
        let lines: Vec<String> = HERON
            .lines()
            .enumerate()
            .map(|(index, text)| match text.split_once(" = ") {
                Some((key, _)) if index == line => format!("{key} = {value}"),
                _ => text.to_owned(),
            })
            .collect();
        read_and_render(&lines.join("\n"), &[]);
    }

    #[test]
    fn arbitrary_overrides_never_panic(
        overrides in prop::collection::vec("([a-z.\"]{0,12}|train\\.arbor\\.[0-9]{1,3})(=|)(.{0,10}|[0-9]{1,25}|\"[^\"]{0,5}\")", 1..4),
    ) {
        read_and_render(HERON, &overrides);
    }
}

/// Heron changed as said is predicted, going or not.
fn predicts(overrides: &[&str]) -> beatwright::answers::prediction::Prediction {
    let scenario = read("heron.toml", HERON, overrides).unwrap();
    beatwright::answers::prediction::predict(&scenario.in_room()).unwrap()
}

// A pendulum that turned just where the contact curve folds put the wheel's speed to infinity, and the search never ended.
#[test]
fn regress_a_wheel_at_a_fold_keeps_its_speed() {
    let prediction = predicts(&[
        "escapement.dead_beat.tooth={ depth = \"10 mm\", tip_width = \"0.8 mm\", undercut = \"10 deg\", wedge = \"16 deg\" }",
        "escapement.dead_beat.lock=1 deg",
        "printer={ bead_radius = \"0.2 mm\" }",
        "pendulum.bob.below_axis=994.6 mm",
    ]);
    assert!(prediction.steady.is_some());
}

// Under the heavy weights that the search tries, this wheel runs away; a gap was then followed far beyond where its series holds.
#[test]
fn regress_a_wheel_that_runs_away_ends() {
    let prediction = predicts(&[
        "escapement.dead_beat.tooth={ form = \"pin\", diameter = \"0.95 mm\" }",
        "escapement.dead_beat.lift=2.74 deg",
        "escapement.dead_beat.lock=2.13 deg",
        "escapement.dead_beat.drop=3.22 deg",
        "escapement.dead_beat.friction=0.02",
        "escapement.dead_beat.face_length=1.9 deg",
        "printer={ growth = \"0.087 mm\", centre_distance_error = \"0.281 mm\" }",
    ]);
    assert!(prediction.steady.is_none());
}

// A print left an edge bent by less than an atom; its centre, a million kilometres away, gave contact torques that were no numbers.
#[test]
fn regress_an_edge_that_is_hardly_bent_is_straight() {
    let prediction = predicts(&["pendulum.bob.below_axis=99.888 mm", "train.arbor.escape.inertia=0.008258 kg m^2"]);
    assert!(prediction.steady.is_none());
}

// A kick beyond the swing leaves a pendulum that dies away by viscous friction alone, and that for ever.
#[test]
fn regress_a_swing_below_all_measure_counts_as_none() {
    let text = r#"
[place]
gravity = "9.81 m/s^2"
[pendulum.lumped]
inertia = "1 kg m^2"
mass = "1 kg"
centre_of_mass = "1 m"
damping_linear = "0.1 N m s"
[escapement.ideal_kick]
at = "0.1 deg"
energy = "1e-9 J"
"#;
    let scenario = read("far.toml", text, &["start_arc=0.01 deg".to_owned()]).unwrap();
    assert!(beatwright::answers::prediction::predict(&scenario.in_room()).unwrap().steady.is_none());
}

// A centre arbor of a thousand tonnes kept the search running for minutes.
#[test]
fn regress_a_quantity_that_no_clock_has_is_refused_with_its_range() {
    for (setting, range) in [
        ("train.arbor.centre.mass=1e9 g", "write a mass from 1e-6 g to 5e6 g"),
        ("train.arbor.centre.inertia=1e30 kg m^2", "write a moment of inertia from 1e-15 kg m^2 to 1e6 kg m^2"),
        (
            "pendulum.extra_damping.linear=1e200 N m s",
            "write a torque per angular speed 0 or from 1e-15 N m s to 1000 N m s",
        ),
        ("pendulum.rod.top=1e30 mm", "write a length of a size 0 or from 1e-9 mm to 100000 mm"),
        ("printer.bead_radius=2e-7 mm", "write 0, or at least"),
        ("pendulum.bob.mass=1e300 kg", "write a mass from 1e-9 kg to 5000 kg"),
    ] {
        let report = read_and_render(HERON, &[setting.to_owned()]);
        assert!(report.contains(range) && report.contains("--set 1:1:"), "{setting}: {report}");
    }
}

#[test]
fn regress_a_tower_clock_and_a_miniature_are_within_the_ranges() {
    for settings in [
        ["pendulum.bob.mass=500 kg", "pendulum.bob.below_axis=16 m", "drive.weight=400 kg"],
        ["pendulum.bob.mass=0.2 g", "pendulum.bob.below_axis=8 mm", "drive.weight=2 g"],
    ] {
        let settings = settings.map(str::to_owned);
        let report = read_and_render(HERON, &settings);
        assert!(!report.contains("in a clock"), "{report}");
    }
}

// Each swing of a question draws on the same count; without one left a motion stops at once, and nothing is said of the clock.
#[test]
fn regress_a_question_ends_with_the_work_that_it_may_take() {
    use beatwright::answers::return_map::{Clock, PeriodFailure, PeriodOutcome};
    use beatwright::dynamics::{Stop, StopReason, budget::within};

    let scenario = read("heron.toml", HERON, &NO_OVERRIDES).unwrap();
    let built = beatwright::clock::build::build(&scenario.in_room()).unwrap();
    let clock = Clock::of(&built.mechanism).unwrap();
    let start = 1.3 * clock.widest_escaping_arc_rad();
    let free = clock.period_from(start);
    assert!(matches!(free, PeriodOutcome::Returned(_)));
    let ((bounded, cut_short), used_up) = within(10_000, || (clock.period_from(start), within(1, || ()).1));
    assert_eq!(bounded, free);
    assert!(!cut_short && !used_up);
    let (cut, used_up) = within(20, || clock.period_from(start));
    let out_of_work = |outcome: &PeriodOutcome| {
        matches!(outcome, PeriodOutcome::Failed(PeriodFailure::Stopped(Stop { reason: StopReason::OutOfWork, .. })))
    };
    assert!(used_up && out_of_work(&cut), "{cut:?}");
    assert_eq!(clock.period_from(start), free);
    // A question within another ends alone.
    let ((cut, after), used_up) =
        within(10_000, || (within(20, || clock.period_from(start)).0, clock.period_from(start)));
    assert!(out_of_work(&cut) && !used_up);
    assert_eq!(after, free);
}

// With c1^2 >= 4 I k the pendulum only creeps back to the middle; each swing would take as many stretches as there are.
#[test]
fn regress_a_pendulum_that_only_creeps_back_is_answered() {
    use beatwright::answers::prediction::predict;
    use beatwright::answers::verdict::{Reason, Verdict};

    let settings = ["pendulum.extra_damping.linear=1000 N m s".to_owned()];
    let scenario = read("heron.toml", HERON, &settings).unwrap();
    let prediction = predict(&scenario.in_room()).unwrap();
    assert!(prediction.built.mechanism.pendulum.is_overdamped());
    let reasons = [Reason::LosesAmplitude, Reason::NotSettled];
    assert!(matches!(prediction.verdict, Verdict::Stops(reason, _) if reasons.contains(&reason)));
    assert!(prediction.steady.is_none() && prediction.least.is_none());
}
