//! The points that a search has asked, each once.

use std::collections::{HashMap, HashSet};

use super::{GridPoint, PointTrial, PointValues, better_first};

/// What answers: the values of points, in their order; `None` where the search is to stop.
pub type Answering<'a> = dyn FnMut(&[GridPoint]) -> Option<Vec<Option<PointValues>>> + 'a;

/// Why no more points are asked.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Ended {
    /// As many as were allowed were asked.
    Spent,
    /// Whoever answers has stopped.
    Stopped,
}

/// How trials with two aims are looked at: one is the aim, the other is kept to a level.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TrialView {
    /// Number of the aim.
    pub aim: usize,
    /// What the other aim may be at most, and what an excess of it is measured by.
    pub level: Option<(f64, f64)>,
}

impl TrialView {
    /// The first aim alone.
    pub const FIRST: Self = Self { aim: 0, level: None };

    /// The values as they are seen.
    #[must_use]
    pub fn of(&self, values: &PointValues) -> PointValues {
        let mut excess = values.excess.clone();
        if let Some((level, measure)) = self.level {
            let other = values.aims.get(1 - self.aim.min(1)).copied().unwrap_or(f64::INFINITY);
            excess.push((other - level) / measure);
        }
        PointValues { aims: values.aims.get(self.aim).copied().into_iter().collect(), excess }
    }
}

/// The points asked so far.
pub struct PointLedger<'a> {
    trials: Vec<PointTrial>,
    known: HashMap<GridPoint, usize>,
    most: usize,
    answering: &'a mut Answering<'a>,
    view: TrialView,
}

impl<'a> PointLedger<'a> {
    /// No points yet, of which at most `most` may be asked.
    pub fn new(most: usize, answering: &'a mut Answering<'a>) -> Self {
        Self { trials: Vec::new(), known: HashMap::new(), most, answering, view: TrialView::FIRST }
    }

    /// Looks at the trials in this way from now on.
    pub fn look(&mut self, view: TrialView) {
        self.view = view;
    }

    /// Where the points stand in the list of trials, those asked that are new.
    ///
    /// # Errors
    /// [`Ended`]; as many of the new points as are still allowed are asked nevertheless.
    pub fn ask(&mut self, points: &[GridPoint]) -> Result<Vec<usize>, Ended> {
        let mut seen = HashSet::new();
        let new = points.iter().filter(|&point| !self.known.contains_key(point) && seen.insert(point));
        let mut fresh: Vec<GridPoint> = new.cloned().collect();
        let room = self.most.saturating_sub(self.trials.len());
        let too_many = fresh.len() > room;
        fresh.truncate(room);
        if !fresh.is_empty() {
            let found = (self.answering)(&fresh).ok_or(Ended::Stopped)?;
            for (point, values) in fresh.into_iter().zip(found) {
                self.known.insert(point.clone(), self.trials.len());
                self.trials.push(PointTrial { point, values });
            }
        }
        if too_many {
            return Err(Ended::Spent);
        }
        points.iter().map(|point| self.known.get(point).copied().ok_or(Ended::Stopped)).collect()
    }

    /// What a trial came to, as it is looked at.
    #[must_use]
    pub fn values(&self, trial: usize) -> Option<PointValues> {
        self.trials.get(trial)?.values.as_ref().map(|values| self.view.of(values))
    }

    /// The point of a trial.
    #[must_use]
    pub fn point(&self, trial: usize) -> &[u32] {
        self.trials.get(trial).map_or(&[], |trial| &trial.point)
    }

    /// The best trial as they are looked at, the earliest of equals; `None` before any was asked.
    #[must_use]
    pub fn best(&self) -> Option<usize> {
        best_of(&self.trials, self.view)
    }

    /// Points asked.
    #[must_use]
    pub fn count(&self) -> usize {
        self.trials.len()
    }

    /// Points that may still be asked.
    #[must_use]
    pub fn left(&self) -> usize {
        self.most.saturating_sub(self.trials.len())
    }

    /// All trials in their order.
    #[must_use]
    pub fn trials(&self) -> &[PointTrial] {
        &self.trials
    }

    /// All trials in their order.
    #[must_use]
    pub fn into_trials(self) -> Vec<PointTrial> {
        self.trials
    }
}

/// The best of some trials as they are looked at, the earliest of equals.
#[must_use]
pub fn best_of(trials: &[PointTrial], view: TrialView) -> Option<usize> {
    let seen: Vec<Option<PointValues>> =
        trials.iter().map(|trial| trial.values.as_ref().map(|values| view.of(values))).collect();
    (0..trials.len()).min_by(|&one, &other| better_first(seen[one].as_ref(), seen[other].as_ref()))
}
