//! A problem in the user's file, and how it is shown.

use std::fmt;

use super::problem_code::ProblemCode;
use super::shown_problem::shown_problem;
use super::source::{Sources, Span};

/// Problems kept for the report; the rest are counted.
pub const MOST_PROBLEMS: usize = 50;

/// Something wrong at one place of the scenario.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problem {
    /// Kind of problem.
    pub code: ProblemCode,
    /// What is wrong.
    pub message: String,
    /// What would be right.
    pub help: String,
    /// Where.
    pub span: Span,
}

/// The problems of one reading, at most [`MOST_PROBLEMS`] of them, with the sources they point into.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Problems {
    sources: Sources,
    list: Vec<Problem>,
    left_out: usize,
}

impl Problems {
    /// The problems in the order of the text; `left_out` more were not kept.
    #[must_use]
    pub fn new(sources: Sources, mut list: Vec<Problem>, left_out: usize) -> Self {
        list.sort_by_key(|problem| problem.span);
        Self { sources, list, left_out }
    }

    /// The problems, in the order of the text.
    #[must_use]
    pub fn list(&self) -> &[Problem] {
        &self.list
    }

    /// "name:line:column" of a problem.
    #[must_use]
    pub fn place(&self, problem: &Problem) -> String {
        self.sources.place(problem.span)
    }

    /// How many problems there are, the ones not kept included.
    #[must_use]
    pub fn count(&self) -> usize {
        self.list.len() + self.left_out
    }

    /// The whole report: each problem with code, message, `name:line:column`, the text it points at, and help.
    #[must_use]
    pub fn render(&self, colour: bool) -> String {
        let mut report = String::new();
        for problem in &self.list {
            report.push_str(&shown_problem(problem, &self.sources, colour));
            report.push_str("\n\n");
        }
        if self.left_out > 0 {
            let problems = if self.left_out == 1 { "problem" } else { "problems" };
            report.push_str(&format!("and {} more {problems}\n", self.left_out));
        }
        report
    }
}

impl fmt::Display for Problems {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.render(false))
    }
}

impl std::error::Error for Problems {}
