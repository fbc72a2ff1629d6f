//! The twelve hours of the dial: what becomes of the swing while the torque of the hands goes up and down.
//!
//! The swing follows the drive with its own time constant (for a constant torque about `Q` over the angular frequency, minutes to
//! half an hour), and the minute hand goes round in an hour: neither the mean torque nor the worst position is the answer. The
//! return map is iterated with the drive of each moment until everything comes again after twelve hours.

mod course;
mod least;
mod map;
mod turn;

use crate::clock::build::Built;
use crate::clock::design::DialShares;
use crate::clock::mechanism::{ContactEscapement, EscapementModel};
use crate::clock::rate_s_per_day;
use crate::clock::train::drive::PreparedDrive;
use crate::clock::train::hands::{CarriedHands, DIAL_TURN_S, Turning};

use super::cycle::fixed_point_near;
use super::drivable::Drivable;
use super::return_map::{Clock, PeriodFailure};
use super::verdict::Reason;

use map::{DialMap, ReturnAsked};

/// Points of a course that are kept, at most: one a minute.
const KEPT_POINTS: usize = 720;

/// The clock at a time on the dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DialPoint {
    /// Time after twelve, s.
    pub time_s: f64,
    /// Torque that turns the hands then, at the minute arbor, N m.
    pub hands_n_m: f64,
    /// Amplitude on the right, rad.
    pub right_rad: f64,
    /// Amplitude on the left, rad.
    pub left_rad: f64,
    /// Rate at that moment, s/day, positive gains.
    pub rate_s_per_day: f64,
}

impl DialPoint {
    /// Mean of both sides, rad.
    #[must_use]
    pub fn semi_arc_rad(&self) -> f64 {
        0.5 * (self.right_rad + self.left_rad)
    }
}

/// Twelve hours after which everything comes again.
#[derive(Debug, Clone, PartialEq)]
pub struct DialCourse {
    /// The course from twelve to twelve.
    pub points: Vec<DialPoint>,
    /// Least and largest semi-arc, mean of both sides, rad.
    pub semi_arc_rad: (f64, f64),
    /// Least and largest rate of a single swing, s/day.
    pub rate_s_per_day: (f64, f64),
    /// Rate over the twelve hours, s/day.
    pub mean_rate_s_per_day: f64,
    /// Least excess of the swing over the arc that lets a tooth escape, of the side that has less, rad.
    pub least_margin_rad: f64,
    /// Time after twelve at which that is, s: the clock is then nearest to stopping.
    pub nearest_to_stopping_s: f64,
}

/// A stop on the way round the dial.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DialStop {
    /// Time after twelve that the hands show, s.
    pub time_s: f64,
    /// Why.
    pub reason: Reason,
    /// What the last period failed by.
    pub failure: PeriodFailure,
}

/// The twelve hours, or where they end.
pub type TwelveHours = Result<DialCourse, DialStop>;

/// The constant torques that stand for the twelve hours of a built clock; `None` without hands, and where no weight carries it round the dial.
#[must_use]
pub fn dial_shares(built: &Built) -> Option<DialShares> {
    if built.mechanism.jams {
        return None;
    }
    let around_kg = built.own_drive()?.kg().filter(|&kg| kg > 0.0)?;
    Dial::of(built)?.shares(around_kg, built.margin_rad)
}

/// The built clock with its twelve hours solved for, so that whoever asks more of it need not do so again; the same without hands.
#[must_use]
pub fn dial_solved(mut built: Built) -> Built {
    let hands = built.prepared_drive.as_ref().and_then(PreparedDrive::hands);
    if hands.is_some_and(|hands| hands.hands().dial_shares.is_none()) {
        let solved = dial_shares(&built);
        built.prepared_drive = built.prepared_drive.map(|prepared| prepared.with_dial_shares(solved));
    }
    built
}

/// A clock with hands made ready to be taken round the dial under any weight.
#[derive(Debug, Clone)]
pub struct Dial<'b> {
    drivable: Drivable<'b>,
    prepared: &'b PreparedDrive,
    hands: &'b CarriedHands,
    train_period_s: f64,
    /// The same with teeth alike, where they differ.
    even: Option<ContactEscapement>,
    /// Torques of the hands at the middle of each return from twelve on, N m.
    torques_n_m: Vec<f64>,
}

impl<'b> Dial<'b> {
    /// A built clock that a weight drives; `None` without hands, or without the train's period.
    #[must_use]
    pub fn of(built: &'b Built) -> Option<Self> {
        Self::driven_by(Drivable::of(built)?, built)
    }

    /// The same with another weight drive.
    pub(super) fn driven_by(drivable: Drivable<'b>, built: &'b Built) -> Option<Self> {
        let prepared = drivable.prepared()?;
        let hands = prepared.hands()?;
        let train_period_s = built.train_period_s()?;
        let EscapementModel::Contact(escapement) = &built.mechanism.escapement else { return None };
        let even = escapement.teeth_differ().then(|| escapement.with_teeth_alike());
        let periods = even.as_ref().map_or(1, |even| even.teeth);
        Some(Self { drivable, prepared, hands, train_period_s, even, torques_n_m: Vec::new() }.in_returns_of(periods))
    }

    /// The same with the hands' torque told for returns of so many periods.
    fn in_returns_of(self, periods: u32) -> Self {
        let returns = (DIAL_TURN_S / (self.train_period_s * f64::from(periods))).round().max(1.0) as usize;
        let middle_s = |number: usize| DIAL_TURN_S * (number as f64 + 0.5) / returns as f64;
        let torque_n_m = |number| self.hands.torque_n_m(middle_s(number), Turning::Forward);
        Self { torques_n_m: (0..returns).map(torque_n_m).collect(), ..self }
    }

    /// The same clock with teeth alike, where they differ.
    fn with_teeth_alike(&self) -> Option<Dial<'_>> {
        let drivable = self.drivable.with_escapement(self.even.as_ref()?);
        Some(Dial { drivable, even: None, torques_n_m: Vec::new(), ..*self }.in_returns_of(1))
    }

    /// The clock under a weight and a forward torque of the hands.
    fn clock(&self, weight_kg: f64, hands_n_m: f64) -> Clock<'b> {
        self.drivable.with_hands(self.hands.under(hands_n_m)).clock_at(weight_kg)
    }

    /// The map under a weight, for swings near the steady ones, and the largest of these, rad; `near_rad` is one of them.
    fn map(&self, weight_kg: f64, near_rad: f64, asked: ReturnAsked) -> (DialMap<'_>, f64) {
        let (least_n_m, most_n_m) = self.hands.range_n_m();
        let escape_rad = self.clock(weight_kg, least_n_m).widest_escaping_arc_rad();
        let steady = |hands_n_m: f64| {
            let clock = self.clock(weight_kg, hands_n_m);
            fixed_point_near(&clock, near_rad)
                .filter(|point| point.multiplier.abs() < 1.0 && point.right_rad > escape_rad)
                .map(|point| point.right_rad)
        };
        let high = steady(least_n_m).unwrap_or(near_rad).max(near_rad);
        let low = steady(most_n_m).unwrap_or(escape_rad).min(near_rad);
        let (swings_rad, torques_n_m) = ((low, high), (least_n_m, most_n_m));
        let map_of = |clock_at| DialMap::new(clock_at, asked, swings_rad, torques_n_m);
        let map = map_of(Box::new(move |hands_n_m| self.clock(weight_kg, hands_n_m)));
        let Some(even) = &self.even else { return (map, high) };
        let even = map_of(Box::new(move |hands_n_m| self.clock(weight_kg, hands_n_m).with_escapement(even)));
        (map.with_turns_of(even, swings_rad, torques_n_m), high)
    }

    fn time_s(&self, number: usize) -> f64 {
        DIAL_TURN_S * number as f64 / self.torques_n_m.len() as f64
    }

    fn periods_per_return(&self) -> f64 {
        (DIAL_TURN_S / (self.train_period_s * self.torques_n_m.len() as f64)).round().max(1.0)
    }

    /// Rate of a return that takes so long, s/day.
    fn rate_s_per_day(&self, duration_s: f64) -> f64 {
        rate_s_per_day(self.train_period_s, duration_s / self.periods_per_return())
    }

    fn kept_every(&self) -> usize {
        self.torques_n_m.len().div_ceil(KEPT_POINTS)
    }

    /// The weight drive.
    #[must_use]
    pub const fn prepared(&self) -> &'b PreparedDrive {
        self.prepared
    }
}
