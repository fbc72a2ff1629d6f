//! A problem in the user's file, and how it is shown.

use std::fmt;

use miette::{Diagnostic, GraphicalReportHandler, GraphicalTheme, LabeledSpan, NamedSource, SourceCode};

use super::problem_code::ProblemCode;
use super::source::{Sources, Span};

/// Problems kept for the report; the rest are counted.
pub const MOST_PROBLEMS: usize = 50;

/// Longest line of a source that is quoted, bytes. A file of one endless line would flood the terminal.
const LONGEST_QUOTED_LINE: usize = 400;

/// Width of the report, characters.
const REPORT_WIDTH: usize = 110;

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
        let theme = if colour { GraphicalTheme::unicode() } else { GraphicalTheme::unicode_nocolor() };
        let handler = GraphicalReportHandler::new_themed(theme).with_width(REPORT_WIDTH).with_links(false);
        let mut report = String::new();
        for problem in &self.list {
            let shown = ShownProblem::new(problem, &self.sources);
            if handler.render_report(&mut report, &shown).is_err() {
                report.push_str(&format!("{}: {}\n", self.sources.place(problem.span), problem.message));
            }
            report.push('\n');
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

/// A problem with the text it points into, as the report library wants it.
#[derive(Debug)]
struct ShownProblem<'p> {
    problem: &'p Problem,
    message: String,
    quoted: Option<NamedSource<String>>,
}

impl<'p> ShownProblem<'p> {
    fn new(problem: &'p Problem, sources: &Sources) -> Self {
        let source = sources.get(problem.span.source);
        let text = &source.text;
        let (start, end) = source.clip(problem.span.start, problem.span.end);
        // One line before and one after are quoted too, and each of them has to be short enough.
        let earlier = text[..start].bytes().rev().take(3 * LONGEST_QUOTED_LINE);
        let later = text[end..].bytes().take(3 * LONGEST_QUOTED_LINE);
        let short =
            longest_of_two_lines(earlier) + longest_of_two_lines(later) + (end - start) < 3 * LONGEST_QUOTED_LINE;
        let place = sources.place(problem.span);
        if short {
            let named = NamedSource::new(&source.name, text.to_string());
            Self { problem, message: problem.message.clone(), quoted: Some(named) }
        } else {
            Self { problem, message: format!("{place}: {}", problem.message), quoted: None }
        }
    }
}

/// Bytes up to the second line end.
fn longest_of_two_lines(bytes: impl Iterator<Item = u8>) -> usize {
    let mut ends = 0;
    let mut count = 0;
    for byte in bytes {
        count += 1;
        ends += usize::from(byte == b'\n');
        if ends == 2 {
            break;
        }
    }
    count
}

impl fmt::Display for ShownProblem<'_> {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.write_str(&self.message)
    }
}

impl std::error::Error for ShownProblem<'_> {}

impl Diagnostic for ShownProblem<'_> {
    fn code<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(self.problem.code))
    }

    fn help<'a>(&'a self) -> Option<Box<dyn fmt::Display + 'a>> {
        Some(Box::new(&self.problem.help))
    }

    fn source_code(&self) -> Option<&dyn SourceCode> {
        self.quoted.as_ref().map(|source| source as &dyn SourceCode)
    }

    fn labels(&self) -> Option<Box<dyn Iterator<Item = LabeledSpan> + '_>> {
        self.quoted.as_ref()?;
        let span = self.problem.span;
        let label = LabeledSpan::new(Some("here".to_owned()), span.start, span.end - span.start);
        Some(Box::new(std::iter::once(label)))
    }
}
