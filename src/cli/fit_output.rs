//! What every fit ends in: files, the page, and the scenario that predicts with what was fitted.

use std::path::Path;

use serde::Serialize;

use crate::report::csv_table::CsvTable;
use crate::report::figures::Figure;
use crate::report::fit::json::FitRecord;
use crate::report::fit::table_notes::table_notes;
use crate::report::provenance::Provenance;
use crate::scenario::Scenario;
use crate::scenario::measured::MeasuredTable;
use crate::study::fit::FittedValue;

use super::Common;
use super::failure::Failure;
use super::fitted_file::write_fitted;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};

/// What one fit shows.
pub(super) struct FitOutput<'o> {
    /// The scenario and its file, where there is one.
    pub clock: Option<(&'o Scenario, &'o Path)>,
    /// What was measured.
    pub table: &'o MeasuredTable,
    /// What was measured beside it.
    pub beside: Option<&'o MeasuredTable>,
    /// Kind of measurement.
    pub source: &'static str,
    pub text: String,
    pub tables: Vec<CsvTable>,
    pub figure: Option<Figure>,
    /// Values of the scenario that were settled.
    pub fitted: Vec<FittedValue>,
}

/// Files, page and fitted scenario.
pub(super) fn finish(output: FitOutput<'_>, record: impl Serialize, common: &Common) -> Result<(), Failure> {
    let FitOutput { clock, table, beside, source, mut text, tables, figure, fitted } = output;
    let option = source.replace('_', "-");
    let mut asked = vec![format!("--{option} {}", table.name)];
    asked.extend(beside.map(|beside| format!("--ring-down {}", beside.name)));
    let provenance = clock.map(|(scenario, _)| Provenance::of(scenario, &asked));
    let mut notes = table_notes(table);
    notes.extend(beside.map(table_notes).unwrap_or_default());
    let json = json_of(&FitRecord::of(provenance, source, table, record, (&fitted, notes.clone())))?;
    let called_after = clock.map_or(Path::new(&table.name), |clock| clock.1);
    if let Some(folder) = folder(common, &study_name(called_after, "fit")) {
        let mut files = vec![OutputFile::json("fit", &json)];
        files.extend(tables.into_iter().map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(figure.map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files("fit", &folder, files, common, false)?;
    }
    let mut written = None;
    if let Some((scenario, file)) = clock {
        written = write_fitted(scenario, file, &fitted, &format!("{option}: {}", table.name), common)?;
    }
    if common.json {
        return print(&json);
    }
    for note in &notes {
        text.push_str(&format!("  {note}\n"));
    }
    print(&text)?;
    if let Some(path) = written.filter(|_| !common.quiet) {
        remark(&format!("the clock as measured: {}; try `beatwright predict {}`", path.display(), path.display()));
    }
    Ok(())
}
