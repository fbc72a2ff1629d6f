//! One screen of the terminal.

use std::time::Duration;

use console::Term;

use crate::cli::failure::Failure;
use crate::cli::output::print;
use crate::report::words::numbers::counted;

/// Rows under the answer that say how to go on.
const LAST_ROWS: usize = 2;

/// What is on the screen: the last good answer, and above it what has kept another from coming.
pub(in crate::cli) struct Screen {
    term: Term,
    /// Answers so far.
    number: usize,
    last: String,
}

impl Screen {
    pub(super) fn new() -> Self {
        Self { term: Term::stdout(), number: 0, last: String::new() }
    }

    /// Shows an answer that took so long.
    pub fn show(&mut self, answer: &str, took: Duration) -> Result<(), Failure> {
        self.number += 1;
        self.last = format!("Answer {}, in {:.1} s\n{answer}", self.number, took.as_secs_f64());
        self.draw(&self.last)
    }

    /// Shows why there is none, and the last one below.
    pub(super) fn fail(&self, failure: &Failure) -> Result<(), Failure> {
        let below = if self.last.is_empty() { String::new() } else { format!("\n\nLast good answer:\n{}", self.last) };
        self.draw(&format!("{failure}{below}"))
    }

    pub(super) fn tell_how_to_go_on(&self, files: usize) -> Result<(), Failure> {
        let which = if files == 1 { "the file".to_owned() } else { format!("one of {files} files") };
        print(&format!("\nRuns again when {which} is saved; Ctrl-C ends.\n"))
    }

    /// On a terminal as much as goes on one screen, else all.
    fn draw(&self, text: &str) -> Result<(), Failure> {
        if !self.term.is_term() {
            return print(&format!("{}\n", text.trim_end()));
        }
        // A terminal that cannot be cleared scrolls.
        let _ = self.term.clear_screen();
        let (rows, columns) = self.term.size();
        print(&on_one_screen(text, usize::from(rows), usize::from(columns)))
    }
}

/// The first lines of a text that fit, and how many do not.
fn on_one_screen(text: &str, rows: usize, columns: usize) -> String {
    let height = |line: &str| console::measure_text_width(line).div_ceil(columns.max(1)).max(1);
    let lines: Vec<&str> = text.trim_end().lines().collect();
    let room = rows.saturating_sub(LAST_ROWS + 1);
    if lines.iter().map(|line| height(line)).sum::<usize>() <= room {
        return format!("{}\n", lines.join("\n"));
    }
    let mut used = 1;
    let shown: Vec<&str> = lines
        .iter()
        .copied()
        .take_while(|line| {
            used += height(line);
            used <= room
        })
        .collect();
    let left = counted(lines.len() - shown.len(), "more line", "more lines");
    format!("{}\n... {left} on a taller terminal\n", shown.join("\n"))
}
