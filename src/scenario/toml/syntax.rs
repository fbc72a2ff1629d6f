//! Parses the file and words what is no TOML.

use toml::de::DeTable;

use super::problem::Problem;
use super::problem_code::ProblemCode;
use super::source::{SourceId, Sources};
use super::tree::{Planting, Table};

/// The tree of a file, as far as it can be read, and one problem for each place that is no TOML.
pub(in crate::scenario) fn parse_file(sources: &Sources, id: SourceId) -> (Table, Vec<Problem>) {
    let source = sources.get(id);
    let planting = Planting { id, source, offset: 0 };
    let (parsed, errors) = DeTable::parse_recoverable(&source.text);
    let problems = errors
        .iter()
        .map(|error| {
            let span = planting.span(error.span().unwrap_or(0..0));
            let (message, help) = worded(error.message());
            Problem { code: ProblemCode::Syntax, message, help: help.to_owned(), span }
        })
        .collect();
    (planting.table(parsed.get_ref()), problems)
}

/// The parser's message in plain words where it has a common cause, and what to do.
fn worded(message: &str) -> (String, &'static str) {
    if message.contains("must be quoted") {
        return ("this text has no quotes".to_owned(), "put text, or a number with its unit, in quotes: \"40 mm\"");
    }
    if message.contains("duplicate key") {
        return (
            "this key is given twice".to_owned(),
            "a key may appear only once in its table; delete one of the two",
        );
    }
    if message.contains("recurs") {
        return ("this is nested too deeply".to_owned(), "a scenario needs no more than five levels");
    }
    let help = "a line is a table, like [drive], a value, like weight = \"3 kg\" with its quotes, or a # comment";
    (format!("this cannot be read: {message}"), help)
}
