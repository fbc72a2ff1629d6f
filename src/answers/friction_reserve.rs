//! By how much all frictions of a clock may grow together before it stops: what is left for dirt, wear and thick oil.

use crate::clock::build::Built;
use crate::clock::environment::InRoom;
use crate::clock::other_frictions::with_frictions_of;

use super::cycle::fixed_point_near;
use super::gain_scan::gain_scan;
use super::no_answer::NoAnswer;
use super::solve::Solver;
use super::verdict::Verdict;

/// Factor up to which a stop is looked for.
pub const LARGEST_FACTOR: f64 = 100.0;

/// Step by which the factor is raised until the clock stops.
const RAISED_BY: f64 = 1.3;

/// Relative width to which the factor is found.
const WIDTH: f64 = 2e-4;

/// Factor on all frictions of a clock, of teeth, bearings, hands, suspension and pallets, at which it stops under its own drive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum FrictionReserve {
    /// It goes below this factor and stops above.
    StopsAt(f64),
    /// It goes at [`LARGEST_FACTOR`] still.
    NeverStops,
}

impl FrictionReserve {
    /// The factor, where there is one.
    #[must_use]
    pub const fn factor(self) -> Option<f64> {
        match self {
            Self::StopsAt(factor) => Some(factor),
            Self::NeverStops => None,
        }
    }
}

/// The reserve of the clock of `in_room` that is built as `built`, by clocks built again with all frictions larger, each asked whether some
/// start gains. In the end the verdict from the maker's own start counts, as everywhere: where that stops before, the factor is looked for by it.
///
/// # Errors
/// [`NoAnswer::Stops`] where it stops as it is; [`NoAnswer::Build`] without a drive.
pub fn friction_reserve(in_room: &InRoom, built: &Built) -> Result<FrictionReserve, NoAnswer> {
    if let Verdict::Stops(reason, _) = Solver::new(built).scan()?.verdict_by_basins() {
        return Err(NoAnswer::Stops(reason));
    }
    let rougher = |factor: f64| with_frictions_of(&in_room.with_frictions_times(factor), built.clone()).ok();
    let goes = |factor: f64| {
        let rougher = rougher(factor);
        let scanned = rougher.as_ref().and_then(|built| Solver::new(built).scan().ok());
        scanned.is_some_and(|scanned| !matches!(scanned.verdict_by_basins(), Verdict::Stops(..)))
    };
    // Quicker: a clock keeps going from some start if and only if one gains amplitude.
    let mut guess_rad = None;
    let mut gains = |factor: f64| {
        let Some(rougher) = rougher(factor).filter(|rougher| !rougher.mechanism.jams) else { return false };
        let Some(clock) = Solver::new(&rougher).gaining_clock() else { return false };
        let about_rad = guess_rad.unwrap_or(1.5 * clock.widest_escaping_arc_rad().max(0.01));
        if let Some(point) = fixed_point_near(&clock, about_rad).filter(|point| point.multiplier.abs() < 1.0) {
            guess_rad = Some(point.right_rad);
            return true;
        }
        gain_scan(&clock).probes.iter().any(|probe| probe.gain_rad.is_some_and(|gain| gain >= 0.0))
    };
    let found = parted(1.0, LARGEST_FACTOR, &mut gains);
    let low = found.map_or(LARGEST_FACTOR, |found| found.0);
    if goes(low) {
        return Ok(found.map_or(FrictionReserve::NeverStops, middle));
    }
    Ok(parted(1.0, low, &mut |factor| goes(factor)).map_or(FrictionReserve::StopsAt(low), middle))
}

fn middle((goes, stops): (f64, f64)) -> FrictionReserve {
    FrictionReserve::StopsAt((goes * stops).sqrt())
}

/// The factors between which a clock that goes at `low` stops first on the way up to `high`; `None` where it goes there still.
fn parted(low: f64, high: f64, goes: &mut impl FnMut(f64) -> bool) -> Option<(f64, f64)> {
    let mut below = low;
    let mut above = loop {
        let next = (RAISED_BY * below).min(high);
        if !goes(next) {
            break next;
        }
        if next >= high {
            return None;
        }
        below = next;
    };
    while above - below > WIDTH * below {
        let between = (below * above).sqrt();
        if goes(between) { below = between } else { above = between }
    }
    Some((below, above))
}
