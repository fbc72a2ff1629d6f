//! A better design of the same clock: quantities varied between bounds, aims, and what has to hold, for the clock or for printed copies of it.

pub mod candidates;
pub mod copies;
pub mod design_number;
pub mod figures;
pub mod flatness;
pub mod posed;
pub mod question;
pub mod vary;

use std::sync::Mutex;

use crate::answers::no_answer::NoAnswer;
use crate::numerics::search::front::{front_at, front_of, search_front, thinned};
use crate::numerics::search::global::search_all;
use crate::numerics::search::ledger::{Ended, PointLedger, TrialView, best_of};
use crate::numerics::search::local::search_about_best;
use crate::numerics::search::{Coordinate, GridPoint, PointTrial, PointValues, better_first};

use super::jobs::{Watch, each};
use super::prepare::{prepared, under};
use candidates::{KnownCandidates, TriedDesign};
use figures::{ClockFigures, clock_figures};
use question::Question;

/// Share of the candidates with which the whole range is searched; the others go about the best.
const FOR_THE_WHOLE: f64 = 0.7;

/// Added to the seed of each further search.
const ANOTHER: u32 = 0x2545_f491;

/// Share of the candidates of a clock with hands that are asked at last with the twelve hours of the best so far: those of the clock as it was
/// are as much as a percent off the least weight of a design far from it.
const FOR_OWN_HOURS: f64 = 0.2;

/// Candidates with fewer of which no further search begins.
const LEAST_LEFT: usize = 50;

/// How long a search is to be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct SearchPlan {
    /// Candidates at most.
    pub candidates: usize,
    /// Seed of what is drawn.
    pub seed: u32,
    /// Points of the front of two aims.
    pub points: usize,
}

/// What a search has found.
#[derive(Debug, Clone, PartialEq)]
pub struct Improvement {
    /// The clock as it is.
    pub today: Result<ClockFigures, NoAnswer>,
    /// The candidates in the order in which they were asked, the clock as it is first where it lies between the bounds.
    pub candidates: Vec<TriedDesign>,
    /// What a search compares of each.
    pub trials: Vec<PointTrial>,
    /// Where the last round begins, whose candidates have the twelve hours of the best of the earlier ones; no such round where it is the
    /// number of trials.
    pub last_round: usize,
    /// How the trials were looked at for each point of the front of two aims, as far as the search came.
    pub views: Vec<TrialView>,
    /// Whether the search was stopped before its end.
    pub interrupted: bool,
}

impl Improvement {
    /// Candidates that keep every limit, those of the last round before the others, the best first; of equals the earliest.
    #[must_use]
    pub fn ranked(&self) -> Vec<usize> {
        let mut allowed: Vec<usize> =
            (0..self.trials.len()).filter(|&number| self.trials[number].is_allowed()).collect();
        let values = |number: usize| self.trials[number].values.as_ref();
        allowed.sort_by(|&one, &other| {
            (one < self.last_round).cmp(&(other < self.last_round)).then(better_first(values(one), values(other)))
        });
        allowed
    }

    /// The candidate that comes nearest to the limits where none keeps them; `None` where there is no clock at all.
    #[must_use]
    pub fn nearest(&self) -> Option<usize> {
        best_of(&self.trials, TrialView::FIRST).filter(|&number| self.trials[number].values.is_some())
    }

    /// At most so many candidates of the front of two aims, by the first.
    #[must_use]
    pub fn front(&self, points: usize) -> Vec<usize> {
        let front = if self.interrupted { front_of(&self.trials) } else { front_at(&self.trials, &self.views) };
        thinned(&self.trials, &front, points)
    }
}

/// Follows the candidates of one search with one bar, however many batches they come in.
struct OneBar<'w> {
    watch: &'w dyn Watch,
}

impl Watch for OneBar<'_> {
    fn begins(&self, _jobs: usize, _what: &str) {}

    fn done(&self) {
        self.watch.done();
    }

    fn stopped(&self) -> bool {
        self.watch.stopped()
    }
}

/// Searches for the candidate that is best by the aims and keeps the limits.
///
/// | argument | meaning |
/// |---|---|
/// | `known` | candidates found before, which are not asked again: with them the search goes on as if it had never stopped |
/// | `keep` | is given all candidates so far from time to time, to be kept for a search that is taken up again |
/// | `watch` | is told of the candidates, and may stop them |
///
/// Every candidate is the scenario under its overrides, built, solved as far as aims and limits need it, with as many copies as asked, the
/// same draws for each. What cannot be built, or has no such number, is the worst and no failure. The same candidates in the same order on
/// any number of threads.
#[must_use]
pub fn improve(
    question: &Question<'_>,
    plan: SearchPlan,
    known: &KnownCandidates,
    keep: &(dyn Fn(&[TriedDesign]) + Sync),
    watch: &dyn Watch,
) -> Improvement {
    let today = clock_figures(question, question.scenario);
    let own_numbers: Vec<Option<f64>> = today.as_ref().map(|today| today.numbers.clone()).unwrap_or_default();
    let coordinates: Vec<Coordinate> = question.varied.iter().map(vary::VariedQuantity::coordinate).collect();
    watch.begins(plan.candidates, "candidates");
    let bar = OneBar { watch };
    let best = BestSoFar::new(question);
    let mut round =
        SearchRound { own_numbers: &own_numbers, known, keep, watch, bar: &bar, best: &best, tried: Vec::new() };
    let with_hands = question.scenario.design.train.as_ref().is_some_and(|train| train.hands.is_some());
    let again =
        if with_hands && question.aims.len() == 1 { (FOR_OWN_HOURS * plan.candidates as f64) as usize } else { 0 };
    let first = SearchPlan { candidates: plan.candidates - again, ..plan };
    let mut views = Vec::new();
    let (mut trials, mut ended) = round.run(question, None, first.candidates, &mut |ledger| {
        searched(ledger, question, &coordinates, first, &mut views)
    });
    let last_round = trials.len();
    if again > 0
        && ended != Err(Ended::Stopped)
        && let Some(best) = best_of(&trials, TrialView::FIRST).filter(|&best| trials[best].is_allowed())
        && let point = trials[best].point.clone()
        && let Ok(base) = question.scenario.with_overrides(&question.settings(&point)).and_then(prepared)
    {
        // The twelve hours of the best, whose shares stand for those of its neighbours.
        let near = Question { scenario: &base, ..question.clone() };
        let (more, more_ended) = round.run(&near, Some(&point), plan.candidates - last_round, &mut |ledger| {
            ledger.ask(std::slice::from_ref(&point))?;
            let left = ledger.left();
            search_about_best(ledger, &coordinates, (left, plan.seed))
        });
        trials.extend(more);
        ended = more_ended;
    }
    let interrupted = ended == Err(Ended::Stopped);
    Improvement { today, candidates: round.tried, trials, last_round, views, interrupted }
}

/// What the candidates of one round have in common.
struct SearchRound<'r> {
    own_numbers: &'r [Option<f64>],
    known: &'r KnownCandidates,
    keep: &'r (dyn Fn(&[TriedDesign]) + Sync),
    watch: &'r dyn Watch,
    bar: &'r OneBar<'r>,
    best: &'r BestSoFar<'r>,
    tried: Vec<TriedDesign>,
}

impl SearchRound<'_> {
    /// One round of a search: its trials, and how it ended.
    fn run(
        &mut self,
        question: &Question<'_>,
        dial_of: Option<&GridPoint>,
        candidates: usize,
        search: &mut dyn FnMut(&mut PointLedger<'_>) -> Result<(), Ended>,
    ) -> (Vec<PointTrial>, Result<(), Ended>) {
        let mut answering = |points: &[GridPoint]| -> Option<Vec<Option<PointValues>>> {
            let found = each(points, "candidates", self.bar, |point| match self.known.get(dial_of, point) {
                Some(found) => found.clone(),
                None => figures_at(question, point),
            });
            // A batch that was cut short is left out, so that a search taken up again asks it anew.
            let found: Vec<Result<ClockFigures, String>> = found.into_iter().collect::<Option<_>>()?;
            let values: Vec<Option<PointValues>> =
                found.iter().map(|found| question.values(found.as_ref().ok()?, self.own_numbers)).collect();
            self.best.see(&values, &found, self.watch);
            let new = points.iter().zip(found);
            self.tried.extend(new.map(|(point, found)| TriedDesign {
                point: point.clone(),
                dial_of: dial_of.cloned(),
                found,
            }));
            (self.keep)(&self.tried);
            Some(values)
        };
        let mut ledger = PointLedger::new(candidates, &mut answering);
        let ended = search(&mut ledger);
        (ledger.into_trials(), ended)
    }
}

fn searched(
    ledger: &mut PointLedger<'_>,
    question: &Question<'_>,
    coordinates: &[Coordinate],
    plan: SearchPlan,
    views: &mut Vec<TrialView>,
) -> Result<(), Ended> {
    let own = question.own_point();
    if let Some(own) = &own {
        ledger.ask(std::slice::from_ref(own))?;
    }
    let whole = (FOR_THE_WHOLE * plan.candidates as f64) as usize;
    if question.aims.len() > 1 {
        return search_front(ledger, coordinates, own.as_deref(), plan.points, (plan.candidates, plan.seed), views);
    }
    let (mut start, mut seed, mut whole) = (own.as_deref(), plan.seed, whole);
    loop {
        let before = ledger.count();
        search_all(ledger, coordinates, start, (whole, seed))?;
        let left = ledger.left();
        search_about_best(ledger, coordinates, (left, seed))?;
        // What is left is for another search from elsewhere.
        (start, seed, whole) = (None, seed.wrapping_add(ANOTHER), (FOR_THE_WHOLE * ledger.left() as f64) as usize);
        if ledger.count() == before || ledger.left() < LEAST_LEFT {
            return Ok(());
        }
    }
}

/// The numbers of a candidate, or why there is no such clock.
fn figures_at(question: &Question<'_>, point: &[u32]) -> Result<ClockFigures, String> {
    let scenario = under(question.scenario, &question.settings(point))?;
    clock_figures(question, &scenario).map_err(|error| error.to_string())
}

/// Says the best number of the first aim so far beside the bar.
struct BestSoFar<'q> {
    question: &'q Question<'q>,
    best: Mutex<Option<PointValues>>,
}

impl<'q> BestSoFar<'q> {
    fn new(question: &'q Question<'q>) -> Self {
        Self { question, best: Mutex::new(None) }
    }

    fn see(&self, values: &[Option<PointValues>], found: &[Result<ClockFigures, String>], watch: &dyn Watch) {
        let Ok(mut best) = self.best.lock() else { return };
        for (values, found) in values.iter().zip(found) {
            if best.is_none() || better_first(values.as_ref(), best.as_ref()).is_lt() {
                best.clone_from(values);
                let Some(aim) = self.question.aims.first() else { continue };
                let number = found.as_ref().ok().and_then(|found| found.of_aims[aim.number]);
                let kept = values.as_ref().is_some_and(PointValues::keeps_limits);
                watch.has_best(&self.question.numbers[aim.number].key, number.filter(|_| kept));
            }
        }
    }
}
