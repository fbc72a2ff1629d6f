//! Two aims at once: points of which none is better in one aim without being worse in the other.

use super::global::search_all;
use super::ledger::{Ended, PointLedger, TrialView, best_of};
use super::local::{search_about_best, search_about_best_within};
use super::{Coordinate, GridPoint, PointTrial};

/// Share of the points with which each aim alone is searched for, half of it in the whole box.
const FOR_AN_END: f64 = 0.25;

/// Difference of an aim, relative, within which points are as good in it: rounding.
const AS_GOOD: f64 = 1e-9;

/// First half-width of the region about a point whose best neighbour may be far.
const FAR: f64 = 0.2;

/// Share of the points that are asked on the straight way from one end to the other: the others of a front begin at the best of them.
const ON_THE_WAY: f64 = 0.08;

/// The point at a share of the way from one end to the other.
fn mixed([one, other]: &[GridPoint; 2], share: f64) -> GridPoint {
    let place =
        |(&from, &to): (&u32, &u32)| (f64::from(from) + share * (f64::from(to) - f64::from(from))).round() as u32;
    one.iter().zip(other).map(place).collect()
}

/// Searches for the front of two aims until so many points have been asked: each aim alone, some points on the way from one end to the other, then the first at `points - 2` even levels
/// of the second between these ends, each begun at the best trial known to keep it.
///
/// The method of limits on all aims but one (Y. Haimes, L. Lasdon and D. Wismer, "On a bicriterion formulation of the problems of
/// integrated system identification and system optimization", IEEE Transactions on Systems, Man and Cybernetics 1, 1971; recalled). Every
/// trial may come to stand on the front, whatever it was asked for. `views` is given how the trials were looked at for each point, as far
/// as the search came ([`front_at`]).
///
/// # Errors
/// [`Ended`] where no more points may be asked.
pub fn search_front(
    ledger: &mut PointLedger<'_>,
    coordinates: &[Coordinate],
    start: Option<&[u32]>,
    points: usize,
    (budget, seed): (usize, u32),
    views: &mut Vec<TrialView>,
) -> Result<(), Ended> {
    let first = ledger.count();
    for aim in [0, 1] {
        let began = ledger.count();
        ledger.look(TrialView { aim, level: None });
        let share = (FOR_AN_END * budget as f64) as usize;
        search_all(ledger, coordinates, start, (share / 2, seed.wrapping_add(aim as u32)))?;
        search_about_best(ledger, coordinates, (share / 4, seed))?;
        // Of points as good in this aim the best in the other.
        let least = ledger.best().and_then(|best| ledger.values(best)).and_then(|best| best.aims.first().copied());
        if let Some(least) = least {
            let measure = least.abs().max(f64::MIN_POSITIVE);
            let view = TrialView { aim: 1 - aim, level: Some((least + AS_GOOD * measure, measure)) };
            views.push(view);
            ledger.look(view);
            let left = (began + share).saturating_sub(ledger.count());
            search_about_best_within(ledger, coordinates, (left, seed), FAR)?;
        }
    }
    let between = points.saturating_sub(2);
    let way = (ON_THE_WAY * budget as f64) as u32;
    if between > 0
        && let [one, other] = views.iter().filter_map(|&view| best_of(ledger.trials(), view)).collect::<Vec<_>>()[..]
    {
        let ends = [ledger.point(one).to_vec(), ledger.point(other).to_vec()];
        let on_the_way: Vec<GridPoint> =
            (1..=way).map(|number| mixed(&ends, f64::from(number) / f64::from(way + 1))).collect();
        ledger.ask(&on_the_way)?;
    }
    let seconds: Vec<f64> = front_of(ledger.trials())
        .into_iter()
        .filter_map(|trial| ledger.trials()[trial].values.as_ref().map(|values| values.aims[1]))
        .collect();
    let (Some(&high), Some(&low)) = (seconds.first(), seconds.last()) else { return Ok(()) };
    for number in 1..=between {
        let level = low + (high - low) * number as f64 / (between + 1) as f64;
        let view = TrialView { aim: 0, level: Some((level, (high - low).max(f64::MIN_POSITIVE))) };
        views.push(view);
        ledger.look(view);
        let left = (first + budget).saturating_sub(ledger.count());
        search_about_best_within(ledger, coordinates, (left / (between + 1 - number), seed), FAR)?;
    }
    Ok(())
}

/// The best trials as they were looked at for each point of a front, by the first aim, as far as no other is better in one aim and no
/// worse in the other.
#[must_use]
pub fn front_at(trials: &[PointTrial], views: &[TrialView]) -> Vec<usize> {
    front_among(trials, &mut views.iter().filter_map(|&view| best_of(trials, view)))
}

/// The trials that keep the limits and of which no other is better in one of two aims and no worse in the other, by the first aim; of
/// trials that are equal in both the earliest.
#[must_use]
pub fn front_of(trials: &[PointTrial]) -> Vec<usize> {
    front_among(trials, &mut (0..trials.len()))
}

/// The front of some of the trials.
fn front_among(trials: &[PointTrial], some: &mut dyn Iterator<Item = usize>) -> Vec<usize> {
    let aims = |trial: &PointTrial| trial.values.as_ref().map(|values| (values.aims[0], values.aims[1]));
    let mut allowed: Vec<(usize, (f64, f64))> = some
        .filter(|&number| trials[number].is_allowed())
        .filter_map(|number| Some((number, aims(&trials[number])?)))
        .collect();
    allowed.sort_by(|(_, one), (_, other)| one.0.total_cmp(&other.0).then(one.1.total_cmp(&other.1)));
    let mut least = f64::INFINITY;
    allowed.retain(|&(_, (_, second))| {
        let kept = second < least;
        least = least.min(second);
        kept
    });
    allowed.into_iter().map(|(number, _)| number).collect()
}

/// At most so many of a front's trials, both ends among them, those left out being nearest to others in shares of the front's spans.
#[must_use]
pub fn thinned(trials: &[PointTrial], front: &[usize], most: usize) -> Vec<usize> {
    let aims =
        |number: usize| trials[number].values.as_ref().map_or((0.0, 0.0), |values| (values.aims[0], values.aims[1]));
    let mut kept = front.to_vec();
    let (Some(&first), Some(&last)) = (front.first(), front.last()) else { return kept };
    let span = |pick: fn((f64, f64)) -> f64| (pick(aims(first)) - pick(aims(last))).abs().max(f64::MIN_POSITIVE);
    let (span_first, span_second) = (span(|of| of.0), span(|of| of.1));
    let apart = |one: usize, other: usize| {
        let (one, other) = (aims(one), aims(other));
        ((one.0 - other.0) / span_first).hypot((one.1 - other.1) / span_second)
    };
    while kept.len() > most.max(2) {
        let gap = |at: usize| apart(kept[at - 1], kept[at]) + apart(kept[at], kept[at + 1]);
        let Some(nearest) = (1..kept.len() - 1).min_by(|&one, &other| gap(one).total_cmp(&gap(other))) else { break };
        kept.remove(nearest);
    }
    kept
}
