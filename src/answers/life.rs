//! How a clock does over the years, as its frictions grow: how long it keeps the margin asked of it, when it stops, what ages most.
//!
//! All frictions are at their means, and grow by the same share of what they were when new each year ([`Ageing`]). Nobody cleans or oils it.
//! Wear that opens bearings, play and teeth is not followed, nor is creep.

use crate::clock::ageing::RubbingParts;
use crate::clock::build::Built;
use crate::clock::design::Ageing;
use crate::clock::environment::InRoom;
use crate::clock::other_frictions::with_frictions_of;
use crate::clock::rate_s_per_day;

use super::friction_reserve::{FrictionReserve, GrownFrictions, KnownReserve, factor_at_which_it_stops};
use super::lasting_swing::LastingSwing;
use super::least_drive_with_margin::zero_of;
use super::measure::{Measured, measure};
use super::no_answer::NoAnswer;
use super::prediction::Prediction;
use super::return_map::Clock;
use super::solve::{FIRST_GUESS_RAD, Solver};
use super::wandering::WanderingSwing;

/// Years beyond which nothing is asked.
pub const LONGEST_YEARS: f64 = 100.0;

/// Ages, in years, at which the swing is told, as long as the clock goes.
const TOLD_YEARS: [f64; 6] = [1.0, 2.0, 5.0, 10.0, 20.0, 50.0];

/// Relative accuracy of the years for which the margin lasts.
const WIDTH: f64 = 1e-6;

/// How long something lasts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Lasting {
    /// So many years.
    Years(f64),
    /// More than [`LONGEST_YEARS`].
    Longer,
}

impl Lasting {
    /// The years, where they are known.
    #[must_use]
    pub const fn years(self) -> Option<f64> {
        match self {
            Self::Years(years) => Some(years),
            Self::Longer => None,
        }
    }
}

/// Parts that age, and what their first year alone takes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgeingParts {
    /// The parts.
    pub parts: RubbingParts,
    /// Share of themselves by which their frictions grow in a year.
    pub growth_per_year: f64,
    /// Semi-arc that the first year of these parts alone takes, mean of both sides, rad; below 0 where it gives some. `None` where the clock
    /// does not settle with them a year older.
    pub first_year_rad: Option<f64>,
}

/// A clock at an age.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct AgedSwing {
    /// Age, years.
    pub years: f64,
    /// Semi-arc, mean of both sides, rad.
    pub semi_arc_rad: f64,
    /// By how much it exceeds the escaping arcs, rad.
    pub arc_margin_rad: f64,
    /// Rate, s/day; `None` without a train.
    pub rate_s_per_day: Option<f64>,
}

/// A clock's life.
#[derive(Debug, Clone, PartialEq)]
pub struct Life {
    /// How its frictions grow.
    pub ageing: Ageing,
    /// How long it has the margin asked for; `None` where it has not as it is.
    pub margin: Option<Lasting>,
    /// How long it goes.
    pub going: Lasting,
    /// Its swing over the years, new first, while it goes.
    pub course: Vec<AgedSwing>,
    /// What ages, that first whose first year takes most.
    pub parts: Vec<AgeingParts>,
}

impl Life {
    /// The life of a predicted clock, in its room.
    ///
    /// # Errors
    /// [`NoAnswer::Stops`] where it stops as it is; as [`friction_reserve`](super::friction_reserve::friction_reserve).
    pub fn of(in_room: &InRoom, prediction: &Prediction) -> Result<Self, NoAnswer> {
        if let Some(reason) = prediction.reason() {
            return Err(NoAnswer::Stops(reason));
        }
        let clock = AgeingClock { in_room, built: &prediction.built };
        let parts = clock.parts(prediction.measured());
        let fastest = parts.iter().map(|part| part.growth_per_year).fold(0.0, f64::max);
        // Where all frictions together stop it, those that age stop it much alike.
        let reserve = prediction.friction_reserve.as_ref().ok();
        let known = reserve.and_then(|&reserve| KnownReserve::of(in_room, &prediction.built, reserve));
        let going = clock.going(fastest, known.as_ref())?;
        let excess = prediction.beyond_margin_rad();
        let right_rad = prediction.measured().map_or(FIRST_GUESS_RAD, |measured| measured.right_rad);
        let margin = excess.filter(|&excess| excess >= 0.0).and_then(|excess| clock.margin(excess, right_rad, going));
        let new = prediction.measured().zip(prediction.arc_margin_rad).map(|(measured, arc_margin_rad)| AgedSwing {
            years: 0.0,
            semi_arc_rad: measured.semi_arc_rad(),
            arc_margin_rad,
            rate_s_per_day: prediction.rate_s_per_day(),
        });
        let ages = TOLD_YEARS.into_iter().take_while(|&years| going.years().is_none_or(|stops| years < stops));
        let course = new.into_iter().chain(ages.map_while(|years| clock.swing(years, right_rad))).collect();
        Ok(Self { ageing: in_room.ageing, margin, going, course, parts })
    }

    /// The same years with frictions that grow so much faster, and slower, as the rates may be off; `None` for rates taken as known.
    #[must_use]
    pub fn either_way(&self, years: Option<f64>) -> Option<[f64; 2]> {
        let within = self.ageing.within;
        years.filter(|_| within > 1.0).map(|years| [years / within, years * within])
    }
}

/// The swing of a clock that was predicted at an age at which it goes, all frictions grown; `None` where it has none.
#[must_use]
pub fn swing_at_age(in_room: &InRoom, prediction: &Prediction, years: f64) -> Option<AgedSwing> {
    let near_rad = prediction.measured().map_or(FIRST_GUESS_RAD, |measured| measured.right_rad);
    AgeingClock { in_room, built: &prediction.built }.swing(years, near_rad)
}

/// Semi-arc, mean of both sides, rad, and rate, s/day, of a clock in a swing.
fn measured(built: &Built, swing: &LastingSwing) -> Option<(f64, Option<f64>)> {
    let clock = Clock::of(&built.mechanism)?;
    if swing.wanders {
        let found = WanderingSwing::of(built, &clock, swing.right_rad)?;
        return Some((found.measured.semi_arc_rad(), found.rate_s_per_day));
    }
    let found = measure(&clock, swing.right_rad, None).ok()?;
    let rate = built.train_period_s().map(|required_s| rate_s_per_day(required_s, found.period_s));
    Some((found.semi_arc_rad(), rate))
}

/// A clock that ages.
struct AgeingClock<'c> {
    in_room: &'c InRoom,
    built: &'c Built,
}

impl AgeingClock<'_> {
    fn with(&self, aged: &InRoom) -> Option<Built> {
        with_frictions_of(aged, self.built.clone()).ok().filter(|built| !built.mechanism.jams)
    }

    /// The swing that lasts in a clock with frictions that have grown, looked for near an amplitude on the right first, and by how much it
    /// exceeds the escaping arcs, rad.
    fn lasting(&self, aged: &InRoom, near_rad: f64) -> Option<(Built, LastingSwing, f64)> {
        let built = self.with(aged)?;
        let swing = LastingSwing::near(&Clock::of(&built.mechanism)?, near_rad)?;
        let margin_rad = Solver::new(&built).arc_margin_rad(&swing)?;
        Some((built, swing, margin_rad))
    }

    /// The swing at an age.
    fn swing(&self, years: f64, near_rad: f64) -> Option<AgedSwing> {
        let (built, swing, arc_margin_rad) = self.lasting(&self.in_room.with_frictions_aged(years), near_rad)?;
        let (semi_arc_rad, rate_s_per_day) = measured(&built, &swing)?;
        Some(AgedSwing { years, semi_arc_rad, arc_margin_rad, rate_s_per_day })
    }

    /// The frictions as years have them, over the factor by which those have grown that grow `fastest`, a share a year.
    fn grown(&self, fastest: f64) -> impl GrownFrictions {
        move |factor| self.in_room.with_frictions_aged((factor - 1.0) / fastest)
    }

    /// How long it goes, looked for where its friction reserve is `known`.
    fn going(&self, fastest: f64, known: Option<&KnownReserve>) -> Result<Lasting, NoAnswer> {
        if !(fastest > 0.0) {
            return Ok(Lasting::Longer);
        }
        let largest = 1.0 + fastest * LONGEST_YEARS;
        let stops = factor_at_which_it_stops(&self.grown(fastest), self.built, known, largest)?;
        Ok(match stops {
            FrictionReserve::StopsAt(factor) => Lasting::Years((factor - 1.0) / fastest),
            FrictionReserve::NeverStops => Lasting::Longer,
        })
    }

    /// How long it has the margin that it has now with `excess` to spare, its swings looked for near an amplitude on the right; `None` where that
    /// is not found.
    fn margin(&self, excess: f64, near_rad: f64, going: Lasting) -> Option<Lasting> {
        // Over the youth 1 / (1 + years) margins rise, as they do over a drive.
        let youth = |years: f64| (1.0 + years).recip();
        let mut near_rad = near_rad;
        let mut excess_at = |youth: f64| {
            let aged = self.in_room.with_frictions_aged(youth.recip() - 1.0);
            let Some((_, swing, margin_rad)) = self.lasting(&aged, near_rad) else { return f64::NEG_INFINITY };
            near_rad = swing.right_rad;
            margin_rad - self.built.margin_rad
        };
        let last = going.years().unwrap_or(LONGEST_YEARS);
        let (oldest, new) = (youth(last), youth(0.0));
        let at_last = excess_at(oldest);
        if at_last >= 0.0 {
            return Some(going);
        }
        let found = zero_of(excess_at, (oldest, at_last), (new, excess), WIDTH)?;
        Some(Lasting::Years((found.recip() - 1.0).max(0.0)))
    }

    /// What ages, each with its first year alone.
    fn parts(&self, new: Option<&Measured>) -> Vec<AgeingParts> {
        let first_year = |parts: RubbingParts| {
            let new = new?;
            let (built, swing, _) = self.lasting(&self.in_room.with_frictions_aged_of(1.0, parts), new.right_rad)?;
            Some(new.semi_arc_rad() - measured(&built, &swing)?.0)
        };
        let growth = |parts: RubbingParts| self.in_room.ageing.growth_per_year(parts.lubrication);
        let ageing = self.in_room.ageing_parts().into_iter().filter(|&parts| growth(parts) > 0.0);
        let mut found: Vec<AgeingParts> = ageing
            .map(|parts| AgeingParts { parts, growth_per_year: growth(parts), first_year_rad: first_year(parts) })
            .collect();
        let taken = |part: &AgeingParts| part.first_year_rad.unwrap_or(f64::INFINITY);
        found.sort_by(|a, b| taken(b).total_cmp(&taken(a)));
        found
    }
}
