//! `trade`: run time against weight.

use std::path::PathBuf;

use clap::Args;

use crate::report::figures::draw_trade;
use crate::report::provenance::Provenance;
use crate::report::trade::{self, TradeView};
use crate::report::words::cautions;
use crate::scenario::ProblemCode;
use crate::study::prepare::prepared;
use crate::study::trade::{NoTrader, Reserve, TradeAsk, TradePoint, Trader, USUAL_FALLS};
use crate::units::{Kind, quantity_in_si};

use super::Common;
use super::failure::Failure;
use super::output::{OutputFile, folder, json_of, print, study_name, write_files};
use super::progress::Progress;

/// Entries of a list at most.
const MOST_ENTRIES: usize = 200;

/// Largest drum, m.
const LARGEST_DRUM_M: f64 = 1.0;

/// Most falls; a tackle of more loses more than it lifts.
const MOST_FALLS: u32 = 12;

/// Largest reserve.
const LARGEST_RATIO: f64 = 100.0;

/// What `trade` takes.
#[derive(Debug, Args)]
pub(super) struct TradeArgs {
    /// Scenario file (TOML) with a weight drive.
    pub scenario: PathBuf,
    #[command(flatten)]
    pub common: Common,
    /// Drum diameters, without the cord: 20mm,25mm,30mm [default: seven around the scenario's own].
    #[arg(long, value_name = "LENGTHS")]
    drums: Option<String>,
    /// Falls of the cord [default: 1,2,3].
    #[arg(long, value_name = "NUMBERS")]
    falls: Option<String>,
    /// Use a weight this many times the least one, instead of the arc margin of the scenario.
    #[arg(long, value_name = "RATIO", allow_hyphen_values = true)]
    ratio: Option<f64>,
}

pub(super) fn run(args: &TradeArgs) -> Result<(), Failure> {
    let common = &args.common;
    let drums = args.drums.as_deref().map(drums_of).transpose()?;
    let falls = args.falls.as_deref().map(falls_of).transpose()?;
    let reserve = args.ratio.map_or(Ok(Reserve::Margin), ratio_of)?;
    let scenario = common.load(&args.scenario).and_then(prepared).map_err(Failure::unreadable)?;
    let progress = Progress::new(common.quiet)?;
    let in_room = scenario.in_room();
    let trader = Trader::of(&in_room).map_err(|error| {
        let problem = match &error {
            NoTrader::Build(error) => scenario.problem_of(error),
            NoTrader::NoWeightDrive => {
                let path = if scenario.has("drive") { "drive" } else { "escapement" };
                let help = "give [drive] a weight, drum_diameter, cord_diameter, falls and drop, and a [train]; \
                            `beatwright new FILE` writes an example";
                scenario.problem_at(path, ProblemCode::NoWeightDrive, error.to_string(), help.to_owned())
            }
        };
        Failure::problems(&scenario.problems(vec![problem]))
    })?;
    let ask = TradeAsk {
        drums_m: drums.unwrap_or_else(|| trader.usual_drums_m()),
        falls: falls.unwrap_or_else(|| USUAL_FALLS.to_vec()),
        reserve,
    };
    let trade = trader.trade(&ask, &progress);
    let interrupted = progress.interrupted();
    drop(progress);
    let view = TradeView { name: &scenario.design.name, trade: &trade, margin_rad: scenario.design.margin_rad };
    let provenance = Provenance { interrupted, ..Provenance::of(&scenario, &asked(args)) };
    let json = json_of(&trade::json::record(&view, provenance))?;
    let mut written = "nothing was written".to_owned();
    if let Some(folder) = folder(common, &study_name(&args.scenario, "trade")) {
        let mut files = vec![OutputFile::json("trade", &json)];
        files.extend(trade::csv::table(&view).map(|table| OutputFile::csv("trade", table.text)));
        if !interrupted {
            files.extend(draw_trade(&view).map(|figure| OutputFile::svg(figure.name, figure.svg)));
        }
        write_files("trade", &folder, files, common, interrupted)?;
        let asked = ask.drums_m.len() * ask.falls.len();
        written = format!("{} of {asked} rows were finished; they are in {}", trade.points.len(), folder.display());
    }
    if interrupted {
        return Err(Failure::interrupted(&written));
    }
    if common.json {
        return print(&json);
    }
    print(&format!("{}\n{}", trade::text::table(&view), cautions_of(&trader, &trade.points)))
}

/// The cautions of the heaviest weight that may be hung up.
fn cautions_of(trader: &Trader<'_>, points: &[TradePoint]) -> String {
    let weight = |point: &TradePoint| point.found.as_ref().map_or(0.0, |traded| traded.weight_kg);
    points
        .iter()
        .max_by(|a, b| weight(a).total_cmp(&weight(b)))
        .and_then(|heaviest| trader.with(heaviest))
        .map(|(design, built)| {
            cautions::table_of(&design, &built).replacen("Cautions", "Cautions, for the heaviest of these", 1)
        })
        .unwrap_or_default()
}

fn asked(args: &TradeArgs) -> Vec<String> {
    let drums = args.drums.iter().map(|drums| format!("--drums {drums}"));
    let falls = args.falls.iter().map(|falls| format!("--falls {falls}"));
    drums.chain(falls).chain(args.ratio.map(|ratio| format!("--ratio {ratio}"))).collect()
}

/// The entries of a list, in rising order, none twice.
fn list_of<T: PartialEq>(
    flag: &str,
    text: &str,
    entry: impl Fn(&str) -> Result<T, String>,
    order: impl Fn(&T, &T) -> std::cmp::Ordering,
) -> Result<Vec<T>, Failure> {
    let words: Vec<&str> = text.split(',').map(str::trim).collect();
    if words.len() > MOST_ENTRIES {
        return Err(Failure::arguments(format!("{flag}: {} entries; give at most {MOST_ENTRIES}", words.len())));
    }
    let mut found = words
        .into_iter()
        .map(|word| entry(word).map_err(|what| Failure::arguments(format!("{flag} {text}: {what}"))))
        .collect::<Result<Vec<T>, Failure>>()?;
    found.sort_by(order);
    found.dedup();
    Ok(found)
}

fn drums_of(text: &str) -> Result<Vec<f64>, Failure> {
    let drum = |word: &str| {
        let help = "write lengths like 20mm,25mm,30mm";
        if word.is_empty() {
            return Err(format!("a length is missing; {help}"));
        }
        match quantity_in_si(word, Kind::Length) {
            Ok(length) if length > 0.0 && length <= LARGEST_DRUM_M => Ok(length),
            Ok(_) => Err(format!("a drum of {word} is not possible; give lengths above 0 mm and up to 1 m")),
            Err(error) => Err(format!("{error}; {help}")),
        }
    };
    list_of("--drums", text, drum, f64::total_cmp)
}

fn falls_of(text: &str) -> Result<Vec<u32>, Failure> {
    let falls = |word: &str| match word.parse::<u32>() {
        Ok(falls) if (1..=MOST_FALLS).contains(&falls) => Ok(falls),
        _ => Err(format!("\"{word}\" is not a number of falls; give whole numbers from 1 to {MOST_FALLS}, like 1,2,3")),
    };
    list_of("--falls", text, falls, u32::cmp)
}

fn ratio_of(ratio: f64) -> Result<Reserve, Failure> {
    if (1.0..=LARGEST_RATIO).contains(&ratio) {
        return Ok(Reserve::Ratio(ratio));
    }
    Err(Failure::arguments(format!(
        "--ratio {ratio}: give a number from 1 to {LARGEST_RATIO}, weight over least weight"
    )))
}
