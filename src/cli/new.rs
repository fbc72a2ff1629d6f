//! `new`: a scenario to start from, the starter or a clock for a wish.

use std::io::{ErrorKind, Write as _};
use std::path::{Path, PathBuf};

use clap::{Args, ValueEnum};

use crate::clock::SECONDS_PER_DAY;
use crate::clock::drive_level::DriveLevel;
use crate::clock::rate_s_per_day;
use crate::report::words::numbers::signed;
use crate::scenario::{bed_of, starter};
use crate::study::wish::{BEAT_S, Granted, NotGranted, Wish, WishedEscapement, grant};
use crate::units::{Kind, exact_in_si};

use super::failure::Failure;
use super::lengths::positive;
use super::output::print;

/// Escapement that is wished for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
enum EscapementWord {
    /// Dead-beat.
    DeadBeat,
    /// Recoil anchor.
    Recoil,
    /// Pin pallets.
    PinPallet,
}

/// What `new` takes.
#[derive(Debug, Args)]
pub(super) struct NewArgs {
    /// File to write; an existing one is left alone.
    file: PathBuf,
    /// Wish for a beat: 0.75s, 1/3s [default with any other wish: 1s].
    #[arg(long, value_name = "TIME", allow_hyphen_values = true)]
    beat: Option<String>,
    /// Run from one winding to the next [default with any other wish: 8d].
    #[arg(long, value_name = "TIME")]
    run: Option<String>,
    /// Fall of the weight [default with any other wish: 1.2m].
    #[arg(long, value_name = "LENGTH")]
    fall: Option<String>,
    /// Escapement [default with any other wish: dead-beat].
    #[arg(long, value_enum)]
    escapement: Option<EscapementWord>,
    /// Bed of the printer on which every part has to fit, with or without its height, in mm: 220x220x250 [default with any other wish:
    /// 220x220x250].
    #[arg(long, value_name = "SIZE", allow_hyphen_values = true)]
    bed: Option<String>,
    /// Radius of the bead that the printer lays, half the nozzle [default with any other wish: 0.2mm].
    #[arg(long, value_name = "LENGTH")]
    bead_radius: Option<String>,
    /// Heaviest driving weight [default with any other wish: 10kg].
    #[arg(long, value_name = "MASS")]
    most_weight: Option<String>,
    /// Name of the clock [default with any wish: My clock].
    #[arg(long)]
    name: Option<String>,
}

pub(super) fn run(args: &NewArgs) -> Result<(), Failure> {
    let file = &args.file;
    let shown = file.display();
    refuse_without_folder(file)?;
    let Some(wish) = wish_of(args)? else {
        write_new(file, starter())?;
        return print(&format!("wrote {shown}; next: beatwright predict {shown}\n"));
    };
    // What is there is told before anything is solved.
    if file.exists() {
        return Err(exists(file));
    }
    let granted = grant(&wish).map_err(|error| match error {
        NotGranted::Unsolved { .. } => Failure::numeric(error.to_string()),
        _ => Failure::arguments(error.to_string()),
    })?;
    write_new(file, &granted.text)?;
    print(&format!("{}wrote {shown}; next: beatwright predict {shown}\n", summary(&granted)))
}

fn exists(file: &Path) -> Failure {
    Failure::arguments(format!("{} already exists and was not changed; choose another name", file.display()))
}

fn write_new(file: &Path, text: &str) -> Result<(), Failure> {
    let shown = file.display();
    let mut handle = std::fs::File::create_new(file).map_err(|error| match error.kind() {
        ErrorKind::AlreadyExists => exists(file),
        _ => Failure::arguments(format!("cannot write {shown}: {error}")),
    })?;
    handle.write_all(text.as_bytes()).map_err(|error| {
        drop(handle);
        // Half a scenario is none.
        let _ = std::fs::remove_file(file);
        Failure::numeric(format!("cannot write {shown}: {error}"))
    })
}

/// What cannot be written for want of a folder is refused before anything is solved.
fn refuse_without_folder(file: &Path) -> Result<(), Failure> {
    match file.parent().filter(|folder| !folder.as_os_str().is_empty() && !folder.is_dir()) {
        Some(folder) => {
            let message = format!("cannot write {}: there is no folder {}", file.display(), folder.display());
            Err(Failure::arguments(message))
        }
        None => Ok(()),
    }
}

/// What is wished for; `None` where nothing is, and the starter is written.
fn wish_of(args: &NewArgs) -> Result<Option<Wish>, Failure> {
    let texts = [&args.beat, &args.run, &args.fall, &args.bed, &args.bead_radius, &args.most_weight, &args.name];
    if texts.iter().all(|text| text.is_none()) && args.escapement.is_none() {
        return Ok(None);
    }
    let or = |text: &Option<String>, usual: &str| text.clone().unwrap_or_else(|| usual.to_owned());
    let beat = or(&args.beat, "1s");
    let beat_s = match exact_in_si(&beat, Kind::Time) {
        Ok(Some(beat_s)) => beat_s,
        Ok(None) => {
            return Err(Failure::arguments(format!(
                "--beat {beat}: this is no beat; write a decimal or a fraction above 0, like 0.75s or 1/3s"
            )));
        }
        Err(error) => return Err(Failure::arguments(format!("--beat {beat}: {error}; {}", error.help(Kind::Time)))),
    };
    let bed = or(&args.bed, "220x220x250");
    let name = or(&args.name, "My clock");
    if name.trim().is_empty() || name.chars().any(char::is_control) {
        return Err(Failure::arguments("--name: give a name of one line".to_owned()));
    }
    let wish = Wish {
        name,
        beat_s,
        run_s: positive("--run", &or(&args.run, "8d"), Kind::Time)?,
        fall_m: positive("--fall", &or(&args.fall, "1.2m"), Kind::Length)?,
        escapement: match args.escapement.unwrap_or(EscapementWord::DeadBeat) {
            EscapementWord::DeadBeat => WishedEscapement::DeadBeat,
            EscapementWord::Recoil => WishedEscapement::Recoil,
            EscapementWord::PinPallet => WishedEscapement::PinPallet,
        },
        bed: bed_of(&bed).map_err(|what| Failure::arguments(format!("--bed {bed}: {what}")))?,
        bead_radius_m: positive("--bead-radius", &or(&args.bead_radius, "0.2mm"), Kind::Length)?,
        most_weight_kg: positive("--most-weight", &or(&args.most_weight, "10kg"), Kind::Mass)?,
    };
    if !(BEAT_S.0..=BEAT_S.1).contains(&wish.beat()) {
        return Err(Failure::arguments(format!("--beat {beat}: give a beat from {} s to {} s", BEAT_S.0, BEAT_S.1)));
    }
    Ok(Some(wish))
}

/// What has come of the wish, in a few lines.
fn summary(granted: &Granted) -> String {
    let prediction = &granted.prediction;
    let built = &prediction.built;
    let weight_kg = built.weight_drive.as_ref().map_or(0.0, |drive| drive.weight_kg);
    let margin = prediction.least.and_then(|least| least.with_margin).and_then(DriveLevel::kg);
    let days = prediction.run_time.map_or(0.0, |run| run.run_time_s / SECONDS_PER_DAY);
    let mut text = format!("{}: keeps going with its margin\n", granted.scenario.design.name);
    if let Some(margin_kg) = margin {
        text.push_str(&format!("  weight    {weight_kg:.2} kg; the least with the margin is {margin_kg:.2} kg\n"));
    }
    text.push_str(&format!("  run       {days:.2} days\n"));
    if let (Some(steady), Some(required_s)) = (&prediction.steady, built.train_period_s()) {
        let measured = &steady.measured;
        text.push_str(&format!(
            "  swing     {:.2} deg to each side; rate {} s/day before the nut is turned\n",
            measured.semi_arc_rad().to_degrees(),
            signed(rate_s_per_day(required_s, measured.period_s), 1)
        ));
    }
    text
}
