//! What one clock has taught for clocks much like it: printed copies of one design, or a design with one dimension changed a little.
//!
//! Its figures are first guesses; each is found anew and checked, and where a check fails all is searched as if nothing were known.

use crate::clock::build::Built;

use super::cycle::fixed_point_near;
use super::gain_scan::{GainScan, Probe, gain_scan};
use super::known_least::KnownLeast;
use super::return_map::Clock;
use super::solve::Solver;

/// Starts below and above the steady swing at which another clock is asked whether it gains and loses there, too.
const ASKED_BELOW: usize = 5;
const ASKED_ABOVE: usize = 2;

/// A known clock.
#[derive(Debug, Clone, PartialEq)]
pub struct WarmStart {
    escape_rad: f64,
    /// Right amplitude and the starts asked, rad; `None` where the clock has not just one steady swing.
    steady: Option<(f64, Vec<f64>)>,
    least: Option<KnownLeast>,
}

impl WarmStart {
    /// A clock that was built; `None` where it has no drive.
    #[must_use]
    pub fn of(built: &Built) -> Option<Self> {
        let clock = Clock::of(&built.mechanism)?;
        let known = gain_scan(&clock);
        let steady = match known.stable[..] {
            [point] => asked(&known.probes, point.right_rad).map(|asked| (point.right_rad, asked)),
            _ => None,
        };
        let solver = Solver::new(built).dial_solved();
        let drivable = solver.least_drivable()?;
        let least = solver.bare_least().ok();
        let least = least.and_then(|least| KnownLeast::of(&|drive| drivable.clock_at(drive), least.value()));
        Some(Self { escape_rad: clock.widest_escaping_arc_rad(), steady, least })
    }

    /// What is known of the least drive.
    #[must_use]
    pub fn least(&self) -> Option<&KnownLeast> {
        self.least.as_ref()
    }

    /// The gain scan of a clock, with few probes where it is much like the known one: every start between the least of them and
    /// the steady swing gains, those above lose.
    #[must_use]
    pub fn gain_scan(&self, clock: &Clock<'_>) -> GainScan {
        self.short_gain_scan(clock).unwrap_or_else(|| gain_scan(clock))
    }

    fn short_gain_scan(&self, clock: &Clock<'_>) -> Option<GainScan> {
        let (steady_rad, asked) = self.steady.as_ref()?;
        let scale = clock.widest_escaping_arc_rad() / self.escape_rad;
        let point = fixed_point_near(clock, scale * steady_rad).filter(|point| point.multiplier.abs() < 1.0)?;
        let mut probes = Vec::with_capacity(asked.len());
        for start in asked {
            let start_rad = scale * start;
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
