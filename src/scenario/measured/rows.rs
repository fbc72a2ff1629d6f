//! The rows of a table, each cell with its place.

use crate::scenario::toml::kept_problems::KeptProblems;
use crate::scenario::toml::problem::{Problem, Problems};
use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::source::{Sources, Span};

use super::cells::{Cell, cells, declared_separator, is_missing, lines, number_in, separator_of, short};
use super::header::{Columns, NumberColumn, columns, names_a_column};
use super::time::Time;
use super::{GAP_IN_STEPS, MOST_ROWS, MissingCell, RefusedRow, RowCheck, TimeGap, WantedTable};

/// Problems found so far, and the rows that were refused instead.
#[derive(Debug)]
pub(super) struct TableProblems<'n> {
    name: &'n str,
    kept: KeptProblems<Problem>,
    refused: KeptProblems<RefusedRow>,
    /// The line being read, where its row is refused for a bad cell.
    skipping: Option<(usize, usize, &'n str)>,
    /// Whether the row being read is bad.
    row_is_bad: bool,
}

impl<'n> TableProblems<'n> {
    pub fn of(name: &'n str) -> Self {
        Self {
            name,
            kept: KeptProblems::default(),
            refused: KeptProblems::default(),
            skipping: None,
            row_is_bad: false,
        }
    }

    /// Keeps a problem at a cell, or counts it where there are many; where rows are refused, refuses the row at its first problem.
    pub fn report(&mut self, cell: &Cell<'_>, code: ProblemCode, message: String, help: String) {
        let again = std::mem::replace(&mut self.row_is_bad, true);
        match self.skipping {
            Some((line, start, text)) => {
                if !again {
                    let before = text.get(..cell.start.saturating_sub(start)).unwrap_or("");
                    self.refused.add(RefusedRow { line, column: before.chars().count() + 1, why: message });
                }
            }
            None => {
                let span = Span { source: Sources::FILE, start: cell.start, end: cell.end };
                self.kept.add(Problem { code, message, help, span });
            }
        }
    }

    /// Whether nothing stands in the way of a table.
    pub const fn none(&self) -> bool {
        self.kept.list().is_empty()
    }

    /// Rows refused, and how many in all.
    pub fn into_refused(self) -> (Vec<RefusedRow>, usize) {
        let (list, left_out) = self.refused.into_parts();
        let count = list.len() + left_out;
        (list, count)
    }

    pub fn problems(self, wanted: &WantedTable, text: &str) -> Problems {
        let (list, left_out) = self.kept.into_parts();
        let is_one = lines(text).next().is_some_and(|line| names_a_column(wanted, line.text));
        let name = self.name.to_owned();
        let sources = if is_one { Sources::of_file(name, text) } else { Sources::of_unquoted_file(name, text) };
        Problems::new(sources, list, left_out)
    }
}

/// What was read.
#[derive(Debug)]
pub(super) struct Rows {
    pub columns: Columns,
    pub times_s: Vec<f64>,
    pub values: Vec<Vec<Option<f64>>>,
    pub lines: Vec<usize>,
    pub began: Option<jiff::civil::DateTime>,
    pub step_s: f64,
    pub gaps: Vec<TimeGap>,
    pub missing: Vec<MissingCell>,
    pub missing_count: usize,
}

/// The rows of a text that is not empty; `None` after problems.
pub(super) fn rows<'n>(
    wanted: &WantedTable,
    text: &'n str,
    skip_bad: bool,
    check: &RowCheck<'_>,
    found: &mut TableProblems<'n>,
) -> Option<Rows> {
    let mut all = lines(text).peekable();
    let declared = all.peek().and_then(|line| declared_separator(line.text));
    if declared.is_some() {
        all.next();
    }
    let Some(header) = all.next() else {
        let message = "there is no line that names the columns, only remarks".to_owned();
        let whole = Cell { text, start: 0, end: 0 };
        let help = format!("the first line reads like {}", wanted.example);
        found.report(&whole, ProblemCode::LogColumn, message, help);
        return None;
    };
    let separator = declared.unwrap_or_else(|| separator_of(header.text));
    let header = cells(&header, separator);
    let columns = columns(wanted, &header, found)?;
    let mut read = RowReading { wanted, separator, columns: &columns, begin: None, last_s: f64::NEG_INFINITY };
    let mut times_s = Vec::new();
    let mut values: Vec<Vec<Option<f64>>> = Vec::new();
    let mut row_lines = Vec::new();
    let mut missing = KeptProblems::<MissingCell>::default();
    let mut count = 0;
    for line in all {
        let row = cells(&line, separator);
        if row.iter().all(|cell| cell.text.is_empty()) {
            continue;
        }
        count += 1;
        if count > MOST_ROWS {
            found.skipping = None;
            let message = format!("there are more than {MOST_ROWS} rows");
            let help = format!("cut the {}, or use longer steps", wanted.what);
            found.report(&Cell::around(&row), ProblemCode::LogRows, message, help);
            return None;
        }
        found.skipping = skip_bad.then_some((line.number, line.start, line.text));
        found.row_is_bad = false;
        let Some((time_s, numbers)) = read.row(&row, check, found) else { continue };
        for column in columns
            .numbers
            .iter()
            .enumerate()
            .filter_map(|(index, column)| column.as_ref().filter(|_| numbers[index].is_none()))
        {
            missing.add(MissingCell { line: line.number, column: column.name });
        }
        times_s.extend(time_s);
        values.push(numbers);
        row_lines.push(line.number);
    }
    let began = read.begin.and_then(|(time, _)| time.date());
    found.skipping = None;
    if !found.none() {
        return None;
    }
    if values.len() < wanted.least_rows {
        let message =
            format!("a {} needs at least {} rows, and this has {}", wanted.what, wanted.least_rows, values.len());
        found.report(&Cell::around(&header), ProblemCode::LogRows, message, "add a row for every reading".to_owned());
        return None;
    }
    let step_s = usual_step_s(&times_s);
    let gaps = if wanted.time.even_steps { gaps(&times_s, &row_lines, step_s) } else { Vec::new() };
    let (missing, left_out) = missing.into_parts();
    let missing_count = missing.len() + left_out;
    Some(Rows { columns, times_s, values, lines: row_lines, began, step_s, gaps, missing, missing_count })
}

fn gaps(times_s: &[f64], lines: &[usize], step_s: f64) -> Vec<TimeGap> {
    let steps = times_s.windows(2).zip(&lines[1.min(lines.len())..]);
    steps
        .filter(|(pair, _)| pair[1] - pair[0] > GAP_IN_STEPS * step_s)
        .map(|(pair, &line)| TimeGap { line, from_s: pair[0], to_s: pair[1] })
        .collect()
}

/// Median of the steps, s; 0 where there are none.
fn usual_step_s(times_s: &[f64]) -> f64 {
    let mut steps: Vec<f64> = times_s.windows(2).map(|pair| pair[1] - pair[0]).collect();
    steps.sort_by(f64::total_cmp);
    steps.get(steps.len() / 2).copied().unwrap_or(0.0)
}

struct RowReading<'r, 't> {
    wanted: &'r WantedTable,
    separator: char,
    columns: &'r Columns,
    begin: Option<(Time, Cell<'t>)>,
    last_s: f64,
}

impl<'t> RowReading<'_, 't> {
    /// Time and numbers of a row; `None` after a problem.
    fn row(
        &mut self,
        row: &[Cell<'t>],
        check: &RowCheck<'_>,
        found: &mut TableProblems<'_>,
    ) -> Option<(Option<f64>, Vec<Option<f64>>)> {
        let count = self.columns.count;
        // A spreadsheet may end its rows with empty cells.
        let extra_is_empty = row.get(count..).is_some_and(|extra| extra.iter().all(|cell| cell.text.is_empty()));
        if row.len() < count || !extra_is_empty {
            let message = format!("this row has {} of the header's {count} cells", row.len());
            let help = match self.separator {
                ',' => "separate cells by single commas; numbers take decimal points".to_owned(),
                ';' => "separate cells by single semicolons, as the header does".to_owned(),
                _ => "separate cells as the header does".to_owned(),
            };
            found.report(&Cell::around(row), ProblemCode::LogCell, message, help);
            return None;
        }
        let time_s = self.columns.time.map(|(index, _)| self.time_of(&row[index], found));
        let numbers: Vec<Option<f64>> = (self.columns.numbers.iter())
            .map(|column| number_of(column.as_ref()?, row, self.separator, found))
            .collect();
        if found.row_is_bad {
            return None;
        }
        if let Err((index, message, help)) = check(&numbers) {
            let column = self.columns.numbers.get(index).and_then(Option::as_ref);
            let cell = column.map_or_else(|| Cell::around(row), |column| row[column.index]);
            found.report(&cell, ProblemCode::LogCell, message, help);
            return None;
        }
        let time_s = time_s.flatten();
        if let Some(time_s) = time_s {
            self.last_s = time_s;
        }
        Some((time_s, numbers))
    }

    /// Seconds since the first row; `None` after a problem.
    fn time_of(&mut self, cell: &Cell<'t>, found: &mut TableProblems<'_>) -> Option<f64> {
        let (_, column) = self.columns.time?;
        let Some(time) = column.read(cell.text, self.separator) else {
            let (message, help) = if cell.text.is_empty() {
                let help = "every row has a time; delete rows without readings";
                ("the time is missing".to_owned(), help.to_owned())
            } else {
                let help = match (self.wanted.time.dates, self.wanted.time.bare_unit) {
                    (true, Some(_)) => "write dates like 2026-01-31T14:00, or hours like 12.5",
                    (true, None) => "write dates like 2026-01-31T14:00 or 31.01.2026 14:00",
                    (false, _) => "write a plain number; the unit goes in the header",
                };
                (format!("\"{}\" is not a time", short(cell.text)), help.to_owned())
            };
            found.report(cell, ProblemCode::LogTime, message, help);
            return None;
        };
        let &mut (first, first_cell) = self.begin.get_or_insert((time, *cell));
        let Some(time_s) = time.since_s(first) else {
            let message =
                format!("this time is {}, the first one ({}) is {}", time.form(), first_cell.text, first.form());
            found.report(cell, ProblemCode::LogTime, message, "write all times in one form".to_owned());
            return None;
        };
        let step = time_s - self.last_s;
        if step <= 0.0 {
            let what = if step == 0.0 { "the time is the same as in the row before" } else { "the time goes back" };
            let help = if self.wanted.time.dates {
                "sort the rows; where clocks were set back, write the times with their zone (…+01:00) or in UTC (…Z)"
            } else {
                "sort the rows by time"
            };
            found.report(cell, ProblemCode::LogTime, what.to_owned(), help.to_owned());
            return None;
        }
        if found.skipping.is_none() {
            self.last_s = time_s;
        }
        Some(time_s)
    }
}

/// The number of a cell in SI units; `None` where there is no reading, or after a problem.
fn number_of(column: &NumberColumn, row: &[Cell<'_>], separator: char, found: &mut TableProblems<'_>) -> Option<f64> {
    let cell = &row[column.index];
    if is_missing(cell.text) {
        return None;
    }
    if let Some(value) = number_in(cell.text, separator).and_then(|number| column.si(number)) {
        return Some(value);
    }
    let message = format!("\"{}\" is not a number for the {}", short(cell.text), column.name);
    let help = "write a plain number with a decimal point; the unit goes in the header".to_owned();
    found.report(cell, ProblemCode::LogCell, message, help);
    None
}
