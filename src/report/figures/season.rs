//! The season in four panels: temperature, humidity, rate, error.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::weather::DAYS_PER_YEAR;
use crate::report::labels::Label;
use crate::report::look::{CURVE_MM, DASHED, ENTRY, EXIT, HAIR_MM, Pen, SHADE, SOFT, THIN_MM, fixed};
use crate::report::panel::{Axis, Panel, left_edge_mm};
use crate::report::season::ToldSeason;
use crate::report::season_keys::days_of;
use crate::report::sheet::{Frame, Sheet};
use crate::study::season::Sample;

use super::{Drawn, Figure, finished};

/// Points drawn of a curve: more than the eye tells apart in the width of a figure.
const MOST_POINTS: usize = 1500;

/// Days that begin the months of a year of 365 days, and one more for the end.
const MONTHS: [(f64, &str); 12] = [
    (0.0, "Jan"),
    (31.0, "Feb"),
    (59.0, "Mar"),
    (90.0, "Apr"),
    (120.0, "May"),
    (151.0, "Jun"),
    (181.0, "Jul"),
    (212.0, "Aug"),
    (243.0, "Sep"),
    (273.0, "Oct"),
    (304.0, "Nov"),
    (334.0, "Dec"),
];

/// The picture of a season; `None` where the clock does not go at all.
#[must_use]
pub fn draw_season(told: &ToldSeason<'_>) -> Option<Figure> {
    finished("season", draw(told))
}

fn draw(told: &ToldSeason<'_>) -> Drawn {
    let season = told.season;
    let samples = thinned(&season.samples);
    let going = thinned(season.going());
    if going.len() < 2 {
        return None;
    }
    let title = format!("{}: a season in the room", told.name);
    let mut subtitle = String::new();
    if let Some(mean) = season.mean_rate_s_per_day() {
        subtitle.push_str(&format!("Mean rate {} s/day, positive gains.", fixed(mean, 1)));
    }
    if let Some(week) = season.worst_regulated_week {
        subtitle.push_str(&format!(" Worst week, once regulated: {} min.", fixed(week.minutes(), 2)));
    }
    let mut sheet = Sheet::new(&title, &subtitle, 118.0);
    let temperatures = samples.iter().flat_map(|s| [s.moment.temperature_c, s.room.rod_temperature_c]);
    let humidities = samples.iter().flat_map(|s| [1e2 * s.moment.relative_humidity, 1e2 * s.room.wood_humidity]);
    let rate = |sample: &Sample| sample.state.map(|state| state.rate_s_per_day);
    let error = |sample: &Sample| sample.error_s.map(|seconds| seconds / 60.0);
    let y_axes = [
        Axis::over(temperatures, "temperature (\u{b0}C)", 3.0),
        Axis::over(humidities, "relative humidity (%)", 3.0),
        Axis::over(going.iter().filter_map(|sample| rate(sample)), "rate, gaining positive (s/day)", 3.0),
        Axis::over(going.iter().filter_map(|sample| error(sample)), "error gathered, fast positive (min)", 3.0),
    ];
    let left = left_edge_mm(&y_axes.iter().collect::<Vec<_>>());
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    // The last panel has the axis's name below it.
    let height = (bottom - top - 8.0) / 4.0;
    let stop_day = season.stopped.as_ref().map(|stopped| days_of(&season.samples[stopped.sample]));
    for (number, y) in y_axes.into_iter().enumerate() {
        let upper = top + height * number as f64;
        let last = number == 3;
        let lower = if last { bottom } else { upper + height };
        let panel = Panel::drawn(&mut sheet, (left, upper, lower), time_axis(told), y, last);
        if let Some(day) = stop_day {
            shade(&mut sheet, &panel, day);
        }
        let mut curve = |samples: &[&Sample], of: &dyn Fn(&Sample) -> Option<f64>, pen: Pen| {
            let points: Vec<(f64, f64)> =
                samples.iter().filter_map(|sample| Some((days_of(sample), of(sample)?))).collect();
            panel.curve(&mut sheet, points, pen);
        };
        let (air, part) = (Pen::solid(ENTRY, THIN_MM), Pen::solid(EXIT, CURVE_MM).broken(DASHED));
        match number {
            0 => {
                curve(&samples, &|sample| Some(sample.moment.temperature_c), air);
                if told.plan.rod_lag_s > 0.0 {
                    curve(&samples, &|sample| Some(sample.room.rod_temperature_c), part);
                    legend(&mut sheet, &panel, "rod");
                }
            }
            1 => {
                curve(&samples, &|sample| Some(1e2 * sample.moment.relative_humidity), air);
                if told.plan.wood_lag_s > 0.0 {
                    curve(&samples, &|sample| Some(1e2 * sample.room.wood_humidity), part);
                    legend(&mut sheet, &panel, "in the parts");
                }
            }
            2 => curve(&going, &rate, Pen::solid(ENTRY, THIN_MM)),
            _ => curve(&going, &error, Pen::solid(ENTRY, CURVE_MM)),
        }
        if matches!(number, 2 | 3) && panel.y().low() < 0.0 && panel.y().high() > 0.0 {
            panel.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
        }
    }
    Some((title, sheet))
}

/// Air and part, in the name line above a panel.
fn legend(sheet: &mut Sheet, panel: &Panel, part: &str) {
    let frame = panel.frame;
    let y = frame.top - 2.7;
    let mut x = frame.right - 37.0;
    let entries = [("air", Pen::solid(ENTRY, THIN_MM)), (part, Pen::solid(EXIT, CURVE_MM).broken(DASHED))];
    for (name, pen) in entries {
        sheet.line([(x, y), (x + 6.0, y)], pen);
        sheet.text((x + 7.0, y), name, pen.colour, crate::report::sheet::Anchor::Start);
        x += 14.0;
    }
}

/// Greys out the time after the stop and says so.
fn shade(sheet: &mut Sheet, panel: &Panel, day: f64) {
    let frame = panel.frame;
    let left = panel.at((day, panel.y().low())).0.max(frame.left);
    sheet.block(&Frame { left, ..frame }, SHADE);
    let at = (left, 0.5 * (frame.top + frame.bottom));
    let text = "stops".to_owned();
    sheet.label(Label { at, text, colour: SOFT, towards: (1.0, 0.0), within: frame, leader: false });
}

/// Time in days with months, dates or day numbers at its ticks.
fn time_axis(told: &ToldSeason<'_>) -> Axis {
    let days = told.days();
    match told.log {
        None if days < 1.1 * DAYS_PER_YEAR => {
            Axis::between(0.0, days, "month", 12.0).with_ticks(MONTHS.map(|(day, name)| (day, name.to_owned())).into())
        }
        None => {
            let years = (days / DAYS_PER_YEAR).round() as usize;
            let ticks = (0..=years).step_by(years.div_ceil(10)).map(|year| (year as f64 * DAYS_PER_YEAR, year.to_string()));
            Axis::between(0.0, days, "years", 10.0).with_ticks(ticks.collect())
        }
        Some(log) => match log.began {
            Some(began) => Axis::between(0.0, days, "date", 7.0).with_ticks(dates(began, days)),
            None => Axis::between(0.0, days, "days since the first row", 7.0),
        },
    }
}

/// Midnights at about seven dates.
fn dates(began: jiff::civil::DateTime, days: f64) -> Vec<(f64, String)> {
    let every = [1.0, 2.0, 7.0, 14.0, 28.0, 61.0, 122.0, 365.0].into_iter().find(|every| days / every <= 7.5).unwrap_or(730.0);
    let midnight = began.date().to_datetime(jiff::civil::Time::midnight());
    let offset = (began.duration_since(midnight).as_secs_f64()) / SECONDS_PER_DAY;
    let first = if offset > 0.0 { 1.0 - offset } else { 0.0 };
    let format = if days > 300.0 { "%b %Y" } else { "%-d %b" };
    (0..20)
        .map(|number| first + every * f64::from(number))
        .take_while(|&day| day <= days)
        .filter_map(|day| {
            let at = began.checked_add(jiff::SignedDuration::from_secs((day * SECONDS_PER_DAY).round() as i64)).ok()?;
            Some((day, at.strftime(format).to_string()))
        })
        .collect()
}

/// Every so-manieth sample, the last among them.
fn thinned(samples: &[Sample]) -> Vec<&Sample> {
    let every = samples.len().div_ceil(MOST_POINTS).max(1);
    let mut kept: Vec<&Sample> = samples.iter().step_by(every).collect();
    if let Some(last) = samples.last()
        && kept.last() != Some(&last)
    {
        kept.push(last);
    }
    kept
}
