//! The texts that a scenario is made of (the file and each override) and places in them.

use std::sync::Arc;

/// A text with the name that messages call it by.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Source {
    /// File name, or "--set N" for the N-th override.
    pub name: String,
    /// The text.
    pub text: Arc<str>,
    /// Whether messages quote its lines: not those of a file that is not what it was taken for.
    pub is_quoted: bool,
}

/// Index of a source in [`Sources`].
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct SourceId(usize);

/// All sources of a scenario; the first is the file.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Sources {
    all: Vec<Source>,
}

/// A stretch of a source, in bytes, on character boundaries.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct Span {
    /// The source.
    pub source: SourceId,
    /// First byte.
    pub start: usize,
    /// Byte after the last.
    pub end: usize,
}

impl Sources {
    /// The id of the scenario file.
    pub const FILE: SourceId = SourceId(0);

    /// Sources with the file alone.
    #[must_use]
    pub fn of_file(name: String, text: &str) -> Self {
        Self { all: vec![Source { name, text: Arc::from(text), is_quoted: true }] }
    }

    /// The same of a file whose lines are not quoted.
    #[must_use]
    pub fn of_unquoted_file(name: String, text: &str) -> Self {
        Self { all: vec![Source { name, text: Arc::from(text), is_quoted: false }] }
    }

    /// The id of a further text, now one of the sources.
    pub fn add(&mut self, name: String, text: &str) -> SourceId {
        self.all.push(Source { name, text: Arc::from(text), is_quoted: true });
        SourceId(self.all.len() - 1)
    }

    /// The source of an id.
    #[must_use]
    pub fn get(&self, id: SourceId) -> &Source {
        &self.all[id.0]
    }

    /// Line and column of a span's start, both from 1, the column in characters.
    #[must_use]
    pub fn line_column(&self, span: Span) -> (usize, usize) {
        let source = self.get(span.source);
        let before = source.text.get(..span.start).unwrap_or(&source.text);
        let line_start = before.rfind('\n').map_or(0, |at| at + 1);
        let line = before.bytes().filter(|&byte| byte == b'\n').count() + 1;
        let column = before[line_start..].chars().count() + 1;
        (line, column)
    }

    /// "name:line:column" of a span's start.
    #[must_use]
    pub fn place(&self, span: Span) -> String {
        let (line, column) = self.line_column(span);
        format!("{}:{line}:{column}", self.get(span.source).name)
    }
}

impl Source {
    /// Bytes `start..end` widened to character boundaries inside the text.
    #[must_use]
    pub fn clip(&self, start: usize, end: usize) -> (usize, usize) {
        let mut first = start.min(self.text.len());
        while !self.text.is_char_boundary(first) {
            first -= 1;
        }
        let mut last = end.clamp(first, self.text.len());
        while !self.text.is_char_boundary(last) {
            last += 1;
        }
        (first, last)
    }
}
