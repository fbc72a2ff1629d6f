//! Printed copies of a candidate: the number that a share of them keeps to.

use crate::answers::no_answer::NoAnswer;
use crate::answers::solve::Wanted;
use crate::clock::drive_level::DriveLevel;
use crate::clock::environment::InRoom;
use crate::numerics::intervals::quantile;
use crate::study::keyed::KeyedClock;
use crate::study::parallel::each_of;
use crate::study::spread::plan::place;
use crate::study::spread::{NoSpread, Run};

use super::question::{Aim, CopiesAsked, Direction, NumberSource, Question};

/// Key of the one number for which a copy need not be let go: its least weight.
pub const LEAST_WEIGHT: &str = "least_weight_kg";

/// What the copies of a candidate come to.
#[derive(Debug, Clone, PartialEq)]
pub struct FoundOfCopies {
    /// For each aim the number that the share asked for keeps to; `None` where fewer copies have one, and of a number of the design.
    pub aims: Vec<Option<f64>>,
    /// Share that keeps going.
    pub going: f64,
    /// Share that keeps going with the margin asked for.
    pub with_margin: f64,
}

/// What is asked of a copy.
struct CopyFigures {
    numbers: Vec<Option<f64>>,
    going: bool,
    with_margin: bool,
}

/// The first copies that are drawn by themselves.
fn numbers_of(count: u32, inputs: usize) -> Vec<u32> {
    (1..).filter(|&number| place(number, inputs).1.counts()).take(count as usize).collect()
}

/// The copies of a clock; those drawn by themselves are the copies that `spread` counts, by the same numbers.
///
/// # Errors
/// [`NoAnswer`]: nothing varies from copy to copy, or nothing can be built.
pub(super) fn of_copies(
    question: &Question<'_>,
    asked: CopiesAsked,
    in_room: &InRoom,
) -> Result<FoundOfCopies, NoAnswer> {
    let run = Run::of(in_room, asked.seed).map_err(|error| match error {
        NoSpread::Build(error) => NoAnswer::Build(error),
        other => NoAnswer::Refused(other.to_string()),
    })?;
    let numbers = numbers_of(asked.count, run.inputs.len());
    let asks_shares = question.numbers.iter().any(|number| number.source.is_share_of_copies());
    let of_results: Vec<Option<usize>> = question
        .aims
        .iter()
        .map(|aim| match question.numbers[aim.number].source {
            NumberSource::Results(place) => Some(place),
            _ => None,
        })
        .collect();
    let least_alone = question
        .aims
        .iter()
        .zip(&of_results)
        .all(|(aim, of)| of.is_none() || question.numbers[aim.number].key == LEAST_WEIGHT);
    let found = each_of(&numbers, |&number| {
        if least_alone && !asks_shares {
            least_weight(&run, number, &of_results)
        } else {
            all_numbers(question, &run, number, &of_results)
        }
    });
    let share =
        |is: fn(&CopyFigures) -> bool| found.iter().filter(|copy| is(copy)).count() as f64 / found.len().max(1) as f64;
    let aims = question.aims.iter().enumerate().map(|(place, aim)| {
        of_results[place]?;
        kept_to(aim, asked.share, &found.iter().map(|copy| copy.numbers[place]).collect::<Vec<_>>())
    });
    Ok(FoundOfCopies {
        aims: aims.collect(),
        going: share(|copy| copy.going),
        with_margin: share(|copy| copy.with_margin),
    })
}

/// A copy of which the least weight alone is asked.
fn least_weight(run: &Run<'_>, number: u32, of_results: &[Option<usize>]) -> CopyFigures {
    let least = run.built(number).ok().and_then(|built| run.least_drive(number, &built).ok()).and_then(DriveLevel::kg);
    CopyFigures { numbers: of_results.iter().map(|of| of.and(least)).collect(), going: false, with_margin: false }
}

fn all_numbers(question: &Question<'_>, run: &Run<'_>, number: u32, of_results: &[Option<usize>]) -> CopyFigures {
    let nothing = || CopyFigures { numbers: vec![None; of_results.len()], going: false, with_margin: false };
    let wanted = Wanted { friction_reserve: false, ..question.results.wanted() };
    let Some(prediction) = run.built(number).ok().and_then(|built| run.solved(number, built, wanted).ok()) else {
        return nothing();
    };
    let going = prediction.reason().is_none();
    let with_margin = prediction.meets_margin() == Some(true);
    let clock = KeyedClock { scenario: question.scenario, in_room: run.design.clone(), prediction, beyond: None };
    let results = question.results.of(&clock);
    let numbers = of_results.iter().map(|of| results.get((*of)?).copied().flatten()).collect();
    CopyFigures { numbers, going, with_margin }
}

/// The number that a share of the copies keeps to: as small, as large or as near as wanted. Copies without one come last.
fn kept_to(aim: &Aim, share: f64, numbers: &[Option<f64>]) -> Option<f64> {
    let mut costs: Vec<f64> =
        numbers.iter().map(|number| number.map_or(f64::INFINITY, |number| aim.cost(number))).collect();
    costs.sort_by(f64::total_cmp);
    let cost = quantile(&costs, share).filter(|cost| cost.is_finite());
    cost.map(|cost| match aim.direction {
        Direction::Least => cost,
        Direction::Most => -cost,
        Direction::Nearest(wanted) => wanted + cost,
    })
}
