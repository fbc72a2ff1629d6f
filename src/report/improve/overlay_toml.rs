//! The scenario that an improvement writes: it starts from the maker's own and holds the values that were found.

use std::fmt::Write as _;

use crate::scenario::{Scenario, quoted};

/// What the first line of such a file says; one that does not begin so was not written here, and is never overwritten.
pub const HEAD: &str = "# Written by beatwright improve: values that were searched for.";

/// A value of an overlay: its path, and the value as TOML writes it.
pub type OverlayValue = (String, String);

/// The text of a scenario that starts from the file `from` and sets the values of `scenario`'s clock; `left_out` are paths that it leaves out
/// of that file.
///
/// # Errors
/// The path that no file can set this way: one in a list whose elements have no names.
pub fn text(
    scenario: &Scenario,
    from: &str,
    name: &str,
    values: &[OverlayValue],
    left_out: &[String],
) -> Result<String, String> {
    let mut out = format!("{HEAD}\nfrom = {}\n", quoted(from));
    if !values.iter().any(|(path, _)| path == "name") {
        let _ = writeln!(out, "name = {}", quoted(name));
    }
    if !left_out.is_empty() {
        let paths: Vec<String> = left_out.iter().map(|path| quoted(path)).collect();
        let _ = writeln!(out, "leave_out = [{}]", paths.join(", "));
    }
    // Elements of lists come last: what follows a table of a list belongs to it.
    let mut elements: Vec<((String, String), Vec<OverlayValue>)> = Vec::new();
    for (path, value) in values {
        match element_of(scenario, path)? {
            None => {
                let _ = writeln!(out, "{path} = {value}");
            }
            Some((list, element, rest)) => {
                let (element, value) = ((list, element), (rest, value.clone()));
                match elements.iter_mut().find(|(known, _)| *known == element) {
                    Some((_, values)) => values.push(value),
                    None => elements.push((element, vec![value])),
                }
            }
        }
    }
    for ((list, element), values) in elements {
        let _ = writeln!(out, "\n[[{list}]]\nname = {}", quoted(&element));
        for (path, value) in values {
            let _ = writeln!(out, "{path} = {value}");
        }
    }
    Ok(out)
}

/// Path of a list of named tables, the element's name and the rest of a path into it; `None` of a path through tables alone.
fn element_of(scenario: &Scenario, path: &str) -> Result<Option<(String, String, String)>, String> {
    let names = scenario.lists_of_tables();
    for (list, elements) in &names {
        let Some(rest) = path.strip_prefix(list.as_str()).and_then(|rest| rest.strip_prefix('.')) else { continue };
        let (step, rest) = rest.split_once('.').ok_or_else(|| format!("`{path}` is a whole element of a list"))?;
        let by_number = step.parse::<usize>().ok().and_then(|number| elements.get(number).cloned()).flatten();
        let named = elements.iter().flatten().find(|name| *name == step).cloned();
        let element = named
            .or(by_number)
            .ok_or_else(|| format!("`{path}` is in a list whose elements have no names; give each a name = \"...\""))?;
        return Ok(Some((list.clone(), element, rest.to_owned())));
    }
    Ok(None)
}

/// A text of a scenario's leaf as TOML writes it.
#[must_use]
pub fn leaf_as_toml(text: &str) -> String {
    let bare = text == "true" || text == "false" || text.starts_with('[') || text.parse::<f64>().is_ok();
    if bare { text.to_owned() } else { quoted(text) }
}
