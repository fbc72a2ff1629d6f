//! `page`: one self-contained HTML file.

use clap::Args;
use std::path::PathBuf;

use crate::answers::prediction::{Prediction, predict};
use crate::report::figures::{Compared, draw_all, draw_comparison, gather, gather_comparison};
use crate::report::page::{Member, Plan, gather_studies, motion, page};
use crate::report::results::results;
use crate::report::tables;
use crate::scenario::{Scenario, load};
use crate::study::bead::least_over_bead;
use crate::study::comparison::as_drawn;
use crate::study::watch::Watch;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, print, write_and_tell};
use super::progress::Progress;

/// What `page` takes.
#[derive(Debug, Args)]
pub(super) struct PageArgs {
    /// Scenario file (TOML).
    scenario: PathBuf,
    /// Leave out what takes long: copies, map, levers.
    #[arg(long)]
    draft: bool,
    #[command(flatten)]
    common: Common,
}

impl PageArgs {
    pub(super) const fn common(&self) -> &Common {
        &self.common
    }
}

pub(super) fn run(args: &PageArgs) -> Result<(), Failure> {
    let common = &args.common;
    let scenario = load(&args.scenario, &common.set).map_err(Failure::unreadable)?;
    let prediction = predict(&scenario.design).map_err(|error| Failure::unpredicted(&scenario, &error))?;
    let plan = if args.draft { Plan::DRAFT } else { Plan::FULL };
    let progress = Progress::new(common.quiet)?;
    let text = page(&member(&scenario, &prediction, plan, args.draft, &progress));
    let interrupted = progress.interrupted();
    drop(progress);
    if interrupted {
        return Err(Failure::interrupted("nothing was written"));
    }
    if let Some(folder) = folder(common, args.scenario.file_stem().unwrap_or_default()) {
        write_and_tell(&folder, &[OutputFile { name: "page.html".to_owned(), content: text }], common.tells())?;
    }
    print("")
}

fn member<'p>(
    scenario: &'p Scenario,
    prediction: &'p Prediction,
    plan: Plan,
    draft: bool,
    watch: &dyn Watch,
) -> Member<'p> {
    let design = &scenario.design;
    let data = gather(design, prediction);
    let drawn = as_drawn(design);
    let beads = if draft { Vec::new() } else { least_over_bead(&[design], watch) };
    let printed = drawn.as_ref().zip(beads.first()).map(|((_, drawn), beads)| {
        let compared = [Compared { name: &design.name, design, prediction, as_drawn: Some(drawn), beads }];
        draw_comparison(&compared, &gather_comparison(&compared))
    });
    let overrides: String = scenario.overrides.iter().map(|setting| format!(" --set '{setting}'")).collect();
    Member {
        scenario,
        prediction,
        results: results(design, prediction),
        figures: draw_all(design, prediction, &data),
        printed: printed.unwrap_or_default(),
        motion: motion(design, prediction, &data.phases),
        studies: gather_studies(scenario, prediction, plan, watch),
        cautions: tables::cautions(design, &prediction.built)
            .lines()
            .skip(1)
            .map(|line| line.trim().to_owned())
            .collect(),
        command: format!("beatwright page {}{overrides}{}", scenario.file_name, if draft { " --draft" } else { "" }),
    }
}
