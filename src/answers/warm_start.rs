//! What one clock has taught for clocks much like it: printed copies of one design, or a design with one dimension changed a little.
//!
//! Its figures are first guesses; each is found anew and checked, and where a check fails all is searched as if nothing were known.

use nalgebra::SVector;

use crate::clock::build::Built;

use super::cycle::{FixedPoint, slope_at, stable_point_sloped};
use super::gain_scan::{GainScan, Probe, gain_scan};
use super::known_least::KnownLeast;
use super::lasting_swing::LastingSwing;
use super::return_map::Clock;
use super::solve::Solver;

/// Starts below and above the steady swing at which another clock is asked whether it gains and loses there, too.
const ASKED_BELOW: usize = 5;
const ASKED_ABOVE: usize = 2;

/// Where the searches of a clock end, in numbers that change smoothly from one clock to others much like it: its steady swing and the one with
/// which it clears the margin (with hands those differ), in escaping arcs, the logarithm of the net torque on the wheel under the least drive,
/// N m, the smallest start that this holds and that start's clearance, in escaping arcs. NaN where there is none.
pub type EndPlaces = SVector<f64, 5>;

/// A known clock.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmStart {
    escape_rad: f64,
    steady: Option<KnownSteady>,
    /// Right amplitude under the torque of the hands that stands for the least swing of the twelve hours, rad.
    carrying_rad: Option<f64>,
    least: Option<KnownLeast>,
}

/// The steady swing of a clock that has just one.
#[derive(Debug, Clone, PartialEq)]
struct KnownSteady {
    right_rad: f64,
    /// Slope of the return map there.
    multiplier: f64,
    /// Starts at which others are asked, as shares of the way from the escaping arc to the steady swing.
    asked: Vec<f64>,
}

impl KnownSteady {
    fn of(point: &FixedPoint, probes: &[Probe], escape_rad: f64) -> Option<Self> {
        let FixedPoint { right_rad, multiplier, .. } = *point;
        let share = |start_rad: f64| (start_rad - escape_rad) / (right_rad - escape_rad);
        let asked = asked(probes, right_rad)?.into_iter().map(share).collect();
        (right_rad > escape_rad).then_some(Self { right_rad, multiplier, asked })
    }
}

impl WarmStart {
    /// A clock that was built; `None` where it has no drive.
    #[must_use]
    pub fn of(built: &Built) -> Option<Self> {
        let clock = Clock::of(&built.mechanism)?;
        let escape_rad = clock.widest_escaping_arc_rad();
        let known = gain_scan(&clock);
        let steady = match known.stable[..] {
            [point] => KnownSteady::of(&point, &known.probes, escape_rad),
            _ => None,
        };
        let solver = Solver::new(built).dial_solved();
        let carrying_rad = steady
            .as_ref()
            .and_then(|steady| Some(LastingSwing::near(&solver.carrying_clock()?, steady.right_rad)?.right_rad));
        let drivable = solver.least_drivable()?;
        let least = solver.bare_least().ok();
        let least = least.and_then(|least| KnownLeast::of(&|drive| drivable.clock_at(drive), least.value()));
        Some(Self { escape_rad, steady, carrying_rad, least })
    }

    /// Its own places.
    #[must_use]
    pub fn places(&self) -> EndPlaces {
        let swing = |right_rad: Option<f64>| right_rad.map_or(f64::NAN, |right_rad| right_rad / self.escape_rad);
        let edge = self.least.as_ref().and_then(KnownLeast::at_edge);
        places(swing(self.steady.as_ref().map(|steady| steady.right_rad)), swing(self.carrying_rad), edge)
    }

    /// The places of another clock, looked for from here.
    #[must_use]
    pub fn places_of(&self, built: &Built) -> EndPlaces {
        let solver = Solver::new(built).warm(Some(self));
        let Some(clock) = Clock::of(&built.mechanism) else { return EndPlaces::repeat(f64::NAN) };
        let escape_rad = clock.widest_escaping_arc_rad();
        let steady = self.short_gain_scan(&clock).and_then(|scan| scan.stable.into_iter().next());
        let steady_rad = steady.map_or(f64::NAN, |point| point.right_rad);
        let carrying = solver.carrying_clock();
        let carrying = carrying.and_then(|clock| self.carrying_point(&clock, steady_rad));
        let carrying_rad = carrying.map_or(f64::NAN, |point| point.right_rad);
        let least = solver.least_drivable().zip(self.least.as_ref());
        let edge = least.and_then(|(drivable, least)| least.at_edge_near(&|drive| drivable.clock_at(drive)));
        places(steady_rad / escape_rad, carrying_rad / escape_rad, edge)
    }

    /// What to look for first of a clock for which these places are foreseen.
    #[must_use]
    pub fn foreseen(&self, places: &EndPlaces) -> Self {
        let [steady, carrying, ln_forward, start, clearance] = places.data.0[0];
        let swing = |place: f64, known_rad: f64| if place.is_finite() { place * self.escape_rad } else { known_rad };
        let edge = [ln_forward.exp(), start, clearance];
        let foreseen = |least: &KnownLeast| match edge.iter().all(|value| value.is_finite()) {
            true => least.foreseen(edge),
            false => least.clone(),
        };
        Self {
            escape_rad: self.escape_rad,
            steady: self.steady.clone().map(|known| KnownSteady { right_rad: swing(steady, known.right_rad), ..known }),
            carrying_rad: self.carrying_rad.map(|known_rad| swing(carrying, known_rad)),
            least: self.least.as_ref().map(foreseen),
        }
    }

    /// The steady swing of a clock with hands under the torque that stands for the least swing of its twelve hours, where that under the mean
    /// torque is known, rad.
    pub(super) fn carrying_point(&self, clock: &Clock<'_>, steady_rad: f64) -> Option<FixedPoint> {
        let known = self.steady.as_ref()?;
        let near_rad = steady_rad * self.carrying_rad? / known.right_rad;
        stable_point_sloped(clock, near_rad, known.multiplier)
    }

    /// What is known of the least drive.
    #[must_use]
    pub fn least(&self) -> Option<&KnownLeast> {
        self.least.as_ref()
    }

    /// The gain scan of a clock, with few probes where it is much like the known one: every start between the least of them and
    /// the steady swing gains, those above lose. The multiplier is then good to some 1e-3, unless it is asked to be `exact`.
    #[must_use]
    pub fn gain_scan(&self, clock: &Clock<'_>, exact: bool) -> GainScan {
        let Some(mut scan) = self.short_gain_scan(clock) else { return gain_scan(clock) };
        if exact && let Some(point) = scan.stable.first_mut() {
            point.multiplier = slope_at(clock, point.right_rad).unwrap_or(point.multiplier);
        }
        scan
    }

    fn short_gain_scan(&self, clock: &Clock<'_>) -> Option<GainScan> {
        let known = self.steady.as_ref()?;
        let escape_rad = clock.widest_escaping_arc_rad();
        let scale = escape_rad / self.escape_rad;
        let point = stable_point_sloped(clock, scale * known.right_rad, known.multiplier)?;
        let mut probes = Vec::with_capacity(known.asked.len());
        for share in &known.asked {
            let start_rad = escape_rad + share * (point.right_rad - escape_rad);
            let gain_rad = clock.period_from(start_rad).gain_rad(start_rad)?;
            if !(gain_rad * (point.right_rad - start_rad) > 0.0) {
                return None;
            }
            probes.push(Probe { start_rad, gain_rad: Some(gain_rad) });
        }
        let both_sides = probes.first()?.start_rad < point.right_rad && probes.last()?.start_rad > point.right_rad;
        both_sides.then(|| GainScan { probes, stable: vec![point] })
    }
}

fn places(steady: f64, carrying: f64, edge: Option<[f64; 3]>) -> EndPlaces {
    let [forward_n_m, start, clearance] = edge.unwrap_or([f64::NAN; 3]);
    EndPlaces::from([steady, carrying, forward_n_m.ln(), start, clearance])
}

/// Starts of a clock with one steady swing at which others like it are asked: from the smallest but one that gains up to that swing, and the
/// next above it. `None` where the starts that gain are not all of those between.
fn asked(probes: &[Probe], steady_rad: f64) -> Option<Vec<f64>> {
    let gains = |probe: &&Probe| probe.gain_rad.is_some_and(|gain| gain > 0.0);
    let first = probes.iter().position(|probe| gains(&probe))?;
    let count = probes[first..].iter().take_while(gains).count();
    let (below, above) = (&probes[first..first + count], &probes[first + count..]);
    if above.iter().any(|probe| gains(&probe)) || above.len() < ASKED_ABOVE || below.len() < 3 {
        return None;
    }
    let last = below.len() - 1;
    let stride = |place: usize| 1 + place * (last - 1) / (ASKED_BELOW - 1);
    let mut starts: Vec<f64> = (0..ASKED_BELOW).map(|place| below[stride(place)].start_rad).collect();
    starts.dedup();
    starts.extend(above[..ASKED_ABOVE].iter().map(|probe| probe.start_rad));
    starts.iter().any(|&start| start < steady_rad).then_some(starts)
}
