//! Reads `[page]`: what a page asks its readers.

use crate::scenario::toml::problem_code::ProblemCode;
use crate::scenario::toml::section::Section;
use crate::scenario::toml::tree::Value;

/// Quantities that a page may ask for.
const MOST_ASKED: usize = 16;

/// `page.ask`: texts of a path and its range, or choices; `None` where the scenario says nothing of it, and after problems.
pub(in crate::scenario) fn read_page_asks(root: &mut Section<'_, '_>) -> Option<Option<Vec<String>>> {
    let Some(mut page) = root.section("page") else { return (!root.has("page")).then_some(None) };
    let asked = read_asked(&mut page);
    page.finish();
    asked
}

fn read_asked(page: &mut Section<'_, '_>) -> Option<Option<Vec<String>>> {
    let help = "write a list of paths with their ranges or choices: ask = [\"drive.weight=2kg..6kg\"]";
    let Some(entry) = page.entry("ask") else { return Some(None) };
    let wrong = |message: String, code: ProblemCode| page.report_at("ask", code, message, help.to_owned());
    let Value::Array(items) = &entry.node.value else {
        wrong(format!("`page.ask` is {}, not a list", entry.node.value.type_name()), ProblemCode::WrongType);
        return None;
    };
    if items.len() > MOST_ASKED {
        wrong(
            format!("`page.ask` lists {} quantities; at most {MOST_ASKED}", items.len()),
            ProblemCode::ImpossibleValue,
        );
        return None;
    }
    let mut asked = Vec::new();
    for item in items {
        let Value::Text(text) = &item.value else {
            wrong(format!("`page.ask` has {} in it, not text", item.value.type_name()), ProblemCode::WrongType);
            return None;
        };
        asked.push(text.clone());
    }
    Some(Some(asked))
}
