//! One table of the scenario while it is read: takes its keys by name and kind, and reports what does not fit.
//!
//! A reading function returns `None` only after a problem was reported, so that the caller reads on and builds its
//! value at the end with `?`.

use super::nearest::{nearest, suggestion};
use super::problem_code::ProblemCode;
use super::reader::Reader;
use super::source::Span;
use super::tree::{Entry, Node, Table, Value};

/// A table being read.
#[derive(Debug)]
pub(in crate::scenario) struct Section<'r, 't> {
    pub(in crate::scenario) reader: &'r Reader,
    pub(in crate::scenario) table: &'t Table,
    path: String,
    span: Span,
    known: Vec<&'static str>,
}

impl<'r, 't> Section<'r, 't> {
    pub(in crate::scenario) const fn new(reader: &'r Reader, table: &'t Table, path: String, span: Span) -> Self {
        Self { reader, table, path, span, known: Vec::new() }
    }

    /// Where the section is.
    pub(in crate::scenario) const fn span(&self) -> Span {
        self.span
    }

    /// Where the value of a key stands, or the section where the key is absent.
    pub(in crate::scenario) fn span_of(&self, key: &str) -> Span {
        self.table.get(key).map_or(self.span, |entry| entry.node.span)
    }

    /// The dotted path of a key.
    pub(in crate::scenario) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() { key.to_owned() } else { format!("{}.{key}", self.path) }
    }

    /// The entry of a key, which counts as known from now on.
    pub(in crate::scenario) fn entry(&mut self, key: &'static str) -> Option<&'t Entry> {
        if !self.known.contains(&key) {
            self.known.push(key);
        }
        self.table.get(key)
    }

    /// Whether the key is written.
    pub(in crate::scenario) fn has(&self, key: &str) -> bool {
        self.table.get(key).is_some()
    }

    /// The text of a key as written, if it is one; nothing is reported.
    pub(in crate::scenario) fn written_text(&self, key: &str) -> Option<String> {
        self.table.text(key).map(str::to_owned)
    }

    /// Reports a problem at the value of `key`, or at the section where the key is absent.
    pub(in crate::scenario) fn report_at(&self, key: &str, code: ProblemCode, message: String, help: String) {
        self.reader.report(code, message, help, self.span_of(key));
    }

    /// Reports a problem at the key itself.
    pub(in crate::scenario) fn report_key(&self, key: &str, code: ProblemCode, message: String, help: String) {
        let span = self.table.get(key).map_or(self.span, |entry| entry.key_span);
        self.reader.report(code, message, help, span);
    }

    /// Reports that `key` stands beside any of `others`, which it excludes; all of them count as known.
    pub(in crate::scenario) fn refuse_beside(&mut self, key: &str, others: &[&'static str], help: &str) {
        let beside: Vec<String> =
            others.iter().filter(|other| self.has(other)).map(|other| format!("`{other}`")).collect();
        others.iter().for_each(|other| _ = self.entry(other));
        if !beside.is_empty() {
            let message = format!("`{}` is given together with {}", self.path_of(key), beside.join(", "));
            self.report_key(key, ProblemCode::Conflict, message, format!("{help}; delete the other"));
        }
    }

    pub(super) fn report_missing(&self, key: &str, help: String) {
        let message = format!("`{}` is missing", self.path_of(key));
        self.reader.report(ProblemCode::MissingKey, message, help, self.span);
    }

    pub(super) fn report_type(&self, key: &str, node: &Node, wanted: &str, help: String) {
        let message = format!("`{}` is {}, not {wanted}", self.path_of(key), node.value.type_name());
        self.reader.report(ProblemCode::WrongType, message, help, node.span);
    }

    /// Reports every key that was not asked for.
    pub(in crate::scenario) fn finish(self) {
        for entry in &self.table.entries {
            if !self.known.contains(&entry.key.as_str()) && !self.reader.count_if_enough() {
                let message = format!("there is no key `{}`", self.path_of(&entry.key));
                let help = match nearest(&entry.key, &self.known) {
                    Some(near) if self.stands_in_the_same_text(near, entry) => {
                        format!("did you mean `{near}`? It is given already; delete one")
                    }
                    _ => suggestion(&entry.key, &self.known, "key"),
                };
                self.reader.report(ProblemCode::UnknownKey, message, help, entry.key_span);
            }
        }
    }

    /// Whether `key` is given in the text that `other` is in; an override may be meant to replace what the file gives.
    fn stands_in_the_same_text(&self, key: &str, other: &Entry) -> bool {
        self.table.get(key).is_some_and(|entry| entry.key_span.source == other.key_span.source)
    }

    /// The table under `key`; `None` without a problem where it is absent.
    pub(in crate::scenario) fn section(&mut self, key: &'static str) -> Option<Section<'r, 't>> {
        let entry = self.entry(key)?;
        let path = self.path_of(key);
        match &entry.node.value {
            Value::Table(table) => Some(Section::new(self.reader, table, path, entry.node.span)),
            _ => {
                self.report_type(key, &entry.node, "a table", format!("write it as [{path}] with its keys below"));
                None
            }
        }
    }

    /// The table under `key`, which has to be there.
    pub(in crate::scenario) fn required_section(&mut self, key: &'static str, help: &str) -> Option<Section<'r, 't>> {
        if !self.has(key) {
            self.known.push(key);
            self.report_missing(key, help.to_owned());
            return None;
        }
        self.section(key)
    }

    /// The tables of a list `[[key]]`, empty where it is absent; each is called by its `name` or its number.
    pub(in crate::scenario) fn list(&mut self, key: &'static str) -> Vec<Section<'r, 't>> {
        let Some(entry) = self.entry(key) else { return Vec::new() };
        let path = self.path_of(key);
        let Value::Array(items) = &entry.node.value else {
            self.report_type(key, &entry.node, "a list of tables", format!("begin each element with [[{path}]]"));
            return Vec::new();
        };
        let mut sections = Vec::new();
        for (index, item) in items.iter().enumerate() {
            if let Value::Table(table) = &item.value {
                let called = table.text("name").map_or_else(|| index.to_string(), str::to_owned);
                sections.push(Section::new(self.reader, table, format!("{path}.{called}"), item.span));
            } else {
                let message = format!("`{path}.{index}` is {}, not a table", item.value.type_name());
                let help = format!("begin each element with [[{path}]]");
                self.reader.report(ProblemCode::WrongType, message, help, item.span);
            }
        }
        sections
    }

    /// The text under `key`, which has to be there and not empty.
    pub(in crate::scenario) fn text(&mut self, key: &'static str) -> Option<String> {
        match self.optional_text(key)? {
            Some(text) => Some(text),
            None => {
                self.report_missing(key, format!("add {key} = \"...\""));
                None
            }
        }
    }

    /// The text under `key` or `Some(None)` where it is absent.
    pub(in crate::scenario) fn optional_text(&mut self, key: &'static str) -> Option<Option<String>> {
        let Some(entry) = self.entry(key) else { return Some(None) };
        match &entry.node.value {
            Value::Text(text) if !text.trim().is_empty() => Some(Some(text.clone())),
            Value::Text(_) => {
                let message = format!("`{}` is empty", self.path_of(key));
                self.report_at(
                    key,
                    ProblemCode::ImpossibleValue,
                    message,
                    "write something between the quotes".to_owned(),
                );
                None
            }
            _ => {
                self.report_type(key, &entry.node, "text", format!("write it in quotes: {key} = \"...\""));
                None
            }
        }
    }

    /// One of the words `choices`; `default` where the key is absent and there is one.
    pub(in crate::scenario) fn choice<T: Copy>(
        &mut self,
        key: &'static str,
        choices: &[(&str, T)],
        default: Option<T>,
    ) -> Option<T> {
        let words: Vec<&str> = choices.iter().map(|&(word, _)| word).collect();
        let all_words = words.iter().map(|word| format!("\"{word}\"")).collect::<Vec<_>>().join(", ");
        if default.is_none() && !self.has(key) {
            self.known.push(key);
            self.report_missing(key, format!("add {key}, one of {all_words}"));
            return None;
        }
        let Some(written) = self.optional_text(key)? else { return default };
        let found = choices.iter().find(|&&(word, _)| word == written).map(|&(_, value)| value);
        if found.is_none() {
            let message = format!("`{}` cannot be \"{written}\"", self.path_of(key));
            let help = match nearest(&written, &words) {
                Some(near) => format!("did you mean \"{near}\"? The choices are {all_words}"),
                None => format!("the choices are {all_words}"),
            };
            self.report_at(key, ProblemCode::UnknownName, message, help);
        }
        found
    }
}
