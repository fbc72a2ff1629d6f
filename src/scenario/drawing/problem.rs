//! What is wrong with a drawing.

use std::fmt;

use crate::scenario::toml::kept_problems::KeptProblems;

/// Something wrong at one line of a drawing.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct DrawingProblem {
    /// Line of the drawing, from 1; 0 for the drawing as a whole.
    pub line: usize,
    /// What is wrong; lengths and points in mm.
    pub message: String,
    /// What would mend it.
    pub help: String,
}

/// The problems of a drawing, of which [`MOST_PROBLEMS`](crate::scenario::MOST_PROBLEMS) are kept.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DrawingProblems {
    kept: KeptProblems<DrawingProblem>,
}

impl DrawingProblems {
    pub(super) fn add(&mut self, line: usize, message: String, help: &str) {
        self.kept.add(DrawingProblem { line, message, help: help.to_owned() });
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.kept.list().is_empty()
    }

    /// The problems kept.
    #[must_use]
    pub fn list(&self) -> &[DrawingProblem] {
        self.kept.list()
    }

    /// How many were found and not kept.
    #[must_use]
    pub const fn left_out(&self) -> usize {
        self.kept.left_out()
    }
}

impl DrawingProblem {
    /// "file:line: what is wrong".
    #[must_use]
    pub fn in_file(&self, file: &str) -> String {
        match self.line {
            0 => format!("{file}: {}", self.message),
            line => format!("{file}:{line}: {}", self.message),
        }
    }
}

impl fmt::Display for DrawingProblems {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        for problem in self.kept.list() {
            writeln!(formatter, "{} ({})", problem.in_file("drawing"), problem.help)?;
        }
        Ok(())
    }
}

impl std::error::Error for DrawingProblems {}
