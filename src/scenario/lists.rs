//! Which of a scenario's values stand in lists of tables.

use super::load::Scenario;
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
