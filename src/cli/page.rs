//! `page`: one self-contained HTML file.

use std::path::PathBuf;
use std::time::Instant;

use clap::Args;
use serde::Serialize;

use crate::answers::prediction::Prediction;
use crate::answers::regulation::regulation;
use crate::browser::ENGINE;
use crate::clock::environment::InRoom;
use crate::report::figures::{Figure, draw_all, draw_comparison};
use crate::report::page::{Comparison, PageMember, Studies, WhatIf, motion, page, page_of_several, verdict_sentence};
use crate::report::prediction;
use crate::report::prediction::by_key::Answers;
use crate::report::prediction::json::Results;
use crate::report::regulation::json::RegulationRecord;
use crate::scenario::Scenario;
use crate::scenario::room_log::RoomLog;
use crate::study::bead::{Beads, least_over_bead};
use crate::study::comparison::portrait::comparison_portrait;
use crate::study::comparison::{as_drawn, differences};
use crate::study::jobs::Watch;
use crate::study::overview::{Plan, overview};
use crate::study::page_asks::{AskedQuantity, page_asks};
use crate::study::papers::papers;
use crate::study::portrait::portrait;

use super::Common;
use super::compare::{compared, load_all, names_of, predict_all};
use super::failure::Failure;
use super::output::{OutputFile, folder, joint_name, json_of, print, write_files};
use super::progress::Progress;
use super::room::towns;
use super::season::own_log;
use super::watch;
use super::watch::screen::Screen;
use super::watch::served::Served;

/// What `page` takes.
#[derive(Debug, Clone, Args)]
pub(super) struct PageArgs {
    /// Scenario files (TOML) of clocks with a pendulum; several are shown side by side and each by itself. For a [motor]: predict.
    #[arg(required = true)]
    scenarios: Vec<PathBuf>,
    /// Leave out what takes long: copies, map, levers, season.
    #[arg(long)]
    draft: bool,
    /// Keep running, and make the page again whenever a file of a scenario is saved: first a draft, then the whole page unless --draft. A
    /// browser on this machine, and no other, is shown the newest page by itself, and an error above the last good one.
    #[arg(long, conflicts_with = "json")]
    watch: bool,
    #[command(flatten)]
    common: Common,
}

impl PageArgs {
    pub(super) const fn common(&self) -> &Common {
        &self.common
    }
}

/// A page that was made.
struct Made {
    page: String,
    file: Option<PathBuf>,
    /// A sentence on each clock.
    verdicts: Vec<String>,
    /// The results; `None` unless they were asked for.
    json: Option<String>,
}

pub(super) fn run(args: &PageArgs) -> Result<(), Failure> {
    if args.common.png {
        let where_then = "the pictures are in the page itself; predict and the studies write them as files";
        return Err(Failure::arguments(format!("--png: {where_then}")));
    }
    if args.watch {
        return on_every_save(args);
    }
    made(args)?.json.map_or(Ok(()), |json| print(&json))
}

/// A page after each save: the draft, then what takes long.
fn on_every_save(args: &PageArgs) -> Result<(), Failure> {
    let served = Served::begin()?;
    let drafts = if args.draft { vec![true] } else { vec![true, false] };
    let again = |screen: &mut Screen| {
        for draft in &drafts {
            let began = Instant::now();
            let made = made(&PageArgs { draft: *draft, ..args.clone() })?;
            served.show(&made.page);
            let kind = if *draft { "The draft" } else { "The whole page" };
            let file = made.file.map(|file| format!(" and in {}", file.display())).unwrap_or_default();
            let text = format!("{}\n\n{kind} is at {}{file}", made.verdicts.join("\n"), served.address());
            screen.show(&text, began.elapsed())?;
        }
        Ok(())
    };
    watch::on_every_save(&args.scenarios, &args.common, again, |failure| {
        served.fail(console::strip_ansi_codes(&failure.to_string()).into_owned());
    })
}

/// The page, its file written.
fn made(args: &PageArgs) -> Result<Made, Failure> {
    let common = &args.common;
    let scenarios = load_all(&args.scenarios, common)?;
    let predictions = predict_all(&scenarios)?;
    let in_rooms: Vec<InRoom> = scenarios.iter().map(Scenario::in_room).collect();
    let drawn: Vec<Option<(InRoom, Prediction)>> = in_rooms.iter().map(as_drawn).collect();
    let logs = scenarios.iter().map(|scenario| log_of(scenario, args.draft)).collect::<Result<Vec<_>, _>>()?;
    let asks = scenarios.iter().map(asks_of).collect::<Result<Vec<_>, _>>()?;
    let progress = Progress::new(common.quiet)?;
    let members: Vec<PageMember<'_>> = scenarios
        .iter()
        .zip(&in_rooms)
        .zip(&predictions)
        .zip(&drawn)
        .zip(logs.iter().zip(&asks))
        .map(|((((scenario, in_room), prediction), drawn), (log, asked))| {
            member((scenario, in_room, prediction), drawn.as_ref(), log.as_ref(), asked, args, &progress)
        })
        .collect();
    let text = match members.as_slice() {
        [one] => page(one, ENGINE),
        several => {
            let figures = figures_of_all((&scenarios, &in_rooms, &predictions), &drawn, args.draft, &progress);
            page_of_several(several, &Comparison { differences: differences(&scenarios), figures }, ENGINE)
        }
    };
    let interrupted = progress.interrupted();
    drop(progress);
    if interrupted {
        return Err(Failure::interrupted("nothing was written"));
    }
    let name = match args.scenarios.as_slice() {
        [one] => one.file_stem().unwrap_or_default().to_owned(),
        several => joint_name(several, "page"),
    };
    let folder = folder(common, &name);
    if let Some(folder) = &folder {
        write_files("page", folder, vec![OutputFile::text("page.html".to_owned(), text.clone())], common, false)?;
    }
    let file = folder.map(|folder| folder.join("page.html"));
    let clocks: Vec<&Results> = members.iter().map(|member| &member.results).collect();
    let verdicts = clocks.iter().map(|results| verdict_sentence(results)).collect();
    let record = PageRecord { page: file.as_ref().map(|file| file.display().to_string()), clocks };
    let json = common.json.then(|| json_of(&record)).transpose()?;
    Ok(Made { page: text, file, verdicts, json })
}

/// The log of the room that a scenario names; a draft has no season.
fn log_of(scenario: &Scenario, draft: bool) -> Result<Option<RoomLog>, Failure> {
    if draft {
        return Ok(None);
    }
    let place = &scenario.design.place;
    let plan =
        scenario.checked_season(place).map_err(|problem| Failure::problems(&scenario.problems(vec![problem])))?;
    plan.map_or(Ok(None), |plan| own_log(scenario, plan, place))
}

/// What a scenario's page asks its readers.
fn asks_of(scenario: &Scenario) -> Result<Vec<AskedQuantity>, Failure> {
    page_asks(scenario).map_err(|problem| Failure::problems(&scenario.problems(vec![problem])))
}

/// What `--json` prints.
#[derive(Serialize)]
struct PageRecord<'m> {
    /// The page; `None` where it was not written.
    page: Option<String>,
    /// Results of each clock.
    clocks: Vec<&'m Results>,
}

fn member<'p>(
    (scenario, in_room, prediction): (&'p Scenario, &'p InRoom, &'p Prediction),
    drawn: Option<&(InRoom, Prediction)>,
    log: Option<&RoomLog>,
    asked: &[AskedQuantity],
    args: &PageArgs,
    watch: &dyn Watch,
) -> PageMember<'p> {
    let portrait = portrait(in_room, prediction);
    let regulated = regulation(in_room, prediction);
    let alone = args.scenarios.len() == 1;
    let printed = drawn.filter(|_| alone).map(|drawn| {
        let drawn = [Some(drawn.clone())];
        let (scenarios, in_rooms) = (std::slice::from_ref(scenario), std::slice::from_ref(in_room));
        figures_of_all((scenarios, in_rooms, std::slice::from_ref(prediction)), &drawn, args.draft, watch)
    });
    let plan = if args.draft { Plan::DRAFT } else { Plan::FULL };
    let answers = Answers::usual(in_room, prediction);
    let found = overview((scenario, prediction), plan, log.map(|log| log.moments.as_slice()), &answers, watch);
    let draft = if args.draft { " --draft" } else { "" };
    PageMember {
        scenario,
        in_room,
        prediction,
        results: prediction::json::record(in_room, prediction),
        figures: draw_all(in_room, prediction, &portrait),
        printed: printed.unwrap_or_default(),
        motion: motion(in_room, prediction, &portrait.phases, portrait.wheel_holes.clone()),
        papers: Some(papers(&scenario.design, in_room, prediction)),
        studies: Studies::of((scenario, in_room, prediction), &found, plan, log, &answers.keys),
        regulation: RegulationRecord::of(&regulated),
        towns: towns(scenario, regulated.nut),
        what_if: WhatIf::of(scenario, asked),
        command: format!("beatwright page {}{}{draft}", scenario.file_name, scenario.options()),
    }
}

/// The pictures that show the scenarios together, printed beside drawn; in a draft without the sweep over the bead.
fn figures_of_all(
    (scenarios, in_rooms, predictions): (&[Scenario], &[InRoom], &[Prediction]),
    drawn: &[Option<(InRoom, Prediction)>],
    draft: bool,
    watch: &dyn Watch,
) -> Vec<Figure> {
    let names = names_of(scenarios);
    let beads: Vec<Beads> = if draft {
        in_rooms.iter().map(|_| Ok(Vec::new())).collect()
    } else {
        least_over_bead(&in_rooms.iter().collect::<Vec<_>>(), watch)
    };
    let compared = compared(&names, in_rooms, predictions, drawn, &beads);
    draw_comparison(&compared, &comparison_portrait(&compared))
}
