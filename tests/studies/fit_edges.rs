//! Fits where measurements contradict each other, say too little, or stand beside what was written by hand.

use std::fs;

use beatwright::report::fit::fitted_toml::{HEAD, NotRewritten, WrittenValues, text, values_in};
use beatwright::report::fit::rate_log;
use beatwright::report::fit::table_notes::table_notes;
use beatwright::scenario::measured::{MeasuredTable, WantedTable, read_table};
use beatwright::study::fit::free_swing::{PeriodSource, fit_free_swing};
use beatwright::study::fit::rate_log::{RATE_LOG, fit_rate_log};
use beatwright::study::fit::readings::{RECOVERY, RING_DOWN};
use beatwright::study::fit::recovery::{Recovery, fit_recovery};
use beatwright::study::fit::ring_down::LossKind;
use beatwright::study::fit::weights::{WEIGHTS, WeightsFit, fit_weights};
use beatwright::study::fit::{Estimate, FittedValue, NoFit};
use beatwright::study::jobs::Unwatched;
use toml::{Table, Value};

use crate::support::dice::Dice;
use crate::support::plain;
use crate::support::program::run;

fn table(text: &str, wanted: &WantedTable) -> MeasuredTable {
    read_table("measured.csv", text, wanted, false, &|_| Ok(())).unwrap_or_else(|error| panic!("{error}"))
}

/// A hundred and twenty readings, one every `step_s`, with noise.
fn swing(step_s: f64, noise_deg: f64, amplitude_deg: impl Fn(f64) -> f64) -> String {
    let mut dice = Dice(step_s.to_bits());
    let row = |number: u32| {
        let time_s = step_s * f64::from(number);
        format!("{time_s},{:.7}\n", amplitude_deg(time_s) + noise_deg * dice.normal())
    };
    format!("time_s,amplitude_deg\n{}", (0..120).map(row).collect::<String>())
}

fn both(recovery: &str, free: &str) -> Result<Recovery, NoFit> {
    let free = fit_free_swing(&table(free, &RING_DOWN), Some(2.0), None).unwrap();
    fit_recovery(&table(recovery, &RECOVERY), Some(2.0), None, Some(&free))
}

// Without the escapement it falls by e in fourteen hours, and from five degrees to three in minutes: it would have to take energy.
#[test]
fn a_recovery_that_falls_faster_than_its_ring_down_is_refused() {
    let recovery = swing(5.0, 1e-2, |time_s| 3.0 + 2.0 * (-time_s / 100.0).exp());
    let free = swing(200.0, 1e-4, |time_s| 5.0 * (-time_s / 50_000.0).exp());
    let error = both(&recovery, &free).unwrap_err();
    assert!(matches!(&error, NoFit::NotSuch(_)) && error.to_string().contains("faster than the ring-down"), "{error}");
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(at("recovery.csv"), recovery).unwrap();
    fs::write(at("free.csv"), free).unwrap();
    let asked = ["fit", "--recovery", &at("recovery.csv"), "--ring-down", &at("free.csv"), "--period", "2 s", "--json"];
    let (code, said, told) = run(&asked);
    assert!(code == 2 && said.is_empty() && told.contains("no steady energy"), "{told}");
}

// Linear losses and the same energy a period: the square of the amplitude comes nearer its end by e in 500 s where the free swing falls by e in
// 1000 s; another ring-down falls in 700 s.
#[test]
fn a_pair_of_which_neither_is_fitted_does_not_agree() {
    let recovery = swing(40.0, 1e-4, |time_s| (0.25 - 0.16 * (-time_s / 500.0).exp()).sqrt());
    let mut own = both(&recovery, &swing(20.0, 1e-4, |time_s| 0.5 * (-time_s / 1000.0).exp())).unwrap();
    let agree = |found: &Recovery| -> Vec<LossKind> {
        found.by_power.iter().filter(|one| one.agrees == Some(true)).map(|one| one.kind).collect()
    };
    assert_eq!(agree(&own), [LossKind::Linear]);
    let best = own.best_power().unwrap();
    assert!((0.7..1.4).contains(&(best.sum_of_squares / 240.0)), "{}", best.sum_of_squares);
    // The best is that in the scatter of each table: plain angles of a coarse table and a fine one say nothing.
    for one in &mut own.by_power {
        one.free_rms_rad = Some(if one.kind == LossKind::Linear { 1e-3 } else { 1e-6 });
    }
    assert_eq!(own.best_power().unwrap().kind, LossKind::Linear);
    let others = both(&recovery, &swing(20.0, 1e-4, |time_s| 0.5 * (-time_s / 700.0).exp())).unwrap();
    assert!(others.by_power.iter().all(|one| one.sum_of_squares > 60.0 * 240.0));
    assert_eq!(agree(&others), []);
}

fn weighed(scenario: &str, overrides: &[&str], rows: &[(f64, f64)]) -> WeightsFit {
    let rows: String = rows.iter().map(|(weight_kg, deg)| format!("{weight_kg},{deg}\n")).collect();
    let scenario = plain::loaded(scenario, overrides);
    let table = table(&format!("weight_kg,amplitude_deg\n{rows}"), &WEIGHTS);
    fit_weights(&table, &scenario.design, &Unwatched).unwrap().unwrap()
}

/// The search asks for less than a prediction, and for the same: what is left is that of the predictions that are shown.
#[test]
fn crosscheck_weights_are_searched_as_they_are_predicted() {
    let found = weighed("heron.toml", &[], &[(2.6, 2.2), (3.2, 2.48), (4.0, 2.8), (100.0, 7.75)]);
    let square =
        |row: &beatwright::study::fit::weights::HungWeight| (row.fitted_rad.unwrap() - row.amplitude_rad).powi(2);
    let rms_rad = (found.rows.iter().map(square).sum::<f64>() / 4.0).sqrt();
    assert!((rms_rad - found.rms_rad).abs() < 1e-9, "{rms_rad} {}", found.rms_rad);
    assert!((0.7..0.9).contains(&found.factor.value) && found.rms_rad.to_degrees() < 0.2, "{found:?}");
}

// No friction between the limits of the search lets Heron go on 0.3 kg: two degrees are left on it.
#[test]
fn a_row_on_which_the_fitted_clock_stops_counts() {
    let going = [(2.6, 2.2), (3.2, 2.48), (4.0, 2.8)];
    let without = weighed("heron.toml", &[], &going);
    let found = weighed("heron.toml", &[], &[going[0], going[1], going[2], (0.3, 2.0)]);
    assert!(found.rows[3].fitted_rad.is_none());
    assert!((found.factor.value - without.factor.value).abs() < 1e-3, "{:?}", found.factor);
    assert!(
        found.rms_rad.to_degrees() > 0.99 && found.factor.sigma > 20.0 * without.factor.sigma,
        "{:?}",
        found.factor
    );
}

// With friction of 0.8 on the pallets the scenario goes on 20 kg; with a standard deviation more no weight drives it.
#[test]
fn a_least_weight_that_more_friction_has_not_is_not_called_certain() {
    let rough = ["escapement.dead_beat.friction=0.8"];
    let found = weighed("heron.toml", &rough, &[(20.0, 1.47), (30.0, 1.504), (60.0, 1.542), (0.4, 1.5), (0.5, 1.5)]);
    assert!(found.factor.value + found.factor.sigma > 1.25, "{:?}", found.factor);
    assert!(found.predicted_least_kg.is_some() && found.fitted_least_kg.is_none(), "{:?}", found.fitted_least_kg);
}

fn fitted(path: &str, value: f64) -> FittedValue {
    FittedValue { path: path.to_owned(), kind: None, estimate: Estimate { value, sigma: 0.0 } }
}

#[test]
fn a_name_is_the_same_after_every_fit() {
    let name = "the \"old\" clock\nof C:\\attic\t'84";
    let called = ("name".to_owned(), Value::String(name.to_owned()));
    let mut here = WrittenValues { from: "a \"b\".toml".to_owned(), values: vec![called] };
    for value in [0.1, 0.2, 0.3] {
        let written = text(&here, &[fitted("train.arbor.great \"wheel\".tooth_friction", value)], "weights: w.csv");
        let table: Table = written.parse().unwrap();
        assert_eq!((table["name"].as_str(), table["from"].as_str()), (Some(name), Some("a \"b\".toml")));
        let arbors = table["train"]["arbor"].as_array().unwrap();
        assert_eq!(arbors.len(), 1);
        assert_eq!(arbors[0]["name"].as_str(), Some("great \"wheel\""));
        assert_eq!(arbors[0]["tooth_friction"].as_float(), Some(value));
        here = values_in(&written).unwrap().unwrap();
    }
}

#[test]
fn what_was_added_by_hand_is_kept_or_the_file_is_left_alone() {
    let of = |added: &str| values_in(&format!("{HEAD}\nfrom = \"mine.toml\"\n{added}")).unwrap();
    let kept = of(
        "margin = '0.4 deg'\n\n[pendulum.bob]\nmass = \"2.1 kg\"\ndrag = 0.5\n\n[[train.arbor]]\nname = \"third\"\npivot.friction = 0.004\n",
    );
    let written: Table = text(&kept.unwrap(), &[fitted("train.tooth_friction", 0.25)], "").parse().unwrap();
    let bob = &written["pendulum"]["bob"];
    assert_eq!((bob["mass"].as_str(), bob["drag"].as_float()), (Some("2.1 kg"), Some(0.5)));
    assert_eq!(written["margin"].as_str(), Some("0.4 deg"));
    assert_eq!(written["train"]["tooth_friction"].as_float(), Some(0.25));
    assert_eq!(written["train"]["arbor"][0]["pivot"]["friction"].as_float(), Some(0.004));
    for (added, at) in [
        ("[train]\ncycloidal = true\n", "train.cycloidal"),
        ("[train.hands]\nmotion_work = [[15, 45], [12, 48]]\n", "train.hands.motion_work"),
        ("[[pendulum.part]]\nname = \"pallets\"\nmass = \"70 g\"\n", "pendulum.part"),
        ("[[train.arbor]]\nwheel_teeth = 80\n", "train.arbor"),
    ] {
        assert_eq!(of(added), Err(NotRewritten::Neither { path: at.to_owned() }));
    }
    assert_eq!(values_in(&format!("{HEAD}\nname = \"Heron\"\n")), Some(Err(NotRewritten::NoFrom)));
    assert_eq!(values_in("from = \"mine.toml\"\n"), None);
}

#[test]
fn a_fit_leaves_a_file_alone_that_it_cannot_write_anew() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::copy(plain::path("heron.toml"), at("mine.toml")).unwrap();
    fs::write(at("free.csv"), swing(30.0, 2e-3, |time_s| 6.0 * (-time_s / 3000.0).exp())).unwrap();
    let edited = format!("{HEAD}\nfrom = \"mine.toml\"\n\n[train.hands]\nmotion_work = [[15, 45], [10, 40]]\n");
    fs::write(at("fitted.toml"), &edited).unwrap();
    let (code, _, told) = run(&["fit", &at("fitted.toml"), "--ring-down", &at("free.csv"), "--out", &at("")]);
    assert!(code == 2 && told.contains("`train.hands.motion_work`"), "{told}");
    assert_eq!(fs::read_to_string(at("fitted.toml")).unwrap(), edited);
}

#[test]
fn rows_refused_of_a_ring_down_beside_a_recovery_are_told() {
    let folder = tempfile::tempdir().unwrap();
    let at = |name: &str| folder.path().join(name).to_str().unwrap().to_owned();
    fs::write(at("recovery.csv"), swing(40.0, 1e-3, |time_s| 5.0 - 2.0 * (-time_s / 1000.0).exp())).unwrap();
    let free = swing(20.0, 1e-3, |time_s| 5.0 * (-time_s / 1000.0).exp());
    fs::write(at("free.csv"), format!("{free}later,1\n")).unwrap();
    let asked =
        ["fit", "--recovery", &at("recovery.csv"), "--ring-down", &at("free.csv"), "--period", "2 s", "--skip-bad"];
    let (code, said, told) = run(&[&asked[..], &["--out", &at("out")]].concat());
    assert_eq!(code, 0, "{told}");
    assert!(said.contains("free.csv refused:") && said.contains("free.csv:122:1"), "{said}");
}

#[test]
fn the_longest_gap_is_told_with_its_own_line() {
    let rows: String = [0, 1, 2, 4, 5, 6, 7, 17, 18, 19, 22].map(|day| format!("{day},{}\n", 2 * day)).concat();
    let notes = table_notes(&table(&format!("time_d,error_s\n{rows}"), &RATE_LOG));
    assert_eq!(notes, ["3 gaps in measured.csv, the longest of 240.0 h, before line 9"]);
}

#[test]
fn a_period_of_something_else_in_a_remark_is_not_that_of_the_pendulum() {
    let free = swing(20.0, 1e-3, |time_s| 5.0 * (-time_s / 1000.0).exp());
    let period =
        |remark: &str| fit_free_swing(&table(&format!("{remark}{free}"), &RING_DOWN), None, None).unwrap().period;
    assert_eq!(period("# free decay over a period of 30 min\n"), None);
    assert_eq!(period("# settling period 30 min\n# period 2 s\n"), Some((2.0, PeriodSource::Remark(2))));
    assert_eq!(period("# a log period 1 h, swing period about 1.5 s\n"), Some((1.5, PeriodSource::Remark(1))));
}

// Of four hundred good readings four are 2.5 standard deviations off.
#[test]
fn good_readings_beside_a_wrong_one_do_not_stand_out() {
    let mut dice = Dice(23);
    let row = |number: i32| {
        let wrong = if number == 130 { 0.05 } else { 0.0 };
        format!("{number},{}\n", 6.0 * (-0.004 * f64::from(number)).exp() + wrong + 1e-3 * dice.normal())
    };
    let text = format!("periods,amplitude_deg\n{}", (0..400).map(row).collect::<String>());
    let found = fit_free_swing(&table(&text, &RING_DOWN), None, None).unwrap();
    assert_eq!(found.losses.standing_out, [130]);
}

/// The line through a rate log is broken where the log is: what the clock did then is not known.
#[test]
fn the_line_of_a_rate_log_is_broken_at_its_gaps() {
    let days: Vec<u32> = (0..12).chain(20..30).collect();
    let row = |day: &u32| format!("{day},{},{}\n", 0.4 + 0.01 * f64::from(day % 5), 15 + day % 7);
    let rows: String = days.iter().map(row).collect();
    let table = table(&format!("time_d,rate_s_per_day,temperature_degC\n{rows}"), &RATE_LOG);
    let picture = rate_log::picture("Heron", &table, &fit_rate_log(&table).unwrap());
    let pieces: Vec<usize> = picture.series[0].curve.iter().map(Vec::len).collect();
    assert_eq!(pieces, [12, 10]);
}
