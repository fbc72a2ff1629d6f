//! Ticks at an even pace among other sounds: the beat and the places of both ticks of a period.

use std::f64::consts::TAU;

use realfft::RealFftPlanner;
use realfft::num_complex::Complex;

use crate::numerics::peak::GoldenSection;

use super::HeardTick;

/// Shortest and longest beat looked for, s: from small balance wheels to tower clocks.
pub(super) const BEATS_S: (f64, f64) = (0.09, 3.0);

/// Longest stretch that is searched, s, and most ticks in it: within an hour a clock's pace hardly changes.
const SEARCHED_S: f64 = 3600.0;
const SEARCHED_TICKS: usize = 20_000;

/// Grid on which the spectrum is taken, s.
const GRID_S: f64 = 0.01;

/// Lines of the spectrum that are tried, and the beats tried for each: the line may be a multiple of the beat's, or that of the whole period.
const LINES: usize = 10;
const MULTIPLES: [f64; 7] = [0.5, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0];

/// Half width of the window about the expected tick, as a share of the beat.
pub(super) const WINDOW: f64 = 0.06;

/// Where the second tick of a period may be, as shares of the period after the first: a clock that limps more does not go.
const MOST_LAME: [f64; 2] = [0.35, 0.65];

/// Columns of a period's histogram.
const COLUMNS: usize = 200;

/// Least share of expected ticks that must be heard, and the least number of ticks. Two sounds in step fill half of a lattice of half their beat.
const LEAST_HEARD: f64 = 0.6;
pub(super) const LEAST_TICKS: usize = 12;

/// Least logarithm of the likelihood ratio between an even pace and ticks at random: what the best of some ten thousand frequencies
/// and places reaches by chance (their logarithm, 14), and as much again.
const LEAST_EVIDENCE: f64 = 28.0;

/// An even pace found among ticks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lattice {
    /// Full period, s.
    pub period_s: f64,
    /// First expected tick of either kind after the first tick heard, s.
    pub first_s: [f64; 2],
    /// Share of the expected ticks that were heard.
    pub heard: f64,
    /// Logarithm of the likelihood ratio to ticks at random.
    pub evidence: f64,
}

/// The most evident even pace; `None` where there is none. `expected_s` keeps to beats near the one that a scenario predicts.
pub(super) fn find_lattice(ticks: &[HeardTick], expected_beat_s: Option<f64>) -> Option<Lattice> {
    let searched = first_stretch(ticks);
    let (first, last) = (searched.first()?, searched.last()?);
    let span_s = last.time_s - first.time_s;
    if searched.len() < LEAST_TICKS || !(span_s > 0.0) {
        return None;
    }
    let within = |beat_s: f64| match expected_beat_s {
        Some(expected_s) => (beat_s / expected_s - 1.0).abs() < 0.05,
        None => beat_s >= BEATS_S.0 && beat_s <= BEATS_S.1,
    };
    let mut best: Option<Lattice> = None;
    for line_hz in strongest_lines(searched, first.time_s, span_s) {
        let line_hz = refined(searched, line_hz, 1.0 / span_s);
        for multiple in MULTIPLES {
            let beat_s = multiple / line_hz;
            if !within(beat_s) || span_s < 5.0 * beat_s {
                continue;
            }
            let found = lattice_of(searched, 2.0 * beat_s, span_s)
                .filter(|found| found.evidence >= LEAST_EVIDENCE && found.heard >= LEAST_HEARD);
            if found.is_some_and(|found| best.is_none_or(|best| found.evidence > best.evidence)) {
                best = found;
            }
        }
    }
    best
}

fn first_stretch(ticks: &[HeardTick]) -> &[HeardTick] {
    let from_s = ticks.first().map_or(0.0, |tick| tick.time_s);
    let count = ticks.partition_point(|tick| tick.time_s <= from_s + SEARCHED_S);
    &ticks[..count.min(SEARCHED_TICKS)]
}

/// What a tick weighs in the spectrum: loud ones more, but none so much that it rules alone.
fn weight(tick: &HeardTick) -> f64 {
    (1.0 + tick.strength.max(0.0)).ln().clamp(0.1, 5.0)
}

/// Frequencies of the strongest lines of the ticks' spectrum, Hz.
fn strongest_lines(ticks: &[HeardTick], from_s: f64, span_s: f64) -> Vec<f64> {
    let points = ((span_s / GRID_S).ceil() as usize + 2).next_power_of_two();
    let mut grid = vec![0.0_f64; points];
    for tick in ticks {
        let place = (tick.time_s - from_s) / GRID_S;
        let cell = place.floor();
        let over = place - cell;
        for (offset, share) in [(0, 1.0 - over), (1, over)] {
            if let Some(value) = grid.get_mut(cell as usize + offset) {
                *value += share * weight(tick);
            }
        }
    }
    // Without the mean, whose side lobes would hide slow beats.
    let filled = (span_s / GRID_S).ceil() as usize + 1;
    let mean = grid.iter().sum::<f64>() / filled as f64;
    grid.iter_mut().take(filled).for_each(|value| *value -= mean);
    let transform = RealFftPlanner::<f64>::new().plan_fft_forward(points);
    let mut spectrum = transform.make_output_vec();
    if transform.process(&mut grid, &mut spectrum).is_err() {
        return Vec::new();
    }
    let step_hz = 1.0 / (points as f64 * GRID_S);
    let power = |index: usize| spectrum.get(index).map_or(0.0, Complex::norm_sqr);
    let lowest = ((0.5 / BEATS_S.1) / step_hz).ceil().max(1.0) as usize;
    let highest = ((2.0 / BEATS_S.0) / step_hz).min(spectrum.len() as f64 - 2.0) as usize;
    let mut peaks: Vec<usize> = (lowest..=highest)
        .filter(|&index| power(index) > power(index - 1) && power(index) >= power(index + 1))
        .collect();
    peaks.sort_by(|&a, &b| power(b).total_cmp(&power(a)));
    let mut kept: Vec<usize> = Vec::new();
    // A line's side lobes stand within a few widths of it.
    let apart = (4.0 / (span_s * step_hz)).ceil() as usize;
    for peak in peaks {
        if kept.iter().all(|&other| other.abs_diff(peak) > apart) {
            kept.push(peak);
        }
        if kept.len() == LINES {
            break;
        }
    }
    kept.into_iter().map(|index| index as f64 * step_hz).collect()
}

/// The frequency near `line_hz` at which the ticks agree best, by golden section over one width of a line on either side.
fn refined(ticks: &[HeardTick], line_hz: f64, width_hz: f64) -> f64 {
    let agreement = |frequency_hz: f64| {
        let sum: Complex<f64> =
            ticks.iter().map(|tick| Complex::from_polar(weight(tick), TAU * frequency_hz * tick.time_s)).sum();
        sum.norm_sqr()
    };
    let mut section = GoldenSection::between(line_hz - 0.7 * width_hz, line_hz + 0.7 * width_hz, agreement);
    for _ in 0..18 {
        section.step();
    }
    let (low, high) = section.bracket();
    0.5 * (low + high)
}

/// The two ticks of a period and how evident they are.
///
/// Every expected tick either falls into its window or not. The logarithm of the likelihood of what was heard, against ticks that fall
/// anywhere as often, prefers the true beat: half of it halves the share heard, and twice of it halves the ticks explained.
fn lattice_of(ticks: &[HeardTick], period_s: f64, span_s: f64) -> Option<Lattice> {
    let from_s = ticks.first()?.time_s;
    let mut histogram = vec![0.0_f64; COLUMNS];
    for tick in ticks {
        let share = ((tick.time_s - from_s) / period_s).rem_euclid(1.0);
        histogram[((share * COLUMNS as f64) as usize).min(COLUMNS - 1)] += weight(tick);
    }
    // A window of WINDOW beats is half as wide in periods.
    let reach = (0.5 * WINDOW * COLUMNS as f64).round() as usize;
    // Weights that fall to both sides put the largest sum at the middle of a group.
    let windowed: Vec<f64> = (0..COLUMNS)
        .map(|column| {
            let near = (0..=2 * reach).map(|offset| {
                let share = 1.0 - reach.abs_diff(offset) as f64 / (reach + 1) as f64;
                share * histogram[(column + COLUMNS + offset - reach) % COLUMNS]
            });
            near.sum()
        })
        .collect();
    let one = (0..COLUMNS).max_by(|&a, &b| windowed[a].total_cmp(&windowed[b]))?;
    // Of two that are as loud and as many the one nearer to the middle.
    let beside = MOST_LAME.map(|share| (share * COLUMNS as f64).round() as usize);
    let evenly = |offset: usize| {
        let lame = (offset as f64 / COLUMNS as f64 - 0.5).abs();
        windowed[(one + offset) % COLUMNS] * (1.0 - 0.5 * lame)
    };
    let other = (one + (beside[0]..=beside[1]).max_by(|&a, &b| evenly(a).total_cmp(&evenly(b)))?) % COLUMNS;
    let centred = |column: usize| {
        let middle = (column as f64 + 0.5) / COLUMNS as f64;
        let offsets: Vec<f64> = ticks
            .iter()
            .map(|tick| ((tick.time_s - from_s) / period_s - middle + 0.5).rem_euclid(1.0) - 0.5)
            .filter(|offset| offset.abs() <= 0.5 * WINDOW)
            .collect();
        let mean = if offsets.is_empty() { 0.0 } else { median(offsets) };
        from_s + period_s * (middle + mean)
    };
    let first_s = [centred(one), centred(other)];
    let window_s = 0.5 * WINDOW * period_s;
    let (mut expected, mut hits) = (0_usize, 0_usize);
    for place_s in first_s {
        let slots = (span_s / period_s).floor() as usize;
        let mut last = None;
        let mut heard = 0;
        for tick in ticks {
            let slot = ((tick.time_s - place_s) / period_s).round();
            if (tick.time_s - place_s - slot * period_s).abs() <= window_s && last != Some(slot) {
                last = Some(slot);
                heard += 1;
            }
        }
        expected += slots.max(1);
        hits += heard.min(slots.max(1));
    }
    let density_hz = ticks.len() as f64 / span_s;
    let by_chance = (1.0 - (-density_hz * 2.0 * window_s).exp()).clamp(1e-6, 0.999);
    let heard = hits as f64 / expected as f64;
    let part =
        |count: usize, share: f64, chance: f64| if count == 0 { 0.0 } else { count as f64 * (share / chance).ln() };
    let evidence = if heard > by_chance {
        part(hits, heard, by_chance) + part(expected - hits, 1.0 - heard, 1.0 - by_chance)
    } else {
        0.0
    };
    Some(Lattice { period_s, first_s, heard, evidence })
}

/// The middle value; 0 of none.
pub(super) fn median(mut values: Vec<f64>) -> f64 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    let (_, value, _) = values.select_nth_unstable_by(middle, f64::total_cmp);
    *value
}
