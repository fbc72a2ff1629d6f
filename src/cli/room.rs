//! `room`: what temperature, humidity and pressure do to the clock.

use std::path::Path;

use crate::answers::prediction::predict_only;
use crate::answers::regulation::nut_to_time;
use crate::answers::solve::Wanted;
use crate::answers::towns::in_town;
use crate::report::figures::draw_room;
use crate::report::provenance::Provenance;
use crate::report::room::{self, RoomView};
use crate::report::towns::json::TownRecord;
use crate::scenario::Scenario;
use crate::study::prepare::prepared;
use crate::study::room::rooms;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, study_name, write_files};
use super::progress::Progress;

pub(super) fn run(file: &Path, common: &Common) -> Result<(), Failure> {
    let scenario = common.load(file).and_then(prepared).map_err(Failure::unreadable)?;
    let progress = Progress::new(common.quiet)?;
    let in_room = scenario.in_room();
    let own = predict_only(&in_room, Wanted::NOTHING).map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let home = own.steady.as_ref().and_then(|steady| nut_to_time(&in_room, &own.built, steady.point.right_rad));
    let found = rooms(&scenario.design, &progress).map_err(|error| {
        Failure::problems(&scenario.problems(vec![scenario.problem_of(&crate::clock::build::BuildError::Place(error))]))
    })?;
    let towns = towns(&scenario, home);
    let interrupted = progress.interrupted();
    drop(progress);
    let view = RoomView::of(&in_room, &found, &towns);
    let provenance = Provenance { interrupted, ..Provenance::of(&scenario, &[]) };
    let json = json_of(&room::json::record(&view, provenance))?;
    let mut written = "nothing was written".to_owned();
    if let Some(folder) = folder(common, &study_name(file, "room")) {
        let mut files = vec![OutputFile::json("room", &json)];
        files.extend(room::csv::table(&view).map(|table| OutputFile::csv("room", table.text)));
        if !interrupted {
            files.extend(draw_room(&view).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        }
        write_files("room", &folder, files, common, interrupted)?;
        written = format!("the rooms finished so far ({}) are in {}", found.points.len(), folder.display());
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if common.json {
        return print(&json);
    }
    print(&room::text::table(&view))
}

/// The clock in the scenario's towns.
pub(super) fn towns(scenario: &Scenario, home: Option<crate::answers::regulation::NutToTime>) -> Vec<TownRecord> {
    scenario.towns.iter().map(|town| TownRecord::of(town, &in_town(&scenario.design, town), home)).collect()
}
