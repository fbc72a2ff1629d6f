//! `levers`: which quantity to change.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use crate::clock::build::build;
use crate::report::figures::draw_levers;
use crate::report::levers::{self, LeversView};
use crate::report::provenance::Provenance;
use crate::study::levers::answers::LeverAnswer;
use crate::study::levers::levers;
use crate::study::prepare::prepared;

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};
use super::progress::Progress;

/// What `levers` takes.
#[derive(Debug, Args)]
pub(super) struct LeversArgs {
    /// Scenario file (TOML).
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Answer that ranks the levers.
    #[arg(long, value_name = "KEY", value_enum, default_value_t = Key::Margin)]
    answer: Key,
    /// Number of levers in the table.
    #[arg(long, value_name = "N", default_value_t = 20, value_parser = clap::value_parser!(u16).range(1..))]
    top: u16,
}

/// An answer as typed; the keys of `predict` do as well.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum Key {
    /// Weight over least weight.
    #[value(alias = "weight_ratio", alias = "torque_ratio")]
    Margin,
    /// Least weight (without a weight, least torque).
    #[value(name = "least_weight", alias = "least_weight_kg", alias = "least_torque", alias = "least_torque_n_m")]
    LeastWeight,
    /// Rate.
    #[value(alias = "rate_s_per_day")]
    Rate,
    /// Mean semi-arc.
    #[value(alias = "semi_arc_deg", alias = "semi_arc")]
    Amplitude,
    /// Run time between windings.
    #[value(name = "run_time", alias = "run_time_days")]
    RunTime,
}

impl Key {
    const fn answer(self) -> LeverAnswer {
        match self {
            Self::Margin => LeverAnswer::Margin,
            Self::LeastWeight => LeverAnswer::Least,
            Self::Rate => LeverAnswer::Rate,
            Self::Amplitude => LeverAnswer::Amplitude,
            Self::RunTime => LeverAnswer::RunTime,
        }
    }
}

pub(super) fn run(args: &LeversArgs) -> Result<(), Failure> {
    let common = &args.common;
    let scenario = common.load(&args.scenario).and_then(prepared).map_err(Failure::unreadable)?;
    let progress = Progress::new(common.quiet)?;
    let unbuilt = |error| Failure::unbuilt(&scenario, &error);
    let in_room = scenario.in_room();
    let built = build(&in_room).map_err(unbuilt)?;
    let found = levers(&scenario, &progress).map_err(unbuilt)?;
    let interrupted = progress.interrupted();
    drop(progress);
    let view = LeversView::of(&in_room, &built, &found, args.answer.answer());
    let key = args.answer.to_possible_value().map(|value| value.get_name().to_owned()).unwrap_or_default();
    let provenance = Provenance { interrupted, ..Provenance::of(&scenario, &[format!("--answer {key}")]) };
    let json = json_of(&levers::json::record(&view, provenance))?;
    let mut written = "nothing was written".to_owned();
    if let Some(folder) = folder(common, &study_name(&args.scenario, "levers")) {
        let mut files = vec![OutputFile::json("levers", &json)];
        files.extend(levers::csv::table(&view).map(|table| OutputFile::csv("levers", table.text)));
        if !interrupted {
            files.extend(draw_levers(&view).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        }
        write_files("levers", &folder, files, common, interrupted)?;
        written = format!(
            "{} of {} quantities were finished; they are in {}",
            found.levers.len(),
            found.count,
            folder.display()
        );
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if found.today[view.by.index()].is_none() && !common.quiet {
        remark(&format!("note: the clock has no {}, so nothing is ranked", view.words(view.by)));
    }
    print(&if common.json { json } else { levers::text::table(&view, usize::from(args.top)) })
}
