//! Sounds that begin suddenly, found in a recording as it is read: what may be ticks above the noise of the room.
//!
//! The recording is never held. Each band is filtered, its power averaged over quarters of a millisecond, and eight seconds of that are looked
//! at together. A tick is a rise of the power over two milliseconds above both the noise (the median of the eight seconds) and what was
//! there just before, so that neither loud rooms nor the ringing of the tick before count. Its time is where the power, on its way from the
//! noise to the peak, passes a third of it: the same place of every tick, however loud.

use biquad::{Biquad, Coefficients, DirectForm2Transposed, Hertz, Q_BUTTERWORTH_F64, Type};

use super::HeardTick;
use super::beat_search::median;

/// Cells of the power a second, about.
const CELLS_PER_S: f64 = 4000.0;

/// Seconds that are looked at together, and those before and after that only lend their neighbourhood.
const BLOCK_S: f64 = 8.0;
const MARGIN_S: f64 = 0.1;

/// Time over which a rise counts, and the time before it with which it is compared: from the first to the second, s before.
const RISE_S: f64 = 2e-3;
const BEFORE_S: (f64, f64) = (35e-3, 3e-3);

/// Rise of the power that may be a tick.
const LEAST_RISE: f64 = 4.0;

/// Time on either side within which only the sharpest rise counts, s: sounds closer to each other are one.
const APART_S: f64 = 30e-3;

/// Share of the way from noise to peak at which the tick begins.
const BEGINS_AT: f64 = 0.33;

/// Least power that counts as noise: digital silence has none.
const LEAST_NOISE: f64 = 1e-12;

/// A band of frequencies in which ticks are looked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Band {
    /// Lower limit, Hz.
    pub from_hz: f64,
    /// Upper limit, Hz; `None`: all that the recording has.
    pub to_hz: Option<f64>,
}

/// Knocks of wood, and clicks of metal and plastic above the voices of a room.
pub const BANDS: [Band; 2] = [Band { from_hz: 300.0, to_hz: Some(1500.0) }, Band { from_hz: 1800.0, to_hz: None }];

/// Least rate of samples that holds the bands, Hz.
pub const LEAST_RATE_HZ: u32 = 8000;

/// Finds the onsets of one band.
#[derive(Debug, Clone)]
pub struct OnsetFinder {
    filters: Vec<DirectForm2Transposed<f64>>,
    samples_a_cell: usize,
    cell_s: f64,
    sum: f64,
    summed: usize,
    /// Power of the cells that are still needed.
    cells: Vec<f32>,
    /// Number of the first of them from the recording's start.
    first_cell: u64,
    onsets: Vec<HeardTick>,
}

impl OnsetFinder {
    /// A finder for a recording of so many samples a second; `None` where those do not hold the band.
    #[must_use]
    pub fn new(band: Band, rate_hz: u32) -> Option<Self> {
        if rate_hz < LEAST_RATE_HZ {
            return None;
        }
        let rate = Hertz::<f64>::from_hz(f64::from(rate_hz)).ok()?;
        let filter = |kind, at_hz| {
            let at = Hertz::<f64>::from_hz(at_hz).ok()?;
            Coefficients::<f64>::from_params(kind, rate, at, Q_BUTTERWORTH_F64)
                .ok()
                .map(DirectForm2Transposed::<f64>::new)
        };
        let mut filters = vec![filter(Type::HighPass, band.from_hz)?, filter(Type::HighPass, band.from_hz)?];
        if let Some(to_hz) = band.to_hz {
            filters.push(filter(Type::LowPass, to_hz)?);
        }
        let samples_a_cell = (f64::from(rate_hz) / CELLS_PER_S).round().max(1.0) as usize;
        Some(Self {
            filters,
            samples_a_cell,
            cell_s: samples_a_cell as f64 / f64::from(rate_hz),
            sum: 0.0,
            summed: 0,
            cells: Vec::new(),
            first_cell: 0,
            onsets: Vec::new(),
        })
    }

    /// Goes on by further samples.
    pub fn hear(&mut self, samples: &[f32]) {
        for &sample in samples {
            let mut value = if sample.is_finite() { f64::from(sample) } else { 0.0 };
            for filter in &mut self.filters {
                value = filter.run(value);
            }
            self.sum += value * value;
            self.summed += 1;
            if self.summed == self.samples_a_cell {
                self.cells.push((self.sum / self.samples_a_cell as f64) as f32);
                (self.sum, self.summed) = (0.0, 0);
                if self.cells.len() == self.count(BLOCK_S + 2.0 * MARGIN_S) {
                    self.look(self.count(BLOCK_S + MARGIN_S));
                    let done = self.count(BLOCK_S);
                    self.cells.drain(..done);
                    self.first_cell += done as u64;
                }
            }
        }
    }

    /// The onsets of the whole recording, in order of time.
    #[must_use]
    pub fn finish(mut self) -> Vec<HeardTick> {
        self.look(self.cells.len());
        self.onsets
    }

    fn count(&self, duration_s: f64) -> usize {
        (duration_s / self.cell_s).round() as usize
    }

    /// Looks for onsets from the margin (at the recording's start from its first cell) to `until`.
    fn look(&mut self, until: usize) {
        let cells = &self.cells;
        let (rise, apart) = (self.count(RISE_S).max(1), self.count(APART_S));
        let (long, short) = (self.count(BEFORE_S.0), self.count(BEFORE_S.1));
        let margin = self.count(MARGIN_S);
        if cells.len() < 4 * margin {
            return;
        }
        let mut sums = Vec::with_capacity(cells.len() + 1);
        let mut sum = 0.0_f64;
        sums.push(sum);
        for &cell in cells {
            sum += f64::from(cell);
            sums.push(sum);
        }
        let mean = |from: usize, to: usize| (sums[to] - sums[from]) / (to - from) as f64;
        let noise = median((0..cells.len() / rise).map(|part| mean(part * rise, (part + 1) * rise)).collect());
        let noise = noise.max(LEAST_NOISE);
        let from = if self.first_cell == 0 { long } else { margin };
        let last = until.min(cells.len() - rise);
        // Two sounds within the reach are compared across the ends of the stretch too.
        let low = from.saturating_sub(apart).max(long);
        let high = (last + apart).min(cells.len() - rise);
        let rises: Vec<f64> =
            (low..high).map(|cell| mean(cell, cell + rise) / mean(cell - long, cell - short).max(noise)).collect();
        let mut cell = from;
        while cell < last {
            let value = rises[cell - low];
            if !(value > LEAST_RISE) {
                cell += 1;
                continue;
            }
            let near = (cell - low).saturating_sub(apart)..(cell - low + apart + 1).min(rises.len());
            let sharpest = rises[near.clone()].iter().all(|&other| other <= value);
            if sharpest {
                let before = mean(cell - long, cell - short).max(noise);
                let place = begins(cells, cell.saturating_sub(rise), cell + 2 * rise, before);
                let power = mean(cell, cell + rise);
                let time_s = (self.first_cell as f64 + place) * self.cell_s;
                self.onsets.push(HeardTick { time_s, strength: (power / noise).sqrt() });
                cell += apart;
            } else {
                cell += 1;
            }
        }
    }
}

/// Where the power passes a share of the way from what was before to its peak, in cells, between the middles of cells.
fn begins(cells: &[f32], from: usize, to: usize, before: f64) -> f64 {
    let to = to.min(cells.len());
    let peak = cells[from..to].iter().fold(0.0_f32, |peak, &cell| peak.max(cell));
    let level = before + BEGINS_AT * (f64::from(peak) - before);
    let crossing = (from..to).find(|&cell| f64::from(cells[cell]) >= level).unwrap_or(from);
    let above = f64::from(cells[crossing]);
    let below = crossing.checked_sub(1).map_or(before, |cell| f64::from(cells[cell]));
    let share = if above > below { ((level - below) / (above - below)).clamp(0.0, 1.0) } else { 1.0 };
    crossing as f64 - 0.5 + share
}
