//! The starter with other values, its comments kept.

use crate::scenario::starter;

/// Column at which the starter's comments begin.
const COMMENT_COLUMN: usize = 40;

/// The starter's lines, to be changed.
pub(super) struct StarterLines {
    lines: Vec<String>,
    /// What was not found; a starter that has changed.
    missing: Vec<String>,
}

impl StarterLines {
    pub(super) fn new() -> Self {
        Self { lines: starter().lines().map(str::to_owned).collect(), missing: Vec::new() }
    }

    /// The line with that table's header, an array's first.
    fn header(&self, header: &str) -> Option<usize> {
        self.lines.iter().position(|line| line.split('#').next().unwrap_or_default().trim_end() == header)
    }

    /// Gives a key of a table another value, written as in the file; with an empty header a key before all tables. A key that is
    /// commented out comes into force.
    pub(super) fn set(&mut self, header: &str, key: &str, value: &str) {
        let first = if header.is_empty() { Some(0) } else { self.header(header).map(|at| at + 1) };
        let place = first.and_then(|first| {
            let end = (first..self.lines.len()).find(|&at| self.lines[at].starts_with('[')).unwrap_or(self.lines.len());
            let holds = |line: &str| {
                let bare = line.strip_prefix("# ").unwrap_or(line);
                bare.strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with('='))
            };
            let in_force = (first..end).find(|&at| !self.lines[at].starts_with('#') && holds(&self.lines[at]));
            in_force.or_else(|| (first..end).find(|&at| holds(&self.lines[at])))
        });
        let Some(place) = place else {
            self.missing.push(format!("{header} {key}"));
            return;
        };
        let comment = comment_of(&self.lines[place]).unwrap_or_default().to_owned();
        self.lines[place] = with_comment(&format!("{key} = {value}"), &comment);
    }

    /// Leaves a key of a table out.
    pub(super) fn leave_out(&mut self, header: &str, key: &str) {
        let Some(first) = self.header(header) else {
            self.missing.push(header.to_owned());
            return;
        };
        let found = (first + 1..self.lines.len())
            .take_while(|&at| !self.lines[at].starts_with('['))
            .find(|&at| self.lines[at].strip_prefix(key).is_some_and(|rest| rest.trim_start().starts_with('=')));
        match found {
            Some(at) => {
                self.lines.remove(at);
            }
            None => self.missing.push(format!("{header} {key}")),
        }
    }

    /// Puts other lines in the place of those from one that begins with `first` to the one before that which begins with `next`.
    pub(super) fn replace(&mut self, first: &str, next: &str, text: &str) {
        let begin = self.lines.iter().position(|line| line.starts_with(first));
        let end = begin.and_then(|begin| {
            (begin + 1..self.lines.len())
                .find(|&at| if next.is_empty() { self.lines[at].is_empty() } else { self.lines[at].starts_with(next) })
        });
        match begin.zip(end) {
            Some((begin, end)) => {
                self.lines.splice(begin..end, text.lines().map(str::to_owned));
            }
            None => self.missing.push(format!("{first} to {next}")),
        }
    }

    /// The whole text.
    ///
    /// # Errors
    /// What the starter does not have.
    pub(super) fn text(self) -> Result<String, String> {
        if self.missing.is_empty() { Ok(self.lines.join("\n") + "\n") } else { Err(self.missing.join(", ")) }
    }
}

/// The comment of a line that has a value.
fn comment_of(line: &str) -> Option<&str> {
    let bare = line.strip_prefix("# ").unwrap_or(line);
    // A value has no sharp sign in it: those of the starter are names, numbers and quantities.
    bare.split_once('#').map(|(_, comment)| comment.trim())
}

/// A line with its comment in the usual column.
pub(super) fn with_comment(line: &str, comment: &str) -> String {
    if comment.is_empty() {
        return line.to_owned();
    }
    format!("{line:<width$}# {comment}", width = COMMENT_COLUMN.max(line.len() + 1))
}
