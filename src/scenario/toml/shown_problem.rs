//! How a problem is shown: its code and message, the lines it points at, and help.

use std::ops::Range;

use annotate_snippets::renderer::DecorStyle;
use annotate_snippets::{AnnotationKind, Level, Origin, Renderer, Snippet};

use super::problem::Problem;
use super::source::{Source, Sources};

/// Longest stretch of a source that is quoted, bytes: a file of one endless line would flood the terminal.
const LONGEST_QUOTED: usize = 1200;

/// Width of a report, columns.
const REPORT_COLUMNS: usize = 112;

/// The problem with its code, message, `name:line:column`, the lines it points at, and help. Where those lines are endless the place
/// stands alone.
pub(super) fn shown_problem(problem: &Problem, sources: &Sources, colour: bool) -> String {
    let source = sources.get(problem.span.source);
    let (start, end) = source.clip(problem.span.start, problem.span.end);
    let (line, column) = sources.line_column(problem.span);
    let title = Level::ERROR.primary_title(problem.message.as_str()).id(problem.code.as_str());
    let help = Level::HELP.message(problem.help.as_str());
    let quoted = lines_of(source, start, end);
    let group = if source.is_quoted && quoted.len() <= LONGEST_QUOTED {
        let marked = start - quoted.start..end - quoted.start;
        title.element(
            Snippet::source(&source.text[quoted])
                .line_start(line)
                .path(source.name.as_str())
                .annotation(AnnotationKind::Primary.span(marked)),
        )
    } else {
        title.element(Origin::path(source.name.as_str()).line(line).char_column(column))
    };
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    renderer.term_width(REPORT_COLUMNS).decor_style(DecorStyle::Unicode).render(&[group.element(help)])
}

/// The whole lines of `start..end`, without the last line's end.
fn lines_of(source: &Source, start: usize, end: usize) -> Range<usize> {
    let text = &*source.text;
    let first = text[..start].rfind('\n').map_or(0, |at| at + 1);
    // A stretch that ends with a line's end does not reach into the next line.
    let last = if end > start && text[..end].ends_with('\n') { end - 1 } else { end };
    first..text[last..].find('\n').map_or(text.len(), |at| last + at).max(end)
}
