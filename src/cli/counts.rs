//! `counts`: tooth counts for a wish.

use std::path::PathBuf;

use clap::{ArgGroup, Args, ValueEnum};
use num_rational::Ratio;

use crate::clock::SECONDS_PER_HOUR;
use crate::clock::materials::{FRICTION_PAIRS, friction_pair_named};
use crate::clock::workshop::LEAST_DRUM_TO_CORD;
use crate::report::counts::{self as report, CountsView};
use crate::report::csv_table::CsvTable;
use crate::scenario::{DEFAULT_PRESSURE_ANGLE_RAD, suggestion};
use crate::study::counts::{
    CountsAsk, CountsRank, FallForRun, GearLimits, GreatAsk, MOST_COUNTED_TEETH, MOST_MESHES, TeethBounds, counts,
};
use crate::units::{Kind, exact_in_si, exact_number};

use super::counts_none::{no_great_wheel, no_train};
use super::failure::Failure;
use super::lengths::{module_m, pitch, positive, range};
use super::output::{OutputFile, json_of, print, write_plain};
use super::whole_numbers::whole_numbers;

/// Pair of materials whose friction is taken where none is asked for.
const USUAL_TEETH: &str = "PLA on PLA, greased";

/// By how much longer a run may be than asked with a given drum.
const LONGER: f64 = 1.15;

/// Largest drum where none is asked for, m (common practice for wall clocks, no source).
const LARGEST_USUAL_DRUM_M: f64 = 0.06;

/// Beats that a train may have, s.
const BEAT_S: (f64, f64) = (0.01, 100.0);

/// What comes first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum RankWord {
    /// Size on the bed: the smallest largest gear, then the smallest sum.
    Size,
    /// The fewest different gears to draw.
    Common,
    /// The most nearly equal ratios.
    Equal,
    /// The least loss in the teeth.
    Loss,
}

/// What `counts` takes.
#[derive(Debug, Args)]
#[command(group(ArgGroup::new("great wheel").args(["great_hours", "run"])))]
pub(super) struct CountsArgs {
    /// Beat, exactly: 1s, 0.75s, 1/3s.
    #[arg(
        long,
        value_name = "TIME",
        allow_hyphen_values = true,
        required_unless_present = "beats_per_hour",
        conflicts_with = "beats_per_hour"
    )]
    beat: Option<String>,
    /// Beats an hour, in place of the beat: 4800.
    #[arg(long, value_name = "NUMBER")]
    beats_per_hour: Option<String>,
    /// Teeth of the escape wheel: 30, several like 30,32,36, or a range like 24..40.
    #[arg(long, value_name = "NUMBERS", default_value = "30")]
    escape_teeth: String,
    /// Arbors between the minute hand's and the escape wheel's: 1, or a range like 1..2.
    #[arg(long, value_name = "NUMBERS", default_value = "1")]
    arbors: String,
    /// Fewest leaves of a pinion (of the cannon and minute pinion too).
    #[arg(long, value_name = "LEAVES", default_value_t = 8)]
    least_leaves: u32,
    /// Most leaves of a pinion of the train.
    #[arg(long, value_name = "LEAVES", default_value_t = 16)]
    most_leaves: u32,
    /// Fewest teeth of a wheel.
    #[arg(long, value_name = "TEETH", default_value_t = 24)]
    least_teeth: u32,
    /// Most teeth of a wheel.
    #[arg(long, value_name = "TEETH", default_value_t = 120)]
    most_teeth: u32,
    /// Module of the gears, a length, or a diametral pitch like 24/in [default: 1mm].
    #[arg(long, value_name = "LENGTH")]
    module: Option<String>,
    /// Diametral pitch in place of the module, teeth per inch of the pitch diameter: 24.
    #[arg(long, value_name = "NUMBER", conflicts_with = "module")]
    pitch: Option<String>,
    /// Module of the train between great wheel and minute hand, if it is another.
    #[arg(long, value_name = "LENGTH", requires = "great wheel")]
    great_module: Option<String>,
    /// Module of the motion work if it is another, or one for each of its two pairs: 1mm,0.9mm.
    #[arg(long, value_name = "LENGTHS")]
    motion_module: Option<String>,
    /// Hours for a turn of the great wheel, exactly (12) or a range (10..14).
    #[arg(long, value_name = "HOURS", conflicts_with = "run")]
    great_hours: Option<String>,
    /// Arbors between the great wheel's and the minute hand's: 0, or a range like 0..1.
    #[arg(long, value_name = "NUMBERS", default_value = "0", requires = "great wheel")]
    great_arbors: String,
    /// Run from one winding to the next, from which the hours for a turn of the great wheel follow: 8d.
    #[arg(long, value_name = "TIME", requires = "fall")]
    run: Option<String>,
    /// Fall of the weight: 1.2m.
    #[arg(long, value_name = "LENGTH", requires = "run")]
    fall: Option<String>,
    /// Parts of the cord that carry the weight.
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=12), requires = "run")]
    falls: u32,
    /// Drum without the cord: one diameter, for runs as long as asked or up to 15 % longer, or a range like 30mm..50mm, for exactly the
    /// run asked [default: from eight times the cord to 60mm].
    #[arg(long, value_name = "LENGTH", requires = "run")]
    drum: Option<String>,
    /// Diameter of the cord.
    #[arg(long, value_name = "LENGTH", default_value = "1.5mm", requires = "run")]
    cord: String,
    /// Pressure angle of the teeth [default: 20deg, as in a scenario].
    #[arg(long, value_name = "ANGLE")]
    pressure_angle: Option<String>,
    /// Friction between teeth: a number, or a pair of `beatwright materials` [default: PLA on PLA, greased].
    #[arg(long, value_name = "FRICTION")]
    tooth_friction: Option<String>,
    /// What comes first.
    #[arg(long, value_enum, default_value = "size")]
    rank: RankWord,
    /// Rows shown of each table.
    #[arg(long, value_name = "NUMBER", default_value_t = 12, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    most: u32,
    /// Row of the first table that is written out for a scenario.
    #[arg(long, value_name = "NUMBER", default_value_t = 1, value_parser = clap::value_parser!(u32).range(1..=10_000))]
    row: u32,
    /// Print only JSON to standard output.
    #[arg(long)]
    json: bool,
    /// Folder for counts.json and counts.csv [default: none is written].
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
}

pub(super) fn run(args: &CountsArgs) -> Result<(), Failure> {
    let (ask, friction_name) = ask_of(args)?;
    let found = counts(&ask).map_err(|error| {
        Failure::arguments(format!(
            "{error}; narrow them with --least-leaves, --most-leaves, --least-teeth, --most-teeth, --escape-teeth or --arbors"
        ))
    })?;
    if found.trains.found == 0 {
        return Err(no_train(&ask, &found, half_step_s(args)));
    }
    if let (Some(great), Some(0)) = (&ask.great, found.great.as_ref().map(|great| great.found)) {
        return Err(no_great_wheel(&ask, great));
    }
    let row = args.row as usize - 1;
    if row >= found.trains.best.len() {
        return Err(Failure::arguments(format!(
            "--row {}: the table has {} rows; show more with --most",
            args.row,
            found.trains.best.len()
        )));
    }
    let asked = asked(args);
    let view = CountsView { ask: &ask, counts: &found, friction_name, row, asked: &asked };
    let json = json_of(&report::json::record(&view))?;
    if let Some(folder) = &args.out {
        let mut files = vec![OutputFile::json("counts", &json)];
        files.extend(report::csv::table(&view).map(|CsvTable { name, text }| OutputFile::csv(name, text)));
        write_plain(folder, &files)?;
    }
    if args.json { print(&json) } else { print(&report::text::table(&view)) }
}

/// What was typed, checked, and the name of the pair of materials if the friction is one.
fn ask_of(args: &CountsArgs) -> Result<(CountsAsk, Option<&'static str>), Failure> {
    let beat_s = beat_of(args)?;
    let leaves = bounds(("--least-leaves", args.least_leaves), ("--most-leaves", args.most_leaves))?;
    let teeth = bounds(("--least-teeth", args.least_teeth), ("--most-teeth", args.most_teeth))?;
    let pressure_angle_rad = match &args.pressure_angle {
        None => DEFAULT_PRESSURE_ANGLE_RAD,
        Some(text) => {
            let angle_rad = positive("--pressure-angle", text, Kind::Angle)?;
            if !(5.0..=45.0).contains(&angle_rad.to_degrees()) {
                return Err(Failure::arguments(format!("--pressure-angle {text}: give an angle from 5 deg to 45 deg")));
            }
            angle_rad
        }
    };
    let (tooth_friction, friction_name) = friction_of(args.tooth_friction.as_deref().unwrap_or(USUAL_TEETH))?;
    let module = match (&args.module, &args.pitch) {
        (Some(text), _) => module_m("--module", text)?,
        (None, Some(text)) => pitch("--pitch", text)?,
        (None, None) => 1e-3,
    };
    let great_module_m = args.great_module.as_deref().map_or(Ok(module), |text| module_m("--great-module", text))?;
    let ask = CountsAsk {
        beat_s,
        escape_teeth: whole_numbers("--escape-teeth", &args.escape_teeth, (2, MOST_COUNTED_TEETH))?,
        arbors_between: whole_numbers("--arbors", &args.arbors, (0, MOST_MESHES - 1))?,
        gears: GearLimits { leaves, teeth, pressure_angle_rad, tooth_friction },
        module_m: module,
        motion_modules_m: motion_modules_m(args, module)?,
        great: great_of(args, great_module_m)?,
        rank: match args.rank {
            RankWord::Size => CountsRank::Size,
            RankWord::Common => CountsRank::Common,
            RankWord::Equal => CountsRank::Equal,
            RankWord::Loss => CountsRank::Loss,
        },
        most: args.most as usize,
    };
    Ok((ask, friction_name))
}

fn bounds((least_flag, least): (&str, u32), (most_flag, most): (&str, u32)) -> Result<TeethBounds, Failure> {
    for (flag, teeth) in [(least_flag, least), (most_flag, most)] {
        if !(2..=MOST_COUNTED_TEETH).contains(&teeth) {
            return Err(Failure::arguments(format!(
                "{flag} {teeth}: give a whole number from 2 to {MOST_COUNTED_TEETH}"
            )));
        }
    }
    if least > most {
        return Err(Failure::arguments(format!(
            "{least_flag} {least} is more than {most_flag} {most}: the bounds are the wrong way round"
        )));
    }
    Ok(TeethBounds { least, most })
}

fn beat_of(args: &CountsArgs) -> Result<Ratio<u128>, Failure> {
    let (flag, text) = match (&args.beat, &args.beats_per_hour) {
        (Some(beat), _) => ("--beat", beat),
        (None, Some(beats)) => ("--beats-per-hour", beats),
        (None, None) => return Err(Failure::arguments("give a beat: --beat 1s".to_owned())),
    };
    let help = "write a decimal or a fraction above 0, like 0.75s or 1/3s";
    let beat_s = if args.beat.is_some() {
        match exact_in_si(text, Kind::Time) {
            Ok(Some(beat_s)) => beat_s,
            Ok(None) => return Err(Failure::arguments(format!("{flag} {text}: this is no beat; {help}"))),
            Err(error) => return Err(Failure::arguments(format!("{flag} {text}: {error}; {help}"))),
        }
    } else {
        exact_number(text.trim())
            .map(|beats| Ratio::from_integer(SECONDS_PER_HOUR as u128) / beats)
            .ok_or_else(|| Failure::arguments(format!("{flag} {text}: give a number above 0, like 4800")))?
    };
    let seconds = *beat_s.numer() as f64 / *beat_s.denom() as f64;
    if !(BEAT_S.0..=BEAT_S.1).contains(&seconds) {
        return Err(Failure::arguments(format!("{flag} {text}: give a beat from {} s to {} s", BEAT_S.0, BEAT_S.1)));
    }
    Ok(beat_s)
}

/// Half a step of the last digit of a beat that was written as a decimal, s.
fn half_step_s(args: &CountsArgs) -> Option<Ratio<u128>> {
    let beat = args.beat.as_ref().filter(|beat| !beat.contains('/'))?;
    let end = beat.find(|letter: char| !letter.is_ascii_digit() && letter != '.').unwrap_or(beat.len());
    let decimals = beat[..end].split_once('.').map_or(0, |(_, part)| part.len());
    exact_in_si(&format!("0.{}5 {}", "0".repeat(decimals), &beat[end..]), Kind::Time).ok().flatten()
}

fn friction_of(text: &str) -> Result<(f64, Option<&'static str>), Failure> {
    if let Some(pair) = friction_pair_named(text.trim()) {
        return Ok((pair.sliding.value, Some(pair.name)));
    }
    match text.trim().parse::<f64>() {
        Ok(friction) if (0.0..=2.0).contains(&friction) => Ok((friction, None)),
        Ok(friction) => Err(Failure::arguments(format!("--tooth-friction {friction}: give a number from 0 to 2"))),
        Err(_) => {
            let known: Vec<&str> = FRICTION_PAIRS.iter().map(|pair| pair.name).collect();
            let help = suggestion(text, &known, "name");
            Err(Failure::arguments(format!("--tooth-friction {text}: there is no such pair of materials; {help}")))
        }
    }
}

fn motion_modules_m(args: &CountsArgs, module: f64) -> Result<[f64; 2], Failure> {
    let Some(text) = &args.motion_module else { return Ok([module; 2]) };
    let modules_m =
        text.split(',').map(|word| module_m("--motion-module", word)).collect::<Result<Vec<f64>, Failure>>()?;
    match *modules_m {
        [both] => Ok([both; 2]),
        [first, second] => Ok([first, second]),
        _ => Err(Failure::arguments(format!("--motion-module {text}: give one module, or two like 1mm,0.9mm"))),
    }
}

fn great_of(args: &CountsArgs, module_m: f64) -> Result<Option<GreatAsk>, Failure> {
    let arbors_between = whole_numbers("--great-arbors", &args.great_arbors, (0, MOST_MESHES - 1))?;
    if let Some(text) = &args.great_hours {
        let hours = |word: &str| {
            let word = word.trim().trim_end_matches('h').trim_end();
            exact_number(word).filter(|hours| *hours <= Ratio::from_integer(10_000)).ok_or_else(|| {
                Failure::arguments(format!("--great-hours {text}: give hours above 0 like 12, or a range like 10..14"))
            })
        };
        let (low, high) = text.split_once("..").unwrap_or((text, text));
        let (low, high) = (hours(low)?, hours(high)?);
        if low > high {
            return Err(Failure::arguments(format!("--great-hours {text}: the range runs down; write {high}..{low}")));
        }
        return Ok(Some(GreatAsk { arbors_between, hours: (low, high), module_m, fall: None }));
    }
    let (Some(run), Some(fall)) = (&args.run, &args.fall) else { return Ok(None) };
    let cord_m = positive("--cord", &args.cord, Kind::Length)?;
    let usual = (LEAST_DRUM_TO_CORD * cord_m, LARGEST_USUAL_DRUM_M.max(2.0 * LEAST_DRUM_TO_CORD * cord_m));
    let (low_m, high_m) = args.drum.as_deref().map_or(Ok(usual), |text| range("--drum", text, Kind::Length))?;
    let fall = FallForRun {
        run_s: positive("--run", run, Kind::Time)?,
        fall_m: positive("--fall", fall, Kind::Length)?,
        falls: args.falls,
        cord_m,
        drum_m: (low_m == high_m).then_some(low_m),
    };
    let longer = if fall.drum_m.is_some() { LONGER } else { 1.0 };
    let (low, high) = (fall.hours_per_turn(low_m), longer * fall.hours_per_turn(high_m));
    if !(low > 1e-3 && high < 1e4) {
        return Err(Failure::arguments(format!(
            "--run {run}: the drum would have to turn once in {low:.3} h to {high:.3} h, which is no clock's"
        )));
    }
    // Physical ends: to a part in a thousand million.
    let exactly = |hours: f64| Ratio::new((1e9 * hours).round() as u128, 1_000_000_000);
    Ok(Some(GreatAsk { arbors_between, hours: (exactly(low), exactly(high)), module_m, fall: Some(fall) }))
}

/// What was typed, for the record.
fn asked(args: &CountsArgs) -> Vec<String> {
    let text = |flag: &str, value: &Option<String>| value.as_ref().map(|value| format!("{flag} {value}"));
    let mut asked = vec![
        text("--beat", &args.beat),
        text("--beats-per-hour", &args.beats_per_hour),
        Some(format!("--escape-teeth {}", args.escape_teeth)),
        Some(format!("--arbors {}", args.arbors)),
        Some(format!("--least-leaves {}", args.least_leaves)),
        Some(format!("--most-leaves {}", args.most_leaves)),
        Some(format!("--least-teeth {}", args.least_teeth)),
        Some(format!("--most-teeth {}", args.most_teeth)),
        text("--module", &args.module),
        text("--pitch", &args.pitch),
        text("--great-module", &args.great_module),
        text("--motion-module", &args.motion_module),
        text("--great-hours", &args.great_hours),
        text("--run", &args.run),
        text("--fall", &args.fall),
    ];
    if args.run.is_some() {
        asked.push(Some(format!("--falls {}", args.falls)));
        asked.push(text("--drum", &args.drum));
        asked.push(Some(format!("--cord {}", args.cord)));
    }
    if args.run.is_some() || args.great_hours.is_some() {
        asked.push(Some(format!("--great-arbors {}", args.great_arbors)));
    }
    asked.push(text("--pressure-angle", &args.pressure_angle));
    asked.push(text("--tooth-friction", &args.tooth_friction));
    asked.into_iter().flatten().collect()
}
