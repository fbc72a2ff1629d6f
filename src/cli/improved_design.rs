//! The best candidates judged anew, as `predict` judges their files.

use std::path::Path;

use crate::answers::no_answer::NoAnswer;
use crate::numerics::search::PointValues;
use crate::report::canvas::look::significant;
use crate::report::improve::keys::AskedKeys;
use crate::report::improve::{FrontDesign, JudgedDesign};
use crate::scenario::Scenario;
use crate::study::improve::Improvement;
use crate::study::improve::figures::clock_figures;
use crate::study::improve::question::Question;
use crate::study::keyed::{KeyedClock, KeyedNumbers as _};
use crate::study::prepare::prepared;

use super::failure::Failure;
use super::improve::{IMPROVED, STATE};

/// Candidates of which the best that its file keeps within the limits is taken.
const JUDGED: usize = 200;

/// A candidate that was judged anew, as `predict` judges its file.
pub(super) struct BestDesign {
    pub point: Vec<u32>,
    /// The scenario under its values, made ready.
    pub scenario: Scenario,
    pub judged: JudgedDesign,
}

/// The best candidate that keeps every limit with all of its clock solved anew; `None` where none does.
pub(super) fn best_judged(question: &Question<'_>, found: &Improvement) -> Option<BestDesign> {
    found.ranked().into_iter().take(JUDGED).find_map(|number| judged_within(question, &found.trials[number].point))
}

/// A candidate with all of its clock solved anew; `None` where it then breaks a limit, or is no clock.
fn judged_within(question: &Question<'_>, point: &[u32]) -> Option<BestDesign> {
    let scenario = question.scenario.with_overrides(&question.settings(point)).and_then(prepared).ok()?;
    let judged = judged(question, &scenario).ok()?;
    let values = question.values(&judged.figures, &[]);
    values.filter(PointValues::keeps_limits).map(|_| BestDesign { point: point.to_vec(), scenario, judged })
}

pub(super) fn judged(question: &Question<'_>, scenario: &Scenario) -> Result<JudgedDesign, NoAnswer> {
    let shown = AskedKeys::shown();
    let clock = KeyedClock::of(scenario, &shown)?;
    let figures = clock_figures(question, scenario)?;
    Ok(JudgedDesign { figures, shown: shown.of(&clock) })
}

/// What is written predicts as was found.
pub(super) fn same_as_told(
    name: &str,
    told: &JudgedDesign,
    read: Result<JudgedDesign, NoAnswer>,
) -> Result<JudgedDesign, Failure> {
    let read = read.map_err(|why| Failure::numeric(format!("{name} does not predict: {why}")))?;
    if *told == read {
        return Ok(read);
    }
    Err(Failure::numeric(format!("{name} predicts otherwise than the design that was found; nothing was written")))
}

/// Each quantity's path and value.
pub(super) fn values_of(question: &Question<'_>, point: &[u32]) -> Vec<(String, String)> {
    question.varied.iter().zip(point).map(|(varied, &place)| (varied.path.clone(), varied.as_toml(place))).collect()
}

/// The designs on the front of two aims.
pub(super) fn fronts(question: &Question<'_>, found: &Improvement, points: usize) -> Vec<FrontDesign> {
    if question.aims.len() < 2 {
        return Vec::new();
    }
    let judged = found.front(points).into_iter().filter_map(|at| judged_within(question, &found.trials[at].point));
    let named = judged.zip(1..).map(|(BestDesign { point, judged, .. }, number)| {
        let file = front_file(number);
        FrontDesign { point, judged, file }
    });
    named.collect()
}

/// Name of the file of a design on the front, counted from 1.
fn front_file(number: usize) -> String {
    format!("front-{number}.toml")
}

/// Names of the scenarios that may be written.
pub(super) fn file_names(question: &Question<'_>, points: usize) -> Vec<String> {
    let front = if question.aims.len() < 2 { 0 } else { points };
    std::iter::once(IMPROVED.to_owned()).chain((1..=front).map(front_file)).collect()
}

/// Why there is no design: no clock at all, an aim without a number, or limits that none keeps, with what comes nearest.
pub(super) fn none_allowed(question: &Question<'_>, found: &Improvement, folder: Option<&Path>) -> Failure {
    if found.interrupted {
        let kept = folder.map_or("nothing was written".to_owned(), |folder| {
            format!("the candidates are in {}", folder.join(STATE).display())
        });
        return Failure::interrupted(&format!("no candidate kept the limits so far; {kept}"));
    }
    let Some(nearest) = found.nearest() else {
        let aims: Vec<&str> = question.aims.iter().map(|aim| question.numbers[aim.number].key.as_str()).collect();
        let reason = found.candidates.iter().find_map(|tried| tried.found.as_ref().err());
        let why = reason.map(|reason| format!(" (the first without a clock: {reason})")).unwrap_or_default();
        return Failure::arguments(format!(
            "no candidate has {}{why}; choose other bounds, or another aim",
            aims.join(" and ")
        ));
    };
    if found.trials[nearest].is_allowed() {
        return Failure::arguments(
            "candidates kept every limit in the search, but none of the best does when the whole of its clock is solved, with the \
             twelve hours of its own hands; leave the limits a little room"
                .to_owned(),
        );
    }
    let figures = found.candidates[nearest].found.as_ref().ok();
    let broken = question.holds.iter().filter_map(|hold| {
        let number = figures.and_then(|figures| figures.numbers[hold.number]);
        let key = &question.numbers[hold.number].key;
        let sign = if hold.at_least { ">=" } else { "<=" };
        match number {
            None => Some(format!("{key} {sign} {} (there is none)", hold.level)),
            Some(number) if hold.excess(number) > 0.0 => {
                let number = significant(number, 5);
                Some(format!("{key} {sign} {} (it is {number})", hold.level))
            }
            Some(_) => None,
        }
    });
    let mut broken: Vec<String> = broken.collect();
    broken.extend(figures.and_then(|figures| figures.stops.clone()).map(|why| format!("that it keeps going ({why})")));
    let values: Vec<String> = question
        .varied
        .iter()
        .zip(&found.trials[nearest].point)
        .map(|(varied, &place)| format!("{} = {}", varied.path, varied.shown(place)))
        .collect();
    Failure::arguments(format!(
        "no candidate of {} keeps every limit; the nearest, with {}, misses {}",
        found.trials.len(),
        values.join(", "),
        broken.join(", ")
    ))
}
