//! The scenario as written: a tree of values, each with the place it was written at.

use toml::de::{DeTable, DeValue};

use super::source::{Source, SourceId, Span};

/// Tables nest at most this deep; a scenario needs five.
const DEEPEST: usize = 24;

/// A value and where it stands.
#[derive(Debug, Clone, PartialEq)]
pub struct Node {
    /// The value.
    pub value: Value,
    /// Where; for a `[table]` its header.
    pub span: Span,
}

/// A value of the file.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// Text in quotes.
    Text(String),
    /// Whole number; `None` where it does not fit 64 bits.
    Integer(Option<i64>),
    /// Number with a point or exponent; may be infinite or not a number.
    Float(f64),
    /// `true` or `false`.
    Boolean(bool),
    /// Date or time.
    Datetime,
    /// List.
    Array(Vec<Node>),
    /// Table.
    Table(Table),
    /// Something nested too deep to look at.
    TooDeep,
}

/// A table: its entries in the order of the text.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Table {
    /// The entries.
    pub entries: Vec<Entry>,
}

/// A key with its value.
#[derive(Debug, Clone, PartialEq)]
pub struct Entry {
    /// The key.
    pub key: String,
    /// Where the key stands.
    pub key_span: Span,
    /// Its value.
    pub node: Node,
}

impl Value {
    /// What the value is, with its article.
    #[must_use]
    pub const fn type_name(&self) -> &'static str {
        match self {
            Self::Text(_) => "text",
            Self::Integer(_) | Self::Float(_) => "a bare number",
            Self::Boolean(_) => "true or false",
            Self::Datetime => "a date or time",
            Self::Array(_) => "a list",
            Self::Table(_) => "a table",
            Self::TooDeep => "nested too deeply",
        }
    }
}

impl Table {
    /// The entry of a key.
    #[must_use]
    pub fn get(&self, key: &str) -> Option<&Entry> {
        self.entries.iter().find(|entry| entry.key == key)
    }

    /// The entry of a key, to be changed.
    pub fn get_mut(&mut self, key: &str) -> Option<&mut Entry> {
        self.entries.iter_mut().find(|entry| entry.key == key)
    }

    /// The value of a key if it is a text.
    #[must_use]
    pub fn text(&self, key: &str) -> Option<&str> {
        match &self.get(key)?.node.value {
            Value::Text(text) => Some(text),
            _ => None,
        }
    }
}

/// Takes parsed TOML into the tree, its spans moved by `offset` bytes.
#[derive(Debug, Clone, Copy)]
pub struct Planting<'s> {
    /// Id of the source that the text is part of.
    pub id: SourceId,
    /// The source.
    pub source: &'s Source,
    /// Where in the source the parsed text begins.
    pub offset: usize,
}

impl Planting<'_> {
    /// The span of a byte range of the parsed text.
    #[must_use]
    pub fn span(&self, range: std::ops::Range<usize>) -> Span {
        let (start, end) = self.source.clip(range.start + self.offset, range.end + self.offset);
        Span { source: self.id, start, end }
    }

    /// The tree of a parsed table.
    #[must_use]
    pub fn table(&self, table: &DeTable<'_>) -> Table {
        self.table_at(table, 0)
    }

    /// The tree of a parsed value that stands at `range`.
    #[must_use]
    pub fn node(&self, value: &DeValue<'_>, range: std::ops::Range<usize>) -> Node {
        self.node_at(value, range, 0)
    }

    fn table_at(&self, table: &DeTable<'_>, depth: usize) -> Table {
        let entries = table
            .iter()
            .map(|(key, value)| Entry {
                key: key.get_ref().to_string(),
                key_span: self.span(key.span()),
                node: self.node_at(value.get_ref(), value.span(), depth + 1),
            })
            .collect();
        Table { entries }
    }

    fn node_at(&self, value: &DeValue<'_>, range: std::ops::Range<usize>, depth: usize) -> Node {
        let span = self.span(range);
        let value = match value {
            DeValue::Array(_) | DeValue::Table(_) if depth > DEEPEST => Value::TooDeep,
            DeValue::String(text) => Value::Text(text.to_string()),
            DeValue::Integer(number) => Value::Integer(i64::from_str_radix(number.as_str(), number.radix()).ok()),
            DeValue::Float(number) => Value::Float(number.as_str().parse().unwrap_or(f64::NAN)),
            DeValue::Boolean(flag) => Value::Boolean(*flag),
            DeValue::Datetime(_) => Value::Datetime,
            DeValue::Array(items) => {
                Value::Array(items.iter().map(|item| self.node_at(item.get_ref(), item.span(), depth + 1)).collect())
            }
            DeValue::Table(table) => Value::Table(self.table_at(table, depth)),
        };
        Node { value, span }
    }
}

impl Table {
    /// Every value below this table as (dotted path, text as written but for spacing), in the order of the text. Elements of
    /// lists of tables go by their `name`, others by number; a list of plain values is one value.
    #[must_use]
    pub fn leaves(&self) -> Vec<(String, String)> {
        let mut found = Vec::new();
        self.gather_leaves("", &mut found);
        found
    }

    /// Where the value at a path of tables stands.
    #[must_use]
    pub fn span_at(&self, path: &[&str]) -> Option<Span> {
        let (first, rest) = path.split_first()?;
        let node = &self.get(first)?.node;
        match &node.value {
            _ if rest.is_empty() => Some(node.span),
            Value::Table(table) => table.span_at(rest),
            _ => None,
        }
    }

    /// Dotted path of the key that stands at a place, or whose value does; elements of lists go by their `name`.
    #[must_use]
    pub fn path_at(&self, span: Span) -> Option<String> {
        self.entries.iter().find_map(|entry| {
            if entry.key_span == span || entry.node.span == span {
                return Some(entry.key.clone());
            }
            let below = match &entry.node.value {
                Value::Table(table) => table.path_at(span),
                Value::Array(items) => items.iter().find_map(|item| match &item.value {
                    Value::Table(table) => {
                        let name = table.text("name")?;
                        if item.span == span {
                            Some(name.to_owned())
                        } else {
                            Some(joined(name, &table.path_at(span)?))
                        }
                    }
                    _ => None,
                }),
                _ => None,
            };
            below.map(|below| joined(&entry.key, &below))
        })
    }

    fn gather_leaves(&self, path: &str, found: &mut Vec<(String, String)>) {
        for entry in &self.entries {
            entry.node.gather_leaves(&joined(path, &entry.key), found);
        }
    }
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() { key.to_owned() } else { format!("{path}.{key}") }
}

impl Node {
    fn gather_leaves(&self, path: &str, found: &mut Vec<(String, String)>) {
        match &self.value {
            Value::Table(table) => table.gather_leaves(path, found),
            Value::Array(items) if items.iter().any(|item| matches!(item.value, Value::Table(_))) => {
                for (number, item) in items.iter().enumerate() {
                    let name = match &item.value {
                        Value::Table(table) => table.get("name").map(|entry| entry.node.value.shown()),
                        _ => None,
                    };
                    item.gather_leaves(&joined(path, &name.unwrap_or_else(|| number.to_string())), found);
                }
            }
            value => found.push((path.to_owned(), value.shown())),
        }
    }
}

impl Value {
    /// The value as text.
    fn shown(&self) -> String {
        match self {
            Self::Text(text) => text.clone(),
            Self::Integer(number) => number.map_or_else(|| "a huge number".to_owned(), |number| number.to_string()),
            Self::Float(number) => number.to_string(),
            Self::Boolean(truth) => truth.to_string(),
            Self::Array(items) => {
                let inside: Vec<String> = items.iter().map(|item| item.value.shown()).collect();
                format!("[{}]", inside.join(", "))
            }
            Self::Datetime | Self::Table(_) | Self::TooDeep => self.type_name().to_owned(),
        }
    }
}
