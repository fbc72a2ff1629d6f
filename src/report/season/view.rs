//! A season of any clock as it is reported: its rows, its dates, what was held or assumed.

use jiff::SignedDuration;
use jiff::civil::{DateTime, date};

use crate::clock::environment::weather::{BALANCED_OVER_S, SeasonPlan, WeatherMoment};
use crate::clock::{SECONDS_PER_DAY, SECONDS_PER_HOUR, SECONDS_PER_YEAR};
use crate::report::words::gaps::gaps_in_words;
use crate::report::words::numbers::{counted, number};
use crate::scenario::room_log::RoomLog;
use crate::study::season::{ErrorWindow, MotorSeason, Season};

/// Beginning of a year that is no leap year, by which days of the year get their dates.
const COMMON_YEAR: DateTime = date(2001, 1, 1).at(0, 0, 0, 0);

/// What was found, by the kind of clock.
#[derive(Debug, Clone, Copy)]
pub enum AnySeason<'s> {
    /// Of a clock with a pendulum.
    Pendulum(&'s Season),
    /// Of a clock with a motor.
    Motor(&'s MotorSeason),
}

/// An hour of the season, or a row of the log; `None` where a quantity has no meaning for the clock, or it has stopped.
#[derive(Debug, Clone, Copy)]
pub struct SeasonRow {
    /// The air.
    pub moment: WeatherMoment,
    /// Temperature of the rod, degrees Celsius.
    pub rod_temperature_c: Option<f64>,
    /// Relative humidity in balance with the parts, 0 to 1.
    pub wood_humidity: Option<f64>,
    /// Semi-arc, rad.
    pub semi_arc_rad: Option<f64>,
    /// Rate, s/day, positive gains.
    pub rate_s_per_day: Option<f64>,
    /// Error gathered since the beginning, s, positive gained.
    pub error_s: Option<f64>,
}

impl SeasonRow {
    /// Days since the beginning.
    #[must_use]
    pub fn day(&self) -> f64 {
        self.moment.time_s / SECONDS_PER_DAY
    }
}

/// What a report on a season is made of.
#[derive(Debug, Clone)]
pub struct SeasonView<'s> {
    /// The clock's name.
    pub name: &'s str,
    /// What was found.
    pub found: AnySeason<'s>,
    /// Row by row.
    pub rows: Vec<SeasonRow>,
    /// What the scenario says of it.
    pub plan: &'s SeasonPlan,
    /// The log it follows, if any.
    pub log: Option<&'s RoomLog>,
}

impl<'s> SeasonView<'s> {
    /// What is found of a clock of this name by a plan, or the log in place of it.
    #[must_use]
    pub fn new(name: &'s str, found: AnySeason<'s>, plan: &'s SeasonPlan, log: Option<&'s RoomLog>) -> Self {
        let rows = match found {
            AnySeason::Pendulum(season) => season
                .samples
                .iter()
                .map(|sample| SeasonRow {
                    moment: sample.moment,
                    rod_temperature_c: Some(sample.room.rod_temperature_c),
                    wood_humidity: Some(sample.room.wood_humidity),
                    semi_arc_rad: sample.state.map(|state| state.semi_arc_rad),
                    rate_s_per_day: sample.state.map(|state| state.rate_s_per_day),
                    error_s: sample.error_s,
                })
                .collect(),
            AnySeason::Motor(season) => season
                .samples
                .iter()
                .map(|sample| SeasonRow {
                    moment: sample.moment,
                    rod_temperature_c: None,
                    wood_humidity: None,
                    semi_arc_rad: None,
                    rate_s_per_day: sample.rate_s_per_day,
                    error_s: sample.error_s,
                })
                .collect(),
        };
        Self { name, found, rows, plan, log }
    }

    /// Number of the row in which the clock stops.
    #[must_use]
    pub fn stop_row(&self) -> Option<usize> {
        match self.found {
            AnySeason::Pendulum(season) => season.stopped.as_ref().map(|stopped| stopped.sample),
            AnySeason::Motor(season) => season.reason.map(|_| 0),
        }
    }

    /// Rows before the clock stops.
    #[must_use]
    pub fn going(&self) -> &[SeasonRow] {
        &self.rows[..self.stop_row().unwrap_or(self.rows.len())]
    }

    /// Mean rate while it goes, s/day.
    #[must_use]
    pub fn mean_rate_s_per_day(&self) -> Option<f64> {
        match self.found {
            AnySeason::Pendulum(season) => season.mean_rate_s_per_day(),
            AnySeason::Motor(season) => season.mean_rate_s_per_day,
        }
    }

    /// The worst week as it is, and with the mean rate regulated away.
    #[must_use]
    pub const fn worst_weeks(&self) -> [Option<ErrorWindow>; 2] {
        match self.found {
            AnySeason::Pendulum(season) => [season.worst_week, season.worst_regulated_week],
            AnySeason::Motor(season) => [season.worst_week, season.worst_regulated_week],
        }
    }

    /// Days from first to last row.
    #[must_use]
    pub fn days(&self) -> f64 {
        self.rows.last().map_or(0.0, SeasonRow::day)
    }

    /// A time since the beginning in words: the date of a log, else day and month of the year.
    #[must_use]
    pub fn when(&self, time_s: f64) -> String {
        let after = |began: DateTime, seconds: f64| {
            began.checked_add(SignedDuration::from_secs(seconds.round() as i64)).unwrap_or(began)
        };
        match self.log {
            Some(RoomLog { began: Some(began), .. }) => after(*began, time_s).strftime("%Y-%m-%d %H:%M").to_string(),
            Some(_) => format!("{} h", number(time_s / SECONDS_PER_HOUR, 2)),
            None => {
                let years = (time_s / SECONDS_PER_YEAR).floor();
                let at = after(COMMON_YEAR, time_s - years * SECONDS_PER_YEAR);
                let year = if years > 0.0 { format!("year {:.0}, ", years + 1.0) } else { String::new() };
                format!("{year}{}", at.strftime("%-d %b %-H h"))
            }
        }
    }

    /// Remarks on what was held, ignored or assumed.
    #[must_use]
    pub fn notes(&self) -> Vec<String> {
        let mut notes = Vec::new();
        if let Some(log) = self.log {
            for (has, name) in [(log.has_humidity, "humidity"), (log.has_pressure, "pressure")] {
                if !has && matches!(self.found, AnySeason::Pendulum(_)) {
                    notes.push(format!("the log has no column `{name}`: the place's value is used"));
                }
            }
            if !log.unused.is_empty() {
                notes.push(format!("unused columns of the log: {}", log.unused.join(", ")));
            }
            notes.extend(what_is_missing(log));
        }
        match self.found {
            AnySeason::Pendulum(season) => self.pendulum_notes(season, &mut notes),
            AnySeason::Motor(season) => {
                notes.push(
                    "humidity and pressure have no effect: neither the oscillator nor the counts depend on them"
                        .to_owned(),
                );
                notes.push("the oscillator follows the temperature of the air without lag".to_owned());
                if season.reason.is_none() && season.worst_month.is_none() {
                    notes.push("the season is shorter than a month: minutes a month are not given".to_owned());
                }
            }
        }
        notes
    }

    fn pendulum_notes(&self, season: &Season, notes: &mut Vec<String>) {
        if self.plan.rod_lag_s > 0.0 || self.plan.wood_lag_s > 0.0 {
            let hours = number(BALANCED_OVER_S / SECONDS_PER_HOUR, 0);
            notes.push(format!("rod and wood start in equilibrium with the mean of the first {hours} hours"));
        }
        if !season.by_train {
            notes.push("without a train the rate is relative to the period in the mean room".to_owned());
        }
        if !(season.hanging_cord_kg > 0.0) {
            let then = if season.on_support {
                "of its fall only the swinging weight counts"
            } else {
                "the fall of the weight changes nothing"
            };
            notes.push(format!("the cord has no mass (`drive.cord_material`, `season.cord_mass`): {then}"));
        }
        if season.on_support {
            notes.push(
                "the weight sinks on its cord and is wound when it is down: `[support]` counts hour by hour".to_owned(),
            );
        }
        if season.worst_week.is_none() {
            notes.push("the season is shorter than a week: minutes a week are not given".to_owned());
        }
        if season.mean_state.is_none() {
            notes.push("the clock stops in the mean room: the causes cannot be separated".to_owned());
        }
    }
}

/// Rows and times that a log leaves out.
fn what_is_missing(log: &RoomLog) -> Vec<String> {
    let mut said = Vec::new();
    if log.rows_without_reading > 0 {
        let rows = counted(log.rows_without_reading, "row", "rows");
        said.push(format!("{rows} of the log left out: a reading is missing"));
    }
    let gaps = gaps_in_words(&log.gaps, "the log");
    said.extend(gaps.map(|gaps| format!("{gaps}: the room is taken to move evenly across")));
    said
}
