//! `papers`: what to make, where to drill, how to set up and how to find faults, for a builder who has never met the designer.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::answers::prediction::predict;
use crate::answers::regulation::regulation;
use crate::report::drawing::{LabelledDrawing, dxf_of, svg_of};
use crate::report::papers::csv::csv_tables;
use crate::report::papers::html::document;
use crate::report::papers::json::PapersRecord;
use crate::report::papers::sheets::sheets;
use crate::report::papers::units::PaperUnits;
use crate::report::papers::{PapersView, tables, text};
use crate::report::prediction;
use crate::report::provenance::Provenance;
use crate::report::regulation::json::RegulationRecord;
use crate::report::words::cautions;
use crate::scenario::AnyScenario;
use crate::study::papers::papers;
use crate::study::prepare::any_prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, study_name, write_files};
use super::progress::Waiting;

/// What `papers` takes.
#[derive(Debug, Args)]
pub(super) struct PapersArgs {
    /// Scenario file (TOML) of a clock with a pendulum.
    pub scenario: PathBuf,
    /// What the lengths are in: mm, or inches with mm beside them. JSON stays in mm.
    #[arg(long, value_enum, default_value_t = Lengths::Mm)]
    units: Lengths,
    #[command(flatten)]
    pub common: Common,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
enum Lengths {
    Mm,
    Inch,
}

impl From<Lengths> for PaperUnits {
    fn from(lengths: Lengths) -> Self {
        match lengths {
            Lengths::Mm => Self::Millimetres,
            Lengths::Inch => Self::Inches,
        }
    }
}

pub(super) fn run(args: &PapersArgs) -> Result<(), Failure> {
    let (file, common, units) = (args.scenario.as_path(), &args.common, PaperUnits::from(args.units));
    let waiting = Waiting::on("solving the clock", common.quiet);
    let scenario = match common.load_any(file).and_then(any_prepared).map_err(Failure::unreadable)? {
        AnyScenario::Pendulum(scenario) => scenario,
        AnyScenario::Motor(_) => {
            let message = "papers: this clock has a motor; there are papers for clocks with a pendulum";
            return Err(Failure::arguments(message.to_owned()));
        }
    };
    let in_room = scenario.in_room();
    let prediction = predict(&in_room).map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let found = papers(&scenario.design, &in_room, &prediction);
    let view = PapersView {
        design: &scenario.design,
        in_room: &in_room,
        prediction: &prediction,
        results: &prediction::json::record(&in_room, &prediction),
        regulation: &RegulationRecord::of(&regulation(&in_room, &prediction)),
        papers: &found,
    };
    let metric = tables(&view, PaperUnits::Millimetres);
    let shown = tables(&view, units);
    let said = view.results.cautions.clone();
    let name = view.results.name.clone();
    let record = PapersRecord::of(Provenance::of(&scenario, &[]), name.clone(), &metric, said.clone());
    let json = json_of(&record)?;
    drop(waiting);
    if let Some(folder) = folder(common, &study_name(file, "papers")) {
        let drawn = sheets(&view, units);
        let pictures: Vec<String> = drawn.iter().map(|(name, _)| format!("{name}.svg")).collect();
        let pictures: Vec<&str> = pictures.iter().map(String::as_str).collect();
        let mut files = vec![
            OutputFile::json("papers", &json),
            OutputFile::text("papers.html".to_owned(), document(&name, &shown, &said, &pictures, units)),
        ];
        files.extend(csv_tables(&shown, units).into_iter().map(|table| OutputFile::csv(table.name, table.text)));
        files.extend(drawn.iter().flat_map(|(name, sheet)| in_both_forms(name, sheet)));
        write_files("papers", &folder, files, common, false)?;
    }
    if common.json {
        return print(&json);
    }
    let parts = [format!("{name}: papers to build from\n"), text::text(&shown, units), cautions::table(&said)];
    print(&parts.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join("\n"))
}

/// A sheet in both forms.
fn in_both_forms(name: &str, sheet: &LabelledDrawing) -> [OutputFile; 2] {
    [OutputFile::svg(name, svg_of(sheet)), OutputFile::text(format!("{name}.dxf"), dxf_of(sheet))]
}
