//! Problems of the texts of a scenario together with those of what they say.

use super::toml::overlay::LEAVE_OUT;
use super::toml::problem::{MOST_PROBLEMS, Problem};
use super::toml::problem_code::ProblemCode;
use super::toml::source::{SourceId, Sources};
use super::toml::tree::Table;
use super::toml::written::Written;

/// A value of a lower file that does not go with the rest need not be deleted there.
pub(super) fn tell_how_to_leave_out(problem: &mut Problem, written: &Written, tree: &Table) {
    let of_fitting = matches!(problem.code, ProblemCode::Conflict | ProblemCode::UnknownKey | ProblemCode::TrainOpen);
    if of_fitting
        && written.lower.contains(&problem.span.source)
        && let Some(path) = tree.path_at(problem.span)
    {
        let upper = &written.sources.get(Sources::FILE).name;
        problem.help.push_str(&format!("; or leave it out in {upper}: {LEAVE_OUT} = [\"{path}\"]"));
    }
}

/// Where a file is no TOML, or the file that it starts from is not there, the tree has holes, so of what the reader found
/// only that counts which stands on a line of its own and is not about something missing.
pub(super) fn merge(
    sources: &Sources,
    mut syntax: Vec<Problem>,
    found: Vec<Problem>,
    left_out: usize,
) -> (Vec<Problem>, usize) {
    if syntax.is_empty() {
        return (found, left_out);
    }
    let too_many = syntax.len().saturating_sub(MOST_PROBLEMS);
    syntax.truncate(MOST_PROBLEMS);
    let line = |problem: &Problem| (problem.span.source, sources.line_column(problem.span).0);
    let broken: Vec<(SourceId, usize)> = syntax.iter().map(line).collect();
    let stands = |problem: &Problem| {
        let about_a_value =
            !matches!(problem.code, ProblemCode::MissingKey | ProblemCode::TrainOpen | ProblemCode::Conflict);
        about_a_value && !broken.contains(&line(problem))
    };
    let room = MOST_PROBLEMS - syntax.len();
    let kept: Vec<Problem> = found.into_iter().filter(stands).collect();
    let cut = kept.len().saturating_sub(room);
    syntax.extend(kept.into_iter().take(room));
    (syntax, too_many + cut)
}
