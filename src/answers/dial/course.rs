//! A clock taken round the dial until everything comes again.

use crate::answers::return_map::PeriodFailure;
use crate::answers::verdict::reason_of;

use super::map::{DialMap, MappedReturn, ReturnAsked};
use super::{Dial, DialCourse, DialPoint, DialStop, TwelveHours};

/// Difference of the swing after twelve hours, relative, that counts as none: the same torques make the same of it from there on.
const COMES_AGAIN: f64 = 1e-7;

/// Most times round the dial: a swing that does not settle on one course goes all the same.
const MOST_ROUNDS: usize = 4;

/// Difference, relative, within which a swing has joined another that is drawn to the same course.
const JOINED: f64 = 1e-3;

/// Hours at which a clock is let go.
const HOURS: usize = 12;

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
        let returns = self.settled(&mut map, largest_rad)?;
        let course = self.course(&map, &returns);
        match start_rad {
            Some(start_rad) => self.let_go_at_every_hour(&mut map, &course, start_rad).map(|()| course),
            None => Ok(course),
        }
    }

    /// The returns of the course to which a clock comes that is let go at twelve, from twelve to twelve; after the most rounds allowed those
    /// of the last one.
    pub(super) fn settled(&self, map: &mut DialMap<'_>, from_rad: f64) -> Result<Vec<MappedReturn>, DialStop> {
        let mut returns: Vec<MappedReturn> = Vec::with_capacity(self.torques_n_m.len());
        let mut here = from_rad;
        for _ in 0..MOST_ROUNDS {
            for (number, &hands_n_m) in self.torques_n_m.iter().enumerate() {
                let back =
                    map.period(here, hands_n_m).map_err(|failure| self.stop(map, number, failure, from_rad, here))?;
                here = back.right_rad;
                match returns.get_mut(number) {
                    None => returns.push(back),
                    Some(before) if (before.right_rad - here).abs() <= COMES_AGAIN * here => return Ok(returns),
                    Some(before) => *before = back,
                }
            }
        }
        Ok(returns)
    }

    /// Least excess over the escaping arcs on a course, rad, and the return at whose end that is.
    fn nearest_to_stopping(&self, map: &DialMap<'_>, returns: &[MappedReturn]) -> (f64, usize) {
        let (right, left) = map.clock(0.0).escaping_arcs_rad();
        let margin_rad = |back: &MappedReturn| (back.least_rad.0 - right).min(back.least_rad.1 - left);
        let margins = returns.iter().map(margin_rad).enumerate();
        margins.map(|(number, margin)| (margin, number)).fold((f64::INFINITY, 0), |a, b| if b.0 < a.0 { b } else { a })
    }

    fn stop(&self, map: &DialMap<'_>, number: usize, failure: PeriodFailure, from_rad: f64, here_rad: f64) -> DialStop {
        let clock = map.clock(self.torques_n_m.get(number).copied().unwrap_or(0.0));
        DialStop { time_s: self.time_s(number), reason: reason_of(&clock, &failure, from_rad, here_rad, true), failure }
    }

    fn course(&self, map: &DialMap<'_>, returns: &[MappedReturn]) -> DialCourse {
        let every = self.kept_every();
        let mut points = Vec::with_capacity(returns.len() / every + 1);
        let (mut semi_arc_rad, mut rate) = ((f64::INFINITY, f64::NEG_INFINITY), (f64::INFINITY, f64::NEG_INFINITY));
        let mut lasted_s = 0.0;
        let widen = |range: (f64, f64), value: f64| (range.0.min(value), range.1.max(value));
        for (number, (back, &hands_n_m)) in returns.iter().zip(&self.torques_n_m).enumerate() {
            let point = DialPoint {
                time_s: self.time_s(number),
                hands_n_m,
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
        }
        let (least_margin_rad, nearest) = self.nearest_to_stopping(map, returns);
        DialCourse {
            points,
            semi_arc_rad,
            rate_s_per_day: rate,
            mean_rate_s_per_day: self.rate_s_per_day(lasted_s / self.torques_n_m.len() as f64),
            least_margin_rad,
            nearest_to_stopping_s: self.time_s(nearest),
        }
    }

    /// The clock let go at every hour, until it has joined the course.
    ///
    /// A start above the course loses at every hour that the mean loses at, and comes down to the course, which goes on. One below it has
    /// to gain against the hands of that hour.
    fn let_go_at_every_hour(&self, map: &mut DialMap<'_>, course: &DialCourse, start_rad: f64) -> Result<(), DialStop> {
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
        let returns = self.settled(&mut map, largest_rad).ok()?;
        Some(self.nearest_to_stopping(&map, &returns).0)
    }
}
