//! What the least drive of one clock has taught for clocks much like it.

use super::edge_start::{EdgePlace, EdgeStart};
use super::gain_scan::{best_gain, probe_starts};
use super::least_drive::{LARGER, NEIGHBOURHOOD, best_near, close_in, holding_drive};
use super::return_map::Clock;

/// Drives further apart than by this factor are not those of clocks much alike.
const MUCH_ALIKE: f64 = 2.0;

/// Starts, among those that the least drive does not hold, that are asked whether another clock's least drive holds them.
const RIVALS: usize = 5;

/// The least drive of one clock, and what it has taught for clocks much like it.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownLeast {
    /// Least drive.
    drive: f64,
    /// Net torque on the advancing wheel under it, N m; `None` without a wheel. What frictions of the train change leaves it nearly as it is.
    forward_n_m: Option<f64>,
    /// The start that it just holds, in escaping arcs.
    best: f64,
    /// The least drive over the one that holds a somewhat larger start.
    by_larger: f64,
    /// The starts that come next to being held, in escaping arcs.
    rivals: Vec<f64>,
    /// More, where that start is the smallest that comes round.
    edge: Option<EdgeStart>,
}

impl KnownLeast {
    /// From a clock's least `drive`; `None` where its best start is none that clocks much like it would share.
    #[must_use]
    pub fn of<'m>(with: &impl Fn(f64) -> Clock<'m>, drive: f64) -> Option<Self> {
        let clock = with(drive);
        let escape = clock.widest_escaping_arc_rad();
        let mut probes = probe_starts(&clock);
        let best = best_gain(&clock, &probes)?;
        let larger = LARGER * best.start_rad;
        let gain = |drive: f64| with(drive).period_from(larger).gain_rad(larger);
        let held = holding_drive(&gain, (drive, gain(drive)?))?;
        probes
            .retain(|probe| probe.gain_rad.is_some() && (probe.start_rad / best.start_rad - 1.0).abs() > LARGER - 1.0);
        probes.sort_by(|a, b| b.gain_rad.unwrap_or(f64::MIN).total_cmp(&a.gain_rad.unwrap_or(f64::MIN)));
        let rivals = probes.iter().take(RIVALS).map(|probe| probe.start_rad / escape).collect();
        let edge = EdgeStart::of(with, drive, best.start_rad / escape);
        (escape > 0.0).then(|| Self {
            drive,
            forward_n_m: clock.forward_n_m(),
            best: best.start_rad / escape,
            by_larger: drive / held,
            rivals,
            edge,
        })
    }

    /// Where it just holds the smallest start that comes round: net torque, N m, start and its clearance, in escaping arcs.
    pub(super) fn at_edge(&self) -> Option<[f64; 3]> {
        let place = self.edge?.place(self.drive);
        Some([self.forward_n_m?, place.start, place.clearance])
    }

    /// The same for a clock for which these are foreseen.
    pub(super) fn foreseen(&self, [forward_n_m, start, clearance]: [f64; 3]) -> Self {
        let edge = self.edge.map(|edge| edge.foreseen(start, clearance));
        Self { forward_n_m: Some(forward_n_m), edge, ..self.clone() }
    }

    /// The drive of another clock that turns its wheel as strongly.
    fn drive_of<'m>(&self, with: &impl Fn(f64) -> Clock<'m>) -> f64 {
        const ROUNDS: usize = 4;
        let forward = |drive: f64| with(drive).forward_n_m();
        let found = self.forward_n_m.and_then(|wanted| {
            let (mut before, mut here) = (0.9 * self.drive, self.drive);
            for _ in 0..ROUNDS {
                let slope = (forward(here)? - forward(before)?) / (here - before);
                let next = here + (wanted - forward(here)?) / slope;
                if (next - here).abs() <= f64::EPSILON * here {
                    break;
                }
                (before, here) = (here, next);
            }
            Some(here)
        });
        found.filter(|drive| (1.0 / MUCH_ALIKE..MUCH_ALIKE).contains(&(drive / self.drive))).unwrap_or(self.drive)
    }

    /// Where the least drive of a clock much like the known one just holds its smallest start that comes round: as [`Self::at_edge`].
    pub(super) fn at_edge_near<'m>(&self, with: &impl Fn(f64) -> Clock<'m>) -> Option<[f64; 3]> {
        let EdgePlace { drive, start, clearance } = self.edge?.near(with, self.drive_of(with))?;
        Some([with(drive).forward_n_m()?, start, clearance])
    }

    /// The same for a wheel whose teeth differ, learnt from one whose teeth are alike.
    ///
    /// | argument | meaning | unit |
    /// |---|---|---|
    /// | `periods` | periods of a turn | |
    /// | `hardest` | those before the tooth that needs the widest swing | |
    /// | `more_swing` | by what share of itself the escaping arc of that tooth is larger than the known clock's | |
    pub(super) fn over_a_turn(self, periods: usize, hardest: usize, more_swing: f64) -> Self {
        // The energy of a swing is as its square.
        let drive = self.drive * (1.0 + more_swing).powi(2);
        // The torque known is that of the drive before it was raised.
        Self { drive, forward_n_m: None, edge: self.edge.map(|edge| edge.over_a_turn(periods, hardest)), ..self }
    }

    /// The least drive of a clock much like the known one; `None` where it turns out not to be: then [`least_drive`](super::least_drive::least_drive) is to be asked.
    #[must_use]
    pub fn near<'m>(&self, with: &impl Fn(f64) -> Clock<'m>) -> Option<f64> {
        let escape = with(self.drive).widest_escaping_arc_rad();
        let (found, settled) = match self.edge.and_then(|edge| edge.near(with, self.drive_of(with))) {
            Some(place) => (place.drive, true),
            None => self.searched_near(with, escape)?,
        };
        let clock = with(found);
        let alike = (1.0 / MUCH_ALIKE..MUCH_ALIKE).contains(&(found / self.drive));
        let rivalled = || {
            self.rivals.iter().any(|rival| {
                let start = rival * escape;
                clock.period_from(start).gain_rad(start).is_some_and(|gain| gain > 0.0)
            })
        };
        (settled && alike && !rivalled()).then_some(found)
    }

    /// The same by the best start at one drive after another, and whether that closed in.
    fn searched_near<'m>(&self, with: &impl Fn(f64) -> Clock<'m>, escape: f64) -> Option<(f64, bool)> {
        let start = self.best * escape;
        let larger = LARGER * start;
        let gain = |drive: f64| with(drive).period_from(larger).gain_rad(larger);
        let excess = gain(self.drive)?;
        let held = holding_drive(&gain, (self.drive, excess))?;
        let larger_slope = Some(excess / (self.drive - held)).filter(|slope| slope.is_finite());
        let best = best_near(&with(held), start)?;
        if !(best.gain_rad? > 0.0) {
            return None;
        }
        Some(close_in(with, (held, best), held * self.by_larger.min(1.0 - 0.1 * NEIGHBOURHOOD), larger_slope))
    }
}
