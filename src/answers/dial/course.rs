//! A clock taken round the dial until everything comes again.

use crate::answers::return_map::{Clock, PeriodFailure};
use crate::answers::verdict::reason_of;

use super::map::{DialMap, MappedReturn, ReturnAsked};
use super::{Dial, DialCourse, DialPoint, DialStop, TwelveHours};

/// Difference of the swing after twelve hours, relative, that counts as none.
const COMES_AGAIN: f64 = 1e-7;

/// Most times round the dial: a swing that does not settle on one course goes all the same.
const MOST_ROUNDS: usize = 4;

/// Difference, relative, within which a swing has joined another that is drawn to the same course.
const JOINED: f64 = 1e-3;

/// Hours at which a clock is let go.
const HOURS: usize = 12;

/// Once round the dial.
#[derive(Debug, Clone)]
pub(super) struct Round {
    /// Amplitude on the right at its end, rad.
    pub(super) end_rad: f64,
    /// Least excess over the escaping arcs, rad.
    pub(super) least_margin_rad: f64,
    /// The return at whose end that is.
    pub(super) nearest: usize,
}

impl<'b> Dial<'b> {
    /// The twelve hours under a weight, kg.
    ///
    /// | argument | meaning | unit |
    /// |---|---|---|
    /// | `near_rad` | a steady swing under the mean torque of the hands | rad |
    /// | `start_rad` | swing from which the maker lets go, at any hour; `None`: as large as need be | rad |
    ///
    /// The map of a period is interpolated where the motion agrees to 2e-8 of the swing, so that this is good to some 1e-5 of itself; the
    /// hands' torque is that at the middle of each period.
    pub fn twelve_hours(&self, weight_kg: f64, near_rad: f64, start_rad: Option<f64>) -> TwelveHours {
        let (mut map, largest_rad) = self.map(weight_kg, near_rad, ReturnAsked::Times);
        let start = self.settled(&mut map, largest_rad)?;
        let course = self.course(&mut map, start)?;
        match start_rad {
            Some(start_rad) => self.let_go_at_every_hour(&mut map, &course, start_rad).map(|()| course),
            None => Ok(course),
        }
    }

    /// The swing at twelve to which the clock comes back after twelve hours, let go at twelve; after the most rounds allowed that of the
    /// last one.
    pub(super) fn settled<F: Fn(f64) -> Clock<'b>>(
        &self,
        map: &mut DialMap<'b, F>,
        from_rad: f64,
    ) -> Result<f64, DialStop> {
        let mut here = from_rad;
        for _ in 0..MOST_ROUNDS {
            let end = self.round(map, here, |_, _| {})?.end_rad;
            if (end - here).abs() <= COMES_AGAIN * here {
                return Ok(end);
            }
            here = end;
        }
        Ok(here)
    }

    /// Once round the dial from a swing at twelve; `visit` gets every return, numbered from 0.
    pub(super) fn round<F: Fn(f64) -> Clock<'b>>(
        &self,
        map: &mut DialMap<'b, F>,
        from_rad: f64,
        mut visit: impl FnMut(usize, &MappedReturn),
    ) -> Result<Round, DialStop> {
        let (right, left) = map.clock(0.0).escaping_arcs_rad();
        let mut round = Round { end_rad: from_rad, least_margin_rad: f64::INFINITY, nearest: 0 };
        for (number, &hands_n_m) in self.torques_n_m.iter().enumerate() {
            let back = map
                .period(round.end_rad, hands_n_m)
                .map_err(|failure| self.stop(map, number, failure, from_rad, round.end_rad))?;
            round.end_rad = back.right_rad;
            let margin_rad = (back.least_rad.0 - right).min(back.least_rad.1 - left);
            if margin_rad < round.least_margin_rad {
                (round.least_margin_rad, round.nearest) = (margin_rad, number);
            }
            visit(number, &back);
        }
        Ok(round)
    }

    fn stop<F: Fn(f64) -> Clock<'b>>(
        &self,
        map: &DialMap<'b, F>,
        number: usize,
        failure: PeriodFailure,
        from_rad: f64,
        here_rad: f64,
    ) -> DialStop {
        let clock = map.clock(self.torques_n_m.get(number).copied().unwrap_or(0.0));
        DialStop { time_s: self.time_s(number), reason: reason_of(&clock, &failure, from_rad, here_rad, true), failure }
    }

    fn course<F: Fn(f64) -> Clock<'b>>(&self, map: &mut DialMap<'b, F>, from_rad: f64) -> TwelveHours {
        let every = self.kept_every();
        let mut points = Vec::with_capacity(self.torques_n_m.len() / every + 1);
        let (mut semi_arc_rad, mut rate) = ((f64::INFINITY, f64::NEG_INFINITY), (f64::INFINITY, f64::NEG_INFINITY));
        let mut lasted_s = 0.0;
        let widen = |range: (f64, f64), value: f64| (range.0.min(value), range.1.max(value));
        let round = self.round(map, from_rad, |number, back| {
            let point = DialPoint {
                time_s: self.time_s(number),
                hands_n_m: self.torques_n_m.get(number).copied().unwrap_or(0.0),
                right_rad: back.right_rad,
                left_rad: back.left_rad,
                rate_s_per_day: self.rate_s_per_day(back.duration_s),
            };
            semi_arc_rad = widen(semi_arc_rad, point.semi_arc_rad());
            rate = widen(rate, point.rate_s_per_day);
            lasted_s += back.duration_s;
            if number % every == 0 {
                points.push(point);
            }
        })?;
        let mean_s = lasted_s / self.torques_n_m.len() as f64;
        Ok(DialCourse {
            points,
            semi_arc_rad,
            rate_s_per_day: rate,
            mean_rate_s_per_day: self.rate_s_per_day(mean_s),
            least_margin_rad: round.least_margin_rad,
            nearest_to_stopping_s: self.time_s(round.nearest),
        })
    }

    /// The clock let go at every hour, until it has joined the course.
    ///
    /// A start above the course loses at every hour that the mean loses at, and comes down to the course, which goes on. One below it has
    /// to gain against the hands of that hour.
    fn let_go_at_every_hour<F: Fn(f64) -> Clock<'b>>(
        &self,
        map: &mut DialMap<'b, F>,
        course: &DialCourse,
        start_rad: f64,
    ) -> Result<(), DialStop> {
        let returns = self.torques_n_m.len();
        let on_course = |number: usize| {
            let place = (number % returns) / self.kept_every();
            course.points.get(place).map_or(start_rad, |point| point.right_rad)
        };
        for hour in 0..HOURS {
            let first = hour * returns / HOURS;
            let mut here = start_rad;
            for number in first..first + returns {
                if here >= on_course(number) * (1.0 - JOINED) {
                    break;
                }
                let hands_n_m = self.torques_n_m.get(number % returns).copied().unwrap_or(0.0);
                here = map
                    .period(here, hands_n_m)
                    .map_err(|failure| self.stop(map, number % returns, failure, start_rad, here))?
                    .right_rad;
            }
        }
        Ok(())
    }

    /// Least excess over the escaping arcs on the way round the dial under a weight, rad; `None` where the clock stops on the way.
    pub(super) fn least_margin_rad(&self, weight_kg: f64, near_rad: f64) -> Option<f64> {
        let (mut map, largest_rad) = self.map(weight_kg, near_rad, ReturnAsked::Swing);
        // From above: what comes down to no course has none.
        let start = self.settled(&mut map, largest_rad).ok()?;
        self.round(&mut map, start, |_, _| {}).ok().map(|round| round.least_margin_rad)
    }
}
