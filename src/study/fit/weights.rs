//! The steady swing on several weights: friction of pallets and train together.
//!
//! One factor on all frictions but the pendulum's own, which a ring-down gives: on more weight the clock swings further, and friction decides
//! how much further.

use crate::answers::prediction::predict_only;
use crate::answers::solve::{Solver, Wanted};
use crate::clock::build::{Built, build};
use crate::clock::design::{Design, DriveDesign};
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::clock::other_frictions::with_frictions_of;
use crate::scenario::measured::{ColumnMeasure, MeasuredTable, WantedColumn, WantedTable, WantedTime};
use crate::study::jobs::{Watch, each};
use crate::units::Kind;

use super::{Estimate, FittedValue, NoFit};

/// What is looked for in a table of weights.
pub const WEIGHTS: WantedTable = WantedTable {
    what: "table of weights",
    example: "weight_kg,amplitude_deg",
    time: WantedTime { bare_unit: None, dates: true, even_steps: false },
    columns: &[
        WantedColumn { names: &["weight", "mass"], measure: ColumnMeasure::Quantity(Kind::Mass) },
        WantedColumn {
            names: &["amplitude", "semi-arc", "semi arc", "semi_arc", "semiarc"],
            measure: ColumnMeasure::Quantity(Kind::Angle),
        },
    ],
    needed: &[&["weight"], &["amplitude"]],
    least_rows: 1,
};

/// Rows on which the clock goes that it takes: a factor and two to spare.
pub const LEAST_ROWS: usize = 3;

/// Factors on the frictions between which is looked.
const FACTORS: (f64, f64) = (0.05, 10.0);

/// Factors of the first look, even in their logarithms.
const FIRST_LOOK: usize = 17;

/// Rounds of the search about the best of them; each leaves a third of the range or less.
const ROUNDS: usize = 8;

/// Factors a round tries.
const A_ROUND: usize = 4;

/// Step of the factor for slopes, relative.
const STEP: f64 = 0.01;

/// One weight that was hung on the clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HungWeight {
    /// Weight, kg.
    pub weight_kg: f64,
    /// Steady amplitude, rad; 0 where the clock stopped.
    pub amplitude_rad: f64,
    /// What the scenario predicts; `None` where it stops.
    pub predicted_rad: Option<f64>,
    /// The same with the frictions that were fitted.
    pub fitted_rad: Option<f64>,
    /// Line in the file.
    pub line: usize,
}

/// Friction of pallets and train.
#[derive(Debug, Clone, PartialEq)]
pub struct WeightsFit {
    /// The weights, in the order of the file.
    pub rows: Vec<HungWeight>,
    /// Factor on all frictions but the pendulum's.
    pub factor: Estimate,
    /// Root mean square of what is left of the rows on which it went, rad; one on which it would stop with the friction counts as no swing.
    pub rms_rad: f64,
    /// Least weight that the scenario predicts, kg.
    pub predicted_least_kg: Option<f64>,
    /// Least weight with the frictions that were fitted, kg; `None` where there is none, or none with a standard deviation more of friction.
    pub fitted_least_kg: Option<Estimate>,
    /// Largest weight on which it stopped and least on which it went, kg, where rows say so.
    pub measured_least_kg: (Option<f64>, Option<f64>),
    /// The frictions of the scenario that the factor changes.
    pub fitted: Vec<FittedValue>,
}

/// The clock on a weight, its frictions but the pendulum's so many times as large.
fn on(design: &Design, weight_kg: f64, factor: f64) -> Design {
    let mut other = design.clone();
    if let Some(DriveDesign::Weight(weight)) = &mut other.drive {
        weight.weight_kg = weight_kg;
    }
    rub(&mut other, factor);
    other
}

/// All frictions but the pendulum's so many times as large.
fn rub(design: &mut Design, factor: f64) {
    let frictions = design.frictions_mut().into_iter().filter(|at| !is_pendulums(&at.path));
    frictions.for_each(|at| *at.friction = at.friction.times(factor));
}

fn is_pendulums(path: &str) -> bool {
    path.starts_with("pendulum.")
}

/// Steady amplitude, rad; `None` where it stops or cannot be built.
fn amplitude_rad(design: &Design) -> Option<f64> {
    let found = predict_only(&InRoom::at_home(design), Wanted::NOTHING).ok()?;
    found.steady.map(|steady| steady.measured.semi_arc_rad())
}

/// A clock that was built once and is tried with other frictions on other weights.
struct Tried<'d> {
    design: &'d Design,
    built: Built,
}

impl<'d> Tried<'d> {
    fn of(design: &'d Design) -> Result<Self, NoFit> {
        let built = build(&InRoom::at_home(design));
        built.map(|built| Self { design, built }).map_err(|error| NoFit::NotSuch(error.to_string()))
    }

    /// Its steady amplitudes on weights, kg, each near the measured one, rad, whatever its start; `None` where it stops.
    fn amplitudes_rad(&self, going: &[(f64, f64)], factor: f64) -> Vec<Option<f64>> {
        let mut other = self.design.clone();
        rub(&mut other, factor);
        let rough = with_frictions_of(&InRoom::at_home(&other), self.built.clone()).ok();
        let rough = rough.filter(|rough| !rough.mechanism.jams);
        let amplitude_rad = |&(weight_kg, measured_rad): &(f64, f64)| {
            let solver = Solver::new(rough.as_ref()?).under(DriveLevel::Weight(weight_kg)).near(measured_rad);
            solver.any_swing().ok().map(|swing| swing.measured.semi_arc_rad())
        };
        going.iter().map(amplitude_rad).collect()
    }
}

fn least_kg(design: &Design) -> Option<f64> {
    predict_only(&InRoom::at_home(design), Wanted::LEAST).ok()?.least?.bare.kg()
}

/// What the weights in `table` say of the friction of `design`; `None` where `watch` stopped the search.
///
/// # Errors
/// [`NoFit`]: too few rows, no weight that drives, frictions that do nothing.
pub fn fit_weights(table: &MeasuredTable, design: &Design, watch: &dyn Watch) -> Result<Option<WeightsFit>, NoFit> {
    if !matches!(design.drive, Some(DriveDesign::Weight(_))) {
        return Err(NoFit::NotSuch(
            "the scenario has no weight: weights can be fitted to a clock with a [drive] by weight alone".to_owned(),
        ));
    }
    let rows: Vec<(f64, f64, usize)> = (0..table.lines.len())
        .filter_map(|row| Some((table.cell(0, row)?, table.cell(1, row)?, table.lines[row])))
        .collect();
    if let Some((_, _, line)) = rows.iter().find(|row| !(row.0 > 0.0) || row.1 < 0.0) {
        return Err(NoFit::NotSuch(format!(
            "line {line}: weights are above zero, amplitudes zero (it stopped) or above"
        )));
    }
    let going: Vec<(f64, f64)> = rows.iter().filter(|row| row.1 > 0.0).map(|row| (row.0, row.1)).collect();
    if going.len() < LEAST_ROWS {
        return Err(NoFit::TooFewRows {
            rows: going.len(),
            needed: LEAST_ROWS,
            what: "a friction; the clock has to go on each",
        });
    }
    let range = going.iter().fold((f64::INFINITY, 0.0_f64), |range, row| (range.0.min(row.0), range.1.max(row.0)));
    if !(range.1 > 1.05 * range.0) {
        return Err(NoFit::Flat { what: "the weight" });
    }
    let tried = Tried::of(design)?;
    let Some(factor) = best_factor(&going, &tried, watch) else { return Ok(None) };
    if !(factor > 1.05 * FACTORS.0 && factor < 0.95 * FACTORS.1) {
        return Err(NoFit::NotSuch(format!(
            "no friction between {} and {} times the scenario's gives these amplitudes: fit the pendulum's own losses first (--ring-down), \
             and check the weights",
            FACTORS.0, FACTORS.1
        )));
    }
    let jobs: Vec<(f64, f64)> = rows.iter().flat_map(|row| [1.0, factor].map(|factor| (row.0, factor))).collect();
    let found = each(&jobs, "weights", watch, |&(weight, factor)| amplitude_rad(&on(design, weight, factor)));
    if found.iter().any(Option::is_none) {
        return Ok(None);
    }
    let found: Vec<Option<f64>> = found.into_iter().map(Option::flatten).collect();
    let rows: Vec<HungWeight> = (rows.iter().zip(found.chunks(2)))
        .map(|(row, found)| HungWeight {
            weight_kg: row.0,
            amplitude_rad: row.1,
            predicted_rad: found[0],
            fitted_rad: found[1],
            line: row.2,
        })
        .collect();
    let [less, fitted, more] = [1.0 - STEP, 1.0, 1.0 + STEP].map(|step| tried.amplitudes_rad(&going, step * factor));
    let square = square_left(&going, &fitted);
    // A swing that a step of the factor ends has no slope.
    let both = less.iter().zip(&more).filter_map(|(less, more)| Some(((*less)?, (*more)?)));
    let slopes: f64 = both.map(|(less, more)| ((more - less) / (2.0 * STEP * factor)).powi(2)).sum();
    let used = going.len() as f64;
    if !(slopes > 0.0) {
        return Err(NoFit::NotSuch(
            "the swing on these weights does not depend on the friction of pallets and train".to_owned(),
        ));
    }
    let sigma = (square / (used - 1.0) / slopes).sqrt();
    if !(sigma < factor) {
        return Err(NoFit::NotSuch(format!(
            "the amplitudes scatter too much: the friction would be {factor:.2} +/- {sigma:.2} times the scenario's. Measure on more weights, \
             the least on which it goes among them"
        )));
    }
    let factor = Estimate { value: factor, sigma };
    let own_kg = rows.first().map_or(1.0, |row| row.weight_kg);
    let leasts = [1.0, factor.value, factor.value + factor.sigma].map(|factor| least_kg(&on(design, own_kg, factor)));
    let fitted_least_kg = leasts[1].zip(leasts[2]).map(|(value, more)| Estimate { value, sigma: (more - value).abs() });
    let stopped = rows.iter().filter(|row| row.amplitude_rad == 0.0).map(|row| row.weight_kg).max_by(f64::total_cmp);
    let went = rows.iter().filter(|row| row.amplitude_rad > 0.0).map(|row| row.weight_kg).min_by(f64::total_cmp);
    Ok(Some(WeightsFit {
        rms_rad: (square / used).sqrt(),
        fitted: fitted_values(design, factor),
        predicted_least_kg: leasts[0],
        fitted_least_kg,
        measured_least_kg: (stopped, went),
        rows,
        factor,
    }))
}

/// The factor that leaves the least squares, by looks ever closer; a row on which the clock would stop counts as no swing. `None` where
/// `watch` stopped.
fn best_factor(going: &[(f64, f64)], tried: &Tried<'_>, watch: &dyn Watch) -> Option<f64> {
    let squares = |factors: &[f64]| -> Option<Vec<f64>> {
        let found =
            each(factors, "frictions", watch, |&factor| square_left(going, &tried.amplitudes_rad(going, factor)));
        found.into_iter().collect()
    };
    let (low, high) = (FACTORS.0.ln(), FACTORS.1.ln());
    let mut looked: Vec<(f64, f64)> = Vec::new();
    let mut look: Vec<f64> =
        (0..FIRST_LOOK).map(|step| low + (high - low) * step as f64 / (FIRST_LOOK - 1) as f64).collect();
    for _ in 0..=ROUNDS {
        let factors: Vec<f64> = look.iter().map(|log| log.exp()).collect();
        looked.extend(look.iter().copied().zip(squares(&factors)?));
        looked.sort_by(|one, other| one.0.total_cmp(&other.0));
        let best = (0..looked.len()).min_by(|&one, &other| looked[one].1.total_cmp(&looked[other].1))?;
        let (from, to) = (looked[best.saturating_sub(1)].0, looked[(best + 1).min(looked.len() - 1)].0);
        look = (1..=A_ROUND).map(|step| from + (to - from) * step as f64 / (A_ROUND + 1) as f64).collect();
    }
    looked.iter().min_by(|one, other| one.1.total_cmp(&other.1)).map(|best| best.0.exp())
}

/// Sum of the squares of what is left of weights and their amplitudes, rad^2; where the clock stops, of all of the amplitude.
fn square_left(going: &[(f64, f64)], found: &[Option<f64>]) -> f64 {
    going.iter().zip(found).map(|(row, found)| (found.unwrap_or(0.0) - row.1).powi(2)).sum()
}

/// All frictions that the factor changes, so many times as large.
fn fitted_values(design: &Design, factor: Estimate) -> Vec<FittedValue> {
    let changed =
        design.frictions().into_iter().filter(|known| !is_pendulums(&known.path) && known.friction.value > 0.0);
    changed
        .map(|known| FittedValue { path: known.path, kind: known.kind, estimate: factor.times(known.friction.value) })
        .collect()
}
