//! The command line: what was typed, checked and handed on.

mod after;
mod compare;
mod counts;
mod counts_none;
mod earlier_files;
mod failure;
mod family;
mod fit;
mod fit_output;
mod fit_ticks;
mod fitted_file;
mod improve;
mod improved_design;
mod improved_file;
mod inspect;
mod lengths;
mod levers;
mod map;
mod materials;
mod motor;
mod new;
mod output;
mod page;
mod papers;
mod png;
mod predict;
mod progress;
mod room;
mod scenario_files;
mod season;
mod solve;
mod spread;
mod trade;
mod watch;
mod whole_numbers;

use std::path::{Path, PathBuf};

use clap::{Args, Parser, Subcommand};

use crate::scenario::{AnyScenario, LoadError, NamedFiles, Scenario, load_any_naming, load_naming};

pub use failure::Failure;

/// Tells the designer of a weight-driven pendulum clock, before a part is made, whether the clock keeps going, on how
/// little weight, how long between windings and how fast it runs.
#[derive(Debug, Parser)]
#[command(name = "beatwright", version, about, max_term_width = 110)]
pub struct Cli {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Write a commented starter scenario that works as it is; with a wish (beat, run, fall, escapement, bed) one solved for it.
    New(new::NewArgs),
    /// Tooth counts that give a beat and turn the minute hand once an hour, exact in whole numbers: all of them, ranked, with sizes.
    Counts(counts::CountsArgs),
    /// Train, beat, torque at every arbor, meshes, strength of what holds the weight, run time, action of both pallets: everything that
    /// needs no motion.
    Inspect {
        /// Scenario file (TOML).
        scenario: PathBuf,
        #[command(flatten)]
        common: Common,
    },
    /// Will it keep going? Verdict, amplitude, rate, least weight, run time, where the energy goes; with plots. For a clock with a
    /// [motor]: counts, rate, torque over the twelve hours, current.
    Predict(predict::PredictArgs),
    /// Scenarios side by side: what differs between the files, and the same figures of each, printed and drawn.
    Compare(CompareArgs),
    /// Many copies, each printed and assembled a little differently: how many keep going, the weight that makes 99 % go, and
    /// which dimension to tighten.
    Spread(spread::SpreadArgs),
    /// Sweeps over one or two quantities: where it keeps going and why it stops elsewhere, the stall line, any result.
    Map(MapArgs),
    /// Which quantity to change: what one step of each does to weight reserve, rate, amplitude and run time.
    Levers(levers::LeversArgs),
    /// A better design of the same clock: quantities varied between bounds for the least weight or another aim, within limits, for the clock or
    /// for printed copies of it; with what binds and how far each quantity may move.
    Improve(improve::ImproveArgs),
    /// Run time against weight for other drums and falls of the cord, at a fixed arc margin or weight reserve.
    Trade(trade::TradeArgs),
    /// Sizes and ports of a clock side by side: the figures of each, what makes them differ, which size fits which bed, how small it goes.
    Family(family::FamilyArgs),
    /// What temperature, humidity and air pressure do to rate, swing and least weight, and at which humidity it stops.
    Room {
        /// Scenario file (TOML).
        scenario: PathBuf,
        #[command(flatten)]
        common: Common,
    },
    /// The materials and friction pairs that a scenario can name, with their spread and their sources.
    Materials {
        /// Name of one of them, to see the source of each value.
        name: Option<String>,
        /// Print as JSON.
        #[arg(long)]
        json: bool,
    },
    /// The year in the room, or a log of it: rate and error over time, and what they come from, in minutes a week.
    Season(season::SeasonArgs),
    /// From the wall to the model: what a ring-down, a recovery, a log or the ticks of the clock say of its friction, drag, rate and teeth, with the
    /// scenario that predicts with it.
    Fit(fit::FitArgs),
    /// Papers to build from, for whoever makes the clock: parts, wheels, arbors and what is in each other's way, drill plan and anchor to print
    /// at full size (SVG, DXF), cord, pendulum, setting up, finding faults.
    Papers(papers::PapersArgs),
    /// One self-contained HTML page for builders: verdict, moving escapement, pictures, copies, setting up, cautions.
    Page(page::PageArgs),
}

/// What `compare` takes.
#[derive(Debug, Args)]
struct CompareArgs {
    /// Scenario files (TOML), two or more.
    #[arg(required = true, num_args = 2..)]
    scenarios: Vec<PathBuf>,
    #[command(flatten)]
    common: Common,
}

/// What `map` takes.
#[derive(Debug, Args)]
struct MapArgs {
    /// Scenario file (TOML).
    scenario: PathBuf,
    /// First swept quantity, in the file's units: drive.weight=1kg..4kg:40, the same with :log, or drive.weight=1kg,2kg,4kg
    /// [default: the driving weight against the start arc].
    #[arg(long, value_name = "PATH=VALUES", allow_hyphen_values = true)]
    x: Option<String>,
    /// Second swept quantity.
    #[arg(long, value_name = "PATH=VALUES", requires = "x", allow_hyphen_values = true)]
    y: Option<String>,
    /// Key of a result of `predict`, dotted where nested (action.entry.lock_deg), instead of amplitude, rate and
    /// weight reserve (repeatable).
    #[arg(long = "answer", value_name = "KEY")]
    answers: Vec<String>,
    #[command(flatten)]
    common: Common,
}

/// What all commands on scenarios take.
#[derive(Debug, Clone, Args)]
struct Common {
    /// Set a value of the scenario (of all of them), in the file's own syntax: --set 'drive.weight="3 kg"' (repeatable).
    #[arg(long = "set", value_name = "PATH=VALUE")]
    set: Vec<String>,
    /// Print only JSON to standard output; files are written only with --out.
    #[arg(long)]
    json: bool,
    /// Folder for plots, JSON and CSV [default: below notebooks-out, called after the scenario file and the command, with -trial at the end
    /// under --set].
    #[arg(long, value_name = "DIR")]
    out: Option<PathBuf>,
    /// Write every picture as PNG too, 1600 pixels wide (needs a build with the feature `png`).
    #[arg(long)]
    png: bool,
    /// Threads to use [default: all].
    #[arg(long, value_name = "N", value_parser = clap::value_parser!(u16).range(1..=1024))]
    threads: Option<u16>,
    /// Let a scenario start from files, and name drawings and logs, outside its own folder; without it they have to be in it.
    #[arg(long)]
    files_from_elsewhere: bool,
    /// No notes or progress on standard error.
    #[arg(long)]
    quiet: bool,
}

impl Common {
    /// The scenario of a pendulum clock in a file, under the settings typed.
    fn load(&self, file: &Path) -> Result<Scenario, LoadError> {
        load_naming(file, &self.set, self.named_files())
    }

    /// The same of any clock.
    fn load_any(&self, file: &Path) -> Result<AnyScenario, LoadError> {
        load_any_naming(file, &self.set, self.named_files())
    }

    const fn named_files(&self) -> NamedFiles {
        if self.files_from_elsewhere { NamedFiles::Anywhere } else { NamedFiles::InItsFolder }
    }

    /// Whether standard error says which files were written.
    const fn remarks_on_files(&self) -> bool {
        !self.json && !self.quiet
    }
}

/// Runs what was typed.
///
/// # Errors
/// [`Failure`] with its exit code.
pub fn run(cli: Cli) -> Result<(), Failure> {
    match cli.command {
        Command::New(args) => new::run(&args),
        Command::Counts(args) => counts::run(&args),
        Command::Inspect { scenario, common } => {
            prepare(&common)?;
            inspect::run(&scenario, &common)
        }
        Command::Predict(args) => {
            prepare(&args.common)?;
            predict::run(&args)
        }
        Command::Compare(args) => {
            prepare(&args.common)?;
            compare::run(&args.scenarios, &args.common)
        }
        Command::Spread(args) => {
            prepare(&args.common)?;
            spread::run(&args)
        }
        Command::Map(args) => {
            prepare(&args.common)?;
            map::run(&args)
        }
        Command::Levers(args) => {
            prepare(&args.common)?;
            levers::run(&args)
        }
        Command::Improve(args) => {
            prepare(&args.common)?;
            improve::run(&args)
        }
        Command::Trade(args) => {
            prepare(&args.common)?;
            trade::run(&args)
        }
        Command::Family(args) => {
            prepare(&args.common)?;
            family::run(&args)
        }
        Command::Room { scenario, common } => {
            prepare(&common)?;
            room::run(&scenario, &common)
        }
        Command::Materials { name, json } => materials::run(name.as_deref(), json),
        Command::Season(args) => {
            prepare(&args.common)?;
            season::run(&args)
        }
        Command::Fit(args) => {
            prepare(&args.common)?;
            fit::run(&args)
        }
        Command::Papers(args) => {
            prepare(&args.common)?;
            papers::run(&args)
        }
        Command::Page(args) => {
            prepare(args.common())?;
            page::run(&args)
        }
    }
}

/// What is to be settled before any command on scenarios.
fn prepare(common: &Common) -> Result<(), Failure> {
    png::check(common)?;
    let Some(threads) = common.threads else { return Ok(()) };
    rayon::ThreadPoolBuilder::new()
        .num_threads(usize::from(threads))
        .build_global()
        .map_err(|error| Failure::numeric(format!("cannot start {threads} threads: {error}")))
}
