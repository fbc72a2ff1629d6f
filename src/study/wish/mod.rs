//! A clock for a wish: from beat, run, fall, escapement and a printer's bed to a whole scenario that keeps going with its margin.
//!
//! The scenario is the starter with other values, written out and read again for every step, so that what is solved is what is written.
//! Sizes that nothing asks for are in proportion to those of a seconds clock (`plan`); tooth counts, drum, lock, bob and weight are
//! solved (`gears`, `solve`).

mod gears;
mod nearest;
mod plan;
mod solve;
mod starter_lines;
mod written;

use num_rational::Ratio;

use crate::answers::prediction::Prediction;
use crate::clock::printing::bed::Bed;
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR};
use crate::numerics::digits::{to_digits, to_six_decimals};
use crate::scenario::Scenario;

/// Weight over the least one with the margin: what nobody knows of friction and prints is in it (common practice, no source).
pub const WEIGHT_RESERVE: f64 = 1.25;

/// Beats for which clocks are wished, s.
pub const BEAT_S: (f64, f64) = (0.2, 2.0);

/// A tenth of a day, s.
const TENTH_S: f64 = 0.1 * SECONDS_PER_DAY;

/// Escapement that is wished for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WishedEscapement {
    /// Dead-beat.
    DeadBeat,
    /// Recoil anchor.
    Recoil,
    /// Pallets that are pins, the lift on the teeth.
    PinPallet,
}

/// What a maker wishes for.
#[derive(Debug, Clone, PartialEq)]
pub struct Wish {
    /// Name of the clock.
    pub name: String,
    /// The beat, s, exactly.
    pub beat_s: Ratio<u128>,
    /// Run from one winding to the next, s.
    pub run_s: f64,
    /// Fall of the weight, m.
    pub fall_m: f64,
    /// Escapement.
    pub escapement: WishedEscapement,
    /// The bed on which every part is to fit.
    pub bed: Bed,
    /// Radius of the bead that the printer lays, m.
    pub bead_radius_m: f64,
    /// The heaviest driving weight, kg.
    pub most_weight_kg: f64,
}

impl Wish {
    /// The beat, s.
    #[must_use]
    pub fn beat(&self) -> f64 {
        seconds(self.beat_s)
    }
}

fn seconds(time_s: Ratio<u128>) -> f64 {
    *time_s.numer() as f64 / *time_s.denom() as f64
}

/// A wish come true.
#[derive(Debug, Clone)]
pub struct Granted {
    /// The scenario as it is to be written.
    pub text: String,
    /// The same read and made ready.
    pub scenario: Scenario,
    /// What is predicted of it.
    pub prediction: Prediction,
}

/// Why a wish cannot be had, with one near to it that can.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
pub enum NotGranted {
    /// No tooth counts give the beat.
    #[error(
        "no tooth counts of printable gears give a beat of {beat_s} s{}; `beatwright counts --beat {beat_s}s --least-leaves 12` tells why",
        near_beat(*.nearest_s)
    )]
    Counts {
        /// The beat, s.
        beat_s: f64,
        /// A beat near it for which a clock was found, s.
        nearest_s: Option<Ratio<u128>>,
    },
    /// No great wheel gives the run.
    #[error(
        "no great wheel that fits the bed runs {} on a fall of {fall_m:.2} m; {}",
        lasting(*.run_s), or_none(*.nearest_s, |days| {
            let which = if nearest_s < run_s { "longest" } else { "shortest" };
            format!("the {which} run that was found is {days:.1} days (--run {days:.1}d)")
        })
    )]
    Run {
        /// Run wished for, s.
        run_s: f64,
        /// Fall, m.
        fall_m: f64,
        /// Longest run that was found, or where it is too short a run the shortest, s; 0 where none was found.
        nearest_s: f64,
    },
    /// A part does not fit the bed.
    #[error(
        "{part} needs a bed of {:.0} mm and does not fit one of {}{}; {}",
        (1e3 * needed_m - 1e-6).ceil(), bed_words(.bed), of_bead(*.bead_radius_m), bed_that_does(.nearest.as_ref())
    )]
    Bed {
        /// The part.
        part: String,
        /// Side of the square bed that it needs, m.
        needed_m: f64,
        /// The bed.
        bed: Bed,
        /// Radius of the bead for which its teeth have to be so coarse, m; `None` of what has no teeth.
        bead_radius_m: Option<f64>,
        /// A bed on which a clock was found.
        nearest: Option<Bed>,
    },
    /// A part is too high for the printer.
    #[error("{part} is {:.1} mm high, more than a printer of {} takes; {}", 1e3 * needed_m, bed_words(.bed), bed_that_does(.nearest.as_ref()))]
    Height {
        /// The part.
        part: String,
        /// Its height, m.
        needed_m: f64,
        /// The bed.
        bed: Bed,
        /// A bed on which a clock was found.
        nearest: Option<Bed>,
    },
    /// The weight is too heavy.
    #[error(
        "the clock needs {weight_kg:.2} kg for {} on a fall of {}, more than the {most_kg:.2} kg that there may \
         be; {}; or allow more (--most-weight {:.1}kg), or a longer fall",
        lasting(*.run_s),
        fall_words(*.fall_m),
        or_none(*.lighter_run_s, |days| format!("the longest run that was found on that much is {days:.1} days (--run {days:.1}d)")),
        (10.0 * weight_kg).ceil() / 10.0
    )]
    Weight {
        /// Weight needed, kg.
        weight_kg: f64,
        /// Most that there may be, kg.
        most_kg: f64,
        /// Run wished for, s.
        run_s: f64,
        /// Fall, m.
        fall_m: f64,
        /// Longest run that was found with the most weight, s; 0 where none was found.
        lighter_run_s: f64,
    },
    /// The design for this wish does not come out.
    #[error("no clock was found for this wish: {what}{}", would_do(.nearest.as_deref()))]
    Unsolved {
        /// What failed.
        what: String,
        /// Options that would do in place of those of the wish, where any were found.
        nearest: Option<String>,
    },
}

fn would_do(nearest: Option<&str>) -> String {
    nearest.map_or_else(String::new, |nearest| format!("; with {nearest} one was found"))
}

fn or_none(run_s: f64, text: impl FnOnce(f64) -> String) -> String {
    if run_s > 0.0 { text(f64::from(tenths_down(run_s)) / 10.0) } else { "no run was found that works".to_owned() }
}

fn near_beat(nearest_s: Option<Ratio<u128>>) -> String {
    let near = |nearest| format!("; one near it for which a clock was found is --beat {nearest}s");
    nearest_s.map_or_else(String::new, near)
}

fn of_bead(bead_radius_m: Option<f64>) -> String {
    let of = |radius_m: f64| format!(" with teeth coarse enough for a bead of {:.2} mm", 1e3 * radius_m);
    bead_radius_m.map_or_else(String::new, of)
}

fn bed_that_does(bed: Option<&Bed>) -> String {
    let does = |bed| format!("a bed that does is --bed {}", bed_sides(bed));
    bed.map_or_else(|| "no bed was found that does".to_owned(), does)
}

/// A bed as it is written in millimetres, "220x220x250 mm".
fn bed_words(bed: &Bed) -> String {
    format!("{} mm", bed_sides(bed))
}

/// The same without its unit.
fn bed_sides(bed: &Bed) -> String {
    let sides = [Some(bed.width_m), Some(bed.depth_m), bed.height_m].into_iter().flatten();
    sides.map(|side_m| to_six_decimals(1e3 * side_m).to_string()).collect::<Vec<_>>().join("x")
}

/// Days, or hours of less than two of them.
fn lasting(run_s: f64) -> String {
    let days = run_s / SECONDS_PER_DAY;
    if days >= 2.0 {
        return format!("{days:.1} days");
    }
    let hours = format!("{:.1}", run_s / SECONDS_PER_HOUR);
    if hours == "1.0" { "1 hour".to_owned() } else { format!("{hours} hours") }
}

/// Fall below which it is told in millimetres, m.
const SHORT_FALL_M: f64 = 0.1;

fn fall_words(fall_m: f64) -> String {
    if fall_m < SHORT_FALL_M { format!("{} mm", to_digits(1e3 * fall_m, 2)) } else { format!("{fall_m:.2} m") }
}

/// Tenths of a day, in which runs are told, rounded down.
fn tenths_down(run_s: f64) -> u32 {
    (run_s / TENTH_S + 1e-9).floor() as u32
}

/// The clock for a wish.
///
/// # Errors
/// [`NotGranted`], with the nearest wish that can be had.
pub fn grant(wish: &Wish) -> Result<Granted, NotGranted> {
    first_that_goes(wish).map_err(|refused| nearest::with_nearest(wish, refused))
}

/// The first plan for a wish that goes: what one escapement does not do, another size of it may.
fn first_that_goes(wish: &Wish) -> Result<Granted, NotGranted> {
    let gears = gears::chosen(wish)?;
    let mut first_refusal = None;
    for variant in plan::Variant::all(wish.escapement) {
        let plan = plan::WishPlan::first(wish, gears.clone(), variant)?;
        match solve::solved(wish, plan) {
            Err(refusal @ NotGranted::Unsolved { .. }) => {
                first_refusal.get_or_insert(refusal);
            }
            other => return other,
        }
    }
    Err(first_refusal.unwrap_or(NotGranted::Unsolved { what: "nothing was tried".to_owned(), nearest: None }))
}
