//! What wall and hanging weight do to a clock: its rate and its loss over the run, the worst place of the weight, and how stiff a support has
//! to be for nobody to care.
//!
//! A weight on a pulley hangs on two falls and is no simple pendulum; it is taken for one from the drum to its middle. The weight's mass is
//! that of the scenario, also in the search for the least one.

use crate::clock::build::Built;
use crate::clock::design::Support;
use crate::clock::mechanism::Mechanism;
use crate::clock::support::mode::PendulumMode;
use crate::clock::support::{Carried, DEFAULT_LOSS_FACTOR, DEFAULT_MOVING_MASS_KG, UNSTATED_WEIGHT};
use crate::clock::train::losses::RunTime;
use crate::clock::{SECONDS_PER_DAY, design::WeightDrive};
use crate::numerics::peak::highest;
use crate::numerics::root::parted_in_ratio;

use super::bench::DECAY_FROM_RAD;
use super::prediction::Prediction;
use super::return_map::Clock;
use super::solve::{Solver, Wanted};
use super::steady::q_factor;
use super::verdict::{Reason, Verdict};

/// Share of the pendulum's own `1/Q` below which what the support adds no longer matters.
pub const SHARE_THAT_MATTERS: f64 = 0.01;

/// Shift of the rate below which it no longer matters, s/day.
pub const SHIFT_THAT_MATTERS_S_PER_DAY: f64 = 0.1;

/// Even steps over the run.
const EVEN_STEPS: usize = 48;

/// Steps on either side of the place where the weight passes the bob, closest together there.
const STEPS_ASIDE: i32 = 24;

/// Stiffnesses between which the one from which it no longer matters is looked for, N/m.
const STIFFNESS_N_PER_M: (f64, f64) = (1.0, 1e15);

/// Relative width to which it is found.
const WIDTH: f64 = 1e-6;

/// The pendulum's mode with the weight at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SupportPlace {
    /// From the drum to the weight's middle, m.
    pub hangs_m: f64,
    /// Days since winding; `None` without a time base.
    pub days: Option<f64>,
    /// Rate over a support that gives way to nothing, s/day.
    pub rate_shift_s_per_day: f64,
    /// `1/Q` that the support adds.
    pub added_q: f64,
}

/// What becomes of the clock at the worst place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstPlace {
    /// The place.
    pub place: SupportPlace,
    /// Why the clock stops there; `None` where it keeps going.
    pub stops: Option<Reason>,
    /// Mean semi-arc there, rad; `None` where it stops or wanders.
    pub semi_arc_rad: Option<f64>,
}

/// What a scenario's support does.
#[derive(Debug, Clone, PartialEq)]
pub struct OnSupport {
    /// The support.
    pub support: Support,
    /// With the weight wound up; without a weight, all there is.
    pub at_start: SupportPlace,
    /// With no weight on the cord.
    pub without_weight: (f64, f64),
    /// Rate shifts on a support as much stiffer and as much softer as the typical stiffness may be off; `None` for a stated one.
    pub shift_within_s_per_day: Option<(f64, f64)>,
    /// Over the run, in order of the fall; empty without a weight.
    pub run: Vec<SupportPlace>,
    /// Days after winding at which the weight swings in the pendulum's time; `None` where it never does.
    pub passes_bob_after_days: Option<f64>,
    /// Where the support adds the most loss; `None` without a weight.
    pub worst: Option<WorstPlace>,
}

/// What wall and hanging weight do to a clock.
#[derive(Debug, Clone, PartialEq)]
pub struct SupportAnswer {
    /// Stiffness from which the support no longer matters, N/m; `None` where none of those looked at is that stiff, or none matters.
    pub stiffness_needed_n_per_m: Option<f64>,
    /// The same if the shift with the weight wound up is taken up by the rating nut, and what counts of it is its change over the run.
    pub stiffness_needed_once_regulated_n_per_m: Option<f64>,
    /// The pendulum's own `1/Q` at its swing; `None` without damping.
    pub own_q: Option<f64>,
    /// Length at which the weight passes the bob, m; `None` without a weight.
    pub passing_length_m: Option<f64>,
    /// From the drum to the weight's middle, wound up and run down, m; `None` without a weight.
    pub hangs_m: Option<(f64, f64)>,
    /// On the scenario's support; `None` where it gives none.
    pub on_support: Option<OnSupport>,
}

impl SupportAnswer {
    /// The answer for a predicted clock. What is linear in the swing needs no motion; the worst place is asked of the limit cycle.
    #[must_use]
    pub fn of(prediction: &Prediction) -> Self {
        let built = &prediction.built;
        let carried = &built.carried;
        let fall = Fall::of(built, prediction.run_time);
        let own_q = own_q(prediction);
        let unstated = Support {
            kind: None,
            stiffness_n_per_m: f64::INFINITY,
            stiffness_within: 1.0,
            loss_factor: DEFAULT_LOSS_FACTOR,
            moving_mass_kg: DEFAULT_MOVING_MASS_KG,
            weight: UNSTATED_WEIGHT,
        };
        let asked = carried.support.unwrap_or(unstated);
        Self {
            stiffness_needed_n_per_m: stiffness_needed(carried, &asked, fall.as_ref(), own_q, false),
            stiffness_needed_once_regulated_n_per_m: stiffness_needed(carried, &asked, fall.as_ref(), own_q, true),
            own_q,
            passing_length_m: carried.passing_length_m(),
            hangs_m: fall.as_ref().map(|fall| (fall.from_m, fall.from_m + fall.by_m)),
            on_support: carried.support.and_then(|support| on_support(built, &support, fall.as_ref())),
        }
    }
}

/// The weight's way over a run.
#[derive(Debug, Clone, Copy)]
struct Fall {
    from_m: f64,
    by_m: f64,
    days: Option<f64>,
}

impl Fall {
    fn of(built: &Built, run_time: Option<RunTime>) -> Option<Self> {
        built.carried.weight_kg?;
        let drive: &WeightDrive = built.weight_drive.as_ref()?;
        let share = run_time.map_or(1.0, |run| run.share_of_drop());
        let days = run_time.map(|run| run.run_time_s / SECONDS_PER_DAY);
        Some(Self { from_m: built.carried.hangs_m(), by_m: share * drive.drop_m, days })
    }

    fn days_at(&self, hangs_m: f64) -> Option<f64> {
        let days = if self.by_m > 0.0 { self.days? * (hangs_m - self.from_m) / self.by_m } else { 0.0 };
        Some(days).filter(|days| days.is_finite())
    }

    /// Places over the run in order: even ones, and ones that crowd where the weight swings in the pendulum's time, as a resonance of its Q does.
    fn places_m(&self, passing_m: Option<f64>, weight_q: f64) -> Vec<f64> {
        let end_m = self.from_m + self.by_m;
        let even = (0..=EVEN_STEPS).map(|number| self.from_m + self.by_m * number as f64 / EVEN_STEPS as f64);
        let aside = passing_m.into_iter().flat_map(|passing_m| {
            let turn = std::f64::consts::FRAC_PI_2 / f64::from(STEPS_ASIDE + 1);
            (-STEPS_ASIDE..=STEPS_ASIDE)
                .map(move |number| passing_m * (1.0 + (turn * f64::from(number)).tan() / weight_q))
        });
        let mut places: Vec<f64> = even.chain(aside).filter(|place| (self.from_m..=end_m).contains(place)).collect();
        places.sort_by(f64::total_cmp);
        places.dedup();
        places
    }
}

/// The pendulum's `1/Q` without its support, at its swing: the steady one, else the arc that lets a tooth escape, else a usual one.
fn own_q(prediction: &Prediction) -> Option<f64> {
    let escaping = || Clock::of(&prediction.built.mechanism).map(|clock| clock.escaping_arcs_rad());
    let swing_rad = match prediction.measured() {
        Some(measured) => measured.semi_arc_rad(),
        None => escaping().map_or(0.0, |(right, left)| right.max(left)),
    };
    let swing_rad = if swing_rad > 0.0 && swing_rad.is_finite() { swing_rad } else { DECAY_FROM_RAD };
    q_factor(&prediction.built.carried.rigid, swing_rad).map(f64::recip)
}

fn place(carried: &Carried, mode: &PendulumMode, hangs_m: f64, fall: Option<&Fall>) -> SupportPlace {
    SupportPlace {
        hangs_m,
        days: fall.and_then(|fall| fall.days_at(hangs_m)),
        rate_shift_s_per_day: carried.rate_shift_s_per_day(mode),
        added_q: mode.added_q,
    }
}

fn on_support(built: &Built, support: &Support, fall: Option<&Fall>) -> Option<OnSupport> {
    let carried = &built.carried;
    let hangs_m = support.weight.hangs_m;
    let at = |hangs_m: f64| carried.mode(support, Some(hangs_m)).map(|mode| place(carried, &mode, hangs_m, fall));
    let bare = carried.mode(support, None)?;
    let shift = |stiffness: f64| {
        let mode = carried.mode(&support.with_stiffness(stiffness), Some(hangs_m))?;
        Some(carried.rate_shift_s_per_day(&mode))
    };
    let within = support.stiffness_within;
    let shifts = shift(support.stiffness_n_per_m * within).zip(shift(support.stiffness_n_per_m / within));
    let passing_m = carried.passing_length_m();
    let places = fall.map(|fall| fall.places_m(passing_m, support.weight.q)).unwrap_or_default();
    let added = |hangs_m: f64| carried.mode(support, Some(hangs_m)).map_or(f64::NEG_INFINITY, |mode| mode.added_q);
    Some(OnSupport {
        support: *support,
        at_start: at(hangs_m)?,
        without_weight: (carried.rate_shift_s_per_day(&bare), bare.added_q),
        shift_within_s_per_day: shifts.filter(|_| within > 1.0),
        run: places.iter().filter_map(|&hangs_m| at(hangs_m)).collect(),
        passes_bob_after_days: fall
            .zip(passing_m)
            .filter(|(fall, passing_m)| (fall.from_m..=fall.from_m + fall.by_m).contains(passing_m))
            .and_then(|(fall, passing_m)| fall.days_at(passing_m)),
        worst: highest(&places, &added).and_then(|(hangs_m, _)| worst(built, support, hangs_m, at(hangs_m)?)),
    })
}

/// The clock with its weight at the worst place, its motion solved with what the support takes there.
fn worst(built: &Built, support: &Support, hangs_m: f64, place: SupportPlace) -> Option<WorstPlace> {
    let mode = built.carried.mode(support, Some(hangs_m))?;
    let pendulum = built.carried.model_in(&mode);
    let there = Built { mechanism: Mechanism { pendulum, ..built.mechanism.clone() }, ..built.clone() };
    let solution = Solver::new(&there).wanted(Wanted::NOTHING).solve().ok()?;
    let stops = match solution.verdict {
        Verdict::Stops(reason, _) => Some(reason),
        Verdict::KeepsGoing(_) | Verdict::Wanders(..) => None,
    };
    let semi_arc_rad = solution.steady.ok().map(|steady| steady.measured.semi_arc_rad());
    Some(WorstPlace { place, stops, semi_arc_rad })
}

/// The stiffness from which neither the loss nor the shift of the rate matters wherever the weight is over the run; from the stiffest downwards, so
/// that softer ones under which both happen to be small do not count. `regulated`: of the shift counts what differs from that of the wound weight.
fn stiffness_needed(
    carried: &Carried,
    support: &Support,
    fall: Option<&Fall>,
    own_q: Option<f64>,
    regulated: bool,
) -> Option<f64> {
    let passing_m = carried.passing_length_m();
    let places = fall.map_or_else(|| vec![support.weight.hangs_m], |fall| fall.places_m(passing_m, support.weight.q));
    let matters = |stiffness: f64| {
        let support = support.with_stiffness(stiffness);
        let wound = carried.mode(&support, Some(support.weight.hangs_m)).filter(|_| regulated);
        let taken_up = wound.map_or(0.0, |mode| carried.rate_shift_s_per_day(&mode));
        let too_much = |hangs_m: f64| {
            let Some(mode) = carried.mode(&support, Some(hangs_m)) else { return f64::INFINITY };
            let shift = (carried.rate_shift_s_per_day(&mode) - taken_up).abs() / SHIFT_THAT_MATTERS_S_PER_DAY;
            own_q.map_or(shift, |own_q| shift.max(mode.added_q / (SHARE_THAT_MATTERS * own_q)))
        };
        highest(&places, &too_much).is_none_or(|(_, share)| share > 1.0)
    };
    let (softest, mut above) = STIFFNESS_N_PER_M;
    if matters(above) {
        return None;
    }
    let below = loop {
        let next = 0.1 * above;
        if next < softest {
            return None;
        }
        if matters(next) {
            break next;
        }
        above = next;
    };
    Some(parted_in_ratio((below, above), WIDTH, matters).1)
}
