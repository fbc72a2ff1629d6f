//! Which beat each tick belongs to: missed ticks, double ticks, and another clock's.

use super::HeardTick;
use super::beat_search::{LEAST_TICKS, Lattice, WINDOW, find_lattice, median};

/// Shares of a tick's deviation by which expected place and period follow it. The loop forgets over some ten beats; its damping is
/// critical (the second is a quarter of the first's square).
const FOLLOW_PLACE: f64 = 0.12;
const FOLLOW_PERIOD: f64 = 0.0036;

/// Within this share of a beat of the clock's own tick a further sound belongs to it.
const SAME_BEAT: f64 = 0.25;

/// Times the typical strength below which a sound is no tick if there is a louder one.
const FAINT: f64 = 0.3;

/// Share of a lattice's windows by which another clock's lattice has to slide past it to be told apart.
const SLIDES_PAST: f64 = 4.0;

/// Most other even tickings that are looked for.
const MOST_OTHERS: usize = 3;

/// A tick with the number of its beat, counted from 0 at the first tick heard.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct NumberedTick {
    /// Beat.
    pub beat: u64,
    /// Time, s.
    pub time_s: f64,
    /// Loudness.
    pub strength: f64,
}

/// Even ticking beside that of the measured clock.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OtherTicking {
    /// Its beat, s.
    pub beat_s: f64,
    /// Its ticks that were left out.
    pub ticks: usize,
    /// Ticks of the measured clock that fell together with its own and were left out, too.
    pub together: usize,
    /// What it is.
    pub kind: TickingKind,
}

/// What even ticking beside the measured clock's is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum TickingKind {
    /// Another clock: its ticks slide past those of the measured one.
    AnotherClock,
    /// A sound that keeps step with the ticks, so many seconds after them (before, below 0): a part of every beat, or another clock that
    /// cannot be told from it.
    InStep {
        /// Its place after the tick, s.
        after_s: f64,
    },
}

/// The ticks of one clock by beats.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Numbered {
    pub ticks: Vec<NumberedTick>,
    /// Times at which ticks were expected and not heard, s.
    pub missed_s: Vec<f64>,
    /// Times of second sounds within a beat, s.
    pub double_s: Vec<f64>,
    /// Sounds that belong to no beat and no other clock.
    pub strays: usize,
    pub others: Vec<OtherTicking>,
}

/// The most evident clock in a record, its ticks by number; `None` where no pace is even enough.
pub(super) fn numbered(ticks: &[HeardTick], expected_beat_s: Option<f64>) -> Option<Numbered> {
    let mut first = find_lattice(ticks, expected_beat_s)?;
    let (mut chosen, mut missed_s) = followed(ticks, &first);
    let mut rest = without(ticks, &chosen);
    let mut second = find_lattice(&rest, None);
    if expected_beat_s.is_none()
        && let Some(other) = second
    {
        // Of two clocks the louder is the one that was held to the microphone.
        let (other_chosen, other_missed_s) = followed(&rest, &other);
        let strength = |from: &[HeardTick], chosen: &[Chosen]| {
            median(chosen.iter().filter_map(|chosen| Some(from.get(chosen.index)?.strength)).collect())
        };
        if strength(&rest, &other_chosen) > 1.05 * strength(ticks, &chosen) {
            second = Some(first);
            first = other;
            (chosen, missed_s) = if other_chosen.len() >= LEAST_TICKS {
                followed(ticks, &other)
            } else {
                (other_chosen, other_missed_s)
            };
            rest = without(ticks, &chosen);
        }
    }
    if chosen.len() < LEAST_TICKS {
        return None;
    }
    let beat_s = 0.5 * first.period_s;
    let span_s = ticks.last()?.time_s - ticks.first()?.time_s;
    let mut others = Vec::new();
    while let Some(other) = second.take().filter(|_| others.len() < MOST_OTHERS) {
        let (its, _) = followed(&rest, &other);
        if its.len() < LEAST_TICKS {
            break;
        }
        let before = chosen.len();
        let kind = if slides_past(&first, &other, span_s) {
            // Where both clocks tick at once, the sound may be either's.
            let window_s = WINDOW * beat_s.min(0.5 * other.period_s);
            let apart_from_its_s = expected_places(&its, &rest, other.period_s);
            chosen.retain(|chosen| {
                let time_s = ticks.get(chosen.index).map_or(0.0, |tick| tick.time_s);
                apart_from_its_s(time_s).is_none_or(|apart_s| apart_s.abs() > 0.5 * window_s)
            });
            TickingKind::AnotherClock
        } else {
            let own = expected_places(&chosen, ticks, first.period_s);
            let after_s = its.iter().filter_map(|its| own(rest.get(its.index)?.time_s)).collect();
            TickingKind::InStep { after_s: median(after_s) }
        };
        others.push(OtherTicking {
            beat_s: 0.5 * other.period_s,
            ticks: its.len(),
            together: before - chosen.len(),
            kind,
        });
        rest = without(&rest, &its);
        second = find_lattice(&rest, None);
    }
    if chosen.len() < LEAST_TICKS {
        return None;
    }
    let numbers: Vec<NumberedTick> = {
        let base = chosen.iter().map(|chosen| chosen.beat).min()?;
        chosen
            .iter()
            .filter_map(|chosen| {
                let tick = ticks.get(chosen.index)?;
                Some(NumberedTick {
                    beat: (chosen.beat - base).max(0) as u64,
                    time_s: tick.time_s,
                    strength: tick.strength,
                })
            })
            .collect()
    };
    let (double_s, strays) = second_sounds(&numbers, &rest, beat_s);
    Some(Numbered { ticks: numbers, missed_s, double_s, strays, others })
}

/// A tick taken for a beat.
#[derive(Debug, Clone, Copy)]
struct Chosen {
    index: usize,
    beat: i64,
}

/// Follows a lattice through the whole record: the tick of each beat, and the times of those missed.
fn followed(ticks: &[HeardTick], lattice: &Lattice) -> (Vec<Chosen>, Vec<f64>) {
    let (Some(first), Some(last)) = (ticks.first(), ticks.last()) else { return (Vec::new(), Vec::new()) };
    let mut period_s = lattice.period_s;
    let beat_s = 0.5 * period_s;
    // The earlier place of both within the first period is beat 0.
    let earliest = |place_s: f64| place_s - ((place_s - first.time_s + WINDOW * beat_s) / period_s).floor() * period_s;
    let mut places_s = lattice.first_s.map(earliest);
    places_s.sort_by(f64::total_cmp);
    let loud = median(ticks.iter().map(|tick| tick.strength).collect());
    let (mut chosen, mut missed_s): (Vec<Chosen>, Vec<f64>) = (Vec::new(), Vec::new());
    let mut typical = loud;
    let mut jitter_s = WINDOW * beat_s / 3.0;
    let (mut from, mut beat, mut silent) = (0_usize, 0_i64, 0_usize);
    loop {
        let side = (beat % 2) as usize;
        let expected_s = places_s[side];
        if expected_s > last.time_s + WINDOW * beat_s {
            break;
        }
        // After a silence the place is known less well.
        let window_s = (WINDOW * beat_s + 1e-4 * beat_s * silent as f64).min(0.25 * beat_s);
        while ticks.get(from).is_some_and(|tick| tick.time_s < expected_s - window_s) {
            from += 1;
        }
        let near = ticks.iter().enumerate().skip(from).take_while(|(_, tick)| tick.time_s <= expected_s + window_s);
        let score = |tick: &HeardTick| {
            let faint = if tick.strength < FAINT * typical { -10.0 } else { 0.0 };
            let off = (tick.time_s - expected_s) / jitter_s;
            tick.strength.max(1e-12).ln() - 0.5 * off * off + faint
        };
        let best = near.max_by(|(_, a), (_, b)| score(a).total_cmp(&score(b)));
        if let Some((index, tick)) = best {
            let off_s = tick.time_s - expected_s;
            jitter_s += 0.05 * (1.5 * off_s.abs().max(2e-4 * beat_s) - jitter_s);
            jitter_s = jitter_s.max(2e-3 * beat_s);
            typical += 0.05 * (tick.strength - typical);
            let step_s = off_s.clamp(-3.0 * jitter_s, 3.0 * jitter_s);
            places_s[0] += FOLLOW_PLACE * step_s;
            places_s[1] += FOLLOW_PLACE * step_s;
            // Beat error is no error of the place: each side keeps a little of its own.
            places_s[side] += 0.05 * step_s;
            period_s += 2.0 * FOLLOW_PERIOD * step_s;
            chosen.push(Chosen { index, beat });
            silent = 0;
        } else {
            missed_s.push(expected_s);
            silent += 1;
        }
        places_s[side] += period_s;
        beat += 1;
    }
    // What is expected before the first and after the last tick was not missed.
    let times = |chosen: Option<&Chosen>| chosen.and_then(|chosen| ticks.get(chosen.index)).map(|tick| tick.time_s);
    if let (Some(begins_s), Some(ends_s)) = (times(chosen.first()), times(chosen.last())) {
        missed_s.retain(|&time_s| time_s > begins_s && time_s < ends_s);
    }
    (chosen, missed_s)
}

fn without(ticks: &[HeardTick], chosen: &[Chosen]) -> Vec<HeardTick> {
    let mut keep = vec![true; ticks.len()];
    for chosen in chosen {
        if let Some(keep) = keep.get_mut(chosen.index) {
            *keep = false;
        }
    }
    ticks.iter().zip(keep).filter(|(_, keep)| *keep).map(|(tick, _)| *tick).collect()
}

/// Whether two paces differ: a sound that belongs to every beat, to every other one or to two of a beat keeps its place in the beats.
fn slides_past(one: &Lattice, other: &Lattice, span_s: f64) -> bool {
    [0.5, 1.0, 2.0].iter().all(|multiple| {
        let slip_s = (one.period_s / (multiple * other.period_s) - 1.0).abs() * span_s;
        slip_s > SLIDES_PAST * WINDOW * 0.5 * one.period_s.min(other.period_s)
    })
}

/// Distance, s, of a time from the nearest tick of the other clock, heard or interpolated between two that were.
fn expected_places<'t>(
    others: &[Chosen],
    ticks: &'t [HeardTick],
    period_s: f64,
) -> impl Fn(f64) -> Option<f64> + use<'t> {
    let known: Vec<(i64, f64)> =
        others.iter().filter_map(|chosen| Some((chosen.beat, ticks.get(chosen.index)?.time_s))).collect();
    move |time_s: f64| {
        let after = known.partition_point(|&(_, known_s)| known_s < time_s);
        // Two on either side: the nearest may itself be missing where both ticked at once.
        let nearest = known
            .get(after.saturating_sub(2)..(after + 2).min(known.len()))?
            .iter()
            .map(|&(_, known_s)| {
                let off_s = time_s - known_s;
                off_s - (off_s / period_s).round() * period_s
            })
            .min_by(|a, b| a.abs().total_cmp(&b.abs()))?;
        Some(nearest)
    }
}

/// Times of the sounds that share a beat with a tick, and the count of the others.
fn second_sounds(ticks: &[NumberedTick], rest: &[HeardTick], beat_s: f64) -> (Vec<f64>, usize) {
    let mut double_s = Vec::new();
    let mut strays = 0;
    for sound in rest {
        let after = ticks.partition_point(|tick| tick.time_s < sound.time_s);
        let near = [after.checked_sub(1), Some(after)]
            .into_iter()
            .flatten()
            .filter_map(|index| ticks.get(index))
            .any(|tick| (tick.time_s - sound.time_s).abs() < SAME_BEAT * beat_s);
        if near {
            double_s.push(sound.time_s);
        } else {
            strays += 1;
        }
    }
    (double_s, strays)
}
