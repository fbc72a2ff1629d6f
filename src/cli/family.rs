//! `family`: sizes and ports of a clock beside each other.

use std::path::{Path, PathBuf};

use clap::Args;

use crate::answers::prediction::PredictError;
use crate::clock::printing::bed::Bed;
use crate::clock::transform::scale::{LARGEST_FACTOR, SMALLEST_FACTOR};
use crate::report::family::FamilyView;
use crate::report::figures::{draw_family, names};
use crate::report::prediction::json::Results;
use crate::report::provenance::Provenance;
use crate::report::{family, prediction};
use crate::scenario::{MOST_BEDS, Scenario, bed_of};
use crate::study::comparison::predictions;
use crate::study::family::{FamilyAsk, SWEPT, family};
use crate::study::map::axis::{Axis, AxisError};
use crate::study::prepare::prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, study_name, write_files};
use super::progress::Progress;

/// Sizes where none are asked for.
const USUAL_SIZES: &str = "0.5..1.5:11";

/// Sizes of a range at most.
const MOST_SIZES: u64 = 1000;

/// What `family` takes.
#[derive(Debug, Args)]
pub(super) struct FamilyArgs {
    /// Scenario files (TOML); the others are compared with the first.
    #[arg(required = true, num_args = 1..)]
    pub scenarios: Vec<PathBuf>,
    #[command(flatten)]
    pub common: Common,
    /// Sizes at which every member is tried, as the `all` of [scale]: 0.5..1.5:11, 0.5..2:7:log or 0.5,0.75,1
    /// [default: 0.5..1.5:11].
    #[arg(long, value_name = "FACTORS", allow_hyphen_values = true)]
    scale: Option<String>,
    /// Bed of a printer on which the parts have to fit, in mm, with or without the height: 220x220x250 (repeatable) [default:
    /// the beds of the first scenario's printer].
    #[arg(long = "bed", value_name = "SIZES", allow_hyphen_values = true)]
    beds: Vec<String>,
}

pub(super) fn run(args: &FamilyArgs) -> Result<(), Failure> {
    let common = &args.common;
    let factors = factors_of(args.scale.as_deref().unwrap_or(USUAL_SIZES))?;
    let beds = beds_of(&args.beds)?;
    let scenarios = loaded(&args.scenarios, common)?;
    let progress = Progress::new(common.quiet)?;
    let mut found = Vec::new();
    let mut failures = Vec::new();
    for (scenario, prediction) in scenarios.iter().zip(predictions(&scenarios)) {
        match prediction {
            Ok(prediction) => found.push(prediction),
            Err(PredictError::Build(error)) => failures.push(Failure::unbuilt(scenario, &error)),
            Err(other) => failures.push(Failure::numeric(format!("{}: {other}", scenario.file_name))),
        }
    }
    if let Some(failure) = Failure::joined(failures) {
        return Err(failure);
    }
    let beds = if beds.is_empty() { scenarios[0].beds.clone() } else { beds };
    let members = family(&scenarios, found, &FamilyAsk { factors, beds }, &progress);
    let interrupted = progress.interrupted();
    drop(progress);
    let results: Vec<Results> = scenarios
        .iter()
        .zip(&members)
        .map(|(scenario, member)| prediction::json::record(&scenario.in_room(), &member.prediction))
        .collect();
    let names = names_of(&scenarios);
    let view = FamilyView { members: &members, results: &results, names: &names };
    let asked = asked(args);
    let provenances = scenarios.iter().map(|scenario| Provenance { interrupted, ..Provenance::of(scenario, &asked) });
    let json = json_of(&family::json::record(&view, provenances.collect()))?;
    let mut written = "nothing was written".to_owned();
    if let Some(folder) = folder(common, &study_name(&args.scenarios[0], "family")) {
        let mut files = vec![OutputFile::json("family", &json)];
        files.extend(family::csv::tables(&view).into_iter().map(|table| OutputFile::csv(table.name, table.text)));
        if !interrupted {
            files.extend(draw_family(&view).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        }
        write_files("family", &folder, files, common, interrupted)?;
        written = format!("what was finished is in {}", folder.display());
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if common.json {
        return print(&json);
    }
    print(&family::text::table(&view))
}

/// The scenarios, or all that is wrong with any of them.
fn loaded(files: &[PathBuf], common: &Common) -> Result<Vec<Scenario>, Failure> {
    let (mut scenarios, mut failures) = (Vec::new(), Vec::new());
    for file in files {
        match common.load(file).and_then(prepared) {
            Ok(scenario) => scenarios.push(scenario),
            Err(error) => failures.push(Failure::unreadable(error)),
        }
    }
    Failure::joined(failures).map_or(Ok(scenarios), Err)
}

fn names_of(scenarios: &[Scenario]) -> Vec<String> {
    let stems: Vec<String> = scenarios
        .iter()
        .map(|scenario| Path::new(&scenario.file_name).file_stem().unwrap_or_default().to_string_lossy().into_owned())
        .collect();
    let named: Vec<(&str, &str)> =
        scenarios.iter().zip(&stems).map(|(scenario, stem)| (scenario.design.name.as_str(), stem.as_str())).collect();
    names(&named)
}

fn factors_of(text: &str) -> Result<Vec<f64>, Failure> {
    let refuse = |what: &str| {
        Failure::arguments(format!("--scale {text}: {what}; write low..high:count like {USUAL_SIZES}, or 0.5,0.75,1"))
    };
    let axis = Axis::parse(&format!("{SWEPT}={text}")).map_err(|error| match error {
        AxisError::Form(_) => refuse("this is not a range"),
        error => refuse(&error.to_string()),
    })?;
    if let Some(unit) = &axis.unit {
        return Err(refuse(&format!("a factor has no unit, and this has {unit}")));
    }
    if axis.count() > MOST_SIZES {
        return Err(refuse(&format!("{} sizes; give at most {MOST_SIZES}", axis.count())));
    }
    let factors = axis.values();
    match factors.iter().find(|factor| !(SMALLEST_FACTOR..=LARGEST_FACTOR).contains(*factor)) {
        Some(factor) => {
            Err(refuse(&format!("a factor of {factor} is not possible; give {SMALLEST_FACTOR} to {LARGEST_FACTOR}")))
        }
        None => Ok(factors),
    }
}

fn beds_of(texts: &[String]) -> Result<Vec<Bed>, Failure> {
    if texts.len() > MOST_BEDS {
        return Err(Failure::arguments(format!("--bed: {} beds; give at most {MOST_BEDS}", texts.len())));
    }
    let bed = |text: &String| bed_of(text).map_err(|what| Failure::arguments(format!("--bed {text}: {what}")));
    texts.iter().map(bed).collect()
}

fn asked(args: &FamilyArgs) -> Vec<String> {
    let scale = args.scale.iter().map(|scale| format!("--scale {scale}"));
    scale.chain(args.beds.iter().map(|bed| format!("--bed {bed}"))).collect()
}
