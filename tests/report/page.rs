//! The one-file page: what it says equals the results, what it moves equals the computed motion, and a scenario's text stays text.

use beatwright::answers::prediction::{Prediction, predict};
use beatwright::answers::regulation::regulation;
use beatwright::browser::ENGINE;
use beatwright::report::figures::{Figure, draw_all};
use beatwright::report::meshes;
use beatwright::report::page::{PageMember, Studies, WhatIf, key_figures, motion, page, verdict_sentence};
use beatwright::report::prediction;
use beatwright::report::prediction::by_key::Answers;
use beatwright::report::regulation::json::RegulationRecord;
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};
use beatwright::study::jobs::Unwatched;
use beatwright::study::overview::{Plan, overview};
use beatwright::study::page_asks::page_asks;
use beatwright::study::papers::papers;
use beatwright::study::portrait::portrait;

use crate::support::plain;
use crate::support::program::beatwright;

fn clock(file: &str, overrides: &[&str]) -> (Scenario, Prediction) {
    let scenario = plain::loaded(file, overrides);
    let prediction = predict(&scenario.in_room()).expect("predicts");
    (scenario, prediction)
}

fn page_of(scenario: &Scenario, prediction: &Prediction) -> String {
    page_with(scenario, prediction, Vec::new(), Studies::default())
}

fn page_with(scenario: &Scenario, prediction: &Prediction, printed: Vec<Figure>, studies: Studies) -> String {
    let in_room = &scenario.in_room();
    let portrait = portrait(in_room, prediction);
    let member = PageMember {
        scenario,
        in_room,
        prediction,
        results: prediction::json::record(in_room, prediction),
        figures: draw_all(in_room, prediction, &portrait),
        printed,
        motion: motion(in_room, prediction, &portrait.phases, portrait.wheel_holes.clone()),
        what_if: WhatIf::of(scenario, &page_asks(scenario).unwrap()),
        studies,
        regulation: RegulationRecord::of(&regulation(in_room, prediction)),
        towns: Vec::new(),
        papers: None,
        command: "beatwright page".to_owned(),
    };
    page(&member, ENGINE)
}

fn studies_of(scenario: &Scenario, prediction: &Prediction, plan: Plan) -> Studies {
    let answers = Answers::usual(&scenario.in_room(), prediction);
    let found = overview((scenario, prediction), plan, None, &answers, &Unwatched);
    Studies::of((scenario, &scenario.in_room(), prediction), &found, plan, None, &answers.keys)
}

/// The number at the head of a shown value, and half a step of its last digit.
fn number_and_step(shown: &str) -> (f64, f64) {
    let digits = shown.split(' ').next().unwrap().replace('\u{2212}', "-");
    let decimals = digits.split_once('.').map_or(0, |(_, after)| after.len() as i32);
    (digits.parse().unwrap(), 0.5 * 10f64.powi(-decimals))
}

#[test]
fn exact_figures_on_the_page_are_the_results_to_the_shown_digits() {
    for file in ["heron.toml", "wren.toml", "heron-pointed.toml"] {
        let (scenario, prediction) = clock(file, &[]);
        let found = prediction::json::record(&scenario.in_room(), &prediction);
        let json = serde_json::to_value(&found).unwrap();
        let text = page_of(&scenario, &prediction);
        let figures = key_figures(&found);
        assert!(figures.len() >= 9, "{file}: {}", figures.len());
        for figure in figures {
            assert!(
                text.contains(&format!("data-key=\"{}\">{}</td>", figure.key, figure.value)),
                "{file}: {}",
                figure.key
            );
            let (shown, half_step) = number_and_step(&figure.value);
            let scale = if figure.key.ends_with("_n_m") { 1e3 } else { 1.0 };
            let result = scale * figure.key.split('.').fold(&json, |value, step| &value[step]).as_f64().unwrap();
            assert!((shown - result).abs() <= half_step * (1.0 + 1e-9), "{file}: {} {shown} {result}", figure.key);
            let unit = figure.value.split_once(' ').map_or("", |(_, unit)| unit);
            assert!(!unit.is_empty(), "{file}: {} has no unit", figure.key);
        }
    }
}

#[test]
fn exact_moving_parts_follow_the_traced_period() {
    for file in ["heron.toml", "wren.toml"] {
        let (scenario, prediction) = clock(file, &[]);
        let portrait = portrait(&scenario.in_room(), &prediction);
        let motion = motion(&scenario.in_room(), &prediction, &portrait.phases, Vec::new()).expect("moves");
        let trace = prediction.steady.as_ref().unwrap().measured.trace.as_ref().unwrap();
        assert_eq!(motion.time_s.len(), trace.samples.len(), "{file}");
        let first = trace.samples[0];
        for (number, sample) in trace.samples.iter().enumerate() {
            // Shown to seven decimals.
            let near = |shown: f64, computed: f64| {
                assert!((shown - computed).abs() < 1e-7, "{file} {number}: {shown} {computed}")
            };
            near(motion.time_s[number], sample.time_s - first.time_s);
            near(motion.theta_deg[number], sample.theta_rad.to_degrees());
            near(motion.phi_deg[number], (sample.phi_rad - first.phi_rad).to_degrees());
            near(motion.force_n[number], sample.force_n.max(0.0));
        }
        // In one period the wheel advances by a tooth.
        assert!((motion.phi_deg.last().unwrap() - motion.pitch_deg).abs() < 1e-6, "{file}");
    }
}

#[test]
fn exact_force_is_normal_to_what_it_touches_and_lies_on_both_outlines() {
    let (scenario, prediction) = clock("wren.toml", &[]);
    let portrait = portrait(&scenario.in_room(), &prediction);
    let motion = motion(&scenario.in_room(), &prediction, &portrait.phases, Vec::new()).expect("moves");
    let outlines = prediction.built.outlines.as_ref().unwrap();
    let arbor = beatwright::geometry::Point::new(0.0, outlines.centre_distance_m);
    let mut touched = 0;
    for number in (0..motion.time_s.len()).step_by(37).filter(|&number| motion.state[number] > 0) {
        let at = beatwright::geometry::Point::new(1e-3 * motion.x_mm[number], 1e-3 * motion.y_mm[number]);
        let pallet = if motion.words[motion.word[number]].contains("entry") {
            &outlines.pallets.entry
        } else {
            &outlines.pallets.exit
        };
        let turned = pallet.turned_about(arbor, (motion.theta_deg[number] + motion.beat_error_deg).to_radians());
        let distance = turned
            .polyline(1e-9)
            .windows(2)
            .map(|ends| {
                let (along, to) = (ends[1] - ends[0], at - ends[0]);
                let share = (along.dot(&to) / along.norm_squared()).clamp(0.0, 1.0);
                (to - share * along).norm()
            })
            .fold(f64::INFINITY, f64::min);
        assert!(distance < 2e-8, "sample {number}: {distance} m off the pallet");
        touched += 1;
    }
    assert!(touched > 10);
}

/// Left, top, width and height of the frames of the moving drawing: the whole first, then both pallets closer.
fn frames(page: &str) -> Vec<[f64; 4]> {
    let section = page.split("<section id=\"motion\"").nth(1).unwrap().split("</section>").next().unwrap();
    let sides = |text: &str| -> Vec<f64> {
        text.split('"').next().unwrap().split(' ').map(|side| side.parse().unwrap()).collect()
    };
    section.split("viewBox=\"").skip(1).map(|text| sides(text).try_into().unwrap()).collect()
}

#[test]
fn the_arrow_of_the_force_stays_within_its_frames() {
    for (file, overrides) in
        [("heron.toml", vec![]), ("wren.toml", vec![]), ("heron-pointed.toml", vec!["drive.weight=\"5 kg\""])]
    {
        let (scenario, prediction) = clock(file, &overrides);
        let text = page_of(&scenario, &prediction);
        let portrait = portrait(&scenario.in_room(), &prediction);
        let motion = motion(&scenario.in_room(), &prediction, &portrait.phases, Vec::new()).expect("moves");
        let frames = frames(&text);
        assert_eq!(frames.len(), 3, "{file}");
        let mut longest: f64 = 0.0;
        for number in (0..motion.time_s.len()).filter(|&number| motion.state[number] > 0) {
            let (x, y) = (motion.x_mm[number], -motion.y_mm[number]);
            let turn = motion.direction_deg[number].to_radians();
            let long = motion.arrow_mm_per_n * motion.force_n[number];
            longest = longest.max(long);
            // The head reaches 1.6 mm beyond the line.
            let tip = (x + (long + 1.6) * turn.cos(), y - (long + 1.6) * turn.sin());
            let within = |at: (f64, f64), [left, top, width, height]: &[f64; 4]| {
                (*left..=left + width).contains(&at.0) && (*top..=top + height).contains(&at.1)
            };
            for frame in frames.iter().filter(|frame| within((x, y), frame)) {
                assert!(within(tip, frame), "{file} {number}: {tip:?} leaves {frame:?}");
            }
        }
        assert!(longest > 0.1 * frames[1][2], "{file}: an arrow of {longest} mm is hardly seen");
        // One readout for the eye.
        assert!(text.contains("class=\"told\"") && text.contains("class=\"announced unseen\""));
    }
}

#[test]
fn the_page_can_be_printed_and_read_in_the_dark() {
    let (scenario, prediction) = clock("wren.toml", &[]);
    let text = page_of(&scenario, &prediction);
    let style = text.split("<style>").nth(1).unwrap().split("</style>").next().unwrap();
    for rule in ["counter(page)", "break-after: avoid", "break-inside: avoid", "prefers-color-scheme: dark"] {
        assert!(style.contains(rule), "{rule}");
    }
    // Where the screen is dark, paper stays white.
    let print = style.split("@media print").nth(1).unwrap();
    assert!(print.contains("--paper: #ffffff") && print.contains("--ink: #1a1a1a"));
}

#[test]
fn text_of_a_scenario_stays_text() {
    let markup = "</script><script>alert(1)</script><b>&\"'";
    let set = format!("name='''{markup}'''");
    let note = format!("note='''{markup}'''");
    let (scenario, prediction) = clock("wren.toml", &[&set, &note]);
    let text = page_of(&scenario, &prediction);
    assert!(!text.contains("<script>alert"));
    // Motion, what readers may change, the engine, and a script for each of the first two.
    assert_eq!(text.matches("<script").count(), 5);
    assert!(!text.contains("<b>&\"'"));
    assert!(text.contains("&lt;script&gt;alert(1)"));
}

#[test]
fn a_clock_that_has_little_to_show_shows_little() {
    let ideal = "[pendulum.lumped]\ninertia = \"1 kg m^2\"\nmass = \"1 kg\"\ncentre_of_mass = \"1 m\"\ndamping_linear = \"0.01 N m s\"\n\
                 [escapement.ideal_torque]\ntorque = \"20 mN m\"\nbefore = \"1 deg\"\nafter = \"1 deg\"\noutside = \"none\"\n";
    let scenario = read("ideal.toml", ideal, &NO_OVERRIDES).expect("reads");
    let prediction = predict(&scenario.in_room()).expect("predicts");
    let text = page_of(&scenario, &prediction);
    for id in ["motion", "train", "copies", "levers", "print"] {
        assert!(!text.contains(&format!("id=\"{id}\"")), "{id}");
    }
    assert!(text.contains("id=\"figures\""));
    // The engine is letters at random.
    let shown = text.split("id=\"engine\"").next().unwrap();
    assert!(!shown.contains("NaN") && !shown.contains("inf<"));
}

/// Every number of a mesh stands in its row as `inspect` and the JSON have it; the friction reserve is a key figure.
#[test]
fn exact_meshes_of_the_train_are_a_table() {
    let (scenario, prediction) = clock("heron.toml", &["printer.run_out=\"0.05 mm\""]);
    let design = scenario.in_room();
    let text = page_of(&scenario, &prediction);
    let section = text.split("<section id=\"train\"").nth(1).unwrap().split("</section>").next().unwrap();
    let (train, report) = (design.train.as_ref().unwrap(), prediction.built.train.as_ref().unwrap());
    let meshes = meshes::json::record(train, &report.depthings);
    assert_eq!(meshes.len(), train.arbors.len() - 1);
    for mesh in &meshes {
        let name = format!("{} {} -&gt; {} {}", mesh.wheel, mesh.wheel_teeth, mesh.pinion, mesh.pinion_teeth);
        let row = section.split("<tr>").find(|row| row.contains(&name)).unwrap_or_else(|| panic!("{name} {section}"));
        for (value, decimals) in [
            (mesh.module_mm, 2),
            (mesh.centre_distance_mm, 2),
            (mesh.play_mm, 3),
            (mesh.least_play_mm, 3),
            (mesh.bottom_clearance_mm, 3),
            (Some(mesh.contact_ratio), 2),
        ] {
            let shown = format!("{:.decimals$}", value.unwrap());
            assert!(row.contains(&shown), "{shown} {row}");
        }
    }
    assert!(text.contains("data-key=\"friction_reserve\""));
}

#[test]
fn verdicts_read_as_sentences() {
    let (scenario, prediction) = clock("heron.toml", &[]);
    let sentence = verdict_sentence(&prediction::json::record(&scenario.in_room(), &prediction));
    assert_eq!(
        sentence,
        "Heron keeps going: it swings 2.38 degrees to each side, gains 1.2 seconds a day before it is regulated and runs 4.6 days \
         on one winding; its weight of 3.60 kg is 2.35 times the least that keeps it going."
    );
    let (scenario, prediction) = clock("heron.toml", &["drive.weight=\"1 kg\""]);
    let sentence = verdict_sentence(&prediction::json::record(&scenario.in_room(), &prediction));
    assert!(sentence.starts_with("Heron will stop: "), "{sentence}");
    assert!(sentence.contains("it is driven by 1.00 kg and needs at least 1.53 kg"), "{sentence}");
}

#[test]
fn a_draft_leaves_out_what_takes_long() {
    let (scenario, prediction) = clock("wren.toml", &[]);
    let studies = studies_of(&scenario, &prediction, Plan::DRAFT);
    assert!(studies.map.is_empty() && studies.spread.is_none() && studies.levers.is_empty());
    assert!(studies.trade.is_some());
}

#[test]
fn every_caption_says_more_than_the_title_of_its_picture() {
    let settings = [
        "printer.bead_radius=\"0.1 mm +/- 0.03 mm\"",
        "printer.growth=\"0 mm +/- 0.03 mm\"",
        "train.backlash=\"0.3 mm\"",
    ];
    let (scenario, prediction) = clock("wren.toml", &settings);
    let plan = Plan { copies: 240, ..Plan::FULL };
    let studies = studies_of(&scenario, &prediction, plan);
    let printed = ["tooth-tips", "contact-curves", "least-weight-against-bead-radius"].map(|name| Figure {
        name,
        title: format!("title of {name}"),
        svg: format!("<svg><title>title of {name}</title></svg>"),
    });
    let text = page_with(&scenario, &prediction, printed.to_vec(), studies);
    let between = |text: &str, open: &str, close: &str| {
        text.split_once(open).and_then(|(_, rest)| rest.split_once(close)).map(|(inside, _)| inside.to_owned())
    };
    let mut captions = Vec::new();
    for figure in text.split("<figure>").skip(1) {
        // The moving escapement has no title of its own.
        let Some(title) = between(figure, "<title>", "</title>") else { continue };
        let caption = between(figure, "<figcaption>", "</figcaption>").unwrap();
        assert!(caption.ends_with('.') && caption != title && !caption.contains(&title), "{caption}");
        captions.push(caption);
    }
    let found = captions.len();
    captions.sort();
    captions.dedup();
    // Eight of the prediction, a map, trade, three printed beside drawn, three of the copies, levers, room, season. Contours of the map
    // would only repeat upright lines: nothing that settles depends on the start.
    assert_eq!((found, captions.len()), (19, 19), "{captions:#?}");
    let levers = between(&text, "<section id=\"levers\"", "</section>").unwrap();
    assert!(levers.contains("<code>") && !levers.contains('`'), "{levers}");
}

#[test]
fn as_json_a_page_tells_its_figures_and_is_written_only_where_asked() {
    let folder = tempfile::tempdir().unwrap();
    let run = |more: &[&str]| {
        let mut command = beatwright();
        let output = command
            .current_dir(&folder)
            .arg("page")
            .arg(plain::path("wren.toml"))
            .args(["--draft", "--json"])
            .args(more)
            .output();
        let output = output.unwrap();
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        serde_json::from_slice::<serde_json::Value>(&output.stdout).unwrap()
    };
    let told = run(&[]);
    assert!(told["page"].is_null());
    assert_eq!(told["clocks"][0]["verdict"], "keeps_going");
    assert_eq!(std::fs::read_dir(&folder).unwrap().count(), 0);
    assert_eq!(run(&["--out", "there"])["page"], "there/page.html");
    assert!(folder.path().join("there/page.html").is_file());
}

#[test]
fn the_page_has_the_tables_of_the_papers() {
    let (scenario, prediction) = clock("wren.toml", &[]);
    let in_room = &scenario.in_room();
    let found = papers(&scenario.design, in_room, &prediction);
    let portrait = portrait(in_room, &prediction);
    let member = PageMember {
        scenario: &scenario,
        in_room,
        prediction: &prediction,
        results: prediction::json::record(in_room, &prediction),
        figures: draw_all(in_room, &prediction, &portrait),
        printed: Vec::new(),
        motion: None,
        studies: Studies::default(),
        regulation: RegulationRecord::of(&regulation(in_room, &prediction)),
        towns: Vec::new(),
        papers: Some(found),
        what_if: None,
        command: "beatwright page".to_owned(),
    };
    let text = page(&member, ENGINE);
    for title in
        ["Plans and parts", "Parts", "Wheels and pinions", "Arbors on the plates", "If it swings less than predicted"]
    {
        assert!(text.contains(title), "{title}");
    }
    // The steps have a section of their own.
    assert_eq!(text.matches("Set it in beat").count(), 1);
}
