//! By how much the frictions of a clock may grow before it stops: all together, what is left for dirt, wear and thick oil, or as years have it.

use typed_arena::Arena;

use crate::clock::build::{BuildError, Built};
use crate::clock::environment::InRoom;
use crate::clock::other_frictions::with_frictions_of;
use crate::numerics::root::parted_in_ratio;

use super::drivable::Drivable;
use super::even_teeth::{just_holds, learnt};
use super::gain_scan::{best_gain, probe_starts};
use super::known_least::KnownLeast;
use super::least_drive;
use super::no_answer::NoAnswer;
use super::return_map::Clock;
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
    /// It goes at the largest factor that was tried still, of all frictions together [`LARGEST_FACTOR`].
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
    friction_reserve_near(in_room, built, None)
}

/// What a clock's reserve has taught for clocks much like it.
#[derive(Debug, Clone, PartialEq)]
pub struct KnownReserve(KnownLeast);

impl KnownReserve {
    /// From a clock's reserve; `None` where it has none to learn from.
    #[must_use]
    pub fn of(in_room: &InRoom, built: &Built, reserve: FrictionReserve) -> Option<Self> {
        let (kept, grown) = (Arena::new(), all_alike(in_room));
        let with = by_share(&grown, built, &kept).ok()?;
        KnownLeast::of(&with, reserve.factor()?.recip()).map(Self)
    }
}

/// A clock with frictions that have grown by a factor, each as it may.
pub(super) trait GrownFrictions: Fn(f64) -> InRoom {}

impl<G: Fn(f64) -> InRoom> GrownFrictions for G {}

/// All of them by the factor itself.
fn all_alike(in_room: &InRoom) -> impl GrownFrictions {
    |factor| in_room.with_frictions_times(factor)
}

/// The clock under a share: its frictions grown by the share's reciprocal. One that cannot be built, or jams, stands still.
fn by_share<'k>(
    grown: &'k impl GrownFrictions,
    built: &'k Built,
    kept: &'k Arena<Built>,
) -> Result<impl Fn(f64) -> Clock<'k>, BuildError> {
    let still = Drivable::of(built).map(|drivable| drivable.clock_at(0.0)).ok_or(BuildError::NoDrive)?;
    Ok(move |share: f64| {
        let rougher = rougher(grown, built, share.recip()).filter(|rougher| !rougher.mechanism.jams);
        rougher.and_then(|rougher| Solver::new(kept.alloc(rougher)).gaining_clock()).unwrap_or(still)
    })
}

/// The clock with frictions that have grown by a factor; `None` where it cannot be built.
fn rougher(grown: &impl GrownFrictions, built: &Built, factor: f64) -> Option<Built> {
    with_frictions_of(&grown(factor), built.clone()).ok()
}

/// The same, looked for where the reserve of a clock much like it is `known`.
///
/// # Errors
/// As [`friction_reserve`].
pub fn friction_reserve_near(
    in_room: &InRoom,
    built: &Built,
    known: Option<&KnownReserve>,
) -> Result<FrictionReserve, NoAnswer> {
    if let Verdict::Stops(reason, _) = Solver::new(built).scan()?.verdict_by_basins() {
        return Err(NoAnswer::Stops(reason));
    }
    friction_reserve_of_going(in_room, built, known)
}

/// The same for a clock that is known to go.
pub(super) fn friction_reserve_of_going(
    in_room: &InRoom,
    built: &Built,
    known: Option<&KnownReserve>,
) -> Result<FrictionReserve, NoAnswer> {
    factor_at_which_it_stops(&all_alike(in_room), built, known, LARGEST_FACTOR)
}

/// The same for frictions that have `grown` by a factor as they may, up to the `largest` factor that is asked for.
pub(super) fn factor_at_which_it_stops(
    grown: &impl GrownFrictions,
    built: &Built,
    known: Option<&KnownReserve>,
    largest: f64,
) -> Result<FrictionReserve, NoAnswer> {
    let goes = |factor: f64| {
        let rougher = rougher(grown, built, factor);
        if rougher.as_ref().is_some_and(|built| Solver::new(built).surely_goes()) {
            return true;
        }
        let scanned = rougher.as_ref().and_then(|built| Solver::new(built).scan().ok());
        scanned.is_some_and(|scanned| !matches!(scanned.verdict_by_basins(), Verdict::Stops(..)))
    };
    // Quicker: a clock keeps going from some start if and only if one gains amplitude. The least share of the frictions' reciprocal that one
    // does is looked for as the least drive is.
    let kept = Arena::new();
    let with = by_share(grown, built, &kept)?;
    let gains = |share: f64| {
        let clock = with(share);
        let best = best_gain(&clock, &probe_starts(&clock)).and_then(|best| best.gain_rad);
        best.is_some_and(|gain_rad| gain_rad >= 0.0)
    };
    let of_even =
        || known_of_even_teeth(grown, built, &with(1.0))?.near(&with).filter(|&share| just_holds(&with, share));
    let near =
        known.map_or_else(of_even, |known| known.0.near(&with)).filter(|share| (largest.recip()..=1.0).contains(share));
    let anew = || if gains(largest.recip()) { None } else { least_drive::searched(&with, 1.0) };
    let found = near.or_else(anew);
    let factor = found.map_or(largest, |share| share.recip().clamp(1.0, largest));
    let surely = if found.is_some() { (factor * (1.0 - WIDTH)).max(1.0) } else { factor };
    if goes(surely) {
        return Ok(found.map_or(FrictionReserve::NeverStops, |_| FrictionReserve::StopsAt(factor)));
    }
    Ok(parted(1.0, surely, &mut |factor| goes(factor)).map_or(FrictionReserve::StopsAt(surely), middle))
}

/// What the same clock with teeth alike teaches of one whose teeth differ.
fn known_of_even_teeth(grown: &impl GrownFrictions, built: &Built, uneven: &Clock<'_>) -> Option<KnownLeast> {
    let (alike, kept) = (built.with_teeth_alike()?, Arena::new());
    learnt(&by_share(grown, &alike, &kept).ok()?, 1.0, uneven)
}

fn middle((goes, stops): (f64, f64)) -> FrictionReserve {
    FrictionReserve::StopsAt((goes * stops).sqrt())
}

/// The factors between which a clock that goes at `low` stops first on the way up to `high`; `None` where it goes there still.
fn parted(low: f64, high: f64, goes: &mut impl FnMut(f64) -> bool) -> Option<(f64, f64)> {
    let mut below = low;
    let above = loop {
        let next = (RAISED_BY * below).min(high);
        if !goes(next) {
            break next;
        }
        if next >= high {
            return None;
        }
        below = next;
    };
    Some(parted_in_ratio((below, above), WIDTH, goes))
}
