//! Better designs: closed-form optima, copies, taking up again, how flat they are.

use beatwright::answers::prediction::predict;
use beatwright::report::improve::keys::AskedKeys;
use beatwright::report::improve::overlay_toml;
use beatwright::report::prediction::keyed::ResultNumbers;
use beatwright::scenario::{NO_OVERRIDES, Scenario, read};
use beatwright::study::improve::candidates::KnownCandidates;
use beatwright::study::improve::figures::clock_figures;
use beatwright::study::improve::flatness::flatness;
use beatwright::study::improve::question::{CopiesAsked, Question};
use beatwright::study::improve::vary::VariedQuantity;
use beatwright::study::improve::{Improvement, SearchPlan, improve};
use beatwright::study::jobs::Unwatched;
use beatwright::study::keyed::KeyedClock;
use beatwright::study::prepare::{prepared, under};
use beatwright::study::spread::Run;
use beatwright::study::spread::plan::place;

use crate::support::kicked::{KICKED, kick_j};
use crate::support::{demo, plain};

/// What a search is asked.
struct Asked<'a> {
    vary: &'a [&'a str],
    aims: &'a [&'a str],
    holds: &'a [&'a str],
    copies: Option<CopiesAsked>,
}

fn with_question<T>(scenario: &Scenario, asked: &Asked<'_>, answer: impl FnOnce(&Question<'_>) -> T) -> T {
    let everything = ResultNumbers::of_keys(vec![String::new()]);
    let own = KeyedClock::of(scenario, &everything).unwrap();
    let copies = asked.copies.is_some();
    let mut keys = AskedKeys::default();
    asked.aims.iter().for_each(|aim| keys.add_aim(aim, copies, &own).unwrap());
    asked.holds.iter().for_each(|hold| keys.add_hold(hold, copies, &own).unwrap());
    let results = keys.results();
    answer(&Question {
        scenario,
        varied: asked.vary.iter().map(|text| VariedQuantity::parse(text, scenario).unwrap()).collect(),
        numbers: keys.numbers.clone(),
        results: &results,
        aims: keys.aims.clone(),
        holds: keys.holds.clone(),
        copies: asked.copies,
        beds: scenario.beds.clone(),
    })
}

fn searched(question: &Question<'_>, candidates: usize, known: &KnownCandidates) -> Improvement {
    let plan = SearchPlan { candidates, seed: 1, points: 5 };
    improve(question, plan, known, &|_| {}, &Unwatched)
}

// The loss of half a swing grows with its speed: the least kick for a swing is that of the softest spring and the largest inertia.
#[test]
fn exact_least_kick_for_a_swing() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let vary = [
        "escapement.ideal_kick.energy=1mJ..50mJ",
        "pendulum.lumped.stiffness=10 N m/rad..30 N m/rad",
        "pendulum.lumped.inertia=1 kg m^2..3 kg m^2",
    ];
    // The kick is what is varied: what it gives a beat is the aim.
    let aims = ["energy_per_beat_j.weight"];
    let asked = Asked { vary: &vary, aims: &aims, holds: &["semi_arc_deg >= 10"], copies: None };
    let least = kick_j(3.0, 10.0, 0.1, 10.0);
    with_question(&scenario, &asked, |question| {
        let found = searched(question, 700, &KnownCandidates::default());
        let best = found.ranked()[0];
        let figures = found.candidates[best].found.as_ref().unwrap();
        let energy = figures.of_aims[0].unwrap();
        assert!(figures.numbers[question.holds[0].number].unwrap() >= 10.0);
        let settings = question.settings(&found.trials[best].point);
        assert!((1.0 - 1e-9..1.003).contains(&(energy / least)), "{energy} for {least}: {settings:?}");
    });
}

/// A number wanted is met, and what lies beyond the bounds is not asked.
#[test]
fn exact_nearest_to_a_swing() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let vary = ["escapement.ideal_kick.energy=1mJ..50mJ"];
    let asked = Asked { vary: &vary, aims: &["nearest 12 semi_arc_deg"], holds: &[], copies: None };
    with_question(&scenario, &asked, |question| {
        let found = searched(question, 120, &KnownCandidates::default());
        let best = found.ranked()[0];
        let energy = 1e-3 * question.varied[0].number(found.trials[best].point[0]).unwrap();
        let expected = kick_j(2.0, 20.0, 0.1, 12.0);
        assert!((energy - expected).abs() <= 0.6e-5, "{energy} for {expected}");
    });
}

/// What is known is not asked again and changes nothing.
#[test]
fn exact_taken_up_again_is_as_in_one_go() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let vary = ["escapement.ideal_kick.energy=1mJ..50mJ", "pendulum.lumped.stiffness=10 N m/rad..30 N m/rad"];
    let asked =
        Asked { vary: &vary, aims: &["least energy_per_beat_j.weight"], holds: &["semi_arc_deg >= 10"], copies: None };
    with_question(&scenario, &asked, |question| {
        let whole = searched(question, 150, &KnownCandidates::default());
        let part = KnownCandidates::of(whole.candidates[..60].to_vec());
        assert_eq!(part.count(), 60);
        let again = searched(question, 150, &part);
        assert!(whole == again);
    });
}

/// The last round of a clock with hands has the twelve hours of the best before it, as the best's own file has them.
#[test]
fn the_last_round_has_the_hours_of_the_best() {
    let scenario = prepared(demo::loaded("heron.toml", &[])).unwrap();
    let vary = ["drive.drum_diameter=38mm..42mm"];
    let asked = Asked { vary: &vary, aims: &["least_weight_kg"], holds: &[], copies: None };
    with_question(&scenario, &asked, |question| {
        let found = searched(question, 20, &KnownCandidates::default());
        assert!(found.last_round > 0 && found.last_round < found.trials.len());
        let best = found.ranked()[0];
        assert!(best >= found.last_round);
        let number = found.candidates[best].found.as_ref().unwrap().of_aims[0].unwrap();
        let settings = question.settings(&found.trials[best].point);
        let with = prepared(scenario.with_overrides(&settings).unwrap()).unwrap().in_room();
        let least = predict(&with).unwrap().least.unwrap().bare.value();
        assert!((number / least - 1.0).abs() < 1e-3, "{number} {least}");
        let again = searched(question, 20, &KnownCandidates::of(found.candidates.clone()));
        assert!(again == found);
    });
}

/// The weight for a share of copies is that of the same copies of `spread`.
#[test]
fn crosscheck_aim_of_copies_with_the_copies_of_spread() {
    let scenario =
        plain::loaded("wren.toml", &["printer.growth=0 mm +/- 0.04 mm", "printer.bead_radius=0.2 mm +/- 0.03 mm"]);
    let copies = CopiesAsked { count: 9, share: 0.8, seed: 4 };
    let vary = ["escapement.recoil_anchor.drop=1.5deg..3deg"];
    let holds = ["share_that_keeps_going >= 50 %"];
    for holds in [&[][..], &holds[..]] {
        let asked = Asked { vary: &vary, aims: &["least_weight_kg"], holds, copies: Some(copies) };
        with_question(&scenario, &asked, |question| {
            let found = clock_figures(question, &scenario).unwrap();
            let in_room = scenario.in_room();
            let run = Run::of(&in_room, 4).unwrap();
            let counted = (1..).filter(|&number| place(number, run.inputs.len()).1.counts()).take(9);
            let copies: Vec<_> = counted.map(|number| run.copy(number)).collect();
            let mut least: Vec<f64> = copies.iter().map(|copy| copy.least_drive()).collect();
            least.sort_by(f64::total_cmp);
            let expected = beatwright::numerics::intervals::quantile(&least, 0.8).unwrap();
            assert_eq!(found.of_aims[0], Some(expected));
            if let Some(hold) = question.holds.first() {
                let going = copies.iter().filter(|copy| copy.keeps_going()).count() as f64 / 9.0;
                assert_eq!(found.numbers[hold.number], Some(going));
            }
        });
    }
}

/// Choices are texts of any letters, and a file says them as they are.
#[test]
fn texts_of_any_letters_are_written_as_they_are() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let varied = VariedQuantity::parse("name=\"a \\\"rook\\\" # |\"|two\nlines|it's|a \"crow\"|12", &scenario);
    // A number is no name.
    assert!(varied.unwrap_err().contains("with 12"));
    let text = "name=\"a \\\"rook\\\" # |\"|two\nlines|it's|a \"crow\"";
    let varied = VariedQuantity::parse(text, &scenario).unwrap();
    for (place, name) in (0..).zip(["a \"rook\" # |", "two\nlines", "it's", "a \"crow\""]) {
        let with = scenario.with_overrides(&[varied.setting(place)]).unwrap();
        assert_eq!(with.design.name, name);
        let values = [("name".to_owned(), varied.as_toml(place))];
        let written = overlay_toml::text(&scenario, "kicked.toml", "", &values, &[]).unwrap();
        let read: toml::Table = toml::from_str(&written).unwrap();
        assert_eq!(read["name"].as_str(), Some(name));
    }
}

/// Numbers of the design are one for all copies: none is made where nothing asks for them.
#[test]
fn copies_are_made_only_where_they_are_asked_for() {
    let scenario = read("kicked.toml", KICKED, &NO_OVERRIDES).unwrap();
    let copies = Some(CopiesAsked { count: 9, share: 0.8, seed: 4 });
    let vary = ["escapement.ideal_kick.energy=1mJ..50mJ"];
    let of = |aims: &[&str], holds: &[&str]| {
        let asked = Asked { vary: &vary, aims, holds, copies };
        with_question(&scenario, &asked, |question| clock_figures(question, &scenario).is_ok())
    };
    assert!(of(&["largest_part_mm"], &["semi_arc_deg >= 1"]));
    // Of this clock there are no copies.
    assert!(!of(&["most semi_arc_deg"], &[]));
    assert!(!of(&["largest_part_mm"], &["share_that_keeps_going >= 50 %"]));
}

/// How far a quantity may move is judged with the twelve hours of the design it moves from, not with those of the clock as it was.
#[test]
fn flatness_has_the_hours_of_its_own_design() {
    let scenario = prepared(demo::loaded("heron.toml", &[])).unwrap();
    let vary = ["escapement.dead_beat.lift=1deg..3deg"];
    let aims = ["nearest 4 weight_kg"];
    let least = |base: &Scenario| {
        let asked = Asked { vary: &vary, aims: &["least_weight_kg"], holds: &[], copies: None };
        let settings = [String::from("escapement.dead_beat.lift=\"1.1 deg\"")];
        let there = under(base, &settings).unwrap();
        with_question(&scenario, &asked, |question| clock_figures(question, &there).unwrap().of_aims[0].unwrap())
    };
    let own = prepared(scenario.with_overrides(&["escapement.dead_beat.lift=\"1.1 deg\""]).unwrap()).unwrap();
    let (of_own, of_start) = (least(&own), least(&scenario));
    assert!((of_own / of_start - 1.0).abs() > 1e-4, "{of_own} {of_start}");
    let level = 0.5 * (of_own + of_start);
    let hold = format!("least_weight_kg {} {level}", if of_own < of_start { "<=" } else { ">=" });
    let asked = Asked { vary: &vary, aims: &aims, holds: &[&hold], copies: None };
    with_question(&scenario, &asked, |question| {
        let place = 0.1 / 2.0 * f64::from(question.varied[0].last());
        let point = [place.round() as u32];
        assert_eq!(question.varied[0].number(point[0]), Some(1.1));
        let moves = |base: &Scenario| {
            let flat = flatness(question, (&point, base), &[None, None], &Unwatched).unwrap();
            flat[0].down.place < point[0] || flat[0].up.place > point[0]
        };
        assert!(moves(&own) && !moves(&scenario));
    });
}
