//! Lock, depth of the bob and weight of a plan, each solved through the clock as it is written.

use crate::answers::prediction::{Prediction, predict, predict_only};
use crate::answers::solve::{Solver, Wanted};
use crate::answers::verdict::Verdict;
use crate::clock::build::{Built, build};
use crate::clock::drive_level::DriveLevel;
use crate::clock::notes::Note;
use crate::clock::printing::bed::largest_factor;
use crate::clock::printing::part_sizes::{MadePart, part_sizes};
use crate::clock::rate_s_per_day;
use crate::clock::side::Side;
use crate::scenario::{NO_OVERRIDES, Scenario, read};
use crate::study::prepare::prepared;

use super::plan::{WishPlan, round};
use super::written::written;
use super::{Granted, NotGranted, WEIGHT_RESERVE, Wish, WishedEscapement};

/// Least lock as printed, deg.
const LOCK_PRINTED_DEG: f64 = 0.7;

/// How near the lock has to come to that, deg.
const LOCK_WITHIN_DEG: f64 = 0.02;

/// Steps of each solution.
const MOST_STEPS: usize = 12;

/// Rounds of weight and depth, each of which changes the other a little.
const MOST_ROUNDS: usize = 4;

/// Step in which depths are written, m, and weights, kg.
const DEPTH_STEP_M: f64 = 1e-6;
const WEIGHT_STEP_KG: f64 = 0.05;

/// Rate that a finished clock may have, s/day; the rating nut does the rest.
const RATE_WITHIN_S_PER_DAY: f64 = 1.0;

/// Weight over the least one at which the depth is first solved.
const SURE_TO_GO: f64 = 2.0;

fn unsolved(what: impl ToString) -> NotGranted {
    NotGranted::Unsolved { what: what.to_string(), nearest: None }
}

/// The plan as a scenario made ready.
fn read_plan(wish: &Wish, plan: &WishPlan) -> Result<(String, Scenario), NotGranted> {
    let text = written(wish, plan).map_err(|missing| unsolved(format!("the starter has no {missing}")))?;
    let scenario = read("wish", &text, &NO_OVERRIDES).and_then(prepared).map_err(unsolved)?;
    Ok((text, scenario))
}

fn built_plan(wish: &Wish, plan: &WishPlan) -> Result<Built, NotGranted> {
    let (_, scenario) = read_plan(wish, plan)?;
    build(&scenario.in_room()).map_err(unsolved)
}

/// Weight rounded up.
fn weight_up_kg(weight_kg: f64) -> f64 {
    round((weight_kg / WEIGHT_STEP_KG - 1e-9).ceil() * WEIGHT_STEP_KG, 1e-3)
}

/// The whole clock of a plan.
pub(super) fn solved(wish: &Wish, mut plan: WishPlan) -> Result<Granted, NotGranted> {
    fits(wish, &plan)?;
    if wish.escapement == WishedEscapement::DeadBeat {
        solve_lock(wish, &mut plan)?;
    }
    workshop(wish, &plan)?;
    plan.weight_kg = SURE_TO_GO * least_kg(wish, &plan, false)?;
    for _ in 0..MOST_ROUNDS {
        solve_depth(wish, &mut plan)?;
        let weight_kg = weight_up_kg(WEIGHT_RESERVE * least_kg(wish, &plan, true)?);
        let is_settled = weight_kg == plan.weight_kg;
        plan.weight_kg = weight_kg;
        if is_settled {
            break;
        }
    }
    solve_depth(wish, &mut plan)?;
    if plan.weight_kg > wish.most_weight_kg {
        // The power is the same, so the run goes with the weight.
        let share = wish.most_weight_kg / plan.weight_kg;
        return Err(NotGranted::Weight {
            weight_kg: plan.weight_kg,
            most_kg: wish.most_weight_kg,
            run_s: wish.run_s,
            fall_m: wish.fall_m,
            lighter_run_s: share * wish.run_s,
        });
    }
    let (text, scenario) = read_plan(wish, &plan)?;
    let prediction = predict(&scenario.in_room()).map_err(unsolved)?;
    checked(wish, &prediction)?;
    Ok(Granted { text, scenario, prediction })
}

/// What the finished clock must be.
fn checked(wish: &Wish, prediction: &Prediction) -> Result<(), NotGranted> {
    if !matches!(prediction.verdict, Verdict::KeepsGoing(_)) {
        return Err(unsolved("it does not keep going from its start arc"));
    }
    if prediction.meets_margin() != Some(true) {
        return Err(unsolved("its swing has not the margin asked for"));
    }
    let period_s = prediction.steady.as_ref().map(|steady| steady.measured.period_s);
    let rate = prediction
        .built
        .train_period_s()
        .zip(period_s)
        .map(|(required_s, period_s)| rate_s_per_day(required_s, period_s));
    if rate.is_none_or(|rate| !(rate.abs() <= RATE_WITHIN_S_PER_DAY)) {
        return Err(unsolved("no depth of its bob brings it to time"));
    }
    if prediction.run_time.is_none_or(|run| run.run_time_s < wish.run_s * (1.0 - 1e-9)) {
        return Err(unsolved("it does not run as long as asked"));
    }
    Ok(())
}

/// What a maker sees at once on the drawing must be in order, before anything is solved.
fn workshop(wish: &Wish, plan: &WishPlan) -> Result<(), NotGranted> {
    for note in &built_plan(wish, plan)?.workshop_notes {
        match note {
            Note::TeethTooFine { driver, .. } => {
                return Err(unsolved(format!("the teeth of arbor `{driver}` are too fine for the bead")));
            }
            Note::WheelOverArbor { wheel, arbor, .. } => {
                return Err(unsolved(format!("the wheel of arbor `{wheel}` reaches over arbor `{arbor}`")));
            }
            _ => {}
        }
    }
    Ok(())
}

/// Whether every printed part lies on the bed.
fn fits(wish: &Wish, plan: &WishPlan) -> Result<(), NotGranted> {
    let (_, scenario) = read_plan(wish, plan)?;
    for part in part_sizes(&scenario.in_room()).iter().filter(|part| part.in_one_piece) {
        let bed = wish.bed;
        let factor = largest_factor(part.footprint, None, &bed);
        if factor < 1.0 {
            let needed_m = bed.width_m.min(bed.depth_m) / factor;
            return Err(NotGranted::Bed { part: name(&part.part), needed_m, bed, bead_radius_m: None, nearest: None });
        }
        if let Some(needed_m) = part.height_m.filter(|part_m| bed.height_m.is_some_and(|bed_m| *part_m > bed_m)) {
            return Err(NotGranted::Height { part: name(&part.part), needed_m, bed, nearest: None });
        }
    }
    Ok(())
}

fn name(part: &MadePart) -> String {
    match part {
        MadePart::Wheel(arbor) => format!("the wheel of arbor `{arbor}`"),
        MadePart::EscapeWheel => "the escape wheel".to_owned(),
        MadePart::Pallets => "the pair of pallets".to_owned(),
        MadePart::Drum => "the drum".to_owned(),
        MadePart::Pulley => "the pulley".to_owned(),
        MadePart::Bob => "the bob".to_owned(),
        MadePart::Frame => "the frame".to_owned(),
    }
}

/// Draws the lock so that as printed the lesser of both is as it should be.
fn solve_lock(wish: &Wish, plan: &mut WishPlan) -> Result<(), NotGranted> {
    for _ in 0..MOST_STEPS {
        let built = built_plan(wish, plan)?;
        let action = built.action.ok_or_else(|| unsolved("the pallets have no action"))?;
        let printed_deg = action[Side::Entry].lock_rad.min(action[Side::Exit].lock_rad).to_degrees();
        let missing_deg = LOCK_PRINTED_DEG - printed_deg;
        if missing_deg.abs() <= LOCK_WITHIN_DEG {
            return Ok(());
        }
        plan.lock_deg = round(plan.lock_deg + missing_deg, 0.01);
    }
    Err(unsolved(format!("no lock leaves {LOCK_PRINTED_DEG} deg as printed")))
}

/// The least weight of the plan, kg, with the margin or without.
fn least_kg(wish: &Wish, plan: &WishPlan, with_margin: bool) -> Result<f64, NotGranted> {
    let (_, scenario) = read_plan(wish, plan)?;
    let prediction = predict_only(&scenario.in_room(), Wanted { margin: true, ..Wanted::LEAST }).map_err(unsolved)?;
    let least = prediction.least.ok_or_else(|| unsolved("no weight keeps it going"))?;
    let level = if with_margin { least.with_margin } else { Some(least.bare) };
    level.and_then(DriveLevel::kg).ok_or_else(|| unsolved("no weight gives its swing the margin"))
}

/// Hangs the bob where the clock is on time: the depth goes with the square of the period, again and again.
fn solve_depth(wish: &Wish, plan: &mut WishPlan) -> Result<(), NotGranted> {
    let mut best: Option<(f64, f64)> = None;
    for _ in 0..MOST_STEPS {
        plan.depth_m = round(plan.depth_m, DEPTH_STEP_M);
        let built = built_plan(wish, plan)?;
        let required_s = built.train_period_s().ok_or_else(|| unsolved("the train has no time"))?;
        // The swing in which it ends from its start arc: there may be others.
        let swing =
            Solver::new(&built).steady_swing().map_err(|_| unsolved("it has no steady swing to bring to time"))?;
        let period_s = swing.measured.period_s;
        let rate = rate_s_per_day(required_s, period_s).abs();
        let here = plan.depth_m;
        if best.is_none_or(|(best, _)| rate < best) {
            best = Some((rate, here));
        }
        let next_m = round(here * (required_s / period_s).powi(2), DEPTH_STEP_M);
        if next_m == here {
            break;
        }
        plan.depth_m = next_m;
    }
    if let Some((_, depth_m)) = best {
        plan.depth_m = depth_m;
    }
    Ok(())
}
