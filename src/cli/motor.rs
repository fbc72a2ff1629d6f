//! `predict`, `inspect` and `spread` of a clock driven by a motor.

use crate::answers::motor::{MotorPrediction, predict_motor};
use crate::clock::design::MotorClock;
use crate::report::figures::{draw_motor, draw_motor_spread};
use crate::report::provenance::{Origin, Provenance};
use crate::report::words::cautions;
use crate::report::{motor, motor_spread};
use crate::scenario::ProblemCode;
use crate::scenario::Scenario;
use crate::study::spread::motor::{causes, motor_copies, motor_statistics};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};
use super::predict::Answered;
use super::progress::Progress;

fn found(scenario: &Scenario<MotorClock>) -> Result<MotorPrediction, Failure> {
    predict_motor(&scenario.design)
        .map_err(|error| Failure::problems(&scenario.problems(vec![scenario.problem_of(&error)])))
}

/// `predict`: its files written, what it says.
pub(super) fn predict(
    scenario: &Scenario<MotorClock>,
    file: &std::path::Path,
    common: &Common,
    days: Option<f64>,
) -> Result<Answered, Failure> {
    if days.is_some() {
        let help = "a motor has no swing to run beat by beat; leave --days out".to_owned();
        let message = "--days runs a pendulum, and this clock has none".to_owned();
        return Err(Failure::problems(&scenario.problems(vec![scenario.problem_at(
            "motor",
            ProblemCode::NoPendulum,
            message,
            help,
        )])));
    }
    let clock = &scenario.design;
    let found = found(scenario)?;
    let results = motor::json::results(clock, &found);
    let json = json_of(&motor::json::prediction(&scenario.design, &found, &results, Origin::of(scenario)))?;
    if let Some(folder) = folder(common, file.file_stem().unwrap_or_default()) {
        let mut files = vec![OutputFile::json("results", &json)];
        files.extend(draw_motor(clock, &found).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        files.extend(motor::csv::table(&found).map(|table| OutputFile::csv(table.name, table.text)));
        write_files("predict", &folder, files, common, false)?;
    }
    let text = format!("{}\n{}", motor::text::table(clock, &found), cautions::table(&results.cautions));
    Ok(Answered { json, text, notes: results.notes, clock: None })
}

/// `inspect`.
pub(super) fn inspect(scenario: &Scenario<MotorClock>, common: &Common) -> Result<(), Failure> {
    let clock = &scenario.design;
    let found = found(scenario)?;
    let results = motor::json::results(clock, &found);
    let json = json_of(&motor::json::inspection(clock, &found, &results))?;
    if let Some(folder) = &common.out {
        write_files("inspect", folder, vec![OutputFile::json("inspect", &json)], common, false)?;
    }
    if common.json {
        return print(&json);
    }
    let (train, careful) = (motor::text::train_table(clock, &found), cautions::table(&results.cautions));
    print(&format!("{}\n\n{train}\n{careful}", clock.name))?;
    print_notes(&results.notes, common);
    Ok(())
}

/// `spread`; `provenance` has what was asked.
pub(super) fn spread(
    scenario: &Scenario<MotorClock>,
    (file, count, seed): (&std::path::Path, u32, u32),
    mut provenance: Provenance,
    common: &Common,
) -> Result<(), Failure> {
    let clock = &scenario.design;
    let causes = causes(clock);
    if causes.is_empty() {
        let message = "nothing varies: neither the oscillator nor any friction has a spread".to_owned();
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
    let record = motor_spread::json::record(provenance, clock, &causes, copies.len(), &found);
    let json = json_of(&record)?;
    if let Some(folder) = folder(common, &study_name(file, "spread")) {
        let mut files = vec![OutputFile::json("spread", &json)];
        files.extend(motor_spread::csv::table(&causes, &copies).map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(draw_motor_spread(clock, &copies, &found).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files("spread", &folder, files, common, false)?;
    }
    if common.json {
        print(&json)?;
    } else {
        print(&motor_spread::text::table(&record))?;
    }
    if interrupted {
        return Err(Failure::interrupted(&format!("{} of {count} copies were finished", copies.len())));
    }
    Ok(())
}

fn print_notes(notes: &[String], common: &Common) {
    if !common.quiet {
        notes.iter().for_each(|note| remark(&format!("note: {note}")));
    }
}
