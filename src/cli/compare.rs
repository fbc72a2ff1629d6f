//! `compare`: scenarios side by side.

use std::path::PathBuf;

use serde::Serialize;

use crate::answers::prediction::{PredictError, predict};
use crate::clock::design::Design;
use crate::clock::printer::Printer;
use crate::report::comparison::{difference_table, figures_table};
use crate::report::results::{Results, results};
use crate::scenario::{Scenario, load};
use crate::study::comparison::{Difference, differences, predictions};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, print, remark, write_all};

#[derive(Serialize)]
struct Comparison<'r> {
    files: Vec<&'r str>,
    differences: &'r [Difference],
    scenarios: &'r [Results],
    as_drawn: &'r [Option<Results>],
}

pub(super) fn run(files: &[PathBuf], common: &Common) -> Result<(), Failure> {
    let mut scenarios: Vec<Scenario> = Vec::new();
    let mut failures = Vec::new();
    for file in files {
        match load(file, &common.set) {
            Ok(scenario) => scenarios.push(scenario),
            Err(error) => failures.push(Failure::unreadable(error)),
        }
    }
    if let Some(failure) = Failure::joined(failures) {
        return Err(failure);
    }
    let mut found = Vec::new();
    let mut failures = Vec::new();
    for (scenario, prediction) in scenarios.iter().zip(predictions(&scenarios)) {
        match prediction {
            Ok(prediction) => found.push(prediction),
            Err(PredictError::Build(error)) => {
                failures.push(Failure::problems(&scenario.problems(vec![scenario.problem_of(&error)])));
            }
            Err(other) => failures.push(Failure::numeric(format!("{}: {other}", scenario.file_name))),
        }
    }
    if let Some(failure) = Failure::joined(failures) {
        return Err(failure);
    }
    let printed: Vec<Results> =
        scenarios.iter().zip(&found).map(|(scenario, prediction)| results(&scenario.design, prediction)).collect();
    let drawn: Vec<Option<Results>> = scenarios.iter().map(as_drawn).collect();
    let differing = differences(&scenarios);
    let comparison = Comparison {
        files: scenarios.iter().map(|scenario| scenario.file_name.as_str()).collect(),
        differences: &differing,
        scenarios: &printed,
        as_drawn: &drawn,
    };
    let json = serde_json::to_string_pretty(&comparison).map_err(|error| Failure::numeric(error.to_string()))?;
    let folder = folder(common, "compare".as_ref());
    if let Some(folder) = folder {
        let files = vec![OutputFile { name: "comparison.json".to_owned(), content: format!("{json}\n") }];
        write_all(&folder, &files)?;
        if !common.json && !common.quiet {
            remark(&format!("wrote {} files to {}", files.len(), folder.display()));
        }
    }
    if common.json {
        return print(&format!("{json}\n"));
    }
    let names: Vec<String> = printed.iter().map(|results| results.name.clone()).collect();
    print(&format!("{}\n{}", difference_table(&names, &differing), figures_table(&printed, &drawn)))
}

/// What the clock would be if it came off the printer as drawn; `None` where it does, or where nothing can be predicted.
fn as_drawn(scenario: &Scenario) -> Option<Results> {
    if scenario.design.printer == Printer::default() {
        return None;
    }
    let design = Design { printer: Printer::default(), ..scenario.design.clone() };
    Some(results(&design, &predict(&design).ok()?))
}
