//! Which of a scenario's values stand in lists of tables.

use super::load::Scenario;
use super::toml::overrides::{element_index, path_steps};
use super::toml::tree::{Table, Value};

/// A list of tables: its dotted path, and the name of each element that has one.
pub type ListOfTables = (String, Vec<Option<String>>);

impl<D> Scenario<D> {
    /// The lists of tables of the scenario, those in elements of others left out.
    #[must_use]
    pub fn lists_of_tables(&self) -> Vec<ListOfTables> {
        let mut found = Vec::new();
        gather(&self.tree, "", &mut found);
        found
    }

    /// The steps of a path, elements of lists of tables by their number, so that two paths of one value are the same; `None` of what is
    /// no path.
    #[must_use]
    pub fn steps_of(&self, path: &str) -> Option<Vec<String>> {
        let mut steps: Vec<String> = path_steps(path)?.into_iter().map(|step| step.name).collect();
        let mut table = Some(&self.tree);
        let mut at = 0;
        while let Some(step) = steps.get(at) {
            let value = table.and_then(|table| table.get(step)).map(|entry| &entry.node.value);
            at += 1;
            table = match value {
                Some(Value::Table(inner)) => Some(inner),
                Some(Value::Array(items)) => {
                    let index = steps.get(at).and_then(|step| element_index(items, step));
                    index.and_then(|index| {
                        steps[at] = index.to_string();
                        at += 1;
                        match &items[index].value {
                            Value::Table(inner) => Some(inner),
                            _ => None,
                        }
                    })
                }
                _ => None,
            };
        }
        Some(steps)
    }
}

fn gather(table: &Table, path: &str, found: &mut Vec<ListOfTables>) {
    for entry in &table.entries {
        let below = if path.is_empty() { entry.key.clone() } else { format!("{path}.{}", entry.key) };
        match &entry.node.value {
            Value::Table(inner) => gather(inner, &below, found),
            Value::Array(items) if items.iter().any(|item| matches!(item.value, Value::Table(_))) => {
                let names = items.iter().map(|item| match &item.value {
                    Value::Table(table) => table.text("name").map(str::to_owned),
                    _ => None,
                });
                found.push((below, names.collect()));
            }
            _ => {}
        }
    }
}
