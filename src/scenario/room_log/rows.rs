//! The rows of a log, each cell with its place.

use csv::{ReaderBuilder, StringRecord};

use crate::clock::design::Place;
use crate::clock::environment::site::{PlaceError, pressure_pa};
use crate::clock::environment::weather::{WeatherMoment, check_air};
use crate::scenario::toml::kept_problems::KeptProblems;
use crate::scenario::toml::problem::{Problem, Problems};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::source::{Sources, Span};

use super::header::{Columns, EXAMPLE, LogColumn, columns, names_a_column};
use super::time::Time;
use super::{GAP_IN_STEPS, MOST_ROWS};

/// A cell and its place in the text.
#[derive(Debug, Clone, Copy)]
pub(super) struct Cell<'t> {
    pub text: &'t str,
    pub start: usize,
    pub end: usize,
}

impl Cell<'_> {
    /// From the first of some cells to the last.
    pub fn around<'t>(cells: &[Cell<'t>]) -> Cell<'t> {
        let (first, last) = (cells.first(), cells.last());
        Cell {
            text: first.map_or("", |cell| cell.text),
            start: first.map_or(0, |cell| cell.start),
            end: last.map_or(0, |cell| cell.end),
        }
    }
}

/// Problems found so far.
#[derive(Debug)]
pub(super) struct LogProblems<'n> {
    name: &'n str,
    kept: KeptProblems<Problem>,
}

impl LogProblems<'_> {
    /// Keeps a problem at a cell, or counts it where there are many.
    pub fn report(&mut self, cell: &Cell<'_>, code: ProblemCode, message: String, help: String) {
        let span = Span { source: Sources::FILE, start: cell.start, end: cell.end };
        self.kept.add(Problem { code, message, help, span });
    }

    fn problems(self, text: &str) -> Problems {
        let (list, left_out) = self.kept.into_parts();
        let is_log = text.lines().next().is_some_and(names_a_column);
        let name = self.name.to_owned();
        let sources = if is_log { Sources::of_file(name, text) } else { Sources::of_unquoted_file(name, text) };
        Problems::new(sources, list, left_out)
    }
}

/// What was read.
#[derive(Debug)]
pub(super) struct Rows {
    pub columns: Columns,
    pub moments: Vec<WeatherMoment>,
    pub began: Option<jiff::civil::DateTime>,
    pub step_s: f64,
}

/// The rows of a text that is not empty.
pub(super) fn read_rows(name: &str, text: &str, place: &Place) -> Result<Rows, Problems> {
    let mut found = LogProblems { name, kept: KeptProblems::default() };
    match rows(text, place, &mut found) {
        Some(rows) if found.kept.list().is_empty() => Ok(rows),
        _ => {
            if found.kept.list().is_empty() {
                // Nothing but remarks, or a place whose air is not known.
                let start = Cell { text, start: 0, end: 0 };
                let message = "the log says nothing of the air: it has no line that names the columns".to_owned();
                found.report(&start, ProblemCode::LogColumn, message, format!("a header reads like {EXAMPLE}"));
            }
            Err(found.problems(text))
        }
    }
}

fn rows(text: &str, place: &Place, found: &mut LogProblems<'_>) -> Option<Rows> {
    let mut reader =
        ReaderBuilder::new().has_headers(false).flexible(true).comment(Some(b'#')).from_reader(text.as_bytes());
    let mut record = StringRecord::new();
    let mut next = |found: &mut LogProblems<'_>| match reader.read_record(&mut record) {
        Ok(true) => {
            let at = record.position().map_or(0, |position| position.byte() as usize);
            let end = reader.position().byte() as usize;
            // A remark that the file ends with, without a line end, counts as a record.
            cells_of(text, at, end)
        }
        Ok(false) => None,
        Err(error) => {
            let whole = Cell { text, start: 0, end: 0 };
            found.report(
                &whole,
                ProblemCode::LogCell,
                format!("cannot be read as CSV: {error}"),
                format!("a log reads like {EXAMPLE}"),
            );
            None
        }
    };
    let Some(header) = next(found) else {
        if found.kept.list().is_empty() {
            let message = "there is no line that names the columns, only remarks".to_owned();
            let whole = Cell { text, start: 0, end: 0 };
            found.report(&whole, ProblemCode::LogColumn, message, format!("the first line reads like {EXAMPLE}"));
        }
        return None;
    };
    let columns = columns(&header, found)?;
    let held_pa = match pressure_pa(place) {
        Ok(held_pa) => held_pa,
        Err(error) => {
            let help = "give the place of the scenario a pressure, or a height".to_owned();
            found.report(&Cell::around(&header), ProblemCode::ImpossiblePlace, error.to_string(), help);
            return None;
        }
    };
    let mut begin: Option<(Time, Cell<'_>)> = None;
    let mut last_s = f64::NEG_INFINITY;
    let mut moments: Vec<WeatherMoment> = Vec::new();
    let mut times: Vec<Cell<'_>> = Vec::new();
    while let Some(cells) = next(found) {
        if times.len() >= MOST_ROWS {
            let help = "cut the log, or use longer steps".to_owned();
            found.report(
                &Cell::around(&cells),
                ProblemCode::LogRows,
                format!("there are more than {MOST_ROWS} rows"),
                help,
            );
            return None;
        }
        if cells.len() != columns.count {
            let message = format!("this row has {} of the header's {} cells", cells.len(), columns.count);
            let help = "separate cells by single commas; numbers take decimal points".to_owned();
            found.report(&Cell::around(&cells), ProblemCode::LogCell, message, help);
            continue;
        }
        let cell = cells[columns.time.0];
        let time_s = time_of(&columns, &cell, &mut begin, &mut last_s, found);
        times.push(cell);
        let mut number = |column: &LogColumn| number_of(column, &cells[column.index], found);
        let temperature = number(&columns.temperature);
        let humidity = columns.humidity.as_ref().map_or(Some(place.relative_humidity), &mut number);
        let pressure = columns.pressure.as_ref().map_or(Some(held_pa), &mut number);
        let (Some(time_s), Some(temperature_c), Some(relative_humidity), Some(pressure_pa)) =
            (time_s, temperature, humidity, pressure)
        else {
            continue;
        };
        let moment = WeatherMoment { time_s, temperature_c, relative_humidity, pressure_pa };
        match check_air(place, &moment) {
            Ok(()) => moments.push(moment),
            Err(error) => {
                let column = match error {
                    PlaceError::Humidity { .. } => columns.humidity.as_ref(),
                    PlaceError::Pressure { .. } => columns.pressure.as_ref(),
                    _ => None,
                };
                let at = &cells[column.unwrap_or(&columns.temperature).index];
                found.report(
                    at,
                    ProblemCode::LogCell,
                    error.to_string(),
                    "check the number and the unit in the header".to_owned(),
                );
            }
        }
    }
    if !found.kept.list().is_empty() {
        return None;
    }
    if moments.len() < 2 {
        let message = format!("a log needs at least two rows, and this has {}", moments.len());
        found.report(&Cell::around(&header), ProblemCode::LogRows, message, "add a row for every hour".to_owned());
        return None;
    }
    let step_s = usual_step_s(&moments);
    for (pair, cell) in moments.windows(2).zip(&times[1..]) {
        let step = pair[1].time_s - pair[0].time_s;
        if step > GAP_IN_STEPS * step_s {
            let message = format!("a gap of {} h before this row; the rows are {} h apart", hours(step), hours(step_s));
            let help = "cut the log there and use one part, or fill in the missing rows yourself".to_owned();
            found.report(cell, ProblemCode::LogGap, message, help);
        }
    }
    Some(Rows { columns, moments, began: begin.and_then(|(time, _)| time.date()), step_s })
}

fn hours(seconds: f64) -> f64 {
    (seconds / 3600.0 * 1e4).round() / 1e4
}

/// Median of the steps, s.
fn usual_step_s(moments: &[WeatherMoment]) -> f64 {
    let mut steps: Vec<f64> = moments.windows(2).map(|pair| pair[1].time_s - pair[0].time_s).collect();
    steps.sort_by(f64::total_cmp);
    steps[steps.len() / 2]
}

/// Seconds since the first row; `None` after a problem.
fn time_of<'t>(
    columns: &Columns,
    cell: &Cell<'t>,
    begin: &mut Option<(Time, Cell<'t>)>,
    last_s: &mut f64,
    found: &mut LogProblems<'_>,
) -> Option<f64> {
    let Some(time) = columns.time.1.read(cell.text) else {
        let (message, help) = if cell.text.is_empty() {
            ("the time is missing".to_owned(), "every row has a time; delete rows without readings")
        } else {
            (format!("\"{}\" is not a time", short(cell.text)), "write dates like 2026-01-31T14:00, or hours like 12.5")
        };
        found.report(cell, ProblemCode::LogTime, message, help.to_owned());
        return None;
    };
    let &mut (first, first_cell) = begin.get_or_insert((time, *cell));
    let Some(time_s) = time.since_s(first) else {
        let message = format!("this time is {}, the first one ({}) is {}", time.form(), first_cell.text, first.form());
        found.report(cell, ProblemCode::LogTime, message, "write all times in one form".to_owned());
        return None;
    };
    let step = time_s - *last_s;
    if step <= 0.0 {
        let what = if step == 0.0 { "the time is the same as in the row before" } else { "the time goes back" };
        let help =
            "sort the rows; where clocks were set back, write the times with their zone (…+01:00) or in UTC (…Z)";
        found.report(cell, ProblemCode::LogTime, what.to_owned(), help.to_owned());
        return None;
    }
    *last_s = time_s;
    Some(time_s)
}

/// The number of a cell in SI units; `None` after a problem.
fn number_of(column: &LogColumn, cell: &Cell<'_>, found: &mut LogProblems<'_>) -> Option<f64> {
    let finite = cell.text.parse::<f64>().ok().filter(|number| number.is_finite());
    if let Some(value) = finite.and_then(|_| column.si(cell.text)) {
        return Some(value);
    }
    let name = column.name;
    let (message, help) = if cell.text.is_empty() {
        (
            format!("the {name} is missing"),
            "nothing is filled in: delete the row if it has no reading, or write the reading",
        )
    } else {
        (
            format!("\"{}\" is not a number for the {name}", short(cell.text)),
            "write a plain number with a decimal point; the unit goes in the header",
        )
    };
    found.report(cell, ProblemCode::LogCell, message, help.to_owned());
    None
}

/// At most thirty characters of a cell.
fn short(text: &str) -> String {
    text.chars().take(30).collect()
}

/// The cells of the record in `text[from..to]`, without blanks and quotes around them; `None` where nothing is left of it.
fn cells_of(text: &str, from: usize, to: usize) -> Option<Vec<Cell<'_>>> {
    let mut start = from.min(text.len());
    // The reader passes over blank and commented lines before a record.
    loop {
        let rest = &text[start..];
        if rest.starts_with(['\r', '\n']) {
            start += 1;
        } else if rest.starts_with('#') {
            start += rest.find('\n').map_or(rest.len(), |at| at + 1);
        } else {
            break;
        }
    }
    let end = start.max(to.min(text.len()));
    let line = text[start..end].trim_end_matches(['\r', '\n']);
    if line.is_empty() {
        return None;
    }
    let mut cells = Vec::new();
    let (mut begin, mut quoted) = (0, false);
    for (at, letter) in line.char_indices().chain(std::iter::once((line.len(), ','))) {
        if letter == '"' && at < line.len() {
            quoted = !quoted;
        } else if letter == ',' && (!quoted || at == line.len()) {
            cells.push(trimmed(line, begin, at, start));
            begin = at + 1;
        }
    }
    Some(cells)
}

fn trimmed(line: &str, begin: usize, end: usize, offset: usize) -> Cell<'_> {
    let raw = &line[begin.min(end)..end];
    let text = raw.trim().trim_matches('"').trim();
    let start = offset + begin + raw.find(text).unwrap_or(0);
    Cell { text, start, end: start + text.len() }
}
