//! The season in panels: temperature, humidity where the clock feels it, rate, error as it is and once regulated.

use crate::clock::SECONDS_PER_DAY;
use crate::clock::environment::weather::DAYS_PER_YEAR;
use crate::numerics::extremes::extremes;
use crate::report::canvas::labels::Label;
use crate::report::canvas::look::{
    CURVE_MM, DASHED, ENTRY, ENTRY_PALE, EXIT, HAIR_MM, Pen, SHADE, SOFT, TEXT_MM, fixed, significant, text_width_mm,
};
use crate::report::canvas::panel::{Panel, PanelAxis, left_edge_mm};
use crate::report::canvas::sheet::{Anchor, PlotFrame, Sheet};
use crate::report::season::{AnySeason, SeasonRow, SeasonView};
use crate::report::words::spans::span_in_words;

use super::{Drawn, Figure, finished};

/// Longest season that is drawn row by row, days; a longer one is drawn by its days.
const LONGEST_BY_ROW_DAYS: f64 = 60.0;

/// Share of the axis at its end without a date, which would not fit on the sheet.
const END_WITHOUT_TICK: f64 = 0.04;

/// Days that begin the months of a year of 365 days.
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
pub fn draw_season(view: &SeasonView<'_>) -> Option<Figure> {
    finished("season", draw(view))
}

fn draw(view: &SeasonView<'_>) -> Drawn {
    let rows = &view.rows;
    let going = view.going();
    if going.len() < 2 {
        return None;
    }
    let feels_humidity = matches!(view.found, AnySeason::Pendulum(_));
    let by_day = view.days() > LONGEST_BY_ROW_DAYS;
    let title = format!("{}: {} in the room", view.name, span_in_words(view.days()));
    let mut subtitle = String::new();
    if let Some(mean) = view.mean_rate_s_per_day() {
        subtitle.push_str(&format!(
            "Mean rate {} s/day (positive: gains).",
            fixed(mean, if feels_humidity { 1 } else { 3 })
        ));
    }
    let (span, worst) = match view.found {
        AnySeason::Pendulum(season) => ("week", season.worst_regulated_week),
        AnySeason::Motor(season) => ("month", season.worst_regulated_month),
    };
    if let Some(worst) = worst {
        subtitle.push_str(&format!(" Worst {span}, once regulated: {} min.", significant(worst.minutes(), 2)));
    }
    if by_day {
        subtitle.push_str(" Line: daily mean; band: daily range.");
    }
    let heights_mm = if feels_humidity { 138.0 } else { 112.0 };
    let mut sheet = Sheet::new(&title, &subtitle, heights_mm);
    let mean_rate = view.mean_rate_s_per_day().unwrap_or_default();
    let temperature = |row: &SeasonRow| Some(row.moment.temperature_c);
    let rod = |row: &SeasonRow| row.rod_temperature_c;
    let humidity = |row: &SeasonRow| Some(1e2 * row.moment.relative_humidity);
    let wood = |row: &SeasonRow| Some(1e2 * row.wood_humidity?);
    let rate = |row: &SeasonRow| row.rate_s_per_day;
    let error = |row: &SeasonRow| row.error_s.map(|seconds| seconds / 60.0);
    let regulated = |row: &SeasonRow| row.error_s.map(|seconds| seconds - mean_rate * row.day());
    let over = |of: [Quantity<'_>; 2], name: &str| {
        PanelAxis::over(rows.iter().flat_map(|row| of.map(|of| of(row))).flatten(), name, 4.0)
    };
    let lags = |lag_s: f64, names| (feels_humidity && lag_s > 0.0).then_some(names);
    let mut shown = vec![Shown {
        axis: over([&temperature, &rod], "temperature (\u{b0}C)"),
        first: &temperature,
        second: lags(view.plan.rod_lag_s, ["air", "rod"]).map(|names| (&rod as Quantity<'_>, names)),
        signed: false,
    }];
    if feels_humidity {
        shown.push(Shown {
            axis: over([&humidity, &wood], "relative humidity (%)"),
            first: &humidity,
            second: lags(view.plan.wood_lag_s, ["air", "in the parts"]).map(|names| (&wood as Quantity<'_>, names)),
            signed: false,
        });
    }
    let of_rate: [(Quantity<'_>, &str); 3] = [
        (&rate, "rate, gaining is positive (s/day)"),
        (&error, "error, not regulated, fast is positive (min)"),
        (&regulated, "error with the mean rate regulated out (s)"),
    ];
    shown.extend(of_rate.map(|(first, name)| Shown {
        axis: over([first, first], name),
        first,
        second: None,
        signed: true,
    }));
    let left = left_edge_mm(&shown.iter().map(|shown| &shown.axis).collect::<Vec<_>>());
    let (top, bottom) = (sheet.head_mm, sheet.page().bottom);
    let count = shown.len();
    // The last panel has the axis's name below it.
    let height = (bottom - top - 8.0) / count as f64;
    let stop_day = view.stop_row().map(|number| rows[number].day());
    for (number, Shown { axis, first, second: other, signed }) in shown.into_iter().enumerate() {
        let upper = top + height * number as f64;
        let last = number + 1 == count;
        let lower = if last { bottom } else { upper + height };
        let panel = Panel::drawn(&mut sheet, (left, upper, lower), time_axis(view), axis, last);
        if let Some(day) = stop_day {
            shade(&mut sheet, &panel, day);
        }
        if signed && panel.y().low() < 0.0 && panel.y().high() > 0.0 {
            panel.level(&mut sheet, 0.0, Pen::solid(SOFT, HAIR_MM));
        }
        swaying(&mut sheet, &panel, if signed { going } else { rows }, by_day, first);
        if let Some((other, names)) = other {
            second(&mut sheet, &panel, rows, by_day, other);
            legend(&mut sheet, &panel, names);
        }
    }
    Some((title, sheet))
}

/// A quantity of a row, `None` where it has none.
type Quantity<'q> = &'q dyn Fn(&SeasonRow) -> Option<f64>;

/// What a panel shows.
struct Shown<'q> {
    axis: PanelAxis,
    first: Quantity<'q>,
    /// Another quantity and the names of both.
    second: Option<(Quantity<'q>, [&'static str; 2])>,
    /// Whether it is the clock's, gone with its stop, with a line at 0.
    signed: bool,
}

/// Mean, least and largest value of a quantity on one day, and the day's middle.
struct Day {
    middle: f64,
    mean: f64,
    least: f64,
    largest: f64,
}

fn by_days(rows: &[SeasonRow], of: Quantity<'_>) -> Vec<Day> {
    rows.chunk_by(|one, other| one.day().floor() == other.day().floor())
        .filter_map(|day| {
            let values: Vec<f64> = day.iter().filter_map(of).collect();
            let count = values.len() as f64;
            // The first hours of a day that is not whole would stand for its mean.
            let whole = day[day.len() - 1].day() - day[0].day() > 0.5;
            let (least, largest) = extremes(values.iter().copied());
            (whole && !values.is_empty()).then(|| Day {
                middle: 0.5 * (day[0].day() + day[day.len() - 1].day()),
                mean: values.iter().sum::<f64>() / count,
                least,
                largest,
            })
        })
        .collect()
}

/// A quantity row by row, or by its days: their range as a band and their mean as a line.
fn swaying(sheet: &mut Sheet, panel: &Panel, rows: &[SeasonRow], by_day: bool, of: Quantity<'_>) {
    if !by_day {
        let points = rows.iter().filter_map(|row| Some((row.day(), of(row)?)));
        panel.curve(sheet, points, Pen::solid(ENTRY, CURVE_MM));
        return;
    }
    let days = by_days(rows, of);
    let upper = days.iter().map(|day| panel.at((day.middle, day.largest)));
    let lower = days.iter().rev().map(|day| panel.at((day.middle, day.least)));
    sheet.area(upper.chain(lower), ENTRY_PALE);
    panel.curve(sheet, days.iter().map(|day| (day.middle, day.mean)), Pen::solid(ENTRY, CURVE_MM));
}

/// Another quantity beside it, as a dashed line.
fn second(sheet: &mut Sheet, panel: &Panel, rows: &[SeasonRow], by_day: bool, of: Quantity<'_>) {
    let pen = Pen::solid(EXIT, CURVE_MM).broken(DASHED);
    if by_day {
        panel.curve(sheet, by_days(rows, of).iter().map(|day| (day.middle, day.mean)), pen);
    } else {
        panel.curve(sheet, rows.iter().filter_map(|row| Some((row.day(), of(row)?))), pen);
    }
}

/// The names of both lines, in the name line above a panel.
fn legend(sheet: &mut Sheet, panel: &Panel, names: [&str; 2]) {
    let y = panel.frame.top - 2.7;
    let pens = [Pen::solid(ENTRY, CURVE_MM), Pen::solid(EXIT, CURVE_MM).broken(DASHED)];
    let width = |name: &str| 8.5 + text_width_mm(name, TEXT_MM, false);
    let mut x = panel.frame.right - width(names[0]) - width(names[1]);
    for (name, pen) in names.into_iter().zip(pens) {
        sheet.line([(x, y), (x + 5.0, y)], pen);
        sheet.text((x + 6.0, y), name, pen.colour, Anchor::Start);
        x += width(name);
    }
}

/// Greys out the time after the stop and says so.
fn shade(sheet: &mut Sheet, panel: &Panel, day: f64) {
    let frame = panel.frame;
    let left = panel.at((day, panel.y().low())).0.max(frame.left);
    sheet.block(&PlotFrame { left, ..frame }, SHADE);
    let at = (left, 0.5 * (frame.top + frame.bottom));
    let text = "stops".to_owned();
    sheet.label(Label { at, text, colour: SOFT, towards: (1.0, 0.0), within: frame, leader: false });
}

/// Time in days with months, dates or day numbers at its ticks.
fn time_axis(view: &SeasonView<'_>) -> PanelAxis {
    let days = view.days();
    match view.log {
        None if days < 1.1 * DAYS_PER_YEAR => PanelAxis::between(0.0, days, "month", 12.0)
            .with_ticks(MONTHS.map(|(day, name)| (day, name.to_owned())).into()),
        None => {
            let years = (days / DAYS_PER_YEAR).round() as usize;
            let ticks =
                (0..=years).step_by(years.div_ceil(10)).map(|year| (year as f64 * DAYS_PER_YEAR, year.to_string()));
            PanelAxis::between(0.0, days, "years", 10.0).with_ticks(ticks.collect())
        }
        Some(log) => match log.began {
            Some(began) => PanelAxis::between(0.0, days, "date", 7.0).with_ticks(dates(began, days)),
            None => PanelAxis::between(0.0, days, "days since the first row", 7.0),
        },
    }
}

/// Midnights at about seven dates.
fn dates(began: jiff::civil::DateTime, days: f64) -> Vec<(f64, String)> {
    let every =
        [1.0, 2.0, 7.0, 14.0, 28.0, 61.0, 122.0, 365.0].into_iter().find(|every| days / every <= 7.5).unwrap_or(730.0);
    let midnight = began.date().to_datetime(jiff::civil::Time::midnight());
    let offset = (began.duration_since(midnight).as_secs_f64()) / SECONDS_PER_DAY;
    let first = if offset > 0.0 { 1.0 - offset } else { 0.0 };
    let format = if days > 300.0 { "%b %Y" } else { "%-d %b" };
    (0..20)
        .map(|number| first + every * f64::from(number))
        .take_while(|&day| day <= (1.0 - END_WITHOUT_TICK) * days)
        .filter_map(|day| {
            let at = began.checked_add(jiff::SignedDuration::from_secs((day * SECONDS_PER_DAY).round() as i64)).ok()?;
            Some((day, at.strftime(format).to_string()))
        })
        .collect()
}
