//! `improve`: a better design of the same clock.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Mutex;
use std::time::{Duration, Instant};

use clap::Args;

use crate::answers::no_answer::NoAnswer;
use crate::clock::printing::bed::Bed;
use crate::report::figures::draw_improvement;
use crate::report::improve::keys::AskedKeys;
use crate::report::improve::state::{self, QuestionText};
use crate::report::improve::{self, ImproveView, JudgedDesign};
use crate::report::prediction::keyed::ResultNumbers;
use crate::report::provenance::Provenance;
use crate::scenario::{STANDARD_INPUT, Scenario, bed_of};
use crate::study::improve::candidates::{KnownCandidates, TriedDesign};
use crate::study::improve::flatness::flatness;
use crate::study::improve::posed::posed;
use crate::study::improve::question::{CopiesAsked, Question};
use crate::study::improve::vary::VariedQuantity;
use crate::study::improve::{SearchPlan, improve};
use crate::study::keyed::{KeyedClock, KeyedNumbers as _};
use crate::study::prepare::prepared;

use super::Common;
use super::failure::Failure;
use super::improved_design::{best_judged, file_names, fronts, judged, none_allowed, same_as_told, values_of};
use super::improved_file::Overlay;
use super::output::{OutputFile, folder, json_of, print, remark, study_name, write_files};
use super::progress::Progress;
use super::spread::share_of;

/// Candidates where nobody says how many: of the clock itself, and of copies.
const USUAL_CANDIDATES: (u64, u64) = (1000, 300);

/// Most candidates.
const MOST_CANDIDATES: u64 = 1_000_000;

/// Most copies of each.
const MOST_COPIES: u32 = 100_000;

/// Most combinations of choices.
const MOST_COMBINATIONS: u32 = 64;

/// How often the candidates so far are written down, so that a search that is broken off can be taken up again.
const KEPT_EVERY: Duration = Duration::from_secs(30);

/// Names of the files.
pub(super) const IMPROVED: &str = "improved.toml";
pub(super) const STATE: &str = "candidates.json";

/// What `improve` takes.
#[derive(Debug, Args)]
pub(super) struct ImproveArgs {
    /// Scenario file (TOML).
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Quantity that may vary, between bounds in the file's units or among choices (repeatable): escapement.dead_beat.lock=0.8deg..2deg,
    /// drive.falls=1..3, train.arbor.escape.pivot.kind=ball|plain. A whole number takes whole values.
    #[arg(long = "vary", value_name = "PATH=LOW..HIGH", required = true, allow_hyphen_values = true)]
    vary: Vec<String>,
    /// What is to be better (twice: the front of both): a key of the results of predict, lock_deg, drop_deg, clearance_deg, bed_factor,
    /// largest_part_mm, frame_height_mm, rate_s_per_day_per_kelvin or margins.lock.wheel_small_mm and its like; with 'least KEY',
    /// 'most KEY' or 'nearest VALUE KEY' where that is not plain.
    #[arg(long = "aim", value_name = "KEY", required = true, allow_hyphen_values = true)]
    aim: Vec<String>,
    /// What has to hold (repeatable): 'KEY >= VALUE' or 'KEY <= VALUE', keys as for --aim; of copies also share_that_keeps_going and
    /// share_that_meets_margin.
    #[arg(long = "hold", value_name = "KEY >= VALUE", allow_hyphen_values = true)]
    hold: Vec<String>,
    /// Take the aims of this many printed copies: of least_weight_kg the weight that makes the share of them go. All candidates have the
    /// same draws.
    #[arg(long, value_name = "N")]
    copies: Option<u32>,
    /// Share of the copies that are to be as good as the aim says.
    #[arg(long, value_name = "SHARE", default_value = "99%", requires = "copies")]
    share: String,
    /// Candidates at most [default: 1000; of copies 300].
    #[arg(long, value_name = "N")]
    candidates: Option<u64>,
    /// Seed of what is drawn.
    #[arg(long, value_name = "SEED", default_value_t = 1)]
    seed: u32,
    /// Designs on the front of two aims.
    #[arg(long, value_name = "N", default_value_t = 9, value_parser = clap::value_parser!(u16).range(3..=50))]
    points: u16,
    /// Bed of a printer for bed_factor, 220x220x250 mm (repeatable: the best of them) [default: the beds of the scenario's printer].
    #[arg(long = "bed", value_name = "SIZE")]
    beds: Vec<String>,
    /// Go on with the candidates that an earlier search of the same question has left in the folder.
    #[arg(long)]
    resume: bool,
}

pub(super) fn run(args: &ImproveArgs) -> Result<(), Failure> {
    let common = &args.common;
    let scenario = common.load(&args.scenario).and_then(prepared).map_err(Failure::unreadable)?;
    let folder = folder(common, &study_name(&args.scenario, "improve"));
    if args.scenario == Path::new(STANDARD_INPUT) && folder.is_some() {
        let message = "improved.toml starts from the scenario's file: give one, or only --json";
        return Err(Failure::arguments(message.to_owned()));
    }
    let (asked, own) = keys_of(args, &scenario)?;
    let results = asked.results();
    let question = question_of(args, &scenario, &asked, &results)?;
    let plan = plan_of(args, &question)?;
    let overlay = folder.as_deref().map(|folder| Overlay { scenario: &scenario, file: &args.scenario, folder, common });
    if let Some(overlay) = &overlay {
        overlay.refuse_to_lose(&file_names(&question, plan.points))?;
        overlay.beside(IMPROVED)?;
    }
    let words = QuestionText::of(&question, args.seed);
    let known = known_of(args, folder.as_deref(), &question, &words)?;
    let progress = Progress::new(common.quiet)?;
    let kept = Mutex::new(Instant::now());
    let keep = |candidates: &[TriedDesign]| {
        if let (Some(folder), Ok(mut last)) = (&folder, kept.try_lock())
            && last.elapsed() > KEPT_EVERY
        {
            *last = Instant::now();
            keep_candidates(folder, &words, candidates);
        }
    };
    let found = improve(&question, plan, &known, &keep, &progress);
    if found.interrupted
        && let Some(folder) = &folder
    {
        keep_candidates(folder, &words, &found.candidates);
    }
    let Some(best) = best_judged(&question, &found) else {
        return Err(none_allowed(&question, &found, folder.as_deref()));
    };
    let today = found.today.as_ref().map(|today| today.numbers.clone()).unwrap_or_default();
    let flat =
        if found.interrupted { None } else { flatness(&question, (&best.point, &best.scenario), &today, &progress) };
    let interrupted = progress.interrupted();
    drop(progress);
    let front = fronts(&question, &found, plan.points);
    let mut files = Vec::new();
    let (mut after, mut in_file) = (best.judged.clone(), None);
    if let Some(overlay) = &overlay {
        files.extend(overlay.beside(IMPROVED)?);
        let called = format!("{} improved", scenario.design.name);
        let (file, read) = overlay.written(IMPROVED, &called, &values_of(&question, &best.point))?;
        after = same_as_told(IMPROVED, &best.judged, judged(&question, &read))?;
        files.push(file);
        in_file = Some(read);
        for design in &front {
            let (file, read) = overlay.written(&design.file, &called, &values_of(&question, &design.point))?;
            same_as_told(&design.file, &design.judged, judged(&question, &read))?;
            files.push(file);
        }
    }
    let before = found.today.as_ref().ok().map(|figures| {
        let shown = AskedKeys::shown().of(&own);
        JudgedDesign { figures: figures.clone(), shown }
    });
    let view = ImproveView {
        name: &scenario.design.name,
        question: &question,
        found: &found,
        before: before.as_ref(),
        after: &after,
        point: &best.point,
        flatness: flat.as_deref(),
        front: &front,
    };
    let mut provenance = Provenance { interrupted, ..Provenance::of(&scenario, &asked_as_typed(args)) };
    provenance.seed = Some(u64::from(args.seed));
    let record = improve::json::record(&view, provenance);
    let json = json_of(&record)?;
    let mut written = format!("{} of {} candidates were finished", found.trials.len(), plan.candidates);
    if let Some(folder) = &folder {
        files.push(OutputFile::json("improve", &json));
        files.extend(state::text(&words, &found.candidates).map(|text| OutputFile::text(STATE.to_owned(), text)));
        let tables =
            [improve::csv::before_after(&record), improve::csv::candidates(&view), improve::csv::front(&view, &record)];
        files.extend(tables.into_iter().flatten().map(|table| OutputFile::csv(table.name, table.text)));
        let escapements = [Some(&scenario), in_file.as_ref()].map(|clock| posed(&clock?.in_room()));
        let figures = draw_improvement(&view, &escapements);
        files.extend(figures.into_iter().map(|figure| OutputFile::svg(figure.name, figure.svg)));
        write_files("improve", folder, files, common, interrupted)?;
        written.push_str(&format!("; the best so far is {}, and --resume goes on", folder.join(IMPROVED).display()));
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if common.json {
        return print(&json);
    }
    print(&improve::text::table(&view, &record))?;
    if let Some(folder) = folder.filter(|_| !common.quiet) {
        remark(&format!("to use it: beatwright predict {}", folder.join(IMPROVED).display()));
    }
    Ok(())
}

/// Aims and limits, and the clock as it is with everything asked of it.
fn keys_of<'s>(args: &ImproveArgs, scenario: &'s Scenario) -> Result<(AskedKeys, KeyedClock<'s>), Failure> {
    if args.aim.len() > 2 {
        return Err(Failure::arguments(format!(
            "--aim: {} aims; give one, or two for the front of both",
            args.aim.len()
        )));
    }
    let copies = args.copies.is_some();
    // A key that no number is under is told of a clock of which everything was asked.
    let everything = ResultNumbers::of_keys(vec![String::new()]);
    let own = KeyedClock::of(scenario, &everything).map_err(|why| match &why {
        NoAnswer::Build(error) => Failure::unbuilt(scenario, error),
        _ => Failure::numeric(why.to_string()),
    })?;
    let mut keys = AskedKeys::default();
    for aim in &args.aim {
        keys.add_aim(aim, copies, &own).map_err(|what| Failure::arguments(format!("--aim '{aim}': {what}")))?;
    }
    for hold in &args.hold {
        keys.add_hold(hold, copies, &own).map_err(|what| Failure::arguments(format!("--hold '{hold}': {what}")))?;
    }
    Ok((keys, own))
}

fn question_of<'a>(
    args: &ImproveArgs,
    scenario: &'a Scenario,
    asked: &AskedKeys,
    results: &'a ResultNumbers,
) -> Result<Question<'a>, Failure> {
    let mut varied: Vec<VariedQuantity> = Vec::new();
    for text in &args.vary {
        let quantity = VariedQuantity::parse(text, scenario)
            .map_err(|what| Failure::arguments(format!("--vary {text}: {what}")))?;
        if let Some(known) = varied.iter().find(|known| known.overlaps(&quantity, scenario)) {
            let same = if known.path == quantity.path { String::new() } else { format!(" as `{}`", known.path) };
            return Err(Failure::arguments(format!("--vary {text}: `{}` varies already{same}", quantity.path)));
        }
        if let Some(name) = quantity.named_in(scenario).filter(|_| args.copies.is_some()) {
            return Err(Failure::arguments(format!(
                "--vary {text}: it is \"{name}\", by whose spread copies differ, and a plain number has none; write it in the scenario as a \
                 number with its spread, \"value +/- spread\", or leave out --copies"
            )));
        }
        varied.push(quantity);
    }
    let copies = args
        .copies
        .map(|count| {
            if !(2..=MOST_COPIES).contains(&count) {
                return Err(Failure::arguments(format!("--copies {count}: give 2 to {MOST_COPIES} copies")));
            }
            Ok(CopiesAsked { count, share: share_of(&args.share)?, seed: args.seed })
        })
        .transpose()?;
    let bed = |text: &String| bed_of(text).map_err(|what| Failure::arguments(format!("--bed {text}: {what}")));
    let typed = args.beds.iter().map(bed).collect::<Result<Vec<Bed>, Failure>>()?;
    Ok(Question {
        scenario,
        varied,
        numbers: asked.numbers.clone(),
        results,
        aims: asked.aims.clone(),
        holds: asked.holds.clone(),
        copies,
        beds: if typed.is_empty() { scenario.beds.clone() } else { typed },
    })
}

fn plan_of(args: &ImproveArgs, question: &Question<'_>) -> Result<SearchPlan, Failure> {
    let usual = if question.copies.is_some() { USUAL_CANDIDATES.1 } else { USUAL_CANDIDATES.0 };
    let candidates = args.candidates.unwrap_or(usual);
    if !(10..=MOST_CANDIDATES).contains(&candidates) {
        return Err(Failure::arguments(format!("--candidates {candidates}: give 10 to {MOST_CANDIDATES} candidates")));
    }
    let choices = question
        .varied
        .iter()
        .map(VariedQuantity::coordinate)
        .filter(|of| of.kind == crate::numerics::search::CoordinateKind::Choice);
    let combinations = choices.fold(1_u32, |all, of| all.saturating_mul(of.places));
    if combinations > MOST_COMBINATIONS {
        return Err(Failure::arguments(format!(
            "--vary: {combinations} combinations of choices are too many; the most is {MOST_COMBINATIONS}"
        )));
    }
    if question.beds.is_empty() && question.numbers.iter().any(|number| number.key == "bed_factor") {
        return Err(Failure::arguments(
            "bed_factor: there is no bed; give one with --bed 220x220x250, or beds = [...] in [printer]".to_owned(),
        ));
    }
    let candidates = usize::try_from(candidates).unwrap_or(usize::MAX);
    Ok(SearchPlan { candidates, seed: args.seed, points: usize::from(args.points) })
}

/// The candidates that an earlier search has left.
fn known_of(
    args: &ImproveArgs,
    folder: Option<&Path>,
    question: &Question<'_>,
    words: &QuestionText,
) -> Result<KnownCandidates, Failure> {
    if !args.resume {
        return Ok(KnownCandidates::default());
    }
    let complain = |what: String| Failure::arguments(format!("--resume: {what}"));
    let folder = folder.ok_or_else(|| {
        complain("say with --out in which folder the earlier search has left its candidates".to_owned())
    })?;
    let path = folder.join(STATE);
    let text =
        fs::read_to_string(&path).map_err(|error| complain(format!("cannot read {}: {error}", path.display())))?;
    let (asked, candidates) = state::read(&text)
        .map_err(|error| complain(format!("{} is no record of a search: {error}", path.display())))?;
    if let Some(difference) = asked.difference(words) {
        return Err(complain(format!("{} is of another question: {difference} differs", path.display())));
    }
    if !state::fits(question, &candidates) {
        return Err(complain(format!("{} does not fit the question", path.display())));
    }
    Ok(KnownCandidates::of(candidates))
}

/// Writes the candidates so far; what cannot be written is tried again later.
fn keep_candidates(folder: &Path, words: &QuestionText, candidates: &[TriedDesign]) {
    let Some(text) = state::text(words, candidates) else { return };
    let passing = folder.join(format!(".{STATE}.part"));
    if fs::create_dir_all(folder).is_ok() && fs::write(&passing, text).is_ok() {
        let _ = fs::rename(passing, folder.join(STATE));
    }
}

/// What was asked for, as on the command line.
fn asked_as_typed(args: &ImproveArgs) -> Vec<String> {
    let each =
        |flag: &str, texts: &[String]| texts.iter().map(|text| format!("{flag} {text}")).collect::<Vec<String>>();
    let mut asked = each("--vary", &args.vary);
    asked.extend(each("--aim", &args.aim));
    asked.extend(each("--hold", &args.hold));
    asked.extend(args.copies.map(|copies| format!("--copies {copies} --share {}", args.share)));
    asked.extend(args.candidates.map(|candidates| format!("--candidates {candidates}")));
    asked.extend(each("--bed", &args.beds));
    asked
}
