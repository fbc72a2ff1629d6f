//! `compare`: scenarios side by side.

use std::path::{Path, PathBuf};

use crate::answers::prediction::{PredictError, Prediction};
use crate::clock::environment::InRoom;
use crate::report::figures::{draw_comparison, names};
use crate::report::prediction::json::Results;
use crate::report::{comparison, prediction};
use crate::scenario::Scenario;
use crate::study::bead::{Beads, least_over_bead};
use crate::study::comparison::portrait::{Compared, comparison_portrait};
use crate::study::comparison::{as_drawn, differences, predictions};
use crate::study::jobs::Watch;
use crate::study::prepare::prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, joint_name, json_of, print, remark, write_files};
use super::progress::Progress;

/// All scenarios, or every problem of all files.
pub(super) fn load_all(files: &[PathBuf], common: &Common) -> Result<Vec<Scenario>, Failure> {
    let mut scenarios: Vec<Scenario> = Vec::new();
    let mut failures = Vec::new();
    for file in files {
        match common.load(file).and_then(prepared) {
            Ok(scenario) => scenarios.push(scenario),
            Err(error) => failures.push(Failure::unreadable(error)),
        }
    }
    Failure::joined(failures).map_or(Ok(scenarios), Err)
}

/// The predictions of all scenarios, or every reason why there is none.
pub(super) fn predict_all(scenarios: &[Scenario]) -> Result<Vec<Prediction>, Failure> {
    let mut found = Vec::new();
    let mut failures = Vec::new();
    for (scenario, prediction) in scenarios.iter().zip(predictions(scenarios)) {
        match prediction {
            Ok(prediction) => found.push(prediction),
            Err(PredictError::Build(error)) => failures.push(Failure::unbuilt(scenario, &error)),
            Err(other) => failures.push(Failure::numeric(format!("{}: {other}", scenario.file_name))),
        }
    }
    Failure::joined(failures).map_or(Ok(found), Err)
}

pub(super) fn run(files: &[PathBuf], common: &Common) -> Result<(), Failure> {
    let name = joint_name(files, "compare");
    let scenarios = load_all(files, common)?;
    let found = predict_all(&scenarios)?;
    let in_rooms: Vec<InRoom> = scenarios.iter().map(Scenario::in_room).collect();
    let printed: Vec<Results> = in_rooms
        .iter()
        .zip(&found)
        .map(|(in_room, prediction)| prediction::json::record(in_room, prediction))
        .collect();
    let predicted_as_drawn: Vec<Option<(InRoom, Prediction)>> = in_rooms.iter().map(as_drawn).collect();
    let drawn: Vec<Option<Results>> = predicted_as_drawn
        .iter()
        .map(|drawn| drawn.as_ref().map(|(design, prediction)| prediction::json::record(design, prediction)))
        .collect();
    let differing = differences(&scenarios);
    let files = scenarios.iter().map(|scenario| scenario.file_name.as_str()).collect();
    let json = json_of(&comparison::json::record(files, &differing, (&printed, &drawn)))?;
    let folder = folder(common, &name);
    if let Some(folder) = folder {
        let mut files = vec![OutputFile::json("comparison", &json)];
        let progress = Progress::new(common.quiet)?;
        let (pictures, remarks) = pictures((&scenarios, &in_rooms), &found, &predicted_as_drawn, &progress);
        if progress.interrupted() {
            return Err(Failure::interrupted("nothing was written"));
        }
        drop(progress);
        files.extend(pictures);
        if common.remarks_on_files() {
            remarks.iter().for_each(|text| remark(text));
        }
        write_files("compare", &folder, files, common, false)?;
    }
    if common.json {
        return print(&json);
    }
    print(&comparison::text::table(&differing, &printed, &drawn))
}

/// All pictures as SVG and the data drawn in them as CSV, and remarks on scenarios that a picture leaves out.
fn pictures(
    (scenarios, in_rooms): (&[Scenario], &[InRoom]),
    predictions: &[Prediction],
    drawn: &[Option<(InRoom, Prediction)>],
    watch: &dyn Watch,
) -> (Vec<OutputFile>, Vec<String>) {
    let (names, beads) = (names_of(scenarios), least_over_bead(&in_rooms.iter().collect::<Vec<_>>(), watch));
    let compared = compared(&names, in_rooms, predictions, drawn, &beads);
    let portrait = comparison_portrait(&compared);
    let figures =
        draw_comparison(&compared, &portrait).into_iter().map(|figure| OutputFile::svg(figure.name, figure.svg));
    let tables =
        comparison::csv::tables(&compared, &portrait).into_iter().map(|table| OutputFile::csv(table.name, table.text));
    let remarks = compared
        .iter()
        .filter_map(|scenario| Some(format!("note: {}: {}", scenario.name, scenario.beads.as_ref().err()?)))
        .map(|note| format!("{note}: the least weight against the bead radius is not drawn"))
        .collect();
    (figures.chain(tables).collect(), remarks)
}

/// Names of the scenarios, no two the same.
pub(super) fn names_of(scenarios: &[Scenario]) -> Vec<String> {
    let stems: Vec<String> = scenarios.iter().map(|scenario| stem(&scenario.file_name)).collect();
    let named: Vec<(&str, &str)> =
        scenarios.iter().zip(&stems).map(|(scenario, stem)| (scenario.design.name.as_str(), stem.as_str())).collect();
    names(&named)
}

/// What the pictures of a comparison need of each scenario.
pub(super) fn compared<'c>(
    names: &'c [String],
    in_rooms: &'c [InRoom],
    predictions: &'c [Prediction],
    drawn: &'c [Option<(InRoom, Prediction)>],
    beads: &'c [Beads],
) -> Vec<Compared<'c>> {
    (0..in_rooms.len())
        .map(|index| Compared {
            name: &names[index],
            design: &in_rooms[index],
            prediction: &predictions[index],
            as_drawn: drawn[index].as_ref().map(|(_, prediction)| prediction),
            beads: &beads[index],
        })
        .collect()
}

/// Name of a file without folder and ending.
pub(super) fn stem(file_name: &str) -> String {
    Path::new(file_name).file_stem().map_or_else(|| file_name.to_owned(), |stem| stem.to_string_lossy().into_owned())
}
