//! `predict`, `inspect` and `spread` of a clock driven by a motor.

use serde::Serialize;

use crate::answers::motor::{MotorPrediction, predict_motor};
use crate::clock::design::MotorClock;
use crate::report::figures::{draw_motor, draw_motor_spread};
use crate::report::motor::{MotorKeys, motor_keys, motor_results, motor_table, motor_train_table};
use crate::report::prediction::csv::motor_torque_table;
use crate::report::prediction::json::Results;
use crate::report::provenance::Provenance;
use crate::report::regulation::RegulationKeys;
use crate::report::spread::motor::{motor_spread_csv, motor_spread_keys, motor_spread_table};
use crate::report::words::cautions;
use crate::scenario::ProblemCode;
use crate::scenario::Scenario;
use crate::study::spread::motor::{causes, motor_copies, motor_statistics};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_and_tell};
use super::progress::Progress;

#[derive(Serialize)]
struct WithMotor<'r> {
    #[serde(flatten)]
    results: &'r Results,
    #[serde(flatten)]
    regulation: RegulationKeys,
    towns: [(); 0],
    motor: MotorKeys,
    scenario: super::predict::Provenance<'r>,
    plain_run: Option<()>,
}

#[derive(Serialize)]
struct Inspection<'r> {
    name: &'r str,
    hour_hand_ratio: Option<f64>,
    arbors: Vec<ArborKeys<'r>>,
    motor: MotorKeys,
    notes: &'r [String],
}

/// An arbor where most is asked of the motor.
#[derive(Serialize)]
struct ArborKeys<'r> {
    name: &'r str,
    turns_per_hour: f64,
    torque_n_m: f64,
    bearing_load_n: f64,
}

fn found(scenario: &Scenario<MotorClock>) -> Result<MotorPrediction, Failure> {
    predict_motor(&scenario.design)
        .map_err(|error| Failure::problems(&scenario.problems(vec![scenario.problem_of(&error)])))
}

/// `predict`.
pub(super) fn predict(
    scenario: &Scenario<MotorClock>,
    file: &std::path::Path,
    common: &Common,
    days: Option<f64>,
) -> Result<(), Failure> {
    if days.is_some() {
        let help = "a motor has no swing to run beat by beat; leave --days out".to_owned();
        let message = "--days lets a pendulum swing, and this clock has none".to_owned();
        return Err(Failure::problems(&scenario.problems(vec![scenario.problem_at(
            "motor",
            ProblemCode::NoPendulum,
            message,
            help,
        )])));
    }
    let clock = &scenario.design;
    let found = found(scenario)?;
    let results = motor_results(clock, &found);
    let whole = WithMotor {
        results: &results,
        regulation: RegulationKeys::default(),
        towns: [],
        motor: motor_keys(&found),
        scenario: super::predict::provenance(scenario),
        plain_run: None,
    };
    let json = json_of(&whole)?;
    if let Some(folder) = folder(common, file.file_stem().unwrap_or_default()) {
        let mut files = vec![OutputFile::json("results", &json)];
        files.extend(draw_motor(clock, &found).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        files.extend(motor_torque_table(&found).map(|table| OutputFile::csv(table.name, table.text)));
        write_and_tell(&folder, files, common, false)?;
    }
    if common.json {
        return print(&json);
    }
    print(&format!("{}\n{}", motor_table(clock, &found), cautions::table(&results.cautions)))?;
    tell(&results.notes, common);
    Ok(())
}

/// `inspect`.
pub(super) fn inspect(scenario: &Scenario<MotorClock>, common: &Common) -> Result<(), Failure> {
    let clock = &scenario.design;
    let found = found(scenario)?;
    let results = motor_results(clock, &found);
    let arbors = clock.train.arbors.iter().zip(&found.arbors).zip(&found.turns_per_hour);
    let inspection = Inspection {
        name: &clock.name,
        hour_hand_ratio: (!clock.train.motion_work.is_empty()).then_some(12.0),
        arbors: arbors
            .map(|((arbor, load), &turns_per_hour)| ArborKeys {
                name: &arbor.name,
                turns_per_hour,
                torque_n_m: load.torque_n_m,
                bearing_load_n: load.bearing_load_n,
            })
            .collect(),
        motor: motor_keys(&found),
        notes: &results.notes,
    };
    let json = json_of(&inspection)?;
    if let Some(folder) = &common.out {
        write_and_tell(folder, vec![OutputFile::json("inspect", &json)], common, false)?;
    }
    if common.json {
        return print(&json);
    }
    let (train, careful) = (motor_train_table(clock, &found), cautions::table(&results.cautions));
    print(&format!("{}\n\n{train}\n{careful}", clock.name))?;
    tell(&results.notes, common);
    Ok(())
}

/// `spread`, `provenance` telling what was asked.
pub(super) fn spread(
    scenario: &Scenario<MotorClock>,
    (file, count, seed): (&std::path::Path, u32, u32),
    mut provenance: Provenance,
    common: &Common,
) -> Result<(), Failure> {
    let clock = &scenario.design;
    let causes = causes(clock);
    if causes.is_empty() {
        let message = "nothing varies: neither oscillator nor hands have a spread".to_owned();
        let help = "write a spread, for example tolerance = \"0 ppm +/- 20 ppm\" under [oscillator]".to_owned();
        return Err(Failure::problems(&scenario.problems(vec![scenario.problem_at(
            "oscillator",
            ProblemCode::NothingVaries,
            message,
            help,
        )])));
    }
    let progress = Progress::new(common.quiet)?;
    let copies = motor_copies(clock, count, seed, &progress)
        .map_err(|error| Failure::problems(&scenario.problems(vec![scenario.problem_of(&error)])))?;
    drop(progress);
    provenance.interrupted = copies.len() < count as usize;
    let interrupted = provenance.interrupted;
    let Some(found) = motor_statistics(&causes, &copies, seed) else {
        return Err(Failure::interrupted("no copy was finished, nothing was written"));
    };
    let keys = motor_spread_keys(provenance, clock, &causes, copies.len(), &found);
    let json = json_of(&keys)?;
    if let Some(folder) = folder(common, &study_name(file, "spread")) {
        let mut files = vec![OutputFile::json("spread", &json)];
        files.extend(motor_spread_csv(&causes, &copies).map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(draw_motor_spread(clock, &copies, &found).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_and_tell(&folder, files, common, false)?;
    }
    if common.json {
        print(&json)?;
    } else {
        print(&motor_spread_table(&keys))?;
    }
    if interrupted {
        return Err(Failure::interrupted(&format!("{} of {count} copies were finished", copies.len())));
    }
    Ok(())
}

fn tell(notes: &[String], common: &Common) {
    if !common.quiet {
        notes.iter().for_each(|note| remark(&format!("note: {note}")));
    }
}
